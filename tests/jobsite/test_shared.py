"""Several sites of one contractor: rows of a shared folder come first, a site's own come after and win.

Their rules are the program's own interface, so what it says of each mistake stands here to the letter.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from generator.jobsite.classes import class_of
from generator.jobsite.columns import LIFT_CHART, MACHINES, MATERIALS, MENTORS, TRUCKS
from generator.jobsite.doubts import doubts, entry_for, settled
from generator.jobsite.model import JobSite
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.shared import shared_of
from generator.records.roster import as_told
from generator.source.problem import Problem
from tests.conftest import copy_demo
from tests.jobsite.lessons import LESSONS
from tests.jobsite.sheets import as_book

SHARED = (MACHINES, TRUCKS, MATERIALS, LIFT_CHART, MENTORS)


def shares(site: Path, fleet: str = "../our-fleet") -> Path:
    """The site with ``shared:`` in the first line of its settings, so that its lines are one further down."""
    settings = site / "settings.yml"
    settings.write_text(f"shared: {fleet}\n" + settings.read_text("utf-8"), "utf-8")
    return site


def beside(tmp_path: Path) -> Path:
    """The demo with all that can be shared in a folder beside it."""
    site = shares(copy_demo(tmp_path / "site"))
    (tmp_path / "our-fleet").mkdir()
    for table in SHARED:
        shutil.move(site / table.file, tmp_path / "our-fleet" / table.file)
    return site


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return beside(tmp_path)


@pytest.fixture
def fleet(site: Path) -> Path:
    return site.parent / "our-fleet"


def found(site: Path) -> JobSite:
    return read(site, LESSONS)


def said(site: Path) -> list[str]:
    with pytest.raises(SiteProblems) as e:
        found(site)
    return [str(p) for p in e.value.problems]


def noticed(site: Path) -> list[str]:
    return [str(n) for n in found(site).notices]


def head(file: Path) -> str:
    return file.read_text("utf-8").split("\n")[0]


def row(file: Path, id_: str) -> str:
    return next(line for line in file.read_text("utf-8").split("\n") if line.startswith(f"{id_},"))


def line_of(file: Path, id_: str) -> int:
    return file.read_text("utf-8").split("\n").index(row(file, id_)) + 1


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def alike(one: JobSite, other: JobSite) -> bool:
    """Whether two sites are the same but for where their rows stand."""

    def bare(site: JobSite) -> object:
        return (
            [replace(r, file="") for r in (*site.machines, *site.trucks, *site.materials)], site.crew,
            [replace(m, file="") for m in site.mentors or ()], site.settings.lead,
        )  # fmt: skip

    return bare(one) == bare(other)


# --- what is shared is there, and the site's own wins ---


def test_a_site_without_tables_of_its_own_is_the_same_as_with_them(site: Path, tmp_path: Path) -> None:
    plain, shared = found(copy_demo(tmp_path / "plain")), found(site)
    assert alike(plain, shared)
    assert {m.file for m in shared.fleet} == {"../our-fleet/machines.csv", "../our-fleet/trucks.csv"}
    assert {m.file for m in plain.fleet} == {""}
    assert shared.table("machines.csv") == "../our-fleet/machines.csv" and shared.table("crew.csv") == "crew.csv"
    assert shared.notices == plain.notices

    def told(site: JobSite) -> list[object]:
        """What the register keeps of people, machines and rules."""
        return list(as_told(site, lambda row: class_of(row, site.settings.records)))

    assert told(shared) == told(plain) and len(told(plain)) > 20


def test_own_rows_come_after_and_replace_shared_ones_whole(site: Path, fleet: Path) -> None:
    before = found(site)
    more = row(fleet / "machines.csv", "D-2").replace("D-2", "D-9")
    instead = row(fleet / "machines.csv", "D-1").replace("45000", "46000")
    (site / "machines.csv").write_text(f"{head(fleet / 'machines.csv')}\n{more}\n{instead}\n", "utf-8")
    now = found(site)
    ids = [m.id for m in before.machines]
    assert [m.id for m in now.machines] == [*(i for i in ids if i != "D-1"), "D-9", "D-1"]
    by_id = {m.id: m for m in now.machines}
    assert str(by_id["D-1"].get("mass")) == "46,000 lb" and by_id["D-1"].file == "" and by_id["D-1"].line == 3
    assert by_id["D-2"].file == "../our-fleet/machines.csv"
    assert now.table("machines.csv") == "machines.csv" and now.file_of(by_id["D-2"], "machines.csv") == "../our-fleet/machines.csv"
    assert not now.notices  # the same machine with another figure is what a row of one's own is for


def test_a_chart_goes_with_its_machine(site: Path, fleet: Path) -> None:
    assert "chart_load" in next(m for m in found(site).machines if m.id == "E-1").values
    # another machine under this id has not the chart of the shared one
    instead = row(fleet / "machines.csv", "E-1")
    (site / "machines.csv").write_text(f"{head(fleet / 'machines.csv')}\n{instead.replace('E-1 ', 'E-1 Old ')}\n", "utf-8")
    assert "chart_load" not in next(m for m in found(site).machines if m.id == "E-1").values
    assert noticed(site)[1:] == [
        "machines.csv:2: E-1 replaces the shared row, and the lift chart of that one (../our-fleet/lift_chart.csv) does not count here; "
        "copy the chart into lift_chart.csv if it holds for this machine too [replaces-shared]"
    ]
    # and a chart of the site's own stands in the place of all of the shared one: its smaller figures are not mixed in
    (site / "machines.csv").unlink()
    was = next(m for m in found(site).machines if m.id == "E-1").get("chart_load")
    rows = [line for line in (fleet / "lift_chart.csv").read_text("utf-8").split("\n") if ",E-1," in line]
    doubled = [re.sub(r",(\d+),([^,]*)$", lambda m: f",{int(m[1]) + 1000},{m[2]}", line) for line in rows]
    (site / "lift_chart.csv").write_text("\n".join([head(fleet / "lift_chart.csv"), *doubled]) + "\n", "utf-8")
    assert next(m for m in found(site).machines if m.id == "E-1").get("chart_load").figure == was.figure + 1000


def test_mentors_of_both_may_sign(site: Path, fleet: Path) -> None:
    (site / "mentors.csv").write_text("id,name,machines\nM-7,Una Berg,dozer\n", "utf-8")
    mentors = found(site).mentors
    assert mentors is not None
    assert [(m.id, m.file) for m in mentors][-1] == ("M-7", "") and mentors[0].file == "../our-fleet/mentors.csv"
    assert len(mentors) == len((fleet / "mentors.csv").read_text("utf-8").strip().split("\n"))


def test_a_workbook_is_shared_as_well(site: Path, fleet: Path, tmp_path: Path) -> None:
    plain = found(site)
    book = as_book(copy_demo(tmp_path / "plain"), more=(LIFT_CHART, MENTORS))
    del book["crew"]
    for table in SHARED:
        (fleet / table.file).unlink()
    book.save(fleet / "site.xlsx")
    shared = found(site)
    assert alike(plain, shared) and shared.machines[0].file == "../our-fleet/site.xlsx[machines]"
    assert shared.table("trucks.csv") == "../our-fleet/site.xlsx[trucks]"
    book["machines"].cell(3, 4).value = -1
    book.create_sheet("hours").append(["person", "machine", "date", "hours"])
    book.save(fleet / "site.xlsx")
    assert said(site) == [
        "../our-fleet/site.xlsx[hours]: this is each site's own, and never shared; move it into the folder of the site it is about",
        *(line for line in said(site) if line.startswith("../our-fleet/site.xlsx[machines]:3:mass: ")),
    ]


def test_days_are_read_as_the_shared_folder_says_and_never_as_the_site_does(site: Path, fleet: Path) -> None:
    """The demo's own order is month first."""
    change(fleet / "trucks.csv", "2025-11-30", "03/04/2026")
    at = line_of(fleet / "trucks.csv", "T-2")
    assert said(site) == [
        f"../our-fleet/trucks.csv:{at}:retired: the date '03/04/2026' can be read two ways; write year, month and day, such as 2026-03-14, "
        "or add 'dates: month first' (or day first) to ../our-fleet/settings.yml"
    ]
    for order, day in (("day first", "2026-04-03"), ("month first", "2026-03-04")):
        (fleet / "settings.yml").write_text(f"dates: {order}\n", "utf-8")
        assert str(next(t for t in found(site).trucks if t.id == "T-2").retired) == day


# --- faults, line by line ---


def test_a_fault_in_a_shared_table_is_told_by_the_way_there(site: Path, fleet: Path) -> None:
    change(fleet / "machines.csv", "D-2,D-2 Small dozer,dozer,20000", "D-2,D-2 Small dozer,dozer,20")
    change(fleet / "mentors.csv", "M-1,Greta Solheim", "P-01,Greta Solheim")
    lines = said(site)
    assert lines[0].startswith("../our-fleet/machines.csv:3:mass: ")
    assert lines[1].startswith("../our-fleet/mentors.csv:3:id: the id 'P-01' is ") and "in crew.csv (line " in lines[1]
    assert len(lines) == 2


def test_a_site_whose_rows_do_not_go_with_the_shared_ones(site: Path, fleet: Path) -> None:
    machines, trucks = fleet / "machines.csv", fleet / "trucks.csv"
    first = row(machines, "D-1")
    e_1 = line_of(machines, "E-1")
    (site / "machines.csv").write_text(
        "\n".join(
            [
                head(machines), first.replace("D-1,D-1 Middle dozer", "E-1,E-1 Pusher"), first.replace("D-1,D-1 Middle", "d-2,D-2 Other"),
                first.replace("D-1,D-1 Middle", "T-1,T-1 Pusher"), first.replace("D-1,", "D-8,", 1), "",
            ]
        ),
        "utf-8",
    )  # fmt: skip
    (site / "mentors.csv").write_text("id,name,machines\nM-1,Una Berg,dozer\n", "utf-8")
    assert [line for line in said(site) if not line.startswith(("crew.csv", "settings.yml", "../our-fleet/lift_chart.csv"))] == [
        "machines.csv:3:id: the id 'd-2' and 'D-2' are too alike (../our-fleet/machines.csv, line 3); give one of them another id",
        "machines.csv:5:name: the name 'D-1 Middle dozer' stands twice (as D-1 in ../our-fleet/machines.csv, line 2); "
        "write the id D-1 if both are one, or name one of them otherwise",
        f"../our-fleet/trucks.csv:{line_of(trucks, 'T-1')}:id: the id 'T-1' is a machine's too (machines.csv, line 4); give one of them another id",
        f"machines.csv:2:kind: E-1 is a dozer here and an excavator in what is shared (../our-fleet/machines.csv, line {e_1}); "
        "give one of them another id",
        "mentors.csv:2:name: the id 'M-1' is Greta Solheim's in what is shared (../our-fleet/mentors.csv, line 3), and here it is Una Berg's; "
        "give the mentor another id, or write the name as it stands there if both are one person",
    ]


@pytest.mark.parametrize(
    ("id_", "old", "new", "line"),
    [
        ("D-1", "D-1 Middle dozer", "D-1 Old dozer",
         "machines.csv:2:name: D-1 is D-1 Old dozer here, and in what is shared (../our-fleet/machines.csv, line 2) it is D-1 Middle dozer; "
         "give it another id if both are there; keep the row if this one stands in its place [replaces-shared]"),
        ("E-1", ",5.1,9.2,5,2100,", ",,9.2,5,,",
         "machines.csv:2: E-1 replaces the shared row (../our-fleet/machines.csv, line 6) and leaves out bucket_length, bucket_mass; "
         "fill in what holds here too, as nothing of the shared row counts [replaces-shared]"),
        ("D-1", "", "",
         "machines.csv:2: D-1 stands here as it does in what is shared (../our-fleet/machines.csv, line 2); "
         "take the row out, so that what is put right there counts here [replaces-shared]"),
    ],
)  # fmt: skip
def test_a_row_that_may_replace_a_shared_one_by_mistake(site: Path, fleet: Path, id_: str, old: str, new: str, line: str) -> None:
    mine = row(fleet / "machines.csv", id_)
    assert old in mine
    (site / "machines.csv").write_text(f"{head(fleet / 'machines.csv')}\n{mine.replace(old, new, 1)}\n", "utf-8")
    assert [told for told in noticed(site) if "lift chart" not in told] == [line]


def test_a_notice_about_a_shared_row_can_be_settled(site: Path, fleet: Path) -> None:
    change(fleet / "machines.csv", "D-2,D-2 Small dozer,dozer,20000,5.5", "D-2,D-2 Small dozer,dozer,20000,3.1")
    read_ = found(site)
    notices = [n for n in doubts(read_) if n.file.startswith("..")]
    assert [(n.file, n.line, n.code) for n in notices] == [
        ("../our-fleet/machines.csv", 3, "centre-of-gravity"), ("../our-fleet/machines.csv", 3, "tracks"), ("../our-fleet/machines.csv", 3, "width"),
    ]  # fmt: skip
    entry = entry_for(read_, notices[0]).replace("by: NAME", "by: A. Person").replace("on: DAY", "on: 2026-03-14")
    assert '"D-2.cg_height"' in entry
    settings = site / "settings.yml"
    settings.write_text(settings.read_text("utf-8") + f"looked_at:\n  {entry}\n", "utf-8")
    again = found(site)
    done = settled(replace(again, notices=tuple(doubts(again))))
    assert [p.code for p, _ in done.settled] == ["centre-of-gravity"]


def test_a_shared_table_in_other_units_is_no_slip_of_the_site(site: Path, fleet: Path) -> None:
    """A metric table shared with a site in US units: its tonnes are its own."""
    (fleet / "trucks.csv").write_text(
        "id,name,payload [t],body_volume [m3],empty_mass [t],axle_height [m],body_length [m],body_width [m],overall_width [m],body_height [m],"
        "eye_height [m],sill_height [m],sill_distance [m],body_up_height [m],overall_length [m],downhill_speed [km/h],cab_guard,build\n"
        "T-1,T-1 Middle haul truck,27.2,19,22.7,0.88,5.5,2.9,3.1,2.8,2.6,1.7,2.4,6.4,10.4,22,guarded,articulated\n"
        "T-2,T-2 Small haul truck,18.1,11.5,16.8,0.76,4.6,2.5,2.7,2.6,2.4,1.5,2,5.5,8.8,24,guarded,articulated\n"
        "T-3,T-3 Large haul truck,36.3,25,30,0.9,6,3.2,3.4,3,2.8,1.8,2.5,6.9,11,20,guarded,articulated\n"
        "T-4,T-4 Long haul truck,31.7,21.8,27.2,0.95,5.8,3.1,3.4,2.9,2.7,1.8,2.5,6.7,11,21,guarded,articulated\n",
        "utf-8",
    )
    told = [n for n in doubts(found(site)) if n.code in {"tonne", "mixed-units"}]
    assert told == []
    change(fleet / "trucks.csv", "27.2,19", "30 ton,19")
    told = [n for n in doubts(found(site)) if n.code in {"tonne", "mixed-units"}]
    assert [str(n) for n in told] == [
        "../our-fleet/trucks.csv:2:payload: payload is in US tons in a metric table: a ton of 2,000 lb is 9% less than a tonne of 1,000 kg, "
        "so 30 tons (T-1) is 27.2 t; keep it if the data sheet says ton; if not, write the unit as t [tonne]"
    ]


NOT_SHARED = "this is each site's own, and never shared; move it into the folder of the site it is about"


@pytest.mark.parametrize(
    ("written", "line"),
    [
        ("../fleet", "there is no folder '../fleet'; did you mean ../our-fleet?"),
        ("../nothing-like-it-at-all", "there is no folder '../nothing-like-it-at-all'; check the way to it from this folder"),
        ("/srv/our-fleet", "'/srv/our-fleet' is a place on one computer alone; write the way to it from this folder, such as ../our-fleet"),
        ("C:\\our-fleet", "'C:/our-fleet' is a place on one computer alone; write the way to it from this folder, such as ../our-fleet"),
        ("~/our-fleet", "'~/our-fleet' is a place on one computer alone; write the way to it from this folder, such as ../our-fleet"),
        (".", "'.' is this site's own folder; name a folder beside it, such as ../our-fleet, or take the line out"),
        ("../our-fleet/../site", "'../our-fleet/../site' is this site's own folder; name a folder beside it, such as ../our-fleet, or take the line out"),
        ("..", "this site lies in '..'; put what is shared into a folder beside this one, such as ../our-fleet"),
        ("our-fleet", "'our-fleet' lies in this site's own folder; write ../our-fleet, the folder beside this one"),
        ("fleet", "'fleet' lies in this site's own folder; put it beside this one, where the other sites find it too"),
        ("../linked", "'../linked' is a link, or leads through one; name the folder itself, by the way that leads there without a link"),
        ("../round", "'../round' cannot be read (its links go round in a circle); check its access rights"),
        ("../file.csv", "'../file.csv' is not a folder; name the folder that holds what is shared"),
        ("../empty", "'../empty' holds nothing that a site could share; put machines.csv, trucks.csv, mentors.csv or texts there, or take the line out"),
    ],
)  # fmt: skip
def test_a_folder_that_cannot_be_shared(site: Path, written: str, line: str) -> None:
    """One line, and nothing of the tables that would have been there."""
    settings = site / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("shared: ../our-fleet", f"shared: {written}", 1), "utf-8")
    (site / "fleet").mkdir()
    (site.parent / "linked").symlink_to("our-fleet")
    (site.parent / "round").symlink_to("round")
    (site.parent / "file.csv").write_text("id\n", "utf-8")
    (site.parent / "empty").mkdir()
    assert said(site) == [f"settings.yml:1:shared: {line}"]
    assert shared_of(site) is None


def test_the_way_may_be_written_as_windows_does(site: Path) -> None:
    settings = site / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("../our-fleet", "..\\our-fleet\\", 1), "utf-8")
    assert found(site).machines[0].file == "../our-fleet/machines.csv"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("shared: ../more\n", ["1:shared: a shared folder shares none itself; put what both hold into one folder"]),
        ("site: {key: other, name: Other}\nunits: us\n",
         ["1:site: this folder is a job site of its own; put what both share into a third folder, and name that one in both"]),
        ("dates: day first\nunits: metric\n", ["2:units: 'units' is each site's own to say; only dates: stands in the settings of a shared folder"]),
        ("dates: sometimes\n", ["1:dates: 'sometimes' is no order of dates known here; write one of month first, day first"]),
        ("- dates\n", ["1: names and values are expected here; write dates: month first, or dates: day first"]),
        ("dates: &a day first\n", ["1: anchors (&) and aliases (*) are not used here; write the value out, or put it in quotes"]),
        ("", []),
    ],
)  # fmt: skip
def test_settings_of_a_shared_folder_say_its_dates_alone(site: Path, fleet: Path, text: str, lines: list[str]) -> None:
    (fleet / "settings.yml").write_text(text, "utf-8")
    if not lines:
        assert found(site)
    else:
        assert said(site) == [f"../our-fleet/settings.yml:{line}" for line in lines]


def test_people_and_records_are_never_shared(site: Path, fleet: Path) -> None:
    (fleet / "crew.csv").write_text("id,name,role,machines,start\n", "utf-8")
    (fleet / "hours.csv").write_text("person,machine,date,hours\n", "utf-8")
    (fleet / "results").mkdir()
    assert said(site) == [f"../our-fleet/{name}: {NOT_SHARED}" for name in ("hours.csv", "results", "crew.csv")]
    assert len(found_crew := re.findall(r"(?m)^P-", (site / "crew.csv").read_text("utf-8"))) > 1, found_crew


def test_links_in_a_shared_folder_lead_nowhere_else(site: Path, fleet: Path) -> None:
    shutil.move(fleet / "machines.csv", site.parent / "machines.csv")
    (fleet / "machines.csv").symlink_to("../machines.csv")
    assert said(site) == ["../our-fleet/machines.csv: it is a link that leads out of the shared folder; put the file itself into our-fleet"]


def test_a_table_that_neither_has_is_missing(site: Path, fleet: Path) -> None:
    (fleet / "machines.csv").unlink()
    assert said(site)[0].startswith("machines.csv: the file is missing; add machines.csv with ")
    (fleet / "Machines list.csv").write_text("id\n", "utf-8")
    assert said(site)[0].startswith("../our-fleet/machines.csv: the file is missing; ")


def test_what_a_shared_folder_cannot_do_harm_with(site: Path, fleet: Path) -> None:
    """What is wrong with the settings is told as ever, and so is a name that no line can show."""
    settings = site / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("../our-fleet", '"../our\\nfleet"', 1), "utf-8")
    (line,) = said(site)
    assert line.startswith("settings.yml:1:shared: ") and "\n" not in line
    settings.write_text(settings.read_text("utf-8") + "more: [\n", "utf-8")
    (line,) = said(site)
    assert re.match(r"settings\.yml:\d+: a bracket is not closed", line)


def test_problems_sort_with_what_is_shared_first(site: Path) -> None:
    one, two = Problem.of("machines.csv", 2, "a", "b"), Problem.of("../our-fleet/machines.csv", 9, "a", "b")
    assert SiteProblems([one, two]).problems == (two, one)
