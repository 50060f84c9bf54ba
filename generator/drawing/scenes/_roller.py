"""A soil roller of our own, sketched around the width of its drum: from the side, from the front and from above.

It has one drum in front, tyres behind and a roll-over frame. The drum is a part of its own.
"""

from __future__ import annotations

from generator.drawing.boxes import Point
from generator.drawing.machines.outline import Detail, Frame, detail_of
from generator.drawing.view import View

RADIUS = 0.36
"""Of the drum and of the tyres, in widths of the drum."""
TALL = 1.4
"""Height of the roof, in widths of the drum."""
BACK = 2.0
"""From the drum's axle to the rear of the roller, in widths of the drum."""
SIDES = 0.05
"""The frame stands out past each end of the drum by this share of its width."""


def roller_side(view: View, x: float, y: float, width: float, *, facing: int = 1, detail: Detail | None = None) -> None:
    """Draw a roller from the side, its drum standing on `y` at `x`; marks the parts machine and drum."""
    at = Frame((x, y), width, facing)
    full = detail_of(view, 1.2 * width, detail) == "full"
    r = RADIUS
    with view.part("machine"):
        # behind the hinge: platform, hood and the frame over the seat
        view.body(at.all((-2.0, 0.34), (-0.62, 0.34), (-0.62, 0.5), (-1.14, 0.54), (-1.14, 0.88), (-1.9, 0.82), (-2.0, 0.7)), fill="paper")
        view.body(at.all((-1.12, 0.54), (-1.12, 0.72), (-1.0, 0.72), (-0.98, 0.58), (-0.84, 0.58), (-0.84, 0.52)), fill="dark", pen="thin")
        view.strokes([at.all((-1.12, 0.54), (-1.12, TALL - 0.07)), at.all((-0.7, 0.5), (-0.74, TALL - 0.07))], pen="bold")
        view.strokes([at.all((-0.72, 0.5), (-0.82, 0.8), (-0.88, 0.78))], pen="line")
        view.body(at.all((-1.24, TALL - 0.08), (-0.58, TALL - 0.08), (-0.6, TALL), (-1.2, TALL)), fill="dark", pen="thin")
        if full:
            view.strokes([*(at.all((u, 0.44), (u, 0.72)) for u in (-1.8, -1.7, -1.6, -1.5)), at.all((-1.3, 0.36), (-1.3, 0.86))])
        # the yoke that carries the drum
        view.body(at.all((-0.62, 0.3), (0.46, 0.3), (0.46, 0.43), (-0.62, 0.43)), fill="paper")
        view.circle(at(-1.42, r), r * width, fill="dark", pen="line")
        view.circle(at(-1.42, r), 0.5 * r * width, fill="paper", pen="thin")
        with view.part("drum"):
            view.circle(at(0.0, r), r * width, fill="paper", pen="bold")
        view.body(at.all((-0.5, 0.31), (0.38, 0.31), (0.38, 0.42), (-0.5, 0.42)), fill="shade", pen="thin")
        view.dots([at(0.0, r), at(-0.6, 0.37)], 0.09 * width)


def roller_end(view: View, x: float, y: float, width: float, *, angle: float = 0.0, about: Point | None = None) -> None:
    """Draw a roller from the front, the middle of its drum at `x`, standing on `y`.

    `angle` (radians) turns it about the point `about` (the foot of its middle if not given), as when it
    goes over. Marks the parts machine and drum.
    """
    origin = about or (x, y)
    frame = Frame(origin, 1.0, 1, angle)
    dx, dy = x - origin[0], y - origin[1]

    def at(*points: Point) -> list[Point]:
        return frame.all(*((dx + u * width, dy + v * width) for u, v in points))

    half, r = 0.5, RADIUS
    with view.part("machine", **({"turned": "yes"} if angle else {})):
        view.body(at((-0.36, 0.6), (0.36, 0.6), (0.36, 0.95), (-0.36, 0.95)), fill="paper")
        view.strokes([at((-0.36, 0.9), (-0.36, TALL - 0.07)), at((0.36, 0.9), (0.36, TALL - 0.07))], pen="bold")
        view.body(at((-0.44, TALL - 0.08), (0.44, TALL - 0.08), (0.4, TALL), (-0.4, TALL)), fill="dark", pen="thin")
        with view.part("drum", **({"sized": "no"} if angle else {})):
            view.body(at((-half, 0.0), (half, 0.0), (half, 2 * r), (-half, 2 * r)), fill="paper", pen="bold")
        view.polygon(at((-half, 0.06), (half, 0.06), (half, 0.2), (-half, 0.2)), pen="none", fill="shade")
        view.bodies(
            [at((s * half, 0.3), (s * (half + SIDES), 0.3), (s * (half + SIDES), 0.5), (s * half, 0.5)) for s in (-1, 1)], fill="paper"
        )
        view.body(at((-half - SIDES, 0.42), (half + SIDES, 0.42), (half + SIDES, 0.52), (-half - SIDES, 0.52)), fill="paper", pen="thin")


def roller_plan(view: View, drum: Point, width: float, *, way: float = 0.0, detail: Detail | None = None) -> None:
    """Draw a roller from above, the middle of its drum at `drum`, driving toward `way` (radians); marks machine and drum."""
    at = Frame(drum, width, 1, way)
    full = detail_of(view, 1.2 * width, detail) == "full"
    half, r, side = 0.5, RADIUS, 0.5 + SIDES
    with view.part("machine"):
        view.bodies([at.box(-1.42 - r, s * 0.26, -1.42 + r, s * 0.48) for s in (-1, 1)])  # tyres
        view.body(at.all((-2.0, -0.36), (-0.66, -0.36), (-0.58, 0.0), (-0.66, 0.36), (-2.0, 0.36)), fill="paper")
        view.body(at.box(-0.62, -side, -0.46, side), fill="paper", pen="thin")
        view.body(at.box(0.42, -side, 0.5, side), fill="paper", pen="thin")
        with view.part("drum"):
            view.body(at.box(-r, -half, r, half), fill="shade", pen="bold")
        view.bodies([at.box(-0.5, s * half, 0.5, s * side) for s in (-1, 1)], fill="paper")
        view.body(at.box(-1.24, -0.38, -0.62, 0.38), fill="paper")  # the roof
        view.polygon(at.box(-1.16, -0.3, -0.7, 0.3), pen="thin", fill="shade")
        if full:
            view.strokes([at.all((u, -0.24), (u, 0.24)) for u in (-1.8, -1.68, -1.56)])
