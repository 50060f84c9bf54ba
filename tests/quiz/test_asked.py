"""Which questions of its pool a try asks. Worked out by hand, no source."""

from __future__ import annotations

import pytest

from generator.quiz.asked import MOST_ASKED, SETS, one_set, sets_of
from generator.quiz.question import Question, questions_in
from generator.source.problem import Problem

CHOICES = "\n  choices:\n    - {text: R., right: true}\n    - {text: W., says: No.}\n    - {text: V., says: No.}\n"
ITEMS = "\n  items: [A., B., C.]\n"
NUMBER = """
  draw:
    stick: {us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}
  numbers:
    bench: {calculation: loading.bench_height, stick_length: stick}
  answer: bench
  mistakes:
    - {id: half, gives: right / 2, says: No.}
    - {id: twice, gives: right * 2, says: No.}
"""
SCENE = "\n  drawing: {scene: loading.bench_loading}"


def pool(*wanted: str) -> tuple[Question, ...]:
    """Questions by kind; ``*`` behind it must be right, ``+`` is on a picture."""
    text = ""
    for n, word in enumerate(wanted):
        kind = word.rstrip("*+")
        text += f"- id: q-{n}\n  kind: {kind}\n  ask: Which?" + ("\n  must_be_right: true" if "*" in word else "")
        text += (SCENE if "+" in word else "") + {"order": ITEMS, "number": NUMBER}.get(kind, CHOICES)
    problems: list[Problem] = []
    made = questions_in(text, "q.yml", {}, problems)
    assert problems == []
    return made


EIGHT = ("one*", "one", "one+", "several", "several", "order", "order", "one")


def test_a_small_pool_is_asked_whole() -> None:
    assert sets_of(pool(*EIGHT), None, "s") == ()
    assert one_set(pool(*EIGHT), None, "s") == tuple(range(8))
    assert sets_of(pool(*EIGHT), 8, "s") == () and sets_of(pool(*EIGHT), 7, "s") != ()


@pytest.mark.parametrize(("most", "size"), [(None, MOST_ASKED), (6, 6), (7, 7), (10, 10)])
def test_so_many_are_asked_and_always_what_must_be_right(most: int | None, size: int) -> None:
    questions = pool(*EIGHT, "one*", "several", "one+")
    sets = sets_of(questions, most, "s")
    assert len(sets) == SETS
    for found in sets:
        assert len(found) == size and list(found) == sorted(set(found))
        assert {0, 8} <= set(found)
    if size > 7:  # of fewer two must be right, two are on pictures, and each other kind takes one
        assert set().union(*sets) == set(range(11))  # each is asked in some try
    assert len(set(sets)) > (5 if size < 10 else 1)


def test_more_may_have_to_be_right_than_a_try_asks() -> None:
    questions = pool(*["one*"] * 9, "one", "order")
    assert set(sets_of(questions, 6, "s")) == {tuple(range(9))}


def test_kinds_are_spread() -> None:
    questions = pool("one*", *["one"] * 5, *["several"] * 3, *["order"] * 3)
    for found in sets_of(questions, 6, "s"):
        assert {questions[i].kind for i in found} == {"one", "several", "order"}
    assert set().union(*sets_of(questions, 6, "s")) == set(range(12))


def test_a_fourth_kind_is_left_to_chance() -> None:
    """Else the one question of a rare kind would be asked in every try."""
    questions = pool(*["one"] * 6, *["several"] * 3, *["order"] * 3, "number")
    asked = [12 in found for found in sets_of(questions, 6, "s")]
    assert any(asked) and not all(asked)


@pytest.mark.parametrize(("pictures", "least"), [(0, 0), (1, 1), (2, 2), (3, 3), (6, 3)])
def test_a_third_is_on_pictures_where_the_pool_has_them(pictures: int, least: int) -> None:
    questions = pool(*["several*"] * 2, *["one+"] * pictures, *["order"] * 8)
    for found in sets_of(questions, None, "s"):
        assert len(found) == 8 and sum(questions[i].on_a_picture for i in found) >= least
    if pictures in {3, 6}:  # and no more is asked for: the rest is by chance
        assert min(sum(questions[i].on_a_picture for i in found) for found in sets_of(questions, None, "s")) == 3
    # eight of them: a third is three, for two would be less than a third
    assert 3 / 8 >= 1 / 3 > 2 / 8


def test_the_same_seed_draws_the_same() -> None:
    questions = pool(*EIGHT, "one", "several", "one+")
    assert sets_of(questions, None, "s") == sets_of(questions, None, "s") != sets_of(questions, None, "t")
    assert one_set(questions, None, "s|3") == sets_of(questions, None, "s")[3]
