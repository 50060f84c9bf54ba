"""What a site's coordinator is told: the cause, once, in the site's own units, and never a line of a shipped file."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.book.content import lesson_kinds
from generator.book.errors import told as told_of
from generator.book.tree import render_tree
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.starter import starter_files, write_starter
from generator.publish import build
from generator.reference.tables import load
from tests.conftest import ROOT
from tests.sites import own_rules

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
        "compact", sub(M, ",1.8,1.1,", ",1800,1.1,"), r"machines\.csv:2:mass: 1\u202f800 t is out of range .*; write 1800 kg if that is meant, .* 20 t",
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


def without(files: Files, *begin: str) -> None:
    """Take columns out of the table of machines."""
    rows = list(csv.reader(io.StringIO(files["machines.csv"])))
    kept = [i for i, head in enumerate(rows[0]) if not head.startswith(begin)]
    files["machines.csv"] = "".join(",".join(row[i] for i in kept) + "\n" for row in rows)


def test_several_columns_that_are_missing_are_one_line(tmp_path: Path) -> None:
    files = start("dozing")
    without(files, "blade_", "track_length")
    (told,) = lines_of(tmp_path / "many", files)
    assert re.fullmatch(
        r"machines\.csv:1: 4 columns are missing \(track_length, blade_width, blade_height, blade_load\); dozers need them; "
        r"add to the headings track_length \[m\], blade_width \[m\], blade_height \[m\], blade_load \[m3\], or with the units their figures are in",
        told,
    ), told
    files = start("dozing")
    without(files, "blade_width", "track_length")
    assert len(lines_of(tmp_path / "two", files)) == 2


def test_a_mentor_for_a_kind_that_is_not_here_is_told_of(tmp_path: Path) -> None:
    files = start("dozing") | {
        "mentors.csv": "id,name,machines\nM-1,Ann Example,dozer; excavator; on foot\nM-2,Bo Example,dozer; on foot\n"
    }
    assert lines_of(tmp_path / "site", files) == [
        "mentors.csv:2:machines: Ann Example may sign for excavators, and this site runs none; "
        "take it out, or leave it for when some come [mentor-kind]"
    ]


def test_what_to_check_is_named_as_the_site_names_it(tmp_path: Path) -> None:
    """The floor's elevation is worked out: it is no setting, and what it is worked from is."""
    files = start("compact")
    surface = re.compile(r"(?m)^  surface_elevation: \S+ m")
    assert surface.search(files["settings.yml"])
    files["settings.yml"] = re.sub(
        r"(?m)^      - ([a-z-]+)\n", lambda m: m[0] if m[1] in {"stop-work", "trench-to-grade"} else "",
        surface.sub("  surface_elevation: 100 m", files["settings.yml"]),
    )  # fmt: skip
    assert lines_of(tmp_path / "site", files) == []
    tree = render_tree(*build.load(tmp_path / "site"))
    (told,) = [str(p) for p in told_of(tree.problems)]
    assert "the grade line lies above the ground" in told and "invert" not in told
    assert told.endswith("check start_elevation, trench_grade, trench_length and surface_elevation")


@pytest.mark.parametrize(("limit", "figure"), [("trench_entry_depth", "1.8 m"), ("spoil_setback", "0.3 m")])
def test_a_figure_of_united_states_law_bounds_no_limit_elsewhere(tmp_path: Path, limit: str, figure: str) -> None:
    """Five feet and two feet are ends of 29 CFR 1926.652 and 1926.651: of no other rules, but for their own table's figure."""
    line = rf"(?m)^  {limit}: \S+ m"

    def said(folder: Path, value: str) -> list[str]:
        path = folder / "settings.yml"
        text, n = re.subn(line, f"  {limit}: {value}", path.read_text("utf-8"))
        assert n == 1
        path.write_text(text, "utf-8")
        try:
            read(folder, lesson_kinds(CONTENT, folder), load(CONTENT))
        except SiteProblems as e:
            return [str(p) for p in e.problems]
        return []

    folders = {}
    for rules in ("us-federal", "none"):
        write_starter(tmp_path / rules, starter_files(CONTENT, "metric", like=("compact",), rules=rules))
        folders[rules] = tmp_path / rules
    folders["own"] = own_rules(tmp_path / "own")
    assert len(said(folders["us-federal"], figure)) == 1 and said(folders["none"], figure) == []
    (told,) = said(folders["own"], figure)
    assert "than rules/trench-entry.csv gives for" in told
    entry = folders["own"] / "rules/trench-entry.csv"  # a rule that gives none of the two bounds neither
    text = re.sub(r"(?m)^(protection needed from this depth|spoil back from the edge);.*$", r"\1;none", entry.read_text("utf-8"))
    entry.write_text(text, "utf-8")
    assert said(folders["own"], figure) == []
    for rules in ("none", "own"):
        (told,) = said(folders[rules], "0 m")
        assert f"limits.{limit}" in told
    (told,) = said(folders["none"], "-0.5 m")


@pytest.mark.parametrize(
    ("limit", "loose", "held", "told"),
    [
        ("trench_entry_depth", "1.26 m", "1.25 m", "trench_entry_depth (1.26 m) is more than rules/trench-entry.csv gives for 'protection needed from "
         "this depth' (1.25 m); write 1.25 m or less"),
        ("spoil_setback", "0.69 m", "0.7 m", "spoil_setback (0.69 m) is less than rules/trench-entry.csv gives for 'spoil back from the edge' "
         "(0.7 m); write 0.7 m or more"),
    ],
)  # fmt: skip
def test_a_limit_on_trenches_is_held_to_the_sites_own_rules(tmp_path: Path, limit: str, loose: str, held: str, told: str) -> None:
    folder = own_rules(tmp_path / "own")
    path = folder / "settings.yml"
    text = path.read_text("utf-8")
    for figure in (held, loose):
        path.write_text(re.sub(rf"(?m)^  {limit}: \S+ m", f"  {limit}: {figure}", text), "utf-8")
        if figure == held:
            read(folder, lesson_kinds(CONTENT, folder), load(CONTENT))
            continue
        with pytest.raises(SiteProblems) as refused:
            read(folder, lesson_kinds(CONTENT, folder), load(CONTENT))
        (line,) = map(str, refused.value.problems)
        assert re.fullmatch(
            r"settings\.yml:\d+:limits\." + limit + ": " + re.escape(told) + "; local rules may ask for more still", line
        ), line


def test_what_is_wrong_with_a_figure_is_told_in_the_sites_writing(tmp_path: Path) -> None:
    """With the decimal comma of its country, and what to type as it can be typed there; of a table with points, with points."""
    folder = tmp_path / "site"
    write_starter(folder, starter_files(CONTENT, "metric"))
    settings, machines = folder / "settings.yml", folder / "machines.csv"
    text = re.sub(r"(?m)^units: metric.*", "units: metric\ncountry: ES", settings.read_text("utf-8"))
    for name, figure in (("edge_distance", "45,5 m"), ("spoil_setback", "0,3 m"), ("bench_height", "4.000 m")):
        text, n = re.subn(rf"(?m)^  {name}: .*", f"  {name}: {figure}", text)
        assert n == 1
    settings.write_text(text, "utf-8")
    table = machines.read_text("utf-8")
    assert table.count("D-1,D-1 Dozer,dozer,18,") == 1
    machines.write_text(table.replace("D-1,D-1 Dozer,dozer,18,", "D-1,D-1 Dozer,dozer,18500.5,"), "utf-8")

    def said() -> dict[str, str]:
        with pytest.raises(SiteProblems) as refused:
            read(folder, lesson_kinds(CONTENT, folder), load(CONTENT))
        return {str(p.column): f"{p.what}; {p.fix}" for p in refused.value.problems}

    told = said()
    assert told["limits.edge_distance"].startswith("45,5 m is out of range (0,305 m to 18,3 m); write 45,5 cm if that is meant")
    assert told["limits.spoil_setback"] == "0,3 m is out of range (0,61 m to 15,2 m); check the figure and its unit; an example is 0,61 m"
    assert told["limits.bench_height"] == "'4.000' can be read two ways; write 4000, or 4,0 for the small number"
    assert told["mass"].startswith("18\u202f500,5 t is out of range (680 kg to 181 t); write 18500.5 kg if that is meant")
    # one figure against another, and the next site is told of in its own writing
    path = re.sub(r"(?m)^  (edge_distance|bench_height): .*", r"  \1: 3 m", text).replace("spoil_setback: 0,3 m", "spoil_setback: 0,7 m")
    settings.write_text(re.sub(r"(?m)^  line_clearance: .*", "  line_clearance: 3,1 m", path), "utf-8")
    machines.write_text(table, "utf-8")
    told = said()
    assert told["limits.line_clearance"].startswith(
        "line_clearance (3,1 m) is less than the rules give for a line of 115 kV (4,58 m); write 4,58 m"
    )
    settings.write_text(text.replace("country: ES", "").replace("45,5", "45.5").replace("0,3", "0.3"), "utf-8")
    assert said()["limits.edge_distance"].startswith("45.5 m is out of range (0.305 m to 18.3 m)")
