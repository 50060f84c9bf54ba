"""Which files a build wrote, with their hashes: one list for the publisher, one for the reader's device."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from pathlib import Path

MANIFEST = "files.sha256"
_ROW = re.compile(r"([0-9a-f]{64})  ([^\n]+)")


def hash_of(path: Path) -> str:
    """SHA-256 of a file, as hex digits. Raises OSError."""
    with path.open("rb") as f:
        return hashlib.file_digest(f, "sha256").hexdigest()


def hashes(folder: Path, leave_out: Iterable[str] = ()) -> dict[str, str]:
    """SHA-256 of every file below ``folder`` by its path from there, sorted.

    ``leave_out`` names folders (or files) by their paths from there.
    """
    out = tuple(leave_out)
    found = {}
    for path in folder.rglob("*"):
        name = path.relative_to(folder).as_posix()
        if path.is_file() and not any(name == o or name.startswith(f"{o}/") for o in out):
            found[name] = hash_of(path)
    return dict(sorted(found.items()))


def write_manifest(out: Path, leave_out: Iterable[str]) -> None:
    """Write ``files.sha256`` into a build's folder, for ``sha256sum -c`` run there.

    ``leave_out``: folders that other commands write later, so that their files would not match.
    """
    rows = hashes(out, (MANIFEST, *leave_out))
    text = "".join(f"{value}  {name}\n" for name, value in rows.items())
    (out / MANIFEST).write_text(text, "utf-8", newline="\n")


def read_manifest(out: Path) -> dict[str, str] | None:
    """The list in a build's folder: hashes by path. None where there is none; what is no row of it is left out."""
    path = out / MANIFEST
    if path.is_symlink() or not path.is_file():
        return None
    rows = (_ROW.fullmatch(row) for row in path.read_text("utf-8", "replace").splitlines())
    return {m[2]: m[1] for m in rows if m}
