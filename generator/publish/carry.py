"""What people put into ``out`` themselves: a build takes it over, or says why it cannot.

The list of files of the last build (:mod:`generator.publish.manifest`) says what that build wrote.
Whatever else lies in ``out`` belongs to somebody: it is found again at the same place in the new
``out``. Links are kept as links and never followed.
"""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Collection, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from generator.publish.manifest import MANIFEST, hash_of, read_manifest
from generator.source.problem import Refusal

_MOST_TOLD = 3


class InTheWay(Refusal):
    """What lies in ``out`` and cannot be taken over."""

    code = "in-the-way"


@dataclass
class Found:
    """What lies in ``out`` and is not what the last build wrote, by its path from there.

    ``files`` are files, links and the like that stand in no list, ``folders`` the folders none of
    the list's files lies in, outer ones first. ``changed`` are files of the list with other content
    now. ``listed`` says whether there is a list at all.
    """

    files: list[str] = field(default_factory=list)
    folders: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    listed: bool = True


def find(out: Path, *, changed: bool = True) -> Found:
    """Look through ``out``, without ``changed`` at names alone. Raises InTheWay where a part of it cannot be read, OSError where all of it cannot."""
    try:
        return _found(out, changed)
    except OSError as e:
        place = Path(os.fsdecode(e.filename)) if e.filename else out
        if out not in place.parents:
            raise
        raise _unread(place, e) from None


def _found(out: Path, changed: bool) -> Found:
    listed = read_manifest(out)
    found = Found(listed=listed is not None)
    known = listed or {}
    ours = _folders_of(known)
    start = len(out.as_posix().rstrip("/")) + 1 if out != Path() else 0
    for path in _walk(out):
        name = path.as_posix()[start:]
        if name == MANIFEST and listed is not None:
            continue
        mode = path.lstat().st_mode
        if stat.S_ISDIR(mode):
            if name not in ours:
                found.folders.append(name)
        elif name not in known:
            found.files.append(name)
        elif changed and (not stat.S_ISREG(mode) or hash_of(path) != known[name]):
            found.changed.append(name)
    return found


def _folders_of(names: Iterable[str]) -> set[str]:
    """All folders that the files of these paths lie in."""
    found: set[str] = set()
    for name in names:
        while (name := name.rpartition("/")[0]) and name not in found:
            found.add(name)
    return found


def refuse_changed(out: Path) -> None:
    """Before the long work: pages of the last build that somebody wrote in. Raises InTheWay or OSError."""
    if out.is_dir() and (changed := find(out).changed):
        raise _changed(out, changed)


def carry(out: Path, new: Path, kept: Collection[str], anew: Collection[str]) -> None:
    """Take over into ``new`` what people put into ``out``; ``out`` stays as it is.

    Below the folders ``kept`` other commands write: what is there stands before what ``new`` has,
    but for the files of ``anew``. Raises InTheWay, or OSError.
    """
    if not out.is_dir():
        return
    found = find(out)
    # the same bytes as the new build's are no loss
    changed = [n for n in found.changed if not _same(out / n, new / n)]
    if changed:
        raise _changed(out, changed)

    def of_commands(name: str) -> bool:
        return any(name.startswith(f"{k}/") for k in kept)

    clashes = [n for n in found.files if not of_commands(n) and _there(new, n) and not _same(out / n, new / n)]
    clashes += [n for n in found.folders if _there(new, n) and not _is_folder(new / n)]
    if clashes and not found.listed:
        raise InTheWay(
            "is missing, and without it nobody can tell what a build wrote there from what you put there",
            f"move {out.name} to another name, build, and take what is yours from there",
            file=str(out / MANIFEST),
        )
    if clashes:
        raise InTheWay(
            "no build wrote this, and this build writes a page of that name", "move it to another folder first", file=_some(out, clashes)
        )
    for name in found.folders:
        (new / name).mkdir(parents=True, exist_ok=True)
    for name in found.files:
        if name in anew or (not of_commands(name) and _there(new, name)):
            continue
        (new / name).parent.mkdir(parents=True, exist_ok=True)
        _take(out / name, new / name)
    for name in reversed(found.folders):  # rights last: a folder may be closed to writing
        with suppress(OSError):
            shutil.copystat(out / name, new / name)


def gather(old: Path, out: Path) -> None:
    """What came into ``old`` while the new ``out`` was being put in its place: moved over where it is free.

    Never raises: it comes after the work is done.
    """
    try:
        found = find(old, changed=False)
    except (InTheWay, OSError):
        return
    for name in (*found.folders, *found.files):
        source, target = old / name, out / name
        with suppress(OSError):
            if _is_folder(source):
                target.mkdir(parents=True, exist_ok=True)
            elif not os.path.lexists(target):
                target.parent.mkdir(parents=True, exist_ok=True)
                source.rename(target)


def remove(folder: Path) -> None:
    """Remove a folder that is done with, closed folders in it too."""
    for path in (folder, *(p for p in _walk(folder, lenient=True) if _is_folder(p))):
        with suppress(OSError):
            path.chmod(0o700)
    shutil.rmtree(folder, ignore_errors=True)


def _walk(folder: Path, *, lenient: bool = False) -> Iterator[Path]:
    """Everything below a folder, folders before what is in them; links are not followed."""
    try:
        inside = sorted(folder.iterdir())
    except OSError:
        if lenient:
            return
        raise
    for path in inside:
        yield path
        if _is_folder(path):
            yield from _walk(path, lenient=lenient)


def _is_folder(path: Path) -> bool:
    try:
        return stat.S_ISDIR(path.lstat().st_mode)
    except OSError:
        return False


def _there(new: Path, name: str) -> bool:
    """Whether ``new`` has something at a path, or a file where a folder of the path would be."""
    place = new
    for part in PurePosixPath(name).parts:
        place = place / part
        if not os.path.lexists(place):
            return False
        if not _is_folder(place):
            return True
    return True


def _same(a: Path, b: Path) -> bool:
    """Whether two are files of the same bytes."""
    try:
        return all(stat.S_ISREG(p.lstat().st_mode) for p in (a, b)) and hash_of(a) == hash_of(b)
    except OSError:
        return False


def _take(source: Path, target: Path) -> None:
    """The same file under a second name, or a copy where the disk knows no second names."""
    with suppress(FileNotFoundError):
        target.unlink()
    mode = source.lstat().st_mode
    if stat.S_ISLNK(mode):
        target.symlink_to(source.readlink())
        return
    try:
        os.link(source, target)
        return
    except OSError:
        if not stat.S_ISREG(mode):
            raise InTheWay(
                "is neither file nor folder, and cannot be taken over", "move it to another folder first", file=str(source)
            ) from None
    try:
        shutil.copy2(source, target)
    except PermissionError as e:
        if os.access(source, os.R_OK):
            raise
        raise _unread(source, e) from None


def _unread(path: Path, e: OSError) -> InTheWay:
    return InTheWay(f"cannot be read ({e.strerror}), so a build would lose what is in it",
                    "check its access rights, or move it to another folder", file=_some(path.parent, [path.name]))  # fmt: skip


def _changed(out: Path, names: list[str]) -> InTheWay:
    return InTheWay("was changed after a build wrote it, and a build writes its pages anew",
                    "move your copy to another folder first, or delete it", file=_some(out, names))  # fmt: skip


def _some(out: Path, names: list[str]) -> str:
    shown = ", ".join(str(out / n) if i == 0 else n for i, n in enumerate(names[:_MOST_TOLD]))
    more = len(names) - _MOST_TOLD
    text = shown + (f" and {more} more" if more > 0 else "")
    return "".join(ch if ch.isprintable() else "�" for ch in text)
