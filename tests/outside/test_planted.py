"""The outside checks find slips planted in the formulas."""

from __future__ import annotations

from functools import partial
from itertools import groupby

import pytest
from pytest import mark

from generator.calc.formula import Formula
from tests.outside import planted_steps
from tests.outside.planted import Planted, exceptions, found_by, in_place, planted

VERSIONS = {f: tuple(v) for f, v in groupby(planted(), key=lambda p: p.formula.id)}


@mark.parametrize("id_", VERSIONS)
def test_the_right_formula_planted_is_not_turned_away(id_: str) -> None:
    # else a version could be found by a fault of the planting
    formula = VERSIONS[id_][0].formula
    assert found_by(Planted(formula, "nothing changed", formula.tree)) is None


@mark.parametrize("id_", VERSIONS)
def test_every_slip_is_found_by_an_outside_check(id_: str) -> None:
    missed = [p.id for p in VERSIONS[id_] if p.id not in exceptions() and found_by(p) is None]
    assert missed == []


def test_every_exception_is_a_version_no_check_finds() -> None:
    find = {p.id: partial(found_by, p) for p in planted()}
    find |= {s.id: partial(planted_steps.found_by, s) for s in planted_steps.planted()}
    find |= {m.id: partial(planted_steps.misreading_found_by, m) for m in planted_steps.misread()}
    assert set(exceptions()) <= set(find)
    for id_, reason in exceptions().items():
        assert find[id_]() is None, f"{id_} is found; take it off the list"
        assert len(reason.split()) > 3


def test_planting_leaves_the_formula_as_it_was() -> None:
    version = next(p for p in planted() if p.formula.id == "grade.drop")
    before = version.formula(grade=0.25, distance=80.0)
    with pytest.raises(RuntimeError), in_place(version):
        assert version.formula(grade=0.25, distance=80.0) != before
        raise RuntimeError
    assert version.formula(grade=0.25, distance=80.0) == before == 20.0


@mark.parametrize(
    ("id_", "slip"),
    [
        ("soil.loose", "factor (1 +swell) taken twice"),
        ("soil.bank", "loose_volume/((1 +swell)) upside down"),
        ("soil.loose_density", "minus swell"),
        ("grade.angle", "asin for atan(grade)"),
        ("grade.drop", "grade as a percentage"),
        ("grade.drop", "grade percent for degrees"),
        ("soil.cone_volume", "tan(repose) of degrees taken for radians"),
        ("dozing.blade_capacity", "blade_width and blade_height mixed up"),
        ("dozing.blade_capacity", "factor 0.8 left out"),
        ("dozing.grade_pull_true", "tan for sin(atan(grade))"),
        ("loading.passes", "round_nearest for round_up(target/(bucket_load))"),
        ("loading.passes", "round_down for round_up(target/(bucket_load))"),
        ("loading.truck_target", "greatest for least(payload, body_volume*heap*loose_density)"),
    ],
)
def test_the_usual_slips_are_among_the_planted(id_: str, slip: str) -> None:
    assert slip in {p.slip for p in VERSIONS[id_]}


def test_every_formula_with_something_to_get_wrong_has_planted_versions() -> None:
    from generator.calc.catalogue import calculations

    formulas = {c.id for c in calculations().values() if isinstance(c, Formula)}
    assert set(VERSIONS) == formulas
    assert sum(map(len, VERSIONS.values())) > 2000
