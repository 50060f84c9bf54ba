"""The register's results marked again by the editions that are kept, after taking in. All invented."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.jobsite.reader import read
from generator.records.again import remark
from generator.records.desk import open_desk
from generator.records.editions import load_editions
from generator.register.entry import Entry
from generator.register.store import FILE
from tests.records.office import Office, trained
from tests.records.small import marking, put, small_site


@pytest.fixture
def office(tmp_path: Path) -> Office:
    made = Office(small_site(tmp_path / "site"))
    trained(made)
    made.result("failed", crew="P-02", rights=(True, False, True, False, False))
    made.take_in("2026-03-25")
    return made


def entries(office: Office) -> list[Entry]:
    with open_desk(read(office.site), write=False) as desk:
        return list(desk.rows.entries())


def test_rows_that_say_what_comes_out(office: Office) -> None:
    found = remark(read(office.site), load_editions(office.site), entries(office))
    assert (found.marked, found.without, found.wrong) == (3, (), None)


def body(**changes: Any) -> Callable[[Entry], Entry]:
    return lambda e: dataclasses.replace(e, body={**e.body, **changes})


@pytest.mark.parametrize(
    "change",
    [body(right=5), body(of=6), body(passed=True), body(answers=[["q-1", True, ""]] * 5), lambda e: dataclasses.replace(e, crew="P-01"),
     lambda e: dataclasses.replace(e, lesson="truck-match")],
)  # fmt: skip
def test_a_row_that_says_otherwise(office: Office, change: Callable[[Entry], Entry]) -> None:
    all_ = entries(office)
    wrong = next(e for e in all_ if e.kind == "result" and e.crew == "P-02")
    found = remark(read(office.site), load_editions(office.site), [change(e) if e is wrong else e for e in all_])
    assert found.wrong is not None and found.wrong.what.startswith(f"row {wrong.n} says ")
    assert found.wrong.file == FILE and found.wrong.code == "marked-otherwise"
    assert "marked again by edition 2026-1 it is 2 of 5" in found.wrong.what


def test_what_a_short_code_told_is_not_marked_again(office: Office) -> None:
    told = [body(told=True, right=99)(e) if e.kind == "result" else e for e in entries(office)]
    found = remark(read(office.site), load_editions(office.site), told)
    assert (found.marked, found.wrong) == (0, None)


def test_results_whose_edition_is_gone_are_counted(office: Office) -> None:
    (office.site / "editions" / "2026-1.json").unlink()
    found = remark(read(office.site), load_editions(office.site), entries(office))
    rows = tuple(e.n for e in entries(office) if e.kind == "result")
    assert (found.marked, found.without, found.wrong) == (0, rows, None)


def test_the_command_marks_again(office: Office, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["register", str(office.site), "--verify"]) == 0
    assert capsys.readouterr().out.startswith("3 results marked again as the rows say\n")
    edition = office.site / "editions" / "2026-1.json"
    text = edition.read_text("utf-8")
    changed, found = re.subn(r'("pass_mark": ?)0\.8', r"\g<1>0.2", text)
    assert found and marking(office.site).pass_mark == 0.8
    edition.write_text(changed, "utf-8")
    assert main(["register", str(office.site), "--verify"]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1 and "marked again by edition 2026-1" in err


def test_a_slip_and_a_sheet_of_paper_are_marked_again(office: Office) -> None:
    from generator.records.demo_class import slip_code

    file = office.result("x", crew="P-03", days=3)
    (office.site / "results" / "x.json").unlink()
    put(office.site, "slips.csv", f"code\n{slip_code(file, marking(office.site))}\n")
    office.take_in("2026-03-26")
    found = remark(read(office.site), load_editions(office.site), entries(office))
    assert (found.marked, found.without, found.wrong) == (4, (), None)


def test_a_row_that_names_other_figures_than_those_it_was_taken_on(office: Office) -> None:
    """The questions and their numbers are as they were built; only the row says that they were others."""
    all_ = entries(office)
    first = next(e for e in all_ if e.kind == "result")
    found = remark(read(office.site), load_editions(office.site), [body(figures="f" * 12)(e) if e is first else e for e in all_])
    assert found.wrong is not None and found.wrong.code == "edition-changed"
    assert f"other ones than those row {first.n} was taken on" in found.wrong.what
