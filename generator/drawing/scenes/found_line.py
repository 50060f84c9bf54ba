"""A buried line found by hand: what the marks mean, holes along it, digging beside it, and the wrong way."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, LeftOut, NotReached
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Pose, arm_of, compact_arm, person
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes.trench_film import Digger
from generator.drawing.view import View

TALL = 1.75
"""How tall people are drawn, metres."""
_DOWN = math.radians(-118)
MARKS: tuple[tuple[str, str, str], ...] = (
    ("Red", "E", "electric power, light"),
    ("Yellow", "G", "gas, oil, fuel, steam"),
    ("Orange", "C", "phone, cable, signals"),
    ("Blue", "W", "drinking water"),
    ("Green", "S", "sewer, drain"),
    ("Purple", "R", "other water, slurry"),
    ("Pink", "", "survey, for a time"),
    ("White", "", "where you will dig"),
)
"""The colours of the open standard for marks on the ground, a letter that often goes with each, and what lies there."""


def _flag(view: View, at: Point, size: float) -> None:
    """Draw a small flag on its wire; `size` in metres, how high the flag is."""
    x, y = at
    view.line((x, y), (x, y + 2 * size), pen="line")
    view.polygon([(x, y + 2 * size), (x + 1.4 * size, y + 2 * size), (x + 1.4 * size, y + size), (x, y + size)], fill="paper", pen="line")


def marks(*, ident: str) -> Canvas:
    """Draw what the colours of marks on the ground stand for, each by its word and a letter, in black on white."""
    canvas = Canvas(
        ident,
        title="What the marks on the ground mean",
        desc="Flags, each with the word of its colour and what lies below. "
        + " ".join(f"{colour}{f', often {letter}' if letter else ''}: {what}." for colour, letter, what in MARKS),
    )
    count = len(MARKS)
    view = canvas.view((0, 0, 10.4, count), pad=(10, 6, 10, 6), max_height=320, scale="none", seen="above")
    for k, (colour, letter, what) in enumerate(MARKS):
        y = count - k - 0.98
        view.line((0.15, y), (0.15, y + 0.94), pen="line")
        view.polygon([(0.15, y + 0.94), (1.25, y + 0.94), (1.25, y + 0.26), (0.15, y + 0.26)], fill="paper", pen="line")
        if letter:
            view.fixed_text((0.52, y + 0.6 + view.metres(9)), letter, bold=True)
        view.fixed_text((1.6, y + 0.6 + view.metres(9)), f"{colour}: {what}")
    canvas.note("Letters differ from place to place, and colors between countries. Read both, and ask where you cannot tell.")
    return canvas


@dataclass(frozen=True)
class _Crossing:
    """A trench along x that crosses one line at 0; the machine stands to the right, in line with the trench. Metres."""

    wide: float
    tolerance: float
    depth: float
    digger: Digger
    closer: float = 0.0  # so much nearer stands a machine that digs the wrong way

    @property
    def zone(self) -> float:
        """From the middle of the line to the edge of the zone."""
        return self.wide / 2 + self.tolerance

    @property
    def cover(self) -> float:
        """From the ground to the top of the line; a sketch."""
        return 0.42 * (self.depth - self.wide)

    @property
    def bite(self) -> float:
        """How long a piece of trench the film digs on each side of the zone."""
        return 1.15 * self.digger.arm.bucket

    @property
    def end(self) -> float:
        """Where the trench ends toward the machine, at the ground."""
        return self.zone + self.bite + 0.3 * self.depth

    @property
    def stands(self) -> float:
        return self.end + self.digger.keeps + self.digger.track / 2 - self.closer

    def pose(self, x: float, depth: float) -> Pose | None:
        """The arm with its teeth so deep at `x`; None where they do not come there."""
        wanted = (self.stands - x, -depth)
        pose = self.digger.arm.posed(wanted, teeth=_DOWN)
        return pose if math.dist(pose.tip, wanted) < 1e-6 else None


def _crossing(
    line_width: Measure, tolerance: Measure, depth: Measure, max_reach: Measure, track_length: Measure, stick_length: Measure,
    bucket_length: Measure | None, tail_radius: Measure | None, blade_height: Measure | None, edge_distance: Measure | None,
) -> _Crossing:  # fmt: skip
    positive(line_width=line_width, tolerance=tolerance, depth=depth, track_length=track_length)
    if line_width.si > 0.5 * depth.si:
        raise LeftOut(
            "the line is too large for the trench that crosses it",
            "The line of this job is too large for its trench to pass it, so this is not shown step by step.",
        )
    track, dig = track_length.si, bucket_length.si if bucket_length else 0.0
    arm = (
        compact_arm(stick_length.si, track, bucket=dig, reach=max_reach.si)
        if blade_height
        else arm_of(stick_length.si, track / 1.5, bucket=dig, reach=max_reach.si)
    )
    digger = Digger(
        arm, track, tail_radius.si if tail_radius else 0.66 * track, blade_height.si if blade_height else None,
        edge_distance.si if edge_distance else 0.3 * track, True,
    )  # fmt: skip
    return _Crossing(line_width.si, tolerance.si, depth.si, digger)


def _world(it: _Crossing, *poses: Pose) -> tuple[float, float, float, float]:
    d = it.digger
    left = -it.zone - max(1.15 * it.bite, 2.0)
    tall = 1.05 * max(2.0, d.arm.foot[1] * 2.2, *(pose.elbow[1] + 0.16 * d.arm.stick for pose in poses))
    return left, -1.25 * it.depth, it.stands + 1.05 * max(d.tail, d.track / 2), tall


def _earth(view: View, line: Sequence[Point]) -> None:
    left, low, right, _ = view.world
    with view.part("cut"):
        view.polygon(
            [(left, 0.0) if line[0][0] > left else line[0], *line, (right, 0.0), (right, low), (left, low)], pen="none", fill="earth"
        )
        view.polyline([*([(left, 0.0)] if line[0][0] > left else []), *line, (right, 0.0)], pen="bold")


def _line(view: View, it: _Crossing, *, bare: bool) -> None:
    """Draw the line, seen at its cut end: dashed while nobody knows just where it is."""
    with view.part("line"):
        view.circle((0.0, -it.cover - it.wide / 2), it.wide / 2, fill="paper" if bare else "none", pen="bold" if bare else "dash")


def crossing_film(
    *,
    ident: str,
    line_width: Measure,
    tolerance: Measure,
    zone: Measure,
    depth: Measure,
    max_reach: Measure,
    track_length: Measure,
    stick_length: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
    edge_distance: Measure | None = None,
) -> Film:
    """Draw a trench that crosses a marked line: found by hand first, then dug beside it, then held up.

    Nobody on foot is in a step in which the machine is.

    All in metres: the line's outside width, the strip on each side that no machine digs, the whole `zone`,
    how deep the trench is; the rest is the machine's, and one with a `blade_height` is a compact excavator. How
    deep the line lies is a sketch. Raises `LeftOut` for a line too large for the trench and `NotReached`
    where the machine does not come to the floor beside the zone.
    """
    it = _crossing(
        line_width, tolerance, depth, max_reach, track_length, stick_length, bucket_length, tail_radius, blade_height, edge_distance
    )
    if abs(zone.si - 2 * it.zone) > 0.01 * zone.si:
        raise DrawingRefused("the zone is the line and the strip on both its sides")
    z, d, digger = it.zone, it.depth, it.digger
    near_x = z + 0.95 * digger.arm.bucket
    near = it.pose(near_x, 0.96 * d)
    if near is None:
        raise NotReached(
            "the machine does not reach the floor beside the zone from where its tracks have to stand",
            "Its tracks kept from the edge as the site's limit asks, this machine does not reach the floor beside the zone. So the digging is "
            "not shown step by step.",
        )
    resting = digger.arm.posed((digger.track / 2 + 0.6 * digger.keeps, 0.0), teeth=_DOWN)
    world = _world(it, near, resting)
    left = world[0]
    begun = [(-z * 0.72, 0.0), (-0.4 * z, -0.5 * it.cover), (0.4 * z, -0.5 * it.cover), (z * 0.72, 0.0)]
    hole = [(-z * 0.72, 0.0), (-it.wide / 2 - 0.12 * z, -it.cover - 0.6 * it.wide), (it.wide / 2 + 0.12 * z, -it.cover - 0.6 * it.wide),
            (z * 0.72, 0.0)]  # fmt: skip
    half_cut = [(z, 0.0), (z, -d / 2), (z + it.bite + 0.15 * d, -d / 2), (it.end, 0.0)]
    near_cut = [(z, 0.0), (z, -d), (z + it.bite, -d), (it.end, 0.0)]
    open_cut = [(-z, 0.0), (-z, -d), (z + it.bite, -d), (it.end, 0.0)]
    half = it.pose(near_x, 0.48 * d) or near
    steps: list[tuple[Text, list[Point], Pose, bool, str, tuple[Measure, ...]]] = [
        ("A mark says about where the line runs, not how deep, or how many there are. No machine is near yet.", [(left, 0.0)], resting, False,
         "mark", ()),
        ("By hand or vacuum, with a blunt shovel. Loosen from the side, never stab down.", begun, resting, False, "begun", ()),
        (join("The line is bare, beside its mark. Now the zone counts from the line itself: ", zone, " for hands."), hole, resting, True,
         "hole", (zone,)),
        (join("Only now the machine. The bucket keeps ", tolerance, " off the bare line. A watcher outside its ring sees both."),
         [*hole, *half_cut], half, True, "watch", (tolerance,)),
        ("Down to the floor, watched, outside the dashed lines. The far side is dug from over there.",
         [*hole, *near_cut], near, True, "watch", ()),
    ]  # fmt: skip
    steps.append(
        ("What is left in the zone comes out by vacuum from above. The line is held as its owner says: here by slings from a beam.", open_cut,
         resting, True, "held", ())
    )  # fmt: skip
    frames = []
    for says, cut, pose, bare, what, told in steps:
        canvas = Canvas(ident, title="A trench across a buried line", desc="One step of it.", steady=True)
        view = canvas.view(world, pad=(10, 20, 10, 44), max_height=290, seen="side")
        _earth(view, cut)
        if bare and what != "held":
            with view.part("keep-clear"):
                for x in (-z, z):
                    view.line((x, -d), (x, 0.35), pen="dash")
        _line(view, it, bare=bare)
        if len(cut) > 4 or what == "held":  # the machine's own end of the trench
            with view.part("crest"):
                view.line((it.end, 0.0), (it.end - view.metres(2), 0.0), pen="bold")
        if what in ("mark", "begun", "hole"):
            _flag(view, (0.8 * z, 0.0), 0.3)
            person(view, (-z - 0.45, 0.0), TALL)
        if what == "held":
            top = 0.12
            view.strokes([[(s * it.wide / 2, -it.cover - it.wide / 2), (s * it.wide / 2, top)] for s in (-1, 1)], pen="line")
            beam = max(0.1, 0.6 * it.wide)
            view.body([(-beam, top), (beam, top), (beam, top + 0.16), (-beam, top + 0.16)], fill="dark")
        if what in ("watch", "held"):  # while somebody digs by hand there is no machine
            digger.draw(view, it.stands, pose)
        if what in ("hole", "watch"):
            view.dimension((-z, world[1]), (z, world[1]), join("By hand ", zone), measure=zone, offset=-6, prefer="below", width=180)
        canvas.key_starts()
        canvas.note("Cut along the trench. The line comes toward you. Its depth is a sketch.")
        canvas.note("Nobody is in the trench. Dashed: no machine digs between.")
        frames.append(Frame(canvas, says, (*told, *((zone,) if what in ("hole", "watch") else ()))))
    return Film(
        ident,
        title="A trench across a buried line, step by step",
        desc=both("A trench is to cross a marked line. First the line is laid bare by hand, then the bucket digs beside the zone of ", zone,
                  ", never in it. At last the line hangs on slings from a beam."),
        frames=frames,
    )  # fmt: skip


def straight_film(
    *,
    ident: str,
    line_width: Measure,
    tolerance: Measure,
    depth: Measure,
    max_reach: Measure,
    track_length: Measure,
    stick_length: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
    edge_distance: Measure | None = None,
) -> Film:
    """Draw the wrong way: a bucket that digs straight through the marks, and what it meets. As of `crossing_film`."""
    it = _crossing(
        line_width, tolerance, depth, max_reach, track_length, stick_length, bucket_length, tail_radius, blade_height, edge_distance
    )
    z, digger = it.zone, it.digger
    deep = it.cover + 0.3 * it.wide
    spots = ((-0.9 * z, 0.35 * deep), (-0.45 * z, 0.7 * deep), (-it.wide / 2, deep))
    # it stands as far back as it can reach from: none of it is told
    nearer = [replace(it, closer=share * (it.stands - z - digger.track / 2)) for share in (0.3, 0.45, 0.6, 0.75, 0.9)]
    it = next((one for one in nearer if all(one.pose(x, y) for x, y in spots)), it)
    poses = [it.pose(x, y) for x, y in spots]
    if any(pose is None for pose in poses):
        raise NotReached(
            "the machine does not reach the line from where its tracks have to stand",
            "Its tracks kept from the edge as the site's limit asks, this machine does not reach the line. So the wrong way is not shown.",
        )
    found = [pose for pose in poses if pose]
    world = _world(it, *found)
    start = -z - 0.6 * digger.arm.bucket
    steps = (
        "The wrong way. The marks are there, and the bucket goes straight over them. No hole was dug.",
        "The marks said about where. Nobody knows how deep. From the cab there is nothing to see.",
        "The bucket meets the line. Gas burns from one spark. A cable makes machine and ground live. Water washes out the walls.",
    )
    frames = []
    for k, says in enumerate(steps):
        canvas = Canvas(ident, title="Straight through the marks", desc="One step of it.", steady=True)
        view = canvas.view(world, pad=(10, 20, 10, 30), max_height=290, seen="side", way="wrong")
        x, y = spots[k]
        _earth(view, [(start, 0.0), (start + 0.3 * y, -y), (x, -y), (x + 0.35 * y, 0.0)])
        _line(view, it, bare=k == 2)
        _flag(view, (0.55 * z, 0.0), 0.3)
        digger.draw(view, it.stands, found[k])
        if k == 2:
            ring = it.wide / 2
            view.strokes(
                [
                    [((ring + 0.06) * math.cos(a), -it.cover - ring + (ring + 0.06) * math.sin(a)),
                     ((ring + 0.42) * math.cos(a), -it.cover - ring + (ring + 0.42) * math.sin(a))]
                    for a in (math.radians(-60 + 40 * j) for j in range(7))
                ],
                pen="bold",
            )  # fmt: skip
            view.label((0.4 * ring, -it.cover), "Hit", prefer=("right", "below"), bold=True, width=60)
        canvas.key_starts()
        canvas.note("Cut along the trench. How deep the line lies is a sketch.")
        frames.append(Frame(canvas, says))
    return Film(
        ident,
        title="Straight through the marks: what happens",
        desc=both("The wrong way. A bucket digs straight through the marks of a line ", line_width,
                  " wide. No hole was dug by hand. The bucket meets the line."),
        frames=frames,
    )  # fmt: skip


def holes_along(
    *,
    ident: str,
    run: Measure,
    spacing: Measure,
    holes: Measure,
    tolerance: Measure,
    line_width: Measure,
    plain: bool = False,
) -> Canvas:
    """Draw a marked line along a trench from above, with the holes dug by hand on it.

    Lengths in metres; `holes` is how many. They stand evenly, one at each end, no farther apart than
    `spacing`. `plain` tells no figure but the length.
    """
    positive(run=run, spacing=spacing, tolerance=tolerance, line_width=line_width)
    count = round(holes.si)
    long, zone = run.si, line_width.si / 2 + tolerance.si
    if count < 2 or long / (count - 1) > spacing.si * 1.001:
        raise DrawingRefused("so few holes stand farther apart than they may")
    canvas = Canvas(
        ident,
        title="Holes dug by hand along a line",
        desc=both("From above: a marked line ", run, " long beside a trench. ",
                  *((f"{count} holes are dug by hand on it, one at each end, and none farther from the next than ", spacing, ".")
                    if not plain else ("Holes are dug by hand on it.",)))
    )  # fmt: skip
    half = max(zone, 0.05 * long)
    view = canvas.view((0, -2.6 * half, long, 1.2 * half), pad=(26, 44, 26, 52), max_height=220, seen="above")
    with view.part("keep-clear"):
        view.rect(0, -zone, long, zone, pen="dash", fill="stripe")
    with view.part("line"):
        view.line((0, 0), (long, 0), pen="thin")
    with view.part("cut"):
        view.rect(0, -zone - 1.2 * half, long, -zone - 0.25 * half, pen="bold")
    view.label((0.5 * long, -zone - 1.2 * half), "Trench", prefer=("below",), leader=False, width=90)
    step = max(1, math.ceil(count / 24))
    for k in [*range(0, count - 1, step), count - 1]:
        view.circle((long * k / (count - 1), 0.0), view.metres(6), fill="paper", pen="bold")
    view.dimension((0, -2.6 * half), (long, -2.6 * half), join("Along the line ", run), measure=run, offset=-8, prefer="below")
    if not plain:
        canvas.note(join(f"{count} holes, no more than ", spacing, " apart."), bold=True)
    canvas.legend([("stripe", "By hand or vacuum only")])
    canvas.note("Rings: the line laid bare. Between two rings nobody knows just where it runs.")
    return canvas


def two_lines(
    *,
    ident: str,
    apart: Measure,
    line_width: Measure,
    tolerance: Measure,
    strip: Measure,
    plain: bool = False,
) -> Canvas:
    """Draw two bare lines in the ground, the zones of both, and what is left for the bucket between them.

    All in metres; `strip` is `apart` less the zone of one, below zero where the zones meet. `plain` tells no strip.
    """
    positive(apart=apart, line_width=line_width, tolerance=tolerance)
    w, t, far = line_width.si / 2, tolerance.si, apart.si
    if abs(strip.si - (far - 2 * w - 2 * t)) > 0.01 * far:
        raise DrawingRefused("what is left between the lines is another length")
    left_free = strip.si > 0
    canvas = Canvas(
        ident,
        title="What the bucket may dig between two lines",
        desc=both("Two lines cross the trench, ", apart, " apart. Each has a strip of ", tolerance, " on both sides for hands or vacuum only. ",
                  *(() if plain else (("Between the strips ", strip, " are left for the bucket.") if left_free else ("Nothing is left for the bucket.",)))),
    )  # fmt: skip
    z = w + t
    deep = max(2.2 * t, 0.12 * far, 3 * w)
    low = -1.3 * deep
    view = canvas.view((-z * 1.3, low, far + z * 1.3, 0.3 * deep), pad=(20, 44, 20, 92), max_height=230, seen="across")
    view.rect(view.world[0], low, view.world[2], 0, pen="none", fill="earth")
    for x in (0.0, far):
        with view.part("keep-clear"):
            view.body([(x - z, low), (x + z, low), (x + z, 0.0), (x - z, 0.0)], pen="dash", fill="stripe")
    view.line((view.world[0], 0.0), (view.world[2], 0.0), pen="bold")
    for x in (0.0, far):
        with view.part("line"):
            view.circle((x, -0.6 * deep), w, fill="paper", pen="bold")
    view.dimension((0.0, 0.0), (far, 0.0), join("Apart ", apart), measure=apart, offset=14, prefer="above")
    if left_free and not plain:
        view.dimension((z, low), (far - z, low), join("Bucket ", strip), measure=strip, offset=-50, prefer="below", width=170)
    view.dimension((-z, low), (-w, low), tolerance, measure=tolerance, offset=-12, prefer="below", width=110)
    canvas.legend([("stripe", "By hand or vacuum only")])
    return canvas
