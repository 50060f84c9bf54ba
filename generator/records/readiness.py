"""Who may have seat time on which machine, what is missing, and which lesson to teach again."""

from __future__ import annotations

import calendar
import datetime
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from generator.jobsite.classes import class_of
from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite, Person, Role, a, works
from generator.language.words import mark, said
from generator.records.editions import Editions, LessonMarking, texts
from generator.records.judge import WEST
from generator.records.mark import Marked
from generator.records.signoffs import SignOff, by_crew_and_lesson
from generator.records.tally import Tally
from generator.records.told import Hours, Retrain, Talk
from generator.units.table import System
from generator.units.writing import pointed

State = Literal[
    "ready", "sign-off missing", "take again", "lapsed", "train again", "held", "not passed", "not taken", "no quiz", "no lesson",
]  # fmt: skip
STATES: Mapping[State, str] = {
    "ready": mark("passed and signed off"),
    "sign-off missing": mark("passed, but no mentor has signed"),
    "take again": mark("passed on numbers that no longer hold"),
    "lapsed": mark("passed and signed, but too long ago"),
    "train again": mark("an order to train again stands"),
    "held": mark("handed in, and disputed: the coordinator has to say which counts"),
    "not passed": mark("taken, not passed"),
    "not taken": mark("not taken yet"),
    "no quiz": mark("the handbook has no such lesson yet"),
    "no lesson": mark("the role has no lesson about working the machine"),
}


# the states themselves are printed too, each through the catalogue
STATES_SAID = (
    mark("ready"), mark("sign-off missing"), mark("take again"), mark("lapsed"), mark("train again"), mark("held"), mark("not passed"),
    mark("not taken"), mark("no quiz"), mark("no lesson"), mark("no machine"),
)  # fmt: skip


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
        out = said(self.state)
        if self.state == "not passed" and self.best is not None:
            out = said("{state}, {right} of {of}", state=out, right=self.best.right, of=self.best.of)
            if self.best.missed_must:
                first, *more = self.best.missed_must
                for q in more:
                    first = said("{some} and {last}", some=first, last=q)
                out = said("{state}, missed {questions}, which must be right", state=out, questions=first)
        if self.state == "sign-off missing" and self.outdated:
            out = said("{state} (signed when older numbers held)", state=out)
        if self.state != "ready" and self.state != "sign-off missing" and self.signed:
            out = said("{state}, signed off", state=out)
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
            return said("not ready")
        if self.machine in self.seen_on or not self.seen_on:
            return said("ready")
        return said("ready, signed on {machines}", machines=", ".join(self.seen_on))


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


def readiness(site: JobSite, tally: Tally, day: datetime.date | None = None, row: tuple[int, str] | None = None) -> Readiness:
    """Work the readiness out of what counts, for a site as it stands on ``day`` (else that of the latest result)."""
    edition, editions = site.settings.edition, tally.editions
    current = {m.id: m for m in editions.lessons(edition)}
    titles = {m.lesson.id: m.lesson.title for m in tally.marked} | {i: m.title for i, m in current.items()}
    needed = dict.fromkeys(current)
    for role in site.settings.roles.values():
        needed.update(dict.fromkeys(role.lessons))
    wanted = {i for r in site.settings.roles.values() for i in r.lessons}
    lessons = tuple(i for i in needed if i in wanted)
    titles |= {i: editions.title(i) or i for i in lessons if i not in titles}
    latest = max((m.result.finished.date().isoformat() for m in tally.marked), default="")
    about = _About(site, current, tally, day or (datetime.date.fromisoformat(latest) if latest else datetime.date.min))
    people = tuple(about.person(p) for p in _by_role(site))
    questions = _questions(tally.marked, editions, edition)
    return Readiness(site, edition, lessons, titles, people, questions, _taught(tally.marked, questions, titles, lessons),
                     tally, latest, day, row)  # fmt: skip


def _by_role(site: JobSite) -> list[Person]:
    roles = list(site.settings.roles)
    return sorted((p for p in site.crew if p.role in roles), key=lambda p: roles.index(p.role))


def months_on(day: datetime.date, months: int) -> datetime.date:
    """The same day some months on; the month's last where it has no such day."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return datetime.date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


# the kinds of machines as they stand in a sentence; a kind itself is data and the same in every language
_ONE: Mapping[str, str] = {
    "dozer": mark("a dozer"), "excavator": mark("an excavator"), "compact excavator": mark("a compact excavator"),
    "truck": mark("a truck"),
}  # fmt: skip


def _one(kind: str) -> str:
    return said(_ONE[kind]) if kind in _ONE else a(kind)


class _About:
    """What everybody's standing is worked out from."""

    def __init__(self, site: JobSite, current: Mapping[str, LessonMarking], tally: Tally, day: datetime.date) -> None:
        self.site, self.current, self.tally, self.day = site, current, tally, day
        self.rules, self.editions = site.settings.records, tally.editions
        rows = (*site.machines, *site.trucks)
        self.kinds = {m.id: m.kind for m in rows}
        self.classes = {m.id: class_of(m, self.rules) for m in rows}
        self.marked: dict[tuple[str, str], list[Marked]] = {}
        for m in tally.marked:
            self.marked.setdefault((m.result.crew, m.lesson.id), []).append(m)
        self.held = {(m.result.crew, m.lesson.id) for m in tally.held}
        self.signed = by_crew_and_lesson(tally.signoffs)
        self.by_crew: dict[str, list[Hours]] = {}
        for h in tally.hours:
            self.by_crew.setdefault(h.crew, []).append(h)

    def person(self, person: Person) -> PersonLine:
        role = self.site.settings.roles[person.role]
        standings = {i: self.standing(person, role, i) for i in role.lessons}
        seen = {s.machine: self.kind_of(s) for i in role.lessons for s in self.signed.get((person.id, i), ())}
        order = list(self.kinds)
        hours = tuple(self.by_crew.get(person.id, ()))
        lines = tuple(
            MachineLine(
                m, self.kinds[m], tuple(self.missing(m, self.kinds[m], role, standings)),
                tuple(sorted((x for x, k in seen.items() if self.kinds.get(x) == k == self.kinds[m]), key=order.index)), self.classes[m],
                self.alone(m, self.kinds[m], role, standings, hours),
            )
            for m in person.machines if m in self.kinds
        )  # fmt: skip
        if role.on_foot:
            lines = (MachineLine(ON_FOOT, "no machine", tuple(self.missing(ON_FOOT, ON_FOOT, role, standings))),)
        tries = [m for (c, _), ms in self.marked.items() if c == person.id for m in ms]
        last = max((m.result.finished.date().isoformat() for m in tries), default="")
        talks = tuple(sorted((t for t in self.tally.talks if t.crew == person.id), key=lambda t: (t.day, t.lesson)))
        return PersonLine(person, role, standings, lines, last, hours, talks)

    def ordered(self, person: Person, lesson: str) -> Retrain | None:
        """The latest order to train this person again in the lesson."""
        found = [o for o in self.tally.orders if o.crew == person.id and o.lesson in {"", lesson} and o.day <= self.day]
        return max(found, key=lambda o: o.day, default=None)

    def standing(self, person: Person, role: Role, lesson: str) -> Standing:
        tries = self.marked.get((person.id, lesson), [])
        signed = tuple(self.signed.get((person.id, lesson), ()))
        made = _standing(lesson, self.current.get(lesson), self.editions, tries, signed, self.site.settings.units)
        passed = [m for m in tries if m.passed]
        failed = [m for m in tries if passed and not m.passed and m.result.finished > passed[-1].result.finished]
        made = replace(made, history=tuple(tries), failed_since=failed[0].result.finished.date() if failed else None)
        order = self.ordered(person, lesson)
        if order is not None and passed and made.state in {"ready", "sign-off missing", "take again"}:
            # an order does not hide that the lesson had lapsed before it
            until = self.valid(made, role).until if made.state == "ready" else None
            made = self.after(order, made)
            if made.state == "train again":
                made = replace(made, until=until)
        if made.state == "ready":
            made = self.valid(made, role)
        if made.state in {"not taken", "not passed"} and (person.id, lesson) in self.held:
            made = replace(made, state="held")
        return made

    def after(self, order: Retrain, made: Standing) -> Standing:
        """The standing with what was passed and signed up to the order's day taken away."""
        good = tuple(s for s in made.signed if s.day > order.day)
        since = [m for m in made.history if m.passed and m.result.finished.date() > order.day]
        if made.best is None or not since:
            return replace(made, state="train again", signed=good, ordered=order)
        if made.state == "ready" and not good:
            return replace(made, state="sign-off missing", signed=(), ordered=order)
        return replace(made, signed=good)

    def valid(self, made: Standing, role: Role) -> Standing:
        """The standing with the day until which it holds: of quiz and sign-off the one that ends first."""
        months = self.rules.months(made.lesson, role)
        if months is None or made.best is None:
            return made
        until = min(months_on(made.best.result.finished.date(), months), months_on(max(s.day for s in made.signed), months))
        if self.day > until:
            return replace(made, state="lapsed", until=until)
        return replace(made, until=until, due=(until - self.day).days <= self.rules.due_days)

    def missing(self, machine: str, kind: str, role: Role, standings: Mapping[str, Standing]) -> list[tuple[str, State, str]]:
        """What is missing before seat time on a machine."""
        out: list[tuple[str, State, str]] = []
        for id_, standing in standings.items():
            about = self.current[id_].about if id_ in self.current else "any"
            others = {k for k in role.machines if k != kind}
            if about in others:  # a lesson about another machine of this role
                continue
            if standing.state == "ready" and about == kind:
                here = [s for s in standing.signed if self.kind_of(s) == kind]
                if not here:
                    out.append((id_, "sign-off missing", said("sign-off missing (seen on another kind of machine only)")))
                    continue
                if self.rules.class_only:
                    here = [s for s in here if self.class_of(s) == self.classes.get(machine, "")]
                    if not here:
                        out.append((id_, "sign-off missing", said("sign-off missing (seen on another class of machine only)")))
                        continue
                months = self.rules.months(id_, role)
                if months is not None and self.day > months_on(max(s.day for s in here), months):
                    last = max(s.day for s in here)
                    out.append(
                        (id_, "lapsed", said("lapsed: last signed off on {machine} of this class on {day}", machine=_one(kind), day=last))
                    )
            elif standing.state != "ready":
                out.append((id_, standing.state, standing.words))
        if not self.rules.seat_time_signed:
            out = [x for x in out if x[1] != "sign-off missing"]
        if kind != ON_FOOT and not any(works(self.current[i].about, kind) for i in role.lessons if i in self.current):
            # sums about a machine make nobody fit to work it
            out.append((said("working {machine}", machine=_one(kind)), "no lesson", said("no lesson about it in the role")))
        return out

    def kind_of(self, s: SignOff) -> str:
        """The kind of machine it was signed on, whatever bears its id now."""
        return s.kind or self.kinds.get(s.machine, "")

    def class_of(self, s: SignOff) -> str:
        return s.machine_class or self.classes.get(s.machine, "")

    def alone(
        self, machine: str, kind: str, role: Role, standings: Mapping[str, Standing], hours: Sequence[Hours]
    ) -> tuple[str, ...] | None:
        """What is missing before the person works the machine alone, beside what is missing before seat time."""
        if role.hours is None and role.slope_hours is None and self.rules.seat_time_signed:
            return None
        out = []
        mentored = [h for h in hours if h.mentor and h.kind == kind]
        for wanted, found, words in (
            (role.hours, sum(h.hours for h in mentored), mark("{done} of {needed} hours under a mentor")),
            (role.slope_hours, sum(h.hours for h in mentored if h.slope), mark("{done} of {needed} hours on slopes under a mentor")),
        ):
            if wanted is not None and found < wanted:
                out.append(said(words, done=pointed(f"{found:g}"), needed=pointed(f"{wanted:g}")))
        if not self.rules.seat_time_signed:
            about = {i: self.current[i].about if i in self.current else "any" for i in standings}
            out += [
                said("{lesson}: sign-off missing", lesson=i)
                for i, s in standings.items()
                if s.state == "sign-off missing" and about[i] in {"any", kind}
            ]
        return tuple(out)


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
            or tuple(
                dict.fromkeys(
                    said("{number}: {old} is now {new}", number=c.words, old=texts(c.old, units, 3), new=texts(c.new, units, 3))
                    for c in found or ()
                )
            )
            or (said("its ledger is missing"),)
        )
    if passed:
        return Standing(lesson, "take again", passed[-1], len(tries), signed, gone)
    return Standing(lesson, "not passed" if tries else "not taken", best, len(tries), signed)


def _questions(marked: Sequence[Marked], editions: Editions, edition: str) -> tuple[QuestionLine, ...]:
    """Figures by question: of the current edition, and of older ones where results came in."""
    rows: dict[tuple[str, str, str], list[tuple[bool, bool, str]]] = {}
    asks: dict[tuple[str, str, str], tuple[LessonMarking, str, bool]] = {}
    seen: set[tuple[str, str]] = set()
    for m in sorted(marked, key=lambda m: (m.result.finished, m.result.where)):
        first = (m.result.crew, m.lesson.id) not in seen
        seen.add((m.result.crew, m.lesson.id))
        asked = editions.questions(m.lesson)
        for answer in m.answers:
            key = (m.lesson.edition, m.lesson.id, answer.q)
            rows.setdefault(key, []).append((answer.right, first, answer.mistake))
            q = asked.get(answer.q, {"ask": answer.q, "must": False})
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
