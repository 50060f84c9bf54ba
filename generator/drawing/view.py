"""A part of a drawing with a scale of its own: shapes, dimensions, labels and regions to point at.

A `View` draws in world metres, y up, with one scale for both directions; where a thing is too flat
to be seen, its heights are drawn `stretch` times.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Literal

from generator.drawing.board import Board
from generator.drawing.boxes import Box, Point, SpotBox, box_about, inside, overlap, rings
from generator.drawing.errors import DrawingRefused
from generator.drawing.measure import Measure, Text, in_language, words
from generator.drawing.placing import Label, Side, along, around, outside
from generator.drawing.svg import PENS, Fill, Pen, arrow_head, clean, number, thin_line, through
from generator.drawing.text import Block

Seen = Literal["side", "end", "above", "across"]
"""The way a view looks: at a machine's side, at its end, down from above, or at a cut across."""

Part = Literal[
    "tracks", "machine", "bucket", "blade", "truck", "person", "crest", "toe", "wire", "line", "spoil",
    "windrow", "wall", "water", "fall-zone", "keep-clear", "ramp", "cut", "slot", "load", "pipe",
    "stone", "gate", "ladder", "swing-circle", "box", "berm", "drum",
]  # fmt: skip
"""What a part of a picture is: all that a limit or a column of the tables speaks of."""

SPOT = 68.0
"""Least size of a region to point at: 44 CSS px where the drawing is 340 CSS px wide."""
HONEST = 0.005
"""A dimension may differ from what is drawn by this share at most."""


@dataclass
class View:
    """A band of a canvas with a scale of its own. Points are (x, y) in metres, y up."""

    board: Board
    per_metre: float
    stretch: float
    origin: Point
    band: Box
    world: Box
    group: ET.Element
    breaks: list[tuple[float, float, float]] = field(default_factory=list)

    @contextmanager
    def part(self, part: Part, **facts: float | str) -> Iterator[None]:
        """Group what is drawn within as a part of the picture that the laws of scenes measure.

        `facts` are what the part claims beside its size, such as `grade=1 / 3` of a ramp or
        `volume=191.0` cubic metres of a pile; each becomes a `data-` attribute. Parts may hold
        parts.
        """
        outer = self.group
        given = {f"data-{name.replace('_', '-')}": fact if isinstance(fact, str) else f"{fact:.9g}" for name, fact in facts.items()}
        self.group = ET.SubElement(outer, "g", {"data-part": part, **given})
        try:
            yield
        finally:
            self.group = outer

    def px(self, point: Point) -> Point:
        """Return where a point of the world stands in the viewBox."""
        left, low = self.origin
        x, y = point
        return (left + x * self.per_metre, low - y * self.per_metre * self.stretch)

    def _placed(self, points: Iterable[Point]) -> list[Point]:
        """Return where points of the world stand in the viewBox: `px` of each, which a tilted view has of its own."""
        return [self.px(point) for point in points]

    def metres(self, px: float) -> float:
        """Return how many metres across a length in the viewBox stands for."""
        return px / self.per_metre

    def _path(
        self,
        points: Sequence[Point],
        *,
        closed: bool,
        pen: Pen,
        fill: Fill,
        name: str | None,
    ) -> list[Point]:
        """Draw a line or a closed shape, and return where its points stand in the viewBox."""
        placed = self._placed(points)
        attributes = {"d": through(placed, closed=closed), **self.board.fill(fill), **PENS[pen]}
        if name:
            attributes["class"] = f"{attributes.get('class', '')} {name}".strip()
        ET.SubElement(self.group, "path", attributes)
        if pen != "none":
            self.board.outline(placed, closed=closed)
        return placed

    def line(self, a: Point, b: Point, *, pen: Pen = "line", name: str | None = None) -> None:
        """Draw a straight line."""
        self._path([a, b], closed=False, pen=pen, fill="none", name=name)

    def polyline(self, points: Sequence[Point], *, pen: Pen = "line", name: str | None = None) -> None:
        """Draw a line through points."""
        self._path(points, closed=False, pen=pen, fill="none", name=name)

    def polygon(
        self,
        points: Sequence[Point],
        *,
        pen: Pen = "line",
        fill: Fill = "none",
        name: str | None = None,
    ) -> None:
        """Draw a closed shape."""
        placed = self._path(points, closed=True, pen=pen, fill=fill, name=name)
        if fill in ("stripe", "cross", "dots"):
            # Text is hard to read on these.
            self.board.taken.dense.append(placed)

    def strokes(self, lines: Sequence[Sequence[Point]], *, pen: Pen = "thin") -> None:
        """Draw many small lines as one path: the details of a machine. Labels may stand on them."""
        d = "".join(through(self._placed(line)) for line in lines)
        ET.SubElement(self.group, "path", {"d": d, "fill": "none", **PENS[pen]})

    def dots(self, points: Sequence[Point], size: float) -> None:
        """Draw solid dots `size` metres across as one path: pins and rollers."""
        placed = self._placed(points)
        attributes = {"d": "".join(through([p, (p[0] + 0.1, p[1])]) for p in placed), "fill": "none", "stroke": "currentColor",
                      "stroke-width": number(size * self.per_metre)}  # fmt: skip
        ET.SubElement(self.group, "path", attributes)

    def strap(self, points: Sequence[Point], width: float, *, link: float = 0.0) -> None:
        """Draw a solid band along points, `width` metres wide, cut into links of the length `link` (metres)."""
        attributes = {"d": through(self._placed(points)), "fill": "none", "stroke": "currentColor",
                      "stroke-width": number(width * self.per_metre), "stroke-linecap": "butt"}  # fmt: skip
        if link:
            attributes["stroke-dasharray"] = f"{number(0.76 * link * self.per_metre)} {number(0.24 * link * self.per_metre)}"
        ET.SubElement(self.group, "path", attributes)

    def body(self, points: Sequence[Point], *, pen: Pen = "line", fill: Fill = "shade") -> None:
        """Draw a closed shape that hides what is behind it, as a machine does."""
        if fill not in ("paper", "dark"):  # those hide it by themselves
            self._path(points, closed=True, pen="none", fill="paper", name=None)
        placed = self._path(points, closed=True, pen=pen, fill=fill, name=None)
        self.board.taken.bodies.append(placed)

    def bodies(self, shapes: Sequence[Sequence[Point]], *, pen: Pen = "thin", fill: Literal["paper", "dark", "shade"] = "dark") -> None:
        """Draw several closed shapes that are alike, and do not overlap, as one path: details of a machine. What is behind shows through `shade` only."""
        placed = [self._placed(shape) for shape in shapes]
        d = "".join(through(shape, closed=True) for shape in placed)
        ET.SubElement(self.group, "path", {"d": d, **self.board.fill(fill), **PENS[pen]})
        for shape in placed:
            self.board.outline(shape, closed=True)
        self.board.taken.bodies.extend(placed)

    def rect(
        self,
        x0: float,
        y0: float,
        x1: float,
        y1: float,
        *,
        pen: Pen = "line",
        fill: Fill = "none",
        name: str | None = None,
    ) -> None:
        """Draw an upright rectangle."""
        self.polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], pen=pen, fill=fill, name=name)

    def circle(self, centre: Point, radius: float, *, pen: Pen = "line", fill: Fill = "none") -> None:
        """Draw a circle; `radius` in metres."""
        x, y = self.px(centre)
        rx = radius * self.per_metre
        ry = rx * self.stretch
        shape = {"cx": number(x), "cy": number(y)}
        tag = "circle" if self.stretch == 1 else "ellipse"
        if self.stretch == 1:
            shape["r"] = number(rx)
        else:
            shape |= {"rx": number(rx), "ry": number(ry)}
        ET.SubElement(self.group, tag, {**shape, **self.board.fill(fill), **PENS[pen]})
        if pen != "none":
            ring = [(x + rx * math.cos(k * math.pi / 6), y + ry * math.sin(k * math.pi / 6)) for k in range(12)]
            self.board.outline(ring, closed=True)

    def arc(
        self,
        centre: Point,
        radius: float,
        start: float,
        end: float,
        *,
        pen: Pen = "line",
    ) -> None:
        """Draw part of a circle, from angle `start` to `end` (radians, counter-clockwise)."""
        steps = max(2, math.ceil(abs(end - start) / (math.pi / 36)))
        self.polyline(
            [
                (
                    centre[0] + radius * math.cos(start + (end - start) * k / steps),
                    centre[1] + radius * math.sin(start + (end - start) * k / steps),
                )
                for k in range(steps + 1)
            ],
            pen=pen,
        )

    # ---- dimensions --------------------------------------------------------------------------

    def dimension(
        self,
        a: Point,
        b: Point,
        text: Text,
        *,
        offset: float = 0.0,
        measure: Measure | None = None,
        prefer: Side | None = None,
        rank: int = 1,
        width: float = 230.0,
        broken: bool = False,
    ) -> None:
        """Draw a dimension line from `a` to `b`, `offset` px to the left of that direction.

        Where `text` is a `Measure`, or `measure` is given, its value must be the length drawn:
        a dimension that tells another length than the drawing raises `DrawingRefused`. With `broken`
        the line runs across what `break_across` left out, which counts; a line that is broken
        without saying so, or says so without a break, raises `DrawingRefused` too.
        """
        measure = text if isinstance(text, Measure) else measure
        low, high = min(a[0], b[0]), max(a[0], b[0])
        crossed = [one for one in self.breaks if low < one[1] and one[0] < high]
        if broken != bool(crossed) or (broken and abs(a[1] - b[1]) > 1e-9):
            raise DrawingRefused(f"drawing {self.board.ident!r}: a dimension runs across a break just where it is told to, and level there")
        left_out = sum(true - (stop - start) for start, stop, true in crossed)
        length = math.dist(a, b) + left_out
        if measure is not None and abs(length - measure.si) > HONEST * abs(measure.si):
            raise DrawingRefused(f"drawing {self.board.ident!r}: {measure.us} is {measure.si:.6g} m, but {length:.6g} m is drawn")
        pa, pb = self.px(a), self.px(b)
        span = math.dist(pa, pb)
        if span == 0:
            raise DrawingRefused(f"drawing {self.board.ident!r}: a dimension without length")
        ux, uy = (pb[0] - pa[0]) / span, (pb[1] - pa[1]) / span
        nx, ny = uy, -ux
        qa = (pa[0] + nx * offset, pa[1] + ny * offset)
        qb = (pb[0] + nx * offset, pb[1] + ny * offset)
        attributes = {"class": "dimension"}
        if measure is not None:
            attributes["data-si"] = f"{measure.si:.9g}"
            attributes["data-ends"] = " ".join(number(v) for v in (*qa, *qb))
            if broken:
                attributes["data-broken"] = f"{left_out:.9g}"
        group = ET.SubElement(self.group, "g", attributes)
        for begin, until, _ in crossed:
            x, y = self.px(((begin + until) / 2, a[1]))
            for shift in (-4.0, 4.0):  # the two strokes of a broken line
                self._thin(group, (x + shift - 3, y + ny * offset + 8), (x + shift + 3, y + ny * offset - 8))
        if abs(offset) > 1:
            sign = math.copysign(1.0, offset)
            for p, q in ((pa, qa), (pb, qb)):
                start = (p[0] + nx * 3 * sign, p[1] + ny * 3 * sign)
                stop = (q[0] + nx * 5 * sign, q[1] + ny * 5 * sign)
                self._thin(group, start, stop)
        tail = 0.0
        if span >= 30:
            self._thin(group, qa, qb)
            _head(group, qa, (-ux, -uy))
            _head(group, qb, (ux, uy))
        else:
            # Too short for two heads: they point inward from outside.
            tail = 18.0
            self._thin(group, (qa[0] - ux * tail, qa[1] - uy * tail), qa)
            self._thin(group, qb, (qb[0] + ux * tail, qb[1] + uy * tail))
            _head(group, qa, (ux, uy))
            _head(group, qb, (-ux, -uy))
        self.board.ask(
            Label(
                text=words(text),
                places=along(qa, qb, (ux, uy), left=offset >= 0, tail=tail, prefer=prefer),
                anchor=((qa[0] + qb[0]) / 2, (qa[1] + qb[1]) / 2),
                bounds=self.band,
                width=width,
                rank=rank,
                leader=span < 60,
                body_cost=6.0,
            )
        )

    def break_across(self, start: float, stop: float, low: float, high: float, true: float) -> None:
        """Mark that a piece of the world is left out between `start` and `stop` (x, metres).

        `true` is how long the piece really is, and at least what is drawn of it. Two ragged lines
        stand at both sides of the gap, from the height `low` up to `high`. Nothing else may be drawn
        within the gap.
        """
        if not start < stop or true < stop - start:
            raise DrawingRefused(f"drawing {self.board.ident!r}: a break leaves nothing out")
        self.breaks.append((start, stop, true))
        (x0, y0), (x1, y1) = self.px((start, low)), self.px((stop, high))
        group = ET.SubElement(
            self.group,
            "g",
            {
                "class": "break",
                "data-true": f"{true:.9g}",
                "data-at": f"{number(x0)} {number(x1)}",
            },
        )
        teeth = max(2, round((y0 - y1) / 9))
        for x in (x0, x1):
            ragged = [(x + (2.5 if k % 2 else -2.5), y0 + (y1 - y0) * k / teeth) for k in range(teeth + 1)]
            ET.SubElement(group, "path", {"d": through(ragged), "fill": "none", **PENS["thin"]})
            self.board.outline(ragged)

    def _thin(self, group: ET.Element, a: Point, b: Point) -> None:
        thin_line(group, a, b)
        self.board.outline([a, b])

    def arrow(self, a: Point, b: Point, *, pen: Pen = "bold") -> None:
        """Draw an arrow from `a` to `b`, such as a way of travel."""
        self.arrow_path([a, b], pen=pen)

    def arrow_path(self, points: Sequence[Point], *, pen: Pen = "bold") -> None:
        """Draw an arrow along points; the head stands at the last one."""
        placed = self._placed(points)
        (ax, ay), (bx, by) = placed[-2], placed[-1]
        span = math.hypot(bx - ax, by - ay) or 1.0
        ux, uy = (bx - ax) / span, (by - ay) / span
        size = 13.0
        shaft = [
            *placed[:-1],
            (bx - ux * min(size * 0.8, span), by - uy * min(size * 0.8, span)),
        ]
        group = ET.SubElement(self.group, "g", {"class": "arrow"})
        ET.SubElement(group, "path", {"d": through(shaft), "fill": "none", **PENS[pen]})
        arrow_head(group, (bx, by), (ux, uy), length=size, half=6.5)
        self.board.outline(placed)

    def angle(
        self,
        vertex: Point,
        start: float,
        end: float,
        text: Text,
        *,
        radius: float = 60.0,
        measure: Measure | None = None,
        prefer: Sequence[Side] = (),
    ) -> None:
        """Draw an angle arc from `start` to `end` (radians) at `radius` px, with its text.

        The angle drawn must be the one told, as with `dimension`.
        """
        measure = text if isinstance(text, Measure) else measure
        if measure is not None and abs(abs(end - start) - measure.si) > HONEST * measure.si:
            raise DrawingRefused(
                f"drawing {self.board.ident!r}: {measure.us} is {measure.si:.6g} rad, but {abs(end - start):.6g} rad is drawn"
            )
        if self.stretch != 1:
            raise DrawingRefused(f"drawing {self.board.ident!r}: no angle can be shown where heights are stretched")
        metres = self.metres(radius)
        self.arc(vertex, metres, start, end, pen="thin")
        middle = (start + end) / 2
        point = (
            vertex[0] + metres * math.cos(middle),
            vertex[1] + metres * math.sin(middle),
        )
        placed = self.px(point)
        out = (math.cos(middle), -math.sin(middle))
        self.board.ask(
            Label(
                text=words(text),
                places=outside(placed, out, prefer),
                anchor=placed,
                bounds=self.band,
                width=200.0,
                rank=0,
            )
        )

    # ---- labels and marks --------------------------------------------------------------------

    def label(
        self,
        point: Point,
        text: Text,
        *,
        prefer: Sequence[Side] = ("above", "right"),
        bold: bool = False,
        leader: bool = True,
        width: float = 190.0,
        rank: int = 2,
        clear: bool = False,
    ) -> None:
        """Name what is at `point`; the text goes where there is room, with a leader if need be.

        With `clear`, it stays off the bodies of machines even where that takes a long leader.
        """
        anchor = self.px(point)
        self.board.ask(
            Label(
                text=words(text),
                places=around(anchor, prefer),
                anchor=anchor,
                bounds=self.band,
                width=width,
                rank=rank,
                leader=leader,
                bold=bold,
                body_cost=200.0 if clear else 24.0,
            )
        )

    def fixed_text(self, point: Point, text: Text, *, bold: bool = False) -> None:
        """Write a text that starts at `point` and hangs below it, wherever other texts may be."""
        x, y = self.px(point)
        block = Block.of(words(text), self.band[2] - x)
        self.board.write(block, x, y, bold=bold)

    def bar(
        self,
        low: Point,
        high: Point,
        fill: Fill,
        measure: Measure,
        *,
        upright: bool = False,
    ) -> None:
        """Draw a bar between two corners; its length stands for `measure`, whatever that is.

        The length is across, or up where `upright`. All bars of a view must share one scale.
        """
        a, b = self.px(low), self.px(high)
        length = abs(b[1] - a[1]) if upright else abs(b[0] - a[0])
        corners = [a, (b[0], a[1]), b, (a[0], b[1])]
        ET.SubElement(
            self.group,
            "path",
            {
                "class": "bar",
                "d": through(corners, closed=True),
                "data-si": f"{measure.si:.9g}",
                "data-px": number(length),
                **self.board.fill(fill),
                **PENS["line"],
            },
        )
        self.board.outline(corners, closed=True)

    def badge(self, point: Point, text: str, *, filled: bool = False) -> None:
        """Draw a number or letter in a ring, such as the order of passes."""
        self.board.badge(self.group, self.px(point), text, filled=filled)

    def mass_mark(self, point: Point) -> None:
        """Draw the mark of a centre of mass: a disc with two opposite quarters filled."""
        x, y = self.px(point)
        r = 10.0
        group = ET.SubElement(self.group, "g", {"class": "mass"})
        ET.SubElement(
            group,
            "circle",
            {
                "cx": number(x),
                "cy": number(y),
                "r": number(r),
                "class": "paper",
                "fill": "none",
                **PENS["line"],
            },
        )
        for sx, sy in ((1, -1), (-1, 1)):
            sweep = 1 if sx * sy > 0 else 0
            d = (
                f"M{number(x)},{number(y)}L{number(x + sx * r)},{number(y)}"
                f"A{number(r)},{number(r)} 0 0 {sweep} {number(x)},{number(y + sy * r)}Z"
            )
            ET.SubElement(group, "path", {"d": d, "fill": "currentColor", "stroke": "none"})
        self.board.taken.marks.append(box_about((x, y), r, r))

    def weight_line(self, point: Point, foot: float) -> None:
        """Draw the line of the weight, straight down from `point` to the height `foot`."""
        self.arrow(point, (point[0], foot), pen="bold")

    def spot(self, ident: str, name: str, points: Sequence[Point]) -> None:
        """Draw a region to point at: an outline, never smaller than a thumb, and a letter.

        `points` is a shape in metres, or one point. The letters run from A, so the same question
        can be answered on paper. `name` is read out. Where two regions would cover each other, the
        later one moves aside, and a line leads to what it means. Raises `DrawingRefused` for an id used
        twice, and where there is no room left.
        """
        board = self.board
        if any(other.ident == ident for other in board.spots):
            raise DrawingRefused(f"drawing {board.ident!r}: two regions are called {ident!r}")
        letter = chr(ord("A") + len(board.spots))
        placed = self._placed(points)
        xs, ys = [p[0] for p in placed], [p[1] for p in placed]
        target = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        half_x = max((max(xs) - min(xs)) / 2, SPOT / 2)
        half_y = max((max(ys) - min(ys)) / 2, SPOT / 2)
        cx, cy = self._room_for_spot(ident, target, half_x, half_y)
        if (cx, cy) != target:
            half_x = half_y = SPOT / 2
            cx, cy = self._room_for_spot(ident, target, half_x, half_y)
        box = box_about((cx, cy), half_x, half_y)
        if math.dist((cx, cy), target) > 1:
            board.leader((cx, cy), target)
        group = ET.SubElement(self.group, "g", {"class": "spot", "data-spot": ident})
        ET.SubElement(group, "title").text = clean(f"{letter}: {in_language(name)}")
        ET.SubElement(
            group,
            "rect",
            {
                "class": "spot-area",
                "x": number(box[0]),
                "y": number(box[1]),
                "width": number(box[2] - box[0]),
                "height": number(box[3] - box[1]),
                "rx": "8",
                "fill": "currentColor",
                "fill-opacity": "0.05",
                **PENS["dash"],
            },
        )
        board.badge(group, (cx, cy), letter, filled=True, radius=16.0)
        board.spots.append(SpotBox(ident, letter, box))
        board.taken.bodies.append([(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])])

    def _room_for_spot(self, ident: str, target: Point, half_x: float, half_y: float) -> Point:
        others = [spot.box for spot in self.board.spots]
        for _, centre in rings(target, 8, start=-math.pi / 2):
            box = box_about(centre, half_x, half_y)
            if inside(box, self.band) and not any(overlap(box, other, 3.0) for other in others):
                return centre
        raise DrawingRefused(f"drawing {self.board.ident!r}: no room for the region {ident!r}")


def _head(group: ET.Element, tip: Point, toward: Point) -> None:
    arrow_head(group, tip, toward, length=10, half=3.4)
