"""The queries that the README shows, asked of a register, as anybody with the sqlite3 command would."""

from __future__ import annotations

import datetime
import hashlib
import re
import shutil
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

from generator.register.entry import New
from generator.register.store import Register
from tests.conftest import ROOT
from tests.register.rows import begun, result

QUERIES = dict(re.findall(r"(?s)<!-- query: (\w+) -->\n```sql\n(.*?)```", (ROOT / "README.md").read_text("utf-8")))


def told(n: int, crew: str, *, passed: bool, lesson: str = "trench-walls") -> New:
    return New("result", "2026-03-10", {"passed": passed, "right": 9, "of": 10}, f"r{n}", crew=crew, lesson=lesson, edition="2026-1")


def signed(n: int, crew: str, mentor: str) -> New:
    return New("sign-off", "2026-03-11", {"mentor": mentor}, f"s{n}", crew=crew, lesson="trench-walls", machine="E-1")


def made(folder: Path) -> Path:
    path = begun(folder, [
        told(1, "P-04", passed=False), told(2, "P-04", passed=True), told(3, "P-04", passed=True, lesson="bench-height"),
        told(4, "P-05", passed=True), signed(1, "P-04", "M-1"), signed(2, "P-05", "~1"), signed(3, "P-06", "M-9"),
        New("correction", "2026-03-12", {"says": "void", "by": "M-1", "why": "another machine"}, "c", about=5), result(9, "P-06"),
    ])  # fmt: skip
    with Register.open(folder, write=True) as r:
        r.put_names({"P-04": "Ada Quist", "P-05": "Bo Lind", "M-1": "Cy Marsh"})
        assert r.loose_id("Di Norn") == "~1"
        r.forget(["P-05"], datetime.date(2026, 5, 1))
    return path


def test_the_readme_shows_three() -> None:
    assert set(QUERIES) == {"who", "person", "hashed"}


def test_who_was_trained_on_a_lesson_and_by_whom(tmp_path: Path) -> None:
    with closing(sqlite3.connect(made(tmp_path))) as db:
        assert db.execute(QUERIES["who"]).fetchall() == [
            (2, "2026-03-10", "result", "P-04", "Ada Quist", "", "2026-1", None),
            (4, "2026-03-10", "result", "P-05", "(taken out)", "", "2026-1", None),
            (5, "2026-03-11", "sign-off", "P-04", "Ada Quist", "E-1", "", "Cy Marsh"),
            (6, "2026-03-11", "sign-off", "P-05", "(taken out)", "E-1", "", "Di Norn"),
            (7, "2026-03-11", "sign-off", "P-06", "(taken out)", "E-1", "", "M-9"),
        ]


def test_all_rows_of_a_person(tmp_path: Path) -> None:
    with closing(sqlite3.connect(made(tmp_path))) as db:
        assert [(n, kind, about) for n, _, kind, _, _, _, about, _ in db.execute(QUERIES["person"])] == [
            (1, "result", None), (2, "result", None), (3, "result", None), (5, "sign-off", None), (8, "correction", 5),
        ]  # fmt: skip


def test_the_text_that_is_hashed(tmp_path: Path) -> None:
    with closing(sqlite3.connect(made(tmp_path))) as db:
        ((text,),) = db.execute(QUERIES["hashed"]).fetchall()
        ((chain,),) = db.execute("SELECT chain FROM entry WHERE n = 7").fetchall()
    assert hashlib.sha256(text.encode()).hexdigest() == chain


def test_the_command_answers_the_same(tmp_path: Path) -> None:
    path = made(tmp_path)
    command = [c] if (c := shutil.which("sqlite3")) else []
    for name, query in QUERIES.items() if command else ():
        done = subprocess.run([*command, "-readonly", "-json", str(path), query], capture_output=True, text=True, check=True)
        with closing(sqlite3.connect(path)) as db:
            assert done.stdout.count('"n":') == (len(db.execute(query).fetchall()) if name != "hashed" else 0)
        if name == "hashed":
            plain = subprocess.run([*command, "-readonly", str(path), query], capture_output=True, text=True, check=True).stdout
            with Register.open(tmp_path) as r:
                assert hashlib.sha256(plain.removesuffix("\n").encode()).hexdigest() == r.row(7).chain  # type: ignore[union-attr]
