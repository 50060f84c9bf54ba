"""What is taken in stands, once, in order, and is found again."""

from __future__ import annotations

import datetime
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from generator.register import export, schema
from generator.register.entry import KINDS, New
from generator.register.store import FILE, Register
from generator.register.verify import Walked
from generator.source.problem import Refusal
from tests.conftest import ROOT
from tests.register.rows import TAKEN, begun, result, six


def test_rows_are_taken_in_once_also_within_one_batch(tmp_path: Path) -> None:
    first, second = result(1), result(2)
    with Register.open(tmp_path, create=True) as r:
        assert r.head() == (0, "")
        assert r.take([first, second, first], TAKEN) == [(1, True), (2, True), (1, False)]
        assert r.take([result(3), second], TAKEN) == [(3, True), (2, False)]
        assert r.take([], TAKEN) == []
    with Register.open(tmp_path) as r:
        assert [e.n for e in r.entries()] == [1, 2, 3]


@pytest.mark.parametrize("count", [500, 501, 1203])
def test_a_batch_of_more_than_is_asked_for_in_one_question_comes_in_once_too(tmp_path: Path, count: int) -> None:
    """As the first taking-in of a site that handed in for years: the digests of 500 rows are asked for at once."""
    batch = [New("talk", "2026-01-01", {}, f"t{n}") for n in range(count)]
    with Register.open(tmp_path, create=True) as r:
        assert r.take(batch[::2], TAKEN) == [(n, True) for n in range(1, len(batch[::2]) + 1)]
        again = r.take(batch, TAKEN)
        assert [new for _, new in again] == [n % 2 == 1 for n in range(count)]
        assert r.head()[0] == count and len({n for n, _ in again}) == count
        last = r.row(count)
        assert last is not None and last.n == count and r.row(count + 1) is None


def test_the_same_identity_of_another_kind_is_another_thing(tmp_path: Path) -> None:
    with Register.open(tmp_path, create=True) as r:
        made = [New("talk", "2026-01-01", {}, "x"), New("hours", "2026-01-01", {}, "x")]
        assert r.take(made, TAKEN) == [(1, True), (2, True)]


def test_a_row_is_read_as_it_was_given(tmp_path: Path) -> None:
    begun(tmp_path)
    with Register.open(tmp_path) as r:
        e = r.row(1)
        given = result(1)
        assert e is not None
        assert (e.kind, e.day, e.at, e.crew, e.lesson, e.machine, e.edition, e.about, dict(e.body), e.where) == (
            given.kind, given.day, given.at, given.crew, given.lesson, given.machine, given.edition, None, given.body, given.where,
        )  # fmt: skip
        assert e.taken == "2026-05-01T12:00:00Z"
        assert r.head() == (6, r.row(6).chain)  # type: ignore[union-attr]
        assert r.row(6).about == 2  # type: ignore[union-attr]
        assert (
            r.row(0) is r.row(7) is r.row(-1) is r.row(2**63 - 1) is r.row(2**63) is r.row(2**70) is None
        )  # SQLite's own ends at 2**63 - 1


def test_an_instant_is_kept_in_utc(tmp_path: Path) -> None:
    there = datetime.timezone(datetime.timedelta(hours=-7))
    with Register.open(tmp_path, create=True) as r:
        r.take([result(1)], datetime.datetime(2026, 5, 1, 20, 0, tzinfo=there))
        assert r.row(1).taken == "2026-05-02T03:00:00Z"  # type: ignore[union-attr]
        with pytest.raises(ValueError, match="zone"):
            r.take([result(2)], datetime.datetime(2026, 5, 1, 20, 0))


def test_rows_are_found_by_what_they_are_about(tmp_path: Path) -> None:
    begun(tmp_path)
    with Register.open(tmp_path) as r:
        assert [e.n for e in r.entries(crew="P-01")] == [1, 3, 5]
        assert [e.n for e in r.entries(lesson="bench-height")] == [1, 2, 3]
        assert [e.n for e in r.entries(kind="result", crew="P-02", lesson="bench-height")] == [2]
        assert [e.n for e in r.entries(about=2)] == [6]
        assert list(r.entries(crew="")) == []
        assert r.counts() == {"result": 2, "sign-off": 1, "talk": 1, "hours": 1, "correction": 1}
        assert list(r.counts()) == [k for k in KINDS if k in r.counts()]
        assert r.days() == ("2026-03-10", "2026-03-15")


@pytest.mark.parametrize("about", [0, -1, 1, 2, 5, 2**70])  # 2 is its own row
def test_a_correction_of_no_row_is_refused_with_its_place_and_all_of_its_batch(tmp_path: Path, about: int) -> None:
    with Register.open(tmp_path, create=True) as r:
        new = [result(1), New("correction", "2026-01-01", {}, "c", about=about, where="corrections.csv:4")]
        if about == 1:
            assert r.take(new, TAKEN) == [(1, True), (2, True)]
            return
        with pytest.raises(Refusal) as e:
            r.take(new, TAKEN)
        assert str(e.value).startswith(f"corrections.csv:4: there is no row {about} in the register; ")
        assert r.head()[0] == 0


def test_what_no_file_can_hold_as_it_is_comes_in_all_the_same(tmp_path: Path) -> None:
    odd = New("result", "2026-01-01", {"half": "a\ud800b", "nul": "a\0b", "nan": float("nan"), "many": 10**40}, "a\udfff", crew="P\0")
    with Register.open(tmp_path, create=True) as r:
        assert r.take([odd, odd], TAKEN) == [(1, True), (1, False)]
        e = r.row(1)
        assert e is not None and e.crew == "P?"
        assert e.body == {"half": "a?b", "nul": "a?b", "nan": "nan", "many": 10**40}
        assert r.verify().problem is None
        with pytest.raises(TypeError):
            r.take([New("result", "2026-01-01", {"set": {1}}, "b")], TAKEN)
        assert r.head()[0] == 1


def test_one_transaction_for_all_that_is_written_in_a_block(tmp_path: Path) -> None:
    with Register.open(tmp_path, create=True) as r:
        with pytest.raises(KeyError), r.writing():
            r.take(six(), TAKEN)
            r.put_names({"P-01": "Ada Quist"})
            raise KeyError
        assert r.head() == (0, "") and r.names() == {}
        with r.writing():
            mentor = r.loose_id("Bo Lind")
            r.take([New("hours", "2026-01-01", {"mentor": mentor}, "h")], TAKEN)
        assert r.head()[0] == 1 and r.names() == {"~1": "Bo Lind"}


def test_reading_changes_nothing_and_may_not(tmp_path: Path) -> None:
    path = begun(tmp_path)
    before = path.read_bytes()
    with Register.open(tmp_path) as r:
        assert len(list(r.entries())) == 6 and r.verify().problem is None
    assert path.read_bytes() == before
    with pytest.raises(Refusal) as e, Register.open(tmp_path) as r:
        r.take([result(9)], TAKEN)
    assert e.value.problem.code == "not-writable"
    assert path.read_bytes() == before and [p.name for p in path.parent.iterdir()] == [path.name]


def test_it_is_read_while_another_takes_in(tmp_path: Path) -> None:
    begun(tmp_path)
    with Register.open(tmp_path, write=True) as one, one.writing():
        one.take([result(9)], TAKEN)
        assert (tmp_path / f"{FILE}-journal").exists()
        with Register.open(tmp_path) as other:
            assert other.head()[0] == 6  # as it was before
    with Register.open(tmp_path) as other:
        assert other.head()[0] == 7


def test_the_file_waits_for_the_disk(tmp_path: Path) -> None:
    begun(tmp_path)
    with Register.open(tmp_path, write=True) as r:
        ask = {name: r._db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("synchronous", "journal_mode", "secure_delete")}
    assert ask == {"synchronous": 3, "journal_mode": "delete", "secure_delete": 1}  # 3 is EXTRA


def test_beginning_one_twice_keeps_the_first(tmp_path: Path) -> None:
    begun(tmp_path)
    with Register.open(tmp_path, create=True) as r:
        assert r.head()[0] == 6
    assert [p.name for p in (tmp_path / FILE).parent.iterdir()] == [Path(FILE).name]


def test_whoever_begins_second_takes_the_first_ones_register(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make = schema.make

    def overtaken(connection: sqlite3.Connection) -> None:
        monkeypatch.setattr(schema, "make", make)
        make(connection)
        begun(tmp_path)  # somebody else, just before this one is put in its place

    monkeypatch.setattr(schema, "make", overtaken)
    with Register.open(tmp_path, create=True) as r:
        assert r.head()[0] == 6


# --- names --------------------------------------------------------------------------------


def test_names_stand_beside_and_can_be_changed(tmp_path: Path) -> None:
    begun(tmp_path)
    with Register.open(tmp_path, write=True) as r:
        chain = r.head()
        r.put_names({"P-01": "Ada Quist", "P-02": "Bo Lind"})
        r.put_names({"P-02": "Bo Lindqvist"})
        assert r.names() == {"P-01": "Ada Quist", "P-02": "Bo Lindqvist"}
        assert r.head() == chain and r.verify().problem is None


def test_a_loose_name_has_one_id_whatever_its_case_and_blanks(tmp_path: Path) -> None:
    with Register.open(tmp_path, create=True) as r:
        assert r.loose_id("Jo  Straße ") == "~1"
        assert r.loose_id("JO STRASSE") == r.loose_id("jo straße") == "~1"
        assert r.loose_id("Zoë") == r.loose_id("Zoe\u0308") == "~2"  # one letter, or a letter and its dots
        assert r.loose_id("Jo Strass") == "~3"
        assert r.names()["~1"] == "Jo Straße"
        r.forget(["~3"], TAKEN.date())
        assert r.loose_id("Jo Strass") == "~4"  # an id is never given anew


def test_a_name_that_was_taken_out_is_nowhere_in_the_file_and_stays_out(tmp_path: Path) -> None:
    new = [*six(), New("result", "2026-03-16", {}, "r9", crew="P-03", where="results/Ada_Quist-2.json")]
    path = begun(tmp_path, new)
    people = {f"Q-{n:03}": f"Someone Else{n:03}" for n in range(300)}
    with Register.open(tmp_path, write=True) as r:
        r.put_names({**people, "P-01": "Ada Quist", "P-02": "Bo Lind"})
        assert b"Ada Quist" in path.read_bytes() and b"Ada_Quist" in path.read_bytes()
        before = r.head()
        assert r.forget(["P-01", "P-09"], datetime.date(2026, 5, 2)) == {"P-01": "Ada Quist"}
        r.put_names({"P-01": "Ada Quist"})  # its row still stands in a table
        assert "P-01" not in r.names() and r.names()["P-02"] == "Bo Lind"
        assert r.forgotten() == {"P-01": "2026-05-02", "P-09": "2026-05-02"}
        assert {"P-01", "P-02", "P-03", "P-09", "Q-007"} <= r.known_ids()
        assert r.forget(["P-01"], datetime.date(2027, 1, 1)) == {} and r.forgotten()["P-01"] == "2026-05-02"
        assert r.head() == before and r.verify().problem is None
        assert [e.where for e in r.entries(crew="P-01")] == ["", "", ""]
        assert [e.where for e in r.entries(crew="P-03")] == [""]  # the file's name told hers
        assert [e.where for e in r.entries(crew="P-02", kind="result")] == ["results/2.json"]
    assert b"Ada" not in path.read_bytes() and b"Quist" not in path.read_bytes()


def test_what_another_program_left_of_a_name_goes_too(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("PRAGMA secure_delete = OFF")
        other.execute("INSERT INTO name (id, name) VALUES ('P-01', 'Ada Quist, and more of it')")
        other.execute("DELETE FROM name")
    assert b"Ada Quist" in path.read_bytes()
    with Register.open(tmp_path, write=True) as r:
        r.forget(["P-01"], TAKEN.date())
    assert b"Ada Quist" not in path.read_bytes() and b"and more of it" not in path.read_bytes()


# --- keeping ------------------------------------------------------------------------------


def test_a_copy_is_a_register(tmp_path: Path) -> None:
    begun(tmp_path / "a")
    with Register.open(tmp_path / "a") as r:
        head = r.head()
        r.copy(tmp_path / "b" / FILE)
        r.copy(tmp_path / "b" / FILE)  # in the place of the last
    with Register.open(tmp_path / "b") as r:
        assert r.head() == head and r.verify().problem is None
    assert [p.name for p in (tmp_path / "b" / FILE).parent.iterdir()] == [Path(FILE).name]


def test_a_copy_is_put_in_the_place_of_nothing_but_an_older_one(tmp_path: Path) -> None:
    path = begun(tmp_path / "a")
    other = tmp_path / "settings.yml"
    other.write_text("name: x\n" * 99, "utf-8")
    longer = begun(tmp_path / "b", [*six(), result(7)])
    another = begun(tmp_path / "c", [result(2)])
    cut = tmp_path / "cut.sqlite3"
    cut.write_bytes(path.read_bytes()[:5000])
    with Register.open(tmp_path / "a") as r:
        for place, says in ((path, "the register itself"), (other, "another file"), (longer, "holds row 7 otherwise"),
                            (another, "holds row 1 otherwise"), (cut, "cannot be read")):  # fmt: skip
            before = place.read_bytes()
            with pytest.raises(Refusal) as e:
                r.copy(place)
            assert says in str(e.value) and "\n" not in str(e.value) and place.read_bytes() == before
    with Register.open(tmp_path / "b") as r:
        r.copy(path)  # the same rows, and one more
        assert r.head()[0] == 7
    with Register.open(tmp_path / "a") as r:
        assert r.head()[0] == 7


@pytest.mark.parametrize("name", ["a b", "x?mode=memory", "50%20#1", "Übung", "a:b", "'; --"])
def test_a_folder_of_any_name(tmp_path: Path, name: str) -> None:
    path = begun(tmp_path / name)
    assert path.is_file() and [p.name for p in tmp_path.iterdir()] == [name]
    with Register.open(tmp_path / name) as r:
        assert r.verify().rows == 6


TAKES = """
import sys
from pathlib import Path
from generator.register.store import Register
from tests.register.rows import TAKEN, result
for at in range(0, 60, 12):
    with Register.open(Path(sys.argv[1]), create=True) as r:
        r.take([result(n) for n in range(at, at + 24)], TAKEN)
"""


def test_many_at_once_take_everything_in_once(tmp_path: Path) -> None:
    running = [
        subprocess.Popen([sys.executable, "-c", TAKES, str(tmp_path)], cwd=ROOT, stderr=subprocess.PIPE, text=True) for _ in range(4)
    ]
    assert [p.communicate()[1] for p in running] == [""] * 4
    with Register.open(tmp_path) as r:
        assert r.verify() == Walked(72, 0)
        assert sorted(e.body["score"][0] for e in r.entries()) == list(range(72))
    assert [p.name for p in (tmp_path / FILE).parent.iterdir()] == [Path(FILE).name]


def test_a_file_that_another_program_writes_its_own_way_is_taken_back(tmp_path: Path) -> None:
    """Its newest rows may then lie in a file beside, which counts until it is folded in."""
    path = begun(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        assert other.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
        other.execute("INSERT INTO name (id, name) VALUES ('Q', ?)", ("x" * 20_000,))
        with Register.open(tmp_path) as r:
            assert r.verify() == Walked(6, 0) and set(r.names()) == {"Q"}
    with Register.open(tmp_path, write=True) as r:
        assert r.take([result(9)], TAKEN) == [(7, True)] and set(r.names()) == {"Q"}
    assert path.read_bytes()[18:20] == b"\1\1"  # the header's words for a rollback journal: SQLite, Database File Format (from memory)
    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_others_know_whose_file_it_is(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA application_id").fetchone()[0].to_bytes(4, "big") == b"SEAT"
        assert db.execute("PRAGMA user_version").fetchone() == (2,)


def test_forgetting_leaves_no_room_in_the_file_and_may_be_part_of_more_that_is_written(tmp_path: Path) -> None:
    path = begun(tmp_path)
    people = {f"Q-{n:03}": f"Someone Else{n:03} " + "x" * 200 for n in range(300)}
    with Register.open(tmp_path, write=True) as r:
        r.put_names({**people, "P-01": "Ada Quist"})
        size = path.stat().st_size
        with r.writing():  # a file cannot be written anew amid what may yet be taken back
            assert r.forget(["P-01"], TAKEN.date()) == {"P-01": "Ada Quist"}
        assert len(r.forget(people, TAKEN.date())) == 300
        assert path.stat().st_size < size - 40_000


def test_only_the_tables_among_what_lies_beside_the_register_are_exports(tmp_path: Path) -> None:
    folder = tmp_path / export.FOLDER
    (folder / "2026-01-06.csv").mkdir(parents=True)
    for name in ("2026-01-05.csv", ".2026-01-04.csv.swp", ".2026-01-04.csv", "notes.txt", "2026-01-04.csv"):
        (folder / name).write_text("x", "utf-8")
    assert [p.name for p in export.kept(tmp_path)] == ["2026-01-04.csv", "2026-01-05.csv"]


@pytest.mark.parametrize("head", ["row,kind", "kind,chain", "kind,day", ""])
def test_a_table_beside_the_register_without_its_columns_is_told(tmp_path: Path, head: str) -> None:
    path = tmp_path / "2026-01-05.csv"
    path.write_text(f"{head}\n1,2\n", "utf-8")
    with pytest.raises(Refusal, match="no columns row and chain"):
        list(export.chains(path))
