"""Trucks by the clock: who is loaded, who waits and who is on the road, minute by minute.

Every round takes the same time here, so what is seen is the best a fleet of that size can do. The
trucks all stand at the loaders when the shift starts; what is shown begins when that first bunch has
spread out.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Mapping
from dataclasses import astuple, dataclass
from itertools import accumulate

from generator.calc.catalogue.loading_fleet import AWAY_TIME, CYCLE, LOADS_BOUND, MATCH_FACTOR, TRUCK_CYCLE
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.language.words import said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

SHOWN = 600.0
"""Seconds that are shown at least; a truck round is shown whole."""
STEPS = (30, 60, 120, 180, 300, 600, 900, 1800)
"""Seconds from one step of the clock to the next: the shortest that needs no more than `MOST_STEPS`."""
MOST_STEPS = 24
MOST_TRUCKS = 300
MOST_ROUNDS = 60
"""Of one truck: no round is so short that more fit into what is looked at."""
TICKS = 1000
"""The clock goes in whole thousandths of a second, so that what happens at once does so to the last digit."""

LOADERS = Input(
    "loaders", "n", "count", "the machines that load them", low="1", high="20", default="1", example_us="1",
    example_metric="1",
)  # fmt: skip
TURN = Input(
    "turn_time", "t_turn", "time", "the time from one truck to the next at the loader", low="0.1 min",
    high="90 min", example_us="2 min", example_metric="2 min",
)  # fmt: skip

TURN_TIME = Formula(
    id="loading.turn_time",
    title="Time from one truck to the next at the loader",
    words="A truck backs up and is loaded, then the next one. Several loaders share the trucks.",
    written="(spot_time + load_time) / loaders",
    result=Output("t_turn", "time", "time from one truck to the next"),
    inputs=(
        Input("spot_time", "t_spot", "time", "the time to back up to the loader", low="0 min", high="30 min",
              default="0 min", example_us="0.5 min", example_metric="0.5 min"),
        Input("load_time", "t_load", "time", "the time to load one truck", low="0.1 min", high="60 min",
              example_us="1.5 min", example_metric="1.5 min"),
        LOADERS,
    ),
    source=Source(None, "one truck after the other at each loader", "derived"),
    limits="One truck at a loader at a time. Where a second one can back up on the other side meanwhile, "
    "leave out the time to back up.",
)  # fmt: skip

TRUCKS_MATCHED = Formula(
    id="loading.trucks_matched",
    title="Trucks that match the loader",
    words="Turns at the loader that fit into one truck round, to the nearest whole truck, and two at least.",
    written="greatest(2, round_down(truck_cycle / turn_time + 0.5))",
    result=Output("N", "count", "trucks that match the loader", at_least=1.0,
                  rounding="to the nearest whole truck"),
    inputs=(CYCLE, TURN),
    source=COMMON_PRACTICE,
    also=(Source("burt-caccetta", "balance: loader productivity over truck productivity"),),
    limits="Every round takes the same time. Where the loader must never stand, take one truck more.",
    requires=(("turn_time", "truck_cycle", "the loading is longer than the truck round"),),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Round:
    """One round of a truck: when it comes to the loaders, and the ends of what it does from there, in ticks."""

    truck: int
    came: int
    backs: int
    loading: int
    full: int
    there: int
    tipped: int
    back: int

    def since(self, start: int) -> Round:
        """The same on a clock that is started at `start`."""
        return Round(self.truck, *(t - start for t in astuple(self)[1:]))


def rounds(trucks: int, loaders: int, times: tuple[int, int, int, int, int], until: int) -> list[Round]:
    """All rounds in which a truck backs up by `until`, in that order.

    `times` are those to back up, load, haul, tip and come back empty, all in ticks. All trucks stand at the
    loaders at 0, and are loaded in the order in which they come; of those that come at once, the lower
    number goes first.
    """
    coming = [(0, k) for k in range(1, trucks + 1)]
    free = [0] * loaders
    made: list[Round] = []
    for _ in range(MOST_ROUNDS * trucks):
        came, truck = heapq.heappop(coming)
        backs = max(came, heapq.heappop(free))
        if backs > until:
            break
        made.append(Round(truck, came, backs, *(backs + t for t in accumulate(times))))
        heapq.heappush(free, made[-1].full)
        heapq.heappush(coming, (made[-1].back, truck))
    return made


def _within(spans: Iterable[tuple[int, int]], until: int) -> int:
    """How much of the spans lies between 0 and `until`."""
    return sum(min(max(b, 0), until) - min(max(a, 0), until) for a, b in spans)


def window(cycle: float) -> tuple[int, int]:
    """How long is shown of a fleet whose round takes `cycle`, and the step of the clock, in seconds."""
    wanted = max(SHOWN, cycle)
    step = min(s for s in STEPS if wanted <= MOST_STEPS * s)
    return step * math.ceil(wanted / step), step


def _fleet_schedule(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    for name in ("trucks", "loaders"):
        if given[name].si != int(given[name].si):
            raise CalculationError(said("{name} is not a whole number", name=name), f"give whole {name}", about=(name,))
    trucks, loaders = int(given["trucks"].si), int(given["loaders"].si)
    of_round = {i.name: given[i.name] for i in TRUCK_CYCLE.inputs}
    of_turn = {i.name: given[i.name] for i in TURN_TIME.inputs}
    cycle = TRUCK_CYCLE.value(of_round)
    turn = TURN_TIME.value(of_turn)
    matched = int(TRUCKS_MATCHED(truck_cycle=cycle, turn_time=turn))
    few, many = max(matched - 2, 1), min(matched + 2, MOST_TRUCKS)
    per_second = LOADS_BOUND(trucks=trucks, load_time=turn, away_time=cycle - turn)
    at_match = LOADS_BOUND(trucks=matched, load_time=turn, away_time=cycle - turn)
    haul = given["haul_distance"].si / given["haul_speed"].si
    home = given["haul_distance"].si / given["empty_speed"].si
    spot, load, tip = (given[n].si for n in ("spot_time", "load_time", "truck_dump_time"))
    shown, step = window(cycle)
    seconds, step = window(cycle)
    shown = seconds * TICKS
    ticks = [round(t * TICKS) for t in (spot, load, haul, tip, home)]
    # by its third round the bunch that all trucks made at the start has spread out
    period = max(sum(ticks), trucks * (ticks[0] + ticks[1]))
    every = rounds(trucks, loaders, (ticks[0], ticks[1], ticks[2], ticks[3], ticks[4]), 4 * period + shown)
    start = [r.backs for r in every if r.truck == 1][2]
    seen = [r for r in (r.since(start) for r in every) if r.back > 0 and r.came <= shown]
    clock = Rows(
        "Each round by the clock",
        (
            Column("Truck", "count"),
            *(Column(h, "time", us="min", metric="min", places=2)
              for h in ("Comes to the loader", "Backs up", "Loading starts", "Full", "At the dump", "Tipped", "Back")),
        ),
        tuple((float(r.truck), *(max(t, 0) / TICKS for t in astuple(r)[1:])) for r in seen),
    )  # fmt: skip
    steps = [
        (
            t / TICKS,
            float(sum(0 < r.full <= t for r in seen)),
            float(sum(r.came <= t < r.backs for r in seen)),
            float(sum(r.backs <= t < r.full for r in seen)),
            float(sum(r.full <= t < r.back for r in seen)),
            (loaders * t - _within(((r.backs, r.full) for r in seen), t)) / TICKS,
            _within(((r.came, r.backs) for r in seen), t) / TICKS,
        )
        for t in range(0, shown + 1, step * TICKS)[: MOST_STEPS + 1]
    ]
    minutes = Rows(
        "The fleet step by step",
        (
            Column("Time", "time", us="min", metric="min", places=1),
            Column("Loads sent off", "count"),
            Column("Waiting", "count"),
            Column("At the loader", "count"),
            Column("On the road or at the dump", "count"),
            Column("Loader has stood", "time", us="min", metric="min", places=1),
            Column("Trucks have waited", "time", us="min", metric="min", places=1),
        ),
        tuple(steps),
    )
    first = min((r for r in seen if r.truck == 1), key=lambda r: abs(r.backs))
    values = {
        "loads_per_hour": Value(per_second, "frequency", "loads an hour, every round alike"),
        "trucks_wait": Value(max(trucks - per_second * cycle, 0.0) * 3600.0, "time",
                             "time all trucks together wait in an hour", us="min", metric="min"),
        "wait_time": Value(max(trucks / per_second - cycle, 0.0), "time", "time each truck waits in a round", us="min", metric="min"),
        "loader_wait": Value(max(1 - per_second * turn, 0.0) * 3600.0, "time",
                             "time in an hour that a loader stands without a truck", us="min", metric="min"),
        "lost_loads": Value(max(at_match - per_second, 0.0), "frequency", "loads an hour less than with matched trucks"),
        "more_loads": Value(max(per_second - at_match, 0.0), "frequency", "loads an hour more than with matched trucks"),
        "truck_cycle": Value(cycle, "time", TRUCK_CYCLE.result.meaning),
        "turn_time": Value(turn, "time", TURN_TIME.result.meaning),
        "match_factor": Value(MATCH_FACTOR(trucks=trucks, loaders=1, load_time=turn, truck_cycle=cycle), "factor",
                              MATCH_FACTOR.result.meaning),
        "matched": Value(float(matched), "count", TRUCKS_MATCHED.result.meaning, rounding=TRUCKS_MATCHED.result.rounding),
        "few": Value(float(few), "count", "too few trucks, to compare with", given=True),
        "many": Value(float(many), "count", "too many trucks, to compare with", given=True),
        "haul_time": Value(haul, "time", "time on the road loaded"),
        "return_time": Value(home, "time", "time on the road back"),
        "tip_time": Value(tip, "time", "time to turn and tip at the dump", given=True),
        "loads_shown": Value(steps[-1][1], "count", "loads sent off in the time that is shown"),
        "rounds_shown": Value(float(len(seen)), "count", "rounds of which something is shown"),
        "at_loader": Value(steps[-1][3], "count", "trucks at the loaders when it ends"),
        "on_road": Value(steps[-1][4], "count", "trucks on the road or at the dump when it ends"),
        "queue": Value(steps[-1][2], "count", "trucks that wait when it ends"),
        "stood": Value(steps[-1][5], "time", "time the loaders stood while it lasted", us="min", metric="min"),
        "waited": Value(steps[-1][6], "time", "time all trucks together waited while it lasted", us="min", metric="min"),
        "first_tipped": Value(first.tipped / TICKS, "time", "when the first truck has tipped", us="min", metric="min"),
        "first_back": Value(first.back / TICKS, "time", "when the first truck is back", us="min", metric="min"),
        "shown_time": Value(float(seconds), "time", "time that is shown", us="min", metric="min"),
    }  # fmt: skip
    chain = (
        Applied("round", TRUCK_CYCLE, of_round),
        Applied("turn", TURN_TIME, of_turn),
        Applied("matched", TRUCKS_MATCHED, {"truck_cycle": From("round"), "turn_time": From("turn")}),
        Applied("away", AWAY_TIME, {"truck_cycle": From("round"), "load_time": From("turn")}),
        Applied("loads", LOADS_BOUND, {"trucks": given["trucks"], "load_time": From("turn"), "away_time": From("away")}),
        Note("The clock starts when the first truck backs up, well after the start of the shift. A time of nought "
             "is one that lies before that."),
        clock,
        minutes,
    )  # fmt: skip
    return Outcome("loads_per_hour", values, chain)


FLEET_SCHEDULE = Procedure(
    id="loading.fleet_schedule",
    title="The trucks by the clock",
    words="Each truck backs up, is loaded, hauls, tips and comes back. It waits where the loader is not free.",
    inputs=(
        Input("trucks", "N", "count", "the trucks on this haul", low="1", high=str(MOST_TRUCKS), example_us="4", example_metric="4"),
        LOADERS,
        *TRUCK_CYCLE.inputs,
    ),
    source=Source(None, "one truck after the other, in the order they come", "derived"),
    also=(Source("osm-worksheet-9", "trucks over truck cycle"),),
    limits="Every round takes the same time. Real rounds vary, so trucks bunch up: then trucks wait and the loader stands more than here.",
    run=_fleet_schedule,
)
