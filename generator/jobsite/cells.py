"""Reading one cell: words, ids, dates, and figures with their units. Used for settings too."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Collection
from decimal import Decimal
from typing import Literal

from generator.jobsite.columns import Column, with_comma
from generator.jobsite.grid import MOST_CELL
from generator.language.words import is_code
from generator.source.near import near, suggest_language
from generator.source.problem import Refusal
from generator.units.errors import CalculationError, NotItsUnit
from generator.units.quantity import Quantity, trimmed
from generator.units.reading import read_written
from generator.units.table import KINDS, UNITS, convertible, find_unit, to_si

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
_HIDDEN = frozenset("\u00ad\u061c\u115f\u1160\u180e\u200b\u200e\u200f\u2028\u2029\u2800\u3164\ufeff\uffa0") | {
    chr(c) for c in (*range(0x202A, 0x202F), *range(0x2060, 0x2070), *range(0xFFF9, 0xFFFD), *range(0xE0000, 0xE0080))
}
_FORMULA_MARKS = frozenset("=+@-＝＋＠－")
_PLAIN_NUMBER = re.compile(r"[-+]\s?[\d.,]*\d[\d.,]*(?:e[-+]?\d+)?(?:\s?[^\W\d_%°\"']{0,6}(?:/[a-z0-9]+)?|\s?[%°\"'])", re.I)
_SHEET_ERROR = re.compile(r"#(?:REF!|N/A|VALUE!|DIV/0!|NAME\?|NUM!|NULL!|SPILL!|CALC!)|Err:\d+|#{3,}", re.I)


# blanks of every width: a figure copied from a page may hold a thin one, and that between its thousands stays
_BLANK = re.compile(r"[\u00a0\u2000-\u200a\u205f\u3000]|\u202f(?![0-9]{3}(?![0-9]))|(?<![0-9])\u202f")


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
    if text and text[0] in _FORMULA_MARKS and not _PLAIN_NUMBER.fullmatch(text) and text not in {"-", "--"}:
        raise BadCell(f"'{text[:20]}' looks like a formula", "write the value itself")
    return text


# what a spreadsheet makes of 3/4 or 1-2 in a cell for figures
_MONTH = "(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}"
_DAY = re.compile(
    r"\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}([-/.])\d{1,2}\1(\d{4}|\d\d)"
    rf"|\d{{1,2}}[-. /]{_MONTH}\.?([-. /]\d{{2,4}})?|{_MONTH}[-. ]\d{{2,4}}", re.I | re.A,
)  # fmt: skip


def quantity(text: str, column: Column, unit: str | None = None, *, comma_decimals: bool = False) -> Quantity:
    """The figure in a cell, in its own unit or else ``unit`` (a key of UNITS). Raises BadCell.

    ``column`` gives its kind and range.
    """
    shown = f"'{text[:40]}'"
    if _DAY.fullmatch(text):
        raise BadCell(f"{shown} is a date", f"write it as {column.expects}, in a cell kept as text or a number")
    try:
        found = read_written(text, column.kind, commas="decimal" if comma_decimals else "thousands", example=column.expects)
        if not found.unit and unit is None and column.kind not in NO_UNIT_NEEDED:
            raise NoUnit(f"{shown} has no unit", f"write it as {column.expects}")
        key = find_unit(found.unit or unit or "", column.kind)
        value = Quantity(trimmed(Decimal(found.digits)), key, column.kind, column.limit)
        si = value.si
    except CalculationError as e:
        fix = with_comma(e.fix) if column.comma else e.fix
        raise BadCell(e.what, f"write it as {column.expects}" if isinstance(e, NotItsUnit) else fix) from None
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
        elif si > high and (meant := _slipped_unit(value, column)):
            beside = "" if column.expects == meant else f"; an example is {column.expects}"
            fix = f"write {meant} if that is meant, or check the figure{beside}"
        if column.kind == "fraction" and value.unit == "1" and low <= si / 100 <= high:
            fix = f"write {_to_type(value, column)}% if that is meant"
        raise BadCell(f"{value} is out of range ({_range(column, value.unit)})", fix)
    return value


def _slipped_unit(value: Quantity, column: Column) -> str:
    """The figure with the one other unit of its system that puts it within the range: 1,800 t of a small machine are kg."""
    low, high = column.bounds
    system = UNITS[value.unit].system
    if system is None or not value.figure:
        return ""
    others = [u for u in UNITS.values() if u.key != value.unit and u.system == system and u.state == UNITS[value.unit].state]
    fitting = [u.key for u in others if convertible(u.key, column.kind) and low <= to_si(float(value.figure), u.key, column.kind) <= high]
    return f"{_to_type(value, column)} {fitting[0]}" if len(fitting) == 1 else ""


def _to_type(value: Quantity, column: Column) -> str:
    """A figure as it can be typed there: with the decimal mark of that table or of the settings."""
    return with_comma(str(value.figure)) if column.comma else str(value.figure)


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
        fix = f"write {column.header}" if UNITS[example].label else f"write {column.name} without a unit"
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


def language(text: str, known: Collection[str] = ("en", "es")) -> str:
    """The code of a language, two small letters as ISO 639-1 has them; ``known`` are codes that may have been meant. Raises BadCell."""
    code = text.lower()
    if not is_code(code):
        fix = suggest_language(text, known, "write two letters, such as en for English or es for Spanish")
        raise BadCell(f"'{text[:20]}' is no code of a language", fix)
    return code


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
    "mini excavator": "compact excavator",
    "mini digger": "compact excavator",
    "mini": "compact excavator",
    "miniexcavator": "compact excavator",
    "midi excavator": "compact excavator",
    "compact": "compact excavator",
    "digger": "excavator",
    "trackhoe": "excavator",
    "track hoe": "excavator",
    "crawler excavator": "excavator",
    "bulldozer": "dozer",
    "crawler dozer": "dozer",
    "haul truck": "truck",
    "dump truck": "truck",
    "lorry": "truck",
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


def date_in_order(text: str, order: DateOrder | None) -> datetime.date:
    """The same for a day that is evidence: one with slashes that does not keep to ``order`` is refused.

    Where a table is read day first, 12/13/2026 says that its other days may be turned round too. Raises BadCell.
    """
    found = date(text, order)
    parts = re.match(r"(\d{1,2})[-/](\d{1,2})[-/]", text, re.ASCII)
    if (
        order
        and parts
        and (int(parts[1]), int(parts[2])) != ((found.day, found.month) if order == "day first" else (found.month, found.day))
    ):
        raise BadCell(f"'{text}' is not {order}, as settings.yml says of dates",
                      f"is it {found}? Write year, month and day, and look at the other days of this table")  # fmt: skip
    return found


__all__ = [
    "KINDS",
    "BadCell",
    "DateOrder",
    "NoUnit",
    "choice",
    "clean",
    "date",
    "date_in_order",
    "header_unit",
    "identifier",
    "isolated",
    "name",
    "quantity",
]  # fmt: skip
