"""Scenes in steps of work near power lines and lines in the ground."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Arm, Pose, arm_of, bucket, compact_arm, compact_plan, compact_side, excavator_plan, excavator_posed
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.view import View

LIVE = "May be live, nobody knows how far"
SPOTTER = 5.0
"""How far (metres) a spotter is drawn beyond all that the machine reaches; a sketch, and no figure tells it."""


def _at(point: Point, by: float) -> Point:
    return (point[0] + by, point[1])


def swing_film(
    *,
    ident: str,
    swings: Sequence[Measure],
    distances: Sequence[Measure],
    standoff: Measure,
    clearance: Measure,
    max_reach: Measure,
    track_length: Measure,
    machine_width: Measure,
    shoe_width: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
) -> Film:
    """Draw a swing beside a power line from above, step by step, from the stand-off.

    - `swings`: angles between the boom and straight at the wire (radians), and for each of them in
      `distances` how far the bucket is from the wire, level (metres), all stretched out.
    - `standoff`, `clearance`, `max_reach`: metres, as of `trench.overhead_line`.
    - the rest: metres, of the machine; with a `blade_width` it is a compact one.

    A spotter stands `SPOTTER` clear of the swing, beside the space that must stay free. Raises `DrawingRefused`
    for a length of zero or less and where the two sequences do not fit.
    """
    positive(standoff=standoff, clearance=clearance, max_reach=max_reach, track_length=track_length, machine_width=machine_width)
    if len(swings) != len(distances) or len(swings) < 2:
        raise DrawingRefused("a swing in steps needs two angles at least, and the distance of each")
    away, clear, reach, long, wide = standoff.si, clearance.si, max_reach.si, track_length.si, machine_width.si
    tail = tail_radius.si if tail_radius else 0.66 * long
    dig = bucket_length.si if bucket_length else 0.15 * reach
    low = -1.15 * max(tail, wide / 2, 0.28 * reach)
    left = -away - max(1.1 * tail, -reach * math.cos(swings[0].si) + 0.05 * reach)
    right = 0.3 * clear
    # beyond all that the bucket reaches, and as far again as people keep off a machine at work
    aside = -clear - 0.3 - 0.04 * reach
    spotter = (aside, max(0.9 * reach, math.sqrt(max((reach + SPOTTER) ** 2 - (aside + away) ** 2, 0.0))))
    top = max(1.06 * reach, spotter[1] + 0.1 * reach)
    frames = []
    for swing, distance in zip(swings, distances, strict=True):
        canvas = Canvas(ident, title="A swing beside a power line", desc="One step of it, from above.", steady=True)
        view = canvas.view((left, low, right, top), pad=(6, 44, 60, 44), max_height=300, seen="above")
        with view.part("keep-clear"):
            view.rect(-clear, low, right, top, pen="dash", fill="stripe")
        with view.part("wire"):
            view.line((0, low), (0, top), pen="bold")
        dip = math.asin(min(0.98 * -low / reach, 1.0))
        with view.part("swing-circle"):
            view.arc(
                (-away, 0),
                reach,
                -dip,
                math.pi + dip if left < -away - reach else math.pi - math.acos(max((-away - left) / reach, -1.0)),
                pen="dash",
            )
        look = swing.si
        if blade_width is None:
            excavator_plan(
                view, (-away, 0), length=long, width=wide, shoe=shoe_width.si, angle=math.pi / 2, look=look,
                pin=reach - 0.35 * dig, tail=tail, bucket_length=dig,
            )  # fmt: skip
        else:
            compact_plan(
                view, (-away, 0), length=long, width=wide, shoe=shoe_width.si, angle=math.pi / 2, look=look,
                pin=reach - 0.35 * dig, tail=tail, bucket_length=dig, blade_width=blade_width.si,
            )  # fmt: skip
        at = (-away + reach * math.cos(look), reach * math.sin(look))
        with view.part("person"):
            view.circle(spotter, 0.28, fill="dark")
        view.label(spotter, "Spotter", prefer=("left", "below"), width=100)
        view.dimension(at, (0, at[1]), distance, measure=distance, prefer="below", rank=0, width=90)
        view.dimension((-clear, top), (0, top), join("Keep clear ", clearance), measure=clearance, offset=12, prefer="above")
        view.dimension((-away, low), (0, low), join("Swing centre to wire ", standoff), measure=standoff, offset=-14, prefer="below")
        view.label((0, 0.5 * reach), "Wire", prefer=("right",), leader=False, width=56)
        canvas.key_starts()
        canvas.legend([("stripe", "Must stay free of machine and load")])
        canvas.note("Dashed: all the bucket can reach. The spotter watches the wire and nothing else.")
        says = (
            join("Boom ", swing, " from the wire: the end of the bucket is ", distance, " off it, level. Keep ", clearance, ".")
            if swing.si > 1e-9
            else join(
                "Straight at the wire, all stretched out: ", distance, ". No swing from this stand comes nearer than ", clearance, "."
            )
        )
        frames.append(Frame(canvas, says, (swing, distance, clearance, standoff)))
    return Film(
        ident,
        title="A swing beside a power line, step by step",
        desc=both(
            "From above: a machine stands with its swing centre ", standoff, " from a wire. It reaches ", max_reach,
            " and swings toward the wire. Nothing of it comes nearer than ", clearance, ". A spotter watches the wire.",
        ),
        frames=frames,
    )  # fmt: skip


@dataclass(frozen=True)
class _Machine:
    """An excavator, or a compact one if it has a `blade`, from the side; lengths in metres."""

    arm: Arm
    track: float
    tail: float
    blade: float | None
    reach: float

    @classmethod
    def of(
        cls, max_reach: Measure, track_length: Measure, stick_length: Measure, bucket_length: Measure | None, tail_radius: Measure | None,
        blade_height: Measure | None,
    ) -> _Machine:  # fmt: skip
        track, reach = track_length.si, max_reach.si
        dig = bucket_length.si if bucket_length else 0.0
        arm = (
            compact_arm(stick_length.si, track, bucket=dig, reach=reach)
            if blade_height
            else arm_of(stick_length.si, track / 1.5, bucket=dig, reach=reach)
        )
        return cls(arm, track, tail_radius.si if tail_radius else 0.66 * track, blade_height.si if blade_height else None, reach)

    @property
    def roof(self) -> float:
        """How high it is with its boom down."""
        return (1.12 / 1.5 if self.blade is None else 1.46) * self.track

    def draw(self, view: View, x: float, pose: Pose, *, facing: int = 1, sized: bool = True) -> None:
        """Draw it on level ground, its swing centre at `x`."""
        if self.blade is None:
            excavator_posed(view, x, 0.0, self.arm, pose, size=self.track / 1.5, facing=facing, tail=self.tail, sized=sized)
        else:
            compact_side(view, x, 0.0, track_length=self.track, arm=self.arm, pose=pose, blade_height=self.blade, facing=facing,
                         tail=self.tail, sized=sized)  # fmt: skip

    def resting(self) -> Pose:
        """Half stretched out, the bucket on the ground."""
        arm = self.arm
        return arm.posed((arm.foot[0] + 0.72 * (arm.boom + arm.stick), 0.0), teeth=math.radians(-118))

    def up_to(self, top: float) -> Pose:
        """The arm raised in front, so that the highest of its elbow and its teeth stand at `top` (metres)."""
        low, high = math.radians(-20), math.radians(88)
        for _ in range(50):
            middle = (low + high) / 2
            low, high = (middle, high) if self._highest(self._raised(middle))[1] < top else (low, middle)
        return self._raised(low)

    def _raised(self, way: float) -> Pose:
        arm = self.arm
        far = 0.97 * (arm.boom + arm.stick)
        pin = (arm.foot[0] + far * math.cos(way), arm.foot[1] + far * math.sin(way))
        elbow, pin = arm.elbow(pin)
        return Pose(elbow, pin, way - 0.25, arm.bucket)

    def _highest(self, pose: Pose) -> Point:
        return max(pose.elbow, pose.tip, key=lambda p: p[1])


def boom_up_film(
    *,
    ident: str,
    tops: Sequence[Measure],
    gaps: Sequence[Measure],
    line_height: Measure,
    clearance: Measure,
    max_reach: Measure,
    track_length: Measure,
    stick_length: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
) -> Film:
    """Draw the wrong way: a boom that goes up under a wire, and what happens then.

    - `tops`: how high the highest part of the machine stands, lowest first, and for each of them in
      `gaps` how far below the wire that is (metres; 0 where it has touched the wire).
    - the rest: metres, as of `trench.overhead_line`.

    Raises `DrawingRefused` for a length of zero or less and where the two sequences do not fit.
    """
    positive(line_height=line_height, clearance=clearance, max_reach=max_reach, track_length=track_length, stick_length=stick_length)
    if len(tops) != len(gaps) or not tops:
        raise DrawingRefused("a boom that goes up needs one height at least, and the gap of each")
    machine = _Machine.of(max_reach, track_length, stick_length, bucket_length, tail_radius, blade_height)
    line, clear, reach = line_height.si, clearance.si, max_reach.si
    last = machine.up_to(tops[-1].si)
    # the highest part ends up right under the wire, which hangs over x = 0
    centre = -machine._highest(last)[0]
    left = min(centre - 1.3 * machine.tail, -1.05 * clear)
    right = max(centre + 1.02 * reach, 1.05 * clear)
    tall = max(line + 1.02 * clear, tops[-1].si * 1.02)
    frames = []
    ring = [(clear * math.cos(k * math.pi / 36), max(0.0, line + clear * math.sin(k * math.pi / 36))) for k in range(72)]
    steps: list[tuple[Measure | None, Measure | None, bool]] = [
        (None, None, False),
        *((t, g, False) for t, g in zip(tops, gaps, strict=True)),
    ]
    steps.append((tops[-1], gaps[-1], True))
    for top, gap, live in steps:
        canvas = Canvas(ident, title="Boom up under a wire", desc="One step of it, from the side.", steady=True)
        view = canvas.view((left, -0.03 * tall, right, tall), pad=(78, 6, 92, 8), max_height=240, way="wrong")
        with view.part("keep-clear"):
            view.polygon(ring, pen="dash", fill="stripe")
        if live:
            view.rect(left, -0.03 * tall, right, 0, pen="none", fill="cross")
        view.line((left, 0), (right, 0), pen="bold")
        with view.part("wire"):
            view.circle((0, line), view.metres(5), fill="dark")
        pose = machine.resting() if top is None else machine.up_to(top.si)
        machine.draw(view, centre, pose, sized=False)
        view.dimension((right, 0), (right, line), join("Wire at ", line_height), measure=line_height, offset=-8, prefer="right", width=80)
        if top is not None and gap is not None and not live and gap.si > 0:
            peak = machine._highest(pose)
            # beside the hatched space, where its figure can be read
            beside = min(left, -1.08 * clear)
            view.line((centre + peak[0], top.si), (beside, top.si), pen="dash")
            view.line((beside, line), (-view.metres(8), line), pen="dash")
            view.dimension((beside, top.si), (beside, line), gap, measure=gap, prefer="left", rank=0, width=74)
        if live:
            peak = _at(machine._highest(pose), centre)
            jag = 0.03 * tall
            view.polyline(
                [peak, (peak[0] + jag, peak[1] + 0.3 * (line - peak[1])), (-jag, peak[1] + 0.55 * (line - peak[1])), (0, line)], pen="bold"
            )
        canvas.key_starts()
        canvas.legend([("stripe", join("Must stay free: ", clearance, " around the wire")), ("cross", LIVE)])
        told: tuple[Measure, ...] = (line_height, clearance)
        if top is None or gap is None:
            says = join("The boom is down, under a wire at ", line_height, ". Nobody watches the wire.")
        elif live:
            # under a wire that hangs high the boom alone does not come so near: then the picture says so
            says = join(
                "Power can jump with no touch. "
                if gap.si < clear
                else "Drawn as if a sag or a bump had brought them near: power can jump with no touch. ",
                "The machine and the ground around it are live. Who steps out, or touches it, can die. Stay in.",
            )
        else:
            told = (top, *told, *((gap,) if gap.si > 0 else ()))
            head = join("Boom up to ", top, ": ", *((gap, " below the wire") if gap.si > 0 else ("it has touched the wire",)))
            says = join(
                head, ". ",
                *(("That is too near: ", clearance, " must stay free.") if gap.si < clear
                  else ("Wires sag and sway, and a bump throws the boom up. Keep ", clearance, ".")),
            )  # fmt: skip
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="The wrong way: boom up under a wire",
        desc=both(
            "From the side: a machine works under a wire that hangs ", line_height, " up. Its boom goes up till its highest part is ",
            tops[-1], " up. ", *((gaps[-1], " are left to the wire, ") if gaps[-1].si > 0 else ("It touches the wire, ",)),
            "and ", clearance, " must stay free. Power can jump: machine and ground are then live.",
        ),
        frames=frames,
    )  # fmt: skip


def limits_film(
    *,
    ident: str,
    line_height: Measure,
    clearance: Measure,
    standoff: Measure,
    reach_height: Measure,
    max_reach: Measure,
    line_width: Measure,
    tolerance: Measure,
    track_length: Measure,
    stick_length: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
) -> Film:
    """Draw what a set ceiling, wall and floor stop, and what they do not: they find no line.

    Each step has the machine at its stand-off from a wire, from the side, and nearer by the ground
    with a marked line in it. All in metres: as of `trench.overhead_line` and `trench.buried_line`.
    Raises `DrawingRefused` for a length of zero or less.
    """
    positive(line_height=line_height, clearance=clearance, standoff=standoff, reach_height=reach_height, max_reach=max_reach,
             line_width=line_width, tolerance=tolerance, track_length=track_length, stick_length=stick_length)  # fmt: skip
    machine = _Machine.of(max_reach, track_length, stick_length, bucket_length, tail_radius, blade_height)
    line, clear, reach, away = line_height.si, clearance.si, max_reach.si, standoff.si
    w, t = line_width.si / 2, tolerance.si
    high = 0.8 * min(reach_height.si, max(line - clear, 0.7 * reach_height.si))
    ceiling = max(high, 1.15 * machine.roof)
    wall = -clear - 0.12 * reach
    resting, lifted = machine.resting(), machine.up_to(0.97 * ceiling)
    stretched = machine.arm.posed((away + wall, 0.25 * reach_height.si), teeth=math.radians(-100))
    dig = machine.arm.bucket
    left = -away - 1.15 * machine.tail
    tall = max(line + 1.02 * clear, ceiling * 1.05)
    ring = [(clear * math.cos(k * math.pi / 36), max(0.0, line + clear * math.sin(k * math.pi / 36))) for k in range(72)]
    # in the ground the marked line lies at x = 0; marks do not tell how deep, so its depth is a sketch
    deep, floor = 1.2 * t, -0.75 * t
    hole = (-w - t - 1.5 * dig, -w - t - 0.22 * dig)
    side = (hole[0] - 0.25 * dig, w + 1.35 * t)
    frames = []
    steps = (
        ("marked", join("First the lines are located and marked. Within ", tolerance, " of a buried line, on each side, only hands or vacuum dig.")),
        ("ceiling", join("Ceiling: the boom stops at a height you set. It knows no wire at ", line_height,
                         ", and stops no sag, no sway and no bump.")),
        ("wall", join("Wall: reach and swing stop at a side you set, well off the ", clearance, " that stay free. A load on a chain still swings past it.")),
        ("floor", "Floor: the bucket stops at a depth you set. It keeps you from digging deeper. It looks for nothing."),
        ("hit", "Wrong: a line that nobody marked lies above the floor. The bucket hits it, and the limit does nothing."),
        ("moved", join("Wrong: the machine moved ", track_length, " nearer, and its wall moved with it. Now it lets the bucket nearer the wire than ", clearance, ".")),
        ("again", "Right: for each new spot set the limits anew and try them slowly, bucket empty. Locating and a spotter come first, always."),
    )  # fmt: skip
    for name, says in steps:
        canvas = Canvas(ident, title="Ceiling, wall and floor", desc="What set limits stop, and what not.", steady=True)
        moved = name == "moved"
        view = canvas.view((left, 0, 1.02 * clear, tall), pad=(8, 10, 8, 10), max_height=160, way="wrong" if moved else "")
        with view.part("keep-clear"):
            view.polygon(ring, pen="dash", fill="stripe")
        view.line((left, 0), (1.02 * clear, 0), pen="bold")
        with view.part("wire"):
            view.circle((0, line), view.metres(5), fill="dark")
        view.label((0, line), "Wire", prefer=("right", "above"), leader=False, width=60)
        pose = {"ceiling": lifted, "wall": stretched, "moved": stretched}.get(name, resting)
        centre = -away + (machine.track if moved else 0.0)
        machine.draw(view, centre, pose)
        if name in ("ceiling", "again"):
            view.line((left, ceiling), (-clear, ceiling), pen="bold")
            view.label((left + 0.2 * (-clear - left), ceiling), "Ceiling", prefer=("above",), leader=False, width=100)
        if name in ("wall", "moved", "again"):
            x = wall + centre + away
            view.line((x, 0), (x, ceiling * 1.05), pen="bold")
            view.label((x, ceiling * (0.5 if name == "again" else 1.05)), "Wall", prefer=("left", "above"), leader=False, width=70)
        ground = canvas.view((side[0], -deep - 2 * w - 0.4 * t, side[1], 1.02 * dig), pad=(40, 14, 40, 6), max_height=104, seen="across",
                             way="wrong" if name == "hit" else "")  # fmt: skip
        dug = name in ("floor", "hit", "again")
        _ground(ground, side, hole if dug else None, floor, w, t, deep)
        # the bucket rests before the zone, or has dug down to the floor
        angle = math.radians(-112)
        tip = (hole[0] + 0.14 * dig, floor if dug else 0.0)
        with ground.part("bucket"):
            bucket(ground, (tip[0] - dig * math.cos(angle), tip[1] - dig * math.sin(angle)), dig, angle)
        if name == "hit":
            r = max(w, ground.metres(7))
            with ground.part("line"):
                ground.circle((tip[0], floor + 1.5 * r), r, fill="paper", pen="bold")
            ground.label((tip[0] - r, floor + 1.5 * r), "Not marked", prefer=("left",), width=110)
        if dug:
            ground.label((hole[0], floor), "Floor", prefer=("left", "below"), width=70)
        canvas.key_starts()
        canvas.legend([("stripe", "Must stay free. Limits and depths: a sketch")])
        frames.append(Frame(canvas, says, (tolerance, line_height, clearance, track_length)))
    return Film(
        ident,
        title="What a ceiling, a wall and a floor stop, and what not",
        desc=both(
            "In seven steps: lines are marked first. A ceiling, a wall and a floor stop the boom, the swing and the bucket where they are "
            "set. They find no line, and are wrong once the machine has moved. ", clearance, " around the wire and ", tolerance,
            " beside the buried line stay free.",
        ),
        frames=frames,
    )  # fmt: skip


def _ground(view: View, side: tuple[float, float], hole: tuple[float, float] | None, floor: float, w: float, t: float, deep: float) -> None:
    """Draw the ground with the marked line, the zone over it, and what has been dug beside the zone."""
    low = view.world[1]
    a, b = hole if hole else (side[0], side[0])
    surface: list[Point] = [(side[0], 0), *(((a, 0), (a, floor), (b, floor), (b, 0)) if hole else ()), (-w - t, 0)]
    view.polygon([*surface, (-w - t, low), (side[0], low)], pen="none", fill="earth")
    view.rect(w + t, low, side[1], 0, pen="none", fill="earth")
    with view.part("keep-clear"):
        view.rect(-w - t, low, w + t, 0, pen="dash", fill="stripe")
    view.polyline([*surface, (side[1], 0)], pen="bold")
    if hole:
        view.line((side[0], floor), (-w - t, floor), pen="bold")
    with view.part("line"):
        view.circle((0, -deep - w), max(w, view.metres(6)), fill="paper", pen="bold")
    view.line((0, 0), (0, view.metres(24)), pen="bold")
    view.polygon([(0, view.metres(24)), (view.metres(15), view.metres(19)), (0, view.metres(14))], fill="dark")
    view.label((0, view.metres(24)), "Mark", prefer=("right", "above"), leader=False, width=70)
