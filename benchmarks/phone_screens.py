"""How far down each lesson its first picture and its quiz stand on a phone, in screens of 360 by 740.

``python -m benchmarks.phone_screens site_demo [LESSON …]``; build the site first.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from generator.publish.pdf import find_browser

WIDTH, HEIGHT = 360, 740
_TOPS = """() => [document.querySelector("figure svg"), document.getElementById("check-yourself")]
    .map(e => e ? e.getBoundingClientRect().top + window.scrollY : -1)"""


def screens(folder: Path, lessons: list[str] | None = None) -> dict[str, tuple[float, float]]:
    """:func:`measured` with a browser of its own."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as p:
        browser = p.chromium.launch(executable_path=find_browser(), args=["--no-sandbox", "--disable-gpu"])
        found = measured(browser, folder, lessons)
        browser.close()
    return found


def measured(browser: Any, folder: Path, lessons: list[str] | None = None) -> dict[str, tuple[float, float]]:
    """By lesson: where the first picture begins, and how long the lesson is before its quiz, in screens; -1 without one."""
    context = browser.new_context(viewport={"width": WIDTH, "height": HEIGHT})
    page = context.new_page()
    found = {}
    for path in sorted((folder / "out" / "web" / "lessons").glob("*.html")):
        if lessons and path.stem not in lessons:
            continue
        page.goto(path.resolve().as_uri())
        found[path.stem] = stands(page)
    context.close()
    return found


def stands(page: Any) -> tuple[float, float]:
    """Where the first picture of an open page begins and how long it is before its quiz, in screens; -1 without one."""
    picture, quiz = page.evaluate(_TOPS)
    return picture / HEIGHT, quiz / HEIGHT


def main(folder: str, *lessons: str) -> None:
    print(f"{'lesson':28} first picture   before the quiz   (screens of {WIDTH} by {HEIGHT})")
    for lesson, (picture, quiz) in screens(Path(folder), list(lessons)).items():
        print(f"{lesson:28} {picture:13.2f} {quiz:17.1f}{'   late' if picture > 1.5 or picture < 0 else ''}{'   long' if quiz > 8 else ''}")


if __name__ == "__main__":
    main(*sys.argv[1:])
