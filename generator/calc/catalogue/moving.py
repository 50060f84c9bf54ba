"""Moving a machine on a trailer: masses and tie-downs.

The count of tie-downs goes by the United States federal rule for trucks on public roads. A tie-down
from the trailer to the machine counts there for half its working load limit.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Note, Outcome, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

HALF = Source("cfr-49-393-106", "(d): half the weight, and half of each tie-down to the machine")
FOUR = Source("cfr-49-393-130", "(c): four for a machine of 10,000 lb and more")
_SUM = Source(None, "the weights added up", "derived")
_PLACES = Source(None, "heights added up", "derived")
_LEVER = Source(None, "a beam on two supports", "derived")

_MASS = Input(
    "mass", "m", "mass", "the weight of the machine as it travels, with all that is on it", low="1000 lb", high="400000 lb",
    example_us="45000 lb", example_metric="20 t",
)  # fmt: skip
_MACHINE = Input(
    "machine", "m", "mass", "the weight of the machine as it travels, with all that is on it", low="1000 lb", high="400000 lb",
    example_us="45000 lb", example_metric="20 t",
)  # fmt: skip
_ROAD = (
    "Roads, bridges and permits limit it, each on its own: ask the carrier and the road's owner. Weigh it where you can. A weight "
    "from a data sheet leaves out mud, water, fuel, a heavier bucket and tools."
)
_RULE = (
    "United States federal rule for trucks on public roads; states, other countries, the permit and the machine's manual may ask "
    "for more. The working load limit is that of the weakest piece: chain, hook, binder or anchor point. Tie at the points the "
    "maker marks. Boom, bucket, blade and all else that can move is lowered and tied by itself."
)

GROSS = Formula(
    id="moving.gross",
    title="Weight of truck, trailer and machine",
    words="The three weights added up.",
    written="truck + trailer + machine",
    result=Output("m_all", "mass", "weight of all that rolls", limit="least"),
    inputs=(
        Input("truck", "m_truck", "mass", "the weight of the truck that pulls, ready to go", low="3000 lb", high="120000 lb",
              example_us="20000 lb", example_metric="9 t"),
        Input("trailer", "m_trailer", "mass", "the weight of the empty trailer", low="500 lb", high="150000 lb",
              example_us="25000 lb", example_metric="11 t"),
        _MACHINE,
    ),
    source=_SUM,
    limits=_ROAD,
)  # fmt: skip

TIE_DOWN_TOTAL = Formula(
    id="moving.tie_down_total",
    title="What all tie-downs together must be good for",
    words="Half the weight of the machine, at least.",
    written="mass / 2",
    result=Output("W_all", "mass", "working load limit of all tie-downs together, as the rule counts them", limit="least"),
    inputs=(_MASS,),
    source=HALF,
    limits=_RULE,
)

TIE_DOWNS = Formula(
    id="moving.tie_downs",
    title="How many tie-downs, each from the trailer to the machine",
    words="Half the machine's weight, over half the working load limit of one, as only half of it counts. Up to a whole one, and "
    "four at least.",
    written="round_up(greatest(mass / 2 / (counted * working_load), corners))",
    result=Output("n", "count", "tie-downs for the machine itself", rounding="rounded up", limit="least"),
    inputs=(
        _MASS,
        Input("working_load", "W", "mass", "the working load limit of one tie-down: that of its weakest piece", low="500 lb",
              high="100000 lb", example_us="11300 lb", example_metric="5 t"),
    ),
    constants=(
        Constant("counted", "c", "factor", "what counts of a tie-down that runs from the trailer to the machine", us="0.5", metric="0.5",
                 source=HALF),
        Constant("corners", "n_least", "count", "one at each corner", us="4", metric="4", source=FOUR),
    ),
    source=HALF,
    also=(FOUR, Source("cfr-49-393-108", "(a): the weakest piece counts"), Source("drivers-handbook-cargo", "chapter on heavy machinery: attachments lowered and tied, parking brake set")),
    limits=f"Each runs from the trailer to the machine. Below 10,000 lb the rule counts by length; four is common practice. {_RULE}",
)  # fmt: skip

LOADED_HEIGHT = Formula(
    id="moving.loaded_height",
    title="Height over the road with the machine on",
    words="The height of the deck, and of the machine on it.",
    written="deck_height + travel_height",
    result=Output("H", "length", "highest part over the road", places=2, limit="least"),
    inputs=(
        Input("deck_height", "H_deck", "length", "the height of the deck over the road, loaded", low="0.5 ft", high="6 ft",
              example_us="3 ft", example_metric="0.9 m"),
        Input("travel_height", "H_machine", "length", "the height of the machine as it stands on the trailer", low="3 ft", high="30 ft",
              example_us="10 ft", example_metric="3 m"),
    ),
    source=_PLACES,
    limits="Measure it once the machine is tied down: a boom, a stack or a light may stand higher than the sheet says. Deck heights "
    "change with load, air and tires.",
)  # fmt: skip

HEADROOM = Formula(
    id="moving.headroom",
    title="Room under the lowest bridge or wire of the way",
    words="The lowest height on the way, less the height of the load.",
    written="route_height - loaded_height",
    result=Output("g", "length", "room left under the lowest place of the way", at_least=None, places=2, limit="most"),
    inputs=(
        Input("route_height", "H_way", "length", "the lowest height on the way", low="6 ft", high="60 ft", example_us="15 ft",
              example_metric="4.6 m"),
        Input("loaded_height", "H", "length", "the highest part of the load over the road", low="3 ft", high="40 ft",
              example_us="13 ft", example_metric="4 m"),
    ),
    source=_PLACES,
    limits="Below zero it does not pass: take another way, a lower trailer, or take parts off. A bump lifts the load, and new "
    "paving lowers a bridge, so some room must be left; the road's owner says how much. A wire asks for its own distance.",
)  # fmt: skip

AXLE_LOAD = Formula(
    id="moving.axle_load",
    title="What the trailer's axles carry",
    words="What they carry empty, and the machine's share: how far back its middle stands, over the length between hitch and axles.",
    written="axles_empty + machine * machine_place / wheel_base",
    result=Output("m_axles", "mass", "load on the trailer's axles together", limit="least"),
    inputs=(
        Input("axles_empty", "m_empty", "mass", "what the trailer's axles carry with no machine on it", low="300 lb", high="100000 lb",
              example_us="15000 lb", example_metric="7 t"),
        _MACHINE,
        Input("machine_place", "x", "length", "from the hitch back to the middle of the machine's weight", low="3 ft", high="120 ft",
              example_us="20 ft", example_metric="6 m"),
        Input("wheel_base", "L", "length", "from the hitch back to the middle of the trailer's axles", low="5 ft", high="120 ft",
              example_us="30 ft", example_metric="9 m"),
    ),
    requires=(("machine_place", "wheel_base", "the middle of the machine stands behind the trailer's axles, which lifts the hitch"),),
    source=_LEVER,
    limits="The middle of the weight is not the middle of the machine: a counterweight, a ripper or a heavy bucket moves it. A scale "
    f"tells; this only says which way to move the machine. {_ROAD}",
)  # fmt: skip


def _axles(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: inputs[name] for name in ("axles_empty", "machine", "machine_place", "wheel_base")}
    allowed = inputs["axles_allowed"]
    quantities = {name: value for name, value in given.items() if isinstance(value, Quantity)}
    assert isinstance(allowed, Quantity) and len(quantities) == len(given)
    carried = AXLE_LOAD(**{name: value.si for name, value in quantities.items()})
    if carried > allowed.si * (1 + 1e-9):
        raise CalculationError(
            "the trailer's axles would carry more than they may on this way",
            "take another trailer with more axles, or ask the carrier",
            about=("machine", "axles_allowed"),
        )
    return Outcome(
        "load",
        {"load": Value(carried, "mass", AXLE_LOAD.result.meaning, limit="least")},
        (
            Applied("load", AXLE_LOAD, quantities),
            Note("That is no more than they may carry on this way."),
        ),
    )


AXLES_KEPT = Procedure(
    id="moving.axles_kept",
    title="What the trailer's axles carry, beside what they may",
    words="The load on the trailer's axles. More than they may carry is refused.",
    inputs=(
        *AXLE_LOAD.inputs,
        Input("axles_allowed", "m_allowed", "mass", "the most the trailer's axles may carry together on this way", low="1000 lb",
              high="300000 lb", example_us="72000 lb", example_metric="33 t"),
    ),
    source=_LEVER,
    limits=AXLE_LOAD.limits,
    run=_axles,
)  # fmt: skip

RAMP_GRADE = Formula(
    id="moving.ramp_grade",
    title="How steep the ramps are",
    words="The height of the deck, over how far the ramps reach along the ground.",
    written="deck_height / sqrt(ramp_length**2 - deck_height**2)",
    result=Output("g_ramp", "grade", "grade of the ramps", limit="least"),
    inputs=(
        LOADED_HEIGHT.inputs[0],
        Input("ramp_length", "L_ramp", "length", "the length of a ramp, along its slope", low="2 ft", high="60 ft", example_us="12 ft",
              example_metric="3.7 m"),
    ),
    positive=(("ramp_length - deck_height", "the ramps are no longer than the deck is high"),),
    source=Source(None, "a right triangle, its long side the ramp", "derived"),
    limits="On level, firm ground. The deck stands higher while it is empty, so measure it then. Mud, ice, frost or steel tracks on "
    "bare steel slide on a far gentler ramp.",
)  # fmt: skip

RAMP_LEAST = Formula(
    id="moving.ramp_least",
    title="Shortest ramps for a grade",
    words="The height of the deck, times the slope's length for each foot it rises.",
    written="deck_height * sqrt(1 + 1 / grade_limit**2)",
    result=Output("L_least", "length", "shortest ramps", places=1, limit="least"),
    inputs=(
        LOADED_HEIGHT.inputs[0],
        Input("grade_limit", "g", "grade", "the steepest the ramps may lie, by the machine's manual and the mark on the ramps", low="1%",
              high="60%", example_us="27%", example_metric="27%"),
    ),
    source=RAMP_GRADE.source,
    limits=RAMP_GRADE.limits,
)  # fmt: skip


def _ramp(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    deck, ramp, slope = (inputs[name] for name in ("deck_height", "ramp_length", "grade_limit"))
    assert isinstance(deck, Quantity) and isinstance(ramp, Quantity) and isinstance(slope, Quantity)
    grade = RAMP_GRADE(deck_height=deck.si, ramp_length=ramp.si)
    if grade > slope.si * (1 + 1e-9):
        raise CalculationError(
            "the ramps are steeper than the machine's manual and the mark on the ramps allow",
            "do not load: use longer ramps or a lower deck",
            about=("ramp_length", "deck_height"),
        )
    least = RAMP_LEAST(deck_height=deck.si, grade_limit=slope.si)
    return Outcome(
        "grade",
        {
            "grade": Value(grade, "grade", RAMP_GRADE.result.meaning, limit="least"),
            "shortest": Value(least, "length", RAMP_LEAST.result.meaning, places=1, limit="least"),
        },
        (
            Applied("grade", RAMP_GRADE, {"deck_height": deck, "ramp_length": ramp}),
            Note("That is no steeper than the ramps may lie. For the steepest that is allowed they must be this long:"),
            Applied("shortest", RAMP_LEAST, {"deck_height": deck, "grade_limit": slope}),
        ),
    )


RAMP = Procedure(
    id="moving.ramp",
    title="The ramps beside the steepest they may lie",
    words="How steep the ramps are, and the shortest ones for the limit. Ramps past the limit are refused.",
    inputs=(*RAMP_GRADE.inputs, RAMP_LEAST.inputs[1]),
    source=RAMP_GRADE.source,
    limits=RAMP_GRADE.limits,
    run=_ramp,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    GROSS, TIE_DOWN_TOTAL, TIE_DOWNS, LOADED_HEIGHT, HEADROOM, AXLE_LOAD, AXLES_KEPT, RAMP_GRADE, RAMP_LEAST, RAMP,
)  # fmt: skip
