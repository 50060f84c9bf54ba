"""What was changed in the tables and the rules, and when the register was told of it.

The tables may be written to at any time; each taking-in keeps as a row how they stand. Two rows of one id after each
other are a change, and a record says so beside what rests on it.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from generator.language.words import mark, said
from generator.records.roster import NAME_PRINT, SNAPSHOTS
from generator.register.entry import Entry
from generator.units.writing import pointed, written

OF_THE_PAST = frozenset(
    {"person", "mentor", "machine", "edition"}
)  # their days are read from the tables of today, whatever day is asked for
_TABLES = {
    "person": mark("the crew"),
    "mentor": mark("the mentors"),
    "machine": mark("the machines"),
    "role": mark("the roles"),
    "rules": mark("the rules for records"),
    "edition": mark("the days of editions"),
}
_NOTHING = mark("nothing")
MOST = 6  # of a list, in words
# of the tables, whose headings are the same in every language
_COLUMNS = {"former_id": "former id", "role_from": "role from", "on_foot": "on foot", "valid_months": "valid months", "slope_hours": "slope hours",
            "lesson_months": "valid months of lessons", "seat_time_signed": "seat time needs sign-offs", "count_codes": "short codes count",
            "sign_before_pass": "sign before pass", "due_days": "due days", "keep_months": "keep months", "away_days": "away days",
            "class_only": "a class for itself", "site_number": "site number"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class TableChange:
    """One change: on which day the register was told (UTC), of what, and what became of what."""

    day: datetime.date
    kind: str
    id: str
    words: str
    entry: int

    @property
    def about(self) -> str:
        """The table with the id in it."""
        table = said(_TABLES[self.kind])
        return said("{table}, {id}", table=table, id=self.id) if self.kind != "rules" else table


def changes_in(entries: Iterable[Entry]) -> tuple[TableChange, ...]:
    """All changes that the rows tell of, in their order. Of what was told for the first time there is none."""
    last: dict[tuple[str, str], Mapping[str, Any]] = {}
    out = []
    for e in entries:
        if e.kind not in SNAPSHOTS:
            continue
        key = (e.kind, str(e.body["id"]))
        before = last.get(key)
        if before is not None:
            words = _difference(before, e.body)
            if words:
                out.append(TableChange(taken_day(e), *key, words, e.n))
        last[key] = e.body
    return tuple(out)


def taken_day(e: Entry) -> datetime.date:
    """The day a row was taken in, in UTC."""
    return datetime.date.fromisoformat(e.taken[:10])


def _difference(old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    if new.get("gone") != old.get("gone"):
        return said("taken out of the table") if new.get("gone") else said("put back into the table")
    keys = [k for k in new if k != "id" and k in old and old[k] != new[k]]
    return _joined(
        [said("another name") if k == NAME_PRINT else said("{column}: {change}", column=_COLUMNS.get(k, k), change=_change(old[k], new[k]))
         for k in keys], "; ",
    )  # fmt: skip


def _joined(parts: list[str], between: str) -> str:
    """Texts one behind the other that can still be told in another language."""
    if not parts:
        return ""
    return said(between.join(f"{{part{i}}}" for i in range(len(parts))), **{f"part{i}": part for i, part in enumerate(parts)})


def _change(old: Any, new: Any) -> str:
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        keys = [k for k in (*old, *(k for k in new if k not in old)) if old.get(k) != new.get(k)]
        return _joined([said("{key} {old} is now {new}", key=k, old=_text(old.get(k)), new=_text(new.get(k))) for k in keys], ", ")
    if isinstance(old, list) and isinstance(new, list) and not any(isinstance(x, Mapping) for x in (*old, *new)):
        gone, more = [_text(x) for x in old if x not in new], [_text(x) for x in new if x not in old]
        if gone and more:
            return said("without {gone} and with {more}", gone=some(gone), more=some(more))
        if gone or more:
            return said("without {gone}", gone=some(gone)) if gone else said("with {more}", more=some(more))
        return said("in another order")
    return said("{old} is now {new}", old=_text(old), new=_text(new))


def some(words: list[str]) -> str:
    """The first few, and how many more the row holds."""
    first = _joined(words[:MOST], ", ")
    return said("{some} and {n} more", some=first, n=len(words) - MOST) if len(words) > MOST else first


def _text(value: Any) -> str:
    if value is None or value == "" or value == []:
        return said(_NOTHING)
    if isinstance(value, bool):
        return said("yes") if value else said("no")
    if isinstance(value, list):
        return _joined([_text(x) for x in value], ", ")
    if isinstance(value, Mapping):
        if isinstance(value.get("up_to"), int | float):
            return said("{id} up to {mass} kg", id=value.get("id", ""), mass=written(Decimal(round(value["up_to"])), "metric"))
        return str(value.get("id", ""))
    return pointed(f"{value:g}") if isinstance(value, float) else str(value)
