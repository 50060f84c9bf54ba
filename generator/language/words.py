"""The program's own strings in the language of the page being made.

A string that people read is written in English in the code and goes through ``tr`` where it is printed::

    tr("Sheet {number} of {all}", number=3, all=5)

English needs no catalogue: the string is its own translation. For another language ``using`` lays a catalogue
(:mod:`generator.language.catalogue`) over what is carried out within it. A string without a translation is printed
in English, and is kept in ``missing`` so that tests and ``check`` can name it. A constant made before any language
is chosen is written ``mark("…")``, which changes nothing, and goes through ``tr`` where it is printed. Where such a
text holds figures or other words it is written ``said("…{which}…", which=…)``: what is kept, compared and written into
the ledger is the English, whatever is printed meanwhile, and ``tr`` puts it into the language of the page.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from hashlib import sha256
from typing import Any

ENGLISH = "en"
_WORD = re.compile(r"[^\W\d_]{2,}")


def is_code(text: str) -> bool:
    """Whether it is the code of a language as ISO 639-1 has them: two small letters."""
    return len(text) == 2 and text.isascii() and text.isalpha() and text.islower()


@dataclass(frozen=True)
class Catalogue:
    """The strings of one language: ``texts`` by their English, ``plurals`` by their English singular.

    ``form`` gives the place of the plural's form for a number. What was asked for and is not there is in ``missing``.
    """

    language: str
    texts: Mapping[str, str] = field(default_factory=dict)
    plurals: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    missing: set[str] = field(default_factory=set, compare=False)

    @cached_property
    def print(self) -> str:
        """What tells two catalogues apart, as a short text: the language and every string are in it."""
        whole = repr((self.language, sorted(self.texts.items()), sorted(self.plurals.items())))
        return f"{self.language} {sha256(whole.encode()).hexdigest()}"

    def form(self, n: float) -> int:
        """Which form a number takes by the plural rule of the language; what is no whole number takes the last."""
        number, rule = _plural(self.language)
        return rule(int(n)) if n == int(n) else number - 1


@lru_cache(maxsize=32)
def _plural(language: str) -> tuple[int, Callable[[int], int]]:
    """How many forms a language has, and which a whole number takes. Source: the rules of gettext, as Babel has them."""
    from gettext import c2py

    from babel.messages.plurals import get_plural

    found = get_plural(language)
    return found.num_plurals, c2py(found.plural_expr)


_PLAIN = Catalogue(ENGLISH)
_NOW: ContextVar[Catalogue] = ContextVar("language", default=_PLAIN)


def current() -> str:
    """The code of the language that is printed now, such as ``es``."""
    return _NOW.get().language


def now() -> Catalogue:
    """The catalogue that is laid over what is carried out now."""
    return _NOW.get()


def missing() -> frozenset[str]:
    """English strings that were asked for in the language of now and are not in its catalogue."""
    return frozenset(_NOW.get().missing)


@contextmanager
def using(catalogue: Catalogue) -> Iterator[None]:
    """Print in the catalogue's language within."""
    token = _NOW.set(catalogue)
    try:
        yield
    finally:
        _NOW.reset(token)


def mark(text: str) -> str:
    """A string for the catalogue that is printed elsewhere, through ``tr``."""
    return text


def found(text: str) -> str:
    """The string as the catalogue of now has it, its blanks still open; itself in English or where it is not there."""
    now = _NOW.get()
    if now is _PLAIN or not text:
        return text
    other = now.texts.get(text)
    if other is None:
        if _WORD.search(text):  # a figure, a sign or a single letter is the same in every language
            now.missing.add(text)
        return text
    return other


class Said(str):
    """A text in English that knows what it was made of, so that :func:`tr` can say it in another language."""

    template: str
    figures: Mapping[str, Any]

    def __new__(cls, text: str, template: str = "", figures: Mapping[str, Any] | None = None) -> Said:
        made = super().__new__(cls, text)
        made.template, made.figures = template or text, figures or {}
        return made


def said(text: str, /, **figures: object) -> str:
    """A string for the catalogue with its figures put in, in English; :func:`tr` says it in the language of now.

    A figure that is itself ``said``, or a string wrapped in it, is translated with the whole.

    >>> said("passes, {words}", words=said("back to front"))
    'passes, back to front'
    """
    return Said(text.format(**figures) if figures else text, text, figures)


def tr(text: str, /, **figures: object) -> str:
    """``text`` in the language of now, its ``{name}`` filled by ``figures``. A brace that stands for itself is doubled
    only where there are figures.

    >>> tr("Sheet {number} of {all}", number=3, all=5)
    'Sheet 3 of 5'
    """
    if isinstance(text, Said) and _NOW.get() is not _PLAIN:
        return tr(text.template, **{k: tr(v) if isinstance(v, Said) else v for k, v in text.figures.items()})
    text = found(text)
    return text.format(**figures) if figures else text


def ntr(one: str, many: str, n: float, /, **figures: object) -> str:
    """``one`` or ``many`` as the number asks, in the language of now; ``{n}`` is the number.

    >>> ntr("{n} lesson", "{n} lessons", 3)
    '3 lessons'
    """
    now = _NOW.get()
    forms = now.plurals.get(one) if now is not _PLAIN else None
    if forms is None:
        if now is not _PLAIN:
            now.missing.add(one)
        text = one if n == 1 else many
    else:
        text = forms[min(now.form(n), len(forms) - 1)]
    return text.format(n=n, **figures)
