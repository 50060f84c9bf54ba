"""A trench box measured in the finished picture: it stands where the sentence says, and who is where."""

from __future__ import annotations

import math
from typing import Any

import pytest
from shapely import LineString, Polygon, unary_union

from generator.drawing.errors import DrawingRefused, NotReached
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import Breach, broken
from generator.drawing.picture import Part, read
from generator.drawing.scenes import trench_box

from .samples import FILMS, SAMPLES, SIZES, L, draw


def shape(part: Part) -> Any:
    return unary_union([Polygon(s.points).buffer(0) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes])


def ground(view: Any) -> float:
    """How high the ground stands; a picture read back has no level of its own."""
    return float(max(cut.high for cut in view.all("cut")))


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


def breaches(made: Film, figures: dict[str, float]) -> list[Breach]:
    return [breach for svg in frames_of(made.to_svg()) for breach in broken(svg, figures)]


@pytest.mark.parametrize("size", SIZES)
def test_nobody_is_there_while_the_box_moves(size: str) -> None:
    made, given = film("set_film", size)
    set_at = given["gap"].si - given["depth"].si
    people = []
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        (box,) = view.all("box")
        people.append(len(view.all("person")))
        assert box.extent == pytest.approx((given["box_length"].si, given["stack"].si), abs=4 * view.grain)
        if abs(box.low - ground(view) - set_at) > 4 * view.grain:
            assert not view.all("person") and not view.all("ladder")
        for person in view.all("person"):
            assert box.left < person.left and person.right < box.right
            assert person.low - ground(view) == pytest.approx(-given["depth"].si, abs=4 * view.grain)
        assert view.scale == view.scale_y
        # no arm hangs over people: while they are in, the machine is not there
        assert bool(view.all("person")) != bool(view.all("machine", "bucket"))
    assert people == [0, 0, 0, 1, 0, 0]
    assert breaches(made, {}) == []


@pytest.mark.parametrize("size", SIZES)
def test_the_box_stands_as_the_sentence_says(size: str) -> None:
    made, given = film("set_film", size)
    says = made.frames[2].words
    assert given["gap"].us in says.us and given["above"].metric in says.metric
    (view,) = read(frames_of(made.to_svg())[2])
    (box,) = view.all("box")
    assert box.low - ground(view) + given["depth"].si == pytest.approx(given["gap"].si, abs=4 * view.grain)
    assert box.high - ground(view) == pytest.approx(given["above"].si, abs=4 * view.grain)


@pytest.mark.parametrize("size", SIZES)
def test_the_machine_keeps_back_and_the_ladder_stands_out(size: str) -> None:
    made, given = film("set_film", size)
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        (crest,) = view.all("crest")
        gap = min((shape(part).distance(shape(crest)) for part in view.all("tracks")), default=math.inf)
        assert gap >= given["edge_distance"].si - 4 * view.grain
        for ladder in view.all("ladder"):
            assert ladder.high - ground(view) >= given["ladder_above"].si - 4 * view.grain
    assert breaches(made, {"limits.edge_distance": given["edge_distance"].si, "job.box_length": given["box_length"].si}) == []
    assert breaches(made, {"job.box_length": 1.2 * given["box_length"].si}) != []


def test_a_machine_that_cannot_hold_the_box_is_not_shown() -> None:
    _, samples = FILMS["set_film"]
    with pytest.raises(NotReached):
        trench_box.set_film(ident="x", **(samples[1] | {"max_reach": L(6.0), "edge_distance": L(4.0)}))


def test_a_box_that_would_stand_elsewhere_is_refused() -> None:
    _, samples = FILMS["set_film"]
    with pytest.raises(DrawingRefused, match="otherwise"):
        trench_box.set_film(ident="x", **(samples[1] | {"above": L(1.0)}))
    _, flat = SAMPLES["across"]
    with pytest.raises(DrawingRefused, match="otherwise"):
        trench_box.across(ident="x", **(flat[1] | {"above": L(1.0)}))
    with pytest.raises(DrawingRefused, match="between the floor"):
        trench_box.across(ident="x", **(flat[1] | {"gap": L(1.8), "above": None}))
    with pytest.raises(DrawingRefused, match="between the floor"):
        trench_box.places(ident="x", **(samples_of_places() | {"gap": L(-0.2)}))


def samples_of_places() -> dict[str, Any]:
    return dict(SAMPLES["places_of_a_box"][1][1])


@pytest.mark.parametrize("size", SIZES)
def test_outside_the_box_is_the_wrong_way_and_nobody_lies_under_the_ground(size: str) -> None:
    made, _ = film("outside_film", size)
    outside = []
    for k, svg in enumerate(frames_of(made.to_svg())):
        (view,) = read(svg)
        assert view.way == "wrong" and "the break is a" in svg
        (box,) = view.all("box")
        people = view.all("person")
        assert len(people) == (0 if k == 2 else 1)
        outside += [person.right > box.right for person in people]
        if k == 2:
            (fallen,) = view.all("spoil")
            assert fallen.left >= box.right - 2 * view.grain  # in the box nothing came down
    assert outside == [False, True]


@pytest.mark.parametrize("size", SIZES)
def test_across_the_box_stands_in_the_trench_with_its_person_inside(size: str) -> None:
    given = SAMPLES["across"][1][SIZES.index(size)]
    (view,) = read(draw("across", size).to_svg())
    (box,) = view.all("box")
    assert box.extent[0] < given["bottom_width"].si
    assert box.low - ground(view) + given["depth"].si == pytest.approx(given["gap"].si, abs=4 * view.grain)
    assert not view.all("person")
    assert broken(draw("places_of_a_box", size).to_svg(), {}) == []


@pytest.mark.parametrize("size", SIZES)
def test_whoever_is_in_the_box_has_a_ladder(size: str) -> None:
    given = SAMPLES["places_of_a_box"][1][SIZES.index(size)]
    svg = trench_box.places(ident="x", **given, ladder_above=L(0.91)).to_svg()
    (view,) = read(svg)
    (box,), (person,), (ladder,) = view.all("box"), view.all("person"), view.all("ladder")
    assert box.left < person.left and person.right < box.right
    assert box.left < ladder.left and ladder.right < box.right
    assert ladder.high - ground(view) >= 0.91 - 4 * view.grain
    assert ladder.low - ground(view) == pytest.approx(-given["depth"].si, abs=4 * view.grain)
    assert broken(svg, {}) == []
