"""The formula object: written once, every face made from it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any, Literal

from generator.calc.expression import Node, compiled, tree_in, written_expression
from generator.language.words import said
from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity
from generator.units.reading import split_quantity
from generator.units.table import KINDS, System, to_si

Standing = Literal["published", "common practice", "derived", "from memory"]


@dataclass(frozen=True)
class Source:
    """Where a calculation comes from: a key of ``sources.yml`` and the place in it.

    ``key`` is None for what has no source to name; ``standing`` says which it is.
    """

    key: str | None
    place: str = ""
    standing: Standing = "published"


COMMON_PRACTICE = Source(None, "common practice, no source", "common practice")


@dataclass(frozen=True)
class Input:
    """An input of a calculation.

    ``low`` and ``high`` are quantities as written (``"1 ft"``), ends included. ``default`` is one
    too. ``work`` overrides the unit the figure is put in with, by system. ``example`` gives a
    round figure in each system for the reference chapter.
    """

    name: str
    symbol: str
    kind: str
    meaning: str
    low: str
    high: str
    default: str | None = None
    work_us: str | None = None
    work_metric: str | None = None
    example_us: str | None = None
    example_metric: str | None = None
    beyond: str = ""  # what to do where a figure is past ``high``, if not just to give another

    @cached_property
    def bounds(self) -> tuple[float, float]:
        """Lowest and highest SI value, ends included, with a hair for binary fractions."""
        ends = []
        for text in (self.low, self.high):
            digits, unit = _signed(text, self.kind)
            ends.append(to_si(digits, unit, self.kind))
        low, high = min(ends), max(ends)
        return low - abs(low) * 1e-9, high + abs(high) * 1e-9

    def work_unit(self, system: System) -> str:
        """Key of the unit its figure is put into the formula with."""
        own = self.work_us if system == "us" else self.work_metric
        return own or KINDS[self.kind].work(system)

    def check(self, value: float) -> None:
        """Raises CalculationError where the SI ``value`` is outside the range."""
        low, high = self.bounds
        if not low <= value <= high:
            raise CalculationError(
                said("{name} is out of range ({low} to {high})", name=self.name, low=self.low, high=self.high),
                self.beyond if self.beyond and value > high else f"give {self.meaning} within that range",
                about=(self.name,),
            )


def _signed(text: str, kind: str) -> tuple[float, str]:
    digits, unit = split_quantity(text, kind)
    return float(digits), unit


@dataclass(frozen=True)
class Output:
    """The result of a calculation: what it is, and the unit each system prints it in.

    ``places`` fixes the decimals printed; by default three significant digits are. ``at_least``
    and ``at_most`` are the smallest and the largest result that makes sense: past them,
    evaluating is an error rather than a nonsense number.
    """

    symbol: str
    kind: str
    meaning: str
    us: str | None = None
    metric: str | None = None
    work_us: str | None = None
    work_metric: str | None = None
    places: int | None = None
    significant: int = 3
    at_least: float | None = 0.0
    at_most: float | None = None
    rounding: str | None = None  # how a count is rounded, said with the result
    limit: Limit = ""  # a most is rounded down and a least up, in a last step of its working

    def unit(self, system: System) -> str:
        """Key of the unit it is printed in."""
        own = self.us if system == "us" else self.metric
        return own or KINDS[self.kind].default(system)

    def work_unit(self, system: System) -> str:
        """Key of the unit it comes out of the formula in."""
        own = self.work_us if system == "us" else self.work_metric
        return own or KINDS[self.kind].work(system)


@dataclass(frozen=True)
class Constant:
    """A constant with a unit, as each system puts it in, and its source."""

    name: str
    symbol: str
    kind: str
    meaning: str
    us: str
    metric: str
    source: Source

    def written(self, system: System) -> tuple[Decimal, str]:
        """Its figure and unit key in ``system``."""
        digits, unit = split_quantity(self.us if system == "us" else self.metric, self.kind)
        return Decimal(digits), unit

    @cached_property
    def si(self) -> float:
        """The exact SI value (the metric figure is the definition)."""
        digits, unit = split_quantity(self.metric, self.kind)
        return to_si(float(digits), unit, self.kind)


@dataclass(frozen=True)
class Formula:
    """One calculation, written once.

    ``written`` is the expression in the order a person writes it, over input and constant
    names. ``stability`` marks results that are never an allowed slope: nothing prints them
    without saying so. ``requires`` are relations between inputs (``"bucket_width <=
    bucket_opening"`` style pairs of name, name, message) checked before evaluating; ``positive``
    are expressions over the inputs that must come out above zero for the formula to hold.
    """

    id: str
    title: str
    written: str
    result: Output
    inputs: tuple[Input, ...]
    source: Source
    limits: str
    constants: tuple[Constant, ...] = ()
    stability: bool = False
    requires: tuple[tuple[str, str, str], ...] = ()  # (smaller, larger, what is wrong)
    positive: tuple[tuple[str, str], ...] = ()  # (expression that must be above zero, what is wrong)
    words: str = ""  # the relation in plain words, for readers with little school maths
    also: tuple[Source, ...] = ()

    @cached_property
    def expression(self) -> Any:
        """The sympy expression, unevaluated, in written order: what the tree is held to."""
        return written_expression(self.written)

    @cached_property
    def tree(self) -> Node:
        """The plain tree all printing is done from."""
        return tree_in(self.written)

    @cached_property
    def input_by_name(self) -> Mapping[str, Input]:
        """Inputs by name."""
        return {i.name: i for i in self.inputs}

    @cached_property
    def _function(self) -> Callable[..., float]:
        names = tuple(i.name for i in self.inputs) + tuple(c.name for c in self.constants)
        return compiled(self.tree, names)

    @cached_property
    def _must_be_positive(self) -> tuple[tuple[Callable[..., float], str], ...]:
        names = tuple(i.name for i in self.inputs)
        return tuple((compiled(tree_in(e), names), wrong) for e, wrong in self.positive)

    @cached_property
    def _plan(self) -> tuple[tuple[str, float, float], ...]:
        return tuple((i.name, *i.bounds) for i in self.inputs)

    @cached_property
    def _constants(self) -> tuple[float, ...]:
        return tuple(c.si for c in self.constants)

    @cached_property
    def _defaults(self) -> dict[str, float]:
        return {i.name: Quantity.read(i.default, i.kind).si for i in self.inputs if i.default is not None}

    def __call__(self, **values: float) -> float:
        """The SI result from SI inputs (plain floats), ranges checked.

        Raises CalculationError on a missing or unknown input, one out of its range, or a
        combination that has no sensible result.
        """
        arguments = []
        try:
            for name, low, high in self._plan:
                value = values[name]
                if not low <= value <= high:
                    self.input_by_name[name].check(value)
                arguments.append(value)
        except KeyError:
            return self._with_defaults(values)
        if len(values) != len(arguments):
            return self._with_defaults(values)
        if self.requires:
            self._check_relations(values)
        for expression, wrong in self._must_be_positive:
            if not expression(*arguments) > 0:
                raise CalculationError(wrong, f"check {', '.join(self.input_by_name)}", about=self.input_by_name)
        try:
            result = self._function(*arguments, *self._constants)
        except (ValueError, ZeroDivisionError, OverflowError):
            raise self._nonsense() from None
        floor = self.result.at_least
        # `not >=` also turns away a NaN
        if isinstance(result, complex) or not abs(result) < math.inf:
            raise self._nonsense()
        if floor is not None and not result >= floor - 1e-12:
            raise self._nonsense()
        most = self.result.at_most
        if most is not None and result > most + 1e-9:
            raise self._nonsense()
        return result

    def _nonsense(self) -> CalculationError:
        return CalculationError(
            said("these inputs give no sensible {result}", result=said(self.result.meaning)), f"check them against: {self.limits}"
        )

    def _with_defaults(self, values: Mapping[str, float]) -> float:
        for name in values:
            if name not in self.input_by_name:
                raise unknown_input(self, name)
        filled = {**self._defaults, **values}
        for i in self.inputs:
            if i.name not in filled:
                raise missing_input(self, i)
        return self(**filled)

    def _check_relations(self, values: Mapping[str, float]) -> None:
        for smaller, larger, message in self.requires:
            most = values[larger]
            # a hair more is the noise of binary fractions; elevations may lie below zero
            if not values[smaller] <= most + abs(most) * 1e-9:
                raise CalculationError(message, f"check {smaller} and {larger}", about=(smaller, larger))

    def quantities(self, given: Mapping[str, Quantity]) -> dict[str, Quantity]:
        """``given`` completed with defaults, in the order of the inputs, ranges checked."""
        for name in given:
            if name not in self.input_by_name:
                raise unknown_input(self, name)
        full: dict[str, Quantity] = {}
        for i in self.inputs:
            if i.name in given:
                full[i.name] = given[i.name]
            elif i.default is not None:
                full[i.name] = Quantity.read(i.default, i.kind)
            else:
                raise missing_input(self, i)
            i.check(full[i.name].si)
        return full

    def read(self, texts: Mapping[str, str]) -> dict[str, Quantity]:
        """Inputs as a person typed them. Raises CalculationError naming the input."""
        given: dict[str, Quantity] = {}
        for name, text in texts.items():
            if name not in self.input_by_name:
                raise unknown_input(self, name)
            try:
                given[name] = Quantity.read(text, self.input_by_name[name].kind)
            except CalculationError as e:
                raise CalculationError(f"{name}: {e.what}", e.fix, about=(name,)) from None
        return self.quantities(given)

    def value(self, given: Mapping[str, Quantity]) -> float:
        """The SI result from quantities."""
        return self(**{name: q.si for name, q in self.quantities(given).items()})


def unknown_input(calculation: Any, name: str) -> CalculationError:
    """The error for a name that is no input of ``calculation``."""
    names = ", ".join(i.name for i in calculation.inputs)
    return CalculationError(f"{calculation.id} has no input '{name[:40]}'", f"its inputs are {names}")


def missing_input(calculation: Any, i: Any) -> CalculationError:
    """The error for an input that was not given."""
    options = getattr(i, "options", None)
    example = options[0] if options else KINDS[i.kind].example.split(" or ")[0].split(",")[0].replace(" ", "")
    return CalculationError(f"{calculation.id} needs {i.name} ({i.meaning})", f"add {i.name}={example}", about=(i.name,))
