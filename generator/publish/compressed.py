"""Each text file of the web folder packed beside it, so that a server sends it as it lies there and packs nothing anew.

``.gz`` beside every page and beside what is large enough in the edition's folder. ``.br`` only within that folder, and
only where a ``brotli`` module or command is installed: a page keeps its name from edition to edition, and a ``.br``
left over from a machine that had the tool would be sent in place of a newer page. Every build writes every page's ``.gz``.
"""

from __future__ import annotations

import importlib
import shutil
import struct
import subprocess
import zlib
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from generator.book.parallel import workers
from generator.publish.edition_folder import plain_name
from generator.source.store import Store, digest

ENDINGS = frozenset({".html", ".css", ".js", ".json", ".svg", ".xml", ".txt"})
PACKED = (".gz", ".br")
SHORTEST = 1000  # bytes: below that a packed file spares nothing on the way
_LEVEL = 6  # 9 takes half as long again and spares one byte in a hundred
_BROTLI = 7
_AT_ONCE = 60  # files that one command packs
_HEAD = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff"  # RFC 1952: deflate, no name, no time, system unknown


def gzipped(data: bytes) -> bytes:
    """Bytes in the format of RFC 1952, the same for the same bytes: without a name, a time or a system."""
    made = zlib.compressobj(_LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    return _HEAD + made.compress(data) + made.flush() + struct.pack("<II", zlib.crc32(data), len(data) & 0xFFFFFFFF)


def write_packed(path: Path, store: Store | None = None) -> None:
    """Write a file's ``.gz`` beside it; with a store from there, where the same bytes were packed before."""
    data = path.read_bytes()
    made_from = digest("gz", zlib.ZLIB_RUNTIME_VERSION, f"{_LEVEL}", _HEAD, data)
    packed = store.get(made_from) if store is not None else None
    if packed is None:
        packed = gzipped(data)
        if store is not None:
            store.put(made_from, packed)
    path.with_name(f"{path.name}.gz").write_bytes(packed)


def write_compressed(web: Path, store: Store | None = None, apart: Sequence[str] = ()) -> None:
    """Write the packed files of a web folder that has none yet, but for the folders ``apart``."""
    found = sorted(p for p in web.rglob("*") if p.suffix in ENDINGS and p.is_file())
    pages, own = [], []
    for path in found:
        name = path.relative_to(web).as_posix()
        if name.partition("/")[0] in apart:
            continue
        if plain_name(name) == name:
            pages.append(path)
        elif path.stat().st_size >= SHORTEST:
            own.append(path)
    with ThreadPoolExecutor(max_workers=max(1, workers())) as pool:  # packing lets other threads run
        done = pool.map(lambda p: write_packed(p, store), [*own, *pages])
        tool = brotli()
        if tool is not None:
            list(pool.map(tool, [own[i : i + _AT_ONCE] for i in range(0, len(own), _AT_ONCE)]))
        list(done)


def brotli() -> Callable[[Sequence[Path]], None] | None:
    """What writes the ``.br`` of files beside them, where this machine has it."""
    try:
        module: Any = importlib.import_module("brotli")
    except ImportError:
        module = None
    command = shutil.which("brotli")
    if module is None and command is None:
        return None

    def pack_all(paths: Sequence[Path]) -> None:
        if module is None:  # what fails is sent as .gz: nothing is lost
            subprocess.run([str(command), f"--quality={_BROTLI}", "-k", "--", *map(str, paths)], capture_output=True, check=False)
            return
        for path in paths:
            path.with_name(f"{path.name}.br").write_bytes(module.compress(path.read_bytes(), quality=_BROTLI))

    return pack_all
