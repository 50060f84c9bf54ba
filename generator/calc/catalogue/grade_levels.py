"""Levels: from a benchmark to the blade, with a laser, a rod or a string."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Step, Value
from generator.language.words import mark, said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

OPERATOR_COURSE = Source("navy-equipment-operator", "checking grade with a level instrument")
SIGHT = Source("leveling-lecture", "booking by the height of the instrument")
LEVEL_LINE = Source(None, "geometry of a level line of sight", "derived")
TILTED = Source(None, "geometry of a line that is off level", "derived")


def _elevation(name: str, symbol: str, meaning: str, us: str, metric: str) -> Input:
    return Input(name, symbol, "length", meaning, low="-1600 ft", high="20100 ft", example_us=us, example_metric=metric)


def _reading(name: str, symbol: str, meaning: str, us: str, metric: str) -> Input:
    return Input(name, symbol, "length", meaning, low="0 ft", high="30 ft", example_us=us, example_metric=metric)


BENCHMARK = _elevation("benchmark", "Z_b", "the height of the benchmark, from the plan", "21.36 ft", "6.51 m")
BACKSIGHT = _reading("backsight", "r_b", "the rod's reading on the benchmark", "4.85 ft", "1.48 m")
INSTRUMENT = _elevation("instrument_height", "Z_i", "the height of the laser's line", "26.21 ft", "7.99 m")
DESIGN = _elevation("design", "Z_d", "the height the plan asks for", "19.2 ft", "5.85 m")
GROUND = _elevation("ground", "Z_g", "the height of the ground as it lies", "20.61 ft", "6.28 m")

INSTRUMENT_HEIGHT = Formula(
    id="grade.instrument_height",
    title="Height of the laser's line",
    words="The height of the benchmark, and the rod's reading on it.",
    written="benchmark + backsight",
    result=Output("Z_i", "length", "height of the laser's line", at_least=None, places=2),
    inputs=(BENCHMARK, BACKSIGHT),
    source=OPERATOR_COURSE,
    also=(SIGHT,),
    limits="A line that is level, and a rod held plumb on the mark itself. It holds till the laser is moved, and not a minute longer.",
)

GROUND_HEIGHT = Formula(
    id="grade.ground_height",
    title="Height of the ground under the rod",
    words="The height of the laser's line, less the rod's reading.",
    written="instrument_height - reading",
    result=Output("Z_g", "length", "height of the ground under the rod", at_least=None, places=2),
    inputs=(INSTRUMENT, _reading("reading", "r", "the rod's reading on the ground", "5.6 ft", "1.71 m")),
    source=OPERATOR_COURSE,
    also=(SIGHT,),
    limits="A rod held plumb. One that leans reads too much.",
)

ROD_READING = Formula(
    id="grade.rod_reading",
    title="What the rod must read on finished ground",
    words="The height of the laser's line, less the height the plan asks for.",
    written="instrument_height - design",
    result=Output("r_d", "length", "reading of the rod on finished ground", places=2),
    inputs=(INSTRUMENT, DESIGN),
    requires=(("design", "instrument_height", "finished ground would lie above the laser's line"),),
    source=Source("grade-rod-solution", "rod reading at the first station"),
    also=(SIGHT,),
    limits="A line that is level. With a laser set to a grade, the plan's height is that of the spot where the rod stands. Ask whether "
    "the plan gives finished ground or the ground below gravel and paving.",
)

DIFFERENCE = Formula(
    id="grade.ground_above_design",
    title="How far the ground is above the plan",
    words="The height of the ground, less the height the plan asks for. Above zero it is cut, below zero fill.",
    written="ground - design",
    result=Output("c", "length", "height of the ground above the plan; below zero it lies under it", at_least=None),
    inputs=(GROUND, DESIGN),
    source=OPERATOR_COURSE,
    also=(LEVEL_LINE,),
    limits="Both from the same benchmark.",
)
SAME = 0.0005
"""Metres: heights nearer than that are one, as no rod reads finer."""


def _which(above: float) -> str:
    if abs(above) < SAME:
        return mark("on grade")
    return mark("cut") if above > 0 else mark("fill")


APART = Formula(
    id="grade.apart",
    title="How far two heights or two readings are apart",
    words="The larger one less the smaller one.",
    written="larger - smaller",
    result=Output("d_12", "length", "how far the two are apart"),
    inputs=(
        _elevation("larger", "Z_1", "the larger of the two", "21.36 ft", "6.51 m"),
        _elevation("smaller", "Z_2", "the smaller of the two", "19.2 ft", "5.85 m"),
    ),
    source=OPERATOR_COURSE,
    also=(Source(None, "geometry: two heights on one plumb line", "derived"),),
    limits="Which of the two is the larger says whether it is cut or fill; this says only how much.",
)


def _cut_or_fill(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    above = DIFFERENCE.value(given)
    which = _which(above)
    told = {
        "cut": "The ground is higher than the plan, so ground comes off: cut.",
        "fill": "The ground is lower than the plan, so ground goes on: fill.",
        "on grade": "The ground is as high as the plan asks: on grade.",
    }[which]
    steps: list[Step] = [Applied("above", DIFFERENCE, given), Note(told)]
    if above < 0:
        steps.append(Applied("amount", APART, {"larger": given["design"], "smaller": given["ground"]}))
    return Outcome(
        "amount",
        {
            "amount": Value(abs(above), "length", said("{which}, from the ground as it lies to the plan", which=said(which))),
            "which": Value(which, "text", "cut or fill"),
        },
        tuple(steps),
    )


CUT_OR_FILL = Procedure(
    id="grade.cut_or_fill",
    title="Cut or fill, and how much",
    words="The height of the ground, less the height the plan asks for. Ground too high is cut; too low is filled.",
    inputs=(GROUND, DESIGN),
    source=OPERATOR_COURSE,
    also=(LEVEL_LINE,),
    limits="Both heights from the same benchmark. Ask whether the plan gives finished ground or the ground below gravel and paving.",
    run=_cut_or_fill,
)

UNDER_STRING = Formula(
    id="grade.left_under_string",
    title="What is left to dig under a string",
    words="How far the string is above the finished floor, less what you measure down to the ground.",
    written="string_above - measured_down",
    result=Output("c", "length", "left to dig under the string; below zero the floor is too deep", at_least=None),
    inputs=(
        _reading("string_above", "a", "how far the string hangs above the finished floor", "3 ft", "0.9 m"),
        _reading("measured_down", "m", "what is measured from the string straight down to the ground", "2.4 ft", "0.72 m"),
    ),
    source=OPERATOR_COURSE,
    also=(Source(None, "geometry: two lengths on one plumb line", "derived"),),
    limits="A string pulled tight, and a tape held plumb. A long string sags, and wind lifts it.",
)  # fmt: skip


def _under_string(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    left = UNDER_STRING.value(given)
    which = _which(left)
    told = {
        "cut": "You measure less than the string's height, so the ground is too high: cut.",
        "fill": "You measure more than the string's height, so the floor is too deep: fill.",
        "on grade": "You measure just the string's height: on grade.",
    }[which]
    steps: list[Step] = [Applied("left", UNDER_STRING, given), Note(told)]
    if left < 0:
        steps.append(Applied("amount", APART, {"larger": given["measured_down"], "smaller": given["string_above"]}))
    return Outcome(
        "amount",
        {
            "amount": Value(
                abs(left), "length", said("{which}, from the ground under the string to the finished floor", which=said(which))
            ),
            "which": Value(which, "text", "cut or fill"),
        },
        tuple(steps),
    )


STRING_CHECK = Procedure(
    id="grade.under_string",
    title="Cut or fill under a string",
    words="How far the string is above the finished floor, less what you measure down to the ground.",
    inputs=UNDER_STRING.inputs,
    source=OPERATOR_COURSE,
    also=UNDER_STRING.also,
    limits=UNDER_STRING.limits,
    run=_under_string,
)

LASER_ERROR = Formula(
    id="grade.laser_error",
    title="How far off the floor is with a laser off level",
    words="How far the laser is off level, times the distance from it.",
    written="off_level * distance",
    result=Output("e", "length", "how far the floor is off"),
    inputs=(
        Input("off_level", "G_e", "grade", "how far the line is off level, as a grade", low="0%", high="20%", example_us="0.3%", example_metric="0.3%"),
        Input("distance", "L", "length", "the distance from the laser, straight along the way it leans", low="0 ft", high="3000 ft",
              example_us="150 ft", example_metric="45 m"),
    ),
    source=TILTED,
    also=(Source("slope-units-questions", "fall of one percent over a run"),),
    limits="Along the way the line leans it is too high on one side of the laser and too low on the other. Square to that way it still reads right.",
)  # fmt: skip


def _stations(off_level: float, distance: float) -> Rows:
    """The error at equal spaces from the laser out."""
    spaces = [distance * k / STATIONS for k in range(STATIONS + 1)]
    return Rows(
        "The farther out, the worse",
        (Column("From the laser", "length", places=1), Column("Floor off by", "length")),
        tuple((far, LASER_ERROR(off_level=off_level, distance=far)) for far in spaces),
    )


def _laser_off(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    off, far = inputs["off_level"], inputs["distance"]
    assert isinstance(off, Quantity) and isinstance(far, Quantity)
    return Outcome(
        "error",
        {
            "error": Value(LASER_ERROR(off_level=off.si, distance=far.si), "length", "how far the floor is off at the far end"),
            "half_way": Value(LASER_ERROR(off_level=off.si, distance=far.si / 2), "length", "how far the floor is off half way out"),
        },
        (
            Applied("error", LASER_ERROR, {"off_level": off, "distance": far}),
            _stations(off.si, far.si),
        ),
    )


STATIONS = 4
"""Into so many equal spaces the distance is divided."""
LASER_OFF = Procedure(
    id="grade.laser_off",
    title="A laser that is off level",
    words=LASER_ERROR.words,
    inputs=LASER_ERROR.inputs,
    source=TILTED,
    also=LASER_ERROR.also,
    limits=LASER_ERROR.limits,
    run=_laser_off,
)

MOVED = Formula(
    id="grade.moved",
    title="How far the laser's line has moved",
    words="The reading on the benchmark now, less the first one.",
    written="reading_now - backsight",
    result=Output("d", "length", "how much higher the line is now; below zero it is lower", at_least=None),
    inputs=(BACKSIGHT, _reading("reading_now", "r_n", "the rod's reading on the benchmark now", "4.97 ft", "1.52 m")),
    source=COMMON_PRACTICE,
    limits="The same rod on the same mark. A laser that leans can still read right on one mark, so check a second one off to the side.",
)


def _check_back(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    if given["check_tolerance"].si > MOST_CHECK:
        raise CalculationError(
            "a laser that may be off by so much checks nothing",
            "give what the site allows when a laser is checked",
            about=("check_tolerance",),
        )
    readings = {name: given[name] for name in ("backsight", "reading_now")}
    moved = MOVED.value(readings)
    good = abs(moved) <= given["check_tolerance"].si * (1 + 1e-9)
    steps: list[Step] = [Applied("difference", MOVED, readings)]
    if moved < 0:
        steps.append(Applied("moved", APART, {"larger": given["backsight"], "smaller": given["reading_now"]}))
    return Outcome(
        "moved",
        {
            "moved": Value(abs(moved), "length", "how far the reading on the benchmark has moved"),
            "verdict": Value(mark("good") if good else mark("moved"), "text", "whether the laser may be used"),
        },
        (
            *steps,
            Note(
                "No more than the site allows. Check the second mark too, then go on."
                if good
                else "More than the site allows. Stop, set the laser up anew, and check all that was dug since the last good check."
            ),
        ),
    )


MOST_CHECK = 0.15
CHECK_BACK = Procedure(
    id="grade.check_back",
    title="Checking back on the benchmark",
    words="The reading on the benchmark now, less the first one. More than the site allows means stop.",
    inputs=(
        *MOVED.inputs,
        Input("check_tolerance", "δ", "length", "how far a check on the benchmark may be off here", low="0.005 ft", high="1 ft",
              work_us="ft", work_metric="m", example_us="0.02 ft", example_metric="5 mm"),
    ),
    source=COMMON_PRACTICE,
    limits=MOVED.limits,
    run=_check_back,
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    INSTRUMENT_HEIGHT, GROUND_HEIGHT, ROD_READING, DIFFERENCE, APART, CUT_OR_FILL, UNDER_STRING, STRING_CHECK, LASER_ERROR, LASER_OFF, MOVED, CHECK_BACK,
)  # fmt: skip
