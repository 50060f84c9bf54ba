"""Drawings of a dozer that runs off its line: back by the blade's tilt, or by one track, station by station."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import dozer_end, dozer_height, dozer_plan
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.view import View

_LINE = "The line you want"


@dataclass(frozen=True)
class _Dozer:
    """The lengths of a dozer in metres; what the tables do not give is in proportion to its blade."""

    blade: float
    high: float
    track: float
    gauge: float
    shoe: float
    given: bool  # whether its tracks are as the table says

    @classmethod
    def of(cls, blade_width: Measure, blade_height: Measure, track: Measure | None, gauge: Measure | None, shoe: Measure | None) -> _Dozer:
        wide, high = blade_width.si, blade_height.si
        return cls(
            wide, high, track.si if track else 2.4 * high, gauge.si if gauge else 0.55 * wide, shoe.si if shoe else 0.17 * wide,
            None not in (track, gauge, shoe),
        )  # fmt: skip

    @property
    def ahead(self) -> float:
        """From the middle of its tracks to the front of its blade, as it is drawn from above."""
        return 0.6 * self.track + 0.75 * self.high

    def plan(self, view: View, nose: Point, way: float) -> None:
        """Draw it from above, the front of its blade at `nose`, toward `way` (radians)."""
        centre = (nose[0] - self.ahead * math.cos(way), nose[1] - self.ahead * math.sin(way))
        dozer_plan(
            view, centre, track_length=self.track, track_gauge=self.gauge, shoe_width=self.shoe, blade_width=self.blade,
            blade_height=self.high, way=way, sized=self.given,
        )  # fmt: skip
        ahead, half = 1.3 * self.high, self.blade / 2
        load = [
            (0.0, -half),
            (0.0, half),
            (0.6 * ahead, 0.9 * half),
            (ahead, 0.45 * half),
            (ahead, -0.45 * half),
            (0.6 * ahead, -0.9 * half),
        ]
        cos, sin = math.cos(way), math.sin(way)
        with view.part("load"):
            view.body([(nose[0] + x * cos - y * sin, nose[1] + x * sin + y * cos) for x, y in load], pen="thin", fill="spoil")

    def behind(self, view: View, x: float, tilt: float = 0.0) -> None:
        """Draw it from behind, its middle at `x`, on level ground."""
        dozer_end(
            view, x, 0.0, blade_width=self.blade, blade_height=self.high, track_gauge=self.gauge, shoe_width=self.shoe, behind=True,
            track_length=self.track, blade_tilt=tilt,
        )  # fmt: skip


def drift_film(
    *,
    ident: str,
    ways: Sequence[Measure],
    offs: Sequence[Measure],
    pushes: Sequence[Measure],
    most_push: Measure,
    blade_width: Measure,
    blade_height: Measure,
    tilts: Sequence[Measure] | None = None,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
) -> Film:
    """Draw a dozer that drifts to the left and comes back, station by station: from above, and from behind.

    - `ways`, `offs`: metres at each station, how far it went along its line and how far off it is then.
      The stations lie equally far apart, and the last one is past the line.
    - `pushes`: newtons, what its tracks hold there, and `most_push` what they hold with both driving.
    - `tilts`: metres, how much lower the right corner of the blade stands there. Without them it is
      steered by its tracks: where it turns, the right one is let go and braked.
    - the others are the machine's, in metres; those not given are sketched in proportion to its blade.

    Raises `DrawingRefused` for a length or a push of zero or less and for sequences that are not of one length.
    """
    positive(blade_width=blade_width, blade_height=blade_height, most_push=most_push)
    count = len(ways)
    if count < 4 or len(offs) != count or len(pushes) != count or (tilts is not None and len(tilts) != count):
        raise DrawingRefused("a drift needs four stations at least, and the same figures of each")
    if any(b.si <= a.si for a, b in itertools.pairwise(ways)) or ways[0].si != 0:
        raise DrawingRefused("the stations of a drift follow each other from the start on")
    dozer = _Dozer.of(blade_width, blade_height, track_length, track_gauge, shoe_width)
    peak = max(range(count), key=lambda k: offs[k].si)
    back = next((k for k in range(peak, count) if offs[k].si == 0), count - 1)
    path = [(way.si, off.si) for way, off in zip(ways, offs, strict=True)]
    slant = math.atan2(offs[peak].si, ways[peak].si)
    frames = []
    for k in range(count):
        canvas = Canvas(ident, title="A drift, station by station", desc="One station of it.", steady=True)
        heading = slant if k < peak else -slant if k < back else 0.0
        canvas.note("From above", bold=True)
        _from_above(canvas, dozer, path, k, heading)
        if offs[k].si > 0:
            canvas.note(join("Off the line: ", offs[k]), bold=True)
        else:
            canvas.note("Off the line: nothing", bold=True)
        canvas.skip(4)
        canvas.note("From behind", bold=True)
        braked = 0 if tilts or k not in (peak, back) else 1 if k == peak else -1  # it turns to the side of that track
        view = _from_behind(canvas, dozer, offs[k], max(one.si for one in offs), tilts[k] if tilts else None)
        if braked:
            for side in (-1, 1):
                view.label((side * dozer.gauge / 2 - offs[k].si, 0), "Braked" if side == braked else "Drives", prefer=("below",), width=80)
        canvas.note(join("Push the tracks can hold: ", pushes[k]), bold=True)
        bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
        bar.bar((0, 0), (100 * pushes[k].si / most_push.si, 4), "dark", pushes[k])
        bar.rect(0, 0, 100, 4, pen="thin")
        canvas.note(join("The whole bar is ", most_push, ": both tracks drive."))
        canvas.key_starts()
        canvas.note("Dashed: the line you want. Thick: the way of the blade so far.")
        frames.append(Frame(canvas, _says(k, peak, back, ways[k], offs[k], pushes[k], tilts[k] if tilts else None),
                            (ways[k], offs[k], pushes[k], most_push, *((tilts[k],) if tilts else ()))))  # fmt: skip
    how = "by a tilt of the blade" if tilts else "by braking one track"
    return Film(
        ident,
        title=f"Off the line and back {how}",
        desc=both(
            "A dozer from above and from behind. In ", ways[peak], " it drifts ", offs[peak], " to the left of its line. ",
            *(("The right corner of its blade is lowered ", tilts[peak], ", and both tracks go on driving. It is back on the line after ",
               ways[back], ", and the blade is levelled.") if tilts else
              ("Its right track is let go and braked. While that lasts, the tracks hold ", pushes[peak], " of push and not ", most_push,
               ". It is back on the line after ", ways[back], ".")),
        ),
        frames=frames,
    )  # fmt: skip


def _says(k: int, peak: int, back: int, way: Measure, off: Measure, push: Measure, tilt: Measure | None) -> Text:
    if k == 0:
        return "On the line, with a full blade. The blade is level."
    if k < peak:
        return join(way, " along, and ", off, " off to the left. The blade is level.")
    if k == peak:
        if tilt is not None:
            return join(way, " along, and ", off, " off. Lower the right corner ", tilt, ". Both tracks drive, and hold ", push, ".")
        return join(
            way, " along, and ", off, " off. The right track is let go and braked. The tracks hold only ", push, ". The push may stall."
        )
    if k < back:
        if tilt is not None:
            return join(way, " along, and ", off, " off. The low corner pulls the nose back. Both tracks drive.")
        return join(way, " along, and ", off, " off. Both tracks drive again. Some of the load may have run off the blade.")
    if k == back:
        if tilt is not None:
            return join(way, " along, and back on the line. Level the blade.")
        return join(way, " along, and on the line. To run straight, the left track is braked. The tracks hold only ", push, ".")
    return join(way, " along. On the line, blade level." if tilt is not None else " along. On the line, both tracks drive.")


def _from_above(canvas: Canvas, dozer: _Dozer, path: Sequence[Point], k: int, heading: float) -> None:
    """Draw the whole way to scale, and the dozer at station `k`, its blade on its way."""
    side = dozer.blade / 2
    reach = dozer.ahead + dozer.track / 2
    load = 1.4 * dozer.high
    slope = max(abs(math.atan2(b[1] - a[1], b[0] - a[0])) for a, b in itertools.pairwise(path))
    most = max(y for _, y in path)
    view = canvas.view(
        (path[0][0] - 1.05 * reach - side * math.sin(slope), -1.15 * side - reach * math.sin(slope), path[-1][0] + load,
         most + 1.25 * side + load * math.sin(slope)),
        pad=(4, 4, 4, 34), max_height=260, seen="above",
    )  # fmt: skip
    view.line((view.world[0], 0), (view.world[2], 0), pen="dash")
    dozer.plan(view, path[k], heading)
    if k:
        view.polyline(path[: k + 1], pen="bold")
    view.label(((view.world[0] + view.world[2]) / 2, view.world[1]), _LINE, prefer=("below",), leader=False)


def _from_behind(canvas: Canvas, dozer: _Dozer, off: Measure, most: float, tilt: Measure | None, low: int = 1) -> View:
    """Draw the dozer from behind, `off` to the left of its line, which stands up as a mark far ahead would.

    The view has room for `most` metres off the line. The low corner is the right one, or where `low` is -1 the left one.
    """
    tall = dozer_height(dozer.high, dozer.track)
    deep = 0.3 * dozer.high
    half = dozer.blade / 2
    view = canvas.view((-most - 1.15 * half, -deep, 1.25 * half, 1.16 * tall), pad=(8, 34, 8, 40), max_height=260, seen="end")
    view.rect(view.world[0], -deep, view.world[2], 0, pen="none", fill="earth")
    view.line((view.world[0], 0), (view.world[2], 0), pen="bold")
    dozer.behind(view, -off.si, low * tilt.si if tilt else 0.0)
    view.line((0, -deep), (0, 1.16 * tall), pen="dash")
    if off.si > 0:
        view.dimension((-off.si, 1.08 * tall), (0, 1.08 * tall), join("Off ", off), measure=off, prefer="left", width=110)
    if tilt is not None and tilt.si > 0:
        view.label((low * 0.95 * half - off.si, 0), join("Low corner, ", tilt), prefer=("below",), width=160)
    return view


def behind_the_blade(
    *,
    ident: str,
    off_line: Measure,
    blade_width: Measure,
    blade_height: Measure,
    tilt: Measure | None = None,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    left_low: bool = False,
    spots: bool = False,
) -> Canvas:
    """Draw a dozer from behind that stands `off_line` metres to the left of its line.

    The right corner of its blade is `tilt` metres lower than the left one, where that is given; with
    `left_low` it is the left corner. With
    `spots` one can point at both corners of the blade and at both tracks.
    """
    positive(off_line=off_line, blade_width=blade_width, blade_height=blade_height)
    if tilt is not None and not 0 < tilt.si < blade_width.si:
        raise DrawingRefused("a blade is tilted by more than nothing and less than its width")
    dozer = _Dozer.of(blade_width, blade_height, track_length, track_gauge, shoe_width)
    canvas = Canvas(
        ident,
        title="A dozer off its line, from behind",
        desc=both("A dozer from behind, ", off_line, " to the left of the line it should run on. ",
                  *(("The left" if left_low else "The right", " corner of its blade is ", tilt, " lower than the other one.") if tilt else ("Its blade is level.",))),
    )  # fmt: skip
    view = _from_behind(canvas, dozer, off_line, off_line.si, None if spots else tilt, -1 if left_low else 1)
    if spots:
        half = dozer.blade / 2
        # the middle of each is taken as high as it stands out beside the tracks
        for name, label, x, y in (
            ("left-corner", "the left corner of the blade", -0.92 * half, 0.1 * dozer.high),
            ("left-track", "the left track", -dozer.gauge / 2, 0.7 * dozer.high),
            ("right-track", "the right track", dozer.gauge / 2, 0.7 * dozer.high),
            ("right-corner", "the right corner of the blade", 0.92 * half, 0.1 * dozer.high),
        ):
            view.spot(name, label, [(x - off_line.si, y)])
    else:
        view.label((0, 1.16 * dozer_height(dozer.high, dozer.track)), _LINE, prefer=("right", "above"), width=150)
    return canvas
