"""Second opinions on the soil calculations: definitions solved exactly, piles built as solids."""

from __future__ import annotations

import math

import sympy
import trimesh

from tests.outside.kinds import LibraryCheck, pint_units


def checks() -> list[LibraryCheck]:
    """All second opinions on the soil calculations."""
    return [*_states(), *_weights(), *_piles(), *_loads(), *_trucks()]


def _loads() -> list[LibraryCheck]:
    found = []
    for heap, load in ((1250, 14), (840, 12), (7, 9), (101, 20)):
        left, loads = heap, 0
        while left > 0:
            left, loads = left - load, loads + 1
        found.append(
            LibraryCheck(
                "soil.loads",
                {"loose_volume": f"{heap} m3", "truck_load": f"{load} m3"},
                float(loads),
                "1",
                1e-9,
                "plain counting",
                "taking load by load off the heap",
            )
        )
    for hours, worked, minutes in ((10, 50, 18), (8, 45, 40), (9, 55, 33), (12, 60, 7)):
        clock, rounds = 0, 0
        while clock + minutes <= hours * worked:
            clock, rounds = clock + minutes, rounds + 1
        found.append(
            LibraryCheck(
                "soil.loads_in_shift",
                {"truck_cycle": f"{minutes} min", "shift_hours": f"{hours} h", "efficiency": f"{worked} min/h"},
                float(rounds),
                "1",
                1e-9,
                "plain counting",
                "round after round while the worked minutes last",
            )
        )
    return found  # fmt: skip


def _trucks() -> list[LibraryCheck]:
    """Trucks filled little by little until the body is full or the weight is reached, one after the other."""
    found = []
    # bank m3, swell %, bank kg/m3, body m3, payload kg
    for bank, swell, weight, body, payload in (
        (450, 25, 1840, 19, 27000),
        (98, 40, 1500, 12, 30000),
        (700, 12, 1900, 21, 33000),
        (60, 0, 2000, 9, 40000),
    ):
        grown = sympy.Rational(bank * (100 + swell), 100)
        kilograms = sympy.Rational(weight * bank) / grown
        by_weight = sympy.Rational(payload) / kilograms
        load = body if body < by_weight else by_weight

        def counted(ground: sympy.Expr, one: sympy.Expr = load) -> int:
            trucks = 0
            while ground > 0:
                ground, trucks = ground - one, trucks + 1
            return trucks

        loads, few = counted(grown), counted(sympy.Rational(bank))
        left = grown
        for _ in range(few):
            left = left - load if left > load else sympy.Integer(0)
        given = {"bank_volume": f"{bank} m3", "swell": f"{swell}%", "bank_density": f"{weight} kg/m3", "body_volume": f"{body} m3",
                 "payload": f"{payload} kg"}  # fmt: skip
        what = "truck after truck, in exact fractions"
        found.append(
            LibraryCheck("soil.truck_load", {"body_volume": f"{body} m3", "payload": f"{payload} kg", "loose_density": f"{float(kilograms)!r} kg/m3"},
                         float(load), "m3", 1e-9, "sympy", what)
        )  # fmt: skip
        for value, unit, name in (
            (loads, "1", "loads"), (load, "m3", "truck_load"), (grown, "m3", "loose"), (few, "1", "loads_by_bank"),
            (loads - few, "1", "missing"), (left, "m3", "left"),
        ):  # fmt: skip
            found.append(LibraryCheck("soil.load_count", given, float(value), unit, 1e-9, "sympy", what, name))
    return found


def _solved(definition: sympy.Expr, unknown: sympy.Symbol, known: dict[sympy.Symbol, str]) -> float:
    """The one value of ``unknown`` that makes ``definition`` nothing, in exact fractions."""
    values = {symbol: sympy.Rational(text) for symbol, text in known.items()}
    (found,) = sympy.solve(definition.subs(values), unknown)
    return float(found)


def _states() -> list[LibraryCheck]:
    bank, loose, compacted, swell, shrink, density, loose_density = sympy.symbols("B L C s c d e")
    # each share as its definition has it: what changed, over what it is a share of
    swelling = (loose - bank) / bank - swell
    of_bank = (bank - compacted) / bank - shrink
    of_compacted = (bank - compacted) / compacted - shrink
    same_weight = bank * density - loose * loose_density
    found = []
    for volume, share in (("340", "0.12"), ("75.5", "0.35"), ("12000", "0.67"), ("8", "1.1")):
        found.append(
            LibraryCheck(
                "soil.loose",
                {"bank_volume": f"{volume} m3", "swell": share},
                _solved(swelling, loose, {bank: volume, swell: share}),
                "m3",
                1e-12,
                "sympy",
                "definition of swell, solved for the loose volume",
            )
        )
        found.append(
            LibraryCheck(
                "soil.bank",
                {"loose_volume": f"{volume} yd3", "swell": share},
                _solved(swelling, bank, {loose: volume, swell: share}),
                "yd3",
                1e-12,
                "sympy",
                "definition of swell, solved for the bank volume",
            )
        )
        found.append(
            LibraryCheck(
                "soil.load_factor",
                {"swell": share},
                _solved(swelling, bank, {loose: "1", swell: share}),
                "1",
                1e-12,
                "sympy",
                "definition of swell, solved for the bank volume of one loose",
            )
        )
    for volume, share in (("640", "0.08"), ("31", "0.22"), ("9100", "-0.3"), ("250", "0.4")):
        for definition, choice, part, what in (
            (of_bank, "share of bank", "soil.compacted_by_share", "the bank volume"),
            (of_compacted, "share of compacted", "soil.compacted_by_factor", "the compacted volume"),
        ):
            value = _solved(definition, compacted, {bank: volume, shrink: share})
            inputs = {"bank_volume": f"{volume} yd3", "shrinkage": share}
            words = f"shrinkage as a share of {what}, solved"
            found.append(LibraryCheck(part, inputs, value, "yd3", 1e-12, "sympy", words))
            found.append(LibraryCheck("soil.compacted", {**inputs, "definition": choice}, value, "yd3", 1e-12, "sympy", words))
        for definition, choice, part, what in (
            (of_bank, "share of bank", "soil.bank_for_fill_by_share", "the bank volume"),
            (of_compacted, "share of compacted", "soil.bank_for_fill_by_factor", "the compacted volume"),
        ):
            value = _solved(definition, bank, {compacted: volume, shrink: share})
            inputs = {"compacted_volume": f"{volume} m3", "shrinkage": share}
            words = f"shrinkage as a share of {what}, solved for the bank volume"
            found.append(LibraryCheck(part, inputs, value, "m3", 1e-12, "sympy", words))
            found.append(LibraryCheck("soil.bank_for_fill", {**inputs, "definition": choice}, value, "m3", 1e-12, "sympy", words))
            hauled = _solved(swelling, loose, {bank: repr(value), swell: "0.3"})
            found.append(
                LibraryCheck(
                    "soil.loose_for_fill",
                    {**inputs, "swell": "0.3", "definition": choice},
                    hauled,
                    "m3",
                    1e-9,
                    "sympy",
                    "both definitions solved, one after the other",
                )
            )
        weights = {
            "bank_density": "1800 kg/m3",
            "compacted_density": f"{1800 * float(volume) / _solved(of_bank, compacted, {bank: volume, shrink: share})!r} kg/m3",
        }
        found.append(
            LibraryCheck(
                "soil.shrinkage_from_weights",
                weights,
                float(sympy.Rational(share)),
                "1",
                1e-9,
                "sympy",
                "the shrinkage a weight as fill was made with, found again",
            )
        )
        # the other definition, beside the one asked for
        found.append(
            LibraryCheck(
                "soil.compacted",
                {"bank_volume": f"{volume} m3", "shrinkage": share},
                _solved(of_compacted, compacted, {bank: volume, shrink: share}),
                "m3",
                1e-12,
                "sympy",
                "the other definition of shrinkage, solved",
                "other_definition",
            )
        )
    for weight, share in (("2950", "0.18"), ("1600", "0.55"), ("4600", "0.8")):
        one = _solved(swelling, loose, {bank: "1", swell: share})
        found.append(
            LibraryCheck(
                "soil.swell_from_weights",
                {
                    "bank_density": f"{weight} lb/yd3",
                    "loose_density": f"{float(sympy.Rational(weight) / (1 + sympy.Rational(share)))!r} lb/yd3",
                },
                float(sympy.Rational(share)),
                "1",
                1e-9,
                "sympy",
                "the swell a loose weight was made with, found again",
            )
        )
        found.append(
            LibraryCheck(
                "soil.loose_density",
                {"bank_density": f"{weight} lb/yd3", "swell": share},
                float(
                    sympy.solve(
                        (same_weight).subs({bank: 1, density: sympy.Rational(weight), loose: sympy.Rational(repr(one))}), loose_density
                    )[0]
                ),
                "lb/yd3",
                1e-12,
                "sympy",
                "one bank volume weighs the same after digging, solved",
            )
        )
    return found  # fmt: skip


def _weights() -> list[LibraryCheck]:
    ureg = pint_units()
    found = []
    for volume, v_unit, density, d_unit, unit, as_typed in (
        (27.0, "yard**3", 2650.0, "pound/yard**3", "short_ton", ("yd3", "lb/yd3", "ton")),
        (340.0, "foot**3", 104.0, "pound/foot**3", "pound", ("ft3", "lb/ft3", "lb")),
        (6.2, "meter**3", 1.74, "tonne/meter**3", "kilogram", ("m3", "t/m3", "kg")),
    ):
        weight = ureg.Quantity(volume, v_unit) * ureg.Quantity(density, d_unit)
        found.append(
            LibraryCheck(
                "soil.mass",
                {"volume": f"{volume} {as_typed[0]}", "density": f"{density} {as_typed[1]}"},
                float(weight.to(unit).magnitude),
                as_typed[2],
                1e-9,
                "pint",
                "product of the two with their units",
            )
        )
    return found  # fmt: skip


def _piles() -> list[LibraryCheck]:
    found = []
    for height, degrees in ((4.0, 28.0), (11.5, 37.0), (7.0, 45.0), (20.0, 18.0)):
        reach = height / math.tan(math.radians(degrees))
        cone = trimesh.creation.cone(radius=reach, height=height, sections=4000)
        found.append(
            LibraryCheck(
                "soil.cone_volume",
                {"height": f"{height} m", "repose": f"{degrees} deg"},
                float(cone.volume),
                "m3",
                1e-5,
                "trimesh",
                "volume of a cone of four thousand flat sides",
            )
        )
    for height, length, degrees in ((9.0, 30.0, 37.0), (5.0, 120.0, 25.0), (14.0, 8.0, 55.0)):
        half = height / math.tan(math.radians(degrees))
        corners = [(x, y, z) for x in (0.0, length) for y, z in ((-half, 0.0), (half, 0.0), (0.0, height))]
        hull = trimesh.convex.convex_hull(trimesh.PointCloud(corners).vertices)
        found.append(
            LibraryCheck(
                "soil.ridge_volume",
                {"height": f"{height} ft", "length": f"{length} ft", "repose": f"{degrees} deg"},
                float(hull.volume),
                "ft3",
                1e-9,
                "trimesh",
                "volume of the hull around the corners of the ridge",
            )
        )
    return found  # fmt: skip
