"""Mentors' sign-offs: what a mentor has seen an operator do, on which machine."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from generator.jobsite.cells import BadCell, date_in_order
from generator.jobsite.columns import CREW, ON_FOOT
from generator.jobsite.model import JobSite
from generator.language.words import said
from generator.records.flags import Refused
from generator.source.near import suggest, suggest_id, suggest_language


@dataclass(frozen=True, slots=True)
class SignOff:
    """One line that a mentor signed. ``kind`` and ``machine_class`` are the machine's on that day.

    ``sheet`` is the id printed on the sign-off sheet, ``conditions`` what the ground and the weather were, ``hours`` how long
    the mentor watched, ``entry`` the row of the register, ``language`` the code of the one the mentor spoke, empty where that was
    not told. Two that differ in these alone are the same.
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
    language: str = field(default="", compare=False)


NEEDED = ("crew", "lesson", "machine", "date", "mentor")


def read_signoff(

    row: Mapping[str, str], site: JobSite, people: Mapping[str, str], kinds: Mapping[str, str], lessons: Collection[str],
    latest: datetime.date, id_of: Callable[[str], str], classes: Mapping[str, str],
) -> tuple[SignOff | None, dict[str, Any]]:  # fmt: skip
    """One row of a table of sign-offs; what else is kept of it. None for a row prepared and not signed yet.

    ``people`` are names by crew id, ``kinds`` and ``classes`` those of the machines by id, ``id_of`` finds a mentor's id.
    Whether it counts is told elsewhere. Raises Refused where it is none.
    """
    crew, lesson, machine, mentor = (row[k] for k in ("crew", "lesson", "machine", "mentor"))
    if "sheet" in row and not row["date"] and not mentor:
        return None, {}

    def no(name: str, what: str, fix: str) -> Refused:
        return Refused(name, what, fix, crew, lesson)

    person = next((p for p in site.crew if p.id == crew), None)
    role = site.settings.roles.get(person.role) if person else None
    if role and role.on_foot and machine.lower() in {"", ON_FOOT, "none"}:
        machine = ON_FOOT
    blank = next((k for k in NEEDED if not row[k] and (k != "machine" or not machine)), None)
    if blank:
        raise no("unsigned", said("the sign-off has no {blank}", blank=blank), said("fill in {blank} from the paper sheet", blank=blank))
    if crew not in people:
        raise no(
            "foreign",
            said("no crew id '{crew}' in {table}", crew=crew[:40], table=site.table(CREW.file)),
            suggest_id(crew, people, said("check the id")),
        )
    if lesson not in lessons:
        raise no("foreign", said("no lesson '{lesson}' here", lesson=lesson[:40]), suggest(lesson, lessons, said("use the lesson's id")))
    if machine not in kinds and machine != ON_FOOT:
        raise no(
            "foreign", said("no machine '{machine}' in the tables", machine=machine[:40]), suggest_id(machine, kinds, said("check the id"))
        )
    if machine == ON_FOOT and role and not role.on_foot:
        raise no(
            "foreign", said("no machine '{machine}' in the tables", machine=machine[:40]), suggest_id(machine, kinds, said("check the id"))
        )
    try:
        day = date_in_order(row["date"], site.settings.dates)
    except BadCell as e:
        raise no("unreadable", e.what, e.fix) from None
    if day > latest:
        raise no("future", said("it is signed for {day}, which is still to come", day=day), said("check the date on the paper sheet"))
    if itself(mentor, crew, people[crew]):
        raise no("unsigned", said("nobody signs for himself or herself"), said("ask another mentor"))
    if nobody(mentor):
        raise no(
            "unsigned", said("'{mentor}' is nobody's name", mentor=mentor[:20]), said("write the mentor's id or name from the paper sheet")
        )
    hours = hours_of(row["hours"]) if row.get("hours") else None
    if hours == NO_HOURS:
        raise no("unreadable", said("'{hours}' is no number of hours of a day", hours=row["hours"][:20]), said("write it as 1.5"))
    try:
        spoken = language_of(row, site)
    except Refused as e:
        raise no(e.name, e.what, e.fix) from None
    more = {k: row[k] for k in ("seen",) if row.get(k)}
    return SignOff(
        crew, lesson, machine, day, id_of(mentor), kinds.get(machine, ""), classes.get(machine, ""), row.get("conditions", "")[:200], hours,
        row.get("sheet", "")[:20], language=spoken,
    ), more  # fmt: skip


def language_of(row: Mapping[str, str], site: JobSite) -> str:
    """The code of the language in which a talk was held or a mentor spoke, where the table says it; it need not.

    It is one of the handbook's, or one that the crew table names for somebody. Raises Refused.
    """
    text = row.get("language", "")
    if not text:
        return ""
    known = sorted({*site.settings.languages, *(p.language for p in site.crew if p.language)})
    code = text.casefold()
    if code not in known:
        what = said("language is '{language}', which neither the handbook is made in nor anybody is taught in", language=text[:20])
        raise Refused("unreadable", what, suggest_language(code, known, said("write {names}, or leave it out", names=" or ".join(known))))
    return code


NO_HOURS = -1.0


def hours_of(text: str) -> float:
    """Hours of one day as written: 3.5, 3,5 or 3.5 h; NO_HOURS where it is none."""
    try:
        found = float(text.casefold().removesuffix("h").strip().replace(",", "."))
    except ValueError:
        return NO_HOURS
    return found if 0 <= found <= 24 else NO_HOURS


def nobody(name: str) -> bool:
    """Whether what is written for a name is none: less than two letters, and no figure of an id."""
    return len(re.sub(r"[\W\d_]", "", name)) < 2 and not re.search(r"\d", name)


def itself(mentor: str, crew: str, name: str) -> bool:
    """Whether a mentor's name or id is the person's own, in whatever order its words stand."""

    def words(text: str) -> list[str]:
        plain = "".join(ch for ch in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(ch))
        return sorted(re.findall(r"[^\W_]+", plain))

    return bool(words(mentor)) and words(mentor) in (words(crew), words(name))


def by_crew_and_lesson(signoffs: list[SignOff]) -> Mapping[tuple[str, str], list[SignOff]]:
    """Sign-offs by (crew id, lesson), in the order of their days."""
    out: dict[tuple[str, str], list[SignOff]] = {}
    for s in sorted(signoffs, key=lambda s: (s.day, s.machine, s.mentor)):
        out.setdefault((s.crew, s.lesson), []).append(s)
    return out
