"""Where the tables are sheets of a workbook, messages and the ledger name the sheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import content_folder, read_content
from generator.book.front import coordinator_page
from generator.cli.main import main
from generator.jobsite.reader import read
from generator.records.readiness import readiness
from generator.records.report import files
from generator.working.ledger import Ledger
from tests.jobsite.sheets import book_site, column
from tests.records.small import a_result, put, put_edition, signed, small_site, tallied


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
        coordinator_page(content, read(where), ledger)
        rows = [json.loads(r) for r in ledger.rows()]
        found = {r["what"]: r["origin"] for r in rows if r["place"] == "counts"}
        assert {n: found[n] for n in origins} == origins
