"""What stands in the steps of a working: how results and tables are printed, and that each row says what the results say."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.calc.catalogue import calculations
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from generator.calc.steps import Column, Note, Outcome, Rows
from generator.reference import tables as shipped
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, System
from tests.every_formula import formulas

TABLES = shipped.load(Path(__file__).resolve().parents[2] / "content")
PRINTED = yaml.safe_load((Path(__file__).parent / "printed.yml").read_text("utf-8"))
FOOT, YARD3, MPH = 0.3048, 0.764554857984, 0.44704  # by definition (1959)

# one case of each procedure, so chosen that no two figures of it are alike
SLOT = {
    "slot_length": "50 ft", "slot_width": "12 ft", "slot_depth": "3 ft", "blade_height": "4 ft", "blade_load": "8 yd3",
    "swell": "25%", "spoil_ratio": "3:1", "carry": "90%", "open_carry": "70%", "ground_grade": "5%", "load_distance": "30 ft",
    "push_speed": "2 mph", "return_speed": "5 mph", "fixed_time": "0.1 min",
}  # fmt: skip
SWINGS = {
    "passes": "4", "dig_arc": "40 deg", "swing_near": "30 deg", "body_length": "18 ft", "truck_distance": "22 ft", "truck_angle": "80 deg",
    "swing_speed": "20 deg/s",
}  # fmt: skip
LAYERS = {
    "bottom_width": "4 ft", "upper_soil_type": "C", "upper_depth": "3 ft", "second_soil_type": "A", "second_depth": "4 ft",
    "lowest_soil_type": "B", "lowest_depth": "5 ft",
}  # fmt: skip
CASES: dict[str, dict[str, str]] = {
    "dozing.pass_plan": SLOT, "loading.swing_plan": SWINGS, "trench.layered_top_width": LAYERS, "trench.layered_area": LAYERS,
    "dozing.spoil_ramp": {"volume": "100 yd3", "width": "24 ft", "ratio": "3:1"},
    "loading.fleet_output": {"trucks": "4", "load_time": "3 min", "away_time": "15 min"},
    "loading.swing_depth_factor": {"digging_depth": "11 ft", "max_digging_depth": "20 ft", "swing_angle": "100 deg"},
    "lines.clearance": {"voltage": "115 kV"}, "lines.travel_clearance": {"voltage": "115 kV"},
    "dozing.production": {"ideal_production": "300 yd3/h", "operator_skill": "average"},
}  # fmt: skip


@cache
def worked(id_: str, system: System = "us", **changes: str) -> Outcome:
    procedure = calculations()[id_]
    assert isinstance(procedure, Procedure)
    given = {**CASES.get(id_, {}), **changes}
    for i in procedure.inputs:  # what the case leaves open is as in the reference chapter
        example = getattr(i, "example_us", None)
        if i.name not in given and i.default is None:
            given[i.name] = example or i.options[0]  # type: ignore[union-attr]
    return procedure.run(procedure.read(given), system, TABLES)


def rows(id_: str, title: str, system: System = "us", **changes: str) -> tuple[tuple[Any, ...], ...]:
    return next(s.rows for s in worked(id_, system, **changes).steps if isinstance(s, Rows) and s.title == title)


def si(outcome: Outcome, name: str) -> float:
    return float(outcome.values[name].si)


# --- how it is printed -----------------------------------------------------------------------------

PROCEDURES = [c.id for c in calculations().values() if isinstance(c, Procedure)]


def test_decimals_are_fixed_where_three_figures_would_not_do() -> None:
    fixed = {f.id: f.result.places for f in formulas() if f.result.places is not None}
    for id_ in PROCEDURES:
        fixed |= {f"{id_} {n}": v.places for n, v in worked(id_).values.items() if v.places is not None}
    assert fixed == PRINTED["decimals"]
    assert {f.result.significant for f in formulas()} == {3}


def test_a_result_is_nothing_or_more_unless_below_zero_means_something() -> None:
    least = {f.id: f.result.at_least for f in formulas()}
    assert {k for k, v in least.items() if v is None} == set(PRINTED["below_zero"])
    assert {k for k, v in least.items() if v == 1.0} == set(PRINTED["one_at_least"])
    assert set(least.values()) == {None, 0.0, 1.0}


def told(column: Column) -> str:
    decimals = f", {column.places} decimals" if column.places is not None else ""
    return (
        f"{column.heading} {column.kind}".strip()
        + decimals
        + (", added up" if column.total else "")
        + (f", a {column.limit}" if column.limit else "")
    )


@pytest.mark.parametrize("id_", PROCEDURES)
def test_the_tables_of_a_working_have_these_columns(id_: str) -> None:
    expected = PRINTED["tables"].get(id_, {})
    found = {s.title: s for s in worked(id_).steps if isinstance(s, Rows)}
    if id_ == "lines.travel_clearance":
        found |= {s.title: s for s in worked(id_, voltage="800 kV").steps if isinstance(s, Rows)}
    assert {title: [told(c) for c in s.columns] for title, s in found.items()} == expected
    for table in found.values():
        assert table.rows
        for row in table.rows:
            assert len(row) == len(table.columns)
            for column, value in zip(table.columns, row, strict=True):
                assert isinstance(value, str if column.kind == "text" else float | int), column.heading


@pytest.mark.parametrize("calculation", calculations().values(), ids=lambda c: c.id)
def test_only_what_rests_on_a_slope_or_a_wall_is_marked_as_stability(calculation: Formula | Procedure) -> None:
    assert isinstance(calculation.stability, bool)
    if calculation.stability:
        assert calculation.id.startswith("slopes.") or "slope" in calculation.limits.lower()


# --- passes in a slot --------------------------------------------------------------------------------

WAYS = (("Front to back", "", "far end"), ("Back to front", "_back_to_front", "far end"), ("Back to front", "_back_to_front", "next start"))


@pytest.mark.parametrize(("title", "tail", "back_up_to"), WAYS)
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_rows_of_the_pass_plan_add_up_to_its_results(title: str, tail: str, back_up_to: str, system: System) -> None:
    plan = worked("dozing.pass_plan", system, back_up_to=back_up_to)
    table = rows("dozing.pass_plan", title, system, back_up_to=back_up_to)
    numbers, starts, depths, pushes, reverses, so_far, grades, heights = map(list, zip(*table, strict=True))
    assert numbers == list(range(1, len(table) + 1)) and si(plan, f"passes{tail}") == len(table)
    assert sum(pushes) == pytest.approx(si(plan, f"loaded_distance{tail}"), rel=1e-12)
    assert sum(reverses) == pytest.approx(si(plan, f"reverse_distance{tail}"), rel=1e-12)
    assert so_far == pytest.approx([sum(reverses[: k + 1]) for k in range(len(reverses))])
    assert sum(g * p for g, p in zip(grades, pushes, strict=True)) / sum(pushes) == pytest.approx(si(plan, f"mean_grade{tail}"))
    assert heights == sorted(heights) and heights[-1] == pytest.approx(si(plan, "spoil_height"), rel=1e-6)
    assert depths == sorted(depths) and depths[-1] == pytest.approx(3 * FOOT, rel=1e-9)
    assert max(starts) == pytest.approx(50 * FOOT)
    before = [0.0, *heights[:-1]]
    # loaded, it drives from the bite to the top of the ramp, which runs three for each one of rise
    assert pushes == pytest.approx([s + 3 * h for s, h in zip(starts, before, strict=True)], rel=1e-9)
    following = [50 * FOOT] * len(starts) if (tail, back_up_to) == ("_back_to_front", "far end") else [*starts[1:], starts[-1]]
    assert reverses == pytest.approx([f + 3 * h for f, h in zip(following, before, strict=True)], rel=1e-9)
    climbs = [d + h + 0.05 * s for d, h, s in zip(depths, before, starts, strict=True)]
    assert grades == pytest.approx([min(c / p, 1 / 3) for c, p in zip(climbs, pushes, strict=True)], rel=1e-9)
    # what it drives forward without a load, before it begins to cut, goes at the speed of the way back
    light = sum(50 * FOOT - s for s in starts) if (tail, back_up_to) == ("_back_to_front", "far end") else 0.0
    seconds = sum(pushes) / (2 * MPH) + (sum(reverses) + light) / (5 * MPH) + 6 * len(table)
    assert si(plan, f"hours{tail}") == pytest.approx(seconds, rel=1e-9)


def test_front_to_back_each_start_moves_back_by_one_bite() -> None:
    """A push brings 8 yd³ × 0.9 / 1.25 = 5.76 yd³ of bank, which is 155.52 ft³, out of a slot of 36 ft²: 4.32 ft."""
    table, plan = rows("dozing.pass_plan", "Front to back"), worked("dozing.pass_plan")
    starts = [row[1] / FOOT for row in table]
    assert starts == pytest.approx([4.32 * k for k in range(1, 12)] + [50])
    assert si(plan, "slice_length") == pytest.approx(4.32 * FOOT) and {round(row[2] / FOOT, 9) for row in table} == {3.0}
    assert si(plan, "reverse_saving") == pytest.approx(1 - si(plan, "reverse_distance") / si(plan, "reverse_distance_back_to_front"))
    assert si(plan, "depth_share") == pytest.approx(0.75)
    assert si(plan, "ramp_length") == pytest.approx(3 * si(plan, "spoil_height"))
    assert si(plan, "bank_volume") == pytest.approx(50 * 12 * 3 * FOOT**3)
    assert si(plan, "spoil_volume") == pytest.approx(50 * 12 * 3 * 1.25 * FOOT**3)
    # from the side: a ramp of three for one, and a far side of one and a half for one
    assert si(plan, "spoil_area") == pytest.approx(4.5 * si(plan, "spoil_height") ** 2 / 2)


# --- the pile ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    ("volume", "width"), [("100 yd3", "24 ft"), ("3 yd3", "14 ft"), ("20000 yd3", "100 ft"), ("450 m3", "6 m"), ("7 m3", "9 m")]
)
def test_two_round_heights_are_tried_one_on_each_side(volume: str, width: str, system: System) -> None:
    pile = worked("dozing.spoil_ramp", system, volume=volume, width=width)
    low, high = rows("dozing.spoil_ramp", "Heights tried", system, volume=volume, width=width)
    wanted, across = Quantity.read(volume, "loose_volume").si, Quantity.read(width, "length").si
    assert (low[3], high[3]) == ("too little", "too much") and low[2] < wanted <= high[2]
    assert low[0] < si(pile, "height") <= high[0] * (1 + 1e-9)
    run = 1 / math.tan(math.radians(35))
    for height, mean, held, _ in (low, high):
        # cut across at a height h, the pile is h times its top and one side's run; added up along both ends
        steps, total = 4000, 0.0
        for k in range(steps):
            h = height * (k + 0.5) / steps
            total += (across + run * h) * h * (3 + 1.5) * height / steps
        assert held == pytest.approx(total, rel=1e-6) and mean == pytest.approx(across + 2 / 3 * run * height)
    unit = FOOT if system == "us" else 1.0
    for height in (low[0] / unit, high[0] / unit):
        figure = f"{height:.1e}"  # two figures at the most, as a person would try
        assert float(figure) == pytest.approx(height, rel=1e-9)
    assert high[0] - low[0] <= 0.2001 * high[0] or low[0] == 0


def test_between_walls_no_side_rolls_out_and_nothing_is_tried() -> None:
    """100 yd³ are 2,700 ft³, over 24 ft an area of 112.5 ft²: a triangle 4.5 times as long as it is high, so √50 ft."""
    pile = worked("dozing.spoil_ramp", repose="90deg")
    assert si(pile, "height") == pytest.approx(50**0.5 * FOOT, rel=1e-9) and si(pile, "mean_width") == pytest.approx(24 * FOOT)
    assert [type(s).__name__ for s in pile.steps] == ["Applied"] * 4


@pytest.mark.parametrize(("ratio", "steeper"), [("1:1", True), ("1.4:1", True), ("1.43:1", False), ("3:1", False)])
def test_a_ramp_steeper_than_the_ground_rests_at_is_told(ratio: str, steeper: bool) -> None:
    """At 35° a side runs 1.428 for each one of rise."""
    notes = [s.text for s in worked("dozing.spoil_ramp", ratio=ratio).steps if isinstance(s, Note)]
    assert any("steeper than this ground rests at" in n for n in notes) is steeper


# --- the swing of every pass ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("title", "dig", "fill", "turned"),
    [("Dig far to near, fill front to rear", "far to near", "front to rear", False),
     ("The opposite: dig near to far, fill rear to front", "near to far", "rear to front", True)],
)  # fmt: skip
def test_the_rows_of_the_swing_plan_add_up_to_its_results(title: str, dig: str, fill: str, turned: bool) -> None:
    plan, table = worked("loading.swing_plan"), rows("loading.swing_plan", title)
    numbers, digs, fills, out, back, so_far = map(list, zip(*table, strict=True))
    assert numbers == [1, 2, 3, 4]
    # the truck waits from its first dump on: for the way back to the pile and out again
    steps = [0.0, *(b + o for b, o in zip(back, out[1:], strict=False))]
    assert so_far == pytest.approx([sum(steps[: k + 1]) / math.radians(20) for k in range(4)])
    assert (digs == sorted(digs), fills == sorted(fills)) == ((False, True) if turned else (True, False))
    assert out == pytest.approx([f - d for d, f in zip(digs, fills, strict=True)])
    assert back == pytest.approx([f - d for d, f in zip([*digs[1:], digs[0]], fills, strict=True)])
    waited = sum(out[1:]) + sum(back[:-1])
    orders = {row[:2]: row[2:] for row in rows("loading.swing_plan", "The four orders, first dump to last dump")}
    assert len(orders) == 4
    assert orders[dig, fill] == pytest.approx((out[0], out[-1], waited, waited / math.radians(20), sum(out) + sum(back)))
    assert si(plan, "swing_opposite" if turned else "swing") == pytest.approx(waited)
    assert si(plan, "swing_time_opposite" if turned else "swing_time") == pytest.approx(waited / math.radians(20))
    assert si(plan, "whole_swing") == pytest.approx(sum(out) + sum(back))
    if not turned:
        assert (si(plan, "first_swing"), si(plan, "last_swing")) == pytest.approx((out[0], out[-1]))
        assert si(plan, "saved_time") == pytest.approx(si(plan, "swing_time_opposite") - si(plan, "swing_time"))
        assert math.degrees(si(plan, "mean_swing")) == pytest.approx(math.degrees(sum(out) + sum(back)) / 8, abs=0.05001)


def test_each_part_of_the_stroke_brings_as_much_as_the_next() -> None:
    table = rows("loading.digging_stroke", "The slice, part by part", "metric", loose_volume="2.4 m3", stroke_length="3 m")
    assert [row[0] for row in table] == [1, 2, 3, 4, 5, 6]
    assert [row[1] for row in table] == pytest.approx([0.5, 1.0, 1.5, 2.0, 2.5, 3.0])
    assert [row[2] for row in table] == pytest.approx([0.4, 0.8, 1.2, 1.6, 2.0, 2.4])


def test_each_order_digs_and_dumps_where_it_says() -> None:
    digs, fills = (sorted(row[i] for row in rows("loading.swing_plan", "Dig far to near, fill front to rear")) for i in (1, 2))
    for dig, fill, first, last, *_ in rows("loading.swing_plan", "The four orders, first dump to last dump"):
        d, f = digs if dig == "far to near" else digs[::-1], fills if fill == "rear to front" else fills[::-1]
        assert (first, last) == pytest.approx((f[0] - d[0], f[-1] - d[-1]))


# --- trucks at a loader ----------------------------------------------------------------------------------


def test_each_row_of_the_fleet_is_one_truck_more() -> None:
    """The shares of time of the queue itself, as any text on queues gives them: with a = 3/15, p(n) grows as N!/(N-n)! a^n."""
    for n, (trucks, found, there, rate, busy) in enumerate(rows("loading.fleet_output", "One truck more at a time"), start=1):
        shares = [math.factorial(n) / math.factorial(n - k) * (3 / 15) ** k for k in range(n + 1)]
        working = 1 - shares[0] / sum(shares)
        fewer = [math.factorial(n - 1) / math.factorial(n - 1 - k) * (3 / 15) ** k for k in range(n)]
        queue = sum(k * s for k, s in enumerate(fewer)) / sum(fewer)
        assert (trucks, found, there) == (n, pytest.approx(queue), pytest.approx(180 * (1 + queue)))
        assert (rate, busy) == (pytest.approx(working / 180), pytest.approx(working))


# --- layers, and the factor for swing and depth -----------------------------------------------------------


@pytest.mark.parametrize("id_", ["trench.layered_top_width", "trench.layered_area"])
def test_the_table_of_layers_shows_the_run_of_its_own_and_the_one_used(id_: str) -> None:
    """29 CFR 1926 subpart P, appendix B: three quarters to one in A, one in B, one and a half in C, straight up in rock."""
    table = rows(id_, "Layers, top first")
    assert [(layer, soil, round(thick / FOOT, 9), own, used) for layer, soil, thick, own, used in table] == [
        ("upper", "C", 3, 1.5, 1.5), ("second", "A", 4, 0.75, 1.0), ("lowest", "B", 5, 1.0, 1.0),
    ]  # fmt: skip
    outcome = worked(id_)
    assert si(outcome, "depth") == pytest.approx(12 * FOOT)
    assert si(outcome, "top_width") == pytest.approx((4 + 2 * (5 + 4 + 4.5)) * FOOT)


@pytest.mark.parametrize(
    ("depth", "swing", "expected"),
    [("10 ft", "90 deg", [(0.5, 1.10)]), ("11 ft", "90 deg", [(0.5, 1.10), (0.7, 1.00)]), ("10 ft", "100 deg", [(0.5, 1.10, 1.03)])],
)
def test_only_the_rows_and_columns_beside_it_are_shown(depth: str, swing: str, expected: list[tuple[float, ...]]) -> None:
    table = rows("loading.swing_depth_factor", "From the table", digging_depth=depth, swing_angle=swing)
    assert [pytest.approx(row) for row in expected] == list(table)


def test_bands_go_up_and_each_is_farther_away_than_the_one_below() -> None:
    for voltage in ("115 kV", "800 kV"):
        for step in worked("lines.travel_clearance", voltage=voltage).steps:
            if isinstance(step, Rows):
                assert all(a[1] < b[1] for a, b in pairwise(step.rows) if isinstance(a[1], float) and isinstance(b[1], float))
