"""A trench box: set, worked in and taken out, from the side; how it stands, across; and a person outside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, NotReached
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Pose, arm_of, compact_arm, person
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes.trench_film import Digger
from generator.drawing.view import View

TALL = 1.75
"""How tall people are drawn, metres."""
_SLING = math.radians(60)
"""How steep the chains of a hanging box run, to the level."""
_END = 0.45
"""How far the end of the cut slopes back, as a share of its depth; it is not held, and nobody goes there."""
_NEAR = 0.3
"""From the box to the foot of the cut's end, metres."""


@dataclass(frozen=True)
class _Box:
    """A box in a trench, from the side. Metres; `x` is where its right end stands, `gap` from the floor up to it."""

    long: float
    stack: float
    each: float
    depth: float
    gap: float

    @property
    def left(self) -> float:
        return -_NEAR - self.long

    @property
    def bottom(self) -> float:
        """Where its lower edge stands when it is set."""
        return self.gap - self.depth

    @property
    def room(self) -> float:
        """How high the chains hang above the box."""
        return self.long / 2 * math.tan(_SLING)

    def draw(self, view: View, bottom: float) -> None:
        """Draw the far panel and the spreaders between the panels, the near panel left away."""
        a, b = self.left, -_NEAR
        with view.part("box"):
            view.body([(a, bottom), (b, bottom), (b, bottom + self.stack), (a, bottom + self.stack)], fill="shade", pen="bold")
            count = max(1, round(self.stack / self.each))
            view.strokes([[(a, bottom + k * self.each), (b, bottom + k * self.each)] for k in range(1, count)], pen="line")
            inset = 0.09 * min(self.long, self.each)
            for k in range(count):
                for y in (k * self.each + 1.6 * inset, (k + 1) * self.each - 1.6 * inset):
                    for x in (a + 1.6 * inset, b - 1.6 * inset):
                        view.circle((x, bottom + y), 0.7 * inset, fill="paper")

    def chains(self, view: View, bottom: float) -> Point:
        """Draw the chains to a box that hangs, and return where they meet."""
        top = bottom + self.stack
        hook = ((self.left - _NEAR) / 2, top + self.room)
        view.strokes([[(self.left, top), hook], [(-_NEAR, top), hook]], pen="line")
        return hook


def _boxed(depth: Measure, stack: Measure, box_height: Measure, box_length: Measure, gap: Measure) -> _Box:
    positive(depth=depth, stack=stack, box_height=box_height, box_length=box_length)
    if gap.si < -1e-9 or gap.si > 0.95 * depth.si:
        raise DrawingRefused("a box stops between the floor of its trench and the ground")
    return _Box(box_length.si, stack.si, box_height.si, depth.si, max(gap.si, 0.0))


def _ground(view: View, depth: float, filled: float = 0.0) -> None:
    """Draw the ground along a trench that ends at the right, filled so high from its floor."""
    left, low, right, _ = view.world
    face = _END * depth
    line: list[Point] = [(left, -depth), (0.0, -depth), (face, 0.0), (right, 0.0)]
    with view.part("cut"):
        view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
        view.polyline(line, pen="bold")
        # the ground beyond the trench, on its far side
        view.line((left, 0.0), (face, 0.0), pen="thin")
    with view.part("crest"):
        view.line((face, 0.0), (face - view.metres(2), 0.0), pen="bold")
    if filled > 0:
        end = face * filled / depth
        view.polygon([(left, -depth), (0.0, -depth), (end, filled - depth), (left, filled - depth)], pen="line", fill="spoil")


def _ladder(view: View, x: float, foot: float, top: float) -> None:
    """Draw a ladder that leans a quarter of its height to the left."""
    lean = -0.2 * (top - foot)
    gauge = view.metres(5)
    with view.part("ladder"):
        for side in (-1, 1):
            view.line((x + side * gauge, foot), (x + lean + side * gauge, top), pen="line")
        rungs = max(3, min(12, int((top - foot) * view.per_metre / 14)))
        view.strokes(
            [
                [
                    (x + lean * k / rungs - gauge, foot + (top - foot) * k / rungs),
                    (x + lean * k / rungs + gauge, foot + (top - foot) * k / rungs),
                ]
                for k in range(1, rungs)
            ]
        )


def set_film(
    *,
    ident: str,
    depth: Measure,
    stack: Measure,
    box_height: Measure,
    box_length: Measure,
    gap: Measure,
    above: Measure,
    ladder_above: Measure,
    max_reach: Measure,
    track_length: Measure,
    stick_length: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
    edge_distance: Measure | None = None,
) -> Film:
    """Draw a box that is set in a trench, worked in and taken out again, along the trench.

    All in metres. `stack` is the height of all boxes together, each `box_height`; `gap` from the floor
    up to them, `above` from the ground to their top. The rest is the machine's; one with a `blade_height` is a
    compact excavator. Raises `NotReached` where the machine cannot hold the box over its trench.
    """
    box = _boxed(depth, stack, box_height, box_length, gap)
    d = box.depth
    if abs(box.bottom + box.stack - above.si) > 0.01 * d:
        raise DrawingRefused("a box that stops so far above the floor stands out otherwise")
    track, reach, dig = track_length.si, max_reach.si, bucket_length.si if bucket_length else 0.0
    arm = (
        compact_arm(stick_length.si, track, bucket=dig, reach=reach)
        if blade_height
        else arm_of(stick_length.si, track / 1.5, bucket=dig, reach=reach)
    )
    digger = Digger(
        arm, track, tail_radius.si if tail_radius else 0.66 * track, blade_height.si if blade_height else None,
        edge_distance.si if edge_distance else 0.3 * track, True,
    )  # fmt: skip
    at = digger.stands(_END * d)
    clear = 0.15 * box.each  # it swings no higher than it must

    def holding(bottom: float) -> Pose | None:
        """The arm with its pin over a box that hangs with its lower edge there."""
        wanted = (at - (box.left - _NEAR) / 2, bottom + box.stack + box.room)
        elbow, pin = arm.elbow(wanted)
        return Pose(elbow, pin, math.radians(-100), arm.bucket) if math.dist(pin, wanted) < 1e-6 else None

    heights = (clear, clear / 2 + box.bottom / 2, box.bottom)
    if any(holding(height) is None for height in heights):
        raise NotReached(
            "the machine does not hold the box over its trench from where its tracks have to stand",
            "Its tracks kept from the edge as the site's limit asks, this machine cannot hold this box over the trench. So setting it is "
            "not shown step by step. Use a machine whose lift chart covers the box at that reach.",
        )
    poses = [pose for pose in map(holding, heights) if pose]
    tall = 1.06 * max(pose.elbow[1] for pose in poses) + 0.1 * arm.stick
    world = (box.left - 0.5 * box.long, -1.25 * d, at + 1.04 * max(digger.tail, track / 2), tall)
    ladder = max(ladder_above.si, 0.1)
    lay = 0.45 * d
    steps: Sequence[tuple[Text, float, float, bool, tuple[Measure, ...]]] = (
        ("The trench is dug and empty. The box hangs low on its chains. Nobody is in the trench, under the box or beside it.", heights[0], 0.0,
         False, ()),
        ("Down it goes, slowly, in line with the trench. A long guide rope turns it. Whoever holds it and whoever signals stand outside "
         "this picture, clear of all the machine can reach.", heights[1], 0.0, False, ()),
        (
            join("It stops ", gap, " above the floor and stands out ", above, ".") if gap.si > 1e-9
            else join("It stands on the floor and out ", above, "."),
            heights[2], 0.0, False, (gap, above) if gap.si > 1e-9 else (above,),
        ),
        (join("Chains off. The machine has backed away, so that nothing hangs over the box. Now the ladder, ", ladder_above,
              " above the edge, and people, inside the box only."),
         heights[2], 0.0, True, (ladder_above,)),
        ("The pipe is laid. Everybody is out before the chains go on. Fill goes in first, then the box comes up a little, and so on.",
         heights[2] + 0.35 * d, lay, False, ()),
        ("Out at last, the fill right behind it. Nobody was in the trench since the chains went on.", heights[0], 0.94 * d, False, ()),
    )  # fmt: skip
    frames = []
    for k, (says, bottom, filled, inside, told) in enumerate(steps):
        canvas = Canvas(ident, title="A trench box set and taken out", desc="One step of it.", steady=True)
        view = canvas.view(world, pad=(84, 20, 10, 42), max_height=300, seen="side")
        _ground(view, d, filled)
        box.draw(view, bottom)
        if inside:
            foot = box.left + 0.62 * box.long
            _ladder(view, foot, -d, max(ladder, 0.0) if bottom + box.stack < ladder else ladder)
            person(view, (box.left + 0.3 * box.long, -d), min(TALL, 1.2 * d))
            # no arm over people: the machine has left the picture
            view.label((at, 0.0), "The machine has backed away", prefer=("above", "right"), width=150, leader=False)
        else:
            pose = holding(bottom)
            assert pose is not None, "asked before"
            digger.draw(view, at, pose)
            box.chains(view, bottom)
        if k == 1:
            tied = (box.left, bottom + 0.7 * box.stack)
            view.polyline([tied, ((world[0] + tied[0]) / 2, 0.25 * tied[1] + 0.6), (world[0], 1.0)], pen="line")
            view.label((world[0], 1.0), "Guide rope", prefer=("above", "left"), width=76)
        if k == 3:
            view.dimension((world[0], -d), (world[0], 0.0), join("Depth ", depth), measure=depth, offset=12, prefer="left", width=60)
        if k == 2 and gap.si > 1e-9:
            view.line((world[0], box.bottom), (box.left, box.bottom), pen="thin")
            view.dimension((world[0], -d), (world[0], box.bottom), join("Open ", gap), measure=gap, offset=12, prefer="left", width=60)
        canvas.key_starts()
        canvas.note("Its near wall is left away. The end of the cut is not held: nobody goes there.", bold=True)
        frames.append(Frame(canvas, says, (*told, *((depth,) if k == 3 else ()))))
    return Film(
        ident,
        title="A trench box set, worked in and taken out, step by step",
        desc=both("A trench ", depth, " deep. A box is let down into it on chains until it stands out ", above,
                  ". Then the machine backs away, and people go in by a ladder, inside the box. They are out again before it is lifted, "
                  "and fill follows it up. "
                  "Nobody is in the trench while the box moves."),
        frames=frames,
    )  # fmt: skip


def outside_film(
    *,
    ident: str,
    depth: Measure,
    stack: Measure,
    box_height: Measure,
    box_length: Measure,
    gap: Measure,
) -> Film:
    """Draw the wrong way: a person steps out of the box to the end of the cut, and the end lets go.

    All in metres, as of `set_film`. Nobody is drawn where the ground has come down.
    """
    box = _boxed(depth, stack, box_height, box_length, gap)
    d = box.depth
    ahead = 0.9  # how far past the box the person stands; the cut's end is upright here
    world = (box.left - 0.3 * box.long, -1.25 * d, ahead + 1.3 * d, max(box.bottom + box.stack, 0.0) + 0.1 * d + 0.3)
    steps: Sequence[tuple[Text, tuple[Measure, ...]]] = (
        (join("The box holds the walls of the trench, ", depth, " deep. The end of the cut ahead of it is held by nothing."), (depth,)),
        ("The wrong way. The person steps out past the box, only for a moment, to clear the floor.", ()),
        ("The end lets go. The ground lies where the person stood. Two steps back, in the box, nothing happened.", ()),
    )
    back = 0.5 * d
    frames = []
    for k, (says, told) in enumerate(steps):
        canvas = Canvas(ident, title="A person outside the box", desc="One step of it.", steady=True)
        view = canvas.view(world, pad=(94, 24, 14, 42), max_height=280, seen="side", way="wrong")
        left, low, right, _ = view.world
        line: list[Point] = [(left, -d), (ahead, -d), (ahead + back, 0.0) if k == 2 else (ahead, 0.0), (right, 0.0)]
        with view.part("cut"):
            view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
            view.polyline(line, pen="bold")
            view.line((left, 0.0), (ahead, 0.0), pen="thin")
        box.draw(view, box.bottom)
        tall = min(TALL, 1.2 * d)
        if k < 2:
            person(view, (box.left + 0.5 * box.long if k == 0 else 0.45 * ahead - 0.5 * _NEAR, -d), tall)
            view.dimension((left, -d), (left, 0.0), join("Depth ", depth), measure=depth, offset=12, prefer="left", width=60)
        if k == 1:
            view.label((0.45 * ahead - 0.5 * _NEAR, -d + tall), "Outside the box", prefer=("right", "above"), bold=True, width=130)
            view.polyline([(ahead + back, 0.0), (ahead + 0.94 * back, -0.12 * d), (ahead + 0.97 * back, -0.2 * d)], pen="bold")
        if k == 2:
            # as much ground as broke off, at rest on the floor before the box
            area, wide = back * d / 2, ahead + _NEAR
            up = min(area / wide / 1.2, 0.9 * d)
            with view.part("spoil"):
                view.body([(-_NEAR, -d), (ahead, -d), (ahead + back * up / d, up - d), (-_NEAR, 0.7 * up - d)], fill="spoil")
            view.label((ahead + 0.5 * back, 0.0), "Down in a moment", prefer=("above",), bold=True, width=150, leader=False)
        canvas.key_starts()
        canvas.note("Where and when the ground breaks nobody can say: the break is a sketch.", bold=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="A person steps out of the box: what happens",
        desc=both("The wrong way. A trench ", depth, " deep with a box. A person steps out past its end. The end of the cut lets go, and "
                  "the ground lies where the person stood."),
        frames=frames,
    )  # fmt: skip


def places(
    *,
    ident: str,
    depth: Measure,
    stack: Measure,
    box_height: Measure,
    box_length: Measure,
    gap: Measure,
    ladder_above: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a person in a box in a trench, along its length: what is held and what is not.

    All in metres, as of `set_film`; no ladder where `ladder_above` is not given. `spots=True`: regions `inside`, `ahead` and `edge` for where a person may be, and nobody.
    """
    box = _boxed(depth, stack, box_height, box_length, gap)
    d = box.depth
    canvas = Canvas(
        ident,
        title="A box in a trench",
        desc=both("A trench ", depth, " deep from the side, with a box in it. ",
                  "Where may a person be?" if spots else "A person works inside the box, by the ladder. The end of the cut past it is not held."),
    )  # fmt: skip
    wide = max(1.4 * d, 0.9 * box.long)
    view = canvas.view((box.left - 0.3 * box.long, -1.3 * d, _END * d + wide, max(box.bottom + box.stack, 0.0) + 0.5 * d), pad=(20 if spots else 86, 30, 20, 30),
                       max_height=300, seen="side")  # fmt: skip
    _ground(view, d)
    box.draw(view, box.bottom)
    if not spots:
        if ladder_above is not None:
            _ladder(view, box.left + 0.76 * box.long, -d, ladder_above.si)
        person(view, (box.left + (0.3 if ladder_above else 0.5) * box.long, -d), min(TALL, 1.2 * d))
        view.dimension((view.world[0], -d), (view.world[0], 0.0), join("Depth ", depth), measure=depth, offset=12, prefer="left", width=60)
        view.label((0.5 * _END * d, 0.0), "Past the box nothing is held: nobody there", prefer=("right", "above"), width=170, leader=False)
        return canvas
    view.spot("inside", "in the box", [(box.left + 0.5 * box.long, box.bottom + 0.45 * box.stack)])
    view.spot("ahead", "in the cut past the end of the box", [(0.4 * _END * d + 0.2, -0.6 * d)])
    view.spot("edge", "on the ground at the end of the cut", [(_END * d + 0.1 * wide, view.metres(30))])
    return canvas


def across(
    *,
    ident: str,
    bottom_width: Measure,
    depth: Measure,
    stack: Measure,
    box_height: Measure,
    gap: Measure,
    above: Measure | None = None,
    pressure: Measure | None = None,
    plain: bool = False,
) -> Canvas:
    """Draw a box in a trench with upright walls, across: how far it stops above the floor, how far it stands out.

    All in metres; `pressure` of the ground at the floor in pascals, only printed. The box is a little narrower
    than the trench. `plain` leaves out all figures but the depth. Nobody stands in it: the ladder would not be seen.
    """
    positive(bottom_width=bottom_width, depth=depth, stack=stack, box_height=box_height)
    w, d, high, g = bottom_width.si / 2, depth.si, stack.si, max(gap.si, 0.0)
    if g > 0.95 * d:
        raise DrawingRefused("a box stops between the floor of its trench and the ground")
    out = g + high - d
    if above is not None and abs(out - above.si) > 0.01 * d:
        raise DrawingRefused("a box that stops so far above the floor stands out otherwise")
    canvas = Canvas(
        ident,
        title="A box in a trench, across",
        desc=both(
            "A trench ", depth, " deep and ", bottom_width, " wide with upright walls. A box stands in it. ",
            *(("It stops above the floor. ",) if plain and g > 0 else ()),
            *((gap, " from the floor it stops. ") if g > 0 and not plain else ()),
            *(("It stands out ", above, " above the ground. ") if above is not None and out > 0 and not plain else ()),
        ),
    )  # fmt: skip
    side = w + max(0.75 * d, 0.9 * w)
    top = max(out, 0.0)
    view = canvas.view((-side, -1.22 * d, side, top + 0.06 * d), pad=(94, 34, 92, 56), max_height=330, seen="across")
    low = view.world[1]
    line: list[Point] = [(-side, 0.0), (-w, 0.0), (-w, -d), (w, -d), (w, 0.0), (side, 0.0)]
    with view.part("cut"):
        view.polygon([*line, (side, low), (-side, low)], pen="none", fill="earth")
        view.polyline(line, pen="bold")
    outer, thick = 0.94 * w, min(0.1, 0.14 * w)
    base = g - d
    count = max(1, round(high / box_height.si))
    with view.part("box"):
        for x in (-outer, outer - thick):
            view.body([(x, base), (x + thick, base), (x + thick, base + high), (x, base + high)], fill="dark", pen="line")
        bar = min(0.1, 0.08 * box_height.si)
        for k in range(count):
            for y in (base + (k + 0.16) * box_height.si, base + (k + 0.86) * box_height.si):
                view.body([(thick - outer, y - bar / 2), (outer - thick, y - bar / 2), (outer - thick, y + bar / 2), (thick - outer, y + bar / 2)],
                          fill="paper", pen="line")  # fmt: skip
    if pressure is not None and not plain:
        for k in (1, 2, 3):
            y = -d * k / 3.2
            for s in (-1, 1):
                view.arrow((s * (w + 0.5 * d * k / 3.2), y), (s * (w + 0.02 * d), y), pen="line")
        view.label((-w - 0.4 * d, 0.0), join("Pushes ", pressure, " at the floor"), prefer=("above",), width=130, leader=False)
    view.dimension((-side, -d), (-side, 0.0), join("Depth ", depth), measure=depth, offset=10, prefer="left", width=60)
    if not plain:
        view.dimension((-w, low), (w, low), join("Floor ", bottom_width), measure=bottom_width, offset=-10, prefer="below", width=150)
        if above is not None and out > 1e-6:
            view.dimension((outer, 0.0), (outer, out), join("Stands out ", above), measure=above, offset=-20, prefer="right", width=110)
        if g > 1e-6:
            view.dimension((side, -d), (side, base), join("Open below ", gap), measure=gap, offset=-10, prefer="right", width=90)
            view.line((outer, base), (side, base), pen="thin")
    return canvas
