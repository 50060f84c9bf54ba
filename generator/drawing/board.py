"""What a drawing is drawn on: the shapes and texts on it so far, and the labels that wait.

Views and the canvas share one `Board`. It knows no metres and no bands: all it is told is in units
of the viewBox. Text stays text. Where it differs between the unit systems it is written twice, as
`<text class="us">` and `<text class="si">`, and the page shows one.
"""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET
from collections.abc import Sequence

from generator.drawing.boxes import (
    Point,
    SpotBox,
    System,
    TextBox,
    box_about,
    inside,
    nearest,
    overlap,
    rings,
    segment,
)
from generator.drawing.measure import Words, join
from generator.drawing.placing import Label, Taken, best_place
from generator.drawing.svg import PENS, Fill, clean, fill_of, is_pattern, number, thin_line
from generator.drawing.text import FONT, LINE_HEIGHT, Align, Block, boldness, text_width


class Board:
    """The shapes and texts of the drawing called `ident`.

    `taken` is the ground that labels keep clear of: who draws without the board's help adds to it.
    """

    def __init__(self, ident: str) -> None:
        self.ident = ident
        self.shapes = ET.Element("g", {"class": "shapes"})
        self.texts = ET.Element("g", {"class": "texts"})
        self.taken = Taken()
        self.spots: list[SpotBox] = []
        self.patterns: set[Fill] = set()
        self._waiting: list[Label] = []
        self._keyed: list[Words] = []
        self._marks = 0

    def fill(self, fill: Fill) -> dict[str, str]:
        """Return the attributes of a fill; its pattern will be part of the drawing."""
        if is_pattern(fill):
            self.patterns.add(fill)
        return fill_of(fill, self.ident)

    def outline(self, points: Sequence[Point], *, closed: bool = False) -> None:
        """Note lines from point to point that labels keep off where they can."""
        pairs = list(itertools.pairwise(points))
        if closed and len(points) > 2:
            pairs.append((points[-1], points[0]))
        self.taken.segments.extend(segment(a, b) for a, b in pairs)

    def leader(self, a: Point, b: Point) -> None:
        """Draw the line that leads from a text at `a` to a dot on what it names, `b`."""
        group = ET.SubElement(self.shapes, "g", {"class": "leader"})
        thin_line(group, a, b)
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
        self.outline([a, b])

    def badge(
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
                **PENS["line"],
            },
        )
        top = y - size * LINE_HEIGHT / 2
        self.write_line(clean(text), x, top, "middle", size=size, bold=True, parent=holder)
        self.taken.marks.append(box_about(centre, half, radius))

    # ---- text --------------------------------------------------------------------------------

    def write_line(
        self,
        text: str,
        x: float,
        top: float,
        align: Align = "start",
        system: System = "both",
        *,
        size: float = FONT,
        bold: bool = False,
        extra: str = "",
        parent: ET.Element | None = None,
    ) -> None:
        """Write one line of text that hangs below `top`; `extra` is one more class of it."""
        names = ("" if system == "both" else system, "txt", extra)
        attributes = {
            "class": " ".join(name for name in names if name),
            "x": number(x),
            "y": number(top + size * 0.95),
            "font-size": number(size),
            "text-anchor": align,
            "fill": "currentColor",
        }
        if bold:
            attributes["font-weight"] = "700"
        element = ET.SubElement(self.texts if parent is None else parent, "text", attributes)
        element.text = text
        wide = text_width(text, size) * boldness(bold)
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[align]
        self.taken.texts.append(TextBox(left, top, left + wide, top + size * LINE_HEIGHT - 0.01, text, system))

    def write(
        self,
        block: Block,
        x: float,
        top: float,
        align: Align = "start",
        *,
        bold: bool = False,
        extra: str = "",
    ) -> None:
        """Write the lines of a text, once, or where they differ once for each unit system."""
        versions: dict[System, tuple[str, ...]] = {"us": block.us, "si": block.si}
        if block.us == block.si:
            versions = {"both": block.us}
        for system, lines in versions.items():
            for index, line in enumerate(lines):
                y = top + index * FONT * LINE_HEIGHT
                self.write_line(line, x, y, align, system, bold=bold, extra=extra)

    # ---- labels ------------------------------------------------------------------------------

    def ask(self, label: Label) -> None:
        """Let a label wait until all around it is drawn."""
        self._waiting.append(label)

    def place_labels(self) -> None:
        """Put all waiting labels where they fit best."""
        waiting = sorted(self._waiting, key=lambda label: label.rank)
        self._waiting = []
        for label in waiting:
            self._place(label)

    def take_key(self) -> list[Words]:
        """Hand over, once, the lines that explain labels for which there was no room."""
        lines, self._keyed = self._keyed, []
        return lines

    def _place(self, label: Label) -> None:
        best = best_place(label, self.taken)
        if best is None:
            self._place_in_key(label)
            return
        box, align, block = best
        start = label.lead_from(box)
        if start is not None:
            self.leader(start, label.anchor)
        x = {"start": box[0], "middle": (box[0] + box[2]) / 2, "end": box[2]}[align]
        self.write(block, x, box[1], align, bold=label.bold)

    def _place_in_key(self, label: Label) -> None:
        """No room beside the thing: a mark there, and the text in a line below."""
        mark = chr(ord("a") + self._marks % 26) + ")"
        self._marks += 1
        wide, high = text_width(mark), FONT * LINE_HEIGHT
        taken = self.taken.boxes
        for distance, centre in rings(label.anchor, 6):
            box = box_about(centre, wide / 2, high / 2)
            if inside(box, label.bounds) and not any(overlap(box, o, 2.0) for o in taken):
                if distance > 12:
                    self.leader(nearest(box, label.anchor), label.anchor)
                self.write_line(mark, centre[0], box[1], "middle")
                self._keyed.append(join(f"{mark} ", label.text))
                return
        # Not even room for a mark: the text is still told.
        self._keyed.append(label.text)
