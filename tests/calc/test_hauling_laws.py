"""Laws of haul roads and tips: what must hold for every speed, grade and grip, and where a stop is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import hauling
from generator.calc.procedure import Procedure
from generator.calc.steps import Outcome, Rows
from generator.reference import tables
from generator.units.errors import CalculationError
from generator.units.table import SYSTEMS, System

TABLES = tables.load(Path(__file__).resolve().parents[2] / "content")
FOOT, MPH, G = 0.3048, 0.44704, 9.80665

SPEEDS = st.integers(5, 45)
TIMES = st.integers(10, 60).map(lambda n: n / 10)
GRIPS = st.integers(20, 60).map(lambda n: n / 100)
GRADES = st.integers(0, 15)


def run(procedure: Procedure, system: System = "us", **given_: str) -> Outcome:
    return procedure.work(procedure.read(given_), system, TABLES)


def si(outcome: Outcome, name: str = "") -> float:
    return float(outcome.values[name or outcome.main].si)


def stop(speed: float, time: float, grip: float, grade: float, way: str, system: System = "us") -> Outcome:
    told = {} if way == "level" else {"grade": f"{grade}%"}
    return run(
        hauling.STOPPING_DISTANCE, system, speed=f"{speed} mph", reaction_time=f"{time} s", friction=f"{grip}", direction=way, **told
    )


@given(SPEEDS, TIMES, GRIPS, GRADES)
def test_downhill_is_never_shorter_than_level_nor_level_than_uphill(speed: float, time: float, grip: float, grade: float) -> None:
    down, level, up = (si(stop(speed, time, grip, grade, way)) for way in ("downhill", "level", "uphill"))
    assert down >= level >= up
    if grade:
        assert down > level > up


@given(SPEEDS, TIMES, GRIPS, GRADES)
def test_a_stop_is_what_it_rolls_and_what_it_brakes(speed: float, time: float, grip: float, grade: float) -> None:
    whole = stop(speed, time, grip, grade, "downhill")
    assert si(whole) == pytest.approx(si(whole, "rolled") + si(whole, "braked"))
    alone = run(hauling.BRAKING_DISTANCE, speed=f"{speed} mph", friction=f"{grip}", grade=f"{grade}%", direction="downhill")
    assert si(alone) == pytest.approx(si(whole, "braked"))
    same = run(hauling.DOWNHILL_STOP, speed=f"{speed} mph", reaction_time=f"{time} s", friction=f"{grip}", grade=f"{grade}%")
    assert si(same) == pytest.approx(si(whole)) and same.steps == whole.steps


@given(st.integers(5, 22), TIMES, GRIPS)
def test_twice_the_speed_rolls_twice_and_brakes_four_times_as_far(speed: float, time: float, grip: float) -> None:
    slow, fast = stop(speed, time, grip, 0, "level"), stop(2 * speed, time, grip, 0, "level")
    assert si(fast, "rolled") == pytest.approx(2 * si(slow, "rolled"))
    assert si(fast, "braked") == pytest.approx(4 * si(slow, "braked"))


@given(SPEEDS, TIMES, GRIPS, GRADES)
def test_the_speed_for_a_sight_stops_in_that_sight(speed: float, time: float, grip: float, grade: float) -> None:
    whole = si(stop(speed, time, grip, grade, "downhill"))
    back = run(
        hauling.SPEED_FOR_SIGHT, sight_distance=f"{whole / FOOT:.12g} ft", reaction_time=f"{time} s", friction=f"{grip}", grade=f"{grade}%"
    )
    assert si(back) == pytest.approx(speed * MPH, rel=1e-9)


@given(SPEEDS, TIMES, GRIPS, GRADES)
def test_a_stop_told_moment_by_moment_agrees_with_its_result(speed: float, time: float, grip: float, grade: float) -> None:
    whole = stop(speed, time, grip, grade, "downhill")
    (table,) = (s for s in whole.steps if isinstance(s, Rows))
    times = [float(r[1]) for r in table.rows]
    speeds = [float(r[2]) for r in table.rows]
    gone = [float(r[3]) for r in table.rows]
    assert times == sorted(times) and gone == sorted(gone) and speeds == sorted(speeds, reverse=True)
    assert (times[0], gone[0], speeds[-1]) == (0.0, 0.0, 0.0)
    assert [v / speeds[0] for v in speeds[2:]] == pytest.approx([1, 0.75, 0.5, 0.25, 0])  # told quarter by quarter
    assert gone[2] == pytest.approx(si(whole, "rolled")) and gone[-1] == pytest.approx(si(whole))
    # under steady braking it covers the mean of both speeds times the time
    for k in range(3, len(gone)):
        assert gone[k] - gone[k - 1] == pytest.approx((speeds[k] + speeds[k - 1]) / 2 * (times[k] - times[k - 1]))
        assert (speeds[k - 1] - speeds[k]) / (times[k] - times[k - 1]) == pytest.approx(si(whole, "slowing") * G)


WEIGHTS = ((35900, 0.5), (36000, 1.0), (69900, 1.0), (70000, 1.5), (140000, 2.0), (250000, 2.25), (400000, 2.5))


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_truck_on_the_line_between_two_weights_has_the_slower_brakes(system: System) -> None:
    for pounds, seconds in WEIGHTS:
        pounds += 100 if system == "metric" else 0  # a round weight in pounds is none in kilograms
        if (pounds, system) in ((36000, "metric"), (70000, "metric")):
            continue
        found = run(hauling.REACTION_TIME, system, empty_mass=f"{pounds - 16000} lb", payload="16000 lb", driver_time="1 s")
        assert si(found, "brake_time") == seconds
        assert si(found) == pytest.approx(1 + seconds)


def test_each_weight_of_the_brake_table_stops_within_its_own_distance() -> None:
    """The rule's own response times and slowing give its own distances, to the foot it rounds up to."""
    table = TABLES["haul-brake-test"]
    for row in table.rows:
        time = 1 + table.cell(row, "brakes bite after").low
        feet = si(stop(20, time, 0.3, 0, "level")) / FOOT
        assert 0 <= table.cell(row, "20 mph").low - feet < 1.5


@pytest.mark.parametrize("grade", [20, 21, 25])
def test_no_stop_where_the_grade_takes_the_grip(grade: int) -> None:
    for procedure, more in (
        (hauling.STOPPING_DISTANCE, {"speed": "20 mph", "direction": "downhill"}),
        (hauling.DOWNHILL_STOP, {"speed": "20 mph"}),
        (hauling.SPEED_FOR_SIGHT, {"sight_distance": "150 ft"}),
    ):
        with pytest.raises(CalculationError, match="no brake stops it"):
            run(procedure, "us", reaction_time="4 s", friction="0.2", grade=f"{grade}%", **more)


@given(st.integers(6, 35), st.integers(1, 6))
def test_a_lane_more_takes_one_and_a_half_trucks_more(width: int, lanes: int) -> None:
    one = hauling.ROAD_WIDTH(truck_width=width * FOOT, lanes=float(lanes))
    assert one == pytest.approx((lanes + (lanes + 1) / 2) * width * FOOT)  # the trucks, and half a width beside each


@given(st.integers(1, 40), st.integers(1, 60), st.integers(1, 60))
def test_what_is_kept_at_a_tip_is_never_less_than_either(berm: int, edge: int, truck: int) -> None:
    stand = hauling.TIP_STAND(berm_base=berm * FOOT, edge_distance=edge * FOOT)
    assert stand == max(berm, edge) * FOOT
    assert hauling.DUMP_SHORT(truck_length=(truck + 8) * FOOT, tip_stand=stand) == max((truck + 8) * FOOT, stand)


def test_a_distance_that_a_site_keeps_is_not_told_as_a_stability_result() -> None:
    assert not [c.id for c in hauling.CALCULATIONS if c.stability]
    for calculation in (hauling.TIP_STAND, hauling.DUMP_SHORT):
        assert "nothing of how the slope holds" in calculation.limits or "no stop" in calculation.limits
