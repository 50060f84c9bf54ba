"""What a formula, a procedure and a published table take, refuse and say, on small ones made for it."""

from __future__ import annotations

import math
import sys
from dataclasses import replace
from decimal import Decimal
from types import ModuleType
from typing import Any

import pytest

from generator.calc import catalogue
from generator.calc.catalogue import calculations, find, wear
from generator.calc.formula import COMMON_PRACTICE, Constant, Formula, Input, Output
from generator.calc.procedure import Choice, Procedure
from generator.calc.steps import Column, Outcome, Value
from generator.calc.tables import Cell, Table
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity

FOOT = 0.3048  # by definition (1959)
LONG = Input("long", "a", "length", "the long side", low="1 ft", high="10 ft", beyond="ask the foreman")
SHORT = Input("short", "b", "length", "the short side", low="0 ft", high="20 ft", default="2 ft")
ROOM = Formula(
    id="grade.room", title="Room left", written="long - short", result=Output("r", "length", "room left"),
    inputs=(LONG, SHORT), source=COMMON_PRACTICE, limits="Level ground.",
)  # fmt: skip


def told(formula: Formula | Procedure, **texts: str) -> str:
    with pytest.raises(CalculationError) as caught:
        formula.read(texts)
    return str(caught.value)


def refusal(formula: Formula, **values: float) -> CalculationError:
    with pytest.raises(CalculationError) as caught:
        formula(**values)
    return caught.value


# --- ranges: every one there is ------------------------------------------------------------------

RANGES = {(c.id, i.name): i for c in calculations().values() for i in c.inputs if isinstance(i, Input)}


@pytest.mark.parametrize("i", RANGES.values(), ids=[" ".join(k) for k in RANGES])
def test_a_range_takes_its_ends_and_nothing_past_them(i: Input) -> None:
    ends = sorted(Quantity.read(text, i.kind).si for text in (i.low, i.high))
    least, most = ends
    assert least < most
    for value in (least, (least + most) / 2, most):
        i.check(value)
    hair = 1e-6 * max(abs(least), abs(most))
    for value in (least - hair, most + hair, math.nan):
        with pytest.raises(CalculationError, match=i.name) as caught:
            i.check(value)
        assert i.low in caught.value.what and i.high in caught.value.what
        above = value > most and i.beyond
        assert caught.value.fix == i.beyond if above else i.meaning in caught.value.fix


def test_the_ends_of_a_range_hold_the_noise_of_binary_fractions() -> None:
    low, high = LONG.bounds
    assert low < FOOT < FOOT * (1 + 1e-6) and FOOT - low < 1e-8
    assert high > 10 * FOOT and high - 10 * FOOT < 1e-7
    assert replace(LONG, low="1:1", high="12:1", kind="grade").bounds == pytest.approx((1 / 12, 1))  # steep is the small figure


@pytest.mark.parametrize("value", [0.99 * FOOT, 10.01 * FOOT, math.nan])
def test_a_formula_keeps_to_the_ranges_of_its_inputs(value: float) -> None:
    assert "long is out of range (1 ft to 10 ft)" in str(refusal(ROOM, long=value, short=0.0))
    with pytest.raises(CalculationError, match="out of range"):
        ROOM.quantities({"long": Quantity(Decimal(11), "ft", "length")})


def test_a_formula_takes_the_ends_of_its_ranges() -> None:
    low, high = LONG.bounds
    assert ROOM(long=low, short=0.0) == low and ROOM(long=high, short=0.0) == high
    assert ROOM(long=high, short=Quantity.read("10 ft", "length").si) == pytest.approx(0, abs=1e-6)


# --- what is given -------------------------------------------------------------------------------


def test_a_default_stands_in_and_a_given_figure_goes_before_it() -> None:
    assert ROOM(long=10 * FOOT) == pytest.approx(8 * FOOT, rel=1e-12)
    assert ROOM(long=10 * FOOT, short=3 * FOOT) == pytest.approx(7 * FOOT, rel=1e-12)
    full = ROOM.quantities({"long": Quantity.read("10 ft", "length")})
    assert list(full) == ["long", "short"] and str(full["short"]) == "2 ft"
    assert list(ROOM.read({"short": "1 ft", "long": "5 ft"})) == ["long", "short"]
    assert ROOM.value(full) == pytest.approx(8 * FOOT)
    assert ROOM.input_by_name == {"long": LONG, "short": SHORT}


def test_what_is_missing_or_unknown_is_named_with_what_to_write() -> None:
    assert str(refusal(ROOM, short=0.1)) == "grade.room needs long (the long side); add long=10ft"
    assert told(ROOM, short="1 ft") == "grade.room needs long (the long side); add long=10ft"
    for error in (refusal(ROOM, long=1.0, wide=1.0), refusal(ROOM, long=1.0, short=0.2, wide=1.0)):
        assert str(error) == "grade.room has no input 'wide'; its inputs are long, short"
    assert told(ROOM, long="5 ft", wide="2 ft") == "grade.room has no input 'wide'; its inputs are long, short"
    with pytest.raises(CalculationError, match="no input 'wide'"):
        ROOM.quantities({"wide": Quantity.read("5 ft", "length")})
    assert told(ROOM, long="5 lb").startswith("long: ")
    timed = replace(ROOM, inputs=(replace(LONG, kind="time", low="1 s", high="9 s"),))
    assert "add long=30s" in str(refusal(timed))


# --- what has no sensible result -----------------------------------------------------------------


def test_a_result_below_nothing_is_none() -> None:
    error = refusal(ROOM, long=FOOT, short=1.001 * FOOT)
    assert str(error) == "these inputs give no sensible room left; check them against: Level ground."
    assert ROOM(long=FOOT, short=FOOT) == 0.0 and ROOM(long=FOOT, short=0.9 * FOOT) == pytest.approx(0.1 * FOOT)
    below = replace(ROOM, result=replace(ROOM.result, at_least=None))
    assert below(long=FOOT, short=2 * FOOT) == pytest.approx(-FOOT)
    assert replace(ROOM, result=replace(ROOM.result, at_least=0.1))(long=FOOT, short=0.0) == FOOT


def test_a_result_past_the_largest_that_makes_sense_is_none() -> None:
    capped = replace(ROOM, result=replace(ROOM.result, at_most=1.0))
    assert capped(long=1.0, short=0.0) == 1.0 and capped(long=0.5, short=0.0) == 0.5
    assert "no sensible room left" in str(refusal(capped, long=1.001, short=0.0))


@pytest.mark.parametrize(
    "written",
    [
        "long / (short - short)",  # over nothing
        "long / (long - 1 * long) - short", "sqrt(0 - long - short)", "asin(long + 2 + short)",
        "(0 - long - short)**(1 / 3)",  # not a real number
        "(long + short) * 1e300 * 1e300",  # without end
        "long * 1e300 * 1e300 - short - long * 1e300 * 1e300",  # not a number
    ],
)  # fmt: skip
@pytest.mark.parametrize("least", [0.0, None])
def test_what_is_no_number_is_no_result(written: str, least: float | None) -> None:
    formula = replace(ROOM, written=written, result=replace(ROOM.result, at_least=least))
    assert "no sensible room left" in str(refusal(formula, long=1.0, short=0.5))


def test_what_must_not_be_larger_may_be_as_large() -> None:
    held = replace(ROOM, requires=(("short", "long", "the short side is the longer one"),))
    assert held(long=FOOT, short=FOOT) == 0.0
    assert held(long=FOOT, short=0.0) == FOOT
    # both typed alike, one of them by way of another unit
    assert held(long=FOOT, short=FOOT * (1 + 1e-12)) == pytest.approx(0, abs=1e-12)
    assert str(refusal(held, long=FOOT, short=FOOT * 1.0001)) == "the short side is the longer one; check short and long"


@pytest.mark.parametrize("level", [-100.0, -0.3, 0.0, 0.3, 100.0])
def test_what_must_not_be_larger_may_be_as_large_below_zero_too(level: float) -> None:
    """Elevations lie below the benchmark's zero as well: a floor at the ground's own height is a cut of nothing."""
    cut = find("trench.cut_depth")
    assert isinstance(cut, Formula)
    assert cut(surface_elevation=level, invert_elevation=level) == 0.0
    assert cut(surface_elevation=level, invert_elevation=level - 1.5) == pytest.approx(1.5)
    assert "the floor lies above the ground" in str(refusal(cut, surface_elevation=level, invert_elevation=level + 0.001))


def test_what_must_be_above_nothing_is() -> None:
    held = replace(ROOM, positive=(("long - short", "no room is left"),), result=replace(ROOM.result, at_least=None))
    assert held(long=0.5, short=0.25) == 0.25
    for short in (0.5, 0.75):
        assert str(refusal(held, long=0.5, short=short)) == "no room is left; check long, short"


# --- units it is put in and printed with ----------------------------------------------------------


def test_each_system_has_its_units() -> None:
    """Speeds are told in miles or kilometres an hour and worked by the minute: 88 ft/min make 1 mph."""
    speed = Input("v", "v", "speed", "the speed", low="1 mph", high="9 mph")
    assert (speed.work_unit("us"), speed.work_unit("metric")) == ("ft/min", "m/min")
    own = replace(speed, work_us="ft/s", work_metric="m/s")
    assert (own.work_unit("us"), own.work_unit("metric")) == ("ft/s", "m/s")
    out = Output("v", "speed", "speed")
    assert [out.unit("us"), out.unit("metric"), out.work_unit("us"), out.work_unit("metric")] == ["mph", "km/h", "ft/min", "m/min"]
    out = replace(out, us="ft/s", metric="m/s", work_us="mph", work_metric="km/h")
    assert [out.unit("us"), out.unit("metric"), out.work_unit("us"), out.work_unit("metric")] == ["ft/s", "m/s", "mph", "km/h"]
    assert (out.significant, out.at_least, out.at_most) == (3, 0.0, None)


def test_a_constant_is_written_in_the_units_of_each_system() -> None:
    edge = Constant("edge", "e", "length", "the distance to the edge", us="2 ft", metric="61 cm", source=COMMON_PRACTICE)
    assert edge.written("us") == (Decimal(2), "ft") and edge.written("metric") == (Decimal(61), "cm")
    assert edge.si == pytest.approx(0.61)
    held = replace(ROOM, written="long - short - edge", constants=(edge,))
    assert held(long=3.0, short=1.0) == pytest.approx(1.39)


def test_what_nobody_says_of_a_calculation() -> None:
    assert ROOM.stability is False
    assert Column("a", "length").total is False and Value(1.0, "length", "a").given is False


# --- procedures ----------------------------------------------------------------------------------

SOIL = Choice("soil", "the soil", ("A short term", "B"), default="b")
EXTRA = Input("extra", "c", "length", "some more", low="1 ft", high="3 ft", default="")


def _given_back(inputs: Any, system: Any, tables: Any) -> Outcome:
    return Outcome(system, {**inputs, **tables})


ECHO = Procedure("grade.echo", "Echo", (LONG, SHORT, SOIL, EXTRA), COMMON_PRACTICE, "Any ground.", _given_back)


def test_a_procedure_is_given_all_it_needs() -> None:
    assert ECHO.stability is False and ECHO.input_by_name["soil"] is SOIL
    got = ECHO.read({"long": "10 ft"})
    assert {n: str(v) for n, v in got.items()} == {"long": "10 ft", "short": "2 ft", "soil": "B"}
    got = ECHO.read({"extra": "3 ft", "soil": " a  SHORT term", "long": "10 ft", "short": "1 ft"})
    assert [str(v) for v in got.values()] == ["10 ft", "1 ft", "A short term", "3 ft"]
    assert list(got) == ["long", "short", "soil", "extra"]


def test_a_procedure_is_given_figures_of_its_system() -> None:
    given = ECHO.read({"long": "10 ft"})
    metric = ECHO.work(given, "metric", {})
    assert metric.main == "metric" and metric.steps == ()
    assert {n: str(v) for n, v in metric.values.items()} == {"long": "3.05 m", "short": "0.61 m", "soil": "B"}
    assert {n: str(v) for n, v in ECHO.work(given, "us", {}).values.items()} == {"long": "10 ft", "short": "2 ft", "soil": "B"}


def test_a_procedure_says_what_is_wrong_with_an_input() -> None:
    assert told(ECHO) == "grade.echo needs long (the long side); add long=10ft"
    assert told(ECHO, wide="1 ft") == "grade.echo has no input 'wide'; its inputs are long, short, soil, extra"
    with pytest.raises(CalculationError, match="no input 'wide'"):
        ECHO.complete({"long": Quantity.read("10 ft", "length"), "wide": "B"})
    assert told(ECHO, long="10 ft", soil="D") == "soil: 'D' is not a choice for soil; choose A short term, B"
    assert told(ECHO, long="10 lb").startswith("long: ")
    for texts in ({"long": "11 ft"}, {"long": "10 ft", "extra": "4 ft"}):
        assert "out of range" in told(ECHO, **texts)
    assert told(replace(ECHO, inputs=(replace(SOIL, default=None),))) == "grade.echo needs soil (the soil); add soil=A short term"
    with pytest.raises(CalculationError, match="long needs a quantity; give the long side"):
        ECHO.complete({"long": "10 ft"})


# --- tables, and the list of calculations ----------------------------------------------------------

FACTORS = Table(
    "factors", "Factors", "a-source", "page 1", "read", ("low", "high", "note"), {"low": "1"},
    {"clay": {"low": Cell("3-5", 3.0, 5.0), "high": None, "note": Cell("2", 2.0, 2.0)}},
)  # fmt: skip


def test_a_table_gives_its_cells_and_says_which_there_are() -> None:
    assert FACTORS.cell("clay", "low").middle == 4.0 and FACTORS.cell("clay", "note").middle == 2.0
    for row, column, says in (
        ("sand", "low", "factors has no row 'sand'; its rows are clay"),
        ("clay", "high", "factors prints no 'high' for clay; it prints low, note"),
        ("clay", "wide", "factors prints no 'wide' for clay; it prints low, note"),
    ):
        with pytest.raises(CalculationError) as caught:
            FACTORS.cell(row, column)
        assert str(caught.value) == says


def test_a_calculation_is_found_by_its_name_or_a_near_one_is_told() -> None:
    assert find("grade.drop").id == "grade.drop"
    with pytest.raises(CalculationError, match=r"no calculation is called 'grade\.dorp'; did you mean grade\.drop") as caught:
        find("grade.dorp")
    assert len(caught.value.fix.split(",")) == 3
    with pytest.raises(CalculationError, match="'seatwork calculations' lists them all"):
        find("zzz")


def test_no_calculation_stands_twice_or_in_the_wrong_topic(monkeypatch: pytest.MonkeyPatch) -> None:
    assert set(catalogue.calculations.__wrapped__()) == set(calculations())
    monkeypatch.setattr(catalogue, "TOPICS", ("wear", "wear"))
    with pytest.raises(ValueError, match="twice"):
        catalogue.calculations.__wrapped__()
    other = ModuleType("generator.calc.catalogue.other")
    vars(other)["CALCULATIONS"] = wear.CALCULATIONS
    monkeypatch.setitem(sys.modules, other.__name__, other)
    monkeypatch.setattr(catalogue, "TOPICS", ("other",))
    with pytest.raises(ValueError, match="wrong topic"):
        catalogue.calculations.__wrapped__()
