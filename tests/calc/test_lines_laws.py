"""Laws of the line calculations: the bands and their ends, the two rules side by side, refusals."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import lines, lines_found
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from generator.calc.steps import Applied, Note, Outcome, Rows
from generator.reference import tables
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, System
from generator.working.byhand import worked
from generator.working.explain import as_text, explain

TABLES = tables.load(Path(__file__).resolve().parents[2] / "content")
FOOT = 0.3048
FORMULAS = [c for c in lines.CALCULATIONS if isinstance(c, Formula)]
BANDS = ((0, 50, 10), (50, 200, 15), (200, 350, 20), (350, 500, 25), (500, 750, 35), (750, 1000, 45))


def clearance(kilovolts: float | str, system: System = "us") -> Outcome:
    return lines.CLEARANCE.run(lines.CLEARANCE.read({"voltage": f"{kilovolts} kV"}), system, TABLES)


def feet(outcome: Outcome, name: str) -> float:
    return float(outcome.values[name].si) / FOOT


@pytest.mark.parametrize(("over", "up_to", "expected"), BANDS)
@pytest.mark.parametrize("system", SYSTEMS)
def test_each_band_includes_the_value_it_goes_up_to(over: float, up_to: float, expected: float, system: System) -> None:
    if system == "metric":  # 1 ft is 0.3048 m by definition (1959); up to the next centimetre, never down
        expected = {10.0: 3.05, 15.0: 4.58, 20.0: 6.1, 25.0: 7.62, 35.0: 10.67, 45.0: 13.72}[expected] / FOOT
    for kilovolts in (over + 0.06, (over + up_to) / 2, up_to):
        assert feet(clearance(kilovolts, system), "table_a") == pytest.approx(expected, rel=1e-12)
    if over:
        assert feet(clearance(over, system), "table_a") < expected


@pytest.mark.parametrize("kilovolts", [1000.001, 1000.1, 1200, 2000])
def test_past_the_table_somebody_else_decides(kilovolts: float) -> None:
    with pytest.raises(CalculationError, match="registered professional engineer"):
        clearance(kilovolts)


@pytest.mark.parametrize("kilovolts", ["-1", "0", "5000"])
def test_no_such_voltage(kilovolts: str) -> None:
    with pytest.raises(CalculationError):
        clearance(kilovolts)


@given(st.floats(0.05, 1000))
def test_the_crane_table_is_never_less_than_the_rule_for_earthmovers(kilovolts: float) -> None:
    result = clearance(f"{kilovolts:.4f}")
    assert feet(result, "table_a") >= feet(result, "excavator_rule") - 1e-9
    assert feet(result, "clearance") == pytest.approx(feet(result, "table_a"), rel=1e-9)


@pytest.mark.parametrize("kilovolts", [50, 200, 350, 500])
def test_the_two_rules_meet(kilovolts: int) -> None:
    result = clearance(kilovolts)
    assert feet(result, "table_a") == pytest.approx(feet(result, "excavator_rule"), rel=1e-12)


def test_the_two_rules_differ_at_115_kilovolts() -> None:
    result = clearance(115)
    assert feet(result, "excavator_rule") == pytest.approx(12 + 1 / 6)
    assert feet(result, "clearance") == pytest.approx(15)


@given(st.lists(st.floats(0.05, 1000), min_size=2, max_size=6))
def test_more_voltage_never_means_less_room(voltages: list[float]) -> None:
    found = [feet(clearance(f"{v:.4f}"), "clearance") for v in sorted(voltages)]
    assert all(a <= b + 1e-9 for a, b in pairwise(found))


def test_the_larger_rule_wins_if_a_table_prints_less() -> None:
    # were the table ever printed lower, the rule for earthmovers must still hold
    assert lines.COMMON_CLEARANCE(crane_clearance=10 * FOOT, excavator_clearance=4) == 4


def test_the_constants_are_the_published_tables() -> None:
    table = TABLES["line-clearance-excavators"]
    constants = {c.name: c.written("us")[0] for c in lines.EXCAVATOR_CLEARANCE.constants}
    assert float(constants["least_distance"]) == 12 * table.cell("over 50 kV", "clearance").low
    assert float(constants["more_each_step"]) == table.cell("over 50 kV", "add").low
    assert float(constants["limit_voltage"]) == table.cell("over 50 kV", "over").low
    assert float(constants["one_step"]) == table.cell("over 50 kV", "for each").low
    assert lines.EXCAVATOR_CLEARANCE.source.standing == "published" and table.seen == "read"


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("kilovolts", [0.12, 12.47, 69, 115, 138, 345, 765, 1000])
def test_the_printed_distance_is_never_short(kilovolts: float, system: System) -> None:
    explained = explain(lines.CLEARANCE, lines.CLEARANCE.read({"voltage": f"{kilovolts} kV"}), system, TABLES)
    printed = explained.result.quantity
    assert printed is not None
    assert printed.si >= feet(clearance(kilovolts), "table_a") * FOOT - 1e-9
    text = "\n".join(as_text(explained))
    assert "not the rule for excavators" in text and "from memory" not in text
    notes = [b.text for b in explained.blocks if isinstance(b, Note)]
    assert not any(c.isdigit() for n in notes for c in n)
    applied = [s for s in clearance(kilovolts, system).steps if isinstance(s, Applied)]
    assert applied[-1].formula is lines.COMMON_CLEARANCE


@given(st.floats(5, 100), st.floats(2, 50), st.floats(2, 50))
def test_gap_and_what_it_leaves_out_make_the_height(line: float, boom: float, keep: float) -> None:
    gap = lines.REACH_GAP(line_height=line, boom_reach_height=boom, clearance=keep)
    assert gap + boom + keep == pytest.approx(line)
    assert lines.STANDOFF(max_reach=boom, clearance=keep) == pytest.approx(boom + keep)


@given(st.floats(0.01, 5), st.floats(0.31, 5))
def test_zone_is_wider_than_the_line_by_both_strips(line: float, strip: float) -> None:
    zone = lines.TOLERANCE_ZONE(line_width=line, tolerance=strip)
    assert (zone - line) / 2 == pytest.approx(strip)


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: str(f.id))
@given(share=st.floats(0.02, 0.98))
def test_hand_working_holds(formula: Formula, share: float) -> None:
    system: System
    for system in SYSTEMS:
        given_now = {}
        for n, i in enumerate(formula.inputs):
            low, high = i.bounds
            part = (share + 0.31 * n) % 1
            given_now[i.name] = Quantity.of(low + part * (high - low), i.kind, system)
        done = worked(formula, given_now, system)
        assert done.exact == pytest.approx(formula.value(given_now))


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: str(f.id))
def test_out_of_range_is_refused(formula: Formula) -> None:
    middle = {i.name: sum(i.bounds) / 2 for i in formula.inputs}
    for i in formula.inputs:
        for bad in (*((0.0,) if i.name != "swing" else ()), -1.0, 1e9, math.nan):  # a swing of nothing points at the wire
            with pytest.raises(CalculationError):
                formula(**{**middle, i.name: bad})


# 29 CFR 1926.600(a)(6)(iii) and 1926.1411 Table T, the larger of the two: over kV, up to kV, ft
MOVING = ((0.05, 0.75, 4), (0.75, 49.99, 6), (50, 345, 10), (345, 750, 16))


def travel(kilovolts: float | str, system: System = "us") -> Outcome:
    return lines.TRAVEL_CLEARANCE.work(lines.TRAVEL_CLEARANCE.read({"voltage": f"{kilovolts} kV"}), system, TABLES)


@pytest.mark.parametrize(("over", "up_to", "expected"), MOVING)
def test_the_distance_on_the_move_goes_by_the_voltage(over: float, up_to: float, expected: float) -> None:
    for kilovolts in (over + 0.01, (over + up_to) / 2, up_to):
        assert feet(travel(kilovolts), "clearance") == pytest.approx(expected)
        assert feet(travel(kilovolts, "metric"), "clearance") >= expected - 1e-9


def test_at_fifty_kilovolts_where_the_rule_names_no_distance_the_larger_is_kept() -> None:
    assert feet(travel(50), "clearance") == pytest.approx(10)


@given(st.floats(0.05, 1000))
def test_on_the_move_no_more_is_asked_than_at_work_and_never_nothing(kilovolts: float) -> None:
    text = f"{kilovolts:.4f}"
    assert 4 - 1e-9 <= feet(travel(text), "clearance") <= feet(clearance(text), "clearance") + 1e-9


@pytest.mark.parametrize("kilovolts", [750.5, 765, 1000])
def test_past_the_rule_for_the_move_the_distance_for_work_is_kept(kilovolts: float) -> None:
    assert travel(kilovolts).values["clearance"].si == clearance(kilovolts).values["clearance"].si


@pytest.mark.parametrize("id_", ["lines.clearance", "lines.travel_clearance", "lines.excavator_clearance"])
def test_past_a_thousand_kilovolts_every_calculation_says_who_decides(id_: str) -> None:
    from generator.calc.catalogue import find

    calculation = find(id_)
    with pytest.raises(CalculationError) as refused:
        if isinstance(calculation, Formula):
            calculation(voltage=1.1e6)
        else:
            calculation.read({"voltage": "1100 kV"})
    assert "owner" in refused.value.fix and "engineer" in refused.value.fix


@pytest.mark.parametrize(
    ("procedure", "kilovolts", "marked"),
    [
        (lines.CLEARANCE, "69", ["over 50 to 200 kV"]),
        (lines.CLEARANCE, "1000", ["over 750 to 1000 kV"]),
        (lines.TRAVEL_CLEARANCE, "12", ["under 50 kV", "over 750 V to 50 kV"]),
        (lines.TRAVEL_CLEARANCE, "500", ["over 345 to 750 kV", "over 345 to 750 kV"]),
    ],
)
@pytest.mark.parametrize("system", SYSTEMS)
def test_each_table_of_the_working_marks_the_row_of_this_line_and_no_other(
    procedure: Procedure, kilovolts: str, marked: list[str], system: System
) -> None:
    done = procedure.run(procedure.read({"voltage": f"{kilovolts} kV"}), system, TABLES)
    found = [[row[0] for row in step.rows if row[2] == "this line"] for step in done.steps if isinstance(step, Rows)]
    assert found == [[name] for name in marked]
    assert all(row[2] in {"", "this line"} for step in done.steps if isinstance(step, Rows) for row in step.rows)


@given(st.floats(2, 5000), st.floats(1, 200))
def test_no_two_holes_are_farther_apart_than_they_may_be_and_none_is_too_many(run: float, spacing: float) -> None:
    holes = lines_found.HOLES(length=run * FOOT, spacing=spacing * FOOT)
    assert holes == int(holes) >= 2
    assert run / (holes - 1) <= spacing * (1 + 1e-9)
    if holes > 2:
        assert run / (holes - 2) > spacing * (1 - 1e-9)


@given(st.integers(2, 500), st.floats(2, 400))
def test_the_time_is_that_of_each_hole(holes: int, minutes: float) -> None:
    assert lines_found.HOLE_TIME(holes=holes, hole_time=minutes * 60) == pytest.approx(sum([minutes * 60] * holes))


@given(st.floats(0.1, 60), st.floats(0.02, 5), st.floats(0.31, 3))
def test_between_two_lines_the_zones_and_the_strip_fill_the_way(apart: float, width: float, tolerance: float) -> None:
    strip = lines_found.MACHINE_STRIP(apart=apart, line_width=width, tolerance=tolerance)
    zone = lines.TOLERANCE_ZONE(line_width=width, tolerance=tolerance)
    assert strip + zone == pytest.approx(apart)
