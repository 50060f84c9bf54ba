"""The calculations by topic. Each module lists its own in ``CALCULATIONS``."""

from __future__ import annotations

from functools import lru_cache
from importlib import import_module

from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from generator.units.errors import CalculationError

Calculation = Formula | Procedure

TOPICS = (
    "grade", "soil", "dozing", "loading", "slopes", "trench", "lines", "wear", "compact",
    "daily", "seeing", "hauling", "lifting", "placing", "moving", "instruments",
)  # fmt: skip


@lru_cache(maxsize=1)
def calculations() -> dict[str, Calculation]:
    """Every calculation by id, topic by topic."""
    found: dict[str, Calculation] = {}
    for topic in TOPICS:
        for calculation in import_module(f"{__name__}.{topic}").CALCULATIONS:
            if calculation.id in found or not calculation.id.startswith(f"{topic}."):
                raise ValueError(f"{calculation.id} stands twice or in the wrong topic")
            found[calculation.id] = calculation
    return found


def find(id: str) -> Calculation:
    """The calculation, or CalculationError naming near ones."""
    import difflib

    known = calculations()
    if id in known:
        return known[id]
    near = difflib.get_close_matches(id, known, n=3, cutoff=0.4)
    hint = f"did you mean {', '.join(near)}?" if near else "'seatwork calculations' lists them all"
    raise CalculationError(f"no calculation is called '{id[:60]}'", hint)
