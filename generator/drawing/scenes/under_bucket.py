"""Scenes of the truck driver's side of loading: where to stop, where to wait, and what comes over a cab."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Build, arm_of, excavator_plan, excavator_posed, truck_plan, truck_plan_reach, truck_side
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._bench import OUT_OF_REACH, Stand, build_of
from generator.drawing.svg import Fill
from generator.drawing.view import View

CLEAR = 4.0
"""How far (metres) a driver who got out stands off truck and swing where the site does not say how far."""


@dataclass(frozen=True)
class _Pit:
    """An excavator on its bench, its swing centre at the origin, and the truck it loads, from above; metres and radians.

    The boom points up the picture, and the truck drives from right to left beyond the face. The ground that is dug
    lies toward its rear, so that the bucket comes in over rear or side. Points are (out, along): out from the
    face, and along it the way the truck drives; `seen` puts them into the picture.
    """

    r: float
    body: float
    wide: float
    build: Build
    stand: Stand
    tail: float
    dig: float
    crest: float | None
    fall: float
    reach: float
    sized: tuple[bool, bool]
    square: float
    clear: float

    @classmethod
    def of(
        cls, truck_distance: Measure, truck_length: Measure, truck_angle: Measure | None, truck_width: Measure | None, truck_build: str | None,
        crest_distance: Measure | None, fall_zone: Measure | None, track_length: Measure | None, machine_width: Measure | None,
        shoe_width: Measure | None, track_angle: Measure | None, max_reach: Measure | None, bucket_length: Measure | None,
        tail_radius: Measure | None, person_distance: Measure | None,
    ) -> _Pit:  # fmt: skip
        positive(truck_distance=truck_distance, truck_length=truck_length)
        r, body = truck_distance.si, truck_length.si
        stand = Stand.of(track_length, machine_width, shoe_width, track_angle or Measure(math.pi / 4, "", ""), 0.45 * r)
        dig = bucket_length.si if bucket_length else 0.35 * stand.length
        return cls(
            r, body, truck_width.si if truck_width else 0.5 * body, build_of(truck_build), stand,
            tail_radius.si if tail_radius else 0.85 * stand.length, dig, stand.half + crest_distance.si if crest_distance else None,
            fall_zone.si if fall_zone else 0.0, max_reach.si if max_reach else 1.15 * r, (track_length is not None, truck_width is not None),
            truck_angle.si if truck_angle else math.pi / 2, person_distance.si if person_distance else CLEAR,
        )  # fmt: skip

    @staticmethod
    def seen(out: float, along: float) -> Point:
        """Where a point stands in the picture."""
        return (-along, out)

    def turned(self, radius: float, bearing: float) -> Point:
        """A point of the picture by its distance from the swing centre and its bearing."""
        return self.seen(radius * math.cos(bearing), radius * math.sin(bearing))

    @property
    def truck(self) -> Point:
        """Where the middle of the body stands while it is loaded."""
        return (self.r * math.sin(self.square), self.r * math.cos(self.square))

    @property
    def bearing(self) -> float:
        """The way from the swing centre to the middle of the ground that is dug."""
        return math.atan2(self.truck[1] - self.body / 2, self.truck[0]) - math.radians(42)

    @property
    def outer(self) -> float:
        return self.stand.kept_behind(self.crest, self.bearing + math.radians(16), 0.85 * self.r)

    @property
    def waits(self) -> Point:
        """Where a driver waits who has got out: ahead of the truck and off its way, in sight, clear of all that the bucket can reach."""
        ahead, _ = truck_plan_reach(self.body, self.wide, self.build)
        x, y = self.truck[0] + self.wide / 2 + self.clear, self.truck[1] + ahead + 0.5
        return (x, max(y, math.sqrt(max((self.reach + self.clear + 0.5) ** 2 - x**2, 0.0))))

    @property
    def short(self) -> bool:
        """Whether the bucket does not reach the middle of the body from here."""
        return self.r - (self.reach - self.dig) > 0.02 * self.r

    @property
    def queue(self) -> float:
        """How far back of its place the middle of a truck's body waits, out of reach of the swing."""
        ahead, _ = truck_plan_reach(self.body, self.wide, self.build)
        return max(self.tail, self.outer) + ahead + 0.25 * self.body + self.truck[1]

    def world(self, *, queue: bool) -> tuple[float, float, float, float]:
        ahead, behind = truck_plan_reach(self.body, self.wide, self.build)
        y = self.truck[1]
        low = min(-self.tail, -self.outer, y - behind, y - self.queue - behind if queue else 0.0) - 0.4
        high = max(self.waits[1] + 0.8, y + ahead + (0.5 * self.body if queue else 0.0) + 0.8, self.tail, self.stand.half)
        return -high, -max(self.tail, self.stand.half) - 0.4, -low, self.waits[0] + 0.9

    def ground(self, view: View) -> None:
        """Draw crest, fall zone, the ground that is dug, and how far the tail swings."""
        x0, _, x1, _ = view.world
        if self.crest is not None:
            if self.fall:
                with view.part("fall-zone"):
                    view.rect(x0, self.crest, x1, self.crest + self.fall, pen="none", fill="cross")
                view.line((x0, self.crest + self.fall), (x1, self.crest + self.fall), pen="dash")
            with view.part("crest"):
                view.line((x0, self.crest), (x1, self.crest), pen="bold")
        turns = [self.bearing + math.radians(a) for a in (-16, -8, 0, 8, 16)]
        with view.part("spoil"):
            view.body([self.turned(q, a) for q, row in ((self.outer, turns), (0.71 * self.outer, turns[::-1])) for a in row],
                      fill="spoil")  # fmt: skip
        with view.part("swing-circle"):
            view.circle((0, 0), self.tail, pen="dash")

    def machine(self, view: View, look: float, out: float) -> None:
        excavator_plan(
            view, (0.0, 0.0), length=self.stand.length, width=self.stand.width, shoe=self.stand.shoe, angle=self.stand.angle,
            look=look + math.pi / 2, pin=min(out, self.reach - self.dig), tail=self.tail, bucket_length=self.dig, sized=self.sized[0],
        )  # fmt: skip

    def haul(self, view: View, back: float, *, full: bool = False) -> None:
        truck_plan(view, self.seen(self.truck[0], self.truck[1] - back), body=self.body, width=self.wide, way=math.pi, full=full, build=self.build,
                   sized=self.sized[1])  # fmt: skip

    def dump(self, share: float) -> tuple[float, float]:
        """How far out a point of the body stands and its bearing, by its share from the rear to the front."""
        place = (self.truck[0], self.truck[1] + (share - 0.5) * self.body)
        return math.hypot(*place), math.atan2(place[1], place[0])

    def bucket_way(self, view: View, share: float) -> None:
        """Draw the way of the bucket from where it digs to the body."""
        out, to = self.dump(share)
        steps = [k / 8 for k in range(8)]
        way = [self.turned(0.85 * self.outer + (0.94 * out - 0.85 * self.outer) * s, self.bearing + (to - self.bearing) * s) for s in steps]
        view.arrow_path(way)


def spotting_film(
    *,
    ident: str,
    truck_distance: Measure,
    truck_length: Measure,
    passes: Measure | None = None,
    cab_guard: str | None = None,
    truck_angle: Measure | None = None,
    truck_width: Measure | None = None,
    truck_build: str | None = None,
    crest_distance: Measure | None = None,
    fall_zone: Measure | None = None,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    track_angle: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    person_distance: Measure | None = None,
) -> Film:
    """Draw how a truck comes in, is loaded and leaves, step by step, from above.

    `truck_distance` is from the swing centre to the middle of the body, metres; `truck_angle` that of the truck
    to the line there (radians, a right angle if not given). `cab_guard` is `guarded` or `open`: the driver of an
    open cab gets out and waits clear. Both are told where the site does not say. `person_distance`, metres, is how far
    people keep beyond all that the bucket can reach, and here off the truck's way too. The others as of `loading.loading_order`. Raises `DrawingRefused` for a length of zero or less.
    """
    pit = _Pit.of(truck_distance, truck_length, truck_angle, truck_width, truck_build, crest_distance, fall_zone, track_length, machine_width,
                  shoe_width, track_angle, max_reach, bucket_length, tail_radius, person_distance)  # fmt: skip
    world = pit.world(queue=True)
    out = cab_guard != "guarded"  # unless the table says guarded, the driver is drawn outside
    square: Text = join("square, at ", truck_angle, " to the boom") if truck_angle is not None else "square to the boom"
    far: Text = join(", ", person_distance, " beyond all it can reach") if person_distance is not None else ""
    guards: dict[str, Text] = {
        "guarded": "This truck has a guard over its cab. Stay in, belt on, windows shut.",
        "open": join(
            "No guard over this cab, and the rules here allow it: bucket on the ground and locked, the wave given, then get out and wait clear",
            far,
            ", in sight. Never beside the truck.",
        ),
    }
    guard = guards.get(
        cab_guard or "",
        "Guard over the cab: stay in, belt on. No guard: ask first. Bucket down, locked and the wave given, then out and wait clear, in sight.",
    )
    full: Text = join("After ", passes, " buckets it is full. ") if passes is not None else "The truck is full. "
    steps: tuple[tuple[str, float, bool, Text, tuple[Measure, ...]], ...] = (
        ("wait", pit.queue, False, "Wait well back, out of the swing, till the operator signals you in.", ()),
        ("in", 0.45 * pit.queue, False, "Signal seen: come in slowly, along the fall zone. The bucket is down or away. If you back in: alarm on, or someone signals.", ()),
        ("stop", 0.0, False, join("Stop ", square, ", ", truck_distance, " from the swing centre, out of the fall zone. Brake on, out of gear."),
         (truck_distance, *((truck_angle,) if truck_angle is not None else ()))),
        ("guard", 0.0, out, guard, (person_distance,) if cab_guard == "open" and person_distance is not None else ()),
        ("first", 0.0, out, "The first bucket comes over the rear or the side, low and gently, with the finest of the dirt. Never over the cab.", ()),
        ("full", 0.0, out, join(full, "Nobody moves till the bucket is away and the operator signals."), (passes,) if passes is not None else ()),
        ("go", -0.5 * pit.body, False, "Signal heard, all clear around: go, straight out, then turn.", ()),
    )  # fmt: skip
    frames = []
    for name, back, outside, says, told in steps:
        canvas = Canvas(ident, title="A truck is loaded", desc="One step of it, from above.", steady=True)
        view = canvas.view(world, pad=(12, 20, 12, 8), max_height=330, seen="above")
        pit.ground(view)
        pit.haul(view, back, full=name in ("full", "go"))
        if name == "first":
            out_to, to = pit.dump(0.8)
            pit.machine(view, to, out_to)
            pit.bucket_way(view, 0.8)
        else:
            pit.machine(view, pit.bearing, 0.85 * pit.outer)
        if outside:
            with view.part("person"):
                view.circle(pit.seen(*pit.waits), 0.3, fill="dark")
            view.label(pit.seen(*pit.waits), "Driver", prefer=("above", "right"), width=90)
        ahead, _ = truck_plan_reach(pit.body, pit.wide, pit.build)
        if name in ("stop", "wait"):
            view.label(pit.seen(pit.truck[0], pit.truck[1] - back + ahead), "Front", prefer=("above", "left"), width=80, clear=True)
        canvas.key_starts()
        rows: list[tuple[Fill, Text]] = [("spoil", "The ground that is dug")]
        if pit.crest is not None and pit.fall:
            rows.append(("cross", "Fall zone: nobody and no truck stands here"))
        canvas.legend(rows)
        if pit.short:
            canvas.note(OUT_OF_REACH, boxed=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="A truck comes in, is loaded and leaves",
        desc=both(
            "From above: a truck waits well back, comes in and stops ", truck_distance, " from the swing centre. ", guard, " The bucket comes over "
            "the rear or the side. The truck leaves when the operator signals.",
        ),
        frames=frames,
    )  # fmt: skip


def places(
    *,
    ident: str,
    truck_distance: Measure,
    truck_length: Measure,
    truck_angle: Measure | None = None,
    truck_width: Measure | None = None,
    truck_build: str | None = None,
    crest_distance: Measure | None = None,
    fall_zone: Measure | None = None,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    track_angle: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    person_distance: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw the truck in its place from above: the way of the bucket, and where a driver waits who gets out.

    As of `spotting_film`. `spots=True` names nothing and has regions `clear`, `beside`, `face` and `swing`.
    """
    pit = _Pit.of(truck_distance, truck_length, truck_angle, truck_width, truck_build, crest_distance, fall_zone, track_length, machine_width,
                  shoe_width, track_angle, max_reach, bucket_length, tail_radius, person_distance)  # fmt: skip
    canvas = Canvas(
        ident,
        title="A truck that is loaded, from above",
        desc="An excavator and a truck from above." if spots else both(
            "From above: the middle of the truck stands ", truck_distance, " from the swing centre. The bucket comes in over rear and side. A driver "
            "who got out waits ahead of the truck and off its way, in the operator's sight and clear of all the bucket can reach."),
    )  # fmt: skip
    view = canvas.view(pit.world(queue=False), pad=(12, 26, 12, 40), max_height=330, seen="above")
    pit.ground(view)
    pit.haul(view, 0.0)
    out_to, to = pit.dump(0.35)
    pit.machine(view, to, out_to)
    if spots:
        view.spot("clear", "far out, ahead of the truck and off its way", [pit.seen(*pit.waits)])
        view.spot("beside", "close beside the truck", [pit.seen(pit.truck[0] + pit.wide / 2 + 0.6, pit.truck[1] - 0.3 * pit.body)])
        view.spot(
            "face",
            "between the truck and the face",
            [pit.seen((pit.crest or 0.4 * pit.r) + 0.5 * pit.fall, pit.truck[1] + 0.45 * pit.body)],
        )
        view.spot("swing", "behind the excavator", [pit.seen(-0.9 * pit.tail, 0.35 * pit.tail)])
        return canvas
    with view.part("person"):
        view.circle(pit.seen(*pit.waits), 0.3, fill="dark")
    view.label(pit.seen(*pit.waits), "Who is out of the cab waits here", prefer=("right", "above", "below"), width=240, rank=0)
    pit.bucket_way(view, 0.35)
    rows: list[tuple[Fill, Text]] = [("spoil", "The ground that is dug")]
    if pit.crest is not None and pit.fall:
        rows.append(("cross", "Fall zone: nobody and no truck stands here"))
    canvas.legend(rows)
    if pit.short:
        canvas.note(OUT_OF_REACH, boxed=True)
    canvas.note("The arrow: the bucket comes in over rear or side. The dashed ring: how far out the tail swings.")
    canvas.note(
        "Out only with the bucket down and locked and the wave given. How far off, your site says."
        if person_distance is None
        else join(
            "Out only with the bucket down and locked and the wave given. Wait ",
            person_distance,
            " or more beyond all it can reach.",
        )
    )
    return canvas


def over_cab_film(
    *,
    ident: str,
    bucket_load: Measure,
    truck_length: Measure,
    track_length: Measure,
    stick_length: Measure,
    max_reach: Measure,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    truck_build: str | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw the wrong way: a truck with its nose to the excavator, and a full bucket over its cab.

    `bucket_load` (kilograms) is what one bucket carries; the others metres, of truck and excavator. What falls
    is a sketch. Raises `DrawingRefused` for a length of zero or less.
    """
    positive(bucket_load=bucket_load, truck_length=truck_length, track_length=track_length, stick_length=stick_length, max_reach=max_reach)
    track, reach, body = track_length.si, max_reach.si, truck_length.si
    high = body_height.si if body_height else 0.5 * body
    build = build_of(truck_build)
    arm = arm_of(stick_length.si, track / 1.5, bucket=bucket_length.si if bucket_length else 0.0, reach=reach)
    tail = tail_radius.si if tail_radius else 0.66 * track
    nose = (1.34 if build == "articulated" else 1.02) * body
    cab = (0.84 if build == "articulated" else 0.7) * body  # the middle of the cab, ahead of the body's middle
    over = min(0.62 * reach, track / 2 + 1.0 + nose - cab + 0.2 * reach)
    middle = max(over + cab, track / 2 + 0.8 + nose)  # of the body; its front looks at the machine
    at_cab, at_body = middle - cab, middle
    roof = 1.14 * high
    tip_up = roof + 0.18 * high + 0.1
    near = (track / 2 + 0.5 * arm.bucket, 0.3 * track)
    free = (middle - nose - 0.3, near[1])  # between tracks and truck
    low_dig = (min(near[0], free[0]), near[1])
    steps: tuple[tuple[str, Text, tuple[Measure, ...]], ...] = (
        ("nose", "The truck came in with its nose to the machine. To reach the body, the bucket must pass over the cab.", ()),
        ("over", join("A full bucket, ", bucket_load, ", goes right over the cab."), (bucket_load,)),
        ("falls", "A stone rolls off the heap, a hose gives, a tooth comes off. It falls on the driver.", ()),
    )  # fmt: skip
    world = (-1.15 * tail, -0.06 * reach, middle + 0.62 * body, max(arm.boom * 0.95 + arm.foot[1], tip_up + 0.6 * arm.stick))
    frames = []
    for name, says, told in steps:
        canvas = Canvas(ident, title="A bucket over a cab", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(8, 20, 8, 8), max_height=260, way="wrong")
        view.rect(world[0], world[1], world[2], 0, pen="none", fill="earth")
        view.line((world[0], 0), (world[2], 0), pen="bold")
        truck_side(view, at_body, 0.0, body_length=body, body_height=high, axle_height=axle_height.si if axle_height else 0.0, build=build,
                   facing=-1)  # fmt: skip
        pose = (
            arm.posed(low_dig, teeth=math.radians(-150))
            if name == "nose"
            else arm.posed((at_cab - 0.2 * arm.bucket, tip_up), teeth=math.radians(-172))
        )
        excavator_posed(view, 0.0, 0.0, arm, pose, size=track / 1.5, tail=tail, loaded=name != "nose")
        if name == "nose":
            view.label((at_cab, roof), "Driver in the cab", prefer=("above", "right"), width=170)
        if name == "falls":
            r = max(0.05 * high, 0.12)
            x = at_cab + 0.3 * arm.bucket
            with view.part("stone"):
                for k, up in enumerate((0.85, 0.5, 0.2)):
                    view.circle((x + (0.3 - 0.25 * k) * r, roof + up * (tip_up - roof) * 0.9 + r), r * (1 - 0.2 * (k % 2)), fill="dark")
        canvas.key_starts()
        canvas.note("What falls, and when, nobody can say. A guard is made for stones, not for a bucket.", bold=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="The wrong way: a bucket over the cab",
        desc=both("From the side: a truck stands with its nose to an excavator. A full bucket of ", bucket_load, " passes over the cab, and a stone falls."),
        frames=frames,
    )  # fmt: skip
