"""Editions are kept, compared, and results on numbers that changed must be taken again."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.jobsite.reader import read
from generator.publish.build import build, render
from generator.records.editions import changes, compare, load_editions, read_ledger
from generator.records.readiness import readiness
from tests.book.places import LESSON, added, small
from tests.conftest import copy_demo
from tests.records.small import a_result, ledger, put, put_edition, questions, small_site, tallied, well_taught


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return small_site(tmp_path / "site")


def now_at(site: Path, edition: str) -> None:
    path = site / "settings.yml"
    path.write_text(path.read_text("utf-8").replace("edition: 2026-1", f"edition: {edition}"), "utf-8")


def state(site: Path, crew: str = "P-01", lesson: str = "bench-height") -> str:
    r = readiness(read(site), tallied(site))
    return next(p for p in r.people if p.person.id == crew).standings[lesson].state


def test_a_pass_holds_while_its_numbers_hold(site: Path) -> None:
    put(site, "a.json", a_result(site))
    put_edition(site, "2026-2", ledger("2026-2", reach="31 ft"))  # a sheet changed, the lesson did not
    now_at(site, "2026-2")
    assert state(site) == "sign-off missing"


def test_compare_names_the_figures_an_edition_was_built_with_before(site: Path, capsys: Any) -> None:
    """Who forgot the new name, was told, and gave it then, must not read that nothing changed."""
    put_edition(site, "2026-1", ledger("2026-1", bench="12 ft"))
    put_edition(site, "2026-2", ledger("2026-2", bench="12 ft"))
    assert main(["compare", "2026-1", "2026-2", "--site", str(site)]) == 0
    out = capsys.readouterr().out
    assert "0 numbers changed" in out
    (line,) = [x for x in out.splitlines() if "was built before" in x]
    assert line.startswith("2026-1 was built before with other figures in bench-height. To compare those: seatwork ")
    assert main(line.rpartition(": seatwork ")[2].split()) == 0
    assert "10 ft (3.05 m) is now 12 ft (3.05 m)" in capsys.readouterr().out


def test_a_change_is_told_in_the_sites_own_units_first(site: Path, capsys: Any) -> None:
    """By what the newer ledger says; one of an earlier build says nothing, and then the older is asked."""
    put(site, "a.json", a_result(site))
    settings = site / "settings.yml"
    text = settings.read_text("utf-8")
    assert "\nunits: us" in text
    settings.write_text(text.replace("\nunits: us", "\nunits: metric"), "utf-8")

    def with_units(edition: str, bench: str, **units: str) -> None:
        put_edition(site, edition, json.dumps(json.loads(ledger(edition, bench=bench)) | units))

    def told(old: str, new: str) -> str:
        capsys.readouterr()
        assert main(["compare", old, new, "--site", str(site)]) == 0
        return str(next(x.strip() for x in capsys.readouterr().out.splitlines() if "[text]" in x or "[text:" in x))

    with_units("2026-2", "12 ft", units="metric")
    with_units("2026-3", "14 ft", units="us")
    with_units("2026-4", "16 ft", units="cubits")
    assert told("2026-1", "2026-2").endswith("3.05 m (10 ft) is now 3.05 m (12 ft)")
    assert told("2026-2", "2026-3").endswith("12 ft (3.05 m) is now 14 ft (3.05 m)")
    assert told("2026-2", "2026-4").endswith("3.05 m (12 ft) is now 3.05 m (16 ft)")
    assert told("2026-1", "2026-4").endswith("10 ft (3.05 m) is now 16 ft (3.05 m)")
    now_at(site, "2026-2")
    r = readiness(read(site), tallied(site))
    assert r.people[0].standings["bench-height"].changed == ("bench height: 3.05 m (10 ft) is now 3.05 m (12 ft)",)
    # figures that an edition was built with before keep the word
    put_edition(site, "2026-2", ledger("2026-2", bench="13 ft"))
    (before,) = (site / "editions").glob("2026-2.*.ledger.json")
    assert before.name != "2026-2.ledger.json" and read_ledger(before).units == "metric"


def test_a_pass_on_changed_numbers_must_be_taken_again(site: Path, capsys: Any) -> None:
    put(site, "a.json", a_result(site))
    put(site, "b.json", a_result(site, lesson="truck-match"))
    put(site, "c.json", a_result(site, crew="P-02", rights=(False,) * 5))
    put_edition(site, "2026-2", ledger("2026-2", bench="12 ft"))
    now_at(site, "2026-2")
    assert state(site) == "take again" and state(site, lesson="truck-match") == "sign-off missing"
    assert state(site, crew="P-02") == "not passed"
    r = readiness(read(site), tallied(site))
    ines = r.people[0]
    assert ines.standings["bench-height"].changed == ("bench height: 10 ft (3.05 m) is now 12 ft (3.05 m)",)
    assert ines.machines[0].missing[0] == "bench-height: take again"

    assert main(["compare", "2026-1", "2026-2", "--site", str(site), "--as-of", "2026-05-01"]) == 0
    said = capsys.readouterr().out
    assert "bench-height: take again" in said and "10 ft (3.05 m) is now 12 ft (3.05 m)" in said
    assert "P-01 Ines Holloway: bench-height, passed 2026-03-10" in said
    assert "truck-match" not in said and "P-02" not in said

    put(site, "d.json", a_result(site, edition="2026-2", days=20))
    assert state(site) == "sign-off missing"
    assert main(["tally", str(site), "--as-of", "2026-05-01"]) == 0


def test_a_sign_off_given_on_older_numbers_must_be_given_again(site: Path) -> None:
    put(site, "a.json", a_result(site))  # 2026-03-10
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-03-12,mo\n")
    assert state(site) == "ready"
    put_edition(site, "2026-2", ledger("2026-2", bench="12 ft"))
    now_at(site, "2026-2")
    assert state(site) == "take again"
    put(site, "b.json", a_result(site, edition="2026-2", days=20))  # 2026-03-30
    assert state(site) == "sign-off missing"
    r = readiness(read(site), tallied(site))
    assert r.people[0].machines[0].missing[0] == "bench-height: sign-off missing (signed when older numbers held)"
    put(site, "more.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-03-30,mo\n")
    assert state(site) == "ready"


def test_a_number_that_is_new_or_gone_takes_no_pass_away(site: Path) -> None:
    put(site, "a.json", a_result(site, lesson="truck-match"))
    put_edition(site, "2026-2", ledger("2026-2", loads="38"))
    now_at(site, "2026-2")
    assert state(site, lesson="truck-match") == "sign-off missing"
    found = compare(*(read_ledger(site / "editions" / f"{e}.ledger.json") for e in ("2026-1", "2026-2")))
    assert [(c.lesson, c.what, c.old, c.new) for c in found] == [("truck-match", "loads", (), (("38", "38"),))]


def test_a_worked_example_on_another_machine_is_a_change_but_a_table_row_is_not(site: Path) -> None:
    old = json.loads(ledger("2026-1"))
    new = json.loads(ledger("2026-2", bench="14 ft").replace("text: E-2", "text: E-3").replace("table: E-1", "table: E-4"))
    for name, data in (("o", old), ("n", new)):
        (site / f"{name}.json").write_text(json.dumps(data), "utf-8")
    found = compare(read_ledger(site / "o.json"), read_ledger(site / "n.json"))
    assert [(c.place, c.holds_no_longer) for c in found] == [("table: E-1", False), ("table: E-4", False), ("text", True)]


def test_words_after_a_number_and_a_series_of_drawings_take_no_pass_away(site: Path) -> None:
    def row(place: str, us: str) -> dict[str, str]:
        return {"page": "lessons/truck-match.html", "place": place, "what": "lift", "us": us, "metric": "1 m"}

    old = [row("text: E-1", "3 ft (not an allowed slope)"), row("drawing: E-1", "7 ft"), row("drawing: E-1", "8 ft")]
    new = [row("text: E-1", "3 ft"), row("drawing: E-1", "7.5 ft"), row("drawing: E-1", "8.5 ft")]
    assert [(c.place, c.holds_no_longer) for c in changes(old, new)] == [("drawing", False)]
    assert [c.holds_no_longer for c in changes(old[1:2], new[1:2])] == [True]  # one drawing, one figure


def test_a_pass_without_its_ledger_is_not_taken_on_trust(site: Path) -> None:
    put(site, "a.json", a_result(site))
    put_edition(site, "2026-2", ledger("2026-2", bench="12 ft"))
    now_at(site, "2026-2")
    (site / "editions" / "2026-1.ledger.json").unlink()
    assert state(site) == "take again"


def test_the_same_edition_with_other_figures_keeps_both(site: Path) -> None:
    first = a_result(site)
    put(site, "a.json", first)
    other = questions()
    other[0]["variants"].reverse()
    note = put_edition(site, changed={"bench-height": other})
    assert "built before with other figures in bench-height" in note and "new edition name" in note
    kept = sorted(p.name for p in (site / "editions").iterdir())
    assert len(kept) == 4 and "2026-1.json" in kept and "2026-1.ledger.json" in kept
    older = json.loads((site / "editions" / next(n for n in kept if n.count(".") == 2 and "ledger" not in n)).read_text("utf-8"))
    assert list(older["lessons"]) == ["bench-height"]  # what did not change is not kept twice
    put(site, "b.json", a_result(site, crew="P-02"))
    done = tallied(site)
    assert done.flags == [] and [m.passed for m in done.marked] == [True, True]
    assert {m.lesson.figures for m in done.marked} == {first["figures"], load_editions(site).find("2026-1", "bench-height", None).figures}
    assert put_edition(site, changed={"bench-height": other}) == ""  # nothing new
    assert sorted(p.name for p in (site / "editions").iterdir()) == kept
    put_edition(site)  # and back again
    assert tallied(site).flags == []


def test_the_same_edition_with_other_numbers_is_told_apart_by_the_ledger(site: Path) -> None:
    put(site, "a.json", a_result(site))
    assert put_edition(site, ledger_text=ledger("2026-1", bench="12 ft"))
    assert state(site) == "take again"


def test_compare_refuses_what_is_no_ledger_in_one_line(site: Path, capsys: Any) -> None:
    assert main(["compare", str(site / "nowhere.json"), str(site / "settings.yml")]) == 2
    assert "no such file" in capsys.readouterr().err
    assert main(["compare", str(site / "editions/2026-1.json"), str(site / "editions/2026-1.json")]) == 2
    assert capsys.readouterr().err.count("\n") == 1


# --- with real builds -----------------------------------------------------------------------


def prints(folder: Path) -> dict[str, str]:
    return {str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_a_build_keeps_its_edition_beside_the_handbook(demo: Path) -> None:
    edition = read(demo).settings.edition
    kept = load_editions(demo)
    assert read_ledger(demo / "out/ledger.json").units == read(demo).settings.units
    lessons = {p.stem for p in (demo / "out/web/lessons").glob("*.html")}
    assert {m.id for m in kept.lessons(edition)} == lessons and kept.flags == []
    assert (demo / "editions" / f"{edition}.ledger.json").read_bytes() == (demo / "out/ledger.json").read_bytes()
    for m in kept.lessons(edition):
        page = (demo / "out/web/lessons" / f"{m.id}.html").read_text("utf-8")
        assert f'"figures":"{m.figures}"' in page


def test_a_failed_build_changes_no_edition(demo: Path, tmp_path: Path, capsys: Any) -> None:
    site = copy_demo(tmp_path / "site")
    for name in ("out", "editions"):
        shutil.copytree(demo / name, site / name)
    before = prints(site / "editions")
    machines = site / "machines.csv"
    machines.write_text(machines.read_text("utf-8").replace("45000", "heavy"), "utf-8")
    assert main(["build", str(site), "--quiet"]) == 2
    capsys.readouterr()
    assert prints(site / "editions") == before


def test_a_build_that_dies_in_the_swap_changes_nothing_and_a_good_one_keeps_papers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    site = well_taught(tmp_path / "site")
    found = render(site, lambda _: None)
    monkeypatch.setattr("generator.publish.build.rendered", lambda *_: found)
    monkeypatch.setattr("generator.publish.one_language.build_site", lambda *_: None)
    for name in ("paper", "records"):
        (site / "out/mentor" / name).mkdir(parents=True)
        (site / "out/mentor" / name / "index.html").write_text(name, "utf-8")
    before = prints(site / "editions")

    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as m:
        m.setattr("generator.publish.build.swap", full)
        with pytest.raises(OSError, match="No space"):
            build(site, lambda _: None)
    assert prints(site / "editions") == before
    assert [p.name for p in site.glob(".out*")] == []

    built = build(site, lambda _: None)
    assert len(built.notes) == 1
    assert built.notes[0].startswith("settings.yml:") and "give this one a new edition name" in built.notes[0]
    assert prints(site / "editions") != before
    for name in ("paper", "records"):
        assert (site / "out/mentor" / name / "index.html").read_text("utf-8") == name
    assert build(site, lambda _: None).notes == ()


# where marking looks in an edition file, and what somebody may have put there
DAMAGED: dict[str, Callable[[Any], Any]] = {
    "no right one": lambda q: q["one"].pop("right"),
    "right in words": lambda q: q["one"].update(right=["a"]),
    "right past the last": lambda q: q["one"].update(right=[99]),
    "an order past the last": lambda q: q["one"]["variants"][0]["us"].update(order=[0, 99]),
    "no labels": lambda q: q["one"].pop("labels"),
    "no count": lambda q: q["order"].pop("count"),
    "no question": lambda q: q["number"].pop("ask"),
    "a span of one end": lambda q: q["number"]["variants"][0]["us"]["accept"].update(ft=[1.0]),
    "a span in words": lambda q: q["number"]["variants"][0]["metric"]["accept"].update(m=["1", "2"]),
    "a mistake without its span": lambda q: q["number"]["variants"][0]["us"].update(mistakes=[["used-boom"]]),
    "a mistake that is a word": lambda q: q["number"]["variants"][0]["us"].update(mistakes=["used-boom"]),
}


@pytest.mark.parametrize("damage", DAMAGED)
def test_a_damaged_part_of_an_edition_is_told_and_is_no_fault(site: Path, damage: str) -> None:
    put(site, "a.json", a_result(site))
    assert len(tallied(site).marked) == 1
    path = site / "editions" / "2026-1.json"
    data = json.loads(path.read_text("utf-8"))
    DAMAGED[damage]({q["kind"]: q for q in data["lessons"]["bench-height"]["questions"]})
    path.write_text(json.dumps(data), "utf-8")
    done = tallied(site)
    assert not done.marked
    assert [(f.where, f.name) for f in done.flags] == [("editions/2026-1.json", "unreadable"), ("results/a.json:1", "foreign")]
    assert "this edition cannot be read (" in done.flags[0].what


def test_a_build_over_a_damaged_edition_is_refused_in_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = added(small(tmp_path / "site", "gate"), "gate", LESSON)
    assert main(["build", str(site), "--quiet"]) == 0
    capsys.readouterr()
    (path,) = (p for p in (site / "editions").glob("*.json") if not p.name.endswith(".ledger.json"))
    data = json.loads(path.read_text("utf-8"))
    del data["lessons"]["gate"]["figures"]
    path.write_text(json.dumps(data), "utf-8")
    assert main(["build", str(site), "--quiet"]) == 2
    assert capsys.readouterr().err.splitlines() == [
        f"editions/{path.name}: the edition kept here cannot be read (figures is not what was written); "
        "put back the file the build wrote, or move it away",
        "nothing was changed: the last handbook is still in place",
    ]
    assert json.loads(path.read_text("utf-8")) == data and not list(site.glob(".out-*"))


@pytest.mark.parametrize("sets", [3, [[]], [0], [[0, 9]], [[-1]], [[True]], ["0"], [[0.0]]])
def test_an_edition_whose_sets_ask_what_is_not_there_is_damaged(tmp_path: Path, sets: Any) -> None:
    site = small_site(tmp_path / "site")
    path = site / "editions" / "2026-1.json"
    kept = json.loads(path.read_text("utf-8"))
    kept["lessons"]["bench-height"]["sets"] = [[0, 1, 2], [0, 3, 4]]
    path.write_text(json.dumps(kept), "utf-8")
    found = load_editions(site).find("2026-1", "bench-height", None)
    assert found.sets == ((0, 1, 2), (0, 3, 4)) and load_editions(site).find("2026-1", "truck-match", None).sets == ()
    kept["lessons"]["bench-height"]["sets"] = sets
    path.write_text(json.dumps(kept), "utf-8")
    damaged = load_editions(site)
    damaged.read("2026-1")
    assert [f.name for f in damaged.flags] == ["unreadable"]
