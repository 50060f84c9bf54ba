"""What is wrong, where, and what to do about it: one class for everything a user can mend.

A ``Problem`` is one mistake in one place. A ``Refusal`` is the error that carries one: where it is
raised it may not know its place yet, and whoever knows gives it with ``at``. ``Refusals`` carries
all mistakes of one reading. Logic asks a problem's ``code`` and its class, never its wording.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import IntEnum
from typing import Any, Self


class Severity(IntEnum):
    """How much else a problem stands in the way of; the lowest is told first."""

    UNREADABLE = 0  # a file that is missing or cannot be read at all
    HEADINGS = 1  # columns or settings that are missing, unknown or there twice
    VALUE = 2  # a value that is missing, wrong or out of its range
    REFERENCE = 3  # something that names or contradicts something else
    REST = 4  # how many more there are, and what stops nothing


@dataclass(frozen=True, slots=True)
class Cause:
    """A figure that a problem comes from, and where it stands: as text ``settings.yml:12:job.rise (6 ft)``."""

    file: str
    line: int | None
    column: str
    figure: str

    def __str__(self) -> str:
        return f"{self.file}{f':{self.line}' if self.line else ''}:{self.column} ({self.figure})"


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake in one place, one line as text.

    ``file`` is its name, and of a workbook the sheet too: ``site.xlsx[machines]``; it is empty where
    no file is to blame, as on a command line. ``line`` counts from 1 as an editor does, None for a
    whole file. ``column`` is the name of the column, or the dotted name of the setting. ``code``
    says what kind of mistake it is, for whoever has to decide by it. Where the mistake shows in one
    place and comes from figures in others, ``causes`` are those, and ``reason`` is what is wrong without
    saying where it shows. ``about`` names what the words are about: inputs of a calculation, the
    columns that a heading was likely meant as, or the figures that a notice compares.
    """

    file: str
    line: int | None
    column: str | None
    what: str
    fix: str
    severity: Severity = field(default=Severity.VALUE, compare=False)
    code: str = field(default="", compare=False)
    reason: str = field(default="", compare=False)
    causes: tuple[Cause, ...] = field(default=(), compare=False)
    about: tuple[str, ...] = field(default=(), compare=False)

    @classmethod
    def of(cls, file: str, line: int | None, what: str, fix: str, code: str = "") -> Self:
        """A mistake in a line of a file, of no column."""
        return cls(file, line or None, None, what, fix, code=code)

    @property
    def where(self) -> str:
        """The place as a message begins with it: ``file:line:column``."""
        parts = [self.file, *([str(self.line)] if self.line else []), *([self.column] if self.column else [])]
        return ":".join(parts) if self.file else ""

    def __str__(self) -> str:
        told = f"{self.what}; {self.fix}"
        if self.code and self.severity is Severity.REST:
            told += f" [{self.code}]"  # a notice is named by it
        return f"{self.where}: {told}" if self.file else told


class Refusal(Exception):
    """An error that a user can mend: ``what`` is wrong and the ``fix``, one line each.

    ``problem`` is the same as data. ``code`` of the class is that of its problems where none is given.
    """

    code = ""

    def __init__(
        self, what: str, fix: str, *, file: str = "", line: int | None = None, column: str | None = None,
        severity: Severity = Severity.VALUE, code: str = "", reason: str = "", causes: Iterable[Cause] = (),
        about: Iterable[str] = (),
    ) -> None:  # fmt: skip
        self.problem = Problem(
            file, line or None, column, what, fix, severity, code or type(self).code, reason, tuple(causes), tuple(about)
        )
        super().__init__(str(self.problem))

    @classmethod
    def of(cls, file: str, line: int | None, what: str, fix: str, code: str = "") -> Self:
        """The error about a line of a file."""
        return cls(what, fix, file=file, line=line, code=code)

    @property
    def what(self) -> str:
        """What is wrong."""
        return self.problem.what

    @property
    def fix(self) -> str:
        """What to do about it."""
        return self.problem.fix

    @property
    def file(self) -> str:
        """The file it stands in, where it is known."""
        return self.problem.file

    @property
    def line(self) -> int | None:
        """Its line, where it is known."""
        return self.problem.line

    def at(self, file: str, line: int | None = None, column: str | None = None) -> Problem:
        """Its problem in a place; the place it knows itself, if any, goes before."""
        return self.problem if self.problem.file else replace(self.problem, file=file, line=line or None, column=column)

    def told_of(self, name: str, file: str, line: int | None) -> Problem:
        """Its problem in a place, beginning with the name of what it is about."""
        return replace(self.at(file, line), what=f"{name}: {self.what}")

    def __reduce__(self) -> tuple[Any, tuple[Any, ...]]:
        return _again, (type(self), self.problem)  # so that a worker can hand it over


def _again(kind: type[Refusal], problem: Problem) -> Refusal:
    made = kind.__new__(kind)
    made.problem = problem
    Exception.__init__(made, str(problem))
    return made


class Refusals(Exception):
    """All mistakes of one reading, none twice, in the order they were found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(dict.fromkeys(problems))
        super().__init__("\n".join(str(p) for p in self.problems))

    def __reduce__(self) -> tuple[Any, tuple[Any, ...]]:
        return type(self), (self.problems,)
