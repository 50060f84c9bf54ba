"""Outside checks: what a source prints beside what a calculation gives.

``content/checks/TOPIC.yml`` is a list of checks. ``expected`` is the source's printed digits;
without ``within`` a result must agree to half a unit of the last one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml

from generator.calc.catalogue import find
from generator.calc.errors import CalculationError
from generator.calc.expression import Node
from generator.calc.formula import Formula
from generator.calc.quantity import Quantity, steady, trimmed, written
from generator.calc.tables import Table
from generator.calc.units import UNITS, find_unit, from_si
from generator.reference.errors import ReferenceProblem

FOLDER = "checks"
STANDINGS = ("published", "common practice", "derived", "library")
SEEN = ("read", "package", "from memory")
_KEYS = {
    "id", "calculation", "inputs", "result", "expected", "unit", "within", "why", "source", "place",
    "seen", "standing", "erratum",
}  # fmt: skip
_NEEDED = ("id", "calculation", "inputs", "expected", "unit", "seen", "standing")

# libyaml's loader is ten times as fast where it is there
_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Erratum:
    """What the source prints wrongly, and why that is wrong."""

    printed: str
    why: str


@dataclass(frozen=True)
class Check:
    """One outside check. ``source`` is a key of ``sources.yml``, empty for common practice."""

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

    @property
    def within_text(self) -> str:
        """The agreement asked for, in words."""
        return self.within or "half a unit of the last printed digit"


@dataclass(frozen=True)
class CheckResult:
    """A check carried out. ``value`` is in the check's unit; the texts are ready to print."""

    check: Check
    value: float | str
    says: str
    gets: str
    differs: str
    ok: bool


def _key_of(path: Path) -> tuple[tuple[str, int], ...]:
    return tuple((p.name, p.stat().st_mtime_ns) for p in sorted((path / FOLDER).glob("*.yml")))


def load(content: Path) -> tuple[Check, ...]:
    """All checks, topic by topic. Raises ReferenceProblem."""
    return _load(content, _key_of(content))


@lru_cache(maxsize=4)
def _load(content: Path, _: Any) -> tuple[Check, ...]:
    checks: list[Check] = []
    seen: set[str] = set()
    for path in sorted((content / FOLDER).glob("*.yml")):
        short = f"{FOLDER}/{path.name}"
        try:
            raw = yaml.load(path.read_text("utf-8"), Loader=_Loader) or []  # noqa: S506
        except yaml.MarkedYAMLError as e:
            line = e.problem_mark.line + 1 if e.problem_mark else None
            raise ReferenceProblem(short, line, f"is not readable as YAML ({e.problem})", "mend that line") from None
        for row in raw:
            check = _read(row, short)
            if check.id in seen:
                raise ReferenceProblem(short, None, f"check '{check.id}' stands twice", "rename one")
            seen.add(check.id)
            checks.append(check)
    return tuple(checks)


def _read(row: Any, file: str) -> Check:
    if not isinstance(row, dict):
        raise ReferenceProblem(file, None, "an entry is no check", "start it with '- id: …'")
    name = str(row.get("id", "?"))

    def wrong(what: str, fix: str) -> ReferenceProblem:
        return ReferenceProblem(file, None, f"check {name}: {what}", fix)

    for key in row:
        if key not in _KEYS:
            raise wrong(f"has an unknown '{key}'", f"use {', '.join(sorted(_KEYS))}")
    for key in _NEEDED:
        if row.get(key) in (None, ""):
            raise wrong(f"lacks '{key}'", f"add '{key}:'")
    if not isinstance(row["expected"], str):
        raise wrong("expected is not in quotes", "quote the source's digits, so that their number is kept")
    if row["standing"] not in STANDINGS or row["seen"] not in SEEN:
        raise wrong("standing or seen is none there is", f"use {', '.join(STANDINGS)} and {', '.join(SEEN)}")
    if row["standing"] != "common practice" and not row.get("source") and not row.get("place"):
        raise wrong("names no source", "add 'source:' and 'place:'")
    if row.get("within") and not row.get("why"):
        raise wrong("is wider than the printed digits without a reason", "add 'why:'")
    erratum = row.get("erratum")
    return Check(
        id=name, calculation=str(row["calculation"]),
        inputs={str(k): str(v) for k, v in dict(row["inputs"]).items()},
        result=str(row.get("result") or ""), expected=row["expected"], unit=str(row["unit"]),
        within=str(row.get("within") or ""), why=str(row.get("why") or ""),
        source=str(row.get("source") or ""), place=str(row.get("place") or ""), seen=str(row["seen"]),
        standing=str(row["standing"]),
        erratum=Erratum(str(erratum["printed"]), str(erratum["why"])) if erratum else None, file=file,
    )  # fmt: skip


def half_a_digit(printed: str) -> float:
    """Half a unit of the last printed digit of ``"0.63"`` or ``"1046"``."""
    exponent = Decimal(printed.replace(",", "")).as_tuple().exponent
    return 0.5 * 10.0 ** int(exponent)


def margin(check: Check) -> float:
    """How far, in the check's unit, a result may lie from ``expected``."""
    expected = float(check.expected.replace(",", ""))
    if not check.within:
        return half_a_digit(check.expected)
    if check.within.rstrip().endswith("%"):
        return abs(expected) * float(check.within.rstrip().rstrip("%")) / 100
    return float(check.within)


def value_of(check: Check, tables: Mapping[str, Table], tree: Node | None = None) -> float | str:
    """What the calculation gives, in the check's unit; ``tree`` puts another formula in its place.

    Raises CalculationError, and ArithmeticError or ValueError from a planted tree.
    """
    calculation = find(check.calculation)
    given = calculation.read(check.inputs)
    if isinstance(calculation, Formula):
        quantities = {n: q for n, q in given.items() if isinstance(q, Quantity)}
        kind = calculation.result.kind
        if tree is None:
            si = calculation.value(quantities)
        else:
            from generator.calc.expression import evaluate

            names = {n: q.si for n, q in calculation.quantities(quantities).items()}
            names.update({c.name: c.si for c in calculation.constants})
            si = float(evaluate(tree, names))
    else:
        outcome = calculation.work(given, _system(given), tables)
        value = outcome.values[check.result or outcome.main]
        if isinstance(value.si, str):
            return value.si
        si, kind = float(value.si), value.kind
    return from_si(si, find_unit("" if check.unit == "1" else check.unit, kind) if check.unit != "1" else "1", kind)


def _system(given: Mapping[str, Any]) -> Any:
    for value in given.values():
        if isinstance(value, Quantity) and UNITS[value.unit].system is not None:
            return UNITS[value.unit].system
    return "us"


def agrees(check: Check, value: float | str) -> bool:
    """Whether a value meets the check (and not the misprint, where there is one)."""
    if isinstance(value, str):
        return value == check.expected
    expected = float(check.expected.replace(",", ""))
    if not abs(value - expected) <= margin(check) + 1e-9 * abs(expected):
        return False
    if check.erratum is not None:
        try:
            misprint = float(check.erratum.printed.replace(",", ""))
        except ValueError:
            return True
        return abs(value - misprint) > abs(value - expected)
    return True


def run(check: Check, tables: Mapping[str, Table]) -> CheckResult:
    """Carry a check out. Raises CalculationError where its inputs are refused."""
    value = value_of(check, tables)
    label = UNITS[check.unit].label if check.unit in UNITS else check.unit
    unit = f" {label}" if label and label not in {"%", "°", ":1"} else label
    if isinstance(value, str):
        return CheckResult(check, value, check.expected, value, "", agrees(check, value))
    gets = written(trimmed(steady(round(value, _shown_places(check)))))
    expected = float(check.expected.replace(",", ""))
    off = 0.0 if value == expected else abs(value - expected) / abs(expected) if expected else abs(value)
    differs = "nothing" if off < 5e-10 else f"{off:.2%}" if off >= 5e-5 else "less than 0.01%"
    return CheckResult(check, value, f"{_printed(check.expected)}{unit}", f"{gets}{unit}", differs, agrees(check, value))


def _printed(expected: str) -> str:
    try:
        return written(Decimal(expected.replace(",", "")))
    except InvalidOperation:
        return expected


def _shown_places(check: Check) -> int:
    """Two decimals more than the source prints, so that a reader sees how near it is."""
    exponent = int(Decimal(check.expected.replace(",", "")).as_tuple().exponent)
    return max(-exponent, 0) + 2


__all__ = ["Check", "CheckResult", "CalculationError", "Erratum", "agrees", "half_a_digit", "load", "margin", "run", "value_of"]
