"""Placing and compacting ground in layers.

A layer has two thicknesses, loose as it is spread and packed as it is rolled. ``layer`` is the packed
one, ``loose_layer`` the other. Shrinkage is a share of the bank volume, as in ``soil``.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.catalogue import soil
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.language.words import said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

GEOMETRY = Source(None, "geometry of a flat layer", "derived")
ROLLER = Source("roller-solution", "steps 1 and 2")
SAME_GROUND = Source(None, "loose and compacted volume of the same bank over one area", "derived")
HALF_WAY = Source(None, "mean of a distance that grows evenly from nothing", "derived")

LAYER = Input(
    "layer", "t", "length", "the thickness of a layer, packed, by the plan", low="1 in", high="5 ft", work_us="ft", work_metric="m",
    example_us="6 in", example_metric="15 cm",
)  # fmt: skip
LOOSE_LAYER = Input(
    "loose_layer", "t_l", "length", "the thickness of the layer as it is spread, loose", low="1 in", high="10 ft", work_us="ft", work_metric="m",
    example_us="8.5 in", example_metric="21 cm",
)  # fmt: skip
AREA = Input(
    "area", "A", "area", "the area the layer covers", low="10 ft2", high="5000 acre", work_us="ft2", work_metric="m2",
    example_us="3,600 ft2", example_metric="330 m2",
)  # fmt: skip
FILL_LENGTH = Input(
    "fill_length", "L", "length", "the length of the strip to fill", low="3 ft", high="20000 ft", example_us="150 ft", example_metric="45 m",
)  # fmt: skip
FILL_WIDTH = Input(
    "fill_width", "b", "length", "the width of the strip to fill", low="3 ft", high="2000 ft", example_us="24 ft", example_metric="7.5 m",
)  # fmt: skip
ROLLER_WIDTH = Input(
    "roller_width", "W", "length", "the width of the roller's drum", low="1.5 ft", high="16 ft", example_us="7 ft", example_metric="2.1 m",
)  # fmt: skip
OVERLAP = Input(
    "overlap", "o", "length", "how far each lane laps over the one before", low="0 in", high="5 ft", default="0 in", work_us="ft", work_metric="m",
    example_us="6 in", example_metric="15 cm",
)  # fmt: skip
NARROWER = ("roller_width - overlap", "the overlap is as wide as the drum")

FILL_AREA = Formula(
    id="placing.fill_area",
    title="Area of a strip",
    words="Length times width.",
    written="fill_length * fill_width",
    result=Output("A", "area", "area of the strip"),
    inputs=(FILL_LENGTH, FILL_WIDTH),
    source=GEOMETRY,
    limits="A strip with straight sides, of one width.",
)

LAYERS = Formula(
    id="placing.layers",
    title="Layers of a fill",
    words="The depth of the fill over the thickness of a packed layer, to the next whole layer.",
    written="round_up(depth / layer)",
    result=Output("n", "count", "layers", at_least=1.0, rounding="rounded up: the last layer is as thick as is left"),
    inputs=(
        Input("depth", "H", "length", "the depth to fill, packed", low="1 in", high="500 ft", work_us="ft", work_metric="m",
              example_us="2 ft", example_metric="0.6 m"),
        LAYER,
    ),
    source=COMMON_PRACTICE,
    limits="Packed over packed. Where the plan gives the layer loose, find out how thick that is packed. The plan and the test "
    "say how thick a layer may be, never the roller's size alone.",
)  # fmt: skip

LOOSE_THICKNESS = Formula(
    id="placing.loose_layer",
    title="How thick to spread a layer",
    words="The packed layer times one plus the swell, divided by one minus the shrinkage.",
    written="layer * (1 + swell) / (1 - shrinkage)",
    result=Output("t_l", "length", "thickness to spread, loose", us="in", metric="cm", work_us="in", work_metric="cm"),
    inputs=(
        Input("layer", "t", "length", "the thickness of a layer, packed, by the plan", low="1 in", high="5 ft", work_us="in", work_metric="cm",
              example_us="6 in", example_metric="15 cm"),
        soil.SHRINKAGE, soil.SWELL,
    ),
    positive=(("1 + swell - 0.999999 * (1 - shrinkage)", "packed, this ground would take more room than loose"),),
    source=SAME_GROUND,
    also=(soil.EXAMPLES,),
    limits="Spread flat, and nothing lost. How far a layer really goes down is seen on the first one: measure it.",
)  # fmt: skip

LAYER_VOLUME = Formula(
    id="placing.layer_volume",
    title="Packed ground in a layer",
    words="The area times the thickness, packed.",
    written="area * layer",
    result=Output("V_comp", "compacted_volume", "ground in the layer, compacted", work_us="ft3"),
    inputs=(AREA, LAYER),
    source=GEOMETRY,
    limits="One thickness all over. Soft spots that take more ground come on top.",
)

ROLLER_OUTPUT = Formula(
    id="placing.roller_output",
    title="What a roller packs in an hour",
    words="What the drum rolls anew, times speed, times the packed layer, times the share that is worked, over the passes.",
    written="(roller_width - overlap) * speed * layer * efficiency / passes",
    result=Output("Q", "volume_rate", "ground packed in an hour, compacted", work_us="ft3/min", work_metric="m3/min"),
    inputs=(
        ROLLER_WIDTH,
        Input("speed", "v", "speed", "the roller's speed", low="0.3 mph", high="15 mph", example_us="2.5 mph", example_metric="4 km/h"),
        LAYER,
        Input("passes", "p", "count", "passes over each spot; there and back is two", low="1", high="60", example_us="6", example_metric="6"),
        Input("efficiency", "E", "factor", "the share of each hour that is worked", low="0.1", high="1", example_us="50 min/h",
              example_metric="50 min/h"),
        OVERLAP,
    ),
    positive=(NARROWER,),
    source=ROLLER,
    limits="The layer is the packed one. Passes and speed come from a test strip or the plan: more speed or fewer passes give a "
    "larger figure and a softer fill.",
)  # fmt: skip

LANES = Formula(
    id="placing.lanes",
    title="Lanes to roll a strip",
    words="The width less one overlap, over what each lane rolls anew, to the next whole lane.",
    written="round_up((fill_width - overlap) / (roller_width - overlap))",
    result=Output("n", "count", "lanes side by side", at_least=1.0, rounding="rounded up: the last lane laps over more"),
    inputs=(FILL_WIDTH, ROLLER_WIDTH, OVERLAP),
    positive=(NARROWER,),
    source=Source(None, "geometry of lanes that lap", "derived"),
    limits="Straight lanes. How near an edge the last one may come is not in it.",
)

TIP_SPACING = Formula(
    id="placing.tip_spacing",
    title="How far apart to tip the loads",
    words="What one truck carries, over the width and the loose layer.",
    written="truck_load / (fill_width * loose_layer)",
    result=Output("s", "length", "distance from load to load"),
    inputs=(
        Input("truck_load", "V_truck", "loose_volume", "the loose ground one truck carries", low="0.3 yd3", high="400 yd3", work_us="ft3",
              example_us="24 yd3", example_metric="18 m3"),
        FILL_WIDTH, LOOSE_LAYER,
    ),
    source=SAME_GROUND,
    limits="Loads alike, spread to the full width. Pace it off on the first layer, then correct it.",
)  # fmt: skip

MEAN_PUSH = Formula(
    id="placing.mean_push",
    title="How far ground is pushed on average",
    words="Half of the stretch it is spread over.",
    written="stretch / 2",
    result=Output("d", "length", "average push"),
    inputs=(
        Input("stretch", "s", "length", "the stretch that is spread from its one end", low="0.3 ft", high="20000 ft", example_us="38 ft",
              example_metric="11 m"),
    ),
    source=HALF_WAY,
    limits="Tipped at one end of the stretch and spread evenly over it. What is carried twice comes on top.",
)  # fmt: skip


def _loads(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    layer = {"area": given["area"], "layer": given["layer"]}
    packed = LAYER_VOLUME.value(layer)
    share = {"compacted_volume": packed, "shrinkage": given["shrinkage"].si}
    bank = soil.BANK_FOR_FILL_BY_SHARE(**share)
    loose = soil.LOOSE(bank_volume=bank, swell=given["swell"].si)
    load = given["truck_load"]
    loads = soil.LOADS(loose_volume=loose, truck_load=load.si)
    too_few = soil.LOADS(loose_volume=packed, truck_load=load.si)
    up = soil.LOADS.result.rounding
    return Outcome(
        "loads",
        {
            "loads": Value(loads, "count", "whole truck loads for the layer", rounding=up),
            "packed": Value(packed, "compacted_volume", LAYER_VOLUME.result.meaning),
            "bank": Value(bank, "bank_volume", soil.BANK_FOR_FILL_BY_SHARE.result.meaning),
            "loose": Value(loose, "loose_volume", "loose volume to haul for the layer"),
            "loads_by_packed": Value(too_few, "count", "loads counted wrongly, from the packed layer", rounding=up),
            "missing": Value(loads - too_few, "count", "loads missing where they were counted from the packed layer"),
        },
        (
            Applied("packed", LAYER_VOLUME, layer),
            Note("The layer is measured packed. Here shrinkage is a share of the bank volume."),
            Applied("bank", soil.BANK_FOR_FILL_BY_SHARE, {"compacted_volume": From("packed"), "shrinkage": given["shrinkage"]}),
            Applied("loose", soil.LOOSE, {"bank_volume": From("bank"), "swell": given["swell"]}),
            Applied("loads", soil.LOADS, {"loose_volume": From("loose"), "truck_load": load}),
        ),
    )  # fmt: skip


LOADS_FOR_LAYER = Procedure(
    id="placing.loads_for_layer",
    title="Truck loads for a layer",
    words="Turn the packed layer back into bank ground, let that swell, and divide by what one truck carries.",
    inputs=(AREA, LAYER, soil.SHRINKAGE, soil.SWELL, soil.LOADS.inputs[1]),
    source=soil.EXAMPLES,
    also=(soil.LOADS.source, GEOMETRY),
    limits="Shrinkage as a share of the bank volume; the other definition in use gives another figure. Soft spots, and ground too wet to "
    "place, come on top.",
    run=_loads,
)


def _tips(loads: int, spacing: float, long: float) -> Rows:
    """Where each load is tipped along the strip, and how far it is spread."""
    return Rows(
        "Where each load is tipped",
        (Column("Load", "count"), Column("Tip at", "length"), Column("Spread as far as", "length")),
        tuple((float(k + 1), k * spacing, min((k + 1) * spacing, long)) for k in range(loads)),
    )


def _tip_plan(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    long = given["fill_length"]
    each = {name: given[name] for name in ("truck_load", "fill_width", "loose_layer")}
    spacing = TIP_SPACING.value(each)
    count = long.si / spacing
    if count > MOST_TIPS:
        raise CalculationError(
            said("so many loads go on this strip that no list of them helps ({number})", number=f"{count:,.0f}"),
            "give a shorter or narrower strip, or a truck that carries more",
            about=("fill_length", "fill_width", "loose_layer", "truck_load"),
        )
    loads = STRIP_LOADS(fill_length=long.si, spacing=spacing)
    stretch = min(spacing, long.si)
    return Outcome(
        "spacing",
        {
            "spacing": Value(spacing, "length", TIP_SPACING.result.meaning),
            "loads": Value(loads, "count", STRIP_LOADS.result.meaning, rounding=STRIP_LOADS.result.rounding),
            "push": Value(MEAN_PUSH(stretch=stretch), "length", "average push with each load tipped where its own stretch begins"),
            "push_one_end": Value(MEAN_PUSH(stretch=long.si), "length", "average push with every load tipped at one end of the strip"),
        },
        (
            Applied("spacing", TIP_SPACING, each),
            Applied("loads", STRIP_LOADS, {"fill_length": long, "spacing": From("spacing")}),
            _tips(int(loads), spacing, long.si),
            Note("From its heap a load is pushed half its own stretch on average. All tipped at one end, it is half the strip."),
            Applied("push_one_end", MEAN_PUSH, {"stretch": long}),
        ),
    )


MOST_TIPS = 400
"""More loads than that in one strip is a strip entered wrongly."""
STRIP_LOADS = Formula(
    id="placing.strip_loads",
    title="Loads along a strip",
    words="The length of the strip over the distance from load to load, to the next whole load.",
    written="round_up(fill_length / spacing)",
    result=Output("n", "count", "loads along the strip", at_least=1.0, rounding="rounded up: the last load is part left over"),
    inputs=(
        FILL_LENGTH,
        Input("spacing", "s", "length", "the distance from load to load", low="0.1 ft", high="20000 ft", example_us="38 ft",
              example_metric="11 m"),
    ),
    source=SAME_GROUND,
    limits="Loads alike, at one distance.",
)  # fmt: skip
TIP_PLAN = Procedure(
    id="placing.tip_plan",
    title="Where to tip the loads of a layer",
    words="What one truck carries covers so many feet of the strip: tip that far apart, and the dozer pushes least.",
    inputs=(FILL_LENGTH, FILL_WIDTH, LOOSE_LAYER, TIP_SPACING.inputs[0]),
    source=SAME_GROUND,
    also=(HALF_WAY,),
    limits="Loads alike, spread to the full width and in one layer. Where trucks may drive, turn and tip is the site's to say, and never "
    "at an edge without a berm or a spotter.",
    run=_tip_plan,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    FILL_AREA, LAYERS, LOOSE_THICKNESS, LAYER_VOLUME, ROLLER_OUTPUT, LANES, TIP_SPACING, MEAN_PUSH, STRIP_LOADS, LOADS_FOR_LAYER, TIP_PLAN,
)  # fmt: skip
