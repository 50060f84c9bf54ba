"""The record of a person and of a lesson: what stands in it and where. Worked out by hand, no source."""

from __future__ import annotations

import dataclasses
import json
import re
from datetime import date, timedelta
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.language.words import Catalogue, missing, using
from generator.records.readiness import Readiness
from generator.records.record import (
    MOST_SEALED,
    NoRecord,
    Number,
    Records,
    Try,
    _Ledgers,
    a_try,
    key_numbers,
    lesson_record,
    named,
    record_of,
)
from generator.records.record_page import (
    MOST_LEFT_OUT,
    Listed,
    SealOn,
    _conditions,
    file_name,
    in_groups,
    index_page,
    lesson_page,
    of_page,
    person_body,
    person_page,
    text_digest,
)
from generator.records.seal import new_key
from tests.records.recorded import CHAIN, NAMES, recorded
from tests.records.small import a_result, ledger, put, put_edition, small_site


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Readiness:
    return recorded(tmp_path_factory.mktemp("records") / "site")


def rows(html: str, heading: str) -> list[list[str]]:
    """The cells of the table below a heading, as read, without the row of its heads."""
    part = html[html.index(f"<h2>{heading}") :]
    part = part[: part.index("</table>")]
    found = re.findall(r"<tr[^>]*>(.*?)</tr>", part, re.S)[1:]
    return [[words(c) for c in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", r, re.S)] for r in found]


def words(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split()).replace(" ,", ",").replace(" :", ":").replace(" )", ")")


# --- of a person ----------------------------------------------------------------------------


def test_who_the_person_is_and_what_the_record_is_tied_to(made: Readiness) -> None:
    r = record_of(made, "P-01", NAMES)
    assert (r.who, r.former, r.role, r.role_from, r.start) == (
        "Ines Holloway (P-01)",
        ("P-90",),
        "Loader",
        date(2026, 3, 9),
        date(2026, 3, 2),
    )
    html = person_page(r)
    head = words(html[html.index("<body>") : html.index("</dl>")])
    assert "Former id P-90" in head and "In the role since 2026-03-09" in head and "Started 2026-03-02" in head
    assert f"As of 2026-05-01. Register: row 43, chain {CHAIN[:16]}" in head
    assert "This record is no permit" in head
    loose = record_of(dataclasses.replace(made, row=None), "P-01")
    assert "no register was kept" in person_page(loose)


def test_what_is_ready_and_what_is_missing(made: Readiness) -> None:
    r = record_of(made, "P-01", NAMES)
    assert (r.passed, len(r.needed), r.ready, r.ready_alone, r.until) == (1, 2, (), (), date(2026, 6, 15))
    # E-1 and E-2 lack the same
    (cells,) = rows(person_page(r), "Ready for")
    assert cells == [
        "E-1, E-2 excavator, to 60,000 lb", "not ready train again: Truck-match", "not ready what seat time lacks 32.5 h under a mentor",
    ]  # fmt: skip
    assert "Held, as somebody has to say which counts: Truck-match, 2026-03-10." in person_page(r)
    assert "1 more handed in under this id is flagged" in person_page(r)


def test_a_site_without_a_rule_for_working_alone_says_so(made: Readiness) -> None:
    r = record_of(made, "P-03")
    assert [m.alone for m in r.machines] == [None] and r.ready_alone == ()
    assert "the site has no rule for it" in person_page(r)


def test_each_lesson_with_its_edition_score_day_tries_and_numbers(made: Readiness) -> None:
    r = record_of(made, "P-01", NAMES)
    first, second = sorted(r.lessons, key=lambda p: p.lesson)
    assert first.held is not None and first.held.passed and [t.day for t in first.before] == [date(2026, 3, 10)]
    assert (first.held.day, first.held.edition, first.held.right, first.held.of, first.tries) == (date(2026, 3, 30), "2026-1", 5, 5, 2)
    assert first.held.minutes is not None and 1 < first.held.minutes < 10 and first.held.marked == "marked again here"
    assert first.due and first.until == date(2026, 6, 15)
    table = rows(person_page(r), "Lessons: 1 of 2")
    at = next(i for i, c in enumerate(table) if c[0] == "Bench-height")
    assert table[at] == [
        "Bench-height", "2026-03-30", "5 of 5", "Ada Quist, E-2, 2026-04-02 Rene Delacroix, E-1, 2026-04-09", "ready", "2026-06-15 due",
    ]  # fmt: skip
    assert re.fullmatch(
        r"Edition 2026-1, marked again here, 2 tries, \d min, row 13, passed too on 2026-03-10 \(edition 2026-1, 5 of 5\).*",
        table[at + 1][0],
    )
    at = next(i for i, c in enumerate(table) if c[0] == "Truck-match")
    # the sign-off stands in the list below; here it does not count any more, as the order took the lesson away
    assert table[at][:3] == ["Truck-match", "2026-03-10", "4 of 5"] and table[at][4] == "train again failed 2026-04-25, after it was passed"
    assert second.ordered is not None


def test_a_short_code_is_told_as_one(made: Readiness) -> None:
    r = record_of(made, "P-02", NAMES)
    told = {p.lesson: p.held for p in r.lessons}
    assert told["bench-height"] is not None and told["bench-height"].marked == "told by a short code, not marked again"
    assert "told by a short code, not marked again" in person_page(r)
    table = rows(person_page(r), "Lessons")
    failed = next(c for c in table if c[0] == "Truck-match")
    assert failed[1] == "no; tried 2026-03-10" and failed[2] == "2 of 5"


@pytest.mark.parametrize(
    ("origin", "told", "said"),
    [
        ("file", False, "marked again here"), ("slip", False, "marked again here"), ("paper", False, "on paper, marked again here"),
        ("slip", True, "told by a short code, not marked again"),
    ],
)  # fmt: skip
def test_who_marked_a_try(origin: str, told: bool, said: str) -> None:
    assert Try(date(2026, 3, 1), "1", "a", 5, 5, True, None, origin, told, None).marked == said


def test_sign_offs_of_one_sheet_are_one_line(made: Readiness) -> None:
    r = record_of(made, "P-01", NAMES)
    table = rows(person_page(r), "Signed off by mentors")
    assert [c[:5] for c in table] == [
        ["2026-04-02", "Ada Quist (M-2)", "E-2, excavator, to 60,000 lb", "wet clay, light rain", "2.5 h"],
        ["2026-04-09", "Rene Delacroix", "E-1, excavator, to 90,000 lb", "dry", ""],
    ]
    assert [c[5] for c in table] == ["2 lessons above", "1 lesson above"]
    taken_out = dataclasses.replace(r.signed[0], counts=("bench-height",))
    (cells,) = rows(person_page(dataclasses.replace(r, signed=(taken_out,))), "Signed off by mentors")
    assert cells[5] == "1 lesson above, Truck-match (does not count now)"
    assert table[0][6] == "sheet S-7, rows 21 to 22" and table[1][6] == "row 23"
    assert r.watched == 2.5


def test_seat_time_talks_orders_and_corrections(made: Readiness) -> None:
    r = record_of(made, "P-01", NAMES)
    html = person_page(r)
    assert "7.5 h under a mentor (the role needs 40 h), 3 h of these on slopes (it needs 8 h)" in html
    (seat,) = rows(html, "Seat time")
    # 6 h alone on a slope are no seat time under a mentor
    assert seat == ["E-2, excavator", "13.5 h", "7.5 h", "3 h", "2026-04-03 to 2026-04-05", "Ada Quist (M-2)", "benching, loading trucks"]
    assert rows(html, "Tailgate talks: 2") == [
        ["Bench-height", "2026-03-30 (T-14), led by Ada Quist (M-2)"], ["sheet not known here", "2026-04-13 (T-99)"],
    ]  # fmt: skip
    assert rows(html, "Orders to train again") == [
        ["2026-03-01", "all lessons", "long away from the work", "met since", "row 39"],
        ["2026-04-20", "Truck-match", "an accident or a near miss", "stands", "row 40"],
    ]
    assert rows(html, "Corrections") == [
        ["2026-04-21", "row 12", "the row counts no more", "Ada Quist (M-2)", "typed under the wrong id", "row 41"],
        ["2026-04-22", "the id P-01", "the id's name changed, the person did not", "Ada Quist (M-2)", "married", "row 42"],
    ]


def test_a_correction_stands_with_whose_row_it_is_about(made: Readiness) -> None:
    other = record_of(made, "P-02", NAMES)
    assert [(c.about, c.why) for c in other.said] == [("row 34", "the machine stood that day")]
    assert record_of(made, "P-03").said == ()
    for entry in (31, 35, 40, 21, 12):  # seat time, talk, order, sign-off, result: each of P-01
        about = dataclasses.replace(made.tally.corrections[0], about=entry)
        tally = dataclasses.replace(made.tally, corrections=[about])
        assert [c.about for c in record_of(dataclasses.replace(made, tally=tally), "P-01").said] == [f"row {entry}"]
        assert record_of(dataclasses.replace(made, tally=tally), "P-02").said == ()


def test_the_time_of_a_try_is_told_where_it_is_known(made: Readiness) -> None:
    m = made.tally.marked[0]

    def minutes(seconds: int | None, origin: str = "file") -> float | None:
        started = None if seconds is None else m.result.finished - timedelta(seconds=seconds)
        return a_try(dataclasses.replace(m, result=dataclasses.replace(m.result, started=started, origin=origin))).minutes  # type: ignore[arg-type]  # a word

    assert (minutes(90), minutes(1), minutes(0), minutes(-5), minutes(None)) == (1.5, 1 / 60, None, None, None)
    assert (minutes(90, "slip"), minutes(90, "paper"), minutes(None, "slip")) == (None, None, None)


def test_a_new_person_has_a_record_too(made: Readiness) -> None:
    r = record_of(made, "P-03")
    html = person_page(r)
    assert (r.passed, r.kinds, r.trained_by, r.until) == (0, (), (), None)
    assert "None taken yet." in html and "<b>Not taken</b>: Truck-match" in html
    for said in ("Nothing yet.", "None is written down."):
        assert said in html
    assert '<dt>Duration</dt><dd><span class="blank">' in html


def test_a_name_that_was_taken_out_stands_nowhere(made: Readiness) -> None:
    html = person_page(record_of(made, "P-01", {**NAMES, "P-01": ""}))
    assert "Ines" not in html and "Holloway" not in html
    assert "<h1>Training record: P-01</h1>" in html and "taken out" in html


def test_who_left_still_has_a_record(made: Readiness) -> None:
    """Of the crew of that day there is nobody, and the rows are there all the same."""
    gone = dataclasses.replace(
        made, people=made.people[1:], site=dataclasses.replace(made.site, crew=tuple(p for p in made.site.crew if p.id != "P-01"))
    )
    r = record_of(gone, "P-01", NAMES)
    assert (r.known, r.role, r.name, r.ready) == (False, "", "", ())
    assert {p.lesson for p in r.lessons} == {"bench-height", "truck-match"} and not any(p.needed for p in r.lessons)
    html = person_page(r)
    assert "on this day the person was not of this crew" in html and "Ada Quist (M-2)" in html and "13.5 h" in html
    assert Records(gone).ids[-1] == "P-01"


@pytest.mark.parametrize(
    ("crew", "said"),
    [("P-90", "it became P-01; ask for the record of P-01"), ("P-0l", "nobody has the crew id 'P-0l'; did you mean P-0"), ("", "nobody has the crew id ''")],
)  # fmt: skip
def test_nobody_has_no_record(made: Readiness, crew: str, said: str) -> None:
    with pytest.raises(NoRecord) as e:
        record_of(made, crew)
    assert said in str(e.value) and "\n" not in str(e.value)


def test_names_and_ids() -> None:
    assert named("Ines", "P-01") == "Ines (P-01)"
    assert named("", "P-01") == named("P-01", "P-01") == "P-01"
    assert (named("Rene", "~1"), named("", "~1")) == ("Rene", "mentor ~1")


def test_nothing_on_a_page_is_markup_of_somebodys(made: Readiness) -> None:
    bad = "<script>x</script>\"'&\u202e"
    r = dataclasses.replace(record_of(made, "P-01", {**NAMES, "M-2": bad}), name=bad, role=bad, former=(bad,))
    html = person_page(r, SealOn("TEXT", "<svg></svg>", "abcd"))
    assert "<script" not in html and "\u202e" not in html
    assert "default-src 'none'" in html


# --- numbers --------------------------------------------------------------------------------


def row(what: str, text: str, place: str = "text: E-2", calculation: str | None = None) -> dict[str, Any]:
    return {"page": "lessons/x.html", "place": place, "what": what, "us": text, "metric": f"{text} m", "calculation": calculation}


def test_key_numbers_are_limits_first_and_then_what_the_sums_came_to() -> None:
    given = [
        row("width at the top", "21 ft", "worked example: E-2", "trench.top_width"), row("pile", "8 ft", "drawing: E-2", "trench.spoil_pile"),
        row("ladders", "4", "text: E-2", "trench.ladders"), row("bench height", "10 ft", "tailgate sheet: E-2", "loading.bench_height"),
        row("limits.edge_distance", "6 ft"), row("limits.spoil_setback", "2 ft"), row("limits.up_down_slope", "35%"), row("limits.side_slope", "15%", "drawing: E-2"),
        row("limits.decided_by", "R. Calloway"), row("limits.emergency", "Channel 3"),
    ]  # fmt: skip
    assert key_numbers(given, "us") == (
        Number("edge distance limit", "6 ft"),
        Number("spoil setback limit", "2 ft"),
        Number("bench height", "10 ft"),
    )
    assert key_numbers([*given[:3], given[6]], "metric") == (Number("up-down slope limit", "35% m"), Number("width at the top", "21 ft m"))
    assert key_numbers([given[2]], "us") == (Number("ladders", "4"),)
    # the rest of its text only where there is neither a limit nor a sum
    assert key_numbers([given[2], given[6]], "us") == (Number("up-down slope limit", "35%"),)
    assert key_numbers([given[2], given[0]], "us") == (Number("width at the top", "21 ft"),)
    # the record of the lesson has room for the rest of its text
    assert [n.words for n in key_numbers(given, "us", 10)] == [
        "edge distance limit", "spoil setback limit", "up-down slope limit", "bench height", "width at the top", "ladders",
    ]  # fmt: skip
    assert [n.words for n in key_numbers(given, "us", 4)] == [
        "edge distance limit",
        "spoil setback limit",
        "up-down slope limit",
        "bench height",
    ]
    assert key_numbers([row("table.excavation-slopes.A.run for 1 of rise", "0.75:1")], "us") == (Number("A, run for 1 of rise", "0.75:1"),)
    assert key_numbers([row("table.ladders", "4")], "us") == (Number("table.ladders", "4"),)  # a ledger that somebody wrote in
    ladder = row("table.trench-ladders.ladder above the edge at least.feet", "3 ft")
    assert key_numbers([ladder], "us") == (Number("ladder above the edge at least", "3 ft"),)
    assert key_numbers([given[0], row("width at the top", "27 ft", "text: E-2", "trench.top_width")], "us", 9) == (
        Number("width at the top", "21 ft"),
    )


def test_no_figure_that_nobody_may_work_by_is_a_key_number() -> None:
    """A record must never be read as if a machine may go to where it tips."""
    given = [
        row("side slope where the machine tips", "45.4° (not an allowed slope)", "tailgate sheet: D-1", "slopes.static_tip_angle"),
        row("width of the berm", "8.7 ft (not a safe limit)", "worked example: D-1", "slopes.berm"),
        row("room left above the boom", "−10 ft", "worked example: E-1", "lines.room"), row("limits.side_slope", "15%"),
    ]  # fmt: skip
    assert key_numbers(given, "us") == (Number("side slope limit", "15%"),)


def test_numbers_are_those_of_the_edition_that_was_passed(tmp_path: Path) -> None:
    site = small_site(tmp_path / "site")
    put_edition(site, "2025-2", ledger("2025-2", **{"limits.site_speed": "20 mph"}))
    put(site, "a.json", a_result(site, "P-01", "truck-match", edition="2025-2"))
    put_edition(site, "2026-2", ledger("2026-2", **{"limits.site_speed": "15 mph"}))
    text = (site / "settings.yml").read_text("utf-8").replace("edition: 2026-1", "edition: 2026-2")
    (site / "settings.yml").write_text(text, "utf-8")
    put(site, "b.json", a_result(site, "P-02", "truck-match", edition="2026-2"))
    from generator.jobsite.reader import read
    from generator.records.readiness import readiness
    from tests.records.small import tallied

    r = lesson_record(readiness(read(site), tallied(site)), "truck-match")
    assert [(t.edition, t.numbers, t.people) for t in r.taught] == [
        ("2025-2", (Number("site speed limit", "20 mph"),), 1), ("2026-2", (Number("site speed limit", "15 mph"),), 1),
    ]  # fmt: skip
    assert [t.holds for t in r.taught] == ["changed since", "hold"]
    assert {t.id: t.at for t in r.trained} == {"P-01": 0, "P-02": 1}
    for kept in (site / "editions").glob("*.ledger.json"):  # as a program writes it that knows nothing of a row a line
        kept.write_text(json.dumps(json.loads(kept.read_text("utf-8"))), "utf-8")
    same = lesson_record(readiness(read(site), tallied(site)), "truck-match")
    assert [t.numbers for t in same.taught] == [t.numbers for t in r.taught]
    for kept in (site / "editions").glob("*.ledger.json"):  # as a build writes it: a row a line
        head, rows = json.loads(kept.read_text("utf-8")), []
        rows = [json.dumps(row) for row in head.pop("numbers")]
        kept.write_text(json.dumps(head)[:-1] + ', "numbers": [\n' + ",\n".join(rows) + "\n]}\n", "utf-8")
    lines = lesson_record(readiness(read(site), tallied(site)), "truck-match")
    assert [t.numbers for t in lines.taught] == [t.numbers for t in r.taught]
    (site / "editions" / "2025-2.ledger.json").unlink()
    lost = lesson_record(readiness(read(site), tallied(site)), "truck-match")
    assert lost.taught[0].numbers is None and "its ledger is not kept here" in lesson_page(lost)


# --- of a lesson ----------------------------------------------------------------------------


def test_who_was_trained_on_a_lesson_when_and_by_whom(made: Readiness) -> None:
    r = lesson_record(made, "bench-height", NAMES)
    assert [t.id for t in r.trained] == ["P-02", "P-01"] and r.lacking == ()  # by day
    html = lesson_page(r)
    table = rows(html, "Trained: 2")
    assert table[0] == ["Tom Abernethy (P-02)", "Loader", "2026-03-11", "A", "5 of 5", "", "sign-off missing", ""]
    assert table[2][0] == "Ines Holloway (P-01)" and table[2][5] == "Ada Quist, E-2, 2026-04-02 Rene Delacroix, E-1, 2026-04-09"
    assert "on E-2, 2026-04-02: excavator, to 60,000 lb, wet clay, light rain, watched 2.5 h, sheet S-7, row 21" in table[3][0]
    assert rows(html, "Tailgate talks about it") == [["2026-03-30", "T-14", "Ada Quist (M-2)", "P-01 P-02"]]
    (numbers,) = rows(html, "Numbers")
    assert numbers[0] == "A" and numbers[4] == "2" and numbers[5] == "hold"
    other = lesson_page(lesson_record(made, "truck-match", NAMES))
    assert [c[0] for c in rows(other, "Needed by the role, not passed: 2")] == ["Tom Abernethy (P-02)", "Kofi Lindqvist (P-03)"]
    assert rows(other, "Needed by the role, not passed: 2")[0][2:] == ["not passed", "2026-03-10, 2 of 5, edition 2026-1"]
    with pytest.raises(NoRecord, match="did you mean truck-match"):
        lesson_record(made, "truck-macth")


def test_what_a_lesson_taught_and_a_signature_that_counts_no_more(made: Readiness) -> None:
    r = record_of(made, "P-01")
    part = next(p for p in r.lessons if p.lesson == "bench-height")
    taught = dataclasses.replace(part, numbers=(Number("bench height limit", "10 ft"), Number("edge", "6 ft")))
    gone = dataclasses.replace(taught, signed=tuple(dataclasses.replace(s, counts=()) for s in part.signed))
    first, below = rows(person_page(dataclasses.replace(r, lessons=(gone,))), "Lessons")
    assert first[3] == "signed, and does not count now" and below[0].endswith("· bench height limit 10 ft · edge 6 ft")
    unsigned = dataclasses.replace(part, signed=())
    assert rows(person_page(dataclasses.replace(r, lessons=(unsigned,))), "Lessons")[0][3] == ""


def test_a_page_says_what_there_is_none_of_and_whose_rows_are_in_doubt(made: Readiness) -> None:
    r = dataclasses.replace(record_of(made, "P-01"), talks=(), orders=(), seat=(), signed=())
    html = words(person_page(r))
    assert "Tailgate talks None is written down." in html and "Whose rows these are" not in html
    html = words(person_page(dataclasses.replace(r, doubt="P-01 was Ann and is Bo")))
    assert "Whose rows these are has to be said first. P-01 was Ann and is Bo. The register holds" in html


def test_a_lesson_of_which_nothing_counts_yet_has_blank_cells(made: Readiness) -> None:
    """Its only try is disputed."""
    r = record_of(made, "P-03")
    part = dataclasses.replace(next(p for p in r.lessons if p.lesson == "truck-match"), state="held", words="held")
    assert part.held is None
    assert rows(person_page(dataclasses.replace(r, lessons=(part,))), "Lessons")[0] == ["Truck-match", "", "", "", "held", ""]


# --- when it was taken in ---------------------------------------------------------------------


def taken(made: Readiness, **by_row: date) -> Readiness:
    days = {int(n[1:]): day for n, day in by_row.items()}
    return dataclasses.replace(made, tally=dataclasses.replace(made.tally, taken=days))


def test_a_row_taken_in_more_than_a_week_after_its_day_says_so(made: Readiness) -> None:
    """Signed on 2 and 9 April: a week later is 9 and 16 April, and one day more is late."""
    r = record_of(taken(made, r21=date(2026, 4, 9), r22=date(2026, 4, 9), r23=date(2026, 4, 16)), "P-01", NAMES)
    assert [s.late for s in r.signed] == [None, None] and r.once is None
    r = record_of(taken(made, r21=date(2026, 4, 10), r22=date(2026, 4, 10), r23=date(2026, 4, 17)), "P-01", NAMES)
    assert [s.late for s in r.signed] == [date(2026, 4, 10), date(2026, 4, 17)]
    assert [c[6] for c in rows(person_page(r), "Signed off")] == [
        "sheet S-7, rows 21 to 22, taken in on 2026-04-10", "row 23, taken in on 2026-04-17",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("later", "said"), [(3, "None of it was in the register yet"), (2, "2 of its 3 rows were not in the register yet")]
)
def test_what_came_in_after_the_day_of_the_record_is_told(made: Readiness, later: int, said: str) -> None:
    r = dataclasses.replace(record_of(made, "P-01"), rows=3, later=(later, date(2026, 5, 4)))
    html = words(person_page(r))
    assert f"{said} on 2026-05-01" in html and "the last came in on 2026-05-04" in html


@pytest.mark.parametrize(("paper", "size"), [("letter", "letter"), ("a4", "A4")])
def test_a_record_is_printed_on_the_sites_paper(made: Readiness, paper: Any, size: str) -> None:
    r = record_of(made, "P-01")
    assert f"size: {size} portrait" in person_page(dataclasses.replace(r, head=dataclasses.replace(r.head, paper=paper)))


def test_a_record_that_came_in_all_at_once_and_late_says_so_once(made: Readiness) -> None:
    at_once = {f"r{n}": date(2026, 4, 20) for n in (21, 22, 23, 31)}
    r = record_of(taken(made, **at_once), "P-01", NAMES)
    assert r.once == date(2026, 4, 20) and [s.late for s in r.signed] == [None, None]
    assert "All of it was taken in on 2026-04-20, whatever day it bears." in words(person_page(r))
    of_lesson = words(lesson_page(lesson_record(taken(made, **at_once), "bench-height", NAMES)))
    assert of_lesson.count("all of it taken in on 2026-04-20") == 1
    assert record_of(taken(made, r23=date(2026, 4, 20)), "P-01").once is None, "one row alone tells its own day"
    assert record_of(taken(made, r23=date(2026, 4, 16), r37=date(2026, 4, 16)), "P-01").once is None, "a week is not late"


@pytest.mark.parametrize(("more", "said"), [(0, False), (1, True)])
def test_as_many_ids_as_a_seal_has_room_for(made: Readiness, more: int, said: bool) -> None:
    r = dataclasses.replace(record_of(made, "P-01"), machines=())
    part = record_of(made, "P-01").machines[0]
    first, second = "E" * 40, "F" * (MOST_SEALED - 41 + more)
    full = dataclasses.replace(r, machines=(dataclasses.replace(part, machines=(first, second), ready=True, ready_alone=False),))
    assert full.facts("x")["seat time"] == ("2 machines" if said else f"{first} {second}") and full.facts("x")["alone"] == ""


@pytest.mark.parametrize(("more", "told"), [(0, ""), (1, "and 1 more"), (3, "and 3 more")])
def test_as_much_of_what_is_left_out_as_a_page_names(made: Readiness, more: int, told: str) -> None:
    left = tuple(f"thing {n}" for n in range(MOST_LEFT_OUT + more))
    html = person_page(dataclasses.replace(record_of(made, "P-01"), left_out=left))
    assert html.count("<li>thing ") == MOST_LEFT_OUT and (f"<li>{told}</li>" in html if told else "more</li>" not in html)


def test_a_digest_is_read_off_paper_in_groups_of_four() -> None:
    assert in_groups("0123456789abcdef01") == "0123 4567 89ab cdef 01"


def test_a_name_of_a_file_is_as_long_as_every_disk_takes() -> None:
    assert file_name("x" * 60) == "x" * 60
    cut = file_name("x" * 61)
    assert re.fullmatch(r"x+\.[0-9a-f]{8}", cut) and len(cut) <= 60 and cut != file_name("x" * 62)


@pytest.mark.parametrize(("day", "said"), [(date(2026, 5, 1), "left 2026-05-01"), (date(2026, 5, 2), "yes")])
def test_who_left_by_the_day_of_the_record_is_listed_as_gone(made: Readiness, day: date, said: str) -> None:
    r = dataclasses.replace(record_of(made, "P-01"), left=day)
    assert said in words(index_page([Listed(r, "P-01.html", "")]))


# --- digest, seal, index --------------------------------------------------------------------


def test_the_digest_is_of_the_words_and_not_of_the_markup(made: Readiness) -> None:
    r = record_of(made, "P-01", NAMES)
    body = person_body(r)
    digest = text_digest(body)
    assert re.fullmatch(r"[0-9a-f]{32}", digest)
    assert of_page(person_page(r, None, body)) == ("", digest)
    sealed = person_page(r, SealOn("SEATWORK-RECORD-1:ABC", "<svg><title>t</title></svg>", "abcd"), body)
    assert of_page(sealed) == ("SEATWORK-RECORD-1:ABC", digest)
    assert text_digest(body.replace("<b>", "<strong>").replace("</b>", "</strong>")) == digest
    assert text_digest(body.replace("5 of 5", "4 of 5", 1)) != digest


def test_what_a_seal_says_is_short(made: Readiness) -> None:
    r = record_of(made, "P-01", NAMES)
    facts = r.facts("0" * 32)
    assert facts == {
        "site": "juniper-bench", "id": "P-01", "name": "Ines Holloway", "day": "2026-05-01", "role": "Loader", "lessons": "1 of 2", "digest": "0" * 32,
        "seat time": "", "alone": "", "until": "2026-06-15", "row": 43, "chain": CHAIN[:16],
    }  # fmt: skip
    many = tuple(dataclasses.replace(r.machines[0], machines=(f"D-{i}",), ready=True) for i in range(100))
    assert dataclasses.replace(r, machines=many).facts("")["seat time"] == "100 machines"
    assert len(json.dumps(facts)) < 350


def test_the_index_links_to_every_record(made: Readiness) -> None:
    records = Records(made, NAMES)
    listed = [Listed(records.of(i), f"{file_name(i)}.html", f"{file_name(i)}.pdf") for i in records.ids]
    html = index_page(listed)
    assert re.findall(r'href="([^"]+\.html)"', html) == ["P-01.html", "P-02.html", "P-03.html"]
    assert 'href="P-01.pdf"' in html
    found = [[words(c) for c in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", r, re.S)] for r in re.findall(r"<tr[^>]*>(.*?)</tr>", html, re.S)]
    assert found[1] == ["Ines Holloway (P-01) PDF", "Loader", "1 of 2", "none", "none", "2026-06-15", "2026-04-13", "yes"]
    assert found[3] == ["Kofi Lindqvist (P-03) PDF", "Driver", "0 of 1", "none", "none", "", "", "yes"]
    first = listed[0].record
    for change, said in (
        ({"known": False}, "not on the day"),
        ({"left": date(2026, 5, 1)}, "left 2026-05-01"),
        ({"left": date(2026, 5, 2)}, "yes"),
    ):
        page = index_page([Listed(dataclasses.replace(first, **change), "P-01.html")])
        assert f'data-head="Here">{said}</td>' in page and "PDF" not in page


def test_every_id_has_a_file_of_its_own() -> None:
    assert (file_name("P-04"), file_name("trench-walls")) == ("P-04", "trench-walls")
    odd = [file_name(i) for i in ("../x", "..", "a/b", "a:b", "CON", "index", "é", "")]
    assert len(set(odd)) == len(odd) and all(re.fullmatch(r"[A-Za-z0-9-]+\.[0-9a-f]{8}", name) for name in odd)


# --- the command ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = small_site(tmp_path_factory.mktemp("command") / "site")
    put(folder, "a.json", a_result(folder, "P-01"))
    (folder / "signoffs.csv").write_text("crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-03-12,Ada Quist\n", "utf-8")
    assert main(["tally", str(folder)]) == 0
    return folder


def test_one_page_of_a_person_as_of_a_day(site: Path, capsys: Any) -> None:
    assert main(["record", str(site), "P-01", "--as-of", "2026-05-01"]) == 0
    page = site / "out/mentor/records/people/P-01.html"
    out, err = capsys.readouterr()
    assert (str(page) in out, "no seal" in out, err) == (True, True, "")
    first = page.read_bytes()
    assert b"Ada Quist" in first and b"It bears no seal" in first and b"As of 2026-05-01" in first
    assert main(["record", str(site), "P-01", "--as-of", "2026-05-01"]) == 0
    assert page.read_bytes() == first and not list(page.parent.glob(".*"))


def test_a_lesson_and_everybody(site: Path, tmp_path: Path, capsys: Any) -> None:
    assert main(["record", str(site), "--lesson", "bench-height", "--as-of", "2026-03-31"]) == 0
    assert "Ines Holloway (P-01)" in (site / "out/mentor/records/lessons/bench-height.html").read_text("utf-8")
    assert main(["record", str(site), "--all", "--as-of", "2026-05-01", "--out", str(tmp_path / "all")]) == 0
    assert sorted(p.name for p in (tmp_path / "all").iterdir()) == ["P-01.html", "P-02.html", "P-03.html", "index.html"]
    assert "3 records" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["P-01", "--all"], "say what to write: a crew id"), ([], "say what to write"), (["P-1"], "nobody has the crew id 'P-1'"), (["--lesson", "bench"], "no lesson 'bench' here"),
        (["--check", "nowhere.html"], "there is no such file"), (["P-01", "--check", "x"], "say what to write"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_one_line(site: Path, capsys: Any, words: list[str], said: str) -> None:
    assert main(["record", str(site), *words]) == 2
    out, err = capsys.readouterr()
    assert out == "" and said in err and err.count("\n") == 1


def test_a_sealed_page_is_checked_without_the_site(site: Path, tmp_path: Path, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    key = new_key(site)
    assert main(["record", str(site), "P-01", "--as-of", "2026-05-01", "--out", str(tmp_path)]) == 0
    page, public = tmp_path / "P-01.html", tmp_path / "key.pub"
    public.write_bytes(key.read_bytes())
    html = page.read_text("utf-8")
    text = of_page(html)[0]
    assert len(text) < 600
    capsys.readouterr()
    for given in (["--check", str(page), "--key", str(public)], ["--check", text, "--key", str(public)], [str(site), "--check", str(page)]):
        assert main(["record", *given]) == 0
        out = capsys.readouterr().out
        printed = re.findall(r"Digest of the text above: <code>([0-9a-f ]+)</code>", html)
        assert f"  digest     {printed[0]}\n" in out and "  seat time  none\n" in out
        assert "The seal holds" in out and "Ines Holloway" in out and "not that it is true" in out
        assert ("the page's text is the one it was put on" in out) == (text not in given)
    changed = tmp_path / "changed.html"
    wrong = {
        html.replace("5 of 5", "4 of 5", 1): "the page's text is not the one it was put on",
        html.replace(text, text[:-9] + "AAAAAAAAA"): "the signature does not fit", html.replace(text, ""): "this page bears no seal",
        "words": "this is no record's seal",
    }  # fmt: skip
    for content, said in wrong.items():
        assert content != html
        changed.write_text(content, "utf-8")
        assert main(["record", "--check", str(changed), "--key", str(public)]) == 2
        out, err = capsys.readouterr()
        assert out == "" and said in err and err.count("\n") == 1
    other = new_key(tmp_path / "other")
    assert main(["record", "--check", text, "--key", str(other)]) == 2
    assert "not signed with this key" in capsys.readouterr().err
    assert main(["record", "--check", text]) == 2
    assert "name the site's public key" in capsys.readouterr().err
    assert main(["record", "--check", str(tmp_path / "none.html"), "--key", str(public)]) == 2
    assert "this is no file with a record and no seal" in capsys.readouterr().err
    # what a phone read comes in on standard input too
    import io

    monkeypatch.setattr("sys.stdin", io.StringIO(text.lower() + "\n"))
    assert main(["record", "--check", "-", "--key", str(public)]) == 0


def test_conditions_that_are_ticked_are_in_the_language_of_the_page_and_others_as_they_were_written() -> None:
    with using(Catalogue("es", {"wet": "mojado", "dark": "oscuro", "wet clay": "never"})):
        assert _conditions("wet, dark; wet clay, dusk; dry") == "mojado, oscuro; wet clay, dusk; dry"
        assert missing() == {"dry"}, "what somebody wrote is no string of the program"
    assert _conditions("wet, dark; wet clay") == "wet, dark; wet clay"


def test_each_page_of_paper_says_whose_it_is_and_of_which_day(made: Readiness) -> None:
    record = record_of(made, "P-01", NAMES)
    assert record.head.day is not None
    assert f"as of {record.head.day}" in margin(person_page(record))
    undated = dataclasses.replace(record, head=dataclasses.replace(record.head, day=None))
    assert "as of" not in margin(person_page(undated)) and record.head.site in margin(person_page(undated))


def margin(html: str) -> str:
    """What is written into the margin of every page; a sign there may stand as its number (CSS Syntax, 4.3.7; from memory)."""
    (found,) = re.findall(r"content: (.*?) counter\(page\)", html)
    return re.sub(r"\\([0-9a-f]+) ", lambda m: chr(int(m[1], 16)), found)


def test_a_sign_written_as_its_name_is_among_the_words_of_a_page() -> None:
    digests = [text_digest(f"<p>Ada {sign} Bo</p>") for sign in ("&amp;", "&#38;", "&lt;", "", "and")]
    assert digests[0] == digests[1] and len(set(digests[1:])) == 4


def test_of_passes_that_do_not_count_the_last_is_told_and_the_others_before_it(made: Readiness) -> None:
    records = Records(made, NAMES)
    line = records.lines["P-01"]
    tries = records._tries["P-01"]["bench-height"]
    one = next(m for m in tries if m.passed)
    three = [
        dataclasses.replace(one, result=dataclasses.replace(one.result, finished=one.result.finished + timedelta(days=n))) for n in range(3)
    ]
    standing = dataclasses.replace(line.standings["bench-height"], best=None)
    part = records._part("P-01", "bench-height", standing, three)
    days = [records._try(m) for m in three]
    assert part.held == days[2] and part.before == (days[0], days[1]) and len(set(days)) == 3
    counted = records._part("P-01", "bench-height", dataclasses.replace(standing, best=three[0]), three)
    assert counted.held == days[0] and counted.before == (days[1], days[2])


@pytest.mark.parametrize("text", [
    b'{"ledger": 2, "numbers": [\n{"page": "lessons/x.html"}\n]}\n', b"\xff\xfe", b"", b'{"ledger": 1}', b'{"ledger": 1, "numbers": [5]}',
    b'{"ledger": 1, "numbers": [\n{"page": "lessons/x.html", "us": \n]}\n', b'{"ledger": 1, "numbers": [{"page": 5}]}', b'{"ledger": 1, "numbers": [',
])  # fmt: skip
def test_a_ledger_that_cannot_be_read_gives_no_numbers_and_not_none_of_them(tmp_path: Path, text: bytes) -> None:
    path = tmp_path / "2026-1.ledger.json"
    path.write_bytes(text)
    assert _Ledgers().rows(path, "x") is None and _Ledgers().rows(tmp_path / "none.json", "x") is None
    path.write_text('{"ledger": 1, "numbers": []}', "utf-8")
    assert _Ledgers().rows(path, "x") == []
