"""The table of factors is pint's, whole, and in step with the units there are."""

from __future__ import annotations

import pytest

from generator.units.factors import FACTORS
from generator.units.table import KINDS, UNITS, registry

PAIRS = [(u, si) for u in UNITS for si in dict.fromkeys(k.si for k in KINDS.values())]
# printed in NIST Special Publication 811 (2008), appendix B.8, or exact by definition
PRINTED = {
    ("ft", "meter"): "3.048 E-01", ("in", "meter"): "2.54 E-02", ("yd", "meter"): "9.144 E-01",
    ("mi", "meter"): "1.609 344 E+03", ("lb", "kilogram"): "4.535 924 E-01", ("ton", "kilogram"): "9.071 847 E+02",
    ("lbf", "newton"): "4.448 222 E+00", ("psi", "pascal"): "6.894 757 E+03", ("ft2", "meter**2"): "9.290 304 E-02",
    ("yd3", "meter**3"): "7.645 549 E-01", ("ft3", "meter**3"): "2.831 685 E-02", ("mph", "meter/second"): "4.4704 E-01",
    ("lb/ft3", "kilogram/meter**3"): "1.601 846 E+01", ("lb/yd3", "kilogram/meter**3"): "5.932 764 E-01",
    ("ft/min", "meter/second"): "5.08 E-03", ("deg", "radian"): "1.745 329 E-02", ("L", "meter**3"): "1.0 E-03",
    ("hp", "watt"): "7.456 999 E+02", ("ft*lbf/min", "watt"): "2.259 697 E-02",
    ("gal", "meter**3"): "3.785 412 E-03", ("fl oz", "meter**3"): "2.957 353 E-05",
}  # fmt: skip


@pytest.mark.parametrize(("unit", "si"), PAIRS)
def test_pint_says_the_same(unit: str, si: str) -> None:
    ureg = registry()
    mine, its = FACTORS.get(unit, {}).get(si), ureg.parse_units(UNITS[unit].pint)
    if not its.is_compatible_with(ureg.parse_units(si)):
        assert mine is None
    else:
        assert mine == pytest.approx(float((1.0 * its).to(si).magnitude), rel=1e-14)


@pytest.mark.parametrize(("unit", "si"), PRINTED)
def test_as_printed(unit: str, si: str) -> None:
    """Figures of NIST SP 811 (2008), appendix B.8, from memory."""
    printed = PRINTED[unit, si].replace(" E", "E").replace(" ", "")
    digits = len(printed.partition("E")[0].replace(".", ""))
    assert float(format(FACTORS[unit][si], f".{digits - 1}e")) == float(printed)
