"""Laws the calculations of moving a machine must keep, whatever the inputs."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue.moving import AXLE_LOAD, GROSS, HEADROOM, LOADED_HEIGHT, RAMP_GRADE, RAMP_LEAST, TIE_DOWN_TOTAL, TIE_DOWNS

MASS = st.floats(500.0, 180_000.0)
WORKING = st.floats(250.0, 45_000.0)


@given(MASS, WORKING)
def test_tie_downs_are_enough_and_one_fewer_is_not(mass: float, working: float) -> None:
    count = TIE_DOWNS(mass=mass, working_load=working)
    counted = count * working / 2
    assert count == int(count) >= 4
    assert counted >= TIE_DOWN_TOTAL(mass=mass) * (1 - 1e-9)
    assert count == 4 or counted - working / 2 < TIE_DOWN_TOTAL(mass=mass) * (1 + 1e-9)


@given(MASS, WORKING, st.floats(1.0, 2.0))
def test_a_heavier_machine_or_a_weaker_chain_never_needs_fewer(mass: float, working: float, more: float) -> None:
    count = TIE_DOWNS(mass=mass, working_load=working)
    assert TIE_DOWNS(mass=min(mass * more, 181_000.0), working_load=working) >= count
    assert TIE_DOWNS(mass=mass, working_load=max(working / more, 230.0)) >= count


@given(MASS, st.floats(1.0, 30.0), st.floats(0.1, 1.0))
def test_what_the_hitch_and_the_axles_carry_is_the_machine(mass: float, base: float, share: float) -> None:
    place = max(share * base, 1.0)
    empty = 4000.0
    axles = AXLE_LOAD(axles_empty=empty, machine=mass, machine_place=min(place, base), wheel_base=max(base, 1.6)) - empty
    assert 0 <= axles <= mass * (1 + 1e-9)


@given(st.floats(0.2, 1.8), st.floats(1.05, 9.0))
def test_the_shortest_ramp_for_a_grade_has_that_grade(deck: float, longer: float) -> None:
    ramp = deck * longer
    if not 0.62 <= ramp <= 18.0:
        return
    grade = RAMP_GRADE(deck_height=deck, ramp_length=ramp)
    assert math.isclose(math.asin(deck / ramp), math.atan(grade), rel_tol=1e-9)
    if 0.01 <= grade <= 0.6:
        assert math.isclose(RAMP_LEAST(deck_height=deck, grade_limit=grade), ramp, rel_tol=1e-9)


@given(st.floats(0.2, 1.8), st.floats(1.0, 9.0), st.floats(2.0, 18.0))
def test_height_and_room_make_up_the_way(deck: float, machine: float, way: float) -> None:
    height = LOADED_HEIGHT(deck_height=deck, travel_height=machine)
    assert math.isclose(HEADROOM(route_height=way, loaded_height=height) + height, way)


@given(MASS, st.floats(1500.0, 50_000.0), st.floats(300.0, 60_000.0))
def test_the_whole_is_the_sum(machine: float, truck: float, trailer: float) -> None:
    assert GROSS(truck=truck, trailer=trailer, machine=machine) - machine - truck - trailer == 0 or math.isclose(
        GROSS(truck=truck, trailer=trailer, machine=machine), math.fsum((truck, trailer, machine))
    )
