"""A table as a plain grid of texts, whatever file it came from.

``from_csv`` is the one way in today; a workbook reader would return the same ``Grid``.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass

from generator.jobsite.problems import Log, Weight

MOST_ROWS = 20_000
MOST_COLUMNS = 200
MOST_CELL = 2_000


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row: its line in the file (the first, where it spans several) and its cells."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """``header`` and the rows that are not blank. ``comma_decimals``: 1,5 may mean one and a half."""

    header: GridRow
    rows: tuple[GridRow, ...]
    comma_decimals: bool


def from_csv(text: str, log: Log) -> Grid | None:
    """The grid of a CSV text, separated by comma, semicolon or tab; None where it has none.

    Problems of the file as a whole go to ``log``.
    """
    # one kind of line end, so that files of every system count their lines alike
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    skipped = 0
    delimiter = None
    first, _, rest = text.partition("\n")
    named = re.fullmatch(r'"?sep=([,;\t])"?[,;\t ]*', first, re.I)
    if named:
        delimiter, text, skipped = named[1], rest, 1
    if delimiter is None:
        delimiter = _delimiter(text)
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
    except csv.Error as e:
        if "larger" in str(e):
            log.add(line, None, "a cell of this row is far too long", f"keep cells under {MOST_CELL:,} characters",
                    Weight.UNREADABLE)  # fmt: skip
            return None
        log.add(line, None, "the quotes in this row do not match, so it cannot be split into cells",
                'put quotes around the whole cell, and double a quote inside it ("")', Weight.UNREADABLE)  # fmt: skip
        return None
    if too_many:
        log.add(None, None, f"the table has more than {MOST_ROWS:,} rows", "check what was saved",
                Weight.UNREADABLE)  # fmt: skip
        return None
    if not rows:
        log.add(
            None, None, "the file is empty", "start with a row of column names", Weight.UNREADABLE
        )
        return None
    if len(rows[0].cells) > MOST_COLUMNS:
        log.add(rows[0].line, None, f"the table has more than {MOST_COLUMNS} columns", "check what was saved",
                Weight.UNREADABLE)  # fmt: skip
        return None
    return Grid(rows[0], tuple(rows[1:]), delimiter != ",")


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
