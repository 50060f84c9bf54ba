"""The layout of the register's file.

``entry`` holds the rows and only ever grows. ``head`` is how far it goes, kept by a trigger, so that a row taken
off the end leaves a gap to see. ``place`` (the file and line a row was read at) and ``name`` stand beside the rows
and outside the chain: what tells of a person by name can be taken out there, and the chain still holds.
"""

from __future__ import annotations

import re
import sqlite3

APPLICATION = 0x53454154  # in the file's header, so that tools know whose it is
LAYOUT = 1  # counts up with each change of what stands below

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
    forgotten TEXT
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

_NAMED = re.compile(r"CREATE (\w+) (\w+)")


def expected() -> dict[tuple[str, str], str]:
    """What the file has to hold, by its sort and name: the statement that made it."""
    return {(m[1].lower(), m[2]): text for text in STATEMENTS if (m := _NAMED.match(text))}


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
