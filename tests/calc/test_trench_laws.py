"""Laws of the trench calculations: what the rule allows, what it refuses, and the geometry."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.calc.catalogue import trench, trench_box
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from generator.calc.steps import Applied, Note, Outcome
from generator.reference import tables
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, System
from generator.working.byhand import worked
from generator.working.explain import explain

TABLES = tables.load(Path(__file__).resolve().parents[2] / "content")
FOOT = 0.3048
FORMULAS = [c for c in trench.CALCULATIONS if isinstance(c, Formula)]
WALLS = (trench.TOP_WIDTH, trench.AREA, trench.VOLUME)
RUNS = {"rock": 0.0, "A": 0.75, "B": 1.0, "C": 1.5}

soils = st.sampled_from(sorted(RUNS))
depths = st.floats(0.5, 20)
bottoms = st.floats(0.5, 30)


def work(procedure: Procedure, system: System = "us", /, **texts: str) -> Outcome:
    if procedure is trench.VOLUME:
        texts.setdefault("length", "100 ft")
    return procedure.run(procedure.read(texts), system, TABLES)


def si(outcome: Outcome, name: str | None = None) -> float:
    return float(outcome.values[name or outcome.main].si)


# --- what the rule refuses ------------------------------------------------------------------


@pytest.mark.parametrize("procedure", WALLS, ids=lambda p: str(p.id))
@pytest.mark.parametrize("soil", ["rock", "A", "B", "C"])
def test_past_twenty_feet_an_engineer_designs(procedure: Procedure, soil: str) -> None:
    work(procedure, bottom_width="4 ft", depth="20 ft", soil_type=soil)
    for depth in ("20.01 ft", "21 ft", "6.11 m", "60 ft"):
        with pytest.raises(CalculationError, match="registered professional engineer"):
            work(procedure, bottom_width="4 ft", depth=depth, soil_type=soil)
    with pytest.raises(CalculationError, match="registered professional engineer"):
        work(procedure, bottom_width="4 ft", depth="25 ft", soil_type=soil, side_ratio="3:1")


@pytest.mark.parametrize("procedure", WALLS, ids=lambda p: str(p.id))
@pytest.mark.parametrize(("soil", "ratio"), [("rock", "0:1"), ("A", "0.75:1"), ("B", "1:1"), ("C", "1.5:1")])
def test_walls_may_be_dug_just_as_steep_as_the_rule_allows(procedure: Procedure, soil: str, ratio: str) -> None:
    """29 CFR 1926 subpart P, Appendix B, Table B-1: vertical, 3/4:1, 1:1, 1 1/2:1."""
    made = work(procedure, bottom_width="4 ft", depth="12 ft", soil_type=soil, side_ratio=ratio)
    assert si(made, "side_ratio") == RUNS[soil]


def test_the_rule_prints_its_depth_in_metric_too() -> None:
    assert si(work(trench.TOP_WIDTH, "metric", bottom_width="1 m", depth="6.1 m")) == pytest.approx(19.3)


@pytest.mark.parametrize("procedure", WALLS, ids=lambda p: str(p.id))
def test_short_term_needs_both_conditions(procedure: Procedure) -> None:
    base = {"bottom_width": "4 ft", "soil_type": "A short term"}
    for depth, time in (("12 ft", "24 h"), ("3.67 m", "24 h"), ("5 ft", "1 h")):
        assert si(work(procedure, **base, depth=depth, open_time=time), "side_ratio") == 0.5
    for depth, time in (("12.01 ft", "24 h"), ("3.68 m", "1 h"), ("12 ft", "24.1 h"), ("5 ft", "2000 h"), ("15 ft", "30 h")):
        with pytest.raises(CalculationError, match="short term"):
            work(procedure, **base, depth=depth, open_time=time)
    with pytest.raises(CalculationError, match="open_time"):
        work(procedure, **base, depth="8 ft")
    # a short time alone never makes type A steeper
    assert si(work(procedure, bottom_width="4 ft", depth="8 ft", soil_type="A", open_time="1 h"), "side_ratio") == 0.75


@pytest.mark.parametrize("procedure", WALLS, ids=lambda p: str(p.id))
def test_not_classed_counts_as_type_c(procedure: Procedure) -> None:
    base = {"bottom_width": "4 ft", "depth": "10 ft"}
    assert si(work(procedure, **base)) == si(work(procedure, **base, soil_type="C"))
    with pytest.raises(CalculationError, match="steeper"):
        work(procedure, **base, side_ratio="1:1")


@given(soils, st.floats(5, 20), st.floats(0.02, 0.9))
def test_no_wall_steeper_than_the_rule(soil: str, depth: float, part: float) -> None:
    if RUNS[soil] == 0:
        return
    with pytest.raises(CalculationError, match="steeper"):
        work(trench.TOP_WIDTH, bottom_width="4 ft", depth=f"{depth:.2f} ft", soil_type=soil,
             side_ratio=f"{RUNS[soil] * part:.3f}:1")  # fmt: skip
    flatter = work(trench.TOP_WIDTH, bottom_width="4 ft", depth=f"{depth:.2f} ft", soil_type=soil,
                   side_ratio=f"{RUNS[soil] + part:.3f}:1")  # fmt: skip
    assert si(flatter, "side_ratio") >= RUNS[soil]


def test_five_feet_exactly_needs_protection() -> None:
    base = {"bottom_width": "2 ft", "soil_type": "C", "side_ratio": "0:1"}
    shallow = work(trench.TOP_WIDTH, **base, depth="4.9 ft")
    assert si(shallow) == pytest.approx(2 * FOOT)
    assert any("competent person" in s.text for s in shallow.steps if isinstance(s, Note))
    for depth in ("5 ft", "1.52 m"):
        with pytest.raises(CalculationError, match="steeper"):
            work(trench.TOP_WIDTH, **base, depth=depth)


@pytest.mark.parametrize("set_back", ["1.9 ft", "0.5 m", "0 ft"])
def test_spoil_nearer_than_two_feet_is_refused(set_back: str) -> None:
    with pytest.raises(CalculationError):
        work(trench.SPOIL_PILE, volume="100 yd3", length="90 ft", repose="35deg", set_back=set_back)


def test_what_the_limits_say() -> None:
    for procedure in (*WALLS, trench.LAYERED_TOP_WIDTH):
        assert "engineer" in procedure.limits and "no machine, spoil or traffic" in procedure.limits
    assert "no safe distance for a machine" in trench.SPOIL_PILE.limits


# --- geometry -------------------------------------------------------------------------------


@given(bottoms, depths, soils)
def test_area_is_the_mean_width_times_the_depth(bottom: float, depth: float, soil: str) -> None:
    base = {"bottom_width": f"{bottom:.3f} ft", "depth": f"{depth:.3f} ft", "soil_type": soil}
    top = work(trench.TOP_WIDTH, **base)
    floor, deep = float(f"{bottom:.3f}") * FOOT, float(f"{depth:.3f}") * FOOT
    assert si(work(trench.AREA, **base)) == pytest.approx((floor + si(top)) / 2 * deep)
    assert si(work(trench.VOLUME, **base)) == pytest.approx(si(work(trench.AREA, **base)) * 100 * FOOT)
    assert floor + 2 * si(top, "set_back") == pytest.approx(si(top))


@given(bottoms, depths)
def test_weaker_soil_needs_a_wider_trench(bottom: float, depth: float) -> None:
    base = {"bottom_width": f"{bottom:.3f} ft", "depth": f"{depth:.3f} ft"}
    widths = [si(work(trench.TOP_WIDTH, **base, soil_type=s)) for s in ("rock", "A", "B", "C")]
    assert all(a < b for a, b in pairwise(widths))


def layered(layers: list[tuple[str, float]]) -> Outcome:
    names = [*("upper", "second", "third")[: len(layers) - 1], "lowest"]
    texts = {"bottom_width": "4 ft"}
    for name, (soil, thick) in zip(names, layers, strict=True):
        texts |= {f"{name}_soil_type": soil, f"{name}_depth": f"{thick:.3f} ft"}
    return work(trench.LAYERED_TOP_WIDTH, **texts)


LAYERS = st.lists(st.tuples(soils, st.floats(0.5, 5)), min_size=2, max_size=4)


@given(LAYERS)
def test_no_layer_is_steeper_than_one_below_it(layers: list[tuple[str, float]]) -> None:
    result = layered(layers)
    used = [s.inputs["side_ratio"] for s in result.steps if isinstance(s, Applied)]
    ratios = [q.si for q in used if isinstance(q, Quantity)]
    assert len(ratios) == len(layers) and ratios == sorted(ratios)  # from the floor up
    for ratio, (soil, _) in zip(reversed(ratios), layers, strict=True):
        assert ratio >= RUNS[soil]
    width = 4 * FOOT
    for k, (_, thick) in enumerate(layers):
        width += 2 * float(f"{thick:.3f}") * FOOT * max(RUNS[s] for s, _ in layers[k:])
    assert si(result) == pytest.approx(width)


@given(LAYERS)
def test_layers_of_one_soil_are_a_plain_trench(layers: list[tuple[str, float]]) -> None:
    alike = [("B", float(f"{thick:.3f}")) for _, thick in layers]
    plain = work(trench.TOP_WIDTH, bottom_width="4 ft", depth=f"{sum(t for _, t in alike):.3f} ft", soil_type="B")
    assert si(layered(alike)) == pytest.approx(si(plain))


def test_layered_refusals() -> None:
    base = {"bottom_width": "4 ft", "upper_soil_type": "B", "upper_depth": "12 ft", "lowest_soil_type": "C"}
    with pytest.raises(CalculationError, match="registered professional engineer"):
        work(trench.LAYERED_TOP_WIDTH, **base, lowest_depth="8.1 ft")
    with pytest.raises(CalculationError, match="needs both"):
        work(trench.LAYERED_TOP_WIDTH, **base, lowest_depth="5 ft", second_soil_type="A")
    with pytest.raises(CalculationError):
        work(trench.LAYERED_TOP_WIDTH, **base, lowest_depth="5 ft", second_soil_type="A short term", second_depth="2 ft")


@given(st.floats(1, 1000), st.floats(1, 300), st.floats(20, 50), st.floats(2, 30))
def test_the_pile_holds_its_spoil(volume: float, length: float, repose: float, back: float) -> None:
    result = work(trench.SPOIL_PILE, volume=f"{volume:.3f} yd3", length=f"{length:.3f} ft",
                  repose=f"{repose:.3f}deg", set_back=f"{back:.3f} ft")  # fmt: skip
    width, height, far = (si(result, n) for n in ("width", "height", "far_toe"))
    assert width * height / 2 * float(f"{length:.3f}") * FOOT == pytest.approx(float(f"{volume:.3f}") * 27 * FOOT**3)
    assert math.degrees(math.atan2(height, width / 2)) == pytest.approx(float(f"{repose:.3f}"))
    assert far - width == pytest.approx(float(f"{back:.3f}") * FOOT)


# --- fall, ladders --------------------------------------------------------------------------


@given(st.floats(-400, 4000), st.floats(-0.9, 0.9), st.floats(0, 1000), st.floats(0, 1000))
def test_two_runs_fall_as_one(start: float, grade: float, first: float, second: float) -> None:
    middle = trench.INVERT(start_elevation=start, grade=grade, distance=first)
    if not -609 < middle < 9100:
        return
    end = trench.INVERT(start_elevation=middle, grade=grade, distance=second)
    whole = trench.INVERT(start_elevation=start, grade=grade, distance=first + second)
    assert end == pytest.approx(whole, abs=1e-6)
    depth = trench.CUT_DEPTH(surface_elevation=start + 1000, invert_elevation=start)
    assert depth == pytest.approx(1000)


def test_a_floor_above_the_ground_is_no_cut() -> None:
    with pytest.raises(CalculationError, match="above the ground"):
        trench.CUT_DEPTH(surface_elevation=100, invert_elevation=101)


@given(st.floats(1, 9000))
def test_no_one_is_too_far_from_a_ladder(feet: float) -> None:
    count = trench.LADDERS(length=feet * FOOT)
    assert count == int(count) >= 1
    assert feet / count / 2 <= 25 + 1e-6  # evenly spread, half a space at each end
    assert count == 1 or feet / (count - 1) / 2 > 25


# --- ranges, systems, hand working ----------------------------------------------------------


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: str(f.id))
@given(share=st.floats(0.02, 0.98))
def test_hand_working_holds(formula: Formula, share: float) -> None:
    system: System
    for system in SYSTEMS:
        given_now = {}
        for n, i in enumerate(formula.inputs):
            low, high = i.bounds
            part = ((share + 0.31 * n) % 1) ** 3  # more of the small figures that are usual
            given_now[i.name] = Quantity.of(low + part * (high - low), i.kind, system)
        try:
            done = worked(formula, given_now, system)
        except CalculationError:
            continue
        assert done.exact == pytest.approx(formula.value(given_now))


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("soil", ["rock", "A", "B", "C"])
def test_procedures_are_worked_by_hand(soil: str, system: System) -> None:
    for procedure in WALLS:
        texts = {"bottom_width": "3 ft", "depth": "7.5 ft", "soil_type": soil}
        if procedure is trench.VOLUME:
            texts["length"] = "143 ft"
        explained = explain(procedure, procedure.read(texts), system, TABLES)
        assert explained.result.quantity is not None
        notes = [b.text for b in explained.blocks if isinstance(b, Note)]
        assert notes and not any(c.isdigit() for n in notes for c in n)


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: str(f.id))
def test_out_of_range_is_refused(formula: Formula) -> None:
    middle = {i.name: sum(i.bounds) / 2 for i in formula.inputs}
    for i in formula.inputs:
        low, high = i.bounds
        for bad in (low - (high - low), high + (high - low), math.nan):
            with pytest.raises(CalculationError):
                formula(**{**middle, i.name: bad})


# --- layers as areas, signs of distress, a pipe on its bedding ------------------------------------


@given(LAYERS)
def test_the_area_of_layers_is_that_of_their_trapezoids(layers: list[tuple[str, float]]) -> None:
    names = [*("upper", "second", "third")[: len(layers) - 1], "lowest"]
    texts = {"bottom_width": "4 ft"}
    for name, (soil, thick) in zip(names, layers, strict=True):
        texts |= {f"{name}_soil_type": soil, f"{name}_depth": f"{thick:.3f} ft"}
    result = work(trench.LAYERED_AREA, **texts)
    width, area = 4 * FOOT, 0.0
    for k in reversed(range(len(layers))):
        thick = float(f"{layers[k][1]:.3f}") * FOOT
        above = width + 2 * thick * max(RUNS[s] for s, _ in layers[k:])
        area += (width + above) / 2 * thick
        width = above
    assert si(result) == pytest.approx(area)
    assert si(result, "top_width") == pytest.approx(width) == pytest.approx(si(work(trench.LAYERED_TOP_WIDTH, **texts)))


@pytest.mark.parametrize("soil", ["A", "B", "C"])
def test_a_wall_with_signs_of_distress_is_flatter_by_half_a_run(soil: str) -> None:
    assert trench.DISTRESS_RATIO(side_ratio=RUNS[soil]) == pytest.approx(RUNS[soil] + 0.5)  # Appendix B (c)(3)(ii)


@given(st.floats(-400, 4000), st.floats(0.01, 20), st.floats(0, 0.5), st.floats(0, 1))
def test_the_floor_lies_wall_and_bedding_below_the_grade_line(invert: float, cut: float, wall: float, bed: float) -> None:
    bare = trench.CUT_DEPTH(surface_elevation=invert + cut, invert_elevation=invert)
    depth = trench.DIG_DEPTH(surface_elevation=invert + cut, invert_elevation=invert, pipe_wall=wall, bedding=bed)
    assert depth == pytest.approx(bare + wall + bed, abs=1e-9)


def test_a_grade_line_above_the_ground_is_no_trench() -> None:
    with pytest.raises(CalculationError, match="above the ground"):
        trench.DIG_DEPTH(surface_elevation=100, invert_elevation=100.1, pipe_wall=0.05, bedding=0.2)


# --- boxes ----------------------------------------------------------------------------------

walls = st.floats(4, 20)
heights = st.floats(2, 12)
outs = st.floats(0, 3).map(lambda x: round(x, 4))


@given(walls, heights, outs, st.sampled_from(SYSTEMS))
def test_a_box_leaves_no_more_open_than_the_rule_and_no_box_is_too_many(wall: float, height: float, out: float, system: System) -> None:
    done = work(trench_box.BOX_SET, system, depth=f"{wall} ft", box_height=f"{height} ft", box_above=f"{out} ft")
    gap, stack, above, boxes = (si(done, name) / (1 if name == "boxes" else FOOT) for name in ("gap", "stack", "above", "boxes"))
    assert 0 <= gap <= 2 + 1e-9
    assert stack == pytest.approx(boxes * height) and above >= out - 1e-9
    assert gap + stack == pytest.approx(wall + above)  # open below and box are wall and what stands out
    if boxes > 1:
        assert wall + out - (boxes - 1) * height > 2 - 1e-9
    assert gap == 0 or above == pytest.approx(out)


@given(st.floats(5, 10), st.floats(0.1, 8), st.floats(0, 40).map(lambda x: round(x, 3)))
def test_below_a_slope_a_box_stands_out_eighteen_inches(wall: float, more: float, inches: float) -> None:
    texts = {"depth": f"{wall + more} ft", "wall_height": f"{wall} ft", "box_height": "6 ft", "box_above": f"{inches} in"}
    if inches < 18:
        with pytest.raises(CalculationError, match="18 in at least"):
            work(trench_box.BOX_SET, **texts)
    else:
        assert si(work(trench_box.BOX_SET, **texts), "above") / FOOT >= 1.5 - 1e-9
    alone = work(trench_box.BOX_SET, depth=f"{wall} ft", box_height="6 ft", box_above=f"{inches} in")
    assert si(alone, "above") / FOOT >= inches / 12 - 1e-9  # upright walls ask for no more than the site does


@pytest.mark.parametrize(
    ("wall", "said"), [("8 ft", "The ground above the upright wall is cut back."), ("12 ft", "The walls stand upright all the way up.")]
)
def test_a_box_says_whether_the_ground_above_it_is_cut_back(wall: str, said: str) -> None:
    steps = work(trench_box.BOX_SET, depth="12 ft", wall_height=wall, box_height="8 ft", box_above="18 in").steps
    assert said in [s.text for s in steps if isinstance(s, Note)]


@pytest.mark.parametrize(("inches", "system"), [(18, "us"), (18, "metric"), (20, "metric")])
def test_eighteen_inches_are_enough_in_both_systems(inches: int, system: System) -> None:
    """A box_above typed in inches is told in centimetres in a metric handbook, 45.7 cm, and is the same box."""
    given_ = trench_box.BOX_SET.read({"depth": "12 ft", "wall_height": "8 ft", "box_height": "8 ft", "box_above": f"{inches} in"})
    told = {name: q.in_system(system) if isinstance(q, Quantity) else q for name, q in given_.items()}
    assert si(trench_box.BOX_SET.run(told, system, {}), "above") / FOOT == pytest.approx(inches / 12, rel=5e-3)
    short = Quantity.read("17.9 in", "length").in_system(system)
    with pytest.raises(CalculationError, match="at least above the upright wall"):
        trench_box.BOX_SET.run({**told, "box_above": short}, system, {})


@given(st.floats(2.6, 20), st.sampled_from(["A", "B", "C"]), st.sampled_from(SYSTEMS))
def test_the_pressure_grows_with_depth_and_with_softer_ground(depth: float, soil: str, system: System) -> None:
    """29 CFR 1926 Subpart P, Appendix C: 25, 45 and 80 psf a foot and 72 psf, as the Caltrans manual prints them.

    A metric working is done with what it shows: 3.927, 7.069 and 12.567 kN/m³ and 3.447 kPa, each rounded up in its third digit.
    """
    each = {"A": 25, "B": 45, "C": 80}[soil]
    found = si(work(trench_box.BOX_PRESSURE, system, depth=f"{depth} ft", soil_type=soil))
    if system == "us":
        assert found / 47.88025898 == pytest.approx(each * depth + 72, rel=1e-7)
    else:
        shown = {"A": 3.93, "B": 7.07, "C": 12.6}[soil]
        assert found / 1000 == pytest.approx(shown * depth * FOOT + 3.45, rel=1e-7)
        assert found / 47.88025898 >= each * depth + 72  # never less than the rule's
    same = {"A": ("rock", "A short term")}.get(soil, ())
    for other in same:
        assert si(work(trench_box.BOX_PRESSURE, system, depth=f"{depth} ft", soil_type=other)) == found


def test_nobody_has_classed_the_soil_so_it_presses_as_type_c() -> None:
    assert si(work(trench_box.BOX_PRESSURE, depth="9 ft")) == si(work(trench_box.BOX_PRESSURE, depth="9 ft", soil_type="C"))


def test_past_what_its_own_data_says_a_box_is_refused() -> None:
    with pytest.raises(CalculationError, match="own data goes to 8 ft"):
        work(trench_box.BOX_PRESSURE, depth="8.1 ft", soil_type="A", rated_depth="8 ft")
    with pytest.raises(CalculationError, match="press harder"):
        work(trench_box.BOX_PRESSURE, depth="8 ft", soil_type="C", box_rating="711 lbf/ft2")
    work(trench_box.BOX_PRESSURE, depth="8 ft", soil_type="C", box_rating="712 lbf/ft2", rated_depth="8 ft")


@pytest.mark.parametrize("soil", sorted(trench_box.ROWS))
def test_the_working_says_whose_class_it_is(soil: str) -> None:
    notes = [step.text for step in work(trench_box.BOX_PRESSURE, depth="8 ft", soil_type=soil).steps if isinstance(step, Note)]
    assert ("rock" in notes[0]) == (soil == "rock") and "competent person" in notes[0]


@pytest.mark.parametrize("soil", sorted(RUNS))
@pytest.mark.parametrize("own", [False, True])
def test_the_working_names_the_ground_the_walls_stand_in(soil: str, own: bool) -> None:
    ratio = {"side_ratio": "3:1"} if own else {}
    (why,) = (
        s.text for s in work(trench.TOP_WIDTH, bottom_width="4 ft", depth="12 ft", soil_type=soil, **ratio).steps if isinstance(s, Note)
    )
    named = "rock that stays whole" if soil == "rock" else f"soil type {soil}"
    assert re.search(rf"allows for {named}[.,]", why) and ("no steeper than" in why) == own
