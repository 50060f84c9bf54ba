"""What a shipped lesson cannot make of a site's figures is told where those figures stand, once."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.book.errors import FITS_NONE, told
from generator.cli.main import main
from generator.source.problem import Cause, Problem
from generator.working.errors import FiguresRefused
from tests.book.places import small


@pytest.mark.parametrize(
    ("lesson", "old", "new", "place", "says", "beside"),
    [
        (
            "trench-to-grade", "surface_elevation: 20 ft", "surface_elevation: 10 ft", "job.surface_elevation",
            "the lesson trench-to-grade cannot be worked from this figure (10 ft), with ",
            "settings.yml:{start_elevation}:job.start_elevation (16.5 ft)",
        ),
        (
            "loading-order", "swing_near: 30 deg", "swing_near: 170 deg", "job.dig_arc",
            "the lesson loading-order cannot be worked from this figure (40°), with ",
            "settings.yml:{swing_near}:job.swing_near (170°)",
        ),
    ],
)  # fmt: skip
def test_the_site_is_shown_its_own_figure(
    lesson: str, old: str, new: str, place: str, says: str, beside: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site = small(tmp_path / "site", lesson)
    path = site / "settings.yml"
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")
    assert main(["check", str(site)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    at = {t.strip().partition(":")[0]: i for i, t in enumerate(text.split("\n"), 1) if t.startswith("  ")}
    assert line.startswith(f"settings.yml:{at[place.partition('.')[2]]}:{place}: {says}")
    assert beside.format_map(at) in line
    assert "content/" not in line and "number '" not in line and "; " in line


def test_other_lines_stay_as_they_are() -> None:
    depth, mass = Cause("settings.yml", 9, "job.depth", "3 m"), Cause("machines.csv", 2, "mass", "9 t")
    none = Problem.of(
        "content/lessons/a.md", 3, "no machine of this site fits the lesson's table", "fill in the columns it needs", FITS_NONE
    )
    own = FiguresRefused("x", "too deep", "check depth", [depth]).at("lessons/b.md", 4)
    lines = [
        "settings.yml: no machine of this site has all that the table of the lesson a needs; "
        "fill in the blank columns of one, or take the lesson out of the roles",
        "lessons/b.md:4: number 'x': too deep; check depth, worked from settings.yml:9:job.depth (3 m)",
    ]
    assert [str(p) for p in told([none, own])] == lines
    shipped = [FiguresRefused(f"x{n}", "too deep", "check depth", [depth, mass]).at("content/lessons/a.md", n) for n in (5, 6)]
    assert [str(p) for p in told([*shipped, none, own])] == [
        "settings.yml:9:job.depth: the lesson a cannot be worked from this figure (3 m), with machines.csv:2:mass (9 t): too deep; check depth",
        lines[1],
    ]
