"""People near a machine: what is hidden from the seat, the circle it swings in, and how to come near."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import compact_plan, excavator_plan, person, truck_side
from generator.drawing.machines.compact import compact_body_end
from generator.drawing.machines.excavator import excavator_body_end
from generator.drawing.machines.outline import Frame as Axes
from generator.drawing.machines.track import tracks_end
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._bench import build_of
from generator.drawing.view import View

WORKS = math.radians(100)
"""The bucket works as far round as this, to both sides of straight ahead; behind that only the tail comes."""
_LEFT = (
    (0.45, "Boots and knees are gone."),
    (0.8, "Head and shoulders are left."),
    (0.95, "A hat is left."),
    (1.0, "Next to nothing is left."),
)
"""What is left of a person to see, by how much of them is hidden."""
FRONT_LEFT = math.radians(32)
"""Where a person on foot comes in: ahead on the operator's left, the side the cab is on."""


# ---- over the edge ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Seat:
    """An operator who looks over an edge at x = 0, outward to the right; metres."""

    eye: float
    sill: float
    out: float
    hidden: float

    @classmethod
    def of(cls, eye_height: Measure, sill_height: Measure, sill_distance: Measure, hidden: Measure) -> _Seat:
        positive(eye_height=eye_height, sill_height=sill_height, sill_distance=sill_distance, hidden=hidden)
        seat = cls(eye_height.si, sill_height.si, sill_distance.si, hidden.si)
        if seat.sill >= seat.eye:
            raise DrawingRefused("over an edge as high as the eyes no ground is seen")
        worked = seat.out * seat.sill / (seat.eye - seat.sill)
        # figures told in the other unit system are rounded, which counts for more the less the eyes stand above the edge
        if abs(worked - seat.hidden) > (0.01 + 0.02 / (seat.eye - seat.sill)) * worked:
            raise DrawingRefused(f"the line of sight meets the ground {worked:.3g} m past the edge, not {hidden.us}")
        return seat

    def up_to(self, x: float) -> float:
        """How high the line of sight is so far past the edge; nothing past the hidden ground."""
        return max(self.sill * (1 - x / self.hidden), 0.0)

    def shadow(self, view: View) -> None:
        """Draw what the edge hides."""
        view.polygon([(0, 0), (0, self.sill), (self.hidden, 0)], pen="none", fill="shade")

    def sight(self, view: View) -> None:
        """Draw the eyes and the line of sight over the edge to the ground."""
        view.line((-self.out, self.eye), (self.hidden, 0), pen="dash")
        view.circle((-self.out, self.eye), view.metres(7), fill="paper", pen="line")
        view.circle((-self.out, self.eye), view.metres(3), fill="dark", pen="none")


def _digger_from_behind(view: View, seat: _Seat, *, compact: bool) -> None:
    """Draw an excavator from behind, its right edge at x = 0 as high as the table says, its cab around the eyes.

    Its width is the one at which the seat is where the table has it: a sketch in all but edge and eyes.
    """
    gauge = seat.out / (1.13 * 0.49 * 1.2) if compact else seat.out / 0.965
    shoe = (0.2 if compact else 0.28) * gauge
    half = (0.49 if compact else 0.48) * (gauge + shoe)
    deck = seat.sill - (0.08 * half if compact else 0.1 * gauge)
    track = min((0.4 if compact else 0.42) * gauge, 0.7 * deck)
    heights = (track, deck, seat.eye + (0.24 * gauge + 0.14 * seat.eye if compact else 0.13 * seat.eye))
    frame = Axes((-half, 0.0))
    with view.part("tracks", sized="no"):
        tracks_end(view, frame, gauge, shoe, track)
    with view.part("machine"):
        (compact_body_end if compact else excavator_body_end)(view, frame, gauge, shoe, heights)


def walk_in_film(
    *,
    ident: str,
    eye_height: Measure,
    sill_height: Measure,
    sill_distance: Measure,
    hidden: Measure,
    distances: Sequence[Measure],
    hidden_up_to: Sequence[Measure],
    person_height: Measure,
    bent_height: Measure,
    bent_from: Measure,
    blade_width: Measure | None = None,
) -> Film:
    """Draw a trial on a parked excavator, from behind: somebody walks in from its right, and what is seen of them.

    - `eye_height`, `sill_height`, `sill_distance`, `hidden`: metres; the eyes, the edge that hides the
      ground, how far that is from below the eyes, and the ground hidden past it.
    - `distances`: how far past the edge the person stands, farthest first, and for each of them in
      `hidden_up_to` how high the line of sight is there (metres).
    - `person_height`, `bent_height`: metres, upright and bent down; bent down the person is wholly hidden
      from `bent_from` on inward (metres past the edge; 0 where the edge is lower than that).
    - `blade_width`: of a compact excavator; one without it is a larger one.

    Raises `DrawingRefused` where the figures are not of one line of sight.
    """
    seat = _Seat.of(eye_height, sill_height, sill_distance, hidden)
    positive(person_height=person_height, bent_height=bent_height)
    if len(distances) != len(hidden_up_to) or len(distances) < 2:
        raise DrawingRefused("whoever walks in stands in two places at least, each with the height hidden there")
    for at, up in zip(distances, hidden_up_to, strict=True):
        if abs(seat.up_to(at.si) - up.si) > 0.03 * seat.sill:
            raise DrawingRefused(f"{at.us} past the edge the line of sight is {seat.up_to(at.si):.3g} m up, not {up.us}")
    steps: list[tuple[float, float, Text, tuple[Measure, ...]]] = []
    for at, up in zip(distances, hidden_up_to, strict=True):
        told: tuple[Measure, ...]
        if up.si <= 1e-9:
            says, told = join("Parked and locked, for a trial. At ", at, " from the edge you see the boots."), (at,)
        else:
            share = up.si / person_height.si
            left = next((words for most, words in _LEFT if share < most), "Nobody is to be seen.")
            near = at.si <= 1e-9
            where: Text = "Right beside the machine" if near else join(at, " from the edge")
            says, told = join(where, ": hidden up to ", up, ". ", left), (up,) if near else (at, up)
        steps.append((at.si, person_height.si, says, told))
    if bent_from.si > 1e-9:
        bent = join("Bent down as low as a barrel, the person is gone from ", bent_from, " on inward. So laces are tied and pipes laid.")
        steps.append((bent_from.si, bent_height.si, bent, (bent_from,)))
    tall = max(1.3 * seat.eye, 1.25 * person_height.si)
    right = seat.hidden + 0.6 * person_height.si
    frames = []
    for x, high, said, told in steps:
        canvas = Canvas(ident, title="A person walks in from the right", desc="One step of it.", steady=True)
        view = canvas.view((-2.25 * seat.out, -0.02 * tall, right, tall), pad=(8, 10, 8, 46), max_height=250, seen="end")
        seat.shadow(view)
        view.line((-2.25 * seat.out, 0), (right, 0), pen="bold")
        _digger_from_behind(view, seat, compact=blade_width is not None)
        seat.sight(view)
        _standing(view, max(x, 0.2 * high), high, person_height.si, -1)
        view.label((0, seat.sill), "Edge", prefer=("right", "above"), width=70)
        view.label((-seat.out, seat.eye), "Eyes", prefer=("left", "above"), width=70)
        view.dimension((0, 0), (seat.hidden, 0), join("Ground hidden ", hidden), measure=hidden, offset=-12, prefer="below")
        # how it looks from the seat is no matter of metres on the ground: the scale of the person alone
        seen = canvas.view((-2.4, 0.0, 2.4, 1.06 * person_height.si), pad=(150, 10, 8, 6), max_height=110, scale="bars", seen="end")
        cut = min(seat.up_to(x), 1.06 * person_height.si)
        _standing(seen, 0.0, high, person_height.si, 1)
        if cut > 0:
            seen.body([(-2.4, -0.05), (2.4, -0.05), (2.4, cut), (-2.4, cut)], fill="earth", pen="none")
            seen.line((-2.4, cut), (2.4, cut), pen="bold")
        else:
            seen.line((-2.4, 0), (2.4, 0), pen="bold")
        seen.label((-2.4, 0.5 * person_height.si), "Seen from the seat, over the edge", prefer=("left",), leader=False, width=140)
        frames.append(Frame(canvas, said, (*told, hidden)))
    return Film(
        ident,
        title="A person walks in toward a parked excavator: what is seen from the seat",
        desc=both("An excavator from behind, parked. Over the edge on its right the operator sees the ground from ", hidden,
                  " on. A person walks in from there. The nearer, the less of them is seen; bent down they are gone sooner."),
        frames=frames,
    )  # fmt: skip


def _standing(view: View, x: float, high: float, tall: float, facing: int) -> None:
    """Draw a person of that height; one who is much lower than `tall` bends down, from the side."""
    if high > 0.8 * tall:
        person(view, (x, 0.0), high)
        return
    at = Axes((x, 0.0), high, facing)
    with view.part("person"):
        view.body(
            at.all((-0.1, 0.0), (0.12, 0.0), (0.12, 0.06), (0.03, 0.08), (0.02, 0.34), (0.06, 0.62), (-0.16, 0.66), (-0.14, 0.3)),
            fill="dark",
        )
        view.body(at.all((-0.2, 0.56), (-0.02, 0.52), (0.36, 0.74), (0.34, 0.93), (0.2, 0.97), (-0.14, 0.8)), fill="paper")
        view.strokes([at.all((0.04, 0.58), (-0.06, 0.84)), at.all((0.14, 0.64), (0.06, 0.9))], pen="bold")
        view.body(at.all((0.24, 0.72), (0.34, 0.72), (0.34, 0.4), (0.42, 0.16), (0.34, 0.14), (0.25, 0.38)), fill="paper")
        view.circle(at(0.46, 0.8), 0.11 * high, fill="paper", pen="line")
        view.body(at.all((0.38, 0.86), (0.58, 0.8), (0.56, 0.92), (0.48, 1.0), (0.38, 0.96)), fill="dark", pen="thin")


def ahead(
    *,
    ident: str,
    bent_height: Measure,
    eye_height: Measure | None = None,
    sill_height: Measure | None = None,
    sill_distance: Measure | None = None,
    body_length: Measure | None = None,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    build: str | None = None,
) -> Canvas:
    """Draw the ground hidden ahead of a truck, from the side, and somebody who bends down close ahead of it.

    All in metres, as of `walk_in_film`; a sketch in what is not given. The truck is one of that `build`, its
    outline a sketch around the driver's eyes and the edge of its hood or deck.
    """
    positive(bent_height=bent_height)
    bent = bent_height.si
    if eye_height is None or sill_height is None or sill_distance is None:
        scale = body_length.si / 5.5 if body_length else 1.0
        eye, sill, out = 2.62 * scale, 1.68 * scale, 2.4 * scale
    else:
        eye, sill, out = eye_height.si, sill_height.si, sill_distance.si
    if sill >= eye or min(sill, out) <= 0:
        raise DrawingRefused("over an edge as high as the eyes no ground is seen")
    seat = _Seat(eye, sill, out, out * sill / (eye - sill))
    long, high = body_length.si if body_length else 2.1 * eye, body_height.si if body_height else eye / 0.94
    right = seat.hidden + 0.6 * bent
    canvas = Canvas(
        ident,
        title="Ground hidden ahead of a truck",
        desc="A truck from the side. The driver's line of sight goes over the edge of hood or deck and comes down far ahead. The ground before that "
        "is hidden, and somebody bends down in it.",
    )
    # the middle of the body stands so that the driver sits in the cab
    middle = -seat.out - (0.86 if build_of(build) == "articulated" else 0.68) * long
    left = middle - 0.62 * long
    view = canvas.view((left, -0.02 * seat.eye, right, 1.32 * seat.eye), pad=(8, 12, 8, 30), max_height=260, seen="side")
    view.line((left, 0), (right, 0), pen="bold")
    truck_side(
        view, middle, 0.0, body_length=long, body_height=high, axle_height=axle_height.si if axle_height else 0.0, build=build_of(build)
    )
    seat.shadow(view)
    seat.sight(view)
    _standing(view, max(0.5 * seat.hidden * max(1 - bent / seat.sill, 0.0), 0.6 * bent), bent, 1.8 * bent, -1)
    view.label((0, seat.sill), "Edge", prefer=("right", "above"), width=70)
    view.label((-seat.out, seat.eye), "Eyes", prefer=("above", "left"), width=70)
    view.label((0.8 * seat.hidden, 0), "Hidden", prefer=("below",), leader=False, width=90)
    return canvas


# ---- the circle, from above -----------------------------------------------------------------------------


@dataclass(frozen=True)
class _Circle:
    """An excavator from above, its swing centre at the origin, at work ahead of it (x); metres."""

    reach: float
    tail: float
    keep: float
    track: float
    width: float
    shoe: float
    bucket: float
    blade: float | None
    sized: bool

    @classmethod
    def of(
        cls, max_reach: Measure, tail_radius: Measure | None, person_distance: Measure, track_length: Measure, machine_width: Measure,
        shoe_width: Measure, bucket_length: Measure | None, blade_width: Measure | None,
    ) -> _Circle:  # fmt: skip
        positive(
            max_reach=max_reach,
            person_distance=person_distance,
            track_length=track_length,
            machine_width=machine_width,
            shoe_width=shoe_width,
        )
        reach, long = max_reach.si, track_length.si
        return cls(
            reach, tail_radius.si if tail_radius else 0.66 * long, person_distance.si, long, machine_width.si,
            min(shoe_width.si, 0.45 * machine_width.si), bucket_length.si if bucket_length else min(0.15 * reach, 0.4 * long),
            blade_width.si if blade_width else None, True,
        )  # fmt: skip

    @property
    def fence(self) -> float:
        return self.tail + self.keep

    @property
    def far(self) -> float:
        return self.reach + self.keep

    def draw(self, view: View, look: float = 0.0, *, stretched: float = 0.86) -> None:
        """Draw the machine, its tracks along x, its boom toward `look`, reaching out by so much of its reach."""
        pin = stretched * self.reach - 0.35 * self.bucket
        if self.blade is None:
            excavator_plan(view, (0.0, 0.0), length=self.track, width=self.width, shoe=self.shoe, angle=0.0, look=look, pin=pin,
                           tail=self.tail, bucket_length=self.bucket, sized=self.track > self.width)  # fmt: skip
        else:
            compact_plan(view, (0.0, 0.0), length=self.track, width=self.width, shoe=self.shoe, angle=0.0, look=look, pin=pin,
                         tail=self.tail, bucket_length=self.bucket, blade_width=self.blade, sized=self.track > self.width)  # fmt: skip

    def ring(self, view: View, *, at_work: bool, all_round: bool = True) -> None:
        """Draw the ring of all that the machine comes to; while it is at work people stay out of it, and off it by the distance.

        The bucket comes all the way round, or ahead only: then behind it is the tail alone.
        """
        arcs = [(self.reach, -math.pi, math.pi)] if all_round else [(self.reach, -WORKS, WORKS), (self.tail, WORKS, 2 * math.pi - WORKS)]
        rings = [[_polar(r, a + (b - a) * k / 36) for k in range(37)] for r, a, b in arcs]
        whole = [point for ring in rings for point in ring]
        with view.part("swing-circle", **({"people": "out"} if at_work else {})):
            view.polygon(_within(view, whole), pen="none")  # the area itself, for who measures the picture
            for line in rings if all_round else [[*rings[0], *rings[1], rings[0][0]]]:
                for piece in _inside(view, line):
                    view.polyline(piece, pen="dash")

    def cab(self) -> Point:
        """The middle of the cab, left of the boom."""
        return (0.1 * self.track, 0.24 * self.width)


def _within(view: View, points: Sequence[Point]) -> list[Point]:
    """Points kept within the world of a view."""
    x0, y0, x1, y1 = view.world
    return [(min(max(x, x0), x1), min(max(y, y0), y1)) for x, y in points]


def _inside(view: View, line: Sequence[Point]) -> list[list[Point]]:
    """The pieces of a line that lie within the world of a view."""
    x0, y0, x1, y1 = view.world
    pieces: list[list[Point]] = [[]]
    for x, y in line:
        if x0 <= x <= x1 and y0 <= y <= y1:
            pieces[-1].append((x, y))
        elif pieces[-1]:
            pieces.append([])
    return [piece for piece in pieces if len(piece) > 1]


def _on_foot(view: View, at: Point, look: float = math.pi) -> None:
    """Draw a person from above: shoulders, and a hard hat with its brim the way they look (radians)."""
    frame = Axes(at, angle=look)
    view.circle(at, max(0.62, view.metres(11)), pen="thin")  # so that nobody overlooks so small a figure
    with view.part("person"):
        view.body(
            frame.all((-0.14, -0.2), (-0.09, -0.3), (0.09, -0.3), (0.14, -0.2), (0.14, 0.2), (0.09, 0.3), (-0.09, 0.3), (-0.14, 0.2)),
            fill="paper",
        )
        view.body(
            frame.all((-0.15, 0.0), (-0.11, -0.11), (0.06, -0.13), (0.21, -0.09), (0.21, 0.09), (0.06, 0.13), (-0.11, 0.11)),
            fill="dark",
            pen="thin",
        )


def _polar(radius: float, way: float) -> Point:
    return (radius * math.cos(way), radius * math.sin(way))


def circles(
    *,
    ident: str,
    max_reach: Measure,
    person_distance: Measure,
    reach_clear: Measure,
    tail_radius: Measure | None = None,
    swing_clear: Measure | None = None,
    track_length: Measure,
    machine_width: Measure,
    shoe_width: Measure,
    bucket_length: Measure | None = None,
    blade_width: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw an excavator at work from above, all it comes to, and how far from that people stay.

    All in metres. `person_distance` is how near anybody may come to what it reaches; `reach_clear` and
    `swing_clear` are that with the reach and with the tail, from the swing centre (`swing_clear` only where
    `tail_radius` is known). `spots=True`: regions `ahead-left`, `tail`, `right-side` and `boom`, no figures.
    Raises `DrawingRefused` where a sum does not fit.
    """
    c = _Circle.of(max_reach, tail_radius, person_distance, track_length, machine_width, shoe_width, bucket_length, blade_width)
    _fits(c, reach_clear, swing_clear)
    canvas = Canvas(
        ident,
        title="An excavator at work, and where people stay",
        desc="An excavator from above. A dashed ring holds all that its bucket and its tail come to. A person stands outside, ahead on the left of "
        "the cab, where the operator sees them."
        if not spots
        else "An excavator from above, its bucket ahead of it, its cab on the left.",
    )
    view = _plan(canvas, c, -1.06 * c.fence, below=spots)
    c.ring(view, at_work=True, all_round=spots)
    c.draw(view)
    here = _polar(c.far + 0.35, FRONT_LEFT)
    if spots:
        view.spot("ahead-left", "ahead on the left, outside the ring", [here])
        view.spot("tail", "behind the counterweight", [(-1.15 * c.tail, 0.0)])
        view.spot("right-side", "beside the right track", [(0.0, -0.5 * c.width - 0.12 * c.reach)])
        view.spot("boom", "beside the bucket", [(0.8 * c.reach, -0.1 * c.reach)])
        return canvas
    _kept(view, c, person_distance, reach_clear, swing_clear)
    _on_foot(view, here, FRONT_LEFT + math.pi)
    view.label(here, "Stand here, in view", prefer=("above", "left"), bold=True, width=130)
    canvas.note("Dashed: all that bucket and tail come to, the bucket kept ahead.")
    return canvas


def _fits(c: _Circle, reach_clear: Measure, swing_clear: Measure | None) -> None:
    if abs(reach_clear.si - c.far) > 0.01 * c.far:
        raise DrawingRefused(f"reach and distance make {c.far:.3g} m, not {reach_clear.us}")
    if swing_clear is not None and abs(swing_clear.si - c.fence) > 0.01 * c.fence:
        raise DrawingRefused(f"tail and distance make {c.fence:.3g} m, not {swing_clear.us}")


def _plan(canvas: Canvas, c: _Circle, left: float, *, below: bool = False) -> View:
    """Open the view from above: the machine, all it comes to ahead, and room for a person outside."""
    high = max(math.sin(FRONT_LEFT) * c.far + 1.2, 0.62 * c.width)
    low = -max(0.62 * c.reach if below else 0.45 * c.reach, 1.06 * c.tail, 0.62 * c.width)
    return canvas.view(
        (left, low, max(math.cos(FRONT_LEFT) * c.far + 1.0, 1.03 * c.reach), high), pad=(8, 24, 8, 26), max_height=330, seen="above",
    )  # fmt: skip


def _kept(view: View, c: _Circle, person_distance: Measure, reach_clear: Measure, swing_clear: Measure | None) -> None:
    """Draw how far people stay: the fence behind, and the distance ahead."""
    turn = math.pi - WORKS
    with view.part("keep-clear"):
        for piece in _inside(view, [_polar(c.fence, math.pi - turn + 2 * turn * k / 36) for k in range(37)]):
            view.polyline(piece, pen="bold")
    view.label(_polar(c.fence, math.radians(150)), "Fence", prefer=("right", "above"), width=80)
    if swing_clear is not None:
        view.dimension((0.0, 0.0), (-c.fence, 0.0), swing_clear, measure=swing_clear, prefer="below", rank=0, width=90)
    out = _polar(c.far, FRONT_LEFT)
    view.dimension((0.0, 0.0), out, reach_clear, measure=reach_clear, prefer="above", rank=0, width=90)


def approach_film(
    *,
    ident: str,
    max_reach: Measure,
    person_distance: Measure,
    reach_clear: Measure,
    tail_radius: Measure | None = None,
    track_length: Measure,
    machine_width: Measure,
    shoe_width: Measure,
    bucket_length: Measure | None = None,
    blade_width: Measure | None = None,
) -> Film:
    """Draw how a person on foot comes near an excavator that works, from above, step by step. As of `circles`."""
    c = _Circle.of(max_reach, tail_radius, person_distance, track_length, machine_width, shoe_width, bucket_length, blade_width)
    _fits(c, reach_clear, None)
    outside, half, beside = c.far + 0.35, 0.55 * c.reach, max(0.85 * c.track, 0.9 * c.width)
    steps: tuple[tuple[float, bool, bool, Text, tuple[Measure, ...]], ...] = (
        (outside, True, False, join("It works. Stop outside, at least ", reach_clear, " from its swing centre, ahead on the cab's side."), (reach_clear,)),
        (outside, True, True, "Hand up, or call. Look the operator in the eye and wait. No look back means no step.", ()),
        (outside, False, True, "The operator stops, puts the bucket down, locks the controls and lifts both hands.", ()),
        (half, False, True, "Only then comes the wave. Walk in where the operator sees you, and never under the boom.", ()),
        (beside, False, True, "While you are in the ring nothing moves. Bucket down, controls locked, eyes on you.", ()),
        (outside, False, True, join("Go out the same way, ", person_distance, " clear of all it can reach. Thumb up. Now it may move."), (person_distance,)),
    )  # fmt: skip
    frames = []
    for radius, at_work, seen, says, told in steps:
        canvas = Canvas(ident, title="Coming near an excavator", desc="One step of it, from above.", steady=True)
        view = _plan(canvas, c, -1.25 * c.tail)
        c.ring(view, at_work=at_work)
        c.draw(view)
        here = _polar(radius, FRONT_LEFT)
        if at_work:
            view.arrow_path([_polar(0.72 * c.reach, math.radians(-14 - 3 * k)) for k in range(8)])
        if seen:
            view.line(c.cab(), here, pen="dash")
        _on_foot(view, here, FRONT_LEFT + math.pi)
        view.label(here, "You", prefer=("above", "left"), bold=True, width=60)
        view.label(_polar(c.reach, math.radians(-12)), "All it can reach", prefer=("right", "below"), width=90)
        view.label(_polar(0.8 * c.reach, 0.0), "At work" if at_work else "Bucket down, locked", prefer=("below", "right"), width=130)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="How to come near an excavator, step by step",
        desc=both("From above: a person stops outside all that the machine reaches, ", reach_clear, " from its swing centre, and looks at the operator. "
                  "The operator puts the bucket down, locks the controls and waves them in. They come and go on the cab's side, in view."),
        frames=frames,
    )  # fmt: skip


def tail_film(
    *,
    ident: str,
    max_reach: Measure,
    person_distance: Measure,
    tail_radius: Measure | None = None,
    track_length: Measure,
    machine_width: Measure,
    shoe_width: Measure,
    bucket_length: Measure | None = None,
    blade_width: Measure | None = None,
) -> Film:
    """Draw the wrong way: a person steps in between the tail of an excavator and a wall. As of `circles`."""
    c = _Circle.of(max_reach, tail_radius, person_distance, track_length, machine_width, shoe_width, bucket_length, blade_width)
    wall = -c.tail - 0.25
    caught = math.radians(255)
    stand = _polar(c.tail - 0.3, caught)
    far = 0.62 * c.reach
    start: Point = (-1.55 * c.tail, wall + 0.5)
    steps: tuple[tuple[float, Point, Text, tuple[Measure, ...]], ...] = (
        (0.0, start, "A person walks up from behind, along the wall. From the seat that place is hidden.", ()),
        (0.0, stand, "It looks like room enough. But the tail comes through here with every swing.", ()),
        (0.5 * (caught - math.pi), stand, "The operator looks at the bucket and swings. The tail comes round behind.", ()),
        (caught - math.pi, stand, "Caught between tail and wall. The operator feels nothing. People die so.", ()),
    )
    frames = []
    for look, here, says, told in steps:
        canvas = Canvas(ident, title="Between tail and wall", desc="One step of it, from above.", steady=True)
        view = canvas.view((-1.75 * c.tail, wall - 0.6, far, max(far, 1.3 * c.tail)), pad=(8, 8, 8, 8), max_height=300, seen="above", way="wrong")  # fmt: skip
        with view.part("wall"):
            view.body([(-1.75 * c.tail, wall - 0.6), (far, wall - 0.6), (far, wall), (-1.75 * c.tail, wall)], fill="earth")
        with view.part("swing-circle"):
            view.circle((0.0, 0.0), c.tail, pen="dash")
        c.draw(view, look, stretched=0.52)
        if look < caught - math.pi:
            _on_foot(view, here, 0.0)
        else:
            view.badge(here, "!")
        if look == 0.0 or here == start:
            view.label(here, "On foot", prefer=("left", "below", "above"), width=90)
        if 0 < look < caught - math.pi:
            view.arrow_path([_polar(c.tail + 0.05 * c.reach, math.pi + look - 0.5 + 0.09 * k) for k in range(6)])
        view.label(_polar(c.tail, math.radians(130)), "All the tail comes to", prefer=("above", "left"), width=130)
        view.label((0.45 * c.reach, wall), "Wall", prefer=("above",), width=70)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="The wrong way: between tail and wall",
        desc="From above: a person walks up from behind and stands between the tail of an excavator and a wall. The operator swings, and the tail "
        "comes round and catches them.",
        frames=frames,
    )
