"""All outside checks in one form: those in ``content/checks`` and the libraries' second opinions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import import_module
from pathlib import Path

from generator.calc.catalogue import Calculation, find
from generator.calc.formula import Formula
from generator.calc.tables import Table
from generator.reference import checks as written_checks
from generator.reference.checks import Check
from generator.reference.tables import load as load_tables
from generator.units.quantity import Quantity
from tests.outside.kinds import LibraryCheck

ROOT = Path(__file__).resolve().parent.parent.parent
CONTENT = ROOT / "content"


@lru_cache(maxsize=1)
def tables() -> Mapping[str, Table]:
    """The shipped published tables."""
    return load_tables(CONTENT)


@lru_cache(maxsize=1)
def library_checks() -> tuple[tuple[str, LibraryCheck], ...]:
    """Every check of every ``library_TOPIC.py``, with a name that tells it from the others."""
    found = []
    for path in sorted(Path(__file__).parent.glob("library_*.py")):
        module = import_module(f"tests.outside.{path.stem}")
        for number, check in enumerate(module.checks(), 1):
            found.append((f"{path.stem}-{number}", check))
    return tuple(found)


def as_check(name: str, check: LibraryCheck) -> Check:
    """A library's opinion in the form of a written check."""
    # a share of nothing is no margin: where a library finds nothing, the result must be as small
    nothing = abs(check.expected) < 1e-9
    return Check(
        id=name, calculation=check.calculation, inputs=check.inputs, result=check.result or "",
        expected="0" if nothing else format(check.expected, ".15g"), unit=check.unit,
        within="0.000001" if nothing else f"{100 * check.within:.12f}%", why=check.what, source="", place=f"{check.library}: {check.what}",
        seen="package", standing="library", erratum=None, file=f"tests/outside/{name.rpartition('-')[0]}.py",
    )  # fmt: skip


@lru_cache(maxsize=1)
def all_checks() -> tuple[Check, ...]:
    """Written checks first, then the libraries'."""
    return (*written_checks.load(CONTENT), *(as_check(n, c) for n, c in library_checks()))


@dataclass(frozen=True)
class Prepared:
    """A check whose inputs are read once, so that many planted versions can be put to it."""

    check: Check
    calculation: Calculation
    given: Mapping[str, Quantity | str]

    def met(self) -> bool:
        """Whether the calculation, as it is at this moment, meets the check.

        An error is no agreement: the check's test would fail on it.
        """
        try:
            value = written_checks.value_given(self.check, self.calculation, self.given, tables())
        except (ValueError, ArithmeticError, KeyError, AssertionError):
            return False
        return written_checks.agrees(self.check, value)


@lru_cache(maxsize=1)
def prepared() -> Mapping[str, tuple[Prepared, ...]]:
    """Checks by the calculation they are of."""
    found: dict[str, list[Prepared]] = {}
    for check in all_checks():
        calculation = find(check.calculation)
        found.setdefault(check.calculation, []).append(Prepared(check, calculation, calculation.read(check.inputs)))
    return {id_: tuple(some) for id_, some in found.items()}


@lru_cache(maxsize=1)
def procedure_checks() -> Mapping[str, tuple[Prepared, ...]]:
    """Checks of procedures by topic: they also test the formulas procedures are made of."""
    found: dict[str, list[Prepared]] = {}
    for id_, some in prepared().items():
        if not isinstance(some[0].calculation, Formula):
            found.setdefault(id_.partition(".")[0], []).extend(some)
    return {topic: tuple(some) for topic, some in found.items()}
