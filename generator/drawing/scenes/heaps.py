"""The same ground in the bank, loose and packed, cut across at one scale, and the truck loads in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.svg import Fill
from generator.drawing.view import View

_FLAT = 2.5
"""A block in the bank or in the fill is drawn so many times as wide as the bank's is high."""
_MOST = 120
"""With more loads than this a square stands for several."""


@dataclass(frozen=True)
class _Strip:
    """The ground lies in a strip so long; what is drawn is cut across it. Metres and square metres."""

    long: float
    slope: float

    def block(self, bank: float) -> tuple[float, float]:
        """How wide and how deep the block in the bank is, of this volume."""
        deep = math.sqrt(bank / self.long / _FLAT)
        return _FLAT * deep, deep

    def ridge(self, volume: float) -> tuple[float, float]:
        """How wide and how high a heap of this volume lies."""
        high = math.sqrt(volume / self.long * self.slope)
        return 2 * high / self.slope, high


def _strip(bank: Measure, repose: Measure, length: Measure | None) -> _Strip:
    if not math.radians(5) <= repose.si <= math.radians(60):
        raise DrawingRefused(f"loose ground does not lie at {repose.us}")
    return _Strip(length.si if length else 2.5 * float(bank.si ** (1 / 3)), math.tan(repose.si))


def _ground(view: View, cut: tuple[float, float, float]) -> None:
    """Draw the ground line, and the ground below it around a cut from x to x, so deep."""
    left, low, right, _ = view.world
    x0, x1, deep = cut
    line: list[Point] = [(left, 0.0), (x0, 0.0), (x0, -deep), (x1, -deep), (x1, 0.0), (right, 0.0)]
    view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
    view.polyline(line, pen="bold")


def _heap(view: View, x: float, wide: float, high: float, area: float) -> None:
    with view.part("spoil", area=area):
        view.body([(x, 0.0), (x + wide / 2, high), (x + wide, 0.0)], fill="spoil")


def _loads(canvas: Canvas, like: View, area: float, rows: Sequence[tuple[int, bool]]) -> int:
    """Draw loads as squares at the scale of a view; a row's second figure says that they are there, not missing.

    Returns how many loads a square stands for.
    """
    count = sum(n for n, _ in rows)
    each = math.ceil(count / _MOST)
    side = math.sqrt(area * each)
    step = side + like.metres(3)
    wide = (canvas.width - 8 - 12) / like.per_metre
    across = max(1, int((wide + like.metres(3)) / step))
    squares = [there for n, there in rows for _ in range(math.ceil(n / each))]
    high = math.ceil(len(squares) / across) * step
    view = canvas.view((0, -high, wide, 0), pad=(6, 4, 6, 4), like=like, seen="across")
    for k, there in enumerate(squares):
        x, y = k % across * step, -(k // across) * step
        corners = [(x, y), (x + side, y), (x + side, y - side), (x, y - side)]
        with view.part("load", area=area * each):
            if there:
                view.polygon(corners, fill="spoil")
            else:
                view.polygon(corners, pen="dash")
    return each


def loads_from_loose(
    *,
    ident: str,
    bank: Measure,
    loose: Measure,
    compacted: Measure,
    repose: Measure,
    truck_load: Measure,
    loads: Measure,
    length: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw the same ground in the bank, as a loose heap and as packed fill, and its truck loads.

    `bank`, `loose`, `compacted` and `truck_load` (loose, of one truck) in cubic metres, `loads` a
    count, `repose` in radians. Each is cut across a strip of the `length` (metres; a sketch if not
    given), so at one scale the areas compare as the volumes do. A square is a load. `spots=True`: regions
    `bank`, `loose` and `packed`, and neither names nor loads.
    """
    positive(bank=bank, loose=loose, compacted=compacted, truck_load=truck_load, loads=loads)
    strip = _strip(bank, repose, length)
    wide, deep = strip.block(bank.si)
    base, high = strip.ridge(loose.si)
    packed = compacted.si / strip.long / wide
    canvas = Canvas(
        ident,
        title="The same ground in the bank, loose and packed",
        desc="Cut across at one scale: a block in the ground, a heap and a block on it, of the same ground." if spots else both("Cut across at one scale. In the bank ", bank, ", dug ", loose, ", packed ", compacted, ". The loose heap is ", loads,
                  " truck loads."),
    )  # fmt: skip
    gap = 0.16 * wide
    view = canvas.view(
        (-gap, -1.2 * deep, wide + base + wide + 3 * gap, max(high, packed)), pad=(4, 48, 4, 34), max_height=190, seen="across"
    )
    _ground(view, (0.0, wide, deep))
    with view.part("cut", area=bank.si / strip.long):
        view.body([(0.0, -deep), (wide, -deep), (wide, 0.0), (0.0, 0.0)], fill="stripe", pen="dash")
    _heap(view, wide + gap, base, high, loose.si / strip.long)
    x = wide + base + 2 * gap
    with view.part("berm", area=compacted.si / strip.long):
        view.body([(x, 0.0), (x + wide, 0.0), (x + wide, packed), (x, packed)], fill="cross")
    if spots:
        view.spot("bank", "the block in the ground", [(wide / 2, -deep / 2)])
        view.spot("loose", "the heap", [(wide + gap + base / 2, high / 2)])
        view.spot("packed", "the block on the ground", [(x + wide / 2, packed / 2)])
        return canvas
    view.label((wide / 2, 0.0), join("Bank: ", bank), prefer=("above",), width=170, leader=False)
    view.label((wide + gap + base / 2, high), join("Loose: ", loose), prefer=("above",), width=200, leader=False, bold=True)
    view.label((x + wide / 2, packed), join("Packed: ", compacted), prefer=("above",), width=170, leader=False)
    canvas.note(join("Loads to haul, of the loose heap: ", loads), bold=True)
    each = _loads(canvas, view, truck_load.si / strip.long, [(round(loads.si), True)])
    _key(
        canvas,
        [("stripe", "As it lies in the bank"), ("spoil", "Loose: the heap, and the loads"), ("cross", "Packed as fill")],
        each,
        length,
    )
    return canvas


def loads_from_bank(
    *,
    ident: str,
    bank: Measure,
    repose: Measure,
    truck_load: Measure,
    loads_by_bank: Measure,
    missing: Measure,
    left: Measure,
    length: Measure | None = None,
    plain: bool = False,
) -> Canvas:
    """Draw what happens where truck loads are counted from the bank volume: a heap is left, and loads are missing.

    `bank`, `truck_load` and `left` (the loose ground that is left) in cubic metres, `loads_by_bank` and
    `missing` counts. `plain` leaves out the loads, which tell what went wrong. See `loads_from_loose`.
    """
    positive(bank=bank, truck_load=truck_load, loads_by_bank=loads_by_bank)
    strip = _strip(bank, repose, length)
    wide, deep = strip.block(bank.si)
    base, high = strip.ridge(max(left.si, 1e-9))
    canvas = Canvas(
        ident,
        title="A cut, and ground that is left" if plain else "Truck loads counted from the bank: some are missing",
        desc=both("A cut of ", bank, ", and a heap of ", left, " beside it.") if plain else both("The wrong way. ", bank, " in the bank is counted as ", loads_by_bank, " loads. When they are gone, ", left,
                  " is still there: ", missing, " loads are missing."),
    )  # fmt: skip
    gap = 0.16 * wide
    # as wide as the right way's picture, so that the two compare: the heap of all of it takes the most room
    view = canvas.view((-gap, -1.2 * deep, 3 * wide + 3 * gap, max(high, 0.3 * deep)), pad=(4, 48, 4, 34), max_height=190, seen="across",
                       way="wrong")  # fmt: skip
    _ground(view, (0.0, wide, deep))
    view.label((wide / 2, -deep / 2), join("Dug out: ", bank), prefer=("above",), width=160, leader=False)
    if left.si > 0:
        _heap(view, wide + 2 * gap, base, high, left.si / strip.long)
        view.label((wide + 2 * gap + base / 2, high), join("Still there: ", left), prefer=("above",), width=230, bold=True, leader=False)
    if plain:
        return canvas
    canvas.note(join("Loads counted from the bank: ", loads_by_bank, ". Missing: ", missing, "."), bold=True)
    each = _loads(canvas, view, truck_load.si / strip.long, [(round(loads_by_bank.si), True), (round(missing.si), False)])
    _key(canvas, [("spoil", "Loose: loads that came, and what is left"), ("none", "Dashed: loads nobody sent for")], each, length)
    return canvas


def _key(canvas: Canvas, rows: list[tuple[Fill, Text]], each: int, length: Measure | None) -> None:
    canvas.legend(rows)
    square = "A square is one load." if each == 1 else "A square is several loads."
    canvas.note(join("Cut across a strip ", length, " long. ", square) if length else f"Cut across. {square}")
