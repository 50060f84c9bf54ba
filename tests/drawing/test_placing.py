"""Labels: none covers another, none is lost, the best place is taken."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing import Canvas, Words
from generator.drawing.boxes import Box, TextBox, inside, overlap, segment
from generator.drawing.placing import Label, Side, Taken, along, around, best_place


def canvas(ident: str = "x") -> Canvas:
    return Canvas(ident, title="A drawing", desc="What the drawing shows, in words.")


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.integers(1, 24), st.floats(0.0, 3.0))
def test_crowded_labels_never_cover_each_other(count: int, spread: float) -> None:
    drawing = canvas()
    view = drawing.view((0, 0, 10, 6))
    for k in range(count):
        view.label((5 + spread * math.cos(k), 3 + spread * math.sin(k)), f"Label number {5001 + k}")
    boxes = drawing.text_boxes("us")
    for a, b in combinations(boxes, 2):
        assert not overlap(a.box, b.box)
    for box in boxes:
        assert box.x0 >= 0 and box.x1 <= drawing.width and box.y1 <= drawing.height
    # No label is lost: each stands in the drawing or in a line under it.
    told = " ".join(box.text for box in boxes)
    for k in range(count):
        assert told.count(str(5001 + k)) == 1


ROOM: Box = (0.0, 0.0, 300.0, 200.0)
MIDDLE = (150.0, 100.0)


def label(prefer: tuple[Side, ...] = (), *, bounds: Box = ROOM, leader: bool = True) -> Label:
    return Label(Words("Bench", "Bench"), around(MIDDLE, prefer), MIDDLE, bounds, 190.0, 0, leader)


@pytest.mark.parametrize("side", ["left", "right", "above", "below"])
def test_a_label_stands_on_the_side_asked_for(side: Side) -> None:
    found = best_place(label((side,)), Taken())
    assert found is not None
    x0, y0, x1, y1 = found[0]
    assert {
        "left": x1 < MIDDLE[0],
        "right": x0 > MIDDLE[0],
        "above": y1 < MIDDLE[1],
        "below": y0 > MIDDLE[1],
    }[side]


def test_a_label_keeps_off_texts_and_lines_and_machines() -> None:
    first = best_place(label(("right",)), Taken())
    assert first is not None
    x0, y0, x1, y1 = first[0]
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    in_the_way = [
        Taken(texts=[TextBox(x0, y0, x1, y1, "Toe", "both")]),
        Taken(marks=[first[0]]),
        Taken(segments=[segment((x0, y0), (x1, y1))]),
        Taken(bodies=[corners]),
        Taken(dense=[corners]),
    ]
    for taken in in_the_way:
        found = best_place(label(("right",)), taken)
        assert found is not None and found[0] != first[0]
        assert inside(found[0], ROOM)


def test_a_leader_never_runs_through_a_text() -> None:
    # texts on all four sides, with no gap between them: a label could only stand beyond them
    wall = [(110, 60, 190, 70), (110, 130, 190, 140), (110, 60, 120, 140), (180, 60, 190, 140)]
    taken = Taken(texts=[TextBox(*box, "Wall", "both") for box in wall])
    assert best_place(label(), taken) is None
    # one that goes without a leader may
    assert best_place(label(leader=False), taken) is not None


def test_no_room_is_told() -> None:
    assert best_place(label(bounds=(140.0, 90.0, 160.0, 110.0)), Taken()) is None
    assert best_place(label(), Taken(marks=[ROOM])) is None


def test_what_is_drawn_reaches_down_to_its_lowest_part() -> None:
    assert Taken().bottom == 0
    taken = Taken(texts=[TextBox(0, 10, 40, 30, "Toe", "us")], marks=[(0, 0, 5, 20)])
    assert taken.bottom == 30
    taken.segments.append(segment((0, 50), (9, 12)))
    assert taken.bottom == 50


@pytest.mark.parametrize("left", [True, False])
def test_a_dimension_is_told_at_its_middle_on_the_outer_side(left: bool) -> None:
    places = along((0.0, 0.0), (100.0, 0.0), (1.0, 0.0), left=left, tail=0.0, prefer=None)
    point, toward, _ = min(places, key=lambda place: place[2])
    # y runs down: left of a line that runs to the right is above it
    assert point[0] == 50 and toward == (0.0, -1.0 if left else 1.0)
    beyond = along((0.0, 0.0), (100.0, 0.0), (1.0, 0.0), left=left, tail=0.0, prefer="right")
    point, toward, _ = min(beyond, key=lambda place: place[2])
    assert point[0] > 100 and toward == (1.0, 0.0)
