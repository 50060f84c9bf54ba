"""A job site's tables as the sheets of a workbook: the same site, and a clear line for each mistake."""

from __future__ import annotations

import tracemalloc
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.workbook import _number, _Unclear
from tests.conftest import DEMO, copy_demo
from tests.jobsite.lessons import LESSONS
from tests.jobsite.sheets import as_book, book_site, column, with_part
from tests.jobsite.test_formats import figures


def put(sheet: str, row: int, name: str, value: object, shown: str | None = None) -> Callable[[Any], None]:
    """A change of one cell, and of the number format it is shown in."""

    def change(book: Any) -> None:
        cell = book[sheet].cell(row, column(book[sheet], name))
        cell.value = value
        if shown is not None:
            cell.number_format = shown

    return change


def lines_of(folder: Path) -> list[str]:
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS)
    lines = [str(p) for p in caught.value.problems]
    assert all("\n" not in line and line.isprintable() for line in lines)
    return lines


def test_the_demo_as_a_workbook_is_the_same_site(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    site, demo = read(folder, LESSONS), read(DEMO, LESSONS)
    assert site.machines == demo.machines
    assert site.trucks == demo.trucks
    assert site.materials == demo.materials
    assert site.crew == demo.crew
    assert site.settings == demo.settings
    assert site.notices == ()


def test_a_table_may_stay_a_file_beside_the_workbook(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    book = as_book()
    del book["crew"], book["trucks"]
    book.save(folder / "tables of ours.XLSX")
    (folder / "~$tables of ours.xlsx").write_bytes(b"in use")  # what a spreadsheet leaves while it is open
    for name in ("machines.csv", "materials.csv"):
        (folder / name).unlink()
    assert figures(read(folder, LESSONS)) == figures(read(DEMO, LESSONS))


def test_a_workbook_without_tables_is_nobodys_business(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    openpyxl.Workbook().save(folder / "shopping.xlsx")
    assert figures(read(folder, LESSONS)) == figures(read(DEMO, LESSONS))


def _untidy(book: Any) -> None:
    """Notes above, blanks, other capitals, hidden rows, formats: what grows in a workbook over the years."""
    sheet = book["machines"]
    sheet.title = " Machines "
    sheet.insert_rows(1, 3)
    sheet["A1"] = "Machines of Juniper Bench, all figures from the data sheets"
    sheet.merge_cells("A1:H1")
    sheet["A2"] = "Updated in March"
    sheet.cell(60, 40).number_format = "0.00"  # a format far off, and nothing in it
    sheet.cell(25, 2).value = "   "
    book["crew"].title = "for a moment"
    book["for a moment"].title = "CREW"
    trucks = book["trucks"]
    trucks.insert_rows(3)
    for row in (2, 4):
        cell = trucks.cell(row, column(trucks, "payload"))
        cell.value, cell.number_format = int(cell.value), '#,##0.0" tons"'
    materials = book["materials"]
    for row in range(2, 8):
        cell = materials.cell(row, column(materials, "swell"))
        cell.value, cell.number_format = cell.value / 100, "0%"
        words = materials.cell(row, column(materials, "traction"))
        words.value, words.number_format = str(words.value).replace(".", ","), "@"
    book.create_sheet("lists")["A1"] = "=1/0"


def test_an_untidy_workbook_reads_the_same(tmp_path: Path) -> None:
    site, demo = read(book_site(tmp_path / "site", _untidy), LESSONS), read(DEMO, LESSONS)
    assert figures(site) == figures(demo)
    assert site.machines[0].line == 5


def _hide(book: Any) -> None:
    book["machines"].row_dimensions[3].hidden = True
    book["machines"].column_dimensions["F"].hidden = True
    book["trucks"].row_dimensions[2].hidden = True
    book["trucks"].row_dimensions[4].hidden = True
    book["trucks"].row_dimensions[40].hidden = True
    book["crew"].sheet_state = "hidden"


def test_merged_cells_are_told_where_a_value_is_missing(tmp_path: Path) -> None:
    """A title may be merged, and a note; a value that two rows share may not."""

    def change(book: Any) -> None:
        book["machines"].insert_rows(1)
        book["machines"]["A1"] = "Our machines"
        book["machines"].merge_cells("A1:F1")
        kind, note = (column(book["materials"], name) for name in ("soil_type", "note"))
        for at in (kind, note):
            book["materials"].merge_cells(start_row=2, end_row=3, start_column=at, end_column=at)

    assert lines_of(book_site(tmp_path / "site", change)) == [
        "site.xlsx[materials]:3:soil_type: soil_type of clay is merged with another cell; undo the merging, and fill in each cell"
    ]


def test_what_is_hidden_counts_and_is_said(tmp_path: Path) -> None:
    site = read(book_site(tmp_path / "site", _hide), LESSONS)
    assert figures(site) == figures(read(DEMO, LESSONS))
    assert [str(n) for n in site.notices] == [
        "site.xlsx[machines]:3: row 3 is hidden, and was read all the same; show it, or delete it if it is not meant [hidden]",
        "site.xlsx[machines]: a column is hidden, and was read all the same; show it, so that others can look at it [hidden]",
        "site.xlsx[trucks]:2: 2 rows are hidden from here on, and were read all the same; show them, or delete them if "
        "they are not meant [hidden]",
        "site.xlsx[crew]: the sheet is hidden, and was read all the same; show it, so that others can look at it [hidden]",
    ]


# one wrong cell in the demo's workbook, and what is said of it
CELLS: dict[str, tuple[Callable[[Any], None], str]] = {
    "formula": (
        put("machines", 2, "mass", "=D3*2"),
        "site.xlsx[machines]:2:mass: the cell holds a formula (=D3*2); copy the cell and paste its value in its place",
    ),
    "formula in a name": (
        put("crew", 2, "name", '=HYPERLINK("x","y")'),
        'site.xlsx[crew]:2:name: the cell holds a formula (=HYPERLINK("x","y")); copy the cell and paste its value in its place',
    ),
    "error": (
        put("machines", 2, "cg_height", "#REF!"),
        "site.xlsx[machines]:2:cg_height: '#REF!' is an error of the spreadsheet, not a value; repair the cell there and "
        "save again",
    ),
    "date for a figure": (
        put("materials", 2, "repose", date(2026, 3, 5), "d-mmm"),
        "site.xlsx[materials]:2:repose: the cell holds a date (2026-03-05); set the cell's format to text or a number, "
        "then type it again",
    ),
    "date for an id": (
        put("trucks", 3, "id", datetime(2026, 1, 2), "d-m"),
        "site.xlsx[trucks]:3:id: the cell holds a date (2026-01-02); set the cell's format to text or a number, then "
        "type it again",
    ),
    "time of day": (
        put("materials", 2, "repose", time(4, 1), "h:mm"),
        "site.xlsx[materials]:2:repose: '04:01:00' is not a quantity; write it as 35 deg",
    ),
    "a day with an hour": (
        put("crew", 2, "start", datetime(2026, 3, 2, 7, 30)),
        "site.xlsx[crew]:2:start: '2026-03-02 07:30:00' is not a date; write year, month and day, such as 2026-03-14",
    ),
    "a truth": (
        put("trucks", 2, "payload", True),
        "site.xlsx[trucks]:2:payload: 'TRUE' is not a quantity; write it as 30 ton",
    ),
    "shown in thousands": (
        put("machines", 2, "mass", 45000, "0,"),
        "site.xlsx[machines]:2:mass: the cell is shown in thousands; set the format of the cell to a plain number and "
        "look at it again",
    ),
    "shown in two ways": (
        put("machines", 2, "mass", 45000, '[>1000]0.0,"k";0'),
        "site.xlsx[machines]:2:mass: the cell has a number format that shows some numbers otherwise than others; set the "
        "format of the cell to a plain number and look at it again",
    ),
    "shown as nothing": (
        put("machines", 2, "mass", 45000, ";;;"),
        "site.xlsx[machines]:2:mass: the cell is shown without its number; set the format of the cell to a plain number "
        "and look at it again",
    ),
    "shown in a unit of another kind": (
        put("machines", 2, "mass", 45, '0 "ft"'),
        "site.xlsx[machines]:2:mass: ft is not a unit of weight (mass); write it as 45000 lb",
    ),
    "shown in money": (
        put("machines", 2, "mass", 45000, "[$€-407] #,##0"),
        "site.xlsx[machines]:2:mass: '€ 45000' is not a quantity; write it as 45000 lb",
    ),
    "a share as a bare number": (
        put("materials", 2, "swell", 0.25),
        "site.xlsx[materials]:2:swell: 0.25% is less than one part in a hundred; write 25% if that is meant",
    ),
    "words with a comma read two ways": (
        put("machines", 2, "mass", "45,000"),
        "site.xlsx[machines]:2:mass: '45,000' can be read two ways; write 45000, or 45.0 for the small number",
    ),
    "line break": (
        put("trucks", 2, "note", "two\nlines"),
        "site.xlsx[trucks]:2:note: there is a line break inside the cell; write it on one line",
    ),
    "too long": (
        put("trucks", 2, "note", "x" * 30_000),
        "site.xlsx[trucks]:2:note: the text is longer than 2,000 characters; shorten it",
    ),
    "blank": (
        put("trucks", 2, "payload", None),
        "site.xlsx[trucks]:2:payload: payload is blank for T-1 (rated payload); write a value such as 30 ton",
    ),
    "misspelt heading": (
        put("machines", 1, "stick_length", "stik_length [ft]"),
        "site.xlsx[machines]:1:stik_length [ft]: unknown column 'stik_length [ft]'; did you mean stick_length [ft]?",
    ),
    "formula for a heading": (
        put("machines", 1, "note", "=A1"),
        "site.xlsx[machines]:1: heading AN: '=' looks like a formula; write the value itself",
    ),
    "id of a machine and a truck": (
        put("trucks", 5, "id", "D-4"),
        "site.xlsx[trucks]:5:id: the id 'D-4' is a machine's too (site.xlsx[machines], line 5); give one of them another id",
    ),
    "no such machine": (
        put("crew", 2, "machines", "D-1 D-9"),
        "site.xlsx[crew]:2:machines: there is no machine or truck 'D-9'; write one of D-1, D-2, D-3, D-4",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CELLS)
def test_a_wrong_cell_gets_its_line(case: str, tmp_path: Path) -> None:
    change, line = CELLS[case]
    assert line in lines_of(book_site(tmp_path / "site", change))


def test_all_wrong_cells_in_one_run(tmp_path: Path) -> None:
    def change(book: Any) -> None:
        for case in ("formula", "error", "date for a figure", "a truth", "too long", "no such machine"):
            CELLS[case][0](book)

    lines = lines_of(book_site(tmp_path / "site", change))
    assert len(lines) == 6
    # the tables in their order, what contradicts another table last
    assert [line.split("]")[0].split("[")[1] for line in lines] == [
        "machines", "machines", "trucks", "trucks", "materials", "crew",
    ]  # fmt: skip


def _drop(name: str) -> Callable[[Any], None]:
    def change(book: Any) -> None:
        del book[name]

    return change


def _rename(name: str, new: str) -> Callable[[Any], None]:
    def change(book: Any) -> None:
        book[name].title = new

    return change


def _only_heading(book: Any) -> None:
    book["trucks"].delete_rows(2, 50)


def _emptied(book: Any) -> None:
    book["trucks"].delete_rows(1, 50)


def _wide(book: Any) -> None:
    book["trucks"].cell(2, 300).value = 1


def _above(book: Any) -> None:
    book["trucks"].insert_rows(1)
    book["trucks"]["A1"], book["trucks"]["B1"] = "T-9", "Haul truck"


SHEETS: dict[str, tuple[Callable[[Any], None], str]] = {
    "gone": (_drop("trucks"), "settings.yml:{at}:roles.truck-driver.machines: the role runs trucks, and there is no table of trucks; "
             "add the sheet trucks, or take truck out here"),
    "misspelt": (_rename("trucks", "Truck"), "site.xlsx: there is no sheet named trucks, and no trucks.csv; rename the sheet Truck"),
    "heading only": (_only_heading, "site.xlsx[trucks]:1: the table has no row below its heading; add a truck in the next line"),
    "empty": (_emptied, "site.xlsx[trucks]: the sheet is empty; start with a row of column names"),
    "far right": (_wide, "site.xlsx[trucks]:2: the table has more than 200 columns; delete the columns to the right of it"),
    "row above the headings": (_above, "site.xlsx[trucks]:1: the row stands above the headings, which are in line 2; move it below them, or clear it"),
}  # fmt: skip


@pytest.mark.parametrize("case", SHEETS)
def test_a_wrong_sheet_gets_its_line(case: str, tmp_path: Path) -> None:
    change, line = SHEETS[case]
    found = lines_of(book_site(tmp_path / "site", change))
    text = (tmp_path / "site" / "settings.yml").read_text("utf-8").split("\n")
    line = line.replace("{at}", str(text.index("    machines: [truck]") + 1))
    assert found == [line] or case == "misspelt"
    assert line in found


def test_a_table_that_stands_twice(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    (folder / "crew.csv").write_bytes((DEMO / "crew.csv").read_bytes())
    assert lines_of(folder) == ["crew.csv: this table is here and in site.xlsx, sheet crew, too; keep one of the two"]


def test_two_workbooks(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    as_book().save(folder / "b.xlsx")
    assert lines_of(folder) == [
        "b.xlsx: there is another workbook beside it, site.xlsx; keep one workbook in this folder, with the tables as its sheets"
    ]


def _recast(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def _flag_encrypted(path: Path) -> None:
    data = bytearray(path.read_bytes())
    for mark, offset in ((b"PK\x01\x02", 8), (b"PK\x03\x04", 6)):
        at = data.find(mark)
        while at >= 0:
            data[at + offset] |= 1
            at = data.find(mark, at + 4)
    path.write_bytes(bytes(data))


def _other_archive(path: Path, first: str) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(first, "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", "<x/>")


OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600
HALF = b"<!DOCTYPE x [<!ENTITY a 'aaaaaaaaaa'><!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;'>]>"
FILES: dict[str, tuple[Callable[[Path], object], str]] = {
    "cut off": (lambda p: _recast(p, p.read_bytes()[:3000]), "the workbook is damaged; open it in your spreadsheet and save it again; if it does not open, take an older copy"),
    "flipped": (lambda p: _recast(p, p.read_bytes().replace(b"\x0a", b"\x0b")), "the workbook is damaged; open it in your spreadsheet and save it again; if it does not open, take an older copy"),
    "empty": (lambda p: _recast(p, b""), "the file is no workbook, whatever its ending says; save it again as an ordinary .xlsx workbook"),
    "text": (lambda p: _recast(p, b"id,name"), "the file is no workbook, whatever its ending says; save it again as an ordinary .xlsx workbook"),
    "old kind": (lambda p: _recast(p, OLD), "the file is a workbook of the old kind (.xls) with another ending; save it again as an ordinary .xlsx workbook"),
    "locked": (lambda p: _recast(p, OLD + "EncryptedPackage".encode("utf-16-le")), "the workbook is locked with a password; take the password off and save it again"),
    "locked zip": (_flag_encrypted, "the workbook is locked with a password; take the password off and save it again"),
    "another kind": (lambda p: _other_archive(p, "mimetype"), "the file is a workbook of another kind with the ending .xlsx; save it again as an ordinary .xlsx workbook"),
    "any zip": (lambda p: _other_archive(p, "readme"), "the workbook is damaged, or of a kind that cannot be read; save it again as an ordinary .xlsx workbook"),
    "document type": (lambda p: with_part(p, "xl/worksheets/sheet1.xml", lambda t: t.replace(b"<worksheet", HALF + b"<worksheet", 1)), "the workbook holds XML that no spreadsheet writes; save it again as an ordinary .xlsx workbook"),
    "no XML": (lambda p: with_part(p, "xl/worksheets/sheet1.xml", lambda t: t[:500]), "the workbook is damaged, or of a kind that cannot be read; save it again as an ordinary .xlsx workbook"),
    "too large": (lambda p: _recast(p, p.read_bytes() + b"\0" * 8_000_001), "the file is larger than 8,000 kB; it should be a few pages long; check what was saved"),
}  # fmt: skip


@pytest.mark.parametrize("case", FILES)
def test_a_wrong_file_gets_its_line(case: str, tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    do, line = FILES[case]
    do(folder / "site.xlsx")
    assert lines_of(folder) == [f"site.xlsx: {line}"]


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    (folder / "site.xlsx").rename(tmp_path / "elsewhere.xlsx")
    (folder / "site.xlsx").symlink_to(tmp_path / "elsewhere.xlsx")
    assert lines_of(folder) == ["site.xlsx: it is a link that leads out of the job site folder; put the file itself into site"]


def test_a_file_name_stays_on_one_line(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site", name="a\n\x1b[31mb.xlsx")
    (folder / "a\n\x1b[31mb.xlsx").write_bytes(b"")
    assert lines_of(folder)[0].startswith("a��[31mb.xlsx: the file is no workbook")


# --- what is in a cell, as it is shown ---


@pytest.mark.parametrize(
    ("value", "shown", "text"),
    [
        (0.25, "0%", "25%"), (0.255, "0.0%", "25.5%"), (-0.3, "0%;[Red]-0%", "-30%"), (0.25, "General", "0.25"),
        (0.1 + 0.2, "General", "0.3"), (45000, "#,##0", "45000"), (45000, '#,##0 "lb"', "45000 lb"), (3.0, "0.00", "3"),
        (12, r"0\ \f\t", "12 ft"), (12, '0" ft";-0" ft"', "12 ft"), (-12, '0" ft";-0" m"', "-12 m"), (0, '0;-0;"no" 0', "no 0"),
        (5, "_-* #,##0.00_-;-* #,##0.00_-", "5"), (5, "@", "5"), (7, "000", "007"), (12, '"ca. "0', "ca. 12"), (1e21, "0", "1" + "0" * 21),
        (1234567, "0.00E+00", "1234567"), (0.5, "# ?/?", "0.5"), (2, "[$€-407]0", "€ 2"), (3, "[Red]0", "3"), (4, '0 "%"', "4 %"),
    ],
)  # fmt: skip
def test_a_number_counts_as_it_is_shown(value: float, shown: str, text: str) -> None:
    assert _number(value, shown) == text


@pytest.mark.parametrize("shown", ["0,", '0.0,"k"', "0,,", ";;;", '"hidden"', "[<5]0;0.0", "0" * 300])
def test_a_number_shown_as_another_is_unclear(shown: str) -> None:
    with pytest.raises(_Unclear):
        _number(1500, shown)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 1e308, 5e-324, -0.0, 10**40])
def test_odd_numbers_stay_texts(value: float) -> None:
    assert len(_number(value, "General")) < 60


# --- whatever stands in it ---

VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-(10**18), 10**18), st.floats(allow_nan=False, allow_infinity=False),
    st.text(st.characters(min_codepoint=32, exclude_categories=["Cs"]), max_size=12),
    st.sampled_from(["=1", "=", "@x", "#REF!", "3,2", "1.500", "D-1", "dozer", "<b>", "{{ 7 * 7 }}", "\u202e", "😀", "אבג", "id"]),
    st.dates(date(1950, 1, 1)), st.datetimes(datetime(1950, 1, 1)), st.times(),
)  # fmt: skip
FORMATS = st.one_of(
    st.sampled_from(["General", "0%", "0.00", '0 "ft"', "0,", "yyyy-mm-dd", "[h]:mm", ";;;", "@", "000"]),
    st.text(st.sampled_from('0#?.,;%"\\_*[]<>=$dmyhs@- aft'), max_size=12),
)


def answers(folder: Path) -> None:
    try:
        read(folder, LESSONS)
    except SiteProblems as told:
        assert told.problems
        for problem in told.problems:
            line = str(problem)
            assert "\n" not in line and line.isprintable() and len(line) < 2000
            assert problem.what and problem.fix


SHORT = """\
site: {key: short, name: Short}
edition: 2026-1
units: us
passing_mark: 80%
roles: {dozer-operator: {title: Dozer operator, machines: [dozer], lessons: [stop-work]}}
limits: {decided_by: A. Person, decided_on: 2026-01-05, ask_first: [it rains]}
"""


def test_any_cells(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    (folder / "settings.yml").write_text(SHORT, "utf-8")
    place = st.tuples(st.sampled_from(["machines", "trucks", "materials", "crew"]), st.integers(1, 9), st.integers(1, 30), VALUES, FORMATS)

    @settings(max_examples=10)
    @given(st.lists(place, min_size=5, max_size=40))
    def run(edits: list[tuple[str, int, int, Any, str]]) -> None:
        book = as_book()
        for sheet, row, col, value, shown in edits:
            cell = book[sheet].cell(row, col)
            cell.value = value
            cell.number_format = shown
        book.save(folder / "site.xlsx")
        answers(folder)

    run()


PARTS = ("xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/workbook.xml", "xl/styles.xml", "[Content_Types].xml",
         "xl/_rels/workbook.xml.rels")  # fmt: skip


def test_any_parts(tmp_path: Path) -> None:
    """Pieces cut out of the XML and put in, where the zip around it stays sound."""
    folder = book_site(tmp_path / "site")
    (folder / "settings.yml").write_text(SHORT, "utf-8")
    whole = (folder / "site.xlsx").read_bytes()
    pieces = st.sampled_from([b"", b"<", b">", b"/", b'"', b"<c/>", b'<row r="99"/>', b'<row r="1048576">', b"<v>1e999</v>", b' t="e"', b' t="s"',
                              b' s="99"', b' r="ZZZ9"', b"99999999999", b"-1", b"&#0;", b"&a;", b"\xff", b"<f>A1</f>", b' hidden="1"'])  # fmt: skip
    edits = st.lists(st.tuples(st.sampled_from(PARTS), st.floats(0, 1), st.integers(0, 40), pieces), min_size=1, max_size=4)

    @settings(max_examples=40)
    @given(edits)
    def run(changes: list[tuple[str, float, int, bytes]]) -> None:
        path = folder / "site.xlsx"
        path.write_bytes(whole)
        for part, at, length, new in changes:

            def cut(text: bytes, at: float = at, length: int = length, new: bytes = new) -> bytes:
                start = int(at * len(text))
                return text[:start] + new + text[start + length :]

            with_part(path, part, cut)
        answers(folder)

    run()


def test_any_bytes(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    (folder / "settings.yml").write_text(SHORT, "utf-8")
    whole = (folder / "site.xlsx").read_bytes()

    @settings(max_examples=40)
    @given(st.lists(st.tuples(st.floats(0, 1), st.binary(max_size=20)), min_size=1, max_size=6))
    def run(changes: list[tuple[float, bytes]]) -> None:
        data = whole
        for at, new in changes:
            start = int(at * len(data))
            data = data[:start] + new + data[start + len(new) :]
        (folder / "site.xlsx").write_bytes(data)
        answers(folder)

    run()


# --- bombs: bounded in memory and in lines ---

CELLS_XML = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">%s<sheetData>%s</sheetData></worksheet>'
TOO_MUCH = "site.xlsx: the workbook holds far more than a few tables; copy the tables, values only, into a new workbook"
BOMBS: dict[str, tuple[str, bytes, str]] = {
    "a gigabyte of nothing": ("xl/worksheets/sheet9.xml", b"\0" * 30_000_000, TOO_MUCH),
    "styles": ("xl/styles.xml", b"<x/>" * 600_000, TOO_MUCH),
    "tags": ("xl/sharedStrings.xml", b"<sst>%s</sst>" % (b"<si/>" * 400_000), TOO_MUCH),
    "rows without a size": ("xl/worksheets/sheet2.xml", CELLS_XML % (b"", b"<row><c><v>1</v></c></row>" * 100_000), TOO_MUCH),
    "rows": ("xl/worksheets/sheet2.xml", CELLS_XML % (b'<dimension ref="A1"/>', b"<row><c><v>1</v></c></row>" * 100_000),
             "site.xlsx[trucks]: the table has more than 1,000 rows; check what was saved"),
    "blank rows": ("xl/worksheets/sheet2.xml", CELLS_XML % (b"", b'<row r="900000"><c r="A900000"><v>1</v></c></row>'),
                   "site.xlsx[trucks]: the sheet is far larger than its table; copy the table, values only, into a new sheet"),
    "blank cells": ("xl/worksheets/sheet2.xml", CELLS_XML % (b"", b'<row><c r="XFD1"/></row>' * 1000),
                    "site.xlsx[trucks]: the sheet is far larger than its table; copy the table, values only, into a new sheet"),
}  # fmt: skip


@pytest.mark.parametrize("case", BOMBS)
def test_a_bomb_is_one_line_and_little_memory(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.jobsite.workbook.MOST_ROWS", 1_000)  # for speed: tracing memory is slow
    monkeypatch.setattr("generator.jobsite.workbook.MOST_LINES", 10_000)
    folder = book_site(tmp_path / "site")
    part, data, line = BOMBS[case]
    with_part(folder / "site.xlsx", part, lambda _: data)
    tracemalloc.start()
    try:
        assert lines_of(folder) == [line]
        assert tracemalloc.get_traced_memory()[1] < 60_000_000
    finally:
        tracemalloc.stop()
