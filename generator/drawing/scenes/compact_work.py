"""Scenes in steps of a compact excavator at work: backfilling in layers, a gate, work over the side."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import Arm, Pose, compact_side
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
            view.dimension((view.world[0], -d), (view.world[0], -d + top), filled[k] if packed else join("Fill"),
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
