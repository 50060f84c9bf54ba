"""Measures and words: the text of both unit systems, and what is refused."""

from __future__ import annotations

import math

import pytest

from generator.drawing.measure import Measure, Words, both, join, positive


def test_measures() -> None:
    bench = Measure(3.048, "10 ft", "3.0 m")
    assert join("Bench ", bench) == Words("Bench 10 ft", "Bench 3.0 m")
    assert both("Bench ", bench, ".") == "Bench 10 ft (3.0 m)."
    assert Words("25 %", "25 %").both == "25 %"
    with pytest.raises(ValueError, match="finite"):
        Measure(math.nan, "?", "?")
    with pytest.raises(ValueError, match="depth must be more than zero"):
        positive(depth=Measure(0.0, "0 ft", "0 m"))
