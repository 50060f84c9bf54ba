"""Hand working is honest: whoever redoes a printed line gets the printed figure.

Every formula, in both systems, for figures all over its ranges; each line is read back from its
plain text by :mod:`tests.working.reading`, which shares no code with the printing.
"""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from generator.calc.catalogue import calculations, find
from generator.calc.expression import Call, Div, Figure, Mul, Node, Num, children
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output
from generator.calc.steps import Applied, From, Rows
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, UNITS, System, from_si
from generator.working.byhand import DishonestWorking, Working, conversion, worked, worked_chain
from generator.working.explain import explain, line_text
from tests.every_formula import cases, drawn, example, formulas, sensible
from tests.outside.collected import Prepared, prepared, tables
from tests.working.reading import disagreement, read, rounding, sides

CASES = list(cases())
NAMES = [f"{f.id}-{s}" for f, s in CASES]


def numbers_of(node: Node) -> set[float]:
    """Numbers that belong to a formula."""
    found = {float(node.value)} if isinstance(node, Num) else set()
    return found.union(*map(numbers_of, children(node)))


def told(working: Working, *, last: bool = True) -> list[str]:
    """What is not honest about a working, in words; ``last`` for the last one of a chain."""
    formula, wrong = working.formula, []
    from_where = numbers_of(formula.tree)
    from_where |= {abs(float(q.figure)) for q in working.inputs.values()}
    from_where |= {abs(float(c.written(working.system)[0])) for c in formula.constants}
    for line in working.lines:
        printed = line_text(line, formula)
        if not line.redo:
            continue
        assert ", about " not in printed
        if problem := disagreement(printed):
            wrong.append(problem)
            continue
        *work, result = sides(printed)
        # a conversion brings its own factor; any other figure is an input or an earlier result
        if not _is_conversion(line.sides):
            for figure in (f for side in work for f in side.figures):
                if float(figure) not in from_where:
                    wrong.append(f"{figure} comes from nowhere: {printed}")
        from_where.add(abs(result.value))
    return wrong + final(working, last)


def _is_conversion(nodes: tuple[Node, ...]) -> bool:
    def plain(n: Node) -> bool:
        match n:
            case Figure(_, _) | Num(_):
                return True
            case Mul(factors):
                return all(map(plain, factors))
            case Div(top, bottom):
                return plain(top) and isinstance(bottom, Num | Figure)
            case Call("tan" | "atan", (inner,)):
                return plain(inner)
            case _:
                return False

    return all(map(plain, nodes))


LARGER = {"kg": "t", "mm": "m", "mL": "L", "N": "kN", "Pa": "kPa"}  # what a thousand of a unit is said in


def _figure_of(result: Quantity) -> Decimal:
    return Decimal(str(result).partition(" ")[0].replace("\u202f", "").replace("−", "-"))


def _in_a_larger_unit(nodes: tuple[Node, ...], unit: str) -> tuple[Decimal, Decimal] | None:
    """The figures of a line that does nothing but tell a result in the unit people say; None for any other line."""
    match nodes:
        case (Div(Figure(start, own), Num(by)), Figure(told_as, its)) if own == unit and LARGER.get(own) == its and by == 1000:
            return start, told_as
        case _:
            return None


# below this a result is nothing in any unit people use, and is printed so
_NOTHING = 1e-6


def final(working: Working, last: bool) -> list[str]:
    """Whether the printed result is the unrounded calculation's, to the digits shown.

    A step on the way carries more digits than it is worth, so that the last one comes out: of its
    digits the first three count.
    """
    formula, result = working.formula, working.result
    # the unrounded one, from the inputs as printed; a chain's own is worked without any rounding
    exact = from_si(working.exact, result.unit, formula.result.kind)
    wrong = []
    lines = working.lines
    if (larger := _in_a_larger_unit(lines[-1].sides, result.unit)) is not None:
        # 25,200 kg ÷ 1,000 = 25.2 t, of the figure that is printed: the line before gives it
        lines = lines[:-1]
        start, told_as = larger
        before = rounding(line_text(lines[-1], formula))
        printed_before = before.printed if before else sides(line_text(lines[-1], formula))[-1]
        if float(start) != printed_before.value or start != told_as * 1000 or (last and _figure_of(result) != told_as):
            wrong.append(f"{formula.id} tells {start} as {told_as}, and prints {result}")
    elif result.unit in LARGER and abs(result.figure) >= 1000 and last:
        wrong.append(f"{formula.id} prints {result}, and no line says so")
    rounds = rounding(line_text(lines[-1], formula))
    if rounds is None:
        printed = worked_out = sides(line_text(lines[-1], formula))[-1]
    else:
        printed, worked_out = rounds.printed, rounds.worked
        if problem := rounds.wrong(formula.result.places, formula.result.significant):
            wrong.append(f"{formula.id}: {problem}")
        before_it = sides(line_text(lines[-2], formula))[-1]
        if before_it.value != worked_out.value:
            wrong.append(f"{formula.id} rounds {worked_out.text} but the line above gives {before_it.text}")
        if rounds.way != WAY[formula.result.limit]:
            wrong.append(f"{formula.id} is rounded {rounds.way}")
    off = abs(exact - worked_out.value)
    # what is worked out is the unrounded one to its last digit; of a limit the digits behind the printed ones may
    # be off by what the steps before were rounded by
    if last and not formula.result.limit and off > 0.5 * worked_out.last_digit + 1e-9 * max(1.0, abs(exact)):
        wrong.append(f"{formula.id} prints {worked_out.text}, unrounded it is {exact!r}")
    # three digits of a result are worth half a percent at most, and twice that where all are rounded one way
    by_digits = formula.result.kind != "count" and formula.result.places is None
    share = 0.01005 if formula.result.limit else 0.00502
    if by_digits and abs(exact - printed.value) > share * abs(exact) + _NOTHING:
        wrong.append(f"{formula.id} prints {result}, too far from {exact!r}")
    if last and formula.result.limit:
        step = (
            10.0**-formula.result.places
            if formula.result.places is not None
            else 10.0 ** (math.floor(math.log10(abs(exact) or 1.0) + 1e-12) - formula.result.significant + 1)
        )
        over = (printed.value - exact) * (1 if formula.result.limit == "least" else -1)
        if not -0.0051 * step - 1e-9 <= over <= 1.0051 * step + 1e-9:
            wrong.append(f"{formula.id} prints {printed.text}, which is not on the safe side of {exact!r}")
    # no figure finer than its use
    if last and by_digits and printed.value >= 10_000 and float(f"{printed.value:.4g}") != printed.value:
        wrong.append(f"{formula.id} prints {printed.text}, which is finer than anybody can use")
    figure = printed if last else worked_out
    if figure.value != float(result.figure):
        wrong.append(f"{formula.id} says {result} but its last line {figure.text}")
    return wrong


WAY = {"": "near", "most": "down", "least": "up"}


@pytest.mark.parametrize(("formula", "system"), CASES, ids=NAMES)
def test_the_example_of_the_reference_chapter(formula: Formula, system: System) -> None:
    given_ = example(formula, system)
    working = worked(formula, given_, system)
    assert not told(working)
    assert working.inputs == given_, "an example is in its own system already"
    assert working.exact == formula.value(given_)


@pytest.mark.parametrize(("formula", "system"), CASES, ids=NAMES)
def test_any_figures(formula: Formula, system: System) -> None:
    @settings(max_examples=10, suppress_health_check=list(HealthCheck))
    @given(drawn(formula, system))
    def holds(figures: dict[str, Quantity]) -> None:
        assume(sensible(formula, figures))
        working = worked(formula, figures, system)
        assert not told(working)
        assert working.exact == formula.value(figures)

    holds()


@pytest.mark.parametrize(("formula", "system"), CASES, ids=NAMES)
def test_figures_of_the_other_system(formula: Formula, system: System) -> None:
    """Round figures are made first, or with as_typed the conversion is a line of its own."""
    other: System = "metric" if system == "us" else "us"
    given_ = example(formula, other)
    moved = worked(formula, given_, system)
    assert not told(moved)
    for name, q in moved.inputs.items():
        assert UNITS[q.unit].system in {None, system}
        assert q.si == pytest.approx(given_[name].si, rel=6e-3)
    kept = worked(formula, given_, system, as_typed=True)
    assert not told(kept)
    assert kept.inputs == given_
    assert kept.exact == formula.value(given_)


GRADED = [(f, s) for f, s in CASES if any(i.kind == "grade" for i in f.inputs)]


@pytest.mark.parametrize("typed", ["14 deg", "4:1", "25%"])
@pytest.mark.parametrize(("formula", "system"), GRADED, ids=[f"{f.id}-{s}" for f, s in GRADED])
def test_a_grade_typed_as_degrees_ratio_or_percent(formula: Formula, system: System, typed: str) -> None:
    figures = example(formula, system)
    for i in formula.inputs:
        if i.kind == "grade" and i.bounds[0] <= Quantity.read(typed, "grade").si <= i.bounds[1]:
            figures[i.name] = Quantity.read(typed, "grade")
    if not sensible(formula, figures):
        pytest.fail(f"{formula.id} takes no {typed} beside its example")
    working = worked(formula, figures, system)
    assert not told(working)
    assert working.exact == formula.value(figures)


# --- chains and procedures ------------------------------------------------------------------

WORKED = [(c, system) for some in prepared().values() for c in some if c.check.standing != "library" for system in SYSTEMS]


@pytest.mark.parametrize(("checked", "system"), WORKED, ids=[f"{c.check.calculation}-{c.check.id}-{s}" for c, s in WORKED])
def test_the_working_of_every_outside_check(checked: Prepared, system: System) -> None:
    """Procedures too: their chain of formulas, each line redone."""
    for as_typed in (False, True):
        explained = explain(checked.calculation, checked.given, system, tables(), as_typed=as_typed)
        workings = [b for b in explained.blocks if isinstance(b, Working)]
        wrong = [w for working in workings for w in told(working, last=working is workings[-1])]
        assert not wrong
        if workings and explained.exact is not None:
            # the first result is that of a line, mostly of the last, or stands in a table that goes on step by step
            figures = [w.exact for w in workings]
            figures += [f for b in explained.blocks if isinstance(b, Rows) for row in b.rows for f in row if isinstance(f, float)]
            assert any(f == pytest.approx(explained.exact, rel=1e-9, abs=1e-12) for f in figures)


def test_every_procedure_is_among_them() -> None:
    inside = {c.check.calculation for c, _ in WORKED}
    missing = [i for i, c in calculations().items() if not isinstance(c, Formula) and i not in inside]
    library = {c.check.calculation for some in prepared().values() for c in some}
    assert set(missing) <= library


@given(st.integers(20, 400), st.integers(4, 18), st.integers(50, 130))
def test_a_chain_carries_what_it_prints(volume: int, swell: int, density: int) -> None:
    by_id = {f.id: f for f in formulas()}
    loose, mass = by_id["soil.loose"], by_id["soil.mass"]
    inputs = {
        "bank_volume": Quantity.read(f"{volume}.3 yd3", "bank_volume"),
        "swell": Quantity.read(f"{swell}.5 %", "fraction"),
    }
    first, last = worked_chain(
        [Applied("loose", loose, inputs),
         Applied("mass", mass, {"volume": From("loose"), "density": Quantity.read(f"{density} lb/ft3", "density")})],
        "us",
    )  # fmt: skip
    assert last.inputs["volume"].figure == first.result.figure
    assert last.carried == {"volume"}
    assert not told(first, last=False)
    assert not told(last)


# --- the test's own reader, and what happens when no working is honest ----------------------


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0.8 × 10 ft × (5 ft)²", 200), ("2 + 3 × 4", 14), ("(2 + 3) × 4", 20), ("12 ÷ (3 × 2)", 2),
        ("12 ÷ 3 × 2", 8), ("−(3 − 5)", 2), ("1,250 lb ÷ 2", 625), ("tan(45°)", 1), ("arctan(1)", 45),
        ("√(9 + 16)", 5), ("round up(4.2)", 5), ("round down(4.8)", 4), ("smaller of(4 ft; 3 ft)", 3),
        ("larger of(4; 3)", 4), ("(−2 in) + 5 in", 3), ("π × 2", 6.283185307), ("25%", 25), ("3:1", 3),
        ("5 loose yd³ × 2", 10), ("30 per hour ÷ 3", 10), ("6 1/min × 2", 12), ("3 lbf·ft + 1 lbf·ft", 4),
        ("8^(1 ÷ 3)", 2), ("10 yd³/h × 2 h", 20), ("36°/s ÷ 2", 18),
    ],
)  # fmt: skip
def test_the_reader_reads_signs_as_printed(text: str, value: float) -> None:
    assert read(text).value == pytest.approx(value)


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("V = 0.8 × 10 ft × (5 ft)² = 200 ft³", True), ("V = 0.8 × 10 ft × (5 ft)² = 201 ft³", False),
        ("half of it: 7 ÷ 2 = 3.5", True), ("7 ÷ 3 = 2.333", True), ("7 ÷ 3 = 2.334", False),
        ("7 ÷ 2 = 4", True), ("n = round up(25 ÷ 6) = 5", True), ("n = round up(25 ÷ 6) = 4", False),
        ("V = 5 ft", False), ("a = tan(14°) = 0.2493", True), ("a = sin(14°) = 0.2493", False),
    ],
)  # fmt: skip
def test_the_reader_tells_right_from_wrong(line: str, right: bool) -> None:
    assert (disagreement(line) is None) is right


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("Rounded: m = 114,080 lb, about 114,000 lb", True), ("Rounded: m = 114,080 lb, about 114,100 lb", True),
        ("Rounded: m = 114,080 lb, about 115,000 lb", False), ("Rounded: m = 114,080 lb, about 114,080 lb", False),
        ("Rounded up: B = 12.354 ft, about 12.4 ft", True), ("Rounded up: B = 12.354 ft, about 12.3 ft", False),
        ("Rounded down: M = 52,480 lb, about 52,400 lb", True), ("Rounded down: M = 52,480 lb, about 52,500 lb", False),
    ],
)  # fmt: skip
def test_the_reader_tells_a_right_rounding_from_a_wrong_one(line: str, right: bool) -> None:
    found = rounding(line)
    assert found is not None
    assert (found.wrong(None, 3) is None) is right


@pytest.mark.parametrize("line", ["m = 114,080 lb, about 114,000 lb", "Rounded: m = 2 × 3 lb, about 6 lb"])
def test_a_line_that_rounds_says_how(line: str) -> None:
    with pytest.raises(ValueError, match="no line that rounds"):
        rounding(line)


def test_a_load_of_tons_is_not_told_to_the_pound() -> None:
    """2,480 lb/yd3 × 46 yd3 is 114,080 lb (plain arithmetic)."""
    formula = find("loading.bucket_load")
    assert isinstance(formula, Formula)
    given_now = {
        "bucket_capacity": Quantity.read("46 yd3", "loose_volume"), "fill": Quantity.read("100%", "fraction"),
        "loose_density": Quantity.read("2480 lb/yd3", "density"),
    }  # fmt: skip
    working = worked(formula, given_now, "us")
    assert str(working.result) == "114,000 lb"
    assert [line_text(x, formula) for x in working.lines[-2:]] == [
        "M_bucket = 46 loose yd³ × 1 × 2,480 lb/yd³ = 114,080 lb", "Rounded: M_bucket = 114,080 lb, about 114,000 lb",
    ]  # fmt: skip


def test_a_least_width_is_rounded_up_and_a_largest_load_down() -> None:
    base, load = find("slopes.berm_base"), find("loading.truck_target")
    assert isinstance(base, Formula) and isinstance(load, Formula)
    # 2 × 1.33 × 3.1 ft is 8.246 ft; 19 yd3 of 2,777 lb/yd3 are 52,763 lb (plain arithmetic)
    wide = worked(base, {"side_ratio": Quantity.read("1.33:1", "ratio"), "berm_height": Quantity.read("3.1 ft", "length")}, "us")
    assert str(wide.result) == "8.25 ft"
    assert line_text(wide.lines[-1], base) == "Rounded up: B = 8.246 ft, about 8.25 ft"
    least = worked(base, {"side_ratio": Quantity.read("1.33:1", "ratio"), "berm_height": Quantity.read("3.2 ft", "length")}, "us")
    assert str(least.result) == "8.52 ft"  # 8.512, which the nearest figure would tell as 8.51
    most = worked(
        load, {"payload": Quantity.read("30 ton", "mass"), "body_volume": Quantity.read("19 yd3", "loose_volume"),
               "loose_density": Quantity.read("2777 lb/yd3", "density")}, "us",
    )  # fmt: skip
    assert str(most.result) == "52,700 lb"
    assert line_text(most.lines[-1], load) == "Rounded down: M_target = 52,763 lb, about 52,700 lb"


@pytest.mark.parametrize("text", ["", "5 +", "x", "(5", "5 5 +", "tan 45", "5 ×× 3"])
def test_the_reader_refuses_what_is_no_arithmetic(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        read(text)


def test_no_honest_working_is_an_error_not_a_guess() -> None:
    """Nearly equal large numbers taken from each other: by hand the digits run out."""
    hopeless = Formula(
        id="test.hopeless", title="Hopeless", written="1 / (tan(atan(a)) - b)",
        result=Output("x", "factor", "nothing much"),
        inputs=(Input("a", "a", "factor", "one", "0", "1e12"), Input("b", "b", "factor", "other", "0", "1e12")),
        source=COMMON_PRACTICE, limits="never",
    )  # fmt: skip
    figures = {
        "a": Quantity(Decimal("123456789.123"), "1", "factor"),
        "b": Quantity(Decimal("123456789"), "1", "factor"),
    }
    with pytest.raises(DishonestWorking, match=r"test\.hopeless cannot be worked by hand"):
        worked(hopeless, figures, "us")


def test_a_result_right_between_two_figures_gets_one_digit_more() -> None:
    """50 min over 1.6 min is 31.25 (plain arithmetic); by hand 0.833 over 0.0267 never reaches 31.3."""
    formula = find("dozing.rip_passes")
    assert isinstance(formula, Formula)
    given_now = {"pass_time": Quantity.read("1.6 min", "time"), "efficiency": Quantity.read("50 min/h", "factor")}
    for system in SYSTEMS:
        working = worked(formula, given_now, system)
        assert str(working.result) == "31.25 per hour"
        for line in working.lines:
            assert not line.redo or disagreement(line_text(line, formula)) is None


def test_a_figure_is_not_right_for_the_round_one_it_ends_in() -> None:
    """39,396 m prints as 39,400 m, which the unrounded 39,400.3 m is to the whole metre."""
    given_ = {"rise": Quantity.read("587 m", "length"), "grade": Quantity.read("1.49%", "grade")}
    formula = find("grade.slope_length")
    assert isinstance(formula, Formula)
    working = worked(formula, given_, "metric")
    assert not told(working) and working.worked_out == Decimal(39400)


def test_digits_are_added_where_few_leave_nothing_to_divide_by() -> None:
    """1 less the cosine of half a degree is nothing to four digits; the face just steeper than the soil's own angle
    is still worked. The figure beside it is a second opinion in tests/outside/library_slopes.py."""
    formula = find("slopes.plane_failure_height")
    assert isinstance(formula, Formula)
    texts = {"cohesion": "10 kPa", "unit_weight": "19 kN/m3", "friction_angle": "44.6deg", "slope_angle": "45.1deg"}
    working = worked(formula, formula.read(texts), "metric")
    assert working.result.si > 1000
    for line in working.lines:
        assert not line.redo or disagreement(line_text(line, formula)) is None


@pytest.mark.parametrize(
    ("a", "b", "kind", "pair"),
    [
        ("mph", "ft/min", "speed", (88, 1)), ("in", "ft", "length", (1, 12)), ("yd", "ft", "length", (3, 1)),
        ("ft3", "yd3", "volume", (1, 27)), ("km/h", "m/min", "speed", (1000, 60)), ("lb", "ton", "mass", (1, 2000)),
        ("kg", "t", "mass", (1, 1000)), ("s", "min", "time", (1, 60)), ("rpm", "deg/s", "turning", (6, 1)),
        ("%", "1", "fraction", (1, 100)), ("acre", "ft2", "area", (43560, 1)), ("cm", "m", "length", (1, 100)),
    ],
)  # fmt: skip
def test_conversions_are_those_one_does_by_hand(a: str, b: str, kind: str, pair: tuple[int, int]) -> None:
    assert conversion(a, b, kind) == tuple(map(Decimal, pair))


@pytest.mark.parametrize(("formula", "system"), CASES, ids=NAMES)
def test_lines_are_few(formula: Formula, system: System) -> None:
    """A foreman's working: the formula, the figures, and no more than a handful between."""
    assert len(worked(formula, example(formula, system), system).lines) <= 12
