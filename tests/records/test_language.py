"""The language a lesson was passed in: kept as told, shown, looked at; and records in the site's own language. All invented."""

from __future__ import annotations

import dataclasses
import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.columns import MACHINE_KINDS, TRUCK
from generator.language.catalogue import catalogue
from generator.language.names import language_name
from generator.language.scripts import CONTENT
from generator.language.words import Catalogue, missing, using
from generator.records import report
from generator.records.desk import open_desk
from generator.records.flags import Refused
from generator.records.letters import LETTERS, sum_letters
from generator.records.paper import _language
from generator.records.readiness import Readiness, readiness
from generator.records.readiness_page import page
from generator.records.record import record_of
from generator.records.record_page import Listed, index_page, lesson_page, person_body, person_page
from generator.records.results import read_file, read_slip
from generator.records.roster import as_told
from generator.records.rows import of_result, result_of
from generator.records.week import week
from generator.register.entry import Entry
from tests.records.office import Office
from tests.records.recorded import NAMES, recorded, site_of
from tests.records.small import NOW, a_result, put, signed, small_site, tallied


def told_in(site: Any, language: str | None, **more: Any) -> dict[str, Any]:
    """A result as the player of a page in this language writes it; None is one of before pages said theirs."""
    file = {k: v for k, v in a_result(site, **more).items() if k != "language"}
    return signed(file) if language is None else signed(file, language=language)


@pytest.fixture
def spoken(tmp_path: Path) -> Readiness:
    """P-01 is taught in Spanish and passed one lesson in English and one in Spanish; P-02 in English, by a file that does not say so."""
    made = site_of(tmp_path / "site")
    put(made.folder, "a.json", told_in(made.folder, "en", crew="P-01"))
    put(made.folder, "b.json", told_in(made.folder, "es", crew="P-01", lesson="truck-match"))
    put(made.folder, "c.json", told_in(made.folder, None, crew="P-02"))
    done = tallied(made.folder, NOW)
    crew = tuple(dataclasses.replace(p, language="es" if p.id in {"P-01", "P-02"} else "") for p in made.crew)
    site = dataclasses.replace(made, crew=crew, settings=dataclasses.replace(made.settings, languages=("en", "es")))
    return readiness(site, done, NOW.date())


def test_the_file_says_it_and_an_old_file_does_not(tmp_path: Path) -> None:
    site = site_of(tmp_path / "site").folder
    assert read_file(told_in(site, "es"), "a").language == "es"
    assert read_file(told_in(site, None), "a").language == ""
    for wrong in ("ES", "spanish", "e", 5, None, ["es"], "<b"):
        with pytest.raises(Refused, match="its language is no code"):
            read_file(signed(a_result(site), language=wrong), "a")


def test_the_row_keeps_it_and_an_older_row_is_read(tmp_path: Path) -> None:
    site = site_of(tmp_path / "site").folder
    put(site, "a.json", told_in(site, "es"))
    put(site, "b.json", told_in(site, None, crew="P-02"))
    rows = {}
    for marked in tallied(site).marked:
        new = of_result(marked, {}, NOW, NOW)
        entry = Entry(
            7, "result", new.day, new.at, "", new.crew, new.lesson, "", new.edition, None, json.loads(json.dumps(new.body)), "", ""
        )
        rows[new.crew] = new.body
        assert result_of(entry, site, new.crew).result.language == marked.result.language
    assert rows["P-01"]["language"] == "es" and "language" not in rows["P-02"]


def test_the_crew_as_told_keeps_a_language_only_where_there_is_one(spoken: Readiness) -> None:
    bodies = {id_: body for kind, id_, body in as_told(spoken.site, lambda row: "") if kind == "person"}
    assert bodies["P-01"]["language"] == "es" and "language" not in bodies["P-03"]


def slip(language: str, drawn: int | None, figures: str = "0a1b2") -> str:
    """A long code written by the layout at the top of result-code.js: one answer, the second choice."""
    plain = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-."
    bits = f"{5:04b}"
    for text in ("C17", "bench-height", "2026-1"):
        bits += f"0{len(text):06b}" + "".join(f"{plain.index(c):06b}" for c in text)
    bits += f"{int(figures, 16):020b}" + "".join(f"{ord(c) - ord('a'):05b}" for c in language)
    bits += "0" if drawn is None else f"1{drawn:08b}"
    minute = int((datetime(2026, 3, 10, 9, 30, tzinfo=UTC) - datetime(2020, 1, 1, tzinfo=UTC)).total_seconds() // 60)
    bits += f"{minute:025b}{1:06b}" + "0" + f"{1:03b}{3:08b}{1:05b}"
    bits += "0" * (-len(bits) % 20)
    payload = "".join(LETTERS[int(bits[i : i + 5], 2)] for i in range(0, len(bits), 5))
    return payload + sum_letters(payload)


@pytest.mark.parametrize("drawn", [None, 0, 17])
@pytest.mark.parametrize("language", ["en", "es", "pl", "az"])
def test_a_long_code_says_it(language: str, drawn: int | None) -> None:
    r = read_slip(slip(language, drawn), "slip")
    assert (r.language, r.set, r.figures, r.crew, r.lesson, r.edition) == (language, drawn, "0a1b2", "C17", "bench-height", "2026-1")
    assert r.finished == datetime(2026, 3, 10, 9, 30, tzinfo=UTC) and [(a.variant, a.answer) for a in r.answers] == [(3, (1,))]


def test_a_table_of_paper_may_say_it() -> None:
    assert (_language({}), _language({"language": ""}), _language({"language": "ES"})) == ("", "", "es")
    with pytest.raises(Refused, match="no code of a language"):
        _language({"language": "Spanish"})


def test_a_notice_and_no_bar(spoken: Readiness) -> None:
    found = [(x.who.person.id, x.lessons, x.language, x.told) for x in week(spoken).languages]
    assert found == [("P-01", ("bench-height",), "en", True), ("P-02", ("bench-height",), "en", False)]
    html = page(spoken)
    part = html[html.index('id="languages"') :]
    part = part[: part.index("</section>")]
    assert "Passed in another language" in part and part.count("Spanish") == 2 and part.count("English, not told") == 1
    # nobody's readiness is another for it
    plain = dataclasses.replace(spoken.site, crew=tuple(dataclasses.replace(p, language="") for p in spoken.site.crew))
    without = readiness(plain, spoken.tally, spoken.day)
    assert [p.machines for p in without.people] == [p.machines for p in spoken.people] and week(without).languages == ()
    assert 'id="languages"' not in page(without) and "Passed in another language" not in page(without)


def test_the_record_says_in_which_language_each_lesson_was_passed(spoken: Readiness) -> None:
    body = person_body(record_of(spoken, "P-01", NAMES))
    assert "Edition 2026-1, in English, marked again here" in body and "Edition 2026-1, in Spanish, marked again here" in body
    assert (
        "<dt>Lessons passed in</dt><dd>English 1, Spanish 1</dd>" in body and "<dt>Language by the crew table</dt><dd>Spanish</dd>" in body
    )
    assert "<dt>Not in the language of the crew table</dt><dd>1 of 2 lessons passed</dd>" in body
    untold = person_body(record_of(spoken, "P-02", NAMES))
    assert "<dd>not told 1, so the site&#x27;s main language, English</dd>" in untold and "in English," not in untold
    assert "in Spanish" in lesson_page(spoken_lesson(spoken))


def spoken_lesson(r: Readiness) -> Any:
    from generator.records.record import lesson_record

    return lesson_record(r, "truck-match", NAMES)


def test_a_handbook_of_one_language_says_nothing_of_it(spoken: Readiness) -> None:
    settings = dataclasses.replace(spoken.site.settings, languages=("en",))
    crew = tuple(dataclasses.replace(p, language="") for p in spoken.site.crew)
    one = readiness(dataclasses.replace(spoken.site, settings=settings, crew=crew), spoken.tally, spoken.day)
    untold = person_body(record_of(one, "P-02", NAMES))
    assert "anguage" not in untold and "Lessons passed in" not in untold
    assert "in Spanish" in person_body(record_of(one, "P-01", NAMES))  # but for what is in another


def test_nobody_is_ready_in_another_language_without_a_word(spoken: Readiness) -> None:
    """Beside the state, and in the tables, which go their own ways."""
    assert "<br>1 not in Spanish" in page(spoken)
    for name in ("readiness.csv", "people.csv"):
        lines = report.files(spoken)[name].splitlines()
        assert lines[0].endswith(',"passed in another language"')
        told = {line.rpartition(",")[2] for line in lines[1:] if '"P-01"' in line}
        assert told == {'"1 in en; crew table: es"'}, name
    plain = dataclasses.replace(spoken.site, crew=tuple(dataclasses.replace(p, language="") for p in spoken.site.crew))
    without = readiness(plain, spoken.tally, spoken.day)
    assert all(line.endswith(',""') for line in report.files(without)["people.csv"].splitlines()[1:])
    assert " not in Spanish" not in page(without)


def test_results_csv_has_a_column_of_it(spoken: Readiness) -> None:
    lines = report.files(spoken)["results.csv"].splitlines()
    assert lines[0].endswith('"register row","language"')
    assert {line.rpartition(",")[2] for line in lines[1:]} == {'"en"', '"es"', '""'}


# --- in Spanish -----------------------------------------------------------------------------------


def test_what_languages_are_called() -> None:
    assert (language_name("es"), language_name("en"), language_name("zz"), language_name("no such")) == (
        "Spanish",
        "English",
        "zz",
        "no such",
    )
    with using(Catalogue("es")):
        assert language_name("es") == "español"


def test_every_page_of_records_has_its_words(tmp_path: Path, spoken: Readiness) -> None:
    made = recorded(tmp_path / "recorded")
    english = page(made)
    with using(catalogue("es", (CONTENT,))):
        for r in (made, spoken):
            pages = [page(r), lesson_page(spoken_lesson(r))]
            for id_ in ("P-01", "P-02", "P-03"):
                record = record_of(r, id_, NAMES)
                pages += [person_page(record), index_page([Listed(record, "a.html")])]
            assert missing() <= {*MACHINE_KINDS, TRUCK}  # these stand among the handbook's own strings
            assert all('<html lang="es">' in p for p in pages)
        spanish = page(made)
    assert "Quién está listo para la práctica en la máquina" in spanish and "seatworkStrings" in spanish
    assert page(made) == english


def test_the_tables_are_the_same_in_every_language(tmp_path: Path) -> None:
    made = recorded(tmp_path / "site")
    settings = dataclasses.replace(made.site.settings, languages=("es",))
    spanish = dataclasses.replace(made, site=dataclasses.replace(made.site, settings=settings))
    ours, theirs = report.files(made), report.files(spanish)
    assert {n for n in ours if ours[n] != theirs[n]} == {"readiness.html"}
    assert '<html lang="es">' in theirs["readiness.html"] and '<html lang="en">' in ours["readiness.html"]


def test_what_is_flagged_and_why_a_result_is_held_is_told_in_the_pages_language(tmp_path: Path) -> None:
    """As it is on the command line in English, and on a Spanish site's page in Spanish, with the same ids and figures."""
    office = Office(small_site(tmp_path / "site"))
    office.result("a", crew="P-01")
    copied = office.result("b", crew="P-02")
    office.hand_in("b", signed(copied, crew="P-O2"))
    office.hand_in("c", signed(a_result(office.site, crew="P-01"), crew="P-02"))
    office.write("signoffs.csv", "P-01,bench-height,E-2,2026-03-05,M. Orozco", "P-01,bench-height,E-2,,M. Orozco")
    office.take_in("2026-03-25")
    r = office.on("2026-03-25")
    with open_desk(r.site, write=True) as desk:
        desk.take_in([office.site / "results"], NOW)
        flags = [*r.tally.flags, *desk.flags]
    r.tally.flags = flags
    english = page(r)
    for told in ("held: write ", "the same try was handed in by P-01, P-02", "it was signed on 2026-03-05, and the quiz is not passed",
                 "no crew id &#x27;P-O2&#x27; in crew.csv", "did you mean P-02?"):  # fmt: skip
        assert told in english, told
    with using(catalogue("es", (CONTENT,))):
        spanish = page(r)
        record = person_body(record_of(r, "P-01", NAMES))
        assert missing() <= {*MACHINE_KINDS, TRUCK}
    for told in ("en espera: escriba ", ", counts o void, su número y el motivo en corrections.csv", "el mismo intento lo entregaron P-01, P-02",
                 "se firmó el 2026-03-05, y la prueba no está aprobada", "no hay número de cuadrilla &#x27;P-O2&#x27; en crew.csv", "¿quiso decir P-02?"):  # fmt: skip
        assert told in spanish, told
    assert "la prueba no está aprobada" in record and "the quiz is not passed" not in spanish + record
    assert "was handed in by" in str([str(f) for f in flags]), "the command line stays English"
