"""Every page from disk, opened once: it fits a phone and says nothing in the console; axe-core finds nothing against WCAG 2.2 AA, light or dark."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest

from benchmarks.phone_screens import stands
from tests.conftest import LESSONS
from tests.pages.test_pages import on_phone, pages, too_wide, watch

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text("utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
CONTRAST = ["color-contrast", "link-in-text-block"]  # asked apart: they take most of the time
STRUCTURE = {
    "resultTypes": ["violations"],
    "runOnly": {"type": "tag", "values": TAGS},
    "rules": {rule: {"enabled": False} for rule in CONTRAST},
}
COLOURS = {"resultTypes": ["violations"], "runOnly": {"type": "rule", "values": CONTRAST}}

# Contrast hangs on the letters' colour, size and weight and on what lies behind them. Text whose
# every such figure was judged already, on this page or one before, is not judged again.
ONLY_NEW_COLOURS = """seen => {
  const fresh = [], known = new Set(seen);
  const kept = new Map();
  const behind = e => {
    if (!e) return '';
    if (!kept.has(e)) {
      const s = getComputedStyle(e), above = behind(e.parentElement);
      const own = [s.backgroundColor, s.backgroundImage, s.opacity, s.position].join();
      kept.set(e, above.includes(own) ? above : own + '/' + above);
    }
    return kept.get(e);
  };
  for (const e of document.querySelectorAll('body *')) {
    if (!e.checkVisibility({ visibilityProperty: true })) continue; // first: the style of what is hidden costs most
    if (![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) && !e.matches('input, select, textarea')) continue;
    const s = getComputedStyle(e);
    const look = [s.color, s.fill, s.fontSize, s.fontWeight, s.textDecorationLine, !!e.closest('a'), e.matches(':disabled'), behind(e)].join('|');
    if (known.has(look)) continue;
    known.add(look);
    fresh.push(look);
    e.setAttribute('data-judge', '');
  }
  return fresh;
}"""
LOOK = "options => axe.run([...document.querySelectorAll('[data-judge]')], options)"
# Colours that fade over, from one scheme to the other or as the phone's search box becomes the desktop's, would be judged
# half way. A transition that runs already ends at once.
AT_ONCE = """() => document.head.insertAdjacentHTML('beforeend',
  '<style>*, ::before, ::after, ::placeholder { transition: none !important }</style>')"""
DARK = """() => { for (const e of document.querySelectorAll('[data-judge]')) e.removeAttribute('data-judge');
                 document.body.setAttribute('data-md-color-scheme', 'slate'); }"""

# Rows of a table and workings of a page are alike: a few stand for all. Of a drawing's bare strokes, which
# have neither a name nor a part to play, no rule on structure speaks.
FEW = """() => {
  document.querySelectorAll('tr:nth-child(n+5), .sw-pop:nth-of-type(n+4)').forEach(e => e.remove());
  const plain = n => !/^(id|role|tabindex|focusable|lang|title|on.*|aria-.*)$/.test(n);
  for (const e of document.querySelectorAll('svg :is(path, rect, circle, ellipse, line)')) {
    if (!e.childElementCount && e.getAttributeNames().every(plain)) e.remove();
  }
  if (location.pathname.includes('/reference/')) document.querySelectorAll(
    '.md-content article > div:nth-of-type(n+8), .md-content article > p:nth-of-type(n+30)').forEach(e => e.remove());
}"""


SHARES = 3  # of the lessons, which are long


@pytest.mark.parametrize(("part", "share"), [*(("lessons", k) for k in range(SHARES)), ("sheets", None), ("reference", None), ("", None)])
def test_every_page_opens_fits_a_phone_and_has_no_violation(demo: Path, browser: Any, part: str, share: int | None) -> None:
    """To open a page is much of the work, so all that is asked of every page is asked there.

    On a phone: no console message, no request to another host, nothing wider than 360 px; in a lesson the first
    picture near and the quiz not far. On a desktop: the rules on colours in both schemes, all others once, as the
    schemes differ in nothing else.
    """
    web = demo / "out/web"
    wrong = []
    context = on_phone(browser)
    page = context.new_page()
    page.add_init_script(AXE)
    errors, requests = watch(page)
    judged: dict[str, list[str]] = {"light": [], "dark": []}
    chosen = [n for n in pages(web) if n != "404.html" and n.rpartition("/")[0] == part]
    if share is not None:
        assert chosen == [f"lessons/{lesson}.html" for lesson in LESSONS]
        chosen = chosen[share::SHARES]
    for name in chosen:
        page.set_viewport_size({"width": 360, "height": 740})
        page.emulate_media(color_scheme="light")
        errors.clear()
        page.goto((web / name).as_uri(), wait_until="load")
        if wide := too_wide(page):
            wrong.append(f"{name} is {wide}")
        if part == "lessons":
            top, long = stands(page)
            if not (0 < top <= 1.5 and 0 < long <= 8):
                wrong.append(f"{name}: {top:.2f} screens above the first picture, {long:.1f} before the quiz")
        wrong += [f"{name}: {e}" for e in errors]
        page.evaluate(AT_ONCE)
        page.set_viewport_size({"width": 1280, "height": 900})
        for scheme in ("light", "dark"):
            if scheme == "dark":
                page.emulate_media(color_scheme="dark")
                page.evaluate(DARK)  # as the reader's own switch does
            fresh = page.evaluate(ONLY_NEW_COLOURS, judged[scheme])
            judged[scheme] += fresh
            found = page.evaluate(LOOK, COLOURS)["violations"] if fresh else []
            if scheme == "dark":
                page.evaluate(FEW)
                found += page.evaluate("options => axe.run(document, options)", STRUCTURE)["violations"]
            for v in found:
                node = v["nodes"][0]
                wrong.append(f"{name}, {scheme}: {v['id']} {node['target']} {node['failureSummary'][:160]}")
    wrong += [f"asked {u}" for u in requests if not u.startswith((web.as_uri(), "data:", "blob:"))]
    context.close()
    assert not wrong, wrong[:12]


def test_poor_contrast_is_found(demo: Path, browser: Any) -> None:
    """The short way of judging colours sees a pale line put into a page."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.add_init_script(AXE)
    page.goto((demo / "out/web/index.html").as_uri())
    judged = page.evaluate(ONLY_NEW_COLOURS, [])
    assert not page.evaluate(LOOK, COLOURS)["violations"]
    page.evaluate("document.querySelector('article h1').insertAdjacentHTML('afterend', '<p style=\"color: #bbb\">pale</p>')")
    assert page.evaluate(ONLY_NEW_COLOURS, judged)
    assert [v["id"] for v in page.evaluate(LOOK, COLOURS)["violations"]] == ["color-contrast"]
    page.close()


@pytest.mark.parametrize(
    ("planted", "rule"),
    [
        ('<svg role="img" width="50" height="50"><path d="M0,0L50,50"/></svg>', "svg-img-alt"),
        ('<svg width="50" height="50"><path role="img" d="M0,0L50,50"/></svg>', "svg-img-alt"),
        ('<svg width="50" height="50"><path aria-labelled="x" d="M0,0L50,50"/></svg>', "aria-valid-attr"),
        ("<button></button>", "button-name"),
    ],
)  # fmt: skip
def test_a_fault_of_structure_is_found_among_the_few_that_stand_for_all(demo: Path, browser: Any, planted: str, rule: str) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.add_init_script(AXE)
    page.goto((demo / "out/web/index.html").as_uri())
    page.evaluate("html => document.querySelector('article h1').insertAdjacentHTML('afterend', html)", planted)
    page.evaluate(FEW)
    assert [v["id"] for v in page.evaluate("options => axe.run(document, options)", STRUCTURE)["violations"]] == [rule]
    page.close()


def test_a_lesson_can_be_read_by_keyboard_alone(demo: Path, browser: Any) -> None:
    """Tab reaches the skip link, the units, a number and the quiz; nothing traps it."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    seen = set()
    for _ in range(250):  # the menu lists every lesson, and a page's figures are all stops
        page.keyboard.press("Tab")
        seen.add(
            page.evaluate(
                """(() => { const e = document.activeElement; if (e.closest('seatwork-quiz')) return 'quiz';
                   if (e.dataset && e.dataset.setUnits) return 'units'; if (e.classList.contains('sw-num')) return 'number';
                   if (e.classList.contains('md-skip')) return 'skip'; if (e.type === 'range') return 'panel'; return ''; })()"""
            )
        )
        if {"units", "number", "quiz", "panel"} <= seen:
            break
    page.close()
    assert {"skip", "units", "number", "quiz", "panel"} <= seen
