"""Figures are said in words that say the same figure.

Outside the project: general rules of the two languages, and num2words for whole numbers.
"""

from __future__ import annotations

import dataclasses
import datetime
import random
import re
from decimal import Decimal

import num2words
import pytest

from generator.speech import english, spanish
from generator.speech.say import Voice, feet_and_inches, said, spoken, spoken_date, spoken_range, voice_of
from generator.speech.units import WORDS
from generator.units.quantity import Quantity
from generator.units.table import KINDS, UNITS, convertible, registry
from tests.speech.heard import heard

EN, ES = Voice("en", "point"), Voice("es", "punto")
VOICES = (EN, ES, Voice("es", "coma"))


def q(figure: str, unit: str, kind: str = "length") -> Quantity:
    return Quantity(Decimal(figure), unit, kind)


@pytest.mark.parametrize(
    ("figure", "unit", "in_english", "in_spanish"),
    [
        ("3.5", ":1", "three and a half to one", "tres y medio a uno"),
        ("3", ":1", "three to one", "tres a uno"),
        ("0.75", ":1", "three quarters to one", "tres cuartos a uno"),
        ("0.5", ":1", "one half to one", "medio a uno"),
        ("3.25", ":1", "three point two five to one", "tres punto veinticinco a uno"),
        ("6", "ft", "six feet", "seis pies"),
        ("1", "ft", "one foot", "un pie"),
        ("6.5", "ft", "six and a half feet", "seis pies y medio"),
        ("0.5", "in", "half an inch", "media pulgada"),
        ("0.25", "mi", "a quarter of a mile", "un cuarto de milla"),
        ("1.75", "in", "one and three quarters inches", "una pulgada y tres cuartos"),
        ("0.5", "h", "half an hour", "media hora"),
        ("115", "kV", "one hundred fifteen thousand volts", "ciento quince mil voltios"),
        ("115000", "V", "one hundred fifteen thousand volts", "ciento quince mil voltios"),
        ("13.8", "kV", "thirteen thousand eight hundred volts", "trece mil ochocientos voltios"),
        ("21", "t", "twenty-one metric tons", "veintiuna toneladas"),
        ("200", "lb", "two hundred pounds", "doscientas libras"),
        ("21000", "lb", "twenty-one thousand pounds", "veintiún mil libras"),
        ("201000", "lb", "two hundred one thousand pounds", "doscientas un mil libras"),
        ("1000", "lb", "one thousand pounds", "mil libras"),
        ("1000000", "lb", "one million pounds", "un millón de libras"),
        ("21", "m", "twenty-one meters", "veintiún metros"),
        ("101", "m", "one hundred one meters", "ciento un metros"),
        ("3.05", "m", "three point zero five meters", "tres punto cero cinco metros"),
        ("0.83", "1", "zero point eight three", "cero punto ochenta y tres"),
        ("0.125", "1", "zero point one two five", "cero punto uno dos cinco"),
        ("25", "%", "twenty-five percent", "veinticinco por ciento"),
        ("2.5", "%", "two and a half percent", "dos y medio por ciento"),
        ("14", "deg", "fourteen degrees", "catorce grados"),
        ("-5", "in", "minus five inches", "menos cinco pulgadas"),
        ("0", "ft", "zero feet", "cero pies"),
        ("2800", "lb/yd3", "two thousand eight hundred pounds per cubic yard", "dos mil ochocientas libras por yarda cúbica"),
        ("2.5", "mph", "two and a half miles per hour", "dos punto cinco millas por hora"),
        ("31", "min", "thirty-one minutes", "treinta y un minutos"),
        ("15", "1/h", "fifteen per hour", "quince por hora"),
        ("20", "kN*m", "twenty kilonewton meters", "veinte kilonewtons metro"),
    ],
)  # fmt: skip
def test_said_as_people_say_it(figure: str, unit: str, in_english: str, in_spanish: str) -> None:
    """Common practice, no source, for what crews say; gender, ``un`` before ``mil`` and ``de`` behind a million are rules of Spanish grammar."""
    assert said(Decimal(figure), unit, EN) == in_english
    assert said(Decimal(figure), unit, ES) == in_spanish


def test_the_mark_of_decimals_goes_by_the_country() -> None:
    """Point or comma as the Unicode locale data print them."""
    assert [voice_of("es", place).mark for place in ("US", "MX", "PR", "GT")] == ["punto"] * 4  # type: ignore[union-attr]
    assert [voice_of("es", place).mark for place in ("ES", "AR", "CL")] == ["coma"] * 3  # type: ignore[union-attr]
    assert voice_of("en") == EN
    assert voice_of("pl") is None
    assert said(Decimal("3.25"), "m", Voice("es", "coma")) == "tres coma veinticinco metros"


@pytest.mark.parametrize("language", sorted(WORDS))
def test_every_unit_has_words_of_its_own(language: str) -> None:
    assert WORDS[language].keys() == UNITS.keys()
    seen: dict[str, str] = {}
    for key, words in WORDS[language].items():
        if key == "1":
            continue
        assert not re.search(r"[^a-záéíóúñ \-]", words.one + words.many), key
        other = seen.setdefault(words.many, key)
        assert other == key or {other, key} == {"V", "kV"}, f"{other} and {key} sound alike"


@pytest.mark.parametrize("kind", sorted(KINDS))
@pytest.mark.parametrize("voice", VOICES, ids=lambda v: f"{v.language}-{v.mark}")
def test_every_kind_in_each_of_its_units_is_heard_as_it_is(kind: str, voice: Voice) -> None:
    for unit in (u for u in UNITS if convertible(u, kind)):
        for figure in (
            "0",
            "0.5",
            "0.25",
            "0.75",
            "1",
            "1.5",
            "2",
            "2.25",
            "14.3",
            "21",
            "101.01",
            "1.005",
            "200",
            "731",
            "115000",
            "2000000",
            "-3.5",
        ):
            held(Quantity(Decimal(figure), unit, kind), voice)


def held(quantity: Quantity, voice: Voice) -> None:
    """The words, read back, are the figure (all its digits) and the unit that are printed."""
    heard_as(quantity.printed, spoken(quantity, voice), voice.language)


def heard_as(printed: tuple[Decimal, str], words: str, language: str) -> None:
    """What is heard is the figure and the unit (a key of UNITS) that are printed."""
    figure, key = printed
    got = heard(words, language)
    unit = UNITS[key]
    assert not re.search(r"[^a-záéíóúñA-Z, \-]", words), words
    assert got.state == (unit.state or ""), words
    assert got.ratio == (key == ":1"), words
    thousand = 1000 if key == "kV" else 1
    assert got.figure == figure * thousand, f"{figure} {key}: {words}"
    ureg = registry()
    want = 1.0 * ureg.parse_units(unit.pint) / thousand
    have = 1.0 * ureg.parse_units(got.unit)
    assert have.dimensionality == want.dimensionality, f"{figure} {key}: {words}"
    assert have.to(want.units).magnitude == pytest.approx(want.magnitude, rel=1e-12), f"{figure} {key}: {words}"


def test_a_quantity_is_said_in_the_unit_it_is_printed_in() -> None:
    assert spoken(q("28000", "kg", "mass"), ES) == "veintiocho toneladas"
    assert spoken(q("6000", "mm"), EN) == "six meters"
    assert spoken(q("999", "kg", "mass"), EN) == "nine hundred ninety-nine kilograms"
    asked = dataclasses.replace(q("28000", "kg", "mass"), as_is=True)
    assert spoken(asked, EN) == "twenty-eight thousand kilograms" and str(asked).endswith("kg")
    assert spoken_range(q("500", "kg", "mass"), q("2000", "kg", "mass"), EN) == "five hundred kilograms to two metric tons"


def test_whole_numbers_are_those_of_a_general_library() -> None:
    """num2words, whose English has an *and* and commas, and whose Spanish writes ``veintiuno mil`` for ``veintiún mil``."""
    rng = random.Random(7)
    numbers = [*range(1200), *(rng.randrange(10 ** rng.randint(4, 9)) for _ in range(3000))]
    for n in numbers:
        other = num2words.num2words(n, lang="en").replace(" and ", " ").replace(",", "")
        assert english.whole(n) == other, n
        other = num2words.num2words(n, lang="es")
        other = re.sub(r"veintiuno (?=mil)", "veintiún ", other)
        other = re.sub(r"\buno (?=mil)", "un ", other)
        assert spanish.whole(n) == other, n


def test_ordinals_are_those_of_a_general_library() -> None:
    assert [english.ordinal(n) for n in range(1, 100)] == [num2words.num2words(n, to="ordinal") for n in range(1, 100)]
    assert english.year(2026) == num2words.num2words(2026, to="year")


def test_ranges_tapes_and_dates() -> None:
    assert spoken_range(q("10", "ft"), q("15", "ft"), EN) == "ten to fifteen feet"
    assert spoken_range(q("21", "t", "mass"), q("30", "t", "mass"), ES) == "de veintiuna a treinta toneladas"
    assert spoken_range(q("500", "ft"), q("2", "mi"), EN) == "five hundred feet to two miles"
    assert spoken_range(q("2", ":1", "ratio"), q("3", ":1", "ratio"), ES) == "de dos a uno a tres a uno"
    assert spoken_range(q("6.5", "ft"), q("8", "ft"), ES) == "de seis pies y medio a ocho pies"
    assert feet_and_inches(q("5.5", "ft"), EN) == "five feet six inches"
    assert feet_and_inches(q("5.5", "ft"), ES) == "cinco pies con seis pulgadas"
    assert feet_and_inches(q("6", "ft"), ES) == "seis pies"
    assert feet_and_inches(q("0.5", "ft"), EN) == "six inches"
    with pytest.raises(ValueError, match="not in feet"):
        feet_and_inches(q("2", "m"), EN)
    assert spoken_date(datetime.date(2026, 1, 5), EN) == "January fifth, twenty twenty-six"
    assert spoken_date(datetime.date(2026, 1, 5), ES) == "cinco de enero de dos mil veintiséis"
    assert spoken_date(datetime.date(2026, 3, 1), ES) == "primero de marzo de dos mil veintiséis"
    assert english.year(2005) == "two thousand five" and english.year(1999) == "nineteen ninety-nine"
    with pytest.raises(ValueError, match="no words"):
        english.whole(10**12)
    with pytest.raises(ValueError, match="no words"):
        spanish.whole(-1)


def test_the_one_who_hears_notices_a_wrong_word() -> None:
    """The reader of the tests is no echo of the speaker."""
    assert heard("veintiuna toneladas", "es").figure == 21
    assert heard("dos mil trescientas cuatro libras", "es").figure == 2304
    assert heard("three and a half feet", "en").figure == Decimal("3.5")
    assert heard("three point zero five meters", "en").figure == Decimal("3.05")
    assert heard("tres punto treinta y uno metros", "es").figure == Decimal("3.31")
    assert heard("two pounds per cubic yard", "en").unit == "pound/(yard**3)"
    with pytest.raises((ValueError, KeyError)):
        heard("six spans", "en")
