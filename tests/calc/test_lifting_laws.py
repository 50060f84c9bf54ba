"""Laws the lifting calculations must keep, whatever the inputs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue.lifting import CHART, LOAD_LEFT, SHARE, SHARE_OF_CHART, TOTAL_LOAD
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity

MASS = st.floats(100.0, 20_000.0)


@given(MASS, st.floats(0.0, 2000.0), st.floats(0.0, 5000.0))
def test_the_heaviest_load_takes_the_whole_chart(chart: float, rigging: float, bucket: float) -> None:
    if chart - rigging - bucket <= 0:
        with pytest.raises(CalculationError, match="alone are all"):
            LOAD_LEFT(chart_load=chart, rigging=rigging, bucket=bucket)
        return
    most = LOAD_LEFT(chart_load=chart, rigging=rigging, bucket=bucket)
    assert math.isclose(SHARE(total_load=TOTAL_LOAD(load=most, rigging=rigging, bucket=bucket), chart_load=chart), 1.0)


@given(st.integers(1, 150), st.integers(30, 120))
def test_a_lift_is_refused_from_the_whole_chart_on_and_planned_from_three_quarters(hundreds: int, chart: int) -> None:
    given_ = {"total_load": Quantity.read(f"{hundreds * 100} lb", "mass"), "chart_load": Quantity.read(f"{chart * 100} lb", "mass")}
    if hundreds >= chart:
        with pytest.raises(CalculationError, match="all that the chart allows there"):
            SHARE_OF_CHART.run(given_, "us", {})
        return
    outcome = SHARE_OF_CHART.run(given_, "us", {})
    assert outcome.values["plans"].si == (1.0 if 4 * hundreds >= 3 * chart else 0.0)
    assert outcome.values["share"].si == pytest.approx(hundreds / chart)


def test_the_chart_is_never_worked_out() -> None:
    """What a machine can lift is an input of every calculation that needs it."""
    assert CHART.key == "lift-article-2003"
    for formula in (LOAD_LEFT, SHARE):
        assert "chart_load" in formula.input_by_name
    assert "tipping" not in " ".join(i.name for f in (TOTAL_LOAD, LOAD_LEFT, SHARE) for i in f.inputs)
