"""A small SVG canvas: drawings to scale, with labels that never cover each other.

A `Canvas` is a column of bands: views, notes, legends. Each view prints its scale bar in both unit
systems, and where its heights are stretched the drawing says so in words. Labels are queued and
placed when the band is finished, so that they keep clear of each other and, as far as they can, of
the lines.

Lengths named `px` are units of the viewBox.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from generator.drawing.board import Board
from generator.drawing.boxes import WIDTH, Box, SpotBox, System, TextBox
from generator.drawing.errors import DrawingRefused
from generator.drawing.measure import Measure, Text, in_language, words
from generator.drawing.svg import PENS, Fill, add_patterns, clean, number
from generator.drawing.text import FONT, LINE_HEIGHT, Block, boldness
from generator.drawing.view import Seen, View
from generator.units.quantity import shown
from generator.units.writing import pointed

EDGE = 4.0
"""Room left free along each edge of a drawing."""

_FOOT = 0.3048
_INCH = 0.0254
_BARS: dict[System, list[tuple[float, str]]] = {
    "us": [
        *((_INCH / n, f"1/{n} in") for n in (16, 8, 4, 2)),
        *((n * _INCH, f"{n} in") for n in (1, 2, 3, 6)),
        *((n * _FOOT, f"{n} ft") for n in (1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500, 1000)),
        *((n * _FOOT, f"{n} ft") for n in (2000, 5000, 10000, 20000, 50000)),
    ],
    "si": [
        *((n / 1000, f"{n} mm") for n in (1, 2, 5, 10, 20, 50, 100, 200)),
        (0.5, "0.5 m"),
        *((float(n), f"{n} m") for n in (1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500)),
        *((n * 1000.0, f"{n} km") for n in (1, 2, 5, 10, 20)),
    ],
}


def _bar(per_metre: float, bars: list[tuple[float, str]]) -> tuple[float, str]:
    """Choose the longest round length that stays within 150 px."""
    fitting = [bar for bar in bars if bar[0] * per_metre <= 150]
    length, text = fitting[-1] if fitting else bars[0]
    digits, _, unit = text.partition(" ")
    return length, text if "/" in digits else shown(Decimal(digits), unit)


def _facts_of(per_metre: float, stretch: float, seen: Seen, way: str, scale: str) -> dict[str, str]:
    """Return what a view's group says of itself, for whoever measures the picture.

    `data-scale` is in units of the viewBox a metre, `data-scale-y` that of heights where they
    differ. Bars and sketches have none of it: nothing in them is a metre.
    """
    facts = {"class": "view", "data-seen": seen}
    if scale == "drawn":
        facts["data-scale"] = f"{per_metre:.9g}"
        if stretch != 1:
            facts["data-scale-y"] = f"{per_metre * stretch:.9g}"
    if way:
        facts["data-way"] = way
    return facts


@dataclass
class Canvas:
    """One drawing.

    `ident` must be unlike that of any other drawing on the page: it begins every id in the
    drawing. `title` is the short name, `desc` tells in words what the drawing shows; both are read
    out by screen readers. `scales` are the figures the canvas prints of itself, once it is written
    out: what each is, its length or factor, and its text. `way` says that the drawing shows the
    right way, or a wrong one, which the laws of scenes leave alone. A `steady` canvas keeps the room
    of its bands whatever the labels need, as the steps of one film do; what follows
    `key_starts` explains all of them, and is shown once.
    """

    ident: str
    title: str
    desc: str
    width: float = WIDTH
    way: Literal["", "right", "wrong"] = ""
    steady: bool = False
    key_from: float | None = None
    views: list[View] = field(default_factory=list)
    scales: list[tuple[str, Measure]] = field(default_factory=list)

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_-]*", self.ident):
            raise DrawingRefused(f"a drawing's id needs a letter, then letters, digits, '-' or '_': {self.ident!r}")
        if not self.title.strip() or not self.desc.strip():
            raise DrawingRefused(f"drawing {self.ident!r} needs a title and a description in words")
        self._y = EDGE
        self._board = Board(self.ident)
        self._open: tuple[View, str] | None = None

    # ---- bands -------------------------------------------------------------------------------

    @property
    def height(self) -> float:
        """Height of the viewBox so far."""
        self._close()
        return self._y + EDGE

    def key_starts(self) -> None:
        """Say that what follows is the key to the picture: legends and notes."""
        self._close()
        self.key_from = self._y

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
        seen: Seen = "side",
        way: Literal["", "right", "wrong"] = "",
    ) -> View:
        """Open a band that shows `world` (left, low, right, high; metres).

        `pad` is room for labels at the left, top, right and bottom (px). The scale is the largest
        at which the world fits the width and `max_height`. With `like`, the scale of that view is
        used, so that two views can be compared. `scale="bars"` is for bars whose length stands for
        something else than metres; `"none"` is for a sketch, and the drawing says so. `seen` is the
        way the view looks, and `way` that it shows the right way or a wrong one.
        """
        self._close()
        x0, y0, x1, y1 = world
        if not (x1 > x0 and y1 > y0):
            raise DrawingRefused(f"drawing {self.ident!r}: an empty world {world!r}")
        left, top, right, bottom = pad
        room = self.width - 2 * EDGE - left - right
        per_metre = min(room / (x1 - x0), max_height / ((y1 - y0) * stretch))
        if like is not None:
            per_metre, stretch = like.per_metre, like.stretch
        spare = room - per_metre * (x1 - x0)
        if spare < -0.01:
            raise DrawingRefused(f"drawing {self.ident!r}: a view is too wide for the other's scale")
        depth = per_metre * stretch * (y1 - y0)
        view = View(
            board=self._board,
            per_metre=per_metre,
            stretch=stretch,
            origin=(
                EDGE + left + spare / 2 - x0 * per_metre,
                self._y + top + y1 * per_metre * stretch,
            ),
            band=(EDGE, self._y, self.width - EDGE, self._y + top + depth + bottom),
            world=world,
            group=ET.SubElement(
                self._board.shapes,
                "g",
                _facts_of(per_metre, stretch, seen, way, scale),
            ),
        )
        self.views.append(view)
        self._y = view.band[3]
        self._open = (view, scale)
        return view

    def _close(self) -> None:
        """End the band that is open: place its labels, cut empty room under it, tell its scale."""
        self._board.place_labels()
        if self._open is None:
            return
        view, scale = self._open
        self._open = None
        floor = view.px((0, view.world[1]))[1]
        if not self.steady:
            self._y = min(self._y, max(self._board.taken.bottom, floor) + 6)
        if scale == "drawn":
            self._scale_bar(view)
        elif scale == "none":
            self.note("A sketch, not to scale.")
        for line in self._board.take_key():
            self.note(line)

    def note(self, text: Text, *, bold: bool = False, boxed: bool = False) -> None:
        """Write a line of text under what is drawn so far; it wraps."""
        self._close()
        inset = 10.0 if boxed else 0.0
        room = (self.width - 2 * EDGE - 2 * inset) / boldness(bold)
        block = Block.of(words(text), room)
        top = self._y + 4 + inset * 0.8
        self._board.write(block, EDGE + inset, top, bold=bold)
        if boxed:
            ET.SubElement(
                self._board.shapes,
                "rect",
                {
                    "x": number(EDGE),
                    "y": number(self._y + 4),
                    "width": number(self.width - 2 * EDGE),
                    "height": number(block.height + inset * 1.6),
                    "fill": "none",
                    **PENS["line"],
                },
            )
        self._y = top + block.height + 4 + inset * 0.8

    def legend(self, rows: Sequence[tuple[Fill, Text]]) -> None:
        """Explain fills: a swatch and its meaning, one a line."""
        self._close()
        for fill, text in rows:
            swatch = 44.0
            block = Block.of(words(text), self.width - 2 * EDGE - swatch - 12)
            self._y += 5
            ET.SubElement(
                self._board.shapes,
                "rect",
                {
                    "x": number(EDGE + 1),
                    "y": number(self._y),
                    "width": number(swatch - 2),
                    "height": number(FONT * LINE_HEIGHT),
                    **self._board.fill(fill),
                    **PENS["line"],
                },
            )
            self._board.write(block, EDGE + swatch + 10, self._y)
            self._y += block.height + 3

    def _scale_bar(self, view: View) -> None:
        top = self._y + 4
        said: list[tuple[float, str]] = []
        for system, bars in _BARS.items():
            length, text = _bar(view.per_metre, bars)
            px = length * view.per_metre
            y = top + 14
            group = ET.SubElement(self._board.shapes, "g", {"class": f"{system} scale"})
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
                    **PENS["line"],
                },
            )
            self._board.write_line(text, x + px + 8, top, system=system, extra="scale")
            said.append((length, text))
        (us_length, us), (_, metric) = said
        self.scales.append(("scale bar", Measure(us_length, us, metric)))
        sentence: Text = "Drawn to scale."
        if view.stretch != 1:
            times = pointed(f"{view.stretch:g}")
            sentence = f"Lengths to scale. Height drawn ×{times}."
            self.scales.append(("height drawn so many times", Measure(view.stretch, times, times)))
        x = EDGE + 2 + 160 + 75
        block = Block.of(words(sentence), self.width - EDGE - x)
        self._board.write(block, x, top, extra="scale")
        self._y = top + max(block.height, FONT * LINE_HEIGHT) + 6

    # ---- the whole ---------------------------------------------------------------------------

    def text_boxes(self, system: str | None = None) -> list[TextBox]:
        """Return the estimated boxes of all texts; with `system` (`us`, `si`), those it shows."""
        self._close()
        texts = self._board.taken.texts
        return [box for box in texts if system is None or box.system in (system, "both")]

    def spots(self) -> list[SpotBox]:
        """Return the regions to point at, in the order of their letters."""
        return list(self._board.spots)

    def _whole_scale(self) -> dict[str, str]:
        """The scale of the first view; each view repeats its own, which goes before this one."""
        for view in self.views:
            if "data-scale" in view.group.attrib:
                return {k: v for k, v in view.group.attrib.items() if k.startswith("data-scale")}
        return {}

    def to_svg(self) -> str:
        """Return the drawing as one line of SVG; the same drawing gives the same text."""
        return ET.tostring(self.element(), encoding="unicode")

    def element(self) -> ET.Element:
        """Return the drawing as an element; its names stand without their namespace."""
        height = self.height
        root = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "class": "drawing",
                "id": self.ident,
                "viewBox": f"0 0 {number(self.width)} {number(height)}",
                # A region to point at must stay reachable: the children of an image are not.
                "role": "group" if self._board.spots else "img",
                "aria-labelledby": f"{self.ident}-title {self.ident}-desc",
                **self._whole_scale(),
                **({"data-way": self.way} if self.way else {}),
                "font-family": "inherit",
                "color": "inherit",
                "stroke-linejoin": "round",
                "stroke-linecap": "round",
            },
        )
        ET.SubElement(root, "title", {"id": f"{self.ident}-title"}).text = clean(in_language(self.title))
        ET.SubElement(root, "desc", {"id": f"{self.ident}-desc"}).text = clean(in_language(self.desc))
        add_patterns(root, self.ident, self._board.patterns)
        root.append(self._board.shapes)
        root.append(self._board.texts)
        return root
