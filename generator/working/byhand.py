"""Working a calculation the way one does it by hand, honestly rounded.

Whoever redoes a printed line with the printed figures gets the printed result to its last
digit: each step's result is rounded as printed and the rounded figure is carried on. Digits
are added to the steps in between until the final figure is the unrounded calculation's.

No figure is finer than its use. Where what is worked out has more digits than that, or is a limit,
a last line rounds it and says so: ``m = 114,080 lb, about 114,000 lb``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
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
    rebuilt,
    replaced,
    source_of,
)
from generator.calc.formula import Formula
from generator.calc.steps import Applied, From
from generator.language.words import mark
from generator.source.memo import Same
from generator.units.errors import CalculationError
from generator.units.quantity import SAID_PLACES, Limit, Quantity, places_for, steady, to_places, trimmed
from generator.units.quantity import said as told_in
from generator.units.table import KINDS, UNITS, System, factor, from_si
from generator.working.line import Line, Shape, with_figures
from generator.working.unitmath import label, units_of

MOST_EXTRA_DIGITS = 8
MOST_PLACES = 9
LONGEST = 4  # digits of a whole number that is printed as it comes; a longer one is rounded
FINER = 2  # decimals a limit is worked out to before it is rounded to the safe side


class DishonestWorking(RuntimeError):
    """No number of printed digits makes the hand working agree with the calculation."""


class _NoFigure(Exception):
    """The rounded figures of a line give no figure."""


@dataclass(frozen=True, slots=True)
class Working:
    """A worked calculation in one unit system."""

    formula: Formula
    system: System
    inputs: Mapping[str, Quantity]
    lines: tuple[Line, ...]
    result: Quantity
    exact: float  # SI, from the printed inputs without any rounding between
    worked_out: Decimal  # the figure the last sum gives; a line may round it to that of ``result``
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


def worked_chain(steps: Sequence[Applied], system: System, *, as_typed: bool = False) -> list[Working]:
    """A chain of formulas worked by hand, later steps using earlier results as printed.

    Inputs are put into ``system`` as round figures first, or with ``as_typed`` left in the
    units they came in and converted on a line of their own.
    """

    def own(given: Quantity) -> Quantity:
        return given if as_typed else given.in_system(system)

    exact: dict[str, float] = {}
    given: dict[str, dict[str, Quantity]] = {}  # what no earlier step gives
    for step in steps:
        filled = dict(_defaults(step, system))
        values = {name: default.si for name, default in filled.items()}
        for name, value in step.inputs.items():
            if isinstance(value, From):
                values[name] = exact[value.step]
            else:
                filled[name] = own(value)
                values[name] = filled[name].si
        exact[step.name] = step.formula(**values)
        given[step.name] = filled
    last = steps[-1]
    trouble: CalculationError | None = None
    # one digit more in the result only where it stands right between two figures: 50 min an
    # hour at 1.6 min a pass is 31.25, and by hand 0.8333 ÷ 0.02667 never gets to 31.3
    for more_at_last in (0, 1):
        for extra in range(MOST_EXTRA_DIGITS + 1):
            done: dict[str, Working] = {}
            try:
                for step in steps:
                    given_now = given[step.name]
                    carried = {n: done[v.step].result for n, v in step.inputs.items() if isinstance(v, From)}
                    more = extra if step is not last else more_at_last
                    done[step.name] = _one(step, {**given_now, **carried}, system, extra, more, exact[step.name], step is last)
            except _NoFigure:  # so few digits leave nothing to divide by (1 less a cosine near 1): carry more
                trouble = None
                continue
            except CalculationError as e:  # so few digits take a figure out of its range
                trouble = e
                continue
            if all(_agrees(step, done[step.name], exact[step.name]) for step in steps):
                return list(done.values())
    if trouble is not None:
        raise trouble
    raise DishonestWorking(f"{last.formula.id} cannot be worked by hand to its usual digits (unrounded {exact[last.name]!r} in SI)")


_DEFAULTS: dict[tuple[Same, System], dict[str, Quantity]] = {}


def _defaults(step: Applied, system: System) -> dict[str, Quantity]:
    """What nobody gave, as a round figure of the system it is worked in."""
    found = _DEFAULTS.get((Same(step.formula), system))
    if found is None:
        found = _DEFAULTS[Same(step.formula), system] = {
            i.name: Quantity.read(i.default, i.kind).in_system(system) for i in step.formula.inputs if i.default is not None
        }
    return {n: q for n, q in found.items() if n not in step.inputs}


def _agrees(step: Applied, working: Working, exact: float) -> bool:
    """Whether a result, at its usual digits, is the unrounded calculation's: as worked out, before a last
    line rounds it. Of a limit the printed figure counts."""
    formula, unit = step.formula, working.result.unit

    def usual(number: float | Decimal) -> Decimal:
        figure = _final_figure(formula, number, 0)
        return _printed_figure(formula, figure, 0) if formula.result.limit else figure

    wanted = usual(from_si(exact, unit, formula.result.kind))
    # 39,396 and 39,400.3 both print as 39,400: it is what is worked out that has to be right, but for a limit
    found = (working.worked_out, working.result.figure) if formula.result.limit else (working.worked_out,)
    return wanted in found or usual(working.worked_out) == wanted


def result_figure(formula: Formula, si: float, unit: str) -> Decimal:
    """The printed figure of a result: its decimals, or its significant digits."""
    return _printed_figure(formula, _final_figure(formula, steady(from_si(si, unit, formula.result.kind)), 0), 0)


def result_places(number: float | Decimal, significant: int) -> int:
    """Decimals of a figure worked out: so many significant digits, and never less than the whole figure.

    A reader who redoes the line gets 20,548; that it is about 20,500 is a line of its own. What is
    left of a cosine of 90° in binary fractions is nothing.
    """
    return min(max(places_for(number, significant), 0), MOST_PLACES)


def _final_figure(formula: Formula, number: float | Decimal, more: int) -> Decimal:
    """The figure the last sum gives."""
    out = formula.result
    if out.kind == "count" and out.places is None:
        return to_places(number, 0)
    places = out.places if out.places is not None else result_places(number, out.significant)
    return trimmed(to_places(number, places + more + (FINER if out.limit else 0)))


def _printed_figure(formula: Formula, figure: Decimal, more: int) -> Decimal:
    """The figure that is printed for it."""
    out = formula.result
    if out.kind == "count":
        return figure
    return usable(figure, out.significant, out.places, out.limit, more)


def usable(figure: Decimal, significant: int = 3, places: int | None = None, limit: Limit = "", more: int = 0) -> Decimal:
    """``figure`` without the digits that are finer than its use, a limit to the safe side.

    A whole number of up to four digits stays as it is: 2,640 ft/min. A longer one keeps its
    significant digits alone: 114,000 lb. ``places`` are decimals that are asked for.
    """
    if places is None:
        wanted = places_for(figure, significant)
        places = wanted if -wanted > LONGEST - significant else result_places(figure, significant)
    return trimmed(to_places(figure, places + more, limit))


def rounding_line(figure: Decimal, printed: Decimal, unit: str, limit: Limit = "") -> Line:
    """The line that says what a worked figure is printed as."""
    return Line.of(_ROUNDED[limit], Ref("="), (Figure(figure, unit), Figure(printed, unit)), redo=False, rounds=limit or "near")


def said_line(figure: Decimal, unit: str) -> Line | None:
    """The line that tells a result in the unit it is printed in, where that is another: 25,200 kg ÷ 1,000 = 25.2 t."""
    told, larger = told_in(figure, unit)
    if larger == unit:
        return None
    tree = Div(Figure(figure, unit), Num(Decimal(10) ** SAID_PLACES))
    return Line.of("", Ref("="), (tree, Figure(told, larger)))


_ROUNDED: dict[Limit, str] = {"": mark("Rounded"), "most": mark("Rounded down"), "least": mark("Rounded up")}


def _one(step: Applied, given: Mapping[str, Quantity], system: System, extra: int, more: int, exact: float, last: bool) -> Working:
    formula = step.formula
    full = formula.quantities(given)
    key = tuple((q.unit, q.kind, q.figure == 0) for q in full.values())
    figures = [q.figure for q in full.values()]
    lines, result = _plan(formula, system, step.unit, key).carried_out(figures, extra, more)
    worked_out = result.figure
    if last:
        printed = _printed_figure(formula, result.figure, more)
        if printed != result.figure:
            lines = (*lines, rounding_line(result.figure, printed, result.unit, formula.result.limit))
        result = Quantity(printed, result.unit, result.kind, formula.result.limit)
        told = said_line(printed, result.unit) if step.unit is None else None
        lines = lines if told is None else (*lines, told)
    carried = frozenset(n for n, q in step.inputs.items() if isinstance(q, From))
    return Working(formula, system, full, lines, result, exact, worked_out, carried)


# --- the plan of a working ------------------------------------------------------------------
#
# Which lines a working has depends on the formula and on the units its figures come in, not on
# the figures. So the lines are laid out once, with numbered places for figures, and each working
# only fills them: a handbook works the same few formulas some ten thousand times.

Rounding = Callable[[float, int, int], Decimal]  # number, extra digits between, more in the result
Given = tuple[tuple[str, str, bool], ...]  # unit, kind, and whether it is nought, of each input


@dataclass(frozen=True, slots=True)
class _Step:
    """One figure worked out: from the figures at ``places``, by ``value``, then rounded.

    ``twins`` are earlier lines that would read the same with the same figures; then the line is
    not said again. A line of one side (``alone``) stands where nothing is left to work out.
    """

    value: Callable[[Sequence[float]], float]
    rounded: Rounding
    shape: Shape
    places: tuple[int, ...]
    twins: tuple[int, ...] = ()
    alone: Shape | None = None


class _Plan:
    """The lines of one formula for inputs in certain units."""

    def __init__(self, formula: Formula, system: System, unit: str | None, given: Given) -> None:
        self.constants: list[Decimal] = []
        self.steps: list[_Step] = []
        count = len(given)
        self.next = count + len(formula.constants)
        put_in: dict[str, Node] = {}
        for i, (wanted, (its_unit, kind, nought)) in enumerate(zip(formula.inputs, given, strict=True)):
            put_in[wanted.name] = self._converted(i, its_unit, kind, nought, wanted.work_unit(system), wanted.meaning)
        for i, constant in enumerate(formula.constants):
            figure, its_unit = constant.written(system)
            self.constants.append(figure)
            put_in[constant.name] = Figure(Decimal(count + i), its_unit)
        self.before = len(self.steps)  # steps before the formula is written in symbols
        self.symbols = Line.of("", Ref("="), (formula.tree,), redo=False)
        target = formula.result.work_unit(system)
        self.unit, self.kind = unit or formula.result.unit(system), formula.result.kind
        tree = self._reduced(replaced(formula.tree, put_in))

        def final(number: float, extra: int, more: int) -> Decimal:
            return _final_figure(formula, steady(number), more)

        if self.unit == target or _same_label(self.unit, target):
            self._step("", Ref("="), tree, self.unit, final, result=True)
            return

        def between(number: float, extra: int, more: int) -> Decimal:
            exact = steady(number)
            return trimmed(to_places(exact, result_places(exact, 3 + extra)))

        start = self._step("", Ref("="), tree, target, between, result=True)
        tree = _converted_result(int(start.value), target, self.unit, self.kind)
        self._step("", Ref("="), tree, self.unit, final)

    def carried_out(self, figures: list[Decimal], extra: int, more: int) -> tuple[tuple[Line, ...], Quantity]:
        """The lines with the figures of this working, and the result."""
        figures += self.constants
        values = [float(f) for f in figures]
        lines: list[Line] = []
        made: list[Line] = []
        for i, step in enumerate(self.steps):
            if i == self.before:
                lines.append(self.symbols)
            try:
                number = step.value(values)
            except (ArithmeticError, ValueError) as e:  # what arithmetic raises: nothing to divide by, no such angle
                raise _NoFigure from e
            figure = step.rounded(number, extra, more)
            shape, shown = step.shape, tuple([figures[p] for p in step.places])
            if step.alone is not None and shown[0] == figure:
                line = Line(step.alone, shown)
            else:
                line = Line(shape, (*shown, figure))
            figures.append(figure)
            values.append(float(figure))
            made.append(line)
            if not any(made[t].figures == line.figures for t in step.twins):
                lines.append(line)
        return tuple(lines), Quantity(figures[-1], self.unit, self.kind)

    def _step(self, words: str, left: Node | None, tree: Node, unit: str, rounded: Rounding, *, result: bool = False) -> Figure:
        """A line that works out ``tree``; the figure it gives."""
        line = Line.of(words, left, (tree, Figure(Decimal(self.next), unit)))
        places = tuple(int(p) for p in line.figures[:-1])
        twins = tuple(i for i, s in enumerate(self.steps) if s.shape == line.shape) if left is None else ()
        alone = None
        if result and isinstance(tree, Figure) and tree.unit == unit:
            alone = Line.of(words, left, (tree,), redo=False).shape
        self.steps.append(_Step(_reckoner(tree), rounded, line.shape, places, twins, alone))
        self.next += 1
        return Figure(Decimal(self.next - 1), unit)

    def _converted(self, place: int, unit: str, kind: str, nought: bool, work: str, meaning: str) -> Figure:
        """An input in the unit of the working, with the line that shows how."""
        if unit == work or _same_label(unit, work) or nought:  # nothing is nothing in any unit
            return Figure(Decimal(place), work)
        start = Figure(Decimal(place), unit)
        target = "1" if work in {"1", ":1"} else work
        tree: Node
        hundred = Num(Decimal(100))
        if kind == "grade" and unit == "deg":
            tree = Call("tan", (start,))
            tree = Mul((tree, hundred)) if work == "%" else tree
        elif kind == "grade" and unit == ":1":
            tree = Div(hundred if work == "%" else Num(Decimal(1)), Figure(Decimal(place), "1"))
        else:
            tree = _conversion_tree(start, conversion(unit, work, kind))

        def carried(number: float, extra: int, more: int) -> Decimal:
            return _carried(number, extra)

        made = self._step(meaning, None, tree, target, carried)
        return Figure(made.value, work)

    def _reduced(self, tree: Node) -> Node:
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
            unit = label(units_of(node))

            def inner(number: float, extra: int, more: int) -> Decimal:
                exact = steady(number)
                return trimmed(to_places(exact, max(places_for(exact, 4 + extra), 0)))

            key = "deg" if unit == "°" else unit
            return self._step("", None, node, key or "1", inner)

        return walk(tree, True)


def _reckoner(tree: Node) -> Callable[[Sequence[float]], float]:
    """A function of the figures' values that works out a tree of numbered figures."""
    numbered = with_figures(tree, lambda f: Ref(f"{f.value}"))
    # only our own nodes become source, figures as their numbers
    code = compile(f"lambda v: float({source_of(numbered, 'v[{}]'.format)})", "<working>", "eval")
    made: Callable[[Sequence[float]], float] = eval(code, {**DEGREES.functions, "pi": DEGREES.pi})
    return made


_PLANS: dict[tuple[Same, System, str | None, Given], _Plan] = {}


def _plan(formula: Formula, system: System, unit: str | None, given: Given) -> _Plan:
    key = (Same(formula), system, unit, given)
    found = _PLANS.get(key)
    if found is None:
        found = _PLANS[key] = _Plan(formula, system, unit, given)
    return found


def _same_label(a: str, b: str) -> bool:
    return UNITS[a].pint == UNITS[b].pint and {a, b} & {"%", ":1"} == set()


def _single(node: Node) -> bool:
    return isinstance(node, Figure | Num)


@cache
def conversion(a: str, b: str, kind: str) -> tuple[Decimal, Decimal]:
    """How one goes from unit ``a`` to ``b`` by hand: times the first, divided by the second.

    ``(88, 1)`` from mph to ft/min, ``(1, 12)`` from inches to feet, ``(1000, 60)`` from km/h
    to m/min, ``(5280, 3600)`` from mph to ft/s; a long decimal only where no such pair exists.
    """
    ratio = factor(a, KINDS[kind].si) / factor(b, KINDS[kind].si)
    plain = trimmed(steady(ratio))
    # a thousandth or a ton of pounds; what is simply so many times is shortened below. Miles an hour in feet a second, and
    # back, would be a long decimal otherwise: there the seconds of an hour and the feet of a mile
    for top in (1000, 2000, 3600, 5280) if kind == "speed" and len(plain.as_tuple().digits) > 6 else (1000, 2000):
        over = round(top / ratio)
        if over and abs(top / ratio / over - 1) < 1e-9:
            short = Fraction(top, over)
            if 1 in {short.numerator, short.denominator}:
                return Decimal(short.numerator), Decimal(short.denominator)
            return Decimal(top), Decimal(over)
    return plain, Decimal(1)


def _conversion_tree(start: Node, by: tuple[Decimal, Decimal]) -> Node:
    times, over = by
    top = start if times == 1 else Mul((start, Num(times)))
    return top if over == 1 else Div(top, Num(over))


def _carried(number: float, extra: int) -> Decimal:
    """Exact where that is short, else rounded to what one would carry."""
    short = trimmed(steady(number))
    if len(short.as_tuple().digits) <= 5:
        return short
    return trimmed(to_places(number, max(places_for(number, 4 + extra), 0)))


def _converted_result(place: int, work: str, unit: str, kind: str) -> Node:
    """How the result goes from the unit of the working to the one it is printed in."""
    start = Figure(Decimal(place), "1" if work == ":1" else work)
    if kind == "grade" and unit in {"deg", ":1"} and work == "%":
        start, by_hundred = Figure(Decimal(place), "1"), Num(Decimal(100))
        return Call("atan", (Div(start, by_hundred),)) if unit == "deg" else Div(by_hundred, start)
    if kind == "grade" and unit == "deg":
        return Call("atan", (start,))
    if kind == "grade" and unit == ":1":
        return Div(Num(Decimal(1)), start)
    return _conversion_tree(start, conversion(work, unit, kind))
