"""Boxes and segments, against shapely, a general library of plane geometry.

The points lie on a grid of whole numbers, so that touching is touching and no rounding decides.
"""

from __future__ import annotations

import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.drawing.boxes import (
    Box,
    Point,
    any_near,
    box_about,
    covers,
    crossed,
    hits,
    inside,
    nearest,
    overlap,
    rings,
    segment,
    segment_hits,
)

whole = st.integers(-8, 8)
points = st.tuples(whole, whole)
boxes = st.tuples(points, st.integers(1, 8), st.integers(1, 8)).map(lambda b: (b[0][0], b[0][1], b[0][0] + b[1], b[0][1] + b[2]))
thorough = settings(deadline=None, derandomize=True, max_examples=400)


@thorough
@given(boxes, points, points)
def test_a_segment_enters_a_box(box: Box, a: Point, b: Point) -> None:
    expected = shapely.box(*box).intersects(shapely.LineString([a, b]))
    assert segment_hits(box, a, b) == expected
    assert hits(box, [segment(a, b)] * 3) == 3 * expected


@thorough
@given(points, points, points, points)
def test_segments_cross(a: Point, b: Point, c: Point, d: Point) -> None:
    # where one only touches the other, or both lie on one line, either answer will do
    first, second = shapely.LineString([a, b]), shapely.LineString([c, d])
    assume(first.crosses(second) or not first.intersects(second))
    ends = [shapely.Point(p) for p in (a, b, c, d)]
    assume(all(first.distance(p) > 0 for p in ends[2:]))
    assume(all(second.distance(p) > 0 for p in ends[:2]))
    assert crossed([segment(a, b)], c, d) == first.crosses(second)


@thorough
@given(boxes, boxes, st.integers(0, 5))
def test_boxes_overlap_or_come_near(a: Box, b: Box, gap: int) -> None:
    first, second = shapely.box(*a), shapely.box(*b)
    grown = first.buffer(gap, cap_style="square", join_style="mitre")
    assert overlap(a, b, gap) == (grown.intersection(second).area > 1e-9)
    grown = first.buffer(4, cap_style="square", join_style="mitre")
    assert any_near(a, [b]) == (grown.intersection(second).area > 1e-9)
    assert not any_near(a, [])
    assert inside(a, b) == second.covers(first)


@thorough
@given(boxes, points)
def test_the_nearest_point_of_a_box(box: Box, point: Point) -> None:
    found, shape = shapely.Point(nearest(box, point)), shapely.box(*box)
    assert shape.covers(found)
    assert found.distance(shapely.Point(point)) == shape.distance(shapely.Point(point))


@thorough
@given(st.lists(points, min_size=3, max_size=6), boxes)
def test_a_shape_covers_a_corner_or_the_middle(shape: list[Point], box: Box) -> None:
    polygon = shapely.Polygon(shape)
    assume(polygon.is_valid and polygon.area > 0)
    x0, y0, x1, y1 = box
    looked_at = [(x0, y0), (x0, y1), (x1, y0), (x1, y1), ((x0 + x1) / 2, (y0 + y1) / 2)]
    places = [shapely.Point(p) for p in looked_at]
    assume(not any(polygon.boundary.covers(p) for p in places))
    assert covers(shape, box) == any(polygon.contains(p) for p in places)


@thorough
@given(points, st.integers(1, 60))
def test_rings_go_out_from_the_centre(centre: Point, apart: int) -> None:
    found = list(rings(centre, apart))
    assert found[0] == (0, centre)
    distances = [radius for radius, _ in found]
    assert distances == sorted(distances) and max(distances) < 400
    for radius, point in found:
        assert abs(shapely.Point(centre).distance(shapely.Point(point)) - radius) < 1e-9
    assert len(set(found)) == len(found)


@thorough
@given(points, st.integers(1, 8), st.integers(1, 8))
def test_a_box_about_its_centre(centre: Point, half_x: int, half_y: int) -> None:
    shape = shapely.box(*box_about(centre, half_x, half_y))
    assert shape.centroid.equals(shapely.Point(centre))
    assert shape.bounds == box_about(centre, half_x, half_y)
    assert shape.area == 4 * half_x * half_y
