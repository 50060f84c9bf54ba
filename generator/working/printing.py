"""Trees as native MathML and as plain text, from one walk.

Figures may be handed to a collector, so that a page can carry the working once and fill its
blanks with the figures of each variant.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from html import escape

from generator.calc.expression import Add, Call, Div, Figure, Mul, Node, Num, Pow, Ref
from generator.language.words import mark, tr
from generator.units.table import UNITS, System
from generator.units.writing import written

Mark = Callable[[str], str]
_SUBSCRIPT = re.compile(r"[a-z]{3,}.*")
_TIGHT = {"%", "deg", ":1", "deg/s"}
_WORDS = {
    "round_up": mark("round up"), "round_down": mark("round down"), "least": mark("smaller of"),
    "greatest": mark("larger of"), "asin": "arcsin", "acos": "arccos", "atan": "arctan",
}  # fmt: skip
# how tightly a node binds: what stands inside something tighter gets brackets
_SUM, _PRODUCT, _POWER, _ATOM = 1, 2, 3, 4


def unit_label(unit: str) -> str:
    """The printed label of a unit key, or a ready-made label for derived units."""
    return UNITS[unit].printed if unit in UNITS else unit


def _label_of(value: Decimal, unit: str) -> str:
    """The label beside a figure: one acre, one ton, but several acres and tons."""
    return UNITS[unit].label_for(value) if unit in UNITS else unit


def _name(function: str) -> str:
    """A function as it is printed: in words where it is no key of a calculator."""
    name = _WORDS.get(function, function)
    return tr(name) if " " in name else name


def system_of(unit: str, system: System | None) -> System | None:
    """The system a figure is written in: that of its unit, else that of the working it stands in."""
    own = UNITS[unit].system if unit in UNITS else None
    return own or system


def _plain(text: str) -> str:
    return text


def _strength(node: Node) -> int:
    match node:
        case Add(_, _):
            return _SUM
        case Mul(_) | Div(_, _):
            return _PRODUCT
        case Pow(_, _):
            return _POWER
        case Figure(_, unit) if unit_label(unit):
            return _POWER
        case _:
            return _ATOM


def _below_nought(node: Node) -> bool:
    """A figure that gets brackets wherever it does not stand first in a sum."""
    return isinstance(node, Figure | Num) and node.value < 0


# --- MathML ---------------------------------------------------------------------------------


def mathml(node: Node, symbols: Callable[[str], str], mark: Mark = _plain, system: System | None = None) -> str:  # noqa: C901  one case for each node
    """MathML of ``node`` without the outer ``math`` element.

    ``symbols`` gives the MathML of a name; ``mark`` wraps the digits of each figure. ``system`` is the one it is worked in.
    """

    def go(n: Node) -> str:
        match n:
            case Num(value):
                return f"<mn>{written(value, system)}</mn>"
            case Figure(value, unit):
                return figure_mathml(value, unit, mark, system)
            case Ref("pi"):
                return "<mi>π</mi>"
            case Ref(name):
                return symbols(name)
            case Add(terms, signs):
                parts = []
                for i, (term, sign) in enumerate(zip(terms, signs, strict=True)):
                    if i or sign < 0:
                        parts.append(f"<mo>{'+' if sign > 0 else '−'}</mo>")
                    parts.append(inside(term, _PRODUCT if sign < 0 or i else _SUM))
                return f"<mrow>{''.join(parts)}</mrow>"
            case Mul(factors):
                parts = [inside(f, _PRODUCT) for f in factors]
                return f"<mrow>{'<mo>×</mo>'.join(parts)}</mrow>"
            case Div(top, bottom):
                return f"<mfrac>{go(top)}{go(bottom)}</mfrac>"
            case Pow(base, exponent):
                return f"<msup>{inside(base, _ATOM)}{go(exponent)}</msup>"
            case Call("sqrt", (inner,)):
                return f"<msqrt>{go(inner)}</msqrt>"
            case Call(function, args):
                name = _name(function)
                listed = "<mo>;</mo>".join(go(a) for a in args)
                return f"<mrow><mi>{name}</mi>{_bracketed(listed)}</mrow>"
            case _:
                raise ValueError(f"no way to print a {type(n).__name__}")

    def inside(n: Node, least: int) -> str:
        text = go(n)
        if _below_nought(n):
            return text if least == _SUM else _bracketed(text)
        return _bracketed(text) if _strength(n) < least else text

    return go(node)


def _bracketed(inner: str) -> str:
    return f"<mrow><mo>(</mo>{inner}<mo>)</mo></mrow>"


def figure_mathml(value: Decimal, unit: str, mark: Mark = _plain, system: System | None = None) -> str:
    """A figure with its unit."""
    digits = f"<mn>{mark(written(value, system_of(unit, system)))}</mn>"
    label = _label_of(value, unit)
    if not label:
        return digits
    gap = "" if unit in _TIGHT else "\u2009"
    return f"<mrow>{digits}<mtext>{gap}{escape(label)}</mtext></mrow>"


def symbol_mathml(symbol: str) -> str:
    """``"W_blade"`` as an identifier with a subscript; ``"W"`` as it is."""
    base, _, sub = symbol.partition("_")
    if not sub:
        return f"<mi>{escape(base)}</mi>"
    return f"<msub><mi>{escape(base)}</mi><mtext>{escape(below(sub))}</mtext></msub>"


def below(sub: str) -> str:
    """What stands below a letter, in the language of now. Where it is a word, its string begins with the ``_`` of the symbol."""
    named = f"_{sub}"
    return tr(named).removeprefix("_") if _SUBSCRIPT.fullmatch(sub) else sub


# --- plain text -----------------------------------------------------------------------------


def text(node: Node, symbols: Callable[[str], str], mark: Mark = _plain, system: System | None = None) -> str:  # noqa: C901  one case for each node
    """One line of plain text, with × ÷ ² and brackets where they are needed."""

    def go(n: Node) -> str:
        match n:
            case Num(value):
                return written(value, system)
            case Figure(value, unit):
                label = _label_of(value, unit)
                gap = "" if unit in _TIGHT or not label else " "
                return f"{mark(written(value, system_of(unit, system)))}{gap}{label}"
            case Ref("pi"):
                return "π"
            case Ref(name):
                return symbols(name)
            case Add(terms, signs):
                out = ""
                for i, (term, sign) in enumerate(zip(terms, signs, strict=True)):
                    out += (" + " if sign > 0 else " − ") if i else ("−" if sign < 0 else "")
                    out += inside(term, _PRODUCT if sign < 0 or i else _SUM)
                return out
            case Mul(factors):
                return " × ".join(inside(f, _PRODUCT, division=True) for f in factors)
            case Div(top, bottom):
                lower = go(bottom)
                if isinstance(bottom, Mul | Div | Add):
                    lower = f"({lower})"
                return f"{inside(top, _PRODUCT)} ÷ {lower}"
            case Pow(base, exponent):
                power = go(exponent)
                raised = {"2": "²", "3": "³"}.get(power)
                return inside(base, _ATOM) + (raised or f"^({power})")
            case Call("sqrt", (inner,)):
                return f"√({go(inner)})"
            case Call(function, args):
                return f"{_name(function)}({'; '.join(go(a) for a in args)})"
            case _:
                raise ValueError(f"no way to print a {type(n).__name__}")

    def inside(n: Node, least: int, division: bool = False) -> str:
        out = go(n)
        if _below_nought(n):
            return out if least == _SUM else f"({out})"
        return f"({out})" if _strength(n) < least or (division and isinstance(n, Div)) else out

    return go(node)
