"""The drill on a slope, read back from the finished steps: to scale, on the ground, and the way its sentences say."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest

from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import sliding

from .samples import L, percent

FT = 0.3048
DOZER = {"track_length": 10.0, "track_gauge": 6.5, "shoe_width": 2.0, "cg_height": 3.2, "blade_width": 12.0, "blade_height": 4.0}
DIGGER = {"track_length": 14.5, "track_gauge": 9.0, "shoe_width": 2.5, "cg_height": 4.4, "stick_length": 10.0, "max_reach": 38.0,
          "bucket_length": 5.6, "tail_radius": 12.1}  # fmt: skip
SLOPES = (0.02, 0.1, 0.33, 0.8)


def lengths(feet: dict[str, float]) -> dict[str, Any]:
    return {name: L(value * FT) for name, value in feet.items()}


def views(film: Film) -> list[list[Seen]]:
    return [read(svg) for svg in frames_of(film.to_svg())]


def middle(part: Part) -> tuple[float, float]:
    return (part.left + part.right) / 2, (part.low + part.high) / 2


@pytest.mark.parametrize("slope", SLOPES)
@pytest.mark.parametrize("wrong", [False, True])
@pytest.mark.parametrize(("kind", "feet"), [("dozer", DOZER), ("excavator", DIGGER)])
def test_the_machine_is_as_long_and_wide_as_its_table_says(kind: str, feet: dict[str, float], wrong: bool, slope: float) -> None:
    film = sliding.slide_film(ident="x", slope=percent(slope), kind=kind, wrong=wrong, **lengths(feet))
    figures = {f"machine.{name}": value * FT for name, value in feet.items()}
    for frame, svg in zip(views(film), frames_of(film.to_svg()), strict=True):
        assert broken(svg, figures) == []
        above = frame[0]
        tracks = list(above.all("tracks"))
        assert tracks and all(part.lengthwise[0] == pytest.approx(feet["track_length"] * FT, rel=0.02) for part in tracks)


@pytest.mark.parametrize("slope", SLOPES)
def test_a_dozer_ends_below_where_it_began_and_leaves_its_load_behind(slope: float) -> None:
    frames = views(sliding.slide_film(ident="x", slope=percent(slope), kind="dozer", **lengths(DOZER)))
    places = [middle(frame[0].all("tracks")[0])[0] for frame in frames]
    assert all(b <= a + 0.01 for a, b in pairwise(places)), "it never goes back uphill"
    loads = [frame[0].all("load") for frame in frames]
    assert [len(found) for found in loads] == [0, *[1] * (len(frames) - 1)]
    still = {tuple(round(v, 2) for v in middle(found[0])) for found in loads[3:]}
    assert len(still) == 1, "the load stays where it was let go"
    blades = [frame[0].all("blade")[0] for frame in frames]
    # downhill is to the left: in the end the blade stands square to the fall, farthest down
    assert blades[-1].extent[0] < blades[-1].extent[1] and blades[0].extent[0] > blades[0].extent[1]
    assert blades[-1].left < frames[-1][0].all("tracks")[0].left


@pytest.mark.parametrize("slope", SLOPES)
@pytest.mark.parametrize("kind", ["dozer", "excavator", "compact excavator"])
def test_a_machine_that_runs_away_stands_on_the_slope_as_it_is_told(kind: str, slope: float) -> None:
    feet = DOZER if kind == "dozer" else DIGGER | {"blade_width": 8.0, "blade_height": 1.5}
    film = sliding.runaway_film(ident="x", slope=percent(slope), kind=kind, **lengths(feet))
    for number, frame in enumerate(views(film), 1):
        (toe_x, toe_y), (top_x, top_y) = frame[0].all("ramp")[0].shapes[0].points
        assert (top_y - toe_y) / (top_x - toe_x) == pytest.approx(slope, rel=0.01)
        off = [
            (y - toe_y - max(x - toe_x, 0.0) * slope) * math.cos(math.atan(slope))
            for part in frame[0].all("tracks")
            for x, y in part.points
        ]
        assert abs(min(off)) < 0.02 * feet["track_length"] * FT, f"step {number} does not stand on the ground"
    assert str(film.frames[0].words.us).count(percent(slope).us) == 1


def test_each_wrong_way_is_marked_and_ends_over() -> None:
    for scene in (sliding.slide_film, sliding.runaway_film):
        wrong = views(scene(ident="x", slope=percent(0.1), kind="dozer", wrong=True, **lengths(DOZER)))
        right = views(scene(ident="x", slope=percent(0.1), kind="dozer", **lengths(DOZER)))
        assert {view.way for frame in wrong for view in frame} == {"wrong"}
        assert {view.way for frame in right for view in frame} == {"right"}
        stands, lies = wrong[0][-1].all("machine")[0], wrong[-1][-1].all("machine")[0]
        assert lies.high != pytest.approx(stands.high, abs=0.2)
