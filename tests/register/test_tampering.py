"""Each way to change what was taken in is refused, or found by --verify as the first row that does not hold."""

from __future__ import annotations

import csv
import datetime
import hashlib
import io
import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from generator.register.chain import link
from generator.register.schema import STATEMENTS
from generator.register.store import Register
from generator.register.verify import Walked
from generator.source.problem import Problem, Refusal
from tests.register.rows import TAKEN, begun, by_hand, result, six

DAY = datetime.date(2026, 5, 2)


def verified(folder: Path) -> Walked:
    with Register.open(folder) as r:
        return r.verify()


def chained_again(db: sqlite3.Connection) -> None:
    """What somebody does who knows how it is hashed: every row's chain anew, the head too."""
    before = ""
    for *columns, _ in db.execute("SELECT * FROM entry ORDER BY n").fetchall():
        columns[10] = json.loads(columns[10])
        text = json.dumps([before, *columns], ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        before = hashlib.sha256(text.encode()).hexdigest()
        db.execute("UPDATE entry SET chain = ? WHERE n = ?", (before, columns[0]))
    db.execute("UPDATE head SET n = (SELECT max(n) FROM entry), chain = ?", (before,))


# --- what the file refuses by itself, whoever asks ------------------------------------------

COLUMNS = "n, kind, day, at, taken, crew, lesson, machine, edition, about, body, digest, chain"
OTHER = "'result', '2026-01-01', '', '', 'P-09', '', '', '', NULL, '{}', "
NEW_DIGEST, CHAIN = f"'{'d' * 64}'", f"'{'c' * 64}'"
OLD = "(SELECT digest FROM entry WHERE n = 3)"


@pytest.mark.parametrize("recursive", ["OFF", "ON"])
@pytest.mark.parametrize("statement", [
    "UPDATE entry SET body = '{}' WHERE n = 3",
    "UPDATE OR REPLACE entry SET n = 2 WHERE n = 3",
    "UPDATE OR IGNORE entry SET crew = 'P-09'",
    "UPDATE OR ROLLBACK entry SET crew = 'P-09'",
    "UPDATE entry SET rowid = 9 WHERE n = 6",
    "DELETE FROM entry WHERE n = 6",
    "DELETE FROM entry",
    f"INSERT INTO entry ({COLUMNS}) VALUES (8, {OTHER}{NEW_DIGEST}, {CHAIN})",
    f"INSERT INTO entry ({COLUMNS}) VALUES (0, {OTHER}{NEW_DIGEST}, {CHAIN})",
    f"INSERT INTO entry ({COLUMNS}) VALUES (NULL, {OTHER}{NEW_DIGEST}, {CHAIN})",
    f"INSERT OR REPLACE INTO entry ({COLUMNS}) VALUES (3, {OTHER}{NEW_DIGEST}, {CHAIN})",
    f"REPLACE INTO entry ({COLUMNS}) VALUES (6, {OTHER}{NEW_DIGEST}, {CHAIN})",
    f"INSERT OR REPLACE INTO entry ({COLUMNS}) VALUES (7, {OTHER}{OLD}, {CHAIN})",
    f"REPLACE INTO entry ({COLUMNS}) VALUES (7, {OTHER}{OLD}, {CHAIN})",
    f"INSERT OR IGNORE INTO entry ({COLUMNS}) VALUES (3, {OTHER}{NEW_DIGEST}, {CHAIN})",
    f"INSERT INTO entry ({COLUMNS}) VALUES (3, {OTHER}{NEW_DIGEST}, {CHAIN}) ON CONFLICT (n) DO UPDATE SET crew = 'P-09'",
    f"INSERT INTO entry ({COLUMNS}) VALUES (7, {OTHER}{OLD}, {CHAIN}) ON CONFLICT (digest) DO UPDATE SET crew = 'P-09'",
    "UPDATE head SET n = 5",
    "UPDATE head SET chain = 'x'",
    "DELETE FROM head",
    "INSERT OR REPLACE INTO head (one, n, chain) VALUES (1, 5, '')",
    "REPLACE INTO head (one, n, chain) VALUES (1, 5, '')",
])  # fmt: skip
def test_another_program_is_refused(tmp_path: Path, statement: str, recursive: str) -> None:
    path = begun(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(f"PRAGMA recursive_triggers = {recursive}")
        before = list(db.iterdump())
        with pytest.raises(sqlite3.IntegrityError, match="the register"):
            db.execute(statement)
        assert list(db.iterdump()) == before
    assert verified(tmp_path) == Walked(6, 0)


def test_a_row_added_by_hand_is_found(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(f"INSERT INTO entry ({COLUMNS}) VALUES (7, {OTHER}{NEW_DIGEST}, {CHAIN})")
    walked = verified(tmp_path)
    assert (walked.rows, walked.row) == (6, 7) and "row 7 does not hold" in str(walked.problem)


# --- what is done with the triggers taken out and put back ------------------------------------


def body(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entry SET body = replace(body, '6.5', '9.5') WHERE n = 4")


def blanks(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entry SET body = replace(body, ':', ': ') WHERE n = 4")


def two_parts(db: sqlite3.Connection) -> None:
    """Part of the next column as text in the body, so that the whole text would be the same."""
    db.execute("UPDATE entry SET body = body || ',1' WHERE n = 4")


def day(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entry SET day = '2026-03-12' WHERE n = 4")


def whose(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entry SET crew = 'P-01' WHERE n = 4")


def about(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entry SET about = 1 WHERE n = 6")


def its_digest(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entry SET digest = ? WHERE n = 4", ("0" * 64,))


def its_chain(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entry SET chain = upper(chain) WHERE n = 4")


def middle(db: sqlite3.Connection) -> None:
    db.execute("DELETE FROM entry WHERE n = 4")


def middle_closed_up(db: sqlite3.Connection) -> None:
    db.execute("DELETE FROM entry WHERE n = 4")
    db.execute("UPDATE entry SET n = 4 WHERE n = 5")
    db.execute("UPDATE entry SET n = 5, about = 2 WHERE n = 6")


def swapped(db: sqlite3.Connection) -> None:
    for old, new in ((4, 99), (5, 4), (99, 5)):
        db.execute("UPDATE entry SET n = ? WHERE n = ?", (new, old))


def first(db: sqlite3.Connection) -> None:
    db.execute("DELETE FROM entry WHERE n = 1")


def last(db: sqlite3.Connection) -> None:
    db.execute("DELETE FROM entry WHERE n = 6")


def last_two(db: sqlite3.Connection) -> None:
    db.execute("DELETE FROM entry WHERE n > 4")


def everything(db: sqlite3.Connection) -> None:
    db.execute("DELETE FROM entry")


def headless(db: sqlite3.Connection) -> None:
    db.execute("DELETE FROM head")


def other_head(db: sqlite3.Connection) -> None:
    db.execute("UPDATE head SET chain = ?", ("0" * 64,))


@pytest.mark.parametrize(("change", "row", "says"), [
    (body, 4, "row 4 does not hold"), (blanks, 4, "row 4 does not hold"), (two_parts, 4, "row 4 does not hold"),
    (day, 4, "row 4 does not hold"), (whose, 4, "row 4 does not hold"),
    (about, 6, "row 6 does not hold"), (its_digest, 4, "row 4 does not hold"), (its_chain, 4, "row 4 does not hold"),
    (middle, 4, "row 4 is gone: after row 3 comes row 5"), (middle_closed_up, 4, "row 4 does not hold"), (swapped, 4, "row 4 does not hold"),
    (first, 1, "row 1 is gone"), (last, 6, "row 6 is gone: 6 rows were taken in, and 5 are there"), (last_two, 5, "row 5 is gone"),
    (everything, 1, "row 1 is gone"), (headless, None, "the head"), (other_head, 6, "row 6 does not hold"),
])  # fmt: skip
def test_a_change_with_the_triggers_out_of_the_way_is_found(
    tmp_path: Path, change: Callable[[sqlite3.Connection], None], row: int | None, says: str
) -> None:
    path = begun(tmp_path)
    with by_hand(path) as db:
        change(db)
    walked = verified(tmp_path)
    assert walked.row == row and says in str(walked.problem), walked
    assert walked.exports == 0, "the rows come first, and no export was looked at"
    assert str(walked.problem).startswith(f"{path}: ") and "\n" not in str(walked.problem)


@pytest.mark.parametrize("text", ['{"hours": 9.5}', '{"hours":9.5,"a":1}', '{"a":1,"a":2}', '{"a":"\\u00fc"}', "[", "{}{}", '{"a":1},2'])
def test_a_body_that_this_program_never_writes_is_found_though_its_chain_fits(tmp_path: Path, text: str) -> None:
    """Two readers might take it for two things."""
    path = begun(tmp_path, six()[:4])
    with by_hand(path) as db:
        db.execute("UPDATE entry SET body = ? WHERE n = 4", (text,))
        ((before,),) = db.execute("SELECT chain FROM entry WHERE n = 3").fetchall()
        columns = db.execute("SELECT * FROM entry WHERE n = 4").fetchone()[:-1]
        chain = link(before, columns)
        db.execute("UPDATE entry SET chain = ? WHERE n = 4", (chain,))
        db.execute("UPDATE head SET chain = ?", (chain,))
    walked = verified(tmp_path)
    assert walked.row == 4 and "not as this program writes it" in str(walked.problem)


def test_hands_off_holds(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with by_hand(path) as db:
        chained_again(db)  # gives what stood there: the test knows the chain as well as the program
    assert verified(tmp_path) == Walked(6, 0)


@pytest.mark.parametrize("name", [s.split()[2] for s in STATEMENTS if "TRIGGER" in s or "INDEX" in s])
def test_a_trigger_or_index_that_is_gone_or_another_is_found_and_nothing_more_is_taken_in(tmp_path: Path, name: str) -> None:
    path = begun(tmp_path)
    statement = next(s for s in STATEMENTS if s.split()[2] == name)
    sort = statement.split()[1]
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(f"DROP {sort} {name}")
    walked = verified(tmp_path)
    assert f"{sort.lower()} {name} is missing" in str(walked.problem) and (walked.rows, walked.exports) == (0, 0), "no row was looked at"
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(statement.replace("BEGIN SELECT", "WHEN 0 BEGIN SELECT", 1) if name in {"entry_stays", "entry_kept", "head_kept"}
                   else f"CREATE {sort} {name}" + (" AFTER DELETE ON head BEGIN SELECT 1; END" if sort == "TRIGGER" else " ON entry (at)"))  # fmt: skip
    assert f"{sort.lower()} {name} was changed" in str(verified(tmp_path).problem)
    with pytest.raises(Refusal) as e, Register.open(tmp_path, write=True):
        raise AssertionError
    assert e.value.problem.code == "layout"


def test_something_added_to_the_file_is_found(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("CREATE TRIGGER quiet AFTER INSERT ON entry BEGIN DELETE FROM place; END")
    assert "the trigger quiet is not of this program" in str(verified(tmp_path).problem)


def test_statistics_that_sqlite_keeps_are_no_change(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("ANALYZE")
    assert verified(tmp_path) == Walked(6, 0)
    with Register.open(tmp_path, write=True) as r:
        assert r.take([result(7)], TAKEN) == [(7, True)]


def test_an_index_that_lies_is_found(tmp_path: Path) -> None:
    """A row in the table and not in its index is not found by a question, though its chain holds."""
    path = begun(tmp_path)
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA writable_schema = ON")
        roots = dict(db.execute("SELECT name, rootpage FROM sqlite_master"))
        for name, other in (("entry_crew", "entry_lesson"), ("entry_lesson", "entry_crew")):
            db.execute("UPDATE sqlite_master SET rootpage = ? WHERE name = ?", (roots[other], name))
    problem = verified(tmp_path).problem
    assert problem is not None and problem.code == "damaged"


# --- what only a kept export finds ------------------------------------------------------------


@pytest.mark.parametrize(("change", "says"), [
    (body, "row 4 does not hold: the export 2026-05-02.csv holds it otherwise, line 5"),
    (last, "row 6 is gone: the export 2026-05-02.csv holds it, line 7"),
])  # fmt: skip
def test_a_register_that_was_rewritten_whole_is_found_by_a_kept_export(
    tmp_path: Path, change: Callable[[sqlite3.Connection], None], says: str
) -> None:
    path = begun(tmp_path)
    with Register.open(tmp_path) as r:
        r.export(DAY)
    with Register.open(tmp_path, write=True) as r:
        r.take([result(7)], TAKEN)
        r.export(DAY + datetime.timedelta(1))
    assert verified(tmp_path) == Walked(7, 2)
    with by_hand(path) as db:
        if change is last:
            db.execute("DELETE FROM entry WHERE n = 7")
        change(db)
        chained_again(db)
    walked = verified(tmp_path)
    assert says in str(walked.problem) and walked.exports == 0
    (tmp_path / "register/exports/2026-05-02.csv").unlink()
    (tmp_path / "register/exports/2026-05-03.csv").unlink()
    assert verified(tmp_path).problem is None  # without one there is nothing to find it by, and the README says so


def test_a_clock_that_was_set_back_is_told(tmp_path: Path) -> None:
    begun(tmp_path)
    assert verified(tmp_path).back is None
    with Register.open(tmp_path, write=True) as opened:
        opened.take([result(7)], TAKEN)
        opened.take([result(8)], TAKEN - datetime.timedelta(days=11))  # as if it had come in before the accident
        opened.take([result(9)], TAKEN)
    walked = verified(tmp_path)
    assert walked.problem is None and walked.rows == 9 and walked.back == 8


def test_other_looks_are_asked_last(tmp_path: Path) -> None:
    path = begun(tmp_path)
    wrong = Problem.of("editions/2026-1.json", None, "it is another one than row 3 knows", "put it back")
    asked: list[str] = []

    def good() -> None:
        asked.append("good")

    with Register.open(tmp_path) as r:
        assert r.verify([good]) == Walked(6, 0)
        assert r.verify([good, lambda: wrong]) == Walked(6, 0, wrong)
        assert asked == ["good", "good"]
    with by_hand(path) as db:
        body(db)
    with Register.open(tmp_path) as r:
        assert r.verify([good]).row == 4 and asked == ["good", "good"]


# --- exports ------------------------------------------------------------------------------


def test_an_export_holds_every_row_and_no_name(tmp_path: Path) -> None:
    begun(tmp_path)
    with Register.open(tmp_path, write=True) as r:
        r.put_names({"P-01": "Ada Quist"})
        path = r.export(DAY)
        assert path == tmp_path / "register/exports/2026-05-02.csv"
        text = path.read_bytes()
        assert r.export(DAY).read_bytes() == text
        assert [p.name for p in path.parent.iterdir()] == [path.name]
    lines = text.decode("utf-8-sig").split("\r\n")
    assert lines[0] == ('"row","kind","day","at","taken in","person","lesson","machine","edition","about row","rest","digest","chain"')
    assert len(lines) == 8 and b"Ada" not in text
    assert lines[6].startswith('"6","correction","2026-03-15","","2026-05-01T12:00:00Z","P-02","","","","2","{""by"":""M-1""')


def test_an_export_that_cannot_be_finished_leaves_the_old_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun(tmp_path)
    with Register.open(tmp_path) as r:
        path = r.export(DAY)
    kept = path.read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    with Register.open(tmp_path, write=True) as r:
        r.take([result(7)], TAKEN)
        monkeypatch.setattr("generator.register.export.os.fsync", full)
        with pytest.raises(OSError, match="No space"):
            r.export(DAY)
    assert path.read_bytes() == kept and [p.name for p in path.parent.iterdir()] == [path.name]


def test_a_cell_no_spreadsheet_takes_for_a_formula(tmp_path: Path) -> None:
    new = result(1, crew="=cmd|' /C calc'!A0", lesson="@x")
    begun(tmp_path, [new])
    with Register.open(tmp_path) as r:
        text = r.export(DAY).read_text("utf-8-sig")
        assert "\"'=cmd|' /C calc'!A0\",\"'@x\"" in text
        assert r.verify() == Walked(1, 1)


@pytest.mark.parametrize(("comma", "end", "mark"), [(";", "\r\n", "\ufeff"), ("\t", "\n", ""), (",", "\n", "")])
def test_an_export_that_a_spreadsheet_saved_again_still_agrees(tmp_path: Path, comma: str, end: str, mark: str) -> None:
    begun(tmp_path)
    with Register.open(tmp_path) as r:
        path = r.export(DAY)
        rows = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"), newline="")))
        out = io.StringIO()
        csv.writer(out, delimiter=comma, lineterminator=end).writerows([*([*row, ""] for row in rows), [], [""] * 14])
        path.write_text(mark + out.getvalue().replace("chain", "Chain "), "utf-8", newline="")
        assert r.verify() == Walked(6, 1)
        path.write_text(path.read_text("utf-8").replace(r.head()[1], "0" * 64), "utf-8", newline="")
        assert "row 6 does not hold" in str(r.verify().problem)


@pytest.mark.parametrize(("content", "line", "says"), [
    (b"\xff\xfe\x00", None, "not UTF-8"), (b"", 1, "no columns row and chain"), (b"row,chain\r\nx,y\r\n", 2, "no row of an export"),
    (b"row,chain\r\n1\r\n", 2, "no row of an export"), (b"row,chain\r\n\xc2\xb2,y\r\n", 2, "no row"), (b"row,chain\r\n2,y\r\n", 2, "row 1 should stand"),
    (b"row,chain\r\n1,\0\r\n", None, ""), (b"row,chain\r\n" + b"9" * 5000 + b",y", 2, "row 1 should"), (b'row,chain\r\n"1,', 2, "no row"),
])  # fmt: skip
def test_what_is_no_export_is_told_with_its_line(tmp_path: Path, content: bytes, line: int | None, says: str) -> None:
    begun(tmp_path)
    path = tmp_path / "register/exports/2026-05-02.csv"
    path.parent.mkdir()
    path.write_bytes(content)
    problem = verified(tmp_path).problem
    assert problem is not None and says in problem.what and "\n" not in str(problem)
    if says:
        assert (problem.file, problem.line, problem.code) == (str(path), line, "export")


def test_an_export_that_does_not_agree_is_never_written_over(tmp_path: Path) -> None:
    path = begun(tmp_path)
    with Register.open(tmp_path) as r:
        kept = r.export(DAY).read_bytes()
    with by_hand(path) as db:
        last(db)
        chained_again(db)
    with Register.open(tmp_path) as r:
        with pytest.raises(Refusal) as e:
            r.export(DAY)
        assert e.value.problem.line == 7
    assert (tmp_path / "register/exports/2026-05-02.csv").read_bytes() == kept


def test_a_kept_export_that_cannot_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun(tmp_path)
    with Register.open(tmp_path) as r:
        r.export(DAY)

    def denied(path: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("generator.register.export.chains", denied)
    problem = verified(tmp_path).problem
    assert problem is not None and problem.code == "export"
    assert str(problem).endswith("register/exports/2026-05-02.csv: cannot be read (Permission denied); check its access rights")
