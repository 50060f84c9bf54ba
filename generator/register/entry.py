"""One row of the register, and what becomes one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

Kind = Literal[
    "result", "sign-off", "talk", "hours", "retrain", "correction", "person", "mentor", "machine", "role", "rules", "edition", "taking",
]  # fmt: skip
KINDS: Mapping[Kind, str] = {
    "result": "a try at a quiz: a saved file, a slip code, a sheet of paper",
    "sign-off": "what a mentor saw a person do, on which machine",
    "talk": "a tailgate talk that a person attended",
    "hours": "seat time of a person on a machine",
    "retrain": "an order that a person is to be trained again",
    "correction": "what somebody says of an earlier row, and why",
    "person": "a row of the crew as it stood from this day, with a salted print in place of the name",
    "mentor": "a row of the mentors as it stood from this day, with a salted print in place of the name",
    "machine": "a row of the machines or trucks as it stood from this day",
    "role": "a role with its lessons and rules as it stood from this day",
    "rules": "the site's own rules for its records as they stood from this day",
    "edition": "the figures of an edition: the hash of what marks it",
    "taking": "a taking-in: which program, how much",
}


@dataclass(frozen=True, slots=True)
class New:
    """What is to become a row.

    ``day`` is the day it is about, as 2026-03-14, and ``at`` the instant as 2026-03-14T09:30:00Z, or nothing. ``crew``,
    ``lesson``, ``machine`` and ``edition`` are ids, or nothing. ``about`` is the row that a correction names. ``body``
    holds the rest as JSON and no person's name. ``identity`` is what makes two of them the same thing: the second is
    not taken in. ``where`` is the file and line it was read at; it stands beside the rows and not in the chain.
    """

    kind: Kind
    day: str
    body: Mapping[str, Any]
    identity: str
    at: str = ""
    crew: str = ""
    lesson: str = ""
    machine: str = ""
    edition: str = ""
    about: int | None = None
    where: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A row as it stands. ``n`` counts from 1 without a gap; ``taken`` is when it was taken in, in UTC.

    ``digest`` is the SHA-256 of kind and identity, ``chain`` that of the row before and of everything in this row, both as hex digits.
    """

    n: int
    kind: Kind
    day: str
    at: str
    taken: str
    crew: str
    lesson: str
    machine: str
    edition: str
    about: int | None
    body: Mapping[str, Any]
    digest: str
    chain: str
    where: str = field(default="", compare=False)
