"""Taking in and judging: what was handed in goes into the register, and how things stand is worked out from its rows."""

from __future__ import annotations

import contextlib
import datetime
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from generator import __version__
from generator.jobsite.classes import class_of
from generator.jobsite.columns import CREW, MENTORS
from generator.jobsite.model import JobSite
from generator.records import roster, rows
from generator.records.changed import changes_in, taken_day
from generator.records.editions import Editions, load_editions
from generator.records.flags import Flag
from generator.records.intake import Intake, Roster, take_in
from generator.records.judge import Scene, judge
from generator.records.mark import Marked
from generator.records.readiness import months_on
from generator.records.tally import Tally, sorted_flags
from generator.records.told import Hours
from generator.register.entry import Entry, Kind, New
from generator.register.store import LOOSE, Register

OWN_TABLES = ("signoffs.csv", "hours.csv", "talks.csv", "retrain.csv", "corrections.csv")
"""What the coordinator writes, beside the folder of what is handed in."""


class Rows(Protocol):
    """What of a register is used here."""

    def take(self, new: Sequence[New], taken: datetime.datetime) -> list[tuple[int, bool]]:
        """Take rows in; the number of each, and whether it is new."""

    def entries(self, *, kind: Kind | None = None, crew: str | None = None, lesson: str | None = None) -> Iterator[Entry]:
        """The rows in their order."""

    def names(self) -> Mapping[str, str]:
        """Names by id."""

    def put_names(self, names: Mapping[str, str]) -> None:
        """Set names."""

    def loose_id(self, name: str) -> str:
        """The id that stands for a name nobody gave an id."""

    def known_ids(self) -> frozenset[str]:
        """Ids that are or were somebody's."""

    def head(self) -> tuple[int, str]:
        """The last row's number and chain."""

    def writing(self) -> contextlib.AbstractContextManager[None]:
        """All or nothing of what is written within."""


@dataclass
class Loose:
    """Rows that are kept nowhere: for looking at results without taking them in."""

    rows: list[Entry] = field(default_factory=list)
    known: dict[tuple[str, str], int] = field(default_factory=dict)
    called: dict[str, str] = field(default_factory=dict)
    loose: dict[str, str] = field(default_factory=dict)

    def take(self, new: Sequence[New], taken: datetime.datetime) -> list[tuple[int, bool]]:
        """As a register does."""
        out = []
        for x in new:
            n = self.known.get((x.kind, x.identity))
            out.append((n or len(self.rows) + 1, n is None))
            if n is None:
                n = self.known[x.kind, x.identity] = len(self.rows) + 1
                self.rows.append(Entry(n, x.kind, x.day, x.at, f"{taken:{rows.TIME}}", x.crew, x.lesson, x.machine, x.edition, x.about,
                                       x.body, "", "", x.where))  # fmt: skip
        return out

    def entries(self, *, kind: Kind | None = None, crew: str | None = None, lesson: str | None = None) -> Iterator[Entry]:
        """As a register does."""
        return (e for e in self.rows if kind in {None, e.kind} and crew in {None, e.crew} and lesson in {None, e.lesson})

    def names(self) -> Mapping[str, str]:
        """As a register does."""
        return self.called

    def put_names(self, names: Mapping[str, str]) -> None:
        """As a register does."""
        self.called |= names

    def loose_id(self, name: str) -> str:
        """As a register does."""
        key = " ".join(name.casefold().split())
        if key not in self.loose:
            self.loose[key] = f"{LOOSE}{len(self.loose) + 1}"
            self.called[self.loose[key]] = name
        return self.loose[key]

    def known_ids(self) -> frozenset[str]:
        """As a register does."""
        return frozenset(self.called)

    def head(self) -> tuple[int, str]:
        """As a register does."""
        return len(self.rows), ""

    @contextlib.contextmanager
    def writing(self) -> Iterator[None]:
        """As a register does."""
        yield


@dataclass
class Desk:
    """A site with its rows: what the commands work with."""

    site: JobSite
    rows: Rows
    editions: Editions
    days: Mapping[str, datetime.date]
    fresh: dict[int, Marked] = field(default_factory=dict)
    flags: list[Flag] = field(default_factory=list)
    files: int = 0
    left_aside: int = 0
    taken: int = 0  # how many rows were new
    before: int | None = None  # the last row before the taking-in
    doubtful: dict[str, int] = field(default_factory=dict)

    def take_in(self, given: Sequence[Path], now: datetime.datetime) -> None:
        """Read ``given`` into the rows. ``now`` is this computer's clock, UTC."""
        known = list(self.rows.entries())
        history = roster.History(known)
        found = take_in(self.site, self.editions, self._roster(history), given, now)
        head = self.before = self.rows.head()[0]
        fit = [i for i, x in enumerate(found.new) if x.about is None or 0 < x.about <= head]
        for x in found.new:
            if x.about is not None and not 0 < x.about <= head:
                self.flags.append(Flag(x.where, "mistyped", f"there is no row {x.about} in the register", "check the number"))
        ever = self.rows.known_ids()
        with self.rows.writing():
            self.rows.take(roster.changes(self.site, known, lambda r: class_of(r, self.site.settings.records), now), now)
            taken = self.rows.take([found.new[i] for i in fit], now)
            just_now = [found.new[i] for i, (_, fresh) in zip(fit, taken, strict=True) if fresh]
            self._put_names(ever, {x.crew for x in just_now if x.kind == "correction" and x.body["says"] == "same person"})
        self.taken = len(just_now)
        self.fresh |= {n: found.marked[i] for i, (n, fresh) in zip(fit, taken, strict=True) if fresh and i in found.marked}
        self.flags += found.flags
        self.files, self.left_aside = self.files + found.files, self.left_aside + found.left_aside
        self._no_longer_there(found, known)

    def settle(self, now: datetime.datetime) -> None:
        """Note that there was a taking-in, and write the dated table of all rows, where anything is new."""
        n = self.rows.head()[0]
        if n != self.before and isinstance(self.rows, Register):  # also where nothing but a table or a rule was changed
            self.rows.take([New("taking", f"{now:%Y-%m-%d}", {"program": __version__, "rows": self.taken, "files": self.files}, f"{now:{rows.TIME}}|{n}")],
                           now)  # fmt: skip
            self.rows.export(now.date())

    def _roster(self, history: roster.History) -> Roster:
        rules, names = self.site.settings.records, self.rows.names()
        here = (*self.site.machines, *self.site.trucks)
        people = {e: names.get(e, "") for e in history.of["person"]} | {p.former_id: p.name for p in self.site.crew if p.former_id}
        people |= {p.id: p.name for p in self.site.crew}
        by_name = {plain(m.name): m.id for m in self.site.mentors or ()} | {plain(m.id): m.id for m in self.site.mentors or ()}
        crew = {plain(p.id): p.id for p in self.site.crew}

        def id_of(name: str) -> str:
            return by_name.get(plain(name)) or crew.get(plain(name)) or self.rows.loose_id(name)

        return Roster(
            people, history.kinds() | {r.id: r.kind for r in here}, history.classes() | {r.id: class_of(r, rules) for r in here}, id_of
        )

    def _put_names(self, ever: frozenset[str], same: set[str]) -> None:
        """Names of new ids; of an id with another name already only where somebody has just said that it is the same person."""
        names = self.rows.names()
        put: dict[str, str] = {}
        for id_, name in [(p.id, p.name) for p in self.site.crew] + [(m.id, m.name) for m in self.site.mentors or ()]:
            before = names.get(id_, "")
            if id_ not in ever or (before and plain(before) == plain(name)) or id_ in same:
                put[id_] = name
        self.rows.put_names({i: n for i, n in put.items() if names.get(i) != n})

    def doubts(self) -> list[Flag]:
        """The crew ids whose name is another one than the register knows: their rows don't count until somebody says who it is."""
        names, ever = self.rows.names(), self.rows.known_ids()
        out = []
        table = self.site.table(CREW.file)
        for p in self.site.crew:
            before = names.get(p.id, "")
            if p.id not in ever or plain(before) == plain(p.name):
                continue
            self.doubtful[p.id] = self.rows.head()[0]
            was = f"was {before}" if before else "was somebody's whose name was taken out"
            out.append(Flag(f"{table}:{p.line}", "renamed", f"{p.id} {was} and is {p.name} here, so nothing of it counts",
                            f"a new person needs a new id; the same person: write {p.id}, same person, and why in corrections.csv", p.id))  # fmt: skip
        crew = {p.id for p in self.site.crew}
        for m in self.site.mentors or ():
            before = names.get(m.id, "")
            if m.id in crew or not before or plain(before) == plain(m.name):
                continue
            self.doubtful[m.id] = self.rows.head()[0]
            out.append(Flag(f"{self.site.table(MENTORS.file)}:{m.line}", "renamed",
                            f"mentor {m.id} was {before} and is {m.name} here, so nothing that was signed under this id counts",
                            f"a new mentor needs a new id; the same person: write {m.id}, same person, and why in corrections.csv"))  # fmt: skip
        return out

    def away(self, site: JobSite, hours: Sequence[Hours], day: datetime.date) -> list[Flag]:
        """Who has had seat time, and none for longer than the site's rule."""
        most = site.settings.records.away_days
        if most is None:
            return []
        last: dict[str, datetime.date] = {}
        for h in hours:
            last[h.crew] = max(h.day, last.get(h.crew, h.day))
        table = self.site.table(CREW.file)
        return [
            Flag(f"{table}:{p.line}", "away", f"{p.id} has had no seat time since {last[p.id]}, for {(day - last[p.id]).days} days",
                 f"let a mentor look first; to train again write {p.id}, all, the day, long away in retrain.csv", p.id, counted=True)
            for p in site.crew if p.id in last and (day - last[p.id]).days > most
        ]  # fmt: skip

    def names_kept(self, history: roster.History, day: datetime.date) -> list[Flag]:
        """The names of those who left longer ago than names are kept."""
        names, keep = self.rows.names(), self.site.settings.records.keep_months
        out = []
        for id_, told in history.of["person"].items():
            left = str(told[-1].body["left"]) or (told[-1].day if told[-1].body.get("gone") else "")
            if left and names.get(id_) and months_on(datetime.date.fromisoformat(left), keep) < day:
                out.append(Flag("register", "name-kept", f"{id_} left on {left}, and names are kept for {keep} months",
                                f"take the name out: seatwork register {self.site.folder} --forget {id_}", id_, counted=True))  # fmt: skip
        return out

    def _no_longer_there(self, found: Intake, known: Sequence[Entry]) -> None:
        """Rows of the coordinator's own tables that were taken in and stand there no longer."""
        void = {e.about for e in self.rows.entries(kind="correction") if e.body["says"] == "void"}
        files = {f"{t}:" for t in OWN_TABLES}
        read_now = {x.where.rpartition(":")[0] + ":" for x in found.new if x.where}
        there = {(x.kind, x.identity) for x in found.new}
        for e in known:
            file = e.where.rpartition(":")[0] + ":"
            if e.kind not in {"sign-off", "talk", "hours", "retrain"} or file not in files & read_now or e.n in void:
                continue
            if (e.kind, _identity(e)) not in there:
                self.flags.append(Flag(e.where, "gone", f"row {e.n} was taken in from here and stands here no longer; it still counts",
                                           f"to take it out write {e.n}, void, and why in corrections.csv", e.crew, e.lesson, True, e.n))  # fmt: skip

    def on(self, now: datetime.datetime, day: datetime.date | None = None, *, leavers: bool = False) -> tuple[JobSite, Tally]:
        """The site and what counts, as of ``now`` in UTC and the ``day`` (else that of ``now``). With ``leavers`` also who had left by then."""
        known = list(self.rows.entries())
        history, names = roster.History(known), self.rows.names()
        flags = self.doubts()
        day = day or now.date()
        site = roster.site_on(self.site, history, day, names, self.days, leavers=leavers)
        here = {r.id: r for r in (*self.site.machines, *self.site.trucks)}
        scene = Scene(
            site, now, day, history, roster.aliases(self.site, history), names, self.editions, self.days,
            history.classes() | {i: class_of(r, site.settings.records) for i, r in here.items()}, history.kinds() | {i: r.kind for i, r in here.items()},
            dict(self.doubtful),
        )  # fmt: skip
        judged = judge(known, scene, self.fresh)
        flags += [*self.away(site, judged.hours, day), *self.names_kept(history, day)]
        self.editions.read(site.settings.edition)
        out = Tally(
            judged.marked, sorted_flags([*self.flags, *flags, *judged.flags, *self.editions.flags]), judged.signoffs, self.left_aside, self.files,
            self.editions, judged.held, judged.talks, judged.hours, judged.orders, judged.corrections,
            {e.n: taken_day(e) for e in known}, frozenset(e.n for e in known if e.taken > f"{now:{rows.TIME}}"), changes_in(known),
            min((taken_day(e) for e in known), default=None) if isinstance(self.rows, Register) else None,
        )  # fmt: skip
        return site, out


def _identity(e: Entry) -> str:
    """The identity of a row of the coordinator's own tables, made from the row again."""
    made = {
        "sign-off": lambda: rows.of_signoff(rows.signoff_of(e, e.crew), ""), "talk": lambda: rows.of_talk(rows.talk_of(e, e.crew), ""),
        "hours": lambda: rows.of_hours(rows.hours_of(e, e.crew), ""), "retrain": lambda: rows.of_order(rows.order_of(e, e.crew), ""),
    }[e.kind]()  # fmt: skip
    return made.identity


def plain(name: str) -> str:
    """A name without case, accents, signs and the order of its words."""
    bare = "".join(ch for ch in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(ch))
    return " ".join(sorted("".join(ch if ch.isalnum() else " " for ch in bare).split()))


def loose_desk(site: JobSite) -> Desk:
    """A desk whose rows are kept nowhere."""
    editions = load_editions(site.folder)
    editions.read(site.settings.edition)
    return Desk(site, Loose(), editions, roster.edition_days(site.folder))


@contextlib.contextmanager
def open_desk(site: JobSite, *, write: bool) -> Iterator[Desk]:
    """The desk of a site's own register. ``write`` makes one where there is none. Raises RegisterFault."""
    with Register.open(site.folder, write=write, create=write) as register:
        editions = load_editions(site.folder)
        editions.read(site.settings.edition)
        yield Desk(site, register, editions, roster.edition_days(site.folder))


def tally(site: JobSite, given: Sequence[Path], now: datetime.datetime) -> Tally:
    """Read and mark everything in ``given`` (files and folders) as of ``now``, UTC. Changes nothing."""
    desk = loose_desk(site)
    desk.take_in(given, now)
    return desk.on(now)[1]
