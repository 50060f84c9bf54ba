"""How a site writes numbers: its decimal mark, and the sign between thousands.

One site has one way, that of its country, in all of its languages: a sheet in two languages must never show 1.500 and
1,500. A figure in a metric unit has a thin space between its thousands in every country, as half the world reads
6,000 mm as six millimetres and the other half 6.000 mm: the International System of Units lets neither point nor comma
stand there (SI Brochure, 9th edition, 5.4.4). It leaves four digits to choice; here they are parted too, so that the
figures of a column are written alike.

``using`` lays a way of writing over what is carried out within it; without it numbers are written as in the United
States. Which signs a country has says :mod:`generator.language.country`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from generator.units.table import System

Mark = Literal[".", ","]
THIN = "\u202f"  # a thin space that no line breaks at


@dataclass(frozen=True, slots=True)
class Writing:
    """The decimal mark, and what stands between thousands.

    ``group`` is for figures in US customary units; ``plain`` for those in no system's unit, such as hours: the same on a site
    that works in US units, a thin space on a metric one. A figure in a metric unit has a thin space always. ``only`` is the
    system of a site whose readers cannot change to the other: where both would stand side by side, this one stands alone.
    """

    decimal: Mark = "."
    group: str = ","
    plain: str = ","
    only: System | None = None

    def __call__(self, figure: Decimal, system: System | None = None) -> str:
        """A figure as printed, with a true minus sign; ``system`` is that of its unit or of the page, None for neither."""
        text = format(abs(figure), ",f")
        if self.decimal != ".":
            whole, _, part = text.partition(".")
            text = f"{whole.replace(',', self.sign(system))}{self.decimal}{part}" if part else whole.replace(",", self.sign(system))
        elif "," in text:  # the point stands behind all of them
            text = text.replace(",", self.sign(system))
        return f"−{text}" if figure < 0 else text

    def sign(self, system: System | None) -> str:
        """What stands between thousands of a figure of a system."""
        return THIN if system == "metric" else self.group if system == "us" else self.plain


US = Writing()
_NOW: ContextVar[Writing] = ContextVar("writing", default=US)


def current() -> Writing:
    """How numbers are written now."""
    return _NOW.get()


@contextmanager
def using(writing: Writing) -> Iterator[None]:
    """Write numbers so within."""
    token = _NOW.set(writing)
    try:
        yield
    finally:
        _NOW.reset(token)


def settle(writing: Writing) -> None:
    """Write numbers so from now on, as a command does that works on one site: its caller runs it in a context of its own."""
    _NOW.set(writing)


def written(figure: Decimal, system: System | None = None) -> str:
    """A figure as printed now: see :class:`Writing`."""
    return _NOW.get()(figure, system)


def counted(number: int) -> str:
    """A whole number that counts things, as printed now."""
    return _NOW.get()(Decimal(number))


def pointed(text: str) -> str:
    """A text of plain digits with a point, as ``:g`` makes it, with the decimal mark of now; no sign between thousands."""
    return text if _NOW.get().decimal == "." else text.replace(".", ",")
