"""What a word means, by mouse, keyboard and tap; a lesson is found by the operator's word for a thing."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import content_folder, read_content
from generator.publish.edition_folder import folder_of
from tests.conftest import LESSONS


@pytest.fixture
def lesson(demo: Path, browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 1000, "height": 800})
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    yield page
    context.close()


def test_a_word_says_its_meaning_to_a_mouse_and_the_mouse_may_go_there(lesson: Any) -> None:
    word, hint = lesson.locator(".sw-term").first, lesson.get_by_role("tooltip")
    word.hover()
    hint.wait_for(state="visible")
    meaning = lesson.locator(f"#{word.get_attribute('popovertarget')} p").first.text_content()
    assert hint.inner_text() == meaning and meaning.startswith(word.inner_text())
    assert word.get_attribute("aria-describedby") == "sw-hint"
    hint.hover()
    lesson.wait_for_timeout(450)
    assert hint.is_visible()  # as long as the mouse is on it
    lesson.keyboard.press("Escape")
    assert not hint.is_visible() and word.get_attribute("aria-describedby") is None
    word.hover()
    hint.wait_for(state="visible")
    lesson.mouse.move(5, 5)
    hint.wait_for(state="hidden")


def test_a_word_says_its_meaning_to_the_keyboard_and_opens_on_enter(lesson: Any) -> None:
    words, hint = lesson.locator(".sw-term"), lesson.get_by_role("tooltip")
    words.nth(1).focus()  # from a script: no ring is drawn, so step off and on by key
    lesson.keyboard.press("Shift+Tab")
    lesson.keyboard.press("Tab")
    assert hint.is_visible()
    lesson.wait_for_timeout(450)
    assert hint.is_visible()
    lesson.keyboard.press("Enter")
    popup = lesson.locator(f"#{words.nth(1).get_attribute('popovertarget')}")
    assert popup.is_visible() and not hint.is_visible()
    assert popup.get_attribute("aria-label") == "What this word means"
    lesson.keyboard.press("Escape")
    assert not popup.is_visible()


def test_a_tap_opens_the_pop_up_and_paper_leaves_both_out(demo: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    word = page.locator(".sw-term").first
    word.tap()
    assert page.locator(f"#{word.get_attribute('popovertarget')}").is_visible()
    assert not page.locator("#sw-hint").is_visible()
    page.emulate_media(media="print")
    assert not page.locator(".sw-pop:visible, .sw-hint:visible").count()
    context.close()


def test_without_scripts_a_word_still_opens(demo: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    word = page.locator(".sw-term").first
    word.click()
    assert page.locator(f"#{word.get_attribute('popovertarget')}").is_visible()
    context.close()


def test_every_lesson_is_in_the_search_by_all_its_words(demo: Path) -> None:
    found = json.loads((folder_of(demo / "out/web") / "search/search_index.json").read_text("utf-8"))
    by_page = {d["location"]: d.get("tags", []) for d in found["docs"] if "#" not in d["location"]}
    lessons = list(read_content(content_folder()).lessons.values())
    assert sorted(x.id for x in lessons) == LESSONS
    for lesson in lessons:
        words = list(lesson.find)
        assert len(words) >= 5, f"{lesson.id} has few words to be found by"
        assert by_page[f"lessons/{lesson.id}.html"] == words


# words that stand nowhere else in the lesson's title or summary
@pytest.mark.parametrize(("typed", "lesson_id"), [("loading platform", "bench-height"), ("crooked slot", "steer-with-the-blade")])
def test_typing_an_operators_word_lists_the_lesson(demo: Path, browser: Any, typed: str, lesson_id: str) -> None:
    text = (demo / "tree/docs/lessons" / f"{lesson_id}.md").read_text("utf-8")
    body = re.sub(r"^---.*?^---$", "", text, flags=re.DOTALL | re.MULTILINE)
    assert typed not in body.lower()  # found by its find words, not by its prose
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    page = context.new_page()
    page.goto((demo / "out/web/index.html").as_uri())
    page.locator("input.md-search__input").click()
    page.keyboard.type(typed)
    page.wait_for_selector(f".md-search-result__item a[href*='{lesson_id}']", timeout=15000)
    assert lesson_id in page.locator(".md-search-result__item a").first.get_attribute("href")
    context.close()


# how crews call a thing, and the lesson that must be among the first three found
OPERATORS_WORDS = {
    "berm": "building-a-slope", "windrow": "stripping", "dirt": "bank-loose-compacted", "muck": "stripping", "overburden": "stripping",
    "hoe": "digging-pass", "trackhoe": "digging-pass", "digger": "digging-pass", "mini excavator": "track-width",
    "dump truck": "truck-match", "haul": "haul-road", "slew": "loading-order", "rollover": "side-slope-limits", "tip": "side-slope-limits",
    "sidehill": "side-slope-limits", "seat belt": "side-slope-limits", "skid": "if-it-slides", "ditch": "trench-to-grade",
    "trench box": "trench-boxes", "pothole": "found-a-line", "collapse": "trench-walls", "shoring": "trench-walls", "call before you dig": "lines-above-and-below",
    "wires": "lines-above-and-below", "compaction": "backfill-with-the-blade", "clay": "bank-loose-compacted", "swell": "bank-loose-compacted",
    "stockpile": "bank-loose-compacted", "rock": "ripping-first", "spotter": "signals", "stakes": "holding-a-grade", "bucket": "truck-match",
    "bulldozer": "ripping-first", "grousers": "holding-a-grade",
}  # fmt: skip


def test_the_crews_words_find_lessons_before_the_reference_chapter(demo: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    page = context.new_page()
    page.goto((demo / "out/web/index.html").as_uri())
    box = page.locator("input.md-search__input")
    box.click()
    wrong = []
    for typed, lesson_id in OPERATORS_WORDS.items():
        box.fill("")
        page.wait_for_function("!document.querySelector('.md-search-result__item')")
        page.keyboard.type(typed)
        page.wait_for_selector(".md-search-result__item a", timeout=15000)
        page.wait_for_timeout(150)  # the answer to the last letter typed
        found = page.evaluate(
            "[...document.querySelectorAll('.md-search-result__item')].map(i => i.querySelector('a').getAttribute('href'))"
        )
        if not any(f"/{lesson_id}.html" in href for href in found[:3]) or "reference/" in found[0]:
            wrong.append((typed, found[:3]))
    # of the words a lesson is found by, only those typed are shown
    tags = page.locator(".md-search-result .md-tag:visible")
    assert tags.count() and tags.count() == page.locator(".md-search-result .md-tag:visible:has(mark)").count()
    context.close()
    assert not wrong, wrong


def test_other_words_of_crews_are_explained(demo: Path) -> None:
    words = set(read_content(content_folder()).glossary)
    assert {"catwalk", "digger", "hoe", "muck", "ROPS", "sidehill", "slew", "tipper", "trackhoe"} <= words
    html = unescape((demo / "out/web/glossary.html").read_text("utf-8"))
    listed = re.findall(r"<dt><strong>(.*?)</strong></dt>", html)
    assert listed == sorted(words, key=str.casefold)


BLOCKED = """for (const name of ['localStorage', 'sessionStorage'])
  Object.defineProperty(window, name, { configurable: true, get() { throw new DOMException('blocked', 'SecurityError'); } });"""


def test_a_blocked_store_stops_no_script_and_is_told(browser: Any, demo: Path) -> None:
    context = browser.new_context(viewport={"width": 1200, "height": 800})
    context.add_init_script(BLOCKED)
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda e: errors.append(str(e)))
    page.goto((demo / "out/web/lessons/truck-match.html").as_uri())
    page.wait_for_selector(".sq-note:visible")
    assert "Your progress is not kept" in page.locator(".sq-note").inner_text()
    page.locator(".md-search__input").click()
    page.keyboard.type("bench height")
    page.wait_for_selector(".md-search-result__item")
    assert errors == []
    context.close()
