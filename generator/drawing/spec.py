"""Which drawing a lesson or a question asks for: its scene and what that is given, with their lines.

:func:`read_drawing` makes it of what YAML gave; beyond it nobody meets the raw mapping. Whether there
is such a scene, and whether it takes what it is given, is for ``book/scene.py``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from generator.source.yamltext import Text, as_text, entries, line_of

Argument = bool | int | float | str | tuple["Argument", ...]  # what a scene is given: a figure, a reference, or several
Kind = Literal["drawing", "steps", "either"]  # what a scene has to give: one drawing, one in steps, or either of them


@dataclass(frozen=True)
class DrawingSpec:
    """A drawing to scale: its scene and what that is given. ``given`` is None where that cannot be read."""

    file: str
    line: int
    scene: Text
    given: Mapping[str, Argument] | None = field(default_factory=lambda: MappingProxyType({}))
    given_line: int = 0
    caption: Text | None = None
    kind: Kind = "drawing"

    @property
    def references(self) -> Iterator[str]:
        """The references it is given, those in lists too."""
        return _words_in(tuple((self.given or {}).values()))


def read_drawing(raw: Mapping[str, Any], file: str, line: int = 2, kind: Kind = "drawing") -> DrawingSpec:
    """``drawing:`` of a lesson or question, which stands on ``line``."""
    scene = Text(raw.get("scene", ""))
    scene.line = line_of(raw.get("scene"), line)
    given = raw.get("with") or {}  # what stands there in words for other rules leaves nothing
    arguments = MappingProxyType({k: _argument(v) for k, v in entries(given).items() if v != ""}) if isinstance(given, dict) else None
    caption = as_text(raw["caption"]) if raw.get("caption") else None
    return DrawingSpec(file, line_of(raw, line), scene, arguments, line_of(given, line), caption, kind)


def _argument(value: Any) -> Argument:
    if isinstance(value, list):
        return tuple(map(_argument, value))
    return value if isinstance(value, bool | int | float | str) else str(value)


def _words_in(values: tuple[Argument, ...]) -> Iterator[str]:
    for value in values:
        if isinstance(value, tuple):
            yield from _words_in(value)
        elif isinstance(value, str):
            yield value
