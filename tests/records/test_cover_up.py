"""What somebody would try who has to hide something after an accident, and that the record tells of it. All invented."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from generator.jobsite.reader import read
from generator.records.again import remark
from generator.records.desk import open_desk
from generator.records.editions import load_editions
from generator.records.readiness import readiness
from generator.records.record import Records
from generator.records.record_page import lesson_page, person_page
from tests.records.office import ALL_PASS, Office, noon, trained
from tests.records.small import small_site


@pytest.fixture
def office(tmp_path: Path) -> Office:
    return Office(small_site(tmp_path / "site"))


def records(office: Office, day: str) -> Records:
    with open_desk(read(office.site), write=False) as desk:
        site, tally = desk.on(noon(day), leavers=True)
        return Records(readiness(site, tally, date.fromisoformat(day), desk.rows.head()), desk.rows.names())


def words(html: str) -> str:
    return re.sub(r" (?=[.,;:])", "", " ".join(re.sub(r"<[^>]*>", " ", html.partition("<main>")[2]).split()))


def page(office: Office, day: str, crew: str = "P-01") -> str:
    return words(person_page(records(office, day).of(crew)))


def test_a_rule_that_is_changed_after_the_accident_changes_nothing_of_that_day(office: Office) -> None:
    office.rules("  lessons:\n    bench-height: {valid_months: 1}\n")
    trained(office)
    office.take_in("2026-03-25")
    assert office.standing("2026-04-20").state == "lapsed"
    office.settings("bench-height: {valid_months: 1}", "bench-height: {valid_months: 24}")
    office.take_in("2026-04-25")
    assert office.standing("2026-04-20").state == "lapsed"
    assert office.standing("2026-04-25").state == "ready"  # the new rule holds from the day it was told
    assert "the rules for records valid months of lessons: bench-height 1 is now 24" in page(office, "2026-04-25")
    assert "Changed in the tables" not in page(office, "2026-04-20")
    told = words(lesson_page(records(office, "2026-04-25").lesson("bench-height")))
    assert "2026-04-25 the rules for records valid months of lessons: bench-height 1 is now 24" in told


def test_classes_are_those_of_the_day(office: Office) -> None:
    office.rules("  classes:\n    - {id: small, kind: excavator, up_to: 60000 lb}\n    - {id: large, kind: excavator}\n")
    trained(office, machine="E-1")
    office.take_in("2026-03-25")
    assert office.machine("2026-03-25", "P-01", "E-2").gaps
    office.settings(
        "  classes:\n    - {id: small, kind: excavator, up_to: 60000 lb}\n    - {id: large, kind: excavator}\n", "  other_class: yes\n"
    )
    office.take_in("2026-04-25")
    assert office.machine("2026-04-20", "P-01", "E-2").gaps and not office.machine("2026-04-25", "P-01", "E-2").gaps


def test_what_was_taken_out_is_told_with_who_took_it_out(office: Office) -> None:
    trained(office)
    office.write("retrain.csv", "P-01,bench-height,2026-04-01,incident")
    office.take_in("2026-04-02")
    with open_desk(read(office.site), write=False) as desk:
        n = next(e.n for e in desk.rows.entries(kind="retrain"))
    office.write("corrections.csv", f"{n},void,R. Calloway,there was none")
    office.take_in("2026-04-30")
    assert office.standing("2026-04-30").state == "ready" and office.standing("2026-04-29").state == "train again"
    told = page(office, "2026-04-30")
    assert f"row {n}: an order to train again, bench-height, of 2026-04-01 the row counts no more R. Calloway there was none" in told
    assert "there was none" not in page(office, "2026-04-30", "P-02")


def test_a_correction_may_be_taken_out_too_and_both_are_told(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    with open_desk(read(office.site), write=False) as desk:
        n = next(e.n for e in desk.rows.entries(kind="sign-off", lesson="bench-height"))
    office.write("corrections.csv", f"{n},void,R. Calloway,wrong person")
    office.take_in("2026-03-26")
    assert office.standing("2026-03-26").state == "sign-off missing"
    with open_desk(read(office.site), write=False) as desk:
        c = next(e.n for e in desk.rows.entries(kind="correction"))
    office.write("corrections.csv", f"{n},void,R. Calloway,wrong person", f"{c},void,R. Calloway,it was right")
    office.take_in("2026-03-27")
    assert office.standing("2026-03-27").state == "ready"
    told = page(office, "2026-03-27")
    assert "the row counts no more; this was taken out again R. Calloway wrong person" in told
    assert (
        f"row {c}: correction of row {n}, a sign-off, bench-height, E-2, of 2026-03-20 the row counts no more R. Calloway it was right"
        in told
    )


def test_a_sign_off_of_before_the_accident_written_after_it_bears_the_day_it_came_in(office: Office) -> None:
    for i in ALL_PASS:
        office.result(f"P-01-{i}", lesson=i)
    office.take_in("2026-03-15")
    office.write("signoffs.csv", "P-01,bench-height,E-2,2026-04-13,M. Orozco", "P-01,truck-match,E-2,2026-04-14,M. Orozco")
    office.take_in("2026-04-21")
    told = page(office, "2026-04-20")
    assert "2 of its 4 rows were not in the register yet on 2026-04-20; the last came in on 2026-04-21" in told
    assert told.count("taken in on 2026-04-21") == 1  # eight days after 13 April, and seven after the 14th
    assert "Told later" not in page(office, "2026-04-21")
    of_lesson = words(lesson_page(records(office, "2026-04-20").lesson("bench-height")))
    assert "taken in on 2026-04-21" in of_lesson


def test_a_register_begun_anew_says_when_and_that_all_was_taken_in_then(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    assert "Register begun on 2026-03-25" in page(office, "2026-04-20")
    for path in sorted((office.site / "register").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    office.take_in("2026-04-25")
    told = page(office, "2026-04-20")
    assert "Register begun on 2026-04-25" in told and "All of it was taken in on 2026-04-25, whatever day it bears" in told
    assert "None of it was in the register yet on 2026-04-20" in told


def test_a_mentor_who_was_made_one_for_the_past_is_told(office: Office) -> None:
    office.write("mentors.csv", "M-1,Mo Orozco,excavator,2026-04-01,")
    trained(office, mentor="M-1")
    office.take_in("2026-03-25")
    assert not office.standing("2026-03-25").signed
    office.write("mentors.csv", "M-1,Mo Orozco,excavator,2026-01-01,")
    office.take_in("2026-04-25")
    told = page(office, "2026-04-20")
    assert "2026-04-25 the mentors, M-1 from: 2026-04-01 is now 2026-01-01" in told


def test_another_person_under_a_mentors_id_signs_nothing_new_and_takes_over_nothing(office: Office) -> None:
    office.write("mentors.csv", "M-1,Mo Orozco,excavator,2026-01-01,")
    trained(office, mentor="M-1")
    office.take_in("2026-03-25")
    assert office.standing("2026-03-25").state == "ready"
    office.write("mentors.csv", "M-1,Ed Grant,excavator,2026-01-01,")
    office.write("hours.csv", "P-01,E-2,2026-03-30,6,M-1,loading,no")
    office.take_in("2026-04-02")
    assert office.standing("2026-04-02").state == "ready" and office.person("P-01", "2026-04-02").mentored == 0
    assert "M-1 was Mo Orozco and is Ed Grant here; what Mo Orozco signed stays under that name" in office.flags["renamed"]
    office.write("corrections.csv", "M-1,same person,R. Calloway,married")
    office.take_in("2026-04-03")
    assert "renamed" not in office.flags


def test_no_table_of_mentors_any_more_does_not_let_everybody_sign(office: Office) -> None:
    office.write("mentors.csv", "M-1,Mo Orozco,excavator,2026-01-01,")
    trained(office, mentor="Somebody Else")
    office.take_in("2026-03-25")
    assert office.standing("2026-03-25").state == "sign-off missing"
    (office.site / "mentors.csv").unlink()
    office.take_in("2026-04-02")
    assert office.standing("2026-04-02").state == "sign-off missing" and "mentor" in office.flags


def test_an_order_given_after_the_accident_does_not_hide_that_the_lesson_had_lapsed(office: Office) -> None:
    office.rules("  lessons:\n    bench-height: {valid_months: 1}\n")
    trained(office)
    office.write("retrain.csv", "P-01,bench-height,2026-04-20,incident")
    office.take_in("2026-04-20")
    assert "train again had lapsed on 2026-04-10, before that" in page(office, "2026-04-20")


def test_a_change_of_a_table_alone_is_noted_and_exported(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-01,Ines Holloway,loader,E-2,2026-01-05,,,", "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-25")
    assert (office.site / "register" / "exports" / "2026-04-25.csv").is_file()
    assert "2026-04-25 the crew, P-01 machines: without E-1; start: 2026-03-02 is now 2026-01-05" in page(office, "2026-04-20")


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [("2026-1.ledger.json", '"us": "10 ft"', '"us": "14 ft"'), ("2026-1.ledger.json", '"what": "bench height"', '"what": "height"'),
     ("2026-1.json", '"must": true', '"must": false')],
)  # fmt: skip
def test_a_kept_edition_whose_numbers_were_changed_does_not_hold(office: Office, file: str, old: str, new: str) -> None:
    trained(office)
    office.take_in("2026-03-25")
    site = read(office.site)

    def looked() -> str:
        with open_desk(site, write=False) as desk:
            wrong = remark(site, load_editions(site.folder), desk.rows.entries(kind="result")).wrong
        return str(wrong) if wrong else ""

    assert looked() == ""
    path = office.site / "editions" / file
    text = path.read_text("utf-8")
    changed = text.replace(old, new, 1) if old in text else text.replace(old.replace(": ", ":"), new.replace(": ", ":"), 1)
    assert changed != text
    path.write_text(changed, "utf-8")
    assert "the numbers or the questions of bench-height are other ones than those row" in looked()


def test_what_is_left_out_is_told_with_why(office: Office) -> None:
    trained(office)
    office.write("mentors.csv", "M-1,Mo Orozco,dozer,2026-01-01,")
    office.take_in("2026-03-25")
    told = page(office, "2026-03-25")
    assert "2 more handed in under this id are flagged and left out here. row" in told
    assert "bench-height: M. Orozco is no mentor here" in told


@pytest.mark.parametrize("row", ["P-01,Ines Holloway,loader,E-1 E-2,2026-03-02,2026-04-15,,", ""])
def test_nobody_who_left_is_ready_for_anything(office: Office, row: str) -> None:
    trained(office)
    office.take_in("2026-03-25")
    assert "E-2" in records(office, "2026-03-25").of("P-01").ready
    office.crew(*(x for x in (row, "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,") if x))
    office.take_in("2026-04-15")
    found = records(office, "2026-04-20")
    assert found.of("P-01").ready == () and found.of("P-01").facts("")["seat time"] == ""
    assert "Nothing: on this day the person was not of this crew, and had left on 2026-04-15" in page(office, "2026-04-20")
    assert "left 2026-04-15" in words(lesson_page(found.lesson("bench-height")))
    assert "E-2" in records(office, "2026-04-14").of("P-01").ready


def test_another_first_day_of_an_edition_is_told(office: Office) -> None:
    (office.site / "editions" / "days.csv").write_text("edition,first built\n2026-1,2026-03-01\n", "utf-8")
    trained(office)
    office.take_in("2026-03-25")
    (office.site / "editions" / "days.csv").write_text("edition,first built\n2026-1,2026-03-12\n", "utf-8")
    office.take_in("2026-04-25")
    told = page(office, "2026-04-20")
    assert "2026-04-25 the days of editions, 2026-1 first built: 2026-03-01 is now 2026-03-12" in told


def test_a_record_that_a_changed_name_empties_says_that_it_proves_nothing(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    assert "proves nothing" not in page(office, "2026-04-20")
    office.crew("P-01,Anna Birk,loader,E-2,2026-03-02,,,", "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-25")
    told = page(office, "2026-04-20")
    assert "Whose rows these are has to be said first. P-01 was Ines Holloway and is Anna Birk here" in told
    assert "that it says not taken proves nothing" in told and "proves nothing" not in page(office, "2026-04-20", "P-02")
