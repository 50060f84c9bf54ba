"""Kinds of quantity, the units each may be written in, and the two unit systems.

Inside, every value is a plain float in SI (metres, kilograms, seconds, newtons, radians;
grades and fractions as plain ratios). Conversions are kept in a table; a test asks pint for each.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, Literal

from generator.units.errors import CalculationError
from generator.units.factors import FACTORS

System = Literal["us", "metric"]
SYSTEMS: tuple[System, System] = ("us", "metric")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: ``key`` as typed in tables, ``label`` as printed, ``pint`` as pint spells it.

    ``system`` is None where both systems use it. ``other`` is the unit a value in this one
    becomes in the other system.
    """

    key: str
    label: str
    pint: str
    system: System | None = None
    other: str | None = None
    state: str | None = None  # loose, bank or compacted, where the unit says so


def _unit_table() -> dict[str, Unit]:
    rows: list[tuple[str, str, str, System | None, str | None]] = [
        # lengths
        ("in", "in", "inch", "us", "cm"), ("ft", "ft", "foot", "us", "m"),
        ("yd", "yd", "yard", "us", "m"), ("mi", "mi", "mile", "us", "km"),
        ("mm", "mm", "millimeter", "metric", "in"), ("cm", "cm", "centimeter", "metric", "in"),
        ("m", "m", "meter", "metric", "ft"), ("km", "km", "kilometer", "metric", "mi"),
        # areas
        ("ft2", "ft²", "foot**2", "us", "m2"), ("in2", "in²", "inch**2", "us", "cm2"),
        ("yd2", "yd²", "yard**2", "us", "m2"), ("acre", "acres", "field_acre", "us", "ha"),
        ("m2", "m²", "meter**2", "metric", "ft2"), ("cm2", "cm²", "centimeter**2", "metric", "in2"),
        ("ha", "ha", "hectare", "metric", "acre"),
        # volumes
        ("ft3", "ft³", "foot**3", "us", "m3"), ("yd3", "yd³", "yard**3", "us", "m3"),
        ("m3", "m³", "meter**3", "metric", "yd3"), ("L", "L", "liter", "metric", "ft3"),
        # masses and forces
        ("lb", "lb", "pound", "us", "kg"), ("ton", "tons", "short_ton", "us", "t"),
        ("kg", "kg", "kilogram", "metric", "lb"), ("t", "t", "metric_ton", "metric", "ton"),
        ("lbf", "lbf", "pound_force", "us", "kN"), ("kN", "kN", "kilonewton", "metric", "lbf"),
        ("N", "N", "newton", "metric", "lbf"),
        # densities and unit weights
        ("lb/yd3", "lb/yd³", "pound/yard**3", "us", "kg/m3"),
        ("lb/ft3", "lb/ft³", "pound/foot**3", "us", "kg/m3"),
        ("ton/yd3", "tons/yd³", "short_ton/yard**3", "us", "t/m3"),
        ("kg/m3", "kg/m³", "kilogram/meter**3", "metric", "lb/yd3"),
        ("t/m3", "t/m³", "metric_ton/meter**3", "metric", "ton/yd3"),
        ("lbf/ft3", "lbf/ft³", "pound_force/foot**3", "us", "kN/m3"),
        ("kN/m3", "kN/m³", "kilonewton/meter**3", "metric", "lbf/ft3"),
        # pressures
        ("lbf/ft2", "lbf/ft²", "pound_force/foot**2", "us", "kPa"),
        ("lb/ft2", "lb/ft²", "pound/foot**2", "us", "kg/m2"),
        ("kg/m2", "kg/m²", "kilogram/meter**2", "metric", "lb/ft2"),
        ("psi", "psi", "pound_force/inch**2", "us", "kPa"),
        ("kPa", "kPa", "kilopascal", "metric", "lbf/ft2"), ("Pa", "Pa", "pascal", "metric", "psi"),
        # speeds
        ("mph", "mph", "mile/hour", "us", "km/h"), ("ft/min", "ft/min", "foot/minute", "us", "m/min"),
        ("ft/s", "ft/s", "foot/second", "us", "m/s"), ("km/h", "km/h", "kilometer/hour", "metric", "mph"),
        ("m/min", "m/min", "meter/minute", "metric", "ft/min"), ("m/s", "m/s", "meter/second", "metric", "ft/s"),
        # times
        ("s", "s", "second", None, None), ("min", "min", "minute", None, None), ("h", "h", "hour", None, None),
        ("year", "years", "year", None, None), ("min/h", "min/h", "minute/hour", None, None),
        # angles and turning
        ("deg", "°", "degree", None, None), ("rad", "rad", "radian", None, None),
        ("rpm", "rpm", "revolution/minute", None, None), ("deg/s", "°/s", "degree/second", None, None),
        # rates
        ("yd3/h", "yd³/h", "yard**3/hour", "us", "m3/h"), ("m3/h", "m³/h", "meter**3/hour", "metric", "yd3/h"),
        ("yd3/min", "yd³/min", "yard**3/minute", "us", "m3/min"),
        ("m3/min", "m³/min", "meter**3/minute", "metric", "yd3/min"),
        ("ton/h", "tons/h", "short_ton/hour", "us", "t/h"), ("t/h", "t/h", "metric_ton/hour", "metric", "ton/h"),
        ("acre/h", "acres/h", "field_acre/hour", "us", "ha/h"), ("ha/h", "ha/h", "hectare/hour", "metric", "acre/h"),
        ("ft2/h", "ft²/h", "foot**2/hour", "us", "m2/h"), ("m2/h", "m²/h", "meter**2/hour", "metric", "ft2/h"),
        ("1/h", "per hour", "1/hour", None, None), ("1/min", "per min", "1/minute", None, None),
        # moments
        ("lbf*ft", "lbf·ft", "pound_force*foot", "us", "kN*m"),
        ("kN*m", "kN·m", "kilonewton*meter", "metric", "lbf*ft"),
        # powers
        ("hp", "hp", "horsepower", "us", "kW"), ("kW", "kW", "kilowatt", "metric", "hp"),
        ("ft*lbf/min", "ft·lbf/min", "foot*pound_force/minute", "us", "kN*m/min"),
        ("kN*m/min", "kN·m/min", "kilonewton*meter/minute", "metric", "ft*lbf/min"),
        # volts
        ("V", "V", "volt", None, None), ("kV", "kV", "kilovolt", None, None),
        ("ft/kV", "ft/kV", "foot/kilovolt", "us", "m/kV"), ("m/kV", "m/kV", "meter/kilovolt", "metric", "ft/kV"),
        # plain ratios
        ("%", "%", "percent", None, None), ("1", "", "dimensionless", None, None),
        (":1", ":1", "dimensionless", None, None),
        ("lb/ton", "lb/ton", "pound/short_ton", "us", "kg/t"),
        ("kg/t", "kg/t", "kilogram/metric_ton", "metric", "lb/ton"),
        ("lbf/lb", "lbf/lb", "pound_force/pound", "us", "kN/t"),
        ("kN/t", "kN/t", "kilonewton/metric_ton", "metric", "lbf/lb"),
    ]
    units = {key: Unit(key, label, pint, system, other) for key, label, pint, system, other in rows}
    for state, letter in (("loose", "l"), ("bank", "b"), ("compacted", "c")):
        for base, short in (("yd3", f"{letter}cy"), ("m3", f"{letter}cm")):
            u = units[base]
            other = f"{letter}cm" if base == "yd3" else f"{letter}cy"
            units[short] = Unit(short, f"{state} {u.label}", u.pint, u.system, other, state)
    return units


UNITS: Mapping[str, Unit] = _unit_table()

# other spellings people type; anything pint knows of the right dimension is taken too
_SPELLINGS = {
    "'": "ft", "feet": "ft", "foot": "ft", '"': "in", "inch": "in", "inches": "in",
    "yards": "yd", "yard": "yd", "miles": "mi", "mile": "mi", "metre": "m", "metres": "m",
    "meter": "m", "meters": "m", "sq ft": "ft2", "ft^2": "ft2", "ft²": "ft2", "m²": "m2", "m^2": "m2",
    "acres": "acre", "cu yd": "yd3", "cy": "yd3", "yd^3": "yd3", "yd³": "yd3", "m³": "m3", "m^3": "m3",
    "ft³": "ft3", "ft^3": "ft3", "cu ft": "ft3", "lbs": "lb", "pounds": "lb", "tons": "ton", "st": "ton",
    "short ton": "ton", "short tons": "ton", "tonne": "t", "tonnes": "t", "lb/cy": "lb/yd3",
    "lb/yd³": "lb/yd3", "kg/m³": "kg/m3", "t/m³": "t/m3", "pcf": "lb/ft3", "psf": "lbf/ft2",
    "lb/ft³": "lb/ft3", "kph": "km/h", "kmh": "km/h", "fpm": "ft/min", "sec": "s", "secs": "s",
    "seconds": "s", "mins": "min", "minutes": "min", "minute": "min", "hr": "h", "hrs": "h",
    "hours": "h", "hour": "h", "°": "deg", "degree": "deg", "degrees": "deg", "percent": "%",
    "pct": "%", "cy/h": "yd3/h", "yd³/h": "yd3/h", "m³/h": "m3/h", "kn": "kN", "kv": "kV", "volts": "V",
    "l": "L", "litre": "L", "litres": "L", "lb/yd^3": "lb/yd3", "kg/m^3": "kg/m3", "passes": "1",
    "trucks": "1", "loads": "1", "ft-lb": "lbf*ft", "ft·lb": "lbf*ft", "lbf·ft": "lbf*ft",
    "kNm": "kN*m", "kN·m": "kN*m", "bank yd3": "bcy", "loose yd3": "lcy", "bank m3": "bcm",
    "loose m3": "lcm", "compacted yd3": "ccy", "compacted m3": "ccm",
    "bank yd³": "bcy", "loose yd³": "lcy", "bank m³": "bcm", "loose m³": "lcm", "compacted yd³": "ccy",
    "compacted m³": "ccm", "tons/yd³": "ton/yd3", "tons/h": "ton/h", "acres/h": "acre/h",
    "cubic yard": "yd3", "cubic yards": "yd3", "cubic foot": "ft3", "cubic feet": "ft3",
    "cubic metre": "m3", "cubic metres": "m3", "cubic meter": "m3", "cubic meters": "m3",
    "horsepower": "hp", "kw": "kW", "kilowatt": "kW", "kilowatts": "kW", "metric ton": "t", "metric tons": "t", "pound": "lb", "second": "s", "º": "deg", "˚": "deg",
}

# what one reader takes for the one unit and the next for another
_EITHER = {
    "T": ("'T' can be tons of 2,000 lb or tonnes of 1,000 kg", "write ton or t"),
}
# what word processors make of the marks for feet and inches
_MARKS = str.maketrans({"’": "'", "′": "'", "”": '"', "″": '"'})


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: its SI unit, and the unit each system writes it in by default.

    ``units`` are the keys a table or command may use; the first of each system is the one a
    message names. ``state`` keeps bank, loose and compacted volumes apart.
    """

    key: str
    name: str
    si: str  # pint spelling of the unit values are kept in
    us: str
    metric: str
    example: str
    state: str | None = None
    work_us: str | None = None  # unit the working is done in, where it is not the printed one
    work_metric: str | None = None

    def default(self, system: System) -> str:
        """Key of the unit this kind is printed in."""
        return self.us if system == "us" else self.metric

    def work(self, system: System) -> str:
        """Key of the unit formulas are worked in (coherent within a system)."""
        if system == "us":
            return self.work_us or self.us
        return self.work_metric or self.metric


_KINDS = [
    Kind("length", "length", "meter", "ft", "m", "10 ft or 3 m"),
    Kind("area", "area", "meter**2", "ft2", "m2", "500 ft2 or 50 m2"),
    Kind("volume", "volume", "meter**3", "yd3", "m3", "5 yd3 or 4 m3"),
    Kind("loose_volume", "loose volume", "meter**3", "lcy", "lcm", "5 yd3 or 4 m3", "loose", "lcy", "lcm"),
    Kind("bank_volume", "bank volume", "meter**3", "bcy", "bcm", "5 yd3 or 4 m3", "bank", "bcy", "bcm"),
    Kind("compacted_volume", "compacted volume", "meter**3", "ccy", "ccm", "5 yd3 or 4 m3", "compacted"),
    Kind("mass", "weight (mass)", "kilogram", "lb", "kg", "45000 lb or 20 t"),
    Kind("force", "force", "newton", "lbf", "kN", "20000 lbf or 90 kN", None),
    Kind("density", "density", "kilogram/meter**3", "lb/yd3", "kg/m3", "2800 lb/yd3 or 1.66 t/m3"),
    Kind("unit_weight", "unit weight", "newton/meter**3", "lbf/ft3", "kN/m3", "120 lbf/ft3 or 19 kN/m3"),
    Kind("pressure", "pressure", "pascal", "lbf/ft2", "kPa", "8 psi or 55 kPa"),
    Kind("speed", "speed", "meter/second", "mph", "km/h", "2.5 mph or 4 km/h", None, "ft/min", "m/min"),
    Kind("time", "time", "second", "min", "min", "30 s, 0.5 min or 2 h"),
    Kind("angle", "angle", "radian", "deg", "deg", "30deg"),
    Kind("turning", "turning speed", "radian/second", "rpm", "rpm", "9 rpm or 54 deg/s", None, "deg/s", "deg/s"),
    Kind("grade", "grade", "dimensionless", "%", "%", "25%, 4:1 or 14deg", None, "1", "1"),
    Kind("fraction", "share", "dimensionless", "%", "%", "0.25 or 25%", None, "1", "1"),
    Kind("factor", "factor", "dimensionless", "1", "1", "0.83"),
    Kind("ratio", "ratio of run to rise", "dimensionless", ":1", ":1", "3:1", None, ":1", ":1"),
    Kind("count", "number", "dimensionless", "1", "1", "6"),
    Kind("voltage", "voltage", "volt", "kV", "kV", "115 kV"),
    Kind("volume_rate", "volume an hour", "meter**3/second", "yd3/h", "m3/h", "300 yd3/h or 230 m3/h"),
    Kind("mass_rate", "weight an hour", "kilogram/second", "ton/h", "t/h", "400 ton/h"),
    Kind("area_rate", "area an hour", "meter**2/second", "acre/h", "ha/h", "0.6 acre/h"),
    Kind("frequency", "times an hour", "1/second", "1/h", "1/h", "15 per hour"),
    Kind("moment", "turning force (moment)", "newton*meter", "lbf*ft", "kN*m", "20000 lbf*ft"),
    Kind("power", "power", "watt", "hp", "kW", "200 hp or 150 kW", None, "ft*lbf/min", "kN*m/min"),
    Kind("resistance", "resistance", "dimensionless", "lb/ton", "kg/t", "40 lb/ton or 20 kg/t"),
    Kind("gravity", "pull of gravity", "meter/second**2", "lbf/lb", "kN/t", "1 lbf/lb"),
]
KINDS: Mapping[str, Kind] = {k.key: k for k in _KINDS}


@lru_cache(maxsize=1)
def registry() -> Any:
    """pint's registry, made once and only where it is needed (its import takes 0.3 s)."""
    import pint

    ureg = pint.UnitRegistry(autoconvert_offset_to_baseunit=False)
    if "percent" not in ureg:
        ureg.define("percent = 0.01 = %")
    # pint's acre is the survey acre, 4 parts in a million larger than 43,560 ft²
    ureg.define("field_acre = 43560 * foot ** 2")
    return ureg


@cache
def factor(unit: str, si: str) -> float:
    """How many ``si`` (pint spelling) one ``unit`` (a key of UNITS) is."""
    known = FACTORS.get(unit, {}).get(si)
    if known is not None:
        return known
    ureg = registry()
    return float((1.0 * ureg.parse_units(UNITS[unit].pint)).to(ureg.parse_units(si)).magnitude)


_SET_APART = (
    ("angle", {"deg", "rad"}), ("turning", {"rpm", "deg/s"}), ("frequency", {"1/h", "1/min"}),
)  # fmt: skip


@cache
def convertible(unit: str, kind: str) -> bool:
    """Whether values of ``kind`` may be written in ``unit``, its state included."""
    k, u = KINDS[kind], UNITS[unit]
    if u.state is not None and u.state != k.state:
        return False
    plain = {"%", "1", ":1"}
    if k.key == "grade":
        return unit in {*plain, "deg"}
    if k.key == "ratio":
        return unit in {":1", "1"}
    if k.key in {"count", "factor"}:
        return unit == "1" or (k.key == "factor" and unit == "%") or (k.key == "factor" and unit == "min/h")
    if k.key == "fraction":
        return unit in {"%", "1"}
    if k.key == "resistance":
        return unit in {"lb/ton", "kg/t", "%", "1"}
    # pint takes radians, turns and percent for plain numbers, so it cannot tell these apart
    for key, units in _SET_APART:
        if k.key == key or unit in units:
            return k.key == key and unit in units
    if unit in plain or unit in {"min/h", "lb/ton", "kg/t"}:
        return False
    return k.si in FACTORS.get(unit, {})


def to_si(value: float, unit: str, kind: str) -> float:
    """``value`` in ``unit`` as the SI float of ``kind``.

    A grade in degrees becomes its tangent and ``4:1`` (run to rise) becomes a quarter; a ratio
    stays what stands before the colon. Raises CalculationError where the unit does not fit.
    """
    if not convertible(unit, kind):
        k = KINDS[kind]
        raise CalculationError(
            f"{UNITS[unit].key} is not a unit of {k.name}", f"write it as {k.example}"
        )
    if kind == "grade" and unit == "deg":
        return math.tan(math.radians(value))
    if kind == "grade" and unit == ":1":
        if value == 0:
            raise CalculationError("a grade of 0:1 is a vertical face", "give a run above 0")
        return 1.0 / value
    return value * factor(unit, KINDS[kind].si)


def from_si(value: float, unit: str, kind: str) -> float:
    """The SI float of ``kind`` as a number in ``unit``; the inverse of :func:`to_si`."""
    if kind == "grade" and unit == "deg":
        return math.degrees(math.atan(value))
    if kind == "grade" and unit == ":1":
        return 1.0 / value
    return value / factor(unit, KINDS[kind].si)


def counterpart(unit: str, system: System) -> str:
    """The unit a value written in ``unit`` is written in, in ``system``."""
    u = UNITS[unit]
    if u.system is None or u.system == system or u.other is None:
        return unit
    return u.other


def find_unit(text: str, kind: str) -> str:
    """Key of the unit a person typed, for a quantity of ``kind``.

    Empty text is taken where the kind needs no unit. Raises CalculationError otherwise.
    """
    k = KINDS[kind]
    raw = " ".join(text.split())
    if convertible("t", kind) and raw in _EITHER:
        raise CalculationError(*_EITHER[raw])
    if raw == "":
        if k.key in {"grade", "fraction", "factor", "ratio", "count"}:
            return ":1" if k.key == "ratio" else "1"
        raise CalculationError("the unit is missing", f"write it as {k.example}")
    plain = raw.translate(_MARKS).replace(".", "")  # as in "cu. yd."
    for candidate in (raw, raw.lower(), plain, plain.lower()):
        key = candidate if candidate in UNITS else _SPELLINGS.get(candidate)
        if key is not None:
            if convertible(key, kind):
                return key
            u = UNITS[key]
            if u.state is not None and k.state is not None:
                raise CalculationError(
                    f"{u.label} given for a {k.name}", f"give the {k.state} volume, or convert it first"
                )
            raise CalculationError(f"{raw} is not a unit of {k.name}", f"write it as {k.example}")
    raise CalculationError(f"unknown unit '{raw[:40]}'", f"write it as {k.example}")


# no figure of the trade comes near it, and Decimal's own digits last to 10**27
MOST_POWER = 20

_QUANTITY = re.compile(
    r"^\s*(?P<sign>[-+−]?)\s*(?P<number>\d[\d,]*\.?\d*(?:[eE][-+]?\d+)?|\.\d+(?:[eE][-+]?\d+)?)\s*(?P<unit>.*?)\s*$"
)


def read_number(text: str) -> float:
    """A plain number as typed (thousands commas allowed). Raises CalculationError."""
    match = _QUANTITY.match(text)
    if match is None or match["unit"]:
        raise CalculationError(f"'{text[:40]}' is not a number", "write a plain number such as 12.5")
    return float(_digits(match))


def _digits(match: re.Match[str]) -> str:
    number = match["number"]
    if "," in number and not re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d*)?", number):
        raise CalculationError(
            f"'{number}' can be read two ways", "use a point for decimals and no thousands mark"
        )
    sign = "-" if match["sign"] in {"-", "−"} else ""
    return sign + number.replace(",", "")


def split_quantity(text: str, kind: str) -> tuple[str, str]:
    """``"10 ft"`` as its digits and the key of its unit. Raises CalculationError."""
    match = _QUANTITY.match(text)
    if match is None:
        raise CalculationError(f"'{text[:40]}' is not a quantity", f"write it as {KINDS[kind].example}")
    digits = _digits(match)
    unit = match["unit"]
    if re.fullmatch(r":\s*1", unit):
        unit = ":1"
    key = find_unit(unit, kind)
    number = float(digits)
    power = math.log10(abs(number)) if number and math.isfinite(number) else 0.0
    if not math.isfinite(number) or power > MOST_POWER:
        raise CalculationError(f"'{text[:40]}' is too large", f"write it as {KINDS[kind].example}")
    if power < -MOST_POWER or (not number and "e" in digits.lower()):
        raise CalculationError(f"'{text[:40]}' is too small", f"write it as {KINDS[kind].example}")
    return digits, key
