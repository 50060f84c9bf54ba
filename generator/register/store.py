"""The register's file: opening it, taking in, reading it, and the names beside its rows.

One SQLite file with a rollback journal and ``synchronous = EXTRA``: a transaction that was committed outlives a
power cut, one that was not leaves nothing. Rows are only ever added.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import os
import re
import sqlite3
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Self

from generator.register import export, schema
from generator.register.chain import Columns, canonical, clean, digest, link
from generator.register.entry import KINDS, Entry, Kind, New
from generator.register.faults import PUT_BACK, fault, told
from generator.register.opening import connected, database, look_at, present
from generator.register.verify import Walked, walk
from generator.source.problem import Problem, Refusal

FILE = "register/register.sqlite3"
LOOSE = schema.LOOSE
_AT_ONCE = 500  # digests asked for in one statement
_READ = f"SELECT {', '.join(f'entry.{c}' for c in schema.COLUMNS)}, place.told FROM entry LEFT JOIN place ON place.n = entry.n"


class Register:
    """The rows of a job site, opened. Made by :meth:`open` alone."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._db = connection

    @classmethod
    @contextlib.contextmanager
    def open(cls, folder: Path, *, write: bool = False, create: bool = False) -> Iterator[Self]:
        """The register of a job site's folder, until the end of the block.

        Reading needs no right to write, unless a taking-in was cut off before. ``create`` makes an empty one where
        there is none, and opens it for writing. Raises RegisterFault with the code ``none`` (there is no register),
        ``damaged``, ``foreign``, ``newer``, ``layout`` (it was changed by hand), ``locked``, ``not-writable``,
        ``full``, ``disk`` or ``link``; also out of the block, for what SQLite says there.
        """
        path = folder / FILE
        write = write or create
        try:
            present(folder, path, write=write, create=create)
            with contextlib.closing(connected(path, write=write)) as connection:
                look_at(connection, path, write=write)
                yield cls(path, connection)
        except sqlite3.Error as e:
            raise told(e, path) from None

    # --- taking in --------------------------------------------------------------------------

    @contextlib.contextmanager
    def writing(self) -> Iterator[None]:
        """One transaction for all that is written in the block: all of it, or nothing.

        What follows is then also quicker, as the disk is waited for once.
        """
        if self._db.in_transaction:
            yield
            return
        self._db.execute("BEGIN IMMEDIATE")
        try:
            yield
            self._db.execute("COMMIT")
        except BaseException:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")
            raise

    def take(self, new: Sequence[New], taken: datetime.datetime) -> list[tuple[int, bool]]:
        """Take in what is not there yet, all or nothing; of each, in order, its row's number and whether it is new.

        ``taken`` is an instant with its zone. Raises Refusal where ``about`` names no row before it.
        """
        if taken.tzinfo is None:
            raise ValueError("an instant has its zone")
        instant = taken.astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        digests = [digest(item.kind, item.identity) for item in new]
        with self.writing():
            known = self._known(digests)
            n, before = self.head()
            rows: list[tuple[object, ...]] = []
            places: list[tuple[int, str]] = []
            answers: list[tuple[int, bool]] = []
            for item, its_digest in zip(new, digests, strict=True):
                there = known.get(its_digest)
                answers.append((there or n + 1, there is None))
                if there is not None:
                    continue
                n += 1
                row = _row(n, item, instant, its_digest)
                before = link(before, row)
                rows.append((*row, before))
                known[its_digest] = n
                if item.where:
                    places.append((n, clean(item.where)))
            marks = ", ".join("?" * len(schema.COLUMNS))
            self._db.executemany(f"INSERT INTO entry ({', '.join(schema.COLUMNS)}) VALUES ({marks})", rows)
            self._db.executemany("INSERT OR REPLACE INTO place (n, told) VALUES (?, ?)", places)
        return answers

    def _known(self, digests: Sequence[str]) -> dict[str, int]:
        """The numbers of those that are there."""
        found: dict[str, int] = {}
        for at in range(0, len(digests), _AT_ONCE):
            some = digests[at : at + _AT_ONCE]
            found.update(self._db.execute(f"SELECT digest, n FROM entry WHERE digest IN ({', '.join('?' * len(some))})", some))
        return found

    # --- reading ----------------------------------------------------------------------------

    def entries(
        self, *, kind: Kind | None = None, crew: str | None = None, lesson: str | None = None, about: int | None = None
    ) -> Iterator[Entry]:
        """The rows that have all of what is given, by number."""
        asked = {"kind": kind, "crew": crew, "lesson": lesson, "about": about}
        given = {c: v for c, v in asked.items() if v is not None}
        where = " AND ".join(f"entry.{c} = :{c}" for c in given)
        for found in self._db.execute(f"{_READ}{f' WHERE {where}' if where else ''} ORDER BY entry.n", given):
            yield self._entry(found)

    def row(self, n: int) -> Entry | None:
        """The row of a number, if there is one."""
        found = self._db.execute(f"{_READ} WHERE entry.n = ?", (n,)).fetchone() if 0 < n < 2**63 else None
        return self._entry(found) if found else None

    def head(self) -> tuple[int, str]:
        """The number of the last row and its chain; 0 and nothing where there is none."""
        found = self._db.execute("SELECT n, chain FROM entry ORDER BY n DESC LIMIT 1").fetchone()
        return (found[0], found[1]) if found else (0, "")

    def counts(self) -> Mapping[str, int]:
        """How many rows there are of each kind that there is."""
        found = dict(self._db.execute("SELECT kind, count(*) FROM entry GROUP BY kind"))
        return {kind: found[kind] for kind in (*KINDS, *sorted(set(found) - set(KINDS))) if kind in found}

    def days(self) -> tuple[str, str] | None:
        """The first and the last day that a row is about, of those that are about one."""
        first, last = self._db.execute("SELECT min(day), max(day) FROM entry WHERE day <> ''").fetchone()
        return (first, last) if first else None

    def _entry(self, found: Sequence[Any]) -> Entry:
        n, kind, day, at, taken, crew, lesson, machine, edition, about, body, its_digest, chain, where = found
        try:
            read = json.loads(body)
        except (ValueError, RecursionError):
            read = None
        if not isinstance(read, dict):
            raise fault("damaged", f"row {n} is not as it was written", PUT_BACK, self.path)
        return Entry(n, kind, day, at, taken, crew, lesson, machine, edition, about, read, its_digest, chain, where or "")

    # --- names beside the rows --------------------------------------------------------------

    def names(self) -> Mapping[str, str]:
        """The names that are known, by id, also of those who left and are not forgotten."""
        return dict(self._db.execute("SELECT id, name FROM name WHERE name IS NOT NULL ORDER BY id"))

    def forgotten(self) -> Mapping[str, str]:
        """The ids whose names were taken out, with the day."""
        return dict(self._db.execute("SELECT id, forgotten FROM name WHERE forgotten IS NOT NULL ORDER BY id"))

    def salts(self) -> Mapping[str, bytes]:
        """The salts of the names that are known, by id; a loose id has none, nor has a file that an older program wrote."""
        if schema.layout_of(self._db) == 1:
            return {}
        return dict(self._db.execute("SELECT id, salt FROM name WHERE name IS NOT NULL AND salt IS NOT NULL"))

    def known_ids(self) -> frozenset[str]:
        """Every id that was ever given: of names, forgotten or not, and of the persons of rows."""
        found = self._db.execute("SELECT id FROM name UNION SELECT crew FROM entry WHERE crew <> ''")
        return frozenset(i for (i,) in found)

    def put_names(self, names: Mapping[str, str]) -> None:
        """Put names beside ids, in the place of what stands there. A name that was taken out stays out; a salt that is there stays."""
        with self.writing():
            self._db.executemany(
                "INSERT INTO name (id, name, salt) VALUES (?, ?, ?) ON CONFLICT (id) DO UPDATE SET name = excluded.name, "
                "salt = coalesce(salt, excluded.salt) WHERE forgotten IS NULL AND name IS NOT excluded.name",
                [(clean(i), clean(name), schema.salt()) for i, name in names.items()],
            )

    def loose_id(self, name: str) -> str:
        """The id of somebody who stands in no table, made once for each name, whatever its case and blanks."""
        plain = clean(" ".join(name.split()))
        folded = unicodedata.normalize("NFC", plain).casefold()

        def known() -> str | None:
            found = self._db.execute("SELECT id FROM name WHERE folded = ?", (folded,)).fetchone()
            return str(found[0]) if found else None

        there = known()
        if there is not None:
            return there
        with self.writing():
            there = known()  # somebody else may have made it meanwhile
            if there is None:
                given = [i[1:] for (i,) in self._db.execute("SELECT id FROM name WHERE substr(id, 1, 1) = ?", (LOOSE,))]
                there = f"{LOOSE}{max((int(i) for i in given if i.isdecimal()), default=0) + 1}"
                self._db.execute("INSERT INTO name (id, name, folded) VALUES (?, ?, ?)", (there, plain, folded))
        return there

    def forget(self, ids: Iterable[str], day: datetime.date) -> Mapping[str, str]:
        """Take names and their salts out, and where rows of theirs were read, for file names tell names; the ids stay known.

        Returns the names that were taken out. The file is written anew, so that its free space holds none of them.
        """
        gone: dict[str, str] = {}
        with self.writing():
            for i in dict.fromkeys(map(clean, ids)):
                found = self._db.execute("SELECT name FROM name WHERE id = ? AND name IS NOT NULL", (i,)).fetchone()
                if found:
                    gone[i] = found[0]
                self._db.execute(
                    "INSERT INTO name (id, forgotten) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET "
                    "name = NULL, folded = NULL, salt = NULL, forgotten = coalesce(forgotten, excluded.forgotten)",
                    (i, day.isoformat()),
                )
                self._db.execute("DELETE FROM place WHERE n IN (SELECT n FROM entry WHERE crew = ?)", (i,))
            tell = [_letters(name) for name in gone.values()]
            named = [(n,) for n, where in self._db.execute("SELECT n, told FROM place") if any(t and t in _letters(where) for t in tell)]
            self._db.executemany("DELETE FROM place WHERE n = ?", named)
        if not self._db.in_transaction:
            self._db.execute("VACUUM")
        return gone

    # --- keeping ----------------------------------------------------------------------------

    def verify(self, also: Iterable[Callable[[], Problem | None]] = ()) -> Walked:
        """Walk all of it; ``also`` are looks of others, asked after all rows and exports hold."""
        return walk(self._db, self.path, also)

    def export(self, day: datetime.date) -> Path:
        """Write all rows as the table of a day. Raises Refusal where its old one holds what the register has not, or OSError."""
        path = self.path.parent / export.FOLDER / export.name_of(day)
        rows = self._db.execute(f"SELECT {', '.join(schema.COLUMNS)} FROM entry ORDER BY n").fetchall()
        if path.exists():
            for line, n, chain in export.chains(path):
                if n > len(rows) or rows[n - 1][-1] != chain:
                    raise Refusal(
                        f"it holds row {n} otherwise than the register, so it is not written over", "run seatwork register with --verify",
                        file=str(path), line=line, code="export",
                    )  # fmt: skip
        export.write(path, rows)
        return path

    def copy(self, path: Path) -> None:
        """A whole copy, as it stands now, in the place of an older one, if any.

        Raises Refusal where something else is there, or a copy that holds what the register has not; or OSError.
        """
        if path.exists() or path.is_symlink():
            self._older_copy(path)
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = path.with_name(f".{path.name}.{os.getpid()}")
        try:
            with contextlib.closing(sqlite3.connect(beside)) as target:
                self._db.backup(target)
            with beside.open("rb+") as f:
                os.fsync(f.fileno())
            beside.replace(path)
        finally:
            beside.unlink(missing_ok=True)

    def _older_copy(self, path: Path) -> None:
        """That what is there may be written over."""
        name = "name a file that is not there yet"
        if path.resolve() == self.path.resolve():
            raise Refusal("it is the register itself", name, file=str(path), code="copy")
        with path.open("rb") as f:
            ours = f.read(16) == b"SQLite format 3\0" and f.seek(68) and f.read(4) == schema.APPLICATION.to_bytes(4, "big")
        if not ours:
            raise Refusal("it is another file, and stays as it is", name, file=str(path), code="copy")
        try:
            with contextlib.closing(database(path, "ro")) as old:
                last = old.execute("SELECT n, chain FROM entry ORDER BY n DESC LIMIT 1").fetchone()
        except sqlite3.Error as e:
            raise Refusal(f"an older copy is there and cannot be read ({told(e, path).what})", name, file=str(path), code="copy") from None
        if last is not None:
            mine = self.row(last[0])
            if mine is None or mine.chain != last[1]:
                raise Refusal(f"it is a copy that holds row {last[0]} otherwise than the register, so it is not written over",
                              f"keep it, and ask who worked in the register; for this copy {name}", file=str(path), code="copy")  # fmt: skip


# --- rows -----------------------------------------------------------------------------------


def _row(n: int, item: New, taken: str, its_digest: str) -> Columns:
    if item.about is not None and not 0 < item.about < n:
        place = re.fullmatch(r"(.*?)(?::(\d+))?", item.where, re.DOTALL)
        file, line = (place[1], int(place[2]) if place[2] else None) if place else ("", None)
        raise Refusal.of(
            file, line, f"there is no row {item.about} in the register", "give the number of a row that it holds", "no-such-row"
        )
    words = [clean(t) for t in (item.kind, item.day, item.at, taken, item.crew, item.lesson, item.machine, item.edition)]
    kind, day, at, taken, crew, lesson, machine, edition = words
    return n, kind, day, at, taken, crew, lesson, machine, edition, item.about, canonical(item.body), its_digest


def _letters(text: str) -> str:
    """A text as letters and digits alone, as a file name may tell it."""
    return "".join(ch for ch in unicodedata.normalize("NFKC", text).casefold() if ch.isalnum())
