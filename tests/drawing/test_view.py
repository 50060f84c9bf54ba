"""Views: dimensions that are honest, regions to point at, scales that are shared."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from generator.drawing import Canvas, Measure
from generator.drawing.boxes import overlap
from generator.drawing.view import View

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


def _broken(true: float = 30.0) -> View:
    canvas = Canvas("broken", title="A long ditch", desc="A long ditch with its middle left out.")
    view = canvas.view((0, 0, 20, 4))
    view.break_across(9.0, 10.0, 0.0, 2.0, true)
    return view


def test_a_dimension_across_a_break_tells_the_true_length() -> None:
    view = _broken()
    view.dimension((0, 0), (20, 0), Measure(49.0, "160.8 ft", "49 m"), broken=True)
    mark = next(g for g in view.group if g.get("class") == "dimension")
    assert float(mark.attrib["data-broken"]) == pytest.approx(29.0)
    with pytest.raises(ValueError, match="is drawn"):
        view.dimension((0, 0), (20, 0), Measure(20.0, "65.6 ft", "20 m"), broken=True)


@pytest.mark.parametrize(
    ("a", "b", "told", "broken"),
    [
        ((0, 0), (20, 0), 49.0, False),  # across the break without a word
        ((0, 0), (20, 0), 20.0, False),
        ((0, 0), (8, 0), 8.0, True),  # nothing is left out there
        ((0, 0), (20, 3), 49.0, True),  # what a break leaves out is level
    ],
)
def test_a_break_is_neither_hidden_nor_made_up(a: tuple[float, float], b: tuple[float, float], told: float, broken: bool) -> None:
    with pytest.raises(ValueError, match="across a break"):
        _broken().dimension(a, b, Measure(told, f"{told} ft", f"{told} m"), broken=broken)


def test_a_break_leaves_something_out() -> None:
    with pytest.raises(ValueError, match="leaves nothing out"):
        _broken(true=0.5)
