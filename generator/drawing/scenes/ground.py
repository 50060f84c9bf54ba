"""Drawings of the ground chapter."""

from __future__ import annotations

import math

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import person
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.svg import Fill


def slope_triangle(
    *,
    ident: str,
    run: Measure,
    rise: Measure,
    percent: Text,
    ratio: Text,
    angle: Measure,
) -> Canvas:
    """Draw one slope with its run and rise, and its grade as percent, ratio and degrees.

    `run` and `rise` in metres, `angle` in radians (it must be the angle of rise over run). Where
    the rise is too small to see, heights are stretched and the drawing says so.
    """
    positive(run=run, rise=rise, angle=angle)
    true = math.atan2(rise.si, run.si)
    if abs(true - angle.si) > 0.01 * true:
        raise DrawingRefused(f"{rise.us} on {run.us} is {math.degrees(true):.3g} degrees")
    canvas = Canvas(
        ident,
        title="One slope, told in three ways",
        desc=both(
            "A slope rises ", rise, " over a run of ", run, ". That is ", percent, ", or ", ratio,
            ", or ", angle, ".",
        ),
    )  # fmt: skip
    per_metre = min((canvas.width - 8 - 140) / run.si, 260 / rise.si)
    stretch = 1.0
    while rise.si * per_metre * stretch < 40:
        stretch *= 2 if stretch in (1, 10, 100) else 2.5 if stretch in (2, 20, 200) else 2
    view = canvas.view((0, 0, run.si, rise.si), pad=(20, 44, 120, 60), max_height=270, stretch=stretch)
    view.polygon([(0, 0), (run.si, 0), (run.si, rise.si)], fill="earth", pen="none")
    view.line((0, 0), (run.si, rise.si), pen="bold")
    view.polyline([(0, 0), (run.si, 0), (run.si, rise.si)], pen="thin")
    view.dimension((0, 0), (run.si, 0), join("Run ", run), measure=run, offset=-16, prefer="below")
    view.dimension(
        (run.si, 0), (run.si, rise.si), join("Rise ", rise), measure=rise, offset=-14,
        prefer="right", width=90,
    )  # fmt: skip
    if stretch == 1:
        view.angle((0, 0), 0.0, true, angle, radius=min(90.0, 0.45 * run.si * per_metre))
    canvas.note(join("Percent: ", percent))
    canvas.note(join("Ratio, run to rise: ", ratio))
    canvas.note(join("Degrees: ", angle))
    return canvas


def volumes(*, ident: str, bank: Measure, loose: Measure, compacted: Measure) -> Canvas:
    """Draw one load of soil in bank, loose and compacted state: three bars by volume.

    All three in cubic metres. The bars stand on one line and are equally wide, so height is volume.
    """
    positive(bank=bank, loose=loose, compacted=compacted)
    canvas = Canvas(
        ident,
        title="The same soil in bank, loose and compacted state",
        desc=both(
            "Three columns of equal width; the height shows the volume. In the bank ", bank,
            ". Loose ", loose, ". Compacted ", compacted, ".",
        ),
    )  # fmt: skip
    tallest = max(bank.si, loose.si, compacted.si)
    high = 200.0
    room = canvas.width - 8
    view = canvas.view((0, 0, room, high), pad=(0, 52, 0, 34), max_height=high + 1, scale="bars")
    rows: list[tuple[str, Measure, Fill]] = [
        ("Bank", bank, "earth"), ("Loose", loose, "spoil"), ("Compacted", compacted, "cross"),
    ]  # fmt: skip
    view.line((0, 0), (room, 0), pen="bold")
    pitch = room / 3
    for index, (name, measure, fill) in enumerate(rows):
        x = pitch * (index + 0.5)
        top = high * measure.si / tallest
        view.bar((x - 45, 0), (x + 45, top), fill, measure, upright=True)
        view.label((x, top), measure, prefer=("above",), bold=True, width=pitch - 12)
        view.label((x, 0), name, prefer=("below",), width=pitch - 12)
    canvas.note("Equal bases: the height shows the volume. All to one scale.")
    canvas.legend(
        [
            ("earth", "Bank: as it lies in the ground"),
            ("spoil", "Loose: dug, on the blade or in the truck"),
            ("cross", "Compacted: placed and rolled"),
        ]
    )
    return canvas


def who_decides(*, ident: str, steps: tuple[str, str, str] | None = None) -> Canvas:
    """Draw stop-work as three steps: stop, tell, wait for the one who decides.

    `steps` replaces the three short texts.
    """
    texts = steps or (
        "Stop. Anyone may, at any time.",
        "Tell the person in charge what you saw.",
        "A competent person decides. Then work goes on.",
    )
    canvas = Canvas(
        ident,
        title="Stop work: who decides",
        desc="Three steps. " + " ".join(f"{n}: {text}" for n, text in enumerate(texts, 1)),
    )
    room = canvas.width - 8
    view = canvas.view((0, -0.2 * 100, room, 150), pad=(0, 6, 0, 100), max_height=400, scale="none")
    for index, text in enumerate(texts):
        x = room * (index + 0.5) / 3
        if index == 0:
            person(view, (x, 0), 118, arms="up")
        elif index == 1:
            person(view, (x - 34, 0), 118, arms="point")
            person(view, (x + 34, 0), 118)
        else:
            person(view, (x - 22, 0), 118)
            board = [(x + 18, 40), (x + 66, 40), (x + 66, 108), (x + 18, 108)]
            view.body(board)
            view.polyline([(x + 27, 74), (x + 38, 60), (x + 58, 92)], pen="bold")
        if index < 2:
            edge = room * (index + 1) / 3
            view.arrow((edge - 16, 50), (edge + 16, 50))
        view.badge((x - 62, 132), str(index + 1))
        view.label((x, -2), text, prefer=("below",), width=room / 3 - 18, leader=False)
    return canvas
