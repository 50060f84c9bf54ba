"""Second opinions on the calculations of moving a machine."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from scipy.optimize import LinearConstraint, brentq, milp
from shapely import LineString, Point

from tests.outside.kinds import LibraryCheck, pint_units

UREG: Any = pint_units()
EXACT = 1e-9


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of moving a machine."""
    return [*_weights(), *_tie_downs(), *_heights(), *_ramps()]


def _weights() -> list[LibraryCheck]:
    found = []
    for truck, trailer, machine in (
        ("20000 lb", "25000 lb", "45000 lb"),
        ("9 t", "24000 lb", "110000 lb"),
        ("14000 lb", "1.5 t", "3900 lb"),
    ):
        total = sum(
            (UREG.Quantity(t.replace(" lb", " pound").replace(" t", " metric_ton")) for t in (truck, trailer, machine)), 0 * UREG.kg
        )
        found.append(
            LibraryCheck("moving.gross", {"truck": truck, "trailer": trailer, "machine": machine}, float(total.to("kg").magnitude), "kg",
                         EXACT, "pint", "the three weights, each in its own unit")
        )  # fmt: skip
    for empty, weight, place, base in ((15000.0, 45000.0, 20.0, 30.0), (9000.0, 110000.0, 25.5, 38.0), (2100.0, 3900.0, 9.0, 12.5)):
        # forces and turning about the hitch: two equations for what the hitch and the axles carry
        hitch_and_axles = np.linalg.solve(np.array([[1.0, 1.0], [0.0, base]]), np.array([weight, weight * place]))
        found.append(
            LibraryCheck(
                "moving.axle_load",
                {"axles_empty": f"{empty} lb", "machine": f"{weight} lb", "machine_place": f"{place} ft", "wheel_base": f"{base} ft"},
                empty + float(hitch_and_axles[1]), "lb", EXACT, "numpy", "forces and turning about the hitch, solved together",
            )
        )  # fmt: skip
        found.append(
            LibraryCheck(
                "moving.axles_kept",
                {"axles_empty": f"{empty} lb", "machine": f"{weight} lb", "machine_place": f"{place} ft", "wheel_base": f"{base} ft",
                 "axles_allowed": "90000 lb"},
                empty + float(hitch_and_axles[1]), "lb", EXACT, "numpy", "forces and turning about the hitch, solved together",
            )
        )  # fmt: skip
    return found


def _tie_downs() -> list[LibraryCheck]:
    found = []
    for mass, working in ((50000.0, 6600.0), (110000.0, 11300.0), (12000.0, 6600.0), (86000.0, 15000.0)):
        half = UREG.Quantity(mass, "pound") / 2
        found.append(
            LibraryCheck(
                "moving.tie_down_total", {"mass": f"{mass} lb"}, float(half.to("lb").magnitude), "lb", EXACT, "pint", "half the weight"
            )
        )
        # the fewest whole tie-downs, four at least, that count for half the weight
        least = milp(c=[1.0], integrality=[1], bounds=(4, 200), constraints=LinearConstraint([[working / 2]], lb=mass / 2))
        found.append(
            LibraryCheck("moving.tie_downs", {"mass": f"{mass} lb", "working_load": f"{working} lb"}, float(least.x[0]), "1", EXACT, "scipy",
                         "the fewest whole ones that count for half the weight, by integer programming")
        )  # fmt: skip
    return found


def _heights() -> list[LibraryCheck]:
    found = []
    for deck, machine, way in ((3.0, 10.25, 15.5), (2.0, 12.0, 13.5), (4.5, 7.75, 14.0)):
        top = Point(0, deck + machine)
        found.append(
            LibraryCheck("moving.loaded_height", {"deck_height": f"{deck} ft", "travel_height": f"{machine} ft"},
                         float(top.distance(LineString([(-1, 0), (1, 0)]))), "ft", EXACT, "shapely", "from the top down to the road")
        )  # fmt: skip
        room = float(top.distance(LineString([(-1, way), (1, way)]))) * math.copysign(1, way - deck - machine)
        found.append(
            LibraryCheck("moving.headroom", {"route_height": f"{way} ft", "loaded_height": f"{deck + machine} ft"}, room, "ft", EXACT,
                         "shapely", "from the top up to the bridge")
        )  # fmt: skip
    return found


def _ramps() -> list[LibraryCheck]:
    found = []
    for deck, ramp in ((3.0, 10.0), (2.0, 8.5), (4.0, 9.0)):
        # where a circle about the deck's edge, as wide as the ramp is long, meets the road
        ring = Point(0, deck).buffer(ramp, quad_segs=16384).exterior
        foot = max(p.x for p in ring.intersection(LineString([(-99, 0), (99, 0)])).geoms)
        found.append(
            LibraryCheck("moving.ramp_grade", {"deck_height": f"{deck} ft", "ramp_length": f"{ramp} ft"}, deck / foot, "1", 1e-6, "shapely",
                         "where a ramp let down from the deck meets the road")
        )  # fmt: skip
        grade = deck / foot
        long = float(brentq(lambda x, d=deck, g=grade: math.tan(math.asin(d / x)) - g, deck * 1.001, 500.0, xtol=1e-12))
        found.append(
            LibraryCheck("moving.ramp_least", {"deck_height": f"{deck} ft", "grade_limit": f"{100 * grade:.12f}%"}, long, "ft", 1e-6, "scipy",
                         "the length at which the ramp lies at that grade")
        )  # fmt: skip
        found.append(
            LibraryCheck("moving.ramp", {"deck_height": f"{deck} ft", "ramp_length": f"{ramp} ft", "grade_limit": "60%"}, deck / foot, "1",
                         1e-6, "shapely", "where a ramp let down from the deck meets the road")
        )  # fmt: skip
    return found
