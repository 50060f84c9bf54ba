"""What was probably meant by a word that is not known."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable

from generator.language.names import names_of
from generator.language.words import said


def near(word: str, known: Iterable[str]) -> str | None:
    """The known word most like ``word``, if any is."""
    by_lower = {k.lower(): k for k in known}
    found = difflib.get_close_matches(word.lower()[:80], by_lower, n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


def suggest(word: str, known: Iterable[str], otherwise: str) -> str:
    """``did you mean …`` where a known word is near, else ``otherwise``."""
    found = near(word, known)
    return did_you_mean(found) if found else otherwise


def did_you_mean(word: str) -> str:
    """The question, to be said in another language where it is printed in one."""
    return said("did you mean {word}?", word=word)


_PARTS = re.compile(r"\d+|[^\W\d_]+")
_MISREAD = re.compile(r"(?<=\d)[oil]|[oil](?=\d)", re.IGNORECASE)  # a letter that stands for a figure, beside a figure
_LETTERS_ALIKE = 0.8


def same_id(word: str) -> tuple[str | int, ...]:
    """What an id says, however it is written: letters without case, numbers without leading noughts, no marks between them."""
    return tuple(int(p) if p.isdecimal() else p.casefold() for p in _PARTS.findall(word[:80]))


def suggest_id(word: str, known: Iterable[str], otherwise: str) -> str:
    """``did you mean …`` where ``word`` can only be one of the ids, else ``otherwise``.

    ``A3`` is ``A03``, and never ``A30``: an id whose number differs is another person's or another machine's, however few
    letters it is away, and a hint at it would put one's record under another's name. Where two ids fit alike, none is named.
    """
    ids = list(dict.fromkeys(known))
    misread = _MISREAD.sub(lambda m: "0" if m[0] in "oO" else "1", word[:80])
    for typed in dict.fromkeys((same_id(word), same_id(misread))):
        alike = [k for k in ids if typed and same_id(k) == typed]
        if alike:
            return did_you_mean(alike[0]) if len(alike) == 1 else otherwise
    typed = same_id(word)
    letters, numbers = _split(typed)
    found = sorted(
        ((difflib.SequenceMatcher(None, letters, _split(same_id(k))[0]).ratio(), k) for k in ids if _split(same_id(k))[1] == numbers),
        reverse=True,
    )
    near_enough = [k for ratio, k in found if ratio >= _LETTERS_ALIKE]
    return did_you_mean(near_enough[0]) if len(near_enough) == 1 else otherwise


def suggest_language(word: str, known: Iterable[str], otherwise: str) -> str:
    """``did you mean …`` where ``word`` can only be one of the languages, by their codes of two letters; else ``otherwise``.

    It may be the language's name or the beginning of it, in English or as its speakers call it, or its code with more behind it,
    such as that of a country: ``esp``, ``sp``, ``Spanish`` and ``es-MX`` are all ``es``. Where two fit alike, none is named.
    """
    typed = _plain(word)
    code, mark, _ = re.split(r"([-_])", typed, maxsplit=1) if re.search(r"[-_]", typed) else (typed, "", "")
    names = {one: [_plain(n) for n in names_of(one)] for one in known}
    found = [k for k, v in names.items() if (mark and code == k) or (len(typed) > 1 and any(n.startswith(typed) for n in v))]
    if not found and len(typed) > 3:
        found = [k for k, v in names.items() if near(typed, v)]
    return did_you_mean(found[0]) if len(found) == 1 else otherwise


def _plain(text: str) -> str:
    """Small letters without the marks above them."""
    return "".join(c for c in unicodedata.normalize("NFKD", text[:80].casefold()) if not unicodedata.combining(c)).strip()


def _split(typed: tuple[str | int, ...]) -> tuple[str, tuple[int, ...]]:
    """The letters of an id and its numbers."""
    return "".join(p for p in typed if isinstance(p, str)), tuple(p for p in typed if isinstance(p, int))
