"""A level pad for an excavator on a slope: how large it is, how deep its cut, how many buckets."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, From, Outcome, Value
from generator.units.quantity import Quantity
from generator.units.table import System

PAD_SLOPE = Input(
    "slope", "G", "grade", "the slope of the ground", low="1%", high="100%", example_us="10%", example_metric="10%",
)  # fmt: skip
PAD_LENGTH_INPUT = Input(
    "pad_length", "L_pad", "length", "how long the pad is down the fall", low="2 ft", high="120 ft", example_us="18 ft",
    example_metric="5.5 m",
)  # fmt: skip
GEOMETRY = Source(None, "geometry: a wedge cut out of an even slope", "derived")
PAD_LIMITS = (
    "An even slope, and a pad that is all cut, with an upright back. No pad makes ground safe that slides or is soft, "
    "and loose ground at its low edge carries no track. A competent person looks at the slope and at the cut."
)

PAD_SIDE = Formula(
    id="grade.pad_side",
    title="How long or wide a pad must be",
    words="The machine's length or width, and free ground on both sides.",
    written="machine_side + 2 * pad_room",
    result=Output("B", "length", "length or width of the pad", limit="least"),
    inputs=(
        Input("machine_side", "a", "length", "the length of the tracks, or the width over them", low="1 ft", high="60 ft",
              example_us="12 ft", example_metric="3.6 m"),
        Input("pad_room", "r", "length", "the level ground left free all around the tracks", low="0.5 ft", high="30 ft", default="3 ft",
              example_us="3 ft", example_metric="1 m"),
    ),
    source=Source(None, "two sides of free ground", "derived"),
    limits=PAD_LIMITS,
)  # fmt: skip

PAD_CUT = Formula(
    id="grade.pad_cut",
    title="How deep the cut is at the back of a pad",
    words="The length of the pad down the fall, times the slope.",
    written="pad_length * slope",
    result=Output("h_cut", "length", "depth of the cut at the back of the pad", places=1),
    inputs=(PAD_LENGTH_INPUT, PAD_SLOPE),
    source=GEOMETRY,
    limits=PAD_LIMITS,
)

PAD_VOLUME = Formula(
    id="grade.pad_volume",
    title="Bank ground to cut for a pad",
    words="Half the cut at the back, times the length and the width of the pad.",
    written="cut / 2 * pad_length * pad_width",
    result=Output("V_pad", "bank_volume", "bank ground to cut", work_us="ft3"),
    inputs=(
        Input("cut", "h_cut", "length", "the depth of the cut at the back of the pad", low="0.01 ft", high="120 ft", example_us="1.8 ft",
              example_metric="0.55 m"),
        PAD_LENGTH_INPUT,
        Input("pad_width", "B_pad", "length", "how wide the pad is across the fall", low="2 ft", high="120 ft", example_us="16 ft",
              example_metric="5 m"),
    ),
    source=GEOMETRY,
    limits=PAD_LIMITS,
)  # fmt: skip

PAD_BUCKETS = Formula(
    id="grade.pad_buckets",
    title="Buckets to cut a pad",
    words="The ground of the pad, loose, over what a bucket holds, and up to the next whole one.",
    written="round_up(pad_volume * (1 + swell) / (bucket_capacity * fill))",
    result=Output("n", "count", "buckets to cut the pad", at_least=1.0, rounding="rounded up: the last bucket may be part full"),
    inputs=(
        Input("pad_volume", "V_pad", "bank_volume", "the bank ground to cut", low="0.01 yd3", high="100000 yd3", example_us="12 yd3",
              example_metric="9 m3"),
        Input("swell", "s", "fraction", "how much the ground grows when dug", low="0%", high="150%", example_us="25%",
              example_metric="25%"),
        Input("bucket_capacity", "V_bucket", "loose_volume", "the heaped capacity of the bucket", low="0.01 yd3", high="60 yd3",
              example_us="1.5 yd3", example_metric="1.2 m3"),
        Input("fill", "f", "fraction", "how full the bucket gets", low="10%", high="150%", example_us="100%", example_metric="100%"),
    ),
    source=Source(None, "loose volume over what a bucket holds", "derived"),
    limits="Trimming the floor level takes a few more.",
)  # fmt: skip


def _level_pad(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    room = given["pad_room"]
    long = PAD_SIDE(machine_side=given["track_length"].si, pad_room=room.si)
    wide = PAD_SIDE(machine_side=given["machine_width"].si, pad_room=room.si)
    cut = PAD_CUT(pad_length=long, slope=given["slope"].si)
    volume = PAD_VOLUME(cut=cut, pad_length=long, pad_width=wide)
    dug = {name: given[name] for name in ("swell", "bucket_capacity", "fill")}
    buckets = PAD_BUCKETS(pad_volume=volume, **{name: q.si for name, q in dug.items()})
    return Outcome(
        "cut",
        {
            "cut": Value(cut, "length", PAD_CUT.result.meaning, places=1),
            "pad_length": Value(long, "length", "length of the pad down the fall", limit="least"),
            "pad_width": Value(wide, "length", "width of the pad across the fall", limit="least"),
            "volume": Value(volume, "bank_volume", PAD_VOLUME.result.meaning),
            "buckets": Value(buckets, "count", PAD_BUCKETS.result.meaning, rounding=PAD_BUCKETS.result.rounding),
        },
        (
            Applied("pad_length", PAD_SIDE, {"machine_side": given["track_length"], "pad_room": room}),
            Applied("pad_width", PAD_SIDE, {"machine_side": given["machine_width"], "pad_room": room}),
            Applied("cut", PAD_CUT, {"pad_length": From("pad_length"), "slope": given["slope"]}),
            Applied("volume", PAD_VOLUME, {"cut": From("cut"), "pad_length": From("pad_length"), "pad_width": From("pad_width")}),
            Applied("buckets", PAD_BUCKETS, {"pad_volume": From("volume"), **dug}),
        ),
    )


LEVEL_PAD = Procedure(
    id="grade.level_pad",
    title="A level pad for an excavator on a slope",
    words="As long and wide as the tracks and free ground around them. The slope over that length is the cut at its back.",
    inputs=(
        Input("track_length", "a", "length", "the length of the tracks on the ground", low="1 ft", high="60 ft", example_us="12 ft",
              example_metric="3.6 m"),
        Input("machine_width", "b", "length", "the width over the tracks", low="1 ft", high="60 ft", example_us="10.5 ft",
              example_metric="3.2 m"),
        PAD_SIDE.inputs[1],
        PAD_SLOPE,
        *PAD_BUCKETS.inputs[1:],
    ),
    source=GEOMETRY,
    limits=PAD_LIMITS,
    run=_level_pad,
)  # fmt: skip

PADS: tuple[Formula | Procedure, ...] = (PAD_SIDE, PAD_CUT, PAD_VOLUME, PAD_BUCKETS, LEVEL_PAD)
