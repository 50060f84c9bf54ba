"""Every calculation against something outside the project."""

from __future__ import annotations

import yaml
from pytest import mark

from generator.calc.catalogue import calculations
from generator.reference import checks as written_checks
from generator.reference import sources
from generator.reference.checks import Check
from tests.outside.collected import CONTENT, ROOT, all_checks, as_check, library_checks, tables

WRITTEN = written_checks.load(CONTENT)
LIBRARIES = [as_check(name, check) for name, check in library_checks()]
WITH_MISPRINT = [c for c in WRITTEN if c.erratum is not None]
UNCHECKED = ROOT / "tests" / "outside" / "unchecked.yml"


def unchecked() -> dict[str, str]:
    """Calculations without any check, each with the reason."""
    return dict(yaml.safe_load(UNCHECKED.read_text("utf-8")) or {})


def says(check: Check, got: written_checks.CheckResult) -> str:
    return f"{check.calculation}: {check.source or check.place} says {got.says}, we get {got.gets}"


@mark.parametrize("check", WRITTEN, ids=[c.id for c in WRITTEN])
def test_written_check(check: Check) -> None:
    got = written_checks.run(check, tables())
    assert got.ok, says(check, got)


@mark.parametrize("check", LIBRARIES, ids=[c.id for c in LIBRARIES])
def test_second_opinion_of_a_library(check: Check) -> None:
    got = written_checks.run(check, tables())
    assert got.ok, says(check, got)


@mark.parametrize("check", WITH_MISPRINT, ids=[c.id for c in WITH_MISPRINT])
def test_a_misprint_is_not_repeated(check: Check) -> None:
    value = written_checks.value_of(check, tables())
    assert isinstance(value, float)
    assert not written_checks.gives_misprint(check, value)


def test_every_misprint_lies_outside_what_its_check_takes() -> None:
    # or the check could be met by the misprint
    for check in WITH_MISPRINT:
        assert check.erratum is not None
        assert not written_checks.agrees(check, float(check.erratum.printed.replace(",", ""))), check.id


def test_every_calculation_has_a_check_or_a_reason() -> None:
    checked = {c.calculation for c in all_checks()}
    reasons = unchecked()
    assert set(calculations()) - checked == set(reasons)
    assert all(len(reason.split()) > 3 for reason in reasons.values())


def test_every_source_is_in_the_list_of_sources() -> None:
    known = set(sources.load(CONTENT))
    assert {c.source for c in WRITTEN if c.source} <= known
    for calculation in calculations().values():
        for source in (calculation.source, *calculation.also):
            assert source.key is None or source.key in known, calculation.id


def test_no_two_checks_share_a_name() -> None:
    names = [c.id for c in all_checks()]
    assert len(names) == len(set(names))


def test_a_check_that_rests_on_memory_never_stands_as_one_that_was_read() -> None:
    for check in WRITTEN:
        if check.source and "from memory" in sources.load(CONTENT)[check.source].note.lower()[:20]:
            assert check.seen == "from memory", f"{check.id}: {check.source} was not read"


@mark.parametrize("check", [c for c in WRITTEN if not c.within][:40], ids=lambda c: c.id)
def test_a_check_refuses_a_whole_digit_off(check: Check) -> None:
    # the agreement asked for is half a unit of the last printed digit, no more
    try:
        expected = float(check.expected.replace(",", ""))
    except ValueError:
        assert not written_checks.agrees(check, check.expected + " and more")
        return
    unit = 2 * written_checks.half_a_digit(check.expected)
    assert not written_checks.agrees(check, expected + unit)
    assert not written_checks.agrees(check, expected - unit)
