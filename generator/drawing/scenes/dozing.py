"""Drawings of the dozing chapter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, TooFewSteps
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import dozer_end, dozer_height, dozer_plan, dozer_side
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._slot import Slot, between, cut_to, height_at, taken
from generator.drawing.view import View

GAP = 26.0
"""How wide a break is drawn, in px."""


def _facts(**facts: float | None) -> dict[str, float]:
    """The facts of a part that are known."""
    return {name: fact for name, fact in facts.items() if fact is not None}


def slot_long_section(  # noqa: C901  a scene reads in the order it is drawn
    *,
    ident: str,
    slot_length: Measure,
    slot_depth: Measure,
    blade_height: Measure,
    pass_starts: Sequence[Measure],
    spoil_heights: Sequence[Measure],
    spoil_ratio: float,
    spoil_ratio_text: Text,
    far_side_ratio: float = 1.5,
    spoil_area: Measure | None = None,
    track_length: Measure | None = None,
    spots: bool = False,
    blanks: bool = False,
) -> Canvas:
    """Draw a slot cut along its middle: passes from the spoil backward, and the spoil's ramp.

    Heights and lengths have one scale; the middle of a long slot is left out, between break lines.

    - `slot_length`, `slot_depth`, `blade_height`, `track_length`: metres.
    - `pass_starts`: where each pass starts, as the distance from the spoil end of the slot, pass 1
      first and growing; the last one is at most `slot_length`. Any number of passes: numbers that
      would crowd are left out, the first and the last stay.
    - `spoil_heights`: height of the spoil over the ground at one or more stages, growing; the last
      is the finished pile. Earlier stages are drawn dashed.
    - `spoil_ratio`: run for one of rise of the ramp; `spoil_ratio_text` its printed text, such as
      `3:1`. `far_side_ratio`: the same for the far side of the pile. `spoil_area` is the area of the
      finished pile from the side (square metres), which what is drawn is then held to.
    - `spots=True` turns it into a question: no pass numbers, and three regions to point at,
      `near-spoil`, `middle` and `far-end`.
    - `blanks=True` does not tell how many passes there are, for a sheet on which that is worked out.

    Raises `DrawingRefused` for a length of zero or less, no pass, passes or heights that do not grow.
    """
    positive(slot_length=slot_length, slot_depth=slot_depth, blade_height=blade_height)
    if not pass_starts or not spoil_heights:
        raise DrawingRefused("a slot needs at least one pass and one height of the spoil")
    starts = [start.si for start in pass_starts]
    heights = [height.si for height in spoil_heights]
    if sorted(starts) != starts or sorted(heights) != heights:
        raise DrawingRefused("passes run from the spoil backward, and the spoil grows")
    if starts[0] <= 0 or starts[-1] > slot_length.si * 1.005 or heights[0] <= 0:
        raise DrawingRefused("every pass starts inside the slot, and the spoil has a height")
    length, depth = slot_length.si, slot_depth.si
    peak = heights[-1]
    pile = (spoil_ratio + far_side_ratio) * peak
    canvas = Canvas(
        ident,
        title="A slot from the side" if spots else "A slot from the side, and the order of its passes",
        desc=both(
            "Cut along the middle of a slot ",
            slot_length,
            " long and ",
            slot_depth,
            " deep. "
            + (
                "Where does the pass start? "
                if spots
                else f"{'The' if blanks else len(starts)} passes are numbered. Pass 1 starts nearest the spoil. Each "
                "next pass starts farther back and pushes down into the finished slot. The last one "
                "leaves a ramp at the back end, the way out. "
            )
            + "The spoil grows to ",
            spoil_heights[-1],
            " with a ramp of ",
            spoil_ratio_text,
            ". Below, a dozer with a blade ",
            blade_height,
            " high stands in the slot, drawn to scale.",
        ),
    )
    # A ramp leads down at the back, and another one up to the spoil: on a short slot, as far as they fit.
    slant = min(spoil_ratio * depth, 0.45 * length)
    floor = -slant / spoil_ratio
    near = max(1.2 * spoil_ratio * depth + 3 * depth, 0.5 * pile, starts[0] * 1.5)
    back = max(1.2 * spoil_ratio * depth + depth, 0.3 * pile)
    whole = near + back > 0.8 * length
    room = canvas.width - 8 - 90
    shown = length if whole else (near + back) / (1 - GAP / room)
    total = shown + pile
    margin = 0.03 * total
    gap = GAP / room * (total + 2 * margin)
    if not whole:
        shown = near + back + gap
    left_out = length - shown  # how much nearer the spoil end stands than it is

    def at(x: float) -> float:
        """Where a distance from the back end of the slot is drawn."""
        return x if whole or x <= back else x - left_out

    end = at(length)
    ramp_end = end + pile
    low, high = -max(2.4 * depth, 0.18 * peak), peak
    view = canvas.view((-margin, low, ramp_end + margin, high), pad=(78, 50, 12, 64), max_height=420, seen="side")
    left, right = view.world[0], view.world[2]
    cuts = [(left, right)] if whole else [(left, back), (back + gap, right)]
    floor_from, floor_to = (slant, length - slant) if whole else (slant, end - slant)
    surface: list[Point] = [(left, 0), (0, 0), (slant, floor), (slant, -depth), (floor_to, -depth), (floor_to, floor), (end, 0), (right, 0)]
    for start, stop in cuts:
        # The ground that stays: under the slot, behind it and under the spoil.
        outline = [(x, y) for x, y in surface if start - 1e-9 <= x <= stop + 1e-9]
        if start > left:
            outline.insert(0, (start, -depth))
        if stop < right:
            outline.append((stop, -depth))
        view.polygon([*outline, (stop, low), (start, low)], pen="none", fill="earth")
        view.polyline(outline)
        with view.part("slot"):
            inner = [(x, y) for x, y in outline if 0 <= x <= end]
            view.line((inner[0][0], 0), (inner[-1][0], 0), pen="dash")
    if not whole:
        view.break_across(back, back + gap, low, 0.35 * depth, length - near - back)
    with view.part("spoil", **_facts(area=spoil_area.si if spoil_area else None)):
        view.polygon([(end, 0), (end + spoil_ratio * peak, peak), (ramp_end, 0)], fill="spoil")
    with view.part("ramp", grade=1 / spoil_ratio):
        view.line((end - slant, floor), (end + spoil_ratio * peak, peak), pen="bold")
    with view.part("ramp", grade=1 / spoil_ratio):
        view.line((0, 0), (slant, floor), pen="bold")
    for height in heights[:-1]:
        view.polyline(
            [
                (end + spoil_ratio * height, height),
                (end + (spoil_ratio + far_side_ratio) * height, 0),
            ],
            pen="dash",
        )
    # Each pass bites down from the surface as steep as the ramp, and then runs along the floor.
    apart = -1e9
    tops: list[float | None] = []
    for start_ in starts:
        top = length - start_
        here = at(top) if whole or top <= back - 0.2 * slant or top >= length - near else None
        tops.append(here)
        # Edges closer than this would run together to a grey patch.
        if here is not None and top > 1e-6 and abs(view.px((here, 0))[0] - apart) >= 8:
            foot = min(here + slant, end - slant)
            if not whole and here < back:
                foot = min(foot, back)
            if foot > here:
                apart = view.px((here, 0))[0]
                view.line((here, 0), (foot, -(foot - here) / spoil_ratio), pen="thin")
    if spots:
        for name, label, x in (
            ("near-spoil", "the end nearest the spoil", end - 0.5 * slant),
            ("middle", "the middle of the slot", back + gap / 2 if not whole else end / 2),
            ("far-end", "the end farthest from the spoil", 0.5 * slant),
        ):
            view.spot(name, label, [(x, floor / 2)])
    else:
        _pass_numbers(view, tops, end, slant, blanks=blanks)
    view.dimension(
        (0, low), (end, low), join("Slot ", slot_length, " long"), measure=slot_length, offset=-14,
        prefer="below", broken=not whole,
    )  # fmt: skip
    if floor_from < (back if not whole else floor_to):
        view.line((-0.5 * margin, -depth), (floor_from, -depth), pen="dash")
    view.dimension((-0.5 * margin, -depth), (-0.5 * margin, 0), slot_depth, offset=6, prefer="left")
    view.dimension(
        (end + spoil_ratio * peak, 0), (end + spoil_ratio * peak, peak),
        join(spoil_heights[-1], " high"), measure=spoil_heights[-1], prefer="above", width=150,
    )  # fmt: skip
    view.label(
        (end + spoil_ratio * peak * 0.6, peak * 0.6),
        join("Ramp ", spoil_ratio_text),
        prefer=("above", "left"),
    )
    if not spots:
        view.label((0.9 * slant, 0.9 * floor), "Way out", prefer=("below",))
        along = 0.25 * peak
        lift = view.metres(16)
        view.arrow((end + spoil_ratio * along * 0.2, along * 0.2 + lift), (end + spoil_ratio * along * 1.5, along * 1.5 + lift))
        if not whole:
            canvas.note("Between the ragged lines the middle of the slot is left out. The rest is true to shape.")
        canvas.note("Numbers: the order of the passes. Pass 1 starts nearest the spoil." if len(starts) > 1 else "Number: the pass.")
    canvas.legend(
        [("earth", "Ground that stays"), ("spoil", "Spoil. Dashed: how the pile grows")]
        if len(heights) > 1
        else [("earth", "Ground that stays"), ("spoil", "Spoil")]
    )
    canvas.skip(14)
    _dozer_in_slot(canvas, slot_depth, blade_height, track_length)
    return canvas


def _pass_numbers(view: View, tops: Sequence[float | None], end: float, slant: float, *, blanks: bool) -> None:
    """Number the passes above where they start; numbers show only where they have room.

    The last number goes before the others, and the first before all.
    """
    count = len(tops)
    room = 34 + 12 * max(len(str(count)) - 2, 0)  # a ring is as wide as its number
    above = view.metres(22)
    shown: list[float] = []
    for k in (0, *(() if blanks else (count - 1,)), *range(1, count - 1)):
        top = tops[k]
        if top is None:
            continue
        place = min(max(top, view.metres(16)), end - view.metres(20))
        here = view.px((place, 0))[0]
        if all(abs(here - other) >= room for other in shown):
            view.badge((place, above), str(k + 1))
            shown.append(here)


def _dozer_in_slot(canvas: Canvas, slot_depth: Measure, blade_height: Measure, track_length: Measure | None) -> None:
    """Draw the dozer on the floor of its slot from the side, heights and lengths at one scale."""
    blade, depth = blade_height.si, slot_depth.si
    tail = 0.75 * blade + (track_length.si if track_length else 2.4 * blade)
    unit = max(blade, 0.6 * depth)
    back, front = -max(tail + 0.8 * blade, 4.2 * unit), 2.6 * unit
    view = canvas.view(
        (back, -0.35 * unit, front, max(1.02 * dozer_height(blade, track_length.si if track_length else None), depth)),
        pad=(52, 14, 10, 30),
        max_height=240,
        seen="side",
    )
    view.rect(back, -0.35 * unit, front, 0, pen="none", fill="earth")
    view.line((back, 0), (front, 0), pen="bold")
    with view.part("wall"):
        view.line((back, depth), (front, depth), pen="dash")
    load = [
        (0.0, 0.0),
        (0.02, 0.95 * blade),
        (0.25 * blade, 0.98 * blade),
        (1.3 * blade, 0.0),
    ]
    with view.part("load"):
        view.body(load, pen="thin", fill="spoil")
    dozer_side(view, 0.0, 0.0, blade, track_length=track_length.si if track_length else None)
    view.dimension(
        (1.45 * blade, 0), (1.45 * blade, blade), join("Blade ", blade_height),
        measure=blade_height, prefer="right", width=75,
    )  # fmt: skip
    view.line((0.1 * blade, blade), (1.5 * blade, blade), pen="thin")
    wall = -(tail + 0.3 * blade)
    view.dimension(
        (wall, 0), (wall, depth), join("Slot ", slot_depth),
        measure=slot_depth, prefer="left", width=75,
    )  # fmt: skip


def slot_passes_film(
    *,
    ident: str,
    slot_length: Measure,
    slot_depth: Measure,
    blade_height: Measure,
    pass_numbers: Sequence[Measure],
    pass_starts: Sequence[Measure],
    pass_depths: Sequence[Measure],
    pushes: Sequence[Measure],
    reverses: Sequence[Measure],
    reversed_so_far: Sequence[Measure],
    spoil_heights: Sequence[Measure],
    spoil_ratio: float,
    far_side_ratio: float = 1.5,
    most_reversed: Measure | None = None,
    track_length: Measure | None = None,
) -> Film:
    """Draw a slot pass by pass: the bite each one takes, and where it goes on the pile.

    Each step has the whole slot at one scale, a view nearer by of the dozer at its start, and a bar
    of what was driven in reverse so far.

    - `slot_length`, `slot_depth`, `blade_height`, `track_length`: metres.
    - the sequences have one figure a pass, pass 1 first: its number, where it starts from the spoil
      end of the slot, how deep it cuts, how far it pushes and backs up, what was driven in reverse
      till then, and the height of the spoil after it.
    - `spoil_ratio`, `far_side_ratio`: run for one of rise of the ramp and of the far side.
    - `most_reversed`: metres that the bar is long enough for, so that two films can be compared.

    Raises `DrawingRefused` for a length of zero or less, and for sequences that are not of one length;
    `TooFewSteps` for a slot of one pass.
    """
    positive(slot_length=slot_length, slot_depth=slot_depth, blade_height=blade_height)
    count = len(pass_numbers)
    columns = (pass_starts, pass_depths, pushes, reverses, reversed_so_far, spoil_heights)
    if any(len(column) != count for column in columns):
        raise DrawingRefused("a slot pass by pass needs the same figures of each pass")
    if count < 2:
        raise TooFewSteps("a slot pass by pass needs two passes at least")
    length, blade, peak = slot_length.si, blade_height.si, max(height.si for height in spoil_heights)
    slot = Slot(length, spoil_ratio)
    bites = slot.bites([start.si for start in pass_starts], [depth.si for depth in pass_depths])
    surfaces = [slot.surface(bites[:k]) for k in range(count + 1)]
    shown, apart = picked(count, 30)
    most = most_reversed or reversed_so_far[-1]
    orderly = pass_starts[0].si <= pass_starts[-1].si
    order = "front to back" if orderly else "back to front"
    rear = 0.75 * blade + (track_length.si if track_length else 2.4 * blade)
    frames = []
    for k in shown:
        height_before = spoil_heights[k - 1].si if k else 0.0
        x, last = bites[k][0], pass_numbers[-1]
        canvas = Canvas(
            ident, title=f"A slot pass by pass, {order}", desc="One pass of the slot.", steady=True
        )  # fmt: skip
        pile_end = length + (spoil_ratio + far_side_ratio) * peak
        view = canvas.view(
            (-1.15 * rear, -1.6 * slot_depth.si, pile_end + 0.02 * length, max(peak, 2.3 * blade)),
            pad=(4, 42, 4, 40), max_height=260, seen="side",
        )  # fmt: skip
        ground = _Ground(surfaces[k], surfaces[k + 1], length, spoil_ratio, far_side_ratio, height_before, spoil_heights[k].si)
        _slot_ground(view, ground, view.world[0], view.world[2])
        at, tilt = _stand(surfaces[k], x, spoil_ratio, blade, rear)
        dozer_side(view, *at, blade, track_length=track_length.si if track_length else None, angle=tilt)
        top = length + spoil_ratio * height_before
        above = max(peak, 2.3 * blade) + view.metres(12)
        view.dimension((top - pushes[k].si, above), (top, above), join("Push ", pushes[k]), measure=pushes[k], prefer="above")
        below = -1.6 * slot_depth.si - view.metres(10)
        view.dimension((top - reverses[k].si, below), (top, below), join("Reverse ", reverses[k]), measure=reverses[k], prefer="below")
        _nearer(canvas, ground, at, tilt, blade, rear, slot_depth.si, track_length)
        canvas.skip(4)
        canvas.note(join("Driven in reverse so far: ", reversed_so_far[k]), bold=True)
        bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
        bar.bar((0, 0), (100 * reversed_so_far[k].si / most.si, 4), "dark", reversed_so_far[k])
        bar.rect(0, 0, 100, 4, pen="thin")
        canvas.note(join("The whole bar is ", most, "."))
        canvas.key_starts()
        canvas.legend([("earth", "Ground that stays"), ("spoil", "Spoil"), ("cut", "What this push takes, and where it goes")])
        canvas.note("The sum counts the slot as a box. Here its two ramps are left standing, so the bites nearest the spoil look smaller.")
        if apart > 1:
            canvas.note(thinned(apart, "push"))
        says = join("Push ", pass_numbers[k], " of ", last, ": ", pushes[k], " loaded, spoil ", spoil_heights[k], " high. ",
                    "Driven in reverse so far: ", reversed_so_far[k], ".")  # fmt: skip
        told = (pass_numbers[k], last, most, pushes[k], reverses[k], spoil_heights[k], reversed_so_far[k])
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title=f"A slot pass by pass, {order}",
        desc=both(
            "Cut along the middle of a slot ", slot_length, " long and ", slot_depth, f" deep, {order}. "
            + ("Pass 1 starts next to the spoil, and each next one a little farther back. "
               if orderly else "Each layer starts at the far end, and the dozer backs up all the way for every push. ")
            + f"In {count} passes the spoil grows to ", spoil_heights[-1], ". The dozer drives ", reversed_so_far[-1], " in reverse.",
        ),
        frames=frames,
    )  # fmt: skip


@dataclass(frozen=True)
class _Ground:
    """The ground before and after a pass, and the pile before and after it."""

    before: Sequence[Point]
    after: Sequence[Point]
    length: float
    ratio: float
    far_ratio: float
    was: float
    now: float

    def pile(self, height: float) -> list[Point]:
        """The outline of the pile at this height."""
        return [(self.length, 0), (self.length + self.ratio * height, height), (self.length + (self.ratio + self.far_ratio) * height, 0)]


def _slot_ground(view: View, ground: _Ground, left: float, right: float, shift: float = 0.0) -> None:
    """Draw the ground between two x: what stays, the pile, and what the pass moves, hatched alike.

    All is drawn `shift` to the left of where it stands.
    """

    def moved(points: Sequence[Point]) -> list[Point]:
        return [(x - shift, y) for x, y in points]

    low = view.world[1]
    line = between(ground.after, left, right)
    view.polygon(moved([*line, (right, low), (left, low)]), pen="none", fill="earth")
    view.polyline(moved(line))
    with view.part("spoil"):
        whole = cut_to(ground.pile(ground.now), left, right)
        if whole:
            view.body(moved(whole), fill="spoil")
    was, now, length, ratio, far = ground.was, ground.now, ground.length, ground.ratio, ground.far_ratio
    rolled = [
        (length + ratio * was, was),
        (length + ratio * now, now),
        (length + (ratio + far) * now, 0),
        (length + (ratio + far) * was, 0),
    ]
    for piece in (cut_to(taken(ground.before, ground.after), left, right), cut_to(rolled, left, right)):
        if len(piece) > 2:
            view.body(moved(piece), pen="thin", fill="cut")
    foot = min((p for p in ground.after if abs(p[1] * ratio - (p[0] - length)) < 1e-6), default=(length, 0.0))
    top = (length + ratio * now, now)
    a, b = max(foot[0], left), min(top[0], right)
    if b - a > 1e-6:
        with view.part("ramp", grade=1 / ratio):
            view.line((a - shift, (a - length) / ratio), (b - shift, (b - length) / ratio), pen="bold")


def _stand(surface: Sequence[Point], x: float, ratio: float, blade: float, rear: float) -> tuple[Point, float]:
    """Where the cutting edge stands on the ground when a pass starts, and how the dozer is tilted there.

    A bite below ground level starts on the slope down to the floor, so it is that much nearer the spoil.
    """
    at = x
    for _ in range(40):  # down the slope to where the ground is no deeper than the way to it
        at = x - ratio * height_at(surface, at)
    front, back = height_at(surface, at - 0.75 * blade), height_at(surface, at - rear)
    tilt = math.atan2(front - back, rear - 0.75 * blade)
    return (at, front + 0.75 * blade * math.tan(tilt)), tilt


def _nearer(
    canvas: Canvas, ground: _Ground, at: Point, tilt: float, blade: float, rear: float, depth: float, track: Measure | None
) -> None:
    """Draw the dozer where the pass starts, large enough to see the bite."""
    ahead = 1.1 * rear
    high = max(2.4 * blade, ahead / ground.ratio)
    view = canvas.view((-1.15 * rear, -depth - 0.5 * blade, ahead, high), pad=(4, 6, 4, 6), max_height=200, seen="side")
    left, right = at[0] + view.world[0], at[0] + view.world[2]
    _slot_ground(view, ground, left, right, shift=at[0])
    dozer_side(view, 0.0, at[1], blade, track_length=track.si if track else None, angle=tilt)


def slot_cross_section(
    *,
    ident: str,
    slot_depth: Measure,
    blade_width: Measure,
    blade_height: Measure,
    slot_width: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    track_length: Measure | None = None,
) -> Canvas:
    """Draw a slot across: its two walls, and the dozer between them with its blade toward you.

    All in metres. `slot_width` is the blade's width where not given; it may not be less.
    `track_gauge` (track centre to track centre), `shoe_width` and `track_length` are sketched where not given.
    """
    positive(slot_depth=slot_depth, blade_width=blade_width, blade_height=blade_height)
    wide = slot_width.si if slot_width else blade_width.si
    if wide < blade_width.si * 0.999:
        raise DrawingRefused(f"a blade {blade_width.us} wide does not fit a slot {slot_width.us if slot_width else ''} wide")
    w, d, h = wide / 2, slot_depth.si, blade_height.si
    canvas = Canvas(
        ident,
        title="A slot from the end: walls and blade",
        desc=both(
            "Cut across a slot. Between its walls stands a dozer with a blade ", blade_width, " wide and ",
            blade_height, " high. The walls are ", slot_depth,
            " high and keep the load from running off the ends of the blade.",
        ),
    )  # fmt: skip
    side, low, top = 0.45 * wide, -0.3 * max(d, h), max(d, 1.02 * dozer_height(h, track_length.si if track_length else None))
    view = canvas.view((-w - side, low, w + side, top), pad=(10, 30, 10, 84), max_height=300, seen="end")
    view.polygon(
        [(-w - side, d), (-w, d), (-w, 0), (w, 0), (w, d), (w + side, d), (w + side, low),
         (-w - side, low)],
        fill="earth", pen="none",
    )  # fmt: skip
    with view.part("slot"):
        view.polyline([(-w, d), (-w, 0), (w, 0), (w, d)], pen="bold")
    for sign in (-1, 1):
        with view.part("wall"):
            view.line((sign * w, 0), (sign * w, d), pen="bold")
        view.line((sign * w, d), (sign * (w + side), d), pen="bold")
    b = blade_width.si / 2
    dozer_end(
        view, 0.0, 0.0, blade_width=blade_width.si, blade_height=h,
        track_length=track_length.si if track_length else None,
        track_gauge=track_gauge.si if track_gauge else None,
        shoe_width=shoe_width.si if shoe_width else None,
    )  # fmt: skip
    view.dimension(
        (-b, low), (b, low), join("Blade ", blade_width, " wide"), measure=blade_width, offset=-8,
        prefer="below",
    )  # fmt: skip
    view.dimension(
        (-w - 0.22 * side, 0), (-w - 0.22 * side, d), join("Wall ", slot_depth),
        measure=slot_depth, prefer="left", width=90,
    )  # fmt: skip
    view.dimension(
        (0.3 * w, 0), (0.3 * w, h), join("Blade ", blade_height, " high"), measure=blade_height,
        prefer="right", width=100,
    )  # fmt: skip
    if slot_width is not None:
        view.dimension(
            (-w, low), (w, low), join("Slot ", slot_width, " wide"), measure=slot_width,
            offset=-46, prefer="below",
        )  # fmt: skip
    view.label((w + 0.5 * side, d), "Wall", prefer=("above",))
    canvas.note("A wall higher than the blade may fall onto the machine.")
    return canvas


def spoil_ridge(
    *,
    ident: str,
    height: Measure,
    ramp_length: Measure,
    ratio_text: Text,
    far_side_ratio: float = 1.5,
    spoil_area: Measure | None = None,
    top_width: Measure | None = None,
    repose: Measure | None = None,
    least_width: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    side: bool = True,
) -> Canvas:
    """Draw the spoil pile from the side, with the ramp the dozer climbs, and cut across its top.

    `height` and `ramp_length` (level run of the ramp) in metres; `ratio_text` the printed ratio.
    `far_side_ratio` is the run for one of rise at the far side. `spoil_area` (square metres) is the
    area from the side, which what is drawn is then held to. With `top_width` (metres) the pile is
    drawn cut across as well, its sides at `repose` (an angle; three quarters to one where not given),
    and with `blade_width` and `blade_height` the dozer on top of it. `least_width` (metres) is what
    the top needs for it: the blade, and the distance to an edge on both sides. `track_length`, `track_gauge` and `shoe_width` are sketched where not given.
    With `side=False` it is drawn cut across alone.
    """
    positive(height=height, ramp_length=ramp_length)
    if not side and top_width is None:
        raise DrawingRefused("a pile cut across needs the width of its top")
    keep = (least_width.si - blade_width.si) / 2 if least_width and blade_width else 0.0
    canvas = Canvas(
        ident,
        title="The spoil pile and its ramp" if side else "The spoil pile cut across",
        desc=both(
            *(("A spoil pile from the side. The dozer climbs a ramp of ", ratio_text, ", ",
               ramp_length, " long on the level and ", height, " high. It stops short of the top edge.")
              if side else ("A spoil pile ", height, " high.")),
            *((" Cut across, the top is ", top_width, " wide, and the sides slope down from it as loose "
               "ground lies.") if top_width else ()),
        ),
    )  # fmt: skip
    if side:
        _ridge_side(canvas, height, ramp_length, ratio_text, far_side_ratio, spoil_area, blade_height, track_length, keep)
    if top_width is None:
        return canvas
    if side:
        canvas.skip(8)
        canvas.note("Cut across at the top", bold=True)
    _pile_across(canvas, height, top_width, repose, least_width, blade_width, blade_height, track_gauge, shoe_width, track_length)
    canvas.note("Spoil that rolls down each side makes the pile wider than its top.")
    return canvas


def _ridge_side(
    canvas: Canvas,
    height: Measure,
    ramp_length: Measure,
    ratio_text: Text,
    far_side_ratio: float,
    spoil_area: Measure | None,
    blade_height: Measure | None,
    track_length: Measure | None,
    keep: float,
) -> None:
    """Draw the pile from the side, with the dozer on its ramp; its tracks keep `keep` metres from the top edge."""
    h, run = height.si, ramp_length.si
    grade = h / run
    end = run + far_side_ratio * h
    base = -0.22 * h
    tall = 0.0
    if blade_height and (place := _place_on_ramp(h, run, blade_height.si, track_length.si if track_length else None, keep)):
        tall = place[1] + 0.8 * dozer_height(blade_height.si, track_length.si if track_length else None)
    view = canvas.view((-0.12 * end, base, end * 1.06, max(h, tall)), pad=(8, 56, 70, 60), max_height=240, seen="side")
    left, right = view.world[0], view.world[2]
    view.rect(left, base, right, 0, pen="none", fill="earth")
    with view.part("spoil", **_facts(area=spoil_area.si if spoil_area else None)):
        view.polygon([(0, 0), (run, h), (end, 0)], fill="spoil", pen="bold")
    with view.part("ramp", grade=grade):
        view.line((0, 0), (run, h), pen="bold")
    with view.part("crest"):
        view.line((run, h), (run + 1e-3 * run, h - 1e-3 * run / max(far_side_ratio, 0.1)), pen="line")
    view.line((left, 0), (right, 0))
    view.dimension(
        (0, base), (run, base), join("Ramp ", ramp_length, " long"), measure=ramp_length,
        offset=-12, prefer="below",
    )  # fmt: skip
    view.dimension(
        (end, 0), (end, h), join("Height ", height), measure=height, offset=-8, prefer="right",
        width=80,
    )  # fmt: skip
    view.line((run, h), (end * 1.01, h), pen="thin")
    view.label((run * 0.2, h * 0.2), join("Ramp ", ratio_text), prefer=("above", "left"))
    if blade_height:
        _dozer_on_ramp(view, h, run, blade_height.si, track_length.si if track_length else None, keep)
    else:
        view.arrow((run * 0.08, h * 0.08 + view.metres(16)), (run * 0.4, h * 0.4 + view.metres(16)))


def _place_on_ramp(h: float, run: float, blade: float, track: float | None, edge: float) -> Point | None:
    """Where the cutting edge of a dozer stands whose tracks keep `edge` from the top edge; nowhere on a pile too low."""
    angle = math.atan2(h, run)
    slope = math.hypot(h, run)
    behind = 0.75 * blade + (track or 2.4 * blade)
    reach = slope - max(edge / math.cos(angle) - 0.75 * blade, 1.2 * blade)
    if reach < 0.9 * behind:
        return None  # the blade alone would reach its top
    return reach * math.cos(angle), reach * math.sin(angle)


def _dozer_on_ramp(view: View, h: float, run: float, blade: float, track: float | None, edge: float) -> None:
    """Draw the dozer going up, its blade so far below the top edge that its tracks keep `edge`."""
    place = _place_on_ramp(h, run, blade, track, edge)
    if place is None:
        return
    dozer_side(view, *place, blade, track_length=track, angle=math.atan2(h, run))
    view.label((run, h), "Stop short of this edge", prefer=("above", "left"))


def _pile_across(
    canvas: Canvas,
    height: Measure,
    top_width: Measure,
    repose: Measure | None,
    least_width: Measure | None,
    blade_width: Measure | None,
    blade_height: Measure | None,
    track_gauge: Measure | None,
    shoe_width: Measure | None,
    track_length: Measure | None,
) -> None:
    """Draw the pile cut across where it is highest, and the dozer on top of it."""
    h, w = height.si, top_width.si / 2
    angle = repose.si if repose else math.atan(0.75)
    toe = w + h / math.tan(angle)
    stands = blade_width is not None and blade_height is not None and blade_width.si <= top_width.si
    long = track_length.si if track_length else None
    up = 1.02 * dozer_height(blade_height.si, long) if stands and blade_height else 0.1 * h
    view = canvas.view((-1.08 * toe, -0.12 * h, 1.08 * toe, h + up), pad=(8, 44, 8, 44), max_height=300, seen="end")
    left, low, right = view.world[:3]
    view.rect(left, low, right, 0, pen="none", fill="earth")
    with view.part("spoil"):
        view.polygon([(-toe, 0), (-w, h), (w, h), (toe, 0)], fill="spoil", pen="bold")
    view.line((left, 0), (right, 0))
    for sign in (-1, 1):
        with view.part("crest"):
            view.line((sign * w, h), (sign * (w + 1e-3 * w), h - 1e-3 * w * math.tan(angle)))
    if stands and blade_width and blade_height:
        dozer_end(
            view, 0.0, h, blade_width=blade_width.si, blade_height=blade_height.si, behind=True, track_length=long,
            track_gauge=track_gauge.si if track_gauge else None,
            shoe_width=shoe_width.si if shoe_width else None,
        )  # fmt: skip
        if least_width and least_width.si <= top_width.si * 1.001:
            half = least_width.si / 2
            view.dimension(
                (-half, h), (half, h), join("At least ", least_width), measure=least_width,
                offset=up * view.per_metre + 8, prefer="above",
            )  # fmt: skip
    view.dimension((-w, h), (w, h), join("Top ", top_width, " wide"), measure=top_width, offset=-20, prefer="below")
    if repose:
        view.angle((toe, 0), math.pi - angle, math.pi, repose, radius=44, prefer=("above",))


MOST_STRIPS = 26
"""More strips than these are too thin to see; then some in the middle are left out."""


def stripping(
    *,
    ident: str,
    topsoil_depth: Measure,
    windrow_height: Measure,
    strip_length: Measure,
    strip_width: Measure,
    strips: int = 4,
    windrow_ratio: float = 1.5,
    strip_count: Measure | None = None,
    repose: Measure | None = None,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
) -> Canvas:
    """Draw stripping of topsoil: the strips from above with a windrow on each side, and one cut across.

    The windrows are what runs off the blade's ends: they hold the load as a slot's walls do.
    Lengths in metres. `strip_count` is how many strips the whole area takes, and all are drawn, those
    in the middle left out between break lines where they are many; without it, `strips` (1 to 8) are
    drawn as a sample, fewer where they are short and wide. The windrow's sides lie at `repose`, or at
    `windrow_ratio` run for one of rise. With `track_length`, `track_gauge` and `shoe_width` the dozer
    stands in the first strip.
    """
    positive(
        topsoil_depth=topsoil_depth, windrow_height=windrow_height, strip_length=strip_length,
        strip_width=strip_width,
    )  # fmt: skip
    if not 1 <= strips <= 8:
        raise DrawingRefused(f"draw 1 to 8 strips, not {strips}")
    ratio = 1 / math.tan(repose.si) if repose else windrow_ratio
    length, width = strip_length.si, strip_width.si
    row = windrow_height.si * ratio * 2
    pitch = width + row
    count = max(1, round(strip_count.si)) if strip_count else strips
    if strip_count is None:
        while count > 1 and (pitch * count + row) / length > 2.4:
            count -= 1
    # where they are many, or side by side far wider than a push is long, the middle is left out
    most = max(3, min(MOST_STRIPS, int(3.0 * length / pitch)))
    drawn = count if count <= most else most
    canvas = Canvas(
        ident,
        title="Stripping topsoil between low windrows",
        desc=both(
            "From above: ", *(("the whole area, ", strip_count, " strips side by side, each ") if strip_count
                              else (f"{count} strip{'s' * (count > 1)} side by side, each ",)),
            strip_length, " long and ",
            strip_width, " wide, with a windrow left on each side. The pile lies along their ends. Cut "
            "across: topsoil ", topsoil_depth, " deep, the windrow ", windrow_height, " high.",
        ),
    )  # fmt: skip
    canvas.note("From above", bold=True)
    _strips_plan(canvas, strip_length, strip_width, row, count, drawn, track_length, track_gauge, shoe_width)
    if strip_count and drawn < count:
        canvas.note("Between the ragged lines strips are left out.")
    if strip_count:
        canvas.note(join("Strips side by side: ", strip_count, ". A windrow on both sides of each."))
    canvas.skip(8)
    canvas.note("Cut across the windrow", bold=True)
    d, h = topsoil_depth.si, windrow_height.si
    half = ratio * h
    left, right = -half - 4.5 * max(d, 0.3 * h), half + 1.5 * max(d, 0.4 * h)
    view = canvas.view((left, -max(2 * d, 0.4 * h), right, h), pad=(84, 30, 116, 44), max_height=200, seen="across")
    low = view.world[1]
    # The windrow lies on ground that is stripped on the left, and not yet on the right.
    edge = -half - 2.2 * max(d, 0.3 * h)
    view.rect(left, low, right, -d, pen="none", fill="earth")
    view.rect(edge, -d, right, 0, pen="line", fill="cross")
    with view.part("cut"):
        view.line((left, -d), (edge, -d), pen="bold")
    with view.part("windrow", area=half * h):
        view.polygon([(-half, 0), (0, h), (half, 0)], fill="spoil", pen="bold")
    view.dimension(
        (left + 0.4 * (edge - left), -d), (left + 0.4 * (edge - left), 0),
        join("Topsoil ", topsoil_depth), measure=topsoil_depth, prefer="left", width=80,
    )  # fmt: skip
    view.line((left, 0), (edge, 0), pen="dash")
    view.dimension(
        (right, 0), (right, h), join("Windrow ", windrow_height), measure=windrow_height,
        offset=-8, prefer="right", width=90,
    )  # fmt: skip
    view.line((0, h), (right, h), pen="thin")
    canvas.legend([("cross", "Topsoil in place"), ("spoil", "Windrow"), ("earth", "Ground below")])
    return canvas


def _strips_plan(
    canvas: Canvas,
    strip_length: Measure,
    strip_width: Measure,
    row: float,
    count: int,
    drawn: int,
    track_length: Measure | None,
    track_gauge: Measure | None,
    shoe_width: Measure | None,
) -> None:
    """Draw the strips from above, pushes going up the page to the pile."""
    length, width = strip_length.si, strip_width.si
    pitch = width + row
    last = min(2, drawn - 1) if drawn < count else 0  # drawn beyond the break
    first = drawn - last
    gap = 1.2 * pitch if last else 0.0
    wide = drawn * pitch + row + gap
    pile = 0.14 * length
    view = canvas.view((0, 0, wide, length + pile), pad=(104, 30, 16, 70), max_height=330, seen="above")
    with view.part("spoil"):
        view.rect(0, length, wide, length + pile, pen="line", fill="dots")
    view.label((wide / 2, length + pile), "Pile", prefer=("above",), leader=False)
    begin = first * pitch + row + gap
    windrows = [k * pitch for k in range(first + 1)] + [begin - row + (k + 1) * pitch for k in range(last)]
    for x in windrows:
        with view.part("windrow"):
            view.rect(x, 0, x + row, length, pen="thin", fill="spoil")
    paths = [row + k * pitch for k in range(first)] + [begin + k * pitch for k in range(last)]
    if last:
        view.break_across(first * pitch + row, begin, 0, length, gap + (count - drawn) * pitch)
    numbers = [*range(1, first + 1), *range(count - last + 1, count + 1)]
    fits = width * view.per_metre
    every = max(1, math.ceil(34 / (pitch * view.per_metre)))
    for i, (x, n) in enumerate(zip(paths, numbers, strict=True)):
        with view.part("cut"):
            view.rect(x, 0, x + width, length, pen="thin")
        if fits >= 9 and (i or track_length is None):
            view.arrow((x + width / 2, length * 0.25), (x + width / 2, length * 0.8), pen="line")
        if fits >= 34 and (i % every == 0 or i == len(paths) - 1):
            view.badge((x + width / 2, length * 0.12), str(n))
    if track_length and track_gauge and shoe_width:
        dozer_plan(
            view, (paths[0] + width / 2, 0.5 * length), track_length=track_length.si, track_gauge=track_gauge.si,
            shoe_width=shoe_width.si, blade_width=width, way=math.pi / 2,
        )  # fmt: skip
    view.dimension(
        (0, 0), (0, length), join("Push ", strip_length), measure=strip_length, offset=12,
        prefer="left", width=86,
    )  # fmt: skip
    view.dimension(
        (paths[0], 0), (paths[0] + width, 0), join("Blade path ", strip_width),
        measure=strip_width, offset=-14, prefer="below", width=150,
    )  # fmt: skip


def steer_with_the_blade(*, ident: str, blade_width: Measure, blade_height: Measure, tilt: Measure) -> Canvas:
    """Draw a tilted blade as it looks from the seat, and the way back to the line from above.

    `tilt` is how much lower the right corner of the blade stands than the left one, in metres, less
    than the blade's width.
    """
    positive(blade_width=blade_width, blade_height=blade_height, tilt=tilt)
    if tilt.si >= blade_width.si:
        raise DrawingRefused("a blade cannot be tilted by more than its width")
    w, h, t = blade_width.si, blade_height.si, tilt.si
    canvas = Canvas(
        ident,
        title="Steering with the blade's tilt",
        desc=both(
            "From the seat, over the hood: a blade ", blade_width, " wide, its right corner ", tilt,
            " lower than its left one. From above: the dozer drifts to the left of the line, the blade "
            "is tilted a little, the dozer comes back to the line, the blade is levelled.",
        ),
    )  # fmt: skip
    canvas.note("The blade from your seat, over the hood", bold=True)
    a = math.asin(t / w)
    cos, sin = math.cos(a), math.sin(a)
    # The low corner is the right one; the origin stands at it.
    corners = [(0.0, 0.0), (-w * cos, t), (-w * cos + h * sin, t + h * cos), (h * sin, h * cos)]
    low = min(-0.12 * h, -0.04 * w)
    view = canvas.view((-w, low, h * sin, t + h), pad=(96, 44, 24, 30), max_height=170, seen="end")
    left = view.world[0]
    # turned as it is, a blade is wider and higher, straight across and up, than its own sizes
    with view.part("blade", sized="no"):
        view.body(corners)
    middle = -w * cos / 2
    hood = 0.13 * w
    with view.part("machine"):
        view.body(
            [(middle - hood, low), (middle + hood, low), (middle + 0.8 * hood, t / 2 + 0.62 * h), (middle - 0.8 * hood, t / 2 + 0.62 * h)],
            fill="shade",
        )
    view.line((left, 0), (h * sin, 0), pen="dash")
    view.dimension(
        corners[2], corners[3], join("Blade ", blade_width), measure=blade_width, offset=12,
        prefer="above",
    )  # fmt: skip
    view.dimension((-w * cos, 0), (-w * cos, t), join("Tilt ", tilt), measure=tilt, offset=34, prefer="left", width=70)
    view.label((0, 0), "Low corner", prefer=("below", "left"))
    view.label((middle, t / 2 + 0.3 * h), "Hood", prefer=("right", "left"))
    canvas.skip(6)
    canvas.note("The way from above", bold=True)
    view = canvas.view((0, -40, 500, 62), pad=(0, 34, 0, 40), max_height=300, scale="none")
    view.line((0, 0), (500, 0), pen="dash")
    points: list[Point] = []
    for k in range(41):
        x = 12.5 * k
        bump = 34 * math.exp(-(((x - 230) / 95) ** 2))
        points.append((x, bump))
    view.arrow_path(points)
    for n, (x, lift) in enumerate(((60, 3), (190, 29), (310, 17), (430, 1)), 1):
        view.badge((x, lift + 22), str(n))
    view.label((20, 0), "The line you want", prefer=("below",), leader=False)
    for n, text in enumerate(
        (
            "On the line, blade level.",
            "The dozer drifts. Don't steer against the load.",
            "Tilt the blade a little.",
            "Back on the line: level the blade.",
        ),
        1,
    ):
        canvas.note(f"{n}. {text}")
    return canvas


def ripping_section(
    *,
    ident: str,
    shank_depth: Measure,
    pass_spacing: Measure,
    passes: int = 4,
) -> Canvas:
    """Draw ripped ground across the passes: how deep the shank goes, how far apart passes are.

    Lengths in metres; `passes` from 2 to 6 are drawn. The loosened ground is a sketch: it opens at
    45 degrees from the tip, and never wider than half a spacing on either side.
    """
    positive(shank_depth=shank_depth, pass_spacing=pass_spacing)
    if not 2 <= passes <= 6:
        raise DrawingRefused(f"draw 2 to 6 passes, not {passes}")
    d, s = shank_depth.si, pass_spacing.si
    left, right = -0.7 * s, (passes - 0.3) * s
    canvas = Canvas(
        ident,
        title="Ripping first: depth and spacing",
        desc=both(
            "Ripped ground cut across the passes. The shank goes ", shank_depth,
            " deep, passes are ", pass_spacing, " apart. Between the passes ground stays hard.",
        ),
    )  # fmt: skip
    view = canvas.view((left, -1.5 * d, right, 0.35 * d), pad=(96, 40, 20, 20), max_height=220, seen="across")
    view.rect(left, -1.5 * d, right, 0, pen="none", fill="earth")
    view.line((left, 0), (right, 0), pen="bold")
    opened = min(d, 0.5 * s)
    for k in range(passes):
        x = k * s
        points = [(x, -d), (x + opened, -d + opened), (x + opened, 0), (x - opened, 0),
                  (x - opened, -d + opened)]  # fmt: skip
        with view.part("cut"):
            view.body(points, pen="thin", fill="spoil")
        view.body(
            [(x - 0.035 * d, 0.3 * d), (x + 0.035 * d, 0.3 * d), (x + 0.035 * d, -0.9 * d),
             (x, -d), (x - 0.035 * d, -0.9 * d)],
            fill="dark",
        )  # fmt: skip
    view.dimension(
        (left, -d), (left, 0), join("Depth ", shank_depth), measure=shank_depth, offset=8,
        prefer="left", width=80,
    )  # fmt: skip
    view.dimension(
        (0, 0.35 * d), (s, 0.35 * d), join("Spacing ", pass_spacing), measure=pass_spacing,
        offset=10, prefer="above",
    )  # fmt: skip
    canvas.legend([("spoil", "Loosened"), ("earth", "Still hard. Thick line: the shank's way")])
    return canvas
