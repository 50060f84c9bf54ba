"""What the shipped questions are like, lesson by lesson. Common practice of teaching, no source."""

from __future__ import annotations

import itertools
from dataclasses import replace
from fractions import Fraction

import pytest

from generator.book.content import Content, content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, drawer_for, site_lead
from generator.book.tree import taught
from generator.calc.rules import US
from generator.jobsite.model import RUNS, JobSite
from generator.jobsite.reader import read
from generator.quiz.asked import sets_of
from generator.quiz.draw import Drawer
from generator.quiz.question import Question, questions_in
from generator.source.problem import Problem
from generator.working.ledger import Ledger
from tests.conftest import DEMO
from tests.content.counted import MOST, Counts, needs_arctan, stops

# lessons whose questions look: 9 to 12 of them, a third on pictures, a third sums at most.
# Whoever converts a lesson adds it here; the list is to hold them all.
CONVERTED = (
    "at-the-tip",
    "backfill-with-the-blade",
    "bank-loose-compacted",
    "bench-height",
    "building-a-slope",
    "digging-pass",
    "even-wear",
    "excavator-on-a-slope",
    "found-a-line",
    "haul-road",
    "heat-and-hours",
    "holding-a-grade",
    "if-it-slides",
    "lifting-with-the-bucket",
    "lines-above-and-below",
    "loading-order",
    "moving-the-machine",
    "park-and-leave",
    "payload-tally",
    "pins-and-side-loads",
    "reading-grades",
    "reverse-is-wear",
    "ripping-first",
    "seeing-people",
    "side-slope-limits",
    "signals",
    "slot-front-to-back",
    "spoil-pile",
    "spread-and-compact",
    "standing-on-the-bench",
    "steer-with-the-blade",
    "stop-work",
    "string-and-laser",
    "stripping",
    "track-width",
    "trench-boxes",
    "trench-to-grade",
    "trench-walls",
    "truck-match",
    "under-the-bucket",
    "undercarriage-left",
    "walk-around",
    "what-the-screen-tells",
)

# Lessons that ask less, look less or sum more on a site that has not every kind of machine: what draws or asks of one there is
# not is left out. The fewest questions and pictures and the most sums over all such sites; whoever writes more mends it here.
ASKS_LESS = {
    "bank-loose-compacted": Counts(8, 1, 4),
    "building-a-slope": Counts(8, 1, 3),
    "excavator-on-a-slope": Counts(10, 3, 2),
    "found-a-line": Counts(10, 2, 3),
    "if-it-slides": Counts(7, 0, 1),
    "lifting-with-the-bucket": Counts(7, 1, 2),
    "lines-above-and-below": Counts(5, 0, 1),
    "park-and-leave": Counts(8, 2, 1),
    "seeing-people": Counts(4, 0, 0),
    "spread-and-compact": Counts(10, 2, 3),
    "trench-boxes": Counts(10, 3, 3),
    "trench-to-grade": Counts(8, 0, 3),
    "what-the-screen-tells": Counts(9, 2, 3),
}
KINDS = ("dozer", "excavator", "compact excavator", "truck")
FLEETS = [kinds for n in range(1, len(KINDS) + 1) for kinds in itertools.combinations(KINDS, n) if kinds != ("truck",)]
Asked = dict[tuple[str, ...], dict[str, tuple[Question, ...]]]


@pytest.fixture(scope="module")
def content() -> Content:
    return read_content(content_folder())


def asked(text: str) -> tuple[Question, ...]:
    problems: list[Problem] = []
    found = questions_in(text, "q.yml", {}, problems)
    assert problems == []
    return found


@pytest.fixture(scope="module")
def demo() -> JobSite:
    return read(DEMO, lesson_ids(content_folder()))


def site_with(demo: JobSite, kinds: tuple[str, ...]) -> JobSite:
    """The demo with machines of these kinds alone, run by one role that learns every lesson."""
    settings = demo.settings
    role = replace(next(iter(settings.roles.values())), machines=kinds, lessons=CONVERTED)
    lead = {kind: row for kind, row in settings.lead.items() if kind in {*kinds, "material"}}
    return replace(
        demo,
        settings=replace(settings, roles={role.id: role}, lead=lead),
        machines=tuple(m for m in demo.machines if m.kind in kinds),
        trucks=demo.trucks if "truck" in kinds else (),
    )


def asked_of(content: Content, site: JobSite) -> dict[str, tuple[Question, ...]]:
    """What a site is asked, by the lessons that it is taught: all that is for such sites and that its machines and pictures give."""
    drawer = Drawer(site, content.tables, site_lead(site))
    found = {}
    for id_, lesson in taught(content, site).lessons.items():
        its_own = drawer_for(lesson, drawer)
        fitting = [q for q in its_own.fitting(content.questions[id_]) if its_own.lacking(q) is None]
        found[id_] = LessonPage(lesson, content, site, site_lead(site), Ledger()).able(fitting)
    return found


@pytest.fixture(scope="module")
def asked_with(content: Content, demo: JobSite) -> Asked:
    """What is asked on a site of each kind, by lesson."""
    return {kinds: asked_of(content, site_with(demo, kinds)) for kinds in FLEETS}


def test_a_lesson_asks_enough_looks_enough_and_sums_little(asked_with: Asked) -> None:
    """With every kind of machine each lesson does. With fewer kinds it does too, or asks what is told of it above, neither less nor more."""
    assert set(asked_with[KINDS]) == set(CONVERTED)
    assert {id_: wrong for id_, questions in asked_with[KINDS].items() if (wrong := Counts.of(questions).wrong())} == {}
    short: dict[str, list[Counts]] = {}
    for by_lesson in asked_with.values():
        assert len(by_lesson) >= 24  # far more than nothing is taught on each
        for id_, questions in by_lesson.items():
            if (counts := Counts.of(questions)).wrong():
                assert counts.questions <= MOST, id_
                short.setdefault(id_, []).append(counts)
    least = {
        id_: Counts(min(c.questions for c in found), min(c.on_pictures for c in found), max(c.sums for c in found))
        for id_, found in short.items()
    }
    assert least == ASKS_LESS


@pytest.mark.parametrize("kinds", FLEETS, ids="+".join)
def test_what_a_site_is_asked_is_for_such_a_site(asked_with: Asked, content: Content, demo: JobSite, kinds: tuple[str, ...]) -> None:
    site = site_with(demo, kinds)
    for id_, questions in asked_with[kinds].items():
        assert {q.where for q in questions if q.where and not site.is_one_of(q.where)} == set(), id_
    digs = bool({"excavator", "compact excavator"} & set(kinds))
    for id_ in ("lines-above-and-below", "seeing-people"):
        if id_ in asked_with[kinds]:
            assert {q.where for q in asked_with[kinds][id_]} & set(RUNS) == {"excavator" if digs else "no excavator"}


def test_something_must_be_right_and_not_everything(asked_with: Asked) -> None:
    for kinds, by_lesson in asked_with.items():
        for id_, questions in by_lesson.items():
            assert 0 < sum(q.must_be_right for q in questions) < len(questions), (kinds, id_)


def test_every_question_is_asked_in_some_try(asked_with: Asked) -> None:
    """None is left over because too many must be right, or because others are the only ones of their kind."""
    for kinds, by_lesson in asked_with.items():
        for id_, questions in by_lesson.items():
            sets = sets_of(questions, None, f"web|{id_}")
            assert not sets or set().union(*sets) == set(range(len(questions))), (kinds, id_)


def test_every_question_is_asked_somewhere(asked_with: Asked, content: Content) -> None:
    everywhere = {q.id for by_lesson in asked_with.values() for questions in by_lesson.values() for q in questions}
    # those for other rules than these sites have are asked on the sites of tests/book/test_other_rules.py
    here = {q.id for questions in content.questions.values() for q in questions if not q.where or q.where in RUNS or US.hold(q.where)}
    assert here - everywhere == set()


@pytest.mark.parametrize("lesson", CONVERTED)
def test_no_right_answer_needs_an_arctangent(content: Content, lesson: str) -> None:
    assert {q.id: found for q in content.questions[lesson] if (found := needs_arctan(q))} == {}


def test_stop_is_no_surer_guess_than_any_other_choice(content: Content) -> None:
    found = stops(q for lesson in CONVERTED for q in content.questions[lesson])
    assert found.right <= found.chance, found.questions


def test_every_converted_lesson_is_a_lesson(content: Content) -> None:
    assert set(CONVERTED) <= set(content.lessons) and len(set(CONVERTED)) == len(CONVERTED)


# --- the counting itself ------------------------------------------------------------------------

ROW = "- id: {id}\n  kind: one\n  ask: Which?{more}\n  choices:\n    - {{text: '{a}', right: true}}\n    - {{text: B., says: No.}}\n    - {{text: C., says: No.}}\n    - {{text: D., says: No.}}\n"


def rows(*first: str, more: str = "") -> str:
    return "".join(ROW.format(id=f"q-{n}", a=a, more=more) for n, a in enumerate(first))


def test_too_few_pictures_and_too_many_sums_are_told() -> None:
    plain = asked(rows(*"abcdefghi"))
    assert Counts.of(plain).wrong() == ["0 of 9 on pictures, less than a third"]
    some = asked(rows(*"abc", more="\n  drawing: {scene: a.b}") + rows(*"abcdef").replace("q-", "r-"))
    assert Counts.of(some).wrong() == []
    assert Counts.of(some[:8]).wrong() == ["8 questions, not 9 to 12"]
    assert Counts(12, 4, 5).wrong() == ["5 of 12 are sums, more than a third"] and Counts(12, 4, 4).wrong() == []
    assert Counts(13, 5, 0).wrong() == ["13 questions, not 9 to 12"]


def test_stop_that_is_right_more_often_than_chance_is_found() -> None:
    found = stops(asked(rows("Stop work and call.", "Go on.")))
    assert (found.right, found.chance, found.questions) == (1, Fraction(1, 4), ("q-0",))
    three = rows("Stop.", "Go.", "Go.", "Go.").replace("text: B.", "text: Stop now.")
    found = stops(asked(three))
    assert (found.right, found.chance) == (1, Fraction(2 + 1 + 1 + 1, 4))
    assert stops(asked(rows("Stopping distance.", "Unstop it."))).questions == ()


SUM = """\
- id: q-1
  kind: number
  ask: How steep?
  numbers:
    leans: {calculation: grade.angle, grade: job.grade}
    plain: {calculation: loading.bench_height, stick_length: machine.stick_length}
  answer: leans
  mistakes:
    - {id: half, gives: right / 2, says: No.}
"""


def test_an_arctangent_in_the_right_answer_is_found() -> None:
    assert needs_arctan(asked(SUM)[0]) == ["grade.angle"]
    assert needs_arctan(asked(SUM.replace("answer: leans", "answer: plain"))[0]) == []
    onward = SUM.replace("stick_length: machine.stick_length", "stick_length: leans").replace("answer: leans", "answer: plain")
    assert needs_arctan(asked(onward)[0]) == ["grade.angle"]
