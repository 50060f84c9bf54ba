"""Built pages in a real browser: from disk and over http, on a phone and a desktop. Every one is opened in test_access."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest


def pages(web: Path) -> list[str]:
    return [p.relative_to(web).as_posix() for p in sorted(web.rglob("*.html"))]


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if found.get("id"):
            self.ids.add(str(found["id"]))
        if tag == "a" and found.get("name"):
            self.ids.add(str(found["name"]))
        for key in ("href", "src"):
            if found.get(key) is not None and tag != "base":
                self.links.append(str(found[key]))


def _read(path: Path) -> _Links:
    parser = _Links()
    parser.feed(path.read_text("utf-8"))
    return parser


def test_no_link_is_broken_and_none_leaves_the_handbook(demo: Path) -> None:
    web = demo / "out/web"
    read = {p: _read(web / p) for p in pages(web)}
    wrong = []
    for page, found in read.items():
        for link in found.links:
            parts = urlsplit(link)
            if parts.scheme in {"data", "mailto"}:
                continue
            if parts.scheme or parts.netloc:
                wrong.append(f"{page}: {link} leaves the handbook")
                continue
            target = (web / page).parent / unquote(parts.path) if parts.path else web / page
            if target.is_dir():
                target = target / "index.html"
            if not target.is_file():
                wrong.append(f"{page}: {link} leads nowhere")
            elif parts.fragment and target.suffix == ".html":
                name = target.resolve().relative_to(web.resolve()).as_posix()
                if unquote(parts.fragment) not in read[name].ids and parts.fragment != "__skip":
                    wrong.append(f"{page}: {link} has no such place")
    assert not wrong, wrong[:10]


def watch(page: Any) -> tuple[list[str], list[str]]:
    """What a page says in the console, and what it asks for; both lists grow."""
    errors: list[str] = []
    requests: list[str] = []
    page.on("console", lambda m: errors.append(m.text) if m.type in {"error", "warning"} else None)
    page.on("pageerror", lambda e: errors.append(str(e)))
    page.on("request", lambda r: requests.append(r.url))
    return errors, requests


def on_phone(browser: Any) -> Any:
    """A browser's context that is a phone."""
    return browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)


def too_wide(page: Any) -> str:
    """What is wider than a phone of 360 px, or nothing."""
    wide = page.evaluate("Math.max(document.documentElement.scrollWidth, document.body.scrollWidth)")
    if wide <= 360:
        return ""
    widest = page.evaluate(
        """[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 361 &&
           !e.closest('.sw-scroll, .sw-line, .md-sidebar, .md-search, [popover]')).map(e => e.tagName + '.' + e.className).slice(0, 4)"""
    )
    return f"{wide} px wide: {widest}"


def test_pages_open_over_http_without_a_murmur(demo: Path, served: str, browser: Any) -> None:
    """No console message, no request to another host, nothing wider than a 360 px phone.

    Only the way of fetching differs from a page opened from disk: every tenth page, and the one for what is not there.
    """
    context = on_phone(browser)
    page = context.new_page()
    errors, requests = watch(page)
    wrong = []
    chosen = ["404.html", *pages(demo / "out/web")[::10]]
    assert {name.rpartition("/")[0] for name in chosen} >= {"", "lessons", "sheets", "reference", "es", "es/lessons"}
    for name in chosen:
        errors.clear()
        page.goto(f"{served}/{name}", wait_until="load")
        if wide := too_wide(page):
            wrong.append(f"{name} is {wide}")
        wrong += [f"{name}: {e}" for e in errors]
    wrong += [f"asked {u}" for u in requests if not u.startswith((served, "data:", "blob:"))]
    context.close()
    assert not wrong, wrong[:10]


def test_a_murmur_and_a_part_that_sticks_out_are_found(tmp_path: Path, browser: Any) -> None:
    (tmp_path / "x.html").write_text(
        '<meta name="viewport" content="width=device-width"><p style="width: 400px">x</p><script>lost()</script>'
    )
    context = on_phone(browser)
    page = context.new_page()
    errors, requests = watch(page)
    page.goto((tmp_path / "x.html").as_uri())
    assert too_wide(page).endswith("px wide: ['P.']")
    assert any("lost" in e for e in errors) and requests == [(tmp_path / "x.html").as_uri()]
    context.close()


@pytest.mark.parametrize("over", ["file", "http"])
def test_search_finds_a_lesson(demo: Path, served: str, browser: Any, over: str) -> None:
    base = (demo / "out/web").as_uri() if over == "file" else served
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    page = context.new_page()
    errors, requests = watch(page)
    page.goto(f"{base}/index.html")
    page.locator("input.md-search__input").click()
    page.keyboard.type("bench")
    page.wait_for_selector(".md-search-result__item a[href*='bench-height']", timeout=15000)
    context.close()
    assert not errors
    assert not [u for u in requests if not u.startswith((base, "data:", "blob:"))]


def test_a_number_opens_its_working(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    number = page.locator("button.sw-num:visible").first
    number.click()
    popover = page.locator(f"#{number.get_attribute('popovertarget')}")
    assert popover.is_visible()
    page.keyboard.press("Escape")
    assert not popover.is_visible()
    number.focus()
    page.keyboard.press("Enter")
    assert popover.is_visible()
    page.close()


def test_units_switch_and_are_remembered(demo: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    feet = page.locator(".sw-table .us").first
    metres = page.locator(".sw-table .si").first
    assert feet.is_visible() and not metres.is_visible()
    page.get_by_role("button", name="metres, kilograms").first.click()
    assert metres.is_visible() and not feet.is_visible()
    page.reload()
    assert metres.is_visible()
    context.close()


def test_without_scripts_the_page_and_its_questions_can_be_read(demo: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    assert page.locator("fieldset.sq").count() >= 5
    assert all(page.locator("fieldset.sq").nth(i).is_visible() for i in range(5))
    text = page.locator("seatwork-quiz form").inner_text()
    assert "⟦" not in text and re.search(r"\d", text)
    context.close()
