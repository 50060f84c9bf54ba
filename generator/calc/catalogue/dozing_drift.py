"""A dozer that drifts off its line and comes back to it, station by station, and what each way back costs in push."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Value
from generator.units.quantity import Quantity
from generator.units.table import System

STATIONS = 4
"""So many stations on the way off the line, and as many on the way back."""

OFFSET = Input("offset", "e", "length", "how far off the line it is when it is seen", low="0.1 ft", high="50 ft",
               example_us="2 ft", example_metric="0.6 m")  # fmt: skip
DISTANCE = Input("distance", "d", "length", "how far it pushed until then", low="5 ft", high="1000 ft",
                 example_us="50 ft", example_metric="15 m")  # fmt: skip

OFF_LINE = Formula(
    id="dozing.off_line",
    title="How far off line after a shorter way",
    words="The same share of the whole drift as of the whole way.",
    written="offset * along / distance",
    result=Output("y", "length", "how far off the line"),
    inputs=(
        OFFSET,
        Input("along", "x", "length", "the way pushed so far", low="0 ft", high="1000 ft", example_us="25 ft", example_metric="7.5 m"),
        DISTANCE,
    ),
    source=Source(None, "geometry: equal triangles", "derived"),
    limits="A drift in a straight line. A real one may bend, and get faster as it goes.",
)

ONE_TRACK_PUSH = Formula(
    id="dozing.one_track_push",
    title="Push that one track can hold",
    words="Half of the weight stands on it, times the grip of the ground.",
    written="mass * gravity * traction / 2",
    result=Output("F_one", "force", "push that one track holds at most", limit="most"),
    inputs=(
        Input("mass", "m", "mass", "the mass of the machine", low="500 lb", high="400000 lb", work_metric="t", example_us="45000 lb", example_metric="20 t"),
        Input("traction", "c", "factor", "the grip of the tracks on this ground, as a part of the weight", low="0.05", high="1.3",
              example_us="0.9", example_metric="0.9"),
    ),
    constants=(
        Constant("gravity", "g", "gravity", "the pull of gravity on each unit of mass", us="1 lbf/lb", metric="9.80665 kN/t",
                 source=Source(None, "standard gravity", "derived")),
    ),
    source=Source("earthmoving-assignment", "problem 1, the weight on what drives, times the grip"),
    limits="Level ground, with the same weight on both tracks. A braked track drags on top of that, so it is less. The engine may give less "
    "than the track can hold.",
)  # fmt: skip


class Station(NamedTuple):
    """Where it is after a part of the way, in metres and newtons."""

    number: int
    way: float  # along the line
    off: float  # of the line
    corner: float  # how much lower one corner of the blade is set there
    tilted_push: float  # what the tracks hold with the blade tilted
    braked_push: float  # and with one track braked to turn


def stations(offset: float, distance: float, tilt: float, one: float) -> tuple[Station, ...]:
    """The way off the line, back to it, and one station on. ``one`` is what one track holds [N], lengths in metres."""
    found = []
    for k in range(2 * STATIONS + 2):
        way = distance * k / STATIONS
        # off the line at the rate it was measured, and back at the same
        off = OFF_LINE(offset=offset, along=max(min(way, 2 * distance - way), 0.0), distance=distance)
        braked = k in (STATIONS, 2 * STATIONS)  # it turns toward the line, and once more onto it
        found.append(Station(k + 1, way, off, tilt if STATIONS <= k < 2 * STATIONS else 0.0, 2 * one, one if braked else 2 * one))
    return tuple(found)


def _drift_plan(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    along = Quantity(given["distance"].figure / STATIONS, given["distance"].unit, "length")
    way_off = {"offset": given["offset"], "along": along, "distance": given["distance"]}
    hold = {"mass": given["mass"], "traction": given["traction"]}
    rows = stations(given["offset"].si, given["distance"].si, given["tilt"].si, ONE_TRACK_PUSH.value(hold))
    step = rows[1].way
    return Outcome(
        "one_push",
        {
            "one_push": Value(min(s.braked_push for s in rows), "force", ONE_TRACK_PUSH.result.meaning, limit="most"),
            "both_push": Value(sum(s.tilted_push for s in rows) / len(rows), "force", "push that both tracks hold at most", limit="most"),
            "braked": Value(sum(s.braked_push != s.tilted_push for s in rows), "count", "times one track is braked",
                            rounding="as counted"),
            "most_off": Value(max(s.off for s in rows), "length", "farthest off the line"),
            "mean_off": Value(sum(s.off for s in rows) * step / (2 * given["distance"].si), "length",
                              "how far off it is on average, until it is back"),
            "first_off": Value(OFF_LINE.value(way_off), "length", "how far off it is at the second station"),
            "tilted_way": Value(sum(s.corner for s in rows) / given["tilt"].si * step, "length", "way pushed with the blade tilted"),
            "way_shown": Value(rows[-1].way, "length", "the way up to the last station"),
            "stations": Value(rows[-1].number, "count", "stations", rounding="as counted"),
        },
        (
            Applied("first_off", OFF_LINE, way_off),
            Applied("one_push", ONE_TRACK_PUSH, hold),
            Note("Both tracks hold twice that. It drifts in a straight line, and comes back as gently as it left."),
            Rows(
                "Off the line and back",
                (
                    Column("Station", "count"),
                    Column("Along the line", "length"),
                    Column("Off the line", "length"),
                    Column("Corner lower by", "length", us="in", metric="mm"),
                    Column("Push held with the blade tilted", "force", limit="most"),
                    Column("Push held with one track braked", "force", limit="most"),
                ),
                rows,
            ),
        ),
    )  # fmt: skip


DRIFT_PLAN = Procedure(
    id="dozing.drift_plan",
    title="Off the line and back, by tilt or by one track",
    words="It drifts at the rate that was measured, and comes back at the same. With the blade tilted both tracks drive; with one track "
    "braked only the other does.",
    inputs=(
        OFFSET,
        DISTANCE,
        Input("tilt", "t", "length", "how much lower one corner of the blade is set", low="0.25 in", high="3 ft", work_us="in",
              work_metric="mm", example_us="4 in", example_metric="100 mm"),
        *ONE_TRACK_PUSH.inputs,
    ),
    source=Source(None, "geometry: equal triangles", "derived"),
    also=(Source("earthmoving-assignment", "problem 1, the weight on what drives, times the grip"),),
    limits="A picture of the work and no promise: how fast the nose comes round depends on ground, load and machine. Level ground, the same "
    "weight on both tracks.",
    run=_drift_plan,
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (DRIFT_PLAN, OFF_LINE, ONE_TRACK_PUSH)
