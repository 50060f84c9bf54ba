"""Commands about results: tally, compare, paper."""

from __future__ import annotations

import argparse
import datetime
import glob
import shutil
import sys
import time
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.cli import fault
from generator.cli.commands import not_written
from generator.source.problem import Refusal, Refusals
from generator.units.table import System
from generator.units.writing import settle


def _fail(*lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return 2


def day(text: str) -> datetime.datetime:
    """The end of a day in UTC, from 2026-03-14."""
    try:
        found = datetime.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text[:40]}' is no day; write it as 2026-03-14") from None
    return datetime.datetime.combine(found, datetime.time(23, 59, 59), datetime.UTC)


def _site(folder: Path) -> Any:
    """The job site's tables, whose way of writing numbers is the command's. Raises SiteProblems."""
    from generator.jobsite.reader import read

    site = read(folder)
    settle(site.settings.writing)
    return site


def _handed_in(site: Any, given: list[Path]) -> list[Path]:
    """What to read: the files named, or ``FOLDER/results``; always the tables that the coordinator keeps in FOLDER."""
    folder: Path = site.folder
    out = list(given)
    if not given and (folder / "results").is_dir():
        out.append(folder / "results")
    return out + _own_tables(site)


def _own_tables(site: Any) -> list[Path]:
    """The tables of records that the coordinator keeps in FOLDER, or its workbook where it has sheets of them."""
    from generator.records.desk import OWN_TABLES
    from generator.records.workbooks import own_workbook

    folder: Path = site.folder
    book = own_workbook(site)
    out = [folder / name for name in OWN_TABLES if (folder / name).is_file()]
    return out if book is None else [*out, book]


def tally(args: argparse.Namespace) -> int:
    """Take in what was handed in, and say who is ready."""
    from generator.jobsite.reader import SiteProblems
    from generator.records.editions import load_editions
    from generator.records.report import terminal
    from generator.register.store import FILE

    folder: Path = args.folder
    if args.watch:
        return _watch(args)
    try:
        site = _site(folder)
    except SiteProblems as e:
        return _fail(*(str(p) for p in e.problems))
    given = _handed_in(site, args.results)
    if not given and not (folder / FILE).exists():
        return _fail(f"{folder}: nothing to tally; name result files or folders, or put them into {folder / 'results'}")
    if not load_editions(folder).names:
        return _fail(*map(str, load_editions(folder).flags), _no_edition(folder))
    clock = datetime.datetime.now(datetime.UTC)
    day = args.as_of.date() if args.as_of else datetime.datetime.now().astimezone().date()
    place: Path = args.out or folder / "out" / "mentor" / "records"
    made = _taken_in(site, given, clock, day, as_of=args.as_of)
    found = made.report.tally
    if not found.read_something:
        return _fail(
            *map(str, found.flags), f"{folder}: nothing handed in could be read; name the files the quiz saved, or tables of slip codes"
        )
    for line in _not_built(site, found):
        print(line, file=sys.stderr)
    try:
        written = made.write(place)
    except OSError as e:
        return _fail(not_written(e, place, "choose another folder with --out"))
    for text in terminal(made.report, shutil.get_terminal_size((110, 24)).columns if sys.stdout.isatty() else 10_000):
        print(text)
    print()
    row = made.last
    print(f"register: {row[0]} rows, {made.taken} of what was handed in is new; the last is {row[0]}, {row[1][:12]}")
    if args.as_of and day < clock.date():
        print(f"as of:    {day}; seatwork tally without --as-of writes the pages of today again")
    print("written:  " + ", ".join(p.name for p in written))
    print(f"open:     {place / 'readiness.html'}")
    return _fail(made.unsettled) if made.unsettled else 0


def _no_edition(folder: Path) -> str:
    return f"{folder}: no edition is kept here, so nothing can be marked; run seatwork build first"


def _not_built(site: Any, found: Any) -> Iterator[str]:
    """A line where the site's edition has never been built."""
    if site.settings.edition not in found.editions.names:
        line = site.settings.lines.get("edition", 1)
        yield (f"settings.yml:{line}: edition {site.settings.edition} has not been built, so nobody can be ready for it; "
               "run seatwork build")  # fmt: skip


@dataclass
class _Taken:
    """What one taking-in came to: the report of who is ready, the register's last row, and what was flagged of the files read."""

    report: Any
    last: tuple[int, str]
    taken: int
    unsettled: str
    flags: tuple[Any, ...]

    def write(self, place: Path) -> list[Path]:
        """Write the report. Raises OSError."""
        from generator.records.report import write

        return write(self.report, place)


def _taken_in(
    site: Any, given: list[Path], clock: datetime.datetime, day: datetime.date, *, as_of: datetime.datetime | None = None,
    only: Collection[Path] | None = None, flagged: Sequence[Any] = (),
) -> _Taken:  # fmt: skip
    """Take in ``given``, or ``only`` these files of it; ``flagged`` is told of files that were read before. Raises Refusal."""
    from generator.records.desk import open_desk
    from generator.records.readiness import readiness

    with open_desk(site, write=True) as desk:
        desk.take_in(given, clock, only)
        flags = tuple(desk.flags)
        desk.flags += flagged
        unsettled = _settled(desk, clock)
        on_day, found = desk.on(as_of or clock, day)
        row = desk.rows.head()
    return _Taken(readiness(on_day, found, day, row), row, desk.taken, unsettled, flags)


# --- tally --watch --------------------------------------------------------------------------


def _watch(args: argparse.Namespace) -> int:
    """Take in what comes until stopped with Ctrl+C."""
    from generator.records.watch import Watch

    folder: Path = args.folder
    drops = list(args.results) or [folder / "results"]
    if args.as_of:
        return _fail("seatwork tally: --watch takes in what comes now; leave --as-of out")
    if not (folder / "settings.yml").is_file():
        return _fail(f"{folder / 'settings.yml'}: is not there; name the folder with your tables")
    for drop in drops:
        if not drop.exists():
            return _fail(f"{drop}: there is no such folder; make it, or name the one where results arrive")
    watch = Watch(folder, drops, args.every)
    place: Path = args.out or folder / "out" / "mentor" / "records"
    print(f"watching {', '.join(map(str, drops))}, a look every {args.every:g} s; stop with Ctrl+C")
    print(f"open:    {place / 'readiness.html'}", flush=True)
    told = ""
    try:
        while True:
            wrong = _round(watch, folder, drops, place, told)
            if wrong and wrong != told:
                print(wrong, file=sys.stderr, flush=True)
            told = wrong
            time.sleep(args.every)
    except KeyboardInterrupt:
        print(f"stopped; {watch.taken} taken in since it began")
        return 0


def _round(watch: Any, folder: Path, drops: list[Path], place: Path, told: str) -> str:
    """One look, and a taking-in where something is there; what stood in its way, in words, or nothing."""
    from generator.records.editions import load_editions

    try:
        if not watch.look():
            return ""
        if not load_editions(folder).names:
            return _no_edition(folder)
        site = _site(folder)
        own = _own_tables(site)
        now = datetime.datetime.now().astimezone()
        made = _taken_in(site, [*drops, *own], now.astimezone(datetime.UTC), now.date(),
                         only={*watch.ripe, *(p.resolve() for p in own)}, flagged=watch.flagged())  # fmt: skip
        made.write(place)
    except (Refusal, Refusals) as e:
        return str(e)
    except OSError as e:
        return not_written(e, place, "what was handed in is kept; the next look tries again")
    except Exception as e:  # one round must not end the watch over the others
        if told != repr(e):
            fault.told(e, ["tally", str(folder), "--watch"])
            print("the watch goes on", file=sys.stderr, flush=True)
        return repr(e)
    read = len(watch.ripe)
    watch.done(made.flags, made.taken)
    ready = sum(any(m.ready for m in p.machines) for p in made.report.people)
    rows = f"{made.taken} new row" + ("" if made.taken == 1 else "s")
    held = len(made.report.tally.held)
    waits = f"{held} held until you say which counts; " if held else ""
    print(f"{now:%H:%M:%S}  {read} file{'' if read == 1 else 's'} read, {rows}, {len(made.flags)} flagged; {waits}"
          f"register: {made.last[0]} rows; ready: {ready} of {len(made.report.people)}", flush=True)  # fmt: skip
    return "\n".join([*_not_built(site, made.report.tally), *([made.unsettled] if made.unsettled else [])])


def _settled(desk: Any, clock: datetime.datetime) -> str:
    """Settle what was taken in; where its dated table cannot be written, the line that says so: the report needs none."""
    folder: Path = desk.site.folder
    try:
        desk.settle(clock)
    except Refusal as e:
        return str(e)
    except OSError as e:
        return not_written(e, folder / "register", None) + f", and run seatwork register {folder} --export; what was handed in is taken in"
    return ""


# --- compare --------------------------------------------------------------------------------


def _ledger(text: str, site: Path | None) -> Path:
    """A ledger by its path, by a job site's folder, or by an edition's name."""
    path = Path(text)
    if path.is_dir():
        return path / "out" / "ledger.json"
    if not path.is_file() and site is not None and path.name == text:
        return site / "editions" / f"{text}.ledger.json"
    return path


def compare(args: argparse.Namespace) -> int:
    """Say what changed between two editions and whom it concerns."""
    from generator.records.editions import compare as differences
    from generator.records.editions import lesson_of, read_ledger
    from generator.records.flags import Refused

    ledgers = []
    for text in (args.old, args.new):
        path = _ledger(text, args.site)
        try:
            ledgers.append(read_ledger(path))
        except Refused as e:
            return _fail(str(e.at(str(path))))
    old, new = ledgers
    if old.site != new.site:
        return _fail(f"{new.path}: it is of site {new.site}, the other of {old.site}; compare two editions of one site")
    found = differences(old, new)
    places: dict[str, list[Any]] = {}
    for c in found:
        places.setdefault(c.lesson or c.page, []).append(c)
    lessons = sorted({c.lesson for c in found if c.lesson and c.holds_no_longer})
    print(f"{old.edition} to {new.edition}: {sum(c.holds_no_longer for c in found)} numbers changed, "
          f"{sum(not c.new for c in found)} gone, {sum(not c.old for c in found)} new")  # fmt: skip
    for ledger in ledgers:
        if ledger.only is not None:
            known = sorted(lesson_of(p) or p for p in ledger.only)
            print(f"of {ledger.edition} only these are kept, and compared: {', '.join(known)}")
    for line in _built_before(args, ledgers):
        print(line)
    for name in sorted(places):
        print(f"\n{name}" + (": take again" if name in lessons else ""))
        for c in places[name]:
            print(_change(c, new.units or old.units or "us"))
    passed = _passed(args, old, new, lessons)
    if isinstance(passed, int):
        return passed
    if passed is not None:
        print("\nPassed on numbers that no longer hold:")
        for line in passed or ["  nobody"]:
            print(line)
    return 0


def _built_before(args: argparse.Namespace, ledgers: list[Any]) -> Iterator[str]:
    """Of an edition that was built again with other figures the last is compared; how to compare the ones before."""
    from generator.records.editions import lesson_of, read_ledger
    from generator.records.flags import Refused

    names = [args.old, args.new]
    for at, ledger in enumerate(ledgers):
        if args.site is None or ledger.path != args.site / "editions" / f"{names[at]}.ledger.json":
            continue
        for path in sorted(ledger.path.parent.glob(f"{glob.escape(names[at])}.*.ledger.json")):
            try:
                before = read_ledger(path)
            except Refused:
                continue
            if before.edition != ledger.edition or before.only is None:
                continue
            known = ", ".join(sorted(lesson_of(p) or p for p in before.only))
            words = [str(path) if i == at else n for i, n in enumerate(names)]
            shown = " ".join(f'"{w}"' if " " in w else w for w in [*words, "--site", str(args.site)])
            yield f"{ledger.edition} was built before with other figures in {known}. To compare those: seatwork compare {shown}"


def _change(c: Any, units: System) -> str:
    from generator.records.editions import texts

    old, new = texts(c.old, units), texts(c.new, units)
    if not c.old:
        return f"  new      {c.words} [{c.place}]: {new}"
    if not c.new:
        return f"  gone     {c.words} [{c.place}]: {old}"
    return f"  changed  {c.words} [{c.place}]: {old} is now {new}"


def _passed(args: argparse.Namespace, old: Any, new: Any, lessons: list[str]) -> list[str] | int | None:
    """Who passed the old edition in the lessons that changed; None where no results are known."""
    from generator.jobsite.reader import SiteProblems
    from generator.records.desk import open_desk
    from generator.records.desk import tally as run
    from generator.register.store import FILE

    folder: Path | None = args.site
    if folder is None and old.path.parent.name == "editions" and (old.path.parent.parent / "settings.yml").is_file():
        folder = old.path.parent.parent
    if folder is None:
        return _fail("name the job site with --site, so that the results can be marked") if args.results else None
    try:
        site = _site(folder)
    except SiteProblems as e:
        return _fail(*(str(p) for p in e.problems))
    now = args.as_of or datetime.datetime.now(datetime.UTC)
    if (folder / FILE).is_file() and not args.results:
        with open_desk(site, write=False) as desk:
            found = desk.on(now)[1]
    else:
        given = _handed_in(site, args.results or [])
        if not given:
            return None
        found = run(site, given, now)
    best: dict[tuple[str, str], Any] = {}
    newest = {m.id: m.figures for m in found.editions.lessons(new.edition)}
    ledgers = {(m.lesson.edition, m.lesson.id, m.lesson.figures): found.editions.resolved(m.lesson).ledger for m in found.marked}
    same = {(i, e) for (e, i, _), ledger in ledgers.items() if ledger.name == old.path.name}
    for m in found.marked:
        ledger = ledgers[m.lesson.edition, m.lesson.id, m.lesson.figures]
        of_old = m.lesson.edition == old.edition and (ledger.resolve() == old.path.resolve() or not same)
        if m.passed and m.lesson.id in lessons and of_old:
            best[m.result.crew, m.lesson.id] = m
    since: dict[tuple[str, str], Any] = {}
    for m in found.marked:
        key = (m.result.crew, m.lesson.id)
        if m.passed and key in best and m.lesson.edition == new.edition and m.lesson.figures == newest.get(m.lesson.id):
            since.setdefault(key, m)
    names = {p.id: p.name for p in site.crew}
    return [
        f"  {crew} {names.get(crew, '')}: {lesson}, passed {m.result.finished:%Y-%m-%d}"
        + (f", and again on {new.edition} {since[crew, lesson].result.finished:%Y-%m-%d}" if (crew, lesson) in since else ", take again")
        for (crew, lesson), m in sorted(best.items())
    ]


# --- paper ----------------------------------------------------------------------------------


def paper(args: argparse.Namespace) -> int:
    """Print paper quizzes with figures of their own, and their keys."""
    from generator.publish.build import Problems
    from generator.publish.paper import write_papers

    try:
        made = write_papers(args.folder, args.lesson or [], args.crew or [], args.attempt, args.units)
    except Problems as e:
        return _fail(*e.lines)
    except Refusal as e:
        return _fail(str(e.at(str(args.folder))))
    except OSError as e:
        return _fail(not_written(e, args.folder))
    print(f"{len(made.sheets)} paper {'quiz' if len(made.sheets) == 1 else 'quizzes'}, each with its key")
    print(f"print:    {made.folder / 'index.html'}")
    if made.answers is not None:
        print(f"answers:  {made.answers}  (fill in and give to seatwork tally)")
    return 0
