"""The number ledger: where each printed number stands, and what it comes from."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from generator.units.table import System

# Where a drawing's scale bar and stretch stand: figures of the sketch, which nobody learns.
SCALE = "scale of the drawing"


@dataclass(frozen=True, slots=True)
class Entry:
    """One number on one page.

    ``place`` says where on the page, ``what`` what it is; ``values`` holds the printed text of
    each system and ``si`` the unrounded value. ``calculation`` is None for a number taken
    straight from a table, and ``origin`` then names the file, row and column.
    """

    page: str
    place: str
    what: str
    values: Mapping[System, str]
    si: float | None
    calculation: str | None
    inputs: Mapping[System, Mapping[str, str]]
    sources: Sequence[str]
    origin: str = ""


_encode = json.JSONEncoder(ensure_ascii=False, sort_keys=True).encode


def _row(e: Entry) -> str:
    row: dict[str, Any] = {
        "page": e.page, "place": e.place, "what": e.what,
        "us": e.values["us"], "metric": e.values["metric"],
        "si": None if e.si is None else float(format(e.si, ".12g")),
        "calculation": e.calculation,
        "inputs": {s: dict(v) for s, v in e.inputs.items()},
        "sources": list(e.sources), "origin": e.origin,
    }  # fmt: skip
    return _encode(row)


@dataclass
class Ledger:
    """Collects entries while pages are rendered."""

    entries: list[Entry] = field(default_factory=list)
    _told: dict[int, tuple[Entry, str]] = field(default_factory=dict, compare=False, repr=False)

    def enter(self, entry: Entry) -> None:
        """Add an entry; the same number said twice in the same place is kept once."""
        self.entries.append(entry)

    def rows(self) -> list[str]:
        """The lines of ``ledger.json``, sorted, each once."""
        told = {id(e): self._told.get(id(e)) or (e, _row(e)) for e in self.entries}
        self._told = told  # asked for again as the last numbers come in; each entry is held, so that its id is its own
        return sorted({row for _, row in told.values()})

    def as_json(self, edition: str, site: str, units: System) -> str:
        """``ledger.json``: sorted, one entry a line, so that two editions compare well."""
        head = json.dumps({"ledger": 1, "site": site, "edition": edition, "units": units}, ensure_ascii=False)
        rows = ",\n".join(self.rows())
        return f'{head[:-1]}, "numbers": [\n{rows}\n]}}\n'
