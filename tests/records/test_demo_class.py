"""The invented class: results of two editions, mishaps, and what a changed number does."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.jobsite.reader import read
from generator.records.demo_class import main as demo_class
from generator.records.demo_class import write_class
from generator.records.demo_edition import Earlier
from generator.records.readiness import readiness
from tests.conftest import copy_demo
from tests.records.small import small_site, tallied


@pytest.fixture(scope="module")
def made(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with its class and its earlier edition."""
    site = copy_demo(tmp_path_factory.mktemp("class") / "site")
    shutil.copytree(demo / "editions", site / "editions")
    write_class(site)
    return site


def test_the_class_shows_every_state_and_every_usual_flag(made: Path) -> None:
    r = readiness(read(made), tallied(made))
    states = {s.state for p in r.people for s in p.standings.values()}
    assert states == {"ready", "sign-off missing", "take again", "not passed", "not taken"}
    assert {f.name for f in r.tally.flags} == {"future", "mistyped", "duplicate", "truncated", "altered", "unreadable", "foreign"}
    assert any(m.ready for p in r.people for m in p.machines)
    assert any(t.teach_again for t in r.taught)
    again = {(p.person.id, i): s.changed for p in r.people for i, s in p.standings.items() if s.state == "take again"}
    assert {i for _, i in again} == {"bench-height"}
    assert all("bench height: 12 ft (3.66 m) is now 10 ft (3.04 m)" in changed for changed in again.values())
    # a pass on the earlier edition holds where the lesson's numbers did not change
    held = [p.standings["bank-loose-compacted"] for p in r.people if (p.person.id, "bench-height") in again]
    assert held and all(s.best is not None and s.best.lesson.edition == "2025-2" for s in held)
    assert {s.state for s in held} <= {"ready", "sign-off missing"}


def test_compare_shows_what_changed_and_who_passed_on_it(made: Path, capsys: Any) -> None:
    edition = read(made).settings.edition
    assert main(["compare", "2025-2", edition, "--site", str(made), "--as-of", "2026-05-01"]) == 0
    said = capsys.readouterr().out
    assert "of 2025-2 only these are kept, and compared: bank-loose-compacted, bench-height" in said
    assert "bench-height: take again" in said and "stick length of the machine" in said
    people = said.partition("no longer hold:")[2].strip().splitlines()
    assert any(line.endswith("take again") for line in people)
    assert any(f"and again on {edition} 2026-03-" in line for line in people)
    assert "\nbank-loose-compacted" not in said


def test_the_same_edition_gives_the_same_class_and_leaves_others_alone(made: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # rendering again takes seconds; that the same tables render alike is tested with the builds
    files = {n: (made / "editions" / n).read_text("utf-8") for n in ("2025-2.json", "2025-2.ledger.json")}
    monkeypatch.setattr("generator.records.demo_edition.earlier_edition", lambda *_: Earlier(files, "a longer stick"))
    place = made / "results"
    mine, stale = place / "seatwork_P-04_bench-height_2026-1_20261125T100000Z.json", place / "P-01_no-longer-asked_1.json"
    mine.write_text("{}", "utf-8")
    stale.write_text("{}", "utf-8")
    before = {p.name: p.read_bytes() for p in place.iterdir()}
    kept = {p.name: p.read_bytes() for p in (made / "editions").iterdir()}
    write_class(made)
    assert {p.name: p.read_bytes() for p in place.iterdir()} == {n: b for n, b in before.items() if n != stale.name}
    assert {p.name: p.read_bytes() for p in (made / "editions").iterdir()} == kept
    mine.unlink()


def test_no_class_is_made_for_a_real_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    site = small_site(tmp_path / "site")
    path = site / "settings.yml"
    path.write_text(path.read_text("utf-8").replace("invented: true", "invented: false"), "utf-8")
    monkeypatch.setattr("sys.argv", ["demo_class", str(site)])
    assert demo_class() == 2
    assert "is not invented" in capsys.readouterr().err and not (site / "results").exists()


def test_the_earlier_edition_says_that_it_is_a_part(made: Path) -> None:
    ledger = json.loads((made / "editions/2025-2.ledger.json").read_text("utf-8"))
    assert ledger["only"] == ["lessons/bank-loose-compacted.html", "lessons/bench-height.html"]
    assert {row["page"] for row in ledger["numbers"]} == set(ledger["only"])
