"""Writing beside and swapping at the end, so that what was published stays until all is done."""

from __future__ import annotations

import contextlib
import ctypes
import errno
import json
import os
import shutil
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

LOCK = ".seatwork-building"
STAGE = ".out-new-"
PENDING = "pending.json"


class Busy(Exception):
    """Another build of the same folder is running."""


@contextlib.contextmanager
def staging(folder: Path) -> Iterator[Path]:
    """A fresh folder beside ``out``, removed afterwards; one build at a time.

    The lock is the operating system's: it ends with the process that holds it, however that ends,
    so a lock file left by a build that died locks nothing. Raises Busy, or OSError where the
    folder cannot be written.
    """
    from filelock import FileLock, Timeout

    if not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))
    lock = FileLock(folder / LOCK, timeout=0, thread_local=False)
    try:
        lock.acquire()
    except Timeout:
        raise Busy("another build is running here") from None
    stage = folder / f"{STAGE}{os.getpid()}"
    try:
        recover(folder / "out")
        for left in folder.glob(f"{STAGE}*"):  # of builds that died
            finish(left, folder)
            shutil.rmtree(left, ignore_errors=True)
        stage.mkdir()
        yield stage
    finally:
        finish(stage, folder)
        shutil.rmtree(stage, ignore_errors=True)
        lock.release()


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
    try:
        new.rename(out)
    except OSError:
        old.rename(out)
        raise
    shutil.rmtree(old, ignore_errors=True)


def recover(out: Path) -> None:
    """After a kill in the middle of a swap: the old handbook back in its place."""
    old = out.with_name(".out-old")
    if old.exists():
        if out.exists():
            shutil.rmtree(old, ignore_errors=True)
        else:
            old.rename(out)


def pend(stage: Path, new: Path, moves: Sequence[tuple[Path, Path]]) -> None:
    """Note in ``stage`` which of its files go where once ``new`` is swapped in.

    A folder keeps its number on the disk when it is renamed: by it :func:`finish` knows whether
    a build that was killed had swapped already.
    """
    named = [[made.relative_to(stage).as_posix(), target.relative_to(stage.parent).as_posix()] for made, target in moves]
    text = json.dumps({"swapped": new.stat().st_ino, "moves": named})
    with (stage / PENDING).open("w", encoding="utf-8") as f:
        f.write(text)
        f.flush()
        os.fsync(f.fileno())


def finish(stage: Path, folder: Path) -> None:
    """What a build killed just after its swap had still to move, moved; else nothing."""
    try:
        noted = json.loads((stage / PENDING).read_text("utf-8"))
        if (folder / "out").stat().st_ino != noted["swapped"]:
            return
        moves = [(stage / made, folder / target) for made, target in noted["moves"]]
    except (OSError, ValueError, KeyError, TypeError):  # killed before the note was whole
        return
    for made, target in moves:
        if made.is_file() and target.resolve().is_relative_to(folder.resolve()):
            target.parent.mkdir(parents=True, exist_ok=True)
            made.replace(target)


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
