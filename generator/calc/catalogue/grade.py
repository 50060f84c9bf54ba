"""Grades: percent, ratio, degrees, drop, main fall and cross slope."""

from __future__ import annotations

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure

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
    source=Source("ksu-ce417", "slides on grade resistance"),
    limits="The run is measured level, not along the slope.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (PERCENT,)
