"""The canvas itself: what it refuses, how it writes, where it puts labels."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.drawing import Canvas, Measure, Words, stylesheet
from generator.drawing.boxes import overlap
from generator.drawing.measure import both, join, positive
from generator.drawing.scenes import dozing, ground, loading, slopes, trench, wear
from generator.drawing.svg import number
from generator.drawing.text import text_width, wrap

from .samples import degrees, length, mass, percent

SVG = "{http://www.w3.org/2000/svg}"


def canvas(ident: str = "x") -> Canvas:
    return Canvas(ident, title="A drawing", desc="What the drawing shows, in words.")


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (-0.001, "0"), (1.0, "1"), (10.0, "10"), (1.234, "1.23"), (-2.5, "-2.5"),
     (100.0, "100"), (1e-9, "0"), (0.1 + 0.2, "0.3")],
)  # fmt: skip
def test_numbers_are_written_short(value: float, text: str) -> None:
    assert number(value) == text


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.text(max_size=80), st.floats(20, 400))
def test_wrapping_loses_nothing_and_keeps_the_width(text: str, width: float) -> None:
    lines = wrap(text, width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    for line in lines:
        assert text_width(line) <= width or len(line.strip()) == 1


def test_a_number_and_its_unit_stay_together() -> None:
    assert wrap("Wall 1.0 ft", text_width("Wall 1.0")) == ["Wall", "1.0 ft"]
    assert wrap("12 passes each", text_width("12 passe")) != ["12 passes", "each"]


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.text(max_size=40), st.text(max_size=40))
def test_any_text_makes_well_formed_xml(title: str, label: str) -> None:
    drawing = Canvas("x", title="T" + title, desc="D" + title)
    view = drawing.view((0, 0, 4, 2))
    view.rect(0, 0, 4, 2)
    view.label((2, 1), Words(label, label + "m"))
    drawing.note(label)
    svg = ET.fromstring(drawing.to_svg())
    assert svg.get("role") == "img"


@pytest.mark.parametrize("ident", ["", "1a", "a b", 'a"', "ä", "-a"])
def test_an_id_must_be_fit_for_a_page(ident: str) -> None:
    with pytest.raises(ValueError, match="id needs a letter"):
        canvas(ident)


def test_a_drawing_needs_words() -> None:
    with pytest.raises(ValueError, match="title and a description"):
        Canvas("x", title=" ", desc="y")
    with pytest.raises(ValueError, match="empty world"):
        canvas().view((0, 0, 0, 1))


def test_measures() -> None:
    bench = Measure(3.048, "10 ft", "3.0 m")
    assert join("Bench ", bench) == Words("Bench 10 ft", "Bench 3.0 m")
    assert both("Bench ", bench, ".") == "Bench 10 ft (3.0 m)."
    assert Words("25 %", "25 %").both == "25 %"
    with pytest.raises(ValueError, match="finite"):
        Measure(math.nan, "?", "?")
    with pytest.raises(ValueError, match="depth must be more than zero"):
        positive(depth=Measure(0.0, "0 ft", "0 m"))


def test_a_dimension_that_lies_is_refused() -> None:
    view = canvas().view((0, 0, 10, 10))
    view.dimension((0, 0), (3.048, 0), length(3.048))
    with pytest.raises(ValueError, match="but 3 m is drawn"):
        view.dimension((0, 0), (3.0, 0), length(3.048))
    with pytest.raises(ValueError, match="rad is drawn"):
        view.angle((0, 0), 0.0, 0.5, degrees(25))


def test_no_angle_where_heights_are_stretched() -> None:
    view = canvas().view((0, 0, 10, 1), stretch=3)
    with pytest.raises(ValueError, match="stretched"):
        view.angle((0, 0), 0.0, math.radians(25), degrees(25))


@pytest.mark.parametrize("stretch", [1.0, 2.0, 8.0])
def test_stretch_is_said_in_words(stretch: float) -> None:
    drawing = canvas()
    drawing.view((0, 0, 10, 1), stretch=stretch)
    drawing.note("Below")
    texts = " ".join(box.text for box in drawing.text_boxes())
    assert ("Drawn to scale." in texts) == (stretch == 1)
    assert (f"×{stretch:g}" in texts) == (stretch != 1)


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.integers(1, 24), st.floats(0.0, 3.0))
def test_crowded_labels_never_cover_each_other(count: int, spread: float) -> None:
    drawing = canvas()
    view = drawing.view((0, 0, 10, 6))
    for k in range(count):
        view.label((5 + spread * math.cos(k), 3 + spread * math.sin(k)), f"Label number {5001 + k}")
    boxes = drawing.text_boxes("us")
    for a, b in combinations(boxes, 2):
        assert not overlap(a.box, b.box)
    for box in boxes:
        assert box.x0 >= 0 and box.x1 <= drawing.width and box.y1 <= drawing.height
    # No label is lost: each stands in the drawing or in a line under it.
    told = " ".join(box.text for box in boxes)
    for k in range(count):
        assert told.count(str(5001 + k)) == 1


def test_spots_move_aside_and_refuse_doubles() -> None:
    drawing = canvas()
    view = drawing.view((0, 0, 10, 6))
    for name in ("one", "two", "three"):
        view.spot(name, f"place {name}", [(5, 3)])
    for a, b in combinations(drawing.spots(), 2):
        assert not overlap(a.box, b.box)
    with pytest.raises(ValueError, match="two regions are called 'one'"):
        view.spot("one", "again", [(1, 1)])
    assert drawing.to_svg().count('class="spot"') == 3


def test_views_can_share_a_scale() -> None:
    drawing = canvas()
    first = drawing.view((0, 0, 10, 2))
    second = drawing.view((0, 0, 5, 2), like=first)
    assert second.per_metre == first.per_metre
    with pytest.raises(ValueError, match="too wide"):
        drawing.view((0, 0, 50, 2), like=first)


def test_stylesheet_has_no_colour() -> None:
    css = stylesheet()
    assert ".drawing" in css and "currentColor" in css
    assert "#" not in css and "rgb" not in css


BAD: list[tuple[str, Callable[[], Canvas]]] = [
    (
        "slot_depth must be more than zero",
        lambda: dozing.slot_cross_section(
            ident="x", slot_depth=length(0), blade_width=length(3), blade_height=length(1)
        ),
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
        lambda: slopes.machine_on_side_slope(
            ident="x", slope=degrees(85), track_gauge=length(2), cg_height=length(1)
        ),
    ),
    (
        "make 0.05",
        lambda: slopes.main_fall_and_cross_slope(
            ident="x", main_fall=percent(0.03), cross_slope=percent(0.04), steepest=percent(0.07)
        ),
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
        lambda: loading.truck_match(
            ident="x", bucket_load=mass(10), passes=0, truck_target=mass(100)
        ),
    ),
]


@pytest.mark.parametrize(("message", "make"), BAD)
def test_scenes_refuse_what_cannot_be(message: str, make: Callable[[], Canvas]) -> None:
    with pytest.raises(ValueError, match=message):
        make()


def test_a_machine_whose_weight_falls_outside_is_told_so() -> None:
    def told(angle: float) -> str:
        drawing = slopes.machine_on_side_slope(
            ident="x", slope=degrees(angle), track_gauge=length(2), cg_height=length(1)
        )
        return drawing.desc + " ".join(box.text for box in drawing.text_boxes())

    # atan((gauge / 2) / height) = 45 degrees: the weight line meets the low track's line.
    assert "the machine tips" not in told(44)
    assert "the machine tips" in told(46)
