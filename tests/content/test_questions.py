"""What the shipped questions are like, lesson by lesson. Common practice of teaching, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest

from generator.book.content import Content, content_folder, read_content
from generator.quiz.asked import sets_of
from generator.quiz.question import Question, questions_in
from generator.source.problem import Problem
from tests.content.counted import Counts, needs_arctan, stops

# lessons whose questions look: 9 to 12 of them, a third on pictures, a third sums at most.
# Whoever converts a lesson adds it here; the list is to hold them all.
CONVERTED = (
    "at-the-tip",
    "backfill-with-the-blade",
    "bank-loose-compacted",
    "bench-height",
    "building-a-slope",
    "digging-pass",
    "even-wear",
    "excavator-on-a-slope",
    "found-a-line",
    "haul-road",
    "heat-and-hours",
    "holding-a-grade",
    "if-it-slides",
    "lifting-with-the-bucket",
    "lines-above-and-below",
    "loading-order",
    "moving-the-machine",
    "park-and-leave",
    "payload-tally",
    "pins-and-side-loads",
    "reading-grades",
    "reverse-is-wear",
    "ripping-first",
    "seeing-people",
    "side-slope-limits",
    "signals",
    "slot-front-to-back",
    "spoil-pile",
    "standing-on-the-bench",
    "steer-with-the-blade",
    "stop-work",
    "stripping",
    "track-width",
    "trench-boxes",
    "trench-to-grade",
    "trench-walls",
    "truck-match",
    "under-the-bucket",
    "undercarriage-left",
    "walk-around",
    "what-the-screen-tells",
)


@pytest.fixture(scope="module")
def content() -> Content:
    return read_content(content_folder())


def asked(text: str) -> tuple[Question, ...]:
    problems: list[Problem] = []
    found = questions_in(text, "q.yml", {}, problems)
    assert problems == []
    return found


@pytest.mark.parametrize("lesson", CONVERTED)
def test_a_lesson_asks_enough_looks_enough_and_sums_little(content: Content, lesson: str) -> None:
    assert Counts.of(content.questions[lesson]).wrong() == []


@pytest.mark.parametrize("lesson", CONVERTED)
def test_something_must_be_right_and_not_everything(content: Content, lesson: str) -> None:
    questions = content.questions[lesson]
    assert 0 < sum(q.must_be_right for q in questions) < len(questions)


@pytest.mark.parametrize("lesson", CONVERTED)
def test_every_question_is_asked_in_some_try(content: Content, lesson: str) -> None:
    questions = content.questions[lesson]
    sets = sets_of(questions, None, f"web|{lesson}")
    assert not sets or set().union(*sets) == set(range(len(questions))), "too many must be right, or are the only ones of their kind"


@pytest.mark.parametrize("lesson", CONVERTED)
def test_no_right_answer_needs_an_arctangent(content: Content, lesson: str) -> None:
    assert {q.id: found for q in content.questions[lesson] if (found := needs_arctan(q))} == {}


def test_stop_is_no_surer_guess_than_any_other_choice(content: Content) -> None:
    found = stops(q for lesson in CONVERTED for q in content.questions[lesson])
    assert found.right <= found.chance, found.questions


def test_every_converted_lesson_is_a_lesson(content: Content) -> None:
    assert set(CONVERTED) <= set(content.lessons) and len(set(CONVERTED)) == len(CONVERTED)


# --- the counting itself ------------------------------------------------------------------------

ROW = "- id: {id}\n  kind: one\n  ask: Which?{more}\n  choices:\n    - {{text: '{a}', right: true}}\n    - {{text: B., says: No.}}\n    - {{text: C., says: No.}}\n    - {{text: D., says: No.}}\n"


def rows(*first: str, more: str = "") -> str:
    return "".join(ROW.format(id=f"q-{n}", a=a, more=more) for n, a in enumerate(first))


def test_too_few_pictures_and_too_many_sums_are_told() -> None:
    plain = asked(rows(*"abcdefghi"))
    assert Counts.of(plain).wrong() == ["0 of 9 on pictures, less than a third"]
    some = asked(rows(*"abc", more="\n  drawing: {scene: a.b}") + rows(*"abcdef").replace("q-", "r-"))
    assert Counts.of(some).wrong() == []
    assert Counts.of(some[:8]).wrong() == ["8 questions, not 9 to 12"]
    assert Counts(12, 4, 5).wrong() == ["5 of 12 are sums, more than a third"] and Counts(12, 4, 4).wrong() == []
    assert Counts(13, 5, 0).wrong() == ["13 questions, not 9 to 12"]


def test_stop_that_is_right_more_often_than_chance_is_found() -> None:
    found = stops(asked(rows("Stop work and call.", "Go on.")))
    assert (found.right, found.chance, found.questions) == (1, Fraction(1, 4), ("q-0",))
    three = rows("Stop.", "Go.", "Go.", "Go.").replace("text: B.", "text: Stop now.")
    found = stops(asked(three))
    assert (found.right, found.chance) == (1, Fraction(2 + 1 + 1 + 1, 4))
    assert stops(asked(rows("Stopping distance.", "Unstop it."))).questions == ()


SUM = """\
- id: q-1
  kind: number
  ask: How steep?
  numbers:
    leans: {calculation: grade.angle, grade: job.grade}
    plain: {calculation: loading.bench_height, stick_length: machine.stick_length}
  answer: leans
  mistakes:
    - {id: half, gives: right / 2, says: No.}
"""


def test_an_arctangent_in_the_right_answer_is_found() -> None:
    assert needs_arctan(asked(SUM)[0]) == ["grade.angle"]
    assert needs_arctan(asked(SUM.replace("answer: leans", "answer: plain"))[0]) == []
    onward = SUM.replace("stick_length: machine.stick_length", "stick_length: leans").replace("answer: leans", "answer: plain")
    assert needs_arctan(asked(onward)[0]) == ["grade.angle"]
