"""What is kept of one language is never printed in another."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from generator.book.seen import Sources
from generator.calc.catalogue import find
from generator.language.words import Catalogue, tr, using
from generator.publish.build import load
from generator.units.quantity import Quantity
from generator.units.table import UNITS
from generator.working.explain import as_html, as_text, explain

WORDS = Catalogue("es", {
    "Rounded up": "Redondeado hacia arriba", "round up": "redondear arriba", "rise": "subida", "Bank volume": "Volumen en banco",
    "loose yd³": "yd³ sueltas", "_bank": "_banco", "acres": "acres (es)", "acre": "acre (es)", "tons": "toneladas cortas",
})  # fmt: skip


def working(*, html: bool) -> str:
    """The working of one calculation, in the language of now."""
    figures = {"bank_volume": "100 bcy", "swell": "25%"}
    given = {n: Quantity.read(t, "bank_volume" if n == "bank_volume" else "fraction") for n, t in figures.items()}
    done = explain(find("soil.loose"), given, "us", {})
    return as_html(done, lambda _: "") if html else "\n".join(as_text(done))


@pytest.mark.parametrize("html", [True, False])
def test_a_working_is_printed_in_each_language_in_turn(*, html: bool) -> None:
    english = working(html=html)
    with using(WORDS):
        other = working(html=html)
    assert "loose yd³" in english and "yd³ sueltas" not in english
    assert "yd³ sueltas" in other and "loose yd³" not in other
    assert not html or ("<mtext>banco</mtext>" in other and "<mtext>bank</mtext>" not in other)
    assert working(html=html) == english


def test_a_unit_that_is_a_word_is_one_and_many_in_each_language() -> None:
    with using(WORDS):
        assert [UNITS["acre"].label_for(n) for n in (1, 2)] == ["acre (es)", "acres (es)"]
        assert str(Quantity.read("3 ton", "mass")) == "3 toneladas cortas"
        assert str(Quantity.read("3 ft", "length")) == "3 ft"  # a sign, the same everywhere
    assert str(Quantity.read("3 ton", "mass")) == "3 tons"


def test_parts_of_the_book_are_kept_by_language_and_by_its_strings() -> None:
    content, site = load(Path("site_demo"))

    def printed() -> str:
        return Sources(content, site, "program").fixed

    english = printed()
    with using(WORDS):
        spanish = printed()
        tr("Never said before")  # what is asked for in vain makes no other part
        assert printed() == spanish
    with using(replace(WORDS, texts={**WORDS.texts, "rise": "altura"})):
        assert len({english, spanish, printed()}) == 3
    assert printed() == english
