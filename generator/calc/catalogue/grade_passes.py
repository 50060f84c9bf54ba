"""Work pass by pass: a slope cut in lifts from its top, and a surface finished strip beside strip."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

DERIVED = Source(None, "geometry of an even slope", "derived")

HEIGHT = Input(
    "rise", "h", "length", "the height of the slope", low="0.1 ft", high="1000 ft", example_us="20 ft", example_metric="6 m",
)  # fmt: skip
MOST_DEPTH = Input(
    "most_depth", "d_most", "length", "the most that one lift may be deep; the blade's height at most", low="0.3 ft", high="20 ft",
    example_us="4 ft", example_metric="1.2 m",
)  # fmt: skip
SLOPE = Input(
    "grade", "G", "grade", "the grade of the finished slope", low="2%", high="200%", example_us="25%", example_metric="25%",
)  # fmt: skip
LIFTS = Input("lifts", "n", "count", "how many lifts", low="1", high="4000", example_us="5", example_metric="5")

LIFT_COUNT = Formula(
    id="grade.lift_count",
    title="Lifts of a slope",
    words="The height of the slope over the most a lift may be deep, to the next whole lift.",
    written="round_up(rise / most_depth)",
    result=Output("n", "count", "lifts", rounding="rounded up: so that no lift is deeper than that"),
    inputs=(HEIGHT, MOST_DEPTH),
    source=COMMON_PRACTICE,
    limits="Lifts of one depth. Hard, wet or layered ground may ask for thinner ones.",
)

LIFT_DEPTH = Formula(
    id="grade.lift_depth",
    title="Depth of one lift",
    words="The height of the slope, shared by the lifts.",
    written="rise / lifts",
    result=Output("d", "length", "depth of one lift"),
    inputs=(HEIGHT, LIFTS),
    source=DERIVED,
    limits="All lifts alike, measured plumb.",
)

LEFT_ABOVE = Formula(
    id="grade.left_above",
    title="Ground left standing over the first cut, if that is at the toe",
    words="The height of the slope, less one lift.",
    written="rise - lift_depth",
    result=Output("h_left", "length", "ground left standing over a first cut at the toe", at_least=None),
    inputs=(
        HEIGHT,
        Input("lift_depth", "d", "length", "the depth of one lift", low="0.1 ft", high="20 ft", example_us="4 ft", example_metric="1.2 m"),
    ),
    source=DERIVED,
    limits="It says how much there is to come down, and not whether it will. Cut from the top there is none.",
)

RUN = Formula(
    id="grade.run",
    title="How far out a slope is at a depth",
    words="The depth divided by the grade.",
    written="rise / grade",
    result=Output("L", "length", "level distance"),
    inputs=(
        Input("rise", "h", "length", "how far down it is", low="0 ft", high="1000 ft", example_us="20 ft", example_metric="6 m"),
        SLOPE,
    ),
    source=Source("slope-stake-table", "distance out for a height"),
    limits="Measured level, from the stake at the crest.",
)


def _lifts(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    rise, slope = given["rise"].si, given["grade"].si
    count = LIFT_COUNT(rise=rise, most_depth=given["most_depth"].si)
    depth = LIFT_DEPTH(rise=rise, lifts=count)
    left = LEFT_ABOVE(rise=rise, lift_depth=depth)
    rows, down = [], 0.0
    for number in range(1, round(count) + 1):
        down += depth
        rows.append((number, down, RUN(rise=down, grade=slope), depth * (count - number)))
    _, deep, out, _ = rows[-1]
    return Outcome(
        "lifts",
        {
            "lifts": Value(count, "count", LIFT_COUNT.result.meaning, rounding=LIFT_COUNT.result.rounding),
            "lift_depth": Value(depth, "length", LIFT_DEPTH.result.meaning),
            "left_above": Value(left, "length", LEFT_ABOVE.result.meaning),
            "down": Value(deep, "length", "how far down the last lift ends"),
            "out": Value(out, "length", "how far out from the crest the last lift ends"),
            "to_come": Value(rows[0][3], "length", "ground still to cut after the first lift"),
        },
        (
            Applied("lifts", LIFT_COUNT, {"rise": given["rise"], "most_depth": given["most_depth"]}),
            Applied("lift_depth", LIFT_DEPTH, {"rise": given["rise"], "lifts": From("lifts")}),
            Applied("left_above", LEFT_ABOVE, {"rise": given["rise"], "lift_depth": From("lift_depth")}),
            Note("From the top down, after each lift:"),
            Rows(
                "From the top down",
                (Column("Lift", "count"), Column("Down from the crest", "length"), Column("Out from the crest", "length"),
                 Column("Still to cut", "length")),
                tuple(rows),
            ),
        ),
    )  # fmt: skip


LIFT_PLAN = Procedure(
    id="grade.lifts",
    title="A slope cut in lifts, from the top down",
    words="As many lifts as keep each no deeper than the blade is high. After each, so far down and so far out from the crest.",
    inputs=(HEIGHT, SLOPE, MOST_DEPTH),
    source=COMMON_PRACTICE,
    also=(Source("slope-stake-table", "distance out for a height"),),
    limits="For an even slope. It gives what to check, and not that a slope stands.",
    run=_lifts,
)

# --- strip beside strip ---------------------------------------------------------------------

BLADE_WIDTH = Input(
    "blade_width", "W", "length", "the width of one strip: that of the blade", low="2 ft", high="30 ft", example_us="12 ft",
    example_metric="4 m",
)  # fmt: skip
PASSES = Input("passes", "n", "count", "how many passes side by side", low="2", high="100", default="6", example_us="6", example_metric="6")

PASSES_WIDTH = Formula(
    id="grade.passes_width",
    title="Width of passes side by side",
    words="The passes times the width of one.",
    written="passes * blade_width",
    result=Output("B", "length", "width of the passes together"),
    inputs=(PASSES, BLADE_WIDTH),
    source=DERIVED,
    limits="Side by side, without an overlap. With one they cover less.",
)

FALL = Input("grade", "G", "grade", "the grade", low="0%", high="60%", example_us="4%", example_metric="4%")
DROP_ACROSS = Formula(
    id="grade.drop_across",
    title="How far a surface drops over the width of its passes",
    words="The grade times the width.",
    written="grade * width",
    result=Output("h", "length", "drop over the width"),
    inputs=(
        FALL,
        Input("width", "B", "length", "the width of the passes together", low="0 ft", high="3000 ft", example_us="72 ft",
              example_metric="24 m"),
    ),
    source=DERIVED,
    limits="The width is level.",
)  # fmt: skip


def _held(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    blade, fall, error = (given[name].si for name in ("blade_width", "cross_slope", "slope_error"))
    passes = given["passes"]
    rows, wide = [], 0.0
    for number in range(1, round(passes.si) + 1):
        wide += blade
        rows.append((number, wide, DROP_ACROSS(grade=fall, width=wide), DROP_ACROSS(grade=error, width=wide)))
    _, covered, planned, off = rows[-1]
    return Outcome(
        "off",
        {
            "off": Value(off, "length", "how far off the low edge ends", us="in", metric="mm", places=1),
            "drop": Value(planned, "length", "how far the plan drops over the width"),
            "width": Value(covered, "length", PASSES_WIDTH.result.meaning),
            "one_strip": Value(rows[0][3], "length", "how far off one strip ends", us="in", metric="mm", places=1),
        },
        (
            Applied("width", PASSES_WIDTH, {"passes": passes, "blade_width": given["blade_width"]}),
            Applied("drop", DROP_ACROSS, {"grade": given["cross_slope"], "width": From("width")}),
            Applied("off", DROP_ACROSS, {"grade": given["slope_error"], "width": From("width")}),
            Rows(
                "Pass by pass, from the high edge",
                (Column("Pass", "count"), Column("Width so far", "length"), Column("The plan drops", "length"),
                 Column("Cut too low", "length", us="in", metric="mm", places=1)),
                tuple(rows),
            ),
        ),
    )  # fmt: skip


HELD_PASSES = Procedure(
    id="grade.held_passes",
    title="A cross slope held pass by pass, and what a wrong reading does to it",
    words="Each pass is set by the edge of the last. A reading that is off by so much puts each strip off by that, and the next one on top of it.",
    inputs=(
        Input("cross_slope", "b", "grade", "the cross slope of the plan", low="0%", high="60%", example_us="4%", example_metric="4%"),
        BLADE_WIDTH,
        PASSES,
        Input("slope_error", "e", "grade", "how far off the reading is", low="0%", high="60%", default="0%", example_us="0.6%",
              example_metric="0.6%"),
    ),
    source=DERIVED,
    limits="Strips side by side, each set by the edge of the last one and by the reading alone. A stake checked in between ends the adding up.",
    run=_held,
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    LIFT_PLAN, LIFT_COUNT, LIFT_DEPTH, LEFT_ABOVE, RUN, HELD_PASSES, PASSES_WIDTH, DROP_ACROSS,
)  # fmt: skip
