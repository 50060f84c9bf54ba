"""A spoil pile push by push: at the planned slope, and drawn out because the loads are dumped short.

Both piles take the same loads. On a ramp with more run the pile stays lower and its ramp gets longer,
and every push after that drives the longer ramp, up and back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from generator.calc.catalogue.dozing_pass_plan import BLADE_LOAD, CARRY, MOST_PASSES
from generator.calc.catalogue.dozing_spoil import FAR_SIDE, RATIO, REPOSE, VOLUME, WIDTH, side_run, spoil_height
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Value
from generator.language.words import said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, up
from generator.units.table import System

PILE_PUSHES = Formula(
    id="dozing.pile_pushes",
    title="Pushes that build the pile",
    words="The spoil divided by what reaches the pile in one push, to the next whole push.",
    written="round_up(volume / (blade_load * carry))",
    result=Output("n", "count", "pushes", rounding="rounded up: the last load may be part full"),
    inputs=(VOLUME, BLADE_LOAD, CARRY),
    source=Source(None, "loads of one size", "derived"),
    limits="Every load alike. What is lost on the way is picked up by a later push.",
)

TIMES = Input(
    "times", "k_run", "factor", "how many times as long as planned the run of a drawn-out ramp is", low="1", high="4",
    default="2", example_us="2", example_metric="2",
)  # fmt: skip


@dataclass(frozen=True)
class Growth:
    """A pile after each push, in metres: its height, its ramp, and what was driven on the ramp by then."""

    heights: tuple[float, ...]
    ramps: tuple[float, ...]
    driven: tuple[float, ...]


def growth(loads: list[float], width: float, ratio: float, far_side_ratio: float, side: float) -> Growth:
    """The pile after each of ``loads`` [m³], with a ramp of ``ratio`` run for one of rise.

    A push drives the ramp as the last one left it, up and back.
    """
    heights, ramps, driven = [], [], []
    loose = way = ramp = 0.0
    for load in loads:
        way += 2 * ramp
        loose += load
        height = spoil_height(loose, width, ratio, far_side_ratio, side)
        ramp = ratio * height
        heights.append(height)
        ramps.append(ramp)
        driven.append(way)
    return Growth(tuple(heights), tuple(ramps), tuple(driven))


_COLUMNS = (
    Column("Push", "count"),
    Column("Height after it", "length"),
    Column("Ramp after it", "length"),
    Column("Driven on the ramp so far", "length"),
)


def _rows(title: str, grown: Growth) -> Rows:
    return Rows(
        title,
        _COLUMNS,
        tuple((k, *row) for k, row in enumerate(zip(grown.heights, grown.ramps, grown.driven, strict=True), 1)),
    )


def _pile_growth(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    volume, width, ratio = given["volume"].si, given["width"].si, given["ratio"].si
    load = given["blade_load"].si * given["carry"].si
    side = side_run(given["repose"].si)
    far = max(given["far_side_ratio"].si, side)
    if volume / load > MOST_PASSES:
        raise CalculationError(
            said("this pile would take more than {number} pushes", number=MOST_PASSES),
            "check the spoil and the blade load, or plan two piles",
            about=("volume", "blade_load"),
        )
    pushes = up(volume / load)
    loads = [load] * (pushes - 1)
    loads.append(volume - sum(loads))
    planned = growth(loads, width, ratio, far, side)
    drawn_out = growth(loads, width, ratio * given["times"].si, far, side)
    return Outcome(
        "driven_drawn_out",
        {
            "pushes": Value(float(pushes), "count", "pushes", rounding="rounded up: the last load may be part full"),
            "driven": Value(planned.driven[-1], "length", "driven on the ramp, at the planned slope, up and back"),
            "driven_drawn_out": Value(drawn_out.driven[-1], "length", "driven on the ramp, drawn out, up and back"),
            "more_driven": Value(drawn_out.driven[-1] - planned.driven[-1], "length", "driven more because the ramp is drawn out"),
            "ratio_drawn_out": Value(ratio * given["times"].si, "ratio", "run of the drawn-out ramp for each one of rise"),
            "height_drawn_out": Value(drawn_out.heights[-1], "length", "height of the drawn-out pile"),
            "ramp_drawn_out": Value(drawn_out.ramps[-1], "length", "length of the drawn-out ramp, measured level"),
        },
        (
            Applied("pushes", PILE_PUSHES, {name: given[name] for name in ("volume", "blade_load", "carry")}),
            Note("Each push drives the ramp that the push before it left, up and back."),
            _rows("At the planned slope", planned),
            Note("Dumped short, the same loads make a ramp with more run for each one of rise."),
            _rows("Drawn out", drawn_out),
        ),
    )  # fmt: skip


PILE_GROWTH = Procedure(
    id="dozing.pile_growth",
    title="A spoil pile push by push",
    words="The pile after each load, and what is driven on its ramp: at the planned slope, and drawn out.",
    inputs=(VOLUME, WIDTH, RATIO, FAR_SIDE, REPOSE, BLADE_LOAD, replace(CARRY, default="100%"), TIMES),
    source=COMMON_PRACTICE,
    also=(Source(None, "geometry: a pile that is a trapezium wherever it is cut across", "derived"),),
    limits="Level ground, every load alike, distances measured level. How far a ramp is drawn out is taken as an "
    "example: twice the planned run where nothing else is given. It says nothing about whether the pile's edges hold a machine.",
    run=_pile_growth,
)
