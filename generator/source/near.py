"""What was probably meant by a word that is not known."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable


def near(word: str, known: Iterable[str]) -> str | None:
    """The known word most like ``word``, if any is."""
    by_lower = {k.lower(): k for k in known}
    found = difflib.get_close_matches(word.lower()[:80], by_lower, n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


def suggest(word: str, known: Iterable[str], otherwise: str) -> str:
    """``did you mean …`` where a known word is near, else ``otherwise``."""
    found = near(word, known)
    return f"did you mean {found}?" if found else otherwise


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
    for said in dict.fromkeys((same_id(word), same_id(misread))):
        alike = [k for k in ids if said and same_id(k) == said]
        if alike:
            return f"did you mean {alike[0]}?" if len(alike) == 1 else otherwise
    said = same_id(word)
    letters, numbers = _split(said)
    found = sorted(
        ((difflib.SequenceMatcher(None, letters, _split(same_id(k))[0]).ratio(), k) for k in ids if _split(same_id(k))[1] == numbers),
        reverse=True,
    )
    near_enough = [k for ratio, k in found if ratio >= _LETTERS_ALIKE]
    return f"did you mean {near_enough[0]}?" if len(near_enough) == 1 else otherwise


def _split(said: tuple[str | int, ...]) -> tuple[str, tuple[int, ...]]:
    """The letters of an id and its numbers."""
    return "".join(p for p in said if isinstance(p, str)), tuple(p for p in said if isinstance(p, int))
