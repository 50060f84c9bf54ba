"""A trench to grade station by station: held from its own floor, and copied from the ground above it."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Outcome, Rows, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

SPACES = 6
"""Into so many equal spaces the stations divide a trench."""
DRAWN = Source(None, "geometry: two straight lines, the floor and the ground", "derived")
FALL = Source("slope-units-questions", "fall of one percent over a run")

DEPTH_LOW = Input(
    "depth_low", "H_low", "length", "the depth to dig at the low end", low="0.2 ft", high="200 ft",
    example_us="6 ft", example_metric="1.8 m",
)  # fmt: skip
GRADE = Input(
    "grade", "G", "grade", "the grade of the floor, down to the low end", low="0%", high="25%",
    example_us="1%", example_metric="1%",
)  # fmt: skip
GROUND = Input(
    "surface_grade", "G_ground", "grade", "the grade of the ground along the trench, down to the low end; below zero where it falls the other way",
    low="-25%", high="25%", default="0%", example_us="0.4%", example_metric="0.4%",
)  # fmt: skip
DISTANCE = Input(
    "distance", "L", "length", "the level distance uphill from the low end", low="0 ft", high="100000 ft",
    example_us="90 ft", example_metric="30 m",
)  # fmt: skip

FLOOR_OFF = Formula(
    id="trench.floor_off",
    title="How far a floor is off that copies the ground",
    words="The grade of the floor less the grade of the ground, times the distance from the low end.",
    written="(grade - surface_grade) * distance",
    result=Output("e", "length", "how much too deep the floor is; below zero it is too high", at_least=None, places=2),
    inputs=(GRADE, GROUND, DISTANCE),
    source=DRAWN,
    also=(FALL,),
    limits="Where the depth of the low end is kept all along, counted from the ground. One straight grade of each. A bump "
    "or a rut in the ground comes on top.",
)
STATION_DEPTH = Formula(
    id="trench.station_depth",
    title="Depth to dig at a station",
    words="The depth at the low end, less what the floor rises more than the ground.",
    written="depth_low - (grade - surface_grade) * distance",
    result=Output("H", "length", "depth to dig at that station", places=2),
    inputs=(DEPTH_LOW, GRADE, GROUND, DISTANCE),
    source=DRAWN,
    also=(FALL,),
    limits="One straight grade of the floor and one of the ground, both down to the low end. Below the ground as it lies "
    "there: check the floor itself, as no ground is that even. How deep the walls may stand is another question.",
)


def _station_plan(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    low, grade, ground, length = (given[name] for name in ("depth_low", "grade", "surface_grade", "length"))
    held: list[tuple[float | str, ...]] = []
    copied: list[tuple[float | str, ...]] = []
    for k in range(SPACES + 1):
        x = length.si * k / SPACES
        off = FLOOR_OFF(grade=grade.si, surface_grade=ground.si, distance=x)
        if low.si - off <= 1e-9:
            raise CalculationError(
                "the floor of the trench comes up to the ground before its high end",
                "check the grades, the depth at the low end and the length",
                about=("depth_low", "grade", "surface_grade", "length"),
            )
        held.append((k, x, grade.si * x, STATION_DEPTH(depth_low=low.si, grade=grade.si, surface_grade=ground.si, distance=x)))
        copied.append((k, x, low.si, abs(off)))
    off = FLOOR_OFF(grade=grade.si, surface_grade=ground.si, distance=length.si)
    lines = {"grade": grade, "surface_grade": ground, "distance": length}
    return Outcome(
        "depth_high",
        {
            "depth_high": Value(held[-1][3], "length", "depth to dig at the high end", places=2),
            "off": Value(abs(off), "length", "how far the floor is off at the high end where it copies the ground", places=2),
            "ground_rise": Value(ground.si * length.si, "length", "how much higher the ground is at the high end", places=2),
        },
        (
            Applied("depth_high", STATION_DEPTH, {"depth_low": low, **lines}),
            Applied("off", FLOOR_OFF, lines),
            Rows(
                "Held from the floor",
                (
                    Column("Station", "count"), Column("From the low end", "length", places=1),
                    Column("Floor above the low end", "length", places=2), Column("Depth to dig", "length", places=2),
                ),
                tuple(held),
            ),
            Rows(
                "Copied from the ground",
                (
                    Column("Station", "count"), Column("From the low end", "length", places=1),
                    Column("Depth dug", "length", places=2), Column("Floor off by", "length", places=2),
                ),
                tuple(copied),
            ),
        ),
    )  # fmt: skip


STATION_PLAN = Procedure(
    id="trench.station_plan",
    title="A trench to grade, station by station",
    words="Six equal spaces from the low end. At each station the depth to dig, with the grade held from the floor; and how far "
    "the floor is off where the depth of the low end is kept all along.",
    inputs=(
        DEPTH_LOW, GRADE, GROUND,
        Input("length", "L", "length", "the level length of the trench", low="1 ft", high="100000 ft", example_us="180 ft",
              example_metric="55 m"),
    ),
    source=DRAWN,
    also=(FALL,),
    limits=STATION_DEPTH.limits,
    run=_station_plan,
)  # fmt: skip
