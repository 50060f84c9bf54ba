"""Limits of any name that a site sets itself: on stop-work, on cab cards, in its own lessons."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.part import Tree
from generator.book.tree import render_tree
from generator.jobsite.reader import read
from generator.source.problem import Refusals
from tests.conftest import copy_demo
from tests.sites import own_lesson

OWN = """  own:
    wind: {is: highest wind for lifting, value: 25 mph, way: most, decided_by: A. Rigger, decided_on: 2026-02-01}
    dust: {is: "sight on the haul road, at least", value: 100 ft, way: least}
"""


def site_with(tmp_path: Path, own: str, lesson: str = "") -> Path:
    folder = own_lesson(copy_demo(tmp_path / "site"))
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    assert text.count("limits:\n") == 1
    settings.write_text(text.replace("limits:\n", f"limits:\n{own}"), "utf-8")
    path = folder / "lessons/look-first.md"
    path.write_text(path.read_text("utf-8").replace("1. Look.\n", f"1. Look. {lesson}\n"), "utf-8")
    return folder


def made(folder: Path) -> Tree:
    return render_tree(read_content(content_folder(), folder), read(folder, lesson_ids(content_folder(), folder)))


def test_they_stand_on_stop_work_on_cards_and_in_lessons(tmp_path: Path) -> None:
    tree = made(site_with(tmp_path, OWN, "No lift above {{ n('limits.own.wind') }}."))
    assert tree.problems == []
    stop = str(tree.docs["lessons/stop-work.md"])
    assert "Highest wind for lifting" in stop and "25 mph" in stop and "Set by A. Rigger, 2026-02-01." in stop
    assert "Sight on the haul road, at least" in stop and "Set by R. Calloway, site superintendent, 2026-02-23." in stop
    card = str(tree.docs["sheets/cab-e-1.html"])
    assert "Highest wind for lifting" in card and "25 mph" in card and "100 ft" in card
    lesson = str(tree.docs["lessons/look-first.md"])
    assert "No lift above" in lesson and "25 mph" in lesson
    # 25 mph is 40.2336 km/h and 100 ft is 30.48 m: each on its safe side
    assert "40.2 km/h" in stop and "30.5 m" in stop
    assert [e.values["us"] for e in tree.ledger.entries if e.page == "lessons/look-first.html" and e.what == "limits.own.wind"] == [
        "25 mph"
    ]


@pytest.mark.parametrize(
    ("own", "told"),
    [
        ("  own: {Wind: {is: a, value: 25 mph}}\n", "'Wind' is no name for a limit"),
        ("  own: {wind: {value: 25 mph}}\n", "the limit has no is"),
        ("  own: {wind: {is: a}}\n", "the limit has no value"),
        ("  own: {wind: {is: a, value: 25}}\n", "'25' is no figure with a unit known here"),
        ("  own: {wind: {is: a, value: strong}}\n", "'strong' is no figure with a unit known here"),
        ("  own: {wind: {is: a, value: 25 mph, way: up}}\n", "'up' is no which way it limits known here"),
        ("  own: {wind: {is: a, value: 25 mph, decided_on: lately}}\n", "'lately'"),
        ("  own: {wind: {is: a, value: 25 mph, until: noon}}\n", "unknown setting of a limit of the site's own 'until'"),
    ],
)
def test_what_is_wrong_with_one_is_a_line(tmp_path: Path, own: str, told: str) -> None:
    with pytest.raises(Refusals) as e:
        read(site_with(tmp_path, own), lesson_ids(content_folder(), tmp_path / "site"))
    (problem,) = e.value.problems
    assert told in problem.what and problem.line and problem.fix


def test_a_lesson_cannot_name_one_there_is_not(tmp_path: Path) -> None:
    (told,) = made(site_with(tmp_path, OWN, "{{ n('limits.own.rain') }}")).problems
    assert str(told) == "lessons/look-first.md:25: settings.yml has no limits: own: rain; add it under limits:, below own:"
