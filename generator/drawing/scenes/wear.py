"""Drawings of the wear chapter."""

from __future__ import annotations

import math

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import compact_plan, excavator_plan
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._bars import Bar, bars


def reverse_travel(
    *,
    ident: str,
    front_to_back_push: Measure,
    front_to_back_reverse: Measure,
    back_to_front_push: Measure,
    back_to_front_reverse: Measure,
) -> Canvas:
    """Draw how far a dozer pushes and backs up, front to back against back to front.

    All four are distances in metres over the same job; the bars share one scale.
    """
    canvas = Canvas(
        ident,
        title="Distance pushed and distance in reverse, two ways to cut the same slot",
        desc=both(
            "Bars to one scale. Front to back: ",
            front_to_back_push,
            " pushing, ",
            front_to_back_reverse,
            " in reverse. Back to front: ",
            back_to_front_push,
            " pushing, ",
            back_to_front_reverse,
            " in reverse.",
        ),
    )
    bars(
        canvas,
        [
            Bar("Front to back: pushing", front_to_back_push, "stripe"),
            Bar("Front to back: in reverse", front_to_back_reverse, "dots"),
            Bar("Back to front: pushing", back_to_front_push, "stripe"),
            Bar("Back to front: in reverse", back_to_front_reverse, "dots"),
        ],
    )
    canvas.legend([("stripe", "Pushing, blade loaded"), ("dots", "In reverse: wears tracks most")])
    return canvas


def even_wear(*, ident: str, left: Measure, right: Measure) -> Canvas:
    """Draw how much each track worked on the low side of a slope: one bar a side.

    `left` and `right` in one quantity (hours, distance, share); the lesson says which.
    """
    canvas = Canvas(
        ident,
        title="Left track low and right track low",
        desc=both("Two bars to one scale. Left track low: ", left, ". Right track low: ", right, "."),
    )
    bars(canvas, [Bar("Left track low", left, "stripe"), Bar("Right track low", right, "dots")])
    return canvas


def side_moment(
    *,
    ident: str,
    reach: Measure,
    force: Measure,
    moment: Measure,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    tail_radius: Measure | None = None,
    bucket_length: Measure | None = None,
    bucket_width: Measure | None = None,
    blade_width: Measure | None = None,
) -> Canvas:
    """Draw a sideways sweep from above: the force at the bucket, its arm to the pins.

    `reach` in metres from the pins at the boom's foot to the bucket; `force` in newtons and
    `moment` in newton metres are printed; the moment must be force times reach. The others are the
    machine's, in metres; it is sketched around the reach where they are not given. One with a
    `blade_width` is a compact excavator.
    """
    positive(reach=reach, force=force, moment=moment)
    if abs(moment.si - force.si * reach.si) > 0.01 * moment.si:
        raise DrawingRefused(f"{force.us} at {reach.us} do not make {moment.us}")
    r = reach.si
    canvas = Canvas(
        ident,
        title="Never sweep sideways: what it does to the pins",
        desc=both(
            "An excavator from above. A sideways force of ", force, " at the bucket, ", reach,
            " from the pins, twists the pins with ", moment, ".",
        ),
    )  # fmt: skip
    long = track_length.si if track_length else 0.5 * r
    wide = machine_width.si if machine_width else 0.84 * long
    shoe = min(shoe_width.si if shoe_width else 0.24 * wide, 0.45 * wide)
    tail = tail_radius.si if tail_radius else 0.7 * long
    dig = bucket_length.si if bucket_length else min(0.16 * r, 0.4 * long)
    across = bucket_width.si if bucket_width else dig
    # the boom's foot stands in front of the swing centre, on a compact excavator in front of the house
    swing = -(0.5 if blade_width else 0.13) * long
    low = min(-0.34 * r, -wide / 2 - 0.04 * r)
    high = max(0.42 * r, wide / 2 + 0.04 * r)
    view = canvas.view((swing - max(tail, long / 2) - 0.03 * r, low, 1.08 * r + dig / 2, high), pad=(14, 40, 20, 60),
                       max_height=320, seen="above", way="wrong")  # fmt: skip
    if blade_width:
        compact_plan(view, (swing, 0.0), length=long, width=wide, shoe=shoe, angle=0.0, look=0.0, pin=r - swing, tail=tail,
                     bucket_length=dig, blade_width=blade_width.si, bucket_width=across, sized=track_length is not None)  # fmt: skip
    else:
        excavator_plan(view, (swing, 0.0), length=long, width=wide, shoe=shoe, angle=0.0, look=0.0, pin=r - swing, tail=tail,
                       bucket_length=dig, bucket_width=across, sized=track_length is not None)  # fmt: skip
    view.circle((0, 0), view.metres(6), fill="paper", pen="bold")
    view.arrow((r, 0.38 * r), (r, across / 2 + 0.02 * r))
    view.label((r, 0.38 * r), join("Force ", force), prefer=("left", "above"), width=150)
    view.dimension((0, low), (r, low), join("Reach ", reach), measure=reach,
                   offset=-10, prefer="below")  # fmt: skip
    view.arrow_path(
        [
            (0.2 * r * math.cos(math.radians(105 - 7 * k)), 0.2 * r * math.sin(math.radians(105
             - 7 * k)))
            for k in range(13)
        ]
    )  # fmt: skip
    view.label((0.06 * r, max(0.2 * r, wide / 2 + 0.02 * r)), join("Twist at the pins ", moment), prefer=("above", "right"),
               width=180)  # fmt: skip
    canvas.note("The wrong way. Never sweep sideways.", bold=True)
    canvas.note("Pins, stick and boom are made for loads front to back.")
    return canvas


def undercarriage_left(*, ident: str, new: Measure, limit: Measure, measured: Measure, worn: Text) -> Canvas:
    """Draw a worn part as a bar: as new, as measured, and at its limit.

    `new`, `limit`, `measured`: metres (a grouser's height, a link's height). The limit may be the
    smaller value (a part that wears down) or the larger (a chain that gets longer). `worn` is the
    printed share of the wear used up.
    """
    positive(new=new, limit=limit, measured=measured)
    if new.si == limit.si:
        raise DrawingRefused("new and limit are the same: there is nothing to wear")
    canvas = Canvas(
        ident,
        title="How much of a part is worn",
        desc=both(
            "Bars to one scale. New: ", new, ". Measured: ", measured, ". Limit: ", limit,
            ". Worn: ", worn, ".",
        ),
    )  # fmt: skip
    bars(
        canvas,
        [
            Bar("New", new, "shade"),
            Bar("Measured", measured, "stripe"),
            Bar("Limit", limit, "cross"),
        ],
    )
    canvas.note(join("Worn: ", worn), bold=True)
    return canvas


def worn_grousers(
    *,
    ident: str,
    track_gauge: Measure,
    height_difference: Measure,
    slope_error: Text,
    shoe_width: Measure | None = None,
) -> Canvas:
    """Draw the outer edges of both tracks from behind, close up, one worn more than the other.

    `track_gauge` (track centre to track centre) and `height_difference` in metres; `slope_error` is
    the printed cross slope that the lean makes. Heights and widths are at one true scale; what lies
    between the two edges is left out at a marked break. The height of the grousers and the plates is
    a sketch, their difference is not. `shoe_width`: metres, how much of a shoe there is to show.
    """
    positive(track_gauge=track_gauge, height_difference=height_difference)
    g, d = track_gauge.si, height_difference.si
    if d >= g:
        raise DrawingRefused("tracks do not differ by more than the gauge")
    shown = min(6 * d, 0.9 * shoe_width.si) if shoe_width else 6 * d
    canvas = Canvas(
        ident,
        title="One track worn more than the other",
        desc=both(
            "The outer edges of both tracks from behind, close up, on level ground; the middle is left out at a break. "
            "The grousers differ by ", height_difference, " over a gauge of ", track_gauge, ". The machine leans by ",
            slope_error, ", and a slope read from it is wrong by that much.",
        ),
    )  # fmt: skip
    grouser, plate, gap = 2.4 * d, 1.3 * d, 3.4 * d
    half = gap / 2 + shown
    view = canvas.view((-half - 0.8 * d, -0.9 * d, half + 1.2 * d, grouser + plate), pad=(20, 54, 96, 40), max_height=300, seen="end")
    left, low, right, _ = view.world
    view.rect(left, low, right, 0, pen="none", fill="earth")
    view.line((left, 0), (right, 0), pen="bold")
    tops = (grouser - d, grouser)
    # only a piece of each shoe is in the picture
    with view.part("tracks", sized="no"):
        for side, top in ((-1, tops[0]), (1, tops[1])):
            inner, outer = side * gap / 2, side * half
            ends = sorted((inner, outer))
            view.body([(ends[0], 0), (ends[1], 0), (ends[1], top), (ends[0], top)], fill="dark")
            view.body([(ends[0], top), (ends[1], top), (ends[1], top + plate), (ends[0], top + plate)])
    for side in (-1, 1):
        x, high = side * 0.36 * gap, grouser + plate + 0.3 * d
        zigzag = [(x + side * 0.22 * d * (0, 0, 1, -1, 0, 0)[k], low + (high - low) * (0, 0.4, 0.46, 0.54, 0.6, 1)[k]) for k in range(6)]
        view.polyline(zigzag, pen="thin")
    view.line((-gap / 2, tops[0] + plate), (right, tops[0] + plate), pen="dash")
    view.line((half, tops[1] + plate), (right, tops[1] + plate), pen="thin")
    view.dimension((right, tops[0] + plate), (right, tops[1] + plate), height_difference,
                   offset=-6, prefer="right", width=84)  # fmt: skip
    view.label((-half + 0.5 * shown, tops[0] + plate), "Worn more", prefer=("above",), width=110)
    view.label((half - 0.5 * shown, tops[1] + plate), "Worn less", prefer=("above",), width=110)
    view.label((half - 0.5 * shown, 0.0), "Grouser", prefer=("below",), width=110)
    canvas.note(join("At the break the rest is left out. Between the middles of the tracks lie ", track_gauge, "."))
    canvas.note(join("The machine leans by ", slope_error, "."), bold=True)
    canvas.note("The read-out refers to the track pads, not to the grousers.")
    return canvas
