"""A lesson on a phone of 360 by 740; that its picture comes first and that it is short is seen in test_access, where all are opened."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from benchmarks.phone_screens import HEIGHT, WIDTH, measured


def test_where_a_picture_and_a_quiz_stand_is_measured(demo: Path, browser: Any) -> None:
    found = measured(browser, demo, ["bench-height", "track-width"])
    assert sorted(found) == ["bench-height", "track-width"]
    assert all(0 < top < long for top, long in found.values())


def test_a_sum_is_folded_on_a_screen_and_open_on_paper(demo: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": WIDTH, "height": HEIGHT})
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    step = page.locator(".sw-how .sw-line").first
    assert not step.is_visible()
    page.emulate_media(media="print")
    assert step.is_visible()
    page.emulate_media(media="screen")
    page.locator(".sw-how > summary").first.click()
    assert step.is_visible()
    context.close()
