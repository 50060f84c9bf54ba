"""Reading a typed answer, just as the player in the page reads it.

The notes of the player's own reader (``content/look/typed-number.js``) say what a typed number may look like. Whoever
marks again must read it the same way, to the last odd case; a test compares the two in a
browser.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from generator.source.problem import Refusal

# key and other spellings; a row's place is used in slip codes
UNITS: tuple[tuple[str, str], ...] = (
    ("1", "pass|passes|truck|trucks|load|loads|bucket|buckets|trip|trips|times"),
    ("in", 'inch|inches|"|\'\''),
    ("ft", "foot|feet|'"),
    ("yd", "yds|yard|yards"),
    ("mi", "mile|miles"),
    ("mm", "millimeter|millimeters|millimetre|millimetres"),
    ("cm", "centimeter|centimeters|centimetre|centimetres"),
    ("m", "meter|meters|metre|metres"),
    ("km", "kilometer|kilometers|kilometre|kilometres"),
    ("ft2", ""),
    ("in2", ""),
    ("yd2", ""),
    ("acre", "acres|ac"),
    ("m2", ""),
    ("cm2", ""),
    ("ha", "hectare|hectares"),
    ("ft3", "cf"),
    ("yd3", "cy|cyd"),
    ("m3", ""),
    ("L", "liter|liters|litre|litres"),
    ("lb", "lbs|pound|pounds"),
    ("ton", "tons|st|short ton|short tons"),
    ("kg", "kgs|kilo|kilos|kilogram|kilograms"),
    ("t", "tonne|tonnes|metric ton|metric tons"),
    ("lbf", "pound force|pounds force"),
    ("kN", ""),
    ("N", ""),
    ("lb/yd3", ""),
    ("lb/ft3", "pcf"),
    ("ton/yd3", ""),
    ("kg/m3", ""),
    ("t/m3", ""),
    ("lbf/ft3", ""),
    ("kN/m3", ""),
    ("lbf/ft2", "psf"),
    ("lb/ft2", ""),
    ("kg/m2", ""),
    ("psi", ""),
    ("kPa", ""),
    ("Pa", ""),
    ("mph", "mi/h"),
    ("ft/min", "fpm"),
    ("ft/s", ""),
    ("km/h", "kph|kmh"),
    ("m/min", ""),
    ("m/s", ""),
    ("s", "sec|secs|second|seconds"),
    ("min", "mins|minute|minutes"),
    ("h", "hr|hrs|hour|hours"),
    ("year", "years|yr|yrs"),
    ("min/h", ""),
    ("deg", "°|º|degree|degrees|degs"),
    ("rad", "radian|radians"),
    ("rpm", ""),
    ("deg/s", "°/s"),
    ("yd3/h", ""),
    ("m3/h", ""),
    ("yd3/min", ""),
    ("m3/min", ""),
    ("ton/h", "tph"),
    ("t/h", ""),
    ("acre/h", ""),
    ("ha/h", ""),
    ("ft2/h", ""),
    ("m2/h", ""),
    ("1/h", "per hour|an hour|/h|/hr"),
    ("1/min", "per minute|per min|a minute|/min"),
    ("lbf*ft", "ft-lb|ft lb|ft*lb|lb-ft|lb ft|lbf ft"),
    ("kN*m", "knm|kn m"),
    ("V", "volt|volts"),
    ("kV", "kilovolt|kilovolts"),
    ("ft/kV", ""),
    ("m/kV", ""),
    ("%", "percent|per cent|pct"),
    (":1", ""),
    ("lb/ton", ""),
    ("kg/t", ""),
    ("lbf/lb", ""),
    ("kN/t", ""),
    ("lcy", ""),
    ("lcm", ""),
    ("bcy", ""),
    ("bcm", ""),
    ("ccy", ""),
    ("ccm", ""),
    ("hp", "horsepower"),
    ("kW", "kilowatt|kilowatts"),
    ("ft*lbf/min", ""),
    ("kN*m/min", ""),
)
KEYS = tuple(key for key, _ in UNITS)
_SPELLED: dict[str, str] = {}
for _key, _others in UNITS:
    if _key != "1":
        _SPELLED[_key.lower()] = _key
    for _other in filter(None, _others.split("|")):
        _SPELLED[_other] = _key
_SMALL = {"ft": ("in", 12), "h": ("min", 60), "min": ("s", 60)}
_FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
# white space as browsers see it
_SPACE = "\t\n\v\f\r \u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000\ufeff"
_SPACES = re.compile(f"[{_SPACE}]+")
_TRIM = _SPACE.replace("\u2000-\u200a", "".join(map(chr, range(0x2000, 0x200B))))
_STATES = ("loose", "bank", "compacted")


class NotAFigure(Refusal):
    """A typed answer that the player would not have taken."""

    code = "no-figure"

    def __init__(self, what: str) -> None:
        super().__init__(what, "write a figure with its unit, as the question asks for it")


class TwoWays(NotAFigure):
    """A comma before three digits: for thousands, or a decimal one. ``ways`` are both, written clearly."""

    def __init__(self, figure: str, ways: tuple[str, str]) -> None:
        super().__init__(f"'{figure}' can be read two ways")
        self.ways = ways


@dataclass(frozen=True, slots=True)
class Part:
    """One figure of an answer with its unit, '' where none was typed."""

    value: float
    plain: str
    unit: str


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed: one part, or two for ft and in, h and min, min and s."""

    parts: tuple[Part, ...]
    sign: str = ""
    capital_t: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """An answer as a figure in one of the accepted units."""

    value: float
    unit: str


def unit_key(text: str) -> str | None:
    """Key of the unit a person typed, '' for none, None for one not known."""
    t = text.lower()
    t = re.sub(r"²|\^2", "2", t)
    t = re.sub(r"³|\^3", "3", t)
    t = re.sub(r"[·×]", "*", t).replace(".", "")
    t = re.sub(r" ?/ ?", "/", _SPACES.sub(" ", t)).strip(_TRIM)
    if t == "":
        return ""
    if t in _SPELLED:
        return _SPELLED[t]
    m = re.fullmatch(r"(loose|bank|compacted) (.+)", t) or re.fullmatch(r"(.+) (loose|bank|compacted)", t)
    if m:
        state, rest = (m[1], m[2]) if m[1] in _STATES else (m[2], m[1])
        end = {"yd3": "cy", "m3": "cm"}.get(unit_key(rest) or "")
        return state[0] + end if end else None
    m = re.fullmatch(r"(cu|cubic|sq|square) ?([a-z]+)", t)
    power = ("3" if m[1][0] == "c" else "2") if m else ""
    if m is None:
        m = re.fullmatch(r"()([a-z]+) ?([23])", t)
        power = m[3] if m else ""
    if m:
        key = _SPELLED.get(m[2], "undefined") + power
        return key if key in KEYS else None
    parts = re.split(r"/| per | an? ", t)
    if len(parts) == 2:
        return _SPELLED.get("/".join(unit_key(p) or "" for p in parts).lower())
    return None


def _number(text: str) -> float:
    return float(text) if text else 0.0


def _leading(text: str) -> tuple[float, str, str]:
    """The figure at the start: value, plain digits, the rest. Raises NotAFigure."""
    m = re.match(r"([0-9]+)(?: +| ?- ?)([0-9]+) ?/ ?([0-9]+)", text) or re.match(r"()([0-9]+) ?/ ?([0-9]+)", text)
    if m:
        whole, top, bottom = (_number(g) for g in m.groups())
        if bottom == 0 or (m[1] and top >= bottom):
            raise NotAFigure(f"the fraction in '{m[0][:40]}' cannot be read")
        return whole + top / bottom, (m[1] + " " if m[1] else "") + m[2] + "/" + m[3], text[m.end() :]
    spaced = re.match(r"[0-9]{1,3}(?: [0-9]{3})+(?![0-9])(?:[.,][0-9]+)?", text)
    m = spaced or re.match(r"[0-9][0-9.,]*|[.,][0-9]+", text)
    if m is None:
        raise NotAFigure(f"there is no number in '{text[:40]}'")
    figure, rest = m[0], text[m.end() :]
    commas, points = figure.count(","), figure.count(".")
    if spaced:
        plain = figure.replace(" ", "").replace(",", ".", 1)
    elif commas == 0 and points < 2:
        plain = figure
    elif re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+\.[0-9]*", figure) or re.fullmatch(r"[0-9]{1,3}(,[0-9]{3}){2,}", figure):
        plain = figure.replace(",", "")
    elif re.fullmatch(r"[0-9]{1,3}(\.[0-9]{3})+,[0-9]*", figure) or re.fullmatch(r"[0-9]{1,3}(\.[0-9]{3}){2,}", figure):
        plain = figure.replace(".", "").replace(",", ".", 1)
    elif commas == 1 and points == 0:
        if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", figure):
            raise TwoWays(figure, (figure.replace(",", "") + rest, figure.replace(",", ".") + rest))
        plain = figure.replace(",", ".")
    else:
        raise NotAFigure(f"the points and commas in '{figure[:40]}' cannot be read")
    value = float(plain)
    if plain.startswith("."):
        plain = "0" + plain
    return value, plain.removesuffix("."), rest


def _second(text: str) -> tuple[float, str, str] | None:
    try:
        return _leading(text)
    except NotAFigure:
        return None


def read_number(raw: str) -> Typed:
    """What was typed. Raises NotAFigure where the player would have asked again."""
    text = re.sub("[\u00a0\u2000-\u200a\u202f]", " ", raw)
    text = re.sub("[−–]", "-", text).replace("⁄", "/")
    text = re.sub("[′‘’]", "'", text)
    text = re.sub("[″“”]", '"', text)
    text = re.sub(
        "([0-9]?) ?([" + "".join(_FRACTIONS) + "])", lambda m: (m[1] + " " if m[1] else "") + _FRACTIONS[m[2]], text
    )
    text = _SPACES.sub(" ", text).strip(_TRIM)
    if text == "":
        raise NotAFigure("nothing was typed")
    sign = ""
    if text[0] in "-+":
        sign = "-" if text[0] == "-" else ""
        text = text[1:].strip(_TRIM)
    try:
        value, plain, rest = _leading(text)
    except TwoWays as e:
        raise TwoWays(sign + text, (sign + e.ways[0], sign + e.ways[1])) from None
    rest = re.sub(r"^-(?=[a-zA-Z])", "", rest.strip(_TRIM))
    if re.match(r"(:|to\b)", rest, re.I | re.A):
        if re.fullmatch(r"(:|to) ?1", rest, re.I | re.A):
            return Typed((Part(value, plain, ":1"),), sign)
        raise NotAFigure("a ratio has the 1 last, such as 3:1")
    if rest == "T":
        return Typed((Part(value, plain, ""),), sign, capital_t=True)
    unit = unit_key(rest)
    if unit is not None:
        return Typed((Part(value, plain, unit),), sign)
    m = re.fullmatch(r"([^0-9.,]+?)[ -]*([0-9.,].*)", rest)
    big = unit_key(m[1]) if m else None
    if m and big in _SMALL:
        small, many = _SMALL[big]
        second = _second(m[2])
        if second and unit_key(second[2]) in {"", small} and re.fullmatch("[0-9]+", plain):
            if second[0] >= many:
                raise NotAFigure(f"'{second[1]} {small}' is {many} {small} or more")
            return Typed((Part(value, plain, big), Part(second[0], second[1], small)), sign)
    raise NotAFigure(f"'{rest[:40]}' after the figure is no unit known here")


def _as_printed(raw: str, unit: str) -> Typed:
    """What was typed, a comma before three digits read as the page prints it: for thousands.

    So it is read in the unit the question asks for only; elsewhere it stays two ways.
    """
    try:
        return read_number(raw)
    except TwoWays as e:
        typed = read_number(e.ways[0])
        if typed.capital_t or typed.parts[0].unit not in {"", unit}:
            raise
        return typed


def figure_for(raw: str, answer: Mapping[str, Any]) -> Figure:
    """What was typed as a figure in one of the units of ``answer["accept"]``. Raises NotAFigure.

    ``answer["unit"]`` is the one meant where none was typed. ``answer["comma"]`` is true where
    the page prints a comma for thousands.
    """
    accept: Mapping[str, Sequence[float]] = answer["accept"]
    unit = str(answer["unit"])
    typed = _as_printed(raw, unit) if answer.get("comma") else read_number(raw)
    factor = -1.0 if typed.sign == "-" else 1.0
    big = typed.parts[0]
    named = big.unit
    if typed.capital_t:
        both = [k for k in ("ton", "t") if k in accept]
        if len(both) == 2:
            raise NotAFigure("a capital T can mean either ton")
        named = both[0] if both else "t"
    named = named or unit
    if len(typed.parts) == 1:
        if named in accept:
            return Figure(factor * big.value, named)
    else:
        small = typed.parts[1]
        many = _SMALL[big.unit][1]
        if big.unit in accept:
            return Figure(factor * (big.value + small.value / many), big.unit)
        if small.unit in accept:
            return Figure(factor * (big.value * many + small.value), small.unit)
    raise NotAFigure(f"the unit '{named}' does not fit the question")


def within(ends: Sequence[float] | None, figure: float) -> bool:
    """Whether a figure lies between two ends, with room for the last bit of floating point."""
    if not ends:
        return False
    slack = 1e-8 * max(abs(ends[0]), abs(ends[1]))
    return ends[0] - slack <= figure <= ends[1] + slack
