"""What is wrong with a result that was handed in: one line, with a name for its kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from generator.language.words import mark
from generator.source.problem import Refusal

# every name a flag can have, and what it means
NAMES: Mapping[str, str] = {
    "unreadable": mark("not a result, or not readable at all"),
    "truncated": mark("the end or a part of it is missing"),
    "altered": mark("changed after the quiz wrote it"),
    "mistyped": mark("a slip code or sheet code with a typing slip in it"),
    "foreign": mark("another site, crew, lesson, edition or other questions than this site keeps"),
    "future": mark("dated after the day it was handed in"),
    "outside": mark("before the person's first day, or after the last; or on a machine that was retired"),
    "learner": mark("a learning system has it of somebody else than it names"),
    "renamed": mark("a crew id has another name than the register knows"),
    "times": mark("its times contradict each other"),
    "duplicate": mark("handed in before"),
    "conflict": mark("the same try with other answers"),
    "copied": mark("the same figures and answers under two crew ids"),
    "fast": mark("answered faster than anyone reads"),
    "clock": mark("taken before its edition was built, by its clock"),
    "relabelled": mark("the same try under two editions"),
    "told": mark("a short slip code: the phone's word, not marked here"),
    "score": mark("the score shown differs from the marking here; the marking here counts"),
    "unsigned": mark("a sign-off that cannot count"),
    "mentor": mark("signed by somebody who was no mentor for that machine on that day"),
    "too-soon": mark("signed before the quiz was passed"),
    "not-theirs": mark("signed on a machine that is not the person's"),
    "corrected": mark("taken out by a correction"),
    "left": mark("an id that stands in the crew no more, without a last day"),
    "away": mark("long without seat time; told, and takes nothing away"),
    "name-kept": mark("the name of somebody who left longer ago than names are kept"),
    "gone": mark("a row that no longer stands in its table; it still counts"),
    "more": mark("so much is wrong in one file that the rest is only counted"),
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
