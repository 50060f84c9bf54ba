"""What is allowed and wants a look: each doubt is told past the end of its span, and at the end it is not."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest

from generator.jobsite.columns import JOB, LIMITS, NOBODY
from generator.jobsite.doubts import GROUPS, doubts, grouped
from generator.jobsite.problems import Code, notice
from generator.jobsite.reader import read
from generator.jobsite.starter import starter_files, write_starter
from generator.source.files import is_device
from generator.source.problem import Problem
from generator.units.table import SYSTEMS, System
from tests.conftest import DEMO, ROOT, copy_demo
from tests.jobsite.broken import _set
from tests.jobsite.lessons import LESSONS

CONTENT = ROOT / "content"
TODAY = datetime.date(2026, 6, 1)


def looked_at(folder: Path, today: datetime.date | None = TODAY) -> tuple[Problem, ...]:
    return doubts(read(folder, LESSONS), today=today, content=CONTENT)


def in_settings(folder: Path, pattern: str, new: str) -> None:
    path = folder / "settings.yml"
    text, count = re.subn(rf"(?m)^(\s*){pattern}", rf"\g<1>{new}", path.read_text("utf-8"))
    assert count == 1, pattern
    path.write_text(text, "utf-8")


def test_the_demo_and_the_starters_leave_nothing_to_look_at(tmp_path: Path) -> None:
    """At any time: an invented site's days are its own."""
    sites = [DEMO]
    for units in SYSTEMS:
        write_starter(tmp_path / units, starter_files(CONTENT, units))
        sites.append(tmp_path / units)
    for folder in sites:
        for year in (2020, 2026, 2040):
            assert looked_at(folder, datetime.date(year, 6, 1)) == ()


# A cell of the demo with a figure right at the end of a span, and one just past it. The ends are worked out by hand
# from the row's other figures; how wide the spans are is common practice, no source.
ENDS: tuple[tuple[str, str, int, str, str, str], ...] = (
    # E-1: gauge 7.8 ft, tracks 12 ft long, 10.5 ft wide, reach 32 ft, 50,000 lb
    ("centre-of-gravity", "machines", 6, "cg_height", "6.24", "6.25"),
    ("centre-of-gravity", "machines", 6, "cg_height", "1.95", "1.94"),
    ("tracks", "machines", 6, "track_length", "15.6", "15.7"),
    ("tracks", "machines", 6, "track_length", "7.02", "7"),
    ("stick", "machines", 6, "stick_length", "16", "16.1"),
    ("stick", "machines", 6, "stick_length", "4.8", "4.7"),
    ("reach", "machines", 6, "max_digging_depth", "27.2", "27.3"),
    ("reach", "machines", 6, "max_digging_depth", "12.8", "12.7"),
    ("reach", "machines", 6, "boom_reach_height", "44.8", "44.9"),
    ("reach", "machines", 6, "boom_reach_height", "22.4", "22.3"),
    ("bucket-width", "machines", 6, "bucket_width", "138.6", "139"),
    ("bucket-width", "machines", 6, "bucket_width", "10.08", "10"),
    # a yard of common earth weighs 3,100 lb in the bank and 2,480 lb loose: 2.88 yd³ are 7,142 lb, and a seventh is 7,143
    ("bucket-load", "machines", 6, "bucket_capacity", "2.88", "2.89"),
    ("bucket-load", "machines", 6, "bucket_capacity", "0.31", "0.3"),
    # D-1: gauge 6.5 ft and a shoe of 2 ft; a machine wider by a fifth is 10.2 ft
    ("width", "machines", 2, "overall_width", "10.2", "10.21"),
    # D-2: a blade of 8.5 by 3 ft, 7.2 ft wide; by the rule 0.8 × 8.5 × 3² = 61.2 ft³ or 2.267 yd³
    ("blade", "machines", 3, "blade_height", "5.1", "5.2"),
    ("blade", "machines", 3, "blade_width", "13.68", "13.7"),
    ("blade", "machines", 3, "blade_width", "6.48", "6.4"),
    ("blade-load", "machines", 3, "blade_load", "3.4", "3.41"),
    ("blade-load", "machines", 3, "blade_load", "1.14", "1.13"),
    # C-1: 4.5 ft wide, blade 4.5 ft; gauge 2.5 ft narrow and a shoe of 9 in: 3.25 ft, and as rounded 3.2175 ft
    ("blade", "machines", 9, "blade_height", "2.25", "2.26"),
    ("blade", "machines", 9, "blade_height", "0.54", "0.53"),
    ("blade", "machines", 9, "blade_width", "5.4", "5.41"),
    ("blade", "machines", 9, "blade_width", "3.83", "3.8"),
    ("narrow-width", "machines", 9, "narrow_width", "3.22", "3.21"),
    ("width", "machines", 9, "gauge_wide", "3.79", "3.8"),
    # T-2: payload 20 tons; 22.58 yd³ of common earth are 55,998 lb
    ("empty-mass", "trucks", 3, "empty_mass", "30", "30.1"),
    ("empty-mass", "trucks", 3, "empty_mass", "9", "8.9"),
    ("body-load", "trucks", 3, "body_volume", "22.58", "22.59"),
    ("body-load", "trucks", 3, "body_volume", "9.68", "9.67"),
)  # fmt: skip


@pytest.mark.parametrize(("code", "table", "line", "column", "within", "beyond"), ENDS, ids=lambda x: str(x))
def test_figures_of_a_row(code: str, table: str, line: int, column: str, within: str, beyond: str, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    _set("", line, column, within)(folder / f"{table}.csv")
    assert code not in [p.code for p in looked_at(folder)]
    _set("", line, column, beyond)(folder / f"{table}.csv")
    told = [p for p in looked_at(folder) if p.code == code]
    assert [(p.file, p.line) for p in told] == [(f"{table}.csv", line)]
    # a share is told with as many digits as set it apart from the end it is beyond
    shares = [float(x) for x in re.findall(r"([\d.]+)%", told[0].what)]
    assert len(set(shares)) == len(shares)
    assert str(told[0]).endswith(f" [{code}]") and "; " in str(told[0]) and "\n" not in str(told[0])


SLIPS: tuple[tuple[str, Callable[[Path], object], str], ...] = (
    (
        "a bucket in the wrong column", lambda f: _set("", 6, "bucket_capacity", "15")(f / "machines.csv"),
        "machines.csv:6:bucket_capacity: a bucket of 15 yd³ full of common earth weighs 37,200 lb, 74% of the machine E-1 (50,000 lb), "
        "where 1.5% to 14% is usual; check bucket_capacity and mass and their units [bucket-load]",
    ),
    (
        "the loaded truck", lambda f: _set("", 2, "empty_mass", "55")(f / "trucks.csv"),
        "trucks.csv:2:empty_mass: empty_mass (55 tons) of T-1 is 180% of its payload (30 tons), where 45% to 150% is usual; "
        "check both figures and their units: the weight empty is without the load [empty-mass]",
    ),
    (
        "the truck weighed with its load", lambda f: in_settings(f, "measured_load: 27 ton", "measured_load: 52 ton"),
        "settings.yml:{measured_load}:job.measured_load: measured_load (52 tons) is 170% of the payload of T-1 (30 tons), where 40% to 120% "
        "is usual; take the truck's own weight off what the scale shows [measured-load]",
    ),
    (
        "a width with something on it", lambda f: _set("", 5, "overall_width", "13.6")(f / "machines.csv"),
        "machines.csv:5:overall_width: overall_width (13.6 ft) of D-4 is 30% more than track_gauge and shoe_width together (7.5 ft and "
        "36 in), where up to 20% more is usual; check the three figures and their units: the gauge is from centre to centre of the "
        "tracks [width]",
    ),
    (
        "tonnes", lambda f: _head(f / "trucks.csv", "payload [ton]", "payload [t]"),
        "trucks.csv:2:payload: payload is in tonnes on a US site: a tonne of 1,000 kg is a tenth more than a ton of 2,000 lb, so "
        "30 t (T-1 and 3 more) is 33.1 tons; keep it if the data sheet says t; if not, write the unit as ton [tonne]",
    ),
    (
        "tonnes in settings", lambda f: in_settings(f, "measured_load: 27 ton", "measured_load: 27 t"),
        "settings.yml:{measured_load}:job.measured_load: measured_load is in tonnes on a US site: a tonne of 1,000 kg is a tenth more "
        "than a ton of 2,000 lb, so 27 t is 29.8 tons; keep it if the data sheet says t; if not, write the unit as ton [tonne]",
    ),
    (
        "metres among feet", lambda f: in_settings(f, "slot_length: 150 ft", "slot_length: 150 m"),
        "settings.yml:{slot_length}:job.slot_length: slot_length is in metric units (150 m), and most of the figures under job: are in US "
        "units; keep it if the unit is the one it was measured in; if not, write the right one [mixed-units]",
    ),
    (
        "metres in one cell", lambda f: _set("", 4, "blade_width", "4.3 m")(f / "machines.csv"),
        "machines.csv:4:blade_width: blade_width is in metric units (4.3 m of D-3), and most of the figures of the table are in US units; "
        "keep it if the unit is the one it was measured in; if not, write the right one [mixed-units]",
    ),
    (
        "a year with its digits turned", lambda f: _set("", 4, "start", "2062-03-02")(f / "crew.csv"),
        "crew.csv:4:start: P-03 starts on 2062-03-02, more than a year from now; check the year [start-far]",
    ),
    (
        "a year of birth", lambda f: _set("", 4, "start", "1971-03-02")(f / "crew.csv"),
        "crew.csv:4:start: P-03 started on 1971-03-02, more than 50 years ago; check the year [start-far]",
    ),
)  # fmt: skip


def _head(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")


@pytest.mark.parametrize(("slip", "line"), [(do, line) for _, do, line in SLIPS], ids=[id_ for id_, _, _ in SLIPS])
def test_a_slip_is_one_line(slip: Callable[[Path], object], line: str, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    slip(folder)
    settings = (folder / "settings.yml").read_text("utf-8").split("\n")
    wanted = re.sub(r"\{(\w+)\}", lambda m: str(next(i for i, t in enumerate(settings, 1) if t.startswith(f"  {m[1]}:"))), line)
    assert [str(p) for p in looked_at(folder)] == [wanted]


def test_a_metric_site_is_told_of_tons_and_left_alone_with_its_own_units(tmp_path: Path) -> None:
    write_starter(tmp_path / "site", starter_files(CONTENT, "metric"))
    folder = tmp_path / "site"
    _head(folder / "trucks.csv", "body_volume [m3]", "body_volume [yd3]")
    _set("", 2, "body_volume", "19.6")(folder / "trucks.csv")
    _set("", 3, "body_volume", "11.8")(folder / "trucks.csv")
    in_settings(folder, "measured_load: 20 t", "measured_load: 22 ton")
    lines = [str(p) for p in looked_at(folder)]
    assert len(lines) == 2
    assert lines[0].startswith(
        "trucks.csv:2:body_volume: body_volume is in US units (19.6 yd³ of T-1), and most of the figures of the table"
    )
    assert "a ton of 2,000 lb is 9% less than a tonne of 1,000 kg, so 22 tons is 20 t; keep it if the data sheet says ton" in lines[1]


def test_a_table_all_in_the_other_units_is_no_slip_but_for_its_tonnes(tmp_path: Path) -> None:
    """Data sheets come as they come. US tables on a metric site: only the tons of its trucks are told."""
    folder = copy_demo(tmp_path / "site")
    in_settings(folder, "units: us ", "units: metric ")
    assert {p.code for p in looked_at(folder)} == {"tonne"}


@pytest.mark.parametrize(
    ("typed", "fix"), [("1.12", "write 12% if 1.12 is the factor"), ("1", "write 0% if 1 is the factor"), ("0.99", ""), ("112%", "")]
)
def test_a_swell_that_may_be_a_factor(typed: str, fix: str, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    _head(folder / "materials.csv", "swell [%]", "swell")
    for line in range(2, 8):
        _set("", line, "swell", "25%")(folder / "materials.csv")
    _set("", 4, "swell", typed)(folder / "materials.csv")
    assert [(p.code, p.file, p.line, p.fix) for p in looked_at(folder)] == ([("swell", "materials.csv", 4, fix)] if fix else [])


# Microsoft's documentation of file names names them: CON, PRN, AUX, NUL, COM and LPT with a digit, with any ending
@pytest.mark.parametrize("name", ["CON", "nul", "Aux", "prn.1", "COM1", "lpt9.x"])
def test_a_name_that_windows_keeps_for_itself(name: str, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "aux")
    _set("", 5, "id", name)(folder / "trucks.csv")
    in_settings(folder, "edition: 2026-1", f"edition: {name}")
    crew = folder / "crew.csv"
    crew.write_text(crew.read_text("utf-8").replace("T-1 T-4", f"T-1 {name}"), "utf-8")
    (folder / "lessons").mkdir()
    (folder / "lessons" / f"{name}.md").write_text("", "utf-8")
    told = looked_at(folder)
    assert {p.code for p in told} == {"device-name"}
    assert [(p.file, p.column) for p in told] == [
        ("settings.yml", "edition"), ("trucks.csv", "id"), (f"lessons/{name}.md", None), ("aux", None)
    ]  # fmt: skip
    assert str(told[1]).startswith(f"trucks.csv:5:id: '{name}' is a name that Windows keeps for a device, so no file or folder there")


@pytest.mark.parametrize("name", ["CONE", "COM", "com10", "null", "T-CON", "x.nul"])
def test_a_name_that_is_only_like_one(name: str) -> None:
    assert not is_device(name)


# --- days ---


def real(folder: Path, **limits: str) -> Path:
    """The demo as a site that says it is real."""
    copy_demo(folder)
    in_settings(folder, "invented: true", "invented: false")
    for name, value in limits.items():
        in_settings(folder, rf"{name}: .*", f"{name}: {value}")
    return folder


@pytest.mark.parametrize(
    ("decided", "today", "says"),
    [
        ("2026-06-01", TODAY, ""),
        ("2026-06-02", TODAY, "the limits were set on 2026-06-02, which is still to come (today is 2026-06-01)"),
        ("2024-06-02", TODAY, ""),
        ("2024-06-01", TODAY, "the limits were set on 2024-06-01, 2 years ago"),
        ("2026-06-02", None, ""),
    ],
)
def test_the_day_of_the_limits(decided: str, today: datetime.date | None, says: str, tmp_path: Path) -> None:
    told = [p.what for p in looked_at(real(tmp_path / "site", decided_on=decided), today) if p.code in {"limits-future", "limits-old"}]
    assert told == ([says] if says else [])


@pytest.mark.parametrize(
    ("start", "codes"), [("2027-06-02", []), ("2027-06-03", ["start-far"]), ("1976-06-01", []), ("1976-01-01", ["start-far"])]
)
def test_the_day_somebody_starts(start: str, codes: list[str], tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    _set("", 4, "start", start)(folder / "crew.csv")
    assert [p.code for p in looked_at(folder)] == codes


# --- what was never changed ---


def cleared(folder: Path, units: System) -> Path:
    """A new site that was given a name, a person who answers for it, and no figure of its own."""
    write_starter(folder, starter_files(CONTENT, units))
    in_settings(folder, "invented: true ", "invented: false")
    in_settings(folder, f"decided_by: {NOBODY}", "decided_by: A. Somebody")
    in_settings(folder, 'emergency: "placeholder: .*"', 'emergency: "Call the gate, channel 3"')  # a placeholder there is a mistake
    for table in folder.glob("*.csv"):
        table.write_text(re.sub(r"placeholder: .*", "", table.read_text("utf-8-sig")), "utf-8")
    return folder


@pytest.mark.parametrize("units", SYSTEMS)
def test_a_starter_cannot_pass_for_a_real_site_by_clearing_its_notes(units: System, tmp_path: Path) -> None:
    told = looked_at(cleared(tmp_path / "site", units))
    asked = [c.name for c in JOB if c.needed_for]
    limits = [p for p in told if p.code == "limit-unchanged"]
    assert [p.column for p in limits] == [f"limits.{c.name}" for c in LIMITS if c.name not in {"decided_by", "call", "emergency"}]
    lines = (tmp_path / "site" / "settings.yml").read_text("utf-8").split("\n")
    assert all(lines[(p.line or 0) - 1].startswith(f"  {(p.column or '').partition('.')[2]}: ") for p in limits)
    (figures,) = [p for p in told if p.code == "figures-unchanged"]
    assert figures.what == (f"{len(asked)} of {len(asked)} figures are still those a new job site starts with: {', '.join(asked)}")
    assert [(p.file, p.line) for p in told if p.code == "row-unchanged"] == [
        ("machines.csv", 2), ("trucks.csv", 2), ("materials.csv", 2), ("crew.csv", 2)
    ]  # fmt: skip
    assert "name-unchanged" in {p.code for p in told}


def a_little_more(match: re.Match[str]) -> str:
    """All figures together a thousandth larger, so that they still fit each other."""
    return f"{match[1]}{float(match[2]) * 1.001:.7g}"


def test_only_what_was_never_changed_is_told(tmp_path: Path) -> None:
    folder = cleared(tmp_path / "site", "us")
    in_settings(folder, "name: My job site", "name: North Cut")
    in_settings(folder, "key: my-site", "key: north-cut")
    path = folder / "settings.yml"
    kept = {"trench_depth", "line_voltage", "spoil_setback"}
    others = {"decided_on": "2026-05-04", "good_passes": "5", "trucks": "5", "loaders": "2", "measured_buckets": "7",
              "loads_hauled": "39", "trench_soil_type": "B", "trench_upper_soil_type": "A", "trench_lowest_soil_type": "B",
              "heat_crew": "7", "haul_lanes": "3", "roller_passes": "8"}  # fmt: skip
    for column in (*JOB, *LIMITS):
        if column.name in others:
            in_settings(folder, rf"{column.name}: [\w-]+", f"{column.name}: {others[column.name]}")
        elif column.is_quantity and column.needed_for and column.name not in kept:
            text = path.read_text("utf-8")
            path.write_text(re.sub(rf'(?m)^(  {column.name}: "?)([\d.]+)', a_little_more, text), "utf-8")
    in_settings(folder, "site_speed: 20", "site_speed: 21")
    in_settings(folder, "fall_zone: 10", "fall_zone: 11")
    in_settings(folder, "following_distance: 200", "following_distance: 210")
    in_settings(folder, "tip_distance: 10", "tip_distance: 11")
    for table in ("machines", "trucks", "materials"):
        file = folder / f"{table}.csv"
        file.write_text(re.sub(r"(,)([\d.]+)(?=,)", a_little_more, file.read_text("utf-8")), "utf-8")
    crew = folder / "crew.csv"
    crew.write_text(re.sub(r"Person (\w+)", r"Worker \1", crew.read_text("utf-8")), "utf-8")
    told = looked_at(folder)
    assert [p.column for p in told if p.code == "limit-unchanged"] == ["limits.spoil_setback"]
    (figures,) = [p for p in told if p.code == "figures-unchanged"]
    asked = sum(1 for c in JOB if c.needed_for)
    assert figures.what.startswith(f"2 of {asked} figures are still") and figures.what.endswith(": trench_depth, line_voltage")
    assert figures.line == next(i for i, t in enumerate(path.read_text("utf-8").split("\n"), 1) if t.startswith("  trench_depth: "))
    assert len(told) == 2, [str(p) for p in told]


# --- how they are told ---


def test_a_notice_is_told_under_the_heading_of_its_group() -> None:
    notices = [notice("crew.csv", 4, "start", "a", "b", "start-far"), notice("settings.yml", 9, "limits.x", "c", "d", "limit-unchanged")]
    assert grouped(notices) == [
        "not changed since seatwork new:", "  settings.yml:9:limits.x: c; d [limit-unchanged]", "days:", "  crew.csv:4:start: a; b [start-far]",
    ]  # fmt: skip
    assert grouped([]) == []


def test_every_notice_has_a_group() -> None:
    assert list(GROUPS) == list(get_args(Code))


def test_a_person_is_taught_in_a_language_the_handbook_is_made_in(tmp_path: Path) -> None:
    folder = tmp_path / "site"
    write_starter(folder, starter_files(CONTENT, "metric"))
    crew = folder / "crew.csv"
    head, first, second, *rest = crew.read_text("utf-8").splitlines()
    for codes, told in (
        (("en", "EN"), ()),
        (("pl", "en"), ("crew.csv:2:language: P-01 is taught in 'pl', and this handbook is made in en alone; "
                        "write languages: [en, pl] in settings.yml, or mend the column [other-language]",)),
        (("es", "ES"), ("crew.csv:2:language: P-01 and 1 more are taught in 'es', and this handbook is made in en alone; "
                        "write languages: [en, es] in settings.yml, or mend the column [other-language]",)),
    ):  # fmt: skip
        rows = [f"{head},language", f"{first},{codes[0]}", f"{second},{codes[1]}", *(f"{row}," for row in rest)]
        crew.write_text("\n".join((*rows, "")), "utf-8")
        assert tuple(map(str, looked_at(folder))) == told
    in_settings(folder, r"units: metric.*", "units: metric\nlanguages: [en, es]")
    rows = [f"{head},language", *(f"{row},es" for row in (first, second, *rest))]
    crew.write_text("\n".join((*rows, "")), "utf-8")
    assert looked_at(folder) == ()


def test_where_the_handbook_has_several_languages_each_persons_is_told(tmp_path: Path) -> None:
    """One line for all of whom it is not told; nobody is asked for those who have left, or where there is one language."""
    folder = tmp_path / "site"
    write_starter(folder, starter_files(CONTENT, "metric"))
    crew = folder / "crew.csv"
    before = crew.read_text("utf-8")
    head, *people = before.splitlines()
    assert len(people) == 5 and looked_at(folder) == ()
    in_settings(folder, r"units: metric.*", "units: metric\nlanguages: [es, en]")
    means = "they get quizzes on paper in es, and no record says whether they understand it; write the language each is taught in, es or en, into"
    assert [str(p) for p in looked_at(folder)] == [
        f"crew.csv:2:language: no language for P-01, P-02, P-03, P-04, P-05: {means} a column language [no-language]"
    ]
    told = (",es", ",,", ",en,", ",,2026-02-02", ",,")
    crew.write_text("\n".join((f"{head},language,left", *(p + t for p, t in zip(people, told, strict=True)), "")), "utf-8")
    assert [str(p) for p in looked_at(folder)] == [
        f"crew.csv:3:language: no language for P-02, P-05: {means} the column language [no-language]"
    ]
    in_settings(folder, r"languages: \[es, en\]", "language: es")
    assert [p.code for p in looked_at(folder)] == ["other-language"]
