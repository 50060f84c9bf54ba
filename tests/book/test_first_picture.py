"""The picture that stands for a lesson on the first page, and whose it says a part of a page stays."""

from __future__ import annotations

from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest

from generator.book import mine
from generator.book.page import LessonPage, in_words, references, site_lead
from generator.working.ledger import Ledger
from tests.book.drawn_sites import shipped_content, sites


@pytest.fixture(scope="module")
def demo_page(tmp_path_factory: pytest.TempPathFactory) -> LessonPage:
    site = sites(tmp_path_factory.mktemp("sites"))["demo"]
    content = shipped_content()
    return LessonPage(content.lessons["side-slope-limits"], content, site, site_lead(site), Ledger())


def test_without_a_drawing_of_its_own_a_lesson_is_never_shown_by_the_wrong_way() -> None:
    for lesson in shipped_content().lessons.values():
        wrong = [pair.wrong.picture for pair in lesson.ways.values()]
        for bare in (lesson, replace(lesson, drawing=None), replace(lesson, drawing=None, drawings={}, steps={})):
            assert bare.picture is not None and not any(bare.picture is w for w in wrong), lesson.id
    assert replace(lesson, drawing=None, drawings={}, steps={}, ways={}).picture is None


@pytest.mark.parametrize("id_", ["side-slope-limits", "slot-front-to-back"])  # a pair of drawings, and one in steps
def test_the_first_page_shows_the_right_way_of_a_pair(demo_page: LessonPage, id_: str, tmp_path: Path) -> None:
    content, site = demo_page.content, demo_page.site_model
    lesson = replace(content.lessons[id_], drawing=None, drawings={}, steps={})
    page = LessonPage(lesson, content, site, site_lead(site), Ledger())
    (script,) = mine.picture(page, Ledger()).values()
    (pair, *_) = lesson.ways.values()
    _, steps = page.picture(pair.right.picture)
    right = page.scene(pair.right.picture, f"{id_}-next", len(steps.says) if steps else None)
    assert right.replace('"', '\\"') in script and "data-step" not in script


@pytest.mark.parametrize(
    ("text", "found"),
    [("Cut by the {{ machine.name }}.", ["machine.name"]), ("Keep {{ n('limits.edge_distance') }}.", ["limits.edge_distance"]),
     ('The {{ truck.name }} waits {{ n("plan.wait") }}.', ["truck.name", "plan.wait"]), ("A machine. Sin(x), n of them.", [])],
)  # fmt: skip
def test_what_words_rest_on(text: str, found: list[str]) -> None:
    assert in_words(text) == found


def test_a_part_of_a_figure_rests_on_its_row_too(demo_page: LessonPage) -> None:
    assert demo_page.rests_on_a_row(["0.5 of machine.gauge"]) and not demo_page.rests_on_a_row(["0.5 of limits.edge_distance"])


def test_a_pair_whose_words_alone_are_a_machines_says_whose_it_is(demo_page: LessonPage) -> None:
    content, site = demo_page.content, demo_page.site_model
    lesson = content.lessons["trench-walls"]
    (name, pair), *_ = lesson.ways.items()
    assert not demo_page.rests_on_a_row(r for s in pair.sides for r in references(s.picture, s.says))

    def shown(cost: str) -> str:
        told = replace(lesson, ways={name: replace(pair, cost=type(pair.cost)(cost))})
        return unescape(LessonPage(told, content, site, site_lead(site), Ledger()).ways(name))

    assert "Drawn for" not in shown("It may cost a life.")
    assert "Drawn for the E-" in shown("It may bury the {{ machine.name }}.")
