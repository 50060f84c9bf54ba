"""Checks of the day: a machine looked over, fuel, a machine parked, heat and hours."""

from __future__ import annotations

from generator.calc.catalogue.daily_heat import CALCULATIONS as HEAT
from generator.calc.catalogue.daily_sag import CALCULATIONS as SAG
from generator.calc.catalogue.hauling import GRAVITY
from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure

TANK = Input(
    "fuel_tank", "V_tank", "liquid", "what the fuel tank holds", low="1 gal", high="2000 gal", example_us="85 gal", example_metric="320 L"
)
USE = Input("fuel_use", "q", "liquid_rate", "the fuel used in an hour at work", low="0.1 gal/h", high="150 gal/h", example_us="6 gal/h",
            example_metric="22 L/h")  # fmt: skip
RESERVE = Input("reserve", "p_reserve", "fraction", "the share of the tank that is never used up", low="0%", high="60%", example_us="25%",
                example_metric="25%")  # fmt: skip
NO_PROMISE = "The fuel used goes by the work, and a gauge is not exact. Look at the gauge again at midday."

FUEL_LASTS = Formula(
    id="daily.fuel_lasts",
    title="Hours of work the fuel in the tank lasts",
    words="The share in the tank less the share kept back, times the tank, divided by the fuel used in an hour.",
    written="fuel_tank * (gauge - reserve) / fuel_use",
    result=Output("t_fuel", "time", "hours the fuel lasts, down to the reserve", us="h", metric="h", work_us="h", work_metric="h", limit="most", places=1),
    inputs=(
        TANK,
        Input("gauge", "p_gauge", "fraction", "how full the gauge shows the tank", low="0%", high="100%", example_us="75%", example_metric="75%"),
        RESERVE,
        USE,
    ),
    requires=(("reserve", "gauge", "the tank is below the reserve already"),),
    source=Source(None, "what is in the tank, divided by what an hour takes", "derived"),
    limits=NO_PROMISE,
)  # fmt: skip

START_LEVEL = Formula(
    id="daily.start_level",
    title="How full the tank must be when the shift starts",
    words="The hours of the shift, times the fuel used in an hour, divided by the tank, and the share kept back.",
    written="shift_time * fuel_use / fuel_tank + reserve",
    result=Output("p_start", "fraction", "least share of the tank at the start", limit="least", places=0),
    inputs=(
        Input("shift_time", "t_shift", "time", "the length of the shift", low="0.5 h", high="24 h", work_us="h", work_metric="h",
              example_us="8 h", example_metric="8 h"),
        USE, TANK, RESERVE,
    ),
    source=FUEL_LASTS.source,
    limits="Over a full tank means that the machine is fueled again in the shift. " + NO_PROMISE,
)  # fmt: skip

LANDING_SPEED = Formula(
    id="daily.landing_speed",
    title="How fast one lands who jumps off",
    words="The root of twice gravity times the height.",
    written="sqrt(2 * gravity * height)",
    result=Output("v", "speed", "speed at the ground", us="mph", metric="km/h", work_us="ft/s", work_metric="m/s", places=0),
    inputs=(Input("height", "h", "length", "the height jumped from", low="0.5 ft", high="20 ft", example_us="4 ft", example_metric="1.2 m"),),
    constants=(GRAVITY,),
    source=Source(None, "free fall from rest", "derived"),
    limits="The feet alone. Whoever stumbles falls from higher than that. No height is safe to jump from with a machine beside you.",
)  # fmt: skip

ROLL_SPEED = Formula(
    id="daily.roll_speed",
    title="How fast a vehicle goes that rolls off downhill",
    words="The root of twice gravity times the distance, times the grade less what the ground takes from the wheels.",
    written="sqrt(2 * gravity * distance * (grade - rolling_resistance) / sqrt(1 + grade**2))",
    result=Output("v", "speed", "speed after that distance", us="mph", metric="km/h", work_us="ft/s", work_metric="m/s", places=0),
    inputs=(
        Input("distance", "d", "length", "the distance rolled, along the slope", low="1 ft", high="2000 ft", example_us="50 ft", example_metric="15 m"),
        Input("grade", "G", "grade", "the grade it stands on", low="0.5%", high="60%", example_us="8%", example_metric="8%"),
        Input("rolling_resistance", "r", "resistance", "what the ground takes from the wheels, as a part of the weight", low="0 lb/ton",
              high="500 lb/ton", default="40 lb/ton", work_us="1", work_metric="1", example_us="40 lb/ton", example_metric="20 kg/t"),
    ),
    positive=(("grade - rolling_resistance", "on this ground it does not start to roll by itself"),),
    constants=(GRAVITY,),
    source=Source(None, "weight along the slope less rolling resistance, over a distance", "derived"),
    also=(Source("osha-1926-600-parking", "brake set, and wheels chocked on an incline"), Source("msha-56-14206", "a mine rule on the same")),
    limits="Wheels that turn freely, no brake, no gear, from a standstill. What does not start by itself can still be set off by a bump or a push.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (FUEL_LASTS, START_LEVEL, LANDING_SPEED, ROLL_SPEED, *SAG, *HEAT)
