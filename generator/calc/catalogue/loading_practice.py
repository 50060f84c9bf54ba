"""What a field exercise at the loader is held against: a load called before the scale, a line set out by tape."""

from __future__ import annotations

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure

COUNTED_LOAD = Formula(
    id="loading.counted_load",
    title="The load by the count of its buckets",
    words="The buckets counted, times what one of them should weigh.",
    written="buckets * bucket_load",
    result=Output("M_count", "mass", "the load by the count", us="ton", metric="t"),
    inputs=(
        Input("buckets", "n", "count", "the buckets counted", low="1", high="200", example_us="5", example_metric="5"),
        Input("bucket_load", "M_bucket", "mass", "what one bucket should weigh", low="5 lb", high="400000 lb", example_us="8,000 lb",
              example_metric="4,000 kg"),
    ),
    source=Source(None, "a plain sum", "derived"),
    limits="Full buckets, all filled alike. The scale decides: no truck leaves by the count alone where a scale is to be had.",
)  # fmt: skip

TALLY_OFF = Formula(
    id="loading.tally_off",
    title="How far the count is from the scale",
    words="What the count says too much, as a share of what the scale says.",
    written="(counted_load - measured_load) / measured_load",
    result=Output("e", "fraction", "count over scale; below zero where the count is short", at_least=None),
    inputs=(
        Input("counted_load", "M_count", "mass", "the load by the count", low="5 lb", high="2000000 lb", work_us="ton", work_metric="t",
              example_us="22 ton", example_metric="22 t"),
        Input("measured_load", "M_load", "mass", "the load by the scale", low="5 lb", high="2000000 lb", work_us="ton", work_metric="t",
              example_us="20 ton", example_metric="20 t"),
    ),
    source=Source(None, "a difference as a share of the whole", "derived"),
    limits="One load tells little. Look at the mean of several, from one place, one bucket and one operator.",
)  # fmt: skip

_LENGTH = Input(
    "length", "L", "length", "the length of the slanted line", low="1 ft", high="200 ft", example_us="20 ft", example_metric="6 m"
)
_ANGLE = Input("face_angle", "a", "angle", "the angle of the tracks to the face", low="5 deg", high="90 deg", example_us="45 deg",
               example_metric="45 deg")  # fmt: skip

FLAG_ALONG = Formula(
    id="loading.flag_along",
    title="How far along the edge the corner of the triangle stands",
    words="The length of the slanted line, times the cosine of its angle to the edge.",
    written="length * cos(face_angle)",
    result=Output("b", "length", "distance along the edge", places=2),
    inputs=(_LENGTH, _ANGLE),
    source=Source(None, "a right triangle: the side beside the angle", "derived"),
    limits="On level ground. For practice on open ground with flags for the edge, never at a true edge.",
)

FLAG_SQUARE = Formula(
    id="loading.flag_square",
    title="How far square in from the edge the slanted line ends",
    words="The length of the slanted line, times the sine of its angle to the edge.",
    written="length * sin(face_angle)",
    result=Output("h", "length", "distance square to the edge", places=2),
    inputs=(_LENGTH, _ANGLE),
    source=Source(None, "a right triangle: the side across from the angle", "derived"),
    limits="On level ground. For a machine it is how much farther from the edge one end of a track stands than the other end.",
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (COUNTED_LOAD, TALLY_OFF, FLAG_ALONG, FLAG_SQUARE)
