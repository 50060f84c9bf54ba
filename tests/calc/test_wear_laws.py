"""Laws the wear calculations must keep, whatever the inputs."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue.wear import CALCULATIONS
from generator.calc.formula import Formula
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, natural
from generator.units.table import SYSTEMS, UNITS, System, counterpart, from_si
from generator.working.byhand import worked

BY_ID = {c.id: c for c in CALCULATIONS}
IDS = [c.id for c in CALCULATIONS if isinstance(c, Formula)]


def formula(id: str) -> Formula:
    found = BY_ID[f"wear.{id}"]
    assert isinstance(found, Formula)
    return found


WORN, LEFT, REVERSE, SIDE, SLOPE, MOMENT = (
    formula(x)
    for x in ("percent_worn", "hours_left", "reverse_distance", "side_share", "grouser_slope_error",
              "side_moment")
)  # fmt: skip
SIZE = st.floats(0.02, 0.6)
SHARE = st.floats(0.011, 1.0)


@given(SIZE, st.floats(0.2, 0.9), st.floats(0, 1))
def test_worn_runs_from_nothing_to_all(new: float, part: float, share: float) -> None:
    limit = new * part
    assert WORN(new=new, limit=limit, measured=new) == 0
    assert WORN(new=new, limit=limit, measured=limit) == pytest.approx(1)
    now = new - share * (new - limit)
    assert WORN(new=new, limit=limit, measured=now) == pytest.approx(share, abs=1e-9)


@given(SIZE, st.floats(1.01, 1.2), st.floats(0, 1))
def test_a_part_that_grows_wears_the_same_way(new: float, part: float, share: float) -> None:
    limit = new * part
    now = new + share * (limit - new)
    assert WORN(new=new, limit=limit, measured=now) == pytest.approx(share, abs=1e-9)


def test_past_the_limit_is_more_than_all_and_past_new_is_an_error() -> None:
    assert WORN(new=0.08, limit=0.03, measured=0.02) > 1
    with pytest.raises(CalculationError, match="no sensible"):
        WORN(new=0.08, limit=0.03, measured=0.09)
    with pytest.raises(CalculationError):
        WORN(new=0.08, limit=0.08, measured=0.08)


@given(SHARE, st.floats(3600, 3.6e7))
def test_hours_run_and_left_make_the_whole_life(share: float, hours: float) -> None:
    left = LEFT(percent_worn=share, hours=hours)
    assert hours / (hours + left) == pytest.approx(share)
    assert LEFT(percent_worn=1.0, hours=hours) == pytest.approx(0, abs=1e-6)
    if share < 0.9:
        assert LEFT(percent_worn=share + 0.05, hours=hours) < left


def test_nothing_is_left_past_the_limit() -> None:
    with pytest.raises(CalculationError, match="out of range"):
        LEFT(percent_worn=1.2, hours=3600.0)
    with pytest.raises(CalculationError, match="out of range"):
        LEFT(percent_worn=0.0, hours=3600.0)


@given(st.floats(5, 500), st.floats(10, 1000), st.floats(0.2, 1))
def test_reverse_travel_adds_up_pass_by_pass(back: float, cycle: float, efficiency: float) -> None:
    shift = 8 * 3600.0
    total = REVERSE(return_distance=back, cycle_time=cycle, shift_time=shift, efficiency=efficiency)
    assert total / back * cycle == pytest.approx(shift * efficiency)
    some = BY_ID["wear.reverse_total"]
    assert isinstance(some, Formula)
    passes = int(shift / cycle)
    assert some(return_distance=back, passes=float(passes)) == pytest.approx(passes * back)
    halved = REVERSE(return_distance=back, cycle_time=cycle, shift_time=shift / 2,
                     efficiency=efficiency)  # fmt: skip
    assert halved == pytest.approx(total / 2)


def test_reverse_travel_by_default_counts_fifty_minutes_of_eight_hours() -> None:
    texts = {"return_distance": "150 ft", "cycle_time": "1.5 min"}
    full = {**texts, "shift_time": "8 h", "efficiency": "50 min/h"}
    assert REVERSE.value(REVERSE.read(texts)) == REVERSE.value(REVERSE.read(full))


@given(st.floats(0, 3e6), st.floats(1, 3e6))
def test_the_shares_of_both_sides_are_one(left: float, right: float) -> None:
    share = SIDE(hours_left_low=left, hours_right_low=right)
    other = SIDE(hours_left_low=right, hours_right_low=left)
    assert share + other == pytest.approx(1)
    assert (share > 0.5) == (left > right)


def test_no_hours_have_no_share() -> None:
    with pytest.raises(CalculationError, match="no sensible"):
        SIDE(hours_left_low=0.0, hours_right_low=0.0)


@given(st.floats(0, 0.15), st.floats(0.7, 6))
def test_a_wider_gauge_tilts_less(high: float, gauge: float) -> None:
    error = SLOPE(height_difference=high, track_gauge=gauge)
    assert error * gauge == pytest.approx(high)
    if high > 0.001 and gauge < 5.5:
        assert SLOPE(height_difference=high, track_gauge=gauge * 1.1) < error


@given(SIZE, st.floats(0.2, 0.9), st.floats(0, 1), st.floats(3600, 3.6e7), st.floats(0, 1))
def test_the_reading_then_is_on_the_straight_line_of_wear(new: float, part: float, share: float, hours: float, later: float) -> None:
    limit = new * part
    now = new - 0.5 * share * (new - limit)
    then = formula("reading_then")(new=new, measured=now, hours=hours, more_hours=later * hours)
    assert new - then == pytest.approx((1 + later) * (new - now), abs=1e-9)


@given(st.floats(0, 3e6), st.floats(0, 3e6))
def test_hours_to_even_make_both_sides_alike_and_fit_their_shifts(left: float, right: float) -> None:
    more = formula("hours_to_even")(hours_left_low=left, hours_right_low=right)
    assert min(left, right) + more == pytest.approx(max(left, right), abs=1e-6)
    shifts = formula("shifts_to_even")(hours_to_even=more, shift_time=36000.0)
    assert more / 36000.0 <= shifts + 1e-6 and shifts < more / 36000.0 + 1


def test_the_first_ways_back_are_those_of_the_plan() -> None:
    """Row by row as the plan of the passes counts them, and never longer front to back."""
    from generator.calc.catalogue import calculations
    from generator.calc.procedure import Procedure
    from generator.calc.steps import Rows
    from tests.calc.test_steps import SLOT, TABLES

    plan, first = calculations()["dozing.pass_plan"], calculations()["wear.first_ways_back"]
    assert isinstance(plan, Procedure) and isinstance(first, Procedure)
    whole = {s.title: s for s in plan.run(plan.read(SLOT), "us", TABLES).steps if isinstance(s, Rows)}
    so_far = [c.heading for c in whole["Front to back"].columns].index("Reversed so far")
    for pushes in (1, 2, 5):
        found = first.run(first.read({**SLOT, "pushes": str(pushes)}), "us", TABLES).values
        for key, title in (("front_to_back", "Front to back"), ("back_to_front", "Back to front")):
            assert found[key].si == pytest.approx(whole[title].rows[pushes - 1][so_far])
        assert found["front_to_back"].si < found["back_to_front"].si and found["pushes"].si == pushes  # type: ignore[operator]


@given(st.floats(10, 2e6), st.floats(0.2, 30))
def test_twice_the_reach_is_twice_the_moment(force: float, reach: float) -> None:
    one = MOMENT(force=force, reach=reach)
    if reach <= 15:
        assert MOMENT(force=force, reach=2 * reach) == pytest.approx(2 * one)


def other_system(q: Quantity) -> Quantity:
    """The same quantity in the other system's unit, not rounded to a natural figure."""
    system: System = "metric" if UNITS[q.unit].system == "us" else "us"
    unit = counterpart(q.unit, system)
    return Quantity(Decimal(repr(from_si(q.si, unit, q.kind))), unit, q.kind)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("id", IDS)
@given(times=st.floats(1.0, 1.4))
def test_worked_by_hand_in_both_systems_and_the_same(id: str, system: System, times: float) -> None:
    f = BY_ID[id]
    assert isinstance(f, Formula)
    texts = {i.name: i.example_us if system == "us" else i.example_metric for i in f.inputs}
    full = f.read({n: str(t) for n, t in texts.items()})
    # the first input varies, as a figure a person would write
    first = next(iter(full))
    q = full[first]
    full[first] = Quantity(natural(float(q.figure) * (times)), q.unit, q.kind)
    working = worked(f, full, system)
    assert working.result.si == pytest.approx(working.exact, rel=6e-3)
    elsewhere = {n: other_system(q) for n, q in full.items()}
    assert f.value(elsewhere) == pytest.approx(working.exact, rel=1e-9)


@pytest.mark.parametrize("id", IDS)
def test_ranges_are_enforced(id: str) -> None:
    f = BY_ID[id]
    assert isinstance(f, Formula)
    fine = {i.name: sum(i.bounds) / 2 for i in f.inputs}
    for i in f.inputs:
        low, high = i.bounds
        for bad in (low - 1 - abs(low), high * 2 + 1, math.nan):
            with pytest.raises(CalculationError):
                f(**{**fine, i.name: bad})
