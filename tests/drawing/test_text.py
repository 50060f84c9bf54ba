"""Text: what is measured, and where lines break."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing.text import text_width, wrap


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.text(max_size=80), st.floats(20, 400))
def test_wrapping_loses_nothing_and_keeps_the_width(text: str, width: float) -> None:
    lines = wrap(text, width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    for line in lines:
        assert text_width(line) <= width or len(line.strip()) == 1


def test_a_number_and_its_unit_stay_together() -> None:
    assert wrap("Wall 1.0 ft", text_width("Wall 1.0")) == ["Wall", "1.0 ft"]
    assert wrap("12 passes each", text_width("12 passe")) != ["12 passes", "each"]
