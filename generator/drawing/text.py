"""How wide a text is, where it breaks, and the lines it makes in both unit systems."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from generator.drawing.measure import Words
from generator.drawing.svg import clean

Align = Literal["start", "middle", "end"]

FONT = 18.0
"""Height of ordinary text, in viewBox units."""
LINE_HEIGHT = 1.2

_NARROW = frozenset("iljI.,:;'|!()[]ft r-/·\u2019")
_WIDE = frozenset("mwMW@%\u2014\u2026\u00d7\u2212+=<>")
# A number and its unit stay on one line.
_BREAK = re.compile(r"(?<!\d) +| +(?!\S{1,5}(?:\s|$))")


@lru_cache(maxsize=1 << 13)  # the lines of a text are tried word by word, and most words stand in many drawings
def text_width(text: str, size: float = FONT) -> float:
    """Estimate the width of a line of text, on the wide side of common sans-serif fonts."""
    total = 0.0
    for char in text:
        if char in _NARROW:
            total += 0.42
        elif char in _WIDE:
            total += 0.98
        elif char.isupper():
            total += 0.76
        else:
            total += 0.64
    return total * size


def boldness(bold: bool) -> float:
    """How many times as wide a text is for being bold, or not."""
    return 1.06 if bold else 1.0


def _words_of(text: str) -> list[str]:
    return [word for word in _BREAK.split(" ".join(text.split())) if word]


def longest_word(text: Words) -> float:
    """Width of the longest word in either system, a number and its unit counting as one word."""
    found = [text_width(word) for side in (text.us, text.metric) for word in _words_of(side)]
    return max(found, default=0.0)


def wrap(text: str, width: float, size: float = FONT) -> list[str]:
    """Break text into lines of at most `width`; a word too long for a line is cut."""
    lines: list[str] = []
    line = ""
    for word in _words_of(text):
        while text_width(word, size) > width and len(word) > 1:
            head = word
            while len(head) > 1 and text_width(head, size) > width:
                head = head[:-1]
            if line:
                lines.append(line)
                line = ""
            lines.append(head)
            word = word[len(head) :]
        trial = f"{line} {word}" if line else word
        if line and text_width(trial, size) > width:
            lines.append(line)
            line = word
        else:
            line = trial
    if line:
        lines.append(line)
    return lines or [""]


@dataclass(frozen=True, slots=True)
class Block:
    """A text broken into lines in both systems."""

    us: tuple[str, ...]
    si: tuple[str, ...]

    @property
    def width(self) -> float:
        """Width of its longest line, not bold."""
        return max(text_width(line) for line in self.us + self.si)

    @property
    def height(self) -> float:
        """Height in the system that needs more lines."""
        return max(len(self.us), len(self.si)) * FONT * LINE_HEIGHT

    @classmethod
    def of(cls, text: Words, width: float) -> Block:
        """Break `text` into lines of at most `width`."""
        return cls(
            tuple(wrap(clean(text.us), width)),
            tuple(wrap(clean(text.metric), width)),
        )
