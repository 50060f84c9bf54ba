"""The crawler dozer: from the side, from its blade's end or from behind, and from above."""

from __future__ import annotations

import math

from generator.drawing.boxes import Point
from generator.drawing.machines.outline import Detail, Frame, bar, between, cylinder, detail_of, limb, turned
from generator.drawing.machines.track import track_plan, track_side, tracks_end
from generator.drawing.view import View

GAP = 0.75
"""From the cutting edge to the front of the tracks, in heights of the blade."""
SKETCH = 2.4
"""Length of the tracks in heights of the blade, where the table does not tell it."""
TALL = 0.94
"""Height of the roof in lengths of the tracks."""


def dozer_height(blade_height: float, track_length: float | None = None) -> float:
    """Return how high the roof of a dozer is drawn above the ground (metres)."""
    return TALL * (track_length or SKETCH * blade_height)


def dozer_side(
    view: View,
    blade_x: float,
    y: float,
    blade_height: float,
    *,
    facing: int = 1,
    track_length: float | None = None,
    angle: float = 0.0,
    blade_up: float = 0.0,
    ripper: bool = False,
    detail: Detail | None = None,
) -> tuple[float, float]:
    """Draw a dozer from the side; the cutting edge at `blade_x`, the tracks on `y`.

    The blade is `blade_height` high, and the tracks `track_length` long where that is given.
    `angle` (radians) turns the whole about the cutting edge, as on a ramp that climbs the way the
    dozer faces. `blade_up` lifts the cutting edge so far off the ground (metres), on its push arms.
    Marks the parts machine, tracks and blade. Returns the x of the machine's back and the height of
    its top, before the turn; a `ripper` stands out behind that.
    """
    h = blade_height
    long = track_length or SKETCH * h
    full = detail_of(view, long, detail) == "full"
    edge = (blade_x, y)
    # forward from the rear end of the tracks, in lengths of the tracks
    rear = blade_x - facing * (GAP * h + long)
    flat = Frame((rear, y), long, facing)

    def at(*points: Point) -> list[Point]:
        return turned(flat.all(*points), facing * angle, edge)

    # the blade turns with its arms about where they are held to the tracks
    hold = (blade_x - facing * (GAP * h + 0.58 * long), y + 0.17 * long)
    dx, dy = facing * (blade_x - hold[0]), y - hold[1]
    far = math.hypot(dx, dy)
    swing = math.asin(max(-1.0, min((dy + blade_up) / far, 1.0))) - math.atan2(dy, dx)

    def on_blade(*points: Point) -> list[Point]:
        """Points behind the cutting edge and above it, in heights of the blade."""
        placed = [(blade_x - facing * back * h, y + up * h) for back, up in points]
        return turned(turned(placed, facing * swing, hold), facing * angle, edge)

    with view.part("machine"):
        if ripper:
            # two links of one length hold the beam, a cylinder between them moves it; the shank's tip points ahead
            view.strokes([at((0.05, 0.49), (-0.13, 0.45)), at((0.05, 0.33), (-0.13, 0.29)), at((0.05, 0.47), (-0.13, 0.31))], pen="bold")
            view.body(at((-0.18, 0.48), (-0.1, 0.48), (-0.1, 0.26), (-0.18, 0.26)), fill="paper")
            view.body(
                at((-0.165, 0.52), (-0.12, 0.52), (-0.12, 0.18), (-0.03, 0.06), (-0.13, 0.12), (-0.165, 0.2)), fill="dark", pen="thin"
            )
        # engine hood with its grille, then tank, fender and cab, the stack and the roof that takes a roll
        view.body(at((0.5, 0.24), (0.97, 0.24), (0.99, 0.3), (0.99, 0.56), (0.95, 0.6), (0.5, 0.65)), fill="paper")
        view.body(at((0.03, 0.3), (0.03, 0.6), (0.06, 0.64), (0.26, 0.64), (0.26, 0.3)), fill="shade")
        view.body(at((0.2, 0.36), (0.2, 0.66), (0.24, 0.89), (0.52, 0.89), (0.6, 0.6), (0.6, 0.36)), fill="paper")
        view.polygon(at((0.38, 0.46), (0.38, 0.85), (0.5, 0.85), (0.565, 0.6), (0.565, 0.46)), pen="thin", fill="shade")
        if full:
            view.strokes([at((0.24, 0.66), (0.265, 0.85), (0.34, 0.85), (0.34, 0.66), (0.24, 0.66)),
                          *(at((u, 0.36), (u, 0.53)) for u in (0.66, 0.7, 0.74, 0.78)),
                          at((0.87, 0.25), (0.87, 0.6)), at((0.93, 0.25), (0.93, 0.59)), at((0.395, 0.56), (0.44, 0.56))])  # fmt: skip
        view.bodies([at((0.15, 0.89), (0.16, TALL), (0.54, TALL), (0.57, 0.89)),
                     at((0.73, 0.62), (0.73, 0.8), (0.71, 0.86), (0.76, 0.86), (0.77, 0.8), (0.77, 0.61))])  # fmt: skip
        a, b = sorted((rear, rear + facing * long))
        with view.part("tracks"):
            track_side(view, a, b, y, 0.34 * long, angle=facing * angle, about=edge, drive=-facing, detail=detail)
        view.body(at((-0.01, 0.345), (-0.01, 0.385), (0.6, 0.385), (0.68, 0.345)), pen="thin", fill="paper")
        held = turned([hold], facing * angle, edge)[0]
        back = on_blade((0.5, 0.22), (0.5, 0.56), (0.44, 0.8), (1.0, 0.27))
        cylinder(view, at((0.92, 0.53))[0], back[1], 0.045 * long, "full" if full else "plain")
        if full:
            view.strokes([[back[3], back[2]]], pen="bold")  # the brace that tilts it
        view.body(limb([held, back[0]], [0.04 * long, 0.032 * long]), fill="paper")
        if full:
            view.circle(held, 0.03 * long, fill="paper", pen="thin")
        # a blade that is turned is higher than its own height, straight up
        with view.part("blade", **({"sized": "no"} if angle or blade_up else {})):
            # the box that stiffens it from behind, then the hollow front
            view.body(on_blade((0.2, 0.08), (0.48, 0.12), (0.53, 0.5), (0.46, 0.84), (0.2, 0.9)), fill="paper")
            view.body(on_blade((0.0, 0.0), (0.14, 0.22), (0.19, 0.5), (0.14, 0.76), (0.0, 1.0), (0.14, 1.0), (0.28, 0.78),
                               (0.32, 0.5), (0.26, 0.14)), fill="dark")  # fmt: skip
    return rear, y + TALL * long


def dozer_end(
    view: View,
    x: float,
    y: float,
    *,
    blade_width: float,
    blade_height: float,
    track_gauge: float | None = None,
    shoe_width: float | None = None,
    behind: bool = False,
    track_length: float | None = None,
    blade_up: float = 0.0,
    blade_tilt: float = 0.0,
    ripper: bool = False,
    detail: Detail | None = None,
) -> None:
    """Draw a dozer from its blade's end or, with `behind`, from behind; its middle at `x`, on `y`.

    `track_gauge` is from track centre to track centre; both are sketched where they are not given,
    and the height goes by `track_length`, or by the blade. `blade_up` is how far the blade is off the
    ground (metres), and `blade_tilt` how much lower its right end stands, as it looks here.
    Marks the parts machine, tracks and blade.
    """
    gauge = track_gauge or 0.55 * blade_width
    shoe = shoe_width or 0.17 * blade_width
    tall = dozer_height(blade_height, track_length)
    dozer_body_end(
        view, Frame((x, y)), gauge, shoe, tall, behind=behind, blade=(blade_width, blade_height), up=blade_up, tilt=blade_tilt,
        ripper=ripper, detail=detail,
    )  # fmt: skip


def dozer_body_end(
    view: View,
    frame: Frame,
    gauge: float,
    shoe: float,
    tall: float,
    *,
    behind: bool,
    blade: tuple[float, float] | None = None,
    up: float = 0.0,
    tilt: float = 0.0,
    ripper: bool = False,
    facts: dict[str, str] | None = None,
    turned_facts: dict[str, str] | None = None,
    track: float = 0.0,
    detail: Detail | None = None,
) -> None:
    """Draw a dozer from its end in a frame of its own, `tall` to its roof, with its `blade` (width, height) if it has one."""
    long = tall / TALL
    full = detail_of(view, long, detail) == "full"
    track = track or 0.34 * long
    outer, inner = gauge / 2 + shoe / 2, gauge / 2 - shoe / 2

    def moldboard() -> None:
        if blade is None:
            return
        wide, high = blade
        sized = {"sized": "no"} if frame.angle or tilt else {}
        slant = Frame(frame(0.0, up), angle=frame.angle - math.asin(max(-1.0, min(tilt / wide, 1.0))))
        w = wide / 2
        with view.part("blade", **sized):
            if behind:
                view.body(slant.box(-w, 0.0, w, high))
                view.polygon(slant.box(-w, 0.0, w, 0.11 * high), fill="dark", pen="thin")
                return
            # hollow: its foot and its brow lean forward, so they are darker; its wings are bent in
            view.body(slant.all((-w, 0.0), (w, 0.0), (w, 0.88 * high), (0.9 * w, high), (-0.9 * w, high), (-w, 0.88 * high)), fill="paper")
            view.polygon(slant.box(-w, 0.1 * high, w, 0.4 * high), pen="none", fill="shade")
            view.polygon(slant.box(-0.9 * w, 0.84 * high, 0.9 * w, high), pen="none", fill="shade")
            # the cutting edge, and at its ends the bits
            bit = ((-1.0, 0.24), (-1.0, 0.0), (1.0, 0.0), (1.0, 0.24), (0.9, 0.24), (0.8, 0.1), (-0.8, 0.1), (-0.9, 0.24))
            view.polygon(slant.all(*((u * w, v * high) for u, v in bit)), pen="thin", fill="dark")
            if full:
                view.strokes([*(slant.all((s * 0.7 * w, 0.1 * high), (s * 0.66 * w, high)) for s in (-1, 1)),
                              *(slant.all((-w, v * high), (w, v * high)) for v in (0.24, 0.66))])  # fmt: skip

    # the blade is no part of the machine's width: the tables give both
    if behind:
        moldboard()
    with view.part("machine", **(turned_facts or {})):
        # belly, hood or tank between the tracks, and the cab behind or before it
        half = min(0.36 * gauge, outer)
        cab = [(-half, 0.36 * long), (half, 0.36 * long), (half, 0.66 * long), (0.84 * half, 0.89 * long), (-0.84 * half, 0.89 * long),
               (-half, 0.66 * long)]  # fmt: skip
        view.body(frame.all(*cab), fill="paper")
        glass = 0.85 * half if behind else 0.76 * half
        pane = [(-glass, 0.6 * long), (glass, 0.6 * long), (0.85 * glass, 0.85 * long), (-0.85 * glass, 0.85 * long)]
        view.polygon(frame.all(*pane), pen="thin", fill="shade")
        roof = min(1.14 * half, outer)
        stack = min(0.325 * gauge, outer - 0.03 * long)  # it stands before a post of the cab
        view.bodies([frame.all((-roof, 0.89 * long), (roof, 0.89 * long), (0.9 * roof, TALL * long), (-0.9 * roof, TALL * long)),
                     *([] if behind else [frame.box(stack - 0.022 * long, 0.45 * long, stack + 0.022 * long, 0.8 * long)])])  # fmt: skip
        hood = min(0.27 * gauge, inner) if not behind else min(0.4 * gauge, outer)
        top = 0.58 * long
        bottom = 0.2 * long
        belly = max(min(inner, hood), 0.1 * gauge)
        view.body(
            frame.all((-belly, bottom), (belly, bottom), (belly, track), (hood, 1.06 * track), (hood, top - 0.03 * long), (hood - 0.04 * long, top),
                      (0.04 * long - hood, top), (-hood, top - 0.03 * long), (-hood, 1.06 * track), (-belly, track)),
            fill="shade" if behind else "paper",
        )  # fmt: skip
        if full and not behind:  # the grille
            view.strokes([frame.all((share * hood, bottom + 0.03 * long), (share * hood, top - 0.05 * long))
                          for share in (-0.6, -0.2, 0.2, 0.6)])  # fmt: skip
    with view.part("tracks", **(facts or {})):
        tracks_end(view, frame, gauge, shoe, track, detail=detail)
    with view.part("machine", **(turned_facts or {})):
        a = min(half, inner)
        view.bodies([frame.box(s * a, 1.03 * track, s * outer, 1.13 * track) for s in (-1, 1)], fill="paper")
        if behind:
            view.body(frame.box(-0.09 * gauge, 0.22 * long, 0.09 * gauge, 0.3 * long), fill="paper", pen="thin")  # the hitch
            if ripper:
                view.body(frame.box(-0.85 * inner, 0.28 * long, 0.85 * inner, 0.36 * long), fill="paper")
                view.bodies([frame.all(((k - 0.035) * gauge, 0.42 * long), ((k + 0.035) * gauge, 0.42 * long), ((k + 0.02) * gauge, 0.1 * long),
                                       (k * gauge, 0.05 * long), ((k - 0.02) * gauge, 0.1 * long)) for k in (-0.6 * inner / gauge, 0.0, 0.6 * inner / gauge)])  # fmt: skip
            if full:
                lamps = [frame.box(s * 0.78 * hood - 0.03 * long, top - 0.1 * long, s * 0.78 * hood + 0.03 * long, top - 0.06 * long)
                         for s in (-1, 1)]  # fmt: skip
                view.strokes([*([*lamp, lamp[0]] for lamp in lamps),
                              *(frame.all((-0.5 * hood, v * long), (0.5 * hood, v * long)) for v in (0.4, 0.44, 0.48))])  # fmt: skip
        else:  # the cylinders that lift the blade
            ends = [(frame(s * 1.06 * hood, 0.58 * long), frame(s * 1.6 * hood, 0.24 * long)) for s in (-1, 1)]
            view.strokes(ends, pen="line")
            view.bodies([bar(top, between(top, foot, 0.62), 0.07 * long) for top, foot in ends], fill="paper")
    if not behind:
        moldboard()


def dozer_plan(
    view: View,
    centre: Point,
    *,
    track_length: float,
    track_gauge: float,
    shoe_width: float,
    blade_width: float,
    blade_height: float = 0.0,
    way: float = 0.0,
    sized: bool = True,
    ripper: bool = False,
    detail: Detail | None = None,
) -> None:
    """Draw a dozer from above, the middle of its tracks at `centre`, its blade toward `way` (radians).

    Lengths in metres; the blade stands as far in front of the tracks as from the side, by
    `blade_height` (a fifth of the tracks' length away if not given). Marks machine, tracks and blade.
    """
    long, gauge, shoe = track_length, track_gauge, shoe_width
    ahead = long / 2 + (GAP * blade_height if blade_height else 0.22 * long)
    frame = Frame(centre, angle=way)
    full = detail_of(view, long, detail) == "full"
    outer = gauge / 2 + shoe / 2
    half = min(0.27 * gauge, gauge / 2 - shoe / 2) or 0.2 * gauge
    thick = 0.1 * long
    with view.part("machine"):
        # tracks that are wider over all than long would be measured across
        with view.part("tracks", **({} if sized and gauge + shoe <= long else {"sized": "no"})):
            for side in (-1, 1):
                track_plan(view, centre, long, side * gauge / 2, shoe, way, detail=detail)
        for side in (-1, 1):  # push arms outside the tracks, and the lift cylinders beside the hood
            view.body(bar(frame(-0.08 * long, side * (outer + 0.03 * long)), frame(ahead, side * (outer + 0.03 * long)), 0.05 * long),
                      pen="thin", fill="dark")  # fmt: skip
            if full:
                cylinder(view, frame(0.36 * long, side * 1.15 * half), frame(ahead, side * 1.4 * half), 0.04 * long)
        if ripper:
            view.body(frame.box(-0.72 * long, -0.6 * half, -0.5 * long, 0.6 * half), fill="paper")
            view.body(frame.box(-0.72 * long, -1.5 * half, -0.66 * long, 1.5 * half), fill="dark", pen="thin")
        view.body(frame.box(-0.5 * long, -1.35 * half, -0.28 * long, 1.35 * half))  # tank
        view.body(frame.box(0.0, -half, 0.52 * long, half), fill="paper")  # hood
        if full:
            view.strokes([frame.all((0.06 * long, 0.0), (0.42 * long, 0.0)), frame.all((0.46 * long, -half), (0.46 * long, half))])
        view.circle(frame(0.28 * long, 0.4 * half), 0.03 * long, fill="dark", pen="thin")
        cab = 1.25 * half
        view.body(frame.all((-0.34 * long, -cab), (0.02 * long, -cab), (0.12 * long, -0.7 * cab), (0.12 * long, 0.7 * cab), (0.02 * long, cab),
                            (-0.34 * long, cab)), fill="paper")  # fmt: skip
        view.polygon(
            frame.all((0.0, -0.86 * cab), (0.09 * long, -0.62 * cab), (0.09 * long, 0.62 * cab), (0.0, 0.86 * cab)),
            pen="thin",
            fill="shade",
        )
        view.body(frame.box(-0.32 * long, -0.92 * cab, -0.03 * long, 0.92 * cab), pen="thin", fill="shade")  # the roof
    w, deep = blade_width / 2, thick
    with view.part("blade", **({} if sized else {"sized": "no"})):
        # hollow in front, as it is from the side: its ends stand a little ahead
        view.body(frame.all((ahead, -0.6 * w), (ahead + 0.5 * deep, -w), (ahead + deep, -w), (ahead + 0.5 * deep, -0.6 * w),
                            (ahead + 0.5 * deep, 0.6 * w), (ahead + deep, w), (ahead + 0.5 * deep, w), (ahead, 0.6 * w)), fill="dark")  # fmt: skip
