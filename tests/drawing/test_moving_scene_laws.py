"""A machine on a trailer, measured in the finished picture: it stands where it is told, and the spotter stands clear."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import moving

from .samples import FILMS, SAMPLES, SIZES, odd_trailer, on_the_trailer

WIDTHS = {"tiny": 4, "middle": 4, "huge": 17}


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


def views(made: Film) -> list[Seen]:
    return [read(svg)[0] for svg in frames_of(made.to_svg())]


def middle(part: Part) -> float:
    return (part.left + part.right) / 2


@pytest.mark.parametrize("size", SIZES)
def test_the_laws_hold_on_the_trailer(size: str) -> None:
    made, given = film("loading_film", size)
    figures = {"machine.track_length": given["track_length"].si, "limits.edge_distance": 3.0, "limits.fall_zone": 5.0}
    assert all(broken(svg, figures) == [] for svg in frames_of(made.to_svg()))


@pytest.mark.parametrize("size", SIZES)
def test_the_ramp_lies_at_its_grade_and_the_machine_stands_on_it(size: str) -> None:
    made, given = film("loading_film", size)
    ready, climb, edge, place = views(made)[:4]
    (ramp,) = climb.all("ramp")
    (x0, y0), (x1, y1) = ramp.shapes[0].points[:2]
    assert abs((y1 - y0) / (x1 - x0)) == pytest.approx(given["ramp_grade"].si, rel=0.02)
    assert math.dist((x0, y0), (x1, y1)) == pytest.approx(given["ramp_length"].si, rel=0.02)
    deck, road = max(y0, y1), min(y0, y1)
    assert deck - road == pytest.approx(given["deck_height"].si, rel=0.02)
    # it begins on the road behind the ramps, and gets higher with each step till it stands level on the deck
    assert ready.all("tracks")[0].left > ramp.right and ready.all("tracks")[0].low == pytest.approx(road, abs=2 * ready.grain)
    for view in (climb, edge):
        tracks = view.all("tracks")[0]
        assert tracks.low >= road - 3 * view.grain
        assert ramp.left - given["track_length"].si < tracks.left < ramp.right
    assert place.all("tracks")[0].low == pytest.approx(deck, abs=3 * place.grain)


@pytest.mark.parametrize("size", SIZES)
def test_its_middle_stands_as_far_from_the_hitch_as_told(size: str) -> None:
    made, given = film("loading_film", size)
    place = views(made)[3]
    (told,) = [d for d in frames_of(made.to_svg())[3].split("<g ") if "data-ends" in d]
    assert f'data-si="{given["machine_place"].si:.9g}"' in told
    ends = [float(x) for x in told.split('data-ends="')[1].split('"')[0].split()]
    assert abs(ends[2] - ends[0]) / place.scale == pytest.approx(given["machine_place"].si, rel=0.006)


@pytest.mark.parametrize("size", SIZES)
def test_whoever_guides_stands_far_from_the_ramps(size: str) -> None:
    made, _ = film("loading_film", size)
    for view in views(made)[1:3]:
        (person,), (ramp,) = view.all("person"), view.all("ramp")
        assert person.right < ramp.left
        assert person.right < min(t.left for t in view.all("tracks"))
        assert person.low == pytest.approx(ramp.low, abs=3 * view.grain)  # on the ground, not on the deck


@pytest.mark.parametrize("size", SIZES)
def test_a_folded_arm_is_no_higher_than_told(size: str) -> None:
    made, given = film("loading_film", size)
    view = views(made)[-1]
    road = view.all("tracks")[0].low - given["deck_height"].si
    if "stick_length" in given:
        top = max(part.high for part in view.all("machine", "bucket")) - road
        assert top <= given["loaded_height"].si * 1.03


@pytest.mark.parametrize("size", SIZES)
def test_the_loose_machine_slides_toward_the_truck_and_is_marked_wrong(size: str) -> None:
    made, _ = film("loose_film", size)
    seen = views(made)
    assert all(view.way == "wrong" for view in seen)
    at = [middle(view.all("tracks")[0]) for view in seen]
    assert at[1] < at[0] and at[2] == pytest.approx(at[1])


@pytest.mark.parametrize("size", SIZES)
def test_so_many_tie_downs_are_drawn_as_are_told(size: str) -> None:
    scene, samples = SAMPLES["tied"]
    given = samples[SIZES.index(size)]
    ends = [scene(ident="x", **given, loose=loose).to_svg().count('r="3.5"') for loose in (False, True)]
    assert ends == [WIDTHS[size] + 1, WIDTHS[size]]


@pytest.mark.parametrize("seed", range(12))
def test_whatever_machine_on_whatever_trailer_is_drawn(seed: int) -> None:
    given = odd_trailer(random.Random(seed))
    loading, loose = on_the_trailer(given)
    for scene, arguments in ((moving.loading_film, loading), (moving.loose_film, loose)):
        made = scene(ident="x", **arguments)
        assert all(broken(svg, {"machine.track_length": given["track_length"].si}) == [] for svg in frames_of(made.to_svg()))


def test_what_cannot_be_is_refused() -> None:
    given = FILMS["loading_film"][1][1]
    with pytest.raises(DrawingRefused, match="no longer than the deck is high"):
        moving.loading_film(ident="x", **{**given, "ramp_length": given["deck_height"]})
    tied = SAMPLES["tied"][1][1]
    with pytest.raises(DrawingRefused, match="4 to 60"):
        moving.tied(ident="x", **{**tied, "tie_downs": FILMS["loading_film"][1][1]["machine_place"].__class__(3.0, "3", "3")})
