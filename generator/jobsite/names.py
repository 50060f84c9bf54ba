"""What a site's own names are called in another language of its handbook: FOLDER/LANGUAGE/names.csv.

Two columns: ``name``, as it is written in the site's tables, and ``in_language``. The names of machines, trucks and
materials count, titles of roles, and what the settings and the site's own rules say in words. Ids stay as they are, and so
does a name without another one.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from generator.calc.rules import Rules
from generator.calc.tables import Table
from generator.jobsite import cells
from generator.jobsite.cells import BadCell
from generator.jobsite.grid import GridRow, from_csv, heading
from generator.jobsite.model import JobSite, Row, Settings
from generator.jobsite.rules import FORMS
from generator.language.words import Said, said
from generator.source.files import read_text
from generator.source.log import Log
from generator.source.near import suggest
from generator.source.problem import Refusals, Severity

NAMES = "names.csv"
COLUMNS = ("name", "in_language")
_SAID = ("decided_by", "call", "emergency")  # what the limits say in words
_WHERE = "a name as it stands in the tables or settings, and beside it what it is in this language"
_Named = TypeVar("_Named", bound=Row)
Put = Callable[[str], str]


def file_of(language: str) -> str:
    """Where the table stands, from the site's folder."""
    return f"{language}/{NAMES}"


def read_names(folder: Path, language: str) -> Mapping[str, str]:
    """The names in a language, by the name in the tables; none where the site has no such table. An empty one is not there yet.

    Raises Refusals with all that is wrong in it.
    """
    return MappingProxyType({name: other for name, (other, _) in _rows(folder, language).items() if other})


def lines_of_names(folder: Path, language: str) -> Mapping[str, int]:
    """The line of each name that the table has, empty or not. Raises Refusals."""
    return {name: line for name, (_, line) in _rows(folder, language).items()}


def _rows(folder: Path, language: str) -> dict[str, tuple[str, int]]:
    file = file_of(language)
    if not (folder / file).is_file():
        return {}
    log = Log(file)
    text = read_text(folder, file, "the site's names in this language", log)
    grid = from_csv(text, log, COLUMNS) if text is not None else None
    found: dict[str, tuple[str, int]] = {}
    if grid is not None:
        heads = [heading(" ".join(h.split()))[0] for h in grid.header.cells]
        for head in heads:
            if head and (head not in COLUMNS or heads.count(head) > 1):
                known = head in COLUMNS
                log.add(grid.header.line, head[:40], f"the column {head[:40]} stands twice" if known else f"unknown column '{head[:40]}'",
                        "keep one of them" if known else f"the columns are {' and '.join(COLUMNS)}", Severity.HEADINGS)  # fmt: skip
                break
        missing = [c for c in COLUMNS if c not in heads]
        if missing:
            log.add(grid.header.line, None, f"there is no column {' and no '.join(missing)}", f"add it: {_WHERE}", Severity.HEADINGS)
        if not log.problems:
            for row in grid.rows:
                if not log.full:
                    _row(row, heads.index(COLUMNS[0]), heads.index(COLUMNS[1]), found, log)
    if log.problems:
        raise Refusals(log.all())
    return found


def _row(row: GridRow, first: int, second: int, found: dict[str, tuple[str, int]], log: Log) -> None:
    texts = []
    for column, at in zip(COLUMNS, (first, second), strict=True):
        try:
            texts.append(cells.clean(row.cells[at] if at < len(row.cells) else ""))
        except BadCell as e:
            log.add(row.line, column, e.what, e.fix)
            return
    name, other = texts
    if not name:
        log.add(row.line, "name", "the cell is empty", "write the name as it stands in the tables, or delete the row")
    elif name in found and found[name][0] != other:
        log.add(row.line, "name", f"'{name[:40]}' stands twice (first in line {found[name][1]})", "keep one of the rows")
    elif len(other) > 200:
        log.add(row.line, "in_language", "the text is longer than 200 characters", "shorten it")
    elif other and not any(ch.isalnum() for ch in other):
        log.add(row.line, "in_language", f"'{other[:20]}' is no name", "write a name with letters in it")
    else:
        found.setdefault(name, (other, row.line))


def site_names(site: JobSite) -> tuple[str, ...]:
    """Every name and text of the site's own that is printed and that a language may have other words for, in a steady order."""
    return tuple(dict.fromkeys(text for text in _said_by(site) if any(ch.isalpha() for ch in text)))


def _said_by(site: JobSite) -> Iterator[str]:
    s = site.settings
    yield from (s.name, s.note)
    yield from (r.name for r in (*site.machines, *site.trucks, *site.materials))
    yield from (role.title for role in s.roles.values())
    yield from (str(s.limits[key]) for key in _SAID if key in s.limits)
    yield from s.ask_first
    for own in s.own_limits.values():
        yield from (own.meaning, own.decided_by)
    yield from (s.records.place, s.records.contractor)
    for rule in site.rules.own.values():
        yield from (rule.title, rule.place, rule.answers)
    yield from names_of_rules(site.rules)


def names_of_rules(rules: Rules) -> Iterator[str]:
    """Names that a site gave the rows of its own rules, such as its types of soil."""
    for table in rules.tables.values():
        topic = table.source.removeprefix("own-")
        if topic in rules.own and not FORMS[topic].rows:
            yield from table.rows


def in_language(site: JobSite, names: Mapping[str, str]) -> JobSite:
    """The site with its names in another language; ids, figures and what nobody reads stay as they are."""
    if not names:
        return site

    def put(text: str) -> str:
        return names.get(text, text)

    def named(rows: tuple[_Named, ...]) -> tuple[_Named, ...]:
        return tuple(replace(row, name=put(row.name)) for row in rows)

    own = {
        topic: replace(rule, title=put(rule.title), place=put(rule.place), answers=put(rule.answers))
        for topic, rule in site.rules.own.items()
    }
    return replace(
        site, settings=_settings(site.settings, put), machines=named(site.machines), trucks=named(site.trucks), materials=named(site.materials),
        rules=replace(site.rules, own=own, tables={id_: _table(table, put) for id_, table in site.rules.tables.items()}),
    )  # fmt: skip


def _table(table: Table, put: Put) -> Table:
    """A table of the site's own rules with its words in another language; its rows keep their names, by which they are looked up."""
    note = table.note
    if isinstance(note, Said):
        note = said(note.template, **{key: put(str(value)) for key, value in note.figures.items()})
    return replace(table, title=put(table.title), place=put(table.place), note=note)


def printed_in(site: JobSite, language: str) -> JobSite:
    """The site with the names it has in a language. Raises Refusals where their table is wrong."""
    return in_language(site, read_names(site.folder, language))


def _settings(s: Settings, put: Put) -> Settings:
    limits = {key: put(value) if isinstance(value, str) and key in _SAID else value for key, value in s.limits.items()}
    return replace(
        s, name=put(s.name), note=put(s.note), limits=MappingProxyType(limits), ask_first=tuple(map(put, s.ask_first)),
        roles=MappingProxyType({key: replace(role, title=put(role.title)) for key, role in s.roles.items()}),
        own_limits=MappingProxyType({
            key: replace(own, meaning=put(own.meaning), decided_by=put(own.decided_by)) for key, own in s.own_limits.items()
        }),
        records=replace(s.records, place=put(s.records.place), contractor=put(s.records.contractor)),
    )  # fmt: skip


def names_text(names: Mapping[str, str]) -> str:
    """The table as text, a name without another one with an empty cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(names.items())
    return out.getvalue()


def strange(site: JobSite, lines: Mapping[str, int], language: str) -> Iterator[tuple[str, int, str, str]]:
    """Names of the table that are nowhere in the site's own any more: file, line, what, and what to do."""
    known = site_names(site)
    for name, line in lines.items():
        if name not in known:
            yield file_of(language), line, f"nothing of this site is called '{name[:40]}'", suggest(name, known, "take the row out")
