"""Mixed practice: which questions come up, when each comes again, and that it stays on the device.

The boxes and their days are a scheme of our own; common practice of learning with cards, no source.
"""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from generator.units import browser
from tests.player.pages import LOOK, PAGE_CSS, SCRIPTS, fieldset, number_question, one_question
from tests.player.playing import Player

Opener = Callable[..., Player]
LESSONS = {"bench": ["b-1", "b-2"], "truck": [f"t-{i}" for i in range(1, 13)], "trench": ["r-1"]}
DAY = "Math.floor((Date.now() - new Date().getTimezoneOffset() * 60000) / 86400000)"


def packed(lesson: str, data: Any) -> str:
    """A lesson's script as a build writes it: JSON, deflated, in base64."""
    text = base64.b64encode(zlib.compress(json.dumps(data).encode())).decode()
    return f'seatworkPractice({json.dumps(lesson)},"{text}");\n'


@pytest.fixture(scope="module", autouse=True)
def practice(site: Path) -> None:
    """A practice page beside the other fixture pages, with its lessons' scripts."""
    (site / "assets").mkdir(exist_ok=True)
    for name in (*SCRIPTS[1:], "practice.js"):
        (site / "assets" / name).write_bytes((LOOK / name).read_bytes())
    (site / "assets" / browser.NAME).write_text(browser.script(), "utf-8")
    (site / "page.css").write_text(PAGE_CSS, "utf-8")
    (site / "practice").mkdir(exist_ok=True)
    for lesson, ids in LESSONS.items():
        made = [(number_question() if i == 0 else one_question()) | {"id": f"{lesson}/{q}", "must": False} for i, q in enumerate(ids)]
        data = {
            "questions": made, "form": {q["id"]: fieldset(q, 1) for q in made},
            "read_again": {q["id"]: {"href": f"lessons/{lesson}.html#do-it", "text": f"{lesson}: Do it"} for q in made},
        }  # fmt: skip
        if lesson != "trench":  # whose script is lost
            (site / f"practice/{lesson}.js").write_text(packed(lesson, data), "utf-8")
    rows = [{"id": i, "title": i.capitalize(), "questions": q} for i, q in LESSONS.items()]
    scripts = "".join(f'<script src="assets/{n}"></script>' for n in (*SCRIPTS, "practice.js"))
    (site / "practice.html").write_text(
        '<!doctype html><html lang="en" data-units="us"><head><meta charset="utf-8"><title>Practice</title><link rel="icon" href="data:,">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="page.css"><link rel="stylesheet" href="quiz.css">{scripts}'
        f'</head><body><main class="md-typeset"><seatwork-practice data-site="gravel-pit" data-edition="2026-1"><script type="application/json">{json.dumps({"lessons": rows})}'
        "</script></seatwork-practice></main></body></html>", "utf-8")  # fmt: skip


def passed(p: Page, *lessons: str, crew: str = "C01", edition: str = "2026-1", ok: bool = True) -> None:
    for lesson in lessons:
        state = {"v": 1, "finished": [{"passed": ok, "finished": "2026-03-01T09:00:00Z"}]}
        p.evaluate("([k, v]) => localStorage.setItem(k, v)", [f"seatwork-quiz|gravel-pit|{edition}|{lesson}|{crew}", json.dumps(state)])
    p.reload()


def words(p: Player) -> str:
    return p.page.locator("seatwork-practice").inner_text()


def cards(p: Player, crew: str = "C01") -> dict[str, Any]:
    text = p.page.evaluate("k => localStorage.getItem(k)", f"seatwork-practice|gravel-pit|{crew}")
    return dict(json.loads(text)["cards"]) if text else {}


def test_nothing_passed_yet(opened: Opener) -> None:
    p = opened("practice")
    assert "No lesson has been passed on this device yet." in words(p) and p.page.locator("seatwork-practice button").count() == 0
    assert p.page.locator("seatwork-practice a").get_attribute("href") == "operator.html"
    passed(p.page, "bench", ok=False)
    assert "No lesson has been passed" in words(p)


@pytest.mark.parametrize("http", [False, True])
def test_a_round_from_disk_and_from_a_server(opened: Opener, http: bool) -> None:
    p = opened("practice", http=http)
    passed(p.page, "bench", "truck")
    assert (
        "C01, you have passed 2 lessons on this device. 0 of their questions are due again today, 14 have not come up here yet." in words(p)
    )
    p.page.get_by_role("button", name="Start").click()
    p.here.wait_for()
    today = p.page.evaluate(DAY)
    asked, rights = [], {}
    for n in range(10):
        asked.append(p.q)
        right = n % 2 == 0
        if p.here.get_attribute("data-kind") == "number":
            p.here.locator("input").fill(p.here.locator(".sq-ask b").inner_text().split()[0] if right else "1")
        else:
            p.here.locator(f'input[value="{0 if right else 1}"]').click()
        rights[p.q] = right
        p.press("Check my answer")
        if n < 9:
            p.press("Next")
    p.press("Finish")
    assert len(set(asked)) == 10 and {q.split("/")[0] for q in asked} == {"bench", "truck"}
    assert "5 of 10 right. What you missed comes again tomorrow." in " ".join(words(p).split())
    links = p.page.locator(".sq-again a")
    assert links.count() == 5 and links.first.get_attribute("href").endswith(".html#do-it")  # type: ignore[union-attr]
    # box 1 comes after a day, box 2 after three
    assert cards(p) == {q: [2, today + 3] if right else [1, today + 1] for q, right in rights.items()}
    stored = p.page.evaluate("Object.keys(localStorage).sort()")
    assert stored == [
        "seatwork-practice|gravel-pit|C01",
        "seatwork-quiz|gravel-pit|2026-1|bench|C01",
        "seatwork-quiz|gravel-pit|2026-1|truck|C01",
    ]
    p.press("More practice")
    assert "0 of their questions are due again today, 4 have not come up here yet." in words(p)


def test_another_edition_and_another_person(opened: Opener) -> None:
    p = opened("practice")
    passed(p.page, "bench", edition="2025-2")
    assert "C01, you have passed 1 lesson on this device." in words(p)
    passed(p.page, "truck", crew="C02")  # nobody is at work in this tab: what anybody passed
    assert "You have passed 2 lessons on this device." in words(p)
    p.page.evaluate("sessionStorage.setItem('seatwork-quiz-crew|gravel-pit', 'C02')")
    p.page.reload()
    assert "C02, you have passed 1 lesson on this device." in words(p)


def test_a_script_that_is_lost_is_told(opened: Opener) -> None:
    p = opened("practice")
    passed(p.page, "trench")
    beside = p.page.context.new_page()  # its console may complain of the lost file
    beside.goto(p.page.url)
    beside.get_by_role("button", name="Start").click()
    beside.get_by_role("alert").wait_for()
    assert "Some questions could not be fetched." in beside.locator("seatwork-practice").inner_text()
    assert beside.get_by_role("button", name="Try again").count() == 1
    beside.close()


PICK = """([lessons, cards, day, times]) => {
  const { pick } = customElements.get('seatwork-practice');
  const map = new Map(Object.entries(cards).map(([id, [box, due]]) => [id, { box, due }]));
  return Array.from({ length: times }, () => pick(lessons, map, day).sort());
}"""


def test_what_is_due_comes_first_the_lowest_box_before_all(opened: Opener) -> None:
    p = opened("practice")
    lessons = [{"id": "a", "questions": [f"q{i:02}" for i in range(20)]}]
    # six in box 1 are due, six in box 3 too, two are new, the rest are not due
    state = {f"a/q{i:02}": [1 if i < 6 else 3, 100] for i in range(12)} | {f"a/q{i}": [4, 110 + i] for i in range(14, 20)}
    for round_ in p.page.evaluate(PICK, [lessons, state, 100, 30]):
        assert len(round_) == len(set(round_)) == 10
        assert {f"a/q{i:02}" for i in range(6)} < set(round_) <= {f"a/q{i:02}" for i in range(12)}
    for round_ in p.page.evaluate(PICK, [lessons, {k: [b, 200 + d] for k, (b, d) in state.items()}, 100, 30]):
        assert {"a/q12", "a/q13"} < set(round_)  # nothing is due: what is new, then what is due soonest
        assert {f"a/q{i:02}" for i in range(12)} > set(round_) - {"a/q12", "a/q13"}


def test_new_questions_come_from_all_lessons_in_turn(opened: Opener) -> None:
    p = opened("practice")
    lessons = [{"id": i, "questions": [f"q{n}" for n in range(12)]} for i in "abcde"]
    for round_ in p.page.evaluate(PICK, [lessons, {}, 100, 20]):
        assert [sum(q.startswith(i) for q in round_) for i in "abcde"] == [2] * 5


MOVED = "([card, right, day]) => { const m = customElements.get('seatwork-practice').moved(card, right, day); return [m.box, m.due]; }"


@pytest.mark.parametrize(
    ("box", "right", "wanted"),
    [(None, True, [2, 103]), (None, False, [1, 101]), (1, True, [2, 103]), (2, True, [3, 107]), (3, True, [4, 121]), (4, True, [4, 121]),
     (4, False, [1, 101]), (1, False, [1, 101])],
)  # fmt: skip
def test_when_a_question_comes_again(opened: Opener, box: int | None, right: bool, wanted: list[int]) -> None:
    p = opened("practice")
    assert p.page.evaluate(MOVED, [None if box is None else {"box": box, "due": 90}, right, 100]) == wanted


def test_what_is_kept_and_cannot_be_read_starts_anew(opened: Opener) -> None:
    p = opened("practice")
    passed(p.page, "bench")
    for text in ("{", '{"v": 2}', '{"v": 1, "cards": {"bench/b-1": [9, 1], "bench/b-2": "x"}}', '{"v": 1, "cards": 3}'):
        p.page.evaluate("t => localStorage.setItem('seatwork-practice|gravel-pit|C01', t)", text)
        p.page.reload()
        assert "0 of their questions are due again today, 2 have not come up here yet." in words(p)
