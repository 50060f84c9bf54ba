"""An excavator on a slope: its pad, how it stands, and where its weight goes, measured in the finished drawings."""

from __future__ import annotations

import math
from typing import Any

import pytest
from shapely import Point, box
from shapely.geometry import Polygon

from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Seen, read
from generator.drawing.scenes import hillside

from .samples import FILMS, SAMPLES, L, _swung, percent

FIGURES = {"machine.track_length": 4.4}


def made(name: str, size: int, **more: Any) -> Film:
    scene, samples = FILMS[name]
    return scene(ident="x", **{**samples[size], **more})


def views(film: Film) -> list[list[Seen]]:
    return [read(frame) for frame in frames_of(film.to_svg())]


# ---- the pad --------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", range(3))
def test_the_pad_is_level_all_cut_and_as_deep_as_told(size: int) -> None:
    film = made("pad_film", size)
    arguments: Any = FILMS["pad_film"][1][size]
    last = views(film)[-1][0]
    (tracks,) = last.all("tracks")
    (slope,) = last.all("ramp")
    (x0, y0), (x1, y1) = slope.shapes[0].points[:2]
    grade = (y1 - y0) / (x1 - x0)
    assert grade == pytest.approx(arguments["slope"].si, rel=0.02)
    # under the tracks the line of the slope never dips below the floor: none of the pad is fill
    assert y1 == pytest.approx(tracks.low, abs=3 * last.grain)
    assert tracks.left > x1 - last.grain
    assert tracks.right < x1 + arguments["pad_length"].si + last.grain
    assert arguments["cut"].si == pytest.approx(grade * arguments["pad_length"].si, rel=0.03)


@pytest.mark.parametrize("size", range(3))
def test_every_step_of_the_pad_keeps_the_laws_and_is_drawn_the_right_way(size: int) -> None:
    film = made("pad_film", size)
    long: Any = FILMS["pad_film"][1][size]["track_length"]
    for frame in frames_of(film.to_svg()):
        assert broken(frame, {"machine.track_length": long.si}) == []
        assert all(view.way == "right" for view in read(frame))


def test_below_its_pad_the_machine_points_straight_up_the_fall() -> None:
    film = made("pad_film", 1)
    slope: Any = FILMS["pad_film"][1][1]["slope"]
    for view, *_ in views(film)[:5]:
        (tracks,) = view.all("tracks")
        ring = Polygon([p for shape in tracks.shapes for p in shape.points]).convex_hull.minimum_rotated_rectangle.exterior.coords
        ends = max(((ring[k], ring[k + 1]) for k in range(4)), key=lambda pair: math.dist(*pair))
        assert abs((ends[1][1] - ends[0][1]) / (ends[1][0] - ends[0][0])) == pytest.approx(slope.si, abs=0.02)


def test_a_pad_out_of_reach_is_left_out_with_a_sentence() -> None:
    with pytest.raises(LeftOut) as found:
        made("pad_film", 1, max_reach=L(7.0))
    assert "cuts half of the pad" in found.value.instead


def test_a_cut_that_is_not_the_slope_s_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="does not cut"):
        made("pad_film", 1, cut=L(1.2))
    with pytest.raises(DrawingRefused, match="cannot be drawn"):
        made("pad_film", 1, slope=percent(1.2), cut=L(1.2 * 1.4 * 4.4))


# ---- how it stands --------------------------------------------------------------------------------


def stood(**more: Any) -> Seen:
    arguments: Any = {**SAMPLES["standing"][1][1], "on_fill": False, **more}
    (view,) = read(hillside.standing(ident="x", **arguments).to_svg())
    return view


def test_on_fill_and_across_are_the_wrong_way_and_a_pad_and_straight_up_are_not() -> None:
    assert stood().way == stood(straight=True).way == "right"
    assert stood(on_fill=True).way == stood(across=True).way == "wrong"
    assert stood(across=True).how == "end"


def test_only_the_one_on_fill_has_loose_ground_under_its_low_end() -> None:
    view = stood(on_fill=True)
    (fill,), (tracks,) = view.all("spoil"), view.all("tracks")
    assert fill.left < tracks.left < fill.right < tracks.right
    assert fill.high == pytest.approx(tracks.low, abs=3 * view.grain)
    for other in (stood(), stood(straight=True), stood(across=True)):
        assert other.all("spoil") == []


def test_one_way_at_a_time() -> None:
    with pytest.raises(DrawingRefused, match="one way at a time"):
        stood(on_fill=True, across=True)


# ---- where the weight goes ------------------------------------------------------------------------


@pytest.mark.parametrize("size", range(3))
def test_the_share_told_is_how_far_the_mark_is_on_its_way_to_the_tipping_line(size: int) -> None:
    """The mark stands at the end of the arrow from the middle; the base is drawn between the tracks' middles."""
    film = made("load_film", size)
    arguments: Any = FILMS["load_film"][1][size]
    wrong = arguments["wrong"]
    for k, angle in enumerate(arguments["swings"]):
        if not wrong and angle.si > math.pi / 2 + 1e-6:
            continue
        close = views(film)[k][1]
        tracks = close.all("tracks")
        middles = [((t.left + t.right) / 2, (t.low + t.high) / 2) for t in tracks]
        gauge = math.dist(*middles)
        assert gauge == pytest.approx(arguments["track_gauge"].si, rel=0.02)
        # across the fall they stand side by side down the fall, else one above the other
        assert (abs(middles[0][0] - middles[1][0]) > abs(middles[0][1] - middles[1][1])) is wrong
        w, h = (gauge / 2, arguments["track_length"].si / 2) if wrong else (arguments["track_length"].si / 2, gauge / 2)
        grade = arguments["slope"].si if wrong else 0.0
        mark = (
            arguments["offset"].si * math.cos(angle.si) - arguments["cg_height"].si * grade,
            arguments["offset"].si * math.sin(angle.si),
        )
        share = arguments["shares"][k].si
        grown = box(-w * share, -h * share, w * share, h * share)
        assert grown.exterior.distance(Point(mark)) < 0.01 * max(w, h)
        assert str(arguments["shares"][k].us) in film.frames[k].words.us


def test_the_right_way_never_swings_past_straight_across() -> None:
    film = made("load_film", 0)
    for whole, _ in views(film):
        bucket, machine = whole.all("bucket")[0], whole.all("tracks")
        centre = sum((t.left + t.right) / 2 for t in machine) / len(machine)
        assert (bucket.left + bucket.right) / 2 > centre - 2 * whole.grain
        assert whole.way == "right"


def test_the_wrong_way_ends_downhill_and_says_what_happens() -> None:
    film = made("load_film", 1)
    whole, _ = views(film)[-1]
    bucket = whole.all("bucket")[0]
    assert bucket.right < min(t.left for t in whole.all("tracks"))
    assert all(view.way == "wrong" for frame in views(film) for view in frame)
    assert "goes over" in film.frames[-1].words.us


def test_on_its_pad_the_tracks_stand_with_free_ground_around_them() -> None:
    film = made("load_film", 0)
    whole, _ = views(film)[0]
    (pad,) = whole.all("cut")
    for track in whole.all("tracks"):
        assert pad.left < track.left and track.right < pad.right and pad.low < track.low and track.high < pad.high


def test_past_the_tipping_line_it_is_said_to_go_over_and_never_drawn_the_right_way() -> None:
    film = made("load_film", 2)
    arguments: Any = FILMS["load_film"][1][2]
    over = [k for k, share in enumerate(arguments["shares"]) if share.si > 1]
    assert over
    for k, frame in enumerate(film.frames[:-1]):
        assert ("it goes over" in frame.words.us) is (k in over)
    with pytest.raises(LeftOut) as found:
        hillside.load_film(ident="x", **_swung(4.4, 1.6, 0.1))
    assert "Check the figures" in found.value.instead


def test_a_share_that_is_not_the_weight_s_is_refused() -> None:
    arguments: Any = FILMS["load_film"][1][1]
    with pytest.raises(DrawingRefused, match="of the way"):
        made("load_film", 1, shares=[percent(0.5) for _ in arguments["shares"]])
    with pytest.raises(DrawingRefused, match="needs its length"):
        made("load_film", 1, wrong=False)
    with pytest.raises(DrawingRefused, match="three angles"):
        made("load_film", 1, swings=arguments["swings"][:2], shares=arguments["shares"][:2])
