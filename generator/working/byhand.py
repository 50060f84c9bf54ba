"""Working a calculation the way one does it by hand, honestly rounded.

Whoever redoes a printed line with the printed figures gets the printed result to its last
digit: each step's result is rounded as printed and the rounded figure is carried on. Digits
are added to the steps in between until the final figure is the unrounded calculation's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

from generator.calc.expression import (
    DEGREES,
    Add,
    Call,
    Div,
    Figure,
    Mul,
    Node,
    Num,
    Pow,
    Ref,
    children,
    evaluate,
    rebuilt,
    replaced,
)
from generator.calc.formula import Formula
from generator.calc.quantity import Quantity, places_for, steady, to_places, trimmed
from generator.calc.steps import Applied, From
from generator.calc.units import KINDS, UNITS, System, factor, from_si, to_si
from generator.working.unitmath import label, units_of

MOST_EXTRA_DIGITS = 8
MOST_PLACES = 9


class DishonestWorking(RuntimeError):
    """No number of printed digits makes the hand working agree with the calculation."""


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line: ``words`` say what it does, ``left`` is what is worked out.

    ``sides`` are equal by the figures as printed; with one side and no figures it is a formula
    in symbols. ``redo`` tells whether a reader can redo it with the figures on it.
    """

    words: str
    left: Node | None
    sides: tuple[Node, ...]
    redo: bool = True


@dataclass(frozen=True, slots=True)
class Working:
    """A worked calculation in one unit system."""

    formula: Formula
    system: System
    inputs: Mapping[str, Quantity]
    lines: tuple[Line, ...]
    result: Quantity
    exact: float  # SI, from the printed inputs without any rounding between
    carried: frozenset[str] = frozenset()  # inputs that are results of earlier steps


def worked(
    formula: Formula,
    inputs: Mapping[str, Quantity],
    system: System,
    unit: str | None = None,
    *,
    as_typed: bool = False,
) -> Working:
    """One formula worked by hand. Raises CalculationError, or DishonestWorking."""
    return worked_chain([Applied("", formula, inputs, unit)], system, as_typed=as_typed)[0]


def worked_chain(
    steps: Sequence[Applied], system: System, *, as_typed: bool = False
) -> list[Working]:
    """A chain of formulas worked by hand, later steps using earlier results as printed.

    Inputs are put into ``system`` as round figures first, or with ``as_typed`` left in the
    units they came in and converted on a line of their own.
    """

    def own(given: Quantity) -> Quantity:
        return given if as_typed else given.in_system(system)

    exact: dict[str, float] = {}
    for step in steps:
        values = {name: default.si for name, default in _defaults(step, system).items()}
        for name, given in step.inputs.items():
            values[name] = exact[given.step] if isinstance(given, From) else own(given).si
        exact[step.name] = step.formula(**values)
    last = steps[-1]
    for extra in range(MOST_EXTRA_DIGITS + 1):
        done: dict[str, Working] = {}
        for step in steps:
            given_now = _defaults(step, system)
            for name, given in step.inputs.items():
                given_now[name] = done[given.step].result if isinstance(given, From) else own(given)
            more = extra if step is not last else 0
            done[step.name] = _one(step, given_now, system, extra, more, exact[step.name])
        if all(_agrees(step, done[step.name], exact[step.name]) for step in steps):
            return list(done.values())
    final = done[last.name]
    raise DishonestWorking(
        f"{last.formula.id} cannot be worked by hand to {final.result} "
        f"(unrounded {exact[last.name]!r} in SI)"
    )


def _defaults(step: Applied, system: System) -> dict[str, Quantity]:
    """What nobody gave, as a round figure of the system it is worked in."""
    return {
        i.name: Quantity.read(i.default, i.kind).in_system(system)
        for i in step.formula.inputs
        if i.default is not None and i.name not in step.inputs
    }


def _agrees(step: Applied, working: Working, exact: float) -> bool:
    """Whether a printed result, at its usual digits, is the unrounded calculation's."""
    unit = working.result.unit
    usual = result_figure(step.formula, exact, unit)
    printed = from_si(working.result.si, unit, step.formula.result.kind)
    return result_figure(step.formula, to_si(printed, unit, working.result.kind), unit) == usual


def result_figure(formula: Formula, si: float, unit: str, extra: int = 0) -> Decimal:
    """The printed figure of a result: its decimals, or its significant digits."""
    out = formula.result
    number = steady(from_si(si, unit, out.kind))
    if out.kind == "count" and out.places is None:
        return to_places(number, 0)
    places = out.places if out.places is not None else result_places(number, out.significant)
    return trimmed(to_places(number, places + extra))


def result_places(number: float | Decimal, significant: int) -> int:
    """Decimals of a result: so many significant digits, and never less than the whole figure.

    A reader who redoes the line gets 20,548, so it is not printed as 20,500. What is left of a
    cosine of 90° in binary fractions is nothing.
    """
    return min(max(places_for(number, significant), 0), MOST_PLACES)


def _one(
    step: Applied, given: Mapping[str, Quantity], system: System, extra: int, more: int, exact: float
) -> Working:
    formula = step.formula
    lines: list[Line] = []
    full = formula.quantities(given)
    put_in: dict[str, Node] = {}
    for name, quantity in full.items():
        work = formula.input_by_name[name].work_unit(system)
        figure, line = _converted(quantity, work, formula.input_by_name[name].meaning, extra)
        if line is not None and line not in lines:
            lines.append(line)
        put_in[name] = Figure(figure, work)
    for constant in formula.constants:
        put_in[constant.name] = Figure(*constant.written(system))
    lines.append(Line("", Ref("="), (formula.tree,), redo=False))
    target = formula.result.work_unit(system)
    unit = step.unit or formula.result.unit(system)
    same = unit == target or _same_label(unit, target)
    tree = replaced(formula.tree, put_in)
    tree = _reduced(tree, lines, extra)
    number = _value(tree)
    if same:
        figure = _final_figure(step, number, unit, more)
        lines.append(_result_line(tree, Figure(figure, unit)))
        result = Quantity(figure, unit, formula.result.kind)
    else:
        between = trimmed(to_places(number, result_places(number, 3 + extra)))
        lines.append(_result_line(tree, Figure(between, target)))
        result, line = _converted_result(step, between, target, unit, more)
        lines.append(line)
    carried = frozenset(n for n, q in step.inputs.items() if isinstance(q, From))
    return Working(formula, system, full, tuple(lines), result, exact, carried)


def _same_label(a: str, b: str) -> bool:
    return UNITS[a].pint == UNITS[b].pint and {a, b} & {"%", ":1"} == set()


def _final_figure(step: Applied, number: float, unit: str, more: int) -> Decimal:
    out = step.formula.result
    if out.kind == "count" and out.places is None:
        return to_places(number, 0)
    places = out.places if out.places is not None else result_places(number, out.significant)
    return trimmed(to_places(number, places + more))


def _result_line(tree: Node, figure: Figure) -> Line:
    sides: tuple[Node, ...] = (figure,) if isinstance(tree, Figure) and tree == figure else (tree, figure)
    return Line("", Ref("="), sides, redo=len(sides) == 2)


def _value(tree: Node) -> float:
    return float(evaluate(tree, {}, DEGREES))


def _reduced(tree: Node, lines: list[Line], extra: int) -> Node:
    """Works out what one does first by hand, a line each, and puts the results in."""

    def walk(node: Node, top: bool) -> Node:
        parts = children(node)
        if not parts or (isinstance(node, Pow) and isinstance(node.base, Figure)):
            return node
        if isinstance(node, Pow):
            new: Node = Pow(walk(node.base, False), node.exponent)
        else:
            new = rebuilt(node, tuple(walk(p, top and isinstance(node, Add)) for p in parts))
        if isinstance(node, Add):
            assert isinstance(new, Add)
            terms = tuple(t if _single(t) else line_for(t) for t in new.terms)
            new = Add(terms, new.signs)
            return new if top else line_for(new)
        if isinstance(node, Call):
            new = Call(node.function, tuple(a if _single(a) else line_for(a) for a in children(new)))
            return new if top else line_for(new)
        if isinstance(node, Pow) and not top and not isinstance(node.exponent, Num):
            return line_for(new)
        return new

    def line_for(node: Node) -> Node:
        number = _value(node)
        unit = label(units_of(node))
        whole = isinstance(node, Call) and node.function in {"round_up", "round_down"}
        places = 0 if whole else max(places_for(number, 4 + extra), 0)
        key = "deg" if unit == "°" else unit
        figure = Figure(trimmed(to_places(number, places)), key or "1")
        line = Line("", None, (node, figure))
        if line not in lines:
            lines.append(line)
        return figure

    return walk(tree, True)


def _single(node: Node) -> bool:
    return isinstance(node, Figure | Num)


@cache
def conversion(a: str, b: str, kind: str) -> tuple[Decimal, Decimal]:
    """How one goes from unit ``a`` to ``b`` by hand: times the first, divided by the second.

    ``(88, 1)`` from mph to ft/min, ``(1, 12)`` from inches to feet, ``(1000, 60)`` from km/h
    to m/min; a long decimal only where no such pair exists.
    """
    ratio = factor(a, KINDS[kind].si) / factor(b, KINDS[kind].si)
    for top in (1, 1000, 2000, 10, 100):
        over = round(top / ratio)
        if over >= 1 and abs(top / ratio / over - 1) < 1e-9:
            short = Fraction(top, over)
            if 1 in {short.numerator, short.denominator}:
                return Decimal(short.numerator), Decimal(short.denominator)
            return Decimal(top), Decimal(over)
    return trimmed(steady(ratio)), Decimal(1)


def _conversion_tree(start: Node, by: tuple[Decimal, Decimal]) -> Node:
    times, over = by
    top = start if times == 1 else Mul((start, Num(times)))
    return top if over == 1 else Div(top, Num(over))


def _converted(quantity: Quantity, work: str, meaning: str, extra: int) -> tuple[Decimal, Line | None]:
    """The figure in the unit of the working, and the line that shows how."""
    if quantity.unit == work or _same_label(quantity.unit, work):
        return quantity.figure, None
    if quantity.figure == 0:
        return quantity.figure, None  # nothing is nothing in any unit
    start = Figure(quantity.figure, quantity.unit)
    target = "1" if work in {"1", ":1"} else work
    tree: Node
    hundred = Num(Decimal(100))
    if quantity.kind == "grade" and quantity.unit == "deg":
        tree = Call("tan", (start,))
        tree = Mul((tree, hundred)) if work == "%" else tree
        number = _value(tree)
    elif quantity.kind == "grade" and quantity.unit == ":1":
        tree = Div(hundred if work == "%" else Num(Decimal(1)), Figure(quantity.figure, "1"))
        number = _value(tree)
    else:
        tree = _conversion_tree(start, conversion(quantity.unit, work, quantity.kind))
        number = _value(tree)
    figure = _carried(number, extra)
    return figure, Line(meaning, None, (tree, Figure(figure, target)))


def _carried(number: float, extra: int) -> Decimal:
    """Exact where that is short, else rounded to what one would carry."""
    short = trimmed(steady(number))
    if len(short.as_tuple().digits) <= 5:
        return short
    return trimmed(to_places(number, max(places_for(number, 4 + extra), 0)))


def _converted_result(step: Applied, between: Decimal, work: str, unit: str, more: int) -> tuple[Quantity, Line]:
    kind = step.formula.result.kind
    start = Figure(between, "1" if work == ":1" else work)
    tree: Node
    if kind == "grade" and unit in {"deg", ":1"} and work == "%":
        start, by_hundred = Figure(between, "1"), Num(Decimal(100))
        tree = Call("atan", (Div(start, by_hundred),)) if unit == "deg" else Div(by_hundred, start)
        number = _value(tree)
    elif kind == "grade" and unit == "deg":
        tree = Call("atan", (start,))
        number = _value(tree)
    elif kind == "grade" and unit == ":1":
        tree = Div(Num(Decimal(1)), start)
        number = _value(tree)
    else:
        tree = _conversion_tree(start, conversion(work, unit, kind))
        number = _value(tree)
    figure = _final_figure(step, number, unit, more)
    return Quantity(figure, unit, kind), Line("", Ref("="), (tree, Figure(figure, unit)))
