"""A bucket in a trench from above: in line, or with its side on the wall, measured in the finished drawings."""

from __future__ import annotations

import math

import pytest
from shapely import LineString, Polygon

from generator.drawing import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.laws import broken
from generator.drawing.picture import Part, read
from generator.drawing.scenes import side_load

from .samples import SAMPLES, L, _moment

FIGURES = {"limits.edge_distance": 1.83, "machine.track_length": 3.7}


def drawn(name: str, size: int, **more: object) -> Canvas:
    scene, samples = SAMPLES[name]
    made = scene(ident="x", **{**samples[size], **more})
    assert isinstance(made, Canvas)
    return made


def middle(part: Part) -> LineString:
    """The middle line of a thing along its length."""
    points = [p for s in part.shapes for p in s.points]
    ring = list(Polygon(points).convex_hull.minimum_rotated_rectangle.exterior.coords)[:4]
    sides = sorted((math.dist(ring[k], ring[(k + 1) % 4]), k) for k in range(4))
    k = sides[0][1]
    ends = [((ring[j][0] + ring[(j + 1) % 4][0]) / 2, (ring[j][1] + ring[(j + 1) % 4][1]) / 2) for j in (k, (k + 2) % 4)]
    return LineString(ends)


def turned(line: LineString) -> float:
    (x0, y0), (x1, y1) = line.coords
    return math.degrees(math.atan((y1 - y0) / (x1 - x0)))


def test_in_line_tracks_and_trench_point_the_way_the_boom_does() -> None:
    (view,) = read(drawn("in_line", 1).to_svg())
    assert view.way != "wrong" and view.how == "above"
    (cut,) = view.all("cut")
    bucket = view.all("bucket")[0]
    assert (cut.low + cut.high) / 2 == pytest.approx((bucket.low + bucket.high) / 2, abs=2 * view.grain)
    for track in view.all("tracks"):
        assert turned(middle(track)) == pytest.approx(0.0, abs=0.2)


@pytest.mark.parametrize("size", [0, 1])
def test_swept_sideways_the_bucket_lies_on_the_wall(size: int) -> None:
    (view,) = read(drawn("against_the_wall", size).to_svg())
    assert view.way == "wrong"
    (cut,) = view.all("cut")
    bucket = view.all("bucket")[0]
    corners = cut.shapes[0].points
    wall = LineString(corners[:2])
    shape = Polygon(bucket.shapes[0].points)
    assert shape.distance(wall) < 0.08 * bucket.extent[1]
    assert shape.intersection(Polygon(corners)).area > 0.98 * shape.area  # it does not go through it
    # boom and trench are not in line, and the tracks are in line with the trench
    lies = turned(LineString(corners[:2]))
    assert abs(lies) > 1
    for track in view.all("tracks"):
        assert turned(middle(track)) == pytest.approx(lies, abs=0.3)


def test_in_line_the_tracks_keep_their_distance_from_the_trench() -> None:
    svg = drawn("in_line", 1).to_svg()
    assert not broken(svg, FIGURES)
    assert {b.law for b in broken(svg, FIGURES | {"limits.edge_distance": 2.2})} == {"edge"}


def test_where_the_bucket_does_not_reach_the_trench_none_is_drawn() -> None:
    (view,) = read(drawn("in_line", 1, edge_distance=L(7.0)).to_svg())
    assert not view.all("cut", "crest")


def test_what_tells_the_way_is_left_out_for_a_question() -> None:
    plain = drawn("against_the_wall", 1, plain=True).to_svg()
    assert "wrong way" not in plain and "Twist" not in plain and "wrong way" in drawn("against_the_wall", 1).to_svg()
    assert [s.ident for s in drawn("against_the_wall", 1, spots=True).spots()] == ["bucket", "boom-foot", "counterweight"]


def test_a_twist_that_is_not_push_times_reach_is_refused() -> None:
    wrong = _moment(8.0, 20000.0) | {"moment": _moment(9.0, 20000.0)["moment"]}
    with pytest.raises(DrawingRefused, match="do not make"):
        side_load.against_the_wall(ident="x", **wrong)
