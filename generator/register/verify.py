"""Whether the register still stands as it was written: the first thing that does not hold."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from generator.register import export, schema
from generator.register.chain import canonical, link
from generator.register.faults import PUT_BACK
from generator.source.problem import Problem, Refusal

_ASK = f"ask who worked in the file; {PUT_BACK}"


@dataclass(frozen=True, slots=True)
class Walked:
    """How far it was looked at: rows that hold, exports that agree, and the first thing that does not hold, if any.

    ``row`` is the number of the row that does not hold, where it is one; ``back`` that of the first row that was taken in, by
    the computer's clock, before the row before it: it holds, and its day is not to be relied on.
    """

    rows: int
    exports: int
    problem: Problem | None = None
    row: int | None = None
    back: int | None = None


def walk(connection: sqlite3.Connection, path: Path, also: Iterable[Callable[[], Problem | None]] = ()) -> Walked:
    """Layout, file, each row and its chain, the head, the kept exports, then what else is asked. Raises sqlite3.Error."""
    connection.execute("BEGIN")  # as it stands now, whoever else takes in meanwhile
    try:
        return _walk(connection, path, also)
    finally:
        connection.execute("ROLLBACK")


def _walk(connection: sqlite3.Connection, path: Path, also: Iterable[Callable[[], Problem | None]]) -> Walked:
    problem = _layout(connection, path)
    if problem is not None:
        return Walked(0, 0, problem)
    chains, problem = _rows(connection, path)
    rows = len(chains) - 1
    if problem is not None:
        return Walked(rows, 0, problem, rows + 1)
    heads = connection.execute("SELECT n, chain FROM head").fetchall()
    if heads != [(rows, chains[-1])]:
        return _head(heads, rows, path)
    agree = 0
    for kept in export.kept(path.parent):
        found = _export(kept, chains, path)
        if found is not None:
            return Walked(rows, agree, *found)
        agree += 1
    for look in also:
        problem = look()
        if problem is not None:
            return Walked(rows, agree, problem)
    taken = [str(t) for (t,) in connection.execute("SELECT taken FROM entry ORDER BY n")]
    back = next((n for n, (before, its) in enumerate(pairwise(taken), 2) if its < before), None)
    return Walked(rows, agree, back=back)


def _no(path: Path, what: str, fix: str = _ASK, code: str = "row") -> Problem:
    return Problem.of(str(path), None, what, fix, code)


def _layout(connection: sqlite3.Connection, path: Path) -> Problem | None:
    answers = [str(r[0]) for r in connection.execute("PRAGMA integrity_check(1)")]
    if answers != ["ok"]:
        return _no(path, f"the file does not hold together ({' '.join(answers[0].split())[:120]})", PUT_BACK, "damaged")
    has, wanted = schema.found(connection), schema.expected(schema.layout_of(connection))
    for sort, name in (*wanted, *has):
        if has.get((sort, name)) != wanted.get((sort, name)):
            state = "is missing" if (sort, name) not in has else "was changed" if (sort, name) in wanted else "is not of this program"
            return _no(path, f"the {sort} {name} {state}, so that rows may have been changed unseen", code="layout")
    return None


def _rows(connection: sqlite3.Connection, path: Path) -> tuple[list[str], Problem | None]:
    """The chains of all rows up to the first that does not hold, the empty one first."""
    chains = [""]
    for columns in connection.execute(f"SELECT {', '.join(schema.COLUMNS)} FROM entry ORDER BY n"):
        n, row, chain = len(chains), columns[:-1], columns[-1]
        if row[0] != n:
            return chains, _no(path, f"row {n} is gone: after row {n - 1} comes row {row[0]}")
        try:
            written = canonical(json.loads(row[10])) == row[10]
        except (ValueError, RecursionError):
            written = False
        if not written:
            return chains, _no(path, f"row {n} does not hold: its body is not as this program writes it")
        if link(chains[-1], row) != chain:
            return chains, _no(path, f"row {n} does not hold: it, or its chain, was changed after it was taken in")
        chains.append(chain)
    return chains, None


def _head(heads: list[tuple[int, str]], rows: int, path: Path) -> Walked:
    """What is wrong where the head and the last row are not of one mind."""
    if len(heads) != 1:
        return Walked(rows, 0, _no(path, "the head, which says how many rows there are, is gone", code="head"))
    said = heads[0][0]
    if said > rows:
        return Walked(rows, 0, _no(path, f"row {rows + 1} is gone: {said} rows were taken in, and {rows} are there", code="head"), rows + 1)
    return Walked(rows, 0, _no(path, f"row {rows} does not hold: the head of the register knows another one", code="head"), rows)


def _export(kept: Path, chains: list[str], path: Path) -> tuple[Problem, int | None] | None:
    """The first row of an export that the register has otherwise or not at all, or why the export cannot be read."""
    expected = 1
    try:
        for line, n, chain in export.chains(kept):
            if n != expected:
                return Problem.of(str(kept), line, f"row {expected} should stand here, and row {n} does",
                                  "put back the export as it was written", "export"), None  # fmt: skip
            if n >= len(chains):
                return _no(path, f"row {n} is gone: the export {kept.name} holds it, line {line}", code="export"), n
            if chain != chains[n]:
                return _no(path, f"row {n} does not hold: the export {kept.name} holds it otherwise, line {line}", code="export"), n
            expected += 1
    except Refusal as e:
        return e.problem, None
    except OSError as e:
        return Problem.of(str(kept), None, f"cannot be read ({e.strerror})", "check its access rights", "export"), None
    return None
