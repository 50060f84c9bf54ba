"""The README's walk, carried out: its commands in their order, and the lines it says they print.

A block that starts with ``$ seatwork`` is a command and lines of what it prints, in order. A line
of only … stands for lines left out, and runs of blanks count as one.
"""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from generator.book.kept import FRESH
from generator.cli.main import COMMANDS, main
from generator.jobsite.reader import read
from generator.records.demo_class import write_class
from tests.conftest import ROOT, copy_demo

README = (ROOT / "README.md").read_text("utf-8")
BLOCK = re.compile(r"(?ms)^```\n\$ (seatwork [^\n]*)\n(.*?)^```$")
FAILS = {"seatwork build ridge"}  # it shows a mistake


class NotSo(AssertionError):
    """The README says something else than what is printed."""


def plain(text: str) -> list[str]:
    return [" ".join(line.split()) for line in text.splitlines() if line.strip()]


def compare(command: str, shown: str, printed: str) -> None:
    """Raises NotSo unless the lines of ``shown`` are those of ``printed``, whole and in order."""
    lines, may_skip = iter(plain(printed)), False
    for expected in plain(shown):
        if expected == "…":
            may_skip = True
            continue
        for line in lines:
            if line == expected:
                break
            if not may_skip:
                raise NotSo(f"{command}\nshould print\n{expected}\nand prints\n{line}")
        else:
            raise NotSo(f"{command}\ndoes not print (in this order)\n{expected}\nbut\n{printed}")
        may_skip = False
    if not may_skip and (rest := list(lines)):
        raise NotSo(f"{command}\nprints more than the README shows\n" + "\n".join(rest))


def edited(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert text.count(old) == 1, (path.name, old)
    path.write_text(text.replace(old, new), "utf-8", newline="")


def heavy(_: Path) -> None:
    assert main(["build", "ridge", "--quiet"]) == 0
    edited(Path("ridge/machines.csv"), ",excavator,36,", ",excavator,heavy,")


def swapped(_: Path) -> None:
    edited(Path("ridge/machines.csv"), ",excavator,heavy,", ",excavator,36,")
    assert "the new excavator's stick is 2.8 m long, not 3 m" in README and "`edition: draft-2`" in README
    edited(Path("ridge/machines.csv"), ",3,10.5,2.4,", ",2.8,10.5,2.4,")
    edited(Path("ridge/settings.yml"), "\nedition: draft-1 ", "\nedition: draft-2 ")
    assert main(["build", "ridge", "--quiet"]) == 0


def demo_with_class(demo: Path) -> None:
    site = copy_demo(Path("site_demo"))
    for name in ("out", "editions"):
        shutil.copytree(demo / name, site / name)
    write_class(site)


BEFORE: Mapping[str, Callable[[Path], None]] = {
    "seatwork build ridge": heavy,
    "seatwork compare draft-1 draft-2 --site ridge": swapped,
    "seatwork tally site_demo --as-of 2026-05-01": demo_with_class,
}


def test_the_walk_prints_what_the_readme_shows(demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    monkeypatch.chdir(tmp_path)
    # as for whoever walks it: the second build takes up what the first one kept
    monkeypatch.delenv(FRESH)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    blocks = BLOCK.findall(README)
    assert len(blocks) == README.count("\n$ ") == 6 and {c for c, _ in blocks} >= set(BEFORE)
    for command, shown in blocks:
        if command in BEFORE:
            BEFORE[command](demo)
        capsys.readouterr()
        assert main(shlex.split(command)[1:]) == (2 if command in FAILS else 0), command
        out, err = capsys.readouterr()
        compare(command, shown, out + err.replace("reading tables\n", ""))
    assert read(Path("ridge")).settings.edition == "draft-2"
    # the folders it names are there
    tree = re.findall(r"(?m)^FOLDER/([\w./]+)  +\w", README)
    assert len(tree) == 6 and all((tmp_path / "ridge" / name).exists() for name in tree)
    assert (tmp_path / "ridge/out/headers/policy.txt").is_file() and (tmp_path / "ridge/out/headers/nginx.conf").is_file()


def test_it_names_every_command_every_file_and_every_make_target_as_they_are() -> None:
    assert set(re.findall(r"(?m)^\| `seatwork (\w+)", README)) == set(COMMANDS)
    targets = re.findall(r"(?m)^(\w+):", (ROOT / "Makefile").read_text("utf-8"))
    assert set(re.findall(r"(?:^|`)make (\w+)", README, re.M)) <= set(targets)
    links = re.findall(r"\]\(([^)#]+)\)", README)
    assert links and all((ROOT / link).is_file() for link in links)
    headings = {re.sub(r"[^a-z0-9 -]", "", h.lower()).replace(" ", "-") for h in re.findall(r"(?m)^#+ (.+)$", README)}
    assert set(re.findall(r"\]\(#([^)]+)\)", README)) <= headings


@pytest.mark.parametrize(
    ("shown", "printed", "message"),
    [
        ("a\nb", "a\nc", "should print\nb"),
        ("a\n…\nb", "a\nc", "does not print"),
        ("a\n…\nb", "b\na", "should print\na"),
        ("a", "a\nb", "prints more"),
        ("a\nb", "a", "does not print"),
    ],
)
def test_what_is_not_so_is_found(shown: str, printed: str, message: str) -> None:
    compare("x", "a\n  …\nb  c\n…", "a\nz\nz\nb c\nd")
    with pytest.raises(NotSo, match=message):
        compare("x", shown, printed)
