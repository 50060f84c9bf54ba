"""Laws of the levels: from a benchmark to the blade, and back to it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import grade_levels as levels
from generator.calc.procedure import Procedure
from generator.calc.steps import Note, Rows

heights = st.floats(-400, 6000)
readings = st.floats(0.05, 9)


def worked(procedure: Procedure, **texts: str) -> tuple[dict[str, float | str], tuple[object, ...]]:
    outcome = procedure.run(procedure.read(texts), "us", {})
    return {name: value.si for name, value in outcome.values.items()}, outcome.steps


@given(heights, readings, readings, readings)
def test_the_benchmark_drops_out(benchmark: float, back: float, on_ground: float, wanted: float) -> None:
    line = levels.INSTRUMENT_HEIGHT(benchmark=benchmark, backsight=back)
    ground = levels.GROUND_HEIGHT(instrument_height=line, reading=on_ground)
    design = line - wanted
    assert levels.ROD_READING(instrument_height=line, design=design) == pytest.approx(wanted, abs=1e-9)
    # the rod alone tells the same: it reads more where the ground is lower
    assert levels.DIFFERENCE(ground=ground, design=design) == pytest.approx(wanted - on_ground, abs=1e-9)


@given(heights, st.floats(0.01, 5))
def test_too_high_is_cut_and_too_low_is_fill(design: float, by: float) -> None:
    above, steps = worked(levels.CUT_OR_FILL, ground=f"{design + by:.6f} m", design=f"{design:.6f} m")
    below, _ = worked(levels.CUT_OR_FILL, ground=f"{design - by:.6f} m", design=f"{design:.6f} m")
    assert above["which"] == "cut" and below["which"] == "fill"
    assert above["amount"] == pytest.approx(by, abs=1e-5) and below["amount"] == pytest.approx(by, abs=1e-5)
    assert any(isinstance(s, Note) and "comes off" in s.text for s in steps)


@given(readings, st.floats(0.01, 3))
def test_under_a_string_a_short_measure_is_cut(above: float, by: float) -> None:
    if above > by:
        high, _ = worked(levels.STRING_CHECK, string_above=f"{above:.6f} m", measured_down=f"{above - by:.6f} m")
        assert high["which"] == "cut" and high["amount"] == pytest.approx(by, abs=1e-5)
    if above + by < 9:
        deep, _ = worked(levels.STRING_CHECK, string_above=f"{above:.6f} m", measured_down=f"{above + by:.6f} m")
        assert deep["which"] == "fill"


@given(st.floats(0, 0.2), st.floats(1, 900))
def test_a_laser_off_level_is_worse_farther_out(off: float, far: float) -> None:
    values, steps = worked(levels.LASER_OFF, off_level=f"{off:.8f}", distance=f"{far:.6f} m")
    (table,) = (s for s in steps if isinstance(s, Rows))
    errors = [float(row[1]) for row in table.rows]
    assert errors == sorted(errors) and errors[0] == 0.0 and errors[-1] == pytest.approx(float(values["error"]))
    assert errors[2] == pytest.approx(errors[-1] / 2, abs=1e-9)


@given(st.floats(0.5, 8), st.floats(-0.4, 0.4), st.floats(0.002, 0.14))
def test_more_than_allowed_means_stop_whichever_way(back: float, by: float, allowed: float) -> None:
    if abs(abs(by) - allowed) < 1e-4:
        return
    values, steps = worked(
        levels.CHECK_BACK, backsight=f"{back:.6f} m", reading_now=f"{back + by:.6f} m", check_tolerance=f"{allowed:.6f} m"
    )
    assert values["verdict"] == ("good" if abs(by) <= allowed else "moved")
    (note,) = (s.text for s in steps if isinstance(s, Note))
    assert ("Stop" in note) == (abs(by) > allowed)
