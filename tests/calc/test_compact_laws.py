"""Laws of the compact excavator calculations."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import compact, slopes
from generator.calc.formula import Formula
from generator.calc.steps import Applied
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, System
from generator.working.byhand import worked
from generator.working.explain import NOT_ALLOWED, explain

gauges = st.floats(0.5, 2)
heights = st.floats(0.3, 2)


@given(gauges, st.floats(0, 2), heights)
def test_gain_is_the_difference_of_two_tip_angles(narrow: float, more: float, height: float) -> None:
    tip = slopes.STATIC_TIP_ANGLE
    gain = compact.TIP_GAIN(gauge_narrow=narrow, gauge_wide=narrow + more, cg_height=height)
    wide = tip(track_gauge=narrow + more, cg_height=height)
    assert gain == pytest.approx(wide - tip(track_gauge=narrow, cg_height=height), abs=1e-12)
    assert 0 <= gain < math.pi / 2


@given(gauges, heights)
def test_no_wider_is_no_gain(gauge: float, height: float) -> None:
    assert compact.TIP_GAIN(gauge_narrow=gauge, gauge_wide=gauge, cg_height=height) == 0
    with pytest.raises(CalculationError, match="wider"):
        compact.TIP_GAIN(gauge_narrow=gauge * 1.01, gauge_wide=gauge, cg_height=height)


def test_gain_is_no_allowed_slope() -> None:
    assert compact.TIP_GAIN.stability
    texts = {"gauge_narrow": "0.8 m", "gauge_wide": "1.2 m", "cg_height": "0.6 m"}
    for system in SYSTEMS:
        shown = explain(compact.TIP_GAIN, {**compact.TIP_GAIN.read(texts)}, system, {}).result.text()
        assert NOT_ALLOWED in shown


@given(st.floats(1, 5), st.floats(0.5, 5))
def test_machine_and_room_fill_the_gate(gate: float, machine: float) -> None:
    room = compact.GATE_CLEARANCE(gate_width=gate, machine_width=machine)
    assert machine + 2 * room == pytest.approx(gate)
    assert (room < 0) == (machine > gate)


@given(st.floats(0.3, 3), st.floats(0, 2), st.floats(0.2, 5))
def test_hand_working_holds(narrow: float, more: float, height: float) -> None:
    system: System
    for system in SYSTEMS:
        given_now = {
            "gauge_narrow": Quantity.of(narrow, "length", system),
            "gauge_wide": Quantity.of(narrow + more, "length", system),
            "cg_height": Quantity.of(height, "length", system),
        }
        done = worked(compact.TIP_GAIN, given_now, system)
        assert done.exact == pytest.approx(compact.TIP_GAIN.value(given_now), abs=1e-12)


@given(st.floats(0.1, 6), st.floats(0.06, 0.5), st.floats(-0.5, 0.5), st.floats(0, 1))
def test_layers_fill_the_trench_and_no_more(depth: float, layer: float, shrinkage: float, swell: float) -> None:
    share = compact.PACKED_SHARE(shrinkage=shrinkage, swell=swell)
    assert 0 < share <= 1
    packed = compact.PACKED_LAYER(layer=layer, share=max(share, 0.15))
    assert 0 < packed <= layer
    assert compact.LOOSE_SINKS(depth=max(depth, 0.1), share=max(share, 0.15)) == pytest.approx(max(depth, 0.1) * (1 - max(share, 0.15)))


@given(gauges, st.floats(1.01, 2))
def test_what_narrow_tracks_take_is_a_share_of_the_wide_ones(narrow: float, wider: float) -> None:
    lost = compact.LEVER_LOST(gauge_narrow=narrow, gauge_wide=narrow * wider)
    assert narrow == pytest.approx(narrow * wider * (1 - lost)) and 0 < lost < 1


@pytest.mark.parametrize("formula", [f for f in compact.CALCULATIONS if isinstance(f, Formula)], ids=lambda f: str(f.id))
def test_out_of_range_is_refused(formula: Formula) -> None:
    middle = {i.name: sum(i.bounds) / 2 for i in formula.inputs}
    for i in formula.inputs:
        # nothing of shrinkage or of swell is a figure like any other
        for bad in (*((0.0,) if i.bounds[0] > 0 else ()), -1.0, 1e6, math.nan):
            with pytest.raises(CalculationError):
                formula(**{**middle, i.name: bad})


def test_the_working_of_layers_carries_the_share_to_four_digits() -> None:
    """Loose ground keeps 1/1.3 of its thickness as bank, and nine tenths of that packed: 0.9/1.3 = 0.692307… by hand."""
    given_ = compact.BACKFILL_LAYERS.read({
        "depth": "4 ft", "layer": "8 in", "shrinkage": "10%", "swell": "30%", "bottom_width": "2 ft", "length": "50 ft", "blade_load": "0.1 yd3",
    })  # fmt: skip
    applied = {s.name: s.inputs for s in compact.BACKFILL_LAYERS.work(given_, "us", {}).steps if isinstance(s, Applied)}
    for name in ("packed", "sinks"):
        share = applied[name]["share"]
        assert isinstance(share, Quantity) and round(share.si, 6) == 0.6923
