"""One handbook in several languages: each a whole web folder of its own, with a switch that stays on the same page.

The main language stands at the root of the web folder, each other one in the folder of its code. They share no file, so
that a phone keeps those of the language that is read on it, and no page of one can get words of the other.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

from generator.book.part import Tree
from generator.jobsite.names import read_names
from generator.language.catalogue import NoCatalogue, catalogue
from generator.language.words import Catalogue
from generator.source.problem import Problem, Refusals
from generator.units.table import SYSTEMS

_HEADING = re.compile(r"(?m)^# .*$|^<h1[ >].*$")
_FIGURES = re.compile(r"[\d.,/\u202f−-]*\d")
_TOOLS = re.compile(r'<div class="tools"[^>]*>')


def speech(code: str, shipped: Path, site: Path) -> Catalogue:
    """The program's strings in a language, those of the site's own counting first, and behind them the names in its tables.

    Raises Refusals where a file of strings is damaged or the table of names is wrong.
    """
    try:
        made = catalogue(code, (shipped, site))
    except NoCatalogue as e:
        raise Refusals([Problem.of(e.file, e.line, e.what, e.fix)]) from None
    names = read_names(site, code)  # of the rows of its own rules, which are told like those of published tables
    return replace(made, texts={**names, **made.texts}) if names else made


def own_name(code: str) -> str:
    """A language's name in itself: ``español``."""
    from babel import Locale, UnknownLocaleError

    try:
        return (Locale.parse(code).get_display_name(code) or code).capitalize()
    except (UnknownLocaleError, ValueError):
        return code


def place_of(code: str, codes: tuple[str, ...]) -> str:
    """The folder of a language below the web folder, with its slash; nothing for the main one."""
    return "" if code == codes[0] else f"{code}/"


def links(page: str, code: str, codes: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The other languages of a page, each with the way there: its code and a relative address."""
    up = "../" * (page.count("/") + (code != codes[0]))
    for other in codes:
        if other != code:
            yield other, f"{up}{place_of(other, codes)}{page}"


def switched(tree: Tree, code: str, codes: tuple[str, ...]) -> Tree:
    """A tree whose pages have the switch; the same tree where there is one language."""
    if len(codes) < 2:
        return tree
    docs: dict[str, str | bytes] = {}
    for name, text in tree.docs.items():
        docs[name] = _with_switch(name, text, code, codes) if isinstance(text, str) and name.endswith((".md", ".html")) else text
    return replace(tree, docs=docs)


def _with_switch(name: str, text: str, code: str, codes: tuple[str, ...]) -> str:
    page = re.sub(r"\.md$", ".html", name)
    anchors = " ".join(
        f'<a href="{escape(href)}" hreflang="{other}" lang="{other}">{escape(own_name(other))}</a>'
        for other, href in links(page, code, codes)
    )
    if name.endswith(".html"):  # a sheet: beside the buttons that are not printed
        return _TOOLS.sub(lambda m: f"{m[0]}{anchors}\n", text, count=1)
    switch = f'<p class="sw-languages" data-search-exclude>{anchors}</p>'
    return _HEADING.sub(lambda m: f"{m[0]}\n\n{switch}\n", text, count=1)


def unlike(main: Tree, other: Tree, code: str) -> Iterator[Problem]:
    """Where a language has other numbers or marks other answers than the main one: each page is told once."""
    ours, theirs = _numbers(main), _numbers(other)
    for page in sorted(ours.keys() | theirs.keys()):
        if ours.get(page) != theirs.get(page):
            lost = [x for x in ours.get(page, []) if x not in theirs.get(page, [])] or [
                x for x in theirs.get(page, []) if x not in ours.get(page, [])
            ]
            said = f", such as {lost[0][1]}" if lost else ""
            yield Problem.of(f"{code}/{page}", None, f"the page has other numbers than in the main language{said}",
                             "give it the same calls, each as often")  # fmt: skip
    for lesson in sorted(main.marking.keys() | other.marking.keys()):
        if _marks(main.marking.get(lesson)) != _marks(other.marking.get(lesson)):
            yield Problem.of(f"{code}/questions/{lesson}.yml", None, "it asks or marks other than in the main language",
                             "leave blanks, choices and their order as they are there")  # fmt: skip


def of_one_print(main: Tree, other: Tree) -> Tree:
    """``other`` with its quizzes under the prints of the main language, by which results are marked; only where not :func:`unlike`.

    A print is made of words too, and the edition keeps those of the main language alone: a result of another page would
    name figures that are kept nowhere.
    """
    docs = dict(other.docs)
    for lesson, made in other.marking.items():
        page, text = f"lessons/{lesson}.md", docs.get(f"lessons/{lesson}.md")
        if isinstance(text, str):
            docs[page] = text.replace(f'"figures":"{made["figures"]}"', f'"figures":"{main.marking[lesson]["figures"]}"')
    return replace(other, docs=docs)


def _numbers(tree: Tree) -> dict[str, list[tuple[str, str, str, str]]]:
    """By page: place, figures in both systems and value of each number, in a fixed order. The words of units are the language's."""
    found: dict[str, list[tuple[str, str, str, str]]] = {}
    for e in tree.ledger.entries:
        us, metric = (" ".join(_FIGURES.findall(str(e.values[system]))) for system in SYSTEMS)
        found.setdefault(e.page, []).append((e.place, us, metric, str(e.si) if isinstance(e.si, int | float) else ""))
    return {page: sorted(rows) for page, rows in found.items()}


_IN_WORDS = ("title", "figures", "ask", "labels")  # of what marks a quiz: what the language says, and its print


def _mark(key: str, value: Any) -> object:
    if key == "labels":
        return len(value)
    if key == "shown":
        return _FIGURES.findall(str(value))
    return None if key in _IN_WORDS else _marks(value)


def _marks(made: object) -> object:
    """How a lesson's quiz is marked, without the words of its questions and answers."""
    if isinstance(made, Mapping):
        return {k: _mark(k, v) for k, v in made.items()}
    return [_marks(v) for v in made] if isinstance(made, list | tuple) else made
