"""The board: lines it keeps in mind, the order labels are placed in, the key for those without room."""

from __future__ import annotations

import pytest

from generator.drawing.board import Board
from generator.drawing.boxes import Box
from generator.drawing.measure import Words
from generator.drawing.placing import Label, around

ROOM: Box = (0.0, 0.0, 300.0, 200.0)
MIDDLE = (150.0, 100.0)


def label(text: str, rank: int, bounds: Box = ROOM) -> Label:
    return Label(Words(text, text), around(MIDDLE, ("right",)), MIDDLE, bounds, 190.0, rank)


@pytest.mark.parametrize(("points", "closed", "count"), [(2, True, 1), (3, False, 2), (3, True, 3)])
def test_an_outline_is_closed_where_asked(points: int, closed: bool, count: int) -> None:
    board = Board("x")
    corners = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0)][:points]
    board.outline(corners, closed=closed)
    lines = [(a, b) for a, b, _ in board.taken.segments]
    assert len(lines) == count
    assert ((corners[-1], corners[0]) in lines) == (closed and points > 2)


def test_low_ranks_choose_first() -> None:
    alone = Board("x")
    alone.ask(label("First", 1))
    alone.place_labels()
    board = Board("x")
    board.ask(label("Other", 2))
    board.ask(label("First", 1))
    assert board.taken.texts == []
    board.place_labels()
    assert [text.text for text in board.taken.texts] == ["First", "Other"]
    assert board.taken.texts[0] == alone.taken.texts[0]


def test_without_room_there_is_a_mark_and_a_line_in_the_key() -> None:
    board = Board("x")
    for text in ("A long name", "Another long name"):
        board.ask(label(text, 2, (130.0, 60.0, 170.0, 140.0)))
    board.place_labels()
    assert [text.text for text in board.taken.texts] == ["a)", "b)"]
    assert [line.us for line in board.take_key()] == ["a) A long name", "b) Another long name"]
    assert board.take_key() == []


def test_without_room_for_a_mark_the_text_is_told_all_the_same() -> None:
    board = Board("x")
    board.ask(label("A long name", 2, (148.0, 98.0, 152.0, 102.0)))
    board.place_labels()
    assert board.taken.texts == []
    assert board.take_key() == [Words("A long name", "A long name")]


def test_a_pattern_is_kept_in_mind_and_a_flat_fill_is_not() -> None:
    board = Board("x")
    assert board.fill("shade")["fill"] == "currentColor"
    assert board.patterns == set()
    assert board.fill("earth") == {"fill": "url(#x-earth)"}
    assert board.patterns == {"earth"}
