"""Laws of the soil calculations: nothing is lost between bank, loose and compacted, and piles."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import soil
from generator.calc.formula import Formula
from generator.calc.steps import Applied, Outcome
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity

volumes = st.floats(0.01, 1e6)
swells = st.floats(0, 1.2)
shrinkages = st.floats(-0.6, 0.6)
densities = st.floats(300, 4100)
heights = st.floats(0.05, 90)
reposes = st.floats(math.radians(5.1), math.radians(59.9))
FORMULAS = [c for c in soil.CALCULATIONS if isinstance(c, Formula)]


def compacted(**texts: str) -> Outcome:
    return soil.COMPACTED.run(soil.COMPACTED.read(texts), "us", {})


# --- bank and loose -------------------------------------------------------------------------


@given(volumes, swells)
def test_dug_and_put_back_the_volume_is_the_same(bank: float, swell: float) -> None:
    loose = soil.LOOSE(bank_volume=bank, swell=swell)
    assert loose >= bank
    assert soil.BANK_FROM_LOOSE(loose_volume=loose, swell=swell) == pytest.approx(bank, rel=1e-12)


@given(volumes, swells)
def test_the_load_factor_is_the_bank_in_one_of_loose(bank: float, swell: float) -> None:
    loose = soil.LOOSE(bank_volume=bank, swell=swell)
    share = soil.LOAD_FACTOR(swell=swell)
    assert 0 < share <= 1
    assert loose * share == pytest.approx(bank, rel=1e-12)


@given(volumes, swells, st.floats(300, 4000))
def test_digging_changes_no_weight(bank: float, swell: float, density: float) -> None:
    loose = soil.LOOSE(bank_volume=bank, swell=swell)
    loose_density = soil.LOOSE_DENSITY(bank_density=density, swell=swell)
    assert loose_density <= density
    if loose_density >= 180:
        there = soil.MASS(volume=bank, density=density)
        assert soil.MASS(volume=loose, density=loose_density) == pytest.approx(there, rel=1e-12)


@given(volumes, swells, swells)
def test_more_swell_is_more_loose_ground_and_less_weight_in_each_of_it(bank: float, a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert soil.LOOSE(bank_volume=bank, swell=low) <= soil.LOOSE(bank_volume=bank, swell=high)
    assert soil.LOAD_FACTOR(swell=low) >= soil.LOAD_FACTOR(swell=high)
    assert soil.LOOSE_DENSITY(bank_density=1800, swell=low) >= soil.LOOSE_DENSITY(bank_density=1800, swell=high)


def test_ground_that_does_not_swell() -> None:
    assert soil.LOOSE(bank_volume=7, swell=0) == 7
    assert soil.LOAD_FACTOR(swell=0) == 1
    assert soil.LOOSE_DENSITY(bank_density=1800, swell=0) == 1800


# --- compacted ------------------------------------------------------------------------------


@given(volumes, shrinkages)
def test_the_two_definitions_agree_only_without_shrinkage(bank: float, shrinkage: float) -> None:
    of_bank = soil.COMPACTED_BY_SHARE(bank_volume=bank, shrinkage=shrinkage)
    of_compacted = soil.COMPACTED_BY_FACTOR(bank_volume=bank, shrinkage=shrinkage)
    # 1 − c is never more than 1/(1 + c), whichever sign c has
    assert of_bank <= of_compacted * (1 + 1e-12)
    if abs(shrinkage) > 0.01:
        assert of_compacted - of_bank > 0.9 * shrinkage**2 * bank / (1 + abs(shrinkage))
    # each is undone by its own definition
    assert (bank - of_bank) / bank == pytest.approx(shrinkage, abs=1e-9)
    assert (bank - of_compacted) / of_compacted == pytest.approx(shrinkage, abs=1e-9)


@given(volumes, shrinkages, shrinkages)
def test_more_shrinkage_leaves_less(bank: float, a: float, b: float) -> None:
    low, high = sorted((a, b))
    for formula in (soil.COMPACTED_BY_SHARE, soil.COMPACTED_BY_FACTOR):
        assert formula(bank_volume=bank, shrinkage=low) >= formula(bank_volume=bank, shrinkage=high) > 0


@pytest.mark.parametrize(("definition", "main", "other"), [("share of bank", 0.75, 0.80), ("share of compacted", 0.80, 0.75)])
def test_which_definition_is_used_is_said(definition: str, main: float, other: float) -> None:
    outcome = compacted(bank_volume="100 yd3", shrinkage="25%", definition=definition)
    yard = 0.764554857984
    value = outcome.values[outcome.main]
    assert float(value.si) == pytest.approx(100 * main * yard, rel=1e-12)
    assert definition in value.meaning
    assert float(outcome.values["other_definition"].si) == pytest.approx(100 * other * yard, rel=1e-12)
    last = [s for s in outcome.steps if isinstance(s, Applied)][-1]
    assert last.name == outcome.main


def test_left_open_the_shrinkage_is_a_share_of_the_bank() -> None:
    assert "share of bank" in compacted(bank_volume="100 yd3", shrinkage="25%").values["compacted_volume"].meaning


def test_rock_can_end_larger_than_it_was() -> None:
    assert float(compacted(bank_volume="100 yd3", shrinkage="-30%").values["compacted_volume"].si) > 100 * 0.7645


def test_an_unknown_definition_is_turned_away() -> None:
    with pytest.raises(CalculationError, match="share of bank, share of compacted"):
        soil.COMPACTED.read({"bank_volume": "100 yd3", "shrinkage": "25%", "definition": "share of loose"})


# --- piles ----------------------------------------------------------------------------------


@given(heights, reposes, st.floats(0.2, 5))
def test_a_cone_grows_with_the_cube_of_its_height(height: float, repose: float, times: float) -> None:
    if 0.05 <= height * times <= 90:
        one = soil.CONE(height=height, repose=repose)
        assert soil.CONE(height=height * times, repose=repose) == pytest.approx(one * times**3, rel=1e-9)


@given(heights, reposes, reposes)
def test_flatter_ground_lies_wider(height: float, a: float, b: float) -> None:
    flat, steep = sorted((a, b))
    assert soil.CONE(height=height, repose=flat) >= soil.CONE(height=height, repose=steep) > 0
    ridges = [soil.RIDGE(height=height, length=10, repose=r) for r in (flat, steep)]
    assert ridges[0] >= ridges[1] > 0


@given(heights, reposes)
def test_a_cone_is_a_third_of_the_cylinder_around_it(height: float, repose: float) -> None:
    around = math.pi * (height / math.tan(repose)) ** 2 * height
    assert soil.CONE(height=height, repose=repose) == pytest.approx(around / 3, rel=1e-9)


@given(heights, st.floats(0.05, 10000), reposes)
def test_a_ridge_is_half_of_the_box_around_it(height: float, length: float, repose: float) -> None:
    box = 2 * height / math.tan(repose) * height * length
    assert soil.RIDGE(height=height, length=length, repose=repose) == pytest.approx(box / 2, rel=1e-9)
    half = soil.RIDGE(height=height, length=length / 2, repose=repose) if length > 0.1 else None
    if half is not None:
        assert 2 * half == pytest.approx(box / 2, rel=1e-9)


# --- the two systems ------------------------------------------------------------------------


@given(st.integers(1, 90), st.integers(6, 59))
def test_feet_and_metres_give_one_pile(feet: int, degrees: int) -> None:
    us = soil.CONE.value(soil.CONE.read({"height": f"{feet} ft", "repose": f"{degrees} deg"}))
    metric = soil.CONE.value(soil.CONE.read({"height": f"{feet * 0.3048:.7f} m", "repose": f"{degrees} deg"}))
    assert us == pytest.approx(metric, rel=1e-5)


@given(st.integers(1, 900), st.integers(0, 120))
def test_yards_and_metres_give_one_volume(yards: int, percent: int) -> None:
    us = soil.LOOSE.value(soil.LOOSE.read({"bank_volume": f"{yards} yd3", "swell": f"{percent}%"}))
    metric = soil.LOOSE.value(soil.LOOSE.read({"bank_volume": f"{yards * 0.764554857984:.9f} m3", "swell": f"{percent / 100}"}))
    assert us == pytest.approx(metric, rel=1e-8)


# --- what is turned away --------------------------------------------------------------------


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.id)
def test_every_range_is_kept(formula: Formula) -> None:
    middle = {i.name: sum(i.bounds) / 2 for i in formula.inputs}
    for i in formula.inputs:
        low, high = i.bounds
        for value in (low - 1e-3 * (high - low), high + 1e-3 * (high - low), math.nan, math.inf, -math.inf):
            with pytest.raises(CalculationError, match=i.name):
                formula(**{**middle, i.name: value})


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.id)
def test_the_ends_of_every_range_give_a_number(formula: Formula) -> None:
    for end in ("low", "high"):
        value = formula.value({i.name: Quantity.read(getattr(i, end), i.kind) for i in formula.inputs})
        assert math.isfinite(value)
        # swell and shrinkage may be nought, and shrinkage below it
        assert value > 0 or formula.result.kind == "fraction"


@pytest.mark.parametrize(
    ("calculation", "texts", "said"),
    [
        (soil.LOOSE, {"bank_volume": "100 loose yd3", "swell": "25%"}, "give the bank volume"),
        (soil.BANK_FROM_LOOSE, {"loose_volume": "100 bcm", "swell": "25%"}, "give the loose volume"),
        (soil.LOOSE, {"bank_volume": "100 yd3", "swell": "25"}, "swell is out of range"),
        (soil.MASS, {"volume": "10 yd3", "density": "2800 lb"}, "not a unit of density"),
        (soil.CONE, {"height": "10 ft", "repose": "75%"}, "not a unit of angle"),
        (soil.CONE, {"height": "10 ft", "repose": "0 deg"}, "repose is out of range"),
    ],
)  # fmt: skip
def test_errors_name_the_input(calculation: Formula, texts: dict[str, str], said: str) -> None:
    with pytest.raises(CalculationError, match=said):
        calculation.value(calculation.read(texts))


# --- a fill and the trucks for it -------------------------------------------------------------


def typed(low: int, high: int) -> st.SearchStrategy[float]:
    """Shares as people type them, in hundredths of a percent."""
    return st.integers(low, high).map(lambda n: n / 10_000)


@given(volumes, typed(-6000, 6000), st.sampled_from(["share of bank", "share of compacted"]))
def test_the_bank_dug_for_a_fill_gives_that_fill(fill: float, shrinkage: float, definition: str) -> None:
    wanted = {"compacted_volume": f"{fill!r} m3", "shrinkage": repr(shrinkage), "definition": definition}
    bank = soil.BANK_FOR_FILL.run(soil.BANK_FOR_FILL.read(wanted), "metric", {}).values["bank_volume"].si
    if 0.01 <= float(bank) <= 7e7:
        back = compacted(bank_volume=f"{bank!r} m3", shrinkage=repr(shrinkage), definition=definition)
        assert float(back.values["compacted_volume"].si) == pytest.approx(fill, rel=1e-9)


@given(volumes, typed(0, 6000), typed(0, 12_000))
def test_more_is_hauled_than_is_dug_and_more_is_dug_than_is_filled(fill: float, shrinkage: float, swell: float) -> None:
    given_ = {"compacted_volume": f"{fill!r} m3", "shrinkage": repr(shrinkage), "swell": repr(swell)}
    values = soil.LOOSE_FOR_FILL.run(soil.LOOSE_FOR_FILL.read(given_), "metric", {}).values
    loose, bank = float(values["loose_volume"].si), float(values["bank_volume"].si)
    assert loose >= bank * (1 - 1e-12) >= fill * (1 - 1e-9)
    # the share of the larger volume always asks for the more ground
    assert float(values["other_definition"].si) <= loose * (1 + 1e-12)


@given(st.floats(0.01, 1e5), st.floats(0.3, 300))
def test_the_loads_carry_all_of_it_and_one_load_less_does_not(loose: float, truck: float) -> None:
    loads = soil.LOADS(loose_volume=loose, truck_load=truck)
    assert loads == int(loads) >= 1
    assert loads * truck >= loose * (1 - 1e-8)
    assert loads == 1 or (loads - 1) * truck < loose


@given(st.floats(30, 36000), st.floats(1800, 86400), st.floats(0.1, 1))
def test_the_rounds_of_a_shift_fit_into_it_and_one_more_does_not(cycle: float, shift: float, worked: float) -> None:
    rounds = soil.LOADS_IN_SHIFT(truck_cycle=cycle, shift_hours=shift, efficiency=worked)
    assert rounds == int(rounds) >= 0
    assert rounds * cycle <= shift * worked * (1 + 1e-8) + 1e-6
    assert (rounds + 1) * cycle > shift * worked * (1 - 1e-8)


@given(densities, swells)
def test_the_swell_of_two_weights_is_the_swell_that_made_them(density: float, swell: float) -> None:
    loose = soil.LOOSE_DENSITY(bank_density=density, swell=swell)
    if loose >= 180:
        assert soil.SWELL_FROM_WEIGHTS(bank_density=density, loose_density=loose) == pytest.approx(swell, abs=1e-9)


def test_weights_that_were_mixed_up_are_refused() -> None:
    with pytest.raises(CalculationError, match="cannot weigh more"):
        soil.SWELL_FROM_WEIGHTS(bank_density=1400.0, loose_density=1800.0)


def test_shrinkage_below_zero_is_ground_that_takes_more_room_as_fill() -> None:
    assert soil.SHRINKAGE_FROM_WEIGHTS(bank_density=2729.0, compacted_density=2106.0) == pytest.approx(-0.296, abs=5e-4)
    rock = compacted(bank_volume="100 m3", shrinkage="-0.3")
    assert float(rock.values["compacted_volume"].si) == pytest.approx(130)
