"""The haul truck, with a rigid or an articulated frame: from the side, from behind and from above."""

from __future__ import annotations

import math
from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.machines.outline import Detail, Frame, arc, cylinder, detail_of, turned
from generator.drawing.view import View

Build = Literal["rigid", "articulated"]


def truck_side(
    view: View,
    x: float,
    y: float,
    *,
    body_length: float,
    body_height: float,
    axle_height: float = 0.0,
    build: Build = "rigid",
    facing: int = 1,
    body_angle: float = 0.0,
    angle: float = 0.0,
    load: bool = False,
    on: str = "",
    detail: Detail | None = None,
) -> Point:
    """Draw a haul truck from the side; the middle of its body at `x`, its wheels on `y`.

    `angle` (radians) turns the whole about that point, upward at the front, as on a grade.

    `body_length` is the inside length of the body, `body_height` the height of the top of its sides;
    the wheels are as high as twice `axle_height`, the rest is in proportion. `body_angle` raises the
    body (radians) about its hinge at the rear of the frame; a `load` in it then runs out at the tail. `on` says
    what it stands on, such as `floor`. Marks the part truck. Returns where the hinge stands.
    """
    long, high = body_length, body_height
    r = axle_height or 0.29 * high
    full = detail_of(view, long, detail) == "full"
    bent = build == "articulated"
    at = Frame((x, y), facing=facing, angle=angle)

    def p(*points: Point) -> list[Point]:
        """Points forward of the middle of the body, in its lengths, and up, in its heights."""
        return at.all(*((u * long, v * high) for u, v in points))

    hinge = (-0.36 * long, 0.47 * high) if bent else (-0.3 * long, 0.46 * high)

    def tipped(*points: Point) -> list[Point]:
        return at.all(*turned([(u * long, v * high) for u, v in points], body_angle, hinge))

    axles = (-0.36 * long, min(-0.36 * long + 2.12 * r, 0.2 * long), 0.98 * long) if bent else (-0.24 * long, 0.68 * long)
    with view.part("truck", **({"on": on} if on else {})):
        # what carries it, then hood and cab
        if bent:
            # the two frames meet at an upright pin, and a ram on each side steers them
            view.bodies(
                [p((-0.42, 0.32), (0.54, 0.34), (0.54, 0.42), (-0.42, 0.43)), p((0.61, 0.36), (0.7, 0.32), (0.7, 0.44), (0.61, 0.42))]
            )
            view.body(p((0.55, 0.27), (0.6, 0.27), (0.6, 0.51), (0.55, 0.51)), fill="paper")
            view.body(p((0.66, 0.3), (0.66, 0.5), (0.94, 0.74), (1.06, 0.72), (1.3, 0.6), (1.34, 0.54), (1.34, 0.32)), fill="paper")
            view.body(p((0.66, 0.46), (0.66, 1.06), (0.69, 1.12), (0.93, 1.12), (1.02, 0.74), (1.0, 0.46)), fill="paper")
            view.polygon(p((0.84, 0.72), (0.84, 1.04), (0.92, 1.04), (0.985, 0.72)), pen="thin", fill="shade")
            if full:
                view.strokes([p((0.7, 0.72), (0.7, 1.04), (0.8, 1.04), (0.8, 0.72), (0.7, 0.72)), p((0.82, 0.5), (0.82, 1.1)), p((1.26, 0.36), (1.26, 0.6)),
                              *(p((u, 0.46), (u, 0.6)) for u in (1.1, 1.14, 1.18))])  # fmt: skip
        else:
            view.body(p((-0.42, 0.32), (0.62, 0.32), (0.62, 0.43), (-0.42, 0.43)), fill="dark", pen="thin")
            view.body(p((0.46, 0.3), (1.0, 0.3), (1.02, 0.36), (1.0, 0.62), (0.46, 0.62)), fill="paper")
            view.body(p((0.56, 0.6), (0.56, 1.0), (0.84, 1.0), (0.9, 0.6)), fill="paper")
            view.polygon(p((0.7, 0.68), (0.7, 0.94), (0.8, 0.94), (0.85, 0.68)), pen="thin", fill="shade")
            if full:
                view.strokes([p((0.59, 0.7), (0.59, 0.94), (0.66, 0.94), (0.66, 0.7), (0.59, 0.7)), p((0.68, 0.62), (0.68, 0.98)),
                              p((0.94, 0.3), (0.93, 0.62)), p((0.9, 0.62), (0.9, 0.74), (1.0, 0.74), (1.0, 0.62))])  # fmt: skip
        if body_angle:
            cylinder(view, p((0.16, 0.38))[0], tipped((0.26, 0.54))[0], 0.06 * high)
        if load and body_angle:
            # it has slid to the tail and runs out there, onto a heap on the ground
            lip, above = tipped((-0.56, 0.8), (-0.5, 1.0))
            out, tall = lip[0] - facing * 0.1 * long, max(0.4 * (lip[1] - y), 0.05 * high)
            spread = facing * 1.5 * tall  # at a slope that such a heap stands at
            view.body([*tipped((-0.4, 0.6), (0.1, 0.6), (0.14, 0.92), (-0.3, 1.1)), above, (out, lip[1]), (out - 0.1 * spread, y + tall),
                       (out - spread, y), (out + spread, y), (out + 0.2 * spread, y + 0.9 * tall), lip], fill="spoil", pen="thin")  # fmt: skip
        elif load:
            heap = ((-0.5, 0.8), (-0.3, 1.0), (-0.06, 1.2), (0.1, 1.2), (0.34, 1.04), (0.46, 0.94), (0.4, 0.6), (-0.4, 0.6))
            view.body(tipped(*heap), fill="spoil")
        shape: tuple[Point, ...]
        if bent:
            shape = (
                (0.46, 0.54),
                (0.52, 0.66),
                (0.54, 1.06),
                (0.46, 1.0),
                (-0.3, 0.96),
                (-0.5, 0.88),
                (-0.58, 0.76),
                (-0.36, 0.56),
                (-0.3, 0.48),
                (0.3, 0.48),
            )
        else:
            shape = ((0.42, 0.5), (0.52, 0.7), (0.54, 1.0), (1.02, 1.06), (1.02, 1.1), (0.5, 1.08), (0.4, 1.0), (-0.34, 1.0), (-0.56, 0.82), (-0.6, 0.76),
                     (-0.34, 0.58), (-0.28, 0.48))  # fmt: skip
        view.body(tipped(*shape), fill="paper")
        if full:
            view.strokes([*(tipped((u, 0.54), (u + 0.01, 0.96)) for u in (-0.24, -0.06, 0.12, 0.3)), tipped((-0.42, 0.86), (0.46, 0.9))])
        if full or not bent:  # the hinge of an articulated one is behind its wheels
            view.circle(at(*hinge), 0.045 * high, fill="paper", pen="line")
        for along in axles:
            view.circle(at(along, r), r, fill="dark", pen="line")
            view.circle(at(along, r), 0.56 * r, fill="paper", pen="thin")
        if full:
            if bent:  # the guard over the front wheel, and the ram that steers
                view.strokes([arc(at(axles[-1], r), 1.13 * r, 0.1 * math.pi, 0.85 * math.pi, 4), p((0.38, 0.27), (0.7, 0.29))], pen="bold")
            view.dots([at(along, r) for along in axles], 0.36 * r)
    return at(*hinge)


def truck_end(
    view: View, x: float, y: float, width: float, height: float, *, build: Build = "rigid", load: bool = False, detail: Detail | None = None
) -> None:
    """Draw a haul truck from behind, `width` wide and `height` to the top of its sides, with a `load` heaped in it."""
    w, h = width, height
    full = detail_of(view, 0.8 * w, detail) == "full"
    at = Frame((x, y))
    wheel = 0.5 * h
    # the guard or the cab stands up in front of the body
    if build == "rigid":
        view.body(at.box(-0.46 * w, 0.95 * h, 0.46 * w, 1.08 * h), fill="paper")
    else:
        view.body(at.all((-0.24 * w, 0.95 * h), (0.24 * w, 0.95 * h), (0.22 * w, 1.14 * h), (-0.22 * w, 1.14 * h)), fill="paper")
        view.polygon(at.box(-0.19 * w, 0.98 * h, 0.19 * w, 1.1 * h), pen="thin", fill="shade")
    if load:  # it lies nearer than the cab and hides it
        view.body(
            at.all((-0.46 * w, 0.95 * h), (-0.23 * w, 1.16 * h), (0.0, 1.22 * h), (0.23 * w, 1.16 * h), (0.46 * w, 0.95 * h)), fill="spoil"
        )
    tyres = ((0.5, 0.345), (0.335, 0.18)) if build == "rigid" else ((0.49, 0.25),)
    c, e = 0.025 * w, 0.04 * h
    view.bodies([at.all((side * a * w, e), (side * (a * w - c), 0.0), (side * (b * w + c), 0.0), (side * b * w, e), (side * b * w, wheel), (side * a * w, wheel))
                 for side in (-1, 1) for a, b in tyres])  # fmt: skip
    inside = tyres[-1][1] * w
    view.body(at.box(-inside, 0.2 * h, inside, 0.3 * h), fill="paper")
    view.circle(at(0.0, 0.25 * h), 0.085 * h, fill="paper", pen="line")
    if full and build == "articulated":  # flaps hang behind the tyres
        view.bodies([at.box(s * 0.45 * w, 0.13 * h, s * 0.29 * w, 0.34 * h) for s in (-1, 1)], fill="paper")
    # the body has no tailgate: one looks in between its sides, over the lip of the floor, at the front wall
    view.polygon(at.all((-0.3 * w, 0.53 * h), (0.3 * w, 0.53 * h), (0.44 * w, 0.68 * h), (0.44 * w, 0.95 * h), (-0.44 * w, 0.95 * h), (-0.44 * w, 0.68 * h)),
                 fill="spoil" if load else "shade", pen="thin")  # fmt: skip
    if not load:
        floor = at.all((-0.31 * w, 0.51 * h), (0.31 * w, 0.51 * h), (0.2 * w, 0.64 * h), (-0.2 * w, 0.64 * h))
        view.body(floor, fill="paper", pen="thin")
        if full:
            view.strokes([at.all((s * 0.2 * w, 0.64 * h), (s * 0.3 * w, 0.72 * h), (s * 0.3 * w, 0.95 * h)) for s in (-1, 1)])
    wall = ((0.5, 0.64), (0.5, 1.0), (0.43, 1.0), (0.43, 0.7), (0.3, 0.53), (0.32, 0.47))
    view.bodies([at.all(*((side * u * w, v * h) for u, v in wall)) for side in (-1, 1)], pen="line", fill="paper")
    lights = [at.box(s * (inside - 0.09 * w), 0.35 * h, s * (inside - 0.02 * w), 0.41 * h) for s in (-1, 1)]
    view.bodies([at.box(-0.32 * w, 0.47 * h, 0.32 * w, 0.52 * h), *lights])  # the lip, and the tail lights


def truck_plan(
    view: View,
    centre: Point,
    *,
    body: float,
    width: float,
    way: float,
    full: bool = False,
    sized: bool = True,
    build: Build = "rigid",
    detail: Detail | None = None,
) -> None:
    """Draw a haul truck from above; the middle of its body at `centre`, its front toward `way`.

    `body` is the inside length of its body, `width` the widest part of the truck; cab and tyres are a
    sketch around them, and so is all of it where not `sized`. `full` puts a load in the body. It stands
    on the floor below whatever crest there is.
    """
    at = Frame(centre, angle=way)
    h, w = body / 2, width / 2
    fine = detail_of(view, body, detail) == "full"
    with view.part("truck", on="floor", **({} if sized else {"sized": "no"})):
        if build == "articulated":
            nose = h + 1.28 * width
            wheels = [(-0.86 * h, -0.38 * h), (-0.32 * h, 0.16 * h), (nose - 0.72 * width, nose - 0.3 * width)]
            inner, wide = 0.6, 0.8
        else:
            cab_long = 0.62 * width
            nose = h + 0.95 * cab_long
            wheels = [(-0.75 * h, -0.2 * h), (h + 0.25 * cab_long, h + 0.8 * cab_long)]
            inner, wide = 0.7, 0.9
        deep = 0.03 * body
        view.bodies([at.box(x0, side * inner * w, x1, side * w) for x0, x1 in wheels for side in (-1, 1)])
        if build == "articulated":
            back = h + 0.62 * w
            # the two frames meet at a pin; rams on both sides of it steer
            view.body(at.all((h, -0.26 * w), (h + 0.34 * w, -0.1 * w), (back, -0.2 * w), (back, 0.2 * w), (h + 0.34 * w, 0.1 * w), (h, 0.26 * w)),
                      fill="dark", pen="thin")  # fmt: skip
            for side in (-1, 1):
                cylinder(view, at(h, side * 0.56 * w), at(back, side * 0.34 * w), 0.13 * w, "full" if fine else "plain")
            view.circle(at(h + 0.34 * w, 0.0), 0.15 * w, fill="paper", pen="line")
            view.body(at.all((back, -0.7 * w), (nose - 0.7 * w, -0.7 * w), (nose, -0.5 * w), (nose, 0.5 * w), (nose - 0.7 * w, 0.7 * w), (back, 0.7 * w)),
                      fill="paper")  # fmt: skip
            if fine:
                view.strokes([at.all((nose - 0.7 * w, 0.0), (nose - 0.12 * w, 0.0))])
            cab = (back + 0.1 * w, back + 1.06 * w)
            view.body(at.box(cab[0], -0.56 * w, cab[1], 0.56 * w), fill="paper")
            view.body(at.box(cab[1] - 0.26 * w, -0.48 * w, cab[1] - 0.06 * w, 0.48 * w), fill="dark", pen="thin")
            view.polygon(at.box(cab[0] + 0.1 * w, -0.44 * w, cab[1] - 0.4 * w, 0.44 * w), pen="thin", fill="shade")
        else:
            view.body(at.box(h, -0.86 * w, nose, 0.86 * w), fill="paper")
            # the cab is on the left, under the guard that reaches from the body over it
            view.body(at.box(h + 0.2 * cab_long, 0.12 * w, h + 0.84 * cab_long, 0.8 * w), fill="paper")
            view.body(at.box(h + 0.66 * cab_long, 0.18 * w, h + 0.78 * cab_long, 0.74 * w), fill="dark", pen="thin")
            if fine:
                view.strokes([at.all((h + share * cab_long, -0.7 * w), (h + share * cab_long, -0.1 * w)) for share in (0.66, 0.74, 0.82)])
        view.body(at.box(-h - deep, -wide * w, h + deep, wide * w), fill="paper")
        rim = (wide - 0.12) * w
        view.body(at.box(-h, -rim, h, rim), fill="spoil" if full else "shade", pen="thin")
        if build == "rigid":
            view.body(at.box(h + deep, -0.9 * w, h + 0.5 * cab_long, 0.9 * w), fill="paper")
            view.strokes([at.all((h + deep, share * w), (h + 0.5 * cab_long, share * w)) for share in (-0.5, 0.0, 0.5)])
        if fine and not full:  # the floor rises to the open rear
            view.strokes(
                [
                    at.all((-0.55 * h, -rim), (-0.55 * h, rim)),
                    *(at.all((-0.55 * h, s * 0.72 * rim), (h, s * 0.72 * rim)) for s in (-1, 1)),
                ]
            )


def truck_plan_reach(body: float, width: float, build: Build = "rigid") -> tuple[float, float]:
    """Return how far a truck drawn by `truck_plan` reaches ahead of the middle of its body and behind."""
    return body / 2 + (1.28 * width if build == "articulated" else 0.95 * 0.62 * width), 0.53 * body
