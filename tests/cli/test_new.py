"""``seatwork new``: a first job site that builds as it is, and never overwrites anything."""

from __future__ import annotations

import re
from pathlib import Path

import openpyxl
import pytest

from generator.book.content import lesson_ids
from generator.cli.main import main
from generator.jobsite.columns import JOB, LIMITS, NOBODY, RETIRED
from generator.jobsite.model import JobSite
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.reference.tables import load
from generator.units.quantity import Quantity
from generator.units.table import UNITS, System
from tests.conftest import ROOT

LESSONS = lesson_ids(ROOT / "content")
TABLES = ("machines.csv", "trucks.csv", "materials.csv", "crew.csv")
WAYS: tuple[tuple[System, tuple[str, ...]], ...] = (
    ("us", ()), ("metric", ()), ("us", ("--workbook",)), ("metric", ("--workbook",)),
)  # fmt: skip


def new(folder: Path, *options: str) -> Path:
    assert main(["new", str(folder), *options]) == 0
    return folder


def site_of(folder: Path) -> JobSite:
    return read(folder, LESSONS, load(ROOT / "content"))


def quantities(site: JobSite) -> list[tuple[str, Quantity]]:
    rows = (*site.machines, *site.trucks, *site.materials)
    settings = site.settings
    pairs = [(f"{r.id} {n}", v) for r in rows for n, v in r.values.items()]
    pairs += [*settings.job.items(), *settings.limits.items()]
    return [(n, v) for n, v in pairs if isinstance(v, Quantity)]


@pytest.mark.parametrize(("units", "options"), WAYS)
def test_it_reads_as_it_is(units: System, options: tuple[str, ...], tmp_path: Path) -> None:
    folder = new(tmp_path / "deep" / "site", "--units", units, *options)
    names = {p.name for p in folder.iterdir()}
    assert names == ({"settings.yml", "site.xlsx"} if options else {"settings.yml", *TABLES})
    site = site_of(folder)
    assert site.notices == ()
    assert site.settings.units == units and site.settings.paper == ("letter" if units == "us" else "a4")
    for kind in ("dozer", "excavator", "compact excavator", "truck"):
        assert len(site.of_kind(kind)) >= 2
    assert {x for role in site.settings.roles.values() for x in role.lessons} == set(LESSONS)
    assert {p.role for p in site.crew} == set(site.settings.roles)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_its_figures_are_round_in_its_own_units(units: System, tmp_path: Path) -> None:
    site = site_of(new(tmp_path / "site", "--units", units))
    for name, value in quantities(site):
        system = UNITS[value.unit].system
        # the voltage and what has no system, such as shares and angles, is the same in both
        assert system in {None, units}, f"{name}: {value}"
        # as people read figures off a data sheet: three digits, four for elevations; levels of a plan are given to the hundredth
        digits = format(value.figure.normalize(), "f").replace(".", "").strip("0-")
        most = 5 if name in {"benchmark", "design_elevation"} else 4 if "elevation" in name else 3
        assert len(digits) <= most, f"{name}: {value}"


@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_workbook_holds_the_same_site(units: System, tmp_path: Path) -> None:
    tables, book = (site_of(new(tmp_path / n, "--units", units, *o)) for n, o in (("a", ()), ("b", ("--workbook",))))
    assert (tables.settings, tables.crew) == (book.settings, book.crew)
    assert (tables.machines, tables.trucks, tables.materials) == (book.machines, book.trucks, book.materials)


def test_a_workbook_is_made_to_be_worked_in(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(new(tmp_path / "site", "--workbook") / "site.xlsx")
    assert book.sheetnames == ["machines", "trucks", "materials", "crew", "notes"]
    sheet = book["machines"]
    assert all(cell.font.bold for cell in sheet[1])
    assert isinstance(sheet["D2"].value, int) and sheet["A2"].value == "D-1"
    assert sheet.freeze_panes == "C2"
    for sheet in book:
        for column in sheet.iter_cols():
            width = sheet.column_dimensions[column[0].column_letter].width
            longest = max(10 if c.is_date else len(str(c.value or "")) for c in column[1:])
            assert width >= min(longest, 24), (sheet.title, column[0].value)
    crew = book["crew"]
    assert crew["E2"].is_date and crew["E2"].number_format == "yyyy-mm-dd"
    explained = {(r[0].value, r[1].value) for r in book["notes"].iter_rows(min_row=3)}
    for name in ("machines", "trucks", "materials", "crew"):
        heads = {(name, str(c.value).split(" ")[0]) for c in book[name][1]}
        assert heads <= explained


@pytest.mark.parametrize("units", ["us", "metric"])
def test_every_setting_is_there_with_its_meaning(units: System, tmp_path: Path) -> None:
    text = (new(tmp_path / "site", "--units", units) / "settings.yml").read_text("utf-8")
    assert text.isascii() and max(len(line) for line in text.split("\n")) <= 110
    block = {name: text.split(f"\n{name}:\n")[1] for name in ("limits", "job")}
    for name, columns in (("limits", LIMITS), ("job", JOB)):
        lines = block[name].split("\n")
        for column in columns:
            if name == "job" and column.name in RETIRED:  # still read, and no longer asked for
                assert f"{column.name}:" not in block[name]
                continue
            at = next(i for i, t in enumerate(lines) if re.match(rf"  (# )?{column.name}: ", t))
            assert column.needed_for == frozenset() or not lines[at].startswith("  #"), column.name
            said = " ".join([*lines[max(at - 3, 0) : at], lines[at]]).replace("  # ", "").replace(" # ", " ")
            assert column.meaning.split(" ")[-1] in said, column.name


def test_it_says_that_all_of_it_is_invented(tmp_path: Path) -> None:
    folder = new(tmp_path / "site")
    site = site_of(folder)
    assert site.settings.invented and "invented" in site.settings.note
    assert site.settings.limits["decided_by"] == NOBODY
    rows = (*site.machines, *site.trucks, *site.materials)
    assert all(row.note.startswith("placeholder") for row in rows)


def test_placeholders_cannot_pass_for_a_real_site(tmp_path: Path) -> None:
    folder = new(tmp_path / "site")
    settings = folder / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("invented: true ", "invented: false "), "utf-8")
    with pytest.raises(SiteProblems) as caught:
        site_of(folder)
    lines = [str(p) for p in caught.value.problems]
    assert [line.split(":")[0] for line in lines] == ["settings.yml", "settings.yml", *TABLES]
    assert "limits.decided_by: nobody has set this site's limits yet" in lines[0]
    assert "limits.emergency: this is still the placeholder" in lines[1]
    assert "D-1 and 5 more rows are placeholders" in lines[2]


def test_it_says_what_to_do_next(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = new(tmp_path / "my site")
    out = capsys.readouterr().out
    assert f'seatwork build "{folder}"' in out and f'seatwork check "{folder}"' in out
    assert "A competent person sets the limits." in out


def _said(capsys: pytest.CaptureFixture[str]) -> str:
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1
    return err.strip()


def test_nothing_is_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    assert main(["new", str(tmp_path)]) == 2
    assert _said(capsys) == (f"{tmp_path}: the folder is not empty; name a new or an empty folder, so that nothing is overwritten")
    assert [p.name for p in tmp_path.iterdir()] == ["notes.txt"]
    assert main(["new", str(tmp_path / "notes.txt")]) == 2
    assert _said(capsys) == f"{tmp_path / 'notes.txt'}: there is a file of that name; choose another folder"
    assert main(["new", str(tmp_path / "notes.txt" / "below")]) == 2
    assert "cannot be written" in _said(capsys)
    assert (tmp_path / "notes.txt").read_text() == "mine"


def test_a_hidden_file_counts_too(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    assert main(["new", str(tmp_path)]) == 2


def test_an_empty_folder_will_do(tmp_path: Path) -> None:
    assert site_of(new(tmp_path))


def test_it_builds_as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every lesson, sheet and question of the metric workbook, rendered."""
    folder = new(tmp_path / "site", "--units", "metric", "--workbook")
    capsys.readouterr()
    assert main(["check", str(folder)]) == 0, capsys.readouterr().err
    assert f"all good: {len(LESSONS)} lessons" in capsys.readouterr().out


def test_one_machine_and_one_role_are_a_site(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A question that asks about machines the site has not is left out, and few rows are no mistake."""
    folder = new(tmp_path / "site")
    for name, drop in (("machines.csv", "DEC"), ("trucks.csv", "T"), ("materials.csv", "")):
        text = re.sub(rf"(?m)^[{drop}]-2.*\n" if drop else r"(?m)^(clay|sand|topsoil).*\n", "", (folder / name).read_text("utf-8"))
        (folder / name).write_text(re.sub(r"(?m)^[EC]-1.*\n", "", text), "utf-8")
    (folder / "crew.csv").write_text("id,name,role,machines\nP-1,Person One,dozer-operator,D-1\n", "utf-8")
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    others = text[text.index("  excavator-operator:") : text.index("# Your site's own limits")]
    text = re.sub(r"(?m)^  (excavator|compact excavator): .-1\n", "", text.replace(others, "\n"))
    few = {"stop-work", "slot-front-to-back", "side-slope-limits", "undercarriage-left"}  # for speed
    text = re.sub(r"(?m)^      - ([a-z-]+)\n", lambda m: m[0] if m[1] in few else "", text)
    settings.write_text(text, "utf-8")
    capsys.readouterr()
    assert main(["check", str(folder)]) == 0, capsys.readouterr().err


def test_a_site_without_trucks(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It needs no table of trucks; what a lesson shows of one is left out, and a lesson that needs one is named once."""
    folder = new(tmp_path / "site")
    (folder / "trucks.csv").unlink()
    (folder / "crew.csv").write_text("id,name,role,machines\nP-1,Person One,dozer-operator,D-1\n", "utf-8")
    settings = folder / "settings.yml"
    text = re.sub(r"(?m)^  truck: T-1\n|^  truck-driver:.*\n(?:    .*\n)+", "", settings.read_text("utf-8"))
    few = {"stop-work", "reading-grades", "bank-loose-compacted", "undercarriage-left", "truck-match"}  # for speed
    text = re.sub(r"(?m)^      - ([a-z-]+)\n", lambda m: m[0] if m[1] in few else "", text)
    settings.write_text(text.replace("  compact-operator:", "  compact-runner:"), "utf-8")
    capsys.readouterr()
    assert main(["check", str(folder)]) == 0
    told = [line for line in capsys.readouterr().err.splitlines() if "[not-worked]" not in line and "[" in line]
    assert [re.sub(r"\d+", "N", line.strip()) for line in told] == [
        "settings.yml:N:roles.excavator-operator.lessons: truck-match is worked for a haul truck, and this site has none, so it is "
        "left out; teach it another way, or take it out of the role [not-taught]"
    ]


def test_an_unknown_unit_system(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["new", str(tmp_path / "x"), "--units", "imperial"])
    assert stopped.value.code == 2
    assert not (tmp_path / "x").exists()


@pytest.mark.parametrize("name", ["NUL", "con", "Aux.site"])
def test_a_folder_that_windows_would_not_make(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / name)]) == 2
    assert _said(capsys) == f"{tmp_path / name}: Windows keeps this name for a device, and no folder there can have it; choose another name"
    assert not (tmp_path / name).exists()
