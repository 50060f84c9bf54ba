"""The script of a page works out what the program does.

Its expressions are plain enough to be worked here too: ``Math`` and ``v`` stand for what a browser has.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from decimal import Decimal
from types import SimpleNamespace

import pytest

from generator.calc.expression import Add, Call, Div, Figure, Mul, Node, Num, Pow, Ref
from generator.calc.formula import Formula
from generator.working.browser import function_source, javascript, script
from tests.every_formula import example, formulas

MATH = SimpleNamespace(
    PI=math.pi, sqrt=math.sqrt, sin=math.sin, cos=math.cos, tan=math.tan, asin=math.asin, acos=math.acos, atan=math.atan,
    min=min, max=max, pow=pow, ceil=math.ceil, floor=math.floor,
)  # fmt: skip


def reckoned(source: str, values: Mapping[str, float]) -> float:
    # two minus signs side by side take one away in a browser, and are no expression there
    assert "--" not in source and "++" not in source
    return float(eval(source, {"__builtins__": {}}, {"Math": MATH, "v": SimpleNamespace(**values)}))


def called(source: str, values: Mapping[str, float]) -> tuple[float, dict[str, float]]:
    """What a function of the script gives, and what is then in the object it was handed."""
    parts = re.fullmatch(r"function \(v\) \{ (v = Object\.assign\(\{\}, v\); )?((?:v\.\w+ = [^;]+; )*)return (.*); \}", source)
    assert parts is not None, source
    handed = dict(values)
    seen = dict(handed) if parts[1] else handed
    for name, value in re.findall(r"v\.(\w+) = ([^;]+); ", parts[2]):
        seen[name] = float(value)
    return reckoned(parts[3], seen), handed


@pytest.mark.parametrize("formula", formulas(), ids=lambda f: f.id)
def test_every_formula_gives_in_the_browser_what_it_gives_here(formula: Formula) -> None:
    values = {n: q.si for n, q in example(formula, "us").items()}
    given, handed = called(function_source(formula), values)
    assert given == pytest.approx(formula(**values), rel=1e-12, abs=1e-12)
    assert handed == values, "the page's own figures stay as they are"


def num(text: str) -> Num:
    return Num(Decimal(text))


A, B = Ref("a"), Ref("b")


@pytest.mark.parametrize(
    ("tree", "value"),
    [
        (Add((A, B), (1, 1)), 10), (Add((A, B), (1, -1)), 6), (Add((A, B), (-1, 1)), -6), (Add((A, B, A), (-1, -1, 1)), -2),
        (Add((num("1"), num("-2")), (1, -1)), 3), (Add((num("-2"), Figure(Decimal("-3"), "ft")), (-1, -1)), 5),
        (Mul((A, Add((A, B), (1, 1)))), 80), (Div(A, Mul((B, num("2")))), 2), (Div(Div(A, B), num("2")), 2), (Div(A, Div(B, num("2"))), 8),
        (Pow(num("-2"), num("2")), 4), (Pow(A, Div(num("1"), num("3"))), 2), (Mul((Figure(Decimal("0.5"), "ft"), A)), 4), (num("0"), 0),
        (Call("round_up", (Div(A, num("3")),)), 3), (Call("round_down", (Div(A, num("3")),)), 2), (Call("least", (A, B)), 2),
        (Call("greatest", (A, B)), 8), (Call("sqrt", (Mul((A, B)),)), 4), (Mul((Ref("pi"), num("2"))), 2 * math.pi),
        # a hair off a whole number is that number: 0.1 × 3 × 10 is 3 and a bit in binary fractions, 2.3 × 100 less than 230
        (Call("round_up", (Mul((num("0.1"), num("3"), num("10"))),)), 3), (Call("round_down", (Mul((num("2.3"), num("100"))),)), 230),
        (Call("tan", (Call("atan", (num("0.25"),)),)), 0.25), (Call("sin", (Call("asin", (num("0.25"),)),)), 0.25),
        (Call("cos", (Call("acos", (num("0.25"),)),)), 0.25),
    ],
)  # fmt: skip
def test_an_expression_means_the_same_there(tree: Node, value: float) -> None:
    assert reckoned(javascript(tree), {"a": 8.0, "b": 2.0}) == pytest.approx(value, rel=1e-12)


def test_the_script_names_every_formula_once_in_order() -> None:
    made = script(reversed(formulas()))
    assert made.startswith("/* ") and "\nwindow.seatworkFormulas = {\n" in made and made.endswith("\n};\n")
    rows = made.partition("{\n")[2].removesuffix("\n};\n").split(",\n")
    assert [re.match(r'  "([a-z_.]+)": function', r)[1] for r in rows] == sorted(f.id for f in formulas())  # type: ignore[index]
    assert {f'  "{f.id}": {function_source(f)}' for f in formulas()} == set(rows)
