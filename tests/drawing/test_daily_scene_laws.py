"""The scenes of the day, measured in the finished picture: the look round, parking, heat and hours."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.measure import Measure
from generator.drawing.picture import Part, read
from generator.drawing.scenes import hot_days, parking, walk

from .samples import FILMS, SAMPLES, SIZES, L


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


def shape(*parts: Part) -> Any:
    """All of some parts as shapely sees them."""
    found = []
    for part in parts:
        for one in part.shapes:
            points = [(float(x), float(y)) for x, y in one.points]
            if len(points) > 3 and one.closed:
                found.append(Polygon(points).buffer(0))
            elif len(points) > 1:
                found.append(LineString(points))
            else:
                found.append(Point(points[0]))
    return unary_union(found)


@pytest.mark.parametrize("size", SIZES)
def test_whoever_walks_round_never_comes_under_or_onto_the_machine(size: str) -> None:
    made, _ = film("round_film", size)
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        (person,) = view.all("person")
        for part in view.all("tracks", "machine", "blade", "bucket"):
            assert shape(person).distance(shape(part)) > 0.2


@pytest.mark.parametrize("size", SIZES)
def test_the_way_round_goes_round(size: str) -> None:
    """The stops see the machine from all four sides: together they go once about its middle."""
    made, _ = film("round_film", size)
    ways = []
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        (person,) = view.all("person")
        tracks = view.all("tracks")
        middle = (
            (min(t.left for t in tracks) + max(t.right for t in tracks)) / 2,
            (min(t.low for t in tracks) + max(t.high for t in tracks)) / 2,
        )
        at = shape(person).centroid
        ways.append(math.atan2(at.y - middle[1], at.x - middle[0]))
    turns = [(a - b) % (2 * math.pi) for a, b in itertools.pairwise(ways)]
    assert all(0 < turn < math.pi for turn in turns)
    assert 1.3 * math.pi < sum(turns) < 2 * math.pi


@pytest.mark.parametrize("size", SIZES)
def test_a_jump_is_told_from_the_height_drawn(size: str) -> None:
    made, given = film("jump_film", size)
    assert {m.us for m in made.told} == {given["landing"].us, given["step_height"].us}
    feet = []
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        assert view.way == "wrong"
        (person,) = view.all("person")
        feet.append(person.low)
    assert feet[0] > feet[1] > feet[2]
    assert feet[0] - feet[2] == pytest.approx(given["step_height"].si, abs=0.01)
    with pytest.raises(DrawingRefused, match="one does not land"):
        walk.jump_film(ident="x", landing=given["landing"], step_height=L(2.5 * given["step_height"].si))


@pytest.mark.parametrize("size", SIZES)
def test_whoever_climbs_faces_the_machine_and_three_points_hold(size: str) -> None:
    made, _ = film("climb_film", size)
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        assert view.way != "wrong" and len(view.all("person")) == 1
    assert made.told == set()


@pytest.mark.parametrize("size", SIZES)
def test_the_sag_told_is_the_sag_drawn(size: str) -> None:
    made, given = film("sag_film", size)
    told = [given["least"], given["most"], given["sag"]]
    tops = []
    for svg, value in zip(frames_of(made.to_svg())[1:], told, strict=True):
        (view,) = read(svg)
        (track,) = view.all("tracks")
        # the top of the run is the thin line drawn last; its lowest point is the middle
        tops.append(min(y for _, y in track.shapes[-1].points) + value.si)
    # that much above it the straight edge, or the frame, lies in every step
    assert tops == pytest.approx([tops[0]] * 3, abs=2 * view.grain)
    verdict = made.frames[-1].words.us
    sag, least, most = given["sag"].si, given["least"].si, given["most"].si
    assert ("Too tight" in verdict, "Too loose" in verdict) == (sag < least, sag > most)


@pytest.mark.parametrize("size", range(3))
def test_a_machine_is_parked_off_the_face_and_back_from_the_edge(size: int) -> None:
    scene, samples = SAMPLES["where"]
    given = dict(samples[size])
    svg = scene(ident="x", **given).to_svg()
    (view,) = read(svg)
    (zone,), (crest,) = view.all("fall-zone"), view.all("crest")
    keeps = given["edge_distance"].si
    assert zone.extent[0] == pytest.approx(given["fall_zone"].si, abs=2 * view.grain)
    for part in view.all("tracks", "machine", "blade", "bucket"):
        assert part.left >= zone.right + given["track_length"].si - view.grain
        assert crest.left - part.right >= keeps + given["track_length"].si - 2 * view.grain
    assert broken(svg, {"limits.edge_distance": keeps, "machine.track_length": given["track_length"].si}) == []


@pytest.mark.parametrize("bad", ["under_face", "at_edge"])
def test_a_bad_place_is_marked_wrong(bad: str) -> None:
    scene, samples = SAMPLES["where"]
    (view,) = read(scene(ident="x", **samples[1], **{bad: True}).to_svg())
    (zone,), (crest,) = view.all("fall-zone"), view.all("crest")
    assert view.way == "wrong"
    tracks = view.all("tracks")
    assert (min(t.left for t in tracks) < zone.right) is (bad == "under_face")
    assert (max(p.right for p in view.all("blade")) > crest.left) is (bad == "at_edge")


@pytest.mark.parametrize("size", SIZES)
def test_blade_or_bucket_is_down_before_the_engine_is_off(size: str) -> None:
    made, _ = film("leave_film", size)
    low = []
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        low.append(min(p.low for p in view.all("blade", "bucket")))
    assert min(low[:2]) > low[2] + 0.05
    assert all(y == pytest.approx(low[2], abs=0.01) for y in low[2:])


@pytest.mark.parametrize("size", SIZES)
def test_what_rolls_off_goes_as_far_as_is_told(size: str) -> None:
    made, given = film("roll_film", size)
    places = []
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        assert view.way == "wrong"
        (truck,) = view.all("truck")
        (ramp,) = view.all("ramp")
        assert float(ramp.facts["grade"]) == pytest.approx(given["grade"].si)
        places.append(truck.right)
    along = (places[-1] - places[0]) * math.hypot(1, given["grade"].si)
    assert along == pytest.approx(given["distance"].si, rel=0.01, abs=0.1)
    assert places == sorted(places)
    with pytest.raises(DrawingRefused, match="nothing that rolls"):
        parking.roll_film(ident="x", grade=given["grade"], distance=given["distance"], speed=Measure(3 * given["speed"].si, "x", "x"))


@pytest.mark.parametrize("size", SIZES)
def test_chocks_stand_below_the_wheels_and_the_truck_stays(size: str) -> None:
    made, given = film("chocked_film", size)
    svgs = frames_of(made.to_svg())
    assert all(broken(svg, {}) == [] for svg in svgs)
    places = []
    for svg in svgs:
        (view,) = read(svg)
        (truck,), (ramp,) = view.all("truck"), view.all("ramp")
        places.append(truck.right)
        for chock in view.all("stone"):
            # they stand on the slope, and the front one is below the front wheel
            (x0, y0), _ = ramp.shapes[0].points[:2]
            middle = (chock.left + chock.right) / 2
            assert chock.low == pytest.approx(y0 - (middle - x0) * given["grade"].si, abs=0.2)
            assert truck.left < chock.left < truck.right
    assert max(places) - min(places) < 0.05
    assert [len(read(svg)[0].all("stone")) for svg in svgs] == [0, 0, 0, 2, 2]
    # nobody goes to the wheels before the engine is off
    said = [frame.words.us for frame in made.frames]
    assert "Engine off" in said[2] and "chocks" in said[3]


def test_each_day_in_the_heat_is_as_long_as_is_told() -> None:
    made, given = film("week_film", "middle")
    assert [f.told[0].si for f in made.frames] == [m.si for m in given["hours"]]
    for k, frame in enumerate(made.frames, 1):
        bars = [e for e in frame.canvas.element().iter() if e.get("class") == "bar"]
        assert [float(b.attrib["data-si"]) for b in bars] == pytest.approx([m.si for m in given["hours"][:k]])
        tall = [float(b.attrib["data-px"]) / float(b.attrib["data-si"]) for b in bars]
        assert max(tall) == pytest.approx(min(tall), rel=1e-3)
    with pytest.raises(DrawingRefused, match="longer than the shift"):
        hot_days.week_film(ident="x", hours=[given["hours"][-1]] * 2, shift=given["hours"][0])


@pytest.mark.parametrize("size", SIZES)
def test_the_pieces_of_a_day_make_a_day(size: str) -> None:
    made, given = film("day_film", size)
    bars = [e for e in made.frames[-1].canvas.element().iter() if e.get("class") == "bar"]
    assert sum(float(b.attrib["data-si"]) for b in bars) == pytest.approx(86400)
    with pytest.raises(DrawingRefused, match="the pieces of a day"):
        hot_days.day_film(ident="x", **given | {"sleep": Measure(given["sleep"].si + 3600, "x", "x")})


def test_whoever_the_heat_has_struck_is_never_alone_but_in_the_wrong_way() -> None:
    right, wrong = hot_days.help_film(ident="x"), hot_days.alone_film(ident="x")
    for svg in frames_of(right.to_svg()):
        (view,) = read(svg)
        assert view.way != "wrong" and len(view.all("person")) >= 2
    assert all(read(svg)[0].way == "wrong" for svg in frames_of(wrong.to_svg()))
    assert [len(read(svg)[0].all("person")) for svg in frames_of(wrong.to_svg())][1:3] == [1, 1]
