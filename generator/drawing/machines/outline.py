"""What the outlines of all machines are made of: frames to draw in, limbs, cylinders, small rings.

Points are in metres. `facing` is 1 for a machine that faces right, -1 for left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.view import View

Detail = Literal["full", "plain"]
"""`plain` leaves out what nobody sees in a small drawing: louvres, rollers, the links of a track."""


LARGE = 105.0
"""From this size on (px), the tracks or the body of a machine are drawn with all details."""


def turned(points: Sequence[Point], angle: float, about: Point) -> list[Point]:
    """Return points turned by `angle` (radians) about a point."""
    cos, sin = math.cos(angle), math.sin(angle)
    ax, ay = about
    return [(ax + (x - ax) * cos - (y - ay) * sin, ay + (x - ax) * sin + (y - ay) * cos) for x, y in points]


@dataclass(frozen=True)
class Frame:
    """Axes of a machine's own: forward and up (from the side), or to the right and up (from the end).

    `scale` is metres for one of a frame's units. `angle` turns the whole about the origin, upward at
    the front whichever way the machine faces.
    """

    origin: Point
    scale: float = 1.0
    facing: int = 1
    angle: float = 0.0

    def __call__(self, forward: float, up: float) -> Point:
        """Return the point of the world."""
        return self.all((forward, up))[0]

    def all(self, *points: Point) -> list[Point]:
        """Return the points of the world."""
        x, y = self.origin
        facing, scale = self.facing, self.scale
        placed = [(x + facing * forward * scale, y + up * scale) for forward, up in points]
        return turned(placed, facing * self.angle, self.origin)

    def box(self, x0: float, y0: float, x1: float, y1: float) -> list[Point]:
        """Return the corners of a box."""
        return self.all((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def between(a: Point, b: Point, share: float) -> Point:
    """Return the point that share of the way from `a` to `b`."""
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)


def limb(centre: Sequence[Point], halves: Sequence[float]) -> list[Point]:
    """Return the outline of a limb along its middle line, as wide on each side as `halves` (metres)."""
    one: list[Point] = []
    other: list[Point] = []
    for k, (point, half) in enumerate(zip(centre, halves, strict=True)):
        a, b = centre[max(k - 1, 0)], centre[min(k + 1, len(centre) - 1)]
        span = math.dist(a, b) or 1.0
        nx, ny = (a[1] - b[1]) / span * half, (b[0] - a[0]) / span * half
        one.append((point[0] + nx, point[1] + ny))
        other.append((point[0] - nx, point[1] - ny))
    return [*one, *reversed(other)]


def bar(a: Point, b: Point, width: float) -> list[Point]:
    """Return the outline of a straight bar, `width` metres wide."""
    return limb([a, b], [width / 2, width / 2])


def cylinder(view: View, a: Point, b: Point, width: float, detail: Detail = "full") -> None:
    """Draw a cylinder `width` metres thick that starts at `a`, its rod out to `b`; plain, it is one line."""
    view.strokes([[a, b]], pen="line")
    if detail == "full":
        view.body(bar(a, between(a, b, 0.58), width), pen="thin", fill="paper")


def detail_of(view: View, size: float, detail: Detail | None) -> Detail:
    """Return how much of a machine is drawn: as asked, or by how large its tracks or body, `size` metres, come out."""
    return detail or ("full" if size * view.per_metre >= LARGE else "plain")


def arc(centre: Point, radius: float, start: float, end: float, steps: int) -> list[Point]:
    """Return points along part of a circle, both ends among them (radians)."""
    return [
        (centre[0] + radius * math.cos(start + (end - start) * k / steps), centre[1] + radius * math.sin(start + (end - start) * k / steps))
        for k in range(steps + 1)
    ]
