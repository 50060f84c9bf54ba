"""The language in which a talk was held and a mentor spoke: kept where the table says it, told where it is not the person's. All invented."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from generator.cli.main import main
from generator.records.readiness_page import page
from generator.records.record import record_of
from generator.records.record_page import person_body
from generator.records.rows import of_signoff, of_talk
from generator.records.signoffs import SignOff
from generator.records.told import Talk
from generator.records.week import week
from generator.register.store import FILE
from tests.records.office import ALL_PASS, HEADS, Office, noon, ready, trained
from tests.records.small import small_site

HEAD = "id,name,role,machines,start,language"
SIGNED = [f"P-01,{i},E-2,2026-03-20,M. Orozco" for i in ALL_PASS]
TALKS = ["2026-03-16,bench-height,M. Orozco,P-01 P-02", "2026-03-18,truck-match,M. Orozco,P-01 P-02"]


@pytest.fixture
def office(tmp_path: Path) -> Office:
    """P-01 is taught in Spanish, P-02 in English."""
    office = Office(small_site(tmp_path / "site"))
    office.settings("\nedition:", "\nlanguages: [en, es]\nedition:")
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,es", "P-02,Tom Abernethy,loader,E-2,2026-03-02,en", heads=HEAD)
    trained(office)
    office.write("talks.csv", *TALKS)
    return office


def told(office: Office, name: str, rows: list[str], languages: tuple[str, ...]) -> None:
    """The table with a column for the language, one for each row."""
    (office.site / name).write_text(
        "\n".join([f"{HEADS[name]},language", *(f"{r},{x}" for r, x in zip(rows, languages, strict=True))]) + "\n", "utf-8"
    )


def test_nothing_is_said_of_a_table_without_the_column(office: Office) -> None:
    office.take_in("2026-03-25")
    r = office.on("2026-03-25")
    assert week(r).heard == () and 'id="heard"' not in page(r) and len(r.people[0].talks) == 2
    assert "in English" not in person_body(record_of(r, "P-01"))


def test_it_is_told_where_it_is_not_the_persons_own(office: Office) -> None:
    told(office, "signoffs.csv", SIGNED, ("en", "ES"))
    told(office, "talks.csv", TALKS, ("en", "es"))
    office.take_in("2026-03-25")
    assert office.flags == {}
    r = office.on("2026-03-25")
    assert ready(office, "2026-03-25"), "it takes nothing away"
    found = [(x.who.person.id, x.language, x.signed, [t.lesson for t in x.talks]) for x in week(r).heard]
    assert found == [("P-01", "en", ("bench-height",), ["bench-height"]), ("P-02", "es", (), ["truck-match"])]
    html = page(r)
    part = html[html.index('<h3 id="heard">') :].partition("</section>")[0]
    assert "Signed off or talked to in another language" in part and "2026-03-16 Bench-height" in part and "2026-03-18 Truck-match" in part
    assert 'href="#heard"><b>2</b><i>people were signed off or talked to in another language' in html
    ines, tom = (person_body(record_of(r, id_)) for id_ in ("P-01", "P-02"))
    assert ines.count("in English") == 3, "the lesson's line, the sign-off's and the talk's"
    assert "(in English)" in ines and "in Spanish" not in ines
    assert tom.count("in Spanish") == 1 and "in English" not in tom


def test_who_is_taught_in_no_named_language_is_told_the_main_one(office: Office) -> None:
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,", "P-02,Tom Abernethy,loader,E-2,2026-03-02,", heads=HEAD)
    told(office, "talks.csv", TALKS, ("en", "es"))
    office.take_in("2026-03-25")
    assert [(x.who.person.id, x.language) for x in week(office.on("2026-03-25")).heard] == [("P-01", "es"), ("P-02", "es")]


@pytest.mark.parametrize(
    ("written", "fix"),
    [("sp", "did you mean es?"), ("Spanish", "did you mean es?"), ("pl", "write en or es, or leave it out")],
)
def test_a_language_nobody_is_taught_in_is_asked_about(office: Office, written: str, fix: str) -> None:
    told(office, "signoffs.csv", SIGNED, (written, "es"))
    told(office, "talks.csv", TALKS, ("en", written))
    office.take_in("2026-03-25")
    what = f"language is '{written}', which neither the handbook is made in nor anybody is taught in"
    assert [(f.name, f.what, f.fix) for f in office.tally.flags] == [("unreadable", what, fix)] * 2
    assert office.standing("2026-03-25").state == "sign-off missing" and len(office.person("P-01", "2026-03-25").talks) == 1
    told(office, "signoffs.csv", SIGNED, ("es", "es"))
    told(office, "talks.csv", TALKS, ("en", ""))
    office.take_in("2026-03-26")
    assert office.tally.flags == [] and ready(office, "2026-03-26") and len(office.person("P-01", "2026-03-26").talks) == 2


def test_one_that_somebody_is_taught_in_is_taken_though_the_handbook_is_not_made_in_it(office: Office) -> None:
    office.crew("P-01,Ines Holloway,loader,E-2,2026-03-02,pl", "P-02,Tom Abernethy,loader,E-2,2026-03-02,en", heads=HEAD)
    told(office, "signoffs.csv", SIGNED, ("pl", "pl"))
    office.take_in("2026-03-25")
    assert office.flags == {} and ready(office, "2026-03-25") and week(office.on("2026-03-25")).heard == ()


def test_a_register_of_before_there_was_the_column_holds_and_goes_on(office: Office, tmp_path: Path) -> None:
    """Rows without it have the body they always had, so their chain is the same; the column in the table makes no new rows."""
    assert "language" not in of_talk(Talk("P-01", "bench-height", "", "M-1", noon("2026-03-16").date()), "").body
    assert "language" not in of_signoff(SignOff("P-01", "bench-height", "E-2", noon("2026-03-16").date(), "M-1"), "").body
    office.take_in("2026-03-25")
    old = office.on("2026-03-25").row
    shutil.copy(office.site / FILE, tmp_path / "old.sqlite3")
    told(office, "signoffs.csv", SIGNED, ("en", "en"))
    told(office, "talks.csv", [*TALKS, "2026-03-23,bench-height,M. Orozco,P-02"], ("en", "en", "es"))
    desk = office.take_in("2026-03-26")
    assert desk.taken == 1 and "gone" not in office.flags
    r = office.on("2026-03-26")
    assert old is not None and r.row is not None and r.row[0] > old[0]
    assert [(x.who.person.id, x.language, len(x.talks)) for x in week(r).heard] == [("P-02", "es", 1)]
    assert main(["register", str(office.site), "--verify"]) == 0
