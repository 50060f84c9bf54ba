"""Opening the register's file, or beginning one, so that what is no register is told and left as it is."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import urllib.parse
from pathlib import Path

from generator.register import schema
from generator.register.faults import PUT_BACK, fault

BUSY_SECONDS = 10.0  # how long another program may hold the file
_LEAST = 512  # bytes of the smallest page there is
_DEFENSIVE = getattr(sqlite3, "SQLITE_DBCONFIG_DEFENSIVE", 1010)


def present(folder: Path, path: Path, *, write: bool, create: bool) -> None:
    """That there is a file at all, made if asked for. Raises RegisterFault."""
    try:
        real = path.resolve()
        if not real.is_relative_to(folder.resolve()):
            raise fault("link", "it is a link that leads out of the job site's folder", "put the file itself there", path)
        if path.is_dir():
            raise fault("damaged", "it is a folder and no register", f"move it away; {PUT_BACK}", path)
        if not path.exists():
            if not create:
                raise fault("none", "there is no register yet", "run seatwork tally, which begins one", path)
            _begin(path)
        elif path.stat().st_size < _LEAST:  # SQLite would take it for a new one
            raise fault("damaged", "it is empty or cut off", PUT_BACK, path)
        if write:
            _tidy(path)
    except (OSError, RuntimeError) as e:  # RuntimeError: a circle of links
        reason = getattr(e, "strerror", None) or "it cannot be opened"
        raise fault("not-writable", f"it cannot be opened ({reason})", "check the access rights of the file and its folder", path) from None


def _begin(path: Path) -> None:
    """An empty register, made beside and put in its place whole: a kill leaves none or this one."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    beside.unlink(missing_ok=True)
    try:
        with contextlib.closing(database(beside, "rwc")) as connection:
            schema.make(connection)
        try:
            os.link(beside, path)  # unlike a renaming it never takes the place of one that somebody else just began
        except OSError:
            if not path.exists():  # a disk that knows no second names
                beside.rename(path)
        _settle(path.parent)
    except (OSError, sqlite3.Error):
        if not path.exists():  # else somebody else has begun one, and tidied this away
            raise
    finally:
        for left in (beside, beside.with_name(f"{beside.name}-journal")):
            left.unlink(missing_ok=True)


def _tidy(path: Path) -> None:
    """Away with what a beginning that was killed left beside. Whoever is still at one finds that there is a register now."""
    for left in path.parent.glob(f".{path.name}.*"):
        with contextlib.suppress(OSError):
            left.unlink()


def _settle(folder: Path) -> None:
    """Have the disk keep a new name, where the system lets a folder be asked for it."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def connected(path: Path, *, write: bool) -> sqlite3.Connection:
    # what a taking-in that was cut off left behind has to be undone before anything is read
    undone = path.with_name(f"{path.name}-journal").exists()
    return database(path, "rw" if write or undone else "ro", query_only=not write)


def database(path: Path, mode: str, *, query_only: bool = False) -> sqlite3.Connection:
    """A connection set as this program wants it: ``mode`` is ro, rw or rwc. Raises sqlite3.Error."""
    posix = urllib.parse.quote(path.absolute().as_posix(), safe="/:")
    uri = f"file://{'' if posix.startswith('/') else '/'}{posix}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, timeout=BUSY_SECONDS, isolation_level=None)
    if hasattr(connection, "setconfig"):  # from Python 3.12
        connection.setconfig(_DEFENSIVE, True)
    for setting in ("trusted_schema = OFF", "cell_size_check = ON", "foreign_keys = OFF", "recursive_triggers = ON",
                    "secure_delete = ON", "synchronous = EXTRA", f"query_only = {'ON' if query_only else 'OFF'}"):  # fmt: skip
        connection.execute(f"PRAGMA {setting}")
    return connection


def _measure(connection: sqlite3.Connection, path: Path) -> None:
    """That the file is as long as it says. Raises RegisterFault."""
    connection.execute("BEGIN")  # so that nobody writes meanwhile
    connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    (pages,) = connection.execute("PRAGMA page_count").fetchone()
    (size,) = connection.execute("PRAGMA page_size").fetchone()
    beside = connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)  # another program's way: the end may lie beside
    short = not beside and pages * size > path.stat().st_size
    connection.execute("ROLLBACK")
    if short:
        raise fault("damaged", "it is cut off: its end is missing", PUT_BACK, path)


def look_at(connection: sqlite3.Connection, path: Path, *, write: bool) -> None:
    """That the file is a register, whole by its own word, and of a layout this program knows."""
    _measure(connection, path)
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    layout = schema.layout_of(connection)
    if application != schema.APPLICATION:
        raise fault("foreign", "it is a database of another program", PUT_BACK, path)
    if layout > schema.LAYOUT:
        raise fault("newer", "it was written by a newer Seatwork", "install that version or a later one; nothing was changed", path)
    missing = {name for sort, name in schema.expected() if sort == "table"} - {name for _, name in schema.found(connection)}
    if missing:
        raise fault("damaged", f"its table {min(missing)} is missing", PUT_BACK, path)
    if not write:
        return
    mode = connection.execute("PRAGMA journal_mode = DELETE").fetchone()
    if mode != ("delete",):
        raise fault("layout", "its way of writing was changed by another program", "close that program and run it again", path)
    if schema.found(connection) != schema.expected(layout):
        raise fault(
            "layout", "its layout was changed by hand, so nothing is taken in", f"run seatwork register with --verify; {PUT_BACK}", path
        )
    # a lock or a missing right shows now, at a write that is taken back, and not after all is read and judged
    connection.execute("BEGIN IMMEDIATE")
    connection.execute(f"PRAGMA user_version = {layout}")
    connection.execute("ROLLBACK")
    if layout == 1:
        schema.renew(connection)
