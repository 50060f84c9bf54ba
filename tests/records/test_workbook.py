"""Where the tables are sheets of a workbook, messages and the ledger name the sheet."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from generator.book.content import content_folder, read_content
from generator.book.front import coordinator_page
from generator.cli.main import main
from generator.jobsite.reader import read
from generator.records.desk import open_desk
from generator.records.readiness import readiness
from generator.records.report import files, terminal
from generator.working.ledger import Ledger
from tests.jobsite.sheets import book_site, column
from tests.records.small import NOW, a_result, put, put_edition, signed, small_site, tallied


def nothing_to_run(book: Any) -> None:
    """The second person is given no machine."""
    sheet = book["crew"]
    sheet.cell(3, column(sheet, "machines")).value = None


@pytest.fixture
def site(tmp_path: Path) -> Path:
    site = book_site(tmp_path / "site", nothing_to_run)
    put_edition(site)
    return site


def test_people_are_looked_for_in_the_sheet(site: Path, capsys: Any) -> None:
    put(site, "a.json", a_result(site, lesson="truck-match"))
    put(site, "b.json", signed(a_result(site), crew="P-99"))
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\nQ-1,bench-height,E-2,2026-03-12,mo\n")
    done = tallied(site)
    told = {f.where.rpartition("/")[2]: f"{f.what}; {f.fix}" for f in done.flags}
    assert told["b.json:1"].startswith("no crew id 'P-99' in site.xlsx[crew]; ")
    assert told["signoffs.csv:2"].startswith("no crew id 'Q-1' in site.xlsx[crew]; ")
    page = files(readiness(read(site), done))["readiness.html"]
    assert "no machine in site.xlsx[crew]" in page and "crew.csv" not in page
    assert any(line.endswith("none     no machine in site.xlsx[crew]") for line in terminal(readiness(read(site), done), 200))
    assert main(["paper", str(site), "--crew", "P-99", "--lesson", "bench-height"]) == 2
    assert "no crew id 'P-99' in site.xlsx[crew]; " in capsys.readouterr().err


def test_with_tables_of_their_own_they_are_named_as_before(tmp_path: Path) -> None:
    site = small_site(tmp_path / "site")
    put(site, "b.json", signed(a_result(site), crew="Q-99"))
    (flag,) = tallied(site).flags
    assert f"{flag.what}; {flag.fix}" == "no crew id 'Q-99' in crew.csv; check the id, or add the person to crew.csv"


def test_counts_name_the_sheets_they_come_from(site: Path, tmp_path: Path) -> None:
    content = read_content(content_folder())
    for where, origins in (
        (site, {"machines": "site.xlsx[machines]", "trucks": "site.xlsx[trucks]", "materials": "site.xlsx[materials]", "crew": "site.xlsx[crew]"}),
        (small_site(tmp_path / "tables"), {n: f"{n}.csv" for n in ("machines", "trucks", "materials", "crew")}),
    ):  # fmt: skip
        ledger = Ledger()
        coordinator_page(content, read(where), ledger, {})
        rows = [json.loads(r) for r in ledger.rows()]
        found = {r["what"]: r["origin"] for r in rows if r["place"] == "counts"}
        assert {n: found[n] for n in origins} == origins


@pytest.mark.parametrize("path", ["", "/training/hand-in/"])
def test_the_coordinator_reads_how_results_come_in_here(tmp_path: Path, path: str) -> None:
    site = small_site(tmp_path / "site")
    settings = site / "settings.yml"
    text = re.sub(r"(?m)^hand_in:.*\n", "", settings.read_text("utf-8"))
    settings.write_text(text + (f"\nhand_in: {path}\n" if path else ""), "utf-8")
    page = coordinator_page(read_content(content_folder()), read(site), Ledger(), {})
    by_server = ("drop folder", "<code>seatwork tally FOLDER DROP --watch</code>", "the folder <code>headers</code>", "codes of slips")
    assert [words in page for words in by_server] == [bool(path)] * len(by_server)
    # a watch reads the drop folder alone
    assert f"into the folder <code>results</code>, then run <code>seatwork tally{' FOLDER' if path else ''}</code>." in page
    assert page.count("who is ready") == 1


def sold(book: Any) -> None:
    """The one machine of P-06 works no more."""
    sheet = book["machines"]
    heads = [c.value for c in sheet[1]]
    at = heads.index("retired") + 1 if "retired" in heads else len(heads) + 1
    sheet.cell(1, at).value = "retired"
    (row,) = (r for r in range(2, sheet.max_row + 1) if sheet.cell(r, 1).value == "E-3")
    sheet.cell(row, at).value = "2026-03-01"


def test_who_has_only_a_machine_that_was_sold_is_still_told_of(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site", sold)
    put_edition(folder)
    put(folder, "a.json", a_result(folder, lesson="truck-match"))
    with open_desk(read(folder), write=True) as desk:
        desk.take_in([folder / "results"], NOW)
        found = readiness(*desk.on(NOW))
    line = next(x for x in terminal(found, 200) if x.startswith("P-06"))
    assert line.endswith("none     no machine left: E-3 retired; give another in site.xlsx[crew]")
    assert files(found)["readiness.html"].count("no machine left: E-3 retired; give another in site.xlsx[crew]") == 2


def sheets(book: Any) -> None:
    """Tables of records beside the site's own, and one of the coordinator's own that is nobody's business."""
    tables: dict[str, list[tuple[Any, ...]]] = {
        "Hours": [("person", "machine", "date", "hours", "mentor"), ("P-04", "E-2", "2026-03-10", 6.5, "mo")],
        "Sign-offs": [("crew", "lesson", "machine", "date"), ("P-04", "bench-height", "E-2", "2026-03-12")],
        "shifts": [("person", "lesson", "from", "why"), ("P-04", "all", "2026-03-10", "incident")],
    }
    for title, rows in tables.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)


def test_tables_of_records_may_be_sheets_of_the_sites_workbook(tmp_path: Path, capsys: Any) -> None:
    folder = book_site(tmp_path / "site", sheets)
    put_edition(folder)
    assert main(["tally", str(folder), "--as-of", "2026-03-20"]) == 0
    told = capsys.readouterr().out
    assert "site.xlsx[Sign-offs]:1: unreadable: as a table of sign-offs it has no heading mentor; the headings" in told
    assert "shifts" not in told and "incident" not in told
    with open_desk(read(folder), write=False) as desk:
        (hours,) = desk.rows.entries(kind="hours")
        assert not list(desk.rows.entries(kind="retrain"))
    assert (hours.where, hours.crew, hours.body["hours"]) == ("site.xlsx[Hours]:2", "P-04", 6.5)

    book = openpyxl.load_workbook(folder / "site.xlsx")
    book["Hours"].cell(2, 4).value = 65 / 10 + 1
    book.save(folder / "site.xlsx")
    assert main(["tally", str(folder), "--as-of", "2026-03-20"]) == 0
    assert f"site.xlsx[Hours]:2: gone: row {hours.n} was taken in from here and stands here no longer" in capsys.readouterr().out


def test_a_sheet_that_was_meant_as_a_table_is_not_passed_over(tmp_path: Path) -> None:
    folder = book_site(tmp_path / "site")
    put_edition(folder)
    book = openpyxl.Workbook()
    book.active.append(("person", "machine", "date", "hours"))
    book.active.append(("P-04", "E-2", "2026-03-10", 6.5))
    book.create_sheet("talks").append(("day", "sheet", "leader", "crew"))
    book.create_sheet("ids").append(("lesson", "machine", "mentor"))
    book.save(tmp_path / "site/handed.xlsx")
    (tmp_path / "site/results").mkdir(exist_ok=True)
    (tmp_path / "site/handed.xlsx").rename(tmp_path / "site/results/handed.xlsx")
    assert [str(f).partition(";")[0] for f in tallied(folder).flags] == [
        "results/handed.xlsx[talks]:1: unreadable: as a table of talks it has no heading date"
    ]
