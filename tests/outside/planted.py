"""Errors put into the formulas on purpose, to see whether the outside checks would find them.

Each planted version is one slip a person can make in writing a formula down: a factor left out
or taken twice, plus for minus, sine for cosine, a quotient upside down, a share taken as a
percentage, degrees taken for radians, bank for loose. A version that an outside check turns
away is found; one that meets them all shows where a check is lacking.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from itertools import combinations
from typing import Any

import yaml

from generator.calc.catalogue import calculations
from generator.calc.expression import (
    PLAIN,
    Add,
    Arithmetic,
    Call,
    Div,
    Mul,
    Node,
    Num,
    Pow,
    Ref,
    children,
    evaluate,
    names_in,
    rebuilt,
    replaced,
)
from generator.calc.formula import Formula
from tests.outside.collected import ROOT, Prepared, prepared, procedure_checks

EXCEPTIONS = ROOT / "tests" / "outside" / "planted_exceptions.yml"
NEAREST = "round_nearest"
WRONG = Arithmetic({**PLAIN.functions, NEAREST: lambda x: math.floor(x + 0.5)})
TRIGONOMETRY = (("sin", "cos", "tan"), ("asin", "acos", "atan"))
ROUNDINGS = ("round_up", "round_down", NEAREST)


@dataclass(frozen=True)
class Planted:
    """A formula with one slip in it. ``slip`` says which, and tells it from the others."""

    formula: Formula
    slip: str
    tree: Node

    @property
    def id(self) -> str:
        """Name in the list of exceptions and in the tests."""
        return f"{self.formula.id}: {self.slip}"


def plain(node: Node) -> str:
    """A tree as a short line, to name a slip by."""
    match node:
        case Num(value):
            return str(value)
        case Ref(name):
            return name
        case Add(terms, signs):
            parts = [("+" if s > 0 else "-") + plain(t) for t, s in zip(terms, signs, strict=True)]
            return f"({' '.join(parts).removeprefix('+')})"
        case Mul(factors):
            return "*".join(plain(f) for f in factors)
        case Div(top, bottom):
            return f"{plain(top)}/({plain(bottom)})"
        case Pow(base, exponent):
            return f"{plain(base)}^{plain(exponent)}"
        case Call(function, args):
            return f"{function}({', '.join(plain(a) for a in args)})"
        case _:
            raise ValueError(f"no formula holds a {type(node).__name__}")


def _times(node: Node, number: str) -> Node:
    return Mul((Num(Decimal(number)), node))


def _product(factors: tuple[Node, ...]) -> Node:
    return factors[0] if len(factors) == 1 else Mul(factors)


def _slips(node: Node) -> Iterator[tuple[str, Node]]:
    """What can go wrong at this node, with what stands there then."""
    match node:
        case Num(value):
            yield f"{value} a tenth larger", Num(value * Decimal("1.1"))
            yield f"{value} doubled", Num(value * 2)
            yield f"{value} halved", Num(value / 2)
        case Ref(name):
            yield f"{name} doubled", _times(node, "2")
            yield f"{name} halved", _times(node, "0.5")
        case Mul(factors):
            for i, part in enumerate(factors):
                rest = factors[:i] + factors[i + 1 :]
                yield f"factor {plain(part)} left out", _product(rest)
                yield f"factor {plain(part)} taken twice", Mul((*factors, part))
                yield f"divided by {plain(part)} for times", Div(_product(rest), part)
        case Div(top, bottom):
            yield f"{plain(node)} upside down", Div(bottom, top)
            yield f"times {plain(bottom)} for divided by", Mul((top, bottom))
            yield f"{plain(top)} not divided", top
            yield f"1 for {plain(top)} over {plain(bottom)}", Div(Num(Decimal(1)), bottom)
            for part in bottom.factors if isinstance(bottom, Mul) else (bottom,):
                yield f"divided twice by {plain(part)}", Div(top, Mul((bottom, part)))
        case Add(terms, signs):
            for i, term in enumerate(terms):
                rest, others = terms[:i] + terms[i + 1 :], signs[:i] + signs[i + 1 :]
                left: Node = Add(rest, others)
                if len(rest) == 1 and others[0] > 0:
                    left = rest[0]
                yield f"term {plain(term)} left out", left
                flipped = (*signs[:i], -signs[i], *signs[i + 1 :])
                yield f"{'minus' if signs[i] > 0 else 'plus'} {plain(term)}", Add(terms, flipped)
        case Pow(base, exponent) if isinstance(exponent, Num):
            yield f"{plain(node)} to one power more", Pow(base, Num(exponent.value + 1))
            yield f"{plain(node)} to one power less", Pow(base, Num(exponent.value - 1))
        case Call(function, args):
            yield from _function_slips(function, args)
        case _:
            pass


def _function_slips(function: str, args: tuple[Node, ...]) -> Iterator[tuple[str, Node]]:
    shown = f"{function}({', '.join(plain(a) for a in args)})"
    for family in (*TRIGONOMETRY, ROUNDINGS, ("least", "greatest")):
        if function in family:
            for other in family:
                if other != function:
                    yield f"{other} for {shown}", Call(other, args)
    if function in {"round_up", "round_down"}:
        yield f"{shown} that forgives a fiftieth", Call(function, (_times(args[0], "0.98" if function == "round_up" else "1.02"),))
    for i, arg in enumerate(args):
        which = f", the {'first' if i == 0 else 'second'}" if len(args) > 1 else ""
        yield f"{shown} without {function}{which}", arg
    if function == "sqrt":
        yield f"cube root for {shown}", Pow(args[0], Div(Num(Decimal(1)), Num(Decimal(3))))
    degrees = Div(Num(Decimal(180)), Ref("pi"))
    if function in {"asin", "acos", "atan"}:
        yield f"{shown} in degrees taken for radians", Mul((Call(function, args), degrees))
    if function in {"sin", "cos", "tan"}:
        yield f"{shown} of degrees taken for radians", Call(function, (Mul((args[0], degrees)),))


def _everywhere(node: Node, slips: Callable[[Node], Iterator[tuple[str, Node]]]) -> Iterator[tuple[str, Node]]:
    """The slips at each node of a tree, as whole trees."""
    yield from slips(node)
    parts = children(node)
    if isinstance(node, Pow):
        parts = parts[:1]
    for i, part in enumerate(parts):
        for name, new in _everywhere(part, slips):
            whole = (*parts[:i], new, *parts[i + 1 :])
            yield name, rebuilt(node, whole)


def _of_inputs(formula: Formula) -> Iterator[tuple[str, Node]]:
    """An input taken for what it is not, or two of one kind mixed up."""
    hundred = Num(Decimal(100))
    degrees = Div(Num(Decimal(180)), Ref("pi"))
    used = names_in(formula.tree)
    kinds = {i.name: i.kind for i in formula.inputs if i.name in used} | {c.name: c.kind for c in formula.constants if c.name in used}
    for name, kind in kinds.items():
        wrong: dict[str, Node] = {}
        ref = Ref(name)
        if kind in {"fraction", "grade", "factor", "resistance"}:
            wrong["as a percentage"] = Mul((ref, hundred))
        if kind == "grade":
            percent = Mul((ref, hundred))
            wrong["percent for degrees"] = Call("tan", (Div(percent, degrees),))
        if kind in {"grade", "ratio"}:
            wrong["rise to run for run to rise"] = Div(Num(Decimal(1)), ref)
        if kind == "angle":
            wrong["degrees for radians"] = Mul((ref, degrees))
            wrong["percent for degrees"] = Call("atan", (Div(Mul((ref, degrees)), hundred),))
        for slip, instead in wrong.items():
            yield f"{name} {slip}", replaced(formula.tree, {name: instead})
    for a, b in combinations(kinds, 2):
        if kinds[a] == kinds[b]:
            yield f"{a} and {b} mixed up", replaced(formula.tree, {a: Ref(b), b: Ref(a)})


def _sorted(node: Node) -> Node:
    """The same tree with sums and products in one fixed order."""
    parts = tuple(_sorted(p) for p in children(node))
    match node:
        case Add(_, signs):
            pairs = sorted(zip(parts, signs, strict=True), key=repr)
            return Add(tuple(p for p, _ in pairs), tuple(s for _, s in pairs))
        case Mul(_):
            flat: list[Node] = []
            for part in parts:
                flat.extend(part.factors if isinstance(part, Mul) else (part,))
            return Mul(tuple(sorted(flat, key=repr)))
        case Call("least" | "greatest", _):
            return replace(node, args=tuple(sorted(parts, key=repr)))
        case _:
            return rebuilt(node, parts) if parts else node


@lru_cache(maxsize=1)
def planted() -> tuple[Planted, ...]:
    """All planted versions of all formulas, each once.

    Only what is the same formula by reordering a sum or product is left out here.
    """
    found: list[Planted] = []
    for formula in calculations().values():
        if not isinstance(formula, Formula):
            continue
        seen = {_sorted(formula.tree)}
        names: set[str] = set()
        for slip, tree in (*_everywhere(formula.tree, _slips), *_of_inputs(formula)):
            same = _sorted(tree)
            if same in seen:
                continue
            seen.add(same)
            name = slip
            count = 1
            while name in names:
                count += 1
                name = f"{slip} (place {count})"
            names.add(name)
            found.append(Planted(formula, name, tree))
    return tuple(found)


@contextmanager
def in_place(version: Planted) -> Iterator[None]:
    """The formula works as planted, also inside the procedures that use it."""
    formula = version.formula
    names = (*(i.name for i in formula.inputs), *(c.name for c in formula.constants))

    def wrong(*values: float) -> Any:
        return evaluate(version.tree, dict(zip(names, values, strict=True)), WRONG)

    right = formula._function
    formula.__dict__["_function"] = wrong
    try:
        yield
    finally:
        formula.__dict__["_function"] = right


def _checks_of(formula: Formula) -> tuple[Prepared, ...]:
    """Its own checks, then those of its topic's procedures, which may use it."""
    topic = formula.id.partition(".")[0]
    return (*prepared().get(formula.id, ()), *procedure_checks().get(topic, ()))


def found_by(version: Planted) -> str | None:
    """The id of the first check that turns the version away; None where all are met."""
    with in_place(version):
        for check in _checks_of(version.formula):
            if not check.met():
                return check.check.id
    return None


@lru_cache(maxsize=1)
def exceptions() -> dict[str, str]:
    """Versions no check can tell from the formula, each with the reason."""
    return dict(yaml.safe_load(EXCEPTIONS.read_text("utf-8")) or {})


@dataclass(frozen=True)
class Score:
    """Of ``planted`` versions, how many were found and how many are named exceptions."""

    planted: int
    found: int
    excepted: int

    @property
    def missed(self) -> int:
        """Neither found nor excepted."""
        return self.planted - self.found - self.excepted


def scores() -> dict[str, Score]:
    """The score of each topic."""
    count: dict[str, list[int]] = {}
    for version in planted():
        row = count.setdefault(version.formula.id.partition(".")[0], [0, 0, 0])
        row[0] += 1
        if version.id in exceptions():
            row[2] += 1
        elif found_by(version) is not None:
            row[1] += 1
    return {topic: Score(*row) for topic, row in count.items()}
