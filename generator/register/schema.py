"""The layout of the register's file.

``entry`` holds the rows and only ever grows. ``head`` is how far it goes, kept by a trigger, so that a row taken
off the end leaves a gap to see. ``place`` (the file and line a row was read at) and ``name`` stand beside the rows
and outside the chain: what tells of a person by name can be taken out there, and the chain still holds. The salt of
a name is what a row's print of it was made with; without it nobody can try names on the print.
"""

from __future__ import annotations

import re
import secrets
import sqlite3

APPLICATION = 0x53454154  # in the file's header, so that tools know whose it is
LAYOUT = 2  # counts up with each change of what stands below

LOOSE = "~"  # begins the id of somebody who stands in no table, only by a name that was written

COLUMNS = ("n", "kind", "day", "at", "taken", "crew", "lesson", "machine", "edition", "about", "body", "digest", "chain")

# OR REPLACE would take the row in its way out without asking a trigger for deletes: so an insert is looked at first
STATEMENTS = (
    """CREATE TABLE entry (
    n INTEGER PRIMARY KEY CHECK (n > 0),
    kind TEXT NOT NULL CHECK (kind <> ''),
    day TEXT NOT NULL,
    at TEXT NOT NULL,
    taken TEXT NOT NULL,
    crew TEXT NOT NULL,
    lesson TEXT NOT NULL,
    machine TEXT NOT NULL,
    edition TEXT NOT NULL,
    about INTEGER CHECK (about > 0 AND about < n),
    body TEXT NOT NULL,
    digest TEXT NOT NULL UNIQUE CHECK (length(digest) = 64),
    chain TEXT NOT NULL CHECK (length(chain) = 64)
) STRICT""",
    """CREATE TABLE head (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    n INTEGER NOT NULL,
    chain TEXT NOT NULL
) STRICT""",
    """CREATE TABLE place (
    n INTEGER PRIMARY KEY,
    told TEXT NOT NULL
) STRICT""",
    """CREATE TABLE name (
    id TEXT PRIMARY KEY,
    name TEXT,
    folded TEXT,
    forgotten TEXT,
    salt BLOB CHECK (length(salt) = 16)
) STRICT""",
    "CREATE INDEX entry_crew ON entry (crew)",
    "CREATE INDEX entry_lesson ON entry (lesson)",
    "CREATE INDEX entry_kind ON entry (kind)",
    "CREATE INDEX entry_about ON entry (about) WHERE about IS NOT NULL",
    "CREATE INDEX name_folded ON name (folded) WHERE folded IS NOT NULL",
    """CREATE TRIGGER entry_grows BEFORE INSERT ON entry
WHEN NEW.n IS NOT (SELECT coalesce(max(n), 0) + 1 FROM entry) OR EXISTS (SELECT 1 FROM entry WHERE digest = NEW.digest)
BEGIN SELECT RAISE(ABORT, 'a row of the register is never replaced, and no number is left out'); END""",
    """CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'a row of the register is never changed'); END""",
    """CREATE TRIGGER entry_kept BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'a row of the register is never deleted'); END""",
    """CREATE TRIGGER head_follows AFTER INSERT ON entry
BEGIN UPDATE head SET n = NEW.n, chain = NEW.chain WHERE one = 1; END""",
    """CREATE TRIGGER head_grows BEFORE UPDATE ON head
WHEN NEW.n IS NOT OLD.n + 1 OR NOT EXISTS (SELECT 1 FROM entry WHERE n = NEW.n AND chain = NEW.chain)
BEGIN SELECT RAISE(ABORT, 'the head of the register follows its rows'); END""",
    """CREATE TRIGGER head_kept BEFORE DELETE ON head
BEGIN SELECT RAISE(ABORT, 'the head of the register is never deleted'); END""",
    """CREATE TRIGGER head_one BEFORE INSERT ON head WHEN EXISTS (SELECT 1 FROM head)
BEGIN SELECT RAISE(ABORT, 'the register has one head'); END""",
)

# as it was in a layout before: the names had no salts
_BEFORE = {
    1: {
        ("table", "name"): """CREATE TABLE name (
    id TEXT PRIMARY KEY,
    name TEXT,
    folded TEXT,
    forgotten TEXT
) STRICT"""
    }
}

_NAMED = re.compile(r"CREATE (\w+) (\w+)")


def salt() -> bytes:
    """16 bytes that nobody can guess."""
    return secrets.token_bytes(16)


def expected(layout: int = LAYOUT) -> dict[tuple[str, str], str]:
    """What a file of a layout has to hold, by its sort and name: the statement that made it."""
    return {(m[1].lower(), m[2]): text for text in STATEMENTS if (m := _NAMED.match(text))} | _BEFORE.get(layout, {})


def layout_of(connection: sqlite3.Connection) -> int:
    """The layout that the file says it has."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def found(connection: sqlite3.Connection) -> dict[tuple[str, str], str]:
    """What it holds, but for what SQLite makes for itself."""
    rows = connection.execute("SELECT type, name, sql FROM sqlite_master")
    return {(sort, name): sql for sort, name, sql in rows if not name.startswith("sqlite_")}


def make(connection: sqlite3.Connection) -> None:
    """The layout, into an empty file."""
    connection.execute("BEGIN EXCLUSIVE")
    connection.execute(f"PRAGMA application_id = {APPLICATION}")
    connection.execute(f"PRAGMA user_version = {LAYOUT}")
    for statement in STATEMENTS:
        connection.execute(statement)
    connection.execute("INSERT INTO head (one, n, chain) VALUES (1, 0, '')")
    connection.execute("COMMIT")


def renew(connection: sqlite3.Connection) -> None:
    """A file of layout 1 as one of this layout: all or nothing, and each name of an id of the tables gets its salt."""
    connection.execute("BEGIN EXCLUSIVE")
    if layout_of(connection) == 1:  # else somebody else did it meanwhile
        names = connection.execute("SELECT id, name, folded, forgotten FROM name").fetchall()
        connection.execute("DROP TABLE name")  # its index goes too
        for what in (("table", "name"), ("index", "name_folded")):
            connection.execute(expected()[what])
        salted = [(*row, None if row[1] is None or row[0].startswith(LOOSE) else salt()) for row in names]
        connection.executemany("INSERT INTO name (id, name, folded, forgotten, salt) VALUES (?, ?, ?, ?, ?)", salted)
        connection.execute(f"PRAGMA user_version = {LAYOUT}")
    connection.execute("COMMIT")
