"""Which voice a page is read by, and what it reads for a printed value."""

from __future__ import annotations

import datetime
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest

from generator.language.words import Catalogue, using
from generator.speech.say import Voice
from generator.units.quantity import Quantity
from generator.working.aloud import voice_for, words_of


def site(country: str = "US") -> Any:
    return SimpleNamespace(settings=SimpleNamespace(country=country))


@pytest.mark.parametrize(("country", "mark"), [("US", "punto"), ("MX", "punto"), ("AR", "coma"), ("ES", "coma")])
def test_the_voice_is_of_the_language_printed_now_in_the_sites_country(country: str, mark: str) -> None:
    assert voice_for(site(country)) == Voice("en", "point")
    with using(Catalogue("es")):
        assert voice_for(site(country)) == Voice("es", mark)
    with using(Catalogue("pl")):
        assert voice_for(site(country)) is None


def test_words_of_what_is_printed() -> None:
    english = Voice("en", "point")
    bench = Quantity(Decimal("9.5"), "ft", "length")
    assert words_of(bench, english) == "nine and a half feet"
    assert words_of(bench, english, "not a safe limit") == "nine and a half feet, not a safe limit,"
    assert words_of(bench, None) == ""
    assert words_of("2026-02-23", english) == "February twenty-third, twenty twenty-six"
    assert words_of(datetime.date(2026, 2, 1), Voice("es", "punto")) == "primero de febrero de dos mil veintiséis"
    assert words_of("Channel 1, then 911", english) == ""
    assert words_of("0123456789", english) == ""
    assert words_of(None, english) == ""
