"""Reading one cell: words, ids, dates, and figures with their units. Used for settings too."""

from __future__ import annotations

import datetime
import re
import unicodedata
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from generator.jobsite.columns import Column
from generator.jobsite.grid import MOST_CELL
from generator.source.near import near
from generator.source.problem import Refusal
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, trimmed
from generator.units.table import KINDS, UNITS, find_unit

DateOrder = Literal["month first", "day first"]

# a bare grade could be a share, a percentage or degrees: its unit is always asked for
NO_UNIT_NEEDED = frozenset({"fraction", "factor", "ratio", "count"})


class BadCell(Refusal):
    """A cell that cannot be taken."""

    code = "cell"


class NoUnit(BadCell):
    """A bare number in a column whose heading gives no unit."""

    code = "no-unit"


# marks that reorder or hide text: a name or figure must read as it is stored
_HIDDEN = frozenset(
    "\u00ad\u061c\u115f\u1160\u180e\u200b\u200e\u200f\u2028\u2029\u2800\u3164\ufeff\uffa0"
) | {
    chr(c)
    for c in (*range(0x202A, 0x202F), *range(0x2060, 0x2070), *range(0xFFF9, 0xFFFD), *range(0xE0000, 0xE0080))
}
_FORMULA_MARKS = frozenset("=+@-＝＋＠－")
_PLAIN_NUMBER = re.compile(
    r"[-+]\s?[\d.,]*\d[\d.,]*(?:e[-+]?\d+)?(?:\s?[^\W\d_%°\"']{0,6}(?:/[a-z0-9]+)?|\s?[%°\"'])", re.I
)
_SHEET_ERROR = re.compile(
    r"#(?:REF!|N/A|VALUE!|DIV/0!|NAME\?|NUM!|NULL!|SPILL!|CALC!)|Err:\d+|#{3,}", re.I
)


# blanks of every width: a figure copied from a page may hold a thin one
_BLANK = re.compile(r"[\u00a0\u2000-\u200a\u202f\u205f\u3000]")


def clean(text: str) -> str:
    """A cell's text, trimmed and in one Unicode form. Raises BadCell on what no cell may hold."""
    if len(text) > MOST_CELL:
        raise BadCell(f"the text is longer than {MOST_CELL:,} characters", "shorten it")
    text = unicodedata.normalize("NFC", _BLANK.sub(" ", text)).strip(" \r\n")
    for ch in text:
        if ch in "\n\r\v\f":
            raise BadCell("there is a line break inside the cell", "write it on one line")
        if ch == "\t":
            raise BadCell("there is a tab inside the cell", "use a space")
        if ch in _HIDDEN or unicodedata.category(ch) in {"Cc", "Cs", "Cn", "Co"}:
            raise BadCell(f"there is a hidden character (U+{ord(ch):04X})", "type the text again")
    if _SHEET_ERROR.fullmatch(text):
        raise BadCell(f"'{text[:20]}' is an error of the spreadsheet, not a value",
                      "repair the cell there and save again")  # fmt: skip
    if (
        text
        and text[0] in _FORMULA_MARKS
        and not _PLAIN_NUMBER.fullmatch(text)
        and text not in {"-", "--"}
    ):
        raise BadCell(f"'{text[:20]}' looks like a formula", "write the value itself")
    return text


_NUMBER = re.compile(
    r"(?P<sign>[-+−]?)\s*(?P<number>[.,]?[0-9][0-9.,]*)(?P<exp>[eE][-+]?[0-9]+)?(?P<rest>.*)",
    re.S,
)
# what a spreadsheet makes of 3/4 or 1-2 in a cell for figures
_MONTH = "(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}"
_DAY = re.compile(
    r"\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}([-/.])\d{1,2}\1(\d{4}|\d\d)"
    rf"|\d{{1,2}}[-. /]{_MONTH}\.?([-. /]\d{{2,4}})?|{_MONTH}[-. ]\d{{2,4}}", re.I | re.A,
)  # fmt: skip
_CLOCK = re.compile(r"\d{1,2}:\d\d(:\d\d)?( ?[AP]M)?", re.I)


def _digits(number: str, comma_decimals: bool) -> str:
    """The digits with a decimal point and no thousands marks. Raises BadCell where unclear."""
    if number.endswith((",", ".")):
        raise BadCell(f"'{number[:40]}' ends in a {'comma' if number[-1] == ',' else 'point'}",
                      "take it out, or write the digits behind it")  # fmt: skip
    marks = {m for m in ",." if m in number}
    if not marks:
        return number
    last = max(number.rfind(","), number.rfind("."))
    mark, whole, part = number[last], number[:last], number[last + 1 :]
    if len(marks) == 2:
        other = "," if mark == "." else "."
        grouped = re.fullmatch(rf"\d{{1,3}}(\{other}\d{{3}})+", whole)
        if grouped and (mark == "." or comma_decimals):
            return whole.replace(other, "") + "." + part
        raise _two_ways(number)
    if number.count(mark) > 1:
        if re.fullmatch(rf"[1-9]\d{{0,2}}(\{mark}\d{{3}})+", number) and (
            mark == "," or comma_decimals
        ):
            return number.replace(mark, "")
        raise _two_ways(number)
    looks_grouped = re.fullmatch(r"[1-9]\d{0,2}", whole) is not None and len(part) == 3
    if comma_decimals:
        # such files come from both habits: 1.500 and 1,500 may each be either number
        if looks_grouped:
            small = f"{whole}.{part}".rstrip("0")
            small = small + "0" if len(small.partition(".")[2]) in {0, 3} else small
            raise BadCell(
                f"'{number}' can be read two ways",
                f"write {whole}{part}, or {small} for the small number",
            )
        return (whole or "0") + "." + part
    if mark == ".":
        return (whole or "0") + "." + part
    if looks_grouped:
        return whole + part
    raise _two_ways(number)


def _two_ways(number: str) -> BadCell:
    fix = "use a point for decimals and no thousands mark"
    if re.fullmatch(r"\d{0,12},\d{1,6}", number):
        fix = f"write {number.replace(',', '.') if number[0] != ',' else '0.' + number[1:]} if that is meant"
    return BadCell(f"'{number[:40]}' can be read two ways", fix)


_SINGLE = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_PART = r"\d{1,3} ?/ ?\d{1,3}"
_WITH_PART = rf"(?:(\d[\d.]{{0,12}})(?: ?- ?| ))?({_PART})|(\d[\d.]{{0,12}})"
_FEET_INCHES = re.compile(
    rf"(?:{_WITH_PART}) ?(?:'|ft\.?|feet|foot)[ ,-]*(?:{_WITH_PART}) ?(?:\"|''|in\.?|inch|inches)?", re.I | re.A
)
_MIXED = re.compile(rf"(?:{_WITH_PART})(?![\d/])(.*)", re.S | re.A)
_MARKS = str.maketrans({"’": "'", "′": "'", "”": '"', "″": '"', "⁄": "/", "–": "-"})


def _sum(whole: str | None, part: str | None, alone: str | None) -> Fraction:
    """What is written as ``5 1/2``, ``1/2`` or ``5.5``. Raises ValueError or ZeroDivisionError."""
    if alone is not None:
        return Fraction(alone)
    return Fraction(whole or 0) + Fraction((part or "").replace(" ", ""))


def _plain(value: Fraction) -> str | None:
    """The figure with a point and up to four decimals, where that is all of it."""
    figure = Decimal(value.numerator) / Decimal(value.denominator)
    return format(trimmed(figure), "f") if Fraction(figure) == value and (value * 10_000).denominator == 1 else None


def _in_parts(text: str, column: Column) -> BadCell | None:
    """What to say of 12 ft 6 in and of 5 1/2: the same as one figure, which is the user's to write."""
    told = " ".join("".join(f" {_SINGLE[ch]}" if ch in _SINGLE else ch for ch in text.translate(_MARKS)).split())
    try:
        if column.kind == "length" and (match := _FEET_INCHES.fullmatch(told)):
            rest = _sum(*match.groups()[3:])
            if rest >= 12:
                return None
            inches = 12 * _sum(*match.groups()[:3]) + rest
            feet, whole = _plain(inches / 12), _plain(inches)
            write = f"{feet} ft" if feet else f"{whole} in" if whole else None
            return BadCell(f"'{text[:40]}' is in two units", f"write {write}" if write else "write it in inches, with a point")
        if (match := _MIXED.fullmatch(told)) and match[2]:
            figure, unit = _plain(_sum(*match.groups()[:3])), match[4].strip()[:20]
            blank = " " if unit[:1].isalnum() else ""
            return BadCell(f"'{text[:40]}' is written as a fraction",
                           f"write {figure}{blank}{unit}" if figure else "write it with a point")  # fmt: skip
    except (ValueError, ZeroDivisionError):
        return None
    return None


def quantity(
    text: str, column: Column, unit: str | None = None, *, comma_decimals: bool = False
) -> Quantity:
    """The figure in a cell, in its own unit or else ``unit`` (a key of UNITS). Raises BadCell.

    ``column`` gives its kind and range.
    """
    shown = f"'{text[:40]}'"
    if _DAY.fullmatch(text):
        raise BadCell(f"{shown} is a date", f"write it as {column.expects}, in a cell kept as text or a number")
    parts = _in_parts(text, column)
    if parts is not None:
        raise parts
    match = _NUMBER.fullmatch(text)
    rest = match["rest"].strip() if match else ""
    if text[:1] in "'‘’" and _NUMBER.fullmatch(text[1:]):
        raise BadCell(f"there is a quote mark before the figure in {shown}", f"write {text[1:41]}")
    if match is None or (column.kind not in {"grade", "ratio"} and _CLOCK.fullmatch(text)):
        raise BadCell(f"{shown} is not a quantity", f"write it as {column.expects}")
    if _CLOCK.fullmatch(text) and not re.fullmatch(r":\s*1", rest):
        raise BadCell(
            f"{shown} is a time of day", "write a grade as 25% and a ratio as 4:1, kept as text"
        )
    grouped = re.fullmatch(r"(\d{1,3}(?:['’]\d{3})+)(.*)", text, re.S)
    if grouped:
        raise BadCell(f"{shown} has a mark inside the number", f"write {re.sub('[^0-9]', '', grouped[1])}{grouped[2][:20]}")
    if column.kind in {"grade", "ratio"} and match["number"] == "1":
        turned = re.fullmatch(r":\s*(\d[\d.,]{0,10})", rest)
        if turned and turned[1] != "1":
            raise BadCell(f"{shown} is not written as run to rise", f"write {turned[1]}:1 if it goes {turned[1]} along for 1 up")
    if column.kind in {"grade", "ratio"} and re.fullmatch(r"to\s*1", rest):
        raise BadCell(f"{shown} is in words", f"write {match['number']}:1")
    if rest[:1].isdigit():
        raise BadCell(f"{shown} has a space inside the number", "write the digits together")
    if re.match(r"(?:-|–|—|/|to\b|and\b|bis\b)\s*\d", rest):
        raise BadCell(f"{shown} holds two figures", f"write one, as {column.expects}")
    digits = _digits(match["number"], comma_decimals)
    sign = "-" if match["sign"] in {"-", "−"} else ""
    if match["exp"]:
        if abs(int(match["exp"][1:])) > 15:
            size = "small" if match["exp"][1] == "-" else "large"
            raise BadCell(f"{shown} is too {size}", f"write it as {column.expects}")
        digits = format(Decimal(digits + match["exp"]), "f")
    if len(digits) > 40:
        raise BadCell(f"{shown} has too many digits", f"write it as {column.expects}")
    if not rest:
        if unit is None and column.kind not in NO_UNIT_NEEDED:
            raise NoUnit(f"{shown} has no unit", f"write it as {column.expects}")
        rest = unit or ""
    try:
        value = replace(Quantity.read(f"{sign}{digits} {rest}".strip(), column.kind), limit=column.limit)
        si = value.si
    except CalculationError as e:
        raise BadCell(
            e.what, f"write it as {column.expects}" if e.fix.startswith("write it as") else e.fix
        ) from None
    if column.kind == "count" and value.figure != value.figure.to_integral_value():
        raise BadCell(f"{shown} is not a whole number", f"write it as {column.expects}")
    low, high = column.bounds
    check = f"check the figure and its unit; an example is {column.expects}"
    whole = Quantity(trimmed(value.figure * 100), "%", "fraction")
    in_percent = f"write {whole} if that is meant" if low <= si * 100 <= high else column.below or check
    if column.kind == "fraction" and value.unit == "%" and 0 < abs(value.figure) < 1:
        raise BadCell(f"{value} is less than one part in a hundred", in_percent)
    if not low <= si <= high:
        fix = check
        if si > high and column.beyond:
            fix = column.beyond
        elif si < low and column.below:
            fix = column.below
        elif column.kind == "fraction" and value.unit == "%" and value.figure < 2:
            fix = in_percent
        if column.kind == "fraction" and value.unit == "1" and low <= si / 100 <= high:
            fix = f"write {value.figure}% if that is meant"
        raise BadCell(f"{value} is out of range ({_range(column, value.unit)})", fix)
    return value


def _range(column: Column, unit: str) -> str:
    """The range as said in a message, in the unit system of ``unit``."""
    system = UNITS[unit].system
    ends = [Quantity.read(text, column.kind) for text in (column.low, column.high)]
    return " to ".join(str(end.in_system(system) if system else end) for end in ends)


def header_unit(text: str, column: Column) -> str:
    """Key of the unit in a heading's brackets. Raises BadCell where the column has no such unit."""
    try:
        return find_unit(text, column.kind)
    except CalculationError as e:
        example = Quantity.read(column.us, column.kind).unit
        fix = (
            f"write {column.header}"
            if UNITS[example].label
            else f"write {column.name} without a unit"
        )
        raise BadCell(e.what, fix) from None


_ID = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,38}[A-Za-z0-9])?")


def identifier(text: str) -> str:
    """A short id. Raises BadCell."""
    if len(text) > 40:
        raise BadCell(f"the id '{text[:20]}…' is longer than 40 characters", "shorten it")
    if not _ID.fullmatch(text) or ".." in text:
        raise BadCell(
            f"'{text[:40]}' cannot be an id",
            "use letters, digits, '-', '_' and '.', with no spaces",
        )
    return text


def name(text: str) -> str:
    """A name as printed. Raises BadCell."""
    if len(text) > 80:
        raise BadCell("the name is longer than 80 characters", "shorten it")
    if not any(ch.isalnum() for ch in text):
        raise BadCell(f"'{text[:20]}' is no name", "write a name with letters in it")
    return text


def isolated(text: str) -> str:
    """The text to print among other words: set apart where it has letters written from right to left.

    Without it a figure behind such a name would be shown in front of it (Unicode Standard Annex
    9, first strong isolate).
    """
    if any(unicodedata.bidirectional(ch) in {"R", "AL", "AN"} for ch in text):
        return f"\u2068{text}\u2069"
    return text


# what the trade also calls them; a word that is merely spelt alike may mean another machine
_ALSO_CALLED = {
    "mini excavator": "compact excavator", "mini digger": "compact excavator", "mini": "compact excavator",
    "miniexcavator": "compact excavator", "midi excavator": "compact excavator", "compact": "compact excavator",
    "digger": "excavator", "trackhoe": "excavator", "track hoe": "excavator", "crawler excavator": "excavator",
    "bulldozer": "dozer", "crawler dozer": "dozer", "haul truck": "truck", "dump truck": "truck", "lorry": "truck",
}


def choice(text: str, column: Column) -> str:
    """One of the column's options, whatever its case. Raises BadCell."""
    wanted = " ".join(text.replace("_", " ").split()).lower()
    for option in column.options:
        if option.lower() == wanted:
            return option
    options = ", ".join(column.options)
    found = near(wanted, column.options) if len(wanted) > 2 else None
    other = _ALSO_CALLED.get(wanted.replace("-", " "))
    if other in column.options:
        found = other
    raise BadCell(f"'{text[:40]}' is no {column.meaning.partition(',')[0]} known here",
                  f"did you mean {found}? It is one of {options}" if found else f"write one of {options}")  # fmt: skip


def date(text: str, order: DateOrder | None) -> datetime.date:
    """A day as 2026-03-14; 14.3.2026; or with slashes where they can be read one way only.

    ``order`` settles dates with slashes that could be read two ways. Raises BadCell.
    """
    parts = re.fullmatch(r"(\d{1,4})([-./])(\d{1,2})\2(\d{1,4})", text, re.ASCII)
    fix = "write year, month and day, such as 2026-03-14"
    if parts is None:
        raise BadCell(f"'{text[:40]}' is not a date", fix)
    a, mark, b, c = int(parts[1]), parts[2], int(parts[3]), int(parts[4])
    if len(parts[1]) == 4:
        year, month, day = a, b, c
    elif len(parts[4]) != 4:
        raise BadCell(f"'{text}' has no four-digit year", fix)
    elif mark == "." or a > 12 or (order == "day first" and b <= 12):
        year, month, day = c, b, a
    elif b > 12 or order == "month first" or a == b:
        year, month, day = c, a, b
    else:
        raise BadCell(f"the date '{text}' can be read two ways",
                      "write year, month and day, such as 2026-03-14, or add 'dates: month first' (or day first) to settings.yml")  # fmt: skip
    try:
        found = datetime.date(year, month, day)
    except ValueError:
        raise BadCell(f"there is no day '{text}'", fix) from None
    if not 1950 <= year <= 2100:
        raise BadCell(f"the year {year} cannot be meant", fix)
    return found


__all__ = [
    "KINDS",
    "BadCell",
    "DateOrder",
    "NoUnit",
    "choice",
    "clean",
    "date",
    "header_unit",
    "identifier",
    "isolated",
    "name",
    "quantity",
]  # fmt: skip
