"""The compact excavator: tall cab on short tracks, boom on a post in front, a blade between the tracks' ends."""

from __future__ import annotations

import math

from generator.drawing.boxes import Point
from generator.drawing.machines.arm import Arm, Pose, boom_side, bucket, ear_of, lug_of, stick_outline
from generator.drawing.machines.excavator import arm_plan, bucket_plan, hidden_tracks
from generator.drawing.machines.outline import Detail, Frame, arc, bar, detail_of
from generator.drawing.machines.track import track_plan, track_side, tracks_end
from generator.drawing.view import View

TALL = 1.46
"""Height of the roof in lengths of the tracks."""
TRACK = 0.24
"""Height of a track in its lengths."""


def compact_arm(stick: float, track_length: float, *, bucket: float = 0.0, reach: float = 0.0) -> Arm:
    """Return the arm of a compact excavator: its foot is the post in front of the house. See `arm_of`."""
    foot = (0.5 * track_length, 0.5 * track_length)
    dig = bucket or 0.42 * stick
    boom = 1.55 * stick
    if reach > foot[0]:
        boom = max(math.hypot(reach - foot[0], foot[1]) - stick - dig, 0.8 * stick)
    return Arm(foot, boom, stick, dig)


def compact_side(
    view: View,
    x: float,
    y: float,
    *,
    track_length: float,
    arm: Arm,
    pose: Pose,
    blade_height: float,
    facing: int = 1,
    tail: float = 0.0,
    blade_reach: float = 0.0,
    blade_up: float = 0.0,
    loaded: bool = False,
    sized: bool = True,
    detail: Detail | None = None,
    across: tuple[float, float] | None = None,
    column: str = "track_gauge",
    angle: float = 0.0,
) -> Point:
    """Draw a compact excavator from the side; its swing centre at `x`, its tracks on `y`; return where its teeth stand.

    `arm` and `pose` hold boom, stick and bucket. The blade, `blade_height` high, stands `blade_reach`
    in front of the tracks (0.3 of their length if not given), lifted by `blade_up`. `tail` is from the
    swing centre to the back. Marks the parts tracks, machine, blade and bucket.

    With `across`, gauge and shoe width, the house has swung square to the tracks: they are seen from
    their end, the blade is left out, and `column` names the column that the gauge comes from. `angle`
    tips the whole about the middle of the tracks (radians, up at the front).
    """
    long = track_length
    tail = (tail or 0.56 * long) / long
    reach = (blade_reach or 0.3 * long) / long
    full = detail_of(view, long, detail) == "full"
    at = Frame((x, y), long, facing, angle)

    def seen(point: Point) -> Point:
        return at(point[0] / long, point[1] / long)

    def way(direction: float) -> float:
        return direction + angle if facing > 0 else math.pi - direction - angle

    elbow, pin, foot = seen(pose.elbow), seen(pose.pin), seen(arm.foot)
    stick_angle, teeth = way(pose.stick_angle), way(pose.teeth)
    deep = 0.11 * arm.stick
    if across is None:
        with view.part("tracks", **({} if sized else {"sized": "no"})):
            track_side(view, x - long / 2, x + long / 2, y, TRACK * long, angle=facing * angle, about=(x, y), drive=-facing, detail=detail)
        # on a slope it is turned, and less high than it is: its height is held where it stands level
        _blade_side(view, at, 0.5 + reach, blade_height / long, blade_up / long, long, sized=sized and not angle)
    else:
        _tracks_across(view, Frame((x, y), angle=facing * angle), *across, TRACK * long, column, sized=sized and not angle, detail=detail)
    with view.part("machine", **({"turned": "yes"} if across else {})):
        view.body(at.box(-0.2, TRACK, 0.2, 0.31), fill="dark", pen="thin")

        def cab() -> None:
            view.body(at.all((-0.3, 0.48), (-0.3, 1.38), (-0.23, TALL), (0.14, TALL), (0.21, 1.4), (0.32, 0.82), (0.3, 0.48)), fill="paper")
            view.polygon(at.all((0.0, 0.62), (0.0, 1.37), (0.15, 1.37), (0.265, 0.82), (0.25, 0.62)), pen="thin", fill="shade")
            if full:
                view.strokes([at.all((-0.25, 0.8), (-0.25, 1.37), (-0.07, 1.37), (-0.07, 0.8), (-0.25, 0.8)), at.all((-0.035, 0.5), (-0.035, 1.42)),
                              at.all((0.02, 0.72), (0.08, 0.72))])  # fmt: skip

        def house() -> None:
            view.body(at.all((-0.86 * tail, 0.3), (0.4, 0.3), (0.44, 0.36), (0.42, 0.5), (-0.3, 0.5), (-0.34, 0.8), (-0.8 * tail, 0.78), (-tail, 0.62),
                             (-tail, 0.42)), fill="paper")  # fmt: skip
            view.body(
                at.all((-0.86 * tail, 0.3), (-0.5 * tail, 0.3), (-0.58 * tail, 0.5), (-tail, 0.56), (-tail, 0.42)), fill="dark", pen="thin"
            )
            if full:
                view.strokes([at.all((-0.9 * tail + 0.06 * k, 0.62), (-0.9 * tail + 0.06 * k, 0.72)) for k in range(3)])

        def arms() -> None:
            fx, fy = arm.foot[0] / long, arm.foot[1] / long
            view.body(
                at.all(
                    (0.36, 0.32), (fx + 0.08, 0.32), (fx + 0.09, fy - 0.06), (fx + 0.04, fy + 0.05), (fx - 0.05, fy + 0.04), (0.38, 0.44)
                )
            )
            boom_side(
                view,
                foot,
                elbow,
                deep,
                at(fx + 0.08, 0.36),
                lug_of(elbow, stick_angle, arm.stick, 0.8 * deep, facing),
                rise=0.2,
                detail="full" if full else "plain",
            )

        if facing > 0:
            cab()
            house()
            arms()
        else:
            arms()
            house()
            cab()
        stick_outline(
            view, elbow, stick_angle, arm.stick, 0.75 * deep, facing, ear_of(pin, arm.bucket, teeth, facing), "full" if full else "plain"
        )
    with view.part("bucket", **({"sized": "no"} if across else {})):
        bucket(view, pin, arm.bucket, teeth, facing=facing, full=loaded)
    view.dots([foot, elbow, pin], 0.55 * deep)
    return seen(pose.tip)


def _blade_side(view: View, at: Frame, edge: float, h: float, up: float, long: float, *, sized: bool) -> None:
    """Draw the blade from the side on its arm; all but `long` in lengths of the tracks."""
    with view.part("machine"):
        view.body(bar(at(0.28, 0.11), at(edge - 0.06, up + 0.4 * h), 0.06 * long), pen="thin", fill="paper")
    with view.part("blade", **({} if sized else {"sized": "no"})):
        view.body(at.all((edge, up), (edge - 0.05, up + 0.15 * h), (edge - 0.06, up + 0.6 * h), (edge - 0.01, up + h), (edge - 0.06, up + h),
                         (edge - 0.12, up + 0.6 * h), (edge - 0.1, up + 0.1 * h)), fill="dark")  # fmt: skip


def _tracks_across(
    view: View, frame: Frame, gauge: float, shoe: float, tall: float, column: str, *, sized: bool, detail: Detail | None
) -> None:
    """Draw both tracks from their end and the beam between them; metres."""
    with view.part("machine", turned="yes"):
        view.body(frame.box(-gauge / 2, 0.38 * tall, gauge / 2, 0.62 * tall), fill="paper")
    with view.part("tracks", **({"gauge": column} if sized else {"sized": "no"})):
        tracks_end(view, frame, gauge, shoe, tall, detail=detail)


def compact_body_end(
    view: View,
    frame: Frame,
    gauge: float,
    shoe: float,
    heights: tuple[float, float, float],
    *,
    behind: bool = True,
    detail: Detail | None = None,
) -> None:
    """Draw what a compact excavator carries on its tracks from its end: a narrow deck under a cab nearly as wide.

    `heights` are those of the tracks, the deck and the roof; all in the units of `frame`.
    """
    track, deck, roof = heights
    half = 0.98 * (gauge / 2 + shoe / 2)
    full = detail_of(view, 2 * gauge * frame.scale, detail) == "full"
    left = -1 if behind else 1
    low = 1.12 * track
    ring = frame.box(-0.2 * gauge, 0.5 * track, 0.2 * gauge, low)  # that it swings on
    # the elbow of the raised boom stands over the roof
    a, b = sorted((left * 0.86 * half, -left * 0.6 * half))
    c, top = 0.12 * half, roof - 0.24 * gauge
    if behind:
        wide = 0.12 * gauge
        view.body(frame.all((-wide, top), (wide, top), (0.7 * wide, roof), (-0.7 * wide, roof)), fill="paper")
        pin = frame.box(-1.3 * wide, roof - 0.1 * gauge, 1.3 * wide, roof - 0.05 * gauge)
    view.body(frame.all((a, low), (b, low), (b, top - c), (b - c, top), (a + c, top), (a, top - c)), fill="paper")
    sill = deck + (0.3 if behind else 0.14) * half
    view.polygon(frame.box(a + 0.1 * half, sill, b - 0.1 * half, top - 0.14 * half), pen="thin", fill="shade")
    if not behind:
        view.body(frame.box(-half, low, half, deck), fill="paper")
        view.body(ring, fill="dark", pen="thin")
        return
    # the counterweight is one round casting, dark where it hangs low
    brow = deck + 0.08 * half
    tall = brow - low
    bend = 0.36 * tall
    brows = ((half - bend, 0.0), (bend - half, 0.5))
    view.body([*(frame(*p) for u, start in brows for p in arc((u, brow - bend), bend, start * math.pi, (start + 0.5) * math.pi, 2 if full else 1)),
               *frame.all((-half, low + 0.24 * tall), (half, low + 0.24 * tall))])  # fmt: skip
    skirt = frame.all((-0.9 * half, low), (0.9 * half, low), (half, low + 0.3 * tall), (-half, low + 0.3 * tall))
    view.bodies([ring, pin, skirt])
    if full:
        v = low + 0.62 * tall
        lamps = [frame.box(s * 0.76 * half - 0.06 * half, v, s * 0.76 * half + 0.06 * half, v + 0.06 * half) for s in (-1, 1)]
        view.strokes([*([*lamp, lamp[0]] for lamp in lamps), frame.all((-0.5 * half, v), (0.5 * half, v))])


def compact_arm_end(view: View, frame: Frame, gauge: float, roof: float, bucket_width: float) -> None:
    """Draw boom, stick and bucket folded in front of a compact excavator, the bucket off the ground; marks machine and bucket."""
    arm, low = 0.07 * gauge, 0.56 * roof
    w, tall = bucket_width / 2, min(0.22 * roof, 0.9 * bucket_width)
    base = low - 0.35 * tall
    with view.part("machine"):
        # the boom rises from its post, the stick hangs before it
        view.body(frame.all((-1.8 * arm, 0.3 * roof), (1.8 * arm, 0.3 * roof), (1.2 * arm, roof), (-1.2 * arm, roof)), fill="paper")
        view.body(frame.box(-0.8 * arm, base + 0.8 * tall, 0.8 * arm, roof), fill="paper")
        pins = ((0.33 * roof, 2.4), (0.95 * roof, 1.9), (base + 1.12 * tall, 1.4))
        view.bodies([frame.box(-wide * arm, up - 0.25 * arm, wide * arm, up + 0.25 * arm) for up, wide in pins])
    with view.part("bucket"):
        view.body(
            frame.all(
                (-w, base), (w, base), (w, base + 0.7 * tall), (0.8 * w, base + tall), (-0.8 * w, base + tall), (-w, base + 0.7 * tall)
            )
        )
        view.strokes([frame.all((k * w, base), (k * w, base - 0.18 * tall)) for k in (-0.9, -0.3, 0.3, 0.9)], pen="bold")


def compact_plan(
    view: View,
    centre: Point,
    *,
    length: float,
    width: float,
    shoe: float,
    angle: float,
    look: float,
    pin: float,
    tail: float,
    bucket_length: float,
    blade_width: float,
    bucket_width: float = 0.0,
    sized: bool = True,
    detail: Detail | None = None,
    body_width: float = 0.0,
) -> None:
    """Draw a compact excavator from above, its blade in front of the tracks. See `excavator_plan`.

    `body_width` is how wide its house goes by, where the tracks stand narrower or wider.
    """
    under = Frame(centre, angle=angle)
    for side in (-1, 1):
        with view.part("tracks", **({} if sized else {"sized": "no"})):
            track_plan(view, centre, length, side * (width - shoe) / 2, shoe, angle, detail=detail)
    edge, w = 0.78 * length, blade_width / 2
    at = Frame(centre, angle=look)
    body = body_width or width
    half = 0.38 * body
    with view.part("machine"):
        # two arms hold the blade; they turn in the frame between the tracks
        view.bodies(
            [bar(under(0.2 * length, side * 0.2 * width), under(edge, side * 0.32 * width), 0.09 * length) for side in (-1, 1)],
            fill="paper",
        )
        view.body(under.box(-0.2 * length, -width / 2 + shoe, 0.24 * length, width / 2 - shoe), fill="paper")
    with view.part("blade", **({} if sized else {"sized": "no"})):
        view.body(under.box(edge - 0.1 * length, -w, edge, w), fill="dark")
    with view.part("bucket", sized="no"):
        bucket_plan(view, at, pin, bucket_length, bucket_width or 0.9 * bucket_length)
    with view.part("machine"):
        front = 0.36 * length
        turn = math.asin(min(half / tail, 0.95))
        rear = [(-tail * math.cos(a), tail * math.sin(a)) for a in (turn * (k / 3 - 1) for k in range(7))]
        # the post that the boom swings on stands in front of the house
        view.body(at.box(0.9 * front, -0.16 * body, front + 0.14 * length, 0.16 * body), fill="paper")
        view.body(at.all((-0.7 * tail, -half), (0.8 * front, -half), (front, -0.7 * half), (front, 0.7 * half), (0.8 * front, half), (-0.7 * tail, half)),
                  fill="paper")  # fmt: skip
        view.body(at.all((-0.72 * tail, -half), *rear, (-0.72 * tail, half)), fill="dark", pen="thin")
    hidden_tracks(view, under, length, width, shoe)
    with view.part("machine"):
        view.body(at.box(-0.7 * front, -0.5 * half, 0.8 * front, 0.9 * half), fill="paper")
        view.body(at.box(0.5 * front, -0.34 * half, 0.7 * front, 0.76 * half), pen="thin", fill="dark")
        view.polygon(at.box(-0.56 * front, -0.36 * half, 0.38 * front, 0.78 * half), pen="thin", fill="shade")
        arm_plan(view, at, pin, 0.07 * body, start=front + 0.02 * length, detail="plain")
