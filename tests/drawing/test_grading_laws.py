"""A grade held pass by pass and a limit on a dial, read back from the finished pictures."""

from __future__ import annotations

import math

import pytest

from generator.drawing.errors import DrawingRefused
from generator.drawing.film import frames_of
from generator.drawing.picture import Part, read
from generator.drawing.scenes import grading

from .samples import FILMS, SAMPLES, A, percent


def lean(tracks: Part) -> float:
    """How far a machine leans, from the lowest points of its two tracks: a fraction, more than 0 where it falls to the right."""
    middle = (tracks.left + tracks.right) / 2
    left = min((p for p in tracks.points if p[0] < middle), key=lambda p: p[1])
    right = min((p for p in tracks.points if p[0] > middle), key=lambda p: p[1])
    return (left[1] - right[1]) / (right[0] - left[0])


@pytest.mark.parametrize("size", range(3))
def test_the_dozer_stands_at_the_slope_it_cuts(size: int) -> None:
    arguments = FILMS["held_film"][1][size]
    film = grading.held_film(ident="x", **arguments)
    off = arguments["slope_error"].si if "slope_error" in arguments else 0.0
    steep = arguments["cross_slope"].si + off
    places = []
    for svg in frames_of(film.to_svg()):
        far = read(svg)[0]
        (tracks,) = far.all("tracks")
        half = arguments["shoe_width"].si / arguments["track_gauge"].si  # the lowest points may be either edge of a shoe
        assert lean(tracks) == pytest.approx(steep, abs=steep * half + 0.02)
        assert {view.way for view in read(svg)} == {"wrong" if off else "right"}
        places.append(tracks.left)
    step = (places[-1] - places[0]) / (len(arguments["widths"]) - 1)
    assert step == pytest.approx(arguments["blade_width"].si, rel=0.02)


def test_each_sentence_tells_how_far_off_the_low_edge_is() -> None:
    arguments = FILMS["held_film"][1][1]
    film = grading.held_film(ident="x", **arguments)
    for frame, off in zip(film.frames, arguments["offs"], strict=True):
        assert off.us in frame.words.us and off.metric in frame.words.metric and off in frame.told


def test_a_pass_without_its_figures_is_refused() -> None:
    arguments = FILMS["held_film"][1][1]
    with pytest.raises(DrawingRefused, match="how far off each pass ends"):
        grading.held_film(ident="x", **{k: v for k, v in arguments.items() if k != "slope_error"})
    with pytest.raises(DrawingRefused, match="the same figures of each"):
        grading.held_film(ident="x", **arguments | {"drops": arguments["drops"][1:]})


@pytest.mark.parametrize("size", range(3))
def test_the_ground_is_as_steep_as_the_dial_says(size: int) -> None:
    arguments = SAMPLES["limit_on_a_dial"][1][size]
    (ground,) = read(grading.limit_on_a_dial(ident="x", **arguments).to_svg())
    (x0, y0), (x1, y1) = ground.all("ramp")[0].shapes[0].points
    assert math.atan2(y1 - y0, x1 - x0) == pytest.approx(arguments["angle"].si, rel=0.01)
    for tracks in ground.all("tracks"):
        assert -lean(tracks) == pytest.approx(arguments["slope"].si, rel=0.35)
    assert ground.way == ("wrong" if arguments.get("wrong") else "right")


def test_an_angle_that_is_another_slope_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="is not"):
        grading.limit_on_a_dial(ident="x", slope=percent(0.15), angle=A(15), limit=percent(0.15))
