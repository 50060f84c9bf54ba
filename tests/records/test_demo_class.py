"""The invented class: two years, two editions, mishaps, and what a changed number does."""

from __future__ import annotations

import json
import shutil
from collections import Counter
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.exchange.xapi import statements
from generator.jobsite.reader import read
from generator.records.demo_class import main as demo_class
from generator.records.demo_class import write_class
from generator.records.demo_edition import Earlier
from generator.records.desk import open_desk
from generator.records.readiness import MachineLine, PersonLine, Readiness, readiness
from generator.records.readiness_page import page
from generator.records.record import Records
from generator.records.record_page import person_body
from generator.records.week import week
from generator.register.store import FILE
from tests.conftest import copy_demo
from tests.exchange.held import rules_broken, validator_says
from tests.records.small import NOW, small_site

Looked = Callable[[str], Readiness]


@pytest.fixture(scope="module")
def made(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with its class and its earlier edition, taken into its register."""
    site = copy_demo(tmp_path_factory.mktemp("class") / "site")
    shutil.copytree(demo / "editions", site / "editions")
    write_class(site)
    with open_desk(read(site), write=True) as desk:
        desk.take_in([site / "results"], NOW)
        desk.settle(NOW)
    return site


@pytest.fixture(scope="module")
def on(made: Path) -> Looked:
    """How things stand as of a day; with what is flagged while the files are read."""

    def look(day: str) -> Readiness:
        at = datetime.combine(date.fromisoformat(day), time(23, 59, 59), UTC)
        with open_desk(read(made), write=True) as desk:
            desk.take_in([made / "results"], NOW)
            assert desk.taken == 0
            site, found = desk.on(at, at.date())
            return readiness(site, found, at.date(), desk.rows.head())

    return look


@pytest.fixture(scope="module")
def may(on: Looked) -> Readiness:
    return on("2026-05-01")


def person(r: Readiness, crew: str) -> PersonLine:
    return next(p for p in r.people if p.person.id == crew)


def machine(r: Readiness, crew: str, id_: str) -> MachineLine:
    return next(m for m in person(r, crew).machines if m.machine == id_)


def test_most_are_ready_and_every_state_is_there(may: Readiness) -> None:
    states = Counter(s.state for p in may.people for s in p.standings.values())
    assert set(states) == {"ready", "sign-off missing", "take again", "lapsed", "train again", "held", "not passed", "not taken"}
    assert states["ready"] > 0.75 * states.total()
    ready = [p.person.id for p in may.people if all(m.ready for m in p.machines)]
    assert ready == ["P-01", "P-02", "P-04", "P-07", "P-08", "P-11", "P-13", "P-15", "P-17"]
    assert any(t.teach_again for t in may.taught) and len(may.taught) > 3 * sum(t.teach_again for t in may.taught)
    new = {p.id for p in may.site.crew if p.start and p.start >= date(2026, 4, 1)}
    assert new == {"P-03", "P-10", "P-12", "P-16"} and not new & set(ready)


def test_every_usual_mishap_is_flagged_once(may: Readiness) -> None:
    assert Counter(f.name for f in may.tally.flags) == {
        "copied": 2, "foreign": 2, "future": 2, "altered": 1, "away": 1, "clock": 1, "duplicate": 1, "fast": 1, "mentor": 1, "mistyped": 1,
        "outside": 1, "too-soon": 1, "truncated": 1, "unreadable": 1,
    }  # fmt: skip
    what = {f.name: f.what for f in may.tally.flags}
    assert "Hollis Brandvold was no mentor for compact excavator" in what["mentor"]
    assert what["outside"] == "T-2 was retired on 2025-11-30"
    assert "P-11, P-12" in what["copied"]
    assert {(m.result.crew, m.result.where.partition("/x-")[2]) for m in may.tally.held} == {
        ("P-11", ""), ("P-12", "copied.json:1"), ("P-10", "quick.json:1"), ("P-04", "clock-wrong.json:1"),
    }  # fmt: skip
    assert {p.person.id for p in may.people for s in p.standings.values() if s.state == "held"} == {"P-10", "P-12"}


def test_nothing_but_the_mishaps_is_of_a_wrong_day(made: Path, may: Readiness) -> None:
    """All that counts is from the first edition to April 2026, and signed by the mentors of the table."""
    days = [m.result.finished.date() for m in may.tally.marked] + [s.day for s in may.tally.signoffs] + [h.day for h in may.tally.hours]
    assert min(days) < date(2024, 6, 1) and date(2026, 4, 15) < max(days) < date(2026, 5, 1)
    assert {m.lesson.edition for m in may.tally.marked} == {"2024-1", "2026-1"}
    assert (made / "editions/days.csv").read_text("utf-8").split() == ["edition,first", "built", "2024-1,2024-05-01", "2026-1,2026-02-16"]
    mentors = {m.id for m in may.site.mentors or ()}
    assert {s.mentor for s in may.tally.signoffs} == mentors >= {h.mentor for h in may.tally.hours if h.mentor}


def test_a_lapse_what_is_due_and_what_was_failed_later(may: Readiness) -> None:
    w = week(may)
    assert [(d.who.person.id, d.lesson, str(d.until), d.lapsed) for d in w.due] == [
        ("P-06", "trench-walls", "2026-04-08", True), ("P-07", "bank-loose-compacted", "2026-05-13", False),
        ("P-11", "trench-walls", "2026-05-28", False),
    ]  # fmt: skip
    assert [(f.who.person.id, f.lesson, str(f.day)) for f in w.failed] == [("P-02", "reading-grades", "2026-04-16")]
    assert [(s.who.person.id, s.lessons) for s in w.sign if s.last] == [
        ("P-14", ("string-and-laser",)), ("P-16", person(may, "P-16").role.lessons[3:]),
    ]  # fmt: skip


def test_after_an_incident_one_was_trained_again_and_one_was_not(on: Looked, may: Readiness) -> None:
    assert [(o.crew, o.lesson, o.why) for o in may.tally.orders] == [
        ("P-15", "trench-walls", "incident"),
        ("P-09", "at-the-tip", "incident"),
    ]
    assert person(may, "P-09").standings["at-the-tip"].state == "train again"
    days = ("2026-03-24", "2026-03-25", "2026-03-31", "2026-04-02")
    assert [person(on(d), "P-15").standings["trench-walls"].state for d in days] == ["ready", "train again", "sign-off missing", "ready"]


def test_seat_time_and_work_alone_are_told_apart(may: Readiness) -> None:
    assert machine(may, "P-01", "D-1").ready_alone and machine(may, "P-13", "D-2").ready_alone
    tom, walt = machine(may, "P-02", "D-1"), machine(may, "P-13", "E-1")
    assert tom.ready and tom.alone == ("31.5 of 40 hours under a mentor", "4 of 8 hours on slopes under a mentor")
    assert walt.ready and walt.alone == ("12 of 40 hours under a mentor", "0 of 16 hours on slopes under a mentor")
    assert machine(may, "P-04", "E-2").alone is None
    assert len(person(may, "P-01").talks) >= 4


def test_a_year_before_other_people_roles_and_machines_were_there(on: Looked, may: Readiness) -> None:
    then = on("2025-06-30")
    assert then.edition == "2024-1" and {f.name for f in then.tally.flags} <= {
        "future", "mistyped", "duplicate", "truncated", "altered", "unreadable", "foreign"}  # fmt: skip
    assert {"P-18"} == {p.id for p in then.site.crew} - {p.id for p in may.site.crew}
    assert machine(then, "P-18", "D-1").ready
    assert person(then, "P-13").role.id == "dozer-operator" and person(may, "P-13").role.id == "slope-crew"
    assert machine(then, "P-07", "T-2").ready and "T-2" not in {t.id for t in may.site.trucks}
    # the sign-offs of then stand though the machine was sold
    assert [s.machine for s in person(may, "P-07").standings["bank-loose-compacted"].signed] == ["T-2"]
    assert max(len(p.standings) for p in then.people) == 3
    assert "no quiz" not in {s.state for p in then.people for s in p.standings.values()}
    # who had another id before brings the records along
    assert person(then, "P-08").standings["at-the-tip"].state == "ready" and person(on("2024-12-31"), "P-08").count("ready") == 2


def test_a_changed_number_is_taken_again_and_another_lesson_stands(may: Readiness) -> None:
    again = {(p.person.id, i): s.changed for p in may.people for i, s in p.standings.items() if s.state == "take again"}
    assert list(again) == [("P-05", "bench-height")]
    assert "bench height: 12 ft (3.66 m) is now 10 ft (3.04 m)" in again["P-05", "bench-height"]
    # a pass on the earlier edition holds where the lesson's numbers did not change
    stood = person(may, "P-07").standings["bank-loose-compacted"]
    assert stood.state == "ready" and stood.best is not None and stood.best.lesson.edition == "2024-1"


def test_some_passed_in_spanish_and_it_is_told_who_did_not(on: Looked, may: Readiness) -> None:
    """Files and slips of the present edition say the language of their page; the earlier one was made in English alone, untold."""
    taught = {p.id: p.language for p in may.site.crew}
    assert may.site.settings.languages == ("en", "es") and set(taught.values()) == {"en", "es"}
    tries = [*may.tally.marked, *(m for m in may.tally.held if m.result.crew != "P-12")]  # who copied a Spanish try
    spoken = {(m.result.crew, m.result.lesson): m.result.language for m in tries if m.lesson.edition == "2026-1"}
    in_english = {("P-11", "seeing-people"), ("P-11", "signals")}
    assert {k: v for k, v in spoken.items() if v != taught[k[0]]} == dict.fromkeys(in_english, "en")
    assert {m.result.language for m in tries if m.lesson.edition == "2024-1"} == {""}
    assert {m.result.origin for m in tries if m.result.language == "es"} == {"file", "slip"}
    assert [(x.who.person.id, set(x.lessons), x.language, x.told) for x in week(may).languages] == [
        ("P-07", {"bank-loose-compacted"}, "en", False),
        ("P-11", {"seeing-people", "signals"}, "en", True),
        ("P-11", {"trench-walls"}, "en", False),
    ]
    # one talk was held in English for all, the next one in both languages
    assert [(x.who.person.id, x.language, [t.lesson for t in x.talks]) for x in week(may).heard] == [
        (id_, "en", ["seeing-people"]) for id_ in ("P-04", "P-07", "P-11")
    ]
    html = page(may)
    assert html.count("<br>3 not in Spanish") == 1 == html.count("<br>1 not in Spanish") and "not in English" not in html
    shown = person_body(Records(may, {}).of("P-11"))
    assert "<dt>Not in the language of the crew table</dt><dd>3 of 18 lessons passed</dd>" in shown
    # what is told today of how somebody is taught holds for the past too, when no page was in Spanish
    assert {(x.who.person.id, x.told) for x in week(on("2025-06-30")).languages} == {("P-04", False), ("P-07", False), ("P-11", False)}


def test_compare_shows_what_changed_and_who_passed_on_it(made: Path, capsys: Any) -> None:
    edition = read(made).settings.edition
    assert main(["compare", "2024-1", edition, "--site", str(made), "--as-of", "2026-05-01"]) == 0
    said = capsys.readouterr().out
    assert (
        "of 2024-1 only these are kept, and compared: at-the-tip, bank-loose-compacted, bench-height, reverse-is-wear, trench-walls" in said
    )
    assert "bench-height: take again" in said and "stick length of the machine" in said
    people = said.partition("no longer hold:")[2].strip().splitlines()
    assert any(line.endswith("take again") for line in people)
    assert any(f"and again on {edition} 2026-0" in line for line in people)
    assert "\nbank-loose-compacted" not in said


def test_the_same_edition_gives_the_same_class_and_leaves_others_alone(made: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # rendering again takes seconds; that the same tables render alike is tested with the builds
    files = {n: (made / "editions" / n).read_text("utf-8") for n in ("2024-1.json", "2024-1.ledger.json")}
    monkeypatch.setattr("generator.records.demo_edition.earlier_edition", lambda *_: Earlier(files, "a longer stick"))
    place = made / "results"
    mine, stale = place / "seatwork_P-04_bench-height_2026-1_20261125T100000Z.json", place / "P-01_no-longer-asked_1.json"
    mine.write_text("{}", "utf-8")
    stale.write_text("{}", "utf-8")
    days = made / "editions" / "days.csv"
    days.write_text(days.read_text("utf-8") + "2027-1,2027-02-01\n", "utf-8")
    before = {p.name: p.read_bytes() for p in place.iterdir()}
    kept = {p.name: p.read_bytes() for p in (made / "editions").iterdir() if p != days and p.is_file()}
    with open_desk(read(made), write=False) as desk:
        head = desk.rows.head()
    write_class(made)
    assert {p.name: p.read_bytes() for p in place.iterdir()} == {n: b for n, b in before.items() if n != stale.name}
    assert {p.name: p.read_bytes() for p in (made / "editions").iterdir() if p != days and p.is_file()} == kept
    assert "2027-1,2027-02-01\n" in days.read_text("utf-8") and days.read_text("utf-8").count("2026-1,2026-02-16") == 1
    with open_desk(read(made), write=False) as desk:
        assert desk.rows.head() == head  # a register that stands is left as it is
    mine.unlink()


def test_no_class_is_made_for_a_real_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    site = small_site(tmp_path / "site")
    path = site / "settings.yml"
    path.write_text(path.read_text("utf-8").replace("invented: true", "invented: false"), "utf-8")
    monkeypatch.setattr("sys.argv", ["demo_class", str(site)])
    assert demo_class() == 2
    assert "is not invented" in capsys.readouterr().err and not (site / "results").exists() and not (site / FILE).exists()
    monkeypatch.setattr("sys.argv", ["demo_class"])
    monkeypatch.chdir(tmp_path)
    assert demo_class() == 2 and "site_demo" in capsys.readouterr().err, "without a name it is the demo, which is not here"


def test_another_invented_site_gets_a_class_too(tmp_path: Path) -> None:
    site = small_site(tmp_path / "site")
    write_class(site)
    with open_desk(read(site), write=True) as desk:
        desk.take_in([site / "results"], NOW)
        on_day, found = desk.on(NOW)
    assert found.marked and found.signoffs
    assert all(m.entry is not None for m in (*found.marked, *found.held))  # what was taken in just now has its row
    assert any(m.ready for p in readiness(on_day, found, NOW.date()).people for m in p.machines)


def test_the_earlier_edition_says_that_it_is_a_part(made: Path) -> None:
    ledger = json.loads((made / "editions/2024-1.ledger.json").read_text("utf-8"))
    assert ledger["only"] == [
        f"lessons/{i}.html" for i in ("at-the-tip", "bank-loose-compacted", "bench-height", "reverse-is-wear", "trench-walls")
    ]
    # of some lessons it holds nothing but what their pages say
    assert {row["page"] for row in ledger["numbers"]} == set(ledger["only"])


def test_what_goes_out_as_statements_says_what_readiness_and_the_records_say(made: Path, may: Readiness) -> None:
    """Every try, sign-off, hour, talk and order that counts, with the same figures, and nothing else as passed."""
    at = datetime.combine(date(2026, 5, 1), time(23, 59, 59), UTC)
    with open_desk(read(made), write=False) as desk:
        sent = statements(desk, at).statements
        names = dict(desk.rows.names())
    assert validator_says(sent) == [] and rules_broken(sent, at) == []
    by: dict[tuple[str, str], list[dict[str, Any]]] = {}
    for s in sent:
        by.setdefault((s["actor"]["account"]["name"], s["verb"]["id"].rpartition("/")[2]), []).append(s)

    def rows(found: list[dict[str, Any]]) -> list[int]:
        return sorted(s["context"]["extensions"]["https://seatwork.invalid/xapi/extensions/row"] for s in found)

    records = Records(may, names)
    for p in may.people:
        id_ = p.person.id
        tries = [m for m in may.tally.marked if m.result.crew == id_]
        for verb, passed in (("passed", True), ("failed", False)):
            told = by.get((id_, verb), [])
            assert rows(told) == sorted(m.entry or 0 for m in tries if m.passed is passed)
        scores = sorted(
            (s["result"]["score"]["raw"], s["result"]["score"]["max"]) for v in ("passed", "failed") for s in by.get((id_, v), [])
        )
        assert scores == sorted((m.right, m.of) for m in tries)
        assert {m.entry for s in p.standings.values() for m in s.history} <= {m.entry for m in tries}
        record = records.of(id_)
        shown = {(t.entry, t.right, t.of, t.passed) for part in record.lessons for t in ((part.held,) if part.held else ()) + part.before}
        assert shown <= {
            (rows([s])[0], s["result"]["score"]["raw"], s["result"]["score"]["max"], s["result"]["success"])
            for v in ("passed", "failed") for s in by.get((id_, v), [])
        }  # fmt: skip
        assert rows(by.get((id_, "showed"), [])) == sorted(n for s in record.signed for n in s.entries)
        hours = sum(s["result"]["extensions"]["https://seatwork.invalid/xapi/extensions/hours"] for s in by.get((id_, "operated"), []))
        assert hours == pytest.approx(sum(x.hours for x in record.seat)) == pytest.approx(sum(h.hours for h in p.hours))
        assert len(by.get((id_, "attended"), [])) == len(p.talks)
        assert rows(by.get((id_, "to-be-trained-again"), [])) == sorted(o.entry or 0 for o in record.orders)
    held = {m.entry for m in may.tally.held}
    assert set(rows([s for (_, v), found in by.items() if v == "attempted" for s in found])) == held
    assert not held & set(rows([s for (_, v), found in by.items() if v == "passed" for s in found]))
