"""Lines before the formula: how figures come into the units of the working."""

from __future__ import annotations

from decimal import Decimal

import pytest

from generator.calc.catalogue import find
from generator.calc.expression import DEGREES, Call, Figure, evaluate
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, System
from generator.working.byhand import Working, worked
from generator.working.explain import explain, line_text, value_figure
from tests.every_formula import cases, example

RULE = "dozing.grade_pull_rule"


def lines(id_: str, system: System, *, as_typed: bool = False, **texts: str) -> list[str]:
    formula = find(id_)
    assert isinstance(formula, Formula)
    given = {n: Quantity.read(t, formula.input_by_name[n].kind) for n, t in texts.items()}
    working = worked(formula, given, system, as_typed=as_typed)
    return [line_text(line, formula) for line in working.lines]


# --- a grade worked in percent --------------------------------------------------------------


@pytest.mark.parametrize(("grade", "line"), [("30 deg", "tan(30°) × 100 = 57.7"), ("4:1", "100 ÷ 4 = 25%"), ("0.25", "0.25 × 100 = 25%")])
def test_a_grade_worked_in_percent_is_a_hundred_times_its_tangent(grade: str, line: str) -> None:
    assert any(line in x for x in lines(RULE, "us", mass="20 ton", grade=grade))


@pytest.mark.parametrize("unit", ["deg", ":1"])
def test_a_grade_that_comes_out_in_percent_is_divided_again(unit: str) -> None:
    formula = Formula(
        id="test.grade", title="Grade", written="grade", source=COMMON_PRACTICE, limits="none",
        result=Output("G", "grade", "grade", us=unit, work_us="%"),
        inputs=(Input("grade", "g", "grade", "grade", "0%", "500%", work_us="%"),),
    )  # fmt: skip
    working = worked(formula, {"grade": Quantity.read("40%", "grade")}, "us")
    text = line_text(working.lines[-1], formula)
    assert text == {"deg": "G = arctan(40 ÷ 100) = 21.8°", ":1": "G = 100 ÷ 40 = 2.5:1"}[unit]


# --- what nobody gave -----------------------------------------------------------------------


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("as_typed", [False, True])
def test_a_default_of_nothing_needs_no_line(system: System, as_typed: bool) -> None:
    texts = {"us": {"track_gauge": "8 ft", "cg_height": "4 ft"}, "metric": {"track_gauge": "2.4 m", "cg_height": "1.2 m"}}
    found = lines("slopes.static_tip_angle", system, as_typed=as_typed, **texts[system])
    assert not any("0.3048" in x or "ft × 0" in x for x in found)
    assert {"us": "0 ft", "metric": "0 m"}[system] in " ".join(found)


def test_a_default_stands_in_the_units_of_the_working() -> None:
    formula = find("trench.spoil_far_toe")
    assert isinstance(formula, Formula)
    given = example(formula, "metric")
    del given["set_back"]
    working = worked(formula, given, "metric")
    # two feet as one would measure them off in metres
    assert str(working.inputs["set_back"]) == "0.61 m"
    assert working.exact == formula.value({**given, "set_back": Quantity.read("0.61 m", "length")})


def test_a_zero_that_was_typed_needs_no_line_either() -> None:
    found = lines("slopes.static_tip_angle", "metric", as_typed=True, track_gauge="2.4 m", cg_height="1.2 m", cg_offset="0 in")
    assert not any("0 in" in x for x in found)


# --- nothing is said twice ------------------------------------------------------------------


@pytest.mark.parametrize(("formula", "system"), list(cases()), ids=lambda v: v if isinstance(v, str) else v.id)
def test_no_line_stands_twice_in_a_working(formula: Formula, system: System) -> None:
    other: System = "metric" if system == "us" else "us"
    for given, as_typed in ((example(formula, system), False), (example(formula, other), True)):
        found = worked(formula, given, system, as_typed=as_typed).lines
        texts = [line_text(line, formula) for line in found]
        assert len(texts) == len(set(texts))


def test_what_is_worked_out_twice_in_a_formula_is_printed_once() -> None:
    found = lines("loading.last_pass", "us", target="26 ton", bucket_load="5 ton")
    assert sum("÷" in x and x.endswith("= 5.2") for x in found) == 1


# --- right angles ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("function", "degrees", "value"),
    [("cos", 90, 0), ("sin", 180, 0), ("sin", 30, 0.5), ("cos", 60, 0.5), ("tan", 45, 1), ("tan", 0, 0)],
)
def test_round_angles_give_round_values(function: str, degrees: int, value: float) -> None:
    assert evaluate(Call(function, (Figure(Decimal(degrees), "deg"),)), {}, DEGREES) == value


def test_square_to_the_fall_there_is_no_main_fall() -> None:
    heading = find("grade.heading")
    given = {"steepest": Quantity.read("25%", "grade"), "heading": Quantity.read("90 deg", "angle")}
    explained = explain(heading, given, "us", {})
    assert explained.result.text() == "0%"
    assert explained.results["cross_slope"].text() == "25%"
    last = [b for b in explained.blocks if isinstance(b, Working)][-1]
    assert str(last.result) == "0%"


@pytest.mark.parametrize("si", [1.5e-17, -3e-14])
def test_what_binary_fractions_leave_over_is_nothing(si: float) -> None:
    assert str(value_figure(si, "grade", "%")) == "0%"
    assert str(value_figure(si, "length", "ft")) == "0 ft"
