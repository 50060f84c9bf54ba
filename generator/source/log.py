"""What is found wrong or worth a look in one file, while it is read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from generator.source.problem import Problem, Severity


def printable(text: str) -> str:
    """The text with what cannot be printed shown as a mark, so that a message is one line."""
    return text if text.isprintable() else "".join(ch if ch.isprintable() or ch == "\u202f" else "�" for ch in text)


def notice_of(file: str, line: int | None, column: str | None, what: str, fix: str, code: str, about: Iterable[str] = ()) -> Problem:
    """What is allowed and still worth a look, named by its ``code``."""
    return Problem(file, line, column, printable(what), printable(fix), Severity.REST, code, about=tuple(about))


@dataclass
class Log:
    """Collects the problems of one file, up to ``MOST``: a table saved wrongly is wrong in every cell.

    Whoever goes through many rows stops where the log is ``full``.
    """

    file: str
    problems: list[Problem] = field(default_factory=list)
    more: bool = False
    notices: list[Problem] = field(default_factory=list)

    MOST = 500

    def __post_init__(self) -> None:
        self.file = printable(self.file)

    @property
    def full(self) -> bool:
        """Whether there are more problems than anyone reads; the next is not kept."""
        if len(self.problems) >= self.MOST:
            self.more = True
        return self.more

    def add(
        self,
        line: int | None,
        column: str | None,
        what: str,
        fix: str,
        severity: Severity = Severity.VALUE,
        about: Iterable[str] = (),
    ) -> None:
        """Note one problem of this file; ``about`` as in :class:`Problem`."""
        if not self.full:
            # a message quotes what stands in the file: keep it to one line that can be shown
            column = None if column is None else printable(column)
            self.problems.append(Problem(self.file, line, column, printable(what), printable(fix), severity, about=tuple(about)))

    def notice(self, line: int | None, column: str | None, what: str, fix: str, code: str, about: Iterable[object] = ()) -> None:
        """Note what is allowed and still worth knowing: it stops nothing. ``about`` are the figures it compares."""
        self.notices.append(notice_of(self.file, line, column, what, fix, code, map(str, about)))

    def all(self) -> list[Problem]:
        """The problems noted, with a last line where there are more."""
        if not self.more:
            return list(self.problems)
        more = Problem(
            self.file,
            None,
            None,
            "there are more problems like these",
            "fix the first ones and check again",
            Severity.REST,
        )
        return [*self.problems, more]
