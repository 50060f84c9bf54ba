"""What wants a look is told by ``check`` and ``build``, counted, and stops them only where ``--strict`` was asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.cli.main import main
from tests.jobsite.broken import _set
from tests.records.small import small_site

LOAD = (
    "  machines.csv:6:bucket_capacity: a bucket of 15 yd³ full of common earth weighs 37,200 lb, 74% of the machine E-1 (50,000 lb), where "
    "1.5% to 14% is usual; check bucket_capacity and mass and their units [bucket-load]"
)
START = "  crew.csv:4:start: P-03 starts on 2098-03-02, more than a year from now; check the year [start-far]"
TOLD = ["figures that hardly fit each other:", LOAD, "days:", START]
STRICT = "2 things to look at, and --strict passes none; mend the figures, or leave --strict out"


def planted(folder: Path) -> Path:
    site = small_site(folder)
    _set("", 6, "bucket_capacity", "15")(site / "machines.csv")
    _set("", 4, "start", "2098-03-02")(site / "crew.csv")
    return site


def run(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, list[str], list[str]]:
    status = main(args)
    out, err = capsys.readouterr()
    return status, out.splitlines(), err.splitlines()


def test_check_tells_groups_and_counts_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = planted(tmp_path / "site")
    status, out, err = run(capsys, "check", str(site))
    assert (status, err) == (0, TOLD)
    assert out[0].startswith("all good: 2 lessons, ") and out[0].endswith(" numbers with their source, 2 things to look at")
    status, out, err = run(capsys, "check", str(site), "--strict")
    assert (status, out, err) == (2, [], [*TOLD, STRICT])
    _set("", 4, "start", "")(site / "crew.csv")
    status, out, _ = run(capsys, "check", str(site))
    assert status == 0 and out[0].endswith(", 1 thing to look at")


def test_nothing_to_look_at_passes_strictly(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "check", str(small_site(tmp_path / "site")), "--strict")
    assert (status, err) == (0, []) and out[0].endswith(" numbers with their source")


def test_a_strict_build_changes_nothing_and_another_tells_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = planted(tmp_path / "site")
    before = {p: p.stat().st_mtime_ns for p in site.rglob("*")}
    assert run(capsys, "build", str(site), "--quiet", "--strict") == (2, [], [*TOLD, STRICT, "nothing was written"])
    assert {p: p.stat().st_mtime_ns for p in site.rglob("*")} == before
    status, out, err = run(capsys, "build", str(site), "--quiet")
    assert status == 0 and out[0].endswith(" s, 2 things to look at")
    assert err[-4:] == TOLD
    built = (site / "out" / "files.sha256").read_bytes()
    status, _, err = run(capsys, "build", str(site), "--quiet", "--strict")
    assert (status, err[-1]) == (2, "nothing was changed: the last handbook is still in place")
    assert (site / "out" / "files.sha256").read_bytes() == built
