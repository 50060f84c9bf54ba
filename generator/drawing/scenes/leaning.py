"""A machine across a slope: its high track on a stone, and the same place with the stone gone."""

from __future__ import annotations

import math

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.scenes.slopes import NOT_ALLOWED, looks_of, on_slope


def on_a_stone(
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
    """Draw a machine from behind whose high track stands on a stone, and how far it leans.

    The arguments are those of `slopes.stone_under_a_track`.
    """
    positive(bump_height=bump_height, with_bump=with_bump, track_gauge=track_gauge, cg_height=cg_height, shoe_width=shoe_width)
    t, b, g = slope.si, bump_height.si, track_gauge.si
    if not 0 <= t <= 1 or b >= 0.5 * g:
        raise DrawingRefused(f"{slope.us} with a stone of {bump_height.us} under a gauge of {track_gauge.us} cannot be drawn")
    if abs(with_bump.si - (t + b / g)) > 0.01 * with_bump.si:
        raise DrawingRefused(f"{slope.us} and {bump_height.us} over {track_gauge.us} make {t + b / g:.4g}")
    leans = math.atan(t) + math.asin(b * math.cos(math.atan(t)) / g)
    canvas = Canvas(
        ident,
        title="The high track on a stone",
        desc=both("A crawler machine from behind on a side slope of ", slope, ". Its high track stands on a stone ", bump_height,
                  " high, and the machine leans by ", with_bump, ". Its weight line has moved toward the low track. ", NOT_ALLOWED),
    )  # fmt: skip
    view = on_slope(canvas, None, (t, leans, g, cg_height.si, shoe_width.si, b), looks_of(blade_width, blade_height, bucket_width))
    xh, shoe = g * math.cos(leans), shoe_width.si
    side = xh + shoe * 0.75
    view.line((xh, t * xh + b), (side + 0.2 * shoe, t * (side + 0.2 * shoe) + b), pen="thin")
    view.dimension((side, t * side), (side, t * side + b), join("Stone ", bump_height), measure=bump_height, offset=-6, prefer="right",
                   width=74)  # fmt: skip
    view.label((-0.75 * g, -0.75 * g * t), join("Ground ", slope), prefer=("below", "right"), width=130)
    view.label((xh / 2, 0.5 * g * math.sin(leans)), join("Machine ", with_bump), prefer=("below", "right"), width=150, clear=True)
    canvas.note("The stone lifts the high track over the whole gauge. A hole under the low track does the same.")
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    return canvas


def on_even_ground(
    *,
    ident: str,
    slope: Measure,
    track_gauge: Measure,
    cg_height: Measure,
    shoe_width: Measure,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    bucket_width: Measure | None = None,
) -> Canvas:
    """Draw the same machine with both tracks on even ground; see `on_a_stone`."""
    positive(track_gauge=track_gauge, cg_height=cg_height, shoe_width=shoe_width)
    t, g = slope.si, track_gauge.si
    if not 0 <= t <= 1:
        raise DrawingRefused(f"a slope of {slope.us} cannot be drawn")
    a = math.atan(t)
    canvas = Canvas(
        ident,
        title="Both tracks on even ground",
        desc=both("A crawler machine from behind on a side slope of ", slope, ", both tracks on even ground. ", NOT_ALLOWED),
    )
    view = on_slope(canvas, None, (t, a, g, cg_height.si, shoe_width.si, 0.0), looks_of(blade_width, blade_height, bucket_width))
    view.label((-0.75 * g, -0.75 * g * t), join("Ground and machine ", slope), prefer=("below", "right"), width=200)
    canvas.note(
        "Its weight line falls outside the low track: here the machine tips."
        if t * cg_height.si > g / 2
        else "Its weight line still falls inside the low track. Bumps, soft ground, a swing or a load move it."
    )
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    return canvas
