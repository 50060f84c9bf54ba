"""The command about the register: what it holds, whether it stands, and what is taken out of it or written from it."""

from __future__ import annotations

import argparse
import datetime
import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from generator.source.problem import Problem, Refusal
from generator.units.writing import settle

if TYPE_CHECKING:
    from generator.register.store import Register

Looks = Callable[[Path, "Register"], Iterable[Callable[[], Problem | None]]]

_MOST = 20_000_000  # bytes of a file that is looked through for a name


def none(folder: Path, register: Register) -> Iterable[Callable[[], Problem | None]]:
    """No more looks than the register's own."""
    return ()


def looked_again(folder: Path, register: Register) -> Iterable[Callable[[], Problem | None]]:
    """The looks that compare names with the rows' prints, and mark results again by the editions, where the tables can be read."""
    from generator.jobsite.reader import SiteProblems, read
    from generator.records.again import misnamed, remark
    from generator.records.editions import load_editions

    def names() -> Problem | None:
        fit, wrong = misnamed(register)
        if fit and wrong is None:
            print(f"{fit:,} {'name is the one its' if fit == 1 else 'names are those their'} rows were written for")
        return wrong

    def results() -> Problem | None:
        if not register.counts().get("result"):
            return None
        try:
            site = read(folder)
            settle(site.settings.writing)
        except SiteProblems as e:  # the rows can be walked without them
            print(f"results not marked again: {e.problems[0]}")
            return None
        found = remark(site, load_editions(folder), register.entries(kind="result"))
        if found.wrong is None:
            gone = f"; of {len(found.without)} the edition is kept no longer, the first is row {found.without[0]}" if found.without else ""
            print(f"{found.marked:,} result{'' if found.marked == 1 else 's'} marked again as the rows say{gone}")
        return found.wrong

    return results, names


def register(args: argparse.Namespace, also: Looks = looked_again) -> int:
    """Say what the register holds, and do what is asked of it. ``also`` are looks besides its own, for ``--verify``."""
    from generator.cli.commands import not_written
    from generator.register.store import Register

    folder: Path = args.folder
    if not folder.is_dir():
        return _fail(f"{folder}: there is no such folder; give the folder with settings.yml and the tables")
    try:
        if args.forget:
            return _forget(folder, args.forget)
        if args.new_key:
            return _new_key(folder)
        if args.xapi:
            return _xapi(folder, args, also)
        if args.names or args.home or args.out:
            return _fail("--names, --home and --out say how statements are written; give --xapi with them")
        if args.mentor_codes or args.new_code:
            return _mentor_codes(folder, args.new_code or [])
        with Register.open(folder) as opened:
            if args.verify or args.export or args.copy:
                status = _verify(opened, also(folder, opened))
                if status:
                    return status  # what does not hold is neither written out nor copied over one that does
                if args.export:
                    print(f"written:  {opened.export(_today())}")
                if args.copy:
                    opened.copy(args.copy)
                    print(f"written:  {args.copy}")
                return 0
            _say(folder, opened)
            return 0
    except Refusal as e:
        return _fail(str(e))
    except OSError as e:
        return _fail(not_written(e, args.copy or folder))


def _fail(*lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return 2


def _today() -> datetime.date:
    return datetime.datetime.now(datetime.UTC).date()


def _rows(n: int) -> str:
    return f"{n:,} row{'' if n == 1 else 's'}"


def _say(folder: Path, opened: Register) -> None:
    n, chain = opened.head()
    days = opened.days()
    print(f"{folder}: {_rows(n)}" + (f", {days[0]} to {days[1]}" if days else ""))
    for kind, count in opened.counts().items():
        print(f"  {kind:<11}{count:>8,}")
    last = opened.row(n)
    if last is not None:
        print(f"last:     row {n}, taken in {last.taken}")
        print(f"chain:    {chain}")
    gone = opened.forgotten()
    if gone:
        print(f"names taken out: {', '.join(f'{i} ({day})' for i, day in gone.items())}")


def _verify(opened: Register, also: Iterable[Callable[[], Problem | None]]) -> int:
    walked = opened.verify(also)
    if walked.problem is not None:
        return _fail(str(walked.problem))
    told = "it was compared with no export, as none is kept"
    if walked.exports:
        told = f"{walked.exports} kept export{' agrees' if walked.exports == 1 else 's agree'}"
    print(f"{_rows(walked.rows)} hold{'s' if walked.rows == 1 else ''}; {told}")
    print(f"chain:    {opened.head()[1] or 'none yet'}")
    if walked.back is not None:
        print(f"clock:    row {walked.back} bears an earlier time than the row before it, so this computer's clock was set back or ahead; "
              "the days on which rows near it were taken in may be wrong")  # fmt: skip
    return 0


def _new_key(folder: Path) -> int:
    from generator.records.seal import new_key

    print(f"written:  {new_key(folder)}")
    print("Keep key.pem to yourself: whoever has it can seal anything. Give key.pub to whoever has to check a seal.")
    return 0


def _mentor_codes(folder: Path, renew: list[str]) -> int:
    from generator.jobsite.reader import SiteProblems, read
    from generator.records.mentor_codes import hand_out

    try:
        site = read(folder)
        settle(site.settings.writing)
    except SiteProblems as e:
        return _fail(*(str(p) for p in e.problems))
    for line in hand_out(folder, site, _today(), renew=renew).lines:
        print(line)
    return 0


# --- statements for a learning record store ---------------------------------------------------


def _xapi(folder: Path, args: argparse.Namespace, also: Looks) -> int:
    """Write the register as statements, where it stands."""
    from generator.cli.commands import not_written
    from generator.exchange.xapi import statements
    from generator.jobsite.reader import SiteProblems, read
    from generator.records.desk import open_desk
    from generator.register.store import Register

    try:
        site = read(folder)
        settle(site.settings.writing)
    except SiteProblems as e:
        return _fail(*(str(p) for p in e.problems))
    with Register.open(folder) as opened:
        status = _verify(opened, also(folder, opened))
        if status:
            return status  # what does not hold is told to nobody
    with open_desk(site, write=False) as desk:
        found = statements(desk, datetime.datetime.now(datetime.UTC), home=args.home, names=args.names)
    path: Path = args.out or folder / "register" / "xapi.json"
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        beside.write_bytes(found.text().encode())
        beside.replace(path)
    except OSError as e:
        return _fail(not_written(e, path, "choose another file with --out"))
    finally:
        beside.unlink(missing_ok=True)
    verbs = ", ".join(f"{n:,} {verb}" for verb, n in found.by_verb.items())
    print(f"{len(found.statements):,} statements" + (f": {verbs}" if verbs else ""))
    for why, n in found.left_out.items():
        print(f"left out: {n:,} {why}")
    if args.names:
        print("names:    they are in it, beside the ids; it leaves this site's keeping with them")
    print(f"written:  {path}")
    return 0


# --- taking names out -----------------------------------------------------------------------


def _forget(folder: Path, ids: list[str]) -> int:
    """Take the names of people out who are here no longer."""
    from generator.jobsite.reader import SiteProblems, read
    from generator.register.store import Register

    try:
        site = read(folder)
        settle(site.settings.writing)
    except SiteProblems as e:
        return _fail(*(str(p) for p in e.problems))
    today = _today()
    wrong = [line for i in dict.fromkeys(ids) for line in _still_here(site, i, today)]
    if wrong:
        return _fail(*wrong)
    with Register.open(folder, write=True) as opened:
        unknown = [i for i in dict.fromkeys(ids) if i not in opened.known_ids()]
        if unknown:
            return _fail(*(f"{opened.path}: it knows no {i[:40]}; give ids as the rows have them" for i in unknown))
        gone = opened.forget(ids, today)
        rows = {i: sum(1 for _ in opened.entries(crew=i)) for i in dict.fromkeys(ids)}
    for i, n in rows.items():
        print(f"{i}: {'its name is taken out' if i in gone else 'it had no name here any more'}; {_rows(n)} stay, under the id alone")
    held = sorted({name for text in gone.values() for name in _holds(folder, text)})
    if held:
        print(f"these still hold a name that was taken out: {', '.join(held)}")
    print("Look through results/, signoffs.csv and the other tables, pages that were written, and copies kept elsewhere: "
          "they may hold the name too, and seatwork tally would take it in again from a table.")  # fmt: skip
    return 0


def _still_here(site: Any, i: str, today: datetime.date) -> list[str]:
    """Why a name may not be taken out yet."""
    lines = []
    for person in site.crew:
        if person.id == i and (person.left is None or person.left > today):
            why = "has no day in the column left" if person.left is None else f"leaves on {person.left}"
            lines.append(f"{site.table('crew.csv')}:{person.line}: {i} {why}, so the name stays in the register; "
                         "fill in left first, or take the row out")  # fmt: skip
    for mentor in site.mentors or ():
        if mentor.id == i and (mentor.until is None or mentor.until >= today):
            why = "has no day in the column until" if mentor.until is None else f"signs until {mentor.until}"
            lines.append(f"{site.table('mentors.csv')}:{mentor.line}: {i} {why}, so the name stays in the register; "
                         "fill in until first, or take the row out")  # fmt: skip
    return lines


def _holds(folder: Path, name: str) -> Iterable[str]:
    """The files of the site, as it hands them in, that hold a name, in their names or as text."""
    told = name.casefold()
    for path in (*folder.glob("*.csv"), *(folder / "results").rglob("*")):
        try:
            if not path.is_file() or path.stat().st_size > _MOST:
                continue
            text = f"{path.stem} {path.read_bytes().decode('utf-8', 'replace')}"
        except OSError:
            continue
        if told in " ".join(text.casefold().replace("_", " ").split()):
            yield path.relative_to(folder).as_posix()
