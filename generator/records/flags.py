"""What is wrong with a result that was handed in: one line, with a name for its kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from generator.source.problem import Refusal

# every name a flag can have, and what it means
NAMES: Mapping[str, str] = {
    "unreadable": "not a result, or not readable at all",
    "truncated": "the end or a part of it is missing",
    "altered": "changed after the quiz wrote it",
    "mistyped": "a slip code or sheet code with a typing slip in it",
    "foreign": "another site, crew, lesson, edition or other questions than this site keeps",
    "future": "dated after the day it was handed in",
    "outside": "before the person's first day, or after the last; or on a machine that was retired",
    "learner": "a learning system has it of somebody else than it names",
    "renamed": "a crew id has another name than the register knows",
    "times": "its times contradict each other",
    "duplicate": "handed in before",
    "conflict": "the same try with other answers",
    "copied": "the same figures and answers under two crew ids",
    "fast": "answered faster than anyone reads",
    "clock": "taken before its edition was built, by its clock",
    "relabelled": "the same try under two editions",
    "told": "a short slip code: the phone's word, not marked here",
    "score": "the score shown differs from the marking here; the marking here counts",
    "unsigned": "a sign-off that cannot count",
    "mentor": "signed by somebody who was no mentor for that machine on that day",
    "too-soon": "signed before the quiz was passed",
    "not-theirs": "signed on a machine that is not the person's",
    "corrected": "taken out by a correction",
    "left": "an id that stands in the crew no more, without a last day",
    "away": "long without seat time; told, and takes nothing away",
    "name-kept": "the name of somebody who left longer ago than names are kept",
    "gone": "a row that no longer stands in its table; it still counts",
    "more": "so much is wrong in one file that the rest is only counted",
}


@dataclass(frozen=True, slots=True)
class Flag:
    """One thing that was handed in and is flagged. ``where`` is ``file:line``.

    ``counted`` says whether it counts all the same; ``row`` is the register's row, where there is one.
    """

    where: str
    name: str
    what: str
    fix: str
    crew: str = ""
    lesson: str = ""
    counted: bool = False
    row: int | None = None

    def __str__(self) -> str:
        text = f"{self.where}: {self.name}: {self.what}; {self.fix}"
        return "".join(ch if ch.isprintable() or ch == "\u202f" else "�" for ch in text)


class Refused(Refusal):
    """A result that does not count. Its code is the flag's name."""

    def __init__(self, name: str, what: str, fix: str, crew: str = "", lesson: str = "") -> None:
        super().__init__(what, fix, code=name)
        self.crew, self.lesson = crew, lesson

    def __reduce__(self) -> tuple[Any, tuple[Any, ...]]:
        return type(self), (self.name, self.what, self.fix, self.crew, self.lesson)

    @property
    def name(self) -> str:
        """The flag's name, one of NAMES."""
        return self.problem.code

    def flag(self, where: str) -> Flag:
        """The flag for what was read there."""
        return Flag(where, self.name, self.what, self.fix, self.crew, self.lesson)
