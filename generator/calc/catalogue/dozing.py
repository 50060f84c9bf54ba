"""Dozing: blade loads, cycles, production, pull on a grade, slots, spoil ramps, ripping.

Volumes ahead of a blade are loose, volumes in the cut are bank; nothing here swaps the two
without a swell.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from generator.calc.catalogue.dozing_drift import CALCULATIONS as DRIFT
from generator.calc.catalogue.dozing_pass_plan import (
    BANK_VOLUME,
    JOB_FACTORS,
    NET_LOAD,
    PASS_PLAN,
    PUSHES,
    SLICE_LENGTH,
    SLOT_PASSES,
    SPOIL_VOLUME,
)
from generator.calc.catalogue.dozing_pile_growth import PILE_GROWTH, PILE_PUSHES
from generator.calc.catalogue.dozing_pull import CALCULATIONS as PULLS
from generator.calc.catalogue.dozing_pull import GRAVITY
from generator.calc.catalogue.dozing_rip_push import RIP_PUSH, STRIP_PASSES, STRIP_VOLUME
from generator.calc.catalogue.dozing_spoil import (
    FAR_RUN,
    MEAN_WIDTH,
    PILE_AREA,
    PILE_BASE,
    PILE_TOP,
    RAMP_HEIGHT,
    RAMP_LENGTH,
    RAMP_WIDTH,
    SIDE_RUN,
    SPOIL_RAMP,
)
from generator.calc.catalogue.dozing_strip_plan import HEAP_HEIGHT, STRIP_PLAN
from generator.calc.catalogue.dozing_strips import (
    AREA_WIDTH,
    STRIPS,
    WINDROW_BASE,
    WINDROWS,
)
from generator.calc.formula import COMMON_PRACTICE, Constant, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Step, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

MASS = Input(
    "mass", "m", "mass", "the mass of the machine, blade and ripper included", low="500 lb",
    high="2000000 lb", work_metric="t", example_us="40,000 lb", example_metric="20 t",
)  # fmt: skip

# --- what a blade carries -------------------------------------------------------------------

BLADE_CAPACITY = Formula(
    id="dozing.blade_capacity",
    title="Blade load of a straight blade",
    words="Eight tenths of the blade's width, times its height, times its height again.",
    written="0.8 * blade_width * blade_height**2",
    result=Output("V_blade", "loose_volume", "blade load, loose", work_us="ft3"),
    inputs=(
        Input("blade_width", "W", "length", "the width of the blade, end bits left out",
              low="2 ft", high="30 ft", example_us="12 ft", example_metric="4 m"),
        Input("blade_height", "H", "length", "the height of the blade", low="0.4 ft", high="12 ft",
              example_us="5 ft", example_metric="1.5 m"),
    ),
    source=Source("dozer-lecture-2007", "step 1"),
    also=(Source("sae-j1265", "volume clauses", "from memory"),),
    requires=(("blade_height", "blade_width", "the blade is higher than it is wide"),),
    limits="A rated figure to compare blades by, on level ground in loose soil. "
    "Wet, sticky or blocky ground gives another load: measure the pile.",
)  # fmt: skip

U_BLADE_CAPACITY = Formula(
    id="dozing.u_blade_capacity",
    title="Blade load of a U-blade",
    words="The load of a straight blade, and what the wings hold in front of it.",
    written="0.8 * blade_width * blade_height**2"
    " + wing_length * blade_height * (blade_width - wing_length) * tan(wing_angle)",
    result=Output("V_blade", "loose_volume", "blade load, loose", work_us="ft3"),
    inputs=(
        Input("blade_width", "W", "length", "the width of the blade, end bits left out",
              low="3 ft", high="30 ft", example_us="14 ft", example_metric="4 m"),
        Input("blade_height", "H", "length", "the height of the blade", low="0.5 ft", high="12 ft",
              example_us="6 ft", example_metric="1.8 m"),
        Input("wing_length", "Z", "length", "the length of a wing, measured along the blade's width",
              low="0.2 ft", high="10 ft", example_us="3 ft", example_metric="1 m"),
        Input("wing_angle", "x", "angle", "how far a wing is turned forward", low="0deg",
              high="45deg", example_us="20deg", example_metric="20deg"),
    ),
    source=Source("sae-j1265", "volume clauses", "from memory"),
    requires=(
        ("blade_height", "blade_width", "the blade is higher than it is wide"),
        ("wing_length", "blade_width", "a wing is longer than the blade is wide"),
    ),
    limits="A rated figure to compare blades by. Both wings are alike, and together they are no "
    "wider than the blade.",
)  # fmt: skip

PILE_LOAD = Formula(
    id="dozing.pile_load",
    title="Blade load from the pile left by one push",
    words="Three eighths of the box that just holds the pile.",
    written="3 / 8 * pile_height * pile_width * pile_length",
    result=Output("V_blade", "loose_volume", "measured blade load, loose", work_us="ft3"),
    inputs=(
        Input("pile_height", "H", "length", "the mean of the pile's heights at the two blade ends",
              low="0.5 ft", high="15 ft", example_us="4 ft", example_metric="1.2 m"),
        Input("pile_width", "W", "length", "the mean of the pile's widths at the two blade ends",
              low="2 ft", high="40 ft", example_us="12 ft", example_metric="4 m"),
        Input("pile_length", "L", "length", "the greatest length of the pile", low="2 ft",
              high="60 ft", example_us="12 ft", example_metric="4 m"),
    ),
    source=Source("fm-5-434", "chapter on dozer production", "from memory"),
    also=(Source("peurifoy", "dozer chapter, blade load measured in the field", "from memory"),),
    limits="Measured on level ground: ease forward, lift the blade, back away. Some books print a "
    "rounded factor for feet and cubic yards that differs in its last digit.",
)  # fmt: skip

# --- cycle and production -------------------------------------------------------------------

CYCLE_TIME = Formula(
    id="dozing.cycle_time",
    title="Time of one push and return",
    words="Time to push, time to back up, and a fixed time to shift and set the blade.",
    written="push_distance / push_speed + push_distance / return_speed + fixed_time",
    result=Output("t_cycle", "time", "cycle time"),
    inputs=(
        Input("push_distance", "d", "length", "how far the load is pushed", low="5 ft",
              high="1500 ft", example_us="200 ft", example_metric="60 m"),
        Input("push_speed", "v_push", "speed", "the speed pushing", low="0.2 mph", high="10 mph",
              example_us="2.5 mph", example_metric="4 km/h"),
        Input("return_speed", "v_return", "speed", "the speed backing up", low="0.2 mph",
              high="15 mph", example_us="5 mph", example_metric="8 km/h"),
        Input("fixed_time", "t_fixed", "time", "the time to shift and to set the blade", low="0 min",
              high="5 min", example_us="0.05 min", example_metric="0.05 min"),
    ),
    source=Source("dozer-lecture-2007", "time of a leg and cycles an hour"),
    also=(Source("nunnally", "chapter 4, dozer production", "from memory"),),
    limits="The machine backs up as far as it pushed. Speeds are means over the leg, not the "
    "fastest of a gear.",
)  # fmt: skip

IDEAL_PRODUCTION = Formula(
    id="dozing.ideal_production",
    title="Production before the factors",
    words="One blade load every cycle, without a stop.",
    written="blade_load / cycle_time",
    result=Output("P_ideal", "volume_rate", "ideal production, loose", work_us="yd3/min",
                  work_metric="m3/min"),
    inputs=(
        Input("blade_load", "V_blade", "loose_volume", "what the blade carries, loose",
              low="0.1 yd3", high="100 yd3", example_us="10 lcy", example_metric="8 lcm"),
        Input("cycle_time", "t_cycle", "time", "the time of one push and return", low="0.05 min",
              high="60 min", example_us="1.4 min", example_metric="1.4 min"),
    ),
    source=Source("dozer-lecture-2007", "cycles an hour"),
    limits="A full hour without a pause, on level ground, by a machine that never waits.",
)  # fmt: skip


def _factor(name: str, symbol: str, meaning: str, default: str | None = "1") -> Input:
    return Input(
        name, symbol, "factor", meaning, low="0.05", high="2", default=default,
        example_us="1", example_metric="1",
    )  # fmt: skip


FACTORS = (
    _factor("operator", "f_operator", "the factor for the operator's skill"),
    _factor("material", "f_material", "the factor for the material"),
    _factor("method", "f_method", "the factor for the way of dozing, such as in a slot"),
    _factor("visibility", "f_visibility", "the factor for how well one can see"),
    _factor("efficiency", "f_efficiency", "the part of the hour worked"),
    _factor("grade", "f_grade", "the factor for the grade: above one downhill, below one uphill"),
    _factor("weight", "f_weight", "the factor for the weight of the material"),
    _factor("other", "f_other", "all other factors multiplied, such as altitude and blade type"),
)

TOTAL_FACTOR = Formula(
    id="dozing.total_factor",
    title="All job factors together",
    words="Multiply all factors.",
    written="operator * material * method * visibility * efficiency * grade * weight * other",
    result=Output("f", "factor", "job factor"),
    inputs=FACTORS,
    source=Source("pe-review-dozers", "opening slides, dozer production"),
    limits="Each factor holds for itself. Do not count one thing twice, such as a slot in both the method and the blade load.",
)

FACTORED_PRODUCTION = Formula(
    id="dozing.factored_production",
    title="Production on the job",
    words="Ideal production times the job factor.",
    written="ideal_production * job_factor",
    result=Output("P", "volume_rate", "production, loose"),
    inputs=(
        Input("ideal_production", "P_ideal", "volume_rate", "ideal production, loose",
              low="0.5 yd3/h", high="20000 yd3/h", example_us="300 yd3/h",
              example_metric="230 m3/h"),
        Input("job_factor", "f", "factor", "all job factors multiplied", low="0.0001", high="10",
              example_us="0.63", example_metric="0.63"),
    ),
    source=Source("pe-review-dozers", "opening slides, dozer production"),
    limits="An estimate for planning. Count loads on the job to correct it.",
)  # fmt: skip


def _optional(i: Input) -> Input:
    return Input(
        i.name, i.symbol, i.kind, i.meaning, i.low, i.high, "", i.work_us, i.work_metric,
        i.example_us, i.example_metric,
    )  # fmt: skip


# the words one may give instead of a factor, and the rows of the published table they stand for
FACTOR_ROWS: Mapping[str, tuple[str, str, Mapping[str, str]]] = {
    "operator_skill": (
        "operator", "the operator's skill, instead of the factor operator",
        {"excellent": "excellent operator", "average": "average operator", "poor": "poor operator"},
    ),
    "material_state": (
        "material", "the state of the material, instead of the factor material",
        {
            name: name
            for name in (
                "loose stockpile", "hard to cut or frozen with tilt", "hard to cut without tilt",
                "hard to drift (dead or sticky)", "ripped or blasted rock",
            )
        },
    ),
    "dozing_method": (
        "method", "the way of dozing, instead of the factor method",
        {"slot dozing": "slot dozing", "side by side": "side by side"},
    ),
    "sight": (
        "visibility", "how well one can see, instead of the factor visibility",
        {"poor": "poor visibility"},
    ),
}  # fmt: skip


def _looked_up(inputs: Mapping[str, Quantity | str], tables: Tables) -> tuple[dict[str, Quantity], list[Step]]:
    """Factors given in words, from the published table for machines on tracks."""
    found: dict[str, Quantity] = {}
    rows: list[tuple[float | str, ...]] = []
    ranged = False
    for choice, (factor, _, names) in FACTOR_ROWS.items():
        if choice not in inputs:
            continue
        if factor in inputs:
            raise CalculationError(f"{choice} stands beside {factor}", "give the factor, or the words for it", about=(choice, factor))
        row = names[str(inputs[choice])]
        cell = tables[JOB_FACTORS].cell(row, "track-type")
        ranged = ranged or cell.low != cell.high
        found[factor] = Quantity(Decimal(f"{cell.middle:.6g}"), "1", "factor")
        rows.append((row, cell.text))
    steps: list[Step] = []
    if rows:
        columns = (Column("Condition", "text"), Column("Factor as printed", "text"))
        steps.append(Rows("Factors from the published table", columns, tuple(rows)))
    if ranged:
        steps.append(Note("Where the table prints a range, its middle is taken."))
    return found, steps


def _production(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    found, steps = _looked_up(inputs, tables)
    given = found | {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    no_effect = Quantity(Decimal(1), "1", "factor")
    factors = {i.name: given.get(i.name, no_effect) for i in FACTORS}
    whole: Quantity | From
    if "ideal_production" in given:
        if "blade_load" in given or "cycle_time" in given:
            raise CalculationError(
                "ideal_production stands beside blade_load or cycle_time",
                "give the ideal production, or the blade load and the cycle time",
                about=("ideal_production", "blade_load", "cycle_time"),
            )
        whole = given["ideal_production"]
        ideal = whole.si
    else:
        for name in ("blade_load", "cycle_time"):
            if name not in given:
                raise CalculationError(
                    f"dozing.production needs {name}",
                    "give blade_load and cycle_time, or ideal_production",
                    about=(name,),
                )
        load = {"blade_load": given["blade_load"], "cycle_time": given["cycle_time"]}
        steps.append(Applied("ideal", IDEAL_PRODUCTION, load))
        ideal = IDEAL_PRODUCTION.value(load)
        whole = From("ideal")
    steps.append(Applied("factor", TOTAL_FACTOR, factors))
    factor = TOTAL_FACTOR.value(factors)
    last = {"ideal_production": whole, "job_factor": From("factor")}
    steps.append(Applied("production", FACTORED_PRODUCTION, last))
    production = FACTORED_PRODUCTION(ideal_production=ideal, job_factor=factor)
    return Outcome(
        "production",
        {
            "production": Value(production, "volume_rate", "production, loose"),
            "ideal": Value(ideal, "volume_rate", "ideal production, loose"),
            "factor": Value(factor, "factor", "job factor"),
        },
        tuple(steps),
    )


PRODUCTION = Procedure(
    id="dozing.production",
    title="Production of a dozer",
    words="Blade loads an hour, times a factor for everything on the job that costs time.",
    inputs=(
        _optional(IDEAL_PRODUCTION.inputs[0]),
        _optional(IDEAL_PRODUCTION.inputs[1]),
        _optional(FACTORED_PRODUCTION.inputs[0]),
        *(_optional(i) for i in FACTORS),
        *(Choice(name, meaning, tuple(rows), "") for name, (_, meaning, rows) in FACTOR_ROWS.items()),
    ),
    source=Source("pe-review-dozers", "opening slides, dozer production"),
    also=(
        Source("co-drms-dozer-1993", "estimating form for bulldozer work"),
        Source("dozer-job-factors", "table of job-condition factors"),
    ),
    tables=(JOB_FACTORS,),
    limits="Give the blade load and the cycle time, or the ideal production read from a chart. "
    "A factor left out counts as one. "
    "The result is loose volume. It is an estimate: count loads on the job to correct it.",
    run=_production,
)

WEIGHT_FACTOR = Formula(
    id="dozing.weight_factor",
    title="Factor for the weight of the material",
    words="What the chart's soil weighs, divided by what this soil weighs, both loose.",
    written="chart_density / loose_density",
    result=Output("f_weight", "factor", "weight factor"),
    inputs=(
        Input("loose_density", "d_loose", "density", "what the loose material weighs",
              low="500 lb/yd3", high="6000 lb/yd3", example_us="2500 lb/yd3",
              example_metric="1500 kg/m3"),
    ),
    constants=(
        Constant("chart_density", "d_chart", "density", "the loose soil the charts are drawn for",
                 us="2300 lb/yd3", metric="1364.54 kg/m3",
                 source=Source("pe-review-dozers", "opening slides, weight factor")),
    ),
    source=Source("pe-review-dozers", "opening slides, weight factor"),
    limits="Goes with production charts drawn for that soil. Light soil gives a factor above one, "
    "but the blade's size still limits the load.",
)  # fmt: skip

JOB_TIME = Formula(
    id="dozing.job_time",
    title="Hours for a job",
    words="Volume divided by production an hour, shared by the dozers.",
    written="volume / (production * dozers)",
    result=Output("t", "time", "working time", us="h", metric="h", work_us="h", work_metric="h"),
    inputs=(
        Input("volume", "V", "loose_volume", "the volume to move, loose", low="1 yd3",
              high="10000000 yd3", example_us="3000 lcy", example_metric="2300 lcm"),
        Input("production", "P", "volume_rate", "what one dozer moves in an hour, loose",
              low="0.5 yd3/h", high="10000 yd3/h", example_us="190 yd3/h",
              example_metric="145 m3/h"),
        Input("dozers", "N", "count", "how many dozers work", low="1", high="50", default="1",
              example_us="1", example_metric="1"),
    ),
    source=Source("pe-review-dozers", "opening slides, time for the job"),
    limits="Volume and production are in the same state, here loose. The dozers do not get in "
    "each other's way.",
)  # fmt: skip

DOZERS_NEEDED = Formula(
    id="dozing.dozers_needed",
    title="Dozers for a job",
    words="Volume divided by what one dozer moves in the time there is, to the next whole dozer.",
    written="round_up(volume / (production * time))",
    result=Output("N", "count", "dozers needed",
                  rounding="rounded up: part of a dozer takes a whole one"),
    inputs=(
        JOB_TIME.inputs[0],
        JOB_TIME.inputs[1],
        Input("time", "t", "time", "the working time there is", low="0.1 h", high="20000 h",
              work_us="h", work_metric="h", example_us="7 h", example_metric="7 h"),
    ),
    source=Source("pe-review-dozers", "opening slides, number of dozers"),
    limits="Volume and production are in the same state, here loose. The dozers do not get in "
    "each other's way.",
)  # fmt: skip

# --- pull and grip --------------------------------------------------------------------------

GRADE = Input(
    "grade", "G", "grade", "the grade, above zero uphill", low="-150%", high="150%",
    example_us="50%", example_metric="50%",
)  # fmt: skip

PULL_TRUE = Formula(
    id="dozing.grade_pull_true",
    title="Pull of a grade on the machine",
    words="The machine's weight times the sine of the slope angle.",
    written="mass * gravity * sin(atan(grade))",
    result=Output("F", "force", "pull down the slope", at_least=None),
    inputs=(MASS, GRADE),
    constants=(GRAVITY,),
    source=Source("ksu-ce417", "slides on grade resistance"),
    limits="Weight alone. Rolling resistance and the load ahead of the blade come on top.",
)

PULL_RULE = Formula(
    id="dozing.grade_pull_rule",
    title="Pull by the rule of thumb",
    words="One hundredth of the weight for each percent of grade.",
    written="mass * rule * grade / one_percent * gravity",
    result=Output("F_rule", "force", "pull by the rule", work_metric="N", at_least=None),
    inputs=(
        Input("mass", "m", "mass", MASS.meaning, low=MASS.low, high=MASS.high, work_us="ton",
              work_metric="t", example_us="20 ton", example_metric="20 t"),
        Input("grade", "G", "grade", GRADE.meaning, low=GRADE.low, high=GRADE.high, work_us="%",
              work_metric="%", example_us="50%", example_metric="50%"),
    ),
    constants=(
        Constant("rule", "k", "resistance", "the rule's pull for each percent of grade",
                 us="20 lb/ton", metric="10 kg/t",
                 source=Source("ksu-ce417", "slides on grade resistance")),
        Constant("one_percent", "p", "grade", "one percent", us="1%", metric="1%",
                 source=Source(None, "what the rule is written for", "derived")),
        GRAVITY,
    ),
    source=Source("ksu-ce417", "slides on grade resistance"),
    limits="Near enough on haul roads. On steep ground it says too much. Some exam keys use "
    "a figure one tenth smaller with metric tons.",
)  # fmt: skip

PULL_RULE_OFF = Formula(
    id="dozing.grade_pull_off",
    title="How far the rule is off",
    words="The length along the slope divided by the level length, less one.",
    written="sqrt(1 + grade**2) - 1",
    result=Output("e", "fraction", "how much the rule says too much"),
    inputs=(GRADE,),
    source=Source(None, "geometry: the rule takes the tangent for the sine", "derived"),
    limits="The same for any machine: it comes from the grade alone.",
)


def _grade_pull(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    return Outcome(
        "pull",
        {
            "pull": Value(PULL_TRUE.value(given), "force", "pull down the slope"),
            "rule": Value(PULL_RULE.value(given), "force", "pull by the rule of thumb"),
            "off": Value(
                PULL_RULE_OFF.value({"grade": given["grade"]}), "fraction",
                "how much the rule says too much",
            ),
        },
        (
            Applied("rule", PULL_RULE, given),
            Applied("off", PULL_RULE_OFF, {"grade": given["grade"]}),
            Note("The rule is right on gentle grades only. The true pull is:"),
            Applied("pull", PULL_TRUE, given),
        ),
    )  # fmt: skip


GRADE_PULL = Procedure(
    id="dozing.grade_pull",
    title="Pull of a grade, and the rule beside it",
    words="Part of the machine's weight pulls it down the slope. A rule of thumb guesses it.",
    inputs=(MASS, GRADE),
    source=Source("ksu-ce417", "slides on grade resistance"),
    limits="Weight alone. Rolling resistance and the load ahead of the blade come on top. "
    "It says nothing about whether the machine is safe on that grade.",
    run=_grade_pull,
)

USABLE_PULL = Formula(
    id="dozing.usable_pull",
    title="Push left over on a grade",
    words="The grip of the tracks, less the pull of the grade, less rolling resistance.",
    written="mass * gravity * (traction * cos(atan(grade)) - sin(atan(grade)) - rolling_resistance)",
    result=Output("F_usable", "force", "push left over", at_least=None),
    inputs=(
        MASS,
        Input("traction", "c", "factor", "the grip of the tracks on this ground, as a part of the "
              "weight", low="0.05", high="1.3", example_us="0.9", example_metric="0.9"),
        Input("grade", "G", "grade", "the grade, above zero uphill", low="-150%", high="150%",
              example_us="20%", example_metric="20%"),
        Input("rolling_resistance", "r", "resistance", "rolling resistance as a part of the weight",
              low="0 lb/ton", high="600 lb/ton", default="0 lb/ton", work_us="1", work_metric="1",
              example_us="100 lb/ton", example_metric="50 kg/t"),
    ),
    constants=(GRAVITY,),
    source=Source("crrel-95-1", "appendix A, drawbar pull on a slope"),
    limits="The engine may give less than the tracks can hold. Below zero, the machine cannot "
    "climb there at all. It is no promise that a grade is safe.",
)  # fmt: skip

LOOSE_GRIP = Formula(
    id="dozing.loose_grip",
    title="Grip on loose fill",
    words="The grip on loose ground, or that on the same ground as it lies, whichever is less.",
    written="least(traction_loose, traction)",
    result=Output("c", "factor", "grip on loose fill"),
    inputs=(
        Input("traction_loose", "c_loose", "factor", "the grip of the tracks on loose ground",
              low="0.05", high="1.3", example_us="0.5", example_metric="0.5"),
        Input("traction", "c_firm", "factor", "the grip of the tracks on the ground as it lies",
              low="0.05", high="1.3", example_us="0.9", example_metric="0.9"),
    ),
    source=COMMON_PRACTICE,
    limits="Loose fill never grips better than the ground it came from. Wet fill grips less still.",
)  # fmt: skip

TRACK_SLIP = Formula(
    id="dozing.track_slip",
    title="Track slip",
    words="The part of the track's own travel that does not move the machine.",
    written="1 - ground_distance / track_distance",
    result=Output("s", "fraction", "track slip"),
    inputs=(
        Input("track_distance", "d_track", "length", "how far the track turned", low="1 ft",
              high="10000 ft", example_us="120 ft", example_metric="40 m"),
        Input("ground_distance", "d_ground", "length", "how far the machine moved", low="0 ft",
              high="10000 ft", example_us="100 ft", example_metric="34 m"),
    ),
    source=COMMON_PRACTICE,
    requires=(("ground_distance", "track_distance", "the machine moved farther than its tracks"),),
    limits="Pushing on the level or uphill. Going downhill the tracks may slide the other way.",
)  # fmt: skip

# --- stripping and ripping ------------------------------------------------------------------

STRIP_LOADS = Formula(
    id="dozing.strip_loads",
    title="Blade loads to strip an area",
    words="The loose volume of the layer divided by a blade load, to the next whole load.",
    written="round_up(area * depth * (1 + swell) / blade_load)",
    result=Output("n", "count", "blade loads", rounding="rounded up: the last load may be part full"),
    inputs=(
        Input("area", "A", "area", "the area to strip", low="10 ft2", high="50000000 ft2",
              example_us="20,000 ft2", example_metric="2000 m2"),
        Input("depth", "d", "length", "the depth stripped", low="0.5 in", high="10 ft",
              example_us="6 in", example_metric="15 cm"),
        Input("swell", "s", "fraction", "how much the soil swells when it is dug", low="0%",
              high="120%", example_us="25%", example_metric="25%"),
        Input("blade_load", "V_blade", "loose_volume", "what the blade carries, loose",
              low="0.1 yd3", high="100 yd3", work_us="ft3", example_us="4 lcy",
              example_metric="3 lcm"),
    ),
    source=Source("co-drms-topsoil-1996", "topsoil task: area times depth"),
    limits="Every load full. Thin layers and spilled windrows take more loads.",
)  # fmt: skip

RIP_PASS_TIME = Formula(
    id="dozing.rip_pass_time",
    title="Time of one ripping pass",
    words="Length divided by speed, and the time to turn.",
    written="pass_length / speed + turn_time",
    result=Output("t_pass", "time", "time of a pass"),
    inputs=(
        Input("pass_length", "L", "length", "the length of a pass", low="10 ft", high="3000 ft",
              example_us="200 ft", example_metric="60 m"),
        Input("speed", "v", "speed", "the speed ripping", low="0.1 mph", high="6 mph",
              example_us="1 mph", example_metric="1.5 km/h"),
        Input("turn_time", "t_turn", "time", "the time to lift, turn and set the ripper again",
              low="0 min", high="10 min", example_us="0.25 min", example_metric="0.25 min"),
    ),
    source=Source("co-drms-ripping", "area method"),
    limits="One-way passes with a turn at each end.",
)  # fmt: skip

RIP_PASSES = Formula(
    id="dozing.rip_passes",
    title="Ripping passes an hour",
    words="How many passes go into an hour's work.",
    written="efficiency / pass_time",
    result=Output("n", "frequency", "passes an hour"),
    inputs=(
        Input("pass_time", "t_pass", "time", "the time of a pass", low="0.05 min", high="400 min",
              work_us="h", work_metric="h", example_us="2.5 min", example_metric="2.5 min"),
        Input("efficiency", "f_efficiency", "factor", "the part of the hour worked", low="0.05",
              high="1", default="1", example_us="0.83", example_metric="0.83"),
    ),
    source=Source("co-drms-ripping", "area method"),
    limits="No time lost beyond the part of the hour not worked.",
)  # fmt: skip

RIP_AREA = Formula(
    id="dozing.rip_area",
    title="Area ripped an hour",
    words="Passes an hour, times the length and the width of one.",
    written="passes * pass_length * rip_width",
    result=Output("A", "area_rate", "area an hour", work_us="ft2/h", work_metric="m2/h"),
    inputs=(
        Input("passes", "n", "frequency", "passes an hour", low="0.1 1/h", high="1200 1/h",
              example_us="24 1/h", example_metric="24 1/h"),
        RIP_PASS_TIME.inputs[0],
        Input("rip_width", "W", "length", "the width one pass breaks", low="1 ft", high="30 ft",
              example_us="6 ft", example_metric="2 m"),
    ),
    source=Source("co-drms-ripping", "area method"),
    limits="Passes lie side by side without overlap.",
)  # fmt: skip

RIP_PASS_VOLUME = Formula(
    id="dozing.rip_pass_volume",
    title="Bank volume of one ripping pass",
    words="Length times width times depth.",
    written="pass_length * rip_width * depth",
    result=Output("V_pass", "bank_volume", "bank volume of a pass", work_us="ft3"),
    inputs=(
        RIP_PASS_TIME.inputs[0],
        RIP_AREA.inputs[2],
        Input("depth", "d", "length", "the depth one pass breaks", low="0.1 ft", high="8 ft",
              example_us="1.5 ft", example_metric="0.5 m"),
    ),
    source=Source("co-drms-ripping", "area method"),
    limits="The ground between the shanks breaks to the full depth.",
)  # fmt: skip

RIP_VOLUME = Formula(
    id="dozing.rip_volume",
    title="Volume ripped an hour",
    words="Passes an hour times the volume of one.",
    written="passes * pass_volume",
    result=Output("P", "volume_rate", "bank volume an hour"),
    inputs=(
        RIP_AREA.inputs[0],
        Input("pass_volume", "V_pass", "bank_volume", "the bank volume of a pass", low="0.01 yd3",
              high="50000 yd3", example_us="60 bcy", example_metric="50 bcm"),
    ),
    source=Source("co-drms-ripping", "area method"),
    limits="Bank volume: the broken ground takes more room.",
)  # fmt: skip


def _ripping(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}

    def some(*names: str) -> dict[str, Quantity | From]:
        return {name: given[name] for name in names}

    def si(*names: str) -> dict[str, float]:
        return {name: given[name].si for name in names}

    time = RIP_PASS_TIME(**si("pass_length", "speed", "turn_time"))
    passes = RIP_PASSES(pass_time=time, **si("efficiency"))
    area = RIP_AREA(passes=passes, **si("pass_length", "rip_width"))
    volume = RIP_PASS_VOLUME(**si("pass_length", "rip_width", "depth"))
    rate = RIP_VOLUME(passes=passes, pass_volume=volume)
    return Outcome(
        "volume",
        {
            "volume": Value(rate, "volume_rate", "bank volume ripped an hour"),
            "area": Value(area, "area_rate", "area ripped an hour"),
            "passes": Value(passes, "frequency", "passes an hour"),
            "pass_time": Value(time, "time", "time of a pass"),
        },
        (
            Applied("time", RIP_PASS_TIME, some("pass_length", "speed", "turn_time")),
            Applied("passes", RIP_PASSES, {"pass_time": From("time"), **some("efficiency")}),
            Applied("area", RIP_AREA, {"passes": From("passes"), **some("pass_length", "rip_width")}),
            Applied("pass_volume", RIP_PASS_VOLUME, some("pass_length", "rip_width", "depth")),
            Applied("volume", RIP_VOLUME, {"passes": From("passes"), "pass_volume": From("pass_volume")}),
        ),
    )  # fmt: skip


RIPPING = Procedure(
    id="dozing.ripping",
    title="Ripping by area",
    words="Passes an hour, times the strip one pass breaks.",
    inputs=(
        *RIP_PASS_TIME.inputs,
        RIP_AREA.inputs[2],
        RIP_PASS_VOLUME.inputs[2],
        RIP_PASSES.inputs[1],
    ),
    source=Source("co-drms-ripping", "area method"),
    limits="Depth and width are what one pass truly breaks. Ground that needs cross ripping or a "
    "second depth takes passes again. Whether ground can be ripped at all is found by trying.",
    run=_ripping,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    BLADE_CAPACITY, U_BLADE_CAPACITY, PILE_LOAD, CYCLE_TIME, PRODUCTION, IDEAL_PRODUCTION,
    TOTAL_FACTOR, FACTORED_PRODUCTION, WEIGHT_FACTOR, JOB_TIME, DOZERS_NEEDED, GRADE_PULL,
    PULL_TRUE, PULL_RULE, PULL_RULE_OFF, USABLE_PULL, *PULLS, *DRIFT, TRACK_SLIP, SLOT_PASSES, PUSHES, PASS_PLAN,
    BANK_VOLUME, SPOIL_VOLUME, NET_LOAD, SLICE_LENGTH, SPOIL_RAMP, PILE_AREA, PILE_BASE, RAMP_LENGTH,
    RAMP_HEIGHT, SIDE_RUN, FAR_RUN, MEAN_WIDTH, RAMP_WIDTH, PILE_TOP, PILE_PUSHES, PILE_GROWTH, LOOSE_GRIP, AREA_WIDTH,
    WINDROW_BASE, STRIPS, WINDROWS, HEAP_HEIGHT, STRIP_PLAN, STRIP_LOADS, RIPPING, RIP_PASS_TIME, RIP_PASSES, RIP_AREA, RIP_PASS_VOLUME,
    RIP_VOLUME, STRIP_PASSES, STRIP_VOLUME, RIP_PUSH,
)  # fmt: skip
