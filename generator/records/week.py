"""What a coordinator has to do this week, drawn from the readiness: most urgent first, whole lists, no words for a page."""

from __future__ import annotations

import datetime
from collections import Counter
from dataclasses import dataclass

from generator.records.flags import Flag
from generator.records.mark import Marked
from generator.records.readiness import PersonLine, Readiness
from generator.records.told import Retrain, Talk

HOLDS = ("ready", "sign-off missing")  # states in which a pass still holds, so that its end matters


@dataclass(frozen=True)
class Held:
    """A disputed result with the flags that say why; ``counts`` and ``void`` are the lines that settle it, '' without a row."""

    marked: Marked
    why: tuple[Flag, ...]

    @property
    def row(self) -> int | None:
        """The row of the register, which a correction names."""
        return self.marked.entry

    def line(self, says: str) -> str:
        """The line of corrections.csv that says ``counts`` or ``void`` of it, with two words left to fill in; '' without a row."""
        return "" if self.row is None else f"{self.row},{says},WHO,WHY"


@dataclass(frozen=True)
class Due:
    """A lesson of a person that ends soon, or has ended. ``left`` is in days, below 0 once it has; None where no day is known."""

    who: PersonLine
    lesson: str
    until: datetime.date | None
    left: int | None
    lapsed: bool


@dataclass(frozen=True)
class Again:
    """An order to train again that stands, with the lessons of the person's role that it takes away."""

    who: PersonLine
    lessons: tuple[str, ...]
    order: Retrain | None


@dataclass(frozen=True)
class Failed:
    """A lesson failed on ``day`` after it was passed."""

    who: PersonLine
    lesson: str
    day: datetime.date


@dataclass(frozen=True)
class ToSign:
    """What a mentor for one kind of machine can sign for a person; ``last`` says that nothing else is missing on these machines."""

    kind: str
    who: PersonLine
    machines: tuple[str, ...]
    lessons: tuple[str, ...]
    last: bool


@dataclass(frozen=True)
class Elsewise:
    """Lessons that a person passed in another language than the crew table says. ``told`` is false where the try does not tell
    its language, which is then taken for the site's main one."""

    who: PersonLine
    lessons: tuple[str, ...]
    language: str
    told: bool


@dataclass(frozen=True)
class Heard:
    """Sign-offs and talks in a language that is not the person's own: lessons a mentor signed for in it, and talks held in it."""

    who: PersonLine
    language: str
    signed: tuple[str, ...]
    talks: tuple[Talk, ...]


@dataclass(frozen=True)
class Week:
    """All that is to be done, each list whole and most urgent first."""

    held: tuple[Held, ...]
    again: tuple[Again, ...]
    failed: tuple[Failed, ...]
    due: tuple[Due, ...]  # lapsed ones first
    sign: tuple[ToSign, ...]
    flags: tuple[tuple[str, int, int], ...]  # kind, how many, of which count
    languages: tuple[Elsewise, ...] = ()  # to be looked at, and no bar
    heard: tuple[Heard, ...] = ()  # neither is this

    @property
    def lapsed(self) -> int:
        """How many of the due lessons have ended."""
        return sum(d.lapsed for d in self.due)

    @property
    def sign_offs(self) -> int:
        """How many lessons wait for a mentor's signature."""
        return sum(len(s.lessons) for s in self.sign)


def week(r: Readiness) -> Week:
    """What there is to do as of ``r.day``."""
    return Week(_held(r), _again(r), _failed(r), _due(r), _sign(r), _flags(r), _languages(r), _heard(r))


def _held(r: Readiness) -> tuple[Held, ...]:
    by_place: dict[str, list[Flag]] = {}
    for f in r.tally.flags:
        by_place.setdefault(f.where, []).append(f)
    # the two sides of a dispute stand together: same lesson, same time
    held = sorted(r.tally.held, key=lambda m: (m.result.finished, m.lesson.id, m.result.crew, m.result.where))
    return tuple(Held(m, tuple(f for f in by_place.get(m.result.where, ()) if not f.counted)) for m in held)


def _again(r: Readiness) -> tuple[Again, ...]:
    found: dict[tuple[str, Retrain | None], tuple[PersonLine, list[str]]] = {}
    for p in r.people:
        for s in p.standings.values():
            if s.state == "train again":
                found.setdefault((p.person.id, s.ordered), (p, []))[1].append(s.lesson)
    made = [Again(p, tuple(lessons), order) for (_, order), (p, lessons) in found.items()]
    return tuple(sorted(made, key=lambda a: a.order.day if a.order else datetime.date.min))


def _failed(r: Readiness) -> tuple[Failed, ...]:
    found = [Failed(p, s.lesson, s.failed_since) for p in r.people for s in p.standings.values() if s.failed_since is not None]
    return tuple(sorted(found, key=lambda f: f.day, reverse=True))


def _due(r: Readiness) -> tuple[Due, ...]:
    within = r.site.settings.records.due_days
    out = []
    for p in r.people:
        for s in p.standings.values():
            left = (s.until - r.day).days if s.until is not None and r.day is not None else None
            near = s.state in HOLDS and (s.due or (left is not None and left <= within))
            if near or s.state == "lapsed":
                out.append(Due(p, s.lesson, s.until, left, s.state == "lapsed"))
    return tuple(sorted(out, key=lambda d: (not d.lapsed, d.until or datetime.date.min)))


def _sign(r: Readiness) -> tuple[ToSign, ...]:
    out = []
    for p in r.people:
        taken: set[str] = set()  # one signature does for all kinds, but for a lesson about working one of them
        by_kind: dict[str, tuple[list[str], list[str], list[bool]]] = {}
        for m in p.machines:
            machines, lessons, last = by_kind.setdefault(m.kind, ([], [], []))
            machines.append(m.machine)
            last.append(bool(m.gaps) and all(state == "sign-off missing" for _, state, _ in m.gaps))
            for id_, state, words in m.gaps:
                own = id_ not in p.standings or words != p.standings[id_].words
                if state == "sign-off missing" and id_ not in lessons and (own or id_ not in taken):
                    lessons.append(id_)
                    taken.add(id_)
        out += [
            ToSign(kind, p, tuple(machines), tuple(lessons), all(last))
            for kind, (machines, lessons, last) in by_kind.items() if lessons
        ]  # fmt: skip
    kinds = Counter(s.kind for s in out)
    return tuple(sorted(out, key=lambda s: (not s.last, -kinds[s.kind], s.kind, len(s.lessons))))


def _flags(r: Readiness) -> tuple[tuple[str, int, int], ...]:
    every, counted = Counter(f.name for f in r.tally.flags), Counter(f.name for f in r.tally.flags if f.counted)
    return tuple((name, n, counted[name]) for name, n in every.most_common())


def _languages(r: Readiness) -> tuple[Elsewise, ...]:
    """By person: what the try that a lesson's standing rests on was taken in, where the crew table names another language."""
    return tuple(x for p in r.people for x in _languages_of(r, p))


def _languages_of(r: Readiness, p: PersonLine) -> list[Elsewise]:
    main = r.site.settings.languages[0]
    found: dict[tuple[str, bool], list[str]] = {}
    for s in p.standings.values() if p.person.language else ():
        if s.best is None or not s.best.passed:
            continue
        told = s.best.result.language
        if (told or main) != p.person.language:
            found.setdefault((told or main, bool(told)), []).append(s.lesson)
    return [Elsewise(p, tuple(lessons), language, told) for (language, told), lessons in found.items()]


def _heard(r: Readiness) -> tuple[Heard, ...]:
    """By person and language, where that is told and is not the one of the crew table; there the main one stands for what is not told."""
    out = []
    for p in r.people:
        own = p.person.language or r.site.settings.languages[0]
        signed: dict[str, list[str]] = {}
        for s in p.standings.values():
            for code in dict.fromkeys(x.language for x in s.signed):
                signed.setdefault(code, []).append(s.lesson)
        for code in sorted({*signed, *(t.language for t in p.talks)} - {"", own}):
            out.append(Heard(p, code, tuple(signed.get(code, ())), tuple(t for t in p.talks if t.language == code)))
    return tuple(out)


def in_another_language(r: Readiness, p: PersonLine) -> int:
    """How many lessons a person passed in another language than the crew table says."""
    return sum(len(x.lessons) for x in _languages_of(r, p))


def kinds_of_people(w: Week) -> dict[str, tuple[int, int]]:
    """By kind of machine: how many people a mentor for it can sign for, and how many lessons."""
    out: dict[str, tuple[int, int]] = {}
    for s in w.sign:
        people, lessons = out.get(s.kind, (0, 0))
        out[s.kind] = (people + 1, lessons + len(s.lessons))
    return out


def states_of(p: PersonLine, w_due: set[str], w_held: set[str]) -> tuple[str, ...]:
    """What a person can be looked for by; ``w_due`` and ``w_held`` are the ids of people with something due or held."""
    out = []
    if p.machines and all(m.ready for m in p.machines):
        out.append("ready")
    elif p.machines:
        out.append("not-ready")
    if p.machines and all(m.ready_alone for m in p.machines):
        out.append("alone")
    if p.person.id in w_due:
        out.append("due")
    if p.person.id in w_held:
        out.append("held")
    states = {s.state for s in p.standings.values()}
    out += [state.replace(" ", "-") for state in ("lapsed", "train again", "take again") if state in states]
    if any(state == "sign-off missing" for m in p.machines for _, state, _ in m.gaps):
        out.append("sign-off")
    if any(s.failed_since is not None for s in p.standings.values()):
        out.append("failed")
    return tuple(out)
