"""Expressions in the order a person writes them.

The text of a formula (``"0.8 * blade_width * blade_height**2"``) becomes a small tree of plain
nodes that keeps that order. Every face of the formula (value, MathML, worked figures, the browser's
function) is made from that one tree, so none can say something else. The measure is sympy: its
expression of the text, n-ary and unevaluated, gives the tree from its ``.args``, and a sympy node
type not listed in :func:`tree_of` is an error, never a guess. :func:`tree_in` makes the same tree
without loading it.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

FUNCTIONS = ("sqrt", "sin", "cos", "tan", "asin", "acos", "atan", "least", "greatest", "round_up", "round_down")


@dataclass(frozen=True, slots=True)
class Num:
    """A number that belongs to the formula (0.8, 2)."""

    value: Decimal


@dataclass(frozen=True, slots=True)
class Ref:
    """An input or constant, by name."""

    name: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure put in for a name: digits and unit key."""

    value: Decimal
    unit: str = "1"


@dataclass(frozen=True, slots=True)
class Add:
    """A sum; ``signs`` are +1 or -1."""

    terms: tuple[Node, ...]
    signs: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Mul:
    """A product, in written order."""

    factors: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Div:
    """A quotient."""

    top: Node
    bottom: Node


@dataclass(frozen=True, slots=True)
class Pow:
    """A power with a plain number for its exponent."""

    base: Node
    exponent: Num | Div


@dataclass(frozen=True, slots=True)
class Call:
    """One of FUNCTIONS."""

    function: str
    args: tuple[Node, ...]


Node = Num | Ref | Figure | Add | Mul | Div | Pow | Call


def children(node: Node) -> tuple[Node, ...]:
    """The nodes right below ``node``."""
    match node:
        case Add(terms, _):
            return terms
        case Mul(factors):
            return factors
        case Div(top, bottom):
            return (top, bottom)
        case Pow(base, exponent):
            return (base, exponent)
        case Call(_, args):
            return args
        case _:
            return ()


def rebuilt(node: Node, parts: tuple[Node, ...]) -> Node:
    """``node`` with other children."""
    match node:
        case Add(_, signs):
            return Add(parts, signs)
        case Mul(_):
            return Mul(parts)
        case Div(_, _):
            return Div(*parts)
        case Pow(_, exponent):
            return Pow(parts[0], exponent)
        case Call(function, _):
            return Call(function, parts)
        case _:
            return node


def replaced(node: Node, names: Mapping[str, Node]) -> Node:
    """``node`` with names put in."""
    if isinstance(node, Ref):
        return names.get(node.name, node)
    parts = children(node)
    return rebuilt(node, tuple(replaced(p, names) for p in parts)) if parts else node


def names_in(node: Node) -> tuple[str, ...]:
    """Names in the order they first stand."""
    if isinstance(node, Ref):
        return (node.name,)
    found: dict[str, None] = {}
    for part in children(node):
        found.update(dict.fromkeys(names_in(part)))
    return tuple(found)


# --- from text to sympy, in written order ---------------------------------------------------


def written_expression(text: str) -> Any:  # noqa: C901  one check after another of a formula's text
    """The sympy expression of ``text``, unevaluated and in written order.

    Knows ``+ - * / **``, numbers, names, ``pi`` and FUNCTIONS. Raises ValueError on anything
    else.
    """
    import sympy

    own = own_functions()

    def build(node: ast.expr) -> Any:
        match node:
            case ast.Constant(value=int(v)) if not isinstance(v, bool):
                return sympy.Integer(v)
            case ast.Constant(value=float(v)):
                return sympy.Float(repr(v))
            case ast.Name(id="pi"):
                return sympy.pi
            case ast.Name(id=name):
                return sympy.Symbol(name)
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return sympy.Mul(sympy.Integer(-1), build(operand), evaluate=False)
            case ast.BinOp(op=ast.Add() | ast.Sub()):
                return sympy.Add(*sum_terms(node), evaluate=False)
            case ast.BinOp(op=ast.Mult() | ast.Div()):
                return sympy.Mul(*product_factors(node), evaluate=False)
            case ast.BinOp(left=left, op=ast.Pow(), right=right):
                return sympy.Pow(build(left), build(right), evaluate=False)
            case ast.Call(func=ast.Name(id=function), args=args, keywords=[]):
                made = [build(a) for a in args]
                if function == "sqrt":
                    return sympy.Pow(made[0], sympy.Rational(1, 2), evaluate=False)
                if function in own:
                    return own[function](*made)
                if function in FUNCTIONS:
                    return getattr(sympy, function)(*made, evaluate=False)
        raise ValueError(f"cannot read {ast.unparse(node)!r} in a formula")

    def sum_terms(node: ast.expr) -> list[Any]:
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
            right = build(node.right)
            if isinstance(node.op, ast.Sub):
                right = sympy.Mul(sympy.Integer(-1), right, evaluate=False)
            return [*sum_terms(node.left), right]
        return [build(node)]

    def product_factors(node: ast.expr) -> list[Any]:
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div):
            right = build(node.right)
            if isinstance(node.op, ast.Div):
                right = sympy.Pow(right, sympy.Integer(-1), evaluate=False)
            return [*product_factors(node.left), right]
        return [build(node)]

    return build(ast.parse(text, mode="eval").body)


def own_functions() -> dict[str, Any]:
    """sympy functions that keep the order of their arguments (Min and Max do not)."""
    import sympy

    names = ("least", "greatest", "round_up", "round_down")
    return {name: sympy.Function(name) for name in names}


def tree_of(expression: Any) -> Node:  # noqa: C901  one case for each node
    """The plain tree of a sympy expression, read over ``.args``; ValueError on other nodes."""
    import sympy

    def plain(e: Any) -> Node:
        if e is sympy.pi:
            return Ref("pi")
        if isinstance(e, sympy.Symbol):
            return Ref(e.name)
        if isinstance(e, sympy.Integer):
            return Num(Decimal(int(e)))
        if isinstance(e, sympy.Float):
            return Num(Decimal(repr(float(e))))
        if isinstance(e, sympy.Rational):
            return Div(Num(Decimal(int(e.p))), Num(Decimal(int(e.q))))
        if isinstance(e, sympy.Add):
            terms, signs = [], []
            for term in e.args:
                sign, rest = signed(term)
                terms.append(plain(rest))
                signs.append(sign)
            return Add(tuple(terms), tuple(signs))
        if isinstance(e, sympy.Mul):
            return product(e)
        if isinstance(e, sympy.Pow):
            base, exponent = e.args
            if exponent == sympy.Rational(1, 2):
                return Call("sqrt", (plain(base),))
            if exponent == -1:
                return Div(Num(Decimal(1)), plain(base))
            power = plain(exponent)
            if isinstance(power, Num | Div):
                return Pow(plain(base), power)
        name = getattr(getattr(e, "func", None), "__name__", "")
        if name in FUNCTIONS:
            return Call(name, tuple(plain(a) for a in e.args))
        raise ValueError(f"no way to print a {type(e).__name__}: {e}")

    def signed(term: Any) -> tuple[int, Any]:
        if isinstance(term, sympy.Mul) and term.args and term.args[0] == -1:
            rest = term.args[1:]
            return -1, rest[0] if len(rest) == 1 else sympy.Mul(*rest, evaluate=False)
        return 1, term

    def product(e: Any) -> Node:
        top: list[Node] = []
        bottom: list[Node] = []
        for arg in e.args:
            if isinstance(arg, sympy.Pow) and arg.args[1] == -1:
                bottom.append(plain(arg.args[0]))
            else:
                top.append(plain(arg))
        if not bottom:
            return Mul(tuple(top))
        upper: Node = Num(Decimal(1)) if not top else top[0] if len(top) == 1 else Mul(tuple(top))
        return Div(upper, bottom[0] if len(bottom) == 1 else Mul(tuple(bottom)))

    return plain(expression)


# --- from text to the same tree, without sympy ----------------------------------------------


class _NotPlain(Exception):
    """A text that is left to sympy to read, or to refuse."""


_OF_ONE = frozenset({"sqrt", "sin", "cos", "tan", "asin", "acos", "atan"})


def tree_in(text: str) -> Node:
    """The tree of a formula's text: what :func:`tree_of` makes of its :func:`written_expression`, figure for figure.

    sympy takes longer to load than a handbook's formulas take to read, so what formulas are written in (the four
    operations, powers, one name or figure after the other) is read from Python's own syntax tree. All else goes the way
    of sympy, as does every mistake. A test holds each formula, and any number of made-up ones, to that way. Raises what
    those two functions raise.
    """
    try:
        return _plain(ast.parse(text, mode="eval").body)
    except (_NotPlain, SyntaxError, ValueError, RecursionError, MemoryError):
        return tree_of(written_expression(text))


def _plain(node: ast.expr) -> Node:
    match node:
        case ast.Constant(value=int(v)) if not isinstance(v, bool):
            return Num(Decimal(v))
        case ast.Constant(value=float(v)) if math.isfinite(v):
            figure = Decimal(repr(v))
            if len(figure.as_tuple().digits) <= 15:  # sympy keeps more digits of some figures only
                return Num(figure)
        case ast.Name(id=name):
            return Ref(name)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return Mul((Num(Decimal(-1)), _plain(operand)))
        case ast.BinOp(op=ast.Add() | ast.Sub()):
            return _plain_sum(node)
        case ast.BinOp(op=ast.Mult() | ast.Div()):
            return _plain_product(node)
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            power = _plain(right)
            if isinstance(power, Num | Div) and power != Num(Decimal("0.5")):  # sympy says whether that is a root
                return Pow(_plain(left), power)
        case ast.Call(func=ast.Name(id=function), args=args, keywords=[]) if function in FUNCTIONS and args:
            if len(args) == 1 or function not in _OF_ONE:
                return Call(function, tuple(_plain(a) for a in args))
    raise _NotPlain


def _plain_sum(node: ast.expr) -> Add:
    terms: list[Node] = []
    signs: list[int] = []
    while isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):  # from the last term to the first
        taken_off = isinstance(node.op, ast.Sub)
        term, sign = (node.right, -1) if taken_off else _signed(node.right)
        terms.append(_plain(term))
        signs.append(sign)
        node = node.left
    term, sign = _signed(node)
    return Add((_plain(term), *reversed(terms)), (sign, *reversed(signs)))


def _signed(node: ast.expr) -> tuple[ast.expr, int]:
    """A term that is added, and its sign."""
    below = isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub)
    return (node.operand, -1) if below else (node, 1)  # type: ignore[attr-defined]


def _plain_product(node: ast.expr) -> Mul | Div:
    top: list[Node] = []
    bottom: list[Node] = []
    while isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div):  # from the last factor to the first
        (bottom if isinstance(node.op, ast.Div) else top).append(_plain(node.right))
        node = node.left
    top.append(_plain(node))
    upper, lower = tuple(reversed(top)), tuple(reversed(bottom))
    if not lower:
        return Mul(upper)
    return Div(upper[0] if len(upper) == 1 else Mul(upper), lower[0] if len(lower) == 1 else Mul(lower))


# --- values ---------------------------------------------------------------------------------


def round_up(value: float) -> float:
    """Next whole number up; a hair above a whole number (1e-9) is that number."""
    return float(math.ceil(value - 1e-9))


def round_down(value: float) -> float:
    """Next whole number down; a hair below a whole number (1e-9) is that number."""
    return float(math.floor(value + 1e-9))


def compiled(tree: Node, arguments: tuple[str, ...]) -> Callable[..., float]:
    """A plain Python function of ``arguments``, in order, that works out ``tree``."""
    # names that Python took for names in a formula
    return _function(", ".join(arguments), source_of(tree, lambda name: name))


def _function(parameters: str, source: str) -> Callable[..., float]:
    """A function of ``parameters`` that gives ``source``, which :func:`source_of` made: only our own nodes become source."""
    code = compile(f"lambda {parameters}: {source}", "<formula>", "eval")
    made: Callable[..., float] = eval(code, {**PLAIN.functions, "pi": math.pi})
    return made


def source_of(node: Node, named: Callable[[str], str]) -> str:
    """Python source that works out ``node``; ``named`` gives the source of a name."""

    def source(n: Node) -> str:
        match n:
            case Num(value) | Figure(value, _):
                return f"({float(value)!r})"
            case Ref(name):
                return "pi" if name == "pi" else named(name)
            case Add(terms, signs):
                return "(" + "".join(("-" if s < 0 else "+") + source(t) for t, s in zip(terms, signs, strict=True)) + ")"
            case Mul(factors):
                return "(" + "*".join(source(f) for f in factors) + ")"
            case Div(top, bottom):
                return f"({source(top)}/{source(bottom)})"
            case Pow(base, exponent):
                return f"({source(base)}**{source(exponent)})"
            case Call(function, args):
                return f"{function}({', '.join(source(a) for a in args)})"
        raise ValueError(f"no way to work out a {type(n).__name__}")

    return source(node)


@cache
def quick(node: Node) -> Callable[[Mapping[str, float]], float]:
    """A compiled function of the names in ``node``: the same value as :func:`evaluate`, sooner."""
    return _function("v", source_of(node, lambda name: f"v[{name!r}]"))


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """How :func:`evaluate` calls functions; another set makes it work on other kinds of number."""

    functions: Mapping[str, Callable[..., Any]]
    number: Callable[[Decimal], Any] = float
    pi: Any = math.pi


PLAIN = Arithmetic(
    {
        "sqrt": math.sqrt, "sin": math.sin, "cos": math.cos, "tan": math.tan, "asin": math.asin,
        "acos": math.acos, "atan": math.atan, "least": min, "greatest": max,
        "round_up": round_up, "round_down": round_down,
    }
)  # fmt: skip
# worked by hand, angles are in degrees; 12 places make cos(90°) nothing and tan(45°) one
DEGREES = Arithmetic(
    {
        **PLAIN.functions,
        "sin": lambda x: round(math.sin(math.radians(x)), 12),
        "cos": lambda x: round(math.cos(math.radians(x)), 12),
        "tan": lambda x: round(math.tan(math.radians(x)), 12),
        "asin": lambda x: math.degrees(math.asin(x)),
        "acos": lambda x: math.degrees(math.acos(x)),
        "atan": lambda x: math.degrees(math.atan(x)),
    }
)


def evaluate(node: Node, names: Mapping[str, Any], how: Arithmetic = PLAIN) -> Any:
    """The value of a tree, with plain floats or with anything that has the operators."""
    match node:
        case Num(value):
            return how.number(value)
        case Figure(value, _):
            return how.number(value)
        case Ref(name):
            return how.pi if name == "pi" else names[name]
        case Add(terms, signs):
            total = evaluate(terms[0], names, how)
            total = -total if signs[0] < 0 else total
            for term, sign in zip(terms[1:], signs[1:], strict=True):
                value = evaluate(term, names, how)
                total = total + value if sign > 0 else total - value
            return total
        case Mul(factors):
            result = evaluate(factors[0], names, how)
            for part in factors[1:]:
                result = result * evaluate(part, names, how)
            return result
        case Div(top, bottom):
            return evaluate(top, names, how) / evaluate(bottom, names, how)
        case Pow(base, exponent):
            power = float(exponent.value) if isinstance(exponent, Num) else float(evaluate(exponent, names, PLAIN))
            return evaluate(base, names, how) ** (int(power) if power == int(power) else power)
        case Call(function, args):
            return how.functions[function](*(evaluate(a, names, how) for a in args))
        case _:
            raise ValueError(f"no way to work out a {type(node).__name__}")
