"""The bibliography: what the calculations, tables and checks name as a source.

``content/sources.yml`` maps a key to title, author, year, kind and note, all of them text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from generator.language.words import mark, tr
from generator.reference.errors import ReferenceProblem
from generator.source.yamltext import MappingNode, Node, ScalarNode, Unreadable, compose, node_line

FILE = "sources.yml"
KINDS = (
    "regulation", "standard", "manual", "book", "article", "agency form", "lecture notes",
    "coursework", "trade press", "library", "question bank",
)  # fmt: skip
# a printed digit to test against, but no authority: named as such wherever it is cited
NUMBER_ONLY = frozenset({mark("coursework"), mark("lecture notes"), mark("question bank")})
_FIELDS = ("title", "author", "year", "kind", "note")
_KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_UNSAID = {"not stated", "current"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One source. ``year`` may be text such as ``current``; ``note`` says how much was read."""

    key: str
    title: str
    author: str
    year: str
    kind: str
    note: str

    def cite(self) -> str:
        """The source in one line of plain text: author, title, year, and what kind of page it is where it has no better name."""
        return self.named + self.told

    @property
    def told(self) -> str:
        """What kind of page a source is that has no better name, in the language of now, in brackets after its name; nothing for others."""
        return f" ({tr(self.kind)})" if self.kind in NUMBER_ONLY else ""

    @property
    def named(self) -> str:
        """Author, title and year in one line, as the source has them."""
        author = "" if self.author in _UNSAID else self.author
        year = "" if self.year in _UNSAID else self.year
        if self.kind in NUMBER_ONLY:
            parts = [self.title, year]
        elif self.kind in {"library", "trade press"}:
            parts = [self.title, author, year]
        else:
            # "SAE, SAE J296" and "28 June 1993, 1993" say one thing twice
            parts = ["" if self.title.startswith(author) else author, self.title, "" if year in self.title else year]
        return ", ".join(filter(None, parts))


@dataclass(frozen=True)
class Bibliography:
    """All sources by key, in the order of the file."""

    entries: Mapping[str, Entry]

    def __contains__(self, key: object) -> bool:
        return key in self.entries

    def __iter__(self) -> Iterator[str]:
        return iter(self.entries)

    def __len__(self) -> int:
        return len(self.entries)

    def __getitem__(self, key: str) -> Entry:
        """The entry, or ReferenceProblem naming the key."""
        if key not in self.entries:
            raise ReferenceProblem(FILE, None, f"has no source '{key[:40]}'", "add it, or correct the key")
        return self.entries[key]

    def cite(self, key: str) -> str:
        """The source in one line of plain text. Raises ReferenceProblem on an unknown key."""
        return self[key].cite()


def load(content: Path) -> Bibliography:
    """The bibliography in the folder ``content``. Raises ReferenceProblem."""
    path = content / FILE
    try:
        stat = path.stat()
    except OSError:
        raise ReferenceProblem(FILE, None, "is missing", "install Seatwork again") from None
    return _load(path, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=8)
def _load(path: Path, _time: int, _size: int) -> Bibliography:
    # time and size are part of the key so that a live preview sees an edited file
    try:
        root = compose(path.read_text("utf-8"), FILE)
    except UnicodeDecodeError:
        raise ReferenceProblem(FILE, None, "is not UTF-8 text", "save it as UTF-8") from None
    except Unreadable as e:
        raise ReferenceProblem(FILE, e.line, e.what, e.fix) from None
    entries: dict[str, Entry] = {}
    for key, line, value in _pairs(root, "the file"):
        if not _KEY.fullmatch(key):
            raise ReferenceProblem(FILE, line, f"'{key[:40]}' is no key", "write small letters, digits and hyphens")
        if key in entries:
            raise ReferenceProblem(FILE, line, f"'{key}' stands twice", "merge the two entries")
        entries[key] = _entry(key, line, value)
    if not entries:
        raise ReferenceProblem(FILE, None, "has no sources", "install Seatwork again")
    return Bibliography(entries)


def _pairs(node: Node | None, what: str) -> Iterator[tuple[str, int, Node]]:
    if node is None:
        return
    if not isinstance(node, MappingNode):
        raise ReferenceProblem(FILE, node_line(node), f"{what} is not a list of 'name: value'", "write it so")
    for name, value in node.value:
        yield str(name.value), node_line(name), value


def _entry(key: str, line: int, node: Node) -> Entry:
    found: dict[str, str] = {}
    for name, at, value in _pairs(node, key):
        if name not in _FIELDS:
            raise ReferenceProblem(FILE, at, f"{key} has no field '{name[:40]}'", f"its fields are {', '.join(_FIELDS)}")
        if name in found:
            raise ReferenceProblem(FILE, at, f"{key} gives {name} twice", "keep one")
        text = " ".join(value.value.split()) if isinstance(value, ScalarNode) else ""
        if not text:
            raise ReferenceProblem(FILE, at, f"{key} has an empty {name}", "write one line of text")
        if name == "kind" and text not in KINDS:
            raise ReferenceProblem(FILE, at, f"{key} is of no known kind '{text[:40]}'", f"choose {', '.join(KINDS)}")
        found[name] = text
    for name in _FIELDS:
        if name not in found:
            raise ReferenceProblem(FILE, line, f"{key} has no {name}", f"add '{name}:'")
    return Entry(key, **found)
