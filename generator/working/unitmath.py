"""Labels for the units of intermediate results: ft × ft² is ft³, yd³ ÷ min is yd³/min."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from generator.calc.expression import Add, Call, Div, Figure, Mul, Node, Num, Pow, Ref
from generator.calc.units import UNITS

Powers = tuple[tuple[str, float], ...]

_WHOLE = {"mph": "mi/h", "rpm": "1", "psi": "lbf/in2", "L": "L", "1": "", "%": "", ":1": ""}
_SUPER = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


@cache
def powers(unit: str) -> Powers:
    """A unit key as base units and exponents. The state of a volume is left out."""
    if unit in {"lcy", "bcy", "ccy"}:
        unit = "yd3"
    elif unit in {"lcm", "bcm", "ccm"}:
        unit = "m3"
    unit = _WHOLE.get(unit, unit)
    found: dict[str, float] = {}
    for i, part in enumerate(unit.split("/")):
        for base in part.split("*"):
            match = re.fullmatch(r"([A-Za-z]+)(\d*)", base)
            if match:
                sign = -1 if i else 1
                found[match[1]] = found.get(match[1], 0) + sign * float(match[2] or 1)
    return _kept(found)


def _kept(found: Mapping[str, float]) -> Powers:
    return tuple((k, v) for k, v in found.items() if v)


def combined(a: Powers, b: Powers, sign: int = 1) -> Powers:
    """Units of a product (or, with sign -1, of a quotient)."""
    found = dict(a)
    for base, power in b:
        found[base] = found.get(base, 0) + sign * power
    return _kept(found)


def units_of(node: Node) -> Powers:
    """Base units of a tree with figures put in."""
    match node:
        case Figure(_, unit):
            return powers(unit)
        case Num(_) | Ref(_):
            return ()
        case Add(terms, _):
            return next((u for u in map(units_of, terms) if u), ())
        case Mul(factors):
            total: Powers = ()
            for part in factors:
                total = combined(total, units_of(part))
            return total
        case Div(top, bottom):
            return combined(units_of(top), units_of(bottom), -1)
        case Pow(base, exponent):
            if isinstance(exponent, Num):
                times = float(exponent.value)
            else:
                assert isinstance(exponent.top, Num) and isinstance(exponent.bottom, Num)
                times = float(exponent.top.value / exponent.bottom.value)
            return tuple((b, p * times) for b, p in units_of(base))
        case Call("sqrt", (inner,)):
            return tuple((b, p / 2) for b, p in units_of(inner))
        case Call("atan" | "asin" | "acos", _):
            return (("deg", 1.0),)
        case Call("least" | "greatest" | "round_up" | "round_down", args):
            return next((u for u in map(units_of, args) if u), ())
        case _:
            return ()


def label(unit: Powers) -> str:
    """``(("yd", 3), ("min", -1))`` as ``yd³/min``."""

    def one(base: str, power: float) -> str:
        name = UNITS[base].label if base in UNITS else base
        if power == 1:
            return name
        if power == int(power):
            return name + str(int(power)).translate(_SUPER)
        return f"{name}^{power:g}"

    top = "·".join(one(b, p) for b, p in unit if p > 0)
    bottom = "·".join(one(b, -p) for b, p in unit if p < 0)
    if not bottom:
        return top
    return f"{top or '1'}/{bottom}"
