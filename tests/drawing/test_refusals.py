"""Scenes: what cannot be is refused, and a machine that tips is told to."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from generator.drawing import Canvas
from generator.drawing.scenes import dozing, ground, loading, slopes, trench, wear

from .samples import degrees, length, mass, percent

BAD: list[tuple[str, Callable[[], Canvas]]] = [
    (
        "slot_depth must be more than zero",
        lambda: dozing.slot_cross_section(ident="x", slot_depth=length(0), blade_width=length(3), blade_height=length(1)),
    ),
    (
        "does not fit a slot",
        lambda: dozing.slot_cross_section(
            ident="x",
            slot_depth=length(1),
            blade_width=length(3),
            blade_height=length(1),
            slot_width=length(2),
        ),
    ),
    (
        "spoil grows",
        lambda: dozing.slot_long_section(
            ident="x",
            slot_length=length(30),
            slot_depth=length(1),
            blade_height=length(1.3),
            pass_starts=[length(20), length(10)],
            spoil_heights=[length(1)],
            spoil_ratio=3,
            spoil_ratio_text="3:1",
        ),
    ),
    (
        "cannot be drawn",
        lambda: slopes.machine_on_side_slope(ident="x", slope=degrees(85), track_gauge=length(2), cg_height=length(1)),
    ),
    (
        "make 0.05",
        lambda: slopes.main_fall_and_cross_slope(ident="x", main_fall=percent(0.03), cross_slope=percent(0.04), steepest=percent(0.07)),
    ),
    (
        "degrees",
        lambda: ground.slope_triangle(
            ident="x",
            run=length(4),
            rise=length(1),
            percent="25 %",
            ratio="4:1",
            angle=degrees(25),
        ),
    ),
    (
        "do not make",
        lambda: wear.side_moment(ident="x", reach=length(8), force=mass(100), moment=mass(100)),
    ),
    (
        "at least as wide as its floor",
        lambda: trench.trench_walls(
            ident="x",
            bottom_width=length(2),
            depth=length(1),
            top_width=length(1),
            spoil_setback=length(0.61),
            spoil_width=length(1),
            spoil_height=length(1),
        ),
    ),
    (
        "whole passes, one or more",
        lambda: loading.truck_match(ident="x", bucket_load=mass(10), passes=0, truck_target=mass(100)),
    ),
]


@pytest.mark.parametrize(("message", "make"), BAD)
def test_scenes_refuse_what_cannot_be(message: str, make: Callable[[], Canvas]) -> None:
    with pytest.raises(ValueError, match=message):
        make()


def test_a_machine_whose_weight_falls_outside_is_told_so() -> None:
    def told(angle: float) -> str:
        drawing = slopes.machine_on_side_slope(ident="x", slope=degrees(angle), track_gauge=length(2), cg_height=length(1))
        return drawing.desc + " ".join(box.text for box in drawing.text_boxes())

    # atan((gauge / 2) / height) = 45 degrees: the weight line meets the low track's line.
    assert "the machine tips" not in told(44)
    assert "the machine tips" in told(46)
