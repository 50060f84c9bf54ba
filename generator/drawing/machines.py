"""Plain outlines of machines, of our own, sized by the few lengths that matter to a drawing.

Only the lengths named as arguments are to scale; the rest of an outline is a sketch around them.
All points are in metres. `facing` is 1 for a machine that faces right, -1 for left.
"""

from __future__ import annotations

import math
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.view import Part, View


def _turn(points: list[Point], angle: float, about: Point) -> list[Point]:
    cos, sin = math.cos(angle), math.sin(angle)
    return [
        (
            about[0] + (x - about[0]) * cos - (y - about[1]) * sin,
            about[1] + (x - about[0]) * sin + (y - about[1]) * cos,
        )
        for x, y in points
    ]


def track_side(
    view: View,
    x0: float,
    x1: float,
    y: float,
    height: float,
    *,
    angle: float = 0.0,
    about: Point = (0.0, 0.0),
) -> None:
    """Draw a crawler track from the side, standing on `y` from `x0` to `x1`.

    `angle` (radians) then turns it about the point `about`.
    """
    steps = 8
    r = min(height, x1 - x0) / 2

    def belt(radius: float) -> list[Point]:
        points = [
            (cx + radius * math.cos(start + math.pi * k / steps), y + r + radius * math.sin(start + math.pi * k / steps))
            for cx, start in ((x1 - r, -math.pi / 2), (x0 + r, math.pi / 2))
            for k in range(steps + 1)
        ]
        return _turn(points, angle, about)

    def wheel(cx: float, cy: float, radius: float, *, solid: bool = False) -> None:
        view.circle(_turn([(cx, cy)], angle, about)[0], radius, fill="paper" if solid else "none", pen="thin")

    view.body(belt(r), fill="dark")
    view.body(belt(0.76 * r), pen="thin")
    for cx in (x0 + r, x1 - r):
        wheel(cx, y + r, 0.55 * r, solid=True)
        wheel(cx, y + r, 0.18 * r)
    rollers = max(2, min(7, round((x1 - x0 - 3 * r) / r)))
    for k in range(rollers):
        wheel(x0 + 2 * r + (x1 - x0 - 4 * r) * (k + 0.5) / rollers, y + 0.5 * r, 0.2 * r)


def dozer_side(
    view: View,
    blade_x: float,
    y: float,
    blade_height: float,
    *,
    facing: int = 1,
    track_length: float | None = None,
    angle: float = 0.0,
) -> tuple[float, float]:
    """Draw a dozer from the side; the cutting edge at `blade_x`, the tracks on `y`.

    The blade is `blade_height` high, and the tracks `track_length` long where that is given.
    `angle` (radians) turns the whole about the cutting edge, as on a ramp that climbs the way the
    dozer faces. Marks the parts machine, tracks and blade. Returns the x of the machine's back and
    the height of its top, before the turn.
    """
    h = blade_height
    front, sketched = 0.75, 2.4
    long = track_length / h if track_length else sketched
    rear = front + long

    def at(back: float, up: float) -> Point:
        if back > front:  # what stands over the tracks is as long as they are
            back = front + (back - front) * long / sketched
        point = (blade_x - facing * back * h, y + up * h)
        return _turn([point], facing * angle, (blade_x, y))[0]

    with view.part("machine"):
        view.body(
            [at(0.9, 0.7), at(0.9, 1.35), at(1.75, 1.5), at(1.75, 2.2), at(2.85, 2.2),
             at(2.95, 1.3), at(3.2, 1.2), at(3.2, 0.7)]
        )  # fmt: skip
        view.polygon(
            [at(1.9, 1.5), at(1.9, 2.05), at(2.7, 2.05), at(2.75, 1.5)],
            fill="paper",
            pen="thin",
        )
        a, b = sorted((blade_x - facing * front * h, blade_x - facing * rear * h))
        with view.part("tracks"):
            track_side(view, a, b, y, 0.85 * h, angle=facing * angle, about=(blade_x, y))
        view.line(at(1.9, 0.4), at(0.18, 0.35), pen="bold")
        # a blade that is turned is higher than its own height, straight up
        with view.part("blade", **({"sized": "no"} if angle else {})):
            view.body(
                [at(0.0, 0.0), at(0.16, 0.25), at(0.2, 0.55), at(0.14, 0.85), at(0.02, 1.0),
                 at(0.18, 1.0), at(0.34, 0.85), at(0.38, 0.5), at(0.3, 0.2)],
                fill="dark",
            )  # fmt: skip
    return blade_x - facing * rear * h, y + 2.2 * h


def dozer_end(
    view: View,
    x: float,
    y: float,
    *,
    blade_width: float,
    blade_height: float,
    track_gauge: float | None = None,
    shoe_width: float | None = None,
    behind: bool = False,
) -> None:
    """Draw a dozer from its blade's end or, with `behind`, from behind; its middle at `x`, on `y`.

    `track_gauge` is from track centre to track centre; both are sketched where they are not given.
    Marks the parts machine, tracks and blade.
    """
    w, h = blade_width / 2, blade_height
    gauge = track_gauge or 0.55 * blade_width
    shoe = shoe_width or 0.17 * blade_width
    outer = gauge / 2 + shoe / 2

    def blade() -> None:
        with view.part("blade"):
            view.body([(x - w, y), (x + w, y), (x + w, y + h), (x - w, y + h)])
        view.line((x - w, y + 0.08 * h), (x + w, y + 0.08 * h), pen="thin")
        if not behind:
            for share in (-0.55, 0.55):
                view.line((x + share * w, y + 0.08 * h), (x + share * w, y + h), pen="thin")

    # the blade is no part of the machine's width: the tables give both
    if behind:
        blade()
    with view.part("machine"):
        hood, cab = 0.34 * gauge, 0.4 * gauge
        view.body([(x - hood, y + 0.5 * h), (x + hood, y + 0.5 * h), (x + hood, y + 1.4 * h), (x - hood, y + 1.4 * h)])
        view.body([(x - cab, y + 1.4 * h), (x + cab, y + 1.4 * h), (x + 0.85 * cab, y + 2.2 * h), (x - 0.85 * cab, y + 2.2 * h)])
        view.polygon(
            [(x - 0.75 * cab, y + 1.5 * h), (x + 0.75 * cab, y + 1.5 * h), (x + 0.68 * cab, y + 2.08 * h),
             (x - 0.68 * cab, y + 2.08 * h)],
            fill="paper", pen="thin",
        )  # fmt: skip
        with view.part("tracks"):
            for side in (-1, 1):
                a, b = sorted((x + side * (outer - shoe), x + side * outer))
                view.body([(a, y), (b, y), (b, y + 0.85 * h), (a, y + 0.85 * h)])
    if not behind:
        blade()


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


def excavator_side(
    view: View,
    x: float,
    y: float,
    *,
    stick: float,
    elbow: Point,
    stick_angle: float,
    bucket_angle: float = -0.6,
    facing: int = 1,
    size: float = 0.0,
    bucket_length: float = 0.0,
    undercarriage: tuple[float, float] | None = None,
    tail: float = 0.0,
    loaded: bool = False,
    marked: bool = False,
) -> Point:
    """Draw an excavator from the side; its slewing centre at `x`, its tracks on `y`.

    `stick` is the stick's length, pin to pin. `elbow` is where the pin of boom and stick stands;
    the stick leaves it at `stick_angle` (radians; straight down is -pi/2), and the bucket's teeth
    stand at `bucket_angle` to that, turned toward the machine where it is below 0. The boom reaches
    from the machine to the elbow. `size` is that of the machine, two thirds of its tracks' length (as
    the stick if not given); `bucket_length` is from pin to teeth.

    `undercarriage` is how long a track looks and how far the far one stands behind the near one, for
    tracks turned out of the view; `tail` from the slewing centre to the back of the counterweight.
    With `marked` the tracks, the machine and the bucket are parts of the picture. Returns where the
    bucket pin stands.
    """
    m = size or stick
    long, apart = undercarriage or (1.5 * m, 0.0)
    tail = tail or 0.98 * m
    t = 0.3 * m  # height of a track

    def at(forward: float, up: float) -> Point:
        return (x + facing * forward * m, y + up * m)

    def mark(part: Part, **facts: str) -> AbstractContextManager[None]:
        return view.part(part, **facts) if marked else nullcontext()

    pin = (elbow[0] + stick * math.cos(stick_angle), elbow[1] + stick * math.sin(stick_angle))
    with mark("tracks", **({"sized": "no"} if undercarriage else {})):
        for shift in dict.fromkeys((facing * apart / 2, -facing * apart / 2)):
            track_side(view, x + shift - long / 2, x + shift + long / 2, y, t)
    with mark("machine"):
        back = tail / m
        view.body([at(-0.34, 0.24), at(0.34, 0.24), at(0.28, 0.35), at(-0.28, 0.35)])
        view.body([at(-0.36, 0.34), at(0.36, 0.34), at(0.36, 0.38), at(-0.36, 0.38)], fill="dark")
        # frame, engine cover with its louvres, counterweight
        view.body([at(0.5 - back, 0.38), at(0.56, 0.38), at(0.56, 0.5), at(0.3, 0.56), at(-0.1, 0.8),
                   at(0.34 - back, 0.8), at(0.3 - back, 0.74)])  # fmt: skip
        view.body([at(0.42 - back, 0.38), at(0.42 - back, 0.82), at(0.1 - back, 0.78), at(-back, 0.66),
                   at(-back, 0.5), at(0.08 - back, 0.38)], fill="dark")  # fmt: skip
        for k in range(4):
            a = 0.54 - back + 0.06 * k
            if a < -0.2:
                view.line(at(a, 0.55), at(a, 0.7), pen="thin")
        _boom(view, (x + facing * 0.2 * m, y + 0.58 * m), elbow, 0.11 * m, (x + facing * 0.44 * m, y + 0.45 * m))
        # cab: a frame with a large pane and a door line
        view.body([at(-0.1, 0.44), at(0.34, 0.44), at(0.42, 0.62), at(0.36, 1.06), at(0.3, 1.1), at(-0.08, 1.1),
                   at(-0.12, 1.06)])  # fmt: skip
        view.body([at(0.02, 0.62), at(0.37, 0.62), at(0.32, 1.03), at(0.02, 1.03)], fill="none", pen="thin")
        view.line(at(0.02, 0.46), at(0.02, 1.03), pen="thin")
        view.line(at(-0.1, 0.62), at(0.02, 0.62), pen="thin")
        stick_outline(view, elbow, stick_angle, stick, 0.085 * m, facing)
    with mark("bucket"):
        bucket(view, pin, bucket_length or 0.5 * stick, stick_angle + facing * bucket_angle, facing=facing, full=loaded)
    for joint in (elbow, pin):
        view.circle(joint, 0.04 * m, fill="paper", pen="line")
    return pin


def _boom(view: View, foot: Point, elbow: Point, deep: float, rod: Point) -> None:
    """Draw a boom with the bend in its back, and the cylinder that lifts it from `rod`."""
    span = math.dist(foot, elbow)
    ux, uy = (elbow[0] - foot[0]) / span, (elbow[1] - foot[1]) / span
    nx, ny = (-uy, ux) if ux >= 0 else (uy, -ux)

    def along(share: float, off: float) -> Point:
        return (foot[0] + ux * span * share + nx * off, foot[1] + uy * span * share + ny * off)

    rise = 0.13 * span
    bend = along(0.42, rise - 0.4 * deep)
    _cylinder(view, rod, bend, deep)
    view.body(
        [along(-0.02, 0.45 * deep), along(0.2, 0.62 * rise + 0.75 * deep), along(0.4, rise + deep), along(0.5, rise + 0.9 * deep),
         along(0.78, 0.5 * rise + 0.7 * deep), along(1.02, 0.4 * deep), along(1.02, -0.4 * deep), along(0.78, 0.5 * rise - 0.5 * deep),
         along(0.5, rise - 0.8 * deep), along(0.4, rise - 0.8 * deep), along(0.2, 0.55 * rise - 0.6 * deep), along(-0.02, -0.45 * deep)]
    )  # fmt: skip
    view.circle(bend, 0.22 * deep, fill="paper", pen="thin")


def _cylinder(view: View, a: Point, b: Point, deep: float) -> None:
    """Draw a cylinder from `a`, its rod to `b`."""
    span = math.dist(a, b) or 1.0
    ux, uy = (b[0] - a[0]) / span, (b[1] - a[1]) / span
    w = 0.2 * deep
    mid = (a[0] + (b[0] - a[0]) * 0.6, a[1] + (b[1] - a[1]) * 0.6)
    view.line(mid, b, pen="line")
    view.body([(a[0] - uy * w, a[1] + ux * w), (mid[0] - uy * w, mid[1] + ux * w), (mid[0] + uy * w, mid[1] - ux * w),
               (a[0] + uy * w, a[1] - ux * w)], pen="thin")  # fmt: skip


def stick_outline(view: View, elbow: Point, angle: float, long: float, deep: float, facing: int = 1) -> None:
    """Draw a stick from `elbow` at `angle`, with the bucket's cylinder on its back."""
    sx, sy = math.cos(angle), math.sin(angle)
    nx, ny = -sy * facing, sx * facing  # away from the machine

    def along(share: float, off: float) -> Point:
        return (elbow[0] + sx * long * share + nx * off, elbow[1] + sy * long * share + ny * off)

    _cylinder(view, along(0.06, 1.15 * deep), along(0.86, 0.9 * deep), deep)
    view.body(
        [along(-0.14, 0.35 * deep), along(0.02, 1.1 * deep), along(0.3, 0.75 * deep), along(1.02, 0.4 * deep),
         along(1.02, -0.4 * deep), along(0.3, -0.7 * deep), along(0.0, -0.95 * deep), along(-0.16, -0.35 * deep)]
    )  # fmt: skip
    view.line(along(0.84, 0.5 * deep), along(0.86, 0.9 * deep), pen="line")


def bucket(view: View, pin: Point, length: float, angle: float, *, facing: int = 1, full: bool = False) -> None:
    """Draw a bucket that hangs from `pin`, its teeth `length` away at `angle`, its opening toward the machine.

    Its floor, from the heel to the teeth, stands at `FLOOR` to the line from pin to teeth.
    """
    cos, sin = math.cos(angle), math.sin(angle)

    def at(along: float, out: float) -> Point:
        """A point along the line from pin to teeth, and out on the side of the bucket's back."""
        return (
            pin[0] + length * (along * cos - facing * out * sin),
            pin[1] + length * (along * sin + facing * out * cos),
        )

    if full:
        view.body([at(0.08, 0.0), at(0.25, -0.13), at(0.55, -0.2), at(0.8, -0.1), at(0.94, 0.0)], fill="spoil")
    for shift in (0.0, 0.04):
        view.body([at(1.0, 0.0), at(0.86, 0.01 + shift), at(0.84, 0.11 + shift)], fill="dark", pen="thin")
    view.body([at(0.0, -0.09), at(0.3, -0.07), at(0.88, -0.02), at(0.84, 0.13), at(0.66, 0.33), at(0.5, 0.46), at(0.34, 0.5),
               at(0.2, 0.46), at(0.08, 0.34), at(0.0, 0.16), at(-0.07, 0.05)])  # fmt: skip
    view.line(at(0.1, 0.12), at(0.8, 0.1), pen="thin")
    view.line(at(0.34, 0.5), at(0.42, 0.12), pen="thin")


FLOOR = math.atan2(0.33 - 0.13, 0.84 - 0.66)
"""Angle between a bucket's floor near its teeth and the line from its pin to the teeth, as drawn."""


def truck_end(view: View, x: float, y: float, width: float, height: float) -> None:
    """Draw a haul truck from behind, `width` wide and `height` to the top of its sides."""
    w, h = width, height
    wheel = 0.42 * h
    for side in (-1, 1):
        for outer, inner in ((0.5, 0.345), (0.33, 0.175)):
            a, b = x + side * outer * w, x + side * inner * w
            view.body([(a, y + 0.03 * h), (a - side * 0.02 * w, y), (b + side * 0.02 * w, y), (b, y + 0.03 * h),
                       (b, y + wheel - 0.03 * h), (b + side * 0.02 * w, y + wheel), (a - side * 0.02 * w, y + wheel),
                       (a, y + wheel - 0.03 * h)], fill="dark")  # fmt: skip
    view.body([(x - 0.175 * w, y + 0.16 * h), (x + 0.175 * w, y + 0.16 * h), (x + 0.175 * w, y + 0.27 * h),
               (x - 0.175 * w, y + 0.27 * h)])  # fmt: skip
    view.circle((x, y + 0.215 * h), 0.07 * h, fill="paper", pen="thin")
    # the guard over the cab stands up in front of the body
    view.body([(x - 0.42 * w, y + 0.9 * h), (x + 0.42 * w, y + 0.9 * h), (x + 0.4 * w, y + 1.1 * h), (x - 0.4 * w, y + 1.1 * h)])
    view.body([(x - 0.34 * w, y + 0.4 * h), (x + 0.34 * w, y + 0.4 * h), (x + 0.44 * w, y + 0.52 * h), (x + 0.5 * w, y + 0.56 * h),
               (x + 0.5 * w, y + h), (x - 0.5 * w, y + h), (x - 0.5 * w, y + 0.56 * h), (x - 0.44 * w, y + 0.52 * h)])  # fmt: skip
    view.polygon([(x - 0.32 * w, y + 0.5 * h), (x + 0.32 * w, y + 0.5 * h), (x + 0.41 * w, y + 0.95 * h),
                  (x - 0.41 * w, y + 0.95 * h)], pen="thin")  # fmt: skip
    for share in (-0.2, 0.0, 0.2):
        view.line((x + share * w, y + 0.5 * h), (x + 1.25 * share * w, y + 0.95 * h), pen="thin")
    for side in (-1, 1):
        view.rect(x + side * 0.4 * w - 0.025 * w, y + 0.44 * h, x + side * 0.4 * w + 0.025 * w, y + 0.49 * h, fill="dark", pen="none")


def end_view(
    gauge: float,
    shoe: float,
    cg_height: float,
    *,
    angle: float = 0.0,
    foot: Point = (0.0, 0.0),
) -> tuple[list[list[Point]], list[Point], list[Point]]:
    """Return the outlines of a crawler machine from behind: two tracks, the body, the cab.

    `gauge` is from track centre to track centre, `shoe` the shoe width. `foot` is the point on the
    ground midway between the tracks; `angle` turns the whole about it.
    """
    x, y = foot
    track_height = 0.42 * gauge
    tracks: list[list[Point]] = []
    for side in (-1, 1):
        centre = x + side * gauge / 2
        tracks.append(
            [(centre - shoe / 2, y), (centre + shoe / 2, y), (centre + shoe / 2, y + track_height),
             (centre - shoe / 2, y + track_height)]
        )  # fmt: skip
    low, top = 0.22 * gauge, max(0.85 * gauge, cg_height * 1.25)
    inner = gauge / 2 - shoe / 2
    body: list[Point] = [
        (x - inner, y + low), (x + inner, y + low), (x + inner, y + track_height * 1.08),
        (x + 0.46 * gauge, y + track_height * 1.15), (x + 0.42 * gauge, y + top),
        (x - 0.42 * gauge, y + top), (x - 0.46 * gauge, y + track_height * 1.15),
        (x - inner, y + track_height * 1.08),
    ]  # fmt: skip
    cab_top = top + 0.55 * gauge
    cab: list[Point] = [
        (x - 0.33 * gauge, y + top), (x + 0.33 * gauge, y + top), (x + 0.29 * gauge, y + cab_top),
        (x - 0.29 * gauge, y + cab_top),
    ]  # fmt: skip
    return (
        [_turn(track, angle, foot) for track in tracks],
        _turn(body, angle, foot),
        _turn(cab, angle, foot),
    )


def draw_end(
    view: View,
    gauge: float,
    shoe: float,
    cg_height: float,
    *,
    angle: float = 0.0,
    foot: Point = (0.0, 0.0),
    column: str = "track_gauge",
    sized: bool = True,
    body_gauge: float | None = None,
) -> None:
    """Draw a crawler machine from behind or in front, as `end_view` outlines it.

    `column` names the column of the machine's table that `gauge` comes from; with `sized=False`
    the tracks are a sketch. With `body_gauge` the body is one of that gauge, and a beam carries
    tracks that stand wider than it.
    """
    base = body_gauge or gauge
    _, body, cab = end_view(base, shoe, cg_height, angle=angle, foot=foot)
    tracks, _, _ = end_view(gauge, shoe, cg_height, angle=angle, foot=foot)
    x, y = foot
    height = 0.42 * base
    turned = {"turned": "yes"} if angle else {}
    with view.part("machine", **turned):
        beam: list[Point] = [
            (x - gauge / 2, y + 0.38 * height), (x + gauge / 2, y + 0.38 * height),
            (x + gauge / 2, y + 0.62 * height), (x - gauge / 2, y + 0.62 * height),
        ]  # fmt: skip
        view.body(_turn(beam, angle, foot))
    facts = {"gauge": column} if sized else {"sized": "no"}
    with view.part("tracks", **facts):
        for one, two, three, four in tracks:
            # a track of a machine set wider is as high as before
            up = height / (0.42 * gauge)
            far = (one[0] + (four[0] - one[0]) * up, one[1] + (four[1] - one[1]) * up)
            near = (two[0] + (three[0] - two[0]) * up, two[1] + (three[1] - two[1]) * up)
            track = [one, two, near, far]
            view.body(track)
            # the shoe under it and the one on top
            for share in (0.12, 0.88):
                ends = [
                    (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share) for a, b in ((track[0], track[3]), (track[1], track[2]))
                ]
                view.line(ends[0], ends[1], pen="thin")
    with view.part("machine", **turned):
        view.body(body)
        view.body(cab)
        middle = (sum(p[0] for p in cab) / 4, sum(p[1] for p in cab) / 4)
        window = [(middle[0] + 0.68 * (p[0] - middle[0]), middle[1] + 0.68 * (p[1] - middle[1])) for p in cab]
        view.polygon(window, pen="thin", fill="paper")


def crawler_plan(
    view: View,
    centre: Point,
    *,
    length: float,
    width: float,
    shoe: float,
    angle: float,
) -> None:
    """Draw the two tracks of a crawler from above; `angle` is the way the tracks point."""
    x, y = centre
    for side in (-1, 1):
        mid = side * (width - shoe) / 2
        track = [
            (x - length / 2, y + mid - shoe / 2),
            (x + length / 2, y + mid - shoe / 2),
            (x + length / 2, y + mid + shoe / 2),
            (x - length / 2, y + mid + shoe / 2),
        ]
        view.body(_turn(track, angle, centre))
        for k in range(1, 10):
            px_ = x - length / 2 + length * k / 10
            ends = _turn([(px_, y + mid - shoe / 2), (px_, y + mid + shoe / 2)], angle, centre)
            view.line(ends[0], ends[1], pen="thin")


def excavator_plan(
    view: View,
    centre: Point,
    *,
    length: float,
    width: float,
    shoe: float,
    angle: float,
    look: float,
    pin: float,
    tail: float,
    bucket_length: float,
    sized: bool = True,
) -> None:
    """Draw an excavator from above: tracks, house with cab and counterweight, boom, stick, bucket.

    `length` and `width` are over the tracks, which point along `angle`; the house looks along `look`.
    `pin` is from the swing centre to the bucket's pin, `tail` to the back of the counterweight. Each
    track, the rest of the machine and its bucket are parts of the picture. Where not `sized`, the tracks
    are a sketch.
    """
    for side in (-1, 1):
        mid = side * (width - shoe) / 2
        with view.part("tracks", **({} if sized else {"sized": "no"})):
            _shoes(view, centre, -length / 2, length / 2, mid, shoe, angle)
    # under the house the two tracks are held by the frame
    half = 0.36 * width

    def at(forward: float, left: float) -> Point:
        return _turn([(centre[0] + forward, centre[1] + left)], look, centre)[0]

    with view.part("machine"):
        frame = [(-0.2 * length, -width / 2 + shoe), (0.2 * length, -width / 2 + shoe), (0.2 * length, width / 2 - shoe),
                 (-0.2 * length, width / 2 - shoe)]  # fmt: skip
        view.body(_turn([(centre[0] + x, centre[1] + y) for x, y in frame], angle, centre))
        front = min(0.32 * length, 0.6 * pin)
        view.body([at(-0.8 * tail, -half), at(front, -half), at(front, half), at(-0.8 * tail, half)])
        # the counterweight is round, so that it stays within its swing
        turn = math.asin(min(half / tail, 0.95))
        arc = [(-tail * math.cos(a), tail * math.sin(a)) for a in (turn * (k / 6 - 1) for k in range(13))]
        view.body([at(-0.62 * tail, -half), *(at(x, y) for x, y in arc), at(-0.62 * tail, half)], fill="dark")
        for k in range(3):
            view.line(at(-0.5 * tail + 0.1 * k * tail, -0.7 * half), at(-0.5 * tail + 0.1 * k * tail, 0.1 * half), pen="thin")
        # boom and stick, the cab on their left
        b = 0.12 * half + 0.04 * width
        view.body([at(0.0, -1.3 * b), at(0.62 * pin, -b), at(0.62 * pin, b), at(0.0, 1.3 * b)])
        view.body([at(0.56 * pin, -0.75 * b), at(pin, -0.6 * b), at(pin, 0.6 * b), at(0.56 * pin, 0.75 * b)])
        view.circle(at(0.6 * pin, 0.0), 0.7 * b, fill="paper", pen="thin")
        view.body([at(-0.04 * length, 0.3 * half), at(front, 0.3 * half), at(front, half), at(-0.04 * length, half)], fill="paper")
        view.polygon([at(0.55 * front, 0.38 * half), at(0.94 * front, 0.38 * half), at(0.94 * front, 0.92 * half),
                      at(0.55 * front, 0.92 * half)], pen="thin", fill="shade")  # fmt: skip
    with view.part("bucket", sized="no"):
        w = 0.5 * bucket_length
        view.body([at(pin - 0.35 * bucket_length, -w), at(pin + 0.35 * bucket_length, -w), at(pin + 0.35 * bucket_length, w),
                   at(pin - 0.35 * bucket_length, w)])  # fmt: skip
        for k in range(5):
            off = (k - 2) * 0.4 * w
            view.line(at(pin - 0.35 * bucket_length, off), at(pin - 0.52 * bucket_length, off), pen="bold")


def _shoes(view: View, centre: Point, x0: float, x1: float, mid: float, shoe: float, angle: float) -> None:
    x, y = centre
    edge = [(x + x0, y + mid - shoe / 2), (x + x1, y + mid - shoe / 2), (x + x1, y + mid + shoe / 2), (x + x0, y + mid + shoe / 2)]
    view.body(_turn(edge, angle, centre))
    for k in range(1, 14):
        at = x + x0 + (x1 - x0) * k / 14
        a, b = _turn([(at, y + mid - shoe / 2), (at, y + mid + shoe / 2)], angle, centre)
        view.line(a, b, pen="thin")


def truck_plan(view: View, centre: Point, *, body: float, width: float, way: float, full: bool = False, sized: bool = True) -> None:
    """Draw a haul truck from above; the middle of its body at `centre`, its front toward `way`.

    `body` is the inside length of its body, `width` the widest part of the truck; cab and tyres are a
    sketch around them, and so is all of it where not `sized`. It stands on the floor below whatever crest there is.
    """

    def at(forward: float, left: float) -> Point:
        return _turn([(centre[0] + forward, centre[1] + left)], way, centre)[0]

    def box(x0: float, x1: float, y0: float, y1: float) -> list[Point]:
        return [at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)]

    h, w = body / 2, width / 2
    cab = 0.62 * width
    with view.part("truck", on="floor", **({} if sized else {"sized": "no"})):
        for x0, x1, y1 in ((-0.75 * h, -0.2 * h, w), (h + 0.3 * cab, h + 0.75 * cab, w)):
            for side in (-1, 1):
                view.body(box(x0, x1, side * 0.72 * y1, side * y1), fill="dark")
        view.body(box(h, h + 0.95 * cab, -0.8 * w, 0.8 * w))
        view.polygon(box(h + 0.62 * cab, h + 0.8 * cab, -0.7 * w, 0.7 * w), fill="dark", pen="thin")
        view.body(box(-h - 0.03 * body, h + 0.03 * body, -0.97 * w, 0.97 * w))
        view.body(box(-h, h, -0.82 * w, 0.82 * w), fill="spoil" if full else "paper", pen="thin")
        # the guard reaches from the body over the cab
        view.body(box(h + 0.03 * body, h + 0.5 * cab, -0.9 * w, 0.9 * w))
        for share in (-0.5, 0.0, 0.5):
            view.line(at(h + 0.03 * body, share * w), at(h + 0.5 * cab, share * w), pen="thin")


def truck_plan_reach(body: float, width: float) -> tuple[float, float]:
    """Return how far a truck drawn by `truck_plan` reaches ahead of the middle of its body and behind."""
    return body / 2 + 0.95 * 0.62 * width, 0.53 * body
