"""The scenes in steps of an excavator on its bench, each step measured in the finished SVG with shapely.

What is held against the pictures is worked out here, by plain trigonometry of this file.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import bench

from .samples import A, L, _edge, _places


def shape(part: Part) -> BaseGeometry:
    return unary_union([Polygon(s.points) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes])


def whole(view: Seen, name: str) -> BaseGeometry:
    return unary_union([shape(p) for p in view.all(name)])


def steps(film: Film) -> list[tuple[Seen, str]]:
    """Each step's view and its sentence."""
    out = []
    for frame in frames_of(film.to_svg()):
        (view,) = read(frame)
        out.append((view, ET.fromstring(frame).attrib["data-says"]))
    return out


# ---- an edge that lets go -------------------------------------------------------------------------

SLANTS = (30, 45, 60, 90)


@pytest.mark.parametrize("angle", SLANTS)
def test_half_across_it_ends_as_far_from_the_new_edge_as_it_began(angle: float) -> None:
    film = bench.edge_film(ident="e", **_edge(1.8, 4.4, 3.5, 0.76, angle, max_reach=L(11.6), bucket_length=L(1.7), tail_radius=L(3.7)))
    seen = steps(film)
    gaps = [whole(view, "tracks").distance(whole(view, "crest")) for view, _ in seen]
    assert gaps[0] == pytest.approx(1.8, abs=0.05) and gaps[3] == pytest.approx(1.8, abs=0.05)
    middles = [whole(view, "tracks").envelope.centroid for view, _ in (seen[0], seen[3])]
    assert middles[0].distance(middles[1]) == pytest.approx((1.8 + 0.76) / math.sin(math.radians(angle)), abs=0.06)
    assert middles[1].x - middles[0].x == pytest.approx((1.8 + 0.76) / math.tan(math.radians(angle)), abs=0.06)
    for frame in frames_of(film.to_svg()):
        assert broken(frame, {"limits.edge_distance": 1.8, "machine.track_length": 4.4}) == []


def test_along_the_edge_one_whole_track_stands_on_the_piece() -> None:
    film = bench.edge_film(ident="e", parallel=True, **_edge(1.8, 4.4, 3.5, 0.76, 45))
    seen = steps(film)
    (first, _), (crack, says) = seen[0], seen[1]
    crest = whole(first, "crest").bounds[1]
    assert whole(first, "tracks").distance(whole(first, "crest")) == pytest.approx(1.8, abs=0.05)
    near = min((shape(t) for t in crack.all("tracks")), key=lambda t: t.bounds[1])
    x0, _, x1, y1 = near.bounds
    assert y1 - crest == pytest.approx(1.8 + 0.76, abs=0.06) and x1 - x0 == pytest.approx(4.4, abs=0.06)
    assert "the whole near track, 14.4 ft of it" in says and "8.4 ft behind the edge" in says


def test_it_goes_over_only_where_the_piece_is_gone() -> None:
    seen = steps(bench.edge_film(ident="e", parallel=True, **_edge(1.8, 4.4, 3.5, 0.76, 45)))
    over = [whole(view, "tracks").intersects(whole(view, "crest")) for view, _ in seen]
    assert over == [False, False, False, True]
    assert [bool(view.all("spoil")) for view, _ in seen] == [False, False, False, True]
    assert "goes over with the edge" in seen[-1][1]


def test_a_drive_that_does_not_bring_it_back_is_refused() -> None:
    arguments = _edge(1.8, 4.4, 3.5, 0.76, 45)
    for name in ("drive", "along"):
        with pytest.raises(DrawingRefused, match="does not take the tracks back"):
            bench.edge_film(ident="e", **{**arguments, name: L(arguments[name].si * 1.1)})


# ---- where the truck stands -----------------------------------------------------------------------


def demo(**changes: Any) -> dict[str, Any]:
    given: dict[str, Any] = _places(3.048, 4.4, 3.5, 3.1, 5.5, 6, bucket_length=L(1.7), tail_radius=L(3.7), truck_build="articulated")
    return given | changes


def test_both_places_keep_out_of_the_fall_zone_and_off_the_swing_of_the_tail() -> None:
    given = demo()
    film = bench.truck_places_film(ident="p", **given)
    for frame in frames_of(film.to_svg()):
        assert broken(frame, {"limits.edge_distance": 0.6 * 3.048, "truck.overall_width": 3.1, "machine.track_length": 4.4}) == []
    for view, _ in steps(film):
        truck, zone = whole(view, "truck"), whole(view, "fall-zone")
        assert truck.intersection(zone).area < 0.02
        assert not truck.intersects(whole(view, "swing-circle"))


def test_the_truck_stands_along_the_face_and_then_square_to_it() -> None:
    seen = steps(bench.truck_places_film(ident="p", **demo()))
    boxes = [whole(view, "truck").bounds for view, _ in seen]
    for k, (x0, y0, x1, y1) in enumerate(boxes):
        assert ((y1 - y0) > 2 * (x1 - x0)) == (k < 4), "four steps over the side, four over the rear"


def test_swings_and_reach_are_drawn_as_they_are_told() -> None:
    given = demo()
    film = bench.truck_places_film(ident="p", **given)
    seen = steps(film)
    for dig, dump, swing in (
        (0, 1, given["side_swings"][0]),
        (2, 3, given["side_swings"][-1]),
        (4, 5, given["rear_first"]),
        (6, 7, given["rear_last"]),
    ):
        turned = []
        for view, _ in (seen[dig], seen[dump]):
            centre, at = whole(view, "swing-circle").centroid, whole(view, "bucket").centroid
            turned.append(math.degrees(math.atan2(at.y - centre.y, at.x - centre.x)))
        assert turned[1] - turned[0] == pytest.approx(math.degrees(swing.si), abs=1.5)
        assert swing.us in seen[dump][1]
    reached, centre = (whole(seen[5][0], name).centroid for name in ("bucket", "swing-circle"))
    assert reached.distance(centre) <= given["max_reach"].si
    assert "farther than this machine dumps" in seen[5][1]
    near = bench.truck_places_film(ident="p", **demo(max_reach=L(40.0)))
    assert "farther than this machine dumps" not in " ".join(says for _, says in steps(near))


def test_one_pass_or_a_body_of_no_length_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="two passes"):
        bench.truck_places_film(ident="p", **demo(side_swings=[A(60)]))
    with pytest.raises(DrawingRefused, match="no farther out than the rear"):
        bench.truck_places_film(ident="p", **demo(rear_reach=L(5.0)))
