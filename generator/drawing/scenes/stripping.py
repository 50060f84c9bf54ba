"""Stripping topsoil strip by strip, between low windrows or all to one side."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import dozer_end, dozer_height, dozer_plan
from generator.drawing.measure import Measure, both, join, positive
from generator.drawing.view import View

STEPS = 14
"""So many strips of an area are shown at the most, and the end of the work."""
WINDOW = 1.3
"""The picture shows so many pushes across at the most; of a wider area the part around the dozer."""


def strip_film(
    *,
    ident: str,
    strip_numbers: Sequence[Measure],
    across: Sequence[Measure],
    on_pile: Sequence[Measure],
    in_windrows: Sequence[Measure],
    pushed_twice: Measure,
    all_of_it: Measure,
    strip_length: Measure,
    strip_width: Measure,
    topsoil_depth: Measure,
    windrow_height: Measure,
    repose: Measure,
    blade_height: Measure,
    one_side: bool = False,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
) -> Film:
    """Draw an area stripped strip by strip from above, and the strip cut across with the dozer in it.

    - the sequences have one figure a strip, strip 1 first: its number, how far the area is stripped
      across by then (metres), and the loose ground on the pile and in windrows (cubic metres).
    - `pushed_twice`: the blade loads that the windrows hold at the end, which are then picked up;
      `all_of_it`: all loose ground of the area, which is as long as the bar.
    - `strip_length`, `strip_width` (the blade's), `topsoil_depth`, `windrow_height`: metres; the
      windrows' sides lie at `repose` (radians). `one_side`: one windrow a strip, on stripped ground
      beside it, in place of one on both sides.

    Raises `DrawingRefused` for a length of zero or less, for no strip, and for sequences that are not of one length.
    """
    positive(strip_length=strip_length, strip_width=strip_width, topsoil_depth=topsoil_depth, windrow_height=windrow_height,
             all_of_it=all_of_it)  # fmt: skip
    count = len(strip_numbers)
    if not count or any(len(column) != count for column in (across, on_pile, in_windrows)):
        raise DrawingRefused("an area strip by strip needs a strip, and the same figures of each")
    shown, apart = picked(count, STEPS)
    base = 2 * windrow_height.si / math.tan(repose.si)
    # between low windrows there is topsoil under them; cast to one side, they lie on ground that is stripped
    last = "the windrows are" if one_side else "the windrows and the topsoil under them are"
    frames = []
    for k in (*shown, None):
        now = count - 1 if k is None else k
        canvas = Canvas(ident, title="Topsoil stripped strip by strip", desc="One strip of the area.", steady=True)
        part = _from_above(
            canvas, k, [a.si for a in across], strip_length.si, strip_width.si, base, one_side=one_side, track_length=track_length,
            track_gauge=track_gauge, shoe_width=shoe_width,
        )  # fmt: skip
        canvas.skip(4)
        _cut_across(
            canvas, strip_width.si, topsoil_depth.si, topsoil_depth.si, 0.0 if k is None else windrow_height.si, repose.si,
            blade_height.si, one_side=one_side, track_length=track_length, track_gauge=track_gauge, shoe_width=shoe_width,
            room=windrow_height.si, done=k is None,
        )  # fmt: skip
        canvas.skip(4)
        canvas.note(
            join("In windrows: ", in_windrows[now]) if k is not None else join("Blade loads pushed twice: ", pushed_twice), bold=True
        )
        bar = canvas.view((0, 0, 100, 4), pad=(1, 2, 1, 0), scale="bars")
        if in_windrows[now].si > 0:
            bar.bar((0, 0), (100 * min(in_windrows[now].si / all_of_it.si, 1.0), 4), "dark", in_windrows[now])
        bar.rect(0, 0, 100, 4, pen="thin")
        canvas.note(join("The whole bar is all the loose ground: ", all_of_it, "."))
        canvas.key_starts()
        canvas.legend([("cross", "Topsoil in place"), ("spoil", "Windrow"), ("dots", "Pile"), ("earth", "Ground below")])
        if part:
            canvas.note("From above, the part of the area around the dozer is shown.")
        if apart > 1:
            canvas.note(thinned(apart, "strip"))
        if k is None:
            says = join(f"At the end {last} picked up. Blade loads pushed twice: ", pushed_twice, ".")
            frames.append(Frame(canvas, says, (pushed_twice, in_windrows[now], all_of_it)))
            continue
        says = join("Strip ", strip_numbers[k], " of ", strip_numbers[-1], ": ", across[k], " stripped across. On the pile: ",
                    on_pile[k], ". In windrows: ", in_windrows[k], ".")  # fmt: skip
        frames.append(Frame(canvas, says, (strip_numbers[k], strip_numbers[-1], across[k], on_pile[k], in_windrows[k], all_of_it)))
    how = "all to one side" if one_side else "between low windrows"
    return Film(
        ident,
        title=f"Topsoil stripped strip by strip, {how}",
        desc=both(
            f"From above, {count} strip{'s' * (count > 1)} of ", strip_length, f" side by side, cut one after the other, {how}. "
            f"Cut across, the dozer stands in its strip. At the end {last} picked up. Blade loads pushed twice: ",
            pushed_twice, ".",
        ),
        frames=frames,
    )  # fmt: skip


def _from_above(
    canvas: Canvas,
    k: int | None,
    across: Sequence[float],
    length: float,
    width: float,
    base: float,
    *,
    one_side: bool,
    track_length: Measure | None,
    track_gauge: Measure | None,
    shoe_width: Measure | None,
) -> bool:
    """Draw the area after strip `k`, counted from 0, or with its windrows picked up; whether that is a part of it."""
    whole, now = across[-1], len(across) - 1 if k is None else k
    edge = base if not one_side else min(base, width)
    starts = [0.0, *across[:-1]]
    wide = min(whole + 2 * edge, WINDOW * length)
    middle = starts[now] + width / 2
    left = -edge if wide >= whole + 2 * edge else min(max(middle - wide / 2, -edge), whole + edge - wide)
    right, pile = left + wide, 0.13 * length
    view = canvas.view((0, 0, wide, length + pile), pad=(4, 4, 4, 4), max_height=230, seen="above")

    def within(a: float, b: float) -> tuple[float, float] | None:
        a, b = max(a, left), min(b, right)
        return (a - left, b - left) if b - a > 1e-6 else None

    with view.part("spoil"):
        view.rect(0, length, wide, length + pile, pen="line", fill="dots")
    view.fixed_text((wide / 2, length + pile / 2 + view.metres(10)), "Pile")
    rest = within(across[now], whole)
    if rest and k is not None:
        view.rect(rest[0], 0, rest[1], length, pen="thin", fill="cross")
    windrows: list[tuple[float, float]] = []
    for i in range(now + 1):
        if path := within(starts[i], min(starts[i] + width, whole)):
            with view.part("cut"):
                view.rect(path[0], 0, path[1], length, pen="thin")
        if not i or one_side:
            windrows.append((starts[i] - edge, starts[i]))
        if not one_side:
            windrows.append((min(starts[i] + width, whole), min(starts[i] + width, whole) + edge))
    for row in windrows if k is not None else ():
        if place := within(*row):
            with view.part("windrow"):
                view.body([(place[0], 0), (place[1], 0), (place[1], length), (place[0], length)], pen="thin", fill="spoil")
    if track_length and track_gauge and shoe_width:
        dozer_plan(
            view, (min(starts[now] + width / 2, max(whole - width / 2, width / 2)) - left, 0.45 * length), track_length=track_length.si, track_gauge=track_gauge.si,
            shoe_width=shoe_width.si, blade_width=width, way=math.pi / 2,
        )  # fmt: skip
    return wide < whole + 2 * edge


def _cut_across(
    canvas: Canvas,
    width: float,
    topsoil: float,
    cut: float,
    windrow: float,
    repose: float,
    blade_height: float,
    *,
    one_side: bool,
    track_length: Measure | None,
    track_gauge: Measure | None,
    shoe_width: Measure | None,
    room: float,
    done: bool = False,
    wide: bool = False,
) -> View:
    """Draw the strip cut across, the dozer in it seen from behind; `room` is the height of windrow it has room for.

    Between low windrows these lie on topsoil; cast to one side, on ground that is stripped. `done`
    shows the ground with the windrows picked up.
    """
    half, base = room / math.tan(repose), width / 2
    long = track_length.si if track_length else None
    left, right = (
        -base - 2 * half - (0.8 if wide else 0.25) * width,
        base + (2 * half if not one_side else 0.0) + (1.0 if wide else 0.6) * width,
    )
    low = -max(topsoil, cut) - 0.12 * width
    top = max(room, 1.02 * dozer_height(blade_height, long) - cut)
    pad = (4.0, 60.0, 4.0, 50.0) if wide else (4.0, 8.0, 4.0, 6.0)
    view = canvas.view((left, low, right, top), pad=pad, max_height=190, seen="end")
    under = base + (2 * half if not one_side else 0.0)  # to where the ground on the right is untouched
    # what is stripped: the strip, all on its left, and at the end the whole
    if done:
        floor = [(left, -cut), (right, -cut)]
    elif one_side:
        floor = [(left, -cut), (base, -cut), (base, 0.0), (right, 0.0)]
    else:
        floor = [(left, -cut), (-under, -cut), (-under, 0.0), (-base, 0.0), (-base, -cut), (base, -cut), (base, 0.0), (right, 0.0)]
    bottom = -topsoil
    view.polygon([*[(x, min(y, bottom)) for x, y in floor], (right, low), (left, low)], pen="none", fill="earth")
    if not done:
        for a, b in ((base, right),) if one_side else ((-under, -base), (base, right)):
            view.rect(a, bottom, b, 0.0, pen="thin", fill="cross")
        for a, b in ((left, base),) if one_side else ((left, -under), (-base, base)):
            if cut < topsoil:  # what the cut left
                view.rect(a, bottom, b, -cut, pen="thin", fill="cross")
    with view.part("cut"):
        view.polyline(floor, pen="bold")
    if windrow:
        foot = -cut if one_side else 0.0
        run = windrow / math.tan(repose)
        for middle in (-base - run,) if one_side else (-base - run, base + run):
            with view.part("windrow", area=run * windrow):
                view.polygon([(middle - run, foot), (middle, foot + windrow), (middle + run, foot)], pen="bold", fill="spoil")
    dozer_end(
        view, 0.0, -cut, blade_width=width, blade_height=blade_height, behind=True, track_length=long,
        track_gauge=track_gauge.si if track_gauge else None, shoe_width=shoe_width.si if shoe_width else None,
    )  # fmt: skip
    return view


def strip_across(
    *,
    ident: str,
    strip_width: Measure,
    topsoil_depth: Measure,
    windrow_height: Measure,
    repose: Measure,
    blade_height: Measure,
    cut_depth: Measure | None = None,
    one_side: bool = False,
    track_length: Measure | None = None,
    track_gauge: Measure | None = None,
    shoe_width: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw a strip cut across with the dozer in it, as `strip_film` does.

    `cut_depth` (metres) is as deep as the topsoil where not given. `spots=True` turns it into a
    question with the regions `stripped`, `windrow` and `untouched`.
    """
    positive(strip_width=strip_width, topsoil_depth=topsoil_depth, windrow_height=windrow_height, blade_height=blade_height)
    cut = cut_depth or topsoil_depth
    canvas = Canvas(
        ident,
        title="A strip cut across",
        desc=both("The topsoil is ", topsoil_depth, " deep, the cut ", cut, " and the windrow ", windrow_height, " high."),
    )
    view = _cut_across(
        canvas, strip_width.si, topsoil_depth.si, cut.si, windrow_height.si, repose.si, blade_height.si, one_side=one_side,
        track_length=track_length, track_gauge=track_gauge, shoe_width=shoe_width, room=windrow_height.si, wide=spots,
    )  # fmt: skip
    if spots:
        left, _, right, _ = view.world
        half = windrow_height.si / math.tan(repose.si)
        view.spot("windrow", "the windrow", [(strip_width.si / 2 + half, windrow_height.si / 2)])
        view.spot("untouched", "the ground on the right", [(right - view.metres(36), 0.0)])
        view.spot("stripped", "the ground on the left", [(left + view.metres(36), -cut.si)])
    canvas.legend([("cross", "Topsoil in place"), ("spoil", "Windrow"), ("earth", "Ground below")])
    return canvas
