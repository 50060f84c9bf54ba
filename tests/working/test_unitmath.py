"""Units of what stands between: they multiply and cancel, and their labels are read back."""

from __future__ import annotations

from decimal import Decimal
from functools import reduce
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.expression import Add, Call, Div, Figure, Mul, Node, Num, Pow
from generator.units.table import UNITS, registry
from generator.working.unitmath import Powers, combined, label, powers, units_of

UREG = registry()
# a percentage or a ratio is a plain number to multiply with
MEASURES = [k for k in UNITS if k not in {"%", ":1", "1"}]


def in_pint(unit: Powers) -> Any:
    """One of a unit, as pint has it."""
    return reduce(lambda total, b: total * UREG.Quantity(1, UREG.parse_units(UNITS[b[0]].pint)) ** b[1], unit, UREG.Quantity(1.0))


def one(unit: str, value: str = "2") -> Figure:
    return Figure(Decimal(value), unit)


@pytest.mark.parametrize("key", MEASURES)
def test_a_unit_taken_apart_is_still_that_unit(key: str) -> None:
    ratio = in_pint(powers(key)) / UREG.Quantity(1, UREG.parse_units(UNITS[key].pint))
    assert ratio.to("dimensionless").magnitude == pytest.approx(1, rel=1e-12)


@pytest.mark.parametrize("key", list(UNITS))
def test_every_label_is_read_back(key: str) -> None:
    assert dict(powers(UNITS[key].label)) == dict(powers(key))
    assert dict(powers(label(powers(key)))) == dict(powers(key))


@pytest.mark.parametrize("key", ["%", ":1", "1", ""])
def test_plain_numbers_have_no_unit(key: str) -> None:
    assert powers(key) == ()
    assert label(powers(key)) == ""


@pytest.mark.parametrize(
    ("node", "printed"),
    [
        (Mul((one("ft"), Pow(one("ft"), Num(Decimal(2))))), "ft³"),
        (Div(one("lcy"), one("min")), "yd³/min"),
        (Div(one("lcm"), one("min")), "m³/min"),
        (Mul((one("lb"), one("lbf/lb"))), "lbf"),
        (Mul((one("t"), one("kN/t"))), "kN"),
        (Div(one("kPa"), one("kN/m3")), "m"),
        (Div(one("kPa"), Mul((one("kN/m3"), one("m")))), ""),
        (Div(one("lbf/ft2"), Mul((one("lbf/ft3"), one("ft")))), ""),
        (Div(one("lbf/ft2"), Mul((one("lbf/ft³"), one("ft")))), ""),
        (Mul((one("kN/m3"), one("m"))), "kPa"),
        (Div(one("kN"), one("m2")), "kPa"),
        (Div(one("lbf"), Pow(one("in"), Num(Decimal(2)))), "psi"),
        (Div(one("mi"), one("h")), "mph"),
        (Mul((one("lbf"), one("ft"))), "lbf·ft"),
        (Div(one("ft*lbf/min"), one("ft/min")), "lbf"),
        (Div(one("kN*m/min"), one("m/min")), "kN"),
        (Div(one("deg"), one("deg/s")), "s"),
        (Mul((one("m/min"), one("min"))), "m"),
        (Call("sqrt", (Mul((one("m"), one("m"))),)), "m"),
        (Call("sqrt", (one("ft"),)), "ft^0.5"),
        (Pow(Mul((one("m"), one("m"))), Div(Num(Decimal(1)), Num(Decimal(2)))), "m"),
        (Pow(one("m"), Div(Num(Decimal(3)), Num(Decimal(2)))), "m^1.5"),
        (Div(Num(Decimal(1)), one("min")), "1/min"),
        (Call("atan", (one("1"),)), "°"),
        (Call("tan", (one("deg"),)), ""),
        (Call("least", (one("t"), one("t"))), "t"),
        (Add((Num(Decimal(0)), one("ft")), (1, 1)), "ft"),
        (Mul((one("acre"), one("ft"))), "acres·ft"),
        (Div(one("ton"), one("h")), "tons/h"),
        (Div(one("lb"), one("ton")), "lb/ton"),
        (Mul((one("%"), one("m"))), "m"),
    ],
)  # fmt: skip
def test_what_the_units_of_a_step_come_to(node: Node, printed: str) -> None:
    assert label(units_of(node)) == printed
    assert dict(powers(printed)) == dict(units_of(node))


units = st.sampled_from(MEASURES)


@given(units, units, units)
def test_products_and_quotients_are_pints(a: str, b: str, c: str) -> None:
    made = combined(combined(powers(a), powers(b)), powers(c), -1)
    by_pint = in_pint(powers(a)) * in_pint(powers(b)) / in_pint(powers(c))
    assert (in_pint(made) / by_pint).to("dimensionless").magnitude == pytest.approx(1, rel=1e-9)
    assert all(power for _, power in made)


@given(units, units, units)
def test_the_label_of_any_step_can_be_carried_on(a: str, b: str, c: str) -> None:
    made = combined(combined(powers(a), powers(b)), powers(c), -1)
    assert dict(powers(label(made))) == dict(made)


@given(units, units)
def test_what_is_multiplied_and_divided_is_left(a: str, b: str) -> None:
    assert dict(combined(combined(powers(a), powers(b)), powers(b), -1)) == dict(powers(a))
    assert combined(powers(a), powers(a), -1) == ()


def test_a_label_in_the_plural_is_the_unit_whatever_its_power() -> None:
    assert dict(powers("acres²")) == dict(powers("acre2")) == {"acre": 2} and dict(powers("tons·ft²/min")) == {"ton": 1, "ft": 2, "min": -1}


@pytest.mark.parametrize("text", ["ft2in", "3ft", "ft**2", "m^", "a b"])
def test_what_is_no_unit_is_an_error(text: str) -> None:
    with pytest.raises(ValueError, match="cannot read the unit"):
        powers(text)
