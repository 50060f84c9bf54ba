"""Watching folders where results arrive: which files are new and whole, without reading any of them again.

A look asks the file system for names, sizes and times alone. A file is ripe when two looks one after the other find
it the same, so that one that is still being written is left until it is whole. One that changes later is read again.
"""

from __future__ import annotations

import datetime
import os
import time
from collections.abc import Sequence
from pathlib import Path

from generator.records.flags import Flag
from generator.records.intake import Intake, files
from generator.source.problem import Refusal

State = tuple[int, int, int]  # size in bytes, time of the last change in ns, and the number of the file itself


class Watch:
    """The folders ``drops`` of a job site's ``folder``, looked at every ``every`` seconds."""

    def __init__(self, folder: Path, drops: Sequence[Path], every: float) -> None:
        self.folder, self.drops, self.every = folder, tuple(drops), every
        self.ripe: frozenset[Path] = frozenset()  # to be read now, by the last look
        self.taken = 0  # rows since it began
        self._names: dict[Path, str] = {}
        self._now: dict[Path, State] = {}
        self._read: dict[Path, State] = {}
        self._tables: dict[str, State] = {}
        self._tables_read: dict[str, State] | None = None
        self._day: datetime.date | None = None
        self._flags: dict[Path, tuple[Flag, ...]] = {}

    def look(self) -> bool:
        """Look once; whether there is anything to do. Raises Refusal where a folder is gone, or OSError."""
        before, tables_before = self._now, self._tables
        self._now, self._names = self._seen()
        self._tables = self._own()
        long_ago = time.time_ns() - int(2e9 * self.every)
        self.ripe = frozenset(
            path
            for path, state in self._now.items()
            if self._read.get(path) != state and (before.get(path) == state or (path not in before and state[1] < long_ago))
        )
        first = self._tables_read is None
        changed = self._tables != self._tables_read and (first or self._tables == tables_before)
        return bool(self.ripe) or changed or self._day != datetime.date.today()  # who is ready is told by the day

    def flagged(self) -> list[Flag]:
        """What was flagged of the files that are not read this time."""
        return [f for path, flags in self._flags.items() if path in self._now and path not in self.ripe for f in flags]

    def done(self, flags: Sequence[Flag], taken: int) -> None:
        """The ripe files were read, with these ``flags``; ``taken`` of them made a row."""
        self.taken += taken
        self._read = {p: s for p, s in self._read.items() if p in self._now} | {p: self._now[p] for p in self.ripe}
        self._flags = {p: f for p, f in self._flags.items() if p in self._now and p not in self.ripe}
        of = {self._names[p]: p for p in self.ripe}
        for flag in flags:
            file = flag.where.rpartition(":")[0]
            path = of.get(file) or of.get(file.partition("[")[0])  # a workbook's sheet stands in brackets
            if path is not None:
                self._flags[path] = (*self._flags.get(path, ()), flag)
        self._tables_read, self._day = self._tables, datetime.date.today()

    def _seen(self) -> tuple[dict[Path, State], dict[Path, str]]:
        for drop in self.drops:
            if not drop.exists():
                raise Refusal("is not there any more", "look whether the share is connected; the watch goes on", file=str(drop))
            if drop.is_dir():
                try:
                    os.scandir(drop).close()
                except OSError as e:  # else it would look empty
                    raise Refusal(f"cannot be read ({e.strerror})", "check its access rights and your groups", file=str(drop)) from None
        states, names = {}, {}
        for path, name in files(self.drops, self.folder, Intake()):
            state = _state(path)
            if state is not None:
                states[path], names[path] = state, name
        return states, names

    def _own(self) -> dict[str, State]:
        """The tables and settings, and what builds keep beside them."""
        found = (*self.folder.iterdir(), *((self.folder / "editions").glob("*")))
        seen = {p.relative_to(self.folder).as_posix(): _state(p) for p in found if not p.name.startswith((".", "~$")) and p.is_file()}
        return {name: state for name, state in seen.items() if state is not None}


def _state(path: Path) -> State | None:
    try:
        found = path.stat()
    except OSError:  # it was taken away since
        return None
    return found.st_size, found.st_mtime_ns, found.st_ino
