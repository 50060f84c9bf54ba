"""A finished drawing read back and measured: the parts in it, in metres, by the scale it states.

What is read here is the SVG that a reader gets, not the code that drew it. `laws` holds it to the
figures of the site.
"""

from __future__ import annotations

import itertools
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from operator import itemgetter

from generator.drawing.boxes import Box, Point, extent

_PAIR = re.compile(r"(-?[\d.]+),(-?[\d.]+)")
_APART = {"dimension", "arrow", "leader", "badge", "spot", "mass", "scale-bar", "break"}
"""Classes of what explains a picture and is no part of the thing drawn."""


@dataclass(frozen=True)
class Shape:
    """A line or, where `closed`, an area; points in metres, y up."""

    points: tuple[Point, ...]
    closed: bool

    @cached_property
    def box(self) -> Box:
        """The box around it: left, low, right, high."""
        return extent(self.points)

    @cached_property
    def sides(self) -> list[tuple[Point, Point]]:
        """Its straight sides."""
        ends = [*self.points, self.points[0]] if self.closed and len(self.points) > 2 else self.points
        return list(itertools.pairwise(ends)) or [(self.points[0], self.points[0])]

    @cached_property
    def framed_sides(self) -> list[tuple[tuple[Point, Point], Box]]:
        """Its straight sides, each with the box around it."""
        return [(side, extent(side)) for side in self.sides]

    @property
    def area(self) -> float:
        """Square metres inside; 0 for a line."""
        if not self.closed:
            return 0.0
        return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in self.sides)) / 2

    def holds(self, point: Point) -> bool:
        """Whether a point lies inside."""
        if not self.closed:
            return False
        x, y = point
        crossings = ((a[1] > y) != (b[1] > y) and x < (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]) + a[0] for a, b in self.sides)
        return sum(crossings) % 2 == 1


@dataclass(frozen=True)
class Part:
    """All shapes of one thing in one view, and what it claims (`facts`, without `data-`)."""

    name: str
    shapes: tuple[Shape, ...]
    facts: Mapping[str, str]

    @property
    def points(self) -> list[Point]:
        """All corners."""
        return [point for shape in self.shapes for point in shape.points]

    @cached_property
    def box(self) -> Box:
        """The box around all of it: left, low, right, high."""
        boxes = [shape.box for shape in self.shapes]
        return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)

    @property
    def left(self) -> float:
        """The least x."""
        return self.box[0]

    @property
    def right(self) -> float:
        """The greatest x."""
        return self.box[2]

    @property
    def low(self) -> float:
        """The least y."""
        return self.box[1]

    @property
    def high(self) -> float:
        """The greatest y."""
        return self.box[3]

    @property
    def extent(self) -> tuple[float, float]:
        """Width across and height, in metres."""
        return self.right - self.left, self.high - self.low

    @property
    def lengthwise(self) -> tuple[float, float]:
        """The longer and the shorter side of the smallest rectangle around it, however it is turned."""
        points = _hull(self.points)  # no other corner reaches as far, whichever way one looks
        best = (math.inf, 0.0, 0.0)
        ways = {round(math.atan2(b[1] - a[1], b[0] - a[0]) % (math.pi / 2), 9) for shape in self.shapes for a, b in shape.sides}
        for way in ways or {0.0}:
            cos, sin = math.cos(way), math.sin(way)
            u = [x * cos + y * sin for x, y in points]
            v = [y * cos - x * sin for x, y in points]
            a, b = max(u) - min(u), max(v) - min(v)
            if a * b < best[0] - 1e-12:
                best = (a * b, max(a, b), min(a, b))
        return best[1], best[2]

    def apart(self, other: Part) -> float:
        """The least distance to another part; 0 where they touch or one lies in the other."""
        least = math.inf
        # the pairs that lie nearest by their boxes come first: most of the others are out of question then
        pairs = [(_gap(a.box, b.box), a, b) for a in self.shapes for b in other.shapes]
        for gap, a, b in sorted(pairs, key=itemgetter(0)):
            if gap > least + HAIR:
                break
            least = min(least, _apart(a, b, least))
        return least

    def apart_across(self, other: Part) -> float:
        """The least distance on the level, whatever the heights; 0 where one is above the other."""
        return max(other.left - self.right, self.left - other.right, 0.0)


@dataclass(frozen=True)
class Seen:
    """One view of a picture: how it looks at the thing, its scales and its parts."""

    how: str
    way: str
    scale: float
    scale_y: float
    parts: tuple[Part, ...]

    def all(self, *names: str) -> list[Part]:
        """The parts of these names."""
        return [part for part in self.parts if part.name in names]

    @property
    def grain(self) -> float:
        """What two hundredths of a unit are in metres: coordinates are written no finer."""
        return 0.03 / min(self.scale, self.scale_y)


def read(picture: str | ET.Element) -> list[Seen]:
    """Read the views of a finished drawing that are drawn to scale: of its SVG, or of that parsed.

    Each view's parts are in metres by the view's own `data-scale` (and `data-scale-y`). A part that
    stands in another is read by itself, and its shapes count for the outer one too.
    """
    root = ET.fromstring(picture) if isinstance(picture, str) else picture
    space = root.tag.removesuffix("svg")  # that of the names, if they stand with it
    way = root.get("data-way", "")
    views = []
    for group in root.iter(f"{space}g"):
        if group.get("class") != "view" or "data-scale" not in group.attrib:
            continue
        scale = float(group.attrib["data-scale"])
        scale_y = float(group.get("data-scale-y") or scale)
        parts = tuple(_parts(group, space, scale, scale_y))
        views.append(Seen(group.get("data-seen", "side"), group.get("data-way") or way, scale, scale_y, parts))
    return views


def _parts(group: ET.Element, space: str, scale: float, scale_y: float) -> Iterator[Part]:
    for element in group.iter(f"{space}g"):
        name = element.get("data-part")
        if name is None:
            continue
        shapes = tuple(_shapes(element, space, scale, scale_y))
        if shapes:
            facts = {k.removeprefix("data-"): v for k, v in element.attrib.items() if k != "data-part"}
            yield Part(name, shapes, facts)


def _shapes(element: ET.Element, space: str, scale: float, scale_y: float) -> Iterator[Shape]:
    for child in element:
        names = child.get("class")
        if names and not _APART.isdisjoint(names.split()):
            continue
        tag = child.tag.removeprefix(space)
        if tag == "g":
            yield from _shapes(child, space, scale, scale_y)
        elif tag == "path":
            yield from _path(child.attrib["d"], scale, scale_y)
        elif tag in ("circle", "ellipse"):
            cx, cy = float(child.attrib["cx"]), float(child.attrib["cy"])
            rx = float(child.get("r") or child.get("rx") or 0)
            ry = float(child.get("r") or child.get("ry") or 0)
            yield Shape(tuple(((cx + rx * cos) / scale, -(cy + ry * sin) / scale_y) for cos, sin in _ROUND), True)


_ROUND = [(math.cos(k * math.pi / 36), math.sin(k * math.pi / 36)) for k in range(72)]


@lru_cache(maxsize=1 << 12)  # a part counts for those it stands in too, and a film shows it step after step
def _path(d: str, scale: float, scale_y: float) -> tuple[Shape, ...]:
    """The shapes of a path; small lines may share one."""
    found = []
    for piece in d.split("M"):
        points = tuple((float(x) / scale, -float(y) / scale_y) for x, y in _PAIR.findall(piece))
        if points:
            found.append(Shape(points, piece.endswith("Z")))
    return tuple(found)


def _hull(points: Sequence[Point]) -> list[Point]:
    """The corners of the smallest convex shape around the points (Andrew's monotone chain)."""
    ranked = sorted(set(points))
    if len(ranked) < 3:
        return ranked
    return [corner for way in (ranked, ranked[::-1]) for corner in _chain(way)[:-1]]


def _chain(ranked: Sequence[Point]) -> list[Point]:
    """Those of the points, which go one way, that a line around one side of all of them turns at."""
    chain: list[Point] = []
    for point in ranked:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


HAIR = 1e-9  # metres; more than binary fractions lose


def _far(a: Box, b: Box, least: float) -> bool:
    """Whether what lies in the boxes cannot come as near as `least`."""
    most = least + HAIR
    return a[0] - b[2] > most or b[0] - a[2] > most or a[1] - b[3] > most or b[1] - a[3] > most


def _gap(a: Box, b: Box) -> float:
    """How far two boxes lie apart, across or up, whichever is more; less than nothing where they overlap."""
    return max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])


def _apart(a: Shape, b: Shape, least: float = math.inf) -> float:
    """The least distance of two shapes, or `least` where they do not come nearer than that."""
    if _far(a.box, b.box, least):
        return least
    if b.holds(a.points[0]) or a.holds(b.points[0]):
        return 0.0
    for p, box in a.framed_sides:
        if _far(box, b.box, least):
            continue
        for q, its in b.framed_sides:
            if not _far(box, its, least):
                least = min(least, _between(p, q))
    return least


def _between(p: tuple[Point, Point], q: tuple[Point, Point]) -> float:
    """The least distance of two straight sides; 0 where they cross."""
    (a, b), (c, d) = p, q
    if _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0:
        return 0.0
    return min(_to_side(a, q), _to_side(b, q), _to_side(c, p), _to_side(d, p))


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _to_side(point: Point, side: Sequence[Point]) -> float:
    (x0, y0), (x1, y1) = side
    dx, dy = x1 - x0, y1 - y0
    long = dx * dx + dy * dy
    share = 0.0 if long == 0 else max(0.0, min(1.0, ((point[0] - x0) * dx + (point[1] - y0) * dy) / long))
    return math.dist(point, (x0 + share * dx, y0 + share * dy))
