"""A strip of hard ground ripped and then pushed, or pushed as it lies, step by step."""

from __future__ import annotations

from collections.abc import Sequence

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, TooFewSteps
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import dozer_height, dozer_side, person
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.view import View

PASSES, STEPS = 8, 14
"""So many ripping passes and pushes are shown at the most."""


def strip_film(
    *,
    ident: str,
    passes_ripped: Sequence[Measure],
    pushes: Sequence[Measure],
    times: Sequence[Measure],
    rip_depth: Measure,
    rip_spacing: Measure,
    strip_width: Measure,
    blade_height: Measure,
    most_time: Measure | None = None,
    share: float = 1.0,
    track_length: Measure | None = None,
) -> Film:
    """Draw a strip that is ripped and then pushed, or pushed as it lies where no pass is ripped.

    - the sequences have one figure a step: how many passes are ripped and how many pushes are done
      by then, and the time so far (seconds).
    - `rip_depth`, `rip_spacing`, `strip_width` (the blade's), `blade_height`, `track_length`: metres.
    - `share`: what the blade brings, as a part of a full load.
    - `most_time`: seconds that the bar is long enough for, so that two films can be compared.

    Raises `DrawingRefused` for a length of zero or less and for sequences that are not of one length,
    `TooFewSteps` for a strip of one step.
    """
    positive(rip_depth=rip_depth, rip_spacing=rip_spacing, strip_width=strip_width, blade_height=blade_height)
    count = len(times)
    if any(len(column) != count for column in (passes_ripped, pushes)):
        raise DrawingRefused("a strip step by step needs the same figures of each step")
    if count < 2:
        raise TooFewSteps("a strip step by step needs two steps at least")
    depth, blade, track = rip_depth.si, blade_height.si, track_length.si if track_length else None
    most, all_passes, all_pushes = most_time or times[-1], passes_ripped[-1], pushes[-1]
    ripping = [k for k in range(count) if pushes[k].si == 0]
    pushing = [k for k in range(count) if pushes[k].si > 0]
    rips, _ = picked(len(ripping), PASSES)
    pushed, apart = picked(len(pushing), STEPS)
    frames = []
    for k in (*(ripping[i] for i in rips), *(pushing[i] for i in pushed)):
        gone = depth * pushes[k].si / all_pushes.si if all_pushes.si else 0.0
        canvas = Canvas(ident, title="A strip of hard ground step by step", desc="One step of the strip.", steady=True)
        _side(canvas, depth, gone, blade, track, ripped=passes_ripped[k].si > 0, pushing=pushes[k].si > 0, share=share)
        canvas.skip(4)
        _section(canvas, depth, gone, rip_spacing.si, strip_width.si, round(passes_ripped[k].si), round(all_passes.si))
        canvas.skip(4)
        canvas.note(join("Time so far: ", times[k]), bold=True)
        bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
        if times[k].si > 0:
            bar.bar((0, 0), (100 * min(times[k].si / most.si, 1.0), 4), "dark", times[k])
        bar.rect(0, 0, 100, 4, pen="thin")
        canvas.note(join("The whole bar is ", most, "."))
        canvas.key_starts()
        canvas.legend([("spoil", "Loosened ground, and the load"), ("earth", "Hard ground")])
        canvas.note("Below, the strip is cut across. Ground is drawn as it lay, not swelled.")
        if apart > 1:
            canvas.note(thinned(apart, "push"))
        if pushes[k].si == 0:
            says = join("Ripping, pass ", passes_ripped[k], " of ", all_passes, ": ", times[k], " so far.")
            told: tuple[Measure, ...] = (passes_ripped[k], all_passes, times[k], most)
        else:
            says = join("Push ", pushes[k], " of ", all_pushes, "" if share >= 1 else ", the blade part full", ": ", times[k], " so far.")
            told = (pushes[k], all_pushes, times[k], most)
        frames.append(Frame(canvas, says, told))
    how = "ripped first" if all_passes.si else "not ripped"
    return Film(
        ident,
        title=f"A strip of hard ground step by step, {how}",
        desc=both(
            "From the side and cut across, a strip ", strip_width, " wide, taken ", rip_depth, " deep. ",
            *(("It is ripped in ", all_passes, " passes. ") if all_passes.si else ("It is pushed as it lies. ",)),
            "Pushes: ", all_pushes, ". Time: ", times[-1], ".",
        ),
        frames=frames,
    )  # fmt: skip


def _side(
    canvas: Canvas, depth: float, gone: float, blade: float, track: float | None, *, ripped: bool, pushing: bool, share: float
) -> None:
    """Draw the dozer from the side as it rips, its shank at full depth, or as it pushes with `gone` metres of ground taken off."""
    long = track or 2.4 * blade
    rear = 0.75 * blade + long
    left, right = -rear - 0.55 * long, 2.6 * blade
    view = canvas.view((left, -1.25 * depth, right, 1.02 * dozer_height(blade, track)), pad=(4, 6, 4, 4), max_height=200, seen="side")
    low = view.world[1]
    tip = -rear - 0.115 * long
    view.rect(left, low, right, -gone, pen="none", fill="earth")
    if ripped and gone < depth:
        with view.part("cut"):
            view.body([(left, -depth), (right if pushing else tip, -depth), (right if pushing else tip, -gone), (left, -gone)],
                      pen="thin", fill="spoil")  # fmt: skip
    view.line((left, -gone), (right, -gone), pen="bold")
    if gone > 0:
        view.line((left, 0), (right, 0), pen="dash")
    if pushing:
        size = blade * share**0.5  # the section of the load goes with its square
        with view.part("load"):
            view.body(
                [(0.0, -gone), (0.02, 0.95 * size - gone), (0.25 * size, 0.98 * size - gone), (1.3 * size, -gone)], pen="thin", fill="spoil"
            )
    else:
        view.body([(tip - 0.03 * long, 0.4 * long), (tip + 0.03 * long, 0.4 * long), (tip + 0.03 * long, -0.8 * depth), (tip, -depth),
                   (tip - 0.03 * long, -0.8 * depth)], fill="dark", pen="thin")  # fmt: skip
    dozer_side(view, 0.0, -gone, blade, track_length=track, ripper=True, blade_up=0.0 if pushing else 0.35 * blade)


def _section(canvas: Canvas, depth: float, gone: float, spacing: float, width: float, done: int, passes: int) -> View:
    """Draw the strip cut across: `done` passes ripped of as many as fit, and `gone` metres taken off."""
    wide = max(passes * spacing, width)
    edge = 0.25 * width
    view = canvas.view((-wide / 2 - edge, -1.5 * depth, wide / 2 + edge, 0.15 * depth), pad=(4, 4, 4, 4), max_height=110, seen="across")
    left, low, right, _ = view.world
    half = wide / 2
    floor: list[Point] = [(left, 0.0), (-half, 0.0), (-half, -gone), (half, -gone), (half, 0.0), (right, 0.0)]
    view.polygon([*floor, (right, low), (left, low)], pen="none", fill="earth")
    for k in range(done):
        x = (k + 0.5) * spacing - passes * spacing / 2
        opened = min(depth, spacing / 2)
        points = [(x, -depth), (x + opened, opened - depth), (x + opened, 0.0), (x - opened, 0.0), (x - opened, opened - depth)]
        if gone >= depth - opened:
            rest = depth - gone
            points = [(x, -depth), (x + rest, -gone), (x - rest, -gone)]
        else:
            points = [(px, min(py, -gone)) for px, py in points]
        if gone < depth * (1 - 1e-6):
            with view.part("cut"):
                view.body(points, pen="thin", fill="spoil")
    view.polyline(floor, pen="bold")
    return view


def at_work(
    *,
    ident: str,
    rip_depth: Measure,
    blade_height: Measure,
    track_length: Measure | None = None,
    backwards: bool = False,
    shank_up: bool = False,
    someone: bool = False,
    line: bool = False,
    spots: bool = False,
) -> Canvas:
    """Draw a dozer with its ripper from the side, the shank at its depth; lengths in metres.

    `shank_up` lifts it clear, `backwards` has the dozer back up, `someone` stands behind it, and
    `line` lays a buried line in its way, ahead of the blade, with its mark above it. `spots=True` turns it into a question with the regions
    `shank`, `blade` and `behind`.
    """
    positive(rip_depth=rip_depth, blade_height=blade_height)
    depth, blade, track = rip_depth.si, blade_height.si, track_length.si if track_length else None
    long = track or 2.4 * blade
    rear = 0.75 * blade + long
    canvas = Canvas(
        ident, title="A dozer with its ripper", desc=both("A dozer from the side. Its ripper reaches ", rip_depth, " into the ground.")
    )
    ahead = 1.5 * blade  # of the cutting edge
    left, right = -rear - (1.1 * long if spots or someone else 0.7 * long), (2.6 if line else 1.6) * blade
    top = 1.02 * dozer_height(blade, track)
    view = canvas.view((left, -1.5 * depth, right, top), pad=(40, 40, 40, 40) if spots else (6, 34, 6, 4), max_height=230, seen="side")
    low = view.world[1]
    tip = -rear - 0.115 * long
    bottom = 0.16 * long if shank_up else -depth
    view.rect(left, low, right, 0.0, pen="none", fill="earth")
    broken = (left, right) if backwards else (left, tip)
    with view.part("cut"):
        view.body([(broken[0], -depth), (broken[1], -depth), (broken[1], 0.0), (broken[0], 0.0)], pen="thin", fill="spoil")
    view.line((left, 0.0), (right, 0.0), pen="bold")
    if line:
        with view.part("line"):
            view.circle((ahead, -0.6 * depth), max(0.12 * depth, view.metres(7)), fill="paper", pen="bold")
        flag = 0.4 * blade
        view.line((ahead, 0.0), (ahead, flag), pen="line")
        view.body([(ahead, flag), (ahead + 0.5 * flag, 0.8 * flag), (ahead, 0.6 * flag)], fill="dark", pen="thin")
    view.body([(tip - 0.03 * long, 0.45 * long), (tip + 0.03 * long, 0.45 * long), (tip + 0.03 * long, bottom + 0.06 * long), (tip, bottom),
               (tip - 0.03 * long, bottom + 0.06 * long)], fill="dark", pen="thin")  # fmt: skip
    dozer_side(view, 0.0, 0.0, blade, track_length=track, ripper=True, blade_up=0.35 * blade)
    if someone:
        person(view, (-rear - 0.75 * long, 0.0))
    if spots:
        view.spot("shank", "the ripper", [(tip, -0.3 * depth)])
        view.spot("blade", "the blade", [(0.0, 0.8 * blade)])
        view.spot("behind", "the ground behind the dozer", [(-rear - 0.85 * long, 0.0)])
        return canvas
    above = top + view.metres(14)
    a, b = (-0.2 * rear, -0.8 * rear) if backwards else (-0.8 * rear, -0.2 * rear)
    view.arrow((a, above), (b, above))
    canvas.note("The arrow shows which way the dozer drives.")
    return canvas
