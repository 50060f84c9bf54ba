"""The films of the pile, the stripped area and the ripped strip, for every dozer of the demo, measured with shapely.

What a step should show comes from the site's tables and the step's own sentence, never from the code that draws.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace

import pytest
from shapely import LineString, Polygon, make_valid
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.drawn import Steps
from generator.book.page import LessonPage, site_lead
from generator.jobsite.reader import read
from generator.units.quantity import Quantity
from generator.working.ledger import Ledger
from tests.conftest import DEMO

from .unpacked import SVG, steps

FOOT, YARD = 0.3048, 0.9144  # by definition (1959)
PAIRS = {"spoil-pile": "ramp", "stripping": "windrows", "ripping-first": "rip"}
Step = dict[str, list[tuple[str, BaseGeometry]]]


def shapes(element: ET.Element, scale: float) -> Iterator[BaseGeometry]:
    for child in element:
        if child.tag == f"{SVG}g":
            yield from shapes(child, scale)
        elif child.tag == f"{SVG}path":
            for piece in child.attrib["d"].split("M")[1:]:  # one path may draw several outlines
                points = [(float(x) / scale, -float(y) / scale) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", piece)]
                if len(set(points)) > 1:
                    yield make_valid(Polygon(points)) if piece.strip().endswith("Z") and len(points) > 2 else LineString(points)


def parts(svg: ET.Element) -> Step:
    """The parts of a step by name, each with how its view looks."""
    found: Step = {}
    for view in svg.iter(f"{SVG}g"):
        if view.get("class") == "view" and "data-scale" in view.attrib:
            for part in view.iter(f"{SVG}g"):
                if "data-part" in part.attrib:
                    whole = unary_union(list(shapes(part, float(view.attrib["data-scale"]))))
                    found.setdefault(part.attrib["data-part"], []).append((view.attrib["data-seen"], whole))
    return found


def tall(shape: BaseGeometry) -> float:
    return float(shape.bounds[3] - shape.bounds[1])


def wide(shape: BaseGeometry) -> float:
    return float(shape.bounds[2] - shape.bounds[0])


def figure(words: str, pattern: str) -> float:
    found = re.search(pattern, words)
    assert found, (pattern, words)
    return float(found[1].replace(",", "").replace("\u202f", ""))


@pytest.fixture(scope="module")
def pages() -> dict[tuple[str, str], LessonPage]:
    content = read_content(content_folder())
    site = read(DEMO, lessons=lesson_ids(content_folder()))
    out = {}
    for lesson in PAIRS:
        for row in (m for m in site.machines if m.kind == "dozer"):
            page = LessonPage(content.lessons[lesson], content, site, site_lead(site), Ledger())
            page.context = replace(page.context, machine=row)
            out[lesson, row.id] = page
    return out


def film(page: LessonPage, way: str) -> tuple[Steps, list[Step]]:
    side = getattr(page.lesson.ways[PAIRS[page.lesson.id]], way)
    svg, made = page.picture(side.picture, way="wrong" if way == "wrong" else "right")
    assert made is not None and len(made.says) <= 30
    return made, [parts(step) for step in steps(svg)]


def machine(page: LessonPage, column: str) -> float:
    assert page.context.machine is not None
    return page.context.machine.get(column).si


def job(page: LessonPage, name: str) -> float:
    found = page.site_model.settings.job[name]
    assert isinstance(found, Quantity)
    return found.si


@pytest.mark.parametrize("way", ["wrong", "right"])
@pytest.mark.parametrize("dozer", ["D-1", "D-2", "D-3", "D-4"])
def test_a_step_of_the_pile_is_as_high_and_long_as_it_says(pages: dict[tuple[str, str], LessonPage], dozer: str, way: str) -> None:
    page = pages["spoil-pile", dozer]
    made, drawn = film(page, way)
    run = 3.0 if way == "right" else 6.0  # the demo plans 3:1; drawn out it is twice that
    for (said, _), step in zip(made.says, drawn, strict=True):
        ((_, pile),) = step["spoil"]
        ((_, ramp),) = step["ramp"]
        high, long = figure(said, r"spoil ([\d.]+) ft high"), figure(said, r"ramp ([\d.]+) ft long")
        assert tall(pile) == pytest.approx(high * FOOT, rel=0.01, abs=0.02)
        assert wide(ramp) == pytest.approx(long * FOOT, rel=0.01, abs=0.02)
        assert wide(ramp) / tall(ramp) == pytest.approx(run, rel=0.03)
        if way == "right":  # the site keeps 6 ft from an edge
            ((_, crest),) = step["crest"]
            for _, tracks in step["tracks"]:
                assert crest.bounds[0] - tracks.bounds[2] >= 6 * FOOT - 0.06
    assert figure(made.says[-1][0], r"Push (\d+) of") == figure(made.says[-1][0], r"of (\d+)")


@pytest.mark.parametrize("dozer", ["D-1", "D-2", "D-3", "D-4"])
def test_both_piles_hold_the_same_ground(pages: dict[tuple[str, str], LessonPage], dozer: str) -> None:
    """A trapezium wherever it is cut across: h²(W/2 + s·h/3) for each metre of run, the sides at 35 degrees."""
    page = pages["spoil-pile", dozer]
    held = []
    for way in ("wrong", "right"):
        _, drawn = film(page, way)
        ((_, pile),) = drawn[-1]["spoil"]
        explained = page.numbers.explained("top", page.context, "us")
        top = explained.results[explained.main].si
        assert isinstance(top, float)
        held.append(wide(pile) * tall(pile) * (top / 2 + tall(pile) / math.tan(math.radians(35)) / 3))
    # the demo's slot: 150 ft by 12 ft by 3 ft, swelled by a quarter
    assert held == pytest.approx([150 * 12 * 3 * 1.25 * FOOT**3] * 2, rel=0.03)


@pytest.mark.parametrize("dozer", ["D-1", "D-2", "D-3", "D-4"])
def test_a_step_of_the_stripping_is_as_wide_as_it_says(pages: dict[tuple[str, str], LessonPage], dozer: str) -> None:
    page = pages["stripping", dozer]
    for way, rows in (("right", 2), ("wrong", 1)):
        made, drawn = film(page, way)
        for (said, _), step in zip(made.says[:-1], drawn[:-1], strict=True):
            across = [shape for seen, shape in step["windrow"] if seen == "end"]
            assert len(across) == rows
            if way == "right":
                assert [tall(shape) for shape in across] == pytest.approx([1.5 * FOOT] * 2, rel=0.03)
            else:  # all of a strip, a ridge with two slopes of 35 degrees
                strip = machine(page, "blade_width") * job(page, "strip_depth") * 1.25
                assert across[0].area == pytest.approx(strip, rel=0.03)
            (blade,) = (shape for seen, shape in step["blade"] if seen == "end")
            assert wide(blade) == pytest.approx(machine(page, "blade_width"), rel=0.02)
            paths = [shape for seen, shape in step["cut"] if seen == "above"]
            assert tall(paths[0]) == pytest.approx(150 * FOOT, rel=0.01), "as long as a push"
            assert figure(said, r"In windrows: ([\d.,]+)") > 0
        last = drawn[-1]
        assert "windrow" not in last, "at the end they are picked up"


def test_the_pile_and_the_windrows_hold_what_was_cut(pages: dict[tuple[str, str], LessonPage]) -> None:
    """Strips of 12 ft by 150 ft, 8 in deep and swelled by a quarter: 55.6 yd³ each before the windrows are picked up."""
    made, _ = film(pages["stripping", "D-1"], "right")
    for said, _ in made.says[:-2]:
        k = figure(said, r"Strip (\d+)")
        both = figure(said, r"On the pile: ([\d.,]+)") + figure(said, r"In windrows: ([\d.,]+)")
        assert both == pytest.approx(k * 12 * 150 * (8 / 12) * 1.25 / 27, rel=0.01)


@pytest.mark.parametrize("dozer", ["D-1", "D-2", "D-3", "D-4"])
def test_a_step_of_the_ripping_shows_its_passes(pages: dict[tuple[str, str], LessonPage], dozer: str) -> None:
    page = pages["ripping-first", dozer]
    made, drawn = film(page, "right")
    depth = job(page, "rip_depth")
    for (said, _), step in zip(made.says, drawn, strict=True):
        furrows = [shape for seen, shape in step.get("cut", []) if seen == "across"]
        if ripped := re.search(r"Ripping, pass (\d+)", said):
            assert len(furrows) == int(ripped[1])
            assert [tall(f) for f in furrows] == pytest.approx([depth] * len(furrows), rel=0.03)
            assert "load" not in step
        else:
            done = figure(said, r"Push (\d+)") / figure(said, r"of (\d+)")
            assert all(tall(f) <= depth * (1 - done) + 0.03 for f in furrows)
            assert "load" in step
    _, drawn = film(page, "wrong")
    full = film(page, "right")[1][-1]["load"][0][1].area
    assert drawn[0]["load"][0][1].area == pytest.approx(0.7 * full, rel=0.03), "the published factor of a full blade"
    assert all(not [1 for seen, _ in step.get("cut", []) if seen == "across"] for step in drawn)
