"""Second opinions on the calculations of haul roads and tips: pint, scipy, shapely and fractions."""

from __future__ import annotations

from fractions import Fraction

from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from shapely import LineString, box
from shapely.affinity import rotate

from tests.outside.kinds import LibraryCheck, pint_units

G = 9.80665
MPH, FOOT = 0.44704, 0.3048


def braked(speed: float, share: float) -> float:
    """How far (m) a body goes until it stands, its motion followed step by step; m/s and a share of its weight."""

    def stands(_t: float, y: list[float]) -> float:
        return y[1]

    stands.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(lambda _t, y: [y[1], -share * G], (0, 1e4), [0.0, speed], events=stands, rtol=1e-10, atol=1e-10)
    return float(found.y_events[0][0][0])


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of haul roads and tips."""
    ureg = pint_units()
    found = [
        LibraryCheck(
            "hauling.loaded_mass",
            {"empty_mass": "18.5 ton", "payload": "20 ton"},
            float((ureg.Quantity(18.5, "short_ton") + ureg.Quantity(20, "short_ton")).to("pound").magnitude),
            "lb", 1e-12, "pint", "a sum of weights, as quantities",
        )
    ]  # fmt: skip
    for v, t in ((17.0, 3.2), (28.0, 4.5)):
        rolled = ureg.Quantity(v, "mile/hour") * ureg.Quantity(t, "second")
        found.append(
            LibraryCheck("hauling.reaction_distance", {"speed": f"{v} mph", "reaction_time": f"{t} s"}, float(rolled.to("foot").magnitude),
                         "ft", 1e-9, "pint", "speed times time, as quantities")
        )  # fmt: skip
        found.append(
            LibraryCheck("hauling.following_time", {"following_distance": "200 ft", "speed": f"{v} mph"},
                         float((ureg.Quantity(200, "foot") / ureg.Quantity(v, "mile/hour")).to("second").magnitude), "s", 1e-9, "pint",
                         "distance over speed, as quantities")
        )  # fmt: skip
    for v, f, g in ((20.0, 0.3, 0.0), (25.0, 0.22, 0.07), (12.0, 0.35, 0.11)):
        for way, share in (("level", f), ("uphill", f + g), ("downhill", f - g)):
            grade = {} if way == "level" else {"grade": f"{100 * g:g}%"}
            stop = braked(v * MPH, share)
            given = {"speed": f"{v} mph", "friction": f"{f}", "direction": way, **grade}
            found.append(LibraryCheck("hauling.braking_distance", given, stop, "m", 1e-6, "scipy", "its motion followed step by step"))
            whole = {**given, "reaction_time": "3.5 s"}
            found.append(
                LibraryCheck(
                    "hauling.stopping_distance", whole, stop + v * MPH * 3.5, "m", 1e-6, "scipy", "its motion followed step by step"
                )
            )
        found.append(
            LibraryCheck("hauling.downhill_stop", {"speed": f"{v} mph", "reaction_time": "3.5 s", "friction": f"{f}", "grade": f"{100 * g:g}%"},
                         braked(v * MPH, f - g) + v * MPH * 3.5, "m", 1e-6, "scipy", "its motion followed step by step")
        )  # fmt: skip
        found.append(
            LibraryCheck("hauling.slowing_distance", {"speed": f"{v} mph", "slowing": f"{f}"}, braked(v * MPH, f), "m", 1e-6, "scipy",
                         "its motion followed step by step")
        )  # fmt: skip
    for sight, t, f, g in ((45.0, 4.0, 0.3, 0.08), (70.0, 3.0, 0.25, 0.0), (30.0, 3.5, 0.2, 0.1)):
        share = f - g
        speed = brentq(lambda v, t=t, share=share, sight=sight: v * t + braked(v, share) - sight, 0.1, 60, xtol=1e-9)
        found.append(
            LibraryCheck("hauling.speed_for_sight", {"sight_distance": f"{sight} m", "reaction_time": f"{t} s", "friction": f"{f}", "grade": f"{100 * g:g}%"},
                         speed, "m/s", 1e-6, "scipy", "the speed searched for whose stop takes just that distance")
        )  # fmt: skip
        found.append(
            LibraryCheck("hauling.sight_speed", {"sight_distance": f"{sight} m", "reaction_time": f"{t} s", "slowing": f"{share:g}"},
                         speed, "m/s", 1e-6, "scipy", "the speed searched for whose stop takes just that distance")
        )  # fmt: skip
    for v, g, r, d in ((15.0, 0.08, 60.0, 300.0), (10.0, 0.1, 40.0, 500.0)):
        pull = (g - r / 2000) * G

        def there(_t: float, y: list[float], d: float = d) -> float:
            return y[0] - d * FOOT

        there.terminal = True  # type: ignore[attr-defined]
        run = solve_ivp(lambda _t, y, pull=pull: [y[1], pull], (0, 1e4), [0.0, v * MPH], events=there, rtol=1e-10, atol=1e-10)
        found.append(
            LibraryCheck("hauling.runaway_speed", {"speed": f"{v} mph", "grade": f"{100 * g:g}%", "rolling_resistance": f"{r} lb/ton", "distance": f"{d} ft"},
                         float(run.y_events[0][0][1]), "m/s", 1e-6, "scipy", "its motion followed step by step")
        )  # fmt: skip
    for width, lanes in ((10.2, 2), (16.0, 1), (11.0, 3)):
        # trucks with half a width of room around each; the rooms of neighbours are shared
        trucks = [box(k * 1.5 * width, 0, k * 1.5 * width + width, 1) for k in range(lanes)]
        rooms = [t.buffer(width / 2, cap_style="square", join_style="mitre").bounds for t in trucks]
        found.append(
            LibraryCheck("hauling.road_width", {"truck_width": f"{width} ft", "lanes": str(lanes)},
                         max(r[2] for r in rooms) - min(r[0] for r in rooms), "ft", 1e-9, "shapely",
                         "trucks with half a width of room around each, neighbours sharing theirs")
        )  # fmt: skip
    for a, b in ((Fraction(3, 10), Fraction(1, 4)), (Fraction(1, 4), Fraction(2, 5))):
        found.append(LibraryCheck("hauling.hold", {"brakes": f"{float(a)}", "grip": f"{float(b)}"}, float(min(a, b)), "1", 1e-12, "fractions",
                                  "the smaller of the two"))  # fmt: skip
    for part, rise in ((Fraction(3, 10), Fraction(7, 100)), (Fraction(1, 5), Fraction(12, 100))):
        for id_, left in (("hauling.slowing_downhill", part - rise), ("hauling.slowing_uphill", part + rise)):
            found.append(LibraryCheck(id_, {"friction": f"{float(part)}", "grade": f"{100 * float(rise):g}%"}, float(left), "1", 1e-12, "fractions",
                                      "friction and grade as parts of the weight"))  # fmt: skip
    for line, up, keep in ((45.0, 20.0, 20.0), (30.0, 22.5, 10.0)):
        wire = LineString([(-500, line), (500, line)]).buffer(keep, cap_style="flat")
        gap = line - keep - up
        body = LineString([(0, 0), (0, up)])
        seen = body.distance(wire) if gap >= 0 else -body.intersection(wire).length
        found.append(
            LibraryCheck("hauling.body_up_gap", {"line_height": f"{line} ft", "body_up_height": f"{up} ft", "clearance": f"{keep} ft"},
                         float(seen), "ft", 1e-9, "shapely", "distance from the raised body to the strip around the wire, or how far it reaches in")
        )  # fmt: skip
    for up, fall in ((20.0, 3.0), (24.5, 6.0)):
        # the truck's middle line, square to ground that falls across
        leaning = rotate(LineString([(0, 0), (0, up)]), -fall / 100, origin=(0, 0), use_radians=True)
        found.append(
            LibraryCheck("hauling.body_lean", {"body_up_height": f"{up} ft", "cross_slope": f"{fall:g}%"}, float(leaning.coords[1][0]), "ft",
                         2e-3, "shapely", "how far the top of the truck's middle line leans out, once it is turned")
        )  # fmt: skip
    return found
