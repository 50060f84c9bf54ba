"""Compact excavators with tracks that set narrow and wide."""

from __future__ import annotations

import math
from collections.abc import Mapping

from generator.calc.catalogue import soil
from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

TIP_GAIN = Formula(
    id="compact.tip_gain",
    title="What wide tracks gain on a side slope",
    words="The side slope where the machine at rest tips with its tracks wide, less the one with "
    "its tracks narrow.",
    written="atan(gauge_wide / (2 * cg_height)) - atan(gauge_narrow / (2 * cg_height))",
    result=Output("Δθ", "angle", "gain in the side slope where the machine at rest tips"),
    inputs=(
        Input("gauge_narrow", "T_narrow", "length",
              "the distance between the middles of the tracks, set narrow", low="0.8 ft",
              high="15 ft", example_us="2.5 ft", example_metric="0.8 m"),
        Input("gauge_wide", "T_wide", "length",
              "the distance between the middles of the tracks, set wide", low="0.8 ft",
              high="20 ft", example_us="4 ft", example_metric="1.2 m"),
        Input("cg_height", "h", "length", "the height of the centre of gravity above the ground",
              low="0.3 ft", high="20 ft", example_us="2 ft", example_metric="0.6 m"),
    ),
    requires=(("gauge_narrow", "gauge_wide", "the narrow setting is wider than the wide one"),),
    source=Source("nhtsa-rollover", "section V.A, static tilt limit"),
    also=(Source("spencer-gilfillan-1976", "introduction: the static angle is the upper limit"),),
    limits="A ceiling for a stiff machine at rest, its weight in the middle and its boom over the "
    "end. Swinging to the side, digging and soft ground tip it on a flatter slope.",
    stability=True,
)  # fmt: skip

GATE_CLEARANCE = Formula(
    id="compact.gate_clearance",
    title="Room on each side in a gate",
    words="The gate's clear width less the machine's width, halved.",
    written="(gate_width - machine_width) / 2",
    result=Output("g", "length", "room on each side", us="in", metric="cm", work_us="in",
                  work_metric="cm", at_least=None, limit="most"),
    inputs=(
        Input("gate_width", "W_gate", "length", "the clear width of the gate", low="1.5 ft",
              high="40 ft", work_us="in", work_metric="cm", example_us="48 in",
              example_metric="120 cm"),
        Input("machine_width", "W", "length", "the machine's widest part as it goes through",
              low="1 ft", high="40 ft", work_us="in", work_metric="cm", example_us="40 in",
              example_metric="100 cm"),
    ),
    source=Source(None, "geometry: the machine in the middle of the gate", "derived"),
    limits="Below zero it does not fit. Straight through the middle: turning takes more room. "
    "Measure over the widest part, blade and steps included. Set the tracks wide again after.",
)  # fmt: skip

LEVER_LOST = Formula(
    id="compact.lever_lost",
    title="What narrow tracks take from the machine's hold",
    words="How much narrower the tracks stand, as a share of how wide they could.",
    written="(gauge_wide - gauge_narrow) / gauge_wide",
    result=Output("l", "fraction", "share of its hold to the side that is gone with the tracks narrow"),
    inputs=(TIP_GAIN.inputs[0], TIP_GAIN.inputs[1]),
    requires=TIP_GAIN.requires,
    source=Source(None, "statics: the same weight, at half the gauge from the line it tips about", "derived"),
    limits="The least that is lost: with narrow tracks the bucket hangs farther out past them as well. It is no load to lift "
    "and no slope to work on. The manual says what the machine may do with its tracks narrow.",
)  # fmt: skip

LAYER = Input(
    "layer", "t", "length", "the thickest layer, loose, that this site's plan allows", low="2 in", high="24 in", default="8 in",
    work_us="in", work_metric="cm", example_us="8 in", example_metric="20 cm",
)  # fmt: skip
DEPTH = Input(
    "depth", "H", "length", "the depth of the trench to fill", low="0.3 ft", high="20 ft", work_us="in", work_metric="cm",
    example_us="3 ft", example_metric="0.9 m",
)  # fmt: skip
PACKED_SHARE = Formula(
    id="compact.packed_share",
    title="What is left of a loose layer once it is packed",
    words="One less the shrinkage, over one plus the swell; never more than all of it.",
    written="least((1 - shrinkage) / (1 + swell), 1)",
    result=Output("k", "fraction", "share of its thickness that a layer keeps", places=3),
    inputs=(soil.SHRINKAGE, soil.SWELL),
    source=Source(None, "loose and compacted volume of the same bank, between upright walls", "derived"),
    limits="Between walls that stand upright. How well it packs goes by the ground, its moisture and the tool.",
)
PACKED_LAYER = Formula(
    id="compact.packed_layer",
    title="How thick a layer is once it is packed",
    words="The loose layer times the share that is left of it.",
    written="layer * share",
    result=Output("t_p", "length", "thickness of a layer, packed", us="in", metric="cm", work_us="in", work_metric="cm"),
    inputs=(LAYER, Input("share", "k", "fraction", "the share of its thickness that a layer keeps", low="15%", high="100%",
                         example_us="72%", example_metric="72%")),
    source=PACKED_SHARE.source,
    limits=PACKED_SHARE.limits,
)  # fmt: skip
LOOSE_SINKS = Formula(
    id="compact.loose_sinks",
    title="How far fill sinks that was put in loose",
    words="The depth times what a layer loses when it packs.",
    written="depth * (1 - share)",
    result=Output("s", "length", "how far the fill can sink", us="in", metric="cm", work_us="in", work_metric="cm"),
    inputs=(DEPTH, PACKED_LAYER.inputs[1]),
    source=PACKED_SHARE.source,
    limits="The most it can sink, if rain and wheels come to pack it as well as a tool would.",
)


def _layers(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    depth, layer, width, long, load = (given[name] for name in ("depth", "layer", "bottom_width", "length", "blade_load"))
    share = PACKED_SHARE(shrinkage=given["shrinkage"].si, swell=given["swell"].si)
    packed = PACKED_LAYER(layer=layer.si, share=share)
    count = math.ceil(depth.si / packed - 1e-9)
    rows = []
    for k in range(1, count + 1):
        top = min(k * packed, depth.si)
        loose = (top - (k - 1) * packed) / share
        rows.append((float(k), loose, top, float(math.ceil(top / share * width.si * long.si / load.si - 1e-9))))
    kept = Quantity.of(share, "fraction", system, significant=4)
    return Outcome(
        "layers",
        {
            "layers": Value(float(count), "count", "layers to fill the trench", rounding="rounded up: the last layer is as thick as is left"),
            "packed": Value(packed, "length", PACKED_LAYER.result.meaning, us="in", metric="cm"),
            "pushes": Value(rows[-1][3], "count", "pushes for all layers", rounding="rounded up: the last load may be part full"),
            "last_layer": Value(rows[-1][1], "length", "thickness of the last layer, loose", us="in", metric="cm"),
            "first_pushes": Value(rows[0][3], "count", "pushes for the first layer", rounding="rounded up: the last load may be part full"),
            "first_height": Value(rows[0][2], "length", "height of the first layer, packed", us="in", metric="cm"),
            "sinks": Value(LOOSE_SINKS(depth=depth.si, share=share), "length", LOOSE_SINKS.result.meaning, us="in", metric="cm"),
        },
        (
            Applied("share", PACKED_SHARE, {"shrinkage": given["shrinkage"], "swell": given["swell"]}),
            Applied("packed", PACKED_LAYER, {"layer": layer, "share": kept}),
            Note("So many of these fill the depth, the last one as thick as is left. What a push carries gives the pushes."),
            Rows("Layer by layer", (Column("Layer", "count"), Column("Loose", "length", us="in", metric="cm", places=1),
                                    Column("Filled, packed", "length", us="in", metric="cm", places=1), Column("Pushes so far", "count")),
                 tuple(rows)),
            Note("Put in all at once and left to rain and wheels, the same fill sinks:"),
            Applied("sinks", LOOSE_SINKS, {"depth": depth, "share": kept}),
        ),
    )  # fmt: skip


BACKFILL_LAYERS = Procedure(
    id="compact.backfill_layers",
    title="A trench filled layer by layer",
    words="The depth over the thickness of a packed layer, up to the next whole layer; and the pushes for each.",
    inputs=(
        DEPTH, LAYER, soil.SHRINKAGE, soil.SWELL,
        Input("bottom_width", "b", "length", "the width of the trench, its walls upright", low="0.3 ft", high="20 ft",
              example_us="1.5 ft", example_metric="0.45 m"),
        Input("length", "L", "length", "the length of the trench", low="1 ft", high="20000 ft", example_us="60 ft", example_metric="18 m"),
        Input("blade_load", "V_blade", "loose_volume", "what a push of the blade carries", low="0.005 yd3", high="80 yd3",
              example_us="0.1 yd3", example_metric="0.08 m3"),
    ),
    source=PACKED_SHARE.source,
    also=(Source(None, "layers of 8 in where the plan says nothing: common practice", "common practice"),),
    limits="Upright walls, and no pipe taken off. The plan of the job says how thick a layer may be, how it is packed and how the pipe is "
    "covered first. Where it asks for thinner layers, there are more of them.",
    run=_layers,
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    TIP_GAIN,
    GATE_CLEARANCE,
    LEVER_LOST,
    PACKED_SHARE,
    PACKED_LAYER,
    LOOSE_SINKS,
    BACKFILL_LAYERS,
)
