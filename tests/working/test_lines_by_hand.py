"""The lines of a working, figure by figure: which are written, how far each is rounded, and what is carried on.

Every expected line is worked with a pencil; the sums stand in the lines themselves.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from generator.calc.catalogue import find
from generator.calc.formula import COMMON_PRACTICE, Constant, Formula, Input, Output
from generator.calc.steps import Applied, From
from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity
from generator.units.table import System
from generator.working.byhand import (
    DishonestWorking,
    Working,
    conversion,
    result_figure,
    result_places,
    rounding_line,
    usable,
    worked,
    worked_chain,
)
from generator.working.explain import line_text

PLAIN = Output("X", "factor", "nothing much", at_least=None)
LENGTH = Output("L", "length", "how far", us="ft", metric="m", work_us="ft", work_metric="m", at_least=None)


def formula(written: str, kinds: dict[str, str] | None = None, result: Output = PLAIN, constants: tuple[Constant, ...] = ()) -> Formula:
    """A formula of single letters, factors where nothing else is said; a letter's meaning is ``the`` and its name."""
    names = sorted(set(re.findall(r"\b[a-z]\b", written))) if kinds is None else list(kinds)
    kinds = kinds or dict.fromkeys(names, "factor")
    units = {"factor": "", "length": " ft", "grade": "%", "time": " min", "speed": " ft/min", "angle": " deg", "mass": " lb", "ratio": ":1"}
    inputs = tuple(Input(n, n, kinds[n], f"the {n}", f"-1e12{units[kinds[n]]}" if kinds[n] in {"factor", "length"} else f"0{units[kinds[n]]}",
                         f"1e12{units[kinds[n]]}") for n in names)  # fmt: skip
    return Formula("test.it", "It", written, result, inputs, COMMON_PRACTICE, "none", constants)


def work(f: Formula, system: System = "us", unit: str | None = None, as_typed: bool = False, **texts: str) -> Working:
    return worked(f, {n: Quantity.read(t, f.input_by_name[n].kind) for n, t in texts.items()}, system, unit, as_typed=as_typed)


def lines(f: Formula, system: System = "us", unit: str | None = None, as_typed: bool = False, **texts: str) -> list[str]:
    found = work(f, system, unit, as_typed, **texts).lines
    for line in found:  # a sum can be redone; symbols, a figure alone and what only rounds cannot
        assert line.redo is (bool(line.figures) and len(line.sides) == 2 and not line.rounds)
    return [line_text(x, f) for x in found]


# --- what is worked out first ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "figures", "wanted"),
    [
        ("a * b", "3 4", ["X = a × b", "X = 3 × 4 = 12"]),
        ("a + b", "3 4", ["X = a + b", "X = 3 + 4 = 7"]),
        # a sum within a product goes first, a product within the last sum too; brackets of figures alone stay
        ("(a + b) * c", "3 4 2", ["X = (a + b) × c", "3 + 4 = 7", "X = 7 × 2 = 14"]),
        ("a * b + c", "3 4 2", ["X = a × b + c", "3 × 4 = 12", "X = 12 + 2 = 14"]),
        ("a + b - c", "3 4 2", ["X = a + b − c", "X = 3 + 4 − 2 = 5"]),
        ("a - (b - c)", "9 4 1", ["X = a − (b − c)", "4 − 1 = 3", "X = 9 − 3 = 6"]),
        ("a * b**2", "3 4", ["X = a × b²", "X = 3 × 4² = 48"]),
        ("(a + b)**2", "1 2", ["X = (a + b)²", "1 + 2 = 3", "X = 3² = 9"]),
        ("(a * b)**2", "1 2", ["X = (a × b)²", "X = (1 × 2)² = 4"]),
        ("sqrt(a * b)", "2 8", ["X = √(a × b)", "2 × 8 = 16", "X = √(16) = 4"]),
        ("sqrt(a) * b", "9 2", ["X = √(a) × b", "√(9) = 3", "X = 3 × 2 = 6"]),
        ("sqrt(a + b)", "9 7", ["X = √(a + b)", "9 + 7 = 16", "X = √(16) = 4"]),
        ("least(a, b) * c", "9 7 2", ["X = smaller of(a; b) × c", "smaller of(9; 7) = 7", "X = 7 × 2 = 14"]),
        ("greatest(a, b * c)", "9 7 2", ["X = larger of(a; b × c)", "7 × 2 = 14", "X = larger of(9; 14) = 14"]),
        ("round_up(a / b) - c", "9 4 1", ["X = round up(a ÷ b) − c", "9 ÷ 4 = 2.25", "round up(2.25) = 3", "X = 3 − 1 = 2"]),
        ("round_down(a / b) - c", "9 4 1", ["X = round down(a ÷ b) − c", "9 ÷ 4 = 2.25", "round down(2.25) = 2", "X = 2 − 1 = 1"]),
        ("a * b**(1 / 2)", "3 4", ["X = a × b^(1 ÷ 2)", "X = 3 × 4^(1 ÷ 2) = 6"]),
        ("c * (a * b)**(1 / 2)", "2 8 3", ["X = c × (a × b)^(1 ÷ 2)", "(2 × 8)^(1 ÷ 2) = 4", "X = 3 × 4 = 12"]),
        ("(a * b)**(1 / 2)", "2 8", ["X = (a × b)^(1 ÷ 2)", "X = (2 × 8)^(1 ÷ 2) = 4"]),
        # the same sum twice is said once
        ("(a + b) / c + (a + b) * c", "3 1 2", ["X = (a + b) ÷ c + (a + b) × c", "3 + 1 = 4", "4 ÷ 2 = 2", "4 × 2 = 8", "X = 2 + 8 = 10"]),
        # and sums alike with other figures are two
        ("(a + b) * (c + d)", "3 1 2 4", ["X = (a + b) × (c + d)", "3 + 1 = 4", "2 + 4 = 6", "X = 4 × 6 = 24"]),
        ("a", "7", ["X = a", "X = 7"]),
    ],
)  # fmt: skip
def test_what_one_does_first_by_hand_has_a_line_of_its_own(written: str, figures: str, wanted: list[str]) -> None:
    f = formula(written)
    typed: dict[str, Any] = dict(zip((i.name for i in f.inputs), figures.split(), strict=True))
    assert lines(f, **typed) == wanted


# --- how many digits ------------------------------------------------------------------------


def test_between_four_digits_are_carried_and_whole_figures_never_cut() -> None:
    assert lines(formula("(a / b + c) / d"), a="1", b="3", c="2", d="2") == [
        "X = (a ÷ b + c) ÷ d", "1 ÷ 3 = 0.3333", "0.3333 + 2 = 2.333", "X = 2.333 ÷ 2 = 1.17",
    ]  # fmt: skip
    # 3 × 12,345.6 is 37,036.8: the whole of it, though only four digits count
    assert lines(formula("(a * b + c) / d"), a="3", b="12345.6", c="1", d="3") == [
        "X = (a × b + c) ÷ d", "3 × 12,345.6 = 37,037", "37,037 + 1 = 37,038", "X = 37,038 ÷ 3 = 12,346", "Rounded: X = 12,346, about 12,300",
    ]  # fmt: skip


def test_digits_are_added_until_the_last_figure_is_the_unrounded_one() -> None:
    """1 ÷ 3 less 0.33 is 0.003333…; of 0.3333 only 0.0033 is left, and of 0.33333 it is 0.00333."""
    assert lines(formula("a / b - c"), a="1", b="3", c="0.33") == ["X = a ÷ b − c", "1 ÷ 3 = 0.33333", "X = 0.33333 − 0.33 = 0.00333"]
    # eight digits more are tried: twelve figures of 1.00000000001
    found = lines(formula("(a * b - c) * d"), a="1.00000000001", b="1", c="1", d="100000000000")
    assert found[1] == "1.00000000001 × 1 = 1.00000000001" and found[-1].endswith(" × 100,000,000,000 = 1")


def test_digits_are_added_until_the_whole_figure_is_right_but_of_a_limit_the_printed_one_counts() -> None:
    """Four thirds of 60,001.5 are 80,002, and 1.333 of it 79,982; of 2.5 they are 3.3333, told as 3.34 at least, and so are 3.3325."""
    thirds = "(a / b + c) * d"
    assert lines(formula(thirds), a="1", b="3", c="1", d="60001.5")[1:] == [
        "1 ÷ 3 = 0.333333", "0.333333 + 1 = 1.33333", "X = 1.33333 × 60,001.5 = 80,002", "Rounded: X = 80,002, about 80,000",
    ]  # fmt: skip
    assert lines(formula(thirds, result=Output("X", "factor", "it", limit="least")), a="1", b="3", c="1", d="2.5")[1:] == [
        "1 ÷ 3 = 0.3333", "0.3333 + 1 = 1.333", "X = 1.333 × 2.5 = 3.3325", "Rounded up: X = 3.3325, about 3.34",
    ]  # fmt: skip


def test_a_result_right_between_two_figures_is_told_to_one_digit_more() -> None:
    """50 ÷ 1.6 is 31.25."""
    rip = find("dozing.rip_passes")
    assert isinstance(rip, Formula)
    assert lines(rip, pass_time="1.6 min", efficiency="50 min/h")[-1].endswith(" = 31.25 per hour")
    assert lines(rip, pass_time="1.5 min", efficiency="50 min/h")[-1].endswith(" = 33.3 per hour")


def test_a_limit_is_worked_to_two_decimals_more_and_then_rounded_to_the_safe_side() -> None:
    """1.111 × 7.4771 is 8.30705…: 8.3071 and so 8.31 at least, 8.3 at most."""
    wanted: dict[Limit, str] = {"least": "Rounded up: L = 8.3071, about 8.31", "most": "Rounded down: L = 8.3071, about 8.3"}
    for limit, last in wanted.items():
        f = formula("a * b", result=Output("L", "factor", "it", limit=limit))
        assert lines(f, a="1.111", b="7.4771") == ["L = a × b", "L = 1.111 × 7.4771 = 8.3071", last]
    f = formula("a * b", result=Output("L", "factor", "it", limit="least", places=1))
    assert lines(f, a="1.111", b="7.4771")[1:] == ["L = 1.111 × 7.4771 = 8.307", "Rounded up: L = 8.307, about 8.4"]
    assert lines(formula("a * b"), a="1.111", b="7.4771") == ["X = a × b", "X = 1.111 × 7.4771 = 8.31"]


@pytest.mark.parametrize(
    ("figure", "significant", "places", "limit", "more", "printed"),
    [
        ("20548", 3, None, "", 0, "20500"), ("9548", 3, None, "", 0, "9548"), ("954.8", 3, None, "", 0, "955"), ("9548.7", 3, None, "", 0, "9549"),
        ("99999", 3, None, "", 0, "100000"), ("20548", 2, None, "", 0, "21000"), ("20548", 4, None, "", 0, "20550"), ("3.3528", 3, None, "", 0, "3.35"),
        ("3.3528", 3, None, "least", 0, "3.36"), ("3.3528", 3, None, "", 1, "3.353"), ("20548", 3, None, "", 1, "20550"), ("3.3528", 3, 1, "", 0, "3.4"),
        ("3.3528", 3, 1, "", 1, "3.35"), ("20548", 3, 0, "", 0, "20548"), ("20548", 3, None, "most", 0, "20500"), ("20501", 3, None, "least", 0, "20600"),
        ("9548", 2, None, "", 0, "9548"), ("954", 2, None, "", 0, "954"), ("9548", 1, None, "", 0, "9548"), ("20548", 5, None, "", 0, "20548"),
    ],
)  # fmt: skip
def test_no_figure_is_finer_than_its_use(figure: str, significant: int, places: int | None, limit: Limit, more: int, printed: str) -> None:
    assert usable(Decimal(figure), significant, places, limit, more) == Decimal(printed)
    if (significant, places, limit, more) == (3, None, "", 0):
        assert usable(Decimal(figure)) == Decimal(printed)


@pytest.mark.parametrize(
    ("number", "significant", "places"),
    [
        (20548.3, 3, 0),
        (205.48, 3, 0),
        (20.548, 3, 1),
        (0.020548, 3, 4),
        (1.26e-7, 3, 9),
        (1.26e-8, 3, 9),
        (1e-15, 3, 9),
        (0, 3, 0),
        (2.5, 1, 0),
    ],
)
def test_decimals_of_a_figure_worked_out(number: float, significant: int, places: int) -> None:
    assert result_places(number, significant) == places


@pytest.mark.parametrize(
    ("result", "si", "printed"),
    [
        (Output("X", "factor", "it"), 20548.4, "20500"), (Output("X", "factor", "it"), 9548.4, "9548"), (Output("X", "factor", "it", places=1), 3.3528, "3.4"),
        (Output("X", "factor", "it", places=0), 20548.4, "20548"), (Output("X", "factor", "it", significant=2), 3.3528, "3.4"),
        (Output("X", "factor", "it", limit="least"), 3.3501, "3.36"), (Output("X", "factor", "it", limit="most"), 3.3599, "3.35"),
        (Output("X", "factor", "it", limit="least"), 3.350001, "3.35"), (Output("X", "count", "it"), 20548.0, "20548"), (Output("X", "count", "it"), 7.0, "7"),
        (Output("X", "count", "it", places=1), 7.26, "7.3"), (Output("X", "count", "it", significant=1), 7.4, "7"),
    ],
)  # fmt: skip
def test_the_printed_figure_of_a_result(result: Output, si: float, printed: str) -> None:
    f = formula("a * b", result=result)
    assert result_figure(f, si, "1") == Decimal(printed)
    assert work(f, a=format(Decimal(repr(si)), "f"), b="1").result.figure == Decimal(printed)


def test_a_count_is_whole_and_the_sum_before_it_is_not() -> None:
    f = formula("round_up(a / b)", result=Output("n", "count", "how many"))
    assert lines(f, a="25", b="6") == ["n = round up(a ÷ b)", "25 ÷ 6 = 4.167", "n = round up(4.167) = 5"]
    assert lines(f, a="123456", b="1")[-1] == "n = round up(123,456) = 123,456"


def test_a_line_that_rounds_says_which_way() -> None:
    f, wanted = formula("a"), {"": ("Rounded", "near"), "most": ("Rounded down", "most"), "least": ("Rounded up", "least")}
    ways: tuple[Limit, ...] = ("", "most", "least")
    for limit in ways:
        line = rounding_line(Decimal("8.246"), Decimal("8.25"), "ft", limit)
        words, rounds = wanted[limit]
        assert line_text(line, f) == f"{words}: X = 8.246 ft, about 8.25 ft" and line.rounds == rounds and not line.redo
    assert rounding_line(Decimal("8.246"), Decimal("8.25"), "ft").rounds == "near"


# --- units ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        # as it comes where that is five digits or fewer, else four of them, and never less than the whole figure
        ("12.5 ft", "the a: 12.5 ft × 0.3048 = 3.81 m"), ("7.25 ft", "the a: 7.25 ft × 0.3048 = 2.2098 m"), ("7.35 ft", "the a: 7.35 ft × 0.3048 = 2.24 m"),
        ("7.255 ft", "the a: 7.255 ft × 0.3048 = 2.211 m"), ("123457 ft", "the a: 123,457 ft × 0.3048 = 37\u202f630 m"),
        ("250 cm", "the a: 250 cm ÷ 100 = 2.5 m"), ("4 yd", "the a: 4 yd × 0.9144 = 3.6576 m"),
    ],
)  # fmt: skip
def test_a_figure_as_typed_comes_into_the_working_on_a_line_of_its_own(typed: str, wanted: str) -> None:
    f = formula("a * b", {"a": "length", "b": "factor"}, LENGTH)
    assert lines(f, "metric", as_typed=True, a=typed, b="0.001")[0] == wanted
    assert lines(f, "metric", as_typed=True, a=typed, b="0.001")[1] == "L = a × b"
    if "ft" in typed or "yd" in typed:
        assert not any(": " in x and "about" not in x for x in lines(f, "metric", a=typed, b="0.001"))
    assert len(lines(f, "metric", as_typed=True, a="2 m", b="0.001")) == 2
    assert lines(f, "metric", as_typed=True, a="0 ft", b="0.001") == ["L = a × b", "L = 0 m × 0.001 = 0 m"]


@pytest.mark.parametrize(
    ("kind", "typed", "line"),
    [
        # a yard is a yard, loose or not, and needs no sum; a ratio is put in as it stands
        ("loose_volume", "2 yd3", "X = 2 loose yd³ × 1 = 2 loose yd³"), ("bank_volume", "2 yd3", "X = 2 bank yd³ × 1 = 2 bank yd³"),
        ("ratio", "3:1", "X = 3:1 × 1 = 3:1"), ("ratio", "3", "X = 3:1 × 1 = 3:1"),
    ],
)  # fmt: skip
def test_what_is_the_same_unit_by_another_name_needs_no_line(kind: str, typed: str, line: str) -> None:
    f = Formula("test.v", "V", "v * w", Output("X", kind, "it"), (
        Input("v", "v", kind, "the v", "0", "1000") if kind == "ratio" else Input("v", "v", kind, "the v", "0 yd3", "1000 yd3"),
        Input("w", "w", "factor", "the w", "0", "1000")), COMMON_PRACTICE, "none",
    )  # fmt: skip
    for as_typed in (False, True):
        assert lines(f, as_typed=as_typed, v=typed, w="1") == ["X = v × w", line]


def test_digits_are_added_to_what_is_put_in_another_unit_too() -> None:
    """7.35 ft are 2.24028 m: of 2.24 nothing is left beside 2.24 m, so more digits are carried."""
    f = formula("a - b", {"a": "length", "b": "length"}, LENGTH)
    found = lines(f, "metric", as_typed=True, a="7.35 ft", b="2.24 m")
    assert found == ["the a: 7.35 ft × 0.3048 = 2.24028 m", "L = a − b", "L = 2.24028 m − 2.24 m = 0.00028 m"]


def test_a_result_in_another_unit_has_a_line_that_takes_it_there() -> None:
    f = formula("a * b", {"a": "length", "b": "factor"}, LENGTH)
    assert lines(f, unit="in", a="0.42111 ft", b="2") == ["L = a × b", "L = 0.42111 ft × 2 = 0.842 ft", "L = 0.842 ft × 12 = 10.1 in"]
    assert lines(f, unit="yd", a="3 ft", b="2")[-1] == "L = 6 ft ÷ 3 = 2 yd"
    assert lines(f, unit="m", a="3 ft", b="2")[-1] == "L = 6 ft × 0.3048 = 1.83 m"
    assert lines(f, unit="ft", a="3 ft", b="2") == ["L = a × b", "L = 3 ft × 2 = 6 ft"]
    # a length that is only handed on has one side in its own unit
    alone = formula("a", {"a": "length"}, LENGTH)
    assert lines(alone, a="10 ft") == ["L = a", "L = 10 ft"]
    assert lines(alone, unit="in", a="10 ft") == ["L = a", "L = 10 ft", "L = 10 ft × 12 = 120 in"]
    assert lines(alone, a="10.1234 ft") == ["L = a", "L = 10.1234 ft = 10.1 ft"]
    assert not work(alone, a="10 ft").lines[-1].redo and work(alone, a="10.1234 ft").lines[-1].redo


GRADE = Output("G", "grade", "how steep", us="%", metric="%", work_us="1", work_metric="1")


def test_a_grade_is_told_as_percent_angle_or_ratio() -> None:
    """1 in 4 is 25% and 14.0 degrees (a quarter's arc tangent); 1 in 1 is 45 degrees."""
    f = formula("a / b", {"a": "length", "b": "length"}, GRADE)
    assert lines(f, a="1 ft", b="4 ft")[-2:] == ["G = 1 ft ÷ 4 ft = 0.25", "G = 0.25 × 100 = 25%"]
    assert lines(f, unit="deg", a="1 ft", b="1 ft")[-1] == "G = arctan(1) = 45°"
    assert lines(f, unit="deg", a="1 ft", b="4 ft")[-1] == "G = arctan(0.25) = 14°"
    assert lines(f, unit=":1", a="1 ft", b="4 ft")[-1] == "G = 1 ÷ 0.25 = 4:1"


@pytest.mark.parametrize(
    ("typed", "work_us", "first"),
    [
        ("45 deg", "1", "the g: tan(45°) = 1"), ("45 deg", "%", "the g: tan(45°) × 100 = 100%"), ("4:1", "1", "the g: 1 ÷ 4 = 0.25"),
        ("4:1", "%", "the g: 100 ÷ 4 = 25%"), ("25%", "1", "the g: 25% ÷ 100 = 0.25"), ("0.25", "%", "the g: 0.25 × 100 = 25%"),
    ],
)  # fmt: skip
def test_a_grade_comes_in_as_it_was_typed(typed: str, work_us: str, first: str) -> None:
    f = Formula("test.g", "G", "g * h", replace(GRADE, work_us=work_us), (
        Input("g", "g", "grade", "the g", "0%", "500%", work_us=work_us), Input("h", "h", "factor", "the h", "0", "1000")), COMMON_PRACTICE, "none",
    )  # fmt: skip
    found = lines(f, g=typed, h="1")
    share = "100" if typed == "45 deg" else "25"
    assert found[0] == first and found[-1].endswith(f"= {share}%")


def test_a_constant_stands_with_its_own_figure_in_each_system() -> None:
    pull = Constant("k", "k_0", "length", "a step", "2 ft", "0.6096 m", COMMON_PRACTICE)
    half = Constant("m", "m_0", "factor", "a share", "0.5", "0.5", COMMON_PRACTICE)
    f = formula("a * k * m", {"a": "factor"}, LENGTH, (pull, half))
    assert lines(f, a="3") == ["L = a × k_0 × m_0", "L = 3 × 2 ft × 0.5 = 3 ft"]
    assert lines(f, "metric", a="3")[-1] == "L = 3 × 0.6096 m × 0.5 = 0.914 m"


def test_units_of_what_stands_between_are_told() -> None:
    """A foot over a foot is a plain number; an angle between comes in degrees."""
    f = formula("(a * b + c * c) / d", {"a": "length", "b": "length", "c": "length", "d": "length"}, LENGTH)
    assert lines(f, a="2 ft", b="3 ft", c="1 ft", d="7 ft") == [
        "L = (a × b + c × c) ÷ d", "2 ft × 3 ft = 6 ft²", "1 ft × 1 ft = 1 ft²", "6 ft² + 1 ft² = 7 ft²", "L = 7 ft² ÷ 7 ft = 1 ft",
    ]  # fmt: skip
    f = formula("sin(atan(a / b))", {"a": "length", "b": "length"})
    assert lines(f, a="3 ft", b="4 ft") == [
        "X = sin(arctan(a ÷ b))",
        "3 ft ÷ 4 ft = 0.75",
        "arctan(0.75) = 36.87°",
        "X = sin(36.87°) = 0.6",
    ]


# --- conversions one knows ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("a", "b", "kind", "times", "over"),
    [
        ("ft", "m", "length", "0.3048", "1"), ("m", "ft", "length", "3.28083989501", "1"), ("lb", "kg", "mass", "0.45359237", "1"),
        ("mi", "ft", "length", "5280", "1"), ("ft", "in", "length", "12", "1"), ("ton", "lb", "mass", "2000", "1"), ("t", "kg", "mass", "1000", "1"),
        ("m/min", "km/h", "speed", "0.06", "1"), ("ft", "ft", "length", "1", "1"), ("min", "h", "time", "1", "60"), ("1", "%", "fraction", "100", "1"),
        ("ft/min", "mph", "speed", "1", "88"), ("ft", "mi", "length", "1", "5280"), ("m", "cm", "length", "100", "1"), ("mm", "m", "length", "1", "1000"),
        ("mph", "ft/s", "speed", "5280", "3600"), ("ft/s", "mph", "speed", "3600", "5280"), ("ft/min", "ft/s", "speed", "1", "60"),
        ("m/s", "km/h", "speed", "3.6", "1"), ("ton/yd3", "lb/ft3", "density", "2000", "27"), ("t", "lb", "mass", "2204.62262185", "1"),
    ],
)  # fmt: skip
def test_a_conversion_is_the_one_people_know(a: str, b: str, kind: str, times: str, over: str) -> None:
    """Foot and pound by definition (1959); 3.28083989501 is 1 over 0.3048 to twelve digits."""
    assert conversion(a, b, kind) == (Decimal(times), Decimal(over))


# --- chains ---------------------------------------------------------------------------------


def test_a_chain_rounds_only_its_last_result_and_carries_the_figure_worked_out() -> None:
    first = formula("a * b", {"a": "length", "b": "factor"}, LENGTH)
    second = formula("a / b", {"a": "length", "b": "factor"}, LENGTH)
    third = formula("a + b", {"a": "length", "b": "length"}, LENGTH)
    two = Quantity.read("2", "factor")
    chain = worked_chain([
        Applied("x", first, {"a": Quantity.read("10274 ft", "length"), "b": two}), Applied("y", second, {"a": From("x"), "b": two}),
        Applied("z", third, {"a": From("x"), "b": From("y")}),
    ], "us")  # fmt: skip
    assert [[line_text(x, w.formula) for x in w.lines[1:]] for w in chain] == [
        ["L = 10,274 ft × 2 = 20,548 ft"], ["L = 20,548 ft ÷ 2 = 10,274 ft"],
        ["L = 20,548 ft + 10,274 ft = 30,822 ft", "Rounded: L = 30,822 ft, about 30,800 ft"],
    ]  # fmt: skip
    assert [w.carried for w in chain] == [frozenset(), {"a"}, {"a", "b"}]
    assert [str(w.result) for w in chain] == ["20,548 ft", "10,274 ft", "30,800 ft"] and chain[2].worked_out == 30822


def test_figures_are_made_round_first_where_nothing_else_is_asked_for() -> None:
    """2 m are 6.56168 ft, told as 6.56."""
    f = formula("a * b", {"a": "length", "b": "factor"}, LENGTH)
    given = {"a": Quantity.read("2 m", "length"), "b": Quantity.read("1", "factor")}
    assert [str(w.inputs["a"]) for w in (worked(f, given, "us"), *worked_chain([Applied("", f, given)], "us"))] == ["6.56 ft"] * 2


def test_bad_figures_in_a_working_are_the_calculations_own_error() -> None:
    f = formula("a / b")
    with pytest.raises(CalculationError, match="no sensible nothing much"):
        work(f, a="1", b="0")
    # what is left of 1.0000000000001 less 1 has no digit that is printed: nothing is there to divide by
    with pytest.raises(DishonestWorking, match="cannot be worked by hand"):
        work(formula("1 / (a * b - c)"), a="1.0000000000001", b="1", c="1")
    with pytest.raises(CalculationError, match="out of range"):
        work(f, a="1", b="2000000000000")


def test_defaults_stand_in_the_units_of_the_working_and_give_way() -> None:
    toe = find("trench.spoil_far_toe")
    assert isinstance(toe, Formula)
    given: dict[str, Any] = {"pile_height": "3 ft", "repose": "45 deg"}
    assert lines(toe, **given)[-1].endswith("= 8 ft") and lines(toe, set_back="4 ft", **given)[-1].endswith("= 10 ft")
    assert str(work(toe, "metric", **given).inputs["set_back"]) == "0.61 m"
