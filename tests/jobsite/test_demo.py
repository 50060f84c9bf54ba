"""The demo site reads cleanly, and gives what its tables say."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from pathlib import Path

import pytest

from generator.calc.catalogue import calculations
from generator.calc.procedure import Choice
from generator.jobsite.columns import (
    JOB,
    LIMITS,
    MACHINE_KINDS,
    RETIRED,
    TABLES,
    WORD_KINDS,
    Column,
)
from generator.jobsite.model import JobSite, NotInTables
from generator.jobsite.reader import read
from generator.units.quantity import Quantity
from generator.units.table import KINDS
from tests.conftest import DEMO
from tests.jobsite.lessons import LESSONS


@pytest.fixture(scope="module")
def site() -> JobSite:
    return read(DEMO, LESSONS)


def test_there_is_enough_of_everything(site: JobSite) -> None:
    assert len(site.of_kind("dozer")) >= 3
    assert len(site.of_kind("excavator")) >= 3
    assert len(site.of_kind("compact excavator")) >= 2
    assert len(site.trucks) >= 3
    assert len(site.materials) >= 5
    assert len(site.crew) >= 12


def test_it_says_that_it_is_invented(site: JobSite) -> None:
    assert site.settings.invented
    assert "invented" in site.settings.note
    assert "invented" in (DEMO / "settings.yml").read_text("utf-8").partition("\n\n")[0]


def test_every_lesson_is_taught_to_someone(site: JobSite) -> None:
    taught = {lesson for role in site.settings.roles.values() for lesson in role.lessons}
    assert taught == LESSONS
    assert {person.role for person in site.crew} == set(site.settings.roles)


def test_every_figure_of_the_job_is_given(site: JobSite) -> None:
    # these settle what an example takes from a published table otherwise
    left_out = {"open_carry", "material_state", "sight", *RETIRED}
    # trucks run here: a windrow is as high as the largest axle, whatever is set
    assert site.trucks
    left_out.add("windrow_height")
    assert set(site.settings.job) == {c.name for c in JOB} - left_out
    assert set(site.settings.limits) == {c.name for c in LIMITS}


def test_figures_are_as_written(site: JobSite) -> None:
    dozer = site.lead("dozer")
    assert dozer.get("mass") == Quantity(Decimal(45000), "lb", "mass")
    assert dozer.line == 2
    assert site.lead("material").values["soil_type"] == "B"
    assert site.job("spoil_ratio") == Quantity(Decimal(3), ":1", "ratio")
    assert site.job("trench_soil_type") == "C"
    assert site.settings.passing_mark.si == pytest.approx(0.8)
    assert site.settings.limits["decided_by"] == "R. Calloway, site superintendent"
    assert site.crew[0].start == datetime.date(2024, 5, 6)
    assert site.crew[0].machines == ("D-1", "D-3")
    text = (DEMO / "settings.yml").read_text("utf-8").split("\n")
    assert text[site.settings.lines["job.slot_length"] - 1].strip() == "slot_length: 150 ft"


def test_what_is_not_there_is_said(site: JobSite) -> None:
    with pytest.raises(NotInTables, match="D-1 Middle dozer has no stick_length; fill in"):
        site.lead("dozer").get("stick_length")
    with pytest.raises(NotInTables, match="common earth has no soil_type"):
        site.lead("material").get("soil_type")
    with pytest.raises(NotInTables, match="no grader"):
        site.lead("grader")
    with pytest.raises(NotInTables, match="no job: moon_phase"):
        site.job("moon_phase")


def test_nothing_of_it_can_be_changed(site: JobSite) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        site.crew[0].role = "x"  # type: ignore[misc]
    for mapping in (
        site.machines[0].values,
        site.settings.job,
        site.settings.lead,
        site.settings.limits,
    ):
        with pytest.raises(TypeError):
            mapping["mass"] = "1"  # type: ignore[index]


def every_column() -> list[Column]:
    return [*(c for t in TABLES for c in t.columns), *JOB, *LIMITS]


@pytest.mark.parametrize("column", every_column(), ids=lambda c: c.name)
def test_columns_are_sound(column: Column) -> None:
    """Each states its meaning, and its examples are inside its own range."""
    assert column.meaning and "\n" not in column.meaning
    assert column.kind in KINDS or column.kind in WORD_KINDS
    if column.is_quantity:
        low, high = column.bounds
        assert low < high
        for example in (column.us, column.metric):
            assert low <= Quantity.read(example, column.kind).si <= high
    elif column.kind == "choice":
        assert column.us in column.options


# the smallest compact machines are narrower than what these calculations are meant for
COMPACT_ONLY = {"blade_width", "blade_height", "track_gauge"}
# an input called like a column of another thing, and the column that lessons put into it
PUT_IN = {("hauling.body_lean", "cross_slope"): "tip_cross_slope"}


def test_what_a_table_takes_every_calculation_takes() -> None:
    """The range of a column lies in the range of each calculation input of the same name."""
    by_name: dict[str, list[Column]] = {}
    for column in every_column():
        by_name.setdefault(column.name, []).append(column)
    assert set(PUT_IN.values()) <= by_name.keys()
    for id_, calculation in calculations().items():
        for wanted in calculation.inputs:
            for column in by_name.get(PUT_IN.get((id_, wanted.name), wanted.name), []):
                if isinstance(wanted, Choice):
                    assert set(column.options) <= set(wanted.options), f"{id_}: {column.name}"
                elif column.name not in COMPACT_ONLY and column.kind == wanted.kind:
                    (low, high), (lowest, highest) = column.bounds, wanted.bounds
                    slack = 1e-6 * max(abs(lowest), abs(highest))
                    assert lowest - slack <= low, f"{id_}: {column.name}"
                    assert high <= highest + slack, f"{id_}: {column.name}"


def test_settings_are_asked_for_by_lessons_there_are() -> None:
    assert {lesson for c in (*JOB, *LIMITS) for lesson in c.needed_for} - {"*"} <= LESSONS
    assert {k for t in TABLES if t.row_kind is None for c in t.columns for k in c.fits} == set(MACHINE_KINDS)


def test_demo_names_no_figure_twice(site: JobSite) -> None:
    """A lead that fits: six or so buckets to a truck, a slot no deeper than the blade."""
    truck, material, digger = site.lead("truck"), site.lead("material"), site.lead("excavator")
    loose = material.get("bank_density").si / (1 + material.get("swell").si)
    load = digger.get("bucket_capacity").si * material.get("fill").si * loose
    assert 4 <= truck.get("payload").si / load <= 7
    depth = site.job("slot_depth")
    assert isinstance(depth, Quantity)
    assert 0.74 <= depth.si / site.lead("dozer").get("blade_height").si <= 1


def test_reading_is_the_same_every_time(site: JobSite) -> None:
    assert read(Path(DEMO), LESSONS) == site
