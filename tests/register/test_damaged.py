"""A register that is cut off, empty, another file, locked or not to be written: one line each, and it is left as it is."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from generator.register import faults, opening, schema
from generator.register.store import FILE, Register
from generator.source.problem import Refusal
from tests.conftest import ROOT
from tests.register.killed import batch
from tests.register.rows import TAKEN, begun, by_hand, result


def refused(folder: Path, *, write: bool = False, create: bool = False) -> Refusal:
    with pytest.raises(Refusal) as e, Register.open(folder, write=write, create=create) as r:
        list(r.entries())
        walked = r.verify()
        if walked.problem is not None:
            raise faults.fault(walked.problem.code, walked.problem.what, walked.problem.fix, r.path)
        r.take([result(99)], TAKEN)
    told = str(e.value)
    assert told.startswith(f"{folder / FILE}: ") and "\n" not in told and "; " in told, told
    return e.value


WAYS = [{}, {"write": True}, {"create": True}]


def test_no_register(tmp_path: Path) -> None:
    for way in WAYS[:2]:
        e = refused(tmp_path, **way)
        assert e.problem.code == "none" and "run seatwork tally" in e.fix
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("way", WAYS, ids=str)
@pytest.mark.parametrize("keep", [1, 15, 16, 50, 99, 100, 101, 511, 512, 4095, 4096, 4097, "half", "a page less", "a byte less"])
def test_a_file_that_was_cut_off(tmp_path: Path, keep: int | str, way: dict[str, bool]) -> None:
    path = begun(tmp_path, [*batch(1, 0), *batch(1, 1)])
    whole = path.read_bytes()
    size = {"half": len(whole) // 2, "a page less": len(whole) - 4096, "a byte less": len(whole) - 1}.get(str(keep), keep)
    assert isinstance(size, int) and 0 < size < len(whole)
    path.write_bytes(whole[:size])
    e = refused(tmp_path, **way)
    assert e.problem.code == "damaged" and "put back the last copy" in e.fix
    assert path.read_bytes() == whole[:size] and [p.name for p in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize("way", WAYS, ids=str)
@pytest.mark.parametrize("at", [0, 20, 100, 4096, -4096, -100])
def test_a_file_with_a_part_overwritten(tmp_path: Path, at: int, way: dict[str, bool]) -> None:
    path = begun(tmp_path, [*batch(1, 0), *batch(1, 1)])
    whole = bytearray(path.read_bytes())
    at %= len(whole)
    whole[at : at + 64] = b"\x7f" * 64
    path.write_bytes(whole)
    assert refused(tmp_path, **way).problem.code in {"damaged", "row"}
    assert path.read_bytes() == bytes(whole)


def test_every_page_overwritten_in_turn(tmp_path: Path) -> None:
    path = begun(tmp_path, [*batch(1, 0), *batch(1, 1)])
    whole = path.read_bytes()
    for page in range(0, len(whole), 4096):
        path.write_bytes(whole[:page] + bytes(4096) + whole[page + 4096 :])
        refused(tmp_path)
        path.write_bytes(whole[:page] + b"\xff" * 4096 + whole[page + 4096 :])
        refused(tmp_path)
    path.write_bytes(whole)
    with Register.open(tmp_path) as r:
        assert r.verify().problem is None


def empty(path: Path) -> None:
    path.write_bytes(b"")


def text(path: Path) -> None:
    path.write_text("row,kind,day\n" * 600, "utf-8")


def folder(path: Path) -> None:
    (path / "inner").mkdir(parents=True)


def other_database(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE entry (n INTEGER)")
        db.commit()


def smallest(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA page_size = 512")
        db.execute("PRAGMA application_id = 7")
    assert path.stat().st_size == 512


def newer(path: Path) -> None:
    begun(path.parent.parent)
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA user_version = 3")


def no_table(path: Path) -> None:
    begun(path.parent.parent)
    with closing(sqlite3.connect(path)) as db:
        db.execute("DROP TABLE name")


def not_text(path: Path) -> None:
    begun(path.parent.parent)
    with by_hand(path) as db:
        db.execute("UPDATE entry SET crew = CAST(x'ff' AS TEXT) WHERE n = 2")


def no_json(path: Path) -> None:
    begun(path.parent.parent)
    with by_hand(path) as db:
        db.execute("UPDATE entry SET body = '[' WHERE n = 2")


def outside(path: Path) -> None:
    begun(path.parent.parent.parent / "elsewhere")
    path.symlink_to(path.parent.parent.parent / "elsewhere" / FILE)


def circle(path: Path) -> None:
    path.symlink_to(path)


@pytest.mark.parametrize("way", WAYS, ids=str)
@pytest.mark.parametrize(("put", "code", "says"), [
    (empty, "damaged", "it is empty or cut off; keep it"), (text, "damaged", "damaged or cut off"), (folder, "damaged", "it is a folder and no register"),
    (other_database, "foreign", "a database of another program"),
    (smallest, "foreign", "a database of another program"), (newer, "newer", "a newer Seatwork"), (no_table, "damaged", "table name is missing"),
    (not_text, "damaged", "damaged"), (no_json, "damaged", "row 2 is not as it was written"), (outside, "link", "leads out"),
    (circle, "not-writable", "cannot be opened"),
])  # fmt: skip
def test_something_else_in_its_place(tmp_path: Path, put: Callable[[Path], None], code: str, says: str, way: dict[str, bool]) -> None:
    site = tmp_path / "site"
    path = site / FILE
    path.parent.mkdir(parents=True)
    put(path)
    before = path.read_bytes() if path.is_file() else None
    e = refused(site, **way)
    assert e.problem.code == code and says in str(e), e
    assert (path.read_bytes() if path.is_file() else None) == before


def test_what_the_system_says_of_it_is_told(tmp_path: Path) -> None:
    for way in WAYS:
        e = refused(tmp_path / ("s" * 300), **way)
        assert e.problem.code == "not-writable" and "it cannot be opened (File name too long)" in str(e)


def test_the_folder_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "register").write_text("x", "utf-8")
    assert refused(tmp_path).problem.code == "none"
    assert refused(tmp_path, create=True).problem.code == "not-writable"


def test_a_copy_put_back_goes_on(tmp_path: Path) -> None:
    """As the lines say: the broken one and its journal away, the copy in its place, and what lies there taken in again."""
    path = begun(tmp_path, batch(1, 0))
    with Register.open(tmp_path) as r:
        r.copy(tmp_path / "kept.sqlite3")
    with Register.open(tmp_path, write=True) as r:
        r.take(batch(1, 1), TAKEN)
        head = r.head()
    path.write_bytes(path.read_bytes()[:5000])
    refused(tmp_path, write=True)
    path.rename(tmp_path / "broken.sqlite3")
    shutil.copy(tmp_path / "kept.sqlite3", path)
    with Register.open(tmp_path, write=True) as r:
        r.take([*batch(1, 0), *batch(1, 1)], TAKEN)
        assert r.head() == head and r.verify().problem is None


HOLD = "import sqlite3, sys; db = sqlite3.connect(sys.argv[1], isolation_level=None); db.execute(sys.argv[2]); print('held', flush=True); input()"


def test_another_program_holds_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "BUSY_SECONDS", 0.05)
    path = begun(tmp_path)
    for how, ways in (("BEGIN EXCLUSIVE", WAYS), ("BEGIN IMMEDIATE", WAYS[1:])):
        with subprocess.Popen([sys.executable, "-c", HOLD, str(path), how], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
            assert other.stdin and other.stdout and other.stdout.readline()
            for way in ways:
                e = refused(tmp_path, **way)
                assert e.problem.code == "locked" and "network share" in e.what
            other.stdin.close()
    with Register.open(tmp_path, write=True) as r:
        assert r.verify().problem is None and r.take([result(9)], TAKEN) == [(7, True)]


def test_a_full_disk_takes_in_nothing_of_it(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with pytest.raises(Refusal) as e, Register.open(tmp_path, write=True) as r:
        r._db.execute(f"PRAGMA max_page_count = {path.stat().st_size // 4096 + 2}")
        r.take(batch(1, 0), TAKEN)
    assert e.value.problem.code == "full"
    with Register.open(tmp_path) as r:
        assert r.head()[0] == 6 and r.verify().problem is None


NO_RIGHTS = """
import os, sys
from pathlib import Path
from generator.register.store import Register
from generator.source.problem import Refusal
from tests.register.rows import TAKEN, result
if os.geteuid() == 0:  # who may write everywhere
    os.setegid(65534)
    os.seteuid(65534)
folder = Path(sys.argv[1])
for way in ({}, {"write": True}, {"create": True}):
    try:
        with Register.open(folder, **way) as r:
            print("rows", len(list(r.entries())), r.verify().problem)
            if way:
                r.take([result(99)], TAKEN)
    except Refusal as e:
        print(e.problem.code, str(e).count(chr(10)))
"""


@pytest.mark.parametrize(("rights", "undone", "says"), [
    ({"folder": 0o555, "file": 0o444}, False, ["rows 6 None", "not-writable 0", "not-writable 0"]),
    ({"folder": 0o555, "file": 0o666}, False, ["rows 6 None", "not-writable 0", "not-writable 0"]),
    ({"folder": 0o777, "file": 0o444}, False, ["rows 6 None", "not-writable 0", "not-writable 0"]),
    ({"folder": 0o777, "file": 0o000}, False, ["not-writable 0"] * 3),
    ({"folder": 0o000, "file": 0o666}, False, ["not-writable 0"] * 3),
    ({"folder": 0o555, "file": 0o444}, True, ["not-writable 0"] * 3),
])  # fmt: skip
def test_without_the_rights(rights: dict[str, int], undone: bool, says: list[str]) -> None:
    with tempfile.TemporaryDirectory() as place:  # where others may go, too
        folder = Path(place)
        folder.chmod(0o755)
        path = begun(folder)
        if undone:
            half_written(path)
        before = path.read_bytes()
        path.chmod(rights["file"])
        path.parent.chmod(rights["folder"])
        try:
            done = subprocess.run([sys.executable, "-c", NO_RIGHTS, place], cwd=ROOT, capture_output=True, text=True, check=False)
        finally:
            path.parent.chmod(0o755)
            path.chmod(0o644)
        assert done.stdout.splitlines() == says, done.stdout + done.stderr[-2000:]
        assert path.read_bytes() == before
        with Register.open(folder) as r:
            assert r.verify().rows == 6


def half_written(path: Path) -> None:
    """The file and its journal as they lie there in the middle of a taking-in."""
    folder = path.parent.parent
    with Register.open(folder, write=True) as r, pytest.raises(KeyError), r.writing():
        r._db.execute("PRAGMA cache_size = 1")
        r.take(batch(1, 0), TAKEN)
        aside = [(p, p.read_bytes()) for p in (path, path.with_name(f"{path.name}-journal"))]
        raise KeyError
    for place, content in aside:
        place.write_bytes(content)


def test_what_was_half_written_is_undone_by_whoever_reads_first(tmp_path: Path) -> None:
    path = begun(tmp_path)
    before = path.read_bytes()
    half_written(path)
    assert path.read_bytes() != before
    with Register.open(tmp_path) as r:
        assert r.head()[0] == 6 and r.verify().problem is None
    assert [p.name for p in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize(("number", "code"), [
    (5, "locked"), (5 | 1 << 8, "locked"), (10 | 15 << 8, "disk"), (8 | 1 << 8, "not-writable"), (11 | 1 << 8, "damaged"), (14, "not-writable"),
    (26, "damaged"), (13, "full"), (10, "disk"), (15, "locked"),
])  # fmt: skip
def test_each_answer_of_the_database_is_a_line(number: int, code: str) -> None:
    """The numbers are those of SQLite's documentation, Result and Error Codes (from memory)."""
    e = sqlite3.OperationalError("x")
    e.sqlite_errorcode = number
    told = faults.told(e, Path("r"))
    assert told.problem.code == code and str(told).startswith("r: ") and "\n" not in str(told)


@pytest.mark.parametrize(
    ("kind", "says"),
    [(sqlite3.OperationalError, "no such table: name"), (sqlite3.OperationalError, "no such column: salt"),
     (sqlite3.OperationalError, "Could not decode to UTF-8 column 'crew'"), (sqlite3.DatabaseError, "could not decode byte 0xff")],
)  # fmt: skip
@pytest.mark.parametrize("number", [1, None])
def test_what_lacks_a_part_or_holds_no_text_is_damaged(kind: type[sqlite3.Error], says: str, number: int | None) -> None:
    """A plain error, which is 1 to SQLite, or one that Python raises itself and gives no number."""
    e = kind(says)
    if number is not None:
        e.sqlite_errorcode = number
    assert faults.told(e, Path("r")).problem.code == "damaged"


def test_a_fault_of_the_program_is_none_of_the_users(tmp_path: Path) -> None:
    begun(tmp_path)
    with pytest.raises(sqlite3.OperationalError, match="syntax"), Register.open(tmp_path) as r:
        r._db.execute("SELEKT 1")
    with pytest.raises(sqlite3.IntegrityError), Register.open(tmp_path, write=True) as r:
        r._db.execute("DELETE FROM entry")


@pytest.mark.parametrize("layout", [1, 2])
def test_a_register_of_the_first_layout_is_made_one_of_today_once_it_is_written_in(tmp_path: Path, layout: int) -> None:
    path = begun(tmp_path)
    if layout == 1:
        with closing(sqlite3.connect(path, isolation_level=None)) as db:
            db.execute("DROP TABLE name")
            for what in (("table", "name"), ("index", "name_folded")):
                db.execute(schema.expected(1)[what])
            db.execute("INSERT INTO name (id, name) VALUES ('P-01', 'Ada Quist'), ('~1', 'Jo')")
            db.execute("PRAGMA user_version = 1")
    with Register.open(tmp_path) as r:  # to read in it changes nothing
        assert r.names() == ({"P-01": "Ada Quist", "~1": "Jo"} if layout == 1 else {})
    for _ in range(2):
        with Register.open(tmp_path, write=True) as r:
            salts = r.salts()
            assert set(salts) == ({"P-01"} if layout == 1 else set())
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (schema.LAYOUT,) and schema.found(db) == schema.expected()


def test_where_python_can_set_it_no_statement_may_write_into_what_sqlite_keeps_of_the_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite, SQLITE_DBCONFIG_DEFENSIVE is 1010 (from memory); Python has the call from 3.12 on, and is given one here."""
    asked = []

    class Later(sqlite3.Connection):
        def setconfig(self, op: int, enable: bool = True) -> None:
            asked.append((op, enable))

    plain = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", lambda *args, **more: plain(*args, **more, factory=Later))
    begun(tmp_path)
    assert set(asked) == {(1010, True)}


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("PERM", "not-writable"), ("BUSY", "locked"), ("LOCKED", "locked"), ("READONLY", "not-writable"), ("IOERR", "disk"), ("CORRUPT", "damaged"),
        ("FULL", "full"), ("CANTOPEN", "not-writable"), ("PROTOCOL", "locked"), ("NOLFS", "disk"), ("AUTH", "not-writable"), ("NOTADB", "damaged"),
    ],
)  # fmt: skip
def test_an_answer_is_known_by_its_name(name: str, code: str) -> None:
    """Each result code by the number that Python's own module has for SQLite's name of it."""
    e = sqlite3.DatabaseError("x")
    e.sqlite_errorcode = getattr(sqlite3, f"SQLITE_{name}")
    assert faults.told(e, Path("r")).problem.code == code
