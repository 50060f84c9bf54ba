"""Which packages a handbook's build needs, and under which licences. Prints the table of LICENCES.md:

python -m tests.packages
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from importlib import metadata
from typing import Any

from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.conftest import ROOT

HERE = {k: str(v) for k, v in default_environment().items()}
# what a package may ask for depends on where it is installed
PLACES = tuple(
    {"sys_platform": platform, "platform_system": system, "os_name": name, "python_version": python, "python_full_version": f"{python}.9"}
    for platform, system, name in (("linux", "Linux", "posix"), ("darwin", "Darwin", "posix"), ("win32", "Windows", "nt"))
    for python in ("3.11", "3.12", "3.13", "3.14")
)


def needed() -> list[Requirement]:
    """What ``pyproject.toml`` asks for at run time."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    return [Requirement(line) for line in project["dependencies"]]


def closure(asked: Iterable[Requirement]) -> dict[str, list[Requirement]]:
    """Each package that is needed somewhere, by its name as an index writes it, with all that asks for it.

    One that is not installed here (another system needs it) is in it all the same, without what it asks for.
    """
    found: dict[str, list[Requirement]] = {}
    seen: set[tuple[str, frozenset[str]]] = set()
    todo = [(r, frozenset({""})) for r in asked]
    while todo:
        asks, extras = todo.pop()
        if asks.marker and not any(asks.marker.evaluate({**HERE, **p, "extra": e}) for p in PLACES for e in extras):
            continue
        name = canonicalize_name(asks.name)
        found.setdefault(name, []).append(asks)
        its = frozenset({"", *asks.extras})
        if (name, its) in seen:
            continue
        seen.add((name, its))
        try:
            lines = metadata.requires(name) or []
        except metadata.PackageNotFoundError:
            continue
        todo += [(Requirement(line), its) for line in lines]
    return found


def licence_of(name: str) -> str:
    """The licence an installed package's metadata names. Raises PackageNotFoundError."""
    data: Any = metadata.metadata(name)  # a Message of the standard library
    named = [c.rpartition("::")[2].strip() for c in data.get_all("Classifier") or [] if c.startswith("License ::")]
    given = (data.get("License") or "").strip()
    # a licence's whole text is no name
    short = given if given and given != "UNKNOWN" and "\n" not in given else ""
    return str(data.get("License-Expression") or short or ", ".join(named))


def table(names: Iterable[str]) -> str:
    """The rows of LICENCES.md."""
    return "".join(f"| {n} | {licence_of(n)} |\n" for n in sorted(names))


if __name__ == "__main__":
    print("| package | licence |\n|---|---|\n" + table(closure(needed())), end="")
