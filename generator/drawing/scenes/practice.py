"""How a field exercise is set out: rows of flags and a line by tape, and where a track is marked and its sag is measured."""

from __future__ import annotations

import itertools
import math

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import excavator_plan
from generator.drawing.measure import Measure, both, positive
from generator.drawing.scenes._bench import Stand
from generator.drawing.view import View

FLAGS = 7  # in a row


def _flag(view: View, at: Point, size: float) -> None:
    """A flag on its wire, as it is seen lying over from above: the foot stands at the point."""
    x, y = at
    view.strokes([[(x, y), (x, y + size)]], pen="line")
    view.bodies([[(x, y + size), (x + 0.6 * size, y + 0.8 * size), (x, y + 0.6 * size)]], fill="dark")


def flag_lines(
    *,
    ident: str,
    keep: Measure,
    flag_along: Measure,
    flag_square: Measure,
    track_length: Measure,
    machine_width: Measure,
    track_angle: Measure,
    shoe_width: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Canvas:
    """Draw from above how open ground is flagged for practice, and the machine that stands by the flags.

    Lengths in metres, the angle in radians.

    - `keep`: from the row of flags that is the edge to the second row, which no track passes.
    - `flag_along`, `flag_square`: the short sides of the triangle that is taped out; its long side is
      `track_length`, at `track_angle` to the rows.
    - `machine_width` is over the tracks. The rest is of the machine.

    Raises DrawingRefused where the three sides and the angle do not belong together.
    """
    positive(keep=keep, flag_square=flag_square, track_length=track_length, machine_width=machine_width, track_angle=track_angle)
    gap, b, h, long = keep.si, flag_along.si, flag_square.si, track_length.si
    if abs(math.hypot(b, h) - long) > 0.01 * long or abs(math.atan2(h, b) - track_angle.si) > 0.01:
        raise DrawingRefused("the sides of the triangle do not give the angle of the tracks")
    stand = Stand.of(track_length, machine_width, shoe_width, track_angle, 1.0)
    a, width = stand.angle, stand.width
    tail = tail_radius.si if tail_radius else 0.85 * long
    dig = bucket_length.si if bucket_length else 0.35 * long
    foot = (0.0, gap)
    # beside the triangle, clear of it with its tail
    centre = (b + max(tail, stand.half) + 0.35 * long, gap + stand.half)
    near = (centre[0] + (math.sin(a) * width - math.cos(a) * long) / 2, centre[1] - stand.half)
    far = (near[0] + long * math.cos(a), near[1] + long * math.sin(a))
    x0, x1 = -0.35 * long, max(centre[0] + max(tail, stand.half), far[0]) + 0.12 * long
    y1 = max(centre[1] + max(tail, stand.half), gap + h) + 0.05 * long
    canvas = Canvas(
        ident,
        title="Flags for practice on open ground, from above",
        desc=both(
            "A row of flags is the edge. A second row is ", keep, " back. A triangle of ", flag_along, " along the second row and ", flag_square,
            " square to it has a long side of ", track_length, ". The tracks stand like that side: one end of the near track is ", flag_square,
            " farther from the edge than the other.",
        ),
    )  # fmt: skip
    view = canvas.view((x0, -0.08 * long, x1, y1), pad=(44, 22, 62, 40), max_height=215, seen="above")
    size = 0.09 * long
    with view.part("swing-circle"):
        view.circle(centre, tail, pen="dash")
    excavator_plan(
        view, centre, length=long, width=width, shoe=stand.shoe, angle=a, look=-math.pi / 2, pin=stand.half + 0.3 * gap, tail=tail, bucket_length=dig,
    )  # fmt: skip
    with view.part("crest"):
        view.line((x0, 0.0), (x1, 0.0), pen="dash")
    view.line((x0, gap), (x1, gap), pen="dash")
    for k in range(FLAGS):
        x = x0 + (x1 - x0) * (k + 0.5) / FLAGS
        for y in (0.0, gap):
            _flag(view, (x, y), size)
    view.polyline([foot, (b, gap), (b, gap + h)], pen="line")
    view.line(foot, (b, gap + h), pen="bold")
    for corner in (foot, (b, gap), (b, gap + h)):
        _flag(view, corner, 1.3 * size)
    if b > 0.02 * long:  # square to the edge there is no triangle
        view.dimension(foot, (b, gap), flag_along, offset=-15, prefer="below")
        square = 0.08 * min(b, h)
        view.polyline([(b - square, gap), (b - square, gap + square), (b, gap + square)], pen="thin")
    view.dimension((b, gap), (b, gap + h), flag_square, offset=-12, prefer="right")
    view.dimension(foot, (b, gap + h), track_length, offset=12, prefer="left")
    view.dimension((x0 + 0.08 * long, 0.0), (x0 + 0.08 * long, gap), keep, prefer="left")
    view.dimension((far[0] + 0.12 * long, near[1]), (far[0] + 0.12 * long, far[1]), flag_square, prefer="right")
    view.label(near, "Near end", prefer=("right", "below"), clear=True)
    view.label(far, "Far end, with the sprocket", prefer=("above", "right"), clear=True, width=120)
    view.label((x0 + 0.6 * (x1 - x0), 0.0), "Flags for the edge", prefer=("below",), clear=True)
    view.label((x0 + 0.02 * (x1 - x0), gap), "No track past this row", prefer=("above", "right"), clear=True, width=120)
    canvas.note("The dashed ring is the swing of the tail. The bucket swings farther.")
    return canvas


# --- a track, marked and measured ------------------------------------------------------------------


def track_marks(*, ident: str) -> Canvas:
    """Draw the upper part of a track from the side, a sketch: what is marked on it, and where its sag is measured."""
    canvas = Canvas(
        ident,
        title="A track marked, and its sag",
        desc="The upper part of a track from the side, between the front idler and the roller behind it. A straight bar lies on the grousers above "
        "both. The track hangs below it in the middle: that is the sag. A shoe, a link and a bushing are marked with paint.",
    )
    view = canvas.view((-0.75, -1.15, 4.75, 0.3), pad=(14, 44, 14, 34), max_height=250, seen="side", scale="none")
    span, deep, tall = 4.0, 0.3, 0.17

    def top(x: float) -> float:
        """The upper side of the chain: it hangs like a flat curve between the wheels, and goes level past them."""
        u = min(max(x / span, 0.0), 1.0)
        return -4.0 * deep * u * (1.0 - u)

    with view.part("tracks", sized="no"):
        view.circle((0.0, -0.62), 0.5, fill="paper")
        view.circle((span, -0.3), 0.18, fill="paper")
        pitch = 0.42
        pins = [(-0.62 + pitch * k, top(-0.62 + pitch * k) - 0.06) for k in range(13)]
        for (xa, ya), (xb, yb) in itertools.pairwise(pins):
            view.bodies([[(xa - 0.06, ya - 0.07), (xb + 0.06, yb - 0.07), (xb + 0.06, yb + 0.05), (xa - 0.06, ya + 0.05)]], fill="paper")
            slope = math.atan2(yb - ya, xb - xa)
            mid = ((xa + xb) / 2, (ya + yb) / 2 + 0.07)

            def at(u: float, v: float, mid: Point = mid, slope: float = slope) -> Point:
                return (mid[0] + u * math.cos(slope) - v * math.sin(slope), mid[1] + u * math.sin(slope) + v * math.cos(slope))

            view.bodies([[at(-0.19, 0.0), at(0.19, 0.0), at(0.19, 0.05), at(-0.19, 0.05)]], fill="shade")
            view.bodies([[at(-0.035, 0.05), at(0.035, 0.05), at(0.025, tall), at(-0.025, tall)]], fill="dark")
        view.dots(pins, 0.07)
    # the bar lies on the tips above both wheels
    bar = 0.01 + tall
    view.body([(-0.55, bar), (span + 0.55, bar), (span + 0.55, bar + 0.07), (-0.55, bar + 0.07)], fill="paper")
    low = top(span / 2) + tall
    view.arrow((span / 2 + 0.1, low + 0.16), (span / 2 + 0.1, low), pen="line")
    view.strokes([[(span / 2 + 0.1, bar), (span / 2 + 0.1, low)]], pen="line")
    view.label((span / 2 + 0.1, bar + 0.07), "Sag, bar to tips", prefer=("above",), bold=True, width=150)
    view.label((0.3, bar + 0.07), "Straight bar", prefer=("above",), width=130)
    view.label((0.0, -1.12), "Front idler", prefer=("below",), width=120, leader=False)
    view.label((span, -0.48), "Roller", prefer=("below",), width=80, leader=False)
    link = ((pins[6][0] + pins[7][0]) / 2, (pins[6][1] + pins[7][1]) / 2)
    shoe = ((pins[8][0] + pins[9][0]) / 2, (pins[8][1] + pins[9][1]) / 2 + 0.14)
    for point, size, name in ((pins[4], 0.11, "Bushing"), (link, 0.13, "Link"), (shoe, 0.13, "Grouser")):
        view.circle(point, size, pen="bold")
        view.label((point[0], point[1] - size), name, prefer=("below",), width=90)
    canvas.note("How far it may hang says the manual. Where the manual lifts the track for it, the workshop measures.")
    return canvas
