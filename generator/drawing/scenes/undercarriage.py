"""Drawings of tracks that wear: on a side slope, shift by shift, and backing up."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import dozer_height, dozer_plan, dozer_side, draw_end, end_heights, end_view, person, track_side
from generator.drawing.machines.outline import Frame as Axes
from generator.drawing.measure import Measure, Text, both, join, positive, words
from generator.drawing.text import FONT, LINE_HEIGHT, Block
from generator.drawing.view import View


def month_film(
    *,
    ident: str,
    shifts: Sequence[Measure],
    hours: Sequence[Measure],
    left: Sequence[Measure],
    right: Sequence[Measure],
    side_slope: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    cg_height: Measure,
    most_used: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    by_turns: bool = False,
) -> Film:
    """Draw a dozer on a side slope from behind, shift by shift, and how much of each track is used up.

    - `shifts`, `hours`: the shifts since the month began, the first being 0, and their hours in seconds.
    - `left`, `right`: the share of each track's wear used up after it. The left track is low in every
      shift, or with `by_turns` in the first, the third and so on.
    - `most_used`: the share that the bar of the month is long enough for, so that two films can be compared.
    - `side_slope` is a grade; the others are the machine's, in metres. A blade is drawn where it is given.

    Raises `DrawingRefused` for a length of zero or less and for sequences that are not of one length.
    """
    positive(track_gauge=track_gauge, shoe_width=shoe_width, cg_height=cg_height)
    count = len(shifts)
    if count < 2 or any(len(column) != count for column in (hours, left, right)):
        raise DrawingRefused("a month needs its beginning and one shift at least, and the same figures of each")
    begin, whole = left[0], (most_used or left[-1]).si - left[0].si
    shown, apart = picked(count)
    blade = (blade_width.si, blade_height.si) if blade_width and blade_height else None
    frames = []
    for k in shown:
        low = -1 if not by_turns or k % 2 or k == 0 else 1  # the side that is low: -1 is the left one
        canvas = Canvas(ident, title="A month on a side slope", desc="One shift of it.", steady=True)
        _on_the_slope(canvas, low * -math.atan(side_slope.si), side_slope, track_gauge.si, shoe_width.si, cg_height.si, blade)
        for name, used in (("Left track", left[k]), ("Right track", right[k])):
            canvas.note(join(name, ", used up: ", used), bold=True)
            _bar(canvas, used, 1.0)
            canvas.skip(4)
        canvas.note("Each whole bar is a track from new to its limit.")
        canvas.skip(6)
        canvas.note("Worn off in this month, larger", bold=True)
        for used in (left[k], right[k]):
            _bar(canvas, used, whole, since=begin.si)
            canvas.skip(5)
        canvas.key_starts()
        canvas.note("In each pair the left track is above. The lower pair is drawn larger, to see the difference.")
        if apart > 1:
            canvas.note(thinned(apart, "shift"))
        frames.append(Frame(canvas, _says(k, low, shifts[k], hours[k], left[k], right[k]),
                            (shifts[k], hours[k], left[k], right[k], side_slope)))  # fmt: skip
    how = "both sides low by turns" if by_turns else "the left track always low"
    return Film(
        ident,
        title=f"A month on a side slope, {how}",
        desc=both(
            "A dozer from behind on a side slope of ", side_slope, f", {how}. When the month begins both tracks have used up ", begin,
            ". After ", hours[-1], " the left one has used up ", left[-1], " and the right one ", right[-1], ".",
        ),
        frames=frames,
    )  # fmt: skip


def _says(k: int, low: int, shift: Measure, hours: Measure, left: Measure, right: Measure) -> Text:
    if k == 0:
        return join("The month begins. Both tracks have used up ", left, " of their wear.")
    side = "left" if low < 0 else "right"
    ends = " The left track is at its limit." if left.si >= 1 else " The right track is at its limit." if right.si >= 1 else ""
    return join("Shift ", shift, ", ", hours, " in all. The ", side, " track was low. Used up: left ", left, ", right ", right, ".", ends)


def _bar(canvas: Canvas, used: Measure, whole: float, since: float = 0.0) -> None:
    """Draw a bar that is full at `whole`, for the share used up since `since`."""
    bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
    share = min((used.si - since) / whole, 1.0) if whole > 0 else 0.0
    if share > 0:
        bar.bar((0, 0), (100 * share, 4), "dark", Measure(used.si - since, used.us, used.metric))
    bar.rect(0, 0, 100, 4, pen="thin")


def _on_the_slope(
    canvas: Canvas,
    angle: float,
    slope: Measure,
    gauge: float,
    shoe: float,
    cg_height: float,
    blade: tuple[float, float] | None,
    *,
    named: bool = True,
) -> View:
    """Draw the dozer from behind on a slope; at an `angle` (radians) above zero its left side is the low one.

    Its sides are named where they are not asked for.
    """
    outlines = end_view(gauge, shoe, cg_height, angle=angle, kind="dozer", blade=blade)
    flat = [p for outline in (*outlines[0], outlines[1], outlines[2]) for p in outline]
    wide = max(abs(x) for x, _ in flat) * 1.12
    rise = math.tan(abs(angle)) * wide
    low = -rise - 0.25 * gauge
    view = canvas.view((-wide, low, wide, max(y for _, y in flat)), pad=(8, 12, 8, 40), max_height=215, seen="end")
    t = math.tan(angle)
    view.polygon([(-wide, -wide * t), (wide, wide * t), (wide, low), (-wide, low)], pen="none", fill="earth")
    view.line((-wide, -wide * t), (wide, wide * t), pen="bold")
    draw_end(view, gauge, shoe, cg_height, angle=angle, kind="dozer", blade=blade)
    for side, name in ((-1, "Left side"), (1, "Right side")) if named else ():
        lower = side * angle < 0
        view.label((side * gauge / 2 * math.cos(angle), side * gauge / 2 * math.sin(angle)), f"{name}, low" if lower else name,
                   prefer=("below",), width=90, bold=lower)  # fmt: skip
    view.label((0.0, 0.0), join("Side slope ", slope), prefer=("below",), leader=False, width=140)
    return view


def on_a_side_slope(
    *,
    ident: str,
    side_slope: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    cg_height: Measure,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    right_low: bool = False,
    spots: bool = False,
) -> Canvas:
    """Draw a dozer from behind on a side slope, its left track low, or its right one with `right_low`.

    `side_slope` is a grade; the others are the machine's, in metres. A blade is drawn where it is
    given. With `spots` one can point at both tracks and at the cab.
    """
    positive(side_slope=side_slope, track_gauge=track_gauge, shoe_width=shoe_width, cg_height=cg_height)
    blade = (blade_width.si, blade_height.si) if blade_width and blade_height else None
    gauge, angle = track_gauge.si, math.atan(side_slope.si) * (-1 if right_low else 1)
    canvas = Canvas(
        ident,
        title="A dozer on a side slope",
        desc=both("A dozer from behind on a side slope of ", side_slope, f". Its {'right' if right_low else 'left'} track is the low one."),
    )
    view = _on_the_slope(canvas, angle, side_slope, gauge, shoe_width.si, cg_height.si, blade, named=not spots)
    if spots:
        at = Axes((0.0, 0.0), angle=angle)
        _, deck, roof = end_heights(gauge, cg_height.si, "dozer")
        view.spot("left-track", "the left track", [at(-gauge / 2, 0.2 * gauge)])
        view.spot("right-track", "the right track", [at(gauge / 2, 0.2 * gauge)])
        view.spot("cab", "the cab", [at(0.0, (deck + roof) / 2)])
    return canvas


_WAYS_SHOWN = 6


def ways_back(
    *,
    ident: str,
    slot_length: Measure,
    slot_width: Measure,
    numbers: Sequence[Measure],
    starts: Sequence[Measure],
    reverses: Sequence[Measure],
    reverse_total: Measure,
    most_reverse: Measure,
    hours_left: Measure,
    most_hours: Measure,
    track_length: Measure,
    track_gauge: Measure,
    shoe_width: Measure,
    blade_width: Measure,
    far_end: bool = False,
    told: bool = True,
) -> Canvas:
    """Draw a slot from above with the ways back of some of its pushes, and what they add up to.

    - `numbers`, `starts`, `reverses`: a figure a push, push 1 first: its number, where it starts from the
      spoil end of the slot and how far the dozer backs up after it, in metres. It backs up to where the
      next push starts, or with `far_end` to the far end of the slot.
    - `reverse_total`, `most_reverse`: metres, and what the bar is long enough for.
    - `hours_left`, `most_hours`: seconds of this work that its joints have left, and what the bar is long enough for.
    - `told=False`: for a question, without the bar of the hours left, which would be the answer.
    - the others are the slot's and the machine's, in metres.
    """
    positive(slot_length=slot_length, slot_width=slot_width, track_length=track_length, most_reverse=most_reverse, most_hours=most_hours)
    count = len(numbers)
    if count < 2 or len(starts) != count or len(reverses) != count:
        raise DrawingRefused("ways back need two pushes at least, and the same figures of each")
    length, wide = slot_length.si, slot_width.si
    order = "back to front" if far_end else "front to back"
    canvas = Canvas(
        ident,
        title=f"The ways back from a slot, {order}",
        desc=both(
            "A slot from above, ", slot_length, f" long, cut {order}, with the ways back of some of its pushes. The first is ", reverses[0],
            " and the last ", reverses[-1], ". For the whole slot the dozer drives ", reverse_total,
            " in reverse. Worked like that, its joints have ", hours_left, " of this work left.",
        ),
    )  # fmt: skip
    few = [round(k * (count - 1) / (min(count, _WAYS_SHOWN) - 1)) for k in range(min(count, _WAYS_SHOWN))]
    ends = [0.0 if far_end else length - starts[min(k + 1, count - 1)].si for k in range(count)]
    far = max(end + back.si for end, back in zip(ends, reverses, strict=True))
    row = max(0.5 * wide, 0.06 * far)
    low = -wide / 2 - (len(few) + 0.6) * row
    view = canvas.view((0.0, low, far, wide / 2), pad=(12, 34, 46, 26), max_height=240, seen="above")
    with view.part("slot"):
        view.rect(0.0, -wide / 2, length, wide / 2, pen="bold")
    # it has just pushed its load up the ramp
    nose = far - 0.7 * track_length.si
    dozer_plan(view, (nose - 0.7 * track_length.si, 0.0), track_length=track_length.si, track_gauge=track_gauge.si, shoe_width=shoe_width.si,
               blade_width=blade_width.si)  # fmt: skip
    for i, k in enumerate(few, 1):
        y = -wide / 2 - i * row
        view.arrow((ends[k] + reverses[k].si, y), (ends[k], y), pen="line")
        view.label((ends[k] + reverses[k].si, y), numbers[k], prefer=("right",), leader=False, width=44)
    view.label((0.3 * length, wide / 2), "Slot", prefer=("above",), leader=False)
    view.label((far, wide / 2), "To the spoil", prefer=("above", "left"), leader=False)
    canvas.note("Arrows: the way back after that push, to scale.")
    for what, value, most in (
        ("Driven in reverse for the slot: ", reverse_total, most_reverse),
        ("Hours of this work left in its joints: ", hours_left, most_hours),
    )[: 2 if told else 1]:
        canvas.note(join(what, value), bold=True)
        bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
        bar.bar((0, 0), (100 * min(value.si / most.si, 1.0), 4), "dark", value)
        bar.rect(0, 0, 100, 4, pen="thin")
        canvas.skip(4)
    return canvas


def backing_up(
    *,
    ident: str,
    blade_height: Measure,
    track_length: Measure,
    blade_up: bool = False,
    behind: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a dozer from the side that is about to back up, an arrow behind it.

    Its blade stands on the ground, or with `blade_up` a third of its height above it, which is a sketch.
    `behind` is how far behind its tracks somebody stands; nobody does where that is not given. All in
    metres. With `spots` one can point at the blade, the drive sprocket and the ground behind.
    """
    positive(blade_height=blade_height, track_length=track_length)
    high, long = blade_height.si, track_length.si
    up = high / 3 if blade_up else 0.0
    tall = dozer_height(high, long)
    back = 0.75 * high + long
    canvas = Canvas(
        ident,
        title="A dozer about to back up",
        desc=both(
            "A dozer from the side, about to back up. Its blade ", "is off the ground" if blade_up else "stands on the ground",
            *((". Somebody stands ", behind, " behind its tracks.") if behind else (". Nobody is behind it.",)),
        ),
    )  # fmt: skip
    room = max(1.1 * long, (behind.si if behind else 0.0) + 1.0)
    view = canvas.view((-back - room, -0.2 * high, 0.3 * high, max(1.04 * tall, 1.9)), pad=(10, 10, 10, 34), max_height=230, seen="side")
    view.rect(view.world[0], -0.2 * high, view.world[2], 0, pen="none", fill="earth")
    view.line((view.world[0], 0), (view.world[2], 0), pen="bold")
    dozer_side(view, 0.0, 0.0, high, track_length=long, blade_up=up)
    if behind:
        person(view, (-back - behind.si, 0.0))
    if spots:
        view.spot("blade", "the blade", [(0.0, 0.4 * high)])
        view.spot("sprocket", "the wheel that drives the track", [(0.17 * long - back, 0.17 * long)])
        view.spot("behind", "the ground behind", [(-back - 0.75 * room, 0.2 * high)])
    else:
        view.arrow((-back - 0.1 * long, 0.62 * tall), (-back - 0.6 * long, 0.62 * tall))
        view.label((-back - 0.35 * long, 0.62 * tall), "Reverse", prefer=("above",), leader=False, width=110)
    return canvas


def measured_part(
    *,
    ident: str,
    new: Measure,
    limit: Measure,
    measured: Measure,
    reading: Measure | None = None,
    hours_left: Measure | None = None,
    track_length: Measure | None = None,
    told: bool = True,
) -> Canvas:
    """Draw where a track is measured, and one part of it close up: as new, as it is, and at its limit.

    - `new`, `limit`, `measured`: metres. A part whose limit is the smaller one is drawn as the grouser of
      a shoe, cut across, with a bar over two of them and a rule down to the shoe; one whose limit is the
      larger one as a chain of links that gets longer.
    - `reading`: what is read in metres, where it is not what there is: over dirt, or of a slack chain.
    - `hours_left`: seconds, the hours left by what is read.
    - `track_length`: metres; with it the track is drawn from the side, with the place to measure.
    - `told=False`: for a question, without the sentence on what is read and whether it is right.
    """
    positive(new=new, limit=limit, measured=measured)
    if new.si == limit.si:
        raise DrawingRefused("new and limit are the same: there is nothing to wear")
    grows = limit.si > new.si
    canvas = Canvas(
        ident,
        title="A part of a track, and how it is measured",
        desc=both(
            "A part of a track close up. New: ", new, ". Now: ", measured, ". At its limit: ", limit, ".",
            *((" What is read is ", reading, ".") if reading else ()),
            *((" Hours left by that: ", hours_left, ".") if hours_left else ()),
        ),
    )  # fmt: skip
    if track_length is not None:
        _where(canvas, track_length.si, grows=grows)
    (_chain if grows else _grousers)(canvas, new, limit, measured, reading)
    if not told:
        return canvas
    if reading is not None:
        why = "the chain hangs slack" if grows else "dirt lies under the bar"
        canvas.note(join("Reads ", reading, ", as ", why, f". True {'length' if grows else 'height'}: ", measured), bold=True)
    else:
        canvas.note(join("Clean, and read at the right spot: ", measured), bold=True)
    if hours_left is not None:
        canvas.note(join("Hours left by this reading: ", hours_left), bold=True)
    return canvas


def _where(canvas: Canvas, long: float, *, grows: bool) -> None:
    """Draw a track from the side, with an arrow to the place."""
    tall = 0.3 * long
    view = canvas.view((0.0, -0.06 * long, long, tall), pad=(70, 52, 70, 8), max_height=78, seen="side")
    view.line((-0.1 * long, 0.0), (1.1 * long, 0.0))
    with view.part("tracks"):
        track_side(view, 0.0, long, 0.0, tall)
    above = tall + view.metres(34)
    view.arrow((0.5 * long, above), (0.5 * long, tall), pen="line")
    view.label(
        (0.5 * long, above), "Along the track" if grows else "On top of the track", prefer=("right", "above"), leader=False, width=200
    )


def _shoes(view: View, full: float, now: float) -> float:
    """Draw two shoes cut across, their grousers `now` high and `full` when new. Returns the way from one to the other."""
    pitch, plate, foot, tip = 2.4 * full, 0.4 * full, 0.26 * full, 0.17 * full
    bolt = 0.62 * full
    with view.part("tracks", sized="no"):  # a piece of two shoes
        for x in (0.0, pitch):
            view.body([(x - 0.7 * full, -plate), (x + full, -plate), (x + full, 0), (x - 0.7 * full, 0)], fill="shade")
            view.body([(x - foot, 0), (x + foot, 0), (x + tip, now), (x - tip, now)], fill="dark")
        view.body([(bolt - 0.12 * full, 0), (bolt + 0.12 * full, 0), (bolt + 0.12 * full, 0.16 * full), (bolt - 0.12 * full, 0.16 * full)],
                  fill="paper")  # fmt: skip
    for x in (0.0, pitch):
        if full > now:
            view.polyline([(x - tip, now), (x - 0.9 * tip, full), (x + 0.9 * tip, full), (x + tip, now)], pen="dash")
    return pitch


def grouser_and_shoe(*, ident: str, spots: bool = False) -> Canvas:
    """Draw two shoes of a track cut across, a sketch; with `spots` one can point at a tip, a bolt and the shoe."""
    canvas = Canvas(
        ident,
        title="Two shoes of a track, cut across",
        desc="Two shoes of a track cut across. On each stands a grouser, worn lower than when new. Beside one is the head of a bolt.",
    )
    view = canvas.view((-0.75, -0.46, 3.4, 1.22), pad=(30, 26, 30, 12), max_height=210, seen="side", scale="none")
    pitch = _shoes(view, 1.0, 0.7)
    if spots:
        view.spot("tip", "the tip of the grouser", [(0.0, 0.7)])
        view.spot("bolt", "the head of a bolt", [(0.62, 0.08)])
        view.spot("shoe", "the plain top of the shoe", [(pitch - 0.48, 0.0)])
    else:
        view.label((pitch, 0.7), "Grouser", prefer=("above",), width=120)
        view.label((0.62, 0.16), "Bolt", prefer=("above",), width=80)
        view.label((pitch + 0.6, -0.2), "Shoe", prefer=("below", "right"), width=80)
    return canvas


def _grousers(canvas: Canvas, new: Measure, limit: Measure, measured: Measure, reading: Measure | None) -> None:
    """Draw two shoes cut across, a bar on both grousers and a rule down to the shoe."""
    full, now = new.si, measured.si
    tip, thick = 0.17 * full, 0.1 * full
    dirt = max((reading.si if reading else now) - now, 0.0)
    base = now + dirt
    left, right = -0.75 * full, 3.4 * full
    view = canvas.view(
        (left, -0.46 * full, right, max(1.22 * full, base + 2.2 * thick)), pad=(96, 26, 130, 30), max_height=210, seen="side"
    )
    pitch = _shoes(view, full, now)
    # each stands at its own line, whatever else is near: to mix up the two would be a wrong picture
    room = view.band[2] - view.px((right, 0.0))[0] - 6
    texts = {level: Block.of(words(join(name, value)), room) for name, value, level in (("Limit ", limit, limit.si), ("New ", new, full))}
    line, apart = view.metres(FONT * LINE_HEIGHT), view.metres(1.1 * texts[full].height)
    for level, text, begin in ((limit.si, join("Limit ", limit), left), (full, join("New ", new), pitch)):
        view.line((begin, level), (right, level), pen="dash")
        top = max(level, limit.si + apart) if level == full else level
        view.fixed_text((right + view.metres(6), top + line / 2), text)
    if dirt:
        for x in (0.0, pitch):
            view.body([(x - 1.7 * tip, now - 0.3 * dirt), (x + 1.7 * tip, now - 0.3 * dirt), (x + 1.4 * tip, base), (x - 1.4 * tip, base)],
                      fill="spoil", pen="thin")  # fmt: skip
    view.body([(left + 0.2 * full, base), (right - 0.4 * full, base), (right - 0.4 * full, base + thick), (left + 0.2 * full, base + thick)],
              fill="paper")  # fmt: skip
    rule = pitch - 0.48 * full
    view.body([(rule - 0.07 * full, 0), (rule + 0.07 * full, 0), (rule + 0.07 * full, base + 2.2 * thick), (rule - 0.07 * full, base + 2.2 * thick)],
              fill="paper")  # fmt: skip
    view.dimension(
        (left, 0), (left, base), join("Reads ", reading) if reading else measured, measure=reading or measured, prefer="left", width=96
    )
    view.label((left + 0.3 * full, base + thick), "Straight bar", prefer=("above",), width=120)
    view.label((rule, base + 2.2 * thick), "Rule", prefer=("above",), width=80)


def _chain(canvas: Canvas, new: Measure, limit: Measure, measured: Measure, reading: Measure | None) -> None:
    """Draw four links of a chain from pin to pin, and how long they were when new and may be at most."""
    now = measured.si
    most = max(limit.si, now, new.si)
    link = now / 4
    high = 0.34 * link
    span = min(reading.si, now) if reading else now
    sag = span * math.sqrt(0.375 * (now / span - 1))  # that of a flat curve of this length over this span
    view = canvas.view((-high, -1.6 * high - sag, most + high, 1.6 * high), pad=(12, 56, 12, 40), max_height=200, seen="side")
    pins = [(span * k / 4, -sag * (1 - (k / 2 - 1) ** 2)) for k in range(5)]
    with view.part("tracks", sized="no"):  # a piece of the chain
        for (x0, y0), (x1, y1) in itertools.pairwise(pins):
            view.body(
                [(x0 - 0.5 * high, y0 - high), (x1 + 0.5 * high, y1 - high), (x1 + 0.5 * high, y1 + high), (x0 - 0.5 * high, y0 + high)]
            )
        for pin in pins:
            view.circle(pin, 0.4 * high, fill="dark")
    for name, value, top in (("New ", new, 1.3 * high), ("Limit ", limit, 1.6 * high + view.metres(30))):
        view.line((value.si, -1.6 * high), (value.si, top), pen="dash")
        view.label((value.si, top), join(name, value), prefer=("left",), width=170)
    view.dimension((0, -1.6 * high - sag), (span, -1.6 * high - sag), join("Reads ", reading) if reading else measured,
                   measure=reading or measured, prefer="below")  # fmt: skip
