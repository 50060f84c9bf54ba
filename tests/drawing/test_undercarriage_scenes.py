"""Tracks that wear, read back from the finished SVG: the slope, the machine, and the bars that the sentences tell."""

from __future__ import annotations

import re
from typing import Any

import pytest

from generator.drawing.film import frames_of
from generator.drawing.picture import Part, read
from generator.drawing.scenes import undercarriage

from .samples import _month, length, percent

GAUGE, SHOE, SLOPE = 1.98, 0.61, 0.1
MACHINE: dict[str, Any] = {
    "side_slope": percent(SLOPE), "track_gauge": length(GAUGE), "shoe_width": length(SHOE), "cg_height": length(0.98),
    "blade_width": length(3.66), "blade_height": length(1.22),
}  # fmt: skip
SHIFTS, LOW, HIGH = 22, 0.00305, 0.0025


def part(svg: str, name: str) -> Part:
    (found,) = [p for view in read(svg) for p in view.all(name)]
    return found


def leans(svg: str) -> float:
    """The slope that the tracks stand on, above zero where the left one is low: from the lowest points of both sides."""
    points = [p for shape in part(svg, "tracks").shapes for p in shape.points]
    middle = sum(x for x, _ in points) / len(points)
    a, b = (min((p for p in points if (p[0] > middle) is side), key=lambda p: p[1]) for side in (False, True))
    return (b[1] - a[1]) / (b[0] - a[0])


@pytest.mark.parametrize("by_turns", [False, True])
def test_the_track_that_the_sentence_calls_low_is_low_on_a_slope_of_that_grade(by_turns: bool) -> None:
    film = undercarriage.month_film(ident="m", **_month(SHIFTS, LOW, HIGH, by_turns, **MACHINE))
    low = set()
    for k, (frame, svg) in enumerate(zip(film.frames, frames_of(film.to_svg()), strict=True)):
        tracks = part(svg, "tracks")
        assert tracks.lengthwise[0] == pytest.approx(GAUGE + SHOE, rel=0.03)
        found = leans(svg)
        told = re.search(r"The (left|right) track was low", frame.words.us)
        if k:
            assert told and (told[1] == "left") == (found > 0)
            low.add(told[1])
    assert low == ({"left", "right"} if by_turns else {"left"})


def test_the_slope_is_drawn_at_its_grade() -> None:
    for share in (0.05, 0.15, 0.4):
        for right_low in (False, True):
            svg = undercarriage.on_a_side_slope(ident="s", **{**MACHINE, "side_slope": percent(share)}, right_low=right_low).to_svg()
            assert leans(svg) == pytest.approx(-share if right_low else share, rel=0.06)


def test_the_bars_are_as_long_as_the_shares() -> None:
    film = undercarriage.month_film(ident="m", **_month(SHIFTS, LOW, HIGH, False, **MACHINE))
    full = 0.0
    for k, frame in enumerate(film.frames):
        bars = [float(px) for px in re.findall(r'class="bar"[^>]*data-px="([\d.]+)"', frame.canvas.to_svg())]
        left, right = 0.5 + k * LOW, 0.5 + k * HIGH
        full = full or bars[0] / 0.5
        assert bars[:2] == pytest.approx([left * full, right * full], rel=0.002)
        if k:
            assert bars[2:] == pytest.approx([k / SHIFTS * full, k / SHIFTS * full * HIGH / LOW], rel=0.005)
        else:
            assert len(bars) == 2, "nothing is worn off yet"


def test_a_month_without_its_beginning_is_refused() -> None:
    given = _month(SHIFTS, LOW, HIGH, False, **MACHINE)
    for name in ("hours", "left", "right"):
        with pytest.raises(ValueError, match="same figures"):
            undercarriage.month_film(ident="m", **{**given, name: given[name][:-1]})
