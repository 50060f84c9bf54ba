"""Rows of the answer table of paper quizzes, read by a sheet made here. Worked out by hand, no source."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from generator.records.editions import load_editions
from generator.records.flags import Refused
from generator.records.mark import mark
from generator.records.paper import load_sheet, paper_result
from generator.records.results import Given
from tests.records.small import put_edition
from tests.records.test_marking import number, pick

CODE = "ABCD-2345"
QUESTIONS = [number("n-1"), pick("one", [0], must=True), pick("several", [0, 2]), pick("order", [0, 1, 2, 3]), pick("point", [1])]
# the choices stand in the order 2, 0, 3, 1: A is the third choice, B the first, C the fourth and D the second
RIGHT = {"1": "10", "2": "B", "3": "AB", "4": "BDAC", "5": "D"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    put_edition(tmp_path)
    figures = load_editions(tmp_path).find("2026-1", "bench-height", None).figures
    sheet = {
        "seatwork_paper": 1, "sheet": CODE, "crew": "P-01", "lesson": "bench-height", "edition": "2026-1", "figures": figures, "site": "juniper-bench",
        "units": "us", "pass_mark": 0.8, "questions": QUESTIONS,
    }  # fmt: skip
    (tmp_path / "editions" / "paper").mkdir()
    (tmp_path / "editions" / "paper" / "ABCD2345.json").write_text(json.dumps(sheet), "utf-8")
    return tmp_path


def row(**changes: str) -> dict[str, str]:
    return {"sheet": CODE, "crew": "", "lesson": "", "date": "2026-04-20", **RIGHT} | {k.removeprefix("a"): v for k, v in changes.items()}


def taken(folder: Path, cells: dict[str, str], dates: Any = None) -> Any:
    site: Any = SimpleNamespace(folder=folder, settings=SimpleNamespace(dates=dates))
    return paper_result(site, load_editions(folder), cells, "paper.csv:2")


def refused(folder: Path, cells: dict[str, str]) -> tuple[str, str, str]:
    with pytest.raises(Refused) as told:
        taken(folder, cells)
    assert (told.value.crew, told.value.lesson) in {("P-01", "bench-height"), ("", "")}
    return told.value.name, told.value.what, told.value.fix


def test_a_row_is_marked_by_the_sheet_it_was_printed_as(folder: Path) -> None:
    result, lesson = taken(folder, row(crew="P-01", lesson="bench-height"))
    assert (result.origin, result.where, result.crew, result.lesson, result.edition, result.site, result.sheet) == (
        "paper", "paper.csv:2", "P-01", "bench-height", "2026-1", "juniper-bench", CODE)  # fmt: skip
    assert (result.started, result.finished, result.claimed) == (None, datetime(2026, 4, 20, tzinfo=UTC), None)
    assert result.answers == (
        Given("n-1", "number", 0, "us", "10"), Given("one-1", "one", 0, "us", (0,)), Given("several-1", "several", 0, "us", (2, 0)),
        Given("order-1", "order", 0, "us", (0, 1, 2, 3)), Given("point-1", "point", 0, "us", (1,)),
    )  # fmt: skip
    assert (
        lesson.pass_mark == 0.8 and lesson.figures == result.figures and [q["id"] for q in lesson.questions] == [q["id"] for q in QUESTIONS]
    )
    assert mark(result, lesson).right == 5


@pytest.mark.parametrize("typed", ["a b", "B and A", "b, a", "A;B", "(A) (B)", "B/A", "A & B", "A+B", "a.b.", "B > A", "B-A"])
def test_letters_however_they_are_written(folder: Path, typed: str) -> None:
    result, lesson = taken(folder, row(a3=typed))
    assert set(result.answers[2].answer) == {0, 2} and mark(result, lesson).right == 5


def test_the_word_and_is_no_letters_but_its_letters_are(folder: Path) -> None:
    assert taken(folder, row(a4="B, D, A and C"))[0].answers[3].answer == (0, 1, 2, 3)
    assert refused(folder, row(a3="Band"))[1] == "answer 3: there is no choice 'N'"


def test_what_is_left_open_is_wrong_and_a_row_with_nothing_is_not_handed_in(folder: Path) -> None:
    result, lesson = taken(folder, row(a1="", a3="", a4=""))
    assert [a.answer for a in result.answers] == ["", (0,), (), (), (1,)] and mark(result, lesson).right == 2
    nothing = row(date="", **{f"a{n}": "" for n in range(1, 6)})
    assert taken(folder, nothing) is None and taken(folder, row(sheet="")) is None
    assert taken(folder, {k: v for k, v in nothing.items() if k != "date"}) is None
    # with a day and no answer it was handed in empty
    assert mark(*taken(folder, nothing | {"date": "2026-04-20"})).right == 0
    # columns that the table lacks are left open
    assert mark(*taken(folder, {k: v for k, v in row().items() if k not in {"4", "5"}})).right == 3


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"a2": "E"}, ("mistyped", "answer 2: there is no choice 'E'")), ({"a2": "@"}, ("mistyped", "answer 2: there is no choice '@'")),
        ({"a2": "7"}, ("mistyped", "answer 2: there is no choice '7'")), ({"a3": "ABA"}, ("mistyped", "answer 3 names a letter twice")),
        ({"a2": "AB"}, ("mistyped", "answer 2 takes one letter")), ({"a5": "AB"}, ("mistyped", "answer 5 takes one letter")),
        ({"a4": "ABC"}, ("mistyped", "answer 4 needs all 4 letters, in order")), ({"a1": "10 kg"}, ("mistyped", "answer 1: the unit 'kg' does not fit the question (write one of ft, m)")),
        ({"a6": "A"}, ("mistyped", "this sheet has 5 questions, but there is an answer 6")), ({"a0": "A"}, ("mistyped", "this sheet has 5 questions, but there is an answer 0")),
        ({"crew": "P-02"}, ("mistyped", "sheet ABCD-2345 was printed for crew P-01, not 'P-02'")),
        ({"lesson": "t" * 50}, ("mistyped", f"sheet ABCD-2345 was printed for lesson bench-height, not '{'t' * 40}'")),
        ({"date": ""}, ("unreadable", "the row has no date")), ({"sheet": "ABCD"}, ("mistyped", "'ABCD' is no sheet code")),
        ({"sheet": "ABCD-2346"}, ("mistyped", "no sheet ABCD-2346 was printed for this site")), ({"sheet": "x" * 30}, ("mistyped", f"'{'x' * 20}' is no sheet code")),
        ({"sheet": "../ABCD2345"}, ("mistyped", "'../ABCD2345' is no sheet code")),
    ],
)  # fmt: skip
def test_a_slip_of_the_pen_is_told(folder: Path, changes: dict[str, str], said: tuple[str, str]) -> None:
    name, what, fix = refused(folder, row(**changes))
    assert (name, what) == said and fix


def test_what_to_do_about_it(folder: Path) -> None:
    assert refused(folder, row(a2="E"))[2] == "type the letter or the figure as it stands on the paper, or leave the cell empty"
    assert refused(folder, row(date=""))[2] == "write it as 2026-03-14"
    assert refused(folder, row(date="soon"))[:2] != refused(folder, row(date=""))[:2]
    assert refused(folder, row(crew="P-02"))[2] == "check the sheet code and the crew"
    assert refused(folder, row(sheet="ABCD"))[2] == "copy it from the top of the sheet"


@pytest.mark.parametrize(("dates", "day"), [("month first", (5, 4)), ("day first", (4, 5))])
def test_a_date_is_read_in_the_settings_order(folder: Path, dates: Any, day: tuple[int, int]) -> None:
    found = taken(folder, row(date="5/4/2026"), dates)[0].finished
    assert (found.month, found.day) == day


def test_a_sheets_code_is_read_however_it_is_typed(folder: Path) -> None:
    assert taken(folder, row(sheet=" abcd 2345 "))[0].sheet == CODE
    (folder / "editions/paper/ABCD2345.json").rename(folder / "editions/paper/0BCD2341.json")
    assert load_sheet(folder, "obcd-234l")["sheet"] == CODE


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "[]",
        '{"seatwork_paper": 2, "crew": "a", "lesson": "b"}',
        '{"seatwork_paper": 1, "crew": "a"}',
        '{"seatwork_paper": 1, "crew": 1, "lesson": "b"}',
    ],
)
def test_a_damaged_sheet_is_told(folder: Path, text: str) -> None:
    (folder / "editions/paper/ABCD2345.json").write_text(text, "utf-8")
    assert refused(folder, row()) == ("unreadable", "what was kept of sheet ABCD-2345 cannot be read", "print the sheet again")


def test_more_than_nine_questions_are_counted_by_their_number(folder: Path) -> None:
    path = folder / "editions/paper/ABCD2345.json"
    sheet = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps(sheet | {"questions": [QUESTIONS[1]] * 10}), "utf-8")
    cells = {"sheet": CODE, "crew": "", "lesson": "", "date": "2026-04-20"} | {str(n): "B" if n < 10 else "A" for n in range(1, 11)}
    assert [a.answer for a in taken(folder, cells)[0].answers] == [(0,)] * 9 + [(2,)]
    assert refused(folder, cells | {"12": "B", "11": "A"})[1] == "this sheet has 10 questions, but there is an answer 11"
