"""Stripping strip by strip: what the pile gets, and what lies in windrows and is pushed a second time.

Between low windrows each strip leaves a windrow on both sides, and the rest goes to the pile. The ground
under the windrows is stripped as they are picked up. Cast to one side, all of it lies in windrows.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.catalogue.dozing_pass_plan import MOST_PASSES, SWELL
from generator.calc.catalogue.dozing_strips import AREA_WIDTH, STRIPS, WINDROW_BASE, WINDROWS
from generator.calc.catalogue.soil import RIDGE
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Step, Value
from generator.language.words import said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, up
from generator.units.table import System

HEAP_HEIGHT = Formula(
    id="dozing.side_windrow_height",
    title="Height of a windrow that takes a whole strip",
    words="The root of what was cut across the strip, loose, times the tan of the angle of repose.",
    written="sqrt(blade_width * depth * (1 + swell) * tan(repose))",
    result=Output("H_side", "length", "height of a windrow of a whole strip"),
    inputs=(
        STRIPS.inputs[1],
        Input("depth", "d", "length", "the depth stripped", low="0.5 in", high="10 ft", example_us="6 in", example_metric="15 cm"),
        SWELL,
        WINDROW_BASE.inputs[1],
    ),
    source=Source(None, "geometry: a ridge with two slopes", "derived"),
    limits="All of the strip in one windrow, with both sides at rest.",
)  # fmt: skip

_COLUMNS = (
    Column("Strip", "count"),
    Column("Stripped so far, across", "length"),
    Column("On the pile", "loose_volume"),
    Column("In windrows", "loose_volume"),
)


def _strip_plan(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    si = {name: q.si for name, q in given.items()}
    width = AREA_WIDTH(area=si["area"], strip_length=si["strip_length"])
    base = WINDROW_BASE(height=si["height"], repose=si["repose"])
    if width / si["blade_width"] > MOST_PASSES:
        raise CalculationError(
            said("this area would take more than {number} strips", number=MOST_PASSES),
            "plan it in smaller areas",
            about=("area", "strip_length"),
        )
    layer = si["strip_length"] * si["depth"] * (1 + si["swell"])
    row = RIDGE(height=si["height"], length=si["strip_length"], repose=si["repose"])
    blade = si["blade_width"]
    strips = up(width / (blade + base))
    # under the windrows between strips nothing is cut before they are picked up; a windrow holds no more than there is
    held = min((strips + 1) * row, layer * (width - (strips - 1) * base))
    steps: list[Step] = [
        Applied("across", AREA_WIDTH, {name: given[name] for name in ("area", "strip_length")}),
        Applied("base", WINDROW_BASE, {name: given[name] for name in ("height", "repose")}),
        Applied("strips", STRIPS, {"area_width": From("across"), "blade_width": given["blade_width"], "windrow_base": From("base")}),
        Applied("row", RIDGE, {"height": given["height"], "length": given["strip_length"], "repose": given["repose"]}),
        Applied("rows", WINDROWS, {"strips": From("strips"), "windrow_volume": From("row")}),
    ]
    if held < (strips + 1) * row * (1 - 1e-9):
        steps.append(Note("The strips hold less than windrows of that height take, so they stay lower. What is cut counts:"))
    steps += [
        Rows(
            "Between low windrows",
            _COLUMNS,
            tuple(
                (k, min(k * (blade + base), width), cut - min((k + 1) * row, cut), min((k + 1) * row, cut))
                for k, cut in ((k, layer * (k * blade if k < strips else width - (strips - 1) * base)) for k in range(1, strips + 1))
            ),
        ),
        Note("Cast to one side, the strips touch, and all that is cut lies in windrows first."),
        Rows(
            "All to one side",
            _COLUMNS,
            tuple((k, min(k * blade, width), 0.0, layer * min(k * blade, width)) for k in range(1, up(width / blade) + 1)),
        ),
    ]
    high = HEAP_HEIGHT(blade_width=blade, depth=si["depth"], swell=si["swell"], repose=si["repose"])
    return Outcome(
        "in_windrows",
        {
            "in_windrows": Value(held, "loose_volume", "loose ground in the low windrows"),
            "whole": Value(layer * width, "loose_volume", "loose ground of the whole area"),
            "height_one_side": Value(high, "length", "height of a windrow of a whole strip"),
        },
        tuple(steps),
    )


STRIP_PLAN = Procedure(
    id="dozing.strip_plan",
    title="Stripping strip by strip",
    words="What goes to the pile, and what lies in windrows and is pushed a second time.",
    inputs=(
        *AREA_WIDTH.inputs,
        HEAP_HEIGHT.inputs[1],
        SWELL,
        STRIPS.inputs[1],
        *WINDROW_BASE.inputs,
    ),
    source=COMMON_PRACTICE,
    also=(Source(None, "geometry: strips and ridges", "derived"),),
    limits="An area with four square corners, every strip as wide as the blade, all windrows as long and as high. The ground "
    "under the low windrows is stripped as they are picked up. Every load full: spilled ground takes more.",
    run=_strip_plan,
)
