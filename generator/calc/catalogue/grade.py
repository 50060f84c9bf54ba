"""Grades: percent, ratio, degrees, drop, main fall and cross slope."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.catalogue.grade_levels import CALCULATIONS as LEVELS
from generator.calc.catalogue.grade_pad import PADS
from generator.calc.catalogue.grade_passes import CALCULATIONS as PASSES
from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Note, Outcome, Value
from generator.units.quantity import Quantity
from generator.units.table import System

DEFINITION = Source("ksu-ce417", "slides on grade resistance: rise in a hundred of level run")
GEOMETRY = Source(None, "geometry of a sloping plane", "derived")

GRADE = Input("grade", "G", "grade", "how steep it is", low="0%", high="500%", example_us="25%", example_metric="25%")

PERCENT = Formula(
    id="grade.percent",
    title="Grade from rise and run",
    words="Rise divided by run, both in the same unit.",
    written="rise / run",
    result=Output("G", "grade", "grade"),
    inputs=(
        Input("rise", "h", "length", "how far it goes up or down", low="0 ft", high="10000 ft",
              example_us="25 ft", example_metric="25 m"),
        Input("run", "L", "length", "how far it goes along, measured level", low="0.01 ft",
              high="100000 ft", example_us="100 ft", example_metric="100 m"),
    ),
    source=DEFINITION,
    limits="The run is measured level, not along the slope.",
)  # fmt: skip

ANGLE = Formula(
    id="grade.angle",
    title="Degrees from a grade",
    words="The grade as an angle: the inverse tan key of a calculator gives it.",
    written="atan(grade)",
    result=Output("θ", "angle", "angle to the level"),
    inputs=(GRADE,),
    source=GEOMETRY,
    limits="Percent and degrees are different scales: a full hundred percent is half of a right angle.",
)

READ_AS_DEGREES = Formula(
    id="grade.read_as_degrees",
    title="The slope that a percent read as degrees leads to",
    words="The tangent of that many degrees: the tan key of a calculator gives it.",
    written="tan(grade * as_degrees)",
    result=Output("G_wrong", "grade", "the slope where a dial in degrees shows that figure"),
    inputs=(
        Input("grade", "G", "grade", "the grade in percent, taken for degrees", low="0%", high="60%", example_us="15%", example_metric="15%"),
    ),
    constants=(
        Constant("as_degrees", "100°", "angle", "a percent taken for a degree", us="100deg", metric="100deg",
                 source=Source(None, "geometry", "derived")),
    ),
    source=Source("slope-units-questions", "table of slopes"),
    limits="What goes wrong, not a slope to work on.",
)  # fmt: skip

RATIO = Formula(
    id="grade.ratio",
    title="Run for one of rise",
    words="One divided by the grade.",
    written="1 / grade",
    result=Output("n", "ratio", "run for one of rise"),
    inputs=(
        Input("grade", "G", "grade", "how steep it is", low="0.1%", high="500%", example_us="25%",
              example_metric="25%"),
    ),
    source=Source("timber-sale-road-spec", "clause table of cut and fill slopes"),
    limits="Written run to rise, as on earthwork plans. Some books write rise to run.",
)  # fmt: skip

DROP = Formula(
    id="grade.drop",
    title="How far a grade goes up or down",
    words="Grade times level distance.",
    written="grade * distance",
    result=Output("h", "length", "change in height"),
    inputs=(
        GRADE,
        Input("distance", "L", "length", "the distance, measured level", low="0 ft", high="100000 ft",
              example_us="250 ft", example_metric="80 m"),
    ),
    source=DEFINITION,
    limits="The distance is level, not along the slope.",
)  # fmt: skip

SLOPE_LENGTH = Formula(
    id="grade.slope_length",
    title="Length along a slope",
    words="Rise over the sine of the slope's angle.",
    written="rise / sin(atan(grade))",
    result=Output("S", "length", "length along the slope"),
    inputs=(
        Input("rise", "h", "length", "how far it goes up", low="0 ft", high="10000 ft", example_us="20 ft",
              example_metric="6 m"),
        Input("grade", "G", "grade", "how steep it is", low="0.1%", high="500%", example_us="50%",
              example_metric="50%"),
    ),
    source=GEOMETRY,
    limits="For an even slope.",
)  # fmt: skip

STEEPEST = Formula(
    id="grade.steepest",
    title="True steepest grade",
    words="Square both grades, add them, take the root.",
    written="sqrt(main_fall**2 + cross_slope**2)",
    result=Output("G_max", "grade", "true steepest grade"),
    inputs=(
        Input("main_fall", "a", "grade", "the grade one way", low="0%", high="300%", example_us="3%",
              example_metric="3%"),
        Input("cross_slope", "b", "grade", "the grade square to it", low="0%", high="300%",
              example_us="4%", example_metric="4%"),
    ),
    source=GEOMETRY,
    limits="The two grades are measured square to each other on one flat plane.",
)  # fmt: skip

STEEPEST_INPUT = Input(
    "steepest", "G_max", "grade", "the grade straight down the fall", low="0%", high="300%",
    example_us="25%", example_metric="25%",
)  # fmt: skip
HEADING_INPUT = Input(
    "heading", "α", "angle", "how far the travel is turned off the fall line", low="0 deg", high="90 deg",
    example_us="30deg", example_metric="30deg",
)  # fmt: skip

ALONG = Formula(
    id="grade.along_heading",
    title="Grade in the direction of travel",
    words="Steepest grade times the cosine of the turn off the fall line.",
    written="steepest * cos(heading)",
    result=Output("a", "grade", "grade along the travel"),
    inputs=(STEEPEST_INPUT, HEADING_INPUT),
    source=GEOMETRY,
    limits="On one flat plane.",
)

ACROSS = Formula(
    id="grade.across_heading",
    title="Cross slope in the direction of travel",
    words="Steepest grade times the sine of the turn off the fall line.",
    written="steepest * sin(heading)",
    result=Output("b", "grade", "cross slope under the machine"),
    inputs=(STEEPEST_INPUT, HEADING_INPUT),
    source=GEOMETRY,
    limits="On one flat plane.",
)


def _heading(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {n: q for n, q in inputs.items() if isinstance(q, Quantity)}
    return Outcome(
        "main_fall",
        {
            "main_fall": Value(ALONG.value(given), "grade", "main fall, along the travel"),
            "cross_slope": Value(ACROSS.value(given), "grade", "cross slope, square to the travel"),
        },
        (
            Note("Turned off the fall line, part of the slope lies along the travel and part across it."),
            Applied("cross_slope", ACROSS, given),
            Applied("main_fall", ALONG, given),
        ),
    )


HEADING = Procedure(
    id="grade.heading",
    title="Main fall and cross slope of a heading",
    words="Straight down the fall there is no cross slope; square to it there is nothing else.",
    inputs=(STEEPEST_INPUT, HEADING_INPUT),
    source=GEOMETRY,
    limits="On one flat plane. The heading is measured from the fall line, seen from above.",
    run=_heading,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    PERCENT, ANGLE, READ_AS_DEGREES, RATIO, DROP, SLOPE_LENGTH, STEEPEST, HEADING, ALONG, ACROSS, *PASSES, *LEVELS, *PADS,
)  # fmt: skip
