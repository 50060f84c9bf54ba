"""A trench box: how many stand on each other, where it stops above the floor, how far it stands out, what presses on it.

The rule lets the trench go a little deeper than the box only where the box is rated for the whole depth and
no soil comes in from behind it or under it. A box's own tabulated data decides; what is worked here only
says no where that data would, too.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.steps import Applied, From, Note, Outcome, Step, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, shown, trimmed
from generator.units.table import System

PRESSURES = "timber-pressures"
SHIELD = Source("osha-1926-subpart-p", "652(e)(2)(i), 652(g)(2) and Appendix B figures")
ARMY = Source("ufc-3-220-20", "section 2-3.3.2, trench shield")
TIMBER = Source("caltrans-trenching", "section 2-3.03, pressures behind the timber tables")
PLAIN = Source(None, "geometry: heights one on the other", "derived")

# a rock or a short-term trench is asked for by the same word as its walls are
ROWS = {"A": "A", "B": "B", "C": "C", "rock": "A", "A short term": "A"}
STANDS_OUT = Quantity(Decimal(18), "in", "length")  # Appendix B, figures with a shield below a slope
NOTHING = Quantity(Decimal(0), "ft", "length")
CLASSED = {
    "rock": "For rock that stays whole no pressure is printed. It is worked as type A, and the competent person says what may fall.",
    **{word: f"Soil type {row}, as the competent person classed it." for word, row in ROWS.items() if word != "rock"},
}

BOX_LIMITS = (
    "A United States federal rule; local rules may ask for more. The box's own tabulated data goes first: soil, depth, width and "
    "how boxes are joined. The trench may go deeper than the box only where the box is rated for the whole depth and no soil comes in "
    "behind it or under it. Past a depth of 20 ft (6.1 m) a registered professional engineer designs it. It says nothing about a pile, "
    "a machine or a road at the edge."
)

DEPTH = Input(
    "depth", "H", "length", "the depth of the trench", low="2.5 ft", high="20 ft",
    example_us="10 ft", example_metric="3 m",
    beyond="have a registered professional engineer design what holds the walls",
)  # fmt: skip
WALL = Input(
    "wall_height", "H_wall", "length", "how high the upright part of the walls is, from the floor", low="2.5 ft", high="20 ft",
    example_us="10 ft", example_metric="3 m",
)  # fmt: skip
BOX_HEIGHT = Input(
    "box_height", "h", "length", "the height of one box", low="2 ft", high="20 ft", example_us="8 ft", example_metric="2.4 m",
)  # fmt: skip
BOX_ABOVE = Input(
    "box_above", "a", "length", "how far the box is to stand out above the upright wall", low="0 ft", high="10 ft",
    example_us="1 ft", example_metric="0.3 m",
)  # fmt: skip
BOX_GAP = Input(
    "box_gap", "g", "length", "how far above the floor the box stops", low="0 ft", high="10 ft",
    example_us="1 ft", example_metric="0.3 m",
)  # fmt: skip
STACK = Input(
    "stack", "h_all", "length", "the height of all boxes that stand on each other", low="2 ft", high="40 ft",
    example_us="8 ft", example_metric="2.4 m",
)  # fmt: skip

BOXES = Formula(
    id="trench.boxes",
    title="Boxes that stand on each other in a trench",
    words="The upright wall and what is to stand out above it, less what may stay open below. Divided by the height of one box, up to the next whole box.",
    written="round_up((wall_height + box_above - open_below) / box_height)",
    result=Output("n", "count", "boxes, one on the other", at_least=1.0, rounding="rounded up: part of a box is one box more"),
    inputs=(WALL, BOX_ABOVE, BOX_HEIGHT),
    constants=(
        Constant("open_below", "g_most", "length", "how far the trench may go below the box", us="2 ft", metric="0.6096 m", source=SHIELD),
    ),
    source=SHIELD,
    also=(ARMY,),
    limits=f"Boxes of one height, joined as their maker's data says. {BOX_LIMITS}",
)  # fmt: skip
BOX_STACK = Formula(
    id="trench.box_stack",
    title="Height of boxes that stand on each other",
    words="The boxes times the height of one.",
    written="boxes * box_height",
    result=Output("h_all", "length", "height of all boxes together", places=2, limit="most"),
    inputs=(
        Input("boxes", "n", "count", "the boxes that stand on each other", low="1", high="10", example_us="2", example_metric="2"),
        BOX_HEIGHT,
    ),
    source=PLAIN,
    limits="Boxes of one height that stand right on each other, joined as their maker's data says.",
)  # fmt: skip
GAP_UNDER = Formula(
    id="trench.box_gap",
    title="How far above the floor a box stops",
    words="The upright wall and what the box stands out above it, less the height of the box.",
    written="wall_height + box_above - stack",
    result=Output("g", "length", "from the floor up to the box; below zero the box stands on the floor and out higher", at_least=None,
                  places=2, limit="least"),
    inputs=(WALL, BOX_ABOVE, STACK),
    source=PLAIN,
    also=(SHIELD,),
    limits=f"More than the rule leaves open needs a higher box, or one more. {BOX_LIMITS}",
)  # fmt: skip
TOP_ABOVE = Formula(
    id="trench.box_above",
    title="How far a box stands out above the upright wall",
    words="The height of the box and what is open below it, less the upright wall.",
    written="stack + box_gap - wall_height",
    result=Output("a", "length", "from the top of the upright wall to the top of the box; below zero the wall stands higher", at_least=None,
                  places=2, limit="most"),
    inputs=(STACK, BOX_GAP, WALL),
    source=PLAIN,
    also=(SHIELD, ARMY),
    limits="A box reaches up to the ground where the walls are upright all the way. Where the ground above it is cut back, it stands out "
    f"above the foot of that slope as far as the rule says. {BOX_LIMITS}",
)  # fmt: skip
SOIL_PRESSURE = Formula(
    id="trench.soil_pressure",
    title="Pressure of the ground on what holds a trench wall",
    words="So much for each foot of depth, and what a pile beside the trench adds.",
    written="each_depth * depth + surcharge",
    result=Output("p", "pressure", "pressure of the ground at that depth", limit="least"),
    inputs=(
        Input("each_depth", "w", "unit_weight", "the pressure that each foot of depth adds", low="1 lbf/ft3", high="150 lbf/ft3",
              example_us="80 lbf/ft3", example_metric="12.6 kN/m3"),
        DEPTH,
        Input("surcharge", "q", "pressure", "what a pile beside the trench adds", low="0 lbf/ft2", high="1000 lbf/ft2",
              example_us="72 lbf/ft2", example_metric="3.4 kPa"),
    ),
    source=TIMBER,
    also=(Source("ufc-3-220-20", "section 2-3.3.4 and Table 2-4"),),
    limits="Behind the timber tables of the rule: a soil that a competent person has classed, spoil 2 ft (0.61 m) high at most, and no "
    f"machine nearer or heavier than those tables allow. {BOX_LIMITS}",
)  # fmt: skip


def _set(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    return box_set(inputs, system, BOXES, STANDS_OUT)


def box_set(inputs: Mapping[str, Quantity | str], system: System, counted: Formula, stands_out: Quantity) -> Outcome:
    """The boxes as ``counted`` counts them; below a slope they stand out ``stands_out`` at least. Raises CalculationError."""
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    depth, height, above = given["depth"], given["box_height"], given["box_above"]
    wall = given.get("wall_height", depth)
    if wall.si > depth.si * (1 + 1e-9):
        raise CalculationError("the upright wall is higher than the trench is deep", "give a wall_height no larger than depth",
                               about=("wall_height", "depth"))  # fmt: skip
    sloped = wall.si < depth.si * (1 - 1e-9)
    least = stands_out.in_system(system)  # in centimetres rounded as a box_above typed in inches is
    if sloped and above.si < least.si * (1 - 1e-9):
        raise CalculationError(
            f"below a slope the box stands out {least} at least above the upright wall",
            f"give a box_above of {least} or more",
            about=("box_above", "wall_height"),
        )
    boxes = counted(wall_height=wall.si, box_above=above.si, box_height=height.si)
    stack = BOX_STACK(boxes=boxes, box_height=height.si)
    gap = GAP_UNDER(wall_height=wall.si, box_above=above.si, stack=stack)
    steps: list[Step] = [
        Note("The ground above the upright wall is cut back." if sloped else "The walls stand upright all the way up."),
        Applied("boxes", counted, {"wall_height": wall, "box_above": above, "box_height": height}),
        Applied("stack", BOX_STACK, {"boxes": From("boxes"), "box_height": height}),
    ]
    if gap > 1e-9:
        out = above.si
        steps.append(Applied("gap", GAP_UNDER, {"wall_height": wall, "box_above": above, "stack": From("stack")}))
    else:
        gap, out = NOTHING.si, TOP_ABOVE(stack=stack, box_gap=NOTHING.si, wall_height=wall.si)
        steps.append(Note("The box stands on the floor."))
        steps.append(Applied("above", TOP_ABOVE, {"stack": From("stack"), "box_gap": NOTHING, "wall_height": wall}))
    return Outcome(
        "gap" if gap else "above",
        {
            "gap": Value(gap, "length", "from the floor up to the box", places=2, limit="least"),
            "boxes": Value(boxes, "count", counted.result.meaning, rounding=counted.result.rounding),
            "stack": Value(stack, "length", BOX_STACK.result.meaning, places=2, limit="most"),
            "above": Value(out, "length", "from the top of the upright wall to the top of the box", places=2, limit="most"),
        },
        tuple(steps),
    )


BOX_SET = Procedure(
    id="trench.box_set",
    title="A box set in a trench",
    words="How many boxes stand on each other, how far above the floor they stop, and how far they stand out.",
    inputs=(
        DEPTH, BOX_HEIGHT, BOX_ABOVE,
        Input("wall_height", "H_wall", "length", "how high the upright part of the walls is, where the ground above is cut back", low="2.5 ft",
              high="20 ft", default="", example_us="6 ft", example_metric="1.8 m"),
    ),
    source=SHIELD,
    also=(ARMY,),
    limits=BOX_LIMITS,
    run=_set,
)  # fmt: skip


def _pressure(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    depth, soil = given["depth"], str(inputs["soil_type"])
    row = ROWS[soil]
    rated, rating = given.get("rated_depth"), given.get("box_rating")
    if rated is not None and depth.si > rated.si * (1 + 1e-9):
        raise CalculationError(
            f"the trench is {depth} deep, and the box's own data goes to {rated} in this soil",
            "take a box whose data covers the whole depth in this soil",
            about=("depth", "rated_depth"),
        )
    each = Quantity(trimmed(Decimal(repr(tables[PRESSURES].cell(row, "each foot of depth").low))), "lbf/ft3", "unit_weight", "least")
    extra = Quantity(trimmed(Decimal(repr(tables[PRESSURES].cell(row, "surcharge").low))), "lbf/ft2", "pressure", "least")
    each, extra = each.in_system(system), extra.in_system(system)  # as the working prints them
    found = SOIL_PRESSURE(each_depth=each.si, depth=depth.si, surcharge=extra.si)
    if rating is not None and found > rating.si * (1 + 1e-9):
        raise CalculationError(
            f"the ground may press harder than the box is rated for, {shown(rating.figure, rating.unit)}",
            "take a box whose data covers the whole depth in this soil",
            about=("box_rating", "depth", "soil_type"),
        )
    return Outcome(
        "pressure",
        {
            "pressure": Value(found, "pressure", SOIL_PRESSURE.result.meaning, limit="least"),
            "each_depth": Value(each.si, "unit_weight", "pressure that each foot of depth adds"),
        },
        (
            Note(CLASSED[soil]),
            Applied("pressure", SOIL_PRESSURE, {"each_depth": each, "depth": depth, "surcharge": extra}),
            Note("The depth counts down to the floor of the trench, also where the box stops above it."),
        ),
    )


BOX_PRESSURE = Procedure(
    id="trench.box_pressure",
    title="Pressure that a trench box must take",
    words="The pressure behind the timber tables of the rule, at the floor of the trench. The box's own data must cover it.",
    inputs=(
        DEPTH,
        Choice("soil_type", "the soil type as a competent person classed it; C where nobody has", tuple(ROWS), default="C"),
        Input("box_rating", "p_box", "pressure", "the pressure the box is rated for, by its own data", low="50 lbf/ft2", high="20000 lbf/ft2",
              default="", example_us="1200 lbf/ft2", example_metric="60 kPa"),
        Input("rated_depth", "H_box", "length", "the depth the box is rated for in this soil, by its own data", low="2 ft", high="60 ft",
              default="", example_us="14 ft", example_metric="4.2 m"),
    ),
    source=TIMBER,
    also=(SHIELD, Source("ufc-3-220-20", "section 2-3.3.4 and Table 2-4")),
    limits=SOIL_PRESSURE.limits,
    run=_pressure,
    tables=(PRESSURES,),
)  # fmt: skip

BOX_CALCULATIONS: tuple[Formula | Procedure, ...] = (
    BOX_SET, BOX_PRESSURE, BOXES, BOX_STACK, GAP_UNDER, TOP_ABOVE, SOIL_PRESSURE,
)  # fmt: skip
