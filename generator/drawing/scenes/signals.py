"""Hand signals, drawn as a person seen from the cab, and a signal person who guides a truck back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.film import Film, Frame
from generator.drawing.machines import truck_plan, truck_plan_reach
from generator.drawing.machines.outline import Frame as Axes
from generator.drawing.machines.outline import arc, limb
from generator.drawing.machines.truck import Build
from generator.drawing.measure import Measure, Text, both, join, positive, words
from generator.drawing.scenes._bench import build_of
from generator.drawing.scenes.seeing import _on_foot
from generator.drawing.text import boldness, wrap
from generator.drawing.view import View

TALL = 1.75
"""Height of the person who signals (metres)."""

Hand = Literal["flat", "palm", "thumb-up", "thumb-down", "point", "finger-up", "finger-down", "push", "none"]


@dataclass(frozen=True)
class Sign:
    """A hand signal: its name, how it is given in words, and the arms that give it.

    `arms` are right and left in the picture: elbow and hand in shares of the person's height, from the
    middle of the body and from the ground, and what the hand does. `moves` are the arrows beside them.
    """

    name: str
    given: str
    arms: tuple[tuple[Point, Point, Hand], tuple[Point, Point, Hand]]
    moves: tuple[tuple[Point, ...], ...] = ()


_DOWN: tuple[Point, Point, Hand] = ((-0.155, 0.62), (-0.15, 0.46), "none")


def _sweep(side: int) -> tuple[tuple[Point, ...], ...]:
    """Two arrows under a level arm, to and fro."""
    there = tuple((side * (0.42 + 0.2 * k / 6), 0.63 + 0.04 * math.cos(math.pi * k / 12)) for k in range(7))
    back = tuple((side * (0.42 - 0.2 * k / 6), 0.63 + 0.04 * math.cos(math.pi * k / 12)) for k in range(7))
    return there, back


def _level(hand: Hand, side: int = 1) -> tuple[Point, Point, Hand]:
    """An arm held out level."""
    return (side * 0.27, 0.785), (side * 0.42, 0.785), hand


def _curl(low: float, high: float) -> tuple[tuple[Point, ...], ...]:
    """Two arrows beside bent arms, from one height to the other: up to the chest, or down and away from it."""
    return tuple(((side * 0.36, low), (side * 0.375, (low + high) / 2), (side * 0.34, high)) for side in (1, -1))


def _circle(x: float, y: float) -> tuple[tuple[Point, ...], ...]:
    """An arrow round most of a small circle."""
    return (tuple((x + 0.055 * math.cos(a), y + 0.055 * math.sin(a)) for a in (0.4 + k * math.pi / 6 for k in range(11))),)


SIGNS: tuple[Sign, ...] = (
    Sign("Stop", "One arm out level, palm down, swung to and fro.", (_level("flat"), _DOWN), _sweep(1)),
    Sign("Emergency stop", "Both arms out level, palms down, swung to and fro.", (_level("flat"), _level("flat", -1)), (*_sweep(1), *_sweep(-1))),
    Sign("Hold everything", "Both hands held together at the waist.", (((0.17, 0.62), (0.02, 0.53), "none"), ((-0.17, 0.62), (-0.02, 0.53), "none"))),
    Sign("Swing this way", "One arm out level, one finger points the way to swing.", (_level("point"), _DOWN), (((0.3, 0.92), (0.56, 0.92)),)),
    Sign("Boom up", "One arm out level, fist closed, thumb up.", (_level("thumb-up"), _DOWN), (((0.57, 0.76), (0.57, 0.92)),)),
    Sign("Boom down", "One arm out level, fist closed, thumb down.", (_level("thumb-down"), _DOWN), (((0.57, 0.82), (0.57, 0.66)),)),
    Sign("Travel this way", "One arm out, hand upright, pushes the way to go.", (_level("push"), _DOWN), (((0.5, 0.7), (0.64, 0.7)),)),
    Sign("Slowly", "One hand is held still in front of the hand that signals.",
         (((0.27, 0.64), (0.3, 0.82), "thumb-up"), ((-0.15, 0.61), (0.17, 0.74), "palm"))),
    Sign("Come toward me", "Both arms bent, hands low before the body, palms up. The forearms move toward the signal person's own chest.",
         (((0.185, 0.62), (0.2, 0.66), "flat"), ((-0.185, 0.62), (-0.2, 0.66), "flat")),
         _curl(0.7, 0.8)),
    Sign("Go back from me", "Both arms bent, hands at the chest, palms down. The forearms move away from the signal person's own body.",
         (((0.185, 0.64), (0.2, 0.74), "flat"), ((-0.185, 0.64), (-0.2, 0.74), "flat")),
         _curl(0.68, 0.58)),
    Sign("Load up", "Forearm upright, one finger points up, the hand makes small circles.",
         (((0.24, 0.7), (0.27, 0.85), "finger-up"), _DOWN), _circle(0.42, 0.93)),
    Sign("Load down", "One arm and finger point down, the hand makes small circles.",
         (((0.2, 0.64), (0.27, 0.52), "finger-down"), _DOWN), _circle(0.42, 0.42)),
)  # fmt: skip
"""The signals of the United States crane rule that earthmovers use, and how the European one calls nearer and sends back."""


def signaller(view: View, foot: Point, sign: Sign, tall: float = TALL) -> None:
    """Draw a person from the front who gives a signal, `tall` metres to the top of the hat; marks the part person."""
    at = Axes(foot, tall)
    with view.part("person"):
        view.bodies(
            [
                at.all((side * 0.01, 0.48), (side * 0.1, 0.48), (side * 0.105, 0.03), (side * 0.14, 0.0), (side * 0.03, 0.0))
                for side in (-1, 1)
            ]
        )
        view.body(at.all((-0.1, 0.46), (0.1, 0.46), (0.115, 0.79), (0.045, 0.83), (-0.045, 0.83), (-0.115, 0.79)), fill="paper")
        view.strokes([at.all((-0.11, 0.58), (0.11, 0.58)), *(at.all((s * 0.065, 0.47), (s * 0.065, 0.81)) for s in (-1, 1))], pen="bold")
        view.circle(at(0.0, 0.9), 0.065 * tall, fill="paper", pen="line")
        view.body(at.all((-0.1, 0.91), (0.1, 0.91), (0.085, 0.935), (0.07, 0.97), (0.04, 1.0), (-0.04, 1.0), (-0.07, 0.97), (-0.085, 0.935)),
                  fill="dark", pen="thin")  # fmt: skip
        view.strokes([at.all((s * 0.023, 0.885), (s * 0.03, 0.885)) for s in (-1, 1)], pen="line")
        for side, (elbow, hand, does) in zip((1, -1), sign.arms, strict=True):
            shoulder = [(side * 0.075, 0.79), (side * 0.115, 0.78)]
            view.body(limb(at.all(*shoulder, elbow, hand), [share * tall for share in (0.024, 0.036, 0.033, 0.025)]), fill="paper")
            _hand(view, Axes(at(*hand), tall, side), does)
        if all(abs(hand[0]) < 0.05 for _, hand, _ in sign.arms):  # held together, one over the other
            view.body([at(x, y) for x, y in arc((0.0, 0.53), 0.042, 0, 2 * math.pi, 10)], fill="dark")
    for move in sign.moves:
        view.arrow_path(at.all(*move), pen="line")


def _hand(view: View, at: Axes, does: Hand) -> None:
    """Draw a hand at the end of an arm that points to the right of `at`, in shares of the person's height; gloves are dark."""
    if does == "flat":
        view.body(at.all((-0.015, -0.022), (0.1, -0.016), (0.12, 0.0), (0.1, 0.014), (-0.015, 0.024)), fill="dark")
    elif does == "push":
        view.body(
            at.all((-0.015, -0.03), (0.03, -0.03), (0.045, 0.0), (0.045, 0.12), (0.02, 0.125), (0.005, 0.02), (-0.015, 0.02)), fill="dark"
        )
    elif does == "palm":
        fingers = [(-0.035, 0.0), (-0.045, 0.05), (-0.03, 0.115), (-0.012, 0.13), (0.012, 0.13), (0.03, 0.115), (0.045, 0.05), (0.035, 0.0)]
        view.body(at.all(*fingers), fill="paper")
        view.strokes([at.all((u, 0.06), (0.8 * u, 0.12)) for u in (-0.018, 0.0, 0.018)])
    elif does == "none":
        view.body([at(x, y) for x, y in arc((0.0, 0.0), 0.03, 0, 2 * math.pi, 8)], fill="dark")
    else:
        view.body([at(x, y) for x, y in arc((0.025, 0.0), 0.038, 0, 2 * math.pi, 10)], fill="dark")
        if does in ("finger-up", "finger-down"):
            way = 1 if does == "finger-up" else -1
            view.body(at.all((0.012, way * 0.03), (0.014, way * 0.12), (0.036, way * 0.12), (0.04, way * 0.03)), fill="dark")
        elif does == "point":
            view.body(at.all((0.05, -0.012), (0.13, -0.01), (0.13, 0.012), (0.05, 0.02)), fill="dark")
        else:
            up = 1 if does == "thumb-up" else -1
            view.body(at.all((0.0, up * 0.02), (0.01, up * 0.1), (0.032, up * 0.1), (0.036, up * 0.02)), fill="dark")


def chart(*, ident: str, bare: bool = False) -> Canvas:
    """Draw all signals on one chart, each with its name; `bare` leaves the names out."""
    canvas = Canvas(
        ident,
        title="Hand signals, as the operator sees them",
        desc=" ".join(f"{sign.name}: {sign.given}" for sign in SIGNS),
    )
    wide, name_width = 1.36 * TALL, 168.0
    # below each person a name of as many lines as the longest takes in the reader's language
    lines = 1 if bare else max(len(wrap(words(sign.name).us, name_width / boldness(k < 2))) for k, sign in enumerate(SIGNS))
    high = (1.36 + 0.2 * (lines - 1)) * TALL
    rows = math.ceil(len(SIGNS) / 3)
    view = canvas.view(
        (-0.5 * wide, -(rows - 1) * high - 0.25 * TALL, 2.5 * wide, 1.08 * TALL),
        pad=(2, 4, 2, 24 + 22 * (lines - 1)),
        max_height=640 + 140 * (lines - 1),
        seen="end",
    )
    for k, sign in enumerate(SIGNS):
        foot = ((k % 3) * wide, -(k // 3) * high)
        signaller(view, foot, sign)
        if not bare:
            view.label((foot[0], foot[1] - 0.02 * TALL), sign.name, prefer=("below",), leader=False, width=name_width, bold=k < 2)
    return canvas


def signs_film(*, ident: str) -> Film:
    """Draw the signals one by one, a signal a step; their names stand in the sentences alone."""
    frames = []
    for sign in SIGNS:
        canvas = Canvas(ident, title="A hand signal", desc="One hand signal, as the operator sees it.", steady=True)
        view = canvas.view((-0.82 * TALL, -0.03 * TALL, 0.82 * TALL, 1.1 * TALL), pad=(8, 6, 8, 6), max_height=240, seen="end")
        signaller(view, (0.0, 0.0), sign)
        frames.append(Frame(canvas, f"{sign.name}. {sign.given}"))
    return Film(
        ident,
        title="Hand signals one by one",
        desc="A person in front of the cab, as the operator sees them, gives one signal after another.",
        frames=frames,
    )


# ---- guiding a truck back ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Yard:
    """A truck from above that backs up toward a line at x = 0, its rear first; metres. Its front points right."""

    body: float
    width: float
    build: Build
    keep: float
    rolls: float
    sized: bool

    @classmethod
    def of(
        cls, rolls: Measure, person_distance: Measure, body_length: Measure | None, truck_width: Measure | None, truck_build: str | None
    ) -> _Yard:
        positive(rolls=rolls, person_distance=person_distance)
        width = truck_width.si if truck_width else 3.1
        return cls(
            body_length.si if body_length else 1.75 * width,
            width,
            build_of(truck_build),
            person_distance.si,
            rolls.si,
            truck_width is not None,
        )

    @property
    def ahead(self) -> float:
        return truck_plan_reach(self.body, self.width, self.build)[0]

    @property
    def start(self) -> float:
        """Where the rear stands at first."""
        return max(2.2 * self.rolls, 1.6 * self.rolls + 0.5 * self.body)

    @property
    def signal(self) -> Point:
        """Where the signal person stands: on the driver's side, off all that the truck comes to, in its mirror."""
        return (-0.5, self.width / 2 + self.keep + 0.4)

    def view(self, canvas: Canvas, *, wrong: bool = False) -> View:
        right = self.start + 0.53 * self.body + self.ahead
        low = -self.width / 2 - 1.0
        return canvas.view(
            (-2.4, low, right, self.signal[1] + 0.9), pad=(8, 22, 8, 30), max_height=300, seen="above", way="wrong" if wrong else ""
        )

    def truck(self, view: View, rear: float) -> Point:
        """Draw the truck with its rear at `rear`; return where its driver looks out."""
        centre = (rear + 0.53 * self.body, 0.0)
        truck_plan(view, centre, body=self.body, width=self.width, way=0.0, sized=self.sized, build=self.build)
        return (centre[0] + self.body / 2 + 0.35 * self.width, 0.5 * self.width)

    def line(self, view: View) -> None:
        """Draw the line at which the rear has to stand still."""
        view.line((0.0, -self.width / 2 - 0.8), (0.0, self.width / 2 + 0.8), pen="bold")
        view.label((0.0, -self.width / 2 - 0.6), "Stop line", prefer=("left", "below"), width=60)


def guide_film(
    *,
    ident: str,
    rolls: Measure,
    person_distance: Measure,
    body_length: Measure | None = None,
    truck_width: Measure | None = None,
    truck_build: str | None = None,
) -> Film:
    """Draw how a truck is guided back, from above: seen all the way, and stopped when the signal person is lost.

    All in metres: `rolls` is how far it goes from the stop signal till it stands, `person_distance` how near
    people come to it; the others are the truck's, a sketch where not given.
    """
    yard = _Yard.of(rolls, person_distance, body_length, truck_width, truck_build)
    half = 0.5 * (yard.start + 1.25 * rolls.si)
    steps: tuple[tuple[float, str, str, Text, tuple[Measure, ...]], ...] = (
        (yard.start, "seen", "", join("Signals are agreed. One person signals, in the driver's view, ", person_distance, " off the truck's way."), (person_distance,)),
        (yard.start, "seen", "Come", "The way back is clear of people. Then the sign to come. The truck backs at a walk.", ()),
        (half, "lost", "", "Dust. The driver sees nobody and stops at once. Nobody guesses.", ()),
        (half, "lost", "", "Brake held. By radio: where are you? The truck does not move.", ()),
        (half, "seen", "Come", "The signal person is in view again and gives the sign. Only now it goes on.", ()),
        (rolls.si, "seen", "Stop", join("Stop is given in good time: ", rolls, " off the line or more. So far it goes from the sign till it stands."), (rolls,)),
        (0.0, "seen", "Hold", "It stands before anybody walks behind it. The signal person stays in view.", ()),
    )  # fmt: skip
    frames = []
    for rear, sight, sign, says, told in steps:
        canvas = Canvas(ident, title="Guiding a truck back", desc="One step of it, from above.", steady=True)
        view = yard.view(canvas)
        yard.line(view)
        eye = yard.truck(view, rear)
        if sight == "seen":
            view.line(eye, yard.signal, pen="dash")
        else:
            x, y = (eye[0] + yard.signal[0]) / 2, (eye[1] + yard.signal[1]) / 2
            view.body([(x + r * math.cos(a), y + 0.55 * r * math.sin(a)) for k in range(16) for a in (k * math.pi / 8,)
                       for r in ((0.3 * yard.body, 0.23 * yard.body)[k % 2],)], fill="dots", pen="thin")  # fmt: skip
            view.label((x, y + 0.16 * yard.body), "Dust", prefer=("above",), width=70)
        _on_foot(view, yard.signal, -0.4)
        view.label(yard.signal, f"Signal person: {sign.lower()}" if sign else "Signal person", prefer=("above", "right"), width=200)
        if sign == "Come":
            view.arrow((rear - 0.1 * yard.body, 0.0), (rear - 0.1 * yard.body - 0.3 * rolls.si, 0.0))
        if sign == "Stop":
            view.dimension((0.0, -yard.width / 2), (rear, -yard.width / 2), rolls, measure=rolls, offset=-10, prefer="below", width=90)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="Guiding a truck back: seen all the way",
        desc=both("From above: one person signals a truck back from its driver's side, ", person_distance, " off its way. When dust hides them the "
                  "driver stops and waits till they are seen again. Stop is given ", rolls, " before the line, as far as the truck goes till it stands."),
        frames=frames,
    )  # fmt: skip


def lost_film(
    *,
    ident: str,
    rolls: Measure,
    person_distance: Measure,
    body_length: Measure | None = None,
    truck_width: Measure | None = None,
    truck_build: str | None = None,
) -> Film:
    """Draw the wrong way: the signal person walks behind the truck, and the driver goes on.

    As of `guide_film`, but `rolls` ends where the brakes bite.
    """
    yard = _Yard.of(rolls, person_distance, body_length, truck_width, truck_build)
    first = 0.75 * yard.start
    behind: Point = (first - 0.6 * rolls.si, -0.1 * yard.width)
    steps: Sequence[tuple[float, Point, Text, tuple[Measure, ...]]] = (
        (first, (first - 0.25 * rolls.si, yard.width / 2 + 0.7), "Somebody signals from close by. Nothing was agreed.", ()),
        (first, behind, "They step behind the truck for a stone. In the mirror there is nobody now. The driver goes on.", ()),
        (first - 0.6 * rolls.si + 0.3, behind,
         join("A shout. But ", rolls, " go by before a driver brakes. Nobody under a truck has that time."), (rolls,)),
    )  # fmt: skip
    frames = []
    for k, (rear, here, says, told) in enumerate(steps):
        canvas = Canvas(ident, title="Behind the truck", desc="One step of it, from above.", steady=True)
        view = yard.view(canvas, wrong=True)
        yard.line(view)
        eye = yard.truck(view, rear)
        if k == 0:
            view.line(eye, here, pen="dash")
        if k < 2:
            _on_foot(view, here, 0.0)
            view.label(here, "On foot", prefer=("left", "above"), width=80)
            view.arrow((rear - 0.1, -0.36 * yard.width), (rear - 0.1 - 0.3 * rolls.si, -0.36 * yard.width))
        else:
            view.badge(here, "!")
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="The wrong way: out of sight, and the truck goes on",
        desc=both("From above: somebody who signals a truck back steps behind it. The driver no longer sees them and backs on. It goes ", rolls,
                  " before a driver brakes."),
        frames=frames,
    )  # fmt: skip
