"""Labels for the units of intermediate results: ft × ft² is ft³, yd³ ÷ min is yd³/min."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from generator.calc.expression import Add, Call, Div, Figure, Mul, Node, Num, Pow, Ref
from generator.units.table import UNITS

Powers = tuple[tuple[str, float], ...]

# units that are others under one name: taken apart so that they cancel, put together again in print
_MADE_OF = {"mph": "mi/h", "psi": "lbf/in2", "kPa": "kN/m2", "Pa": "N/m2"}
_PLAIN = {"1": "", "%": "", ":1": ""}
_STATES = {"lcy": "yd3", "bcy": "yd3", "ccy": "yd3", "lcm": "m3", "bcm": "m3", "ccm": "m3"}
_SUPER = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_FROM_SUPER = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻·", "0123456789-*")
_TWO_WORDS = "|".join(re.escape(key) for key in UNITS if " " in key and "/" not in key)  # fl oz
_BASE = re.compile(rf"({_TWO_WORDS}|[^\W\d_]+|°)(\d*|\^[\d.]+)")


@cache
def _keys() -> Mapping[str, str]:
    """Unit keys by their printed labels."""
    return {unit.label: key for key, unit in UNITS.items() if unit.label}


@cache
def powers(unit: str) -> Powers:
    """A unit key, or a label as :func:`label` prints it, as base units and exponents.

    The state of a volume is left out. Raises ValueError on what is no unit.
    """
    key = unit if unit in UNITS else _keys().get(unit, unit)
    for names in (_STATES, _PLAIN, _MADE_OF):
        key = names.get(key, key)
    found: dict[str, float] = {}
    for i, part in enumerate(key.translate(_FROM_SUPER).split("/")):
        for base in part.split("*"):
            if base in {"", "1"}:
                continue
            match = _BASE.fullmatch(base)
            if match is None:
                raise ValueError(f"cannot read the unit {unit!r}")
            # a base inside a label may be printed in the plural
            name = _keys().get(match[1], match[1])
            power = float(match[2].removeprefix("^") or 1)
            found[name] = found.get(name, 0) + (-power if i else power)
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


@cache
def _made() -> Mapping[frozenset[tuple[str, float]], str]:
    return {frozenset(powers(name)): UNITS[name].label for name in _MADE_OF}


def label(unit: Powers) -> str:
    """``(("yd", 3), ("min", -1))`` as ``yd³/min``."""
    if made := _made().get(frozenset(unit)):
        return made

    def one(base: str, power: float, each: bool = False) -> str:
        name = UNITS[base].label if base in UNITS else base
        if each and name == f"{base}s":
            name = base  # pounds a ton, not a tons
        if power == 1:
            return name
        if power == int(power):
            return name + str(int(power)).translate(_SUPER)
        return f"{name}^{power:g}"

    top = "·".join(one(b, p) for b, p in unit if p > 0)
    bottom = "·".join(one(b, -p, each=True) for b, p in unit if p < 0)
    if not bottom:
        return top
    return f"{top or '1'}/{bottom}"
