"""Loading trucks: bench, bucket, passes, cycle, output, payload, ground pressure.

A bucket and a truck body hold loose ground, so every volume and density here is loose unless
its name says otherwise. The swing plan and the truck fleet have files of their own.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.catalogue.dozing_pull import GRAVITY
from generator.calc.catalogue.loading_bench import BENCH_AND_STROKE
from generator.calc.catalogue.loading_fleet import (
    AWAY_TIME,
    BALANCE_NUMBER,
    FLEET_OUTPUT,
    HAUL_OUTPUT,
    LOADS_BOUND,
    LOADS_WITH_WAITING,
    MATCH_FACTOR,
    OUTPUT_BOUND,
    TIME_AT_LOADER,
    TRUCK_CYCLE,
    TRUCKS_NEEDED,
)
from generator.calc.catalogue.loading_places import PLACES
from generator.calc.catalogue.loading_practice import CALCULATIONS as PRACTICE
from generator.calc.catalogue.loading_schedule import FLEET_SCHEDULE, TRUCKS_MATCHED, TURN_TIME
from generator.calc.catalogue.loading_stroke import STROKE_PARTS
from generator.calc.catalogue.loading_swing_depth import (
    BETWEEN_DEPTHS,
    BETWEEN_SWINGS,
    DEPTH_SHARE,
    SWING_DEPTH_FACTOR,
)
from generator.calc.catalogue.loading_swing_plan import (
    FILL_BEARING,
    SQUARE_FILL_BEARING,
    SWING_PLAN,
    SWING_TIME,
)
from generator.calc.catalogue.loading_tally import FULL_PASSES, PASS_TALLY
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, From, Note, Outcome, Value
from generator.units.quantity import Quantity
from generator.units.table import System

# --- inputs that stand in more than one formula ---------------------------------------------

BUCKET_CAPACITY = Input(
    "bucket_capacity", "V_bucket", "loose_volume", "the heaped capacity of the bucket",
    low="0.01 yd3", high="60 yd3", example_us="2 yd3", example_metric="1.5 m3",
)  # fmt: skip
FILL = Input(
    "fill", "F", "fraction", "how full the bucket gets, as a share of its heaped capacity",
    low="0.2", high="1.3", example_us="0.95", example_metric="0.95",
)  # fmt: skip
LOOSE_DENSITY = Input(
    "loose_density", "D_loose", "density", "the weight of the loose ground for each unit of volume",
    low="400 lb/yd3", high="6500 lb/yd3", example_us="2,400 lb/yd3", example_metric="1,400 kg/m3",
)  # fmt: skip
PAYLOAD = Input(
    "payload", "M_payload", "mass", "the rated payload of the truck", low="1000 lb",
    high="1000000 lb", example_us="60,000 lb", example_metric="28,000 kg",
)  # fmt: skip
BODY_VOLUME = Input(
    "body_volume", "V_body", "loose_volume", "the heaped volume of the truck body", low="0.5 yd3",
    high="400 yd3", example_us="22 yd3", example_metric="18 m3",
)  # fmt: skip
HEAP = Input(
    "heap", "h", "fraction", "how much of that heaped volume is used", low="0.3", high="1.3",
    default="1", example_us="1", example_metric="1",
)  # fmt: skip
TARGET = Input(
    "target", "M_target", "mass", "the weight to put on the truck", low="100 lb",
    high="1000000 lb", example_us="28,000 lb", example_metric="11,000 kg",
)  # fmt: skip
BUCKET_MASS = Input(
    "bucket_load", "M_bucket", "mass", "the weight of one bucket load", low="5 lb",
    high="400000 lb", example_us="5,000 lb", example_metric="2,000 kg",
)  # fmt: skip
CYCLE = Input(
    "cycle_time", "t_cycle", "time", "the time of one cycle: dig, swing, dump, swing back",
    low="3 s", high="10 min", example_us="24 s", example_metric="24 s",
)  # fmt: skip
EFFICIENCY = Input(
    "efficiency", "E", "factor", "the share of each hour that is worked", low="0.1", high="1",
    example_us="50 min/h", example_metric="50 min/h",
)  # fmt: skip
PASSES_IN = Input(
    "passes", "n", "count", "the number of passes to fill the truck", low="1", high="200",
    example_us="6", example_metric="6",
)  # fmt: skip

# --- bench ----------------------------------------------------------------------------------

BENCH_HEIGHT = Formula(
    id="loading.bench_height",
    title="Bench height",
    words="Make the bench as high as the stick is long, pin to pin.",
    written="stick_length",
    # no higher than the stick, to the hundredth: 11.25 ft is not 11.3 ft
    result=Output("H", "length", "bench height", places=2, limit="most"),
    inputs=(
        Input("stick_length", "L_stick", "length", "the length of the stick, pin to pin",
              low="2 ft", high="40 ft", example_us="10 ft", example_metric="3 m"),
    ),
    source=COMMON_PRACTICE,
    limits="Bench loading with the excavator above the truck, in ground that stands. "
    "The ground and the competent person may call for a lower bench.",
)  # fmt: skip

GROUND_PRESSURE = Formula(
    id="loading.ground_pressure",
    title="Ground pressure under the tracks",
    words="The machine's weight, shared evenly over the ground that both tracks stand on.",
    written="mass * gravity / (2 * track_length * shoe_width)",
    result=Output("p", "pressure", "mean ground pressure", us="psi", work_us="psi"),
    inputs=(
        Input("mass", "m", "mass", "the mass of the machine, ready to work", low="500 lb",
              high="2000000 lb", work_metric="t", example_us="50,000 lb", example_metric="22 t"),
        Input("track_length", "L", "length", "the length of track on the ground", low="2 ft",
              high="30 ft", work_us="in", example_us="12 ft", example_metric="3.6 m"),
        Input("shoe_width", "b", "length", "the width of one track shoe", low="4 in", high="60 in",
              work_us="in", example_us="24 in", example_metric="0.6 m"),
    ),
    constants=(GRAVITY,),
    source=Source("fps-track-pressures", "plain mean: weight over the area of both tracks"),
    limits="A plain mean on level, firm ground. Lifting, digging or standing on a slope puts much "
    "more on one end or one track, so never judge an edge by it.",
)  # fmt: skip

# --- bucket ---------------------------------------------------------------------------------

BUCKET_HEAP = Formula(
    id="loading.bucket_heap",
    title="Heap on a hoe bucket",
    words="A hip roof with sides that rise as much as they run, over the opening of the bucket.",
    written="least(inside_width, opening)**2"
    " * (3 * greatest(inside_width, opening) - least(inside_width, opening)) / 12",
    result=Output("V_heap", "loose_volume", "volume of the heap", work_us="ft3"),
    inputs=(
        Input("inside_width", "W", "length", "the inside width of the bucket", low="0.3 ft",
              high="16 ft", example_us="4 ft", example_metric="1.2 m"),
        Input("opening", "D", "length", "the opening, from cutting edge to the back of the bucket",
              low="0.3 ft", high="16 ft", example_us="3 ft", example_metric="1 m"),
    ),
    source=Source(None, "geometry of a hip roof at 1:1", "derived"),
    also=(Source("sae-j296", "heap at 1:1 on a hoe bucket"),
          Source("iso-7451", "the same rating", "from memory")),
    limits="A rating to compare buckets by, with a flat opening. The ground decides what heaps.",
)  # fmt: skip

BUCKET_HEAPED = Formula(
    id="loading.bucket_heaped",
    title="Heaped capacity of a hoe bucket",
    words="What the bucket holds struck off level, and a hip roof at 1:1 on its opening.",
    written="struck_volume + least(inside_width, opening)**2"
    " * (3 * greatest(inside_width, opening) - least(inside_width, opening)) / 12",
    result=Output("V_bucket", "loose_volume", "heaped capacity", work_us="ft3"),
    inputs=(
        Input("struck_volume", "V_struck", "volume", "what the bucket holds struck off level",
              low="0.001 yd3", high="50 yd3", work_us="ft3", example_us="1 yd3",
              example_metric="1 m3"),
        *BUCKET_HEAP.inputs,
    ),
    source=Source("sae-j296", "rated capacity: struck volume and heap at 1:1"),
    also=(Source("iso-7451", "the same rating", "from memory"),
          Source(None, "geometry of a hip roof at 1:1", "derived")),
    limits="A rating for hoe buckets with a flat opening. Loader buckets are rated with a flatter "
    "heap, and deep-cut side plates take some off the struck volume.",
)  # fmt: skip

HEAP_VOLUME = Formula(
    id="loading.heap_volume",
    title="Heap on a rectangular body",
    words="A hip roof over the body. Its sides run as far out for each unit up as the ratio says.",
    written="heap_width**2 * (3 * heap_length - heap_width) / (12 * side_ratio)",
    result=Output("V_heap", "loose_volume", "volume of the heap", work_us="ft3"),
    inputs=(
        Input("heap_length", "L", "length", "the longer side of the heap", low="0.3 ft",
              high="60 ft", example_us="18 ft", example_metric="6 m"),
        Input("heap_width", "W", "length", "the shorter side of the heap", low="0.3 ft",
              high="40 ft", example_us="9 ft", example_metric="4 m"),
        Input("side_ratio", "k", "ratio", "how far the sides run for each unit they rise",
              low="0.5:1", high="10:1", example_us="2:1", example_metric="2:1"),
    ),
    requires=(("heap_width", "heap_length", "the width of the heap is more than its length"),),
    source=Source(None, "geometry of a hip roof", "derived"),
    also=(Source("iso-6483", "heap at 2:1 on a truck body", "from memory"),),
    limits="The sides of the body are level and the ground stands at that slope.",
)  # fmt: skip

BUCKET_VOLUME = Formula(
    id="loading.bucket_volume",
    title="Loose ground in one bucket",
    words="The bucket's heaped capacity, times how full it gets.",
    written="bucket_capacity * fill",
    result=Output("V_load", "loose_volume", "loose ground in one bucket"),
    inputs=(BUCKET_CAPACITY, FILL),
    source=Source("sae-j296", "fill factor: volume used over heaped capacity"),
    limits="Fill changes with the ground and the operator. Count buckets to check it.",
)

BUCKET_LOAD = Formula(
    id="loading.bucket_load",
    title="Weight of one bucket load",
    words="The bucket's heaped capacity, times how full it gets, times the weight of loose ground.",
    written="bucket_capacity * fill * loose_density",
    result=Output("M_bucket", "mass", "weight in one bucket"),
    inputs=(BUCKET_CAPACITY, FILL, LOOSE_DENSITY),
    source=Source("sae-j296", "fill factor: volume used over heaped capacity"),
    limits="The density is that of loose ground, not of the bank. Wet ground weighs more. The lifting chart of the machine still holds.",
)

DENSITY_CHECK = Formula(
    id="loading.density_check",
    title="Loose density from the weight in a bucket",
    words="The weight in a bucket over the volume in it. Less than the ground should weigh means "
    "lighter ground or a bucket less full than thought.",
    written="mass_per_bucket / (bucket_capacity * fill)",
    result=Output("D_loose", "density", "loose density the weight tells of"),
    inputs=(
        Input("mass_per_bucket", "M_bucket", "mass", "the measured weight of one bucket load",
              low="5 lb", high="400000 lb", example_us="5,000 lb", example_metric="2,000 kg"),
        BUCKET_CAPACITY,
        FILL,
    ),
    source=COMMON_PRACTICE,
    limits="It cannot tell light ground from a bucket that is not full: look into the bucket.",
)  # fmt: skip

# --- truck ----------------------------------------------------------------------------------

TRUCK_TARGET = Formula(
    id="loading.truck_target",
    title="Weight to put on the truck",
    words="The smaller of two: the rated payload, and the weight of ground the body holds.",
    written="least(payload, body_volume * heap * loose_density)",
    result=Output("M_target", "mass", "weight to put on the truck", limit="most"),
    inputs=(PAYLOAD, BODY_VOLUME, LOOSE_DENSITY, HEAP),
    source=COMMON_PRACTICE,
    limits="Never load over the rated payload. Axle limits on public roads may be lower.",
)

PASSES = Formula(
    id="loading.passes",
    title="Passes to fill the truck",
    words="The weight to put on the truck over the weight of a bucket load, up to the next full "
    "pass.",
    written="round_up(target / bucket_load)",
    result=Output("n", "count", "passes to fill the truck", at_least=1.0,
                  rounding="rounded up: the last pass may be a part bucket"),
    inputs=(TARGET, BUCKET_MASS),
    source=COMMON_PRACTICE,
    also=(Source("osm-worksheet-9", "the same division, but rounded down"),
          Source("co-drms-truck-loader", "the same kind of division, rounded to the nearest")),
    limits="Every pass but the last is a full bucket. A full last bucket may overload the truck: "
    "dig only the part that is missing. Some forms round down or to the nearest, and then the "
    "truck leaves part empty or overloaded.",
)  # fmt: skip

LAST_PASS = Formula(
    id="loading.last_pass",
    title="How full the last bucket is",
    words="The exact number of bucket loads, less the passes before the last one.",
    written="target / bucket_load - (round_up(target / bucket_load) - 1)",
    result=Output("f_last", "fraction", "part of a bucket in the last pass"),
    inputs=(TARGET, BUCKET_MASS),
    source=Source(None, "what is left of the target", "derived"),
    limits="Every pass but the last is a full bucket.",
)

CYCLE_TIME = Formula(
    id="loading.cycle_time",
    title="Cycle time of the excavator",
    words="Dig, swing to the truck, dump and swing back.",
    written="dig_time + 2 * swing_angle / swing_speed + dump_time",
    result=Output("t_cycle", "time", "cycle time", us="s", metric="s", work_us="s",
                  work_metric="s"),
    inputs=(
        Input("dig_time", "t_dig", "time", "the time to fill the bucket", low="0.5 s",
              high="180 s", work_us="s", work_metric="s", example_us="8 s", example_metric="8 s"),
        Input("swing_angle", "a", "angle", "the swing from the face to the truck", low="0 deg",
              high="180 deg", example_us="60 deg", example_metric="60 deg"),
        Input("swing_speed", "w", "turning", "the mean swing speed, starting and stopping included",
              low="3 deg/s", high="150 deg/s", example_us="20 deg/s", example_metric="20 deg/s"),
        Input("dump_time", "t_dump", "time", "the time to empty the bucket", low="0.3 s",
              high="60 s", work_us="s", work_metric="s", example_us="3 s", example_metric="3 s"),
    ),
    source=Source(None, "the parts of a cycle, one after the other", "derived"),
    limits="The swing back is as long as the swing out. With the top speed of a data sheet in "
    "place of a timed mean, the cycle comes out too short.",
)  # fmt: skip

TIME_TO_LOAD = Formula(
    id="loading.time_to_load",
    title="Time to load one truck",
    words="One cycle for every pass.",
    written="passes * cycle_time",
    result=Output("t_load", "time", "time to load one truck"),
    inputs=(PASSES_IN, CYCLE),
    source=Source("osm-worksheet-9", "load time: loader cycle times passes"),
    limits="From the first dig to the last dump. Time to change trucks is not in it.",
)

# --- output ---------------------------------------------------------------------------------

SWING_DEPTH = Input(
    "swing_depth_factor", "S", "factor", "the factor for swing and depth of cut", low="0.5",
    high="1.6", default="1", example_us="1.1", example_metric="1.1",
)  # fmt: skip

PRODUCTION = Formula(
    id="loading.production",
    title="Output of the excavator",
    words="The loose ground in one bucket, once every cycle, for the part of the hour that is "
    "worked.",
    written="bucket_capacity * fill * swing_depth_factor * efficiency / cycle_time",
    result=Output("P", "volume_rate", "loose ground an hour", work_us="yd3/min",
                  work_metric="m3/min"),
    inputs=(BUCKET_CAPACITY, FILL, SWING_DEPTH, EFFICIENCY, CYCLE),
    source=Source("hoe-trench-solution", "formula lines: cycles, factor, bucket, fill, efficiency"),
    also=(Source("nunnally", "chapter on excavators", "from memory"),),
    limits="Loose ground, and no waiting for trucks. Where the cycle was timed on this very job, "
    "leave the factor for swing and depth at its default.",
)  # fmt: skip

BANK_PRODUCTION = Formula(
    id="loading.bank_production",
    title="Output of the excavator in bank ground",
    words="The loose output, turned back into ground as it lay in the bank.",
    written="bucket_capacity * fill * swing_depth_factor * efficiency / (cycle_time * (1 + swell))",
    result=Output("P_bank", "volume_rate", "bank ground an hour", work_us="yd3/min",
                  work_metric="m3/min"),
    inputs=(
        *PRODUCTION.inputs,
        Input("swell", "s", "fraction", "how much the volume grows when dug", low="0",
              high="1.2", example_us="25%", example_metric="25%"),
    ),
    source=Source("hoe-trench-solution", "formula lines, with the load factor"),
    also=(Source("peurifoy", "hoe production", "from memory"),),
    limits="No waiting for trucks. The swell is that of bank ground to loose ground.",
)  # fmt: skip

# --- payload --------------------------------------------------------------------------------

MEASURED_LOAD = Input(
    "measured_load", "M_load", "mass", "the weight of one truck load off the scale", low="100 lb",
    high="1200000 lb", example_us="54,000 lb", example_metric="25,000 kg",
)  # fmt: skip

MASS_PER_BUCKET = Formula(
    id="loading.mass_per_bucket",
    title="Weight in a bucket, from the scale",
    words="The weight of the truck load, shared over the buckets that made it.",
    written="measured_load / measured_buckets",
    result=Output("M_bucket", "mass", "mean weight in a bucket"),
    inputs=(
        MEASURED_LOAD,
        Input("measured_buckets", "n", "count", "the buckets that made up that load", low="1",
              high="200", example_us="6", example_metric="6"),
    ),
    source=Source(None, "a plain mean", "derived"),
    limits="A mean: a part bucket counts as a whole one, so leave loads with one out.",
)  # fmt: skip

PAYLOAD_SHARE = Formula(
    id="loading.payload_share",
    title="Load against the rated payload",
    words="The weight of the load over the truck's rated payload.",
    written="measured_load / payload",
    result=Output("f", "fraction", "share of the rated payload"),
    inputs=(MEASURED_LOAD, PAYLOAD),
    source=Source(None, "a plain share", "derived"),
    limits="Over the whole payload the truck is overloaded: brakes, tyres and steering are rated for no more.",
)

PAYLOAD_TOTAL = Formula(
    id="loading.payload_total",
    title="Weight hauled in a shift",
    words="The loads hauled, times the weight of a load. Work it for each truck, material and "
    "operator apart, then add.",
    written="loads_hauled * measured_load",
    result=Output("M_total", "mass", "weight hauled", us="ton", metric="t", work_us="ton",
                  work_metric="t"),
    inputs=(
        Input("loads_hauled", "N", "count", "the loads this truck hauled of this material",
              low="1", high="5000", example_us="38", example_metric="38"),
        Input(MEASURED_LOAD.name, MEASURED_LOAD.symbol, "mass", MEASURED_LOAD.meaning,
              low=MEASURED_LOAD.low, high=MEASURED_LOAD.high, work_us="ton", work_metric="t",
              example_us="27 ton", example_metric="25 t"),
    ),
    source=Source(None, "a plain total", "derived"),
    limits="As good as the weight of the load is. One weighed load does not speak for a shift.",
)  # fmt: skip

# --- bucket and truck together --------------------------------------------------------------


def _truck_match(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    bucket = {i.name: given[i.name] for i in BUCKET_LOAD.inputs}
    truck = {i.name: given[i.name] for i in TRUCK_TARGET.inputs}
    load = BUCKET_LOAD.value(bucket)
    target = TRUCK_TARGET.value(truck)
    passes = PASSES(target=target, bucket_load=load)
    last = LAST_PASS(target=target, bucket_load=load)
    time = TIME_TO_LOAD(passes=passes, cycle_time=given["cycle_time"].si)
    payload = given["payload"].si
    by_weight = target >= payload
    chain = (
        Applied("bucket_load", BUCKET_LOAD, bucket),
        Applied("target", TRUCK_TARGET, truck),
        Applied("passes", PASSES, {"target": From("target"), "bucket_load": From("bucket_load")}),
        Applied("last_pass", LAST_PASS,
                {"target": From("target"), "bucket_load": From("bucket_load")}),
        Applied("load_time", TIME_TO_LOAD, {
            "passes": From("passes"), "cycle_time": given["cycle_time"],
        }),
    )  # fmt: skip
    governs = "the payload" if by_weight else "the body"
    note = Note(
        "The payload governs: the truck is at its rated weight before the body is full."
        if by_weight
        else "The body governs: it is full before the truck is at its rated weight."
    )
    values = {
        "load_time": Value(time, "time", TIME_TO_LOAD.result.meaning),
        "passes": Value(passes, "count", PASSES.result.meaning, rounding=PASSES.result.rounding),
        "last_pass": Value(last, "fraction", LAST_PASS.result.meaning),
        "governs": Value(governs, "text", "what sets the weight to put on the truck"),
        "target": Value(target, "mass", TRUCK_TARGET.result.meaning, limit="most"),
        "bucket_load": Value(load, "mass", BUCKET_LOAD.result.meaning),
        "all_full": Value(
            passes * load / payload, "fraction",
            "load with the last bucket full as well, as a share of the rated payload",
        ),
        "one_less": Value(
            (passes - 1) * load / target, "fraction",
            "share of the weight to put on that is there without the last pass",
        ),
    }  # fmt: skip
    return Outcome("load_time", values, (*chain[:2], note, *chain[2:]))


TRUCK_MATCH = Procedure(
    id="loading.truck_match",
    title="Bucket and truck together",
    words="From the bucket and the truck to the passes, the last bucket and the time to load.",
    inputs=(BUCKET_CAPACITY, FILL, LOOSE_DENSITY, PAYLOAD, BODY_VOLUME, HEAP, CYCLE),
    source=COMMON_PRACTICE,
    limits="Never load over the rated payload. The weights hold for ground of that density only.",
    run=_truck_match,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    BENCH_HEIGHT, GROUND_PRESSURE, BUCKET_HEAP, BUCKET_HEAPED, HEAP_VOLUME, BUCKET_VOLUME,
    BUCKET_LOAD, DENSITY_CHECK, TRUCK_TARGET, PASSES, LAST_PASS, CYCLE_TIME, TIME_TO_LOAD,
    TRUCK_MATCH, SWING_PLAN, FILL_BEARING, SQUARE_FILL_BEARING, SWING_TIME, PRODUCTION,
    BANK_PRODUCTION, SWING_DEPTH_FACTOR, DEPTH_SHARE, BETWEEN_SWINGS, BETWEEN_DEPTHS, TRUCK_CYCLE, AWAY_TIME,
    TRUCKS_NEEDED, BALANCE_NUMBER, MATCH_FACTOR, FLEET_OUTPUT, LOADS_BOUND, TIME_AT_LOADER,
    LOADS_WITH_WAITING, TURN_TIME, TRUCKS_MATCHED, FLEET_SCHEDULE, OUTPUT_BOUND, HAUL_OUTPUT, MASS_PER_BUCKET, PAYLOAD_SHARE, PAYLOAD_TOTAL, FULL_PASSES, PASS_TALLY,
    *BENCH_AND_STROKE, *PLACES, *STROKE_PARTS, *PRACTICE,
)  # fmt: skip
