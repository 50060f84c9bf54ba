"""How a field exercise is set out: the finished SVG measured with shapely, against plain trigonometry of this file."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.drawing.errors import DrawingRefused
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import practice

from .samples import L, _flags

ANGLES = (30, 45, 60, 90)


def shape(part: Part) -> BaseGeometry:
    return unary_union([Polygon(s.points) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes])


def seen(angle: float, keep: float = 1.8) -> Seen:
    (view,) = read(practice.flag_lines(ident="f", **_flags(keep, 4.4, 3.5, angle, shoe_width=L(0.76), tail_radius=L(3.7))).to_svg())
    return view


@pytest.mark.parametrize("angle", ANGLES)
def test_the_machine_stands_at_the_second_row_and_its_ends_are_as_far_apart_as_is_said(angle: float) -> None:
    view = seen(angle)
    crest = unary_union([shape(p) for p in view.all("crest")])
    tracks = [shape(p) for p in view.all("tracks")]
    assert min(t.distance(crest) for t in tracks) == pytest.approx(1.8, abs=0.05)
    near = min(tracks, key=lambda t: t.distance(crest))
    # the near end of its near edge, and the far end of it: a track length along the slant
    corners = [(x, y) for x, y in near.minimum_rotated_rectangle.exterior.coords]
    low = min(corners, key=lambda c: c[1])
    tips = [c for c in corners if math.isclose(math.dist(c, low), 4.4, rel_tol=0.03)]
    assert any(abs(c[1] - low[1] - 4.4 * math.sin(math.radians(angle))) < 0.08 for c in tips)


def test_nearer_than_the_site_allows_is_a_breach() -> None:
    arguments = _flags(1.2, 4.4, 3.5, 45, shoe_width=L(0.76))
    svg = practice.flag_lines(ident="f", **arguments).to_svg()
    assert broken(svg, {"limits.edge_distance": 1.2, "machine.track_length": 4.4}) == []
    assert broken(svg, {"limits.edge_distance": 1.8, "machine.track_length": 4.4}) != []


@pytest.mark.parametrize("side", ["flag_along", "flag_square"])
def test_sides_that_do_not_give_the_angle_are_refused(side: str) -> None:
    arguments = _flags(1.8, 4.4, 3.5, 45)
    with pytest.raises(DrawingRefused, match="do not give the angle"):
        practice.flag_lines(ident="f", **{**arguments, side: L(arguments[side].si * 1.1)})


def test_the_sag_is_told_by_no_figure() -> None:
    svg = practice.track_marks(ident="s").to_svg()
    assert read(svg) == []  # a sketch: nothing in it is measured
    said = " ".join("".join(ET.fromstring(svg).itertext()).split())
    assert "says the manual" in said and not any(c.isdigit() for c in said)
