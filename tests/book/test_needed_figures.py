"""A figure that a lesson works with is listed as needed for it, so that `check` can name the lesson."""

from __future__ import annotations

import re

import pytest

from generator.book.content import content_folder, lesson_ids
from generator.jobsite.columns import JOB, LIMITS

FOUND = re.compile(r"\b(limits|job)\.([a-z_]+)")
# one of a list is enough, or none where the calculation has a figure of its own; a drawing goes without
FIRST_THERE_IS = re.compile(r"^ +\w+: (?:\[[\w.]+(?:, [\w.]+)*\]|\{if_given: [\w.]+\})$", re.MULTILINE)
NEEDED = {(head, column.name): column.needed_for for head, columns in (("limits", LIMITS), ("job", JOB)) for column in columns}


@pytest.mark.parametrize("lesson", sorted(lesson_ids(content_folder())))
def test_every_figure_of_a_lesson_is_listed_as_needed(lesson: str) -> None:
    text = "".join(
        (content_folder() / folder / f"{lesson}.{kind}").read_text("utf-8")
        for folder, kind in (("lessons", "md"), ("questions", "yml"))
    )
    used = set(FOUND.findall(FIRST_THERE_IS.sub("", text)))
    assert used, "every lesson works with some figure of its site"
    assert [f"{head}.{name}" for head, name in sorted(used) if not NEEDED[head, name] & {lesson, "*"}] == []
