"""Work that goes on beside other work, in a copy of this process.

The work is written as a generator: it yields what it has found so far, is sent what it needs to go on, and returns its
result. Where a copy of this process can be had it is carried out there, from the beginning on; else here, when it is
asked for what it found. Where a copy dies or fails, what it did is done again here: so it gives the same, and raises the
same, wherever it is carried out.
"""

from __future__ import annotations

import contextlib
import ctypes
import multiprocessing
import os
import signal
from collections.abc import Callable, Generator, Iterator, Mapping
from multiprocessing.connection import Connection
from typing import Any

from generator.book.parallel import can_be_copied, shared_by, workers

Work = Callable[[bool], Generator[Any, Any, Any]]
"""Begins the work, told whether it goes on in a copy. What is yielded, sent and returned is plain data, to be sent from one process to another."""

_DIE_WITH_PARENT = 1  # PR_SET_PDEATHSIG of prctl(2)


class Beside:
    """One piece of work. What it is told and what it says comes in turns: ``hear``, ``tell``, ``hear``, to its result."""

    def __init__(self, work: Work) -> None:
        self._work = work
        self._told: list[Any] = [None]  # what to go on with, from the beginning
        self._here: Generator[Any, Any, Any] | None = None
        self._copy: tuple[multiprocessing.process.BaseProcess, Connection] | None = None

    def begin(self) -> None:
        """Starts a copy of this process on it; where none can be had the work waits until it is asked for."""
        context = multiprocessing.get_context("fork")
        with contextlib.suppress(OSError, RuntimeError, DeprecationWarning):
            ours, theirs = context.Pipe()
            copy = context.Process(target=_carry_out, args=(self._work, theirs, os.getpid()))
            copy.start()
            theirs.close()
            self._copy = copy, ours

    def tell(self, value: Any) -> None:
        """Has it go on with ``value``, once it was heard."""
        self._told.append(value)
        if self._copy is not None:
            with contextlib.suppress(OSError):  # it is gone: hearing finds out
                self._copy[1].send(value)

    def hear(self) -> Any:
        """What it says next, or its result; waits for it. Raises what the work raises."""
        if self._copy is not None:
            with contextlib.suppress(EOFError, OSError):
                return self._copy[1].recv()
            self.end()
        if self._here is None:
            self._here, told = self._work(False), self._told
        else:
            told = self._told[-1:]
        said = None
        for value in told:  # of work begun anew, what was heard before comes again
            try:
                said = self._here.send(value)
            except StopIteration as end:
                said = end.value
        return said

    def end(self) -> None:
        """Ends the copy, whatever it is at."""
        if self._copy is not None:
            (copy, ours), self._copy = self._copy, None
            copy.kill()
            copy.join()
            ours.close()


@contextlib.contextmanager
def all_beside(pieces: Mapping[str, Work], *, wanted: bool = True) -> Iterator[dict[str, Beside]]:
    """All pieces begun, if ``wanted`` in copies that share the cores with this process; at the end none of them runs."""
    found = {name: Beside(work) for name, work in pieces.items()}
    copied = wanted and bool(found) and workers() > 1 and can_be_copied()
    with shared_by(len(found) + 1 if copied else 1):
        try:
            for one in found.values() if copied else ():
                one.begin()
            yield found
        finally:
            for one in found.values():
                one.end()


def _carry_out(work: Work, said: Connection, parent: int) -> None:
    """In the copy: the work, with what it says and is told going over ``said``. What it raises ends the copy."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever began it ends it
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL(None).prctl(_DIE_WITH_PARENT, signal.SIGKILL)
    if os.getppid() != parent:  # which died before that was said
        os._exit(1)
    running, told = work(True), None
    try:
        while True:
            try:
                step = running.send(told)
            except StopIteration as end:
                said.send(end.value)
                return
            said.send(step)
            told = said.recv()
    except BaseException:  # it is raised again by who does the work anew
        os._exit(1)
