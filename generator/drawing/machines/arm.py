"""Boom, stick and bucket of an excavator: a small linkage, and how its limbs look from the side."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.machines.outline import Detail, between, cylinder, limb
from generator.drawing.view import View

FLOOR = math.atan2(0.33 - 0.13, 0.84 - 0.66)
"""Angle between a bucket's floor near its teeth and the line from its pin to the teeth, as drawn."""


@dataclass(frozen=True)
class Pose:
    """How an arm is held: where its elbow and the bucket's pin stand, and the way from there to the teeth.

    Points are forward of the swing centre and above the ground (metres); `teeth` is the direction
    from the pin to the teeth (radians; straight down is -pi/2), and `bucket` how far they are.
    """

    elbow: Point
    pin: Point
    teeth: float
    bucket: float

    @property
    def stick_angle(self) -> float:
        """The direction from the elbow to the pin (radians)."""
        return math.atan2(self.pin[1] - self.elbow[1], self.pin[0] - self.elbow[0])

    @property
    def tip(self) -> Point:
        """Where the teeth stand."""
        return (self.pin[0] + self.bucket * math.cos(self.teeth), self.pin[1] + self.bucket * math.sin(self.teeth))


@dataclass(frozen=True)
class Arm:
    """Boom and stick of an excavator from the side, as `excavator_side` draws them.

    `foot` is where the boom turns, forward of the swing centre and above the ground (metres);
    `boom` its length from there to the stick, pin to pin; `stick` and `bucket` the lengths of both.
    """

    foot: Point
    boom: float
    stick: float
    bucket: float

    def elbow(self, pin: Point) -> tuple[Point, Point]:
        """Where the elbow stands with the bucket's pin at `pin`, and the pin as far as it comes.

        Points are forward of the swing centre and above the ground under the tracks. Where `pin` is
        out of reach, the arm is stretched toward it and the point it comes to is returned.
        """
        dx, dy = pin[0] - self.foot[0], pin[1] - self.foot[1]
        far = math.hypot(dx, dy)
        most, least = 0.999 * (self.boom + self.stick), 1.02 * abs(self.boom - self.stick) + 1e-9
        held = min(max(far, least), most)
        ux, uy = dx / far, dy / far
        pin = (self.foot[0] + ux * held, self.foot[1] + uy * held)
        along = (self.boom**2 - self.stick**2 + held**2) / (2 * held)
        up = math.sqrt(max(self.boom**2 - along**2, 0.0))
        return (self.foot[0] + ux * along - uy * up, self.foot[1] + uy * along + ux * up), pin

    def posed(self, tip: Point, *, teeth: float = -2.2) -> Pose:
        """Return the pose with the teeth at `tip`, pointing `teeth` from the pin (radians; -pi/2 is straight down).

        Out of reach, the arm is stretched toward it as far as it comes.
        """
        pin = (tip[0] - self.bucket * math.cos(teeth), tip[1] - self.bucket * math.sin(teeth))
        elbow, pin = self.elbow(pin)
        return Pose(elbow, pin, teeth, self.bucket)


def arm_of(stick: float, size: float, *, bucket: float = 0.0, reach: float = 0.0) -> Arm:
    """Return the arm of an excavator whose tracks are 1.5 `size` long.

    `reach` is from the swing centre to the teeth at ground level, all stretched out; the boom's length
    follows from it. Without it the boom is a sketch, as is a `bucket` that is not given.
    """
    foot = (0.2 * size, 0.58 * size)
    bucket = bucket or 0.5 * stick
    boom = 1.9 * stick
    if reach > foot[0]:
        boom = max(math.hypot(reach - foot[0], foot[1]) - stick - bucket, 0.8 * stick)
    return Arm(foot, boom, stick, bucket)


def boom_side(
    view: View,
    foot: Point,
    elbow: Point,
    deep: float,
    rod: Point,
    stick_lug: Point | None = None,
    *,
    rise: float = 0.21,
    detail: Detail = "full",
) -> None:
    """Draw a boom with the bend in its back, the cylinder that lifts it from `rod`, and on it the one of the stick, to `stick_lug`."""
    span = math.dist(foot, elbow)
    ux, uy = (elbow[0] - foot[0]) / span, (elbow[1] - foot[1]) / span
    nx, ny = (-uy, ux) if ux >= 0 else (uy, -ux)

    def along(share: float, off: float) -> Point:
        return (foot[0] + ux * span * share + nx * off, foot[1] + uy * span * share + ny * off)

    up = rise * span
    middle = [along(0.0, 0.0), along(0.32, 0.88 * up), along(0.42, up), along(0.54, 0.9 * up), along(1.0, 0.0)]
    lift = along(0.42, up - 0.45 * deep)
    cylinder(view, rod, lift, 0.36 * deep, detail)
    halves = [0.5 * deep, 0.8 * deep, 0.88 * deep, 0.8 * deep, 0.42 * deep]
    view.body(limb(middle, halves), fill="paper")
    if stick_lug is not None:
        cylinder(view, along(0.47, up + 1.15 * deep), stick_lug, 0.34 * deep, detail)
        if detail == "full":
            view.body([along(0.43, up + 0.75 * deep), along(0.47, up + 1.4 * deep), along(0.53, up + 0.7 * deep)], pen="thin", fill="paper")
            view.dots([lift, stick_lug], 0.3 * deep)


def lug_of(elbow: Point, angle: float, long: float, deep: float, facing: int = 1) -> Point:
    """Return where the stick's cylinder holds a stick that leaves its elbow at `angle`."""
    sx, sy = math.cos(angle), math.sin(angle)
    return (elbow[0] - 0.17 * long * sx - 0.2 * deep * sy * facing, elbow[1] - 0.17 * long * sy + 0.2 * deep * sx * facing)


def stick_outline(
    view: View, elbow: Point, angle: float, long: float, deep: float, facing: int = 1, ear: Point | None = None, detail: Detail = "full"
) -> None:
    """Draw a stick from `elbow` at `angle`, with the bucket's cylinder on its back.

    `ear` is where the bucket's link holds the bucket; the cylinder's rod moves it over a rocker on the stick.
    """
    sx, sy = math.cos(angle), math.sin(angle)
    nx, ny = -sy * facing, sx * facing  # away from the machine

    def along(share: float, off: float) -> Point:
        return (elbow[0] + sx * long * share + nx * off, elbow[1] + sy * long * share + ny * off)

    rocker = along(0.86, 0.15 * deep)
    knee = along(0.9, 1.55 * deep)
    if ear is not None:
        knee = _knee(rocker, ear, 0.13 * long + 0.4 * deep, 0.16 * long, (nx, ny)) or knee
    cylinder(view, along(0.08, 1.45 * deep), knee, 0.36 * deep, detail)
    middle = [along(-0.17, 0.1 * deep), along(0.0, 0.1 * deep), along(0.3, 0.0), along(1.0, 0.0)]
    view.body(limb(middle, [0.3 * deep, 0.95 * deep, 0.75 * deep, 0.4 * deep]), fill="paper")
    view.strokes([[rocker, knee]] if ear is None else [[rocker, knee, ear]], pen="bold")
    if detail == "full":
        view.body([along(0.02, 0.9 * deep), along(0.08, 1.75 * deep), along(0.15, 0.85 * deep)], pen="thin", fill="paper")


def _knee(a: Point, b: Point, from_a: float, from_b: float, way: Point) -> Point | None:
    """Where two links from `a` and `b` meet, on the side that `way` points to; nothing where they do not."""
    far = math.dist(a, b)
    if not abs(from_a - from_b) < far < from_a + from_b:
        return None
    along = (from_a**2 - from_b**2 + far**2) / (2 * far)
    off = math.sqrt(max(from_a**2 - along**2, 0.0))
    foot = between(a, b, along / far)
    nx, ny = -(b[1] - a[1]) / far, (b[0] - a[0]) / far
    sign = 1.0 if nx * way[0] + ny * way[1] >= 0 else -1.0
    return (foot[0] + sign * nx * off, foot[1] + sign * ny * off)


def ear_of(pin: Point, length: float, angle: float, facing: int = 1) -> Point:
    """Return where the link holds a bucket that hangs from `pin`, its teeth `length` away at `angle`."""
    cos, sin = math.cos(angle), math.sin(angle)
    return (pin[0] + length * (0.02 * cos - facing * 0.2 * sin), pin[1] + length * (0.02 * sin + facing * 0.2 * cos))


def bucket(view: View, pin: Point, length: float, angle: float, *, facing: int = 1, full: bool = False) -> None:
    """Draw a bucket that hangs from `pin`, its teeth `length` away at `angle`, its opening toward the machine.

    Its floor, from the heel to the teeth, stands at `FLOOR` to the line from pin to teeth. `full` heaps it.
    """
    cos, sin = math.cos(angle), math.sin(angle)

    def at(along: float, out: float) -> Point:
        """A point along the line from pin to teeth, and out on the side of the bucket's back."""
        return (
            pin[0] + length * (along * cos - facing * out * sin),
            pin[1] + length * (along * sin + facing * out * cos),
        )

    if full:
        view.body([at(0.08, 0.0), at(0.25, -0.13), at(0.55, -0.2), at(0.8, -0.1), at(0.9, 0.02)], fill="spoil")
    # one tooth hides the others; behind it the lip
    view.body([at(1.0, 0.0), at(0.8, 0.0), at(0.78, 0.13)], fill="dark", pen="thin")
    view.body([at(0.0, -0.08), at(0.3, -0.06), at(0.86, -0.01), at(0.84, 0.13), at(0.66, 0.33), at(0.5, 0.44), at(0.34, 0.47),
               at(0.18, 0.42), at(0.06, 0.31), at(-0.03, 0.2), at(-0.08, 0.05)])  # fmt: skip
    view.strokes([[at(0.12, 0.1), at(0.8, 0.1)], [at(0.78, 0.0), at(0.76, 0.2)]])
