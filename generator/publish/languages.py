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

from generator.book.part import Tree
from generator.jobsite.names import read_names
from generator.language.catalogue import NoCatalogue, catalogue
from generator.language.words import Catalogue
from generator.source.problem import Problem, Refusals

_HEADING = re.compile(r"(?m)^# .*$|^<h1[ >].*$")
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


def of_one_print(figures: Mapping[str, str], other: Tree) -> Tree:
    """``other`` with its quizzes under ``figures``, the prints of the main language by lesson, by which results are marked.

    A print is made of words too, and the edition keeps those of the main language alone: a result of another page would
    name figures that are kept nowhere. Only for a tree that is not :func:`generator.book.likeness.unlike` the main one.
    """
    docs = dict(other.docs)
    for lesson, made in other.marking.items():
        page, text = f"lessons/{lesson}.md", docs.get(f"lessons/{lesson}.md")
        if isinstance(text, str):
            docs[page] = text.replace(f'"figures":"{made["figures"]}"', f'"figures":"{figures[lesson]}"')
    return replace(other, docs=docs)
