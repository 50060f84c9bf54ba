"""What came out of taking in and judging: what counts, what is held, what is flagged."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from generator.language.words import said
from generator.records.changed import TableChange
from generator.records.editions import Editions
from generator.records.flags import Flag
from generator.records.mark import Marked
from generator.records.signoffs import SignOff
from generator.records.told import Correction, Hours, Retrain, Talk

MOST_FLAGS = 200  # of one file


@dataclass
class Tally:
    """What came out: results that count, marked again; flags; sign-offs; files left aside."""

    marked: list[Marked] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    signoffs: list[SignOff] = field(default_factory=list)
    left_aside: int = 0
    files: int = 0
    editions: Editions = field(default_factory=Editions)
    held: list[Marked] = field(default_factory=list)  # disputed: the coordinator has to say which counts
    talks: list[Talk] = field(default_factory=list)
    hours: list[Hours] = field(default_factory=list)
    orders: list[Retrain] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    taken: Mapping[int, datetime.date] = field(default_factory=dict)  # by row of the register: the day it was taken in, UTC
    later: frozenset[int] = frozenset()  # rows that were not taken in yet at the time all this is told for
    changes: tuple[TableChange, ...] = ()  # of the tables and rules
    begun: datetime.date | None = None  # the day of the register's first row

    @property
    def read_something(self) -> bool:
        """Whether anything handed in could be read."""
        return bool(self.marked or self.signoffs or any(f.name not in {"unreadable", "truncated", "more"} for f in self.flags))


def sorted_flags(flags: list[Flag]) -> list[Flag]:
    """The flags by file, line and name; of one file no more than MOST_FLAGS, and a line for the rest of them."""
    return _not_too_many(sorted(flags, key=lambda f: (*_place(f.where), f.name)))


def _place(where: str) -> tuple[str, int]:
    """A flag's file and line, the line as a number so that 2 stands before 10."""
    file, _, line = where.rpartition(":")
    return (file, int(line)) if line.isdecimal() else (where, 0)


def _not_too_many(flags: list[Flag]) -> list[Flag]:
    """The flags with no more than MOST_FLAGS of one file, and a line for the rest of them."""
    by_file: dict[str, list[Flag]] = {}
    for f in flags:
        by_file.setdefault(_place(f.where)[0], []).append(f)
    out: list[Flag] = []
    for file, found in by_file.items():
        out += found[:MOST_FLAGS]
        if len(found) > MOST_FLAGS:
            out.append(Flag(found[MOST_FLAGS].where, "more", said('{n} more things are wrong in {file}', n=f"{len(found) - MOST_FLAGS:,}", file=file),
                            said('mend those that are listed, or ask for the file again')))  # fmt: skip
    return out
