"""Laws of what is seen from the seat: a lower eye hides more, and what is seen and hidden meet at one height."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import seeing
from generator.calc.steps import Rows
from generator.units.errors import CalculationError

FOOT = 0.3048
seats = st.tuples(
    st.floats(4 * FOOT, 29 * FOOT, allow_subnormal=False),
    st.floats(0.3, 0.94, allow_subnormal=False),
    st.floats(0.5 * FOOT, 40 * FOOT, allow_subnormal=False),
).map(lambda t: {"eye_height": t[0], "sill_height": max(t[1] * t[0], FOOT), "sill_distance": t[2]})


@given(seats, st.floats(0.01, 1.0))
def test_whoever_sits_higher_sees_more_ground(seat: dict[str, float], by: float) -> None:
    if seat["eye_height"] + by <= 30 * FOOT:
        assert seeing.HIDDEN_GROUND(**{**seat, "eye_height": seat["eye_height"] + by}) < seeing.HIDDEN_GROUND(**seat)


@given(seats, st.floats(0.0, 1.0))
def test_what_is_hidden_at_a_distance_is_hidden_for_that_height(seat: dict[str, float], share: float) -> None:
    at = share * min(seeing.HIDDEN_GROUND(**seat), 600.0)
    up = seeing.HIDDEN_UP_TO(**seat, distance=at)
    assert 0 <= up <= seat["sill_height"] + 1e-9
    if 1 * FOOT <= up <= 7.5 * FOOT:
        assert seeing.HIDDEN_PERSON(**seat, person_height=up) == pytest.approx(at, rel=1e-6, abs=1e-6)


@given(seats, st.floats(1.0, 600.0))
def test_past_the_hidden_ground_nothing_is_hidden(seat: dict[str, float], past: float) -> None:
    at = seeing.HIDDEN_GROUND(**seat)
    if at + past < 600:
        assert seeing.HIDDEN_UP_TO(**seat, distance=at + past) == 0


@given(seats, st.floats(1 * FOOT, 7.5 * FOOT))
def test_whoever_bends_is_hidden_farther_out_and_never_past_the_ground(seat: dict[str, float], tall: float) -> None:
    out = seeing.HIDDEN_PERSON(**seat, person_height=tall)
    assert 0 <= out <= seeing.HIDDEN_GROUND(**seat)
    assert out == 0 or seeing.HIDDEN_PERSON(**seat, person_height=max(tall / 2, FOOT)) >= out


@given(seats)
def test_walking_in_the_line_of_sight_goes_up_evenly(seat: dict[str, float]) -> None:
    if seeing.HIDDEN_GROUND(**seat) > 600:
        return
    given_ = seeing.WALK_IN.read({name: f"{value:.12g} m" for name, value in seat.items()})
    table = next(s for s in seeing.WALK_IN.run(given_, "metric", {}).steps if isinstance(s, Rows))
    distances, heights = zip(*table.rows, strict=True)
    assert len(table.rows) == seeing.PARTS + 1
    assert distances[0] == pytest.approx(seeing.HIDDEN_GROUND(**seat), rel=1e-9) and distances[-1] == 0
    for k, up in enumerate(heights):
        assert up == pytest.approx(seat["sill_height"] * k / seeing.PARTS, rel=1e-6, abs=1e-9)


@given(st.floats(0.5, 9.0), st.floats(0.5, 60.0), st.floats(0.5, 60.0))
def test_a_longer_tail_or_distance_keeps_people_farther(tail: float, near: float, far: float) -> None:
    near, far = sorted((near, far))
    assert seeing.SWING_CLEAR(tail_radius=tail, clearance=near) <= seeing.SWING_CLEAR(tail_radius=tail, clearance=far)
    assert seeing.REACH_CLEAR(max_reach=2 * tail, clearance=near) > seeing.SWING_CLEAR(tail_radius=tail, clearance=near)


@given(st.floats(0.3, 15.0), st.floats(0.5, 5.0))
def test_twice_the_time_is_twice_the_way(speed: float, time: float) -> None:
    assert seeing.ROLLS_ON(speed=speed, reaction_time=2 * time) == pytest.approx(2 * seeing.ROLLS_ON(speed=speed, reaction_time=time))


@given(st.floats(0.1, 6.0), st.floats(0.06, 2.5))
def test_a_slower_swing_lets_a_person_walk_farther(swing: float, turn: float) -> None:
    assert seeing.WALKS_IN(swing=swing, swing_speed=turn) >= seeing.WALKS_IN(swing=swing, swing_speed=min(2 * turn, 2.6))


def test_over_an_edge_as_high_as_the_eyes_nothing_is_seen() -> None:
    for calculation in (seeing.HIDDEN_GROUND, seeing.HIDDEN_UP_TO, seeing.HIDDEN_PERSON):
        more = (
            {"distance": 1.0}
            if calculation is seeing.HIDDEN_UP_TO
            else {"person_height": 1.5}
            if calculation is seeing.HIDDEN_PERSON
            else {}
        )
        with pytest.raises(CalculationError, match="as high as the eyes"):
            calculation(eye_height=2.0, sill_height=2.0, sill_distance=1.0, **more)
