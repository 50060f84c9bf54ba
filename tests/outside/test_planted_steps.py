"""The outside checks find slips planted in procedures, tables read askew, limits let go and labels swapped."""

from __future__ import annotations

import ast
import inspect
from itertools import groupby
from typing import Any

import pytest
from pytest import mark

from generator.calc.catalogue import calculations
from generator.calc.catalogue.loading_fleet import mean_values
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from tests.outside import planted_steps
from tests.outside.collected import tables
from tests.outside.planted import exceptions
from tests.outside.planted_steps import (
    TooLong,
    found_by,
    in_place,
    labels,
    mislabelled,
    misread,
    misreading_found_by,
    planted,
    procedures_with,
    refused,
    said,
    tells,
    widening_is_found,
    wider,
)

SLIPS = {f: tuple(s) for f, s in groupby(planted(), key=lambda s: s.where)}


@mark.parametrize("where", SLIPS)
def test_every_slip_in_a_procedure_is_found(where: str) -> None:
    assert [s.id for s in SLIPS[where] if s.id not in exceptions() and found_by(s) is None] == []


def _works(run: Any) -> str:
    """The name of the function that does a procedure's work: the one it hands all of it to, where it does nothing else."""
    body = ast.parse(inspect.getsource(run)).body[0].body  # type: ignore[attr-defined]
    last = body[0].value if len(body) == 1 and isinstance(body[0], ast.Return) else None
    return last.func.id if isinstance(last, ast.Call) and isinstance(last.func, ast.Name) else str(run.__name__)


def test_every_procedure_has_slips_planted_in_it() -> None:
    runs = {_works(c.run) for c in calculations().values() if isinstance(c, Procedure)}
    assert runs <= {s.where.partition(".")[2] for s in planted()}
    assert len(planted()) > 300


def test_planting_leaves_the_function_as_it_was() -> None:
    slip = next(s for s in planted() if s.where == "loading_fleet.mean_values")
    before = mean_values(3, 4.0, 16.0)
    with pytest.raises(RuntimeError), in_place(slip):
        assert mean_values(3, 4.0, 16.0) != before
        raise RuntimeError
    assert mean_values(3, 4.0, 16.0) == before


def test_a_loop_that_a_slip_keeps_from_ending_is_stopped() -> None:
    slip = next(s for s in planted() if s.id.startswith("dozing_pass_plan.front_to_back: s.length + done for"))
    plan = calculations()["dozing.pass_plan"]
    assert isinstance(plan, Procedure)
    given = plan.read(next(r.inputs for r in refused() if r.calculation == plan.id) | {"slot_depth": "1 m"})
    with in_place(slip), pytest.raises(TooLong):
        plan.run(given, "us", tables())


@mark.parametrize(
    "id_",
    [
        "loading_fleet._fleet_output: loads * bound for loads / bound",
        "loading_swing_plan._swing_plan: plan.whole * (2 * n) for plan.whole / (2 * n)",
        "dozing_pass_plan.Setting.grade: depth - height for depth + height",
        "dozing_pass_plan._pass_plan: p.grade / p.push for p.grade * p.push",
        "loading._truck_match: target and bucket_load mixed up",
        "trench._over: value.si <= most.si * (1 + 1e-09) for value.si > most.si * (1 + 1e-09)",
    ],
)  # fmt: skip
def test_the_usual_slips_are_among_the_planted(id_: str) -> None:
    assert id_ in {s.id for s in planted()}


# --- tables -----------------------------------------------------------------------------------


@mark.parametrize("slip", misread(), ids=lambda m: m.id)
def test_a_table_read_askew_is_found(slip: planted_steps.Misread) -> None:
    if slip.id not in exceptions():
        assert misreading_found_by(slip) is not None


def test_every_table_that_is_read_is_misread() -> None:
    read = {t for c in calculations().values() if isinstance(c, Procedure) for t in c.tables}
    assert read == {m.table.id for m in misread()} and all(procedures_with(t) for t in read)
    assert "table dozer-job-factors: row average operator for poor operator" in {m.id for m in misread()}


# --- limits -----------------------------------------------------------------------------------


@mark.parametrize("slip", wider(), ids=lambda w: w.id)
def test_a_limit_that_lets_go_is_found(slip: planted_steps.Wider) -> None:
    assert widening_is_found(slip)
    assert slip.case.met(tables())  # and is as it was again


def test_the_limits_that_a_rule_sets_are_among_the_widened() -> None:
    assert {"lines.tolerance_zone", "trench.spoil_far_toe"} <= {w.case.calculation for w in wider()}


# --- labels -----------------------------------------------------------------------------------


def test_a_result_under_another_label_is_found() -> None:
    swapped = list(mislabelled())
    assert len(swapped) > 100
    assert [(n, t) for n, t in swapped if tells(t, said()[n])] == []


def test_a_bank_output_said_to_be_loose_is_found() -> None:
    bank = calculations()["loading.bank_production"]
    assert isinstance(bank, Formula) and tells(labels()[bank.id], "bank")
    assert not tells(labels()[bank.id].replace("bank", "loose"), "bank")
