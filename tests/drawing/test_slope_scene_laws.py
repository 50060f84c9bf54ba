"""The pictures of slopes, compact excavators and wear, read back from the finished SVG and measured.

The measuring here is this file's own, with shapely: it knows neither `drawing.picture` nor the scenes.
Figures come from the demo and from the starter in both unit systems.
"""

from __future__ import annotations

import itertools
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from shapely import LineString, MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.model import WAYS
from generator.book.page import LessonPage, site_lead, with_row
from generator.cli.main import main
from generator.drawing.laws import broken
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.working.ledger import Ledger

SVG = "{http://www.w3.org/2000/svg}"
DEMO = Path(__file__).parents[2] / "site_demo"
SITES = ("demo", "us", "metric")
PAIR = re.compile(r"(-?[\d.]+),(-?[\d.]+)")
NEAR = 0.01  # share of a length that rounding of coordinates may take


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, JobSite]:
    found = {"demo": read(DEMO, lessons=lesson_ids(content_folder()))}
    for units in ("us", "metric"):
        folder = tmp_path_factory.mktemp("starter") / units
        assert main(["new", str(folder), "--units", units]) == 0
        found[units] = read(folder, lessons=lesson_ids(content_folder()))
    return found


@cache
def content() -> Any:
    return read_content(content_folder())


def picture(site: JobSite, lesson: str, machine: Any, name: str = "drawing") -> ET.Element:
    """A drawing of a lesson for one machine of a site, as it stands in the page."""
    page = LessonPage(content().lessons[lesson], content(), site, with_row(site_lead(site), "machine", machine), Ledger())
    page.context = with_row(page.context, "machine", machine)
    if name in ("wrong", "right"):
        pair = next(iter(page.lesson.ways.values()))
        side, way = (pair.wrong, WAYS[0]) if name == "wrong" else (pair.right, WAYS[1])
        return ET.fromstring(page.scene(side.picture, "x", way=way))
    spec = page.lesson.drawing if name == "drawing" else page.lesson.drawings[name]
    assert spec is not None
    return ET.fromstring(page.scene(spec, "x"))


def views(svg: ET.Element) -> list[ET.Element]:
    return [g for g in svg.iter(f"{SVG}g") if g.get("class") == "view"]


def parts(view: ET.Element, name: str) -> list[BaseGeometry]:
    """What a part of a view covers, in metres: areas and lines, without the explaining marks."""
    across = float(view.attrib["data-scale"])
    up = float(view.get("data-scale-y") or across)
    found = []
    for group in view.iter(f"{SVG}g"):
        if group.get("data-part") != name:
            continue
        shapes: list[BaseGeometry] = []
        for path in group.iter(f"{SVG}path"):
            for piece in path.attrib["d"].split("M")[1:]:  # many small shapes may share a path
                points = [(float(x) / across, -float(y) / up) for x, y in PAIR.findall(piece)]
                shapes.append(Polygon(points) if piece.endswith("Z") else LineString(points))
        # lines drawn within an area only explain it
        areas = [s for s in shapes if isinstance(s, Polygon)] or shapes
        if areas:
            found.append(unary_union(areas))
    return found


def widest(shape: BaseGeometry) -> float:
    """The longer side of the smallest rectangle around a shape."""
    corners = list(shape.minimum_rotated_rectangle.exterior.coords)
    return max(math.dist(a, b) for a, b in itertools.pairwise(corners))


def lean(tracks: BaseGeometry) -> float:
    """Rise over run of the line through the middles of the two tracks' undersides."""
    feet = []
    for track in tracks.geoms:
        corners = list(track.minimum_rotated_rectangle.exterior.coords)[:4]
        corners.sort(key=lambda p: p[1])
        # the underside is the lower of the two sides that lie across: its ends by x are the shoe's
        sides = sorted(zip([*corners, corners[0]], [*corners[1:], corners[0]], strict=False), key=lambda s: s[0][1] + s[1][1])
        feet.append(MultiPoint(sides[0]).centroid)
    feet.sort(key=lambda p: p.x)
    return float((feet[1].y - feet[0].y) / (feet[1].x - feet[0].x))


def of(machine: Any, column: str) -> float:
    return float(machine.values[column].si)


@pytest.mark.parametrize("name", SITES)
def test_tracks_from_the_end_stand_as_far_apart_as_the_table_says(sites: Mapping[str, JobSite], name: str) -> None:
    seen = 0
    for machine in sites[name].machines:
        for svg in (picture(sites[name], "side-slope-limits", machine), picture(sites[name], "side-slope-limits", machine, "right")):
            for view in views(svg):
                assert view.get("data-seen") == "end"
                (tracks,) = parts(view, "tracks")
                assert widest(tracks) == pytest.approx(of(machine, "track_gauge") + of(machine, "shoe_width"), rel=NEAR)
                assert widest(tracks) <= of(machine, "overall_width") * (1 + NEAR)
                assert len(tracks.geoms) == 2
                seen += 1
    assert seen >= 12


@pytest.mark.parametrize("name", SITES)
def test_a_stone_lifts_the_machine_to_what_the_lesson_prints(sites: Mapping[str, JobSite], name: str) -> None:
    site = sites[name]
    limit = site.settings.limits["side_slope"].si  # type: ignore[union-attr]
    for machine in site.machines:
        svg = picture(site, "side-slope-limits", machine, "wrong")
        (wrong,), (right,) = views(svg), views(picture(site, "side-slope-limits", machine, "right"))
        assert (wrong.get("data-way"), right.get("data-way")) == ("wrong", "right")
        printed = re.search(r"leans by ([\d.]+)%", (svg.findtext(f"{SVG}desc") or ""))
        assert printed
        told = float(printed[1]) / 100
        assert told == pytest.approx(limit + 0.1524 / of(machine, "track_gauge"), rel=0.005)
        (on_stone,), (on_ground,) = parts(wrong, "tracks"), parts(right, "tracks")
        assert lean(on_ground) == pytest.approx(limit, rel=0.02)
        # never flatter than the sum says, and not much steeper
        assert told * (1 - NEAR) <= lean(on_stone) <= told * 1.12
        (stone,) = parts(wrong, "stone")
        assert not parts(right, "stone")
        # its height, plumb over the ground that its two feet stand on
        outline = list(stone.exterior.coords)
        low, high = min(outline, key=lambda p: p[0]), max(outline, key=lambda p: p[0])
        assert (high[1] - low[1]) / (high[0] - low[0]) == pytest.approx(limit, rel=0.05)
        ground = LineString([low, high])
        middle = (low[0] + high[0]) / 2
        plumb = LineString([(middle, -1e3), (middle, 1e3)])
        height = plumb.intersection(stone).bounds[3] - plumb.intersection(ground).bounds[3]
        assert height == pytest.approx(0.1524, rel=0.02)
        # it lies under the high track
        assert stone.distance(max(on_stone.geoms, key=lambda t: t.centroid.x)) < 0.01


@pytest.mark.parametrize("name", SITES)
def test_on_a_bench_the_tracks_keep_the_sites_distance_and_stay_off_the_windrow(sites: Mapping[str, JobSite], name: str) -> None:
    site = sites[name]
    limit = site.settings.limits["edge_distance"].si  # type: ignore[union-attr]
    for machine in site.machines_for("dozer"):
        slope, bench = views(picture(site, "building-a-slope", machine))
        (tracks,), (windrow,), (crest,) = parts(bench, "tracks"), parts(bench, "windrow"), parts(bench, "crest")
        assert tracks.bounds[0] - crest.bounds[2] >= limit - 0.01
        assert tracks.intersection(windrow).area == pytest.approx(0, abs=1e-3)
        # it lies on the bench, from the low edge inward, between edge and machine
        assert windrow.bounds[0] == pytest.approx(crest.bounds[0], abs=0.02)
        assert windrow.bounds[1] == pytest.approx(tracks.bounds[1], abs=0.02)
        assert windrow.bounds[2] <= tracks.bounds[0] + 0.02
        axle = site.lead("truck").get("axle_height").si
        for view in (slope, bench):
            (ridge,) = parts(view, "windrow")
            (edge,) = parts(view, "crest")
            assert ridge.bounds[3] - ridge.bounds[1] == pytest.approx(axle, rel=0.02)
            assert ridge.bounds[0] == pytest.approx(edge.bounds[0], abs=0.1)
            # above the toe, not on the flat below it
            assert ridge.bounds[1] == pytest.approx(edge.bounds[3], abs=0.1)


@pytest.mark.parametrize("name", SITES)
def test_the_gate_and_the_machine_in_it_are_as_wide_as_the_tables_say(sites: Mapping[str, JobSite], name: str) -> None:
    site = sites[name]
    clear = site.settings.job["gate_width"].si  # type: ignore[union-attr]
    for machine in site.machines_for("compact excavator"):
        (view,) = views(picture(site, "track-width", machine))
        (gate,) = parts(view, "gate")
        posts = sorted(gate.geoms, key=lambda p: p.bounds[0])
        assert posts[1].bounds[0] - posts[0].bounds[2] == pytest.approx(clear, rel=NEAR)
        narrow, wide = sorted(parts(view, "tracks"), key=lambda t: t.bounds[0])
        shoe = of(machine, "shoe_width")
        assert widest(narrow) == pytest.approx(of(machine, "gauge_narrow") + shoe, rel=NEAR)
        assert widest(wide) == pytest.approx(of(machine, "gauge_wide") + shoe, rel=NEAR)
        folded, spread = sorted(parts(view, "blade"), key=lambda t: t.bounds[0])
        assert spread.bounds[2] - spread.bounds[0] == pytest.approx(of(machine, "blade_width"), rel=NEAR)
        assert spread.bounds[3] - spread.bounds[1] == pytest.approx(of(machine, "blade_height"), rel=0.02)
        assert folded.bounds[2] - folded.bounds[0] <= of(machine, "narrow_width") * (1 + NEAR)
        for bucket in parts(view, "bucket"):
            assert bucket.bounds[2] - bucket.bounds[0] == pytest.approx(of(machine, "bucket_width"), rel=0.02)
        # it stands in the middle, so what fits by the sum fits in the picture
        inside = max(narrow.bounds[2], folded.bounds[2]) < posts[1].bounds[0]
        widths = of(machine, "gauge_narrow") + shoe, min(of(machine, "narrow_width"), of(machine, "blade_width"))
        assert inside == (max(widths) < clear)


@pytest.mark.parametrize("name", SITES)
def test_the_backfilling_machine_keeps_off_the_edge_and_the_spoil_off_the_trench(sites: Mapping[str, JobSite], name: str) -> None:
    site = sites[name]
    limits = site.settings.limits
    for machine in site.machines_for("compact excavator"):
        (view,) = views(picture(site, "backfill-with-the-blade", machine))
        near = max(parts(view, "crest"), key=lambda c: c.bounds[0])
        (tracks,), (spoil,), (blade,), (bucket,) = (parts(view, n) for n in ("tracks", "spoil", "blade", "bucket"))
        assert tracks.bounds[0] - near.bounds[2] >= limits["edge_distance"].si - 0.01  # type: ignore[union-attr]
        assert spoil.bounds[0] - near.bounds[2] >= limits["spoil_setback"].si - 0.01  # type: ignore[union-attr]
        assert tracks.bounds[2] - tracks.bounds[0] == pytest.approx(of(machine, "track_length"), rel=0.02)
        assert blade.bounds[3] - blade.bounds[1] == pytest.approx(of(machine, "blade_height"), rel=0.02)
        # blade, then bucket, both on the side of the trench
        assert blade.bounds[0] < tracks.bounds[0] and bucket.bounds[0] < tracks.bounds[0]
        assert spoil.bounds[2] <= blade.bounds[0] + 0.02
        assert bucket.bounds[1] > 0 - 1e-6 + near.bounds[3]  # off the ground


@pytest.mark.parametrize("name", SITES)
def test_worn_grousers_are_close_up_at_one_scale(sites: Mapping[str, JobSite], name: str) -> None:
    site = sites[name]
    worn = site.settings.job["grouser_difference"].si  # type: ignore[union-attr]
    for lesson, drawing in (("even-wear", "lean"), ("holding-a-grade", "worn")):
        for machine in site.machines_for("dozer"):
            (view,) = views(picture(site, lesson, machine, drawing))
            assert "data-scale-y" not in view.attrib
            (tracks,) = parts(view, "tracks")
            left, right = sorted(tracks.geoms, key=lambda t: t.bounds[0])
            assert right.bounds[3] - left.bounds[3] == pytest.approx(worn, rel=0.02)
            assert left.bounds[1] == pytest.approx(right.bounds[1], abs=1e-4)


FIGURES = {"machine.track_gauge": 2.0, "machine.shoe_width": 0.5, "machine.overall_width": 2.6, "machine.gauge_wide": 1.4}


def end_on(*rects: tuple[str, float, float, float, float], facts: str = "") -> str:
    """An SVG of one view from the end with parts made of upright boxes, 100 units to the metre."""
    groups = "".join(
        f'<g data-part="{part}"{facts if part == "tracks" else ""}><path d="M{x0 * 100},{-y0 * 100}L{x1 * 100},{-y0 * 100}'
        f'L{x1 * 100},{-y1 * 100}L{x0 * 100},{-y1 * 100}Z"/></g>'
        for part, x0, y0, x1, y1 in rects
    )
    return f'<svg xmlns="http://www.w3.org/2000/svg"><g class="view" data-scale="100" data-seen="end">{groups}</g></svg>'


@pytest.mark.parametrize(
    ("rects", "facts", "breaches"),
    [
        ([("tracks", -1.25, 0, 1.25, 0.8)], "", 0),
        ([("tracks", -1.4, 0, 1.4, 0.8)], "", 1),
        ([("tracks", -1.1, 0, 1.1, 0.8)], "", 1),
        ([("tracks", -1.1, 0, 1.1, 0.8)], ' data-sized="no"', 0),
        ([("tracks", -0.95, 0, 0.95, 0.8)], ' data-gauge="gauge_wide"', 0),
        ([("tracks", -1.25, 0, 1.25, 0.8)], ' data-gauge="gauge_wide"', 1),
        ([("tracks", -1.25, 0, 1.25, 0.8), ("machine", -1.2, 0.3, 1.2, 2)], "", 0),
        ([("tracks", -1.25, 0, 1.25, 0.8), ("machine", -1.5, 0.3, 1.5, 2)], "", 1),
    ],
)
def test_the_law_of_tracks_from_the_end(rects: list[Any], facts: str, breaches: int) -> None:
    found = [b for b in broken(end_on(*rects, facts=facts), FIGURES) if b.law == "end width"]
    assert len(found) == breaches
