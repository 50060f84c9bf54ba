"""All that was handed in, read, checked against each other and marked again."""

from __future__ import annotations

import datetime
import stat
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from generator.jobsite.columns import CREW
from generator.jobsite.model import JobSite
from generator.records.answers import Figure, figure_for
from generator.records.editions import Editions, LessonMarking, load_editions
from generator.records.flags import Flag, Refused
from generator.records.mark import Marked, mark
from generator.records.paper import paper_result
from generator.records.results import Result, objects, read_file, read_slip
from generator.records.signoffs import SignOff, read_signoffs
from generator.records.tables import HandedIn, read_table
from generator.records.told import Correction, Hours, Retrain, Talk
from generator.source.files import decode
from generator.source.log import Log
from generator.source.near import suggest

ENDINGS = (".json", ".txt", ".csv")
MOST_BYTES = 8_000_000
MOST_FLAGS = 200  # of one file
MOST_TOLD = 4  # names in one line
MOST_HINTS = 20  # of one table, about where a slip code was mistyped: each is a long search
LEEWAY = datetime.timedelta(minutes=15)  # between a phone's clock and this one
EAST = datetime.timedelta(hours=14)  # a day written on paper starts this much before UTC's at most


@dataclass
class Tally:
    """What came out: results that count, marked again; flags; sign-offs; files left aside."""

    marked: list[Marked] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    signoffs: list[SignOff] = field(default_factory=list)
    left_aside: int = 0
    files: int = 0
    editions: Editions = field(default_factory=Editions)
    held: list[Marked] = field(default_factory=list)  # disputed: the coordinator has to say which counts
    talks: list[Talk] = field(default_factory=list)
    hours: list[Hours] = field(default_factory=list)
    orders: list[Retrain] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)

    @property
    def read_something(self) -> bool:
        """Whether anything handed in could be read."""
        return bool(self.marked or self.signoffs or any(f.name not in {"unreadable", "truncated", "more"} for f in self.flags))


def tally(site: JobSite, given: Sequence[Path], now: datetime.datetime) -> Tally:
    """Read and mark everything in ``given`` (files and folders). ``now`` is UTC. Changes nothing."""
    out = Tally(editions=load_editions(site.folder))
    out.editions.read(site.settings.edition)
    run = _Run(site, now, out)
    for path, name in files(given, site.folder, out):
        run.file(path, name)
    run.settle()
    out.flags += out.editions.flags
    order = {p.id: i for i, p in enumerate(site.crew)}
    out.marked.sort(key=lambda m: (order[m.result.crew], m.result.finished, m.lesson.id, m.result.where))
    out.flags.sort(key=lambda f: (*_place(f.where), f.name))
    out.flags = _not_too_many(out.flags)
    return out


def _place(where: str) -> tuple[str, int]:
    """A flag's file and line, the line as a number so that 2 stands before 10."""
    file, _, line = where.rpartition(":")
    return (file, int(line)) if line.isdecimal() else (where, 0)


def _not_too_many(flags: list[Flag]) -> list[Flag]:
    """The flags with no more than MOST_FLAGS of one file, and a line for the rest of them."""
    by_file: dict[str, list[Flag]] = {}
    for f in flags:
        by_file.setdefault(_place(f.where)[0], []).append(f)
    out: list[Flag] = []
    for file, found in by_file.items():
        out += found[:MOST_FLAGS]
        if len(found) > MOST_FLAGS:
            out.append(Flag(found[MOST_FLAGS].where, "more", f"{len(found) - MOST_FLAGS:,} more things are wrong in {file}",
                            "mend those that are listed, or ask for the file again"))  # fmt: skip
    return out


def files(given: Iterable[Path], site: Path, out: Tally) -> Iterator[tuple[Path, str]]:
    """The files below what was named, each once, in a fixed order, with a short name for messages."""
    seen: set[Path] = set()
    for top in given:
        if not top.exists():
            out.flags.append(Flag(str(top), "unreadable", "there is no such file or folder", "check the name"))
            continue
        root = top.resolve()
        found = sorted(p for p in root.rglob("*") if p.is_symlink() or p.is_file()) if root.is_dir() else [root]
        for path in found:
            inside = path.relative_to(root).parts if root.is_dir() else ()
            if any(part.startswith(".") for part in inside):
                continue
            if root == site.resolve() and inside[0] in {"out", "editions"}:
                continue
            if path in seen:
                continue
            seen.add(path)
            if path.is_symlink() and path.is_dir():  # it may lead anywhere, and round in a circle
                out.flags.append(Flag("/".join((root.name, *inside)), "unreadable", "a link to a folder is not followed",
                                      "name that folder itself"))  # fmt: skip
                continue
            if path.suffix.lower() not in ENDINGS:
                out.left_aside += 1
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


class _Run:
    """One tally under way."""

    def __init__(self, site: JobSite, now: datetime.datetime, out: Tally) -> None:
        self.site, self.now, self.out = site, now, out
        self.crew, self.crew_table = {p.id for p in site.crew}, site.table(CREW.file)
        self.lessons = Lessons(out.editions, (i for r in site.settings.roles.values() for i in r.lessons))
        self.found: list[Marked] = []

    # --- reading ---

    def file(self, path: Path, name: str) -> None:
        self.out.files += 1
        try:
            text = self.text(path, name)
            if path.suffix.lower() == ".csv":
                self.table(read_table(text, name))
                return
            values = objects(text)
            if not values:
                raise Refused("truncated", "the file is empty", "ask for the file again, or for the slip")
        except Refused as e:
            self.out.flags.append(e.flag(f"{name}:1"))
            return
        for line, value in values:
            where = f"{name}:{line}"
            try:
                self.take(read_file(value, where), None)
            except Refused as e:
                self.out.flags.append(e.flag(where))

    def text(self, path: Path, name: str) -> str:
        try:
            state = path.stat()
            if not stat.S_ISREG(state.st_mode):
                raise Refused("unreadable", "it is not a file", "hand in the file itself")
            if state.st_size > MOST_BYTES:
                raise Refused("unreadable", f"it is larger than {MOST_BYTES // 1_000_000} MB", "check what was saved")
            data = path.read_bytes()
        except OSError as e:
            raise Refused("unreadable", f"it cannot be read ({e.strerror})", "check its access rights") from None
        log = Log(name)
        text = decode(data, log)
        if text is None:
            problem = log.all()[0]
            raise Refused("unreadable", problem.what, problem.fix)
        return text

    def table(self, table: HandedIn) -> None:
        if table.kind == "signoffs":
            latest = (self.now + EAST).date()
            read = read_signoffs(table, self.site, self.lessons, latest, self.out.flags)
            self.out.signoffs = list(dict.fromkeys((*self.out.signoffs, *read)))
            return
        mistyped = 0
        for where, row in table.each(self.out.flags):
            try:
                if table.kind == "slips":
                    if row["code"]:
                        self.take(read_slip(row["code"], where, search=mistyped < MOST_HINTS), None)
                else:
                    made = paper_result(self.site, self.out.editions, row, where)
                    if made is not None:
                        self.take(*made)
            except Refused as e:
                mistyped += e.name == "mistyped"
                self.out.flags.append(e.flag(where))

    # --- one result ---

    def take(self, result: Result, lesson: LessonMarking | None) -> None:
        """Check one result against the site and mark it. Raises Refused."""
        try:
            self.belongs(result)
            found = lesson or self.out.editions.find(result.edition, result.lesson, result.figures)
            self.found.append(mark(result, found))
        except Refused as e:
            raise Refused(e.name, e.what, e.fix, result.crew, result.lesson) from None

    def belongs(self, r: Result) -> None:
        key = self.site.settings.key
        if r.site is not None and r.site != key:
            raise Refused("foreign", f"it is from site '{r.site[:40]}', not {key}", "hand it in there")
        if r.crew not in self.crew:
            raise Refused("foreign", f"no crew id '{r.crew[:40]}' in {self.crew_table}",
                          suggest(r.crew[:40], self.crew, f"check the id, or add the person to {self.crew_table}"))  # fmt: skip
        latest = self.now + (EAST if r.origin == "paper" else LEEWAY)
        if r.finished > latest:
            raise Refused("future", f"it is dated {r.finished:%Y-%m-%d %H:%M} UTC, which is still to come",
                          "check the clock it was taken by, and ask for another try")  # fmt: skip

    # --- all results ---

    def settle(self) -> None:
        """Find results handed in twice, changed or copied; what is left counts."""
        groups: dict[tuple[object, ...], list[Marked]] = {}
        for m in self.found:
            r = m.result
            key: tuple[object, ...] = ("paper", r.sheet)
            if r.origin != "paper":
                minute = r.finished.replace(second=0)
                key = (r.edition, r.lesson, minute, r.set, tuple((a.variant, a.units) for a in r.answers))
                if len(r.answers) < 3:  # too few figures to tell two people apart
                    key = (*key, r.crew)
            groups.setdefault(key, []).append(m)
        for group in groups.values():
            self.out.marked += group if len(group) == 1 else self.one_of(group)
        for m in self.out.marked:
            shown = m.result.claimed
            if shown is not None and abs(shown - m.right / m.of) > 0.0051:
                said = "the file's score is no share" if shown < 0 else f"the quiz showed {shown:.0%} right"
                self.flag(m, "score", f"{said}, marked again it is {m.right} of {m.of}",
                          "ask how that came about; the marking here counts", counted=True)  # fmt: skip

    def one_of(self, group: list[Marked]) -> list[Marked]:
        crews = sorted({m.result.crew for m in group})
        if len(crews) > 1:
            for m in group:
                self.flag(m, "copied", f"the same try was handed in by {_some(crews)}",
                          "neither counts: ask each for another try")  # fmt: skip
            return []
        if len({_answers(m) for m in group}) > 1:
            for m in group:
                others = [x.result.where for x in group[: MOST_TOLD + 2] if x is not m]
                self.flag(m, "conflict", f"the same try has other answers in {_some(others, len(group) - 1)}",
                          "take the wrong one out, or ask for another try")  # fmt: skip
            return []
        first = min(group, key=lambda m: m.result.origin != "file")  # a file knows more than a slip
        for m in group:
            if m is not first:
                self.flag(m, "duplicate", f"it was handed in as {first.result.where} too", "nothing to do: it counts once")
        return [first]

    def flag(self, m: Marked, name: str, what: str, fix: str, *, counted: bool = False) -> None:
        self.out.flags.append(Flag(m.result.where, name, what, fix, m.result.crew, m.lesson.id, counted))


def _some(names: Sequence[str], count: int | None = None) -> str:
    """The first few of ``count`` names, and how many more there are."""
    more = (len(names) if count is None else count) - MOST_TOLD
    return ", ".join(names[:MOST_TOLD]) + (f" and {more} more" if more > 0 else "")


def _answers(m: Marked) -> tuple[object, ...]:
    """The answers in one form, however they were handed in."""
    out: list[object] = []
    for given, q in zip(m.result.answers, m.asked, strict=True):
        if isinstance(given.answer, str) and given.answer:
            variant = q["variants"][given.variant][given.units]
            figure: Figure = figure_for(given.answer, variant)
            out.append((float(f"{figure.value:.9g}"), figure.unit))
        elif q["kind"] == "several" and not isinstance(given.answer, str):
            out.append(tuple(sorted(given.answer)))
        else:
            out.append(given.answer)
    return tuple(out)
