"""Expressions keep the order they were written in, and mean what Python would make of them."""

from __future__ import annotations

import math
import subprocess
import sys
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from generator.calc.expression import (
    FUNCTIONS,
    Add,
    Call,
    Div,
    Figure,
    Mul,
    Node,
    Num,
    Pow,
    Ref,
    children,
    compiled,
    evaluate,
    names_in,
    rebuilt,
    replaced,
    round_down,
    round_up,
    tree_in,
    tree_of,
    written_expression,
)
from tests.every_formula import formulas


def tree(text: str) -> Node:
    return tree_of(written_expression(text))


def num(text: str) -> Num:
    return Num(Decimal(text))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("0.8 * w * h**2", Mul((num("0.8"), Ref("w"), Pow(Ref("h"), num("2"))))),
        ("h**2 * w * 0.8", Mul((Pow(Ref("h"), num("2")), Ref("w"), num("0.8")))),
        ("a - b + c", Add((Ref("a"), Ref("b"), Ref("c")), (1, -1, 1))),
        ("c + a - b", Add((Ref("c"), Ref("a"), Ref("b")), (1, 1, -1))),
        ("a / b", Div(Ref("a"), Ref("b"))),
        ("a / b / c", Div(Ref("a"), Mul((Ref("b"), Ref("c"))))),
        ("m * g * sin(atan(s))", Mul((Ref("m"), Ref("g"), Call("sin", (Call("atan", (Ref("s"),)),))))),
        ("sqrt(a**2 + b**2)", Call("sqrt", (Add((Pow(Ref("a"), num("2")), Pow(Ref("b"), num("2"))), (1, 1)),))),
        ("least(b, a)", Call("least", (Ref("b"), Ref("a")))),
        ("greatest(b, a)", Call("greatest", (Ref("b"), Ref("a")))),
        ("round_up(t / b)", Call("round_up", (Div(Ref("t"), Ref("b")),))),
        ("pi / 3 * r", Div(Mul((Ref("pi"), Ref("r"))), num("3"))),
        ("2 * 3 * x", Mul((num("2"), num("3"), Ref("x")))),
        ("x * x", Mul((Ref("x"), Ref("x")))),
        ("x + x", Add((Ref("x"), Ref("x")), (1, 1))),
        ("1 + s - 1", Add((num("1"), Ref("s"), num("1")), (1, 1, -1))),
        ("tan(atan(x))", Call("tan", (Call("atan", (Ref("x"),)),))),
    ],
)  # fmt: skip
def test_nothing_is_sorted_gathered_or_cancelled(text: str, expected: Node) -> None:
    assert tree(text) == expected


@pytest.mark.parametrize(
    "text",
    ["abs(x)", "x % 2", "x // 2", "x < y", "f(x)", "x[0]", "x.y", "'x'", "True", "lambda: 1", "least(a, b, key=c)", "[x]"],
)
def test_what_is_no_formula_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="cannot read"):
        written_expression(text)


def test_one_over_a_quantity_and_a_power_of_parts_are_read_too() -> None:
    import sympy

    x = sympy.Symbol("x")
    assert tree_of(1 / x) == Div(num("1"), Ref("x"))
    assert tree_of(x ** sympy.Rational(2, 3)) == Pow(Ref("x"), Div(num("2"), num("3")))


def test_an_unknown_node_is_refused_not_guessed() -> None:
    import sympy

    x = sympy.Symbol("x")
    for strange in (sympy.Abs(x), sympy.exp(x), sympy.Mod(x, 2), x**x, sympy.Min(x, 2), sympy.oo):
        with pytest.raises(ValueError, match="no way to print"):
            tree_of(strange)


# --- formulas made up --------------------------------------------------------------------------

_NAMES = ("a", "b", "c")
_atoms = st.sampled_from(("a", "b", "c", "2", "3", "0.8", "1", "12", "pi"))


def _joined(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    def call(function: str, arguments: list[str]) -> str:
        count = 2 if function in {"least", "greatest"} else 1
        return f"{function}({', '.join(arguments[:count])})"

    return st.one_of(
        st.tuples(inner, st.sampled_from("+-*/"), inner).map(lambda t: f"({t[0]}) {t[1]} ({t[2]})"),
        st.lists(_atoms, min_size=2, max_size=4).map(" * ".join),
        st.lists(_atoms, min_size=2, max_size=4).map(" - ".join),
        inner.map(lambda t: f"({t})**2"),
        st.tuples(st.sampled_from(FUNCTIONS), st.lists(inner, min_size=2, max_size=2)).map(lambda t: call(*t)),
    )


_texts = st.recursive(_atoms, _joined, max_leaves=6)
_PYTHON = {
    "sqrt": math.sqrt, "sin": math.sin, "cos": math.cos, "tan": math.tan, "asin": math.asin, "acos": math.acos,
    "atan": math.atan, "least": min, "greatest": max, "round_up": lambda x: float(math.ceil(x - 1e-9)),
    "round_down": lambda x: float(math.floor(x + 1e-9)), "pi": math.pi,
}  # fmt: skip


# --- without sympy, beside what sympy reads --------------------------------------------------


def both_ways(text: str) -> list[str]:
    """What is read of a text, or why not, to the last digit: by tree_in, and by way of sympy."""
    out = []
    for way in (tree_in, tree):
        try:
            out.append(repr(way(text)))
        except Exception as e:  # sympy and Python's parser raise errors of every kind
            out.append(f"{type(e).__name__}: {e}")
    return out


def test_every_formula_is_read_as_sympy_reads_it() -> None:
    texts = [t for f in formulas() for t in (f.written, *(above for above, _ in f.positive))]
    assert len(texts) > 150
    for text in texts:
        ours, theirs = both_ways(text)
        assert ours == theirs, text


@given(_texts)
def test_any_formula_is_read_as_sympy_reads_it(text: str) -> None:
    ours, theirs = both_ways(text)
    assert ours == theirs


@given(st.floats(0, allow_infinity=False, allow_nan=False))
def test_any_figure_is_read_as_sympy_reads_it(figure: float) -> None:
    ours, theirs = both_ways(f"a * {figure!r}")
    assert ours == theirs


@pytest.mark.parametrize(
    "text",
    [
        "-a", "-a + b", "a + -b", "a - -b", "-(a + b) * c", "-a * b - c", "-1 * a", "-a**2", "a - (b - c)", "a + (b + c) * -1", "a / (b / c)",
        "1 / a", "a / -b", "a**0.5", "a**1.5", "a**(1 / 2)", "a**(2 / 3)", "a**-1", "a**b", "2**3**2", "a**1", "a**0", "sqrt(a) / sqrt(b)",
        "a * 1.0", "a * 0.0", "a * 1e22", "a * 1e999", "a * 5.568454893688189e-07", "a * 1j", "1" + "0" * 40 + " * a", "sqrt(a, b)", "sin(a, b)",
        "sin()", "least()", "least(a)", "least(a, a, b)", "least(*a)", "f(a)", "a % b", "a //", "a if b else c", "+a", "~a", "pi**2", "oo", "E * I",
        "", "a = 1", "'a'", "None", "a\0b", "(" * 300 + "a" + ")" * 300,
    ],
)  # fmt: skip
def test_what_is_odd_is_read_or_refused_as_sympy_does_it(text: str) -> None:
    ours, theirs = both_ways(text)
    assert ours == theirs


def test_the_formulas_are_read_without_sympy() -> None:
    code = (
        "import sys\nfrom generator.calc.catalogue import calculations\nfrom generator.calc.formula import Formula\n"
        "read = [(f.tree, f._must_be_positive) for f in calculations().values() if isinstance(f, Formula)]\n"
        "print(len(read) > 100, 'sympy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["True", "False"]


# --- against Python's own arithmetic ---------------------------------------------------------


@given(_texts, st.tuples(*[st.floats(0.1, 9)] * 3))
def test_every_face_has_pythons_value(text: str, values: tuple[float, float, float]) -> None:
    names = dict(zip(_NAMES, values, strict=True))
    try:
        wanted = eval(text, {"__builtins__": {}}, {**_PYTHON, **names})  # the test's own texts
    except (ValueError, ZeroDivisionError, OverflowError):
        assume(False)
    assume(math.isfinite(wanted) and abs(wanted) < 1e12)
    # where rounding jumps, the last bit decides, and every face may have its own
    for nudge in (1 - 1e-11, 1 + 1e-11):
        moved = {n: v * nudge for n, v in names.items()}
        try:
            near = eval(text, {"__builtins__": {}}, {**_PYTHON, **moved})
        except (ValueError, ZeroDivisionError, OverflowError):
            assume(False)
        assume(abs(near - wanted) <= 1e-7 * max(1.0, abs(wanted)))
    assert evaluate(tree(text), names) == pytest.approx(wanted, rel=1e-6, abs=1e-6)
    assert compiled(tree_of(written_expression(text)), _NAMES)(*values) == pytest.approx(wanted, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("formula", formulas(), ids=lambda f: f.id)
def test_formulas_stand_as_they_were_written(formula: object) -> None:
    """Names first stand in the tree in the order they first stand in the text."""
    import re

    from generator.calc.formula import Formula

    assert isinstance(formula, Formula)
    in_text = [w for w in re.findall(r"[a-z_][a-z_0-9]*", formula.written) if w not in FUNCTIONS]
    # a quotient's bottom is gathered below one bar, so only the names above it keep their order
    assert set(names_in(formula.tree)) == set(in_text)
    if "/" not in formula.written:
        assert names_in(formula.tree) == tuple(dict.fromkeys(in_text))
    known = {i.name for i in formula.inputs} | {c.name for c in formula.constants} | {"pi"}
    assert set(in_text) <= known
    assert known - {"pi"} <= set(in_text), "an input that does nothing"


# --- trees ----------------------------------------------------------------------------------


def test_putting_figures_in() -> None:
    formula = tree("0.8 * w * h**2 / (1 + s)")
    put = {"w": Figure(Decimal(10), "ft"), "h": Figure(Decimal(5), "ft"), "s": Figure(Decimal("0.25"))}
    done = replaced(formula, put)
    assert names_in(done) == ()
    assert evaluate(done, {}) == pytest.approx(160)
    assert names_in(formula) == ("w", "h", "s"), "the formula itself is not touched"


@pytest.mark.parametrize("text", ["a + b - c", "a * b * c", "a / b", "a**2", "least(a, b)", "sqrt(a)", "a"])
def test_rebuilding_from_the_same_parts_changes_nothing(text: str) -> None:
    node = tree(text)
    assert rebuilt(node, children(node)) == node


@pytest.mark.parametrize(
    ("value", "up", "down"),
    [(4.2, 5, 4), (4.0, 4, 4), (4 + 1e-10, 4, 4), (4 - 1e-10, 4, 4), (4.001, 5, 4), (0.0, 0, 0), (-1.5, -1, -2)],
)
def test_rounding_whole(value: float, up: float, down: float) -> None:
    """A hair off a whole number is noise of binary fractions, not a part load."""
    assert round_up(value) == up
    assert round_down(value) == down


def test_sympy_gives_the_same_value() -> None:
    """The function compiled from the tree, beside the one sympy makes of the expression itself."""
    import random

    import sympy

    own = {"least": min, "greatest": max, "round_up": round_up, "round_down": round_down}
    rng, count = random.Random(5), 0
    for f in formulas():
        names = [i.name for i in f.inputs] + [c.name for c in f.constants]
        theirs = sympy.lambdify([sympy.Symbol(n) for n in names], f.expression, modules=[own, "math"])
        ours = compiled(f.tree, tuple(names))
        for _ in range(20):
            values = [rng.uniform(*i.bounds) for i in f.inputs] + [c.si for c in f.constants]
            try:
                wanted = theirs(*values)
            except (ValueError, ArithmeticError):
                continue
            if not isinstance(wanted, complex):
                assert ours(*values) == pytest.approx(wanted, rel=1e-12, abs=1e-12), f.id
                count += 1
    assert count > 1500


def test_the_quick_way_gives_the_same_value() -> None:
    import random

    from generator.calc.catalogue import calculations
    from generator.calc.expression import evaluate, quick
    from generator.calc.formula import Formula

    rng, count = random.Random(3), 0
    for f in calculations().values():
        if not isinstance(f, Formula):
            continue
        for _ in range(20):
            names = {i.name: rng.uniform(*i.bounds) for i in f.inputs} | {c.name: c.si for c in f.constants}
            try:
                slow = evaluate(f.tree, names)
            except (ValueError, ArithmeticError):
                continue
            if not isinstance(slow, complex):
                assert abs(quick(f.tree)(names) - slow) <= 1e-12 * abs(slow), f.id
                count += 1
    assert count > 1000
