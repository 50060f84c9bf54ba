"""What a drawing prints: a value to draw by, and its text in both unit systems."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

from generator.drawing.errors import DrawingRefused
from generator.language.words import ENGLISH, current, found
from generator.units.writing import current as written_now


@dataclass(frozen=True, slots=True)
class Words:
    """Text that differs between the two unit systems.

    `us` is shown with US customary units, `metric` with metric units.
    """

    us: str
    metric: str

    @property
    def both(self) -> str:
        """One text for readers who cannot switch: `10 ft (3.0 m)`, and `3.0 m` where the site has metres alone."""
        only = written_now().only
        if self.us == self.metric or only == "us":
            return self.us
        return self.metric if only else f"{self.us} ({self.metric})"


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity as it is drawn and as it is printed.

    `si` is the value to draw by: metres, square or cubic metres, kilograms, seconds or newtons;
    radians for an angle; a plain fraction for a grade or a share. `us` and `metric` are its printed
    text. Raises `DrawingRefused` where `si` is not a finite number.
    """

    si: float
    us: str
    metric: str

    def __post_init__(self) -> None:
        if not math.isfinite(self.si):
            raise DrawingRefused(f"a drawing needs a finite value, got {self.si!r} ({self.us})")

    @property
    def words(self) -> Words:
        """The printed text alone."""
        return Words(self.us, self.metric)

    @property
    def both(self) -> str:
        """One text for readers who cannot switch: `10 ft (3.0 m)`."""
        return self.words.both


class AsIs(str):
    """Text that is in the reader's language already, as a name of the site's tables is in any: it is printed as it is."""

    __slots__ = ()


Text = str | Words | Measure


def words(text: Text) -> Words:
    """Return `text` as `Words`, in the language of now; plain text reads the same in both systems."""
    if isinstance(text, Measure):
        return text.words
    if isinstance(text, Words):
        return text
    if current() != ENGLISH:
        text = in_language(text)
    return Words(text, text)


def join(*parts: Text) -> Words:
    """Put texts one after another, each system for itself: `join("Bench ", height)`."""
    if current() != ENGLISH:
        pattern, blanks = _in_language(parts)
        return Words(pattern.format(*(blank.us for blank in blanks)), pattern.format(*(blank.metric for blank in blanks)))
    split = [words(part) for part in parts]
    return Words("".join(part.us for part in split), "".join(part.metric for part in split))


def both(*parts: Text) -> str:
    """Join texts into one with both systems, metric in brackets, for titles and descriptions."""
    if current() != ENGLISH:
        pattern, blanks = _in_language(parts)
        return AsIs(pattern.format(*(blank.both for blank in blanks)))
    return "".join(words(part).both for part in parts)


def in_language(text: str) -> str:
    """Plain text in the language of now."""
    if current() == ENGLISH or isinstance(text, AsIs):
        return text
    pattern, blanks = _in_language((text,))
    return AsIs(pattern.format(*(blank.us for blank in blanks)))


# ---- in another language ----------------------------------------------------------------------------------------
#
# What a scene joins is one sentence or several, with figures between its words. A catalogue holds whole sentences with
# a blank for each figure, "The floor is {0} wide.", and the order of the blanks is the language's own. Figures that a
# scene writes into its words, as counts of passes, are blanks too.

_SENTENCE_ENDS = re.compile(r"(?<=[.!?]) +(?=[^a-z ])")
_BLANK = re.compile(
    r"\{\{|\}\}|\{(\d+)\}|(?<![\w{])\d[\d,]*(?:\.\d+)?(?![\w}])"
)  # a blank, or a figure; signs that stand for themselves are doubled
_IN_WORDS = re.compile(r"[^\W\d_]{2}")


def _in_language(parts: tuple[Text, ...]) -> tuple[str, list[Words]]:
    """The texts as one pattern in the language of now, with numbered blanks, and what fills them."""
    pattern, blanks = "", list[Words]()
    for part in parts:
        if isinstance(part, str) and not isinstance(part, AsIs):
            pattern += part.replace("{", "{{").replace("}", "}}")
        else:
            pattern += f"{{{len(blanks)}}}"
            blanks.append(Words(part, part) if isinstance(part, str) else words(part))
    sentences, figures = _sentences(pattern, len(blanks))
    blanks.extend(Words(figure, figure) for figure in figures)
    made: list[str] = []
    for start, bare, filled, end in sentences:
        if filled is None:
            made.append(f"{start}{bare}{end}")
            continue

        def filling(m: re.Match[str], filled: tuple[int, ...] = filled) -> str:
            return f"{{{filled[int(m[1])]}}}" if m[1] else m[0]

        made.append(f"{start}{_BLANK.sub(filling, found(bare))}{end}")
    return " ".join(made), blanks


_Sentence = tuple[str, str, tuple[int, ...] | None, str]
"""The room before it, the sentence as a catalogue has it, what fills its blanks, and the room behind.

What fills them is None where there are no words to translate.
"""


@lru_cache(maxsize=1 << 11)  # the steps of a film say much alike
def _sentences(pattern: str, count: int) -> tuple[tuple[_Sentence, ...], tuple[str, ...]]:
    """The sentences of a text with `count` blanks, and the figures in its words, which fill the blanks from `count` on."""
    figures: list[str] = []
    made: list[_Sentence] = []
    for sentence in _SENTENCE_ENDS.split(pattern):
        bare = sentence.strip()
        if not _IN_WORDS.search(_BLANK.sub("", bare)):
            made.append(("", sentence, None, ""))
            continue
        filled: list[int] = []  # the blanks of this sentence by their numbers in it

        def blank(m: re.Match[str], filled: list[int] = filled) -> str:
            if m[0] in {"{{", "}}"}:
                return m[0]
            if not m[1]:
                figures.append(m[0])
            filled.append(int(m[1]) if m[1] else count + len(figures) - 1)
            return f"{{{len(filled) - 1}}}"

        template = _BLANK.sub(blank, bare)
        start, end = sentence[: len(sentence) - len(sentence.lstrip())], sentence[len(sentence.rstrip()) :]
        made.append((start, template, tuple(filled), end))
    return tuple(made), tuple(figures)


def positive(**measures: Measure) -> None:
    """Raise `DrawingRefused`, naming the argument, where a length to draw is zero or less."""
    for name, measure in measures.items():
        if measure.si <= 0:
            raise DrawingRefused(f"{name} must be more than zero, got {measure.si!r} ({measure.us})")
