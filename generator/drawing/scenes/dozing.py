"""Drawings of the dozing chapter."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.machines import dozer_side
from generator.drawing.measure import Measure, Text, both, join, positive


def _stretch(per_metre: float, detail: float, tall: float, least: float, most: float) -> float:
    """How often to draw heights so that `detail` shows at `least` px and `tall` stays in `most`."""
    for times in (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0):
        if detail * per_metre * times >= least:
            break
    while times > 1 and tall * per_metre * times > most:
        times -= 1
    return times


def slot_long_section(
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
    spots: bool = False,
    blanks: bool = False,
) -> Canvas:
    """Draw a slot cut along its middle: passes from the spoil backward, and the spoil's ramp.

    - `slot_length`, `slot_depth`, `blade_height`: metres.
    - `pass_starts`: where each pass starts, as the distance from the spoil end of the slot, pass 1
      first and growing; the last one is at most `slot_length`. Any number of passes: numbers that
      would crowd are left out, the first and the last stay.
    - `spoil_heights`: height of the spoil over the ground at one or more stages, growing; the last
      is the finished pile. Earlier stages are drawn dashed.
    - `spoil_ratio`: run for one of rise of the ramp; `spoil_ratio_text` its printed text, such as
      `3:1`. `far_side_ratio`: the same for the far side of the pile (a sketch, not printed).
    - `spots=True` turns it into a question: no pass numbers, and three regions to point at,
      `near-spoil`, `middle` and `far-end`.
    - `blanks=True` does not tell how many passes there are, for a sheet on which that is worked out.

    Raises `ValueError` for a length of zero or less, no pass, passes or heights that do not grow.
    """
    positive(slot_length=slot_length, slot_depth=slot_depth, blade_height=blade_height)
    if not pass_starts or not spoil_heights:
        raise ValueError("a slot needs at least one pass and one height of the spoil")
    starts = [start.si for start in pass_starts]
    heights = [height.si for height in spoil_heights]
    if sorted(starts) != starts or sorted(heights) != heights:
        raise ValueError("passes run from the spoil backward, and the spoil grows")
    if starts[0] <= 0 or starts[-1] > slot_length.si * 1.005 or heights[0] <= 0:
        raise ValueError("every pass starts inside the slot, and the spoil has a height")
    length, depth = slot_length.si, slot_depth.si
    peak = heights[-1]
    ramp_end = length + (spoil_ratio + far_side_ratio) * peak
    low, high = -depth * 1.5, peak
    span = ramp_end * 1.08
    canvas = Canvas(
        ident,
        title="A slot from the side"
        if spots
        else "A slot from the side, and the order of its passes",
        desc=both(
            "Cut along the middle of a slot ",
            slot_length,
            " long and ",
            slot_depth,
            " deep. "
            + (
                "Where does the first pass start? "
                if spots
                else f"{'The' if blanks else len(starts)} passes are numbered. Pass 1 starts nearest the spoil. Each "
                "next pass starts farther back and pushes down into the finished slot. "
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
    per_metre = (canvas.width - 8 - 90) / span
    stretch = _stretch(per_metre, depth, high - low, 30.0, 300.0)
    view = canvas.view(
        (-0.04 * span, low, ramp_end + 0.04 * span, high),
        pad=(78, 46, 12, 64),
        max_height=320,
        stretch=stretch,
    )
    left, right = view.world[0], view.world[2]
    # The ground that stays: under the slot, behind it and under the spoil.
    view.polygon(
        [(left, 0), (0, 0), (0, -depth), (length, -depth), (length, 0), (right, 0), (right, low),
         (left, low)],
        pen="none",
        fill="earth",
    )  # fmt: skip
    lip = max(length - spoil_ratio * depth, 0.0)
    lip_depth = -min(depth, length / spoil_ratio)
    ramp: list[Point] = [
        (lip, lip_depth), (length + spoil_ratio * peak, peak), (ramp_end, 0), (length, 0),
        (length, -depth), (lip, -depth),
    ]  # fmt: skip
    view.polygon(ramp, fill="spoil")
    for height in heights[:-1]:
        view.polyline(
            [
                (length + spoil_ratio * height, height),
                (length + (spoil_ratio + far_side_ratio) * height, 0),
            ],
            pen="dash",
        )
    view.polyline([(left, 0), (0, 0), (0, -depth), (lip, -depth)])
    view.line((0, 0), (length, 0), pen="dash")
    view.line((ramp_end, 0), (right, 0))
    # Each pass bites down from the surface and then runs along the floor.
    bite = min(3.0 * depth, 0.8 * starts[0])
    edges = [(length - start, length - start + bite) for start in starts]
    apart = -1e9
    for top, floor in edges:
        # Edges closer than this would run together to a grey patch.
        if top > 1e-6 and abs(view.px((top, 0))[0] - apart) >= 8:
            apart = view.px((top, 0))[0]
            view.line((top, 0), (min(floor, length), -depth), pen="thin")
    if spots:
        third = length / 3
        for name, label, x in (
            ("near-spoil", "the end nearest the spoil", length - third / 2),
            ("middle", "the middle of the slot", length / 2),
            ("far-end", "the end farthest from the spoil", third / 2),
        ):
            view.spot(name, label, [(x, -depth / 2)])
    else:
        previous = length
        # Numbers show only where they have room; the first and the last go before the others.
        places: list[float] = []
        for top, _ in edges:
            middle = (top + previous) / 2 + bite / 2
            places.append(max(min(middle, length - view.metres(16)), view.metres(18)))
            previous = top
        shown: list[float] = []
        count = len(places)
        room = 34 + 12 * max(len(str(count)) - 2, 0)  # a ring is as wide as its number
        for k in (0, *(() if blanks else (count - 1,)), *range(1, count - 1)):
            here = view.px((places[k], 0))[0]
            if all(abs(here - other) >= room for other in shown):
                view.badge((places[k], -depth / 2), str(k + 1))
                shown.append(here)
    view.dimension(
        (0, low),
        (length, low),
        join("Slot ", slot_length, " long"),
        measure=slot_length,
        offset=-14,
        prefer="below",
    )
    view.dimension((0, -depth), (0, 0), slot_depth, offset=14, prefer="left")
    view.dimension(
        (length + spoil_ratio * peak, 0), (length + spoil_ratio * peak, peak),
        join(spoil_heights[-1], " high"), measure=spoil_heights[-1], prefer="above", width=150,
    )  # fmt: skip
    view.label(
        (length + spoil_ratio * peak * 0.5, peak * 0.5),
        join("Ramp ", spoil_ratio_text),
        prefer=("above", "left"),
    )
    above = view.metres(24) / stretch
    if not spots:
        view.arrow((length * 0.12, above), (length * 0.5, above))
        view.label((length * 0.12, above), "Push", prefer=("left", "above"), leader=False)
        if stretch > 1:
            canvas.note("Heights are stretched, so the ramp looks far steeper than it is.")
        canvas.note(
            "Numbers: the order of the passes. Pass 1 starts nearest the spoil."
            if len(starts) > 1
            else "Number: the pass."
        )
    canvas.legend(
        [("earth", "Ground that stays"), ("spoil", "Spoil. Dashed: how the pile grows")]
        if len(heights) > 1
        else [("earth", "Ground that stays"), ("spoil", "Spoil")]
    )
    canvas.skip(14)
    _dozer_in_slot(canvas, slot_depth, blade_height)
    return canvas


def _dozer_in_slot(canvas: Canvas, slot_depth: Measure, blade_height: Measure) -> None:
    """Draw the dozer on the floor of its slot from the side, heights and lengths at one scale."""
    blade, depth = blade_height.si, slot_depth.si
    unit = max(blade, 0.6 * depth)
    back, front = -4.2 * unit, 2.6 * unit
    view = canvas.view(
        (back, -0.35 * unit, front, max(2.25 * blade, depth)),
        pad=(52, 14, 10, 30),
        max_height=240,
    )
    view.rect(back, -0.35 * unit, front, 0, pen="none", fill="earth")
    view.line((back, 0), (front, 0), pen="bold")
    view.line((back, depth), (front, depth), pen="dash")
    load = [
        (0.0, 0.0),
        (0.02, 0.95 * blade),
        (0.25 * blade, 0.98 * blade),
        (1.3 * blade, 0.0),
    ]
    view.body(load, pen="thin", fill="spoil")
    dozer_side(view, 0.0, 0.0, blade)
    view.dimension(
        (1.45 * blade, 0), (1.45 * blade, blade), join("Blade ", blade_height),
        measure=blade_height, prefer="right", width=75,
    )  # fmt: skip
    view.line((0.1 * blade, blade), (1.5 * blade, blade), pen="thin")
    view.dimension(
        (-3.45 * blade, 0), (-3.45 * blade, depth), join("Slot ", slot_depth),
        measure=slot_depth, prefer="left", width=75,
    )  # fmt: skip


def slot_cross_section(
    *,
    ident: str,
    slot_depth: Measure,
    blade_width: Measure,
    blade_height: Measure,
    slot_width: Measure | None = None,
) -> Canvas:
    """Draw a slot across: its two walls, and the blade between them.

    All in metres. `slot_width` is the blade's width where not given; it may not be less.
    """
    positive(slot_depth=slot_depth, blade_width=blade_width, blade_height=blade_height)
    wide = slot_width.si if slot_width else blade_width.si
    if wide < blade_width.si * 0.999:
        raise ValueError(
            f"a blade {blade_width.us} wide does not fit a slot "
            f"{slot_width.us if slot_width else ''} wide"
        )
    w, d, h = wide / 2, slot_depth.si, blade_height.si
    canvas = Canvas(
        ident,
        title="A slot from the end: walls and blade",
        desc=both(
            "Cut across a slot. Between its walls stands a blade ", blade_width, " wide and ",
            blade_height, " high. The walls are ", slot_depth,
            " high and keep the load from running off the ends of the blade.",
        ),
    )  # fmt: skip
    side, low, top = 0.45 * wide, -0.3 * max(d, h), max(d, h)
    view = canvas.view((-w - side, low, w + side, top), pad=(10, 52, 10, 64), max_height=260)
    view.polygon(
        [(-w - side, d), (-w, d), (-w, 0), (w, 0), (w, d), (w + side, d), (w + side, low),
         (-w - side, low)],
        fill="earth", pen="none",
    )  # fmt: skip
    view.polyline([(-w - side, d), (-w, d), (-w, 0), (w, 0), (w, d), (w + side, d)], pen="bold")
    b = blade_width.si / 2
    view.body([(-b, 0.0), (b, 0.0), (b, h), (-b, h)])
    view.line((-b, 0.08 * h), (b, 0.08 * h), pen="thin")
    for x in (-0.55 * b, 0.55 * b):
        view.line((x, 0.08 * h), (x, h), pen="thin")
    view.dimension(
        (-b, h), (b, h), join("Blade ", blade_width, " wide"), measure=blade_width, offset=16,
        prefer="above",
    )  # fmt: skip
    view.dimension(
        (-w - 0.22 * side, 0), (-w - 0.22 * side, d), join("Wall ", slot_depth),
        measure=slot_depth, prefer="left", width=90,
    )  # fmt: skip
    view.dimension(
        (0, 0), (0, h), join("Blade ", blade_height, " high"), measure=blade_height,
        prefer="right", width=100,
    )  # fmt: skip
    if slot_width is not None:
        view.dimension(
            (-w, low), (w, low), join("Slot ", slot_width, " wide"), measure=slot_width,
            offset=-12, prefer="below",
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
) -> Canvas:
    """Draw the spoil pile from the side: the ramp the dozer climbs, and the far side.

    `height` and `ramp_length` (level run of the ramp) in metres; `ratio_text` the printed ratio.
    `far_side_ratio` is the run for one of rise at the far side, a sketch.
    """
    positive(height=height, ramp_length=ramp_length)
    h, run = height.si, ramp_length.si
    end = run + far_side_ratio * h
    canvas = Canvas(
        ident,
        title="The spoil pile and its ramp",
        desc=both(
            "A spoil pile from the side. The dozer climbs a ramp of ", ratio_text, ", ",
            ramp_length, " long on the level and ", height, " high.",
        ),
    )  # fmt: skip
    base = -0.22 * h
    view = canvas.view((-0.12 * end, base, end * 1.06, h), pad=(8, 44, 70, 60), max_height=240)
    left, right = view.world[0], view.world[2]
    view.rect(left, base, right, 0, pen="none", fill="earth")
    view.polygon([(0, 0), (run, h), (end, 0)], fill="spoil", pen="bold")
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
    view.label((run * 0.5, h * 0.5), join("Ramp ", ratio_text), prefer=("above", "left"))
    view.arrow((run * 0.08, h * 0.08 + view.metres(16)), (run * 0.4, h * 0.4 + view.metres(16)))
    return canvas


def stripping(
    *,
    ident: str,
    topsoil_depth: Measure,
    windrow_height: Measure,
    strip_length: Measure,
    strip_width: Measure,
    strips: int = 4,
    windrow_ratio: float = 1.5,
) -> Canvas:
    """Draw stripping of topsoil: strips from above with a windrow on each side, and one cut across.

    The windrows are what runs off the blade's ends: they hold the load as a slot's walls do.
    Lengths in metres. `strips` is how many strips are drawn side by side (1 to 8), fewer where
    they are short and wide; `windrow_ratio` is the run for one of rise of the windrow's sides, a sketch.
    """
    positive(
        topsoil_depth=topsoil_depth, windrow_height=windrow_height, strip_length=strip_length,
        strip_width=strip_width,
    )  # fmt: skip
    if not 1 <= strips <= 8:
        raise ValueError(f"draw 1 to 8 strips, not {strips}")
    length, width, count = strip_length.si, strip_width.si, strips
    row = windrow_height.si * windrow_ratio * 2
    pitch = width + row
    while count > 1 and (pitch * count + row) / length > 1.6:
        count -= 1
    high = pitch * count + row
    canvas = Canvas(
        ident,
        title="Stripping topsoil between low windrows",
        desc=both(
            f"From above: {count} strip{'s' * (count > 1)} side by side, each ", strip_length, " long and ",
            strip_width, " wide, with a windrow left on each side. Cut across: topsoil ",
            topsoil_depth, " deep, the windrow ", windrow_height, " high.",
        ),
    )  # fmt: skip
    canvas.note("From above", bold=True)
    view = canvas.view((0, 0, length, high), pad=(96, 8, 54, 54), max_height=250)
    for k in range(count + 1):
        view.rect(0, k * pitch, length, k * pitch + row, pen="thin", fill="spoil")
    for k in range(count):
        y = row + k * pitch + 0.5 * width
        view.rect(0, y - 0.5 * width, length, y + 0.5 * width, pen="thin")
        if width * view.per_metre >= 16:
            view.arrow((length * 0.3, y), (length * 0.9, y), pen="line")
        if width * view.per_metre >= 32:
            view.badge((length * 0.15, y), str(count - k))
    view.dimension(
        (0, 0), (length, 0), join("Push ", strip_length), measure=strip_length, offset=-14,
        prefer="below",
    )  # fmt: skip
    view.dimension(
        (0, high - row - width), (0, high - row), join("Blade path ", strip_width),
        measure=strip_width, offset=14, prefer="left", width=80,
    )  # fmt: skip
    canvas.skip(8)
    canvas.note("Cut across the windrow", bold=True)
    d, h = topsoil_depth.si, windrow_height.si
    half = windrow_ratio * h
    left, right = -half - 4.5 * max(d, 0.3 * h), half + 1.5 * max(d, 0.4 * h)
    view = canvas.view(
        (left, -max(2 * d, 0.4 * h), right, h), pad=(84, 30, 116, 44), max_height=200
    )
    low = view.world[1]
    # The windrow lies on ground that is stripped on the left, and not yet on the right.
    edge = -half - 2.2 * max(d, 0.3 * h)
    view.rect(left, low, right, -d, pen="none", fill="earth")
    view.rect(edge, -d, right, 0, pen="line", fill="cross")
    view.line((left, -d), (edge, -d), pen="bold")
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


def steer_with_the_blade(
    *, ident: str, blade_width: Measure, blade_height: Measure, tilt: Measure
) -> Canvas:
    """Draw a tilted blade from the front, and the way back to the line from above.

    `tilt` is how much lower one corner of the blade stands than the other, in metres, less than
    the blade's width.
    """
    positive(blade_width=blade_width, blade_height=blade_height, tilt=tilt)
    if tilt.si >= blade_width.si:
        raise ValueError("a blade cannot be tilted by more than its width")
    w, h, t = blade_width.si, blade_height.si, tilt.si
    canvas = Canvas(
        ident,
        title="Steering with the blade's tilt",
        desc=both(
            "From the front: a blade ", blade_width, " wide, one corner ", tilt,
            " lower than the other. From above: the dozer drifts off the line, the blade is "
            "tilted a little, the dozer comes back to the line, the blade is levelled.",
        ),
    )  # fmt: skip
    canvas.note("The blade from the front", bold=True)
    a = math.asin(t / w)
    cos, sin = math.cos(a), math.sin(a)
    corners = [(0.0, 0.0), (w * cos, t), (w * cos - h * sin, t + h * cos), (-h * sin, h * cos)]
    view = canvas.view(
        (-h * sin, min(-0.12 * h, -0.04 * w), w, t + h), pad=(20, 44, 110, 26), max_height=170
    )
    view.body(corners)
    view.line((-h * sin, 0), (w * 1.02, 0), pen="dash")
    view.dimension(
        corners[3], corners[2], join("Blade ", blade_width), measure=blade_width, offset=12,
        prefer="above",
    )  # fmt: skip
    view.dimension(
        (w, 0), (w, t), join("Tilt ", tilt), measure=tilt, offset=-10, prefer="right", width=90
    )
    view.label((0, 0), "Low corner", prefer=("below", "right"))
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
        raise ValueError(f"draw 2 to 6 passes, not {passes}")
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
    view = canvas.view((left, -1.5 * d, right, 0.35 * d), pad=(96, 40, 20, 20), max_height=220)
    view.rect(left, -1.5 * d, right, 0, pen="none", fill="earth")
    view.line((left, 0), (right, 0), pen="bold")
    opened = min(d, 0.5 * s)
    for k in range(passes):
        x = k * s
        points = [(x, -d), (x + opened, -d + opened), (x + opened, 0), (x - opened, 0),
                  (x - opened, -d + opened)]  # fmt: skip
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
