"""Where a label goes: the places it may take, what each costs, and the cheapest that is free.

A place is free where the text keeps within its bounds and clear of other texts and marks. It costs
more the further it is from the thing it names, the more lines it lies across, and where it covers a
machine or a dense hatching.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from heapq import merge
from operator import itemgetter
from typing import Literal

from generator.drawing.boxes import (
    WIDTH,
    Box,
    Point,
    Segment,
    TextBox,
    any_near,
    covers,
    crossed,
    extent,
    hits,
    inside,
    nearest,
    overlap,
    segment_hits,
    touching,
)
from generator.drawing.measure import Words
from generator.drawing.text import Align, Block, boldness, longest_word

Side = Literal["left", "right", "above", "below", "on"]
Place = tuple[Point, Point, float]
"""The point a text is set off from, the direction it is set off in, and what that costs.

The direction is about a unit vector; zero stands for on the point itself.
"""

_ALL_ROUND: tuple[Point, ...] = tuple((math.cos(step * math.pi / 8), math.sin(step * math.pi / 8)) for step in range(16))

Framed = tuple[Sequence[Point], Box]
"""A shape and the box around it."""

SAME = 1e-9
"""Two places that differ by no more in what they cost, cost the same."""
CROSSED = 26
"""What each line costs that a text lies across."""

UNIT_VECTORS: dict[Side, Point] = {
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
    "above": (0.0, -1.0),
    "below": (0.0, 1.0),
}


@dataclass(slots=True)
class Label:
    """A text that waits for its place; low ranks choose first."""

    text: Words
    places: Places
    anchor: Point
    bounds: Box
    width: float
    rank: int
    leader: bool = True
    bold: bool = False
    body_cost: float = 24.0

    def lead_from(self, box: Box) -> Point | None:
        """Return where a leader to the thing starts, if the text in `box` needs one."""
        start = nearest(box, self.anchor)
        return start if self.leader and math.dist(start, self.anchor) > 16 else None


@dataclass(slots=True)
class Taken:
    """What is drawn already.

    Labels keep clear of `texts` and `marks`; where they can, they keep off the lines, the bodies of
    machines, and what is hatched so densely that text is hard to read on it.
    """

    texts: list[TextBox] = field(default_factory=list)
    marks: list[Box] = field(default_factory=list)
    segments: list[Segment] = field(default_factory=list)
    bodies: list[list[Point]] = field(default_factory=list)
    dense: list[list[Point]] = field(default_factory=list)
    _framed: tuple[list[Framed], list[Framed]] = field(default_factory=lambda: ([], []), init=False, repr=False, compare=False)

    @property
    def boxes(self) -> list[Box]:
        """The boxes that no other text may come near."""
        return [text.box for text in self.texts] + self.marks

    @property
    def bottom(self) -> float:
        """How far down the lowest text, mark or line reaches."""
        return max(
            (box[3] for box in [*self.boxes, *(box for _, _, box in self.segments)]),
            default=0.0,
        )

    def framed(self) -> tuple[list[Framed], list[Framed]]:
        """What is dense and the bodies, each with the box around it, which is worked out once."""
        for shapes, framed in zip((self.dense, self.bodies), self._framed, strict=True):
            framed.extend((shape, extent(shape)) for shape in shapes[len(framed) :])
        return self._framed


# ---- the places there are ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Places:
    """Places a text may take: those of its `own`, then those all around a point, each dearer by `more`.

    There are some two hundred around a point, and few are looked at: each is worked out when it is asked for.
    """

    own: Sequence[Place]
    anchor: Point
    prefer: tuple[Side, ...] = ()
    more: float = 0.0

    def cheapest_first(self) -> Iterator[tuple[float, int, Point, Point]]:
        """What each place costs, its number, the point, and the direction; the numbers tell the order of those of one cost."""
        own = sorted((cost, number, aim, toward) for number, (aim, toward, cost) in enumerate(self.own))
        return merge(own, self._around(len(own))) if own else self._around(0)

    def _around(self, number: int) -> Iterator[tuple[float, int, Point, Point]]:
        x, y = self.anchor
        for cost, k, right, down, toward in _around(self.prefer):
            yield cost + self.more, number + k, (x + right, y + down), toward

    def __iter__(self) -> Iterator[Place]:
        return ((aim, toward, cost) for cost, _, aim, toward in self.cheapest_first())


def around(anchor: Point, prefer: Sequence[Side]) -> Places:
    """Places around a point, nearest first, dearer away from the preferred sides."""
    return Places((), anchor, tuple(prefer))


@cache
def _around(prefer: tuple[Side, ...]) -> list[tuple[float, int, float, float, Point]]:
    """The places around any point, cheapest first: the cost, the number, how far right and down of the point, the direction."""
    wanted = [UNIT_VECTORS[side] for side in prefer if side != "on"]
    places: list[tuple[float, float, float, Point]] = []
    if "on" in prefer:
        places.append((0.0, 0.0, 0.0, (0.0, 0.0)))
    for radius in (9, 16, 26, 38, 52, 68, 86, 106, 130, 160, 195, 235):
        for toward in _ALL_ROUND:
            cost = 0.55 * radius
            if wanted:
                cost += 14 * (1 - max(w[0] * toward[0] + w[1] * toward[1] for w in wanted))
            if "on" in prefer:
                cost += 8
            places.append((cost, radius * toward[0], radius * toward[1], toward))
    return sorted((cost, number, right, down, toward) for number, (cost, right, down, toward) in enumerate(places))


def along(a: Point, b: Point, way: Point, *, left: bool, tail: float, prefer: Side | None) -> Places:
    """Places for the text of a dimension line from `a` to `b`, which runs in the direction `way`.

    They are beside it, best at the middle and on the side the line was moved to (`left` of its
    direction or not), then beyond its ends, which stick out by `tail`, then all around.
    """
    ux, uy = way
    nx, ny = uy, -ux
    want = UNIT_VECTORS.get(prefer) if prefer is not None else None
    places: list[Place] = []
    outward = 1.0 if left else -1.0
    for share in (0.5, 0.38, 0.62, 0.25, 0.75, 0.1, 0.9):
        base = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
        for sign in (outward, -outward):
            toward = (nx * sign, ny * sign)
            for gap in (5.0, 9.0, 18.0):
                cost = 30 * abs(share - 0.5) + gap * 0.6 + (0 if sign == outward else 6)
                if want is not None:
                    cost += 14 * (1 - (want[0] * toward[0] + want[1] * toward[1]))
                places.append((_off(base, toward, gap), _round_direction(toward), cost))
    for end, sign in ((a, -1.0), (b, 1.0)):
        toward = (ux * sign, uy * sign)
        asked = want is not None and want == _round_direction(toward)
        for gap in (tail + 5, tail + 14):
            cost = (0 if asked else 16) + gap * 0.4
            places.append((_off(end, toward, gap), _round_direction(toward), cost))
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    return Places(places, middle, more=40)


def outside(arc: Point, toward: Point, prefer: Sequence[Side]) -> Places:
    """Places for the text of an angle: out from the middle of its arc, then all around that."""
    places = [(_off(arc, toward, gap), _round_direction(toward), gap * 0.5) for gap in (7.0, 14.0, 24.0)]
    return Places(places, arc, tuple(prefer), more=6)


def _off(point: Point, toward: Point, gap: float) -> Point:
    return (point[0] + toward[0] * gap, point[1] + toward[1] * gap)


def _round_direction(toward: Point) -> Point:
    """Snap a direction a little, so that text beside a steep line is set off sideways."""
    x, y = toward
    return (x if abs(x) > 0.25 else 0.0, y if abs(y) > 0.25 else 0.0)


# ---- the one to take -----------------------------------------------------------------------------


def best_place(label: Label, taken: Taken) -> tuple[Box, Align, Block] | None:
    """Return the box, the alignment and the lines of a label where it fits best, if it fits.

    Of places that cost the same the first one is taken. What a place costs by itself only ever grows by
    what is drawn there, so the cheapest are looked at first, and those that come to more than the best
    that is found are not looked at.
    """
    ground = _Ground(label, taken)
    most = math.inf
    free: list[tuple[tuple[int, int], float, tuple[Box, Align, Block]]] = []
    for way, (block, narrowed) in enumerate(_blocks(label)):
        wide, high = block.width * boldness(label.bold), block.height
        for price, number, aim, toward in label.places.cheapest_first():
            cost = price + narrowed
            if cost >= most:
                break
            box, align = _box_at(aim, toward, wide, high)
            if not inside(box, label.bounds) or any_near(box, ground.boxes):
                continue
            total = ground.cost(box, toward, cost, most)
            if total < most:
                free.append(((way, number), total, (box, align, block)))
                most = min(most, total + 1000 * SAME)  # all that cost the same, and somewhat more
    best: tuple[Box, Align, Block] | None = None
    least = math.inf
    for _, total, place in sorted(free, key=itemgetter(0)):
        if total < least - SAME:
            best, least = place, total
    return best


def _blocks(label: Label) -> Iterator[tuple[Block, float]]:
    """The label at its width and, where that makes more lines of it, narrower, at a price."""
    first: Block | None = None
    for width in (label.width, 130.0) if label.width > 130 else (label.width,):
        # no word needs to be cut at this width, unless it is longer than half a drawing
        uncut = min(longest_word(label.text) + 0.01, WIDTH / 2)
        block = Block.of(label.text, max(width, uncut))
        if first is None:
            first = block
            yield block, 0.0
        elif block.height != first.height:
            yield block, 12.0


def _box_at(aim: Point, toward: Point, wide: float, high: float) -> tuple[Box, Align]:
    """Box and alignment of a text that stands off `aim` in the direction `toward`."""
    x, y = aim
    top = y - high / 2 + toward[1] * high / 2
    if toward[0] > 0.5:
        return (x, top, x + wide, top + high), "start"
    if toward[0] < -0.5:
        return (x - wide, top, x, top + high), "end"
    return (x - wide / 2, top, x + wide / 2, top + high), "middle"


class _Ground:
    """What is drawn already, as it lies to one label."""

    def __init__(self, label: Label, taken: Taken) -> None:
        self.label = label
        self.boxes = taken.boxes
        self._segments = taken.segments
        # most lines and shapes lie nowhere near a place: the boxes around them tell
        self._near = touching(_grown(_grown(label.bounds)), taken.segments)
        self._dense, self._bodies = taken.framed()

    def cost(self, box: Box, toward: Point, total: float, most: float) -> float:
        """What it costs to stand in `box`; endless where a leader would run through a text.

        Costs only ever add up, so a place that has reached `most` is left at once.
        """
        label = self.label
        # a little more than what makes it too many, whatever a sum loses
        total += CROSSED * hits(_grown(box), self._near, (most - total) / CROSSED + 1e-6)
        if total >= most:
            return math.inf
        if toward != (0.0, 0.0):
            total += 14 * _covering(self._dense, box)
            total += label.body_cost * _covering(self._bodies, box)
            if total >= most:
                return math.inf
        start = label.lead_from(box)
        if start is not None:
            spot = (*label.anchor, *label.anchor)
            for other in self.boxes:
                if segment_hits(other, start, label.anchor) and not inside(spot, other):
                    return math.inf
            total += 5 * crossed(self._segments, start, label.anchor)
        return total


def _grown(box: Box) -> Box:
    """A box and the room around it that lines should leave free."""
    return (box[0] - 2, box[1] - 1, box[2] + 2, box[3] + 1)


def _covering(shapes: Sequence[Framed], box: Box) -> int:
    """How many of the shapes cover the box."""
    return sum(1 for shape, frame in shapes if overlap(frame, box, 1e-6) and covers(shape, box))
