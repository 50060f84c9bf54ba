"""Heat and hours: water for a crew, the first days in the heat, and what a shift leaves for sleep."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import COMMON_PRACTICE, Constant, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

FIRST_DAYS = "heat-first-days"
NEW, BACK = "new to the heat", "back in the heat"
ACCLIMATIZATION = Source("niosh-heat-first-days", "tips 2 and 3")
HYDRATION = Source("niosh-heat-hydration", "hydrate during work")
DOCTOR = "Some people and some medicines stand heat less: ask a doctor. Local rules may ask for more."
SHIFT = Input("shift_time", "t_shift", "time", "the length of the shift", low="1 h", high="16 h", work_us="h", work_metric="h",
              example_us="8 h", example_metric="8 h")  # fmt: skip
TRAVEL = Input("travel_time", "t_travel", "time", "the time on the road, one way", low="0 h", high="4 h", work_us="h", work_metric="h",
               example_us="45 min", example_metric="45 min")  # fmt: skip
CUP = Input("cup", "V_cup", "liquid", "the water drunk at a time", low="2 fl oz", high="32 fl oz", default="8 fl oz", work_us="fl oz",
            work_metric="mL", example_us="8 fl oz", example_metric="240 mL")  # fmt: skip
EVERY = Input("every", "t_cup", "time", "the time from one cup to the next", low="5 min", high="2 h", default="15 min", example_us="15 min",
              example_metric="15 min")  # fmt: skip

WATER = Formula(
    id="daily.water",
    title="Drinking water to bring for a shift in the heat",
    words="The people, times the cups each drinks in the shift, times a cup.",
    written="people * shift_time / every * cup",
    result=Output("V_water", "liquid", "water to bring", us="gal", metric="L", work_us="fl oz", work_metric="mL", limit="least"),
    inputs=(
        Input("people", "n", "count", "the people who drink from it", low="1", high="200", example_us="6", example_metric="6"),
        Input("shift_time", "t_shift", "time", "the length of the shift", low="1 h", high="16 h", example_us="8 h", example_metric="8 h"),
        EVERY, CUP,
    ),
    source=HYDRATION,
    also=(Source("cal-heat-page", "step 2: one quart an hour, or four glasses of 8 ounces"), Source("cal-3395", "a state's rule on water, shade and high heat")),
    limits=f"The least to bring. Water for washing and cooling a person comes on top. {DOCTOR}",
)  # fmt: skip
DRINK_RATE = Formula(
    id="daily.drink_rate",
    title="How much one drinks in an hour",
    words="A cup, divided by the time from one cup to the next.",
    written="cup / every",
    result=Output("q", "liquid_rate", "water drunk in an hour", us="fl oz/h", metric="L/h", work_us="fl oz/h", work_metric="L/h"),
    inputs=(
        Input("cup", "V_cup", "liquid", "the water drunk at a time", low="2 fl oz", high="32 fl oz", default="8 fl oz", work_us="fl oz",
              work_metric="L", example_us="8 fl oz", example_metric="0.24 L"),
        Input("every", "t_cup", "time", "the time from one cup to the next", low="5 min", high="2 h", default="15 min", work_us="h",
              work_metric="h", example_us="15 min", example_metric="15 min"),
    ),
    source=HYDRATION,
    limits=f"Too much water in an hour harms as well. The institute names a most. {DOCTOR}",
)  # fmt: skip
HEAT_HOURS = Formula(
    id="daily.heat_hours",
    title="Hours in the heat on one of the first days",
    words="The shift times the share for that day.",
    written="shift_time * share",
    result=Output("t_heat", "time", "hours in the heat at most", us="h", metric="h", work_us="h", work_metric="h", limit="most"),
    inputs=(SHIFT, Input("share", "p_day", "fraction", "the share of the shift for that day", low="1%", high="100%", example_us="20%",
                         example_metric="20%")),
    source=ACCLIMATIZATION,
    limits=f"The rest of the shift is in a cool place. {DOCTOR}",
)  # fmt: skip


def shares(tables: Tables, worker: str) -> list[float]:
    """The share of the shift for each of the first days, in order, as the published table prints it."""
    table = tables[FIRST_DAYS]
    column = "new" if worker == NEW else "back"
    return [cell.high / 100 for row in table.rows.values() if (cell := row.get(column)) is not None]


def _heat_day(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    worker, day, shift = inputs["worker"], inputs["day"], inputs["shift_time"]
    assert isinstance(worker, str) and isinstance(day, Quantity) and isinstance(shift, Quantity)
    printed = shares(tables, worker)
    number = int(day.si)
    share = printed[number - 1] if number <= len(printed) else 1.0
    rows = tuple((float(k), p, HEAT_HOURS(shift_time=shift.si, share=p)) for k, p in enumerate(printed, 1))
    hours = HEAT_HOURS(shift_time=shift.si, share=share)
    return Outcome(
        "hours",
        {
            "hours": Value(hours, "time", HEAT_HOURS.result.meaning, us="h", metric="h", limit="most"),
            "share": Value(share, "fraction", "share of the shift in the heat"),
            "full_day": Value(float(len(printed)), "count", "day from which the whole shift may be in the heat", rounding="as counted"),
        },
        (
            Rows("The first days in the heat",
                 (Column("Day", "count"), Column("Share of the shift", "fraction"), Column("Hours in the heat", "time", us="h", metric="h", limit="most")),
                 rows),
            *(() if number <= len(printed) else (Note("The table has ended: by now the whole shift may be in the heat."),)),
            Applied("hours", HEAT_HOURS, {"shift_time": shift, "share": Quantity.of(share, "fraction", system)}),
        ),
    )  # fmt: skip


HEAT_DAY = Procedure(
    id="daily.heat_day",
    title="The first days in the heat",
    words="Each day a larger share of the shift is spent in the heat.",
    inputs=(
        SHIFT,
        Input("day", "k", "count", "the day, from one on", low="1", high="14", default="1", example_us="2", example_metric="2"),
        Choice("worker", "whether the person is new to hot work, or back in it after a break", (NEW, BACK), default=NEW),
    ),
    source=ACCLIMATIZATION,
    also=(
        Source("niosh-heat-blog", "hours of a shift of eight, rounded"),
        Source("osha-heat-first-aid", "deaths in the first week; first aid"),
    ),
    limits="A week off and the body has forgotten it: begin again. A sudden hot spell counts as a first day for all. " + DOCTOR,
    run=_heat_day,
    tables=(FIRST_DAYS,),
)

DAY = Constant("day_length", "t_day", "time", "a day", us="24 h", metric="24 h", source=Source(None, "a day has 24 hours", "derived"))
OWN = Input("own_time", "t_own", "time", "the time a day for eating, washing, family and getting ready", low="0 h", high="8 h", work_us="h",
            work_metric="h", example_us="3 h", example_metric="3 h")  # fmt: skip
SLEEP_LEFT = Formula(
    id="daily.sleep_left",
    title="What a shift leaves for sleep",
    words="A day, less the shift, less the way there and back, less the time at home awake.",
    written="day_length - shift_time - 2 * travel_time - own_time",
    result=Output("t_sleep", "time", "hours left for sleep", us="h", metric="h", work_us="h", work_metric="h", limit="most"),
    inputs=(SHIFT, TRAVEL, OWN),
    constants=(DAY,),
    source=Source(None, "a day is shared out", "derived"),
    also=(COMMON_PRACTICE,),
    limits="Time in bed. Nobody sleeps all of it, and by day less.",
)
HOURS_AWAKE = Formula(
    id="daily.hours_awake",
    title="How long one has been awake when the way home ends",
    words="The time from getting up to the shift, the shift, and the way home.",
    written="up_before + shift_time + travel_time",
    result=Output("t_awake", "time", "hours awake", us="h", metric="h", work_us="h", work_metric="h"),
    inputs=(
        Input("up_before", "t_up", "time", "how long before the shift one gets up, the way there counted", low="0 h", high="16 h", work_us="h",
              work_metric="h", example_us="2 h", example_metric="2 h"),
        SHIFT, TRAVEL,
    ),
    source=Source(None, "hours added", "derived"),
    also=(Source("niosh-long-hours", "page on impaired performance: 17 and 24 hours awake"),),
    limits="Counts from getting up, slept well or not. The less slept, the sooner one is tired.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (WATER, DRINK_RATE, HEAT_DAY, HEAT_HOURS, SLEEP_LEFT, HOURS_AWAKE)
