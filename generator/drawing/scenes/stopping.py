"""Scenes in steps of stop-work: a crack opens near an edge, and what is done about it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.film import Film, Frame
from generator.drawing.machines import arm_of, compact_arm, compact_side, dozer_height, dozer_side, excavator_posed, person
from generator.drawing.machines.dozer import GAP
from generator.drawing.measure import Measure, Text, join
from generator.drawing.view import View

SKETCH = 1.2
"""Height (metres) of the blade of a dozer that no table tells of."""
AWAY = 5.0
"""How far off the machine people are drawn (metres); a sketch, and no figure tells it."""


@dataclass(frozen=True)
class _Edge:
    """Ground with an edge at x = 0 and a crack behind it, and the machine that works there; metres."""

    edge: float
    track: float
    blade: float | None
    stick: float | None
    bucket: float
    tail: float

    @classmethod
    def of(
        cls, edge_distance: Measure | None, track_length: Measure | None, blade_height: Measure | None, stick_length: Measure | None,
        bucket_length: Measure | None, tail_radius: Measure | None,
    ) -> _Edge:  # fmt: skip
        blade = blade_height.si if blade_height else None if stick_length else SKETCH
        track = track_length.si if track_length else 2.4 * (blade or SKETCH)
        return cls(
            edge_distance.si if edge_distance else 0.7 * track, track, blade, stick_length.si if stick_length else None,
            bucket_length.si if bucket_length else 0.0, tail_radius.si if tail_radius else 0.66 * track,
        )  # fmt: skip

    @property
    def crack(self) -> float:
        return -self.edge - 0.35 * self.track

    @property
    def face(self) -> float:
        return 0.9 * self.track

    @property
    def ahead(self) -> float:
        """How far the machine stands out before its tracks."""
        return GAP * (self.blade or 0.0) if self.stick is None else 0.55 * self.track

    @property
    def world(self) -> tuple[float, float, float, float]:
        tall = dozer_height(self.blade, self.track) if self.stick is None and self.blade else 1.5 * self.track
        return (
            min(
                self.crack - 4.1 * self.track,
                self.crack - 2.9 * self.track - max(self.tail - self.track / 2, 0.1 * self.track) - AWAY - 1.9,
            ),
            -1.1 * self.face,
            0.9 * self.face,
            max(1.05 * tall, 1.1 * (self.stick or 0.0) + 0.7 * self.track, 1.9),
        )

    def ground(self, view: View, *, broken: bool) -> None:
        """Draw the ground, its crack, and the piece that broke off along it."""
        x0, low, x1, _ = view.world
        f, foot = self.face, (0.5 * self.face, -self.face)
        root: Point = (0.22 * f, -0.75 * f)
        if not broken:
            view.polygon([(x0, 0), (0, 0), foot, (x1, -f), (x1, low), (x0, low)], pen="none", fill="earth")
            view.polyline([(x0, 0), (0, 0), foot, (x1, -f)], pen="bold")
            with view.part("crest"):
                view.line((0, 0), (0.02 * f, -0.04 * f), pen="bold")
            dx, dy = root[0] - self.crack, root[1]
            shares = ((0.0, 0.0), (0.18, 0.03), (0.34, -0.03), (0.52, 0.03), (0.7, 0.0))
            view.polyline([(self.crack + s * dx + off * dy, s * dy - off * dx) for s, off in shares], pen="bold")
            return
        view.polygon([(x0, 0), (self.crack, 0), root, foot, (x1, -f), (x1, low), (x0, low)], pen="none", fill="earth")
        view.polyline([(x0, 0), (self.crack, 0), root, foot, (x1, -f)], pen="bold")
        fall: Point = (0.22 * f, -0.34 * f)
        view.body([(x + fall[0], y + fall[1]) for x, y in ((self.crack, 0.0), (0.0, 0.0), (0.36 * f, -0.72 * f))], fill="earth")

    def machine(self, view: View, front: float, *, tip: bool = False) -> None:
        """Draw the machine, the front of its tracks at `front`, blade or bucket down; `tip`: it slides off with the ground."""
        low = -0.3 * self.face if tip else 0.0
        if self.stick is None and self.blade is not None:
            dozer_side(view, front + GAP * self.blade, low, self.blade, track_length=self.track, angle=-0.3 if tip else 0.0)
            return
        assert self.stick is not None  # as `of` has it
        x = front - self.track / 2
        if self.blade is not None:
            arm = compact_arm(self.stick, self.track, bucket=self.bucket)
            pose = arm.posed((arm.foot[0] + 0.6 * (arm.boom + arm.stick), low), teeth=math.radians(-118))
            compact_side(
                view,
                x,
                low,
                track_length=self.track,
                arm=arm,
                pose=pose,
                blade_height=self.blade,
                tail=self.tail,
                angle=-0.3 if tip else 0.0,
            )
        else:
            arm = arm_of(self.stick, self.track / 1.5, bucket=self.bucket)
            pose = arm.posed((arm.foot[0] + 0.6 * (arm.boom + arm.stick), low), teeth=math.radians(-118))
            excavator_posed(view, x, low, arm, pose, size=self.track / 1.5, tail=self.tail)


def _frames(
    ident: str, here: _Edge, edge_distance: Measure | None, steps: Sequence[tuple[float, int, str, Text]], *, wrong: bool
) -> list[Frame]:  # fmt: skip
    """The steps: where the tracks' front stands, how many people stand behind, what the ground does, what is said."""
    frames = []
    for front, people, ground, says in steps:
        canvas = Canvas(ident, title="A crack near the edge", desc="One step of it.", steady=True)
        view = canvas.view(here.world, pad=(6, 8, 6, 30), max_height=250, way="wrong" if wrong else "")
        here.ground(view, broken=ground == "broken")
        here.machine(view, front, tip=ground == "broken")
        for k in range(people):
            person(view, (here.world[0] + 0.5 + 0.9 * k, 0.0), arms="point" if k == 0 and people == 2 else "up" if people == 1 else "down")
        if ground != "broken":
            view.label((here.crack, 0), "Crack", prefer=("below", "above"), width=90)
            if edge_distance is not None:
                view.dimension((-here.edge, 0), (0, 0), edge_distance, offset=-10, prefer="below", width=90)
        if ground == "line":
            view.line((here.crack - 0.6 * here.track, 0), (here.crack - 0.6 * here.track, 0.5 * here.track), pen="bold")
            view.label((here.crack - 0.6 * here.track, 0.5 * here.track), "New line", prefer=("above", "right"), width=110)
        frames.append(Frame(canvas, says, (edge_distance,) if edge_distance is not None and ground != "broken" else ()))
    return frames


def stop_film(
    *,
    ident: str,
    edge_distance: Measure | None = None,
    track_length: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw what to do when a crack opens near an edge: stop, get clear, tell, wait; all in metres.

    `edge_distance` is how near tracks may come to an edge. The machine is the dozer or excavator whose
    lengths are given, a sketch of a dozer without them.
    """
    here = _Edge.of(edge_distance, track_length, blade_height, stick_length, bucket_length, tail_radius)
    seen, off = here.crack - 0.9 * here.track, here.crack - 1.9 * here.track
    limit: tuple[Text, ...] = ("The limit of ", edge_distance, " was set before there was a crack.") if edge_distance else ("The limits were set before there was a crack.",)  # fmt: skip
    steps: tuple[tuple[float, int, str, Text], ...] = (
        (seen, 0, "", "A crack has opened near the edge. You are the first to see it."),
        (off, 0, "", "Stop. Back off from it. Then blade or bucket down, park brake on."),
        (off, 1, "", "Engine off, key out. Warn all others and get them away, above and below."),
        (off, 2, "", "Well away, tell the person in charge: what you saw, and where. Do not try it once more."),
        (off, 2, "", join("The work waits. ", *limit)),
        (off, 0, "line", "A competent person has looked, set a new line and said what has changed. Now work goes on, behind it."),
    )
    return Film(
        ident, title="A crack near the edge: stop and tell", frames=_frames(ident, here, edge_distance, steps, wrong=False),
        desc="An operator sees a crack near the edge, backs off, sets the machine down, gets people away, tells the person in charge and "
        "waits. A competent person sets a new line before work goes on.",
    )  # fmt: skip


def finish_film(
    *,
    ident: str,
    edge_distance: Measure | None = None,
    track_length: Measure | None = None,
    blade_height: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw the wrong way: the pass is finished although a crack has opened. See `stop_film`."""
    here = _Edge.of(edge_distance, track_length, blade_height, stick_length, bucket_length, tail_radius)
    at: tuple[Text, ...] = ("The tracks keep ", edge_distance, " from the edge, but they stand past the crack.") if edge_distance else ("The tracks stand past the crack.",)  # fmt: skip
    steps: tuple[tuple[float, int, str, Text], ...] = (
        (here.crack - 0.9 * here.track, 0, "", "A crack has opened near the edge. The operator wants to finish this one pass first."),
        (-here.edge, 0, "", join(*at)),
        (
            -here.edge + 0.15 * here.track,
            0,
            "broken",
            "The ground breaks off along the crack. The machine goes with it, onto whoever is below.",
        ),
    )
    return Film(
        ident, title="The wrong way: the pass is finished first", frames=_frames(ident, here, edge_distance, steps, wrong=True),
        desc="An operator sees a crack near the edge and finishes the pass. The ground breaks off along the crack, and the machine goes with it.",
    )  # fmt: skip
