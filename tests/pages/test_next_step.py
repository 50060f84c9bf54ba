"""The first page, the foot of a lesson and a passed quiz lead on in the reader's role; the search forgives a slip."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.book.content import content_folder, read_content
from generator.publish.words import words_of

ROLE = "seatwork-role|juniper-bench"


@pytest.fixture
def phone(browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.faults = []
    page.on("pageerror", lambda e: page.faults.append(str(e)))
    yield page
    assert page.faults == []
    context.close()


def _role(demo: Path, id_: str) -> list[str]:
    return list(yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["roles"][id_]["lessons"])


def _pass(page: Any, demo: Path, lesson: str) -> None:
    edition = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["edition"]
    page.evaluate(
        "key => localStorage.setItem(key, JSON.stringify({v: 1, finished: [{passed: true}]}))",
        f"seatwork-quiz|juniper-bench|{edition}|{lesson}|C-01",
    )


def test_a_first_visit_asks_who_you_are_with_one_picture(demo: Path, phone: Any) -> None:
    phone.goto((demo / "out/web/index.html").as_uri())
    assert phone.locator("a.sw-choices, .sw-choices a").count() == 3
    assert phone.locator("article svg.drawing").count() == 1 and not phone.locator(".sw-front").is_visible()
    assert not phone.locator("article details.sw-fold li").first.is_visible()
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360
    # what the picture shows is entered for this page
    entered = {n["us"] for n in json.loads((demo / "out/ledger.json").read_text("utf-8"))["numbers"] if n["page"] == "index.html"}
    shown = [t for t in phone.locator("article svg text").all_text_contents() if t.strip().endswith(" ft")]
    assert shown and all(any(e in t for e in entered) for t in shown)


def test_once_there_is_a_role_the_first_page_says_what_comes_next(demo: Path, phone: Any) -> None:
    lessons = _role(demo, "excavator-operator")
    titles = read_content(content_folder()).lessons
    phone.goto((demo / "out/web/operator.html").as_uri())
    phone.locator("a.sw-card[data-role=excavator-operator]").click()
    assert phone.locator("a.sw-card[aria-current]").count() == 1
    for lesson in lessons[:3]:
        _pass(phone, demo, lesson)
    phone.goto((demo / "out/web/index.html").as_uri())
    after = titles[lessons[3]]
    assert phone.locator(".sw-go").inner_text().split("\n") == [f"Next: {after.title}", f"{after.minutes} minutes to read"]
    assert f"3 of {len(lessons)} passed by C-01" in phone.locator(".sw-far").inner_text()
    phone.locator(".sw-front figure svg").wait_for()
    assert phone.locator("article svg.drawing:visible").count() == 1
    links = phone.locator(".sw-front details li a").evaluate_all("a => a.map(x => x.href.replace(/.*\\/|.html/g, ''))")
    assert links == lessons
    phone.locator(".sw-go").click()
    assert phone.url.endswith(f"/lessons/{lessons[3]}.html")


def test_the_foot_of_a_lesson_goes_on_in_the_role_else_in_the_chapters(demo: Path, phone: Any) -> None:
    lessons = _role(demo, "truck-driver")
    at = next(i for i in range(len(lessons) - 1) if lessons[i] == "bank-loose-compacted")
    address = (demo / f"out/web/lessons/{lessons[at]}.html").as_uri()
    phone.goto(address)
    assert not phone.locator(".md-footer__link--next").get_attribute("href").startswith(lessons[at + 1])
    phone.evaluate(f"localStorage.setItem('{ROLE}', 'truck-driver')")
    phone.reload()
    foot = phone.locator(".md-footer__link--next")
    assert foot.get_attribute("href").endswith(f"/lessons/{lessons[at + 1]}.html")
    assert foot.get_attribute("aria-label") == f"Next: {read_content(content_folder()).lessons[lessons[at + 1]].title}"
    phone.goto((demo / f"out/web/lessons/{lessons[-1]}.html").as_uri())
    assert foot.get_attribute("href").endswith("/operator.html")
    phone.goto((demo / "out/web/lessons/ripping-first.html").as_uri())  # not of this role: the chapters' order stands
    assert "operator" not in foot.get_attribute("href")


def test_a_passed_quiz_leads_to_the_first_lesson_still_open(demo: Path, phone: Any) -> None:
    lessons = _role(demo, "truck-driver")
    phone.goto((demo / f"out/web/lessons/{lessons[0]}.html").as_uri())
    phone.evaluate(f"localStorage.setItem('{ROLE}', 'truck-driver')")
    _pass(phone, demo, lessons[1])
    link = "l => { const a = seatworkNext(l).querySelector('a'); return a && a.href }"
    assert phone.evaluate(link, lessons[0]).endswith(f"/{lessons[2]}.html")
    assert phone.evaluate(link, lessons[-1]).endswith(f"/{lessons[0]}.html")  # round to what was left out
    for lesson in lessons[:-1]:
        _pass(phone, demo, lesson)
    assert phone.evaluate(link, lessons[-1]) is None
    assert "show your mentor" in phone.evaluate("l => seatworkNext(l).textContent", lessons[-1])


# slips a thumb makes, and what must be shown for them; the last two stand as typed
SLIPS = {
    "dozzer": "dozer", "excavater": "excavator", "powerline": "power line", "bukcet": "bucket", "tench box": "trench box",
    "undercariage": "undercarriage", "exc": None, "xyzzyq": None,
}  # fmt: skip


def test_the_search_forgives_a_slip_and_says_so(demo: Path, phone: Any) -> None:
    asked: list[str] = []
    phone.on("request", lambda r: asked.append(r.url))
    phone.goto((demo / "out/web/index.html").as_uri())
    phone.locator("label[for=__search]").first.click()
    box, said = phone.locator("input.md-search__input"), phone.locator(".sw-meant")
    for typed, meant in SLIPS.items():
        box.fill("")
        box.press_sequentially(typed)
        if meant:
            said.get_by_text(f"Showing results for {meant}.").wait_for()
            phone.locator(".md-search-result__item a").first.wait_for()
        else:
            phone.wait_for_timeout(400)
            assert not said.is_visible(), typed
    box.fill("")
    box.press_sequentially("dozzer")
    said.get_by_role("button", name="Search for dozzer").click()
    phone.get_by_text("No matching documents").wait_for()
    assert not said.is_visible() and box.input_value() == "dozzer"
    assert {u.partition(":")[0] for u in asked} <= {"file", "blob", "data"}


def test_the_words_of_the_search_are_those_of_its_index() -> None:
    docs = [
        {"location": "a", "title": "Dig &amp; load", "text": "<p>The hoe digs.</p> Hoe 12 ft", "tags": ["cave-in"]},
        {"location": "b", "title": "Hoe", "text": "it's wet"},
    ]
    assert words_of(json.dumps({"docs": docs})) == ["hoe", "cave", "dig", "digs", "it's", "load", "the", "wet"]


def test_nothing_of_the_theme_covers_a_question(demo: Path, phone: Any) -> None:
    phone.goto((demo / "out/web/lessons/stop-work.html").as_uri())
    for hidden in ("true", "false"):  # the theme shows and hides it by the way the page is scrolled
        look = phone.evaluate("hidden => (document.querySelector('.md-top').hidden = hidden === 'true', "
                              "getComputedStyle(document.querySelector('.md-top')).position)", hidden)  # fmt: skip
        assert look == "static"
    foot = phone.evaluate(
        "['article', '.md-top', '.md-footer'].map(x => document.querySelector(x).getBoundingClientRect()).map(r => [r.top, r.bottom])"
    )
    assert foot[0][1] <= foot[1][0] and foot[1][1] <= foot[2][0] and foot[1][1] - foot[1][0] >= 44
    phone.get_by_role("button", name="Practise without an id").or_(phone.locator(".sq-start button")).last.click()
    phone.locator(".sq-start").wait_for(state="hidden")
    assert phone.locator('.md-search[role="dialog"]').get_attribute("aria-label") == "Search"


def test_a_figure_keeps_to_the_line_of_its_unit(demo: Path, phone: Any) -> None:
    phone.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    short = phone.locator("article .sw-num:visible").filter(has_text="10 ft")
    assert short.count() > 3
    assert set(short.evaluate_all("b => b.map(x => getComputedStyle(x).whiteSpace)")) == {"nowrap"}
    for lesson in ("bench-height", "stop-work", "trench-walls", "lines-above-and-below"):
        phone.goto((demo / f"out/web/lessons/{lesson}.html").as_uri())
        assert phone.evaluate("document.documentElement.scrollWidth") <= 360, lesson
