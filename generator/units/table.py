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

from generator.language.words import tr
from generator.units.errors import CalculationError, NotItsUnit
from generator.units.factors import FACTORS

System = Literal["us", "metric"]
_IN_WORDS = re.compile(r"[a-z]{4,}|\bton\b|\bper\b")
SYSTEMS: tuple[System, System] = ("us", "metric")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: ``key`` as typed in tables, ``label`` as printed, ``what`` it measures, in words.

    ``pint`` is its name as pint spells it. ``system`` is None where both systems use it. ``other`` is
    the unit a value in this one becomes in the other system. ``spelled`` are other spellings people
    type, in small letters with ``|`` between them. ``one`` is the label of exactly one, where it differs.
    """

    key: str
    label: str
    what: str
    pint: str
    system: System | None
    other: str | None
    spelled: str = ""
    one: str = ""
    state: str | None = None  # loose, bank or compacted, where the unit says so

    @property
    def printed(self) -> str:
        """The label in the language of now, as it heads a column."""
        return tr(self.label) if self.in_words(self.label) else self.label

    def label_for(self, figure: object) -> str:
        """The label as printed behind a figure: 1 acre, 2 acres."""
        label = self.one if self.one and figure == 1 else self.label
        return tr(label) if self.in_words(label) else label

    @staticmethod
    @cache
    def in_words(label: str) -> bool:
        """Whether a label is, or holds, a word: others are written the same in every language."""
        return _IN_WORDS.search(label) is not None


# The one table of units: every reader and the page's script read by it. A row's place is part of the
# slips that crews copy from their phones: a new row goes at the end, and none is ever taken out.
# fmt: off
_UNITS = (
    Unit("1", "", "a plain number", "dimensionless", None, None, "pass|passes|truck|trucks|load|loads|bucket|buckets|trip|trips|times"),
    Unit("in", "in", "a length", "inch", "us", "cm", "inch|inches|\"|''"),
    Unit("ft", "ft", "a length", "foot", "us", "m", "foot|feet|'"),
    Unit("yd", "yd", "a length", "yard", "us", "m", "yds|yard|yards"),
    Unit("mi", "mi", "a length", "mile", "us", "km", "mile|miles"),
    Unit("mm", "mm", "a length", "millimeter", "metric", "in", "millimeter|millimeters|millimetre|millimetres"),
    Unit("cm", "cm", "a length", "centimeter", "metric", "in", "centimeter|centimeters|centimetre|centimetres"),
    Unit("m", "m", "a length", "meter", "metric", "ft", "meter|meters|metre|metres"),
    Unit("km", "km", "a length", "kilometer", "metric", "mi", "kilometer|kilometers|kilometre|kilometres"),
    Unit("ft2", "ft²", "an area", "foot**2", "us", "m2", ""),
    Unit("in2", "in²", "an area", "inch**2", "us", "cm2", ""),
    Unit("yd2", "yd²", "an area", "yard**2", "us", "m2", ""),
    Unit("acre", "acres", "an area", "field_acre", "us", "ha", "acres|ac", one="acre"),
    Unit("m2", "m²", "an area", "meter**2", "metric", "ft2", ""),
    Unit("cm2", "cm²", "an area", "centimeter**2", "metric", "in2", ""),
    Unit("ha", "ha", "an area", "hectare", "metric", "acre", "hectare|hectares"),
    Unit("ft3", "ft³", "a volume", "foot**3", "us", "m3", "cf"),
    Unit("yd3", "yd³", "a volume", "yard**3", "us", "m3", "cy|cyd"),
    Unit("m3", "m³", "a volume", "meter**3", "metric", "yd3", ""),
    Unit("L", "L", "a volume", "liter", "metric", "ft3", "liter|liters|litre|litres"),
    Unit("lb", "lb", "a weight", "pound", "us", "kg", "lbs|pound|pounds"),
    Unit("ton", "tons", "a weight", "short_ton", "us", "t", "tons|st|short ton|short tons", one="ton"),
    Unit("kg", "kg", "a weight", "kilogram", "metric", "lb", "kgs|kilo|kilos|kilogram|kilograms"),
    Unit("t", "t", "a weight", "metric_ton", "metric", "ton", "tonne|tonnes|metric ton|metric tons"),
    Unit("lbf", "lbf", "a force", "pound_force", "us", "kN", "pound force|pounds force"),
    Unit("kN", "kN", "a force", "kilonewton", "metric", "lbf", ""),
    Unit("N", "N", "a force", "newton", "metric", "lbf", ""),
    Unit("lb/yd3", "lb/yd³", "a density", "pound/yard**3", "us", "kg/m3", ""),
    Unit("lb/ft3", "lb/ft³", "a density", "pound/foot**3", "us", "kg/m3", "pcf"),
    Unit("ton/yd3", "tons/yd³", "a density", "short_ton/yard**3", "us", "t/m3", "", one="ton/yd³"),
    Unit("kg/m3", "kg/m³", "a density", "kilogram/meter**3", "metric", "lb/yd3", ""),
    Unit("t/m3", "t/m³", "a density", "metric_ton/meter**3", "metric", "ton/yd3", ""),
    Unit("lbf/ft3", "lbf/ft³", "a unit weight", "pound_force/foot**3", "us", "kN/m3", ""),
    Unit("kN/m3", "kN/m³", "a unit weight", "kilonewton/meter**3", "metric", "lbf/ft3", ""),
    Unit("lbf/ft2", "lbf/ft²", "a pressure", "pound_force/foot**2", "us", "kPa", "psf"),
    Unit("lb/ft2", "lb/ft²", "a pressure", "pound/foot**2", "us", "kg/m2", ""),
    Unit("kg/m2", "kg/m²", "a pressure", "kilogram/meter**2", "metric", "lb/ft2", ""),
    Unit("psi", "psi", "a pressure", "pound_force/inch**2", "us", "kPa", ""),
    Unit("kPa", "kPa", "a pressure", "kilopascal", "metric", "lbf/ft2", ""),
    Unit("Pa", "Pa", "a pressure", "pascal", "metric", "psi", ""),
    Unit("mph", "mph", "a speed", "mile/hour", "us", "km/h", "mi/h"),
    Unit("ft/min", "ft/min", "a speed", "foot/minute", "us", "m/min", "fpm"),
    Unit("ft/s", "ft/s", "a speed", "foot/second", "us", "m/s", ""),
    Unit("km/h", "km/h", "a speed", "kilometer/hour", "metric", "mph", "kph|kmh"),
    Unit("m/min", "m/min", "a speed", "meter/minute", "metric", "ft/min", ""),
    Unit("m/s", "m/s", "a speed", "meter/second", "metric", "ft/s", ""),
    Unit("s", "s", "a time", "second", None, None, "sec|secs|second|seconds"),
    Unit("min", "min", "a time", "minute", None, None, "mins|minute|minutes"),
    Unit("h", "h", "a time", "hour", None, None, "hr|hrs|hour|hours"),
    Unit("year", "years", "a time", "year", None, None, "years|yr|yrs", one="year"),
    Unit("min/h", "min/h", "minutes an hour", "minute/hour", None, None, ""),
    Unit("deg", "°", "an angle", "degree", None, None, "°|º|degree|degrees|degs|˚"),
    Unit("rad", "rad", "an angle", "radian", None, None, "radian|radians"),
    Unit("rpm", "rpm", "a turning speed", "revolution/minute", None, None, ""),
    Unit("deg/s", "°/s", "a turning speed", "degree/second", None, None, "°/s"),
    Unit("yd3/h", "yd³/h", "a volume an hour", "yard**3/hour", "us", "m3/h", ""),
    Unit("m3/h", "m³/h", "a volume an hour", "meter**3/hour", "metric", "yd3/h", ""),
    Unit("yd3/min", "yd³/min", "a volume a minute", "yard**3/minute", "us", "m3/min", ""),
    Unit("m3/min", "m³/min", "a volume a minute", "meter**3/minute", "metric", "yd3/min", ""),
    Unit("ton/h", "tons/h", "a weight an hour", "short_ton/hour", "us", "t/h", "tph", one="ton/h"),
    Unit("t/h", "t/h", "a weight an hour", "metric_ton/hour", "metric", "ton/h", ""),
    Unit("acre/h", "acres/h", "an area an hour", "field_acre/hour", "us", "ha/h", "", one="acre/h"),
    Unit("ha/h", "ha/h", "an area an hour", "hectare/hour", "metric", "acre/h", ""),
    Unit("ft2/h", "ft²/h", "an area an hour", "foot**2/hour", "us", "m2/h", ""),
    Unit("m2/h", "m²/h", "an area an hour", "meter**2/hour", "metric", "ft2/h", ""),
    Unit("1/h", "per hour", "a number an hour", "1/hour", None, None, "per hour|an hour|/h|/hr"),
    Unit("1/min", "per min", "a number a minute", "1/minute", None, None, "per minute|per min|a minute|/min"),
    Unit("lbf*ft", "lbf·ft", "a turning force", "pound_force*foot", "us", "kN*m", "ft-lb|ft lb|ft*lb|lb-ft|lb ft|lbf ft"),
    Unit("kN*m", "kN·m", "a turning force", "kilonewton*meter", "metric", "lbf*ft", "knm|kn m"),
    Unit("V", "V", "a voltage", "volt", None, None, "volt|volts"),
    Unit("kV", "kV", "a voltage", "kilovolt", None, None, "kilovolt|kilovolts"),
    Unit("ft/kV", "ft/kV", "a distance for each kV", "foot/kilovolt", "us", "m/kV", ""),
    Unit("m/kV", "m/kV", "a distance for each kV", "meter/kilovolt", "metric", "ft/kV", ""),
    Unit("%", "%", "a percentage", "percent", None, None, "percent|per cent|pct"),
    Unit(":1", ":1", "a ratio", "dimensionless", None, None, ""),
    Unit("lb/ton", "lb/ton", "a resistance", "pound/short_ton", "us", "kg/t", ""),
    Unit("kg/t", "kg/t", "a resistance", "kilogram/metric_ton", "metric", "lb/ton", ""),
    Unit("lbf/lb", "lbf/lb", "a pull on each pound", "pound_force/pound", "us", "kN/t", ""),
    Unit("kN/t", "kN/t", "a pull on each tonne", "kilonewton/metric_ton", "metric", "lbf/lb", ""),
    Unit("lcy", "loose yd³", "a loose volume", "yard**3", "us", "lcm", "", state="loose"),
    Unit("lcm", "loose m³", "a loose volume", "meter**3", "metric", "lcy", "", state="loose"),
    Unit("bcy", "bank yd³", "a bank volume", "yard**3", "us", "bcm", "", state="bank"),
    Unit("bcm", "bank m³", "a bank volume", "meter**3", "metric", "bcy", "", state="bank"),
    Unit("ccy", "compacted yd³", "a compacted volume", "yard**3", "us", "ccm", "", state="compacted"),
    Unit("ccm", "compacted m³", "a compacted volume", "meter**3", "metric", "ccy", "", state="compacted"),
    Unit("hp", "hp", "a power", "horsepower", "us", "kW", "horsepower"),
    Unit("kW", "kW", "a power", "kilowatt", "metric", "hp", "kilowatt|kilowatts"),
    Unit("ft*lbf/min", "ft·lbf/min", "a power", "foot*pound_force/minute", "us", "kN*m/min", ""),
    Unit("kN*m/min", "kN·m/min", "a power", "kilonewton*meter/minute", "metric", "ft*lbf/min", ""),
    Unit("gal", "gal", "an amount of liquid", "gallon", "us", "L", "gals|gallon|gallons"),
    Unit("fl oz", "fl oz", "an amount of liquid", "fluid_ounce", "us", "mL", "oz|fluid ounce|fluid ounces"),
    Unit("mL", "mL", "an amount of liquid", "milliliter", "metric", "fl oz", "milliliter|milliliters|millilitre|millilitres"),
    Unit("gal/h", "gal/h", "an amount of liquid an hour", "gallon/hour", "us", "L/h", "gph"),
    Unit("fl oz/h", "fl oz/h", "an amount of liquid an hour", "fluid_ounce/hour", "us", "L/h", "oz/h"),
    Unit("L/h", "L/h", "an amount of liquid an hour", "liter/hour", "metric", "gal/h", "lph"),
    Unit("ft/s2", "ft/s²", "a pull of gravity", "foot/second**2", "us", "m/s2", ""),
    Unit("m/s2", "m/s²", "a pull of gravity", "meter/second**2", "metric", "ft/s2", ""),
    Unit("ft3/min", "ft³/min", "a volume a minute", "foot**3/minute", "us", "m3/min", ""),
)
# fmt: on
UNITS: Mapping[str, Unit] = {u.key: u for u in _UNITS}
STATES = ("loose", "bank", "compacted")
# a unit of weight written as if it were one of force, which it is where only a force fits: a pound
# weighs a pound of force, so that the figure is the same
AS_FORCE: Mapping[str, str] = {"lb/ft3": "lbf/ft3", "lb/ft2": "lbf/ft2"}
# the smaller unit a figure may go on in, as in 5 ft 6 in, and how many of it make one
SMALLER: Mapping[str, tuple[str, int]] = {"ft": ("in", 12), "h": ("min", 60), "min": ("s", 60)}

# what one reader takes for the one unit and the next for another: asked about wherever a figure is
# kept; in an answer only where both would count
EITHER = {
    "T": ("mass", "'T' can be tons of 2,000 lb or tonnes of 1,000 kg", "write ton or t"),
    "tph": ("mass_rate", "'tph' can be tons of 2,000 lb or tonnes of 1,000 kg an hour", "write ton/h or t/h"),
    "TPH": ("mass_rate", "'TPH' can be tons of 2,000 lb or tonnes of 1,000 kg an hour", "write ton/h or t/h"),
}


def spellings() -> dict[str, str]:
    """Every spelling, in small letters, and the key of its unit."""
    found: dict[str, str] = {}
    for unit in _UNITS:
        if unit.key != "1":
            found[unit.key.lower()] = unit.key
        for other in filter(None, unit.spelled.split("|")):
            found[other] = unit.key
    return found


_SPELLED = spellings()
# what word processors make of the marks for feet and inches
PRIMES = str.maketrans({"′": "'", "‘": "'", "’": "'", "″": '"', "“": '"', "”": '"'})
# white space as browsers see it
BLANKS = "\t\n\v\f\r \u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000\ufeff"
_TRIM = BLANKS.replace("\u2000-\u200a", "".join(map(chr, range(0x2000, 0x200B))))
_BLANK = re.compile(f"[{BLANKS}]+")


def unit_key(text: str) -> str | None:
    """Key of the unit a person typed, '' for none, None for one not known.

    Capitals, dots and blanks do not matter: ``cu. yd.`` is yd3, ``lb per cubic yard`` is lb/yd3.
    The page's script does the same, step by step.
    """
    t = text.lower()
    t = re.sub(r"²|\^2", "2", t)
    t = re.sub(r"³|\^3", "3", t)
    t = re.sub(r"[·×]", "*", t).replace(".", "")
    t = re.sub(r" ?/ ?", "/", _BLANK.sub(" ", t)).strip(_TRIM)
    if t == "":
        return ""
    if t in _SPELLED:
        return _SPELLED[t]
    m = re.fullmatch(r"(loose|bank|compacted) (.+)", t) or re.fullmatch(r"(.+) (loose|bank|compacted)", t)
    if m:
        state, rest = (m[1], m[2]) if m[1] in STATES else (m[2], m[1])
        end = {"yd3": "cy", "m3": "cm"}.get(unit_key(rest) or "")
        return state[0] + end if end else None
    m = re.fullmatch(r"(cu|cubic|sq|square) ?([a-z]+)", t)
    power = ("3" if m[1][0] == "c" else "2") if m else ""
    if m is None:
        m = re.fullmatch(r"()([a-z]+) ?([23])", t)
        power = m[3] if m else ""
    if m:
        key = _SPELLED.get(m[2], "undefined") + power
        return key if key in UNITS else None
    parts = re.split(r"/| per | an? ", t)
    if len(parts) == 2:
        return _SPELLED.get("/".join(unit_key(p) or "" for p in parts).lower())
    return None


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
    # units told in the other system otherwise than their rows say: fuel in L goes with gal
    others: tuple[tuple[str, str], ...] = ()

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
    Kind("liquid", "amount of liquid", "meter**3", "gal", "L", "60 gal or 230 L", others=(("L", "gal"),)),
    Kind("liquid_rate", "liquid an hour", "meter**3/second", "gal/h", "L/h", "5 gal/h or 20 L/h"),
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
    # ground is dug by the cubic yard and not by the gallon, and fuel is not burnt by the cubic yard
    ("liquid_rate", {"gal/h", "fl oz/h", "L/h"}),
)  # fmt: skip
_LIQUID = {"gal", "fl oz", "mL"}  # and L, in which buckets are sold too


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
    if k.key == "liquid" or unit in _LIQUID:
        return k.key == "liquid" and unit in {*_LIQUID, "L"}
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
        raise NotItsUnit(f"{UNITS[unit].key} is not a unit of {k.name}", f"write it as {k.example}")
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


def counterpart(unit: str, system: System, kind: str | None = None) -> str:
    """The unit a value of ``kind`` written in ``unit`` is written in, in ``system``."""
    u = UNITS[unit]
    if u.system is None or u.system == system or u.other is None:
        return unit
    return dict(KINDS[kind].others).get(unit, u.other) if kind else u.other


def find_unit(text: str, kind: str) -> str:
    """Key of the unit a person typed, for a quantity of ``kind``.

    Empty text is taken where the kind needs no unit. Raises CalculationError otherwise.
    """
    k = KINDS[kind]
    raw = " ".join(text.split())
    if raw in EITHER and convertible(KINDS[EITHER[raw][0]].metric, kind):
        raise CalculationError(*EITHER[raw][1:])
    if raw == "":
        if k.key in {"grade", "fraction", "factor", "ratio", "count"}:
            return ":1" if k.key == "ratio" else "1"
        raise NotItsUnit("the unit is missing", f"write it as {k.example}")
    key = raw if raw in UNITS else unit_key(raw.translate(PRIMES))
    if not key:
        raise NotItsUnit(f"unknown unit '{raw[:40]}'", f"write it as {k.example}")
    if convertible(key, kind):
        return key
    if key in AS_FORCE and convertible(AS_FORCE[key], kind):
        return AS_FORCE[key]
    u = UNITS[key]
    if u.state is not None and k.state is not None:
        raise CalculationError(f"{u.label} given for a {k.name}", f"give the {k.state} volume, or convert it first")
    raise NotItsUnit(f"{raw[:40]} is not a unit of {k.name}", f"write it as {k.example}")
