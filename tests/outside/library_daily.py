"""Second opinions on the calculations of the checks of the day."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from scipy.integrate import solve_ivp

from tests.outside.kinds import LibraryCheck, pint_units

UREG: Any = pint_units()
EXACT = 1e-9
G = 9.80665


def _fallen(metres: float, pull: float) -> float:
    """Speed [m/s] at the end of ``metres`` under a steady ``pull`` [m/s²], by integrating the motion."""

    def there(_: float, state: Any) -> float:
        return float(state[0]) - metres

    there.terminal = True  # type: ignore[attr-defined]
    motion = solve_ivp(lambda _, s: [s[1], pull], (0.0, 600.0), [0.0, 0.0], events=there, rtol=1e-11, atol=1e-12, max_step=0.5)
    return float(motion.y_events[0][0][1])


def _speeds() -> list[LibraryCheck]:
    found = [
        LibraryCheck("daily.landing_speed", {"height": f"{h} m"}, _fallen(h, G), "m/s", 1e-7, "scipy", "the fall, integrated step by step")
        for h in (0.45, 1.2, 2.5)
    ]
    for metres, run, rise, taken in ((15.0, 12.0, 5.0, 0), (40.0, 24.0, 7.0, 40), (5.0, 4.0, 1.0, 120)):
        # weight along the slope and square to it, by its right-angled triangle
        long = float((run**2 + rise**2) ** 0.5)
        pull = G * (rise - taken / 1000 * run) / long
        found.append(
            LibraryCheck(
                "daily.roll_speed", {"distance": f"{metres} m", "grade": str(rise / run), "rolling_resistance": f"{taken} kg/t"},
                _fallen(metres, pull), "m/s", 1e-7, "scipy", "the rolling, integrated step by step",
            )
        )  # fmt: skip
    return found


def _liquids() -> list[LibraryCheck]:
    found = []
    for tank, use, gauge, reserve in (("85 gallon", "6 gallon/hour", "0.75", "0.25"), ("320 liter", "18 liter/hour", "0.9", "0.2")):
        short = {"gallon": "gal", "liter": "L", "/hour": "/h"}
        said = {"fuel_tank": tank, "fuel_use": use}
        for word, key in short.items():
            said = {name: text.replace(word, key) for name, text in said.items()}
        left = UREG.Quantity(tank) * (float(gauge) - float(reserve))
        hours = (left / UREG.Quantity(use)).to("hour").magnitude
        found.append(LibraryCheck("daily.fuel_lasts", {**said, "gauge": gauge, "reserve": reserve}, float(hours), "h", EXACT, "pint",
                                  "what is left over what an hour takes, as quantities"))  # fmt: skip
        level = (UREG.Quantity("9 hour") * UREG.Quantity(use) / UREG.Quantity(tank)).to("dimensionless").magnitude + float(reserve)
        found.append(LibraryCheck("daily.start_level", {**said, "shift_time": "9 h", "reserve": reserve}, float(level), "1", EXACT, "pint",
                                  "what a shift takes as a part of the tank, as quantities"))  # fmt: skip
    for people, hours, minutes, cup in ((6, 8, 15, "8 fluid_ounce"), (11, 10, 20, "250 milliliter")):
        water = UREG.Quantity(cup) * people * Fraction(hours * 60, minutes)
        said = {"cup": cup.replace("fluid_ounce", "fl oz").replace("milliliter", "mL"), "every": f"{minutes} min"}
        found.append(LibraryCheck("daily.water", {"people": str(people), "shift_time": f"{hours} h", **said}, float(water.to("liter").magnitude),
                                  "L", EXACT, "pint", "cups counted and added"))  # fmt: skip
        rate = (UREG.Quantity(cup) / UREG.Quantity(minutes, "minute")).to("liter/hour").magnitude
        found.append(LibraryCheck("daily.drink_rate", said, float(rate), "L/h", EXACT, "pint", "a cup over its time, as quantities"))
    return found


def _sums() -> list[LibraryCheck]:
    found = []
    for a, b in (("1.5", "2.5"), ("0.7", "1.9")):
        found.append(LibraryCheck("daily.mean_sag", {"front_gap": f"{a} in", "rear_gap": f"{b} in"}, float((Fraction(a) + Fraction(b)) / 2), "in",
                                  EXACT, "fractions", "the mean, in exact fractions"))  # fmt: skip
    for sag, least, most in (("2.75", "1.5", "2"), ("1.1", "1.5", "2"), ("1.75", "1.5", "2")):
        off = max(Fraction(least) - Fraction(sag), Fraction(sag) - Fraction(most), Fraction(0))
        given = {"sag": f"{sag} in", "least_sag": f"{least} in", "most_sag": f"{most} in"}
        found.append(
            LibraryCheck("daily.track_sag", given, float(off), "in", EXACT, "fractions", "the gap to the range, in exact fractions")
        )
    found.append(LibraryCheck("daily.too_loose", {"sag": "2.75 in", "most_sag": "2 in"}, 0.75, "in", EXACT, "fractions", "exact fractions"))
    found.append(
        LibraryCheck("daily.too_tight", {"sag": "1.25 in", "least_sag": "2 in"}, 0.75, "in", EXACT, "fractions", "exact fractions")
    )
    for day, worker, parts in (("2", "new to the heat", 2), ("4", "new to the heat", 4), ("2", "back in the heat", 3)):
        hours = float(Fraction(11) * Fraction(parts, 5))
        found.append(LibraryCheck("daily.heat_day", {"shift_time": "11 h", "day": day, "worker": worker}, hours, "h", EXACT, "fractions",
                                  "fifths of the shift, exactly"))  # fmt: skip
    found.append(
        LibraryCheck(
            "daily.heat_hours", {"shift_time": "11 h", "share": "60%"}, 6.6, "h", EXACT, "fractions", "fifths of the shift, exactly"
        )
    )
    for shift, travel, own in (("10", "0.75", "3"), ("12", "1.25", "2.5")):
        left = 24 - Fraction(shift) - 2 * Fraction(travel) - Fraction(own)
        found.append(LibraryCheck("daily.sleep_left", {"shift_time": f"{shift} h", "travel_time": f"{travel} h", "own_time": f"{own} h"},
                                  float(left), "h", EXACT, "fractions", "exact fractions"))  # fmt: skip
        awake = Fraction(own) + Fraction(shift) + Fraction(travel)
        found.append(LibraryCheck("daily.hours_awake", {"up_before": f"{own} h", "shift_time": f"{shift} h", "travel_time": f"{travel} h"},
                                  float(awake), "h", EXACT, "fractions", "exact fractions"))  # fmt: skip
    return found


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of the checks of the day."""
    return [*_speeds(), *_liquids(), *_sums()]
