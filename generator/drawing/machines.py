"""Plain outlines of machines, of our own, sized by the few lengths that matter to a drawing.

Only the lengths named as arguments are to scale; the rest of an outline is a sketch around them.
All points are in metres. `facing` is 1 for a machine that faces right, -1 for left.
"""

from __future__ import annotations

import math

from generator.drawing.boxes import Point
from generator.drawing.view import View


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
    steps = 6
    r = height / 2
    points: list[Point] = []
    for cx, start in ((x1 - r, -math.pi / 2), (x0 + r, math.pi / 2)):
        points += [
            (
                cx + r * math.cos(start + math.pi * k / steps),
                y + r + r * math.sin(start + math.pi * k / steps),
            )
            for k in range(steps + 1)
        ]
    view.body(_turn(points, angle, about), fill="shade")
    for wheel in _turn([(x0 + r, y + r), (x1 - r, y + r)], angle, about):
        view.circle(wheel, r * 0.55, pen="thin")


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

    with view.part("machine"):
        if behind:
            blade()
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
) -> Point:
    """Draw an excavator from the side; its slewing centre at `x`, its tracks on `y`.

    `stick` is the stick's length, pin to pin. `elbow` is where the pin of boom and stick stands;
    the stick leaves it at `stick_angle` (radians; straight down is -pi/2). The boom reaches from
    the machine to the elbow. Returns where the bucket pin stands.
    """
    s = stick

    def at(forward: float, up: float) -> Point:
        return (x + facing * forward * s, y + up * s)

    foot = at(0.22, 0.55)
    pin = (elbow[0] + s * math.cos(stick_angle), elbow[1] + s * math.sin(stick_angle))
    # A boom has a bend in it: its back lies above the straight line from foot to elbow.
    span = math.dist(foot, elbow)
    ux, uy = (elbow[0] - foot[0]) / span, (elbow[1] - foot[1]) / span
    nx, ny = (-uy, ux) if ux >= 0 else (uy, -ux)

    def along(share: float, off: float) -> Point:
        return (
            foot[0] + ux * span * share + nx * off,
            foot[1] + uy * span * share + ny * off,
        )

    rise = 0.2 * span
    view.body(
        [along(-0.02, 0.06 * s), along(0.38, rise + 0.12 * s), along(0.55, rise + 0.1 * s),
         along(1.02, 0.06 * s), along(0.99, -0.07 * s), along(0.56, rise - 0.1 * s),
         along(0.42, rise - 0.1 * s), along(0.06, -0.06 * s)]
    )  # fmt: skip
    t = 0.05 * s
    a, b = sorted((x - 0.75 * s, x + 0.75 * s))
    track_side(view, a, b, y, 0.3 * s)
    view.body([at(-0.3, 0.3), at(0.3, 0.3), at(0.3, 0.36), at(-0.3, 0.36)])
    view.body(
        [at(-0.95, 0.36), at(0.5, 0.36), at(0.5, 0.5), at(0.42, 0.98), at(0.02, 1.0),
         at(-0.06, 0.72), at(-0.85, 0.72), at(-0.95, 0.6)]
    )  # fmt: skip
    view.polygon(
        [at(0.08, 0.6), at(0.43, 0.6), at(0.37, 0.92), at(0.08, 0.93)],
        fill="paper",
        pen="thin",
    )
    sx, sy = math.cos(stick_angle), math.sin(stick_angle)
    px_, py_ = -sy, sx
    back = (elbow[0] - sx * 0.16 * s, elbow[1] - sy * 0.16 * s)
    view.body(
        [(back[0] + px_ * t, back[1] + py_ * t), (elbow[0] + px_ * 1.8 * t, elbow[1] + py_ * 1.8
          * t), (pin[0] + px_ * t, pin[1] + py_ * t), (pin[0] - px_ * t, pin[1] - py_ * t),
         (elbow[0] - px_ * 1.8 * t, elbow[1] - py_ * 1.8 * t), (back[0] - px_ * t, back[1]
          - py_ * t)]
    )  # fmt: skip
    bucket(view, pin, 0.42 * s, stick_angle + facing * bucket_angle, facing=facing)
    for joint in (elbow, pin):
        view.circle(joint, 0.055 * s, fill="paper", pen="line")
    return pin


def bucket(view: View, pin: Point, size: float, angle: float, *, facing: int = 1) -> None:
    """Draw a bucket that hangs from `pin`; `angle` turns it, its teeth face the machine."""
    shape: list[Point] = [
        (0.0, 0.12), (0.0, -0.12), (0.35, -0.42), (0.8, -0.4), (1.05, -0.05), (1.1, 0.35),
        (0.95, 0.42), (0.45, 0.2),
    ]  # fmt: skip
    points = [(pin[0] + p * size, pin[1] - facing * q * size) for p, q in shape]
    view.body(_turn(points, angle, pin))


def truck_end(view: View, x: float, y: float, width: float, height: float) -> None:
    """Draw a haul truck from behind, `width` wide and `height` to the top of its sides."""
    w, h = width, height
    wheel = 0.42 * h
    for side in (-1, 1):
        outer, inner = x + side * 0.48 * w, x + side * 0.16 * w
        view.body(
            [(outer, y), (outer, y + wheel), (inner, y + wheel), (inner, y)],
            fill="shade",
        )
    view.body(
        [(x - 0.34 * w, y + 0.36 * h), (x + 0.34 * w, y + 0.36 * h), (x + 0.5 * w, y + 0.55 * h),
         (x + 0.5 * w, y + h), (x + 0.43 * w, y + h), (x + 0.43 * w, y + 0.62 * h),
         (x - 0.43 * w, y + 0.62 * h), (x - 0.43 * w, y + h), (x - 0.5 * w, y + h),
         (x - 0.5 * w, y + 0.55 * h)]
    )  # fmt: skip


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
                    (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
                    for a, b in ((track[0], track[3]), (track[1], track[2]))
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
