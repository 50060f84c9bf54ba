"""Scenes in steps of a compact excavator at work: backfilling in layers, a gate, work over the side."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import TALL, Arm, Pose, compact_arm, compact_plan, compact_side
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.view import View

MOST_LAYERS = 12
"""A trench of more layers shows some of them."""
PIPE = 0.36
"""Size of the pipe in widths of the trench: a sketch, as no table tells it."""


def _tucked(long: float, stick: float, dig: float) -> tuple[Arm, Pose]:
    """An arm tucked in before the machine, its bucket off the ground; lengths in metres."""
    foot = (0.46 * long, 0.5 * long)
    elbow = (foot[0] + 0.5 * stick, foot[1] + 1.05 * stick)
    lean = math.radians(-102)
    pin = (elbow[0] + stick * math.cos(lean), elbow[1] + stick * math.sin(lean))
    return Arm(foot, math.dist(foot, elbow), stick, dig), Pose(elbow, pin, math.radians(172), dig)


class _Trench:
    """The trench across at the left, its spoil and the machine to the right of it; lengths in metres."""

    def __init__(
        self, width: Measure, depth: Measure, blade_height: Measure, spoil_height: Measure, spoil_width: Measure, setback: Measure,
        edge_distance: Measure | None, track_length: Measure | None, stick_length: Measure | None, bucket_length: Measure | None,
        tail_radius: Measure | None,
    ) -> None:  # fmt: skip
        positive(width=width, depth=depth, blade_height=blade_height, spoil_height=spoil_height, spoil_width=spoil_width)
        self.w, self.d, self.blade = width.si, depth.si, blade_height.si
        self.gap, self.high, self.wide = max(setback.si, 0.0), spoil_height.si, spoil_width.si
        self.long = track_length.si if track_length else 4.3 * self.blade
        stick = stick_length.si if stick_length else 0.9 * self.long
        self.arm, self.pose = _tucked(self.long, stick, bucket_length.si if bucket_length else 0.42 * stick)
        self.tail = tail_radius.si if tail_radius else 0.56 * self.long
        self.edge = edge_distance.si if edge_distance else 0.0
        self.reach = 0.3 * self.long
        self.sized = track_length is not None
        self.far = max(self.w + self.gap + self.wide + self.reach, self.w + self.edge)
        self.tall = max(1.5 * self.long, self.pose.elbow[1] + 0.25 * stick, self.high)

    @property
    def world(self) -> tuple[float, float, float, float]:
        right = self.far + 0.25 * self.long + max(1.1 * self.long, 0.5 * self.long + 1.05 * self.tail)
        return (-0.35 * self.w - 0.1 * self.long, -1.2 * self.d, right, self.tall)

    def ground(self, view: View) -> None:
        """Draw the ground with the open trench in it."""
        x0, low, x1, _ = view.world
        w, d = self.w, self.d
        view.polygon([(x0, 0), (0, 0), (0, -d), (w, -d), (w, 0), (x1, 0), (x1, low), (x0, low)], pen="none", fill="earth")
        view.polyline([(x0, 0), (0, 0), (0, -d), (w, -d), (w, 0), (x1, 0)], pen="bold")
        for x in (0.0, w):
            with view.part("wall"):
                view.line((x, 0), (x, -d), pen="bold")
            with view.part("crest"):
                view.line((x, 0), (x, -0.03 * d), pen="bold")

    def pipe(self, view: View) -> None:
        r = PIPE * self.w / 2
        with view.part("pipe"):
            view.circle((self.w / 2, -self.d + r), r, fill="paper", pen="bold")

    def pile(self, view: View, area: float) -> float:
        """Draw what is left of the spoil, with that area of its section; return where its far toe lies."""
        share = math.sqrt(max(area, 0.0) / (self.high * self.wide / 2))
        near = self.w + self.gap
        if share > 0.03:
            with view.part("spoil"):
                view.body([(near, 0), (near + share * self.wide / 2, share * self.high), (near + share * self.wide, 0)], fill="spoil")
        return near + share * self.wide

    def machine(self, view: View, front: float, blade_up: float = 0.0) -> None:
        """Draw the machine, the front of its tracks at `front`, its blade toward the trench."""
        compact_side(
            view, front + self.long / 2, 0.0, track_length=self.long, arm=self.arm, pose=self.pose, blade_height=self.blade, facing=-1,
            blade_reach=self.reach, blade_up=blade_up, tail=self.tail, sized=self.sized,
        )  # fmt: skip


def backfill_film(
    *,
    ident: str,
    layers: Sequence[Measure],
    loose: Sequence[Measure],
    filled: Sequence[Measure],
    pushes: Sequence[Measure],
    trench_width: Measure,
    trench_depth: Measure,
    blade_height: Measure,
    spoil_height: Measure,
    spoil_width: Measure,
    spoil_setback: Measure,
    edge_distance: Measure | None = None,
    track_length: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw a trench filled layer by layer: each one pushed toward it and laid in loose, then packed.

    - the sequences have one figure a layer, the lowest first: its number, how thick it is loose, how
      high the fill stands once it is packed (metres), and the pushes of the blade till then.
    - all else in metres, as of `compact.backfill_with_the_blade`.

    The tracks stop `edge_distance` from the edge; what the blade does not reach, the bucket lays in.
    Raises `DrawingRefused` for a length of zero or less and for sequences that are not of one length.
    """
    count = len(layers)
    if not count or any(len(column) != count for column in (loose, filled, pushes)):
        raise DrawingRefused("a trench filled in layers needs the same figures of each")
    trench = _Trench(trench_width, trench_depth, blade_height, spoil_height, spoil_width, spoil_setback, edge_distance, track_length,
                     stick_length, bucket_length, tail_radius)  # fmt: skip
    w, d = trench.w, trench.d
    shown, apart = picked(count, MOST_LAYERS)
    whole = trench.high * trench.wide / 2
    frames = []
    for k in shown:
        under = filled[k - 1].si if k else 0.0
        used = w * sum(one.si for one in loose[: k + 1])
        for packed in (False, True):
            canvas = Canvas(ident, title="A trench filled layer by layer", desc="One step of it.", steady=True)
            view = canvas.view(trench.world, pad=(96, 8, 6, 34), max_height=280)
            trench.ground(view)
            top = filled[k].si if packed else under + loose[k].si
            if under > 0 or packed:
                view.polygon([(0, -d), (w, -d), (w, -d + (filled[k].si if packed else under)), (0, -d + (filled[k].si if packed else under))],
                             fill="cross", pen="thin")  # fmt: skip
            if not packed:
                view.polygon([(0, -d + under), (w, -d + under), (w, -d + top), (0, -d + top)], fill="spoil", pen="line")
            if under < PIPE * w:
                trench.pipe(view)
            rear = trench.pile(view, whole - used)
            front = max(w + trench.edge, rear + trench.reach)
            trench.machine(view, front + (0.25 * trench.long if packed else 0.0))
            view.dimension((view.world[0], -d), (view.world[0], -d + top), filled[k] if packed else join("Backfill"),
                           measure=filled[k] if packed else None, offset=8, prefer="left", width=84)  # fmt: skip
            if edge_distance is not None and trench.edge > 0:
                view.dimension((w, 0), (w + trench.edge, 0), join("No track nearer than ", edge_distance), measure=edge_distance, offset=-12,
                               prefer="below", width=300)  # fmt: skip
            canvas.key_starts()
            canvas.legend([("spoil", "Loose: spoil, and the new layer"), ("cross", "Fill that is packed")])
            canvas.note("What the blade does not reach from there, the bucket lays in. The pipe is a sketch.")
            if apart > 1:
                canvas.note(thinned(apart, "layer"))
            head = join("Layer ", layers[k], " of ", layers[-1], ": ")
            if packed:
                says = join(head, "you back off, blade down. It is packed, and the fill stands ", filled[k], " high.")
            else:
                over = " Low and slow: the pipe is bare." if under < PIPE * w else ""
                short = " The pile is used up, so fill is brought in." if used > 1.01 * whole else ""
                says = join(head, loose[k], " loose, no thicker. Pushes so far: ", pushes[k], ".", over, short)
            frames.append(Frame(canvas, says, (layers[k], layers[-1], filled[k], loose[k], pushes[k])))
    return Film(
        ident,
        title="A trench filled layer by layer",
        desc=both(
            "A trench ", trench_width, " wide and ", trench_depth, f" deep is filled in {count} layers, each ", loose[0],
            " thick at most while it is loose, and packed before the next. The machine stands square to the trench and keeps its tracks back "
            "from the edge.",
        ),
        frames=frames,
    )  # fmt: skip


def backfill_at_once_film(
    *,
    ident: str,
    sinks: Measure,
    trench_width: Measure,
    trench_depth: Measure,
    blade_height: Measure,
    spoil_height: Measure,
    spoil_width: Measure,
    spoil_setback: Measure,
    edge_distance: Measure | None = None,
    track_length: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw the wrong way: all the spoil at once over a bare pipe, and the tracks too near the edge.

    All in metres: `sinks` is how far the loose fill sinks later; the rest as of `backfill_film`.
    """
    trench = _Trench(trench_width, trench_depth, blade_height, spoil_height, spoil_width, spoil_setback, edge_distance, track_length,
                     stick_length, bucket_length, tail_radius)  # fmt: skip
    w, d, r = trench.w, trench.d, PIPE * trench.w / 2
    whole = trench.high * trench.wide / 2
    near = w + 0.06 * trench.long
    keep: tuple[Text, ...] = (" Here no track comes nearer than ", edge_distance, ".") if edge_distance else ()
    steps: tuple[tuple[str, Text], ...] = (
        ("bare", "The pipe lies bare. A full blade is on its way, and the tracks drive toward the edge."),
        ("heap", "All at once: the heap falls on the pipe and can break it, or push it out of line. Nobody sees it any more."),
        ("crack", join("The tracks are at the edge.", *keep, " The wall can give way, and the machine goes in.")),
        ("sunk", join("Loose fill packs by itself, with rain and wheels. It can sink by ", sinks, ".")),
    )
    frames = []
    for name, says in steps:
        canvas = Canvas(ident, title="All at once", desc="One step of the wrong way.", steady=True)
        view = canvas.view(trench.world, pad=(96, 8, 6, 34), max_height=280, way="wrong")
        trench.ground(view)
        if name != "bare":
            top = -sinks.si if name == "sunk" else 0.0
            view.polygon([(0, -d), (w, -d), (w, top), (0, top)], fill="spoil", pen="line")
        trench.pipe(view)
        if name != "bare":
            view.polyline(
                [(w / 2 - 0.5 * r, -d + 2 * r), (w / 2, -d + 1.1 * r), (w / 2 + 0.3 * r, -d + 1.5 * r), (w / 2 + 0.5 * r, -d)], pen="bold"
            )
        rear = trench.pile(view, whole if name == "bare" else max(whole - w * d, 0.0) if name == "heap" else 0.0)
        if name != "sunk":
            trench.machine(view, rear + trench.reach if name == "bare" else near + (0.5 * trench.gap if name == "heap" else 0.0))
        if name == "crack":
            for share in (0.1, 0.3, 0.55):
                x = w + share * trench.long
                view.polyline(
                    [(x, 0), (x - 0.03 * trench.long, -0.3 * d), (x - 0.01 * trench.long, -0.55 * d), (w, -(0.6 + 0.35 * share) * d)],
                    pen="bold",
                )
        if name == "sunk":
            view.dimension((w + 0.3 * w, -sinks.si), (w + 0.3 * w, 0), join("Sunk ", sinks), measure=sinks, prefer="right", width=150)
        canvas.key_starts()
        canvas.legend([("spoil", "Loose spoil and loose fill")])
        frames.append(Frame(canvas, says, (sinks, *((edge_distance,) if edge_distance else ()))))
    return Film(
        ident,
        title="The wrong way: all at once, and too near",
        desc=both("All the spoil is pushed at once onto a bare pipe, with the tracks at the edge. The pipe can break, the wall can give way, "
                  "and the loose fill can sink by ", sinks, " later."),
        frames=frames,
    )  # fmt: skip


def gate_film(
    *,
    ident: str,
    gate_width: Measure,
    narrow_width: Measure,
    wide_width: Measure,
    room: Measure,
    track_length: Measure,
    shoe_width: Measure,
    blade_width: Measure | None = None,
    bucket_length: Measure | None = None,
    bucket_width: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw a compact excavator from above: tracks in, through the gate, tracks out, and only then to work.

    All in metres: the gate's clear width, the machine's over all with its tracks narrow and wide, the
    `room` on each side with them narrow, and the machine's own lengths. Where even the narrow machine
    does not fit, it stays before the gate, and the step says so. Raises `DrawingRefused` for a length
    of zero or less, and where the narrow machine is the wider one.
    """
    positive(gate_width=gate_width, narrow_width=narrow_width, wide_width=wide_width, track_length=track_length, shoe_width=shoe_width)
    if narrow_width.si >= wide_width.si:
        raise DrawingRefused(f"{wide_width.us} is not wider than {narrow_width.us}")
    gate, narrow, wide, long = gate_width.si, narrow_width.si, wide_width.si, track_length.si
    dig = bucket_length.si if bucket_length else 0.42 * long
    tail = tail_radius.si if tail_radius else 0.6 * long
    pin, fits, wide_fits = 1.3 * long, room.si >= 0, gate >= wide
    before, after = -max(2.0 * long, pin + dig + 0.2 * long), max(1.2 * long, 1.15 * tail) + 0.3 * long
    left, right = before - 1.1 * max(tail, 0.6 * long), after + pin + 0.6 * dig
    half = max(0.8 * wide, 0.75 * gate, 1.1 * tail, math.sin(1.0) * (pin + 0.4 * dig))
    too_wide: tuple[Text, ...] = (": it fits as it is, so leave the tracks wide.",) if wide_fits else (": it does not fit.",)
    steps: list[tuple[float, bool, float, Text]] = [
        (before, False, 0.0, join("With its tracks wide the machine measures ", wide_width, ". The gate is ", gate_width, *too_wide)),
        (before, True, 0.0, join("On flat ground, boom low and in line: tracks and blade ends in. Now it is ", narrow_width, " wide.")),
    ]
    if fits:
        steps += [
            (0.0, True, 0.0, join("Straight through the middle, slowly: ", room, " on each side. The spotter stands ahead, in sight, clear of posts and bucket.")),
            (after, True, 0.0, "All of it is through. No swing and no digging: the tracks are still narrow."),
            (after, False, 0.0, join("On flat ground: tracks and blade ends out. Look at both sides. It is ", wide_width, " wide again.")),
            (after, False, 1.0, "Only now swing and dig."),
        ]  # fmt: skip
    else:
        steps.append((before, True, 0.0, "Even narrow it does not fit. It stays out. Find another way in."))
    frames = []
    for x, drawn_in, look, says in steps:
        canvas = Canvas(ident, title="Through a gate", desc="One step of it, from above.", steady=True)
        view = canvas.view((left, -half, right, half), pad=(6, 8, 6, 40), max_height=280, seen="above")
        post = 0.12 * narrow
        with view.part("gate"):
            for side in (-1, 1):
                a, b = sorted((side * gate / 2, side * (gate / 2 + post)))
                view.body([(-post, a), (post, a), (post, b), (-post, b)], fill="dark")
        for side in (-1, 1):
            view.line((0, side * (gate / 2 + post)), (0, side * half), pen="bold")
        over = narrow if drawn_in else wide
        compact_plan(
            view, (x, 0.0), length=long, width=over, shoe=shoe_width.si, angle=0.0, look=look, pin=pin, tail=tail, bucket_length=dig,
            blade_width=min(over, blade_width.si) if blade_width else 0.94 * over, bucket_width=bucket_width.si if bucket_width else 0.0,
            body_width=narrow,
        )  # fmt: skip
        if look == 0.0 and x < after:
            # well ahead of the bucket and beside the way through
            spotter = (right - 0.3, 0.55 * half + 0.25 * narrow)
            with view.part("person"):
                view.circle(spotter, 0.25, fill="dark")
            view.label(spotter, "Spotter", prefer=("left", "above"), width=110)
        view.dimension((0, -gate / 2), (0, gate / 2), join("Gate ", gate_width), measure=gate_width, offset=-16 if x else 0.0,
                       prefer="right" if x < 0 else "left", width=110, rank=0)  # fmt: skip
        rear = x - 0.5 * long
        view.dimension((rear, -over / 2), (rear, over / 2), narrow_width if drawn_in else wide_width, offset=max(20.0, 1.1 * view.per_metre * max(tail - 0.5 * long, 0)),
                       prefer="left", width=80)  # fmt: skip
        canvas.key_starts()
        canvas.note("Seen from above. Measure over the widest part: blade ends, steps and mirrors too.")
        frames.append(Frame(canvas, says, (gate_width, narrow_width, wide_width, room)))
    return Film(
        ident,
        title="Tracks in, through the gate, tracks out",
        desc=both(
            "From above, step by step: a compact excavator is ", wide_width, " wide with its tracks wide and ", narrow_width,
            " with them narrow. The gate is ", gate_width, ". "
            + ("Narrow it goes through, stops, sets its tracks wide again and only then works." if fits else "It does not fit and stays out."),
        ),
        frames=frames,
    )  # fmt: skip


def _over_the_side(
    ident: str, gauge: Measure, column: str, shoe_width: Measure, track_length: Measure, stick_length: Measure, max_reach: Measure | None,
    bucket_length: Measure | None, tail_radius: Measure | None, widest: float, steps: Sequence[tuple[str, float, Text]], way: str,
) -> list[Frame]:  # fmt: skip
    """The steps of a compact excavator that works over its side: how its arm is held, how far it tips (radians), what is said."""
    positive(gauge=gauge, shoe_width=shoe_width, track_length=track_length, stick_length=stick_length)
    long, g, shoe = track_length.si, gauge.si, shoe_width.si
    arm = compact_arm(stick_length.si, long, bucket=bucket_length.si if bucket_length else 0.0, reach=max_reach.si if max_reach else 0.0)
    far = arm.foot[0] + 0.93 * (arm.boom + arm.stick)
    tail = tail_radius.si if tail_radius else 0.56 * long
    poses = {
        "near": _tucked(long, stick_length.si, arm.bucket)[1],
        "low": arm.posed((0.62 * far, 0.12 * long), teeth=math.radians(-150)),
        "high": arm.posed((0.78 * far, 1.2 * long), teeth=math.radians(-165)),
        "out": arm.posed((0.74 * far, 0.4 * long), teeth=math.radians(-165)),
    }
    arms = {"near": _tucked(long, stick_length.si, arm.bucket)[0]}
    tall = max(1.05 * TALL * long, max(p.elbow[1] for p in poses.values()) + 0.25 * arm.stick)
    left, right = -max(widest / 2 + shoe, 1.1 * tail, 0.9 * tall), far + arm.bucket * 0.4
    frames = []
    for held, tip, says in steps:
        canvas = Canvas(ident, title="Work over the side", desc="One step of it, from the end of the tracks.", steady=True)
        view = canvas.view((left, -0.3 * long, right, 1.08 * tall), pad=(8, 6, 8, 34), max_height=280, seen="end",
                           way="wrong" if way == "wrong" else "")  # fmt: skip
        view.rect(left, -0.3 * long, right, 0, pen="none", fill="earth")
        view.line((left, 0), (right, 0), pen="bold")
        # it tips about the outer edge of the track that the boom hangs over
        pivot = g / 2 + shoe / 2
        centre: Point = (pivot - pivot * math.cos(tip), pivot * math.sin(tip))
        compact_side(
            view, *centre, track_length=long, arm=arms.get(held, arm), pose=poses[held], blade_height=0.2 * long, tail=tail,
            loaded=held != "near", across=(g, shoe), column=column, angle=-tip,
        )  # fmt: skip
        if not tip:
            view.dimension((-g / 2, -0.3 * long), (g / 2, -0.3 * long), gauge, offset=-8, prefer="below", width=110)
        canvas.key_starts()
        canvas.note("Seen from the end of the tracks, the house swung to the side. The blade is left out.")
        frames.append(Frame(canvas, says, (gauge,)))
    return frames


def wide_work_film(
    *,
    ident: str,
    gauge_wide: Measure,
    shoe_width: Measure,
    track_length: Measure,
    stick_length: Measure,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw work over the side with the tracks wide; all in metres, the gauge from track middle to track middle."""
    steps: tuple[tuple[str, float, Text], ...] = (
        ("near", 0.0, join("Tracks wide: ", gauge_wide, " from middle to middle. Both sides are looked at before the first bucket.")),
        ("low", 0.0, "The full bucket stays low and close while it swings to the side. No jerk, no hard stop."),
        ("out", 0.0, "Only then it reaches out to dump, slowly, no farther than it must. Does a track go light? Bucket down at once."),
    )
    frames = _over_the_side(ident, gauge_wide, "gauge_wide", shoe_width, track_length, stick_length, max_reach, bucket_length, tail_radius,
                            gauge_wide.si, steps, "")  # fmt: skip
    return Film(ident, title="Work over the side, tracks wide", frames=frames,
                desc=both("A compact excavator, its tracks wide, ", gauge_wide, " from middle to middle, swings a full bucket to the side, low and slowly."))  # fmt: skip


def narrow_work_film(
    *,
    ident: str,
    gauge_narrow: Measure,
    gauge_wide: Measure,
    shoe_width: Measure,
    track_length: Measure,
    stick_length: Measure,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw the wrong way: work over the side with the tracks still narrow. See `wide_work_film`."""
    steps: tuple[tuple[str, float, Text], ...] = (
        ("near", 0.0, join("Tracks still narrow: ", gauge_narrow, " from middle to middle. The hole is right behind the gate.")),
        ("high", 0.0, "A full bucket goes out over the side. The far track turns light."),
        ("high", math.radians(9), "The far track lifts. A jerk, soft ground or a bump was enough."),
        ("high", math.radians(28), "It goes over, and whoever is beside it or jumps is under it. Belt on, stay in, hold on."),
    )
    frames = _over_the_side(ident, gauge_narrow, "gauge_narrow", shoe_width, track_length, stick_length, max_reach, bucket_length,
                            tail_radius, gauge_wide.si, steps, "wrong")  # fmt: skip
    return Film(ident, title="The wrong way: work over the side, tracks narrow", frames=frames,
                desc=both("A compact excavator, its tracks narrow, ", gauge_narrow, " from middle to middle, reaches out to the side with a full bucket. "
                          "The far track lifts and it goes over."))  # fmt: skip
