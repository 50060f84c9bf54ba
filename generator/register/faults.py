"""What can stand in the way of the register's file, each as one line with what to do."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from generator.source.problem import Refusal, Severity

PUT_BACK = (
    "keep it and any file ending in -journal beside it elsewhere, put back the last copy of it that was kept, "
    "and run seatwork tally: what was handed in since and still lies in the folder is taken in again"
)

# by the codes of SQLite's C interface, of which an extended one holds the plain one in its lowest byte
_TOLD = {
    3: "not-writable", 5: "locked", 6: "locked", 8: "not-writable", 10: "disk", 11: "damaged", 13: "full", 14: "not-writable",
    15: "locked", 22: "disk", 23: "not-writable", 26: "damaged",
}  # fmt: skip
_WORDS = {
    "locked": ("another program is at work in it, or it lies on a network share that knows no locks",
               "wait for the other program or close it; if there is none, copy the folder to a disk of this computer and work there"),
    "not-writable": ("it cannot be opened for writing", "check the access rights of the file and of its folder; both have to be writable"),
    "disk": ("it cannot be read or written: the disk or the network share answers with an error",
             "copy the folder to another disk of this computer and work there"),
    "full": ("the disk is full, so nothing was taken in", "free space and run it again"),
    "damaged": ("it is damaged or cut off", PUT_BACK),
}  # fmt: skip


class RegisterFault(Refusal):
    """The register cannot be read or written. ``code`` is the reason, one word."""


def fault(code: str, what: str, fix: str, path: Path) -> RegisterFault:
    """A reason of its own."""
    return RegisterFault(what, fix, file=str(path), code=code, severity=Severity.UNREADABLE)


def told(e: sqlite3.Error, path: Path) -> RegisterFault:
    """What SQLite answered. A fault of the program itself is raised again as it is."""
    number = getattr(e, "sqlite_errorcode", None)
    code = _TOLD.get(number & 0xFF) if number is not None else None
    if code is None and isinstance(e, sqlite3.OperationalError) and str(e).startswith("no such"):
        code = "damaged"  # a table or a column that has to be there
    if code is None and isinstance(e, sqlite3.DatabaseError) and "decode" in str(e):
        code = "damaged"  # a text that is no UTF-8
    if code is None:
        raise e
    return fault(code, *_WORDS[code], path)
