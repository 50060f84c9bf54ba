"""Reading a typed answer, just as the player in the page reads it.

The notes of the player's own reader (``content/look/typed-number.js``) say what a typed number may look like. Whoever
marks again must read it the same way, to the last odd case; a test compares the two in a
browser.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from generator.units.reading import NotAFigure, TwoWays, Typed, read_typed
from generator.units.table import AS_FORCE, SMALLER, UNITS
from generator.units.writing import Mark

__all__ = ["KEYS", "Figure", "NotAFigure", "figure_for", "from_slip", "read_typed", "typed_for", "within"]

# a row's place is used in slip codes
KEYS = tuple(UNITS)


@dataclass(frozen=True, slots=True)
class Figure:
    """An answer as a figure in one of the accepted units."""

    value: float
    unit: str


def _as_printed(raw: str, unit: str, mark: Mark) -> Typed:
    """What was typed, a comma or point before three digits read as the page prints it: for thousands.

    So it is read in the unit the question asks for only; elsewhere it stays two ways.
    """
    try:
        return read_typed(raw, mark)
    except TwoWays as e:
        typed = read_typed(e.ways[0], mark)
        if typed.capital_t or typed.parts[0].unit not in {"", unit}:
            raise
        return typed


def typed_for(raw: str, answer: Mapping[str, Any]) -> Typed:
    """What was typed, commas and points read as the question's page prints them. Raises NotAFigure.

    An answer of an older edition says nothing of ``decimal``, and has a decimal point.
    """
    mark: Mark = "," if answer.get("decimal") == "," else "."
    printed = answer.get("point" if mark == "," else "comma")
    return _as_printed(raw, str(answer["unit"]), mark) if printed else read_typed(raw, mark)


def from_slip(answer: Mapping[str, Any]) -> dict[str, Any]:
    """An answer as the figures of a slip are read by it: they have a point, wherever the slip is from."""
    return {k: v for k, v in answer.items() if k not in {"decimal", "point"}}


def figure_for(raw: str, answer: Mapping[str, Any]) -> Figure:
    """What was typed as a figure in one of the units of ``answer["accept"]``. Raises NotAFigure.

    ``answer["unit"]`` is the one meant where none was typed. What ``answer`` says of commas and
    points is in ``quiz/markup.py``, at ``reads_as``.
    """
    accept: Mapping[str, Sequence[float]] = answer["accept"]
    unit = str(answer["unit"])
    typed = typed_for(raw, answer)
    factor = -1.0 if typed.sign == "-" else 1.0
    big = typed.parts[0]
    named = big.unit
    if typed.capital_t:
        both = [k for k in ("ton", "t") if k in accept]
        if len(both) == 2:
            raise NotAFigure("a capital T can mean either ton", "write ton or t")
        named = both[0] if both else "t"
    named = named or unit
    if named not in accept and AS_FORCE.get(named) in accept:
        named = AS_FORCE[named]
    if len(typed.parts) == 1:
        if named in accept:
            return Figure(factor * big.value, named)
    else:
        small = typed.parts[1]
        many = SMALLER[big.unit][1]
        if big.unit in accept:
            return Figure(factor * (big.value + small.value / many), big.unit)
        if small.unit in accept:
            return Figure(factor * (big.value * many + small.value), small.unit)
    raise NotAFigure(f"the unit '{named}' does not fit the question", "write one of " + ", ".join(k for k in accept))


def within(ends: Sequence[float] | None, figure: float) -> bool:
    """Whether a figure lies between two ends, with room for the last bit of floating point."""
    if not ends:
        return False
    slack = 1e-8 * max(abs(ends[0]), abs(ends[1]))
    return ends[0] - slack <= figure <= ends[1] + slack
