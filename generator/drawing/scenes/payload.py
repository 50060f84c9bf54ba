"""Drawings of what a truck carries against its rated payload."""

from __future__ import annotations

from collections.abc import Sequence

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import truck_end
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.scenes._bench import build_of
from generator.drawing.scenes.loading import MOST_SHOWN
from generator.drawing.svg import Fill


def pass_film(
    *,
    ident: str,
    passes: Sequence[Measure],
    weights: Sequence[Measure],
    shares: Sequence[Measure],
    payload: Measure,
) -> Film:
    """Draw a tally pass by pass: the bar of buckets grows toward the rated payload, and stops before it.

    The sequences have one figure a pass, from none on: how many, the weight on the truck (kilograms) and its
    share of the rated payload. The last of them is over it: it is drawn in dashes, and never loaded.
    `payload` in kilograms.
    """
    positive(payload=payload)
    if len(passes) < 2 or len(weights) != len(passes) or len(shares) != len(passes):
        raise DrawingRefused("a tally needs the same figures of every pass, and one that is too much")
    longest = max(weights[-1].si, payload.si)
    shown, apart = picked(len(passes) - 1, MOST_SHOWN)
    frames = []
    for k in [*shown, len(passes) - 1]:
        stop = k == len(passes) - 1
        loaded = k - 1 if stop else k
        canvas = Canvas(ident, title="The tally, pass by pass", desc="One pass.", steady=True)
        room = canvas.width - 16
        view = canvas.view((0, 0, room, 128), pad=(4, 2, 4, 2), max_height=129, scale="bars")
        view.fixed_text((0, 128), join("Rated payload ", payload))
        view.bar((0, 72), (room * payload.si / longest, 100), "shade", payload)
        if loaded:
            view.bar((0, 10), (room * weights[loaded].si / longest, 52), "spoil", weights[loaded])
        step = room * (weights[-1].si - weights[-2].si) / longest
        for i in range(1, loaded):
            view.line((i * step, 10), (i * step, 52))
        if step > 34:
            for i in range(loaded):
                view.badge(((i + 0.5) * step, 31), str(i + 1))
        if stop:
            view.rect(loaded * step, 10, len(passes[:-1]) * step, 52, pen="dash")
        edge = room * payload.si / longest
        view.line((edge, 2), (edge, 104), pen="bold")
        canvas.note(join("On the truck: ", weights[loaded]), bold=True)
        canvas.note("All bars are drawn to one scale.")
        if apart > 1:
            canvas.note(thinned(apart, "pass"))
        says = (
            join("Stop. A full pass ", passes[k], " would make it ", weights[k], ", ", shares[k], " of the rated payload.")
            if stop
            else join("After pass ", passes[k], ": ", weights[k], " on the truck, ", shares[k], " of the rated payload.")
            if k
            else join("The truck is empty. It may take ", payload, ".")
        )
        frames.append(Frame(canvas, says, (passes[k], weights[k], shares[k], weights[loaded], payload)))
    return Film(
        ident,
        title="The tally, pass by pass",
        desc=both("A bar of bucket loads grows to ", weights[-2], ". The rated payload is ", payload, ". One more full bucket would make ",
                  weights[-1], "."),
        frames=frames,
    )  # fmt: skip


def from_behind(
    *,
    ident: str,
    weight: Measure,
    payload: Measure,
    truck_width: Measure | None = None,
    body_height: Measure | None = None,
    truck_build: str | None = None,
    aside: bool = False,
) -> Canvas:
    """Draw a loaded truck from behind, over the bar of its weight against the rated payload.

    `weight` and `payload` in kilograms, `truck_width` over all and `body_height` to the top of the body's
    sides in metres; sketches if not given. With `aside` the load is heaped over one side.
    """
    positive(weight=weight, payload=payload)
    wide = truck_width.si if truck_width else 3.1
    tall = body_height.si if body_height else 0.9 * wide
    over = weight.si > payload.si
    canvas = Canvas(
        ident,
        title="A loaded truck from behind",
        desc=both(
            "A truck from behind, its load ", "heaped over one side. " if aside else "in the middle of its body. ", "It weighs ", weight,
            ", and the rated payload is ", payload, ".",
        ),
    )  # fmt: skip
    view = canvas.view((-1.25 * wide, -0.1 * tall, 1.25 * wide, 1.7 * tall), pad=(8, 8, 8, 8), max_height=230, seen="end")
    view.rect(-1.25 * wide, -0.1 * tall, 1.25 * wide, 0, pen="none", fill="earth")
    view.line((-1.25 * wide, 0), (1.25 * wide, 0), pen="bold")
    with view.part("truck", seen="end", **({} if truck_width else {"sized": "no"})):
        truck_end(view, 0, 0, wide, tall, build=build_of(truck_build), load=not aside)
    if aside:
        with view.part("load"):
            # it lies on the floor of the body, low at one side and over the rim at the other
            left = [(-0.3, 0.54), (-0.43, 0.69), (-0.43, 0.74), (0.05, 0.98)]
            heap = [*left, (0.34, 1.24), (0.5, 1.12), (0.545, 0.99), (0.43, 0.97), (0.43, 0.69), (0.3, 0.54)]
            view.body([(x * wide, y * tall) for x, y in heap], fill="spoil")
        for x, y in ((0.66, 0.74), (0.74, 0.4), (0.7, 0.06)):
            with view.part("stone"):
                view.circle((x * wide, y * tall), 0.05 * tall, fill="spoil")
        view.arrow((0.66 * wide, 0.66 * tall), (0.72 * wide, 0.14 * tall))
    longest = max(weight.si, payload.si)
    room = canvas.width - 16
    bars = canvas.view((0, 0, room, 116), pad=(4, 2, 4, 2), max_height=117, scale="bars")
    bars.fixed_text((0, 114), join("On the truck: ", weight), bold=True)
    fill: Fill = "cross" if over else "stripe"
    bars.bar((0, 62), (room * weight.si / longest, 88), fill, weight)
    bars.fixed_text((0, 54), join("Rated payload: ", payload))
    bars.bar((0, 4), (room * payload.si / longest, 28), "shade", payload)
    edge = room * payload.si / longest
    bars.line((edge, 2), (edge, 92), pen="bold")
    canvas.note("Both bars are drawn to one scale.")
    return canvas
