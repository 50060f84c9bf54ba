"""Sign-off sheets: leaves of two sides, a line for each thing to see, and a number by which each is found again."""

from __future__ import annotations

import datetime
import io
import json
import re
import zipfile
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import openpyxl
import pytest

from generator.book import signoff
from generator.book.part import Tree
from generator.book.qr import qr_svg
from generator.book.sheet import NUMBER
from generator.book.signoff import Shown, in_words
from generator.book.tofill import HEADS, tables_to_fill_in
from generator.book.tree import render_tree
from generator.jobsite.fillin import workbook_to_fill_in
from generator.jobsite.model import JobSite, Mentor, Person
from generator.publish.build import load
from generator.quiz.edition import EditionDamaged, Plan, keep_sheets
from generator.quiz.printed import Printed
from generator.records.flags import Flag, Refused
from generator.records.sheets import load_signoff_sheet, load_talk_sheet
from generator.records.tables import HandedIn, read_table
from generator.records.workbooks import read_workbook
from tests.book.places import small
from tests.book.qr_reading import read as read_qr

LESSONS = ("stop-work", "reading-grades", "bench-height")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> JobSite:
    return load(small(tmp_path_factory.mktemp("signed") / "site", *LESSONS))[1]


@pytest.fixture(scope="module")
def tree(site: JobSite) -> Tree:
    content, _ = load(site.folder)
    made = render_tree(content, site)
    assert made.problems == []
    plan = Plan(first=True)
    keep_sheets(plan, site.folder, site.folder / ".stage", made.sheets)
    plan.carry_out()
    return made


def kept(tree: Tree, kind: str) -> list[dict[str, Any]]:
    return [found for s in tree.sheets if (found := json.loads(s.kept))["kind"] == kind]


# --- leaves ---------------------------------------------------------------------------------------


def lesson(id_: str, *letters: int) -> Shown:
    return Shown(id_, id_, tuple("x" * n for n in letters), False)


def laid_out(lessons: list[Shown], back: float = signoff._BACK) -> list[list[tuple[str, int]]]:
    return [[(x.id, len(x.lines)) for x in side.lessons] for side in signoff._sides(lessons, back)]


def test_a_short_role_has_one_leaf_and_its_back_holds_the_signatures() -> None:
    assert laid_out([lesson("a", 40, 40)]) == [[("a", 2)], []]
    assert laid_out([]) == [[], []]


def test_lessons_stand_whole_and_in_order_on_an_even_number_of_sides() -> None:
    many = [lesson(f"l{i}", *[60] * (3 + i % 4)) for i in range(25)]
    sides = laid_out(many)
    assert len(sides) % 2 == 0 and len(sides) > 2
    assert [x for side in sides for x in side] == [(x.id, len(x.lines)) for x in many]
    assert all(side for side in sides[:-1])


@pytest.mark.parametrize("before", [0, 3])
def test_a_lesson_that_no_side_holds_goes_on_overleaf(before: int) -> None:
    sides = laid_out([*(lesson(f"b{i}", 50) for i in range(before)), lesson("long", *[60] * 70), lesson("after", 50)])
    assert sum(n for side in sides for id_, n in side if id_ == "long") == 70
    assert [i for i, side in enumerate(sides) if any(id_ == "long" for id_, _ in side)] in ([0, 1, 2], [1, 2, 3])
    assert len(sides) % 2 == 0


def test_a_single_line_higher_than_a_side_ends_all_the_same() -> None:
    assert laid_out([lesson("huge", 9000, 20)])[0] == [("huge", 1)]


@pytest.mark.parametrize("letters", range(0, 400, 7))
def test_more_letters_never_take_less_room(letters: int) -> None:
    assert signoff._row("x" * (letters + 7)) >= signoff._row("x" * letters) >= signoff._LINE


# --- what stands on them --------------------------------------------------------------------------


def test_each_thing_to_see_has_a_line_with_two_boxes_and_its_lesson_an_id(tree: Tree, site: JobSite) -> None:
    html = str(tree.mentor["signoff/loader.html"])
    content, _ = load(site.folder)
    for id_ in LESSONS:
        body = re.search(rf'<tbody data-lesson="{id_}">.*?</tbody>', html, re.DOTALL)
        assert body and f'<span class="small">{id_}</span>' in body[0]
        lines = len(content.lessons[id_].show) + (content.lessons[id_].exercise is not None)
        assert body[0].count('<td class="criterion">') == lines and body[0].count('class="box"') == 2 * lines
    for said in ("Operator ", "Crew id", "Machine id", "Hours watched", "Ground", "Weather", "Mentor, in print", "Mentor id", "not yet"):
        assert said in html, said
    assert html.count("Signature ") == 2 and "Sign-off: Loader" in html and "edition 2026-1" in html


def test_the_number_of_a_sheet_is_read_from_its_picture_and_found_in_letters(tree: Tree) -> None:
    html = str(tree.mentor["signoff/loader.html"])
    codes = [x["sheet"] for x in kept(tree, "sign-off")]
    pictures = re.findall(r'<svg role="img" aria-label="Sheet [^>]*class="qr">.*?</svg>', html)
    assert [read_qr(p) for p in pictures] == [(code, "H") for code in codes]
    assert all(f"<b>{code}</b>" in html for code in codes) and codes


@pytest.mark.parametrize("text", ["ABCD-EFGH", "0000-0000", "ZZZZ-9999", "7KQ2-M4XR"])
def test_a_code_that_a_phone_reads_holds_its_letters(text: str) -> None:
    assert read_qr(qr_svg(text, "x")) == (text, "H")
    assert qr_svg(text, "x") == qr_svg(text, "x")
    assert 'aria-label="&lt;b&gt;&quot;"' in qr_svg(text, '<b>"')


def test_a_line_in_words_keeps_one_unit_system() -> None:
    html = 'Stays <b class="sw"><span class="us">10 <i>ft</i></span><span class="si">3 m</span></b> off &amp; waits.'
    assert in_words(html) == {"us": "Stays 10 ft off & waits.", "metric": "Stays 3 m off & waits."}
    assert in_words('a <span class="si">b<br>c</span> d') == {"us": "a d", "metric": "a bc d"}


def test_mentors_of_the_role_are_listed_to_copy_from(site: JobSite) -> None:
    def day(text: str) -> datetime.date:
        return datetime.date.fromisoformat(text)

    mentors = (
        Mentor("M-01", "Ana <Ruiz>", ("excavator", "truck"), None, None, 2), Mentor("M-02", "Bo Lind", ("dozer",), None, None, 3),
        Mentor("M-03", "Cy Marsh", ("excavator",), day("2026-01-05"), day("2026-12-31"), 4),
    )  # fmt: skip
    role = site.settings.roles["loader"]
    assert signoff._mentors(role, replace(site, mentors=None)) == []
    assert signoff._mentors(role, replace(site, mentors=mentors)) == ["M-01 Ana <Ruiz>", "M-03 Cy Marsh (from 2026-01-05 until 2026-12-31)"]
    assert signoff._mentors(replace(role, on_foot=True, machines=()), replace(site, mentors=mentors)) == []
    content, _ = load(site.folder)
    html = str(render_tree(content, replace(site, mentors=mentors)).mentor["signoff/loader.html"])
    assert "M-01 Ana &lt;Ruiz&gt;, M-03 Cy Marsh (from" in html and "Bo Lind" not in html
    many = tuple(replace(mentors[0], id=f"M-{i}") for i in range(signoff.MOST_MENTORS + 1))
    assert signoff._mentors(role, replace(site, mentors=many)) == []


# --- what is kept ---------------------------------------------------------------------------------


def test_what_is_kept_of_a_leaf_says_what_was_on_it(tree: Tree, site: JobSite) -> None:
    (leaf,) = kept(tree, "sign-off")
    for typed in (leaf["sheet"], leaf["sheet"].lower().replace("-", " "), leaf["sheet"].replace("0", "o").replace("1", "l")):
        found = load_signoff_sheet(site.folder, typed)
        assert (found.code, found.site, found.edition, found.role, found.leaf, found.leaves) == (
            leaf["sheet"], "juniper-bench", "2026-1", "loader", 1, 1,
        )  # fmt: skip
        assert [x.id for x in found.lessons] == list(LESSONS)
    stop = found.lesson("stop-work")
    assert stop is not None and stop.figures == tree.marking["stop-work"]["figures"] and found.lesson("x") is None
    assert "Says in one sentence what was seen and where, to the person in charge." in [c["us"] for c in stop.criteria]
    assert all("<" not in text for x in found.lessons for c in x.criteria for text in c.values())


def test_a_tailgate_sheet_leads_to_its_lesson_and_figures(tree: Tree, site: JobSite) -> None:
    talks = {x["lesson"]: x for x in kept(tree, "talk")}
    assert set(talks) == set(LESSONS)
    for id_ in LESSONS:
        sheet, code = str(tree.docs[f"sheets/{id_}.html"]), talks[id_]["sheet"]
        assert sheet.count(code) == 2 and "talks.csv" in sheet and NUMBER not in sheet
        found = load_talk_sheet(site.folder, code)
        assert (found.lesson, found.edition, found.figures) == (id_, "2026-1", tree.marking[id_]["figures"])
        assert code not in str(tree.mentor[f"keys/{id_}.html"])


def test_a_number_that_was_not_printed_or_is_of_the_other_kind_is_refused(tree: Tree, site: JobSite) -> None:
    talk, leaf = kept(tree, "talk")[0]["sheet"], kept(tree, "sign-off")[0]["sheet"]
    for load_it, code, name, told in (
        (load_talk_sheet, leaf, "mistyped", f"sheet {leaf} is a sign-off sheet, not a tailgate sheet"),
        (load_signoff_sheet, talk, "mistyped", f"sheet {talk} is a tailgate sheet, not a sign-off sheet"),
        (load_signoff_sheet, "AAAA-AAAA", "mistyped", "no sheet AAAA-AAAA was printed for this site"),
        (load_talk_sheet, "../../x", "mistyped", "'../../x' is no sheet's number"),
        (load_talk_sheet, "", "mistyped", "'' is no sheet's number"),
    ):
        with pytest.raises(Refused) as e:
            load_it(site.folder, code)
        assert (e.value.name, e.value.what) == (name, told)


@pytest.mark.parametrize("damage", ["changed", "cut", "gone"])
def test_what_is_kept_of_a_sheet_is_held_to_its_number(tree: Tree, site: JobSite, tmp_path: Path, damage: str) -> None:
    sheet = next(s for s in tree.sheets if '"kind": "sign-off"' in s.kept)
    place = tmp_path / "editions/sheets" / sheet.name
    place.parent.mkdir(parents=True)
    text = sheet.kept.replace("person in charge", "boss") if damage == "changed" else sheet.kept[:-30]
    assert text != sheet.kept
    place.write_text(text, "utf-8")
    if damage == "gone":
        place.unlink()
    with pytest.raises(Refused) as e:
        load_signoff_sheet(tmp_path, sheet.code)
    assert e.value.name == ("mistyped" if damage == "gone" else "unreadable")


def test_what_is_kept_is_written_once_and_never_over(tree: Tree, tmp_path: Path) -> None:
    def keep(stage: str, sheets: list[Printed]) -> Plan:
        plan = Plan(first=True)
        keep_sheets(plan, tmp_path, tmp_path / stage, sheets)
        return plan

    keep("a", tree.sheets).carry_out()
    folder = tmp_path / "editions/sheets"
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    assert set(before) == {s.name for s in tree.sheets}
    assert keep("b", tree.sheets).moves == [] and not (tmp_path / "b").exists()
    keep("c", tree.sheets[:1]).carry_out()  # a sheet no longer printed stays
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before
    (folder / tree.sheets[0].name).write_text("{}", "utf-8")
    with pytest.raises(EditionDamaged) as e:
        keep("d", tree.sheets)
    assert str(e.value.problem) == (
        f"editions/sheets/{tree.sheets[0].name}: what is kept of sheet {tree.sheets[0].code} cannot be read "
        "(it is not what the build wrote); move it away; the build writes it again"
    )
    assert (folder / tree.sheets[0].name).read_text("utf-8") == "{}"


def test_other_lines_other_figures_or_another_edition_have_another_number(tree: Tree, site: JobSite) -> None:
    content, _ = load(site.folder)
    codes = {s.code for s in tree.sheets}
    later = render_tree(content, replace(site, settings=replace(site.settings, edition="2026-2")))
    assert not codes & {s.code for s in later.sheets} and len(later.sheets) == len(codes)
    assert {s.code for s in render_tree(content, site).sheets} == codes


# --- the table to fill in -------------------------------------------------------------------------


def read(text: str | bytes) -> HandedIn:
    """A table as it is read from its file, where a mark of the letters stands before it."""
    return read_table(str(text).removeprefix("\ufeff"), "x.csv")


def to_fill_in(site: JobSite, people: tuple[Person, ...], *, workbook: bool = True) -> dict[str, str | bytes]:
    content, _ = load(site.folder)
    shipped = replace(
        site,
        crew=people,
        tables={"crew.csv": "site.xlsx[crew]"} if workbook else {},
        mentors=(Mentor("M-1", "A", ("excavator",), None, None, 2),),
    )
    sheets = cast("Any", {"loader": SimpleNamespace(sheet_of=lambda i: f"CODE-{i}")})
    return tables_to_fill_in(content, shipped, sheets)


def test_it_has_a_row_for_each_person_here_and_lesson(tree: Tree, site: JobSite) -> None:
    text = tree.mentor["signoff/to-fill-in.csv"]
    table = read(text)
    flags: list[Flag] = []
    (leaf,) = kept(tree, "sign-off")
    rows = [row for _, row in table.each(flags)]
    assert table.kind == "signoffs" and table.heads == HEADS and flags == []
    assert [(r["crew"], r["name"], r["lesson"], r["machine"], r["date"], r["sheet"]) for r in rows] == [
        ("P-01", "Ines Holloway", i, "", "", leaf["sheet"]) for i in LESSONS
    ]
    assert "signoff/to-fill-in.xlsx" not in tree.mentor  # the site's tables are no workbook
    gone = replace(site.crew[0], left=datetime.date(2026, 5, 1))
    assert list(read(to_fill_in(site, (gone,), workbook=False)["to-fill-in.csv"]).rows) == []


def test_the_workbook_is_filled_in_with_lists_and_read_as_the_csv_is(site: JobSite) -> None:
    odd = replace(site.crew[0], id="007", name="Ann, Bo")
    made = to_fill_in(site, (*site.crew, odd))
    assert made == to_fill_in(site, (*site.crew, odd))
    data = made["to-fill-in.xlsx"]
    assert isinstance(data, bytes)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:  # nothing in it says when it was written
        assert {p.date_time for p in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert set(re.findall(rb">(20\d\d-[^<]*)<", archive.read("docProps/core.xml"))) == {b"2026-01-01T00:00:00Z"}
    book = openpyxl.load_workbook(io.BytesIO(data))
    sheet, ids = book["sign-offs"], book["ids"]
    lists = {str(rule.sqref): rule.formula1 for rule in sheet.data_validations.dataValidation}
    assert set(lists) == {"C2:C7", "E2:E7", "G2:G7"}
    picked = {}
    for place, formula in lists.items():
        column, first, last = re.fullmatch(r"ids!\$([A-Z])\$(\d+):\$\1\$(\d+)", formula).groups()  # type: ignore[union-attr]
        assert ids[f"{column}1"].value == sheet[f"{place[0]}1"].value
        picked[place[0]] = [ids[f"{column}{i}"].value for i in range(int(first), int(last) + 1)]
    assert set(picked["C"]) >= set(LESSONS) and {"E-2", "D-1"} <= set(picked["E"]) and picked["G"] == ["M-1"]
    assert [c.value for c in sheet[5]][:2] == ["007", "Ann, Bo"] and sheet["A5"].data_type == "s"
    sheet["E2"], sheet["F2"], sheet["G2"], sheet["I2"] = "E-2", datetime.date(2026, 3, 12), "M-1", 1.5
    sheet["E3"], sheet["F3"], sheet["G3"] = "E-2", "=F2", "M-1"
    out = io.BytesIO()
    book.save(out)
    (table,) = read_workbook(out.getvalue(), "results/a.xlsx")
    flags: list[Flag] = []
    rows = {where: [row[h] for h in HEADS] for where, row in table.each(flags)}
    assert table.kind == "signoffs" and rows["results/a.xlsx[sign-offs]:2"] == [
        "P-01", "Ines Holloway", "stop-work", "Anyone may stop the work", "E-2", "2026-03-12", "M-1", "", "1.5", "CODE-stop-work",
    ]  # fmt: skip
    assert rows["results/a.xlsx[sign-offs]:5"][:7] == ["007", "Ann, Bo", "stop-work", "Anyone may stop the work", "", "", ""]
    assert [str(f) for f in flags] == [
        "results/a.xlsx[sign-offs]:3: unreadable: column 'date': the cell holds a formula (=F2); copy the cell and paste its value in its place"
    ]


def test_nothing_in_the_workbook_is_a_formula() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_to_fill_in("t", ("a",), [("=1+1",)], {"a": ["=2"]})))
    assert [(book[s]["A2"].value, book[s]["A2"].data_type) for s in ("t", "ids")] == [("=1+1", "s"), ("=2", "s")]


def test_very_many_people_have_several_tables(site: JobSite, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.book.tofill.MOST", 4)
    people = tuple(replace(site.crew[0], id=f"P-{i}") for i in range(3))
    made = to_fill_in(site, people, workbook=False)
    assert list(made) == ["to-fill-in.csv", "to-fill-in-2.csv", "to-fill-in-3.csv"]
    assert [len(read(t).rows) for t in made.values()] == [4, 4, 1]


@pytest.mark.parametrize(("data", "told"), [
    (b"x", "the file is no workbook, whatever its ending says"), (b"PK\x03\x04", "the workbook is damaged"),
])  # fmt: skip
def test_a_workbook_that_cannot_be_read_is_refused(data: bytes, told: str) -> None:
    with pytest.raises(Refused) as e:
        read_workbook(data, "results/a.xlsx")
    assert (e.value.name, e.value.what) == ("unreadable", told)


def test_a_workbook_with_no_table_of_ours_is_refused() -> None:
    out = io.BytesIO()
    book = openpyxl.Workbook()
    book.active["A1"], book.active["B1"] = "day", "weather"
    book.save(out)
    with pytest.raises(Refused) as e:
        read_workbook(out.getvalue(), "a.xlsx")
    assert e.value.what == "its headings are not those of a table that can be handed in"
    empty = io.BytesIO()
    openpyxl.Workbook().save(empty)
    with pytest.raises(Refused) as e:
        read_workbook(empty.getvalue(), "a.xlsx")
    assert e.value.what == "the workbook is empty"
