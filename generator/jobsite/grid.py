"""A table as a plain grid of texts, whatever file it came from.

``from_csv`` makes one of a text file; ``workbook.Book`` makes one of a sheet.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from generator.source.log import Log
from generator.source.problem import Severity

MOST_ROWS = 20_000
MOST_LINES = 200_000  # blank ones counted
MOST_COLUMNS = 200
MOST_CELL = 2_000
MOST_NOTES = 20  # rows that may stand above the heading


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row: its line in the file (the first, where it spans several) and its cells.

    A sheet knows more of a cell than its text. ``numbers`` and ``dates`` are the indexes of cells
    that hold a number or a date and not words; ``faults`` what cannot be taken, and the fix;
    ``merged`` those that are part of a larger cell which starts elsewhere.
    """

    line: int
    cells: tuple[str, ...]
    numbers: frozenset[int] = frozenset()
    dates: frozenset[int] = frozenset()
    faults: Mapping[int, tuple[str, str]] = field(default_factory=dict)
    merged: frozenset[int] = frozenset()

    @property
    def filled(self) -> int:
        """How many cells hold something."""
        return sum(1 for c in self.cells if c.strip())


@dataclass(frozen=True, slots=True)
class Grid:
    """``header`` and the rows that are not blank. ``comma_decimals``: 1,5 may mean one and a half."""

    header: GridRow
    rows: tuple[GridRow, ...]
    comma_decimals: bool


_HEADING = re.compile(r"(?P<name>[^\[(]*?)\s*(?:[\[(]\s*(?P<unit>[^\])]*)[\])])?")


def heading(text: str) -> tuple[str, str | None]:
    """The column's name that a heading gives, as columns are named, and the unit in its brackets."""
    match = _HEADING.fullmatch(text)
    base = match["name"] if match else text
    return re.sub(r"[\s-]+", "_", base.strip().lower()), match["unit"] if match else None


def _names(cells: Sequence[str], known: Collection[str]) -> int:
    """How many of the cells name a column."""
    return sum(1 for c in cells[:MOST_COLUMNS] if heading(" ".join(c[:MOST_CELL].split()))[0] in known)


def made(rows: Sequence[GridRow], known: Collection[str], comma_decimals: bool, log: Log) -> Grid:
    """The grid of rows of which the first is not blank; notes above the heading are passed over.

    A note is a row with one filled cell. ``known`` are the names of columns.
    """
    first = rows[:MOST_NOTES]
    start = next((i for i, row in enumerate(first) if _names(row.cells, known) >= 2), None)
    if start is None:
        # no row reads like a heading: what is wrong with the likeliest one is told
        start = next((i for i, row in enumerate(first) if row.filled > 1), 0)
    for row in rows[:start]:
        if row.filled > 1:
            log.add(row.line, None, f"the row stands above the headings, which are in line {rows[start].line}",
                    "move it below them, or clear it", Severity.HEADINGS)  # fmt: skip
    return Grid(rows[start], tuple(rows[start + 1 :]), comma_decimals)


def from_csv(text: str, log: Log, known: Collection[str] = ()) -> Grid | None:
    """The grid of a CSV text, separated by comma, semicolon or tab; None where it has none.

    ``known`` are the names of its columns: where they are given, notes may stand above the
    heading. Problems of the file as a whole go to ``log``.
    """
    # one kind of line end, so that files of every system count their lines alike
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if text.count("\n") > MOST_LINES:
        log.add(None, None, f"the file has more than {MOST_LINES:,} lines", "check what was saved", Severity.UNREADABLE)
        return None
    skipped = 0
    delimiter = None
    first, _, rest = text.partition("\n")
    named = re.fullmatch(r'"?sep=([,;\t])"?[,;\t ]*', first, re.I)
    if named:
        delimiter, text, skipped = named[1], rest, 1
    if delimiter is None:
        delimiter = _delimiter_of_heading(text, known) or _delimiter(text)
    rows: list[GridRow] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = skipped + 1
    too_many = False
    try:
        for cells in reader:
            if any(c.strip() for c in cells):
                if len(rows) > MOST_ROWS:
                    too_many = True
                    break
                rows.append(GridRow(line, tuple(cells)))
            line = skipped + reader.line_num + 1
    except csv.Error:
        # its errors say in words alone what is wrong: a row past the limit of a cell, or quotes
        taken = text.split("\n")[line - skipped - 1 : reader.line_num]
        if sum(map(len, taken)) > csv.field_size_limit():
            log.add(line, None, "a cell of this row is far too long", f"keep cells under {MOST_CELL:,} characters",
                    Severity.UNREADABLE)  # fmt: skip
            return None
        log.add(line, None, "the quotes in this row do not match, so it cannot be split into cells",
                'put quotes around the whole cell, and double a quote inside it ("")', Severity.UNREADABLE)  # fmt: skip
        return None
    if too_many:
        log.add(None, None, f"the table has more than {MOST_ROWS:,} rows", "check what was saved",
                Severity.UNREADABLE)  # fmt: skip
        return None
    if not rows:
        log.add(None, None, "the file is empty", "start with a row of column names", Severity.UNREADABLE)
        return None
    wide = next((r for r in rows[:MOST_NOTES] if len(r.cells) > MOST_COLUMNS), None)
    if wide is not None:
        log.add(wide.line, None, f"the table has more than {MOST_COLUMNS} columns", "check what was saved",
                Severity.UNREADABLE)  # fmt: skip
        return None
    if known and all(len(r.cells) == 1 for r in rows[:MOST_NOTES]) and rows[-1].cells[0].count("|") > 1:
        log.add(rows[0].line, None, "the cells are separated by |", "save the table with commas, semicolons or tabs",
                Severity.UNREADABLE)  # fmt: skip
        return None
    if not known:
        return Grid(rows[0], tuple(rows[1:]), delimiter != ",")
    return made(rows, known, delimiter != ",", log)


def _delimiter_of_heading(text: str, known: Collection[str]) -> str | None:
    """The separator that splits one of the first lines into names of columns."""
    for line in text[:100_000].split("\n")[:MOST_NOTES] if known else ():
        found = {}
        for delimiter in ",;\t":
            try:
                split = next(csv.reader([line], delimiter=delimiter), [])
            except csv.Error:
                continue
            found[delimiter] = _names(split, known)
        best = max(found, key=lambda d: found[d], default=None)
        if best is not None and found[best] >= 2:
            return best
    return None


def _delimiter(text: str) -> str:
    """The separator that the first row which is not blank has most of, outside quotes."""
    head = ""
    quoted = False
    for ch in text:
        if ch == '"':
            quoted = not quoted
        elif ch == "\n" and not quoted and head.strip(" ,;\t"):
            break
        elif not quoted:
            head += ch
        if len(head) > 20_000:
            break
    return max(",;\t", key=lambda d: head.count(d))
