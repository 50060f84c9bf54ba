"""Every formula there is, and figures to put into it, for tests that hold for all."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator, Mapping
from functools import lru_cache
from importlib import import_module

from hypothesis import strategies as st

from generator.calc import catalogue
from generator.calc.formula import Formula, Input
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, natural
from generator.units.table import System, counterpart, from_si


@lru_cache(maxsize=1)
def formulas() -> tuple[Formula, ...]:
    """Formulas of the catalogue, those inside procedures included."""
    found: dict[str, Formula] = {}
    for module in pkgutil.iter_modules(catalogue.__path__, catalogue.__name__ + "."):
        members = vars(import_module(module.name)).values()
        listed = [c for m in members if isinstance(m, tuple) for c in m]
        for c in (*members, *listed):
            if isinstance(c, Formula):
                assert found.setdefault(c.id, c) == c, f"two formulas are called {c.id}"
    return tuple(found.values())


def example(formula: Formula, system: System) -> dict[str, Quantity]:
    """The round figures each input shows in the reference chapter."""
    given = {}
    for i in formula.inputs:
        text = i.example_us if system == "us" else i.example_metric
        assert text is not None, f"{formula.id} {i.name} has no example"
        given[i.name] = Quantity.read(text, i.kind)
    return given


def usual_unit(i: Input, system: System) -> str:
    """The unit an input's example is written in, which is one people use for it."""
    text = i.example_us if system == "us" else i.example_metric
    return counterpart(Quantity.read(text or i.low, i.kind).unit, system)


# people write round figures: a range is drawn from in so many steps, its ends included
_STEPS = 400


def _figures(i: Input, system: System) -> st.SearchStrategy[Quantity]:
    unit = usual_unit(i, system)
    low, high = i.bounds
    if unit == ":1" and i.kind == "grade":
        unit = "%"  # flat ground has no run for one of rise

    def figure(step: int) -> Quantity:
        share = step / _STEPS
        # ranges span decades: most draws should be neither end
        if low > 0 and high / low > 20:
            value = low * (high / low) ** share
        else:
            value = low + (high - low) * share
        number = from_si(value, unit, i.kind)
        rounded = natural(number, 3) if i.kind != "count" else natural(round(number), 6)
        return Quantity(rounded, unit, i.kind)

    return st.integers(0, _STEPS).map(figure)


@lru_cache(maxsize=512)
def drawn(formula: Formula, system: System) -> st.SearchStrategy[dict[str, Quantity]]:
    """Round figures within the ranges of the inputs, in the usual units of ``system``."""
    return st.fixed_dictionaries({i.name: _figures(i, system) for i in formula.inputs})


def sensible(formula: Formula, given: Mapping[str, Quantity]) -> bool:
    """Whether the formula gives a result for these inputs rather than an error."""
    try:
        formula.value(given)
    except CalculationError:
        return False
    return True


def cases() -> Iterator[tuple[Formula, System]]:
    """Each formula in each system."""
    for formula in formulas():
        yield formula, "us"
        yield formula, "metric"
