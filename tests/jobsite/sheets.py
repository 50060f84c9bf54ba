"""Workbooks for the tests, made with a general library the way people's spreadsheets make them."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl

from generator.jobsite.columns import TABLES, TableFormat
from tests.conftest import DEMO, copy_demo


def typed(text: str) -> object:
    """A cell as a spreadsheet keeps it: a number, a date or words."""
    if re.fullmatch(r"-?\d+", text):
        return int(text)
    if re.fullmatch(r"-?\d+\.\d+", text):
        return float(text)
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return date.fromisoformat(text)
    return text or None


def as_book(source: Path = DEMO, more: Iterable[TableFormat] = ()) -> Any:
    """The tables of a job site as the sheets of a workbook, with ``more`` of those it may have."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for table in (*TABLES, *more):
        sheet = book.create_sheet(table.sheet)
        for row in csv.reader(io.StringIO((source / table.file).read_text("utf-8-sig"))):
            sheet.append([typed(text) for text in row])
    return book


def book_site(target: Path, change: Callable[[Any], object] = lambda _: None, name: str = "site.xlsx") -> Path:
    """A copy of the demo with a workbook, changed by ``change``, in the place of its tables."""
    folder = copy_demo(target)
    book = as_book()
    change(book)
    book.save(folder / name)
    for table in TABLES:
        (folder / table.file).unlink()
    return folder


def with_part(path: Path, part: str, change: Callable[[bytes], bytes]) -> None:
    """Change one part inside a workbook, or add it."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts[part] = change(parts.get(part, b""))
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)


def column(sheet: Any, name: str) -> int:
    """The number of a column by its name."""
    return int(next(c.column for c in sheet[1] if str(c.value).split(" ")[0] == name))
