"""Scenes of placing and compacting: a layer tipped, spread and rolled; lanes; edges; one layer too thick."""

from __future__ import annotations

import math

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, Frame
from generator.drawing.machines import dozer_height, dozer_plan, dozer_side, person, truck_plan, truck_plan_reach, truck_side
from generator.drawing.machines.dozer import GAP
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._bench import build_of
from generator.drawing.scenes._roller import BACK, SIDES, TALL, roller_end, roller_plan, roller_side
from generator.drawing.view import View

_SLOPE = 1.5
"""Run for one of rise of the sides of a fill: a sketch."""


# ---- one layer: tipped, spread, rolled -------------------------------------------------------------


class _Layer:
    """A packed strip from the side at y = 0, and a layer on it; a load is tipped at x = 0. Lengths in metres."""

    def __init__(
        self, spacing: Measure, loose_layer: Measure, layer: Measure, truck_load: Measure, repose: Measure, roller_width: Measure,
        body_length: Measure, body_width: Measure | None, body_height: Measure | None, blade_height: Measure, track_length: Measure | None,
    ) -> None:  # fmt: skip
        positive(spacing=spacing, loose_layer=loose_layer, layer=layer, truck_load=truck_load, roller_width=roller_width,
                 body_length=body_length, blade_height=blade_height)  # fmt: skip
        self.s, self.loose, self.packed = spacing.si, loose_layer.si, layer.si
        if self.packed > self.loose * 1.001:
            raise DrawingRefused("a layer is thicker packed than loose")
        self.roller = roller_width.si
        self.body, self.blade = body_length.si, blade_height.si
        self.high = body_height.si if body_height else 0.5 * self.body
        self.track = track_length.si if track_length else 2.4 * self.blade
        wide = body_width.si if body_width else 0.55 * self.body
        # a heap about as wide as the body and half again: its section from the side, and its height by its slope
        section = truck_load.si / (1.5 * wide)
        slope = math.tan(repose.si)
        self.heap = min(math.sqrt(section * slope), 0.62 * self.high)
        self.spread = section / self.heap  # half of its foot, so that the section is kept
        self.nose = 1.4 * self.body
        self.next = self.s <= 2.5 * self.body + 2 * self.spread

    @property
    def back(self) -> float:
        """How far to the left the dozer and the roller reach."""
        return max(self.spread + GAP * self.blade + 1.25 * self.track, (BACK + 0.6) * self.roller)

    @property
    def stretch(self) -> float:
        """So much of the stretch is in the picture."""
        return self.s if self.next else 2.5 * self.body

    @property
    def world(self) -> tuple[float, float, float, float]:
        right = max(self.stretch + (2 * self.spread if self.next else 0.0), self.spread + 0.56 * self.body + self.nose) + 0.06 * self.body
        tall = max(1.75 * self.high, 1.06 * dozer_height(self.blade, self.track), 1.1 * TALL * self.roller, 2.0)
        return (-self.back, -max(4 * self.loose, 0.14 * tall), right, tall)

    def ground(self, view: View) -> None:
        x0, low, x1, _ = view.world
        view.polygon([(x0, low), (x1, low), (x1, 0), (x0, 0)], pen="none", fill="cross")
        view.line((x0, 0), (x1, 0), pen="bold")

    def layer(self, view: View, start: float, stop: float, *, thick: float, packed: bool) -> None:
        if stop - start > 1e-6:
            view.polygon([(start, 0), (stop, 0), (stop, thick), (start, thick)], fill="cross" if packed else "dots", pen="line")

    def pile(self, view: View, x: float, share: float = 1.0) -> None:
        """A heap whose left foot stands at `x`, with that share of its section left."""
        by = math.sqrt(max(share, 0.0))
        if by < 0.05:
            return
        foot, top = by * self.spread, by * self.heap
        with view.part("spoil"):
            view.body([(x, 0), (x + 0.94 * foot, top), (x + 1.06 * foot, top), (x + 2 * foot, 0)], fill="spoil")

    def dozer(self, view: View, x: float, y: float, up: float = 0.0) -> None:
        dozer_side(view, x, y, self.blade, track_length=self.track, blade_up=up)


def layer_film(
    *,
    ident: str,
    spacing: Measure,
    loose_layer: Measure,
    layer: Measure,
    passes: Measure,
    truck_load: Measure,
    repose: Measure,
    roller_width: Measure,
    body_length: Measure,
    blade_height: Measure,
    body_width: Measure | None = None,
    body_height: Measure | None = None,
    truck_build: str | None = None,
    track_length: Measure | None = None,
) -> Film:
    """Draw a layer from the side, step by step: a load is tipped, spread, felt by hand, and rolled.

    - `spacing`: from load to load along the strip; `loose_layer` and `layer`: how thick the layer is as it
      is spread and once it is packed; `roller_width`: of the drum; the truck's body and the dozer's blade
      and tracks, from their tables: all in metres. `passes`: of the roller, a count.
    - `truck_load`: what a truck carries, loose, in cubic metres; `repose`: the angle of its heap.

    How fast a layer goes down under the roller is a sketch. Raises `DrawingRefused` where a layer is
    thicker packed than loose.
    """
    one = _Layer(
        spacing, loose_layer, layer, truck_load, repose, roller_width, body_length, body_width, body_height, blade_height, track_length
    )
    hang = 0.56 * one.body
    done = one.stretch
    frames: list[Frame] = []

    def step(says: Text, told: tuple[Measure, ...]) -> View:
        canvas = Canvas(ident, title="A layer: tipped, spread and rolled", desc="One step of it.", steady=True)
        view = canvas.view(one.world, pad=(8, 30, 8, 40), max_height=250, seen="side", way="right")
        one.ground(view)
        frames.append(Frame(canvas, says, told))
        return view

    def after(canvas: Canvas) -> None:
        canvas.key_starts()
        canvas.legend([("cross", "Packed"), ("dots", "Loose, as it was spread")])

    view = step("A load is tipped where its stretch begins. A spotter signals, and nobody walks behind.", ())
    with view.part("truck"):
        truck_side(
            view,
            one.spread + hang,
            0.0,
            body_length=one.body,
            body_height=one.high,
            build=build_of(truck_build),
            facing=1,
            body_angle=math.radians(42),
        )
    one.pile(view, 0.0, 0.5)
    view.label((one.spread + hang, 1.5 * one.high), "Tips", prefer=("above", "right"), width=80)

    view = step(join("The next load goes ", spacing, " farther on. So the dozer pushes each one only a short way."), (spacing,))
    one.pile(view, 0.0)
    if one.next:
        one.pile(view, one.s)
        view.dimension((0, 0), (one.s, 0), spacing, offset=-16, prefer="below", width=150)
    else:
        view.arrow((0.55 * done, 0.4 * one.heap), (0.95 * done, 0.4 * one.heap))
        view.label((0.7 * done, 0.4 * one.heap), join("Next load ", spacing, " from this one"), prefer=("above",), width=210)

    for share in (0.3, 0.65, 1.0):
        end = share * done
        view = step(
            join("The blade rides ", loose_layer, " up and spreads the heap. That is the layer, loose.") if share < 0.5
            else join("On to the next heap, the blade at ", loose_layer, " all the way.") if share < 1
            else join("Spread ", loose_layer, " thick. Back off, look behind you, go on to the next heap."),
            (loose_layer,),
        )  # fmt: skip
        one.layer(view, 0.0, end, thick=one.loose, packed=False)
        if share < 1:
            one.pile(view, end + 0.02 * one.track, 1 - share)
        if one.next:
            one.pile(view, one.s if share < 1 else max(one.s, end))
        one.dozer(view, end if share < 1 else end - 0.55 * done, one.loose)
        if share < 1:
            view.label((0.5 * end, one.loose), join("Loose ", loose_layer), prefer=("below",), width=150)

    view = step(
        "Everything stands, blade down. Somebody squeezes a handful. Too dry or too wet: no rolling till whoever tests says so.", ()
    )
    one.layer(view, 0.0, done, thick=one.loose, packed=False)
    person(view, (0.42 * done, one.loose), arms="point")
    view.label((0.42 * done, one.loose + 1.75), "Hand test", prefer=("above", "right"), width=130)
    one.dozer(view, -0.2 * one.track, 0.0)

    count = int(passes.si)
    for k in sorted({1, max(count // 2, 1), count}):
        thick = one.loose - (one.loose - one.packed) * (1 - (1 - k / count) ** 2)
        last = k == count
        view = step(
            join("Pass ", str(k), " of ", passes, ". ", "It goes down less each time." if last and count > 1 else "Slow, straight, and lapping over the lane before."),
            (passes,),
        )  # fmt: skip
        one.layer(view, 0.0, done, thick=thick, packed=last)
        x = (0.35 if k == 1 else 0.6 if not last else 0.85) * done
        roller_side(view, x, thick, one.roller, facing=1)
        if k == 1:
            view.arrow((x + 0.55 * one.roller, 0.9 * one.roller), (x + 1.1 * one.roller, 0.9 * one.roller))

    view = step(join("Packed it is ", layer, " thick. It is tested before the next layer goes on."), (layer,))
    one.layer(view, 0.0, done, thick=one.packed, packed=True)
    view.dimension((0.5 * done, 0.0), (0.5 * done, one.packed), join("Packed ", layer), measure=layer, prefer="right", width=170)
    for frame in frames:
        after(frame.canvas)
    return Film(
        ident,
        title="A layer, step by step: tipped, spread, felt by hand, rolled",
        desc=both("A load is tipped, and the next one ", spacing, " farther on. The dozer spreads each ", loose_layer, " thick. The ground is felt "
                  "by hand. The roller makes ", passes, " passes. Packed the layer is ", layer, " thick."),
        frames=frames,
    )  # fmt: skip


# ---- near the edge ---------------------------------------------------------------------------------


class _Edge:
    """A fill from its end: its top at y = 0, its right edge at x = 0 and a slope down from there. Lengths in metres."""

    def __init__(self, roller_width: Measure, edge_distance: Measure, overlap: Measure | None) -> None:
        positive(roller_width=roller_width, edge_distance=edge_distance)
        self.w, self.edge = roller_width.si, edge_distance.si
        self.lap = overlap.si if overlap else 0.0
        if self.lap >= self.w:
            raise DrawingRefused("the overlap is as wide as the drum")
        self.tall = 0.95 * self.w
        self.first = -self.edge - (0.5 + SIDES) * self.w  # where the middle of the outermost lane runs

    @property
    def world(self) -> tuple[float, float, float, float]:
        left = self.first - 2 * (self.w - self.lap) - 0.75 * self.w
        return (left, -1.15 * self.tall, 2.1 * self.w, 1.5 * self.w)

    def ground(self, view: View, *, gone: float = 0.0) -> None:
        """The fill; `gone`: so much of its top has broken off at the edge, and lies on the slope (metres)."""
        x0, low, x1, _ = view.world
        toe = (_SLOPE * self.tall, -self.tall)
        top: list[Point] = [(x0, 0), (-gone, 0), toe, (x1, -self.tall)]
        view.polygon([*top, (x1, low), (x0, low)], pen="none", fill="earth")
        view.polyline(top, pen="bold")
        if gone:
            return
        with view.part("crest"):
            view.line((0, 0), (0.02 * self.tall, -0.02 * self.tall / _SLOPE), pen="bold")

    def lying(self, gone: float) -> tuple[Point, float]:
        """Where the foot of a roller's middle is once it lies on its side on the broken slope, and how far it is turned."""
        steep = math.atan2(self.tall, _SLOPE * self.tall + gone)
        along, out = 0.45 * self.w, (0.5 + SIDES) * self.w
        foot = (-gone + along * math.cos(steep) + out * math.sin(steep), -along * math.sin(steep) + out * math.cos(steep))
        return foot, -(math.pi / 2 + steep)


def over_the_edge_film(*, ident: str, roller_width: Measure, edge_distance: Measure, plain: bool = False) -> Film:
    """Draw a roller that packs right up to the edge of a fill, and what comes of it: the wrong way.

    Both in metres: the width of the drum, and how near machines may come to an edge. How the edge breaks
    is a sketch. `plain` leaves out of the picture what tells that it is wrong.
    """
    edge = _Edge(roller_width, edge_distance, None)
    w = edge.w
    gone = 0.28 * w
    foot, over = edge.lying(gone)
    steps: tuple[tuple[Text, float, Point, float, Point | None], ...] = (
        (
            join("The drum runs right along the edge, to pack the last strip too. This site keeps ", edge_distance, "."),
            0.0,
            (-0.5 * w, 0.0),
            0.0,
            None,
        ),
        ("The edge is loose, with nothing beside it. It gives under the drum.", gone, (-0.5 * w, 0.0), math.radians(-16), (-gone, 0.0)),
        ("The roller goes over. Whoever wears no belt is thrown out, and it rolls on them.", gone, foot, over, foot),
    )
    frames = []
    for k, (says, broke, (x, y), angle, about) in enumerate(steps):
        canvas = Canvas(ident, title="A roller at the edge of a fill", desc="One step of it.", steady=True)
        view = canvas.view(edge.world, pad=(8, 20, 8, 40), max_height=270, seen="end", way="wrong")
        edge.ground(view, gone=broke)
        roller_end(view, x, y, w, angle=angle, about=about)
        if not k and not plain:
            view.label((0.0, 0.0), "Edge", prefer=("right", "above"), width=80, bold=True)
        canvas.key_starts()
        if not plain:
            canvas.note("When and how an edge breaks nobody can say: the break is a sketch.", bold=True)
        frames.append(Frame(canvas, says, (edge_distance,) if not k else ()))
    return Film(
        ident,
        title="A roller at the edge of a fill: what happens",
        desc=both("The wrong way. The drum of a roller runs along the edge of a fill, and this site keeps ", edge_distance, ". The edge gives, and the "
                  "roller goes over."),
        frames=frames,
    )  # fmt: skip


def edge_kept_film(
    *, ident: str, roller_width: Measure, edge_distance: Measure, overlap: Measure, plain: bool = False,
) -> Film:  # fmt: skip
    """Draw a roller that keeps back from the edge of a fill, lane by lane; the outer strip is cut back later.

    All in metres: the width of the drum, how near machines may come to an edge, and how far each lane
    laps over the one before.
    """
    edge = _Edge(roller_width, edge_distance, overlap)
    w, t = edge.w, edge.tall
    lanes = [edge.first - k * (w - edge.lap) for k in range(3)]
    line = -edge.edge
    frames = []
    for k in range(4):
        canvas = Canvas(ident, title="A roller that keeps back from the edge", desc="One step of it.", steady=True)
        view = canvas.view(edge.world, pad=(8, 20, 8, 40), max_height=270, seen="end", way="right")
        edge.ground(view)
        if k == 3:
            view.polyline([(line, 0), (line + _SLOPE * t, -t)], pen="dash")
            view.label((line + _SLOPE * 0.5 * t, -0.5 * t), "The plan's slope", prefer=("left", "below"), width=150)
        for x in lanes[: min(k, 3)]:
            view.rect(x - w / 2, -0.05 * w, x + w / 2, 0.0, pen="thin", fill="cross")
        view.line((line, 0), (line, 0.5 * w), pen="bold")
        if not plain:
            view.label((line, 0.5 * w), "Stake", prefer=("right", "above"), width=90)
            view.dimension((line, 0), (0, 0), edge_distance, offset=-18, prefer="below", width=120)
        if k < 3:
            roller_end(view, lanes[k], 0.0, w)
        says: tuple[tuple[Text, tuple[Measure, ...]], ...] = (
            (join("Stakes stand ", edge_distance, " from the edge. No part of the roller comes past them."), (edge_distance,)),
            (join("The next lane laps over this one by ", overlap, "."), (overlap,)),
            ("So on, lane by lane, away from the edge.", ()),
            ("The fill was built wider than the plan. The loose strip outside is cut back later, to the packed ground.", ()),
        )
        frames.append(Frame(canvas, *says[k]))
    return Film(
        ident,
        title="A roller that keeps back from the edge, lane by lane",
        desc=both("Stakes stand ", edge_distance, " from the edge of a fill. The roller stays inside them, and each lane laps over the one before by ", overlap,
                  ". The fill was built wider, and the loose strip outside is cut back."),
        frames=frames,
    )  # fmt: skip


# ---- thick and thin --------------------------------------------------------------------------------


class _Section:
    """A fill across, from y = 0 up, with a roller on it. Lengths in metres."""

    def __init__(self, fill_depth: Measure, roller_width: Measure) -> None:
        positive(fill_depth=fill_depth, roller_width=roller_width)
        self.d, self.w = fill_depth.si, roller_width.si
        self.half = 1.15 * self.w

    @property
    def world(self) -> tuple[float, float, float, float]:
        return (-self.half, -0.12 * self.w, self.half, self.d * 1.45 + (TALL + 0.08) * self.w)

    def ground(self, view: View) -> None:
        x0, low, x1, _ = view.world
        view.rect(x0, low, x1, 0, pen="none", fill="earth")
        view.line((x0, 0), (x1, 0), pen="bold")

    def band(self, view: View, low: float, high: float, *, packed: bool) -> None:
        x0, _, x1, _ = view.world
        if high - low > 1e-9:
            view.polygon([(x0, low), (x1, low), (x1, high), (x0, high)], fill="cross" if packed else "dots", pen="thin")


def one_thick_layer_film(*, ident: str, fill_depth: Measure, layer: Measure, sinks: Measure, roller_width: Measure) -> Film:
    """Draw a fill put in as one thick layer: only its top gets packed, and later it sinks. The wrong way.

    All in metres: the depth of the fill, the packed layer the plan asks for, how far loose fill of that
    depth can sink, and the width of the drum. How deep the packing reaches is a sketch.
    """
    positive(layer=layer, sinks=sinks)
    s = _Section(fill_depth, roller_width)
    if sinks.si >= s.d:
        raise DrawingRefused("a fill cannot sink by all its depth")
    crust = min(layer.si, 0.5 * s.d)
    frames = []
    steps: tuple[tuple[Text, tuple[Measure, ...]], ...] = (
        (join("All ", fill_depth, " in one layer, and rolled once it is full."), (fill_depth,)),
        ("The roller packs the top. It looks hard, and below it is as loose as it was tipped.", ()),
        (join("Rain and wheels pack the rest. It can sink as much as ", sinks, ", and not evenly."), (sinks,)),
    )
    for k, (says, told) in enumerate(steps):
        canvas = Canvas(ident, title="One thick layer", desc="One step of it.", steady=True)
        view = canvas.view(s.world, pad=(90, 14, 90, 34), max_height=300, seen="across", way="wrong")
        s.ground(view)
        top = s.d - (sinks.si if k == 2 else 0.0)
        s.band(view, 0.0, top - (crust if k else 0.0), packed=False)
        if k:
            s.band(view, top - crust, top, packed=True)
        x0, _, x1, _ = view.world
        view.line((x0, top), (x1, top), pen="bold")
        if k < 2:
            roller_end(view, 0.0, top, s.w)
            view.dimension((x0, 0), (x0, s.d), fill_depth, offset=18, prefer="left", width=80)
        else:
            view.line((x0, s.d), (x1, s.d), pen="dash")
            view.dimension((x1, top), (x1, s.d), sinks, offset=-14, prefer="right", width=80)
        canvas.key_starts()
        canvas.legend([("cross", "Packed"), ("dots", "Loose")])
        canvas.note("How deep the packing reaches is a sketch.", bold=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="One thick layer: only its top is packed",
        desc=both("The wrong way. A fill ", fill_depth, " deep is put in as one layer. The roller packs its top only. Later it can sink as much as ", sinks, "."),
        frames=frames,
    )  # fmt: skip


# ---- from above ------------------------------------------------------------------------------------


def lanes(
    *,
    ident: str,
    fill_width: Measure,
    edge_distance: Measure,
    roller_width: Measure,
    overlap: Measure,
    body_length: Measure,
    truck_width: Measure,
    truck_build: str | None = None,
    blade_width: Measure,
    blade_height: Measure | None = None,
    track_length: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    spots: bool = False,
) -> Canvas:
    """Draw a strip of fill from above while it is placed: the roller in its lanes, the dozer, a truck that tips.

    All in metres. Both sides of the strip are edges, and all machines keep back from them. `spots=True`:
    regions `behind-roller`, `before-dozer`, `behind-truck` and `off-the-fill`, no figures. Raises
    `LeftOut` where the strip is too narrow for a machine to keep back from both edges.
    """
    positive(fill_width=fill_width, edge_distance=edge_distance, roller_width=roller_width, body_length=body_length, truck_width=truck_width,
             blade_width=blade_width, track_length=track_length)  # fmt: skip
    b, edge, w, lap = fill_width.si, edge_distance.si, roller_width.si, overlap.si
    room = b - 2 * edge
    widest = max((1 + 2 * SIDES) * w, truck_width.si, track_gauge.si + shoe_width.si)
    if room < widest * 1.02:
        raise LeftOut(
            "the strip is too narrow: no machine keeps back from both its edges",
            "This strip is so narrow that no machine here keeps back from both its edges. So none is shown on it. Ask how it is filled.",
        )
    half = b / 2
    first = -half + edge + (0.5 + SIDES) * w
    step = w - lap
    fits = max(int((room - (1 + 2 * SIDES) * w) / step + 1e-9), 0) + 1
    now = min(fits, 2) - 1  # the lane the roller is in
    ahead, behind = truck_plan_reach(body_length.si, truck_width.si, build_of(truck_build))
    long = track_length.si
    rolls = 1.2 * w
    roller_x = 0.0
    dozer_x = roller_x + 1.0 * w + rolls + 0.9 * long
    heap_x = dozer_x + 1.25 * long + 0.4 * truck_width.si
    truck_x = heap_x + 0.7 * truck_width.si + behind + 1.0
    left, right = roller_x - (BACK + (1.7 if spots else 0.9)) * w, truck_x + ahead + 0.5
    out = 0.3 * b if spots else 0.16 * b
    canvas = Canvas(
        ident,
        title="A strip of fill from above" if spots else "Rolled in lanes that lap, and back from both edges",
        desc=both("A strip of fill from above, with an edge on both sides. A roller packs it in lanes, a dozer spreads a heap, and a truck backs up to tip.",
                  *(() if spots else (" The lanes lap by ", overlap, ", and machines stay ", edge_distance, " from the edges.")))
    )  # fmt: skip
    view = canvas.view((left, -half - out, right, half + out), pad=(8, 16, 8, 44 if not spots else 16), max_height=330, seen="above",
                       way="right")  # fmt: skip
    for side in (-1, 1):
        view.polygon(
            [(left, side * half), (right, side * half), (right, side * (half + out)), (left, side * (half + out))], pen="none", fill="earth"
        )
        with view.part("crest"):
            view.line((left, side * half), (right, side * half), pen="bold")
        view.line((left, side * (half - edge)), (right, side * (half - edge)), pen="dash")
    end = dozer_x + 0.5 * long
    view.polygon(
        [(roller_x + rolls, -half + edge), (end, -half + edge), (end, half - edge), (roller_x + rolls, half - edge)],
        pen="none",
        fill="dots",
    )
    for k in range(now + 1):
        y = first + k * step
        stop = roller_x if k == now else roller_x + 1.1 * w
        view.rect(left, y - w / 2, stop, y + w / 2, pen="thin", fill="shade")
    roller_plan(view, (roller_x, first + now * step), w)
    dozer_y = min(max(0.0, -half + edge + widest / 2), half - edge - widest / 2)
    dozer_plan(
        view, (dozer_x, dozer_y), track_length=long, track_gauge=track_gauge.si, shoe_width=shoe_width.si, blade_width=blade_width.si,
        blade_height=blade_height.si if blade_height else 0.0,
    )  # fmt: skip
    with view.part("spoil"):
        r = 0.55 * truck_width.si
        view.body([(heap_x + r * math.cos(a), dozer_y + r * math.sin(a)) for a in (k * math.pi / 8 for k in range(16))], fill="spoil")
    truck_plan(view, (truck_x, dozer_y), body=body_length.si, width=truck_width.si, way=0.0, full=True, build=build_of(truck_build))
    if spots:
        view.spot("behind-roller", "behind the roller", [(roller_x - (BACK + 0.85) * w, first + now * step)])
        view.spot("before-dozer", "before the blade of the dozer", [(dozer_x + long, dozer_y)])
        view.spot("behind-truck", "behind the truck", [(truck_x - behind - 0.6, dozer_y)])
        view.spot("off-the-fill", "off the fill, beside it", [(0.5 * (left + right), -half - 0.55 * out)])
        return canvas
    view.label((roller_x, first + now * step), "Roller", prefer=("above", "right"), width=90)
    view.label((dozer_x, dozer_y), "Dozer", prefer=("above", "right"), width=90)
    view.label((truck_x, dozer_y + 0.5 * truck_width.si), "Truck backs up", prefer=("above",), width=170)
    view.dimension((left, -half), (left, -half + edge), edge_distance, offset=-12, prefer="right", width=100)
    if now:
        view.label((left + 0.5 * w, first + step / 2), join("Lap ", overlap), prefer=("above", "right"), width=130)
    return canvas
