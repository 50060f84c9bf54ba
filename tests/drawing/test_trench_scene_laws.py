"""The pictures of the trench chapter, measured as a reader gets them: wire, spoil, walls, ladder, pipe.

The parts of each finished SVG are read back in metres (`generator.drawing.picture`) and measured with
shapely. What they must keep is the job site's own limits and the printed figures of the rules.
"""

from __future__ import annotations

import csv
import itertools
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from shapely import LineString, Point, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from generator.calc.catalogue import find
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from generator.drawing.laws import broken
from generator.drawing.measure import Measure
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import trench
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read as read_site
from generator.jobsite.starter import starter_files, write_starter
from generator.reference import tables
from generator.units.table import SYSTEMS, System

from .samples import length

ROOT = Path(__file__).resolve().parents[2]
CONTENT = ROOT / "content"
TABLES = tables.load(CONTENT)
FOOT = 0.3048
LADDER = 3 * FOOT  # 29 CFR 1926.1053(b)(1): 3 ft above the landing
RATIOS = {"A": 0.75, "B": 1.0, "C": 1.5}  # 29 CFR 1926 Subpart P, Appendix B, Table B-1


def geometry(part: Part) -> BaseGeometry:
    """All that is drawn of a part, as shapely sees it."""
    return unary_union([Polygon(s.points) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes])


def one(view: Seen, name: str) -> Part:
    (found,) = view.all(name)
    return found


def grain(view: Seen) -> float:
    """What the rounding of the coordinates can make of a length."""
    return 2 * view.grain


@pytest.fixture(scope="module", params=["demo", *(f"starter {s}" for s in SYSTEMS)])
def site(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> JobSite:
    """The demo, and a new site in each unit system."""
    if request.param == "demo":
        return read_site(ROOT / "site_demo", published=TABLES)
    folder = tmp_path_factory.mktemp("site")
    system: System = "us" if request.param.endswith("us") else "metric"
    write_starter(folder, starter_files(CONTENT, system))
    return read_site(folder, published=TABLES)


def figures(site: JobSite) -> dict[str, float]:
    blocks = {"job": site.settings.job, "limits": site.settings.limits}
    return {f"{b}.{n}": q.si for b, block in blocks.items() for n, q in block.items() if not isinstance(q, str)}


def of(metres: float) -> Measure:
    return length(metres)


# --- the power line --------------------------------------------------------------------------------


def line_scenes(site: JobSite) -> Iterator[tuple[dict[str, float], Seen, str]]:
    job = figures(site)
    clear = job["limits.line_clearance"]
    for machine in site.machines:
        v = {n: q.si for n, q in machine.values.items() if not isinstance(q, str)}
        if "boom_reach_height" not in v:
            continue
        standoff = find("lines.standoff_distance")
        assert isinstance(standoff, Formula)
        away = standoff(max_reach=v["max_reach"], clearance=clear)
        svg = trench.overhead_line(
            ident="x", line_height=of(job["job.line_height"]), clearance=of(clear), reach_height=of(v["boom_reach_height"]),
            max_reach=of(v["max_reach"]), standoff=of(away), track_length=of(v["track_length"]),
        ).to_svg()  # fmt: skip
        (view,) = read(svg)
        yield job | {f"machine.{n}": x for n, x in v.items()}, view, svg


def test_nothing_of_a_machine_comes_near_the_wire(site: JobSite) -> None:
    count = 0
    for known, view, _ in line_scenes(site):
        wire = Point(geometry(one(view, "wire")).centroid)
        for name in ("machine", "bucket", "tracks"):
            assert geometry(one(view, name)).distance(wire) >= known["limits.line_clearance"] - grain(view), name
        # and not only where it rests: all it can reach from there stays out
        assert geometry(one(view, "swing-circle")).distance(wire) >= known["limits.line_clearance"] - grain(view)
        count += 1
    assert count >= 2


def test_the_wire_its_space_and_the_tracks_have_their_size(site: JobSite) -> None:
    for known, view, svg in line_scenes(site):
        wire, space = geometry(one(view, "wire")).centroid, geometry(one(view, "keep-clear"))
        tracks, reach = one(view, "tracks"), one(view, "swing-circle")
        assert wire.y == pytest.approx(known["job.line_height"] + ground(view), abs=grain(view))
        assert space.bounds[3] - wire.y == pytest.approx(known["limits.line_clearance"], abs=grain(view))
        assert tracks.extent[0] == pytest.approx(known["machine.track_length"], abs=grain(view))
        centre = (tracks.left + tracks.right) / 2
        assert wire.x - centre == pytest.approx(known["machine.max_reach"] + known["limits.line_clearance"], abs=grain(view))
        assert reach.right - centre == pytest.approx(known["machine.max_reach"], abs=grain(view))
        assert reach.high - ground(view) == pytest.approx(known["machine.boom_reach_height"], abs=grain(view))
        assert view.scale == view.scale_y and not broken(svg, known)


def ground(view: Seen) -> float:
    """The height of the ground in a view: the tracks stand on it."""
    return one(view, "tracks").low


@pytest.mark.parametrize("short", [0.5, 3.0])
def test_a_machine_that_stands_too_near_says_so_and_breaks_the_law(short: float) -> None:
    clear, reach, high = 6.1, 10.0, 9.0
    svg = trench.overhead_line(
        ident="x", line_height=of(18), clearance=of(clear), reach_height=of(high), max_reach=of(reach),
        standoff=of(clear + reach - short), track_length=of(3.6),
    ).to_svg()  # fmt: skip
    assert "Move back" in words(svg)
    near = trench.overhead_line(
        ident="x", line_height=of(5), clearance=of(clear), reach_height=of(high), max_reach=of(reach),
        standoff=of(short), track_length=of(3.6),
    ).to_svg()  # fmt: skip
    assert {b.law for b in broken(near, {"limits.line_clearance": clear})} == {"wire"}


def words(svg: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", svg).split())


# --- the buried line -------------------------------------------------------------------------------


def test_the_zone_reaches_as_far_as_the_local_rule_says(site: JobSite) -> None:
    job = figures(site)
    width, strip = job["job.buried_line_width"], job["job.tolerance"]
    (view,) = read(trench.buried_line(ident="x", line_width=of(width), tolerance=of(strip)).to_svg())
    line, zone = one(view, "line"), one(view, "keep-clear")
    assert line.left - zone.left == pytest.approx(strip, abs=grain(view))
    assert zone.right - line.right == pytest.approx(strip, abs=grain(view))
    assert geometry(zone).contains(geometry(line)) and view.how == "across" and view.scale == view.scale_y


# --- the walls -------------------------------------------------------------------------------------


def walls(bottom: float, depth: float, top: float, back: float, wide: float, high: float, **more: Any) -> tuple[Seen, str]:
    svg = trench.trench_walls(
        ident="x", bottom_width=of(bottom), depth=of(depth), top_width=of(top), spoil_setback=of(back),
        spoil_width=of(wide), spoil_height=of(high), ladder_above=of(LADDER), **more,
    ).to_svg()  # fmt: skip
    (view,) = read(svg)
    return view, svg


@pytest.mark.parametrize(("soil", "feet", "system"), list(itertools.product(RATIOS, (4.0, 10.0, 19.5), SYSTEMS)))
def test_each_wall_stands_at_the_slope_the_table_prints(soil: str, feet: float, system: System) -> None:
    procedure = find("trench.top_width")
    assert isinstance(procedure, Procedure)
    unit, depth = ("ft", feet) if system == "us" else ("m", round(feet * FOOT, 2))
    done = procedure.work(
        procedure.read({"bottom_width": f"3 {unit}" if system == "us" else "0.9 m", "depth": f"{depth} {unit}", "soil_type": soil}),
        system, TABLES,
    )  # fmt: skip
    bottom, d, top = (3 * FOOT if system == "us" else 0.9), depth * (FOOT if system == "us" else 1), float(done.values["top_width"].si)
    view, svg = walls(bottom, d, top, 2 * FOOT, 3.0, 1.2)
    both = [geometry(part) for part in view.all("wall")]
    assert len(both) == 2 and not broken(svg, {"limits.spoil_setback": 2 * FOOT})
    for wall in both:
        left, low, right, up = wall.bounds
        assert (right - left) / (up - low) == pytest.approx(RATIOS[soil], abs=2 * grain(view) / (up - low))
        assert up - low == pytest.approx(d, abs=grain(view))
    assert view.scale == view.scale_y


def test_upright_walls_in_rock_stay_upright() -> None:
    view, _ = walls(0.9, 2.0, 0.9, 2 * FOOT, 2.0, 0.8)
    for part in view.all("wall"):
        assert part.extent[0] <= grain(view) and part.extent[1] == pytest.approx(2.0, abs=grain(view))


def test_the_spoil_keeps_the_set_back_and_has_the_size_told(site: JobSite) -> None:
    job = figures(site)
    back = job["limits.spoil_setback"]
    for depth, top, wide, high in ((1.5, 5.4, 4.0, 1.4), (job["job.trench_depth"], 6.4, 6.9, 2.4)):
        view, svg = walls(job["job.trench_bottom_width"], depth, top, back, wide, high)
        spoil, crests = one(view, "spoil"), view.all("crest")
        edge = max(c.right for c in crests)
        assert geometry(spoil).bounds[0] - edge >= back - grain(view)
        assert spoil.left - edge == pytest.approx(back, abs=grain(view))
        assert spoil.extent[0] == pytest.approx(wide, abs=grain(view)) and spoil.extent[1] == pytest.approx(high, abs=grain(view))
        assert not broken(svg, job)
        assert {b.law for b in broken(svg, job | {"limits.spoil_setback": back + 0.3})} == {"spoil"}


@pytest.mark.parametrize(("bottom", "depth", "top"), [(0.6, 3.0, 6.6), (0.9, 1.8, 6.3), (3.0, 6.0, 15.0), (0.9, 2.0, 3.9)])
def test_no_ladder_lies_along_a_wall_that_is_cut_back(bottom: float, depth: float, top: float) -> None:
    view, svg = walls(bottom, depth, top, 2 * FOOT, 3.0, 1.0)
    assert not view.all("ladder") and "a ramp or steps" in svg


@pytest.mark.parametrize(("bottom", "depth", "top"), [(0.9, 1.3, 0.9), (1.2, 3.0, 1.2), (0.3, 2.5, 0.3)])
def test_the_ladder_stands_on_the_floor_leans_on_the_edge_and_stands_out(bottom: float, depth: float, top: float) -> None:
    view, _ = walls(bottom, depth, top, 2 * FOOT, 3.0, 1.0)
    ladder, crests, toes = one(view, "ladder"), view.all("crest"), view.all("toe")
    surface, floor = max(c.high for c in crests), min(t.low for t in toes)
    assert ladder.high - surface >= LADDER - grain(view)  # 3 ft above the landing, as the rule prints
    assert ladder.low == pytest.approx(floor, abs=grain(view))
    rails = [s for s in ladder.shapes if abs(s.points[0][1] - floor) < grain(view)]
    assert len(rails) == 2
    for rail in rails:
        (x0, y0), (x1, y1) = rail.points
        assert math.degrees(math.atan2(y1 - y0, abs(x1 - x0))) <= 76 + 1e-6 or bottom < depth / 4  # four up, one out
    middle = LineString([[(a + b) / 2 for a, b in zip(p, q, strict=True)] for p, q in zip(rails[0].points, rails[1].points, strict=True)])
    edge = min(c.left for c in crests)
    assert middle.distance(Point(edge, surface)) <= grain(view)
    assert min(t.left for t in toes) - grain(view) <= middle.coords[0][0] <= max(t.right for t in toes) + grain(view)


def test_where_no_track_may_come_is_drawn_as_far_as_the_limit(site: JobSite) -> None:
    keep = figures(site)["limits.edge_distance"]
    _, svg = walls(0.9, 1.8, 6.3, 2 * FOOT, 3.0, 1.0, edge_distance=of(keep))
    told = [float(x) for x in re.findall(r'data-si="([\d.e-]+)"', svg)]
    assert any(x == pytest.approx(keep, rel=1e-6) for x in told)


# --- the pipe and the long way ---------------------------------------------------------------------


@pytest.mark.parametrize(("inside", "wall", "bed"), [(0.3, 0.05, 0.1), (0.1, 0.004, 0.15), (1.2, 0.12, 0.2)])
def test_the_floor_lies_the_pipe_wall_and_the_bedding_below_the_grade_line(inside: float, wall: float, bed: float) -> None:
    svg = trench.trench_to_grade(
        ident="x", length=of(55), start_depth=of(1.6), end_depth=of(2.1), grade="1 %", bottom_width=of(0.9), pipe_inside=of(inside),
        pipe_wall=of(wall), bedding=of(bed),
    ).to_svg()  # fmt: skip
    along, across = read(svg)
    assert across.scale == across.scale_y and across.how == "across" and along.scale_y > along.scale
    pipe, stone = one(across, "pipe"), one(across, "stone")
    _outer, inner = sorted(pipe.shapes, key=lambda s: -s.area)
    invert = min(y for _, y in inner.points)
    assert pipe.extent[0] == pytest.approx(inside + 2 * wall, abs=grain(across))
    assert invert - pipe.low == pytest.approx(wall, abs=grain(across))
    assert stone.extent[1] == pytest.approx(bed, abs=grain(across)) and stone.high == pytest.approx(pipe.low, abs=grain(across))
    assert invert - stone.low == pytest.approx(wall + bed, abs=2 * grain(across))
    assert not broken(svg, {})  # nothing solid where heights are stretched


def test_the_deeper_end_is_the_low_one_and_stands_first() -> None:
    for start, end in ((1.2, 1.8), (1.8, 1.2)):
        svg = trench.trench_to_grade(ident="x", length=of(55), start_depth=of(start), end_depth=of(end), grade="1 %").to_svg()
        (view,) = read(svg)
        floor = max(one(view, "cut").shapes, key=lambda s: len(s.points) if not s.closed else 0)
        (x0, y0), (x1, y1) = floor.points[2:4]
        assert x0 < x1 and y0 < y1 and y1 - y0 == pytest.approx(0.6, abs=2 * grain(view))


def test_the_ladder_of_the_rule_is_the_one_in_the_table() -> None:
    rows = [row for row in (CONTENT / "tables" / "trench-ladders.csv").read_text("utf-8").splitlines() if not row.startswith("#")]
    assert [float(r["feet [ft]"]) * FOOT for r in csv.DictReader(rows)] == [pytest.approx(LADDER)]
