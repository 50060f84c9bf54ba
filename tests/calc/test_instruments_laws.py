"""Laws the instrument calculations must keep, whatever the inputs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import instruments
from generator.calc.steps import Note, Outcome, Rows
from generator.units.table import SYSTEMS, System

LOADS = st.floats(5e3, 3e5)
SHARES = st.floats(0.6, 1.6)


def payload_check(system: System = "us", **texts: str) -> Outcome:
    return instruments.PAYLOAD_CHECK.run(instruments.PAYLOAD_CHECK.read(texts), system, {})


@given(LOADS, SHARES)
def test_the_weight_behind_what_is_shown_is_the_weight_weighed(weighed: float, share: float) -> None:
    error = instruments.SCALE_ERROR(shown=share * weighed, weighed=weighed)
    assert error == pytest.approx(share - 1, abs=1e-9)
    assert instruments.WEIGHT_FOR_SHOWN(shown=share * weighed, error=error) == pytest.approx(weighed)


@given(LOADS, SHARES, st.floats(1e3, 1e5))
def test_a_screen_that_shows_too_little_overloads_and_one_that_shows_too_much_does_not(
    weighed: float, share: float, payload: float
) -> None:
    error = instruments.SCALE_ERROR(shown=share * weighed, weighed=weighed)
    over = instruments.PAST_PAYLOAD(weight=instruments.WEIGHT_FOR_SHOWN(shown=payload, error=error), payload=payload)
    assert (over > 1e-6) is (share < 1 - 1e-9) or abs(share - 1) < 1e-6


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    ("shown", "says"),
    [("26 ton", "too little, so a truck"), ("28 ton", "too much, so a truck"), ("27 ton", "say the same")],
)
def test_what_is_said_goes_with_the_sign(system: System, shown: str, says: str) -> None:
    outcome = payload_check(system, shown=shown, weighed="27 ton", payload="30 ton")
    (note,) = [step.text for step in outcome.steps if isinstance(step, Note) and "The screen" in step.text]
    assert says in note


@given(st.floats(1, 30), st.floats(0.1, 2.0), st.floats(0.1, 8))
def test_the_teeth_go_as_far_as_a_wheel_of_that_size_rolls(reach: float, speed: float, time: float) -> None:
    turn = instruments.SWING_TURN(swing_speed=speed, time=time)
    assert instruments.SWING_ARC(reach=reach, swing=turn) == pytest.approx(reach * speed * time)
    assert instruments.SWING_ARC(reach=reach, swing=2 * math.pi) == pytest.approx(2 * math.pi * reach)


@given(st.floats(0, 0.6), st.floats(0, 300))
def test_a_zero_is_off_by_the_drop_and_right_where_nothing_moved(grade: float, moved: float) -> None:
    assert instruments.ZERO_OFF(grade=grade, moved=moved) == pytest.approx(grade * moved)
    assert instruments.ZERO_OFF(grade=grade, moved=0) == 0


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_table_of_a_swing_is_told_in_the_times_given(system: System) -> None:
    inputs = instruments.SWING_RUN.read({"reach": "38 ft", "swing_speed": "4 rpm", "time": "0.5 s"})
    outcome = instruments.SWING_RUN.run(inputs, system, {})
    (rows,) = [step for step in outcome.steps if isinstance(step, Rows)]
    assert [row[0] for row in rows.rows] == pytest.approx([0.5, 1.0, 1.5])
    assert rows.rows[0][2] == outcome.values["run"].si and rows.rows[-1][2] == outcome.values["last_run"].si
