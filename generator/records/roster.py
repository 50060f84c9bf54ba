"""Who and what there was on a day: crew, mentors, machines, roles and the edition, from the tables and the register.

The tables tell how things stand now. Whenever results are taken in, what has changed in them since becomes a row, so
that a person who left and a machine that was sold are known for as long as the register stands.
"""

from __future__ import annotations

import csv
import dataclasses
import datetime
import hashlib
import io
import unicodedata
from collections.abc import Collection, Iterable, Mapping
from pathlib import Path
from typing import Any

from generator.jobsite.model import JobSite, Machine, MachineClass, Person, RecordRules, Role, Truck
from generator.quiz.edition import DAYS
from generator.records.rows import print_of
from generator.register.entry import Entry, New
from generator.register.store import LOOSE

SNAPSHOTS = ("person", "mentor", "machine", "role", "rules", "edition")
NAMED = frozenset({"person", "mentor"})  # whose rows have a print of the name
NAME_PRINT = "name_print"
RULES = "records"  # the id of the site's one set of rules


def edition_days(folder: Path) -> dict[str, datetime.date]:
    """The day each edition was first built, from ``editions/days.csv``; what cannot be read there is left out."""
    try:
        text = (folder / DAYS).read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return {}
    out: dict[str, datetime.date] = {}
    for row in csv.DictReader(io.StringIO(text)):
        try:
            out.setdefault(str(row.get("edition")), datetime.date.fromisoformat(str(row.get("first built")).strip()))
        except ValueError:
            continue
    return out


def _date(value: datetime.date | None) -> str:
    return value.isoformat() if value else ""


def _day(text: str) -> datetime.date | None:
    return datetime.date.fromisoformat(text) if text else None


def as_told(site: JobSite, class_of: Any) -> Iterable[tuple[str, str, dict[str, Any]]]:
    """What the tables say now, as (kind of row, id, body)."""
    for p in site.crew:
        yield "person", p.id, {
            "role": p.role, "machines": list(p.machines), "start": _date(p.start), "left": _date(p.left), "former_id": p.former_id,
            "role_from": _date(p.role_from), **({"language": p.language} if p.language else {}),
        }  # fmt: skip
    for m in site.mentors or ():
        yield "mentor", m.id, {"kinds": list(m.kinds), "from": _date(m.since), "until": _date(m.until)}
    for row in (*site.machines, *site.trucks):
        yield "machine", row.id, {"name": row.name, "kind": row.kind, "class": class_of(row), "retired": _date(row.retired)}
    for r in site.settings.roles.values():
        yield "role", r.id, {
            "title": r.title, "machines": list(r.machines), "lessons": list(r.lessons), "on_foot": r.on_foot, "valid_months": r.valid_months,
            "hours": r.hours, "slope_hours": r.slope_hours,
        }  # fmt: skip
    for edition, day in edition_days(site.folder).items():
        yield "edition", edition, {"first built": _date(day)}
    rules = site.settings.records
    yield "rules", RULES, {
        **{f.name: getattr(rules, f.name) for f in dataclasses.fields(rules)}, "lesson_months": dict(rules.lesson_months),
        "classes": [dataclasses.asdict(c) for c in rules.classes],
    }  # fmt: skip


def changes(
    site: JobSite, known: Iterable[Entry], class_of: Any, now: datetime.datetime, prints: Mapping[str, str], renamed: Collection[str] = ()
) -> list[New]:
    """The rows for what the tables say otherwise than the register's last rows do.

    ``prints`` are those of the names by id. A print that is in the rows stays as it is, whatever name is beside them now, but
    for the ids ``renamed``: else a name that somebody changed in the file would be made good by the next taking-in.
    """
    known = [e for e in known if e.kind in SNAPSHOTS]
    last: dict[tuple[str, str], Entry] = {(e.kind, _id(e)): e for e in known}
    names = {**prints, **printed(known), **{i: prints[i] for i in renamed if i in prints}}

    def named(kind: str, id_: str) -> dict[str, str]:
        return {NAME_PRINT: names[id_]} if kind in NAMED and id_ in names else {}

    out = []
    told = set()
    for kind, id_, body in as_told(site, class_of):
        told.add((kind, id_))
        before = last.get((kind, id_))
        body |= named(kind, id_)
        if before is None or dict(before.body) != {"id": id_, **body}:
            out.append(_snapshot(kind, id_, body, before, now))
    for (kind, id_), before in last.items():
        if kind == "rules" or (kind, id_) in told or (before.body.get("gone") and (kind not in NAMED or id_ not in renamed)):
            continue
        body = {**{k: v for k, v in before.body.items() if k != "id"}, **named(kind, id_), "gone": True}
        if dict(before.body) != {"id": id_, **body}:
            out.append(_snapshot(kind, id_, body, before, now))
    return out


def printed(entries: Iterable[Entry]) -> dict[str, str]:
    """The last print of a name that the rows have, by id."""
    return {_id(e): str(e.body[NAME_PRINT]) for e in entries if e.kind in NAMED and e.body.get(NAME_PRINT)}


def name_print(salt: bytes, name: str) -> str:
    """A print of a name that nobody without the salt can try names on: 24 hex digits of the SHA-256 of salt and plain name."""
    return hashlib.sha256(salt + plain(name).encode()).hexdigest()[:24]


def _snapshot(kind: Any, id_: str, body: Mapping[str, Any], before: Entry | None, now: datetime.datetime) -> New:
    full = {"id": id_, **body}
    same = f"{id_}|{print_of(full)}|{before.n if before else 0}"
    return New(kind, f"{now:%Y-%m-%d}", full, same, crew=id_ if kind == "person" else "", machine=id_ if kind == "machine" else "")


def _id(e: Entry) -> str:
    return str(e.body["id"])


class History:
    """The snapshots of a register by kind and id, in their order."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.of: dict[str, dict[str, list[Entry]]] = {k: {} for k in SNAPSHOTS}
        for e in entries:
            if e.kind in self.of:
                self.of[e.kind].setdefault(_id(e), []).append(e)

    def on(self, kind: str, id_: str, day: datetime.date) -> Mapping[str, Any] | None:
        """What stood of an id on a day: the last row told by then, else the first there is; None where it was gone by then."""
        rows = self.of[kind].get(id_, [])
        if not rows:
            return None
        by_then = [e for e in rows if e.day <= day.isoformat()]
        found = by_then[-1] if by_then else rows[0]
        return None if found.body.get("gone") else found.body

    def person_on(self, crew: str, day: datetime.date, alias: Mapping[str, str] | None = None) -> Mapping[str, Any] | None:
        """What stood of a person on a day, under the id of that time: a new role stands from its first day on, though told later.

        Before the first row that first one; None where the person was gone by then, or never there.
        """
        former = {old for old, now in (alias or {}).items() if now == crew}
        rows = [e for i in former for e in self.of["person"].get(i, ()) if not e.body.get("gone")]
        rows = sorted([*rows, *self.of["person"].get(crew, ())], key=lambda e: e.n)
        found: Entry | None = None
        before: Entry | None = None
        for e in rows:
            since = e.day
            if e.body["role_from"] and (
                before is None or (before.body["role"], before.body["role_from"]) != (e.body["role"], e.body["role_from"])
            ):
                since = str(e.body["role_from"])
            if found is None or since <= day.isoformat():
                found = e
            before = e
        return None if found is None or found.body.get("gone") else found.body

    def kinds(self) -> dict[str, str]:
        """Kind of machine by id, of all that there ever were."""
        return {i: str(rows[-1].body["kind"]) for i, rows in self.of["machine"].items()}

    def classes(self) -> dict[str, str]:
        """Class of machine by id, of all that there ever were."""
        return {i: str(rows[-1].body["class"]) for i, rows in self.of["machine"].items()}

    def machines_of(self, crew: str) -> set[str]:
        """Ids of all machines that a person ever had."""
        return {m for e in self.of["person"].get(crew, ()) for m in e.body["machines"]}


def aliases(site: JobSite, history: History) -> dict[str, str]:
    """The present id of each former one."""
    step = {str(e.body["former_id"]): i for i, rows in history.of["person"].items() for e in rows if e.body["former_id"]}
    step |= {p.former_id: p.id for p in site.crew if p.former_id}
    out = {}
    for old in step:
        now, seen = old, {old}
        while now in step and step[now] not in seen:
            now = step[now]
            seen.add(now)
        out[old] = now
    return out


def site_on(site: JobSite, history: History, day: datetime.date, names: Mapping[str, str], days: Mapping[str, datetime.date],
            *, leavers: bool = False) -> JobSite:  # fmt: skip
    """The site as it stood on ``day``. With ``leavers`` those who had left by then are among the crew."""
    roles = dict(site.settings.roles)
    for id_ in history.of["role"]:
        body = history.on("role", id_, day)
        if body is not None:
            now = roles.get(id_) or Role(id_, body["title"], (), (), 0)
            roles[id_] = dataclasses.replace(
                now, title=body["title"], machines=tuple(body["machines"]), lessons=tuple(body["lessons"]), on_foot=body["on_foot"],
                valid_months=body["valid_months"], hours=body["hours"], slope_hours=body["slope_hours"],
            )  # fmt: skip
    crew = _crew_on(site, history, day, names, leavers=leavers)
    machines = tuple(m for m in site.machines if m.retired is None or day < m.retired)
    trucks = tuple(t for t in site.trucks if t.retired is None or day < t.retired)
    here = {r.id for r in (*site.machines, *site.trucks)}
    for id_ in history.of["machine"]:
        body = history.on("machine", id_, day)
        if id_ in here or body is None or (body["retired"] and body["retired"] <= day.isoformat()):
            continue
        made: dict[str, Any] = {"id": id_, "name": body["name"], "kind": body["kind"], "values": {}, "line": 0}
        if body["kind"] == "truck":
            trucks = (*trucks, Truck(**made))
        else:
            machines = (*machines, Machine(**made))
    edition = site.settings.edition
    if edition in days and day < days[edition]:
        before = [(d, e) for e, d in days.items() if d <= day]
        edition = max(before)[1] if before else edition
    settings = dataclasses.replace(site.settings, roles=roles, edition=edition, records=rules_on(site, history, day))
    return dataclasses.replace(site, settings=settings, crew=crew, machines=machines, trucks=trucks)


def rules_on(site: JobSite, history: History, day: datetime.date) -> RecordRules:
    """The site's rules for its records as they stood on ``day``; those of its settings where the register knows none.

    A field that an older program did not write is as the settings have it.
    """
    body = history.on("rules", RULES, day)
    if body is None:
        return site.settings.records
    there = {f.name for f in dataclasses.fields(RecordRules)}
    told = {k: v for k, v in body.items() if k in there}
    if "classes" in told:
        told["classes"] = tuple(MachineClass(**c) for c in told["classes"])
    return dataclasses.replace(site.settings.records, **told)


def _crew_on(site: JobSite, history: History, day: datetime.date, names: Mapping[str, str], *, leavers: bool) -> tuple[Person, ...]:
    out = []
    here = {p.id: p for p in site.crew}
    alias = aliases(site, history)
    for p in site.crew:
        told = history.person_on(p.id, day, alias)
        # what was told later of the past holds: a first day, a last day, the day of a new role
        role, machines = p.role, p.machines
        if told is not None and (p.role_from is None or day < p.role_from):
            role, machines = str(told["role"]), tuple(told["machines"])
        if p.start is not None and day < p.start and not _had_before(p, site, history):
            continue
        if p.left is not None and p.left <= day and not leavers:
            continue
        out.append(dataclasses.replace(p, role=role, machines=machines))
    for id_ in history.of["person"]:
        if id_ in here or id_ in alias:
            continue
        body = history.person_on(id_, day, alias)
        last = history.of["person"][id_][-1].body  # what was told later of a first and a last day holds
        if body is None and not leavers:
            continue
        told = {**(body or last), "left": last["left"], "start": last["start"]}
        if told["left"] and told["left"] <= day.isoformat() and not leavers:
            continue
        if told["start"] and day.isoformat() < told["start"]:
            continue
        # who was only taken out of the table left on the day the register was told so, as far as anybody knows
        left = _day(told["left"]) or (_day(history.of["person"][id_][-1].day) if body is None else None)
        out.append(Person(id_, names.get(id_, ""), str(told["role"]), tuple(told["machines"]), _day(told["start"]), 0, left,
                          str(told["former_id"]), _day(told["role_from"]), str(told.get("language", ""))))  # fmt: skip
    return tuple(out)


def _had_before(person: Person, site: JobSite, history: History) -> bool:
    """Whether the person was here before the first day, under another id."""
    return bool(person.former_id) and (person.former_id in history.of["person"])


def plain(name: str) -> str:
    """A name without case, accents, signs and the order of its words."""
    bare = "".join(ch for ch in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(ch))
    return " ".join(sorted("".join(ch if ch.isalnum() else " " for ch in bare).split()))


class Signers:
    """Who signs: mentors of today's table and of the past, and the crew, by what was written for them."""

    def __init__(self, site: JobSite, history: History, names: Mapping[str, str]) -> None:
        self.names, self.alias = names, aliases(site, history)
        self.ids: dict[str, set[str]] = {}
        mentors = [(i, names.get(i, "")) for i in history.of["mentor"]] + [(m.id, m.name) for m in site.mentors or ()]
        for id_, name in mentors:
            for text in filter(None, (plain(id_), plain(name))):
                self.ids.setdefault(text, set()).add(id_)
        for id_ in (*(p.id for p in site.crew), *self.alias):
            self.ids.setdefault(plain(id_), {id_})

    def known(self, written: str) -> str:
        """The id of whoever has this id or name; nothing where nobody has it, or several."""
        found = self.ids.get(plain(written), set())
        return next(iter(found)) if len(found) == 1 else ""

    def of(self, id_: str) -> str:
        """The mentor's id in place of one that stands for a name alone, where it is known by now."""
        return (self.known(self.names.get(id_, "")) or id_) if id_.startswith(LOOSE) else id_
