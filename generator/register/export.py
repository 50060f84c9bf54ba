"""All rows as a table, dated: what an inspector opens, and what a register that was rewritten is found out by."""

from __future__ import annotations

import csv
import datetime
import io
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from generator.source.problem import Refusal
from generator.source.spreadsheet import csv_text

FOLDER = "exports"  # beside the register's file
HEADS = ("row", "kind", "day", "at", "taken in", "person", "lesson", "machine", "edition", "about row", "rest", "digest", "chain")
_LONGEST = 10_000_000  # letters of a cell


def name_of(day: datetime.date) -> str:
    """The name of a day's export."""
    return f"{day:%Y-%m-%d}.csv"


def write(path: Path, rows: Iterable[tuple[object, ...]]) -> None:
    """The rows as a table, written beside and swapped in. Raises OSError."""
    text = csv_text(HEADS, (["" if v is None else v for v in row] for row in rows))
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        with beside.open("w", encoding="utf-8", newline="") as f:
            f.write(text)
            f.flush()
            os.fsync(f.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def kept(folder: Path) -> list[Path]:
    """The exports beside the register, by name."""
    return sorted(p for p in (folder / FOLDER).glob("*.csv") if p.is_file() and not p.name.startswith("."))


def chains(path: Path) -> Iterator[tuple[int, int, str]]:
    """Line, number and chain of each row of an export, also of one that a spreadsheet saved again.

    Raises Refusal where it is no export, with its line where one is to blame, or OSError.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _unread(path, None, "it is not UTF-8 text") from None
    most = csv.field_size_limit(_LONGEST)
    try:
        comma = max(",;\t", key=text.partition("\n")[0].count)
        rows = csv.reader(io.StringIO(text, newline=""), delimiter=comma)
        heads = [h.strip().lower() for h in next(rows, [])]
        if "row" not in heads or "chain" not in heads:
            raise _unread(path, 1, "it has no columns row and chain")
        row, chain = heads.index("row"), heads.index("chain")
        for cells in rows:
            if not any(c.strip() for c in cells):
                continue
            if len(cells) <= max(row, chain) or not (cells[row].isascii() and cells[row].isdecimal()):
                raise _unread(path, rows.line_num, "this line is no row of an export")
            yield rows.line_num, int(cells[row][:18]), cells[chain].strip().lower()
    except csv.Error:
        raise _unread(path, None, "it is no table") from None
    finally:
        csv.field_size_limit(most)


def _unread(path: Path, line: int | None, what: str) -> Refusal:
    return Refusal(
        what, f"put back the export as it was written, or move what is no export out of {FOLDER}", file=str(path), line=line, code="export"
    )
