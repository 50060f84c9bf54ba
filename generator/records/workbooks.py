"""Tables handed in as the sheets of a workbook, such as the filled-in table of sign-offs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from generator.jobsite.columns import CREW
from generator.jobsite.model import JobSite
from generator.jobsite.spreadsheet import csv_text
from generator.jobsite.workbook import sheets_of
from generator.language.words import said
from generator.records.flags import Flag, Refused
from generator.records.tables import HandedIn, kind_called, meant_by, read_table
from generator.source.log import Log


def read_workbook(data: bytes, name: str, flags: list[Flag] | None = None, *, own: bool = False) -> list[HandedIn]:
    """The tables among the sheets of a workbook, each named ``FILE[SHEET]``.

    Sheets that were meant as one and cannot be read get a flag; others are passed over. Of the site's ``own`` workbook only the sheets count that bear the name of a table.
    Raises Refused where it cannot be read or holds no table that can be handed in.
    """
    log = Log(name)
    sheets = sheets_of(data, name, log)
    found: list[HandedIn] = []
    wrong: list[tuple[bool, str, Refused]] = []
    for title, rows in sheets.items():
        if own and kind_called(title) not in KEPT:
            continue
        called = f"{name}[{Log(title[:40]).file}]"
        try:
            # what its headings say, as of a table of text; the rows know more than their texts
            table = read_table(csv_text(rows[0].cells, ()).removeprefix("\ufeff"), called)
        except Refused as e:
            heads = (" ".join(c.lower().split()) for c in rows[0].cells)
            wrong.append((meant_by(called, heads) is not None, called, e))
        else:
            found.append(replace(table, rows=tuple(rows) if table.rows else tuple(rows[1:])))
    problems = log.all()
    if problems:
        raise Refused("unreadable", problems[0].what, problems[0].fix)
    if not found and not own:
        first = next((e for meant, _, e in wrong if meant), wrong[0][2] if wrong else None)
        raise first or Refused("unreadable", said("the workbook is empty"), said("check what was saved"))
    if flags is not None:
        flags += [e.flag(f"{called}:1") for meant, called, e in wrong if meant]
    return found


KEPT = ("signoffs", "hours", "talks", "retrain", "corrections")
"""The tables of records that may be sheets of the workbook that holds the site's own tables."""


def own_workbook(site: JobSite) -> Path | None:
    """The workbook with the site's tables, where one of its sheets bears the name of a table of records."""
    import openpyxl

    book = site.table(CREW.file).partition("[")[0]
    path = site.folder / book
    if path.suffix.lower() != ".xlsx":
        return None
    try:
        opened = openpyxl.load_workbook(path, read_only=True)
        try:
            return path if any(kind_called(str(s)) in KEPT for s in opened.sheetnames) else None
        finally:
            opened.close()
    except Exception:  # it could be read a moment ago; what is wrong with it is told by whoever reads it next
        return path
