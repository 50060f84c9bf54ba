"""Which corrections stand: one may be taken out by a later one, and nobody corrects what is said of himself or herself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from generator.records import rows
from generator.records.signoffs import itself
from generator.records.told import Correction
from generator.register.entry import Entry

CORRECTED = frozenset({"result", "sign-off", "talk", "hours", "retrain", "correction"})
"""The kinds of rows that a correction may be about: what was handed in, not what the tables said on a day."""


@dataclass(frozen=True)
class Corrected:
    """The corrections that stand; those that a later one took out; those by the person they are about; in their order."""

    standing: tuple[Correction, ...]
    taken_out: tuple[Correction, ...]
    own: tuple[Correction, ...]

    @property
    def said(self) -> Mapping[int, Correction]:
        """What stands of each row: the last that was said."""
        return {c.about: c for c in self.standing if c.about is not None}

    def same(self, crew: str) -> Correction | None:
        """That an id is the same person's still, where that stands."""
        return next((c for c in reversed(self.standing) if c.says == "same person" and c.crew == crew), None)

    def no_longer_same(self, crew: str) -> Correction | None:
        """The last word on an id, where it said that it is the same person's and was taken out."""
        last = max((c for c in (*self.standing, *self.taken_out) if c.says == "same person" and c.crew == crew), key=_row, default=None)
        return last if last in self.taken_out else None


def corrected(entries: Iterable[Entry], names: Mapping[str, str], now: Mapping[str, str], until: str = "9999") -> Corrected:
    """What is corrected by the rows of a register up to the day ``until``, as 2026-03-14.

    ``names`` are those the register has by id, and ``now`` those of the tables: whoever bears either is that person.
    """
    whose: dict[int, str] = {}
    all_: list[Correction] = []
    own: list[Correction] = []
    for e in entries:
        whose[e.n] = e.crew or whose.get(e.about or 0, "")
        if e.kind != "correction" or e.day > until:
            continue
        c = rows.correction_of(e)
        crew = whose[e.n]
        by = names.get(c.by, c.by)
        if crew and (c.by == crew or itself(by, crew, names.get(crew, "")) or itself(by, crew, now.get(crew, ""))):
            own.append(c)
        else:
            all_.append(c)
    void: set[int | None] = set()
    standing: list[Correction] = []
    taken_out: list[Correction] = []
    for c in reversed(all_):  # only a later one is about an earlier one
        if c.entry in void:
            taken_out.append(c)
            continue
        standing.append(c)
        if c.says == "void":
            void.add(c.about)
    return Corrected(tuple(reversed(standing)), tuple(reversed(taken_out)), tuple(own))


def _row(c: Correction) -> int:
    return c.entry or 0
