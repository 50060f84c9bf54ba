"""The look round before work, step by step: round the machine, up to the cab and down, and the sag of a track."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import person
from generator.drawing.machines.outline import limb
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._parked import Parked
from generator.drawing.view import View

OFF = 0.7
"""How far off the machine one walks (metres), as drawn."""


class _Round:
    """The way round a machine from above, its stops, and the machine."""

    def __init__(self, machine: Parked) -> None:
        self.machine = machine
        half = max(machine.width, machine.blade_width if machine.blade else 0.0) / 2
        self.front, self.back, self.out = machine.ahead + OFF, -machine.behind - OFF, half + OFF
        f, b, o = self.front, self.back, self.out
        # from the front left corner past the front, down the right side, behind, and up the left side to the steps
        self.stops: tuple[Point, ...] = (
            (f + 1.2, 0.6 * o), (f, -0.4 * o), (0.35 * f, -o), (0.5 * b, -o), (b, 0.0), (0.5 * b, o), (0.1 * f, o),
        )  # fmt: skip
        self.corners: tuple[tuple[Point, ...], ...] = ((), (), ((f, -o),), (), ((b, -o),), ((b, o),), ())

    @property
    def world(self) -> tuple[float, float, float, float]:
        edge = 0.4
        return self.back - edge, -self.out - edge, self.front + 1.2 + edge, self.out + edge

    def path(self, upto: int) -> list[Point]:
        """The way walked to a stop, the first one being 1."""
        points = [self.stops[0]]
        for k in range(1, upto):
            points += [*self.corners[k], self.stops[k]]
        return points


def _walker(view: View, at: Point, way: float) -> None:
    """Draw a person from above, 0.5 m over the shoulders, who walks toward `way`."""
    cos, sin = math.cos(way), math.sin(way)
    ring = [(0.15 * math.cos(a), 0.26 * math.sin(a)) for a in (k * math.pi / 6 for k in range(12))]
    with view.part("person"):
        view.body([(at[0] + x * cos - y * sin, at[1] + x * sin + y * cos) for x, y in ring], fill="paper")
        view.circle(at, 0.12, fill="dark")


_STOPS: tuple[str, ...] = (
    "Before you are near: look under the machine. Fresh oil, water or fuel on the ground? Is anyone near it?",
    "In front: blade, bucket or bumper, edge, teeth, pins and hoses. Nothing loose, bent or cracked.",
    "Along the first track or tires: bolts or wheel nuts, shoes, cuts, mud. Does it sag, or stand, as the manual says?",
    "The side behind it: leaks, loose covers, things left lying on it.",
    "Behind: lights, alarm, mirrors, camera. Nobody and nothing in the way.",
    "The other side: doors shut, oil, coolant and fuel as the manual says, engine cold and off.",
    "The other track or tires, then steps and handles: tight, dry, no mud. Now go up, with three points of contact.",
)


def round_film(
    *,
    ident: str,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    bucket_width: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw the way round a machine from above, stop by stop. Lengths in metres, a sketch where they are not given."""
    here = _Round(
        Parked.of(
            track_length=track_length, track_gauge=track_gauge, shoe_width=shoe_width, blade_width=blade_width, blade_height=blade_height,
            stick_length=stick_length, bucket_length=bucket_length, bucket_width=bucket_width, tail_radius=tail_radius,
        )
    )  # fmt: skip
    frames = []
    for k, says in enumerate(_STOPS, 1):
        canvas = Canvas(ident, title="The look round, from above", desc="One step of it.", steady=True)
        view = canvas.view(here.world, pad=(6, 8, 6, 8), max_height=400, seen="above")
        here.machine.above(view)
        walked = here.path(k)
        if k > 1:
            view.polyline(walked, pen="dash")
        back = walked[-2] if k > 1 else (here.front + 2.4, here.out)
        x, y = here.stops[k - 1]
        _walker(view, (x, y), math.atan2(y - back[1], x - back[0]))
        for stop in here.stops[: k - 1]:
            view.circle(stop, view.metres(5), fill="paper", pen="bold")
        frames.append(Frame(canvas, says))
    return Film(
        ident, title="Once round the machine, stop by stop", frames=frames,
        desc="A person walks once round a machine, seen from above, and stops at the front, at both tracks, at both sides, behind it and at the steps.",
    )  # fmt: skip


def where_to_look(
    *,
    ident: str,
    track_length: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a parked machine from the side; lengths in metres. `spots=True`: regions `under`, `tool` and `cab`."""
    machine = Parked.of(track_length=track_length, blade_height=blade_height, stick_length=stick_length, bucket_length=bucket_length, tail_radius=tail_radius)  # fmt: skip
    canvas = Canvas(ident, title="A machine from the side", desc="A parked machine from the side, with places to look at.")
    view = canvas.view(
        (-machine.behind - 0.3, -0.25 * machine.track, machine.ahead + 0.3, machine.tall), pad=(20, 20, 20, 30), max_height=300
    )
    view.line((view.world[0], 0), (view.world[2], 0), pen="bold")
    machine.side(view, 0.0)
    if not spots:
        return canvas
    view.spot("under", "on the ground under the machine", [(-0.1 * machine.track, -0.1 * machine.track)])
    view.spot("tool", "at the blade or bucket", [(machine.ahead, 0.1 * machine.track)])
    view.spot("cab", "at the cab", [(-0.1 * machine.track, 0.75 * min(machine.tall, machine.track))])
    return canvas


# ---- up and down ----------------------------------------------------------------------------------

TALL = 1.75


def _climber(view: View, feet: tuple[Point, Point], hands: tuple[Point, Point], free: int = -1) -> None:
    """Draw a person from behind who climbs; the limb `free` (0 and 1 the feet, 2 and 3 the hands) has let go."""
    (lx, ly), (rx, ry) = feet
    hip = ((lx + rx) / 2, (ly + ry) / 2 + 0.5 * TALL)
    neck = (hip[0], hip[1] + 0.34 * TALL)
    with view.part("person"):
        for side, foot in ((-1, feet[0]), (1, feet[1])):
            top = (hip[0] + side * 0.05 * TALL, hip[1])
            knee = ((top[0] + foot[0]) / 2 + side * 0.06 * TALL, (top[1] + foot[1]) / 2)
            view.bodies([limb([top, knee, foot], [0.05 * TALL, 0.045 * TALL, 0.035 * TALL])])
        view.body([(hip[0] - 0.1 * TALL, hip[1] - 0.02), (hip[0] + 0.1 * TALL, hip[1] - 0.02), (neck[0] + 0.11 * TALL, neck[1] - 0.03),
                   (neck[0] + 0.04 * TALL, neck[1]), (neck[0] - 0.04 * TALL, neck[1]), (neck[0] - 0.11 * TALL, neck[1] - 0.03)], fill="paper")  # fmt: skip
        view.strokes(
            [[(hip[0] - s * 0.07 * TALL, hip[1] + 0.05), (neck[0] + s * 0.07 * TALL, neck[1] - 0.03)] for s in (-1, 1)], pen="bold"
        )
        for side, hand in ((-1, hands[0]), (1, hands[1])):
            shoulder = (neck[0] + side * 0.1 * TALL, neck[1] - 0.04 * TALL)
            elbow = ((shoulder[0] + hand[0]) / 2 + side * 0.06 * TALL, (shoulder[1] + hand[1]) / 2 - 0.02 * TALL)
            view.bodies([limb([shoulder, elbow, hand], [0.034 * TALL, 0.03 * TALL, 0.024 * TALL])], fill="paper")
        view.circle((neck[0], neck[1] + 0.08 * TALL), 0.07 * TALL, fill="dark")
    for k, at in enumerate((*feet, *hands)):
        view.circle(at, 0.045 * TALL, fill="paper" if k == free else "dark", pen="bold")


class _Steps:
    """The way up to a machine seen from its side: two rails, rungs, and the top to stand on."""

    def __init__(self, machine: Parked, high: float) -> None:
        self.machine, self.high = machine, high
        self.x = -0.05 * machine.track
        rungs = max(2, math.ceil(high / 0.4))
        self.rungs = [high * k / rungs for k in range(1, rungs)]

    @property
    def world(self) -> tuple[float, float, float, float]:
        m = self.machine
        top = max(self.high + 1.12 * TALL, min(m.tall, self.high + 2.6))
        return min(-m.behind, -1.6), -0.12, max(min(m.ahead, 1.1 * m.track), 1.6), top

    def draw(self, canvas: Canvas, *, wrong: bool = False) -> View:
        view = canvas.view(self.world, pad=(84, 6, 4, 30) if wrong else (4, 6, 4, 30), max_height=330, way="wrong" if wrong else "")
        view.line((self.world[0], 0), (self.world[2], 0), pen="bold")
        self.machine.side(view, 0.0)
        for side in (-0.34, 0.34):
            view.line((self.x + side, min(0.8, self.high)), (self.x + side, self.high + 1.15), pen="bold")
        for y in (*self.rungs, self.high):
            view.line((self.x - 0.3, y), (self.x + 0.3, y), pen="bold")
        return view


def climb_film(
    *,
    ident: str,
    step_height: Measure | None = None,
    track_length: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw how one goes up and comes down with three points of contact; lengths in metres."""
    machine = Parked.of(track_length=track_length, blade_height=blade_height, stick_length=stick_length, bucket_length=bucket_length, tail_radius=tail_radius)  # fmt: skip
    high = step_height.si if step_height else 0.33 * machine.track
    here = _Steps(machine, high)
    x, (low, top) = here.x, (here.rungs[0], here.rungs[-1])
    rail = 0.34
    steps: tuple[tuple[tuple[Point, Point], tuple[Point, Point], int, Text], ...] = (
        (((x - 0.12, 0), (x + 0.12, 0)), ((x - 0.3, 0.8), (x + 0.3, 0.8)), -1, "Hands empty, boots clean. Face the machine. It stands still, blade or bucket down."),
        (((x - 0.12, low), (x + 0.12, 0)), ((x - rail, low + 1.25), (x + rail, low + 1.25)), 1, "Both hands hold on and one foot stands: three points. Now the free foot moves."),
        (((x - 0.12, low), (x + 0.12, low)), ((x - rail, low + 1.25), (x + rail, low + 1.6)), 3, "Both feet stand and one hand holds: three points. Now the free hand moves."),
        (((x - 0.12, top), (x + 0.12, high)), ((x - rail, high + 1.0), (x + rail, high + 1.0)), 0, "Always three of the four hold while one moves. Never a lever or a wheel as a handle."),
        (((x - 0.12, high), (x + 0.12, high)), ((x - rail, high + 0.95), (x + rail, high + 0.95)), -1, "Up. Sit down, look at the frame over you, and put the belt on before you start."),
        (((x - 0.12, top), (x + 0.12, low)), ((x - rail, low + 1.3), (x + rail, low + 1.3)), 1, "Down the same way, face to the machine. Look where the foot goes. Never jump."),
    )  # fmt: skip
    frames = []
    for feet, hands, free, says in steps:
        canvas = Canvas(ident, title="Up and down with three points of contact", desc="One step of it.", steady=True)
        view = here.draw(canvas)
        _climber(view, feet, hands, free)
        frames.append(Frame(canvas, says))
    return Film(
        ident, title="Three points of contact, step by step", frames=frames,
        desc="A person faces the machine and climbs up and down. A filled ring is a hand or foot that holds, an empty one moves. Three always hold.",
    )  # fmt: skip


def jump_film(
    *,
    ident: str,
    landing: Measure,
    step_height: Measure | None = None,
    track_length: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw the wrong way: somebody jumps off and lands with the speed `landing` (metres a second). See `climb_film`."""
    positive(landing=landing)
    machine = Parked.of(track_length=track_length, blade_height=blade_height, stick_length=stick_length, bucket_length=bucket_length, tail_radius=tail_radius)  # fmt: skip
    high = step_height.si if step_height else 0.33 * machine.track
    if abs(landing.si**2 - 2 * 9.80665 * high) > 0.02 * landing.si**2:
        raise DrawingRefused(f"from {high:.3g} m one does not land with {landing.us}")
    here = _Steps(machine, high)
    steps: tuple[tuple[float, float, str, Text], ...] = (
        (here.x, high, "down", "Stands with the back to the machine, something in one hand. Holds on to nothing."),
        (here.x + 0.5, 0.6 * high, "up", "Jumps. Mud, a stone or a cable on the ground was not seen."),
        (here.x + 0.75, 0.0, "up", join("Lands at ", landing, ". Ankles, knees and backs break like this, and who falls lies beside the machine.")),
    )  # fmt: skip
    frames = []
    for k, (x, y, arms, says) in enumerate(steps):
        canvas = Canvas(ident, title="The wrong way: jumping off", desc="One step of it.", steady=True)
        view = here.draw(canvas, wrong=True)
        person(view, (x, y), TALL, arms="up" if arms == "up" else "down")
        if k:
            view.arrow((x + 0.5, high + 0.4), (x + 0.5, 0.25))
        if step_height is not None:
            view.dimension((here.world[0] - 0.15, 0), (here.world[0] - 0.15, high), step_height, prefer="left", width=74)
        frames.append(Frame(canvas, says, ((landing,) if k == 2 else ()) + ((step_height,) if step_height is not None else ())))
    return Film(
        ident, title="The wrong way: jumping off", frames=frames,
        desc=both("A person stands on the machine facing out, jumps, and lands at ", landing, "."),
    )  # fmt: skip


# ---- the sag of a track ---------------------------------------------------------------------------


class _Track:
    """A run of track: over idler and carrier roller under a straight edge, or hung under the frame of a raised machine."""

    def __init__(self, length: float, hung: bool, widest: float) -> None:
        self.hung = hung
        self.run = 0.86 * length if hung else 0.46 * length
        self.thick = 0.05 * length
        self.wheel = 0.13 * length
        self.deep = widest

    @property
    def world(self) -> tuple[float, float, float, float]:
        r, t = self.run, self.thick
        if self.hung:
            return -0.62 * r, -self.deep - 2.2 * t, 0.62 * r, 0.3 * r
        return -0.5 * r - self.wheel, -t - 2.1 * self.wheel, 0.5 * r + 0.7 * self.wheel, 0.26 * r

    def draw(self, view: View, sag: float) -> None:
        """Draw it with so much sag (metres); the edge it is measured from lies at height 0."""
        r, t = self.run, self.thick
        ends = 0.25 * sag if self.hung else 0.0
        xs = [r * (k / 24 - 0.5) for k in range(25)]
        top = [(x, -ends - (sag - ends) * (1 - (2 * x / r) ** 2)) for x in xs]
        if self.hung:
            view.body([(-0.5 * r, 0.0), (0.5 * r, 0.0), (0.44 * r, 0.2 * r), (-0.44 * r, 0.2 * r)], fill="shade")
            for side in (-1, 1):
                view.circle((side * 0.5 * r, 0.1 * r - t), 0.11 * r, fill="paper", pen="bold")
        else:
            for x, radius in ((-0.5 * r, self.wheel), (0.5 * r, 0.36 * self.wheel)):
                view.circle((x, -t - radius), radius, fill="paper", pen="bold")
            view.line((-0.5 * r - 0.3 * self.wheel, 0.0), (0.5 * r + 0.5 * self.wheel, 0.0), pen="bold")
        with view.part("tracks", sized="no"):  # one run of the track and not all of it
            view.strap([(x, y - t / 2) for x, y in top], t, link=1.6 * t)
            view.polyline(top, pen="thin")


def sag_film(
    *,
    ident: str,
    least: Measure,
    most: Measure,
    sag: Measure,
    track_length: Measure | None = None,
    stick_length: Measure | None = None,
) -> Film:
    """Draw how the sag of a track is measured, the manual's `least` and `most`, and the `sag` found; all in metres.

    With `stick_length` the machine is an excavator: its track hangs under the frame.
    """
    positive(least=least, most=most, sag=sag)
    if least.si > most.si:
        raise DrawingRefused(f"the least sag, {least.us}, is more than the most, {most.us}")
    deepest = max(most.si, sag.si)
    long = max(track_length.si if track_length else 2.9, 4 * deepest)
    track = _Track(long, stick_length is not None, deepest)
    how: Text = (
        "Track raised as the manual says. Engine off, key out, tag on, nobody under it. Measure at the middle, from frame to shoe."
        if track.hung
        else "Coast to a stop, no brake. Then park brake on, engine off, key out, tag on. Measure below a straight edge."
    )
    found: tuple[Text, ...]
    if sag.si > most.si:
        found = ("Measured: ", sag, ". Too loose: it can jump off the wheels. Write it down and tell.")
    elif sag.si < least.si:
        found = ("Measured: ", sag, ". Too tight: it eats pins and power. Write it down and tell.")
    else:
        found = ("Measured: ", sag, ". It lies between the two. Look at the other track too.")
    steps: Sequence[tuple[Measure, Text, bool]] = (
        (most, how, False),
        (least, join("The least this manual allows: ", least, ". Less is too tight."), True),
        (most, join("The most this manual allows: ", most, ". More is too loose."), True),
        (sag, join(*found), True),
    )
    frames = []
    for value, says, told in steps:
        canvas = Canvas(ident, title="The sag of a track", desc="One step of it.", steady=True)
        view = canvas.view(track.world, pad=(20, 34, 20, 14), max_height=230)
        track.draw(view, value.si)
        if told:
            view.dimension((0, -value.si), (0, 0), value, prefer="left" if track.hung else "above", width=110)
        else:
            view.arrow((0, 0.18 * track.run), (0, 0.0))
            view.label((0, 0.18 * track.run), "Measure here", prefer=("right", "above"), leader=False, width=130)
        frames.append(Frame(canvas, says, (value,) if told else ()))
    return Film(
        ident, title="Track sag, held against the manual", frames=frames,
        desc=both("The sag of a track is measured in the middle of its run. The manual allows ", least, " to ", most, ". Measured was ", sag, "."),
    )  # fmt: skip
