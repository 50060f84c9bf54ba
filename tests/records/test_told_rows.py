"""Rows that mentors and the coordinator type: the last one that is taken, the first that is not, and what is said of it.

The office takes in at noon UTC on 25 March: 26 March has begun where the day comes first (UTC+14), and 27 March nowhere.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.jobsite.reader import read
from generator.records.desk import open_desk
from tests.records.office import Office
from tests.records.small import small_site

NOW = "2026-03-25"


@pytest.fixture
def office(tmp_path: Path) -> Office:
    return Office(small_site(tmp_path / "site"))


def told(office: Office, table: str, *rows: str) -> list[str]:
    """What is said of the rows of a table, each beginning with its line."""
    office.write(table, *rows)
    office.take_in(NOW)
    return [f"{f.where.rpartition(':')[2]}: {f.name}: {f.what}; {f.fix}" for f in office.tally.flags]


def taken(office: Office, kind: str) -> list[str]:
    with open_desk(read(office.site), write=False) as desk:
        return [e.day[-2:] + " " + e.crew for e in desk.rows.entries() if e.kind == kind]


def test_rows_of_seat_time(office: Office) -> None:
    said = told(
        office, "hours.csv", "P-01,E-2,2026-03-20,24,M. Orozco,a,no", 'P-01,E-2,2026-03-21,"7,5 h",M. Orozco,a,Y', "P-01,E-2,2026-03-26,0.25,,a,",
        "P-01,E-2,2026-03-22,24.1,M. Orozco,a,no", "P-01,E-2,2026-03-22,0,M. Orozco,a,no", "P-01,E-2,2026-03-22,-1,M. Orozco,a,no",
        "P-01,E-2,2026-03-22,some,M. Orozco,a,no", "P-01,E-2,2026-03-27,4,M. Orozco,a,no", "P-01,E-2,,4,M. Orozco,a,no", ",E-2,2026-03-22,4,M. Orozco,a,no",
        "P-99,E-2,2026-03-22,4,M. Orozco,a,no", "P-01,E-9,2026-03-22,4,M. Orozco,a,no", "P-01,E-2,2026-03-22,4,x,a,no", "P-01,E-2,2026-03-22,4,,a,maybe",
    )  # fmt: skip
    assert said == [
        "5: unreadable: '24.1' is no number of hours of a day; write it as 3.5", "6: unreadable: '0' is no number of hours of a day; write it as 3.5",
        "7: unreadable: '-1' is no number of hours of a day; write it as 3.5", "8: unreadable: 'some' is no number of hours of a day; write it as 3.5",
        "9: future: it is dated 2026-03-27, which is still to come; check the date", "10: unreadable: the row has no date; write it as 2026-03-14",
        "11: unreadable: the row names nobody; write the person's id",
        "12: foreign: no crew id 'P-99' in crew.csv; check the id", "13: foreign: no machine 'E-9' in the tables; check the id",
        "14: unsigned: 'x' is nobody's name; write the id or the name", "15: unreadable: slope is 'maybe'; write yes or no",
    ]  # fmt: skip
    assert taken(office, "hours") == ["20 P-01", "21 P-01", "26 P-01"]
    assert [(h.hours, h.slope, bool(h.mentor)) for h in office.tally.hours] == [(24, False, True), (7.5, True, True)]


def test_rows_of_talks(office: Office) -> None:
    said = told(
        office, "talks.csv", ",,,", '2026-03-20,bench-height,M. Orozco,"P-01; P-02, P-01"', "2026-03-20,all,M. Orozco,P-03",
        "2026-03-20,,M. Orozco,P-03", "2026-03-20,bench-height,,P-03", "2026-03-20,bench-height,M. Orozco,P-03 P-98",
    )  # fmt: skip
    assert [x.partition(";")[0] for x in said] == [
        "4: mistyped: 'all' is no sheet's number", "5: unreadable: the row names no sheet", "6: unsigned: the talk has no leader",
        "7: foreign: no crew id 'P-98' in crew.csv",
    ]  # fmt: skip
    assert taken(office, "talk") == ["20 P-01", "20 P-02", "20 P-03"]


def test_rows_of_orders(office: Office) -> None:
    said = told(
        office, "retrain.csv", "P-01,bench-height,2026-03-20,Incident", "P-02,,2026-03-21,incident", "P-03,ALL,2026-03-22,long away",
        "P-01,bench-hight,2026-03-20,incident", "P-01,bench-height,2026-03-20,fun", "P-01,bench-height,2026-03-20,",
    )  # fmt: skip
    assert [x.partition(": ")[0] + x.partition(":")[2].partition(";")[0] for x in said] == [
        "5 foreign: no lesson 'bench-hight' here", "6 unreadable: why is 'fun'", "7 unreadable: why is ''",
    ]  # fmt: skip
    assert "did you mean bench-height?" in said[0] and "observed unsafe, incident, evaluation" in said[1]
    assert taken(office, "retrain") == ["20 P-01", "21 P-02", "22 P-03"]
    assert [o.lesson for o in office.tally.orders] == ["bench-height", "", ""]


def test_rows_of_corrections(office: Office) -> None:
    office.write("hours.csv", "P-01,E-2,2026-03-20,6,M. Orozco,a,no")
    office.take_in("2026-03-21")
    with open_desk(read(office.site), write=False) as desk:
        n = next(e.n for e in desk.rows.entries(kind="hours"))
    said = told(
        office, "corrections.csv", f"{n},Counts,R. Calloway,seen", f"{n},maybe,R. Calloway,seen", f"{n},void,,seen", f"{n},void,R. Calloway,",
        f"{n},same person,R. Calloway,seen", "P-01,void,R. Calloway,seen", "P-98,same person,R. Calloway,seen", f"{'9' * 11},void,R. Calloway,seen",
        f"{'9' * 12},void,R. Calloway,seen", f"{n},void,x,seen",
    )  # fmt: skip
    assert sorted(said, key=lambda x: int(x.partition(":")[0])) == [
        "3: unreadable: says is 'maybe'; write one of: void, counts, same person", "4: unsigned: the correction has no by; say who corrects, and why",
        "5: unsigned: the correction has no why; say who corrects, and why",
        f"6: unreadable: entry is '{n}'; for same person write the crew id, else the number of the row",
        "7: unreadable: entry is 'P-01'; for same person write the crew id, else the number of the row",
        "8: foreign: no crew id 'P-98' in crew.csv; check the id",
        f"9: mistyped: there is no row {'9' * 11} in the register; check the number",
        f"10: unreadable: entry is '{'9' * 12}'; for same person write the crew id, else the number of the row",
        "11: unsigned: 'x' is nobody's name; write the id or the name",
    ]  # fmt: skip
    assert [(c.about, c.says) for c in office.tally.corrections] == [(n, "counts")]


def test_what_stands_twice_counts_once_and_is_told_where_somebody_typed_it_twice(office: Office) -> None:
    office.result("a")
    office.hand_in("b", office.result("a"))
    row = "P-01,bench-height,E-2,2026-03-20,M. Orozco"
    talk = "2026-03-20,bench-height,M. Orozco,P-01"
    office.write("talks.csv", talk, talk)
    said = told(office, "signoffs.csv", row, row, row.replace("E-2", "E-1"))
    assert said == [
        "1: duplicate: it was handed in as results/a.json:1 too; nothing to do: it counts once",
        "3: duplicate: the same sign-off stands above; take one of them out",
    ]  # fmt: skip
    assert len(office.tally.marked) == 1 and len(office.tally.signoffs) == 2 and len(office.tally.talks) == 1
    again = office.site / "results" / "again.csv"
    again.write_text(f"crew,lesson,machine,date,mentor\n{row}\n", "utf-8")
    office.take_in(NOW)
    assert not [f for f in office.tally.flags if "again.csv" in f.where], "in another table it is no slip of the pen"
