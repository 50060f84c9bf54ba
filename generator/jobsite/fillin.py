"""A workbook to fill in: one table with some cells filled, and lists to pick the others from.

The same table gives the same bytes, whenever it is written.
"""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Mapping, Sequence

LISTS = "ids"  # the sheet that holds what can be picked
_DAY = datetime.datetime(2026, 1, 1)
_ZIPPED = (1980, 1, 1, 0, 0, 0)


def workbook_to_fill_in(
    title: str, heads: Sequence[str], rows: Sequence[Sequence[str]], lists: Mapping[str, Sequence[str]], days: Sequence[str] = ()
) -> bytes:
    """A workbook with one table, ``title``; every cell of it is text, and those of ``days`` show a day as 2026-03-14.

    ``lists`` are what the cells below a heading can be picked from: the spreadsheet warns of what is not among them, and
    lets it stand if its user insists.
    """
    import openpyxl
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = title
    ids = book.create_sheet(LISTS)
    bold, last = Font(bold=True), len(rows) + 1
    for line, row in enumerate((heads, *rows), 1):
        for column, text in enumerate(row, 1):
            if text:
                cell = sheet.cell(line, column, text)
                cell.data_type = "s"  # a name that begins with = is no formula
                if line == 1:
                    cell.font = bold
    for column, head in enumerate(heads, 1):
        letter = get_column_letter(column)
        widest = max(len(head), *(len(row[column - 1]) for row in rows)) if rows else len(head)
        sheet.column_dimensions[letter].width = min(max(widest + 3, 13), 45)
        if head in days:
            for line in range(2, last + 1):
                sheet.cell(line, column).number_format = "yyyy-mm-dd"
        picked = lists.get(head)
        if picked and rows:
            place = get_column_letter(ids.max_column + (ids.cell(1, 1).value is not None))
            ids[f"{place}1"] = head
            ids[f"{place}1"].font = bold
            for line, text in enumerate(picked, 2):
                ids[f"{place}{line}"] = text
                ids[f"{place}{line}"].data_type = "s"
            rule = DataValidation(
                type="list", formula1=f"{LISTS}!${place}$2:${place}${len(picked) + 1}", allow_blank=True, showErrorMessage=True,
                errorStyle="warning", errorTitle="Not in the list", error=f"This is no {head} of the site's tables.",
            )  # fmt: skip
            sheet.add_data_validation(rule)
            rule.add(f"{letter}2:{letter}{last}")
    sheet.freeze_panes = "A2"
    book.properties.created = _DAY
    out = io.BytesIO()
    book.save(out)
    return _same_always(out.getvalue())


def _same_always(data: bytes) -> bytes:
    """The workbook without the time at which it was saved."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            text = old.read(part)
            if part.filename == "docProps/core.xml":
                text = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>" + f"{_DAY:%Y-%m-%dT%H:%M:%SZ}".encode(), text)
            made = zipfile.ZipInfo(part.filename, _ZIPPED)
            made.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(made, text)
    return out.getvalue()
