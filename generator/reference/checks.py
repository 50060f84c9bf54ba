"""Outside checks: what a source prints beside what a calculation gives.

``content/checks/TOPIC.yml`` is a list of checks. ``expected`` is the source's printed digits;
without ``within`` a result must agree to half a unit of the last one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

from generator.calc.catalogue import Calculation, find
from generator.calc.formula import Formula
from generator.calc.tables import Table
from generator.language.words import mark
from generator.reference import sources
from generator.reference.errors import ReferenceProblem
from generator.source.yamltext import (
    MappingNode,
    Node,
    ScalarNode,
    SequenceNode,
    Unreadable,
    compose,
    node_line,
)
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, steady, to_places, trimmed
from generator.units.table import UNITS, System, find_unit, from_si
from generator.units.writing import pointed, written

FOLDER = "checks"
STANDINGS = ("published", "common practice", "derived", "library")
SEEN = ("read", "package", "from memory", "by hand")
# what a check rests on, as it is counted: the strongest first
GROUPS: Mapping[str, str] = {
    "published": mark("printed figures that were read in their source"),
    "derived": mark("figures worked out from a source's rule, or by hand"),
    "library": mark("second opinions, by a general library of programs or by plain counting"),
    "common practice": mark("figures of common practice, with no source"),
    "from memory": mark("figures from memory, with the source not at hand"),
}
_NEEDED = ("id", "calculation", "inputs", "expected", "unit", "seen", "standing")
_KEYS = (*_NEEDED, "result", "within", "why", "source", "place", "erratum")
_FIGURE = re.compile(r"-?\d[\d,]*(\.\d+)?")
_WITHIN = re.compile(r"\d+(\.\d+)?%?")
_TIGHT = {"%", "deg", ":1", "deg/s"}


@dataclass(frozen=True, slots=True)
class Erratum:
    """What the source prints wrongly, and why that is wrong."""

    printed: str
    why: str


@dataclass(frozen=True)
class Check:
    """One outside check. ``source`` is a key of ``sources.yml``, empty for common practice.

    ``inputs`` are quantities as typed, ``result`` names a procedure's result (empty for the main
    one), ``within`` is a share (``1%``) or a width in ``unit``.
    """

    id: str
    calculation: str
    inputs: Mapping[str, str]
    result: str
    expected: str
    unit: str
    within: str
    why: str
    source: str
    place: str
    seen: str
    standing: str
    erratum: Erratum | None
    file: str
    line: int | None = None

    @property
    def within_text(self) -> str:
        """The agreement asked for, in words."""
        return self.within or mark("half a unit of the last printed digit")


@dataclass(frozen=True)
class CheckResult:
    """A check carried out. ``value`` is in the check's unit; the texts are ready to print."""

    check: Check
    value: float | str
    says: str
    gets: str
    differs: str
    ok: bool


def load(content: Path) -> tuple[Check, ...]:
    """All checks in the folder ``content``, topic by topic, each against known calculations.

    Files are read again only when one of them changed. Raises ReferenceProblem, one line with
    file, line and fix.
    """
    files = sorted((content / FOLDER).glob("*.yml"))
    if not files:
        raise ReferenceProblem(FOLDER, None, "has no checks", "install Seatwork again")
    states = tuple((f, f.stat().st_mtime_ns, f.stat().st_size) for f in files)
    return _load(states, tuple(sources.load(content)))


@lru_cache(maxsize=4)
def _load(states: tuple[tuple[Path, int, int], ...], keys: tuple[str, ...]) -> tuple[Check, ...]:
    checks: list[Check] = []
    lines: dict[str, str] = {}
    for path, _, _ in states:
        for check in _Reader(path, frozenset(keys)).checks():
            if check.id in lines:
                raise ReferenceProblem(check.file, check.line, f"check '{check.id}' stands twice, first in {lines[check.id]}", "rename one")
            lines[check.id] = f"{check.file}:{check.line}"
            checks.append(check)
    return tuple(checks)


class _Reader:
    def __init__(self, path: Path, keys: frozenset[str]) -> None:
        self.path, self.keys = path, keys
        self.name = f"{FOLDER}/{path.name}"

    def problem(self, line: int | None, what: str, fix: str) -> ReferenceProblem:
        return ReferenceProblem(self.name, line, what, fix)

    def checks(self) -> list[Check]:
        try:
            root = compose(self.path.read_text("utf-8"), self.name)
        except UnicodeDecodeError:
            raise self.problem(None, "is not UTF-8 text", "save it as UTF-8") from None
        except Unreadable as e:
            raise self.problem(e.line, e.what, e.fix) from None
        if not isinstance(root, SequenceNode):
            raise self.problem(1, "is no list of checks", "start each check with '- id: …'")
        return [self.check(node) for node in root.value]

    def pairs(self, node: Node, what: str) -> dict[str, Node]:
        if not isinstance(node, MappingNode):
            raise self.problem(node_line(node), f"{what} is no list of 'name: value'", "write it so")
        found: dict[str, Node] = {}
        for key, value in node.value:
            if str(key.value) in found:
                raise self.problem(node_line(key), f"{what} gives {key.value} twice", "keep one")
            found[str(key.value)] = value
        return found

    def text(self, node: Node | None, what: str) -> str:
        # the digits stand as they were written: 0.80 is not 0.8
        if node is None or node.tag.endswith(":null"):
            return ""
        if not isinstance(node, ScalarNode):
            raise self.problem(node_line(node), f"{what} is not one line of text", "write it so")
        return " ".join(str(node.value).split())

    def check(self, node: Node) -> Check:  # noqa: C901  one check after another of an entry
        line = node_line(node)
        fields = self.pairs(node, "an entry")
        name = self.text(fields.get("id"), "id") or "?"

        def wrong(key: str, what: str, fix: str) -> ReferenceProblem:
            at = node_line(fields[key]) if key in fields else line
            return self.problem(at, f"check '{name[:40]}' {what}", fix)

        for key in fields:
            if key not in _KEYS:
                raise wrong(key, f"has an unknown '{key[:40]}'", f"use {', '.join(_KEYS)}")
        for key in _NEEDED:
            if key not in fields:
                raise wrong(key, f"has no {key}", f"add '{key}:'")
        inputs = {k: self.text(v, k) for k, v in self.pairs(fields["inputs"], "inputs").items()}
        said = {k: self.text(fields.get(k), k) for k in _KEYS if k not in {"inputs", "erratum"}}
        for key, choices in (("standing", STANDINGS), ("seen", SEEN)):
            if said[key] not in choices:
                raise wrong(key, f"has {key} '{said[key][:40]}'", f"choose {', '.join(choices)}")
        if said["source"] and said["source"] not in self.keys:
            raise wrong("source", f"names '{said['source'][:40]}', which is not in {sources.FILE}", "add it there, or correct the key")
        if not said["source"] and not said["place"]:
            raise wrong("source", "says nowhere what its figure rests on", "add 'source:' and 'place:'")
        if not said["source"] and said["standing"] == "published":
            raise wrong("standing", "is published but names no source", "add 'source:', or call it derived or common practice")
        if said["seen"] == "by hand" and (said["source"] or said["standing"] != "derived"):
            raise wrong("seen", "is worked by hand, so it is derived and has no source", "mend 'seen:', 'standing:' or 'source:'")
        if said["seen"] == "package" and said["standing"] == "published":
            raise wrong("seen", "is published, but only a package's copy was seen", "call it library")
        if said["within"] and not said["why"]:
            raise wrong("within", "is met more loosely than printed without a reason", "add 'why:'")
        if said["within"] and not _WITHIN.fullmatch(said["within"]):
            raise wrong("within", f"has within '{said['within'][:40]}'", "write a share such as 1%, or a width in its unit")
        erratum = None
        if "erratum" in fields:
            parts = self.pairs(fields["erratum"], "erratum")
            erratum = Erratum(self.text(parts.get("printed"), "printed"), self.text(parts.get("why"), "why"))
            if set(parts) != {"printed", "why"} or not _FIGURE.fullmatch(erratum.printed) or not erratum.why:
                raise wrong("erratum", "has an erratum that is not complete", "give 'printed' (a figure) and 'why'")
        check = Check(inputs=inputs, erratum=erratum, file=self.name, line=line, **said)
        self.against_calculation(check, wrong)
        return check

    @staticmethod
    def against_calculation(check: Check, wrong: Callable[[str, str, str], ReferenceProblem]) -> None:
        try:
            calculation = find(check.calculation)
        except CalculationError as e:
            raise wrong("calculation", f"is of no calculation there is: {e.what}", e.fix) from None
        try:
            calculation.read(check.inputs)
        except CalculationError as e:
            raise wrong("inputs", f"cannot be put in: {e.what}", e.fix) from None
        if isinstance(calculation, Formula):
            if check.result:
                raise wrong("result", f"asks {calculation.id} for a '{check.result[:40]}'", "leave 'result:' out")
            if not _FIGURE.fullmatch(check.expected):
                raise wrong("expected", f"expects '{check.expected[:40]}'", "give the printed figure")
            try:
                _unit(check, calculation.result.kind)
            except CalculationError as e:
                raise wrong("unit", f"has a unit that does not fit: {e.what}", e.fix) from None


def group(check: Check) -> str:
    """What a check rests on: a key of ``GROUPS``. One without a source has nothing to remember."""
    if check.standing in {"library", "common practice"}:
        return check.standing
    if check.source and check.seen == "from memory":
        return "from memory"
    return check.standing


def figure(check: Check) -> tuple[str, ...]:
    """What tells a figure from another: two checks with the same one rest on a single printed figure.

    The place is left out, since one figure of a source is named by its place in more than one
    way; a second opinion is one of a library on one calculation, at however many points.
    """
    if check.standing == "library":
        return (check.source, check.calculation)
    unit = UNITS[check.unit].pint if check.unit in UNITS else check.unit
    digits = str(_figure(check.expected).normalize()) if _FIGURE.fullmatch(check.expected) else check.expected
    return (check.source or check.place, digits, unit)


def tally(checks: Iterable[Check], opinions: Iterable[tuple[str, str]]) -> dict[str, int]:
    """How many different figures each of ``GROUPS`` holds. ``opinions`` are (library, calculation)."""
    found: dict[str, set[tuple[str, ...]]] = {name: set() for name in GROUPS}
    for check in checks:
        found[group(check)].add(figure(check))
    found["library"].update(opinions)
    return {name: len(some) for name, some in found.items()}


def _unit(check: Check, kind: str) -> str:
    return "1" if check.unit == "1" else find_unit(check.unit, kind)


def half_a_digit(printed: str) -> float:
    """Half a unit of the last printed digit of ``"0.63"`` or ``"1,046"``."""
    return 0.5 * 10.0 ** int(_figure(printed).as_tuple().exponent)


def _figure(printed: str) -> Decimal:
    return Decimal(printed.replace(",", ""))


def margin(check: Check) -> float:
    """How far, in the check's unit, a result may lie from ``expected``."""
    if not check.within:
        return half_a_digit(check.expected)
    number = float(check.within.rstrip("%"))
    return abs(float(_figure(check.expected))) * number / 100 if check.within.endswith("%") else number


def value_of(check: Check, tables: Mapping[str, Table]) -> float | str:
    """What the calculation gives, in the check's unit. Raises CalculationError."""
    calculation = find(check.calculation)
    return value_given(check, calculation, calculation.read(check.inputs), tables)


def value_given(check: Check, calculation: Calculation, given: Mapping[str, Quantity | str], tables: Mapping[str, Table]) -> float | str:
    """As :func:`value_of`, with the inputs already read."""
    if isinstance(calculation, Formula):
        kind = calculation.result.kind
        si = calculation.value({n: q for n, q in given.items() if isinstance(q, Quantity)})
    else:
        # worked in the units the source has, so that nothing is rounded on the way
        outcome = calculation.run(calculation.complete(given), _system(given, check.unit), tables)
        name = check.result or outcome.main
        if name not in outcome.values:
            raise CalculationError(f"{calculation.id} has no result '{name[:40]}'", f"it has {', '.join(outcome.values)}")
        value = outcome.values[name]
        if isinstance(value.si, str):
            return value.si
        si, kind = float(value.si), value.kind
    return from_si(si, _unit(check, kind), kind)


def _system(given: Mapping[str, Quantity | str], unit: str) -> System:
    """That of the inputs; where both systems write them alike, as volts, that of the check's unit."""
    units = [value.unit for value in given.values() if isinstance(value, Quantity)]
    for name in (*units, unit):
        system = UNITS[name].system if name in UNITS else None
        if system is not None:
            return system
    return "us"


def agrees(check: Check, value: float | str) -> bool:
    """Whether a value meets the check and, where the source has a misprint, is not that."""
    if isinstance(value, str):
        return value == check.expected
    expected = float(_figure(check.expected))
    # the hair is for binary fractions, where a value stands right on the edge
    if not abs(value - expected) <= margin(check) + 1e-12 * abs(expected):
        return False
    return check.erratum is None or not gives_misprint(check, value)


def gives_misprint(check: Check, value: float) -> bool:
    """Whether a value is the one the source misprints."""
    if check.erratum is None:
        return False
    return abs(value - float(_figure(check.erratum.printed))) <= half_a_digit(check.erratum.printed)


def run(check: Check, tables: Mapping[str, Table]) -> CheckResult:
    """Carry a check out. Raises CalculationError where its inputs are refused."""
    value = value_of(check, tables)
    ok = agrees(check, value)
    if isinstance(value, str):
        return CheckResult(check, value, check.expected, value, mark("nothing") if ok else mark("in words"), ok)
    label = UNITS[check.unit].printed if check.unit in UNITS else check.unit
    system = UNITS[check.unit].system if check.unit in UNITS else None
    unit = label if check.unit in _TIGHT or not label else f" {label}"
    expected = float(_figure(check.expected))
    # two digits more than the source prints, so that a reader sees how near it is
    places = 2 - int(_figure(check.expected).as_tuple().exponent)
    gets = written(trimmed(to_places(steady(value), max(places, 0))), system)
    off = abs(value - expected) / abs(expected) if expected else abs(value)
    if off < 5e-10:
        differs = mark("nothing")
    elif not expected:
        differs = pointed(f"{off:.2g}") + unit
    else:
        differs = pointed(f"{off:.2%}") if off >= 5e-5 else mark("less than 0.01%")
    return CheckResult(check, value, f"{written(_figure(check.expected), system)}{unit}", f"{gets}{unit}", differs, ok)


__all__ = [
    "GROUPS", "Check", "CheckResult", "Erratum", "agrees", "figure", "gives_misprint", "group", "half_a_digit", "load", "margin",
    "run", "tally", "value_given", "value_of",
]  # fmt: skip
