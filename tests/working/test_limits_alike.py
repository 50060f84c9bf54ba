"""Equal figures are told alike in the other unit system wherever one of them is a limit.

10 ft are 3.048 m and 4 ft are 1.2192 m by the definition of the foot (0.3048 m, exactly).
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from generator.book.content import content_folder
from generator.jobsite.model import JobSite, Machine
from generator.jobsite.reader import read
from generator.reference.tables import load
from generator.units.quantity import Limit, Quantity
from generator.working.numbers import Context, Numbers
from tests.conftest import DEMO

TABLES = load(content_folder())


@pytest.fixture(scope="module")
def site() -> JobSite:
    return read(DEMO)


def with_limits(site: JobSite, **texts: tuple[str, str, Limit]) -> JobSite:
    limits = {n: replace(Quantity.read(t, kind), limit=way) for n, (t, kind, way) in texts.items()}
    return replace(site, settings=replace(site.settings, limits=MappingProxyType(limits)))


def told(site: JobSite, ref: str, machine: Machine | None = None) -> str:
    value = Numbers({}, site, TABLES, Context()).look_up(ref, Context(machine)).value
    assert isinstance(value, Quantity)
    return str(value.in_system("metric"))


def digger(site: JobSite, stick: str) -> Machine:
    machine = next(m for m in site.machines if m.kind == "excavator")
    return replace(machine, values={**machine.values, "stick_length": Quantity.read(stick, "length")})


def test_a_stick_as_long_as_the_highest_bench_is_told_as_the_bench_is(site: JobSite) -> None:
    here = with_limits(site, bench_height=("10 ft", "length", "most"))
    assert told(here, "limits.bench_height") == "3.04 m"
    assert told(here, "machine.stick_length", digger(site, "10 ft")) == "3.04 m"
    assert told(here, "machine.stick_length", digger(site, "120 in")) == "304 cm"  # the same length, in its own unit
    assert told(here, "machine.stick_length", digger(site, "10.5 ft")) == "3.2 m"
    assert told(with_limits(site), "machine.stick_length", digger(site, "10 ft")) == "3.05 m"


def test_a_figure_of_two_limits_goes_by_the_one_it_is_held_to(site: JobSite) -> None:
    here = with_limits(site, bench_height=("11 ft", "length", "most"), edge_distance=("11 ft", "length", "least"))
    assert (told(here, "limits.bench_height"), told(here, "limits.edge_distance")) == ("3.35 m", "3.36 m")  # 3.3528
    assert told(here, "machine.stick_length", digger(site, "11 ft")) == "3.35 m"
    job = {**site.settings.job, "edge_distance": Quantity.read("11 ft", "length"), "slot_depth": Quantity.read("11 ft", "length")}
    here = replace(here, settings=replace(here.settings, job=MappingProxyType(job)))
    assert told(here, "job.edge_distance") == "3.36 m"
    assert told(here, "job.slot_depth") == "3.35 m"  # held to neither: to the nearest


def test_what_a_rule_prints_in_both_units_is_told_as_it_prints_it(site: JobSite) -> None:
    """29 CFR 1926.651(c)(2) and 652: 4 feet (1.22 m), 20 feet (6.1 m), 25 feet (7.62 m), 5 feet (1.52 m)."""
    rules = "table.excavation-rules"
    for row, feet, metres in (
        ("way out needed from this depth", "4 ft", "1.22 m"), ("engineer designs past this depth", "20 ft", "6.1 m"),
        ("farthest from a way out", "25 ft", "7.62 m"), ("protection needed from this depth", "5 ft", "1.52 m"),
    ):  # fmt: skip
        value = Numbers({}, site, TABLES, Context()).look_up(f"{rules}.{row}.feet", Context()).value
        assert isinstance(value, Quantity)
        assert (str(value), str(value.in_system("metric"))) == (feet, metres)
    metric = Numbers({}, site, TABLES, Context()).look_up(f"{rules}.way out needed from this depth.metres", Context()).value
    assert isinstance(metric, Quantity) and str(metric.in_system("us")) == "4 ft"


def test_the_sites_limit_of_a_ruled_depth_is_told_as_the_rule_and_what_equals_it_too(site: JobSite) -> None:
    here = with_limits(site, trench_entry_depth=("4 ft", "length", "most"))
    assert told(here, "limits.trench_entry_depth") == "1.22 m"
    assert told(here, "table.excavation-rules.way out needed from this depth.feet") == "1.22 m"
    job = {**site.settings.job, "slide_depth": Quantity.read("4 ft", "length")}
    assert told(replace(here, settings=replace(here.settings, job=MappingProxyType(job))), "job.slide_depth") == "1.22 m"
    # another limit of the same figure is not a matter of that rule
    here = with_limits(site, edge_distance=("5 ft", "length", "least"))
    assert told(here, "limits.edge_distance") == "1.53 m"
    assert told(with_limits(site, trench_entry_depth=("3.5 ft", "length", "most")), "limits.trench_entry_depth") == "1.06 m"
