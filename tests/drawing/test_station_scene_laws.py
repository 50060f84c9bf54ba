"""A trench dug station by station, measured in the finished steps: depths, floors and what the sentences tell."""

from __future__ import annotations

import re

import pytest

from generator.drawing.errors import NotReached
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read

from .samples import FILMS

FOOT = 0.3048
MIDDLE = 1  # the sample with the larger machine
ENDS = 7


def made(size: int, *, copied: bool, **more: object) -> tuple[Film, list[str]]:
    scene, samples = FILMS["stations_film"]
    arguments = {**samples[size], **more}
    if not copied:
        arguments.pop("offs", None)
    film = scene(ident="x", **arguments)
    return film, frames_of(film.to_svg())


def ground_and_floor(view: Seen) -> tuple[Part, list[tuple[float, float]]]:
    """The cut of a view, and the bold line of its ground, counted from the ground at the low end."""
    (cut,) = view.all("cut")
    line = list(cut.shapes[-1].points)
    x0, y0 = line[1] if view.scale_y > view.scale else line[-1]
    return cut, [(x - x0, y - y0) for x, y in line]


def told(svg: str) -> list[float]:
    """The figures of feet in a step's sentence, in metres."""
    says = re.search(r'data-says="([^"]*)"', svg)
    assert says
    return [float(x) * FOOT for x in re.findall(r"([\d.,]+) ft", says[1])]


def test_each_station_is_as_deep_as_its_sentence_says() -> None:
    _, samples = FILMS["stations_film"]
    wanted = samples[MIDDLE]
    _, steps = made(MIDDLE, copied=False)
    assert len(steps) == 15
    for k, step in zip(range(1, ENDS), (5, 7, 9, 11, 13, 15), strict=True):
        near, whole = read(steps[step - 1])
        assert near.scale == near.scale_y and whole.scale_y > whole.scale
        _, line = ground_and_floor(near)
        depth = -min(y for _, y in line)
        assert depth == pytest.approx(wanted["depths"][k].si, abs=2 * near.grain)
        assert min(abs(depth - figure) for figure in told(steps[step - 1])) < 0.02
        # along the whole trench the floor rises by what the sentence tells, counted from the low end
        _, line = ground_and_floor(whole)
        x, y = line[-3]
        assert x == pytest.approx(wanted["distances"][k].si, abs=2 * whole.grain)
        assert y + wanted["depths"][0].si == pytest.approx(wanted["rises"][k].si, abs=2 * whole.grain)


def test_a_floor_that_copies_the_ground_is_off_by_what_its_sentence_says() -> None:
    _, samples = FILMS["stations_film"]
    wanted = samples[MIDDLE]
    _, steps = made(MIDDLE, copied=True)
    assert len(steps) == 9
    for k in range(1, ENDS):
        svg = steps[k + 2]
        near, whole = read(svg)
        assert near.way == whole.way == "wrong" and "too deep" in svg
        _, line = ground_and_floor(whole)
        planned = wanted["rises"][k].si - wanted["depths"][0].si
        assert planned - line[-3][1] == pytest.approx(wanted["offs"][k].si, abs=3 * whole.grain)


def test_the_tracks_keep_their_distance_from_the_end_of_the_cut() -> None:
    figures = {"limits.edge_distance": 1.83, "machine.track_length": 4.42}
    _, steps = made(MIDDLE, copied=False)
    for svg in steps:
        assert not broken(svg, figures)
        near, _ = read(svg)
        assert not near.all("person")
    assert {b.law for b in broken(steps[-1], figures | {"limits.edge_distance": 2.1})} == {"edge"}


def test_the_bucket_stands_on_the_floor_where_it_sets_zero() -> None:
    _, steps = made(MIDDLE, copied=False)
    for step, depth in ((1, 0.0), (4, 1.77), (6, 1.77 - 0.005 * 54.9 / 6)):
        near, _ = read(steps[step - 1])
        (bucket,) = near.all("bucket")
        cut, _ = ground_and_floor(near)
        assert bucket.low - cut.shapes[-1].points[-1][1] == pytest.approx(-depth, abs=0.06)


@pytest.mark.parametrize("copied", [False, True])
def test_a_machine_that_does_not_reach_the_floor_is_shown_digging_nothing(copied: bool) -> None:
    with pytest.raises(NotReached) as refused:
        made(MIDDLE, copied=copied, max_reach=None, edge_distance=FILMS["stations_film"][1][MIDDLE]["length"])
    assert "does not reach the floor" in refused.value.instead and "Ask before you dig" in refused.value.instead


def test_a_floor_that_comes_out_too_high_is_told_so() -> None:
    _, samples = FILMS["stations_film"]
    film, _ = made(2, copied=True)
    assert "too deep" in film.to_svg()
    flipped = dict(samples[2]) | {"depths": list(reversed(samples[2]["depths"]))}
    film = FILMS["stations_film"][0](ident="x", **flipped)
    assert "too high" in film.to_svg() and "Left too high" in film.to_svg()
