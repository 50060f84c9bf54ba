"""Digits typed into a lesson: every one must come from a calculation or a table instead."""

from __future__ import annotations

import re
from collections.abc import Iterator

from generator.book.content import Content
from generator.book.lesson import Lesson
from generator.source.yamltext import line_of, load_plain

_DIGITS = re.compile(r"\d[\d.,/]*")
_CALLS = re.compile(r"\{\{.*?\}\}", re.DOTALL)


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
    for text, line in _read_by_people(lesson):
        yield from _in_line(lesson, line, _CALLS.sub("", text), patterns)


def _in_line(lesson: Lesson, line: int, row: str, patterns: list[re.Pattern[str]]) -> Iterator[str]:
    for p in patterns:
        row = p.sub("", row)
    for m in _DIGITS.finditer(row):
        mine = "" if lesson.file.startswith("content/") else ", or list its words in allowed-figures.yml"
        yield f"{lesson.file}:{line}: '{m[0]}' is typed; let a calculation or a table give it{mine}"


def _read_by_people(lesson: Lesson) -> Iterator[tuple[str, int]]:
    """The lines of a front matter that may hold a typed figure, each with its line in the file."""
    yield lesson.title, lesson.lines["title"]
    yield lesson.summary, lesson.lines["summary"]
    lines = [*lesson.why, *lesson.watch, *lesson.stop_work, *lesson.show, *lesson.show_beside]
    if lesson.exercise:
        lines += lesson.exercise.texts
    if lesson.sheet:
        lines += [*lesson.sheet.points, *(t for entry in lesson.sheet.asks for t in (entry.ask, entry.answer))]
    lines += [spec.caption for spec in (lesson.table, lesson.drawing) if spec and spec.caption]
    yield from ((text, line_of(text, 2)) for text in lines)
