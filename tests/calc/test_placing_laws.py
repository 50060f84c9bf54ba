"""Laws of placing and compacting: which way they go, round trips, and how they hang together."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import placing, soil
from generator.calc.steps import Rows
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity

widths = st.floats(0.6, 4.5)
speeds = st.floats(0.2, 6)
layers = st.floats(0.03, 1.4)
passes = st.integers(1, 40)
swells = st.floats(0.05, 1)
shrinkages = st.floats(-0.04, 0.5)
lengths = st.floats(5, 900)


def worked(procedure: str, **texts: str) -> tuple[dict[str, float], tuple[object, ...]]:
    found = {"loads": placing.LOADS_FOR_LAYER, "tips": placing.TIP_PLAN}[procedure]
    outcome = found.run(found.read(texts), "us", {})
    return {name: float(value.si) for name, value in outcome.values.items()}, outcome.steps


@given(widths, speeds, layers, passes)
def test_twice_the_passes_are_half_the_output(w: float, v: float, t: float, p: int) -> None:
    once = placing.ROLLER_OUTPUT(roller_width=w, speed=v, layer=t, passes=p, efficiency=1.0)
    if 2 * p <= 60:
        assert placing.ROLLER_OUTPUT(roller_width=w, speed=v, layer=t, passes=2 * p, efficiency=1.0) == pytest.approx(once / 2)
    assert placing.ROLLER_OUTPUT(roller_width=w, speed=v, layer=t, passes=p, efficiency=0.75) == pytest.approx(0.75 * once)
    assert placing.ROLLER_OUTPUT(roller_width=w, speed=v, layer=t, passes=p, efficiency=1.0, overlap=w / 4) == pytest.approx(0.75 * once)


@given(layers, swells, shrinkages)
def test_a_layer_is_spread_thicker_than_it_ends(t: float, swell: float, shrinkage: float) -> None:
    loose = placing.LOOSE_THICKNESS(layer=t, swell=swell, shrinkage=shrinkage)
    assert loose > t
    # over one area it is what the soil calculations say of the volumes
    area = 500.0
    volume = placing.LAYER_VOLUME(area=area, layer=t)
    bank = soil.BANK_FOR_FILL_BY_SHARE(compacted_volume=volume, shrinkage=shrinkage)
    assert soil.LOOSE(bank_volume=bank, swell=swell) == pytest.approx(area * loose)


@given(st.floats(0.03, 30), layers)
def test_the_layers_fill_the_depth_and_one_fewer_does_not(depth: float, layer: float) -> None:
    n = placing.LAYERS(depth=depth, layer=layer)
    assert n == int(n) and n * layer >= depth * (1 - 1e-6) and (n - 1) * layer < depth


@given(st.floats(1, 100), widths, st.floats(0.0, 0.5))
def test_the_lanes_cover_the_strip_and_one_fewer_does_not(wide: float, drum: float, lap: float) -> None:
    n = placing.LANES(fill_width=wide, roller_width=drum, overlap=lap)
    covers = drum + (n - 1) * (drum - lap)
    assert covers >= wide * (1 - 1e-6)
    assert n == 1 or covers - (drum - lap) < wide * (1 + 1e-9)


@given(lengths, st.floats(3, 60), st.floats(0.05, 0.6), st.floats(3, 60))
def test_loads_tipped_by_the_plan_make_the_loose_layer(long: float, wide: float, thick: float, load: float) -> None:
    try:
        values, steps = worked("tips", fill_length=f"{long} m", fill_width=f"{wide} m", loose_layer=f"{thick} m", truck_load=f"{load} m3")
    except CalculationError:
        assert long * wide * thick / load > 400 * (1 - 1e-9)
        return
    assert values["spacing"] * wide * thick == pytest.approx(load)
    needed = soil.LOADS(loose_volume=long * wide * thick, truck_load=load)
    assert values["loads"] == pytest.approx(needed)
    assert values["push"] <= values["push_one_end"] * (1 + 1e-9)
    (table,) = (s for s in steps if isinstance(s, Rows))
    assert len(table.rows) == values["loads"] and table.rows[0][1] == 0.0
    assert table.rows[-1][2] == pytest.approx(long)
    for before, after in zip(table.rows, table.rows[1:], strict=False):
        assert after[1] == before[2] and float(after[1]) < long


def test_the_packed_layer_alone_gives_too_few_loads() -> None:
    values, _ = worked("loads", area="4800 ft2", layer="6 in", swell="25%", shrinkage="10%", truck_load="24 yd3")
    assert values["loads_by_packed"] + values["missing"] == values["loads"]
    assert values["loads_by_packed"] == math.ceil(4800 / 54 / 24)
    assert values["packed"] < values["bank"] < values["loose"]


def test_the_two_definitions_of_shrinkage_are_not_mixed_up() -> None:
    # a tenth of the bank, not a tenth of the fill: 90 packed are 100 in the bank
    loose = placing.LOOSE_THICKNESS(layer=Quantity.read("90 cm", "length").si, swell=0.5, shrinkage=0.1)
    assert loose == pytest.approx(1.5)


def test_the_list_of_tips_numbers_the_loads_and_ends_with_the_strip() -> None:
    """A load of 24 yd³, which are 648 ft³, covers 81 ft of a strip 12 ft wide and 8 in thick; 200 ft take three, at 0, 81 and 162 ft."""
    _, steps = worked("tips", fill_length="200 ft", fill_width="12 ft", loose_layer="8 in", truck_load="24 yd3")
    (table,) = (s for s in steps if isinstance(s, Rows))
    assert [r[0] for r in table.rows] == [1, 2, 3]
    assert [[round(float(x) / 0.3048, 6) for x in r[1:]] for r in table.rows] == [[0, 81], [81, 162], [162, 200]]
