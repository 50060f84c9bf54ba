"""The laws of scenes on whole job sites, measured by a stranger: the SVG, its scale, and shapely.

Nothing here asks the code that draws, nor `generator.drawing.laws`, how a picture is to be read.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping

import pytest
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.jobsite.model import JobSite

from .drawn_sites import Drawn, drawings, drawn_site, sites

SVG = "{http://www.w3.org/2000/svg}"
SHIPPED = ("demo", "us", "metric")
SEEDS = 60  # and as many as are wanted in the long run: python -m tests.fuzz --drawings N
GROUPS = 4
FILMS = 8  # of these sites films are drawn too, a quarter of each site's
EXPLAINS = {"dimension", "arrow", "leader", "badge", "spot", "mass"}


@pytest.fixture(scope="session")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> dict[str, JobSite]:
    return sites(tmp_path_factory.mktemp("sites"))


# ---- a picture as a stranger reads it ---------------------------------------------------------------


def geometries(element: ET.Element, scale: float, scale_y: float) -> Iterator[BaseGeometry]:
    for child in element:
        if set((child.get("class") or "").split()) & EXPLAINS:
            continue
        if child.tag == f"{SVG}g":
            yield from geometries(child, scale, scale_y)
        elif child.tag == f"{SVG}path":
            for piece in child.attrib["d"].split("M")[1:]:  # many small shapes may share a path
                points = [(float(x) / scale, -float(y) / scale_y) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", piece)]
                if piece.endswith("Z") and len(points) > 2:
                    yield Polygon(points).buffer(0)
                elif len(points) > 1:
                    yield LineString(points)
        elif child.tag in (f"{SVG}circle", f"{SVG}ellipse"):
            a = float(child.get("cx") or 0) / scale, -float(child.get("cy") or 0) / scale_y
            rx = float(child.get("r") or child.get("rx") or 0) / scale
            ry = float(child.get("r") or child.get("ry") or 0) / scale_y
            turn = [t * math.pi / 90 for t in range(180)]
            yield Polygon([(a[0] + rx * math.cos(t), a[1] + ry * math.sin(t)) for t in turn])


class View:
    def __init__(self, group: ET.Element, way: str) -> None:
        self.scale = float(group.attrib["data-scale"])
        self.scale_y = float(group.get("data-scale-y") or self.scale)
        self.seen = group.get("data-seen", "")
        self.way = group.get("data-way") or way
        self.grain = 0.04 / min(self.scale, self.scale_y)
        self.parts: list[tuple[str, ET.Element, BaseGeometry]] = []
        for part in group.iter(f"{SVG}g"):
            if "data-part" in part.attrib:
                found = list(geometries(part, self.scale, self.scale_y))
                if found:
                    self.parts.append((part.attrib["data-part"], part, unary_union(found)))

    def all(self, *names: str) -> list[tuple[str, ET.Element, BaseGeometry]]:
        return [part for part in self.parts if part[0] in names]


def views(svg: str) -> list[View]:
    root = ET.fromstring(svg)
    way = root.get("data-way", "")
    return [View(g, way) for g in root.iter(f"{SVG}g") if g.get("class") == "view" and "data-scale" in g.attrib]


def across(a: BaseGeometry, b: BaseGeometry) -> float:
    return float(max(b.bounds[0] - a.bounds[2], a.bounds[0] - b.bounds[2], 0.0))


def breaches(drawn: Drawn) -> list[str]:  # noqa: C901  one law after another
    """What a stranger with a ruler objects to."""
    out: list[str] = []
    f: Mapping[str, float] = drawn.figures
    for view in views(drawn.svg):
        if view.way == "wrong":
            continue
        for _, _, crest in view.all("crest"):
            for name, element, thing in view.all("tracks", "truck", "person"):
                below = element.get("data-on") == "floor" or (
                    view.seen != "above" and thing.bounds[1] < crest.bounds[3] - 0.25 * (thing.bounds[3] - thing.bounds[1])
                )
                gap = thing.distance(crest) if view.seen == "above" else across(thing, crest)
                if not below and gap < f.get("limits.edge_distance", 0) - view.grain:
                    out.append(f"{name} {gap:.2f} m from the crest")
            if view.all("wall"):
                for _, _, spoil in view.all("spoil"):
                    if across(spoil, crest) < f.get("limits.spoil_setback", 0) - view.grain:
                        out.append(f"spoil {across(spoil, crest):.2f} m from the edge")
        for _, _, zone in view.all("fall-zone"):
            for name, _, thing in view.all("truck", "person"):
                if view.seen == "above" and thing.intersection(zone).area > 0.01:
                    out.append(f"{name} in the fall zone")
                if view.seen != "above" and min(thing.bounds[2], zone.bounds[2]) - max(thing.bounds[0], zone.bounds[0]) > view.grain:
                    out.append(f"{name} in the fall zone")
        for _, _, wire in view.all("wire"):
            for name, _, thing in view.all("machine", "bucket", "truck", "person", "load"):
                if thing.distance(wire) < f.get("limits.line_clearance", 0) - view.grain:
                    out.append(f"{name} {thing.distance(wire):.2f} m from the wire")
        for name, element, thing in view.parts:
            if element.get("data-sized") == "no":
                continue
            wide, high = thing.bounds[2] - thing.bounds[0], thing.bounds[3] - thing.bounds[1]
            box = thing.minimum_rotated_rectangle
            sides = (
                sorted(math.dist(*pair) for pair in zip(box.exterior.coords[:2], box.exterior.coords[1:3]))
                if isinstance(box, Polygon)
                else [0.0, 0.0]
            )
            for part, seen, drawn_size, column in (
                ("truck", "end", wide, "truck.overall_width"), ("truck", "above", sides[0], "truck.overall_width"),
                ("tracks", "side", sides[-1], "machine.track_length"),
                ("blade", "end", wide, "machine.blade_width"), ("blade", "side", high, "machine.blade_height"),
            ):  # fmt: skip
                if (part, seen) == (name, view.seen) and column in f and abs(drawn_size - f[column]) > 0.02 * f[column] + view.grain:
                    out.append(f"{name} drawn {drawn_size:.2f} m, {column} is {f[column]:.2f} m")
        if view.scale_y != view.scale:
            out += [f"{name} in a view with heights stretched" for name, _, _ in view.all(
                "machine", "truck", "tracks", "bucket", "blade", "spoil", "windrow", "wall", "ramp", "person")]  # fmt: skip
        for name, element, _ in view.parts:
            if "data-grade" in element.attrib:
                first = next(e for e in element.iter(f"{SVG}path"))
                (x0, y0), (x1, y1) = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", first.attrib["d"])][:2]
                told = math.degrees(math.atan(float(element.attrib["data-grade"])))
                on_page = math.degrees(math.atan2(abs(y1 - y0), abs(x1 - x0)))
                if abs(told - on_page) > 1.0:
                    out.append(f"{name} told {told:.1f} degrees, drawn {on_page:.1f}")
            if "data-area" in element.attrib:
                told = float(element.attrib["data-area"])
                areas = [g.area for g in geometries(element, view.scale, view.scale_y) if isinstance(g, Polygon)]
                if abs(max(areas, default=0) - told) > 0.03 * told + 2 * view.grain:
                    out.append(f"{name} told {told:.2f} m2 in section, drawn {max(areas, default=0):.2f}")
    return out


# ---- the laws ---------------------------------------------------------------------------------------


PARTS = {
    "loading.bench_loading": {"machine", "tracks", "crest", "toe", "truck", "fall-zone"},
    "loading.standing_on_the_bench": {"machine", "tracks", "crest", "truck", "fall-zone"},
    "loading.digging_pass": {"bucket", "cut"},
    "loading.loading_order": {"machine", "tracks", "truck", "spoil"},
    "dozing.slot_long_section": {"slot", "spoil", "ramp", "machine", "blade", "tracks"},
    "dozing.slot_cross_section": {"wall", "blade"},
    "dozing.spoil_ridge": {"spoil", "ramp"},
    "spoil.pile_film": {"spoil", "ramp", "crest", "machine", "blade", "tracks"},
    "ripping.strip_film": {"cut", "load", "machine", "blade", "tracks"},
    "stripping.strip_film": {"windrow", "spoil", "cut", "machine", "blade", "tracks"},
    "dozing.stripping": {"windrow"},
    "trench.trench_walls": {"wall", "crest", "toe", "spoil"},
    "trench.overhead_line": {"wire", "machine", "keep-clear"},
    "lines.swing_film": {"wire", "machine", "keep-clear", "person", "swing-circle"},
    "lines.limits_film": {"wire", "machine", "line", "bucket", "keep-clear"},
    "slopes.machine_on_side_slope": {"tracks", "machine"},
    "hillside.pad_film": {"ramp", "machine", "tracks", "bucket"},
    "hillside.load_film": {"machine", "tracks", "bucket", "cut"},
    "screens.run_on_film": {"machine", "bucket", "person", "swing-circle", "wall"},
    "screens.zero_film": {"machine", "tracks", "bucket", "cut"},
    "slopes.building_a_slope": {"crest", "tracks", "windrow"},
    "compact.track_width": {"tracks", "machine", "gate"},
    "compacting.edge_kept_film": {"crest", "machine", "drum"},
    "compacting.layer_film": {"truck", "spoil", "blade", "tracks", "drum", "person"},
    "compacting.lanes": {"crest", "machine", "drum", "blade", "tracks", "truck", "spoil"},
    "leveling.on_the_blade": {"blade"},
}


# one test for each site: to draw it is nearly all of the work
@pytest.mark.parametrize("name", SHIPPED)
def test_drawings_of_a_shipped_site_keep_the_laws_name_their_parts_and_state_their_scale(name: str, shipped: dict[str, JobSite]) -> None:
    made = tuple(drawings(shipped[name]))
    assert len(made) >= 40
    assert [d.refused for d in made if d.refused] == []
    assert {(d.lesson, d.scene): found for d in made if (found := breaches(d))} == {}, "breaks a law"
    named: dict[str, set[str]] = {}
    for drawn in made:
        named.setdefault(drawn.scene, set()).update(re.findall(r'data-part="([a-z-]+)"', drawn.svg))
    lacking = {scene: want - named.get(scene, set()) for scene, want in PARTS.items() if want - named.get(scene, set())}
    assert lacking == {}, "what a limit or a column speaks of is a part"
    assert [(d.lesson, d.scene) for d in made if not states_its_scale(d.svg)] == []


def states_its_scale(svg: str) -> bool:
    """Whether the drawing as a whole names the scale of its first view, and every view has one."""
    root = ET.fromstring(svg)
    scales = [g.get("data-scale") for g in root.iter(f"{SVG}g") if "data-scale" in g.attrib]
    return root.get("data-scale") == (scales[0] if scales else None) and len(scales) == len(views(svg))


@pytest.mark.parametrize("group", range(GROUPS))
def test_drawn_sites_keep_the_laws_or_are_refused_by_name(group: int, shipped: dict[str, JobSite]) -> None:
    """Where a site's figures do not go together, the build says which; it never draws a lie."""
    refused = made = 0
    for seed in range(group, SEEDS, GROUPS):
        site = drawn_site(shipped[SHIPPED[seed % 3]], seed)
        for drawn in drawings(site, films=seed < FILMS, each=4, start=seed):
            if drawn.refused:
                refused += 1
                assert [line for line in drawn.refused if not by_name(line)] == []
                continue
            made += 1
            assert breaches(drawn) == [], (seed, drawn.lesson, drawn.scene)
    assert made > 500
    assert refused < 0.15 * made


def by_name(line: str) -> bool:
    """Whether a line that refuses a drawing tells what to change, shortly."""
    return "; " in line and len(line) < 500 and "Traceback" not in line
