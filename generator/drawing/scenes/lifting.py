"""Scenes of lifting a load with an excavator: hooked on, carried low, and no farther out than the chart allows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.calc.catalogue.lifting import THREE_QUARTERS
from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import LeftOut
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Arm, Pose, arm_of, compact_arm, compact_plan, compact_side, excavator_plan, excavator_posed, person
from generator.drawing.machines.compact import TRACK
from generator.drawing.machines.outline import Frame as Axes
from generator.drawing.measure import Measure, Text, Words, both, join, positive
from generator.drawing.view import View

NEAR = 0.6
"""How far out the load is picked up, as a share of the radius of the lift."""


@dataclass(frozen=True)
class _Lift:
    """An excavator, or a compact one if it has a `blade`, and what it lifts; its swing centre at x = 0, metres."""

    arm: Arm
    radius: float
    track: float
    tail: float
    blade: float | None

    @classmethod
    def of(
        cls, radius: Measure, track_length: Measure, stick_length: Measure, max_reach: Measure, bucket_length: Measure | None,
        tail_radius: Measure | None, blade_height: Measure | None,
    ) -> _Lift:  # fmt: skip
        positive(radius=radius, track_length=track_length, stick_length=stick_length, max_reach=max_reach)
        long, dig = track_length.si, bucket_length.si if bucket_length else 0.0
        arm = (
            compact_arm(stick_length.si, long, bucket=dig, reach=max_reach.si)
            if blade_height
            else arm_of(stick_length.si, long / 1.5, bucket=dig, reach=max_reach.si)
        )
        made = cls(arm, radius.si, long, tail_radius.si if tail_radius else 0.66 * long, blade_height.si if blade_height else None)
        if made.hook(radius.si, made.carried)[0].pin[0] < radius.si * 0.995:
            raise LeftOut(
                "the load hangs out of reach", "The load would hang farther out than this machine reaches, so the lift is not shown."
            )
        if NEAR * radius.si < long / 2 + made.size + 0.3:
            raise LeftOut(
                "the load hangs over the tracks", "The load would hang over the tracks of this machine, so the lift is not shown."
            )
        return made

    @property
    def size(self) -> float:
        """Width of what is lifted, a piece of pipe seen from its end: a sketch."""
        return 0.11 * self.radius

    @property
    def rig(self) -> float:
        """Length of the sling: a sketch."""
        return 1.1 * self.size + 0.75 * self.arm.bucket

    @property
    def carried(self) -> float:
        """How high over the ground the load is carried."""
        return 0.35 * self.size

    def hook(self, out: float, up: float) -> tuple[Pose, Point]:
        """The pose that holds the load `out` from the swing centre and `up` over the ground, and where the load's foot is."""
        wanted = (out, up + self.size + self.rig)
        elbow, pin = self.arm.elbow(wanted)
        # the bucket is curled in, so that nothing but its back is near the sling
        return Pose(elbow, pin, math.radians(-165), self.arm.bucket), (pin[0], up)

    def draw(self, view: View, pose: Pose, tip: float = 0.0) -> Axes:
        """Draw the machine; with a `tip` (radians) it has gone over that far about the front end of its tracks."""
        # it rolls about the middle of the wheel at the front of its tracks
        r = 0.1 * self.track if self.blade is None else 0.5 * TRACK * self.track
        ahead = self.track / 2 - r
        x, y = ahead - ahead * math.cos(tip) - r * math.sin(tip), r + ahead * math.sin(tip) - r * math.cos(tip)
        if self.blade is None:
            excavator_posed(view, x, y, self.arm, pose, size=self.track / 1.5, tail=self.tail, angle=-tip)
        else:
            compact_side(view, x, y, track_length=self.track, arm=self.arm, pose=pose, blade_height=self.blade, tail=self.tail, angle=-tip,
                         sized=not tip)  # fmt: skip
        return Axes((x, y), angle=-tip)

    def load(self, view: View, pin: Point, foot: float, *, slack: bool = False) -> Point:
        """Draw sling and load under a pin, the load's foot at a height; return the middle of the load."""
        x, r = pin[0], self.size / 2
        middle = (x, foot + r)
        top = foot + 2 * r
        bend = (x + (0.4 * r if slack else 0.0), (pin[1] + top) / 2)
        with view.part("load"):
            view.circle(middle, r, fill="paper", pen="bold")
            view.circle(middle, 0.72 * r, fill="shade", pen="thin")
            view.polyline([pin, bend, (x, top)], pen="bold")
        view.circle(pin, view.metres(4.5), fill="paper", pen="bold")
        return middle

    def world(self, poses: Sequence[Pose]) -> tuple[float, float, float, float]:
        high = max(max(p.elbow[1], p.pin[1]) for p in poses) + 0.24 * self.arm.stick
        return -self.tail - 0.06 * self.radius, -0.05 * self.radius, 1.32 * self.radius + 1.6, max(high, 2.2)


def _within_the_chart(total_load: Measure | None, chart_load: Measure | None) -> bool:
    """Whether a lift asks for a plan on paper first; one of the whole chart or more is not shown at all."""
    if total_load is None or chart_load is None:
        return False
    if total_load.si >= chart_load.si * (1 - 1e-9):
        raise LeftOut(
            "the lift is more than the chart allows",
            "This lift is more than the chart of this machine allows there. It is not shown: do not lift.",
        )
    return total_load.si >= (THREE_QUARTERS - 1e-9) * chart_load.si


def lift_film(
    *,
    ident: str,
    radius: Measure,
    track_length: Measure,
    stick_length: Measure,
    max_reach: Measure,
    load: Measure,
    over: str | None = None,
    total_load: Measure | None = None,
    chart_load: Measure | None = None,
    chart_radius: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
) -> Film:
    """Draw a lift from hooking on to setting down, step by step, from the side.

    `radius` (metres) is the farthest that the load is from the swing centre; `load`, `total_load` and
    `chart_load` (kilograms) are printed, as is the `chart_radius` they count for; `over` is the side that the
    lift is made over, front or side, and side if not given. Where a site has no chart, the step says what to look up. The load is a sketch. Raises `DrawingRefused` for a length of zero or less,
    and `LeftOut` where the machine does not reach so far.
    """
    lift = _Lift.of(radius, track_length, stick_length, max_reach, bucket_length, tail_radius, blade_height)
    planned = _within_the_chart(total_load, chart_load)
    near, far, hand = NEAR * lift.radius, lift.radius, max(0.05 * lift.size, 0.08)
    side = "front" if over == "front" else "side"
    at = chart_radius if chart_radius is not None else radius
    far_says: Words
    if chart_load is not None and total_load is not None:
        far_says = join(
            radius, f" from the swing centre, over the {side}. All that hangs there, ", total_load, ", stays under the chart: ", chart_load, " at ", at,
            ". That is three quarters of it or more: a plan on paper comes first." if planned else ".",
        )  # fmt: skip
    elif chart_load is not None:
        far_says = join(radius, f" from the swing centre, over the {side}. Load, rigging and bucket together must stay under the chart: ", chart_load,
                        " at ", at, ".")  # fmt: skip
    else:
        far_says = join(radius, " from the swing centre. Load, rigging and bucket together must stay under the chart's figure for this radius, "
                        "height and side.")  # fmt: skip
    told = tuple(m for m in (radius, total_load, chart_load, chart_radius) if m is not None)
    steps: tuple[tuple[str, float, float, Text, tuple[Measure, ...]], ...] = (
        ("hook", near, 0.0, join("The load weighs ", load, " by its tag. Hook on at the point the maker made, straight over the load, with the levers locked and the wave given. Then all go well back."),
         (load,)),
        ("try", near, hand, "Lift it a hand's width and stop. Does it hang level? Do the tracks stay down? Does it stay up?", ()),
        ("carry", near, lift.carried, "Carry it low and close in, slowly. A long tag line steers it. Whoever holds it stands outside this picture, off to the side, clear of "
         "all the machine can reach. Nobody goes under it.", ()),
        ("far", far, lift.carried, far_says, told),
        ("down", far, 0.0, "Down, till the sling is slack. Engine idle, levers locked, then the wave. Only then does one person come from the side and unhook.", ()),
    )  # fmt: skip
    held = [lift.hook(out, up) for _, out, up, _, _ in steps]
    world = lift.world([pose for pose, _ in held])
    frames = []
    for (name, _, up, says, told_here), (pose, _) in zip(steps, held, strict=True):
        canvas = Canvas(ident, title="A lift", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 30, 6, 34), max_height=270)
        _ground(view)
        lift.draw(view, pose)
        middle = lift.load(view, pose.pin, up, slack=name == "down")
        if name in ("try", "carry", "far"):
            # nobody is within the machine's reach while a load hangs: the line leads out of the picture
            edge = world[2]
            view.polyline([middle, ((middle[0] + edge) / 2, 0.5 * middle[1] + 0.25), (edge, 0.85)], pen="thin")
            view.label((edge - 0.2, 0.85), "Tag line", prefer=("above", "left"), width=110)
        if name == "hook":
            view.label(pose.pin, "Lifting point", prefer=("right", "above"), width=130)
        view.dimension((0.0, 0.0), (pose.pin[0], 0.0), radius if name in ("far", "down") else "Radius",
                       measure=radius if name in ("far", "down") else None, offset=-10, prefer="below", width=120)  # fmt: skip
        canvas.key_starts()
        canvas.note("Drawn in line with the tracks, to show the radius. Over their side the chart allows less. Load and sling: a sketch.")
        frames.append(Frame(canvas, says, told_here))
    return Film(
        ident,
        title="A lift, step by step",
        desc=both(
            "From the side: a load of ", load, " is hooked on straight under the bucket, lifted a hand's width, carried low and close in, and set "
            "down ", radius, " from the swing centre. A long tag line leads off out of the picture. Nobody is near.",
        ),
        frames=frames,
    )  # fmt: skip


def too_far_film(
    *,
    ident: str,
    radius: Measure,
    track_length: Measure,
    stick_length: Measure,
    max_reach: Measure,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
) -> Film:
    """Draw the wrong way: a load that came up easily close in is swung out, and the machine goes over.

    As of `lift_film`. How far out it goes over is a sketch: nothing here works it out.
    """
    lift = _Lift.of(radius, track_length, stick_length, max_reach, bucket_length, tail_radius, blade_height)
    steps: tuple[tuple[str, float, float, Text], ...] = (
        ("easy", NEAR * lift.radius, 0.0, "Close in it comes up easily. Nobody has looked at the chart, and someone stands by the load."),
        ("light", lift.radius, math.radians(4), join("Out to ", radius, ": now the same load pulls the tracks off the ground.")),
        ("over", lift.radius, math.radians(13), "It goes over, onto the load and whoever is there. Nobody can stop it."),
    )  # fmt: skip
    held = [lift.hook(out, lift.carried)[0] for _, out, _, _ in steps]
    world = lift.world(held)
    frames = []
    for (name, _, tip, says), pose in zip(steps, held, strict=True):
        canvas = Canvas(ident, title="Out with the load", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 30, 6, 34), max_height=270, way="wrong")
        _ground(view)
        axes = lift.draw(view, pose, tip)
        pin = axes(*pose.pin)
        foot = max(0.0, pin[1] - lift.rig - lift.size)
        lift.load(view, pin, foot, slack=pin[1] - lift.rig - lift.size < 0)
        if name != "over":
            person(view, (pin[0] + lift.size / 2 + 0.45, 0.0), facing=-1)
        if tip:
            rear = axes(-lift.track / 2, 0.0)
            view.label(rear, "Off the ground", prefer=("left", "above", "below"), width=150)
        canvas.key_starts()
        canvas.note(
            "When it goes over nobody can tell beforehand: these steps are a sketch. The chart is there so that it never comes so far."
        )
        frames.append(Frame(canvas, says, (radius,) if name == "light" else ()))
    return Film(
        ident,
        title="The wrong way: a load is swung out with no look at the chart",
        desc=both("From the side: a load comes up easily close in. It is swung out to ", radius, ", the rear of the tracks comes off the ground, and "
                  "the machine goes over. Somebody stands beside the load."),
        frames=frames,
    )  # fmt: skip


def _ground(view: View) -> None:
    x0, low, x1, _ = view.world
    view.rect(x0, low, x1, 0, pen="none", fill="earth")
    view.line((x0, 0), (x1, 0), pen="bold")


def from_above(
    *,
    ident: str,
    radius: Measure,
    track_length: Measure,
    machine_width: Measure,
    shoe_width: Measure,
    max_reach: Measure,
    over: str | None = None,
    total_load: Measure | None = None,
    chart_load: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
    person_distance: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a lift from above: the radius from the swing centre, the side it is made over, and where people stand.

    All in metres; `over` is front or side, and side if not given. A lift whose `total_load` is the whole
    `chart_load` or more (kilograms) raises `LeftOut`. People stand as far beyond the machine's reach as
    `person_distance`, and are left out where it is not given. `spots=True` names nothing and has regions
    `swing-centre`, `track-edge`, `counterweight` and `load`.
    """
    positive(radius=radius, track_length=track_length, machine_width=machine_width, shoe_width=shoe_width, max_reach=max_reach)
    _within_the_chart(total_load, chart_load)
    if radius.si > max_reach.si:
        raise LeftOut("the load hangs out of reach", "The load would hang farther out than this machine reaches, so the lift is not shown.")
    r, long, wide = radius.si, track_length.si, machine_width.si
    tail = tail_radius.si if tail_radius else 0.66 * long
    dig = bucket_length.si if bucket_length else 0.15 * max_reach.si
    front = over == "front"
    angle = 0.0 if front else math.pi / 2
    size = 0.11 * r
    clear = 2.2
    ring = max_reach.si + person_distance.si + 0.35 if person_distance else 0.0  # nobody on foot inside it while the load hangs
    aside = math.radians(30)
    stands = [(ring * math.cos(aside), side * ring * math.sin(aside)) for side in (1, -1)] if ring and not spots else []
    canvas = Canvas(
        ident,
        title="A lift from above" if spots else f"A lift over the {'front' if front else 'side'}, from above",
        desc="An excavator holds a load, from above." if spots else both(
            "From above: an excavator holds a load ", radius, f" from its swing centre, over the {'front' if front else 'side'} of its tracks.",
            *((" Two people stand off to the sides, ", person_distance, " or more beyond all it can reach: one with a tag line, one who signals.")
              if person_distance and stands else ())),
    )  # fmt: skip
    half = max(0.52 * r, tail, long / 2) * 1.05
    high = max(half, stands[0][1] + 0.6) if stands else half
    view = canvas.view((-max(tail, long / 2) * 1.08, -high, max(ring if stands else 0.0, r + 1.1 * clear) + 0.9, high), pad=(8, 30, 8, 44), max_height=330,
                       seen="above")  # fmt: skip
    sweep = min(math.radians(34), math.asin(min(half / r, 1.0)))
    with view.part("keep-clear"):
        outer = [(r + s * 0.5 * clear * 0.9, a) for s, a in ((1, -sweep), (1, -sweep / 2), (1, 0.0), (1, sweep / 2), (1, sweep))]
        inner = [(r - 0.45 * clear, a) for a in (sweep, sweep / 2, 0.0, -sweep / 2, -sweep)]
        view.polygon([(q * math.cos(a), q * math.sin(a)) for q, a in (*outer, *inner)], pen="dash", fill="stripe")
    if blade_width is None:
        excavator_plan(
            view, (0.0, 0.0), length=long, width=wide, shoe=shoe_width.si, angle=angle, look=0.0, pin=r, tail=tail, bucket_length=dig
        )
    else:
        compact_plan(view, (0.0, 0.0), length=long, width=wide, shoe=shoe_width.si, angle=angle, look=0.0, pin=r, tail=tail, bucket_length=dig,
                     blade_width=blade_width.si)  # fmt: skip
    with view.part("load"):
        view.body(
            [(r - size / 2, -1.4 * size), (r + size / 2, -1.4 * size), (r + size / 2, 1.4 * size), (r - size / 2, 1.4 * size)], fill="paper"
        )
    with view.part("swing-circle"):
        view.arc((0, 0), r, -sweep, sweep, pen="dash")
    view.circle((0, 0), view.metres(5), fill="paper", pen="bold")
    for k, at in enumerate(stands):
        with view.part("person"):
            view.circle(at, 0.28, fill="dark")
        if k == 0:
            view.line((r, 1.3 * size), at, pen="thin")
    if spots:
        view.spot("swing-centre", "the middle that the house turns about", [(0.0, 0.0)])
        view.spot("track-edge", "the outer edge of the tracks", [(long / 2 if front else wide / 2, -0.28 * r)])
        view.spot("counterweight", "the counterweight", [(-0.85 * tail, 0.0)])
        view.spot("load", "the load", [(r, 0.0)])
        return canvas
    if stands and person_distance:
        view.arc((0, 0), ring - 0.35, -aside, aside, pen="dash")
        view.label(stands[0], "Tag line", prefer=("left", "above"), width=110)
        view.label(stands[1], "Signals", prefer=("left", "below"), width=110)
        view.label((ring - 0.35, 0.0), join("Reach and ", person_distance), prefer=("left",), width=80, leader=False)
    view.dimension((0.0, -half), (r, -half), join("Radius ", radius), measure=radius, offset=-8, prefer="below")
    canvas.legend([("stripe", "Nobody in the path of the load, or under it")])
    return canvas
