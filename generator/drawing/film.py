"""A scene in steps: one drawing for each step of the work, packed into one SVG.

A `Film` is made of whole drawings, one a step, in one layout: whatever holds for a drawing holds for
each of them. Packed, what several steps show stands once in `<defs>` and is put in by `<use>`: a thing
that only moves from step to step, such as a machine, counts as the same. Step k is the group
`g[data-step="k"]`; its sentence stands on it as `data-says` (and `data-says-si` where the metric one
differs). `frames_of` takes a packed SVG apart again, for whoever measures the picture.
"""

from __future__ import annotations

import copy
import math
import re
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, TooFewSteps
from generator.drawing.measure import Measure, Text, Words, in_language, words
from generator.drawing.svg import number

MOST_FRAMES = 60
"""A film of more steps shows some of them."""
STRIP = 6
"""So many steps stand on paper, and where no script runs."""
GRAIN = 0.03
"""Two shapes are one where no point of them differs by more, in units of the viewBox: coordinates are
written to two decimals, so a thing that moves is written a little differently each time."""

_WORTH = 70
"""An element of fewer characters is written again: a `use` of it would be as long."""
_STRAIGHT = re.compile(r"(?:M-?[\d.]+,-?[\d.]+(?:L-?[\d.]+,-?[\d.]+)*Z?)+")
_PAIR = re.compile(r"(-?[\d.]+),(-?[\d.]+)")
_SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Frame:
    """One step: its drawing, the sentence that goes with it, and the figures the two print."""

    canvas: Canvas
    says: Text
    told: tuple[Measure, ...] = ()

    @property
    def words(self) -> Words:
        """The sentence in both unit systems."""
        return words(self.says)


@dataclass(frozen=True)
class Film:
    """A scene in steps.

    `title` and `desc` are those of the whole, as of a `Canvas`. All frames have the width of the
    first and views of the same size, so that nothing jumps from step to step. Raises `TooFewSteps`
    for fewer than two frames; `DrawingRefused` where they are laid out differently, for more than `MOST_FRAMES`, for a frame without a
    sentence and for one with regions to point at.
    """

    ident: str
    title: str
    desc: str
    frames: Sequence[Frame]
    scales: list[tuple[str, Measure]] = field(default_factory=list)

    def __post_init__(self) -> None:
        count = len(self.frames)
        if count < 2:
            raise TooFewSteps(f"a scene in steps has 2 to {MOST_FRAMES} of them, not {count}")
        if count > MOST_FRAMES:
            raise DrawingRefused(f"a scene in steps has 2 to {MOST_FRAMES} of them, not {count}")
        for frame in self.frames:
            canvas = frame.canvas
            if canvas.ident != self.ident or canvas.spots():
                raise DrawingRefused(f"drawing {self.ident!r}: a step has another id, or regions to point at")
            if not frame.words.us.strip() or not frame.words.metric.strip():
                raise DrawingRefused(f"drawing {self.ident!r}: a step says nothing")
            if _layout(canvas) != _layout(self.frames[0].canvas):
                raise DrawingRefused(f"drawing {self.ident!r}: the steps are laid out differently")

    @property
    def told(self) -> set[Measure]:
        """All figures that its frames print."""
        return {measure for frame in self.frames for measure in frame.told}

    @property
    def picture_box(self) -> str:
        """The viewBox of a step without its key."""
        width, tall, key = self._sizes
        return f"0 0 {number(width)} {number(tall if key is None else key)}"

    @property
    def key_box(self) -> str | None:
        """The viewBox of the key to all steps, if they have one."""
        width, tall, key = self._sizes
        return None if key is None else f"0 {number(key)} {number(width)} {number(tall - key)}"

    @property
    def _sizes(self) -> tuple[float, float, float | None]:
        canvas = self.frames[0].canvas
        return canvas.width, max(frame.canvas.height for frame in self.frames), canvas.key_from

    def to_svg(self) -> str:
        """Return the whole as one line of SVG; the same film gives the same text.

        The last step is shown, as the work then stands finished. The viewBox is that of the picture,
        and `data-whole` that of the picture with its key.
        """
        roots = [frame.canvas.element() for frame in self.frames]
        self.scales.extend(pair for pair in self.frames[-1].canvas.scales if pair not in self.scales)
        _, tall, _ = self._sizes
        root = ET.Element("svg", roots[0].attrib)
        root.set("viewBox", self.picture_box)
        root.set("data-whole", f"0 0 {number(self.frames[0].canvas.width)} {number(tall)}")
        ET.SubElement(root, "title", {"id": f"{self.ident}-title"}).text = in_language(self.title)
        ET.SubElement(root, "desc", {"id": f"{self.ident}-desc"}).text = in_language(self.desc)
        defs = ET.SubElement(root, "defs")
        drawn: set[str] = set()
        for one in roots:
            for pattern in one.findall("defs/pattern"):
                if pattern.attrib["id"] not in drawn:
                    drawn.add(pattern.attrib["id"])
                    defs.append(pattern)
        packer = _Packer(self.ident, [[part for part in one if part.tag == "g"] for one in roots])
        steps = []
        for k, frame in enumerate(self.frames, 1):
            says = {"data-says": frame.words.us}
            if frame.words.metric != frame.words.us:
                says["data-says-si"] = frame.words.metric
            group = ET.Element("g", {"id": f"{self.ident}-s{k}", "data-step": str(k), **says})
            group.extend(packer.packed(k - 1))
            steps.append(group)
        defs.extend(packer.shared)
        defs.extend(steps)
        ET.SubElement(root, "use", {"class": "now", "href": f"#{self.ident}-s{len(steps)}"})
        _rename(root, _ALONE)
        return ET.tostring(root, encoding="unicode")


def picked(count: int, most: int = MOST_FRAMES) -> tuple[list[int], int]:
    """Return which of `count` steps a film shows, counted from 0, and how far they are apart.

    The first and the last are among them. One apart is every one.
    """
    if count < 2:
        return list(range(count)), 1
    apart = max(math.ceil((count - 1) / (most - 1)), 1)
    return [*range(0, count - 1, apart), count - 1], apart


def thinned(apart: int, what: str) -> str:
    """The sentence that says that not every step is shown; empty where every one is.

    Its figure is a blank for the catalogue, as a scene's figures are.
    """
    return f"One {what} of every {apart} is shown, and the last." if apart > 1 else ""


def strip(count: int, most: int = STRIP) -> list[int]:
    """Return which steps, counted from 1, stand on paper: evenly chosen, the first and the last among them."""
    few = min(count, most)
    return [1] if few == 1 else [1 + round(k * (count - 1) / (few - 1)) for k in range(few)]


_ALONE = {"us": "us-step", "si": "si-step", "paper": "paper-step", "txt": "txt-step"}
"""What these classes are called in a film: a style that goes by what stands around does not reach there."""


def _rename(root: ET.Element, names: dict[str, str]) -> None:
    for element in root.iter():
        if "class" in element.attrib:
            element.set("class", " ".join(names.get(name, name) for name in element.attrib["class"].split()))


def _layout(canvas: Canvas) -> tuple[object, ...]:
    return (canvas.width, canvas.key_from, *((view.per_metre, view.stretch, view.origin, view.band) for view in canvas.views))


# ---- packing --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Motion:
    """A turn (radians) about the origin of the viewBox, then a shift."""

    turn: float
    dx: float
    dy: float

    def of(self, points: Iterable[Point]) -> Iterator[Point]:
        """The points moved."""
        dx, dy = self.dx, self.dy
        if not self.turn:
            return ((x + dx, y + dy) for x, y in points)
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return ((x * cos - y * sin + dx, x * sin + y * cos + dy) for x, y in points)

    @property
    def attributes(self) -> dict[str, str]:
        if self.turn:
            return {"transform": f"translate({number(self.dx)},{number(self.dy)})rotate({math.degrees(self.turn):.5g})"}
        return {name: number(by) for name, by in (("x", self.dx), ("y", self.dy)) if number(by) != "0"}


@dataclass
class _Kind:
    """Things of one shape: the first of them, its corners, and how many there are."""

    first: ET.Element
    points: list[Point]
    count: int = 1
    ident: str = ""


class _Packer:
    """Finds what the frames share, and writes each frame with it put in."""

    def __init__(self, ident: str, frames: Sequence[Sequence[ET.Element]]) -> None:
        self.ident, self.frames = ident, frames
        self.shared: list[ET.Element] = []
        self._text: dict[int, str] = {}
        self._count: Counter[str] = Counter()
        self._in: Counter[str] = Counter()
        self._kinds: dict[str, list[_Kind]] = {}
        self._of: dict[int, tuple[_Kind, _Motion]] = {}
        self._known: dict[tuple[str, ...], str] = {}
        for frame in frames:
            here: set[str] = set()
            for top in frame:
                self._write(top, here)
            self._in.update(here)
        for frame in frames:
            for top in frame:
                self._sort(top)

    def _write(self, element: ET.Element, here: set[str]) -> str:
        """Note what an element and all in it look like, written out; alike is what is written alike."""
        inside = "".join(self._write(child, here) for child in element)
        attributes = "".join(f' {name}="{value}"' for name, value in element.attrib.items())
        text = self._text[id(element)] = f"<{element.tag}{attributes}>{element.text or ''}{inside}</{element.tag}>"
        self._count[text] += 1
        here.add(text)
        return text

    def _sort(self, element: ET.Element) -> None:
        """Put each part that stands in the drawing more than once, moved or not, with its like."""
        for child in element:
            text = self._text[id(child)]
            if len(text) > 2 * _WORTH and child.tag in ("g", "path") and self._in[text] < len(self.frames):
                outline = _outline(child)
                if outline is not None and self._join(child, *outline):
                    continue
            self._sort(child)

    def _join(self, element: ET.Element, skeleton: str, points: list[Point], upright: bool) -> bool:
        """Whether the element is like one seen before; it may be the first of its kind otherwise."""
        kinds = self._kinds.setdefault(skeleton, [])
        for kind in kinds:
            motion = _motion(kind.points, points, upright=upright)
            if motion is not None:
                kind.count += 1
                self._of[id(element)] = (kind, motion)
                return True
        kind = _Kind(element, points)
        kinds.append(kind)
        self._of[id(element)] = (kind, _Motion(0.0, 0.0, 0.0))
        return False

    def packed(self, k: int) -> list[ET.Element]:
        """Return what frame `k`, counted from 0, is made of."""
        return self._children(self.frames[k])

    def _children(self, children: Sequence[ET.Element]) -> list[ET.Element]:
        out: list[ET.Element] = []
        run: list[ET.Element] = []
        for child in children:
            if self._in[self._text[id(child)]] == len(self.frames):
                run.append(child)
                continue
            out.extend(self._run(run))
            run = []
            out.append(self._one(child))
        out.extend(self._run(run))
        return out

    def _run(self, run: Sequence[ET.Element]) -> list[ET.Element]:
        """What all frames show, side by side: put in at one go."""
        if not run:
            return []
        key = tuple(self._text[id(one)] for one in run)
        if sum(map(len, key)) < _WORTH:
            return [copy.deepcopy(one) for one in run]
        if key not in self._known:
            if len(run) == 1:
                self._known[key] = self._define(self._whole(run[0], len(self.frames)))
            else:
                group = ET.Element("g", {"data-run": ""})
                group.extend(self._whole(one, len(self.frames)) for one in run)
                self._known[key] = self._define(group)
        return [ET.Element("use", {"href": f"#{self._known[key]}"})]

    def _one(self, child: ET.Element) -> ET.Element:
        text = self._text[id(child)]
        kind, motion = self._of.get(id(child), (None, None))
        if kind is not None and motion is not None and kind.count > 1:
            return self._like(kind, motion)
        if len(text) >= _WORTH and self._count[text] > 1:
            key = (text,)
            if key not in self._known:
                self._known[key] = self._define(self._whole(child, self._count[text]))
            return ET.Element("use", {"href": f"#{self._known[key]}"})
        made = ET.Element(child.tag, child.attrib)
        made.text = child.text
        made.extend(self._children(list(child)))
        return made

    def _like(self, kind: _Kind, motion: _Motion) -> ET.Element:
        if not kind.ident:
            kind.ident = self._define(self._whole(kind.first, kind.count))
        return ET.Element("use", {"href": f"#{kind.ident}", **motion.attributes})

    def _whole(self, element: ET.Element, times: int) -> ET.Element:
        """An element that stands in `times` frames, with what there are more of in it put in."""
        kind, motion = self._of.get(id(element), (None, None))
        if kind is not None and motion is not None and kind.count > times:
            return self._like(kind, motion)
        made = ET.Element(element.tag, element.attrib)
        made.text = element.text
        made.extend(self._whole(child, times) for child in element)
        return made

    def _define(self, element: ET.Element) -> str:
        ident = f"{self.ident}-d{len(self.shared)}"
        element.set("id", ident)
        self.shared.append(element)
        return ident


def _outline(element: ET.Element) -> tuple[str, list[Point], bool] | None:
    """What a thing is made of without where it is, its corners, and whether it can only be shifted.

    None where it holds a shape that cannot be moved as a whole.
    """
    words_: list[str] = []
    points: list[Point] = []
    upright = False
    for part in element.iter():
        kept = dict(part.attrib)
        if part.tag == "path":
            straight = _straight(kept["d"])
            if straight is None:
                return None
            kept["d"], corners = straight
            points.extend(corners)
        elif part.tag == "circle":
            points.append((float(kept.pop("cx")), float(kept.pop("cy"))))
        elif part.tag in ("rect", "text"):
            points.append((float(kept.pop("x")), float(kept.pop("y"))))
            upright = True
        elif part.tag != "g" or "data-ends" in kept or "data-at" in kept:
            return None
        words_.append(f"{part.tag}{len(part)}{sorted(kept.items())}{part.text or ''}")
    return "|".join(words_), points, upright


@lru_cache(maxsize=1 << 12)  # a part that is like no other is looked into, and so are those in it
def _straight(d: str) -> tuple[str, tuple[Point, ...]] | None:
    """How the corners of a path are joined, and where they are; None where it is not of straight lines."""
    if not _STRAIGHT.fullmatch(d):
        return None
    return _PAIR.sub("", d), tuple((float(x), float(y)) for x, y in _PAIR.findall(d))


def _motion(first: Sequence[Point], other: Sequence[Point], *, upright: bool) -> _Motion | None:
    """How the first thing is moved to become the other, or None where it is another thing."""
    if len(first) != len(other) or not first:
        return None
    shift = _Motion(0.0, other[0][0] - first[0][0], other[0][1] - first[0][1])
    if _fits(shift, first, other):
        return _Motion(0.0, *_middle(first, other, 0.0))
    if upright:
        return None
    # the corner farthest from the first tells the turn best
    far = max(range(len(first)), key=lambda i: math.dist(first[i], first[0]))
    if math.dist(first[far], first[0]) < 1:
        return None
    turn = _way(other[0], other[far]) - _way(first[0], first[far])
    turn = math.radians(float(f"{math.degrees(math.remainder(turn, 2 * math.pi)):.5g}"))  # as it will be written
    motion = _Motion(turn, *_middle(first, other, turn))
    return motion if _fits(motion, first, other) else None


def _middle(first: Sequence[Point], other: Sequence[Point], turn: float) -> tuple[float, float]:
    """The shift that fits best once the first is turned, as it will be written."""
    turned = list(_Motion(turn, 0.0, 0.0).of(first))
    return (
        round(sum(b[0] - a[0] for a, b in zip(turned, other, strict=True)) / len(turned), 2),
        round(sum(b[1] - a[1] for a, b in zip(turned, other, strict=True)) / len(turned), 2),
    )


def _fits(motion: _Motion, first: Sequence[Point], other: Sequence[Point]) -> bool:
    return all(math.dist(a, b) <= GRAIN for a, b in zip(motion.of(first), other, strict=True))


def _way(a: Point, b: Point) -> float:
    return math.atan2(b[1] - a[1], b[0] - a[0])


# ---- taken apart ----------------------------------------------------------------------------------

_MOVED = re.compile(r"translate\((-?[\d.]+),(-?[\d.]+)\)rotate\((-?[\d.e-]+)\)")


def is_film(svg: str) -> bool:
    """Whether an SVG holds steps."""
    return " data-step=" in svg


def frames_of(svg: str) -> list[str]:
    """Take a packed SVG apart: a plain SVG for each step, without `use`, in the order of the steps.

    Title, description and patterns are those of the whole; the sentence of a step is the root's
    `data-says` (and `data-says-si`).
    """
    return [ET.tostring(frame, encoding="unicode") for frame in parsed_frames(svg)]


def parsed_frames(svg: str) -> Iterator[ET.Element]:
    """The steps as `frames_of` gives them, parsed, for whoever only measures them; their names stand without their namespace."""
    root = ET.fromstring(svg)
    for element in root.iter():
        element.tag = element.tag.removeprefix(_SVG)
    _rename(root, {alone: name for name, alone in _ALONE.items()})
    known = {element.attrib["id"]: element for element in root.iter() if "id" in element.attrib}
    heads = [one for one in root if one.tag in ("title", "desc")]
    patterns = root.findall("defs/pattern")
    for step in root.iter("g"):
        if "data-step" not in step.attrib:
            continue
        frame = ET.Element("svg", {"xmlns": _SVG[1:-1], **root.attrib})
        frame.attrib.update({k: v for k, v in step.attrib.items() if k.startswith("data-")})
        frame.set("viewBox", frame.attrib.pop("data-whole"))
        frame.extend(heads)
        if patterns:
            ET.SubElement(frame, "defs").extend(patterns)
        for child in step:
            frame.extend(_resolved(child, known))
        yield frame


def _resolved(element: ET.Element, known: dict[str, ET.Element]) -> Iterator[ET.Element]:
    if element.tag != "use":
        made = ET.Element(element.tag, {k: v for k, v in element.attrib.items() if k != "id"})
        made.text = element.text
        for child in element:
            made.extend(_resolved(child, known))
        yield made
        return
    meant = known[element.attrib["href"][1:]]
    moved = _MOVED.fullmatch(element.get("transform", ""))
    if moved:
        motion = _Motion(math.radians(float(moved[3])), float(moved[1]), float(moved[2]))
    else:
        motion = _Motion(0.0, float(element.get("x", "0")), float(element.get("y", "0")))
    for made in meant if "data-run" in meant.attrib else [meant]:
        for one in _resolved(made, known):
            if motion != _Motion(0.0, 0.0, 0.0):
                _move(one, motion)
            yield one


def _move(element: ET.Element, motion: _Motion) -> None:
    for part in element.iter():
        if part.tag == "path":
            d = part.attrib["d"]
            moved = (f"{number(x)},{number(y)}" for x, y in motion.of([(float(x), float(y)) for x, y in _PAIR.findall(d)]))

            def at(_: re.Match[str], moved: Iterator[str] = moved) -> str:
                return next(moved)

            part.set("d", _PAIR.sub(at, d))
            continue
        for x, y in (("cx", "cy"), ("x", "y")):
            if x in part.attrib:
                ((right, down),) = motion.of([(float(part.attrib[x]), float(part.attrib[y]))])
                part.set(x, number(right))
                part.set(y, number(down))
