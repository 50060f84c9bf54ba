"""Trucks around a loader: cycle, match, and output with and without waiting.

The output with waiting is that of a fixed number of trucks that share one loader, with random
loading and hauling times (a finite-source queue). It is worked by adding the trucks one at a
time: a truck that comes back finds, on average, as many trucks at the loader as there would be
without it. The shares of time of the queue itself give the same result, and a test compares the
two.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

TRUCKS = Input(
    "trucks", "N", "count", "the trucks on this haul", low="1", high="300", example_us="4",
    example_metric="4",
)  # fmt: skip
LOAD_TIME = Input(
    "load_time", "t_load", "time", "the time one truck holds the loader", low="0.1 min",
    high="60 min", example_us="3 min", example_metric="3 min",
)  # fmt: skip
CYCLE = Input(
    "truck_cycle", "t_truck", "time", "the time of one truck round without waiting",
    low="0.5 min", high="10 h", example_us="18 min", example_metric="18 min",
)  # fmt: skip
AWAY = Input(
    "away_time", "t_away", "time", "the time a truck is away from the loader", low="0.1 min",
    high="10 h", example_us="15 min", example_metric="15 min",
)  # fmt: skip
EFFICIENCY = Input(
    "efficiency", "E", "factor", "the share of each hour that is worked", low="0.1", high="1",
    default="1", example_us="50 min/h", example_metric="50 min/h",
)  # fmt: skip
TRUCK_LOAD = Input(
    "truck_load", "V_truck", "volume", "the ground in one truck load", low="0.3 yd3",
    high="400 yd3", example_us="20 yd3", example_metric="12 m3",
)  # fmt: skip

TRUCK_CYCLE = Formula(
    id="loading.truck_cycle",
    title="Time of one truck round",
    words="Load, haul, dump, come back empty and back up to the loader.",
    written="load_time + haul_distance / haul_speed + truck_dump_time"
    " + haul_distance / empty_speed + spot_time",
    result=Output("t_truck", "time", "time of one truck round"),
    inputs=(
        LOAD_TIME,
        Input("haul_distance", "d", "length", "the distance from the face to the dump", low="50 ft",
              high="50 mi", example_us="3,000 ft", example_metric="900 m"),
        Input("haul_speed", "v_loaded", "speed", "the mean speed loaded", low="0.5 mph",
              high="60 mph", example_us="10 mph", example_metric="18 km/h"),
        Input("truck_dump_time", "t_dump", "time", "the time to turn and tip at the dump",
              low="0 min", high="30 min", example_us="1.5 min", example_metric="1.5 min"),
        Input("empty_speed", "v_empty", "speed", "the mean speed back empty", low="0.5 mph",
              high="60 mph", example_us="20 mph", example_metric="30 km/h"),
        Input("spot_time", "t_spot", "time", "the time to back up to the loader", low="0 min",
              high="30 min", default="0 min", example_us="0.5 min", example_metric="0.5 min"),
    ),
    source=Source("osm-worksheet-9", "truck cycle: haul, return, loading, dump and manoeuvre"),
    limits="No waiting at the loader or the dump. Speeds are means over the road, not the limit.",
)  # fmt: skip

AWAY_TIME = Formula(
    id="loading.away_time",
    title="Time a truck is away from the loader",
    words="The truck round, less the time the truck holds the loader.",
    written="truck_cycle - load_time",
    result=Output("t_away", "time", "time away from the loader"),
    inputs=(CYCLE, LOAD_TIME),
    source=Source(None, "what is left of the round", "derived"),
    limits="No waiting in the round.",
)

TRUCKS_NEEDED = Formula(
    id="loading.trucks_needed",
    title="Trucks to keep the loader busy",
    words="As many trucks as loadings fit into one truck round, up to the next whole truck.",
    written="round_up(truck_cycle / load_time)",
    result=Output("N", "count", "trucks to keep the loader busy", at_least=1.0,
                  rounding="rounded up: with fewer trucks the loader waits"),
    inputs=(CYCLE, LOAD_TIME),
    source=Source("osm-worksheet-9", "trucks: truck cycle over total loading time"),
    also=(Source("nunnally", "chapter 4, trucks needed", "from memory"),),
    limits="Every round takes the same time. In truth trucks bunch up and the loader still waits "
    "at times. Some forms round to the nearest whole truck.",
    requires=(("load_time", "truck_cycle", "the loading is longer than the truck round"),),
)  # fmt: skip

BALANCE_NUMBER = Formula(
    id="loading.balance_number",
    title="Trucks in balance with the loader",
    words="Loadings that fit into one truck round, before rounding.",
    written="truck_cycle / load_time",
    result=Output("N_balance", "factor", "trucks in balance with the loader", at_least=1.0),
    inputs=(CYCLE, LOAD_TIME),
    source=Source("burt-caccetta", "balance: loader productivity over truck productivity"),
    limits="Every round takes the same time.",
    requires=(("load_time", "truck_cycle", "the loading is longer than the truck round"),),
)

MATCH_FACTOR = Formula(
    id="loading.match_factor",
    title="Match factor",
    words="How fast trucks come back, against how fast the loaders can load them. Below one the "
    "loaders wait, above one the trucks wait.",
    written="trucks * load_time / (loaders * truck_cycle)",
    result=Output("MF", "factor", "match factor"),
    inputs=(
        TRUCKS,
        Input("loaders", "n", "count", "the machines that load them", low="1", high="20",
              example_us="1", example_metric="1"),
        LOAD_TIME,
        CYCLE,
    ),
    source=Source("burt-caccetta", "abstract: truck arrival rate over loader service rate"),
    also=(Source("match-factor-notes", "formula for one kind of loader and truck"),),
    requires=(("load_time", "truck_cycle", "the loading is longer than the truck round"),),
    limits="One kind of loader and one kind of truck. The truck round holds no waiting.",
)  # fmt: skip

LOADS_BOUND = Formula(
    id="loading.loads_without_waiting",
    title="Loads an hour if no one ever waited",
    words="The smaller of two: the rounds all trucks can make, and the loads the loader can give.",
    written="least(trucks / (load_time + away_time), 1 / load_time)",
    result=Output("X_most", "frequency", "loads an hour without waiting", work_us="1/min",
                  work_metric="1/min"),
    inputs=(TRUCKS, LOAD_TIME, AWAY),
    source=Source("osm-worksheet-9", "trucks over truck cycle"),
    also=(Source("co-drms-truck-loader", "team output: the lower of loader and trucks"),),
    limits="A bound no real fleet reaches: all times would have to be the same, round after round.",
)  # fmt: skip

TIME_AT_LOADER = Formula(
    id="loading.time_at_loader",
    title="Time at the loader, waiting and loading",
    words="Load every truck that stands ahead, then this one.",
    written="load_time * (1 + trucks_ahead)",
    result=Output("t_there", "time", "time at the loader, waiting and loading"),
    inputs=(
        LOAD_TIME,
        Input("trucks_ahead", "q", "factor", "the trucks found at the loader, on average", low="0",
              high="60", example_us="0.5", example_metric="0.5"),
    ),
    source=Source("finite-source-queue", "mean values, one truck more at a time", "from memory"),
    limits="Trucks are loaded in the order they come.",
)  # fmt: skip

LOADS_WITH_WAITING = Formula(
    id="loading.loads_with_waiting",
    title="Loads an hour with waiting",
    words="Every truck comes round once in the time it is away and the time it is at the loader.",
    written="trucks / (away_time + time_at_loader)",
    result=Output("X", "frequency", "loads an hour", work_us="1/min", work_metric="1/min"),
    inputs=(
        TRUCKS,
        AWAY,
        Input("time_at_loader", "t_there", "time", "the time at the loader, waiting and loading",
              low="0.1 min", high="70 h", example_us="4 min", example_metric="4 min"),
    ),
    source=Source("finite-source-queue", "mean values, one truck more at a time", "from memory"),
    limits="A mean over a long time.",
)  # fmt: skip

OUTPUT_BOUND = Formula(
    id="loading.output_without_waiting",
    title="Output an hour if no one ever waited",
    words="One truck load for every round of the trucks or every loading, whichever is slower.",
    written="truck_load * efficiency * least(trucks / (load_time + away_time), 1 / load_time)",
    result=Output("P_most", "volume_rate", "output an hour without waiting", work_us="yd3/min",
                  work_metric="m3/min"),
    inputs=(TRUCK_LOAD, EFFICIENCY, TRUCKS, LOAD_TIME, AWAY),
    source=Source("osm-worksheet-9", "net capacity, trucks, truck cycle and efficiency"),
    also=(Source("nunnally", "chapter 4, shovel and trucks", "from memory"),),
    limits="A bound no real fleet reaches. Bank or loose, as the truck load is given.",
)  # fmt: skip

HAUL_OUTPUT = Formula(
    id="loading.haul_output",
    title="Output of the fleet",
    words="The loads an hour, times what one truck carries, for the part of the hour that is "
    "worked.",
    written="loads_per_hour * truck_load * efficiency",
    result=Output("P", "volume_rate", "output an hour"),
    inputs=(
        Input("loads_per_hour", "X", "frequency", "the loads an hour while working", low="0.05 1/h",
              high="600 1/h", example_us="15 1/h", example_metric="15 1/h"),
        TRUCK_LOAD,
        EFFICIENCY,
    ),
    source=Source("osm-worksheet-9", "hourly output"),
    limits="Bank or loose, as the truck load is given.",
)  # fmt: skip


def mean_values(trucks: int, load_time: float, away_time: float) -> list[tuple[float, float, float]]:
    """Mean values of the finite-source queue for 1, 2, … ``trucks`` trucks and one loader.

    Times in one unit, any. Each row holds the time at the loader, the loads in a unit of time,
    and the trucks at the loader. Loading times are exponential; the time away may have any
    distribution with that mean.
    """
    rows: list[tuple[float, float, float]] = []
    queue = 0.0
    for n in range(1, trucks + 1):
        there = load_time * (1 + queue)
        rate = n / (away_time + there)
        queue = rate * there
        rows.append((there, rate, queue))
    return rows


def _fleet_output(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    trucks, load, away = (given[n] for n in ("trucks", "load_time", "away_time"))
    if trucks.si != int(trucks.si):
        raise CalculationError("trucks is not a whole number", "give whole trucks", about=("trucks",))
    count = int(trucks.si)
    rows = mean_values(count, load.si, away.si)
    found = rows[-2][2] if count > 1 else 0.0
    # six digits, so that the printed figure is the one the rest is worked from
    ahead = Quantity.of(found, "factor", system, significant=6)
    there = TIME_AT_LOADER(load_time=load.si, trucks_ahead=ahead.si)
    loads = LOADS_WITH_WAITING(trucks=trucks.si, away_time=away.si, time_at_loader=there)
    bound = LOADS_BOUND(trucks=trucks.si, load_time=load.si, away_time=away.si)
    table = Rows(
        "One truck more at a time",
        (
            Column("Trucks", "count"),
            Column("Found at the loader by a truck that comes back", "factor", places=2),
            Column("Time at the loader", "time", us="min", metric="min", places=2),
            Column("Loads an hour", "frequency", places=2),
            Column("Loader busy", "fraction", places=1),
        ),
        tuple((float(n), rows[n - 2][2] if n > 1 else 0.0, t, x, x * load.si) for n, (t, x, _) in enumerate(rows, start=1)),
    )
    steps = (
        Applied("bound", LOADS_BOUND,
                {"trucks": trucks, "load_time": load, "away_time": away}),
        Note("That would need every round to take the same time. Real rounds do not, so trucks "
             "bunch up: at times they queue, at times the loader stands."),
        Note("A truck that comes back finds, on average, as many trucks at the loader as there "
             "would be without it. So the table grows by one truck at a time."),
        table,
        Applied("there", TIME_AT_LOADER, {"load_time": load, "trucks_ahead": ahead}),
        Applied("loads", LOADS_WITH_WAITING,
                {"trucks": trucks, "away_time": away, "time_at_loader": From("there")}),
    )  # fmt: skip
    busy = loads * load.si
    values = {
        "loads_per_hour": Value(loads, "frequency", "loads an hour, with waiting"),
        "without_waiting": Value(bound, "frequency", LOADS_BOUND.result.meaning),
        "lost_share": Value(max(1 - loads / bound, 0.0), "fraction", "share lost to waiting"),
        "loader_busy": Value(busy, "fraction", "share of the time the loader loads"),
        "loader_idle": Value(max(1 - busy, 0.0), "fraction", "share of the time the loader waits"),
        "time_at_loader": Value(there, "time", TIME_AT_LOADER.result.meaning),
        "wait_time": Value(there - load.si, "time", "mean wait of a truck before it is loaded"),
    }
    return Outcome("loads_per_hour", values, steps)


FLEET_OUTPUT = Procedure(
    id="loading.fleet_output",
    title="Loads an hour of a truck fleet",
    words="What the fleet hauls when rounds vary and trucks bunch up, beside the bound without waiting.",
    inputs=(TRUCKS, LOAD_TIME, AWAY),
    source=Source("finite-source-queue", "one server, a fixed number of customers", "from memory"),
    limits="One loader and trucks of one kind, loaded in the order they come. Loading times vary "
    "widely here, so a steady crew loses less than this and never gets past the bound.",
    run=_fleet_output,
)
