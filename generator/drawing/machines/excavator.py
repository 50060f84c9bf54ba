"""The excavator: from the side, from behind or in front, and from above."""

from __future__ import annotations

import math
from contextlib import AbstractContextManager, nullcontext

from generator.drawing.boxes import Point
from generator.drawing.machines.arm import Arm, Pose, boom_side, bucket, ear_of, lug_of, stick_outline
from generator.drawing.machines.outline import Detail, Frame, arc, bar, between, cylinder, detail_of
from generator.drawing.machines.track import track_plan, track_side
from generator.drawing.view import Part, View


def excavator_side(
    view: View,
    x: float,
    y: float,
    *,
    stick: float,
    elbow: Point,
    stick_angle: float,
    bucket_angle: float = -0.6,
    facing: int = 1,
    size: float = 0.0,
    bucket_length: float = 0.0,
    undercarriage: tuple[float, float] | None = None,
    tail: float = 0.0,
    loaded: bool = False,
    marked: bool = False,
    sized: bool = True,
    detail: Detail | None = None,
    angle: float = 0.0,
) -> Point:
    """Draw an excavator from the side; its slewing centre at `x`, its tracks on `y`.

    `stick` is the stick's length, pin to pin. `elbow` is where the pin of boom and stick stands;
    the stick leaves it at `stick_angle` (radians; straight down is -pi/2), and the bucket's teeth
    stand at `bucket_angle` to that, turned toward the machine where it is below 0. The boom reaches
    from the machine to the elbow. `size` is that of the machine, two thirds of its tracks' length (as
    the stick if not given); `bucket_length` is from pin to teeth.

    `undercarriage` is how long a track looks and how far the far one stands behind the near one, for
    tracks turned out of the view; `angle` (radians, up at the front) turns tracks and house about the middle
    of the tracks, as on a ramp: `elbow` and `stick_angle` are then given as they stand. `tail` is from the slewing centre to the back of the counterweight.
    With `marked` the tracks, the machine and the bucket are parts of the picture (not `sized`: the
    tracks are a sketch). The cab is on the operator's left: behind the boom where the machine faces
    right. Returns where the bucket pin stands.
    """
    m = size or stick
    long, apart = undercarriage or (1.5 * m, 0.0)
    tail = tail or 0.98 * m
    t = 0.3 * m  # height of a track
    full = detail_of(view, 1.5 * m, detail) == "full"
    at = Frame((x, y), m, facing, angle)

    def mark(part: Part, **facts: str) -> AbstractContextManager[None]:
        return view.part(part, **facts) if marked else nullcontext()

    pin = (elbow[0] + stick * math.cos(stick_angle), elbow[1] + stick * math.sin(stick_angle))
    dig = bucket_length or 0.5 * stick
    teeth = stick_angle + facing * bucket_angle
    with mark("tracks", **({"sized": "no"} if undercarriage or not sized else {})):
        for shift in dict.fromkeys((facing * apart / 2, -facing * apart / 2)):
            track_side(
                view, x + shift - long / 2, x + shift + long / 2, y, t, angle=facing * angle, about=(x, y), drive=-facing, detail=detail
            )
    with mark("machine"):
        back = tail / m
        view.body(at.all((-0.3, 0.26), (0.3, 0.26), (0.34, 0.37), (-0.34, 0.37)), fill="dark", pen="thin")  # the ring it swings on
        deck, roof = 0.8, 1.12

        def cab() -> None:
            view.body(at.all((-0.08, 0.42), (0.44, 0.42), (0.5, 0.6), (0.47, 0.72), (0.36, 1.08), (0.3, roof), (-0.04, roof), (-0.1, 1.06)),
                      fill="paper")  # fmt: skip
            view.polygon(at.all((0.12, 0.6), (0.455, 0.6), (0.44, 0.72), (0.33, 1.04), (0.12, 1.04)), pen="thin", fill="shade")
            if full:
                view.strokes([at.all((-0.05, 0.68), (-0.05, 1.04), (0.06, 1.04), (0.06, 0.68), (-0.05, 0.68)),
                              at.all((0.09, 0.44), (0.09, 1.08)), at.all((0.14, 0.54), (0.22, 0.54))])  # fmt: skip

        def house() -> None:
            view.body(at.all((0.4 - back, 0.37), (0.56, 0.37), (0.56, 0.46), (0.5, 0.52), (0.14, 0.52), (0.1, 0.62), (-0.1, deck),
                             (0.34 - back, deck + 0.02)), fill="paper")  # fmt: skip
            view.body(at.all((0.46 - back, 0.37), (0.42 - back, deck + 0.06), (0.12 - back, deck + 0.02), (0.02 - back, 0.74), (-back, 0.6),
                             (0.02 - back, 0.46), (0.1 - back, 0.37)))  # fmt: skip
            view.body(at.all((0.56 - back, deck), (0.56 - back, deck + 0.13), (0.62 - back, deck + 0.13), (0.62 - back, deck)),
                      fill="paper", pen="thin")  # fmt: skip
            if full:
                vents = [at.all((a, 0.54), (a, 0.7)) for a in (0.56 - back + 0.06 * k for k in range(5)) if a < -0.16]
                view.strokes([*vents, at.all((0.48 - back, 0.46), (0.54, 0.46))])

        def boom() -> None:
            boom_side(
                view,
                at(0.2, 0.58),
                elbow,
                0.14 * m,
                at(0.42, 0.45),
                lug_of(elbow, stick_angle, stick, 0.09 * m, facing),
                detail="full" if full else "plain",
            )

        if facing > 0:  # from its right the cab stands beyond the boom
            cab()
            house()
            boom()
        else:
            boom()
            house()
            cab()
        stick_outline(view, elbow, stick_angle, stick, 0.09 * m, facing, ear_of(pin, dig, teeth, facing), "full" if full else "plain")
    with mark("bucket"):
        bucket(view, pin, dig, teeth, facing=facing, full=loaded)
    view.dots([at(0.2, 0.58), elbow, pin], 0.075 * m)
    return pin


def excavator_posed(
    view: View,
    x: float,
    y: float,
    arm: Arm,
    pose: Pose,
    *,
    size: float,
    facing: int = 1,
    tail: float = 0.0,
    undercarriage: tuple[float, float] | None = None,
    loaded: bool = False,
    sized: bool = True,
    detail: Detail | None = None,
    angle: float = 0.0,
) -> Point:
    """Draw an excavator from the side whose arm is held in a pose of `arm`; return where its teeth stand.

    Its tracks are 1.5 `size` long (as of `arm_of`), its parts are marked; `angle` (radians, up at the front)
    turns the whole. See `excavator_side`.
    """
    stands = Frame((x, y), facing=facing, angle=angle)

    def seen(point: Point) -> Point:
        return stands(*point)

    def way(direction: float) -> float:
        return direction + angle if facing > 0 else math.pi - direction - angle

    excavator_side(
        view, x, y, stick=arm.stick, elbow=seen(pose.elbow), stick_angle=way(pose.stick_angle),
        bucket_angle=facing * (way(pose.teeth) - way(pose.stick_angle)), facing=facing, size=size, bucket_length=arm.bucket,
        undercarriage=undercarriage, tail=tail, loaded=loaded, marked=True, sized=sized, detail=detail, angle=angle,
    )  # fmt: skip
    return seen(pose.tip)


def excavator_body_end(
    view: View,
    frame: Frame,
    gauge: float,
    shoe: float,
    heights: tuple[float, float, float],
    *,
    behind: bool = True,
    detail: Detail | None = None,
) -> None:
    """Draw what an excavator carries on its tracks from its end: counterweight or front, deck, cab on its left, boom.

    `heights` are those of the tracks, the deck and the roof; all in the units of `frame`.
    """
    track, deck, roof = heights
    half = 0.96 * (gauge / 2 + shoe / 2)
    left = -1 if behind else 1  # where the operator's left is in the picture
    full = detail_of(view, 1.5 * gauge * frame.scale, detail) == "full"
    low = 1.16 * track
    view.body(frame.box(-0.2 * gauge, 0.62 * track, 0.2 * gauge, low), fill="dark", pen="thin")
    # boom and stick stand up beyond the deck; they are folded, and pins go across where they turn
    middle, top = -left * 0.11 * gauge, roof - 0.06 * gauge
    inner, outer = sorted((left * 0.1 * gauge, left * 0.98 * half))
    cab = frame.all((inner, low), (outer, low), (outer, top), (outer - 0.05 * gauge, roof), (inner + 0.05 * gauge, roof), (inner, top))
    pane = frame.box(inner + 0.06 * gauge, deck + 0.16 * gauge if behind else low + 0.16 * gauge, outer - 0.06 * gauge, roof - 0.08 * gauge)

    def at(across: float, up: float) -> Point:
        """A point across from the middle of the boom."""
        return frame(middle + across * gauge, up)

    def pins(*heights: float, half: float) -> list[list[Point]]:
        return [[at(-half, up - 0.018 * gauge), at(half, up - 0.018 * gauge), at(half, up + 0.018 * gauge), at(-half, up + 0.018 * gauge)]
                for up in heights]  # fmt: skip

    if behind:
        view.body([at(-0.12, deck), at(0.12, deck), at(0.075, roof), at(-0.075, roof)], fill="paper")
        view.bodies(pins(top, roof - 0.26 * gauge, half=0.11))
        if full:
            view.body(
                [at(-0.035, deck), at(0.035, deck), at(0.035, top), at(-0.035, top)], fill="paper", pen="thin"
            )  # the cylinder of the stick
        view.body(cab, fill="paper")
        view.polygon(pane, pen="thin", fill="shade")
        # the counterweight, round at its corners and hung low
        base, brow, round_ = low - 0.06 * gauge, deck + 0.1 * gauge, 0.3 * (deck - low)
        corners = (
            (half - round_, brow - round_, 0.0),
            (round_ - half, brow - round_, 0.5),
            (round_ - half, base + round_, 1.0),
            (half - round_, base + round_, 1.5),
        )
        view.body(
            [frame(*p) for u, v, start in corners for p in arc((u, v), round_, start * math.pi, (start + 0.5) * math.pi, 2 if full else 1)]
        )
        if full:
            v = base + 0.3 * (brow - base)
            lamps = [frame.box(s * 0.8 * half - 0.06 * half, v - 0.04 * gauge, s * 0.8 * half + 0.06 * half, v) for s in (-1, 1)]
            view.strokes([frame.all((-0.62 * half, v), (0.62 * half, v)), *([*lamp, lamp[0]] for lamp in lamps)])
        return
    side = sorted((-left * 0.22 * gauge, -left * 0.98 * half))
    view.body(frame.box(side[0], low, side[1], deck), fill="shade")
    view.body(cab, fill="paper")
    view.polygon(pane, pen="thin", fill="shade")
    # the boom stands on its foot, the stick hangs before it
    view.body([at(-0.12, low), at(0.12, low), at(0.1, roof), at(-0.1, roof)], fill="paper")
    view.body([at(-0.045, 0.9 * track), at(0.045, 0.9 * track), at(0.06, roof), at(-0.06, roof)], fill="paper")
    # the bucket hangs under the stick, its back to the front
    wide = 0.3
    view.body([at(-wide, 0.5 * track), at(wide, 0.5 * track), at(wide, 1.2 * track), at(0.8 * wide, 1.4 * track), at(-0.8 * wide, 1.4 * track),
               at(-wide, 1.2 * track)])  # fmt: skip
    lower = pins(1.5 * track, half=0.1) if full else []
    view.bodies([*pins(top, half=0.14), *lower, *([at(u - 0.03, 0.5 * track), at(u + 0.03, 0.5 * track), at(u, 0.3 * track)]
                                                                      for u in ((-0.255, -0.085, 0.085, 0.255) if full else (-0.24, 0.0, 0.24)))])  # fmt: skip


def excavator_plan(
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
    sized: bool = True,
    bucket_width: float = 0.0,
    detail: Detail | None = None,
) -> None:
    """Draw an excavator from above: tracks, house with cab and counterweight, boom, stick, bucket.

    `length` and `width` are over the tracks, which point along `angle`; the house looks along `look`.
    `pin` is from the swing centre to the bucket's pin, `tail` to the back of the counterweight. Each
    track, the rest of the machine and its bucket are parts of the picture. Where not `sized`, the tracks
    are a sketch; the bucket is one where its `bucket_width` is not given.
    """
    for side in (-1, 1):
        with view.part("tracks", **({} if sized else {"sized": "no"})):
            track_plan(view, centre, length, side * (width - shoe) / 2, shoe, angle, detail=detail)
    # opened toward the sky, under the stick
    with view.part("bucket", sized="no"):
        bucket_plan(view, Frame(centre, angle=look), pin, bucket_length, bucket_width or bucket_length)
    with view.part("machine"):
        if detail_of(view, length, detail) == "full":  # under the house the two tracks are held by the frame
            view.body(Frame(centre, angle=angle).box(-0.2 * length, -width / 2 + shoe, 0.2 * length, width / 2 - shoe), fill="paper")
        house_plan(view, Frame(centre, angle=look), min(0.3 * length, 0.6 * pin), 0.36 * width, tail, detail=detail)
    hidden_tracks(view, Frame(centre, angle=angle), length, width, shoe)
    with view.part("machine"):
        cab_plan(view, Frame(centre, angle=look), min(0.3 * length, 0.6 * pin), 0.36 * width)
        arm_plan(view, Frame(centre, angle=look), pin, 0.09 * width, start=0.06 * length, detail=detail)


def hidden_tracks(view: View, under: Frame, length: float, width: float, shoe: float) -> None:
    """Draw where the tracks are that the house hides, dashed: they stand so whichever way the house is turned."""
    a, b = 0.47 * length, width / 2 - shoe
    view.strokes([under.all((-a, s * v), (a, s * v)) for s in (-1, 1) for v in (b, 0.98 * width / 2)], pen="dash")


def house_plan(view: View, at: Frame, front: float, half: float, tail: float, *, detail: Detail | None = None) -> None:
    """Draw the house of an excavator from above: deck, counterweight round within its swing, engine."""
    view.body(at.all((-0.8 * tail, -half), (front, -half), (front, 0.3 * half), (0.9 * front, half), (-0.8 * tail, half)), fill="paper")
    turn = math.asin(min(half / tail, 0.95))
    arc = [(-tail * math.cos(a), tail * math.sin(a)) for a in (turn * (k / 4 - 1) for k in range(9))]
    view.body(at.all((-0.66 * tail, -half), *arc, (-0.66 * tail, half)), fill="dark")
    if detail_of(view, 1.5 * tail, detail) == "full":  # hood of the engine across, and steps and tank on the right
        hood = at.box(-0.62 * tail, -0.82 * half, -0.26 * tail, 0.82 * half)
        view.strokes([[*hood, hood[0]], *(at.all((-0.5 * tail + 0.08 * k * tail, -0.7 * half), (-0.5 * tail + 0.08 * k * tail, -0.1 * half))
                                          for k in range(3)), at.all((-0.05 * tail, -half), (-0.05 * tail, -0.3 * half), (front, -0.3 * half))])  # fmt: skip


def cab_plan(view: View, at: Frame, front: float, half: float) -> None:
    """Draw the cab of an excavator from above, on the left of its house, with its windscreen and its roof light."""
    side, back = 0.28 * half, -0.24 * front
    view.body(at.box(back, side, front, half), fill="paper")
    view.body(at.box(0.62 * front, side + 0.1 * half, 0.94 * front, 0.9 * half), pen="thin", fill="dark")
    view.polygon(at.box(back + 0.12 * front, side + 0.1 * half, 0.5 * front, 0.9 * half), pen="thin", fill="shade")


def arm_plan(view: View, at: Frame, pin: float, half: float, *, start: float = 0.0, off: float = 0.0, detail: Detail | None = None) -> None:
    """Draw boom and stick from above, `half` their half width at the foot; the boom ends on both sides of the stick."""
    elbow = 0.6 * pin

    def box(x0: float, x1: float, a: float, b: float) -> list[Point]:
        return at.all((x0, off - a), (x1, off - b), (x1, off + b), (x0, off + a))

    fine = detail_of(view, 0.7 * pin, detail) == "full"
    if fine:  # the two cylinders that lift the boom
        lift = [(at(start + 0.06 * pin, off + side * 1.75 * half), at(0.5 * elbow, off + side * 1.2 * half)) for side in (-1, 1)]
        view.bodies([bar(a, between(a, b, 0.9), 0.5 * half) for a, b in lift], fill="paper")
    view.body(box(0.92 * elbow, pin, 0.66 * half, 0.4 * half))
    view.body(box(start, elbow, 1.5 * half, 0.75 * half), fill="paper")
    # pins go across: at the foot, between boom and stick, and where the bucket hangs
    across = ((elbow - 0.25 * half, 1.2), (pin, 0.85), *([(start + 0.3 * half, 1.8)] if fine else []))
    view.bodies([bar(at(x, off - wide * half), at(x, off + wide * half), 0.4 * half) for x, wide in across])
    if fine:  # cylinders of the stick and of the bucket, on top
        cylinder(view, at(0.45 * elbow, off), at(0.97 * elbow, off), 0.5 * half)
        cylinder(view, at(elbow + 0.07 * pin, off), at(0.95 * pin, off), 0.4 * half)


def bucket_plan(view: View, at: Frame, pin: float, length: float, width: float, *, off: float = 0.0) -> None:
    """Draw a bucket from above, hung from `pin`: a trough that is open upward, its teeth toward the machine."""
    w = width / 2
    lip, back = pin - 0.35 * length, pin + 0.35 * length

    def trough(inset: float) -> list[Point]:
        wide, long = w - inset, inset if inset else 0.0
        return at.all((lip, off - wide), (back - 0.16 * length, off - wide), (back - long, off - 0.7 * wide), (back - long, off + 0.7 * wide),
                      (back - 0.16 * length, off + wide), (lip, off + wide))  # fmt: skip

    view.body(trough(0.0), fill="paper")
    view.polygon(trough(0.14 * w), pen="thin", fill="shade")
    teeth = [
        (lip - long * length, off + (k + wide) * w)
        for k in (-0.81, -0.27, 0.27, 0.81)
        for wide, long in ((-0.13, 0.0), (0.0, 0.17), (0.13, 0.0))
    ]
    edge = lip + 0.06 * length
    view.polygon(at.all((edge, off + w), (edge, off - w), (lip, off - w), *teeth, (lip, off + w)), pen="thin", fill="dark")
