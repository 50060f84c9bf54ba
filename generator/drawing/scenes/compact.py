"""Drawings of the chapter on compact excavators."""

from __future__ import annotations

import math

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import Arm, Pose, compact_side, draw_end, end_view
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
    narrow_width: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    bucket_width: Measure | None = None,
) -> Canvas:
    """Draw one machine from the front with its tracks drawn in and spread, at one scale.

    All in metres; gauges from track centre to track centre. With `gate_width` the gate stands
    around the narrow machine. The blade is drawn where its width and height are given, with its
    ends folded to `narrow_width` (or to the tracks) in the gate, and the bucket where its width is.
    Raises `DrawingRefused` where the wide gauge is not the larger one.
    """
    positive(gauge_narrow=gauge_narrow, gauge_wide=gauge_wide, cg_height=cg_height,
             shoe_width=shoe_width)  # fmt: skip
    if gauge_wide.si <= gauge_narrow.si:
        raise DrawingRefused(f"{gauge_wide.us} is not wider than {gauge_narrow.us}")
    n, w, h, shoe = gauge_narrow.si, gauge_wide.si, cg_height.si, shoe_width.si
    if shoe >= n:
        raise DrawingRefused("the shoes are wider than the gauge")
    gate = gate_width.si if gate_width else 0.0
    blade = blade_width.si if blade_width and blade_height else 0.0
    folded = min(blade, narrow_width.si if narrow_width else n + shoe)
    canvas = Canvas(
        ident,
        title="Tracks narrow for the gate, wide for the work",
        desc=both(
            "A compact excavator from the front, its boom folded and its blade raised, twice at one scale. Left: gauge ", gauge_narrow,
            ". Right: gauge ", gauge_wide, ". Its centre of mass stays ", cg_height, " up, "
            "so the wide track stands better. ", NOT_ALLOWED,
        ),
    )  # fmt: skip
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    post = 0.06 * n
    left_half = max(n / 2 + shoe / 2, gate / 2 + post, folded / 2) + 0.12 * n
    right_half = max(w / 2 + shoe / 2, blade / 2) + 0.08 * n
    gap = 0.42 * n
    bucket = bucket_width.si if bucket_width else 0.0
    _, _, cab = end_view(n, shoe, h, kind="compact")
    top = max(p[1] for p in cab)
    centres = (0.0, left_half + gap + right_half)
    view = canvas.view(
        (-left_half, -0.12 * n, centres[1] + right_half, top), pad=(14, 62, 84, 66), max_height=330, seen="end"
    )  # fmt: skip
    x0, low, x1, _ = view.world
    view.rect(x0, low, x1, 0, pen="none", fill="earth")
    view.line((x0, 0), (x1, 0), pen="bold")
    for centre, gauge, column, measure, name in (
        (centres[0], n, "gauge_narrow", gauge_narrow, "Narrow "),
        (centres[1], w, "gauge_wide", gauge_wide, "Wide "),
    ):
        spread = blade if gauge == w else folded
        # with its ends folded a blade is not as wide as the table says; raised, as for travel, it lets the tracks be seen
        draw_end(
            view, gauge, shoe, h, foot=(centre, 0.0), column=column, body_gauge=n, kind="compact", behind=False,
            blade=(spread, blade_height.si) if blade_height and blade else None, blade_up=0.34 * n, blade_sized=spread == blade,
            bucket_width=bucket,
        )  # fmt: skip
        view.line((centre, h), (centre - gauge / 2, 0), pen="dash")
        view.line((centre, h), (centre + gauge / 2, 0), pen="dash")
        view.mass_mark((centre, h))
        view.dimension((centre - gauge / 2, low), (centre + gauge / 2, low), join(name, measure),
                       measure=measure, offset=-10, prefer="below", width=150)  # fmt: skip
    view.line((centres[1], h), (x1, h), pen="thin")
    view.dimension((x1, 0), (x1, h), join("Centre of mass ", cg_height), measure=cg_height,
                   offset=-6, prefer="right", width=80)  # fmt: skip
    if gate_width is not None:
        with view.part("gate"):
            for side in (-1, 1):
                x = side * gate / 2
                view.body([(x, 0), (x + side * post, 0), (x + side * post, top * 0.9), (x, top * 0.9)], fill="dark")
        view.dimension((-gate / 2, top), (gate / 2, top), join("Gate ", gate_width),
                       measure=gate_width, offset=12, prefer="above")  # fmt: skip
    canvas.note("Dashed: from the centre of mass to the lines it tips about.")
    if folded < blade:
        canvas.note("In the gate the ends of the blade are folded in.")
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
    edge_distance: Measure | None = None,
    track_length: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Canvas:
    """Draw a compact excavator about to push the spoil back into a trench with its blade.

    All in metres. The trench is cut across, with upright walls; the machine comes from the side,
    its blade on the same side as the boom and stick, toward the trench. The tracks stand behind the
    spoil, and at least `edge_distance` from the trench's edge. `track_length`, `stick_length`,
    `bucket_length` and `tail_radius` are true where they are given, else a sketch that goes by the blade.
    """
    positive(trench_width=trench_width, trench_depth=trench_depth, blade_height=blade_height,
             spoil_height=spoil_height, spoil_width=spoil_width)  # fmt: skip
    if spoil_setback.si < 0:
        raise DrawingRefused("the spoil lies beside the trench, not in it")
    w, d, b = trench_width.si, trench_depth.si, blade_height.si
    gap, high, wide = spoil_setback.si, spoil_height.si, spoil_width.si
    long = track_length.si if track_length else 4.3 * b
    stick = stick_length.si if stick_length else 0.9 * long
    edge = edge_distance.si if edge_distance else 0.0
    canvas = Canvas(
        ident,
        title="Backfilling with the blade",
        desc=both(
            "A compact excavator, blade and boom toward a trench ", trench_width, " wide and ",
            trench_depth, " deep. Between them lies the spoil, ", spoil_height, " high. Its blade is ", blade_height,
            " high. It stands square to the trench, the bucket tucked in, and keeps its tracks back from the edge.",
        ),
    )  # fmt: skip
    reach = 0.3 * long
    face = w + gap + wide
    front = max(face + reach, w + edge)
    # forward of the swing centre and up: the stick leans in, the bucket is curled under it
    foot = (0.46 * long, 0.5 * long)
    elbow = (foot[0] + 0.5 * stick, foot[1] + 1.05 * stick)
    lean = math.radians(-102)
    pin = (elbow[0] + stick * math.cos(lean), elbow[1] + stick * math.sin(lean))
    dig = bucket_length.si if bucket_length else 0.42 * stick
    arm, pose = Arm(foot, math.dist(foot, elbow), stick, dig), Pose(elbow, pin, math.radians(172), dig)
    tall = max(1.5 * long, elbow[1] + 0.25 * stick, high)
    low = -1.18 * d
    view = canvas.view(
        (-0.3 * w - 0.3 * wide, low, front + max(1.12 * long, 0.5 * long + 1.05 * (tail_radius.si if tail_radius else 0.0)), tall),
        pad=(80, 30, 20, 74),
        max_height=340,
    )
    x0, _, x1, _ = view.world
    view.polygon([(x0, 0), (0, 0), (0, -d), (w, -d), (w, 0), (x1, 0), (x1, low), (x0, low)],
                 pen="none", fill="earth")  # fmt: skip
    view.polyline([(x0, 0), (0, 0), (0, -d), (w, -d), (w, 0), (x1, 0)], pen="bold")
    for x in (0.0, w):
        with view.part("wall"):
            view.line((x, 0), (x, -d), pen="bold")
        with view.part("crest"):
            view.line((x, 0), (x, -0.03 * d), pen="bold")
    with view.part("spoil"):
        view.body([(w + gap, 0), (w + gap + wide / 2, high), (face, 0)], fill="spoil")
    # what has been pushed in before
    view.polygon([(w, -0.62 * d), (w, -d), (0.25 * w, -d)], fill="spoil", pen="thin")
    compact_side(
        view, front + long / 2, 0.0, track_length=long, arm=arm, pose=pose, blade_height=b, facing=-1, blade_reach=reach,
        tail=tail_radius.si if tail_radius else 0.0,
    )  # fmt: skip
    view.dimension((0, low), (w, low), join("Trench ", trench_width), measure=trench_width,
                   offset=-10, prefer="below", width=150)  # fmt: skip
    view.dimension((x0, -d), (x0, 0), join("Depth ", trench_depth), measure=trench_depth,
                   offset=6, prefer="left", width=76)  # fmt: skip
    view.dimension((front - reach - 0.02 * long, 0), (front - reach - 0.02 * long, b), join("Blade ", blade_height),
                   measure=blade_height, offset=0, prefer="below", width=150, rank=3)  # fmt: skip
    if edge_distance is not None:
        level = -0.5 * d
        view.line((w + edge, 0), (w + edge, level), pen="dash")
        view.dimension((w, level), (w + edge, level), join("No track nearer than ", edge_distance), measure=edge_distance,
                       offset=0, prefer="below", width=190)  # fmt: skip
    arrow_y = max(high, b) + view.metres(22)
    view.arrow((front - reach - 0.05 * long, arrow_y), (w + gap + 0.25 * wide, arrow_y))
    view.label((w + gap + 0.5 * wide, 0.6 * high), "Spoil", prefer=("left", "above"))
    if edge_distance is not None:
        canvas.note(join("Tracks stop ", edge_distance, " from the edge, unless the competent person says how near they may "
                         "come here. What the blade does not reach, the bucket fills in."))  # fmt: skip
    return canvas
