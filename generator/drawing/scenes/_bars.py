"""Horizontal bars to one scale, told apart by hatching and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.measure import Measure, Text, join
from generator.drawing.svg import Fill
from generator.drawing.text import FONT, LINE_HEIGHT, text_width


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar: what it is, its value, its hatching."""

    name: Text
    value: Measure
    fill: Fill


def bars(
    canvas: Canvas,
    rows: Sequence[Bar],
    *,
    limit: tuple[Measure, Text] | None = None,
    thickness: float = 30.0,
) -> None:
    """Draw bars under each other, all to one scale that starts at zero.

    Each bar's name stands over it, its value at its end. `limit` is a mark across all bars, such
    as a target, with its name.
    """
    if not rows:
        raise DrawingRefused(f"drawing {canvas.ident!r}: no bars")
    for row in rows:
        if row.value.si < 0:
            raise DrawingRefused(f"drawing {canvas.ident!r}: a bar below zero: {row.value.us}")
    longest = max([row.value.si for row in rows] + ([limit[0].si] if limit else []))
    if longest <= 0:
        longest = 1.0
    widest = max(max(text_width(row.value.us), text_width(row.value.metric)) for row in rows)
    # Work in units of the longest bar, so that any quantity can be shown.
    name_high = FONT * LINE_HEIGHT + 6
    pitch = name_high + thickness + 10
    head = 34.0 if limit else 0.0
    room = canvas.width - 8 - 2 - (widest + 12)
    high = pitch * len(rows) + head
    view = canvas.view(
        (0.0, 0.0, 1.0, high / room),
        pad=(2, 0, widest + 12, 2),
        max_height=high + 1,
        scale="bars",
    )
    unit = 1.0 / room
    top = high * unit
    for index, row in enumerate(rows):
        y = top - (head + index * pitch) * unit
        share = row.value.si / longest
        high_y, low_y = y - name_high * unit, y - (name_high + thickness) * unit
        view.fixed_text((0.0, y), join(row.name, ": ", row.value) if limit else row.name)
        if share > 0:
            view.bar((0.0, low_y), (share, high_y), row.fill, row.value)
        if limit is None:
            view.fixed_text((share + 8 * unit, high_y - 4 * unit), row.value, bold=True)
        else:
            # The mark stays off the names: it would run through them.
            mark = limit[0].si / longest
            view.line((mark, low_y - 5 * unit), (mark, high_y + 5 * unit), pen="bold")
    if limit is not None:
        view.fixed_text((0.0, top), limit[1])
    canvas.note("All bars are drawn to one scale.")
