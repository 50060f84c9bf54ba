"""``seatwork register``: what it says, and what it refuses in one line."""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.cli.register import register
from generator.jobsite.model import Mentor
from generator.register.export import kept
from generator.register.store import FILE, Register
from generator.source.problem import Problem
from tests.conftest import copy_demo
from tests.register.rows import TAKEN, begun, by_hand, result


def said(capsys: Any, folder: Path, *words: str) -> tuple[int, str, str]:
    capsys.readouterr()
    status = main(["register", str(folder), *words])
    out, err = capsys.readouterr()
    assert "Traceback" not in err
    return status, out.replace(str(folder), "SITE"), err.replace(str(folder), "SITE")


def test_it_says_what_is_there(tmp_path: Path, capsys: Any) -> None:
    begun(tmp_path)
    with Register.open(tmp_path) as r:
        chain = r.head()[1]
    status, out, err = said(capsys, tmp_path)
    assert (status, err) == (0, "")
    assert [" ".join(line.split()) for line in out.splitlines()] == [
        "SITE: 6 rows, 2026-03-10 to 2026-03-15", "result 2", "sign-off 1", "talk 1", "hours 1", "correction 1",
        "last: row 6, taken in 2026-05-01T12:00:00Z", f"chain: {chain}",
    ]  # fmt: skip


def test_an_empty_one(tmp_path: Path, capsys: Any) -> None:
    begun(tmp_path, [])
    assert said(capsys, tmp_path) == (0, "SITE: 0 rows\n", "")
    assert said(capsys, tmp_path, "--verify")[:2] == (
        0,
        "0 rows hold; it was compared with no export, as none is kept\nchain:    none yet\n",
    )


def test_verify_export_and_copy(tmp_path: Path, capsys: Any) -> None:
    path = begun(tmp_path)
    status, out, _ = said(capsys, tmp_path, "--verify")
    assert status == 0 and "\n6 rows hold; it was compared with no export" in out
    assert out.startswith("results not marked again: settings.yml: the file is missing")  # the rows are walked without the tables
    status, out, _ = said(capsys, tmp_path, "--export", "--copy", str(tmp_path / "kept" / "copy.sqlite3"))
    assert status == 0 and re.search(r"written:  SITE/register/exports/\d{4}-\d\d-\d\d\.csv\nwritten:  SITE/kept/copy.sqlite3\n", out)
    assert said(capsys, tmp_path, "--verify")[1].count("\n6 rows hold; 1 kept export agrees\n") == 1
    with by_hand(path) as db:
        db.execute("UPDATE entry SET day = '2026-03-01' WHERE n = 2")
    kept = (tmp_path / "kept/copy.sqlite3").read_bytes()
    for words in (["--verify"], ["--export"], ["--copy", str(tmp_path / "kept/copy.sqlite3")]):
        status, out, err = said(capsys, tmp_path, *words)
        assert (status, out, err.count("\n")) == (2, "", 1)
        assert err.startswith(f"SITE/{FILE}: row 2 does not hold: ")
    assert (tmp_path / "kept/copy.sqlite3").read_bytes() == kept


@pytest.mark.parametrize("words", [[], ["--verify"], ["--export"]])
def test_what_cannot_be_opened_is_a_line(tmp_path: Path, capsys: Any, words: list[str]) -> None:
    assert said(capsys, tmp_path / "none", *words)[::2] == (
        2,
        "SITE: there is no such folder; give the folder with settings.yml and the tables\n",
    )
    status, out, err = said(capsys, tmp_path, *words)
    assert (status, out) == (2, "") and err == f"SITE/{FILE}: there is no register yet; run seatwork tally, which begins one\n"
    (tmp_path / FILE).parent.mkdir()
    (tmp_path / FILE).write_bytes(b"")
    status, out, err = said(capsys, tmp_path, *words)
    assert (status, out, err.count("\n")) == (2, "", 1) and "it is empty" in err


def test_a_copy_that_cannot_be_written_is_a_line(tmp_path: Path, capsys: Any) -> None:
    begun(tmp_path)
    (tmp_path / "file").write_text("x", "utf-8")
    status, _, err = said(capsys, tmp_path, "--copy", str(tmp_path / "file" / "copy"))
    assert status == 2 and err.count("\n") == 1 and "cannot be written" in err


def test_looks_of_others(tmp_path: Path, capsys: Any) -> None:
    begun(tmp_path)
    wrong = Problem.of("editions/2026-1.json", None, "it is another one than row 3 knows", "put it back")
    args = type("Args", (), {"folder": tmp_path, "verify": True, "export": False, "copy": None, "forget": None, "new_key": False,
                              "mentor_codes": False, "new_code": None, "xapi": False, "names": False, "home": None, "out": None})()  # fmt: skip
    assert register(args, lambda folder, opened: [lambda: wrong if opened.row(3) else None]) == 2
    assert capsys.readouterr().err == "editions/2026-1.json: it is another one than row 3 knows; put it back\n"


# --- taking a name out ------------------------------------------------------------------------


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = copy_demo(tmp_path / "site")
    begun(folder, [result(1, "P-01"), result(2, "P-77"), result(3, "P-77")])
    with Register.open(folder, write=True) as r:
        r.put_names({"P-01": "Ada Quist", "P-77": "Bo Lind", "M-77": "Cy Marsh"})
    return folder


def test_somebody_who_is_not_in_the_crew_any_more(site: Path, capsys: Any) -> None:
    (site / "results").mkdir()
    (site / "results/bo_lind-1.json").write_text("{}", "utf-8")
    (site / "signoffs.csv").write_text("crew,lesson,machine,date,mentor\nP-01,bench-height,E-1,2026-03-01,Bo  LIND\n", "utf-8")
    status, out, err = said(capsys, site, "--forget", "P-77", "P-77")
    assert (status, err) == (0, "")
    assert out.startswith("P-77: its name is taken out; 2 rows stay, under the id alone\n")
    assert "these still hold a name that was taken out: results/bo_lind-1.json, signoffs.csv\n" in out
    assert "results/" in out and "signoffs.csv" in out and "copies kept elsewhere" in out
    with Register.open(site) as r:
        assert set(r.names()) == {"P-01", "M-77"} and r.verify().problem is None
    assert b"Bo Lind" not in (site / FILE).read_bytes()
    status, out, _ = said(capsys, site, "--forget", "P-77")
    assert status == 0 and out.startswith("P-77: it had no name here any more; 2 rows stay")
    assert "names taken out: P-77 (" in said(capsys, site)[1]


def test_somebody_who_still_works_here_keeps_the_name_and_nobody_of_the_same_line_loses_it(site: Path, capsys: Any) -> None:
    line = next(n for n, text in enumerate((site / "crew.csv").read_text("utf-8").splitlines(), 1) if text.startswith("P-01,"))
    status, out, err = said(capsys, site, "--forget", "P-77", "P-01")
    assert (status, out) == (2, "")
    assert (
        err
        == f"crew.csv:{line}: P-01 has no day in the column left, so the name stays in the register; fill in left first, or take the row out\n"
    )
    with Register.open(site) as r:
        assert r.names()["P-77"] == "Bo Lind"


def test_an_id_that_nobody_had(site: Path, capsys: Any) -> None:
    status, _, err = said(capsys, site, "--forget", "P-77", "P-78")
    assert status == 2 and err == f"SITE/{FILE}: it knows no P-78; give ids as the rows have them\n"
    with Register.open(site) as r:
        assert r.names()["P-77"] == "Bo Lind"


def test_who_left_and_who_signs_still(site: Path) -> None:
    from types import SimpleNamespace

    from generator.cli.register import _still_here

    today = datetime.date(2026, 5, 1)
    day = datetime.timedelta(1)

    def says(left: datetime.date | None, until: datetime.date | None) -> list[str]:
        crew = [SimpleNamespace(id="P-01", line=4, left=left)]
        mentors = (Mentor("M-1", "Cy Marsh", ("excavator",), None, until, 3),)
        site = SimpleNamespace(crew=crew, mentors=mentors, table=lambda file: file)
        return [*_still_here(site, "P-01", today), *_still_here(site, "M-1", today), *_still_here(site, "P-02", today)]

    assert says(today, today - day) == []  # left is the first day away, until the last day here
    assert [line.partition(", so")[0] for line in says(today + day, today)] == [
        "crew.csv:4: P-01 leaves on 2026-05-02", "mentors.csv:3: M-1 signs until 2026-05-01",
    ]  # fmt: skip
    assert "has no day in the column until" in says(today, None)[0]


def test_a_site_that_cannot_be_read_forgets_nobody(site: Path, capsys: Any) -> None:
    (site / "crew.csv").unlink()
    status, _, err = said(capsys, site, "--forget", "P-77")
    assert status == 2 and "crew.csv: the file is missing" in err
    with Register.open(site, write=True) as r:
        assert r.names()["P-77"] == "Bo Lind"
        assert r.take([result(5)], TAKEN) == [(4, True)]


def test_only_whole_exports_are_taken_for_some(tmp_path: Path) -> None:
    """A folder named like one, and what a killed run left half written under a hidden name, are none."""
    place = tmp_path / "exports"
    (place / "2026-01-02.csv").mkdir(parents=True)
    (place / ".2026-01-03.csv").write_text("half", "utf-8")
    (place / "2026-01-04.csv").write_text("whole", "utf-8")
    assert [p.name for p in kept(tmp_path)] == ["2026-01-04.csv"]
