"""The factor for swing and depth of cut: a published table, read between its lines."""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Step, Value
from generator.calc.tables import Table
from generator.language.words import mark, said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, trimmed
from generator.units.table import System

TABLE = "swing-depth-factors"


def _factor(name: str, symbol: str, meaning: str, example: str) -> Input:
    return Input(name, symbol, "factor", meaning, low="0.1", high="3", example_us=example,
                 example_metric=example)  # fmt: skip


DEPTH_SHARE = Formula(
    id="loading.depth_share",
    title="Depth of cut as a share of the deepest dig",
    words="The depth of the cut over the greatest digging depth of the machine.",
    written="digging_depth / max_digging_depth",
    result=Output("p", "fraction", "share of the greatest digging depth"),
    inputs=(
        Input("digging_depth", "d", "length", "the depth of the cut below the tracks", low="0.2 ft",
              high="60 ft", example_us="10 ft", example_metric="3 m"),
        Input("max_digging_depth", "d_most", "length", "the greatest digging depth", low="3 ft",
              high="60 ft", example_us="20 ft", example_metric="6 m"),
    ),
    source=Source("excavator-tables-note", "depth as a percent of the greatest digging depth"),
    requires=(("digging_depth", "max_digging_depth", "the cut is deeper than the machine digs"),),
    limits="Measured from the ground under the tracks.",
)  # fmt: skip

BETWEEN_SWINGS = Formula(
    id="loading.between_swings",
    title="Factor between two swings",
    words="Go as far between the two factors as the swing stands between the two angles.",
    written="low_factor + (high_factor - low_factor)"
    " * (swing_angle - low_swing) / (high_swing - low_swing)",
    result=Output("S", "factor", "factor at this swing"),
    inputs=(
        _factor("low_factor", "S_1", "the factor at the smaller swing", "1.1"),
        _factor("high_factor", "S_2", "the factor at the larger swing", "1.03"),
        Input("swing_angle", "a", "angle", "the swing", low="0 deg", high="180 deg",
              example_us="100 deg", example_metric="100 deg"),
        Input("low_swing", "a_1", "angle", "the next smaller swing in the table", low="0 deg",
              high="180 deg", example_us="90 deg", example_metric="90 deg"),
        Input("high_swing", "a_2", "angle", "the next larger swing in the table", low="0 deg",
              high="180 deg", example_us="120 deg", example_metric="120 deg"),
    ),
    source=Source(None, "straight line between two points", "derived"),
    requires=(
        ("low_swing", "swing_angle", "the swing is below both angles"),
        ("swing_angle", "high_swing", "the swing is above both angles"),
    ),
    limits="A straight line between two printed values, never beyond them.",
)  # fmt: skip

BETWEEN_DEPTHS = Formula(
    id="loading.between_depths",
    title="Factor between two depths",
    words="Go as far between the two factors as the depth stands between the two depths.",
    written="low_factor + (high_factor - low_factor)"
    " * (depth_share - low_depth) / (high_depth - low_depth)",
    result=Output("S", "factor", "factor at this depth"),
    inputs=(
        _factor("low_factor", "S_1", "the factor at the smaller depth", "1.1"),
        _factor("high_factor", "S_2", "the factor at the larger depth", "1"),
        Input("depth_share", "p", "fraction", "the depth as a share of the greatest", low="0",
              high="1", example_us="0.6", example_metric="0.6"),
        Input("low_depth", "p_1", "fraction", "the next smaller depth in the table", low="0",
              high="1", example_us="0.5", example_metric="0.5"),
        Input("high_depth", "p_2", "fraction", "the next larger depth in the table", low="0",
              high="1", example_us="0.7", example_metric="0.7"),
    ),
    source=Source(None, "straight line between two points", "derived"),
    requires=(
        ("low_depth", "depth_share", "the depth is below both shares"),
        ("depth_share", "high_depth", "the depth is above both shares"),
    ),
    limits="A straight line between two printed values, never beyond them.",
)  # fmt: skip


def _bracket(marks: list[float], at: float, what: str, unit: str) -> tuple[float, float]:
    """The two marks ``at`` lies between; both the same where it is one of them."""
    for one in marks:
        if abs(one - at) < 1e-9 * max(1.0, abs(one)):
            return one, one
    below = [m for m in marks if m < at]
    above = [m for m in marks if m > at]
    if not below or not above:
        raise CalculationError(
            said("the table of swing and depth factors has no value for this {what}", what=said(what)),
            f"it covers {marks[0]:g} to {marks[-1]:g} {unit}; time the cycle on the job instead",
        )
    return below[-1], above[0]


def _printed(table: Table, depth: float, swing: float) -> Quantity:
    cell = table.cell(f"{depth:g}", f"{swing:g}")
    return Quantity(trimmed(Decimal(repr(cell.middle))), "1", "factor")


def _degrees(value: float) -> Quantity:
    return Quantity(trimmed(Decimal(repr(value))), "deg", "angle")


def _share(percent: float) -> Quantity:
    return Quantity(trimmed(Decimal(repr(percent))), "%", "fraction")


def _swing_depth_factor(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    table = tables[TABLE]
    depths = {n: given[n] for n in ("digging_depth", "max_digging_depth")}
    share = DEPTH_SHARE.value(depths)
    swing = given["swing_angle"]
    swing_deg = math.degrees(swing.si)
    rows = sorted(float(r) for r in table.rows)
    columns = sorted(float(c) for c in table.columns)
    low_d, high_d = _bracket(rows, share * 100, mark("depth"), "percent of the greatest depth")
    low_s, high_s = _bracket(columns, swing_deg, mark("swing"), "degrees")

    steps: list[Step] = []
    if low_d != high_d or low_s != high_s:
        steps.append(Applied("share", DEPTH_SHARE, depths))
    used_rows = [low_d] if low_d == high_d else [low_d, high_d]
    used_columns = [low_s] if low_s == high_s else [low_s, high_s]
    steps.append(
        Rows(
            "From the table",
            (
                Column("Depth, share of the greatest", "fraction"),
                *(Column(said("Swing {angle}°", angle=f"{c:g}"), "factor", places=2) for c in used_columns),
            ),
            tuple((d / 100, *(_printed(table, d, c).si for c in used_columns)) for d in used_rows),
        )
    )
    at_depth: list[tuple[From | Quantity, float]] = []
    for d in used_rows:
        if low_s == high_s:
            cell = _printed(table, d, low_s)
            at_depth.append((cell, cell.si))
            continue
        put_in = {
            "low_factor": _printed(table, d, low_s), "high_factor": _printed(table, d, high_s),
            "swing_angle": swing, "low_swing": _degrees(low_s), "high_swing": _degrees(high_s),
        }  # fmt: skip
        name = f"at_depth_{len(at_depth)}"
        steps.append(Applied(name, BETWEEN_SWINGS, put_in))
        at_depth.append((From(name), BETWEEN_SWINGS.value(put_in)))
    if low_d == high_d:
        result = at_depth[0][1]
        steps.append(Note(
            "The table prints this very swing and depth." if low_s == high_s
            else "The table prints this very depth."
        ))  # fmt: skip
    else:
        low, high = _share(low_d), _share(high_d)
        steps.append(
            Applied(
                "between_depths", BETWEEN_DEPTHS,
                {"low_factor": at_depth[0][0], "high_factor": at_depth[1][0],
                 "depth_share": From("share"), "low_depth": low, "high_depth": high},
            )
        )  # fmt: skip
        result = BETWEEN_DEPTHS(
            low_factor=at_depth[0][1], high_factor=at_depth[1][1], depth_share=share,
            low_depth=low.si, high_depth=high.si,
        )  # fmt: skip
    values = {
        "factor": Value(result, "factor", "factor for swing and depth of cut"),
        "depth_share": Value(share, "fraction", DEPTH_SHARE.result.meaning),
    }
    return Outcome("factor", values, tuple(steps))


SWING_DEPTH_FACTOR = Procedure(
    id="loading.swing_depth_factor",
    title="Factor for swing and depth of cut",
    words="Read the published table, and go between its printed values in a straight line, first "
    "by swing and then by depth.",
    inputs=(
        *DEPTH_SHARE.inputs,
        Input("swing_angle", "a", "angle", "the swing from the face to the truck", low="0 deg",
              high="180 deg", example_us="90 deg", example_metric="90 deg"),
    ),
    source=Source("excavator-tables-note", "Table 2"),
    also=(Source("nunnally", "chapter 3, the same values", "from memory"),),
    limits="For hoe-type excavators, with an ideal cycle from a table. Not for a cycle timed on "
    "the job, which has its swing and depth in it already.",
    run=_swing_depth_factor,
    tables=(TABLE,),
)  # fmt: skip
