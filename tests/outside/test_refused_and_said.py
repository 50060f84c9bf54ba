"""What the checks of procedures hold to: each topic's own, what must be refused, and what a result is said to be."""

from __future__ import annotations

from pytest import mark

from generator.calc.catalogue import TOPICS
from tests.outside.collected import tables
from tests.outside.planted_steps import Refused, judged, labels, refused, rounded_or_in_a_state, said, tells


@mark.parametrize("topic", TOPICS)
def test_the_right_procedures_are_not_turned_away(topic: str) -> None:
    assert judged(topic) is None


@mark.parametrize("case", refused(), ids=lambda r: f"{r.calculation}-{r.why[:40]}")
def test_what_must_be_refused_is(case: Refused) -> None:
    assert case.met(tables()), f"{case.inputs}: {case.outcome(case.inputs, tables())}"
    assert set(case.takes) <= set(case.inputs) and case.why


@mark.parametrize("name", said())
def test_a_result_says_its_state_or_its_rounding(name: str) -> None:
    assert tells(labels()[name], said()[name]), labels()[name]


def test_every_result_in_a_state_or_rounded_is_listed() -> None:
    assert {n for n, label in labels().items() if rounded_or_in_a_state(label)} == set(said())
