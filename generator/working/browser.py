"""The same formula for the browser: a JavaScript function made from the one tree."""

from __future__ import annotations

from collections.abc import Iterable

from generator.calc.expression import Add, Call, Div, Figure, Mul, Node, Num, Pow, Ref
from generator.calc.formula import Formula

_CALLS = {
    "sqrt": "Math.sqrt", "sin": "Math.sin", "cos": "Math.cos", "tan": "Math.tan", "asin": "Math.asin",
    "acos": "Math.acos", "atan": "Math.atan", "least": "Math.min", "greatest": "Math.max",
}  # fmt: skip


def javascript(node: Node) -> str:
    """An expression over ``v.NAME``. Fully bracketed: precedence never has to be thought about."""
    match node:
        case Num(value) | Figure(value, _):
            return f"({value})" if value < 0 else str(value)
        case Ref("pi"):
            return "Math.PI"
        case Ref(name):
            return f"v.{name}"
        case Add(terms, signs):
            parts = [("-" if s < 0 else "+" if i else "") + javascript(t)
                     for i, (t, s) in enumerate(zip(terms, signs, strict=True))]  # fmt: skip
            return f"({' '.join(parts)})"
        case Mul(factors):
            return f"({' * '.join(javascript(f) for f in factors)})"
        case Div(top, bottom):
            return f"({javascript(top)} / {javascript(bottom)})"
        case Pow(base, exponent):
            return f"Math.pow({javascript(base)}, {javascript(exponent)})"
        case Call("round_up", (inner,)):
            # a hair above a whole number is that number, as in Python
            return f"Math.ceil({javascript(inner)} - 1e-9)"
        case Call("round_down", (inner,)):
            return f"Math.floor({javascript(inner)} + 1e-9)"
        case Call(function, args):
            return f"{_CALLS[function]}({', '.join(javascript(a) for a in args)})"
        case _:
            raise ValueError(f"no way to write a {type(node).__name__}")


def function_source(formula: Formula) -> str:
    """``function (v) { return …; }``: SI inputs by name in, the SI result out."""
    constants = "".join(f"v.{c.name} = {c.si!r}; " for c in formula.constants)
    copy = "v = Object.assign({}, v); " if constants else ""
    return f"function (v) {{ {copy}{constants}return {javascript(formula.tree)}; }}"


def script(formulas: Iterable[Formula]) -> str:
    """A classic script that sets ``window.seatworkFormulas``, by id."""
    rows = ",\n".join(f'  "{f.id}": {function_source(f)}' for f in sorted(formulas, key=lambda f: f.id))
    return f"/* Made from the calculations of the handbook. */\nwindow.seatworkFormulas = {{\n{rows}\n}};\n"
