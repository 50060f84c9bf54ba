"""A grade held pass by pass, and a limit read on a dial: the right way, and the wrong one at the same scale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import draw_end, end_heights
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.scenes.slopes import NOT_ALLOWED, looks_of
from generator.drawing.view import View


def held_film(
    *,
    ident: str,
    main_fall: Measure,
    cross_slope: Measure,
    pass_numbers: Sequence[Measure],
    widths: Sequence[Measure],
    drops: Sequence[Measure],
    blade_width: Measure,
    blade_height: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    cg_height: Measure,
    offs: Sequence[Measure] | None = None,
    slope_error: Measure | None = None,
) -> Film:
    """Draw a surface finished strip beside strip from its high edge, seen from behind the dozer.

    - `main_fall`, `cross_slope`: fractions; the plan falls to the right by `cross_slope`.
    - `pass_numbers`, `widths`, `drops`: one figure a pass: its number, the width done with it, and how
      far the plan drops over that width (metres).
    - `offs`, `slope_error`: how far below the plan each low edge ends (metres), and by what share the
      read-out is off; with them the film is the wrong way, and the surface is cut that much steeper.
    - the lengths of the dozer: metres.

    Below the strips the low edge of the last one is drawn nearer by, with the plan dashed.
    """
    positive(blade_width=blade_width, blade_height=blade_height, track_gauge=track_gauge, shoe_width=shoe_width, cg_height=cg_height)
    count, wide, plan = len(pass_numbers), blade_width.si, cross_slope.si
    if count < 2 or not len(widths) == len(drops) == count or (offs is not None and len(offs) != count):
        raise DrawingRefused("a grade pass by pass needs two passes at least, and the same figures of each")
    error = slope_error.si if slope_error else 0.0
    if (slope_error is None) != (offs is None) or not 0 <= plan + error <= 1:
        raise DrawingRefused("a reading that is off needs how far off each pass ends")
    far, spare = widths[-1].si, 0.35 * blade_height.si
    way = "wrong" if offs else "right"
    frames = []
    shown, apart = picked(count, 30)
    for k in shown:
        done, number, last = widths[k].si, pass_numbers[k], pass_numbers[-1]
        canvas = Canvas(ident, title="One pass of a finished surface", desc="One pass of it.", steady=True)
        roof = 1.05 * end_heights(track_gauge.si, cg_height.si, "dozer")[2]
        low = -(plan + error) * far - 0.3 * roof
        view = canvas.view((-0.15 * wide, low, far + 0.15 * wide, roof + spare), pad=(6, 26, 6, 6), max_height=260, seen="end",
                           way="wrong" if offs else "right")  # fmt: skip
        _strips(view, plan, error, done, spare, wide, count)
        angle = -math.atan(plan + error)
        middle = done - wide / 2
        draw_end(view, track_gauge.si, shoe_width.si, cg_height.si, angle=angle, foot=(middle, -(plan + error) * middle), kind="dozer",
                 blade=(wide, blade_height.si), blade_up=0.0, detail="plain")  # fmt: skip
        view.label((0.0, spare), "High edge", prefer=("above", "right"), width=110)
        span = max(0.3 * wide, 2.2 * error * far)
        near = canvas.view((-span, -0.55 * span, span, 0.4 * span), pad=(120, 10, 120, 10), max_height=150, seen="end",
                           way="wrong" if offs else "right")  # fmt: skip
        _edge(near, plan, error, done, offs[k] if offs else None)
        canvas.key_starts()
        canvas.legend([("cut", "Ground still to cut")])
        canvas.note("Below: the low edge of this pass, nearer by. Dashed: the plan.")
        if apart > 1:
            canvas.note(thinned(apart, "pass"))
        if offs:
            says = join("Pass ", number, " of ", last, ": the read-out says ", cross_slope, " across all the time. The low edge is ", offs[k],
                        " too low.")  # fmt: skip
            told: tuple[Measure, ...] = (number, last, cross_slope, offs[k])
        else:
            says = join("Pass ", number, " of ", last, ": along ", main_fall, ", across ", cross_slope, ". The low edge is ", drops[k],
                        " below the high edge, as planned.")  # fmt: skip
            told = (number, last, main_fall, cross_slope, drops[k])
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="A grade held pass by pass" if way == "right" else "A grade held by a wrong reading, pass by pass",
        desc=both("From behind the dozer: strips ", blade_width, " wide, side by side from the high edge, with a main fall of ", main_fall,
                  " and a cross slope of ", cross_slope, ". ")
        + (both("The read-out is off by ", slope_error, ", and the low edge ends ", offs[-1], " too low.") if offs and slope_error
           else "Each pass ends on the plan."),
        frames=frames,
    )  # fmt: skip


def _strips(view: View, plan: float, error: float, done: float, spare: float, wide: float, count: int) -> None:
    """The surface as far as it is done, the ground still to cut, and dashed the plan."""
    x0, low, x1, _ = view.world
    steep = plan + error
    rough: list[Point] = [(x, spare - plan * x + 0.06 * spare * math.sin(9 * x / wide)) for x in _steps(done, x1)]
    surface: list[Point] = [(x0, spare), (0.0, spare), (0.0, 0.0), (done, -steep * done)]
    line = [*surface, *rough]
    view.polygon([*line, (x1, low), (x0, low)], pen="none", fill="earth")
    bottom = [(x, -plan * x) for x in (x1, done)]
    if len(rough) > 1 and x1 - done > 1e-6:
        view.polygon([*rough, *bottom], pen="none", fill="cut")
    view.polyline(line, pen="bold")
    view.line((0.0, 0.0), (x1, -plan * x1), pen="dash")
    for k in range(1, count):
        x = k * wide
        if x < done - 1e-6:
            y = -steep * x
            view.line((x, y), (x, y - 0.25 * spare), pen="thin")


def _steps(start: float, stop: float) -> list[float]:
    """Some x from one to the other, both ends among them."""
    parts = 14
    return [start + (stop - start) * k / parts for k in range(parts + 1)]


def _edge(view: View, plan: float, error: float, done: float, off: Measure | None) -> None:
    """The low edge of a pass nearer by, its place on the plan at (0, 0)."""
    x0, low, x1, high = view.world
    steep = plan + error
    gap = error * done
    cut = [(x0, -gap - steep * x0), (0.0, -gap)]
    wall = (0.0, max(min(high * 0.7, 0.06 * (x1 - x0)), -gap))
    raw = [wall, (x1, wall[1] - plan * x1)]
    line = [*cut, *raw]
    floor = min(low, -gap - 0.08 * (x1 - x0))
    view.polygon([*line, (x1, floor), (x0, floor)], pen="none", fill="earth")
    view.polyline(line, pen="bold")
    view.line((x0, -plan * x0), (x1, -plan * x1), pen="dash")
    if off is not None and off.si > 0:
        view.dimension((0.0, -off.si), (0.0, 0.0), join("Too low ", off), measure=off, offset=14, prefer="left", width=115)
    elif off is None:
        view.label((x0 * 0.6, -steep * x0 * 0.6), "On the plan", prefer=("above", "left"), width=110)


def limit_on_a_dial(
    *,
    ident: str,
    slope: Measure,
    angle: Measure,
    limit: Measure,
    wrong: bool = False,
    told: bool = True,
    track_gauge: Measure | None = None,
    cg_height: Measure | None = None,
    shoe_width: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    bucket_width: Measure | None = None,
) -> Canvas:
    """Draw a machine from behind on a side slope, and the dial in degrees in its cab.

    - `slope`: of the ground, a fraction; `angle`: the same in radians, as the dial shows it; `limit`: the
      site's limit across in percent.
    - `wrong`: the dial was taken for percent, so the ground is steeper than the limit.
    - `told=False`: for a question. What the dial shows stands there, but neither the slope in percent nor the
      sentence on the two scales, which would be the answer.
    - the lengths of the machine: metres; without them the slope is drawn alone.
    """
    if not 0 < slope.si <= 1.6 or abs(math.tan(angle.si) - slope.si) > 0.01 * slope.si:
        raise DrawingRefused(f"{slope.us} is not {angle.us}")
    a = angle.si
    canvas = Canvas(
        ident,
        title="A limit in percent and a dial in degrees",
        desc=both(
            "The ground slopes ",
            slope,
            " to the side, and the dial shows ",
            angle,
            ". The site's limit across is ",
            limit,
            ". ",
            NOT_ALLOWED,
        ),
    )
    g = track_gauge.si if track_gauge else 2.0
    h = cg_height.si if cg_height else 0.5 * g
    shoe = shoe_width.si if shoe_width else 0.3 * g
    kind, blade = looks_of(blade_width, blade_height, bucket_width)
    half = 1.35 * max(g / 2 + shoe / 2, blade[0] / 2 if blade else 0.0)
    cos, sin = math.cos(a), math.sin(a)
    foot = half * slope.si
    left, right = -half * 1.3, half * 1.5
    top = end_heights(g, h, kind)[2] * 1.1
    view = canvas.view((left, -0.25 * g, right, foot + max(top + g / 2 * sin, right * slope.si - foot)), pad=(8, 6, 92, 44), max_height=260,
                       seen="end", way="wrong" if wrong else "right")  # fmt: skip
    low = view.world[1]
    toe = (left, 0.0)
    line = [toe, (right, (right - left) * slope.si)]
    foot_at = ((0.0) * cos, -left * slope.si)
    view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
    with view.part("ramp", grade=slope.si):
        view.line(*line, pen="bold")
    view.line(toe, (right, 0.0), pen="dash")
    view.line((right, 0.0), line[1], pen="thin")
    if track_gauge and cg_height and shoe_width:
        draw_end(view, g, shoe, h, angle=a, foot=foot_at, kind=kind, blade=blade, blade_up=0.1 * g)
    if told:
        view.label((right, 0.5 * line[1][1]), join("Ground ", slope), prefer=("right",), width=88)
    view.label((0.0, 0.0), "Level", prefer=("below",), leader=False)
    dial = canvas.view(
        (-1.15, -0.2, 1.15, 1.12), pad=(10, 4, 10, 8), max_height=150, scale="bars", seen="side", way="wrong" if wrong else "right"
    )
    dial.arc((0.0, 0.0), 1.0, 0.0, math.pi, pen="line")
    dial.line((-1.0, 0.0), (1.0, 0.0), pen="line")
    for k in range(-9, 10):  # a stroke every ten degrees, none of them named
        t = math.pi / 2 + k * math.pi / 18
        dial.line((0.9 * math.cos(t), 0.9 * math.sin(t)), (math.cos(t), math.sin(t)), pen="thin")
    dial.arrow((0.0, 0.0), (0.86 * math.cos(math.pi / 2 - a), 0.86 * math.sin(math.pi / 2 - a)))
    dial.label((1.0, 0.6), join("The dial: ", angle), prefer=("right",), leader=False, width=130)
    if not told:
        canvas.note("The dial counts degrees.")
    elif wrong:
        canvas.note(join("The limit is ", limit, ", in percent. The dial counts degrees, and ", angle, " of those are ", slope, "."))
    else:
        canvas.note(join("The limit is ", limit, ", in percent. On a dial in degrees that is ", angle, "."))
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    return canvas
