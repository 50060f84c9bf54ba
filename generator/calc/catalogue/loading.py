"""Loading trucks: bench, bucket, passes, swing, fleet."""

from __future__ import annotations

from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output
from generator.calc.procedure import Procedure

BENCH_HEIGHT = Formula(
    id="loading.bench_height",
    title="Bench height",
    words="Make the bench as high as the stick is long, pin to pin.",
    written="stick_length",
    result=Output("H", "length", "bench height"),
    inputs=(
        Input(
            "stick_length", "L_stick", "length", "the length of the stick, pin to pin",
            low="2 ft", high="40 ft", example_us="10 ft", example_metric="3 m",
        ),
    ),
    source=COMMON_PRACTICE,
    limits="Bench loading with the excavator above the truck, in ground that stands. "
    "The ground and the competent person may call for a lower bench.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (BENCH_HEIGHT,)
