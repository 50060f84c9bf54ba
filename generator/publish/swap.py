"""Writing beside and swapping at the end, so that what was published stays until all is done."""

from __future__ import annotations

import contextlib
import ctypes
import os
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path

LOCK = ".seatwork-building"


class Busy(Exception):
    """Another build of the same folder is running."""


def _alive(pid: int) -> bool:
    if os.name == "nt":  # pragma: no cover - no signal to ask with; age decides
        return True
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


@contextlib.contextmanager
def staging(folder: Path) -> Iterator[Path]:
    """A fresh folder beside ``out``, removed afterwards; one build at a time.

    A lock left by a build that died is recognised by its process being gone (or by its age).
    Raises Busy, or OSError where the folder cannot be written.
    """
    lock = folder / LOCK
    _take(lock)
    stage = folder / f".out-new-{os.getpid()}"
    try:
        for left in folder.glob(".out-new-*"):  # of builds that died
            shutil.rmtree(left, ignore_errors=True)
        recover(folder / "out")
        stage.mkdir()
        yield stage
    finally:
        shutil.rmtree(stage, ignore_errors=True)
        lock.unlink(missing_ok=True)


def _take(lock: Path) -> None:
    for _ in range(2):
        try:
            with lock.open("x", encoding="utf-8") as f:
                f.write(f"{os.getpid()}\n")
            return
        except FileExistsError:
            try:
                pid = int(lock.read_text("utf-8").strip() or 0)
                age = time.time() - lock.stat().st_mtime
            except (OSError, ValueError):
                pid, age = 0, 3600.0
            if (pid and _alive(pid) and age < 3600) or (not pid and age < 5):
                raise Busy(f"another build is running here (process {pid})") from None
            lock.unlink(missing_ok=True)
    raise Busy("another build is running here")


def swap(new: Path, out: Path) -> None:
    """Put ``new`` in the place of ``out``: in one step where the system can, else in two.

    A kill between the two steps leaves the old handbook as ``.out-old``, which :func:`recover`
    puts back.
    """
    if not out.exists():
        new.rename(out)
        return
    if _exchange(new, out):
        return
    old = out.with_name(".out-old")
    shutil.rmtree(old, ignore_errors=True)
    out.rename(old)
    new.rename(out)
    shutil.rmtree(old, ignore_errors=True)


def recover(out: Path) -> None:
    """After a kill in the middle of a swap: the old handbook back in its place."""
    old = out.with_name(".out-old")
    if old.exists():
        if out.exists():
            shutil.rmtree(old, ignore_errors=True)
        else:
            old.rename(out)


def _exchange(a: Path, b: Path) -> bool:
    """Exchange two folders in one step (Linux); False where that is not to be had."""
    if not sys.platform.startswith("linux"):
        return False
    try:
        libc = ctypes.CDLL(None, use_errno=True)
        at_here, exchange = -100, 2
        done = libc.renameat2(at_here, os.fsencode(a), at_here, os.fsencode(b), exchange)
    except (OSError, AttributeError):
        return False
    return bool(done == 0)
