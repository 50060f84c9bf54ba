"""The steps that explain a result: formulas applied in a chain, rows of a table, notes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from generator.calc.formula import Formula
from generator.units.quantity import Limit, Quantity


@dataclass(frozen=True, slots=True)
class From:
    """An input that is the result of an earlier step of the chain, by its name."""

    step: str


@dataclass(frozen=True, slots=True)
class Applied:
    """One step of a chain: a formula with quantities, or results of earlier steps, put in.

    ``unit`` (a key of UNITS) prints the result in another unit than the formula's own.
    """

    name: str
    formula: Formula
    inputs: Mapping[str, Quantity | From]
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """A column of :class:`Rows`: heading, kind of its SI values, and the units it prints in.

    Text columns have the kind ``text``. The cells of one with a ``limit`` are printed as its results
    are: to three digits, a most rounded down and a least up.
    """

    heading: str
    kind: str
    us: str | None = None
    metric: str | None = None
    places: int | None = None
    total: bool = False
    limit: Limit = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """A table of steps: SI values row by row (``float | int | str``)."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[float | str, ...], ...]


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence between steps: a rule used, a choice made, a limit met. Holds no figures."""

    text: str


Step = Applied | Rows | Note


@dataclass(frozen=True, slots=True)
class Value:
    """One result: SI value (or text), its kind, what it means, and how a count was rounded.

    ``limit`` is that of the formula it comes from: which way its printed figure is rounded.
    One that is ``given`` was put in and is told beside the results, so it needs no caution.
    """

    si: float | str
    kind: str
    meaning: str
    us: str | None = None
    metric: str | None = None
    rounding: str | None = None
    places: int | None = None
    limit: Limit = ""
    given: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a procedure returns: named results, the main one's name, and the steps."""

    main: str
    values: Mapping[str, Value]
    steps: tuple[Step, ...] = field(default=())
