"""The one reader of figures: what a person writes or types as a figure with its unit.

Two kinds of door let a figure in, and both read it here:

- a *typed answer* (the page's box, a paper quiz, a slip) is compared and gone: every sound way of
  writing a figure is taken, such as ``5 1/2``, ``5' 6"``, ``1 h 30 min``, ``1 234.5`` and ``3 to 1``. It is read by the
  decimal mark of its site: that mark alone is always the decimal one, and the other mark before three digits, which
  may mean either, is asked about. So 1.500 is 1.5 where 5,301.5 is printed, and asked about where 5.301,5 is. The page's script (``content/look/typed-number.js``) reads it
  the same way, to the last odd case; a test compares the two in a browser.
- a *written figure* (a table, the settings, a question's file, ``seatwork work``) is kept, printed and
  calculated with exactly as it stands: one plain figure and one unit. Another way of writing it is
  told as that one figure, which is the writer's to put there, since a spreadsheet turns 1/2 and 4:1
  into a day and a time, and a third is no exact figure at all.

What a comma means is the door's to say: see ``Commas``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from generator.units.errors import CalculationError
from generator.units.table import (
    BLANKS,
    KINDS,
    PRIMES,
    SMALLER,
    convertible,
    find_unit,
    unit_key,
)
from generator.units.writing import Mark

# "asked": a typed answer; one comma is a decimal one, before three digits it is asked about.
# "thousands": a written figure; a comma stands for thousands only. "decimal": a written figure of a
# file that has a comma for decimals; what may be either is refused.
Commas = Literal["asked", "thousands", "decimal"]

# no figure of the trade comes near it, and Decimal's own digits last to 10**27
MOST_POWER = 20
MOST_DIGITS = 40

FRACTIONS = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_TRIM = BLANKS.replace("\u2000-\u200a", "".join(map(chr, range(0x2000, 0x200B))))
_BLANK = re.compile(f"[{BLANKS}]+")
_POWER = re.compile(r"[eE]([-+]?)([0-9]+)")


class NotAFigure(CalculationError):
    """A figure that cannot be read; the words say why."""

    code = "no-figure"


class TwoWays(NotAFigure):
    """A mark before three digits that is not the site's decimal one: for thousands, or a decimal one. ``ways`` are both,
    written clearly: first for thousands."""

    code = "two-ways"

    def __init__(self, figure: str, ways: tuple[str, str]) -> None:
        super().__init__(f"'{figure[:40]}' can be read two ways", f"write {ways[0][:40]} or {ways[1][:40]}")
        self.ways = ways


@dataclass(frozen=True, slots=True)
class Part:
    """One figure of an answer with its unit, '' where none was typed; ``plain`` as a slip keeps it."""

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
class Written:
    """A written figure: its digits with a point, and the unit as it stands behind them."""

    digits: str
    unit: str


@dataclass(frozen=True, slots=True)
class _Lead:
    """The figure a text begins with: its value, its plain digits, and what stands behind it."""

    value: float
    plain: str
    rest: str
    form: Literal["plain", "fraction", "spaced", "power"] = "plain"


# --- what both kinds of door share -------------------------------------------------------------


def _normal(raw: str) -> str:
    """The text with one kind of blank, minus, fraction and prime."""
    text = re.sub("[\u00a0\u2000-\u200a\u202f]", " ", raw)
    text = re.sub("[−–]", "-", text).replace("⁄", "/").translate(PRIMES)
    text = re.sub("([0-9]?) ?([" + "".join(FRACTIONS) + "])", lambda m: (m[1] + " " if m[1] else "") + FRACTIONS[m[2]], text)
    return _BLANK.sub(" ", text).strip(_TRIM)


def _signed(text: str) -> tuple[str, str]:
    """The minus sign, if any, and the text behind a sign."""
    if text[:1] in {"-", "+"}:
        return "-" if text[0] == "-" else "", text[1:].strip(_TRIM)
    return "", text


def _number(text: str) -> float:
    return float(text) if text else 0.0


def _lead(text: str, commas: Commas, mark: Mark = ".") -> _Lead:
    """The figure at the start, a typed one by the decimal ``mark`` of its site. Raises NotAFigure."""
    m = re.match(r"([0-9]+)(?: +| ?- ?)([0-9]+) ?/ ?([0-9]+)", text) or re.match(r"()([0-9]+) ?/ ?([0-9]+)", text)
    if m:
        whole, top, bottom = (_number(g) for g in m.groups())
        if bottom == 0 or (m[1] and top >= bottom):
            raise NotAFigure(f"the fraction in '{m[0][:40]}' cannot be read", "write it like 5 1/2")
        plain = (m[1] + " " if m[1] else "") + m[2] + "/" + m[3]
        return _Lead(whole + top / bottom, plain, text[m.end() :], "fraction")
    spaced = re.match(r"[0-9]{1,3}(?: [0-9]{3})+(?![0-9])(?:[.,][0-9]+)?", text)
    m = spaced or re.match(r"[0-9][0-9.,]*|[.,][0-9][0-9.,]*" if commas != "asked" else r"[0-9][0-9.,]*|[.,][0-9]+", text)
    if m is None:
        raise NotAFigure(f"there is no number in '{text[:40]}'", f"write a figure, such as 5{mark}5")
    figure, rest = m[0], text[m.end() :]
    if spaced:
        plain = figure.replace(" ", "").replace(",", ".", 1)
    elif commas == "asked":
        plain = _as_typed(figure, rest, mark)
    else:
        plain = _as_written(figure, commas)
    power = _POWER.match(rest)
    value = float(plain)
    if plain.startswith("."):
        plain = "0" + plain
    plain = plain.removesuffix(".")
    if power:
        return _Lead(value, plain + "e" + power[1] + power[2], rest[power.end() :], "power")
    return _Lead(value, plain, rest, "spaced" if spaced else "plain")


_SWAPPED = str.maketrans(".,", ",.")


def _as_typed(typed: str, rest: str, mark: Mark) -> str:
    """The digits of a typed answer with a point. Raises NotAFigure."""
    # where the comma is the decimal mark, the two change places, and all else is the same
    figure = typed if mark == "." else typed.translate(_SWAPPED)
    commas, points = figure.count(","), figure.count(".")
    if commas == 0 and points < 2:
        return figure
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+\.[0-9]*", figure) or re.fullmatch(r"[0-9]{1,3}(,[0-9]{3}){2,}", figure):
        return figure.replace(",", "")
    if re.fullmatch(r"[0-9]{1,3}(\.[0-9]{3})+,[0-9]*", figure) or re.fullmatch(r"[0-9]{1,3}(\.[0-9]{3}){2,}", figure):
        return figure.replace(".", "").replace(",", ".", 1)
    if commas == 1 and points == 0:
        if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", figure):
            raise TwoWays(typed, (figure.replace(",", "") + rest, figure.replace(",", mark) + rest))
        return figure.replace(",", ".")
    shown = "1234.5 or 1,234.5" if mark == "." else "1234,5 or 1.234,5"
    raise NotAFigure(f"the points and commas in '{typed[:40]}' cannot be read", f"write {shown}")


def _as_written(number: str, commas: Commas) -> str:
    """The digits of a written figure with a point and no thousands marks. Raises NotAFigure where unclear."""
    if number.endswith((",", ".")):
        raise NotAFigure(f"'{number[:40]}' ends in a {'comma' if number[-1] == ',' else 'point'}",
                         "take it out, or write the digits behind it")  # fmt: skip
    marks = {m for m in ",." if m in number}
    if not marks:
        return number
    last = max(number.rfind(","), number.rfind("."))
    mark, whole, part = number[last], number[:last], number[last + 1 :]
    if len(marks) == 2:
        other = "," if mark == "." else "."
        grouped = re.fullmatch(rf"\d{{1,3}}(\{other}\d{{3}})+", whole)
        if grouped and (mark == "." or commas == "decimal"):
            return whole.replace(other, "") + "." + part
        raise _two_ways(number)
    if number.count(mark) > 1:
        if re.fullmatch(rf"[1-9]\d{{0,2}}(\{mark}\d{{3}})+", number) and (mark == "," or commas == "decimal"):
            return number.replace(mark, "")
        raise _two_ways(number)
    looks_grouped = re.fullmatch(r"[1-9]\d{0,2}", whole) is not None and len(part) == 3
    if commas == "decimal":
        # such files come from both habits: 1.500 and 1,500 may each be either number
        if looks_grouped:
            small = f"{whole}.{part}".rstrip("0")
            small = small + "0" if len(small.partition(".")[2]) in {0, 3} else small
            raise NotAFigure(f"'{number}' can be read two ways", f"write {whole}{part}, or {small} for the small number")
        return (whole or "0") + "." + part
    if mark == ".":
        return (whole or "0") + "." + part
    if looks_grouped:
        return whole + part
    raise _two_ways(number)


def _two_ways(number: str) -> NotAFigure:
    fix = "use a point for decimals and no thousands mark"
    if re.fullmatch(r"\d{0,12},\d{1,6}", number):
        fix = f"write {number.replace(',', '.') if number[0] != ',' else '0.' + number[1:]} if that is meant"
    return NotAFigure(f"'{number[:40]}' can be read two ways", fix)


def _second(big: _Lead, rest: str, commas: Commas, mark: Mark = ".") -> tuple[Part, Part] | None:
    """``10 ft 6 in`` and the like, whose first figure is ``big``; None where it is nothing of the kind.

    Raises NotAFigure where the second figure is a whole one of the first, or more.
    """
    m = re.fullmatch(r"([^0-9.,]+?)[ -]*([0-9.,].*)", rest)
    unit = unit_key(m[1]) if m else None
    if m is None or unit is None or unit not in SMALLER or not re.fullmatch("[0-9]+", big.plain):
        return None
    small, many = SMALLER[unit]
    try:
        second = _lead(m[2], commas, mark)
    except NotAFigure:
        return None
    if second.form == "power" or unit_key(second.rest) not in {"", small}:
        return None
    if second.value >= many:
        raise NotAFigure(
            f"'{second.plain[:40].replace('.', mark)} {small}' is {many} {small} or more", f"write the rest below {many} {small}"
        )
    return Part(big.value, big.plain, unit), Part(second.value, second.plain, small)


def _sized(shown: str, plain: str, example: str) -> Decimal:
    """The figure written out, if it is one the trade could mean. Raises NotAFigure."""
    digits, _, power = plain.partition("e")
    bare = power.lstrip("+-").lstrip("0")
    if len(bare) > 4:
        nothing = not digits.strip("0.")
        raise NotAFigure(f"{shown} is too {'small' if nothing or power[0] == '-' else 'large'}", f"write it as {example}")
    figure = Decimal(plain)
    if figure and figure.adjusted() >= MOST_POWER and figure != Decimal(10) ** MOST_POWER:
        raise NotAFigure(f"{shown} is too large", f"write it as {example}")
    if (figure and figure.adjusted() < -MOST_POWER) or (not figure and power):
        raise NotAFigure(f"{shown} is too small", f"write it as {example}")
    if len(digits) > MOST_DIGITS:
        raise NotAFigure(f"{shown} has too many digits", f"write it as {example}")
    return figure


def _turned(shown: str, first: str, rest: str) -> NotAFigure | None:
    """What to say of a ratio with the 1 in front, as in 1:4."""
    turned = re.fullmatch(r"(?::|to\b)\s*(\d[\d.,]{0,10})", rest, re.I | re.A)
    if first != "1" or turned is None or turned[1] == "1":
        return None
    return NotAFigure(f"{shown} is not written as run to rise", f"write {turned[1]}:1 if it goes {turned[1]} along for 1 up")


# --- a typed answer ----------------------------------------------------------------------------


def read_typed(raw: str, mark: Mark = ".") -> Typed:
    """What was typed as an answer on a site with this decimal ``mark``. Raises NotAFigure where the page would have asked again."""
    text = _normal(raw)
    if text == "":
        raise NotAFigure("nothing was typed", "type a figure")
    sign, text = _signed(text)
    try:
        first = _lead(text, "asked", mark)
    except TwoWays as e:
        raise TwoWays(sign + text, (sign + e.ways[0], sign + e.ways[1])) from None
    if first.form == "power":
        figure = _sized(f"'{raw.strip()[:40]}'", first.plain, "plain digits, such as 1234.5")
        raise NotAFigure(f"'{raw.strip()[:40]}' is written with a power of ten", f"write {sign}{figure:f}")
    value, plain = first.value, first.plain
    rest = re.sub(r"^-(?=[a-zA-Z])", "", first.rest.strip(_TRIM))
    if re.match(r"(:|to\b)", rest, re.I | re.A):
        if re.fullmatch(r"(:|to) ?1", rest, re.I | re.A):
            return Typed((Part(value, plain, ":1"),), sign)
        raise _turned(f"'{text[:40]}'", plain, rest) or NotAFigure("a ratio has the 1 last, such as 3:1", "write it so")
    if rest == "T":
        return Typed((Part(value, plain, ""),), sign, capital_t=True)
    unit = unit_key(rest)
    if unit is not None:
        return Typed((Part(value, plain, unit),), sign)
    two = _second(first, rest, "asked", mark)
    if two:
        return Typed(two, sign)
    raise NotAFigure(f"'{rest[:40]}' after the figure is no unit known here", "leave it out, or check its spelling")


# --- a written figure --------------------------------------------------------------------------

_CLOCK = re.compile(r"\d{1,2}:\d\d(:\d\d)?( ?[AP]M)?", re.I | re.A)


# the thin space between thousands that pages print: what is copied from one is read as it stands there
_PRINTED = re.compile("(?<=[0-9])\u202f(?=[0-9]{3}(?![0-9]))")


def _exact(plain: str) -> Fraction:
    """What is written as ``5 1/2``, ``1/2`` or ``5.5``, exactly."""
    return sum((Fraction(piece) for piece in plain.split()), Fraction(0))


def _told(value: Fraction) -> str | None:
    """The figure with a point and up to four decimals, where that is all of it."""
    if (value * 10_000).denominator != 1:
        return None
    text = f"{Decimal(value.numerator) / Decimal(value.denominator):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def read_written(text: str, kind: str | None, *, commas: Commas = "thousands", example: str = "") -> Written:
    """A written figure of a ``kind`` (None: it follows from the unit), its unit still as it stands.

    ``example`` is what a message names as one to write. Raises CalculationError.
    """
    example = example or (KINDS[kind].example if kind else "a figure and its unit, such as 10 ft")
    shown = f"'{text[:40]}'"
    ratio = kind in {"grade", "ratio", None}
    if text[:1] in {"'", "‘", "’"} and re.match(r"[-+−]?\s*[.,]?\d", text[1:], re.A):
        raise NotAFigure(f"there is a quote mark before the figure in {shown}", f"write {text[1:41]}")
    if _CLOCK.fullmatch(text) and not (ratio and re.fullmatch("1:[1-9][0-9]", text)):
        if ratio:
            raise NotAFigure(f"{shown} is a time of day", "write a grade as 25% and a ratio as 4:1, kept as text")
        raise NotAFigure(f"{shown} is not a quantity", f"write it as {example}")
    grouped = re.fullmatch(r"(\d{1,3}(?:['’]\d{3})+)(.*)", text, re.S | re.A)
    if grouped:
        raise NotAFigure(f"{shown} has a mark inside the number", f"write {re.sub('[^0-9]', '', grouped[1])}{grouped[2][:20]}")
    sign, bare = _signed(_normal(_PRINTED.sub("", text)))
    if not re.match(r"[.,]?[0-9]", bare):
        raise NotAFigure(f"{shown} is not a quantity", f"write it as {example}")
    first = _lead(bare, commas)
    rest = first.rest.strip(_TRIM)
    if first.form == "fraction":
        raise _in_parts(shown, example, sign, first, rest)
    if first.form == "spaced":
        raise NotAFigure(f"{shown} has a space inside the number", "write the digits together")
    if ratio:
        turned = _turned(shown, first.plain, rest)
        if turned:
            raise turned
        if re.fullmatch(r"to ?1", rest, re.I):
            raise NotAFigure(f"{shown} is in words", f"write {sign}{first.plain}:1")
    # 4000 ft2 is an area; "5 ft 2" is one too, unless a length is wanted
    whole_unit = unit_key(rest) is not None and not (kind == "length" and " " in rest)
    two = None if whole_unit else _second(first, rest, commas)
    if two and (kind is None or convertible(two[0].unit, kind)):
        many = SMALLER[two[0].unit][1]
        small = many * _exact(two[0].plain) + _exact(two[1].plain)
        whole, less = _told(small / many), _told(small)
        write = f"{sign}{whole} {two[0].unit}" if whole else f"{sign}{less} {two[1].unit}" if less else ""
        raise NotAFigure(f"{shown} is in two units", f"write {write}" if write else f"write it in {two[1].unit}, with a point")
    if rest[:1].isdigit() and not (rest[:2] == "1/" and unit_key(rest)):
        raise NotAFigure(f"{shown} has a space inside the number", "write the digits together")
    if re.match(r"(?:-|—|/|to\b|and\b|bis\b)\s*\d", rest):
        raise NotAFigure(f"{shown} holds two figures", f"write one, as {example}")
    figure = _sized(shown, first.plain, example)
    return Written(f"{sign}{figure:f}", ":1" if re.fullmatch(r": ?1", rest) else rest)


def _in_parts(shown: str, example: str, sign: str, first: _Lead, rest: str) -> NotAFigure:
    """What to say of a figure written as a fraction."""
    if rest[:1].isdigit() or rest[:1] == "/":
        return NotAFigure(f"{shown} is not a quantity", f"write it as {example}")
    figure = _told(_exact(first.plain))
    blank = " " if rest[:1].isalnum() else ""
    return NotAFigure(f"{shown} is written as a fraction", f"write {sign}{figure}{blank}{rest[:20]}" if figure else "write it with a point")


def split_quantity(text: str, kind: str) -> tuple[str, str]:
    """``"10 ft"`` as its digits and the key of its unit. Raises CalculationError."""
    found = read_written(text, kind)
    return found.digits, find_unit(found.unit, kind)
