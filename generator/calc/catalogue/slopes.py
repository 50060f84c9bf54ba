"""Slopes: where a machine tips or slides, where ground gives way, ridges along an edge.

Everything here is a ceiling worked for a stiff machine at rest, or for even ground. None of it
is an allowed slope, and every result says so.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from generator.calc.catalogue.slopes_swing import SWINGING
from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, From, Note, Outcome, Value
from generator.language.words import mark
from generator.units.quantity import Quantity
from generator.units.table import System

# no level reads finer than this, so two limits nearer than it are one
SAME = math.radians(0.05)

CEILING = Source("spencer-gilfillan-1976", "introduction: the static angle is the upper limit only")

# --- the machine ----------------------------------------------------------------------------

TRACK_GAUGE = Input(
    "track_gauge", "T", "length", "the distance between the middles of the tracks", low="1 ft",
    high="30 ft", example_us="7 ft", example_metric="2 m",
)  # fmt: skip
CG_HEIGHT = Input(
    "cg_height", "h", "length", "the height of the centre of gravity above the ground",
    low="0.3 ft", high="20 ft", example_us="3 ft", example_metric="1 m",
)  # fmt: skip
CG_OFFSET = Input(
    "cg_offset", "e", "length", "how far a load moves the centre of gravity to the low side",
    low="0 ft", high="10 ft", default="0 ft", example_us="0.5 ft", example_metric="0.2 m",
)  # fmt: skip
TRACTION = Input(
    "traction", "μ", "factor",
    "the grip for pulling straight ahead: the coefficient of traction of tracks on this ground",
    low="0.02", high="1.2", example_us="0.7", example_metric="0.7",
)  # fmt: skip
SIDE_SLOPE = Input(
    "side_slope", "G", "grade", "the side slope under the machine", low="0%", high="100%",
    example_us="15%", example_metric="15%",
)  # fmt: skip

SIDE_GRIP = replace(
    TRACTION, meaning="the grip of the shoes sideways, which is less than for pulling straight ahead",
    example_us="0.5", example_metric="0.5",
)  # fmt: skip

STATIC_TIP_ANGLE = Formula(
    id="slopes.static_tip_angle",
    title="Side slope where a machine at rest tips",
    words="Half the track gauge, less what a load takes off, divided by the height of the weight. "
    "The inverse tan key of a calculator turns that into an angle.",
    written="atan((track_gauge / 2 - cg_offset) / cg_height)",
    result=Output("θ_tip", "angle", "side slope where the machine at rest tips"),
    inputs=(TRACK_GAUGE, CG_HEIGHT, CG_OFFSET),
    source=Source("nhtsa-rollover", "section V.A, static tilt limit"),
    also=(CEILING,),
    limits="A ceiling only: a stiff machine, at rest, on hard even ground. Bumps, soft ground, a "
    "raised load, turning and stopping all tip it on a flatter slope. Use the machine's manual.",
    stability=True,
)

GRIP_LIMIT = Formula(
    id="slopes.grip_limit",
    title="Slope where the tracks lose their grip, straight up or down",
    words="The grip for pulling straight ahead, as an angle: the inverse tan key of a calculator gives it.",
    written="atan(traction)",
    result=Output("θ_grip", "angle", "slope where the machine begins to slide, pointed straight up or down"),
    inputs=(TRACTION,),
    source=Source("incline-exercises", "block at rest on an incline"),
    also=(Source("spencer-1978", "abstract: grip is lost before the machine tips, mostly"),),
    limits="For tracks that point straight up or down the fall. Across it the shoes hold less, and this "
    "angle says nothing about a slide to the side. A ceiling only: even ground, at rest, nothing "
    "pushed or pulled. Rain, frost, loose cover or a turn take grip away at once.",
    stability=True,
)

TIP_ANGLE = Input(
    "tip_angle", "θ_tip", "angle", "the side slope where the machine at rest tips", low="0deg",
    high="90deg", example_us="45deg", example_metric="45deg",
)  # fmt: skip
GRIP_ANGLE = Input(
    "grip_angle", "θ_grip", "angle", "the slope where the machine begins to slide", low="0deg",
    high="90deg", example_us="35deg", example_metric="35deg",
)  # fmt: skip

FIRST_MARGIN = Formula(
    id="slopes.first_to_go_margin",
    title="How far apart sliding and tipping are",
    words="The larger angle less the smaller one.",
    written="greatest(tip_angle, grip_angle) - least(tip_angle, grip_angle)",
    result=Output("Δθ", "angle", "how far apart the two limits are", places=1),
    inputs=(TIP_ANGLE, GRIP_ANGLE),
    source=Source(None, "the difference of two angles", "derived"),
    limits="Both angles are ceilings for a machine at rest on even ground.",
    stability=True,
)

FIRST_LIMIT = Formula(
    id="slopes.first_limit",
    title="The slope where the first of the two happens",
    words="The smaller of the two angles.",
    written="least(tip_angle, grip_angle)",
    result=Output("θ_first", "angle", "slope where the first of the two happens"),
    inputs=(TIP_ANGLE, GRIP_ANGLE),
    source=Source("spencer-1978", "abstract: whichever comes first limits the slope"),
    limits="Both angles are ceilings for a machine at rest on even ground.",
    stability=True,
)


def _first_to_go(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    machine = {name: given[name] for name in ("track_gauge", "cg_height", "cg_offset")}
    tip = STATIC_TIP_ANGLE(**{name: q.si for name, q in machine.items()})
    grip = GRIP_LIMIT(traction=given["traction"].si)
    first = FIRST_LIMIT(tip_angle=tip, grip_angle=grip)
    margin = FIRST_MARGIN(tip_angle=tip, grip_angle=grip)
    if margin < SAME:
        what = "both together"
        said = "It slides and tips on the same slope."
    elif grip < tip:
        what, said = mark("sliding"), "It slides first. A stop in the slide, such as a rock or a rut, can tip it."
    else:
        what, said = mark("tipping"), "It tips first, with no slide to warn you."
    both: dict[str, Quantity | From] = {"tip_angle": From("tip"), "grip_angle": From("grip")}
    return Outcome(
        "limit",
        {
            "limit": Value(first, "angle", FIRST_LIMIT.result.meaning),
            "first": Value(what, "text", "what happens first"),
            "margin": Value(margin, "angle", FIRST_MARGIN.result.meaning, places=1),
            "tip_angle": Value(tip, "angle", STATIC_TIP_ANGLE.result.meaning),
            "grip_angle": Value(grip, "angle", GRIP_LIMIT.result.meaning),
        },
        (
            Applied("tip", STATIC_TIP_ANGLE, dict(machine)),
            Applied("grip", GRIP_LIMIT, {"traction": given["traction"]}),
            Applied("margin", FIRST_MARGIN, both),
            Note(said),
            Applied("limit", FIRST_LIMIT, both),
        ),
    )


FIRST_TO_GO = Procedure(
    id="slopes.first_to_go",
    title="Sliding or tipping: which comes first",
    words="Work out the slope where the machine tips and the slope where it slides. The smaller one comes first.",
    inputs=(TRACK_GAUGE, CG_HEIGHT, CG_OFFSET, SIDE_GRIP),
    source=Source("spencer-1978", "abstract: loss of grip limits the slope for most machines"),
    also=(CEILING,),
    limits="The grip must be one for sliding to the side. The coefficient of traction is for pulling "
    "straight ahead and is too high here, as track shoes hold less sideways. Both angles are ceilings "
    "for a machine at rest on even ground. A machine at work slides or tips on a flatter slope, and "
    "no number here says which slope is safe.",
    run=_first_to_go,
    stability=True,
)

WEIGHT_SHIFT = Formula(
    id="slopes.weight_shift",
    title="How far the weight moves toward the low track",
    words="The height of the weight times the side slope.",
    written="cg_height * side_slope",
    result=Output("s", "length", "how far the weight moves to the low side"),
    inputs=(CG_HEIGHT, SIDE_SLOPE),
    source=Source("nhtsa-rollover", "section V.A, static tilt limit"),
    also=(CEILING,),
    limits="Measured along the slope, for a stiff machine at rest. When the weight reaches the low track the machine tips.",
    stability=True,
)

LOW_TRACK_SHARE = Formula(
    id="slopes.low_track_share",
    title="Share of the weight on the low track",
    words="Half the weight, and what the slope adds to the low side.",
    written="1 / 2 + cg_height * side_slope / track_gauge",
    # past the whole weight it has gone over, and there is no share to speak of
    result=Output("p_low", "fraction", "share of the weight on the low track", at_most=1.0),
    inputs=(CG_HEIGHT, SIDE_SLOPE, TRACK_GAUGE),
    source=Source(None, "statics: moments about the low track", "derived"),
    also=(CEILING,),
    limits="A stiff machine at rest, its weight in the middle on level ground. Past the whole weight on one track it has already tipped.",
    stability=True,
)

BUMP = Input(
    "bump_height", "b", "length",
    "how high a stone lifts the high track, or how deep a hole drops the low one", low="0 in",
    high="3 ft", default="6 in", work_us="ft", work_metric="m", example_us="6 in",
    example_metric="15 cm",
)  # fmt: skip
BUMP_LIMITS = (
    "Short of the true slope by a little, the more so on steep ground and over a high stone. A stiff "
    "machine that climbs it slowly: at speed the drop off the stone is a blow that carries it further. "
    "A worked slope is never an allowed slope."
)
BUMP_SOURCE = Source(None, "geometry: rise over the distance between the tracks", "derived")

BUMP_ADDS = Formula(
    id="slopes.bump_adds",
    title="What a stone or a hole under one track adds to a side slope",
    words="The height of the stone, or the depth of the hole, divided by the track gauge.",
    written="bump_height / track_gauge",
    result=Output("g", "grade", "what the stone or the hole adds"),
    inputs=(BUMP, TRACK_GAUGE),
    requires=(("bump_height", "track_gauge", "the stone is higher than the tracks stand apart"),),
    source=BUMP_SOURCE,
    also=(CEILING,),
    limits=BUMP_LIMITS,
    stability=True,
)

SLOPES_TOGETHER = Formula(
    id="slopes.ground_and_bump",
    title="Side slope of the ground and of a stone together",
    words="The side slope of the ground, and what the stone adds.",
    written="side_slope + added_slope",
    result=Output("G_all", "grade", "side slope of the machine on the stone"),
    inputs=(
        SIDE_SLOPE,
        Input("added_slope", "g", "grade", "what the stone or the hole adds", low="0%", high="300%",
              example_us="7.5%", example_metric="7.5%"),
    ),
    source=BUMP_SOURCE,
    limits=BUMP_LIMITS,
    stability=True,
)  # fmt: skip


def _slope_with_bump(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    stone = {name: given[name] for name in ("bump_height", "track_gauge")}
    added = BUMP_ADDS(**{name: q.si for name, q in stone.items()})
    slope = SLOPES_TOGETHER(side_slope=given["side_slope"].si, added_slope=added)
    return Outcome(
        "slope",
        {
            "slope": Value(slope, "grade", SLOPES_TOGETHER.result.meaning),
            "added": Value(added, "grade", BUMP_ADDS.result.meaning),
            "bump_height": Value(given["bump_height"].si, "length", BUMP.meaning, us="in", metric="cm", given=True),
        },
        (
            Applied("added", BUMP_ADDS, dict(stone)),
            Applied("slope", SLOPES_TOGETHER, {"side_slope": given["side_slope"], "added_slope": From("added")}),
        ),
    )


SLOPE_WITH_BUMP = Procedure(
    id="slopes.slope_with_bump",
    title="Side slope of a machine with a stone or a hole under one track",
    words="Divide the height of the stone by the track gauge, and add that to the side slope.",
    inputs=(SIDE_SLOPE, BUMP, TRACK_GAUGE),
    source=BUMP_SOURCE,
    also=(CEILING,),
    limits=BUMP_LIMITS,
    run=_slope_with_bump,
    stability=True,
)

# --- the ground -----------------------------------------------------------------------------

COHESION = Input(
    "cohesion", "c", "pressure", "the cohesion of the soil", low="0 lbf/ft2", high="20000 lbf/ft2",
    example_us="200 lbf/ft2", example_metric="10 kPa",
)  # fmt: skip
UNIT_WEIGHT = Input(
    "unit_weight", "γ", "unit_weight", "the unit weight of the soil", low="50 lbf/ft3",
    high="200 lbf/ft3", example_us="120 lbf/ft3", example_metric="19 kN/m3",
)  # fmt: skip
FRICTION_ANGLE = Input(
    "friction_angle", "φ", "angle", "the friction angle of the soil", low="0deg", high="55deg",
    example_us="30deg", example_metric="30deg",
)  # fmt: skip
DEPTH = Input(
    "depth", "H", "length", "how deep the weak layer lies, measured straight down", low="0.1 ft",
    high="300 ft", example_us="10 ft", example_metric="3 m",
)  # fmt: skip
SLOPE = Input(
    "slope", "G", "grade", "the slope of the ground", low="1%", high="1000%", example_us="50%",
    example_metric="50%",
)  # fmt: skip
SATURATED = replace(
    UNIT_WEIGHT, symbol="γ_sat", meaning="the unit weight of the soil full of water",
    low="65 lbf/ft3", example_us="130 lbf/ft3", example_metric="20 kN/m3",
)  # fmt: skip
WATER = Input(
    "water_unit_weight", "γ_w", "unit_weight", "the unit weight of water", low="62 lbf/ft3",
    high="65 lbf/ft3", default="62.4 lbf/ft3", example_us="62.4 lbf/ft3",
    example_metric="9.81 kN/m3",
)  # fmt: skip
DAS = "chapter 15"
ENGINEER = (
    "For learning why wet, steep or deep cuts fail. Real ground is layered and cracked: a qualified engineer judges a slope, from tests."
)

INFINITE_SLOPE_SAFETY = Formula(
    id="slopes.infinite_slope_safety",
    title="Safety of a long dry slope against a shallow slide",
    words="What holds the layer, divided by what pulls it down. At one it begins to slide.",
    written="cohesion * (1 + slope**2) / (unit_weight * depth * slope) + tan(friction_angle) / slope",
    result=Output("F_s", "factor", "factor of safety of the dry slope"),
    inputs=(COHESION, UNIT_WEIGHT, DEPTH, SLOPE, FRICTION_ANGLE),
    source=Source("das-sobhan", f"{DAS}, infinite slope without seepage"),
    limits=f"A long even slope, dry, sliding on a layer that runs along with it. {ENGINEER}",
    stability=True,
)

SEEPAGE_SLOPE_SAFETY = Formula(
    id="slopes.seepage_slope_safety",
    title="Safety of a long wet slope against a shallow slide",
    words="As for a dry slope, but water running down inside it carries part of the weight, so less of it presses the layer down.",
    written="cohesion * (1 + slope**2) / (unit_weight * depth * slope)"
    " + (1 - water_unit_weight / unit_weight) * tan(friction_angle) / slope",
    result=Output("F_s", "factor", "factor of safety of the wet slope"),
    inputs=(COHESION, SATURATED, DEPTH, SLOPE, FRICTION_ANGLE, WATER),
    source=Source("das-sobhan", f"{DAS}, infinite slope with seepage along it"),
    limits="A long even slope, full of water up to its surface, the water running along it. " + ENGINEER,
    stability=True,
)

VERTICAL_CUT_HEIGHT = Formula(
    id="slopes.vertical_cut_height",
    title="Height at which a vertical cut gives way",
    words="Four times the cohesion, divided by the unit weight, and more where the soil has "
    "friction.",
    written="4 * cohesion / unit_weight * tan(half_right_angle + friction_angle / 2)",
    result=Output("H_c", "length", "height at which a vertical cut gives way"),
    inputs=(COHESION, UNIT_WEIGHT, FRICTION_ANGLE),
    constants=(
        Constant("half_right_angle", "45°", "angle", "half a right angle", us="45deg",
                 metric="45deg", source=Source(None, "geometry", "derived")),
    ),
    source=Source("ufc-3-220-20", "equation 2-1, page 94"),
    also=(Source("das-sobhan", f"{DAS}, with friction", "from memory"),),
    limits="An upper bound that goes down day by day: it knows no cracks, water, vibration or "
    "load on the edge. United States federal rules (29 CFR 1926.652) ask for protected walls at far "
    "lower heights, and other countries have rules of their own.",
    stability=True,
)  # fmt: skip

PLANE_FAILURE_HEIGHT = Formula(
    id="slopes.plane_failure_height",
    title="Height at which a face slides on a flat plane",
    words="The height at which the wedge behind the face just slides on the worst flat plane "
    "through its foot.",
    written="4 * cohesion / unit_weight * sin(slope_angle) * cos(friction_angle)"
    " / (1 - cos(slope_angle - friction_angle))",
    result=Output("H_c", "length", "height at which the face gives way"),
    inputs=(
        COHESION,
        UNIT_WEIGHT,
        FRICTION_ANGLE,
        Input("slope_angle", "β", "angle", "the angle of the face to the level", low="5deg",
              high="90deg", example_us="60deg", example_metric="60deg"),
    ),
    requires=(
        ("friction_angle", "slope_angle",
         "a face no steeper than the friction angle has no such height"),
    ),
    source=Source("das-sobhan", f"{DAS}, Culmann's method"),
    limits="Even, dry soil without cracks, and a flat slip plane: good for steep faces only. "
    + ENGINEER,
    stability=True,
)  # fmt: skip

SAFETY_FACTOR = Input(
    "safety_factor", "F_s", "factor", "the factor of safety asked for", low="1", high="10",
    example_us="1.5", example_metric="1.5",
)  # fmt: skip

DEVELOPED_COHESION = Formula(
    id="slopes.developed_cohesion",
    title="The part of the cohesion that may be used",
    words="The cohesion divided by the factor of safety.",
    written="cohesion / safety_factor",
    result=Output("c_d", "pressure", "cohesion that may be used"),
    inputs=(COHESION, SAFETY_FACTOR),
    source=Source("das-sobhan", f"{DAS}, Culmann's method"),
    limits=f"Put it into the height of a face in place of the cohesion. {ENGINEER}",
    stability=True,
)

DEVELOPED_FRICTION = Formula(
    id="slopes.developed_friction",
    title="The part of the friction that may be used",
    words="The tangent of the friction angle divided by the factor of safety, as an angle.",
    written="atan(tan(friction_angle) / safety_factor)",
    result=Output("φ_d", "angle", "friction angle that may be used"),
    inputs=(FRICTION_ANGLE, SAFETY_FACTOR),
    source=Source("das-sobhan", f"{DAS}, Culmann's method"),
    limits=f"Put it into the height of a face in place of the friction angle. {ENGINEER}",
    stability=True,
)

# --- the ridge along an edge ----------------------------------------------------------------

BERM_HEIGHT_INPUT = Input(
    "berm_height", "H", "length", "the height of the berm", low="0.5 ft", high="30 ft",
    example_us="3 ft", example_metric="1 m",
)  # fmt: skip
SIDE_RATIO = Input(
    "side_ratio", "r", "ratio", "the run of a side for each one of rise", low="0.5:1", high="6:1",
    work_us="1", work_metric="1", example_us="1.5:1", example_metric="1.5:1",
)  # fmt: skip
CREST_WIDTH = Input(
    "crest_width", "b", "length", "the width of the flat top", low="0 ft", high="50 ft",
    default="0 ft", example_us="1 ft", example_metric="0.3 m",
)  # fmt: skip
BERM_GEOMETRY = Source(None, "geometry: a ridge with two alike sides", "derived")
BERM_LIMITS = "A berm shows where the edge is and slows a wheel. It will not stop a runaway, and it holds only on ground that holds."

BERM_HEIGHT = Formula(
    id="slopes.berm_height",
    title="Least height of a berm",
    words="As high as the middle of the axle of the largest machine that uses the road.",
    written="axle_height",
    result=Output("H_berm", "length", "least height of the berm", limit="least"),
    inputs=(
        Input("axle_height", "h_axle", "length",
              "the height of the middle of the axle of the largest machine on the road",
              low="0.5 ft", high="10 ft", example_us="3 ft", example_metric="1 m"),
    ),
    source=Source("msha-56-9300", "(a) and (b)"),
    also=(Source("msha-haulage-slides", "slide 37"),),
    limits="A rule of United States mines (30 CFR 56.9300 and 57.9300; 77.1605(k) asks surface coal "
    "mines for a berm and names no height). A construction site goes by its own rule and the local "
    f"one, which may ask for more. {BERM_LIMITS}",
    stability=True,
)  # fmt: skip

BERM_BASE = Formula(
    id="slopes.berm_base",
    title="Width of a berm on the ground",
    words="The run of both sides, and the flat top if there is one.",
    written="2 * side_ratio * berm_height + crest_width",
    result=Output("B", "length", "width of the berm on the ground", limit="least"),
    inputs=(BERM_HEIGHT_INPUT, SIDE_RATIO, CREST_WIDTH),
    source=BERM_GEOMETRY,
    also=(Source("msha-berm-notice", "on base width and a steep inside face"),),
    limits=f"Both sides alike, on level ground. {BERM_LIMITS}",
    stability=True,
)

KEEP_BACK = Formula(
    id="slopes.windrow_keep_back",
    title="How far the tracks keep from an edge with a windrow on it",
    words="The width of the windrow or the site's distance from an edge, whichever is more.",
    written="greatest(berm_base, edge_distance)",
    result=Output("d", "length", "least distance of the tracks from the edge"),
    inputs=(
        Input("berm_base", "B", "length", "the width of the windrow on the ground", low="0.5 ft",
              high="200 ft", example_us="9 ft", example_metric="3 m"),
        Input("edge_distance", "e", "length", "the site's least distance of tracks from an edge",
              low="0.5 ft", high="100 ft", example_us="6 ft", example_metric="2 m"),
    ),
    source=Source(None, "two distances that both hold", "derived"),
    limits="On ground that a competent person has looked at. An edge that is cracked, wet, freshly "
    f"filled or undercut needs more. {BERM_LIMITS}",
    stability=True,
)  # fmt: skip

BERM_VOLUME = Formula(
    id="slopes.berm_volume",
    title="Loose soil in a berm",
    words="The area of the berm's end, times its length.",
    written="(side_ratio * berm_height + crest_width) * berm_height * length",
    result=Output("V", "loose_volume", "loose soil in the berm", work_us="ft3"),
    inputs=(
        BERM_HEIGHT_INPUT,
        SIDE_RATIO,
        CREST_WIDTH,
        Input("length", "L", "length", "the length of the berm", low="1 ft", high="100000 ft",
              example_us="100 ft", example_metric="30 m"),
    ),
    source=BERM_GEOMETRY,
    limits=f"Both sides alike, on level ground, dumped and not packed. {BERM_LIMITS}",
    stability=True,
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    STATIC_TIP_ANGLE, GRIP_LIMIT, FIRST_TO_GO, FIRST_MARGIN, FIRST_LIMIT, WEIGHT_SHIFT,
    LOW_TRACK_SHARE, BUMP_ADDS, SLOPES_TOGETHER, SLOPE_WITH_BUMP, INFINITE_SLOPE_SAFETY, SEEPAGE_SLOPE_SAFETY, VERTICAL_CUT_HEIGHT,
    PLANE_FAILURE_HEIGHT, DEVELOPED_COHESION, DEVELOPED_FRICTION, BERM_HEIGHT, BERM_BASE,
    BERM_VOLUME, KEEP_BACK, *SWINGING,
)  # fmt: skip
