"""A finished drawing read back: distances, areas and sizes against shapely."""

from __future__ import annotations

import math
import random

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from generator.drawing import Canvas
from generator.drawing.picture import Part, Seen, Shape, read

Points = list[tuple[float, float]]


def canvas() -> Canvas:
    return Canvas("one", title="A title of it", desc="What it shows")


def ring(rng: random.Random, x: float, y: float) -> Points:
    """A simple polygon around a point: corners at growing angles."""
    turns = sorted(rng.uniform(0, 2 * math.pi) for _ in range(rng.randint(3, 9)))
    return [(x + rng.uniform(0.5, 3) * math.cos(t), y + rng.uniform(0.5, 3) * math.sin(t)) for t in turns]


def geometry(shape: Shape) -> BaseGeometry:
    return shapely.Polygon(shape.points) if shape.closed else shapely.LineString(shape.points)


@pytest.mark.parametrize("seed", range(60))
def test_distances_and_areas_are_those_of_a_geometry_library(seed: int) -> None:
    rng = random.Random(seed)
    a = Shape(tuple(ring(rng, 0, 0)), True)
    b = Shape(tuple(ring(rng, rng.uniform(-7, 7), rng.uniform(-7, 7))), rng.random() < 0.6)
    one, other = geometry(a), geometry(b)
    assert a.area == pytest.approx(one.area)
    part, second = Part("truck", (a,), {}), Part("wire", (b,), {})
    assert part.apart(second) == pytest.approx(one.distance(other), abs=1e-9)
    assert second.apart(part) == pytest.approx(one.distance(other), abs=1e-9)
    assert part.extent == pytest.approx((one.bounds[2] - one.bounds[0], one.bounds[3] - one.bounds[1]))
    point = (rng.uniform(-3, 3), rng.uniform(-3, 3))
    assert a.holds(point) == one.contains(shapely.Point(point))


@pytest.mark.parametrize("degrees", [0, 17, 45, 90, 133])
def test_length_and_width_of_a_turned_thing(degrees: float) -> None:
    turn = math.radians(degrees)
    corners = [(-3.0, -1.0), (3.0, -1.0), (3.0, 1.0), (-3.0, 1.0)]
    turned = tuple((x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)) for x, y in corners)
    assert Part("tracks", (Shape(turned, True),), {}).lengthwise == pytest.approx((6, 2))


def only(view: Seen, name: str) -> Part:
    (part,) = view.all(name)
    return part


@pytest.mark.parametrize("stretch", [1.0, 4.0])
def test_parts_are_read_in_metres_by_the_scale_the_drawing_states(stretch: float) -> None:
    drawn = canvas()
    view = drawn.view((0, 0, 40, 10), stretch=stretch, seen="above")
    with view.part("truck", on="floor"):
        view.body([(5, 1), (9, 1), (9, 3), (5, 3)])
        with view.part("load", area=8.0):
            view.polygon([(5, 1), (9, 1), (9, 3), (5, 3)], pen="thin")
    with view.part("wire"):
        view.circle((20, 6), 1.5)
    (seen,) = read(drawn.to_svg())
    assert seen.how == "above"
    assert seen.scale_y == pytest.approx(seen.scale * stretch)
    truck, load, wire = only(seen, "truck"), only(seen, "load"), only(seen, "wire")
    assert truck.extent == pytest.approx((4, 2), abs=2 * seen.grain)
    assert truck.facts == {"on": "floor"}
    assert load.facts == {"area": "8"}
    assert wire.extent == pytest.approx((3, 3), abs=2 * seen.grain)
    assert (truck.right, truck.low) < (wire.left, wire.low)
    # a circle is read as 72 corners, which lie on it
    assert truck.apart(wire) == pytest.approx(math.hypot(11, 3) - 1.5, abs=0.01)


def test_what_explains_a_picture_is_no_part_of_the_thing() -> None:
    drawn = canvas()
    view = drawn.view((0, 0, 40, 20))
    with view.part("machine"):
        view.body([(10, 2), (14, 2), (14, 5), (10, 5)])
        view.dimension((2, 2), (38, 2), "36 m")
        view.arrow((1, 1), (39, 19))
        view.badge((30, 15), "1")
    (seen,) = read(drawn.to_svg())
    assert only(seen, "machine").extent == pytest.approx((4, 3), abs=2 * seen.grain)


def test_bars_and_sketches_state_no_scale() -> None:
    drawn = canvas()
    for scale in ("bars", "none"):
        view = drawn.view((0, 0, 40, 20), scale=scale)
        with view.part("machine"):
            view.body([(10, 2), (14, 2), (14, 5), (10, 5)])
    text = drawn.to_svg()
    assert "data-scale" not in text
    assert read(text) == []


def test_the_drawing_states_the_scale_of_its_first_view_and_each_view_its_own() -> None:
    drawn = canvas()
    for span in (40, 10):
        view = drawn.view((0, 0, span, 4))
        with view.part("truck"):
            view.body([(1, 1), (4, 1), (4, 2), (1, 2)])
    text = drawn.to_svg()
    first, second = read(text)
    assert f'data-scale="{first.scale:.9g}"' in text.split("<title")[0]
    assert second.scale > 3 * first.scale
    for seen in (first, second):
        assert only(seen, "truck").extent == pytest.approx((3, 1), abs=2 * seen.grain)
