"""What an earlier run made, kept in a folder by the hash of all that it was made from.

What is kept may be deleted at any time, and is never trusted: each file carries a seal over its name
and its bytes, made with a key that lies in the user's own folder and nowhere else. A file that is
damaged, was changed, was written by somebody else or put under another name does not fit its seal and
is not there. Nothing that is read runs: what is kept is bytes.
"""

from __future__ import annotations

import contextlib
import hmac
import os
import secrets
import stat
import sys
import tempfile
import time
import zlib
from collections.abc import Iterable
from hashlib import blake2b
from importlib.util import find_spec
from pathlib import Path

FOLDER = ".seatwork-kept"
KEY = "kept.key"
MOST = 200_000_000  # bytes in the folder, after a build
_LARGEST = 64_000_000  # bytes of one file
_CLOCKS_APART = 2_000_000_000  # ns that a disk's clock may be behind, or its grain
_HEAD = b"seatwork kept 1\n"
_SEAL = 32
# of a pipe in the place of a file nobody waits for the other end
_NO_LINKS = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def digest(*parts: bytes | str) -> str:
    """The hash of several things, in hex digits: other parts, or the same ones cut elsewhere, have another."""
    found = blake2b(digest_size=_SEAL)
    for part in parts:
        raw = part if isinstance(part, bytes) else part.encode("utf-8", "surrogatepass")
        found.update(b"%d:" % len(raw))
        found.update(raw)
    return found.hexdigest()


def home() -> Path:
    """The folder for what this program keeps of a user on this computer."""
    named = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(named) if named and Path(named).is_absolute() else Path.home() / ".cache") / "seatwork"


def own_key() -> bytes | None:
    """The key of this user, made where there is none; None where none can be kept that is the user's alone."""
    try:
        place = home()
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        path = place / KEY
        if (found := _key_in(path)) is not None:
            return found
        with contextlib.suppress(FileNotFoundError):
            path.unlink()
        handle, name = tempfile.mkstemp(dir=place)  # for its owner alone
        with os.fdopen(handle, "wb") as f:
            f.write(secrets.token_bytes(_SEAL))
        Path(name).replace(path)  # of two that begin at once the last one stays
        return _key_in(path)
    except (OSError, RuntimeError):  # no home, no rights
        return None


def _key_in(path: Path) -> bytes | None:
    raw = _read(path, private=True)
    return raw if raw is not None and len(raw) == _SEAL else None


def _read(path: Path, *, private: bool = False) -> bytes | None:
    """A plain file's bytes; None where it is none. A ``private`` one is its user's alone."""
    try:
        handle = os.open(path, os.O_RDONLY | _NO_LINKS)
    except OSError:
        return None
    with os.fdopen(handle, "rb") as f:
        found = os.fstat(handle)
        if not stat.S_ISREG(found.st_mode) or found.st_size > _LARGEST:
            return None
        if private and os.name == "posix" and (found.st_uid != os.geteuid() or found.st_mode & 0o077):
            return None
        try:
            return f.read()
        except OSError:
            return None


class Store:
    """The folder of what is kept. ``used`` are the names asked for with success or put since it was made."""

    def __init__(self, folder: Path, key: bytes) -> None:
        self.folder, self._key = folder, key
        self.used: set[str] = set()
        self._since = time.time_ns() - _CLOCKS_APART

    @classmethod
    def beside(cls, site: Path) -> Store | None:
        """The store of a job site's folder; None where nothing can be kept there."""
        folder = site / FOLDER
        key = own_key()
        if key is None:
            return None
        try:
            folder.mkdir(exist_ok=True)
            # a link would lead the writing elsewhere
            return cls(folder, key) if stat.S_ISDIR(folder.lstat().st_mode) else None
        except OSError:
            return None

    def name(self, what: str) -> str:
        """The name of the file of what is kept under ``what``."""
        return blake2b(what.encode(), key=self._key, digest_size=20, person=b"name").hexdigest()

    def _seal(self, name: str, raw: bytes) -> bytes:
        return blake2b(name.encode() + b"\n" + raw, key=self._key, digest_size=_SEAL, person=b"seal").digest()

    def get(self, what: str) -> bytes | None:
        """What is kept under ``what``, a hash of all it was made from; None where there is nothing sound."""
        name = self.name(what)
        raw = _read(self.folder / name)
        if raw is None or not raw.startswith(_HEAD):
            return None
        seal, packed = raw[len(_HEAD) : len(_HEAD) + _SEAL], raw[len(_HEAD) + _SEAL :]
        if not hmac.compare_digest(seal, self._seal(name, packed)):
            return None
        self.used.add(name)
        return zlib.decompress(packed)

    def put(self, what: str, data: bytes) -> None:
        """Keeps ``data`` under ``what``, whole or not at all. Where it cannot be written it is not kept."""
        name, packed = self.name(what), zlib.compress(data, 1)
        if len(packed) > _LARGEST - 1000:
            return
        try:
            handle, beside = tempfile.mkstemp(dir=self.folder, prefix="new-")
            try:
                with os.fdopen(handle, "wb") as f:
                    f.write(_HEAD + self._seal(name, packed) + packed)
                Path(beside).replace(self.folder / name)
            except OSError:
                Path(beside).unlink()
                raise
        except OSError:
            return
        self.used.add(name)

    def forget(self) -> None:
        """Takes out all that was used or put, by copies of this process too."""
        put = []
        with contextlib.suppress(OSError):
            for entry in os.scandir(self.folder):
                with contextlib.suppress(OSError):
                    if entry.is_file(follow_symlinks=False) and entry.stat(follow_symlinks=False).st_mtime_ns >= self._since:
                        put.append(entry.name)
        for name in {*self.used, *put}:
            with contextlib.suppress(OSError):
                (self.folder / name).unlink()

    def trim(self, most: int = MOST) -> None:
        """Takes out what was not used for longest, until no more than ``most`` bytes are left; never raises."""
        found = []
        with contextlib.suppress(OSError):
            for entry in os.scandir(self.folder):
                with contextlib.suppress(OSError):
                    known = entry.stat(follow_symlinks=False)
                    if not stat.S_ISREG(known.st_mode) or entry.name.startswith("new-"):
                        if not entry.is_dir(follow_symlinks=False):
                            Path(entry.path).unlink()  # of a build that died, or nobody's
                        continue
                    if entry.name in self.used:
                        os.utime(entry.path)
                    found.append((entry.name not in self.used, -known.st_mtime_ns, entry.name, known.st_size))
        total = 0
        for *_, name, size in sorted(found):  # those of this build first, then the latest
            total += size
            if total > most:
                with contextlib.suppress(OSError):
                    (self.folder / name).unlink()


def files_print(folder: Path, leave_out: Iterable[str] = ()) -> str:
    """The hash of all files below a folder, their names and bytes; hidden ones and compiled ones left out. Raises OSError."""
    out = tuple(leave_out)
    found: list[bytes | str] = []
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if "__pycache__" in name or any(part.startswith(".") for part in path.relative_to(folder).parts) or name.startswith(out):
            continue
        if path.is_file():
            found += (name, path.read_bytes())
    return digest(*found)


def packages_print(looked_into: Iterable[str] = ()) -> str:
    """The hash of the names, versions and days of installed packages, by the folders that say so, in the order they are looked for.

    Of the packages ``looked_into`` the day and size of each file count too, so that one that was edited where it lies is another.
    """
    found = []
    for place in sys.path:  # of two versions of a package the first one on the path runs
        with contextlib.suppress(OSError):
            here = [e for e in os.scandir(place or ".") if e.name.endswith((".dist-info", ".egg-info"))]
            found += sorted(f"{e.name} {e.stat().st_mtime_ns}" for e in here)
    for name in looked_into:
        spec = find_spec(name)
        for folder in (spec.submodule_search_locations if spec is not None else None) or ():
            found.append(name)
            for root, below, files in os.walk(folder):
                # compiled files come and go; thousands of icons are only added to
                below[:] = sorted(b for b in below if b not in {"__pycache__", ".icons"})
                for file in sorted(files):
                    with contextlib.suppress(OSError):
                        known = Path(root, file).stat()
                        found.append(f"{root.removeprefix(folder)} {file} {known.st_size} {known.st_mtime_ns}")
    return digest(*found)
