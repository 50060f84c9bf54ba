"""Which files a build wrote, with their hashes: one list for the publisher, one for the reader's device."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path

LIST = "files.sha256"


def hashes(folder: Path, leave_out: Iterable[str] = ()) -> dict[str, str]:
    """SHA-256 of every file below ``folder`` by its path from there, sorted.

    ``leave_out`` names folders (or files) by their paths from there.
    """
    out = tuple(leave_out)
    found = {}
    for path in folder.rglob("*"):
        name = path.relative_to(folder).as_posix()
        if path.is_file() and not any(name == o or name.startswith(f"{o}/") for o in out):
            found[name] = hashlib.sha256(path.read_bytes()).hexdigest()
    return dict(sorted(found.items()))


def write_list(out: Path, leave_out: Iterable[str]) -> None:
    """Write ``files.sha256`` into a build's folder, for ``sha256sum -c`` run there.

    ``leave_out``: folders that other commands write later, so that their files would not match.
    """
    rows = hashes(out, (LIST, *leave_out))
    text = "".join(f"{value}  {name}\n" for name, value in rows.items())
    (out / LIST).write_text(text, "utf-8", newline="\n")
