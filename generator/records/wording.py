"""Words of records in the language of the page."""

from __future__ import annotations

from generator.language.words import Said, ntr, tr


def worded(text: str) -> str:
    """A text that was kept in English with what it was made of, in the language of now; any other text as it is."""
    return tr(text) if isinstance(text, Said) else text


def counted(n: int, one: str, many: str) -> str:
    """``1 person``, ``1,200 lessons``: the number with thousands apart, as ``{count}`` in both forms."""
    return ntr(one, many, n, count=f"{n:,}")
