"""Haul roads: a truck that sees a danger and stops, on four roads, behind another, and the road cut across."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import truck_end, truck_side
from generator.drawing.machines.truck import Build
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.view import View

_SIDES = 0.5
"""Height of a body's sides, in lengths of the body, where no table tells it."""


@dataclass(frozen=True)
class Truck:
    """A haul truck from the side, in metres: what is drawn of it is a sketch around its body."""

    body: float
    high: float
    axle: float
    build: Build

    @classmethod
    def of(cls, body_length: Measure, body_height: Measure | None, axle_height: Measure | None, build: str | None) -> Truck:
        """Read the columns; `build` is `rigid`, `articulated` or nothing. Raises `DrawingRefused`."""
        positive(body_length=body_length)
        if build not in (None, "rigid", "articulated"):
            raise DrawingRefused(f"a truck is rigid or articulated, not {build!r}")
        high = body_height.si if body_height else _SIDES * body_length.si
        axle = min(axle_height.si if axle_height else 0.29 * high, 0.36 * high)
        return cls(body_length.si, high, axle, "articulated" if build == "articulated" else "rigid")

    @property
    def nose(self) -> float:
        """How far its front is from the middle of its body."""
        return (1.34 if self.build == "articulated" else 1.02) * self.body

    @property
    def tail(self) -> float:
        """How far its tail is from there."""
        return (0.58 if self.build == "articulated" else 0.6) * self.body

    @property
    def long(self) -> float:
        return self.nose + self.tail

    @property
    def wheels(self) -> float:
        """How far the back of its rear wheels is from the middle of its body."""
        return (0.36 if self.build == "articulated" else 0.24) * self.body + self.axle

    @property
    def top(self) -> float:
        return (1.12 if self.build == "articulated" else 1.1) * self.high

    def draw(self, view: View, front: Point, *, angle: float = 0.0, load: bool = True, facing: int = 1, body_angle: float = 0.0) -> None:
        """Draw it with its front at a point of the road, which rises ahead of it by `angle` (radians)."""
        back = self.nose
        at = (front[0] - facing * back * math.cos(angle), front[1] - back * math.sin(angle))
        truck_side(view, *at, body_length=self.body, body_height=self.high, axle_height=self.axle, build=self.build, facing=facing,
                   load=load, angle=angle, body_angle=body_angle)  # fmt: skip


def rolling_stop_film(
    *,
    ident: str,
    times: Sequence[Measure],
    speeds: Sequence[Measure],
    gone: Sequence[Measure],
    rolled: Measure,
    braked: Measure,
    stopped: Measure,
    body_length: Measure,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    build: str | None = None,
    plain: bool = False,
) -> Film:
    """Draw a truck on a level road that sees a danger, rolls on, brakes and stands.

    - `times` (s), `speeds` (m/s), `gone` (m): of each moment, from seeing the danger until it stands.
    - `rolled`, `braked`, `stopped`: the parts and the whole of the distance, metres.
    - the rest: the truck's columns; sketches where not given.
    - `plain` leaves out where the brakes bite and how far it goes, for a question that asks it.

    Raises `DrawingRefused` where the moments do not fit each other.
    """
    positive(rolled=rolled, braked=braked, stopped=stopped)
    if not len(times) == len(speeds) == len(gone) > 2:
        raise DrawingRefused("a stop needs a time, a speed and a distance for each moment, and three moments at least")
    truck = Truck.of(body_length, body_height, axle_height, build)
    far = stopped.si
    room = 0.5 * truck.body  # left free before the danger
    right = far + room + 0.6 * truck.body
    frames = []
    for k, (time, speed, at) in enumerate(zip(times, speeds, gone, strict=True)):
        bites = at.si >= rolled.si * (1 - 1e-9)
        stands = k == len(gone) - 1
        canvas = Canvas(ident, title="A truck stops", desc="One step of it, from the side.", steady=True)
        view = canvas.view((-truck.long, -0.04 * right, right, 1.25 * truck.top), pad=(6, 30, 10, 72), max_height=200)
        view.rect(-truck.long, -0.04 * right, right, 0, pen="none", fill="earth")
        view.line((-truck.long, 0), (right, 0), pen="bold")
        with view.part("stone"):
            lump = 0.28 * truck.body
            at_x = far + room
            view.body(
                [
                    (at_x, 0),
                    (at_x + 0.2 * lump, 0.8 * lump),
                    (at_x + 1.1 * lump, lump),
                    (at_x + 1.7 * lump, 0.5 * lump),
                    (at_x + 1.8 * lump, 0),
                ],
                fill="dark",
            )
        truck.draw(view, (at.si, 0.0))
        view.label((at.si - 0.5 * truck.long, truck.top), "Stands" if stands else speed, prefer=("above",), leader=False, bold=True)
        if bites and not plain:
            view.dimension((0, 0), (rolled.si, 0), join("Rolls ", rolled), measure=rolled, offset=-14, prefer="below", width=150)
        if stands and not plain:
            view.dimension((rolled.si, 0), (far, 0), join("Brakes ", braked), measure=braked, offset=-14, prefer="below", width=140)
            view.dimension((0, 0), (far, 0), join("Stops in ", stopped), measure=stopped, offset=-44, prefer="below", width=230)
        says: Text
        told: tuple[Measure, ...]
        if k == 0:
            says, told = join("The driver sees a stone on the road. The truck goes ", speed, "."), (speed,)
        elif not bites:
            says, told = join("After ", time, " it is still as fast, and ", at, " on. The driver is just pressing the brake."), (time, at)
        elif k == 2:
            says, told = join("After ", time, " the brakes bite. It has rolled ", rolled, " and is still as fast."), (time, rolled)
        elif not stands:
            says, told = join("Braking. ", speed, " left, ", at, " gone."), (speed, at)
        else:
            says, told = join("It stands: ", stopped, " from where its driver saw the stone."), (stopped, rolled, braked)
        frames.append(Frame(canvas, says, (*told, *(() if stands else (speed,)), *((rolled,) if bites else ()))))
    return Film(
        ident,
        title="A truck sees a danger, rolls on, brakes and stands",
        desc=both("A loaded truck rolls ", rolled, " before its brakes bite, and brakes for ", braked, ". It stands after ", stopped, "."),
        frames=frames,
    )


def roads_film(
    *,
    ident: str,
    level: Measure,
    downhill: Measure,
    level_wet: Measure,
    downhill_wet: Measure,
    rolled: Measure,
    grade: Measure,
    speed: Measure,
    body_length: Measure,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    build: str | None = None,
) -> Film:
    """Draw the same truck at the same speed on four roads, one below the other, each stopped where it stands.

    - `level`, `downhill`, `level_wet`, `downhill_wet`: stopping distances along the road, metres.
    - `rolled`: metres of them before the brakes bite, the same on all.
    - `grade`: rise over run of the road down which it goes; `speed` in m/s is printed.
    - the rest: the truck's columns; sketches where not given.

    Raises `DrawingRefused` where a stop is shorter than the rolling before it.
    """
    positive(level=level, downhill=downhill, level_wet=level_wet, downhill_wet=downhill_wet, rolled=rolled, grade=grade)
    truck = Truck.of(body_length, body_height, axle_height, build)
    roads: tuple[tuple[str, Measure, float], ...] = (
        ("Level, dry", level, 0.0), ("Downhill, dry", downhill, grade.si), ("Level, wet", level_wet, 0.0),
        ("Downhill, wet", downhill_wet, grade.si),
    )  # fmt: skip
    if min(stop.si for _, stop, _ in roads) < rolled.si:
        raise DrawingRefused("a truck does not stop before its brakes bite")
    right = 1.02 * max(stop.si for _, stop, _ in roads)
    left = -1.05 * truck.long
    per = right - left  # all there is across, to judge heights by
    high = 1.08 * truck.top + 0.012 * per
    bases: list[float] = []
    low = 0.0
    for _, _, slope in roads:
        top_of_road = slope * -left  # a road that falls stands higher behind the truck
        low -= high + top_of_road
        bases.append(low)
        low -= slope * right + 0.105 * per  # room for the dimension
    says: list[tuple[Text, tuple[Measure, ...]]] = [
        (join("One truck, one speed, ", speed, ". In each row its driver sees a danger at the left end."), (speed,)),
        (join("Level and dry: it stands after ", level, ". The upright mark shows where the brakes bite."), (level,)),
        (join("Down a grade of ", grade, ", dry: ", downhill, "."), (grade, downhill)),
        (join("Level and wet: ", level_wet, ". Wheels that slide do not brake more."), (level_wet,)),
        (join("Downhill and wet: ", downhill_wet, ". Slow down before the grade, not on it."), (downhill_wet,)),
    ]
    frames = []
    for k, (sentence, told) in enumerate(says):
        canvas = Canvas(ident, title="One truck on four roads", desc="One step of it, from the side.", steady=True)
        view = canvas.view((left, low, right, 0.0), pad=(6, 4, 10, 6), max_height=520)
        for row, ((name, stop, slope), base) in enumerate(zip(roads, bases, strict=True), 1):
            done = row <= k
            angle = math.atan(slope)
            cos, sin = math.cos(angle), math.sin(angle)

            def along(s: float, base: float = base, cos: float = cos, sin: float = sin) -> Point:
                return (s * cos, base - s * sin)

            ends = [along(left), along(right)]
            if slope:
                with view.part("ramp", grade=slope):
                    view.polyline(ends, pen="bold")
            else:
                view.line(*ends, pen="bold")
            view.polygon([*ends, (ends[1][0], ends[1][1] - 0.012 * per), (ends[0][0], ends[0][1] - 0.012 * per)], pen="none", fill="earth")
            truck.draw(view, along(stop.si if done else 0.0), angle=-angle)
            if done:
                bite = along(rolled.si)
                view.line(bite, (bite[0], bite[1] + max(truck.top, view.metres(14))), pen="bold")
                view.dimension(along(0.0), along(stop.si), join(name + ": ", stop), measure=stop, offset=-13, prefer="below", width=300)
            else:
                view.label(along(0.3 * right), name, prefer=("above",), leader=False)
        frames.append(Frame(canvas, sentence, (*told, *(stop for _, stop, _ in roads[:k]))))
    return Film(
        ident,
        title="The same truck at the same speed on four roads",
        desc=both("At ", speed, " a loaded truck stands after ", level, " on a level dry road, ", downhill, " down a grade of ", grade, ", ",
                  level_wet, " on a level wet road and ", downhill_wet, " down the grade when it is wet."),
        frames=frames,
    )  # fmt: skip


def follow_film(
    *,
    ident: str,
    times: Sequence[Measure],
    gone: Sequence[Measure],
    gap: Measure,
    stopped: Measure,
    body_length: Measure,
    room: Measure | None = None,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    build: str | None = None,
    plain: bool = False,
) -> Film:
    """Draw a truck behind another one that stands at once, as when it hits something.

    - `times` (s) and `gone` (m) of the truck behind, from seeing the other one stand until it stands itself.
    - `gap`: metres between the two when that happens; `stopped`: metres the one behind needs.
    - `room`: metres between them in the picture beside it, so that both are drawn to one scale.
    - the rest: the truck's columns; sketches where not given.

    - `plain` leaves out where the one behind would stand.

    Where the gap is less than that, the picture shows the wrong way and ends where the two meet.
    """
    positive(gap=gap, stopped=stopped)
    if not len(times) == len(gone) > 2:
        raise DrawingRefused("a stop needs a time and a distance for each moment, and three moments at least")
    truck = Truck.of(body_length, body_height, axle_height, build)
    hits = gap.si < stopped.si * (1 - 1e-9)
    right = max(gap.si + truck.long, stopped.si, room.si + truck.long if room else 0.0) + 0.05 * truck.long
    moments = [(t, g) for t, g in zip(times, gone, strict=True) if not hits or g.si < gap.si * (1 - 1e-9)]
    steps: list[tuple[Text, tuple[Measure, ...], float]] = []
    for k, (time, at) in enumerate(moments):
        if k == 0:
            steps.append((join("The truck behind keeps ", gap, ". The one in front hits a bank and stands at once."), (gap,), 0.0))
            if hits and gap.si < gone[2].si:
                steps.append(("The driver behind has seen it, and the brakes have not even begun to bite.", (), 0.55 * gap.si))
        elif not hits and k == len(moments) - 1:
            steps.append((join("It stands after ", stopped, ". The gap was enough."), (stopped,), at.si))
        elif k % 2 == 0 or hits:
            steps.append((join("After ", time, " it has come ", at, "."), (time, at), at.si))
    if hits:
        steps.append((join("It needs ", stopped, " and has ", gap, ". It runs into the truck in front."), (stopped, gap), gap.si))
    frames = []
    for k, (says, told, at_x) in enumerate(steps):
        canvas = Canvas(ident, title="One truck behind another", desc="One step of it, from the side.", steady=True)
        view = canvas.view((-1.02 * truck.long, -0.05 * right, right, 1.3 * truck.top), pad=(6, 30, 8, 50), max_height=200,
                           way="wrong" if hits else "right")  # fmt: skip
        view.rect(-1.02 * truck.long, -0.05 * right, right, 0, pen="none", fill="earth")
        view.line((-1.02 * truck.long, 0), (right, 0), pen="bold")
        truck.draw(view, (gap.si + truck.long, 0.0))
        truck.draw(view, (at_x, 0.0))
        if hits and not plain:
            mark = max(truck.top, view.metres(16))
            view.line((stopped.si, 0), (stopped.si, mark), pen="bold")
            view.label((stopped.si, mark), "Would stop here", prefer=("above", "left"), width=130)
        if hits and k == len(steps) - 1:
            for turn in (-0.9, 0.0, 0.9):
                view.line(
                    (at_x, 0.7 * truck.top),
                    (at_x + 0.3 * truck.body * math.sin(turn), 0.7 * truck.top + 0.35 * truck.body * math.cos(turn)),
                    pen="bold",
                )
        else:
            view.dimension((0, 0), (gap.si, 0), gap, offset=-14, prefer="below", width=150)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="Too close behind another truck" if hits else "Far enough behind another truck",
        desc=both("A truck follows ", gap, " behind another, which stands at once. The one behind needs ", stopped, " to stop. ",
                  "It runs into the truck in front." if hits else "It stops short of it."),
        frames=frames,
    )  # fmt: skip


def road_section(
    *,
    ident: str,
    road_width: Measure,
    truck_width: Measure,
    lanes: Measure,
    berm_height: Measure,
    berm_ratio: float,
    body_height: Measure | None = None,
    edge_distance: Measure | None = None,
    build: str | None = None,
    plain: bool = False,
    widest: bool = False,
) -> Canvas:
    """Draw a haul road cut across: a bank on the left, a drop with its berm on the right.

    The truck next to the drop is seen from behind; of two, the other one comes toward the reader.

    - `road_width`, `truck_width`, `berm_height`: metres; `lanes`: how many trucks stand beside each other.
    - `berm_ratio`: run of a side of the berm for one of rise.
    - `body_height`: to the top of a body's sides, a sketch if not given; `edge_distance`: how far trucks keep from an edge.
    - `plain` leaves out the texts that tell what is right.
    - `widest`: the width is that of the site's widest truck, which need not be the page's own.

    Raises `DrawingRefused` where the trucks do not fit the road.
    """
    positive(road_width=road_width, truck_width=truck_width, lanes=lanes, berm_height=berm_height)
    count, w, high = round(lanes.si), truck_width.si, berm_height.si
    if count * w > road_width.si:
        raise DrawingRefused(f"{count} trucks of {truck_width.us} do not stand on a road of {road_width.us}")
    tall = body_height.si if body_height else 0.9 * w
    free = (road_width.si - count * w) / (count + 1)
    base = 2 * berm_ratio * high
    # the berm stands outside the road, and on ground that reaches as far beyond it as trucks keep from an edge
    crest = road_width.si + base + max((edge_distance.si if edge_distance else 0.0) - base - free, 0.0) + 0.15 * w
    deep = 0.7 * tall
    world = (-0.7 * w, -1.12 * deep, crest + 0.75 * w, 1.32 * tall)
    canvas = Canvas(
        ident,
        title="A haul road, cut across",
        desc=both("A haul road cut across. Trucks ", truck_width, " wide ", "meet" if count == 2 else "drive", " on a road ", road_width,
                  " wide. Along the drop stands a berm ", berm_height, " high."),
    )  # fmt: skip
    view = canvas.view(world, pad=(8, 32, 44, 44), seen="end", max_height=280)
    ground = [(world[0], 0.9 * tall), (-0.15 * w, 0.0), (crest, 0.0), (crest + 0.45 * w, -deep), (world[2], -deep)]
    view.polygon([*ground, (world[2], world[1]), (world[0], world[1])], pen="none", fill="earth")
    view.polyline(ground, pen="bold")
    with view.part("crest"):
        view.line((crest, 0.0), (crest + 0.01 * w, -0.02 * deep), pen="bold")
    edge = road_width.si
    with view.part("berm", grade=1 / berm_ratio):
        view.polyline([(edge, 0.0), (edge + base / 2, high)], pen="bold")
        view.body([(edge, 0.0), (edge + base / 2, high), (edge + base, 0.0)], fill="spoil")
    for k in range(count):
        x = free + k * (w + free) + w / 2
        with view.part("truck", sized="no") if widest else view.part("truck"):
            if count == 2 and not k:
                _truck_front(view, x, w, tall, build)
            else:
                truck_end(view, x, 0.0, w, tall, build="articulated" if build == "articulated" else "rigid", load=True)
    view.dimension(
        (0, 0), (road_width.si, 0), join("" if plain else "Road ", road_width), measure=road_width, offset=-14, prefer="below", width=240
    )
    view.dimension((free, 1.22 * tall), (free + w, 1.22 * tall), truck_width, offset=8, prefer="above", width=120)
    view.dimension((edge + base / 2, 0.0), (edge + base / 2, high), berm_height, measure=berm_height, offset=-(base / 2 * view.per_metre + 8), prefer="right",
                   width=90)  # fmt: skip
    if not plain:
        view.label((edge + base / 2, high), "Berm", prefer=("above", "right"), leader=False)
        if count == 2:
            canvas.note("The left truck comes toward you.")
    return canvas


def _truck_front(view: View, x: float, w: float, tall: float, build: str | None) -> None:
    """Draw a loaded truck that comes toward the reader, its wheels on the ground around `x`; no wider than `w`."""

    def box(a: float, low: float, b: float, high: float) -> list[Point]:
        return [(x + a * w, low * tall), (x + b * w, low * tall), (x + b * w, high * tall), (x + a * w, high * tall)]

    view.body([(x + u * w, v * tall) for u, v in ((-0.5, 0.95), (-0.3, 0.42), (0.3, 0.42), (0.5, 0.95))], fill="paper")
    view.body([(x + u * w, v * tall) for u, v in ((-0.46, 0.95), (-0.23, 1.16), (0.0, 1.22), (0.23, 1.16), (0.46, 0.95))], fill="spoil")
    view.bodies([box(side * 0.49, 0.0, side * 0.25, 0.5) for side in (-1, 1)])
    view.body(box(-0.3, 0.2, 0.3, 0.7), fill="paper")
    cab = (-0.24, 0.24) if build == "articulated" else (-0.1, 0.34)  # its driver sits on the left, on the right of the picture
    view.body(box(cab[0], 0.7, cab[1], 1.08), fill="paper")
    view.polygon(box(cab[0] + 0.05, 0.76, cab[1] - 0.05, 1.0), pen="thin", fill="shade")
    for side in (-1, 1):
        view.circle((x + side * 0.22 * w, 0.3 * tall), 0.04 * w, fill="paper", pen="line")
