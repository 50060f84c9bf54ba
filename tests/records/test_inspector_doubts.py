"""What an inspector would doubt: who is who, who may sign, and who corrects whom. Worked out by hand; all invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.jobsite.reader import read
from generator.records.desk import open_desk
from tests.records.office import ALL_PASS, Office, ready, trained
from tests.records.small import signed, small_site


@pytest.fixture
def office(tmp_path: Path) -> Office:
    return Office(small_site(tmp_path / "site"))


def names(office: Office) -> dict[str, list[str]]:
    """All that is said, by the flag's name."""
    out: dict[str, list[str]] = {}
    for f in office.tally.flags:
        out.setdefault(f.name, []).append(f"{f.what}; {f.fix}")
    return out


def rows_of(office: Office, kind: Any) -> list[Any]:
    with open_desk(read(office.site), write=False) as desk:
        return list(desk.rows.entries(kind=kind))


# --- mentors ------------------------------------------------------------------------------------


def test_a_mentor_written_by_name_before_there_was_a_table_is_the_one_of_that_name(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.write("mentors.csv", "M-1,M. Orozco,excavator,2026-01-01,")
    office.take_in("2026-03-26")
    assert ready(office, "2026-03-26") and office.flags == {}
    assert {s.mentor for s in office.tally.signoffs} == {"M-1"}
    assert len(rows_of(office, "sign-off")) == 2  # read again, and no second row each


@pytest.mark.parametrize("written", ["M-1", "m. orozco"])
def test_the_id_in_place_of_the_name_makes_no_second_row(office: Office, written: str) -> None:
    trained(office)
    office.write("hours.csv", "P-01,E-2,2026-03-21,6,M. Orozco,loading,no")
    office.take_in("2026-03-25")
    office.write("mentors.csv", "M-1,M. Orozco,excavator,2026-01-01,")
    office.write("hours.csv", f"P-01,E-2,2026-03-21,6,{written},loading,no")
    office.write("signoffs.csv", *(f"P-01,{i},E-2,2026-03-20,{written}" for i in ALL_PASS))
    office.take_in("2026-03-26")
    assert office.flags == {} and ready(office, "2026-03-26")
    assert [len(rows_of(office, k)) for k in ("sign-off", "hours")] == [2, 1]
    assert [(h.hours, h.mentor) for h in office.tally.hours] == [(6, "M-1")]


def test_who_signed_before_there_was_a_table_and_is_not_in_it_can_be_added(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.write("mentors.csv", "M-2,Ed Grant,excavator,2026-01-01,")
    office.take_in("2026-03-26")
    assert not ready(office, "2026-03-26")
    assert (
        "M. Orozco is no mentor here; if M. Orozco was one on that day, add a row for M. Orozco to mentors.csv"
        in names(office)["mentor"][0]
    )
    office.write("mentors.csv", "M-2,Ed Grant,excavator,2026-01-01,", "M-3,M. Orozco,excavator,2025-01-01,2026-03-24")
    office.take_in("2026-03-27")
    assert ready(office, "2026-03-27")


def test_what_a_mentor_signed_stands_though_his_row_is_gone_and_no_more_is_added(office: Office) -> None:
    office.write("mentors.csv", "M-1,Mo Orozco,excavator,2026-01-01,", "M-2,Ed Grant,excavator,2026-01-01,")
    trained(office, mentor="Mo Orozco")
    office.take_in("2026-03-25")
    office.write("mentors.csv", "M-2,Ed Grant,excavator,2026-01-01,")
    office.take_in("2026-04-10")
    assert ready(office, "2026-04-10") and office.flags == {} and len(rows_of(office, "sign-off")) == 2
    office.write("signoffs.csv", *(f"P-01,{i},E-2,2026-03-20,Mo Orozco" for i in ALL_PASS), "P-02,bench-height,E-2,2026-04-12,M-1")
    office.result("P-02-bench", crew="P-02")
    office.take_in("2026-04-13")
    assert names(office)["mentor"][0].startswith("Mo Orozco is no mentor here")
    assert office.standing("2026-04-13", crew="P-02").state == "sign-off missing" and ready(office, "2026-04-13")


def test_taking_the_table_of_mentors_away_makes_no_mentor_of_anybody(office: Office) -> None:
    office.write("mentors.csv", "M-2,Ed Grant,excavator,2026-01-01,")
    trained(office)
    office.take_in("2026-03-25")
    assert "mentor" in office.flags
    (office.site / "mentors.csv").unlink()
    office.take_in("2026-03-26")
    assert "mentor" in office.flags and not ready(office, "2026-03-26")


@pytest.mark.parametrize(
    ("row", "counts"), [("M-1,Mo Orozco,dozer,2026-01-01,", True), ("M-1,Mo Orozco,dozer,2026-01-01,2026-03-19", False)]
)
def test_the_kinds_are_those_of_then_and_the_days_those_told_last(office: Office, row: str, counts: bool) -> None:
    office.write("mentors.csv", "M-1,Mo Orozco,excavator,2026-01-01,")
    trained(office, mentor="M-1")
    office.take_in("2026-03-25")
    office.write("mentors.csv", row)  # no longer for excavators: that was no secret of the day he signed
    office.take_in("2026-04-10")
    assert ready(office, "2026-04-10") is counts


def test_another_mentor_under_an_old_id_signs_nothing(office: Office) -> None:
    office.write("mentors.csv", "M-1,Mo Orozco,excavator,2026-01-01,")
    trained(office, mentor="M-1")
    office.take_in("2026-03-25")
    office.write("mentors.csv", "M-1,Ed Grant,excavator,2026-01-01,")
    office.result("P-02", crew="P-02")
    lines = [f"P-01,{i},E-2,2026-03-20,M-1" for i in ALL_PASS]
    office.write("signoffs.csv", *lines, "P-02,bench-height,E-2,2026-03-26,Ed Grant")
    office.take_in("2026-03-27")
    assert any("M-1 was Mo Orozco and is Ed Grant" in x for x in names(office)["renamed"])
    assert office.standing("2026-03-27", crew="P-02").state == "sign-off missing" and len(rows_of(office, "sign-off")) == 2
    assert ready(office, "2026-03-27")  # what Mo Orozco signed stands
    office.write("corrections.csv", "M-1,same person,R. Calloway,he is called Ed now")
    office.take_in("2026-03-28")
    assert office.standing("2026-03-28", crew="P-02").state == "ready" and "renamed" not in office.flags


def test_nobody_signs_under_a_former_id(office: Office) -> None:
    trained(office)
    for i in ALL_PASS:
        office.result(f"X-7-{i}", crew="X-7", lesson=i)
    office.write("signoffs.csv", *(f"X-7,{i},E-2,2026-03-20,P-01" for i in ALL_PASS))
    office.crew("X-7,Ines Castell,loader,E-2,2026-03-02,,P-01,")
    office.take_in("2026-03-25")
    assert "nobody signs for himself or herself" in names(office)["unsigned"][0]


# --- corrections --------------------------------------------------------------------------------


def test_a_correction_can_be_taken_out_itself(office: Office) -> None:
    office.write("hours.csv", "P-01,E-2,2026-03-21,6,M. Orozco,loading,no")
    office.take_in("2026-03-25")
    (row,) = [e.n for e in rows_of(office, "hours")]
    lines = [f"{row},void,R. Calloway,the wrong day"]
    office.write("corrections.csv", *lines)
    office.take_in("2026-03-26")
    assert office.tally.hours == []
    (first,) = [e.n for e in rows_of(office, "correction")]
    lines.append(f"{first},void,R. Calloway,it was the right day after all")
    office.write("corrections.csv", *lines)
    office.take_in("2026-03-27")
    assert [h.hours for h in office.tally.hours] == [6]
    assert "this correction was itself taken out by R. Calloway: it was the right day after all" in names(office)["corrected"][0]
    second = rows_of(office, "correction")[-1].n
    office.write("corrections.csv", *lines, f"{second},void,R. Calloway,no")
    office.take_in("2026-03-28")
    assert office.tally.hours == []  # the first word holds again
    office.on("2026-03-27")
    assert [h.hours for h in office.tally.hours] == [6]


@pytest.mark.parametrize("by", ["Ines Holloway", "P-01", "holloway ines"])
def test_nobody_corrects_what_is_said_of_himself_or_herself(office: Office, by: str) -> None:
    file = office.result("quick")
    at = "2026-03-10T09:00:02Z"
    office.hand_in("quick", signed(file, started="2026-03-10T09:00:00Z", finished=at, answers=[x | {"at": at} for x in file["answers"]]))
    office.take_in("2026-03-25")
    office.write("corrections.csv", f"{office.rows['fast']},counts,{by},I read fast")
    office.take_in("2026-03-26")
    assert office.standing("2026-03-26").state == "held" and "nobody corrects what is said" in names(office)["unsigned"][0]


def test_nobody_says_of_himself_or_herself_to_be_the_same_person(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-01,Anna Birk,loader,E-2,2026-03-02,,,")
    office.write("corrections.csv", "P-01,same person,Anna Birk,it is me")
    office.take_in("2026-04-02")
    assert not ready(office, "2026-04-02") and "renamed" in office.flags and "unsigned" in office.flags


def test_the_word_that_it_is_the_same_person_can_be_taken_out(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-01,Ines Castell,loader,E-2,2026-03-02,,,")
    office.write("corrections.csv", "P-01,same person,R. Calloway,married")
    office.take_in("2026-04-02")
    assert ready(office, "2026-04-02")
    (row,) = [e.n for e in rows_of(office, "correction")]
    office.write("corrections.csv", "P-01,same person,R. Calloway,married", f"{row},void,R. Calloway,it is her sister")
    office.take_in("2026-04-03")
    assert not ready(office, "2026-04-03") and "was taken out; so nothing of before counts" in names(office)["renamed"][0]


def test_by_a_scrawl_nobody_corrects(office: Office) -> None:
    office.result("a")
    office.take_in("2026-03-25")
    office.write("corrections.csv", f"{rows_of(office, 'result')[0].n},void,x,because")
    office.take_in("2026-03-26")
    assert "'x' is nobody's name" in names(office)["unsigned"][0] and len(office.tally.marked) == 1


def test_only_what_was_handed_in_is_corrected(office: Office) -> None:
    office.result("a")
    office.take_in("2026-03-25")
    row = rows_of(office, "machine")[0].n
    office.write("corrections.csv", f"{row},void,R. Calloway,we have no such machine")
    office.take_in("2026-03-26")
    assert f"row {row} is about a machine" in names(office)["mistyped"][0] and rows_of(office, "correction") == []


def test_of_two_versions_of_a_try_the_one_counts_that_somebody_said(office: Office) -> None:
    file = office.result("a")
    office.take_in("2026-03-25")
    other = [x | {"answer": x["answer"][::-1]} if isinstance(x["answer"], list) else x for x in file["answers"]]  # the order turned round
    office.hand_in("b", signed(file, answers=other))
    office.take_in("2026-03-26")
    row = office.rows["conflict"]
    assert [m.entry for m in office.tally.marked] == [rows_of(office, "result")[0].n] and row == rows_of(office, "result")[1].n
    office.write("corrections.csv", f"{row},counts,R. Calloway,the first was a slip of the pen")
    office.take_in("2026-03-27")
    assert [m.entry for m in office.tally.marked] == [row] and office.tally.held == []
    assert f"of the same try row {row} counts: R. Calloway said so" in names(office)["conflict"][0]


# --- who is who ---------------------------------------------------------------------------------


def test_another_name_under_a_new_id_with_a_former_one_inherits_nothing_unasked(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("X-77,Anna Birk,loader,E-2,2026-04-01,,P-01,")
    office.take_in("2026-04-02")
    assert not ready(office, "2026-04-02", crew="X-77")
    assert "P-01, the former id of X-77 Anna Birk, was Ines Holloway" in names(office)["renamed"][0]
    office.write("corrections.csv", "X-77,same person,R. Calloway,married")
    office.take_in("2026-04-03")
    assert ready(office, "2026-04-03", crew="X-77") and set(office.flags) == {"left"}


def test_somebody_whose_name_was_taken_out_is_nobody_else(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    rest = "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,"
    office.crew(rest)
    office.take_in("2026-04-02")
    with open_desk(read(office.site), write=True) as desk:
        desk.rows.forget(["P-01"], date(2026, 4, 2))  # type: ignore[attr-defined]
    office.crew("P-01,Anna Birk,loader,E-2,2026-04-03,,,", rest)
    office.take_in("2026-04-03")
    assert not ready(office, "2026-04-03") and "was somebody's whose name was taken out" in names(office)["renamed"][0]
    office.crew("X-1,Ines Holloway,loader,E-2,2026-04-03,,P-01,", rest)  # she came back
    office.take_in("2026-04-04")
    assert not ready(office, "2026-04-04", crew="X-1") and "write X-1, same person" in names(office)["renamed"][0]
    office.write("corrections.csv", "X-1,same person,R. Calloway,I know her")
    office.take_in("2026-04-05")
    assert ready(office, "2026-04-05", crew="X-1") and "renamed" not in office.flags
    with open_desk(read(office.site), write=False) as desk:
        assert "P-01" not in desk.rows.names()


def test_a_role_told_later_stands_from_its_first_day_through_later_changes(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("P-01,Ines Holloway,driver,T-1,2026-03-02,,,2026-05-01")
    office.take_in("2026-05-20")  # told late
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,,,2026-09-01")
    office.take_in("2026-08-15")  # and early
    roles = {d: office.person("P-01", d).role.id for d in ("2026-04-30", "2026-05-10", "2026-06-30", "2026-08-20", "2026-09-01")}
    assert list(roles.values()) == ["loader", "driver", "driver", "driver", "loader"]
    assert set(office.flags) == {"left"}  # the sign-offs of the first role are read again and stand


def test_the_last_day_of_a_leaver_told_late_holds_though_the_row_is_gone(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    rest = "P-02,Tom Abernethy,loader,E-2,2026-03-02,,,"
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,2026-06-01,,", rest)
    office.take_in("2026-07-15")
    office.crew(rest)
    office.take_in("2026-08-01")
    assert [p.person.id for p in office.on("2026-06-15").people] == ["P-02", "P-03"]
    assert [p.person.id for p in office.on("2026-05-31").people] == ["P-02", "P-01", "P-03"]


def test_one_person_under_three_ids_stands_once(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("X-1,Ines Holloway,loader,E-2,2026-04-01,,P-01,")
    office.take_in("2026-04-02")
    office.crew("Z-1,Ines Holloway,loader,E-2,2026-05-01,,X-1,")
    office.take_in("2026-05-02")
    assert [p.person.id for p in office.on("2026-03-26").people] == ["Z-1", "P-02", "P-03"]
    assert ready(office, "2026-05-02", crew="Z-1") and set(office.flags) == {"left"}


def test_an_id_in_other_letters_is_told(office: Office) -> None:
    trained(office)
    office.take_in("2026-03-25")
    office.crew("p-01,Ines Holloway,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-02")
    assert not ready(office, "2026-04-02", crew="p-01")
    assert (
        "p-01 is new here, and P-01 is known" in names(office)["renamed"][0]
        and "write the id as it was, P-01" in names(office)["renamed"][0]
    )
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-03")
    assert ready(office, "2026-04-03") and "renamed" not in office.flags


# --- machines -----------------------------------------------------------------------------------


def test_another_kind_of_machine_under_an_old_id_takes_no_sign_offs_over(office: Office) -> None:
    trained(office, machine="E-1")
    office.take_in("2026-03-25")
    machines = (office.site / "machines.csv").read_text("utf-8")
    with open_desk(read(office.site), write=False) as desk:
        site = desk.site
    dozer = [m.id for m in site.machines if m.kind == "dozer"][1]
    swapped = machines.replace("\nE-1,", "\n@,").replace(f"\n{dozer},", "\nE-1,").replace("\n@,", f"\n{dozer},")
    (office.site / "machines.csv").write_text(swapped, "utf-8")
    chart = office.site / "lift_chart.csv"
    chart.write_text(chart.read_text("utf-8").replace("E-1,", f"{dozer},"), "utf-8")
    office.crew(f"P-01,Ines Holloway,loader,{dozer},2026-03-02,,,")
    office.take_in("2026-04-02")
    line = office.machine("2026-04-02", "P-01", dozer)  # an excavator now
    assert line.seen_on == ()
    assert "E-1 was an excavator and is a dozer here" in names(office)["renamed"][0]


def test_nobody_is_signed_on_a_machine_that_is_gone(office: Office) -> None:
    office.take_in("2026-03-05")
    for table in (office.site / "machines.csv", office.site / "lift_chart.csv"):
        lines = table.read_text("utf-8").splitlines(keepends=True)
        table.write_text("".join(x for x in lines if not x.startswith("E-1,") and ",E-1," not in x), "utf-8")
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,,,")
    office.take_in("2026-03-15")
    trained(office, machine="E-1", day="2026-03-20")
    office.write("hours.csv", "P-01,E-1,2026-03-20,4,M. Orozco,loading,no")
    office.take_in("2026-03-25")
    assert names(office)["outside"][0].startswith("E-1 was retired on 2026-03-15")
    assert office.tally.signoffs == [] and office.tally.hours == []


def test_a_sign_off_of_one_class_does_not_keep_that_of_another_alive(office: Office) -> None:
    office.rules(
        "  valid_months: 12\n  classes:\n    - {id: small, kind: excavator, up_to: 60000 lb}\n    - {id: large, kind: excavator}\n"
    )
    trained(office, machine="E-1")
    office.take_in("2026-03-25")
    office.result("later", days=300)  # 4 January 2027
    office.write("signoffs.csv", *(f"P-01,{i},E-1,2026-03-20,M. Orozco" for i in ALL_PASS), "P-01,bench-height,E-2,2027-01-05,M. Orozco")
    office.take_in("2027-03-25")
    assert office.standing("2027-03-25").state == "ready"
    gaps = {m: [g[:2] for g in office.machine("2027-03-25", "P-01", m).gaps] for m in ("E-1", "E-2")}
    assert ("bench-height", "lapsed") in gaps["E-1"] and ("bench-height", "lapsed") not in gaps["E-2"]


# --- forgery ------------------------------------------------------------------------------------


def moved(file: dict[str, Any], crew: str) -> dict[str, Any]:
    answers = [x | {"at": "2026-04-28T09:30:00Z"} for x in file["answers"]]
    made: dict[str, Any] = signed(file, crew=crew, answers=answers, started="2026-04-28T09:00:00Z", finished="2026-04-28T10:00:00Z")
    return made


def test_a_file_of_somebody_who_left_cannot_be_handed_in_again(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.records.rows.RARE", 0.0)
    file = office.result("a")
    office.take_in("2026-03-25")
    office.crew("P-02,Tom Abernethy,loader,E-2,2026-03-02,,,")
    office.take_in("2026-04-02")
    office.hand_in("b", moved(file, "P-02"))
    office.take_in("2026-04-29")
    assert office.standing("2026-04-29", crew="P-02").state == "held" and "P-01, P-02" in names(office)["copied"][0]
    assert [m.result.crew for m in office.tally.held] == ["P-02"]


def test_the_owner_handed_in_twice_before_the_copy_came(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.records.rows.RARE", 0.0)
    file = office.result("a")
    office.hand_in("a2", signed(file, started="2026-03-10T08:59:00Z"))
    office.take_in("2026-03-25")
    office.hand_in("b", moved(file, "P-02"))
    office.take_in("2026-04-29")
    assert {m.result.crew for m in office.tally.marked} == {"P-01"}
    assert {m.result.crew for m in office.tally.held} == {"P-02"}


# --- what cannot be written -----------------------------------------------------------------------


def test_where_the_dated_table_cannot_be_written_the_report_is(office: Office, capsys: pytest.CaptureFixture[str]) -> None:
    trained(office)
    (office.site / "register").mkdir()
    (office.site / "register" / "exports").write_text("in the way", "utf-8")
    assert main(["tally", str(office.site)]) == 2
    out, err = capsys.readouterr()
    assert err.count("\n") == 1 and "exports" in err and err.endswith("--export; what was handed in is taken in\n")
    assert (office.site / "out/mentor/records/readiness.html").is_file() and "4 of what was handed in is new" in out
    assert len(rows_of(office, "result")) == 2


def test_a_dated_table_that_says_otherwise_is_told_and_the_report_is_written(office: Office, capsys: pytest.CaptureFixture[str]) -> None:
    trained(office)
    assert main(["tally", str(office.site)]) == 0
    (table,) = (office.site / "register" / "exports").iterdir()
    lines = table.read_text("utf-8").splitlines(keepends=True)
    table.write_text("".join([*lines[:3], lines[3].replace(lines[3].strip()[-10:], "0123456789"), *lines[4:]]), "utf-8")
    office.result("more", days=3)
    (office.site / "out/mentor/records/readiness.html").unlink()
    capsys.readouterr()
    assert main(["tally", str(office.site)]) == 2
    out, err = capsys.readouterr()
    assert err.count("\n") == 1 and "not written over" in err and "1 of what was handed in is new" in out
    assert (office.site / "out/mentor/records/readiness.html").is_file()


def test_names_and_rows_are_taken_in_together_or_not_at_all(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    office.result("a")
    office.take_in("2026-03-25")
    office.write("hours.csv", *(f"P-01,E-2,2026-03-{d},6,Mentor {d},loading,no" for d in range(10, 20)))

    def stop(*_: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("generator.records.desk.Desk._put_names", stop)
    with pytest.raises(KeyboardInterrupt):
        office.take_in("2026-03-26")
    with open_desk(read(office.site), write=False) as desk:
        assert not [i for i in desk.rows.names() if i.startswith("~")] and not list(desk.rows.entries(kind="hours"))
