"""The same site, saved in the ways spreadsheets save it, reads to the same values."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.jobsite import cells
from generator.jobsite.cells import BadCell
from generator.jobsite.columns import JOB_BY_NAME, LIMITS_BY_NAME, MACHINES, TABLES, TRUCKS, Column
from generator.jobsite.model import JobSite
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.units.quantity import Quantity, to_places
from generator.units.table import SYSTEMS, from_si
from tests.conftest import DEMO, copy_demo
from tests.jobsite.lessons import LESSONS

Rows = list[list[str]]


def rewrite(folder: Path, change: Callable[[str, Rows], bytes]) -> None:
    """Each table of ``folder``, as ``change`` saves it."""
    for table in TABLES:
        path = folder / table.file
        rows = list(csv.reader(io.StringIO(path.read_text("utf-8"))))
        path.write_bytes(change(table.file, rows))


def joined(rows: Rows, delimiter: str = ",", end: str = "\n") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=end).writerows(rows)
    return out.getvalue()


def figures(site: JobSite) -> list[tuple[str, str, object]]:
    """Every value of every row, figures in SI."""
    return [
        (row.id, name, round(value.si, 12) if isinstance(value, Quantity) else value)
        for row in (*site.machines, *site.trucks, *site.materials)
        for name, value in row.values.items()
    ] + [(p.id, p.name, (p.role, p.machines, p.start)) for p in site.crew]


def decimal_commas(rows: Rows) -> Rows:
    """Points become commas in the columns of figures."""
    numbers = {i for i, head in enumerate(rows[0]) if "[" in head or head == "traction"}
    return [rows[0]] + [[c.replace(".", ",") if i in numbers else c for i, c in enumerate(row)] for row in rows[1:]]


def padded(rows: Rows) -> Rows:
    """Blank rows and columns behind the table, and blanks around cells."""
    wide = [[f" {c} " for c in row] + ["", ""] for row in rows]
    return [*wide[:2], [""] * len(wide[0]), *wide[2:], *[[""] * 3] * 4]


SAVED: dict[str, Callable[[str, Rows], bytes]] = {
    "mark": lambda _, rows: joined(rows).encode("utf-8-sig"),
    "windows-ends": lambda _, rows: joined(rows, end="\r\n").encode(),
    "old-mac-ends": lambda _, rows: joined(rows, end="\r").encode(),
    "semicolon": lambda _, rows: joined(rows, ";").encode("utf-8-sig"),
    "semicolon-commas": lambda _, rows: joined(decimal_commas(rows), ";").encode("utf-8-sig"),
    "tab-commas": lambda _, rows: joined(decimal_commas(rows), "\t").encode(),
    "separator-named": lambda _, rows: b"sep=;\r\n" + joined(rows, ";", "\r\n").encode(),
    "padded": lambda _, rows: joined(padded(rows)).encode(),
    "quoted": lambda _, rows: "\n".join(",".join(f'"{c}"' for c in r) for r in rows).encode(),
    "columns-turned": lambda _, rows: joined([r[::-1] for r in rows]).encode(),
    "headings-as-people-write": lambda _, rows: joined(
        [[re.sub(r"_", " ", h).title().replace("[Ft]", "( ft )").replace("[Lb", "[lb").replace("[In]", "[inches]")
          .replace("[Yd3]", "[cu yd]").replace("/Yd3]", "/yd3]").replace("[Mph]", "[mph]").replace("[Rpm]", "[rpm]")
          .replace("[S]", "[sec]").replace("[Ton]", "[tons]").replace("[Deg]", "[°]") for h in rows[0]], *rows[1:]]
    ).encode(),
    "unicode-text": lambda _, rows: joined(decimal_commas(rows), "\t", "\r\n").encode("utf-16"),
    "unicode-text-other-way-round": lambda _, rows: b"\xfe\xff" + joined(rows, "\t").encode("utf-16-be"),
    "note-above": lambda _, rows: joined([["Ours, as of March; ask Ines", *[""] * 5], [], *rows]).encode(),
    "note-above-semicolons": lambda _, rows: ("Ours, as of March, ask Ines\n\n" + joined(decimal_commas(rows), ";")).encode("utf-8-sig"),
    "two-notes-above": lambda _, rows: joined([["", "Ours"], ["as of March"], *rows], "\t").encode(),
    "blank-rows-and-columns-behind": lambda _, rows: joined([[*r, *[""] * 40] for r in rows] + [[""] * 60] * 300).encode(),
    "thousands": lambda _, rows: joined(
        [[re.sub(r"^(\d{2,3})(000)$", r"\1,\2", c) for c in row] for row in rows]
    ).encode(),
}  # fmt: skip


@pytest.mark.parametrize("way", SAVED)
def test_saved_otherwise_reads_the_same(way: str, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    rewrite(folder, SAVED[way])
    assert sorted(figures(read(folder, LESSONS)), key=str) == sorted(figures(read(DEMO, LESSONS)), key=str)


# Exact by definition: the international yard and pound agreement of 1959.
EXACT = {
    "ft": ("m", 0.3048), "in": ("mm", 25.4), "lb": ("kg", 0.45359237), "mph": ("km/h", 1.609344),
    "yd3": ("m3", 0.764554857984), "ton": ("t", 0.90718474), "lb/yd3": ("kg/m3", 0.45359237 / 0.764554857984),
}  # fmt: skip


def test_metric_headings_convert(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")

    def metric(_: str, rows: Rows) -> bytes:
        out = [list(r) for r in rows]
        for i, head in enumerate(rows[0]):
            unit = head.partition("[")[2].rstrip("]")
            if unit in EXACT:
                other, factor = EXACT[unit]
                out[0][i] = head.replace(unit, other)
                for row in out[1:]:
                    row[i] = f"{float(row[i]) * factor:.12f}" if row[i] else ""
        return joined(out).encode()

    rewrite(folder, metric)
    site, demo = read(folder, LESSONS), read(DEMO, LESSONS)
    assert site.machines[0].get("mass").unit == "kg"
    for got, wanted in zip(figures(site), figures(demo), strict=True):
        assert got[:2] == wanted[:2]
        assert got[2] == (pytest.approx(wanted[2], rel=1e-9) if isinstance(wanted[2], float) else wanted[2])


def test_a_unit_in_the_cell_goes_before_the_heading(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    path = folder / "machines.csv"
    path.write_text(path.read_text("utf-8").replace("D-1 Middle dozer,dozer,45000,6.5,24,", "D-1 Middle dozer,dozer,20 t,2 m,60cm,"))
    dozer = read(folder, LESSONS).machines[0]
    assert str(dozer.get("mass")) == "20 t"
    assert dozer.get("track_gauge").si == 2
    assert dozer.get("shoe_width").si == pytest.approx(0.6)


def test_a_heading_needs_no_unit_where_every_cell_has_one(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    path = folder / "trucks.csv"
    text = path.read_text("utf-8").replace("payload [ton]", "payload")
    path.write_text(re.sub(r"(truck),(\d+),", r"\1,\2 ton,", text))
    assert read(folder, LESSONS).trucks[0].get("payload") == read(DEMO, LESSONS).trucks[0].get("payload")


def test_dates_with_slashes_follow_the_setting(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    crew, settings = folder / "crew.csv", folder / "settings.yml"
    crew.write_text(crew.read_text("utf-8").replace("2024-05-06", "5/6/2024"))
    assert str(read(folder, LESSONS).crew[0].start) == "2024-05-06"
    settings.write_text(settings.read_text("utf-8").replace("dates: month first", "dates: day first"))
    assert str(read(folder, LESSONS).crew[0].start) == "2024-06-05"


def test_optional_settings_have_sensible_defaults(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    path = folder / "settings.yml"
    text = path.read_text("utf-8")
    text = re.sub(r"(?s)\nlead:\n.*?\n\n", "\n", text)
    text = re.sub(r"(?s)\nsheets:\n.*?\n\n", "\n", text)
    path.write_text(text.replace("units: us", "units: metric"))
    settings = read(folder, LESSONS).settings
    assert settings.paper == "a4"
    assert settings.lead == {
        "dozer": "D-1", "excavator": "E-1", "compact excavator": "C-1", "truck": "T-1", "material": "common-earth",
    }  # fmt: skip


LENGTH = MACHINES.by_name["cg_height"]
MASS = MACHINES.by_name["mass"]


@pytest.mark.parametrize(
    ("text", "comma_decimals", "figure"),
    [
        ("3,2", True, "3.2"), ("3.2", True, "3.2"), ("3.2", False, "3.2"), ("3,25", True, "3.25"),
        ("3,1250", True, "3.125"), (".9", False, "0.9"), (",9", True, "0.9"), ("+3.2", False, "3.2"),
        ("3,2 ft", True, "3.2"), ("0,875", True, "0.875"), ("0.875", True, "0.875"), ("32e-1", False, "3.2"),
    ],
)  # fmt: skip
def test_numbers_that_can_be_read_one_way(text: str, comma_decimals: bool, figure: str) -> None:
    assert str(cells.quantity(text, LENGTH, "ft", comma_decimals=comma_decimals).figure) == figure


@pytest.mark.parametrize(
    ("text", "comma_decimals", "figure"),
    [
        ("45,000", False, "45000"), ("45000", True, "45000"), ("45,000.5", False, "45000.5"),
        ("45.000,5", True, "45000.5"), ("45,000.5", True, "45000.5"), ("1.450.000", True, None),
        ("45,000", True, None), ("45.000", True, None), ("45,00", False, None), ("4,5,000", False, None),
        ("45.000,5", False, None), ("45.000.5", True, None), ("45..000", True, None), ("45000.", False, None),
        ("٤٥٠٠٠", False, None), ("45 000", False, None), ("1e9999999", False, None), ("inf", False, None),
        ("nan", False, None), ("0x10", False, None), ("4_5000", False, None), ("-45000", False, None),
        ("--45000", False, None), ("", False, None), ("9" * 300, False, None), ("½", False, None),
    ],
)  # fmt: skip
def test_thousands(text: str, comma_decimals: bool, figure: str | None) -> None:
    if figure is None:
        with pytest.raises(BadCell):
            cells.quantity(text, MASS, "lb", comma_decimals=comma_decimals)
    else:
        assert str(cells.quantity(text, MASS, "lb", comma_decimals=comma_decimals).figure) == figure


def test_two_readings_are_both_offered() -> None:
    column = Column("c", "a figure", "factor", "0.1", "5000", "1", "1")
    with pytest.raises(BadCell, match=r"write 1500, or 1\.5 for the small number"):
        cells.quantity("1.500", column, comma_decimals=True)
    with pytest.raises(BadCell, match=r"write 2125, or 2\.1250 for the small number"):
        cells.quantity("2,125", column, comma_decimals=True)
    for text, figure in (("1500", "1500"), ("1.5", "1.5"), ("2125", "2125"), ("2.1250", "2.125")):
        assert str(cells.quantity(text, column, comma_decimals=True).figure) == figure


@pytest.mark.parametrize("text", ["4:1", "4 : 1", "25%", "14.036deg", "14.036°", "25 percent"])
def test_grades_as_people_write_them(text: str) -> None:
    assert cells.quantity(text, JOB_BY_NAME["climb_grade"]).si == pytest.approx(0.25, rel=1e-3)


@pytest.mark.parametrize("text", ["04:01:00", "4:01", "4:01 PM"])
def test_a_ratio_the_spreadsheet_made_a_time_is_refused(text: str) -> None:
    with pytest.raises(BadCell, match="time of day"):
        cells.quantity(text, JOB_BY_NAME["climb_grade"])


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2026-03-14", None, "2026-03-14"), ("2026-3-4", None, "2026-03-04"), ("2026/03/04", None, "2026-03-04"),
        ("14.3.2026", None, "2026-03-14"), ("4.3.2026", None, "2026-03-04"), ("3/14/2026", None, "2026-03-14"),
        ("14/3/2026", None, "2026-03-14"), ("3/3/2026", None, "2026-03-03"), ("3/4/2026", "month first", "2026-03-04"),
        ("3/4/2026", "day first", "2026-04-03"), ("3/14/2026", "day first", "2026-03-14"),
        ("3/4/2026", None, None), ("3-4-2026", None, None), ("2026-13-01", None, None), ("46095", None, None),
        ("1900-01-01", None, None), ("0000-00-00", None, None), ("3/4-2026", "day first", None),
    ],
)  # fmt: skip
def test_dates(text: str, order: cells.DateOrder | None, day: str | None) -> None:
    if day is None:
        with pytest.raises(BadCell):
            cells.date(text, order)
    else:
        assert cells.date(text, order).isoformat() == day


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("3/4/2026", "day first", "2026-04-03"), ("14/3/2026", "day first", "2026-03-14"), ("3/3/2026", "day first", "2026-03-03"),
        ("3/14/2026", "month first", "2026-03-14"), ("14.3.2026", "day first", "2026-03-14"), ("2026/03/14", "day first", "2026-03-14"),
        ("3/14/2026", None, "2026-03-14"), ("2026-03-14", "month first", "2026-03-14"),
        ("3/14/2026", "day first", None), ("14/3/2026", "month first", None), ("03-14-2026", "day first", None), ("31/2/2026", "day first", None),
    ],
)  # fmt: skip
def test_a_day_that_is_evidence_keeps_to_the_order_of_the_site(text: str, order: cells.DateOrder | None, day: str | None) -> None:
    if day is None:
        with pytest.raises(BadCell):
            cells.date_in_order(text, order)
    else:
        assert cells.date_in_order(text, order).isoformat() == day


@pytest.mark.parametrize("text", ["-5", "- 5", "+5", "-5 ft", "-30%", "-", "a=b", "D-1", "1+1", "−5"])
def test_texts_that_only_look_a_little_like_formulas(text: str) -> None:
    assert cells.clean(text) == text


@pytest.mark.parametrize(
    "text",
    [
        "=1",
        "=A1",
        "+A1",
        "-A1",
        "@x",
        " =A1",
        "\u00a0=A1",
        "-1+1",
        "-2+3+cmd|' /C calc'!A0",
        "＝1",
        "+-5",
        "=",
        "@",
    ],
)
def test_texts_that_a_spreadsheet_would_run(text: str) -> None:
    with pytest.raises(BadCell, match="looks like a formula"):
        cells.clean(text)


def test_lesson_ids_are_not_checked_where_they_are_not_known(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    path = folder / "settings.yml"
    path.write_text(path.read_text("utf-8").replace("- stop-work", "- stop-wrok"))
    assert read(folder)
    with pytest.raises(SiteProblems, match="there is no lesson 'stop-wrok'; did you mean stop-work"):
        read(folder, LESSONS)


# --- limits in the other unit system ---------------------------------------------------------


def over_there(column: Column, text: str) -> str:
    value = cells.quantity(text, column)
    return str(value.in_system("metric" if value.in_system("us") == value else "us"))


@pytest.mark.parametrize(
    ("column", "text", "other"),
    [
        # by definition (international agreement, 1959): 1 ft = 0.3048 m, 1 lb = 0.45359237 kg
        (TRUCKS.by_name["payload"], "35 ton", "31.7 t"),  # 31.7515 t
        (LIMITS_BY_NAME["bench_height"], "10 ft", "3.04 m"),  # 3.048 m
        (LIMITS_BY_NAME["line_clearance"], "15 ft", "4.58 m"),  # 4.572 m
        (LIMITS_BY_NAME["line_clearance"], "25 ft", "7.62 m"),  # exactly
        (LIMITS_BY_NAME["site_speed"], "20 mph", "32.1 km/h"),  # 32.18688 km/h
        (LIMITS_BY_NAME["edge_distance"], "2 m", "6.57 ft"),  # 6.5617 ft
        (MACHINES.by_name["boom_reach_height"], "28 ft", "8.54 m"),  # 8.5344 m
        (JOB_BY_NAME["gate_width"], "3.5 ft", "1.06 m"),  # 1.0668 m
        (MACHINES.by_name["stick_length"], "10 ft", "3.05 m"),  # no limit: to the nearest
    ],
)
def test_a_limit_is_told_on_its_safe_side_in_the_other_units(column: Column, text: str, other: str) -> None:
    assert over_there(column, text) == other


def test_no_limit_is_ever_told_past_itself() -> None:
    limits = [c for c in (*LIMITS_BY_NAME.values(), *JOB_BY_NAME.values(), *(c for t in TABLES for c in t.columns)) if c.limit]
    assert {c.name for c in limits} >= {c.name for c in LIMITS_BY_NAME.values() if c.is_quantity}
    for column in limits:
        low, high = column.bounds
        for written in (column.us, column.metric):
            unit = Quantity.read(written, column.kind).unit
            for step in range(1, 60):
                figure = to_places(from_si(low + (high - low) * step / 60, unit, column.kind), 0 if column.kind == "count" else 2)
                value = cells.quantity(str(figure) if unit == "1" else f"{figure} {unit}", column)
                for system in SYSTEMS:
                    there = value.in_system(system).si
                    past = there - value.si if column.limit == "most" else value.si - there
                    assert past <= 1e-9 * value.si
                    assert abs(past) <= 0.011 * value.si  # and not far from it
