"""At the tip: backing to the berm, dumping short, an edge that gives way, a raised body and a wire."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, Frame
from generator.drawing.machines import person, truck_plan, truck_plan_reach
from generator.drawing.machines.outline import turned
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes.hauling import Truck
from generator.drawing.view import View

_UP = math.radians(52)
"""How far a body is raised where no table tells its height."""
_MOST = math.radians(80)


def _peak(truck: Truck, angle: float) -> Point:
    """The highest point of a body turned up so far: how far before the middle of the body, and how high."""
    bent = truck.build == "articulated"
    hinge = (-0.36, 0.47) if bent else (-0.3, 0.46)
    tips = ((0.54, 1.06), (0.46, 1.0)) if bent else ((1.02, 1.1), (0.54, 1.0))
    pivot = (hinge[0] * truck.body, hinge[1] * truck.high)
    return max(turned([(u * truck.body, v * truck.high) for u, v in tips], angle, pivot), key=lambda p: p[1])


def raised(truck: Truck, body_up_height: Measure | None) -> float:
    """How far the body of a truck is turned up (radians) so that its highest point stands at that height.

    Raises `LeftOut` where a body of that length does not get there.
    """
    if body_up_height is None:
        return _UP

    def top(angle: float) -> float:
        return _peak(truck, angle)[1]

    low, high = math.radians(15), _MOST
    if not top(low) * 0.999 <= body_up_height.si <= top(high) * 1.001:
        raise LeftOut(
            f"a body as long as this one does not reach {body_up_height.us}",
            instead="The picture is left out here: the height of this truck with its body up does not fit the length of its body.",
        )
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if top(middle) < body_up_height.si else (low, middle)
    return low


@dataclass(frozen=True)
class _Edge:
    """An edge at x = 0 that falls off to the right, its berm on it, and a truck that faces left; metres."""

    truck: Truck
    berm: float
    base: float
    stand: float
    keep: float
    up: float

    @property
    def deep(self) -> float:
        return 0.9 * self.truck.high

    @property
    def middle(self) -> float:
        """Where the middle of the body stands to tip: wheels and tail both keep their distance."""
        return -max(self.stand + self.truck.wheels, self.keep + self.truck.tail + 0.06 * self.truck.body) - 0.01 * self.truck.body

    def ground(self, view: View, *, berm: bool = True, gone: Sequence[Point] = ()) -> None:
        """Draw the ground with its berm; `gone` is the line of what broke off, from the top down."""
        left, low, right, _ = view.world
        f = self.deep
        line: list[Point] = [(left, 0.0), *(gone or [(0.0, 0.0)]), (0.7 * f, -f), (right, -f)]
        view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
        view.polyline(line, pen="bold")
        if gone:
            return
        with view.part("crest"):
            view.line((0.0, 0.0), (0.01 * f, -0.02 * f), pen="bold")
        if berm:
            with view.part("berm"):
                view.body([(-self.base, 0.0), (-self.base / 2, self.berm), (0.0, 0.0)], fill="spoil")

    def draw(self, view: View, middle: float, *, body_angle: float = 0.0, load: bool = False, angle: float = 0.0, low: float = 0.0) -> None:
        """Draw the truck, the middle of its body at `middle`, facing left."""
        front = (middle - self.truck.nose * math.cos(angle), low + self.truck.nose * math.sin(angle))
        self.truck.draw(view, front, facing=-1, load=load, body_angle=body_angle, angle=angle)


def _edge(
    berm_height: Measure, berm_base: Measure, stand: Measure, edge_distance: Measure | None, body_length: Measure,
    body_height: Measure | None, axle_height: Measure | None, body_up_height: Measure | None, build: str | None,
) -> _Edge:  # fmt: skip
    positive(berm_height=berm_height, berm_base=berm_base, stand=stand)
    if stand.si < berm_base.si * (1 - 1e-9):
        raise DrawingRefused("the wheels stand off the berm, so never nearer the edge than it is wide")
    truck = Truck.of(body_length, body_height, axle_height, build)
    return _Edge(
        truck, berm_height.si, berm_base.si, stand.si, edge_distance.si if edge_distance else stand.si, raised(truck, body_up_height)
    )


def tip_film(
    *,
    ident: str,
    berm_height: Measure,
    berm_base: Measure,
    stand: Measure,
    body_length: Measure,
    edge_distance: Measure | None = None,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    body_up_height: Measure | None = None,
    build: str | None = None,
) -> Film:
    """Draw a truck that tips at an edge with a berm, from the first look to driving off. All in metres.

    - `berm_height`, `berm_base`: of the berm on the edge; `stand`: how far the rear wheels keep from the edge.
    - `edge_distance`: the least distance of anything from an edge.
    - the rest: the truck's columns; sketches where not given.

    Raises `DrawingRefused` where the wheels would stand on the berm.
    """
    e = _edge(berm_height, berm_base, stand, edge_distance, body_length, body_height, axle_height, body_up_height, build)
    t, at = e.truck, e.middle
    far = at - 0.9 * t.body
    world = (far - t.nose - 0.1 * t.body, -1.12 * e.deep, 0.9 * e.deep + 0.25 * t.body, _top(e))
    steps: tuple[tuple[Text, tuple[Measure, ...], float, float, str], ...] = (
        ("Stop short. Look at ground, edge, berm and sky. A crack, a soft spot, a berm too low? Then not here.", (), far, 0.0, "full"),
        (
            "Back up dead slow and square. The spotter (not drawn) is clear to the side, in your mirror.",
            (),
            (far + at) / 2,
            0.0,
            "full",
        ),
        (join("Stop by the brake, ", stand, " from the edge or more. The wheels never touch the berm."), (stand,), at, 0.0, "full"),
        ("Neutral, brake on. Look up once more. Then raise the body.", (), at, 0.45 * e.up, "full"),
        ("The load runs out. Does it stick on one side? Body down at once.", (), at, e.up, "out"),
        ("Body all the way down, before the truck moves at all.", (), at, 0.0, "out"),
        ("Now drive off. A dozer pushes over what still lies there.", (), far, 0.0, "out"),
    )
    frames = []
    for says, told, x, angle, load in steps:
        canvas = Canvas(ident, title="Tipping at an edge", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 8, 10, 46), max_height=300)
        e.ground(view)
        if load == "out":
            _run_out(view, e)
        e.draw(view, x, body_angle=angle, load=load == "full" and not angle)
        if told:
            view.dimension((-stand.si, 0), (0, 0), stand, measure=stand, offset=-14, prefer="below", width=110)
        view.label((-e.base / 2, e.berm), "Berm", prefer=("above", "right"), width=70) if load == "full" else None
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="Tipping at an edge, step by step",
        desc=both("A truck stops short and looks, backs up square to the edge and stops ", stand,
                  " from it, off the berm. Its body goes up, the load runs out, and the body comes down before it drives off."),
        frames=frames,
    )  # fmt: skip


def _top(e: _Edge) -> float:
    """How high a view must reach for a raised body."""
    return 1.04 * max(e.truck.top, *(_peak(e.truck, share * e.up)[1] for share in (0.5, 0.75, 1.0)))


def _run_out(view: View, e: _Edge) -> None:
    """Draw the load where it came to rest: over the berm and down the face."""
    f, b = e.deep, e.base
    with view.part("spoil"):
        view.body([(-b, 0.0), (-0.62 * b, 1.25 * e.berm), (-0.3 * b, 1.3 * e.berm), (0.12 * f, 0.02 * f), (0.6 * f, -0.62 * f),
                   (0.66 * f, -0.94 * f), (0.0, 0.0)], fill="spoil")  # fmt: skip


def short_film(
    *,
    ident: str,
    short: Measure,
    berm_height: Measure,
    berm_base: Measure,
    stand: Measure,
    body_length: Measure,
    edge_distance: Measure | None = None,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    body_up_height: Measure | None = None,
    build: str | None = None,
) -> Film:
    """Draw a load that is dumped short of a cracked edge, so far back that the truck stays off bad ground.

    `short`: metres from the crack to the heap; the rest as of `tip_film`.
    """
    e = _edge(berm_height, berm_base, stand, edge_distance, body_length, body_height, axle_height, body_up_height, build)
    world, heap = _short_world(e, short)
    at = heap[0][0] - e.truck.tail + 0.12 * e.truck.body
    away = at - 0.35 * e.truck.body
    steps: tuple[tuple[Text, tuple[Measure, ...], float, float, str], ...] = (
        ("A crack, behind the berm. This edge carries no truck.", (), at, 0.0, "full"),
        (join("The driver tells the others, and dumps short: ", short, " from the crack."), (short,), at, e.up, "out"),
        ("Body down first, then off. A dozer pushes the heap over, blade ahead, once the ground was looked at.", (), away, 0.0, "out"),
    )
    frames = []
    for says, told, x, angle, load in steps:
        canvas = Canvas(ident, title="Dumping short of a bad edge", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 8, 10, 46), max_height=260, way="right")
        e.ground(view)
        view.polyline(_crack(e), pen="bold")
        if load == "out":
            with view.part("spoil"):
                view.body(heap, fill="spoil")
        e.draw(view, x, body_angle=angle, load=load == "full")
        crack = _crack(e)[0][0]
        view.label((crack, 0.0), "Crack", prefer=("above", "right"), width=80)
        if told:
            view.dimension((crack - short.si, 0), (crack, 0), short, measure=short, offset=-14, prefer="below", width=130)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="Dumping short of an edge with a crack",
        desc=both("There is a crack behind the berm. The truck dumps ", short, " back from the crack and drives off with its body down."),
        frames=frames,
    )


def _short_world(e: _Edge, short: Measure) -> tuple[tuple[float, float, float, float], list[Point]]:
    tall = 0.42 * e.truck.high
    foot = _crack(e)[0][0] - short.si  # counted from the crack: the ground beyond it may go
    heap: list[Point] = [(foot - 3.2 * tall, 0.0), (foot - 1.9 * tall, tall), (foot - 1.4 * tall, tall), (foot, 0.0)]
    left = heap[0][0] - e.truck.long - 0.4 * e.truck.body
    return (left, -1.12 * e.deep, 0.9 * e.deep + 0.2 * e.truck.body, _top(e)), heap


def _crack(e: _Edge) -> list[Point]:
    """A crack behind the berm, ragged, from the ground down."""
    x, f = -1.25 * e.base - 0.12 * e.truck.body, e.deep
    return [(x, 0.0), (x + 0.06 * f, -0.14 * f), (x + 0.03 * f, -0.26 * f), (x + 0.14 * f, -0.42 * f)]


def giving_way_film(
    *,
    ident: str,
    berm_height: Measure,
    berm_base: Measure,
    stand: Measure,
    short: Measure,
    body_length: Measure,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    build: str | None = None,
) -> Film:
    """Draw the wrong way: a truck that backs over a crack until its wheels lean on the berm, and the edge gives way.

    As of `short_film`, whose picture is drawn to the same scale. How the ground breaks is a sketch.
    """
    e = _edge(berm_height, berm_base, stand, None, body_length, body_height, axle_height, None, build)
    world, _ = _short_world(e, short)
    crack, f = _crack(e), e.deep
    on = -0.72 * e.base - e.truck.wheels  # where the wheels lean on the berm
    steps: tuple[tuple[Text, float, str], ...] = (
        ("There is a crack behind the berm. The driver did not look, and backs toward it.", on - 0.9 * e.truck.body, ""),
        ("The driver backs till the wheels lean on the berm. It looks as if it held.", on, ""),
        ("The edge breaks along the crack. Berm, ground and truck go over. When and how, nobody can say: this is a sketch.", on, "broken"),
    )
    frames = []
    for says, x, ground in steps:
        canvas = Canvas(ident, title="An edge that gives way", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 8, 10, 46), max_height=260, way="wrong")
        if ground:
            e.ground(view, gone=[crack[0], crack[-1]])
            e.draw(view, x + 0.28 * e.truck.body, load=True, angle=0.42, low=-0.25 * f)
            view.body([(0.1 * f, -0.55 * f), (0.55 * f, -0.5 * f), (0.9 * f, -0.82 * f), (1.0 * f, -f), (0.5 * f, -f)], fill="spoil")
        else:
            e.ground(view)
            view.polyline(crack, pen="bold")
            e.draw(view, x, load=True)
            view.label(crack[0], "Crack", prefer=("above", "below"), width=80)
        frames.append(Frame(canvas, says, ()))
    return Film(
        ident,
        title="An edge gives way under a truck",
        desc="The wrong way. A loaded truck backs over a crack until its wheels lean on the berm. The ground breaks off along the crack, "
        "and the truck goes over with it.",
        frames=frames,
    )


def wire_film(
    *,
    ident: str,
    body_up_height: Measure,
    body_length: Measure,
    clearance: Measure | None = None,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    build: str | None = None,
    down: bool = False,
) -> Film:
    """Draw a truck that drives off after tipping, with a low wire ahead: body up, or body `down` first.

    - `body_up_height`: metres, highest point with the body up; the wire hangs as high.
    - `clearance`: metres that must stay free around a wire.
    - the rest: the truck's columns; sketches where not given.

    Without `down` it is the wrong way. Raises `LeftOut` where the body does not reach that high.
    """
    positive(body_up_height=body_up_height)
    truck = Truck.of(body_length, body_height, axle_height, build)
    up = raised(truck, body_up_height)
    keep = clearance.si if clearance else 1.2 * body_up_height.si
    start = 0.0  # the middle of the body where it tips
    stop = -0.3 * truck.body
    # a body that is down comes no nearer than what must stay free; one that is up runs into it
    wire = stop - truck.nose - 1.03 * keep
    peak = _peak(truck, up)[0]
    reach = wire + peak  # where the middle stands when the highest part is at the wire
    world = (
        min(wire, reach - truck.nose) - 0.3 * truck.body,
        -0.06 * body_up_height.si,
        truck.tail + 1.1 * truck.body,
        1.12 * body_up_height.si,
    )
    wrong: tuple[tuple[Text, tuple[Measure, ...], float, float, bool], ...] = (
        ("The load is out. The driver hurries and does not wait for the body.", (), start, up, False),
        (
            join("The truck drives off with its body up, ", body_up_height, " high. Nobody in the cab sees its top."),
            (body_up_height,),
            (start + reach) / 2,
            up,
            False,
        ),
        ("The body meets the wire. Truck and ground are live. Who steps down now can die.", (), reach, up, True),
    )
    right: tuple[tuple[Text, tuple[Measure, ...], float, float, bool], ...] = (
        (join("The load is out. With the body up the truck is ", body_up_height, " high. It stays where it is."), (body_up_height,), start, up, False),
        ("Body down. Look back at it, and at its light in the cab.", (), start, 0.0, False),
        (
            join("Then drive. Before a wire stop, ", clearance, " off or more, and go only where the site's plan leads you across.")
            if clearance
            else "Then drive. Before a wire stop, and go only where the site's plan leads you across.",
            (clearance,) if clearance else (), stop, 0.0, False,
        ),
    )  # fmt: skip
    frames = []
    for says, told, x, angle, live in right if down else wrong:
        canvas = Canvas(ident, title="Driving off after tipping", desc="One step of it, from the side.", steady=True)
        view = canvas.view(world, pad=(6, 6, 10, 30), max_height=260, way="right" if down else "wrong")
        left, low, far, _ = view.world
        if live:
            view.rect(left, low, far, 0, pen="none", fill="cross")
        view.line((left, 0), (far, 0), pen="bold")
        with view.part("spoil"):
            tail = start + truck.tail
            view.body([(tail - 0.05 * truck.body, 0), (tail + 0.3 * truck.body, 0.55 * truck.high), (tail + 0.5 * truck.body, 0.6 * truck.high), (tail + truck.body, 0)],
                      fill="spoil")  # fmt: skip
        with view.part("wire"):
            view.circle((wire, body_up_height.si), view.metres(5), fill="dark")
        view.label((wire, body_up_height.si), "Wire", prefer=("above", "left"), leader=False, width=80)
        truck.draw(view, (x - truck.nose, 0.0), facing=-1, load=False, body_angle=angle)
        if live:
            for turn in (-2.2, -1.1, 1.1, 2.2):
                a, b = 0.06 * body_up_height.si, 0.13 * body_up_height.si
                view.line((wire + a * math.sin(turn), body_up_height.si + a * math.cos(turn)),
                          (wire + b * math.sin(turn), body_up_height.si + b * math.cos(turn)), pen="bold")  # fmt: skip
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="Driving off with the body down" if down else "Driving off with the body up",
        desc=both(
            "After tipping the body, ",
            body_up_height,
            " high when it is up, comes down. Then the truck drives off and stops before a wire.",
        )
        if down
        else both("The wrong way. A truck drives off with its body up, ", body_up_height, " high, into a wire. Truck and ground are live."),
        frames=frames,
    )


def wire_down_film(
    *,
    ident: str,
    body_up_height: Measure,
    body_length: Measure,
    clearance: Measure | None = None,
    body_height: Measure | None = None,
    axle_height: Measure | None = None,
    build: str | None = None,
) -> Film:
    """Draw the right way of `wire_film`: the body comes down before the truck moves."""
    return wire_film(ident=ident, body_up_height=body_up_height, body_length=body_length, clearance=clearance, body_height=body_height,
                     axle_height=axle_height, build=build, down=True)  # fmt: skip


def _plan_spots(w: float, nose: float, tail: float, stand: float) -> list[tuple[float, float, float]]:
    """Where the middle of the body is, and which way its front points, from arriving to standing at the tip."""
    lane = -(stand + 0.9 * w)
    turn = nose + 0.4 * w
    back = -(stand + tail)
    return [
        (-2.1 * (nose + tail) / 2 - turn, lane, 0.0),
        (-0.9 * turn, lane, 0.0),
        (-0.18 * turn, lane - 0.28 * turn, -0.95),
        (0.0, back - 0.95 * (nose + tail) / 2, -math.pi / 2),
        (0.0, back, -math.pi / 2),
    ]


def approach_film(
    *,
    ident: str,
    berm_base: Measure,
    stand: Measure,
    truck_width: Measure,
    body_length: Measure,
    clear: Measure | None = None,
    edge_distance: Measure | None = None,
    build: str | None = None,
) -> Film:
    """Draw from above how a truck comes to the tip: along the edge on its driver's side, then square back to it.

    - `berm_base`: width of the berm on the ground; `stand`: how far the rear of the truck stays from the edge.
    - `clear`: how far the spotter stands from the side of the truck, a sketch if not given.
    - `truck_width`, `body_length`, `build`: the truck's columns; `edge_distance` as of `tip_film`. All in metres.
    """
    positive(berm_base=berm_base, stand=stand, truck_width=truck_width, body_length=body_length)
    shape = "articulated" if build == "articulated" else "rigid"
    nose, tail = truck_plan_reach(body_length.si, truck_width.si, "articulated" if shape == "articulated" else "rigid")
    w, off = truck_width.si, max(stand.si, edge_distance.si if edge_distance else 0.0)
    aside = clear.si if clear else 1.6 * w
    spots = _plan_spots(w, nose, tail, off)
    south = min(y for _, y, _ in spots) - 1.02 * nose
    right = w / 2 + aside + 1.2 * w + 0.6
    world = (spots[0][0] - tail - 0.1 * w, south, right, 0.55 * berm_base.si + 0.2 * w)
    at_tip = spots[-1]
    man = (w / 2 + aside + 0.6, -(off + 0.35 * (nose + tail)) - 1.8)
    says: tuple[Text, ...] = (
        "Come in with the edge on your own side, the left. From the cab you see the ground there.",
        "Look at the whole edge as you pass: cracks, berm, soft ground. Is all well? Then go on.",
        "Turn away from the edge, clockwise.",
        "Stop when you stand square to it. Find the spotter in your mirror. Lost the spotter? Stop.",
        join("Back up straight and stop ", stand, " from the edge. The spotter stands to the side, in your sight, and clear."),
    )
    frames = []
    for k, (sentence, (x, y, way)) in enumerate(zip(says, spots, strict=True)):
        canvas = Canvas(ident, title="Coming to the tip", desc="One step of it, from above.", steady=True)
        view = canvas.view(world, pad=(6, 26, 10, 30), seen="above", max_height=420)
        left, _, far, high = view.world
        view.rect(left, 0.0, far, high, pen="none", fill="stripe")
        with view.part("crest"):
            view.line((left, 0.0), (far, 0.0), pen="bold")
        with view.part("berm"):
            view.body(
                [(left, -berm_base.si), (far, -berm_base.si), (far, -0.04 * berm_base.si), (left, -0.04 * berm_base.si)], fill="spoil"
            )
        view.label((0.5 * (left + far), 0.3 * high), "Drop", prefer=("above", "right"), leader=False, width=100)
        truck_plan(
            view, (x, y), body=body_length.si, width=w, way=way, full=True, build="articulated" if shape == "articulated" else "rigid"
        )
        if k >= 3:
            person(view, man, facing=-1, arms="point" if k == 4 else "down")
            view.label((man[0], man[1]), "Spotter", prefer=("below", "right"), width=110)
        if 0 < k < 4:
            ahead = nose + 0.35 * w
            if k < 3:
                view.arrow(
                    (x + ahead * math.cos(way), y + ahead * math.sin(way)),
                    (x + (ahead + 0.5 * w) * math.cos(way), y + (ahead + 0.5 * w) * math.sin(way)),
                )
            else:
                view.arrow((x, y + tail + 0.2 * w), (x, y + tail + 0.9 * w))
        if k == 4:
            view.dimension(
                (-0.75 * w, at_tip[1] + tail),
                (-0.75 * w, 0.0),
                stand,
                measure=Measure(off, stand.us, stand.metric),
                offset=14,
                prefer="left",
                width=110,
            ) if off <= stand.si * 1.001 else None
        frames.append(Frame(canvas, sentence, (stand,) if k == 4 else ()))
    return Film(
        ident,
        title="Coming to the tip, from above",
        desc=both("A truck comes along the edge with the edge on its driver's side, turns away clockwise, stops square to it and backs up. It stops ",
                  stand, " from the edge. The spotter stands to the side, clear of it."),
        frames=frames,
    )  # fmt: skip
