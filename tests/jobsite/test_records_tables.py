"""What the tables hold for records of training: mentors, leavers, retired machines, classes, and the section ``records:``.

Their rules are the program's own interface, so what it says of each mistake stands here to the letter.
"""

from __future__ import annotations

import csv
import datetime
import re
import shutil
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from generator.jobsite.classes import class_of
from generator.jobsite.columns import CREW, FOR_RECORDS, MENTORS, TABLES
from generator.jobsite.doubts import doubts, place_of, settled
from generator.jobsite.model import JobSite, Machine, MachineClass, Mentor, RecordRules, Role, Truck
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.starter import starter_files, write_starter
from generator.publish.build import Problems, load
from generator.publish.paper import wanted_papers, write_papers
from generator.records.workbooks import KEPT
from generator.source.problem import Problem
from generator.units.quantity import Quantity
from generator.units.table import System
from tests.conftest import DEMO, ROOT, copy_demo
from tests.jobsite.lessons import LESSONS
from tests.jobsite.sheets import as_book

TODAY = datetime.date(2026, 6, 1)
MENTOR_HEAD = "id,name,machines,from,until,note\n"
CREW_HEAD = "id,name,role,machines,start,left,former_id,role_from,note\n"
RECORDS = re.compile(r"(?m)^records:\n(?:  .*\n)+")

Made = Callable[..., Path]


def day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def as_before(folder: Path) -> None:
    """The demo without what is there for records alone: mentors, leavers, what is retired, hours of a role."""
    (folder / "mentors.csv").unlink()
    for file in ("crew.csv", "trucks.csv"):
        with (folder / file).open(encoding="utf-8", newline="") as f:
            rows = [{k: v for k, v in row.items() if k not in FOR_RECORDS} for row in csv.DictReader(f) if not row.get("left")]
        with (folder / file).open("w", encoding="utf-8", newline="") as f:
            writer = csv.DictWriter(f, list(rows[0]), lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    settings = folder / "settings.yml"
    settings.write_text(re.sub(r"(?m)^    (slope_)?hours: .*\n", "", settings.read_text("utf-8")), "utf-8")


@pytest.fixture
def made(tmp_path: Path) -> Made:
    """The demo with other mentors, another section ``records:``, rows of the crew, and small edits of other files."""

    def make(
        mentors: str | None = None,
        records: str | None = "",
        crew: str | None = None,
        role: str = "",
        edits: tuple[tuple[str, str, str], ...] = (),
    ) -> Path:
        shutil.rmtree(tmp_path / "site", ignore_errors=True)  # the one that was made before it
        folder = copy_demo(tmp_path / "site", languages=False)
        as_before(folder)
        if mentors is not None:
            (folder / "mentors.csv").write_text(MENTOR_HEAD + mentors, "utf-8")
        settings = folder / "settings.yml"
        text, count = RECORDS.subn(lambda _: records or "", settings.read_text("utf-8"))
        assert count == 1
        text = text.replace("  dozer-operator:\n", f"  dozer-operator:\n{role}", 1)
        settings.write_text(text, "utf-8")
        if crew is not None:
            (folder / "crew.csv").write_text(CREW_HEAD + crew, "utf-8")
        for file, old, new in edits:
            path = folder / file
            assert old in path.read_text("utf-8")
            path.write_text(path.read_text("utf-8").replace(old, new, 1), "utf-8")
        return folder

    return make


def site_of(folder: Path) -> JobSite:
    return read(folder, LESSONS)


def told(folder: Path) -> list[str]:
    """What the reader says, with the text of a line of settings.yml in braces for its number."""
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS)
    lines = (folder / "settings.yml").read_text("utf-8").split("\n")
    return [
        re.sub(r"^settings\.yml:(\d+)", lambda m: f"settings.yml:{{{lines[int(m[1]) - 1].strip()}}}", str(p)) for p in caught.value.problems
    ]


def noticed(site: JobSite, today: datetime.date | None = TODAY) -> list[str]:
    return [str(p) for p in (*site.notices, *doubts(site, today=today))]


# --- old sites ---


def test_a_site_without_any_of_it_reads_as_before(made: Made) -> None:
    site = site_of(made())
    assert site.mentors is None and site.settings.records == RecordRules()
    assert all(m.retired is None and m.attachments == () for m in site.fleet)
    assert all((p.left, p.former_id, p.role_from) == (None, "", None) for p in site.crew)
    roles = site.settings.roles.values()
    assert all((r.valid_months, r.hours, r.slope_hours) == (None, None, None) for r in roles)
    assert noticed(site) == []
    far = day("2099-01-01")
    assert site.crew_on(far) == site.crew and site.machines_on(far) == site.fleet == (*site.machines, *site.trucks)
    assert site.mentors_on("dozer", TODAY) == ()


@pytest.mark.parametrize("name", ["mentors", "mentor.txt", "mentor signed.pdf", "monitors.csv", "motors.ods"])
def test_what_never_was_in_the_way_is_not_now(name: str, made: Made) -> None:
    folder = made()
    if name == "mentors":
        (folder / name).mkdir()
    else:
        (folder / name).write_text("x", "utf-8")
    assert site_of(folder).mentors is None


# --- mentors ---


def test_mentors_are_read(made: Made) -> None:
    rows = "M-1,Ana Beck,Dozer; on foot ;compact excavator,2026-01-01,2027-01-01,\nM-2,Bo Li,truck,,,any time\n"
    ana, bo = site_of(made(rows)).mentors or ()
    assert ana == Mentor("M-1", "Ana Beck", ("dozer", "on foot", "compact excavator"), day("2026-01-01"), day("2027-01-01"), 2)
    assert (bo.kinds, bo.since, bo.until, bo.line) == (("truck",), None, None, 3)
    assert ana.may_sign("on foot", day("2026-01-01")) and ana.may_sign("dozer", day("2027-01-01"))
    assert not ana.may_sign("dozer", day("2025-12-31")) and not ana.may_sign("dozer", day("2027-01-02"))
    assert not ana.may_sign("truck", TODAY) and bo.may_sign("truck", day("1990-01-01"))


def test_a_table_may_have_commas_between_kinds_and_days_in_the_order_of_the_site(made: Made) -> None:
    site = site_of(made('M-1,Ana Beck,"dozer, excavator",3/4/2026,4.5.2026,\n'))
    (one,) = site.mentors or ()
    assert (one.kinds, one.since, one.until) == (("dozer", "excavator"), day("2026-03-04"), day("2026-05-04"))
    assert site.mentors_on("excavator", TODAY) == () and site.mentors_on("excavator", day("2026-05-04")) == (one,)


def test_one_of_the_crew_signs_only_while_working_here(made: Made) -> None:
    crew = "P-17,Hollis Brandvold,mentor,,2026-03-02,2026-09-01,,,\n"
    (one,) = site_of(made("P-17,Hollis  brandvold,dozer,2026-01-01,,\n", crew=crew)).mentors or ()
    assert (one.since, one.until) == (day("2026-03-02"), day("2026-08-31"))
    (one,) = site_of(made("P-17,Hollis Brandvold,dozer,2026-04-01,2026-05-01,\n", crew=crew)).mentors or ()
    assert (one.since, one.until) == (day("2026-04-01"), day("2026-05-01"))


BAD_MENTORS: dict[str, tuple[str, list[str]]] = {
    "somebody else's id": (
        "P-04,Ana Beck,dozer,,,\n",
        ["mentors.csv:2:id: the id 'P-04' is Marta Oyelaran's in crew.csv (line 5), and here it is Ana Beck's; "
         "give the mentor another id, or write the name as it stands there if both are one person"],
    ),
    "the same in small letters": (
        "p-17,Hollis Brandvold,dozer,,,\n", ["mentors.csv:2:id: Hollis Brandvold has the id P-17 in crew.csv (line 18); write P-17"],
    ),
    "an id twice": (
        "M-1,Ana Beck,dozer,,,\nM-1,Bo Li,truck,,,\n",
        ["mentors.csv:3:id: the id 'M-1' stands twice (first in line 2); give one of them another id"],
    ),
    "a name twice": (
        "M-1,Ana Beck,dozer,,,\nM-2,Ana Beck,truck,,,\n",
        ["mentors.csv:3:name: the name 'Ana Beck' stands twice (first in line 2); name one of them otherwise, so that nobody mixes them up"],
    ),
    "an unknown kind": (
        "M-1,Ana Beck,dozr; crane,,,\n",
        ["mentors.csv:2:machines: 'dozr' is no kind of machine known here; did you mean dozer? It is one of dozer, excavator, "
         "compact excavator, truck, on foot",
         "mentors.csv:2:machines: 'crane' is no kind of machine known here; write one of dozer, excavator, compact excavator, truck, on foot"],
    ),
    "no marks between": (
        "M-1,Ana Beck,compact excavator and dozer on foot,,,\n",
        ["mentors.csv:2:machines: 'compact excavator and dozer on foot' is more than one kind; write compact excavator; dozer; on foot"],
    ),
    "a kind twice": ("M-1,Ana Beck,dozer; Dozer,,,\n", ["mentors.csv:2:machines: dozer stands twice; keep one of them"]),
    "no kind": (
        "M-1,Ana Beck,,,2027-01-01,\n",
        ["mentors.csv:2:machines: machines is blank for M-1 (the kinds of machine the mentor may sign for, with semicolons between them: "
         "dozer, excavator, compact excavator, truck, on foot); write a value such as dozer; excavator"],
    ),
    "nothing but marks": (
        "M-1,Ana Beck,;,,,\n",
        ["mentors.csv:2:machines: no kind of machine stands here; write kinds with semicolons between them, such as dozer; excavator"],
    ),
    "turned days": (
        "M-1,Ana Beck,dozer,2026-05-01,2026-04-30,\n", ["mentors.csv:2:until: until (2026-04-30) is before from (2026-05-01); check both days"],
    ),
    "no day": (
        "M-1,Ana Beck,dozer,soon,,\n", ["mentors.csv:2:from: 'soon' is not a date; write year, month and day, such as 2026-03-14"],
    ),
    "nobody": ("", ["mentors.csv:1: the table has no row below its heading; add a mentor in the next line"]),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD_MENTORS)
def test_what_is_wrong_with_a_mentor_is_told(name: str, made: Made) -> None:
    rows, lines = BAD_MENTORS[name]
    assert told(made(rows)) == lines


def test_an_id_that_was_somebody_elses_is_no_mentors(made: Made) -> None:
    crew = "P-31,Ines Holloway,dozer-operator,D-1,2026-03-02,,P-01,,\n"
    assert told(made("P-01,Ana Beck,dozer,,,\n", crew=crew)) == [
        "mentors.csv:2:id: the id 'P-01' was Ines Holloway's in crew.csv (line 2), and here it is Ana Beck's; "
        "give the mentor another id, or write the name as it stands there if both are one person"
    ]
    assert told(made("P-01,Ines Holloway,dozer,,,\n", crew=crew)) == [
        "mentors.csv:2:id: Ines Holloway has the id P-31 in crew.csv (line 2); write P-31"
    ]


def test_a_mentor_with_two_ids_is_noticed_until_somebody_looked(made: Made) -> None:
    site = site_of(made("M-1,Hollis Brandvold,dozer,,,\n"))
    line = ("mentors.csv:2:id: Hollis Brandvold is M-1 here and P-17 in crew.csv (line 18); write P-17 here if both are one person, "
            "so that nobody can sign for himself [mentor-twin]")  # fmt: skip
    assert noticed(site) == [line]
    assert place_of(site, site.notices[0]) == "M-1.id"
    looked = "looked_at:\n  - {notice: mentor-twin, at: M-1.id, seen: M-1; P-17, by: A. Person, on: 2026-03-14}\n"
    site = site_of(made("M-1,Hollis Brandvold,dozer,,,\n", edits=(("settings.yml", "sheets:\n", f"{looked}sheets:\n"),)))
    assert [str(p) for p, _ in settled(site).settled] == [line] and settled(site).notices == ()


def test_misnamed_tables_of_mentors_are_told(made: Made) -> None:
    folder = made("M-1,Ana Beck,dozer,,,\n")
    (folder / "mentors.csv").rename(folder / "Mentor.csv")
    assert told(folder) == ["mentors.csv: the file is missing; rename Mentor.csv to mentors.csv"]


# --- as a sheet ---


def as_workbook(folder: Path, sheet: str = "Mentors ") -> Path:
    book = as_book(folder, (MENTORS,))
    book["mentors"].title = sheet
    book.save(folder / "site.xlsx")
    for table in (*TABLES, MENTORS):
        (folder / table.file).unlink()
    return folder


def test_a_sheet_of_mentors_is_the_same_table(made: Made) -> None:
    rows = "M-1,Ana Beck,dozer; on foot,2026-01-01,2027-01-01,\nP-17,Hollis Brandvold,truck,,,\n"
    plain = site_of(made(rows)).mentors
    site = site_of(as_workbook(made(rows)))
    assert site.mentors == plain and site.table("mentors.csv") == "site.xlsx[Mentors ]"
    folder = as_workbook(made(rows))
    (folder / "mentors.csv").write_text(MENTOR_HEAD + rows, "utf-8")
    assert told(folder) == ["mentors.csv: this table is here and in site.xlsx, sheet mentors, too; keep one of the two"]


def test_what_is_wrong_in_a_sheet_names_the_sheet(made: Made) -> None:
    assert told(as_workbook(made("M-1,Ana Beck,dozr,2026-01-01,,\n"), "mentors")) == [
        "site.xlsx[mentors]:2:machines: 'dozr' is no kind of machine known here; did you mean dozer? It is one of dozer, excavator, "
        "compact excavator, truck, on foot"
    ]
    assert told(as_workbook(made("M-1,Ana Beck,dozer,2026-01-01,,\n"), "mentor")) == [
        "site.xlsx: there is no sheet named mentors, and no mentors.csv; rename the sheet mentor"
    ]
    assert site_of(as_workbook(made("M-1,Ana Beck,dozer,2026-01-01,,\n"), "monitors")).mentors is None


def test_the_notes_of_a_new_workbook_explain_the_table(tmp_path: Path) -> None:
    files = starter_files(ROOT / "content", "us", workbook=True)
    (tmp_path / "site.xlsx").write_bytes(files["site.xlsx"])
    with zipfile.ZipFile(tmp_path / "site.xlsx") as archive:
        words = b"".join(archive.read(n) for n in archive.namelist()).decode("utf-8", "replace")
    assert "A sheet named mentors may be added: who may sign for others." in words
    assert f"Sheets named {', '.join(KEPT[:-1])} and {KEPT[-1]} may be added too" in words
    for column in (*MENTORS.columns, *CREW.columns):
        assert column.meaning in words.replace("&amp;", "&")


# --- the crew through time ---


def test_who_left_and_who_changed_are_read(made: Made) -> None:
    crew = (
        "P-31,Ines Holloway,dozer-operator,D-1,2026-03-02,2026-09-01,P-01,2026-06-01,\nP-02,Tom Abernethy,dozer-operator,D-1,,,,,\n"
        "P-03,Kofi Lindqvist,dozer-operator,D-4,2026-04-13,2026-04-13,,,\n"
    )
    site = site_of(made(crew=crew))
    ines, tom, kofi = site.crew
    assert (ines.start, ines.left, ines.former_id, ines.role_from) == (day("2026-03-02"), day("2026-09-01"), "P-01", day("2026-06-01"))
    assert (tom.start, tom.left) == (None, None)
    on = {d: [p.id for p in site.crew_on(day(d))] for d in ("2026-03-01", "2026-03-02", "2026-04-13", "2026-08-31", "2026-09-01")}
    assert on == {"2026-03-01": ["P-02"], "2026-03-02": ["P-31", "P-02"], "2026-04-13": ["P-31", "P-02"], "2026-08-31": ["P-31", "P-02"],
                  "2026-09-01": ["P-02"]}  # fmt: skip
    assert kofi.gone_on(day("2026-04-13")) and not kofi.gone_on(day("2026-04-12")) and not kofi.here_on(day("2026-04-12"))


BAD_CREW: dict[str, tuple[str, list[str]]] = {
    "left before the start": (
        "P-01,Ann,dozer-operator,D-1,2026-03-02,2026-03-01,,,\n", ["crew.csv:2:left: left (2026-03-01) is before start (2026-03-02); check both days"],
    ),
    "role before the start": (
        "P-01,Ann,dozer-operator,D-1,2026-03-02,,,2026-03-01,\n",
        ["crew.csv:2:role_from: role_from (2026-03-01) is before start (2026-03-02); check both days"],
    ),
    "role after leaving": (
        "P-01,Ann,dozer-operator,D-1,2026-03-02,2026-05-01,,2026-05-02,\n",
        ["crew.csv:2:role_from: role_from (2026-05-02) is after left (2026-05-01); check both days"],
    ),
    "the own id": (
        "P-01,Ann,dozer-operator,D-1,2026-03-02,,p-01,,\n",
        ["crew.csv:2:former_id: former_id is the id P-01 itself; write the id the person had before, or clear the cell"],
    ),
    "an id that somebody has now": (
        "P-09,Ann,dozer-operator,D-1,2026-03-02,,P-02,,\nP-02,Bo,dozer-operator,D-1,2026-03-02,,,,\n",
        ["crew.csv:2:former_id: the former id 'P-02' is Bo's now (line 3); give the person in line 3 an id that nobody had, "
         "as records name people by their ids"],
    ),
    "an id that two had": (
        "P-01,Ann,dozer-operator,D-1,2026-03-02,,X-1,,\nP-02,Bo,dozer-operator,D-1,2026-03-02,,x-1,,\n",
        ["crew.csv:3:former_id: the former id 'x-1' stands twice (first in line 2); keep it for the person who had it"],
    ),
    "no id": (
        "P-01,Ann,dozer-operator,D-1,2026-03-02,,P 3,,\n",
        ["crew.csv:2:former_id: 'P 3' cannot be an id; use letters, digits, '-', '_' and '.', with no spaces"],
    ),
    "no day": (
        "P-01,Ann,dozer-operator,D-1,2026-03-02,yes,,,\n", ["crew.csv:2:left: 'yes' is not a date; write year, month and day, such as 2026-03-14"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD_CREW)
def test_what_is_wrong_with_the_days_of_the_crew_is_told(name: str, made: Made) -> None:
    rows, lines = BAD_CREW[name]
    assert told(made(crew=rows)) == lines


def test_a_leaver_gets_no_paper_quiz(made: Made) -> None:
    """Who asks for all is given the others'; an id that was asked for is told."""
    crew = "P-01,Ann,dozer-operator,D-1,2026-03-02,2026-05-01,,,\nP-02,Bo,dozer-operator,D-1,2026-03-02,,,,\n"
    folder = made(crew=crew)
    with pytest.raises(Problems) as caught:
        write_papers(folder, ["stop-work"], ["P-01"], 1, None, TODAY)
    assert caught.value.lines == ["P-01 left on 2026-05-01; take P-01 out, or put the day right in crew.csv"]
    content, site = load(folder)
    assert wanted_papers(content, site, ["stop-work"], [], TODAY) == [("P-02", "stop-work")]
    assert wanted_papers(content, site, ["stop-work"], [], day("2026-04-30")) == [("P-01", "stop-work"), ("P-02", "stop-work")]


# --- machines through time ---


def retired(id_: str, on: str, file: str = "machines.csv") -> tuple[tuple[str, str, str], ...]:
    """Edits that give a table a column ``retired`` with one day in it, before the others."""
    return ((file, "id,name", "retired,id,name"), *((file, f"\n{i},", f"\n{on if i == id_ else ''},{i},") for i in _ids(file)))


def _ids(file: str) -> list[str]:
    return [line.split(",")[0] for line in (DEMO / file).read_text("utf-8").splitlines()[1:]]


def test_a_retired_machine_is_read_and_stays(made: Made) -> None:
    site = site_of(made(edits=retired("D-3", "2026-06-01")))
    assert {m.id: m.retired for m in site.fleet if m.retired} == {"D-3": TODAY}
    assert "D-3" in {m.id for m in site.machines_on(day("2026-05-31"))}
    assert {m.id for m in site.fleet} - {m.id for m in site.machines_on(TODAY)} == {"D-3"}
    site = site_of(made(edits=retired("T-3", "6/1/2026", "trucks.csv")))
    assert {m.id: m.retired for m in site.trucks if m.retired} == {"T-3": TODAY}


def test_a_retired_machine_that_leads_or_is_somebodys_is_noticed_from_that_day_on(made: Made) -> None:
    site = site_of(made(edits=retired("D-1", "2026-06-01")))
    assert noticed(site, day("2026-05-31")) == noticed(site, None) == []
    assert [re.sub(r"^settings.yml:\d+", "settings.yml", line) for line in noticed(site)] == [
        "settings.yml:lead.dozer: D-1 leads examples of dozers and is retired since 2026-06-01; lead with a machine that is worked, "
        "and give the handbook a new edition [retired-lead]",
        "crew.csv:2:machines: P-01 runs D-1, which is retired since 2026-06-01; take it out; records of it stay [retired-machine]",
        "crew.csv:3:machines: P-02 runs D-1, which is retired since 2026-06-01; take it out; records of it stay [retired-machine]",
    ]
    crew = "P-01,Ann,dozer-operator,D-3 D-2,2026-03-02,2026-06-01,,,\nP-02,Bo,dozer-operator,D-2 D-3,2026-03-02,,,,\n"
    lead = "    lead: [D-3]\n"
    folder = made(edits=(*retired("D-3", "2026-05-01"), ("settings.yml", "  material: common-earth\n", "  material: common-earth\n  lessons: {slot-front-to-back: D-3}\n")), crew=crew, role=lead)  # fmt: skip
    assert [re.sub(r"^settings.yml:\d+", "settings.yml", line).partition(";")[0] for line in noticed(site_of(folder))] == [
        "settings.yml:lead.lessons.slot-front-to-back: D-3 leads the lesson slot-front-to-back and is retired since 2026-05-01",
        "settings.yml:roles.dozer-operator.lead: D-3 leads the lessons of Dozer operator and is retired since 2026-05-01",
        "crew.csv:3:machines: P-02 runs D-3, which is retired since 2026-05-01",
    ]


def test_a_retired_machine_does_not_lead_unless_it_is_named(made: Made) -> None:
    unnamed = ("settings.yml", "  dozer: D-1\n", "")
    assert site_of(made(edits=(unnamed,))).settings.lead["dozer"] == "D-1"
    assert site_of(made(edits=(unnamed, *retired("D-1", "2026-06-01")))).settings.lead["dozer"] == "D-2"
    assert site_of(made(edits=retired("D-1", "2026-06-01"))).settings.lead["dozer"] == "D-1"


def test_a_year_that_is_hardly_meant_is_noticed(made: Made) -> None:
    crew = "P-01,Ann,dozer-operator,D-1,2026-03-02,2062-05-01,,2027-06-03,\nP-02,Bo,dozer-operator,D-2,2026-03-02,2027-06-02,,,\n"
    site = site_of(
        made(
            "M-1,Ana Beck,dozer,2062-01-01,,\nM-2,Bo Li,dozer,1971-01-01,2062-01-01,\n",
            crew=crew,
            edits=retired("T-3", "2062-06-01", "trucks.csv"),
        )
    )
    assert noticed(site, None) == noticed(site) == []  # a site that is invented has a calendar of its own
    site = replace(site, settings=replace(site.settings, invented=False))
    assert noticed(site) == [
        "crew.csv:2:left: left of P-01 is 2062-05-01, more than a year from now; check the year [day-far]",
        "crew.csv:2:role_from: role_from of P-01 is 2027-06-03, more than a year from now; check the year [day-far]",
        "trucks.csv:4:retired: retired of T-3 is 2062-06-01, more than a year from now; check the year [day-far]",
        "mentors.csv:2:from: from of M-1 is 2062-01-01, more than a year from now; check the year [day-far]",
        "mentors.csv:3:from: from of M-2 is 1971-01-01, more than 50 years ago; check the year [day-far]",
    ]


# --- the section records ---

FULL = """records:
  valid_months: 24
  lessons:
    trench-walls: {valid_months: 12}
  due_days: 45
  sign_before_pass: yes
  seat_time: {sign_offs: no}
  short_codes: hold
  classes:
    - {id: ripping-dozer, kind: dozer, attachment: Ripper}
    - {id: small-dozer, kind: dozer, up_to: 20000 lb}
    - {id: large-dozer, kind: dozer}
    - {id: road-truck, kind: truck, up_to: 30 ton}
  other_class: yes
  keep_months: 72
  away_days: 90
  place: Yard 2
  contractor: Example Earthworks
  site_number: "41-00022"
"""


def test_the_section_is_read(made: Made) -> None:
    site = site_of(made(records=FULL, role="    valid_months: 18\n    hours: 40 h\n    slope_hours: 480 min\n"))
    assert site.settings.records == RecordRules(
        24, {"trench-walls": 12}, 45, True, False, False,
        (MachineClass("ripping-dozer", "dozer", None, "ripper"), MachineClass("small-dozer", "dozer", Quantity.read("20000 lb", "mass").si),
         MachineClass("large-dozer", "dozer"), MachineClass("road-truck", "truck", Quantity.read("30 ton", "mass").si)),
        False, 72, 90, "Yard 2", "Example Earthworks", "41-00022",
    )  # fmt: skip
    role = site.settings.roles["dozer-operator"]
    assert (role.valid_months, role.hours, role.slope_hours) == (18, 40, 8)
    rules = site.settings.records
    assert (rules.months("trench-walls", role), rules.months("signals", role)) == (12, 18)
    plain = replace(role, valid_months=None)
    assert rules.months("signals", plain) == 24 and RecordRules().months("signals", plain) is None
    lines = (site.folder / "settings.yml").read_text("utf-8").split("\n")

    def at(name: str) -> str:
        return lines[site.settings.lines[name] - 1].strip()

    assert at("records") == "records:" and at("records.due_days") == "due_days: 45"
    assert at("records.lessons.trench-walls.valid_months") == "trench-walls: {valid_months: 12}"
    assert at("records.seat_time.sign_offs") == "seat_time: {sign_offs: no}"
    assert at("records.classes.small-dozer").startswith("- {id: small-dozer")
    assert at("roles.dozer-operator.slope_hours") == "slope_hours: 480 min"
    assert "records.classes.id" not in site.settings.lines


def test_an_empty_section_changes_nothing(made: Made) -> None:
    assert site_of(made(records="records:\n")).settings.records == RecordRules()


S = "settings.yml:"
CLASSES = "write it like classes: [{id: small-dozer, kind: dozer, up_to: 40000 lb}, {id: large-dozer, kind: dozer}]"
BAD_RECORDS: dict[str, list[str]] = {
    "valid_month: 24": [S + "{valid_month: 24}:records.valid_month: unknown setting of records 'valid_month'; did you mean valid_months?"],
    "valid_months: 0": [
        S + "{valid_months: 0}:records.valid_months: 0 is out of range (1 to 120); check the figure and its unit; an example is 24"
    ],
    "valid_months: 121": [
        S + "{valid_months: 121}:records.valid_months: 121 is out of range (1 to 120); check the figure and its unit; an example is 24"
    ],
    "valid_months: 1.5": [S + "{valid_months: 1.5}:records.valid_months: '1.5' is not a whole number; write it as 24"],
    "keep_months: 5 years": [S + "{keep_months: 5 years}:records.keep_months: years is not a unit of number; write it as 60"],
    "due_days: 366": [
        S + "{due_days: 366}:records.due_days: 366 is out of range (1 to 365); check the figure and its unit; an example is 60"
    ],
    "away_days: 0": [S + "{away_days: 0}:records.away_days: 0 is out of range (1 to 365); check the figure and its unit; an example is 60"],
    "sign_before_pass: maybe": [
        S + "{sign_before_pass: maybe}:records.sign_before_pass: 'maybe' is no answer known here; write one of yes, no, true, false"
    ],
    "short_codes: holds": [
        S
        + "{short_codes: holds}:records.short_codes: 'holds' is no rule for short codes known here; did you mean hold? It is one of count, hold"
    ],
    "seat_time: yes": [
        S + "{seat_time: yes}:records.seat_time: names and values are expected here; write it like seat_time: {sign_offs: yes}"
    ],
    "seat_time: {signoffs: yes}": [
        S + "{seat_time: {signoffs: yes}}:records.seat_time.signoffs: unknown setting of seat_time 'signoffs'; did you mean sign_offs?"
    ],
    'place: "--"': [S + "{place: \"--\"}:records.place: '--' is no name; write a name with letters in it"],
    "contractor: [a]": [
        S + "{contractor: [a]}:records.contractor: one value is expected here; write it like contractor: Example Earthworks"
    ],
    "lessons: {trench-wals: {valid_months: 12}}": [
        S + "{lessons: {trench-wals: {valid_months: 12}}}:records.lessons: there is no lesson 'trench-wals'; did you mean trench-walls?"
    ],
    "lessons: {trench-walls: 12}": [
        S + "{lessons: {trench-walls: 12}}:records.lessons.trench-walls: names and values are expected here; "
        "write it like trench-walls: {valid_months: 12}"
    ],
    "lessons: {trench-walls: {months: 12}}": [
        S + "{lessons: {trench-walls: {months: 12}}}:records.lessons.trench-walls.months: unknown setting of a lesson 'months'; "
        "did you mean valid_months?"
    ],
    "lessons: {trench-walls: {}}": [
        S
        + "{lessons: {trench-walls: {}}}:records.lessons.trench-walls: the lesson has no valid_months; add valid_months: to it, or take it out"
    ],
    "classes: dozer": [S + "{classes: dozer}:records.classes: a list is expected here; " + CLASSES],
    "classes: [dozer]": [S + "{classes: [dozer]}:records.classes: names and values are expected here; " + CLASSES],
    "classes: [{kind: dozer}]": [S + "{classes: [{kind: dozer}]}:records.classes: the class has no id; " + CLASSES],
    "classes: [{id: a}]": [S + "{classes: [{id: a}]}:records.classes: the class has no kind; " + CLASSES],
    "classes: [{id: a, kind: dozr}]": [
        S + "{classes: [{id: a, kind: dozr}]}:records.classes.kind: 'dozr' is no kind of machine known here; did you mean dozer? "
        "It is one of dozer, excavator, compact excavator, truck"
    ],
    "classes: [{id: dozer, kind: dozer}]": [
        S + "{classes: [{id: dozer, kind: dozer}]}:records.classes.id: 'dozer' is the name of a kind of machine; "
        "write an id of its own, such as small-dozer"
    ],
    "classes: [{id: a, kind: dozer, up_to: 40000}]": [
        S + "{classes: [{id: a, kind: dozer, up_to: 40000}]}:records.classes.up_to: '40000' has no unit; write it as 60000 lb or 27 t"
    ],
    "classes: [{id: a, kind: dozer, to: 9 t}]": [
        S + "{classes: [{id: a, kind: dozer, to: 9 t}]}:records.classes.to: unknown setting of a class 'to'; "
        "take it out; a setting of a class can still be up_to, attachment"
    ],
    "classes: [{id: a, kind: dozer, up_to: 9 t}, {id: A, kind: truck}]": [
        S
        + "{classes: [{id: a, kind: dozer, up_to: 9 t}, {id: A, kind: truck}]}:records.classes.id: the class 'A' is too much like 'a' above; "
        "give one of them another id"
    ],
}
HIDDEN = "takes all that fit it; put the class with the smaller up_to first, and one for an attachment above one for any"
for _first, _second in (
    ("up_to: 9 t", "up_to: 8 t"), ("up_to: 9 t", "up_to: 9000 kg"), ("", "up_to: 9 t"), ("up_to: 9 t", "up_to: 9 t, attachment: ripper"),
    ("attachment: ripper", "attachment: RIPPER, up_to: 1 t"),
):  # fmt: skip
    _text = f"classes: [{{id: a, kind: dozer, {_first}}}, {{id: b, kind: dozer, {_second}}}]".replace(", }", "}")
    BAD_RECORDS[_text] = [f"{S}{{{_text}}}:records.classes: no machine comes to the class b, as a above {HIDDEN}"]


@pytest.mark.parametrize("text", BAD_RECORDS)
def test_what_is_wrong_in_the_section_is_told(text: str, made: Made) -> None:
    assert told(made(records=f"records:\n  {text}\n")) == BAD_RECORDS[text]


BAD_ROLES = {
    "hours: 40": "'40' has no unit; write it as 40 h",
    "hours: 5001 h": "5,001 h is out of range (0 h to 5,000 h); check the figure and its unit; an example is 40 h",
    "slope_hours: -1 h": "−1 h is out of range (0 h to 5,000 h); check the figure and its unit; an example is 40 h",
    "valid_months: 121": "121 is out of range (1 to 120); check the figure and its unit; an example is 24",
}


@pytest.mark.parametrize("text", BAD_ROLES)
def test_what_is_wrong_in_a_role_is_told(text: str, made: Made) -> None:
    key = text.partition(":")[0]
    assert told(made(role=f"    {text}\n")) == [f"{S}{{{text}}}:roles.dozer-operator.{key}: {BAD_ROLES[text]}"]


def test_hours_on_slopes_are_among_the_hours(made: Made) -> None:
    assert told(made(role="    hours: 4 h\n    slope_hours: 5 h\n")) == [
        S + "{slope_hours: 5 h}:roles.dozer-operator.slope_hours: slope_hours (5 h) is more than hours (4 h); "
        "hours on slopes are among all hours: write as many hours or more"
    ]
    assert told(made(role="    slop_hours: 5 h\n"))[0].endswith("unknown setting of a role 'slop_hours'; did you mean slope_hours?")


# --- classes ---


def machine(kind: str, mass: str, *attachments: str) -> Machine:
    return Machine("X", "X", kind, {"mass": Quantity.read(mass, "mass")}, 2, "", None, attachments)


def test_the_first_class_that_fits_counts() -> None:
    rules = RecordRules(classes=(
        MachineClass("ripping", "dozer", 30_000, "ripper"), MachineClass("small", "dozer", 20_000), MachineClass("middle", "dozer", 40_000),
        MachineClass("digger", "excavator"), MachineClass("t", "truck", 30_000),
    ))  # fmt: skip
    assert class_of(machine("dozer", "20 t"), rules) == "small"
    assert class_of(machine("dozer", "20001 kg"), rules) == "middle"
    assert class_of(machine("dozer", "20 t", "winch", "ripper"), rules) == "ripping"
    assert class_of(machine("dozer", "31 t", "ripper"), rules) == "middle"
    assert class_of(machine("dozer", "40001 kg"), rules) == "dozer"
    assert class_of(machine("excavator", "400 t"), rules) == "digger"
    assert class_of(machine("compact excavator", "2 t"), rules) == "compact excavator"
    # a truck goes by what it carries, not by what it weighs
    truck = Truck("T", "T", "truck", {"payload": Quantity.read("30 t", "mass"), "empty_mass": Quantity.read("45 t", "mass")}, 2)
    assert class_of(truck, rules) == "t"
    assert class_of(truck, RecordRules()) == "truck"


def test_a_machine_right_at_the_end_of_a_class_written_in_the_other_unit_belongs_to_it(made: Made) -> None:
    records = "records:\n  classes:\n    - {id: a, kind: dozer, up_to: 48000 lb}\n    - {id: b, kind: dozer, up_to: 90000 lb}\n"
    site = site_of(made(records=records))
    assert [class_of(m, site.settings.records) for m in site.machines if m.kind == "dozer"] == ["a", "a", "b", "a"]
    assert noticed(site) == []


def test_classes_that_leave_machines_out_are_noticed(made: Made) -> None:
    records = "records:\n  classes:\n    - {id: r, kind: dozer, attachment: Riper}\n    - {id: a, kind: dozer, up_to: 48000 lb}\n"
    attached = (
        ("machines.csv", ",note\n", ",note,attachments\n"),
        ("machines.csv", "finishing and topsoil", "finishing and topsoil,winch; Ripper"),
    )
    site = site_of(made(records=records, edits=attached))
    assert {m.id: m.attachments for m in site.machines if m.attachments} == {"D-2": ("winch", "ripper")}
    assert [re.sub(r"^settings.yml:\d+", "settings.yml", line) for line in noticed(site)] == [
        "machines.csv:4:mass: D-3 (mass 86,000 lb) fits none of the site's classes of dozers; add a class for it under records, classes, in "
        "settings.yml; until then a sign-off on it holds for dozers of no class alone [no-class]",
        "settings.yml:records.classes.r: no machine has the attachment riper, which the class r is for; did you mean ripper? [class-attachment]",
    ]


# --- the starter and the demo ---


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_section_of_the_starter_reads_once_its_marks_are_gone(units: System, tmp_path: Path) -> None:
    folder = tmp_path / "site"
    write_starter(folder, starter_files(ROOT / "content", units))
    path = folder / "settings.yml"
    assert site_of(folder).settings.records == RecordRules()
    text = path.read_text("utf-8")
    block = text[text.index("# records:\n") : text.index("# The machines and the ground of the worked examples")]
    path.write_text(text.replace(block, re.sub(r"(?m)^# ?", "", block)), "utf-8")
    rules = site_of(folder).settings.records
    usual = RecordRules()
    assert (rules.valid_months, rules.lesson_months, rules.away_days, rules.place) == (24, {"trench-walls": 12}, 90, "Training yard")
    for name in ("due_days", "sign_before_pass", "seat_time_signed", "count_codes", "class_only", "keep_months"):
        assert getattr(rules, name) == getattr(usual, name), name  # what is shown is what counts without it
    assert [c.id for c in rules.classes] == ["small-dozer", "large-dozer"]


def test_the_demo_has_mentors_for_all_that_its_roles_do() -> None:
    site = site_of(DEMO)
    assert site.mentors is not None
    for role in site.settings.roles.values():
        for kind in _kinds(role):
            assert site.mentors_on(kind, TODAY), (role.id, kind)
    assert noticed(site) == []
    assert {class_of(m, site.settings.records) for m in site.machines if m.kind == "dozer"} == {"light-dozer", "heavy-dozer"}


def _kinds(role: Role) -> tuple[str, ...]:
    return ("on foot",) if role.on_foot else role.machines


def test_a_problem_with_mentors_comes_after_those_with_the_other_tables() -> None:
    problems = [Problem.of(f, 2, "x", "y") for f in ("mentors.csv", "crew.csv", "settings.yml", "lift_chart.csv")]
    assert [p.file for p in SiteProblems(problems).problems] == ["settings.yml", "crew.csv", "lift_chart.csv", "mentors.csv"]
