"""What people type for a unit in Spanish is known, and a result keeps the unit's key, by which it is marked again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import content_folder
from generator.language.catalogue import catalogue
from generator.language.scripts import table
from generator.language.words import using
from generator.speech.typed import folded, typed_words
from generator.units import browser as of_the_page
from generator.units.reading import read_typed
from generator.units.table import UNITS

LOOK = content_folder() / "look"


@pytest.fixture(scope="module")
def words() -> dict[str, str]:
    with using(catalogue("es", (content_folder(),))):
        return typed_words()


@pytest.fixture
def page(browser: Any, tmp_path: Path) -> Iterator[Any]:
    spanish = catalogue("es", (content_folder(),))
    with using(spanish):
        scripts = [table(spanish, content_folder()), (LOOK / "words.js").read_text("utf-8"), of_the_page.script(typed_words())]
    made = browser.new_page()
    made.goto("about:blank")
    for text in (*scripts, (LOOK / "typed-number.js").read_text("utf-8")):
        made.add_script_tag(content=text)
    yield made
    made.close()


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("3 pies", "3 ft"),
        ("3.5pies", "3.5 ft"),
        ("1 Pie", "1 ft"),
        ("5 pies 6 pulgadas", "5 ft 6 in"),
        ("5 pies y 6 pulgadas", "5 ft 6 in"),
        ("1/2 pulg.", "1/2 in"),
        ("12,5 metros cúbicos", "12,5 m3"),
        ("12 yd³ sueltas", "12 lcy"),
        ("12 yardas cubicas en banco", "12 bcy"),
        ("10 por ciento", "10 %"),
        ("-4 grados", "-4 deg"),
        ("25 millas por hora", "25 mph"),
        ("12 toneladas", "12 T"),  # short or metric: asked where both would count
        ("12 toneladas cortas", "12 ton"),
        ("4 pasadas", "4 passes"),
        ("3 a 1", "3 to 1"),
        ("3 a uno", "3 to 1"),
        ("3:1", "3:1"),
        ("12 T", "12 T"),
        ("7 ft", "7 ft"),
        ("1 234,5", "1 234,5"),
        ("5' 6\"", "5' 6\""),
        ("4 brazas", "4 brazas"),
    ],
)
def test_words_of_units_become_keys(page: Any, typed: str, kept: str) -> None:
    assert page.evaluate("t => seatworkNumbers.inKeys(t)", typed) == kept
    if "brazas" not in kept:
        read_typed(kept)  # the reader of results knows it


def test_both_tons_are_asked_about_and_one_is_taken(page: Any) -> None:
    read = "([t, accept]) => seatworkNumbers.figureFor(seatworkNumbers.inKeys(t), {unit: 'ton', accept})"
    assert page.evaluate(read, ["12 toneladas", {"ton": [1, 2], "t": [1, 2]}]) == {"either": ["12 ton", "12 t"]}
    assert page.evaluate(read, ["12 toneladas", {"ton": [1, 2]}])["unit"] == "ton"


def test_what_is_needed_is_said_in_spanish(page: Any) -> None:
    got = page.evaluate("seatworkNumbers.figureFor('3 ft', {unit: '%', accept: {'%': [1, 2]}})")
    assert got["problem"] == "Esta respuesta necesita un por ciento, por ejemplo %. Usted escribió “ft”."


def test_every_word_stands_for_what_a_reader_of_results_knows(words: dict[str, str]) -> None:
    assert len(words) > 150 and not set(words.values()) - set(UNITS) - {"T", "passes", "trucks", "loads", "buckets", "trips", "times"}
    for word, key in words.items():
        assert word == folded(word)
        read_typed(f"3 {key}")
    assert not [w for w, k in words.items() if k == "t" or k.startswith("t/")]  # a tonne to one, a short ton to another


def test_english_has_none_and_reads_as_before() -> None:
    assert typed_words() == {}
    assert "words: {}," in of_the_page.script(typed_words())


def test_style_sheets_have_no_words() -> None:
    """They are the same in every language."""
    sheets = [*LOOK.rglob("*.css"), *content_folder().parent.joinpath("generator").rglob("*.css")]
    assert len(sheets) > 5
    found = {(p.name, c) for p in sheets for c in re.findall(r"content: [^;}]*\"[^\";]*[A-Za-z]{2}[^\";]*\"", p.read_text("utf-8"))}
    assert not found
