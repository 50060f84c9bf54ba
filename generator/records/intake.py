"""What was handed in, read and marked, as rows for the register.

Nothing is trusted that is read here. What cannot be a row (not readable, altered, of another site, by nobody known) is
flagged and left where it is; everything else is taken in, whether it counts or not: that is told by ``judge``.
"""

from __future__ import annotations

import datetime
import stat
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from generator.jobsite.cells import BadCell, date_in_order
from generator.jobsite.columns import CREW
from generator.jobsite.model import JobSite
from generator.language.words import said
from generator.records import rows
from generator.records.editions import Editions, LessonMarking
from generator.records.flags import Flag, Refused
from generator.records.judge import EAST, LEEWAY
from generator.records.mark import Marked, mark
from generator.records.mentor_codes import read_codes
from generator.records.paper import paper_result
from generator.records.results import Result, objects, read_file
from generator.records.sheets import load_signoff_sheet, load_talk_sheet
from generator.records.short import read_code, resolve, told
from generator.records.signed_file import KEY as SIGNED
from generator.records.signed_file import read_signed
from generator.records.signoffs import hours_of, language_of, nobody, read_signoff
from generator.records.tables import HandedIn, read_table
from generator.records.told import REASONS, SAYS, Correction, Hours, Retrain, Talk
from generator.records.workbooks import read_workbook
from generator.register.entry import New
from generator.source.files import decode
from generator.source.log import Log
from generator.source.near import suggest, suggest_id

ENDINGS = (".json", ".txt", ".csv", ".xlsx")
MOST_BYTES = 8_000_000
MOST_HINTS = 20  # of one table, about where a slip code was mistyped: each is a long search
OWN = ("out", "editions", "register")  # of a site's folder: nothing is handed in there


@dataclass
class Roster:
    """Whom and what the site and its register know: crew ids with names, machines with kind and class, mentors.

    ``by_name`` gives an id to a name that is written where an id is wanted.
    """

    people: Mapping[str, str]
    kinds: Mapping[str, str]
    classes: Mapping[str, str]
    by_name: Callable[[str], str]
    mentors: Collection[str] = ()


@dataclass
class Intake:
    """What was read: rows with the marked results among them, flags, and how many files."""

    new: list[New] = field(default_factory=list)
    marked: dict[int, Marked] = field(default_factory=dict)  # by place in ``new``
    flags: list[Flag] = field(default_factory=list)
    files: int = 0
    left_aside: int = 0


def files(given: Iterable[Path], site: Path, out: Intake, only: Collection[Path] | None = None) -> Iterator[tuple[Path, str]]:
    """The files below what was named, each once, in a fixed order, with a short name for messages.

    With ``only`` no others than these, as they are called here: resolved.
    """
    seen: set[Path] = set()
    for top in given:
        if not top.exists():
            out.flags.append(Flag(str(top), "unreadable", said("there is no such file or folder"), said("check the name")))
            continue
        root = top.resolve()
        found = sorted(p for p in root.rglob("*") if p.is_symlink() or p.is_file()) if root.is_dir() else [root]
        for path in found:
            inside = path.relative_to(root).parts if root.is_dir() else ()
            if any(part.startswith((".", "~$")) for part in inside):  # hidden, or a workbook that is open somewhere
                continue
            if root == site.resolve() and inside[0] in OWN:
                continue
            if path in seen:
                continue
            seen.add(path)
            if path.is_symlink() and path.is_dir():  # it may lead anywhere, and round in a circle
                out.flags.append(Flag("/".join((root.name, *inside)), "unreadable", said('a link to a folder is not followed'),
                                      said('name that folder itself')))  # fmt: skip
                continue
            if path.suffix.lower() not in ENDINGS:
                out.left_aside += 1
                continue
            if only is not None and path not in only:
                continue
            yield path, "/".join((root.name, *inside))


class Lessons(Collection[str]):
    """Ids of the lessons of a site's roles and of its editions, which are read only if an id is not among the first."""

    def __init__(self, editions: Editions, of_roles: Iterable[str]) -> None:
        self.editions, self.of_roles = editions, dict.fromkeys(of_roles)

    def __contains__(self, id_: object) -> bool:
        return id_ in self.of_roles or (isinstance(id_, str) and self.editions.knows(id_))

    def __iter__(self) -> Iterator[str]:
        return iter(dict.fromkeys((*self.of_roles, *(i for _, i in self.editions.newest))))

    def __len__(self) -> int:
        return sum(1 for _ in self)


def take_in(
    site: JobSite, editions: Editions, roster: Roster, given: Sequence[Path], now: datetime.datetime, only: Collection[Path] | None = None
) -> Intake:
    """Read and mark everything in ``given`` (files and folders), or ``only`` these files of it. Changes nothing.

    ``now`` is UTC by this computer's clock.
    """
    out = Intake()
    reader = _Reader(site, editions, roster, now, out)
    for path, name in files(given, site.folder, out, only):
        reader.file(path, name)
    return out


class _Reader:
    """One taking-in under way."""

    def __init__(self, site: JobSite, editions: Editions, roster: Roster, now: datetime.datetime, out: Intake) -> None:
        self.site, self.editions, self.roster, self.now, self.out = site, editions, roster, now, out
        self.crew_table = site.table(CREW.file)
        self.lessons = Lessons(editions, (i for r in site.settings.roles.values() for i in r.lessons))
        self.codes: Any = None  # the mentors' codes, once a file asks for them
        self.seen: dict[tuple[str, str], str] = {}
        self.seen_here: set[tuple[str, str, str]] = set()

    def add(self, new: New, marked: Marked | None = None) -> None:
        """Keep a row; one that was read before in this taking-in is flagged."""
        key, file = (new.kind, new.identity), new.where.rpartition(":")[0]
        again = (*key, file) in self.seen_here
        self.seen_here.add((*key, file))
        if key in self.seen:
            first = self.seen[key]
            if new.kind == "result":
                what, fix = said("it was handed in as {first} too", first=first), said("nothing to do: it counts once")
                self.out.flags.append(Flag(new.where, "duplicate", what, fix, new.crew, new.lesson))
            elif new.kind == "sign-off" and again:
                what, fix = said("the same sign-off stands above"), said("take one of them out")
                self.out.flags.append(Flag(new.where, "duplicate", what, fix, new.crew, new.lesson))
            return
        self.seen[key] = new.where
        if marked is not None:
            self.out.marked[len(self.out.new)] = marked
        self.out.new.append(new)

    def file(self, path: Path, name: str) -> None:
        self.out.files += 1
        try:
            if path.suffix.lower() == ".xlsx":
                own = path.parent == self.site.folder.resolve() and name == self.crew_table.partition("[")[0]
                for table in read_workbook(self.data(path), name, self.out.flags, own=own):
                    self.table(table)
                return
            text = self.text(path, name)
            if path.suffix.lower() == ".csv":
                self.table(read_table(text, name))
                return
            values = objects(text)
            if not values:
                raise Refused("truncated", said("the file is empty"), said("ask for the file again, or for the slip"))
        except Refused as e:
            self.out.flags.append(e.flag(f"{name}:1"))
            return
        for line, value in values:
            where = f"{name}:{line}"
            try:
                if isinstance(value, dict) and SIGNED in value:
                    self.signed(value, where)
                else:
                    self.result(read_file(value, where), value)
            except Refused as e:
                self.out.flags.append(e.flag(where))

    def signed(self, value: dict[str, Any], where: str) -> None:
        """Keep the sign-offs of a file that a mentor saved on the phone. Raises Refused."""
        if self.codes is None:
            self.codes = read_codes(self.site.folder)
        r = self.roster
        file = read_signed(
            value, where, self.codes, self.site, self.lessons, self.now + LEEWAY, people=r.people, kinds=r.kinds, classes=r.classes
        )
        for e in file.entries:
            more = dict(e.more) | ({} if e.whole else {"whole": False}) | ({"old_code": True} if file.old_code else {})
            new = rows.of_signoff(e.signoff, where, more)
            # one with lines not seen yet is a row of its own beside a whole one of the same day
            self.add(new if e.whole else replace(new, identity=f"{new.identity}|{rows.print_of(more)}"))
        for refused in file.refused:
            self.out.flags.append(refused.flag(where))

    def text(self, path: Path, name: str) -> str:
        log = Log(name)
        text = decode(self.data(path), log)
        if text is None:
            problem = log.all()[0]
            raise Refused("unreadable", problem.what, problem.fix)
        return text

    def data(self, path: Path) -> bytes:
        try:
            state = path.stat()
            if not stat.S_ISREG(state.st_mode):
                raise Refused("unreadable", said("it is not a file"), said("hand in the file itself"))
            if state.st_size > MOST_BYTES:
                raise Refused("unreadable", said("it is larger than {n} MB", n=MOST_BYTES // 1000000), said("check what was saved"))
            return path.read_bytes()
        except OSError as e:
            raise Refused(
                "unreadable", said("it cannot be read ({strerror})", strerror=e.strerror), said("check its access rights")
            ) from None

    # --- tables ---

    def table(self, table: HandedIn) -> None:
        mistyped = 0
        readers = {"signoffs": self.signoff, "hours": self.hours, "talks": self.talk, "retrain": self.order, "corrections": self.correction}
        for where, row in table.each(self.out.flags):
            try:
                if table.kind == "slips":
                    if row["code"]:
                        self.slip(row["code"], where, search=mistyped < MOST_HINTS, learner=row.get("learner", ""))
                elif table.kind == "paper":
                    made = paper_result(self.site, self.editions, row, where)
                    if made is not None:
                        self.result(
                            *made, {k: v for k, v in row.items() if v and (k in {"sheet", "crew", "lesson", "date"} or k.isdecimal())}
                        )
                else:
                    readers[table.kind](where, row)
            except Refused as e:
                mistyped += e.name == "mistyped"
                self.out.flags.append(e.flag(where))

    def signoff(self, where: str, row: Mapping[str, str]) -> None:
        made, more = read_signoff(row, self.site, self.roster.people, self.roster.kinds, self.lessons, (self.now + EAST).date(),
                                  self.roster.by_name, self.roster.classes)  # fmt: skip
        if made is None:
            return
        if made.sheet:
            try:
                printed = load_signoff_sheet(self.site.folder, made.sheet)
            except Refused as e:  # what was signed was signed, whatever became of the sheet's number
                self.out.flags.append(replace(e.flag(where), crew=made.crew, lesson=made.lesson, counted=True))
            else:
                if printed.lesson(made.lesson) is None:
                    raise Refused("mistyped", said('lesson {lesson} does not stand on sheet {sheet}', lesson=made.lesson, sheet=made.sheet),
                                  said('check the lesson and the number on the paper sheet'), made.crew, made.lesson)  # fmt: skip
        self.add(rows.of_signoff(made, where, more))

    def day(self, text: str) -> datetime.date:
        try:
            found = date_in_order(text, self.site.settings.dates)
        except BadCell as e:
            raise Refused(
                "unreadable", e.what if text else said("the row has no date"), e.fix if text else said("write it as 2026-03-14")
            ) from None
        if found > (self.now + EAST).date():
            raise Refused("future", said("it is dated {found}, which is still to come", found=found), said("check the date"))
        return found

    def person(self, row: Mapping[str, str]) -> str:
        crew = row.get("crew") or row.get("person") or ""
        if not crew:
            raise Refused("unreadable", said("the row names nobody"), said("write the person's id"))
        if crew not in self.roster.people:
            raise Refused(
                "foreign",
                said("no crew id '{crew}' in {table}", crew=crew[:40], table=self.crew_table),
                suggest_id(crew, self.roster.people, said("check the id")),
                crew[:40],
            )
        return crew

    def signer(self, written: str) -> str:
        """The id of whoever wrote a name. Raises Refused."""
        if nobody(written):
            raise Refused("unsigned", said("'{mentor}' is nobody's name", mentor=written[:20]), said("write the id or the name"))
        return self.roster.by_name(written)

    def lesson(self, text: str) -> str:
        """A lesson's id; nothing where all are meant. Raises Refused."""
        if text.casefold() in {"", "all"}:
            return ""
        if text not in self.lessons:
            raise Refused(
                "foreign", said("no lesson '{lesson}' here", lesson=text[:40]), suggest(text, self.lessons, said("use the lesson's id"))
            )
        return text

    def hours(self, where: str, row: Mapping[str, str]) -> None:
        crew, machine = self.person(row), row["machine"]
        if machine not in self.roster.kinds:
            raise Refused(
                "foreign",
                said("no machine '{machine}' in the tables", machine=machine[:40]),
                suggest_id(machine, self.roster.kinds, said("check the id")),
                crew,
            )
        spent = hours_of(row["hours"])
        if spent <= 0:
            raise Refused(
                "unreadable", said("'{hours}' is no number of hours of a day", hours=row["hours"][:20]), said("write it as 3.5"), crew
            )
        mentor = self.signer(row["mentor"]) if row.get("mentor") else ""
        slope = row.get("slope", "").casefold()
        if slope not in {"", "yes", "no", "y", "n"}:
            raise Refused("unreadable", said("slope is '{slope}'", slope=slope[:20]), said("write yes or no"), crew)
        self.add(rows.of_hours(Hours(crew, machine, self.roster.kinds[machine], self.day(row["date"]), spent, mentor, row.get("task", ""),
                                     slope.startswith("y")), where))  # fmt: skip

    def talk(self, where: str, row: Mapping[str, str]) -> None:
        if not row["leader"]:
            raise Refused("unsigned", said("the talk has no leader"), said("write who led it"))
        day, leader, sheet = self.day(row["date"]), self.signer(row["leader"]), row["sheet"]
        if not sheet:
            raise Refused(
                "unreadable", said("the row names no sheet"), said("write the number at the top of the sheet, or the lesson's id")
            )
        lesson, spoken = sheet if sheet in self.lessons else self.sheets_lesson(sheet), language_of(row, self.site)
        for crew in dict.fromkeys(row["crew"].replace(",", " ").replace(";", " ").split()):
            try:
                talk = Talk(self.person({"crew": crew}), lesson, "" if sheet == lesson else sheet, leader, day, language=spoken)
                self.add(rows.of_talk(talk, where))
            except Refused as e:
                self.out.flags.append(e.flag(where))

    def sheets_lesson(self, sheet: str) -> str:
        """The lesson of a tailgate sheet by its number. Raises Refused."""
        return load_talk_sheet(self.site.folder, sheet).lesson

    def order(self, where: str, row: Mapping[str, str]) -> None:
        crew, why = self.person(row), row["why"].casefold()
        reason = next((r for r in REASONS if r == why), None)
        if reason is None:
            raise Refused("unreadable", said("why is '{why}'", why=why[:40]), said("write one of: {names}", names=", ".join(REASONS)), crew)
        self.add(rows.of_order(Retrain(crew, self.lesson(row["lesson"]), self.day(row["from"]), reason), where))

    def correction(self, where: str, row: Mapping[str, str]) -> None:
        entry, word = row["entry"], row["says"].casefold()
        says = next((s for s in SAYS if s == word), None)
        if says is None:
            raise Refused("unreadable", said("says is '{word}'", word=word[:40]), said("write one of: {names}", names=", ".join(SAYS)))
        if not row["by"] or not row["why"]:
            raise Refused(
                "unsigned", said("the correction has no {n}", n="by" if not row["by"] else "why"), said("say who corrects, and why")
            )
        about = int(entry) if entry.isdecimal() and len(entry) < 12 else None
        crew = "" if about is not None else entry
        if (says == "same person") != (about is None):
            raise Refused("unreadable", said("entry is '{entry}'", entry=entry[:40]),
                          said('for same person write the crew id, else the number of the row'))  # fmt: skip
        if crew and crew not in self.roster.people and crew not in self.roster.mentors:
            raise Refused(
                "foreign",
                said("no crew id '{crew}' in {table}", crew=crew[:40], table=self.crew_table),
                suggest_id(crew, self.roster.people, said("check the id")),
            )
        day = self.day(row["date"]) if row.get("date") else self.now.date()
        made = Correction(about, crew, says, self.signer(row["by"]), row["why"][:300], day)
        new = rows.of_correction(made, where)
        if not row.get("date"):  # the day it was first read is its day, and reading it again makes no second one
            new = New("correction", new.day, new.body, "|".join((entry, says, made.by, made.why)), crew=crew, about=about, where=where)
        self.add(new)

    # --- one result ---

    def result(self, result: Result, lesson: LessonMarking | Any, handed_in: Any = None) -> None:
        """Check one result against the site, mark it and keep it. Raises Refused."""
        found = lesson if isinstance(lesson, LessonMarking) else None
        raw = handed_in if found is not None else lesson
        try:
            self.belongs(result)
            marked = mark(result, found or self.editions.find(result.edition, result.lesson, result.figures))
        except Refused as e:
            raise Refused(e.name, e.what, e.fix, result.crew, result.lesson) from None
        latest = self.now + (EAST if result.origin == "paper" else LEEWAY)
        self.add(rows.of_result(marked, raw, self.now, latest), marked)

    def slip(self, code: str, where: str, *, search: bool, learner: str = "") -> None:
        """A slip's code, long or short; ``learner`` is whose a learning system says it is. Raises Refused."""
        # as it stands among the comments of a learning system that has no other room for it
        code = code.strip().removeprefix("Result code ")
        found = read_code(code, where, search=search)
        if isinstance(found, Result):
            self.learners_own(learner, found.crew, found.lesson)
            self.result(found, code)
            return
        for edition in self.editions.names:  # it names its edition by a hash
            self.editions.read(edition)
        marked = told(found, *resolve(found, self.roster.people, self.editions.by_figures.values()))
        self.learners_own(learner, marked.result.crew, marked.lesson.id)
        self.add(rows.of_result(marked, "".join(code.split()).upper(), self.now, self.now + LEEWAY, found), marked)

    def learners_own(self, learner: str, crew: str, lesson: str) -> None:
        """Nothing where the table of learners knows this one as that person, or not at all. Raises Refused."""
        wanted = learner.strip().lower()
        person = next((p for known, p in self.site.learners.items() if wanted and known.strip().lower() == wanted), crew)
        if person != crew:
            table = self.site.table("learners.csv")
            raise Refused("learner", said("the learner '{learner}' is {person} in {table}, and the result says {crew}", learner=learner[:40], person=person, table=table, crew=crew[:40]),
                          said('ask both who answered; mend {table}, or take the row out', table=table), person, lesson)  # fmt: skip

    def belongs(self, r: Result) -> None:
        key = self.site.settings.key
        if r.site is not None and r.site != key:
            raise Refused("foreign", said("it is from site '{site}', not {key}", site=r.site[:40], key=key), said("hand it in there"))
        if r.crew not in self.roster.people:
            raise Refused("foreign", said("no crew id '{crew}' in {table}", crew=r.crew[:40], table=self.crew_table),
                          suggest_id(r.crew[:40], self.roster.people, said('check the id, or add the person to {table}', table=self.crew_table)))  # fmt: skip
