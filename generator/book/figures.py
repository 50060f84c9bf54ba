"""Digits typed into a lesson: every one must come from a calculation or a table instead."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from generator.book.content import Content
from generator.book.lesson import Lesson
from generator.source.yamltext import line_of, load_plain

_DIGITS = re.compile(r"\d[\d.,/]*")
_CALLS = re.compile(r"\{\{.*?\}\}", re.DOTALL)
_READ_BY_PEOPLE = ("title", "summary", "why", "watch", "stop_work", "show", "sheet", "table", "drawing")


def allowed(content: Content) -> list[tuple[re.Pattern[str], str]]:
    """What may be typed all the same, each with its reason (``allowed-figures.yml``)."""
    raw = load_plain((content.folder / "allowed-figures.yml").read_text("utf-8"), "content/allowed-figures.yml")
    return [(re.compile(str(r["pattern"])), str(r["reason"])) for r in raw]


def typed_figures(content: Content) -> list[str]:
    """One line for each digit in a lesson that no calculation or table gave."""
    patterns = [p for p, _ in allowed(content)] + [re.compile(re.escape(t)) for t in content.may_stand]
    return [line for lesson in content.lessons.values() for line in _in_lesson(lesson, patterns)]


def _in_lesson(lesson: Lesson, patterns: list[re.Pattern[str]]) -> Iterator[str]:
    body = _CALLS.sub(lambda m: "\n" * m[0].count("\n"), lesson.body)
    for i, row in enumerate(body.splitlines()):
        yield from _in_line(lesson, lesson.body_line + i, row, patterns)
    for key in _READ_BY_PEOPLE:
        for text in _strings(lesson.front.get(key)):
            yield from _in_line(lesson, line_of(text, 2), _CALLS.sub("", text), patterns)


def _in_line(lesson: Lesson, line: int, row: str, patterns: list[re.Pattern[str]]) -> Iterator[str]:
    for p in patterns:
        row = p.sub("", row)
    for m in _DIGITS.finditer(row):
        mine = "" if lesson.file.startswith("content/") else ", or list its words in allowed-figures.yml"
        yield f"{lesson.file}:{line}: '{m[0]}' is typed; let a calculation or a table give it{mine}"


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for v in value:
            yield from _strings(v)
    elif isinstance(value, dict):
        for k, v in value.items():
            if k not in {"__line__", "scene", "with", "columns", "over", "sum"}:
                yield from _strings(v)

