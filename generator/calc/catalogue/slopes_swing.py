"""An excavator on a slope: where its weight goes as it swings with a full bucket.

No result here is a slope or a load that is allowed. They show which way a thing pulls.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

# --- where the weight goes as it swings -----------------------------------------------------

STATICS = Source(None, "statics: the common centre of two weights", "derived")
SWING_LIMITS = (
    "What the load and the slope do to a stiff machine at rest on hard ground. Boom, stick and bucket go out on the same side, and "
    "where they put the weight only the machine's maker knows. A start, a stop, a bump or soft ground takes it over far sooner. "
    "A share that is left is no leave to work there: the manual, the site's limit and a competent person decide."
)
LOAD = Input(
    "load", "m_load", "mass", "the weight of the ground in the bucket", low="5 lb", high="300000 lb", example_us="4000 lb",
    example_metric="1800 kg", work_us="lb", work_metric="kg",
)  # fmt: skip
MASS = Input(
    "mass", "M", "mass", "the weight of the machine", low="500 lb", high="1000000 lb", example_us="50000 lb", example_metric="22000 kg",
    work_us="lb", work_metric="kg",
)  # fmt: skip
REACH = Input(
    "reach", "R", "length", "from the swing centre out to the bucket, level", low="1 ft", high="120 ft", example_us="32 ft",
    example_metric="9.8 m",
)  # fmt: skip

LOAD_OFFSET = Formula(
    id="slopes.load_offset",
    title="How far a load pulls the weight out",
    words="The load times its reach, over the weight of machine and load together.",
    written="load * reach / (mass + load)",
    result=Output("e", "length", "how far the load pulls the weight to its side"),
    inputs=(LOAD, REACH, MASS),
    source=STATICS,
    also=(Source("centre-of-mass-page", "two bodies", "published"),),
    limits=SWING_LIMITS,
    stability=True,
)

DOWNHILL = Formula(
    id="slopes.weight_downhill",
    title="How far downhill the weight stands",
    words="What the slope moves it, less what of the load's pull points uphill.",
    written="cg_height * slope - load_offset * cos(swing)",
    result=Output("x", "length", "how far downhill of the middle of the tracks the weight stands", at_least=None),
    inputs=(
        Input("cg_height", "h", "length", "the height of the centre of gravity above the ground", low="0.3 ft", high="20 ft",
              example_us="3.6 ft", example_metric="1.1 m"),
        Input("slope", "G", "grade", "the slope under the machine", low="0%", high="100%", example_us="10%", example_metric="10%"),
        Input("load_offset", "e", "length", "how far the load pulls the weight to its side", low="0 ft", high="60 ft",
              example_us="2.4 ft", example_metric="0.7 m"),
        Input("swing", "A", "angle", "the angle of the boom from straight uphill", low="0 deg", high="180 deg", example_us="180 deg",
              example_metric="180 deg"),
    ),
    source=Source("nhtsa-rollover", "section V.A, static tilt limit"),
    also=(STATICS,),
    limits="Along the slope; below zero it stands uphill. " + SWING_LIMITS,
    stability=True,
)  # fmt: skip

ACROSS = Formula(
    id="slopes.weight_across",
    title="How far to the side the weight stands",
    words="What of the load's pull points across the fall.",
    written="load_offset * sin(swing)",
    result=Output("y", "length", "how far to the side of the middle of the tracks the weight stands"),
    inputs=(DOWNHILL.inputs[2], DOWNHILL.inputs[3]),
    source=STATICS,
    limits=SWING_LIMITS,
    stability=True,
)

WAY_GONE = Formula(
    id="slopes.way_to_tipping",
    title="How much of the way to the tipping line is gone",
    words="How far out the weight stands, over half the width or length it stands on.",
    written="out / (base / 2)",
    result=Output("w", "fraction", "share of the way to the tipping line that is gone", places=0),
    inputs=(
        Input("out", "x", "length", "how far out from the middle of the tracks the weight stands", low="0 ft", high="80 ft",
              example_us="2.8 ft", example_metric="0.85 m"),
        Input("base", "T", "length", "the track gauge to the side, the track length to the front or rear", low="1 ft", high="60 ft",
              example_us="7.8 ft", example_metric="2.4 m"),
    ),
    source=Source("nhtsa-rollover", "section V.A, static tilt limit"),
    also=(STATICS,),
    limits="Past the whole way it has tipped. " + SWING_LIMITS,
    stability=True,
)  # fmt: skip

SWINGS = (0, 45, 90, 135, 180)
"""Degrees from straight uphill, as `slopes.swing_downhill` tells them."""


def _swing_downhill(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    gauge, long, slope, height = (given[name] for name in ("track_gauge", "track_length", "slope", "cg_height"))
    load, reach, mass = (given[name] for name in ("load", "reach", "mass"))
    near = Quantity.of(reach.si / 2, "length", system, significant=4)
    out = LOAD_OFFSET(load=load.si, reach=reach.si, mass=mass.si)
    held = LOAD_OFFSET(load=load.si, reach=near.si, mass=mass.si)

    def share(offset: float, swing: float, grade: float, along: float, side: float) -> float:
        """The larger share of the way: down the fall on the base `along`, to the side on `side`."""
        down = abs(DOWNHILL(cg_height=height.si, slope=grade, load_offset=offset, swing=swing))
        return max(WAY_GONE(out=down, base=along), WAY_GONE(out=ACROSS(load_offset=offset, swing=swing), base=side))

    rows = [
        (
            swing,
            share(out, swing, slope.si, gauge.si, long.si),
            share(out, swing, slope.si, long.si, gauge.si),
            share(held, swing, 0.0, long.si, gauge.si),
        )
        for swing in map(math.radians, SWINGS)
    ]
    downhill = Quantity.of(math.pi, "angle", system)
    down = DOWNHILL(cg_height=height.si, slope=slope.si, load_offset=out, swing=math.pi)
    return Outcome(
        "worst",
        {
            "worst": Value(rows[-1][1], "fraction", "tracks across the fall, arm stretched out, load swung straight downhill", places=0),
            "uphill": Value(rows[0][2], "fraction", "tracks straight up and down the fall, arm stretched out, load held straight uphill", places=0),
            "side": Value(rows[2][2], "fraction", "tracks straight up and down the fall, arm stretched out, load straight across the fall", places=0),
            "pad": Value(max(row[3] for row in rows), "fraction", "the most of any swing on a level pad, arm drawn in to half", places=0),
            "offset": Value(out, "length", LOAD_OFFSET.result.meaning),
            "near_offset": Value(held, "length", "the same with the arm drawn in to half the reach"),
            "down": Value(down, "length", "how far downhill the weight stands with the load straight downhill"),
        },
        (
            Applied("offset", LOAD_OFFSET, {"load": load, "reach": reach, "mass": mass}),
            Note("The worst of it: tracks across the fall, the load swung straight downhill."),
            Applied("down", DOWNHILL, {"cg_height": height, "slope": slope, "load_offset": From("offset"), "swing": downhill}),
            Applied("worst", WAY_GONE, {"out": From("down"), "base": gauge}),
            Note("Drawn in to half the reach, the load pulls half as far:"),
            Applied("near_offset", LOAD_OFFSET, {"load": load, "reach": near, "mass": mass}),
            Note("The other swings are worked the same way, to the side and up or down the fall. The larger share stands here. "
                 "None of them is a leave to work there."),
            Rows("Share of the way to the tipping line that is gone",
                 (Column("Boom from straight uphill", "angle", places=0), Column("Tracks across the fall", "fraction", places=0),
                  Column("Tracks up and down the fall", "fraction", places=0), Column("Level pad, arm drawn in to half", "fraction", places=0)), tuple(rows)),
        ),
    )  # fmt: skip


SWING_DOWNHILL = Procedure(
    id="slopes.swing_downhill",
    title="What a full bucket does as it swings on a slope",
    words="The load pulls the weight out to its side, and the slope moves it downhill. Both over half of what the machine stands on.",
    inputs=(
        MASS,
        LOAD,
        REACH,
        DOWNHILL.inputs[0],
        DOWNHILL.inputs[1],
        Input("track_gauge", "T", "length", "the distance between the middles of the tracks", low="1 ft", high="30 ft", example_us="7.8 ft",
              example_metric="2.4 m"),
        Input("track_length", "a", "length", "the length of the tracks on the ground", low="1 ft", high="60 ft", example_us="12 ft",
              example_metric="3.6 m"),
    ),
    source=STATICS,
    also=(Source("nhtsa-rollover", "section V.A, static tilt limit"), Source("slope-work-article", "arm close in to slew")),
    limits=SWING_LIMITS,
    run=_swing_downhill,
    stability=True,
)  # fmt: skip

SWINGING: tuple[Formula | Procedure, ...] = (
    LOAD_OFFSET, DOWNHILL, ACROSS, WAY_GONE, SWING_DOWNHILL,
)  # fmt: skip
