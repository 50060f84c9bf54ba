"""Laws the loading calculations obey whatever the figures."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from generator.calc.catalogue import loading as c
from generator.calc.catalogue import loading_fleet as fleet
from generator.calc.catalogue import loading_schedule
from generator.calc.catalogue.loading_fleet import mean_values
from generator.calc.catalogue.loading_swing_depth import SWING_DEPTH_FACTOR
from generator.calc.catalogue.loading_swing_plan import SWING_PLAN, plans, rear_end_bearing
from generator.calc.catalogue.loading_tally import PASS_TALLY
from generator.calc.formula import Formula, Input
from generator.calc.procedure import Procedure
from generator.calc.steps import Applied, From, Note, Outcome
from generator.calc.tables import Cell, Table
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, System
from generator.working.byhand import worked, worked_chain

FORMULAS = [f for f in c.CALCULATIONS if isinstance(f, Formula)]

masses = st.floats(100, 400_000)
factors = st.floats(0.3, 1.3)
minutes = st.floats(0.5, 30).map(lambda m: m * 60)
angles = st.floats(math.radians(5), math.radians(60))

_SWINGS = ("45", "60", "75", "90", "120", "180")
_ROWS = {
    "30": (1.33, 1.26, 1.21, 1.15, 1.08, 0.95), "50": (1.28, 1.21, 1.16, 1.10, 1.03, 0.91),
    "70": (1.16, 1.10, 1.05, 1.00, 0.94, 0.83), "90": (1.04, 1.00, 0.95, 0.90, 0.85, 0.75),
}  # fmt: skip
TABLES = {
    "swing-depth-factors": Table(
        "swing-depth-factors", "Swing and depth", "excavator-tables-note", "Table 2", "read",
        _SWINGS, dict.fromkeys(_SWINGS, "1"),
        {d: {s: Cell(str(v), v, v) for s, v in zip(_SWINGS, vs, strict=True)} for d, vs in _ROWS.items()},
    )
}  # fmt: skip


def run(procedure: Procedure, _system: System = "metric", /, **texts: str) -> Outcome:
    return procedure.work(procedure.read(texts), _system, TABLES)


def value(outcome: Outcome, name: str) -> float:
    si = outcome.values[name].si
    assert isinstance(si, float)
    return si


# --- every formula --------------------------------------------------------------------------


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.id)
@pytest.mark.parametrize("system", SYSTEMS)
def test_examples_can_be_worked_by_hand(formula: Formula, system: System) -> None:
    given_now = {i.name: Quantity.read(str(i.example_us if system == "us" else i.example_metric), i.kind) for i in formula.inputs}
    done = worked(formula, given_now, system)
    assert done.exact == pytest.approx(formula.value(given_now), rel=1e-12)
    assert done.result.si == pytest.approx(done.exact, rel=6e-3)


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.id)
def test_nothing_outside_its_range_or_unknown_is_taken(formula: Formula) -> None:
    middle = {i.name: Quantity.read(str(i.example_metric), i.kind).si for i in formula.inputs}
    for i in formula.inputs:
        low, high = i.bounds
        for wrong in (low - 1 - abs(low), high * 1.01 + 1, math.nan, math.inf):
            with pytest.raises(CalculationError, match=i.name):
                formula(**{**middle, i.name: wrong})
    with pytest.raises(CalculationError, match="no input 'colour'"):
        formula(**middle, colour=1.0)


@pytest.mark.parametrize("procedure", [p for p in c.CALCULATIONS if isinstance(p, Procedure)], ids=lambda p: p.id)
@pytest.mark.parametrize("system", SYSTEMS)
def test_a_procedure_says_what_its_steps_say(procedure: Procedure, system: System) -> None:
    texts = {i.name: str(getattr(i, "example_us" if system == "us" else "example_metric")) for i in procedure.inputs}
    if procedure is SWING_DEPTH_FACTOR:
        texts["swing_angle"] = "100 deg"
    outcome = run(procedure, system, **texts)
    chain = worked_chain([s for s in outcome.steps if isinstance(s, Applied)], system)
    assert chain[-1].exact == pytest.approx(value(outcome, outcome.main), rel=1e-9)


# --- bucket ---------------------------------------------------------------------------------


@given(w=st.floats(0.2, 4), d=st.floats(0.2, 4), k=st.floats(1.05, 1.2))
def test_a_heap_grows_with_both_sides_and_does_not_care_which_is_which(w: float, d: float, k: float) -> None:
    heap = c.BUCKET_HEAP(inside_width=w, opening=d)
    assert heap == pytest.approx(c.BUCKET_HEAP(inside_width=d, opening=w), rel=1e-12)
    assert c.BUCKET_HEAP(inside_width=w * k, opening=d) > heap
    assert c.BUCKET_HEAP(inside_width=w * k, opening=d * k) == pytest.approx(heap * k**3, rel=1e-9)
    long, short = max(w, d), min(w, d)
    # 1:1 is the rule for buckets; the heap of twice the run is half as high
    steep = c.HEAP_VOLUME(heap_length=long, heap_width=short, side_ratio=1)
    assert heap == pytest.approx(steep, rel=1e-12)
    assert c.HEAP_VOLUME(heap_length=long, heap_width=short, side_ratio=2) == pytest.approx(steep / 2)
    assert c.BUCKET_HEAPED(struck_volume=1.0, inside_width=w, opening=d) == pytest.approx(1 + heap)


def test_a_heap_wider_than_long_is_turned_away() -> None:
    with pytest.raises(CalculationError, match="width of the heap"):
        c.HEAP_VOLUME(heap_length=2.0, heap_width=3.0, side_ratio=2.0)


@given(v=st.floats(0.05, 40), f=factors, d=st.floats(300, 3500))
def test_density_check_undoes_bucket_load(v: float, f: float, d: float) -> None:
    load = c.BUCKET_LOAD(bucket_capacity=v, fill=f, loose_density=d)
    back = c.DENSITY_CHECK(mass_per_bucket=load, bucket_capacity=v, fill=f)
    assert back == pytest.approx(d, rel=1e-9)
    # a bucket less full than thought looks like lighter ground
    short = c.DENSITY_CHECK(mass_per_bucket=0.8 * load, bucket_capacity=v, fill=f)
    assert short == pytest.approx(0.8 * d, rel=1e-9)


@given(m=st.floats(1000, 500_000), length=st.floats(1, 8), shoe=st.floats(0.2, 1.2))
def test_ground_pressure_carries_the_machine(m: float, length: float, shoe: float) -> None:
    p = c.GROUND_PRESSURE(mass=m, track_length=length, shoe_width=shoe)
    assert p * 2 * length * shoe == pytest.approx(m * 9.80665, rel=1e-9)


# --- truck ----------------------------------------------------------------------------------


@given(p=masses.filter(lambda m: m > 500), v=st.floats(0.5, 300), d=st.floats(300, 3500), h=factors)
def test_a_truck_is_never_overloaded_and_never_overfilled(p: float, v: float, d: float, h: float) -> None:
    target = c.TRUCK_TARGET(payload=p, body_volume=v, loose_density=d, heap=h)
    assert target <= p * (1 + 1e-12)
    assert target <= v * h * d * (1 + 1e-12)
    assert target == pytest.approx(min(p, v * h * d), rel=1e-12)


@given(t=masses, b=st.floats(50, 100_000))
def test_passes_fill_the_truck_and_one_less_does_not(t: float, b: float) -> None:
    n = c.PASSES(target=t, bucket_load=b)
    last = c.LAST_PASS(target=t, bucket_load=b)
    assert n == int(n) and n >= 1
    assert n * b >= t * (1 - 1e-8)
    assert (n - 1) * b < t
    assert 0 <= last <= 1 + 1e-6
    assert (n - 1 + last) * b == pytest.approx(t, rel=1e-9)


@given(n=st.integers(1, 60), b=st.floats(50, 5000))
def test_an_even_number_of_buckets_is_not_one_more(n: int, b: float) -> None:
    assert c.PASSES(target=max(n * b, 50.0), bucket_load=b) == n


def test_truck_match_says_which_limit_governs() -> None:
    base = {
        "bucket_capacity": "1.5 m3", "fill": "1", "loose_density": "1500 kg/m3",
        "body_volume": "16 m3", "cycle_time": "20 s",
    }  # fmt: skip
    heavy = run(c.TRUCK_MATCH, payload="20 t", **base)
    light = run(c.TRUCK_MATCH, payload="28 t", **base)
    assert heavy.values["governs"].si == "the payload"
    assert light.values["governs"].si == "the body"
    assert value(heavy, "passes") == 9  # 20 t over 2.25 t is 8.9
    assert value(light, "passes") == 11  # 24 t over 2.25 t is 10.7
    assert value(heavy, "last_pass") == pytest.approx(8 / 9)
    assert value(heavy, "all_full") == pytest.approx(9 * 2.25 / 20)
    assert value(heavy, "one_less") == pytest.approx(8 * 2.25 / 20)
    assert value(heavy, "load_time") == pytest.approx(180)
    assert "rounded up" in str(heavy.values["passes"].rounding)


# --- output ---------------------------------------------------------------------------------


@given(
    v=st.floats(0.05, 40), f=factors, e=st.floats(0.2, 1), t=st.floats(8, 120), s=st.floats(0, 1.2),
    k=st.floats(0.6, 1.5),
)  # fmt: skip
def test_output_is_buckets_times_cycles(v: float, f: float, e: float, t: float, s: float, k: float) -> None:
    p = c.PRODUCTION(bucket_capacity=v, fill=f, swing_depth_factor=k, efficiency=e, cycle_time=t)
    assert p * 3600 == pytest.approx(v * f * k * e * (3600 / t), rel=1e-9)
    bank = c.BANK_PRODUCTION(bucket_capacity=v, fill=f, swing_depth_factor=k, efficiency=e, cycle_time=t, swell=s)
    assert bank * (1 + s) == pytest.approx(p, rel=1e-9)
    assert bank <= p * (1 + 1e-12)


@given(a=st.floats(0.1, 3.1), more=st.floats(1.01, 1.5), w=st.floats(0.1, 1.7))
def test_more_swing_takes_longer_and_a_faster_swing_less(a: float, more: float, w: float) -> None:
    def cycle(angle: float, speed: float) -> float:
        return c.CYCLE_TIME(dig_time=6.0, swing_angle=angle, swing_speed=speed, dump_time=3.0)

    assume(a * more < math.pi)
    assert cycle(a * more, w) > cycle(a, w) > cycle(a, w * more) > 9.0


@given(depth=st.floats(0.3, 0.9), swing=st.floats(45, 180))
def test_swing_depth_factor_stays_within_its_table_and_falls(depth: float, swing: float) -> None:
    def factor(d: float, s: float) -> float:
        texts = {
            "digging_depth": f"{d * 10:.6f} m", "max_digging_depth": "10 m",
            "swing_angle": f"{s:.6f} deg",
        }  # fmt: skip
        return value(run(SWING_DEPTH_FACTOR, **texts), "factor")

    here = factor(depth, swing)
    assert 0.75 - 1e-9 <= here <= 1.33 + 1e-9
    assert factor(min(depth + 0.03, 0.9), swing) <= here + 1e-9
    assert factor(depth, min(swing + 5, 180)) <= here + 1e-9


@pytest.mark.parametrize(("depth", "row"), [("3 m", "30"), ("5 m", "50"), ("7 m", "70"), ("9 m", "90")])
def test_swing_depth_factor_prints_the_table_where_it_has_a_value(depth: str, row: str) -> None:
    for swing, printed in zip(_SWINGS, _ROWS[row], strict=True):
        outcome = run(
            SWING_DEPTH_FACTOR, digging_depth=depth, max_digging_depth="10 m",
            swing_angle=f"{swing} deg",
        )  # fmt: skip
        assert value(outcome, "factor") == printed


@pytest.mark.parametrize(("depth", "swing"), [("2.9 m", "90 deg"), ("9.1 m", "90 deg"), ("5 m", "44 deg")])
def test_swing_depth_factor_never_goes_beyond_its_table(depth: str, swing: str) -> None:
    with pytest.raises(CalculationError, match="no value for this"):
        run(SWING_DEPTH_FACTOR, digging_depth=depth, max_digging_depth="10 m", swing_angle=swing)


# --- swing plan -----------------------------------------------------------------------------

plan_inputs = st.fixed_dictionaries({
    "passes": st.integers(1, 20), "dig_arc": angles, "swing_near": angles,
    "body_length": st.floats(3, 9), "truck_distance": st.floats(9, 15),
    "truck_angle": st.floats(math.radians(50), math.radians(130)),
})  # fmt: skip


@given(inputs=plan_inputs)
def test_far_to_near_and_front_to_rear_shortens_the_swing(inputs: dict[str, float]) -> None:
    plan, opposite, *_ = plans(**inputs)  # type: ignore[arg-type]
    assert list(plan.out) == sorted(plan.out, reverse=True)
    assert list(opposite.out) == sorted(opposite.out)
    assert min(plan.out) > 0 and min(plan.back) > 0
    assert sorted(plan.out) == sorted(opposite.out)


@given(inputs=plan_inputs)
def test_order_changes_what_is_waited_for_but_not_the_whole_swing(inputs: dict[str, float]) -> None:
    four = plans(**inputs)  # type: ignore[arg-type]
    assert len({p.whole for p in four}) == 1
    far, near = four[0].digs[0], four[0].digs[-1]
    # the far dig is made while the truck backs up, so that much is saved out and back
    assert four[1].waited_for - four[0].waited_for == 2 * (near - far)
    assert four[2].waited_for == four[0].waited_for
    assert four[3].waited_for == four[1].waited_for
    for p in four:
        assert p.waited_for <= p.whole


@given(inputs=plan_inputs)
def test_the_truck_seen_from_behind_a_mirror_swings_the_same(inputs: dict[str, float]) -> None:
    square = plans(**{**inputs, "truck_angle": math.pi / 2})[0]  # type: ignore[arg-type]
    assert list(square.fills) == [-f for f in reversed(square.fills)]


def test_the_procedure_adds_up_what_it_prints() -> None:
    texts = {
        "passes": "6", "dig_arc": "40 deg", "swing_near": "30 deg", "body_length": "18 ft",
        "truck_distance": "22 ft", "swing_speed": "20 deg/s",
    }  # fmt: skip
    outcome = run(SWING_PLAN, "us", **texts)
    saved = value(outcome, "swing_time_opposite") - value(outcome, "swing_time")
    assert value(outcome, "saved_time") == pytest.approx(saved)
    assert saved > 0
    assert value(outcome, "swing_time") == pytest.approx(value(outcome, "swing") / math.radians(20))
    assert value(outcome, "first_swing") > value(outcome, "last_swing")


def test_one_pass_has_nothing_to_wait_for() -> None:
    outcome = run(
        SWING_PLAN, passes="1", dig_arc="30 deg", swing_near="30 deg", body_length="5 m",
        truck_distance="8 m", swing_speed="20 deg/s",
    )  # fmt: skip
    assert value(outcome, "swing_time") == 0
    assert value(outcome, "saved_time") == 0


def test_the_rear_end_lies_short_of_the_middle_and_never_at_the_swing_centre_itself() -> None:
    """Worked by hand, no source: half of 6 m back, across the line to a body 8 m off."""
    assert math.tan(rear_end_bearing(6, 8, math.pi / 2)) == pytest.approx(-3 / 8)
    for half in (5, 5.1):
        with pytest.raises(CalculationError, match="over the swing centre"):
            rear_end_bearing(2 * half, 5, 0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"passes": "2.5"}, "not a whole number"),
        ({"swing_near": "160 deg"}, "over half a turn"),
        ({"truck_distance": "4 m", "body_length": "9 m", "truck_angle": "20 deg"}, "over the swing centre"),
    ],
)  # fmt: skip
def test_a_plan_that_cannot_be_swung_is_turned_away(change: dict[str, str], words: str) -> None:
    texts = {
        "passes": "6", "dig_arc": "40 deg", "swing_near": "30 deg", "body_length": "5 m",
        "truck_distance": "8 m", "swing_speed": "20 deg/s",
    }  # fmt: skip
    with pytest.raises(CalculationError, match=words):
        run(SWING_PLAN, **{**texts, **change})


# --- fleet ----------------------------------------------------------------------------------


@given(n=st.integers(1, 40), load=st.floats(0.5, 10), away=st.floats(2, 90))
def test_the_fleet_gives_what_the_shares_of_the_queue_give(n: int, load: float, away: float) -> None:
    """Mean values, against P0 = 1 / sum N!/(N-k)! (load/away)^k worked in another way."""
    rows = mean_values(n, load, away)
    ways = sum(math.perm(n, k) * (load / away) ** k for k in range(n + 1))
    assert rows[-1][1] * load == pytest.approx(1 - 1 / ways, rel=1e-9)


@given(n=st.integers(1, 40), load=st.floats(0.5, 10), away=st.floats(2, 90))
def test_waiting_costs_but_another_truck_never_hauls_less(n: int, load: float, away: float) -> None:
    rows = mean_values(n, load, away)
    for k, (there, rate, queue) in enumerate(rows, start=1):
        assert rate <= min(k / (load + away), 1 / load) * (1 + 1e-12)
        assert there >= load * (1 - 1e-12)
        assert queue <= k
    rates = [r for _, r, _ in rows]
    assert all(b >= a * (1 - 1e-12) for a, b in itertools.pairwise(rates))


def test_one_truck_never_waits_and_many_keep_the_loader_busy() -> None:
    one = run(fleet.FLEET_OUTPUT, trucks="1", load_time="4 min", away_time="16 min")
    assert value(one, "loads_per_hour") == pytest.approx(value(one, "without_waiting"), rel=1e-12)
    assert value(one, "wait_time") == pytest.approx(0, abs=1e-9)
    many = run(fleet.FLEET_OUTPUT, trucks="60", load_time="4 min", away_time="16 min")
    assert value(many, "loader_busy") == pytest.approx(1, abs=1e-6)
    with pytest.raises(CalculationError, match="whole number"):
        run(fleet.FLEET_OUTPUT, trucks="2.5", load_time="4 min", away_time="16 min")


@given(t=minutes, r=st.floats(1.05, 20))
def test_trucks_match_factor_and_balance_agree(t: float, r: float) -> None:
    cycle = t * r
    assume(cycle < 9 * 3600)
    needed = fleet.TRUCKS_NEEDED(truck_cycle=cycle, load_time=t)
    balance = fleet.BALANCE_NUMBER(truck_cycle=cycle, load_time=t)
    assert needed - 1 < balance <= needed * (1 + 1e-8)
    match = fleet.MATCH_FACTOR(trucks=needed, loaders=1, load_time=t, truck_cycle=cycle)
    assert match >= 1 - 1e-8
    assert match == pytest.approx(needed / balance, rel=1e-9)
    if needed > 1:
        fewer = fleet.MATCH_FACTOR(trucks=needed - 1, loaders=1, load_time=t, truck_cycle=cycle)
        assert fewer < 1 + 1e-8
    two = fleet.MATCH_FACTOR(trucks=needed, loaders=2, load_time=t, truck_cycle=cycle)
    assert two == pytest.approx(match / 2, rel=1e-9)


@given(load=st.floats(60, 600), out=st.floats(1, 12), back=st.floats(1, 12), far=st.floats(100, 8000))
def test_a_round_is_the_loading_and_the_time_away(load: float, out: float, back: float, far: float) -> None:
    cycle = fleet.TRUCK_CYCLE(
        load_time=load, haul_distance=far, haul_speed=out, truck_dump_time=90.0, empty_speed=back,
        spot_time=30.0,
    )  # fmt: skip
    assert fleet.AWAY_TIME(truck_cycle=cycle, load_time=load) + load == pytest.approx(cycle)
    assert cycle > load + far / out + far / back


def test_a_chain_from_bucket_to_trucks_is_worked_by_hand_in_both_systems() -> None:
    inputs = {
        "load": {"bucket_capacity": "1.5 yd3", "fill": "105%", "loose_density": "2480 lb/yd3"},
        "target": {"payload": "30 ton", "body_volume": "25 yd3", "loose_density": "2480 lb/yd3"},
    }
    for system in SYSTEMS:
        chain = worked_chain([
            Applied("load", c.BUCKET_LOAD, c.BUCKET_LOAD.read(inputs["load"])),
            Applied("target", c.TRUCK_TARGET, c.TRUCK_TARGET.read(inputs["target"])),
            Applied("passes", c.PASSES, {"target": From("target"), "bucket_load": From("load")}),
            Applied("time", c.TIME_TO_LOAD,
                    {"passes": From("passes"), "cycle_time": Quantity.read("22 s", "time")}),
        ], system)  # fmt: skip
        assert [str(w.result) for w in chain[2:]] == ["16", "5.87 min"]


def test_a_tally_of_a_truck_that_takes_no_full_bucket_is_refused() -> None:
    assert value(run(PASS_TALLY, payload="3 t", mass_per_bucket="3 t"), "full") == 1
    with pytest.raises(CalculationError, match="more than the truck may carry"):
        run(PASS_TALLY, payload="3 t", mass_per_bucket="3.1 t")


@pytest.mark.parametrize(
    ("minutes", "shown", "step"),
    [  # ten minutes at least, in no more than 24 steps: by hand
        (4, 600, 30), (10, 600, 30), (12, 720, 30), (12.1, 780, 60), (24, 1440, 60), (24.1, 1560, 120), (48, 2880, 120), (49, 3060, 180), (72, 4320, 180),
        (73, 4500, 300), (120, 7200, 300), (121, 7800, 600), (240, 14400, 600), (241, 15300, 900), (360, 21600, 900), (361, 23400, 1800),
    ],
)  # fmt: skip
def test_the_clock_of_a_fleet_goes_in_round_steps(minutes: float, shown: int, step: int) -> None:
    assert loading_schedule.window(minutes * 60) == (shown, step)


def test_each_sum_of_bucket_and_truck_stands_once_in_the_working_in_the_order_it_is_needed() -> None:
    match = c.TRUCK_MATCH
    given_ = match.read({i.name: i.example_us for i in match.inputs if isinstance(i, Input) and i.example_us and i.default is None})
    steps = match.work(given_, "us", {}).steps
    names = [s.name for s in steps if isinstance(s, Applied)]
    assert len(names) == len(set(names)) > 2
    for n, step in enumerate(s for s in steps if isinstance(s, Applied)):
        assert {v.step for v in step.inputs.values() if isinstance(v, From)} <= set(names[:n]), step.name
    (note,) = (n for n, s in enumerate(steps) if isinstance(s, Note))
    assert note == 2
