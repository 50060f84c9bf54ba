"""The register as statements: what counts, what doesn't, sent again, without names. All invented."""

from __future__ import annotations

import copy
import json
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.exchange.xapi import NoAddress, Statements, duration, home_of, statements
from generator.jobsite.reader import read
from generator.records.desk import open_desk
from generator.records.mark import mark
from generator.records.results import read_file
from generator.records.short import short_of
from tests.conftest import DEMO
from tests.exchange.held import VOIDED, Json, rules_broken, validator_says
from tests.records.office import Office, noon, trained
from tests.records.small import marking, signed, small_site

HOME = "https://seatwork.invalid/sites/juniper-bench/"
EXTENSION = "https://seatwork.invalid/xapi/extensions/"
LATE = "2026-06-02"
SOME_WRONG = (True, True, True, False, False)  # 3 of 5, where 4 are needed


@pytest.fixture
def office(tmp_path: Path) -> Office:
    return Office(small_site(tmp_path / "site"))


def told(office: Office, day: str = LATE, **more: Any) -> Statements:
    with open_desk(read(office.site), write=False) as desk:
        return statements(desk, noon(day), **more)


def of(found: Statements, verb: str, crew: str = "") -> list[Json]:
    return [s for s in found.statements if s["verb"]["id"].endswith(f"/{verb}") and crew in {"", s["actor"]["account"]["name"]}]


def store(*sent: Statements) -> dict[str, Json]:
    """What stands in a record store that was sent these, one after the other. Sending other things under one id fails, as it would there."""
    there: dict[str, Json] = {}
    for s in (s for each in sent for s in each.statements):
        assert there.get(s["id"], s) == s, f"two things under {s['id']}"
        there[s["id"]] = s
    out = {s["object"]["id"] for s in there.values() if s["verb"]["id"] == VOIDED}
    return {i: s for i, s in there.items() if i not in out and s["verb"]["id"] != VOIDED}


def row_of(s: Json) -> int:
    return int(s["context"]["extensions"][EXTENSION + "row"])


def everything(office: Office) -> None:
    """A row of every kind that goes out, and some that don't."""
    trained(office)
    office.result("failed", crew="P-02", rights=SOME_WRONG, days=1)
    office.write("hours.csv", "P-01,E-2,2026-03-21,1.5,M. Orozco,digging,", "P-01,E-2,2026-03-22,2,,digging,yes")
    office.write("talks.csv", "2026-03-23,bench-height,M. Orozco,P-01")
    office.write("retrain.csv", "P-02,bench-height,2026-03-24,observed unsafe")


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Json:
    """The statement of a quiz that was passed."""
    office = Office(small_site(tmp_path_factory.mktemp("good") / "site"))
    trained(office)
    office.take_in("2026-03-25")
    return of(told(office), "passed")[0]


# --- valid --------------------------------------------------------------------------------------


def test_statements_of_every_kind_are_valid(office: Office) -> None:
    everything(office)
    office.take_in("2026-03-25")
    first = of(told(office), "failed")[0]
    office.write("corrections.csv", f"{row_of(first)},void,R. Calloway,another sat there")
    office.take_in("2026-03-26")
    found = told(office)
    assert Counter(found.by_verb) == {"passed": 2, "voided": 1, "showed": 2, "operated": 2, "attended": 1, "to-be-trained-again": 1}
    for names in (False, True):
        sent = told(office, names=names).statements
        assert validator_says(sent) == []
        assert rules_broken(sent, noon(LATE)) == []


def test_the_validator_finds_what_is_wrong(good: Json) -> None:
    spoils: list[Callable[[Json], Any]] = [
        lambda s: s.pop("verb"), lambda s: s.update(id="row-1"), lambda s: s["actor"].update(mbox="mailto:a@example.com"),
        lambda s: s["result"]["score"].update(scaled=1.2), lambda s: s["result"].update(duration="90 s"),
        lambda s: s.update(timestamp="10 March 2026"), lambda s: s["context"].update(teacher="x"), lambda s: s["object"].update(id="quiz 1"),
    ]  # fmt: skip
    bad = [copy.deepcopy(good) for _ in spoils]
    for spoil, one in zip(spoils, bad, strict=True):
        spoil(one)
    assert {x.partition(":")[0] for x in validator_says([good, *bad])} == {str(n) for n in range(1, len(bad) + 1)}


@pytest.mark.parametrize(
    ("spoil", "what"),
    [
        (lambda s: s.update(stored="2026-03-10T09:00:00Z"), "sets what the store sets"),
        (lambda s: s.update(timestamp="2026-06-03T09:00:00Z"), "still to come"),
        (lambda s: s["actor"]["account"].update(homePage="juniper-bench"), "no account"),
        (lambda s: s["verb"].update(id="http://adlnet.gov/expapi/verbs/signed"), "none of the vocabulary"),
        (lambda s: s["result"]["score"].update(raw=9), "outside of its ends"),
        (lambda s: s["context"]["extensions"].update(edition="1"), "no IRI"),
        (lambda s: s["context"].update(revision=""), "empty"),
        (lambda s: s["verb"].update(id=VOIDED), "names a statement"),
    ],
)  # fmt: skip
def test_the_rules_find_what_is_wrong(good: Json, spoil: Callable[[Json], Any], what: str) -> None:
    bad = copy.deepcopy(good)
    spoil(bad)
    assert any(what in x for x in rules_broken([bad], noon(LATE)))


# --- what is said ---------------------------------------------------------------------------------


def test_a_result_is_told_by_our_marks(office: Office) -> None:
    office.result("a", crew="P-02", rights=SOME_WRONG)
    file = json.loads((office.site / "results/a.json").read_text("utf-8"))
    office.take_in("2026-03-25")
    (s,) = told(office).statements
    assert s["actor"] == {"objectType": "Agent", "account": {"homePage": HOME, "name": "P-02"}}
    assert s["verb"]["id"] == "http://adlnet.gov/expapi/verbs/failed"
    assert s["object"]["id"] == f"{HOME}lessons/bench-height/quiz"
    assert s["result"]["score"] == {"scaled": 0.6, "raw": 3, "min": 0, "max": 5}
    assert s["result"]["success"] is False and s["result"]["completion"] is True
    assert s["timestamp"] == file["finished"]
    seconds = (noon("2026-03-25").fromisoformat(file["finished"]) - noon("2026-03-25").fromisoformat(file["started"])).total_seconds()
    assert s["result"]["duration"] == duration(seconds)
    assert s["context"]["revision"] == "2026-1" and s["context"]["platform"] == "Seatwork" and s["context"]["language"] == "en"
    assert s["context"]["extensions"][EXTENSION + "taken"] == "2026-03-25T12:00:00Z"


def test_a_result_tells_the_language_it_was_taken_in(office: Office) -> None:
    office.hand_in("a", signed(office.result("a"), language="es"))
    office.take_in("2026-03-25")
    (s,) = told(office).statements
    assert s["context"]["language"] == "es" and rules_broken([s], noon(LATE)) == []


def test_no_time_is_still_to_come_where_a_phones_clock_was_ahead(office: Office) -> None:
    file = office.result("a")
    office.hand_in("a", signed(file, finished="2026-03-25T12:10:00Z"))  # ten minutes after it is taken in
    office.write("signoffs.csv", "P-01,bench-height,E-2,2026-03-25,M. Orozco")
    office.take_in("2026-03-25")
    found = told(office, day="2026-03-25")
    assert [s["timestamp"] for s in of(found, "passed")] == ["2026-03-25T12:00:00Z"]
    assert rules_broken(found.statements, noon("2026-03-25")) == []


@pytest.mark.parametrize(("seconds", "text"), [(0, "PT0S"), (59.6, "PT1M"), (3600, "PT1H"), (5400, "PT1H30M"), (86399, "PT23H59M59S")])
def test_a_span_of_time_reads_as_iso_8601(seconds: float, text: str) -> None:
    assert duration(seconds) == text


def test_sign_offs_seat_time_talks_and_orders_are_told(office: Office) -> None:
    everything(office)
    office.take_in("2026-03-25")
    found = told(office)
    shown = of(found, "showed", "P-01")
    assert [s["object"]["id"] for s in shown] == [f"{HOME}lessons/bench-height/shown", f"{HOME}lessons/truck-match/shown"]
    mentor = shown[0]["context"]["instructor"]["account"]
    assert mentor["homePage"] == HOME and mentor["name"] and "Orozco" not in mentor["name"]
    assert shown[0]["context"]["contextActivities"]["other"][0]["id"] == f"{HOME}machines/E-2"
    assert shown[0]["timestamp"] == "2026-03-20T12:00:00Z" and shown[0]["context"]["extensions"][EXTENSION + "day-only"] is True
    first, second = of(found, "operated", "P-01")
    assert (first["result"]["duration"], second["result"]["duration"]) == ("PT1H30M", "PT2H")
    assert first["context"]["instructor"]["account"]["name"] == mentor["name"] and "instructor" not in second["context"]
    assert second["context"]["extensions"][EXTENSION + "on-slope"] is True
    (talk,) = of(found, "attended")
    assert talk["object"]["id"] == f"{HOME}talks/bench-height"
    (order,) = of(found, "to-be-trained-again")
    assert order["actor"]["account"]["name"] == "P-02" and order["object"]["id"] == f"{HOME}lessons/bench-height"
    assert order["context"]["extensions"][EXTENSION + "reason"] == "seen working unsafely"


def test_no_name_and_nothing_typed_freely_goes_out_unless_asked(office: Office) -> None:
    everything(office)
    office.take_in("2026-03-25")
    office.write("corrections.csv", f"{row_of(of(told(office), 'failed')[0])},void,R. Calloway,Tom was away")
    office.take_in("2026-03-26")
    text = told(office).text()
    for word in ("Holloway", "Abernethy", "Orozco", "Calloway", "Tom", "digging"):
        assert word not in text
    named = told(office, names=True)
    beside = of(named, "registered")
    assert {s["actor"]["account"]["name"]: s["actor"]["name"] for s in beside} == {
        "P-01": "Ines Holloway", "P-02": "Tom Abernethy", "P-03": "Kofi Lindqvist",
    }  # fmt: skip
    assert "Tom was away" not in named.text() and "digging" not in named.text()
    # all else is the same, so a store that has them without gets the names and nothing twice
    assert [s for s in named.statements if s not in beside] == list(told(office).statements)


def test_who_was_forgotten_is_an_id_alone(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    before = told(office, names=True)
    assert "Holloway" in json.dumps(store(before))
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,2026-04-01,,", "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-02")
    assert main(["register", str(office.site), "--forget", "P-01"]) == 0
    office.crew("P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    for after in (told(office), told(office, names=True)):
        assert "Holloway" not in after.text()
        assert len(of(after, "passed", "P-01")) == 2
        left = store(before, after)
        assert "Holloway" not in json.dumps(left) and "Abernethy" in json.dumps(left)
        assert Counter(s["actor"]["account"]["name"] for s in left.values() if row_of(s) in {row_of(x) for x in of(after, "passed")}) == {
            "P-01": 2
        }


def test_of_two_names_the_last_stands(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    before = told(office, names=True)
    office.crew("P-01,Ines Castell,loader,E-2,2026-03-02,,,")
    office.write("corrections.csv", "P-01,same person,R. Calloway,married")
    office.take_in("2026-04-03")
    there = store(before, told(office, names=True))
    assert [
        s["actor"]["name"] for s in there.values() if s["verb"]["id"].endswith("/registered") and row_of(s) and "P-01" in str(s["actor"])
    ] == ["Ines Castell"]
    assert len([s for s in there.values() if s["verb"]["id"].endswith("/passed")]) == 2


# --- what does not count ----------------------------------------------------------------------------


def test_what_is_held_is_an_attempt_without_marks(office: Office) -> None:
    file = office.result("a")
    office.hand_in("b", signed(file, crew="P-02"))
    office.take_in("2026-03-25")  # at once: nobody can say whose it is
    assert "copied" in office.flags
    found = told(office)
    assert found.by_verb == {"attempted": 2}
    for s in found.statements:
        assert "result" not in s and s["context"]["extensions"][EXTENSION + "held"] == "copied"
    office.write("corrections.csv", f"{row_of(of(found, 'attempted', 'P-01')[0])},counts,R. Calloway,saw her")
    office.take_in("2026-03-26")
    after = told(office)
    assert [s["actor"]["account"]["name"] for s in of(after, "passed")] == ["P-01"]
    assert len([s for s in store(found, after).values() if s["verb"]["id"].endswith("/passed")]) == 1


def test_what_was_taken_out_is_voided_also_in_a_store_that_has_it(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    before = told(office)
    row = row_of(of(before, "passed")[0])
    office.write("corrections.csv", f"{row},void,R. Calloway,somebody else sat there")
    office.take_in("2026-03-26")
    after = told(office)
    (void,) = of(after, "voided")
    assert void["object"] == {"objectType": "StatementRef", "id": of(before, "passed")[0]["id"]}
    assert row not in {row_of(s) for s in after.statements if s is not void}
    assert len([s for s in store(before, after).values() if s["verb"]["id"].endswith("/passed")]) == 1
    # the lesson's sign-off was too soon then, and goes out no more; nothing says that it never happened
    assert found_out(after) == {"too-soon": 1}


def found_out(found: Statements) -> dict[str, int]:
    """The flags of rows that are left out because they do not count."""
    return {k.partition("(")[2].rstrip(")"): n for k, n in found.left_out.items() if "do not count" in k}


def test_what_counts_again_comes_back_under_another_id(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    one = told(office)
    row = row_of(of(one, "passed")[0])
    office.write("corrections.csv", f"{row},void,R. Calloway,mixed up")
    office.take_in("2026-03-26")
    two = told(office)
    with open_desk(read(office.site), write=False) as desk:
        correction = max(e.n for e in desk.rows.entries() if e.kind == "correction")
    office.write("corrections.csv", f"{row},void,R. Calloway,mixed up", f"{correction},void,R. Calloway,it was right after all")
    office.take_in("2026-03-27")
    three = told(office)
    for sent in ((one, two, three), (one, three), (three,)):
        passed = [s for s in store(*sent).values() if s["verb"]["id"].endswith("/passed")]
        assert sorted(row_of(s) for s in passed) == sorted({row_of(s) for s in of(one, "passed")})
    assert rules_broken(three.statements, noon(LATE)) == []


def test_the_records_of_a_former_id_move_to_the_new_one(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    before = told(office)
    office.crew("X-77,Ines Holloway,loader,E-2,2026-04-01,,P-01,")
    office.take_in("2026-04-02")
    there = store(before, told(office))
    assert Counter(s["actor"]["account"]["name"] for s in there.values()) == {"X-77": 4}


def test_a_short_code_gives_way_to_the_file_of_the_same_try(office: Office) -> None:
    file = office.result("a")
    one = short_of(mark(read_file(file, "f"), marking(office.site)))
    assert one is not None
    (office.site / "results/a.json").unlink()
    (office.site / "results/slips.csv").write_text(f"code\n{one.letters}\n", "utf-8")
    office.take_in("2026-03-25")
    before = told(office)
    (s,) = before.statements
    assert s["result"]["score"]["raw"] == 5 and s["result"]["extensions"][EXTENSION + "marked-again"] is False
    office.hand_in("a", file)
    office.take_in("2026-03-26")
    there = list(store(before, told(office)).values())
    assert [x["result"]["extensions"][EXTENSION + "marked-again"] for x in there] == [True]
    # and comes back where the file is taken out
    office.write("corrections.csv", f"{row_of(there[0])},void,R. Calloway,not hers")
    office.take_in("2026-03-27")
    again = list(store(before, told(office, day="2026-03-26"), told(office)).values())
    assert [x["result"]["extensions"][EXTENSION + "marked-again"] for x in again] == [False]


def test_what_does_not_count_is_left_out_and_told(office: Office) -> None:
    trained(office, mentor="Ines Holloway")  # nobody signs for herself
    office.take_in("2026-03-25")
    found = told(office)
    assert found.by_verb == {"passed": 2}


# --- sent again -------------------------------------------------------------------------------------


def test_sent_again_it_is_the_same_to_the_byte(office: Office) -> None:
    everything(office)
    office.take_in("2026-03-25")
    once, again = told(office), told(office, day="2026-06-20")
    assert once.text() == again.text() and json.loads(once.text()) == list(once.statements)
    assert store(once) == store(once, again)
    office.result("later", crew="P-02", days=20)
    office.take_in("2026-04-25")
    assert set(store(once)) < set(store(once, told(office)))


def test_ids_are_of_the_site_that_says_them(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    own = told(office, home="https://training.example.com/north-cut")
    assert {s["actor"]["account"]["homePage"] for s in own.statements} == {"https://training.example.com/north-cut/"}
    assert not {s["id"] for s in own.statements} & {s["id"] for s in told(office).statements}


@pytest.mark.parametrize("home", ["juniper-bench", "ftp://example.com/", "https://", "https://example.com/a b", "https://example.com/?x"])
def test_an_address_that_is_none_is_refused(home: str) -> None:
    with pytest.raises(NoAddress, match="no address of a web site"):
        home_of(read(DEMO), home)


# --- the command --------------------------------------------------------------------------------------


def test_the_command_writes_one_array_and_says_what_is_in_it(office: Office, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    trained(office)
    office.take_in("2026-03-25")
    assert main(["register", str(office.site), "--xapi"]) == 0
    said = capsys.readouterr().out
    assert "4 statements: 2 passed, 2 showed" in said and "left out: " in said
    written = json.loads((office.site / "register/xapi.json").read_text("utf-8"))
    assert len(written) == 4
    assert main(["register", str(office.site), "--xapi", "--names", "--out", str(tmp_path / "x.json")]) == 0
    assert "Ines Holloway" in (tmp_path / "x.json").read_text("utf-8") and "names:" in capsys.readouterr().out
    assert main(["register", str(office.site), "--names"]) == 2
    assert "give --xapi with them" in capsys.readouterr().err
    assert main(["register", str(office.site), "--xapi", "--home", "here"]) == 2
    assert main(["register", str(office.site), "--xapi", "--out", str(tmp_path / "no/x.json")]) == 2


def test_a_register_that_does_not_hold_tells_nobody_anything(office: Office, capsys: pytest.CaptureFixture[str]) -> None:
    import sqlite3

    trained(office)
    office.take_in("2026-03-25")
    with sqlite3.connect(office.site / "register/register.sqlite3") as db:
        for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            db.execute(f'DROP TRIGGER "{name}"')
        db.execute("UPDATE entry SET crew = 'P-02' WHERE kind = 'result'")
    assert main(["register", str(office.site), "--xapi"]) == 2
    assert not (office.site / "register/xapi.json").exists() and "row" in capsys.readouterr().err
