"""The register as statements of the Experience API (xAPI), version 1.0.3.

A statement says of a row what the desk makes of it today: a result that counts is *passed* or *failed* with the marks
of this program; one that is held is *attempted* and bears neither score nor success; what was taken out by a correction
is *voided*. Everything else that does not count is left out and told. Verbs are those of the ADL vocabulary, and own ones
under :data:`TERMS` where it has none.

**Sent again.** An id is made of the row's hash in the chain, of the corrections about it and of what is said, so the same
thing said again has the same id and a store keeps it once. What would be said otherwise has another id: no store is ever
sent two contents under one. The standard lets nobody bring back what was voided, so a row that counts again after a
correction comes under a new id, and what may have been sent of it before is voided.

**Nothing of anybody but ids.** A name is part of what may not change under an id (2.3.1 of the standard), and people change
names and are forgotten. So names stand, where they are asked for, in statements of their own, one a person: *registered*.
A store puts them beside the account, every other statement is the same with and without, and the name that was taken out of
the register, or changed, is voided. What was typed freely (why, conditions, task) never goes out.

``version``, ``stored`` and ``authority`` are left out: the standard has the store set them.
"""

from __future__ import annotations

import datetime
import json
import uuid
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal
from urllib.parse import quote, urlsplit

from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite
from generator.records import rows
from generator.records.corrected import corrected
from generator.records.desk import Desk
from generator.records.mark import Marked
from generator.records.roster import NAME_PRINT, NAMED, History, Signers, aliases
from generator.records.tally import Tally
from generator.records.told import REASONS, Correction
from generator.register.entry import Entry
from generator.register.store import Register
from generator.source.problem import Refusal

Json = dict[str, Any]

NOBODYS = "https://seatwork.invalid/"
"""Where this program's own terms and, unless told otherwise, a site's ids stand: ``.invalid`` belongs to nobody for good (RFC 2606)."""
TERMS = f"{NOBODYS}xapi/"
ADL = "http://adlnet.gov/expapi/"
LANGUAGE = "en"  # of the handbook
PLATFORM = "Seatwork"

AdlVerb = Literal["passed", "failed", "attempted", "attended", "registered", "voided"]
OwnVerb = Literal["showed", "operated", "to-be-trained-again"]
OWN_VERBS: Mapping[OwnVerb, str] = {
    "showed": "showed to a mentor, who signed",
    "operated": "operated",
    "to-be-trained-again": "is to be trained again",
}
TOLD_KINDS = frozenset({"result", "sign-off", "talk", "hours", "retrain"})
"""The kinds of rows that are about something a person did. The rest tells what tables said, or corrects."""


class NoAddress(Refusal):
    """What is given as the address of the accounts is no address."""

    code = "no-address"


@dataclass(frozen=True)
class Statements:
    """The statements in the order of the rows, and what of the register is in none of them, by the reason."""

    statements: tuple[Json, ...]
    left_out: Mapping[str, int] = field(default_factory=dict)

    @property
    def by_verb(self) -> Mapping[str, int]:
        """How many there are of each verb, by its last word."""
        return Counter(str(s["verb"]["id"]).rpartition("/")[2] for s in self.statements)

    def text(self) -> str:
        """One JSON array, a statement a line: the body of a request that posts statements to a store."""
        lines = (json.dumps(s, ensure_ascii=False, separators=(",", ":")) for s in self.statements)
        return "[\n" + ",\n".join(lines) + "\n]\n" if self.statements else "[]\n"


def home_of(site: JobSite, given: str | None) -> str:
    """The address that ids of accounts and activities stand under, with a slash at its end. Raises NoAddress."""
    if given is None:
        return f"{NOBODYS}sites/{quote(site.settings.key, safe='')}/"
    parts = urlsplit(given)
    if (
        parts.scheme not in {"http", "https"}
        or not parts.hostname
        or parts.query
        or parts.fragment
        or given != quote(given, safe="/:%@-._~")
    ):
        raise NoAddress(f"--home: '{given[:60]}' is no address of a web site", "write it as https://training.example.com/north-cut/")
    return given if given.endswith("/") else f"{given}/"


def statements(desk: Desk, now: datetime.datetime, *, home: str | None = None, names: bool = False) -> Statements:
    """What the desk makes of its rows as of ``now`` (UTC), as statements. Raises NoAddress."""
    site, tally = desk.on(now, leavers=True)
    return _Teller(desk, site, tally, now, home_of(desk.site, home), names=names).all()


# --- the parts of a statement --------------------------------------------------------------------


def adl_verb(name: AdlVerb) -> Json:
    """A verb of the ADL vocabulary."""
    return {"id": f"{ADL}verbs/{name}", "display": {LANGUAGE: name}}


def own_verb(name: OwnVerb) -> Json:
    """A verb of this program's own."""
    return {"id": f"{TERMS}verbs/{name}", "display": {LANGUAGE: OWN_VERBS[name]}}


def duration(seconds: float) -> str:
    """A time span as ISO 8601 has it, to the second: PT1H30M."""
    whole = round(seconds)
    hours, minutes, rest = whole // 3600, whole // 60 % 60, whole % 60
    text = "".join(f"{n}{unit}" for n, unit in ((hours, "H"), (minutes, "M"), (rest, "S")) if n)
    return f"PT{text or '0S'}"


def core_of(statement: Any) -> Any:
    """A statement without what only displays it: what makes two of them the same."""
    if isinstance(statement, list):
        return [core_of(x) for x in statement]
    if not isinstance(statement, dict):
        return statement
    return {k: core_of(v) for k, v in statement.items() if k not in {"display", "definition"}}


def statement_id(home: str, *parts: Any) -> str:
    """The id of a statement: a name-based UUID (RFC 9562, version 5) of its parts, within the site's address."""
    space = uuid.uuid5(uuid.NAMESPACE_URL, home)
    return str(uuid.uuid5(space, json.dumps(parts, sort_keys=True, ensure_ascii=True, separators=(",", ":"))))


def extensions(**values: Any) -> Json:
    """Extensions under this program's own terms; what is None is left out."""
    return {f"{TERMS}extensions/{k.replace('_', '-')}": v for k, v in values.items() if v is not None}


def _renamings(told: Sequence[Entry]) -> list[Entry]:
    """Of the rows of one id those from which on it had another name: the first, and each with another print of it."""
    return [e for n, e in enumerate(told) if n == 0 or e.body.get(NAME_PRINT) != told[n - 1].body.get(NAME_PRINT)]


# --- telling the rows -----------------------------------------------------------------------------


class _Teller:
    def __init__(self, desk: Desk, site: JobSite, tally: Tally, now: datetime.datetime, home: str, *, names: bool) -> None:
        self.desk, self.site, self.tally, self.home = desk, site, tally, home
        self.now = f"{now:{rows.TIME}}"
        self.entries = [e for e in desk.rows.entries() if e.taken <= self.now]
        history, known = History(self.entries), desk.rows.names()
        self.alias, self.signers = aliases(desk.site, history), Signers(desk.site, history, known)
        self.names: Mapping[str, str] = known if names else {}
        self.forgotten = desk.rows.forgotten() if isinstance(desk.rows, Register) else {}
        self.naming = {kind: {i: _renamings(found) for i, found in history.of[kind].items()} for kind in NAMED}
        self.mentor_rows = history.of["mentor"]
        told = corrected(self.entries, known, {p.id: p.name for p in site.crew}, now.date().isoformat())
        self.voided: dict[int, Correction] = {n: c for n, c in told.said.items() if c.says == "void"}
        counting: list[Any] = [*tally.marked, *tally.signoffs, *tally.talks, *tally.hours, *tally.orders]
        self.counted: dict[int, Any] = {x.entry: x for x in counting if x.entry is not None}
        self.held = {m.entry for m in tally.held}
        self.why = {f.row: f.name for f in reversed(tally.flags) if f.row is not None and (not f.counted or f.name == "told")}
        self.titles = {e.lesson: str(e.body["title"]) for e in self.entries if e.kind == "result"}  # the last told
        self.about = self._corrections()
        self.slips: dict[str, list[Entry]] = {}
        for e in self.entries:
            if e.kind == "result" and e.body.get("slip"):
                self.slips.setdefault(str(e.body["slip"]), []).append(e)
        self.left_out: Counter[str] = Counter()

    def _corrections(self) -> Mapping[int, list[Entry]]:
        """The corrections by the row they are about, also those about a correction of it."""
        out: dict[int, list[Entry]] = {}
        root: dict[int, int] = {}
        for e in self.entries:
            if e.kind == "correction" and e.about is not None:
                root[e.n] = root.get(e.about, e.about)
                out.setdefault(root[e.n], []).append(e)
        return out

    def all(self) -> Statements:
        out: list[Json] = []
        for e in self.entries:
            if e.kind in TOLD_KINDS:
                out += self.row(e)
            elif e.kind in NAMED:
                out += self.named(e)
            elif e.kind != "correction":  # those are in what they correct
                self.left_out["rows of machines, roles, rules, editions and takings-in"] += 1
        return Statements(tuple(out), dict(sorted(self.left_out.items())))

    def row(self, e: Entry) -> Iterator[Json]:
        """What is said of one row."""
        story = self.story(e)
        said: Json | None = None
        if e.n in self.counted:
            said = self.finished(e, self.content(e, self.counted[e.n]), story)
            yield said
        elif e.n in self.held:
            yield self.finished(e, self.attempted(e), story)
            if not story:
                return
        elif e.n not in self.voided and not self.told_twice(e):
            self.left_out[f"rows that do not count ({self.why.get(e.n, 'not of anybody here')})"] += 1
            return
        for before in self.before(e, story):
            if said is None or before["id"] != said["id"]:
                yield self.void(e, before["id"])

    def named(self, e: Entry) -> Iterator[Json]:
        """The name that stands beside an id since this row, where names are asked for; that it is void, where it stands there no longer."""
        crew = str(e.body["id"])
        told = self.naming[e.kind][crew]
        if e not in told:
            return
        id_ = statement_id(self.home, "name", e.chain)
        if crew in self.forgotten or e is not told[-1]:
            yield self.void(e, id_)
        elif self.names.get(crew):
            actor = {"objectType": "Agent", "name": self.names[crew], "account": self.account(crew)["account"]}
            yield {"id": id_, "actor": actor, "verb": adl_verb("registered"), "object": self.handbook(),
                   "context": {"platform": PLATFORM, "language": LANGUAGE, "extensions": extensions(row=e.n, chain=e.chain, registered_as=e.kind)},
                   "timestamp": e.taken}  # fmt: skip

    def told_twice(self, e: Entry) -> bool:
        """Whether a short code is of a try that counts by what could be marked."""
        return bool(e.body.get("told")) and any(o.n in self.counted for o in self.slips.get(str(e.body.get("slip")), ()))

    def story(self, e: Entry) -> tuple[Entry, ...]:
        """All corrections that had to do with whether a row counts, in their order."""
        same = self.slips.get(str(e.body.get("slip")), ()) if e.body.get("told") else ()
        about = dict.fromkeys((e.n, *(o.n for o in same)))
        return tuple(sorted((c for a in about for c in self.about.get(a, ())), key=lambda c: c.n))

    def before(self, e: Entry, story: tuple[Entry, ...]) -> list[Json]:
        """What may have been said of a row that counted: under each id of its person, after each of its corrections.

        Of a row nobody corrected, with one id, that is only what is said today.
        """
        out: dict[str, Json] = {}
        for crew in dict.fromkeys((e.crew, self.who(e.crew))):
            for mentor in self.mentors(e):
                for n in range(len(story) + 1):
                    if n and story[n - 1].about == e.n and story[n - 1].body["says"] == "void":
                        continue  # it counted before and after, but not then
                    made = self.finished(e, self.content(e, self.as_counted(e, crew, mentor)), story[:n])
                    out[made["id"]] = made
        return list(out.values())

    def mentors(self, e: Entry) -> tuple[str, ...]:
        """The mentors that seat time may have been told with: none beside the one, where the mentor's row was mended or does not hold."""
        mentor = self.signers.of(str(e.body.get("mentor", "")))
        if e.kind != "hours" or not mentor:
            return (mentor,)
        mended = any(row.n > e.n for row in self.mentor_rows.get(mentor, ()))
        now = self.counted.get(e.n)
        return (mentor, "") if mended or (now is not None and not now.mentor) else (mentor,)

    def as_counted(self, e: Entry, crew: str, mentor: str) -> Any:
        """A row as the thing it is, whether it counts or not."""
        if e.kind == "result":
            return rows.result_of(e, self.site.folder, crew)
        if e.kind == "sign-off":
            return rows.signoff_of(e, crew)
        if e.kind == "talk":
            return rows.talk_of(e, crew)
        if e.kind == "hours":
            found = rows.hours_of(e, crew)
            return found if mentor else type(found)(**{f: getattr(found, f) for f in found.__slots__} | {"mentor": ""})
        return rows.order_of(e, crew)

    def finished(self, e: Entry, content: Json, story: Sequence[Entry]) -> Json:
        """A statement with its id at its head."""
        return {"id": statement_id(self.home, e.chain, [c.chain for c in story], core_of(content)), **content}

    # --- who, what, when ---

    def who(self, crew: str) -> str:
        return self.alias.get(crew, crew)

    def account(self, id_: str) -> Json:
        """A person by id."""
        return {"objectType": "Agent", "account": {"homePage": self.home, "name": id_}}

    def activity(self, path: Sequence[str], type_: str, name: str = "") -> Json:
        """An activity of the site: its id is a path below the site's address."""
        definition: Json = {"type": type_ if ":" in type_ else f"{ADL}activities/{type_}"}
        if name:
            definition["name"] = {LANGUAGE: name}
        return {"objectType": "Activity", "id": self.home + "/".join(quote(p, safe="") for p in path), "definition": definition}

    def handbook(self) -> Json:
        return self.activity(("handbook",), "course", self.site.settings.name)

    def lesson(self, id_: str) -> Json:
        return self.activity(("lessons", id_), "lesson", self.titles.get(id_, id_))

    def machine(self, id_: str) -> Json:
        if id_ == ON_FOOT:
            return self.activity(("machines", "on-foot"), f"{TERMS}activities/work-on-foot", "work on foot")
        return self.activity(("machines", id_), f"{TERMS}activities/machine", id_)

    def when(self, e: Entry) -> str:
        """The moment of what a row is about: noon of a day alone, and never later than it was taken in, whatever a phone's clock said."""
        return min(e.at if e.at and e.body.get("origin") != "paper" else f"{e.day}T12:00:00Z", e.taken)

    def frame(self, e: Entry, *, parent: Json | None = None, other: Json | None = None, instructor: str = "", **more: Any) -> Json:
        """The context: whose handbook, which edition, who taught, which row of the register."""
        context: Json = {}
        if instructor:
            context["instructor"] = self.account(instructor)
        around: Json = {"parent": [parent]} if parent else {}
        around["grouping"] = [self.handbook()]
        if other:
            around["other"] = [other]
        context["contextActivities"] = around
        if e.edition:
            context["revision"] = e.edition
        # the language in which it was done, where that is told; else that of the names in here
        context |= {"platform": PLATFORM, "language": str(e.body.get("language") or LANGUAGE)}
        day_only = True if not e.at or e.body.get("origin") == "paper" else None
        return context | {"extensions": extensions(row=e.n, chain=e.chain, taken=e.taken, day_only=day_only, **more)}

    # --- what is said ---

    def content(self, e: Entry, told: Any) -> Json:
        """The statement of a row that counts, without its id. ``told`` is the row as its own kind of thing."""
        crew = told.result.crew if isinstance(told, Marked) else told.crew
        out: Json = {"actor": self.account(crew)}
        if e.kind == "result":
            out |= self.result(e, told)
        elif e.kind == "sign-off":
            mentor = self.signers.of(str(e.body["mentor"]))
            out |= {
                "verb": own_verb("showed"), "object": self.activity(("lessons", told.lesson, "shown"), "performance", self.shown(told.lesson)),
                "result": {"success": True, "completion": True},
                "context": self.frame(e, parent=self.lesson(told.lesson), other=self.machine(told.machine), instructor=mentor,
                                      machine=told.machine, machine_kind=told.kind or None, machine_class=told.machine_class or None,
                                      hours_watched=told.hours),
            }  # fmt: skip
        elif e.kind == "talk":
            out |= {
                "verb": adl_verb("attended"), "object": self.activity(("talks", told.lesson), "meeting", self.titles.get(told.lesson, told.lesson)),
                "context": self.frame(e, parent=self.lesson(told.lesson), instructor=self.signers.of(told.leader), sheet=told.sheet or None),
            }  # fmt: skip
        elif e.kind == "hours":
            out |= {
                "verb": own_verb("operated"), "object": self.machine(told.machine),
                "result": {"duration": duration(told.hours * 3600), "extensions": extensions(hours=told.hours)},
                "context": self.frame(e, instructor=told.mentor, machine_kind=told.kind or None, on_slope=told.slope),
            }  # fmt: skip
        else:
            object_ = self.lesson(told.lesson) if told.lesson else self.handbook()
            out |= {"verb": own_verb("to-be-trained-again"), "object": object_, "context": self.frame(e, reason=REASONS[told.why])}
        return out | {"timestamp": self.when(e)}

    def shown(self, lesson: str) -> str:
        return f"{self.titles.get(lesson, lesson)}, shown on the machine"

    def result(self, e: Entry, m: Marked) -> Json:
        result: Json = {}
        if m.of:
            result["score"] = {"scaled": round(m.right / m.of, 6), "raw": m.right, "min": 0, "max": m.of}
        result |= {"success": m.passed, "completion": True}
        r = m.result
        if r.started is not None and r.finished >= r.started:
            result["duration"] = duration((r.finished - r.started).total_seconds())
        result["extensions"] = extensions(
            pass_mark=m.lesson.pass_mark, missed_and_must_be_right=list(m.missed_must) or None, marked_again=not m.told, handed_in_as=r.origin,
            right_by_question={a.q: a.right for a in m.answers} or None,
        )  # fmt: skip
        return {
            "verb": adl_verb("passed" if m.passed else "failed"), "object": self.quiz(m.lesson.id), "result": result,
            "context": self.frame(e, parent=self.lesson(m.lesson.id), figures=m.lesson.figures or None),
        }  # fmt: skip

    def quiz(self, lesson: str) -> Json:
        return self.activity(("lessons", lesson, "quiz"), "assessment", f"{self.titles.get(lesson, lesson)}, quiz")

    def attempted(self, e: Entry) -> Json:
        """A result that is held: that there was a try, and nothing of how it went."""
        return {
            "actor": self.account(self.who(e.crew)), "verb": adl_verb("attempted"), "object": self.quiz(e.lesson),
            "context": self.frame(e, parent=self.lesson(e.lesson), held=self.why.get(e.n, "held")), "timestamp": self.when(e),
        }  # fmt: skip

    def void(self, e: Entry, id_: str) -> Json:
        """That what may have been said of a row holds no longer: by whom it was corrected, else by this program's desk."""
        c = self.voided.get(e.n)
        row = next((x for x in self.entries if c is not None and x.n == c.entry), None)
        last = row or e
        desk = {"objectType": "Agent", "account": {"homePage": TERMS, "name": "desk"}}
        content: Json = {
            "actor": self.account(self.signers.of(c.by)) if c is not None else desk, "verb": adl_verb("voided"),
            "object": {"objectType": "StatementRef", "id": id_}, "context": {"extensions": extensions(row=e.n, corrected_by_row=row and row.n)},
            "timestamp": self.when(last),
        }  # fmt: skip
        return self.finished(last, content, ())
