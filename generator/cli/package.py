"""What ``seatwork package`` does."""

from __future__ import annotations

import argparse
import sys

from generator.cli.commands import not_written, progress_of
from generator.source.problem import Refusal


def package(args: argparse.Namespace) -> int:
    """Build the handbook, unless it is to be taken as it was built, and write its packages."""
    from generator.publish.build import Problems

    progress = progress_of(quiet=args.quiet)
    try:
        lines = _written(args, progress.line)
    except Problems as e:
        progress.end()
        return _fail(*e.lines, "no package was written")
    except Refusal as e:
        progress.end()
        return _fail(str(e.at(str(args.folder))), "no package was written")
    except OSError as e:
        progress.end()
        return _fail(not_written(e, args.out or args.folder))
    progress.end()
    for line in lines:
        print(line)
    return 0


def _written(args: argparse.Namespace, progress: object) -> list[str]:
    from generator.book.tree import Progress
    from generator.exchange.package import note, published, told, write_packages
    from generator.publish.build import build, load
    from generator.publish.packages import PLACE

    assert callable(progress)
    line: Progress = progress
    if not args.as_built:
        build(args.folder, line)
    content, site = load(args.folder)
    if args.standard == "qti-3":
        # the questions alone, for those who make tests of their own
        from generator.exchange.qti import write_items

        out = args.folder / "out"
        target = args.out or published(out).parent / PLACE
        found = write_items(content, site, target, line)
        note(out, target, args.standard, [path.name for path in found])
        return [f"{'package:' if path.suffix == '.zip' else 'left out:'}  {path}" for path in found]
    return told(site, write_packages(content, site, args.standard, line, args.out))


def _fail(*lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return 2
