"""Compact excavators with tracks that set narrow and wide."""

from __future__ import annotations

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure

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

CALCULATIONS: tuple[Formula | Procedure, ...] = (TIP_GAIN, GATE_CLEARANCE)
