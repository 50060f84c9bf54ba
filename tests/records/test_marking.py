"""Marking one answer and one result, at the edges of every rule. Worked out by hand, no source."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from generator.records.answers import KEYS, figure_for, within
from generator.records.editions import LessonMarking
from generator.records.flags import Refused
from generator.records.letters import sum_letters
from generator.records.mark import LEFT_OPEN, mark, mark_answer
from generator.records.results import Given, Result, objects, read_file, read_slip
from generator.units.reading import NotAFigure
from tests.records.small import signed

WHEN = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)


def number(id_: str = "n-1", *, must: bool = False, **more: Any) -> dict[str, Any]:
    accept = {"ft": [9.8, 10.2], "m": [2.99, 3.11]}
    variant = {"unit": "ft", "accept": accept, "mistakes": [["half", {"ft": [4.9, 5.1]}], ["also-half", {"ft": [4.0, 6.0]}]]} | more
    return {"id": id_, "kind": "number", "must": must, "ask": "?", "right": [], "count": 0, "labels": [],
            "variants": [{"us": variant, "metric": variant | {"unit": "m"}}]}  # fmt: skip


def pick(kind: str, right: list[int], count: int = 4, *, must: bool = False, order: list[int] | None = None, **more: Any) -> dict[str, Any]:
    variant = {"order": [2, 0, 3, 1][:count] if order is None else order} | more
    return {"id": f"{kind}-1", "kind": kind, "must": must, "ask": "?", "right": right, "count": count,
            "labels": ["none.", "first.", "second.", "third."], "variants": [{"us": variant, "metric": variant}] * 2}  # fmt: skip


def given(answer: Any, variant: int = 0, units: Any = "us") -> Given:
    return Given(None, None, variant, units, answer)


def marked(answer: Any, q: dict[str, Any], **more: Any) -> tuple[bool, str]:
    found = mark_answer(given(answer, **more), q)
    assert found.q == q["id"]
    return found.right, found.mistake


@pytest.mark.parametrize(
    ("ends", "figure", "inside"),
    [
        ([10, 20], 10, True), ([10, 20], 20, True), ([10, 20], 9.99, False), ([10, 20], 20.01, False), ([10, 20], 15, True),
        # the slack is a hundred-millionth of the larger end, 0.0000002 here
        ([10, 20], 10 - 1.5e-7, True), ([10, 20], 10 - 2.1e-7, False), ([10, 20], 20 + 1.9e-7, True), ([10, 20], 20 + 2.1e-7, False),
        ([-20, 1], 1 + 1.5e-7, True), ([-20, 1], -20 - 3e-7, False), ([1, 20], 1 - 1.5e-7, True), ([0, 0], 0, True), ([0, 0], 1e-9, False),
        ([], 1, False), (None, 1, False),
    ],
)  # fmt: skip
def test_within(ends: Any, figure: float, inside: bool) -> None:
    assert within(ends, figure) is inside


@pytest.mark.parametrize(
    ("typed", "right", "mistake"),
    [
        ("10", True, ""), ("9.8", True, ""), ("10.2 ft", True, ""), ("9.79", False, "another figure"), ("10.21", False, "another figure"),
        ("3.05 m", True, ""), ("3.2 m", False, "another figure"), ("10 ft 2 in", True, ""), ("10 ft 3 in", False, "another figure"),
        ("9 ft 10 in", True, ""), ("-10", False, "another figure"), ("5", False, "half"), ("4.5", False, "also-half"), ("3.9", False, "another figure"),
        ("5 m", False, "another figure"),
    ],
)  # fmt: skip
def test_a_figure(typed: str, right: bool, mistake: str) -> None:
    assert marked(typed, number()) == (right, mistake)


def test_a_figure_without_a_unit_is_in_the_units_of_the_quiz() -> None:
    assert marked("3.05", number(), units="metric") == (True, "")
    assert marked("10", number(), units="metric") == (False, "another figure")
    assert marked("10 ft", number(), units="metric") == (True, "")


@pytest.mark.parametrize(
    ("typed", "accept", "unit", "value", "named"),
    [
        ("5 ft 6 in", {"ft": []}, "ft", 5.5, "ft"), ("5 ft 6 in", {"in": []}, "in", 66, "in"), ("1 h 30 min", {"h": []}, "h", 1.5, "h"),
        ("1 h 30 min", {"min": []}, "min", 90, "min"), ("2 min 15 s", {"min": []}, "min", 2.25, "min"), ("2 min 15", {"s": []}, "s", 135, "s"),
        ("-5 ft 6 in", {"ft": []}, "ft", -5.5, "ft"), ("12 T", {"ton": []}, "ton", 12, "ton"), ("12 T", {"t": []}, "t", 12, "t"),
        ("1 1/2", {"m": []}, "m", 1.5, "m"), ("-3", {"m": []}, "m", -3, "m"), ("+3", {"m": []}, "m", 3, "m"), (".5", {"m": []}, "m", 0.5, "m"),
        ("1 2/3", {"m": []}, "m", 5 / 3, "m"), ("3/4", {"m": []}, "m", 0.75, "m"), ("1,234,567", {"m": []}, "m", 1234567, "m"),
        ("3 to 1", {":1": []}, ":1", 3, ":1"), ("3", {"m": [], "ft": []}, "m", 3, "m"),
    ],
)  # fmt: skip
def test_a_typed_figure_in_a_unit_of_the_question(typed: str, accept: dict[str, Any], unit: str, value: float, named: str) -> None:
    found = figure_for(typed, {"unit": unit, "accept": accept})
    assert found.value == pytest.approx(value, rel=1e-12) and found.unit == named


@pytest.mark.parametrize(
    "typed", ["5 ft 12 in", "1 h 60 min", "2 min 60 s", "12 T", "5 kg", "3/0", "2 3/3", "1:3", "5.5 ft 6 in", "", "x", "1,5,5"]
)
def test_what_the_player_would_not_have_taken(typed: str) -> None:
    with pytest.raises(NotAFigure):
        figure_for(typed, {"unit": "ft", "accept": {"ft": [], "ton": [], "t": [], "h": [], "min": []}})


def test_a_comma_of_the_page_is_read_in_the_unit_asked_for_only() -> None:
    asked = {"unit": "lb", "accept": {"lb": [], "kg": []}, "comma": True}
    assert figure_for("12,500", asked).value == figure_for("12,500 lb", asked).value == 12500
    for typed, how in (("12,500 kg", asked), ("12,500", asked | {"comma": False}), ("12,500 T", asked | {"accept": {"lb": [], "ton": []}})):
        with pytest.raises(NotAFigure):
            figure_for(typed, how)


@pytest.mark.parametrize(
    ("kind", "right", "answer", "out"),
    [
        ("one", [0], (0,), (True, "")), ("one", [0], (2,), (False, "second.")), ("one", [3], (3,), (True, "")),
        ("point", [1], (1,), (True, "")), ("point", [1], (0,), (False, "none.")),
        ("several", [0, 2], (2, 0), (True, "")), ("several", [0, 2], (0,), (False, "left out: second.")),
        ("several", [0, 2], (0, 2, 3), (False, "third.")), ("several", [0, 2], (3, 0, 1), (False, "third.")), ("several", [1, 2, 3], (1,), (False, "left out: second.")),
        ("order", [0, 1, 2, 3], (0, 1, 2, 3), (True, "")), ("order", [0, 1, 2, 3], (0, 2, 1, 3), (False, "second in place 2")),
        ("order", [0, 1, 2, 3], (3, 1, 2, 0), (False, "third in place 1")), ("order", [0, 1, 2, 3], (0, 1, 3, 2), (False, "third in place 3")),
    ],
)  # fmt: skip
def test_what_was_picked(kind: str, right: list[int], answer: tuple[int, ...], out: tuple[bool, str]) -> None:
    assert marked(answer, pick(kind, right)) == out


def test_a_question_that_shows_some_of_its_choices_counts_the_right_ones_it_shows() -> None:
    q = pick("several", [0, 1], order=[2, 0, 3])
    assert marked((0,), q) == (True, "")
    q = pick("point", [0], ask="the toe")
    q["variants"][0]["us"]["right"] = [2]
    assert marked((2,), q) == (True, "")
    assert marked((0,), q) == (False, "none. (asked: the toe)")


@pytest.mark.parametrize(
    ("q", "answer", "said"),
    [
        (pick("one", [0]), (0, 1), "takes one choice"), (pick("point", [0]), (0, 1), "takes one choice"), (pick("one", [0]), (7,), "no such choice"),
        (pick("one", [0]), (-1,), "no such choice"), (pick("one", [0], order=[1, 2]), (0,), "no such choice"), (pick("several", [0]), (0, 0), "no such choice"),
        (pick("order", [0, 1, 2, 3]), (0, 1, 2), "all items"), (pick("one", [0]), "A", "no such choice"), (number(), (1,), "asks for a figure"),
        (number(), "soon", "no number in"),
    ],
)  # fmt: skip
def test_no_answer_to_the_question(q: dict[str, Any], answer: Any, said: str) -> None:
    with pytest.raises(Refused, match=said) as told:
        mark_answer(given(answer), q)
    assert told.value.name == "altered"


def test_the_last_variant_there_is() -> None:
    q = pick("one", [0])
    assert marked((0,), q, variant=1) == (True, "")
    with pytest.raises(Refused, match="no variant 2"):
        mark_answer(given((0,), variant=2), q)


# --- a whole result -----------------------------------------------------------------------------

QUESTIONS = (number("n-1"), pick("one", [0], must=True), pick("several", [0, 2]), pick("order", [0, 1, 2, 3]), pick("point", [1]))
RIGHT: tuple[Any, ...] = ("10", (0,), (0, 2), (0, 1, 2, 3), (1,))
WRONG: tuple[Any, ...] = ("20", (1,), (0,), (1, 0, 2, 3), (0,))


def lesson(pass_mark: float = 0.8, questions: Any = QUESTIONS) -> LessonMarking:
    return LessonMarking("bench", "2026-1", "Bench", "excavator", "abcd1234", pass_mark, tuple(questions), Path("none"))


def result(*answers: Any, origin: Any = "file", names: bool = True) -> Result:
    kinds = ("number", "one", "several", "order", "point")
    ids = [q["id"] for q in QUESTIONS]
    taken = tuple(Given(ids[i] if names else None, kinds[i], 0, "us", a) for i, a in enumerate(answers))
    return Result(origin, "a.json:1", "P-01", "bench", "2026-1", "abcd1234", "site", WHEN, WHEN, taken)


@pytest.mark.parametrize(
    ("wrong", "right", "passed", "missed"),
    [
        ((), 5, True, ()),
        ((0,), 4, True, ()),
        ((4,), 4, True, ()),
        ((0, 4), 3, False, ()),
        ((1,), 4, False, ("one-1",)),
        ((0, 1), 3, False, ("one-1",)),
    ],
)
def test_a_result(wrong: tuple[int, ...], right: int, passed: bool, missed: tuple[str, ...]) -> None:
    found = mark(result(*(WRONG[i] if i in wrong else RIGHT[i] for i in range(5))), lesson())
    assert (found.right, found.of, found.passed, found.missed_must) == (right, 5, passed, missed)
    assert [a.right for a in found.answers] == [i not in wrong for i in range(5)]


def test_a_mark_just_reached_and_just_not() -> None:
    three = (*RIGHT[:3], *WRONG[3:])
    assert mark(result(*three), lesson(0.6)).passed
    assert not mark(result(*three), lesson(0.61)).passed


def test_a_slip_that_names_no_questions_goes_by_their_kinds() -> None:
    assert mark(result(*RIGHT, names=False), lesson()).passed
    other = [*QUESTIONS[:3], QUESTIONS[4], QUESTIONS[3]]
    for names in (True, False):
        with pytest.raises(Refused, match="its questions are not those of this lesson") as told:
            mark(result(*RIGHT, names=names), lesson(questions=other))
        assert (told.value.name, told.value.crew, told.value.lesson) == ("foreign", "P-01", "bench")


@pytest.mark.parametrize("count", [4, 6])
def test_another_number_of_answers(count: int) -> None:
    with pytest.raises(Refused, match=f"it has 5 answers where this lesson asks {count} questions"):
        mark(result(*RIGHT), lesson(questions=(*QUESTIONS, QUESTIONS[0])[:count]))


def test_on_paper_a_question_may_be_left_open_and_in_a_file_not() -> None:
    for empty, i in (("", 0), ((), 1), ((), 3)):
        answers = [empty if n == i else a for n, a in enumerate(RIGHT)]
        found = mark(result(*answers, origin="paper"), lesson())
        assert (found.right, found.answers[i].mistake) == (4, LEFT_OPEN)
        for origin in ("file", "slip"):
            with pytest.raises(Refused, match="has no answer") as told:
                mark(result(*answers, origin=origin), lesson())
            assert told.value.crew == "P-01"


# --- a try that asks some of the pool -----------------------------------------------------------

SETS = ((0, 1, 3), (1, 2, 4))  # the question that must be right, the second, is in each


def of_pool(*places: int, drawn: int | None, origin: Any = "file", names: bool = True, wrong: tuple[int, ...] = ()) -> Result:
    whole = result(*(WRONG[i] if i in wrong else RIGHT[i] for i in range(5)), origin=origin, names=names)
    return replace(whole, answers=tuple(whole.answers[i] for i in places), set=drawn)


def pool(sets: tuple[tuple[int, ...], ...] = SETS) -> LessonMarking:
    return replace(lesson(), sets=sets)


@pytest.mark.parametrize("names", [True, False])
@pytest.mark.parametrize(("drawn", "places"), [(0, (0, 1, 3)), (1, (1, 2, 4))])
def test_a_try_is_marked_over_what_it_was_asked(drawn: int, places: tuple[int, ...], names: bool) -> None:
    found = mark(of_pool(*places, drawn=drawn, names=names), pool())
    assert (found.right, found.of, found.passed) == (3, 3, True)
    assert [q["id"] for q in found.asked] == [QUESTIONS[i]["id"] for i in places] == [a.q for a in found.answers]
    # 80 percent of three is 2.4, so all three are needed
    assert not mark(of_pool(*places, drawn=drawn, names=names, wrong=places[-1:]), pool()).passed
    missed = mark(of_pool(*places, drawn=drawn, names=names, wrong=(1,)), replace(pool(), pass_mark=0.5))
    assert (missed.right, missed.passed, missed.missed_must) == (2, False, ("one-1",))


@pytest.mark.parametrize(
    ("places", "drawn", "sets", "name", "said"),
    [
        ((0, 1, 3), 1, SETS, "foreign", "its questions are not those of this lesson"),  # easier questions than the set's
        ((0, 3), 0, SETS, "foreign", "it has 2 answers where this try asks 3 questions"),  # what must be right is left out
        ((0, 2, 3), 0, SETS, "foreign", "its questions are not those of this lesson"),  # and put in its place another
        ((0, 1, 2, 3, 4), 0, SETS, "foreign", "it has 5 answers where this try asks 3 questions"),
        ((0, 1, 3), 2, SETS, "altered", "does not say which of the lesson's questions it was asked"),
        ((0, 1, 3), None, SETS, "altered", "does not say which of the lesson's questions it was asked"),
        ((0, 1, 2, 3, 4), 0, (), "altered", "it names a set, and this lesson asks all its questions"),
    ],
)  # fmt: skip
def test_other_questions_than_the_set_draws_are_refused(
    places: tuple[int, ...], drawn: int | None, sets: Any, name: str, said: str
) -> None:
    with pytest.raises(Refused, match=said) as told:
        mark(of_pool(*places, drawn=drawn), pool(sets))
    assert (told.value.name, told.value.crew, told.value.lesson) == (name, "P-01", "bench")


def test_a_lesson_of_an_older_edition_asks_everything() -> None:
    assert mark(of_pool(0, 1, 2, 3, 4, drawn=None), pool(())).passed


def test_a_set_in_a_file() -> None:
    assert read_file(file(set=39), "x").set == 39 and read_file(file(), "x").set is None and read_file(file(set=255), "x").set == 255
    for bad in (True, -1, 256, 1.0, "3", [1]):
        with pytest.raises(Refused, match="its set is no set"):
            read_file(file(set=bad), "x")


# --- a result file ------------------------------------------------------------------------------


def file(**changes: Any) -> dict[str, Any]:
    answer = {"q": "one-1", "variant": 0, "units": "us", "answer": [0], "at": "2026-03-10T09:00:30Z"}
    good = {"seatwork_result": 1, "crew": "P-01", "lesson": "bench", "edition": "2026-1", "site": "site", "units": "us", "pass_mark": 0.8,
            "started": "2026-03-10T09:00:00Z", "finished": "2026-03-10T09:01:00Z", "tries": 1, "answers": [answer], "score_shown": 1}  # fmt: skip
    if "answer" in changes:
        changes["answers"] = [answer | changes.pop("answer")]
    return signed(good, **changes)


@pytest.mark.parametrize(
    ("good", "bad", "name"),
    [
        ({"crew": "x" * 80}, {"crew": "x" * 81}, "altered"), ({"figures": "abcd1234"}, {"figures": ""}, "altered"), ({}, {"lesson": 3}, "altered"),
        ({"answers": [file()["answers"][0]] * 1000}, {"answers": [file()["answers"][0]] * 1001}, "altered"), ({}, {"answers": []}, "altered"),
        ({"answer": {"answer": "9" * 200}}, {"answer": {"answer": "9" * 201}}, "altered"),
        ({"answer": {"answer": [1] * 64}}, {"answer": {"answer": [1] * 65}}, "altered"), ({}, {"answer": {"answer": [True]}}, "altered"),
        ({}, {"answer": {"variant": -1}}, "altered"), ({}, {"answer": {"variant": 1.0}}, "altered"), ({"answer": {"units": "metric"}}, {"answer": {"units": "x"}}, "altered"),
        ({"answer": {"at": "2026-03-10T09:00:00Z"}}, {"answer": {"at": "2026-03-10T08:59:59Z"}}, "times"),
        ({"answer": {"at": "2026-03-10T09:01:00Z"}}, {"answer": {"at": "2026-03-10T09:01:01Z"}}, "times"),
        ({"started": "2026-03-10T09:00:30Z"}, {"started": "2026-03-10T09:01:01Z"}, "times"),
        ({"finished": "2026-03-10T09:00:30Z"}, {"finished": "2026-03-10T09:00:30"}, "altered"), ({}, {"seatwork_result": 2}, "foreign"), ({}, {"seatwork_result": True}, "foreign"),
        ({}, {"finished": "2026-02-29T09:01:00Z"}, "altered"), ({"set": 0}, {"set": -1}, "altered"), ({"set": 255}, {"set": 256}, "altered"),
        ({}, {"set": True}, "altered"),
    ],
)  # fmt: skip
def test_the_last_that_is_taken_and_the_first_that_is_not(good: dict[str, Any], bad: dict[str, Any], name: str) -> None:
    read_file(file(**good), "x")
    with pytest.raises(Refused) as told:
        read_file(file(**bad), "x")
    assert told.value.name == name


def test_what_a_file_says_is_what_is_read() -> None:
    found = read_file(file(figures="abcd1234", answer={"units": "metric", "variant": 3}), "a.json:7")
    assert (found.origin, found.where, found.crew, found.lesson, found.edition, found.figures, found.site) == (
        "file", "a.json:7", "P-01", "bench", "2026-1", "abcd1234", "site")  # fmt: skip
    assert (found.started, found.finished) == (WHEN, datetime(2026, 3, 10, 9, 1, tzinfo=UTC)) and found.claimed == 1.0
    assert found.answers == (Given("one-1", None, 3, "metric", (0,)),)
    assert read_file(file(), "x").figures is None


@pytest.mark.parametrize(
    ("score", "claimed"), [(0.8, 0.8), (0, 0.0), (999_999, 999_999.0), (1_000_000, -1.0), (True, -1.0), ("1", -1.0), (None, -1.0)]
)
def test_the_score_shown(score: Any, claimed: float) -> None:
    assert read_file(file(score_shown=score), "x").claimed == claimed


def test_lines_of_values_one_after_another() -> None:
    text = '{"a": 1}\n\n{"b":\n 2},; {"c": 3}\n[4,\n 5]\n'
    assert objects(text) == [(1, {"a": 1}), (3, {"b": 2}), (4, {"c": 3}), (5, 4), (5, 5)]


# --- a slip -------------------------------------------------------------------------------------


def slip(layout: int = 2, answers: int = 5) -> str:
    """The code of a slip as its layout is written at the top of ``content/look/result-code.js``."""
    bits = f"{layout:04b}"
    plain = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-."
    for text in ("P-01", "bench"):
        bits += "0" + f"{len(text):06b}" + "".join(f"{plain.index(c):06b}" for c in text)
    words = "höhe".encode()
    bits += "1" + f"{len(words):08b}" + "".join(f"{b:08b}" for b in words)
    bits += f"{0xABCDE:020b}" if layout > 1 else ""
    bits += f"{37:08b}" if layout == 3 else ""
    bits += f"{61:025b}" + f"{answers:06b}"
    key = list(KEYS)
    figures = (
        "1101" + "0001" + "1010" + "0101" + "1110" + f"{key.index('ft'):08b}" + "0110" + "1110" + f"{key.index('in'):08b}" + "1111"
    )  # -1.5 ft 6 in
    parts = ["0" + "000" + f"{3:08b}" + figures, "1" + "001" + f"{0:08b}" + f"{2:05b}", "0" + "010" + f"{255:08b}" + f"{4:05b}" + "1010",
             "1" + "011" + f"{1:08b}" + f"{3:05b}" + f"{2:05b}{0:05b}{1:05b}", "0" + "100" + f"{7:08b}" + f"{31:05b}"]  # fmt: skip
    bits += "".join(parts[:answers])
    bits += "0" * (-len(bits) % 20)
    letters = "".join("0123456789ABCDEFGHJKMNPQRSTVWXYZ"[int(bits[i : i + 5], 2)] for i in range(0, len(bits), 5))
    return letters + sum_letters(letters)


def test_what_a_slip_says_is_what_is_read() -> None:
    found = read_slip(slip(), "s.csv:2")
    assert (found.origin, found.where, found.crew, found.lesson, found.edition, found.figures, found.site) == (
        "slip", "s.csv:2", "P-01", "bench", "höhe", "abcde", None)  # fmt: skip
    assert found.finished == datetime(2020, 1, 1, 1, 1, tzinfo=UTC) and found.started is None and found.claimed is None
    assert found.answers == (
        Given(None, "number", 3, "us", "-1.5 ft 6 in"), Given(None, "one", 0, "metric", (2,)),
        Given(None, "several", 255, "us", (0, 2)), Given(None, "order", 1, "metric", (2, 0, 1)), Given(None, "point", 7, "us", (31,)),
    )  # fmt: skip
    assert read_slip(slip(layout=1), "x").figures is None


def test_a_slip_says_which_set_was_asked() -> None:
    found, plain = read_slip(slip(layout=3), "s.csv:2"), read_slip(slip(), "s.csv:2")
    assert (found.set, plain.set) == (37, None)
    assert replace(found, set=None) == plain and found.figures == "abcde"


def test_a_slip_of_another_layout_or_without_answers() -> None:
    with pytest.raises(Refused, match="a layout this program does not know"):
        read_slip(slip(layout=4), "x")
    with pytest.raises(Refused, match="holds no result"):
        read_slip(slip(answers=0), "x")


def test_a_slip_is_searched_for_a_slip_of_the_pen_where_asked() -> None:
    code = slip()
    typed = "-".join((("7" if code[0] != "7" else "8") + code[1:])[i : i + 4] for i in range(0, len(code), 4))
    with pytest.raises(Refused) as told:
        read_slip(typed, "x")
    assert told.value.fix == f"look at group 1: does the slip say {code[:4]} there, not {typed[:4]}?"
    with pytest.raises(Refused) as told:
        read_slip(typed, "x", search=False)
    assert told.value.fix == "compare it with the slip, letter by letter"
    with pytest.raises(Refused) as told:
        read_slip(typed[:8] + typed[9:], "x")  # a hyphen lost: all groups but one have four letters
    assert told.value.fix.startswith("look at group 2, '") and told.value.fix.endswith("each group has 4 letters")
    with pytest.raises(Refused, match="is no slip code"):
        read_slip("ABC-DEF", "x")
