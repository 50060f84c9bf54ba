"""The swing of every pass, for an order of digging and of filling.

Seen from above. Bearings are taken about the swing centre of the excavator, from the line to
the middle of the truck body: the face lies on the minus side, the front of the body on the plus
side. The dig is split into as many equal parts of arc as there are passes, the body into as many
equal parts of length, and each pass goes from the middle of one part to the middle of another.

The swings that count are those from the first dump to the last: the first bucket is dug while
the truck backs up, and after the last dump the truck leaves. Over a whole truck, the swing is
the same in any order, since every dig and every dump is visited once. The order decides which
swings the truck has to wait for.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import accumulate

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, to_places, trimmed
from generator.units.table import System

TRUCK_DISTANCE = Input(
    "truck_distance", "d", "length", "from the swing centre to the middle of the body", low="4 ft",
    high="100 ft", example_us="22 ft", example_metric="7 m",
)  # fmt: skip
TRUCK_ANGLE = Input(
    "truck_angle", "b", "angle",
    "the angle between the truck and the line from the excavator to it", low="20 deg",
    high="160 deg", default="90 deg", example_us="80 deg", example_metric="80 deg",
)  # fmt: skip
SWING_SPEED = Input(
    "swing_speed", "w", "turning", "the mean swing speed, starting and stopping included",
    low="3 deg/s", high="150 deg/s", example_us="20 deg/s", example_metric="20 deg/s",
)  # fmt: skip

FILL_BEARING = Formula(
    id="loading.fill_bearing",
    title="How far a point of the body is turned from its middle",
    words="A right triangle: how far the point stands to the side, over how far it stands out.",
    written="atan(offset * sin(truck_angle) / (truck_distance + offset * cos(truck_angle)))",
    result=Output("B", "angle", "bearing from the middle of the body", at_least=None, places=1),
    inputs=(
        Input("offset", "x", "length",
              "how far the point lies ahead of the middle of the body (behind: below zero)",
              low="-30 ft", high="30 ft", example_us="6 ft", example_metric="2 m"),
        TRUCK_DISTANCE,
        TRUCK_ANGLE,
    ),
    source=Source(None, "geometry of a triangle", "derived"),
    positive=(
        ("truck_distance + offset * cos(truck_angle)", "the point lies behind the swing centre"),
    ),
    limits="Seen from above, about the swing centre of the excavator. The point lies on the far "
    "side of the swing centre, not behind it.",
)  # fmt: skip

SQUARE_FILL_BEARING = Formula(
    id="loading.fill_bearing_square",
    title="How far a point of the body is turned from its middle, truck square",
    words="A right triangle: how far the point lies along the body, over how far the body is out.",
    written="atan(offset / truck_distance)",
    result=FILL_BEARING.result,
    inputs=FILL_BEARING.inputs[:2],
    source=Source(None, "geometry of a right triangle", "derived"),
    limits="The truck stands at a right angle to the line from the swing centre.",
)

SWING_TIME = Formula(
    id="loading.swing_time",
    title="Time to swing",
    words="The swings added up, over the swing speed.",
    written="swing / swing_speed",
    result=Output("t_swing", "time", "time to swing", us="s", metric="s", work_us="s",
                  work_metric="s"),
    inputs=(
        Input("swing", "A", "angle", "all the swings, added up", low="0 deg", high="100000 deg",
              example_us="400 deg", example_metric="400 deg"),
        SWING_SPEED,
    ),
    source=Source(None, "angle over turning speed", "derived"),
    limits="A mean speed, starting and stopping included. Not the top speed of a data sheet.",
)  # fmt: skip


@dataclass(frozen=True)
class Plan:
    """Swings of one order, in degrees: out to the truck by pass, and back to the next dig."""

    digs: tuple[Decimal, ...]
    fills: tuple[Decimal, ...]

    @property
    def out(self) -> tuple[Decimal, ...]:
        """The swing out of each pass."""
        return tuple(f - d for d, f in zip(self.digs, self.fills, strict=True))

    @property
    def back(self) -> tuple[Decimal, ...]:
        """The swing back after each pass; the last goes to the first dig of the next truck."""
        following = (*self.digs[1:], self.digs[0])
        return tuple(f - d for d, f in zip(following, self.fills, strict=True))

    @property
    def waited_so_far(self) -> tuple[Decimal, ...]:
        """The swings between the first dump and that of each pass."""
        rounds = (back + out for back, out in zip(self.back[:-1], self.out[1:], strict=True))
        return tuple(accumulate(rounds, initial=Decimal(0)))

    @property
    def waited_for(self) -> Decimal:
        """The swings between the first dump and the last."""
        return self.waited_so_far[-1]

    @property
    def whole(self) -> Decimal:
        """All the swings of one truck, the way back to the next truck's first dig included."""
        return sum(self.out, Decimal(0)) + sum(self.back, Decimal(0))


def fill_offsets(passes: int, body_length: float) -> list[float]:
    """Middles of equal parts of the body, front first, ahead (+) or behind (-) its middle."""
    return [body_length * (0.5 - (k + 0.5) / passes) for k in range(passes)]


def fill_bearings(passes: int, body_length: float, truck_distance: float, truck_angle: float) -> list[float]:
    """Bearings [rad] of the fill points, front first. Raises CalculationError."""
    bearings = []
    for x in fill_offsets(passes, body_length):
        out = truck_distance + x * math.cos(truck_angle)
        if out <= 0.05 * truck_distance:
            raise CalculationError(
                "the truck body reaches over the swing centre", "check truck_distance, body_length", about=("truck_distance", "body_length")
            )
        bearings.append(math.atan(x * math.sin(truck_angle) / out))
    return bearings


def rear_end_bearing(body_length: float, truck_distance: float, truck_angle: float) -> float:
    """Bearing [rad] of the rear end of the body, below zero. Raises CalculationError."""
    x = -body_length / 2
    out = truck_distance + x * math.cos(truck_angle)
    if out <= 0:
        raise CalculationError(
            "the truck body reaches over the swing centre", "check truck_distance, body_length", about=("truck_distance", "body_length")
        )
    return math.atan(x * math.sin(truck_angle) / out)


def dig_bearings(passes: int, dig_arc: float, near_end: float) -> list[float]:
    """Middles of equal parts of the dig [rad], farthest from the truck first.

    ``near_end`` is the bearing of the end of the dig nearest the truck.
    """
    return [near_end - dig_arc * (1 - (k + 0.5) / passes) for k in range(passes)]


def _tenth(radians: float) -> Decimal:
    return to_places(math.degrees(radians), 1)


def plans(
    passes: int,
    dig_arc: float,
    swing_near: float,
    body_length: float,
    truck_distance: float,
    truck_angle: float,
) -> tuple[Plan, Plan, Plan, Plan]:
    """The plan, the opposite order, and the two mixed ones; bearings to a tenth of a degree.

    In turn: far to near and front to rear; near to far and rear to front; far to near and rear
    to front; near to far and front to rear. Angles in radians. Raises CalculationError.
    """  # fmt: skip
    rear = rear_end_bearing(body_length, truck_distance, truck_angle)
    fills = tuple(_tenth(b) for b in fill_bearings(passes, body_length, truck_distance, truck_angle))
    digs = tuple(_tenth(b) for b in dig_bearings(passes, dig_arc, rear - swing_near))
    if fills[0] - digs[0] > 180:
        raise CalculationError(
            "the longest swing is over half a turn",
            "check dig_arc and swing_near, or swing the other way",
            about=("dig_arc", "swing_near"),
        )
    return (
        Plan(digs, fills), Plan(digs[::-1], fills[::-1]), Plan(digs, fills[::-1]),
        Plan(digs[::-1], fills),
    )  # fmt: skip


def _angle(figure: Decimal) -> Quantity:
    return Quantity(trimmed(figure), "deg", "angle")


def _pass_table(title: str, plan: Plan, speed: float) -> Rows:
    si = [_angle(a).si for a in plan.out]
    back = [_angle(a).si for a in plan.back]
    waited = [SWING_TIME(swing=_angle(a).si, swing_speed=speed) for a in plan.waited_so_far]
    return Rows(
        title,
        (
            Column("Pass", "count"),
            Column("Dig at", "angle", places=1),
            Column("Dump at", "angle", places=1),
            Column("Swing out", "angle", places=1, total=True),
            Column("Swing back to the next dig", "angle", places=1, total=True),
            Column("Swing time waited for", "time", us="s", metric="s", places=1),
        ),
        tuple((float(i + 1), _angle(plan.digs[i]).si, _angle(plan.fills[i]).si, si[i], back[i], waited[i]) for i in range(len(si))),
    )


def _order_table(all_plans: Sequence[Plan], speed: float) -> Rows:
    names = (
        ("far to near", "front to rear"), ("near to far", "rear to front"),
        ("far to near", "rear to front"), ("near to far", "front to rear"),
    )  # fmt: skip
    return Rows(
        "The four orders, first dump to last dump",
        (
            Column("Dig", "text"),
            Column("Dumped", "text"),
            Column("First swing out", "angle", places=1),
            Column("Last swing out", "angle", places=1),
            Column("Swing the truck waits for", "angle", places=1),
            Column("Time", "time", us="s", metric="s", places=1),
            Column("Swing over the whole round", "angle", places=1),
        ),
        tuple(
            (
                dig, fill, _angle(p.out[0]).si, _angle(p.out[-1]).si, _angle(p.waited_for).si,
                _angle(p.waited_for).si / speed, _angle(p.whole).si,
            )
            for (dig, fill), p in zip(names, all_plans, strict=True)
        ),
    )  # fmt: skip


def _swing_plan(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    count = given["passes"].si
    if count != int(count):
        raise CalculationError("passes is not a whole number", "give whole passes", about=("passes",))
    n = int(count)
    geometry = {name: given[name].si for name in ("dig_arc", "swing_near", "body_length", "truck_distance", "truck_angle")}
    four = plans(n, **geometry)
    plan, opposite = four[0], four[1]
    speed = given["swing_speed"]
    time = SWING_TIME(swing=_angle(plan.waited_for).si, swing_speed=speed.si)
    other = SWING_TIME(swing=_angle(opposite.waited_for).si, swing_speed=speed.si)
    offset = Quantity.of(fill_offsets(n, geometry["body_length"])[0], "length", system,
                         significant=4)  # fmt: skip
    front: dict[str, Quantity | From] = {
        "offset": offset, "truck_distance": given["truck_distance"],
    }  # fmt: skip
    square = abs(geometry["truck_angle"] - math.pi / 2) < 1e-9
    if not square:
        front["truck_angle"] = given["truck_angle"]
    steps = (
        Note("Bearings are taken about the swing centre, from the line to the middle of the "
             "truck body. Minus is the side of the face."),
        Note("The dig and the body are cut into as many equal parts as there are passes. Each "
             "pass goes from the middle of one part to the middle of another."),
        Applied("front_bearing", SQUARE_FILL_BEARING if square else FILL_BEARING, front),
        Note("That is the first dump, at the front of the body. The others are worked the same "
             "way."),
        _pass_table("Dig far to near, fill front to rear", plan, speed.si),
        _pass_table("The opposite: dig near to far, fill rear to front", opposite, speed.si),
        Note("The truck waits for the swings between its first dump and its last. The first "
             "bucket is dug while it backs up, and the last swing back while it leaves."),
        _order_table(four, speed.si),
        Note("Over the whole round the swing is the same in every order, because each dig and "
             "each dump is visited once. The order decides which swings the truck waits for."),
        Applied("opposite_time", SWING_TIME,
                {"swing": _angle(opposite.waited_for), "swing_speed": speed}),
        Applied("swing_time", SWING_TIME,
                {"swing": _angle(plan.waited_for), "swing_speed": speed}),
    )  # fmt: skip

    def angle(figure: Decimal, meaning: str) -> Value:
        return Value(_angle(figure).si, "angle", meaning, places=1)

    def seconds(si: float, meaning: str) -> Value:
        return Value(si, "time", meaning, us="s", metric="s")

    values = {
        "swing_time": seconds(time, "swing time a truck waits for"),
        "swing_time_opposite": seconds(other, "the same in the opposite order"),
        "saved_time": seconds(other - time, "time saved on each truck"),
        "swing": angle(plan.waited_for, "swing a truck waits for"),
        "swing_opposite": angle(opposite.waited_for, "the same in the opposite order"),
        "first_swing": angle(plan.out[0], "swing out of the first pass"),
        "last_swing": angle(plan.out[-1], "swing out of the last pass"),
        "mean_swing": angle(to_places(plan.whole / (2 * n), 1), "mean swing, out and back, over the whole round"),
        "whole_swing": angle(plan.whole, "swing over the whole round, in any order"),
    }
    return Outcome("swing_time", values, steps)


SWING_PLAN = Procedure(
    id="loading.swing_plan",
    title="Swing of every pass",
    words="Dig from far to near and fill from front to rear, and the swing shortens as the truck "
    "fills.",
    inputs=(
        Input("passes", "n", "count", "the number of passes to fill the truck", low="1", high="60", default="6",
              example_us="6", example_metric="6"),
        Input("dig_arc", "A_dig", "angle", "the arc of the pile dug from for one truck",
              low="0 deg", high="150 deg", default="40 deg", example_us="40 deg", example_metric="40 deg"),
        Input("swing_near", "A_near", "angle",
              "the swing from the near end of the dig to the near (rear) end of the body",
              low="5 deg", high="170 deg", default="30 deg", example_us="30 deg", example_metric="30 deg"),
        Input("body_length", "L_body", "length", "the inside length of the truck body", low="4 ft",
              high="50 ft", example_us="18 ft", example_metric="5.5 m"),
        TRUCK_DISTANCE,
        TRUCK_ANGLE,
        SWING_SPEED,
    ),
    source=Source(None, "geometry, seen from above", "derived"),
    also=(Source(None, "order of digging and filling: common practice", "common practice"),),
    limits="The truck stands with the rear of its body nearest the face, so that no bucket "
    "passes over the cab. Never swing over a cab or over people.",
    run=_swing_plan,
)  # fmt: skip
