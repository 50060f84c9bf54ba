"""Mentors' sign-offs: what a mentor has seen an operator do, on which machine."""

from __future__ import annotations

import datetime
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from generator.jobsite.cells import BadCell, date
from generator.jobsite.columns import CREW, ON_FOOT
from generator.jobsite.model import JobSite
from generator.records.flags import Flag
from generator.records.tables import HandedIn
from generator.source.near import suggest


@dataclass(frozen=True, slots=True)
class SignOff:
    """One line that a mentor signed. ``kind`` and ``machine_class`` are the machine's on that day.

    ``sheet`` is the id printed on the sign-off sheet, ``conditions`` what the ground and the weather were, ``hours`` how long
    the mentor watched, ``entry`` the row of the register. Two that differ in these alone are the same.
    """

    crew: str
    lesson: str
    machine: str
    day: datetime.date
    mentor: str
    kind: str = field(default="", compare=False)
    machine_class: str = field(default="", compare=False)
    conditions: str = field(default="", compare=False)
    hours: float | None = field(default=None, compare=False)
    sheet: str = field(default="", compare=False)
    entry: int | None = field(default=None, compare=False)


def read_signoffs(table: HandedIn, site: JobSite, lessons: Collection[str], latest: datetime.date, flags: list[Flag]) -> list[SignOff]:
    """The sign-offs of a table; those that cannot count are flagged by name."""
    people = {p.id: p for p in site.crew}
    machines = {m.id: m.kind for m in (*site.machines, *site.trucks)}
    out: dict[SignOff, None] = {}
    for where, row in table.each(flags):
        crew, lesson, machine, mentor = (row[k] for k in ("crew", "lesson", "machine", "mentor"))

        def no(name: str, what: str, fix: str, where: str = where, crew: str = crew, lesson: str = lesson) -> None:
            flags.append(Flag(where, name, what, fix, crew, lesson))

        role = site.settings.roles.get(people[crew].role) if crew in people else None
        if role and role.on_foot and machine.lower() in {"", ON_FOOT, "none"}:
            machine = ON_FOOT
        blank = next((k for k in ("crew", "lesson", "machine", "date", "mentor") if not row[k] and (k != "machine" or not machine)), None)
        if blank:
            no("unsigned", f"the sign-off has no {blank}", f"fill in {blank} from the paper sheet")
            continue
        if crew not in people:
            no("foreign", f"no crew id '{crew[:40]}' in {site.table(CREW.file)}", suggest(crew, people, "check the id"))
            continue
        if lesson not in lessons:
            no("foreign", f"no lesson '{lesson[:40]}' here", suggest(lesson, lessons, "use the lesson's id"))
            continue
        if machine not in machines and not (role and role.on_foot and machine == ON_FOOT):
            no("foreign", f"no machine '{machine[:40]}' in the tables", suggest(machine, machines, "check the id"))
            continue
        try:
            day = date(row["date"], site.settings.dates)
        except BadCell as e:
            no("unreadable", e.what, e.fix)
            continue
        if day > latest:
            no("future", f"it is signed for {day}, which is still to come", "check the date on the paper sheet")
            continue
        if role and machine != ON_FOOT and machines[machine] not in role.machines:
            no("unsigned", f"{machine} is no machine of a {role.title.lower()}", "check the machine on the paper sheet")
            continue
        if mentor.lower() in {crew.lower(), people[crew].name.lower()}:
            no("unsigned", "nobody signs for himself or herself", "ask another mentor")
            continue
        made = SignOff(crew, lesson, machine, day, mentor)
        if made in out:
            no("duplicate", "the same sign-off stands above", "take one of them out")
            continue
        out[made] = None
    return list(out)


def by_crew_and_lesson(signoffs: list[SignOff]) -> Mapping[tuple[str, str], list[SignOff]]:
    """Sign-offs by (crew id, lesson), in the order of their days."""
    out: dict[tuple[str, str], list[SignOff]] = {}
    for s in sorted(signoffs, key=lambda s: (s.day, s.machine, s.mentor)):
        out.setdefault((s.crew, s.lesson), []).append(s)
    return out
