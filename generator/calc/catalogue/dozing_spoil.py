"""The spoil pile at the end of a slot: a ramp with sides that roll out, and a steep far side.

The top on which the machine drives is as wide everywhere; beside it, and at its far end, loose
ground lies at its angle of repose. Cut across anywhere, the pile is a trapezium; its width there,
half way up, grows with the height, so the height of a volume is the root of a cubic.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Step, Value
from generator.units.quantity import Quantity
from generator.units.table import KINDS, System, from_si, to_si

GEOMETRY = Source(None, "geometry: a pile that is a trapezium wherever it is cut across", "derived")

VOLUME = Input(
    "volume", "V", "loose_volume", "the spoil in the pile, loose", low="0.1 yd3",
    high="1000000 yd3", work_us="ft3", example_us="100 lcy", example_metric="80 lcm",
)  # fmt: skip
WIDTH = Input(
    "width", "W", "length", "the width of the top, on which the machine drives", low="2 ft",
    high="1000 ft", example_us="24 ft", example_metric="8 m",
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
REPOSE = Input(
    "repose", "φ", "angle", "the angle of repose, at which the loose sides come to rest; a right "
    "angle for a pile between walls", low="5 deg", high="90 deg", default="35 deg",
    example_us="35deg", example_metric="35deg",
)  # fmt: skip

SIDE_RUN = Formula(
    id="dozing.side_run",
    title="Run of a loose side",
    words="One divided by the tan of the angle of repose.",
    written="1 / tan(repose)",
    result=Output("r_side", "ratio", "run of a loose side for each one of rise"),
    inputs=(REPOSE,),
    source=Source(None, "what the angle of repose means", "derived"),
    limits="Loose ground at rest. Wet ground may stand steeper for a while, and then slide.",
)

FAR_RUN = Formula(
    id="dozing.far_run",
    title="Run of the far side",
    words="As planned, but never steeper than loose ground lies.",
    written="greatest(far_side_ratio, side_run)",
    result=Output("r_end", "ratio", "run of the far side for each one of rise"),
    inputs=(
        FAR_SIDE,
        Input("side_run", "r_side", "ratio", "the run of a loose side for each one of rise",
              low="0:1", high="12:1", work_us="1", work_metric="1", example_us="1.43:1",
              example_metric="1.43:1"),
    ),
    source=Source(None, "what the angle of repose means", "derived"),
    limits="The far side is where loads roll down. Nothing drives there.",
)  # fmt: skip

MEAN_WIDTH = Formula(
    id="dozing.pile_mean_width",
    title="Mean width of the pile",
    words="The width of the top, and two thirds of how far one side rolls out at the highest place.",
    written="width + 2 / 3 * side_run * height",
    result=Output("W_mean", "length", "mean width of the pile"),
    inputs=(
        WIDTH,
        FAR_RUN.inputs[1],
        Input("height", "H", "length", "the height of the pile", low="0.01 ft", high="1000 ft",
              example_us="7 ft", example_metric="2.2 m"),
    ),
    source=GEOMETRY,
    limits="The mean over the whole pile, the low ends of it counted less than the high middle.",
)  # fmt: skip

PILE_AREA = Formula(
    id="dozing.pile_area",
    title="Area of the pile, seen from the side",
    words="The volume spread over the width.",
    written="volume / width",
    result=Output("A", "area", "area of the pile from the side"),
    inputs=(
        VOLUME,
        Input("width", "W", "length", "the mean width of the pile", low="2 ft", high="10000 ft",
              example_us="30 ft", example_metric="10 m"),
    ),
    source=GEOMETRY,
    limits="The mean width counts. A pile between two walls has the same width everywhere.",
)  # fmt: skip

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

RAMP_WIDTH = Formula(
    id="dozing.ramp_width",
    title="Least width of the ramp's top",
    words="The widest part of the machine, and the site's distance to an edge on both sides.",
    written="machine_width + 2 * edge_distance",
    result=Output("W_least", "length", "least width of the top"),
    inputs=(
        Input("machine_width", "W_machine", "length", "the widest part of the machine, its blade "
              "counted", low="1 ft", high="40 ft", example_us="12 ft", example_metric="4 m"),
        Input("edge_distance", "d_edge", "length", "how near to an edge a machine comes on this "
              "site", low="0.5 ft", high="60 ft", example_us="6 ft", example_metric="2 m"),
    ),
    source=Source(None, "the machine and twice the distance, side by side", "derived"),
    limits="For one machine that keeps to the middle. Loose or wet fill may need more, and the "
    "competent person decides. It is no promise that the edge holds.",
)  # fmt: skip

PILE_TOP = Formula(
    id="dozing.pile_top",
    title="Width of the pile's top",
    words="The planned width, or what the machine needs, whichever is more.",
    written="greatest(planned_width, least_width)",
    result=Output("W", "length", "width of the top"),
    inputs=(
        Input("planned_width", "W_plan", "length", "the planned width of the top", low="2 ft",
              high="1000 ft", example_us="14 ft", example_metric="4 m"),
        Input("least_width", "W_least", "length", "the least width of the top", low="1 ft",
              high="200 ft", example_us="24 ft", example_metric="8 m"),
    ),
    source=Source(None, "the wider of the two", "derived"),
    limits="A plan too narrow for the machine is changed before the first load, not on the pile.",
)  # fmt: skip


def side_run(repose: float) -> float:
    """Run of a loose side for each one of rise; ``repose`` in radians, up to a right angle."""
    return math.cos(repose) / math.sin(repose)


def spoil_height(volume: float, width: float, ratio: float, far_side_ratio: float, side: float) -> float:
    """Height [m] of a pile of ``volume`` [m³] with a top ``width`` [m] wide, 0 where there is none.

    ``ratio``, ``far_side_ratio`` and ``side`` are runs for each one of rise of the ramp, the far
    side and the sides. Plain geometry: the cut across at height h is ``h * (width + side * h)``,
    which adds up along the ramp and down the far side to
    ``(ratio + far_side_ratio) * height**2 * (width / 2 + side * height / 3)``. For u, one divided by
    the height, that is ``u³ - p·u - q = 0``, a cubic without a square. Its one root above zero comes
    by the third of an angle: with u = r·cos(t) it says cos(3t) = 4q/r³.
    """
    if volume <= 0:
        return 0.0
    ends = ratio + far_side_ratio
    p, q = ends * width / (2 * volume), ends * side / (3 * volume)
    r = 2 * math.sqrt(p / 3)
    triple = 4 * q / r**3
    # past one it is the cosine of no angle; the hyperbolic functions go on from there
    return 1 / (r * (math.cos(math.acos(triple) / 3) if triple < 1 else math.cosh(math.acosh(triple) / 3)))


def _tried(height: float, system: System) -> Quantity:
    """The height as one would write it down after trying: five digits."""
    unit = KINDS["length"].work(system)
    return Quantity(Decimal(f"{from_si(height, unit, 'length'):.5g}"), unit, "length")


def _tries(volume: float, width: float, ratio: float, far: float, side: float, height: float, system: System) -> Rows:
    """Two round heights, one that holds too little and one that holds too much."""
    unit = KINDS["length"].work(system)
    figure = from_si(height, unit, "length")
    step = 10.0 ** (math.floor(math.log10(figure)) - (1 if figure < 5 * 10.0 ** math.floor(math.log10(figure)) else 0))
    below = math.floor(figure / step)
    rows = []
    for count in (below, below + 1):
        tried = to_si(round(count * step, 9), unit, "length")
        mean = width + 2 / 3 * side * tried
        held = mean * (ratio + far) * tried**2 / 2
        rows.append((tried, mean, held, "too little" if held < volume else "too much"))
    return Rows(
        "Heights tried",
        (Column("Height", "length"), Column("Mean width", "length"), Column("Holds, loose", "loose_volume"),
         Column("That is", "text")),
        tuple(rows),
    )  # fmt: skip


def _spoil_ramp(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    volume, width, ratio = given["volume"], given["width"], given["ratio"]
    upright = given["repose"].si >= math.radians(89.99)
    side = 0.0 if upright else SIDE_RUN(repose=given["repose"].si)
    far = max(given["far_side_ratio"].si, side)
    steps: list[Step] = []
    top: Quantity | From = width
    end: Quantity | From = given["far_side_ratio"]
    mean = width.si
    if not upright:
        exact = spoil_height(volume.si, width.si, ratio.si, far, side)
        tried = _tried(exact, system)
        mean = MEAN_WIDTH(width=width.si, side_run=side, height=tried.si)
        steps += [
            Applied("side", SIDE_RUN, {"repose": given["repose"]}),
            Applied("far", FAR_RUN, {"far_side_ratio": given["far_side_ratio"], "side_run": From("side")}),
            Note("The sides roll out, so a higher pile is also wider. Its height is found by trying."),
            _tries(volume.si, width.si, ratio.si, far, side, exact, system),
            Note("A height between the two fits. Put in, it comes out again at the end:"),
            Applied("mean", MEAN_WIDTH, {"width": width, "side_run": From("side"), "height": tried}),
        ]  # fmt: skip
        if ratio.si < side * (1 - 1e-9):
            steps.append(Note("The ramp is planned steeper than this ground rests at. It will not stay so: plan it flatter."))
        top, end = From("mean"), From("far")
    area = PILE_AREA(volume=volume.si, width=mean)
    base = PILE_BASE(pile_area=area, ratio=ratio.si, far_side_ratio=far)
    length = RAMP_LENGTH(pile_base=base, ratio=ratio.si, far_side_ratio=far)
    height = RAMP_HEIGHT(ramp_length=length, ratio=ratio.si)
    sides: dict[str, Quantity | From] = {"ratio": ratio, "far_side_ratio": end}
    steps += [
        Applied("area", PILE_AREA, {"volume": volume, "width": top}),
        Applied("base", PILE_BASE, {"pile_area": From("area"), **sides}),
        Applied("length", RAMP_LENGTH, {"pile_base": From("base"), **sides}),
        Applied("height", RAMP_HEIGHT, {"ramp_length": From("length"), "ratio": ratio}),
    ]
    return Outcome(
        "height",
        {
            "height": Value(height, "length", "height of the spoil"),
            "ramp_length": Value(length, "length", "length of the ramp, measured level"),
            "base": Value(base, "length", "length of the whole pile on the ground"),
            "area": Value(area, "area", "area of the pile from the side"),
            "mean_width": Value(mean, "length", "mean width of the pile"),
            "base_width": Value(width.si + 2 * side * height, "length", "width of the pile on the ground, at its highest place"),
            "far_run": Value(far, "ratio", "run of the far side for each one of rise"),
        },
        tuple(steps),
    )  # fmt: skip


SPOIL_RAMP = Procedure(
    id="dozing.spoil_ramp",
    title="Height and length of a spoil ramp",
    words="A ramp on the machine's side, a steep far side, and sides that lie as loose ground rolls.",
    inputs=(VOLUME, WIDTH, RATIO, FAR_SIDE, REPOSE),
    source=GEOMETRY,
    limits="Level ground. The sides lie at the angle of repose straight across the pile; its corners "
    "really roll out round, so a real pile is a little wider and lower. It says nothing about whether "
    "its edges hold a machine.",
    run=_spoil_ramp,
)
