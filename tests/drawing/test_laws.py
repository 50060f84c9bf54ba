"""Each law of scenes finds a picture that breaks it, by the figure it names, and passes one that keeps it."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from generator.drawing import Canvas, View
from generator.drawing.laws import LAWS, broken
from generator.drawing.view import Seen

from .samples import SAMPLES, SIZES, draw

FIGURES = {
    "limits.edge_distance": 2.0,
    "limits.line_clearance": 6.0,
    "limits.spoil_setback": 0.6,
    "limits.person_distance": 4.0,
    "job.tolerance": 0.6,
    "job.box_length": 3.0,
    "job.truck_distance": 8.0,
    "machine.track_length": 4.0,
    "machine.blade_width": 3.0,
    "machine.blade_height": 1.0,
    "machine.bucket_width": 1.2,
    "truck.overall_width": 3.0,
}
Draws = Callable[[View, float], None]


def box(view: View, name: str, x0: float, y0: float, x1: float, y1: float, **facts: float | str) -> None:
    with view.part(name, **facts):  # type: ignore[arg-type]
        view.body([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def crest(view: View, x: float, y: float = 5.0) -> None:
    with view.part("crest"):
        view.line((x, y), (x, y - 1))


def tracks_by_the_crest(view: View, gap: float) -> None:
    crest(view, 20)
    box(view, "tracks", 20 - gap - 4, 5, 20 - gap, 6)


def tracks_from_above(view: View, gap: float) -> None:
    with view.part("crest"):
        view.line((0, 5), (40, 5))
    box(view, "tracks", 10, 5 + gap, 14, 8 + gap)


def person_at_the_edge(view: View, gap: float) -> None:
    crest(view, 20)
    box(view, "person", 20 + gap, 5, 20.5 + gap, 7)


def truck_and_face(view: View, gap: float) -> None:
    box(view, "fall-zone", 10, 0, 15, 0.2)
    box(view, "truck", 15 + gap, 0, 18 + gap, 4)


def truck_and_face_from_above(view: View, gap: float) -> None:
    box(view, "fall-zone", 0, 0, 40, 5)
    box(view, "truck", 5, 5 + gap, 13, 8 + gap)


def boom_and_wire(view: View, gap: float) -> None:
    with view.part("wire"):
        view.circle((30, 15), 0.1)
    box(view, "machine", 20, 0, 29.9 - gap, 15)


def bucket_and_line(view: View, gap: float) -> None:
    with view.part("line"):
        view.circle((10, 2), 0.2)
    box(view, "bucket", 10.2 + gap, 1, 12 + gap, 3)


def spoil_and_edge(view: View, gap: float) -> None:
    crest(view, 12)
    with view.part("wall"):
        view.line((12, 5), (10, 2))
    box(view, "spoil", 12 + gap, 5, 15 + gap, 6)


def person_by_the_ring(view: View, gap: float) -> None:
    with view.part("swing-circle", people="out"):
        view.circle((20, 8), 6)
    box(view, "person", 26 + gap, 7.5, 26.5 + gap, 8.5)


DISTANCES: list[tuple[str, Draws, Seen, float, str]] = [
    ("edge", tracks_by_the_crest, "side", 2.0, "limits.edge_distance"),
    ("edge", tracks_from_above, "above", 2.0, "limits.edge_distance"),
    ("edge", person_at_the_edge, "side", 2.0, "limits.edge_distance"),
    ("fall-zone", truck_and_face, "side", 0.0, "job.truck_distance"),
    ("fall-zone", truck_and_face_from_above, "above", 0.0, "job.truck_distance"),
    ("wire", boom_and_wire, "side", 6.0, "limits.line_clearance"),
    ("line", bucket_and_line, "across", 0.6, "job.tolerance"),
    ("spoil", spoil_and_edge, "across", 0.6, "limits.spoil_setback"),
    ("people", person_by_the_ring, "above", 4.0, "limits.person_distance"),
]


def found(draws: Draws, gap: float, seen: Seen, way: str = "") -> list[tuple[str, str]]:
    canvas = Canvas("one", title="A title of it", desc="What it shows")
    view = canvas.view((0, 0, 40, 16), seen=seen, way=way)  # type: ignore[arg-type]
    draws(view, gap)
    return [(breach.law, breach.figure) for breach in broken(canvas.to_svg(), FIGURES)]


@pytest.mark.parametrize(("law", "draws", "seen", "limit", "figure"), DISTANCES)
def test_a_distance_is_kept_or_told(law: str, draws: Draws, seen: Seen, limit: float, figure: str) -> None:
    assert (law, figure) in found(draws, limit - 0.12, seen)
    assert (law, figure) not in found(draws, limit + 0.12, seen)
    assert (law, figure) not in found(draws, limit - 0.12, seen, "wrong")
    assert (law, figure) in found(draws, limit - 0.12, seen, "right")


@pytest.mark.parametrize(
    ("x", "foot", "bottom", "breaks"),
    [
        (12.0, 1.0, 1.5, []),  # inside
        (9.0, 1.0, 1.5, [("box", "job.box_length")]),  # past its end
        (14.7, 1.0, 1.5, [("box", "job.box_length")]),  # half in
        (12.0, 1.0, 4.0, [("box", "job.box_height")]),  # under it while it hangs
        (2.0, 5.0, 1.5, []),  # on the ground
        (2.0, 5.0, 6.0, []),
    ],
)
def test_below_the_ground_a_person_is_in_the_box(x: float, foot: float, bottom: float, breaks: list[tuple[str, str]]) -> None:
    def draws(view: View, gap: float) -> None:
        crest(view, 20)
        box(view, "box", 10, bottom, 15, bottom + 5, sized="no")
        box(view, "person", x - 0.4, foot, x + 0.4, foot + 1.8)

    assert found(draws, 0.0, "side") == breaks
    assert found(draws, 0.0, "side", "wrong") == []


def test_a_box_is_as_long_as_its_table_says() -> None:
    def draws(view: View, long: float) -> None:
        box(view, "box", 10, 1, 10 + long, 4)

    assert found(draws, 3.0, "side") == found(draws, 9.0, "across") == []
    assert found(draws, 3.3, "side") == found(draws, 2.7, "side") == [("size", "job.box_length")]


def test_nobody_stands_within_a_ring_that_is_at_work_whatever_the_limit() -> None:
    def draws(view: View, gap: float) -> None:
        with view.part("swing-circle", **({"people": "out"} if gap else {})):
            view.circle((20, 8), 6)
        box(view, "person", 20, 8, 20.5, 9)

    assert found(draws, 1.0, "above") == [("people", "limits.person_distance")]
    assert found(draws, 0.0, "above") == []
    canvas = Canvas("one", title="A title of it", desc="What it shows")
    draws(canvas.view((0, 0, 40, 16), seen="above"), 1.0)
    assert [breach.law for breach in broken(canvas.to_svg(), {})] == ["people"]


def test_what_stands_on_the_floor_is_not_held_to_the_crest_above_it() -> None:
    def draws(view: View, gap: float) -> None:
        with view.part("crest"):
            view.line((0, 5), (40, 5))
        box(view, "truck", 5, 4 - gap, 13, 1 - gap, on="floor")
        box(view, "truck", 15, 4 - gap, 23, 1 - gap)

    assert [law for law, _ in found(draws, 0.5, "above")] == ["edge"]

    def below(view: View, gap: float) -> None:
        crest(view, 20, 12)
        box(view, "truck", 20.2, 0, 23.2, 4)

    assert found(below, 0, "end") == []


SIZED: list[tuple[str, Seen, float, float, str]] = [
    ("truck", "end", 3.0, 4.0, "truck.overall_width"),
    ("truck", "above", 9.0, 3.0, "truck.overall_width"),
    ("tracks", "side", 4.0, 0.8, "machine.track_length"),
    ("tracks", "above", 4.0, 0.8, "machine.track_length"),
    ("blade", "end", 3.0, 1.0, "machine.blade_width"),
    ("blade", "side", 0.4, 1.0, "machine.blade_height"),
    ("bucket", "end", 1.2, 1.0, "machine.bucket_width"),
]


@pytest.mark.parametrize(("name", "seen", "wide", "high", "column"), SIZED)
def test_a_thing_has_its_own_columns_size(name: str, seen: Seen, wide: float, high: float, column: str) -> None:
    def draws(view: View, times: float) -> None:
        box(view, name, 5, 1, 5 + wide * times, 1 + high * times)

    assert found(draws, 1.0, seen) == []
    for times in (0.9, 1.12):
        assert ("size", column) in found(draws, times, seen)

    def odd(view: View, times: float) -> None:
        box(view, name, 5, 1, 5 + wide * times, 1 + high * times, sized="no")

    assert found(odd, 1.5, seen) == []


WIDTHS = {"machine.track_gauge": 2.0, "machine.shoe_width": 0.5, "machine.overall_width": 2.6}


@pytest.mark.parametrize(
    ("outer", "body", "figure"),
    [(2.5, 2.6, []), (2.2, 2.2, ["machine.track_gauge"]), (2.5, 3.0, ["machine.overall_width"]),
     # tracks too far apart make the machine too wide as well
     (2.9, 2.6, ["machine.track_gauge", "machine.overall_width"])],
)  # fmt: skip
def test_from_the_end_tracks_stand_as_the_table_says(outer: float, body: float, figure: list[str]) -> None:
    canvas = Canvas("one", title="A title of it", desc="What it shows")
    view = canvas.view((-4, 0, 4, 4), seen="end")
    with view.part("machine"):
        view.body([(-body / 2, 1), (body / 2, 1), (body / 2, 3), (-body / 2, 3)])
        with view.part("tracks"):
            for side in (-1, 1):
                view.body([(side * outer / 2, 0), (side * (outer / 2 - 0.5), 0), (side * (outer / 2 - 0.5), 1), (side * outer / 2, 1)])
    found = [(breach.law, breach.figure) for breach in broken(canvas.to_svg(), WIDTHS)]
    assert found == [("end width", name) for name in figure]


def test_a_labelled_grade_is_drawn_at_it() -> None:
    def ramp(stretch: float, told: float) -> list[str]:
        canvas = Canvas("one", title="A title of it", desc="What it shows")
        view = canvas.view((0, 0, 40, 12), stretch=stretch)
        with view.part("ramp", grade=told):
            view.line((0, 0), (30, 10))
        return [breach.law for breach in broken(canvas.to_svg(), {})]

    assert ramp(1.0, 1 / 3) == []
    assert ramp(1.0, 1 / 2) == ["grade"]
    # a ramp of 3:1 drawn at 60 degrees
    assert ramp(3 * math.tan(math.radians(60)), 1 / 3) == ["shape", "grade"]


def test_no_machine_stands_where_heights_are_stretched() -> None:
    canvas = Canvas("one", title="A title of it", desc="What it shows")
    view = canvas.view((0, 0, 40, 4), stretch=3)
    box(view, "machine", 5, 0, 10, 2)
    with view.part("line"):
        view.line((0, 0), (40, 1))
    assert [breach.law for breach in broken(canvas.to_svg(), {})] == ["shape"]


def test_the_section_drawn_is_the_section_told() -> None:
    def pile(told: float) -> list[str]:
        canvas = Canvas("one", title="A title of it", desc="What it shows")
        view = canvas.view((0, 0, 40, 12), seen="across")
        with view.part("spoil", area=told):
            view.body([(0, 0), (10, 0), (5, 4)])
        return [breach.law for breach in broken(canvas.to_svg(), {})]

    assert pile(20) == []
    assert pile(22) == ["volume"]


def test_a_limit_the_site_does_not_give_is_not_held_against_it() -> None:
    canvas = Canvas("one", title="A title of it", desc="What it shows")
    view = canvas.view((0, 0, 40, 16))
    tracks_by_the_crest(view, 0.1)
    assert broken(canvas.to_svg(), {}) == []


END = {"machine.track_gauge": 2.0, "machine.gauge_wide": 1.1, "machine.shoe_width": 0.5, "machine.overall_width": 2.8}


def from_the_end(width: float, *, body: float = 2.6, seen: Seen = "end", **facts: float | str) -> list[tuple[str, str]]:
    """What is broken where two shoes of 0.5 m stand `width` over all, below a body `body` wide."""
    canvas = Canvas("law", title="t", desc="d")
    view = canvas.view((0, 0, 40, 20), seen=seen)
    turned = {"turned": facts.pop("turned")} if "turned" in facts else {}
    with view.part("tracks", **facts):
        for x in (10 - width / 2, 10 + width / 2 - 0.5):
            view.body([(x, 1), (x + 0.5, 1), (x + 0.5, 2), (x, 2)])
    box(view, "machine", 10 - body / 2, 2, 10 + body / 2, 4, **turned)
    return [(b.law, b.figure) for b in broken(canvas.to_svg(), END)]


def test_from_the_end_tracks_stand_as_wide_as_gauge_and_shoe_together() -> None:
    assert from_the_end(2.5) == []
    for width in (2.0, 2.2, 2.9):
        assert from_the_end(width) == [("end width", "machine.track_gauge")]
    assert from_the_end(1.6, body=1.5, gauge="gauge_wide") == []
    assert from_the_end(2.5, body=1.5, gauge="gauge_wide") == [("end width", "machine.gauge_wide")]
    assert from_the_end(2.0, sized="no") == from_the_end(2.0, seen="side") == []


def test_from_the_end_a_machine_is_no_wider_than_its_table_says() -> None:
    assert from_the_end(2.5, body=3.4) == [("end width", "machine.overall_width")]
    assert from_the_end(2.5, body=3.4, turned="yes") == []


def test_every_law_is_tested_here() -> None:
    assert {law.__name__ for law in LAWS} == {
        "edge", "fall_zone", "wire", "buried_line", "spoil_setback", "boxed", "people", "sizes", "end_width", "true_to_shape", "grades",
        "volumes",
    }  # fmt: skip


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_keep_the_laws_of_shape(name: str, size: str) -> None:
    """They belong to no site, so there is nothing to hold distances and sizes to."""
    assert broken(draw(name, size).to_svg(), {}) == []
