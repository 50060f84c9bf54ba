"""A figure that a lesson works with is listed as needed for it, so that `check` can name the lesson."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from inspect import signature
from typing import Any

import pytest
import yaml

from generator.book.content import content_folder, lesson_ids
from generator.book.scene import scene_function
from generator.calc.catalogue import find
from generator.jobsite.columns import JOB, LIMITS

FOUND = re.compile(r"\b(limits|job)\.([a-z_]+)")
# one of a list is enough, or none where the calculation has a figure of its own; a drawing goes without
FIRST_THERE_IS = re.compile(r"^ +\w+: (?:\[[\w.]+(?:, [\w.]+)*\])$", re.MULTILINE)
NEEDED = {(head, column.name): column.needed_for for head, columns in (("limits", LIMITS), ("job", JOB)) for column in columns}


def bodies(lesson: str) -> list[Any]:
    """The front matter of a lesson, and its questions."""
    front = (content_folder() / "lessons" / f"{lesson}.md").read_text("utf-8").split("---\n")[1]
    return [yaml.safe_load(front), yaml.safe_load((content_folder() / "questions" / f"{lesson}.yml").read_text("utf-8"))]


# in a paragraph of its own, which a site that has not given it goes without
TOLD_WHERE_GIVEN = {("limits", "emergency"), ("limits", "call")}


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
