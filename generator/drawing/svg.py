"""How a drawing is written as SVG: coordinates, pens, fills, and the few shapes all parts share.

Everything is in `currentColor`, so light, dark and print need nothing more.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import Literal

from generator.drawing.boxes import Point

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

PENS: dict[Pen, dict[str, str]] = {
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

_FLAT: dict[Fill, dict[str, str]] = {
    "none": {"fill": "none"},
    "paper": {"class": "paper", "fill": "none"},
    "shade": {"fill": "currentColor", "fill-opacity": "0.16"},
    "dark": {"fill": "currentColor"},
}

# Width and height of a tile, and what is on it.
_PATTERNS: dict[Fill, tuple[float, float, list[tuple[str, dict[str, str]]]]] = {
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

_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def stylesheet() -> str:
    """Return the CSS rules for the drawings: paper behind text, what a spot looks like."""
    return (Path(__file__).parent / "drawing.css").read_text(encoding="utf-8")


@lru_cache(maxsize=1 << 14)  # four of five coordinates were written a moment ago
def number(value: float) -> str:
    """Write a coordinate: two decimals at most, no trailing zeros, never a negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def clean(text: str) -> str:
    """Put a mark in place of every character that XML cannot hold."""
    return _NOT_XML.sub("\ufffd", text)


def through(points: Iterable[Point], *, closed: bool = False) -> str:
    """Write the `d` of a path that runs straight from point to point."""
    return "M" + "L".join([f"{number(x)},{number(y)}" for x, y in points]) + ("Z" if closed else "")


def thin_line(group: ET.Element, a: Point, b: Point) -> None:
    """Add a thin straight line."""
    ET.SubElement(group, "path", {"d": through([a, b]), "fill": "none", **PENS["thin"]})


def arrow_head(group: ET.Element, tip: Point, toward: Point, *, length: float, half: float) -> None:
    """Add a filled arrow head that points `toward` (a unit vector), `half` wide to each side."""
    ux, uy = toward
    back = (tip[0] - ux * length, tip[1] - uy * length)
    left = (back[0] - uy * half, back[1] + ux * half)
    right = (back[0] + uy * half, back[1] - ux * half)
    d = through([tip, left, right], closed=True)
    ET.SubElement(group, "path", {"d": d, "fill": "currentColor", "stroke": "none"})


def is_pattern(fill: Fill) -> bool:
    """Tell whether a fill is a pattern, which has to be written into the drawing once."""
    return fill not in _FLAT


def fill_of(fill: Fill, ident: str) -> dict[str, str]:
    """Return the attributes of a fill in the drawing called `ident`."""
    return dict(_FLAT[fill]) if fill in _FLAT else {"fill": f"url(#{ident}-{fill})"}


def add_patterns(root: ET.Element, ident: str, fills: Iterable[Fill]) -> None:
    """Write the patterns that the drawing called `ident` fills shapes with."""
    names = sorted(fills)
    if not names:
        return
    defs = ET.SubElement(root, "defs")
    for name in names:
        wide, high, parts = _PATTERNS[name]
        pattern = ET.SubElement(
            defs,
            "pattern",
            {
                "id": f"{ident}-{name}",
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
