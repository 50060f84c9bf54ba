"""What there is to do this week: in the tables, on the page and in the terminal. Made here, worked out by hand, no source."""

from __future__ import annotations

import csv
import dataclasses
import io
import re
from datetime import date, timedelta
from typing import Any

import pytest

from generator.jobsite.model import Mentor, RecordRules
from generator.jobsite.reader import read
from generator.records.flags import Flag
from generator.records.readiness import MachineLine, PersonLine, Readiness, Standing, State
from generator.records.readiness_page import MOST_FLAGS, MOST_ROWS, many, page
from generator.records.report import WIDTH, files, terminal, this_week
from generator.records.told import Hours, Retrain
from generator.records.week import states_of, week
from tests.records.many import DAY, a_class, a_try
from tests.records.small import small_site
from tests.records.test_ready import of
from tests.records.test_report import cells, table

LESSONS = ("bench-height", "truck-match")


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Readiness:
    """P-01 with E-1 and E-2, P-02 with E-2, P-03 with T-1; nothing handed in, as of DAY."""
    return dataclasses.replace(of(read(small_site(tmp_path_factory.mktemp("week") / "site"))), day=DAY)


def stands(state: State, lesson: str = "bench-height", **more: Any) -> Standing:
    return Standing(lesson, state, None, 0, (), **more)


def person(r: Readiness, at: int = 0, *standings: Standing, **more: Any) -> PersonLine:
    """A person of the class as given; what is missing on each machine are the standings that are not ready; lessons not given are."""
    gaps = tuple((s.lesson, s.state, s.words) for s in standings if s.state != "ready")
    machines = tuple(dataclasses.replace(m, gaps=gaps) for m in r.people[at].machines)
    of_role = {i: stands("ready", i) for i in r.people[at].role.lessons}
    return dataclasses.replace(r.people[at], **({"standings": of_role | {s.lesson: s for s in standings}, "machines": machines} | more))


def with_(r: Readiness, *people: PersonLine, **more: Any) -> Readiness:
    tally = dataclasses.replace(r.tally, **more)
    return dataclasses.replace(r, people=people, tally=tally)


def part(html: str, id_: str) -> str:
    """A part of what to do this week, '' where it is not there."""
    found = re.search(rf'<section class="bit"><h3 id="{id_}">.*?</section>', html, re.S)
    return found[0] if found else ""


# --- due ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("state", "days", "due", "told"),
    [
        ("ready", 60, False, "due"), ("ready", 61, False, None), ("ready", 61, True, "due"), ("ready", 0, False, "due"), ("sign-off missing", 3, False, "due"),
        ("lapsed", -1, False, "lapsed"), ("lapsed", None, False, "lapsed"), ("ready", None, False, None), ("ready", None, True, "due"),
        # what counts no more for another reason ends no sooner
        ("take again", 3, True, None), ("train again", 3, True, None), ("not taken", None, False, None),
    ],
)  # fmt: skip
def test_what_is_due(empty: Readiness, state: State, days: int | None, due: bool, told: str | None) -> None:
    until = None if days is None else DAY + timedelta(days)
    r = with_(empty, person(empty, 0, stands(state, until=until, due=due)))
    assert [("lapsed" if d.lapsed else "due", d.until, d.left) for d in week(r).due] == ([(told, until, days)] if told else [])


def test_how_long_before_is_the_sites_to_say(empty: Readiness) -> None:
    site = dataclasses.replace(empty.site, settings=dataclasses.replace(empty.site.settings, records=RecordRules(due_days=7)))
    r = dataclasses.replace(with_(empty, *(person(empty, i, stands("ready", until=DAY + timedelta(7 + i))) for i in (0, 1))), site=site)
    assert [d.left for d in week(r).due] == [7]
    assert "person has a lesson that ends within 7 days" in page(r) and "Due within 7 days" in page(r)


def test_without_a_day_only_what_is_said_to_be_due_is(empty: Readiness) -> None:
    r = dataclasses.replace(
        with_(empty, person(empty, 0, stands("ready", until=DAY), stands("ready", "truck-match", until=DAY, due=True))), day=None
    )
    assert [(d.lesson, d.left) for d in week(r).due] == [("truck-match", None)]


@pytest.fixture(scope="module")
def ending(empty: Readiness) -> Readiness:
    one = person(empty, 0, stands("lapsed", until=DAY - timedelta(3)), stands("ready", "truck-match", until=DAY + timedelta(9)))
    two = person(empty, 1, *(stands("ready", i, until=DAY + timedelta(1)) for i in LESSONS))
    return with_(empty, one, two)


def test_what_ends_today_has_no_day_left_and_none_gone(empty: Readiness) -> None:
    rows = table(with_(empty, person(empty, 0, stands("ready", until=DAY))), "due.csv")
    assert [list(x.values())[:6] for x in rows] == [["P-01", "bench-height", "2026-11-26", "0", "", "due"]]


def test_the_table_of_what_is_due(ending: Readiness) -> None:
    rows = table(ending, "due.csv")
    assert list(rows[0]) == ["person", "lesson", "until", "days left", "days ago", "state", "name", "role"]
    assert [list(x.values())[:6] for x in rows] == [
        ["P-01", "bench-height", "2026-11-23", "0", "3", "lapsed"], ["P-02", "bench-height", "2026-11-27", "1", "", "due"],
        ["P-02", "truck-match", "2026-11-27", "1", "", "due"], ["P-01", "truck-match", "2026-12-05", "9", "", "due"],
    ]  # fmt: skip
    first, second = table(ending, "readiness.csv")
    assert (first["next due"], first["lessons due"], second["next due"], second["lessons due"]) == ("2026-11-23", "2", "2026-11-27", "2")
    assert [x["next due"] for x in table(ending, "people.csv")] == ["2026-11-23", "2026-11-23", "2026-11-27"]


def test_what_is_due_on_the_page(ending: Readiness) -> None:
    html = page(ending)
    assert cells(part(html, "lapsed"))[1:] == [["P-01 Ines Holloway|Loader", "Bench-height", "2026-11-23", "3 days ago"]]
    assert cells(part(html, "due"))[1:] == [
        ["P-02 Tom Abernethy|Loader", "Bench-height · Truck-match", "2026-11-27", "1 day"], ["P-01 Ines Holloway|Loader", "Truck-match", "2026-12-05", "9 days"],
    ]  # fmt: skip
    assert "<b>1</b><i>person has a lesson that lapsed</i><small>1 lesson:" in html
    assert "<b>2</b><i>people have lessons that end within 60 days</i><small>3 lessons:" in html
    marks = re.findall(r'<td class="mark due" title="([^"]+)"', html)
    assert marks == ["ready, until 2026-12-05", *["ready, until 2026-11-27"] * 2] and "A thick line under a mark" in html


# --- held, ordered, failed ------------------------------------------------------------------------


@pytest.fixture(scope="module")
def disputed(empty: Readiness) -> Readiness:
    held = [
        a_try("P-02", "bench-height", entry=413),
        a_try("P-01", "bench-height", entry=412),
        a_try("P-03", "truck-match", day=date(2026, 3, 11)),
    ]
    why = [Flag(m.result.where, "copied", "the same try as another's", "ask", m.result.crew, m.lesson.id) for m in held]
    counts = Flag(held[0].result.where, "score", "shown", "ask", counted=True)
    return with_(empty, *(person(empty, i, stands("held", LESSONS[i == 2])) for i in range(3)), held=held, flags=[*why, counts])


def test_each_held_result_has_the_line_that_settles_it(disputed: Readiness) -> None:
    rows = cells(part(page(disputed), "held"))
    assert rows[0][-1] == "Line for corrections.csv"
    assert [x[0] for x in rows[1:]] == ["P-01 Ines Holloway", "P-02 Tom Abernethy", "P-03 Kofi Lindqvist"]
    assert rows[1][2:] == ["2026-03-10|7 of 8, passed", "copied|: the same try as another's|results/P-01_bench-height.json:1",
                           "412,counts,WHO,WHY|or |412,void,WHO,WHY"]  # fmt: skip
    assert rows[3][-1] == "no row of the register yet: run seatwork tally again"
    assert "<b>3</b><i>results are held</i>" in page(disputed)
    # the line is one of the table it is for
    assert list(csv.DictReader(io.StringIO("entry,says,by,why\n412,counts,WHO,WHY\n"))) == [
        {"entry": "412", "says": "counts", "by": "WHO", "why": "WHY"}
    ]


def test_held_results_stand_in_the_tables_and_count_nowhere(disputed: Readiness) -> None:
    rows = [x for x in table(disputed, "results.csv") if not x["flag"]]
    assert [(x["counts"], x["crew"], x["register row"], x["right"]) for x in rows] == [
        ("held", "P-01", "412", "7"), ("held", "P-02", "413", "7"), ("held", "P-03", "", "7")]  # fmt: skip
    assert [x["lessons held"] for x in table(disputed, "readiness.csv")] == ["1"] * 3


def test_orders_to_train_again(empty: Readiness) -> None:
    every = Retrain("P-01", "", date(2026, 11, 2), "incident", 7)
    one = Retrain("P-02", "truck-match", date(2026, 10, 1), "long away", 8)
    r = with_(empty, person(empty, 0, *(stands("train again", i, ordered=every) for i in LESSONS)),
              person(empty, 1, stands("train again", "truck-match", ordered=one)), person(empty, 2, stands("train again", "truck-match")))  # fmt: skip
    html = page(r)
    assert cells(part(html, "again"))[1:] == [
        ["P-03 Kofi Lindqvist|Driver", "Truck-match", "", ""], ["P-02 Tom Abernethy|Loader", "Truck-match", "2026-10-01", "long away from the work"],
        ["P-01 Ines Holloway|Loader", "all lessons", "2026-11-02", "an accident or a near miss"],
    ]  # fmt: skip
    assert "<b>3</b><i>people are ordered to train again</i>" in html


def test_failed_after_passing_newest_first(empty: Readiness) -> None:
    r = with_(empty, *(person(empty, i, stands("ready", failed_since=DAY - timedelta(9 - i))) for i in (0, 1)))
    assert [x[0][:4] for x in cells(part(page(r), "failed"))[1:]] == ["P-02", "P-01"]
    assert cells(part(page(r), "failed"))[1][2:] == ["2026-11-18", "ready"]


# --- sign-offs ------------------------------------------------------------------------------------


def test_who_can_be_signed_off_and_by_whom(empty: Readiness) -> None:
    missing: State = "sign-off missing"
    all_there = person(empty, 0, stands(missing), stands("ready", "truck-match"))
    lacks = person(empty, 1, stands(missing), stands("not taken", "truck-match"))
    driver = person(empty, 2, stands(missing, "truck-match"))
    mentors = (Mentor("M-1", "R. Vance", ("excavator",), None, None, 2), Mentor("M-2", "L. Osei", ("truck",), None, DAY - timedelta(1), 3))
    site = dataclasses.replace(empty.site, mentors=mentors)
    r = dataclasses.replace(with_(empty, lacks, all_there, driver), site=site)
    assert [(s.kind, s.who.person.id, s.machines, s.lessons, s.last) for s in week(r).sign] == [
        ("excavator", "P-01", ("E-1", "E-2"), ("bench-height",), True), ("truck", "P-03", ("T-1",), ("truck-match",), True),
        ("excavator", "P-02", ("E-2",), ("bench-height",), False),
    ]  # fmt: skip
    html = part(page(r), "sign")
    assert "<b>excavator</b>: 2 people, 2 lessons, by M-1; <b>truck</b>: 1 person, 1 lesson, <b>and no mentor may sign for it</b>." in html
    assert cells(html)[1] == ["P-01 Ines Holloway|Loader", "excavator", "E-1 E-2", "Bench-height", "yes"] and cells(html)[3][-1] == "no"
    assert (
        "<b>3</b><i>people can be signed off</i><small>3 lessons passed, no mentor has signed. For 2 it is all that is missing.</small>"
        in page(r)
    )
    # a site without a table of mentors says nothing of them
    assert "no mentor may" not in page(with_(empty, driver)) and "<b>truck</b>: 1 person, 1 lesson." in page(with_(empty, driver))


def test_one_signature_does_for_all_kinds_unless_it_is_about_one(empty: Readiness) -> None:
    words = "sign-off missing"
    own = ("bench-height", words, f"{words} (seen on another kind of machine only)")
    any_ = ("truck-match", words, words)
    both = person(empty, 0, stands("ready"), stands("sign-off missing", "truck-match"), machines=(
        MachineLine("E-1", "excavator", (any_,)), MachineLine("T-1", "truck", (own, any_))))  # type: ignore[arg-type]  # fmt: skip
    assert [(s.kind, s.lessons) for s in week(with_(empty, both)).sign] == [("excavator", ("truck-match",)), ("truck", ("bench-height",))]


def test_on_foot_needs_a_mentor_for_on_foot(empty: Readiness) -> None:
    foot = person(
        empty,
        0,
        stands("sign-off missing"),
        machines=(MachineLine("on foot", "no machine", (("bench-height", "sign-off missing", "sign-off missing"),)),),
    )
    site = dataclasses.replace(empty.site, mentors=(Mentor("M-9", "K. Brandt", ("on foot",), None, None, 2),))
    assert "<b>on foot</b>: 1 person, 1 lesson, by M-9." in page(dataclasses.replace(with_(empty, foot), site=site))


# --- the two states -------------------------------------------------------------------------------


def test_ready_to_work_alone_is_another_state(empty: Readiness) -> None:
    role = dataclasses.replace(empty.people[0].role, hours=40.0, slope_hours=8.0)
    spent = (Hours("P-01", "E-1", "excavator", DAY, 32.25, "M-1", "", True), Hours("P-01", "E-1", "excavator", DAY, 10.0))

    def line(m: MachineLine, alone: tuple[str, ...] | None) -> MachineLine:
        return dataclasses.replace(m, gaps=(), alone=alone)

    e1, e2 = empty.people[0].machines
    one = person(
        empty,
        0,
        *(stands("ready", i) for i in LESSONS),
        role=role,
        hours=spent,
        machines=(line(e1, ("7.75 h under a mentor",)), line(e2, ())),
    )
    two = person(empty, 1, stands("ready"), role=role, machines=(line(e2, ()),))
    three = person(empty, 2, stands("ready", "truck-match"), machines=(line(empty.people[2].machines[0], None),))
    r = with_(empty, one, two, three)
    html = page(r)
    loaders, drivers = (cells(x) for x in re.findall(r'<table role="table" class="wide stack">(.*?)</table>', html, re.S))
    assert loaders[0] == ["Crew", "Lessons", "Hours under a mentor", "Machine", "Seat time", "Work alone", "Missing before seat time"]
    assert loaders[1][2:6] == ["32.2 of 40 h|slopes 32.2 of 8 h", "E-1, excavator", "ready", "not ready: 7.75 h under a mentor"]
    assert loaders[2] == ["E-2, excavator", "ready", "ready", "nothing"] and loaders[3][2] == "0 of 40 h|slopes 0 of 8 h"
    assert drivers[0] == ["Crew", "Lessons", "Machine", "Seat time", "Missing before seat time"]
    assert (
        html.count("There is no rule for it for Driver;") == 1
        and "2 ready for seat time on all their machines, 1 ready to work alone" in html
    )
    assert [(x["alone"], x["missing before working alone"], x["hours with a mentor"], x["hours needed"], x["slope hours needed"])
            for x in table(r, "people.csv")] == [
        ("not ready", "7.75 h under a mentor", "32.2", "40", "8"), ("ready", "", "32.2", "40", "8"), ("ready", "", "0", "40", "8"),
        ("no rule", "", "0", "", ""),
    ]  # fmt: skip
    assert [x["works alone on"] for x in table(r, "readiness.csv")] == ["E-2", "E-2", "no rule"]
    # without any rule it is said once, and nobody is said to be ready for it
    bare = page(with_(empty, three))
    assert bare.count("The site has no rule for working alone") == 1 and "Work alone" not in bare and 'value="alone"' not in bare


def test_what_a_person_is_looked_for_by(empty: Readiness) -> None:
    assert states_of(person(empty, 0, stands("ready")), set(), set()) == ("ready",)
    assert states_of(person(empty, 0, stands("lapsed"), stands("sign-off missing", "truck-match")), {"P-01"}, set()) == (
        "not-ready",
        "due",
        "lapsed",
        "sign-off",
    )
    assert states_of(person(empty, 1, stands("train again", failed_since=DAY)), {"P-01"}, {"P-02"}) == (
        "not-ready",
        "held",
        "train-again",
        "failed",
    )
    assert states_of(person(empty, 0, stands("take again"), machines=()), set(), set()) == ("take-again",)


# --- short, whatever there is -----------------------------------------------------------------------


@pytest.fixture(scope="module")
def crowd(empty: Readiness) -> Readiness:
    from tests.conftest import DEMO

    return a_class(read(DEMO))


def test_each_table_of_the_week_is_short_and_says_where_the_rest_is(crowd: Readiness) -> None:
    html, w = page(crowd), week(crowd)
    for id_, rows in (
        ("due", len({(d.who.person.id, d.until) for d in w.due if not d.lapsed})),
        ("sign", len(w.sign)),
        ("flags", len(w.flags)),
    ):
        found = part(html, id_)
        assert rows > MOST_ROWS and len(cells(found)) == 1 + MOST_ROWS, id_
        assert f"<p>and {rows - MOST_ROWS} more: see <a " in found, id_
    assert "more:" not in part(html, "held")
    flagged = html[html.index('<h2 id="flagged">') :]
    assert len(cells(flagged)) == 1 + MOST_FLAGS and f"and {len(crowd.tally.flags) - MOST_FLAGS:,} more: see" in flagged
    assert len(html.encode()) < 1_500_000 and html.count('tbody role="rowgroup" data-who=') == 150
    # every place a link leads to is there
    ids = set(re.findall(r'id="([^"]+)"', html))
    assert set(re.findall(r'href="#([^"]*)"', html)) <= ids
    assert set(re.findall(r'href="([^#"]*\.csv)"', html)) <= set(files(crowd))


def test_nothing_to_do_is_said(empty: Readiness) -> None:
    html = page(with_(empty, *(person(empty, i, stands("ready")) for i in range(3))))
    todo = re.findall(r'<li class="(\w+)">.*?</li>', html)
    assert todo == ["none"] * 7 and 'class="bit"' not in html and "Nobody waits for a sign-off" in html


def test_new_lessons_are_not_named_one_by_one(crowd: Readiness) -> None:
    new = next(p for p in crowd.people if p.count("not taken") == len(p.standings))
    assert f"<li><b>not taken</b>: all {len(new.standings)} lessons of the role</li>" in page(crowd)


# --- the terminal ---------------------------------------------------------------------------------


def test_the_terminal_ends_with_what_to_do(ending: Readiness, disputed: Readiness, crowd: Readiness) -> None:
    assert terminal(ending, WIDTH)[-4:-1] == [
        "This week:",
        "  due:     3 lessons within 60 days, 1 lapsed, of 2 people; see due.csv",
        "  held:    nothing",
    ]
    assert list(this_week(disputed))[1] == "  held:    3 results; say which counts in corrections.csv (rows from 412)"
    one = with_(disputed, held=[a_try("P-01", "bench-height", entry=412)])
    assert list(this_week(one))[1] == "  held:    1 result; say which counts in corrections.csv (row 412)"
    assert re.fullmatch(r"  to sign: \d+ people, \d+ lessons: excavator \d+, dozer \d+, .*, …", list(this_week(crowd))[2])
    assert all(len(line) <= WIDTH == 80 for line in this_week(crowd))


@pytest.mark.parametrize("times", [1, 1_000, 1_000_000])
def test_the_three_lines_fit_whatever_the_numbers(crowd: Readiness, times: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.records.report.many", lambda n, one, more="": many(n * times, one, more))
    lines = list(this_week(crowd))
    assert len(lines) == 3 and all(len(x) <= WIDTH for x in lines), lines


@pytest.mark.parametrize(("count", "named"), [(1, "L1"), (3, "L1 · L2 · L3"), (4, "L1 · L2 · L3 · L4"), (5, "L1 · L2 · L3 and 2 more")])
def test_a_few_lessons_are_named_in_a_line_and_the_rest_counted(empty: Readiness, count: int, named: str) -> None:
    """Three fill a line of a phone; "and 1 more" would take no less room than the name."""
    ids = tuple(f"l-{n}" for n in range(1, count + 1))
    late = {i: stands("lapsed", i, until=DAY - timedelta(days=3)) for i in ids}
    one = dataclasses.replace(empty.people[0], standings=late)
    r = dataclasses.replace(with_(empty, one), lessons=ids, titles={i: i.upper().replace("-", "") for i in ids})
    assert f">{named}<" in part(page(r), "lapsed")
