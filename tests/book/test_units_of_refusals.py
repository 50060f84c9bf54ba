"""What a drawing refuses is told in the site's units; lengths in whole feet are told to the centimetre where that is near enough."""

from __future__ import annotations

from dataclasses import replace

import pytest

from generator.book.scene import in_units
from generator.drawing.measure import Measure
from generator.units.quantity import Quantity

BLADE, SLOT = Measure(4.2672, "14 ft", "4.27 m"), Measure(1.2192, "4 ft", "1.22 m")
SAID = "a blade 14 ft wide does not fit a slot 4 ft wide"


def test_figures_of_a_refusal_are_told_in_the_sites_units() -> None:
    given = {"blade_width": BLADE, "runs": [SLOT]}
    assert in_units(SAID, given, "us") == SAID
    assert in_units(SAID, given, "metric") == "a blade 4.27 m wide does not fit a slot 1.22 m wide"


@pytest.mark.parametrize(("typed", "told"), [
    ("3 ft", "0.91 m"), ("24 in", "61 cm"), ("10 ft", "3.05 m"), ("120 ft", "36.6 m"),
    ("6 in", "15.2 cm"),  # 15 cm would be 1.6 percent off
    ("2.8 in", "7.11 cm"),  # typed finer than a centimetre
])  # fmt: skip
def test_a_length_is_told_as_a_tape_is_read(typed: str, told: str) -> None:
    """1 ft is 0.3048 m, 1 in is 2.54 cm, both exactly (international yard and pound agreement of 1959; from memory)."""
    assert str(Quantity.read(typed, "length").in_system("metric")) == told


@pytest.mark.parametrize("feet", [1, 2, 3, 4, 6, 7, 10, 20, 35])
def test_a_limit_is_never_told_on_its_far_side(feet: int) -> None:
    given = Quantity.read(f"{feet} ft", "length")
    assert replace(given, limit="least").in_system("metric").si >= feet * 0.3048 - 1e-12
    assert replace(given, limit="most").in_system("metric").si <= feet * 0.3048 + 1e-12
