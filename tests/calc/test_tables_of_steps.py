"""Tables of steps, row by row as worked by hand: common practice, no source.

The outside checks judge results; these judge what a drawing or a reader takes from the rows on the way.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from generator.calc.catalogue import find
from generator.calc.catalogue.dozing_spoil import _tries
from generator.calc.catalogue.grade_levels import ROD_READING
from generator.calc.catalogue.loading_schedule import Round, rounds, window
from generator.calc.formula import Input
from generator.calc.procedure import Procedure
from generator.calc.steps import Applied, From, Note, Outcome, Rows
from generator.reference import tables
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

TABLES = tables.load(Path(__file__).resolve().parents[2] / "content")
FOOT = 0.3048


def worked(id: str, system: System = "metric", /, **texts: str) -> Outcome:
    procedure = find(id)
    assert isinstance(procedure, Procedure)
    return procedure.work(procedure.read(texts), system, TABLES)


def rows(outcome: Outcome, title: str) -> list[tuple[float | str, ...]]:
    (found,) = (s.rows for s in outcome.steps if isinstance(s, Rows) and s.title == title)
    return list(found)


def applied(outcome: Outcome, name: str) -> Applied | None:
    return next((s for s in outcome.steps if isinstance(s, Applied) and s.name == name), None)


def near(found: Sequence[tuple[float | str, ...]], wanted: Sequence[tuple[float, ...]]) -> None:
    assert len(found) == len(wanted)
    for one, other in zip(found, wanted, strict=True):
        assert one == pytest.approx(other, abs=1e-6), (one, other)


# --- dozers ---------------------------------------------------------------------------------------


def test_a_strip_ripped_and_pushed_and_the_same_one_as_it_lies() -> None:
    """4 m by 1.5 m is 3 passes; 60 by 4 by 0.5 m swell by a quarter to 150 m³, 2.5 loads of 60 m³ and 5 of half that."""
    strip = worked(
        "dozing.rip_push", pass_length="60 m", blade_width="4 m", rip_width="1.5 m", depth="0.5 m", swell="25%", blade_load="60 lcm",
        hard_factor="0.5", pass_time="2 min", cycle_time="1.5 min",
    )  # fmt: skip
    near(
        rows(strip, "Rip first"),
        [(1, 1, 0, 120), (2, 2, 0, 240), (3, 3, 0, 360), (4, 3, 1, 450), (5, 3, 2, 540), (6, 3, 3, 630)],
    )
    near(rows(strip, "Not ripped"), [(k, 0, k, 90 * k) for k in range(1, 6)])
    assert (strip.values["time"].si, strip.values["time_hard"].si) == (630, 450)


@pytest.mark.parametrize(("length", "refused"), [("800 m", False), ("801 m", True)])
def test_two_thousand_pushes_are_planned_and_no_more(length: str, refused: bool) -> None:
    """800 by 4 by 0.5 m swell by a quarter to 2000 m³; half of a load of 2 m³ is 1 m³ a push."""
    texts = {
        "pass_length": length, "blade_width": "4 m", "rip_width": "1.5 m", "depth": "0.5 m", "swell": "25%", "blade_load": "2 lcm",
        "hard_factor": "0.5", "pass_time": "20 min", "cycle_time": "15 min",
    }  # fmt: skip
    if refused:
        with pytest.raises(CalculationError, match="more than 2000 pushes"):
            worked("dozing.rip_push", **texts)
    else:
        assert worked("dozing.rip_push", **texts).values["pushes_hard"].si == 2000


def test_a_drift_station_by_station() -> None:
    """0.8 m off in 20 m, and back; half of 20 t at a grip of 0.5 is 49.03 kN for a track; braked where it turns, at 20 m and 40 m."""
    plan = worked("dozing.drift_plan", offset="0.8 m", distance="20 m", tilt="100 mm", mass="20 t", traction="0.5")
    one, off = 49_033.25, (0, 0.2, 0.4, 0.6, 0.8, 0.6, 0.4, 0.2, 0, 0)
    near(
        rows(plan, "Off the line and back"),
        [(k + 1, 5.0 * k, off[k], 0.1 if k in {4, 5, 6, 7} else 0, 2 * one, one if k in {4, 8} else 2 * one) for k in range(10)],
    )


@pytest.mark.parametrize(
    ("height", "system", "tried"),
    [
        (11.06 * FOOT, "us", (11, 12)), (7.4 * FOOT, "us", (7, 8)), (3.37, "metric", (3.3, 3.4)), (0.73, "metric", (0.7, 0.8)),
        (0.425, "metric", (0.42, 0.43)), (5.5, "metric", (5, 6)), (4.55, "metric", (4.5, 4.6)), (61, "metric", (60, 70)), (52, "metric", (50, 60)),
    ],
)  # fmt: skip
def test_heights_tried_are_the_round_ones_beside_the_right_one(height: float, system: System, tried: tuple[float, float]) -> None:
    found = [float(r[0]) / (FOOT if system == "us" else 1) for r in _tries(100.0, 4.0, 3.0, 1.5, 1.5, height, system).rows]
    assert found == pytest.approx(tried, abs=1e-9)


def test_each_height_tried_holds_its_trapezium() -> None:
    """2 m high under a top 4 m wide, sides 1.5 to 1: 4 + 2/3 · 1.5 · 2 = 6 m wide on average, times (3 + 1.5) · 2² / 2 = 9 m²."""
    low, high = _tries(60.0, 4.0, 3.0, 1.5, 1.5, 2.05, "metric").rows
    near([low[:3]], [(2.0, 6.0, 54.0)])
    assert low[3] == "too little"
    assert high[0] == pytest.approx(2.1) and high[3] == "too much"


@pytest.mark.parametrize(("repose", "steeper"), [("45 deg", False), ("44.9 deg", True), ("45.1 deg", False)])
def test_a_ramp_just_as_steep_as_the_ground_rests_may_stay(repose: str, steeper: bool) -> None:
    """At 45° a side runs out just as far as it rises."""
    pile = worked("dozing.spoil_ramp", volume="100 m3", width="8 m", ratio="1:1", repose=repose)
    assert any("steeper than this ground rests" in getattr(s, "text", "") for s in pile.steps) is steeper


# --- levels ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("id", "texts", "larger_less_smaller"),
    [
        ("grade.under_string", {"string_above": "3 ft", "measured_down": "2.4 ft"}, None),
        ("grade.under_string", {"string_above": "3 ft", "measured_down": "3 ft"}, None),
        ("grade.under_string", {"string_above": "3 ft", "measured_down": "3.4 ft"}, ("3.4 ft", "3 ft")),
        ("grade.cut_or_fill", {"ground": "21.4 ft", "design": "20.9 ft"}, None),
        ("grade.cut_or_fill", {"ground": "20.9 ft", "design": "20.9 ft"}, None),
        ("grade.cut_or_fill", {"ground": "20.9 ft", "design": "21.4 ft"}, ("21.4 ft", "20.9 ft")),
    ],
)  # fmt: skip
def test_what_lies_too_low_is_taken_the_other_way_round(
    id: str, texts: dict[str, str], larger_less_smaller: tuple[str, str] | None
) -> None:
    step = applied(worked(id, "us", **texts), "amount")
    assert (step and (str(step.inputs["larger"]), str(step.inputs["smaller"]))) == larger_less_smaller


@pytest.mark.parametrize(("reading", "good"), [("5.40 ft", True), ("5.44 ft", True), ("5.39 ft", False), ("5.45 ft", False)])
def test_a_laser_just_as_far_off_as_the_site_allows_is_good(reading: str, good: bool) -> None:
    check = worked("grade.check_back", "us", backsight="5.42 ft", reading_now=reading, check_tolerance="0.02 ft")
    assert check.values["verdict"].si == ("good" if good else "moved")
    step = applied(check, "moved")  # only where the reading is less than it was
    assert (step is not None) == (reading < "5.42 ft")
    if step is not None:
        assert (str(step.inputs["larger"]), str(step.inputs["smaller"])) == ("5.42 ft", str(Quantity.read(reading, "length")))


def test_fifteen_centimetres_are_the_most_a_site_may_allow_a_laser() -> None:
    texts = {"backsight": "1.65 m", "reading_now": "1.65 m"}
    assert worked("grade.check_back", **texts, check_tolerance="0.15 m").values["verdict"].si == "good"
    with pytest.raises(CalculationError, match="checks nothing"):
        worked("grade.check_back", **texts, check_tolerance="0.151 m")


def test_finished_ground_may_lie_as_high_as_the_lasers_line() -> None:
    """Both at the height of the benchmark, which many sites call nought."""
    assert ROD_READING(instrument_height=0, design=0) == 0
    with pytest.raises(CalculationError, match="above the laser's line"):
        ROD_READING(instrument_height=0, design=0.001)


# --- power lines ----------------------------------------------------------------------------------


def test_a_swing_beside_a_wire_and_a_boom_under_it() -> None:
    """30 ft of reach and 10 ft to keep: 40 ft off, less 30 ft times the cosine; the cosine of 30° is 0.8660254."""
    wire = worked("lines.near_a_wire", "us", line_height="40 ft", boom_reach_height="30 ft", max_reach="30 ft", clearance="10 ft")
    degree = 3.141592653589793 / 180
    teeth = [(150, 65.980762), (120, 55), (90, 40), (60, 25), (30, 14.019238), (0, 10)]
    near(rows(wire, "Swing beside the wire"), [(a * degree, x * FOOT) for a, x in teeth])
    near(
        rows(wire, "Boom up under the wire"),
        [tuple(x * FOOT for x in line) for line in ((21, 19, 9), (24, 16, 6), (27, 13, 3), (30, 10, 0))],
    )
    said = {
        "room": 0, "standoff": 40 * FOOT, "boom_to_wire": 10 * FOOT, "bucket_at_60": 25 * FOOT, "first_swing": 150 * degree,
        "bucket_at_first": 65.980762 * FOOT,
    }  # fmt: skip
    assert {k: v.si for k, v in wire.values.items()} == pytest.approx(said, abs=1e-6)


def test_a_boom_higher_than_the_wire_is_at_it_and_no_farther() -> None:
    wire = worked("lines.near_a_wire", "us", line_height="25 ft", boom_reach_height="30 ft", max_reach="30 ft", clearance="10 ft")
    near(
        rows(wire, "Boom up under the wire"),
        [tuple(x * FOOT for x in line) for line in ((21, 4, -6), (24, 1, -9), (27, 0, -12), (30, 0, -15))],
    )


# --- loading --------------------------------------------------------------------------------------


def test_a_factor_between_four_printed_ones_is_worked_from_the_steps_before() -> None:
    """At 52.5° half way between the printed columns, and at two fifths of the depth half way between the rows."""
    factor = worked("loading.swing_depth_factor", digging_depth="4 m", max_digging_depth="10 m", swing_angle="52.5 deg")
    near(rows(factor, "From the table"), [(0.3, 1.33, 1.26), (0.5, 1.28, 1.21)])
    step = applied(factor, "between_depths")
    assert step is not None
    assert {k: v for k, v in step.inputs.items() if isinstance(v, From)} == {
        "low_factor": From("at_depth_0"), "high_factor": From("at_depth_1"), "depth_share": From("share"),
    }  # fmt: skip
    assert factor.values["factor"].si == pytest.approx(1.27, abs=1e-9)


# backs up half a minute, is loaded in 1.5, hauls 600 m at 5 m/s, tips in 45 s, comes back at 8 m/s: a round of six minutes
HAUL = {
    "spot_time": "30 s", "load_time": "90 s", "haul_distance": "600 m", "haul_speed": "18 km/h", "truck_dump_time": "45 s",
    "empty_speed": "28.8 km/h",
}  # fmt: skip


def test_four_trucks_where_three_would_do_by_the_clock() -> None:
    """Two minutes a turn: four trucks come round every eight minutes, and each waits two of them."""
    fleet = worked("loading.fleet_schedule", trucks="4", **HAUL)
    near(
        rows(fleet, "Each round by the clock"),
        [
            (3, 0, 0, 0, 0, 0, 45, 120), (4, 0, 0, 0, 0, 120, 165, 240), (1, 0, 0, 30, 120, 240, 285, 360),
            (2, 0, 120, 150, 240, 360, 405, 480), (3, 120, 240, 270, 360, 480, 525, 600), (4, 240, 360, 390, 480, 600, 645, 720),
            (1, 360, 480, 510, 600, 720, 765, 840), (2, 480, 600, 630, 720, 840, 885, 960), (3, 600, 720, 750, 840, 960, 1005, 1080),
        ],
    )  # fmt: skip
    # time, loads sent off, waiting, at the loader, on the road, loader has stood, trucks have waited
    near(rows(fleet, "The fleet step by step"), [(t, t // 120, 1, 1, 2, 0, t) for t in range(0, 601, 30)])
    said = {
        "loads_per_hour": 30 / 3600, "trucks_wait": 3600, "wait_time": 120, "loader_wait": 0, "lost_loads": 0, "more_loads": 0,
        "truck_cycle": 360, "turn_time": 120, "match_factor": 4 / 3, "matched": 3, "few": 1, "many": 5, "haul_time": 120, "return_time": 75,
        "tip_time": 45, "loads_shown": 5, "rounds_shown": 9, "at_loader": 1, "on_road": 2, "queue": 1, "stood": 0, "waited": 600,
        "first_tipped": 285, "first_back": 360, "shown_time": 600,
    }  # fmt: skip
    assert {k: v.si for k, v in fleet.values.items()} == pytest.approx(said, abs=1e-9)


def test_two_trucks_leave_the_loader_standing_two_minutes_of_six() -> None:
    fleet = worked("loading.fleet_schedule", trucks="2", **HAUL)
    near(
        rows(fleet, "Each round by the clock"),
        [
            (2, 0, 0, 0, 0, 0, 45, 120), (1, 0, 0, 30, 120, 240, 285, 360), (2, 120, 120, 150, 240, 360, 405, 480),
            (1, 360, 360, 390, 480, 600, 645, 720), (2, 480, 480, 510, 600, 720, 765, 840),
        ],
    )  # fmt: skip

    def stood(t: int) -> int:
        return 0 if t < 240 else min(t - 240, 120)

    def sent(t: int) -> int:
        return sum(full <= t for full in (120, 240, 480, 600))

    def on_the_road(t: int) -> int:
        return sum(full <= t < back for full, back in ((-120, 120), (120, 360), (240, 480), (480, 720), (600, 840)))

    wanted = [(t, sent(t), 0, 2 - on_the_road(t), on_the_road(t), stood(t), 0) for t in range(0, 601, 30)]
    near(rows(fleet, "The fleet step by step"), wanted)
    said = {
        "loader_wait": 1200, "stood": 120, "waited": 0, "wait_time": 0, "trucks_wait": 0, "on_road": 2, "at_loader": 0, "queue": 0,
        "loads_shown": 4, "rounds_shown": 5,
    }  # fmt: skip
    assert {k: fleet.values[k].si for k in said} == pytest.approx(said, abs=1e-6)
    assert fleet.values["lost_loads"].si == pytest.approx(10 / 3600) and fleet.values["loads_per_hour"].si == pytest.approx(20 / 3600)


def test_all_trucks_stand_at_the_loaders_at_the_start_and_the_last_round_begins_when_time_is_up() -> None:
    """Backs up 1, is loaded 2, hauls 3, tips 4, comes back 5: a round of 15."""
    times = (1, 2, 3, 4, 5)
    assert rounds(1, 1, times, 15) == [Round(1, 0, 0, 1, 3, 6, 10, 15), Round(1, 15, 15, 16, 18, 21, 25, 30)]
    assert rounds(1, 1, times, 14) == [Round(1, 0, 0, 1, 3, 6, 10, 15)]
    assert [(r.truck, r.came, r.backs) for r in rounds(3, 2, times, 14)] == [(1, 0, 0), (2, 0, 0), (3, 0, 3)]


@pytest.mark.parametrize(
    ("cycle", "shown"), [(60, (600, 30)), (600, (600, 30)), (720, (720, 30)), (721, (780, 60)), (1440, (1440, 60)), (1441, (1560, 120))]
)
def test_a_round_is_shown_whole_in_24_steps_at_most(cycle: float, shown: tuple[int, int]) -> None:
    assert window(cycle) == shown


@pytest.mark.parametrize(
    ("haul", "matched", "few", "many"),
    [("600 m", 3, 1, 5), ("225 m", 2, 1, 4), ("1800 m", 6, 4, 8)],  # rounds of 360 s, 238 s and 750 s, turns of 120 s
)
def test_two_trucks_more_and_two_fewer_are_compared_with(haul: str, matched: int, few: int, many: int) -> None:
    fleet = worked("loading.fleet_schedule", trucks="4", **{**HAUL, "haul_distance": haul})
    assert tuple(fleet.values[n].si for n in ("matched", "few", "many")) == (matched, few, many)


def test_far_too_many_trucks_come_to_the_loader_one_by_one_all_the_same() -> None:
    """30 trucks, 260 s a turn: 7800 s a round, in which each is loaded, drives 50 m at 5 m/s and at 8 m/s, and tips; the rest it waits."""
    fleet = worked("loading.fleet_schedule", trucks="30", **{**HAUL, "spot_time": "0 s", "load_time": "260 s", "haul_distance": "50 m"})
    near(
        [r for r in rows(fleet, "Each round by the clock") if r[0] == 1],
        [(1, 0, 0, 0, 260, 270, 315, 321.25), (1, 321.25, 7800, 7800, 8060, 8070, 8115, 8121.25)],
    )
    said = {"loads_shown": 2, "wait_time": 7800 - 321.25, "queue": 29, "at_loader": 1, "on_road": 0}
    assert {k: fleet.values[k].si for k in said} == pytest.approx(said)


def test_a_round_of_twelve_minutes_is_shown_in_24_steps_of_half_a_minute() -> None:
    """Two minutes at the loader, 1600 m at 5 m/s and at 8 m/s, and 80 s to tip."""
    fleet = worked("loading.fleet_schedule", trucks="4", **{**HAUL, "haul_distance": "1600 m", "truck_dump_time": "80 s"})
    assert fleet.values["truck_cycle"].si == pytest.approx(720)
    assert [r[0] for r in rows(fleet, "The fleet step by step")] == [30 * n for n in range(25)]


def test_half_a_reach_is_told_to_four_digits() -> None:
    procedure = find("slopes.swing_downhill")
    assert isinstance(procedure, Procedure)
    texts = {i.name: i.example_us or "" for i in procedure.inputs if isinstance(i, Input)} | {"reach": "24.7 ft"}
    told = {str(q) for s in worked("slopes.swing_downhill", "us", **texts).steps if isinstance(s, Applied) for q in s.inputs.values()}
    assert "12.35 ft" in told and "24.7 ft" in told


# --- haul roads -----------------------------------------------------------------------------------


def test_a_stop_is_told_moment_by_moment_until_it_stands() -> None:
    """36 km/h is 10 m/s; at half of g (4.903325 m/s²) speed falls to 7.5, 5, 2.5 and 0 m/s in quarters of 2.039432 s."""
    stop = worked("hauling.stopping_distance", speed="36 km/h", reaction_time="2 s", friction="0.5", direction="level")
    told = rows(stop, "How it stops")
    assert [r[0] for r in told] == ["sees the danger", "rolls on", "the brakes bite", *["slows down"] * 3, "stands"]
    near(
        [r[1:] for r in told],
        [(0, 10, 0), (1, 10, 10), (2, 10, 20), (2.509858, 7.5, 24.461258), (3.019716, 5, 27.647872), (3.529574, 2.5, 29.55984),
         (4.039432, 0, 30.197162)],
    )  # fmt: skip


def test_the_row_of_the_own_truck_is_marked_and_no_other() -> None:
    """60,000 lb and a load of 60,000 lb are 120,000 lb: the rule's row from 70,000 to 140,000 lb."""
    found = worked("hauling.reaction_time", "us", empty_mass="60,000 lb", payload="60,000 lb", driver_time="1 s")
    (table,) = (s for s in found.steps if isinstance(s, Rows))
    marked = [str(r[0]) for r in table.rows if r[-1]]
    assert marked == ["70000 to 140000"] and [r[-1] for r in table.rows].count("this truck") == 1


def test_a_rule_in_feet_is_told_as_one_where_the_site_is_in_metres() -> None:
    said = "The table is in feet."
    for system, told in (("us", False), ("metric", True)):
        found = worked("lines.clearance", system, voltage="69 kV")  # type: ignore[arg-type]  # a system
        assert any(isinstance(s, Note) and s.text.startswith(said) for s in found.steps) is told
