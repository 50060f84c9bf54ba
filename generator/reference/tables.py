"""Published tables, read from ``content/tables/*.csv``.

A file is one source table, figures and units as printed. First come lines ``# key: value``:
``id`` (the file's name), ``title``, ``source`` (a key of ``sources.yml``), ``place``, ``seen``
(``read`` or ``from memory``), ``note`` if there is one, and ``misprint`` or ``mismatch`` for a
cell the source itself has wrong: ``# misprint: ROW | COLUMN: why``. Then a header row, with each
column's unit in brackets (``bank [lb/yd3]``), and the rows. A cell is a figure, a fraction
(``3/4``, ``1 1/2``) or a range (``65-95``); blank where the source prints none.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Literal, cast

from generator.calc.tables import Cell, Table
from generator.reference import sources
from generator.reference.errors import ReferenceProblem
from generator.units.errors import CalculationError
from generator.units.table import UNITS

FOLDER = "tables"

_ONCE = ("id", "title", "source", "place", "seen", "note")
_NEEDED = ("id", "title", "source", "place", "seen")
_FLAGS = ("misprint", "mismatch")
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_COLUMN = re.compile(r"(?P<name>[^\[\].,]+?) \[(?P<unit>[^\[\]]+)\]")
_NUMBER = r"(?:\d+\.\d+|\d+ \d+/\d+|\d+/\d+|\d+)"
_CELL = re.compile(rf"(?P<sign>-?)(?P<low>{_NUMBER})(?:-(?P<high>{_NUMBER}))?")


@dataclass(frozen=True)
class PublishedTable(Table):
    """A table as read from its file.

    ``heading`` names what the rows are. ``flags`` maps (row, column) to what is wrong with the
    cell as printed; those in ``misprints`` are wrong beyond doubt, and :meth:`cell` refuses them.
    ``file`` is the file's name, for messages.
    """

    heading: str = ""
    flags: Mapping[tuple[str, str], str] = field(default_factory=dict)
    misprints: frozenset[tuple[str, str]] = frozenset()
    file: str = ""

    def cell(self, row: str, column: str) -> Cell:
        """The cell, or CalculationError where there is none or its figure is a misprint."""
        found = super().cell(row, column)
        if (row, column) in self.misprints:
            raise CalculationError(
                f"{self.id} is misprinted at {row}, {column} ({self.flags[row, column]})",
                "take the figure from another table",
            )
        return found


def load(content: Path) -> dict[str, Table]:
    """All published tables in the folder ``content``, by id.

    Files are read again only when one of them changed. Raises ReferenceProblem, one line with
    file, line and fix, for anything that is not as it should be.
    """
    folder = content / FOLDER
    files = sorted(folder.glob("*.csv"))
    if not files:
        raise ReferenceProblem(FOLDER, None, "has no tables", "install Seatwork again")
    known = sources.load(content)
    states = tuple((f, f.stat().st_mtime_ns, f.stat().st_size) for f in files)
    return dict(_load(states, tuple(known)))


@lru_cache(maxsize=8)
def _load(states: tuple[tuple[Path, int, int], ...], keys: tuple[str, ...]) -> dict[str, Table]:
    return {path.stem: read(path, frozenset(keys)) for path, _, _ in states}


def read(path: Path, keys: frozenset[str]) -> PublishedTable:
    """The table in one file; its source must be one of ``keys``. Raises ReferenceProblem."""
    return _Reader(path, keys).table()


class _Reader:
    def __init__(self, path: Path, keys: frozenset[str]) -> None:
        self.path, self.keys = path, keys
        self.name = f"{FOLDER}/{path.name}"

    def problem(self, line: int | None, what: str, fix: str) -> ReferenceProblem:
        return ReferenceProblem(self.name, line, what, fix)

    def table(self) -> PublishedTable:
        try:
            lines = self.path.read_text("utf-8").splitlines()
        except UnicodeDecodeError:
            raise self.problem(None, "is not UTF-8 text", "save it as UTF-8") from None
        start = next((i for i, text in enumerate(lines) if not text.startswith("#")), len(lines))
        head, flags = self.head(lines[:start])
        grid = self.grid(lines, start)
        header_line, header = grid[0]
        columns, units = self.columns(header_line, header)
        rows = self.rows(grid[1:], columns, header_line)
        flagged = {}
        misprints = set()
        for key, line, text in flags:
            row, column, why = self.flag(key, line, text, rows)
            if (row, column) in flagged:
                raise self.problem(line, f"{row}, {column} is flagged twice", "keep one")
            flagged[row, column] = why
            if key == "misprint":
                misprints.add((row, column))
        said = {}  # two cells of one pair share their reason: print it once
        for (row, _), why in flagged.items():
            said[row, why] = f"As printed, {row}: {why}."
        note = " ".join(filter(None, (head.get("note", ""), *said.values())))
        return PublishedTable(
            head["id"], head["title"], head["source"], head["place"],
            cast("Literal['read', 'from memory']", head["seen"]),
            tuple(columns), units, rows, note,
            heading=header[0].strip(), flags=flagged, misprints=frozenset(misprints), file=self.name,
        )  # fmt: skip

    def head(self, lines: list[str]) -> tuple[dict[str, str], list[tuple[str, int, str]]]:
        found: dict[str, str] = {}
        flags: list[tuple[str, int, str]] = []
        at = dict.fromkeys(_NEEDED, len(lines) or 1)
        for line, text in enumerate(lines, 1):
            match = re.fullmatch(r"# ([a-z]+): (\S.*)", text.rstrip())
            if match is None:
                raise self.problem(line, f"cannot read '{text[:40]}'", "write '# key: value'")
            key, value = match[1], match[2]
            if key in _FLAGS:
                flags.append((key, line, value))
            elif key not in _ONCE:
                raise self.problem(line, f"'{key}' is no key", f"the keys are {', '.join((*_ONCE, *_FLAGS))}")
            elif key in found:
                raise self.problem(line, f"gives {key} twice", "keep one")
            else:
                found[key], at[key] = value, line
        for key in _NEEDED:
            if key not in found:
                raise self.problem(at[key], f"has no {key}", f"add '# {key}: …' above the header row")
        if found["id"] != self.path.stem or not _ID.fullmatch(found["id"]):
            raise self.problem(at["id"], f"id is '{found['id'][:40]}'", f"write the file's name, {self.path.stem}")
        if found["seen"] not in {"read", "from memory"}:
            raise self.problem(at["seen"], f"seen is '{found['seen'][:40]}'", "write read or from memory")
        if found["source"] not in self.keys:
            raise self.problem(
                at["source"], f"source '{found['source'][:40]}' is not in {sources.FILE}", "add it there, or correct the key"
            )
        return found, flags

    def grid(self, lines: list[str], start: int) -> list[tuple[int, list[str]]]:
        rows: list[tuple[int, list[str]]] = []
        for line, text in enumerate(lines[start:], start + 1):
            if not text.strip():
                raise self.problem(line, "is a blank line", "take it out")
            if text.startswith("#"):
                raise self.problem(line, "'#' below the header row", "move it to the top of the file")
            try:
                rows += [(line, cells) for cells in csv.reader([text], strict=True)]
            except csv.Error as e:
                raise self.problem(line, f"cannot be read ({e})", "check the quote marks") from None
        if len(rows) < 2:
            raise self.problem(len(lines) or 1, "has no rows", "add a header row and the rows as printed")
        return rows

    def columns(self, line: int, header: list[str]) -> tuple[list[str], dict[str, str]]:
        units: dict[str, str] = {}
        if not header[0].strip() or len(header) < 2:
            raise self.problem(line, "the header row is not complete", "name the rows first, then each column with its unit")
        for text in header[1:]:
            match = _COLUMN.fullmatch(text)
            if match is None:
                raise self.problem(
                    line, f"cannot read the heading '{text[:40]}'", "write 'name [unit]', without dots or commas in the name"
                )
            if match["unit"] not in UNITS:
                raise self.problem(line, f"unknown unit '{match['unit'][:40]}'", "use a unit the calculations know, 1 for a plain figure")
            if match["name"] in units:
                raise self.problem(line, f"two columns are called '{match['name']}'", "give each its own name")
            units[match["name"]] = match["unit"]
        return list(units), units

    def rows(self, grid: list[tuple[int, list[str]]], columns: list[str], header_line: int) -> dict[str, dict[str, Cell | None]]:
        rows: dict[str, dict[str, Cell | None]] = {}
        for line, cells in grid:
            if len(cells) != len(columns) + 1:
                raise self.problem(
                    line, f"has {len(cells)} cells where line {header_line} has {len(columns) + 1}", "fill in or take out cells"
                )
            name = cells[0]
            # a lesson names a cell as table.ID.ROW.COLUMN, and messages list rows with commas
            if not name or name != " ".join(name.split()) or "." in name or "," in name:
                raise self.problem(line, f"'{name[:40]}' is no row name", "write words without dots or commas")
            if name in rows:
                raise self.problem(line, f"two rows are called '{name}'", "give each its own name")
            rows[name] = {c: self.cell(line, c, text) for c, text in zip(columns, cells[1:])}
        for column in columns:
            if all(row[column] is None for row in rows.values()):
                raise self.problem(header_line, f"'{column}' has no figures", "take the column out")
        return rows

    def cell(self, line: int, column: str, text: str) -> Cell | None:
        if not text:
            return None
        match = _CELL.fullmatch(text)
        if match is None:
            raise self.problem(line, f"cannot read '{text[:40]}' under {column}", "write a figure, a fraction or a range such as 65-95")
        try:
            low = _figure(match["low"]) * (-1 if match["sign"] else 1)
            high = _figure(match["high"]) if match["high"] else low
        except ZeroDivisionError:
            raise self.problem(line, f"'{text}' divides by zero under {column}", "correct the fraction") from None
        if low > high or (match["high"] and low == high):
            raise self.problem(line, f"the range '{text}' under {column} does not rise", "write the low end first")
        return Cell(text, low, high)

    def flag(self, key: str, line: int, text: str, rows: Mapping[str, Mapping[str, Cell | None]]) -> tuple[str, str, str]:
        match = re.fullmatch(r"([^|]+) \| ([^|:]+): (\S.*)", text)
        if match is None:
            raise self.problem(line, f"cannot read '{text[:40]}'", f"write '# {key}: ROW | COLUMN: why'")
        row, column, why = match[1], match[2], match[3]
        if rows.get(row, {}).get(column) is None:
            raise self.problem(line, f"flags '{row[:40]} | {column[:40]}', which is not printed", "name a filled cell")
        return row, column, why


def _figure(text: str) -> float:
    whole, _, rest = text.rpartition(" ")
    if "/" not in rest:
        return float(rest)
    top, bottom = rest.split("/")
    return (float(whole) if whole else 0.0) + float(top) / float(bottom)
