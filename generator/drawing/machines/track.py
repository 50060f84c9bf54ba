"""The crawler track, from the side, from the end and from above."""

from __future__ import annotations

import math

from generator.drawing.boxes import Point
from generator.drawing.machines.outline import Detail, Frame, arc, bar, detail_of, turned
from generator.drawing.view import View


def track_side(
    view: View,
    x0: float,
    x1: float,
    y: float,
    height: float,
    *,
    angle: float = 0.0,
    about: Point = (0.0, 0.0),
    drive: int = -1,
    detail: Detail | None = None,
) -> None:
    """Draw a crawler track from the side, standing on `y` from `x0` to `x1`.

    `angle` (radians) then turns it about the point `about`. The sprocket is at the left end, or where
    `drive` is 1 at the right one; the idler at the other. Between them are the rollers.
    """
    full = detail_of(view, x1 - x0, detail) == "full"
    r = min(height, x1 - x0) / 2
    steps = 6 if full else 4

    def belt(radius: float) -> list[Point]:
        ends = ((x1 - r, -math.pi / 2), (x0 + r, math.pi / 2))
        return turned([p for cx, start in ends for p in arc((cx, y + r), radius, start, start + math.pi, steps)], angle, about)

    def at(x: float, up: float) -> Point:
        return turned([(x, y + up)], angle, about)[0]

    view.body(belt(r), fill="paper", pen="thin")
    band = belt(0.87 * r)
    around = 2 * (x1 - x0 - 2 * r) + 2 * math.pi * 0.87 * r
    links = max(12, min(44, round(around / (0.28 * r))))
    view.strap([*band, band[0]], 0.26 * r, link=around / links if full else 0.0)
    sprocket, idler = (x0 + r, x1 - r) if drive < 0 else (x1 - r, x0 + r)
    span = x1 - x0 - 2 * r
    view.body(bar(at(x0 + 0.9 * r, 0.95 * r), at(x1 - 0.9 * r, 0.95 * r), 0.36 * r), pen="thin", fill="paper")
    view.circle(at(sprocket, r), 0.6 * r, fill="paper", pen="line")
    view.circle(at(idler, r), 0.6 * r, fill="paper", pen="thin")
    if not full:
        return
    # the sprocket has teeth; the rollers run on the belt below the frame, and carry it above
    view.strokes([[at(sprocket + a * math.cos(t), r + a * math.sin(t)) for a in (0.6 * r, 0.74 * r)]
                  for t in (k * math.pi / 4 for k in range(8))])  # fmt: skip
    count = max(2, min(7, round(span / (0.75 * r))))
    rollers = [at(x0 + r + span * (k + 0.5) / count, 0.48 * r) for k in range(count)]
    carriers = [at(x0 + r + span * share, 1.54 * r) for share in (0.3, 0.7)] if span > 2.2 * r else []
    view.dots([*rollers, *carriers, at(idler, r)], 0.34 * r)
    view.dots([at(sprocket, r)], 0.6 * r)


def tracks_end(view: View, frame: Frame, gauge: float, shoe: float, height: float, *, detail: Detail | None = None) -> None:
    """Draw both tracks from their ends, `gauge` from middle to middle: `shoe` wide, with their shoes one above the other.

    All in the units of `frame`.
    """
    sides = [(side * gauge / 2 - shoe / 2, side * gauge / 2 + shoe / 2) for side in (-1, 1)]
    for a, b in sides:
        view.body(frame.box(a, 0.0, b, height), fill="shade")
    count = 6 if detail_of(view, 2 * height * frame.scale, detail) == "full" else 3
    edge = 0.03 * shoe  # small lines are rounded: they stay within the track's width
    view.strokes(
        [frame.all((a + edge, height * k / count), (b - edge, height * k / count)) for a, b in sides for k in range(1, count)], pen="line"
    )


def crawler_plan(
    view: View,
    centre: Point,
    *,
    length: float,
    width: float,
    shoe: float,
    angle: float,
    detail: Detail | None = None,
) -> None:
    """Draw the two tracks of a crawler from above; `angle` is the way the tracks point."""
    for side in (-1, 1):
        track_plan(view, centre, length, side * (width - shoe) / 2, shoe, angle, detail=detail)


def track_plan(view: View, centre: Point, length: float, middle: float, shoe: float, angle: float, *, detail: Detail | None = None) -> None:
    """Draw one track from above, its middle `middle` to the left of the machine's, with its shoes."""
    frame = Frame(centre, angle=angle)
    a, b = middle - shoe / 2, middle + shoe / 2
    view.body(frame.box(-length / 2, a, length / 2, b), fill="shade")
    count = 14 if detail_of(view, length, detail) == "full" else 7
    edge = 0.03 * shoe  # small lines are rounded: they stay within the track's width
    view.strokes([frame.all((length * (k / count - 0.5), a + edge), (length * (k / count - 0.5), b - edge)) for k in range(1, count)])
