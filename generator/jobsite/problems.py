"""What is wrong with a job site's tables: file, line, column, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from generator.source.log import notice_of
from generator.source.problem import Problem, Refusals

# what a notice is about, in a word that stays the same when its sentence is put better
Code = Literal[
    "limit-unchanged", "figures-unchanged", "row-unchanged", "name-unchanged", "bucket-load", "bucket-width",
    "width", "narrow-width", "centre-of-gravity", "tracks", "blade", "blade-load", "stick", "reach", "empty-mass",
    "body-load", "measured-load", "swell", "tonne", "mixed-units", "limits-future", "limits-old", "start-far", "day-far",
    "steep-plan", "not-taught", "not-worked", "lines-not-taught", "question-left-out", "column-blank", "parts-not-taught",
    "skeleton",
    "truck-distance", "truck-reach", "narrow-pile", "lift-chart",
    "retired-lead", "retired-machine", "mentor-twin", "mentor-kind", "no-class", "class-attachment", "other-language",
    "no-language",
    "rule-blank",
    "replaces-shared",
    "hidden", "retired", "lost-words", "device-name", "looked-at",
]  # fmt: skip

FILES = ("settings.yml", "machines.csv", "trucks.csv", "materials.csv", "crew.csv")
_ORDER = (*FILES, "lift_chart.csv", "mentors.csv")


def _order(problem: Problem) -> tuple[int, int, bool, int]:
    name = problem.file
    shared = "/" in name  # what is shared first: it is wrong on every site that shares it
    name = name.rpartition("/")[2]
    if name.endswith("]"):  # a sheet stands where its table would
        name = name.rpartition("[")[2].removesuffix("]").lower() + ".csv"
    file = _ORDER.index(name) if name in _ORDER else -1
    return (problem.severity, file, not shared, problem.line or 0)


class SiteProblems(Refusals):
    """Everything that is wrong with a job site, most important first."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        super().__init__(sorted(dict.fromkeys(problems), key=_order))


def notice(file: str, line: int | None, column: str | None, what: str, fix: str, code: Code, about: Iterable[object] = ()) -> Problem:
    """What is allowed and still worth a look; ``doubts.GROUPS`` says under which heading it is told.

    ``about`` are the figures it compares: whoever looked at them looked at these.
    """
    return notice_of(file, line, column, what, fix, code, map(str, about))
