"""A value with its kind and the figure it was written with."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import Literal

from generator.units.reading import split_quantity
from generator.units.table import (
    KINDS,
    UNITS,
    System,
    counterpart,
    from_si,
    to_si,
)
from generator.units.writing import written

# a figure that must not be gone past, and which way: none, "most" (a rated payload) or "least" (a
# distance to keep); told in the other unit system, it is rounded to the safe side
Limit = Literal["", "most", "least"]
_ROUNDINGS: dict[Limit, str] = {"": ROUND_HALF_UP, "most": ROUND_FLOOR, "least": ROUND_CEILING}

_ZERO = Decimal(0)
_UNIT = tuple(Decimal(1).scaleb(-n) for n in range(13))


def steady(value: float) -> Decimal:
    """``value`` without the noise of binary fractions: 12 significant digits."""
    return Decimal(format(value, ".12g"))


def to_places(value: float | Decimal, places: int, limit: Limit = "") -> Decimal:
    """Rounded half up to ``places`` decimals (negative places round to tens, hundreds…), or to
    the safe side of a limit."""
    exact = value if isinstance(value, Decimal) else steady(value)
    step = _UNIT[places] if 0 <= places < 13 else Decimal(1).scaleb(-places)
    rounded = exact.quantize(step, rounding=_ROUNDINGS[limit])
    if places < 0:
        rounded = Decimal(format(rounded, "f"))  # 20500, not 2.05E+4
    return rounded if rounded else abs(rounded)  # no minus zero


def places_for(value: float | Decimal, significant: int) -> int:
    """Decimals that show ``value`` with so many significant digits."""
    exact = value if isinstance(value, Decimal) else steady(value)
    if exact == 0:
        return 0
    return significant - 1 - exact.adjusted()


def natural(value: float | Decimal, significant: int = 3) -> Decimal:
    """The round figure a person would write: so many significant digits, no trailing zeros."""
    return trimmed(to_places(value, places_for(value, significant)))


def trimmed(value: Decimal) -> Decimal:
    """Without trailing zeros behind the point (and without an exponent)."""
    if not value:
        return _ZERO
    short = value.normalize()
    return short if short % 10 else short.quantize(_UNIT[0])  # of what it has no noughts behind, only tens have an exponent


def up(value: float) -> int:
    """The next whole number up; a hair above a whole number (1e-9) is that number."""
    return int((steady(value) - Decimal("1e-9")).to_integral_value(rounding=ROUND_CEILING))


@dataclass(frozen=True, slots=True)
class Quantity:
    """``figure`` in ``unit`` (a key of UNITS), of a ``kind`` (a key of KINDS); ``si`` its value.

    The figure is exact, as typed in a table or rounded for print: what a reader sees is what
    is calculated with. ``limit`` says whether it must not be gone past. ``told`` is the same figure
    as its source prints it in the other unit system, where a rule prints both.
    """

    figure: Decimal
    unit: str
    kind: str
    limit: Limit = field(default="", compare=False)
    told: tuple[Decimal, str] | None = field(default=None, compare=False)
    as_is: bool = field(default=False, compare=False)  # printed in its own unit, which somebody asked for

    @classmethod
    def read(cls, text: str, kind: str) -> Quantity:
        """From what a person typed, such as ``10 ft``. Raises CalculationError."""
        return _read(text, kind)

    @classmethod
    def of(cls, si: float, kind: str, system: System, *, significant: int = 3, unit: str | None = None) -> Quantity:
        """From an SI value, rounded to a natural figure of ``system``."""
        key = unit or KINDS[kind].default(system)
        number = from_si(si, key, kind)
        figure = to_places(number, 0) if kind == "count" else natural(number, significant)
        return cls(figure, key, kind)

    @property
    def si(self) -> float:
        """The value in SI."""
        return to_si(float(self.figure), self.unit, self.kind)

    def in_system(self, system: System) -> Quantity:
        """As it is where its unit belongs to ``system``; else as its source tells it over there, or
        the natural figure, a limit never on the wrong side of what was set."""
        unit = counterpart(self.unit, system, self.kind)
        if self.told is not None and unit != self.unit:
            return Quantity(*self.told, self.kind, self.limit)
        return self if unit == self.unit else _over_there(self, unit, self.limit)

    def __str__(self) -> str:
        return _labelled(*self.printed)

    @property
    def printed(self) -> tuple[Decimal, str]:
        """The figure and the unit it is printed in."""
        return (self.figure, self.unit) if self.as_is else said(self.figure, self.unit)


@lru_cache(maxsize=8192)
def _read(text: str, kind: str) -> Quantity:
    """What was read once; the same defaults, ranges and examples are asked for again and again."""
    digits, unit = split_quantity(text, kind)
    return Quantity(trimmed(Decimal(digits)), unit, kind)


_HAND = {"m": 2, "cm": 0}  # decimals of a length as a person reads it off a tape
NEAR = 5e-3  # of a figure: the most that telling it in the other system may change it


@lru_cache(maxsize=8192)
def _over_there(q: Quantity, unit: str, limit: Limit) -> Quantity:
    """The natural figure in the other system's unit."""
    number = from_si(q.si, unit, q.kind)
    # three digits, and never coarser than the figure was typed: elevations keep their tenths
    exponent = int(q.figure.normalize().as_tuple().exponent)
    step = abs(from_si(to_si(10.0**exponent, q.unit, q.kind), unit, q.kind))
    finer = -math.floor(math.log10(step) + 1e-9) if step else 0
    places = max(places_for(number, 3), finer)
    hand = _HAND.get(unit)
    if hand is not None and places > hand and step * 10.0**hand >= 1:
        # typed in whole feet or inches: a tape is read to the centimetre, where that is near enough
        read = to_places(number, hand, limit)
        if abs(float(read) - number) <= NEAR * abs(number):
            places = hand
    return Quantity(trimmed(to_places(number, places, limit)), unit, q.kind, limit)


# the metric unit people say from a thousand of another on; a move of the decimal mark loses no digit
_SAID: Mapping[str, str] = {"kg": "t", "mm": "m", "mL": "L", "N": "kN", "Pa": "kPa"}
SAID_PLACES = 3


def said_in(unit: str, figures: Iterable[Decimal]) -> str:
    """The unit that figures of one kind and size are said in: t where the largest is a thousand kg or more."""
    larger = _SAID.get(unit)
    return larger if larger is not None and any(abs(f) >= 1000 for f in figures) else unit


def said(figure: Decimal, unit: str) -> tuple[Decimal, str]:
    """A figure in the unit people say it in: 28 t for 28,000 kg, 6 m for 6,000 mm. It is the same figure to its last digit."""
    if unit not in _SAID:
        return figure, unit
    larger = said_in(unit, (figure,))
    return (figure, unit) if larger == unit else (trimmed(figure.scaleb(-SAID_PLACES)), larger)


def said_alike(quantities: Sequence[Quantity]) -> list[tuple[Decimal, str]]:
    """Figures to choose among, of one unit, with the unit people say the largest in, so that none stands out."""
    unit = quantities[0].unit
    larger = said_in(unit, (q.figure for q in quantities))
    less = -SAID_PLACES if larger != unit else 0
    return [(trimmed(q.figure.scaleb(less)), larger) if q.unit == unit else said(q.figure, q.unit) for q in quantities]


def alike(quantities: Sequence[Quantity]) -> list[str]:
    """The same as printed."""
    return [_labelled(figure, unit) for figure, unit in said_alike(quantities)]


def shown(figure: Decimal, unit: str) -> str:
    """A figure and its unit as printed, in the unit people say: ``10 ft``, ``25%``, ``14°``, ``3:1``, ``6``, ``28 t``."""
    return _labelled(*said(figure, unit))


def _labelled(figure: Decimal, unit: str) -> str:
    its = UNITS[unit]
    label = its.label_for(figure)
    number = written(figure, its.system)
    if unit in _CLOSE:
        return number + label
    return f"{number} {label}" if label else number


_CLOSE = frozenset({"%", "deg", ":1", "deg/s"})  # no space before these


def _labels() -> dict[str, System | None]:
    """What stands behind a figure as its unit, and whose it is."""
    return {label: u.system for u in UNITS.values() for label in (u.label, u.one) if label and label != "in"}


_UNIT_OF = _labels()
_TYPED = re.compile(
    r"(?<![\w.,/-])(?P<whole>[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?P<part>\.[0-9]+)?(?P<gap> ?)"
    + f"(?P<unit>{'|'.join(sorted(map(re.escape, _UNIT_OF), key=len, reverse=True))})(?![\\w²³/·])"
)


def retold(text: str) -> str:
    """A text with figures that somebody typed, each that has a unit written as figures are written now.

    Paragraphs, tables and years have none, and stay as they are: Table 7.2, 29 CFR 1926.54.
    """

    def one(m: re.Match[str]) -> str:
        figure = Decimal(m["whole"].replace(",", "") + (m["part"] or ""))
        return written(figure, _UNIT_OF[m["unit"]]) + m["gap"] + m["unit"]

    return _TYPED.sub(one, text)
