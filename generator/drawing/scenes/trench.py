"""Drawings of the trench chapter."""

from __future__ import annotations

import math

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import Arm, arm_of, compact_arm, compact_side, excavator_posed
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.view import View

ASK = "Local code and the competent person on site decide. A drawing never does."


def trench_to_grade(
    *,
    ident: str,
    length: Measure,
    start_depth: Measure,
    end_depth: Measure,
    grade: Text,
    middle_depth: Measure | None = None,
    bottom_width: Measure | None = None,
    pipe_inside: Measure | None = None,
    pipe_wall: Measure | None = None,
    bedding: Measure | None = None,
    ground_rise: Measure | None = None,
) -> Canvas:
    """Draw a trench along its length, from its low end up, and the pipe on its bedding across it.

    All in metres: ground that is `ground_rise` higher at the high end (level if not given), and depths down to the floor at the high end (`start_depth`), at the
    low end (`end_depth`) and half way. `grade` is printed text. On level ground the deeper end is the
    low one. It stands at the left. The section across is drawn where pipe, wall and bedding are all given.
    """
    positive(length=length, start_depth=start_depth, end_depth=end_depth)
    run, ends = length.si, (start_depth, end_depth)
    shallow, deep = ends if ground_rise else sorted(ends, key=lambda m: m.si)
    d_high, d_low = shallow.si, deep.si
    up = ground_rise.si if ground_rise else 0.0
    below = (pipe_wall.si if pipe_wall else 0.0) + (bedding.si if bedding else 0.0)
    across = pipe_inside is not None and pipe_wall is not None and bedding is not None and below < d_high
    canvas = Canvas(
        ident,
        title="A trench to grade, from its low end",
        desc=both(
            "A trench ", length, " long. At the low end, where the work starts, it is ", deep, " deep, at the high end ",
            shallow, ". Between them it rises at ", grade, ".",
            *((" Across it: the pipe lies on its bedding. The grade line is the inside bottom of the pipe, and the floor lies "
               "the pipe wall and the bedding below it.",) if across else ()),
        ),
    )  # fmt: skip
    per_metre = (canvas.width - 8 - 276) / run
    stretch = 1.0
    while (d_low + abs(up)) * per_metre * stretch < 96 and stretch < 400:
        stretch = stretch + 1 if stretch < 5 else stretch + 5 if stretch < 50 else stretch + 50
    low = -1.35 * d_low + min(up, 0.0)
    view = canvas.view((0, low, run, max(up, 0.0)), pad=(152, 52, 124, 44), max_height=230, stretch=stretch)
    extra = view.metres(34)
    with view.part("cut"):
        view.polygon(
            [(-extra, 0), (0, 0), (0, -d_low), (run, up - d_high), (run, up), (run + extra, up),
             (run + extra, low), (-extra, low)],
            pen="none", fill="earth",
        )  # fmt: skip
        view.polyline([(-extra, 0), (0, 0), (0, -d_low), (run, up - d_high), (run, up), (run + extra, up)],
                      pen="bold")  # fmt: skip
    view.line((0, 0), (run, up), pen="dash")
    top = max(up, 0.0)
    view.dimension((0, top), (run, top), join("Length ", length), measure=length, offset=16,
                   prefer="above")  # fmt: skip
    view.dimension((0, -d_low), (0, 0), join("Low end ", deep), measure=deep, offset=42,
                   prefer="left", width=100)  # fmt: skip
    view.dimension((run, up - d_high), (run, up), join("High end ", shallow), measure=shallow, offset=-42,
                   prefer="right", width=75)  # fmt: skip
    if middle_depth is not None:
        view.dimension((run / 2, up / 2 - middle_depth.si), (run / 2, up / 2), join("Half way ", middle_depth),
                       measure=middle_depth, prefer="right", width=100)  # fmt: skip
    if below * view.per_metre * view.stretch > 5:  # nearer, the two lines run into one
        view.line((0, -d_low + below), (run, up - d_high + below), pen="thin")
        view.label((run * 0.8, 0.8 * (up - d_high) - 0.2 * d_low + below), "Grade line", prefer=("above",), width=140)
    view.arrow((run * 0.12, low * 0.88), (run * 0.42, low * 0.88))
    view.label((run * 0.42, low * 0.88), join("Dig this way, up ", grade), prefer=("right", "below"), leader=False, width=220)
    if across:
        assert pipe_inside and pipe_wall and bedding  # as above, for the reader of types
        _pipe_across(canvas, d_low, bottom_width, pipe_inside, pipe_wall, bedding)
    else:
        canvas.note("Touch off on the floor again before you hold grade from it.")
    return canvas


def _pipe_across(canvas: Canvas, depth: float, bottom_width: Measure | None, inside: Measure, wall: Measure, bedding: Measure) -> None:
    """Add a section across the lowest part of the trench: floor, bedding, pipe; the walls are left open."""
    r, outer = inside.si / 2, inside.si / 2 + wall.si
    floor = -outer - bedding.si  # below the pipe's middle, which stands at 0
    half = max(bottom_width.si / 2 if bottom_width else 0.0, outer * 1.3)
    side, top, low = half * 1.25, min(outer * 1.35, floor + depth), floor - max(0.25 * outer, 0.6 * bedding.si)
    canvas.note("Across the trench, at its floor:", bold=True)
    view = canvas.view((-side, low, side, top), pad=(120, 8, 140, 34), max_height=100, seen="across")
    with view.part("cut"):
        view.rect(-side, low, side, floor, pen="none", fill="earth")
        view.line((-half, floor), (half, floor), pen="bold")
    if bedding.si > 0:
        with view.part("stone"):
            view.rect(-half, floor, half, -outer, pen="line", fill="dots")
    with view.part("pipe"):
        view.circle((0, 0), outer, fill="shade")
        view.circle((0, 0), r, fill="paper")
    view.line((-side, -r), (half, -r), pen="dash")
    view.label((-half, -r), "Grade line", prefer=("left", "above"), width=100)
    if bedding.si > 0:
        view.dimension((half, floor), (half, -outer), join("Bedding ", bedding), measure=bedding, offset=-12, prefer="right",
                       width=110)  # fmt: skip
    view.dimension((0, -outer), (0, -r), join("Pipe wall ", wall), measure=wall, prefer="right", width=110)
    view.label((half * 0.6, floor), "Floor", prefer=("below",), width=90)


RAMP = "On walls so flat a ladder would lie down: the way out is a ramp or steps that the competent person lays out."


def trench_walls(
    *,
    ident: str,
    bottom_width: Measure,
    depth: Measure,
    top_width: Measure,
    spoil_setback: Measure,
    spoil_width: Measure,
    spoil_height: Measure,
    ladder_above: Measure | None = None,
    edge_distance: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a trench across: floor, walls, spoil set back from the edge, and a ladder where the walls are steep enough for one.

    All in metres. `ladder_above` is how far the ladder stands out over the ground, if told, and
    `edge_distance` how far from the edge the nearest track of a machine may come.
    `spots=True`: regions `edge`, `set-back` and `floor`, for where the spoil may lie; the spoil,
    its set-back and the floor's width are left out.
    """
    positive(
        bottom_width=bottom_width, depth=depth, top_width=top_width, spoil_setback=spoil_setback,
        spoil_width=spoil_width, spoil_height=spoil_height,
    )  # fmt: skip
    if top_width.si < bottom_width.si * 0.999:
        raise DrawingRefused("a trench's top is at least as wide as its floor")
    b, d, t = bottom_width.si / 2, depth.si, max(top_width.si, bottom_width.si) / 2
    gap, wide, high = spoil_setback.si, spoil_width.si, spoil_height.si
    # The ladder stands on the floor and leans on the left edge, no steeper than four to one. One that would
    # lie along a wall cut back is no ladder: there the way out is a ramp or steps.
    foot_x = max(-0.45 * b, min(0.8 * b, d / 4 - t))
    ladder = d >= 2.9 * (foot_x + t)
    over = (ladder_above.si if ladder_above else 0.2 * d) if ladder else 0.0
    keep = 0.0 if spots or edge_distance is None else edge_distance.si
    canvas = Canvas(
        ident,
        title="A trench across: walls, spoil and ladder" if ladder else "A trench across: walls and spoil",
        desc=both(
            "A trench ", depth, " deep, ", bottom_width, " wide at the floor and ", top_width,
            " wide at the top. ",
            *(
                ("Where may the spoil lie? ",)
                if spots
                else ("The spoil lies ", spoil_setback, " back from the edge. ")
            ),
            *(("A ladder stands in the trench", *((" and stands out ", ladder_above, " above the edge. ") if ladder_above else (". ",)))
              if ladder else (f"{RAMP} ",)),
            *(("No track comes nearer the edge than ", edge_distance, ". ") if keep and edge_distance else ()), ASK,
        ),
    )  # fmt: skip
    canvas.note(ASK, bold=True, boxed=True)
    right = t + gap + wide + 0.08 * (t + wide)
    out = over * (foot_x + t) / d  # how far its top stands out past the edge
    left = -t - max(0.5 * t, 0.3 * d, 1.12 * keep, 1.25 * out)
    low = -1.22 * d if not spots else -2.1 * d  # room for the frame of the region on the floor
    view = canvas.view((left, low, right, max(high, over)), pad=(76, 66, 84, 112 if keep else 70), max_height=320,
                       seen="across")  # fmt: skip
    view.polygon(
        [(left, 0), (-t, 0), (-b, -d), (b, -d), (t, 0), (right, 0), (right, low), (left, low)],
        pen="none", fill="earth",
    )  # fmt: skip
    for side in (-1, 1):
        with view.part("wall", **({"grade": d / (t - b)} if t - b > 1e-9 else {})):
            view.line((side * b, -d), (side * t, 0), pen="bold")
        slant = view.metres(2) / math.hypot(t - b, d)
        with view.part("crest"):
            view.line((side * t, 0), (side * (t - (t - b) * slant), -d * slant), pen="bold")
        with view.part("toe"):
            view.line((side * b, -d), (side * (b + (t - b) * slant), -d + d * slant), pen="bold")
    view.line((left, 0), (-t, 0), pen="bold")
    view.line((t, 0), (right, 0), pen="bold")
    view.line((-b, -d), (b, -d), pen="bold")
    heap = [(t + gap, 0.0), (t + gap + wide / 2, high), (t + gap + wide, 0.0)]
    if not spots:
        with view.part("spoil"):
            view.body(heap, fill="spoil")
    if ladder:
        foot = (foot_x, -d)
        lean = math.atan2(d, foot_x + t)
        ux, uy = math.cos(math.pi - lean), math.sin(lean)
        tall = (d + over) / uy
        gauge = view.metres(5)
        with view.part("ladder"):
            for side in (-1, 1):
                # both rails end on the level: the printed length above the edge is that of each of them
                shift = side * gauge / uy
                view.line(
                    (foot[0] + shift, foot[1]), (foot[0] + shift + ux * tall, foot[1] + uy * tall), pen="line",
                )  # fmt: skip
            rungs = max(3, min(14, int(tall * view.per_metre / 14)))
            for k in range(1, rungs):
                along = tall * k / rungs
                cx, cy = foot[0] + ux * along, foot[1] + uy * along
                view.line((cx - gauge * uy, cy - gauge * ux), (cx + gauge * uy, cy + gauge * ux),
                          pen="thin")  # fmt: skip
    if not spots:  # the frame of the region on the floor would strike it through
        view.dimension((-b, low), (b, low), join("Floor ", bottom_width), measure=bottom_width,
                       offset=-10, prefer="below")  # fmt: skip
    top_line = max(high, over)
    view.dimension((-t, top_line), (t, top_line), join("Top ", top_width), measure=top_width,
                   offset=12, prefer="above")  # fmt: skip
    view.dimension((right, -d), (right, 0), join("Depth ", depth), measure=depth, offset=-6,
                   prefer="right", width=70)  # fmt: skip
    if spots:
        view.spot("edge", "at the edge of the trench", [(t, view.metres(40))])
        view.spot("set-back", "set back from the edge", [(t + gap + wide / 2, high / 2)])
        view.spot("floor", "on the floor", [(0, -d + view.metres(14))])
    else:
        view.dimension(
            (t, view.metres(14)), (t + gap, view.metres(14)), join("Set-back ", spoil_setback),
            measure=spoil_setback, prefer="above", width=130,
        )  # fmt: skip
        view.label((t + gap + wide / 2, high), "Spoil", prefer=("above",))
        if ladder and ladder_above:
            at = -t - out - view.metres(14)
            view.dimension((at, 0), (at, over), join("Ladder ", ladder_above), measure=ladder_above, prefer="left",
                           width=80)  # fmt: skip
        elif ladder:
            view.label((foot[0] + ux * tall * 0.98, foot[1] + uy * tall * 0.98), "Ladder",
                       prefer=("left", "above"))  # fmt: skip
        if keep and edge_distance:
            view.dimension((-t - keep, low), (-t, low), join("No tracks nearer ", edge_distance), measure=edge_distance,
                           offset=-46, prefer="below", width=170)  # fmt: skip
        if not ladder:
            canvas.note(RAMP)
        canvas.note("The set-back is for the toe of the spoil. A pile is still a load: the competent person says if it may lie here.")
    return canvas


def _resting_excavator(view: View, x: float, track: float, arm: Arm, *, facing: int, sized: bool, tail: float, blade: float | None) -> None:
    """Draw an excavator on level ground with its boom down; a compact one if it has a `blade`.

    `x` is where its swing centre stands, `track` the length of its tracks. `sized=False` where that
    is a guess.
    """
    # half stretched out, the bucket on its teeth
    pose = arm.posed((arm.foot[0] + 0.72 * (arm.boom + arm.stick), 0.0), teeth=math.radians(-118))
    if blade is None:
        excavator_posed(view, x, 0.0, arm, pose, size=track / 1.5, facing=facing, tail=tail, sized=sized)
    else:
        compact_side(view, x, 0.0, track_length=track, arm=arm, pose=pose, blade_height=blade, facing=facing, tail=tail, sized=sized)


def overhead_line(
    *,
    ident: str,
    line_height: Measure,
    clearance: Measure,
    reach_height: Measure,
    max_reach: Measure | None = None,
    standoff: Measure | None = None,
    track_length: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
) -> Canvas:
    """Draw a power line, the space that must stay free around it, and a machine that stands off.

    All in metres: height of the lowest wire, clearance around it, the highest and the farthest the
    machine reaches (the latter from its swing centre), how far the swing centre stays from the wire,
    and the length of its tracks, of its stick and bucket, its tail's radius and, of a compact one, the
    height of its blade. The machine rests with its boom down, and a dashed line shows all
    that it can reach from there. Without `max_reach` and `standoff` they are sketched, not told.
    """
    positive(line_height=line_height, clearance=clearance, reach_height=reach_height)
    line, clear, high = line_height.si, clearance.si, reach_height.si
    reach = max_reach.si if max_reach else high
    away = standoff.si if standoff else reach + clear
    track = track_length.si if track_length else 0.34 * high
    positive(away=Measure(away, "", ""), track=Measure(track, "", ""))
    stick = stick_length.si if stick_length else 0.78 * track
    dig = bucket_length.si if bucket_length else 0.0
    tail = tail_radius.si if tail_radius else 0.66 * track
    arm = compact_arm(stick, track, bucket=dig, reach=reach) if blade_height else arm_of(stick, track / 1.5, bucket=dig, reach=reach)
    can_reach = line - clear - high < 0
    told = away >= (reach + clear) * 0.995
    canvas = Canvas(
        ident,
        title="A power line, and a machine that stands off from it",
        desc=both(
            "The lowest wire hangs ", line_height, " up. ", clearance,
            " around it must stay free. The machine reaches ", reach_height, " high. It stands to the side with its "
            "boom down, so far off that its whole swing stays clear. "
            + ("Under the wire its boom could reach into that space. " if can_reach else "") + ASK,
        ),
    )  # fmt: skip
    canvas.note(ASK, bold=True, boxed=True)
    # the wire hangs over x = 0; the machine stands to the left of it
    centre = -away
    left = centre - max(1.3 * track, 0.45 * reach, arm.foot[0] + 0.76 * (arm.boom + arm.stick))
    right = clear * 1.06
    tall = max(line + clear, high) * 1.02
    view = canvas.view((left, 0, right, tall), pad=(92, 56, 86, 110), max_height=270)
    view.line((left, 0), (right, 0), pen="bold")
    # The envelope is cut at the ground where it reaches that far down.
    ring: list[Point] = [(clear * math.cos(k * math.pi / 36), max(0.0, line + clear * math.sin(k * math.pi / 36))) for k in range(72)]
    with view.part("keep-clear"):
        view.polygon(ring, pen="dash", fill="stripe")
    view.line((0, 0), (0, line), pen="thin")
    with view.part("wire"):
        view.circle((0, line), view.metres(5), fill="dark")
    _resting_excavator(
        view, centre, track, arm, facing=-1, sized=track_length is not None, tail=tail, blade=blade_height.si if blade_height else None
    )
    with view.part("swing-circle"):
        view.polyline([(left, high), (centre + reach, high), (centre + reach, 0)], pen="dash")
    view.line((centre, 0), (centre, high), pen="thin")
    view.dimension((left, 0), (left, high), join("Reaches up ", reach_height), measure=reach_height, offset=8,
                   prefer="left", width=84)  # fmt: skip
    view.dimension((right, 0), (right, line), join("Wire at ", line_height), measure=line_height, offset=-8,
                   prefer="right", width=80)  # fmt: skip
    view.dimension((-clear, line + clear), (0, line + clear), join("Keep clear ", clearance), measure=clearance,
                   offset=14, prefer="above")  # fmt: skip
    if max_reach:
        view.dimension((centre, 0), (centre + reach, 0), join("Reach ", max_reach), measure=max_reach, offset=-16,
                       prefer="below")  # fmt: skip
    if standoff:
        view.dimension((centre, 0), (0, 0), join("Swing centre to wire ", standoff), measure=standoff, offset=-58,
                       prefer="below", width=340)  # fmt: skip
    view.label(((left + centre) / 2, high), "All it can reach", prefer=("above", "right"), leader=False)
    canvas.legend([("stripe", "Must stay free of machine and load")])
    if can_reach:
        canvas.note("Under this wire the boom could reach into the space that must stay free. Keep out.", bold=True)
    if not told:
        canvas.note("From here the boom can reach into the space that must stay free. Move back.", bold=True)
    return canvas


def buried_line(
    *,
    ident: str,
    line_width: Measure,
    tolerance: Measure,
    line_depth: Measure | None = None,
) -> Canvas:
    """Draw a marked buried line across, and the zone on both sides where no machine digs.

    `line_width` and `tolerance` (on each side, from the line's outer edge) in metres. `line_depth`,
    to the line's top, is only drawn to scale where given; marks do not tell the depth.
    """
    positive(line_width=line_width, tolerance=tolerance)
    w, t = line_width.si / 2, tolerance.si
    depth = line_depth.si if line_depth else 1.2 * t
    canvas = Canvas(
        ident,
        title="A buried line and its tolerance zone",
        desc=both(
            "A buried line ", line_width, " wide. On each side, ", tolerance,
            " from its outer edge, lies the zone where no machine digs: hands or vacuum only. ", ASK,
        ),
    )  # fmt: skip
    canvas.note(ASK, bold=True, boxed=True)
    side = w + t * 1.6
    low = -depth - 2 * w - 0.35 * t
    view = canvas.view((-side, low, side, 0.1 * t), pad=(92, 60, 30, 92), max_height=300, seen="across")
    view.rect(-side, low, -w - t, 0, pen="none", fill="earth")
    view.rect(w + t, low, side, 0, pen="none", fill="earth")
    with view.part("keep-clear"):
        view.rect(-w - t, low, w + t, 0, pen="dash", fill="stripe")
    view.line((-side, 0), (side, 0), pen="bold")
    with view.part("line"):
        view.circle((0, -depth - w), w, fill="paper", pen="bold")
    view.line((0, 0), (0, view.metres(26)), pen="bold")
    view.polygon([(0, view.metres(26)), (view.metres(16), view.metres(21)), (0, view.metres(15))],
                 fill="dark")  # fmt: skip
    view.label((0, view.metres(26)), "Mark", prefer=("above", "left"), leader=False)
    view.dimension((w, low), (w + t, low), tolerance, offset=-12, prefer="below")
    view.dimension((-w - t, low), (-w, low), tolerance, offset=-12, prefer="below")
    # On a row of its own: on the hatching it could not be read.
    view.dimension(
        (-w, low), (w, low), join("Line ", line_width), measure=line_width, offset=-50,
        prefer="below",
    )  # fmt: skip
    if line_depth is not None:
        view.dimension((-side, -depth), (-side, 0), join("Depth ", line_depth),
                       measure=line_depth, offset=8, prefer="left", width=70)  # fmt: skip
        view.line((-side, -depth), (0, -depth), pen="thin")
    canvas.legend([("stripe", "Tolerance zone: hands or vacuum only, no machine digs here")])
    if line_depth is None:
        canvas.note("Marks do not tell how deep a line lies. The depth here is a sketch.")
    else:
        canvas.note("Marks do not tell how deep a line lies.")
    return canvas
