"""Scenes of moving a machine on a trailer: up the ramps, tied down, and under the bridge."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import (
    Arm,
    Pose,
    arm_of,
    compact_arm,
    compact_plan,
    compact_side,
    dozer_plan,
    dozer_side,
    excavator_plan,
    excavator_posed,
    person,
)
from generator.drawing.machines.dozer import GAP
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.view import View

BEHIND = 1.5
"""How far (metres) the deck reaches past the middle of the trailer's axles."""
WIDE = 2.6
"""How wide (metres) the deck is drawn from above; the machine may stand out over it."""
NECK = 1.9
"""How far (metres) behind the hitch the trailer's neck comes down to its deck."""
SKETCH = 1.2
"""Height (metres) of a blade that no table tells of."""


@dataclass(frozen=True)
class _Rig:
    """A trailer whose hitch stands at x = 0, its ramps to the right, and the machine on it; metres."""

    deck: float
    ramp: float
    base: float
    place: float
    track: float
    blade: float | None
    arm: Arm | None
    bucket: float
    tail: float
    top: float | None

    @classmethod
    def of(
        cls, deck_height: Measure, ramp_length: Measure, trailer_base: Measure, machine_place: Measure, track_length: Measure,
        blade_height: Measure | None, stick_length: Measure | None, bucket_length: Measure | None, tail_radius: Measure | None,
        travel_height: Measure | None,
    ) -> _Rig:  # fmt: skip
        positive(deck_height=deck_height, ramp_length=ramp_length, trailer_base=trailer_base, machine_place=machine_place,
                 track_length=track_length)  # fmt: skip
        if ramp_length.si <= deck_height.si:
            raise DrawingRefused("the ramps are no longer than the deck is high")
        long = track_length.si
        dig = bucket_length.si if bucket_length else 0.0
        arm: Arm | None = None
        if stick_length is not None:
            arm = compact_arm(stick_length.si, long, bucket=dig) if blade_height else arm_of(stick_length.si, long / 1.5, bucket=dig)
        return cls(
            deck_height.si, ramp_length.si, trailer_base.si, machine_place.si, long,
            blade_height.si if blade_height else None if arm else SKETCH, arm, dig, tail_radius.si if tail_radius else 0.66 * long,
            travel_height.si if travel_height else None,
        )  # fmt: skip

    @property
    def end(self) -> float:
        """Where the deck ends and the ramps begin."""
        return max(self.base + BEHIND, self.place + 0.5 * self.track + 0.3)

    @property
    def neck(self) -> float:
        """How high the neck of the trailer is over the road, where it rests on the truck."""
        return max(1.4, self.deck)

    @property
    def foot(self) -> float:
        """Where the ramps meet the road."""
        return self.end + math.sqrt(self.ramp**2 - self.deck**2)

    @property
    def tall(self) -> float:
        """How high the machine is drawn, its arm folded."""
        if self.arm is None:
            return 0.94 * self.track
        pose = self.folded()
        roof = (1.12 / 1.5 if self.blade is None else 1.46) * self.track
        return max(roof, self._back(pose), pose.elbow[1] + 0.1 * self.arm.stick)

    def _back(self, pose: Pose) -> float:
        """How high the bend in the boom's back stands."""
        assert self.arm is not None
        span = math.dist(self.arm.foot, pose.elbow)
        ux = (pose.elbow[0] - self.arm.foot[0]) / span
        return self.arm.foot[1] + 0.42 * (pose.elbow[1] - self.arm.foot[1]) + (0.21 * span + 0.135 * self.track) * ux

    def folded(self) -> Pose:
        """The arm as it travels: stretched out forward, no higher than the machine's travel height, the bucket down on deck or neck."""
        assert self.arm is not None
        arm = self.arm
        whole = arm.boom + arm.stick

        def held(out: float) -> Pose:
            x = self.place - arm.foot[0] - out  # where the teeth rest: the neck is higher than the deck
            return arm.posed((arm.foot[0] + out, self.neck - self.deck if x < NECK else 0.0), teeth=math.radians(-150))

        # the bucket ends over the neck at the farthest, not over the truck
        low, high = 0.35 * whole, max(min(0.92 * whole, self.place + 0.6 - arm.foot[0] - 0.9 * arm.bucket), 0.36 * whole)
        wanted = self.top or 0.0
        for _ in range(40):
            middle = (low + high) / 2
            pose = held(middle)
            low, high = (low, middle) if max(pose.elbow[1], self._back(pose)) <= wanted else (middle, high)
        return held(high)

    def carried(self) -> Pose:
        """The arm as it climbs: low and in front, the bucket off the ground."""
        assert self.arm is not None
        arm = self.arm
        return arm.posed((arm.foot[0] + 0.74 * (arm.boom + arm.stick), 0.2 * self.track), teeth=math.radians(-140))

    def machine(self, view: View, middle: Point, angle: float = 0.0, *, pose: Pose | None = None, blade_up: float = 0.0) -> None:
        """Draw it facing the truck, the middle of its tracks at a point, up at the front by `angle`."""
        x, y = middle
        if self.arm is None:
            assert self.blade is not None
            ahead = GAP * self.blade + self.track / 2
            dozer_side(view, x - ahead * math.cos(angle), y + ahead * math.sin(angle), self.blade, facing=-1, track_length=self.track,
                       angle=angle, blade_up=blade_up)  # fmt: skip
        elif self.blade is not None:
            compact_side(view, x, y, track_length=self.track, arm=self.arm, pose=pose or self.folded(), blade_height=self.blade, facing=-1,
                         tail=self.tail, blade_up=blade_up, angle=angle)  # fmt: skip
        else:
            excavator_posed(view, x, y, self.arm, pose or self.folded(), size=self.track / 1.5, facing=-1, tail=self.tail, angle=angle)

    @property
    def attachment(self) -> tuple[str, Point]:
        """What can move by itself: its name, and where it lies on the deck."""
        if self.arm is None:
            assert self.blade is not None
            return "blade", (self.place - self.track / 2 - GAP * self.blade, self.deck + 0.5 * self.blade)
        tip = self.folded().pin
        return "bucket", (self.place - tip[0], self.deck + 0.5 * tip[1])

    @property
    def climbing(self) -> tuple[Point, float]:
        """Where the middle of the tracks stands, and how steep, as their front comes to the top of the ramps."""
        high = min(self.deck / self.track, 0.99) if self.track > self.ramp else self.deck / self.ramp
        angle = math.asin(high)
        half = self.track / 2
        return (self.end + half * math.cos(angle), self.deck - half * math.sin(angle)), angle

    @property
    def at_the_edge(self) -> float:
        """How steep it stands with the middle of its tracks over the end of the deck, its rear still down."""
        half = self.track / 2
        return math.asin(min(self.deck / max(half, self.ramp), 0.99))

    def trailer(self, view: View, *, ramps: bool, chocks: bool = False) -> None:
        """Draw road, the rear of the truck, the trailer and its ramps."""
        x0, low, x1, _ = view.world
        view.rect(x0, low, x1, 0, pen="none", fill="earth")
        view.line((x0, 0), (x1, 0), pen="bold")
        d, end = self.deck, self.end
        wheel = min(0.44 * d, 0.42)
        thick = min(0.3 * d, 0.3)
        # the truck's rear, cut off: its frame, two wheels, and the plate that the trailer's neck rests on
        view.body([(x0, 0.7), (0.7, 0.7), (0.7, 0.95), (x0, 0.95)], fill="dark", pen="thin")
        for x in (-1.35, 0.0):
            view.circle((x, 0.5), 0.5, fill="dark")
            view.circle((x, 0.5), 0.24, fill="paper", pen="thin")
        neck = self.neck
        view.body([(-0.7, neck - 0.25), (-0.7, neck), (1.3, neck), (NECK, max(d, 0.3)), (NECK, d - thick), (1.3, neck - 0.25)]
                  if neck > d + 0.05 else [(-0.7, d - thick), (-0.7, d), (NECK, d), (NECK, d - thick)], fill="paper")  # fmt: skip
        for k in (-1, 0, 1):
            x = self.base + k * 2.3 * wheel
            view.circle((x, wheel), wheel, fill="dark")
            view.circle((x, wheel), 0.5 * wheel, fill="paper", pen="thin")
        view.body([(NECK, d - thick), (NECK, d), (end, d), (end, d - thick)], fill="paper")
        if chocks:
            for side in (-1, 1):
                x = self.base + side * 2.3 * wheel + side * 1.15 * wheel
                view.bodies([[(x, 0), (x + side * 0.35, 0), (x, 0.3)]])
        if ramps:
            with view.part("ramp", grade=self.deck / (self.foot - end)):
                view.line((end, d), (self.foot, 0), pen="bold")
                view.polyline([(end, d - 0.5 * thick), (self.foot - 0.5 * thick * (self.foot - end) / d, 0)], pen="thin")
        else:
            view.body([(end - 0.12, d), (end - 0.12, d + 0.9 * self.ramp), (end, d + 0.9 * self.ramp), (end, d)], fill="paper", pen="thin")

    def chains(self, view: View, *, attachment: bool) -> None:
        """Draw the tie-downs seen from the side: one at each end of the machine, and of what can move."""
        half, up = 0.42 * self.track, 0.2 * self.track
        pull = max(0.9 * up, 0.5)
        ties = [((self.place + side * half, self.deck + up), (self.place + side * (half + pull), self.deck)) for side in (-1, 1)]
        if attachment:
            _, (x, y) = self.attachment
            ties.append(((x, y), (x - 0.6 * max(y - self.deck, 0.4), self.deck)))
        for a, b in ties:
            view.line(a, b, pen="bold")
            view.circle(b, view.metres(3.5), fill="dark")

    def world(self, *, road: bool) -> tuple[float, float, float, float]:
        """What the view shows; with the `road` behind the ramps, where the machine comes from."""
        right = self.foot + (self.track + max(self.tail - self.track / 2, 0.0) + 1.2 if road else 0.6)
        tall = max(self.tall, self.top or 0.0, 0.9 * self.ramp if not road else 0.0)
        if road and self.arm is not None:
            # as it hangs over the end of the deck, its boom stands highest
            pose, tilt = self.carried(), self.at_the_edge
            ahead = self.arm.foot[0] + 0.5 * (pose.elbow[0] - self.arm.foot[0])
            tall = max(tall, ahead * math.sin(tilt) + max(self._back(pose), pose.elbow[1]) * math.cos(tilt) + 0.1 * self.track)
        return -2.2, -0.06 * right, right, self.deck + 1.08 * tall + (0.0 if road else 0.6)


def loading_film(
    *,
    ident: str,
    deck_height: Measure,
    ramp_length: Measure,
    ramp_grade: Measure,
    trailer_base: Measure,
    machine_place: Measure,
    axle_load: Measure,
    tie_downs: Measure,
    track_length: Measure,
    loaded_height: Measure | None = None,
    travel_height: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw how a machine goes up the ramps of a trailer and is tied down, step by step, from the side.

    `ramp_grade` is that of ramps of `ramp_length` against a deck of `deck_height`; `machine_place` and
    `trailer_base` are counted from the hitch; metres. `axle_load` (kilograms) and `tie_downs` (a number)
    are printed. The machine is the dozer, excavator or compact excavator whose lengths are given; truck and
    trailer are sketches but for those heights and lengths. Raises `DrawingRefused` for a length of zero or less.
    """
    rig = _Rig.of(deck_height, ramp_length, trailer_base, machine_place, track_length, blade_height, stick_length, bucket_length, tail_radius,
                  travel_height)  # fmt: skip
    world = rig.world(road=True)
    up = 0.3 * (rig.blade or 0.0)
    middle, angle = rig.climbing
    rests = "the blade" if rig.arm is None else "boom and bucket" if rig.blade is None else "boom, bucket and blade"
    steps: list[tuple[str, Text, tuple[Measure, ...]]] = [
        ("ready", "Level, firm ground. Truck braked, wheels chocked, ramps clean. The machine stands straight before the ramps.", ()),
        ("climb", join("Straight up, slowly, no turning. The ramps lie at ", ramp_grade, ". The spotter stands off to the side. Nobody is behind."),
         (ramp_grade,)),
        ("edge", "At the top it hangs, then tips forward onto the deck. Stop just before that. Then creep.", ()),
        ("place", join("Its middle stands ", machine_place, " behind the hitch. The trailer's axles then carry ", axle_load, "."),
         (machine_place, axle_load)),
        ("down", f"Down with {rests}, onto wood or the deck. Park brake on, engine off, pressure off the levers. Doors and covers shut.", ()),
        ("tied", join("Tie-downs for the machine: ", tie_downs, ", from both ends, pulled against each other. And one more for each thing that can move."),
         (tie_downs,)),
    ]  # fmt: skip
    if loaded_height is not None and rig.top is not None:
        steps.append(
            (
                "tall",
                join("Measure the highest point: ", loaded_height, " over the road. Then walk round it all once more."),
                (loaded_height,),
            )
        )
    frames = []
    for name, says, told in steps:
        canvas = Canvas(ident, title="A machine goes onto a trailer", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 30, 6, 34), max_height=240)
        rig.trailer(view, ramps=name != "tall", chocks=name != "tall")
        rest = (rig.place, rig.deck)
        if name == "ready":
            rig.machine(view, (rig.foot + 0.7 + rig.track / 2, 0.0), pose=rig.carried() if rig.arm else None, blade_up=up)
        elif name == "climb":
            rig.machine(view, middle, angle, pose=rig.carried() if rig.arm else None, blade_up=up)
        elif name == "edge":
            rig.machine(view, (rig.end, rig.deck), rig.at_the_edge, pose=rig.carried() if rig.arm else None, blade_up=up)
        elif name == "place":
            rig.machine(view, rest, pose=rig.carried() if rig.arm else None, blade_up=up)
        else:
            rig.machine(view, rest)
        if name in ("climb", "edge"):
            # off to the side, in front of what climbs: as seen from here, before the trailer
            stands = (0.45 * rig.place, 0.0)
            person(view, stands, arms="point")
            view.label((stands[0], 1.8), "Spotter", prefer=("above", "left"), width=100)
        if name == "place":
            view.dimension((0, 0), (rig.place, 0), join("From the hitch ", machine_place), measure=machine_place, offset=-8, prefer="below")
        if name in ("tied", "tall"):
            rig.chains(view, attachment=True)
        if name == "tall" and loaded_height is not None:
            top = loaded_height.si
            view.line((world[0] + 0.4, top), (world[2] - 0.5, top), pen="dash")
            view.dimension(
                (world[2] - 1.0, 0), (world[2] - 1.0, top), loaded_height, measure=loaded_height, offset=-4, prefer="left", width=90
            )
        canvas.key_starts()
        canvas.note("Truck, trailer and tie points are a sketch. Heights, ramps and distances are this site's.")
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="A machine goes onto a trailer, step by step",
        desc=both(
            "From the side: a machine climbs ramps at ", ramp_grade, " onto a deck ", deck_height, " high, straight and slowly, and tips forward "
            "at the top. Its middle stands ", machine_place, " behind the hitch. It is let down and tied at both ends, and so is each thing "
            "that can move.",
        ),
        frames=frames,
    )  # fmt: skip


def loose_film(
    *,
    ident: str,
    deck_height: Measure,
    ramp_length: Measure,
    trailer_base: Measure,
    machine_place: Measure,
    track_length: Measure,
    counted: Measure | None = None,
    wanted: Measure | None = None,
    travel_height: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw the wrong way: two tie-downs, nothing on what can move, and what a hard stop does.

    `counted` is what two tie-downs count for and `wanted` what the rule asks of all (kilograms), untold where either is None;
    the others as of `loading_film`. How far the machine slides is a sketch.
    """
    rig = _Rig.of(deck_height, ramp_length, trailer_base, machine_place, track_length, blade_height, stick_length, bucket_length, tail_radius,
                  travel_height)  # fmt: skip
    world = rig.world(road=False)
    what = rig.attachment[0]
    slid = min(0.25 * rig.track, 0.5 * max(rig.attachment[1][0] - 0.3, 0.2))
    given = () if counted is None or wanted is None else (counted, wanted)
    count: tuple[Text, ...] = ()
    if counted is not None and wanted is not None:
        enough = () if counted.si < wanted.si else (" at least, on four corners",)
        count = ("They count for ", counted, ", and the rule asks for ", wanted, *enough, ". ")
    steps: tuple[tuple[str, Text, tuple[Measure, ...]], ...] = (
        ("two", join("Two tie-downs, both at the rear. ", *count, f"Nothing holds the {what}."), given),
        ("brake", "The truck brakes hard. Nothing holds the machine from the rear on: it slides at the truck's cab.", ()),
        ("swing", "In the bend the house can turn on its ring, and the boom that nobody tied swings out over the lane beside." if rig.arm
         else "The blade that nobody tied shakes and sinks. It can drag, or drop.", ()),
    )  # fmt: skip
    frames = []
    for name, says, told in steps:
        canvas = Canvas(ident, title="Two tie-downs", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 30, 6, 10), max_height=240, way="wrong")
        rig.trailer(view, ramps=False)
        by = 0.0 if name == "two" else -slid
        rig.machine(view, (rig.place + by, rig.deck))
        half, up = 0.42 * rig.track, 0.2 * rig.track
        a = (rig.place + by + half, rig.deck + up)
        if name == "two":
            view.line(a, (rig.place + half + 0.1, rig.deck), pen="bold")
            view.label(a, "Two, here", prefer=("above", "right"), width=120)
        else:
            view.polyline([a, (a[0] + 0.4, rig.deck + 0.5 * up), (rig.place + half + 0.1, rig.deck)], pen="line")
            tail = rig.place + by - rig.track / 2
            view.arrow((tail + 0.3 * rig.track, 0.98 * world[3]), (tail - 0.3 * rig.track, 0.98 * world[3]))
        if name == "swing":
            view.label(rig.attachment[1], f"Loose {what}", prefer=("above", "left"), width=150)
        canvas.key_starts()
        canvas.note("How far it slides is a sketch: nobody can say beforehand.", bold=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="The wrong way: two tie-downs and a loose attachment",
        desc=both(f"From the side: a machine on a trailer is held by two tie-downs at its rear, and its {what} by none. ",
                  *(("They count for ", given[0], ", and ", given[1], " are asked for. ") if given else ()),
                  "As the truck brakes hard the machine slides forward."),
        frames=frames,
    )  # fmt: skip


def tied(
    *,
    ident: str,
    deck_height: Measure,
    ramp_length: Measure,
    trailer_base: Measure,
    machine_place: Measure,
    tie_downs: Measure,
    track_length: Measure,
    machine_width: Measure,
    shoe_width: Measure,
    track_gauge: Measure,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    travel_height: Measure | None = None,
    loose: bool = False,
    spots: bool = False,
) -> Canvas:
    """Draw the tie-downs of a machine from above: so many as `tie_downs` says, and one for what can move.

    The others as of `loading_film`, metres. `loose` leaves the one for the attachment out, as a question may;
    `spots=True` has regions `front`, `rear`, `attachment` and `roof` to point at and names nothing.
    """
    rig = _Rig.of(deck_height, ramp_length, trailer_base, machine_place, track_length, blade_height, stick_length, bucket_length, tail_radius,
                  travel_height)  # fmt: skip
    positive(machine_width=machine_width, shoe_width=shoe_width, track_gauge=track_gauge, tie_downs=tie_downs)
    count = round(tie_downs.si)
    if not 4 <= count <= 60:
        raise DrawingRefused("a machine is drawn with 4 to 60 tie-downs")
    what = rig.attachment[0]
    canvas = Canvas(
        ident,
        title="A machine on a trailer, from above" if loose or spots else "A machine tied down at its corners, from above",
        desc="A machine on a trailer, from above, with its tie-downs." if loose or spots else both(
            "A machine on a trailer from above. ", tie_downs, f" tie-downs run from it to the trailer, and one more holds its {what}."),
    )  # fmt: skip
    wide = max(WIDE, machine_width.si, blade_width.si if blade_width else 0.0)
    half = 0.55 * wide
    left = -0.8 if rig.arm is None else min(-0.8, rig.place - rig.folded().pin[0] - 0.7 * rig.arm.bucket)
    view = canvas.view((left, -half, rig.end + 0.2, half), pad=(10, 34, 10, 34), max_height=250, seen="above", way="wrong" if loose else "")
    view.body([(-0.7, -WIDE / 2), (rig.end, -WIDE / 2), (rig.end, WIDE / 2), (-0.7, WIDE / 2)], fill="paper")
    view.strokes([[(x, -WIDE / 2), (x, WIDE / 2)] for x in (NECK, rig.base)])
    centre = (rig.place, 0.0)
    if rig.arm is None:
        dozer_plan(view, centre, track_length=rig.track, track_gauge=track_gauge.si, shoe_width=shoe_width.si,
                   blade_width=blade_width.si if blade_width else 1.2 * machine_width.si, blade_height=rig.blade or 0.0, way=math.pi)  # fmt: skip
        front = rig.place - rig.track / 2 - GAP * (rig.blade or 0.0)
    else:
        pin = rig.folded().pin[0]
        if rig.blade is not None:
            compact_plan(view, centre, length=rig.track, width=machine_width.si, shoe=shoe_width.si, angle=math.pi, look=math.pi, pin=pin,
                         tail=rig.tail, bucket_length=rig.arm.bucket, blade_width=blade_width.si if blade_width else machine_width.si,
                         sized=False)  # fmt: skip
        else:
            excavator_plan(view, centre, length=rig.track, width=machine_width.si, shoe=shoe_width.si, angle=math.pi, look=math.pi, pin=pin,
                           tail=rig.tail, bucket_length=rig.arm.bucket)  # fmt: skip
        front = rig.place - pin
    # half of them from each end, to both sides in turn
    side_x, out = 0.4 * rig.track, 0.47 * WIDE
    near = min(0.4 * machine_width.si, 0.8 * out)
    for k in range(count):
        end, side, row = (-1, 1)[k % 2], (-1, 1)[k // 2 % 2], k // 4
        a = (rig.place + end * side_x, side * near * (1 - 0.12 * row))
        b = (rig.place + end * (side_x + 0.55 * rig.track / 2 + 0.28 * row), side * out)
        view.line(a, b, pen="bold")
        view.circle(b, view.metres(3.5), fill="dark")
    if not loose:
        view.line((front, -0.2), (front - 0.5, -out), pen="bold")
        view.circle((front - 0.5, -out), view.metres(3.5), fill="dark")
    if spots:
        view.spot("attachment", f"the {what}", [(front, 0.0)])
        view.spot("front", "the front corner of the tracks", [(rig.place - side_x, near)])
        view.spot("rear", "the rear corner of the tracks", [(rig.place + side_x, -near)])
        view.spot("hitch", "the hitch of the trailer", [(0.0, 0.0)])
        return canvas
    if not loose:
        view.label((rig.place + side_x + 0.5, out), join(tie_downs, " on the machine"), prefer=("above", "right"), width=220)
        view.label((front - 0.5, -out), f"One on the {what}", prefer=("below",), width=200)
        canvas.note("The truck is at the left. Tie at the points the maker marks, pulling against each other from both ends.")
        if wide > WIDE:
            canvas.note("It stands out over the deck. So wide it goes on a public road only with a permit.", bold=True)
    return canvas
