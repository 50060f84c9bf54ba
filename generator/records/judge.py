"""Which rows of the register count on a day, which are held, and what is said of the rest.

Nothing is dropped: a row that does not count is flagged, or held until the coordinator says in ``corrections.csv`` what is true.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite, Person, Role, a
from generator.language.words import said
from generator.records import rows
from generator.records.corrected import corrected
from generator.records.editions import Editions
from generator.records.flags import Flag
from generator.records.mark import Marked
from generator.records.roster import History
from generator.records.signoffs import SignOff, itself
from generator.records.told import Correction, Hours, Retrain, Talk
from generator.register.entry import Entry
from generator.units.writing import pointed

LEEWAY = datetime.timedelta(minutes=15)  # between a phone's clock and this one
EAST = datetime.timedelta(hours=14)  # a day on paper, or of a site, starts this much before UTC's at most
WEST = datetime.timedelta(hours=12)  # and this much after
FASTEST = 700  # words a minute: some three times what grown-ups read silently, so nobody has read them
LATE = 7  # days, for a file signed with a code that was replaced since
MOST_TOLD = 4  # names in one line
MOST_DAY = 24.0  # hours
WORDS = {"result": "a try", "sign-off": "a sign-off", "talk": "a talk", "hours": "seat time", "retrain": "an order to train again"}


@dataclass
class Judged:
    """What counts, what is held, what is said."""

    marked: list[Marked] = field(default_factory=list)
    held: list[Marked] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    signoffs: list[SignOff] = field(default_factory=list)
    talks: list[Talk] = field(default_factory=list)
    hours: list[Hours] = field(default_factory=list)
    orders: list[Retrain] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)


@dataclass(frozen=True)
class Scene:
    """What the rows are judged by: the site and its people as of ``day``, the register's past, who had an id before.

    Results count up to ``now``, UTC; what bears a day only, up to ``day``.
    """

    site: JobSite
    now: datetime.datetime
    day: datetime.date
    history: History
    alias: Mapping[str, str]
    names: Mapping[str, str]
    editions: Editions
    days: Mapping[str, datetime.date]  # of the editions
    class_of: Mapping[str, str]
    kind_of: Mapping[str, str]
    doubtful: Mapping[str, int] = field(default_factory=dict)  # by crew id, the last row that may be somebody else's
    signer: Callable[[str], str] = str  # the id of a mentor who stands in the rows by a name alone, where it is known by now


def judge(entries: Iterable[Entry], scene: Scene, fresh: Mapping[int, Marked] | None = None) -> Judged:
    """Judge the rows. ``fresh`` are results by row that were marked just now."""
    run = _Judge(scene, fresh or {})
    run.read(entries)
    run.results()
    run.others()
    return run.out


class _Judge:
    def __init__(self, scene: Scene, fresh: Mapping[int, Marked]) -> None:
        self.scene, self.fresh, self.out = scene, fresh, Judged()
        self.people = {p.id: p for p in scene.site.crew}
        self.found: list[tuple[Marked, Entry]] = []
        self.rest: list[Entry] = []
        self.said: Mapping[int, Correction] = {}
        self.ghosts: set[int] = set()  # results of people who are not here: they count for nobody, and may be copied
        # so many bits of chance in a try that it is rare for any two of this crew to draw and answer the same
        self.unlikely = math.log2(max(1, len(self.people) * (len(self.people) - 1) / 2)) + rows.RARE

    def who(self, crew: str) -> str:
        return self.scene.alias.get(crew, crew)

    def read(self, entries: Iterable[Entry]) -> None:
        today, now = self.scene.day.isoformat(), f"{self.scene.now + LEEWAY:{rows.TIME}}"
        all_ = list(entries)
        found = corrected(all_, self.scene.names, {p.id: p.name for p in self.people.values()}, today)
        self.said = found.said
        own, out = {c.entry for c in found.own}, {c.entry for c in found.taken_out}
        about: dict[int, tuple[str, str]] = {}  # by row: whose it is, and what, in a few words
        named: dict[int, tuple[str, str]] = {}  # the same of what a correction names, by the correction's row
        for e in all_:
            if e.kind == "correction":
                c = rows.correction_of(e)
                of, what = named[e.n] = about.get(c.about or 0, (self.who(c.crew), ""))
                about[e.n] = (of, f"correction of row {c.about}, {what}" if c.about is not None else "correction")
            elif e.kind in WORDS:
                about[e.n] = (self.who(e.crew), ", ".join(x for x in (WORDS[e.kind], e.lesson, e.machine, f"of {e.day}") if x))
            if e.n in own:
                self.told(
                    e,
                    "unsigned",
                    said("nobody corrects what is said of himself or herself"),
                    said("have somebody else look at it and write it"),
                )
            elif e.n in out:
                self.told(e, "corrected", said('this correction was itself taken out by {who}: {why}', who=self.name(self.said[e.n].by), why=self.said[e.n].why),
                          said('nothing to do'))  # fmt: skip
            elif e.kind == "result":
                if e.taken <= now if "early_by" in e.body else e.day <= today if e.body["origin"] == "paper" else e.at <= now:
                    self.found.append((self.marked(e), e))
            elif e.kind in {"sign-off", "talk", "hours", "retrain"} and e.day <= today:
                self.rest.append(e)
        told = sorted((*found.standing, *found.taken_out), key=lambda c: c.entry or 0)
        self.out.corrections = [
            replace(c, of=named[c.entry or 0][0], what=named[c.entry or 0][1], undone=c.entry in out) for c in told
        ]  # fmt: skip

    def marked(self, e: Entry) -> Marked:
        crew = self.who(e.crew)
        fresh = self.fresh.get(e.n)
        if fresh is not None and fresh.result.crew == crew:
            return replace(fresh, entry=e.n)
        return rows.result_of(e, self.scene.site.folder, crew)

    def told(self, e: Entry, name: str, what: str, fix: str, *, counted: bool = False) -> None:
        if e.n in self.ghosts:
            return
        self.out.flags.append(Flag(e.where or f"row {e.n}", name, what, fix, self.who(e.crew), e.lesson, counted, e.n))

    # --- what holds for every kind ---

    def lawful(self, e: Entry, earliest: datetime.date, latest: datetime.date) -> bool:
        """Whether the row is of a person of that time and not taken out. ``earliest`` and ``latest`` are what day it can have been there."""
        word = self.said.get(e.n)
        if word is not None and self.void(e):
            self.told(e, "corrected", said("it was taken out by {who}: {why}", who=self.name(word.by), why=word.why), said("nothing to do"))
            return False
        if e.n <= self.scene.doubtful.get(e.crew, 0):
            return False  # told once, with the person
        person = self.people.get(self.who(e.crew))
        if person is None:
            return False  # left before this day
        own = e.crew == person.id
        if own and person.start is not None and latest < person.start and not (word and word.says == "counts"):
            self.told(e, "outside", said('it is of {latest}, before {id} started on {start}', latest=latest, id=person.id, start=person.start),
                      said("check the date, and start in the crew's table; until then it does not count"))  # fmt: skip
            return False
        if person.left is not None and earliest >= person.left and not (word and word.says == "counts"):
            self.told(e, "outside", said('it is of {earliest}, and {id} left on {left}', earliest=earliest, id=person.id, left=person.left),
                      said("check the date, and left in the crew's table; until then it does not count"))  # fmt: skip
            return False
        return True

    def void(self, e: Entry) -> bool:
        word = self.said.get(e.n)
        return word is not None and word.says == "void"

    def name(self, id_: str) -> str:
        return self.scene.names.get(id_, id_)

    # --- results ---

    def results(self) -> None:
        lawful = []
        for m, e in self.found:
            finished = m.result.finished
            if "early_by" in e.body:
                self.told(e, "future", said('it is dated {finished} UTC, which was still to come when it was handed in', finished=f"{finished:%Y-%m-%d %H:%M}"),
                          said('check the clock it was taken by, and ask for another try'))  # fmt: skip
            elif self.lawful(e, (finished - WEST).date(), (finished + EAST).date()):
                lawful.append((m, e))
            elif self.who(e.crew) not in self.people and not self.void(e):
                self.ghosts.add(e.n)
                lawful.append((m, e))
        lawful = self.settle(lawful, self.same_slip, self.marked_one)  # before one that is odd leaves its short code behind
        lawful = [x for x in lawful if x[1].n in self.ghosts or not self.odd(*x)]
        lawful = self.settle(lawful, self.same_try, self.one_try)
        lawful = self.settle(lawful, self.same_figures, self.one_owner)
        lawful = self.settle(lawful, self.same_time, self.one_edition)
        lawful = [x for x in lawful if x[1].n not in self.ghosts]
        order = {p.id: i for i, p in enumerate(self.scene.site.crew)}
        self.out.marked = [
            m for m, _ in sorted(lawful, key=lambda x: (order[x[0].result.crew], x[0].result.finished, x[0].lesson.id, x[0].result.where))
        ]
        for m, e in lawful:
            shown = m.result.claimed
            if m.told:
                self.told(e, "told", said("the slip's code says {right} of {of} right; the answers were not marked here", right=m.right, of=m.of),
                          said("hand in the file or the slip's square code too, and it is marked"), counted=True)  # fmt: skip
            elif shown is not None and abs(shown - m.right / m.of) > 0.0051:
                told = (
                    said("the file's score is no share, marked again it is {right} of {of}", right=m.right, of=m.of)
                    if shown < 0
                    else said(
                        "the quiz showed {share} right, marked again it is {right} of {of}", share=f"{shown:.0%}", right=m.right, of=m.of
                    )
                )
                self.told(e, "score", told,
                          said('ask how that came about; the marking here counts'), counted=True)  # fmt: skip

    def hold(self, m: Marked, e: Entry, name: str, what: str) -> bool:
        """Hold a result back, unless somebody has said that it counts. Whether it is held."""
        word = self.said.get(e.n)
        if word is not None and word.says == "counts":
            return False
        if e.n in self.ghosts:
            return True
        self.out.held.append(m)
        self.told(e, name, what, said("held: write {n}, counts or void, your id and why in corrections.csv, or ask for another try", n=e.n))
        return True

    def odd(self, m: Marked, e: Entry) -> bool:
        """Whether a result by itself is such that somebody has to look at it."""
        r = m.result
        built = self.scene.days.get(m.lesson.edition)
        if built is not None and (r.finished + EAST).date() < built and r.origin != "paper":
            return self.hold(
                m,
                e,
                "clock",
                said(
                    "its time is {finished}, before edition {edition} was built on {built}",
                    finished=f"{r.finished:%Y-%m-%d}",
                    edition=m.lesson.edition,
                    built=built,
                ),
            )
        words = e.body.get("words", 0)
        if r.started is not None and words and (r.finished - r.started).total_seconds() < 60 * words / FASTEST:
            spent = int((r.finished - r.started).total_seconds())
            return self.hold(
                m,
                e,
                "fast",
                said(
                    "{of} questions of {words} words together were answered in {spent} s, faster than anyone reads",
                    of=m.of,
                    words=words,
                    spent=spent,
                ),
            )
        if m.told and not self.scene.site.settings.records.count_codes:
            return self.hold(
                m, e, "told", said("the slip's code says {right} of {of} right; the answers were not marked here", right=m.right, of=m.of)
            )
        return False

    def settle(
        self, found: list[tuple[Marked, Entry]], key: Callable[[Marked, Entry], tuple[object, ...] | None],
        one_of: Callable[[list[tuple[Marked, Entry]]], list[tuple[Marked, Entry]]],
    ) -> list[tuple[Marked, Entry]]:  # fmt: skip
        """The results with each group of one key replaced by what counts of it."""
        groups: dict[object, list[tuple[Marked, Entry]]] = {}
        for m, e in found:
            k = key(m, e)
            groups.setdefault(("alone", e.n) if k is None else k, []).append((m, e))
        return [x for group in groups.values() for x in (group if len(group) == 1 else one_of(group))]

    def same_slip(self, _: Marked, e: Entry) -> tuple[object, ...] | None:
        return (e.body["slip"],) if e.body.get("slip") else None

    def marked_one(self, group: list[tuple[Marked, Entry]]) -> list[tuple[Marked, Entry]]:
        """What could be marked, in place of the short codes of the same try."""
        marked = [x for x in group if not x[0].told]
        for m, e in group if marked else ():
            if m.told:
                self.told(
                    e,
                    "duplicate",
                    said("it was handed in as {where} too", where=marked[0][0].result.where),
                    said("nothing to do: it counts once"),
                )
        return marked or self.one_try(group)

    def same_try(self, m: Marked, e: Entry) -> tuple[object, ...]:
        r = m.result
        if r.origin == "paper":
            return ("paper", r.sheet)
        key = (m.lesson.edition, m.lesson.id, r.finished.replace(second=0), e.body["drawn"])
        if m.told:
            return ("slip", e.body["slip"])
        # too few figures to tell two people apart
        return (*key, r.crew) if m.of < 3 else key

    def one_try(self, group: list[tuple[Marked, Entry]]) -> list[tuple[Marked, Entry]]:
        crews = dict.fromkeys(m.result.crew for m, _ in group)
        if len(crews) > 1:
            kept = self.one_owner(group)
            own = ([x for x in kept if x[0].result.crew == crew] for crew in crews)
            return [x for found in own for x in (self.one_try(found) if len(found) > 1 else found)]
        if len({e.body["gave"] for _, e in group}) > 1:
            word = [c for _, e in group if (c := self.said.get(e.n)) is not None and c.says == "counts"]
            if word:  # the last word
                last = max(word, key=lambda c: c.entry or 0)
                for _, e in group:
                    if e.n != last.about:
                        self.told(
                            e,
                            "conflict",
                            said(
                                "of the same try row {about} counts: {who} said so ({why})",
                                about=last.about,
                                who=self.name(last.by),
                                why=last.why,
                            ),
                            said("nothing to do"),
                        )
                return [x for x in group if x[1].n == last.about]
            first = self.first(group)
            for m, e in group:
                if e is not first:
                    others = [x.result.where for x, _ in group[: MOST_TOLD + 2] if x is not m]
                    self.hold(m, e, "conflict", said("the same try has other answers in {n}", n=some(others, len(group) - 1)))
            return [x for x in group if x[1] is first]
        best = min(group, key=lambda x: x[0].result.origin != "file")  # a file knows more than a slip
        for _, e in group:
            if e is not best[1]:
                self.told(
                    e,
                    "duplicate",
                    said("it was handed in as {where} too", where=best[0].result.where),
                    said("nothing to do: it counts once"),
                )
        return [best]

    def first(self, group: Sequence[tuple[Marked, Entry]]) -> Entry | None:
        """The row that was taken in before the others; None where two came at once."""
        by_time = sorted((e for _, e in group), key=lambda e: e.taken)
        return by_time[0] if by_time[0].taken < by_time[1].taken else None

    def same_figures(self, m: Marked, e: Entry) -> tuple[object, ...] | None:
        if m.result.origin == "paper" or m.told or e.body["bits"] < self.unlikely:
            return None
        return (e.body["drawn"], e.body["gave"])

    def one_owner(self, group: list[tuple[Marked, Entry]]) -> list[tuple[Marked, Entry]]:
        """Of the same figures and answers under several ids those that came in first, and before the others, count."""
        crews = sorted({m.result.crew for m, _ in group})
        if len(crews) == 1:
            return group
        came: dict[str, str] = {}
        for m, e in group:
            came[m.result.crew] = min(e.taken, came.get(m.result.crew, e.taken))
        earliest, next_ = sorted(came, key=lambda crew: came[crew])[:2]
        keep = earliest if came[earliest] < came[next_] else None
        out = []
        for m, e in group:
            if m.result.crew == keep or not self.hold(m, e, "copied", said("the same try was handed in by {crews}", crews=some(crews))):
                out.append((m, e))
        return out

    def same_time(self, m: Marked, _: Entry) -> tuple[object, ...] | None:
        r = m.result
        return (r.crew, m.lesson.id, r.started, r.finished) if r.origin == "file" else None

    def one_edition(self, group: list[tuple[Marked, Entry]]) -> list[tuple[Marked, Entry]]:
        """Of the same try under several editions the one that came in first, and before the others, counts."""
        editions = sorted({m.lesson.edition for m, _ in group})
        if len(editions) == 1:
            return group
        first = self.first(group)
        return [
            (m, e) for m, e in group
            if e is first or not self.hold(m, e, "relabelled", said('a try of the same time was handed in for {editions}', editions=some(editions)))
        ]  # fmt: skip

    # --- sign-offs and the rest ---

    def others(self) -> None:
        passed: dict[tuple[str, str], datetime.date] = {}
        for m in self.out.marked:
            if m.passed:
                key, day = (m.result.crew, m.lesson.id), (m.result.finished - WEST).date()
                passed[key] = min(day, passed.get(key, day))
        seen: dict[tuple[str, ...], Hours] = {}
        for e in self.rest:
            day = datetime.date.fromisoformat(e.day)
            if not self.lawful(e, day, day):
                continue
            crew = self.who(e.crew)
            if e.kind == "sign-off":
                s = rows.signoff_of(e, crew)
                if self.signed(s, e, passed.get((crew, s.lesson))):
                    self.out.signoffs.append(self.named(s))
            elif e.kind == "talk":
                self.out.talks.append(rows.talk_of(e, crew))
            elif e.kind == "retrain":
                self.out.orders.append(rows.order_of(e, crew))
            else:
                self.time(rows.hours_of(e, crew), e, seen)
        self.out.hours.sort(key=lambda h: (h.day, h.crew, h.machine))

    def named(self, s: SignOff) -> SignOff:
        """With the mentor's id or name in place of a loose id, where it is still known."""
        mentor = self.scene.signer(s.mentor)
        return replace(s, mentor=self.name(mentor) if mentor.startswith("~") else mentor)

    def mentor_for(self, mentor: str, kind: str, day: datetime.date) -> tuple[str, str]:
        """Why somebody could not sign for a kind of machine on a day, and what to do; nothing where he or she could.

        Today's table says from when until when, for it may be mended later; the kinds are those of then and those of today.
        Where the table is gone, what the register knows of it holds for the days on which it was there.
        """
        history, site = self.scene.history, self.scene.site.mentors
        id_ = self.scene.signer(mentor)
        found = next((m for m in site or () if m.id == id_), None)
        then = history.on("mentor", id_, day)
        if site is None and not any(history.on("mentor", i, day) for i in history.of["mentor"]):
            return "", ""
        called = self.name(id_)
        if found is None and then is None:
            return said('{called} is no mentor here', called=called), (said('if {called} was one on that day, add a row for {called} to mentors.csv with the machines, from and until; else have it seen by somebody who may sign', called=called))  # fmt: skip
        kinds = {*(then["kinds"] if then else ()), *(found.kinds if found else ())}
        since, until = (found.since, found.until) if found else (_day(then["from"]), _day(then["until"])) if then else (None, None)
        if kind in kinds and (since is None or since <= day) and (until is None or day <= until):
            return "", ""
        return (
            said(
                "{called} was no mentor for {n} on {day}", called=called, n=said("work on foot") if kind == ON_FOOT else said(kind), day=day
            ),
            said("mend machines, from and until in mentors.csv, or have it seen by somebody who may sign"),
        )

    def signed(self, s: SignOff, e: Entry, passed: datetime.date | None) -> bool:
        """Whether a sign-off counts; what it lacks is told. ``passed`` is the day the quiz was first passed."""
        word = self.said.get(e.n)
        if word is not None and word.says == "counts":
            return True
        lacking = next(self.lacking(s, e, passed), None)
        if lacking is not None:
            self.told(e, *lacking)
        return lacking is None

    def lacking(self, s: SignOff, e: Entry, passed: datetime.date | None) -> Iterator[tuple[str, str, str]]:
        """All that speaks against a sign-off, what is likelier a slip of the pen first: the flag's name, what is wrong, what to do."""
        person, look = self.people[s.crew], said("check the machine on the paper sheet")
        if e.body.get("whole") is False:
            yield "unsigned", said("not all lines of the lesson were seen"), said("have the rest shown, and signed")
        late = (datetime.date.fromisoformat(e.taken[:10]) - s.day).days
        if e.body.get("old_code") and late > LATE:
            yield ("unsigned", said("it was signed with a mentor's old code and came in {late} days later", late=late),
                   said('ask the mentor; if it holds, write {n}, counts, your id and why in corrections.csv', n=e.n))  # fmt: skip
        role = self.role_on(person, s.day)
        if role and s.machine != ON_FOOT and s.kind not in role.machines:
            yield "unsigned", said("{machine} is no machine of {lower}", machine=s.machine, lower=a(role.title.lower())), look
        why, fix = self.mentor_for(s.mentor, s.kind or ON_FOOT, s.day)
        if why:
            yield "mentor", why, fix
        if self.own(s.mentor, person):
            yield "unsigned", said("nobody signs for himself or herself"), said("ask another mentor")
        if not self.scene.site.settings.records.sign_before_pass and (passed is None or s.day < passed):
            yield ("too-soon", said("it was signed on {day}, and the quiz is not passed", day=s.day) if passed is None
                   else said("it was signed on {day}, before the quiz was passed", day=s.day),
                   said('have it shown again once the quiz is passed; or set sign_before_pass under records: in settings.yml'))  # fmt: skip
        retired = self.retired(s.machine)
        if retired and s.day.isoformat() >= retired:
            yield (
                "outside",
                said("{machine} was retired on {retired}", machine=s.machine, retired=retired),
                said("check the machine and the date on the paper sheet"),
            )
        if not self.theirs(person, s):
            yield "not-theirs", said("{machine} is no machine of {id}, nor of the class of one", machine=s.machine, id=person.id), look

    def own(self, mentor: str, person: Person) -> bool:
        """Whether somebody signed in his or her own matter, under whatever id."""
        return self.who(self.scene.signer(mentor)) == person.id or itself(self.name(mentor), person.id, person.name)

    def retired(self, machine: str) -> str:
        """The day from which a machine was no longer there, as far as that is known."""
        row = next((r for r in (*self.scene.site.machines, *self.scene.site.trucks) if r.id == machine), None)
        if row is not None:
            return row.retired.isoformat() if row.retired else ""
        told = self.scene.history.of["machine"].get(machine, [])
        if not told:
            return ""
        return str(told[-1].body["retired"]) or (told[-1].day if told[-1].body.get("gone") else "")

    def role_on(self, person: Person, day: datetime.date) -> Role | None:
        """The role somebody had on a day; today's where it is not known."""
        told = self.scene.history.person_on(person.id, day, self.scene.alias)
        roles = self.scene.site.settings.roles
        since = person.role_from
        then = told["role"] if told is not None and (since is None or day < since) else person.role
        return roles.get(str(then)) or roles.get(person.role)

    def theirs(self, person: Person, s: SignOff) -> bool:
        """Whether the machine is, or was, one of the person's, or of the class of one."""
        ids = {person.id, *(old for old, now in self.scene.alias.items() if now == person.id)}
        own = {*person.machines, *(m for i in ids for m in self.scene.history.machines_of(i))}
        if not own or s.machine in own or s.machine == ON_FOOT or not s.kind:
            return True
        return any(self.scene.class_of.get(m) == s.machine_class and self.scene.kind_of.get(m) == s.kind for m in own)

    def time(self, h: Hours, e: Entry, seen: dict[tuple[str, ...], Hours]) -> None:
        word = self.said.get(e.n)
        retired = self.retired(h.machine)
        if retired and e.day >= retired and not (word and word.says == "counts"):
            self.told(
                e,
                "outside",
                said("{machine} was retired on {retired}", machine=h.machine, retired=retired),
                said("check the machine and the date"),
            )
            return
        key = (h.crew, h.machine, h.day.isoformat(), h.task, self.scene.signer(h.mentor))
        before = seen.get(key)
        if before is not None:
            self.told(e, "conflict", said('{n} h of the same day, machine and task stand in row {entry}', n=pointed(f'{before.hours:g}'), entry=before.entry),
                      said('take one of them out: write {entry} or {n}, void, your id and why in corrections.csv', entry=before.entry, n=e.n))  # fmt: skip
            return
        total = h.hours + sum(x.hours for x in self.out.hours if x.crew == h.crew and x.day == h.day)
        if total > MOST_DAY:
            self.told(
                e,
                "conflict",
                said("{crew} would have {n} hours on {day}", crew=h.crew, n=pointed(f"{total:g}"), day=h.day),
                said("check the row, and void what is wrong in corrections.csv"),
            )
            return
        seen[key] = h
        if h.mentor and not (word and word.says == "counts"):
            why, fix = self.mentor_for(h.mentor, h.kind, h.day)
            if why or self.own(h.mentor, self.people[h.crew]):
                why = why or said("nobody is his or her own mentor")
                self.told(
                    e, "mentor", said("{why}; the hours count as without a mentor", why=why), fix or said("check the row"), counted=True
                )
                h = replace(h, mentor="")
        self.out.hours.append(replace(h, mentor=self.scene.signer(h.mentor)))


def _day(text: str) -> datetime.date | None:
    return datetime.date.fromisoformat(text) if text else None


def some(names: Sequence[str], count: int | None = None) -> str:
    """The first few of ``count`` names, and how many more there are."""
    more = (len(names) if count is None else count) - MOST_TOLD
    first = ", ".join(names[:MOST_TOLD])
    return said("{first} and {n} more", first=first, n=more) if more > 0 else first
