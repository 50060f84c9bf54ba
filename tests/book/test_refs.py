"""A reference that cannot be followed is told before anything is worked, with the nearest there is."""

from __future__ import annotations

import pytest

from generator.book.refs import wrong_reference
from generator.reference.tables import load
from tests.conftest import ROOT

TABLES = load(ROOT / "content")


@pytest.mark.parametrize(
    "ref",
    ["bench", "bench.height", "machine.stick_length", "material.soil_type", "job.trench_depth", "limits.site_speed",
     "largest.truck.axle_height",
     "table.dozer-job-factors.direct drive.track-type"],
)  # fmt: skip
def test_what_can_be_followed(ref: str) -> None:
    assert wrong_reference(ref, ["bench"], TABLES) is None


@pytest.mark.parametrize(
    ("ref", "what", "fix"),
    [
        ("bensh", "no number is called 'bensh'", "did you mean bench?"),
        ("machine.stick_lenght", "machines.csv has no column 'stick_lenght' ('machine.stick_lenght')", "did you mean stick_length?"),
        ("machine.name", "machines.csv has no column 'name' ('machine.name')", "its columns are "),
        ("limits.site_sped", "settings.yml has no limits: site_sped", "did you mean site_speed?"),
        ("machines.stick_length", "cannot read the reference 'machines.stick_length'", "did you mean machine?"),
        ("largest.truck.axle_heigth", "'largest.truck.axle_heigth' is no largest figure of the trucks", "did you mean axle_height?"),
        ("largest.machine.mass", "'largest.machine.mass' is no largest figure of the trucks", "write largest.truck.COLUMN"),
        ("table.dozer-job-factors", "'table.dozer-job-factors' is no place in a table", "write table.ID.ROW.COLUMN"),
        ("table.dozer-factors.direct drive.track-type", "no published table is called 'dozer-factors'", "did you mean "),
        ("table.dozer-job-factors.direct.track-type", "table dozer-job-factors has no row 'direct'", "did you mean direct drive?"),
        ("table.dozer-job-factors.direct drive.track", "table dozer-job-factors prints no 'track' for direct drive", "did you mean track-type?"),
        # the table has the column, and prints nothing in this row
        ("table.dozer-job-factors.direct drive.wheel-type", "table dozer-job-factors prints no 'wheel-type' for direct drive", "it prints track-type"),
    ],
)  # fmt: skip
def test_what_cannot(ref: str, what: str, fix: str) -> None:
    found = wrong_reference(ref, ["bench"], TABLES)
    assert found is not None
    assert found[0] == what and found[1].startswith(fix), found
