"""How a drawing is written: short numbers, no colour of its own."""

from __future__ import annotations

import pytest

from generator.drawing.svg import number, stylesheet


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (-0.001, "0"), (1.0, "1"), (10.0, "10"), (1.234, "1.23"), (-2.5, "-2.5"),
     (100.0, "100"), (1e-9, "0"), (0.1 + 0.2, "0.3")],
)  # fmt: skip
def test_numbers_are_written_short(value: float, text: str) -> None:
    assert number(value) == text


def test_stylesheet_has_no_colour() -> None:
    css = stylesheet()
    assert ".drawing" in css and "currentColor" in css
    assert "#" not in css and "rgb" not in css
