"""Two editions never mix: a page runs with the scripts, styles and data it was made with, or says that it cannot."""

from __future__ import annotations

import itertools
import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest

from generator.publish.edition_folder import folder_of, plain_name, plain_page, write_edition_folder
from generator.publish.headers import policy, write_headers
from generator.publish.offline import write_offline, write_page_script
from generator.publish.swap import swap
from tests.publish.reading import answer_one
from tests.publish.test_offline import CACHES, UPDATE
from tests.publish.webserver import UNDER, Nginx, nginx

_ASKED = re.compile(rb"""<(?:script|link|img)\b[^>]*?\b(?:src|href)="([^"#?]+)""")
_NEWER = "A newer edition of this handbook has been published. Finish what you have begun, then load this page again. "


def _asked(page: Path) -> list[Path]:
    """The files of its own folder that a page asks for."""
    found = (unquote(name.decode()) for name in _ASKED.findall(page.read_bytes()))
    return [(page.parent / name).resolve() for name in found if not re.match(r"[a-z]+:", name)]


@pytest.mark.parametrize("place", ["", "es"])
def test_every_page_of_the_handbook_asks_for_its_editions_files(demo: Path, place: str) -> None:
    """In each language, which stands in a folder of its own and shares no file with another."""
    web = demo / "out/web" / place
    others = [web / "es"] if not place else []
    folder = folder_of(web)
    assert re.fullmatch(r"e-[0-9a-f]{12}", folder.name)
    assert {p.name for p in folder.iterdir()} == {"assets", "mine", "practice", "pictures", "search"}
    pages = [p for p in sorted(web.rglob("*.html")) if not any(p.is_relative_to(o) for o in others)]
    outside = {p for page in pages for p in _asked(page) if p.suffix != ".html" and not p.is_relative_to(folder)}
    assert outside == set()
    assert all(p.is_file() for page in pages for p in _asked(page))
    assert {p.relative_to(web).as_posix() for p in web.rglob("*.js") if not any(p.is_relative_to(o) for o in (folder, *others))} == {
        "offline-worker.js"
    }
    bundle = next(folder.glob("assets/javascripts/bundle.*.js")).read_bytes()
    assert bundle.count(f'"{folder.name}/search/search_index.js'.encode()) == 2 and b'"search/search_index' not in bundle


def small_tree(web: Path, words: str = "one") -> Path:
    """A handbook of two pages with a script, a style and data, which all say the edition's word."""
    for name, text in {
        "assets/a.js": f'document.documentElement.dataset.script = "{words}";'
        'document.querySelector("button").onclick = () => { const s = document.createElement("script");'
        "s.src = new URL('../mine/d.js', here).href; document.head.append(s); }; const here = document.currentScript.src;",
        "assets/a.css": f'#said::after {{ content: "{words}"; }}',
        "assets/same.css": "p { margin: 0; }",
        "mine/d.js": f'document.documentElement.dataset.data = "{words}";',
    }.items():
        (web / name).parent.mkdir(parents=True, exist_ok=True)
        (web / name).write_text(text, "utf-8")
    for name, up in (("index.html", ""), ("lessons/a.html", "../")):
        (web / name).parent.mkdir(parents=True, exist_ok=True)
        (web / name).write_text(
            f'<!doctype html><html lang="en"><head><meta charset="utf-8"><link rel="icon" href="data:,"><title>{words}</title>'
            f'<link rel="stylesheet" href="{up}assets/a.css"><link rel="stylesheet" href="{up}assets/same.css"></head>'
            f'<body><p id="said">{words}</p><p>Not a file: "{up}assets/none.js".</p><button>More</button><div class="md-copyright"></div>'
            f'<a href="{up}lessons/a.html">a</a><script src="{up}assets/a.js"></script><script src="{up}assets/offline.js"></script>'
            "</body></html>",
            "utf-8",
        )  # fmt: skip
    write_page_script(web)
    return web


def test_the_folder_is_named_by_what_is_in_it_and_nothing_else(tmp_path: Path) -> None:
    one, again, other = (small_tree(tmp_path / n) for n in ("one", "again", "other"))
    (again / "index.html").write_bytes((again / "index.html").read_bytes() + b"<!-- another page -->")
    (other / "mine/d.js").write_text("other data", "utf-8")
    names = [write_edition_folder(web) for web in (one, again, other)]
    assert names[0] == names[1] != names[2]
    (one / "e-000000000000").mkdir()  # of an older edition, with a file that somebody put into it
    assert folder_of(one).name == names[0] and folder_of(again) == again / names[0]
    assert plain_name(f"{names[0]}/assets/a.js") == "assets/a.js" and plain_name("lessons/e-book.html") == "lessons/e-book.html"


def test_a_page_can_be_had_as_it_was(tmp_path: Path) -> None:
    web = small_tree(tmp_path / "web")
    before = {p: p.read_bytes() for p in web.rglob("*.html")}
    kept = tmp_path / "kept.html"
    kept.hardlink_to(web / "index.html")  # a page may be kept elsewhere under another name
    name = write_edition_folder(web)
    assert kept.read_bytes() == before[web / "index.html"]
    for page, data in before.items():
        now = page.read_bytes()
        assert now != data and plain_page(now) == data
        up = b"../" if page.parent != web else b""
        assert b'href="' + up + name.encode() + b'/assets/a.css"' in now
        assert b'Not a file: "' + up + b'assets/none.js"' in now
    assert write_edition_folder(web) == ""  # there is nothing more to move
    assert len(re.findall(r"'sha256-", policy(web))) == 1  # one script of ours stands in pages, the same in all


def test_where_the_theme_asks_for_its_search_another_way_it_stays(tmp_path: Path) -> None:
    web = small_tree(tmp_path / "web")
    (web / "search").mkdir()
    (web / "search/search_index.json").write_text("{}", "utf-8")
    (web / "assets/javascripts").mkdir()
    (web / "assets/javascripts/bundle.1.min.js").write_text("asks('search' + '/search_index.js')", "utf-8")
    name = write_edition_folder(web)
    assert (web / "search/search_index.json").is_file() and (web / name / "assets/a.js").is_file()


# --- in a browser ---------------------------------------------------------------------------


@pytest.fixture
def published(tmp_path: Path) -> Iterator[tuple[Nginx, Any]]:
    """A server, and what publishes an edition of these words there as a whole."""

    days = itertools.count(1)

    def publish(words: str) -> None:
        new = small_tree(tmp_path / "new", words)
        write_edition_folder(new)
        write_offline(new)
        # a server tells two files of one length apart by the second they were written in, and a test is quicker than that
        day = 1_700_000_000 + 86_400 * next(days)
        for file in new.rglob("*"):
            os.utime(file, (day, day))
        swap(new, tmp_path / "web")

    publish("one")
    write_headers(tmp_path / "web", tmp_path / "headers")
    with nginx(tmp_path / "web", tmp_path / "headers", tmp_path / "nginx") as server:
        yield server, publish


_SEEN = """() => [document.querySelector('#said').textContent, document.documentElement.dataset.script,
  getComputedStyle(document.querySelector('#said'), '::after').content.replaceAll('"', ''), document.documentElement.dataset.data]"""


def test_a_tab_left_open_never_gets_data_of_another_edition(published: tuple[Nginx, Any], browser: Any) -> None:
    server, publish = published
    context = browser.new_context(service_workers="block")
    page, other = context.new_page(), context.new_page()
    for p in (page, other):
        p.goto(f"{server.address}{UNDER}lessons/a.html")
    page.get_by_role("button").click()
    page.wait_for_function("() => document.documentElement.dataset.data")
    assert page.evaluate(_SEEN) == ["one"] * 4
    publish("two")
    other.get_by_role("button", name="More").click()
    other.wait_for_selector(".sw-newer")
    assert other.locator(".sw-newer").inner_text().startswith(_NEWER.strip())
    assert other.evaluate(_SEEN) == ["one", "one", "one", None]
    other.get_by_role("button", name="Load again").click()
    other.wait_for_function("() => document.querySelector('#said').textContent === 'two'")
    other.get_by_role("button", name="More").click()
    other.wait_for_function("() => document.documentElement.dataset.data")
    assert other.evaluate(_SEEN) == ["two"] * 4 and other.locator(".sw-newer").count() == 0
    # a page that comes back as it was left, and one that is opened anew
    page.get_by_role("link").click()
    page.wait_for_function("() => document.querySelector('#said').textContent === 'two' && document.readyState === 'complete'")
    assert page.evaluate(_SEEN)[:3] == ["two"] * 3
    context.close()


def test_a_page_out_of_the_browsers_cache_is_loaded_again_by_itself(published: tuple[Nginx, Any], browser: Any, tmp_path: Path) -> None:
    """As where a page is answered just before the new edition is published, and its scripts just after."""
    server, publish = published
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    old = (tmp_path / "web/lessons/a.html").read_text("utf-8")
    publish("two")
    answers = iter([old])

    def give(route: Any) -> None:
        first = next(answers, None)
        if first is None:
            route.continue_()
        else:
            route.fulfill(body=first, content_type="text/html")

    page.route("**/lessons/a.html", give)
    page.goto(f"{server.address}{UNDER}lessons/a.html")
    page.wait_for_function("() => document.querySelector('#said').textContent === 'two' && document.documentElement.dataset.script")
    assert page.evaluate(_SEEN)[:3] == ["two"] * 3
    # where it comes again and again, it is said once, and the page is not loaded for ever
    page.unroute("**/lessons/a.html")
    asked: list[int] = []

    def give_the_old(route: Any) -> None:
        asked.append(1)
        route.fulfill(body=old, content_type="text/html")

    page.route("**/lessons/a.html", give_the_old)
    page.goto(f"{server.address}{UNDER}lessons/a.html")
    page.wait_for_selector(".sw-newer")
    assert len(asked) <= 2 and page.evaluate(_SEEN)[:2] == ["one", None]
    context.close()


def test_what_is_kept_on_the_phone_is_of_one_edition(published: tuple[Nginx, Any], browser: Any) -> None:
    server, publish = published
    context = browser.new_context()
    page = context.new_page()
    page.clock.install()
    page.goto(f"{server.address}{UNDER}index.html")
    page.clock.fast_forward(3000)
    page.wait_for_selector(".sw-kept", timeout=20_000)
    one = next(iter(page.evaluate(CACHES).values()))
    publish("two")
    asked: list[str] = []
    context.on("request", lambda r: asked.append(r.url))
    assert page.evaluate(UPDATE) == "activated"
    two = next(iter(page.evaluate(CACHES).values()))
    folders = [{part for u in urls for part in u.split("/") if part.startswith("e-")} for urls in (one, two)]
    assert [len(f) for f in folders] == [1, 1] and folders[0] != folders[1]
    assert not any(u.endswith("same.css") for u in asked)  # the same bytes in another folder are not fetched again
    page.get_by_role("button", name="More").click()  # the tab is of the first edition still
    page.wait_for_selector(".sw-newer")
    assert page.evaluate(_SEEN) == ["one", "one", "one", None]
    context.set_offline(True)
    page.goto(f"{server.address}{UNDER}lessons/a.html")
    page.get_by_role("button", name="More").click()
    page.wait_for_function("() => document.documentElement.dataset.data")
    assert page.evaluate(_SEEN) == ["two"] * 4
    context.close()


def test_from_disk_it_works_and_a_rebuilt_folder_is_told(tmp_path: Path, browser: Any) -> None:
    web = small_tree(tmp_path / "web")
    write_edition_folder(web)
    page = browser.new_page()
    page.goto((web / "lessons/a.html").as_uri())
    assert page.evaluate(_SEEN)[:3] == ["one"] * 3
    new = small_tree(tmp_path / "new", "two")
    write_edition_folder(new)
    swap(new, web)
    page.get_by_role("button", name="More").click()
    page.wait_for_selector(".sw-newer")
    assert page.evaluate(_SEEN) == ["one", "one", "one", None]
    page.close()


def test_the_demo_from_disk_searches_practises_and_picks_a_machine(demo: Path, browser: Any) -> None:
    page = browser.new_page()
    said: list[str] = []
    page.on("pageerror", lambda e: said.append(str(e)))
    page.on("console", lambda m: said.append(m.text) if m.type == "error" else None)
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    assert page.locator("seatwork-quiz .sq-enter").is_visible()
    page.locator("input.md-search__input").click()
    page.keyboard.type("bench")
    page.wait_for_selector(".md-search-result__item a[href*='bench-height']", timeout=15_000)
    assert said == []
    page.close()


def test_a_search_of_an_old_tab_is_told_that_its_index_is_gone(demo: Path, browser: Any, tmp_path: Path) -> None:
    web = tmp_path / "web"
    shutil.copytree(demo / "out/web", web)
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    with nginx(web, demo / "out/headers", tmp_path / "nginx") as server:
        page.goto(f"{server.address}/lessons/bench-height.html", wait_until="networkidle")
        folder_of(web).rename(web / "e-0123456789ab")  # what another edition does
        page.locator("input.md-search__input").click()
        page.wait_for_selector(".sw-newer")
    context.close()


def test_a_quiz_runs_in_the_editions_folder(demo: Path, browser: Any, tmp_path: Path) -> None:
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    with nginx(demo / "out/web", demo / "out/headers", tmp_path / "nginx") as server:
        page.goto(f"{server.address}{UNDER}lessons/bench-height.html")
        page.locator(".sq-pick").select_option(index=1)
        page.locator(".sq-enter .sq-main").click()
        assert answer_one(page)
        page.goto(f"{server.address}{UNDER}operator.html")
        page.locator("a.sw-card[data-role]").first.click()
        page.goto(f"{server.address}{UNDER}index.html")
        lesson = page.locator("a.sw-go").get_attribute("href")
        assert lesson is not None and "/e-" not in lesson and lesson.startswith(f"{server.address}{UNDER}lessons/")
        page.wait_for_selector("a.sw-go + figure svg")  # its picture comes out of the edition's folder
        assert page.request.get(lesson).status == 200
    context.close()
