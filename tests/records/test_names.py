"""The names beside the rows are those that the rows were written for. All invented."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from generator.cli.main import main
from generator.jobsite.reader import read
from generator.records.again import misnamed
from generator.records.desk import open_desk
from generator.records.roster import NAME_PRINT
from generator.register import schema
from generator.register.entry import Entry
from generator.register.store import FILE, Register
from tests.records.office import Office
from tests.records.small import small_site

P1, P2, P3 = (
    "P-01,Ines Holloway,loader,E-1 E-2,2026-03-02,,,",
    "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,",
    "P-03,Kofi Lindqvist,driver,T-1,2026-03-02,,,",
)
M1, M2 = "M-1,Mo Orozco,excavator,2026-01-01,", "M-2,Ed Grant,truck,2026-01-01,"
OTHER = "its name is not the one that its rows were written for"


@pytest.fixture
def office(tmp_path: Path) -> Office:
    out = Office(small_site(tmp_path / "site"))
    out.crew(P1, P2, P3)
    out.write("mentors.csv", M1, M2)
    out.result("a")
    out.take_in("2026-03-25")
    return out


def file(office: Office) -> Path:
    return office.site / FILE


def by_hand(office: Office, *statements: str) -> None:
    with closing(sqlite3.connect(file(office), isolation_level=None)) as db:
        for statement in statements:
            db.execute(statement)


SWAP = """UPDATE name SET name = CASE id WHEN 'P-01' THEN 'Tom Abernethy' ELSE 'Ines Holloway' END WHERE id IN ('P-01', 'P-02')"""


def snapshots(office: Office, id_: str) -> list[Entry]:
    with Register.open(office.site) as r:
        return [e for e in r.entries() if e.kind in {"person", "mentor"} and e.body["id"] == id_]


def prints(office: Office, id_: str) -> list[str]:
    return [e.body.get(NAME_PRINT, "") for e in snapshots(office, id_)]


def looked(office: Office) -> tuple[int, str]:
    with Register.open(office.site) as r:
        assert r.verify().problem is None
        fit, wrong = misnamed(r)
    return fit, wrong.what if wrong else ""


def test_each_person_and_mentor_has_a_salt_of_their_own_and_the_rows_a_print(office: Office) -> None:
    assert looked(office) == (5, "")
    with Register.open(office.site) as r:
        salts = r.salts()
    assert set(salts) == {"P-01", "P-02", "P-03", "M-1", "M-2"}
    assert len(set(salts.values())) == 5 and {len(s) for s in salts.values()} == {16}
    # the name without case, its words in order, after the salt
    assert prints(office, "P-01") == [hashlib.sha256(salts["P-01"] + b"holloway ines").hexdigest()[:24]]
    assert prints(office, "M-1") == [hashlib.sha256(salts["M-1"] + b"mo orozco").hexdigest()[:24]]


def test_the_salt_comes_from_where_nobody_can_guess_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    def given(n: int) -> bytes:
        asked.append(n)
        return bytes([len(asked)]) * n

    monkeypatch.setattr("generator.register.schema.secrets.token_bytes", given)
    with Register.open(tmp_path, create=True) as r:
        r.put_names({"P-01": "Ines Holloway"})
        assert r.loose_id("Somebody") == "~1"
        r.put_names({"P-01": "Ines Marsh"})
        assert r.salts() == {"P-01": b"\1" * 16} and set(asked) == {16}


def test_nothing_new_is_written_at_the_next_taking_in(office: Office) -> None:
    with Register.open(office.site) as r:
        head = r.head()
    office.take_in("2026-03-26")
    office.crew(P1.replace("Ines Holloway", "HOLLOWAY  Inés"), P2, P3)  # written otherwise, and the same name
    office.take_in("2026-03-27")
    with Register.open(office.site) as r:
        assert r.head() == head and r.names()["P-01"] == "HOLLOWAY  Inés"
    assert looked(office) == (5, "")


@pytest.mark.parametrize("in_the_table_too", [False, True])
def test_two_names_that_were_swapped(office: Office, in_the_table_too: bool, capsys: pytest.CaptureFixture[str]) -> None:
    by_hand(office, SWAP)
    if in_the_table_too:
        office.crew(P1.replace("Ines Holloway", "Tom Abernethy"), P2.replace("Tom Abernethy", "Ines Holloway"), P3)
    assert looked(office)[1] == f"P-01: {OTHER}"
    assert main(["register", str(office.site), "--verify"]) == 2
    err = capsys.readouterr().err
    assert err.startswith(f"{FILE}: P-01: {OTHER}; ") and err.count("\n") == 1


def test_no_taking_in_makes_a_swap_good(office: Office) -> None:
    """Nor a change of the row that is written after it."""
    by_hand(office, SWAP)
    office.crew(P1.replace("Ines Holloway", "Tom Abernethy").replace("E-1 E-2", "E-1"), P2.replace("Tom Abernethy", "Ines Holloway"))
    office.take_in("2026-04-01")
    assert len(snapshots(office, "P-01")) == 2 and len(set(prints(office, "P-01"))) == 1
    assert looked(office)[1] == f"P-01: {OTHER}"


def test_two_names_that_were_swapped_with_their_salts(office: Office) -> None:
    by_hand(office, *(f"UPDATE name SET id = '{new}' WHERE id = '{old}'" for old, new in (("P-01", "x"), ("P-02", "P-01"), ("x", "P-02"))))
    with Register.open(office.site) as r:
        assert r.names()["P-01"] == "Tom Abernethy" and "P-02" in r.salts()
    assert looked(office)[1] == f"P-01: {OTHER}"


def test_mentors_names_that_were_swapped(office: Office) -> None:
    by_hand(office, "UPDATE name SET name = CASE id WHEN 'M-1' THEN 'Ed Grant' ELSE 'Mo Orozco' END WHERE id LIKE 'M-%'")
    assert looked(office)[1] == f"M-1: {OTHER}"


@pytest.mark.parametrize(("statement", "says"), [
    ("UPDATE name SET salt = NULL", f"M-1: {OTHER}"), ("UPDATE name SET salt = zeroblob(16) WHERE id = 'P-02'", f"P-02: {OTHER}"),
    ("UPDATE name SET id = 'P-9' WHERE id = 'P-03'", "P-03: its name is gone, and nobody took it out"),
    ("DELETE FROM name", "M-1: its name is gone, and nobody took it out"),
    ("UPDATE name SET name = 'Ines Holloway', forgotten = '2026-03-26' WHERE id = 'P-02'", f"P-02: {OTHER}"),
])  # fmt: skip
def test_other_ways_around_it(office: Office, statement: str, says: str) -> None:
    by_hand(office, statement)
    assert looked(office)[1] == says


def test_a_name_that_is_taken_out_takes_its_salt_along(office: Office) -> None:
    with Register.open(office.site) as r:
        salt = r.salts()["P-01"]
    assert salt in file(office).read_bytes()
    printed = prints(office, "P-01")
    office.crew(P2, P3)
    office.take_in("2026-04-01")
    assert main(["register", str(office.site), "--forget", "P-01"]) == 0
    assert salt not in file(office).read_bytes() and b"Holloway" not in file(office).read_bytes()
    assert set(prints(office, "P-01")) == set(printed)
    assert looked(office) == (4, "")
    office.take_in("2026-04-02")
    assert looked(office) == (4, "")
    with Register.open(office.site) as r:
        assert set(r.salts()) == {"P-02", "P-03", "M-1", "M-2"}


def test_the_same_person_with_another_name(office: Office) -> None:
    with Register.open(office.site) as r:
        salts = r.salts()
    office.crew(P1.replace("Ines Holloway", "Ines Marsh"), P2, P3)
    office.take_in("2026-04-01")  # in doubt: the name beside the rows stays
    assert len(prints(office, "P-01")) == 1 and looked(office) == (5, "")
    office.write("corrections.csv", "P-01,same person,R. Calloway,married")
    office.take_in("2026-04-02")
    first, second = prints(office, "P-01")
    assert first != second and looked(office) == (5, "")
    with Register.open(office.site) as r:
        assert r.salts() == salts and r.names()["P-01"] == "Ines Marsh"
    changes = office.tally.changes
    assert [(c.id, c.words) for c in changes] == [("P-01", "another name")]
    office.take_in("2026-04-03")
    assert len(prints(office, "P-01")) == 2


def test_a_new_name_with_a_new_id_holds_for_the_old_id_too(office: Office) -> None:
    office.crew(P2, P3, "P-31,Ines Holloway,loader,E-2,2026-03-02,,P-01,")
    office.take_in("2026-04-01")
    assert looked(office) == (6, "")
    office.crew(P2, P3, "P-31,Ines Marsh,loader,E-2,2026-03-02,,P-01,")
    office.write("corrections.csv", "P-31,same person,R. Calloway,married")
    office.take_in("2026-04-02")
    with Register.open(office.site) as r:
        assert r.names()["P-01"] == r.names()["P-31"] == "Ines Marsh"
    assert looked(office) == (6, "")
    before = len(snapshots(office, "P-01"))
    office.take_in("2026-04-03")
    assert len(snapshots(office, "P-01")) == before


def test_one_of_the_crew_who_is_a_mentor_no_more_and_has_another_name(office: Office) -> None:
    office.write("mentors.csv", M1, "P-02,Tom Abernethy,excavator,2026-01-01,")
    office.take_in("2026-04-01")
    assert looked(office) == (5, "")
    office.write("mentors.csv", M1)
    office.crew(P1, P2.replace("Abernethy", "Birk"), P3)
    office.write("corrections.csv", "P-02,same person,R. Calloway,married")
    office.take_in("2026-04-02")
    assert looked(office) == (5, "")
    assert {e.kind: e.body.get("gone") for e in snapshots(office, "P-02")} == {"person": None, "mentor": True}


def test_another_person_under_an_id_does_not_change_its_print(office: Office) -> None:
    office.crew(P1.replace("Ines Holloway", "Anna Birk").replace("E-1 E-2", "E-1"), P2, P3)
    office.take_in("2026-04-01")
    assert len(set(prints(office, "P-01"))) == 1 and len(prints(office, "P-01")) == 2
    assert looked(office) == (5, "") and "P-01 was Ines Holloway" in office.flags["renamed"]


# --- registers that were begun before ---------------------------------------------------------


def begun_before(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    """The register as an older program wrote it: no prints in its rows, no salts beside them."""
    file(office).unlink()
    for path in (office.site / "register/exports").iterdir():
        path.unlink()
    with monkeypatch.context() as m:
        m.setattr("generator.register.store.Register.salts", lambda _: {})
        office.take_in("2026-03-25")
    with closing(sqlite3.connect(file(office), isolation_level=None)) as db:
        names = db.execute("SELECT id, name, folded, forgotten FROM name").fetchall()
        db.execute("DROP TABLE name")
        old = schema.expected(1)
        db.execute(old["table", "name"])
        db.execute(old["index", "name_folded"])
        db.executemany("INSERT INTO name VALUES (?, ?, ?, ?)", names)
        db.execute("PRAGMA user_version = 1")


def test_a_register_begun_before_is_read_as_it_is(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    begun_before(office, monkeypatch)
    before = file(office).read_bytes()
    assert prints(office, "P-01") == [""] and looked(office) == (0, "")
    assert main(["register", str(office.site), "--verify"]) == 0
    assert office.person("P-01", "2026-03-26").person.name == "Ines Holloway"
    assert file(office).read_bytes() == before


def test_a_register_begun_before_gets_its_prints_once(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    office.write("hours.csv", "P-01,E-2,2026-03-20,6,Some Mentor,loading,no")
    begun_before(office, monkeypatch)
    office.take_in("2026-04-01")
    assert prints(office, "P-01")[0] == "" and len(prints(office, "P-01")) == len(prints(office, "M-1")) == 2
    assert looked(office) == (5, "") and not office.tally.changes
    with Register.open(office.site) as r:
        head = r.head()
        assert "~1" in r.names() and "~1" not in r.salts()
    office.take_in("2026-04-02")
    with Register.open(office.site) as r:
        assert r.head() == head
    by_hand(office, SWAP)
    assert looked(office)[1] == f"P-01: {OTHER}"


def test_a_name_is_taken_out_of_a_register_begun_before(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    begun_before(office, monkeypatch)
    office.crew(P2, P3)
    assert main(["register", str(office.site), "--forget", "P-01"]) == 0
    assert b"Holloway" not in file(office).read_bytes()
    office.take_in("2026-04-01")
    assert looked(office) == (4, "")
    with open_desk(read(office.site), write=False) as desk:
        assert "P-01" not in desk.rows.names()


def test_a_file_that_only_says_it_is_an_older_one_does_not_hold(office: Office) -> None:
    by_hand(office, SWAP, "PRAGMA user_version = 1")
    with Register.open(office.site) as r:
        problem = r.verify().problem
    assert problem is not None and "the table name was changed" in problem.what
    names = "SELECT id, name, folded, forgotten FROM name"
    with closing(sqlite3.connect(file(office), isolation_level=None)) as db:
        kept = db.execute(names).fetchall()
        db.execute("DROP TABLE name")
        for what in (("table", "name"), ("index", "name_folded")):
            db.execute(schema.expected(1)[what])
        db.executemany("INSERT INTO name VALUES (?, ?, ?, ?)", kept)
    assert looked(office)[1] == f"M-1: {OTHER}"
    office.take_in("2026-04-01")  # with new salts, which fit no print
    assert looked(office)[1] == f"M-1: {OTHER}"
