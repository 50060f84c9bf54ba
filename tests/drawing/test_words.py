"""Words of drawings in another language: whole sentences, with a blank for each figure."""

from __future__ import annotations

from generator.drawing.canvas import Canvas
from generator.drawing.measure import Measure, Said, Words, both, join, said, words
from generator.language.words import Catalogue, using

DEEP = Measure(1.2192, "4 ft", "1.2 m")
WIDE = Measure(0.6096, "2 ft", "0.6 m")


def test_each_sentence_is_asked_for_alone_with_blanks_of_its_own() -> None:
    turned = Catalogue("es", {"It is {0} deep and {1} wide.": "Mide {1} de ancho y {0} de fondo.", "Stay out.": "No entre."})
    with using(turned):
        assert both("Stay out. It is ", DEEP, " deep and ", WIDE, " wide.") == (
            "No entre. Mide 2 ft (0.6 m) de ancho y 4 ft (1.2 m) de fondo."
        )
        assert join("It is ", DEEP, " deep and ", WIDE, " wide.") == Words(
            "Mide 2 ft de ancho y 4 ft de fondo.", "Mide 0.6 m de ancho y 1.2 m de fondo."
        )
        assert turned.missing == set()


def test_a_figure_written_into_the_words_is_a_blank_too() -> None:
    turned = Catalogue("es", {"{0} passes, each {1} deep.": "{0} pasadas, de {1} cada una."})
    with using(turned):
        assert join("12 passes, each ", DEEP, " deep.").us == "12 pasadas, de 4 ft cada una."
        assert words("Height drawn ×2.5.").us == "Height drawn ×2.5."


def test_names_signs_and_what_is_said_already_are_left_alone() -> None:
    turned = Catalogue("es", {"Stay out.": "No entre."})
    with using(turned):
        assert words("3:1") == Words("3:1", "3:1") and words("A") == Words("A", "A")
        assert words(Said("Stay out.")).us == "Stay out."
        assert words(said("Stay out.")).us == said(said("Stay out.")) == "No entre."
        assert join(Said("Old {1} truck"), " 3:1").us == "Old {1} truck 3:1"
        assert words("{0} is a sign here").us == "{0} is a sign here"
        assert turned.missing == {"{{0}} is a sign here"}


def test_without_a_translation_it_is_english_and_noted() -> None:
    none = Catalogue("es")
    with using(none):
        assert both("It is ", DEEP, " deep. Watch.") == "It is 4 ft (1.2 m) deep. Watch."
        assert none.missing == {"It is {0} deep.", "Watch."}


def test_a_drawing_speaks_the_language_of_now() -> None:
    with using(
        Catalogue(
            "es", {"A wall": "Una pared", "It stands.": "Está en pie.", "Stay out.": "No entre.", "A sketch, not to scale.": "Un croquis."}
        )
    ):
        canvas = Canvas("wall", "A wall", "It stands.")
        canvas.note("Stay out.")
        svg = canvas.to_svg()
    assert '<title id="wall-title">Una pared</title>' in svg and "Está en pie." in svg and "No entre." in svg
    assert "Una" not in Canvas("wall", "A wall", "It stands.").to_svg()
