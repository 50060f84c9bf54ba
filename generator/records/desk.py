"""Taking in and judging: what was handed in goes into the register, and how things stand is worked out from its rows."""

from __future__ import annotations

import contextlib
import dataclasses
import datetime
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from generator import __version__
from generator.jobsite.classes import class_of
from generator.jobsite.columns import CREW
from generator.jobsite.model import JobSite, a
from generator.language.words import mark, said
from generator.records import roster, rows
from generator.records.changed import changes_in, taken_day
from generator.records.corrected import CORRECTED, Corrected, corrected
from generator.records.editions import Editions, load_editions
from generator.records.flags import Flag
from generator.records.intake import Intake, Roster, take_in
from generator.records.judge import Scene, judge
from generator.records.mark import Marked
from generator.records.readiness import months_on
from generator.records.roster import Signers, plain
from generator.records.tables import kind_called
from generator.records.tally import Tally, sorted_flags
from generator.records.told import Correction, Hours
from generator.records.workbooks import KEPT
from generator.register.entry import Entry, Kind, New
from generator.register.store import LOOSE, Register

OWN_TABLES = ("signoffs.csv", "hours.csv", "talks.csv", "retrain.csv", "corrections.csv")
"""What the coordinator writes, beside the folder of what is handed in."""
SAME = mark("a new person needs a new id; the same person: write {id}, same person, your id and why in corrections.csv")


class Rows(Protocol):
    """What of a register is used here."""

    def take(self, new: Sequence[New], taken: datetime.datetime) -> list[tuple[int, bool]]:
        """Take rows in; the number of each, and whether it is new."""

    def entries(self, *, kind: Kind | None = None, crew: str | None = None, lesson: str | None = None) -> Iterator[Entry]:
        """The rows in their order."""

    def names(self) -> Mapping[str, str]:
        """Names by id."""

    def salts(self) -> Mapping[str, bytes]:
        """Salts of names by id."""

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

    def salts(self) -> Mapping[str, bytes]:
        """None: nothing is kept that a print could be held against."""
        return {}

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

    def take_in(self, given: Sequence[Path], now: datetime.datetime, only: Collection[Path] | None = None) -> None:
        """Read ``given``, or ``only`` these files of it, into the rows. ``now`` is this computer's clock, UTC."""
        with self.rows.writing():  # one transaction, with the ids that names are given on the way
            self._take_in(given, now, only)

    def _take_in(self, given: Sequence[Path], now: datetime.datetime, only: Collection[Path] | None) -> None:
        known = list(self.rows.entries())
        history = roster.History(known)
        self.before = self.rows.head()[0]
        ever, names = self.rows.known_ids(), dict(self.rows.names())
        signers = Signers(self.site, history, names)
        found = take_in(self.site, self.editions, self._roster(history, signers), given, now, only)
        names = dict(self.rows.names())  # with those that were given an id just now
        signers = Signers(self.site, history, names)
        there = {k for e in known for k in keys_of(e, signers)}
        again = [bool(keys_of(x, signers) & there) for x in found.new]  # also if the mentor's name stands where the id stood
        answered = {x.crew for x, old in zip(found.new, again, strict=True) if _same_person(x) and not old}
        fit = [i for i, x in enumerate(found.new) if not again[i] and self._fits(x, known, signers, answered)]
        taken = self.rows.take([found.new[i] for i in fit], now)
        just_now = [found.new[i] for i, (_, fresh) in zip(fit, taken, strict=True) if fresh]
        after = list(self.rows.entries())
        renamed = self._put_names(ever, history, after, {n for n, fresh in taken if fresh})
        names = dict(self.rows.names())
        prints = {i: roster.name_print(salt, names[i]) for i, salt in self.rows.salts().items()}
        self.rows.take(roster.changes(self.site, known, lambda r: class_of(r, self.site.settings.records), now, prints, renamed), now)
        self.taken = len(just_now)
        self.fresh |= {
            n: dataclasses.replace(found.marked[i], entry=n)
            for i, (n, fresh) in zip(fit, taken, strict=True)
            if fresh and i in found.marked
        }
        self.flags += found.flags
        self.files, self.left_aside = self.files + found.files, self.left_aside + found.left_aside
        word = corrected(after, signers.names, dict(self._called())).said
        self._no_longer_there(found, known, signers, word)

    def _fits(self, x: New, known: Sequence[Entry], signers: Signers, answered: Collection[str]) -> bool:
        """Whether it can be a row; if not, that is told."""
        if x.about is not None:
            if not 0 < x.about <= len(known):
                self.flags.append(
                    Flag(x.where, "mistyped", said("there is no row {about} in the register", about=x.about), said("check the number"))
                )
                return False
            kind = known[x.about - 1].kind
            if kind not in CORRECTED:
                self.flags.append(Flag(x.where, "mistyped", said('row {about} is about a {kind}, and tells what the tables said', about=x.about, kind=kind),
                                       said('check the number; what a table says is mended there')))  # fmt: skip
                return False
        mentor = signers.of(str(x.body["mentor"])) if x.kind in {"sign-off", "hours"} else ""
        for m in self.site.mentors or ():
            before = signers.names.get(m.id, "")
            if m.id == mentor and m.id not in answered and before and plain(before) != plain(m.name):
                self.flags.append(Flag(x.where, "renamed", said('{id} was {before} and is {name} in mentors.csv, so this is not taken in', id=m.id, before=before, name=m.name),
                                       said(SAME, id=m.id), x.crew, x.lesson))  # fmt: skip
                return False
        return True

    def settle(self, now: datetime.datetime) -> None:
        """Note that there was a taking-in, and write the dated table of all rows, where anything is new."""
        n = self.rows.head()[0]
        if n != self.before and isinstance(self.rows, Register):  # also where nothing but a table or a rule was changed
            self.rows.take([New("taking", f"{now:%Y-%m-%d}", {"program": __version__, "rows": self.taken, "files": self.files}, f"{now:{rows.TIME}}|{n}")],
                           now)  # fmt: skip
            self.rows.export(now.date())

    def _roster(self, history: roster.History, signers: Signers) -> Roster:
        rules, names = self.site.settings.records, signers.names
        here = (*self.site.machines, *self.site.trucks)
        people = {e: names.get(e, "") for e in history.of["person"]} | {p.former_id: p.name for p in self.site.crew if p.former_id}
        people |= {p.id: p.name for p in self.site.crew}
        mentors = frozenset(history.of["mentor"]) | {m.id for m in self.site.mentors or ()}
        return Roster(
            people, history.kinds() | {r.id: r.kind for r in here}, history.classes() | {r.id: class_of(r, rules) for r in here},
            lambda written: signers.known(written) or self.rows.loose_id(written), mentors,
        )  # fmt: skip

    def _called(self) -> list[tuple[str, str]]:
        """The ids of the crew and the mentors with the names they have in the tables now."""
        return [(p.id, p.name) for p in self.site.crew] + [(m.id, m.name) for m in self.site.mentors or ()]

    def _put_names(self, ever: frozenset[str], history: roster.History, after: Sequence[Entry], fresh: Collection[int]) -> frozenset[str]:
        """Names of new ids; of an id with another name already only where somebody has just said that it is the same person.

        Returns the ids of these last.
        """
        names, called = self.rows.names(), self._called()
        word = corrected(after, names, dict(called))
        same = {c.crew for c in word.standing if c.says == "same person" and c.entry in fresh}
        put: dict[str, str] = {}
        for id_, name in called:
            before = names.get(id_, "")
            if id_ not in ever or (before and plain(before) == plain(name)) or id_ in same:
                put[id_] = name
        now = dict(called)
        put |= {old: now[id_] for old, id_ in roster.aliases(self.site, history).items() if id_ in now and same & {old, id_}}
        self.rows.put_names({i: n for i, n in put.items() if names.get(i) != n})
        return frozenset(i for i, n in put.items() if i in ever and plain(names.get(i, "")) != plain(n))

    def doubts(self, known: Sequence[Entry] = ()) -> list[Flag]:
        """What bears the id of another: crew ids, whose rows don't count until somebody says who it is, mentors and machines."""
        names, head = self.rows.names(), self.rows.head()[0]
        word = corrected(known, names, dict(self._called()))
        return [*self._doubtful_people(names, word, roster.History(known), head), *self._doubtful_rest(names, known)]

    def _doubtful_people(self, names: Mapping[str, str], word: Corrected, history: roster.History, head: int) -> Iterator[Flag]:
        ever = self.rows.known_ids()
        alias = roster.aliases(self.site, history)
        table = self.site.table(CREW.file)
        here = {p.id for p in self.site.crew}
        otherwise = {i.casefold(): i for i in history.of["person"] if i not in here and i not in alias}
        for p in self.site.crew:
            twin = otherwise.get(p.id.casefold())
            own = history.of["person"].get(p.id)
            if twin is not None and (own is None or history.of["person"][twin][0].n < own[0].n):
                yield Flag(f"{table}:{p.line}", "renamed", said('{id} is new here, and {twin} is known: what is of {twin} does not count for {id}', id=p.id, twin=twin),
                           said('write the id as it was, {twin}; a new person needs an id of another kind', twin=twin), p.id)  # fmt: skip
            for id_ in (p.id, *(old for old, now in alias.items() if now == p.id)):
                before, taken_back = names.get(id_, ""), word.no_longer_same(id_)
                if taken_back is not None:
                    self.doubtful[id_] = taken_back.entry or head
                    what = said(
                        "row {row} said that {id} is the same person still, and was taken out; so nothing of before counts",
                        row=taken_back.entry,
                        id=id_,
                    )
                elif id_ not in ever or (before and plain(before) == plain(p.name)):
                    continue
                elif not before and (p.left is not None or (id_ != p.id and word.same(p.id) is not None)):
                    continue  # the name was taken out of a leaver's records, and nobody else bears the id
                else:
                    self.doubtful[id_] = head
                    was = said("was {before}", before=before) if before else said("was somebody's whose name was taken out")
                    what = (said("{id} {was} and is {name} here, so nothing of it counts", id=id_, was=was, name=p.name) if id_ == p.id else
                            said("{id}, the former id of {now} {name}, {was}; so nothing of it counts", id=id_, now=p.id, name=p.name, was=was))  # fmt: skip
                fix = (
                    said(SAME, id=p.id)
                    if before or id_ != p.id
                    else said("give {name} a new id; the same person: write {id} as its former_id", name=p.name, id=id_)
                )
                yield Flag(f"{table}:{p.line}", "renamed", what, fix, p.id)

    def _doubtful_rest(self, names: Mapping[str, str], known: Sequence[Entry]) -> Iterator[Flag]:
        for m in self.site.mentors or ():
            before = names.get(m.id, "")
            if before and plain(before) != plain(m.name):
                yield Flag(f"{self.site.file_of(m, 'mentors.csv')}:{m.line}", "renamed", said('{id} was {before} and is {name} here; what {before} signed stays under that name, and nothing new of this id is taken in', id=m.id, before=before, name=m.name), said(SAME, id=m.id), counted=True)  # fmt: skip
        signed = {(e.machine, str(e.body["kind"])) for e in known if e.kind in {"sign-off", "hours"}}
        for file, table in (("machines.csv", self.site.machines), ("trucks.csv", self.site.trucks)):
            for row in table:
                was = sorted(kind for id_, kind in signed if id_ == row.id and kind not in {"", row.kind})
                if was:
                    yield Flag(f"{self.site.file_of(row, file)}:{row.line}", "renamed", said('{id} was {was} and is {kind} here; what was signed on it counts for {was} only', id=row.id, was=a(was[0]), kind=a(row.kind)), said('give the new machine a new id'), counted=True)  # fmt: skip

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
            Flag(f"{table}:{p.line}", "away", said('{id} has had no seat time since {last}, for {days} days', id=p.id, last=last[p.id], days=(day - last[p.id]).days),
                 said('let a mentor look first; to train again write {id}, all, the day, long away in retrain.csv', id=p.id), p.id, counted=True)
            for p in site.crew if p.id in last and (day - last[p.id]).days > most
        ]  # fmt: skip

    def taken_out_of_the_crew(self, history: roster.History, day: datetime.date) -> list[Flag]:
        """The ids that stand in the crew no more, and nobody has said since when, or under which new id."""
        names, former, table = self.rows.names(), roster.aliases(self.site, history), self.site.table(CREW.file)
        out = []
        for id_, told in history.of["person"].items():
            last = told[-1]
            if last.body.get("gone") and not last.body["left"] and names.get(id_) and id_ not in former and last.day <= day.isoformat():
                out.append(Flag(table, "left", said('{id} {names} stands in the crew no more, as was seen on {day}', id=id_, names=names[id_], day=last.day),
                                said('put the row back with the day in left; or write {id} as former_id in the row of the new id', id=id_), id_, counted=True))  # fmt: skip
        return out

    def names_kept(self, history: roster.History, day: datetime.date) -> list[Flag]:
        """The names of those who left longer ago than names are kept."""
        names, keep = self.rows.names(), self.site.settings.records.keep_months
        out = []
        for id_, told in history.of["person"].items():
            left = str(told[-1].body["left"]) or (told[-1].day if told[-1].body.get("gone") else "")
            if left and names.get(id_) and months_on(datetime.date.fromisoformat(left), keep) < day:
                out.append(Flag("register", "name-kept", said('{id} left on {left}, and names are kept for {keep} months', id=id_, left=left, keep=keep),
                                said('take the name out: seatwork register {folder} --forget {id}', folder=self.site.folder, id=id_), id_, counted=True))  # fmt: skip
        return out

    def _no_longer_there(self, found: Intake, known: Sequence[Entry], signers: Signers, word: Mapping[int, Correction]) -> None:
        """Rows of the coordinator's own tables that were taken in and stand there no longer."""
        book = self.site.table(CREW.file).partition("[")[0]
        read_now = {x.where.rpartition(":")[0] + ":" for x in found.new if x.where}
        files = {f"{t}:" for t in OWN_TABLES} | {f for f in read_now if f.startswith(f"{book}[") and kind_called(f[len(book) : -1]) in KEPT}
        there = {k for x in found.new for k in keys_of(x, signers)}
        for e in known:
            file = e.where.rpartition(":")[0] + ":"
            if file not in files & read_now or (e.n in word and word[e.n].says == "void"):
                continue
            keys = keys_of(e, signers)
            if keys and not keys & there:
                self.flags.append(Flag(e.where, "gone", said('row {n} was taken in from here and stands here no longer; it still counts', n=e.n),
                                           said('to take it out write {n}, void, your id and why in corrections.csv', n=e.n), e.crew, e.lesson, True, e.n))  # fmt: skip

    def on(self, now: datetime.datetime, day: datetime.date | None = None, *, leavers: bool = False) -> tuple[JobSite, Tally]:
        """The site and what counts, as of ``now`` in UTC and the ``day`` (else that of ``now``). With ``leavers`` also who had left by then."""
        known = list(self.rows.entries())
        history, names = roster.History(known), self.rows.names()
        flags = self.doubts(known)
        day = day or now.date()
        site = roster.site_on(self.site, history, day, names, self.days, leavers=leavers)
        here = {r.id: r for r in (*self.site.machines, *self.site.trucks)}
        scene = Scene(
            site, now, day, history, roster.aliases(self.site, history), names, self.editions, self.days,
            history.classes() | {i: class_of(r, site.settings.records) for i, r in here.items()}, history.kinds() | {i: r.kind for i, r in here.items()},
            dict(self.doubtful), Signers(self.site, history, names).of,
        )  # fmt: skip
        judged = judge(known, scene, self.fresh)
        flags += [*self.away(site, judged.hours, day), *self.taken_out_of_the_crew(history, day), *self.names_kept(history, day)]
        self.editions.read(site.settings.edition)
        out = Tally(
            judged.marked, sorted_flags([*self.flags, *flags, *judged.flags, *self.editions.flags]), judged.signoffs, self.left_aside, self.files,
            self.editions, judged.held, judged.talks, judged.hours, judged.orders, judged.corrections,
            {e.n: taken_day(e) for e in known}, frozenset(e.n for e in known if e.taken > f"{now:{rows.TIME}}"), changes_in(known),
            min((taken_day(e) for e in known), default=None) if isinstance(self.rows, Register) else None,
        )  # fmt: skip
        return site, out


def keys_of(x: New | Entry, signers: Signers) -> frozenset[tuple[str, ...]]:
    """What makes two rows of the coordinator's own tables the same, whichever of somebody's ids and names was written.

    A correction that was read without a date is the same as any that says so; of a row it cannot be seen whether it was.
    """
    b, crew = x.body, signers.alias.get(x.crew, x.crew)
    if x.kind == "sign-off":
        part = "" if b.get("whole", True) else rows.print_of({k: v for k, v in b.items() if k in {"seen", "whole"}})
        return frozenset({(x.kind, crew, x.lesson, x.machine, x.day, signers.of(b["mentor"]), part)})
    if x.kind == "hours":
        return frozenset({(x.kind, crew, x.machine, x.day, f"{b['hours']:g}", signers.of(b["mentor"]), b["task"], str(b["slope"]))})
    if x.kind == "talk":
        return frozenset({(x.kind, crew, b["sheet"] or x.lesson, x.day)})
    if x.kind == "retrain":
        return frozenset({(x.kind, crew, x.lesson, x.day, b["why"])})
    if x.kind == "correction":
        key = (x.kind, str(x.about or crew), b["says"], signers.of(b["by"]), b["why"])
        dated = isinstance(x, Entry) or x.identity.endswith(f"|{x.day}")
        return frozenset({k for k, fits in ((key, isinstance(x, Entry) or not dated), ((*key, x.day), dated)) if fits})
    return frozenset()


def _same_person(x: New) -> bool:
    return x.kind == "correction" and x.body["says"] == "same person"


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
