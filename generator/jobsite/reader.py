"""Reading a job site's folder: ``read(folder)`` gives a JobSite or tells everything wrong with it."""

from __future__ import annotations

import contextlib
import dataclasses
import datetime
import difflib
import itertools
import math
import os
import re
from collections import Counter
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType

from generator.calc.procedure import Tables
from generator.calc.rules import US_FEDERAL
from generator.jobsite import cells, columns
from generator.jobsite.cells import BadCell, DateOrder, NoUnit
from generator.jobsite.columns import (
    COMPACT,
    CREW,
    DOZER,
    EXCAVATOR,
    LEARNERS,
    LIFT_CHART,
    MACHINES,
    MATERIALS,
    MENTORS,
    NOBODY,
    PLACEHOLDER,
    TRUCKS,
    Column,
    TableFormat,
)
from generator.jobsite.grid import Grid, GridRow, from_csv, heading
from generator.jobsite.learners import read_learners
from generator.jobsite.model import JobSite, Machine, Material, Mentor, Person, Truck, Value
from generator.jobsite.problems import SiteProblems
from generator.jobsite.rules import OwnRules, read_rules
from generator.jobsite.settings import UNREAD, Read, machine_kind, read_settings
from generator.jobsite.shared import SETTINGS, WrongShared, date_order, find_shared, refuse_own
from generator.jobsite.shared import TABLES as SHARED_TABLES
from generator.jobsite.workbook import Book, open_book
from generator.source.files import read_text
from generator.source.log import Log
from generator.source.near import near, suggest
from generator.source.problem import Problem, Severity
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, to_places, trimmed
from generator.units.table import UNITS, System, from_si
from generator.units.writing import current, using


def read(
    folder: Path, lessons: Collection[str] | None = None, published: Tables | None = None, languages: Collection[str] | None = None
) -> JobSite:
    """The job site in ``folder``: settings.yml, machines.csv, trucks.csv, materials.csv, crew.csv.

    It may have a lift_chart.csv, a mentors.csv and a learners.csv. The tables may be sheets of one workbook instead.
    Rows of a folder that its settings share come first. ``lessons`` are the ids of the lessons there are, ``published``
    the published tables, and ``languages`` the codes of the languages that have words; None leaves unchecked what needs them.
    Raises SiteProblems with all that is wrong at once, and nothing else.
    """
    with using(current()):  # once the settings say how this site writes numbers, what is wrong is told so
        return _read(folder, lessons, published, languages)


def _read(folder: Path, lessons: Collection[str] | None, published: Tables | None, languages: Collection[str] | None) -> JobSite:
    if not folder.is_dir():
        what = "the job site folder does not exist" if not folder.exists() else "it is not a folder"
        raise SiteProblems(
            [Problem(folder.name or str(folder), None, None, what, "give a folder with settings.yml and the tables",
                     Severity.UNREADABLE)]
        )  # fmt: skip
    log = Log("settings.yml")
    text = read_text(folder, log.file, "the site's settings", log)
    read_ = read_settings(text, log, lessons, languages) if text is not None else UNREAD
    shared = _shared(folder, read_, log)
    if read_ is UNREAD and re.search(r"(?m)^shared\s*:", text or ""):
        shared = _SharedTables(lost=True)  # tables that may well be there are not told as missing
    book_log = Log("the workbook")
    book = open_book(folder, book_log)
    needs_truck = _needs_truck(read_)
    # where a table of trucks is needed and there is nothing like it, that is told beside what needs it
    no_trucks = text is not None and (needs_truck is None or (_left_out(folder, TRUCKS, book) and not _other_spreadsheets(folder)))

    def layered(form: TableFormat, *, optional: bool = False) -> _Table:
        here = form
        if form is MATERIALS and read_.rules != US_FEDERAL:
            here = dataclasses.replace(form, columns=tuple(columns.under_rules(c, read_.rules) for c in form.columns))
        if shared is None:
            return _table(folder, here, read_, book, optional=optional)
        below = shared.tables.get(form.file)
        there = below.present if below is not None else shared.lost and form in SHARED_TABLES
        own = _table(folder, here, read_, book, optional=optional or there)
        own_logs.append(own.log)
        if below is not None:
            return _layered(below, own, shared.replaced)
        own.usable = own.usable and not there  # what is not to be had may be what other tables name
        return own

    own_logs: list[Log] = []
    tables = {t.file: layered(t, optional=t is TRUCKS and no_trucks) for t in columns.TABLES}
    machines, trucks, materials, crew = (tables[t.file] for t in (MACHINES, TRUCKS, MATERIALS, CREW))
    lost = shared is not None and shared.lost  # its table of trucks may well be there, and what is wrong was told
    if needs_truck is not None and not trucks.present and not lost:
        trucks.usable = False
        line, place, what = needs_truck
        log.add(
            line,
            place,
            f"{what}, and there is no table of trucks",
            f"add {_place_of(TRUCKS, book)}, or take truck out here",
            Severity.UNREADABLE,
        )
    _tell_missing(read_, lessons, machines, trucks, log)
    _same_id_in_both(machines, trucks)
    lead = _check_lead(read_, tables, log)
    lesson_lead = _check_other_leads(read_, machines, trucks, log)
    _check_roles(read_, machines, trucks, log)
    _check_crew(crew, read_, machines, trucks)
    charts = layered(LIFT_CHART, optional=True)
    mentors = layered(MENTORS, optional=True)
    if shared is not None:
        _notice_lost_charts(shared, charts, machines)
    _check_mentors(mentors, crew)
    if machines.usable and trucks.usable:
        _notice_unused_kinds(mentors, {row.kind for row in (*machines.rows, *trucks.rows)})
    learners = read_learners(*_of_learners(folder, book), crew.ids() if crew.usable else None)
    _check_charts(charts, machines)
    _take_charts(charts, machines, read_, lead, log)
    _check_job(read_, lead, machines, log)
    _check_slopes(read_, log)
    own = read_rules(folder, read_.rules, read_.units != "metric")
    _check_soils(read_, own, log)
    _check_bench(read_, lead, machines, trucks, log)
    if published is not None:
        _check_line(read_, own, published, log)
    _check_trench_entry(read_, own, log)
    _check_placeholders(read_, [machines, trucks, materials, crew], log)
    logs = [
        log,
        book_log,
        *(t.log for t in tables.values()),
        charts.log,
        mentors.log,
        learners.log,
        *own_logs,
        *(shared.logs if shared else ()),
        *own.logs,
    ]
    logs = list({id(one): one for one in logs}.values())
    problems = [p for one in logs for p in one.all()]
    if problems or read_.settings is None:
        raise SiteProblems(problems)
    settings = dataclasses.replace(read_.settings, lead=MappingProxyType(lead), lesson_lead=MappingProxyType(lesson_lead))
    return JobSite(
        settings,
        tuple(Machine(*_figures_row(x), x.days.get("retired"), _attachments(x), file=x.file) for x in machines.rows),
        tuple(Truck(*_figures_row(x), x.days.get("retired"), _attachments(x), file=x.file) for x in trucks.rows),
        tuple(Material(*_figures_row(x), file=x.file) for x in materials.rows),
        tuple(
            Person(x.id, x.name, x.words.get("role", ""), tuple(_split_ids(x.words.get("machines", ""))), x.days.get("start"), x.line,
                   x.days.get("left"), x.words.get("former_id", ""), x.days.get("role_from"),
                   x.words.get("language", ""))
            for x in crew.rows
        ),
        folder,
        tuple(notice for one in logs for notice in one.notices),
        MappingProxyType({file: t.log.file for file, t in (tables | {LIFT_CHART.file: charts, MENTORS.file: mentors}).items()}
                         | {LEARNERS.file: learners.log.file}),
        mentors=_mentors(mentors, crew) if mentors.present else None,
        learners=MappingProxyType(learners.people),
        rules=own.rules,
    )  # fmt: skip


# --- one table ---


@dataclass
class _Row:
    line: int
    log: Log  # of the table it stands in, which may be a shared one
    shared: bool = False
    id: str = ""
    name: str = ""
    kind: str = ""
    values: dict[str, Value] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)
    days: dict[str, datetime.date] = field(default_factory=dict)
    whole: bool = True  # False where more than a cell is wrong with it, which was told in one line

    @property
    def file(self) -> str:
        """The shared table it stands in; empty for the site's own."""
        return self.log.file if self.shared else ""


@dataclass
class _Table:
    """A table as far as it could be read. ``usable``: its ids can be checked against."""

    format: TableFormat
    log: Log
    rows: list[_Row] = field(default_factory=list)
    usable: bool = False
    present: bool = True  # False where the site may leave it out, and did

    def ids(self) -> dict[str, str]:
        """The kind of each row by its id."""
        return {row.id: row.kind for row in self.rows if row.id}


def _attachments(row: _Row) -> tuple[str, ...]:
    """The words of the column ``attachments``, in small letters."""
    return tuple(dict.fromkeys(word.casefold() for word in _split_words(row.words.get("attachments", ""))))


def _figures_row(row: _Row) -> tuple[str, str, str, Mapping[str, Value], int, str]:
    return (
        row.id,
        row.name,
        row.kind,
        MappingProxyType(row.values),
        row.line,
        row.words.get("note", ""),
    )


def _grid(folder: Path, form: TableFormat, table: _Table, book: Book | None) -> Grid | None:
    """The table's grid from its CSV file or its sheet; None with the reason told."""
    sheet = book.sheet(form.sheet) if book is not None else None
    is_csv = os.path.lexists(folder / form.file)
    if book is not None and sheet is not None:
        if is_csv:
            table.log.add(None, None, f"this table is here and in {book.file}, sheet {form.sheet}, too",
                          "keep one of the two", Severity.UNREADABLE)  # fmt: skip
            return None
        table.log = book.log(sheet)
        return book.grid(sheet, form.by_name)
    if book is not None and not is_csv:
        if not book.broken:
            meant = near(form.sheet, book.sheets)
            fix = f"rename the sheet {meant[:40]}" if meant else f"add it, with {form.what}"
            table.log = Log(book.file)
            table.log.add(None, None, f"there is no sheet named {form.sheet}, and no {form.file}", fix, Severity.UNREADABLE)
        return None
    text = read_text(folder, form.file, form.what, table.log)
    return from_csv(text, table.log, form.by_name) if text is not None else None


_A_SLIP = 0.9  # how alike a name must be to one of seven letters to differ by a slip of one
_AS_TABLE = {".csv", ".tsv", ".xlsx", ".xls", ".xlsm", ".ods", ".fods", ".numbers"}


def _needs_truck(read_: Read) -> tuple[int | None, str, str] | None:
    """The line, the setting and the words of what names trucks first, so that the site must have some; None where nothing does."""
    if read_.role_ids is None:  # the settings could not be read so far, which was told
        return None
    for role in read_.roles.values():
        if columns.TRUCK in role.machines:
            place = f"roles.{role.id[:40]}.machines"
            return read_.lines.get(place, role.line), place, "the role runs trucks"
    if columns.TRUCK in read_.lead:
        line, wanted = read_.lead[columns.TRUCK]
        return line, "lead.truck", f"'{wanted[:40]}' leads"
    return None


def _other_spreadsheets(folder: Path) -> bool:
    """Whether a file lies there that may hold a table, in a form that is not read: told with how to save it."""
    try:
        return any(entry.suffix.lower() in _AS_TABLE - {".csv", ".xlsx"} for entry in folder.iterdir())
    except OSError:
        return True


def _place_of(form: TableFormat, book: Book | None) -> str:
    return f"the sheet {form.sheet}" if book is not None else form.file


_MANY = 3  # figures from which on one line tells all that a lesson lacks


def _tell_missing(read_: Read, lessons: Collection[str] | None, machines: _Table, trucks: _Table, log: Log) -> None:
    """Figures that are missing, those of one lesson in one line. What needs a machine the site has not is left out, and needs none."""

    def there(lesson: str) -> bool:
        kinds = lessons.get(lesson, ()) if isinstance(lessons, Mapping) else ()
        return not kinds or not machines.usable or any(
            all(any(row.kind in {kind, ""} for row in (trucks if kind == columns.TRUCK else machines).rows) for kind in each) for each in kinds
        )  # fmt: skip

    left = {m: [x for x in m.lessons if there(x)] for m in read_.missing}
    while left:
        counts = Counter(x for wanted in left.values() for x in wanted)
        lesson = max(counts, key=lambda x: (counts[x], x), default="")
        some = [m for m, wanted in left.items() if lesson in wanted]
        if counts[lesson] < _MANY:
            for m, wanted in left.items():
                if wanted or not m.lessons:
                    reason = f"lesson {wanted[0]} needs it" if wanted else "it must be known"
                    log.add(m.line, f"{m.path}.{m.column.name}", f"{m.path} has no {m.column.name} ({m.column.meaning}); {reason}",
                            f"add {m.column.name}: with a value such as {m.example}", Severity.HEADINGS)  # fmt: skip
            return
        role = next(role for role in read_.roles.values() if lesson in role.lessons)
        place = f"roles.{role.id[:40]}.lessons"
        figures = "; ".join(
            f"under {path}: {', '.join(f'{m.column.name}: {m.example}' for m in some if m.path == path)}"
            for path in dict.fromkeys(m.path for m in some)
        )
        log.add(read_.lines.get(place, role.line), place, f"the lesson {lesson} needs {len(some)} figures that are not there",
                f"add your own like these ({figures}), or take the lesson out of the role", Severity.HEADINGS)  # fmt: skip
        left = {m: wanted for m, wanted in left.items() if m not in some}


def _left_out(folder: Path, form: TableFormat, book: Book | None) -> bool:
    """Whether there is nothing that could be this table, not even under a wrong name."""
    if form is MENTORS:
        return _no_mentors(folder, book)
    if book is not None and (book.broken or book.sheet(form.sheet) is not None or near(form.sheet, book.sheets)):
        return False
    try:
        return not any(entry.name.lower().startswith(form.sheet.removesuffix("s")) for entry in folder.iterdir())
    except OSError:
        return False


def _no_mentors(folder: Path, book: Book | None) -> bool:
    """The same of the mentors: a folder or a letter of that name, or a sheet of monitors, was never in the way of a site."""

    def meant(name: str) -> bool:
        bare = re.sub(r"[\s_.-]", "", name).casefold()
        return any(bare == word or difflib.SequenceMatcher(None, bare, word).ratio() > _A_SLIP for word in (MENTORS.sheet, "mentor"))

    if book is not None and (book.broken or any(meant(sheet) for sheet in book.sheets)):
        return False
    try:
        return not any(entry.suffix.lower() in _AS_TABLE and meant(entry.stem) for entry in folder.iterdir())
    except OSError:
        return False


def _table(folder: Path, form: TableFormat, read_: Read, book: Book | None, *, optional: bool = False) -> _Table:
    table = _Table(form, Log(form.file))
    if optional and _left_out(folder, form, book):
        table.usable, table.present = True, False
        if book is not None and book.sheets:
            table.log = Log(book.file)
        return table
    grid = _grid(folder, form, table, book)
    if grid is None:
        return table
    heads = _header(grid, form, table.log, read_.units)
    present = {h.column.name for h in heads if h is not None}
    if "id" not in present or (form.row_kind is None and "kind" not in present):
        return table
    if not grid.rows and optional and form is not MENTORS:  # a list of mentors with nobody on it is never meant
        table.usable = True
        return table
    if not grid.rows:
        table.log.add(grid.header.line, None, "the table has no row below its heading",
                      f"add {form.a_row} in the next line", Severity.UNREADABLE)  # fmt: skip
        return table
    table.usable = True
    grid = _without_units(grid, heads, table.log)
    for row in grid.rows:
        if table.log.full:  # what is past it would seem to be missing from the other tables' view
            table.usable = False
            return table
        table.rows.append(_row(row, heads, form, table.log, read_.dates, grid.comma_decimals))
    _missing_columns(table, present, grid.header.line, read_.units)
    _required_cells(table, grid, heads)
    _duplicates(table)
    for read_row in table.rows:
        _agree(read_row, table)
    return table


def _without_units(grid: Grid, heads: list[_Head | None], log: Log) -> Grid:
    """The grid without a row of units below the headings, which is told in one line."""
    row, units = grid.rows[0], 0
    for head in heads:
        text = row.cells[head.index].strip() if head is not None and head.index < len(row.cells) else ""
        if head is None or not text:
            continue
        if not head.column.is_quantity:
            return grid
        try:
            cells.header_unit(text.strip("()[] "), head.column)
        except BadCell:
            return grid
        units += 1
    if units < 2:
        return grid
    for head in heads:
        if head is not None:
            head.told = True
    example = next(h for h in heads if h is not None and h.column.is_quantity and row.cells[h.index].strip())
    log.add(row.line, None, "this row holds units and no figures",
            f"write each unit into its heading, such as {example.column.name} [{row.cells[example.index].strip('()[] ')}], "
            "and delete the row", Severity.HEADINGS)  # fmt: skip
    return dataclasses.replace(grid, rows=grid.rows[1:])


@dataclass
class _Head:
    column: Column
    unit: str | None
    index: int
    unit_ok: bool = True
    told: bool = False  # that the heading gives no unit


def _header(grid: Grid, form: TableFormat, log: Log, units: System | None) -> list[_Head | None]:  # noqa: C901  a heading is told once, by the first of these that fits
    line = grid.header.line
    heads: list[_Head | None] = []
    seen: dict[str, int] = {}
    names: list[tuple[str, str | None, str]] = []
    unread: set[int] = set()
    for index, text in enumerate(grid.header.cells):
        try:
            raw = cells.clean(" ".join(text.split()))  # a heading may be wrapped over lines
        except BadCell as e:
            log.add(line, None, f"heading {_letter(index)}: {e.what}", e.fix, Severity.HEADINGS)
            names.append(("", None, ""))
            unread.add(index)
            continue
        names.append((*heading(raw), raw))
    spelled_right = {name for name, _, _ in names} & set(form.by_name)
    figures = sum(re.fullmatch(r"-?[0-9][0-9.,]*", name) is not None for name, _, _ in names)
    if not spelled_right and (2 * figures > len(names) or not any(_guessed(n, names, form) for n in form.by_name)):
        first = ", ".join(list(form.by_name)[:3])
        log.add(line, None, "this is no row of column names", f"put one above it: {first} and so on", Severity.HEADINGS)
        return []
    lying = sum(1 for r in grid.rows if r.cells and heading(r.cells[0].strip())[0] in form.by_name)
    if lying > len(spelled_right) + 1:
        log.add(line, None, "the table lies on its side: its column names stand below one another",
                "turn it, so that they stand in one row", Severity.HEADINGS)  # fmt: skip
        return []
    for index, (name, unit, raw) in enumerate(names):
        heads.append(None)
        if index in unread:
            continue
        if not raw:
            used = next((r.line for r in grid.rows if len(r.cells) > index and r.cells[index].strip()), None)
            if used is not None:
                log.add(used, None, f"there is a value in column {_letter(index)}, which has no heading",
                        f"name the column in line {line}, or clear it", Severity.HEADINGS)  # fmt: skip
            continue
        column = form.by_name.get(name)
        if column is None:
            left = [n for n in form.by_name if n not in spelled_right]
            fix, meant = _meant(raw, name, unit, left, form)
            log.add(line, raw[:40], f"unknown column '{raw[:40]}'", fix, Severity.HEADINGS, about=meant)
            continue
        column = column.told_in(units, comma=grid.comma_decimals and log.file.endswith(".csv"))  # a sheet holds numbers
        if name in seen:
            log.add(line, name, f"the column stands twice ({_letter(seen[name])} and {_letter(index)})",
                    "keep one of them", Severity.HEADINGS)  # fmt: skip
            continue
        seen[name] = index
        head = _Head(column, None, index)
        heads[index] = head
        if unit is not None and unit.strip():
            try:
                if not column.is_quantity:
                    raise BadCell(f"{name} takes no unit", f"write {name} alone")
                head.unit = cells.header_unit(unit.strip(), column)
            except BadCell as e:
                head.unit_ok = False
                log.add(line, name, e.what, e.fix, Severity.HEADINGS)
    for needed in ("id", "kind"):
        told = any(needed in p.about for p in log.problems)
        if needed in form.by_name and needed not in seen and not told and not _guessed(needed, names, form):
            log.add(line, needed, f"the column {needed} is missing ({form.by_name[needed].meaning})",
                    f"add to the headings {needed}", Severity.HEADINGS)  # fmt: skip
    return heads


def _guessed(column: str, names: list[tuple[str, str | None, str]], form: TableFormat) -> bool:
    """Whether a misspelt heading was already told to be ``column``."""
    known = {n for n, _, _ in names} & set(form.by_name)
    left = [n for n in form.by_name if n not in known]
    return any(raw and n not in form.by_name and near(n, left) == column for n, _, raw in names)


def _meant(raw: str, name: str, unit: str | None, left: list[str], form: TableFormat) -> tuple[str, tuple[str, ...]]:
    """What to do about an unknown heading, with the unit it gives: the next try should be right.

    Beside it the column that it was likely meant as, if one is.
    """
    for known in sorted(left, key=len, reverse=True):
        column, rest = form.by_name[known], name.removeprefix(known)
        if column.is_quantity and rest != name and not rest[:1].isalnum():
            # the unit without brackets: mass lb, mass in lb, mass/lb
            behind = re.sub(r"^[\s_,:/|(\[-]*(?:in[\s_]+)?", "", raw[len(known) :]).strip(" )]")
            try:
                return f"write {known} [{UNITS[cells.header_unit(behind, column)].key}]", (known,)
            except BadCell:
                continue
    found = near(name, left)

    def with_unit(known: str) -> str:
        column = form.by_name[known]
        if not column.is_quantity or unit is None or not unit.strip():
            return known
        try:
            key = cells.header_unit(unit.strip(), column)
        except BadCell:
            return known
        return f"{known} [{key}]" if UNITS[key].label else known

    if found:
        return f"did you mean {with_unit(found)}?", (found,)
    likely = [n for n in left if n not in columns.FOR_RECORDS]  # few tables have these, so they are no guess for any heading
    if 0 < len(likely) <= 3:
        return f"take it out, or name it {' or '.join(with_unit(n) for n in likely)}", tuple(likely) if len(likely) == 1 else ()
    return "take it out", ()


def _letter(index: int) -> str:
    """The letters a spreadsheet names a column by."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _row(
    row: GridRow,
    heads: list[_Head | None],
    form: TableFormat,
    log: Log,
    dates: DateOrder | None,
    comma: bool,
) -> _Row:
    out = _Row(row.line, log, kind=form.row_kind or "")
    if _told_as_one(row, heads, form, log, dates):
        out.whole = False
        at = next(h.index for h in heads if h is not None and h.column.name == "id")
        with contextlib.suppress(BadCell):  # others may name it all the same
            out.id = cells.identifier(cells.clean(row.cells[at])) if at < len(row.cells) else ""
            out.kind = form.row_kind or ""
        return out
    # the kind first: what the other columns must hold depends on it
    for head in sorted((h for h in heads if h is not None), key=lambda h: h.column.name != "kind"):
        text = row.cells[head.index] if head.index < len(row.cells) else ""
        try:
            if head.index in row.faults:
                raise BadCell(*row.faults[head.index])
            text = cells.clean(text)
            if text:
                if head.index in row.dates and head.column.kind not in {"date", "note"}:
                    raise BadCell(f"the cell holds a date ({text[:20]})",
                                  "set the cell's format to text or a number, then type it again")  # fmt: skip
                _take(out, text, head, form, dates, comma and head.index not in row.numbers)
        except NoUnit as e:
            if head.told:
                continue
            head.told = True
            log.add(row.line, head.column.name, e.what, f"write the heading as {head.column.header}",
                    Severity.HEADINGS)  # fmt: skip
        except BadCell as e:
            log.add(row.line, head.column.name, e.what, e.fix)
            if head.column.kind == "id" and head.column.name == "id":
                out.words["id"] = "bad"
    return out


_CUTS_NAMED = 3  # figures that a comma may have cut: of more nobody reads which


def _told_as_one(row: GridRow, heads: list[_Head | None], form: TableFormat, log: Log, dates: DateOrder | None) -> bool:
    """Whether the row as a whole is wrong: told in one line rather than one for each cell."""
    extra = [i for i in range(len(heads), len(row.cells)) if row.cells[i].strip()]
    found = _joined(row.cells, heads, form, dates) if len(row.cells) == len(heads) + 1 else []
    if 0 < len(found) <= _CUTS_NAMED:  # with one of them put together all others stand below their headings
        cut = " or ".join(f"{a},{b}" for a, b, _ in found)
        log.add(row.line, None, f"the row has more cells than the heading, as where a comma stands inside a number: {cut}",
                f"write {' or '.join(figure for *_, figure in found)}, or put quotes around it")  # fmt: skip
        return True
    if found:
        log.add(row.line, None, "the row has more cells than the heading, as where a comma stands inside a number",
                "find it, and write it with a point or put quotes around it")  # fmt: skip
        return True
    if extra:
        log.add(row.line, None, f"the row has more cells than the heading has columns ({_letter(extra[0])})",
                "put quotes around a cell with a comma or semicolon in it, or name the column")  # fmt: skip
        return True
    named = [h for h in heads if h is not None]
    if row.filled == 1:
        log.add(row.line, None, "only one cell of this row is filled",
                "fill in the row, or clear it; a note goes above the headings or into the column note")  # fmt: skip
        return True
    at = next(h.index for h in named if h.column.name == "id")
    if (at >= len(row.cells) or not row.cells[at].strip()) and row.filled * 3 <= len(named):
        log.add(row.line, "id", f"the row has no id and little else, as a row of sums may, and is no {form.a_row.split()[-1]}",
                "fill it in, or clear it; a note goes above the headings")  # fmt: skip
        return True
    return False


def _joined(
    row: Sequence[str], heads: list[_Head | None], form: TableFormat, dates: DateOrder | None
) -> list[tuple[str, str, str]]:  # fmt: skip
    """Two cells that may be one figure cut at its comma, and that figure, such that every cell then fits its heading.

    None where all fit as they stand: then a cell too many is at the end.
    """
    there = [h for h in heads if h is not None]
    if all(_fits(row, h, heads, form, dates) for h in there):
        return []
    found = []
    for at, (a, b) in enumerate(itertools.pairwise(row)):
        if not (a.isdecimal() and b.isdecimal()):
            continue
        for figure in (f"{a}.{b}", *([a + b] if len(b) == len("000") and 0 < len(a.lstrip("0")) <= len(b) else [])):
            cut = [*row[:at], figure, *row[at + 2 :]]
            if all(_fits(cut, h, heads, form, dates) for h in there):
                found.append((a, b, figure))
    return found


def _fits(row: Sequence[str], head: _Head, heads: list[_Head | None], form: TableFormat, dates: DateOrder | None) -> bool:
    out = _Row(0, Log(""), kind=form.row_kind or next((row[h.index] for h in heads if h is not None and h.column.name == "kind"), ""))
    try:
        if text := cells.clean(row[head.index]):
            _take(out, text, head, form, dates, comma=False)
    except BadCell:
        return False
    return True


def _take(out: _Row, text: str, head: _Head, form: TableFormat, dates: DateOrder | None, comma: bool) -> None:
    column = head.column
    if column.name == "id":
        out.id = cells.identifier(text)
    elif column.name == "name":
        out.name = cells.name(text)
    elif column.name == "kind":
        out.kind = cells.choice(text, column)
    else:
        if out.kind and column.fits and out.kind not in column.fits:
            whose = " and ".join(f"{k}s" for k in form.kinds if k in column.fits)
            raise BadCell(f"{column.name} is for {whose}, and this is {_a(out.kind)}",
                          "clear the cell, or check that the row has not slipped sideways")  # fmt: skip
        if column.is_quantity:
            if head.unit_ok:
                out.values[column.name] = cells.quantity(text, column, head.unit, comma_decimals=comma)
        elif column.kind == "choice":
            out.values[column.name] = cells.choice(text, column)
        elif column.kind == "date":
            out.days[column.name] = cells.date(text, dates)
        elif column.kind == "language":
            out.words[column.name] = cells.language(text)
        else:
            out.words[column.name] = text


def _a(kind: str) -> str:
    return f"an {kind}" if kind[:1] in "aeiou" else f"a {kind}"


def _missing_columns(table: _Table, present: set[str], line: int, units: System | None) -> None:
    """One problem for a column that is not there, rather than one a row."""
    kinds = {row.kind for row in table.rows}
    told = {name for p in table.log.problems if p.severity is Severity.HEADINGS for name in p.about}
    missing = []
    for column in table.format.columns:
        wanted = [k for k in table.format.kinds if k in column.needed_for & kinds]
        if not wanted or column.name in present or column.name in {"id", "kind"}:
            continue
        if column.name in told:
            continue
        for_whom = "" if table.format.row_kind else f"; {' and '.join(f'{k}s' for k in wanted)} need it"
        missing.append((column.told_in(units), for_whom))
    if len(missing) >= _MANY:
        whom = "" if len({for_whom for _, for_whom in missing}) > 1 else missing[0][1].replace("need it", "need them")
        heads = ", ".join(c.headings[0] for c, _ in missing)
        table.log.add(line, None, f"{len(missing)} columns are missing ({', '.join(c.name for c, _ in missing)}){whom}",
                      f"add to the headings {heads}, or with the units their figures are in", Severity.HEADINGS,
                      about=tuple(c.name for c, _ in missing))  # fmt: skip
        return
    for column, for_whom in missing:
        table.log.add(line, column.name, f"the column {column.name} is missing ({column.meaning}){for_whom}",
                      f"add to the headings {column.header}", Severity.HEADINGS)  # fmt: skip


def _required_cells(table: _Table, grid: Grid, heads: list[_Head | None]) -> None:
    for row, raw in zip(table.rows, grid.rows, strict=True):
        for head in heads if row.whole else ():
            if head is None:
                continue
            column = head.column
            text = raw.cells[head.index] if head.index < len(raw.cells) else ""
            if text.strip(" \u00a0\u202f"):
                continue
            needed = row.kind in column.needed_for or column.name in {"id", "kind", "name"}
            if needed:
                whose = row.id or table.format.a_row
                if head.index in raw.merged:
                    table.log.add(row.line, column.name, f"{column.name} of {whose} is merged with another cell",
                                  "undo the merging, and fill in each cell")  # fmt: skip
                    continue
                table.log.add(row.line, column.name, f"{column.name} is blank for {whose} ({column.meaning})",
                              f"write a value such as {_example(column, head.unit)}")  # fmt: skip


def _example(column: Column, unit: str | None) -> str:
    if column.is_quantity and unit is not None:
        for text in (column.us, column.metric):
            value = Quantity.read(text, column.kind)
            if value.unit == unit:  # as it can be typed: no thousands comma
                return text.replace(".", ",") if column.comma else text
    return column.expects.split(", ")[0] if column.options else column.expects


def _duplicates(table: _Table) -> None:
    by_id: dict[str, _Row] = {}
    by_name: dict[str, _Row] = {}
    for row in table.rows:
        first = by_id.setdefault(row.id.casefold(), row)
        if row.id and first is not row:
            same = f"'{row.id}' stands twice" if first.id == row.id else f"'{row.id}' and '{first.id}' are too alike"
            table.log.add(row.line, "id", f"the id {same} (first in line {first.line})",
                          "give one of them another id")  # fmt: skip
        first = by_name.setdefault(" ".join(row.name.casefold().split()), row)
        if row.name and first is not row and table.format is not CREW:
            table.log.add(row.line, "name", f"the name '{row.name}' stands twice (first in line {first.line})",
                          "name one of them otherwise, so that nobody mixes them up")  # fmt: skip


# --- what is shared, and the site's own over it ---


@dataclass
class _SharedTables:
    """The tables of a shared folder as far as they could be read. ``lost``: the folder itself could not be, which was told."""

    tables: dict[str, _Table] = field(default_factory=dict)
    logs: list[Log] = field(default_factory=list)
    lost: bool = False
    replaced: set[str] = field(default_factory=set)  # ids of shared machines that a row of the site's own replaces


def _shared(folder: Path, read_: Read, log: Log) -> _SharedTables | None:
    """What the site's settings share; None where they share nothing."""
    if read_.shared is None:
        return None
    if not read_.shared:
        return _SharedTables(lost=True)
    try:
        shared = find_shared(folder, read_.shared)
    except WrongShared as e:
        log.add(read_.lines.get("shared"), "shared", e.what, e.fix, Severity.UNREADABLE)
        return _SharedTables(lost=True)
    found = _SharedTables()
    order_log, book_log, rest = Log(SETTINGS), Log("the workbook"), Log("")
    order = date_order(shared, order_log)
    book = open_book(shared.folder, book_log)
    refuse_own(shared, book, rest)
    for form in SHARED_TABLES:
        table = _table(shared.folder, form, dataclasses.replace(read_, dates=order), book, optional=True)
        for row in table.rows:
            row.shared = True
        found.tables[form.file] = table
    found.logs = [order_log, book_log, rest, *(t.log for t in found.tables.values())]
    for one in {id(one): one for one in found.logs}.values():
        shared.move(one)
    return found


def _layered(below: _Table, own: _Table, replaced: set[str]) -> _Table:
    """A shared table with the site's own over it: a row of the site's own replaces the shared row of the same id, all of it."""
    if not below.present:
        return own
    by_id = {row.id.casefold(): row for row in own.rows if row.id}
    by_name = {" ".join(row.name.casefold().split()): row for row in own.rows if row.name}
    kept = []
    charted = {row.words.get("machine", "") for row in own.rows} if own.format is LIFT_CHART else set()
    for row in below.rows:
        if own.format is LIFT_CHART:
            # two charts of one machine are never mixed, and a machine that is replaced is another one
            if row.words.get("machine", "") not in charted | replaced:
                kept.append(row)
            continue
        mine = by_id.get(row.id.casefold()) if row.id else None
        if mine is None:
            kept.append(row)
            twin = by_name.get(" ".join(row.name.casefold().split())) if row.name else None
            if twin is not None:
                twin.log.add(twin.line, "name", f"the name '{twin.name}' stands twice (as {row.id} in {row.log.file}, line {row.line})",
                             f"write the id {row.id} if both are one, or name one of them otherwise")  # fmt: skip
            continue
        _replaces(mine, row, own.format)
        replaced.add(row.id)
    made = own if own.present else below
    return _Table(own.format, made.log, [*kept, *own.rows], own.usable and below.usable)


def _notice_lost_charts(shared: _SharedTables, charts: _Table, machines: _Table) -> None:
    """A machine of the site's own in the place of a shared one has not its lift chart."""
    below = shared.tables.get(LIFT_CHART.file)
    had = {row.words.get("machine", "") for row in below.rows} if below is not None else set()
    has = {row.words.get("machine", "") for row in charts.rows}
    for row in machines.rows:
        if below is not None and row.id in (had & shared.replaced) - has:
            row.log.notice(row.line, None, f"{row.id} replaces the shared row, and the lift chart of that one ({below.log.file}) does not count here",
                           f"copy the chart into {LIFT_CHART.file} if it holds for this machine too", "replaces-shared")  # fmt: skip


def _replaces(mine: _Row, row: _Row, form: TableFormat) -> None:
    """What there is to say of a row of the site's own in the place of a shared one."""
    place = f"{row.log.file}, line {row.line}"
    if mine.id != row.id:
        mine.log.add(mine.line, "id", f"the id '{mine.id}' and '{row.id}' are too alike ({place})", "give one of them another id")
    elif mine.kind and row.kind and mine.kind != row.kind:
        mine.log.add(mine.line, "kind", f"{mine.id} is {_a(mine.kind)} here and {_a(row.kind)} in what is shared ({place})",
                     "give one of them another id", Severity.REFERENCE)  # fmt: skip
    elif form is MENTORS and mine.name and row.name and not _same_name(mine.name, row.name):
        mine.log.add(mine.line, "name", f"the id '{mine.id}' is {row.name}'s in what is shared ({place}), and here it is {mine.name}'s",
                     "give the mentor another id, or write the name as it stands there if both are one person", Severity.REFERENCE)  # fmt: skip
    elif form is not MENTORS and mine.whole and row.whole:
        left = [c.name for c in form.columns if c.name in row.values and c.name not in mine.values]
        if mine.name and row.name and not _same_name(mine.name, row.name):
            what, fix = f"it is {row.name}", "give it another id if both are there; keep the row if this one stands in its place"
            mine.log.notice(mine.line, "name", f"{mine.id} is {mine.name} here, and in what is shared ({place}) {what}", fix,
                            "replaces-shared", (mine.name, row.name))  # fmt: skip
        elif left:
            mine.log.notice(mine.line, None, f"{mine.id} replaces the shared row ({place}) and leaves out {', '.join(left[:12])}",
                            "fill in what holds here too, as nothing of the shared row counts", "replaces-shared", left)  # fmt: skip
        elif mine.values == row.values and mine.words == row.words and mine.days == row.days:
            mine.log.notice(mine.line, None, f"{mine.id} stands here as it does in what is shared ({place})",
                            "take the row out, so that what is put right there counts here", "replaces-shared")  # fmt: skip


# --- do the figures of a row agree? ---


def _agree(row: _Row, table: _Table) -> None:
    """Figures that contradict each other: most often a wrong unit or a slipped cell."""

    def si(name: str) -> float | None:
        value = row.values.get(name)
        return value.si if isinstance(value, Quantity) else None

    def at_most(small: str, large: str, what: str, leeway: float = 1.0) -> None:
        a, b = si(small), si(large)
        if a is not None and b is not None and a > b * leeway * (1 + 1e-9):
            table.log.add(row.line, small, f"{small} ({row.values[small]}) {what} {large} ({row.values[large]})",
                          "check both figures and their units", Severity.REFERENCE)  # fmt: skip

    if table.format is MACHINES:
        gauge, shoe, width = si("track_gauge"), si("shoe_width"), si("overall_width")
        if gauge is not None and shoe is not None and width is not None and gauge + shoe > width * 1.01:
            table.log.add(row.line, "overall_width",
                          f"overall_width ({row.values['overall_width']}) is less than track_gauge plus shoe_width",
                          "check the three figures; track_gauge is from centre to centre", Severity.REFERENCE)  # fmt: skip
        mass, length = si("mass"), si("track_length")
        if mass is not None and length is not None and shoe is not None:
            pressure = mass * 9.80665 / (2 * length * shoe)
            if not 10_000 <= pressure <= 250_000:
                side = "too little" if pressure < 10_000 else "too much"
                table.log.add(row.line, "mass",
                              f"mass ({row.values['mass']}) is {side} for tracks of {row.values['track_length']} by "
                              f"{row.values['shoe_width']}",
                              "check the three figures and their units", Severity.REFERENCE)  # fmt: skip
        at_most("cg_height", "track_length", "is more than")
        at_most("max_digging_depth", "max_reach", "is more than")
        at_most("stick_length", "max_reach", "is more than")
        at_most("bucket_width", "overall_width", "is more than", 1.5)
        load, blade, high = si("blade_load"), si("blade_width"), si("blade_height")
        if load is not None and blade is not None and high is not None and load > 2 * 0.8 * blade * high**2:
            table.log.add(row.line, "blade_load",
                          f"blade_load ({row.values['blade_load']}) is over twice what a blade of "
                          f"{row.values['blade_width']} by {row.values['blade_height']} holds",
                          "check the three figures and their units", Severity.REFERENCE)  # fmt: skip
        if row.kind == COMPACT:
            pair = {n: row.values.get(n) for n in ("gauge_narrow", "gauge_wide")}
            lacks = next((n for n, value in pair.items() if value is None and any(pair.values())), "")
            if lacks and all(p.column != lacks for p in table.log.problems):
                other = next(n for n in pair if n != lacks)
                table.log.add(row.line, lacks, f"{lacks} is blank for {row.id}, and {other} ({pair[other]}) is not",
                              "fill it in; where the tracks do not widen, leave both blank")  # fmt: skip
            at_most("gauge_narrow", "gauge_wide", "is more than")
            at_most("gauge_narrow", "track_gauge", "is more than")
            at_most("track_gauge", "gauge_wide", "is more than")
            at_most("narrow_width", "overall_width", "is more than")
            at_most("gauge_narrow", "narrow_width", "is more than")
    elif table.format is TRUCKS:
        at_most("body_width", "overall_width", "is more than")
        payload, body = si("payload"), si("body_volume")
        if payload is not None and body is not None and not 500 <= payload / body <= 3500:
            side = "too little" if payload / body < 500 else "too much"
            table.log.add(row.line, "payload",
                          f"payload ({row.values['payload']}) is {side} for a body of {row.values['body_volume']}",
                          "check both figures and their units", Severity.REFERENCE)  # fmt: skip


# --- one table against another ---


def _same_id_in_both(machines: _Table, trucks: _Table) -> None:
    taken = {row.id.casefold(): row for row in machines.rows if row.id}
    for row in trucks.rows:
        other = taken.get(row.id.casefold())
        if row.id and other is not None:
            row.log.add(row.line, "id", f"the id '{row.id}' is a machine's too ({other.log.file}, line {other.line})",
                           "give one of them another id")  # fmt: skip


def _check_charts(charts: _Table, machines: _Table) -> None:
    """Rows of lift charts beside the machines they are of, and beside each other."""
    by_id = {row.id: row for row in machines.rows if row.id}
    diggers = [row.id for row in machines.rows if row.id and row.kind in {EXCAVATOR, COMPACT}]
    first: dict[tuple[object, ...], _Row] = {}
    for row in charts.rows:
        of = row.words.get("machine", "")
        machine = by_id.get(of)
        if not of or not machines.usable:
            continue
        if machine is None or machine.kind == DOZER:
            what = f"{of[:40]} is a dozer, which has no lift chart" if machine else f"no machine is '{of[:40]}'"
            row.log.add(row.line, "machine", what, _or_listed(of, diggers, "take the row out"), Severity.REFERENCE)
            continue
        radius, load = row.values.get("radius"), row.values.get("chart_load")
        if not isinstance(radius, Quantity) or not isinstance(load, Quantity):
            continue
        reach, mass = machine.values.get("max_reach"), machine.values.get("mass")
        if isinstance(reach, Quantity) and radius.si > reach.si * (1 + 1e-9):
            row.log.add(row.line, "radius", f"radius ({radius}) is more than {of} reaches ({reach})", "check both figures and their units",
                           Severity.REFERENCE)  # fmt: skip
        if isinstance(mass, Quantity) and load.si > mass.si * (1 + 1e-9):
            row.log.add(row.line, "chart_load", f"chart_load ({load}) is more than {of} weighs ({mass})", "check both figures and their units",
                           Severity.REFERENCE)  # fmt: skip
        height = row.values.get("height")
        at = (of, row.values.get("over"), round(radius.si, 4), round(height.si, 4) if isinstance(height, Quantity) else None)
        twin = first.setdefault(at, row)
        if twin is not row:
            row.log.add(row.line, "radius", f"{of} has two figures for this radius, height and side (first in line {twin.line})",
                           "keep the one that the manual prints", Severity.REFERENCE)  # fmt: skip
    _notice_rising_chart(charts)


def _notice_rising_chart(charts: _Table) -> None:
    """A chart that allows more farther out is seldom right."""
    figures: dict[tuple[object, ...], list[tuple[float, float, _Row]]] = {}
    for row in charts.rows:
        radius, load, height = (row.values.get(name) for name in ("radius", "chart_load", "height"))
        if isinstance(radius, Quantity) and isinstance(load, Quantity):
            at = (row.words.get("machine"), row.values.get("over"), round(height.si, 4) if isinstance(height, Quantity) else None)
            figures.setdefault(at, []).append((radius.si, load.si, row))
    for found in figures.values():
        found.sort(key=lambda one: one[0])
        for (_, near_load, near_row), (_, far_load, row) in itertools.pairwise(found):
            if far_load > near_load * (1 + 1e-9):
                a, b = near_row.values, row.values
                row.log.notice(
                    row.line, "chart_load", f"chart_load at {b['radius']} ({b['chart_load']}) is more than at {a['radius']} ({a['chart_load']})",
                    "look at the chart again: farther out a machine nearly always lifts less", "lift-chart",
                    (a["radius"], a["chart_load"], b["radius"], b["chart_load"]),
                )  # fmt: skip


def _take_charts(charts: _Table, machines: _Table, read_: Read, lead: Mapping[str, str], log: Log) -> None:
    """Give each machine what its lift chart allows in the job's lift.

    Nothing is worked out between two figures of a chart: that of the next larger radius counts, and of
    its heights the smallest, as a load passes all of them. Without ``lift_over`` the smaller of both
    sides counts. A machine whose chart does not reach so far has none.
    """
    wanted, over = read_.job.get("lift_radius"), read_.job.get("lift_over")
    if not isinstance(wanted, Quantity):
        return
    for machine in machines.rows:
        own = [row for row in charts.rows if machine.id and row.words.get("machine") == machine.id]
        taken: list[tuple[Quantity, Quantity]] = []
        for side in (over,) if over is not None else ("front", "side"):
            far = [(r, c) for row in own if row.values.get("over") == side
                   if isinstance(r := row.values.get("radius"), Quantity) and isinstance(c := row.values.get("chart_load"), Quantity)
                   and r.si >= wanted.si * (1 - 1e-9)]  # fmt: skip
            if not far:
                taken = []
                if own and machine.id in {lead.get(EXCAVATOR), lead.get(COMPACT) if EXCAVATOR not in lead else None}:
                    log.add(read_.lines.get("job.lift_radius"), "job.lift_radius",
                            f"lift_radius ({wanted}) is past the end of the lift chart of {machine.id} over the {side}",
                            f"copy that part of the chart into {charts.log.file}, or take a lift within it", Severity.REFERENCE)  # fmt: skip
                break
            nearest = min(r.si for r, _ in far)
            taken.append(min((one for one in far if one[0].si <= nearest * (1 + 1e-9)), key=lambda one: one[1].si))
        if taken:
            machine.values["chart_radius"] = max((r for r, _ in taken), key=lambda r: r.si)
            machine.values["chart_load"] = min((c for _, c in taken), key=lambda c: c.si)


def _check_lead(read_: Read, tables: Mapping[str, _Table], log: Log) -> dict[str, str]:
    lead: dict[str, str] = {}
    files = dict.fromkeys(columns.MACHINE_KINDS, MACHINES.file)
    files |= {columns.TRUCK: TRUCKS.file, columns.MATERIAL: MATERIALS.file}
    for kind, file in files.items():
        table = tables[file]
        if not table.usable:
            continue
        fitting = [row.id for row in table.rows if row.kind == kind and row.id]
        if kind in read_.lead:
            line, wanted = read_.lead[kind]
            if wanted in fitting:
                lead[kind] = wanted
                continue
            other = table.ids().get(wanted)
            if other == "":  # its kind could not be read, which was told there
                continue
            what = f"'{wanted[:40]}' is {_a(other)}, not {_a(kind)}" if other else f"{table.log.file} has no '{wanted[:40]}'"
            fix = _or_listed(wanted, fitting, f"this site has no {kind}: take the line out")
            log.add(line, f"lead.{kind}", what, fix, Severity.REFERENCE)
        elif fitting:
            gone = {row.id for row in table.rows if "retired" in row.days}
            lead[kind] = next((id_ for id_ in fitting if id_ not in gone), fitting[0])
    return lead


def _check_other_leads(read_: Read, machines: _Table, trucks: _Table, log: Log) -> dict[str, str]:
    """The leads of lessons; those of roles are told where no table has them."""
    if not machines.usable or not trucks.usable:
        return {}
    ids = [row.id for table in (machines, trucks) for row in table.rows if row.id]
    for role in read_.roles.values():
        for wanted in role.lead:
            if wanted not in ids:
                log.add(read_.lines.get(f"roles.{role.id}.lead"), f"roles.{role.id}.lead", f"no machine or truck is '{wanted[:40]}'",
                        _or_listed(wanted, ids, "take the line out"), Severity.REFERENCE)  # fmt: skip
    lead: dict[str, str] = {}
    for lesson, (line, wanted) in read_.lesson_lead.items():
        if wanted in ids:
            lead[lesson] = wanted
        else:
            log.add(line, f"lead.lessons.{lesson}", f"no machine or truck is '{wanted[:40]}'",
                    _or_listed(wanted, ids, "take the line out"), Severity.REFERENCE)  # fmt: skip
    return lead


def _check_roles(read_: Read, machines: _Table, trucks: _Table, log: Log) -> None:
    for role in read_.roles.values():
        for kind in role.machines:
            table = trucks if kind == columns.TRUCK else machines
            if table.usable and all(row.kind not in {kind, ""} for row in table.rows):
                log.add(role.line, f"roles.{role.id[:40]}.machines",
                        f"the role runs {kind}s, but {table.log.file} has none",
                        f"add {_a(kind)} there, or take {kind} out of the role", Severity.REFERENCE)  # fmt: skip


def _alike(word: str, known: Collection[str]) -> str | None:
    """The id that ``word`` is but for capitals, blanks and dashes. Another digit is another machine."""

    def bare(text: str) -> str:
        return re.sub(r"[\s._/‐-―−-]", "", text).casefold()

    return next((k for k in known if bare(k) == bare(word)), None)


def _or_listed(word: str, known: Collection[str], otherwise: str) -> str:
    """``did you mean`` an id spelt alike, else the ids there are."""
    found = _alike(word, known)
    if found:
        return f"did you mean {found}?"
    return f"write one of {', '.join(list(known)[:12])}" if known else otherwise


def _split_ids(text: str) -> list[str]:
    return [part for part in re.split(r"[\s,;]+", text) if part]


def _split_words(text: str) -> list[str]:
    """Words, which may hold blanks, with commas or semicolons between them."""
    return [" ".join(part.split()) for part in re.split(r"[,;]", text) if part.strip()]


def _check_crew(crew: _Table, read_: Read, machines: _Table, trucks: _Table) -> None:
    known = trucks.ids() | machines.ids()
    # an id that could not be read was told there, and may be the one that is named here
    complete = all(t.usable and len({row.id.casefold() for row in t.rows if row.id}) == len(t.rows) for t in (machines, trucks))
    _check_former_ids(crew)
    for row in crew.rows:
        if crew.log.full:
            break
        _check_days_of(row, crew.log)
        role = row.words.get("role", "")
        runs = read_.roles[role].machines if role in read_.roles else columns.OPERATED
        fitting = [id_ for id_, kind in known.items() if kind in runs]
        if role and read_.role_ids is not None and role not in read_.role_ids:
            crew.log.add(row.line, "role", f"settings.yml has no role '{role[:40]}'",
                         suggest(role, read_.role_ids, f"its roles are {', '.join(sorted(read_.role_ids)[:12])}"),
                         Severity.REFERENCE)  # fmt: skip
        held = _split_ids(row.words.get("machines", ""))
        for index, machine in enumerate(held):
            kind = known.get(machine)
            if kind is None:
                if complete:
                    crew.log.add(row.line, "machines", f"there is no machine or truck '{machine[:40]}'",
                                 _or_listed(machine, fitting, "add it to its table, or take it out"), Severity.REFERENCE)  # fmt: skip
            elif machine in held[:index]:
                crew.log.add(row.line, "machines", f"{machine} stands twice", "keep one of them")
            elif kind and kind not in runs and role not in read_.unsure_roles:
                crew.log.add(row.line, "machines", f"{machine} is {_a(kind)}, which the role {role} does not run",
                             f"add {kind} to the role, give {row.id or 'the person'} another role, or take "
                             f"{machine} out", Severity.REFERENCE)  # fmt: skip


def _check_days_of(row: _Row, log: Log) -> None:
    """The days of one of the crew beside each other."""
    start, left, since = row.days.get("start"), row.days.get("left"), row.days.get("role_from")
    if start is not None and left is not None and left < start:
        log.add(row.line, "left", f"left ({left}) is before start ({start})", "check both days", Severity.REFERENCE)
    if start is not None and since is not None and since < start:
        log.add(row.line, "role_from", f"role_from ({since}) is before start ({start})", "check both days", Severity.REFERENCE)
    if left is not None and since is not None and since > left:
        log.add(row.line, "role_from", f"role_from ({since}) is after left ({left})", "check both days", Severity.REFERENCE)


def _check_former_ids(crew: _Table) -> None:
    """An id that somebody had stays that person's: nobody else ever gets it, or records would speak of the wrong one."""
    now = {row.id.casefold(): row for row in crew.rows if row.id}
    had: dict[str, _Row] = {}
    for row in crew.rows:
        former = row.words.get("former_id", "")
        if not former or crew.log.full:
            continue
        try:
            cells.identifier(former)
        except BadCell as e:
            crew.log.add(row.line, "former_id", e.what, e.fix)
            continue
        other, first = now.get(former.casefold()), had.setdefault(former.casefold(), row)
        if other is row:
            crew.log.add(row.line, "former_id", f"former_id is the id {row.id} itself",
                         "write the id the person had before, or clear the cell", Severity.REFERENCE)  # fmt: skip
        elif other is not None:
            crew.log.add(row.line, "former_id", f"the former id '{former}' is {other.name or 'another person'}'s now (line {other.line})",
                         f"give the person in line {other.line} an id that nobody had, as records name people by their ids",
                         Severity.REFERENCE)  # fmt: skip
        elif first is not row:
            crew.log.add(row.line, "former_id", f"the former id '{former}' stands twice (first in line {first.line})",
                         "keep it for the person who had it", Severity.REFERENCE)  # fmt: skip


def _same_name(a: str, b: str) -> bool:
    return a.casefold().split() == b.casefold().split()


def _check_mentors(mentors: _Table, crew: _Table) -> None:
    """Mentors beside the crew: an id is one person's, and a kind is one that there is."""
    present = {row.id.casefold(): row for row in crew.rows if row.id}
    former = {row.words["former_id"].casefold(): row for row in crew.rows if row.words.get("former_id")}
    for row in mentors.rows:
        if mentors.log.full:
            break
        _check_kinds(row, row.log)
        since, until = row.days.get("from"), row.days.get("until")
        if since is not None and until is not None and until < since:
            row.log.add(row.line, "until", f"until ({until}) is before from ({since})", "check both days", Severity.REFERENCE)
        if not row.id or not row.name:
            continue
        for whose, person in (("is", present.get(row.id.casefold())), ("was", former.get(row.id.casefold()))):
            if person is None or not person.name or (_same_name(person.name, row.name) and person.id == row.id):
                continue
            if _same_name(person.name, row.name):
                row.log.add(row.line, "id", f"{row.name} has the id {person.id} in {crew.log.file} (line {person.line})",
                                f"write {person.id}", Severity.REFERENCE)  # fmt: skip
            else:
                row.log.add(row.line, "id",
                                f"the id '{row.id}' {whose} {person.name}'s in {crew.log.file} (line {person.line}), and here it is {row.name}'s",
                                "give the mentor another id, or write the name as it stands there if both are one person",
                                Severity.REFERENCE)  # fmt: skip
            break
        else:
            twin = next((p for p in crew.rows if p.id and p.id != row.id and _same_name(p.name, row.name)), None)
            if twin is not None:
                row.log.notice(
                    row.line, "id", f"{row.name} is {row.id} here and {twin.id} in {crew.log.file} (line {twin.line})",
                    f"write {twin.id} here if both are one person, so that nobody can sign for himself", "mentor-twin", (row.id, twin.id),
                )  # fmt: skip


def _notice_unused_kinds(mentors: _Table, there: Collection[str]) -> None:
    """A notice for a mentor who may sign for a kind of machine that the site runs none of."""
    for row in mentors.rows:
        none = []
        for text in _split_words(row.words.get("machines", "")):
            with contextlib.suppress(BadCell):
                none += [k] if (k := machine_kind(text)) != columns.ON_FOOT and k not in there else []
        if none:
            what = " and ".join(f"{k}s" for k in dict.fromkeys(none))
            row.log.notice(row.line, "machines", f"{row.name or row.id} may sign for {what}, and this site runs none",
                           "take it out, or leave it for when some come", "mentor-kind", (row.id,))  # fmt: skip


def _of_learners(folder: Path, book: Book | None) -> tuple[Grid | None, Log]:
    """The grid of the learners, None where the site has no such table. Only its own name makes a file one."""
    table = _Table(LEARNERS, Log(LEARNERS.file))
    if not os.path.lexists(folder / LEARNERS.file) and (book is None or book.sheet(LEARNERS.sheet) is None):
        return None, table.log
    return _grid(folder, LEARNERS, table, book), table.log


def _mentors(mentors: _Table, crew: _Table) -> tuple[Mentor, ...]:
    """The mentors; one of the crew signs from the first day on the job at the earliest, and not once the person has left."""
    people = {row.id: row for row in crew.rows}
    found = []
    for row in mentors.rows:
        own = people[row.id].days if row.id in people else {}
        since = max((d for d in (row.days.get("from"), own.get("start")) if d is not None), default=None)
        last = own["left"] - datetime.timedelta(days=1) if "left" in own else None
        until = min((d for d in (row.days.get("until"), last) if d is not None), default=None)
        kinds = tuple(machine_kind(k) for k in _split_words(row.words.get("machines", "")))
        found.append(Mentor(row.id, row.name, kinds, since, until, row.line, row.file))
    return tuple(found)


def _check_kinds(row: _Row, log: Log) -> None:
    """The kinds of machine that a mentor may sign for."""
    kinds: list[str] = []
    for text in _split_words(row.words.get("machines", "")):
        try:
            kind = machine_kind(text)
        except BadCell as e:
            several = _several_kinds(text)
            if several:
                log.add(row.line, "machines", f"'{text[:40]}' is more than one kind", f"write {'; '.join(several)}")
            else:
                log.add(row.line, "machines", e.what, e.fix)
            continue
        if kind in kinds:
            log.add(row.line, "machines", f"{kind} stands twice", "keep one of them")
        kinds.append(kind)
    if "machines" in row.words and not kinds and not any(p.line == row.line for p in log.problems):
        log.add(
            row.line, "machines", "no kind of machine stands here", "write kinds with semicolons between them, such as dozer; excavator"
        )


def _several_kinds(text: str) -> list[str]:
    """The kinds in a text that holds nothing but kinds, without a comma between them; else nothing."""
    left, found = " ".join(word for word in text.casefold().split() if word not in {"and", "&", "+", "/"}), []
    while left:
        kind = next((k for k in sorted((*columns.OPERATED, columns.ON_FOOT), key=len, reverse=True) if f"{left} ".startswith(f"{k} ")), "")
        if not kind:
            return []
        found.append(kind)
        left = left[len(kind) :].strip()
    return found if len(found) > 1 else []


_EXAMPLE_AGAINST_LIMIT = (
    ("working_side_slope", "side_slope", "more"),
    ("climb_grade", "up_down_slope", "more"),
    ("push_grade", "up_down_slope", "more"),
    ("face_height", "bench_height", "more"),
    ("haul_speed", "site_speed", "more"),
    ("empty_speed", "site_speed", "more"),
)


def _check_job(read_: Read, lead: Mapping[str, str], machines: _Table, log: Log) -> None:
    """Figures of the job that contradict each other."""

    def tell(name: str, what: str, fix: str) -> None:
        log.add(read_.lines.get(f"job.{name}"), f"job.{name}", what, fix, Severity.REFERENCE)

    def si(name: str) -> float | None:
        value = read_.job.get(name)
        return value.si if isinstance(value, Quantity) else None

    def at_most(small: str, large: str) -> None:
        a, b = si(small), si(large)
        if a is not None and b is not None and a > b * (1 + 1e-9):
            tell(small, f"{small} ({read_.job[small]}) is more than {large} ({read_.job[large]})",
                 "check both figures and their units")  # fmt: skip

    new, limit, measured = si("wear_new"), si("wear_limit"), si("wear_measured")
    if new is not None and limit is not None and measured is not None:
        if new == limit:
            tell("wear_limit", "wear_limit is the same as wear_new", "check both figures")
        elif not min(new, limit) <= measured <= max(new, limit):
            tell("wear_measured", f"wear_measured ({read_.job['wear_measured']}) is not between wear_new and wear_limit",
                 "measure again; a part past its limit is changed, not used as an example")  # fmt: skip
    at_most("slip_ground_distance", "slip_track_distance")
    at_most("first_run_depth", "trench_depth")
    at_most("drift_offset", "drift_distance")
    # an example must not show what the site's own rule forbids
    for name, limit_name, worse in _EXAMPLE_AGAINST_LIMIT:
        example, rule = read_.job.get(name), read_.limits.get(limit_name)
        if isinstance(example, Quantity) and isinstance(rule, Quantity):
            over = example.si - rule.si if worse == "more" else rule.si - example.si
            if over > abs(rule.si) * 1e-9:
                tell(name, f"{name} ({example}) is {worse} than this site's limit {limit_name} ({rule})",
                     "keep the example within the site's own limit")  # fmt: skip
    lead_dozer = next((row for row in machines.rows if row.id and row.id == lead.get(DOZER)), None)
    depth, blade = si("slot_depth"), lead_dozer.values.get("blade_height") if lead_dozer else None
    if depth is not None and isinstance(blade, Quantity) and depth > blade.si * (1 + 1e-9):
        tell("slot_depth", f"slot_depth ({read_.job['slot_depth']}) is more than the lead dozer's blade height ({blade})",
             "keep the slot no deeper than the blade is high")  # fmt: skip
    _notice_narrow_pile(read_, machines, log)
    width, across = si("slot_width"), lead_dozer.values.get("blade_width") if lead_dozer else None
    if width is not None and isinstance(across, Quantity) and width < across.si * (1 - 1e-9):
        tell("slot_width", f"slot_width ({read_.job['slot_width']}) is less than the lead dozer's blade width ({across})",
             "check both figures: a slot is cut as wide as the blade, or a little wider")  # fmt: skip


def _check_bench(read_: Read, lead: Mapping[str, str], machines: _Table, trucks: _Table, log: Log) -> None:
    """What the bench lessons do about figures that do not go together: they keep the greater distance, and say so."""
    for name, instead in columns.RETIRED.items():
        if name in read_.job:
            log.notice(read_.lines.get(f"job.{name}"), f"job.{name}", f"{name} is no longer used, as {instead} counts",
                       "take the line out", "retired")  # fmt: skip
    if not {"bench-height", "loading-order"} & {lesson for role in read_.roles.values() for lesson in role.lessons}:
        return
    excavator = next((row for row in machines.rows if row.id and row.id == lead.get(columns.EXCAVATOR)), None)
    truck = next((row for row in trucks.rows if row.id and row.id == lead.get(columns.TRUCK)), None)
    if excavator is None or truck is None:
        return
    from generator.calc.catalogue.loading_bench import (
        BUCKET_LENGTH,
        DUMP_REACH,
        FALL_ZONE,
        TRUCK_STAND,
    )

    def si(values: Mapping[str, object], name: str) -> float | None:
        value = values.get(name)
        return value.si if isinstance(value, Quantity) else None

    stick, bench = si(excavator.values, "stick_length"), si(read_.limits, "bench_height")
    edge, width = si(read_.limits, "edge_distance"), si(truck.values, "overall_width")
    track, over, most = (si(excavator.values, n) for n in ("track_length", "overall_width", "max_reach"))
    if stick is None or edge is None or width is None or track is None or over is None or most is None:
        return
    built = stick if bench is None else min(stick, bench)
    try:
        zone = FALL_ZONE(bench_height=built, site_fall_zone=si(read_.limits, "fall_zone") or built)
        stand = TRUCK_STAND(edge_distance=edge, track_length=track, face_angle=si(read_.job, "face_angle") or math.pi / 4,
                            overall_width=over, fall_zone=zone, truck_width=width)  # fmt: skip
        reach = DUMP_REACH(max_reach=most, bucket_length=si(excavator.values, "bucket_length") or BUCKET_LENGTH(stick_length=stick))
    except CalculationError:
        return  # the lesson that uses them says which figure is out of range

    def told(metres: float, to: Callable[[float], float] = round) -> str:
        """In the site's units, to a tenth: up for the least that will do, down for the most."""
        metric = read_.settings is not None and read_.settings.units == "metric"
        return f"{to(round(metres if metric else metres / 0.3048, 4) * 10) / 10:.1f} {'m' if metric else 'ft'}"

    wanted = si(read_.job, "truck_distance")
    least = stand / math.sin(si(read_.job, "truck_angle") or math.pi / 2)
    if wanted is not None and wanted < least * (1 - 1e-3):
        log.notice(read_.lines.get("job.truck_distance"), "job.truck_distance",
                   f"truck_distance ({read_.job['truck_distance']}) would put {truck.id} in the zone where the face may fall, so "
                   f"the lessons use {told(least)}", f"write {told(least, math.ceil)} or more", "truck-distance")  # fmt: skip
    if reach < stand * (1 - 1e-3):
        low = built - (stand - reach)  # the fall zone shrinks with the bench, as long as that governs it
        helps = low > 0.3 and (si(read_.limits, "fall_zone") or 0) <= low
        lower = f"set limits.bench_height to {told(low, math.floor)} or less, or " if helps else ""
        excavator.log.notice(
            excavator.line, None,
            f"{excavator.id} dumps {told(reach)} out, and from a bench of {told(built)} the middle of {truck.id} is {told(stand)} away",
            f"{lower}lead with a machine that reaches farther; no distance to an edge is given up for reach", "truck-reach",
        )  # fmt: skip


def _notice_narrow_pile(read_: Read, machines: _Table, log: Log) -> None:
    """A spoil pile whose top is too narrow for a dozer and the site's distance to an edge on both sides.

    It stops nothing: the lesson then works with the width that is needed, and says so.
    """
    top, edge = read_.job.get("spoil_width"), read_.limits.get("edge_distance")
    if not isinstance(top, Quantity) or not isinstance(edge, Quantity):
        return
    needs = [
        (blade.si + 2 * edge.si, row)
        for row in machines.rows
        if row.kind == DOZER and isinstance(blade := row.values.get("blade_width"), Quantity)
    ]
    if not needs:
        return
    least, widest = max(needs, key=lambda need: need[0])
    if top.si < least * (1 - 1e-9):
        # rounded up: what is asked for must be enough
        tenths = math.ceil(from_si(least, top.unit, "length") * 10 - 1e-6)
        wanted = Quantity(trimmed(Decimal(tenths) / 10), top.unit, "length")
        log.notice(read_.lines.get("job.spoil_width"), "job.spoil_width",
                   f"spoil_width ({top}) is less than the blade of {widest.id} and edge_distance ({edge}) on both sides ({wanted})",
                   f"write {wanted} or more", "narrow-pile")  # fmt: skip


def _check_slopes(read_: Read, log: Log) -> None:
    """Slopes of the job given as a ratio, against the site's limit for going straight up and down."""
    limit = read_.limits.get("up_down_slope")
    for name in ("spoil_ratio", "slope_ratio"):
        ratio = read_.job.get(name)
        if not isinstance(limit, Quantity) or not isinstance(ratio, Quantity):
            continue
        if 1 / ratio.si <= limit.si * (1 + 1e-9):
            continue
        percent = Quantity(trimmed(to_places(100 / ratio.si, 1)), "%", "grade")
        what = f"{name} ({ratio}, or {percent}) is steeper than this site's limit up_down_slope ({limit})"
        line, column = read_.lines.get(f"job.{name}"), f"job.{name}"
        if name == "spoil_ratio":  # a dozer goes up it with every load
            log.add(line, column, what, "make the ramp flatter: write a larger first number", Severity.REFERENCE)
        else:  # a plan may well ask for a slope that no machine goes straight up
            log.notice(line, column, what, "the lesson tells operators to stop and ask before they go on it", "steep-plan")


def _check_soils(read_: Read, own: OwnRules, log: Log) -> None:
    """A soil type of the job is one that the site's own rules name."""
    table = own.rules.tables.get("excavation-slopes")
    for column in columns.JOB if table is not None else ():
        soil = read_.job.get(column.name) if column.options == columns.SOIL_TYPES else None
        if table is not None and isinstance(soil, str) and soil not in table.rows:
            place = f"job.{column.name}"
            log.add(
                read_.lines.get(place),
                place,
                f"'{soil[:40]}' is no soil of rules/trench-walls.csv",
                f"write one of {', '.join(table.rows)}",
            )


def _check_line(read_: Read, own: OwnRules, published: Tables, log: Log) -> None:
    """The site's distance to live lines is never less than the rules give for its own line."""
    voltage, kept = read_.job.get("line_voltage"), read_.limits.get("line_clearance")
    if not isinstance(voltage, Quantity) or not isinstance(kept, Quantity):
        return
    from generator.calc.catalogue import find
    from generator.calc.procedure import Procedure
    from generator.calc.under_rules import under, withheld

    if withheld("lines.clearance", own.rules):
        return
    rule = under(find("lines.clearance"), own.rules)
    assert isinstance(rule, Procedure)
    published = {**published, **own.rules.tables}
    system = UNITS[kept.unit].system or "us"
    try:
        least = rule.work({"voltage": voltage}, system, published).values["clearance"].si
    except CalculationError as e:
        log.add(read_.lines.get("job.line_voltage"), "job.line_voltage", e.what, e.fix, Severity.REFERENCE)
        return
    if isinstance(least, float) and kept.si < least * (1 - 1e-9):
        # rounded up: what is asked for must be enough
        hundredths = math.ceil(from_si(least, kept.unit, "length") * 100 - 1e-6)
        wanted = Quantity(trimmed(Decimal(hundredths) / 100), kept.unit, "length")
        log.add(read_.lines.get("limits.line_clearance"), "limits.line_clearance",
                f"line_clearance ({kept}) is less than the rules give for a line of {voltage} ({wanted})",
                f"write {wanted} or more; local rules may ask for more still", Severity.REFERENCE)  # fmt: skip


def _check_trench_entry(read_: Read, own: OwnRules, log: Log) -> None:
    """The site's limits on trenches ask for no less than the site's own rules do. Other sets of rules hold them by the columns' ranges."""
    table = own.rules.tables.get("own-trench-entry")
    if table is None:
        return
    for name, row, loose in (
        ("trench_entry_depth", "protection needed from this depth", "more"),
        ("spoil_setback", "spoil back from the edge", "less"),
    ):
        if row not in table.rows:  # the rule gives none
            continue
        limit, rule = read_.limits.get(name), table.quantity(row, "figure", "length")
        if isinstance(limit, Quantity) and (limit.si - rule.si) * (1 if loose == "more" else -1) > rule.si * 1e-9:
            log.add(read_.lines.get(f"limits.{name}"), f"limits.{name}",
                    f"{name} ({limit}) is {loose} than rules/trench-entry.csv gives for '{row}' ({rule})",
                    f"write {rule} or {'less' if loose == 'more' else 'more'}; local rules may ask for more still",
                    Severity.REFERENCE)  # fmt: skip


def _check_placeholders(read_: Read, tables: Collection[_Table], log: Log) -> None:
    """A site that says it is real must not teach the figures it was started with."""
    if read_.invented:
        return
    if str(read_.limits.get("decided_by", "")).upper() == NOBODY:
        log.add(read_.lines.get("limits.decided_by"), "limits.decided_by",
                "nobody has set this site's limits yet, and the site is not marked as invented",
                "let the competent person set them and write the name here, or write invented: true")  # fmt: skip
    for name in ("call", "emergency"):
        if str(read_.limits.get(name, "")).lower().startswith(PLACEHOLDER):
            log.add(read_.lines.get(f"limits.{name}"), f"limits.{name}", "this is still the placeholder, and the site is not marked as invented",
                    "write what holds on this site, or write invented: true")  # fmt: skip
    for table in tables:
        left = [row for row in table.rows if row.words.get("note", "").lower().startswith(PLACEHOLDER)]
        if left:
            more = len(left) - 1
            rows = (
                f"{left[0].id} and {more} more {'row' if more == 1 else 'rows'} are placeholders"
                if more
                else f"{left[0].id} is a placeholder"
            )
            left[0].log.add(left[0].line, "note", f"{rows}, and the site is not marked as invented",
                          "put your own figures in and clear the note, or write invented: true in settings.yml")  # fmt: skip


__all__ = ["JobSite", "Problem", "SiteProblems", "read"]
