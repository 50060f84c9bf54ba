"""Power lines overhead and lines in the ground.

Two United States federal rules give distances to overhead lines: the crane tables, and the
paragraph that governs earthmoving machines. The larger of the two is what is printed, for a
machine at work and for one on the move.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal

from generator.calc.catalogue.lines_found import FOUND_CALCULATIONS
from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.calc.tables import Table
from generator.language.words import mark
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, to_places, trimmed
from generator.units.table import System

TABLE_A = "line-clearance-table-a"
MOVING = "line-clearance-excavators-moving"
TABLE_T = "line-clearance-travelling"
CRANES = Source("osha-1926-1408", "distance by voltage")
EARTHMOVERS = Source("osha-1926-600", "items (i) and (ii)")
ON_THE_MOVE = Source("osha-1926-600", "item (iii): no load, boom down")
CRANES_TRAVELLING = Source("osha-1926-1411", "no load, boom down")
KILOVOLT = 1000.0
FOOT = Decimal("0.3048")

VOLTAGE = Input(
    "voltage", "U", "voltage", "the line's voltage, as its owner says", low="0.05 kV",
    high="1000 kV", example_us="69 kV", example_metric="69 kV",
    beyond="the rules end there: ask the line's owner, or a registered professional engineer, for the distance",
)  # fmt: skip
LINE_LIMITS = (
    "United States federal rules; local rules may ask for more. The line is live until its owner "
    "has shown that it is dead and grounded. Ask the owner for the voltage. Past 1000 kV its owner "
    "or a registered engineer sets the distance."
)

EXCAVATOR_CLEARANCE = Formula(
    id="lines.excavator_clearance",
    title="Distance to a line by the rule for earthmoving machines",
    words="A fixed distance, and more for each kilovolt past a limit.",
    written="least_distance"
    " + more_each_step * (greatest(voltage, limit_voltage) - limit_voltage) / one_step",
    result=Output("d_600", "length", "distance by the rule for earthmoving machines",
                  work_us="in", work_metric="cm", places=3),
    inputs=(VOLTAGE,),
    constants=(
        Constant("least_distance", "d_least", "length", "the distance for low voltages",
                 us="120 in", metric="304.8 cm", source=EARTHMOVERS),
        Constant("more_each_step", "a", "length", "what each kilovolt more adds", us="0.4 in",
                 metric="1.016 cm", source=EARTHMOVERS),
        Constant("limit_voltage", "U_limit", "voltage", "the voltage up to which it adds nothing",
                 us="50 kV", metric="50 kV", source=EARTHMOVERS),
        Constant("one_step", "u", "voltage", "one kilovolt", us="1 kV", metric="1 kV",
                 source=EARTHMOVERS),
    ),
    source=EARTHMOVERS,
    also=(Source("osha-1910-269", "definition with the same slope"),),
    limits="The paragraph for earthmoving machines at work. It also allows twice the length of "
    f"the line's insulator, never under the fixed distance. {LINE_LIMITS}",
)  # fmt: skip

COMMON_CLEARANCE = Formula(
    id="lines.common_clearance",
    title="The distance that satisfies both rules",
    words="The larger of the two distances.",
    written="greatest(crane_clearance, excavator_clearance)",
    result=Output("d", "length", "least distance of any part to the line", places=3),
    inputs=(
        Input("crane_clearance", "d_crane", "length", "the distance by the crane table",
              low="4 ft", high="100 ft", example_us="15 ft", example_metric="4.58 m"),
        Input("excavator_clearance", "d_600", "length",
              "the distance by the rule for earthmoving machines", low="4 ft", high="100 ft",
              example_us="12 ft", example_metric="3.7 m"),
    ),
    source=CRANES,
    also=(EARTHMOVERS,),
    limits=LINE_LIMITS,
)  # fmt: skip


def _row_of(voltage: float, table: Table) -> str:
    """The row that holds ``voltage`` [V]; each row includes the value it goes up to."""
    kilovolts = voltage / KILOVOLT
    for row in table.rows:
        top = table.rows[row].get("up to")
        if top is not None and kilovolts <= top.high * (1 + 1e-9):
            return row
    raise CalculationError(
        "the table ends at 1000 kV",
        "ask the line's owner, or a registered professional engineer, for the distance",
        about=("voltage",),
    )


def _feet(figure: float, system: System) -> Quantity:
    """So many feet as a quantity of ``system``; in metres up to the next centimetre, for a least
    distance is not rounded down."""
    exact = Decimal(repr(figure))
    if system == "us":
        return Quantity(trimmed(exact), "ft", "length")
    return Quantity(trimmed(to_places(exact * FOOT, 2, "least")), "m", "length")


def _bands(title: str, table: Table, mine: str, system: System) -> Rows:
    """The rows of a table that print a distance; the row named ``mine`` is marked."""
    columns = (Column("Voltage", "text"), Column("Distance", "length", places=3), Column("", "text"))
    printed = [name for name, cells in table.rows.items() if cells.get("clearance") is not None]
    return Rows(
        title,
        columns,
        tuple((name, _feet(table.cell(name, "clearance").high, system).si, "this line" if name == mine else "") for name in printed),
    )


def _clearance(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    voltage = inputs["voltage"]
    assert isinstance(voltage, Quantity)
    table = tables[TABLE_A]
    row = _row_of(voltage.si, table)
    crane = _feet(table.cell(row, "clearance").high, system)
    excavator = EXCAVATOR_CLEARANCE(voltage=voltage.si)
    both = COMMON_CLEARANCE(crane_clearance=crane.si, excavator_clearance=excavator)
    return Outcome(
        "clearance",
        {
            "clearance": Value(both, "length", COMMON_CLEARANCE.result.meaning, places=3),
            "table_a": Value(crane.si, "length", "distance by the crane table", places=3),
            "excavator_rule": Value(excavator, "length", EXCAVATOR_CLEARANCE.result.meaning, places=3),
            "band": Value(row, "text", "row of the crane table"),
        },
        (
            _bands("Crane table", table, row, system),
            *(() if system == "us" else (Note("The table is in feet. In metres each distance goes up to the next "
                                              "centimetre."),)),
            Note("The crane table is not the rule for excavators. It is never less than theirs, "
                 "so keeping it satisfies both."),
            Applied("excavator", EXCAVATOR_CLEARANCE, {"voltage": voltage}),
            Applied("clearance", COMMON_CLEARANCE,
                    {"crane_clearance": crane, "excavator_clearance": From("excavator")}),
        ),
    )  # fmt: skip


CLEARANCE = Procedure(
    id="lines.clearance",
    title="Least distance to an overhead power line",
    words="Find the voltage in the crane table. Work out the rule for earthmoving machines beside it. Keep the larger distance.",
    inputs=(VOLTAGE,),
    source=CRANES,
    also=(EARTHMOVERS, Source("osha-1926-1400", "item (2): excavators are outside the crane rule")),
    limits=LINE_LIMITS,
    run=_clearance,
    tables=(TABLE_A,),
)


def _band(kilovolts: float, table: Table, *, at_its_end: bool) -> str | None:
    """The row of a table that holds a voltage; None past its end.

    ``at_its_end`` says whether a row holds the value it goes up to.
    """
    for row in table.rows:
        top = table.rows[row].get("up to")
        if top is not None and (kilovolts < top.high * (1 - 1e-9) or (at_its_end and kilovolts <= top.high * (1 + 1e-9))):
            return row
    return None


def _travel(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    voltage = inputs["voltage"]
    assert isinstance(voltage, Quantity)
    kilovolts = voltage.si / KILOVOLT
    moving, travelling = tables[MOVING], tables[TABLE_T]
    # the rule's first row is for less than its end, the others go up to and include theirs
    first = next(iter(moving.rows))
    row = _band(kilovolts, moving, at_its_end=True)
    if row == first and _band(kilovolts, moving, at_its_end=False) != first:
        row = list(moving.rows)[1]
    crane_row = _band(kilovolts, travelling, at_its_end=True)
    if row is None or crane_row is None:
        # no row for machines on the move: the distance for work holds there too
        work = _clearance(inputs, system, tables)
        return Outcome(
            "clearance",
            {"clearance": work.values["clearance"], "band": Value(mark("none"), "text", "row of the rule for machines on the move")},
            (Note("The rule for earthmoving machines on the move names no distance past its last voltage. So the "
                  "distance for work is kept there too."), *work.steps),
        )  # fmt: skip
    own = _feet(moving.cell(row, "clearance").high, system)
    crane = _feet(travelling.cell(crane_row, "clearance").high, system)
    both = COMMON_CLEARANCE(crane_clearance=crane.si, excavator_clearance=own.si)
    return Outcome(
        "clearance",
        {
            "clearance": Value(both, "length", "least distance on the move, boom down and no load", places=3),
            "excavator_rule": Value(own.si, "length", "distance by the rule for earthmoving machines on the move", places=3),
            "table_t": Value(crane.si, "length", "distance by the crane table for travel", places=3),
            "band": Value(row, "text", "row of the rule for machines on the move"),
        },
        (
            _bands("Earthmoving machines on the move", moving, row, system),
            _bands("Cranes travelling", travelling, crane_row, system),
            *(() if system == "us" else (Note("The tables are in feet. In metres each distance goes up to the next "
                                              "centimetre."),)),
            Note("Both hold only with no load, the boom down and the ground even. A site's own distance goes before them."),
            Applied("clearance", COMMON_CLEARANCE, {"crane_clearance": crane, "excavator_clearance": own}),
        ),
    )  # fmt: skip


TRAVEL_CLEARANCE = Procedure(
    id="lines.travel_clearance",
    title="Least distance to an overhead power line on the move",
    words="Find the voltage in the rule for earthmoving machines on the move, and in the crane table "
    "for travel beside it. Keep the larger distance.",
    inputs=(VOLTAGE,),
    source=ON_THE_MOVE,
    also=(CRANES_TRAVELLING,),
    limits="For a machine that travels with no load and its boom down, not for one at work. A bump "
    f"lifts the boom: someone watches where the driver cannot judge the distance. {LINE_LIMITS}",
    run=_travel,
    tables=(MOVING, TABLE_T, TABLE_A),
)

REACH_GAP = Formula(
    id="lines.reach_gap",
    title="Room left under an overhead line",
    words="The height of the lowest wire, less the highest the boom can reach, less the distance "
    "to keep.",
    written="line_height - boom_reach_height - clearance",
    result=Output("g", "length", "room left above the boom", at_least=None, places=2, limit="most"),
    inputs=(
        Input("line_height", "H_line", "length", "the height of the lowest wire above the ground",
              low="5 ft", high="500 ft", example_us="50 ft", example_metric="15 m"),
        Input("boom_reach_height", "H_boom", "length",
              "the highest point any part of the machine can reach", low="3 ft", high="200 ft",
              example_us="30 ft", example_metric="9 m"),
        Input("clearance", "d", "length", "the distance to keep from the line", low="4 ft",
              high="200 ft", example_us="15 ft", example_metric="5 m"),
    ),
    source=CRANES,
    limits="Below zero the boom can get too near: keep out, or have the line made dead. Wires sag "
    "in heat and under ice, and sway in wind. Never measure a live wire with a pole or tape: ask "
    "its owner.",
)  # fmt: skip

STANDOFF = Formula(
    id="lines.standoff_distance",
    title="How far the swing centre stays from a line",
    words="The greatest reach and the distance to keep.",
    written="max_reach + clearance",
    result=Output("x", "length", "distance from the swing centre to the nearest wire",
                  places=2, limit="least"),
    inputs=(
        Input("max_reach", "R", "length", "the greatest reach from the swing centre",
              low="2 ft", high="200 ft", example_us="30 ft", example_metric="9 m"),
        REACH_GAP.inputs[2],
    ),
    source=CRANES,
    limits="Measured level, to the nearest wire, with the whole swing circle open. Take the "
    "greatest reach of any part: the tail is shorter than the boom.",
)  # fmt: skip

TOLERANCE_ZONE = Formula(
    id="lines.tolerance_zone",
    title="Hand-digging zone over a buried line",
    words="The width of the line, and the no-machine strip on both sides of it.",
    written="line_width + 2 * tolerance",
    result=Output("W_zone", "length", "width of the zone dug by hand", us="in", metric="cm",
                  work_us="in", work_metric="cm", limit="least"),
    inputs=(
        Input("line_width", "w", "length", "the outside width of the buried line", low="0.1 in",
              high="30 ft", work_us="in", work_metric="cm", example_us="12 in",
              example_metric="30 cm"),
        Input("tolerance", "t", "length", "the strip on each side that the local rule names",
              low="12 in", high="20 ft", work_us="in", work_metric="cm", example_us="24 in",
              example_metric="60 cm"),
    ),
    source=Source("one-call-laws", "tolerance zone, measured from the outside edge"),
    limits="Counted from the outside edge of the line as marked. In the zone only hand tools or "
    "vacuum until the line is bare. A mark may be off: call the locating service, then dig with "
    "care.",
)  # fmt: skip

SWING_DISTANCE = Formula(
    id="lines.swing_distance",
    title="How far the bucket is from a wire in a swing",
    words="How far the swing centre stands off, less what of the reach points at the wire.",
    written="standoff - max_reach * cos(swing)",
    result=Output("x_s", "length", "distance from the teeth to the wire, level", at_least=None, places=1, limit="most"),
    inputs=(
        Input("standoff", "x", "length", "how far the swing centre stands from the nearest wire", low="4 ft", high="400 ft",
              example_us="45 ft", example_metric="14 m"),
        STANDOFF.inputs[0],
        Input("swing", "A", "angle", "the angle between the boom and straight at the wire", low="0 deg", high="180 deg",
              example_us="60 deg", example_metric="60 deg"),
    ),
    source=Source(None, "geometry of a right triangle, seen from above", "derived"),
    limits="Measured level, with the arm stretched out at ground level. Below zero the bucket is past the wire. Wires sway toward "
    "the machine, and higher up the bucket reaches a little farther.",
)  # fmt: skip

SIXTY = Quantity(Decimal(60), "deg", "angle")
SWINGS = (150, 120, 90, 60, 30, 0)
"""Degrees from straight at the wire, as `lines.near_a_wire` tells them."""
LIFTS = (Decimal("0.7"), Decimal("0.8"), Decimal("0.9"), Decimal(1))
"""Shares of the height a boom reaches, as `lines.near_a_wire` tells them."""


def _near(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    line, high, reach, keep = (given[name] for name in ("line_height", "boom_reach_height", "max_reach", "clearance"))
    away = STANDOFF(max_reach=reach.si, clearance=keep.si)
    swings = tuple((math.radians(turn), SWING_DISTANCE(standoff=away, max_reach=reach.si, swing=math.radians(turn))) for turn in SWINGS)
    lifts = []
    for share in LIFTS:
        top = float(share) * high.si
        lifts.append((top, max(line.si - top, 0.0), line.si - top - keep.si))
    return Outcome(
        "room",
        {
            "room": Value(lifts[-1][2], "length", REACH_GAP.result.meaning, places=2, limit=REACH_GAP.result.limit),
            "standoff": Value(away, "length", STANDOFF.result.meaning, places=2, limit=STANDOFF.result.limit),
            "boom_to_wire": Value(lifts[-1][1], "length", "from the boom, straight up under the wire, to the wire", places=1),
            "bucket_at_60": Value(SWING_DISTANCE(standoff=away, max_reach=reach.si, swing=SIXTY.si), "length",
                                  "from the teeth to the wire, at the swing worked here", places=1),
            "first_swing": Value(swings[0][0], "angle", "the first swing of the table, from straight at the wire", places=0),
            "bucket_at_first": Value(swings[0][1], "length", "from the teeth to the wire at the first swing", places=1),
        },
        (
            Applied("standoff", STANDOFF, {"max_reach": reach, "clearance": keep}),
            Note("From there the arm swings toward the wire, stretched out. This is how near the teeth come:"),
            Applied("at_60", SWING_DISTANCE, {"standoff": From("standoff"), "max_reach": reach, "swing": SIXTY}),
            Note("The other angles are worked the same way."),
            Rows("Swing beside the wire", (Column("From straight at the wire", "angle", places=0),
                                           Column("Teeth to the wire", "length", places=1)), swings),
            Note("And under the wire, as nobody should stand, with the boom going up:"),
            Rows("Boom up under the wire", (Column("Highest part", "length", places=1), Column("To the wire", "length", places=1),
                                            Column("Room past the distance to keep", "length", places=1)), tuple(lifts)),
            Applied("room", REACH_GAP, {"line_height": line, "boom_reach_height": high, "clearance": keep}),
        ),
    )  # fmt: skip


NEAR_A_WIRE = Procedure(
    id="lines.near_a_wire",
    title="A swing beside a wire, and a boom under it",
    words="The distance from the bucket to the wire through a swing from the stand-off, and from the boom to the wire if it goes up "
    "under it.",
    inputs=(REACH_GAP.inputs[0], REACH_GAP.inputs[1], STANDOFF.inputs[0], REACH_GAP.inputs[2]),
    source=Source(None, "geometry, beside the distance of the rules", "derived"),
    also=(CRANES,),
    limits="The swing is measured level, at ground level; the boom straight up. Room left under a wire is no leave to work there: wires "
    "sag and sway, and a bump throws the boom up. The line's owner and a competent person decide.",
    run=_near,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    CLEARANCE, TRAVEL_CLEARANCE, REACH_GAP, TOLERANCE_ZONE, STANDOFF, EXCAVATOR_CLEARANCE, COMMON_CLEARANCE,
    SWING_DISTANCE, NEAR_A_WIRE, *FOUND_CALCULATIONS,
)  # fmt: skip
