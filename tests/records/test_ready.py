"""Who is ready, at the edges of every rule, from results made here without files. Worked out by hand, no source."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.records.desk import Loose
from generator.records.editions import Change, Editions, LessonMarking
from generator.records.flags import Flag
from generator.records.judge import EAST, LEEWAY, Judged, Scene, judge
from generator.records.mark import Marked, MarkedAnswer
from generator.records.readiness import MachineLine, Readiness, State, _About, months_on, readiness
from generator.records.readiness_page import page
from generator.records.report import files, terminal
from generator.records.results import Given, Result
from generator.records.roster import History
from generator.records.rows import of_result
from generator.records.signoffs import SignOff, by_crew_and_lesson
from generator.records.tally import Tally, _not_too_many
from generator.records.told import Hours, Retrain, Talk
from tests.records.small import small_site

MARCH = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> JobSite:
    """A loader of excavators E-1 and E-2, another of E-2, a driver of T-1; edition 2026-1."""
    return read(small_site(tmp_path_factory.mktemp("ready") / "site"))


def lesson(
    id_: str = "bench-height", edition: str = "2026-1", figures: str = "new", about: str = "excavator", questions: int = 5
) -> LessonMarking:
    asked = tuple({"id": f"q-{i}", "ask": f"Ask {i}?", "must": i == 1} for i in range(1, questions + 1))
    return LessonMarking(id_, edition, id_.capitalize(), about, figures, 0.8, asked, Path(f"{edition}.{figures}"))


class Kept(Editions):
    """Two editions; numbers of ``old`` figures hold no longer, of ``same`` they do, of ``lost`` nobody knows."""

    def lessons(self, edition: str) -> list[LessonMarking]:
        return [lesson("truck-match", about="any"), lesson()] if edition == "2026-1" else []

    def title(self, lesson: str) -> str | None:
        return None

    def changed(self, old: LessonMarking, new: LessonMarking) -> list[Change] | None:
        change = Change("lessons/bench-height.html", "text", "machine.stick_length", (("9 ft", "2.7 m"),), (("10 ft", "3 m"),))
        return {"new": [], "same": [], "old": [change], "lost": None}[old.figures]


def done(
    crew: str = "P-01", of: LessonMarking | None = None, right: int = 5, at: datetime = MARCH, passed: bool | None = None, wrong: tuple[int, ...] | None = None,
    mistake: str = "used-boom",
) -> Marked:  # fmt: skip
    book = of or lesson()
    missed = tuple(range(right + 1, 6)) if wrong is None else wrong
    answers = tuple(MarkedAnswer(f"q-{i}", i not in missed, "" if i not in missed else mistake) for i in range(1, 6))
    count = sum(a.right for a in answers)
    given = tuple(Given(f"q-{i}", None, 0, "us", (0,)) for i in range(1, 6))
    made = Result("file", f"{crew}.json:{at:%d}", crew, book.id, book.edition, book.figures, None, at - timedelta(hours=1), at, given)
    return Marked(
        made,
        book,
        book.questions,
        answers,
        count,
        count >= 4 and 1 not in missed if passed is None else passed,
        ("q-1",) if 1 in missed else (),
    )


def sign(crew: str = "P-01", id_: str = "bench-height", machine: str = "E-2", day: date = date(2026, 3, 12), mentor: str = "m") -> SignOff:
    return SignOff(crew, id_, machine, day, mentor)


def of(site: JobSite, marked: list[Marked] = [], signed: list[SignOff] = [], **more: Any) -> Readiness:  # noqa: B006
    return readiness(site, Tally(marked=marked, signoffs=signed, editions=Kept(), **more))


def standing(r: Readiness, crew: str = "P-01", id_: str = "bench-height") -> Any:
    return next(p for p in r.people if p.person.id == crew).standings[id_]


@pytest.mark.parametrize(
    ("marked", "signed", "state", "words"),
    [
        ([], [], "not taken", "not taken"), ([], [sign()], "not taken", "not taken, signed off"),
        ([done(right=3)], [], "not passed", "not passed, 3 of 5"),
        ([done(wrong=(1,))], [], "not passed", "not passed, 4 of 5, missed q-1, which must be right"),
        ([done(right=3)], [sign()], "not passed", "not passed, 3 of 5, signed off"),
        ([done()], [], "sign-off missing", "sign-off missing"), ([done()], [sign()], "ready", "ready"), ([done()], [sign("P-02")], "sign-off missing", "sign-off missing"),
        ([done()], [sign(id_="truck-match")], "sign-off missing", "sign-off missing"),
        ([done(of=lesson(figures="old"))], [sign()], "take again", "take again, signed off"), ([done(of=lesson(figures="same"))], [sign()], "ready", "ready"),
        ([done(of=lesson(figures="lost"))], [], "take again", "take again"),
        ([done(of=lesson(figures="old")), done(right=3, at=MARCH + timedelta(1))], [], "take again", "take again"),
        ([done(right=3), done(at=MARCH + timedelta(1))], [sign()], "ready", "ready"),
    ],
)  # fmt: skip
def test_where_somebody_stands(site: JobSite, marked: list[Marked], signed: list[SignOff], state: str, words: str) -> None:
    found = standing(of(site, marked, signed))
    assert (found.state, found.words, found.tries) == (state, words, len(marked))


def test_the_numbers_that_hold_no_longer_are_told(site: JobSite) -> None:
    found = standing(of(site, [done(of=lesson(figures="old"))]))
    assert found.changed == ("stick length of the machine: 9 ft (2.7 m) is now 10 ft (3 m)",)
    assert standing(of(site, [done(of=lesson(figures="lost"))])).changed == ("its ledger is missing",)
    both = [done(of=lesson(figures="lost")), done(of=lesson(figures="old"), at=MARCH + timedelta(1))]
    assert standing(of(site, both)).changed == found.changed


@pytest.mark.parametrize(
    ("hour", "day", "state"),
    [(11, 9, "ready"), (12, 9, "sign-off missing"), (12, 10, "ready"), (11, 8, "sign-off missing")],
)
def test_whoever_was_signed_before_shows_it_again_by_the_numbers_that_hold(site: JobSite, hour: int, day: int, state: str) -> None:
    # before noon UTC on March 10 it is still March 9 somewhere
    tries = [done(of=lesson(figures="old"), at=MARCH - timedelta(20)), done(at=MARCH.replace(hour=hour)), done(at=MARCH + timedelta(9))]
    found = standing(of(site, tries, [sign(day=date(2026, 3, day))]))
    assert (found.state, found.outdated) == (state, state != "ready")
    assert found.words == (state if state == "ready" else "sign-off missing (signed when older numbers held)")
    # with no older pass, a sign-off of any day counts
    assert standing(of(site, tries[1:], [sign(day=date(2026, 1, 1))])).state == "ready"


def test_the_best_try_is_the_one_shown(site: JobSite) -> None:
    tries = [
        done(right=2),
        done(right=3, at=MARCH + timedelta(1)),
        done(right=3, at=MARCH + timedelta(2), mistake="later"),
        done(right=1, at=MARCH + timedelta(3)),
    ]
    assert standing(of(site, tries)).best is tries[2]
    assert standing(of(site)).best is None
    passes = [done(), done(right=4, at=MARCH + timedelta(1))]
    assert standing(of(site, passes)).best is passes[1]


def test_a_machine_is_ready_when_all_about_it_is(site: JobSite) -> None:
    marked = [done(), done(of=lesson("truck-match", about="any"))]
    r = of(site, marked, [sign(), sign(id_="truck-match")])
    person = r.people[0]
    assert [(m.machine, m.ready, m.state, m.seen_on) for m in person.machines] == [
        ("E-1", True, "ready, signed on E-2", ("E-2",)), ("E-2", True, "ready", ("E-2",))]  # fmt: skip
    assert (person.count("ready"), person.count("ready", "not taken"), person.count("not taken")) == (2, 2, 0)
    assert [m.ready for p in r.people[1:] for m in p.machines] == [False, False]
    r = of(site, marked, [sign(machine="E-1"), sign(), sign(id_="truck-match")])
    assert [m.state for m in r.people[0].machines] == ["ready", "ready"] and r.people[0].machines[0].seen_on == ("E-1", "E-2")


def test_a_sign_off_on_another_kind_of_machine_is_no_sign_off_for_this_one(site: JobSite) -> None:
    marked = [done(), done(of=lesson("truck-match", about="any"))]
    person = of(site, marked, [sign(machine="T-1"), sign(id_="truck-match", machine="T-1")]).people[0]
    words = "bench-height: sign-off missing (seen on another kind of machine only)"
    assert [m.missing for m in person.machines] == [(words,), (words,)]  # the other is about any machine
    assert person.machines[0].seen_on == ()


def test_a_lesson_about_another_machine_of_the_role_is_not_missing(site: JobSite) -> None:
    role = dataclasses.replace(site.settings.roles["driver"], machines=("truck", "excavator"), lessons=("truck-match", "bench-height"))
    roles = {**site.settings.roles, "driver": role}
    both = dataclasses.replace(site, settings=dataclasses.replace(site.settings, roles=roles))
    driver = next(p for p in of(both).people if p.person.id == "P-03")
    assert driver.machines[0].kind == "truck" and [g[0] for g in driver.machines[0].gaps] == ["truck-match", "working a truck"]


def test_people_come_in_the_order_of_the_roles_and_without_a_machine_nobody_is_ready(site: JobSite) -> None:
    crew = tuple(dataclasses.replace(p, machines=()) if p.id == "P-01" else p for p in reversed(site.crew))
    r = of(dataclasses.replace(site, crew=crew))
    assert [p.person.id for p in r.people] == ["P-02", "P-01", "P-03"]
    assert r.people[1].machines == () and "no machine in crew.csv" in page(r)
    assert "<b>0 of 2</b> people are ready" in page(r)


def test_lessons_of_the_roles_in_the_handbooks_order(site: JobSite) -> None:
    assert of(site).lessons == ("truck-match", "bench-height")
    assert of(site).titles == {"truck-match": "Truck-match", "bench-height": "Bench-height"}
    role = dataclasses.replace(site.settings.roles["driver"], lessons=("gone", "truck-match"))
    other = dataclasses.replace(site, settings=dataclasses.replace(site.settings, roles={"driver": role}))
    r = of(other)
    assert r.lessons == ("truck-match", "gone") and r.titles["gone"] == "gone" and standing(r, "P-03", "gone").state == "no quiz"


@pytest.mark.parametrize(("tries", "again"), [("pf", False), ("ff", True), ("pff", True), ("ppff", False), ("f", False), ("pp", False)])
def test_a_lesson_is_taught_again_where_fewer_than_half_passed_first(site: JobSite, tries: str, again: bool) -> None:
    crew = ("P-01", "P-02", "P-03", "P-04")
    marked = [done(crew=c, right=5 if t == "p" else 2) for c, t in zip(crew, tries)]
    # second tries say nothing about it
    marked += [done(crew=c, right=5, at=MARCH + timedelta(2)) for c in crew[: len(tries)]]
    line = of(site, marked).taught[0]
    assert (line.people, line.passed_first, line.teach_again) == (len(tries), tries.count("p"), again)
    assert (line.answers, line.right) == (5 * len(tries), sum(5 if t == "p" else 2 for t in tries))
    assert line.hardest == ("q-3" if "f" in tries else "q-1")


def test_how_a_question_was_answered(site: JobSite) -> None:
    marked = [
        done(wrong=(2,), mistake="b"), done(wrong=(2,), at=MARCH + timedelta(1), mistake="b"), done(crew="P-02", wrong=(2, 3), mistake="a"),
        done(crew="P-02", of=lesson(edition="2025-9", figures="old"), at=MARCH + timedelta(5), wrong=()),
        done(crew="P-02", of=lesson("truck-match", about="any"), wrong=(2,), mistake="a"), done(crew="P-01", of=lesson("truck-match", about="any"), wrong=(2,), mistake="b"),
    ]  # fmt: skip
    r = of(site, marked)
    assert [(q.edition, q.lesson, q.q) for q in r.questions[:6]] == [("2026-1", "truck-match", f"q-{i}") for i in range(1, 6)] + [
        ("2026-1", "bench-height", "q-1")
    ]
    assert {q.edition for q in r.questions[10:]} == {"2025-9"} and len(r.questions) == 15
    second = next(q for q in r.questions if (q.edition, q.lesson, q.q) == ("2026-1", "bench-height", "q-2"))
    assert (second.answers, second.right, second.first_answers, second.first_right, second.mistake, second.mistake_count) == (
        3,
        0,
        2,
        0,
        "b",
        2,
    )
    third = next(q for q in r.questions if (q.edition, q.lesson, q.q) == ("2026-1", "bench-height", "q-3"))
    assert (third.answers, third.right, third.first_answers, third.first_right, third.share, third.must) == (3, 2, 2, 1, 2 / 3, False)
    equal = next(q for q in r.questions if (q.lesson, q.q) == ("truck-match", "q-2"))
    assert (equal.mistake, equal.mistake_count) == ("a", 1)  # of two as often, the first by name
    first = next(q for q in r.questions if (q.lesson, q.q) == ("truck-match", "q-1"))
    assert (first.must, first.mistake, first.mistake_count, first.share) == (True, "", 0, 1.0)
    old = r.questions[10]
    assert (old.first_answers, old.answers) == (0, 1)  # the same person took the lesson before


def test_questions_of_lessons_that_are_no_more_stand_lesson_by_lesson(site: JobSite) -> None:
    other_way = done(of=lesson("gone-a"))
    other_way = dataclasses.replace(other_way, answers=tuple(reversed(other_way.answers)))  # a try asks them in any order
    r = of(site, [done(of=lesson("gone-b")), other_way, done(of=lesson("bench-height"))])
    assert [q.lesson for q in r.questions] == [*["bench-height"] * 5, *["gone-a"] * 5, *["gone-b"] * 5]
    assert [q.q for q in r.questions[5:10]] == [f"q-{n}" for n in range(1, 6)]


def test_the_days_of_the_latest_results(site: JobSite) -> None:
    r = of(site, [done(), done(at=MARCH + timedelta(5)), done(crew="P-02", at=MARCH + timedelta(2))])
    assert r.latest == "2026-03-15" and [p.last for p in r.people] == ["2026-03-15", "2026-03-12", ""]
    assert of(site).latest == ""


def test_sign_offs_by_day(site: JobSite) -> None:
    rows = [
        sign(day=date(2026, 3, 14)),
        sign(day=date(2026, 3, 12), machine="E-2"),
        sign(day=date(2026, 3, 12), machine="E-1"),
        sign("P-02"),
    ]
    found = by_crew_and_lesson(rows)
    assert [(s.day.day, s.machine) for s in found["P-01", "bench-height"]] == [(12, "E-1"), (12, "E-2"), (14, "E-2")]
    assert len(found) == 2


# --- the report ---------------------------------------------------------------------------------


def test_the_report_says_what_was_found(site: JobSite) -> None:
    marked = [done(), done(of=lesson("truck-match", about="any")), done(crew="P-02", right=2), done(crew="P-03", right=2)]
    flags = [Flag("a.json:1", "score", "shown", "ask", "P-01", "bench-height", True), Flag("b.json:1", "unreadable", "bad", "ask")]
    r = of(site, marked, [sign(), sign(id_="truck-match")], flags=flags, left_aside=2, files=6)
    made = files(r)
    assert (
        "<b>1 of 3</b> people are ready" in made["readiness.html"] and "<b>2</b> results or sign-offs are flagged" in made["readiness.html"]
    )
    assert "take a lesson again" not in made["readiness.html"]
    rows = made["people.csv"].splitlines()
    assert any(row.startswith('"P-01","Ines Holloway","Loader","E-2","excavator","ready","","2026-03-10"') for row in rows)
    told = terminal(r, 200)
    assert "2 flagged" in told[0] and "2 other files left aside" in told[0]
    assert any("P-01" in line and "2 of 2" in line for line in told)
    assert any(line.startswith("  bench-height: 1 of 3 passed at the first try") for line in told)
    assert "  a.json:1: score: shown; ask (counts)" in told and "  b.json:1: unreadable: bad; ask" in told
    again = of(site, [done(of=lesson(figures="old"))])
    assert "<b>1</b> must take a lesson again" in page(again)


def test_a_line_of_the_terminal_is_cut_to_its_width(site: JobSite) -> None:
    wide, narrow = terminal(of(site), 10_000), terminal(of(site), 60)
    long = [i for i, line in enumerate(wide) if len(line) > 60 and i > 1]
    assert long
    for i in long:
        assert narrow[i] == wide[i][:59] + "…"


# --- what belongs to the site -------------------------------------------------------------------


def settled(site: JobSite, *marked: Marked, now: datetime = MARCH) -> Judged:
    """What is judged of results that were taken in at once."""
    rows = Loose()
    late = {"paper": EAST}
    new = [of_result(m, {"made": i}, now, now + late.get(m.result.origin, LEEWAY)) for i, m in enumerate(marked)]
    fresh = {n: m for (n, _), m in zip(rows.take(new, now), marked, strict=True)}
    kinds = {m.id: m.kind for m in (*site.machines, *site.trucks)}
    return judge(rows.entries(), Scene(site, now, now.date(), History(()), {}, {}, Kept(), {}, kinds, kinds), fresh)


@pytest.mark.parametrize(
    ("origin", "late", "taken"),
    [
        ("file", timedelta(0), True), ("file", LEEWAY, True), ("file", LEEWAY + timedelta(seconds=1), False), ("slip", LEEWAY, True),
        ("slip", LEEWAY + timedelta(minutes=1), False), ("paper", EAST, True), ("paper", EAST + timedelta(seconds=1), False),
    ],
)  # fmt: skip
def test_a_clock_may_be_a_quarter_of_an_hour_fast(site: JobSite, origin: Any, late: timedelta, taken: bool) -> None:
    assert timedelta(minutes=15) == LEEWAY and timedelta(hours=14) == EAST
    made = other(done(at=MARCH + late), origin=origin)
    new = of_result(made, {}, MARCH, MARCH + (EAST if origin == "paper" else LEEWAY))
    assert ("early_by" in new.body) is not taken
    if not taken:
        found = settled(site, made)
        assert found.marked == [] and "still to come" in found.flags[0].what


def other(m: Marked, **changes: Any) -> Marked:
    answers = changes.pop("answers", None)
    made = dataclasses.replace(m.result, **changes)
    if answers is not None:
        made = dataclasses.replace(made, answers=tuple(Given(f"q-{i}", None, 0, "us", (a,)) for i, a in enumerate(answers, 1)))
    asked = tuple({**q, "kind": "one", "variants": [{}]} for q in m.lesson.questions[: len(made.answers)])
    return dataclasses.replace(
        m, result=made, asked=asked, answers=m.answers[: len(asked)], lesson=dataclasses.replace(m.lesson, questions=asked)
    )


def test_the_same_try_counts_once_and_the_file_is_the_one(site: JobSite) -> None:
    slip, file = other(done(), origin="slip", where="s.csv:2"), other(done(), finished=MARCH + timedelta(seconds=59))
    out = settled(site, slip, file)
    assert out.marked == [file] and [(f.where, f.name) for f in out.flags] == [("s.csv:2", "duplicate")]
    later = other(done(), finished=MARCH + timedelta(seconds=60))
    assert settled(site, file, later).marked == [file, later]


def test_other_answers_under_the_same_try_count_for_nobody(site: JobSite) -> None:
    out = settled(site, other(done()), other(done(), answers=(1, 0, 0, 0, 0), where="b.json:1"))
    assert out.marked == [] and [f.name for f in out.flags] == ["conflict", "conflict"]
    assert "b.json:1" in out.flags[0].what and "b.json:1" not in out.flags[1].what


@pytest.mark.parametrize(("answers", "copied"), [(5, True), (3, True), (2, False)])
def test_two_people_with_one_try_where_enough_figures_tell(site: JobSite, answers: int, copied: bool) -> None:
    mine, theirs = (other(done(crew=c), answers=(0,) * answers) for c in ("P-01", "P-02"))
    out = settled(site, mine, theirs)
    assert [f.name for f in out.flags] == (["copied", "copied"] if copied else [])
    assert len(out.marked) == (0 if copied else 2)


def test_flags_of_a_file_to_a_limit(site: JobSite) -> None:
    rows = [Flag(f"a.json:{i}", "foreign", "x", "y") for i in range(1, 202)] + [Flag("b.json:1", "foreign", "x", "y")]
    out = _not_too_many(rows)
    assert (
        out[:200] == rows[:200]
        and out[200].where == "a.json:201"
        and out[200].what == "1 more things are wrong in a.json"
        and out[201:] == rows[201:]
    )
    assert _not_too_many(rows[1:]) == rows[1:]


@pytest.mark.parametrize(
    "more", [{"kind": "x"}, {"machine_class": "x"}, {"conditions": "x"}, {"hours": 1.5}, {"sheet": "S-7"}, {"entry": 7}]
)
def test_a_sign_off_is_the_same_whatever_stands_beside_it(more: dict[str, Any]) -> None:
    """Else a lesson signed twice on one day, once by a table and once by a phone, would be told as two."""
    assert dataclasses.replace(sign(), **more) == sign()
    assert len({sign(), dataclasses.replace(sign(), **more)}) == 1
    assert sign("P-02") != sign() != sign(mentor="other") and sign(day=date(2026, 3, 13)) != sign() != sign(machine="E-1")


# --- orders, ends and hours to the day -----------------------------------------------------------


def order(day: date, lesson_: str = "bench-height", crew: str = "P-01") -> Retrain:
    return Retrain(crew, lesson_, day, "incident")


def ordered(site: JobSite, marked: list[Marked], signed: list[SignOff], *orders: Retrain, day: date = date(2026, 4, 30)) -> Any:
    return standing(readiness(site, Tally(marked=marked, signoffs=signed, orders=list(orders), editions=Kept()), day))


@pytest.mark.parametrize(
    ("passed", "signed", "state"),
    [(20, 30, "train again"), (21, 20, "sign-off missing"), (21, 21, "ready"), (21, None, "sign-off missing"), (None, 30, "train again")],
)
def test_what_is_passed_and_signed_after_the_day_of_an_order_carries_it_out(
    site: JobSite, passed: int | None, signed: int | None, state: str
) -> None:
    tries = [done(), *([done(at=MARCH.replace(day=passed))] if passed else [])]
    signs = [sign(), *([sign(day=date(2026, 3, signed))] if signed else [])]
    found = ordered(site, tries, signs, order(date(2026, 3, 20)))
    assert found.state == state and (found.ordered is not None) is (state != "ready")
    assert {s.day for s in found.signed} <= {date(2026, 3, signed or 1)}, "what was signed before the order counts no more"


def test_an_order_stands_from_its_day_on_and_the_last_one_is_told(site: JobSite) -> None:
    orders = [order(date(2026, 3, 20), ""), order(date(2026, 3, 25)), order(date(2026, 3, 24))]
    made = [ordered(site, [done()], [sign()], *orders, day=date(2026, 3, d)) for d in (19, 20, 24, 25)]
    assert [m.state for m in made] == ["ready", *["train again"] * 3]
    assert [m.ordered and m.ordered.day.day for m in made] == [None, 20, 24, 25]
    others = [order(date(2026, 3, 20), "truck-match"), order(date(2026, 3, 20), crew="P-02")]
    assert ordered(site, [done()], [sign()], *others).state == "ready"
    assert ordered(site, [done(right=2)], [sign()], *orders).state == "not passed", "nothing was passed that it could take away"


@pytest.mark.parametrize(("later", "told"), [(0, None), (1, date(2026, 3, 10)), (86_400, date(2026, 3, 11))])
def test_a_try_failed_in_the_second_after_a_pass_is_one_failed_since(site: JobSite, later: int, told: date | None) -> None:
    tries = [done(), done(right=2, at=MARCH + timedelta(seconds=later)), done(right=1, at=MARCH + timedelta(5))]
    found = standing(of(site, tries[:2], [sign()]))
    assert found.failed_since == told
    assert standing(of(site, [done(right=2, at=MARCH - timedelta(1)), done()], [sign()])).failed_since is None
    if told:
        assert standing(of(site, tries, [sign()])).failed_since == told, "the first of them"
    passed_again = [*tries, done(at=MARCH + timedelta(9))]
    assert standing(of(site, passed_again, [sign()])).failed_since is None


def test_what_is_missing_before_somebody_works_alone(site: JobSite) -> None:
    """10 h under a mentor are asked for, 2 of them on slopes; hours on another kind of machine, alone or on the level do not help."""

    def line(
        hours: list[Hours],
        marked: Sequence[Marked] = (),
        wanted: tuple[float | None, float | None] = (10.0, 2.0),
        signed_first: bool = True,
    ) -> Any:
        role = dataclasses.replace(site.settings.roles["loader"], hours=wanted[0], slope_hours=wanted[1])
        rules = dataclasses.replace(site.settings.records, seat_time_signed=signed_first)
        made = dataclasses.replace(
            site, settings=dataclasses.replace(site.settings, roles={**site.settings.roles, "loader": role}, records=rules)
        )
        r = readiness(made, Tally(marked=list(marked), hours=hours, editions=Kept()), date(2026, 4, 30))
        return next(m for m in r.people[0].machines if m.machine == "E-2")

    def sat(hours: float, mentor: str = "m", kind: str = "excavator", slope: bool = False, crew: str = "P-01") -> Hours:
        return Hours(crew, "E-2", kind, date(2026, 4, 1), hours, mentor, "", slope)

    others = [sat(9, ""), sat(9, kind="dozer", slope=True), sat(9, "", slope=True), sat(9, crew="P-02", slope=True)]
    assert line([sat(8), sat(1.5, slope=True), *others]).alone == (
        "9.5 of 10 hours under a mentor",
        "1.5 of 2 hours on slopes under a mentor",
    )
    assert line([sat(8), sat(2, slope=True)]).alone == () and line([sat(8)], wanted=(None, None)).alone is None
    assert line([sat(8)], wanted=(8.0, None)).alone == () and line([sat(8)], wanted=(None, 1.0)).alone == (
        "0 of 1 hours on slopes under a mentor",
    )
    # where seat time needs no signature, work alone does: of the lessons about this kind of machine or any
    both = [done(), done(of=lesson("truck-match", about="any"))]
    free = line([], both, (None, None), signed_first=False)
    assert free.ready and set(free.alone) == {"bench-height: sign-off missing", "truck-match: sign-off missing"}
    assert line([], [done()], (None, None), signed_first=False).alone == ("bench-height: sign-off missing",)


def test_where_seat_time_needs_no_signature_one_on_another_kind_is_none_missing(site: JobSite) -> None:
    rules = dataclasses.replace(site.settings.records, seat_time_signed=False)
    made = dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules))
    marked = [done(), done(of=lesson("truck-match", about="any"))]
    for where, machines in ((site, [False, False]), (made, [True, True])):
        person = of(where, marked, [sign(machine="T-1"), sign(id_="truck-match")]).people[0]
        assert [m.ready for m in person.machines] == machines


@pytest.mark.parametrize(("due_days", "due"), [(30, False), (31, True), (32, True)])
def test_a_lesson_is_due_as_many_days_before_its_end_as_the_site_says(site: JobSite, due_days: int, due: bool) -> None:
    """Passed on 10 March for two months: on 9 April 31 days are left."""
    rules = dataclasses.replace(site.settings.records, valid_months=2, due_days=due_days)
    made = dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules))
    found = ordered(made, [done()], [sign()], day=date(2026, 4, 9))
    assert (found.state, found.until, found.due) == ("ready", date(2026, 5, 10), due)
    later = [ordered(made, [done()], [sign()], day=date(2026, 5, d)) for d in (10, 11)]
    assert [(m.state, m.until, m.due) for m in later] == [("ready", date(2026, 5, 10), True), ("lapsed", date(2026, 5, 10), False)]
    signed_first = ordered(made, [done()], [sign(day=date(2026, 3, 2))], day=date(2026, 4, 9))
    assert signed_first.until == date(2026, 5, 2), "of quiz and sign-off the one that ends first"


def test_a_machine_line_in_words() -> None:
    line = MachineLine("E-2", "excavator", (), ("E-2",))
    gap: tuple[str, State, str] = ("bench-height", "not passed", "not passed")
    assert (line.ready, line.ready_alone, line.state) == (True, False, "ready")
    assert dataclasses.replace(line, alone=()).ready_alone is True
    assert dataclasses.replace(line, alone=("8 of 10 hours under a mentor",)).ready_alone is False
    assert dataclasses.replace(line, alone=(), gaps=(gap,)).ready_alone is False
    assert dataclasses.replace(line, gaps=(gap,)).state == "not ready"
    assert (
        dataclasses.replace(line, seen_on=("E-1", "E-7")).state == "ready, signed on E-1, E-7"
        and dataclasses.replace(line, seen_on=()).state == "ready"
    )


def test_the_last_pass_is_told_where_all_are_on_older_numbers(site: JobSite) -> None:
    tries = [
        done(of=lesson(figures="old")),
        done(of=lesson(figures="old"), at=MARCH + timedelta(3)),
        done(right=2, at=MARCH + timedelta(4)),
    ]
    assert standing(of(site, tries)).best is tries[1]


def test_talks_are_those_of_the_person(site: JobSite) -> None:
    talks = [
        Talk("P-02", "bench-height", "", "m", date(2026, 3, 9)),
        Talk("P-01", "truck-match", "", "m", date(2026, 3, 11)),
        Talk("P-01", "bench-height", "", "m", date(2026, 3, 10)),
    ]
    r = readiness(site, Tally(talks=talks, editions=Kept()), date(2026, 4, 30))
    assert [[t.lesson for t in p.talks] for p in r.people] == [["bench-height", "truck-match"], ["bench-height"], []]


def test_an_order_does_not_hide_that_the_lesson_had_lapsed_before_it(site: JobSite) -> None:
    rules = dataclasses.replace(site.settings.records, valid_months=1)
    made = dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules))
    found = ordered(made, [done()], [sign()], order(date(2026, 4, 20)))
    assert (found.state, found.until) == ("train again", date(2026, 4, 10))
    assert ordered(made, [done()], [], order(date(2026, 4, 20))).until is None


def test_a_month_later_is_the_same_day_or_the_months_last() -> None:
    """ISO 8601 calendar dates; that a month's missing day becomes its last is common practice, no source."""
    some = [(date(2026, 1, 31), 1, date(2026, 2, 28)), (date(2024, 1, 31), 1, date(2024, 2, 29)), (date(2026, 11, 30), 1, date(2026, 12, 30)),
            (date(2026, 12, 1), 1, date(2027, 1, 1)), (date(2026, 3, 15), 24, date(2028, 3, 15)), (date(2024, 2, 29), 12, date(2025, 2, 28)),
            (date(2026, 5, 9), 0, date(2026, 5, 9))]  # fmt: skip
    assert [months_on(day, months) for day, months, _ in some] == [found for *_, found in some]


def test_a_sign_off_of_a_class_ends_on_its_own_day(site: JobSite) -> None:
    """Signed on the class of E-2 on 12 March and again, on E-1's alone, on 20 March: for E-2 it ends a month after the 12th."""
    rules = dataclasses.replace(site.settings.records, lesson_months={"bench-height": 1})
    made = dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules))
    signed = [dataclasses.replace(sign(), machine_class="small", kind="excavator"),
              dataclasses.replace(sign(machine="E-1", day=date(2026, 3, 20)), machine_class="excavator", kind="excavator")]  # fmt: skip
    tally = Tally(marked=[done(at=MARCH + timedelta(20))], signoffs=signed, editions=Kept())
    classes = {"E-1": "excavator", "E-2": "small"}

    def gaps(day: date) -> dict[str, list[str]]:
        about = _About(made, {m.id: m for m in Kept().lessons("2026-1")}, tally, day)
        about.classes = classes
        return {m.machine: [w for i, _, w in m.gaps if i == "bench-height"] for m in about.person(made.crew[0]).machines}

    assert gaps(date(2026, 4, 12)) == {"E-1": [], "E-2": []}
    assert gaps(date(2026, 4, 13)) == {"E-1": [], "E-2": ["lapsed: last signed off on an excavator of this class on 2026-03-12"]}
