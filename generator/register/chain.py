"""What is hashed: SHA-256 (FIPS 180-4) over a text that anybody can write out again.

The text of a row is one line of JSON without blanks between its parts, in UTF-8 and without an end of line::

    [chain of the row before, n, kind, day, at, taken, crew, lesson, machine, edition, about, body, digest]

The chain before the first row is the empty text, and ``about`` is null where a row names none. ``body`` is an
object with its keys in order of their code points. SQLite's own ``json_array`` writes the same text, so that an
inspector can do without this program (the README shows how). ``digest`` is the hash of ``[kind, identity]``.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

# a row as it stands in the file, without its chain: n, kind, day, at, taken, crew, lesson, machine, edition, about, body, digest
Columns = tuple[int, str, str, str, str, str, str, str, str, int | None, str, str]


def canonical(value: Any) -> str:
    """The one JSON text of a value. Raises TypeError for what JSON has no form for."""
    return _json(_plain(value))


def clean(text: str) -> str:
    """A text that every program stores and reads alike: half letters and NUL stand as a question mark."""
    return text.encode("utf-8", "replace").decode("utf-8").replace("\0", "?")


def digest(kind: str, identity: str) -> str:
    """What makes two of a kind the same thing, as 64 hex digits."""
    return _hash(_json([kind, clean(identity)]))


def text_of(before: str, row: Columns) -> str:
    """The text that is hashed for a row, after the chain of the row before."""
    *first, body, its_digest = row
    return f"{_json([before, *first])[:-1]},{body},{_json(its_digest)}]"


def link(before: str, row: Columns) -> str:
    """The chain of a row, as 64 hex digits."""
    return _hash(text_of(before, row))


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"), sort_keys=True)


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, str):
        return clean(value)
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, float):
        return value if math.isfinite(value) else str(value)  # JSON has no other form for them
    if isinstance(value, Mapping):
        return {clean(str(k)): _plain(v) for k, v in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, bytes | bytearray):
        return [_plain(v) for v in value]
    raise TypeError(f"{type(value).__name__} is nothing JSON holds")
