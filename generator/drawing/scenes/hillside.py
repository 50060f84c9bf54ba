"""An excavator on a slope: the level pad it cuts and works from, and where its weight goes as it swings.

Nothing here says which slope or which load is allowed, and each scene says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Arm, Pose, arm_of, compact_arm, compact_plan, compact_side, draw_end, excavator_plan, excavator_posed
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._tilted import Tilted
from generator.drawing.scenes.slopes import NOT_ALLOWED
from generator.drawing.view import View

NOT_SAFE = "Not a safe limit. The manual, the site's limit and a competent person decide."


@dataclass(frozen=True)
class _Digger:
    """An excavator of the site, a compact one if it has a `blade`; metres."""

    arm: Arm
    long: float
    gauge: float
    shoe: float
    cg: float
    tail: float
    reach: float
    blade: tuple[float, float] | None

    @classmethod
    def of(
        cls, track_length: Measure, track_gauge: Measure, shoe_width: Measure, cg_height: Measure | None, stick_length: Measure,
        max_reach: Measure, bucket_length: Measure | None, tail_radius: Measure | None, blade_width: Measure | None,
        blade_height: Measure | None,
    ) -> _Digger:  # fmt: skip
        positive(track_length=track_length, track_gauge=track_gauge, shoe_width=shoe_width, stick_length=stick_length, max_reach=max_reach)
        long, stick, reach = track_length.si, stick_length.si, max_reach.si
        dig = bucket_length.si if bucket_length else 0.0
        blade = (blade_width.si, blade_height.si) if blade_width and blade_height else None
        arm = compact_arm(stick, long, bucket=dig, reach=reach) if blade else arm_of(stick, long / 1.5, bucket=dig, reach=reach)
        gauge = track_gauge.si
        return cls(arm, long, gauge, shoe_width.si, cg_height.si if cg_height else 0.45 * gauge, tail_radius.si if tail_radius else 0.66 * long,
                   reach, blade)  # fmt: skip

    @property
    def width(self) -> float:
        """Over the tracks."""
        return self.gauge + self.shoe

    @property
    def tall(self) -> float:
        """How high it stands with its boom."""
        return 1.25 * self.long

    def above(self, view: View, way: float, look: float, reach: float) -> None:
        """From above, its swing centre at the origin, its tracks along `way`, the boom along `look`, the teeth out at `reach`."""
        pin = reach - 0.35 * self.arm.bucket
        if self.blade:
            compact_plan(view, (0.0, 0.0), length=self.long, width=self.width, shoe=self.shoe, angle=way, look=look, pin=pin, tail=self.tail,
                         bucket_length=self.arm.bucket, blade_width=self.blade[0], detail="plain")  # fmt: skip
        else:
            excavator_plan(view, (0.0, 0.0), length=self.long, width=self.width, shoe=self.shoe, angle=way, look=look, pin=pin, tail=self.tail,
                           bucket_length=self.arm.bucket, detail="plain")  # fmt: skip

    def side(self, view: View, foot: Point, tilt: float, pose: Pose, *, loaded: bool = False) -> None:
        """From its side, facing uphill to the right; `foot` is the ground under the middle of its tracks."""
        seen = Tilted.of(view, tilt, foot)
        if self.blade:
            compact_side(seen, *foot, track_length=self.long, arm=self.arm, pose=pose, blade_height=self.blade[1], tail=self.tail,
                         blade_up=0.1 * self.gauge, loaded=loaded, detail="plain")  # fmt: skip
        else:
            excavator_posed(seen, *foot, self.arm, pose, size=self.long / 1.5, tail=self.tail, loaded=loaded, detail="plain")

    def toward(self, foot: Point, tilt: float, spot: Point, *, teeth: float = -2.05) -> Pose:
        """The pose with the teeth on a spot of the world, for a machine that stands at `foot` tilted by `tilt`."""
        x, y = spot[0] - foot[0], spot[1] - foot[1]
        cos, sin = math.cos(tilt), math.sin(tilt)
        return self.arm.posed((x * cos + y * sin, -x * sin + y * cos), teeth=teeth)

    def reaches(self, foot: Point, tilt: float, spot: Point) -> bool:
        """Whether the teeth come to that spot."""
        x, y = spot[0] - foot[0], spot[1] - foot[1]
        return (
            math.hypot(x, y) <= self.reach
            and math.dist(self.toward(foot, tilt, spot).tip, self._seen(foot, tilt, spot)) < 0.02 * self.reach
        )

    @staticmethod
    def _seen(foot: Point, tilt: float, spot: Point) -> Point:
        x, y = spot[0] - foot[0], spot[1] - foot[1]
        return (x * math.cos(tilt) + y * math.sin(tilt), -x * math.sin(tilt) + y * math.cos(tilt))


# ---- the swing, from above ------------------------------------------------------------------------


def load_film(
    *,
    ident: str,
    swings: Sequence[Measure],
    shares: Sequence[Measure],
    offset: Measure,
    slope: Measure,
    cg_height: Measure,
    track_length: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    stick_length: Measure,
    max_reach: Measure,
    wrong: bool = False,
    pad_length: Measure | None = None,
    pad_width: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
) -> Film:
    """Draw a full bucket as it swings on a slope, from above, and where the weight stands between the tracks.

    - `swings`: angles of the boom from straight uphill (radians), 0 first; `shares`: at each, the larger share of
      the way to the tipping line that is gone.
    - `offset`: how far the load pulls the weight out (metres); only drawn by.
    - `slope`: of the ground, a fraction; `cg_height` and the other lengths in metres.
    - `wrong`: tracks across the fall, arm stretched out, swung to straight downhill. Else the machine stands
      level on its pad (`pad_length` by `pad_width`, which it then needs), tracks up and down the fall, arm drawn
      in to half; only swings from uphill to straight across are drawn.

    Raises `DrawingRefused` where a share is not that of the weight drawn, `LeftOut` where the load tips the machine even
    on its pad.
    """
    m = _Digger.of(track_length, track_gauge, shoe_width, cg_height, stick_length, max_reach, bucket_length, tail_radius, blade_width,
                   blade_height)  # fmt: skip
    if len(swings) != len(shares) or len(swings) < 3:
        raise DrawingRefused("a swing in steps needs three angles at least, and a share for each")
    if not wrong and not (pad_length and pad_width):
        raise DrawingRefused("the right way is drawn on a pad, and needs its length and its width")
    reach = max_reach.si if wrong else max_reach.si / 2
    grade = slope.si if wrong else 0.0
    across = wrong
    base = (m.gauge, m.long) if across else (m.long, m.gauge)  # down the fall, across it
    rows = [(a, s) for a, s in zip(swings, shares, strict=True) if wrong or a.si <= math.pi / 2 + 1e-6]
    places = []
    for angle, share in rows:
        place = (offset.si * math.cos(angle.si) - cg_height.si * grade, offset.si * math.sin(angle.si))  # uphill to the right
        gone = max(abs(place[0]) / (base[0] / 2), abs(place[1]) / (base[1] / 2))
        if abs(gone - share.si) > 0.01 * max(share.si, 0.05):
            raise DrawingRefused(f"at {angle.us} the weight drawn has gone {gone:.3f} of the way, and {share.us} is told")
        places.append(place)
    if not wrong and any(share.si > 1 for _, share in rows):
        raise LeftOut(
            "the full bucket tips the machine even on its level pad",
            "By these figures a full bucket tips this machine even on a level pad. Check the figures, and ask before you dig.",
        )
    span = (max(abs(x) for x, _ in places), max(abs(y) for _, y in places))
    stands: Text = join("tracks across a slope of ", slope, ", arm stretched out") if wrong else "on its level pad, arm drawn in to half"
    told_at: dict[int, Text] = (
        {0: "The full bucket comes up on the uphill side.", len(rows) - 1: "Straight downhill, slope and load pull the same way."}
        if wrong
        else {0: "The bucket is full, low and drawn in, on the uphill side.", len(rows) - 1: "Far enough: it dumps here, to the side, and never swings on downhill."}
    )  # fmt: skip
    frames = []
    for k, ((angle, share), place) in enumerate(zip(rows, places, strict=True)):
        ends = " of the way to the tipping line: it goes over." if share.si > 1 else " of the way to the tipping line is gone."
        says = join(*((f"{told_at[k]} ",) if k in told_at else ()), "Boom ", angle, " from uphill: ", share, ends)
        frames.append(
            Frame(_swung(ident, m, angle.si, reach, place, span, base, share, slope, wrong, pad_length, pad_width), says, (angle, share))
        )
    angle, share = rows[-1]
    canvas = _swung(ident, m, angle.si, reach, places[-1], span, base, share, slope, wrong, pad_length, pad_width, last=True)
    frames.append(
        Frame(canvas, "A stop of the swing, a bump or a soft spot under the low track takes the rest. Then it goes over, and nobody stops it.")
        if wrong
        else Frame(_swung(ident, m, 0.0, reach, places[0], span, base, rows[0][1], slope, wrong, pad_length, pad_width),
                   "Empty, it swings back to the uphill side. At every stop the bucket goes to the ground.")
    )  # fmt: skip
    title = "A full bucket swung downhill" if wrong else "A full bucket on a level pad"
    return Film(
        ident,
        title=title,
        desc=both("From above, ", stands, ". The mark shows where the weight stands between the tracks as the boom swings. ", NOT_SAFE),
        frames=frames,
    )


def _swung(
    ident: str, m: _Digger, look: float, reach: float, place: Point, span: Point, base: Point, share: Measure, slope: Measure, wrong: bool,
    pad_length: Measure | None, pad_width: Measure | None, *, last: bool = False,
) -> Canvas:  # fmt: skip
    """One step: the machine from above, and close up what it stands on, with the mark of its weight."""
    way: Literal["right", "wrong"] = "wrong" if wrong else "right"
    canvas = Canvas(ident, title="A swing on a slope", desc="One step of it.", steady=True)
    rear = max(m.tail, m.long / 2)
    half = max(m.reach, rear) if wrong else max(pad_length.si / 2 if pad_length else 0.0, 0.62 * m.reach, rear)
    low = -max(rear, m.long / 2, (pad_width.si / 2 if pad_width and not wrong else 0.0)) - 0.04 * m.reach
    high = (1.03 * m.reach) if wrong else max(0.62 * m.reach, pad_width.si / 2 if pad_width else 0.0)
    view = canvas.view((-1.06 * half, low, 1.06 * half, high), pad=(4, 26, 4, 4), max_height=250, seen="above", way=way)
    left, bottom, right, top = view.world
    for k in range(1, 8):
        x = left + (right - left) * k / 8
        if not wrong and pad_length and abs(x) < pad_length.si / 2:
            continue
        view.line((x, bottom), (x, top), pen="dash")
    if not wrong and pad_length and pad_width:
        with view.part("cut"):
            view.rect(-pad_length.si / 2, -pad_width.si / 2, pad_length.si / 2, pad_width.si / 2, fill="paper", pen="bold")
    m.above(view, math.pi / 2 if wrong else 0.0, look, reach)
    view.mass_mark(place)
    view.label((left, top), "Downhill", prefer=("above", "right"), leader=False, bold=True, width=120)
    view.label((right, top), "Uphill", prefer=("above", "left"), leader=False, bold=True, width=120)
    w, h = base[0] / 2, base[1] / 2
    wide = 1.3 * max(w + (m.shoe / 2 if wrong else 0.0), span[0])
    deep = 1.12 * max(h + (0.0 if wrong else m.shoe / 2), span[1])
    close = canvas.view(
        (-max(wide, 1.4 * deep), -deep, max(wide, 1.4 * deep), deep), pad=(4, 30, 4, 4), max_height=210, seen="above", way=way
    )
    for side in (-1, 1):
        with close.part("tracks"):
            mid = side * m.gauge / 2
            if wrong:
                close.rect(mid - m.shoe / 2, -m.long / 2, mid + m.shoe / 2, m.long / 2, fill="shade")
            else:
                close.rect(-m.long / 2, mid - m.shoe / 2, m.long / 2, mid + m.shoe / 2, fill="shade")
    close.rect(-w, -h, w, h, pen="dash")
    if math.hypot(*place) > close.metres(16):
        close.arrow((0.0, 0.0), place)
    close.mass_mark(place)
    said = "The tracks, close up: the rest goes in one jerk" if last else join("The tracks, close up: ", share, " gone")
    close.label((-max(wide, 1.4 * deep), deep), said, prefer=("above", "right"), leader=False, bold=True, width=330)
    canvas.key_starts()
    canvas.note("The mark is where the weight stands. Dashed around it: the lines it tips over. Worked for load and slope alone, at rest.")
    canvas.note(NOT_SAFE, bold=True, boxed=True)
    return canvas


# ---- the pad, from the side -----------------------------------------------------------------------


def _ground(view: View, line: Sequence[Point], grade: float) -> None:
    """The ground cut down the fall, with a pad in it: its line from left to right, the first piece along the slope."""
    left, low, right, _ = view.world
    view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
    with view.part("ramp", grade=grade):
        view.line(line[0], line[1], pen="bold")
    view.polyline(line[1:], pen="bold")


def pad_film(
    *,
    ident: str,
    slope: Measure,
    pad_length: Measure,
    cut: Measure,
    track_length: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    stick_length: Measure,
    max_reach: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
) -> Film:
    """Draw how an excavator cuts a level pad into a slope and goes onto it, from the side; uphill is to the right.

    `slope` is a fraction (0 to 1); `pad_length` (down the fall) and `cut` (at its back, which must be the slope
    over that length) and the other lengths in metres. Raises `LeftOut` where the arm does not reach the back of
    the pad from below it, `DrawingRefused` where the cut is another.
    """
    positive(slope=slope, pad_length=pad_length, cut=cut)
    m = _Digger.of(
        track_length, track_gauge, shoe_width, None, stick_length, max_reach, bucket_length, tail_radius, blade_width, blade_height
    )
    g, long = slope.si, pad_length.si
    if not 0 < g <= 1:
        raise DrawingRefused(f"a slope of {slope.us} cannot be drawn")
    if abs(cut.si - g * long) > 0.01 * cut.si:
        raise DrawingRefused(f"{slope.us} over {pad_length.us} does not cut {cut.us}")
    tilt, high = math.atan(g), g * long
    back = 0.62 * m.long  # from the pad's low edge down the slope to the middle of the tracks
    foot = (-back * math.cos(tilt), -back * math.sin(tilt))
    if not m.reaches(foot, tilt, (0.9 * long, 0.0)):
        raise LeftOut(
            "the arm does not reach the back of the pad from below it",
            "This machine does not reach the back of such a pad from below it. It cuts half of the pad, goes onto that, and cuts the other half.",
        )
    far = 1.25 * long + 0.35 * m.reach
    start = foot[0] - max(m.tail, m.long / 2) - 0.35 * m.long
    world = (start, g * start - 0.14 * m.long, far, max(g * far + 0.1 * m.long, high + m.tall))
    middle = (long / 2, 0.0)

    def at(x: float) -> Point:
        return (x, g * x)

    def cut_to(level: float) -> list[Point]:
        """The line of the ground once all above a level is cut out of the pad; on the slope itself where nothing is."""
        if level >= high:
            return [at(start), at(far)]
        return [at(start), at(level / g), (long, level), (long, high), at(far)]

    def over(x: float) -> Point:
        """A spot a little above the ground uphill of the pad, as a bucket is carried."""
        return (x, g * x + 0.05 * m.long)

    carry = m.arm.posed((0.6 * m.reach, 0.05 * m.long), teeth=-2.4)
    layers = [high * (2 - k) / 3 for k in range(3)]
    steps: list[tuple[Text, list[Point], Point, float, Pose, tuple[Measure, ...], bool]] = [
        (join("Look first, and ask if the site allows a slope of ", slope, " for this. Then tracks straight up the fall, bucket low and uphill."),
         cut_to(high), foot, tilt, carry, (slope,), False),
        ("Cut from the top down, in thin layers. The first is at the back of the pad.",
         cut_to(layers[0]), foot, tilt, m.toward(foot, tilt, (0.88 * long, layers[0])), (), False),
        ("Draw each bucket in, low. Lay it to the side, just far enough. Never swing it downhill.",
         cut_to(layers[1]), foot, tilt, m.toward(foot, tilt, (0.7 * long, layers[1])), (), True),
        ("The last layer brings the floor level with the ground at its low edge. All of the pad is cut, none of it is fill.",
         cut_to(layers[2]), foot, tilt, m.toward(foot, tilt, (0.55 * long, 0.0)), (), False),
        (join("Check it is level, both ways. Here it is ", pad_length, " long, and the cut at its back is ", cut, ". Does it stand? Ask."),
         cut_to(layers[2]), foot, tilt, carry, (pad_length, cut), False),
        ("Straight up onto it, slowly, bucket low. No turn on the slope.", cut_to(layers[2]), middle, 0.0,
         m.toward(middle, 0.0, over(long / 2 + 0.6 * m.reach), teeth=-2.4), (), False),
        ("Now it stands level, on ground that was never dug. From here it works on the uphill side.", cut_to(layers[2]), middle, 0.0,
         m.toward(middle, 0.0, at(long + min(0.3 * long, 0.3 * m.reach))), (), False),
    ]  # fmt: skip
    frames = []
    for k, (says, line, stands, leans, pose, told, loaded) in enumerate(steps):
        canvas = Canvas(ident, title="A level pad, cut into a slope", desc="One step of it.", steady=True)
        view = canvas.view(world, pad=(6, 6, 6, 40), max_height=300, way="right")
        _ground(view, line, g)
        m.side(view, stands, leans, pose, loaded=loaded)
        if k == 4:
            view.dimension((0.0, 0.0), (long, 0.0), join("Pad ", pad_length), measure=pad_length, offset=-14, prefer="below", width=150)
            view.dimension((long, 0.0), (long, high), join("Cut ", cut), measure=cut, offset=-10, prefer="right", width=110)
        canvas.key_starts()
        canvas.note("Cut down the fall. Uphill is to the right.")
        canvas.note(NOT_ALLOWED, bold=True, boxed=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="A level pad, step by step",
        desc=both("On a slope of ", slope, ", cut down the fall. An excavator cuts a level pad ", pad_length, " long uphill of it, from the top down, "
                  "goes straight up onto it and works from there on the uphill side. ", NOT_ALLOWED),
        frames=frames,
    )  # fmt: skip


_HOW = {
    "pad": "on a level pad that is all cut",
    "fill": "level, half on cut ground and half on loose fill",
    "straight": "tracks straight up the fall, no pad",
    "across": "tracks across the fall, no pad",
}


def standing(
    *,
    ident: str,
    slope: Measure,
    pad_length: Measure,
    track_length: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    cg_height: Measure,
    stick_length: Measure,
    max_reach: Measure,
    on_fill: bool = False,
    straight: bool = False,
    across: bool = False,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    plain: bool = False,
) -> Canvas:
    """Draw an excavator on a slope one way or another, cut down the fall; uphill is to the right.

    Level on a pad that is all cut, if nothing else is said; `on_fill`: level, its low half on loose fill;
    `straight`: no pad, tracks up the fall; `across`: no pad, tracks across it, from behind. `slope` is a
    fraction, the lengths in metres. `plain` leaves out what tells that it is wrong. Raises `DrawingRefused`
    where two of them are asked for.
    """
    asked = [name for name, wanted in (("fill", on_fill), ("straight", straight), ("across", across)) if wanted]
    if len(asked) > 1:
        raise DrawingRefused(f"an excavator stands on a slope one way at a time, not {' and '.join(asked)}")
    how = asked[0] if asked else "pad"
    positive(slope=slope, pad_length=pad_length, cg_height=cg_height)
    m = _Digger.of(track_length, track_gauge, shoe_width, cg_height, stick_length, max_reach, bucket_length, tail_radius, blade_width,
                   blade_height)  # fmt: skip
    g, long = slope.si, pad_length.si
    if not 0 < g <= 1:
        raise DrawingRefused(f"a slope of {slope.us} cannot be drawn")
    tilt = math.atan(g)
    bad = how in ("fill", "across")
    canvas = Canvas(
        ident,
        title="An excavator on a slope" if plain else f"An excavator {_HOW[how]}",
        desc=both("On a slope of ", slope, ", cut down the fall: an excavator", "" if plain else f" {_HOW[how]}", ". ", NOT_ALLOWED),
    )
    reach = 0.6 * m.reach
    left, right = -0.9 * long - 0.2 * m.long, long + 0.45 * m.reach
    middle = (long / 2, 0.0)
    world = (left, g * left - 0.2 * m.long, right, max(g * right + 0.1 * m.long, m.tall + g * long))
    view = canvas.view(world, pad=(6, 6, 6, 34), max_height=250, seen="end" if how == "across" else "side", way="wrong" if bad else "right")

    def at(x: float) -> Point:
        return (x, g * x)

    carry = m.arm.posed((reach, 0.05 * m.long), teeth=-2.4)
    if how == "pad":
        _ground(view, [at(left), (0.0, 0.0), (long, 0.0), (long, g * long), at(right)], g)
        m.side(view, middle, 0.0, m.toward(middle, 0.0, at(long + 0.2 * m.reach)))
    elif how == "fill":
        # half as deep a cut, and what came out of it laid before its low edge
        edge = long / 2
        _ground(view, [at(left), (edge, g * edge), (long, g * edge), (long, g * long), at(right)], g)
        level = g * edge
        slip = -0.1 * long
        with view.part("spoil"):
            view.body([(edge, level), (0.0, level), at(slip - level / max(1 - g, 0.2)), at(slip), (0.0, 0.0)], fill="spoil")
        m.side(view, (long / 2, level), 0.0, m.toward((long / 2, level), 0.0, at(long + 0.2 * m.reach)))
    elif how == "straight":
        _ground(view, [at(left), at(right)], g)
        m.side(view, at(0.3 * long), tilt, carry)
    else:
        _ground(view, [at(left), at(right)], g)
        draw_end(view, m.gauge, m.shoe, m.cg, angle=tilt, foot=at(0.4 * long), kind="compact" if m.blade else "excavator", sized=False,
                 blade=None, detail="plain")  # fmt: skip
    if not plain:
        words = {
            "pad": "Level, and every bit of it was cut.",
            "fill": "Level, and its low end stands on loose ground.",
            "straight": "Tracks straight up the fall, bucket low and uphill.",
            "across": "The narrow way of the tracks is the steep way of the ground.",
        }
        canvas.note(words[how], bold=bad)
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)
    return canvas
