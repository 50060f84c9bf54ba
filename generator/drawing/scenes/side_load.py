"""A bucket in a trench from above: drawn in line with the boom, and swung against the trench wall."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import compact_plan, excavator_plan
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.view import View


@dataclass(frozen=True)
class _Above:
    """An excavator at the end of a trench, its boom along x from the pins at the boom's foot. Metres.

    What the site does not give is a sketch around the reach.
    """

    reach: float
    track: float
    width: float
    shoe: float
    tail: float
    bucket: float
    across: float
    blade: float | None
    trench: float
    keeps: float
    sized: bool

    @classmethod
    def of(
        cls, reach: Measure, track_length: Measure | None, machine_width: Measure | None, shoe_width: Measure | None, tail_radius: Measure | None,
        bucket_length: Measure | None, bucket_width: Measure | None, blade_width: Measure | None, trench_width: Measure | None,
        edge_distance: Measure | None,
    ) -> _Above:  # fmt: skip
        r = reach.si
        long = track_length.si if track_length else 0.5 * r
        wide = machine_width.si if machine_width else 0.84 * long
        dig = bucket_length.si if bucket_length else min(0.16 * r, 0.4 * long)
        across = bucket_width.si if bucket_width else 0.8 * dig
        return cls(
            r, long, wide, min(shoe_width.si if shoe_width else 0.24 * wide, 0.45 * wide), tail_radius.si if tail_radius else 0.7 * long,
            dig, across, blade_width.si if blade_width else None,
            max(trench_width.si if trench_width else 0.0, 1.5 * across), edge_distance.si if edge_distance else 0.2 * long,
            track_length is not None,
        )  # fmt: skip

    @property
    def swing(self) -> float:
        """Where the swing centre stands: behind the boom's foot, on a compact excavator behind the whole house."""
        return -(0.5 if self.blade else 0.13) * self.track

    @property
    def begins(self) -> float | None:
        """How far from the swing centre the trench ends toward the machine; None where the bucket would not be in it."""
        start = self.track / 2 + 1.02 * self.keeps
        return start if start < self.reach - self.swing - 0.8 * self.bucket else None

    @property
    def off(self) -> float:
        """How far the boom is swung out of the trench's line when the bucket's side is on the wall (radians)."""
        out = self.reach - self.swing + 0.25 * self.bucket
        low, high = 0.0, 0.6
        for _ in range(50):
            middle = (low + high) / 2
            low, high = (middle, high) if out * math.sin(middle) + self.across / 2 * math.cos(middle) < self.trench / 2 else (low, middle)
        return high

    @property
    def world(self) -> tuple[float, float, float, float]:
        """All of it: left, low, right, high."""
        r = self.reach
        high = max(0.42 * r, self.width / 2 + 0.04 * r)
        low = min(-0.34 * r, -self.width / 2 - 0.04 * r, -self.tail)
        return self.swing - max(self.tail, self.track / 2) - 0.03 * r, low, 1.12 * r + self.bucket / 2, high

    def draw(self, view: View, turned: float) -> list[Point]:
        """Draw trench and machine, both turned clockwise by `turned` from the boom; return the wall the bucket is swung to."""
        ux, uy = math.cos(-turned), math.sin(-turned)

        def at(along: float, left: float) -> Point:
            return (self.swing + along * ux - left * uy, along * uy + left * ux)

        half, start = self.trench / 2, self.begins
        end = (view.world[2] - self.swing) / ux - half * math.sin(turned)
        wall: list[Point] = []
        if start is not None:
            wall = [at(start, half), at(end, half)]
            with view.part("cut"):
                view.polygon([*wall, at(end, -half), at(start, -half)], pen="none", fill="shade")
                view.polyline([at(end, -half), at(start, -half), *wall], pen="bold")
            with view.part("crest"):
                view.line(at(start, -half), at(start, half), pen="bold")
        if self.blade:
            compact_plan(
                view, (self.swing, 0.0), length=self.track, width=self.width, shoe=self.shoe, angle=-turned, look=0.0,
                pin=self.reach - self.swing, tail=self.tail, bucket_length=self.bucket, blade_width=self.blade, bucket_width=self.across,
                sized=self.sized,
            )  # fmt: skip
        else:
            excavator_plan(
                view, (self.swing, 0.0), length=self.track, width=self.width, shoe=self.shoe, angle=-turned, look=0.0,
                pin=self.reach - self.swing, tail=self.tail, bucket_length=self.bucket, bucket_width=self.across, sized=self.sized,
            )  # fmt: skip
        view.circle((0, 0), view.metres(6), fill="paper", pen="bold")
        return wall


def in_line(
    *,
    ident: str,
    reach: Measure,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    tail_radius: Measure | None = None,
    bucket_length: Measure | None = None,
    bucket_width: Measure | None = None,
    blade_width: Measure | None = None,
    trench_width: Measure | None = None,
    edge_distance: Measure | None = None,
    plain: bool = False,
) -> Canvas:
    """Draw a bucket that is drawn straight in, in line with the boom, from above.

    `reach` in metres from the pins at the boom's foot to the bucket; the others as of `against_the_wall`.
    """
    positive(reach=reach)
    above = _Above.of(reach, track_length, machine_width, shoe_width, tail_radius, bucket_length, bucket_width, blade_width,
                      trench_width, edge_distance)  # fmt: skip
    canvas = Canvas(
        ident,
        title="A trench dug front to back, in line with the boom",
        desc=both("An excavator from above, in line with its trench. The bucket, ", reach, " from the pins of the boom, is drawn straight in."),
    )  # fmt: skip
    view = canvas.view(above.world, pad=(14, 20, 20, 60), max_height=300, seen="above")
    above.draw(view, 0.0)
    r, low = reach.si, above.world[1]
    tip = r - 0.55 * above.bucket
    view.arrow((tip, 0.0), (max(tip - 0.3 * r, 0.4 * r), 0.0))
    view.dimension((0, low), (r, low), join("Reach ", reach), measure=reach, offset=-10, prefer="below")
    if not plain:
        view.label((tip - 0.1 * r, above.across / 2), "Drawn straight in", prefer=("above",), width=230)
        canvas.note("Front to back. The load runs along boom and stick, as they are made for.")
    return canvas


def against_the_wall(
    *,
    ident: str,
    reach: Measure,
    force: Measure,
    moment: Measure,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    tail_radius: Measure | None = None,
    bucket_length: Measure | None = None,
    bucket_width: Measure | None = None,
    blade_width: Measure | None = None,
    trench_width: Measure | None = None,
    edge_distance: Measure | None = None,
    plain: bool = False,
    spots: bool = False,
) -> Canvas:
    """Draw a bucket that is swung sideways against a trench wall, from above: force, reach and twist.

    `reach` in metres from the pins at the boom's foot to the bucket; `force` in newtons and `moment`
    in newton metres are printed; the moment must be force times reach. The others are the machine's
    and the trench's, in metres; sketches where not given. One with a `blade_width` is a compact
    excavator. `edge_distance`: how far its tracks keep from the trench. `plain` leaves out what tells
    that it is wrong. `spots=True`: regions `bucket`, `boom-foot` and `counterweight`, no figures.
    """
    positive(reach=reach, force=force, moment=moment)
    if abs(moment.si - force.si * reach.si) > 0.01 * moment.si:
        raise DrawingRefused(f"{force.us} at {reach.us} do not make {moment.us}")
    above = _Above.of(reach, track_length, machine_width, shoe_width, tail_radius, bucket_length, bucket_width, blade_width,
                      trench_width, edge_distance)  # fmt: skip
    bare = plain or spots
    canvas = Canvas(
        ident,
        title="A bucket swung against a trench wall" if bare else "Never sweep sideways: what it does to the pins",
        desc=both("An excavator from above. The side of its bucket is swung against the wall of the trench, ", reach, " from the pins of the boom.",
                  *(() if bare else (" The push of ", force, " twists the pins with ", moment, ".")))
    )  # fmt: skip
    view = canvas.view(above.world, pad=(14, 40, 20, 60), max_height=300, seen="above", way="wrong")
    above.draw(view, above.off)
    r, low = reach.si, above.world[1]
    side = above.across / 2
    swept = [(r * math.cos(a), -0.04 * r + r * math.sin(a)) for a in (math.radians(-15 + 2.2 * k) for k in range(5))]
    view.arrow_path(swept)
    view.label(swept[0], "Swing", prefer=("below", "left"), leader=False, width=90)
    if spots:
        view.spot("bucket", "at the bucket", [(r, 0.0)])
        view.spot("boom-foot", "at the foot of the boom", [(0.0, 0.0)])
        view.spot("counterweight", "at the counterweight", [(above.swing - 0.75 * above.tail, 0.0)])
        return canvas
    view.dimension((0, low), (r, low), join("Reach ", reach), measure=reach, offset=-10, prefer="below")
    if plain:
        return canvas
    view.arrow((r, 0.38 * r), (r, side + 0.01 * r))
    view.label((r, 0.38 * r), join("Wall pushes back ", force), prefer=("left", "above"), width=170)
    view.arrow_path([(0.2 * r * math.cos(math.radians(105 - 7 * k)), 0.2 * r * math.sin(math.radians(105 - 7 * k))) for k in range(13)])
    view.label(
        (0.06 * r, max(0.2 * r, above.width / 2 + 0.02 * r)), join("Twist at the pins ", moment), prefer=("above", "right"), width=180
    )
    canvas.note("The wrong way. Never sweep sideways.", bold=True)
    return canvas
