"""What was probably meant by a word that is not known."""

from __future__ import annotations

import difflib
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
