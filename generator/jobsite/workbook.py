"""Tables as the sheets of one workbook: reading them, and writing a first one.

A workbook is a zip file of XML that someone else may have made. What it unpacks to is bounded
before anything is unpacked, document types are refused, and only the sheets that are tables are
read, row by row. A cell counts as what a person sees in it: 0.25 shown as 25% is 25%, and a
number shown with a unit behind it has that unit. A formula is refused: the figure kept with it
may be an old one.
"""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from generator.jobsite.columns import MAY_HAVE, TABLES, Column
from generator.jobsite.grid import MOST_COLUMNS, MOST_LINES, MOST_ROWS, Grid, GridRow, made
from generator.source.files import read_bytes
from generator.source.log import Log
from generator.source.problem import Refusal, Severity
from generator.units.quantity import trimmed
from generator.units.table import System

MOST_UNPACKED = 24_000_000
MOST_PART = 8_000_000  # of a sheet, or of the texts of all sheets
MOST_OTHER = 2_000_000  # of any other part: few things multiply in memory as styles do
MOST_PARTS = 500
MOST_TAGS = 300_000  # of a part that is read to its end
MOST_CELLS = 300_000  # of a table, blank ones counted

_AGAIN = "save it again as an ordinary .xlsx workbook"
_FAR_MORE = ("the workbook holds far more than a few tables", "copy the tables, values only, into a new workbook")
_LARGE_PARTS = re.compile(r"xl/(worksheets/[^/]+\.xml|sharedStrings\.xml|media/.+)", re.I)


@dataclass
class Book:
    """A workbook: its file name, the names of its sheets, and the data of those that are tables."""

    file: str
    sheets: tuple[str, ...] = ()
    _rows: dict[str, list[GridRow]] = field(default_factory=dict)
    _faults: dict[str, Log] = field(default_factory=dict)
    broken: bool = False

    def sheet(self, table: str) -> str | None:
        """The sheet of this name, whatever its capitals and the blanks around it."""
        return next((s for s in self.sheets if s.strip().casefold() == table), None)

    def log(self, sheet: str) -> Log:
        """Where the problems of a sheet go."""
        return self._faults[sheet]

    def grid(self, sheet: str, known: Collection[str]) -> Grid | None:
        """The sheet as a grid, or None with the reason in its log."""
        log, rows = self._faults[sheet], self._rows.get(sheet)
        if rows is None:
            return None
        if not rows:
            log.add(None, None, "the sheet is empty", "start with a row of column names", Severity.UNREADABLE)
            return None
        # a cell of words may hold 1,5; a cell with a number in it is never read two ways
        return made(rows, known, True, log)


def open_book(folder: Path, log: Log) -> Book | None:
    """The workbook in ``folder``; None where there is none. Problems of the whole go to ``log``."""
    try:
        found = sorted(
            entry.name for entry in folder.iterdir()
            if entry.name.lower().endswith(".xlsx") and not entry.name.startswith((".", "~$"))
        )  # fmt: skip
    except OSError:
        return None  # settings.yml cannot be read either, and that is told
    if not found:
        return None
    log.file = Log(found[0][:80]).file
    book = Book(log.file)
    if len(found) > 1:
        log.add(None, None, f"there is another workbook beside it, {found[1][:80]}",
                "keep one workbook in this folder, with the tables as its sheets", Severity.UNREADABLE)  # fmt: skip
        book.broken = True
        return book
    data = read_bytes(folder, found[0], "the tables", log)
    if data is None or not _sound(data, log):
        book.broken = True
        return book
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and extensions that are not used here
            _load(data, book)
    except Exception:  # a damaged workbook makes the library raise errors of every kind
        log.add(None, None, "the workbook is damaged, or of a kind that cannot be read", _AGAIN, Severity.UNREADABLE)
        return Book(log.file, broken=True)
    return book


def _sound(data: bytes, log: Log) -> bool:
    """Whether it is a zip file that unpacks to a sane size and holds plain XML."""

    def no(what: str, fix: str) -> bool:
        log.add(None, None, what, fix, Severity.UNREADABLE)
        return False

    if data.startswith(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"):
        if "EncryptedPackage".encode("utf-16-le") in data:
            return no("the workbook is locked with a password", "take the password off and save it again")
        return no("the file is a workbook of the old kind (.xls) with another ending", _AGAIN)
    if not data.startswith(b"PK"):
        return no("the file is no workbook, whatever its ending says", _AGAIN)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            if any(p.flag_bits & 1 for p in parts):
                return no("the workbook is locked with a password", "take the password off and save it again")
            names = [p.filename for p in parts]
            if "xl/workbook.xml" not in names and "mimetype" in names:
                return no("the file is a workbook of another kind with the ending .xlsx", _AGAIN)
            # reading a part stops at the size told here, so that a false one does no harm
            large = [p for p in parts if p.file_size > (MOST_PART if _LARGE_PARTS.fullmatch(p.filename) else MOST_OTHER)]
            if large or len(parts) > MOST_PARTS or sum(p.file_size for p in parts) > MOST_UNPACKED:
                return no(*_FAR_MORE)
            for part in parts:
                text = archive.read(part)
                if b"<!DOCTYPE" in text or b"<!ENTITY" in text or text.startswith((b"\xff\xfe", b"\xfe\xff")):
                    return no("the workbook holds XML that no spreadsheet writes", _AGAIN)
                # a sheet that tells its size at its start is read only if it is a table, row by row
                sized = b"dimension" in text[:4000] and part.filename.startswith("xl/worksheets/")
                if not sized and text.count(b"<") > MOST_TAGS:
                    return no(*_FAR_MORE)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, OSError, EOFError, ValueError, RuntimeError):
        return no("the workbook is damaged", "open it in your spreadsheet and save it again; if it does not open, take an older copy")
    except Exception:  # zlib.error and what other ways of packing raise
        return no("the workbook is damaged", "open it in your spreadsheet and save it again; if it does not open, take an older copy")
    return True


def _load(data: bytes, book: Book) -> None:
    """Read the sheets that are tables."""
    import openpyxl

    opened = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)
    try:
        sheets = {str(s.title): s for s in opened.worksheets}
        book.sheets = tuple(sheets)
        for form in (*TABLES, *MAY_HAVE):
            title = book.sheet(form.sheet)
            if title is None:
                continue
            log = book._faults[title] = Log(f"{book.file}[{Log(title[:40]).file}]")
            twins = [t for t in sheets if t.strip().casefold() == form.sheet]
            if len(twins) > 1:
                log.add(None, None, f"there are two sheets named {form.sheet}", "keep one of them", Severity.UNREADABLE)
                continue
            rows = _rows(sheets[title], log)
            if rows is not None:
                book._rows[title] = rows
                _look_beside(data, sheets[title], rows, log)
    finally:
        opened.close()


def _rows(sheet: Any, log: Log) -> list[GridRow] | None:
    """The rows that are not blank; None with the reason told where there are too many."""
    sheet.reset_dimensions()  # the size a file tells of itself may be false
    rows: list[GridRow] = []
    cells = 0
    for line, row in enumerate(sheet.iter_rows(), 1):
        cells += len(row)
        width = next((i + 1 for i in range(len(row) - 1, -1, -1) if row[i].value not in (None, "")), 0)
        if width > MOST_COLUMNS:
            log.add(line, None, f"the table has more than {MOST_COLUMNS} columns",
                    "delete the columns to the right of it", Severity.UNREADABLE)  # fmt: skip
            return None
        if cells > MOST_CELLS or line > MOST_LINES:
            log.add(None, None, "the sheet is far larger than its table",
                    "copy the table, values only, into a new sheet", Severity.UNREADABLE)  # fmt: skip
            return None
        if not width:
            continue
        made_row = _row(line, row[:width])
        if not made_row.filled:
            continue
        if len(rows) > MOST_ROWS:
            log.add(None, None, f"the table has more than {MOST_ROWS:,} rows", "check what was saved",
                    Severity.UNREADABLE)  # fmt: skip
            return None
        rows.append(made_row)
    return rows


def _row(line: int, row: Sequence[Any]) -> GridRow:
    texts: list[str] = []
    numbers, dates, faults = set(), set(), {}
    for index, cell in enumerate(row):
        value, kind = cell.value, cell.data_type
        if value is None:
            texts.append("")
        elif kind == "f":
            formula = value if isinstance(value, str) else "="
            faults[index] = (f"the cell holds a formula ({' '.join(formula[:30].split())})",
                             "copy the cell and paste its value in its place")  # fmt: skip
            texts.append("=")
        elif isinstance(value, bool):
            texts.append("TRUE" if value else "FALSE")
        elif isinstance(value, int | float):
            try:
                texts.append(_number(value, cell.number_format))
                numbers.add(index)
            except _Unclear as e:
                faults[index] = (e.what, e.fix)
                texts.append("?")
        elif isinstance(value, datetime.datetime | datetime.date):
            day = value.date() if isinstance(value, datetime.datetime) and value.time() == datetime.time() else value
            texts.append(day.isoformat(*([" "] if isinstance(day, datetime.datetime) else [])))
            dates.add(index)
        elif isinstance(value, datetime.time):
            texts.append(value.isoformat())
        else:
            texts.append(str(value))
    return GridRow(line, tuple(texts), frozenset(numbers), frozenset(dates), faults)


# --- numbers as they are shown ---


class _Unclear(Refusal):
    """A number format that shows something else than the number held."""

    code = "number-format"


_PLAINER = "set the format of the cell to a plain number and look at it again"
_TOKEN = re.compile(r'"(?P<quoted>[^"]*)"|\\(?P<escaped>.)|[_*].|\[(?P<bracket>[^\]]*)\]|(?P<plain>.)', re.S)


def _number(value: float, number_format: str) -> str:
    """The number a cell holds, as a text: with the percent sign or the unit it is shown with.

    Digits that rounding hides are kept, to the 15 places a spreadsheet reckons with. Raises
    _Unclear where the format shows another number.
    """
    try:
        figure = Decimal(value) if isinstance(value, int) else Decimal(format(value, ".15g"))
        if not figure.is_finite():
            return str(value)
    except (InvalidOperation, ValueError):
        return str(value)[:40]
    shown = number_format if isinstance(number_format, str) and number_format else "General"
    if re.fullmatch(r"0{2,15}", shown) and figure == figure.to_integral_value() and figure >= 0:
        return format(figure, "f").zfill(len(shown))  # 007 is meant for an id
    before, after, percents = _around(shown, figure)
    figure = figure.scaleb(2 * percents)
    text = format(trimmed(figure), "f") if -12 < figure.adjusted() < 24 else str(figure)
    return f"{before} {text}{'%' * percents} {after}".strip()


def _around(shown: str, figure: Decimal) -> tuple[str, str, int]:
    """The words a number format puts before and behind a number, and how many percent signs."""
    if len(shown) > 255:
        raise _Unclear("the cell has a number format that is far too long", _PLAINER)
    sections: list[list[re.Match[str]]] = [[]]
    for token in _TOKEN.finditer(shown):
        if token["plain"] == ";":
            sections.append([])
        else:
            sections[-1].append(token)
    if any(t["bracket"] and t["bracket"][0] in "<>=" for s in sections for t in s):
        raise _Unclear("the cell has a number format that shows some numbers otherwise than others", _PLAINER)
    numeric = sections[:3]
    if figure < 0 and len(numeric) > 1:
        section = numeric[1]
    elif figure == 0 and len(numeric) > 2:
        section = numeric[2]
    else:
        section = numeric[0]
    words = ["", ""]
    percents = digits = 0
    scaled = False
    for token in section:
        plain = token["plain"]
        if plain is not None and plain in "0#?":
            digits, scaled = digits + 1, False
        elif plain == ",":
            scaled = digits > 0
        elif plain == "%":
            percents += 1
        elif plain is not None and plain in "$€£¥":
            words[digits > 0] += plain
        elif plain is None:
            money = token["bracket"].partition("-")[0] if (token["bracket"] or "").startswith("$") else ""
            words[digits > 0] += token["quoted"] or token["escaped"] or money.removeprefix("$")
    if scaled:
        raise _Unclear("the cell is shown in thousands", _PLAINER)
    if not digits and "general" not in shown.lower() and shown != "@":
        raise _Unclear("the cell is shown without its number", _PLAINER)
    before, after = ("".join(w.split()) if not any(ch.isalnum() for ch in w) else w.strip() for w in words)
    # brackets and dashes of bookkeepers' formats say nothing of a unit
    before, after = before.strip("()-+ "), after.strip("()-+ ")
    return before, after, percents


# --- what is hidden, and what is merged ---


def _look_beside(data: bytes, sheet: Any, rows: list[GridRow], log: Log) -> None:
    """Hidden rows, columns and sheets count like any other; that is said, since nobody sees them.

    Merged cells are noted in ``rows``: all but the first of them hold nothing.
    """
    if getattr(sheet, "sheet_state", "visible") != "visible":
        log.notice(None, None, "the sheet is hidden, and was read all the same", "show it, so that others can look at it", "hidden")
    path = getattr(sheet, "_worksheet_path", None)
    if not isinstance(path, str):
        return
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        text = archive.read(path.lstrip("/"))
    _note_merged(text, rows)
    tags = re.findall(rb"<(?:\w+:)?row\b([^>]*)>", text)
    hidden = {int(m[1]) for tag in tags if _is_hidden(tag) and (m := re.search(rb'\br="(\d{1,7})"', tag))}
    lines = [row.line for row in rows if row.line in hidden]
    if lines:
        if len(lines) == 1:
            log.notice(
                lines[0], None, f"row {lines[0]} is hidden, and was read all the same", "show it, or delete it if it is not meant", "hidden"
            )
        else:
            log.notice(lines[0], None, f"{len(lines)} rows are hidden from here on, and were read all the same",
                       "show them, or delete them if they are not meant", "hidden")  # fmt: skip
    filled = {i for row in rows for i, text_ in enumerate(row.cells) if text_.strip()}
    spans = [
        range(int(low[1]) - 1, int(high[1]))
        for tag in re.findall(rb"<(?:\w+:)?col\b([^>]*)>", text)
        if _is_hidden(tag)
        and (low := re.search(rb'\bmin="(\d{1,5})"', tag)) and (high := re.search(rb'\bmax="(\d{1,5})"', tag))
    ]  # fmt: skip
    if any(i in span for span in spans for i in filled):
        log.notice(None, None, "a column is hidden, and was read all the same", "show it, so that others can look at it", "hidden")


def _note_merged(text: bytes, rows: list[GridRow]) -> None:
    from openpyxl.utils import range_boundaries

    places = {row.line: i for i, row in enumerate(rows)}
    for ref in re.findall(rb'<(?:\w+:)?mergeCell\b[^>]*\bref="([A-Z]{1,3}\d{1,7}:[A-Z]{1,3}\d{1,7})"', text)[:MOST_ROWS]:
        left, top, right, bottom = range_boundaries(ref.decode())
        for line in range(top, min(bottom, top + MOST_ROWS) + 1):
            if line in places:
                row = rows[places[line]]
                inside = {i for i in range(left - 1, min(right, MOST_COLUMNS)) if (line, i) != (top, left - 1)}
                rows[places[line]] = replace(row, merged=row.merged | inside)


def _is_hidden(tag: bytes) -> bool:
    return re.search(rb'\bhidden="(?:1|true)"', tag) is not None


# --- any workbook that is handed in ---

MOST_SHEETS = 20


def sheets_of(data: bytes, name: str, log: Log) -> dict[str, list[GridRow]]:
    """The rows of every sheet of a workbook by the sheet's name; blank sheets are left out.

    Nothing is known of what they hold. Where one cannot be read, or is far too large, ``log`` says so.
    """
    import openpyxl

    found: dict[str, list[GridRow]] = {}
    if not _sound(data, log):
        return found
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            opened = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)
            try:
                for sheet in opened.worksheets[:MOST_SHEETS]:
                    own = Log(f"{name}[{Log(str(sheet.title)[:40]).file}]")
                    rows = _rows(sheet, own)
                    if rows is None:
                        told = own.all()[0]
                        log.add(None, None, f"sheet {str(sheet.title)[:40]}: {told.what}", told.fix, Severity.UNREADABLE)
                    elif rows:
                        _look_beside(data, sheet, rows, own)
                        found[str(sheet.title)] = rows
            finally:
                opened.close()
    except Exception:  # a damaged workbook makes the library raise errors of every kind
        log.add(None, None, "the workbook is damaged, or of a kind that cannot be read", _AGAIN, Severity.UNREADABLE)
        return {}
    return found


# --- writing one ---


def workbook_bytes(tables: Mapping[str, Sequence[Sequence[str]]], units: System) -> bytes:
    """A workbook with a sheet for each table there is, and one that says what each column means.

    ``tables`` are rows of texts by the sheet's name, headings first; that of the trucks may be left out.
    """
    import openpyxl
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    book = openpyxl.Workbook()
    book.remove(book.active)
    bold, top = Font(bold=True), Alignment(wrap_text=True, vertical="top")
    for form in (form for form in TABLES if form.sheet in tables):
        rows = tables[form.sheet]
        sheet = book.create_sheet(form.sheet)
        columns = [form.by_name.get(heading.partition(" ")[0]) for heading in rows[0]]
        sheet.append(list(rows[0]))
        for row in rows[1:]:
            sheet.append([_typed(text, column) for text, column in zip(row, columns, strict=True)])
        for cell in sheet[1]:
            cell.font, cell.alignment = bold, top
        for index, column in enumerate(zip(*rows, strict=True), 1):
            # a heading may wrap at its unit; a value may not
            widest = max(max(len(part) for part in column[0].split(" ")), *(len(text) for text in column[1:]))
            sheet.column_dimensions[get_column_letter(index)].width = min(max(widest + 3, 8), 45)
        for row_cells in sheet.iter_rows(min_row=2):
            for cell in row_cells:
                if isinstance(cell.value, datetime.date):
                    cell.number_format = "yyyy-mm-dd"
        sheet.freeze_panes = "C2"
    notes = book.create_sheet("notes")
    notes.append(["sheet", "column", "what it holds", "example"])
    for line in _explained(units):
        notes.append(line)
    for cell in notes[1]:
        cell.font = bold
    for letter, width in zip("ABCD", (12, 22, 80, 24), strict=True):
        notes.column_dimensions[letter].width = width
    for row_cells in notes.iter_rows(min_row=2):
        row_cells[2].alignment = top
    notes.freeze_panes = "A2"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _typed(text: str, column: Column | None) -> object:
    if not text:
        return None
    if column is not None and column.is_quantity:
        figure = Decimal(text)
        return int(figure) if figure == figure.to_integral_value() else float(figure)
    if column is not None and column.kind == "date":
        return datetime.date.fromisoformat(text)
    return text


def _explained(units: System) -> Iterable[list[str]]:
    yield ["", "", "This sheet is for you; nothing reads it. A unit stands in brackets in each heading. Write figures, "
           "not formulas: copy a formula and paste its value.", ""]  # fmt: skip
    for form in (*TABLES, *MAY_HAVE):
        if form in MAY_HAVE:
            yield ["", "", f"A sheet named {form.sheet} may be added: {form.what}. These are its columns.", ""]
        for column in form.columns:
            for_whom = [f"{k}s" for k in form.kinds if k in column.fits]
            only = f" (only {' and '.join(for_whom)})" if 0 < len(for_whom) < len(form.kinds) else ""
            words = f": {', '.join(column.options)}" if column.options else ""
            example = column.us if units == "us" else column.metric or column.us
            yield [form.sheet, column.name, column.meaning + words + only, example]
    yield ["", "", "Sheets named signoffs, hours, talks, retrain and corrections may be added too: records of training. "
           "seatwork tally --help says which headings each of them has.", ""]  # fmt: skip
