"""The commands that take several sites: each is done by itself, and one that fails does not stop the others."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from generator.cli.commands import build_one, check_one, not_written
from generator.source.problem import Refusal

One = Callable[[argparse.Namespace, Path], int]


def build(args: argparse.Namespace) -> int:
    """Build the handbook of a site, or those of several, and put them together where ``--index`` names a folder."""
    if len(args.folders) == 1 and args.index is None:
        return build_one(args, args.folders[0])
    from generator.publish.carry import InTheWay
    from generator.publish.sites import refuse_alike, refuse_place, write_sites

    folders: list[Path] = args.folders
    if args.tree is not None and len(folders) > 1:
        return _told("--tree takes the pages of one site; build that one by itself")
    place: Path | None = args.index
    if place is not None and place.name in {"", ".."}:
        place = place.resolve()
    try:
        refuse_alike(folders)
        if place is not None:
            refuse_place(place, folders)
    except Refusal as e:
        return _told(str(e))
    except OSError as e:
        return _told(not_written(e, place or folders[0]))
    failed = _each(args, folders, build_one)
    status = _summed(folders, failed, "built")
    if place is None:
        return status
    try:
        books = write_sites(place, folders, failed)
    except Refusal as e:
        # a file that somebody changed meanwhile, another build of the same folder
        kept = "nothing was changed: the last handbooks are still in place" if place.exists() else "nothing was written"
        return _told(str(e.at(str(place))), *([kept] if isinstance(e, InTheWay) else []))
    except OSError as e:
        made = Path(os.fsdecode(e.filename)) if e.filename else place
        hidden = any(part.startswith(f".{place.name}-new-") for part in made.parts)  # it stands for the folder itself
        return _told(not_written(OSError(e.errno, e.strerror, str(place)) if hidden else e, place))
    if not books:
        return _told(f"{place}: nothing was written, as no site has a handbook yet")
    missing = [f for f in failed if not (f / "out" / "web" / "index.html").is_file()]
    if failed and len(missing) < len(failed):
        print(f"{place}: holds the last handbook of {_listed([f for f in failed if f not in missing])}", file=sys.stderr)
    print(f"{len(books)} site{'' if len(books) == 1 else 's'}: {', '.join(b.key for b in books)}")
    print(f"publish:  {place / 'web'}")
    print(f"open:     {place / 'web' / 'index.html'}")
    return status


def check(args: argparse.Namespace) -> int:
    """Check a site, or several."""
    if len(args.folders) == 1:
        return check_one(args, args.folders[0])
    from generator.publish.sites import refuse_alike

    try:
        refuse_alike(args.folders)
    except Refusal as e:
        return _told(str(e))
    failed = _each(args, args.folders, check_one)
    return _summed(args.folders, failed, "in order")


def _each(args: argparse.Namespace, folders: Sequence[Path], one: One) -> list[Path]:
    """Do one site after the other; those that failed."""
    failed = []
    for n, folder in enumerate(folders, 1):
        if len(folders) > 1:
            # beside both: lines about a site follow it, wherever they go
            print(f"{folder} ({n} of {len(folders)})", file=sys.stderr, flush=True)
        if one(args, folder) != 0:
            failed.append(folder)
        sys.stdout.flush()
    return failed


def _summed(folders: Sequence[Path], failed: Sequence[Path], done: str) -> int:
    if not failed:
        return 0
    if len(folders) > 1:
        _told(f"{len(folders) - len(failed)} of {len(folders)} sites {done}; not {_listed(failed)}")
    return 2


def _listed(folders: Sequence[Path]) -> str:
    return ", ".join(map(str, folders))


def _told(*lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return 2
