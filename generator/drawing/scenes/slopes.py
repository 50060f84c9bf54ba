"""Drawings of the slopes chapter. None of them shows an allowed slope, and each says so."""

from __future__ import annotations

import math

from generator.drawing.boxes import Box, Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import Crawler, compact_plan, crawler_of, dozer_plan, draw_end, end_heights, end_view, excavator_plan
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.view import View

Looks = tuple[Crawler, tuple[float, float] | None]
"""Which crawler is drawn, and the width and height of its blade."""
CLEAR = 0.1
"""How far a blade is lifted to travel, in gauges of the tracks."""


def looks_of(blade_width: Measure | None, blade_height: Measure | None, bucket_width: Measure | None) -> Looks:
    blade = (blade_width.si, blade_height.si) if blade_width and blade_height else None
    return crawler_of(blade, bucket_width), blade


NOT_ALLOWED = "Not an allowed slope. The ground, the machine and a competent person decide."


def machine_on_side_slope(
    *,
    ident: str,
    slope: Measure,
    track_gauge: Measure,
    cg_height: Measure,
    cg_offset: Measure | None = None,
    shoe_width: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    bucket_width: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a crawler machine from behind on a side slope, with the line of its weight.

    - `slope`: radians (more than 0, less than 1.4), its text in degrees or percent.
    - `track_gauge`: track centre to track centre. The machine tips about the centre line of the low
      track: the line that `track_gauge` leads to.
    - `cg_height`: height of the centre of mass over the ground, square to the slope.
    - `cg_offset`: how far the centre of mass lies from the middle, downhill if more than 0.
    - `shoe_width`: width of a track shoe; a sketch if not given.
    - `blade_width`, `blade_height`, `bucket_width`: metres; which of them there are tells a dozer from an
      excavator and a compact one. A blade is drawn just clear of the ground.
    - `spots=True`: regions `low-track`, `centre-of-mass` and `high-track`; the labels that would
      give them away are left out.
    """
    positive(slope=slope, track_gauge=track_gauge, cg_height=cg_height)
    if slope.si >= 1.4:
        raise DrawingRefused(f"a slope of {slope.us} cannot be drawn")
    a, g, h = slope.si, track_gauge.si, cg_height.si
    shift = cg_offset.si if cg_offset else 0.0
    shoe = shoe_width.si if shoe_width else 0.26 * g
    # Downhill is to the left: the ground rises to the right.
    cos, sin = math.cos(a), math.sin(a)

    def at(along: float, up: float) -> tuple[float, float]:
        return (along * cos - up * sin, along * sin + up * cos)

    kind, blade = looks_of(blade_width, blade_height, bucket_width)
    tracks, body, cab = end_view(g, shoe, h, angle=a, kind=kind, blade=blade)
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
            + ("Its line falls outside the low track: the machine tips. " if falls_out else "Its line falls inside the low track. "),
            NOT_ALLOWED,
        ),
    )
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    base = min(y0 - 0.18 * g, min(foot_y, centre[1]) - 0.5 * g)
    view = canvas.view((x0, base, x1, y1), pad=(40, 14, 112, 50), max_height=360, seen="end")
    view.polygon([toe, crown, (crown[0], base), (toe[0], base)], pen="none", fill="earth")
    view.line(toe, crown, pen="bold")
    view.line(toe, (crown[0], toe[1]), pen="dash")
    draw_end(view, g, shoe, h, angle=a, sized=shoe_width is not None, kind=kind, blade=blade, blade_up=CLEAR * g)
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
    side = max(g / 2 + shoe / 2, blade[0] / 2 if blade else 0.0) + 0.1 * g  # clear of tracks and blade
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
        else "The weight line still falls inside the low track. Bumps, soft ground, a swing or a load move it."
    )
    return canvas


def stone_under_a_track(
    *,
    ident: str,
    slope: Measure,
    bump_height: Measure,
    with_bump: Measure,
    track_gauge: Measure,
    cg_height: Measure,
    shoe_width: Measure,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    bucket_width: Measure | None = None,
) -> Canvas:
    """Draw a machine from behind whose high track stands on a stone, and below it on even ground.

    - `slope`: the side slope of the ground, a fraction (0 to 1); `with_bump`: that of the machine on
      the stone, which must be `slope` and `bump_height` over `track_gauge` together.
    - `bump_height`: metres, how high the stone stands over the ground, measured plumb.
    - `track_gauge`, `cg_height`, `shoe_width`: metres; the rest as for `machine_on_side_slope`.

    The drawing is true to the gauge and to the stone. The machine then leans a little more than the
    sum says. Raises `DrawingRefused` for a stone as high as the gauge, or another sum.
    """
    positive(bump_height=bump_height, with_bump=with_bump, track_gauge=track_gauge,
             cg_height=cg_height, shoe_width=shoe_width)  # fmt: skip
    t, b, g, h, shoe = slope.si, bump_height.si, track_gauge.si, cg_height.si, shoe_width.si
    if not 0 <= t <= 1 or b >= 0.5 * g:
        raise DrawingRefused(f"{slope.us} with a stone of {bump_height.us} under a gauge of {track_gauge.us} cannot be drawn")
    if abs(with_bump.si - (t + b / g)) > 0.01 * with_bump.si:
        raise DrawingRefused(f"{slope.us} and {bump_height.us} over {track_gauge.us} make {t + b / g:.4g}")
    a = math.atan(t)
    leans = a + math.asin(b * math.cos(a) / g)
    canvas = Canvas(
        ident,
        title="A stone under the high track",
        desc=both(
            "A crawler machine from behind on a side slope of ", slope, ", twice at one scale. The wrong way: its "
            "high track stands on a stone ", bump_height, " high, and the machine leans by ", with_bump,
            ". The right way: the stone is gone and both tracks stand on even ground. ", NOT_ALLOWED,
        ),
    )  # fmt: skip
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    looks = looks_of(blade_width, blade_height, bucket_width)
    wrong = on_slope(canvas, None, (t, leans, g, h, shoe, b), looks)
    wrong.label((0.0, 0.0), "Wrong: over the stone", prefer=("above", "left"), bold=True, width=110, clear=True)
    xh = g * math.cos(leans)
    side = xh + shoe * 0.75
    wrong.line((xh, t * xh + b), (side + 0.2 * shoe, t * (side + 0.2 * shoe) + b), pen="thin")
    wrong.dimension((side, t * side), (side, t * side + b), join("Stone ", bump_height), measure=bump_height,
                    offset=-6, prefer="right", width=74)  # fmt: skip
    left = -0.75 * g
    wrong.label((left, left * t), join("Ground ", slope), prefer=("below", "right"), width=130)
    wrong.label((xh / 2, 0.5 * g * math.sin(leans)), join("Machine ", with_bump), prefer=("below", "right"), width=150, clear=True)
    right = on_slope(canvas, wrong, (t, a, g, h, shoe, 0.0), looks)
    right.label((0.0, 0.0), "Right: stone moved away", prefer=("above", "left"), bold=True, width=110, clear=True)
    right.dimension((0.0, 0.0), (g * math.cos(a), g * math.sin(a)), join("Gauge ", track_gauge), measure=track_gauge,
                    offset=-26, prefer="below")  # fmt: skip
    canvas.note("The stone lifts the high track over the whole gauge. A hole under the low track does the same.")
    return canvas


def on_slope(canvas: Canvas, like: View | None, figures: tuple[float, float, float, float, float, float], looks: Looks) -> View:
    """Open a view of a machine that leans by an angle on ground of a slope, its low track at the origin."""
    t, leans, g, h, shoe, b = figures
    cos, sin = math.cos(leans), math.sin(leans)
    foot = (g / 2 * cos, g / 2 * sin)
    kind, blade = looks
    tracks, body, cab = end_view(g, shoe, h, angle=leans, foot=foot, kind=kind, blade=blade)
    points = [*body, *cab, *(p for track in tracks for p in track)]
    x0, x1 = min(-0.9 * g, *(p[0] for p in points)), max(1.45 * g + shoe, *(p[0] for p in points))
    base = x0 * t - 0.2 * g
    view = canvas.view(
        (x0, base, x1, max(p[1] for p in points)), pad=(60, 12, 84, 46), max_height=300, like=like,
        seen="end", way="wrong" if b else "right",
    )  # fmt: skip
    view.polygon([(x0, x0 * t), (x1, x1 * t), (x1, base), (x0, base)], pen="none", fill="earth")
    view.line((x0, x0 * t), (x1, x1 * t), pen="bold")
    if b:
        xh, w = g * cos, 0.9 * shoe
        up = math.tan(leans)
        top = xh * t + b
        with view.part("stone"):
            view.body(
                [(xh - 0.5 * w, (xh - 0.5 * w) * t), (xh - 0.42 * w, (xh - 0.42 * w) * t + 0.6 * b),
                 (xh - 0.22 * w, top - 0.22 * w * up), (xh + 0.22 * w, top + 0.22 * w * up),
                 (xh + 0.44 * w, (xh + 0.44 * w) * t + 0.55 * b), (xh + 0.5 * w, (xh + 0.5 * w) * t)],
                fill="dark",
            )  # fmt: skip
    draw_end(view, g, shoe, h, angle=leans, foot=foot, kind=kind, blade=blade, blade_up=CLEAR * g)
    centre = (foot[0] - h * sin, foot[1] + h * cos)
    view.weight_line(centre, centre[0] * t - 0.12 * g)
    view.line(centre, (0.0, 0.0), pen="dash")
    view.mass_mark(centre)
    if b:
        far = 1.3 * g + shoe
        view.line((0.0, 0.0), (far * cos, far * sin), pen="dash")
    return view


def windrow_of(height: Measure | None, as_set: Measure | None) -> Measure:
    """How high a windrow is drawn: by the trucks of the site, or else as the site has set it. Raises DrawingRefused."""
    found = height or as_set
    if found is None:
        raise DrawingRefused("nothing says how high the windrow is")
    return found


def building_a_slope(
    *,
    ident: str,
    slope: Measure,
    height: Measure,
    windrow_height: Measure | None = None,
    windrow_set: Measure | None = None,
    layers: int = 4,
    windrow_ratio: float = 1.5,
    keep_back: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    cg_height: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
) -> Canvas:
    """Draw a slope built from the top down, and close up the bench a machine stands on.

    - `slope`: radians between the finished slope and the level (0.05 to 1.3).
    - `height`: metres from toe to top. `layers`: 1 to 8 cuts, numbered from the top.
    - `windrow_height`: metres; the windrow lies on the low edge of the bench, its sides run out
      `windrow_ratio` for one of rise. Where it goes by no truck, `windrow_set` is what the site has set.
    - `keep_back`: metres from the bench's edge to the nearest track, at least the windrow's width.
    - `track_gauge`, `shoe_width`, `cg_height`: metres; the machine is left out where one is not given.
    - `blade_width`, `blade_height`: metres, of the dozer; without them it is some crawler.
    """
    windrow_height = windrow_of(windrow_height, windrow_set)
    positive(slope=slope, height=height, windrow_height=windrow_height)
    if not 0.05 <= slope.si <= 1.3:
        raise DrawingRefused(f"a slope of {slope.us} cannot be drawn")
    if not 1 <= layers <= 8:
        raise DrawingRefused(f"draw 1 to 8 layers, not {layers}")
    a, h, w = slope.si, height.si, windrow_height.si
    base_width = 2 * windrow_ratio * w
    keep = keep_back.si if keep_back else base_width
    if keep < 0.99 * base_width:
        raise DrawingRefused(f"{keep_back.us if keep_back else ''} from the edge the tracks stand on the windrow")
    machine = (track_gauge.si, shoe_width.si, cg_height.si) if track_gauge and shoe_width and cg_height else None
    wide = machine[0] + machine[1] if machine else 1.5 * base_width
    looks = looks_of(blade_width, blade_height, None)
    bench = keep + max(1.3 * wide, (wide + (blade_width.si if blade_width else 0.0)) / 2 + 0.15 * wide)
    canvas = Canvas(
        ident,
        title="Building a slope from the top down",
        desc=both(
            "A slope of ", slope, " and ", height, f" high, cut across, in {layers} cuts from the top down. Each cut "
            "leaves a level bench. Close up: a windrow ", windrow_height, " high lies on the low edge of the bench, "
            "and the machine keeps its tracks back from that edge. ", NOT_ALLOWED,
        ),
    )  # fmt: skip
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    _cuts(canvas, (a, h, bench, w, base_width), slope, height, layers)
    _bench(canvas, (a, w, base_width, keep, bench, wide), windrow_height, keep_back, machine, looks)
    canvas.legend([("earth", "Ground that stays for now"), ("spoil", "Windrow on the low edge")])
    canvas.note("Work up and down the fall. Along a bench, only where it is level, with the windrow between the machine and the edge.")
    return canvas


def _cuts(canvas: Canvas, figures: tuple[float, float, float, float, float], slope: Measure, height: Measure, layers: int) -> None:
    """The whole slope cut across: cuts done and to do, and the bench that is worked on."""
    a, h, bench, w, base_width = figures
    steep = math.tan(a)
    run, step, done = h / steep, h / layers, layers // 2
    level = h - done * step
    left, right = -bench - 0.1 * (run + h), run + 0.16 * (run + bench)
    low = -0.12 * (h + 0.3 * run)
    view = canvas.view((left, low, right, h + w), pad=(18, 60, 92, 24), max_height=280, seen="across")
    edge = (level / steep - bench, level)
    ground: list[Point] = [(left, 0), (-bench, 0), edge, (level / steep, level), (run, h), (right, h)]
    view.polygon([*ground, (right, low), (left, low)], pen="none", fill="earth")
    for k in range(layers):
        top, under = h - k * step, h - (k + 1) * step
        cut = [(under / steep, under), (top / steep, top), (top / steep - bench, top), (under / steep - bench, under)]
        view.polygon(cut, pen="dash")
    view.polyline(ground, pen="bold")
    with view.part("crest"):
        view.line(edge, (edge[0], edge[1] - 0.02 * h), pen="thin")
    if done:
        with view.part("windrow"):
            view.body([edge, (edge[0] + base_width / 2, level + w), (edge[0] + base_width, level)], fill="spoil")
    last: Point | None = None
    spots = [((h - (k + 0.5) * step) / steep - 0.5 * bench, h - (k + 0.5) * step) for k in range(layers)]
    for k, spot in enumerate(spots):
        if k >= done:  # in the ground, clear of the windrow
            spot = (spot[0], spot[1] - view.metres(15))
        here, final = view.px(spot), view.px(spots[-1])
        room = last is None or math.dist(here, last) >= 30
        if k == layers - 1 or (room and math.dist(here, final) >= 30):
            view.badge(spot, str(k + 1))
            last = here
    # out beyond the numbers of the cuts
    out_to = max(min(0.68 * run * view.per_metre, 210.0), 40.0)
    view.angle((0, 0), 0.0, a, slope, radius=out_to, prefer=("right", "below"))
    view.line((0, 0), (max(run * 0.7, view.metres(out_to + 10)), 0), pen="dash")
    view.line((0, 0), (level / steep, level), pen="dash")
    view.dimension((right, 0), (right, h), join("Height ", height), measure=height, offset=-8, prefer="right", width=82)
    out = (-math.sin(a), math.cos(a))

    def beside(share: float, off: float) -> Point:
        y = level + share * (h - level)
        return (y / steep + out[0] * view.metres(off), y + out[1] * view.metres(off))

    if done:
        off = 10 + bench * math.sin(a) * view.per_metre  # clear of the dashed cuts
        view.arrow(beside(0.9, off), beside(0.25, off))
        view.arrow(beside(0.25, off + 12), beside(0.9, off + 12))
        view.label(beside(0.55, off + 15), "Up and down the fall", prefer=("above", "left"), width=170)


def _bench(
    canvas: Canvas,
    figures: tuple[float, float, float, float, float, float],
    windrow_height: Measure,
    keep_back: Measure | None,
    machine: tuple[float, float, float] | None,
    looks: Looks,
) -> None:
    """The bench close up: the windrow on its low edge, and a machine from behind that stays off it."""
    a, w, base_width, keep, bench, wide = figures
    steep = math.tan(a)
    outside, tall = 0.35 * bench, max(1.02 * end_heights(machine[0], machine[2], looks[0])[2] if machine else 0.0, 1.4 * w)
    drop = min(outside * steep, 0.3 * bench)
    beyond = min(0.3 * bench, tall / steep)
    x0, x1, low = -outside, bench + beyond, -drop - 0.06 * bench
    view = canvas.view((x0, low, x1, tall), pad=(18, 26, 20, 60), max_height=260, seen="end")
    ground: list[Point] = [(-drop / steep, -drop), (0, 0), (bench, 0), (bench + beyond, beyond * steep)]
    start = [(x0, -drop)] if x0 < -drop / steep - 1e-9 else []
    view.polygon([*start, *ground, (x1, low), (x0, low)], pen="none", fill="earth")
    view.polyline([*start, *ground], pen="bold")
    with view.part("crest"):
        view.line((0, 0), (0, -0.02 * bench), pen="thin")
    if machine:
        gauge, shoe, cg = machine
        draw_end(view, gauge, shoe, cg, foot=(keep + wide / 2, 0.0), kind=looks[0], blade=looks[1], blade_up=CLEAR * gauge)
    # nearer than the blade, which is at the far end of the machine
    with view.part("windrow"):
        view.body([(0, 0), (base_width / 2, w), (base_width, 0)], fill="spoil")
    view.dimension((-0.2 * outside, 0), (-0.2 * outside, w), join("Windrow ", windrow_height), measure=windrow_height,
                   offset=4, prefer="left", width=92)  # fmt: skip
    view.line((-0.25 * outside, w), (base_width / 2, w), pen="thin")
    if keep_back is not None:
        view.dimension((0, low), (keep, low), join("Tracks keep back ", keep_back), measure=keep_back, offset=-8,
                       prefer="below", width=260)  # fmt: skip
        view.line((keep, 0), (keep, low), pen="thin")
    view.label((0, 0), "Low edge", prefer=("below", "left"), width=80)


def if_it_slides(*, ident: str, kind: str | None = None, spots: bool = False) -> Canvas:
    """Draw from above what to do when a machine slides: a dozer turns downhill, an excavator sets its bucket down.

    A sketch without measures. `kind` is the kind of the machine, as its table tells it; a dozer if not
    given. `spots=True`: regions `uphill`, `along` and `downhill` for the way to turn, which a dozer does.
    """
    digs = kind in ("excavator", "compact excavator") and not spots
    name = "excavator" if digs else "dozer"
    canvas = Canvas(
        ident,
        title=f"If the {name} slides",
        desc=f"{'An excavator' if digs else 'A dozer'} from above, on a side slope. Lines run level along the slope; downhill is at the "
        "bottom. "
        + (
            "It travels along the slope and starts to slide. First the bucket goes to the ground where it is, without a swing. "
            "Then, only where the tracks point straight down the fall, it goes down slowly. "
            if digs
            else "The dozer travels along the slope, its blade in front, and starts to slide. "
            + ("Where does it turn? " if spots else "First the load is left behind and the blade goes up, then the dozer turns downhill. ")
        )
        + NOT_ALLOWED,
    )
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    view = canvas.view((0, 0, 480, 320), pad=(16, 10, 16, 6), max_height=330, scale="none", seen="above")
    for k in range(5):
        y = 24 + 66 * k
        view.polyline([(4 + 24 * n, y + 3 * math.sin(n * 0.8 + k)) for n in range(20)], pen="thin")
    view.label((420, 310), "Uphill", prefer=("on",), bold=True, leader=False)
    view.label((420, 40), "Downhill", prefer=("on",), bold=True, leader=False)
    if digs:
        _excavator_slides(canvas, view, small=kind == "compact excavator")
        return canvas
    _sketched_dozer(view, (106, 214), 0.0)
    if spots:
        view.spot("uphill", "turn uphill", [(300, 280)])
        view.spot("along", "keep straight on", [(345, 195)])
        view.spot("downhill", "turn downhill", [(300, 70)])
    else:
        # the load that was let go stays where it lay
        view.polygon([(184, 198), (202, 206), (210, 238), (204, 266), (184, 272), (190, 238)], fill="spoil", pen="dash")
        view.label((206, 244), "Load let go", prefer=("right", "above"), width=110)
        _sketched_dozer(view, (226, 92), -math.pi / 2)
        points: list[Point] = []
        for k in range(11):
            turn = k / 10 * math.pi / 2
            points.append((168 + 58 * math.sin(turn), 144 + 44 * math.cos(turn)))
        view.arrow_path(points)
        view.arrow((226, 24), (226, 2))
        view.badge((40, 264), "1")
        view.badge((250, 166), "2")
        view.badge((288, 80), "3")
        canvas.note("1. It slides or feels light: let the load go. Blade up, just clear.")
        canvas.note("2. Turn downhill.")
        canvas.note("3. Straight down the fall to flat ground. Stop and report it.")
    return canvas


def _sketched_dozer(view: View, centre: Point, way: float) -> None:
    dozer_plan(view, centre, track_length=84, track_gauge=54, shoe_width=17, blade_width=100, way=way, sized=False)


def _excavator_slides(canvas: Canvas, view: View, *, small: bool) -> None:
    """The two things an excavator does: bucket down where it is, and later, tracks down the fall, go down."""
    for centre, way in (((100.0, 206.0), 0.0), ((352.0, 150.0), -math.pi / 2)):
        if small:
            compact_plan(view, centre, length=76, width=72, shoe=15, angle=way, look=way, pin=132 if way == 0 else 112, tail=52,
                         bucket_length=28, blade_width=74, sized=False)  # fmt: skip
        else:
            excavator_plan(view, centre, length=96, width=78, shoe=22, angle=way, look=way, pin=150 if way == 0 else 104, tail=70,
                           bucket_length=36, sized=False)  # fmt: skip
    bucket = (100 + (132 if small else 150), 206.0)
    view.label((bucket[0] + 6, bucket[1]), "Bucket to the ground", prefer=("above", "below"), width=110)
    view.arrow((352, 24), (352, 2))
    view.badge((34, 278), "1")
    view.badge((416, 190), "3")
    canvas.note("1. It slides: bucket to the ground where it is. No swing.")
    canvas.note("2. Wait until it stands. Then see which way the tracks point.")
    canvas.note(
        "3. Straight down the fall, and clear below: go down slowly, the bucket just off the ground. Not so: stay in, belt on, and call."
    )


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
        raise DrawingRefused("give both grades as zero or more")
    true = math.hypot(main_fall.si, cross_slope.si)
    if true <= 0 or abs(steepest.si - true) > 0.01 * true:
        raise DrawingRefused(f"{main_fall.us} and {cross_slope.us} make {true:.4g}")
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
        pad=(120, 40, 120, 40), max_height=300, scale="bars", seen="above",
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
