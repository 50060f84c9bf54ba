"""The laws of scenes: what every picture of a handbook must keep to, measured in the finished SVG.

A picture is a claim. A machine drawn nearer an edge than the site allows teaches just that, whatever
the text beside it says. Each law reads the finished drawing (`picture`) and the figures of the site,
and tells what breaks it and which figure to change. A view that shows the wrong way (`data-way`) is
left alone: it says in words what is wrong.

Figures are SI values by their reference, such as `limits.edge_distance` or `truck.overall_width`;
one that a site does not give is not held against it.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from generator.drawing.picture import Part, Seen, Shape, read

Figures = Mapping[str, float]

SIZE = 0.02
"""A thing may be drawn larger or smaller than its column by this share at most."""
GRADE = 0.02
"""The same for a grade, a share of itself."""
VOLUME = 0.02
"""The same for a volume drawn in section."""


@dataclass(frozen=True)
class Breach:
    """A law that a picture breaks: what is wrong, and the reference of the figure to change."""

    law: str
    what: str
    figure: str


def broken(picture: str | ET.Element, figures: Figures) -> list[Breach]:
    """Return all breaches of a finished drawing, its SVG or that parsed, none twice."""
    found = (breach for view in read(picture) if view.way != "wrong" for law in LAWS for breach in law(view, figures))
    return list(dict.fromkeys(found))


def _m(metres: float) -> str:
    """A length as a message tells it, in both unit systems."""
    return f"{metres:.2f} m ({metres / 0.3048:.1f} ft)"


# ---- distances ------------------------------------------------------------------------------------


def edge(view: Seen, figures: Figures) -> Iterator[Breach]:
    """Whatever stands on top of an edge keeps the site's edge distance from its crest."""
    limit = figures.get("limits.edge_distance")
    if limit is None:
        return
    for crest in view.all("crest"):
        for part in view.all("tracks", "drum", "machine", "truck", "person"):
            if part.name == "machine" and view.all("tracks", "drum"):
                continue  # what touches the ground is what loads the edge
            if part.facts.get("on") == "floor":
                continue
            if view.how == "above":
                gap = part.apart(crest)
            elif part.low < crest.high - 0.25 * max(part.extent[1], 0.1):
                continue  # it stands below
            else:
                gap = part.apart_across(crest)
            if gap < limit - view.grain:
                yield Breach(
                    "edge",
                    f"the {part.name} are drawn {_m(gap)} from the crest, and the site's limit is {_m(limit)}",
                    "limits.edge_distance",
                )


def fall_zone(view: Seen, figures: Figures) -> Iterator[Breach]:
    """No truck and no person stands where the face may fall; its very edge is allowed."""
    for zone in view.all("fall-zone"):
        for part in view.all("truck", "person"):
            if view.how == "above":
                inside = part.apart(_within(zone, view.grain)) <= 0
            else:
                inside = part.right > zone.left + view.grain and part.left < zone.right - view.grain
            if inside:
                yield Breach("fall-zone", f"the {part.name} stands in the zone where the face may fall", "job.truck_distance")


def _within(part: Part, by: float) -> Part:
    """A part drawn in on all sides by as much as `by`, so that what only touches it lies outside."""
    cx, cy = (part.left + part.right) / 2, (part.low + part.high) / 2
    across, up = (max(1 - 2 * by / side, 0.0) if side else 0.0 for side in part.extent)
    return Part(
        part.name,
        tuple(Shape(tuple((cx + (x - cx) * across, cy + (y - cy) * up) for x, y in s.points), s.closed) for s in part.shapes),
        part.facts,
    )


def wire(view: Seen, figures: Figures) -> Iterator[Breach]:
    """No part of a machine, load, truck or person comes nearer a wire than the site's distance."""
    limit = figures.get("limits.line_clearance")
    if limit is None:
        return
    for line in view.all("wire"):
        for part in view.all("machine", "bucket", "truck", "person", "load"):
            gap = part.apart(line)
            if gap < limit - view.grain:
                yield Breach(
                    "wire", f"the {part.name} is drawn {_m(gap)} from the wire, and the site keeps {_m(limit)}", "limits.line_clearance"
                )


def buried_line(view: Seen, figures: Figures) -> Iterator[Breach]:
    """No bucket, blade or track digs within the tolerance of a buried line."""
    limit = figures.get("job.tolerance")
    if limit is None:
        return
    for line in view.all("line"):
        for part in view.all("bucket", "blade", "tracks"):
            gap = part.apart(line)
            if gap < limit - view.grain:
                yield Breach(
                    "line", f"the {part.name} is drawn {_m(gap)} from the buried line, and nothing digs within {_m(limit)}", "job.tolerance"
                )


def spoil_setback(view: Seen, figures: Figures) -> Iterator[Breach]:
    """Spoil lies back from a trench's edge."""
    limit = figures.get("limits.spoil_setback")
    if limit is None or not view.all("wall"):
        return
    for crest in view.all("crest"):
        for spoil in view.all("spoil"):
            gap = spoil.apart_across(crest)
            if gap < limit - view.grain:
                yield Breach(
                    "spoil", f"the spoil is drawn {_m(gap)} from the edge, and the site's set-back is {_m(limit)}", "limits.spoil_setback"
                )


def boxed(view: Seen, figures: Figures) -> Iterator[Breach]:
    """Where a box holds a trench, whoever stands below the ground stands inside it, and nobody while it is off its place."""
    for box in view.all("box"):
        for part in view.all("person"):
            ground = max((crest.high for crest in view.all("crest")), default=box.high)
            if part.low > ground - 0.25 * part.extent[1]:
                continue  # on the ground
            if part.left < box.left - view.grain or part.right > box.right + view.grain:
                yield Breach("box", "a person stands in the trench outside the box that holds it", "job.box_length")
            elif part.high < box.low + view.grain:
                yield Breach("box", "a person stands under a box that hangs", "job.box_height")


def people(view: Seen, figures: Figures) -> Iterator[Breach]:
    """Nobody stands in the ring that a machine at work comes to, or nearer to it than the site allows.

    The ring is a `swing-circle` that says `people="out"`: that of a machine that stands locked does not.
    """
    limit = figures.get("limits.person_distance", 0.0)
    for ring in view.all("swing-circle"):
        if ring.facts.get("people") != "out":
            continue
        for part in view.all("person"):
            gap = part.apart(ring)
            if gap < max(limit, 2 * view.grain) - view.grain:
                yield Breach(
                    "people",
                    f"the person is drawn {_m(gap)} from all that the machine comes to, and the site keeps {_m(limit)}",
                    "limits.person_distance",
                )


# ---- sizes ----------------------------------------------------------------------------------------


def _across(part: Part) -> float:
    return part.extent[0]


def _up(part: Part) -> float:
    return part.extent[1]


def _long(part: Part) -> float:
    return part.lengthwise[0]


def _short(part: Part) -> float:
    return part.lengthwise[1]


_SIZES: tuple[tuple[str, str, Callable[[Part], float], str], ...] = (
    ("truck", "end", _across, "truck.overall_width"),
    ("truck", "above", _short, "truck.overall_width"),
    ("tracks", "side", _long, "machine.track_length"),
    ("tracks", "above", _long, "machine.track_length"),
    ("blade", "end", _across, "machine.blade_width"),
    ("blade", "end", _up, "machine.blade_height"),
    ("blade", "side", _up, "machine.blade_height"),
    ("bucket", "end", _across, "machine.bucket_width"),
    ("box", "side", _across, "job.box_length"),
    ("drum", "end", _across, "job.roller_width"),
    ("drum", "above", _long, "job.roller_width"),
)
"""Part, how it is seen, what is measured of it, and the column it must fit.

A part that is drawn turned, worn, or in more than one piece says so by `sized="no"`, with its reason
beside the drawing's code; `tracks` from the end are held by `end_width`.
"""


def sizes(view: Seen, figures: Figures) -> Iterator[Breach]:
    """Every object has its own column's size."""
    for name, how, measure, column in _SIZES:
        wanted = figures.get(column)
        if wanted is None:
            continue
        for part in view.all(name):
            # a truck that stands across the view says so by seen="end"
            if part.facts.get("sized") == "no" or part.facts.get("seen", view.how) != how:
                continue
            drawn = measure(part)
            if abs(drawn - wanted) > SIZE * wanted + view.grain:
                yield Breach("size", f"the {name} is drawn {_m(drawn)}, and {column} is {_m(wanted)}", column)


def end_width(view: Seen, figures: Figures) -> Iterator[Breach]:
    """From the end, tracks stand as far apart as the table says, and the body is no wider than the machine.

    `tracks` name the column of their gauge by the fact `gauge` (`track_gauge` if they name none). A
    machine that is `turned` on a slope is measured by its tracks alone.
    """
    shoe = figures.get("machine.shoe_width")
    if view.how != "end" or shoe is None:
        return
    widest = 0.0
    for part in view.all("tracks"):
        column = f"machine.{part.facts.get('gauge', 'track_gauge')}"
        gauge = figures.get(column)
        if gauge is None or part.facts.get("sized") == "no":
            continue
        drawn, wanted = part.lengthwise[0], gauge + shoe
        widest = max(widest, wanted)
        if abs(drawn - wanted) > SIZE * wanted + view.grain:
            yield Breach("end width", f"the tracks are drawn {_m(drawn)} over all, and {column} with a shoe is {_m(wanted)}", column)
    most = max(widest, figures.get("machine.overall_width", 0.0))
    for part in view.all("machine"):
        if widest and part.facts.get("turned") != "yes" and part.extent[0] > (1 + SIZE) * most + view.grain:
            yield Breach("end width", f"the machine is drawn {_m(part.extent[0])} wide, and it is {_m(most)}", "machine.overall_width")


# ---- shapes ---------------------------------------------------------------------------------------

_SOLID = ("machine", "truck", "bucket", "blade", "tracks", "spoil", "windrow", "wall", "ramp", "person", "berm", "drum")


def true_to_shape(view: Seen, figures: Figures) -> Iterator[Breach]:
    """What has a shape people know or a labelled grade is not drawn with heights stretched."""
    if view.scale_y == view.scale:
        return
    for part in view.all(*_SOLID):
        yield Breach(
            "shape", f"heights are drawn {view.scale_y / view.scale:.3g} times as high, so the {part.name} looks steeper than it is", ""
        )


def grades(view: Seen, figures: Figures) -> Iterator[Breach]:
    """A part that claims a grade (`data-grade`, rise over run) is drawn at it, as it looks on the page."""
    for part in view.parts:
        if "grade" not in part.facts:
            continue
        told = float(part.facts["grade"])
        (x0, y0), (x1, y1) = part.shapes[0].points[:2]
        drawn = math.inf if x1 == x0 else abs((y1 - y0) * view.scale_y / ((x1 - x0) * view.scale))
        if abs(drawn - told) > GRADE * told + 2 * view.grain / max(abs(x1 - x0), view.grain):
            yield Breach("grade", f"the {part.name} is told as a grade of {told:.3g} and drawn at {drawn:.3g}", "")


def volumes(view: Seen, figures: Figures) -> Iterator[Breach]:
    """A part that claims the area of its section (`data-area`, square metres) has it."""
    for part in view.parts:
        if "area" not in part.facts:
            continue
        told = float(part.facts["area"])
        drawn = max(shape.area for shape in part.shapes)
        if abs(drawn - told) > VOLUME * told + view.grain * sum(part.extent):
            yield Breach("volume", f"the {part.name} is told as {told:.3g} m² in section and drawn with {drawn:.3g} m²", "")


LAWS: tuple[Callable[[Seen, Figures], Iterator[Breach]], ...] = (
    edge, fall_zone, wire, buried_line, spoil_setback, boxed, people, sizes, end_width, true_to_shape, grades, volumes,
)  # fmt: skip
