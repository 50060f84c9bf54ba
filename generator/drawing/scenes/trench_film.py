"""A trench to grade, station by station: held from its own floor, and copied from the ground."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, NotReached
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Arm, Pose, arm_of, compact_arm, compact_side, excavator_posed
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.svg import Fill
from generator.drawing.view import View

_DOWN = math.radians(-118)
"""The way the teeth point while the bucket digs, and straight down where its edge is set on a spot."""


@dataclass(frozen=True)
class Digger:
    """The machine in line with the trench, uphill of the end of the cut, its boom over the cut. Metres."""

    arm: Arm
    track: float
    tail: float
    blade: float | None
    keeps: float
    sized: bool

    def stands(self, face: float) -> float:
        """How far uphill of the bucket's teeth the swing centre is, where the cut's end slopes back by `face`."""
        return face + self.keeps + self.track / 2

    def reaches(self, x: float, depth: float) -> bool:
        """Whether the teeth come to a spot so far ahead of the swing centre and below the ground."""
        wanted = (x, -depth)
        return math.dist(self.arm.posed(wanted, teeth=_DOWN).tip, wanted) < 1e-6

    def face(self, depth: float) -> float | None:
        """How far the end of the cut slopes back, at most as far as it is deep; None where the floor is out of reach."""
        return next((share * depth for share in (1.0, 0.7, 0.45) if self.reaches(self.stands(share * depth), depth)), None)

    @property
    def carries(self) -> Pose:
        """The pose with the bucket over the ground."""
        return self.arm.posed((self.arm.foot[0] + 0.7 * (self.arm.boom + self.arm.stick), 0.25 * self.arm.stick), teeth=_DOWN)

    def draw(self, view: View, x: float, pose: Pose) -> None:
        """Draw it, its swing centre at `x`, facing down the trench."""
        if self.blade is None:
            excavator_posed(view, x, 0.0, self.arm, pose, size=self.track / 1.5, facing=-1, tail=self.tail, sized=self.sized)
        else:
            compact_side(
                view, x, 0.0, track_length=self.track, arm=self.arm, pose=pose, blade_height=self.blade, facing=-1, tail=self.tail,
                sized=self.sized,
            )  # fmt: skip


def stations_film(
    *,
    ident: str,
    numbers: Sequence[Measure],
    distances: Sequence[Measure],
    rises: Sequence[Measure],
    depths: Sequence[Measure],
    offs: Sequence[Measure] | None = None,
    length: Measure,
    ground_rise: Measure,
    first_run: Measure | None = None,
    max_reach: Measure | None = None,
    track_length: Measure | None = None,
    stick_length: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_height: Measure | None = None,
    edge_distance: Measure | None = None,
) -> Film:
    """Draw a trench dug to grade, from its low end up, station by station.

    Each step has the machine at the end of the cut, at one scale, and below it the whole trench with
    its heights stretched.

    - `numbers`, `distances`, `rises`, `depths`: of each station, the low end first: its number, how
      far it is from the low end, how much higher the floor is than there, and the depth to dig
      below the ground; metres.
    - `offs`: how far the floor is off at each where the depth of the low end is kept all along. With
      them this wrong way is drawn.
    - `length`, `ground_rise`: of the trench, and how much higher the ground is at its high end.
    - `first_run`: how deep the first run is; one as deep as the low end or deeper is not told. The others are the machine's; one with a `blade_height`
      is a compact excavator. `edge_distance`: how far its tracks keep from the end of the cut.

    Raises `DrawingRefused` for a depth of zero or less, and for sequences that are not of one length,
    `NotReached` where a machine of known size does not come to the floor from where it has to stand.
    """
    positive(length=length, **{f"depth_{k}": depth for k, depth in enumerate(depths)})
    count = len(numbers)
    if count < 2 or any(len(column) != count for column in (distances, rises, depths, *((offs,) if offs else ()))):
        raise DrawingRefused("a trench station by station needs two of them at least, and the same figures of each")
    low_end = depths[0]
    deepest = max(low_end.si, *(d.si for d in depths))
    stick = stick_length.si if stick_length else deepest
    track = track_length.si if track_length else 1.4 * stick
    reach, dig = max_reach.si if max_reach else 0.0, bucket_length.si if bucket_length else 0.0
    arm = compact_arm(stick, track, bucket=dig, reach=reach) if blade_height else arm_of(stick, track / 1.5, bucket=dig, reach=reach)
    digger = Digger(
        arm, track, tail_radius.si if tail_radius else 0.66 * track, blade_height.si if blade_height else None,
        edge_distance.si if edge_distance else 0.3 * track, track_length is not None,
    )  # fmt: skip
    if any(digger.face(depth.si if offs is None else low_end.si) is None for depth in depths):
        raise NotReached(
            "the machine does not reach the floor from where its tracks have to stand",
            "Its tracks kept from the edge as the site's limit asks, this machine does not reach the floor of this trench. So the digging "
            "is not shown step by step. Ask before you dig: a larger machine or another plan is needed.",
        )
    film = _Stations(ident, digger, low_end, depths, distances, rises, length, ground_rise, offs, deepest)
    frames = [
        film.frame(0, 0.0, "The machine stands level, in line with the trench. The bucket's edge is set on the ground at the low end: the first zero.",
                   mark="Zero", told=(low_end,)),
    ]  # fmt: skip
    if first_run is not None and first_run.si < low_end.si * 0.999:
        frames.append(
            film.frame(0, first_run.si, join("The first run is dug, ", first_run, " below the zero."), told=(first_run,), shown=first_run)
        )
    else:  # questions take a step by its number
        frames.append(film.frame(0, low_end.si / 2, "The first run is on its way down. It goes no deeper than the plan."))
    frames.append(
        film.frame(
            0, low_end.si, join("At the low end it is dug down to ", low_end, ", the depth to dig there."), told=(low_end,), shown=low_end
        )
    )
    if offs is None:
        frames.append(
            film.frame(
                0,
                low_end.si,
                "The floor is clean. The bucket's edge is set on it: the new zero. From here on the floor is the guide.",
                mark="New zero",
            )
        )
        for k in range(1, count):
            if k > 1:
                frames.append(
                film.frame(
                    k - 1, depths[k - 1].si,
                    join("The machine has moved back, so its zero is gone. It touches off on the checked floor, ", distances[k - 1],
                         " from the low end. The floor there is ", rises[k - 1], " higher than at the low end."),
                    mark="Zero again", told=(distances[k - 1], rises[k - 1]),
                )
            )  # fmt: skip
            frames.append(
                film.frame(
                    k, depths[k].si,
                    join("Station ", numbers[k], ", ", distances[k], " from the low end. The floor is ", rises[k],
                         " higher than at the low end, and ", depths[k], " below the ground."),
                    told=(numbers[k], distances[k], rises[k], depths[k]), shown=depths[k],
                )
            )  # fmt: skip
    else:
        for k in range(1, count):
            deep = depths[k].si < low_end.si
            frames.append(
                film.frame(
                    k, low_end.si,
                    join("Station ", numbers[k], ", ", distances[k], " from the low end. The machine moved, and no zero was set on the floor. "
                         "It digs ", low_end, " below the ground again. The floor is ", offs[k], f" too {'deep' if deep else 'high'}."),
                    told=(numbers[k], distances[k], low_end, offs[k]), shown=low_end,
                )
            )  # fmt: skip
    how = "held from its own floor" if offs is None else "with its depth copied from the ground"
    end: Sequence[Text] = (
        ("At the high end the floor is ", rises[-1], " higher than at the low end, and ", depths[-1], " below the ground.")
        if offs is None
        else ("The wrong way: at the high end the floor is ", offs[-1], " off.")
    )
    return Film(
        ident,
        title=f"A trench to grade, {how}",
        desc=both("A trench ", length, " long, dug from its low end up, ", how, ". At the low end it is ", low_end, " deep. ", *end),
        frames=frames,
    )


@dataclass(frozen=True)
class _Stations:
    """What all steps of a film share."""

    ident: str
    digger: Digger
    low_end: Measure
    depths: Sequence[Measure]
    distances: Sequence[Measure]
    rises: Sequence[Measure]
    length: Measure
    ground_rise: Measure
    offs: Sequence[Measure] | None
    deepest: float

    def frame(
        self, k: int, dug: float, says: Text, *, mark: str = "", told: tuple[Measure, ...] = (), shown: Measure | None = None
    ) -> Frame:
        """The step at station `k`, where the trench is `dug` so deep; `mark` names the spot the bucket's edge is set on."""
        canvas = Canvas(self.ident, title="A trench to grade", desc="One step of it.", steady=True)
        self._near(canvas, k, dug, mark, shown)
        self._whole(canvas, k, dug)
        canvas.key_starts()
        rows: list[tuple[Fill, Text]] = [("earth", "Ground")]
        if self.offs is not None:
            rows.append(
                ("cross", "Dug too deep: to fill and pack again" if self.depths[-1].si < self.low_end.si else "Left too high: to dig again")
            )
        canvas.legend(rows)
        canvas.note("Dashed: the floor as planned. Nobody is in the trench.")
        return Frame(canvas, says, told)

    def _near(self, canvas: Canvas, k: int, dug: float, mark: str, shown: Measure | None) -> None:
        """Draw the machine at the end of the cut."""
        d, arm = self.digger, self.digger.arm
        # that it reaches was asked before
        faces = [d.face(depth.si if self.offs is None else self.low_end.si) or 0.0 for depth in self.depths]
        widest = max(faces)
        left = -max(1.6 * arm.bucket, 0.9 * self.deepest)
        right = d.stands(widest) + 1.06 * max(d.tail, d.track / 2)
        # the elbow stands highest with the bucket closest by
        poses = [d.carries, *(arm.posed((d.stands(widest), -depth), teeth=_DOWN) for depth in (0.0, self.deepest))]
        tall = max(arm.foot[1] * 2.2, *(pose.elbow[1] + 0.16 * arm.stick for pose in poses))
        view = canvas.view((left, -1.3 * self.deepest, right, tall), pad=(8, 16, 8, 16), max_height=250, seen="side",
                           way="wrong" if self.offs is not None else "")  # fmt: skip
        planned = self.depths[k].si
        face = faces[k] * min(dug / max(planned, self.low_end.si if self.offs is not None else 0.0), 1.0)
        start = -0.9 * arm.bucket if k == 0 else left  # the low end itself, or open toward it
        low = view.world[1]
        line: list[Point] = [(left, 0.0)] if k == 0 else []
        if dug:
            line += [*([(start, 0.0)] if k == 0 else []), (start, -dug), (0.0, -dug), (face, 0.0)]
        line.append((right, 0.0))
        with view.part("cut"):
            view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
            if self.offs is not None and k and abs(dug - planned) > 1e-9:
                view.polygon([(start, -planned), (0.0, -planned), (0.0, -dug), (start, -dug)], pen="none", fill="cross")
            view.polyline(line, pen="bold")
        if dug:
            with view.part("crest"):
                view.line((face, 0.0), (face - view.metres(2), 0.0), pen="bold")
        view.line((left, -planned), (face, -planned), pen="dash")
        at = d.stands(face)
        pose = d.carries if dug and not d.reaches(at, dug) else arm.posed((at, -dug), teeth=-math.pi / 2 if mark else _DOWN)
        if mark and math.dist(pose.tip, (at, -dug)) > 1e-6:
            pose = arm.posed((at, -dug), teeth=_DOWN) if d.reaches(at, dug) else d.carries
        d.draw(view, at, pose)
        if mark:
            view.label((0.0, -dug), mark, prefer=("below", "left"), bold=True, width=150)
        elif shown is not None:
            x = start + 0.25 * (0.0 - start)
            view.dimension((x, -dug), (x, 0.0), shown, prefer="left", width=110)

    def _whole(self, canvas: Canvas, k: int, dug: float) -> None:
        """Draw the whole trench with its heights stretched, dug as far as station `k`."""
        run, up = self.length.si, self.ground_rise.si
        high, low = max(up, 0.0), -self.deepest + min(up, 0.0)
        low -= 0.18 * (high - low)
        stretch = 1.0
        per_metre = (canvas.width - 8 - 120) / run
        while (high - low) * per_metre * stretch < 84 and stretch < 400:
            stretch = stretch + 1 if stretch < 5 else stretch + 5 if stretch < 50 else stretch + 50
        view = canvas.view((0, low, run, high), pad=(60, 40, 60, 46), max_height=150, stretch=stretch,
                           way="wrong" if self.offs is not None else "")  # fmt: skip
        extra = view.metres(50)
        grade = up / run

        def ground(x: float) -> float:
            return grade * x

        def floor(j: int) -> Point:
            x = self.distances[j].si
            return x, ground(x) - (self.low_end.si if self.offs is not None else self.depths[j].si)

        here = self.distances[k].si
        done = [floor(j) for j in range(k + 1)]
        if dug:
            if k == 0:
                done = [(0.0, -dug), (run * 0.02, -dug)]
            here_end = done[-1][0]
            line = [(-extra, 0.0), (0.0, 0.0), *done, (here_end, ground(here_end)), (run + extra, ground(run + extra))]
        else:
            line = [(-extra, 0.0), (run + extra, ground(run + extra))]
        with view.part("cut"):
            view.polygon([*line, (run + extra, low), (-extra, low)], pen="none", fill="earth")
            if self.offs is not None and dug and k:
                planned = [(self.distances[j].si, self.rises[j].si - self.depths[0].si) for j in range(k + 1)]
                view.polygon([*planned, *reversed(done)], pen="none", fill="cross")
            view.polyline(line, pen="bold")
        view.line((0.0, -self.depths[0].si), (run, self.rises[-1].si - self.depths[0].si), pen="dash")
        view.arrow((here, ground(here) + 26 / (view.per_metre * view.stretch)), (here, ground(here) + 3 / (view.per_metre * view.stretch)))
        if self.offs is not None and k:
            too = "deep" if self.depths[k].si < self.low_end.si else "high"
            view.label(done[-1], join(self.offs[k], f" too {too}"), prefer=("below", "left"), bold=True, width=170)
        view.fixed_text((-view.metres(40), low), "Low end")
        view.fixed_text((run - view.metres(30), low), "High end")
