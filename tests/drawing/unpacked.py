"""A packed film taken apart by a reader of its own, which asks nothing of the code that packs.

It knows SVG's rules for `use` only: what is named by `href` is drawn there, moved by `x` and `y` and by
`transform`.
"""

from __future__ import annotations

import copy
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]
_NUMBER = r"(-?[\d.]+(?:e-?\d+)?)"


def steps(svg: str) -> list[ET.Element]:
    """Each step of a film as an SVG of its own, without a `use` in it."""
    root = ET.fromstring(svg)
    named = {e.attrib["id"]: e for e in root.iter() if "id" in e.attrib}
    out = []
    for step in (e for e in root.iter(f"{SVG}g") if "data-step" in e.attrib):
        alone = ET.Element(f"{SVG}svg", {k: v for k, v in root.attrib.items() if k != "viewBox"})
        alone.append(_whole(step, named))
        out.append(alone)
    return out


def _whole(element: ET.Element, named: dict[str, ET.Element]) -> ET.Element:
    if element.tag != f"{SVG}use":
        made = ET.Element(element.tag, element.attrib)
        made.text = element.text
        made.extend(_whole(child, named) for child in element)
        return made
    made = _whole(copy.deepcopy(named[element.attrib["href"].removeprefix("#")]), named)
    _moved(made, _transform(element))
    return made


def _transform(use: ET.Element) -> Callable[[Point], Point]:
    """What a `use` does to a point: first `x` and `y`, then its `transform`, the last part of it first."""
    x, y = float(use.get("x", 0)), float(use.get("y", 0))
    parts = re.findall(r"(\w+)\(([^)]*)\)", use.get("transform", ""))

    def at(point: Point) -> Point:
        px, py = point[0] + x, point[1] + y
        for name, arguments in reversed(parts):
            numbers = [float(n) for n in re.findall(_NUMBER, arguments)]
            if name == "translate":
                px, py = px + numbers[0], py + numbers[1]
            elif name == "rotate":
                assert len(numbers) == 1
                c, s = math.cos(math.radians(numbers[0])), math.sin(math.radians(numbers[0]))
                px, py = c * px - s * py, s * px + c * py
            else:
                raise AssertionError(name)
        return px, py

    return at


def _moved(element: ET.Element, at: Callable[[Point], Point]) -> None:
    if at((0.0, 0.0)) == (0.0, 0.0) and at((1.0, 0.0)) == (1.0, 0.0):
        return
    for e in element.iter():
        if e.tag == f"{SVG}path":
            letters = re.sub(r"[-\d.,e]+", "", e.attrib["d"])
            assert set(letters) <= set("MLZ"), "only straight lines can be moved"
            e.set(
                "d",
                re.sub(rf"{_NUMBER},{_NUMBER}", lambda pair: "{:.4f},{:.4f}".format(*at((float(pair[1]), float(pair[2])))), e.attrib["d"]),
            )
        for a, b in (("cx", "cy"), ("x", "y")):
            if a in e.attrib:
                moved = at((float(e.attrib[a]), float(e.attrib[b])))
                e.set(a, f"{moved[0]:.4f}")
                e.set(b, f"{moved[1]:.4f}")


def same(a: ET.Element, b: ET.Element, within: float = 0.05) -> str:
    """How two drawings differ beyond so many units of the viewBox, as a person sees them; empty where they do not.

    Groups without a word of their own and ids do not count.
    """
    ours, theirs = list(_seen(a)), list(_seen(b))
    if len(ours) != len(theirs):
        return f"{len(ours)} things, not {len(theirs)}"
    for one, other in zip(ours, theirs, strict=True):
        if one[0] != other[0]:
            return f"{one[0]} in place of {other[0]}"
        if len(one[1]) != len(other[1]) or any(abs(p - q) > within for p, q in zip(one[1], other[1], strict=True)):
            return f"{one} in place of {other}"
    return ""


_COORDINATES = ("d", "x", "y", "cx", "cy")


def _seen(element: ET.Element) -> list[tuple[str, list[float]]]:
    """All that is in a drawing, in its order: what it is, and its coordinates."""
    out = []
    explains = {id(e) for defs in element.iter(f"{SVG}defs") for e in defs.iter()}
    for e in element.iter():
        if id(e) in explains:
            continue
        tag = e.tag.removeprefix(SVG)
        kept = {k: v for k, v in e.attrib.items() if k not in (*_COORDINATES, "id", "data-run", "data-step", "data-says", "data-says-si")}
        if "class" in kept:
            kept["class"] = " ".join(name.removesuffix("-step") for name in kept["class"].split())
        if tag in ("svg", "title", "desc") or (tag == "g" and not kept):
            continue
        numbers = [float(n) for name in _COORDINATES if name in e.attrib for n in re.findall(r"-?\d+(?:\.\d+)?", e.attrib[name])]
        letters = re.sub(r"[-\d.]+", "", e.get("d", ""))
        out.append((f"{tag} {sorted(kept.items())} {letters} {e.text or ''}", numbers))
    return out
