"""Outlines of machines: their linkages keep the lengths of the tables, and what is drawn reads back at its size.

Figures are invented, of machines as they are usual.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Literal, get_args

import pytest
from shapely import Polygon, union_all

from generator.drawing import machines
from generator.drawing.canvas import Canvas
from generator.drawing.picture import Part, Seen, read
from generator.drawing.view import Seen as Way
from generator.drawing.view import View

TRACK, GAUGE, SHOE, CG = 3.66, 2.38, 0.8, 1.1
STICK, BUCKET, REACH, TAIL = 2.9, 1.55, 9.75, 2.8
BLADE, BLADE_HIGH = 3.66, 1.22
BODY, WIDE, HIGH, AXLE = 5.5, 3.1, 2.8, 0.88
LENGTHS: dict[str, Any] = {"body_length": BODY, "body_height": HIGH, "axle_height": AXLE}
ARM = machines.arm_of(STICK, TRACK / 1.5, bucket=BUCKET, reach=REACH)
SMALL = machines.compact_arm(1.2, 1.3, bucket=0.58, reach=4.0)
PLAN: dict[str, Any] = {"length": TRACK, "width": GAUGE + SHOE, "shoe": SHOE, "angle": 0.3, "look": 0.9, "pin": 6.5, "tail": TAIL,
                        "bucket_length": BUCKET, "bucket_width": 1.2}  # fmt: skip
TIPS = [(7.2, 0.0), (6.0, -3.0), (4.5, -4.0), (6.5, 2.5), (4.5, 0.0)]


def drawn(draw: Callable[[View], object], seen: Way = "side") -> tuple[Seen, View]:
    """What is read back of something drawn in a world with room for any of these machines, and the view it was drawn in."""
    canvas = Canvas("m", "A machine alone", "One outline, to be measured.")
    view = canvas.view((-14, -8, 14, 10), pad=(0, 0, 0, 0), max_height=520, seen=seen)
    draw(view)
    (found,) = read(canvas.to_svg())
    return found, view


def one(seen: Seen, name: str) -> Part:
    (part,) = seen.all(name)
    return part


def world(view: View, part: Part) -> list[tuple[float, float]]:
    """The corners of a part in the metres it was drawn in: those read back have their zero at the drawing's corner."""
    left, top = view.origin[0] / view.per_metre, view.origin[1] / view.per_metre
    return [(x - left, y + top) for x, y in part.points]


# ---- the linkage ----------------------------------------------------------------------------------


@pytest.mark.parametrize("tip", TIPS)
@pytest.mark.parametrize("teeth", [-1.6, -1.9, -2.2])
def test_a_posed_arm_has_its_teeth_where_asked_and_the_lengths_of_the_table(tip: tuple[float, float], teeth: float) -> None:
    pose = ARM.posed(tip, teeth=teeth)
    assert pose.tip == pytest.approx(tip, abs=1e-9)
    assert math.dist(ARM.foot, pose.elbow) == pytest.approx(ARM.boom)
    assert math.dist(pose.elbow, pose.pin) == pytest.approx(STICK)
    assert math.dist(pose.pin, pose.tip) == pytest.approx(BUCKET)
    assert pose.elbow[1] > pose.pin[1] or pose.elbow[1] > ARM.foot[1]  # the elbow is up, not folded under


def test_all_stretched_out_the_teeth_come_as_far_as_the_table_says() -> None:
    assert math.hypot(REACH - ARM.foot[0], ARM.foot[1]) == pytest.approx(ARM.boom + STICK + BUCKET)
    far = ARM.posed((99.0, 0.0), teeth=-0.2)
    assert math.dist(far.elbow, far.pin) == pytest.approx(STICK, rel=0.001)
    assert math.dist(ARM.foot, far.tip) <= ARM.boom + STICK + BUCKET + 1e-9


@pytest.mark.parametrize("facing", [1, -1])
@pytest.mark.parametrize("tip", TIPS)
def test_the_bucket_drawn_reaches_just_there(tip: tuple[float, float], facing: int) -> None:
    returned: list[tuple[float, float]] = []

    def draw(view: View) -> None:
        pose = ARM.posed(tip, teeth=-1.9)
        returned.append(machines.excavator_posed(view, 0.5, 0.0, ARM, pose, size=TRACK / 1.5, facing=facing, tail=TAIL))

    seen, view = drawn(draw)
    wanted = (0.5 + facing * tip[0], tip[1])
    assert returned[0] == pytest.approx(wanted, abs=1e-9)
    corners = world(view, one(seen, "bucket"))
    assert min(math.dist(p, wanted) for p in corners) < 2 * seen.grain
    # no part of the bucket is much farther from its pin than the teeth are
    pin = ARM.posed(tip, teeth=-1.9).pin
    assert max(math.dist(p, (0.5 + facing * pin[0], pin[1])) for p in corners) == pytest.approx(BUCKET, rel=0.02)
    assert one(seen, "tracks").lengthwise[0] == pytest.approx(TRACK, abs=2 * seen.grain)
    back = [-facing * (x - 0.5) for x, _ in world(view, one(seen, "machine"))]
    assert max(back) == pytest.approx(TAIL, abs=2 * seen.grain)


@pytest.mark.parametrize("tip", TIPS)
def test_a_boom_is_bent_in_its_back_however_far_it_reaches(tip: tuple[float, float]) -> None:
    pose = ARM.posed(tip, teeth=-1.9)
    seen, view = drawn(lambda v: machines.excavator_posed(v, 0.0, 0.0, ARM, pose, size=TRACK / 1.5, tail=TAIL))
    (x, y), (u, v) = ARM.foot, pose.elbow
    off = [((u - x) * (q - y) - (v - y) * (p - x)) / ARM.boom for p, q in world(view, one(seen, "machine")) if x < p < u]
    assert max(off) > 0.2 * ARM.boom


def excavator_from_above(kind: machines.Crawler, look: float) -> Callable[[View], object]:
    sizes = {**PLAN, "look": look}
    if kind == "compact":
        return lambda view: machines.compact_plan(view, (0, 0), blade_width=GAUGE + SHOE, **sizes)
    return lambda view: machines.excavator_plan(view, (0, 0), **sizes)


@pytest.mark.parametrize("kind", ["excavator", "compact"])
@pytest.mark.parametrize("turn", range(0, 360, 30))
def test_from_above_both_tracks_are_seen_whichever_way_the_house_is_turned(kind: machines.Crawler, turn: int) -> None:
    seen, view = drawn(excavator_from_above(kind, math.radians(turn)), "above")
    house = union_all([Polygon(s.points) for part in seen.all("machine") for s in part.shapes if s.closed and len(s.points) > 2])
    tracks = seen.all("tracks")
    assert len(tracks) == 2
    for track in tracks:
        assert track.lengthwise == pytest.approx((TRACK, SHOE), abs=3 * seen.grain)
        whole = Polygon(track.points).convex_hull
        assert whole.difference(house).area > 0.15 * whole.area
    both = union_all([Polygon(track.points).convex_hull for track in tracks])
    assert both.difference(house).area > both.area / 3
    # what the house hides is dashed, so the tracks are whole all the same
    (dashed,) = [path.get("d", "") for path in view.group.iter("path") if "stroke-dasharray" in path.attrib]
    sides = [[tuple(map(float, pair.split(","))) for pair in line.split("L")] for line in dashed.split("M")[1:]]
    assert len(sides) == 4
    for a, b in sides:
        assert 0.9 * TRACK < math.dist(a, b) / view.per_metre < TRACK


def test_a_compact_excavator_has_its_blade_its_tracks_and_its_teeth_where_asked() -> None:
    tip = (2.9, 0.0)

    def draw(view: View) -> None:
        machines.compact_side(view, 0.0, 0.0, track_length=1.3, arm=SMALL, pose=SMALL.posed(tip), blade_height=0.28, tail=1.2)

    seen, view = drawn(draw)
    assert min(math.dist(p, tip) for p in world(view, one(seen, "bucket"))) < 2 * seen.grain
    assert one(seen, "tracks").extent[0] == pytest.approx(1.3, abs=2 * seen.grain)
    blade = world(view, one(seen, "blade"))
    assert max(y for _, y in blade) - min(y for _, y in blade) == pytest.approx(0.28, abs=2 * seen.grain)
    assert min(x for x, _ in blade) > 0.65 and min(y for _, y in blade) == pytest.approx(0.0, abs=seen.grain)


# ---- the truck's body -----------------------------------------------------------------------------


def truck(build: machines.Build, angle: float, facing: int = 1, *, load: bool = False) -> tuple[list[Any], tuple[float, float], View]:
    held: list[tuple[float, float]] = []

    def draw(view: View) -> None:
        held.append(
            machines.truck_side(
                view,
                0.0,
                0.0,
                body_length=BODY,
                body_height=HIGH,
                axle_height=AXLE,
                build=build,
                body_angle=angle,
                facing=facing,
                load=load,
            )
        )

    seen, view = drawn(draw)
    left, top = view.origin[0] / view.per_metre, view.origin[1] / view.per_metre
    return [[(x - left, y + top) for x, y in s.points] for s in one(seen, "truck").shapes], held[0], view


@pytest.mark.parametrize("facing", [1, -1])
@pytest.mark.parametrize("build", ["rigid", "articulated"])
@pytest.mark.parametrize("degrees", [15.0, 45.0, 60.0])
def test_a_raised_body_turns_about_its_hinge_and_the_rest_stays(build: machines.Build, degrees: float, facing: int) -> None:
    angle = math.radians(degrees)
    flat, hinge, view = truck(build, 0.0, facing)
    raised, same, _ = truck(build, angle, facing)
    assert hinge == same
    grain = 0.05 / view.per_metre
    turning = staying = 0
    cos, sin = math.cos(facing * angle), math.sin(facing * angle)
    for shape in flat:
        dx = [(x - hinge[0], y - hinge[1]) for x, y in shape]
        turned = [(hinge[0] + x * cos - y * sin, hinge[1] + x * sin + y * cos) for x, y in dx]
        for other in raised:
            if len(other) != len(shape):
                continue
            staying += max(math.dist(a, b) for a, b in zip(shape, other, strict=True)) < 3 * grain
            turning += len(shape) >= 10 and max(math.dist(a, b) for a, b in zip(turned, other, strict=True)) < 3 * grain
    assert turning >= 1 and staying >= 6
    ahead = max(facing * x for s in raised for x, _ in s)
    assert ahead == pytest.approx(max(facing * x for s in flat for x, _ in s), rel=0.35)
    assert max(y for s in raised for _, y in s) > HIGH + 0.5 * BODY * math.sin(angle)


@pytest.mark.parametrize(("build", "axles"), [("rigid", 2), ("articulated", 3)])
def test_a_truck_has_its_axles_and_wheels_twice_as_high_as_their_middle(build: machines.Build, axles: int) -> None:
    shapes, _, view = truck(build, 0.0)
    grain = 0.05 / view.per_metre
    wheels = [
        s for s in shapes if len(s) == 72 and abs(max(y for _, y in s) - 2 * AXLE) < 2 * grain and abs(min(y for _, y in s)) < 2 * grain
    ]
    assert len(wheels) == axles
    assert max(y for s in truck(build, 0.0, load=True)[0] for _, y in s) > HIGH


@pytest.mark.parametrize("build", ["rigid", "articulated"])
def test_a_truck_is_as_wide_as_its_table_says_from_behind_and_from_above(build: machines.Build) -> None:
    def behind(view: View) -> None:
        with view.part("truck"):
            machines.truck_end(view, 0.0, 0.0, WIDE, HIGH, build=build, load=True)

    seen, _ = drawn(behind, "end")
    assert one(seen, "truck").extent[0] == pytest.approx(WIDE, abs=2 * seen.grain)
    seen, _ = drawn(lambda v: machines.truck_plan(v, (0, 0), body=BODY, width=WIDE, way=0.4, build=build), "above")
    long, short = one(seen, "truck").lengthwise
    assert short == pytest.approx(WIDE, abs=2 * seen.grain)
    assert long == pytest.approx(sum(machines.truck_plan_reach(BODY, WIDE, build)), abs=3 * seen.grain)


# ---- widths ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("behind", [True, False])
@pytest.mark.parametrize("up", [0.0, 0.4])
def test_a_dozer_from_the_end_has_its_widths_and_its_blade_where_asked(behind: bool, up: float) -> None:
    def draw(view: View) -> None:
        machines.dozer_end(view, 0.0, 0.0, blade_width=BLADE, blade_height=BLADE_HIGH, track_gauge=1.98, shoe_width=0.6,
                           track_length=3.05, behind=behind, blade_up=up)  # fmt: skip

    seen, view = drawn(draw, "end")
    blade = one(seen, "blade")
    assert blade.extent == pytest.approx((BLADE, BLADE_HIGH), abs=2 * seen.grain)
    assert min(y for _, y in world(view, blade)) == pytest.approx(up, abs=seen.grain)
    assert one(seen, "tracks").extent[0] == pytest.approx(1.98 + 0.6, abs=2 * seen.grain)
    for part in seen.all("machine"):
        assert part.extent[0] <= 1.98 + 0.6 + seen.grain
    tops = [max(y for _, y in world(view, part)) for part in seen.all("machine")]
    assert max(tops) == pytest.approx(machines.dozer_height(BLADE_HIGH, 3.05), abs=2 * seen.grain)


def test_a_tilted_blade_stands_so_much_lower_at_its_right_end() -> None:
    def draw(view: View) -> None:
        machines.dozer_end(view, 0.0, 0.0, blade_width=BLADE, blade_height=BLADE_HIGH, blade_up=0.5, blade_tilt=0.3)

    seen, view = drawn(draw, "end")
    blade = world(view, one(seen, "blade"))
    low = {side: min((p for p in blade if (p[0] > 0) == side), key=lambda p: p[1]) for side in (True, False)}
    assert low[False][1] - low[True][1] == pytest.approx(0.3, abs=3 * seen.grain)
    assert math.dist(low[True], low[False]) == pytest.approx(BLADE, abs=3 * seen.grain)


@pytest.mark.parametrize("facing", [1, -1])
@pytest.mark.parametrize("up", [0.0, 0.35, 0.7])
def test_a_blade_is_lifted_on_its_arms(up: float, facing: int) -> None:
    seen, view = drawn(lambda v: machines.dozer_side(v, 1.0, 0.0, BLADE_HIGH, facing=facing, track_length=3.05, blade_up=up))
    corners = world(view, one(seen, "blade"))
    hold = (1.0 - facing * (0.75 * BLADE_HIGH + 0.58 * 3.05), 0.17 * 3.05)
    edge = min(corners, key=lambda p: abs(math.dist(p, hold) - math.dist((1.0, 0.0), hold)))
    assert edge[1] == pytest.approx(up, abs=3 * seen.grain)
    assert one(seen, "tracks").extent[0] == pytest.approx(3.05, abs=2 * seen.grain)
    if not up:
        assert one(seen, "blade").extent[1] == pytest.approx(BLADE_HIGH, abs=2 * seen.grain)


def test_a_dozer_from_above_has_the_lengths_of_its_table() -> None:
    def draw(view: View) -> None:
        machines.dozer_plan(view, (0, 0), track_length=3.05, track_gauge=1.98, shoe_width=0.6, blade_width=BLADE, blade_height=BLADE_HIGH,
                            way=0.3)  # fmt: skip

    seen, _ = drawn(draw, "above")
    assert one(seen, "tracks").lengthwise == pytest.approx((3.05, 1.98 + 0.6), abs=3 * seen.grain)
    assert one(seen, "blade").lengthwise[0] == pytest.approx(BLADE, abs=3 * seen.grain)


@pytest.mark.parametrize("kind", ["dozer", "excavator", "compact"])
@pytest.mark.parametrize("angle", [0.0, 0.2])
@pytest.mark.parametrize("behind", [True, False])
def test_a_crawler_from_the_end_stays_in_its_outline(kind: machines.Crawler, angle: float, behind: bool) -> None:
    blade = None if kind == "excavator" else (1.2 * (GAUGE + SHOE), 0.5)

    def draw(view: View) -> None:
        machines.draw_end(view, GAUGE, SHOE, CG, angle=angle, kind=kind, behind=behind, blade=blade)

    seen, view = drawn(draw, "end")
    tracks, body, cab = machines.end_view(GAUGE, SHOE, CG, angle=angle, kind=kind, blade=blade)
    allowed = [*body, *cab, *(p for track in tracks for p in track)]
    found = [p for part in seen.parts for p in world(view, part)]
    for k in (0, 1):
        assert min(p[k] for p in found) >= min(p[k] for p in allowed) - 2 * seen.grain
        assert max(p[k] for p in found) <= max(p[k] for p in allowed) + 2 * seen.grain
    assert one(seen, "tracks").lengthwise[0] == pytest.approx(GAUGE + SHOE, abs=3 * seen.grain)
    assert len(seen.all("blade")) == (blade is not None)
    if blade and not angle:
        assert one(seen, "blade").extent == pytest.approx(blade, abs=2 * seen.grain)


def test_which_crawler_it_is_shows_in_its_columns() -> None:
    assert machines.crawler_of(3.6, None) == "dozer"
    assert machines.crawler_of(None, 1.2) == "excavator"
    assert machines.crawler_of(1.3, 0.4) == "compact"
    assert machines.crawler_of(None, None) == "excavator"


def test_a_person_from_the_front_is_not_the_one_from_behind() -> None:
    hats = []
    for look in get_args(Literal["front", "behind"]):
        canvas = Canvas("m", "A person alone", "One outline, to be measured.")
        machines.person(canvas.view((-14, -8, 14, 10), pad=(0, 0, 0, 0), max_height=520), (0, 0), 1.75, seen=look)
        (seen,) = read(canvas.to_svg())
        hat = max((s for s in one(seen, "person").shapes if s.closed), key=lambda s: max(y for _, y in s.points))
        hats.append(max(x for x, _ in hat.points) - min(x for x, _ in hat.points))
    assert hats[0] > 1.2 * hats[1]  # the brim is in front


@pytest.mark.parametrize("facing", [1, -1])
@pytest.mark.parametrize("build", ["rigid", "articulated"])
def test_a_raised_load_runs_out_behind_the_tail_onto_the_ground(build: machines.Build, facing: int) -> None:
    tail = min(facing * x for s in truck(build, 0.7, facing)[0] for x, _ in s)
    poured = [(facing * x, y) for s in truck(build, 0.7, facing, load=True)[0] for x, y in s]
    assert min(x for x, _ in poured) < tail - 0.1
    assert min(y for _, y in poured) == pytest.approx(0.0, abs=0.02)
    assert min(poured)[1] == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize("build", ["rigid", "articulated"])
def test_the_wheels_of_a_truck_stand_out_on_both_sides_of_its_body_from_above(build: machines.Build) -> None:
    seen, view = drawn(lambda v: machines.truck_plan(v, (0, 0), body=BODY, width=WIDE, way=0.0, build=build), "above")
    left, top = view.origin[0] / view.per_metre, view.origin[1] / view.per_metre
    shapes = [[(x - left, y + top) for x, y in s.points] for s in one(seen, "truck").shapes]
    body = next(s for s in shapes if max(x for x, _ in s) - min(x for x, _ in s) > BODY)
    for sign in (1, -1):
        rim = max(sign * y for _, y in body)
        wheels = [s for s in shapes if max(sign * y for _, y in s) == pytest.approx(WIDE / 2, abs=2 * seen.grain)]
        assert len(wheels) == (3 if build == "articulated" else 2) and rim < 0.46 * WIDE


@pytest.mark.parametrize("arms", ["down", "up", "point"])
def test_a_person_is_as_tall_as_told(arms: Literal["down", "up", "point"]) -> None:
    seen, _ = drawn(lambda v: machines.person(v, (0, 0), 1.75, arms=arms))
    if arms != "up":
        assert one(seen, "person").extent[1] == pytest.approx(1.75, abs=2 * seen.grain)


# ---- weight ---------------------------------------------------------------------------------------

OUTLINES: dict[str, tuple[Callable[[View, machines.Detail], object], int, int]] = {
    "dozer": (lambda v, d: machines.dozer_side(v, 0, 0, BLADE_HIGH, track_length=3.05, detail=d), 4400, 3000),
    "dozer from the end": (
        lambda v, d: machines.dozer_end(v, 0, 0, blade_width=BLADE, blade_height=BLADE_HIGH, detail=d), 3700, 3000,
    ),
    "excavator": (
        lambda v, d: machines.excavator_posed(v, 0, 0, ARM, ARM.posed((8, 0)), size=2.44, tail=TAIL, detail=d), 6200, 4200,
    ),
    "compact excavator": (
        lambda v, d: machines.compact_side(v, 0, 0, track_length=1.3, arm=SMALL, pose=SMALL.posed((2.9, 0)), blade_height=0.28, detail=d),
        6400, 4600,
    ),
    "excavator from above": (lambda v, d: machines.excavator_plan(v, (0, 0), **PLAN, detail=d), 4950, 3500),
    "compact excavator from above": (
        lambda v, d: machines.compact_plan(v, (0, 0), blade_width=GAUGE + SHOE, **PLAN, detail=d), 4400, 4100,
    ),
    "truck from behind": (lambda v, d: machines.truck_end(v, 0, 0, WIDE, HIGH, build="articulated", detail=d), 2150, 1800),
    "truck": (lambda v, d: machines.truck_side(v, 0, 0, body_length=BODY, body_height=HIGH, build="articulated", detail=d), 2900, 2400),
}  # fmt: skip


@pytest.mark.parametrize("name", OUTLINES)
def test_a_plain_outline_is_lighter_and_of_the_same_size(name: str) -> None:
    draw, most, plain_most = OUTLINES[name]
    weights, sizes = [], []
    for detail in ("full", "plain"):
        canvas = Canvas("m", "A machine alone", "One outline, to be weighed.")
        view = canvas.view((-14, -8, 14, 10), pad=(0, 0, 0, 0), max_height=520)
        draw(view, detail)
        (seen,) = read(canvas.to_svg())
        sizes.append({part.name: part.lengthwise for part in seen.all("tracks", "blade", "bucket")})
        weights.append(len("".join(canvas.to_svg().partition('class="view"')[2].partition('class="us scale"')[0])))
    assert weights[0] < most and weights[1] < plain_most and weights[1] < weights[0]
    for name_, size in sizes[0].items():
        assert sizes[1][name_] == pytest.approx(size, abs=0.01)


def test_many_small_lines_are_one_path_and_read_back_one_by_one() -> None:
    lines = [[(0.0, 0.0), (1.0, 0.0)], [(0.0, 2.0), (1.0, 2.0)], [(3.0, 3.0), (4.0, 3.0)]]

    def draw(view: View) -> None:
        with view.part("tracks"):
            view.strokes(lines)

    seen, view = drawn(draw)
    shapes = one(seen, "tracks").shapes
    assert len(shapes) == 3 and all(len(s.points) == 2 and not s.closed for s in shapes)
    assert [math.dist(*s.points) for s in shapes] == pytest.approx([1.0, 1.0, 1.0], abs=0.2 / view.per_metre)
