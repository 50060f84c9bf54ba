"""Who may have seat time on which machine, what is missing, and which lesson to teach again."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite, Person, Role, a, works
from generator.records.editions import Editions, LessonMarking, texts
from generator.records.mark import Marked
from generator.records.signoffs import SignOff, by_crew_and_lesson
from generator.records.tally import Tally
from generator.records.told import Hours, Retrain, Talk
from generator.units.table import System

WEST = datetime.timedelta(hours=12)  # a day on paper may begin this much after UTC's
State = Literal[
    "ready", "sign-off missing", "take again", "lapsed", "train again", "held", "not passed", "not taken", "no quiz", "no lesson",
]  # fmt: skip
STATES: Mapping[State, str] = {
    "ready": "passed and signed off",
    "sign-off missing": "passed, but no mentor has signed",
    "take again": "passed on numbers that no longer hold",
    "lapsed": "passed and signed, but too long ago",
    "train again": "an order to train again stands",
    "held": "handed in, and disputed: the coordinator has to say which counts",
    "not passed": "taken, not passed",
    "not taken": "not taken yet",
    "no quiz": "the handbook has no such lesson yet",
    "no lesson": "the role has no lesson about working the machine",
}


@dataclass(frozen=True)
class Standing:
    """Where one person stands with one lesson. ``best`` is the result that says so.

    ``history`` are all tries that count, by time. ``until`` is the last day on which the lesson holds, None without an end;
    ``due`` says that this day is near. ``failed_since`` is the day of a try failed after it was passed; ``ordered`` the order
    that takes it away.
    """

    lesson: str
    state: State
    best: Marked | None
    tries: int
    signed: tuple[SignOff, ...]  # those that count
    changed: tuple[str, ...] = ()  # numbers that no longer hold
    outdated: bool = False  # signed, but before the try on the numbers that hold
    history: tuple[Marked, ...] = ()
    until: datetime.date | None = None
    due: bool = False
    failed_since: datetime.date | None = None
    ordered: Retrain | None = None

    @property
    def words(self) -> str:
        """The state with its facts, for a cell of the matrix."""
        out: str = self.state
        if self.state == "not passed" and self.best is not None:
            out += f", {self.best.right} of {self.best.of}"
            if self.best.missed_must:
                out += f", missed {' and '.join(self.best.missed_must)}, which must be right"
        if self.state == "sign-off missing" and self.outdated:
            out += " (signed when older numbers held)"
        if self.state != "ready" and self.state != "sign-off missing" and self.signed:
            out += ", signed off"
        return out


@dataclass(frozen=True)
class MachineLine:
    """One machine of one person: what is still missing before seat time on it.

    ``gaps`` are a lesson and what is missing there, as (id, state, words); ``seen_on`` are the
    machines of this kind on which a mentor has signed for the person. ``alone`` is what is still missing before the
    person works it alone, in words, beside the gaps; None where the site has no rule for it.
    """

    machine: str
    kind: str
    gaps: tuple[tuple[str, State, str], ...]
    seen_on: tuple[str, ...] = ()
    machine_class: str = ""
    alone: tuple[str, ...] | None = None

    @property
    def missing(self) -> tuple[str, ...]:
        """The gaps, a line each."""
        return tuple(f"{id_}: {words}" for id_, _, words in self.gaps)

    @property
    def ready(self) -> bool:
        """Whether nothing is missing before seat time."""
        return not self.gaps

    @property
    def ready_alone(self) -> bool:
        """Whether nothing is missing before the person works it alone. Never where the site has no rule for it."""
        return not self.gaps and self.alone == ()

    @property
    def state(self) -> str:
        """``ready`` or ``not ready``; where signed on another machine of the kind only, that too."""
        if not self.ready:
            return "not ready"
        return "ready" if self.machine in self.seen_on or not self.seen_on else f"ready, signed on {', '.join(self.seen_on)}"


@dataclass(frozen=True)
class PersonLine:
    """One person: standing by lesson, and a line for each machine. ``hours`` and ``talks`` are those that count, by day."""

    person: Person
    role: Role
    standings: Mapping[str, Standing]
    machines: tuple[MachineLine, ...]
    last: str  # day of the latest result, '' for none
    hours: tuple[Hours, ...] = ()
    talks: tuple[Talk, ...] = ()

    @property
    def mentored(self) -> float:
        """Hours of seat time under a mentor."""
        return sum(h.hours for h in self.hours if h.mentor)

    @property
    def on_slopes(self) -> float:
        """Of these, hours on slopes."""
        return sum(h.hours for h in self.hours if h.mentor and h.slope)

    def count(self, *states: State) -> int:
        """How many of the lessons are in one of these states."""
        return sum(s.state in states for s in self.standings.values())


@dataclass(frozen=True)
class QuestionLine:
    """How a question of the current edition was answered over all results that count."""

    lesson: str
    title: str
    edition: str
    q: str
    ask: str
    must: bool
    answers: int
    right: int
    first_answers: int
    first_right: int
    mistake: str
    mistake_count: int

    @property
    def share(self) -> float:
        """Share right."""
        return self.right / self.answers if self.answers else 0.0


@dataclass(frozen=True)
class LessonLine:
    """A lesson: how it went at the first try, and whether it should be taught again."""

    lesson: str
    title: str
    people: int
    passed_first: int
    answers: int
    right: int
    hardest: str
    teach_again: bool


@dataclass(frozen=True)
class Readiness:
    """Everything the report says, as of ``day``. ``row`` is the register's last row with its chain; None where nothing came from it."""

    site: JobSite
    edition: str
    lessons: tuple[str, ...]  # every lesson a role needs, in the handbook's order
    titles: Mapping[str, str]
    people: tuple[PersonLine, ...]
    questions: tuple[QuestionLine, ...]
    taught: tuple[LessonLine, ...]
    tally: Tally
    latest: str
    day: datetime.date | None = None
    row: tuple[int, str] | None = None


def readiness(site: JobSite, tally: Tally) -> Readiness:
    """Work the readiness out of what was marked."""
    edition, editions = site.settings.edition, tally.editions
    current = {m.id: m for m in editions.lessons(edition)}
    titles = {m.lesson.id: m.lesson.title for m in tally.marked} | {i: m.title for i, m in current.items()}
    needed = dict.fromkeys(current)
    for role in site.settings.roles.values():
        needed.update(dict.fromkeys(role.lessons))
    wanted = {i for r in site.settings.roles.values() for i in r.lessons}
    lessons = tuple(i for i in needed if i in wanted)
    titles |= {i: editions.title(i) or i for i in lessons if i not in titles}
    by_person: dict[str, dict[str, list[Marked]]] = {}
    for m in tally.marked:
        by_person.setdefault(m.result.crew, {}).setdefault(m.lesson.id, []).append(m)
    signed = by_crew_and_lesson(tally.signoffs)
    people = tuple(_person(p, site, current, editions, by_person.get(p.id, {}), signed) for p in _by_role(site))
    latest = max((m.result.finished.date().isoformat() for m in tally.marked), default="")
    questions = _questions(tally.marked, editions, edition)
    return Readiness(site, edition, lessons, titles, people, questions, _taught(tally.marked, questions, titles, lessons),
                     tally, latest)  # fmt: skip


def _by_role(site: JobSite) -> list[Person]:
    roles = list(site.settings.roles)
    return sorted((p for p in site.crew if p.role in roles), key=lambda p: roles.index(p.role))


def _person(
    person: Person, site: JobSite, current: Mapping[str, LessonMarking], editions: Editions,
    results: Mapping[str, list[Marked]], signed: Mapping[tuple[str, str], list[SignOff]],
) -> PersonLine:  # fmt: skip
    role = site.settings.roles[person.role]
    standings = {
        i: _standing(i, current.get(i), editions, results.get(i, []), tuple(signed.get((person.id, i), ())), site.settings.units)
        for i in role.lessons
    }
    kinds = {m.id: m.kind for m in (*site.machines, *site.trucks)}
    seen = {s.machine for i in role.lessons for s in signed.get((person.id, i), ())}
    order = list(kinds)
    lines = tuple(
        MachineLine(
            m, kinds[m], tuple(_missing(kinds[m], role, standings, current, kinds)),
            tuple(sorted((x for x in seen if kinds.get(x) == kinds[m]), key=order.index)),
        )
        for m in person.machines if m in kinds
    )  # fmt: skip
    if role.on_foot:
        on_foot = tuple(_missing(ON_FOOT, role, standings, current, kinds))
        lines = (MachineLine(ON_FOOT, "no machine", on_foot),)
    last = max((m.result.finished.date().isoformat() for ms in results.values() for m in ms), default="")
    return PersonLine(person, role, standings, lines, last)


def _standing(
    lesson: str, current: LessonMarking | None, editions: Editions, tries: Sequence[Marked], signed: tuple[SignOff, ...], units: System
) -> Standing:
    passed = [m for m in tries if m.passed]
    best = max(tries, key=lambda m: (m.right / m.of, m.result.finished), default=None)
    if current is None:
        return Standing(lesson, "no quiz", best, len(tries), signed)
    gone: tuple[str, ...] = ()
    holding = [m for m in passed if editions.changed(m.lesson, current) == []]
    if holding:
        good = signed
        if len(holding) < len(passed):  # whoever was signed while other numbers held has yet to show it by these
            since = (holding[0].result.finished - WEST).date()
            good = tuple(s for s in signed if s.day >= since)
        state: State = "ready" if good else "sign-off missing"
        return Standing(lesson, state, holding[-1], len(tries), good, outdated=bool(signed) and not good)
    for m in reversed(passed):
        found = editions.changed(m.lesson, current)
        # without the ledger nobody can say that the numbers still hold
        gone = (
            gone
            or tuple(dict.fromkeys(f"{c.words}: {texts(c.old, units, 3)} is now {texts(c.new, units, 3)}" for c in found or ()))
            or ("its ledger is missing",)
        )
    if passed:
        return Standing(lesson, "take again", passed[-1], len(tries), signed, gone)
    return Standing(lesson, "not passed" if tries else "not taken", best, len(tries), signed)


def _missing(
    kind: str, role: Role, standings: Mapping[str, Standing], current: Mapping[str, LessonMarking], kinds: Mapping[str, str]
) -> list[tuple[str, State, str]]:
    out: list[tuple[str, State, str]] = []
    for id_, standing in standings.items():
        about = current[id_].about if id_ in current else "any"
        others = {k for k in role.machines if k != kind}
        if about in others:  # a lesson about another machine of this role
            continue
        if standing.state == "ready" and about == kind and not any(kinds.get(s.machine) == kind for s in standing.signed):
            out.append((id_, "sign-off missing", "sign-off missing (seen on another kind of machine only)"))
        elif standing.state != "ready":
            out.append((id_, standing.state, standing.words))
    if kind != ON_FOOT and not any(works(current[i].about, kind) for i in role.lessons if i in current):
        # sums about a machine make nobody fit to work it
        out.append((f"working {a(kind)}", "no lesson", "no lesson about it in the role"))
    return out


def _questions(marked: Sequence[Marked], editions: Editions, edition: str) -> tuple[QuestionLine, ...]:
    """Figures by question: of the current edition, and of older ones where results came in."""
    rows: dict[tuple[str, str, str], list[tuple[bool, bool, str]]] = {}
    asks: dict[tuple[str, str, str], tuple[LessonMarking, str, bool]] = {}
    seen: set[tuple[str, str]] = set()
    for m in sorted(marked, key=lambda m: (m.result.finished, m.result.where)):
        first = (m.result.crew, m.lesson.id) not in seen
        seen.add((m.result.crew, m.lesson.id))
        for answer, q in zip(m.answers, m.asked, strict=True):
            key = (m.lesson.edition, m.lesson.id, answer.q)
            rows.setdefault(key, []).append((answer.right, first, answer.mistake))
            asks[key] = (m.lesson, str(q["ask"]), bool(q["must"]))
    order = {m.id: i for i, m in enumerate(editions.lessons(edition))}
    out = []
    for key in sorted(rows, key=lambda k: (k[0] != edition, k[0], order.get(k[1], len(order)), k[1], k[2])):
        lesson, ask, must = asks[key]
        found = rows[key]
        mistakes = Counter(mistake for right, _, mistake in found if not right)
        mistake, count = min(mistakes.items(), key=lambda x: (-x[1], x[0]), default=("", 0))
        out.append(
            QuestionLine(
                lesson.id, lesson.title, key[0], key[2], ask, must, len(found), sum(r for r, _, _ in found),
                sum(f for _, f, _ in found), sum(r for r, f, _ in found if f), mistake, count,
            )
        )  # fmt: skip
    return tuple(out)


def _taught(
    marked: Sequence[Marked], questions: Sequence[QuestionLine], titles: Mapping[str, str], lessons: Sequence[str]
) -> tuple[LessonLine, ...]:
    first: dict[tuple[str, str], Marked] = {}
    for m in sorted(marked, key=lambda m: (m.result.finished, m.result.where)):
        first.setdefault((m.result.crew, m.lesson.id), m)
    out = []
    found = {m.lesson.id for m in marked}
    for id_ in (*(i for i in lessons if i in found), *sorted(found - set(lessons))):
        firsts = [m for (_, i), m in first.items() if i == id_]
        answers, right = sum(m.of for m in firsts), sum(m.right for m in firsts)
        own = [q for q in questions if q.lesson == id_]
        hardest = min(own, key=lambda q: (q.share, q.q))
        passed = sum(m.passed for m in firsts)
        # half of them missing it at the first try says more about the lesson than about them
        again = len(firsts) >= 2 and 2 * passed < len(firsts)
        out.append(LessonLine(id_, titles.get(id_, id_), len(firsts), passed, answers, right, hardest.q, again))
    return tuple(out)
