"""The dozing lessons' drawings for every dozer of the shipped sites, measured in the finished SVG with shapely.

Nothing here asks the code that draws, nor the laws of scenes, what a picture should hold: sizes come
from the site's tables, angles and volumes from the ratio, the angle of repose and the loose volume.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead
from generator.drawing.laws import broken
from generator.jobsite.reader import read
from generator.jobsite.starter import starter_files, write_starter
from generator.units.quantity import Quantity
from generator.working.errors import NumberProblem
from generator.working.ledger import Ledger
from tests.conftest import ROOT

SVG = "{http://www.w3.org/2000/svg}"
SCENES = (
    ("slot-front-to-back", "drawing"), ("slot-front-to-back", "across"), ("spoil-pile", "drawing"), ("stripping", "drawing"),
    ("steer-with-the-blade", "drawing"), ("ripping-first", "drawing"),
)  # fmt: skip


@dataclass(frozen=True)
class Thing:
    """A part of a picture: its name, how its view looks, its shapes in metres, what it claims."""

    name: str
    seen: str
    shapes: tuple[BaseGeometry, ...]
    facts: dict[str, str]

    @property
    def box(self) -> tuple[float, float]:
        x0, y0, x1, y1 = unary_union(self.shapes).bounds
        return x1 - x0, y1 - y0

    @property
    def longest(self) -> float:
        ring = unary_union(self.shapes).minimum_rotated_rectangle.exterior.coords
        return max(math.dist(ring[0], ring[1]), math.dist(ring[1], ring[2]))


@dataclass(frozen=True)
class Made:
    site: str
    lesson: str
    drawing: str
    machine: dict[str, Any]
    page: LessonPage
    svg: str


def shapes(element: ET.Element, scale: float) -> Iterator[BaseGeometry]:
    for child in element:
        if child.get("class") in ("dimension", "arrow", "break"):
            continue
        if child.tag == f"{SVG}g":
            yield from shapes(child, scale)
        elif child.tag == f"{SVG}path":
            for piece in child.attrib["d"].split("M")[1:]:  # many small shapes may share a path
                points = [(float(x) / scale, -float(y) / scale) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", piece)]
                yield Polygon(points) if piece.endswith("Z") else LineString(points)


def things(svg: str) -> list[Thing]:
    found = []
    for view in ET.fromstring(svg).iter(f"{SVG}g"):
        if view.get("class") != "view" or "data-scale" not in view.attrib:
            continue
        assert "data-scale-y" not in view.attrib, "no heights are stretched"
        scale = float(view.attrib["data-scale"])
        for part in view.iter(f"{SVG}g"):
            if "data-part" in part.attrib:
                facts = {k.removeprefix("data-"): v for k, v in part.attrib.items()}
                found.append(Thing(part.attrib["data-part"], view.attrib["data-seen"], tuple(shapes(part, scale)), facts))
    return found


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> list[Made]:
    """Every dozing drawing, for every dozer that fits, of the demo and of both starters."""
    content = read_content(content_folder())
    known = lesson_ids(content_folder())
    folders: dict[str, Path] = {"demo": ROOT / "site_demo"}
    for units in ("us", "metric"):
        folders[units] = tmp_path_factory.mktemp(units) / "site"
        write_starter(folders[units], starter_files(content_folder(), units))
    out = []
    for name, folder in folders.items():
        site = read(folder, lessons=known)
        for row in (m for m in site.machines if m.kind == "dozer"):
            for lesson, drawing in SCENES:
                page = LessonPage(content.lessons[lesson], content, site, site_lead(site), Ledger())
                page.context = replace(page.context, machine=row)
                spec = page.lesson.drawing if drawing == "drawing" else page.lesson.drawings[drawing]
                assert spec is not None
                try:
                    svg = page.scene(spec, "x")
                except NumberProblem as problem:
                    # a slot too narrow or too deep for this one is refused in words
                    assert lesson == "slot-front-to-back" and re.search("does not fit a slot|deeper than the blade", problem.what), problem
                    continue
                out.append(Made(name, lesson, drawing, dict(row.values), page, svg))
    return out


def number(one: Made, ref: str) -> float:
    """A figure of the lesson in SI, worked in the site's own units."""
    name, _, result = ref.partition(".")
    explained = one.page.numbers.explained(name, one.page.context, one.page.site_model.settings.units)
    value = explained.results[result or explained.main].si
    assert isinstance(value, float)
    return value


def job(one: Made, name: str) -> float:
    value = one.page.site_model.settings.job[name]
    assert isinstance(value, Quantity)
    return value.si


def test_most_dozers_are_drawn(made: list[Made]) -> None:
    assert len(made) >= 36
    for site in ("demo", "us", "metric"):
        assert {(m.lesson, m.drawing) for m in made if m.site == site} == set(SCENES)


def test_no_law_of_scenes_is_broken(made: list[Made]) -> None:
    for one in made:
        site = one.page.site_model
        figures = {f"limits.{k}": v.si for k, v in site.settings.limits.items() if isinstance(v, Quantity)}
        figures |= {f"machine.{k}": v.si for k, v in one.machine.items() if isinstance(v, Quantity)}
        assert broken(one.svg, figures) == [], (one.site, one.lesson)


def test_blades_and_tracks_are_as_large_as_their_columns(made: list[Made]) -> None:
    seen = set()
    for one in made:
        sizes = {name: value.si for name, value in one.machine.items() if isinstance(value, Quantity)}
        for thing in things(one.svg):
            if thing.name == "tracks" and thing.seen == "side":
                assert thing.longest == pytest.approx(sizes["track_length"], rel=0.02)
            elif thing.name == "tracks" and thing.seen == "end":
                assert thing.box[0] == pytest.approx(sizes["track_gauge"] + sizes["shoe_width"], rel=0.02)
            elif thing.name == "tracks" and thing.seen == "above":
                assert thing.box[1] == pytest.approx(sizes["track_length"], rel=0.03)
            elif thing.name == "blade" and thing.seen == "side" and thing.facts.get("sized") != "no":
                assert thing.box[1] == pytest.approx(sizes["blade_height"], rel=0.02)
            elif thing.name == "blade" and thing.seen == "end" and thing.facts.get("sized") != "no":
                assert thing.box == pytest.approx((sizes["blade_width"], sizes["blade_height"]), rel=0.02)
            elif thing.name == "blade" and thing.seen == "above":
                assert thing.box[0] == pytest.approx(sizes["blade_width"], rel=0.03)
            elif thing.name == "blade" and one.lesson == "steer-with-the-blade":
                assert thing.longest == pytest.approx(sizes["blade_width"], rel=0.02)
            else:
                continue
            seen.add((thing.name, thing.seen))
    assert len(seen) == 6


def test_ramps_stand_on_paper_as_steep_as_they_are_told(made: list[Made]) -> None:
    count = 0
    for one in made:
        for thing in things(one.svg):
            if thing.name != "ramp":
                continue
            (x0, y0), (x1, y1) = thing.shapes[0].coords
            told = math.degrees(math.atan(1 / job(one, "spoil_ratio")))
            assert math.degrees(math.atan2(abs(y1 - y0), abs(x1 - x0))) == pytest.approx(told, abs=0.5)
            count += 1
    assert count >= 3 * 2 * 2


def test_the_pile_drawn_holds_the_volume_printed(made: list[Made]) -> None:
    """Cut across and from the side make a solid; its corners' volume is the loose volume of the slot."""
    count = 0
    for one in made:
        if one.lesson != "spoil-pile":
            continue
        piles = {t.seen: t.shapes[0] for t in things(one.svg) if t.name == "spoil"}
        (_, _, _, height), across = piles["side"].bounds, piles["end"]
        base = piles["side"].bounds[2] - piles["side"].bounds[0]
        side_height = height - piles["side"].bounds[1]
        x0, y0, x1, y1 = across.bounds
        assert y1 - y0 == pytest.approx(side_height, rel=0.01)
        top = LineString([(x0, y1 - 1e-6), (x1, y1 - 1e-6)]).intersection(across.buffer(1e-9)).length
        assert top == pytest.approx(number(one, "top"), rel=0.01)
        # the cut across at a lower height is the same trapezium, cut off at that height
        held, steps = 0.0, 400
        out = (x1 - x0 - top) / 2 / side_height
        for k in range(steps):
            h = side_height * (k + 0.5) / steps
            held += h * (top + out * h) * base / steps
        assert held == pytest.approx(number(one, "loose"), rel=0.02)
        ground = one.page.context.material
        assert ground is not None
        repose = ground.get("repose").si
        assert math.atan(1 / out) == pytest.approx(repose, abs=0.01)
        count += 1
    assert count == 8


def test_the_slot_s_spoil_has_the_area_of_the_plan(made: list[Made]) -> None:
    count = 0
    for one in made:
        if (one.lesson, one.drawing) == ("slot-front-to-back", "drawing"):
            spoil = next(t for t in things(one.svg) if t.name == "spoil")
            assert spoil.shapes[0].area == pytest.approx(number(one, "plan.spoil_area"), rel=0.02)
            assert len([t for t in things(one.svg) if t.name == "ramp"]) == 2, "one to the spoil, one to get out"
            count += 1
    assert count >= 5


def test_the_top_leaves_the_site_s_distance_beside_the_blade(made: list[Made]) -> None:
    for one in made:
        if one.lesson != "spoil-pile":
            continue
        edge = one.page.site_model.settings.limits["edge_distance"]
        assert isinstance(edge, Quantity)
        ends = [t for t in things(one.svg) if t.seen == "end"]
        blade = unary_union(next(t for t in ends if t.name == "blade").shapes)
        crests = [unary_union(t.shapes) for t in ends if t.name == "crest"]
        assert len(crests) == 2
        for crest in crests:
            gap = max(crest.bounds[0] - blade.bounds[2], blade.bounds[0] - crest.bounds[2])
            assert gap >= edge.si - 0.03


def test_all_strips_of_the_area_are_drawn_or_left_out_in_the_open(made: list[Made]) -> None:
    for one in made:
        if one.lesson != "stripping":
            continue
        strips = round(number(one, "strips"))
        cuts = [t for t in things(one.svg) if t.name == "cut" and t.seen == "above"]
        rows = [t for t in things(one.svg) if t.name == "windrow" and t.seen == "above"]
        assert len(rows) == len(cuts) + 1
        if len(cuts) < strips:
            assert 'class="break"' in one.svg and "strips are left out" in " ".join(ET.fromstring(one.svg).itertext())
        else:
            assert len(cuts) == strips
        assert cuts[0].box[0] == pytest.approx(one.machine["blade_width"].si, rel=0.03)
