"""What a part of the book reads of the site and its texts while it is rendered, one by one.

A part is kept and taken again by what it was made from. What that is, nobody has to say: the part is
given a job site in which everything is either fixed for all parts (:func:`fixed`), or stands in a
:class:`Watched` table, which notes each entry that is asked for. There is no other way to the entries,
so a part that finds all noted ones the same, and all that is fixed, comes out the same. What no part
needs is taken out (:func:`bare`), so that it cannot change one.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from enum import Enum
from functools import cached_property
from pathlib import Path
from types import FunctionType
from typing import Any, TypeVar

from generator.book.content import Content, Questions
from generator.calc.catalogue import calculations
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from generator.jobsite.model import JobSite, Person, RecordRules, Row
from generator.language.words import now
from generator.source.store import digest
from generator.source.yamltext import Text

Read = tuple[str, str]  # a table, and the key of an entry in it
ALL = "*"  # in the place of a key: which keys there are, in their order
GONE = "-"  # the print of an entry that is not there
_R = TypeVar("_R", bound=Row)


class Unprintable(Exception):
    """Two values of this kind cannot be told apart for sure, so nothing that is made of one can be kept."""


class Watched(Mapping[str, Any]):
    """A table that notes in ``seen`` which of its entries were asked for, those that are not there too."""

    __slots__ = ("_name", "_seen", "_table")

    def __init__(self, name: str, table: Mapping[str, Any], seen: set[Read]) -> None:
        self._name, self._table, self._seen = name, table, seen

    def __getitem__(self, key: str) -> Any:
        self._seen.add((self._name, key))
        return self._table[key]

    def __iter__(self) -> Iterator[str]:
        self._seen.add((self._name, ALL))
        return iter(self._table)

    def __len__(self) -> int:
        self._seen.add((self._name, ALL))
        return len(self._table)


def canonical(value: Any) -> Any:
    """A value as lists and words that are the same only for the same value, every field of a record included.

    Raises Unprintable.
    """
    if value is None or (isinstance(value, bool | int) and not isinstance(value, Enum)):
        return value
    if isinstance(value, Text):
        return ["text", value.line, str(value)]
    if isinstance(value, str) and not isinstance(value, Enum):
        return str(value)
    if isinstance(value, float):
        return ["float", value.hex()]
    if isinstance(value, Decimal | Path | datetime.date):
        return [type(value).__name__, str(value)]
    if isinstance(value, bytes):
        return ["bytes", digest(value)]
    if isinstance(value, Enum):
        return [type(value).__name__, value.name]
    if isinstance(value, FunctionType) and value.__closure__ is None and "<" not in value.__qualname__:
        return ["function", value.__module__, value.__qualname__]  # what it does is the program's
    if isinstance(value, Formula | Procedure) and calculations().get(value.id) is value:
        return ["calculation", value.id]
    if is_dataclass(value) and not isinstance(value, type):
        return [type(value).__name__, *(canonical(getattr(value, f.name)) for f in fields(value))]
    if isinstance(value, Mapping):
        return ["table", *([canonical(k), canonical(v)] for k, v in value.items())]
    if isinstance(value, tuple | list):
        return ["list", *map(canonical, value)]
    if isinstance(value, set | frozenset):
        return ["set", *sorted(json.dumps(canonical(v)) for v in value)]
    raise Unprintable(type(value).__name__)


def print_of(value: Any) -> str:
    """The hash of a value. Raises Unprintable."""
    return digest(json.dumps(canonical(value), ensure_ascii=True))


def bare(site: JobSite) -> JobSite:
    """The site without what no part of the book needs: people's names and learners' ids, mentors, notices, rules of records, its own folder."""
    crew = tuple(Person(p.id, "", "", p.machines, None, 0, p.left) for p in site.crew)
    settings = replace(site.settings, looked_at=(), records=RecordRules())
    return replace(site, settings=settings, crew=crew, mentors=(), learners={}, notices=(), settled=(), folder=Path("site"))


_SETTINGS = ("limits", "job", "lines")
_ROWS = ("machines", "trucks", "materials")
_TEXTS = ("lessons", "questions")


class Sources:
    """All that parts are made from. ``made_with`` stands for the program, all it leans on, and the files it is shipped with."""

    def __init__(self, content: Content, site: JobSite, made_with: str) -> None:
        self.content, self.site = content, bare(site)
        self.language = now()  # a worker that was not copied has to be told
        self._made_with = made_with
        self._prints: dict[Read, str] = {}

    @cached_property
    def fixed(self) -> str:
        """The print of all that every part may read without a note. Raises Unprintable."""
        own = self.content.own
        content = replace(self.content, lessons={}, questions={}, own=replace(own, texts={}))
        rows = {name: [replace(r, values={}) for r in getattr(self.site, name)] for name in _ROWS}
        site = replace(self.site, settings=replace(self.site.settings, limits={}, job={}, lines={}), machines=(), trucks=(), materials=())
        return print_of([self._made_with, digest(self.language.print), content, site, rows])

    @cached_property
    def drawn_with(self) -> str:
        """The print of what draws, but for what a scene is given: the program, the language, and how numbers are written."""
        return print_of([self._made_with, digest(self.language.print), self.site.settings.writing])

    def print_of(self, read: Read) -> str:
        """The print of what a note names, as it is now."""
        if read not in self._prints:
            name, key = read
            table = self._table(name)
            if key == ALL:
                self._prints[read] = print_of(list(table))
            elif key not in table:
                self._prints[read] = GONE
            else:  # of questions that need not be read, what they would be read from
                self._prints[read] = print_of(table.made_from(key) if isinstance(table, Questions) else table[key])
        return self._prints[read]

    def _table(self, name: str) -> Mapping[str, Any]:
        found: Mapping[str, Any] = {}
        if name in _TEXTS:
            found = getattr(self.content, name)
        elif name == "own":
            found = self.content.own.texts
        elif name in _SETTINGS:
            found = getattr(self.site.settings, name)
        else:
            rows, _, at = name.partition(" ")
            if rows in _ROWS and at.isdecimal() and int(at) < len(getattr(self.site, rows)):
                row: Row = getattr(self.site, rows)[int(at)]
                found = row.values
        return found

    def watched(self) -> tuple[Content, JobSite, set[Read]]:
        """Content and site for one part, and the notes of what it reads of them."""
        seen: set[Read] = set()

        def table(name: str) -> Any:
            return Watched(name, self._table(name), seen)

        def rows(name: str, found: tuple[_R, ...]) -> tuple[_R, ...]:
            return tuple(replace(r, values=table(f"{name} {i}")) for i, r in enumerate(found))

        site = self.site
        settings = replace(site.settings, limits=table("limits"), job=table("job"), lines=table("lines"))
        site = replace(site, settings=settings, machines=rows("machines", site.machines), trucks=rows("trucks", site.trucks),
                       materials=rows("materials", site.materials))  # fmt: skip
        own = replace(self.content.own, texts=table("own"))
        return replace(self.content, lessons=table("lessons"), questions=table("questions"), own=own), site, seen
