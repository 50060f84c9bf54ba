"""What a question may say of its pictures, and the line that names what it may not. Worked out by hand, no source."""

from __future__ import annotations

import pytest

from generator.quiz.paper import free_letters
from generator.quiz.picture import tells
from tests.quiz.test_reading import ONE, changed, good, read

SHOWN = """\
- id: look-1
  kind: one
  ask: Which of them is right?
  drawing: {scene: sliding.slide_film, with: {slope: job.working_side_slope}}
  choices:
    - {frame: 1, describe: One., right: true}
    - {frame: 3, with: {wrong: true}, way: wrong, describe: Two., says: That one slides.}
"""
EACH = """\
- id: look-2
  kind: one
  ask: Which of them is right?
  choices:
    - {drawing: {scene: sliding.slide_film}, text: One., right: true}
    - {drawing: {scene: leaning.lean_film}, text: Two., says: No.}
    - {text: Neither., says: One is.}
"""
ORDER = """\
- id: order-1
  kind: order
  ask: In which order?
  items: [First., Second., Third., Fourth.]
  free: [2, 3]
"""
PICTURED = """\
- id: order-2
  kind: order
  ask: In which order?
  drawing: {scene: sliding.slide_film}
  items:
    - {frame: 1, describe: One.}
    - {frame: 2, text: Two.}
    - Three.
"""


def test_choices_made_of_the_questions_drawing() -> None:
    q = good(SHOWN)
    assert q.picture is None, "the drawing is that of the choices, and stands not above them"
    first, second = q.pictures
    assert first is not None and second is not None
    assert (first.frame, first.describe, first.way) == (1, "One.", "") and (second.frame, second.way) == (3, "wrong")
    assert first.drawing.scene == second.drawing.scene == "sliding.slide_film"
    assert dict(first.drawing.given or {}) == {"slope": "job.working_side_slope"}
    assert dict(second.drawing.given or {}) == {"slope": "job.working_side_slope", "wrong": True}
    assert q.all_pictures == (first, second)


def test_choices_with_drawings_of_their_own_leave_the_questions_above_them() -> None:
    q = good(EACH.replace("  choices:", "  drawing: {scene: stopping.stop_film}\n  frame: 2\n  choices:"))
    assert q.picture is not None and (q.picture.drawing.scene, q.picture.frame) == ("stopping.stop_film", 2)
    assert [p.drawing.scene if p else None for p in q.pictures] == ["sliding.slide_film", "leaning.lean_film", None]
    assert len(q.all_pictures) == 3 and good(ONE).pictures == () and good(ONE).all_pictures == ()


def test_what_a_choice_adds_stands_with_a_drawing_that_gives_nothing() -> None:
    q = good(changed(SHOWN, ", with: {slope: job.working_side_slope}}", "}"))
    assert [dict(p.drawing.given or {}) for p in q.pictures if p] == [{}, {"wrong": True}]


def test_items_with_pictures_and_words() -> None:
    q = good(PICTURED)
    assert q.items == ("", "Two.", "Three.") and q.picture is None
    assert [(p.frame, p.describe) if p else None for p in q.pictures] == [(1, "One."), (2, ""), None]
    assert good(ORDER).pictures == ()


@pytest.mark.parametrize(
    ("text", "old", "new", "said"),
    [
        (SHOWN, "{frame: 1, ", "{frame: 0, ", "q.yml:6: a choice: frame is '0'; write the number of a step, the first being 1"),
        (SHOWN, "{frame: 1, ", "{frame: -2, ", "q.yml:6: a choice: frame is '-2'; write the number of a step, the first being 1"),
        (SHOWN, "{frame: 1, ", "{frame: 1.5, ", "q.yml:6: a choice: frame is '1.5'; write the number of a step, the first being 1"),
        (SHOWN, "{frame: 1, ", "{frame: first, ", "q.yml:6: a choice: frame is 'first'; write the number of a step, the first being 1"),
        (SHOWN, "way: wrong", "way: right", "q.yml:7: a choice: way is 'right'; write 'way: wrong', or leave it out"),
        (SHOWN, "with: {wrong: true}", "with: [wrong]", "q.yml:7: a choice: with is no block of names; write 'with: {NAME: REFERENCE}'"),
        (SHOWN, "describe: One.", "describe: [One]", "q.yml:6: a choice: describe is no plain text; say in words what the picture shows"),
        (SHOWN, "describe: One.", "describe: 'A {slope}.'", "q.yml:6: a choice: describe is no plain text; say in words what the picture shows"),
        (SHOWN, "describe: One., ", "", "q.yml:6: a choice is a picture alone and does not say what it shows; add 'describe: …' in neutral words"),
        (EACH, "drawing: {scene: leaning.lean_film}", "drawing: leaning", "q.yml:6: a choice: drawing is no mapping; write 'drawing: {scene: …, with: {…}}'"),
        (EACH, "{drawing: {scene: sliding.slide_film}, text", "{frame: 1, text", "q.yml:5: a choice has frame and no drawing; add 'drawing: {scene: …}'"),
        (EACH, "{drawing: {scene: sliding.slide_film}, text", "{describe: Seen., text", "q.yml:5: a choice has describe and no drawing; add 'drawing: {scene: …}'"),
        (PICTURED, "    - {frame: 1, describe: One.}", "    - {frame: 1}", "q.yml:6: item 1 is a picture alone and does not say what it shows; add 'describe: …' in neutral words"),
        (PICTURED, "    - {frame: 1, describe: One.}", "    - {text: ''}", "q.yml:6: item 1 has no text and no drawing; add 'text: …' or 'drawing: …'"),
        (ORDER, "[2, 3]", "[0, 1]", "q.yml:5: free is no list of places that follow each other; write 'free: [[2, 3]]', the first item being 1"),
        (ORDER, "[2, 3]", "[4, 5]", "q.yml:5: free is no list of places that follow each other; write 'free: [[2, 3]]', the first item being 1"),
        (ORDER, "[2, 3]", "[1, 3]", "q.yml:5: free is no list of places that follow each other; write 'free: [[2, 3]]', the first item being 1"),
        (ORDER, "[2, 3]", "[2]", "q.yml:5: free is no list of places that follow each other; write 'free: [[2, 3]]', the first item being 1"),
        (ORDER, "[2, 3]", "[[2]]", "q.yml:5: free is no list of places that follow each other; write 'free: [[2, 3]]', the first item being 1"),
        (ORDER, "[2, 3]", "[[1, 2], [2, 3]]", "q.yml:5: free names a place twice, or all of them; leave some order to find"),
        (ORDER, "[2, 3]", "[[1, 2, 3, 4]]", "q.yml:5: free names a place twice, or all of them; leave some order to find"),
        (ONE, "  choices:", "  items: [A., B., C.]\n  free: [1, 2]\n  choices:", "q.yml:1: gate-1 puts nothing in order; take out free:"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_picture_is_told(text: str, old: str, new: str, said: str) -> None:
    assert read(changed(text, old, new))[1] == [said]


@pytest.mark.parametrize(
    ("written", "groups"),
    [("[2, 3]", ((1, 2),)), ("[[2, 3]]", ((1, 2),)), ("[[1, 2], [3, 4]]", ((0, 1), (2, 3))), ("[3, 4]", ((2, 3),)), ("[2, 1]", ((0, 1),))],
)
def test_places_whose_items_may_change(written: str, groups: tuple[tuple[int, ...], ...]) -> None:
    assert good(changed(ORDER, "[2, 3]", written)).free == groups


def test_what_may_change_is_told_by_letters() -> None:
    class Built:
        q = good(changed(ORDER, "[2, 3]", "[[1, 2], [3, 4]]"))
        variants = ({"us": {"order": [2, 0, 3, 1]}},)

    assert free_letters(Built(), "us") == "B and D may stand in any order among themselves; A and C may stand in any order among themselves"  # type: ignore[arg-type]


def test_a_picture_that_writes_nothing_of_the_kind() -> None:
    plain = '<svg xmlns="http://www.w3.org/2000/svg"><text>6 ft</text></svg>'
    assert tells(plain) == "" and tells(plain.replace("6 ft", "the wrong way")) == "the wrong way"


def many(count: int, text: str) -> str:
    """As many choices or items as that, each with a picture of its own."""
    head, line = text.split("ROWS")[0], text.split("ROWS")[1]
    return head + "".join(line.replace("N", str(n)) for n in range(1, count + 1))


CHOICES = """\
- id: look-3
  kind: several
  ask: Which of them are right?
  drawing: {scene: sliding.slide_film}
  choices:
ROWS    - {frame: N, describe: Picture N., right: true}
"""
ITEMS = """\
- id: order-3
  kind: order
  ask: In which order?
  drawing: {scene: sliding.slide_film}
  items:
ROWS    - {frame: N, describe: Picture N.}
"""


def test_as_many_pictures_as_a_phone_shows_at_once() -> None:
    """Two beside each other in two rows to choose from, in three to put in order; one more is refused. Common practice, no source."""
    assert len(good(many(4, CHOICES)).pictures) == 4 and len(good(many(6, ITEMS)).pictures) == 6
    assert read(many(5, CHOICES))[1] == ["q.yml:1: look-3 has 5 pictures to look at, too many for a phone; keep 4"]
    assert read(many(7, ITEMS))[1] == ["q.yml:1: order-3 has 7 pictures to look at, too many for a phone; keep 6"]


def test_a_question_with_a_picture_is_answered_by_looking() -> None:
    assert [good(text).on_a_picture for text in (SHOWN, EACH, PICTURED, ORDER, ONE)] == [True, True, True, False, False]
