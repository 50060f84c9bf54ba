"""A stroke of the bucket step by step, by the linkage that holds boom, stick and bucket."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import FLOOR, Arm, Pose, arm_of, excavator_posed
from generator.drawing.measure import Measure, Words, both, join, positive

CLOSED = math.pi + 0.08
"""Direction from the pin to the teeth of a bucket that is curled full (radians)."""
OUT_OF_REACH = "So long a slice starts farther out than this machine reaches. Take it in two."


def stroke_film(
    *,
    ident: str,
    stick_length: Measure,
    bucket_angle: Measure,
    stroke_length: Measure,
    slice_depth: Measure,
    drawn_in: Sequence[Measure],
    in_bucket: Sequence[Measure],
    half_volume: Measure | None = None,
    bank_volume: Measure | None = None,
    bucket_width: Measure | None = None,
    bucket_length: Measure | None = None,
    track_length: Measure | None = None,
    max_reach: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw an excavator that takes one slice, from the teeth going in to the teeth lifted clear.

    - `stick_length` (pin to pin), `bucket_length` (pin to teeth), `track_length`, `max_reach`,
      `tail_radius`: metres, of the machine; sketches if not given but the first.
    - `bucket_angle`: radians between the bucket's floor and the level as the teeth go in.
    - `stroke_length`, `slice_depth`: metres, of the slice. `drawn_in` and `in_bucket` tell equal parts of
      it: metres that the teeth have come, and cubic metres of loose ground in the bucket.
    - `bank_volume`, `bucket_width`: cubic metres in the bank that fill the bucket, and its width (metres).
      What is cut so far has the section of as large a share of the one over the other.
    - `half_volume`: the wrong way. The bucket is curled half way, with so many cubic metres in it.

    At the end of the whole stroke the stick stands upright.
    """
    positive(stick_length=stick_length, stroke_length=stroke_length, slice_depth=slice_depth)
    count = len(drawn_in)
    if count < 2 or count % 2 or len(in_bucket) != count:
        raise DrawingRefused("a stroke is told in an even number of parts, with two figures for each")
    if not 0 < bucket_angle.si < math.pi / 2:
        raise DrawingRefused("the bucket enters at more than 0 and less than 90 degrees")
    s, long, deep = stick_length.si, stroke_length.si, slice_depth.si
    size = track_length.si / 1.5 if track_length else s
    dig = bucket_length.si if bucket_length else 0.5 * s
    tail = tail_radius.si if tail_radius else 0.98 * size
    ease = min(0.8 * deep, long / count)  # the teeth go in and come out over this length
    arm = _tall_enough(arm_of(s, size, bucket=dig, reach=max_reach.si if max_reach else 0.0), dig)
    # the pin of the full bucket, under an elbow straight above it
    up = 0.58 * dig
    pin_x = arm.foot[0] + math.sqrt(arm.boom**2 - (up + s - arm.foot[1]) ** 2)
    end = pin_x + dig * math.cos(CLOSED)
    start = end + long + ease

    def front(k: int) -> float:
        """Where the cut meets the ground after `k` parts."""
        return end + long * (1 - k / count)

    def pose(k: int) -> Pose:
        if k == count:
            return _curled(arm, pin_x, up)
        teeth = math.pi + FLOOR + bucket_angle.si * (1 - k / (count - 1))
        return arm.posed((start, 0.0) if k == 0 else (front(k) + ease, -deep), teeth=teeth)

    last = count // 2 if half_volume else count
    done = _curled(arm, pose(last).pin[0], up) if half_volume else pose(count)
    lifted = _curled(arm, done.pin[0], up + 0.3 * s)
    poses = [*(pose(k) for k in range(last if not half_volume else last + 1)), done, lifted]
    short = math.dist(pose(0).tip, (start, 0.0)) > 0.02 * s
    high = max(p.elbow[1] for p in (*poses, _curled(arm, pin_x, up + 0.3 * s), pose(0))) + 0.16 * arm.boom
    right = max(start, pose(0).pin[0]) + 0.35 * dig
    world = (-tail - 0.05 * s, -2.0 * deep, right, max(high, 1.25 * size))
    section = bank_volume.si / bucket_width.si if bank_volume and bucket_width else None
    frames: list[Frame] = []

    def add(held: Pose, k: int, says: Words, so_far: Measure | None, *told: Measure, full: bool = False) -> None:
        canvas = Canvas(ident, title="One stroke of the bucket", desc="One step, from the side.", steady=True)
        view = canvas.view(world, pad=(8, 12, 8, 8), max_height=330, seen="side")
        here = front(k)
        cut = [(here, 0.0), (here + ease, -deep), (end + long, -deep), (start, 0.0)] if k else []
        view.polygon([(world[0], 0.0), *cut, (right, 0.0), (right, world[1]), (world[0], world[1])], pen="none", fill="earth")
        if k < count:
            view.polygon([(end, 0.0), (end + ease, -deep), (end + long, -deep), (start, 0.0)], pen="dash")
        if k:
            with view.part("cut", **({"area": section * k / count} if section else {})):
                view.polygon(cut, pen="none")
        view.polyline([(world[0], 0.0), *cut, (right, 0.0)], pen="bold")
        excavator_posed(view, 0.0, 0.0, arm, held, size=size, tail=tail, loaded=full, sized=track_length is not None)
        whole = in_bucket[-1]
        canvas.note(join("In the bucket: ", so_far) if so_far else "In the bucket: nothing yet", bold=True)
        bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
        if so_far:
            bar.bar((0, 0), (100 * so_far.si / whole.si, 4), "dark", so_far)
        bar.rect(0, 0, 100, 4, pen="thin")
        canvas.note(join("The whole bar is ", whole, ". The slice is ", stroke_length, " long and ", slice_depth, " deep."))
        canvas.key_starts()
        if short:
            canvas.note(OUT_OF_REACH, boxed=True)
        else:
            canvas.note("Dashed: the slice.")
        frames.append(Frame(canvas, says, (*told, whole, stroke_length, slice_depth, *((so_far,) if so_far else ()))))

    add(
        poses[0],
        0,
        join("The teeth go in out in front. The floor of the bucket is at ", bucket_angle, " to the ground."),
        None,
        bucket_angle,
    )
    for k in range(1, last + (1 if half_volume else 0)):
        add(pose(k), k, join("The stick pulls in. The teeth have come ", drawn_in[k - 1], ", and ", in_bucket[k - 1], " is in the bucket."),
            in_bucket[k - 1], drawn_in[k - 1])  # fmt: skip
    if half_volume:
        add(done, last, join("Curled too early. The stick still leans out, and only ", half_volume, " is in the bucket."), half_volume)
        add(lifted, last, join("It lifts and swings with ", half_volume, ". The rest of the slice takes a second swing."), half_volume)
    else:
        add(done, count, join("The stick is upright and the bucket is curled. It holds ", in_bucket[-1], "."), in_bucket[-1], full=True)
        add(lifted, count, join("The boom lifts the teeth clear. Only now it swings, with ", in_bucket[-1], "."), in_bucket[-1], full=True)
    return Film(
        ident,
        title="A bucket that is curled too early" if half_volume else "One stroke of the bucket, step by step",
        desc=both(
            "From the side. The teeth go in out in front, the bucket's floor at ", bucket_angle, " to the ground. ",
            *(("Half way the bucket is curled, with ", half_volume, " in it.")
              if half_volume
              else ("They take a slice ", stroke_length, " long and ", slice_depth, " deep, and the bucket is full as the stick stands upright.")),
        ),
        frames=frames,
    )  # fmt: skip


def _tall_enough(arm: Arm, dig: float) -> Arm:
    """The arm, with a boom long enough to hold the stick upright over a bucket on the ground."""
    least = 1.15 * abs(0.58 * dig + arm.stick - arm.foot[1])
    return arm if arm.boom >= least else replace(arm, boom=least)


def _curled(arm: Arm, x: float, up: float) -> Pose:
    """The pose with a curled bucket, its pin at `x` and so high above the ground."""
    tip: Point = (x + arm.bucket * math.cos(CLOSED), up + arm.bucket * math.sin(CLOSED))
    return arm.posed(tip, teeth=CLOSED)
