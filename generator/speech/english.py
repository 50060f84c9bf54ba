"""Whole numbers and decimals in the English of the United States."""

from __future__ import annotations

from decimal import Decimal

_SMALL = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_GROUPS = ((10**9, "billion"), (10**6, "million"), (10**3, "thousand"))
_ORDINALS = {
    "one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth", "nine": "ninth", "twelve": "twelfth",
}  # fmt: skip
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


def whole(n: int) -> str:
    """A whole number from 0 to under 10¹²: ``one hundred fifteen thousand``. Raises ValueError beyond."""
    if not 0 <= n < 10**12:
        raise ValueError(f"no words for {n}")
    if n < 20:
        return _SMALL[n]
    if n < 100:
        tens, rest = divmod(n, 10)
        return _TENS[tens] + (f"-{_SMALL[rest]}" if rest else "")
    if n < 1000:
        hundreds, rest = divmod(n, 100)
        return f"{_SMALL[hundreds]} hundred" + (f" {whole(rest)}" if rest else "")
    size, name = next(g for g in _GROUPS if n >= g[0])
    count, rest = divmod(n, size)
    return f"{whole(count)} {name}" + (f" {whole(rest)}" if rest else "")


def digits(text: str) -> str:
    """Digits one by one: ``two five``."""
    return " ".join(_SMALL[int(d)] for d in text)


def decimal(figure: Decimal, mark: str) -> str:
    """A figure of zero or more with the digits it shows: ``three point two five``."""
    before, _, after = format(figure, "f").partition(".")
    return whole(int(before)) + (f" {mark} {digits(after)}" if after else "")


def ordinal(n: int) -> str:
    """A place in a row, from 1 to 99: ``twenty-first``."""
    head, dash, last = whole(n).rpartition("-")
    made = _ORDINALS.get(last) or (f"{last[:-1]}ieth" if last.endswith("y") else f"{last}th")
    return head + dash + made


def year(n: int) -> str:
    """A year as people say it: ``twenty twenty-six``, ``two thousand five``."""
    century, rest = divmod(n, 100)
    if not 1100 <= n <= 9999 or (century % 10 == 0 and rest < 10):
        return whole(n)
    if not rest:
        return f"{whole(century)} hundred"
    return f"{whole(century)} {'oh ' if rest < 10 else ''}{whole(rest)}"
