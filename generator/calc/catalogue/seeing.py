"""What is seen from the seat, and how near anybody may be.

The eye over an edge is the light over an edge: what lies in its shadow is hidden. The occupational
safety institute's diagrams of blind areas are made that way, with lamps in the place of the eyes.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

SHADOWS = Source("niosh-blind-areas", "test procedure: lamps in the place of the eyes, the shadow is the blind area")
TRIANGLES = Source(None, "like triangles, as of a lamp and a shadow", "derived")
SWING_RULE = Source("osha-1926-1424", "(a)(2)(ii): the hazard area is marked by lines or railings")
TAIL_CLEAR = Source("hse-excavators", "clearance of any part of the machine to the nearest obstruction")
PARTS = 4
"""The hidden ground is walked in so many equal parts."""

EYE = Input(
    "eye_height", "h_eye", "length", "the height of the operator's eyes above the ground", low="3 ft", high="30 ft",
    example_us="9 ft", example_metric="2.7 m",
)  # fmt: skip
SILL = Input(
    "sill_height", "h_edge", "length", "the height of the edge that hides the ground", low="1 ft", high="28 ft",
    example_us="6 ft", example_metric="1.8 m",
)  # fmt: skip
OUT = Input(
    "sill_distance", "a", "length", "how far that edge is from straight below the eyes, level", low="0.5 ft", high="40 ft",
    example_us="8 ft", example_metric="2.4 m",
)  # fmt: skip
KEEP = Input(
    "clearance", "c", "length", "the distance to keep", low="1.64 ft", high="200 ft", example_us="15 ft", example_metric="5 m",
)  # fmt: skip
_OVER = (("eye_height - sill_height", "the edge is as high as the eyes: over it no ground is seen at all"),)
_LEVEL = (
    "Level ground, one edge, and the head held still. Posts, a boom, a blade, dust and dark hide more; mirrors and cameras show "
    "some of it. It is measured on the machine as it stands, with the operator who sits in it."
)

HIDDEN_GROUND = Formula(
    id="seeing.hidden_ground",
    title="Ground hidden beside a machine",
    words="As the edge is high to how far the eyes are above it, so the hidden ground is to how far the edge is from the eyes.",
    written="sill_distance * sill_height / (eye_height - sill_height)",
    result=Output("x", "length", "ground hidden past the edge", places=1),
    inputs=(EYE, SILL, OUT),
    source=TRIANGLES,
    also=(SHADOWS,),
    positive=_OVER,
    limits=f"Counted from straight below the edge outward. {_LEVEL}",
)  # fmt: skip

HIDDEN_UP_TO = Formula(
    id="seeing.hidden_up_to",
    title="How high something may be and still be hidden",
    words="The line of sight comes down from the edge. What stays under it is hidden.",
    written="sill_height - least(distance * (eye_height - sill_height) / sill_distance, sill_height)",
    result=Output("h_x", "length", "hidden up to this height", places=1),
    inputs=(EYE, SILL, OUT,
            Input("distance", "x", "length", "the distance from straight below the edge", low="0 ft", high="2000 ft",
                  example_us="6 ft", example_metric="1.8 m")),
    source=TRIANGLES,
    also=(SHADOWS,),
    positive=_OVER,
    limits=f"At none the ground itself is seen there. {_LEVEL}",
)  # fmt: skip

HIDDEN_PERSON = Formula(
    id="seeing.hidden_person",
    title="How far out a person is wholly hidden",
    words="Only what the edge stands higher than the person hides the person.",
    written="sill_distance * (sill_height - least(person_height, sill_height)) / (eye_height - sill_height)",
    result=Output("x_p", "length", "how far out nothing of the person is seen", places=1),
    inputs=(EYE, SILL, OUT,
            Input("person_height", "h_p", "length", "the height of the person as he or she stands, bends or kneels", low="1 ft",
                  high="7.5 ft", example_us="3 ft", example_metric="0.9 m")),
    source=TRIANGLES,
    also=(SHADOWS,),
    positive=_OVER,
    limits=f"A hat just over the edge is no person seen: keep farther off. {_LEVEL}",
)  # fmt: skip

SWING_CLEAR = Formula(
    id="seeing.swing_clear",
    title="How far from the swing centre the tail keeps people",
    words="The tail's radius and the distance to keep.",
    written="tail_radius + clearance",
    result=Output("R_t", "length", "distance from the swing centre to the fence", places=2, limit="least"),
    inputs=(
        Input("tail_radius", "R_tail", "length", "from the swing centre to the back of the counterweight", low="1.5 ft", high="30 ft",
              example_us="10 ft", example_metric="3 m"),
        KEEP,
    ),
    source=TAIL_CLEAR,
    also=(SWING_RULE,),
    limits="For the tail alone. On the side where the bucket works its reach counts, which is more. A machine that travels takes "
    "its circle along. Where a wall stands nearer, nobody gets between it and the tail.",
)  # fmt: skip

REACH_CLEAR = Formula(
    id="seeing.reach_clear",
    title="How far from the swing centre the bucket keeps people",
    words="The greatest reach and the distance to keep.",
    written="max_reach + clearance",
    result=Output("R_b", "length", "distance from the swing centre to whoever is on foot", places=2, limit="least"),
    inputs=(
        Input("max_reach", "R", "length", "the greatest reach from the swing centre", low="2 ft", high="200 ft",
              example_us="30 ft", example_metric="9 m"),
        KEEP,
    ),
    source=COMMON_PRACTICE,
    also=(SWING_RULE,),
    limits="While the machine works. What rolls off a pile, or swings on a chain, comes farther. A bucket can come off: never "
    "under it, near or far.",
)  # fmt: skip

WALKS_IN = Formula(
    id="seeing.walks_in",
    title="How far a person walks while you swing",
    words="The time of the swing times the walking speed.",
    written="walking_speed * swing / swing_speed",
    result=Output("w", "length", "distance walked meanwhile", places=0),
    inputs=(
        Input("walking_speed", "v", "speed", "how fast the person walks", low="1 ft/s", high="12 ft/s", default="4 ft/s",
              work_us="ft/s", work_metric="m/s", example_us="4 ft/s", example_metric="1.2 m/s"),
        Input("swing", "A", "angle", "the angle swung through", low="1 deg", high="360 deg", default="90 deg", example_us="90 deg", example_metric="90 deg"),
        Input("swing_speed", "w_s", "turning", "the speed of the swing", low="0.5 rpm", high="25 rpm", example_us="5 rpm", example_metric="5 rpm"),
    ),
    source=Source("mutcd-walking", "walking speed of 4.0 ft (1.2 m) a second"),
    limits="At an even walk. Who hurries or runs comes farther.",
)  # fmt: skip

ROLLS_ON = Formula(
    id="seeing.rolls_on",
    title="How far a machine goes on after the stop signal",
    words="Speed times the time from the signal to the brake.",
    written="speed * reaction_time",
    result=Output("d", "length", "distance gone before it slows down at all", places=0, limit="least"),
    inputs=(
        Input("speed", "v", "speed", "the speed of the machine", low="0.5 mph", high="45 mph", work_us="ft/s", work_metric="m/s",
              example_us="3 mph", example_metric="5 km/h"),
        Input("reaction_time", "t", "time", "the time from the signal to the brake", low="0.5 s", high="10 s", default="2.5 s",
              work_us="s", work_metric="s", example_us="2.5 s", example_metric="2.5 s"),
    ),
    source=Source("road-reaction-time", "brake reaction time of 2.5 s"),
    limits="It does not slow down yet in this distance. The stop itself comes on top, and more of it downhill, on wet ground or with "
    "a load. The time is the one roads are built by; a driver who looks elsewhere takes longer.",
)  # fmt: skip

STOP_AT = Formula(
    id="seeing.stop_at",
    title="How far off the machine still is when you give stop",
    words="The distance that must be left, and what the machine goes on before it slows down.",
    written="clearance + rolls_on",
    result=Output("d_s", "length", "give stop while it is still this far off", places=0, limit="least"),
    inputs=(
        KEEP,
        Input("rolls_on", "d", "length", "how far the machine goes on after the signal", low="0.3 ft", high="700 ft",
              example_us="11 ft", example_metric="3.5 m"),
    ),
    source=COMMON_PRACTICE,
    limits="The stop itself comes on top. Give it sooner rather than later: a stop too early costs nothing.",
)  # fmt: skip


def _walk_in(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    eye, sill, out = (given[i.name] for i in (EYE, SILL, OUT))
    whole = HIDDEN_GROUND(eye_height=eye.si, sill_height=sill.si, sill_distance=out.si)
    walked = []
    for left in reversed(range(PARTS + 1)):
        at = whole * left / PARTS
        walked.append((at, HIDDEN_UP_TO(eye_height=eye.si, sill_height=sill.si, sill_distance=out.si, distance=at)))
    return Outcome(
        "hidden",
        {
            "hidden": Value(whole, "length", HIDDEN_GROUND.result.meaning, places=1),
            "half_way": Value(walked[2][0], "length", "half way in, from straight below the edge", places=1),
            "hidden_half_way": Value(walked[2][1], "length", "hidden up to this height half way in", places=1),
        },
        (
            Applied("hidden", HIDDEN_GROUND, {"eye_height": eye, "sill_height": sill, "sill_distance": out}),
            Note("Closer in, the line of sight is higher up. What stays under it is hidden."),
            Rows(
                "Walking in toward the machine",
                (Column("From the edge", "length", places=1), Column("Hidden up to", "length", places=1)),
                tuple(walked),
            ),
        ),
    )  # fmt: skip


WALK_IN = Procedure(
    id="seeing.walk_in",
    title="What the operator still sees of a person who walks in",
    words="The hidden ground in four equal parts, and how high the line of sight is at each.",
    inputs=(EYE, SILL, OUT),
    source=TRIANGLES,
    also=(SHADOWS,),
    limits=_LEVEL,
    run=_walk_in,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    HIDDEN_GROUND, HIDDEN_UP_TO, HIDDEN_PERSON, WALK_IN, SWING_CLEAR, REACH_CLEAR, WALKS_IN, ROLLS_ON, STOP_AT,
)  # fmt: skip
