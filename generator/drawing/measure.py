"""What a drawing prints: a value to draw by, and its text in both unit systems."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.errors import DrawingRefused


@dataclass(frozen=True, slots=True)
class Words:
    """Text that differs between the two unit systems.

    `us` is shown with US customary units, `metric` with metric units.
    """

    us: str
    metric: str

    @property
    def both(self) -> str:
        """One text for readers who cannot switch: `10 ft (3.0 m)`."""
        return self.us if self.us == self.metric else f"{self.us} ({self.metric})"


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


Text = str | Words | Measure


def words(text: Text) -> Words:
    """Return `text` as `Words`; plain text reads the same in both systems."""
    if isinstance(text, Measure):
        return text.words
    if isinstance(text, Words):
        return text
    return Words(text, text)


def join(*parts: Text) -> Words:
    """Put texts one after another, each system for itself: `join("Bench ", height)`."""
    split = [words(part) for part in parts]
    return Words("".join(part.us for part in split), "".join(part.metric for part in split))


def both(*parts: Text) -> str:
    """Join texts into one with both systems, metric in brackets, for titles and descriptions."""
    return "".join(words(part).both for part in parts)


def positive(**measures: Measure) -> None:
    """Raise `DrawingRefused`, naming the argument, where a length to draw is zero or less."""
    for name, measure in measures.items():
        if measure.si <= 0:
            raise DrawingRefused(f"{name} must be more than zero, got {measure.si!r} ({measure.us})")
