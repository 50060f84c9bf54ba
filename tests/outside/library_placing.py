"""Second opinions on the calculations of placing and compacting."""

from __future__ import annotations

from fractions import Fraction

import sympy
from shapely import box, unary_union

from tests.outside.kinds import LibraryCheck, pint_units


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of placing and compacting."""
    return [*_roller(), *_lanes(), *_thickness(), *_loads(), *_pushes()]


def _roller() -> list[LibraryCheck]:
    ureg = pint_units()
    found = []
    for width, lap, mph, inches, worked, passes in ((8.0, 0.0, 3.0, 6.0, 50, 4), (6.5, 1.0, 1.75, 9.0, 45, 7), (4.0, 0.5, 2.2, 4.0, 60, 3)):
        anew = ureg.Quantity(width - lap, "foot") * ureg.Quantity(mph, "mile/hour") * ureg.Quantity(inches, "inch")
        expected = (anew * worked / 60 / passes).to("yard**3/hour").magnitude
        inputs = {"roller_width": f"{width} ft", "overlap": f"{lap} ft", "speed": f"{mph} mph", "layer": f"{inches} in",
                  "efficiency": f"{worked} min/h", "passes": str(passes)}  # fmt: skip
        found.append(
            LibraryCheck("placing.roller_output", inputs, float(expected), "yd3/h", 1e-9, "pint", "width, speed and layer as quantities")
        )
    return found


def _lanes() -> list[LibraryCheck]:
    found = []
    for wide, drum, lap in ((24.0, 7.0, 1.0), (31.0, 5.5, 0.5), (9.0, 4.0, 1.5), (6.0, 7.0, 0.5)):
        strip, lanes, rolled = box(0, 0, wide, 1), 0, unary_union([])
        while strip.difference(rolled).area > 1e-9:
            start = lanes * (drum - lap)
            rolled, lanes = unary_union([rolled, box(start, 0, start + drum, 1)]), lanes + 1
        inputs = {"fill_width": f"{wide} ft", "roller_width": f"{drum} ft", "overlap": f"{lap} ft"}
        found.append(LibraryCheck("placing.lanes", inputs, lanes, "1", 0.0, "shapely", "lane beside lane till the strip is covered"))
    return found


def _thickness() -> list[LibraryCheck]:
    bank, packed, loose = sympy.symbols("bank packed loose", positive=True)
    found = []
    for inches, swell, shrinkage in ((6, "1/4", "1/10"), (9, "3/10", "1/5"), (12, "1/2", "-3/10")):
        s, c = sympy.Rational(swell), sympy.Rational(shrinkage)
        # one bank layer swells to the loose one and shrinks to the packed one
        solved = sympy.solve([loose - bank * (1 + s), packed - bank * (1 - c), packed - inches], [bank, packed, loose], dict=True)[0]
        inputs = {"layer": f"{inches} in", "swell": f"{float(s):.6f}", "shrinkage": f"{float(c):.6f}"}
        found.append(
            LibraryCheck(
                "placing.loose_layer", inputs, float(solved[loose]), "in", 1e-9, "sympy", "one bank layer, swelled and shrunk, solved"
            )
        )
    return found


def _loads() -> list[LibraryCheck]:
    found = []
    for long, wide, inches, swell, shrinkage, load in (
        (150, 24, 6, "1/4", "1/10", 24),
        (90, 31, 9, "3/10", "1/5", 12),
        (401, 18, 8, "12/100", "12/100", 9),
    ):
        cubic_yards = Fraction(long * wide * inches, 12 * 27)
        loose = cubic_yards / (1 - Fraction(shrinkage)) * (1 + Fraction(swell))
        loads = 0
        while loose > 0:
            loose, loads = loose - load, loads + 1
        inputs = {"area": f"{long * wide} ft2", "layer": f"{inches} in", "swell": f"{float(Fraction(swell)):.6f}",
                  "shrinkage": f"{float(Fraction(shrinkage)):.6f}", "truck_load": f"{load} yd3"}  # fmt: skip
        found.append(
            LibraryCheck("placing.loads_for_layer", inputs, loads, "1", 0.0, "plain counting", "truck after truck, in exact fractions")
        )
    return found


def _pushes() -> list[LibraryCheck]:
    x, s = sympy.symbols("x s", positive=True)
    mean = sympy.integrate(x, (x, 0, s)) / s  # each bit is pushed as far as it ends up
    return [
        LibraryCheck(
            "placing.mean_push",
            {"stretch": f"{feet} ft"},
            float(mean.subs(s, feet)),
            "ft",
            1e-12,
            "sympy",
            "mean over all the ground, integrated",
        )
        for feet in (30.0, 151.0)
    ]
