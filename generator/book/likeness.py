"""What all languages of a handbook must have alike: the numbers on its pages, and how its quizzes are marked.

Of each part of the book there is a print, made where the part is rendered and kept with it, so that two languages whose
prints are the same need not be gone through.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from generator.book.part import Tree
from generator.source.problem import Problem
from generator.source.store import digest
from generator.units.table import SYSTEMS
from generator.working.ledger import Entry

_FIGURES = re.compile(r"[\d.,/\u202f−-]*\d")

Row = tuple[str, str, str, str]  # where a number stands, its figures in both unit systems, its value


def alike_print(entries: Iterable[Entry], marking: Mapping[str, Any]) -> str:
    """A print of numbers and marks that is the same in every language."""
    return digest(json.dumps([sorted(numbers_of(entries).items()), marks_of(marking)], ensure_ascii=False, sort_keys=True))


@dataclass(frozen=True)
class Likeness:
    """Numbers by page and marks by lesson, without words: plain data."""

    numbers: Mapping[str, list[Row]]
    marks: Mapping[str, object]

    @classmethod
    def of(cls, tree: Tree) -> Likeness:
        """Those of one language's tree."""
        return cls(numbers_of(tree.ledger.entries), {lesson: marks_of(made) for lesson, made in tree.marking.items()})


def unlike(main: Likeness, other: Likeness, code: str) -> Iterator[Problem]:
    """Where a language has other numbers or marks other answers than the main one: each page is told once."""
    ours, theirs = main.numbers, other.numbers
    for page in sorted(ours.keys() | theirs.keys()):
        if ours.get(page) != theirs.get(page):
            lost = [x for x in ours.get(page, []) if x not in theirs.get(page, [])] or [
                x for x in theirs.get(page, []) if x not in ours.get(page, [])
            ]
            said = f", such as {lost[0][1]}" if lost else ""
            yield Problem.of(f"{code}/{page}", None, f"the page has other numbers than in the main language{said}",
                             "give it the same calls, each as often")  # fmt: skip
    for lesson in sorted(main.marks.keys() | other.marks.keys()):
        if main.marks.get(lesson) != other.marks.get(lesson):
            yield Problem.of(f"{code}/questions/{lesson}.yml", None, "it asks or marks other than in the main language",
                             "leave blanks, choices and their order as they are there")  # fmt: skip


def numbers_of(entries: Iterable[Entry]) -> dict[str, list[Row]]:
    """By page: place, figures in both systems and value of each number, in a fixed order. The words of units are the language's."""
    found: dict[str, list[Row]] = {}
    for e in entries:
        us, metric = (" ".join(_FIGURES.findall(str(e.values[system]))) for system in SYSTEMS)
        found.setdefault(e.page, []).append((e.place, us, metric, str(e.si) if isinstance(e.si, int | float) else ""))
    return {page: sorted(rows) for page, rows in found.items()}


_IN_WORDS = ("title", "figures", "ask", "labels")  # of what marks a quiz: what the language says, and its print


def marks_of(made: object) -> object:
    """How quizzes are marked, without the words of their questions and answers."""
    if isinstance(made, Mapping):
        return {k: _mark(k, v) for k, v in made.items()}
    return [marks_of(v) for v in made] if isinstance(made, list | tuple) else made


def _mark(key: str, value: Any) -> object:
    if key == "labels":
        return len(value)
    if key == "shown":
        return _FIGURES.findall(str(value))
    return None if key in _IN_WORDS else marks_of(value)
