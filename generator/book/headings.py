"""The six headings of a lesson as they are printed: their words in the language of the page, their anchors in English."""

from __future__ import annotations

import re

from generator.book.lesson import HEADINGS
from generator.language.words import tr


def anchor_of(heading: str) -> str:
    """The anchor of a heading, by its English where it is one of the six."""
    return heading.lower().replace(" ", "-")


def printed(body: str) -> str:
    """A body, whose six headings are the English ones, with their words in the language of now.

    The anchors stay those of the English, so that links and questions find them in every language.
    """
    other = {h: said for h in HEADINGS if (said := tr(h)) != h}
    if not other:
        return body

    def said_so(m: re.Match[str]) -> str:
        return f"## {other[m[1]]} {{#{anchor_of(m[1])}}}" if m[1] in other else m[0]

    return re.sub(r"^## (.+?)[ \t]*$", said_so, body, flags=re.MULTILINE)
