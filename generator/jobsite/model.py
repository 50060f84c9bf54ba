"""A job site as the rest of the program sees it. Read-only; made by ``reader.read``."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from generator.calc.rules import CONDITIONS, US, US_FEDERAL, Name, Rules
from generator.jobsite.cells import DateOrder
from generator.jobsite.columns import COMPACT, EXCAVATOR, TRUCK
from generator.language.country import FEET, HOME, signs
from generator.source.problem import Problem, Refusal
from generator.units.quantity import Quantity
from generator.units.table import System
from generator.units.writing import THIN, Writing

RUNS = (EXCAVATOR, TRUCK, f"no {EXCAVATOR}", f"no {TRUCK}")
WHERE = (*RUNS, *CONDITIONS)
"""Sites that a part of a lesson, or a question, may be for: those that run one, or none, and those with certain rules."""

Paper = Literal["letter", "a4"]
Value = Quantity | str


class NotInTables(Refusal):
    """A value the tables do not hold."""

    code = "not-in-tables"


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table that holds figures.

    ``values`` has what is filled in, by column name: a Quantity, or the word of a choice such as
    ``soil_type``. ``line`` is its line in the file; ``file`` names a shared table, and is empty for the site's own.
    """

    id: str
    name: str
    kind: str
    values: Mapping[str, Value]
    line: int
    note: str = ""
    file: str = field(default="", kw_only=True)

    def get(self, name: str) -> Quantity:
        """The quantity in column ``name``. Raises NotInTables where it is blank or a word."""
        value = self.values.get(name)
        if isinstance(value, Quantity):
            return value
        raise NotInTables(f"{self.name} has no {name}", f"fill in the column {name} for {self.id}")


@dataclass(frozen=True, slots=True)
class Worked(Row):
    """What somebody of the crew runs. From the day ``retired`` on nobody does; its row stays, as records name it.

    ``attachments`` are words in small letters such as ``ripper``.
    """

    retired: datetime.date | None = None
    attachments: tuple[str, ...] = ()

    def works_on(self, day: datetime.date) -> bool:
        """Whether it is still worked on this day."""
        return self.retired is None or day < self.retired


@dataclass(frozen=True, slots=True)
class Machine(Worked):
    """A dozer, excavator or compact excavator; ``kind`` says which."""


@dataclass(frozen=True, slots=True)
class Truck(Worked):
    """A haul truck; ``kind`` is ``truck``."""


@dataclass(frozen=True, slots=True)
class Material(Row):
    """What is dug and moved; ``kind`` is ``material``."""


@dataclass(frozen=True, slots=True)
class Person:
    """One of the crew. ``machines`` are ids of machines and trucks.

    ``left`` is the first day that the person no longer worked here, ``former_id`` the id the person had before,
    ``role_from`` the first day in this role, and ``language`` the code of the language the person is taught in, empty where
    the table does not say.
    """

    id: str
    name: str
    role: str
    machines: tuple[str, ...]
    start: datetime.date | None
    line: int
    left: datetime.date | None = None
    former_id: str = ""
    role_from: datetime.date | None = None
    language: str = ""

    def gone_on(self, day: datetime.date) -> bool:
        """Whether the person had left by this day: new work is offered to no such person."""
        return self.left is not None and self.left <= day

    def here_on(self, day: datetime.date) -> bool:
        """Whether the person worked here on this day: had started, as far as that is known, and had not left."""
        return (self.start is None or self.start <= day) and not self.gone_on(day)


@dataclass(frozen=True, slots=True)
class Mentor:
    """Who may sign for others: on which kinds of machine (``on foot`` among them), and from when until when, both days included.

    Of one of the crew, whose ``id`` is the same, those days are within the time on the job.
    """

    id: str
    name: str
    kinds: tuple[str, ...]
    since: datetime.date | None
    until: datetime.date | None
    line: int
    file: str = ""  # names a shared table, and is empty for the site's own

    def may_sign(self, kind: str, day: datetime.date) -> bool:
        """Whether the mentor may sign for this kind of machine on this day."""
        return kind in self.kinds and (self.since is None or self.since <= day) and (self.until is None or day <= self.until)


@dataclass(frozen=True, slots=True)
class Role:
    """A job on the site: the kinds of machine it runs and the lessons it needs, in order.

    ``lead`` are ids of machines and trucks that its lessons are shown for where the reader picked none.
    ``on_foot`` says that those with it work beside machines and run none. ``valid_months`` is how long a passed and
    signed lesson holds for the role where neither the lesson nor the site says another time. ``hours`` and ``slope_hours``
    are the seat time under a mentor (in hours) that the role needs before anyone works alone.
    """

    id: str
    title: str
    machines: tuple[str, ...]
    lessons: tuple[str, ...]
    line: int
    lead: tuple[str, ...] = ()
    on_foot: bool = False
    valid_months: int | None = None
    hours: float | None = None
    slope_hours: float | None = None


@dataclass(frozen=True, slots=True)
class MachineClass:
    """A class of one kind of machine: a sign-off counts for machines of the same class.

    ``up_to`` is its largest mass in kg, None where it has no end: the weight ready to work of a machine, the rated payload of a
    truck. ``attachment`` is the attachment it is for, in small letters, nothing for any.
    """

    id: str
    kind: str
    up_to: float | None = None
    attachment: str = ""


@dataclass(frozen=True, slots=True)
class RecordRules:
    """The section ``records:`` of settings.yml: the site's own rules for who is ready, and for how long.

    ``valid_months`` holds for every lesson, ``lesson_months`` for the lessons it names. ``due_days`` is how long before
    its end a lesson is told as due. ``sign_before_pass`` lets a mentor sign before the quiz is passed. ``seat_time_signed``
    says that seat time needs the mentor's sign-offs, ``count_codes`` that a short slip code counts before its file is
    there. ``keep_months`` is how long after somebody left the name is kept. ``away_days`` without seat time are told as
    long away. ``place``, ``contractor`` and ``site_number`` stand on records.
    """

    valid_months: int | None = None
    lesson_months: Mapping[str, int] = field(default_factory=dict)
    due_days: int = 60
    sign_before_pass: bool = False
    seat_time_signed: bool = True
    count_codes: bool = True
    classes: tuple[MachineClass, ...] = ()
    class_only: bool = True
    keep_months: int = 60
    away_days: int | None = None
    place: str = ""
    contractor: str = ""
    site_number: str = ""

    def months(self, lesson: str, role: Role) -> int | None:
        """How many months a lesson holds for a role; None where it holds without an end."""
        return self.lesson_months.get(lesson, role.valid_months if role.valid_months is not None else self.valid_months)


def works(about: str, kind: str) -> bool:
    """Whether a lesson about a kind of machine teaches how to work that ``kind``; a compact excavator digs as a larger one does."""
    return about == kind or (kind == COMPACT and about == EXCAVATOR)


def a(kind: str) -> str:
    """``an excavator``, ``a truck``."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


@dataclass(frozen=True, slots=True)
class LookedAt:
    """That somebody looked at a notice and found its figures right: an entry of ``looked_at:``.

    ``at`` is ``ROW.COLUMN``, the dotted name of a setting, or a file; ``seen`` are the figures as the
    notice told them then, so that other figures are told again.
    """

    notice: str
    at: str
    seen: str
    by: str
    on: datetime.date
    line: int


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """A limit of the site by a name of its own: an entry of ``limits: own:``. ``meaning`` says what it limits."""

    name: str
    meaning: str
    value: Quantity
    decided_by: str
    decided_on: str
    line: int


@dataclass(frozen=True, slots=True)
class Settings:
    """``settings.yml``.

    ``passing_mark`` is a share. ``lead`` gives, for ``dozer``, ``excavator``, ``compact
    excavator``, ``truck`` and ``material``, the id used in worked examples (the first of its
    kind where none is named; no entry where the site has none). ``limits`` are the site's own
    limits, set by the competent person named there, and ``ask_first`` what to ask that person
    about. ``lines`` is the line of every setting by its dotted name. ``dates`` settles days with
    slashes that could be read two ways. ``languages`` are the codes of those the handbook is made
    in, the site's main one first. ``asked`` is how many questions a try at a quiz asks at
    most, None where the site does not say.
    """

    key: str
    name: str
    invented: bool
    note: str
    edition: str
    units: System
    passing_mark: Quantity
    paper: Paper
    lead: Mapping[str, str]
    roles: Mapping[str, Role]
    limits: Mapping[str, Value]
    ask_first: tuple[str, ...]
    job: Mapping[str, Value]
    lines: Mapping[str, int]
    dates: DateOrder | None = None
    asked: int | None = None
    looked_at: tuple[LookedAt, ...] = ()
    own_limits: Mapping[str, OwnLimit] = field(default_factory=dict)
    records: RecordRules = field(default_factory=RecordRules)
    hand_in: str | None = None  # where phones hand results in: a path from the web server's root, with a slash at both ends
    shared: str | None = None  # the folder of what this site shares with others, as written, from the site's own
    rules: Name = US_FEDERAL  # which rules its handbook tells of
    lesson_lead: Mapping[str, str] = field(default_factory=dict)  # by lesson, where one is worked for another than its kind's
    languages: tuple[str, ...] = ("en",)
    country: str = HOME  # two letters of ISO 3166-1: its way of writing numbers is the site's
    switch: bool | None = None  # whether readers can change to the other units, where the site says so

    @property
    def both_units(self) -> bool:
        """Whether readers can change to the other units: as the site says, and where it does not, as its country measures."""
        return self.units == "us" or self.country in FEET if self.switch is None else self.switch

    @property
    def writing(self) -> Writing:
        """How this site writes numbers, in all of its languages."""
        decimal, group = signs(self.country)
        return Writing(
            "," if decimal == "," else ".", group, group if self.units == "us" else THIN, None if self.both_units else self.units
        )


@dataclass(frozen=True, slots=True)
class JobSite:
    """All of a job site's tables, checked.

    ``notices`` stop nothing and are still worth knowing; ``settled`` are those that somebody looked at. ``tables`` says for ``machines.csv`` and
    so on where that table really stands, such as in a sheet of a workbook.
    """

    settings: Settings
    machines: tuple[Machine, ...]
    trucks: tuple[Truck, ...]
    materials: tuple[Material, ...]
    crew: tuple[Person, ...]
    folder: Path
    notices: tuple[Problem, ...] = ()
    tables: Mapping[str, str] = field(default_factory=dict)
    settled: tuple[tuple[Problem, LookedAt], ...] = ()
    mentors: tuple[Mentor, ...] | None = None  # None where the site has no table of them
    learners: Mapping[str, str] = field(default_factory=dict)  # crew ids by the ids of the learning system
    rules: Rules = US

    def table(self, file: str) -> str:
        """Where the table stands that is ``file`` where there is no workbook: ``site.xlsx[crew]``."""
        return self.tables.get(file, file)

    def file_of(self, row: Row | Mentor, file: str) -> str:
        """Where a row of a table stands: in the shared table it is from, else in the site's own."""
        return row.file or self.table(file)

    def of_kind(self, kind: str) -> tuple[Row, ...]:
        """The rows of one kind, in the order of their table."""
        rows: tuple[Row, ...] = (*self.machines, *self.trucks, *self.materials)
        return tuple(r for r in rows if r.kind == kind)

    def machines_for(self, kind: str) -> tuple[Machine, ...]:
        """The machines a lesson about ``kind`` is worked for.

        A compact excavator has all that an excavator has, so it stands in where the site has no
        larger one: its operators dig trenches and meet power lines as well.
        """
        found = tuple(m for m in self.machines if m.kind == kind)
        return found or (self.machines_for(COMPACT) if kind == EXCAVATOR else ())

    def is_one_of(self, where: str) -> bool:
        """Whether this is a site of those, which are of WHERE. Of excavators compact ones count."""
        if where not in RUNS:
            return self.rules.hold(where)
        kind = where.removeprefix("no ")
        return bool(self.trucks if kind == TRUCK else self.machines_for(kind)) == (kind == where)

    @property
    def fleet(self) -> tuple[Worked, ...]:
        """All machines and trucks, in the order of their tables, retired ones among them."""
        return (*self.machines, *self.trucks)

    def crew_on(self, day: datetime.date) -> tuple[Person, ...]:
        """Those of the crew who worked here on ``day``, in the order of their table."""
        return tuple(p for p in self.crew if p.here_on(day))

    def machines_on(self, day: datetime.date) -> tuple[Worked, ...]:
        """The machines and trucks not retired by ``day``, in the order of their tables."""
        return tuple(m for m in self.fleet if m.works_on(day))

    def mentors_on(self, kind: str, day: datetime.date) -> tuple[Mentor, ...]:
        """Who may sign for ``kind`` (``on foot`` among them) on ``day``; nobody where there is no table of mentors."""
        return tuple(m for m in self.mentors or () if m.may_sign(kind, day))

    def lead(self, kind: str) -> Row:
        """The row worked examples of ``kind`` use. Raises NotInTables where the site has none."""
        wanted = self.settings.lead.get(kind)
        for row in self.of_kind(kind):
            if row.id == wanted:
                return row
        raise NotInTables(f"this site has no {kind}", f"add a {kind} to its table")

    def job(self, name: str) -> Value:
        """A value of the ``job:`` section. Raises NotInTables where it is not given."""
        if name not in self.settings.job:
            raise NotInTables(f"settings.yml has no job: {name[:60]}", "add it under job:")
        return self.settings.job[name]
