"""Printing: well-formed MathML, the order a person wrote, and brackets that say what is meant.

Random expressions are printed and read back by two readers that share no code with the printing,
one of plain text and one of MathML.
"""

from __future__ import annotations

import ast
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.calc.expression import (
    DEGREES,
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
    evaluate,
    tree_of,
    written_expression,
)
from generator.calc.formula import Formula
from generator.units.table import UNITS, System
from generator.working.browser import javascript
from generator.working.byhand import worked
from generator.working.explain import formula_html, legend_html, line_html
from generator.working.line import Line
from generator.working.printing import figure_mathml, mathml, symbol_mathml, text
from tests.every_formula import cases, example, formulas
from tests.pages import redo
from tests.working import reading

ELEMENTS = {"mrow", "mi", "mn", "mo", "mtext", "mfrac", "msup", "msub", "msqrt", "math"}
CHILDREN = {"mfrac": 2, "msup": 2, "msub": 2, "mi": 0, "mn": 0, "mo": 0, "mtext": 0}


def well_formed(source: str) -> ET.Element:
    """Parsed MathML, with what each element needs."""
    root = ET.fromstring(f"<math>{source}</math>")
    for e in root.iter():
        assert e.tag in ELEMENTS, e.tag
        assert len(e) == CHILDREN.get(e.tag, len(e)), f"<{e.tag}> with {len(e)} parts"
        if e.tag in {"mi", "mn", "mo", "mtext"}:
            assert (e.text or "").strip(), f"an empty <{e.tag}>"
    return root


def name_itself(name: str) -> str:
    return f"<mi>{name}</mi>"


def printed(written: str) -> str:
    """A formula text, printed as one line."""
    return text(tree_of(written_expression(written)), str)


# --- every formula --------------------------------------------------------------------------


def _written_order(node: ast.AST) -> Iterator[str]:
    """Names as a person wrote them; of a quotient first what is above the bar, then what is below."""
    match node:
        case ast.BinOp(op=ast.Mult() | ast.Div()):
            above: list[ast.AST] = []
            below: list[ast.AST] = []
            chain: ast.AST = node
            while isinstance(chain, ast.BinOp) and isinstance(chain.op, ast.Mult | ast.Div):
                (above if isinstance(chain.op, ast.Mult) else below).insert(0, chain.right)
                chain = chain.left
            for part in (chain, *above, *below):
                yield from _written_order(part)
        case ast.Name(id=name):
            yield name
        case ast.Call(args=args):
            for a in args:
                yield from _written_order(a)
        case _:
            for child in ast.iter_child_nodes(node):
                yield from _written_order(child)


@pytest.mark.parametrize("formula", formulas(), ids=lambda f: f.id)
def test_a_formula_keeps_the_order_it_was_written_in(formula: Formula) -> None:
    wanted = [n for n in _written_order(ast.parse(formula.written, mode="eval").body) if n != "pi"]
    root = well_formed(mathml(formula.tree, name_itself))
    words = {*FUNCTIONS, "round up", "round down", "smaller of", "larger of", "arcsin", "arccos", "arctan", "π"}
    assert [e.text for e in root.iter("mi") if e.text not in words] == wanted
    line = text(formula.tree, lambda n: f"«{n}»")
    assert re.findall("«(.*?)»", line) == wanted


@pytest.mark.parametrize("formula", formulas(), ids=lambda f: f.id)
def test_a_formula_is_well_formed_with_its_symbols(formula: Formula) -> None:
    ET.fromstring(formula_html(formula))
    ET.fromstring(legend_html(formula))


@pytest.mark.parametrize(("formula", "system"), list(cases()), ids=lambda v: v if isinstance(v, str) else v.id)
def test_every_line_of_working_is_well_formed_and_can_be_redone(formula: Formula, system: System) -> None:
    for line in worked(formula, example(formula, system), system).lines:
        html = line_html(line, formula)
        math_ = ET.fromstring(html).find("math")
        assert math_ is not None
        well_formed("".join(ET.tostring(e, encoding="unicode") for e in math_))
        assert ('data-redo=""' in html) is line.redo
        if line.redo:
            assert redo.disagreement(re.sub(r"^.*?(<math.*</math>).*$", r"\1", html)) is None


# --- brackets -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "line"),
    [
        ("a * (b + c)", "a × (b + c)"), ("a * b + c", "a × b + c"), ("a - (b - c)", "a − (b − c)"),
        ("a - b - c", "a − b − c"), ("(a - b) - c", "a − b − c"), ("a / (b * c)", "a ÷ (b × c)"),
        ("a / b * c", "a × c ÷ b"), ("a / b / c", "a ÷ (b × c)"), ("a / (b / c)", "a ÷ (b ÷ c)"),
        ("a * (b / c)", "a × (b ÷ c)"), ("(a + b) / (c + 1)", "(a + b) ÷ (c + 1)"), ("(a * b)**2", "(a × b)²"),
        ("a * b**2", "a × b²"), ("(a / b)**3", "(a ÷ b)³"), ("-a + b", "−a + b"),
        ("1 / a", "1 ÷ a"), ("1 / a - 1", "1 ÷ a − 1"), ("sqrt(a**2 + b**2)", "√(a² + b²)"), ("a**1.5", "a^(1.5)"),
        ("round_up(a / b)", "round up(a ÷ b)"), ("least(a, b + c)", "smaller of(a; b + c)"),
        ("tan(a)**2", "tan(a)²"), ("sin(atan(a))", "sin(arctan(a))"), ("pi / 3 * a", "π × a ÷ 3"),
        ("0.8 * a * b**2", "0.8 × a × b²"), ("c * b * a", "c × b × a"), ("b + a", "b + a"),
        ("a * (1 + b)", "a × (1 + b)"), ("a + b * 2", "a + b × 2"), ("a - b * (c - d)", "a − b × (c − d)"),
    ],
)  # fmt: skip
def test_brackets_stand_where_they_are_needed(written: str, line: str) -> None:
    assert printed(written) == line


@pytest.mark.parametrize(
    ("written", "source"),
    [
        ("a / b", "<mfrac><mi>a</mi><mi>b</mi></mfrac>"),
        ("a**2", "<msup><mi>a</mi><mn>2</mn></msup>"),
        ("sqrt(a)", "<msqrt><mi>a</mi></msqrt>"),
        ("a - b", "<mrow><mi>a</mi><mo>−</mo><mi>b</mi></mrow>"),
        ("1250 * a", "<mrow><mn>1,250</mn><mo>×</mo><mi>a</mi></mrow>"),
        # the bar brackets what is above and below it
        ("(a + b) / c", "<mfrac><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow><mi>c</mi></mfrac>"),
        ("(a + b)**2", "<msup><mrow><mo>(</mo><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow><mo>)</mo></mrow><mn>2</mn></msup>"),
        ("round_up(a)", "<mrow><mi>round up</mi><mrow><mo>(</mo><mi>a</mi><mo>)</mo></mrow></mrow>"),
    ],
)  # fmt: skip
def test_mathml_is_what_is_meant(written: str, source: str) -> None:
    assert mathml(tree_of(written_expression(written)), name_itself) == source


# reckoning to the end is not the point: figures stay small, so that powers do too
figures = st.builds(
    Figure, st.decimals(min_value=-20, max_value=60, places=2, allow_nan=False),
    st.sampled_from(["1", "ft", "yd3", "%", "deg", "lb/yd3", "kN", "1/h", "yd³/min", "loose yd³", "lbf·ft", ":1"]),
)  # fmt: skip
numbers = st.builds(Num, st.integers(0, 40).map(Decimal))
exponents = st.sampled_from([Num(Decimal(2)), Num(Decimal(3)), Div(Num(Decimal(1)), Num(Decimal(3)))])


def _larger(inner: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    some = st.lists(inner, min_size=2, max_size=3).map(tuple)
    sums = st.tuples(some, st.lists(st.sampled_from([1, -1]), min_size=3, max_size=3)).map(lambda p: Add(p[0], tuple(p[1][: len(p[0])])))
    calls = st.one_of(
        st.builds(Call, st.sampled_from(["sqrt", "sin", "cos", "tan", "atan", "round_up", "round_down"]), inner.map(lambda n: (n,))),
        st.builds(Call, st.sampled_from(["least", "greatest"]), st.tuples(inner, inner)),
    )
    return st.one_of(sums, some.map(Mul), st.builds(Div, inner, inner), st.builds(Pow, inner, exponents), calls)


trees = st.recursive(st.one_of(figures, numbers), _larger, max_leaves=9)


def value_or_none(tree: Node) -> float | None:
    """The value, where there is a steady one (no root of a negative, no step right at a whole)."""
    try:
        value: Any = evaluate(tree, {}, DEGREES)
    except (ValueError, ArithmeticError, TypeError):
        return None  # a TypeError is a complex number put into a function of plain ones
    if isinstance(value, complex) or not abs(value) < 1e9:
        return None
    return float(value)


@settings(max_examples=150)
@given(trees)
def test_plain_text_reads_back_as_meant(tree: Node) -> None:
    value = value_or_none(tree)
    assume(value is not None and _steady(tree))
    assert reading.read(text(tree, str)).value == pytest.approx(value, rel=1e-6, abs=1e-6)


@settings(max_examples=150)
@given(trees)
def test_mathml_reads_back_as_meant(tree: Node) -> None:
    value = value_or_none(tree)
    assume(value is not None and _steady(tree))
    root = well_formed(mathml(tree, name_itself))
    assert redo._value(list(root)) == pytest.approx(value, rel=1e-6, abs=1e-6)


def _steady(tree: Node) -> bool:
    """Whether a hair more or less in what is rounded, rooted or divided by makes no difference."""
    match tree:
        case Add(parts, _) | Mul(parts):
            return all(map(_steady, parts))
        case Div(top, bottom):
            under = value_or_none(bottom)
            return under is not None and abs(under) > 1e-3 and _steady(top) and _steady(bottom)
        case Pow(base, exponent):
            under = value_or_none(base)
            fine = isinstance(exponent, Num) or (under is not None and under > 1e-3)
            return fine and _steady(base)
        case Call("round_up" | "round_down", (inner,)):
            under = value_or_none(inner)
            return under is not None and abs(under - round(under)) > 1e-5 and _steady(inner)
        case Call("sqrt", (inner,)):
            under = value_or_none(inner)
            return under is not None and under > 1e-3 and _steady(inner)
        case Call("tan", (inner,)):
            under = value_or_none(inner)
            return under is not None and abs(math.cos(math.radians(under))) > 1e-2 and _steady(inner)
        case Call(_, args):
            return all(map(_steady, args))
        case _:
            return True


# --- figures and symbols --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "unit", "line"),
    [
        ("1250", "lb", "1,250 lb"), ("25", "%", "25%"), ("14", "deg", "14°"), ("3", ":1", "3:1"), ("6", "1", "6"),
        ("-2.5", "ft", "−2.5 ft"), ("5", "lcy", "5 loose yd³"), ("0.5", "yd³/min", "0.5 yd³/min"),
    ],
)  # fmt: skip
def test_a_figure_with_its_unit(value: str, unit: str, line: str) -> None:
    assert text(Figure(Decimal(value), unit), str) == line
    root = well_formed(figure_mathml(Decimal(value), unit))
    assert "".join(root.itertext()).replace("\u2009", " ") == line


@pytest.mark.parametrize("unit", list(UNITS))
def test_every_unit_prints_well_formed(unit: str) -> None:
    well_formed(figure_mathml(Decimal("2.5"), unit))


def test_what_is_handed_each_figure_gets_it_once_in_order() -> None:
    tree = Mul((Num(Decimal("0.8")), Figure(Decimal(1250), "ft"), Pow(Figure(Decimal(-5), "ft"), Num(Decimal(2)))))
    for printing in (text, mathml):
        seen: list[str] = []

        def keep(digits: str, seen: list[str] = seen) -> str:
            seen.append(digits)
            return digits

        printing(tree, str, keep)
        # the formula's own numbers are no figures of the site
        assert seen == ["1,250", "−5"]


def test_symbols() -> None:
    assert symbol_mathml("W") == "<mi>W</mi>"
    assert symbol_mathml("W_blade") == "<msub><mi>W</mi><mtext>blade</mtext></msub>"
    assert symbol_mathml("a<b") == "<mi>a&lt;b</mi>"


# --- what cannot be printed is an error -----------------------------------------------------


class _Unknown:
    """No node there is."""


@pytest.mark.parametrize("where", ["alone", "inside"])
def test_an_unknown_node_is_an_error_never_a_guess(where: str) -> None:
    tree: Any = _Unknown() if where == "alone" else Mul((Num(Decimal(2)), _Unknown()))  # type: ignore[arg-type]
    for face in (
        lambda t: mathml(t, str), lambda t: text(t, str), javascript, lambda t: evaluate(t, {}),
    ):  # fmt: skip
        with pytest.raises(ValueError, match="_Unknown"):
            face(tree)


@pytest.mark.parametrize("written", ["a % b", "a if b else c", "[a]", "log(a)", "a < b", "f(a)(b)", "a.b", "True"])
def test_a_formula_with_anything_else_in_it_is_an_error(written: str) -> None:
    with pytest.raises(ValueError, match="cannot read"):
        written_expression(written)


@pytest.mark.parametrize("make", ["log(x)", "exp(x)", "Abs(x)", "x**y", "I", "oo"])
def test_other_sympy_nodes_are_an_error(make: str) -> None:
    import sympy

    with pytest.raises(ValueError, match="no way to print"):
        tree_of(sympy.sympify(make))


def test_names_stay_names() -> None:
    assert text(Ref("x"), lambda n: n.upper()) == "X"


@pytest.mark.parametrize("order", [(1, 40, -2), (40, 1, -2), (-2, 40, 1)])
def test_a_line_prints_the_same_whatever_was_printed_before(order: tuple[int, ...]) -> None:
    """Lines of one shape share what stands around their figures; one acre, and a figure below nought, differ."""
    formula = formulas()[0]
    shape = Line.of("", None, (Figure(Decimal(40), "acre"),)).shape
    printed = {n: line_html(Line(shape, (Decimal(n),)), formula) for n in order}
    assert ">\u2009acre<" in printed[1]
    assert ">\u2009acres<" in printed[40] and "(" not in printed[40]
    assert ">\u2009acres<" in printed[-2]
    alone = {n: line_html(Line.of("", None, (Figure(Decimal(n), "acre"),)), formula) for n in order}
    assert printed == alone
