"""Reads a spoken number back, as one who hears it: words in, a figure and a unit as pint knows it out.

It shares nothing with the speaker. Words are added up from left to right; a unit is put together from the words of its
parts (``pounds per cubic yard`` is pound / yard**3).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from generator.units.table import registry

_EN = {w: n for n, w in enumerate(
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
)} | {w: 10 * n for n, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)}  # fmt: skip
_ES = {w: n for n, w in enumerate(
    ["cero", "uno", "dos", "tres", "cuatro", "cinco", "seis", "siete", "ocho", "nueve", "diez", "once", "doce", "trece", "catorce", "quince", "dieciséis", "diecisiete", "dieciocho", "diecinueve", "veinte", "veintiuno", "veintidós", "veintitrés", "veinticuatro", "veinticinco", "veintiséis", "veintisiete", "veintiocho", "veintinueve"]
)} | {w: 10 * n for n, w in enumerate(["treinta", "cuarenta", "cincuenta", "sesenta", "setenta", "ochenta", "noventa"], 3)}  # fmt: skip
_ES |= {
    "un": 1,
    "una": 1,
    "veintiún": 21,
    "veintiuna": 21,
    "cien": 100,
    "ciento": 100,
    "quinientos": 500,
    "setecientos": 700,
    "novecientos": 900,
}
_ES |= {f"{w}cientos": 100 * n for n, w in ((2, "dos"), (3, "tres"), (4, "cuatro"), (6, "seis"), (8, "ocho"))}
_ES |= {w[:-2] + "as": n for w, n in list(_ES.items()) if w.endswith("cientos") or w == "quinientos"}
_TIMES = {
    "en": {"hundred": 100, "thousand": 1000, "million": 10**6, "billion": 10**9},
    "es": {"mil": 1000, "millón": 10**6, "millones": 10**6},
}
_MARKS = {"point", "punto", "coma"}
_PARTS = {
    "half": Decimal("0.5"), "quarter": Decimal("0.25"), "quarters": Decimal("0.25"),
    "medio": Decimal("0.5"), "media": Decimal("0.5"), "cuarto": Decimal("0.25"), "cuartos": Decimal("0.25"),
}  # fmt: skip

_BASES_EN = {
    "inch": "inch", "foot": "foot", "yard": "yard", "mile": "mile", "millimeter": "mm", "centimeter": "cm", "meter": "m", "kilometer": "km",
    "acre": "field_acre", "hectare": "hectare", "liter": "liter", "pound": "pound", "ton": "short_ton", "kilogram": "kg", "tonne": "metric_ton",
    "kilonewton": "kN", "newton": "N", "kilopascal": "kPa", "pascal": "Pa", "second": "s", "minute": "minute", "hour": "hour", "year": "year",
    "degree": "degree", "radian": "radian", "turn": "revolution", "volt": "volt", "horsepower": "hp", "kilowatt": "kW", "gallon": "gallon",
    "ounce": "fluid_ounce", "milliliter": "mL",
}  # fmt: skip
_BASES_ES = {
    "pulgada": "inch", "pie": "foot", "yarda": "yard", "milla": "mile", "milímetro": "mm", "centímetro": "cm", "metro": "m", "kilómetro": "km",
    "acre": "field_acre", "hectárea": "hectare", "litro": "liter", "libra": "pound", "tonelada": "metric_ton", "kilogramo": "kg",
    "kilonewton": "kN", "newton": "N", "kilopascal": "kPa", "pascal": "Pa", "segundo": "s", "minuto": "minute", "hora": "hour", "año": "year",
    "grado": "degree", "radián": "radian", "vuelta": "revolution", "voltio": "volt", "kilovatio": "kW", "galón": "gallon",
    "onza": "fluid_ounce", "mililitro": "mL",
}  # fmt: skip
_MANY_EN = {"feet": "foot", "inches": "inch", "horsepower": "horsepower"}
_MANY_ES = {"kilopascales": "kilopascal", "pascales": "pascal", "radianes": "radián", "galones": "galón"}
_STATES = {"loose": "loose", "bank": "bank", "compacted": "compacted", "suelta": "loose", "suelto": "loose", "banco": "bank",
           "compactada": "compacted", "compactado": "compacted"}  # fmt: skip


@dataclass(frozen=True)
class Heard:
    """A figure, its unit as pint spells it, and the state of a volume ('' for none); ``ratio`` of ``to one``."""

    figure: Decimal
    unit: str
    state: str = ""
    ratio: bool = False

    def si(self) -> Any:
        """The value in SI base units, as pint makes it."""
        ureg = registry()
        return (float(self.figure) * ureg.parse_units(self.unit)).to_base_units()


def heard(text: str, language: str) -> Heard:
    """What a spoken quantity says. Raises ValueError where it cannot be read as one."""
    words = text.replace(",", "").split()
    sign = 1
    if words[0] in {"minus", "menos"}:
        sign, words = -1, words[1:]
    figure, rest = _number(words, language)
    unit = " ".join(rest)
    ratio = unit in {"to one", "a uno"}
    tail = re.fullmatch(r"(.*) y (un cuarto|tres cuartos|medio|media)", unit)
    if tail:  # seis pies y medio
        unit = tail[1]
        figure += _PARTS[tail[2].split()[-1]] * (3 if tail[2].startswith("tres") else 1)
    if ratio or not unit:
        return Heard(sign * figure, "dimensionless", ratio=ratio)
    made, state = _unit(unit, language)
    return Heard(sign * figure, made, state)


def _number(words: list[str], language: str) -> tuple[Decimal, list[str]]:
    names = _EN if language == "en" else _ES
    times = _TIMES[language]
    words = [w for word in words for w in (word.split("-") if "-" in word and word.split("-")[0] in names else [word])]
    total, group, at, any_number = 0, 0, 0, False
    while at < len(words):
        word = words[at]
        after = words[at + 1] if at + 1 < len(words) else ""
        if word in names and after not in {"quarter", "quarters", "half", "cuarto", "cuartos"}:
            group += names[word]
        elif word in times:
            if times[word] == 100:
                group *= 100
            elif word.startswith("millon") or word == "millón":
                total, group = (total + group) * times[word], 0  # dos mil millones
            else:
                total, group = total + (group or 1) * times[word], 0
        elif word == "y" and language == "es" and after in names and any_number and words[at - 1].endswith("nta"):
            pass
        else:
            break
        any_number = True
        at += 1
    figure = Decimal(total + group)
    rest = words[at:]
    if rest and rest[0] in _MARKS:
        return _decimals(figure, rest[1:], names)
    if rest and rest[0] == "de":
        rest = rest[1:]
    return _parts(figure, rest, any_number)


def _parts(figure: Decimal, rest: list[str], any_number: bool) -> tuple[Decimal, list[str]]:
    """Halves and quarters behind a number, or in the place of one."""
    if rest and rest[0] in {"and", "y"} and any_number:
        more, left = _parts(Decimal(0), rest[1:], False)
        return figure + more, left
    for given, value in (("three quarters", 3), ("tres cuartos", 3), ("one quarter", 1), ("a quarter", 1), ("un cuarto", 1),
                         ("one half", 2), ("a half", 2), ("half", 2), ("medio", 2), ("media", 2)):  # fmt: skip
        n = len(given.split())
        if rest[:n] == given.split():
            left = rest[n:]
            while left and left[0] in {"of", "a", "an", "de"} and left != ["a", "uno"]:
                left = left[1:]
            return figure + Decimal(value) * Decimal("0.25"), left
    if not any_number:
        raise ValueError(f"no number in {rest}")
    return figure, rest


def _decimals(figure: Decimal, rest: list[str], names: dict[str, int]) -> tuple[Decimal, list[str]]:
    digits, at, tens = "", 0, 0
    while at < len(rest) and (rest[at] in names or (rest[at] == "y" and tens)):
        if rest[at] == "y":
            at += 1
            digits = digits[:-2] + str(tens + names[rest[at]])
            tens = 0
        else:
            n = names[rest[at]]
            digits += str(n)
            tens = n if n >= 30 and n % 10 == 0 else 0
        at += 1
    return Decimal(f"{int(figure)}.{digits}"), rest[at:]


def _unit(text: str, language: str) -> tuple[str, str]:
    """pint's spelling of a unit in words, and its state."""
    state = ""
    kept = []
    for word in text.split():
        if word.removesuffix("s") in _STATES:
            state = _STATES[word.removesuffix("s")]
        elif not (word == "en" and "banco" in text):
            kept.append(word)
    text = " ".join(kept)
    text = text.replace("metric ton", "tonne").replace("percent", "%").replace("por ciento", "%")
    text = (
        re.sub(r"\bof force\b", "force", text).replace("de fuerza", "force").replace("caballo force", "HP").replace("caballos force", "HP")
    )
    text = text.replace("for each thousand volts", "per KV").replace("por cada mil voltios", "por KV")
    text = re.sub(r"libras? pie\b|foot-pounds?\b", "FOOTPOUND", text)
    # a pressure as everybody says it
    text = re.sub(r"^(pounds?|libras?)( per square inch| por pulgada cuadrada)$", r"\1 force\2", text)
    if text.startswith(("per ", "por ")):
        text = "1 " + text
    top, *below = re.split(r" per | por ", text)
    made = _product(top, language)
    for part in below:
        made += f"/({_product(part, language)})"
    return made, state


def _product(text: str, language: str) -> str:
    square = "**2" if re.search(r"squared|al cuadrado", text) else ""
    text = re.sub(r" squared| al cuadrado", "", text)
    m = re.fullmatch(r"(square|cubic) (\w+)", text)
    if m:
        return f"{_base(m[2], language)}**{2 if m[1] == 'square' else 3}"
    m = re.fullmatch(r"(\w+) (cuadrad[oa]s?|cúbic[oa]s?)", text)
    if m:
        return f"{_base(m[1], language)}**{2 if m[2].startswith('cuad') else 3}"
    if re.fullmatch(r"tonelada(s?) corta\1", text):
        return "short_ton"
    if re.fullmatch(r"(onzas? líquidas?|fluid ounces?)", text):
        return "fluid_ounce"
    m = re.fullmatch(r"(\w+) force", text)
    if m:
        return _base(m[1], language) + "_force"
    fixed = {"1": "1", "%": "percent", "HP": "hp", "KV": "kilovolt", "FOOTPOUND": "foot*pound_force"}
    if text in fixed:
        return fixed[text]
    return "*".join(_base(word, language) + square for word in text.split())


def _base(word: str, language: str) -> str:
    bases, many = (_BASES_EN, _MANY_EN) if language == "en" else (_BASES_ES, _MANY_ES)
    word = many.get(word, word)
    return bases[word] if word in bases else bases[word.removesuffix("s")]
