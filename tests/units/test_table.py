"""pint proves every formula: sound in its dimensions, and coherent in both systems.

Coherent means that plain figures in the working units give the result in its working unit, with
no factor left over, which is what the printed working relies on.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from generator.calc.catalogue import calculations
from generator.calc.expression import DEGREES, Arithmetic, evaluate
from generator.calc.formula import Constant, Formula, Input
from generator.units.errors import CalculationError
from generator.units.reading import split_quantity
from generator.units.table import (
    KINDS,
    SYSTEMS,
    UNITS,
    System,
    convertible,
    counterpart,
    factor,
    find_unit,
    from_si,
    registry,
    to_si,
)
from tests.every_formula import cases, example, formulas

UREG = registry()
CASES = list(cases())
NAMES = [f"{f.id}-{s}" for f, s in CASES]


def _pick(choose: Callable[..., Any]) -> Callable[..., Any]:
    def chosen(*values: Any) -> Any:
        quantities = [UREG.Quantity(v) for v in values]
        unit = quantities[0].units
        return choose((q.to(unit) for q in quantities), key=lambda q: q.magnitude)

    return chosen


def _of_plain(function: Callable[[float], float], unit: str = "dimensionless") -> Callable[[Any], Any]:
    def worked(value: Any) -> Any:
        return UREG.Quantity(function(UREG.Quantity(value).to("dimensionless").magnitude), unit)

    return worked


def _of_angle(function: Callable[[float], float]) -> Callable[[Any], Any]:
    def worked(value: Any) -> Any:
        return UREG.Quantity(function(UREG.Quantity(value).to("radian").magnitude), "dimensionless")

    return worked


WITH_UNITS = Arithmetic(
    {
        "sqrt": lambda q: UREG.Quantity(q) ** 0.5,
        "sin": _of_angle(math.sin), "cos": _of_angle(math.cos), "tan": _of_angle(math.tan),
        "asin": _of_plain(math.asin, "radian"), "acos": _of_plain(math.acos, "radian"),
        "atan": _of_plain(math.atan, "radian"), "least": _pick(min), "greatest": _pick(max),
        "round_up": _of_plain(lambda x: float(math.ceil(x - 1e-9))),
        "round_down": _of_plain(lambda x: float(math.floor(x + 1e-9))),
    }
)  # fmt: skip


def _in_working_units(formula: Formula, system: System) -> dict[str, tuple[float, str]]:
    """Figure and working unit of every name, from the inputs' examples."""
    found = {}
    for name, q in example(formula, system).items():
        i = formula.input_by_name[name]
        unit = i.work_unit(system)
        found[name] = (from_si(q.si, unit, i.kind), unit)
    for c in formula.constants:
        figure, unit = c.written(system)
        found[c.name] = (float(figure), unit)
    return found


def with_units(formula: Formula, system: System) -> Any:
    """The formula worked by pint with units on every figure."""
    names = {
        n: UREG.Quantity(figure, UREG.parse_units(UNITS[unit].pint)) for n, (figure, unit) in _in_working_units(formula, system).items()
    }
    return UREG.Quantity(evaluate(formula.tree, names, WITH_UNITS))


def test_there_are_formulas() -> None:
    assert len(formulas()) > 80


@pytest.mark.parametrize(("formula", "system"), CASES, ids=NAMES)
def test_sound_in_its_dimensions(formula: Formula, system: System) -> None:
    worked = with_units(formula, system)
    wanted = UREG.parse_units(KINDS[formula.result.kind].si)
    assert worked.is_compatible_with(wanted), f"{formula.id} gives {worked.dimensionality}"


@pytest.mark.parametrize(("formula", "system"), CASES, ids=NAMES)
def test_coherent_in_its_working_units(formula: Formula, system: System) -> None:
    plain = {n: figure for n, (figure, _) in _in_working_units(formula, system).items()}
    by_hand = evaluate(formula.tree, plain, DEGREES)
    unit = formula.result.work_unit(system)
    if formula.result.kind == "angle":
        assert unit == "deg"  # what sine and tangent are worked in
    proven = with_units(formula, system).to(UREG.parse_units(UNITS[unit].pint)).magnitude
    # the metric pull of gravity is exact, the US one the same to its definition
    assert by_hand == pytest.approx(proven, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(("formula", "system"), CASES, ids=NAMES)
def test_the_compiled_function_is_pints(formula: Formula, system: System) -> None:
    """Plain SI floats inside give what pint gives with the units on."""
    value = formula.value(example(formula, system))
    si = UREG.parse_units(KINDS[formula.result.kind].si)
    # a constant that each system writes in round figures is not quite the same in both
    apart = max((_apart(c) for c in formula.constants), default=0.0)
    assert value == pytest.approx(with_units(formula, system).to(si).magnitude, rel=1e-9 + apart, abs=1e-12)


def _apart(constant: Constant) -> float:
    us, metric = (to_si(float(figure), unit, constant.kind) for figure, unit in map(constant.written, SYSTEMS))
    return abs(us / metric - 1)


@pytest.mark.parametrize("formula", [f for f in formulas() if f.constants], ids=lambda f: f.id)
def test_constants_are_the_same_in_both_systems(formula: Formula) -> None:
    """To well under the third digit, which is what results are shown to."""
    for constant in formula.constants:
        assert _apart(constant) < 5e-5, constant.name


@pytest.mark.parametrize("formula", formulas(), ids=lambda f: f.id)
def test_units_of_inputs_and_results_fit_their_kinds(formula: Formula) -> None:
    for system in SYSTEMS:
        out = formula.result
        assert convertible(out.unit(system), out.kind)
        assert convertible(out.work_unit(system), out.kind)
        assert UNITS[out.unit(system)].system in {None, system}
        for i in formula.inputs:
            assert convertible(i.work_unit(system), i.kind)
            assert UNITS[i.work_unit(system)].system in {None, system}
            low, high = i.bounds
            assert low < high
    for system, given in (("us", example(formula, "us")), ("metric", example(formula, "metric"))):
        for q in given.values():
            assert UNITS[q.unit].system in {None, system}, f"{formula.id} shows {q} as {system}"


# --- a wrong formula must not pass for a sound one -----------------------------------------


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("blade_width * blade_height", "an area for a volume"),
        ("blade_width + blade_width * blade_height**2", "a length added to a volume"),
        ("sin(blade_width) * blade_height**3", "the sine of a length"),
        ("round_up(blade_width) * blade_height**3", "a length rounded to a whole number"),
    ],
)
def test_unsound_formulas_are_told(written: str, why: str) -> None:
    from dataclasses import replace

    import pint

    sound = next(f for f in formulas() if f.id == "dozing.blade_capacity")
    broken = replace(sound, written=written)
    try:
        worked = with_units(broken, "us")
    except pint.DimensionalityError:
        return
    assert not worked.is_compatible_with(UREG.parse_units("meter**3")), why


# --- conversions, by definition -------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "unit", "si", "exact"),
    [
        # international yard and pound agreement (1959)
        (1, "ft", "meter", "0.3048"), (1, "yd", "meter", "0.9144"), (1, "in", "meter", "0.0254"),
        (1, "mi", "meter", "1609.344"), (1, "lb", "kilogram", "0.45359237"),
        (1, "ton", "kilogram", "907.18474"), (1, "yd3", "meter**3", "0.764554857984"),
        # an acre is 43,560 square feet
        (1, "acre", "foot**2", "43560"), (1, "acre", "meter**2", "4046.8564224"),
        (1, "lbf", "newton", "4.4482216152605"), (88, "ft/min", "mile/hour", "1"),
        (1, "%", "dimensionless", "0.01"), (20, "lb/ton", "dimensionless", "0.01"),
        (10, "kg/t", "dimensionless", "0.01"), (50, "min/h", "dimensionless", "0.833333333333333"),
        (6, "rpm", "degree/second", "36"), (1, "lbf/lb", "meter/second**2", "9.80665"),
    ],
)  # fmt: skip
def test_units_are_their_definitions(value: float, unit: str, si: str, exact: str) -> None:
    assert value * factor(unit, si) == pytest.approx(float(exact), rel=1e-12)


@pytest.mark.parametrize("kind", list(KINDS))
def test_there_and_back(kind: str) -> None:
    units = {u for u in UNITS if convertible(u, kind)}
    assert units >= {u for s in SYSTEMS for u in (KINDS[kind].default(s), KINDS[kind].work(s))}
    for unit in units:
        for value in (0.37, 12.5, 88.0):
            assert from_si(to_si(value, unit, kind), unit, kind) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("unit", list(UNITS))
def test_each_unit_has_its_counterpart(unit: str) -> None:
    for system in SYSTEMS:
        other = counterpart(unit, system)
        assert UNITS[other].system in {None, system}
        # one kind of thing: an ounce of prevention against tons that turn into feet
        ours, theirs = (UREG.parse_units(UNITS[u].pint) for u in (unit, other))
        assert ours.is_compatible_with(theirs)
        assert UNITS[unit].state == UNITS[other].state


def test_bank_loose_and_compacted_are_kept_apart() -> None:
    for state, unit in (("loose", "lcy"), ("bank", "bcm"), ("compacted", "ccy")):
        for kind in ("loose", "bank", "compacted"):
            assert convertible(unit, f"{kind}_volume") is (kind == state)
    with pytest.raises(CalculationError, match="give the bank volume"):
        find_unit("loose yd3", "bank_volume")


@pytest.mark.parametrize(
    ("text", "kind", "digits", "unit"),
    [
        ("10ft", "length", "10", "ft"), ("10 feet", "length", "10", "ft"), ("1,250 lb", "mass", "1250", "lb"),
        ("25%", "grade", "25", "%"), ("4:1", "grade", "4", ":1"), ("4 : 1", "grade", "4", ":1"),
        ("14deg", "grade", "14", "deg"), ("14°", "angle", "14", "deg"), ("0.25", "fraction", "0.25", "1"),
        (".5 yd3", "volume", "0.5", "yd3"), ("−7.5 in", "length", "-7.5", "in"), ("2.5 MPH", "speed", "2.5", "mph"),
        ("50 min/h", "factor", "50", "min/h"), ("3 cy", "loose_volume", "3", "yd3"),
    ],
)  # fmt: skip
def test_quantities_as_people_type_them(text: str, kind: str, digits: str, unit: str) -> None:
    assert split_quantity(text, kind) == (digits, unit)


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("10", "length", "the unit is missing"), ("ten feet", "length", "not a quantity"),
        ("10 lb", "length", "not a unit of length"), ("10 furlongs", "length", "unknown unit"),
        ("1,5 ft", "length", "two ways"), ("1e400 ft", "length", "too large"), ("1e31 ft", "length", "too large"),
        ("1e-31 ft", "length", "too small"), ("1e21 ft", "length", "too large"),
        ("1e-400 ft", "length", "too small"), ("", "length", "not a quantity"),
        ("10%", "angle", "not a unit"), ("10 deg", "fraction", "not a unit"), ("5 lcy", "bank_volume", "loose"),
        ("nan ft", "length", "not a quantity"), ("inf ft", "length", "not a quantity"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_said_in_one_line(text: str, kind: str, said: str) -> None:
    with pytest.raises(CalculationError, match=said) as caught:
        split_quantity(text, kind)
    assert caught.value.fix
    assert "\n" not in str(caught.value)


def test_a_vertical_grade_is_no_number() -> None:
    with pytest.raises(CalculationError, match="vertical"):
        to_si(0, ":1", "grade")
    assert to_si(45, "deg", "grade") == pytest.approx(1)
    assert to_si(4, ":1", "grade") == 0.25


SHARES = [(c.id, i) for c in calculations().values() for i in c.inputs if isinstance(i, Input) and i.kind in {"fraction", "factor"}]


@pytest.mark.parametrize(("where", "given"), SHARES, ids=[f"{id_}-{i.name}" for id_, i in SHARES])
def test_a_share_may_be_typed_as_a_fraction_or_in_percent(where: str, given: Input) -> None:
    assert split_quantity("0.25", given.kind) == ("0.25", "1") and split_quantity("25%", given.kind) == ("25", "%")
    assert to_si(0.25, "1", given.kind) == to_si(25, "%", given.kind)
    # and a whole number is never taken for a percentage
    assert to_si(25, "1", given.kind) == 25
