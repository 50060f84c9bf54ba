"""Wear of two tracks on a side slope, shift by shift: one track low all month, and both by turns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from generator.calc.catalogue.slopes import LOW_TRACK_SHARE
from generator.calc.catalogue.wear_left import HOURS_LEFT, PERCENT_WORN
from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

ARCHARD = Source("wear-lecture-nptel", "law of wear: what wears off goes with the force and the way")
LOW_SIDE = Source("undercarriage-article", "steps three to five: the low side carries more")
WEIGHT_ALONE = (
    "Counts the weight alone, on a stiff machine. The low side also takes the side thrust of the blade and of the slope, so it wears faster "
    "still. The same ground, load and speed all month."
)

WORN = Input("percent_worn", "w", "fraction", "the share of the wear used up so far", low="1%", high="100%", example_us="50%",
             example_metric="50%")  # fmt: skip
HOURS = Input("hours", "t", "time", "the hours run since the part was new", low="1 h", high="100000 h", work_us="h", work_metric="h",
              example_us="1800 h", example_metric="1800 h")  # fmt: skip
SHARE = Input("share", "p", "fraction", "the share of the weight on this track", low="0%", high="100%", example_us="57%",
              example_metric="57%")  # fmt: skip
MORE_HOURS = Input("more_hours", "t_more", "time", "the hours run from now on", low="0 h", high="100000 h", work_us="h", work_metric="h",
                   example_us="220 h", example_metric="220 h")  # fmt: skip

USED_AFTER = Formula(
    id="wear.used_after",
    title="Share used up after more hours",
    words="The share used up so far, and what the hours from now on add. A track with more than half of the weight wears by that much more.",
    written="percent_worn + percent_worn / hours * more_hours * 2 * share",
    result=Output("w_then", "fraction", "share used up then"),
    inputs=(WORN, HOURS, MORE_HOURS, SHARE),
    source=ARCHARD,
    also=(LOW_SIDE,),
    limits="It was worn evenly until now, and goes on at that rate. " + WEIGHT_ALONE,
)

LOW_HOURS = Formula(
    id="wear.low_side_hours",
    title="Hours left with one side always low",
    words="The hours left when both sides take turns, divided by twice the share of the weight on that track.",
    written="even_hours / (2 * share)",
    result=Output("t_side", "time", "hours left on that track", us="h", metric="h", work_us="h", work_metric="h"),
    inputs=(
        Input("even_hours", "t_left", "time", "the hours left when both sides take turns", low="0 h", high="10000000 h", work_us="h",
              work_metric="h", example_us="1800 h", example_metric="1800 h"),
        Input("share", "p", "fraction", SHARE.meaning, low="1%", high="100%", example_us="57%", example_metric="57%"),
    ),
    source=ARCHARD,
    also=(LOW_SIDE,),
    limits=WEIGHT_ALONE,
)  # fmt: skip


class Shift(NamedTuple):
    """After a shift: the hours since the month began, and the share used up of each track, in both ways of working."""

    number: int
    hours: float
    low: float  # the track that is always low
    high: float
    left: float  # by turns, the left one low first
    right: float


def month(worn: float, hours: float, share: float, shift: float, count: int) -> tuple[Shift, ...]:
    """Return the beginning and each shift, up to the one in which the low track reaches its limit. Times in seconds."""
    found: list[Shift] = []
    for k in range(count + 1):
        turns = (k + 1) // 2, k // 2  # shifts with the left track low, and with the right one

        def used(low: int, high: int) -> float:
            # what is run on the high side adds as hours do on a track with that share of the weight
            first = USED_AFTER(percent_worn=worn, hours=hours, more_hours=low * shift, share=share)
            return first + USED_AFTER(percent_worn=worn, hours=hours, more_hours=high * shift, share=1 - share) - worn

        found.append(Shift(k, k * shift, used(k, 0), used(0, k), used(*turns), used(*turns[::-1])))
        if found[-1].low >= 1 and k:
            break
    return tuple(found)


def _side_wear(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    stand = {name: given[name] for name in ("cg_height", "side_slope", "track_gauge")}
    size, hours = {name: given[name] for name in ("new", "limit", "measured")}, given["hours"]
    worn = PERCENT_WORN.value(size)
    share = LOW_TRACK_SHARE.value(stand)
    if share >= 1:
        raise CalculationError(
            "on this side slope no weight is left on the high track", "check the height of the weight, the gauge and the slope",
            about=("cg_height", "track_gauge", "side_slope"),
        )  # fmt: skip
    even = HOURS_LEFT(hours=hours.si, percent_worn=worn)
    low = LOW_HOURS(even_hours=even, share=share)
    shifts = month(worn, hours.si, share, given["shift_time"].si, int(given["shifts"].si))
    last = shifts[-1]
    return Outcome(
        "low_hours",
        {
            "low_hours": Value(low, "time", "hours left on the low track", us="h", metric="h"),
            "even_hours": Value(even, "time", "hours left on both tracks by turns", us="h", metric="h"),
            "lost_hours": Value(even - low, "time", "hours of track life lost", us="h", metric="h"),
            "side_slope": Value(given["side_slope"].si, "grade", "the side slope under the machine", given=True),
            "worn": Value(worn, "fraction", "share used up when the month begins"),
            "low_used": Value(last.low, "fraction", "share of the low track used up in the end", places=1),
            "high_used": Value(last.high, "fraction", "share of the high track used up in the end", places=1),
            "left_used": Value(last.left, "fraction", "share of the left track used up in the end, by turns", places=1),
            "right_used": Value(last.right, "fraction", "share of the right track used up in the end, by turns", places=1),
            "month_hours": Value(last.hours, "time", "hours of the month", us="h", metric="h"),
            "shifts": Value(last.number, "count", "shifts", rounding="as counted"),
        },
        (
            Applied("share", LOW_TRACK_SHARE, stand),
            Applied("worn", PERCENT_WORN, size),
            Applied("even_hours", HOURS_LEFT, {"hours": hours, "percent_worn": From("worn")}),
            Note("A part wears as fast as it is pressed. With half of the weight on it, a track lasts as long as by turns."),
            Applied("low_hours", LOW_HOURS, {"even_hours": From("even_hours"), "share": From("share")}),
            Rows(
                "The month, shift by shift",
                (
                    Column("Shift", "count"),
                    Column("Hours since it began", "time", us="h", metric="h"),
                    Column("Low track used up", "fraction", places=1),
                    Column("High track used up", "fraction", places=1),
                    Column("Left track by turns", "fraction", places=1),
                    Column("Right track by turns", "fraction", places=1),
                ),
                shifts,
            ),
        ),
    )  # fmt: skip


SIDE_WEAR = Procedure(
    id="wear.side_wear",
    title="A month on a side slope, one side low or both by turns",
    words="The low track carries more of the weight and wears by that much more. By turns, both wear alike.",
    inputs=(
        *(replace(i, default=default) for i, default in zip(PERCENT_WORN.inputs, ("2.8 in", "1.2 in", "2 in"), strict=True)),
        replace(HOURS, default="1800 h"),
        *(replace(i, default="10%") if i.name == "side_slope" else i for i in LOW_TRACK_SHARE.inputs),
        Input("shift_time", "t_shift", "time", "the hours worked in a shift", low="0.5 h", high="24 h", default="8 h", work_us="h",
              work_metric="h", example_us="10 h", example_metric="10 h"),
        Input("shifts", "n", "count", "the shifts of the month", low="1", high="31", default="22", example_us="22", example_metric="22"),
    ),
    source=ARCHARD,
    also=(LOW_SIDE,),
    limits="It was worn evenly until now, and goes on at that rate. The month ends early where the low track reaches its limit. "
    + WEIGHT_ALONE + " It says nothing about which slope is safe.",
    run=_side_wear,
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (SIDE_WEAR, USED_AFTER, LOW_HOURS)
