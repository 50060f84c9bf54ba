"""What is wrong with a job site's tables: file, line, column, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from generator.source.problem import Problem, Refusals
from generator.source.problem import Severity as Weight

__all__ = ["FILES", "Code", "Log", "Problem", "SiteProblems", "Weight", "notice"]

# what a notice is about, in a word that stays the same when its sentence is put better
Code = Literal[
    "limit-unchanged", "figures-unchanged", "row-unchanged", "name-unchanged", "bucket-load", "bucket-width", "width",
    "narrow-width", "centre-of-gravity", "tracks", "blade", "blade-load", "stick", "reach", "empty-mass", "body-load",
    "measured-load", "swell", "tonne", "mixed-units", "limits-future", "limits-old", "start-far", "steep-plan", "not-taught", "lines-not-taught",
    "hidden", "lost-words", "device-name", "retired", "truck-distance", "truck-reach", "narrow-pile",
]  # fmt: skip

FILES = ("settings.yml", "machines.csv", "trucks.csv", "materials.csv", "crew.csv")


def _order(problem: Problem) -> tuple[int, int, int]:
    name = problem.file
    if name.endswith("]"):  # a sheet stands where its table would
        name = name.rpartition("[")[2].removesuffix("]").lower() + ".csv"
    file = FILES.index(name) if name in FILES else -1
    return (problem.severity, file, problem.line or 0)


class SiteProblems(Refusals):
    """Everything that is wrong with a job site, most important first."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        super().__init__(sorted(dict.fromkeys(problems), key=_order))


def notice(file: str, line: int | None, column: str | None, what: str, fix: str, code: Code) -> Problem:
    """What is allowed and still worth a look; ``doubts.GROUPS`` says under which heading it is told."""
    return Problem(file, line, column, _shown(what), _shown(fix), Weight.REST, code)


def _shown(text: str) -> str:
    return text if text.isprintable() else "".join(ch if ch.isprintable() else "�" for ch in text)


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
        self.file = _shown(self.file)

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
        weight: Weight = Weight.VALUE,
    ) -> None:
        """Note one problem of this file."""
        if not self.full:
            # a message quotes what stands in the file: keep it to one line that can be shown
            column = None if column is None else _shown(column)
            self.problems.append(
                Problem(self.file, line, column, _shown(what), _shown(fix), weight)
            )

    def notice(self, line: int | None, column: str | None, what: str, fix: str, code: Code) -> None:
        """Note what is allowed and still worth knowing: it stops nothing."""
        self.notices.append(notice(self.file, line, column, what, fix, code))

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
            Weight.REST,
        )
        return [*self.problems, more]
