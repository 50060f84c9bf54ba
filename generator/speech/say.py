"""A quantity as a person says it: ``three and a half to one``, ``ciento quince mil voltios``.

The words come from the figure, its unit and the digits it shows. Nothing here reads a printed text, so that what is
heard cannot go wrong where a symbol is read out badly.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from generator.speech import english, spanish
from generator.speech.units import PERCENT, PLAIN, RATIO, WORDS, UnitWords
from generator.units.quantity import Quantity, trimmed
from generator.units.table import SMALLER

_HALF, _QUARTER, _THREE = Decimal("0.5"), Decimal("0.25"), Decimal("0.75")
# units in which people say quarters; halves they say of any
_QUARTERED = frozenset({"in", "ft", "yd", "mi", "acre", "gal", "h", "year"})
_FEW = 100  # from here on a half is said as a decimal


@dataclass(frozen=True, slots=True)
class Voice:
    """Who speaks: the language (``en`` or ``es``), and what the mark before decimals is called there."""

    language: str = "en"
    mark: str = "point"


@lru_cache(maxsize=64)
def voice_of(language: str, territory: str = "") -> Voice | None:
    """The voice of a language in a country (``MX``, ``ES``); None of a language that has no words here.

    Whether the mark before decimals is a point or a comma is what Unicode's locale data say of the place.
    """
    if language not in WORDS:
        return None
    if language == "en":
        return Voice("en", "point")
    from babel import Locale, UnknownLocaleError

    try:
        comma = Locale(language, territory or "US").number_symbols["latn"]["decimal"] == ","
    except (UnknownLocaleError, KeyError):
        comma = False
    return Voice(language, "coma" if comma else "punto")


def spoken(q: Quantity, voice: Voice) -> str:
    """The words of a quantity, singular and plural, gender and fractions as the language has them.

    Its unit is the one it is printed in: twenty-eight metric tons, of 28,000 kg.
    """
    return said(*q.printed, voice)


@lru_cache(maxsize=16384)
def said(figure: Decimal, unit: str, voice: Voice) -> str:
    """The words of a figure in a unit (a key of UNITS). Raises KeyError for a unit without words."""
    words = WORDS[voice.language][unit]
    if words.thousand:
        figure = trimmed(figure * 1000)
    if figure < 0:
        return f"{_of(voice, 'minus', 'menos')} {said_plain(-figure, unit, words, voice)}"
    return said_plain(figure, unit, words, voice)


def unit_words(unit: str, voice: Voice) -> str:
    """A unit alone, as an answer is asked in it: ``feet``, ``libras por yarda cúbica``."""
    words = WORDS[voice.language][unit]
    return f"{_of(voice, 'thousand', 'miles de')} {words.many}" if words.thousand else words.many


def said_plain(figure: Decimal, unit: str, words: UnitWords, voice: Voice) -> str:
    """The words of a figure of zero or more."""
    whole, rest = divmod(figure, 1)
    if _has_words(int(whole), rest, unit):
        made = (_english_part if voice.language == "en" else _spanish_part)(int(whole), rest, unit, words)
        if made:
            return made
    if voice.language == "en":
        return f"{english.decimal(figure, voice.mark)} {words.one if figure == 1 else words.many}".rstrip()
    return _spanish(figure, unit, words, voice)


def _has_words(whole: int, rest: Decimal, unit: str) -> bool:
    """Whether a figure's fraction is one that people have a word for, in this unit."""
    if rest not in {_HALF, _QUARTER, _THREE} or whole >= _FEW:
        return False
    if unit == PLAIN:
        return rest == _HALF and whole > 0  # a factor of a half is 0.5
    return rest == _HALF or unit in _QUARTERED or (unit == RATIO and not whole)


def _english_part(whole: int, rest: Decimal, unit: str, words: UnitWords) -> str:
    alone = {_HALF: "one half", _QUARTER: "one quarter", _THREE: "three quarters"}
    if whole:
        added = {_HALF: "a half", _QUARTER: "a quarter", _THREE: "three quarters"}[rest]
        return f"{english.whole(whole)} and {added} {words.many}".rstrip()
    if unit == RATIO:
        return f"{alone[rest]} {words.many}"
    article = "an" if words.one[0] in "aeio" or words.one.startswith("hour") else "a"
    if unit in {"1/h", "1/min"}:
        return ""
    return {_HALF: "half ", _QUARTER: "a quarter of ", _THREE: "three quarters of "}[rest] + f"{article} {words.one}"


def _spanish_part(whole: int, rest: Decimal, unit: str, words: UnitWords) -> str:
    half = "media" if words.feminine else "medio"
    if unit in {PLAIN, PERCENT, RATIO}:
        part = {_HALF: "medio", _QUARTER: "un cuarto", _THREE: "tres cuartos"}[rest]
        return f"{spanish.whole(whole)} y {part} {words.many}".rstrip() if whole else f"{part} {words.many}"
    if " por " in f" {words.one} " or " de " in words.one or words.thousand:
        return ""  # "y medio" would seem to belong to the last word
    if not whole:
        return f"{half} {words.one}" if rest == _HALF else f"{'un cuarto' if rest == _QUARTER else 'tres cuartos'} de {words.one}"
    part = {_HALF: half, _QUARTER: "un cuarto", _THREE: "tres cuartos"}[rest]
    return f"{spanish.whole(whole, _form(words))} {words.one if whole == 1 else words.many} y {part}"


def _form(words: UnitWords) -> spanish.Form:
    return "feminine" if words.feminine else "masculine"


def _spanish(figure: Decimal, unit: str, words: UnitWords, voice: Voice) -> str:
    if figure % 1 or unit in {PLAIN, PERCENT, RATIO, "1/h", "1/min"}:
        form: spanish.Form = "feminine" if words.feminine else "alone"
        return f"{spanish.decimal(figure, voice.mark, form)} {words.many}".rstrip()
    number = int(figure)
    of = "de " if spanish.of_millions(number) else ""
    return f"{spanish.decimal(figure, voice.mark, _form(words))} {of}{words.one if figure == 1 else words.many}"


def _of(voice: Voice, in_english: str, in_spanish: str) -> str:
    return in_english if voice.language == "en" else in_spanish


def spoken_range(low: Quantity, high: Quantity, voice: Voice) -> str:
    """From one to the other, the unit said once where both have it: ``ten to fifteen feet``, ``de diez a quince pies``."""
    (one, unit), (other, its) = low.printed, high.printed
    words = WORDS[voice.language][unit]
    first, second = said(one, unit, voice), said(other, its, voice)
    if unit == its and unit not in {RATIO, PLAIN}:
        for name in (words.many, words.one):  # "ten feet to fifteen feet" with the first "feet" left out
            if name and first.endswith(f" {name}") and not first.startswith(("half", "a quarter", "three quarters", "medi")):
                first = first.removesuffix(f" {name}").removesuffix(" de")
                break
    return _of(voice, f"{first} to {second}", f"de {first} a {second}")


def feet_and_inches(length: Quantity, voice: Voice) -> str:
    """A length in feet as a tape gives it: ``five feet six inches``, ``cinco pies con seis pulgadas``. Raises ValueError for other units."""
    smaller, many = SMALLER.get(length.unit, ("", 0))
    if smaller != "in":
        raise ValueError(f"{length} is not in feet")
    feet, rest = divmod(length.figure, 1)
    inches = trimmed(rest * many)
    if not inches:
        return said(feet, "ft", voice)
    if not feet:
        return said(inches, "in", voice)
    return f"{said(feet, 'ft', voice)} {_of(voice, '', 'con ')}{said(inches, 'in', voice)}"


def spoken_date(day: datetime.date, voice: Voice) -> str:
    """``January fifth, twenty twenty-six``; ``cinco de enero de dos mil veintiséis``, with ``primero`` as the Americas say it."""
    if voice.language == "en":
        return f"{english.MONTHS[day.month - 1]} {english.ordinal(day.day)}, {english.year(day.year)}"
    first = "primero" if day.day == 1 else spanish.whole(day.day)
    return f"{first} de {spanish.MONTHS[day.month - 1]} de {spanish.whole(day.year)}"
