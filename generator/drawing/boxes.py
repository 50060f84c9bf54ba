"""Points, boxes and segments in units of the viewBox, y down: what covers, crosses or lies near.

At the smallest width the handbook is made for (340 CSS px), one unit is 340/520 CSS px, so text of
18 shows at 11.8 px.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
Box = tuple[float, float, float, float]
Segment = tuple[Point, Point, Box]
"""Two ends, and the box around them, which rules most segments out at once."""

System = Literal["us", "si", "both"]
"""The unit system that shows a text."""

WIDTH = 520.0
"""Width of every drawing's viewBox."""


@dataclass(frozen=True, slots=True)
class TextBox:
    """Where a text stands, in viewBox units, and the unit system that shows it."""

    x0: float
    y0: float
    x1: float
    y1: float
    text: str
    system: System

    @property
    def box(self) -> Box:
        """The four edges: left, top, right, bottom."""
        return (self.x0, self.y0, self.x1, self.y1)


@dataclass(frozen=True, slots=True)
class SpotBox:
    """A region to point at: its id, its letter, and where it can be hit."""

    ident: str
    letter: str
    box: Box


# ---- boxes ---------------------------------------------------------------------------------------


def box_about(centre: Point, half_x: float, half_y: float) -> Box:
    """Return the box that reaches `half_x` and `half_y` to each side of its centre."""
    x, y = centre
    return (x - half_x, y - half_y, x + half_x, y + half_y)


def overlap(a: Box, b: Box, gap: float = 0.0) -> bool:
    """Tell whether two boxes share ground, or come nearer than `gap`."""
    return a[0] < b[2] + gap and b[0] < a[2] + gap and a[1] < b[3] + gap and b[1] < a[3] + gap


def any_near(box: Box, others: Sequence[Box]) -> bool:
    """Whether the box overlaps any other or comes nearer to it than 4."""
    x0, y0, x1, y1 = box[0] - 4.0, box[1] - 4.0, box[2] + 4.0, box[3] + 4.0
    return any(x0 < right and left < x1 and y0 < bottom and top < y1 for left, top, right, bottom in others)


def inside(box: Box, bounds: Box) -> bool:
    """Tell whether the box keeps within the bounds, give or take a rounding."""
    return box[0] >= bounds[0] - 1e-6 and box[1] >= bounds[1] - 1e-6 and box[2] <= bounds[2] + 1e-6 and box[3] <= bounds[3] + 1e-6


def nearest(box: Box, point: Point) -> Point:
    """Return the point of the box that is nearest to a point."""
    return (min(max(point[0], box[0]), box[2]), min(max(point[1], box[1]), box[3]))


def covers(shape: Sequence[Point], box: Box) -> bool:
    """Tell whether a corner or the middle of the box lies in the shape."""
    x0, y0, x1, y1 = box
    for x, y in (((x0 + x1) / 2, (y0 + y1) / 2), (x0, y0), (x0, y1), (x1, y0), (x1, y1)):
        odd = False
        ax, ay = shape[-1]
        for bx, by in shape:
            if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
                odd = not odd
            ax, ay = bx, by
        if odd:
            return True
    return False


def extent(shape: Sequence[Point]) -> Box:
    """Return the box around a shape."""
    xs, ys = [x for x, _ in shape], [y for _, y in shape]
    return (min(xs), min(ys), max(xs), max(ys))


# ---- segments ------------------------------------------------------------------------------------


def segment(a: Point, b: Point) -> Segment:
    """Return the segment from `a` to `b` with the box around it."""
    left, right = (a[0], b[0]) if a[0] <= b[0] else (b[0], a[0])
    top, bottom = (a[1], b[1]) if a[1] <= b[1] else (b[1], a[1])
    return (a, b, (left, top, right, bottom))


def segment_hits(box: Box, a: Point, b: Point) -> bool:
    """Tell whether the segment from `a` to `b` enters the box (Liang-Barsky clipping)."""
    x, y = a
    left, top, right, bottom = box
    if left <= x <= right and top <= y <= bottom:
        return True
    dx, dy = b[0] - x, b[1] - y
    low, high = 0.0, 1.0
    for p, q in ((-dx, x - left), (dx, right - x), (-dy, y - top), (dy, bottom - y)):
        if p == 0:
            if q < 0:
                return False
            continue
        r = q / p
        if p < 0:
            if r > low:
                low = r
        elif r < high:
            high = r
        if low > high:
            return False
    return True


def _segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return (turn(a, b, c) > 0) != (turn(a, b, d) > 0) and (turn(c, d, a) > 0) != (turn(c, d, b) > 0)


def touching(box: Box, segments: Sequence[Segment]) -> list[Segment]:
    """The segments that may enter the box, by the boxes around them."""
    x0, y0, x1, y1 = box
    return [s for s in segments if x0 <= s[2][2] and s[2][0] <= x1 and y0 <= s[2][3] and s[2][1] <= y1]


def hits(box: Box, segments: Sequence[Segment], enough: float = math.inf) -> int:
    """How many segments enter the box; `enough` are not counted on."""
    x0, y0, x1, y1 = box
    count = 0
    for a, b, (left, top, right, bottom) in segments:
        if x0 <= right and left <= x1 and y0 <= bottom and top <= y1 and segment_hits(box, a, b):
            count += 1
            if count >= enough:
                break
    return count


def crossed(segments: Sequence[Segment], c: Point, d: Point) -> int:
    """How many segments the one from `c` to `d` crosses."""
    _, _, (x0, y0, x1, y1) = segment(c, d)
    return sum(1 for a, b, o in segments if x0 <= o[2] and o[0] <= x1 and y0 <= o[3] and o[1] <= y1 and _segments_cross(a, b, c, d))


# ---- looking for room ----------------------------------------------------------------------------


def rings(centre: Point, apart: int, start: float = 0.0) -> Iterator[tuple[int, Point]]:
    """Points around a centre with their distance: itself, then 16 on each ring, out to 400."""
    for radius in range(0, 400, apart):
        for step in range(1 if radius == 0 else 16):
            angle = start + step * math.pi / 8
            yield (
                radius,
                (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)),
            )
