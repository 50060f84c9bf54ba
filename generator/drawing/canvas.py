"""A small SVG canvas: drawings to scale, with labels that never cover each other.

A `Canvas` is a column of bands: views, notes, legends. A `View` draws in world metres, y up, with
one scale for both directions; where a thing is too flat to be seen, its heights are drawn `stretch`
times and the drawing says so in words. Each view prints its scale bar in both unit systems.

Text stays text. Where it differs between the unit systems it is written twice, as
`<text class="us">` and `<text class="si">`, and the page shows one. Labels are queued and placed
when the drawing is finished, so that they keep clear of each other and, as far as they can, of the
lines. Everything is drawn in `currentColor`: light, dark and print need nothing more.

Lengths named `px` are units of the viewBox. At the smallest width the handbook is made for (340 CSS
px), one of them is 340/520 CSS px, so text of 18 shows at 11.8 px.
"""

from __future__ import annotations

import itertools
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from generator.drawing.measure import Measure, Text, Words, join, words

Point = tuple[float, float]
Box = tuple[float, float, float, float]
Pen = Literal["thin", "line", "bold", "dash", "none"]
Fill = Literal[
    "none",
    "paper",
    "shade",
    "dark",
    "earth",
    "spoil",
    "cut",
    "cross",
    "dots",
    "stripe",
    "water",
]
Side = Literal["left", "right", "above", "below", "on"]

WIDTH = 520.0
"""Width of every drawing's viewBox."""
FONT = 18.0
"""Height of ordinary text, in viewBox units."""
LINE_HEIGHT = 1.2
SPOT = 68.0
"""Least size of a region to point at: 44 CSS px where the drawing is 340 CSS px wide."""
EDGE = 4.0
HONEST = 0.005
"""A dimension may differ from what is drawn by this share at most."""

_PENS: dict[str, dict[str, str]] = {
    "thin": {"stroke": "currentColor", "stroke-width": "1.2"},
    "line": {"stroke": "currentColor", "stroke-width": "2"},
    "bold": {"stroke": "currentColor", "stroke-width": "3.5"},
    "dash": {
        "stroke": "currentColor",
        "stroke-width": "1.8",
        "stroke-dasharray": "7 5",
    },
    "none": {"stroke": "none"},
}
_UNIT_VECTORS: dict[str, Point] = {
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
    "above": (0.0, -1.0),
    "below": (0.0, 1.0),
}


def stylesheet() -> str:
    """Return the CSS rules for the drawings: paper behind text, what a spot looks like."""
    return (Path(__file__).parent / "drawing.css").read_text(encoding="utf-8")


def number(value: float) -> str:
    """Write a coordinate: two decimals at most, no trailing zeros, never a negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


_NARROW = frozenset("iljI.,:;'|!()[]ft r-/·\u2019")
_WIDE = frozenset("mwMW@%\u2014\u2026\u00d7\u2212+=<>")


def text_width(text: str, size: float = FONT) -> float:
    """Estimate the width of a line of text, on the wide side of common sans-serif fonts."""
    total = 0.0
    for char in text:
        if char in _NARROW:
            total += 0.42
        elif char in _WIDE:
            total += 0.98
        elif char.isupper():
            total += 0.76
        else:
            total += 0.64
    return total * size


# A number and its unit stay on one line.
_BREAK = re.compile(r"(?<!\d) +| +(?!\S{1,5}(?:\s|$))")


def _words_of(text: str) -> list[str]:
    return [word for word in _BREAK.split(" ".join(text.split())) if word]


def wrap(text: str, width: float, size: float = FONT) -> list[str]:
    """Break text into lines of at most `width`; a word too long for a line is cut."""
    lines: list[str] = []
    line = ""
    for word in _words_of(text):
        while text_width(word, size) > width and len(word) > 1:
            head = word
            while len(head) > 1 and text_width(head, size) > width:
                head = head[:-1]
            if line:
                lines.append(line)
                line = ""
            lines.append(head)
            word = word[len(head) :]
        trial = f"{line} {word}" if line else word
        if line and text_width(trial, size) > width:
            lines.append(line)
            line = word
        else:
            line = trial
    if line:
        lines.append(line)
    return lines or [""]


_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _clean(text: str) -> str:
    return _NOT_XML.sub("\ufffd", text)


@dataclass(frozen=True, slots=True)
class TextBox:
    """Where a text stands, in viewBox units; `system` is `us`, `si` or `both`."""

    x0: float
    y0: float
    x1: float
    y1: float
    text: str
    system: str

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


def overlap(a: Box, b: Box, gap: float = 0.0) -> bool:
    """Tell whether two boxes share ground, or come nearer than `gap`."""
    return a[0] < b[2] + gap and b[0] < a[2] + gap and a[1] < b[3] + gap and b[1] < a[3] + gap


def _segment_hits(box: Box, a: Point, b: Point) -> bool:
    """Tell whether the segment from `a` to `b` enters the box (Liang-Barsky clipping)."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    low, high = 0.0, 1.0
    for p, q in (
        (-dx, a[0] - box[0]),
        (dx, box[2] - a[0]),
        (-dy, a[1] - box[1]),
        (dy, box[3] - a[1]),
    ):
        if p == 0:
            if q < 0:
                return False
            continue
        r = q / p
        if p < 0:
            low = max(low, r)
        else:
            high = min(high, r)
        if low > high:
            return False
    return True


def _segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return (turn(a, b, c) > 0) != (turn(a, b, d) > 0) and (turn(c, d, a) > 0) != (turn(c, d, b) > 0)


def _around(a: Point, b: Point) -> Box:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


def _any_near(box: Box, others: Sequence[Box]) -> bool:
    """Whether the box overlaps any other or comes nearer to it than 4."""
    x0, y0, x1, y1 = box[0] - 4.0, box[1] - 4.0, box[2] + 4.0, box[3] + 4.0
    return any(x0 < o[2] and o[0] < x1 and y0 < o[3] and o[1] < y1 for o in others)


def _hits(box: Box, segments: Sequence[tuple[Point, Point, Box]]) -> int:
    """How many segments enter the box; each comes with the box around it, which rules most out."""
    x0, y0, x1, y1 = box
    return sum(
        1
        for a, b, o in segments
        if x0 <= o[2] and o[0] <= x1 and y0 <= o[3] and o[1] <= y1 and _segment_hits(box, a, b)
    )


def _crossed(segments: Sequence[tuple[Point, Point, Box]], c: Point, d: Point) -> int:
    """How many segments the one from `c` to `d` crosses."""
    x0, y0, x1, y1 = _around(c, d)
    return sum(
        1
        for a, b, o in segments
        if x0 <= o[2] and o[0] <= x1 and y0 <= o[3] and o[1] <= y1 and _segments_cross(a, b, c, d)
    )


@dataclass(slots=True)
class _Label:
    """A text that waits for its place."""

    text: Words
    candidates: list[tuple[Point, Point, float]]  # (point aimed at, place, cost); see _grid
    anchor: Point
    bounds: Box
    size: float
    width: float
    leader: bool
    bold: bool
    rank: int
    body_cost: float = 24.0


def _longest_word(text: Words, size: float) -> float:
    """Width that no word needs to be cut at, unless it is longer than half a drawing."""
    found = [text_width(w, size) for side in (text.us, text.metric) for w in _words_of(side)]
    return min(max(found, default=0.0) + 0.01, WIDTH / 2)


@dataclass(frozen=True, slots=True)
class _Block:
    """A text broken into lines in both systems."""

    us: tuple[str, ...]
    si: tuple[str, ...]
    size: float

    @property
    def width(self) -> float:
        return max(text_width(line, self.size) for line in self.us + self.si)

    @property
    def height(self) -> float:
        return max(len(self.us), len(self.si)) * self.size * LINE_HEIGHT

    @classmethod
    def of(cls, text: Words, width: float, size: float) -> _Block:
        return cls(
            tuple(wrap(_clean(text.us), width, size)),
            tuple(wrap(_clean(text.metric), width, size)),
            size,
        )


_PATTERNS: dict[str, tuple[float, float, list[tuple[str, dict[str, str]]]]] = {
    "earth": (
        10,
        10,
        [("path", {"d": "M-2,12L12,-2M-2,2L2,-2M8,12L12,8", "width": "1"})],
    ),
    "stripe": (
        9,
        9,
        [("path", {"d": "M-2,-2L11,11M-2,7L2,11M7,-2L11,2", "width": "1.6"})],
    ),
    "cross": (10, 10, [("path", {"d": "M0,0L10,10M10,0L0,10", "width": "1.2"})]),
    "cut": (8, 8, [("path", {"d": "M0,4H8", "width": "1.2"})]),
    "water": (12, 8, [("path", {"d": "M0,4Q3,0 6,4T12,4", "width": "1.2"})]),
    "spoil": (
        12,
        12,
        [
            ("circle", {"cx": "3", "cy": "3", "r": "1.6"}),
            ("circle", {"cx": "9", "cy": "8", "r": "1.1"}),
        ],
    ),
    "dots": (7, 7, [("circle", {"cx": "3.5", "cy": "3.5", "r": "1.5"})]),
}


@dataclass
class Canvas:
    """One drawing.

    `ident` must be unlike that of any other drawing on the page: it begins every id in the
    drawing. `title` is the short name, `desc` tells in words what the drawing shows; both are read
    out by screen readers. `scales` are the figures the canvas prints of itself, once it is written
    out: what each is, its length or factor, and its text.
    """

    ident: str
    title: str
    desc: str
    width: float = WIDTH
    views: list[View] = field(default_factory=list)
    scales: list[tuple[str, Measure]] = field(default_factory=list)

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_-]*", self.ident):
            raise ValueError(
                f"a drawing's id needs a letter, then letters, digits, '-' or '_': {self.ident!r}"
            )
        if not self.title.strip() or not self.desc.strip():
            raise ValueError(f"drawing {self.ident!r} needs a title and a description in words")
        self._y = EDGE
        self._shapes = ET.Element("g", {"class": "shapes"})
        self._texts = ET.Element("g", {"class": "texts"})
        self._patterns: set[str] = set()
        self._boxes: list[TextBox] = []
        self._keep_off: list[Box] = []
        self._segments: list[tuple[Point, Point]] = []
        self._queue: list[_Label] = []
        self._spots: list[SpotBox] = []
        self._bodies: list[list[Point]] = []
        self._dense: list[list[Point]] = []
        self._key = 0
        self._keyed: list[tuple[str, Words]] = []
        self._open: tuple[View, str] | None = None

    # ---- bands -------------------------------------------------------------------------------

    @property
    def height(self) -> float:
        """Height of the viewBox so far."""
        self._close()
        return self._y + EDGE

    def skip(self, px: float) -> None:
        """Leave some room before the next band."""
        self._close()
        self._y += px

    def view(
        self,
        world: Box,
        *,
        pad: tuple[float, float, float, float] = (30.0, 30.0, 30.0, 30.0),
        max_height: float = 330.0,
        stretch: float = 1.0,
        scale: Literal["drawn", "bars", "none"] = "drawn",
        like: View | None = None,
    ) -> View:
        """Open a band that shows `world` (left, low, right, high; metres).

        `pad` is room for labels at the left, top, right and bottom (px). The scale is the largest
        at which the world fits the width and `max_height`. With `like`, the scale of that view is
        used, so that two views can be compared. `scale="bars"` is for bars whose length stands for
        something else than metres; `"none"` is for a sketch, and the drawing says so.
        """
        self._close()
        x0, y0, x1, y1 = world
        if not (x1 > x0 and y1 > y0):
            raise ValueError(f"drawing {self.ident!r}: an empty world {world!r}")
        left, top, right, bottom = pad
        room = self.width - 2 * EDGE - left - right
        per_metre = min(room / (x1 - x0), max_height / ((y1 - y0) * stretch))
        if like is not None:
            per_metre, stretch = like.per_metre, like.stretch
        spare = room - per_metre * (x1 - x0)
        if spare < -0.01:
            raise ValueError(f"drawing {self.ident!r}: a view is too wide for the other's scale")
        depth = per_metre * stretch * (y1 - y0)
        view = View(
            canvas=self,
            per_metre=per_metre,
            stretch=stretch,
            origin=(
                EDGE + left + spare / 2 - x0 * per_metre,
                self._y + top + y1 * per_metre * stretch,
            ),
            band=(EDGE, self._y, self.width - EDGE, self._y + top + depth + bottom),
            world=world,
            group=ET.SubElement(
                self._shapes,
                "g",
                {
                    "class": "view",
                    "data-scale": f"{per_metre:.9g}",
                    "data-stretch": f"{stretch:.9g}",
                },
            ),
        )
        self.views.append(view)
        self._y = view.band[3]
        self._open = (view, scale)
        return view

    def _close(self) -> None:
        """End the band that is open: place its labels, cut empty room under it, tell its scale."""
        self._place()
        if self._open is None:
            return
        view, scale = self._open
        self._open = None
        low = [b.y1 for b in self._boxes] + [box[3] for box in self._keep_off]
        low += [max(a[1], b[1]) for a, b in self._segments] + [view.px((0, view.world[1]))[1]]
        self._y = min(self._y, max(low) + 6)
        if scale == "drawn":
            self._scale_bar(view)
        elif scale == "none":
            self.note("A sketch, not to scale.")
        for mark, text in self._keyed:
            self.note(join(f"{mark} " if mark else "", text))
        self._keyed = []

    def note(self, text: Text, *, bold: bool = False, boxed: bool = False) -> None:
        """Write a line of text under what is drawn so far; it wraps."""
        self._close()
        inset = 10.0 if boxed else 0.0
        room = (self.width - 2 * EDGE - 2 * inset) / (1.06 if bold else 1.0)
        block = _Block.of(words(text), room, FONT)
        top = self._y + 4 + inset * 0.8
        self._write(block, EDGE + inset, top, "start", bold=bold)
        if boxed:
            ET.SubElement(
                self._shapes,
                "rect",
                {
                    "x": number(EDGE),
                    "y": number(self._y + 4),
                    "width": number(self.width - 2 * EDGE),
                    "height": number(block.height + inset * 1.6),
                    "fill": "none",
                    **_PENS["line"],
                },
            )
        self._y = top + block.height + 4 + inset * 0.8

    def legend(self, rows: Sequence[tuple[Fill, Text]]) -> None:
        """Explain fills: a swatch and its meaning, one a line."""
        self._close()
        for fill, text in rows:
            swatch = 44.0
            block = _Block.of(words(text), self.width - 2 * EDGE - swatch - 12, FONT)
            self._y += 5
            ET.SubElement(
                self._shapes,
                "rect",
                {
                    "x": number(EDGE + 1),
                    "y": number(self._y),
                    "width": number(swatch - 2),
                    "height": number(FONT * LINE_HEIGHT),
                    **self._fill(fill),
                    **_PENS["line"],
                },
            )
            self._write(block, EDGE + swatch + 10, self._y, "start")
            self._y += block.height + 3

    def _scale_bar(self, view: View) -> None:
        top = self._y + 4
        said: list[tuple[float, str]] = []
        for system, (length, text) in (
            ("us", _bar(view.per_metre, _US_BARS)),
            ("si", _bar(view.per_metre, _SI_BARS)),
        ):
            px = length * view.per_metre
            y = top + 14
            group = ET.SubElement(self._shapes, "g", {"class": f"{system} scale"})
            x = EDGE + 2
            ET.SubElement(
                group,
                "path",
                {
                    "class": "scale-bar",
                    "d": f"M{number(x)},{number(y - 6)}v12m0,-6h{number(px)}m0,-6v12",
                    "data-si": f"{length:.9g}",
                    "data-px": number(px),
                    "fill": "none",
                    **_PENS["line"],
                },
            )
            self._text_line(text, x + px + 8, top, "start", system, FONT, extra=" scale")
            said.append((length, text))
        (us_length, us), (_, metric) = said
        self.scales.append(("scale bar", Measure(us_length, us, metric)))
        sentence: Text = "Drawn to scale."
        if view.stretch != 1:
            times = f"{view.stretch:g}"
            sentence = f"Lengths to scale. Height drawn ×{times}."
            self.scales.append(("height drawn so many times", Measure(view.stretch, times, times)))
        x = EDGE + 2 + 160 + 75
        block = _Block.of(words(sentence), self.width - EDGE - x, FONT)
        self._write(block, x, top, "start", extra=" scale")
        self._y = top + max(block.height, FONT * LINE_HEIGHT) + 6

    # ---- text --------------------------------------------------------------------------------

    def _text_line(
        self,
        text: str,
        x: float,
        top: float,
        align: str,
        system: str,
        size: float,
        *,
        bold: bool = False,
        extra: str = "",
        parent: ET.Element | None = None,
    ) -> None:
        name = ("" if system == "both" else f"{system} ") + "txt" + extra
        attributes = {
            "class": name,
            "x": number(x),
            "y": number(top + size * 0.95),
            "font-size": number(size),
            "text-anchor": align,
            "fill": "currentColor",
        }
        if bold:
            attributes["font-weight"] = "700"
        element = ET.SubElement(self._texts if parent is None else parent, "text", attributes)
        element.text = text
        wide = text_width(text, size) * (1.06 if bold else 1.0)
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[align]
        self._boxes.append(
            TextBox(left, top, left + wide, top + size * LINE_HEIGHT - 0.01, text, system)
        )

    def _write(
        self,
        block: _Block,
        x: float,
        top: float,
        align: str,
        *,
        bold: bool = False,
        extra: str = "",
        parent: ET.Element | None = None,
    ) -> None:
        systems = (
            (("both", block.us),)
            if block.us == block.si
            else (
                ("us", block.us),
                ("si", block.si),
            )
        )
        for system, lines in systems:
            for index, line in enumerate(lines):
                self._text_line(
                    line,
                    x,
                    top + index * block.size * LINE_HEIGHT,
                    align,
                    system,
                    block.size,
                    bold=bold,
                    extra=extra,
                    parent=parent,
                )

    def text_boxes(self, system: str | None = None) -> list[TextBox]:
        """Return the estimated boxes of all texts; with `system` (`us`, `si`), those it shows."""
        self._close()
        return [box for box in self._boxes if system is None or box.system in (system, "both")]

    def spots(self) -> list[SpotBox]:
        """Return the regions to point at, in the order of their letters."""
        return list(self._spots)

    def _place(self) -> None:
        """Put all waiting labels where they fit best."""
        queue = sorted(self._queue, key=lambda label: label.rank)
        self._queue = []
        for label in queue:
            self._place_one(label)

    def _place_one(self, label: _Label) -> None:
        size = label.size
        widths = [label.width]
        if label.width > 130:
            widths.append(130.0)
        best: tuple[float, Box, str, _Block] | None = None
        taken = [box.box for box in self._boxes] + self._keep_off
        segments = [(a, b, _around(a, b)) for a, b in self._segments]
        for extra, width in enumerate(widths):
            width = max(width, _longest_word(label.text, size))
            block = _Block.of(label.text, width, size)
            wide, high = block.width * (1.06 if label.bold else 1.0), block.height
            if extra and block.height == _Block.of(label.text, widths[0], size).height:
                continue
            for aim, toward, cost in label.candidates:
                for box, align in _boxes_at(aim, toward, wide, high):
                    if not _inside(box, label.bounds):
                        continue
                    if _any_near(box, taken):
                        continue
                    # costs only ever add up, so a place that is no better already is left at once
                    most = math.inf if best is None else best[0]
                    total = cost + extra * 12
                    if total >= most:
                        continue
                    total += 26 * _hits((box[0] - 2, box[1] - 1, box[2] + 2, box[3] + 1), segments)
                    if total >= most:
                        continue
                    if toward != (0.0, 0.0):
                        total += 14 * sum(_covers(area, box) for area in self._dense)
                        total += label.body_cost * sum(_covers(body, box) for body in self._bodies)
                        if total >= most:
                            continue
                    lead = _nearest(box, label.anchor)
                    if label.leader and math.dist(lead, label.anchor) > 16:
                        if any(
                            _segment_hits(other, lead, label.anchor)
                            for other in taken
                            if not _inside((*label.anchor, *label.anchor), other)
                        ):
                            continue
                        total += 5 * _crossed(segments, lead, label.anchor)
                    if best is None or total < best[0] - 1e-9:
                        best = (total, box, align, block)
        if best is None:
            self._place_in_key(label)
            return
        _, box, align, block = best
        lead = _nearest(box, label.anchor)
        if label.leader and math.dist(lead, label.anchor) > 16:
            self._leader(lead, label.anchor)
        x = {"start": box[0], "middle": (box[0] + box[2]) / 2, "end": box[2]}[align]
        self._write(block, x, box[1], align, bold=label.bold)

    def _leader(self, a: Point, b: Point) -> None:
        group = ET.SubElement(self._shapes, "g", {"class": "leader"})
        ET.SubElement(
            group,
            "path",
            {
                "d": f"M{number(a[0])},{number(a[1])}L{number(b[0])},{number(b[1])}",
                "fill": "none",
                **_PENS["thin"],
            },
        )
        ET.SubElement(
            group,
            "circle",
            {
                "cx": number(b[0]),
                "cy": number(b[1]),
                "r": "2.6",
                "fill": "currentColor",
            },
        )
        self._segments.append((a, b))

    def _place_in_key(self, label: _Label) -> None:
        """No room beside the thing: a mark there, and the text in a line below."""
        self._key += 1
        mark = chr(ord("a") + (self._key - 1) % 26) + ")"
        size = FONT
        wide, high = text_width(mark, size), size * LINE_HEIGHT
        taken = [box.box for box in self._boxes] + self._keep_off
        for ring in range(0, 400, 6):
            for step in range(1 if ring == 0 else 16):
                angle = step * math.pi / 8
                cx = label.anchor[0] + ring * math.cos(angle)
                cy = label.anchor[1] + ring * math.sin(angle)
                box = (cx - wide / 2, cy - high / 2, cx + wide / 2, cy + high / 2)
                if _inside(box, label.bounds) and not any(overlap(box, o, 2.0) for o in taken):
                    if ring > 12:
                        self._leader(_nearest(box, label.anchor), label.anchor)
                    self._text_line(mark, cx, box[1], "middle", "both", size)
                    self._keyed.append((mark, label.text))
                    return
        # Not even room for a mark: the text is still told.
        self._keyed.append(("", label.text))

    # ---- shapes ------------------------------------------------------------------------------

    def _fill(self, fill: Fill) -> dict[str, str]:
        if fill == "none":
            return {"fill": "none"}
        if fill == "paper":
            return {"class": "paper", "fill": "none"}
        if fill == "shade":
            return {"fill": "currentColor", "fill-opacity": "0.16"}
        if fill == "dark":
            return {"fill": "currentColor"}
        self._patterns.add(fill)
        return {"fill": f"url(#{self.ident}-{fill})"}

    def _badge(
        self,
        group: ET.Element,
        centre: Point,
        text: str,
        *,
        filled: bool = False,
        radius: float = 13.0,
    ) -> None:
        """Draw a ring with a short text; the text is part of the ring's group."""
        x, y = centre
        holder = ET.SubElement(group, "g", {"class": "badge filled" if filled else "badge"})
        size = 17.0
        half = max(radius, text_width(text, size) / 2 + 4)
        ET.SubElement(
            holder,
            "rect",
            {
                "class": "badge-ring paper",
                "x": number(x - half),
                "y": number(y - radius),
                "width": number(2 * half),
                "height": number(2 * radius),
                "rx": number(radius),
                "fill": "none",
                **_PENS["line"],
            },
        )
        self._text_line(
            _clean(text),
            x,
            y - size * LINE_HEIGHT / 2,
            "middle",
            "both",
            size,
            bold=True,
            parent=holder,
        )
        self._keep_off.append((x - half, y - radius, x + half, y + radius))

    def to_svg(self) -> str:
        """Return the drawing as one line of SVG; the same drawing gives the same text."""
        height = self.height
        root = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "class": "drawing",
                "id": self.ident,
                "viewBox": f"0 0 {number(self.width)} {number(height)}",
                # A region to point at must stay reachable: the children of an image are not.
                "role": "group" if self._spots else "img",
                "aria-labelledby": f"{self.ident}-title {self.ident}-desc",
                "font-family": "inherit",
                "color": "inherit",
                "stroke-linejoin": "round",
                "stroke-linecap": "round",
            },
        )
        ET.SubElement(root, "title", {"id": f"{self.ident}-title"}).text = _clean(self.title)
        ET.SubElement(root, "desc", {"id": f"{self.ident}-desc"}).text = _clean(self.desc)
        if self._patterns:
            defs = ET.SubElement(root, "defs")
            for name in sorted(self._patterns):
                wide, high, parts = _PATTERNS[name]
                pattern = ET.SubElement(
                    defs,
                    "pattern",
                    {
                        "id": f"{self.ident}-{name}",
                        "width": number(wide),
                        "height": number(high),
                        "patternUnits": "userSpaceOnUse",
                    },
                )
                for tag, attributes in parts:
                    if tag == "path":
                        ET.SubElement(
                            pattern,
                            "path",
                            {
                                "d": attributes["d"],
                                "fill": "none",
                                "stroke": "currentColor",
                                "stroke-width": attributes["width"],
                            },
                        )
                    else:
                        ET.SubElement(pattern, tag, {**attributes, "fill": "currentColor"})
        root.append(self._shapes)
        root.append(self._texts)
        return ET.tostring(root, encoding="unicode")


_FOOT = 0.3048
_INCH = 0.0254
_US_BARS: list[tuple[float, str]] = [
    *((n * _INCH, f"{n} in") for n in (1, 2, 3, 6)),
    *((n * _FOOT, f"{n} ft") for n in (1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500, 1000)),
    *((n * _FOOT, f"{n:,} ft") for n in (2000, 5000, 10000, 20000, 50000)),
]
_SI_BARS: list[tuple[float, str]] = [
    *((n / 1000, f"{n} mm") for n in (10, 20, 50, 100, 200)),
    (0.5, "0.5 m"),
    *((float(n), f"{n} m") for n in (1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500)),
    *((n * 1000.0, f"{n} km") for n in (1, 2, 5, 10, 20)),
]


def _bar(per_metre: float, bars: list[tuple[float, str]]) -> tuple[float, str]:
    """Choose the longest round length that stays within 150 px."""
    fitting = [bar for bar in bars if bar[0] * per_metre <= 150]
    return fitting[-1] if fitting else bars[0]


def _nearest(box: Box, point: Point) -> Point:
    return (min(max(point[0], box[0]), box[2]), min(max(point[1], box[1]), box[3]))


def _covers(shape: Sequence[Point], box: Box) -> bool:
    """Tell whether a corner or the middle of the box lies in the shape."""
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    corners = [(x, y) for x in (box[0], box[2]) for y in (box[1], box[3])]
    for x, y in (middle, *corners):
        odd = False
        for (ax, ay), (bx, by) in itertools.pairwise([*shape, shape[0]]):
            if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
                odd = not odd
        if odd:
            return True
    return False


def _inside(box: Box, bounds: Box) -> bool:
    return (
        box[0] >= bounds[0] - 1e-6
        and box[1] >= bounds[1] - 1e-6
        and box[2] <= bounds[2] + 1e-6
        and box[3] <= bounds[3] + 1e-6
    )


def _boxes_at(aim: Point, toward: Point, wide: float, high: float) -> Iterable[tuple[Box, str]]:
    """Boxes of a text that stands off `aim` in the direction `toward` (a unit vector or zero)."""
    x, y = aim
    top = y - high / 2 + toward[1] * high / 2
    if toward[0] > 0.5:
        yield (x, top, x + wide, top + high), "start"
    elif toward[0] < -0.5:
        yield (x - wide, top, x, top + high), "end"
    else:
        yield (x - wide / 2, top, x + wide / 2, top + high), "middle"


def _ring(anchor: Point, prefer: Sequence[Side]) -> list[tuple[Point, Point, float]]:
    """Places around a point, nearest first, dearer away from the preferred sides."""
    wanted = [_UNIT_VECTORS[side] for side in prefer if side != "on"]
    places: list[tuple[Point, Point, float]] = []
    if "on" in prefer:
        places.append((anchor, (0.0, 0.0), 0.0))
    for radius in (9, 16, 26, 38, 52, 68, 86, 106, 130, 160, 195, 235):
        for step in range(16):
            angle = step * math.pi / 8
            toward = (math.cos(angle), math.sin(angle))
            cost = 0.55 * radius
            if wanted:
                cost += 14 * (1 - max(w[0] * toward[0] + w[1] * toward[1] for w in wanted))
            if "on" in prefer:
                cost += 8
            spot = (anchor[0] + radius * toward[0], anchor[1] + radius * toward[1])
            places.append((spot, toward, cost))
    return places


@dataclass
class View:
    """A band of a canvas with a scale of its own. Points are (x, y) in metres, y up."""

    canvas: Canvas
    per_metre: float
    stretch: float
    origin: Point
    band: Box
    world: Box
    group: ET.Element

    def px(self, point: Point) -> Point:
        """Return where a point of the world stands in the viewBox."""
        return (
            self.origin[0] + point[0] * self.per_metre,
            self.origin[1] - point[1] * self.per_metre * self.stretch,
        )

    def metres(self, px: float) -> float:
        """Return how many metres across a length in the viewBox stands for."""
        return px / self.per_metre

    def _note_path(self, points: Sequence[Point], closed: bool) -> None:
        pairs = list(itertools.pairwise(points))
        if closed and len(points) > 2:
            pairs.append((points[-1], points[0]))
        self.canvas._segments.extend(pairs)

    def _path(
        self,
        points: Sequence[Point],
        *,
        closed: bool,
        pen: Pen,
        fill: Fill,
        name: str | None,
        solid: bool = True,
    ) -> None:
        placed = [self.px(point) for point in points]
        d = "M" + "L".join(f"{number(x)},{number(y)}" for x, y in placed) + ("Z" if closed else "")
        attributes = {"d": d, **self.canvas._fill(fill), **_PENS[pen]}
        if name:
            attributes["class"] = f"{attributes.get('class', '')} {name}".strip()
        ET.SubElement(self.group, "path", attributes)
        if solid and pen != "none":
            self._note_path(placed, closed)

    def line(self, a: Point, b: Point, *, pen: Pen = "line", name: str | None = None) -> None:
        """Draw a straight line."""
        self._path([a, b], closed=False, pen=pen, fill="none", name=name)

    def polyline(
        self, points: Sequence[Point], *, pen: Pen = "line", name: str | None = None
    ) -> None:
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
        self._path(points, closed=True, pen=pen, fill=fill, name=name)
        if fill in ("stripe", "cross", "dots"):
            # Text is hard to read on these.
            self.canvas._dense.append([self.px(point) for point in points])

    def body(self, points: Sequence[Point], *, pen: Pen = "line", fill: Fill = "shade") -> None:
        """Draw a closed shape that hides what is behind it, as a machine does."""
        self._path(points, closed=True, pen="none", fill="paper", name=None)
        self._path(points, closed=True, pen=pen, fill=fill, name=None)
        self.canvas._bodies.append([self.px(point) for point in points])

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

    def circle(
        self, centre: Point, radius: float, *, pen: Pen = "line", fill: Fill = "none"
    ) -> None:
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
        ET.SubElement(self.group, tag, {**shape, **self.canvas._fill(fill), **_PENS[pen]})
        if pen != "none":
            ring = [
                (x + rx * math.cos(k * math.pi / 6), y + ry * math.sin(k * math.pi / 6))
                for k in range(12)
            ]
            self._note_path(ring, True)

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
    ) -> None:
        """Draw a dimension line from `a` to `b`, `offset` px to the left of that direction.

        Where `text` is a `Measure`, or `measure` is given, its value must be the length drawn:
        a dimension that tells another length than the drawing raises `ValueError`.
        """
        measure = text if isinstance(text, Measure) else measure
        length = math.dist(a, b)
        if measure is not None and abs(length - measure.si) > HONEST * abs(measure.si):
            raise ValueError(
                f"drawing {self.canvas.ident!r}: {measure.us} is {measure.si:.6g} m, "
                f"but {length:.6g} m is drawn"
            )
        pa, pb = self.px(a), self.px(b)
        span = math.dist(pa, pb)
        if span == 0:
            raise ValueError(f"drawing {self.canvas.ident!r}: a dimension without length")
        ux, uy = (pb[0] - pa[0]) / span, (pb[1] - pa[1]) / span
        nx, ny = uy, -ux
        qa = (pa[0] + nx * offset, pa[1] + ny * offset)
        qb = (pb[0] + nx * offset, pb[1] + ny * offset)
        attributes = {"class": "dimension"}
        if measure is not None:
            attributes["data-si"] = f"{measure.si:.9g}"
            attributes["data-ends"] = " ".join(number(v) for v in (*qa, *qb))
        group = ET.SubElement(self.group, "g", attributes)
        if abs(offset) > 1:
            sign = math.copysign(1.0, offset)
            for p, q in ((pa, qa), (pb, qb)):
                start = (p[0] + nx * 3 * sign, p[1] + ny * 3 * sign)
                stop = (q[0] + nx * 5 * sign, q[1] + ny * 5 * sign)
                self._thin(group, start, stop)
        tail = 0.0
        if span >= 30:
            self._thin(group, qa, qb)
            self._arrow(group, qa, (-ux, -uy))
            self._arrow(group, qb, (ux, uy))
        else:
            # Too short for two heads: they point inward from outside.
            tail = 18.0
            self._thin(group, (qa[0] - ux * tail, qa[1] - uy * tail), qa)
            self._thin(group, qb, (qb[0] + ux * tail, qb[1] + uy * tail))
            self._arrow(group, qa, (ux, uy))
            self._arrow(group, qb, (-ux, -uy))
        candidates: list[tuple[Point, Point, float]] = []
        outward = 1.0 if offset >= 0 else -1.0
        for share in (0.5, 0.38, 0.62, 0.25, 0.75, 0.1, 0.9):
            base = (qa[0] + (qb[0] - qa[0]) * share, qa[1] + (qb[1] - qa[1]) * share)
            for sign in (outward, -outward):
                toward = (nx * sign, ny * sign)
                for gap in (5.0, 9.0, 18.0):
                    cost = 30 * abs(share - 0.5) + gap * 0.6 + (0 if sign == outward else 6)
                    if prefer is not None and prefer != "on":
                        want = _UNIT_VECTORS[prefer]
                        cost += 14 * (1 - (want[0] * toward[0] + want[1] * toward[1]))
                    candidates.append(
                        (
                            (base[0] + toward[0] * gap, base[1] + toward[1] * gap),
                            _round_direction(toward),
                            cost,
                        )
                    )
        for end, sign in ((qa, -1.0), (qb, 1.0)):
            toward = (ux * sign, uy * sign)
            asked = prefer is not None and prefer != "on" and _UNIT_VECTORS[prefer] == _round_direction(toward)
            for gap in (tail + 5, tail + 14):
                candidates.append(
                    (
                        (end[0] + toward[0] * gap, end[1] + toward[1] * gap),
                        _round_direction(toward),
                        (0 if asked else 16) + gap * 0.4,
                    )
                )
        middle = ((qa[0] + qb[0]) / 2, (qa[1] + qb[1]) / 2)
        candidates += [(p, t, cost + 40) for p, t, cost in _ring(middle, ())]
        self.canvas._queue.append(
            _Label(
                text=words(text),
                candidates=candidates,
                anchor=middle,
                bounds=self.band,
                size=FONT,
                width=width,
                leader=span < 60,
                bold=False,
                rank=rank,
                body_cost=6.0,
            )
        )

    def _thin(self, group: ET.Element, a: Point, b: Point) -> None:
        ET.SubElement(
            group,
            "path",
            {
                "d": f"M{number(a[0])},{number(a[1])}L{number(b[0])},{number(b[1])}",
                "fill": "none",
                **_PENS["thin"],
            },
        )
        self.canvas._segments.append((a, b))

    def _arrow(self, group: ET.Element, tip: Point, toward: Point) -> None:
        ux, uy = toward
        back = (tip[0] - ux * 10, tip[1] - uy * 10)
        left = (back[0] - uy * 3.4, back[1] + ux * 3.4)
        right = (back[0] + uy * 3.4, back[1] - ux * 3.4)
        d = "M" + "L".join(f"{number(x)},{number(y)}" for x, y in (tip, left, right)) + "Z"
        ET.SubElement(group, "path", {"d": d, "fill": "currentColor", "stroke": "none"})

    def arrow(self, a: Point, b: Point, *, pen: Pen = "bold") -> None:
        """Draw an arrow from `a` to `b`, such as a way of travel."""
        self.arrow_path([a, b], pen=pen)

    def arrow_path(self, points: Sequence[Point], *, pen: Pen = "bold") -> None:
        """Draw an arrow along points; the head stands at the last one."""
        placed = [self.px(point) for point in points]
        (ax, ay), (bx, by) = placed[-2], placed[-1]
        span = math.hypot(bx - ax, by - ay) or 1.0
        ux, uy = (bx - ax) / span, (by - ay) / span
        size = 13.0
        back = (bx - ux * size, by - uy * size)
        shaft = [
            *placed[:-1],
            (bx - ux * min(size * 0.8, span), by - uy * min(size * 0.8, span)),
        ]
        d = "M" + "L".join(f"{number(x)},{number(y)}" for x, y in shaft)
        group = ET.SubElement(self.group, "g", {"class": "arrow"})
        ET.SubElement(group, "path", {"d": d, "fill": "none", **_PENS[pen]})
        head = (
            (bx, by),
            (back[0] - uy * 6.5, back[1] + ux * 6.5),
            (back[0] + uy * 6.5, back[1] - ux * 6.5),
        )
        d = "M" + "L".join(f"{number(x)},{number(y)}" for x, y in head) + "Z"
        ET.SubElement(group, "path", {"d": d, "fill": "currentColor", "stroke": "none"})
        self._note_path(placed, False)

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
            raise ValueError(
                f"drawing {self.canvas.ident!r}: {measure.us} is {measure.si:.6g} rad, "
                f"but {abs(end - start):.6g} rad is drawn"
            )
        if self.stretch != 1:
            raise ValueError(
                f"drawing {self.canvas.ident!r}: no angle can be shown where heights are stretched"
            )
        metres = self.metres(radius)
        self.arc(vertex, metres, start, end, pen="thin")
        middle = (start + end) / 2
        point = (
            vertex[0] + metres * math.cos(middle),
            vertex[1] + metres * math.sin(middle),
        )
        placed = self.px(point)
        out = (math.cos(middle), -math.sin(middle))
        candidates = [
            (
                (placed[0] + out[0] * gap, placed[1] + out[1] * gap),
                _round_direction(out),
                gap * 0.5,
            )
            for gap in (7.0, 14.0, 24.0)
        ]
        candidates += [(p, t, cost + 6) for p, t, cost in _ring(placed, prefer)]
        self.canvas._queue.append(
            _Label(
                text=words(text),
                candidates=candidates,
                anchor=placed,
                bounds=self.band,
                size=FONT,
                width=200.0,
                leader=True,
                bold=False,
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
        self.canvas._queue.append(
            _Label(
                text=words(text),
                candidates=_ring(anchor, prefer),
                anchor=anchor,
                bounds=self.band,
                size=FONT,
                width=width,
                leader=leader,
                bold=bold,
                rank=rank,
                body_cost=200.0 if clear else 24.0,
            )
        )

    def fixed_text(self, point: Point, text: Text, *, bold: bool = False) -> None:
        """Write a text that starts at `point` and hangs below it, wherever other texts may be."""
        x, y = self.px(point)
        block = _Block.of(words(text), self.band[2] - x, FONT)
        self.canvas._write(block, x, y, "start", bold=bold)

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
        d = "M" + "L".join(f"{number(x)},{number(y)}" for x, y in corners) + "Z"
        ET.SubElement(
            self.group,
            "path",
            {
                "class": "bar",
                "d": d,
                "data-si": f"{measure.si:.9g}",
                "data-px": number(length),
                **self.canvas._fill(fill),
                **_PENS["line"],
            },
        )
        self._note_path(corners, True)

    def badge(self, point: Point, text: str, *, filled: bool = False) -> None:
        """Draw a number or letter in a ring, such as the order of passes."""
        x, y = self.px(point)
        self.canvas._badge(self.group, (x, y), text, filled=filled)

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
                **_PENS["line"],
            },
        )
        for sx, sy in ((1, -1), (-1, 1)):
            sweep = 1 if sx * sy > 0 else 0
            d = (
                f"M{number(x)},{number(y)}L{number(x + sx * r)},{number(y)}"
                f"A{number(r)},{number(r)} 0 0 {sweep} {number(x)},{number(y + sy * r)}Z"
            )
            ET.SubElement(group, "path", {"d": d, "fill": "currentColor", "stroke": "none"})
        self.canvas._keep_off.append((x - r, y - r, x + r, y + r))

    def weight_line(self, point: Point, foot: float) -> None:
        """Draw the line of the weight, straight down from `point` to the height `foot`."""
        self.arrow(point, (point[0], foot), pen="bold")

    def spot(self, ident: str, name: str, points: Sequence[Point]) -> None:
        """Draw a region to point at: an outline, never smaller than a thumb, and a letter.

        `points` is a shape in metres, or one point. The letters run from A, so the same question
        can be answered on paper. `name` is read out. Where two regions would cover each other, the
        later one moves aside, and a line leads to what it means. Raises `ValueError` for an id used
        twice, and where there is no room left.
        """
        canvas = self.canvas
        if any(other.ident == ident for other in canvas._spots):
            raise ValueError(f"drawing {canvas.ident!r}: two regions are called {ident!r}")
        letter = chr(ord("A") + len(canvas._spots))
        placed = [self.px(point) for point in points]
        xs, ys = [p[0] for p in placed], [p[1] for p in placed]
        target = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        half_x = max((max(xs) - min(xs)) / 2, SPOT / 2)
        half_y = max((max(ys) - min(ys)) / 2, SPOT / 2)
        cx, cy = self._room_for_spot(ident, target, half_x, half_y)
        if (cx, cy) != target:
            half_x = half_y = SPOT / 2
            cx, cy = self._room_for_spot(ident, target, half_x, half_y)
        box = (cx - half_x, cy - half_y, cx + half_x, cy + half_y)
        if math.dist((cx, cy), target) > 1:
            canvas._leader((cx, cy), target)
        group = ET.SubElement(self.group, "g", {"class": "spot", "data-spot": ident})
        ET.SubElement(group, "title").text = _clean(f"{letter}: {name}")
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
                **_PENS["dash"],
            },
        )
        canvas._badge(group, (cx, cy), letter, filled=True, radius=16.0)
        canvas._spots.append(SpotBox(ident, letter, box))
        canvas._bodies.append(
            [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]
        )

    def _room_for_spot(self, ident: str, target: Point, half_x: float, half_y: float) -> Point:
        for radius in range(0, 400, 8):
            for step in range(1 if radius == 0 else 16):
                angle = -math.pi / 2 + step * math.pi / 8
                x = target[0] + radius * math.cos(angle)
                y = target[1] + radius * math.sin(angle)
                box = (x - half_x, y - half_y, x + half_x, y + half_y)
                if _inside(box, self.band) and not any(
                    overlap(box, other.box, 3.0) for other in self.canvas._spots
                ):
                    return (x, y)
        raise ValueError(f"drawing {self.canvas.ident!r}: no room for the region {ident!r}")


def _round_direction(toward: Point) -> Point:
    """Snap a direction a little, so that text beside a steep line is set off sideways."""
    x, y = toward
    return (x if abs(x) > 0.25 else 0.0, y if abs(y) > 0.25 else 0.0)
