"""Pictures of a wrong way in a quiz: of a part of the site's figures, and left alone by the laws of scenes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead
from generator.drawing.picture import read as views_of
from generator.drawing.spec import DrawingSpec
from generator.jobsite.reader import read
from generator.source.problem import Refusals
from generator.working.errors import NumberProblem
from generator.working.ledger import SCALE, Ledger
from tests.conftest import DEMO


@pytest.fixture(scope="module")
def page() -> LessonPage:
    content = read_content(content_folder())
    site = read(DEMO, lesson_ids(content_folder()))
    return LessonPage(content.lessons["standing-on-the-bench"], content, site, site_lead(site), Ledger())


def spec(page: LessonPage, **changes: Any) -> DrawingSpec:
    found = page.lesson.drawing
    assert found is not None
    return replace(found, given={**(found.given or {}), **changes})


def edge_of(svg: str) -> float:
    """Metres from the crest to the nearest point of the tracks."""
    (view,) = views_of(svg)
    crest = next(p for p in view.parts if p.name == "crest")
    tracks = [p for p in view.parts if p.name == "tracks"]
    level = max(y for s in crest.shapes for _, y in s.points)
    return min(y for p in tracks for s in p.shapes for _, y in s.points) - level


def test_half_the_distance_is_drawn_as_half_and_printed_as_it_is(page: LessonPage) -> None:
    whole = page.scene(spec(page), "a")
    half = page.scene(spec(page, crest_distance="0.5 of limits.edge_distance"), "b", way="wrong")
    # the demo keeps 6 ft from an edge: 3 ft, 0.9144 m by the definition of the foot (1959)
    assert edge_of(whole) == pytest.approx(1.8288, abs=0.03) and edge_of(half) == pytest.approx(0.9144, abs=0.03)
    assert ">3 ft<" in half and ">6 ft<" not in half and 'data-way="wrong"' in half and "data-way" not in whole
    entries = [e for e in page.ledger.entries if e.what == "0.5 of limits.edge_distance"]
    assert entries and entries[0].values["us"] == "3 ft" and entries[0].place.startswith(SCALE)


def test_a_part_of_a_worked_number(page: LessonPage) -> None:
    svg = page.scene(spec(page, fall_zone="0.5 of zone"), "c", way="wrong")
    assert ">5 ft<" in svg  # the demo's fall zone is 10 ft


def test_a_part_of_a_figure_is_for_a_wrong_way_alone(page: LessonPage) -> None:
    with pytest.raises(NumberProblem, match=r"'0.5 of limits.edge_distance' is no figure of the site"):
        page.scene(spec(page, crest_distance="0.5 of limits.edge_distance"), "d")
    with pytest.raises(NumberProblem):
        page.scene(spec(page, crest_distance="0.5 of limits.nothing"), "e", way="wrong")


def test_the_laws_hold_every_picture_but_a_wrong_way(page: LessonPage) -> None:
    near = spec(page, crest_distance="machine.shoe_width")  # less than the site keeps from an edge
    with pytest.raises(Refusals, match="breaks the law"):
        page.scene(near, "f")
    assert "<svg" in page.scene(near, "f", way="wrong")


def test_one_drawing_has_no_steps(page: LessonPage) -> None:
    with pytest.raises(NumberProblem, match="is one drawing and has no steps"):
        page.scene(spec(page), "g", frame=1)


def test_a_pair_opens_with_the_wrong_way_but_for_a_drill(page: LessonPage) -> None:
    site, content = page.site_model, page.content
    drill, other = (
        LessonPage(content.lessons[lesson], content, site, site_lead(site), Ledger()).ways(name)
        for lesson, name in (("if-it-slides", "drill"), ("slot-front-to-back", "order"))
    )
    assert '<div class="sw-ways" data-first="right">' in drill and "data-first" not in other
    for html in (drill, other):  # both stand there, the wrong one first
        assert html.index('data-way="wrong"') < html.index('data-way="right"')
