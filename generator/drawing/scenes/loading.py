"""Drawings of the loading chapter."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, TooFewSteps
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import (
    FLOOR,
    Build,
    arm_of,
    bucket,
    ear_of,
    excavator_plan,
    excavator_side,
    stick_outline,
    truck_end,
    truck_plan,
    truck_plan_reach,
)
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._bars import Bar, bars
from generator.drawing.scenes._bench import OUT_OF_REACH, Stand, build_of
from generator.drawing.svg import Fill
from generator.drawing.view import View
from generator.units.writing import counted

RING_APART = 32.0
"""Rings with numbers keep so many px apart, middle to middle."""


def bench_loading(
    *,
    ident: str,
    stick_length: Measure,
    bench_height: Measure,
    truck_width: Measure | None = None,
    truck_height: Measure | None = None,
    crest_distance: Measure | None = None,
    fall_zone: Measure | None = None,
    truck_stand: Measure | None = None,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    track_angle: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    truck_build: str | None = None,
    room_zone: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw an excavator back from the edge of its bench, the fall zone below, and a truck beyond it.

    The view is along the face: the arm and the house from the side, the truck from behind. Lengths are
    in metres, angles in radians.

    - `stick_length`, `bench_height`: the stick is drawn pin to pin and dimensioned, as the bench is.
    - `crest_distance`: from the nearest track to the crest; `fall_zone`: from the foot of the face out
      to where the truck's near side stands, as far as the bench is high if not given.
    - `truck_stand`: from the swing centre to the middle of the truck. It is dimensioned, so it must be
      what the other lengths make.
    - `track_length`, `machine_width`, `shoe_width`, `track_angle`: the tracks, turned by that angle to
      the face; a sketch if not given.
    - `max_reach`: from the swing centre to the teeth at ground level. Where the bucket does not come
      over the middle of the truck, it is drawn as far as it comes, and a note says so.
    - `truck_width`, `truck_height`: overall width, and height to the top of the body's sides; both are
      dimensioned where they are given.
    - `truck_build`: `rigid` or `articulated`, of the truck's frame.
    - `room_zone`: metres, the widest fall zone of the drawings that this one stands beside, so that they
      have one scale.
    - `spots=True`: three regions, `on-bench`, `bench-foot` and `behind-truck`, for questions on
      where the machine stands.
    """
    given = {
        "stick_length": stick_length, "bench_height": bench_height, "truck_width": truck_width,
        "truck_height": truck_height, "crest_distance": crest_distance, "fall_zone": fall_zone,
        "track_length": track_length, "machine_width": machine_width, "max_reach": max_reach,
    }  # fmt: skip
    positive(**{name: measure for name, measure in given.items() if measure is not None})
    s, h = stick_length.si, bench_height.si
    wide = truck_width.si if truck_width else 1.2 * s
    tall = truck_height.si if truck_height else 0.9 * wide
    edge = crest_distance.si if crest_distance else max(1.2 * s, 4.0)
    fall = fall_zone.si if fall_zone else h
    size = track_length.si / 1.5 if track_length else s
    stand = Stand.of(track_length, machine_width, shoe_width, track_angle, 1.5 * size)
    tail = tail_radius.si if tail_radius else 0.98 * size
    centre = -(edge + stand.half)
    truck_x = fall + wide / 2
    away = truck_x - centre
    dig = bucket_length.si if bucket_length else 0.5 * s
    arm = arm_of(s, size, bucket=dig, reach=max_reach.si if max_reach else away + dig + 0.3 * s)
    wanted = (away, tall - h + 0.9 * dig)
    elbow, pin = arm.elbow(wanted)
    short = away - pin[0] > 0.02 * away
    right = max(fall, room_zone.si if room_zone else 0.0) + 1.35 * wide
    back = centre - tail
    canvas = Canvas(
        ident,
        title="Loading from the bench: where the tracks and the truck stand",
        desc=both(
            "An excavator stands on a bench ", bench_height, " high, its tracks back from the crest",
            *((" by ", crest_distance) if crest_distance else ()),
            ". Its stick is ", stick_length, " from pin to pin. A truck stands on the floor, beyond the "
            "zone at the foot of the face where ground may fall",
            *((", which is ", fall_zone, " wide") if fall_zone else ()), ".",
        ),
    )  # fmt: skip
    top = h + max(max(elbow[1], arm.foot[1]) + 0.2 * arm.boom, 1.2 * size)
    floor = -0.3 * h
    view = canvas.view(
        (back, floor, right, max(top, tall * 1.15)),
        pad=(8, 26, 96 if truck_height else 8, 96), max_height=480 if room_zone else 380, seen="side",
    )  # fmt: skip
    view.polygon([(back, h), (0, h), (0, 0), (right, 0), (right, floor), (back, floor)], pen="none", fill="earth")
    with view.part("fall-zone"):
        view.polygon([(0, 0), (fall, 0), (0, h)], pen="dash", fill="cross")
    view.polyline([(back, h), (0, h), (0, 0), (right, 0)])
    with view.part("crest"):
        view.line((0, h), (0, 0.92 * h), pen="bold")
    with view.part("toe"):
        view.line((0, 0), (0, 0.08 * h), pen="bold")
    with view.part("truck", on="floor", seen="end", **({} if truck_width else {"sized": "no"})):
        truck_end(view, truck_x, 0, wide, tall, build=build_of(truck_build))
    angle = math.atan2(pin[1] - elbow[1], pin[0] - elbow[0])
    excavator_side(
        view, centre, h, stick=s, elbow=(centre + elbow[0], h + elbow[1]), stick_angle=angle,
        bucket_angle=math.pi + 0.2 - angle, size=size, bucket_length=dig, tail=tail, loaded=True, marked=True,
        undercarriage=stand.side or (None if track_length else (1.5 * size, 0.0)),
    )  # fmt: skip
    if not spots:
        view.dimension(
            (centre + elbow[0], h + elbow[1]), (centre + pin[0], h + pin[1]), join("Stick ", stick_length),
            measure=stick_length, offset=24, prefer="right", width=70,
        )  # fmt: skip
    view.dimension(
        (0, 0), (0, h), join("Bench ", bench_height), measure=bench_height, offset=16,
        prefer="left", width=150,
    )  # fmt: skip
    if crest_distance is not None:
        view.dimension((-edge, h), (0, h), join("Edge ", crest_distance), measure=crest_distance, offset=-20,
                       prefer="below", width=130)  # fmt: skip
    if fall_zone is not None:
        view.dimension((0, floor), (fall, floor), join("Fall zone ", fall_zone), measure=fall_zone, offset=-6,
                       prefer="below", width=120)  # fmt: skip
    if truck_width is not None:
        view.dimension((fall, floor), (fall + wide, floor), truck_width, offset=-6, prefer="below")
    if truck_stand is not None and truck_width is not None:  # a sketched truck has no middle to measure to
        view.dimension((centre, floor), (truck_x, floor), join("To truck ", truck_stand),
                       measure=truck_stand, offset=-66, prefer="below", width=150)  # fmt: skip
    if truck_height is not None:
        view.dimension((truck_x + wide / 2, 0), (truck_x + wide / 2, tall), truck_height, offset=-12, prefer="right")
    if spots:
        view.spot("on-bench", "on top of the bench", [(centre, h + 0.5 * size)])
        view.spot("bench-foot", "at the foot of the bench", [(0.5 * fall, 0)])
        view.spot("behind-truck", "on the floor, beyond the truck", [(right, 0)])
    else:
        view.label((centre - 0.5 * tail, h + 0.8 * size), "Excavator", prefer=("above", "left"))
        view.label((truck_x + 0.3 * wide, tall), "Truck", prefer=("above", "right"))
    canvas.legend([("cross", "Fall zone: the face may fall out this far. Nobody and no truck stands here")])
    if short:
        canvas.note(OUT_OF_REACH, boxed=True)
    return canvas


def standing_on_the_bench(
    *,
    ident: str,
    track_length: Measure,
    machine_width: Measure,
    track_angle: Measure,
    truck_angle: Measure,
    crest_distance: Measure | None = None,
    fall_zone: Measure | None = None,
    shoe_width: Measure | None = None,
    truck_width: Measure | None = None,
    body_length: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    bucket_width: Measure | None = None,
    truck_build: str | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw from above how an excavator stands on its bench, and the truck that drives by.

    - `track_length`, `machine_width` (over the tracks), `shoe_width`: metres.
    - `track_angle`: radians between the tracks and the face (crest line), 0 to pi/2.
    - `truck_angle`: radians between the truck, which stands along the face, and the line to it from
      the swing centre.
    - `crest_distance`: metres from the crest to the nearest corner of the tracks; `fall_zone` from the
      foot of the face to the near side of the truck. Sketches if not given.
    - `truck_width`, `body_length`: metres, of the truck; `max_reach`, `bucket_length`, `tail_radius`:
      metres, of the excavator. Where the bucket does not reach the truck, a note says so.
    - `bucket_width`: metres; `truck_build`: `rigid` or `articulated`, of the truck's frame.
    - `spots=True`: regions `machine`, `crest` and `truck`.
    """
    positive(track_length=track_length, machine_width=machine_width)
    if not math.radians(20) <= truck_angle.si <= math.radians(160):
        raise DrawingRefused("the truck stands between 20 and 160 degrees to the line to it")
    stand = Stand.of(track_length, machine_width, shoe_width, track_angle, 1.0)
    length, a = stand.length, stand.angle
    wide = truck_width.si if truck_width else 0.85 * stand.width
    body = body_length.si if body_length else 1.3 * length
    gap = crest_distance.si if crest_distance else max(0.6 * length, 4.0)
    fall = fall_zone.si if fall_zone else 0.6 * length
    tail = tail_radius.si if tail_radius else 0.85 * length
    dig = bucket_length.si if bucket_length else 0.35 * length
    # The crest runs left to right; the face drops toward the bottom of the drawing.
    centre = (0.0, gap + stand.half)
    down = centre[1] + fall + wide / 2
    truck = (down / math.tan(truck_angle.si), -fall - wide / 2)
    reach = math.dist(centre, truck)
    pin = min(reach, max_reach.si - dig) if max_reach else reach
    short = reach - pin > 0.02 * reach
    ahead, behind = truck_plan_reach(body, wide, build_of(truck_build))
    canvas = Canvas(
        ident,
        title="Standing on the bench, from above",
        desc=both(
            "From above. The tracks of the excavator stand at ", track_angle,
            " to the face", ", so it can leave if the edge goes" if a > math.radians(15) else "", ". The truck stands on the floor below, along "
            "the face and clear of the zone where it may fall, at ", truck_angle, " to the boom.",
        ),
    )  # fmt: skip
    # where the line of the tracks meets the crest, if that is not far off
    meet = (centre[0] - centre[1] / math.tan(a), 0.0) if a > 0.5 else (-math.inf, 0.0)
    x0 = min(-tail, -stand.half, truck[0] - behind, meet[0] if meet[0] > -3 * length else 0.0) - 0.3 * length
    x1 = max(tail, truck[0] + ahead) + 0.35 * length
    y0, y1 = truck[1] - 0.75 * wide, centre[1] + max(tail, stand.half)
    view = canvas.view((x0, y0, x1, y1), pad=(8, 12, 8, 34), max_height=430, seen="above")
    with view.part("fall-zone"):
        view.rect(x0, -fall, x1, 0, pen="none", fill="cross")
    view.line((x0, -fall), (x1, -fall), pen="dash")
    with view.part("crest"):
        view.line((x0, 0), (x1, 0), pen="bold")
    with view.part("swing-circle"):
        view.circle(centre, tail, pen="dash")
    truck_plan(view, truck, body=body, width=wide, way=0.0, build=build_of(truck_build), sized=truck_width is not None)
    excavator_plan(
        view, centre, length=length, width=stand.width, shoe=stand.shoe, angle=a,
        look=math.atan2(truck[1] - centre[1], truck[0] - centre[0]), pin=pin, tail=tail, bucket_length=dig,
        bucket_width=bucket_width.si if bucket_width else 0.0,
    )  # fmt: skip
    # The angle between tracks and crest, where the line of the tracks meets the crest.
    if meet[0] > x0 + 0.1 * length:
        view.line(meet, (centre[0] - math.cos(a) * length / 2,
                         centre[1] - math.sin(a) * length / 2), pen="dash")  # fmt: skip
        view.angle(meet, 0.0, a, join("Tracks ", track_angle), measure=track_angle, radius=44, prefer=("left", "above"))
    corner = (centre[0] + (math.sin(a) * stand.width - math.cos(a) * length) / 2, gap)
    if spots:
        view.spot("machine", "where the machine stands", [centre])
        view.spot("crest", "the crest", [(x1 - 0.15 * (x1 - x0), 0)])
        view.spot("truck", "the truck", [truck])
    else:
        view.label((x1 - 0.1 * (x1 - x0), 0.0), "Crest", prefer=("above",))
        view.label((truck[0] - behind, truck[1]), join("Truck at ", truck_angle, " to the boom"),
                   prefer=("below", "left"), width=150, clear=True)  # fmt: skip
        if a > math.radians(15):  # along the edge is no way out
            away = [(centre[0] + math.cos(a) * by * length, centre[1] + math.sin(a) * by * length) for by in (0.55, 0.95)]
            view.arrow(away[0], away[1])
            view.label(away[1], "Free way out", prefer=("right", "above"), width=120, clear=True)
        turn = math.radians(150)
        view.label((centre[0] + tail * math.cos(turn), centre[1] + tail * math.sin(turn)), "Tail swings here",
                   prefer=("left", "above"), width=90, clear=True)  # fmt: skip
        if fall_zone is not None:
            at = x0 + 0.08 * (x1 - x0)
            view.dimension((at, -fall), (at, 0), fall_zone, prefer="right")
    if crest_distance is not None:
        view.dimension((corner[0], 0), (corner[0], gap), crest_distance, prefer="left")
    canvas.legend([("cross", "Fall zone: the face may fall out this far. Nobody and no truck stands here")])
    if short:
        canvas.note(OUT_OF_REACH, boxed=True)
    return canvas


def digging_pass(
    *,
    ident: str,
    stick_length: Measure,
    entry_angle: Measure,
    bucket_angle: Measure,
    stroke_length: Measure | None = None,
    slice_depth: Measure | None = None,
    bank_volume: Measure | None = None,
    bucket_width: Measure | None = None,
    bucket_length: Measure | None = None,
) -> Canvas:
    """Draw one digging pass: stick and bucket at entry, and the stick upright when it is full.

    - `stick_length`: metres, pin to pin; `bucket_length` from pin to teeth, a sketch if not given.
    - `entry_angle`: radians between the stick and the level from which it pulls hardest (about 75
      degrees), up to upright.
    - `bucket_angle`: radians between the bucket's floor and the level at entry.
    - `stroke_length`, `slice_depth`: metres, of the slice the bucket takes; its section has the area
      of that length times that depth. Sketches if not given.
    - `bank_volume`, `bucket_width`: cubic metres in the bank that fill the bucket, and its width. The
      section must be the one over the other; the laws of scenes hold it to that.
    """
    positive(stick_length=stick_length, entry_angle=entry_angle, bucket_angle=bucket_angle)
    if entry_angle.si > math.radians(100) or bucket_angle.si >= math.pi / 2:
        raise DrawingRefused("the stick enters at 100 degrees at most, the bucket under 90")
    s, a, b = stick_length.si, entry_angle.si, bucket_angle.si
    long = stroke_length.si if stroke_length else 0.8 * s
    deep = slice_depth.si if slice_depth else 0.12 * s
    if long <= 0 or deep <= 0:
        raise DrawingRefused("a slice needs a length and a depth")
    dig = bucket_length.si if bucket_length else 0.5 * s
    ease = min(0.8 * deep, 0.25 * long)  # the teeth go in and come out over this length
    # Directions from the bucket's pin to its teeth: its floor at `b` at entry, closed when full.
    entering, closed = math.pi + b + FLOOR, math.pi + 0.08
    end = (dig * math.cos(closed), dig * math.sin(closed))  # teeth, with the pin of the full bucket at 0, 0
    ground = end[1] - 0.5 * dig
    start = (end[0] + long + ease, ground)
    first = (start[0] - dig * math.cos(entering), start[1] - dig * math.sin(entering))
    # The elbow moves little; the stick leans out as far as the slice asks for.
    lean = math.acos(min(max(first[0] / s, 0.02), 0.9))
    at_entry = (first[0] - s * math.cos(lean), first[1] + s * math.sin(lean))
    canvas = Canvas(
        ident,
        title="One digging pass: stick, bucket and slice",
        desc=both(
            "The teeth go in out in front, with the bucket's floor at ", bucket_angle, " to the level",
            *((", and take a slice ", stroke_length, " long and ", slice_depth, " deep")
              if stroke_length and slice_depth else ()),
            ". The stick pulls hardest from ", entry_angle, " to upright, and the bucket is full by then. The "
            "stick is ", stick_length, " from pin to pin.",
        ),
    )  # fmt: skip
    left = min(end[0] - ease, -0.6 * s) - 0.5 * s
    right = max(start[0] + 0.3 * s, first[0] + 0.5 * dig)
    bottom = ground - 2.2 * deep
    top = max(at_entry[1], s) + 0.18 * s
    # half way up each end the slice is just as long as the stroke
    edge = [(end[0], ground), (end[0] + ease, ground - deep), (end[0] + long, ground - deep), start]
    thick = 0.1 * s

    def tool(view: View, elbow: Point, pin: Point, teeth: float, *, full: bool) -> None:
        view.body([(left, elbow[1] - 0.02 * s), (left, elbow[1] - 0.2 * s), (elbow[0] + 0.04 * s, elbow[1] - 0.08 * s),
                   (elbow[0], elbow[1] + 0.08 * s)])  # fmt: skip
        stick_outline(view, elbow, math.atan2(pin[1] - elbow[1], pin[0] - elbow[0]), s, thick, ear=ear_of(pin, dig, teeth))
        with view.part("bucket"):
            bucket(view, pin, dig, teeth, full=full)
        for joint in (elbow, pin):
            view.circle(joint, 0.045 * s, fill="paper")

    world = (left, bottom, right, top)
    canvas.note("The teeth go in, out in front", bold=True)
    view = canvas.view(world, pad=(8, 8, 8, 40), max_height=300, seen="side")
    view.rect(left, bottom, right, ground, pen="none", fill="earth")
    view.line((left, ground), (right, ground), pen="bold")
    facts = {"area": bank_volume.si / bucket_width.si} if bank_volume and bucket_width else {}
    with view.part("cut", **facts):
        view.polygon(edge, pen="dash", fill="paper")
    tool(view, at_entry, first, entering, full=False)
    if stroke_length is not None:
        half = ground - deep / 2
        view.dimension((end[0] + ease / 2, half), (start[0] - ease / 2, half), join("Slice ", stroke_length),
                       measure=stroke_length, offset=-deep / 2 * view.per_metre - 12, prefer="below")  # fmt: skip
    if slice_depth is not None:
        view.dimension((end[0], ground - deep), (end[0], ground), slice_depth, offset=12, prefer="left")
    view.line(start, (min(start[0] + 0.75 * s, right), start[1]), pen="dash")
    view.angle(start, 0.0, b, join("Bucket ", bucket_angle), measure=bucket_angle, radius=84, prefer=("right", "above"))
    canvas.skip(6)
    canvas.note("Full: the stick is upright", bold=True)
    view = canvas.view(world, pad=(8, 8, 8, 24), like=view, max_height=300, seen="side")
    with view.part("cut", **facts):
        view.polygon(edge, pen="none")
    done = [(left, ground), *edge, (right, ground)]
    view.polygon([*done, (right, bottom), (left, bottom)], pen="none", fill="earth")
    view.polyline(done, pen="bold")
    lift = 0.0
    upright = (0.0, s + lift)
    # where the stick was when the strongest part began
    was = (upright[0] + s * math.cos(a), upright[1] - s * math.sin(a))
    tool(view, upright, (0.0, lift), closed, full=True)
    if was[0] > 0.02 * s:
        view.line(upright, was, pen="dash")
        level = (was[0] - 0.5 * s, was[1])
        if abs(a - math.pi / 2) > 0.01:
            view.line(was, level, pen="thin")
            view.angle(was, math.pi - a, math.pi, join("Strongest from ", entry_angle, " to upright"),
                       measure=entry_angle, radius=30, prefer=("right",))  # fmt: skip
    view.dimension(
        upright, (0.0, lift), join("Stick ", stick_length), measure=stick_length,
        offset=-0.14 * s * view.per_metre - 14, prefer="left", width=80,
    )  # fmt: skip
    return canvas


def truck_match(
    *,
    ident: str,
    bucket_load: Measure,
    passes: float,
    truck_target: Measure,
) -> Canvas:
    """Draw how many buckets fill a truck: a bar of passes under the bar of what the truck takes.

    `bucket_load` and `truck_target` in kilograms, `passes` a whole number from 1. More than 60 would
    be hairlines, so they are drawn in blocks of ten, a hundred and so on, and the drawing says so.
    """
    positive(bucket_load=bucket_load, truck_target=truck_target)
    if passes < 1 or passes != int(passes):
        raise DrawingRefused(f"draw whole passes, one or more, not {passes}")
    passes = int(passes)
    block = 1
    while passes > 60 * block:
        block *= 10
    total = bucket_load.si * passes
    longest = max(total, truck_target.si)
    canvas = Canvas(
        ident,
        title="Buckets that fill the truck",
        desc=both(
            "Two bars to one scale. The truck takes ", truck_target, f". {passes} bucket loads of ", bucket_load, " each stand beside it.",
        ),
    )  # fmt: skip
    room = canvas.width - 8 - 8
    view = canvas.view((0, 0, room, 150), pad=(4, 2, 4, 2), max_height=151, scale="bars")
    view.fixed_text((0, 150), join("The truck takes ", truck_target))
    view.bar((0, 84), (room * truck_target.si / longest, 122), "shade", truck_target)
    plural = "pass" if passes == 1 else "passes"
    view.fixed_text((0, 72), join(f"{passes} {plural}, each ", bucket_load))
    step = room * bucket_load.si / longest
    crowded = step < 34
    for k in range(0, passes, block):
        many = min(block, passes - k)
        stretch = Measure(bucket_load.si * many, f"{many} loads", f"{many} loads")
        fill: Fill = "stripe" if k // block % 2 else "dots"
        view.bar((k * step, 6), ((k + many) * step, 44), fill, stretch)
        if block > 1:
            continue
        if not crowded or (k == passes - 1 and step * passes > 40) or (k == 0 and passes == 1):
            x = (k + 0.5) * step if not crowded else passes * step - 20
            view.badge((x, 25), str(k + 1))
    edge = room * truck_target.si / longest
    view.line((edge, 2), (edge, 126), pen="dash")
    canvas.note("All bars are drawn to one scale. The dashed line is what the truck takes.")
    if block > 1:
        canvas.note(f"Too many passes to draw one by one: each block is {counted(block)} passes.")
    return canvas


MOST_SHOWN = 15
"""So many passes of a truck are shown at most: nobody looks at more of them, and each turns the machine anew."""


@dataclass(frozen=True)
class _FromAbove:
    """An excavator that loads a truck, seen from above, the swing centre at the origin.

    The truck stands to the right, its front toward the top; the pile lies on the side of its rear, so
    that no bucket passes over the cab. Lengths in metres, angles in radians.
    """

    r: float
    body: float
    wide: float
    truck_way: float
    stand: Stand
    tail: float
    bucket_long: float
    crest: float | None
    fall: float
    truck: Point
    dumps: list[Point]
    bearings: list[float]
    inner: float
    outer: float
    build: Build

    @classmethod
    def of(
        cls,
        swings: Sequence[Measure],
        places: Sequence[int],
        *,
        truck_length: Measure,
        reach: Measure,
        truck_angle: Measure | None,
        truck_width: Measure | None,
        crest_distance: Measure | None,
        fall_zone: Measure | None,
        track_length: Measure | None,
        machine_width: Measure | None,
        shoe_width: Measure | None,
        track_angle: Measure | None,
        bucket_length: Measure | None,
        tail_radius: Measure | None,
        truck_build: str | None,
    ) -> _FromAbove:
        """From the swing of each pass, and which part of the body it fills, counted from the front.

        What is not given is a sketch.
        """
        if not swings:
            raise DrawingRefused("a loading order needs at least one pass")
        for swing in swings:
            if not 0 < swing.si < math.radians(200):
                raise DrawingRefused(f"a swing of {swing.us} cannot be drawn")
        count = len(swings)
        r, body = reach.si, truck_length.si
        b = truck_angle.si if truck_angle else math.pi / 2
        wide = truck_width.si if truck_width else 0.5 * body
        stand = Stand.of(track_length, machine_width, shoe_width, track_angle or Measure(math.pi / 4, "", ""), 0.45 * r)
        crest = crest_distance.si + stand.half if crest_distance else None
        truck = (r * math.sin(b), r * math.cos(b))
        # as many equal parts of the body as there are passes, each filled at its middle
        dumps = [(truck[0], truck[1] + body / 2 * (1 - (2 * k + 1) / count)) for k in places]
        bearings = [math.atan2(p[1], p[0]) - angle.si for p, angle in zip(dumps, swings, strict=True)]
        high = max(bearings) + 0.14
        outer = stand.kept_behind(crest, high, 0.93 * r)
        return cls(
            r, body, wide, b, stand, tail_radius.si if tail_radius else 0.85 * stand.length,
            bucket_length.si if bucket_length else 0.35 * stand.length, crest, fall_zone.si if fall_zone else 0.0,
            truck, dumps, bearings, 0.71 * outer, outer, build_of(truck_build),
        )  # fmt: skip

    @property
    def dig(self) -> float:
        """How far out it digs."""
        return (self.inner + self.outer) / 2

    @property
    def digs(self) -> list[Point]:
        """Where each pass digs."""
        return [(self.dig * math.cos(at), self.dig * math.sin(at)) for at in self.bearings]

    def sector(self, low: float, high: float, pieces: int = 24) -> list[Point]:
        """The outline of the ground that is dug, between two bearings; its arcs are of so many straight pieces."""
        return [(radius * math.cos(at), radius * math.sin(at))
                for radius, ends in ((self.inner, (low, high)), (self.outer, (high, low)))
                for at in (ends[0] + (ends[1] - ends[0]) * k / pieces for k in range(pieces + 1))]  # fmt: skip

    @property
    def world(self) -> tuple[float, float, float, float]:
        """All of it, with a little room around: left, low, right, high."""
        ahead, behind = truck_plan_reach(self.body, self.wide, self.build)
        band = self.sector(min(self.bearings) - 0.14, max(self.bearings) + 0.14)
        half, tail, r = self.stand.half, self.tail, self.r
        xs = [p[0] for p in band] + [self.truck[0] + self.wide / 2, -tail, -half]
        ys = [p[1] for p in band] + [self.truck[1] + ahead, self.truck[1] - behind, -tail, tail, half]
        return min(xs) - 0.04 * r, min(ys) - 0.04 * r, max(xs) + 0.04 * r, max(ys) + 0.04 * r


def loading_order(
    *,
    ident: str,
    swing_angles: Sequence[Measure],
    truck_length: Measure,
    reach: Measure,
    truck_angle: Measure | None = None,
    truck_width: Measure | None = None,
    crest_distance: Measure | None = None,
    fall_zone: Measure | None = None,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    track_angle: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    bucket_width: Measure | None = None,
    truck_build: str | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw the swings of one truck from above: where each pass digs, and where it is dumped.

    - `swing_angles`: radians from dig to dump, pass 1 first. Any number; only the first, the last
      and those between that have room carry a number.
    - `truck_length`: metres of body that are filled from front to rear; `truck_width` over all.
    - `reach`: metres from the swing centre to the middle of the truck's body; `truck_angle` radians
      between the truck and that line, a right angle if not given.
    - `crest_distance`, `fall_zone`: metres from the nearest track to the crest, and from the foot of
      the face to where a truck may stand. With the first the bench is drawn.
    - `track_length`, `machine_width`, `shoe_width`, `track_angle`, `max_reach`, `bucket_length`,
      `tail_radius`, `bucket_width`: of the excavator; sketches if not given.
    - `truck_build`: `rigid` or `articulated`, of the truck's frame.

    The truck's front is at the top and the pile at the bottom, on the side of its rear. The swing
    of a pass is measured from its own dump point, so the drawn angle is the one given.
    `spots=True`: regions `far-pile`, `near-pile`, `body-front` and `body-rear`, no pass numbers.
    """
    positive(truck_length=truck_length, reach=reach)
    plan = _FromAbove.of(
        swing_angles, range(len(swing_angles)), truck_length=truck_length, reach=reach, truck_angle=truck_angle, truck_width=truck_width,
        crest_distance=crest_distance, fall_zone=fall_zone, track_length=track_length, machine_width=machine_width,
        shoe_width=shoe_width, track_angle=track_angle, bucket_length=bucket_length, tail_radius=tail_radius,
        truck_build=truck_build,
    )  # fmt: skip
    count, r, body, half, wide, tail = len(swing_angles), plan.r, plan.body, plan.body / 2, plan.wide, plan.tail
    stand, bucket_long, crest, fall, truck = plan.stand, plan.bucket_long, plan.crest, plan.fall, plan.truck
    dumps, bearings, digs, dig = plan.dumps, plan.bearings, plan.digs, plan.dig
    b = plan.truck_way
    first, last = swing_angles[0], swing_angles[-1]
    canvas = Canvas(
        ident,
        title="The order of digging and filling",
        desc=both(
            *(
                ("From above: an excavator, a pile on one side, a truck on the other.",)
                if spots
                else (
                    f"From above, {count} passes. The first digs at the "
                    f"{'far' if first.si >= last.si else 'near'} end of the pile and fills the "
                    "front of the body, with a swing of ", first, ". The last digs at the "
                    f"{'near' if first.si >= last.si else 'far'} end and fills the rear, with a "
                    "swing of ", last, ".",
                )
            ),
        ),
    )  # fmt: skip
    x0, y0, x1, y1 = plan.world
    ahead, _ = truck_plan_reach(body, wide, plan.build)
    view = canvas.view((x0, y0, x1, y1), pad=(20, 40, 16, 30), max_height=430, seen="above")
    if crest is not None:
        if fall:
            with view.part("fall-zone"):
                view.rect(crest, y0, crest + fall, y1, pen="none", fill="cross")
            view.line((crest + fall, y0), (crest + fall, y1), pen="dash")
        with view.part("crest"):
            view.line((crest, y0), (crest, y1), pen="bold")
    with view.part("spoil"):
        view.body(plan.sector(min(bearings) - 0.14, max(bearings) + 0.14), fill="spoil")
    with view.part("swing-circle"):
        view.circle((0, 0), tail, pen="dash")
    truck_plan(view, truck, body=body, width=wide, way=math.pi / 2, build=plan.build, sized=truck_width is not None)
    # In a question the swings and where the boom stands would tell the order.
    bench_reach = max_reach.si - bucket_long if max_reach else r
    excavator_plan(
        view, (0.0, 0.0), length=stand.length, width=stand.width, shoe=stand.shoe, angle=stand.angle - math.pi / 2,
        look=math.pi / 2 - b if spots else bearings[0], pin=min(r, bench_reach) if spots else dig, tail=tail,
        bucket_length=bucket_long, bucket_width=bucket_width.si if bucket_width else 0.0, sized=track_length is not None,
    )  # fmt: skip
    shown = () if spots else (0,) if count == 1 else (0, count - 1)
    near = max(0.42 * r, 1.1 * tail)
    for k in shown:
        radius = near + (0.14 * r if k == 0 else 0.0)
        a0 = math.atan2(dumps[k][1], dumps[k][0])
        for p in (dumps[k], digs[k]):
            far = math.hypot(*p)
            from_ = (p[0] * min(tail * 1.02, 0.9 * far) / far, p[1] * min(tail * 1.02, 0.9 * far) / far)
            view.line(from_, p, pen="thin" if k == 0 else "dash")
        which = "First " if k == 0 else "Last "
        view.angle((0, 0), a0 - swing_angles[k].si, a0,
                   join(which if count > 1 else "", swing_angles[k]), measure=swing_angles[k],
                   radius=radius * view.per_metre)  # fmt: skip
    if spots:
        view.spot("far-pile", "the far end of the pile", [digs[0]])
        view.spot("near-pile", "the near end of the pile", [digs[-1]])
        view.spot("body-front", "the front of the body", [dumps[0]])
        view.spot("body-rear", "the rear of the body", [dumps[-1]])
    view.label((truck[0], truck[1] + ahead), "Front of truck", prefer=("above", "left"), width=150)
    if not spots:
        if crest is not None:
            view.label((crest, y1 - 0.06 * (y1 - y0)), "Crest", prefer=("left",))
        # a ring at the very end of the body would stand half on the cab
        far = max(half - view.metres(13), 0.0)
        filled = [(x, truck[1] + min(max(y - truck[1], -far), far)) for x, y in dumps]
        rings: dict[tuple[int, int], Point] = {}
        for k in dict.fromkeys((count - 1, 0, *range(count))):  # the last and the first have their room before any other
            for row, points in enumerate((digs, filled)):
                here = view.px(points[k])
                if all(math.dist(here, other) >= RING_APART for other in rings.values()):
                    rings[row, k] = here
        for row, k in sorted(rings):
            view.badge((digs, filled)[row][k], str(k + 1))
        canvas.note("Numbers in the pile: where each pass digs. In the truck: where it is dumped.")
    rows: list[tuple[Fill, Text]] = [("spoil", "The ground that is dug" if crest is not None else "The pile")]
    if crest is not None and fall:
        rows.append(("cross", "Fall zone: the face may fall out this far. Nobody and no truck stands here"))
    canvas.legend(rows)
    if max_reach and r - bench_reach > 0.02 * r:
        canvas.note(OUT_OF_REACH, boxed=True)
    return canvas


def truck_film(
    *,
    ident: str,
    pass_numbers: Sequence[Measure],
    fills: Sequence[Measure],
    swing_angles: Sequence[Measure],
    waited: Sequence[Measure],
    truck_length: Measure,
    reach: Measure,
    most_waited: Measure | None = None,
    truck_angle: Measure | None = None,
    truck_width: Measure | None = None,
    crest_distance: Measure | None = None,
    fall_zone: Measure | None = None,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    track_angle: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    truck_build: str | None = None,
) -> Film:
    """Draw a truck being loaded pass by pass, from above: each pass digs, swings and dumps.

    - the sequences have one figure a pass, pass 1 first: its number, the bearing at which it dumps
      (radians, greatest at the front of the body), the swing from dig to dump (radians), and the
      time of the swings that the truck has waited for by its dump (seconds, from the first dump on).
    - `most_waited`: seconds that the bar is long enough for, so that two films can be compared.
    - all else as of `loading_order`.
    """
    positive(truck_length=truck_length, reach=reach)
    count = len(pass_numbers)
    if any(len(column) != count for column in (fills, swing_angles, waited)):
        raise DrawingRefused("a truck loaded pass by pass needs the same figures of each pass")
    if count < 2:
        raise TooFewSteps("a truck loaded pass by pass needs two passes at least")
    from_front = sorted(range(count), key=lambda k: -fills[k].si)
    places = [from_front.index(k) for k in range(count)]
    plan = _FromAbove.of(
        swing_angles, places, truck_length=truck_length, reach=reach, truck_angle=truck_angle, truck_width=truck_width,
        crest_distance=crest_distance, fall_zone=fall_zone, track_length=track_length, machine_width=machine_width,
        shoe_width=shoe_width, track_angle=track_angle, bucket_length=bucket_length, tail_radius=tail_radius,
        truck_build=truck_build,
    )  # fmt: skip
    by_bearing = sorted(plan.bearings)
    marks = [
        2 * by_bearing[0] - (by_bearing[0] + by_bearing[1]) / 2,
        *((a + b) / 2 for a, b in itertools.pairwise(by_bearing)),
        2 * by_bearing[-1] - (by_bearing[-1] + by_bearing[-2]) / 2,
    ]
    shown, apart = picked(count, MOST_SHOWN)
    order = "from front to rear" if places[0] < places[-1] else "from rear to front"
    last, most = pass_numbers[-1], most_waited or waited[-1]
    frames = []
    for k in shown:
        for dumped in (False, True):
            done = range(k + 1)
            canvas = Canvas(ident, title=f"A truck loaded {order}", desc="One pass, from above.", steady=True)
            view = canvas.view(plan.world, pad=(20, 26, 16, 8), max_height=360, seen="above")
            left = [i for i in range(count) if by_bearing[i] not in {plan.bearings[j] for j in (done if dumped else range(k))}]
            _loading_ground(view, plan, [(marks[i], marks[i + 1]) for i in left], (marks[0], marks[-1]))
            truck_plan(view, plan.truck, body=plan.body, width=plan.wide, way=math.pi / 2, build=plan.build, sized=truck_width is not None)
            with view.part("load"):
                for j in done if dumped else range(k):
                    _body_part(view, plan, places[j], count)
            here, place = (plan.dumps if dumped else plan.digs)[k], plan.bearings[k]
            to = math.atan2(plan.dumps[k][1], plan.dumps[k][0])
            excavator_plan(
                view, (0.0, 0.0), length=plan.stand.length, width=plan.stand.width, shoe=plan.stand.shoe,
                angle=plan.stand.angle - math.pi / 2, look=to if dumped else place,
                pin=min(math.hypot(*here), max_reach.si - plan.bucket_long) if max_reach else math.hypot(*here),
                tail=plan.tail, bucket_length=plan.bucket_long, sized=track_length is not None,
            )  # fmt: skip
            near = max(0.42 * plan.r, 1.1 * plan.tail)
            view.line((0.0, 0.0), plan.digs[k], pen="dash")
            view.line((0.0, 0.0), plan.dumps[k], pen="dash")
            view.angle((0, 0), place, to, swing_angles[k], radius=near * view.per_metre)
            ahead, _ = truck_plan_reach(plan.body, plan.wide, plan.build)
            view.label((plan.truck[0], plan.truck[1] + ahead), "Front of truck", prefer=("above", "left"), width=150)
            if plan.crest is not None:
                _, y0, _, y1 = view.world
                view.label((plan.crest, y1 - 0.06 * (y1 - y0)), "Crest", prefer=("left",))
            canvas.skip(4)
            so_far = waited[k] if dumped or not k else waited[k - 1]
            canvas.note(join("Swing time waited for: ", so_far), bold=True)
            share = so_far.si / most.si
            bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
            if share > 0:
                bar.bar((0, 0), (100 * share, 4), "dark", so_far)
            bar.rect(0, 0, 100, 4, pen="thin")
            canvas.note(join("The whole bar is ", most, "."))
            canvas.key_starts()
            rows: list[tuple[Fill, Text]] = [
                ("spoil", "The ground that is dug, and the load" if plan.crest is not None else "The pile, and the load")
            ]
            if plan.crest is not None and plan.fall:
                rows.append(("cross", "Fall zone: the face may fall out this far. Nobody and no truck stands here"))
            canvas.legend(rows)
            if max_reach and plan.r - (max_reach.si - plan.bucket_long) > 0.02 * plan.r:
                canvas.note(OUT_OF_REACH, boxed=True)
            if apart > 1:
                canvas.note(thinned(apart, "pass"))
            head = join("Pass ", pass_numbers[k], " of ", last, ": ")
            says = (
                join(head, "a swing of ", swing_angles[k], ", and the bucket is dumped. ",
                     *(("The truck has waited for ", so_far, " of swinging.") if k else ("From now on the truck waits.",)))
                if dumped
                else join(head, "the bucket is filled, " if k else "the bucket was filled as the truck came in, ", swing_angles[k],
                          " from where it is dumped.")
            )  # fmt: skip
            frames.append(Frame(canvas, says, (pass_numbers[k], last, swing_angles[k], so_far, most)))
    return Film(
        ident,
        title=f"A truck loaded {order}",
        desc=both(
            f"From above: an excavator fills a truck {order} in {count} passes. The first swing is ", swing_angles[0],
            ", the last ", swing_angles[-1], ". From the first dump to the last the truck waits for ", waited[-1], " of swinging.",
        ),
        frames=frames,
    )  # fmt: skip


def _loading_ground(view: View, plan: _FromAbove, left: Sequence[tuple[float, float]], whole: tuple[float, float]) -> None:
    """Draw crest, fall zone, what is left of the ground that is dug, and how far the tail swings."""
    _, y0, _, y1 = view.world
    if plan.crest is not None:
        if plan.fall:
            with view.part("fall-zone"):
                view.rect(plan.crest, y0, plan.crest + plan.fall, y1, pen="none", fill="cross")
            view.line((plan.crest + plan.fall, y0), (plan.crest + plan.fall, y1), pen="dash")
        with view.part("crest"):
            view.line((plan.crest, y0), (plan.crest, y1), pen="bold")
    view.polygon(plan.sector(*whole), pen="dash")
    if left:
        with view.part("spoil"):
            low, high = min(a for a, _ in left), max(b for _, b in left)
            view.body(plan.sector(low, high, math.ceil((high - low) / 0.1)), fill="spoil")
    with view.part("swing-circle"):
        view.circle((0, 0), plan.tail, pen="dash")


def _body_part(view: View, plan: _FromAbove, place: int, count: int) -> None:
    """Draw the load in one of as many equal parts of the truck's body as there are passes, counted from its front."""
    x, y = plan.truck
    high = y + plan.body * (0.5 - place / count)
    view.body(
        [(x - 0.4 * plan.wide, high - plan.body / count), (x + 0.4 * plan.wide, high - plan.body / count), (x + 0.4 * plan.wide, high),
         (x - 0.4 * plan.wide, high)], pen="thin", fill="spoil",
    )  # fmt: skip


def payload_tally(*, ident: str, loads: Sequence[tuple[Text, Measure]], target: Measure) -> Canvas:
    """Draw the loads of a shift as bars against the rated payload of the truck.

    `loads` are a name (a truck, an operator, a material) and kilograms each, 1 to 12; `target` is
    the rated payload in kilograms.
    """
    if not 1 <= len(loads) <= 12:
        raise DrawingRefused(f"draw 1 to 12 loads, not {len(loads)}")
    canvas = Canvas(
        ident,
        title="Loads against the rated payload",
        desc=both(
            "Bars to one scale against a rated payload of ", target, ". ",
            *(part for name, load in loads for part in (name, ": ", load, ". ")),
        ),
    )  # fmt: skip
    rows = [Bar(name, load, "cross" if load.si > target.si else "stripe") for name, load in loads]
    bars(canvas, rows, limit=(target, join("Upright mark: rated payload ", target)), thickness=24.0)
    meanings: list[tuple[Fill, Text]] = [("stripe", "At or under the rated payload")]
    if any(load.si > target.si for _, load in loads):
        meanings.append(("cross", "Over the rated payload"))
    canvas.legend(meanings)
    return canvas
