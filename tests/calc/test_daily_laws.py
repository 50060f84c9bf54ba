"""Laws of the calculations of the day: fuel, falls and rolling, track sag, heat and hours."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.calc.catalogue import daily, daily_heat, daily_sag
from generator.calc.steps import Note, Rows
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS
from tests.outside.collected import tables

SHARE = st.floats(0.05, 1.0)
MM = st.integers(5, 500)


@settings(max_examples=100)
@given(tank=st.floats(0.02, 7.0), use=st.floats(1e-6, 1.5e-4), gauge=SHARE, reserve=st.floats(0.0, 0.6))
def test_a_start_level_is_what_just_lasts_the_shift(tank: float, use: float, gauge: float, reserve: float) -> None:
    """The level that a shift needs, put in as the gauge, lasts just that shift."""
    assume(gauge - reserve > 0.01)
    lasts = daily.FUEL_LASTS(fuel_tank=tank, gauge=gauge, reserve=reserve, fuel_use=use)
    if 1800 <= lasts <= 86400:
        assert daily.START_LEVEL(shift_time=lasts, fuel_use=use, fuel_tank=tank, reserve=reserve) == pytest.approx(gauge, rel=1e-9)


def test_a_tank_below_its_reserve_is_refused() -> None:
    with pytest.raises(CalculationError, match="below the reserve"):
        daily.FUEL_LASTS(fuel_tank=0.3, gauge=0.2, reserve=0.25, fuel_use=5e-6)


@settings(max_examples=100)
@given(height=st.floats(0.2, 5.0))
def test_four_times_as_high_is_twice_as_fast(height: float) -> None:
    assume(4 * height <= 6)
    assert daily.LANDING_SPEED(height=4 * height) == pytest.approx(2 * daily.LANDING_SPEED(height=height))


@settings(max_examples=100)
@given(distance=st.floats(1.0, 500.0), grade=st.floats(0.03, 0.6), taken=st.floats(0.0, 0.19))
def test_what_rolls_off_is_never_faster_than_what_falls_as_deep(distance: float, grade: float, taken: float) -> None:
    given_ = {"distance": distance, "grade": grade, "rolling_resistance": taken}
    if taken >= grade:
        with pytest.raises(CalculationError, match="does not start to roll"):
            daily.ROLL_SPEED(**given_)
        return
    speed = daily.ROLL_SPEED(**given_)
    depth = distance * grade / math.hypot(1, grade)
    assert speed <= math.sqrt(2 * 9.80665 * depth) * (1 + 1e-9)
    assert daily.ROLL_SPEED(**{**given_, "rolling_resistance": 0.0}) == pytest.approx(math.sqrt(2 * 9.80665 * depth))


def sag_of(sag: int, least: int, most: int) -> dict[str, Any]:
    given_: dict[str, Quantity | str] = {
        n: Quantity.read(f"{v} mm", "length") for n, v in (("sag", sag), ("least_sag", least), ("most_sag", most))
    }
    return {n: v.si for n, v in daily_sag.TRACK_SAG.work(given_, "metric", {}).values.items()}


@settings(max_examples=100)
@given(sag=MM, least=MM, most=MM)
def test_a_track_is_tight_right_or_loose(sag: int, least: int, most: int) -> None:
    if least > most:
        with pytest.raises(CalculationError, match="the least sag is more than the most"):
            sag_of(sag, least, most)
        return
    found = sag_of(sag, least, most)
    assert found["verdict"] == ("too tight" if sag < least else "too loose" if sag > most else "right")
    # put right by just so much it is right, and no less would do
    right = sag + (1 if sag < least else -1) * found["off"] * 1000
    assert least - 1e-6 <= right <= most + 1e-6
    assert (found["off"] > 0) == (found["verdict"] != "right")


@settings(max_examples=60)
@given(
    shift=st.integers(4, 14),
    day=st.integers(1, 13),
    worker=st.sampled_from((daily_heat.NEW, daily_heat.BACK)),
    system=st.sampled_from(SYSTEMS),
)
def test_no_day_in_the_heat_is_shorter_than_the_one_before(shift: int, day: int, worker: str, system: Any) -> None:
    def hours(k: int, who: str = worker) -> float:
        given_: dict[str, Quantity | str] = {
            "shift_time": Quantity.read(f"{shift} h", "time"),
            "day": Quantity.read(str(k), "count"),
            "worker": who,
        }
        return float(daily_heat.HEAT_DAY.work(given_, system, tables()).values["hours"].si)

    assert hours(day) <= hours(day + 1) <= shift * 3600
    assert hours(day, daily_heat.NEW) <= hours(day, daily_heat.BACK)


@pytest.mark.parametrize(("worker", "days"), [(daily_heat.NEW, 5), (daily_heat.BACK, 4)])
def test_the_days_in_the_heat_are_counted_from_the_first(worker: str, days: int) -> None:
    """The occupational safety institute's schedules have five days for the new and four for those who come back."""
    given_: dict[str, Quantity | str] = {"shift_time": Quantity.read("8 h", "time"), "day": Quantity.read("1", "count"), "worker": worker}
    (table,) = (s for s in daily_heat.HEAT_DAY.work(given_, "us", tables()).steps if isinstance(s, Rows))
    assert [row[0] for row in table.rows] == list(range(1, days + 1))


@settings(max_examples=100)
@given(people=st.integers(1, 100), every=st.integers(10, 60))
def test_nobody_brings_less_than_is_drunk(people: int, every: int) -> None:
    cup, shift = 2.4e-4, 8 * 3600.0
    water = daily_heat.WATER(people=people, shift_time=shift, every=every * 60.0, cup=cup)
    assert water == pytest.approx(people * daily_heat.DRINK_RATE(cup=cup, every=every * 60.0) * shift)


@settings(max_examples=100)
@given(shift=st.floats(1, 14), travel=st.floats(0, 3), own=st.floats(0, 8))
def test_the_hours_of_a_day_are_24(shift: float, travel: float, own: float) -> None:
    h = 3600.0
    given_ = {"shift_time": shift * h, "travel_time": travel * h, "own_time": own * h}
    if shift + 2 * travel + own > 24:
        with pytest.raises(CalculationError):
            daily_heat.SLEEP_LEFT(**given_)
        return
    assert daily_heat.SLEEP_LEFT(**given_) + (shift + 2 * travel + own) * h == pytest.approx(24 * h)


@pytest.mark.parametrize(("worker", "days"), [("new to the heat", 5), ("back in the heat", 4)])
def test_that_the_table_of_days_has_ended_is_said_on_the_first_day_behind_it(worker: str, days: int) -> None:
    """The institute's table has five days for somebody new and four for somebody back."""
    for day in range(1, days + 3):
        given_ = daily_heat.HEAT_DAY.read({"worker": worker, "day": str(day), "shift_time": "10 h"})
        notes = [s.text for s in daily_heat.HEAT_DAY.work(given_, "us", tables()).steps if isinstance(s, Note)]
        assert [n for n in notes if "table has ended" in n] == (notes if day > days else []) and bool(notes) == (day > days), day
