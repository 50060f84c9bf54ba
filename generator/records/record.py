"""The record of one person, and of one lesson: who was trained on what, when, by whom, on which numbers, until when.

Everything is taken from a ``Readiness``, as of its day. Names stand beside the ids only here, at the end: ``names`` gives
those that the register holds, and an id without a name stays an id.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from generator.jobsite.columns import LIMITS, ON_FOOT
from generator.jobsite.model import Person
from generator.language.words import tr
from generator.records.changed import OF_THE_PAST, TableChange
from generator.records.editions import Change
from generator.records.mark import Marked
from generator.records.readiness import STATES, MachineLine, PersonLine, Readiness, Standing, State
from generator.records.signoffs import SignOff
from generator.records.told import REASONS, SAYS, Hours, Retrain
from generator.records.wording import worded
from generator.source.near import suggest
from generator.source.problem import Refusal
from generator.units.table import System
from generator.units.writing import counted

MOST_NUMBERS = 3  # of a lesson, on a record
MOST_TAUGHT = 10  # and on the record of the lesson itself
LATE = datetime.timedelta(days=7)  # after its own day a row is told as taken in late
MOST_SEALED = 80  # characters of the ids in a seal; more machines are counted
NOT_TO_WORK_BY = "(not a"  # how a caution begins that a lesson prints behind a figure: (not a safe limit)
Names = Mapping[str, str]
_UNITS = frozenset({"feet", "inches", "value"})  # columns that say no more than the figure does
_WORDS = frozenset(f"limits.{c.name}" for c in LIMITS if not c.is_quantity)  # who set them, and whom to call


class NoRecord(Refusal):
    """Nobody and no lesson of this id has a record."""

    code = "no-record"


@dataclass(frozen=True, slots=True)
class Head:
    """What every record begins with. ``row`` is the register's last row with its chain, None where nothing came from it."""

    site: str
    key: str
    invented: bool
    paper: str
    edition: str
    contractor: str
    number: str
    place: str
    day: datetime.date | None
    row: tuple[int, str] | None
    begun: datetime.date | None = None  # the day of the register's first row
    languages: tuple[str, ...] = ("en",)  # of the handbook, the main one first


@dataclass(frozen=True, slots=True)
class Number:
    """A number that a lesson taught, as it printed it in the site's own units."""

    words: str
    text: str


@dataclass(frozen=True, slots=True)
class Try:
    """A try at a quiz that counts. ``minutes`` is None where its begin is not known; ``origin`` how it was handed in."""

    day: datetime.date
    edition: str
    figures: str
    right: int
    of: int
    passed: bool
    minutes: float | None
    origin: str
    told: bool
    entry: int | None
    late: datetime.date | None = None  # the day it was taken in, where that is long after its own
    language: str = ""  # the code of the language it was taken in, where that was told
    tell: bool = False  # that language: the handbook has several, or another one

    @property
    def marked(self) -> str:
        """Who marked it."""
        if self.told:
            return tr("told by a short code, not marked again")
        return tr("on paper, marked again here") if self.origin == "paper" else tr("marked again here")


@dataclass(frozen=True, slots=True)
class Signed:
    """What a mentor saw, once: several lessons may be signed on one sheet. ``counts`` are those that count today.

    ``mentor`` is the name with the id, ``short`` the name alone.
    """

    day: datetime.date
    mentor: str
    short: str
    machine: str
    kind: str
    machine_class: str
    conditions: str
    hours: float | None
    sheet: str
    lessons: tuple[str, ...]
    counts: tuple[str, ...]
    entries: tuple[int, ...]
    late: datetime.date | None = None
    language: str = ""  # the code of the one the mentor spoke, where that was told and is not the person's own


@dataclass(frozen=True, slots=True)
class LessonPart:
    """One lesson of a person. ``held`` is the try that says so, ``before`` are the other passes; ``needed`` by the role."""

    lesson: str
    title: str
    state: State | None
    words: str
    held: Try | None
    before: tuple[Try, ...]
    tries: int
    numbers: tuple[Number, ...] | None  # None where the ledger of its edition is not kept
    changed: tuple[str, ...]
    until: datetime.date | None
    due: bool
    failed_since: datetime.date | None
    ordered: Retrain | None
    signed: tuple[Signed, ...]
    needed: bool


@dataclass(frozen=True, slots=True)
class MachinePart:
    """Machines of a person that the same is missing on. ``gaps`` are by state; ``alone`` is None without a rule for it."""

    machines: tuple[str, ...]
    classes: tuple[str, ...]  # those of the machines, where the site has classes
    kind: str
    state: str
    ready: bool
    ready_alone: bool
    gaps: tuple[tuple[State, tuple[str, ...]], ...]
    alone: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class SeatTime:
    """Seat time on one machine: hours in all, of these under a mentor, and of those on slopes."""

    machine: str
    kind: str
    first: datetime.date
    last: datetime.date
    hours: float
    mentored: float
    slopes: float
    mentors: tuple[str, ...]
    tasks: tuple[str, ...]
    late: tuple[datetime.date, ...] = ()


@dataclass(frozen=True, slots=True)
class Talks:
    """The talks of one lesson that a person attended: day, number of the sheet, leader; ``late`` are, by their place, the days
    they were taken in, where that was long after, and ``language`` the codes of those held in another than the person's own."""

    title: str
    held: tuple[tuple[datetime.date, str, str], ...]
    late: Mapping[int, datetime.date] = field(default_factory=dict)
    language: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Order:
    """An order to train again. ``open`` says that it still stands."""

    day: datetime.date
    what: str
    why: str
    open: bool
    entry: int | None
    late: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """A correction of what stands here: which row or id, what is said of it, by whom, why."""

    day: datetime.date
    about: str
    says: str
    by: str
    why: str
    entry: int | None
    late: datetime.date | None = None
    undone: bool = False


@dataclass(frozen=True)
class PersonRecord:
    """Everything about one person, as of a day. ``known`` says that the person is of the crew on that day."""

    head: Head
    id: str
    name: str
    former: tuple[str, ...]
    role: str
    role_from: datetime.date | None
    start: datetime.date | None
    left: datetime.date | None
    known: bool
    lessons: tuple[LessonPart, ...]
    machines: tuple[MachinePart, ...]
    signed: tuple[Signed, ...]
    seat: tuple[SeatTime, ...]
    hours_needed: float | None
    slopes_needed: float | None
    talks: tuple[Talks, ...]
    orders: tuple[Order, ...]
    said: tuple[Said, ...]
    held: tuple[tuple[str, datetime.date], ...]  # disputed tries: title of the lesson, day
    flagged: int  # things handed in under this id that do not count
    rows: int = 0  # of the register that this record rests on
    later: tuple[int, datetime.date] | None = None  # of these not yet in the register on the day of the record; the last day one came in
    once: datetime.date | None = None  # the day they all were taken in, where that was one day long after
    doubt: str = ""  # why it is not known whose the rows under this id are; none of them is told then
    left_out: tuple[str, ...] = ()  # what is flagged, each in words
    changes: tuple[TableChange, ...] = ()  # in the tables, of what this record rests on
    language: str = ""  # the code of that the person is taught in, by the crew table

    @property
    def who(self) -> str:
        """Name and id; the id alone where the name was taken out."""
        return named(self.name, self.id)

    @property
    def needed(self) -> tuple[LessonPart, ...]:
        """The lessons of the role."""
        return tuple(p for p in self.lessons if p.needed)

    @property
    def passed(self) -> int:
        """How many lessons of the role are passed on numbers that hold, signed or not."""
        return sum(p.state in {"ready", "sign-off missing"} for p in self.needed)

    @property
    def ready(self) -> tuple[str, ...]:
        """Machines with nothing missing before seat time."""
        return tuple(m for p in self.machines if p.ready for m in p.machines)

    @property
    def ready_alone(self) -> tuple[str, ...]:
        """Machines with nothing missing before the person works them alone."""
        return tuple(m for p in self.machines if p.ready_alone for m in p.machines)

    @property
    def until(self) -> datetime.date | None:
        """The first day on which something that holds comes to its end; None where nothing does."""
        return min((p.until for p in self.needed if p.until and p.state == "ready"), default=None)

    def facts(self, digest: str) -> dict[str, Any]:
        """What the record's seal says, short enough for a code that a phone reads. ``digest`` is that of the page's text."""
        out: dict[str, Any] = {
            "site": self.head.key, "id": self.id, "day": str(self.head.day or ""), "role": self.role,
            "lessons": f"{sum(p.state == 'ready' for p in self.needed)} of {len(self.needed)}", "digest": digest,
        }  # fmt: skip
        if self.name:
            out["name"] = self.name
        for key, machines in (("seat time", self.ready), ("alone", self.ready_alone)):
            said = " ".join(machines)
            out[key] = said if len(said) <= MOST_SEALED else f"{len(machines)} machines"
        if self.until:
            out["until"] = str(self.until)
        if self.head.row:
            out["row"], out["chain"] = self.head.row[0], self.head.row[1][:16]
        return out

    @property
    def trained_by(self) -> tuple[str, ...]:
        """All who trained or evaluated: mentors who signed, mentors of seat time, leaders of talks."""
        found = [s.mentor for s in self.signed] + [m for s in self.seat for m in s.mentors] + [t[2] for x in self.talks for t in x.held]
        return tuple(dict.fromkeys(f for f in found if f))

    @property
    def kinds(self) -> tuple[str, ...]:
        """What kinds of training stand here."""
        found = {
            tr("lessons of the handbook, each with a quiz"): any(p.tries for p in self.lessons),
            tr("work watched and signed for by a mentor"): bool(self.signed),
            tr("seat time under a mentor"): any(s.mentored for s in self.seat),
            tr("tailgate talks"): bool(self.talks),
        }
        return tuple(k for k, there in found.items() if there)

    @property
    def quiz_minutes(self) -> float:
        """Minutes at the quizzes of the tries shown, where known."""
        return sum(t.minutes or 0 for p in self.lessons for t in ((p.held, *p.before) if p.held else p.before))

    @property
    def watched(self) -> float:
        """Hours that mentors watched, where they wrote them down."""
        return sum(s.hours or 0 for s in self.signed)


@dataclass(frozen=True, slots=True)
class Trained:
    """One person in the record of a lesson. ``at`` is the place of the numbers it was passed on, from 0."""

    id: str
    name: str
    role: str
    part: LessonPart
    at: int | None
    once: datetime.date | None = None  # the day on which all rows of the person were taken in, where that was late
    left: datetime.date | None = None  # by the day of the record


@dataclass(frozen=True, slots=True)
class Taught:
    """The numbers that one edition taught: ``figures`` tells them from those of the edition built again; ``people`` passed on them.

    ``holds`` says whether they are those of the edition of today.
    """

    edition: str
    figures: str
    numbers: tuple[Number, ...] | None
    worked_for: str
    holds: str
    people: int


@dataclass(frozen=True)
class LessonRecord:
    """Everything about one lesson, as of a day."""

    head: Head
    lesson: str
    title: str
    trained: tuple[Trained, ...]  # passed it, by day
    lacking: tuple[Trained, ...]  # need it and have not passed it
    taught: tuple[Taught, ...]
    talks: tuple[tuple[datetime.date, str, str, tuple[str, ...]], ...]  # day, sheet, leader, who attended
    rules: tuple[TableChange, ...] = ()  # changes of the site's rules told by then


def named(name: str, id_: str) -> str:
    """``Marta Oyelaran (P-04)``; the id alone where there is no name."""
    if id_.startswith("~"):  # the register's own number for a name that somebody wrote; no one is known by it
        return name or tr("mentor {id}", id=id_)
    return f"{name} ({id_})" if name and name != id_ else id_


# --- numbers --------------------------------------------------------------------------------


class _Ledgers:
    """Kept ledgers, of which only the lines of the lessons asked for are read."""

    def __init__(self) -> None:
        self._lines: dict[Path, dict[str, list[str]] | None] = {}

    def rows(self, path: Path, lesson: str) -> list[dict[str, Any]] | None:
        """The rows of a lesson's own page; None where the ledger cannot be read."""
        if path not in self._lines:
            self._lines[path] = self._read(path)
        lines = self._lines[path]
        if lines is None:
            return None
        try:
            return [json.loads(line) for line in lines.get(lesson, ())]
        except ValueError:
            return None

    @staticmethod
    def _read(path: Path) -> dict[str, list[str]] | None:
        """A ledger has one row a line; to parse them all would take longer than all the rest of a record."""
        try:
            text = path.read_text("utf-8")
        except (OSError, UnicodeDecodeError):
            return None
        if not text.startswith('{"ledger": 1'):
            return None
        found: dict[str, list[str]] = {}
        if "\n" not in text.strip():  # written otherwise, by hand or by an older hand
            try:
                for row in json.loads(text)["numbers"]:
                    m = re.fullmatch(r"lessons/(.+)\.html", row["page"])
                    if m:
                        found.setdefault(m[1], []).append(json.dumps(row))
            except (ValueError, KeyError, TypeError):
                return None
            return found
        for line in text.split("\n"):
            m = re.search(r'"page": "lessons/([^"/]+)\.html"', line)
            if m:
                found.setdefault(m[1], []).append(line.rstrip().rstrip(",").removesuffix("]}"))
        return found


def key_numbers(rows: Iterable[Mapping[str, Any]], units: System, most: int = MOST_NUMBERS) -> tuple[Number, ...]:
    """The few numbers of a lesson that its record names: the site's limits in its text, then what its sums came to.

    The rest of what its text says comes last, and on a person's record only where there is nothing else.

    A figure that the lesson itself says is not to be worked by (where a machine tips) is none of them, nor one below
    nothing: it shows what a wrong plan would come to.
    """
    limits: dict[str, str] = {}
    taught: dict[str, str] = {}  # what the sheet of the lesson names as its sum
    sums: dict[str, str] = {}
    rest: dict[str, str] = {}
    for row in rows:
        place, what, text = row["place"].partition(":")[0], row["what"], row[units]
        if NOT_TO_WORK_BY in text or text.startswith("−") or what in _WORDS:
            continue
        if place == "text" and what.startswith("limits."):
            limits.setdefault(what, text)
        elif place == "tailgate sheet" and row.get("calculation"):
            taught.setdefault(what, text)
        elif place == "worked example" and row.get("calculation"):
            sums.setdefault(what, text)
        elif place == "text" and (row.get("calculation") or what.startswith(("table.", "job."))):
            rest.setdefault(what, text)
    sums = taught | {k: v for k, v in sums.items() if k not in taught}
    first = list(limits.items())[: most - min(1, len(sums))]
    others = [(k, v) for k, v in rest.items() if k not in sums] if most > MOST_NUMBERS or not (first or sums) else []
    chosen = [*first, *sums.items(), *others]
    return tuple(Number(_words(what), text) for what, text in chosen[:most])


def _words(what: str) -> str:
    if what.startswith("limits."):
        return what.removeprefix("limits.").removeprefix("own.").replace("_", " ").replace("up down", "up-down") + " limit"
    if what.startswith("table."):  # table.NAME.ROW.COLUMN
        _, _, row, *column = what.split(".", 3) if what.count(".") >= 2 else ("", "", what)
        return ", ".join([row, *(c for c in column if c not in _UNITS)])
    return Change("", "", what, (), ()).words


def _worked_for(rows: Iterable[Mapping[str, Any]]) -> str:
    return next((p.partition(": ")[2] for r in rows if (p := r["place"]).startswith(("worked example: ", "text: "))), "")


# --- making ---------------------------------------------------------------------------------


class Records:
    """Records out of one readiness. Everything is sorted by person once, so that all of them take little more than one."""

    def __init__(self, readiness: Readiness, names: Names | None = None) -> None:
        self.r, self.site = readiness, readiness.site
        self.tally = readiness.tally
        mentors = {m.id: m.name for m in self.site.mentors or ()}
        # what the register holds goes before the tables: a name that was taken out there stays out
        self.names = {p.id: p.name for p in self.site.crew} | mentors | dict(names or {})
        self.lines = {p.person.id: p for p in readiness.people}
        self.ledgers = _Ledgers()

    @cached_property
    def head(self) -> Head:
        """The head of every record."""
        s = self.site.settings
        day = self.r.day or (datetime.date.fromisoformat(self.r.latest) if self.r.latest else None)
        rules = s.records
        return Head(s.name, s.key, s.invented, s.paper, self.r.edition, rules.contractor, rules.site_number, rules.place, day, self.r.row,
                    self.tally.begun, s.languages)  # fmt: skip

    @cached_property
    def _tries(self) -> dict[str, dict[str, list[Marked]]]:
        out: dict[str, dict[str, list[Marked]]] = {}
        for m in sorted(self.tally.marked, key=lambda m: (m.result.finished, m.result.where)):
            out.setdefault(m.result.crew, {}).setdefault(m.lesson.id, []).append(m)
        return out

    @cached_property
    def _signed(self) -> dict[str, list[SignOff]]:
        out: dict[str, list[SignOff]] = {}
        for s in sorted(self.tally.signoffs, key=lambda s: (s.day, s.mentor, s.machine, s.lesson)):
            out.setdefault(s.crew, []).append(s)
        return out

    @cached_property
    def ids(self) -> tuple[str, ...]:
        """Everybody who has a record: the crew of that day in its order, then whoever else something stands of."""
        others = {p.id for p in self.site.crew} | self._tries.keys() | self._signed.keys()
        others |= {x.crew for found in (self.tally.talks, self.tally.hours, self.tally.orders) for x in found}
        return (*self.lines, *sorted(others - self.lines.keys()))

    @cached_property
    def lesson_ids(self) -> tuple[str, ...]:
        """Every lesson that has a record."""
        others = {i for found in self._tries.values() for i in found} | {t.lesson for t in self.tally.talks if t.lesson}
        return (*self.r.lessons, *sorted(others - set(self.r.lessons)))

    def title(self, lesson: str) -> str:
        """A lesson's title, or its id."""
        return self.r.titles.get(lesson) or self.tally.editions.title(lesson) or lesson

    def by(self, id_: str) -> str:
        """Somebody by name and id; what stands there where it is no id that is known."""
        return named(self.names.get(id_, ""), id_)

    def of(self, crew: str) -> PersonRecord:
        """The record of a person. Raises NoRecord."""
        if crew not in self.ids:
            now = next((p.id for p in self.site.crew if crew and crew in _former(p)), None)
            raise NoRecord(f"nobody has the crew id '{crew[:40]}'" + (f" now; it became {now}" if now else ""),
                           f"ask for the record of {now}" if now else suggest(crew[:40], self.ids, "check the id"))  # fmt: skip
        line = self.lines.get(crew)
        person = line.person if line else next((p for p in self.site.crew if p.id == crew), Person(crew, "", "", (), None, 0))
        titles = {k: self.title(k) for k in self.lesson_ids}
        here = line is not None and not self._left(person)
        parts = self._parts(crew, line)
        hours = line.hours if line and line.hours else tuple(h for h in self.tally.hours if h.crew == crew)
        still = {s.ordered for s in line.standings.values()} if line else set()
        orders = sorted((o for o in self.tally.orders if o.crew == crew), key=lambda o: (o.day, o.lesson))
        return PersonRecord(
            self.head, crew, self.names.get(crew, ""), _former(person), line.role.title if line else "",
            person.role_from, person.start, person.left, here, parts, self._machines(line) if line and here else (),
            self._sheets(crew, line), self._seat(hours), line.role.hours if line else None, line.role.slope_hours if line else None,
            self._talks(crew, titles),
            tuple(Order(o.day, self.title(o.lesson) if o.lesson else tr("all lessons"), tr(REASONS[o.why]), o in still, o.entry, self.late(crew, o.entry, o.day)) for o in orders),
            self._said(crew, parts),
            tuple((self.title(m.lesson.id), m.result.finished.date()) for m in self.tally.held if m.result.crew == crew),
            sum(f.crew == crew and not f.counted and f.name != "duplicate" for f in self.tally.flags),
            *self._taken(crew), next((worded(f.what) for f in self.tally.flags if f.name == "renamed" and f.crew == crew), ""), self._left_out(crew), self._changes(crew, person, line),
            language=person.language,
        )  # fmt: skip

    def elsewise(self, crew: str, language: str) -> str:
        """The code of a language in which somebody was spoken to, where it is not the own one by the crew table; there the site's
        main one stands for what is not told."""
        line = self.lines.get(crew)
        own = (line.person.language if line else next((p.language for p in self.site.crew if p.id == crew), "")) or self.head.languages[0]
        return language if language != own else ""

    # --- when it was taken in, and what was changed since ---

    def late(self, crew: str, entry: int | None, day: datetime.date) -> datetime.date | None:
        """The day a row was taken in, where that is long after the day it is about, and it is not that of all rows of the person."""
        return None if self._once(crew) else self._late(entry, day)

    def _late(self, entry: int | None, day: datetime.date) -> datetime.date | None:
        taken = self.tally.taken.get(entry or 0)
        return taken if taken is not None and taken - day > LATE else None

    def _try(self, m: Marked) -> Try:
        made = a_try(m)
        tell = bool(made.language) and (len(self.head.languages) > 1 or made.language != self.head.languages[0])
        return replace(made, tell=tell, late=self.late(m.result.crew, made.entry, made.day))

    def _once(self, crew: str) -> datetime.date | None:
        """The day on which all rows of a person were taken in, where that is long after what one of them is about."""
        rows = {n: day for n, day in self._rows.get(crew, {}).items() if n in self.tally.taken}
        days = {self.tally.taken[n] for n in rows}
        return next(iter(days)) if len(days) == 1 and len(rows) > 1 and any(self._late(n, d) for n, d in rows.items()) else None

    @cached_property
    def _rows(self) -> dict[str, dict[int, datetime.date]]:
        """By person, the rows that the record rests on, with the day each is about."""
        out: dict[str, dict[int, datetime.date]] = {}
        for m in (*self.tally.marked, *self.tally.held):
            if m.entry is not None:
                out.setdefault(m.result.crew, {})[m.entry] = m.result.finished.date()
        for found in (self.tally.signoffs, self.tally.talks, self.tally.hours, self.tally.orders):
            for x in found:
                if x.entry is not None:
                    out.setdefault(x.crew, {})[x.entry] = x.day
        for c in self.tally.corrections:
            if c.entry is not None:
                out.setdefault(c.of or c.crew, {})[c.entry] = c.day
        return out

    def _taken(self, crew: str) -> tuple[int, tuple[int, datetime.date] | None, datetime.date | None]:
        """How many rows, of these those that came in after the day of the record, and the one day all came in, where that was late."""
        rows = [n for n in self._rows.get(crew, {}) if n in self.tally.taken]
        later = [n for n in rows if n in self.tally.later]
        return len(rows), (len(later), max(self.tally.taken[n] for n in later)) if later else None, self._once(crew)

    def _left(self, person: Person) -> datetime.date | None:
        """The day the person left, where that is not after the day of the record."""
        return person.left if person.left and self.head.day and person.left <= self.head.day else None

    def _left_out(self, crew: str) -> tuple[str, ...]:
        found = [f for f in self.tally.flags if f.crew == crew and not f.counted and f.name != "duplicate"]
        return tuple(
            (tr("row {n}", n=counted(f.row)) if f.row else f.where) + (f", {f.lesson}" if f.lesson else "") + f": {worded(f.what)}"
            for f in found
        )

    def _changes(self, crew: str, person: Person, line: PersonLine | None) -> tuple[TableChange, ...]:
        signed = self._signed.get(crew, ())
        about = {
            "person": {crew, *_former(person)}, "mentor": {s.mentor for s in signed} | {h.mentor for h in self.tally.hours if h.crew == crew},
            "machine": {*person.machines, *(s.machine for s in signed)}, "role": {person.role} if line else set(),
        }  # fmt: skip
        return tuple(
            c for c in self.tally.changes
            if (c.kind in {"rules", "edition"} or c.id in about.get(c.kind, ())) and (c.kind in OF_THE_PAST or c.entry not in self.tally.later)
        )  # fmt: skip

    # --- the parts ---

    def _parts(self, crew: str, line: PersonLine | None) -> tuple[LessonPart, ...]:
        tries = self._tries.get(crew, {})
        standings = line.standings if line else {}
        ids = (*standings, *(i for i in self.lesson_ids if i in tries and i not in standings))
        return tuple(self._part(crew, i, standings.get(i), tries.get(i, [])) for i in ids)

    def _part(self, crew: str, lesson: str, standing: Standing | None, tries: Sequence[Marked]) -> LessonPart:
        passes = [m for m in tries if m.passed]
        best = standing.best if standing else max(tries, key=lambda m: m.right / m.of, default=None)
        if passes and not (best and best.passed):
            best = passes[-1]
        rows = self.ledgers.rows(best.lesson.ledger, lesson) if best else []
        numbers = None if rows is None else key_numbers(rows, self.site.settings.units)
        counting = set(standing.signed) if standing else set()
        signed = [s for s in self._signed.get(crew, ()) if s.lesson == lesson]
        return LessonPart(
            lesson, self.title(lesson), standing.state if standing else None,
            tr(standing.words) if standing else tr("not in the role"), self._try(best) if best else None,
            tuple(self._try(m) for m in passes if m is not best), standing.tries if standing else len(tries), numbers,
            tuple(map(worded, standing.changed)) if standing else (), standing.until if standing else None, bool(standing and standing.due),
            standing.failed_since if standing else None, standing.ordered if standing else None,
            self._grouped(signed, counting), standing is not None,
        )  # fmt: skip

    def _grouped(self, signed: Iterable[SignOff], counting: set[SignOff]) -> tuple[Signed, ...]:
        groups: dict[tuple[Any, ...], list[SignOff]] = {}
        for s in signed:
            key = (s.day, s.mentor, s.machine, s.kind, s.machine_class, s.conditions, s.hours, s.sheet, self.late(s.crew, s.entry, s.day),
                   self.elsewise(s.crew, s.language))  # fmt: skip
            groups.setdefault(key, []).append(s)
        kinds = {m.id: m.kind for m in (*self.site.machines, *self.site.trucks)}
        return tuple(
            Signed(
                day, self.by(mentor), self.names.get(mentor) or self.by(mentor), machine, kind or kinds.get(machine, ""), machine_class, conditions, hours, sheet,
                tuple(s.lesson for s in found), tuple(s.lesson for s in found if s in counting),
                tuple(s.entry for s in found if s.entry is not None), late, spoken,
            )
            for (day, mentor, machine, kind, machine_class, conditions, hours, sheet, late, spoken), found in groups.items()
        )  # fmt: skip

    def _sheets(self, crew: str, line: PersonLine | None) -> tuple[Signed, ...]:
        counting = {s for x in line.standings.values() for s in x.signed} if line else set()
        return self._grouped(self._signed.get(crew, ()), counting)

    def _machines(self, line: PersonLine) -> tuple[MachinePart, ...]:
        alike: dict[tuple[Any, ...], list[MachineLine]] = {}
        for m in line.machines:
            alike.setdefault((m.kind, m.state, m.gaps, m.alone), []).append(m)
        out = []
        for found in alike.values():
            m = found[0]
            by_state: dict[State, list[str]] = {}
            for id_, state, words in m.gaps:
                more = tr(words).removeprefix(tr(state)).strip(" ,()")
                by_state.setdefault(state, []).append(worded(self.title(id_)) + (f" ({more})" if more else ""))
            gaps = tuple((s, tuple(by_state[s])) for s in STATES if s in by_state)
            ids, classes = (
                tuple(x.machine for x in found),
                tuple(dict.fromkeys(x.machine_class for x in found if x.machine_class not in {"", x.kind})),
            )
            out.append(MachinePart(ids, classes, "" if m.machine == ON_FOOT else m.kind, tr(m.state), m.ready, m.ready_alone, gaps,
                                   None if m.alone is None else tuple(map(worded, m.alone))))  # fmt: skip
        return tuple(out)

    def _seat(self, hours: Iterable[Hours]) -> tuple[SeatTime, ...]:
        by_machine: dict[tuple[str, str], list[Hours]] = {}
        for h in sorted(hours, key=lambda h: (h.day, h.machine)):
            by_machine.setdefault((h.machine, h.kind), []).append(h)
        return tuple(
            SeatTime(
                machine, kind, found[0].day, found[-1].day, sum(h.hours for h in found), sum(h.hours for h in found if h.mentor),
                sum(h.hours for h in found if h.mentor and h.slope), tuple(dict.fromkeys(self.by(h.mentor) for h in found if h.mentor)),
                tuple(dict.fromkeys(h.task for h in found if h.task)),
                tuple(sorted({x for h in found if (x := self.late(h.crew, h.entry, h.day))})),
            )
            for (machine, kind), found in by_machine.items()
        )  # fmt: skip

    def _talks(self, crew: str, titles: Mapping[str, str]) -> tuple[Talks, ...]:
        out: dict[str, list[tuple[datetime.date, str, str]]] = {}
        late: dict[str, dict[int, datetime.date]] = {}
        spoken: dict[str, dict[int, str]] = {}
        for t in sorted(self.tally.talks, key=lambda t: (t.day, t.sheet)):
            if t.crew == crew:
                title = titles.get(t.lesson, t.lesson) if t.lesson else tr("sheet not known here")
                when = self.late(crew, t.entry, t.day)
                if when is not None:
                    late.setdefault(title, {})[len(out.get(title, ()))] = when
                other = self.elsewise(crew, t.language)
                if other:
                    spoken.setdefault(title, {})[len(out.get(title, ()))] = other
                out.setdefault(title, []).append((t.day, t.sheet, self.by(t.leader) if t.leader else ""))
        return tuple(Talks(k, tuple(v), late.get(k, {}), spoken.get(k, {})) for k, v in out.items())

    def _said(self, crew: str, parts: Sequence[LessonPart]) -> tuple[Said, ...]:
        rows = {t.entry for p in parts for t in (p.held, *p.before) if t} | {e for p in parts for s in p.signed for e in s.entries}
        for found in (self.tally.talks, self.tally.hours, self.tally.orders):
            rows |= {x.entry for x in found if x.crew == crew}
        rows.discard(None)
        return tuple(
            Said(
                c.day,
                (tr("row {n}", n=c.about) + (f": {c.what}" if c.what else "")) if c.about is not None else tr("the id {id}", id=c.crew),
                tr(SAYS[c.says]),
                self.by(c.by),
                c.why,
                c.entry,
                self._late(c.entry, c.day),
                c.undone,
            )
            for c in self.tally.corrections
            # also of a row that counts no more: what was taken out is told with who took it out
            if (crew in {c.crew, c.of} or (c.about is not None and c.about in rows))
        )

    # --- of a lesson ---

    def lesson(self, lesson: str) -> LessonRecord:
        """The record of a lesson. Raises NoRecord."""
        if lesson not in self.lesson_ids:
            raise NoRecord(f"no lesson '{lesson[:40]}' here", suggest(lesson[:40], self.lesson_ids, "use the lesson's id"))
        taught: dict[tuple[str, str], tuple[Marked, list[str]]] = {}
        trained, lacking = [], []
        for crew in self.ids:
            line = self.lines.get(crew)
            standing = line.standings.get(lesson) if line else None
            tries = self._tries.get(crew, {}).get(lesson, [])
            if standing is None and not tries:
                continue
            part = self._part(crew, lesson, standing, tries)
            at = None
            if part.held and part.held.passed:
                key = (part.held.edition, part.held.figures)
                if key not in taught:
                    taught[key] = (next(m for m in tries if (m.lesson.edition, m.lesson.figures) == key), [])
                taught[key][1].append(crew)
                at = list(taught).index(key)
            row = Trained(crew, self.names.get(crew, ""), line.role.title if line else "", part, at, self._once(crew),
                          self._left(line.person) if line else None)  # fmt: skip
            if at is not None:
                trained.append(row)
            elif standing is not None:
                lacking.append(row)
        numbers = tuple(self._numbers(m, len(people)) for m, people in taught.values())
        trained.sort(key=lambda t: (t.part.held.day if t.part.held else datetime.date.min, t.id))
        return LessonRecord(self.head, lesson, self.title(lesson), tuple(trained), tuple(lacking), numbers, self._lesson_talks(lesson),
                            tuple(c for c in self.tally.changes if c.kind == "rules" and c.entry not in self.tally.later))  # fmt: skip

    def _numbers(self, m: Marked, people: int) -> Taught:
        book, rows = m.lesson, self.ledgers.rows(m.lesson.ledger, m.lesson.id)
        current = next((x for x in self.tally.editions.lessons(self.r.edition) if x.id == book.id), None)
        changed = self.tally.editions.changed(book, current) if current else None
        holds = (
            tr("gone from the handbook") if current is None else tr("not known") if changed is None else tr("changed since") if changed else tr("hold")
        )  # fmt: skip
        numbers = None if rows is None else key_numbers(rows, self.site.settings.units, MOST_TAUGHT)
        return Taught(book.edition, book.figures, numbers, _worked_for(rows or ()), holds, people)

    def _lesson_talks(self, lesson: str) -> tuple[tuple[datetime.date, str, str, tuple[str, ...]], ...]:
        out: dict[tuple[datetime.date, str, str], list[str]] = {}
        for t in sorted(self.tally.talks, key=lambda t: (t.day, t.sheet, t.crew)):
            if t.lesson == lesson:
                out.setdefault((t.day, t.sheet, self.by(t.leader) if t.leader else ""), []).append(t.crew)
        return tuple((*key, tuple(crew)) for key, crew in out.items())


def a_try(m: Marked) -> Try:
    """What a record says of a try."""
    r = m.result
    seconds = (r.finished - r.started).total_seconds() if r.started else None
    minutes = seconds / 60 if seconds is not None and seconds > 0 and r.origin == "file" else None
    return Try(
        r.finished.date(),
        m.lesson.edition,
        m.lesson.figures,
        m.right,
        m.of,
        m.passed,
        minutes,
        r.origin,
        m.told,
        m.entry,
        language=r.language,
    )


def _former(person: Person) -> tuple[str, ...]:
    return tuple(x for x in re.split(r"[\s,;]+", person.former_id) if x)


def record_of(readiness: Readiness, crew_id: str, names: Names | None = None) -> PersonRecord:
    """The record of one person, as of the readiness's day. Raises NoRecord."""
    return Records(readiness, names).of(crew_id)


def lesson_record(readiness: Readiness, lesson: str, names: Names | None = None) -> LessonRecord:
    """The record of one lesson: who was trained on it, when, on which numbers, by whom. Raises NoRecord."""
    return Records(readiness, names).lesson(lesson)
