"""The spoil pile push by push."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, TooFewSteps
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import dozer_height, dozer_side, person
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.view import View

STEPS = 14
"""So many steps of a pile are shown at the most."""


def pile_film(
    *,
    ident: str,
    push_numbers: Sequence[Measure],
    heights: Sequence[Measure],
    ramps: Sequence[Measure],
    driven: Sequence[Measure],
    ratio: float,
    blade_height: Measure,
    far_side_ratio: float = 1.5,
    most_driven: Measure | None = None,
    longest_ramp: Measure | None = None,
    highest: Measure | None = None,
    track_length: Measure | None = None,
    blade_width: Measure | None = None,
    least_width: Measure | None = None,
    ratio_text: Text | None = None,
) -> Film:
    """Draw a spoil pile push by push from the side: what each load adds, and how far its ramp is driven.

    - the sequences have one figure a push, push 1 first: its number, the height of the pile and the
      level length of its ramp after it, and what was driven on the ramp by then (metres).
    - `ratio`, `far_side_ratio`: run for one of rise of the ramp and of the far side; `ratio_text`
      is the ramp's printed ratio.
    - `blade_height`, `track_length`: the dozer; its tracks keep so far from the top edge as `least_width` is
      wider on each side than `blade_width`.
    - `most_driven`, `longest_ramp` and `highest`: metres that the bar and the picture have room for,
      so that two films can be compared.

    Raises `DrawingRefused` for sequences that are not of one length or a pile that does not grow,
    `TooFewSteps` for a pile of one push.
    """
    positive(blade_height=blade_height)
    count = len(push_numbers)
    if any(len(column) != count for column in (heights, ramps, driven)):
        raise DrawingRefused("a pile push by push needs the same figures of each push")
    if count < 2:
        raise TooFewSteps("a pile push by push needs two pushes at least")
    grown = [height.si for height in heights]
    if grown != sorted(grown) or grown[0] <= 0:
        raise DrawingRefused("a pile grows with every push")
    blade, track, keep = (
        blade_height.si,
        track_length.si if track_length else None,
        (least_width.si - blade_width.si) / 2 if least_width and blade_width else 0.0,
    )
    most = most_driven or driven[-1]
    peak = max(grown[-1], highest.si if highest else 0.0)
    run = max(ratio * grown[-1], longest_ramp.si if longest_ramp else 0.0)
    rear = 0.75 * blade + (track or 2.4 * blade)
    left = -1.25 * rear - keep
    shown, apart = picked(count, STEPS)
    frames = []
    for k in shown:
        was, now = grown[k - 1] if k else 0.0, grown[k]
        canvas = Canvas(ident, title="A spoil pile push by push", desc="One push of the pile.", steady=True)
        tall = peak + 0.9 * dozer_height(blade, track)
        view = canvas.view(
            (left, -0.16 * peak, run + 1.04 * far_side_ratio * peak, tall), pad=(4, 8, 66, 40), max_height=250, seen="side",
        )  # fmt: skip
        _pile(view, was, now, ratio, far_side_ratio)
        at, angle = _stop(now, ratio, blade, rear, keep)
        dozer_side(view, *at, blade, track_length=track, angle=angle)
        view.dimension(
            (0, -0.16 * peak), (ratio * now, -0.16 * peak), join("Ramp ", ramps[k]), measure=ramps[k], offset=-10, prefer="below"
        )
        end = (ratio + far_side_ratio) * now
        view.line((ratio * now, now), (end + view.metres(6), now), pen="thin")
        view.dimension((end, 0), (end, now), heights[k], offset=-8, prefer="right", width=66)
        canvas.skip(4)
        canvas.note(join("Driven on the ramp so far: ", driven[k]), bold=True)
        bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
        if driven[k].si > 0:
            bar.bar((0, 0), (100 * min(driven[k].si / most.si, 1.0), 4), "dark", driven[k])
        bar.rect(0, 0, 100, 4, pen="thin")
        canvas.note(join("The whole bar is ", most, "."))
        canvas.key_starts()
        canvas.legend([("spoil", "Spoil"), ("cut", "What this push adds"), ("earth", "Ground")])
        if ratio_text:
            canvas.note(join("Ramp ", ratio_text, ": that much run for each one of rise."))
        if apart > 1:
            canvas.note(thinned(apart, "push"))
        says = join("Push ", push_numbers[k], " of ", push_numbers[-1], ": spoil ", heights[k], " high, ramp ", ramps[k], " long, ", driven[k],
                    " driven on it.")  # fmt: skip
        frames.append(Frame(canvas, says, (push_numbers[k], push_numbers[-1], most, heights[k], ramps[k], driven[k])))
    return Film(
        ident,
        title="A spoil pile push by push",
        desc=both(
            f"From the side. In {count} pushes the spoil grows to ", heights[-1], " high, with a ramp ", ramps[-1],
            " long. The dozer stops short of the top edge. It drives ", driven[-1], " on the ramp, up and back.",
        ),
        frames=frames,
    )  # fmt: skip


def _pile(view: View, was: float, now: float, ratio: float, far: float) -> None:
    """Draw the ground, the pile and what the last push added to it."""
    left, low, right, _ = view.world
    view.rect(left, low, right, 0, pen="none", fill="earth")
    view.line((left, 0), (right, 0))
    with view.part("spoil", area=(ratio + far) * now**2 / 2):
        view.body([(0, 0), (ratio * now, now), ((ratio + far) * now, 0)], fill="spoil")
    view.body([(ratio * was, was), (ratio * now, now), ((ratio + far) * now, 0), ((ratio + far) * was, 0)], pen="thin", fill="cut")
    with view.part("ramp", grade=1 / ratio):
        view.line((0, 0), (ratio * now, now), pen="bold")
    with view.part("crest"):
        down = view.metres(0.5)  # a hair of the far side
        view.line((ratio * now, now), (ratio * now + down, now - down / max(far, 0.1)))


def _stop(height: float, ratio: float, blade: float, rear: float, keep: float) -> tuple[Point, float]:
    """Where the cutting edge of the dozer is when it stops, and how it is tilted: its tracks `keep` short of the top edge.

    On a pile whose ramp is too short to carry the whole machine it stands before its foot.
    """
    angle = math.atan(1 / ratio)
    reach = math.hypot(1, ratio) * height - max(keep / math.cos(angle) - 0.75 * blade, 0.6 * blade)
    if reach < rear:  # its rear end would stand on the level, behind the foot
        return (min(-0.1 * blade, ratio * height - keep + 0.75 * blade), 0.0), 0.0
    return (reach * math.cos(angle), reach * math.sin(angle)), angle


def pile_side(
    *,
    ident: str,
    height: Measure,
    ramp_length: Measure,
    blade_height: Measure,
    far_side_ratio: float = 1.5,
    track_length: Measure | None = None,
    blade_width: Measure | None = None,
    least_width: Measure | None = None,
    someone: bool = False,
    at_edge: bool = False,
    spots: bool = False,
) -> Canvas:
    """Draw a spoil pile from the side with its height and the length of its ramp, and the dozer that pushes up it.

    Lengths in metres; all but these two as of `pile_film`. `someone` stands behind the pile;
    `at_edge` puts the dozer where its blade hangs over the top edge, as it must not stand.
    `spots=True` turns it into a question with the regions `foot`, `top-edge` and `behind`.
    """
    positive(height=height, ramp_length=ramp_length, blade_height=blade_height)
    h, run, blade = height.si, ramp_length.si, blade_height.si
    track = track_length.si if track_length else None
    keep = (least_width.si - blade_width.si) / 2 if least_width and blade_width else 0.0
    rear = 0.75 * blade + (track or 2.4 * blade)
    end = run + far_side_ratio * h
    canvas = Canvas(
        ident,
        title="A spoil pile from the side",
        desc=both("A spoil pile ", height, " high, with a ramp ", ramp_length, " long on the level. A dozer pushes up the ramp."),
    )
    at, angle = _stop(h, run / h, blade, rear, keep)
    if at_edge:
        reach, angle = math.hypot(run, h) + 0.5 * blade, math.atan2(h, run)
        at = (reach * math.cos(angle), reach * math.sin(angle))
    left = min(-0.1 * end, at[0] - 1.25 * rear)
    tall = max(h, at[1] + 0.9 * dozer_height(blade, track), 1.8)
    pad = (40, 40, 66, 76) if spots else (6, 10, 66, 42)
    view = canvas.view((left, -0.16 * h, end + max(0.25 * h, 2.0), tall), pad=pad, max_height=240, seen="side")
    _pile(view, h, h, run / h, far_side_ratio)
    dozer_side(view, *at, blade, track_length=track, angle=angle)
    if someone:
        person(view, (end + 0.8, 0.0))
    if spots:
        view.spot("foot", "the foot of the ramp", [(0.0, 0.0)])
        view.spot("top-edge", "the top edge of the pile", [(run, h)])
        view.spot("behind", "the ground behind the pile", [(end + 0.1 * h, 0.0)])
        return canvas
    view.dimension((0, -0.16 * h), (run, -0.16 * h), join("Ramp ", ramp_length), measure=ramp_length, offset=-10, prefer="below")
    view.line((run, h), (end + view.metres(6), h), pen="thin")
    view.dimension((end, 0), (end, h), height, offset=-8, prefer="right", width=66)
    return canvas
