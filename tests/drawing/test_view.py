"""Views: dimensions that are honest, regions to point at, scales that are shared."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from generator.drawing import Canvas
from generator.drawing.boxes import overlap

from .samples import degrees, length


def canvas(ident: str = "x") -> Canvas:
    return Canvas(ident, title="A drawing", desc="What the drawing shows, in words.")


def test_a_dimension_that_lies_is_refused() -> None:
    view = canvas().view((0, 0, 10, 10))
    view.dimension((0, 0), (3.048, 0), length(3.048))
    with pytest.raises(ValueError, match="but 3 m is drawn"):
        view.dimension((0, 0), (3.0, 0), length(3.048))
    with pytest.raises(ValueError, match="rad is drawn"):
        view.angle((0, 0), 0.0, 0.5, degrees(25))


def test_no_angle_where_heights_are_stretched() -> None:
    view = canvas().view((0, 0, 10, 1), stretch=3)
    with pytest.raises(ValueError, match="stretched"):
        view.angle((0, 0), 0.0, math.radians(25), degrees(25))


def test_spots_move_aside_and_refuse_doubles() -> None:
    drawing = canvas()
    view = drawing.view((0, 0, 10, 6))
    for name in ("one", "two", "three"):
        view.spot(name, f"place {name}", [(5, 3)])
    for a, b in combinations(drawing.spots(), 2):
        assert not overlap(a.box, b.box)
    with pytest.raises(ValueError, match="two regions are called 'one'"):
        view.spot("one", "again", [(1, 1)])
    assert drawing.to_svg().count('class="spot"') == 3


def test_views_can_share_a_scale() -> None:
    drawing = canvas()
    first = drawing.view((0, 0, 10, 2))
    second = drawing.view((0, 0, 5, 2), like=first)
    assert second.per_metre == first.per_metre
    with pytest.raises(ValueError, match="too wide"):
        drawing.view((0, 0, 50, 2), like=first)
