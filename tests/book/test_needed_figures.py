"""A figure that a lesson works with is listed as needed for it, so that `check` can name the lesson."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from inspect import signature
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.book.content import content_folder, lesson_ids
from generator.book.scene import scene_function
from generator.book.tree import render_tree
from generator.calc.catalogue import find
from generator.jobsite.columns import JOB, LIMITS
from generator.jobsite.starter import starter_files, write_starter
from generator.publish.build import load

FOUND = re.compile(r"\b(limits|job)\.([a-z_]+)")
# one of a list is enough, or none where the calculation has a figure of its own; a drawing goes without
FIRST_THERE_IS = re.compile(r"^ +\w+: (?:\[[\w.]+(?:, [\w.]+)*\])$", re.MULTILINE)
NEEDED = {(head, column.name): column.needed_for for head, columns in (("limits", LIMITS), ("job", JOB)) for column in columns}


def bodies(lesson: str) -> list[Any]:
    """The front matter of a lesson, and its questions."""
    front = (content_folder() / "lessons" / f"{lesson}.md").read_text("utf-8").split("---\n")[1]
    return [yaml.safe_load(front), yaml.safe_load((content_folder() / "questions" / f"{lesson}.yml").read_text("utf-8"))]


# in a paragraph of its own, which a site that has not given it goes without
TOLD_WHERE_GIVEN = {("limits", "emergency"), ("limits", "call"), ("job", "windrow_height")}


def optional(body: Any) -> Iterator[tuple[str, str]]:
    """Figures that a calculation has a default for, or a scene does without."""
    if isinstance(body, list):
        for part in body:
            yield from optional(part)
    if not isinstance(body, dict):
        return
    for part in body.values():
        yield from optional(part)
    without: set[str] = set()
    given: dict[str, Any] = {}
    if "calculation" in body:
        given = body
        without = {i.name for i in find(body["calculation"]).inputs if i.default is not None}
    elif "scene" in body:
        given = body.get("with") or {}
        without = {name for name, p in signature(scene_function(body["scene"])).parameters.items() if p.default is None}
    for name in without & given.keys():
        if isinstance(given[name], str):
            yield from FOUND.findall(given[name])


@pytest.mark.parametrize("lesson", sorted(lesson_ids(content_folder())))
def test_every_figure_of_a_lesson_is_listed_as_needed(lesson: str) -> None:
    text = "".join(
        (content_folder() / folder / f"{lesson}.{kind}").read_text("utf-8") for folder, kind in (("lessons", "md"), ("questions", "yml"))
    )
    found = Counter(FOUND.findall(FIRST_THERE_IS.sub("", text)))
    found.subtract(ref for body in bodies(lesson) for ref in optional(body))
    used = {ref for ref, times in found.items() if times > 0} - TOLD_WHERE_GIVEN
    assert used, "every lesson works with some figure of its site"
    assert [f"{head}.{name}" for head, name in sorted(used) if not NEEDED[head, name] & {lesson, "*"}] == []


@pytest.mark.parametrize("given", [True, False])
def test_a_windrow_is_told_where_it_is_given_and_no_truck_runs(given: bool, tmp_path: Path) -> None:
    site = tmp_path / "site"
    write_starter(site, starter_files(content_folder(), "us", like=("dozing",)))
    settings = site / "settings.yml"
    text = re.sub(r"(?m)^      - (?!stop-work\n|building-a-slope\n|side-slope-limits\n).*\n", "", settings.read_text("utf-8"))
    assert text.count("\n  windrow_height: 2 ft") == 1
    settings.write_text(text if given else re.sub(r"\n  windrow_height: .*", "", text), "utf-8")
    tree = render_tree(*load(site))
    assert tree.problems == []
    page = str(tree.docs["lessons/building-a-slope.md"])
    for told in (
        "This site sets its windrow",
        'data-part="windrow"',
        "Along an edge the tracks keep back",
        "From the top there is nothing above any",
    ):
        assert (told in page) == given, told
    assert "No lift is deeper than the blade of the" in page, "the lesson goes on"
    assert ("Left out, as this site has not given the figures yet: windrow height" in page) != given
