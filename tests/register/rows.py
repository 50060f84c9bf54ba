"""Rows to take in, all invented, and a register with some of them."""

from __future__ import annotations

import datetime
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from generator.register.entry import New
from generator.register.schema import STATEMENTS
from generator.register.store import FILE, Register

TAKEN = datetime.datetime(2026, 5, 1, 12, 0, tzinfo=datetime.UTC)


def result(n: int, crew: str = "P-01", lesson: str = "bench-height") -> New:
    return New(
        "result", "2026-03-10", {"score": [n, 10], "note": "Übung „zwei“ \\ \"drei\"\n"}, f"result {n}", at="2026-03-10T09:30:00Z",
        crew=crew, lesson=lesson, machine="E-1", edition="2026-1", where=f"results/{n}.json",
    )  # fmt: skip


def six() -> list[New]:
    """Six rows of several kinds and people; the last names the second."""
    return [
        result(1),
        result(2, "P-02"),
        New("sign-off", "2026-03-12", {"mentor": "M-1", "conditions": "wet"}, "s1", crew="P-01", lesson="bench-height", machine="E-1"),
        New("hours", "2026-03-13", {"hours": 6.5, "mentor": "~1"}, "h1", crew="P-02", machine="D-1"),
        New("talk", "2026-03-14", {"leader": "M-1", "sheet": "T-7"}, "t1", crew="P-01"),
        New("correction", "2026-03-15", {"says": "void", "by": "M-1", "why": "not his phone"}, "c1", crew="P-02", about=2),
    ]


def begun(folder: Path, new: Sequence[New] | None = None) -> Path:
    """A folder with a register that holds these rows, or the six; its file."""
    folder.mkdir(parents=True, exist_ok=True)
    with Register.open(folder, create=True) as opened:
        opened.take(six() if new is None else new, TAKEN)
    return folder / FILE


@contextmanager
def by_hand(path: Path) -> Iterator[sqlite3.Connection]:
    """The file as somebody opens it with another program, who takes the triggers out, and puts them back at the end."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        triggers = [s for s in STATEMENTS if s.startswith("CREATE TRIGGER")]
        for statement in triggers:
            db.execute(f"DROP TRIGGER {statement.split()[2]}")
        yield db
        for statement in triggers:
            db.execute(statement)
