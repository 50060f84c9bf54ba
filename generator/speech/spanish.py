"""Whole numbers and decimals in the Spanish of the Americas, agreeing with what is counted."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

# how a number ends that ends in one: alone (``veintiuno``), before a masculine word (``veintiún``), before a feminine one
Form = Literal["alone", "masculine", "feminine"]

_SMALL = [
    "cero",
    "uno",
    "dos",
    "tres",
    "cuatro",
    "cinco",
    "seis",
    "siete",
    "ocho",
    "nueve",
    "diez",
    "once",
    "doce",
    "trece",
    "catorce",
    "quince",
    "dieciséis",
    "diecisiete",
    "dieciocho",
    "diecinueve",
    "veinte",
    "veintiuno",
    "veintidós",
    "veintitrés",
    "veinticuatro",
    "veinticinco",
    "veintiséis",
    "veintisiete",
    "veintiocho",
    "veintinueve",
]
_TENS = ("", "", "", "treinta", "cuarenta", "cincuenta", "sesenta", "setenta", "ochenta", "noventa")
_HUNDREDS = (
    "", "ciento", "doscientos", "trescientos", "cuatrocientos", "quinientos", "seiscientos", "setecientos", "ochocientos", "novecientos",
)  # fmt: skip
MONTHS = ("enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre")


def whole(n: int, form: Form = "alone") -> str:
    """A whole number from 0 to under 10¹²: ``ciento quince mil``, ``veintiuna``, ``doscientas``. Raises ValueError beyond."""
    if not 0 <= n < 10**12:
        raise ValueError(f"no words for {n}")
    if n < 1000:
        return _under_a_thousand(n, form)
    if n < 10**6:
        thousands, rest = divmod(n, 1000)
        # "mil" is never counted with one, and what ends in one is cut short before it
        head = "mil" if thousands == 1 else f"{_under_a_thousand(thousands, 'masculine', women=form == 'feminine')} mil"
        return head + (f" {_under_a_thousand(rest, form)}" if rest else "")
    millions, rest = divmod(n, 10**6)
    # a million is a masculine word itself, whatever is counted
    head = "un millón" if millions == 1 else f"{whole(millions, 'masculine')} millones"
    return head + (f" {whole(rest, form)}" if rest else "")


def _under_a_thousand(n: int, form: Form, *, women: bool = False) -> str:
    """``women`` makes the hundreds feminine where the end is not, as in ``doscientas un mil libras``."""
    if n == 100:
        return "cien"
    hundreds, rest = divmod(n, 100)
    parts = []
    if hundreds:
        name = _HUNDREDS[hundreds]
        parts.append(name[:-2] + "as" if hundreds > 1 and (women or form == "feminine") else name)
    if rest or not hundreds:
        parts.append(_under_a_hundred(rest, form))
    return " ".join(parts)


def _under_a_hundred(n: int, form: Form) -> str:
    if n >= 30:
        tens, one = divmod(n, 10)
        return _TENS[tens] + (f" y {_under_a_hundred(one, form)}" if one else "")
    word = _SMALL[n]
    if n in {1, 21} and form == "feminine":
        return word[:-1] + "a"
    if n in {1, 21} and form == "masculine":
        return "un" if n == 1 else "veintiún"
    return word


def of_millions(n: int) -> bool:
    """Whether what is counted follows with ``de``: un millón de libras."""
    return n >= 10**6 and n % 10**6 == 0


def digits(text: str) -> str:
    """Digits one by one: ``dos cinco``."""
    return " ".join(_SMALL[int(d)] for d in text)


def decimal(figure: Decimal, mark: str, form: Form = "alone") -> str:
    """A figure of zero or more with the digits it shows: ``tres punto veinticinco``, ``tres coma cero cinco``.

    Two digits behind the mark are said as one number; more of them, or one behind a zero, one by one.
    """
    before, _, after = format(figure, "f").partition(".")
    if not after:
        return whole(int(before), form)
    head = whole(int(before), "feminine" if form == "feminine" else "alone")
    tail = whole(int(after)) if len(after) < 3 and after[0] != "0" else digits(after)
    return f"{head} {mark} {tail}"
