"""Which packages for a learning system were made of which build: a list beside them, so that nobody hands out old ones.

A build takes over what lies in ``out/packages``, as it does with all it did not write, and says which of
them hold another handbook than the new one.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from generator.publish.manifest import read_manifest

PLACE = "packages"
LIST = "packages.json"


@dataclass(frozen=True)
class Made:
    """A package: its standard, its SHA-256, and the print of the web folder it was made of."""

    standard: str
    hash: str
    web: str


def web_print(out: Path) -> str:
    """A print of all the files of the last build's web folder; '' where there is no list of them."""
    listed = read_manifest(out)
    if listed is None:
        return ""
    rows = "".join(f"{value}  {name}\n" for name, value in sorted(listed.items()) if name.startswith("web/"))
    return hashlib.sha256(rows.encode("utf-8")).hexdigest()


def read_list(folder: Path) -> dict[str, Made]:
    """The packages by their file names; nothing where there is no list that can be read."""
    try:
        rows = json.loads((folder / LIST).read_text("utf-8"))
        return {str(name): Made(**row) for name, row in rows.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def write_list(folder: Path, packages: Mapping[str, Made]) -> None:
    """Write the list into the folder of the packages."""
    rows = {name: asdict(made) for name, made in sorted(packages.items())}
    (folder / LIST).write_text(json.dumps(rows, indent=1) + "\n", "utf-8", newline="\n")


def stale(out: Path) -> tuple[str, ...]:
    """The line about packages in ``out`` that hold another handbook than ``out/web`` does; none where all are of it."""
    here = web_print(out)
    old = [name for name, made in read_list(out / PLACE).items() if made.web != here and (out / PLACE / name).is_file()]
    if not old:
        return ()
    which = old[0] if len(old) == 1 else f"{len(old)} packages"
    return (f"{out / PLACE}: {which} of an earlier build; run seatwork package again and put the new ones into the learning system",)
