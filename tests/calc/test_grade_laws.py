"""Laws of the grade calculations: which way they go, round trips, limits, and the two systems."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import grade
from generator.calc.formula import Formula
from generator.calc.steps import Applied
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity

grades = st.floats(0.001, 4.9)
small = st.one_of(st.just(0.0), st.floats(1e-6, 2.9))
lengths = st.floats(0.01, 3000)
headings = st.floats(0, math.pi / 2)
FORMULAS = [c for c in grade.CALCULATIONS if isinstance(c, Formula)]


def heading(**texts: str) -> dict[str, float]:
    outcome = grade.HEADING.run(grade.HEADING.read(texts), "us", {})
    return {name: float(value.si) for name, value in outcome.values.items()}


# --- which way ------------------------------------------------------------------------------


@given(grades, grades)
def test_steeper_is_a_larger_angle_and_less_run(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert grade.ANGLE(grade=low) <= grade.ANGLE(grade=high) < math.pi / 2
    assert grade.RATIO(grade=low) >= grade.RATIO(grade=high) > 0


@given(lengths, grades, grades)
def test_the_steeper_the_shorter_along_the_slope(rise: float, a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert grade.SLOPE_LENGTH(rise=rise, grade=low) >= grade.SLOPE_LENGTH(rise=rise, grade=high) * (1 - 1e-12)
    assert grade.SLOPE_LENGTH(rise=rise, grade=high) > rise


@given(small, small)
def test_the_true_grade_is_no_less_than_either_and_no_more_than_their_sum(a: float, b: float) -> None:
    steepest = grade.STEEPEST(main_fall=a, cross_slope=b)
    assert max(a, b) <= steepest * (1 + 1e-12)
    assert steepest <= (a + b) * (1 + 1e-12)
    assert grade.STEEPEST(main_fall=b, cross_slope=a) == pytest.approx(steepest, rel=1e-12)


@given(small, headings, headings)
def test_turning_off_the_fall_line_trades_main_fall_for_cross_slope(g: float, a: float, b: float) -> None:
    near, far = sorted((a, b))
    assert grade.ALONG(steepest=g, heading=near) >= grade.ALONG(steepest=g, heading=far)
    assert grade.ACROSS(steepest=g, heading=near) <= grade.ACROSS(steepest=g, heading=far)


# --- there and back -------------------------------------------------------------------------


@given(grades, lengths)
def test_drop_and_percent_undo_each_other(g: float, run: float) -> None:
    drop = grade.DROP(grade=g, distance=run)
    if drop <= 3000:
        assert grade.PERCENT(rise=drop, run=run) == pytest.approx(g, rel=1e-12)


@given(grades)
def test_angle_and_ratio_are_the_same_slope(g: float) -> None:
    assert math.tan(grade.ANGLE(grade=g)) == pytest.approx(g, rel=1e-9)
    assert grade.RATIO(grade=g) * g == pytest.approx(1, rel=1e-12)
    # typed in degrees or run to rise, it is the same grade
    degrees = Quantity.read(f"{math.degrees(grade.ANGLE(grade=g)):.12f} deg", "grade")
    ratio = Quantity.read(f"{grade.RATIO(grade=g):.12f}:1", "grade")
    assert degrees.si == pytest.approx(g, rel=1e-8)
    assert ratio.si == pytest.approx(g, rel=1e-8)


@given(st.floats(0.01, 2.9), headings)
def test_both_parts_of_a_heading_make_the_whole_grade_again(g: float, turn: float) -> None:
    parts = {"main_fall": grade.ALONG(steepest=g, heading=turn), "cross_slope": grade.ACROSS(steepest=g, heading=turn)}
    assert grade.STEEPEST(**parts) == pytest.approx(g, rel=1e-9)


@given(lengths, grades)
def test_the_slope_is_the_long_side_of_a_right_triangle(rise: float, g: float) -> None:
    along, run = grade.SLOPE_LENGTH(rise=rise, grade=g), rise * grade.RATIO(grade=g)
    assert along**2 == pytest.approx(rise**2 + run**2, rel=1e-9)


@given(lengths, grades, st.floats(0.1, 9))
def test_all_sizes_of_one_slope_have_one_grade(run: float, g: float, times: float) -> None:
    run = max(run, 0.1)
    one = grade.DROP(grade=g, distance=run)
    assert grade.DROP(grade=g, distance=run * times) == pytest.approx(one * times, rel=1e-12)
    if one * times <= 3000:
        assert grade.PERCENT(rise=one * times, run=run * times) == pytest.approx(g, rel=1e-12)


# --- limits ---------------------------------------------------------------------------------


def test_level_ground() -> None:
    assert grade.PERCENT(rise=0, run=5) == 0
    assert grade.ANGLE(grade=0) == 0
    assert grade.DROP(grade=0, distance=80) == 0
    assert grade.STEEPEST(main_fall=0, cross_slope=0) == 0


def test_a_hundred_percent_is_half_of_a_right_angle() -> None:
    assert grade.ANGLE(grade=1) == pytest.approx(math.pi / 4, rel=1e-12)
    assert grade.RATIO(grade=1) == 1


@given(small)
def test_one_grade_alone_is_the_steepest(g: float) -> None:
    assert grade.STEEPEST(main_fall=g, cross_slope=0) == pytest.approx(g, rel=1e-12)


def test_straight_down_and_square_to_the_fall() -> None:
    assert heading(steepest="25%", heading="0 deg") == {"main_fall": 0.25, "cross_slope": 0.0}
    across = heading(steepest="25%", heading="90 deg")
    assert across["cross_slope"] == pytest.approx(0.25)
    assert across["main_fall"] == pytest.approx(0, abs=1e-15)
    half = heading(steepest="25%", heading="45 deg")
    assert half["main_fall"] == pytest.approx(half["cross_slope"], rel=1e-12)


def test_the_heading_shows_both_of_its_formulas_and_ends_on_its_main_value() -> None:
    outcome = grade.HEADING.run(grade.HEADING.read({"steepest": "25%", "heading": "30 deg"}), "us", {})
    steps = [s for s in outcome.steps if isinstance(s, Applied)]
    assert [s.formula.id for s in steps] == ["grade.across_heading", "grade.along_heading"]
    assert outcome.main == steps[-1].name == "main_fall"


# --- the two systems ------------------------------------------------------------------------


@given(st.integers(1, 400), st.integers(1, 3000))
def test_feet_and_metres_give_one_grade(percent: int, feet: int) -> None:
    in_feet = grade.DROP.value(grade.DROP.read({"grade": f"{percent}%", "distance": f"{feet} ft"}))
    in_metres = grade.DROP.value(grade.DROP.read({"grade": f"{percent}%", "distance": f"{feet * 0.3048:.6f} m"}))
    assert in_feet == pytest.approx(in_metres, rel=1e-5)
    one = grade.PERCENT.value(grade.PERCENT.read({"rise": f"{feet} ft", "run": f"{2 * feet} ft"}))
    assert one == pytest.approx(0.5, rel=1e-12)


# --- what is turned away --------------------------------------------------------------------


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.id)
def test_every_range_is_kept(formula: Formula) -> None:
    middle = {i.name: sum(i.bounds) / 2 for i in formula.inputs}
    for i in formula.inputs:
        low, high = i.bounds
        for value in (low - 1e-3 * (high - low), high + 1e-3 * (high - low), math.nan, math.inf, -math.inf):
            with pytest.raises(CalculationError, match=i.name):
                formula(**{**middle, i.name: value})


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.id)
def test_the_ends_of_every_range_give_a_number(formula: Formula) -> None:
    for end in ("low", "high"):
        value = formula.value({i.name: Quantity.read(getattr(i, end), i.kind) for i in formula.inputs})
        assert math.isfinite(value)
        if formula.result.at_least is not None:  # a height above a benchmark may lie below its zero
            assert value >= formula.result.at_least - 1e-12


@pytest.mark.parametrize(
    ("calculation", "texts", "said"),
    [
        (grade.PERCENT, {"rise": "1 ft", "run": "0 ft"}, "run is out of range"),
        (grade.RATIO, {"grade": "0%"}, "grade is out of range"),
        (grade.ANGLE, {"grade": "25"}, "out of range"),  # 25 without a sign is 2500 percent
        (grade.DROP, {"grade": "0:1", "distance": "10 ft"}, "vertical"),
        (grade.DROP, {"grade": "1%", "distance": "10"}, "unit is missing"),
        (grade.SLOPE_LENGTH, {"rise": "5 ft"}, "needs grade"),
    ],
)  # fmt: skip
def test_errors_name_the_input(calculation: Formula, texts: dict[str, str], said: str) -> None:
    with pytest.raises(CalculationError, match=said):
        calculation.value(calculation.read(texts))


def test_a_turn_of_more_than_a_right_angle_is_turned_away() -> None:
    with pytest.raises(CalculationError, match="heading is out of range"):
        grade.HEADING.read({"steepest": "25%", "heading": "120 deg"})
