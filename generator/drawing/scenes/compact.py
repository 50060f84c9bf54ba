"""Drawings of the chapter on compact excavators."""

from __future__ import annotations

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.machines import end_view, track_side
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.scenes.slopes import NOT_ALLOWED


def track_width(
    *,
    ident: str,
    gauge_narrow: Measure,
    gauge_wide: Measure,
    cg_height: Measure,
    shoe_width: Measure,
    gate_width: Measure | None = None,
) -> Canvas:
    """Draw one machine from behind with its tracks drawn in and spread, at one scale.

    All in metres; gauges from track centre to track centre. With `gate_width` the gate stands
    around the narrow machine. Raises `ValueError` where the wide gauge is not the larger one.
    """
    positive(gauge_narrow=gauge_narrow, gauge_wide=gauge_wide, cg_height=cg_height,
             shoe_width=shoe_width)  # fmt: skip
    if gauge_wide.si <= gauge_narrow.si:
        raise ValueError(f"{gauge_wide.us} is not wider than {gauge_narrow.us}")
    n, w, h, shoe = gauge_narrow.si, gauge_wide.si, cg_height.si, shoe_width.si
    if shoe >= n:
        raise ValueError("the shoes are wider than the gauge")
    gate = gate_width.si if gate_width else 0.0
    canvas = Canvas(
        ident,
        title="Tracks narrow for the gate, wide for the work",
        desc=both(
            "A compact excavator from behind, twice at one scale. Left: gauge ", gauge_narrow,
            ". Right: gauge ", gauge_wide, ". Its centre of mass stays ", cg_height, " up, "
            "so the wide track stands better. ", NOT_ALLOWED,
        ),
    )  # fmt: skip
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    left_half = max(n / 2 + shoe / 2, gate / 2) + 0.12 * n
    right_half = w / 2 + shoe / 2 + 0.08 * n
    gap = 0.42 * n
    bodies = end_view(n, shoe, h)
    top = max(p[1] for p in bodies[2])
    centres = (0.0, left_half + gap + right_half)
    view = canvas.view(
        (-left_half, -0.12 * n, centres[1] + right_half, top), pad=(14, 62, 84, 66), max_height=330
    )
    x0, low, x1, _ = view.world
    view.rect(x0, low, x1, 0, pen="none", fill="earth")
    view.line((x0, 0), (x1, 0), pen="bold")
    for centre, gauge, measure, name in (
        (centres[0], n, gauge_narrow, "Narrow "),
        (centres[1], w, gauge_wide, "Wide "),
    ):
        _, body, cab = end_view(n, shoe, h, foot=(centre, 0.0))
        tracks, _, _ = end_view(gauge, shoe, h, foot=(centre, 0.0))
        track_top = 0.42 * n
        view.body([(centre - gauge / 2, 0.16 * n), (centre + gauge / 2, 0.16 * n),
                   (centre + gauge / 2, 0.28 * n), (centre - gauge / 2, 0.28 * n)])  # fmt: skip
        for track in tracks:
            flat: list[Point] = [(x, min(y, track_top)) for x, y in track]
            view.body(flat)
        view.body(body)
        view.body(cab)
        view.line((centre, h), (centre - gauge / 2, 0), pen="dash")
        view.line((centre, h), (centre + gauge / 2, 0), pen="dash")
        view.mass_mark((centre, h))
        view.dimension((centre - gauge / 2, low), (centre + gauge / 2, low), join(name, measure),
                       measure=measure, offset=-10, prefer="below", width=150)  # fmt: skip
    view.line((centres[1], h), (x1, h), pen="thin")
    view.dimension((x1, 0), (x1, h), join("Centre of mass ", cg_height), measure=cg_height,
                   offset=-6, prefer="right", width=80)  # fmt: skip
    if gate_width is not None:
        post = 0.06 * n
        for side in (-1, 1):
            x = side * gate / 2
            view.body([(x, 0), (x + side * post, 0), (x + side * post, top * 0.9),
                       (x, top * 0.9)], fill="dark")  # fmt: skip
        view.dimension((-gate / 2, top), (gate / 2, top), join("Gate ", gate_width),
                       measure=gate_width, offset=12, prefer="above")  # fmt: skip
    canvas.note("Dashed: from the centre of mass to the lines it tips about.")
    return canvas


def backfill_with_the_blade(
    *,
    ident: str,
    trench_width: Measure,
    trench_depth: Measure,
    blade_height: Measure,
    spoil_height: Measure,
    spoil_width: Measure,
    spoil_setback: Measure,
) -> Canvas:
    """Draw a compact excavator that pushes the spoil back into a trench with its blade.

    All in metres. The trench is cut across, with upright walls; the machine comes from the side.
    """
    positive(trench_width=trench_width, trench_depth=trench_depth, blade_height=blade_height,
             spoil_height=spoil_height, spoil_width=spoil_width)  # fmt: skip
    if spoil_setback.si < 0:
        raise ValueError("the spoil lies beside the trench, not in it")
    w, d, b = trench_width.si, trench_depth.si, blade_height.si
    gap, high, wide = spoil_setback.si, spoil_height.si, spoil_width.si
    canvas = Canvas(
        ident,
        title="Backfilling with the blade",
        desc=both(
            "A compact excavator pushes the spoil into a trench ", trench_width, " wide and ",
            trench_depth, " deep. Its blade is ", blade_height, " high, the spoil ", spoil_height,
            ". It works square to the trench and keeps its tracks back from the edge.",
        ),
    )  # fmt: skip
    face = w + gap + wide
    s = b / 0.36
    back = face + 2.5 * s
    low = -1.18 * d
    view = canvas.view((-0.4 * w - 0.1 * wide, low, back, max(1.75 * s, high)),
                       pad=(76, 30, 20, 66), max_height=330)  # fmt: skip
    x0, _, x1, _ = view.world
    view.polygon([(x0, 0), (0, 0), (0, -d), (w, -d), (w, 0), (x1, 0), (x1, low), (x0, low)],
                 pen="none", fill="earth")  # fmt: skip
    view.polyline([(x0, 0), (0, 0), (0, -d), (w, -d), (w, 0), (x1, 0)], pen="bold")
    view.body([(w + gap, 0), (w + gap + 0.45 * wide, high), (face, min(high, b)), (face, 0)],
              fill="spoil")  # fmt: skip
    view.polygon([(w, -0.62 * d), (w, -d), (0.25 * w, -d)], fill="spoil", pen="thin")
    blade: list[Point] = [(face, 0), (face + 0.1 * s, 0.1 * b), (face + 0.12 * s, 0.55 * b),
                          (face + 0.04 * s, b), (face + 0.14 * s, b), (face + 0.22 * s, 0.5 * b),
                          (face + 0.16 * s, 0.04 * b)]  # fmt: skip
    view.line((face + 0.15 * s, 0.4 * b), (face + 0.7 * s, 0.24 * s), pen="bold")
    track_side(view, face + 0.4 * s, face + 1.95 * s, 0, 0.4 * s)
    view.body(blade, fill="dark")
    x = face + 1.2 * s
    view.body([(x - 0.62 * s, 0.48 * s), (x + 0.72 * s, 0.48 * s), (x + 0.78 * s, 0.95 * s),
               (x + 0.2 * s, 0.98 * s), (x + 0.2 * s, 1.65 * s), (x - 0.42 * s, 1.65 * s),
               (x - 0.5 * s, 0.98 * s), (x - 0.62 * s, 0.95 * s)])  # fmt: skip
    view.polygon([(x - 0.34 * s, 1.0 * s), (x + 0.1 * s, 1.0 * s), (x + 0.1 * s, 1.55 * s),
                  (x - 0.34 * s, 1.55 * s)], fill="paper", pen="thin")  # fmt: skip
    # Boom and stick are folded over the machine, out of the way.
    view.polyline([(x - 0.6 * s, 0.6 * s), (x - 0.75 * s, 1.35 * s), (x - 0.55 * s, 1.72 * s)],
                  pen="bold")  # fmt: skip
    view.dimension((0, low), (w, low), join("Trench ", trench_width), measure=trench_width,
                   offset=-10, prefer="below", width=150)  # fmt: skip
    view.dimension((x0, -d), (x0, 0), join("Depth ", trench_depth), measure=trench_depth,
                   offset=6, prefer="left", width=72)  # fmt: skip
    view.dimension((face + 0.3 * s, 0), (face + 0.3 * s, b), join("Blade ", blade_height),
                   measure=blade_height, offset=0, prefer="right", width=150,
                   rank=3)  # fmt: skip
    arrow_y = max(high, b) + view.metres(18)
    view.arrow((face - 0.05 * s, arrow_y), (max(w * 0.5, face - 1.2 * s - wide), arrow_y))
    view.label((w + gap + 0.45 * wide, high), "Spoil", prefer=("above", "left"))
    return canvas
