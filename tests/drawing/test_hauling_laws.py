"""Haul roads and tips, measured in the finished drawings: distances, who stands where, what is wrong and says so."""

from __future__ import annotations

import math
from typing import Any

import pytest
from shapely import LineString, Point, Polygon, unary_union

from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import hauling, tipping

from .samples import FILMS, SAMPLES, L

SIZES = (0, 1, 2)


def film(name: str, size: int, **more: Any) -> Film:
    scene, samples = FILMS[name]
    return scene(ident="x", **{**samples[size], **more})


def views(made: Film) -> list[Seen]:
    return [read(svg)[0] for svg in frames_of(made.to_svg())]


def shape(part: Part) -> Any:
    """All of a part as one shape."""
    return unary_union(
        [Polygon(s.points) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes if len(s.points) > 1]
    )


def wheels(truck: Part) -> float:
    """How far right the truck's wheels are: all of it that is near the ground."""
    return max(x for s in truck.shapes for x, y in s.points if y < truck.low + 0.5 * (truck.high - truck.low) / 10 + 0.05)


def given(name: str, size: int, key: str) -> float:
    return float(FILMS[name][1][size][key].si)


# --- the road --------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_the_truck_has_come_as_far_as_each_step_says(size: int) -> None:
    seen = views(film("rolling_stop_film", size))
    fronts = [v.all("truck")[0].right for v in seen]
    gone = [m.si for m in FILMS["rolling_stop_film"][1][size]["gone"]]
    assert [f - fronts[0] for f in fronts] == pytest.approx(gone, abs=2 * seen[0].grain)
    assert seen[-1].all("stone")[0].left > fronts[-1]


@pytest.mark.parametrize("size", SIZES)
def test_each_road_ends_where_its_stop_is_told(size: int) -> None:
    made = film("roads_film", size)
    first, last = views(made)[0], views(made)[-1]
    told = [given("roads_film", size, key) for key in ("level", "downhill", "level_wet", "downhill_wet")]
    for a, b, stop in zip(first.all("truck"), last.all("truck"), told, strict=True):
        assert math.hypot(b.right - a.right, b.low - a.low) == pytest.approx(stop, rel=0.01, abs=3 * first.grain)
    assert not broken(frames_of(made.to_svg())[-1], {})  # the ramps are as steep as they claim


@pytest.mark.parametrize("size", SIZES)
def test_the_truck_behind_meets_the_other_only_where_the_gap_is_short(size: int) -> None:
    made = film("follow_film", size)
    gap, stop = given("follow_film", size, "gap"), given("follow_film", size, "stopped")
    last = views(made)[-1]
    ahead, behind = last.all("truck")
    room = ahead.left - behind.right
    if gap < stop:
        assert last.way == "wrong" and "runs into" in made.frames[-1].words.us
        assert room < 0.3 * (ahead.right - ahead.left)
    else:
        assert last.way == "right" and room == pytest.approx(gap - stop, rel=0.02, abs=4 * last.grain)


@pytest.mark.parametrize("size", SIZES)
def test_the_road_has_room_beside_every_truck_and_a_berm_outside_it(size: int) -> None:
    scene, samples = SAMPLES["road_section"]
    (view,) = read(scene(ident="x", **samples[size]).to_svg())
    wide, w = float(samples[size]["road_width"].si), float(samples[size]["truck_width"].si)
    trucks = sorted(view.all("truck"), key=lambda t: t.left)
    (berm,) = view.all("berm")
    assert len(trucks) == samples[size]["lanes"].si
    edges = [berm.left - wide, *(x for t in trucks for x in (t.left, t.right)), berm.left]
    room = [b - a for a, b in zip(edges[::2], edges[1::2], strict=True)]
    assert room == pytest.approx([(wide - len(trucks) * w) / (len(trucks) + 1)] * len(room), abs=0.02 * w + 3 * view.grain)
    assert berm.high - berm.low == pytest.approx(float(samples[size]["berm_height"].si), abs=3 * view.grain)
    limit = samples[size].get("edge_distance")
    if limit is not None:
        assert view.all("crest")[0].left - trucks[-1].right >= limit.si - view.grain


def test_a_road_for_the_widest_truck_is_lawful_on_the_page_of_another() -> None:
    scene, samples = SAMPLES["road_section"]
    figures = {"truck.overall_width": 2.7}  # the page's own truck is narrower than the one the road is made for
    assert broken(scene(ident="x", **samples[1]).to_svg(), figures) != []
    assert broken(scene(ident="x", **samples[1], widest=True).to_svg(), figures) == []


def test_a_plain_stop_does_not_tell_where_the_brakes_bite() -> None:
    made, plain = film("rolling_stop_film", 1), film("rolling_stop_film", 1, plain=True)
    assert any("Rolls" in svg for svg in frames_of(made.to_svg()))
    assert not any("Rolls" in svg or "Stops in" in svg for svg in frames_of(plain.to_svg()))


def test_trucks_too_wide_for_the_road_are_refused() -> None:
    scene, samples = SAMPLES["road_section"]
    with pytest.raises(DrawingRefused, match="do not stand"):
        scene(ident="x", **{**samples[1], "road_width": L(6.0)})


# --- the tip ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["tip_film", "short_film"])
@pytest.mark.parametrize("size", SIZES)
def test_wheels_keep_off_the_berm_and_the_truck_off_the_edge(name: str, size: int) -> None:
    made = film(name, size)
    limit = FILMS[name][1][size].get("edge_distance")
    figures = {"limits.edge_distance": limit.si} if limit else {}
    for svg, view in zip(frames_of(made.to_svg()), views(made), strict=True):
        assert broken(svg, figures) == []
        truck, berm, crest = view.all("truck")[0], view.all("berm")[0], view.all("crest")[0]
        assert wheels(truck) <= berm.left + 2 * view.grain
        assert crest.left - wheels(truck) >= given(name, size, "stand") - 2 * view.grain
        assert truck.right < crest.left


@pytest.mark.parametrize("size", SIZES)
def test_what_is_dumped_short_lies_so_far_from_the_crack(size: int) -> None:
    for view in views(film("short_film", size))[1:]:
        heap = view.all("spoil")[0]
        arguments = FILMS["short_film"][1][size]
        columns: Any = (arguments.get(k) for k in ("berm_height", "berm_base", "stand", "edge_distance", "body_length", "body_height",
                                                          "axle_height", "body_up_height", "build"))  # fmt: skip
        crack = view.all("crest")[0].left + tipping._crack(tipping._edge(*columns))[0][0]
        assert crack < view.all("berm")[0].left
        assert crack - heap.right == pytest.approx(given("short_film", size, "short"), abs=3 * view.grain)


@pytest.mark.parametrize("size", SIZES)
def test_the_edge_that_gives_way_is_the_wrong_way_and_leans_on_the_berm(size: int) -> None:
    seen = views(film("giving_way_film", size))
    assert all(v.way == "wrong" for v in seen)
    truck, berm = seen[1].all("truck")[0], seen[1].all("berm")[0]
    assert berm.left < wheels(truck) < berm.right
    assert not seen[-1].all("berm") and not seen[-1].all("crest") and not seen[-1].all("person")


@pytest.mark.parametrize("down", [False, True])
@pytest.mark.parametrize("size", SIZES)
def test_a_raised_body_stands_as_high_as_it_is_told_and_meets_the_wire_only_the_wrong_way(size: int, down: bool) -> None:
    made = film("wire_film", size, down=down)
    seen = views(made)
    up = given("wire_film", size, "body_up_height")
    truck = seen[0].all("truck")[0]
    assert truck.high - truck.low == pytest.approx(up, rel=0.01, abs=2 * seen[0].grain)
    wire = seen[-1].all("wire")[0]
    middle = Point((wire.left + wire.right) / 2, (wire.low + wire.high) / 2)
    clear = FILMS["wire_film"][1][size].get("clearance")
    if not down:
        assert all(v.way == "wrong" for v in seen)
        assert shape(seen[-1].all("truck")[0]).distance(middle) < 0.04 * up
        return
    limit = clear.si if clear else 0.0
    for svg, view in zip(frames_of(made.to_svg()), seen, strict=True):
        assert view.way == "right" and broken(svg, {"limits.line_clearance": limit}) == []
    tops = [v.all("truck")[0].high for v in seen]
    assert tops[1] == tops[2] < tops[0]  # it is down before it moves
    assert seen[1].all("truck")[0].left == pytest.approx(seen[0].all("truck")[0].left, abs=2 * seen[0].grain)


def test_a_body_that_cannot_be_so_high_is_left_out() -> None:
    with pytest.raises(LeftOut, match="does not reach"):
        film("wire_film", 1, body_up_height=L(20.0))


@pytest.mark.parametrize("size", SIZES)
def test_from_above_it_comes_square_to_the_edge_with_the_spotter_clear(size: int) -> None:
    seen = views(film("approach_film", size))
    last = seen[-1]
    truck, crest, berm = last.all("truck")[0], last.all("crest")[0], last.all("berm")[0]
    assert crest.low - truck.high == pytest.approx(max(given("approach_film", size, "stand"), _edge(size)), rel=0.02, abs=3 * last.grain)
    assert truck.high <= berm.low + 3 * last.grain
    assert truck.right - truck.left == pytest.approx(given("approach_film", size, "truck_width"), rel=0.02, abs=3 * last.grain)  # square
    man = last.all("person")[0]
    clear = FILMS["approach_film"][1][size].get("clear")
    assert man.left - truck.right >= (0.9 * clear.si if clear else 0.0)
    assert man.high <= crest.low - max(given("approach_film", size, "stand"), _edge(size)) + 3 * last.grain
    # it arrives with the edge on its left, where the driver sits, and turns away from it
    assert seen[0].all("truck")[0].left < seen[1].all("truck")[0].left < crest.right
    assert seen[2].all("truck")[0].low < seen[1].all("truck")[0].low


def _edge(size: int) -> float:
    limit = FILMS["approach_film"][1][size].get("edge_distance")
    return float(limit.si) if limit else 0.0


def test_a_truck_of_another_build_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="rigid or articulated"):
        hauling.Truck.of(L(5.0), None, None, "bent")
    with pytest.raises(DrawingRefused, match="off the berm"):
        tipping.tip_film(ident="x", berm_height=L(1.0), berm_base=L(3.0), stand=L(2.0), body_length=L(5.0))
