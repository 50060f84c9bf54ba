"""Scenes in steps near lines, measured in the finished picture: distances kept, and the sentence tells what is drawn."""

from __future__ import annotations

import math
from typing import Any

import pytest
from shapely import LineString, Polygon, unary_union

from generator.calc.catalogue.lines import SWINGS
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, read

from .samples import FILMS, SIZES


def shape(part: Part) -> Any:
    return unary_union([Polygon(s.points).buffer(0) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes])


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


@pytest.mark.parametrize("size", SIZES)
def test_a_swing_keeps_the_distance_and_tells_the_one_drawn(size: str) -> None:
    made, given = film("swing_film", size)
    for frame, svg, told in zip(made.frames, frames_of(made.to_svg()), given["distances"], strict=True):
        (view,) = [v for v in read(svg) if v.all("wire")]
        (wire,) = view.all("wire")
        (bucket,) = view.all("bucket")
        nearest = min(shape(part).distance(shape(wire)) for part in view.all("machine", "bucket", "tracks", "person"))
        assert nearest >= given["clearance"].si - 2 * view.grain
        # told is the end of the reach: the rest of the bucket is nearer by no more than its own size
        assert -1.7 * max(bucket.lengthwise) <= shape(bucket).distance(shape(wire)) - told.si <= 4 * view.grain
        assert told.us in frame.words.us and told.metric in frame.words.metric
    assert broken(frames_of(made.to_svg())[-1], {"limits.line_clearance": given["clearance"].si}) == []
    assert shape(bucket).distance(shape(wire)) == pytest.approx(given["clearance"].si, abs=4 * view.grain)


@pytest.mark.parametrize("size", SIZES)
def test_the_spotter_stands_out_of_the_swing(size: str) -> None:
    made, given = film("swing_film", size)
    (view,) = [v for v in read(frames_of(made.to_svg())[0]) if v.all("wire")]
    (person,) = view.all("person")
    (wire,) = view.all("wire")
    x, y = (person.left + person.right) / 2 - wire.left, (person.low + person.high) / 2
    centre = read(frames_of(made.to_svg())[0])[0].all("tracks")
    middle = sum((t.low + t.high) / 2 for t in centre) / len(centre)
    assert math.hypot(x + given["standoff"].si, y - middle) > given["max_reach"].si


@pytest.mark.parametrize("size", SIZES)
def test_the_boom_is_as_high_as_its_sentence_says(size: str) -> None:
    made, given = film("boom_up_film", size)
    for svg, top in zip(frames_of(made.to_svg())[1:], given["tops"], strict=False):
        (view,) = read(svg)
        assert view.way == "wrong"
        ground = min(part.low for part in view.all("tracks"))
        highest = max(part.high for part in view.all("machine", "bucket")) - ground
        # elbow or teeth stand at the height told; the limbs about them are thicker than a line
        assert highest == pytest.approx(top.si, rel=0.15)


@pytest.mark.parametrize("size", SIZES)
def test_only_the_two_wrong_steps_of_the_limits_are_marked_wrong(size: str) -> None:
    made, given = film("limits_film", size)
    figures = {"limits.line_clearance": given["clearance"].si, "job.tolerance": given["tolerance"].si}
    for frame, svg in zip(made.frames, frames_of(made.to_svg()), strict=True):
        wrong = [v for v in read(svg) if v.way == "wrong"]
        assert len(wrong) == (1 if frame.words.us.startswith("Wrong:") else 0)
        assert broken(svg, figures) == []


def test_the_swings_end_straight_at_the_wire() -> None:
    assert SWINGS[-1] == 0 and list(SWINGS) == sorted(SWINGS, reverse=True)
