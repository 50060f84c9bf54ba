"""Heat and hours: the first days in the heat, the hours of a day, and what is done for a person the heat has struck."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import person
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._parked import Tilted
from generator.drawing.svg import Fill
from generator.drawing.view import View

# ---- the first days -----------------------------------------------------------------------------------


def _days(canvas: Canvas, hours: Sequence[Measure], shift: Measure, upto: int, *, wrong: bool) -> None:
    """Draw a bar a day, up to day `upto`, all to one scale; the line across is the whole shift."""
    count = len(hours)
    view = canvas.view((0.0, 0.0, 1.0, 0.62), pad=(2, 30, 2, 34), max_height=330, scale="bars", way="wrong" if wrong else "")
    pitch, full = 1.0 / count, 0.6
    view.line((0.0, full), (1.0, full), pen="dash")
    view.line((0.0, 0.0), (1.0, 0.0), pen="bold")
    if not wrong:
        view.fixed_text((0.0, full + view.metres(24)), join("The whole shift: ", shift))
    for k, value in enumerate(hours[:upto]):
        x = (k + 0.15) * pitch
        view.bar((x, 0.0), (x + 0.7 * pitch, full * value.si / shift.si), "stripe" if wrong else "shade", value, upright=True)
        view.fixed_text((x + view.metres(2), view.metres(-4)), f"Day {k + 1}")
        view.fixed_text((x + view.metres(2), full * value.si / shift.si + view.metres(24)), value, bold=True)


def week_film(*, ident: str, hours: Sequence[Measure], shift: Measure, wrong: bool = False) -> Film:
    """Draw the hours in the heat of the first days, a day a step; times in seconds.

    `hours` are at most the `shift`. With `wrong=True` each is the whole shift, from day one on.
    """
    positive(shift=shift)
    if any(value.si > shift.si * (1 + 1e-9) or value.si <= 0 for value in hours):
        raise DrawingRefused(f"a day in the heat is longer than the shift of {shift.us}, or nothing")
    shown = [shift] * 3 if wrong else list(hours)
    after: tuple[Text, ...] = (
        "Cramps, a headache, thirst. Nothing is said.",
        "Dizzy, sick, slow. Most who die of heat die in their first week.",
        "Talks oddly, falls. It can be too late now.",
    )
    frames = []
    for k, value in enumerate(shown, 1):
        canvas = Canvas(ident, title="Hours in the heat, day by day", desc="One step of it.", steady=True)
        _days(canvas, shown, shift, k, wrong=wrong)
        if wrong:
            says = join(f"Day {k}: ", value, " in the heat. ", after[k - 1])
        elif value.si < shift.si * (1 - 1e-9):
            says = join(f"Day {k}: ", value, " in the heat at most. The rest of the shift is in a cool place.")
        else:
            says = join(f"Day {k}: the whole shift, ", value, ", with water, rest and shade.")
        frames.append(Frame(canvas, says, (value,)))
    return Film(
        ident, title="The wrong way: the whole shift from day one" if wrong else "The first days in the heat", frames=frames,
        desc=both("The dashed line is the whole shift of ", shift, ". ", "Each day goes up to it." if wrong else "Each day is longer than the one before."),
    )  # fmt: skip


# ---- the hours of a day -----------------------------------------------------------------------------------


def day_film(
    *, ident: str, shift_time: Measure, travel_time: Measure, own_time: Measure, sleep: Measure, wrong: bool = False,
) -> Film:  # fmt: skip
    """Draw a day as one strip, filled piece by piece; times in seconds, which must make a day."""
    positive(shift_time=shift_time, own_time=own_time)
    total = shift_time.si + 2 * travel_time.si + own_time.si + sleep.si
    if abs(total - 86400) > 900 or min(travel_time.si, sleep.si) < 0:
        raise DrawingRefused(f"the pieces of a day make {total / 3600:.4g} hours")
    pieces: list[tuple[str, Fill, list[Measure], Text]] = [
        ("Shift", "dark", [shift_time], join("The shift takes ", shift_time, " of the day.")),
        ("Road", "stripe", [travel_time, travel_time], join("The road takes ", travel_time, " each way.")),
        ("Home", "dots", [own_time], join("Eating, washing, family: ", own_time, ".")),
        ("Sleep", "shade", [sleep], join("What is left for sleep: ", sleep, ".")),
    ]
    frames = []
    for k in range(1, len(pieces) + 1):
        canvas = Canvas(ident, title="The hours of a day", desc="One step of it.", steady=True)
        view = canvas.view((0.0, 0.0, 1.0, 0.16), pad=(2, 10, 2, 10), max_height=120, scale="bars", way="wrong" if wrong else "")
        at = 0.0
        for _, fill, values, _ in pieces[:k]:
            for value in values:
                wide = value.si / 86400
                if wide > 0:
                    view.bar((at, 0.0), (at + wide, 0.16), fill, value)
                at += wide
        view.rect(0.0, 0.0, 1.0, 0.16, pen="bold")
        canvas.key_starts()
        canvas.legend([(fill, name) for name, fill, _, _ in pieces])
        _, _, values, says = pieces[k - 1]
        frames.append(Frame(canvas, says, tuple(values[:1])))
    return Film(
        ident, title="One day, piece by piece", frames=frames,
        desc=both("A strip is one day: the shift ", shift_time, ", the road ", travel_time, " each way, at home ", own_time, ", and ", sleep, " for sleep."),
    )  # fmt: skip


# ---- struck by the heat -------------------------------------------------------------------------------------

TALL = 1.75


def _sun(view: View) -> None:
    x, y = view.world[2] - 0.55, view.world[3] - 0.5
    view.circle((x, y), 0.24, fill="paper", pen="bold")
    rays = [(math.cos(k * math.pi / 4), math.sin(k * math.pi / 4)) for k in range(8)]
    view.strokes([[(x + 0.32 * c, y + 0.32 * s), (x + 0.44 * c, y + 0.44 * s)] for c, s in rays], pen="line")


def _shade(view: View, x: float) -> None:
    """Draw a roof on two poles over the ground from `x` on, 3 m wide."""
    for post in (x, x + 3.0):
        view.line((post, 0.0), (post, 2.45), pen="bold")
    view.body([(x - 0.25, 2.45), (x + 3.25, 2.45), (x + 2.9, 2.8), (x + 0.1, 2.8)], fill="stripe")


def _cooler(view: View, x: float) -> None:
    view.body([(x, 0.0), (x + 0.6, 0.0), (x + 0.6, 0.5), (x, 0.5)], fill="water")
    view.body([(x - 0.05, 0.5), (x + 0.65, 0.5), (x + 0.65, 0.6), (x - 0.05, 0.6)], fill="dark")


def _lying(view: View, head: float, high: float = 0.16) -> None:
    """Draw a person who lies on the back, the head at `head`, the feet to the right."""
    foot = (head + TALL, high)
    person(Tilted.over(view, 1.5707963, foot), foot, TALL)


_HELP: tuple[tuple[str, str], ...] = (
    ("odd", "Talks oddly, stumbles or faints, sweating or not. Take it for heat stroke."),
    ("call", "Call for help at once, and say where. One goes to meet the ambulance. Somebody stays."),
    ("carry", "Into the shade or a cool cab. Helmet, vest, boots and outer clothes off. The sketch still shows them on."),
    ("cool", "Cold water and ice, at once: soak the clothes, ice at neck, armpits and groin. Fan hard."),
    ("stay", "Stay and go on cooling till help takes over. Who is confused is given nothing to drink."),
)
_ALONE: tuple[tuple[str, str], ...] = (
    ("odd", "Talks oddly, stumbles. Nobody asks. The load must get done."),
    ("off", "Goes off alone to lie down in the sun, behind the machine."),
    ("down", "Lies there. Each minute without cooling does harm that stays."),
    ("found", "Found at the end of the shift. That is how it kills."),
)


def _scene(view: View, what: str) -> None:
    view.line((view.world[0], 0.0), (view.world[2], 0.0), pen="bold")
    _sun(view)
    if what in {"carry", "cool", "stay", "odd", "call"}:
        _shade(view, 0.0)
        _cooler(view, 3.4)
    if what == "odd":
        person(Tilted.over(view, -0.22, (5.6, 0.0)), (5.6, 0.0), TALL)
        person(view, (6.9, 0.0), TALL, arms="point", facing=-1)
    elif what == "call":
        _lying(view, 4.6)
        person(view, (6.9, 0.0), TALL, arms="up")
    elif what == "carry":
        _lying(view, 0.7)
        person(view, (2.75, 0.0), TALL, arms="point", facing=-1)
    elif what in {"cool", "stay"}:
        _lying(view, 0.7)
        person(view, (2.75, 0.0), TALL, arms="point", facing=-1)
        for x in (0.85, 1.25, 1.6):
            view.body([(x, 0.32), (x + 0.2, 0.32), (x + 0.2, 0.48), (x, 0.48)], fill="water")
        if what == "stay":
            person(view, (0.3, 0.0), TALL, arms="down")


def help_film(*, ident: str) -> Film:
    """Draw what is done for a person the heat has struck: call, shade, cool, stay."""
    return _film(ident, _HELP, wrong=False)


def alone_film(*, ident: str) -> Film:
    """Draw the wrong way: somebody whom the heat has struck is left alone."""
    return _film(ident, _ALONE, wrong=True)


def _film(ident: str, steps: Sequence[tuple[str, str]], *, wrong: bool) -> Film:
    frames = []
    for what, says in steps:
        canvas = Canvas(ident, title="Struck by the heat", desc="One step of it.", steady=True)
        view = canvas.view((-0.5, -0.1, 8.0, 3.2), pad=(4, 6, 4, 6), max_height=240, way="wrong" if wrong else "")
        if wrong:
            view.line((view.world[0], 0.0), (view.world[2], 0.0), pen="bold")
            _sun(view)
            if what == "odd":
                person(Tilted.over(view, -0.22, (4.0, 0.0)), (4.0, 0.0), TALL)
                person(view, (1.0, 0.0), TALL, seen="behind")
            elif what == "off":
                person(view, (5.2, 0.0), TALL, seen="behind")
            else:
                _lying(view, 4.4)
            if what == "found":
                person(view, (3.6, 0.0), TALL, arms="up")
        else:
            _scene(view, what)
        frames.append(Frame(canvas, says))
    return Film(
        ident, title="The wrong way: left alone in the heat" if wrong else "Struck by the heat: call, shade, cool, stay", frames=frames,
        desc="A person struck by the heat is left alone and found too late." if wrong
        else "A person struck by the heat is laid in the shade and cooled with water and ice, while help is called and somebody stays.",
    )  # fmt: skip
