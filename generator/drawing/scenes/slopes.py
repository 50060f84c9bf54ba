"""Drawings of the slopes chapter. None of them shows an allowed slope, and each says so."""

from __future__ import annotations

import math

from generator.drawing.boxes import Box, Point
from generator.drawing.canvas import Canvas
from generator.drawing.machines import crawler_plan, end_view
from generator.drawing.measure import Measure, both, join, positive

NOT_ALLOWED = "Not an allowed slope. The ground, the machine and a competent person decide."


def machine_on_side_slope(
    *,
    ident: str,
    slope: Measure,
    track_gauge: Measure,
    cg_height: Measure,
    cg_offset: Measure | None = None,
    shoe_width: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a crawler machine from behind on a side slope, with the line of its weight.

    - `slope`: radians (more than 0, less than 1.4), its text in degrees or percent.
    - `track_gauge`: track centre to track centre. The machine tips about the centre line of the low
      track: the line that `track_gauge` leads to.
    - `cg_height`: height of the centre of mass over the ground, square to the slope.
    - `cg_offset`: how far the centre of mass lies from the middle, downhill if more than 0.
    - `shoe_width`: width of a track shoe; a sketch if not given.
    - `spots=True`: regions `low-track`, `centre-of-mass` and `high-track`; the labels that would
      give them away are left out.
    """
    positive(slope=slope, track_gauge=track_gauge, cg_height=cg_height)
    if slope.si >= 1.4:
        raise ValueError(f"a slope of {slope.us} cannot be drawn")
    a, g, h = slope.si, track_gauge.si, cg_height.si
    shift = cg_offset.si if cg_offset else 0.0
    shoe = shoe_width.si if shoe_width else 0.26 * g
    # Downhill is to the left: the ground rises to the right.
    cos, sin = math.cos(a), math.sin(a)

    def at(along: float, up: float) -> tuple[float, float]:
        return (along * cos - up * sin, along * sin + up * cos)

    tracks, body, cab = end_view(g, shoe, h, angle=a)
    centre = at(-shift, h)
    tip = at(-g / 2, 0)
    far = (g / 2 + shoe / 2) * 1.35
    toe = at(-far - 0.7 * g, 0)
    crown = at(far, 0)
    foot_y = centre[0] * math.tan(a)
    points = [toe, crown, centre, *body, *cab, *(p for track in tracks for p in track)]
    x0, x1 = min(p[0] for p in points), max(p[0] for p in points)
    y0, y1 = min(p[1] for p in points), max(p[1] for p in points)
    falls_out = centre[0] < tip[0]
    canvas = Canvas(
        ident,
        title="A machine on a side slope, and the line of its weight",
        desc=both(
            "A crawler machine from behind on a side slope of ",
            slope,
            ". Track gauge ",
            track_gauge,
            ". Centre of mass ",
            cg_height,
            " over the ground. The weight acts straight down. "
            + (
                "Its line falls outside the low track: the machine tips. "
                if falls_out
                else "Its line falls inside the low track. "
            ),
            NOT_ALLOWED,
        ),
    )
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    base = min(y0 - 0.18 * g, min(foot_y, centre[1]) - 0.5 * g)
    view = canvas.view((x0, base, x1, y1), pad=(40, 14, 90, 50), max_height=360)
    view.polygon([toe, crown, (crown[0], base), (toe[0], base)], pen="none", fill="earth")
    view.line(toe, crown, pen="bold")
    view.line(toe, (crown[0], toe[1]), pen="dash")
    for track in tracks:
        view.body(track)
    view.body(body)
    view.body(cab)
    view.weight_line(centre, min(foot_y, centre[1]) - 0.36 * g)
    view.line(centre, tip, pen="dash")
    view.mass_mark(centre)
    view.angle(toe, 0.0, a, slope, radius=78, prefer=("right",))
    view.dimension(
        at(-g / 2, 0),
        at(g / 2, 0),
        join("Gauge ", track_gauge),
        measure=track_gauge,
        offset=-26,
        prefer="below",
    )
    side = g / 2 + shoe / 2 + 0.12 * g
    view.line(centre, at(side + 0.05 * g, h), pen="thin")
    view.dimension(
        at(side, 0),
        at(side, h),
        join("Height ", cg_height),
        measure=cg_height,
        prefer="right",
        width=75,
    )
    if spots:
        view.spot("low-track", "the low track", [tip])
        view.spot("centre-of-mass", "the centre of mass", [centre])
        view.spot("high-track", "the high track", [at(g / 2, 0)])
    else:
        view.label(centre, "Centre of mass", prefer=("left", "above"), width=110, clear=True)
        view.label(tip, "Low track: it tips about this line", prefer=("left",), width=130)
    view.label(
        (centre[0], min(foot_y, centre[1]) - 0.36 * g),
        "Weight",
        prefer=("below", "right"),
    )
    canvas.note(
        "The weight line falls outside the low track: here the machine tips."
        if falls_out
        else "The weight line still falls inside the low track. Bumps, soft ground, a swing or a "
        "load move it."
    )
    return canvas


def building_a_slope(
    *,
    ident: str,
    slope: Measure,
    height: Measure,
    windrow_height: Measure,
    layers: int = 4,
    windrow_ratio: float = 1.5,
) -> Canvas:
    """Draw a slope built from the top down, layer by layer, with a windrow on the low side.

    - `slope`: radians between the finished slope and the level (0.05 to 1.3).
    - `height`: metres from toe to top. `windrow_height`: metres, at the toe.
    - `layers`: 1 to 8 cuts, numbered from the top. `windrow_ratio`: run for one of rise of the
      windrow's sides, a sketch.
    """
    positive(slope=slope, height=height, windrow_height=windrow_height)
    if not 0.05 <= slope.si <= 1.3:
        raise ValueError(f"a slope of {slope.us} cannot be drawn")
    if not 1 <= layers <= 8:
        raise ValueError(f"draw 1 to 8 layers, not {layers}")
    a, h, w = slope.si, height.si, windrow_height.si
    run = h / math.tan(a)
    canvas = Canvas(
        ident,
        title="Building a slope from the top down",
        desc=both(
            "A slope of ", slope, " and ", height, f" high, cut from the top down in {layers} "
            "layers. A windrow ", windrow_height, " high lies on the low side. ", NOT_ALLOWED,
        ),
    )  # fmt: skip
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    half = windrow_ratio * w
    left = -2.4 * half - 0.12 * run
    step = h / layers
    bite = max(0.3 * run, 0.3 * h)
    right = run + bite + 0.12 * (run + h)
    base = -0.16 * (h + 0.3 * run)
    view = canvas.view((left, base, right, max(h, w)), pad=(104, 30, 92, 34), max_height=300)
    view.polygon(
        [(left, 0), (0, 0), (run, h), (right, h), (right, base), (left, base)],
        pen="none", fill="earth",
    )  # fmt: skip
    numbers: list[Point] = []
    for k in range(layers):
        top, low = h - k * step, h - (k + 1) * step
        # What each cut takes lies in front of the finished slope.
        cut = [
            (low / math.tan(a), low), (top / math.tan(a), top),
            (top / math.tan(a) - bite * 0.55, top), (low / math.tan(a) - bite * 0.55, low),
        ]  # fmt: skip
        cut = [(max(x, 0.0), y) for x, y in cut]
        view.polygon(cut, pen="dash")
        middle = ((cut[2][0] + cut[3][0]) / 2, (top + low) / 2)
        numbers.append(
            (middle[0] - view.metres(22) * math.sin(a), middle[1] + view.metres(22) * math.cos(a))
        )
    last: Point | None = None
    for k, spot in enumerate(numbers):
        here, final = view.px(spot), view.px(numbers[-1])
        room = last is None or math.dist(here, last) >= 30
        if k == layers - 1 or (room and math.dist(here, final) >= 30):
            view.badge(spot, str(k + 1))
            last = here
    view.line((0, 0), (run, h), pen="bold")
    view.line((left, 0), (0, 0))
    view.line((run, h), (right, h))
    centre = -1.2 * half
    view.body([(centre - half, 0), (centre, w), (centre + half, 0)], fill="spoil")
    view.angle((0, 0), 0.0, a, slope, radius=min(56.0, 0.5 * run * view.per_metre))
    view.line((0, 0), (run * 0.7, 0), pen="dash")
    view.dimension(
        (right, 0), (right, h), join("Height ", height), measure=height, offset=-8, prefer="right",
        width=82,
    )  # fmt: skip
    view.dimension(
        (left, 0), (left, w), join("Windrow ", windrow_height), measure=windrow_height, offset=6,
        prefer="left", width=82,
    )  # fmt: skip
    view.arrow((right, h + view.metres(14)), (right - view.metres(46), h + view.metres(14)))
    canvas.legend([("earth", "Ground that stays"), ("spoil", "Windrow on the low side")])
    canvas.note("Dashed: the cuts, from the top down. Work up and down the fall.")
    return canvas


def if_it_slides(*, ident: str, spots: bool = False) -> Canvas:
    """Draw from above what to do when a machine slides: blade up, then turn downhill.

    A sketch without measures. `spots=True`: regions `uphill`, `along` and `downhill` for the way to
    turn.
    """
    canvas = Canvas(
        ident,
        title="If the machine slides",
        desc="From above, on a side slope. Lines run level along the slope; downhill is at the "
        "bottom. The machine travels along the slope and starts to slide. "
        + (
            "Where does it turn? "
            if spots
            else "First the load is let go, then the machine turns downhill. "
        )
        + NOT_ALLOWED,
    )
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    view = canvas.view((0, 0, 480, 300), pad=(16, 10, 16, 6), max_height=310, scale="none")
    for k in range(5):
        y = 24 + 62 * k
        view.polyline([(4 + 24 * n, y + 3 * math.sin(n * 0.8 + k)) for n in range(20)], pen="thin")
    crawler_plan(view, (110, 205), length=78, width=62, shoe=15, angle=0.0)
    view.body([(158, 168), (166, 168), (166, 242), (158, 242)], fill="dark")
    view.body([(84, 190), (136, 190), (136, 220), (84, 220)])
    view.label((420, 290), "Uphill", prefer=("on",), bold=True, leader=False)
    view.label((420, 40), "Downhill", prefer=("on",), bold=True, leader=False)
    if spots:
        view.spot("uphill", "turn uphill", [(300, 262)])
        view.spot("along", "keep straight on", [(330, 175)])
        view.spot("downhill", "turn downhill", [(300, 70)])
    else:
        points: list[Point] = []
        for k in range(13):
            turn = k / 12 * math.pi / 2
            points.append((182 + 92 * math.sin(turn), 113 + 92 * math.cos(turn)))
        points.append((274, 24))
        view.arrow_path(points)
        view.badge((110, 205), "1")
        view.badge((255, 178), "2")
        view.badge((274, 96), "3")
        canvas.note("1. It slides or feels light: let the load go. Blade up.")
        canvas.note("2. Turn downhill.")
        canvas.note("3. Straight down the fall to flat ground. Stop and report it.")
    return canvas


def main_fall_and_cross_slope(
    *,
    ident: str,
    main_fall: Measure,
    cross_slope: Measure,
    steepest: Measure,
) -> Canvas:
    """Draw main fall, cross slope and the steepest way down, from above, as arrows to one scale.

    All three are grades as fractions; `steepest` must be the root of the squares' sum.
    """
    if main_fall.si < 0 or cross_slope.si < 0:
        raise ValueError("give both grades as zero or more")
    true = math.hypot(main_fall.si, cross_slope.si)
    if true <= 0 or abs(steepest.si - true) > 0.01 * true:
        raise ValueError(f"{main_fall.us} and {cross_slope.us} make {true:.4g}")
    m, c = main_fall.si, cross_slope.si
    canvas = Canvas(
        ident,
        title="Main fall, cross slope and the steepest way down",
        desc=both(
            "From above. The surface falls ", main_fall, " along the work and ", cross_slope,
            " across it. Water runs the steepest way, at ", steepest, ", between the two.",
        ),
    )  # fmt: skip
    big = max(m, c)
    span_m, span_c = max(m, 0.35 * big), max(c, 0.35 * big)
    view = canvas.view(
        (-0.3 * big, -span_m - 0.25 * big, span_c + 0.3 * big, 0.2 * big),
        pad=(120, 40, 120, 40), max_height=300, scale="bars",
    )  # fmt: skip
    x0, y0, x1, y1 = view.world
    view.rect(x0, y0, x1, y1, pen="thin")
    # Level lines lie square to the steepest way.
    ux, uy = c / true, -m / true
    for k in range(1, 6):
        d = (k - 0.5) * true / 5
        ends = _clip((ux * d, uy * d), (-uy, ux), (x0, y0, x1, y1))
        if ends:
            view.line(ends[0], ends[1], pen="dash")
    if m > 0:
        view.arrow((0, 0), (0, -m))
        view.line((0, -m * 0.55), (x0, -m * 0.55), pen="thin")
        view.label((x0, -m * 0.55), join("Main fall ", main_fall), prefer=("left",), leader=False, width=110)
    if c > 0:
        view.arrow((0, 0), (c, 0))
        view.label((c * 0.55, 0), join("Cross slope ", cross_slope), prefer=("above",), width=190)
    view.arrow((0, 0), (c, -m))
    # the names stand outside the frame, each on a line from its arrow
    view.line((c * 0.8, -m * 0.8), (x1, -m * 0.8), pen="thin")
    view.label((x1, -m * 0.8), join("Steepest ", steepest), prefer=("right",), leader=False, width=110)
    canvas.note("The arrows are drawn to one scale. Dashed: level lines of the surface.")
    return canvas


def _clip(point: Point, way: Point, box: Box) -> tuple[Point, Point] | None:
    """Cut a line through `point` along `way` to the box."""
    low, high = -1e9, 1e9
    for p, d, a, b in ((point[0], way[0], box[0], box[2]), (point[1], way[1], box[1], box[3])):
        if abs(d) < 1e-12:
            if not a <= p <= b:
                return None
            continue
        first, second = sorted(((a - p) / d, (b - p) / d))
        low, high = max(low, first), min(high, second)
    if low >= high:
        return None
    return (
        (point[0] + way[0] * low, point[1] + way[1] * low),
        (point[0] + way[0] * high, point[1] + way[1] * high),
    )
