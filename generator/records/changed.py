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

from generator.records.roster import NAME_PRINT, SNAPSHOTS
from generator.register.entry import Entry
from generator.units.writing import pointed, written

OF_THE_PAST = frozenset(
    {"person", "mentor", "machine", "edition"}
)  # their days are read from the tables of today, whatever day is asked for
_TABLES = {
    "person": "the crew",
    "mentor": "the mentors",
    "machine": "the machines",
    "role": "the roles",
    "rules": "the rules for records",
    "edition": "the days of editions",
}
_NOTHING = "nothing"
MOST = 6  # of a list, in words
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
        return _TABLES[self.kind] + (f", {self.id}" if self.kind != "rules" else "")


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
        return "taken out of the table" if new.get("gone") else "put back into the table"
    keys = [k for k in new if k != "id" and k in old and old[k] != new[k]]
    return "; ".join("another name" if k == NAME_PRINT else f"{_COLUMNS.get(k, k)}: {_change(old[k], new[k])}" for k in keys)


def _change(old: Any, new: Any) -> str:
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        keys = [k for k in (*old, *(k for k in new if k not in old)) if old.get(k) != new.get(k)]
        return ", ".join(f"{k} {_text(old.get(k))} is now {_text(new.get(k))}" for k in keys)
    if isinstance(old, list) and isinstance(new, list) and not any(isinstance(x, Mapping) for x in (*old, *new)):
        gone, more = [_text(x) for x in old if x not in new], [_text(x) for x in new if x not in old]
        told = [f"without {some(gone)}"] * bool(gone) + [f"with {some(more)}"] * bool(more)
        return " and ".join(told) or "in another order"
    return f"{_text(old)} is now {_text(new)}"


def some(words: list[str]) -> str:
    """The first few, and how many more the row holds."""
    return ", ".join(words[:MOST]) + (f" and {len(words) - MOST} more" if len(words) > MOST else "")


def _text(value: Any) -> str:
    if value is None or value == "" or value == []:
        return _NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(_text(x) for x in value)
    if isinstance(value, Mapping):
        return str(value.get("id", "")) + (
            f" up to {written(Decimal(round(value['up_to'])), 'metric')} kg" if isinstance(value.get("up_to"), int | float) else ""
        )
    return pointed(f"{value:g}") if isinstance(value, float) else str(value)
