"""What wants a look is told by ``check`` and ``build``, counted, and stops them only where ``--strict`` was asked for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.cli.main import main
from tests.jobsite.broken import _set
from tests.records.small import small_site, well_taught

LOAD = (
    "  machines.csv:6:bucket_capacity: a bucket of 15 yd³ full of common earth weighs 37,200 lb, 74% of the machine E-1 (50,000 lb), where "
    "1.5% to 14% is usual; check bucket_capacity and mass and their units [bucket-load]"
)
START = "  crew.csv:4:start: P-03 starts on 2098-03-02, more than a year from now; check the year [start-far]"
TOLD = ["figures that hardly fit each other:", LOAD, "days:", START]
STRICT = [
    "where the figures are right, say so in settings.yml, under looked_at:, with your name and the day:",
    '  - {notice: bucket-load, at: "E-1.bucket_capacity", seen: "15 yd³; 37,200 lb; 50,000 lb", by: NAME, on: DAY}',
    '  - {notice: start-far, at: "P-03.start", seen: "2098-03-02", by: NAME, on: DAY}',
    "2 things to look at, and --strict passes none; mend the figures, or leave --strict out",
]


def planted(folder: Path) -> Path:
    site = well_taught(folder)
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
    assert out[0].startswith("all good: 3 lessons, ") and out[0].endswith(" numbers with their source, 2 things to look at")
    status, out, err = run(capsys, "check", str(site), "--strict")
    assert (status, out, err) == (2, [], [*TOLD, *STRICT])
    _set("", 4, "start", "")(site / "crew.csv")
    status, out, _ = run(capsys, "check", str(site))
    assert status == 0 and out[0].endswith(", 1 thing to look at")


def test_nothing_to_look_at_passes_strictly(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "check", str(well_taught(tmp_path / "site")), "--strict")
    assert (status, err) == (0, []) and out[0].endswith(" numbers with their source")


def test_a_strict_build_changes_nothing_and_another_tells_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = planted(tmp_path / "site")
    before = {p: p.stat().st_mtime_ns for p in site.rglob("*")}
    assert run(capsys, "build", str(site), "--quiet", "--strict") == (2, [], [*TOLD, *STRICT, "nothing was written"])
    assert {p: p.stat().st_mtime_ns for p in site.rglob("*")} == before
    status, out, err = run(capsys, "build", str(site), "--quiet")
    assert status == 0 and out[0].endswith(" s, 2 things to look at")
    assert err[-4:] == TOLD
    built = (site / "out" / "files.sha256").read_bytes()
    status, _, err = run(capsys, "build", str(site), "--quiet", "--strict")
    assert (status, err[-1]) == (2, "nothing was changed: the last handbook is still in place")
    assert (site / "out" / "files.sha256").read_bytes() == built


# --- what somebody looked at --------------------------------------------------------------------


def looked_at(site: Path, *entries: str) -> int:
    """Says so in settings.yml; the line of the first entry."""
    path = site / "settings.yml"
    text = path.read_text("utf-8")
    path.write_text(text + "\nlooked_at:\n" + "".join(f"  {e}\n" for e in entries), "utf-8")
    return text.count("\n") + 3


def as_printed(by: str = "R. Vance", on: str = "2026-11-20") -> list[str]:
    return [e.strip().replace("NAME", by).replace("DAY", on) for e in STRICT[1:3]]


def test_what_was_looked_at_is_told_with_its_name_and_passes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The entries are taken as --strict prints them, with a name and a day put in."""
    site = planted(tmp_path / "site")
    looked_at(site, *as_printed())
    status, out, err = run(capsys, "check", str(site), "--strict")
    assert (status, err) == (
        0,
        ["looked at:", f"{LOAD}: right, says R. Vance on 2026-11-20", f"{START}: right, says R. Vance on 2026-11-20"],
    )
    assert out[0].endswith(" numbers with their source")
    status, out, err = run(capsys, "build", str(site), "--quiet", "--strict")
    assert status == 0 and err[-3:] == ["looked at:", *(f"{x}: right, says R. Vance on 2026-11-20" for x in (LOAD, START))]


def test_one_entry_settles_one_notice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = planted(tmp_path / "site")
    looked_at(site, as_printed()[0])
    status, out, err = run(capsys, "check", str(site))
    assert status == 0 and out[0].endswith(", 1 thing to look at") and err[-2:] == ["days:", START]
    status, _, err = run(capsys, "check", str(site), "--strict")
    assert status == 2 and STRICT[1] not in err and STRICT[2] in err


def test_other_figures_are_told_again_and_so_is_the_entry(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = planted(tmp_path / "site")
    at = looked_at(site, *as_printed())
    _set("", 6, "bucket_capacity", "16")(site / "machines.csv")
    status, out, err = run(capsys, "check", str(site))
    assert status == 0 and out[0].endswith(", 2 things to look at")
    assert any(line.startswith("  machines.csv:6:bucket_capacity: a bucket of 16 yd³ ") for line in err)
    assert err[-1].startswith(
        f"  settings.yml:{at}:looked_at: bucket-load at E-1.bucket_capacity was looked at by R. Vance on 2026-11-20, "
        "with 15 yd³; 37,200 lb; 50,000 lb, and now it is 16 yd³; "
    )
    assert err[-1].endswith("; look again, and give the new figures and the day, or take the entry out [looked-at]")


def test_an_entry_that_fits_no_notice_is_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = well_taught(tmp_path / "site")
    at = looked_at(site, as_printed()[1])
    status, out, err = run(capsys, "check", str(site), "--strict")
    assert (status, out, err) == (2, [], [
        "as the tables were read:",
        f"  settings.yml:{at}:looked_at: start-far at P-03.start was looked at by R. Vance on 2026-11-20, and there is no such notice now; "
        "take the entry out [looked-at]",
        "1 thing to look at, and --strict passes none; mend the figures, or leave --strict out",
    ])  # fmt: skip


def test_limits_that_are_old_are_not_settled_by_a_look(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small_site(tmp_path / "site")
    path = site / "settings.yml"
    text = re.sub(r"(?m)^(\s+decided_on: )\S+", r"\g<1>2019-01-05", path.read_text("utf-8")).replace("invented: true", "invented: false")
    assert "decided_on: 2019-01-05" in text
    path.write_text(text, "utf-8")
    entry = '- {notice: limits-old, at: "limits.decided_on", seen: "2019-01-05", by: R. Vance, on: 2026-11-20}'
    looked_at(site, entry)
    status, _, err = run(capsys, "check", str(site), "--strict")
    told = [line for line in err if line.endswith(("[limits-old]", "[looked-at]"))]
    assert status == 2 and len(told) == 2 and told[0].endswith("[limits-old]")
    assert told[1].endswith("; take the entry out, and do what the notice says [looked-at]")
    assert not any("notice: limits-old" in line for line in err)  # no entry is offered for it


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("- bucket-load", "looked_at: names and values are expected here; write it like looked_at: [{notice: "),
        ('- {notice: swell, at: a, seen: "1", by: R. Vance}', "looked_at: the entry has no on; write it like "),
        ('- {notice: swell, at: a, seen: "1", by: R. Vance, on: soon}', "looked_at.on: 'soon' is not a date; "),
        ('- {notice: swell, at: a, sene: "1", by: R. Vance, on: 2026-11-20}', "looked_at.sene: unknown part of an entry 'sene'; did you mean seen?"),
        ('- {notice: swell, at: [a], seen: "1", by: R. Vance, on: 2026-11-20}', "looked_at.at: one value is expected here; "),
        ('- {notice: swell, at: a, seen: "1", by: "..", on: 2026-11-20}', "looked_at.by: '..' is no name; "),
    ],
)  # fmt: skip
def test_what_is_wrong_with_an_entry_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str], entry: str, said: str) -> None:
    site = small_site(tmp_path / "site")
    at = looked_at(site, entry)
    status, _, err = run(capsys, "check", str(site))
    assert status == 2 and err[0].startswith(f"settings.yml:{at}:{said}"), err


def test_a_list_is_wanted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small_site(tmp_path / "site")
    with (site / "settings.yml").open("a", encoding="utf-8") as f:
        f.write("\nlooked_at: yes\n")
    status, _, err = run(capsys, "check", str(site))
    assert status == 2 and ":looked_at: a list is expected here; write it like looked_at: [{notice: " in err[0]
