"""What mentors and the coordinator write in tables: talks, seat time, orders to train again, corrections."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from generator.language.words import mark

Reason = Literal["observed unsafe", "incident", "evaluation", "new machine", "changed workplace", "long away"]
REASONS: Mapping[Reason, str] = {
    "observed unsafe": mark("seen working unsafely"),
    "incident": mark("an accident or a near miss"),
    "evaluation": mark("an evaluation showed unsafe work"),
    "new machine": mark("given another type of machine"),
    "changed workplace": mark("the workplace changed so that it matters"),
    "long away": mark("long away from the work"),
}
Says = Literal["void", "counts", "same person"]
SAYS: Mapping[Says, str] = {
    "void": mark("the row counts no more"),
    "counts": mark("the row counts, though it was held"),
    "same person": mark("the id's name changed, the person did not"),
}


@dataclass(frozen=True, slots=True)
class Talk:
    """A tailgate talk that one person attended. ``sheet`` is the number on the sheet, ``leader`` an id, ``language`` the code of
    the language it was held in, empty where that was not told."""

    crew: str
    lesson: str
    sheet: str
    leader: str
    day: datetime.date
    entry: int | None = None
    language: str = ""


@dataclass(frozen=True, slots=True)
class Hours:
    """Seat time of a person: ``hours`` on a machine on a day, with a mentor's id or nothing; ``slope`` where it was on a slope."""

    crew: str
    machine: str
    kind: str
    day: datetime.date
    hours: float
    mentor: str = ""
    task: str = ""
    slope: bool = False
    entry: int | None = None


@dataclass(frozen=True, slots=True)
class Retrain:
    """An order to train a person again, in one lesson or (``lesson`` empty) in all, from a day on."""

    crew: str
    lesson: str
    day: datetime.date
    why: Reason
    entry: int | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """What somebody (``by``, an id) says of row ``about``, or of the id ``crew``, and why.

    ``of`` is the crew id whose row it is, ``what`` that row in a few words; ``undone`` says that a later correction took it out.
    """

    about: int | None
    crew: str
    says: Says
    by: str
    why: str
    day: datetime.date
    entry: int | None = None
    of: str = ""
    what: str = ""
    undone: bool = False
