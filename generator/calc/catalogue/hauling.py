"""Haul roads and tips: stopping, following, road width, runaways, standing and dumping at the tip.

What slows a truck is the smaller of two shares of its weight: what its brakes hold and what the
ground grips. A grade adds to it uphill and takes from it downhill.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import COMMON_PRACTICE, Constant, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.steps import Applied, Column, From, Outcome, Rows, Value
from generator.calc.tables import Table
from generator.language.words import mark
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System, to_si

BRAKE_TABLE = "haul-brake-test"
LEAST_LEFT = 0.02
"""Less than this share of the weight left to slow a truck down is none."""
SHARES = (0.75, 0.5, 0.25, 0.0)
"""Parts of the speed it had, as a stop tells them."""

AASHTO = Source("aashto-green-book", "stopping sight distance: reaction and braking distance, with the grade")
BRAKE_RULE = Source("msha-56-14101", "Table M-1 and the note below it")
MANUAL = Source("usbm-ic-8758", "lane width", "from memory")
ON_A_HILL = (
    "Of steady braking on a straight, even road. Worn or hot brakes, a load over the rated payload, loose gravel, mud or ice need "
    "far more. The truck's manual and a brake test on this site go before it."
)
GRAVITY = Constant(
    "gravity", "g", "gravity", "how much faster a falling thing gets each second", us="32.174 ft/s2", metric="9.80665 m/s2",
    source=Source(None, "standard gravity", "derived"),
)  # fmt: skip

# --- inputs that stand in more than one formula ---------------------------------------------

SPEED = Input(
    "speed", "v", "speed", "the speed of the truck", low="0.5 mph", high="70 mph", work_us="ft/s", work_metric="m/s",
    example_us="20 mph", example_metric="30 km/h",
)  # fmt: skip
TIME = Input(
    "reaction_time", "t", "time", "the time from seeing the danger until the brakes bite", low="0.5 s", high="8 s",
    work_us="s", work_metric="s", example_us="4 s", example_metric="4 s",
)  # fmt: skip
FRICTION = Input(
    "friction", "f", "factor", "what slows it on the level, as a share of its weight: the less of brakes and grip", low="0.05",
    high="1", example_us="0.3", example_metric="0.3",
)  # fmt: skip
GRADE = Input(
    "grade", "G", "grade", "the grade of the road", low="0%", high="25%", example_us="8%", example_metric="8%",
)  # fmt: skip
SLOWING = Input(
    "slowing", "a", "factor", "what slows it on this grade, as a share of its weight", low="0.01", high="1.3",
    example_us="0.22", example_metric="0.22",
)  # fmt: skip
SIGHT = Input(
    "sight_distance", "S", "length", "how far ahead the driver can see the road", low="10 ft", high="3000 ft",
    example_us="150 ft", example_metric="45 m",
)  # fmt: skip
DIRECTION = Choice("direction", "which way the truck goes", ("level", "uphill", "downhill"), default="level")
DOWN_DIRECTION = Choice("direction", "which way the truck goes", ("level", "uphill", "downhill"), default="downhill")
# a road is level unless its grade is given
ANY_GRADE = Input(
    GRADE.name, GRADE.symbol, GRADE.kind, GRADE.meaning, low=GRADE.low, high=GRADE.high, default="0%",
    example_us="8%", example_metric="8%",
)  # fmt: skip

# --- until the brakes bite -------------------------------------------------------------------

LOADED_MASS = Formula(
    id="hauling.loaded_mass",
    title="Weight of the truck with its load",
    words="The empty truck and its rated payload.",
    written="empty_mass + payload",
    result=Output("M", "mass", "weight of the loaded truck"),
    inputs=(
        Input("empty_mass", "M_empty", "mass", "the weight of the truck empty, ready to work", low="2000 lb", high="1000000 lb",
              example_us="50,000 lb", example_metric="23,000 kg"),
        Input("payload", "M_payload", "mass", "the rated payload of the truck", low="1000 lb", high="1000000 lb",
              example_us="60,000 lb", example_metric="28,000 kg"),
    ),
    source=Source(None, "a plain sum", "derived"),
    limits="At the rated payload. An overloaded truck needs longer to stop, and its brakes may not hold it.",
)  # fmt: skip

DRIVER_TIME = Input(
    "driver_time", "t_driver", "time", "the time the driver needs to see, grasp and press the brake", low="0.5 s", high="5 s",
    default="2.5 s", work_us="s", work_metric="s", example_us="2.5 s", example_metric="2.5 s",
)  # fmt: skip

TIME_TO_BITE = Formula(
    id="hauling.time_to_bite",
    title="Time until the brakes bite",
    words="The time of the driver, and then the time of the brakes.",
    written="driver_time + brake_time",
    result=Output("t", "time", "time from seeing the danger until the brakes bite", us="s", metric="s", work_us="s", work_metric="s",
                  limit="least"),
    inputs=(
        DRIVER_TIME,
        Input("brake_time", "t_brake", "time", "the time the brakes need to bite", low="0.2 s", high="4 s", work_us="s",
              work_metric="s", example_us="1.5 s", example_metric="1.5 s"),
    ),
    source=Source("aashto-green-book", "brake reaction time of a driver who is not warned"),
    also=(BRAKE_RULE,),
    limits="For a driver who is awake and looks at the road. Tired, or with a radio in hand, it takes longer.",
)  # fmt: skip


def _row_of(mass: float, table: Table) -> str:
    """The row that holds ``mass`` [kg]: the last whose weights begin at or below it, which is the slower one at an end."""
    rows = [row for row in table.rows if to_si(table.cell(row, "from").low, "lb", "mass") <= mass * (1 + 1e-9)]
    return rows[-1]


def _reaction(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    table = tables[BRAKE_TABLE]
    truck = {name: given[name] for name in ("empty_mass", "payload")}
    mass = LOADED_MASS(**{name: q.si for name, q in truck.items()})
    row = _row_of(mass, table)
    brakes = Quantity.read(f"{table.cell(row, 'brakes bite after').text} s", "time")
    whole = TIME_TO_BITE(driver_time=given["driver_time"].si, brake_time=brakes.si)
    return Outcome(
        "time",
        {
            "time": Value(whole, "time", TIME_TO_BITE.result.meaning, us="s", metric="s", limit="least"),
            "brake_time": Value(brakes.si, "time", "time the brakes need to bite, by weight", us="s", metric="s"),
            "test_distance": Value(to_si(table.cell(row, "20 mph").low, "ft", "length"), "length",
                                   "farthest this truck may take in the brake test of the mine rule, from 20 mph", limit="most"),
            "mass": Value(mass, "mass", LOADED_MASS.result.meaning),
        },
        (
            Applied("mass", LOADED_MASS, dict(truck)),
            Rows(
                "How long brakes take to bite",
                (Column("Weight of the loaded truck, lb", "text"), Column("Time", "time", us="s", metric="s"), Column("", "text")),
                tuple(
                    (name, table.cell(name, "brakes bite after").low, "this truck" if name == row else "") for name in table.rows
                ),
            ),
            Applied("time", TIME_TO_BITE, {"driver_time": given["driver_time"], "brake_time": brakes}),
        ),
    )  # fmt: skip


REACTION_TIME = Procedure(
    id="hauling.reaction_time",
    title="How long until the brakes of this truck bite",
    words="The driver sees, grasps and presses. Then the brakes take their own time, longer on a heavier truck.",
    inputs=(*LOADED_MASS.inputs, DRIVER_TIME),
    source=BRAKE_RULE,
    also=(Source("aashto-green-book", "brake reaction time of a driver who is not warned"),),
    limits="The times of the brakes are those that a United States mine rule (30 CFR 56.14101 and 57.14101) reckons with in its brake "
    "test. A truck with air in its lines, or cold oil, is slower. The truck's manual goes before it.",
    run=_reaction,
    tables=(BRAKE_TABLE,),
)

REACTION_DISTANCE = Formula(
    id="hauling.reaction_distance",
    title="How far a truck rolls before its brakes bite",
    words="Speed times the time from seeing the danger until the brakes bite.",
    written="speed * reaction_time",
    result=Output("d_roll", "length", "distance rolled before the brakes bite", limit="least"),
    inputs=(SPEED, TIME),
    source=AASHTO,
    limits="The truck has not slowed down at all yet. Braking comes after it.",
)

# --- what slows it ----------------------------------------------------------------------------

HOLD = Formula(
    id="hauling.hold",
    title="What slows a truck on the level",
    words="The smaller of two shares of its weight: what its brakes hold, and what the ground grips.",
    written="least(brakes, grip)",
    result=Output("f", "factor", "share of the weight that slows the truck", limit="most"),
    inputs=(
        Input("brakes", "f_brakes", "factor", "what the brakes hold, as a share of the weight", low="0.05", high="0.8",
              default="0.3", example_us="0.3", example_metric="0.3"),
        Input("grip", "μ", "factor", "the grip of the tires on this road, as a share of the weight", low="0.05", high="1",
              default="0.2", example_us="0.4", example_metric="0.4"),
    ),
    source=BRAKE_RULE,
    limits="Unless the site has tested its trucks, the brakes are taken as the least that the mine rule's test reckons with. "
    "A grip that no site gives is taken as low as that of a wet dirt road (common practice, no source). "
    "The grip of a road changes with each shower and each pass of the water truck.",
)  # fmt: skip

SLOWING_DOWNHILL = Formula(
    id="hauling.slowing_downhill",
    title="What slows a truck down a grade",
    words="What slows it on the level, less the grade.",
    written="friction - grade",
    result=Output("a", "factor", "share of the weight that slows the truck down this grade", limit="most"),
    inputs=(FRICTION, GRADE),
    source=AASHTO,
    limits="Where the grade takes all of it, no brake stops the truck.",
)
SLOWING_UPHILL = Formula(
    id="hauling.slowing_uphill",
    title="What slows a truck up a grade",
    words="What slows it on the level, and the grade.",
    written="friction + grade",
    result=Output("a", "factor", "share of the weight that slows the truck up this grade", limit="most"),
    inputs=(FRICTION, GRADE),
    source=AASHTO,
    limits="A truck that stops uphill can roll back: hold it on the brake.",
)
SLOWING_DISTANCE = Formula(
    id="hauling.slowing_distance",
    title="Distance from braking to standing",
    words="The speed by itself, over twice the pull of gravity and the share that slows the truck. Twice the speed takes four times as far.",
    written="speed**2 / (2 * gravity * slowing)",
    result=Output("d_brake", "length", "distance from where the brakes bite to where the truck stands", limit="least"),
    inputs=(SPEED, SLOWING),
    constants=(GRAVITY,),
    source=AASHTO,
    limits=ON_A_HILL,
)
WHOLE_DISTANCE = Formula(
    id="hauling.whole_distance",
    title="Distance rolled and distance braked together",
    words="What the truck rolls, and what it takes to brake.",
    written="rolled + braked",
    result=Output("d_stop", "length", "distance from seeing the danger to standing", limit="least"),
    inputs=(
        Input("rolled", "d_roll", "length", "the distance rolled before the brakes bite", low="0.5 ft", high="1000 ft",
              example_us="118 ft", example_metric="34 m"),
        Input("braked", "d_brake", "length", "the distance from there to standing", low="0.05 ft", high="20000 ft",
              example_us="45 ft", example_metric="12 m"),
    ),
    source=AASHTO,
    limits=ON_A_HILL,
)  # fmt: skip


def _slowing(inputs: Mapping[str, Quantity | str], direction: str) -> tuple[float, tuple[Applied, ...], Quantity | From]:
    """The share of the weight that slows the truck, the step that tells it, and what the next step takes.

    Raises CalculationError where none is left.
    """
    friction, grade = inputs["friction"], inputs.get("grade")
    assert isinstance(friction, Quantity)
    if grade is None or direction == "level":
        if isinstance(grade, Quantity) and grade.si > 0:
            raise CalculationError(
                "a level road has no grade", "say uphill or downhill, or leave the grade out", about=("grade", "direction")
            )
        return friction.si, (), friction
    assert isinstance(grade, Quantity)
    formula = SLOWING_UPHILL if direction == "uphill" else SLOWING_DOWNHILL
    if direction == "downhill" and friction.si - grade.si < LEAST_LEFT:
        raise CalculationError(
            "the grade takes all that slows the truck: no brake stops it there",
            "keep trucks off this grade until it grips, or give the grip that was tested on it",
            about=("grade", "friction"),
        )
    slowing = formula(friction=friction.si, grade=grade.si)
    return slowing, (Applied("slowing", formula, {"friction": friction, "grade": grade}),), From("slowing")


def _braking(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    speed = inputs["speed"]
    assert isinstance(speed, Quantity)
    slowing, told, share = _slowing(inputs, str(inputs["direction"]))
    braked = SLOWING_DISTANCE(speed=speed.si, slowing=slowing)
    return Outcome(
        "braked",
        {
            "braked": Value(braked, "length", SLOWING_DISTANCE.result.meaning, limit="least"),
            "slowing": Value(slowing, "factor", SLOWING.meaning),
        },
        (*told, Applied("braked", SLOWING_DISTANCE, {"speed": speed, "slowing": share})),
    )


BRAKING_DISTANCE = Procedure(
    id="hauling.braking_distance",
    title="Braking distance on a grade",
    words="What slows the truck on this grade, then how far it goes until it stands.",
    inputs=(SPEED, FRICTION, ANY_GRADE, DIRECTION),
    source=AASHTO,
    limits=f"It leaves out what the truck rolls before its brakes bite. {ON_A_HILL}",
    run=_braking,
)


def _moments(speed: float, time: float, slowing: float) -> Rows:
    """How a stop goes on: from seeing the danger until it stands, time [s], speed [m/s] and distance [m] each."""
    pull = slowing * GRAVITY.si
    rows: list[tuple[float | str, ...]] = [
        ("sees the danger", 0.0, speed, 0.0),
        ("rolls on", time / 2, speed, speed * time / 2),
        ("the brakes bite", time, speed, speed * time),
    ]
    for share in SHARES:
        left = share * speed
        rows.append((mark("stands") if not share else "slows down", time + (speed - left) / pull, left,
                     speed * time + (speed * speed - left * left) / (2 * pull)))  # fmt: skip
    return Rows(
        "How it stops",
        (Column("Truck", "text"), Column("Time", "time", us="s", metric="s"), Column("Speed", "speed", us="mph", metric="km/h"),
         Column("Gone so far", "length", limit="least")),
        tuple(rows),
    )  # fmt: skip


def _stopping(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    speed, time = inputs["speed"], inputs["reaction_time"]
    assert isinstance(speed, Quantity) and isinstance(time, Quantity)
    slowing, told, share = _slowing(inputs, str(inputs.get("direction", "downhill")))
    rolled = REACTION_DISTANCE(speed=speed.si, reaction_time=time.si)
    braked = SLOWING_DISTANCE(speed=speed.si, slowing=slowing)
    return Outcome(
        "distance",
        {
            "distance": Value(WHOLE_DISTANCE(rolled=rolled, braked=braked), "length", WHOLE_DISTANCE.result.meaning, limit="least"),
            "rolled": Value(rolled, "length", REACTION_DISTANCE.result.meaning, limit="least"),
            "braked": Value(braked, "length", SLOWING_DISTANCE.result.meaning, limit="least"),
            "slowing": Value(slowing, "factor", SLOWING.meaning),
        },
        (
            Applied("rolled", REACTION_DISTANCE, {"speed": speed, "reaction_time": time}),
            *told,
            Applied("braked", SLOWING_DISTANCE, {"speed": speed, "slowing": share}),
            Applied("distance", WHOLE_DISTANCE, {"rolled": From("rolled"), "braked": From("braked")}),
            _moments(speed.si, time.si, slowing),
        ),
    )


STOPPING_DISTANCE = Procedure(
    id="hauling.stopping_distance",
    title="Stopping distance",
    words="The truck rolls until its brakes bite, and then it brakes until it stands.",
    inputs=(SPEED, TIME, FRICTION, ANY_GRADE, DIRECTION),
    source=AASHTO,
    also=(BRAKE_RULE,),
    limits=ON_A_HILL,
    run=_stopping,
)
DOWNHILL_STOP = Procedure(
    id="hauling.downhill_stop",
    title="Stopping distance down a grade",
    words="As on the level, but the grade takes from what slows the truck.",
    inputs=(SPEED, TIME, FRICTION, GRADE),
    source=AASHTO,
    also=(BRAKE_RULE,),
    limits=ON_A_HILL,
    run=_stopping,
)

# --- speed, following --------------------------------------------------------------------------

SIGHT_SPEED = Formula(
    id="hauling.sight_speed",
    title="Speed from which a truck stops in a distance",
    words="The speed at which rolling on and braking together take just that distance.",
    written="sqrt((slowing * gravity * reaction_time)**2 + 2 * slowing * gravity * sight_distance) - slowing * gravity * reaction_time",
    result=Output("v", "speed", "speed from which the truck stops in that distance", work_us="ft/s", work_metric="m/s", limit="most"),
    inputs=(SIGHT, TIME, SLOWING),
    constants=(GRAVITY,),
    source=AASHTO,
    limits=f"A ceiling, never a speed to drive at: the site's limit and the truck's manual hold as well. {ON_A_HILL}",
)


def _for_sight(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    sight, time = inputs["sight_distance"], inputs["reaction_time"]
    assert isinstance(sight, Quantity) and isinstance(time, Quantity)
    slowing, told, share = _slowing(inputs, str(inputs["direction"]))
    speed = SIGHT_SPEED(sight_distance=sight.si, reaction_time=time.si, slowing=slowing)
    return Outcome(
        "speed",
        {
            "speed": Value(speed, "speed", SIGHT_SPEED.result.meaning, limit="most"),
            "slowing": Value(slowing, "factor", SLOWING.meaning),
        },
        (*told, Applied("speed", SIGHT_SPEED, {"sight_distance": sight, "reaction_time": time, "slowing": share})),
    )


SPEED_FOR_SIGHT = Procedure(
    id="hauling.speed_for_sight",
    title="Speed from which a truck stops in the distance its driver sees",
    words="What slows the truck on this grade, then the speed from which rolling and braking together take no more than what is seen.",
    inputs=(SIGHT, TIME, FRICTION, ANY_GRADE, DOWN_DIRECTION),
    source=AASHTO,
    limits=f"A ceiling, never a speed to drive at: the site's limit and the truck's manual hold as well. {ON_A_HILL}",
    run=_for_sight,
)

SPEED_KEPT = Formula(
    id="hauling.speed_kept",
    title="The lower of two speeds",
    words="The site's limit, or what else holds: by the truck's manual down this grade, or by what the driver sees. The lower one counts.",
    written="least(site_speed, other_speed)",
    result=Output("v_most", "speed", "highest speed that keeps to both", work_us="mph", work_metric="km/h", limit="most"),
    inputs=(
        Input("site_speed", "v_site", "speed", "the highest speed on this site's haul roads", low="1 mph", high="60 mph", work_us="mph",
              work_metric="km/h", example_us="20 mph", example_metric="30 km/h"),
        Input("other_speed", "v_other", "speed", "the other speed that holds", low="0.1 mph", high="200 mph", work_us="mph",
              work_metric="km/h", example_us="14 mph", example_metric="22 km/h"),
    ),
    source=COMMON_PRACTICE,
    limits="Dust, dark, rain, a turn or a soft shoulder ask for less.",
)  # fmt: skip

FOLLOWING_DISTANCE = Formula(
    id="hauling.following_distance",
    title="Distance to the truck in front",
    words="The whole stopping distance, or what the site asks for, whichever is more. The truck in front may hit something and stand at once.",
    written="greatest(stopping_distance, site_distance)",
    result=Output("d_follow", "length", "least distance to the truck in front", limit="least"),
    inputs=(
        Input("stopping_distance", "d_stop", "length", "the stopping distance of your own truck", low="2 ft", high="20000 ft",
              example_us="163 ft", example_metric="46 m"),
        Input("site_distance", "d_site", "length", "the least distance by the site's rule", low="2 ft", high="20000 ft",
              example_us="150 ft", example_metric="50 m"),
    ),
    source=COMMON_PRACTICE,
    limits="On the road and the grade the stopping distance was worked for. Wet, downhill or dusty takes more.",
)  # fmt: skip

FOLLOWING_TIME = Formula(
    id="hauling.following_time",
    title="Seconds to count behind the truck in front",
    words="The distance over the speed, up to the next whole second.",
    written="following_distance / speed",
    result=Output("t_follow", "time", "time to count behind the truck in front", us="s", metric="s", work_us="s", work_metric="s",
                  places=0, limit="least"),
    inputs=(
        Input("following_distance", "d_follow", "length", "the distance to keep", low="2 ft", high="20000 ft", example_us="163 ft",
              example_metric="46 m"),
        SPEED,
    ),
    source=Source(None, "distance over speed", "derived"),
    limits="Count from when the tail of the truck in front passes a mark until your own front does. At a lower speed the same count is "
    "a shorter distance.",
)  # fmt: skip

# --- the road ----------------------------------------------------------------------------------

ROAD_WIDTH = Formula(
    id="hauling.road_width",
    title="Width of a straight haul road",
    words="One and a half truck widths for each lane, and half a width more: half a width is free on each side of every truck.",
    written="(1.5 * lanes + 0.5) * truck_width",
    result=Output("W", "length", "width of the road, berms and ditches not counted", limit="least"),
    inputs=(
        Input("truck_width", "w", "length", "the widest part of the widest truck on the road", low="5 ft", high="40 ft",
              example_us="10 ft", example_metric="3 m"),
        Input("lanes", "n", "count", "the lanes beside each other", low="1", high="6", example_us="2", example_metric="2"),
    ),
    source=Source("msha-haulage-slides", "slide 23: one shared gap between two lanes"),
    also=(MANUAL,),
    limits="Guidance of the United States federal manual of 1977 for mine roads, on the straight. Curves, and the long swing of a "
    "truck in them, take more. No federal rule gives a width; the site's plan does.",
)  # fmt: skip

RUNAWAY_SPEED = Formula(
    id="hauling.runaway_speed",
    title="Speed of a truck that rolls down a grade unbraked",
    words="What it had, and what the grade adds on the way, less what the ground takes.",
    written="sqrt(speed**2 + 2 * gravity * (grade - rolling_resistance) * distance)",
    result=Output("v_end", "speed", "speed at the end of that distance", work_us="ft/s", work_metric="m/s"),
    inputs=(
        SPEED,
        GRADE,
        Input("rolling_resistance", "r", "resistance", "the pull the ground takes from the tires", low="0 lb/ton", high="500 lb/ton", default="0 lb/ton",
              work_us="1", work_metric="1", example_us="60 lb/ton", example_metric="30 kg/t"),
        Input("distance", "D", "length", "the distance it rolls", low="1 ft", high="20000 ft", example_us="300 ft",
              example_metric="90 m"),
    ),
    constants=(GRAVITY,),
    positive=(("grade - rolling_resistance", "the ground takes all the grade gives: the truck gains no speed"),),
    source=Source(None, "energy: height lost, less what the ground takes", "derived"),
    also=(AASHTO,),
    limits="With no brake, retarder or engine on it. Air is left out, which slows a truck little at such speeds.",
)  # fmt: skip

# --- the tip -----------------------------------------------------------------------------------

TIP_STAND = Formula(
    id="hauling.tip_stand",
    title="How far the rear wheels stay from the edge at a tip",
    words="The width of the berm on the ground, or the site's distance from an edge, whichever is more.",
    written="greatest(berm_base, edge_distance)",
    result=Output("d", "length", "least distance of the rear wheels from the edge", places=2, limit="least"),
    inputs=(
        Input("berm_base", "B", "length", "the width of the berm on the ground", low="0.5 ft", high="200 ft",
              example_us="9 ft", example_metric="3 m"),
        Input("edge_distance", "e", "length", "the site's least distance from an edge", low="0.5 ft", high="100 ft",
              example_us="6 ft", example_metric="2 m"),
    ),
    source=Source(None, "two distances that both hold", "derived"),
    also=(Source("msha-dump-points", "the berm is a mark, and no stop"),),
    limits="Only on ground that a competent person has looked at today. An edge that is cracked, wet, soft, freshly filled, or dug away "
    "below needs far more: dump short. The wheels never touch the berm. It will not stop a truck, and it says nothing of how "
    "the slope holds.",
)  # fmt: skip

DUMP_SHORT = Formula(
    id="hauling.dump_short",
    title="How far back of a bad edge a load is dumped",
    words="One truck length, or the distance of the rear wheels from the edge, whichever is more.",
    written="greatest(truck_length, tip_stand)",
    result=Output("d_short", "length", "least distance from the crack or sag, or from the edge, to dump short at", limit="least"),
    inputs=(
        Input("truck_length", "L", "length", "the whole length of the truck", low="8 ft", high="80 ft", example_us="33 ft",
              example_metric="10 m"),
        Input("tip_stand", "d", "length", "the distance the rear wheels keep from the edge", low="0.5 ft", high="200 ft",
              example_us="9 ft", example_metric="3 m"),
    ),
    source=Source("msha-dump-points", "dump one truck length back, then push over"),
    limits="Guidance for mines in the United States. Where a crack or a sag is seen, count from it, not from the edge, and let a "
    "competent person say how far. It says nothing of how the slope holds.",
)  # fmt: skip

BODY_UP_GAP = Formula(
    id="hauling.body_up_gap",
    title="Room left under a wire with the body up",
    words="The height of the lowest wire, less the height of the raised body, less the distance to keep.",
    written="line_height - body_up_height - clearance",
    result=Output("g", "length", "room left above the raised body", at_least=None, places=2, limit="most"),
    inputs=(
        Input("line_height", "H_line", "length", "the height of the lowest wire above the ground", low="5 ft", high="500 ft",
              example_us="50 ft", example_metric="15 m"),
        Input("body_up_height", "H_body", "length", "the highest point of the truck with its body up", low="6 ft", high="80 ft",
              example_us="20 ft", example_metric="6 m"),
        Input("clearance", "d", "length", "the distance to keep from the line", low="4 ft", high="200 ft", example_us="15 ft",
              example_metric="5 m"),
    ),
    source=Source("osha-1926-600", "items (i) and (ii)"),
    limits="Below zero the raised body comes too near: tip elsewhere. A load that sticks, a soft spot or a gust lifts and sways it. "
    "Wires sag in heat and under ice. Ask the line's owner for its height; never measure it.",
)  # fmt: skip

BODY_LEAN = Formula(
    id="hauling.body_lean",
    title="How far a raised body leans out on a cross slope",
    words="The height of the raised body times the fall across.",
    written="body_up_height * cross_slope",
    result=Output("e", "length", "how far the top of the raised body leans to the low side"),
    inputs=(
        BODY_UP_GAP.inputs[1],
        Input("cross_slope", "s", "grade", "the fall of the ground across the truck", low="0%", high="30%", example_us="3%",
              example_metric="3%"),
    ),
    source=Source(None, "geometry of a slope", "derived"),
    limits="It tells which way the weight goes, and no slope that would be safe. A load that sticks on one side, a soft wheel or wind "
    "adds to it. Tip on level ground.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    REACTION_TIME, LOADED_MASS, TIME_TO_BITE, REACTION_DISTANCE, HOLD, SLOWING_DOWNHILL, SLOWING_UPHILL, SLOWING_DISTANCE,
    WHOLE_DISTANCE, BRAKING_DISTANCE, STOPPING_DISTANCE, DOWNHILL_STOP, SIGHT_SPEED, SPEED_FOR_SIGHT, SPEED_KEPT, FOLLOWING_DISTANCE,
    FOLLOWING_TIME, ROAD_WIDTH, RUNAWAY_SPEED, TIP_STAND, DUMP_SHORT, BODY_UP_GAP, BODY_LEAN,
)  # fmt: skip
