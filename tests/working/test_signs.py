"""Signs, brackets and units of a printed expression, as plain text and as MathML, each written out.

``flat`` puts a MathML expression on one line: what stands in one row is written on, ``[a/b]`` is a
fraction with its bar, ``a^{b}`` a raised figure, ``√{a}`` a root.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from decimal import Decimal

import pytest

from generator.calc.expression import Add, Call, Div, Figure, Mul, Node, Num, Pow, Ref
from generator.working.printing import mathml, text, unit_label


def n(value: str) -> Num:
    return Num(Decimal(value))


def f(value: str, unit: str = "1") -> Figure:
    return Figure(Decimal(value), unit)


def plus(*terms: Node) -> Add:
    return Add(terms, (1,) * len(terms))


def minus(*terms: Node) -> Add:
    return Add(terms, (1, *(-1,) * (len(terms) - 1)))


def flat(e: ET.Element) -> str:
    parts = [flat(x) for x in e]
    if e.tag == "mfrac":
        return "[{}/{}]".format(*parts)
    if e.tag == "msup":
        return "{}^{{{}}}".format(*parts)
    if e.tag == "msqrt":
        return f"√{{{''.join(parts)}}}"
    return (e.text or "").replace("\u2009", " ") + "".join(parts)


A, B, C, TWO = Ref("a"), Ref("b"), Ref("c"), n("2")

BOTH: list[tuple[Node, str, str]] = [
    # a figure below nought stands in brackets but for the very first of a sum; nought and one half do not
    (Mul((f("-3"), f("4"))), "(−3) × 4", "(−3)×4"),
    (Mul((f("4"), n("-3"))), "4 × (−3)", "4×(−3)"),
    (Mul((f("0"), n("0"), f("0.5"), n("0.5"))), "0 × 0 × 0.5 × 0.5", "0×0×0.5×0.5"),
    (plus(f("-3"), f("4")), "−3 + 4", "−3+4"),
    (plus(n("-3"), f("4")), "−3 + 4", "−3+4"),
    (plus(f("4"), f("-3")), "4 + (−3)", "4+(−3)"),
    (minus(f("4"), f("-3")), "4 − (−3)", "4−(−3)"),
    (minus(f("4"), n("-3"), n("5")), "4 − (−3) − 5", "4−(−3)−5"),
    (plus(f("4"), f("0"), f("0.5")), "4 + 0 + 0.5", "4+0+0.5"),
    (Add((f("3"), f("4")), (-1, 1)), "−3 + 4", "−3+4"),
    (Add((f("-3"), f("4")), (-1, 1)), "−(−3) + 4", "−(−3)+4"),
    (Add((A, B, C), (-1, -1, 1)), "−a − b + c", "−a−b+c"),
    (Add((A, B, C), (1, -1, 1)), "a − b + c", "a−b+c"),
    (Div(f("-3"), f("4")), "(−3) ÷ 4", "[−3/4]"),
    # a sum within a sum
    (minus(A, plus(B, C)), "a − (b + c)", "a−(b+c)"),
    (plus(A, plus(B, C)), "a + (b + c)", "a+(b+c)"),
    (plus(plus(A, B), C), "a + b + c", "a+b+c"),
    (Add((plus(A, B), C), (-1, 1)), "−(a + b) + c", "−(a+b)+c"),
    (Add((Mul((A, B)), C), (-1, 1)), "−a × b + c", "−a×b+c"),
    # products, quotients
    (plus(Mul((A, B)), C), "a × b + c", "a×b+c"),
    (minus(C, Mul((A, B))), "c − a × b", "c−a×b"),
    (Mul((A, plus(B, C))), "a × (b + c)", "a×(b+c)"),
    (Mul((plus(B, C), A)), "(b + c) × a", "(b+c)×a"),
    (Mul((A, Div(B, C))), "a × (b ÷ c)", "a×[b/c]"),
    (Mul((Div(A, B), C)), "(a ÷ b) × c", "[a/b]×c"),
    (Mul((A, Mul((B, C)))), "a × b × c", "a×b×c"),
    (plus(Div(A, B), C), "a ÷ b + c", "[a/b]+c"),
    (minus(C, Div(A, B)), "c − a ÷ b", "c−[a/b]"),
    (Div(plus(A, B), C), "(a + b) ÷ c", "[a+b/c]"),
    (Div(A, plus(B, C)), "a ÷ (b + c)", "[a/b+c]"),
    (Div(A, Mul((B, C))), "a ÷ (b × c)", "[a/b×c]"),
    (Div(A, Div(B, C)), "a ÷ (b ÷ c)", "[a/[b/c]]"),
    (Div(Div(A, B), C), "a ÷ b ÷ c", "[[a/b]/c]"),
    (Div(Mul((A, B)), C), "a × b ÷ c", "[a×b/c]"),
    (Div(A, Pow(B, TWO)), "a ÷ b²", "[a/b^{2}]"),
    # powers and roots
    (Pow(A, TWO), "a²", "a^{2}"),
    (Pow(A, n("3")), "a³", "a^{3}"),
    (Pow(A, n("1.5")), "a^(1.5)", "a^{1.5}"),
    (Pow(A, Div(n("1"), n("3"))), "a^(1 ÷ 3)", "a^{[1/3]}"),
    (Pow(n("3"), TWO), "3²", "3^{2}"),
    (Pow(f("3"), TWO), "3²", "3^{2}"),
    (Pow(f("0.5"), TWO), "0.5²", "0.5^{2}"),
    (Pow(n("0.5"), TWO), "0.5²", "0.5^{2}"),
    (Pow(n("0"), TWO), "0²", "0^{2}"),
    (Pow(f("0"), TWO), "0²", "0^{2}"),
    (Pow(f("-3"), TWO), "(−3)²", "(−3)^{2}"),
    (Pow(n("-3"), TWO), "(−3)²", "(−3)^{2}"),
    (Pow(f("3", "ft"), TWO), "(3 ft)²", "(3 ft)^{2}"),
    (Pow(f("-3", "ft"), TWO), "(−3 ft)²", "(−3 ft)^{2}"),
    (Pow(f("30", "deg"), TWO), "(30°)²", "(30°)^{2}"),
    (Pow(f("30", "lbf·ft"), TWO), "(30 lbf·ft)²", "(30 lbf·ft)^{2}"),
    (Pow(plus(A, B), TWO), "(a + b)²", "(a+b)^{2}"),
    (Pow(Mul((A, B)), TWO), "(a × b)²", "(a×b)^{2}"),
    (Pow(Div(A, B), TWO), "(a ÷ b)²", "([a/b])^{2}"),
    (Pow(Pow(A, TWO), n("3")), "(a²)³", "(a^{2})^{3}"),
    (Pow(Call("tan", (A,)), TWO), "tan(a)²", "tan(a)^{2}"),
    (Mul((A, Pow(B, TWO))), "a × b²", "a×b^{2}"),
    (minus(A, Pow(B, TWO)), "a − b²", "a−b^{2}"),
    (Call("sqrt", (plus(A, B),)), "√(a + b)", "√{a+b}"),
    (Call("least", (A, plus(B, C))), "smaller of(a; b + c)", "smaller of(a;b+c)"),
    (Call("greatest", (f("-3"), A)), "larger of(−3; a)", "larger of(−3;a)"),
    (Call("round_up", (Div(A, B),)), "round up(a ÷ b)", "round up([a/b])"),
    (Call("round_down", (A,)), "round down(a)", "round down(a)"),
    (Call("atan", (A,)), "arctan(a)", "arctan(a)"),
    (Call("asin", (A,)), "arcsin(a)", "arcsin(a)"),
    (Call("acos", (A,)), "arccos(a)", "arccos(a)"),
    (Mul((Call("cos", (f("30", "deg"),)), Ref("pi"))), "cos(30°) × π", "cos(30°)×π"),
    # units: a gap before a word, none before a sign; one acre, two acres
    (plus(f("3", "ft"), f("4", "ft")), "3 ft + 4 ft", "3 ft+4 ft"),
    (Mul((f("0", "ft"), f("0.5", "ft"), f("-2", "ft"))), "0 ft × 0.5 ft × (−2 ft)", "0 ft×0.5 ft×(−2 ft)"),
    (Mul((f("25", "%"), f("3", ":1"), f("36", "deg/s"))), "25% × 3:1 × 36°/s", "25%×3:1×36°/s"),
    (Mul((f("1", "acre"), f("2", "acre"))), "1 acre × 2 acres", "1 acre×2 acres"),
    (Mul((f("2", "lcy"), f("3", "yd³/min"))), "2 loose yd³ × 3 yd³/min", "2 loose yd³×3 yd³/min"),
    (Mul((n("12345"), f("-12345.5"))), "12,345 × (−12,345.5)", "12,345×(−12,345.5)"),
]  # fmt: skip


@pytest.mark.parametrize(("tree", "plain", "laid_out"), BOTH, ids=[b[1] for b in BOTH])
def test_an_expression_is_printed_as_one_would_write_it(tree: Node, plain: str, laid_out: str) -> None:
    assert text(tree, str) == plain
    assert flat(ET.fromstring(f"<math>{mathml(tree, lambda name: f'<mi>{name}</mi>')}</math>")) == laid_out


def test_the_label_of_a_unit() -> None:
    assert [unit_label(u) for u in ("ft", "deg", "%", "1", "yd³/min")] == ["ft", "°", "%", "", "yd³/min"]


def test_units_in_mathml_are_text_and_escaped() -> None:
    assert mathml(f("3", "a<b"), str) == "<mrow><mn>3</mn><mtext>\u2009a&lt;b</mtext></mrow>"
    assert mathml(f("3"), str) == "<mn>3</mn>" and mathml(f("3", "%"), str) == "<mrow><mn>3</mn><mtext>%</mtext></mrow>"
