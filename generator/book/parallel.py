"""Rendering on all cores: jobs that need nothing of one another are done by worker processes.

Where there is one core, little to do, or a worker cannot be had or dies, the caller does the job
itself: the same function makes the same part, so the handbook is the same byte for byte. What a job
raises is raised where its part is asked for.
"""

from __future__ import annotations

import contextlib
import gc
import io
import multiprocessing
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, fields
from multiprocessing import connection
from types import MappingProxyType
from typing import Any

from generator.calc.catalogue import calculations, find
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure

WORKERS = "SEATWORK_WORKERS"  # how many processes to use at most; 1 is none but this one
MOST = 8
_WINDOWS_MOST = 61  # processes a pool may have there
FEWEST_JOBS = 3  # below that, starting workers takes as long as the work


@dataclass(frozen=True, slots=True)
class Job:
    """A part of the book: a lesson by its id, cab cards from one to another, or the reference chapter."""

    what: str
    name: str = ""
    first: int = 0
    end: int = 0


Run = Callable[[Any, Job], Any]  # (what all jobs share, a job) -> its part


class Parts:
    """Parts by job, as workers finish them."""

    def __init__(self, futures: dict[Job, Future[Any]]) -> None:
        self._futures = futures

    def of(self, job: Job) -> Any:
        """The part, once it is there; None where the caller has to make it."""
        future = self._futures.pop(job, None)
        if future is None:
            return None
        try:
            return future.result()
        except BrokenProcessPool:  # a worker died, as where memory is short; what a job itself raises goes on
            return None


_sharing = 1  # processes that share the cores, this one among them


def workers() -> int:
    """How many processes rendering may use."""
    asked = os.environ.get(WORKERS, "")
    if asked.isdecimal():
        return max(1, int(asked) // _sharing)
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, min(cores, MOST) // _sharing)


@contextlib.contextmanager
def shared_by(count: int) -> Iterator[None]:
    """Within it, and in copies made of this process, all cores are shared by so many processes."""
    global _sharing
    was, _sharing = _sharing, _sharing * count
    try:
        yield
    finally:
        _sharing = was


def can_be_copied() -> bool:
    """Whether a copy of this process has all it needs: on Linux, where no threads run."""
    return sys.platform.startswith("linux") and threading.active_count() == 1


@contextlib.contextmanager
def spread(run: Run, shared: Any, jobs: Sequence[Job], *, anew: bool = True) -> Iterator[Parts]:
    """Starts ``jobs`` on all cores. ``run`` is a function of a module, ``shared`` what it is given.

    With ``anew=False`` only copies of this process will do, as ``shared`` cannot be sent.
    """
    count = min(workers(), len(jobs), _WINDOWS_MOST)
    if count < 2 or len(jobs) < FEWEST_JOBS:
        yield Parts({})
        return
    copied = can_be_copied()  # elsewhere a new process is told all
    if not copied and not anew:
        yield Parts({})
        return
    before = set(multiprocessing.active_children())
    pool: ProcessPoolExecutor | None = None
    futures: dict[Job, Future[Any]] = {}
    given = (run, shared) if copied else (run, _packed(shared))
    try:
        pool = ProcessPoolExecutor(count, multiprocessing.get_context("fork" if copied else "spawn"), _begin, (*given, copied))
        futures = {job: pool.submit(_do, job) for job in jobs}
    except (OSError, RuntimeError, DeprecationWarning):
        # no process, no thread or a pool that broke at once; Python warns of a copy where a library runs threads
        # a worker that did start would wait for work for ever, and this process for it when it ends
        for started in set(multiprocessing.active_children()) - before:
            started.terminate()
    try:
        yield Parts(futures)
    finally:
        if pool is not None:
            pool.shutdown(wait=True, cancel_futures=True)


@contextlib.contextmanager
def uncollected() -> Iterator[None]:
    """No search for circles in memory meanwhile: building leaves few, and looking takes a tenth of its time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


# --- in a worker ----------------------------------------------------------------------------

_work: tuple[Run, Any]


def _begin(run: Run, shared: Any, copied: bool) -> None:
    global _work
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever started it stops it
    gc.disable()  # it lives for seconds
    threading.Thread(target=_end_with_parent, daemon=True).start()
    _work = run, shared if copied else pickle.loads(shared)


def _end_with_parent() -> None:
    """A worker whose build was killed has nobody to work for."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        connection.wait([parent.sentinel])
        os._exit(1)


def _do(job: Job) -> Any:
    run, shared = _work
    return run(shared, job)


# --- what is handed to a new process --------------------------------------------------------


class _Packer(pickle.Pickler):
    """Calculations go by their id (a compiled function cannot be sent), read-only tables as tables."""

    def reducer_override(self, value: Any) -> Any:
        if isinstance(value, Formula | Procedure) and calculations().get(value.id) is value:
            return find, (value.id,)
        if isinstance(value, Formula | Procedure):  # as other rules have it
            return type(value), tuple(getattr(value, f.name) for f in fields(value))
        if isinstance(value, MappingProxyType):
            return _read_only, (dict(value),)
        return NotImplemented


def _read_only(value: dict[Any, Any]) -> Any:
    return MappingProxyType(value)


def _packed(value: Any) -> bytes:
    out = io.BytesIO()
    _Packer(out, pickle.HIGHEST_PROTOCOL).dump(value)
    return out.getvalue()
