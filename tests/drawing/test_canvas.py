"""The canvas itself: what it refuses, and what it writes."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing import Canvas, Words


def canvas(ident: str = "x") -> Canvas:
    return Canvas(ident, title="A drawing", desc="What the drawing shows, in words.")


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.text(max_size=40), st.text(max_size=40))
def test_any_text_makes_well_formed_xml(title: str, label: str) -> None:
    drawing = Canvas("x", title="T" + title, desc="D" + title)
    view = drawing.view((0, 0, 4, 2))
    view.rect(0, 0, 4, 2)
    view.label((2, 1), Words(label, label + "m"))
    drawing.note(label)
    svg = ET.fromstring(drawing.to_svg())
    assert svg.get("role") == "img"


@pytest.mark.parametrize("ident", ["", "1a", "a b", 'a"', "ä", "-a"])
def test_an_id_must_be_fit_for_a_page(ident: str) -> None:
    with pytest.raises(ValueError, match="id needs a letter"):
        canvas(ident)


def test_a_drawing_needs_words() -> None:
    with pytest.raises(ValueError, match="title and a description"):
        Canvas("x", title=" ", desc="y")
    with pytest.raises(ValueError, match="empty world"):
        canvas().view((0, 0, 0, 1))


@pytest.mark.parametrize("stretch", [1.0, 2.0, 8.0])
def test_stretch_is_said_in_words(stretch: float) -> None:
    drawing = canvas()
    drawing.view((0, 0, 10, 1), stretch=stretch)
    drawing.note("Below")
    texts = " ".join(box.text for box in drawing.text_boxes())
    assert ("Drawn to scale." in texts) == (stretch == 1)
    assert (f"×{stretch:g}" in texts) == (stretch != 1)
