"""Laws of the slope calculations: which way they go, their limits, and that none is a promise."""

from __future__ import annotations

import contextlib
import io
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from generator.calc.catalogue import slopes, slopes_swing
from generator.calc.formula import Formula
from generator.calc.procedure import Procedure
from generator.calc.steps import Applied, Note, Outcome, Rows
from generator.reference import tables
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, System
from generator.working.byhand import worked, worked_chain
from generator.working.explain import NOT_ALLOWED, NOT_SAFE, explain

CONTENT = Path(__file__).resolve().parents[2] / "content"
FORMULAS = [c for c in slopes.CALCULATIONS if isinstance(c, Formula)]

gauges = st.floats(0.5, 6)
heights = st.floats(0.2, 4)
grips = st.floats(0.05, 1.1)
angles = st.floats(0.1, 0.9)
cohesions = st.floats(1e3, 1e5)
weights = st.floats(14e3, 25e3)


def first(**texts: str) -> Outcome:
    return slopes.FIRST_TO_GO.run(slopes.FIRST_TO_GO.read(texts), "metric", {})


# --- every result says that it is no allowed slope ------------------------------------------


@pytest.mark.parametrize("calculation", slopes.CALCULATIONS, ids=lambda c: str(c.id))
def test_every_result_is_marked(calculation: Formula | Procedure) -> None:
    assert calculation.stability
    system: System
    for system in SYSTEMS:
        given_now: dict[str, Quantity | str] = {}
        for i in calculation.inputs:
            example = i.example_us if system == "us" else i.example_metric  # type: ignore[union-attr]
            assert example is not None
            given_now[i.name] = Quantity.read(example, i.kind)
        explained = explain(calculation, given_now, system, {})
        quantity = explained.result.quantity
        slope = quantity is None or quantity.kind in {"angle", "grade", "ratio"}
        assert explained.result.text().endswith(f" ({NOT_ALLOWED if slope else NOT_SAFE})")


# --- tipping and sliding --------------------------------------------------------------------


@given(gauges, heights, st.floats(1.01, 1.5))
def test_wider_tips_later_and_taller_tips_sooner(gauge: float, height: float, more: float) -> None:
    tip = slopes.STATIC_TIP_ANGLE
    base = tip(track_gauge=gauge, cg_height=height)
    assert tip(track_gauge=gauge * more, cg_height=height) > base
    assert tip(track_gauge=gauge, cg_height=height * more) < base
    assert tip(track_gauge=gauge, cg_height=height, cg_offset=gauge * 0.1) < base
    assert 0 < base < math.pi / 2


@given(gauges, heights)
def test_weight_over_the_low_track_has_no_angle_left(gauge: float, height: float) -> None:
    tip = slopes.STATIC_TIP_ANGLE
    assert tip(track_gauge=gauge, cg_height=height, cg_offset=gauge / 2) == pytest.approx(0, abs=1e-9)
    with pytest.raises(CalculationError):
        tip(track_gauge=gauge, cg_height=height, cg_offset=gauge / 2 * 1.01)


@given(gauges, heights)
def test_at_the_tip_angle_all_weight_is_on_the_low_track(gauge: float, height: float) -> None:
    slope = math.tan(slopes.STATIC_TIP_ANGLE(track_gauge=gauge, cg_height=height))
    assume(slope <= 1)
    share = slopes.LOW_TRACK_SHARE(track_gauge=gauge, cg_height=height, side_slope=slope)
    assert share == pytest.approx(1, rel=1e-9)
    shift = slopes.WEIGHT_SHIFT(cg_height=height, side_slope=slope)
    assert shift == pytest.approx(gauge / 2, rel=1e-9)


@given(grips)
def test_grip_turns_back_into_the_grade(grip: float) -> None:
    assert math.tan(slopes.GRIP_LIMIT(traction=grip)) == pytest.approx(grip, rel=1e-12)


@given(gauges, heights, grips)
def test_first_to_go_is_the_lower_of_the_two(gauge: float, height: float, grip: float) -> None:
    result = first(track_gauge=f"{gauge:.3f} m", cg_height=f"{height:.3f} m", traction=f"{grip:.3f}")
    found = {name: v.si for name, v in result.values.items()}
    tip, slide, limit, margin = (float(found[n]) for n in ("tip_angle", "grip_angle", "limit", "margin"))
    assert limit == min(tip, slide)
    assert margin == pytest.approx(abs(tip - slide), abs=1e-12)
    words = {-1: "sliding", 1: "tipping"}
    if margin >= slopes.SAME:
        assert found["first"] == words[1 if tip < slide else -1]
    else:
        assert found["first"] == "both together"


def test_first_to_go_says_which() -> None:
    machine = {"track_gauge": "2 m", "cg_height": "1 m"}
    assert first(**machine, traction="0.5").values["first"].si == "sliding"
    assert first(**machine, traction="1.1").values["first"].si == "tipping"
    assert first(**machine, traction="1").values["first"].si == "both together"
    loaded = first(**machine, cg_offset="0.6 m", traction="0.5")
    assert loaded.values["first"].si == "tipping"


def test_chain_ends_in_the_main_value() -> None:
    result = first(track_gauge="6.5 ft", cg_height="3.2 ft", cg_offset="0.25 ft", traction="0.7")
    applied = [s for s in result.steps if isinstance(s, Applied)]
    for system in SYSTEMS:
        last = worked_chain(applied, system)[-1]
        assert last.exact == pytest.approx(float(result.values["limit"].si), rel=0.01)
    assert not any(c.isdigit() for s in result.steps if isinstance(s, Note) for c in s.text)


# --- ground ---------------------------------------------------------------------------------


@given(cohesions, weights, st.floats(0.5, 20), angles, angles)
def test_water_makes_a_long_slope_less_safe(cohesion: float, weight: float, depth: float, slope: float, friction: float) -> None:
    dry = slopes.INFINITE_SLOPE_SAFETY(cohesion=cohesion, unit_weight=weight, depth=depth, slope=math.tan(slope), friction_angle=friction)
    wet = slopes.SEEPAGE_SLOPE_SAFETY(cohesion=cohesion, unit_weight=weight, depth=depth, slope=math.tan(slope), friction_angle=friction)
    assert 0 < wet < dry


@given(weights, st.floats(0.5, 20), angles)
def test_dry_sand_stands_just_at_its_friction_angle(weight: float, depth: float, slope: float) -> None:
    safety = slopes.INFINITE_SLOPE_SAFETY(cohesion=0, unit_weight=weight, depth=depth, slope=math.tan(slope), friction_angle=slope)
    assert safety == pytest.approx(1, rel=1e-9)


@given(cohesions, weights, st.floats(0, 0.9))
def test_plane_failure_at_a_vertical_face_is_the_vertical_cut(cohesion: float, weight: float, friction: float) -> None:
    given_now = {"cohesion": cohesion, "unit_weight": weight, "friction_angle": friction}
    upright = slopes.VERTICAL_CUT_HEIGHT(**given_now)
    assert slopes.PLANE_FAILURE_HEIGHT(**given_now, slope_angle=math.pi / 2) == pytest.approx(upright)


@given(cohesions, weights, st.floats(0.05, 0.6), st.floats(0.75, 1.5))
def test_flatter_faces_stand_higher(cohesion: float, weight: float, friction: float, face: float) -> None:
    given_now = {"cohesion": cohesion, "unit_weight": weight, "friction_angle": friction}
    height = slopes.PLANE_FAILURE_HEIGHT
    assert height(**given_now, slope_angle=face - 0.05) > height(**given_now, slope_angle=face)
    with pytest.raises(CalculationError):
        height(**given_now, slope_angle=friction * 0.9 if friction > 0.1 else 0.0)


def test_a_face_at_the_friction_angle_has_no_height() -> None:
    with pytest.raises(CalculationError):
        slopes.PLANE_FAILURE_HEIGHT(cohesion=1e4, unit_weight=18e3, friction_angle=math.radians(30), slope_angle=math.radians(30))


@given(cohesions, st.floats(0.01, 0.9), st.floats(1, 9))
def test_developed_strength_gives_the_factor_back(cohesion: float, friction: float, safety: float) -> None:
    part = slopes.DEVELOPED_COHESION(cohesion=cohesion, safety_factor=safety)
    angle = slopes.DEVELOPED_FRICTION(friction_angle=friction, safety_factor=safety)
    assert cohesion / part == pytest.approx(safety)
    assert math.tan(friction) / math.tan(angle) == pytest.approx(safety)


def circle_safety(height: float, face: float, cohesion: float, weight: float, friction: float) -> float:
    """Least factor of safety over many circles, by pyslope (m, degrees, kPa, kN/m³)."""
    from pyslope import Material, Slope

    slope = Slope(height=height, angle=face, length=None)
    slope.set_materials(Material(weight, friction, cohesion, 60))
    slope.update_analysis_options(slices=50, iterations=800)
    with contextlib.redirect_stderr(io.StringIO()):
        slope.analyse_slope()
    return float(slope.get_min_FOS())


# on flatter faces and with little friction a curved slip is the worse one, as books say
@pytest.mark.parametrize(("face", "friction", "least"), [(80, 25, 0.85), (75, 20, 0.85), (60, 10, 0.75)])
def test_circles_agree_with_flat_planes_on_steep_faces(face: int, friction: int, least: float) -> None:
    # where the flat wedge just slides the worst circle has a factor near one, and never well
    # above it
    height = slopes.PLANE_FAILURE_HEIGHT(
        cohesion=15e3, unit_weight=18e3, friction_angle=math.radians(friction),
        slope_angle=math.radians(face),
    )  # fmt: skip
    assert least < circle_safety(height, face, 15, 18, friction) < 1.05


# --- berms ----------------------------------------------------------------------------------


@given(st.floats(0.2, 5), st.floats(0.5, 5), st.floats(0, 3), st.floats(1, 500))
def test_berm_volume_is_the_mean_width_times_height_and_length(height: float, side: float, crest: float, length: float) -> None:
    base = slopes.BERM_BASE(berm_height=height, side_ratio=side, crest_width=crest)
    volume = slopes.BERM_VOLUME(berm_height=height, side_ratio=side, crest_width=crest, length=length)
    assert volume == pytest.approx((base + crest) / 2 * height * length)


# --- ranges, systems, hand working ----------------------------------------------------------


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: str(f.id))
@given(data=st.data())
def test_in_range_is_a_number_or_a_clear_error(formula: Formula, data: Any) -> None:
    values = {i.name: data.draw(st.floats(*i.bounds), label=i.name) for i in formula.inputs}
    try:
        result = formula(**values)
    except CalculationError as e:
        assert e.what and e.fix
        return
    assert math.isfinite(result) and (result >= -1e-12 or formula.result.at_least is None)


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: str(f.id))
def test_out_of_range_is_refused(formula: Formula) -> None:
    middle = {i.name: sum(i.bounds) / 2 for i in formula.inputs}
    for i in formula.inputs:
        low, high = i.bounds
        for bad in (low - (high - low), high + (high - low), math.nan, math.inf):
            with pytest.raises(CalculationError):
                formula(**{**middle, i.name: bad})


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: str(f.id))
@given(data=st.data())
def test_hand_working_holds_for_other_figures(formula: Formula, data: Any) -> None:
    share = {i.name: data.draw(st.floats(0.05, 0.95), label=i.name) for i in formula.inputs}
    system: System
    for system in SYSTEMS:
        given_now = {}
        for i in formula.inputs:
            low, high = i.bounds
            given_now[i.name] = Quantity.of(low + share[i.name] * (high - low), i.kind, system)
        try:
            done = worked(formula, given_now, system)
        except CalculationError:
            continue
        assert done.exact == pytest.approx(formula.value(given_now))


def test_tables_hold_no_slope_to_allow() -> None:
    assert not any(t for c in slopes.CALCULATIONS for t in getattr(c, "tables", ()))
    assert "excavation-slopes" in tables.load(CONTENT)


# --- a full bucket that swings ---------------------------------------------------------------


def swung(**more: str) -> Outcome:
    texts = {"mass": "50000 lb", "load": "4000 lb", "reach": "32 ft", "cg_height": "3.6 ft", "slope": "10%", "track_gauge": "7.8 ft",
             "track_length": "12 ft", **more}  # fmt: skip
    return slopes_swing.SWING_DOWNHILL.run(slopes_swing.SWING_DOWNHILL.read(texts), "us", {})


def table_of(outcome: Outcome) -> tuple[tuple[float | str, ...], ...]:
    (rows,) = [step for step in outcome.steps if isinstance(step, Rows)]
    return rows.rows


@given(st.floats(100, 2e4), st.floats(1, 15), st.floats(1e4, 1e5), st.floats(1.01, 2))
def test_a_heavier_load_and_a_longer_reach_pull_farther_out(load: float, reach: float, mass: float, more: float) -> None:
    out = slopes_swing.LOAD_OFFSET
    base = out(load=load, reach=reach, mass=mass)
    assert 0 < base < reach
    assert out(load=load * more, reach=reach, mass=mass) > base
    assert out(load=load, reach=reach * more, mass=mass) == pytest.approx(base * more)
    assert out(load=load, reach=reach, mass=mass * more) < base


@given(heights, st.floats(0, 0.5), st.floats(0.1, 3), st.floats(0, math.pi))
def test_weight_goes_farther_downhill_the_farther_the_load_swings_that_way(height: float, slope: float, out: float, swing: float) -> None:
    down = slopes_swing.DOWNHILL
    here = down(cg_height=height, slope=slope, load_offset=out, swing=swing)
    assert here <= down(cg_height=height, slope=slope, load_offset=out, swing=math.pi) + 1e-12
    assert here >= down(cg_height=height, slope=slope, load_offset=out, swing=0) - 1e-12
    side = slopes_swing.ACROSS(load_offset=out, swing=swing)
    assert math.hypot(here - height * slope, side) == pytest.approx(out)


def test_downhill_with_the_tracks_across_is_the_worst_and_the_pad_the_least() -> None:
    rows = table_of(swung())
    assert [round(math.degrees(float(row[0]))) for row in rows] == [0, 45, 90, 135, 180]
    shares = [[float(cell) for cell in row[1:]] for row in rows]
    worst = max(share for row in shares for share in row)
    assert worst == shares[-1][0] == swung().values["worst"].si
    for _, along, pad in shares:
        assert pad < along < worst
    assert shares[2][1] == swung().values["side"].si
    assert shares[1][2] == pytest.approx(shares[3][2])  # a level pad has no downhill


def test_level_ground_leaves_only_the_pull_of_the_load() -> None:
    rows = table_of(swung(slope="0%"))
    assert rows[0][1] == pytest.approx(rows[-1][1])
    assert rows[0][2] == pytest.approx(rows[-1][2])
    assert rows[0][3] == pytest.approx(float(rows[0][2]) / 2)
