"""What holds a machine back on a haul, and what its engine can pull: the rules that go by pounds a ton."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, From, Note, Outcome, Value
from generator.units.quantity import Quantity
from generator.units.table import System

RULE = Source("ksu-ce417", "slides on grade resistance and total resistance")
ARMY_RAIL = Source("army-rail-lesson", "paragraph 2.7, grade resistance")

GRADE = Input(
    "grade", "G", "grade", "the grade, above zero uphill", low="-100%", high="100%", work_us="%", work_metric="%",
    example_us="5%", example_metric="5%",
)  # fmt: skip
ROLLING = Input(
    "rolling_resistance", "r", "resistance", "what the ground holds back of each ton", low="0 lb/ton",
    high="600 lb/ton", example_us="100 lb/ton", example_metric="50 kg/t",
)  # fmt: skip
RATE_RULE = Constant(
    "rule", "k", "resistance", "the rule's pull for each percent of grade", us="20 lb/ton", metric="10 kg/t", source=RULE,
)  # fmt: skip
ONE_PERCENT = Constant(
    "one_percent", "p", "grade", "one percent", us="1%", metric="1%",
    source=Source(None, "what the rule is written for", "derived"),
)  # fmt: skip
GRAVITY = Constant(
    "gravity", "g", "gravity", "the pull of gravity on each unit of mass", us="1 lbf/lb", metric="9.80665 kN/t",
    source=Source(None, "standard gravity", "derived"),
)  # fmt: skip
STEEP = "The rule takes the tangent for the sine: it says too much on steep ground, and for a machine going down it says too much help."

RESISTANCE_RATE = Formula(
    id="dozing.resistance_rate",
    title="Resistance of each ton",
    words="Rolling resistance, plus the rule's pull for each percent of grade.",
    written="rolling_resistance + rule * grade / one_percent",
    result=Output("R", "resistance", "resistance of each ton", at_least=None),
    inputs=(ROLLING, GRADE),
    constants=(RATE_RULE, ONE_PERCENT),
    source=RULE,
    also=(ARMY_RAIL,),
    limits=STEEP + " Downhill the grade helps: below zero, the machine must be held back.",
)

RESISTANCE_GRADE = Formula(
    id="dozing.resistance_grade",
    title="Grade that holds back as much",
    words="The grade, plus the rolling resistance as percent of the weight.",
    written="grade + rolling_resistance",
    result=Output("G_eff", "grade", "effective grade", at_least=None, work_us="%", work_metric="%"),
    inputs=(GRADE, replace(ROLLING, work_us="%", work_metric="%")),
    source=RULE,
    limits=STEEP,
)

RESISTANCE_FORCE = Formula(
    id="dozing.resistance_force",
    title="Pull to overcome the resistance",
    words="The weight in tons times the resistance of each ton.",
    written="mass * resistance * gravity",
    result=Output("F_total", "force", "pull that keeps it moving", work_metric="N", at_least=None),
    inputs=(
        Input("mass", "m", "mass", "the mass of the machine and of all it carries and tows", low="500 lb",
              high="4000000 lb", work_us="ton", work_metric="t", example_us="20 ton", example_metric="20 t"),
        Input("resistance", "R", "resistance", "the resistance of each ton", low="-2000 lb/ton", high="2600 lb/ton",
              example_us="200 lb/ton", example_metric="100 kg/t"),
    ),
    constants=(GRAVITY,),
    source=RULE,
    limits="At a steady speed. Speeding up takes more.",
)  # fmt: skip


def _total_resistance(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    road = {name: given[name] for name in ("rolling_resistance", "grade")}
    rate = RESISTANCE_RATE.value(road)
    return Outcome(
        "total",
        {
            "total": Value(
                RESISTANCE_FORCE(mass=given["mass"].si, resistance=rate), "force",
                "pull that keeps it moving; below zero, what the brakes must hold",
            ),
            "rate": Value(rate, "resistance", RESISTANCE_RATE.result.meaning),
            "effective_grade": Value(RESISTANCE_GRADE.value(road), "grade", "effective grade: the grade that would hold back as much by itself"),
        },
        (
            Applied("rate", RESISTANCE_RATE, road),
            Note("The same in percent:"),
            Applied("effective_grade", RESISTANCE_GRADE, road),
            Applied("total", RESISTANCE_FORCE, {"mass": given["mass"], "resistance": From("rate")}),
        ),
    )  # fmt: skip


TOTAL_RESISTANCE = Procedure(
    id="dozing.total_resistance",
    title="Total resistance on a haul road",
    words="What the ground and the grade hold back of each ton, times the tons.",
    inputs=(RESISTANCE_FORCE.input_by_name["mass"], GRADE, ROLLING),
    source=RULE,
    also=(ARMY_RAIL,),
    limits=STEEP + " At a steady speed: speeding up takes more.",
    run=_total_resistance,
)

DRAWBAR_PULL = Formula(
    id="dozing.drawbar_pull",
    title="Pull the engine can give",
    words="The engine's power, times the share of it that reaches the ground, divided by the speed.",
    written="power * efficiency / speed",
    result=Output("F_engine", "force", "pull at that speed"),
    inputs=(
        Input("power", "P", "power", "the rated power of the engine", low="5 hp", high="4000 hp",
              example_us="200 hp", example_metric="150 kW"),
        Input("efficiency", "η", "factor", "the share of the power that reaches the ground", low="0.2", high="1",
              example_us="0.8", example_metric="0.8"),
        Input("speed", "v", "speed", "the speed over the ground", low="0.2 mph", high="60 mph", example_us="2 mph",
              example_metric="3.5 km/h"),
    ),
    source=Source(None, "power is pull times speed", "derived"),
    also=(Source("peurifoy", "machine power, 375 times horsepower times efficiency over miles an hour", "from memory"),),
    limits="A ceiling of the engine alone. The tracks cannot hold more than their grip gives: at a crawl that comes "
    "first, and the machine's data sheet says what it really pulls. Thin air takes power away.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    TOTAL_RESISTANCE, RESISTANCE_RATE, RESISTANCE_GRADE, RESISTANCE_FORCE, DRAWBAR_PULL,
)  # fmt: skip
