"""What to do when a machine slides or runs away, step by step, and what happens to one that does not.

All of it is common practice, no source. Nothing here says which slope holds, and each scene says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import (
    Arm,
    Crawler,
    arm_of,
    compact_arm,
    compact_plan,
    compact_side,
    dozer_height,
    dozer_plan,
    dozer_side,
    draw_end,
    excavator_plan,
    excavator_posed,
)
from generator.drawing.machines.dozer import GAP
from generator.drawing.measure import Measure, Text, both, join
from generator.drawing.scenes._tilted import Tilted
from generator.drawing.scenes.slopes import CLEAR, NOT_ALLOWED
from generator.drawing.view import View

DOWN = math.pi
"""Downhill is to the left, in both views."""
_NAMES = {"dozer": "dozer", "excavator": "excavator", "compact": "compact excavator"}


@dataclass(frozen=True)
class _Machine:
    """One machine of the site, or a sketch of one, drawn from above, from behind and from its side."""

    kind: Crawler
    long: float
    gauge: float
    shoe: float
    cg: float
    blade: tuple[float, float]
    arm: Arm | None
    reach: float
    tail: float
    sized: bool

    @property
    def ahead(self) -> float:
        """From the middle of the tracks to what it has in front."""
        if self.arm is None:
            return self.long / 2 + GAP * self.blade[1]
        return self.tip + 0.3 * self.arm.bucket

    @property
    def tip(self) -> float:
        """From the swing centre to the teeth as it travels: the arm half drawn in."""
        return 0.62 * self.reach

    @property
    def room(self) -> float:
        """From its rear to its front."""
        return self.ahead + max(self.long / 2, self.tail)

    @property
    def tall(self) -> float:
        """How high it stands, its arm too."""
        return dozer_height(self.blade[1], self.long) if self.arm is None else 1.15 * self.long

    def above(self, view: View, centre: Point, way: float, look: float | None = None) -> None:
        if self.arm is None:
            dozer_plan(view, centre, track_length=self.long, track_gauge=self.gauge, shoe_width=self.shoe, blade_width=self.blade[0],
                       blade_height=self.blade[1], way=way, sized=self.sized, detail="plain")  # fmt: skip
            return
        looks = way if look is None else look
        width, pin = self.gauge + self.shoe, self.tip - 0.3 * self.arm.bucket
        if self.kind == "compact":
            compact_plan(view, centre, length=self.long, width=width, shoe=self.shoe, angle=way, look=looks, pin=pin, tail=self.tail,
                         bucket_length=self.arm.bucket, blade_width=self.blade[0], sized=self.sized, detail="plain")  # fmt: skip
        else:
            excavator_plan(view, centre, length=self.long, width=width, shoe=self.shoe, angle=way, look=looks, pin=pin, tail=self.tail,
                           bucket_length=self.arm.bucket, sized=self.sized, detail="plain")  # fmt: skip

    def behind(self, view: View, low: Point, angle: float) -> None:
        """From behind, the outer edge of its low track at `low`; that edge is what it goes over."""
        half = self.gauge / 2 + self.shoe / 2
        foot = (low[0] + half * math.cos(angle), low[1] + half * math.sin(angle))
        blade = self.blade if self.kind == "dozer" else None
        # the laws take the tracks of a view from the side as long as they are, and here they are seen from behind
        draw_end(view, self.gauge, self.shoe, self.cg, angle=angle, foot=foot, kind=self.kind, blade=blade, sized=False, blade_sized=False,
                 detail="plain")  # fmt: skip

    def side(self, view: View, foot: Point, tilt: float, up: float, pitch: float = 0.0) -> None:
        """From its side, facing downhill to the left; the ground under it rises to the right by `tilt` (radians).

        `foot` is the ground under the middle of the tracks, `up` how far blade or bucket is off it.
        `pitch` throws the machine forward, over what digs in.
        """
        front = self.ahead if self.arm is None else self.tip
        seen = Tilted.of(view, tilt, foot)
        if pitch:
            edge = (foot[0] - front * math.cos(tilt), foot[1] - front * math.sin(tilt))
            middle = (edge[0] + front * math.cos(tilt + pitch), edge[1] + front * math.sin(tilt + pitch))
            # turned about what digs in
            seen, foot = Tilted.of(view, tilt + pitch, middle), middle
        if self.arm is None:
            dozer_side(seen, foot[0] - front, foot[1], self.blade[1], facing=-1, track_length=self.long if self.sized else None,
                       blade_up=up, detail="plain")  # fmt: skip
            return
        pose = self.arm.posed((self.tip, up))
        if self.kind == "compact":
            compact_side(seen, *foot, track_length=self.long, arm=self.arm, pose=pose, blade_height=self.blade[1], facing=-1, tail=self.tail,
                         blade_up=CLEAR * self.gauge, sized=self.sized, detail="plain")  # fmt: skip
        else:
            excavator_posed(seen, *foot, self.arm, pose, size=self.long / 1.5, facing=-1, tail=self.tail, sized=self.sized, detail="plain")


def _machine(
    kind: str | None,
    track_length: Measure | None,
    track_gauge: Measure | None,
    shoe_width: Measure | None,
    cg_height: Measure | None,
    blade_width: Measure | None,
    blade_height: Measure | None,
    stick_length: Measure | None,
    max_reach: Measure | None,
    bucket_length: Measure | None,
    tail_radius: Measure | None,
) -> _Machine:
    """The machine of these lengths. A machine without them is a sketch of a dozer."""
    crawler: Crawler = "excavator" if kind == "excavator" else "compact" if kind == "compact excavator" else "dozer"

    def of(measure: Measure | None, sketch: float) -> float:
        return measure.si if measure else sketch

    long = of(track_length, 3.0)
    arm, reach = None, 0.0
    if crawler != "dozer":
        stick, reach = of(stick_length, 0.65 * long), of(max_reach, 2.6 * long)
        bucket = of(bucket_length, 0.5 * stick)
        if crawler == "compact":
            arm = compact_arm(stick, long, bucket=bucket, reach=reach)
        else:
            arm = arm_of(stick, long / 1.5, bucket=bucket, reach=reach)
    gauge = of(track_gauge, 0.65 * long)
    return _Machine(
        crawler, long, gauge, of(shoe_width, 0.2 * long), of(cg_height, 0.45 * gauge), (of(blade_width, 1.15 * long), of(blade_height, 0.4 * long)),
        arm, reach, of(tail_radius, 0.6 * long), track_length is not None and track_gauge is not None and shoe_width is not None,
    )  # fmt: skip


# ---- the slope, from above and cut down the fall --------------------------------------------------


@dataclass(frozen=True)
class _Fall:
    """A slope that falls to flat ground at the left: flat up to 0, then a rise of `grade` to the right."""

    grade: float
    flat: float
    far: float
    deep: float

    def at(self, x: float) -> Point:
        """The ground there, seen in the cut."""
        return (x, max(x, 0.0) * self.grade)

    @property
    def angle(self) -> float:
        return math.atan(self.grade)


_Draw = Callable[[View], None]


@dataclass(frozen=True)
class _Step:
    """One step: what is said, and what is drawn from above and in the cut."""

    says: Text
    above: _Draw
    cut: _Draw
    told: tuple[Measure, ...] = ()


def _film(
    ident: str, title: str, desc: str, fall: _Fall, steps: list[_Step], tall: float, key: list[Text], *, way: Literal["right", "wrong"],
    sized: bool, plan: bool = True,
) -> Film:  # fmt: skip
    frames = []
    scale: Literal["drawn", "none"] = "drawn" if sized else "none"
    rise = fall.at(fall.far)[1]
    for step in steps:
        canvas = Canvas(ident, title=title, desc="One step of it.", steady=True)
        first = None
        if plan:
            first = canvas.view(
                (-fall.flat, 0, fall.far, fall.deep), pad=(4, 26, 4, 26), max_height=400, scale=scale, seen="above", way=way
            )
            _level_lines(first, fall)
            step.above(first)
            first.label((-0.98 * fall.flat, fall.deep), "From above", prefer=("above", "right"), leader=False, rank=0)
        view = canvas.view((-fall.flat, -0.12 * tall, fall.far, rise + 1.1 * tall), pad=(4, 4, 4, 4), max_height=400, like=first, scale=scale,
                           seen="side", way=way)  # fmt: skip
        _ground(view, fall)
        step.cut(view)
        canvas.key_starts()
        for line in key:
            canvas.note(line)
        canvas.note(NOT_ALLOWED, bold=True, boxed=True)
        frames.append(Frame(canvas, step.says, step.told))
    return Film(ident, title=title, desc=f"{desc} {NOT_ALLOWED}", frames=frames)


def _level_lines(view: View, fall: _Fall) -> None:
    """The slope from above: level lines, and the line where it meets the flat ground."""
    view.rect(-fall.flat, 0, fall.far, fall.deep, pen="thin")
    view.line((0, 0), (0, fall.deep), pen="line")
    for k in range(1, 5):
        x = fall.far * k / 5
        view.line((x, 0), (x, fall.deep), pen="dash")
    view.label((-0.5 * fall.flat, 0), "Flat ground", prefer=("below",), leader=False, bold=True, width=150)
    view.label((0.9 * fall.far, 0), "Uphill", prefer=("below",), leader=False, bold=True)


def _ground(view: View, fall: _Fall) -> None:
    """The slope cut down the fall."""
    low = view.world[1]
    line = [fall.at(-fall.flat), fall.at(0.0), fall.at(fall.far)]
    view.polygon([*line, (fall.far, low), (-fall.flat, low)], pen="none", fill="earth")
    view.line(line[0], line[1], pen="bold")
    with view.part("ramp", grade=fall.grade):
        view.line(line[1], line[2], pen="bold")


def _nothing(view: View) -> None:
    """A step in which this view shows the ground alone."""


def _pile(view: View, centre: Point, way: float, m: _Machine) -> None:
    """The load in front of a blade, from above, or where one was let go."""
    w, deep = m.blade[0] / 2, 0.9 * m.blade[1]
    start = m.ahead + 0.12 * m.long
    shape = [(start, -0.95 * w), (start + 0.6 * deep, -0.8 * w), (start + deep, -0.3 * w), (start + deep, 0.35 * w), (start + 0.6 * deep, 0.8 * w),
             (start, 0.95 * w)]  # fmt: skip
    cos, sin = math.cos(way), math.sin(way)
    with view.part("load"):
        view.body([(centre[0] + u * cos - v * sin, centre[1] + u * sin + v * cos) for u, v in shape], fill="spoil")


def _turning(fall: _Fall, x: float, m: _Machine) -> _Draw:
    """The cut while the machine turns: where it is, in words."""

    def draw(view: View) -> None:
        foot = fall.at(x)
        r = 0.42 * m.tall
        mid = (foot[0], foot[1] + 0.5 * m.tall)
        view.arrow_path([(mid[0] + r * math.sin(a), mid[1] + 0.35 * r * math.cos(a)) for a in (0.2 + 0.35 * k for k in range(12))])
        view.label((mid[0], mid[1] + 0.5 * r), "It turns", prefer=("above",), leader=False, bold=True)

    return draw


def slide_film(
    *,
    ident: str,
    slope: Measure,
    wrong: bool = False,
    kind: str | None = None,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    cg_height: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw a machine that slides on a slope, and what its operator does, from above and cut down the fall.

    A dozer lets its load go, turns downhill and drives straight down; an excavator sets its bucket
    down. With `wrong` it is what happens to one that fights the slide instead.

    - `slope`: of the ground, a fraction (0 to 1). It is drawn at that, and is no allowed slope.
    - `kind`: of the machine as its table tells it; a dozer if not given.
    - the lengths of the machine: metres; a sketch where its tracks, gauge or shoes are not given.

    How far a machine slides no figure tells: it is drawn so that one can see it.
    """
    if not 0 <= slope.si <= 1:
        raise DrawingRefused(f"a slope of {slope.us} cannot be drawn")
    m = _machine(kind, track_length, track_gauge, shoe_width, cg_height, blade_width, blade_height, stick_length, max_reach, bucket_length,
                 tail_radius)  # fmt: skip
    wide = max(m.gauge + m.shoe, m.blade[0] if m.arm is None else 0.0)
    if m.arm is None:
        fall = _Fall(slope.si, 1.2 * m.room, 2.85 * m.room, 2.3 * m.room)
        steps = _dozer_fights(m, fall, slope) if wrong else _dozer_slides(m, fall, slope, wide)
    else:
        fall = _Fall(slope.si, m.room + 0.4 * m.long, 2.3 * m.room, max(2.6 * wide, 2.4 * m.ahead) if wrong else 2.6 * wide)
        steps = _excavator_swings(m, fall, slope) if wrong else _excavator_slides(m, fall, slope)
    name = _NAMES[m.kind]
    if wrong:
        title = (
            f"A {name} that slides and fights it"
            if m.arm is None
            else f"An {name} that slides and swings".replace("An compact", "A compact")
        )
        what = "What happens where the load stays on the blade and the nose goes uphill: it slides on, its low track catches, and it rolls." \
            if m.arm is None else "What happens where the bucket leaves the ground and the upper part swings: nothing holds it, and it goes over."  # fmt: skip
    else:
        title = f"If the {name} slides, step by step"
        what = "The blade goes up, the load stays behind, the nose turns downhill, and it drives straight down to flat ground." \
            if m.arm is None else "The bucket goes to the ground without a swing. When it stands and points straight down the fall, it goes down slowly."  # fmt: skip
    key: list[Text] = ["Dashed: level lines. Below: cut down the fall."]
    return _film(ident, title, both("On a slope of ", slope, ", from above and cut down the fall. ") + what, fall, steps, m.tall, key,
                 way="wrong" if wrong else "right", sized=m.sized)  # fmt: skip


def _dozer_slides(m: _Machine, fall: _Fall, slope: Measure, wide: float) -> list[_Step]:
    y = m.room * 0.75
    x0 = fall.far - 0.62 * wide - 0.1 * m.room
    along, drift = math.pi / 2, 0.22
    half = m.gauge / 2 + m.shoe / 2
    spots = [(x0, y), (x0 - 0.25 * m.room, y + 0.2 * m.room), (x0 - 0.62 * m.room, y + 0.2 * m.room)]
    load_at = spots[1]

    def stand(at: Point, way: float, *, load: bool) -> _Draw:
        def draw(view: View) -> None:
            if load:
                _pile(view, at, way, m)
            m.above(view, at, way)

        return draw

    def left_behind(at: Point, way: float) -> _Draw:
        def draw(view: View) -> None:
            _pile(view, load_at, along + drift, m)
            m.above(view, at, way)

        return draw

    def from_behind(x: float) -> _Draw:
        return lambda view: m.behind(view, fall.at(x - half * math.cos(fall.angle)), fall.angle)

    def nose_down(x: float, up: float, tilt: float) -> _Draw:
        return lambda view: m.side(view, fall.at(x), tilt, up)

    def look(view: View) -> None:
        m.above(view, spots[0], along)
        view.arrow((x0 - 0.65 * wide, y), (-0.75 * fall.flat, y))
        view.label((0.5 * x0, y), "The way out, clear", prefer=("above",), leader=False, width=170)

    def slides(view: View) -> None:
        _pile(view, spots[1], along + drift, m)
        m.above(view, spots[1], along + drift)
        view.arrow(
            (spots[1][0] - 0.62 * wide, spots[1][1] - 0.1 * m.room), (spots[1][0] - 0.62 * wide - 0.45 * m.room, spots[1][1] - 0.1 * m.room)
        )
        view.label(
            (spots[1][0] - 0.62 * wide - 0.4 * m.room, spots[1][1] - 0.1 * m.room), "Slides", prefer=("below", "above"), leader=False
        )

    lift = CLEAR * m.gauge
    turns = [(spots[2], along + 0.7), ((x0 - 0.75 * m.room, y + 0.26 * m.room), along + 1.2)]
    down = (x0 - 0.95 * m.room, y + 0.28 * m.room)
    lower = (max(0.62 * m.room, down[0] - 0.9 * m.room), down[1])
    flat = (m.ahead - 0.93 * fall.flat, down[1])

    def go(at: Point, up: float) -> _Draw:
        def draw(view: View) -> None:
            _pile(view, load_at, along + drift, m)
            m.above(view, at, DOWN)
            end = (at[0] - m.ahead - 0.16 * m.long, at[1])
            if up and end[0] - 0.5 * m.long > -fall.flat:
                view.arrow(end, (max(end[0] - 0.8 * m.long, -0.97 * fall.flat), at[1]))

        return draw

    return [
        _Step(join("Before you start on a slope of ", slope, ": look straight down the fall. Your way out is clear."), look,
              from_behind(x0), (slope,)),
        _Step("Along the slope, with a load on the blade. Belt on, low gear.", stand(spots[0], along, load=True), from_behind(x0)),
        _Step("The nose drifts downhill, the high track feels light. It slides.", slides, from_behind(spots[1][0])),
        _Step("At once: blade up, just clear. The load stays behind.", left_behind(spots[1], along + drift), from_behind(spots[1][0])),
        _Step("Turn downhill. Gently, but do not wait.", left_behind(*turns[0]), _turning(fall, turns[0][0][0], m)),
        _Step("Turn on until the nose points straight down the fall.", left_behind(*turns[1]), _turning(fall, turns[1][0][0], m)),
        _Step("Straight down now. Low gear, slowly.", go(down, lift), nose_down(down[0], lift, fall.angle)),
        _Step("Straight on. Keep the blade just clear, so that it does not dig in.", go(lower, lift), nose_down(lower[0], lift, fall.angle)),
        _Step("On flat ground: stop, lower the blade, report it. Nobody goes back until it has been looked at.", go(flat, 0.0),
              nose_down(flat[0], 0.0, 0.0)),
    ]  # fmt: skip


def _dozer_fights(m: _Machine, fall: _Fall, slope: Measure) -> list[_Step]:
    wide = m.blade[0]
    y = m.room * 0.75
    x0 = fall.far - 0.62 * wide - 0.1 * m.room
    along = math.pi / 2
    half = m.gauge / 2 + m.shoe / 2
    second, third, last = (
        (x0 - 0.25 * m.room, y + 0.2 * m.room),
        (x0 - 0.6 * m.room, y + 0.3 * m.room),
        (x0 - 1.15 * m.room, y + 0.34 * m.room),
    )
    stone_at = last[0] - half * math.cos(fall.angle)
    size = 0.2 * m.long

    def stone_above(view: View) -> None:
        with view.part("stone"):
            view.circle((stone_at - 0.5 * size, last[1]), 0.5 * size, fill="dark")

    def stone_cut(view: View) -> None:
        x, y0 = fall.at(stone_at - size)
        with view.part("stone"):
            view.body([(x, y0), (x + 0.15 * size, y0 + 0.6 * size), (x + 0.6 * size, y0 + 0.85 * size), fall.at(x + size)], fill="dark")

    def stand(at: Point, way: float, *, slides: bool) -> _Draw:
        def draw(view: View) -> None:
            stone_above(view)
            _pile(view, at, way, m)
            m.above(view, at, way)
            if slides:
                start = at[0] - 0.62 * wide
                view.arrow((start, at[1] - 0.3 * m.room), (start - 0.4 * m.room, at[1] - 0.3 * m.room))

        return draw

    def tips(x: float, more: float) -> _Draw:
        def draw(view: View) -> None:
            stone_cut(view)
            m.behind(view, fall.at(x - half * math.cos(fall.angle)), fall.angle + more)

        return draw

    return [
        _Step(join("Along a slope of ", slope, ", with a load on the blade."), stand((x0, y), along, slides=False), tips(x0, 0.0), (slope,)),
        _Step("It slides. The blade stays down and holds on to the load.", stand(second, along + 0.22, slides=True), tips(second[0], 0.0)),
        _Step("The operator turns uphill. The load holds the nose, and still more weight comes onto the low track.",
              stand(third, along - 0.3, slides=True), tips(third[0], 0.0)),
        _Step("It slides on sideways. Nobody can steer it now.", stand((last[0] + 0.2 * m.room, last[1]), along - 0.42, slides=True),
              tips(last[0] + 0.2 * m.room, 0.0)),
        _Step("The low track catches on a stone. The high track comes up.", stand(last, along - 0.42, slides=False), tips(last[0], 0.5)),
        _Step("It goes over its low track, in a second or two. Belt and frame are all that is left.", stand(last, along - 0.42, slides=False),
              tips(last[0], 1.25)),
    ]  # fmt: skip


def _excavator_slides(m: _Machine, fall: _Fall, slope: Measure) -> list[_Step]:
    y = fall.deep / 2
    lift = 0.06 * m.long
    x0 = fall.far - max(m.long / 2, m.tail) - 0.1 * m.room
    x1 = x0 - 0.22 * m.room
    x2 = max(m.long / 2 + 0.1 * m.room, x1 - 0.55 * m.room)
    flat = m.ahead - 0.93 * fall.flat

    def above(x: float, *, slides: bool = False, ahead: bool = False) -> _Draw:
        def draw(view: View) -> None:
            m.above(view, (x, y), DOWN)
            if slides:
                for side in (-1, 1):
                    off = y + side * 0.9 * (m.gauge + m.shoe)
                    view.arrow((x, off), (x - 0.3 * m.room, off))
            if ahead:
                end = x - m.ahead - 0.05 * m.room
                view.arrow((end, y), (end - 0.28 * m.room, y))

        return draw

    def side(x: float, up: float) -> _Draw:
        return lambda view: m.side(view, fall.at(x), 0.0 if x + m.long / 2 <= 0 else fall.angle, up)

    return [
        _Step(join("Straight down a slope of ", slope, ". The bucket just off the ground, the way below clear."), above(x0, ahead=True),
              side(x0, lift), (slope,)),
        _Step("It slides.", above(x1, slides=True), side(x1, lift)),
        _Step("At once: bucket to the ground where it is. Do not swing.", above(x1), side(x1, 0.0)),
        _Step("Wait until it stands. The tracks point straight down the fall, and below it is clear. If not: stay in, belt on, bucket down, call.",
              above(x1), side(x1, 0.0)),
        _Step("Go down slowly, the bucket just off the ground.", above(x2, ahead=True), side(x2, lift)),
        _Step("On flat ground: stop, bucket down, report it. Nobody goes back until it has been looked at.", above(flat), side(flat, 0.0)),
    ]  # fmt: skip


def _excavator_swings(m: _Machine, fall: _Fall, slope: Measure) -> list[_Step]:
    y = fall.deep / 2
    lift = 0.06 * m.long
    half = m.gauge / 2 + m.shoe / 2
    x0 = fall.far - max(m.long / 2, m.tail) - 0.1 * m.room
    x1 = x0 - 0.22 * m.room
    x2 = x1 - 0.3 * m.room

    def above(x: float, way: float, look: float, *, slides: bool = False) -> _Draw:
        def draw(view: View) -> None:
            m.above(view, (x, y), way, look)
            if slides:
                off = y - 0.95 * m.long
                view.arrow((x, off), (x - 0.3 * m.room, off))

        return draw

    def tips(more: float) -> _Draw:
        return lambda view: m.behind(view, fall.at(x2 - half * math.cos(fall.angle)), fall.angle + more)

    return [
        _Step(join("Down a slope of ", slope, ", the bucket just off the ground."), above(x0, DOWN, DOWN), lambda v: m.side(v, fall.at(x0), fall.angle, lift),
              (slope,)),
        _Step("It slides.", above(x1, DOWN, DOWN, slides=True), lambda v: m.side(v, fall.at(x1), fall.angle, lift)),
        _Step("The operator swings to find a hold. The bucket is off the ground, and nothing holds the machine.",
              above(x1, DOWN - 0.4, math.pi / 2, slides=True), _turning(fall, x1, m)),
        _Step("It slides on and turns across the slope. The upper part swings on downhill by its own weight.",
              above(x2, math.pi / 2, DOWN - 0.5, slides=True), tips(0.0)),
        _Step("Boom and bucket hang out on the low side. The high track comes up.", above(x2, math.pi / 2, DOWN), tips(0.5)),
        _Step("It goes over its low track, in a second or two. Belt and frame are all that is left.", above(x2, math.pi / 2, DOWN), tips(1.25)),
    ]  # fmt: skip


def runaway_film(
    *,
    ident: str,
    slope: Measure,
    wrong: bool = False,
    kind: str | None = None,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    cg_height: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw a machine that runs away straight down the fall, cut down the fall, and what its operator does.

    With `wrong` it is what happens where the blade or bucket is dropped all at once. The arguments are
    those of `slide_film`.
    """
    if not 0 <= slope.si <= 1:
        raise DrawingRefused(f"a slope of {slope.us} cannot be drawn")
    m = _machine(kind, track_length, track_gauge, shoe_width, cg_height, blade_width, blade_height, stick_length, max_reach, bucket_length,
                 tail_radius)  # fmt: skip
    tool = "blade" if m.arm is None else "bucket"
    rear = max(m.long / 2, m.tail if m.arm else 0.0)
    fall = _Fall(slope.si, m.room + 0.4 * m.long, (3.3 if m.arm is None else 2.4) * m.room, 1.0)
    lift = CLEAR * m.gauge
    top = fall.far - rear - 0.08 * m.room
    bottom = m.ahead + 0.05 * m.room
    xs = [top + (bottom - top) * k / 4 for k in range(5)]
    flat = m.ahead - 0.93 * fall.flat

    def side(x: float, up: float, run: float = 0.0, pitch: float = 0.0) -> _Draw:
        def draw(view: View) -> None:
            tilt = 0.0 if x < 0 else fall.angle
            m.side(view, fall.at(x), tilt, up, pitch)
            if run:  # the faster, the longer
                cos, sin = math.cos(tilt), math.sin(tilt)
                a = (x + 0.3 * m.room * run, 1.12 * m.tall)
                ends = [(u - x, v) for u, v in (a, (x - 0.5 * m.room * run, a[1]))]
                base = fall.at(x)
                view.arrow(*((base[0] + u * cos - v * sin, base[1] + u * sin + v * cos) for u, v in ends))

        return draw

    if wrong:
        steps = [
            _Step(join("It runs away down a slope of ", slope, "."), _nothing, side(xs[0], lift, 0.6), (slope,)),
            _Step("Shifted to neutral, nothing but the brake holds it. It gets faster.", _nothing, side(xs[1], lift, 1.0)),
            _Step(f"The {tool} is dropped all at once and digs in.", _nothing, side(xs[2], 0.0, 1.0)),
            _Step(f"The machine is thrown over its {tool}. Whoever jumped lies in its way.", _nothing, side(xs[2], 0.0, 0.0, 0.55)),
        ]
        title, what = (
            "A machine that runs away, handled wrong",
            f"In neutral it gets faster. The {tool}, dropped all at once, digs in and throws the machine over it.",
        )
    else:
        steps = [
            _Step(join("Straight down a slope of ", slope, " it gets faster and faster. It runs away."), _nothing, side(xs[0], lift, 0.6), (slope,)),
            _Step("Stay in the seat, belt on. Stay in gear, and slow the engine.", _nothing, side(xs[1], lift, 0.9)),
            _Step("Brake as the manual says. Steer straight down. Sound the horn.", _nothing, side(xs[2], lift, 0.9)),
            _Step(f"The brake does not hold it: ease the {tool} down bit by bit.", _nothing, side(xs[3], lift / 3, 0.6)),
            _Step("It drags and slows the machine. More only little by little.", _nothing, side(xs[4], 0.0, 0.3)),
            _Step(f"It stands: {tool} on the ground, brake on. Report it. It does not work again until it has been looked at.", _nothing,
                  side(flat, 0.0)),
        ]  # fmt: skip
        title, what = (
            "A machine that runs away straight down, step by step",
            f"Stay in gear, brake, and ease the {tool} down bit by bit until it drags.",
        )
    return _film(ident, title, both("Cut straight down a slope of ", slope, ". ") + what, fall, steps, 1.35 * m.tall, ["Downhill is to the left."],
                 way="wrong" if wrong else "right", sized=m.sized, plan=False)  # fmt: skip
