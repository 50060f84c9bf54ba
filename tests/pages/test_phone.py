"""A lesson on a phone of 360 by 740: its picture comes first, and it is short."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from benchmarks.phone_screens import HEIGHT, WIDTH, measured
from tests.conftest import LESSONS


def test_the_first_picture_is_near_and_the_quiz_not_far(demo: Path, browser: Any) -> None:
    found = measured(browser, demo)
    assert sorted(found) == LESSONS
    assert {lesson: top for lesson, (top, _) in found.items() if not 0 < top <= 1.5} == {}, "screens above the first picture"
    assert {lesson: long for lesson, (_, long) in found.items() if not 0 < long <= 8} == {}, "screens before the quiz"


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
