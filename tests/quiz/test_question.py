"""Reading questions, and what their variants ask and show."""

from __future__ import annotations

import random
from collections import Counter
from decimal import Decimal

import pytest

from generator.quiz.draw import WRONG_SHOWN, _some_choices
from generator.quiz.question import questions_in
from generator.source.problem import Problem
from generator.units.quantity import Quantity

POINT = """\
- id: edge-1
  kind: point
  drawing: {scene: loading.bench_loading}
  spots: [crest, toe]
  in_turn:
    - ask: Where is the crest?
      right: crest
      says: {toe: That is the foot.}
      because: The crest is the upper edge.
    - ask: Where is the toe?
      right: toe
      says: {crest: That is the upper edge.}
"""


def read(text: str) -> list[Problem]:
    problems: list[Problem] = []
    read.made = questions_in(text, "q.yml", {"half-of-it": "Half."}, problems)  # type: ignore[attr-defined]
    return problems


def test_a_drawing_may_be_asked_about_in_turn() -> None:
    assert read(POINT) == []
    (q,) = read.made  # type: ignore[attr-defined]
    assert [(p.ask, p.right) for p in q.asks] == [("Where is the crest?", "crest"), ("Where is the toe?", "toe")]
    assert q.ask == "Where is the crest?"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("      right: toe\n", "", "q.yml:10: edge-1: an entry of in_turn: needs an ask and a right spot; write '- ask: …' and 'right: …'"),
        ("right: toe", "right: top", "q.yml:1: edge-1 needs a drawing, spots and the right one; add drawing:, spots:, right:"),
        ("{crest: That is the upper edge.}", "{}", "q.yml:10: edge-1: spot crest says nothing; add a line to says:"),
        ("      because:", "      becuase:", "q.yml:9: an entry of in_turn: has no 'becuase'; did you mean because?"),
        ("  in_turn:", "  ask: Where?\n  in_turn:",
         "q.yml:1: edge-1 has in_turn: and an ask, right, says or because beside it; write them under in_turn: only"),
        ("the toe?", "the {toe}?", "q.yml:10: edge-1: nothing fills the blank {toe}; use machine, material, truck"),
        ("    - ask: Where is the toe?\n      right: toe\n      says: {crest: That is the upper edge.}\n", "    - Where is the toe?\n",
         "q.yml:10: edge-1: an entry of in_turn: needs an ask and a right spot; write '- ask: …' and 'right: …'"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_an_entry_is_told(old: str, new: str, said: str) -> None:
    assert POINT.count(old) == 1
    assert [str(p) for p in read(POINT.replace(old, new))] == [said]


CHOICES = """\
- id: gate-1
  kind: one
  ask: Who shuts the gate?
  choices:
    - {text: Whoever came through it., right: true}
    - {text: Nobody., says: Somebody must.}
    - {text: The last one., says: Who knows that?}
"""


@pytest.mark.parametrize("said", ["Somebody must, and soon.", "Somebody must, right now, each time."])
def test_a_text_cut_off_at_a_comma_is_refused(said: str) -> None:
    assert read(CHOICES) == []
    (problem,) = read(CHOICES.replace("Somebody must.", said))
    assert "cut off at a comma" in str(problem) and "in quotes" in problem.fix and problem.line == 6
    assert read(CHOICES.replace("Somebody must.", f"'{said}'")) == []


def quantity(figure: int) -> Quantity:
    return Quantity(Decimal(figure), "ft", "length")


@pytest.mark.parametrize(
    ("wrong", "places"),
    [([1, 2, 3, 20, 30], {1, 2, 3}), ([1, 20, 30, 40], {0, 1}), ([1, 2, 3, 20, 30, 40], {0, 1, 2, 3}), ([1, 2, 20], {2})],
)
def test_the_right_figure_takes_every_place_its_mistakes_allow(wrong: list[int], places: set[int]) -> None:
    found, seen = [quantity(x) for x in wrong], Counter[int]()
    for n in range(400):
        shown = _some_choices(quantity(10), found, tuple(range(len(wrong) + 1)), random.Random(n))
        assert 0 in shown and len(shown) == 1 + WRONG_SHOWN
        seen[sum(wrong[i - 1] < 10 for i in shown if i)] += 1
    assert set(seen) == places
    assert min(seen.values()) > 400 / len(places) * 0.6  # each about as often


def test_a_drawing_knows_its_scene_what_that_is_given_and_their_lines() -> None:
    block = "  drawing:\n    scene: loading.bench_loading\n    with:\n      stick: machine.stick_length\n      bars: [1, job.bench]\n"
    assert read(POINT.replace("  drawing: {scene: loading.bench_loading}\n", block)) == []
    (q,) = read.made  # type: ignore[attr-defined]
    d = q.drawing
    assert (d.file, d.line, d.scene, d.scene.line, d.given_line) == ("q.yml", 4, "loading.bench_loading", 4, 6)
    assert d.given == {"stick": "machine.stick_length", "bars": (1, "job.bench")}
    assert list(d.references) == ["machine.stick_length", "job.bench"]


def test_a_question_without_a_drawing_has_none() -> None:
    assert read("- id: sum-1\n  kind: order\n  ask: Which first?\n  items: [one, two, three]\n  because: So.\n") == []
    assert read.made[0].drawing is None  # type: ignore[attr-defined]
    assert [str(p) for p in read(POINT.replace("{scene: loading.bench_loading}", "bench"))] == [
        "q.yml:1: edge-1: drawing is no mapping; write 'drawing: {scene: …, with: {…}}'"
    ]
