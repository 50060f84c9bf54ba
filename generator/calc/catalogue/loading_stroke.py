"""One stroke of the bucket, part by part, and what a bucket brings that is closed half way."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

PARTS = 6
"""The stroke is told in so many equal parts; half of them is half of it."""

_LOOSE = Input(
    "loose_volume", "V_load", "loose_volume", "the loose ground that fills the bucket", low="0.002 yd3", high="80 yd3",
    example_us="2 yd3", example_metric="1.5 m3",
)  # fmt: skip
_STROKE = Input(
    "stroke_length", "L_stroke", "length", "the length of the slice that fills the bucket", low="1 in", high="400 ft",
    example_us="10 ft", example_metric="3 m",
)  # fmt: skip
_LIMITS = "A slice of even depth, as wide as the bucket, and nothing spilled."

HALF_FULL = Formula(
    id="loading.half_full",
    title="Ground in a bucket that is closed half way",
    words="Half the slice is half the ground.",
    written="loose_volume / 2",
    result=Output("V_half", "loose_volume", "loose ground in the bucket"),
    inputs=(_LOOSE,),
    source=Source(None, "a slice of even depth and width", "derived"),
    limits=_LIMITS,
)


def _digging_stroke(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    volume, stroke = inputs["loose_volume"], inputs["stroke_length"]
    assert isinstance(volume, Quantity) and isinstance(stroke, Quantity)
    steps = (
        Note("The slice is cut into equal parts. Each of them brings as much ground as the next."),
        Rows(
            "The slice, part by part",
            (Column("Part", "count"), Column("Teeth drawn in", "length", places=1), Column("In the bucket, loose", "loose_volume")),
            tuple((float(k), stroke.si * k / PARTS, volume.si * k / PARTS) for k in range(1, PARTS + 1)),
        ),
        Note("A bucket that is closed half way holds half of it."),
        Applied("half_volume", HALF_FULL, {"loose_volume": volume}),
    )
    half = volume.si / 2
    value = Value(half, "loose_volume", "loose ground in a bucket closed half way")
    return Outcome("half_volume", {"half_volume": value}, steps)


DIGGING_STROKE = Procedure(
    id="loading.digging_stroke",
    title="The stroke part by part",
    words="As the teeth are drawn in, the bucket fills by as much for each part of the slice.",
    inputs=(_LOOSE, _STROKE),
    source=Source(None, "a slice of even depth and width", "derived"),
    limits=_LIMITS,
    run=_digging_stroke,
)

STROKE_PARTS = (HALF_FULL, DIGGING_STROKE)
