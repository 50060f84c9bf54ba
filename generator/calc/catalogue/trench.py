"""Trenches: sloped walls by the published table, volume, fall, spoil beside them, ways out.

The table's slopes are the steepest the rule allows for an edge that carries nothing. They hold
for a soil that a competent person has classed, and only to a depth of 20 ft.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from generator.calc.catalogue.trench_box import BOX_CALCULATIONS
from generator.calc.catalogue.trench_stations import FLOOR_OFF, STATION_DEPTH, STATION_PLAN
from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Step, Value
from generator.language.words import mark, said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, trimmed
from generator.units.table import UNITS, System

TABLE = "excavation-slopes"
RULE = Source("osha-1926-subpart-p", "Appendix B, Table B-1 and its notes")
SAME_RULE = Source("cal-1541-1", "Table B-1, the same ratios")
GEOMETRY = Source(None, "geometry: a section with two alike sides", "derived")

# the words of the input, and the table's row for each
ROWS = {"A": "A", "B": "B", "C": "C", "rock": "stable rock", "A short term": "A short term"}
SHORT_TERM = "A short term"
# 652(a)(1): from this depth a protective system is needed, except in rock that stays whole
PROTECT_FROM = {"us": Quantity(Decimal(5), "ft", "length"), "metric": Quantity(Decimal("1.52"), "m", "length")}
OPEN_AT_MOST = Quantity(Decimal(24), "h", "time")  # Table B-1, note 2

BOTTOM_WIDTH = Input(
    "bottom_width", "b", "length", "the width of the trench floor", low="0.3 ft", high="2000 ft",
    example_us="4 ft", example_metric="1.2 m",
)  # fmt: skip
DEPTH = Input(
    "depth", "H", "length", "the depth of the trench", low="0.2 ft", high="200 ft",
    example_us="10 ft", example_metric="3 m",
)  # fmt: skip
RATIO = Input(
    "side_ratio", "r", "ratio", "the run of a wall for each one of rise", low="0:1", high="10:1",
    work_us="1", work_metric="1", example_us="1.5:1", example_metric="1.5:1",
)  # fmt: skip
OWN_RATIO = replace(RATIO, default="", meaning="the run of the walls for each one of rise, if flatter than the rule")
SOIL_TYPE = Choice(
    "soil_type", "the soil type as a competent person classed it; C where nobody has",
    tuple(ROWS), default="C",
)  # fmt: skip
OPEN_TIME = Input(
    "open_time", "t", "time", "how long the trench stays open, for short term only", low="0.1 h",
    high="100000 h", default="", work_us="h", work_metric="h", example_us="12 h",
    example_metric="12 h",
)  # fmt: skip
LENGTH = Input(
    "length", "L", "length", "the length of the trench", low="1 ft", high="100000 ft",
    example_us="100 ft", example_metric="30 m",
)  # fmt: skip
SLOPE_LIMITS = (
    "A United States federal rule. Not past a depth of 20 ft (6.1 m): there a registered professional engineer designs the walls. "
    "For an edge with no machine, spoil or traffic near it, and no cracks, water or shaking: with "
    "any of these a competent person has it cut flatter. Local codes may ask for more."
)

SLOPED_TOP_WIDTH = Formula(
    id="trench.sloped_top_width",
    title="Width at the top of sloped walls",
    words="The floor, and the run of both walls.",
    written="bottom_width + 2 * depth * side_ratio",
    # a least width: to the hundredth, so that a wide cut does not lose half a foot in rounding
    result=Output("W_top", "length", "width at the top", places=2, limit="least"),
    inputs=(BOTTOM_WIDTH, DEPTH, RATIO),
    source=GEOMETRY,
    limits="Both walls alike, from the floor up. The geometry alone: it does not say that the walls stand.",
)
SLOPED_AREA = Formula(
    id="trench.sloped_area",
    title="Area across a trench with sloped walls",
    words="The floor and the run of one wall, times the depth.",
    written="depth * (bottom_width + depth * side_ratio)",
    result=Output("A", "area", "area across the trench"),
    inputs=(
        BOTTOM_WIDTH,
        DEPTH,
        replace(RATIO, default="0:1", meaning="the run of a wall for each one of rise; none where walls stand upright"),
    ),
    source=GEOMETRY,
    limits="Both walls alike, from the floor up. The geometry alone: it does not say that the walls stand.",
)
AREAS_TOGETHER = Formula(
    id="trench.areas_together",
    title="Area across a trench, one layer more",
    words="The area of the layers below, and that of this one.",
    written="area_below + layer_area",
    result=Output("A_sum", "area", "area across the trench"),
    inputs=(
        Input("area_below", "A_below", "area", "the area of all layers below", low="0.01 ft2", high="500000 ft2",
              example_us="51 ft2", example_metric="4.7 m2"),
        Input("layer_area", "A_layer", "area", "the area of this layer", low="0.01 ft2", high="500000 ft2",
              example_us="68 ft2", example_metric="6.3 m2"),
    ),
    source=GEOMETRY,
    limits="Layers that lie one on the other. The geometry alone: it does not say that the walls stand.",
)  # fmt: skip
DISTRESS_RATIO = Formula(
    id="trench.distress_ratio",
    title="Wall of a trench that shows signs of distress",
    words="The run of the steepest wall the rule allows, and a half more run for each one of rise.",
    written="side_ratio + more_run",
    result=Output("r_d", "ratio", "least run of the wall for each one of rise, with signs of distress", places=3),
    inputs=(
        replace(RATIO, meaning="the run of the steepest wall the rule allows, for each one of rise",
                example_us="1:1", example_metric="1:1"),
    ),
    constants=(
        Constant("more_run", "a", "ratio", "how much more run the rule asks for", us="0.5", metric="0.5",
                 source=Source("osha-1926-subpart-p", "Appendix B (c)(3)(ii)")),
    ),
    source=Source("osha-1926-subpart-p", "Appendix B (c)(3)(ii): signs of distress"),
    limits="Cracks, bulges, an edge that sinks, ground that heaves, lumps that fall: everybody out first. "
    "This is the least the rule asks for. A competent person says how flat, and whether the wall is safe "
    f"at all. A pile, a machine or a road at the edge is another case. {SLOPE_LIMITS}",
)  # fmt: skip
SECTION_VOLUME = Formula(
    id="trench.section_volume",
    title="Volume of a trench of one section",
    words="The area across the trench, times its length.",
    written="area * length",
    result=Output("V", "bank_volume", "volume of the trench, bank", work_us="ft3"),
    inputs=(
        Input("area", "A", "area", "the area across the trench", low="0.05 ft2",
              high="500000 ft2", example_us="100 ft2", example_metric="9 m2"),
        LENGTH,
    ),
    source=GEOMETRY,
    limits="The same section all along. The sloped ends of the trench come on top. The volume is "
    "bank: it swells when dug.",
)  # fmt: skip


def _ratio_of(soil: str, tables: Tables) -> Quantity:
    cell = tables[TABLE].cell(ROWS[soil], "run for 1 of rise")
    return Quantity(trimmed(Decimal(repr(cell.low))), ":1", "ratio")


def _deepest(soil: str, depth: Quantity, tables: Tables) -> Quantity:
    """The depth the row goes to, as the rule prints it in the unit system of ``depth``."""
    metric = UNITS[depth.unit].system == "metric"
    column, unit = ("depth up to metric", "m") if metric else ("depth up to", "ft")
    cell = tables[TABLE].cell(ROWS[soil], column)
    return Quantity(trimmed(Decimal(repr(cell.low))), unit, "length")


def _over(value: Quantity, most: Quantity) -> bool:
    return value.si > most.si * (1 + 1e-9)


def _check_depth(soil: str, depth: Quantity, tables: Tables) -> None:
    most = _deepest("C", depth, tables)
    if _over(depth, most):
        raise CalculationError(
            said("the slope table ends at a depth of {depth}", depth=most),
            "have a registered professional engineer design the walls",
            about=("depth",),
        )
    if soil == SHORT_TERM and _over(depth, _deepest(soil, depth, tables)):
        raise CalculationError(
            said("the short term slope is for depths up to {depth}", depth=_deepest(soil, depth, tables)),
            "give soil_type=A",
            about=("soil_type", "depth"),
        )


def _check_time(soil: str, open_time: Quantity | None) -> None:
    if soil != SHORT_TERM:
        return
    if open_time is None:
        raise CalculationError(
            "the short term slope needs open_time (how long the trench stays open)",
            f"add open_time, at most {OPEN_AT_MOST}, or give soil_type=A",
            about=("open_time", "soil_type"),
        )
    if _over(open_time, OPEN_AT_MOST):
        raise CalculationError(
            said("the short term slope is for a trench open {time} or less", time=OPEN_AT_MOST),
            "give soil_type=A",
            about=("open_time", "soil_type"),
        )


def _walls(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> tuple[Quantity, str]:
    """The ratio that governs and the sentence that says why. Raises CalculationError."""
    soil = str(inputs["soil_type"])
    depth, own, open_time = inputs["depth"], inputs.get("side_ratio"), inputs.get("open_time")
    assert isinstance(depth, Quantity)
    assert not isinstance(own, str) and not isinstance(open_time, str)
    _check_depth(soil, depth, tables)
    _check_time(soil, open_time)
    least = _ratio_of(soil, tables)
    named = said("rock that stays whole") if soil == "rock" else said("soil type {soil}", soil=said(soil))
    if own is None:
        return least, said("Steepest wall the rule allows for {named}, for an edge that carries nothing.", named=named)
    if own.si >= least.si * (1 - 1e-9):
        return own, said("The walls are no steeper than the rule allows for {named}.", named=named)
    if depth.si < PROTECT_FROM[_system_of(depth, system)].si * (1 - 1e-9):
        return own, ("So shallow a trench may stand steeper only if a competent person sees no sign that it could cave in.")
    raise CalculationError(
        said("walls of {ratio} are steeper than the {least} of {named}", ratio=own, least=least, named=named),
        "cut them flatter, or have the soil classed by a competent person",
        about=("side_ratio", "soil_type", "depth"),
    )


def _system_of(value: Quantity, system: System) -> System:
    return UNITS[value.unit].system or system


def _section(inputs: Mapping[str, Quantity | str], ratio: Quantity) -> dict[str, Quantity | From]:
    bottom, depth = inputs["bottom_width"], inputs["depth"]
    assert isinstance(bottom, Quantity) and isinstance(depth, Quantity)
    return {"bottom_width": bottom, "depth": depth, "side_ratio": ratio}


def _si(section: Mapping[str, Quantity | From]) -> dict[str, float]:
    return {name: q.si for name, q in section.items() if isinstance(q, Quantity)}


Inputs = Mapping[str, Quantity | str]


def _top_width(inputs: Inputs, system: System, tables: Tables) -> Outcome:
    return top_width_of(inputs, *_walls(inputs, system, tables))


def top_width_of(inputs: Inputs, ratio: Quantity, why: str) -> Outcome:
    """The width at the top of walls of a ratio, wherever it is from; ``why`` says so."""
    section = _section(inputs, ratio)
    given = _si(section)
    return Outcome(
        "top_width",
        {
            "top_width": Value(SLOPED_TOP_WIDTH(**given), "length", "width at the top", places=2, limit="least"),
            "side_ratio": Value(ratio.si, "ratio", "run of a wall for each one of rise", places=3),
            "set_back": Value(
                given["depth"] * given["side_ratio"],
                "length",
                "how far back each wall starts",
                places=2,
            ),
        },
        (Note(why), Applied("top_width", SLOPED_TOP_WIDTH, section)),
    )


def _area(inputs: Inputs, system: System, tables: Tables) -> Outcome:
    return area_of(inputs, *_walls(inputs, system, tables))


def area_of(inputs: Inputs, ratio: Quantity, why: str) -> Outcome:
    """The area across a trench with walls of a ratio, wherever it is from; ``why`` says so."""
    section = _section(inputs, ratio)
    return Outcome(
        "area",
        {
            "area": Value(SLOPED_AREA(**_si(section)), "area", "area across the trench"),
            "side_ratio": Value(ratio.si, "ratio", "run of a wall for each one of rise", places=3),
        },
        (Note(why), Applied("area", SLOPED_AREA, section)),
    )


def _volume(inputs: Inputs, system: System, tables: Tables) -> Outcome:
    return volume_of(inputs, *_walls(inputs, system, tables))


def volume_of(inputs: Inputs, ratio: Quantity, why: str) -> Outcome:
    """The volume of a trench with walls of a ratio, wherever it is from; ``why`` says so."""
    section = _section(inputs, ratio)
    length = inputs["length"]
    assert isinstance(length, Quantity)
    area = SLOPED_AREA(**_si(section))
    return Outcome(
        "volume",
        {
            "volume": Value(
                SECTION_VOLUME(area=area, length=length.si), "bank_volume",
                "volume of the trench, bank",
            ),
            "area": Value(area, "area", "area across the trench"),
            "side_ratio": Value(ratio.si, "ratio", "run of a wall for each one of rise", places=3),
        },
        (
            Note(why),
            Applied("area", SLOPED_AREA, section),
            Applied("volume", SECTION_VOLUME, {"area": From("area"), "length": length}),
        ),
    )  # fmt: skip


WALL_INPUTS = (BOTTOM_WIDTH, DEPTH, SOIL_TYPE, OWN_RATIO, OPEN_TIME)

TOP_WIDTH = Procedure(
    id="trench.top_width",
    title="Width of a trench at the top",
    words="The floor, and the run of both walls at the steepest slope the rule allows, or flatter.",
    inputs=WALL_INPUTS,
    source=RULE,
    also=(SAME_RULE,),
    limits=SLOPE_LIMITS,
    run=_top_width,
    tables=(TABLE,),
)
AREA = Procedure(
    id="trench.area",
    title="Area across a trench",
    words="The floor and the run of one wall, times the depth.",
    inputs=WALL_INPUTS,
    source=RULE,
    also=(SAME_RULE,),
    limits=SLOPE_LIMITS,
    run=_area,
    tables=(TABLE,),
)
VOLUME = Procedure(
    id="trench.volume",
    title="Volume of a trench",
    words="The area across the trench, times its length.",
    inputs=(BOTTOM_WIDTH, DEPTH, LENGTH, SOIL_TYPE, OWN_RATIO, OPEN_TIME),
    source=RULE,
    also=(SAME_RULE,),
    limits=f"{SLOPE_LIMITS} The same section all along; the volume is bank.",
    run=_volume,
    tables=(TABLE,),
)

# --- layers ---------------------------------------------------------------------------------

LAYERS = (mark("upper"), mark("second"), mark("third"), mark("lowest"))
LAYER_SOILS = ("A", "B", "C", "rock")


def _layer_inputs() -> tuple[Input | Choice, ...]:
    found: list[Input | Choice] = []
    for layer in LAYERS:
        optional = layer in {"second", "third"}
        found.append(
            Choice(f"{layer}_soil_type", f"the soil type of the {layer} layer", LAYER_SOILS,
                   default="" if optional else None)
        )  # fmt: skip
        found.append(
            replace(DEPTH, name=f"{layer}_depth", symbol=f"H_{layer}",
                    meaning=f"how thick the {layer} layer is", default="" if optional else None,
                    example_us="5 ft", example_metric="1.5 m")
        )  # fmt: skip
    return tuple(found)


def _layers(inputs: Mapping[str, Quantity | str]) -> list[tuple[str, str, Quantity]]:
    """Name, soil and thickness, top layer first. Raises CalculationError on half a layer."""
    found = []
    for layer in LAYERS:
        soil, depth = inputs.get(f"{layer}_soil_type"), inputs.get(f"{layer}_depth")
        if soil is None and depth is None:
            continue
        if not isinstance(soil, str) or not isinstance(depth, Quantity):
            raise CalculationError(
                said("the {layer} layer needs both its soil type and its depth", layer=said(layer)),
                f"give {layer}_soil_type and {layer}_depth",
                about=(f"{layer}_soil_type", f"{layer}_depth"),
            )
        found.append((layer, soil, depth))
    return found


def _layered(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    layers = _layers(inputs)
    bottom = inputs["bottom_width"]
    assert isinstance(bottom, Quantity)
    total = sum(depth.si for _, _, depth in layers)
    most = _deepest("C", layers[0][2], tables)
    if total > most.si * (1 + 1e-9):
        raise CalculationError(
            said("the slope table ends at a depth of {depth}", depth=most),
            "have a registered professional engineer design the walls",
            about=tuple(f"{layer}_depth" for layer, _, _ in layers),
        )
    used: list[tuple[str, str, Quantity, Quantity]] = []
    flattest = Quantity(Decimal(0), ":1", "ratio")
    for layer, soil, depth in reversed(layers):
        own = _ratio_of(soil, tables)
        flattest = own if own.si > flattest.si else flattest
        used.append((layer, soil, depth, flattest))
    steps: list[Step] = [
        Note(
            "A layer may stand at its own slope only if no layer below it needs a flatter one. "
            "Else it takes the flattest slope found below it."
        ),
        Rows(
            "Layers, top first",
            (
                Column("Layer", "text"), Column("Soil type", "text"), Column("Thick", "length"),
                Column("Run of its own", "ratio", places=2), Column("Run used", "ratio", places=2),
            ),
            tuple(
                (layer, soil, depth.si, _ratio_of(soil, tables).si, ratio.si)
                for layer, soil, depth, ratio in reversed(used)
            ),
        ),
    ]  # fmt: skip
    width, below = bottom.si, None
    for layer, _, depth, ratio in used:
        width = SLOPED_TOP_WIDTH(bottom_width=width, depth=depth.si, side_ratio=ratio.si)
        start: Quantity | From = bottom if below is None else From(below)
        steps.append(Applied(layer, SLOPED_TOP_WIDTH, {"bottom_width": start, "depth": depth, "side_ratio": ratio}))
        below = layer
    return Outcome(
        "top_width",
        {
            "top_width": Value(width, "length", "width at the top", places=2, limit="least"),
            "depth": Value(total, "length", "depth of the trench"),
            "side_ratio": Value(used[-1][3].si, "ratio", "run of the upper layer's walls", places=3),
        },
        tuple(steps),
    )


LAYERED_TOP_WIDTH = Procedure(
    id="trench.layered_top_width",
    title="Width at the top of a trench through layers",
    words="From the floor up, each layer adds the run of both walls. No layer is cut steeper than "
    "the one that needs the flattest slope below it.",
    inputs=(BOTTOM_WIDTH, *_layer_inputs()),
    source=Source("osha-1926-subpart-p", "Appendix B, figures for layered soils", "from memory"),
    also=(RULE,),
    limits=SLOPE_LIMITS,
    run=_layered,
    tables=(TABLE,),
)


def _layered_area(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    widths = _layered(inputs, system, tables)
    steps: list[Step] = [s for s in widths.steps if not isinstance(s, Applied)]
    bottom = inputs["bottom_width"]
    assert isinstance(bottom, Quantity)
    floor = bottom.si
    lower: tuple[str, float] | None = None
    below: dict[str, Quantity | From] = {}
    for step in (s for s in widths.steps if isinstance(s, Applied)):
        layer, given = step.name, dict(step.inputs)
        start = given["bottom_width"]
        if isinstance(start, From):
            given["bottom_width"] = From(f"{start.step}_width")
            steps.append(Applied(f"{start.step}_width", SLOPED_TOP_WIDTH, below))
        section = {"bottom_width": floor, **_si({n: q for n, q in given.items() if n != "bottom_width"})}
        area = SLOPED_AREA(**section)
        steps.append(Applied(f"{layer}_area", SLOPED_AREA, given))
        if lower is None:
            lower = f"{layer}_area", area
        else:
            below_it, total = lower
            steps.append(Applied(f"{layer}_sum", AREAS_TOGETHER, {"area_below": From(below_it), "layer_area": From(f"{layer}_area")}))
            lower = f"{layer}_sum", AREAS_TOGETHER(area_below=total, layer_area=area)
        floor, below = SLOPED_TOP_WIDTH(**section), given
    assert lower is not None, "there is a lowest layer"
    _, total = lower
    return Outcome(
        "area",
        {
            "area": Value(total, "area", "area across the trench"),
            "top_width": widths.values["top_width"],
            "depth": widths.values["depth"],
        },
        tuple(steps),
    )


LAYERED_AREA = Procedure(
    id="trench.layered_area",
    title="Area across a trench through layers",
    words="From the floor up, the area of each layer, cut no steeper than the layer below it that needs the flattest slope. Added up.",
    inputs=LAYERED_TOP_WIDTH.inputs,
    source=LAYERED_TOP_WIDTH.source,
    also=(RULE, GEOMETRY),
    limits=SLOPE_LIMITS,
    run=_layered_area,
    tables=(TABLE,),
)

# --- depth and fall -------------------------------------------------------------------------

START_ELEVATION = Input(
    "start_elevation", "z_start", "length", "the elevation of the grade line where the distance starts",
    low="-2000 ft", high="30000 ft", example_us="100 ft", example_metric="100 m",
)  # fmt: skip

INVERT = Formula(
    id="trench.invert",
    title="Elevation of the grade line along the run",
    words="The start elevation less the drop over the distance.",
    written="start_elevation - grade * distance",
    result=Output("z", "length", "elevation of the grade line", at_least=None, places=2),
    inputs=(
        START_ELEVATION,
        Input("grade", "G", "grade", "the grade downhill, below zero where the line rises",
              low="-100%", high="100%", example_us="1%", example_metric="1%"),
        Input("distance", "L", "length", "the distance from the start, measured level",
              low="0 ft", high="100000 ft", example_us="80 ft", example_metric="25 m"),
    ),
    source=Source("slope-units-questions", "fall of one percent over a run"),
    limits="One straight grade. The grade line is the inside bottom of a pipe, its invert. Pipe wall and "
    "bedding go below it: dig that much deeper.",
)  # fmt: skip

CUT_DEPTH = Formula(
    id="trench.cut_depth",
    title="Depth of cut",
    words="The elevation of the ground less the elevation of the trench floor.",
    written="surface_elevation - invert_elevation",
    result=Output("H", "length", "depth of cut", places=2),
    inputs=(
        Input("surface_elevation", "z_ground", "length", "the elevation of the ground",
              low="-2000 ft", high="30000 ft", example_us="105 ft", example_metric="102 m"),
        Input("invert_elevation", "z_floor", "length", "the elevation of the trench floor",
              low="-2000 ft", high="30000 ft", example_us="99.2 ft", example_metric="100.2 m"),
    ),
    requires=(("invert_elevation", "surface_elevation", "the floor lies above the ground"),),
    source=Source("earthworks-problems", "slope-stake problem"),
    limits="Both elevations from the same benchmark. Pipe wall and bedding go below the floor: "
    "dig that much deeper.",
)  # fmt: skip

DIG_DEPTH = Formula(
    id="trench.dig_depth",
    title="Depth to dig below the ground for a pipe",
    words="The elevation of the ground less that of the grade line, and the pipe wall and the bedding below it.",
    written="surface_elevation - invert_elevation + pipe_wall + bedding",
    result=Output("H_dig", "length", "depth to dig, down to the floor", places=2),
    inputs=(
        CUT_DEPTH.inputs[0],
        replace(CUT_DEPTH.inputs[1], symbol="z_invert",
                meaning="the elevation of the grade line: the inside bottom of the pipe, its invert"),
        Input("pipe_wall", "t", "length", "how thick the wall of the pipe is", low="0 in", high="24 in", default="0 in",
              example_us="1.5 in", example_metric="40 mm"),
        Input("bedding", "b", "length", "how thick the bedding under the pipe is, packed", low="0 in", high="60 in",
              default="0 in", example_us="6 in", example_metric="150 mm"),
    ),
    requires=(("invert_elevation", "surface_elevation", "the grade line lies above the ground"),),
    source=Source("pipe-laying-specs", "the floor lies the pipe wall and the bedding below the invert"),
    also=(Source("earthworks-problems", "slope-stake problem"),),
    limits="Both elevations from the same benchmark, at the same place. With no pipe, wall and bedding are nothing, "
    "and the grade line is the floor. A pipe's bell needs a hole of its own. How deep the walls may stand is another "
    "question: see the rule for trench walls.",
)  # fmt: skip

# --- spoil ----------------------------------------------------------------------------------

SPOIL_VOLUME = Input(
    "volume", "V", "loose_volume", "the spoil, loose", low="0.1 yd3", high="10000000 yd3",
    work_us="ft3", example_us="100 lcy", example_metric="75 lcm",
)  # fmt: skip
PILE_LENGTH = Input(
    "length", "L", "length", "the length of the pile along the trench", low="1 ft",
    high="100000 ft", example_us="90 ft", example_metric="30 m",
)  # fmt: skip
REPOSE = Input(
    "repose", "R", "angle", "the angle at which the loose soil lies", low="10deg", high="60deg",
    example_us="35deg", example_metric="35deg",
)  # fmt: skip
SET_BACK = Input(
    "set_back", "s", "length", "how far the toe of the pile is from the edge", low="2 ft",
    high="200 ft", default="2 ft", example_us="2 ft", example_metric="0.61 m",
)  # fmt: skip
PILE_HEIGHT = Input(
    "pile_height", "H", "length", "the height of the pile", low="0.01 ft", high="1000 ft",
    example_us="8 ft", example_metric="2.5 m",
)  # fmt: skip
RIDGE = Source("nunnally", "chapter 2, triangular spoil bank", "from memory")

SPOIL_HEIGHT = Formula(
    id="trench.spoil_height",
    title="Height of the spoil pile",
    words="A ridge with both sides at the angle of repose.",
    written="sqrt(volume / length * tan(repose))",
    result=Output("H", "length", "height of the pile"),
    inputs=(SPOIL_VOLUME, PILE_LENGTH, REPOSE),
    source=RIDGE,
    limits="An even ridge on level ground, its ends left out.",
)
SPOIL_FAR_TOE = Formula(
    id="trench.spoil_far_toe",
    title="Far toe of the spoil pile",
    words="The set-back and the whole width of the pile.",
    written="set_back + 2 * pile_height / tan(repose)",
    result=Output("x", "length", "distance from the edge to the far toe"),
    inputs=(SET_BACK, PILE_HEIGHT, REPOSE),
    source=Source(None, "geometry: a ridge with two alike sides", "derived"),
    limits="An even ridge on level ground.",
)
SPOIL_WIDTH = Formula(
    id="trench.spoil_width",
    title="Width of the spoil pile",
    words="Twice the height, divided by the tan of the angle of repose.",
    written="2 * pile_height / tan(repose)",
    result=Output("B", "length", "width of the pile on the ground"),
    inputs=(PILE_HEIGHT, REPOSE),
    source=RIDGE,
    limits="An even ridge on level ground.",
)


def _spoil_pile(inputs: Inputs, system: System, tables: Tables) -> Outcome:
    return spoil_pile_of(inputs, SPOIL_FAR_TOE)


def spoil_pile_of(inputs: Inputs, far_toe: Formula) -> Outcome:
    """The pile, its far toe as ``far_toe`` has it, which says how near the edge a pile may lie."""
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    repose = given["repose"]
    height = SPOIL_HEIGHT(volume=given["volume"].si, length=given["length"].si, repose=repose.si)
    width = SPOIL_WIDTH(pile_height=height, repose=repose.si)
    far = far_toe(set_back=given["set_back"].si, pile_height=height, repose=repose.si)
    return Outcome(
        "width",
        {
            "width": Value(width, "length", SPOIL_WIDTH.result.meaning),
            "height": Value(height, "length", SPOIL_HEIGHT.result.meaning),
            "set_back": Value(given["set_back"].si, "length", "distance from the edge to the near toe"),
            "far_toe": Value(far, "length", far_toe.result.meaning),
        },
        (
            Applied("height", SPOIL_HEIGHT,
                    {"volume": given["volume"], "length": given["length"], "repose": repose}),
            Applied("far_toe", far_toe,
                    {"set_back": given["set_back"], "pile_height": From("height"), "repose": repose}),
            Applied("width", SPOIL_WIDTH, {"pile_height": From("height"), "repose": repose}),
        ),
    )  # fmt: skip


SPOIL_PILE = Procedure(
    id="trench.spoil_pile",
    title="Spoil pile beside a trench",
    words="A ridge with both sides at the angle of repose, its near toe set back from the edge.",
    inputs=(SPOIL_VOLUME, PILE_LENGTH, REPOSE, SET_BACK),
    source=RIDGE,
    also=(Source("osha-1926-subpart-p", "651(j)(2): spoil back from the edge"),),
    limits="The set-back is for the toe of the spoil. It is no safe distance for a machine, and "
    "even a pile set back loads the wall: a competent person may ask for more room.",
    run=_spoil_pile,
)

# --- ways out -------------------------------------------------------------------------------

LADDERS = Formula(
    id="trench.ladders",
    title="Ladders in a trench",
    words="The length divided by twice the farthest anyone may be from a ladder, to the next "
    "whole ladder.",
    written="round_up(length / (2 * ladder_reach))",
    result=Output("n", "count", "ladders, so that no one is too far from one", at_least=1.0,
                  rounding="rounded up: part of a stretch needs its own ladder"),
    inputs=(LENGTH,),
    constants=(
        Constant("ladder_reach", "d", "length", "the farthest anyone may be from a way out",
                 us="25 ft", metric="7.62 m",
                 source=Source("osha-1926-subpart-p", "651(c)(2)")),
    ),
    source=Source("osha-1926-subpart-p", "651(c)(2)"),
    also=(Source("osha-1926-1053", "(b)(1): how far it stands above the edge"),),
    limits="From a depth of 4 ft (1.22 m), where people are in the trench. One straight run, the ladders "
    "evenly spread with half a space at each end. Each ladder stands inside the protected part.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    TOP_WIDTH, AREA, VOLUME, LAYERED_TOP_WIDTH, LAYERED_AREA, DISTRESS_RATIO, INVERT, CUT_DEPTH, DIG_DEPTH, STATION_PLAN, STATION_DEPTH, FLOOR_OFF, SPOIL_PILE,
    *BOX_CALCULATIONS, LADDERS, AREAS_TOGETHER, SLOPED_TOP_WIDTH, SLOPED_AREA, SECTION_VOLUME, SPOIL_HEIGHT, SPOIL_FAR_TOE, SPOIL_WIDTH,
)  # fmt: skip
