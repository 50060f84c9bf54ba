"""What an inspector would ask of the records, one question a test. Worked out by hand; all invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tests.records.office import ALL_PASS, Office, ready, trained
from tests.records.small import signed, small_site


@pytest.fixture
def office(tmp_path: Path) -> Office:
    return Office(small_site(tmp_path / "site"))


# --- who ---------------------------------------------------------------------------------------


def test_a_new_person_under_an_old_id_inherits_nothing(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    assert ready(office, "2026-03-25")
    office.crew("P-01,Anna Birk,loader,E-2,2026-04-01,,,", "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-02")
    assert not ready(office, "2026-04-02")
    assert "P-01 was Ines Holloway and is Anna Birk here" in office.flags["renamed"]
    assert office.standing("2026-04-02").state == "not taken"


def test_the_same_person_with_another_name_keeps_everything_once_somebody_says_so(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-01,Ines Castell,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-02")
    assert not ready(office, "2026-04-02")
    office.write("corrections.csv", "P-01,same person,R. Calloway,married")
    office.take_in("2026-04-03")
    assert ready(office, "2026-04-03") and "renamed" not in office.flags
    office.crew("P-01,Somebody Else,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-04")  # the answer was about that name, not about any
    assert not ready(office, "2026-04-04")


@pytest.mark.parametrize("name", ["INES HOLLOWAY", "Holloway, Ines", "Inés  Hollowáy"])
def test_another_way_to_write_a_name_is_no_other_name(office: Office, name: str) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew(f'P-01,"{name}",loader,E-2,2026-03-02,,,')
    office.take_in("2026-04-02")
    assert ready(office, "2026-04-02")


def test_a_person_with_a_new_id_brings_the_records_of_the_former_one(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("X-77,Ines Holloway,loader,E-2,2026-04-01,,P-01,")
    office.take_in("2026-04-02")
    assert ready(office, "2026-04-02", crew="X-77")
    assert "outside" not in office.flags


def test_nothing_of_the_time_before_somebody_started_counts(office: Office) -> None:
    trained(office)
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-15,,,")  # the quizzes are of 10 March
    office.take_in("2026-03-25")
    assert office.standing("2026-03-25").state == "not taken"
    assert "before P-01 started on 2026-03-15" in office.flags["outside"]


def test_a_leaver_is_no_longer_listed_and_was_there_before(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,2026-06-01,,", "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-06-02")
    assert [p.person.id for p in office.on("2026-06-02").people] == ["P-02"]
    assert ready(office, "2026-05-31")
    assert office.person("P-01", "2026-06-02", leavers=True).count("ready") == 2


def test_a_leaver_whose_row_is_gone_is_known_as_of_then(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-06-02")
    assert [p.person.id for p in office.on("2026-06-02").people] == ["P-02"]
    assert "P-01 Ines Holloway stands in the crew no more, as was seen on 2026-06-02" in {f.what for f in office.tally.flags}
    assert ready(office, "2026-04-30") and office.flags == {}
    assert office.person("P-01", "2026-06-02", leavers=True).person.name == "Ines Holloway"


# --- on which machine -----------------------------------------------------------------------------


def test_sign_offs_stand_though_the_machine_was_sold(office: Office) -> None:
    trained(office, machine="E-1")
    office.take_in("2026-03-25")
    for table in (office.site / "machines.csv", office.site / "lift_chart.csv"):
        lines = table.read_text("utf-8").splitlines(keepends=True)
        table.write_text("".join(x for x in lines if not x.startswith("E-1,") and ",E-1," not in x), "utf-8")
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,,,")
    office.take_in("2026-06-02")
    assert set(office.flags) == {"left"}  # the others' rows are gone
    assert office.machine("2026-06-02", "P-01", "E-2").ready
    assert office.machine("2026-04-30", "P-01", "E-1").ready


def test_a_sign_off_on_a_machine_of_nobody_of_that_class_does_not_count(office: Office) -> None:
    office.rules("  classes:\n    - {id: small, kind: excavator, up_to: 60000 lb}\n    - {id: large, kind: excavator}\n")
    trained(office, crew="P-02", machine="E-1")  # E-1 is of one class, P-02's E-2 of the other
    office.take_in("2026-03-25")
    assert "E-1 is no machine of P-02" in office.flags["not-theirs"]
    assert office.machine("2026-03-25", "P-02", "E-2").gaps


def test_a_sign_off_counts_for_its_class_only(office: Office) -> None:
    office.rules("  classes:\n    - {id: small, kind: excavator, up_to: 60000 lb}\n    - {id: large, kind: excavator}\n")
    trained(office, machine="E-1")  # P-01 runs both
    office.take_in("2026-03-25")
    assert office.machine("2026-03-25", "P-01", "E-1").ready
    assert [g[2] for g in office.machine("2026-03-25", "P-01", "E-2").gaps] == ["sign-off missing (seen on another class of machine only)"]


# --- by whom ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mentor", "day", "flag"),
    [("x", "2026-03-20", "unsigned"), ("Holloway Ines", "2026-03-20", "unsigned"), ("M. Orozco", "1990-01-01", "outside"),
     ("M. Orozco", "2026-03-05", "too-soon")],
)  # fmt: skip
def test_a_signature_that_proves_nothing_makes_nobody_ready(office: Office, mentor: str, day: str, flag: str) -> None:
    trained(office, mentor=mentor, day=day)
    office.take_in("2026-03-25")
    assert flag in office.flags
    assert office.standing("2026-03-25").state == "sign-off missing"


@pytest.mark.parametrize(
    ("row", "counts"),
    [("M-1,Mo Orozco,excavator,2026-01-01,", True), ("M-1,Mo Orozco,dozer,2026-01-01,", False),
     ("M-1,Mo Orozco,excavator,2026-03-21,", False), ("M-1,Mo Orozco,excavator,,2026-03-19", False), ("M-2,Ed Grant,excavator,,", False)],
)  # fmt: skip
@pytest.mark.parametrize("written", ["M-1", "Mo Orozco", "orozco, mo"])
def test_only_a_mentor_of_that_kind_on_that_day_may_sign(office: Office, row: str, counts: bool, written: str) -> None:
    office.write("mentors.csv", row)
    trained(office, mentor=f'"{written}"')
    office.take_in("2026-03-25")
    assert ready(office, "2026-03-25") is counts
    assert ("mentor" in office.flags) is not counts


def test_a_site_may_let_mentors_sign_before_the_quiz(office: Office) -> None:
    office.rules("  sign_before_pass: yes\n")
    trained(office, day="2026-03-05")
    office.take_in("2026-03-25")
    assert ready(office, "2026-03-25")


# --- when, and until when ----------------------------------------------------------------------------


def test_as_of_a_day_nothing_later_is_told(office: Office) -> None:
    trained(office)
    office.write("corrections.csv")
    office.take_in("2026-03-25")
    assert not ready(office, "2026-03-19") and office.flags == {}
    assert office.standing("2026-03-19").state == "sign-off missing"
    assert office.standing("2026-03-09").state == "not taken" and office.flags == {}


def test_the_role_is_that_of_the_day(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-01,Ines Holloway,driver,T-1,2026-03-02,,,2026-05-01")
    office.take_in("2026-05-02")
    assert office.person("P-01", "2026-05-02").role.id == "driver"
    assert office.person("P-01", "2026-04-30").role.id == "loader"


def test_a_lesson_lapses_by_quiz_or_sign_off_whichever_ends_first(office: Office) -> None:
    office.rules("  valid_months: 12\n  due_days: 60\n  lessons:\n    bench-height: {valid_months: 6}\n")
    trained(office)
    office.take_in("2026-03-25")
    until = date(2026, 9, 10)  # six months after the quiz of 10 March
    assert office.standing("2026-07-11").until == until and not office.standing("2026-07-11").due
    assert office.standing("2026-07-12").due and ready(office, "2026-09-10")
    assert office.standing("2026-09-11").state == "lapsed" and not ready(office, "2026-09-11")
    assert office.standing("2026-09-11", lesson="truck-match").until == date(2027, 3, 10)
    office.result("again", days=180)  # 6 September: the sign-off of 20 March is the older one now
    office.take_in("2026-09-12")
    assert office.standing("2026-09-12").until == date(2026, 9, 20)


def test_an_order_takes_readiness_away_until_it_is_carried_out(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.write("retrain.csv", "P-01,bench-height,2026-04-01,incident")
    office.take_in("2026-04-01")
    assert office.standing("2026-04-01").state == "train again" and ready(office, "2026-03-31")
    assert office.standing("2026-04-01", lesson="truck-match").state == "ready"
    office.result("again", days=23)  # 2 April
    office.take_in("2026-04-03")
    assert office.standing("2026-04-03").state == "sign-off missing"
    office.write("signoffs.csv", *(f"P-01,{i},E-2,2026-03-20,M. Orozco" for i in ALL_PASS), "P-01,bench-height,E-2,2026-04-03,M. Orozco")
    office.take_in("2026-04-03")
    assert ready(office, "2026-04-03")


def test_an_order_for_all_lessons(office: Office) -> None:
    trained(office)
    office.write("retrain.csv", "P-01,all,2026-04-01,long away")
    office.take_in("2026-04-01")
    assert {s.state for s in office.person("P-01", "2026-04-01").standings.values()} == {"train again"}


def test_a_try_failed_after_passing_is_told(office: Office) -> None:
    trained(office)
    office.result("later", days=40, rights=(False,) * 5)
    office.take_in("2026-04-25")
    made = office.standing("2026-04-25")
    assert made.state == "ready" and made.failed_since == date(2026, 4, 19)


# --- seat time -----------------------------------------------------------------------------------------


def test_ready_for_seat_time_and_ready_to_work_alone_are_two_states(office: Office) -> None:
    office.settings("    title: Loader\n", "    title: Loader\n    hours: 10 h\n    slope_hours: 2 h\n")
    trained(office)
    rows = ["P-01,E-2,2026-03-21,6,M. Orozco,loading,no", "P-01,E-2,2026-03-22,4,M. Orozco,slope,yes", "P-01,E-2,2026-03-23,8,,alone,yes"]
    office.write("hours.csv", rows[0], rows[2])
    office.take_in("2026-03-25")
    line = office.machine("2026-03-25", "P-01", "E-2")
    assert line.ready and not line.ready_alone
    assert line.alone == ("6 of 10 hours under a mentor", "0 of 2 hours on slopes under a mentor")
    office.write("hours.csv", *rows)
    office.take_in("2026-03-26")
    assert office.machine("2026-03-26", "P-01", "E-2").ready_alone
    assert office.person("P-01", "2026-03-26").mentored == 10 and office.person("P-01", "2026-03-26").on_slopes == 4


def test_where_no_rule_is_set_nobody_is_said_to_work_alone(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    line = office.machine("2026-03-25", "P-01", "E-2")
    assert line.alone is None and line.ready and not line.ready_alone


def test_hours_written_twice_count_once_and_no_day_has_more_than_24(office: Office) -> None:
    office.write("hours.csv", "P-01,E-2,2026-03-21,6,M. Orozco,loading,no", "P-01,E-2,2026-03-21,7,M. Orozco,loading,no",
                 "P-01,E-1,2026-03-21,19,M. Orozco,loading,no")  # fmt: skip
    office.take_in("2026-03-25")
    assert [h.hours for h in office.tally.hours] == [6]
    assert [f.name for f in office.tally.flags] == ["conflict", "conflict"]


def test_a_row_taken_out_of_a_table_is_told_and_counts_until_somebody_says_otherwise(office: Office) -> None:
    office.write("hours.csv", "P-01,E-2,2026-03-21,6,M. Orozco,loading,no", "P-01,E-2,2026-03-22,6,M. Orozco,loading,no")
    office.take_in("2026-03-25")
    office.write("hours.csv", "P-01,E-2,2026-03-22,6,M. Orozco,loading,no")
    office.take_in("2026-03-26")
    row = office.rows["gone"]
    assert sum(h.hours for h in office.tally.hours) == 12
    office.write("corrections.csv", f"{row},void,R. Calloway,typed on the wrong day")
    office.take_in("2026-03-27")
    assert sum(h.hours for h in office.tally.hours) == 6 and "gone" not in office.flags
    assert "taken out by R. Calloway: typed on the wrong day" in office.flags["corrected"]
    office.on("2026-03-26")  # on the day before it was corrected it stood
    assert sum(h.hours for h in office.tally.hours) == 12


# --- forgery ---------------------------------------------------------------------------------------------


def test_a_copied_file_is_held_and_its_owner_stays_ready(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.records.rows.RARE", 0.0)  # the small quiz has few figures to draw
    trained(office)
    file = office.result("P-01-bench-height")
    office.take_in("2026-03-25")
    moved = {"started": "2026-03-28T09:00:00Z", "finished": "2026-03-28T10:00:00Z"}
    answers = [a | {"at": "2026-03-28T09:30:00Z"} for a in file["answers"]]
    office.hand_in("copy", signed(file, crew="P-02", answers=answers, **moved))  # at another time of another day
    office.take_in("2026-03-29")
    assert ready(office, "2026-03-29")
    assert office.standing("2026-03-29", crew="P-02").state == "held"
    assert "P-01, P-02" in office.flags["copied"]
    assert [m.entry for m in office.tally.held] == [office.rows["copied"]]
    office.write("corrections.csv", f"{office.rows['copied']},counts,R. Calloway,they shared a phone: I watched both")
    office.take_in("2026-03-30")
    assert office.standing("2026-03-30", crew="P-02").state == "sign-off missing" and ready(office, "2026-03-30")


def test_a_try_faster_than_reading_is_held(office: Office) -> None:
    file = office.result("quick")
    at = "2026-03-10T09:00:02Z"
    office.hand_in("quick", signed(file, started="2026-03-10T09:00:00Z", finished=at, answers=[a | {"at": at} for a in file["answers"]]))
    office.take_in("2026-03-25")
    assert office.standing("2026-03-25").state == "held" and "faster than anyone reads" in office.flags["fast"]


def test_a_clock_before_the_edition_is_held(office: Office) -> None:
    office.result("early")
    (office.site / "editions" / "days.csv").write_text("edition,first built\n2026-1,2026-03-12\n", "utf-8")
    office.take_in("2026-03-25")
    assert office.standing("2026-03-25").state == "held" and "before edition 2026-1 was built on 2026-03-12" in office.flags["clock"]


def test_what_was_taken_in_stays_when_its_file_is_gone(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    for path in (office.site / "results").iterdir():
        path.unlink()
    (office.site / "signoffs.csv").unlink()
    office.take_in("2026-03-26")
    assert ready(office, "2026-03-26") and office.flags == {}


def test_a_correction_of_a_row_that_is_not_there_is_told(office: Office) -> None:
    office.write("corrections.csv", "4711,void,R. Calloway,a slip of the pen")
    office.take_in("2026-03-25")
    assert "there is no row 4711" in office.flags["mistyped"]


def test_who_was_at_a_talk(office: Office) -> None:
    office.write("talks.csv", "2026-03-20,bench-height,M. Orozco,P-01 P-02", "2026-03-27,bench-height,M. Orozco,P-01")
    office.take_in("2026-03-28")
    assert [(t.day.day, t.lesson) for t in office.person("P-01", "2026-03-28").talks] == [(20, "bench-height"), (27, "bench-height")]
    assert [t.day.day for t in office.person("P-02", "2026-03-28").talks] == [20]


def test_who_was_long_without_seat_time_is_told(office: Office) -> None:
    office.rules("  away_days: 30\n")
    trained(office)
    office.write("hours.csv", "P-01,E-2,2026-03-21,6,M. Orozco,loading,no")
    office.take_in("2026-03-25")
    assert ready(office, "2026-04-20") and "away" not in office.flags
    assert ready(office, "2026-04-21") and "no seat time since 2026-03-21, for 31 days" in office.flags["away"]


def test_a_leavers_name_is_told_when_its_time_is_over(office: Office) -> None:
    office.rules("  keep_months: 12\n")
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,2026-06-01,,", "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-06-02")
    office.on("2027-06-01")
    assert office.flags == {}
    office.on("2027-06-02")
    assert "P-01 left on 2026-06-01, and names are kept for 12 months" in office.flags["name-kept"]
