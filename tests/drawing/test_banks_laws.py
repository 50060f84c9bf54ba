"""A slope in lifts, read back from the finished steps: to scale, cut from the top, and as its sentences say."""

from __future__ import annotations

from itertools import pairwise

import pytest

from generator.drawing.errors import DrawingRefused
from generator.drawing.film import frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import read
from generator.drawing.scenes import banks

from .samples import FILMS, L

SIZES = range(3)


@pytest.mark.parametrize("size", SIZES)
def test_tracks_keep_back_from_the_low_edge_and_the_windrow(size: int) -> None:
    arguments = FILMS["slope_film"][1][size]
    film = banks.slope_film(ident="x", **arguments)
    base = 2 * arguments.get("windrow_ratio", 1.5) * arguments["windrow_height"].si
    keep = arguments["keep_back"].si if "keep_back" in arguments else base
    figures = {"machine.track_length": arguments["track_length"].si, "machine.blade_height": arguments["blade_height"].si,
               "limits.edge_distance": keep}  # fmt: skip
    pushes = 0
    for svg in frames_of(film.to_svg()):
        assert broken(svg, figures | {"machine.blade_height": arguments["blade_height"].si}) == []
        near = read(svg)[1]
        for windrow in near.all("windrow"):
            tracks = near.all("tracks")[0]
            assert windrow.extent == pytest.approx((base, arguments["windrow_height"].si), rel=0.02)
            assert tracks.left - windrow.left >= keep - near.grain and tracks.left >= windrow.right - near.grain
            pushes += bool(near.all("load"))
    assert pushes


@pytest.mark.parametrize("size", SIZES)
def test_each_lift_begins_where_the_one_above_ended(size: int) -> None:
    arguments = FILMS["slope_film"][1][size]
    film = banks.slope_film(ident="x", **arguments)
    levels = [read(svg)[0].all("tracks")[0].low for svg in frames_of(film.to_svg())]
    assert all(b <= a + 0.02 for a, b in pairwise(levels)), "it never works upward"
    assert levels[0] - levels[-1] == pytest.approx(arguments["height"].si, rel=0.03)
    down, out = arguments["downs"][-1], arguments["outs"][-1]
    assert film.frames[-1].words.us.count(down.us) and film.frames[-1].words.metric.count(out.metric)


def test_lifts_that_end_above_the_toe_are_refused() -> None:
    arguments = dict(FILMS["slope_film"][1][1])
    with pytest.raises(DrawingRefused, match="the slope is"):
        banks.slope_film(ident="x", **arguments | {"height": L(9.0)})
    with pytest.raises(DrawingRefused, match="stand on the windrow"):
        banks.slope_film(ident="x", **arguments | {"keep_back": L(1.0)})
    with pytest.raises(DrawingRefused, match="the same figures of each lift"):
        banks.slope_film(ident="x", **arguments | {"outs": arguments["outs"][:-1]})


def test_the_wrong_way_stands_at_the_toe_and_is_marked() -> None:
    film = banks.undercut_film(ident="x", **FILMS["undercut_film"][1][1])
    for svg in frames_of(film.to_svg()):
        (view,) = read(svg)
        assert view.way == "wrong" and view.all("blade")
    with pytest.raises(DrawingRefused, match="are not"):
        banks.undercut_film(ident="x", **FILMS["undercut_film"][1][1] | {"left_above": L(1.0)})
