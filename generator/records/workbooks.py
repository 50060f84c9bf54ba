"""Tables handed in as the sheets of a workbook, such as the filled-in table of sign-offs."""

from __future__ import annotations

from dataclasses import replace

from generator.jobsite.spreadsheet import csv_text
from generator.jobsite.workbook import sheets_of
from generator.records.flags import Refused
from generator.records.tables import HandedIn, read_table
from generator.source.log import Log


def read_workbook(data: bytes, name: str) -> list[HandedIn]:
    """The tables among the sheets of a workbook, each named ``FILE[SHEET]``; other sheets are passed over.

    Raises Refused where it cannot be read or holds no table that can be handed in.
    """
    log = Log(name)
    sheets = sheets_of(data, name, log)
    found: list[HandedIn] = []
    wrong: Refused | None = None
    for title, rows in sheets.items():
        try:
            # what its headings say, as of a table of text; the rows know more than their texts
            table = read_table(csv_text(rows[0].cells, ()).removeprefix("\ufeff"), f"{name}[{Log(title[:40]).file}]")
        except Refused as e:
            wrong = wrong or e
        else:
            found.append(replace(table, rows=tuple(rows) if table.rows else tuple(rows[1:])))
    problems = log.all()
    if problems:
        raise Refused("unreadable", problems[0].what, problems[0].fix)
    if not found:
        raise wrong or Refused("unreadable", "the workbook is empty", "check what was saved")
    return found
