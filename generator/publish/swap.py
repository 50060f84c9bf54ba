"""Writing beside and swapping at the end, so that what was published stays until all is done."""

from __future__ import annotations

import contextlib
import ctypes
import errno
import json
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from generator.publish.carry import gather, remove
from generator.source.jsontext import NotAsWritten, load_json, part
from generator.source.problem import Refusal

LOCK = ".seatwork-building"
PLAIN_LOCK = ".seatwork-building-here"
STAGE = ".out-new-"
PENDING = "pending.json"

# what a file system answers that knows no locks, as some network shares
_NO_LOCKS = frozenset({errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP})
# and where a folder cannot be renamed: it is the top of a file system, or lies on another one
_NO_RENAME = frozenset({errno.EBUSY, errno.EXDEV})


class Busy(Refusal):
    """Another build of the same folder is running."""

    code = "busy"


class Stuck(Refusal):
    """The new handbook cannot be put in the place of the old one, which is still there."""

    code = "stuck"


@contextlib.contextmanager
def staging(folder: Path, name: str = "out") -> Iterator[Path]:
    """A fresh folder beside ``out``, or what else is made in ``folder`` under that ``name``, removed afterwards; one build at a time.

    The lock is the operating system's: it ends with the process that holds it, however that ends,
    so a lock file left by a build that died locks nothing. Where the file system knows no locks, a
    plain file stands for it, which a build removes at its end. Raises Busy, or OSError where the
    folder cannot be written.
    """
    if not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder))
    lock = _locked(folder)
    begins = STAGE if name == "out" else f".{name}-new-"
    stage = folder / f"{begins}{os.getpid()}"
    try:
        recover(folder / name)
        for left in folder.iterdir():  # of builds that died
            if left.name.startswith(begins):
                finish(left, folder, name)
                remove(left)
        stage.mkdir()
        yield stage
    finally:
        finish(stage, folder, name)
        remove(stage)
        lock.release()


def _locked(folder: Path) -> Any:
    """The lock of a folder, held. Raises Busy or OSError."""
    from filelock import FileLock, SoftFileLock, Timeout

    try:
        lock = FileLock(folder / LOCK, timeout=0, thread_local=False)
        lock.acquire()
        return lock
    except Timeout:
        raise Busy("another build is running here", "wait for it to end", file=str(folder)) from None
    except NotImplementedError:  # what some versions say where there are no locks
        pass
    except OSError as e:
        if e.errno not in _NO_LOCKS:
            raise
    plain = SoftFileLock(folder / PLAIN_LOCK, timeout=0, thread_local=False)
    try:
        plain.acquire()
    except Timeout:
        raise Busy("another build is running here", f"wait for it to end; if none is, one died: delete {folder / PLAIN_LOCK}",
                   file=str(folder)) from None  # fmt: skip
    return plain


def swap(new: Path, out: Path) -> None:
    """Put ``new`` in the place of ``out``: in one step where the system can, else in two.

    A kill between the two steps leaves the old handbook as ``.out-old``, which :func:`recover`
    puts back. Raises Stuck where ``out`` cannot be renamed, or OSError; then ``out`` is as it was.
    """
    if not out.exists():
        new.rename(out)
        return
    if _exchange(new, out):
        return
    old = _old(out)
    remove(old)
    try:
        out.rename(old)
        try:
            new.rename(out)
        except OSError:
            old.rename(out)
            raise
    except OSError as e:
        if e.errno in _NO_RENAME:
            raise stuck(out) from None
        raise
    gather(old, out)
    remove(old)


def stuck(out: Path) -> Stuck:
    """The error about an ``out`` that cannot be renamed."""
    return Stuck("is a disk of its own or lies on another one, so a build cannot put a new folder in its place at once",
                 f"take it away, and copy {out / 'web'} to where it is published", file=str(out))  # fmt: skip


def _old(out: Path) -> Path:
    """What the old handbook is called between the two steps of a swap."""
    return out.with_name(f".{out.name}-old")


def recover(out: Path) -> None:
    """After a kill in the middle of a swap: the old handbook back in its place."""
    old = _old(out)
    if old.exists():
        if out.exists():
            gather(old, out)
            remove(old)
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


def finish(stage: Path, folder: Path, name: str = "out") -> None:
    """After a swap: what the build had still to move, moved, and what came into the old ``out`` meanwhile; else nothing."""
    try:
        noted = load_json(stage / PENDING)
        if (folder / name).stat().st_ino != part(noted, "swapped", int):
            return
        moves = [(stage / made, folder / target) for made, target in part(noted, "moves", list)]
    except (NotAsWritten, OSError):  # killed before the note was whole
        return
    for made, target in moves:
        if made.is_file() and target.resolve().is_relative_to(folder.resolve()):
            target.parent.mkdir(parents=True, exist_ok=True)
            made.replace(target)
    if (stage / "out").is_dir():  # the two changed places, so this is the old one
        gather(stage / "out", folder / name)


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
