"""What a screen in the cab tells, against what was measured; and what a limit set on it leaves open."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

# --- weight ---------------------------------------------------------------------------------

WEIGHED = Input(
    "weighed", "W", "mass", "the weight of the same load off a scale that is checked", low="100 lb", high="1000000 lb",
    work_us="ton", work_metric="t", example_us="27 ton", example_metric="25 t",
)  # fmt: skip
SHOWN = Input(
    "shown", "S", "mass", "the weight the screen showed for it", low="50 lb", high="2000000 lb", work_us="ton", work_metric="t",
    example_us="26 ton", example_metric="24 t",
)  # fmt: skip
ONE_LOAD = (
    "One load tells of one day, one ground and one way of lifting. Weigh a few, and let whoever looks after the screen set it. "
    "The scale has to be checked itself."
)

SCALE_ERROR = Formula(
    id="instruments.scale_error",
    title="How far off the screen's weight is",
    words="What the screen showed less what was weighed, over what was weighed. Below zero it shows too little.",
    written="(shown - weighed) / weighed",
    result=Output("e", "fraction", "error of the screen, a share of what was weighed", at_least=None, places=1),
    inputs=(SHOWN, WEIGHED),
    source=Source("percent-error-questions", "the rule, and its worked answers"),
    limits=ONE_LOAD,
)

WEIGHT_FOR_SHOWN = Formula(
    id="instruments.weight_for_shown",
    title="What a shown weight really weighs",
    words="What the screen shows, over one and its error.",
    written="shown / (1 + error)",
    result=Output("M", "mass", "what it weighs when the screen shows that", us="ton", metric="t", work_us="ton", work_metric="t"),
    inputs=(
        SHOWN,
        Input("error", "e", "fraction", "the error of the screen, below zero where it shows too little", low="-60%", high="150%",
              example_us="-4%", example_metric="-4%"),
    ),
    source=Source("percent-error-questions", "the rule, solved for the true value"),
    limits="If the screen is off by the same share on every load. " + ONE_LOAD,
)  # fmt: skip

PAST_PAYLOAD = Formula(
    id="instruments.past_payload",
    title="How far past the rated payload",
    words="What it weighs, less the rated payload.",
    written="weight - payload",
    result=Output("o", "mass", "past the rated payload", us="ton", metric="t", work_us="ton", work_metric="t", at_least=None),
    inputs=(
        Input("weight", "M", "mass", "what the load weighs", low="50 lb", high="4000000 lb", work_us="ton", work_metric="t",
              example_us="31 ton", example_metric="29 t"),
        Input("payload", "P", "mass", "the rated payload of the truck", low="0.5 ton", high="500 ton", work_us="ton", work_metric="t",
              example_us="30 ton", example_metric="28 t"),
    ),
    source=Source(None, "the difference of two weights", "derived"),
    limits="Below zero the truck is under its rated payload. What the maker allows past it, if anything, stands in the truck's manual.",
)  # fmt: skip


def _payload_check(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    shown, weighed, payload = (given[name] for name in ("shown", "weighed", "payload"))
    error = SCALE_ERROR(shown=shown.si, weighed=weighed.si)
    full = WEIGHT_FOR_SHOWN(shown=payload.si, error=error)
    over = PAST_PAYLOAD(weight=full, payload=payload.si)
    if over > 0:
        shows, said = "too little", "The screen shows too little, so a truck loaded to its rated payload by the screen is overloaded."
    elif over < 0:
        shows, said = "too much", "The screen shows too much, so a truck loaded to its rated payload by the screen is not full."
    else:
        shows, said = "the right weight", "The screen and the scale say the same."
    return Outcome(
        "full",
        {
            "full": Value(full, "mass", "what a truck carries when the screen shows its rated payload", us="ton", metric="t"),
            "shows": Value(shows, "text", "what the screen shows"),
            "error": Value(error, "fraction", SCALE_ERROR.result.meaning, places=1),
            "over": Value(over, "mass", "past the rated payload; below zero, under it", us="ton", metric="t"),
        },
        (
            Applied("error", SCALE_ERROR, {"shown": shown, "weighed": weighed}),
            Note("Now the screen shows the rated payload, with the same error:"),
            Applied("full", WEIGHT_FOR_SHOWN, {"shown": payload, "error": From("error")}),
            Note(said),
            Applied("over", PAST_PAYLOAD, {"weight": From("full"), "payload": payload}),
        ),
    )


PAYLOAD_CHECK = Procedure(
    id="instruments.payload_check",
    title="The screen's weight against the scale",
    words="Work out how far off the screen is on a load that was weighed, then what the truck carries when the screen shows its rated payload.",
    inputs=(SHOWN, WEIGHED, PAST_PAYLOAD.inputs[1]),
    source=Source("percent-error-questions", "the rule, and its worked answers"),
    limits="If the screen is off by the same share on every load. " + ONE_LOAD,
    run=_payload_check,
)

# --- a limit that stops a swing -------------------------------------------------------------

SWING_SPEED = Input(
    "swing_speed", "w", "turning", "the mean swing speed, starting and stopping included", low="3 deg/s", high="150 deg/s",
    example_us="24 deg/s", example_metric="24 deg/s",
)  # fmt: skip
TIME = Input(
    "time", "t", "time", "how long it swings", low="0.1 s", high="10 s", default="1 s", work_us="s", work_metric="s",
    example_us="1 s", example_metric="1 s",
)  # fmt: skip
RUN_ON = (
    "What goes by while it swings on at that speed; how soon a swing stops the machine and its load decide. "
    "A limit on the screen sees no person. Nobody stands in the swing."
)

SWING_TURN = Formula(
    id="instruments.swing_turn",
    title="How far the machine turns in that time",
    words="Swing speed times time.",
    written="swing_speed * time",
    result=Output("A", "angle", "the turn"),
    inputs=(SWING_SPEED, TIME),
    source=Source(None, "turning speed times time", "derived"),
    limits=RUN_ON,
)

SWING_ARC = Formula(
    id="instruments.swing_arc",
    title="How far the teeth go in a swing",
    words="The way around the whole circle, times the share of it that is swung.",
    written="2 * pi * reach * swing / whole_turn",
    result=Output("s", "length", "way of the teeth"),
    inputs=(
        Input("reach", "R", "length", "from the swing centre to the teeth", low="2 ft", high="120 ft", example_us="38 ft",
              example_metric="11 m"),
        Input("swing", "A", "angle", "the swing", low="0 deg", high="1500 deg", example_us="24 deg", example_metric="24 deg"),
    ),
    constants=(
        Constant("whole_turn", "360°", "angle", "a whole turn", us="360 deg", metric="360 deg", source=Source(None, "geometry", "derived")),
    ),
    source=Source("arc-questions", "length of an arc"),
    limits=RUN_ON,
)  # fmt: skip


def _swing_run(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    reach, speed, time = (given[name] for name in ("reach", "swing_speed", "time"))
    rows = []
    for times in (1, 2, 3):
        after = times * time.si
        turn = SWING_TURN(swing_speed=speed.si, time=after)
        rows.append((after, turn, SWING_ARC(reach=reach.si, swing=turn)))
    return Outcome(
        "run",
        {
            "run": Value(rows[0][2], "length", "how far the teeth go in that time"),
            "turn": Value(rows[0][1], "angle", "how far the machine turns in it"),
            "last_run": Value(rows[-1][2], "length", "how far the teeth go in three times as long"),
        },
        (
            Applied("turn", SWING_TURN, {"swing_speed": speed, "time": time}),
            Applied("run", SWING_ARC, {"reach": reach, "swing": From("turn")}),
            Note("Twice and three times as long the same way:"),
            Rows("The swing goes on", (Column("After", "time", us="s", metric="s"), Column("The machine has turned", "angle"),
                                       Column("The teeth have gone", "length")), tuple(rows)),
        ),
    )  # fmt: skip


SWING_RUN = Procedure(
    id="instruments.swing_run",
    title="How far a swing goes on",
    words="Swing speed times time is the turn. The turn, as a share of the whole circle, gives the way of the teeth.",
    inputs=(SWING_ARC.inputs[0], SWING_SPEED, TIME),
    source=Source("arc-questions", "length of an arc"),
    limits=RUN_ON,
    run=_swing_run,
)

# --- a zero that was left behind ------------------------------------------------------------

ZERO_OFF = Formula(
    id="instruments.zero_off",
    title="How far off the depth is when the machine moves and keeps its zero",
    words="The grade of the ground it moved over, times how far it moved.",
    written="grade * moved",
    result=Output("d", "length", "how much lower or higher the machine stands than where the zero was set", us="in", metric="cm",
                  work_us="in", work_metric="cm", places=1),
    inputs=(
        Input("grade", "G", "grade", "the grade of the ground the machine moved over, up or down", low="0%", high="60%",
              example_us="0.5%", example_metric="0.5%"),
        Input("moved", "L", "length", "how far it moved since the zero was set", low="0 ft", high="1000 ft", work_us="in",
              work_metric="cm", example_us="15 ft", example_metric="4.5 m"),
    ),
    source=Source(None, "geometry: the machine stands lower or higher by the drop of the ground", "derived"),
    limits="For a depth that is read against the machine itself, with nothing that tells it where it stands. Tracks that sink and teeth "
    "that wear come on top. Set the zero again on a mark whose height is known.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    SCALE_ERROR, WEIGHT_FOR_SHOWN, PAST_PAYLOAD, PAYLOAD_CHECK, SWING_TURN, SWING_ARC, SWING_RUN, ZERO_OFF,
)  # fmt: skip
