"""Leaving a machine: where it stands, how it is shut down step by step, and what rolls off where nothing holds it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import person, truck_side
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._parked import Parked, Tilted
from generator.drawing.view import View

# ---- where it stands --------------------------------------------------------------------------------


def _place(view: View, zone: float, right: float) -> None:
    """Draw a face on the left about as high as `zone` is wide, the zone before it, level ground, and a crest at `right`."""
    left, low, _, _ = view.world
    face = [(left, 0.9 * zone), (-0.28 * zone, 0.9 * zone), (0.0, 0.0)]
    ground: list[Point] = [(right, 0.0), (right + 0.25 * zone, low)]
    view.polygon([*face, *ground, (left, low)], pen="none", fill="earth")
    view.polyline([*face, *ground], pen="bold")
    with view.part("crest"):
        view.line((right, 0.0), (right + 0.02 * zone, -0.08 * zone), pen="bold")
    with view.part("fall-zone"):
        view.rect(0.0, 0.0, zone, 0.14 * zone, pen="dash", fill="stripe")


def where(
    *,
    ident: str,
    fall_zone: Measure | None = None,
    edge_distance: Measure | None = None,
    track_length: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    under_face: bool = False,
    at_edge: bool = False,
    plain: bool = False,
) -> Canvas:
    """Draw where a machine is parked: out of the zone below a face, back from an edge; all in metres.

    What is not given is a sketch without its figure. `under_face=True` draws it in the zone, blade or
    bucket up, and `at_edge=True` with its front at the edge: wrong ways both. `plain` leaves out the note
    and the figures.
    """
    machine = Parked.of(track_length=track_length, blade_height=blade_height, stick_length=stick_length, bucket_length=bucket_length, tail_radius=tail_radius)  # fmt: skip
    zone, edge = fall_zone.si if fall_zone else 3.0, edge_distance.si if edge_distance else 0.6 * machine.track
    if min(zone, edge) <= 0:
        raise DrawingRefused("fall_zone and edge_distance must be more than zero")
    # a yard: room all round, far more than the zone and the limit of an edge ask for
    x = zone + 1.2 * machine.track + machine.behind
    right = x + machine.ahead + edge + 1.2 * machine.track
    stands = machine.behind + 0.05 * zone if under_face else right - machine.ahead + 0.1 * machine.track if at_edge else x
    wrong = under_face or at_edge
    told: tuple[Text, ...] = ("A machine stands in the zone below a face where stones fall, its blade or bucket up.",) if under_face else (
        "A machine stands with its front over the edge.",) if at_edge else (
        "A machine stands in a level yard, with room all round: well clear of the zone below a face", *((" of ", fall_zone) if fall_zone else ()),
        *((", and of an edge, where ", edge_distance, " is the least.") if edge_distance else (", and of an edge.",)))  # fmt: skip
    canvas = Canvas(
        ident, title="Parked in a bad place" if wrong else "Where a machine is parked", desc=both(*told), way="wrong" if wrong else ""
    )
    view = canvas.view(
        (-0.6 * zone, -0.35 * zone, right + max(0.5 * zone, 0.2 * machine.track), max(0.95 * zone, machine.tall + 0.6 * machine.track * under_face)),
        pad=(8, 16, 8, 20 if plain else 40), max_height=280, way="wrong" if wrong else "",
    )  # fmt: skip
    _place(view, zone, right)
    machine.side(view, stands, up=0.5 * (machine.blade or machine.track / 2) if under_face else 0.0)
    if plain:
        return canvas
    if fall_zone is not None:
        top = 0.14 * zone
        view.dimension((0.0, top), (zone, top), join("Stones fall ", fall_zone), measure=fall_zone, offset=10, prefer="above", width=120)
    if edge_distance is not None:
        view.dimension(
            (right - edge, 0.0),
            (right, 0.0),
            join("Edge: keep ", edge_distance),
            measure=edge_distance,
            offset=14,
            prefer="above",
            width=110,
        )
    canvas.note(
        "The wrong way. Stones fall here, and what is held up by oil comes down."
        if under_face
        else "The wrong way. An edge can go in the night."
        if at_edge
        else f"Level, firm, out of the traffic, room all round, {machine.tool} down.",
        bold=wrong,
    )
    return canvas


_LEAVE: tuple[tuple[float, int, str, str], ...] = (
    (1.0, 0, "", "Drive to level, firm ground, out of the traffic and away from faces, edges and wires."),
    (1.0, 0, "Brake on", "Stop. Controls in neutral, park brake on."),
    (0.0, 0, "Brake on", "Blade or bucket down flat, with a little weight on the ground."),
    (0.0, 0, "Engine off", "Let the engine idle as long as the manual says. Then engine off."),
    (
        0.0,
        0,
        "Locked, key out",
        "Lever unlocked, key as the manual says: move each lever once, so that no pressure is left. Lock it. Key out.",
    ),
    (0.0, 1, "Switch off", "Three points of contact down. Master switch off, as the manual says. Lock the cab and the caps."),
    (0.0, 2, "", "Once round: leaks, heat, fire, mud in the tracks. Lights or reflectors beside a road."),
    (
        0.0,
        3,
        "Fault: written",
        "Write down each fault. What can hurt somebody is tagged or locked at the controls. Tell the next shift face to face.",
    ),
)


def leave_film(
    *,
    ident: str,
    track_length: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw how a machine is shut down and left, step by step; lengths in metres."""
    machine = Parked.of(track_length=track_length, blade_height=blade_height, stick_length=stick_length, bucket_length=bucket_length, tail_radius=tail_radius)  # fmt: skip
    left = -machine.behind - 1.6
    frames = []
    for up, who, tag, says in _LEAVE:
        canvas = Canvas(ident, title="A machine is shut down", desc="One step of it.", steady=True)
        view = canvas.view((left, -0.1, machine.ahead + 0.25 * machine.track, max(machine.tall, 2.1)), pad=(6, 30, 6, 8), max_height=270)
        view.line((view.world[0], 0), (view.world[2], 0), pen="bold")
        machine.side(view, 0.0, up=up * 0.35 * (machine.blade or machine.track / 2))
        if who == 1:
            person(view, (-0.1 * machine.track, 0.0), seen="behind", arms="up")
        elif who:
            person(view, (left + 0.8, 0.0), arms="point" if who == 2 else "down", seen="front", facing=1)
        if tag:
            view.label(
                (-0.05 * machine.track, min(0.8 * machine.tall, 0.7 * machine.track)), tag, prefer=("above", "left"), bold=True, width=150
            )
        frames.append(Frame(canvas, says.replace("Blade or bucket", machine.tool.capitalize())))
    return Film(
        ident, title="A machine is shut down and left, step by step", frames=frames,
        desc=f"A machine is driven to level ground. Brake, {machine.tool}, lever, engine, key, switch and the last look round follow in order.",
    )  # fmt: skip


# ---- on a grade -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Slope:
    """A slope down to the right, and a truck on it as a sketch; metres along the slope."""

    grade: float
    distance: float

    body = 3.4
    high = 1.9
    axle = 0.48
    ahead = 1.18 * 3.4  # from the middle of the body to the bumper

    @property
    def angle(self) -> float:
        return -math.atan(self.grade)

    def at(self, along: float) -> Point:
        """The point so far down the slope from where the bumper stands at first."""
        return along * math.cos(self.angle), along * math.sin(self.angle)

    @property
    def world(self) -> tuple[float, float, float, float]:
        x0, y0 = self.at(-self.body * 2.0)
        x1, y1 = self.at(self.distance + 3.0)
        return x0, y1 - 0.5, x1, y0 + self.high + 1.5

    def ground(self, view: View) -> None:
        left, low, right, _ = view.world
        top, foot = self.at(left / math.cos(self.angle)), self.at(right / math.cos(self.angle))
        view.polygon([top, foot, (right, low), (left, low)], pen="none", fill="earth")
        with view.part("ramp", grade=self.grade):
            view.line(top, foot, pen="bold")

    def truck(self, view: View, rolled: float, *, chocks: bool = False) -> None:
        """Draw the truck with its bumper so far down the slope, and chocks below its wheels."""
        tilted = Tilted.over(view, self.angle, (0.0, 0.0))
        x = rolled - self.ahead
        truck_side(tilted, x, 0.0, body_length=self.body, body_height=self.high, axle_height=self.axle)
        if chocks:
            for wheel in (-0.24, 0.68):
                foot = x + wheel * self.body + 0.55 * self.axle
                with tilted.part("stone"):
                    tilted.body([(foot, 0.0), (foot + 1.3 * self.axle, 0.0), (foot + 0.75 * self.axle, 0.75 * self.axle)], fill="dark")

    def people(self, view: View, warned: bool = False) -> None:
        """Draw two people at the foot, where what rolls off arrives."""
        for k in (0, 1):
            person(
                view,
                self.at(self.distance + 0.5 + 0.9 * k),
                arms="up" if warned else "down",
                seen="behind" if k == 0 and not warned else "front",
            )


def roll_film(*, ident: str, grade: Measure, distance: Measure, speed: Measure, kind: str = "truck") -> Film:
    """Draw the wrong way: a truck left on a grade with nothing to hold it rolls off toward people.

    `grade` is rise over run; `distance` in metres along the slope, and `speed` there in metres a second. `kind` is
    that of the machine: a page that gives a truck's has no picture of one on a site that runs none.
    """
    positive(grade=grade, distance=distance, speed=speed)
    if speed.si**2 > 2 * 9.80665 * distance.si * grade.si:
        raise DrawingRefused(f"nothing that rolls {distance.us} down {grade.us} comes to {speed.us}")
    here = _Slope(grade.si, distance.si)
    steps: tuple[tuple[float, bool, Text, tuple[Measure, ...]], ...] = (
        (0.0, False, join("Left on a grade of ", grade, ", engine off. No brake set, no chock, wheels straight."), (grade,)),
        (0.08, False, "It creeps. Nobody sees it, and it makes no noise.", ()),
        (0.4, False, "It rolls. Nobody can jump in and stop it: that kills as well.", ()),
        (1.0, True, join("After ", distance, " it comes at ", speed, ". Nobody is in it."), (distance, speed)),
    )
    frames = []
    for share, warned, says, told in steps:
        canvas = Canvas(ident, title="The wrong way: left on a grade", desc="One step of it.", steady=True)
        view = canvas.view(here.world, pad=(6, 10, 6, 30), max_height=260, way="wrong")
        here.ground(view)
        here.truck(view, share * here.distance)
        here.people(view, warned)
        view.label(here.at(0.5 * here.distance), join("Grade ", grade), prefer=("below",), width=120, leader=False)
        frames.append(Frame(canvas, says, (*told, grade)))
    return Film(
        ident, title="The wrong way: left on a grade with nothing to hold it", frames=frames,
        desc=both(f"A {kind} is left on a grade of ", grade, " without chocks. It rolls ", distance, " and reaches people at ", speed, "."),
    )  # fmt: skip


def chocked_film(*, ident: str, grade: Measure, kind: str = "truck") -> Film:
    """Draw the right way on a grade where there is no level place: brake, engine off, then chocks below the wheels. See `roll_film`."""
    positive(grade=grade)
    here = _Slope(grade.si, 1.5)
    steps: tuple[tuple[bool, Text], ...] = (
        (False, join("Level ground is first choice. Here it is ", grade, ", and nothing is level.")),
        (False, "Stop. Body down, controls in neutral, park brake on. Turn the wheels into the bank as well, where there is one."),
        (False, "Engine off, key out. Feel that the brake holds it before you get off."),
        (
            True,
            "Only then the chocks: tight below the wheels, on the downhill side, from beside the truck. Nobody goes between the wheels.",
        ),
        (True, "Walk away beside it or above it, and never below it."),
    )
    frames = []
    for chocks, says in steps:
        canvas = Canvas(ident, title="Held on a grade", desc="One step of it.", steady=True)
        view = canvas.view(here.world, pad=(6, 10, 6, 30), max_height=260)
        here.ground(view)
        here.truck(view, 0.0, chocks=chocks)
        view.label(here.at(-here.body), join("Grade ", grade), prefer=("below",), width=120, leader=False)
        frames.append(Frame(canvas, says, (grade,)))
    return Film(
        ident, title="Held on a grade: brake and chocks", frames=frames,
        desc=both(f"A {kind} is parked on a grade of ", grade, ". The brake is set and the engine off, and then chocks are set below its wheels."),
    )  # fmt: skip
