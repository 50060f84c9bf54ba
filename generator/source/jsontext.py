"""JSON that this program wrote and reads again: a file that somebody cut off or changed is told, not guessed at."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from generator.source.problem import Refusal


class NotAsWritten(Refusal):
    """A JSON text of another shape than the program writes."""

    code = "json"

    def __init__(self, what: str) -> None:
        super().__init__(what, "put back the file that was written")


def load_json(path: Path, most: int | None = None) -> Any:
    """What a file holds. Raises NotAsWritten; FileNotFoundError or another OSError where it cannot be opened."""
    if most is not None and path.stat().st_size > most:
        raise NotAsWritten("it is too large")
    try:
        return json.loads(path.read_text("utf-8"))
    except (ValueError, RecursionError):  # no UTF-8, no JSON, or nested without end
        raise NotAsWritten("it is no JSON") from None


def part(value: Any, key: str, kind: type | tuple[type, ...]) -> Any:
    """An entry of an object, of the kind it has to be. Raises NotAsWritten."""
    found = whole(value, dict).get(key)
    return whole(found, kind, key)


def whole(value: Any, kind: type | tuple[type, ...], name: str = "it") -> Any:
    """The value, of the kind it has to be. Raises NotAsWritten."""
    kinds = kind if isinstance(kind, tuple) else (kind,)
    if not isinstance(value, kinds) or (isinstance(value, bool) and bool not in kinds):
        raise NotAsWritten(f"{name} is not what was written")
    return value
