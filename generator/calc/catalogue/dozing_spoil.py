"""The spoil pile at the end of a slot: a ramp on the machine's side, a steep far side."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.quantity import Quantity
from generator.calc.steps import Applied, From, Outcome, Value
from generator.calc.units import System

GEOMETRY = Source(None, "geometry: a pile with the same outline all across", "derived")

VOLUME = Input(
    "volume", "V", "loose_volume", "the spoil in the pile, loose", low="0.1 yd3",
    high="1000000 yd3", work_us="ft3", example_us="100 lcy", example_metric="80 lcm",
)  # fmt: skip
WIDTH = Input(
    "width", "W", "length", "the width of the pile", low="2 ft", high="1000 ft",
    example_us="24 ft", example_metric="8 m",
)  # fmt: skip
RATIO = Input(
    "ratio", "r", "ratio", "the ramp's run for each one of rise", low="1:1", high="12:1",
    work_us="1", work_metric="1", example_us="3:1", example_metric="3:1",
)  # fmt: skip
FAR_SIDE = Input(
    "far_side_ratio", "r_far", "ratio", "the far side's run for each one of rise", low="0:1",
    high="12:1", default="1.5:1", work_us="1", work_metric="1", example_us="1.5:1",
    example_metric="1.5:1",
)  # fmt: skip

PILE_AREA = Formula(
    id="dozing.pile_area",
    title="Area of the pile, seen from the side",
    words="The volume spread over the width.",
    written="volume / width",
    result=Output("A", "area", "area of the pile from the side"),
    inputs=(VOLUME, WIDTH),
    source=GEOMETRY,
    limits="The pile has the same outline all across its width.",
)

PILE_BASE = Formula(
    id="dozing.pile_base",
    title="Length of the pile on the ground",
    words="A triangle of that area, with a ramp on one side and a steep far side.",
    written="sqrt(2 * pile_area * (ratio + far_side_ratio))",
    result=Output("B", "length", "length of the pile on the ground"),
    inputs=(
        Input("pile_area", "A", "area", "the area of the pile from the side", low="0.01 ft2",
              high="100000000 ft2", example_us="110 ft2", example_metric="10 m2"),
        RATIO,
        FAR_SIDE,
    ),
    source=GEOMETRY,
    limits="Level ground under the pile.",
)  # fmt: skip

RAMP_LENGTH = Formula(
    id="dozing.ramp_length",
    title="Length of the ramp",
    words="The ramp's share of the pile's length.",
    written="pile_base * ratio / (ratio + far_side_ratio)",
    result=Output("L_ramp", "length", "length of the ramp, measured level"),
    inputs=(
        Input("pile_base", "B", "length", "the length of the pile on the ground", low="0.1 ft",
              high="100000 ft", example_us="30 ft", example_metric="9 m"),
        RATIO,
        FAR_SIDE,
    ),
    source=GEOMETRY,
    limits="Measured level, from the foot of the ramp to under its top.",
)  # fmt: skip

RAMP_HEIGHT = Formula(
    id="dozing.ramp_height",
    title="Height of the ramp",
    words="The ramp's length divided by its run for each one of rise.",
    written="ramp_length / ratio",
    result=Output("H", "length", "height of the spoil"),
    inputs=(
        Input("ramp_length", "L_ramp", "length", "the length of the ramp, measured level",
              low="0.1 ft", high="100000 ft", example_us="21 ft", example_metric="6 m"),
        RATIO,
    ),
    source=GEOMETRY,
    limits="Measured from the ground under the pile.",
)  # fmt: skip


def spoil_height(volume: float, width: float, ratio: float, far_side_ratio: float) -> float:
    """Height [m] of a pile of ``volume`` [m³] and ``width`` [m], 0 where there is none.

    ``ratio`` and ``far_side_ratio`` are runs for each one of rise. Plain geometry.
    """
    return float((2 * volume / width / (ratio + far_side_ratio)) ** 0.5)


def _spoil_ramp(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    ratio, far = given["ratio"], given["far_side_ratio"]
    area = PILE_AREA(volume=given["volume"].si, width=given["width"].si)
    base = PILE_BASE(pile_area=area, ratio=ratio.si, far_side_ratio=far.si)
    length = RAMP_LENGTH(pile_base=base, ratio=ratio.si, far_side_ratio=far.si)
    height = RAMP_HEIGHT(ramp_length=length, ratio=ratio.si)
    sides: dict[str, Quantity | From] = {"ratio": ratio, "far_side_ratio": far}
    return Outcome(
        "height",
        {
            "height": Value(height, "length", "height of the spoil"),
            "ramp_length": Value(length, "length", "length of the ramp, measured level"),
            "base": Value(base, "length", "length of the whole pile on the ground"),
        },
        (
            Applied("area", PILE_AREA, {"volume": given["volume"], "width": given["width"]}),
            Applied("base", PILE_BASE, {"pile_area": From("area"), **sides}),
            Applied("length", RAMP_LENGTH, {"pile_base": From("base"), **sides}),
            Applied("height", RAMP_HEIGHT, {"ramp_length": From("length"), "ratio": ratio}),
        ),
    )  # fmt: skip


SPOIL_RAMP = Procedure(
    id="dozing.spoil_ramp",
    title="Height and length of a spoil ramp",
    words="The spoil makes a wedge: a ramp on the machine's side and a steep far side.",
    inputs=(VOLUME, WIDTH, RATIO, FAR_SIDE),
    source=GEOMETRY,
    limits="Level ground, and the same outline all across. Real spoil also rolls out sideways, so "
    "a real pile is wider and lower. The far side stands as loose soil rolls.",
    run=_spoil_ramp,
)
