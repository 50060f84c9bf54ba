"""What a site's coordinator is told: the cause, once, in the site's own units, and never a line of a shipped file."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.book.content import lesson_kinds
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.starter import starter_files, write_starter
from generator.reference.tables import load
from tests.conftest import ROOT

CONTENT = ROOT / "content"
US_UNIT = re.compile(r"[0-9] ?(ft|in|lb|yd|mph|gal|ton)\b|\[(ft|in|lb|yd3|mph|gal|ton)\]")
Files = dict[str, str]


def lines_of(folder: Path, files: Files) -> list[str]:
    write_starter(folder, {name: text.encode() for name, text in files.items()})
    try:
        return [str(p) for p in read(folder, lesson_kinds(CONTENT, folder), load(CONTENT)).notices]
    except SiteProblems as e:
        return [str(p) for p in e.problems]


def start(*like: str) -> Files:
    return {name: data.decode("utf-8-sig") for name, data in starter_files(CONTENT, "metric", like=like).items()}


def semicolons(files: Files) -> None:
    """As a spreadsheet saves them where a comma stands before the decimals."""
    for name in [n for n in files if n.endswith(".csv")]:
        rows = list(csv.reader(io.StringIO(files[name])))
        out = io.StringIO()
        csv.writer(out, delimiter=";", lineterminator="\n").writerows([re.sub(r"^(\d+)\.(\d+)$", r"\1,\2", c) for c in r] for r in rows)
        files[name] = out.getvalue()


def sub(file: str, old: str, new: str) -> Callable[[Files], None]:
    def do(files: Files) -> None:
        assert files[file].count(old) >= 1, old
        files[file] = files[file].replace(old, new, 1)

    return do


def both(*changes: Callable[[Files], None]) -> Callable[[Files], None]:
    def do(files: Files) -> None:
        for change in changes:
            change(files)

    return do


M, S = "machines.csv", "settings.yml"
CASES: dict[str, tuple[str, Callable[[Files], object], str]] = {
    "a comma file": ("compact", semicolons, ""),
    "read two ways": ("compact", both(semicolons, sub(M, ";1,8;1,1;", ";1.800;1,1;")), r"machines\.csv:2:mass: .*; write 1800, or 1,8 for the small number"),
    "kilograms as tonnes": (
        "compact", sub(M, ",1.8,1.1,", ",1800,1.1,"), r"machines\.csv:2:mass: 1,800 t is out of range .*; write 1800 kg if that is meant, .* 20 t",
    ),
    "no unit": ("compact", sub(M, "mass [t]", "mass"), r"machines\.csv:2:mass: '1.8' has no unit; write the heading as mass \[t\], or with the unit .*"),
    "heading": ("compact", sub(M, "track_length [m]", "track_length [kg]"), r".* kg is not a unit of length; write track_length \[m\], or with .*"),
    "words": ("compact", both(semicolons, sub(M, ";1,8;1,1;", ";about two;1,1;")), r"machines\.csv:2:mass: 'about two' is not a quantity; write it as 20 t"),
    "one figure gone": (
        "compact", sub(S, "  trench_grade: 1%", "  # trench_grade: 1%"), r"settings\.yml:\d+:job\.trench_grade: job has no trench_grade .*; add trench_grade: .*",
    ),
    "millimetres as metres": ("compact", sub(S, "trench_depth: 0.9 m", "trench_depth: 900 m"), r".*job\.trench_depth: 900 m .*; write 900 mm if .*"),
    "many figures gone": (
        "compact", sub(S, "      - found-a-line\n", "      - found-a-line\n      - lifting-with-the-bucket\n"),
        r"settings\.yml:\d+:roles\.compact-operator\.lessons: the lesson lifting-with-the-bucket needs 3 figures .*lift_load: 1600 kg, .* out of the role",
    ),
    "a lesson of another machine": ("dozing", sub(S, "      - stop-work\n", "      - stop-work\n      - trench-walls\n"), ""),
    "trucks gone": (
        "loading", lambda files: files.pop("trucks.csv"),
        r"settings\.yml:\d+:roles\.truck-driver\.machines: the role runs trucks, and there is no table of trucks; add trucks\.csv, or .*",
    ),
    "a truck leads": (
        "trenching", sub(S, "  material: common-earth", "  truck: T-1\n  material: common-earth"),
        r"settings\.yml:\d+:lead\.truck: 'T-1' leads, and there is no table of trucks; .*",
    ),
    "settings that cannot be read": ("compact", sub(S, "  trench_depth", "\ttrench_depth"), r"settings\.yml:\d+: the line starts with a tab; .*"),
    "a lead of another kind": (
        "dozing", sub(S, "  dozer: D-1\n", "  dozer: D-1\n  excavator: E-1\n"), r".*lead\.excavator: .*; this site has no excavator: take the line out",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_one_cause_is_one_line_in_the_units_of_the_site(case: str, tmp_path: Path) -> None:
    like, change, line = CASES[case]
    files = start(like)
    change(files)
    told = lines_of(tmp_path / "site", files)
    assert len(told) == bool(line), told
    for one in told:
        assert re.fullmatch(line, one), one
        assert not US_UNIT.search(one) and "content/" not in one
