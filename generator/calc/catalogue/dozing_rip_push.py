"""A strip of hard ground, ripped and pushed, beside the same strip pushed as it lies."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.catalogue.dozing_pass_plan import BLADE_LOAD, JOB_FACTORS, MOST_PASSES, SWELL
from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Step, Value
from generator.language.words import said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, up
from generator.units.table import System

HARD_ROW = ("hard to cut without tilt", "track-type")

STRIP_PASSES = Formula(
    id="dozing.rip_strip_passes",
    title="Ripping passes across a strip as wide as the blade",
    words="The width of the blade divided by the distance between passes, to the next whole pass.",
    written="round_up(blade_width / rip_width)",
    result=Output("n_rip", "count", "ripping passes", rounding="rounded up: the last pass may overlap"),
    inputs=(
        Input("blade_width", "W", "length", "the width of the blade", low="2 ft", high="30 ft", example_us="12 ft", example_metric="4 m"),
        Input("rip_width", "W_rip", "length", "the width one pass breaks", low="1 ft", high="30 ft", example_us="3 ft",
              example_metric="0.9 m"),
    ),
    source=Source(None, "passes laid side by side", "derived"),
    limits="One strip that the blade pushes out behind the ripper.",
)  # fmt: skip

STRIP_VOLUME = Formula(
    id="dozing.rip_strip_volume",
    title="Loose ground of a ripped strip",
    words="Length times width times depth, and what it swells.",
    written="pass_length * blade_width * depth * (1 + swell)",
    result=Output("V", "loose_volume", "loose ground of the strip", work_us="ft3"),
    inputs=(
        Input("pass_length", "L", "length", "the length of a pass", low="10 ft", high="3000 ft", example_us="200 ft", example_metric="60 m"),
        STRIP_PASSES.inputs[0],
        Input("depth", "d", "length", "the depth one pass breaks", low="0.1 ft", high="8 ft", example_us="1.5 ft", example_metric="0.5 m"),
        SWELL,
    ),
    source=Source(None, "geometry: the strip as a box", "derived"),
    limits="The ground between the passes breaks to the full depth.",
)  # fmt: skip

PASS_TIME = Input(
    "pass_time",
    "t_pass",
    "time",
    "the time of a ripping pass",
    low="0.05 min",
    high="400 min",
    example_us="2.5 min",
    example_metric="2.5 min",
)
CYCLE = Input(
    "cycle_time", "t_cycle", "time", "the time of one push and return", low="0.05 min", high="60 min", example_us="1.4 min",
    example_metric="1.4 min",
)  # fmt: skip
HARD = Input(
    "hard_factor", "f_hard", "factor", "what a push brings from hard ground, as a part of a full load; left out, the published "
    "factor for ground that is hard to cut gives it", low="0.1", high="1", default="", example_us="0.7", example_metric="0.7",
)  # fmt: skip

_COLUMNS = (Column("Step", "count"), Column("Passes ripped", "count"), Column("Pushes", "count"), Column("Time so far", "time"))


def _rip_push(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    si = {name: q.si for name, q in given.items()}
    hard = si["hard_factor"] if "hard_factor" in si else tables[JOB_FACTORS].cell(*HARD_ROW).middle
    loose = STRIP_VOLUME(pass_length=si["pass_length"], blade_width=si["blade_width"], depth=si["depth"], swell=si["swell"])
    if loose / (si["blade_load"] * hard) > MOST_PASSES:
        raise CalculationError(
            said("this strip would take more than {number} pushes", number=MOST_PASSES),
            "plan it in shorter strips",
            about=("pass_length", "blade_load"),
        )
    passes = up(si["blade_width"] / si["rip_width"])
    pushes, pushes_hard = up(loose / si["blade_load"]), up(loose / (si["blade_load"] * hard))
    ripping, cycle = si["pass_time"], si["cycle_time"]
    time, time_hard = passes * ripping + pushes * cycle, pushes_hard * cycle
    steps: list[Step] = [
        Applied("passes", STRIP_PASSES, {name: given[name] for name in ("blade_width", "rip_width")}),
        Applied("loose", STRIP_VOLUME, {name: given[name] for name in ("pass_length", "blade_width", "depth", "swell")}),
        Note("Ripped, each push brings a full blade."),
        Rows(
            "Rip first",
            _COLUMNS,
            (
                *((k, k, 0, k * ripping) for k in range(1, passes + 1)),
                *((passes + k, passes, k, passes * ripping + k * cycle) for k in range(1, pushes + 1)),
            ),
        ),
        Note("Not ripped, the blade rides up on hard ground, and each push brings a part of a full blade."),
        Rows("Not ripped", _COLUMNS, tuple((k, 0, k, k * cycle) for k in range(1, pushes_hard + 1))),
    ]
    count = "rounded up: the last load may be part full"
    return Outcome(
        "time",
        {
            "passes": Value(float(passes), "count", "ripping passes", rounding="rounded up: the last pass may overlap"),
            "pushes": Value(float(pushes), "count", "pushes after ripping", rounding=count),
            "pushes_hard": Value(float(pushes_hard), "count", "pushes without ripping", rounding=count),
            "time": Value(time, "time", "time to rip and push the strip"),
            "time_hard": Value(time_hard, "time", "time to push the strip without ripping"),
            "longer": Value(max(time, time_hard), "time", "the longer one of the two"),
            "hard_factor": Value(hard, "factor", "what a push brings from hard ground, as a part of a full load"),
            "loose": Value(loose, "loose_volume", "loose ground of the strip"),
        },
        tuple(steps),
    )


RIP_PUSH = Procedure(
    id="dozing.rip_push",
    title="A strip ripped and pushed, and the same strip not ripped",
    words="Ripping passes and full blades, beside more pushes that each bring a part of a blade.",
    inputs=(*STRIP_VOLUME.inputs, STRIP_PASSES.inputs[1], BLADE_LOAD, PASS_TIME, CYCLE, HARD),
    source=Source("dozer-job-factors", "factor for ground that is hard to cut, without tilt"),
    also=(Source("co-drms-ripping", "area method"),),
    limits="Times without a stop. Each load alike. The factor was printed for an hour's output, and is used here for each push. "
    "Ripped rock that breaks in slabs fills a blade worse than ripped earth. Whether ground can be ripped at all is found by trying.",
    run=_rip_push,
    tables=(JOB_FACTORS,),
)
