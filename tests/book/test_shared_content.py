"""What is shipped is read once a process and serves every site built in it: nothing can change it on the way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from generator.book.content import Content, content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead
from generator.jobsite.reader import read
from generator.working.ledger import Ledger
from tests.conftest import DEMO

CALCULATIONS = {"Formula", "Procedure"}  # they are the program's own, whatever is built


@pytest.fixture(scope="module")
def content() -> Content:
    return read_content(content_folder())


def open_to_change(value: Any, way: str) -> Iterator[str]:
    """Where a dict, list, set or open record lies in it."""
    if isinstance(value, dict | list | set | bytearray):
        yield way
    if is_dataclass(value) and not isinstance(value, type):
        name = type(value).__name__
        if name in CALCULATIONS:
            return
        if not type(value).__dataclass_params__.frozen:  # type: ignore[attr-defined]
            yield f"{way} ({name})"
        for part in fields(value):
            yield from open_to_change(getattr(value, part.name), f"{name}.{part.name}")
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from open_to_change(inner, way)
    elif isinstance(value, list | tuple | set | frozenset):
        for inner in value:
            yield from open_to_change(inner, way)


def test_the_walk_finds_what_is_open(content: Content) -> None:
    lesson = content.lessons["slot-front-to-back"]
    assert lesson.drawing is not None and lesson.drawing.given is not None
    opened = replace(lesson, find=list(lesson.find), drawing=replace(lesson.drawing, given=dict(lesson.drawing.given)))  # type: ignore[arg-type]
    assert sorted(open_to_change(opened, "lesson")) == ["DrawingSpec.given", "Lesson.find"]


def test_nothing_of_a_shipped_lesson_or_question_can_be_changed(content: Content) -> None:
    assert set(open_to_change(tuple(content.lessons.values()), "lessons")) == set()
    assert set(open_to_change(tuple(content.questions.values()), "questions")) == set()


def test_a_lesson_is_shared_and_a_changed_one_is_a_copy(content: Content) -> None:
    """The wrong way of a slot, given other figures, is refused there alone: the next site has the shipped one."""
    again = read_content(content_folder())
    lesson = again.lessons["slot-front-to-back"]
    assert lesson is content.lessons["slot-front-to-back"]
    given = lesson.ways["order"].wrong.picture.given
    assert given is not None
    with pytest.raises(TypeError):
        given["spoil_heights"] = "plan.spoil_height"  # type: ignore[index]
    site = read(DEMO, lesson_ids(content_folder()))
    assert "sw-steps" in LessonPage(lesson, again, site, site_lead(site), Ledger()).ways("order")
