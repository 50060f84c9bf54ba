"""The ground along a slot while it is cut, as the plan of its passes counts it.

The plan counts the slot as a box and its bites as steps straight down. No blade works so: it bites
down as steep as the ramp it climbs. So every step down is drawn at the ramp's grade, over the same
length and with the same area; where the slot ends at the spoil, the ramp out of it limits the cut.
Lengths in metres, x from the back end of the slot toward the spoil, y up from the ground.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point


@dataclass(frozen=True)
class Slot:
    """A slot of this length, with a ramp of `ratio` run for one of rise out of it."""

    length: float
    ratio: float

    def bites(self, starts: Sequence[float], depths: Sequence[float]) -> list[tuple[float, float, float]]:
        """Where each pass cuts: x from, x to, and down to which depth.

        `starts` are distances from the spoil end. Within one layer a pass that starts nearer the
        spoil than the one before goes on where that began; one that starts farther back cuts up to
        where that began.
        """
        out = []
        for k, (start, depth) in enumerate(zip(starts, depths, strict=True)):
            following = starts[k + 1] if k + 1 < len(starts) and abs(depths[k + 1] - depth) < 1e-9 else 0.0
            before = starts[k - 1] if k and abs(depths[k - 1] - depth) < 1e-9 else 0.0
            end = before if before < start and before else following if following < start else 0.0
            out.append((self.length - start, self.length - end, depth))
        return out

    def surface(self, bites: Sequence[tuple[float, float, float]]) -> list[Point]:
        """The ground after these bites, from the back end to the spoil end."""
        ends = sorted({0.0, self.length, *(x for a, b, _ in bites for x in (a, b))})
        marks = [ends[0], *(b for a, b in itertools.pairwise(ends) if b - a > 1e-6)]  # two bites meet at one of them
        deep = [max((d for a, b, d in bites if a < (x + y) / 2 < b), default=0.0) for x, y in itertools.pairwise(marks)]
        points: list[Point] = [(0.0, 0.0)]
        for x, was, now in zip(marks, [0.0, *deep], [*deep, 0.0], strict=True):
            if now > was:
                points += [(x + self.ratio * was, -was), (x + self.ratio * now, -now)]
            elif now < was and x < self.length - 1e-9:
                here = x + self.ratio * (was + now) / 2
                points += [(here, -was), (here, -now)]
        points.append((max(points[-1][0], self.length + 1), points[-1][1]))
        return _cleared(self._held(points))

    def _ramp(self, x: float) -> float:
        """The height of the ramp out of the slot at `x`."""
        return (x - self.length) / self.ratio

    def _held(self, points: Sequence[Point]) -> list[Point]:
        """The surface where it lies above the ramp, and the ramp where it does not, up to the spoil end."""
        out: list[Point] = [points[0]]
        for (x0, y0), (x1, y1) in itertools.pairwise(points):
            a, b = y0 - self._ramp(x0), y1 - self._ramp(x1)
            if b >= 0:
                out.append((x1, y1))
                continue
            share = a / (a - b)
            out.append((x0 + share * (x1 - x0), y0 + share * (y1 - y0)))
            break
        out = [(x, y) for x, y in out if x <= self.length]
        return [*out, (self.length, 0.0)]


def _cleared(points: Sequence[Point]) -> list[Point]:
    """The line without points that stand twice or lie on a level between their neighbours."""
    out: list[Point] = []
    for point in points:
        if out and abs(out[-1][0] - point[0]) < 1e-6 and abs(out[-1][1] - point[1]) < 1e-6:
            continue
        if len(out) > 1 and abs(out[-1][1] - point[1]) < 1e-9 and abs(out[-2][1] - point[1]) < 1e-9:
            out.pop()
        out.append(point)
    return out


def height_at(line: Sequence[Point], x: float) -> float:
    """The height of a line at `x`, past its ends that of its ends; at a step the higher side of it."""
    if x <= line[0][0]:
        return line[0][1]
    best = line[-1][1] if x >= line[-1][0] else -1e9
    for (x0, y0), (x1, y1) in itertools.pairwise(line):
        if x0 <= x <= x1:
            best = max(best, max(y0, y1) if x1 == x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0))
    return best


def between(line: Sequence[Point], left: float, right: float) -> list[Point]:
    """The piece of a line between two x, with its ends."""
    inner = [(x, y) for x, y in line if left < x < right]
    return [(left, height_at(line, left)), *inner, (right, height_at(line, right))]


def taken(before: Sequence[Point], after: Sequence[Point]) -> list[Point]:
    """The outline of what lies between two surfaces, where they differ; empty where they do not."""
    xs = sorted({x for x, _ in (*before, *after)})
    apart = [(a, b) for a, b in itertools.pairwise(xs) if abs(height_at(before, (a + b) / 2) - height_at(after, (a + b) / 2)) > 1e-6]
    if not apart:
        return []
    left, right = apart[0][0], apart[-1][1]
    down = [(x, y) for x, y in after if left < x < right or (abs(x - right) < 1e-9 and y < height_at(before, right) - 1e-9)]
    return _cleared([*between(before, left, right), *reversed([(left, height_at(before, left)), *down])])


def cut_to(polygon: Sequence[Point], left: float, right: float) -> list[Point]:
    """The piece of a polygon between two x."""
    for edge, sign in ((left, 1.0), (right, -1.0)):
        out: list[Point] = []
        for (x0, y0), (x1, y1) in zip(polygon, [*polygon[1:], *polygon[:1]], strict=True):
            a, b = sign * (x0 - edge), sign * (x1 - edge)
            if a >= 0:
                out.append((x0, y0))
            if (a > 0 > b) or (a < 0 < b):
                out.append((edge, y0 + (y1 - y0) * a / (a - b)))
        polygon = out
    return list(polygon)
