"""Second opinions on the wear calculations by general-purpose libraries."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
from scipy.optimize import brentq
from shapely import affinity
from shapely.geometry import LineString

from tests.outside.kinds import LibraryCheck, pint_units

UREG: Any = pint_units()
EXACT = 1e-9


def _worn() -> list[LibraryCheck]:
    checks = []
    # new, limit, measured: parts that shrink, and one that grows
    for new, limit, now in ((80.0, 30.0, 60.0), (30.0, 10.0, 12.0), (200.0, 206.0, 204.5), (65.0, 52.0, 65.0)):
        # np.interp wants its points in growing order
        ends = sorted([(new, 0.0), (limit, 1.0)])
        share = float(np.interp(now, [e[0] for e in ends], [e[1] for e in ends]))
        checks.append(
            LibraryCheck(
                "wear.percent_worn",
                {"new": f"{new} mm", "limit": f"{limit} mm", "measured": f"{now} mm"}, share, "1",
                EXACT, "numpy", "reading a straight line between new and worn out",
            )
        )  # fmt: skip
    for percent, hours in ((40, 1200), (75, 3000), (12.5, 500), (100, 2400)):
        # the straight line through (0, 0) and (hours, percent) meets 100 % at the end of life
        slope = float(np.polyfit([0.0, hours], [0.0, percent], 1)[0])
        end = float(brentq(lambda t, k=slope: k * t - 100, 0.0, 1e6, xtol=1e-10, rtol=1e-14))
        checks.append(
            LibraryCheck(
                "wear.hours_left", {"percent_worn": f"{percent}%", "hours": f"{hours} h"},
                end - hours, "h", 1e-7, "scipy", "where the straight line of wear meets the limit",
            )
        )  # fmt: skip
    return checks


def _travel() -> list[LibraryCheck]:
    checks = []
    for back, cycle, shift, minutes in (("150 foot", "1.5 minute", 8, 50), ("40 m", "75 s", 10, 45),
                                        ("260 foot", "2.2 minute", 12, 55)):  # fmt: skip
        passes = UREG.Quantity(shift * minutes, "minute") / UREG.Quantity(cycle)
        driven = (passes * UREG.Quantity(back)).to("km").magnitude
        checks.append(
            LibraryCheck(
                "wear.reverse_distance",
                {"return_distance": back.replace("foot", "ft"),
                 "cycle_time": cycle.replace("minute", "min"), "shift_time": f"{shift} h",
                 "efficiency": f"{minutes} min/h"},
                float(driven), "km", EXACT, "pint", "working minutes over the cycle, times distance",
            )
        )  # fmt: skip
    for back, passes in (("150 foot", 40), ("45 m", 63), ("90 foot", 20)):
        total = sum(UREG.Quantity(back) for _ in range(passes)).to("m").magnitude
        checks.append(
            LibraryCheck(
                "wear.reverse_total",
                {"return_distance": back.replace("foot", "ft"), "passes": str(passes)},
                float(total), "m", EXACT, "pint", "the distances added one by one",
            )
        )  # fmt: skip
    for left, right in ((30, 10), (7, 21), (0, 5), (12, 12)):
        checks.append(
            LibraryCheck(
                "wear.side_share",
                {"hours_left_low": f"{left} h", "hours_right_low": f"{right} h"},
                float(Fraction(left, left + right)), "1", EXACT, "fractions", "exact fractions",
            )
        )  # fmt: skip
    return checks


def _levers() -> list[LibraryCheck]:
    checks = []
    for high, gauge in ((25.0, 2000.0), (60.0, 1500.0), (150.0, 700.0)):
        # the machine stands on the two tips; turn it until both touch level ground
        tips = LineString([(0, 0), (gauge, -high)])

        def tilt(degrees: float, line: LineString = tips) -> float:
            turned = affinity.rotate(line, degrees, origin=(0, 0))
            return float(turned.coords[1][1] - turned.coords[0][1])

        angle = float(brentq(tilt, 0, 45, xtol=1e-13, rtol=1e-14))
        checks.append(
            LibraryCheck(
                "wear.grouser_slope_error",
                {"height_difference": f"{high} mm", "track_gauge": f"{gauge} mm"},
                math.tan(math.radians(angle)), "1", 1e-8, "shapely, scipy",
                "the tilt at which the grousers of both tracks touch level ground",
            )
        )  # fmt: skip
    for force, reach in ((20.0, 6.0), (3.5, 2.2), (90.0, 11.0)):
        moment = float(np.cross([reach, 0.0, 0.0], [0.0, force, 0.0])[2])
        checks.append(
            LibraryCheck(
                "wear.side_moment", {"force": f"{force} kN", "reach": f"{reach} m"}, moment, "kN*m",
                EXACT, "numpy", "the cross product of arm and force",
            )
        )  # fmt: skip
    return checks


def checks() -> list[LibraryCheck]:
    """All second opinions on wear."""
    return [*_worn(), *_travel(), *_levers()]
