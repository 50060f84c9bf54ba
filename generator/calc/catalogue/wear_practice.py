"""What a field exercise on wear is held against: ways back counted, a part measured again, sides made even."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.catalogue.dozing_pass_plan import JOB_FACTORS, PASS_PLAN, Plan, back_to_front, front_to_back, setting
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Column, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

WAY_BACK_TIME = Formula(
    id="wear.way_back_time",
    title="Time of one way back",
    words="How far one backs up, divided by the speed in reverse.",
    written="return_distance / return_speed",
    result=Output("t_back", "time", "time of one way back", us="s", metric="s"),
    inputs=(
        Input("return_distance", "d_back", "length", "the distance backed up", low="1 ft", high="2000 ft", example_us="150 ft",
              example_metric="45 m"),
        Input("return_speed", "v_back", "speed", "the speed in reverse", low="0.2 mph", high="15 mph", example_us="3.5 mph",
              example_metric="5.5 km/h"),
    ),
    source=Source(None, "distance over speed", "derived"),
    limits="At one speed all the way. Starting, stopping and shifting come on top, so a true way back takes a little longer.",
)  # fmt: skip


def _first(title: str, plan: Plan, count: int) -> tuple[Rows, float]:
    """The first ways back of a plan, with the distance reversed so far [m] behind each, and all of it."""
    so_far, rows = 0.0, []
    for p in plan.passes[:count]:
        so_far += p.reverse
        rows.append((float(p.number), p.reverse, so_far))
    return Rows(title, (Column("Pass", "count"), Column("Way back", "length"), Column("Reversed so far", "length")), tuple(rows)), so_far


def _first_ways_back(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    s = setting(inputs, tables)
    pushes = inputs["pushes"]
    assert isinstance(pushes, Quantity)
    plans = front_to_back(s), back_to_front(s)
    count = min(int(pushes.si), *(len(p.passes) for p in plans))
    (front, short), (back, long) = (_first(t, p, count) for t, p in zip(("Front to back", "Back to front"), plans, strict=True))
    return Outcome(
        "front_to_back",
        {
            "front_to_back": Value(short, "length", "reverse over the first pushes, front to back"),
            "back_to_front": Value(long, "length", "reverse over the first pushes, back to front"),
            "pushes": Value(float(count), "count", "pushes looked at, or as many as both ways have", rounding="as counted"),
        },
        (
            Note("Front to back: start nearest the spoil. The first ways back are short."),
            front,
            Note("Back to front: start at the far end. The first way back is as long as the slot."),
            back,
        ),
    )


FIRST_WAYS_BACK = Procedure(
    id="wear.first_ways_back",
    title="Distance in reverse over the first pushes in a slot",
    words="Add the ways back of the first pushes, once worked front to back and once back to front.",
    inputs=(
        *PASS_PLAN.inputs,
        Input("pushes", "n", "count", "the pushes to look at", low="1", high="100", default="10", example_us="10", example_metric="10"),
    ),
    source=COMMON_PRACTICE,
    also=(Source("dozing-article-2010", "less reverse travel front to back"),),
    limits="A plan, not a promise: each push takes its full load, and the operator turns round on the spot where the plan does. The first pushes "
    "show the difference most. Over the whole slot it is smaller.",
    run=_first_ways_back,
    tables=(JOB_FACTORS,),
)  # fmt: skip

NEXT_CHECK = Formula(
    id="wear.next_check",
    title="Hours to run before a part is measured again",
    words="A part of the hours run so far.",
    written="hours * part",
    result=Output("t_check", "time", "hours to run before it is measured again", us="h", metric="h", work_us="h", work_metric="h"),
    inputs=(
        Input("hours", "t", "time", "the hours run since the part was new", low="1 h", high="100000 h", work_us="h", work_metric="h",
              example_us="1200 h", example_metric="1200 h"),
        Input("part", "q", "fraction", "the part of these hours to wait", low="1%", high="100%", default="10%", example_us="10%",
              example_metric="10%"),
    ),
    source=COMMON_PRACTICE,
    limits="For learning to read wear. The manual says how often the machine is looked at; that comes first, and so does a part near its limit.",
)  # fmt: skip

READING_THEN = Formula(
    id="wear.reading_then",
    title="What a part should measure next time",
    words="What it measures now, less what the hours from now on wear off at the rate so far.",
    written="measured - (new - measured) / hours * more_hours",
    result=Output("d_then", "length", "the size to expect then", us="in", metric="mm", work_us="in", work_metric="mm"),
    inputs=(
        Input("new", "d_new", "length", "the size of the part when new", low="0.05 in", high="60 in", work_us="in", work_metric="mm",
              example_us="3 in", example_metric="80 mm"),
        Input("measured", "d_now", "length", "the size measured now", low="0.05 in", high="60 in", work_us="in", work_metric="mm",
              example_us="2 in", example_metric="60 mm"),
        Input("hours", "t", "time", "the hours run since the part was new", low="1 h", high="100000 h", work_us="h", work_metric="h",
              example_us="1200 h", example_metric="1200 h"),
        Input("more_hours", "t_more", "time", "the hours run from now on", low="0 h", high="100000 h", work_us="h", work_metric="h",
              example_us="120 h", example_metric="120 h"),
    ),
    source=Source(None, "undercarriage inspection, common practice: wear in a straight line", "common practice"),
    limits="Straight-line wear. A part that measures less has worn faster since: look for the reason. It also holds for a size that grows.",
)  # fmt: skip

HOURS_TO_EVEN = Formula(
    id="wear.hours_to_even",
    title="Hours one side still has to be low",
    words="The hours of the side that was low more, less those of the other.",
    written="greatest(hours_left_low, hours_right_low) - least(hours_left_low, hours_right_low)",
    result=Output("t_even", "time", "hours to give the other side", us="h", metric="h", work_us="h", work_metric="h"),
    inputs=(
        Input("hours_left_low", "t_left", "time", "the hours worked with the left track lower", low="0 h", high="100000 h", work_us="h",
              work_metric="h", example_us="30 h", example_metric="30 h"),
        Input("hours_right_low", "t_right", "time", "the hours worked with the right track lower", low="0 h", high="100000 h", work_us="h",
              work_metric="h", example_us="10 h", example_metric="10 h"),
    ),
    source=COMMON_PRACTICE,
    also=(Source("undercarriage-article", "steps three to five: the low side carries more"),),
    limits="Hours on side slopes alike. It evens out the hours, not the wear of months gone by: measure both sides.",
)  # fmt: skip

SHIFTS_TO_EVEN = Formula(
    id="wear.shifts_to_even",
    title="Shifts until both sides have had their turn",
    words="The hours to give the other side, divided by the hours of a shift, up to whole shifts.",
    written="round_up(hours_to_even / shift_time)",
    result=Output("n", "count", "shifts with the other side low", rounding="rounded up: the last one may be part of a shift"),
    inputs=(
        Input("hours_to_even", "t_even", "time", "the hours to give the other side", low="0 h", high="100000 h", work_us="h", work_metric="h",
              example_us="20 h", example_metric="20 h"),
        Input("shift_time", "t_shift", "time", "the length of the shift", low="0.1 h", high="24 h", default="8 h", work_us="h", work_metric="h",
              example_us="8 h", example_metric="8 h"),
    ),
    source=Source(None, "hours over the hours of a shift", "derived"),
    limits="All of each shift on the side slope, always from the same end. Change ends only where the ground allows it.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (WAY_BACK_TIME, FIRST_WAYS_BACK, NEXT_CHECK, READING_THEN, HOURS_TO_EVEN, SHIFTS_TO_EVEN)
