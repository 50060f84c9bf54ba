"""What a screen leaves open: a person in the swing, a zero that stayed behind, a boom left up, measured in the finished drawings."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest

from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import screens

from .samples import FILMS, SAMPLES, L, degrees, percent


def made(name: str, size: int, **more: Any) -> Film:
    scene, samples = FILMS[name]
    return scene(ident="x", **{**samples[size], **more})


def views(film: Film) -> list[list[Seen]]:
    return [read(frame) for frame in frames_of(film.to_svg())]


def centre(part: Part) -> tuple[float, float]:
    return ((part.left + part.right) / 2, (part.low + part.high) / 2)


def swung(view: Seen) -> tuple[float, float, tuple[float, float]]:
    """How far the bucket is from the swing centre, how far round (radians), and where the person is from there."""
    tracks = [centre(t) for t in view.all("tracks")]
    x, y = (sum(p[0] for p in tracks) / len(tracks), sum(p[1] for p in tracks) / len(tracks))
    bucket = centre(view.all("bucket")[0])
    person = centre(view.all("person")[0])
    dx, dy = bucket[0] - x, bucket[1] - y
    return math.hypot(dx, dy), math.atan2(dy, dx), (person[0] - x, person[1] - y)


# ---- a limit and a person -------------------------------------------------------------------------


@pytest.mark.parametrize("size", range(2))
def test_the_bucket_has_turned_as_far_as_the_step_tells_and_meets_the_person(size: int) -> None:
    film = made("run_on_film", size)
    arguments: Any = FILMS["run_on_film"][1][size]
    reach = arguments["max_reach"].si
    last = views(film)[-1][0]
    _out, turn, person = swung(last)
    assert math.hypot(*person) < reach  # inside all the bucket can reach
    assert math.atan2(person[1], person[0]) == pytest.approx(turn, abs=0.08)
    for k, frame in enumerate(film.frames[1:-1]):
        _, turned, _ = swung(views(film)[k + 1][0])
        assert turned == pytest.approx(arguments["turns"][k].si, abs=0.03)
        assert arguments["runs"][k].us in frame.words.us
    assert all(view.way == "wrong" for frame in views(film) for view in frame)


def test_the_limit_lies_beyond_the_person_who_walks_in_from_outside() -> None:
    film = made("run_on_film", 1)
    arguments: Any = FILMS["run_on_film"][1][1]
    first = views(film)[0][0]
    _, _, person = swung(first)
    assert math.hypot(*person) > arguments["max_reach"].si * 0.99
    (wall,) = first.all("wall")
    x, y = (sum(c) / 2 for c in zip(*(centre(t) for t in first.all("tracks")), strict=True))
    at = centre(wall)
    assert math.atan2(at[1] - y, at[0] - x) > math.atan2(person[1], person[0]) + 0.2


def test_the_right_way_never_has_a_person_within_reach_while_it_swings() -> None:
    film = made("run_on_film", 2)
    arguments: Any = FILMS["run_on_film"][1][2]
    for (view,), frame in zip(views(film), film.frames, strict=True):
        assert view.way == "right"
        _, _, person = swung(view)
        assert math.hypot(*person) > 1.1 * arguments["max_reach"].si, frame.words.us
    for svg in frames_of(film.to_svg()):
        assert broken(svg, {"machine.track_length": arguments["track_length"].si}) == []


def test_the_rope_and_the_person_keep_the_site_s_distance_beyond_the_reach() -> None:
    arguments: Any = FILMS["run_on_film"][1][2]
    keep = 0.5 * arguments["max_reach"].si
    film = made("run_on_film", 2, person_distance=L(keep))
    assert "beyond all it can reach" in film.frames[0].words.us
    for frame in views(film):
        _, _, person = swung(frame[0])
        assert math.hypot(*person) > arguments["max_reach"].si + keep


def test_a_plain_picture_does_not_tell_what_the_limit_does_not_see() -> None:
    assert "sees no person" in made("run_on_film", 1).to_svg()
    assert "sees no person" not in made("run_on_film", 1, plain=True).frames[0].canvas.to_svg()


def test_a_run_that_is_not_the_turn_s_is_refused() -> None:
    arguments: Any = FILMS["run_on_film"][1][1]
    with pytest.raises(DrawingRefused, match="does not go"):
        made("run_on_film", 1, runs=[L(r.si * 1.1) for r in arguments["runs"]])
    with pytest.raises(DrawingRefused, match="a time, a turn"):
        made("run_on_film", 1, turns=[degrees(24)])


# ---- a zero that stayed behind --------------------------------------------------------------------


@pytest.mark.parametrize("size", range(3))
def test_the_floor_is_off_by_what_is_told_where_the_old_zero_was_kept_and_nowhere_else(size: int) -> None:
    film = made("zero_film", size)
    arguments: Any = FILMS["zero_film"][1][size]
    off = arguments["off_by"].si
    assert off == pytest.approx(arguments["grade"].si * arguments["moved"].si, rel=1e-6)
    shots = views(film)
    assert [frame[0].way for frame in shots] == ["right", "right", "right", "wrong", "right", "right"]

    def floors(frame: list[Seen]) -> list[float]:
        (cut,) = frame[0].all("cut")
        points = cut.shapes[0].points
        return [a[1] for a, b in itertools.pairwise(points) if abs(a[1] - b[1]) < 1e-6 and abs(a[0] - b[0]) > frame[0].grain]

    wrong, right = floors(shots[3]), floors(shots[5])
    grain = shots[3][0].grain
    assert max(wrong[:2]) - min(wrong[:2]) == pytest.approx(off, abs=2 * grain)
    assert right[0] == pytest.approx(floors(shots[1])[0], abs=grain)
    assert arguments["off_by"].us in film.frames[3].words.us


@pytest.mark.parametrize("size", range(3))
def test_the_machine_moves_by_what_is_told_and_stands_lower(size: int) -> None:
    film = made("zero_film", size)
    arguments: Any = FILMS["zero_film"][1][size]
    before, after = (centre(views(film)[k][0].all("tracks")[0]) for k in (1, 2))
    grain = views(film)[1][0].grain
    assert after[0] - before[0] == pytest.approx(arguments["moved"].si, abs=0.02 * arguments["moved"].si + 2 * grain)
    assert before[1] - after[1] == pytest.approx(arguments["off_by"].si, abs=2 * grain + 0.02 * arguments["off_by"].si)


def test_it_keeps_off_the_end_of_its_cut() -> None:
    film = made("zero_film", 1)
    keep: Any = FILMS["zero_film"][1][1]["edge_distance"]
    for (view, *_), k in ((views(film)[1], 1), (views(film)[3], 3), (views(film)[5], 5)):
        (cut,), (tracks,) = view.all("cut"), view.all("tracks")
        points = cut.shapes[0].points
        end = max(a[0] for a, b in itertools.pairwise(points) if abs(a[0] - b[0]) < view.grain and abs(a[1] - b[1]) > view.grain)
        assert tracks.left - end > keep.si - 0.03, k


def test_what_cannot_be_is_refused_and_what_cannot_be_reached_is_left_out() -> None:
    with pytest.raises(DrawingRefused, match="is not"):
        made("zero_film", 1, off_by=L(0.5))
    with pytest.raises(LeftOut) as found:
        made("zero_film", 1, max_reach=L(8.0))
    assert "sets its zero again" in found.value.instead
    with pytest.raises(DrawingRefused):
        made("zero_film", 1, grade=percent(0.0), off_by=L(0.0))


# ---- left standing --------------------------------------------------------------------------------


@pytest.mark.parametrize("size", range(3))
def test_left_standing_its_bucket_is_on_the_ground_or_it_is_the_wrong_way(size: int) -> None:
    arguments: Any = {k: v for k, v in SAMPLES["parked"][1][size].items() if k not in ("boom_up", "plain")}
    (down,) = read(screens.parked(ident="x", **arguments).to_svg())
    (up,) = read(screens.parked(ident="x", boom_up=True, **arguments).to_svg())
    assert (down.way, up.way) == ("right", "wrong")
    ground = down.all("tracks")[0].low
    assert down.all("bucket")[0].low == pytest.approx(ground, abs=3 * down.grain)
    assert up.all("bucket")[0].low > ground + 0.15 * arguments["max_reach"].si
    assert "sinks" in screens.parked(ident="x", boom_up=True, **arguments).to_svg()
    assert "sinks" not in screens.parked(ident="x", boom_up=True, plain=True, **arguments).to_svg()
