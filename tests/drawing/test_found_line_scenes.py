"""A line found by hand, measured in the finished picture: nothing digs in the zone, and the wrong way says so."""

from __future__ import annotations

from typing import Any

import pytest
from shapely import LineString, Polygon, unary_union

from generator.drawing.errors import DrawingRefused, LeftOut, NotReached
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import Breach, broken
from generator.drawing.picture import Part, read
from generator.drawing.scenes import found_line

from .samples import FILMS, SAMPLES, SIZES, L, draw


def shape(part: Part) -> Any:
    return unary_union([Polygon(s.points).buffer(0) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes])


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


def breaches(made: Film, figures: dict[str, float]) -> list[Breach]:
    return [breach for svg in frames_of(made.to_svg()) for breach in broken(svg, figures)]


@pytest.mark.parametrize("size", SIZES)
def test_no_bucket_digs_in_the_zone(size: str) -> None:
    made, given = film("crossing_film", size)
    assert len(made.frames) >= 6
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        (line,) = view.all("line")
        assert all(shape(b).distance(shape(line)) >= given["tolerance"].si - 4 * view.grain for b in view.all("bucket"))
        # who digs by hand has no machine near, and who is at the machine's work stands outside its ring and this picture
        assert bool(view.all("person")) != bool(view.all("bucket"))
        for crest in view.all("crest"):
            assert min(shape(t).distance(shape(crest)) for t in view.all("tracks")) >= given["edge_distance"].si - 4 * view.grain
            for person in view.all("person"):
                assert shape(person).distance(shape(crest)) >= given["edge_distance"].si
    figures = {"job.tolerance": given["tolerance"].si, "limits.edge_distance": given["edge_distance"].si}
    assert breaches(made, figures) == []


@pytest.mark.parametrize("size", SIZES)
def test_nobody_is_below_the_ground_and_the_last_step_has_the_line_held(size: str) -> None:
    made, given = film("crossing_film", size)
    steps = [read(svg)[0] for svg in frames_of(made.to_svg())]
    assert all(person.low >= max(c.high for c in view.all("cut")) - 3 * view.grain for view in steps for person in view.all("person"))
    assert not steps[-1].all("person") and "slings" in made.frames[-1].words.us
    zone = given["zone"]
    told = [frame.words for frame in made.frames if zone in frame.told]
    assert any(zone.us in words.us and zone.metric in words.metric for words in told)


@pytest.mark.parametrize("size", SIZES)
def test_the_wrong_way_ends_at_the_line(size: str) -> None:
    made, given = film("straight_film", size)
    gaps = []
    for svg in frames_of(made.to_svg()):
        (view,) = read(svg)
        assert view.way == "wrong" and not view.all("person")
        (line,) = view.all("line")
        gaps.append(min(shape(b).distance(shape(line)) for b in view.all("bucket")))
    assert gaps == sorted(gaps, reverse=True) and gaps[-1] <= 0.1 * given["tolerance"].si + 4 * view.grain
    assert all(gap < given["tolerance"].si for gap in gaps[1:])


def test_what_is_no_picture_of_the_job_is_left_out() -> None:
    _, samples = FILMS["crossing_film"]
    with pytest.raises(LeftOut, match="too large"):
        found_line.crossing_film(ident="x", **(samples[1] | {"line_width": L(1.5), "zone": L(1.5 + 2 * 0.6096)}))
    with pytest.raises(NotReached):
        found_line.crossing_film(ident="x", **(samples[1] | {"edge_distance": L(9.0)}))
    with pytest.raises(DrawingRefused, match="both its sides"):
        found_line.crossing_film(ident="x", **(samples[1] | {"zone": L(1.0)}))


@pytest.mark.parametrize("size", SIZES)
def test_the_holes_stand_evenly_with_one_at_each_end(size: str) -> None:
    given = SAMPLES["holes_along"][1][SIZES.index(size)]
    count, run = round(given["holes"].si), given["run"].si
    canvas = draw("holes_along", size)
    assert f"{count} holes" in canvas.desc
    with pytest.raises(DrawingRefused, match="farther apart"):
        found_line.holes_along(ident="x", **(given | {"spacing": L(0.9 * run / (count - 1))}))
    assert broken(canvas.to_svg(), {"job.tolerance": given["tolerance"].si}) == []


@pytest.mark.parametrize("size", SIZES)
def test_the_zones_of_two_lines_leave_what_is_told(size: str) -> None:
    given = SAMPLES["two_lines"][1][SIZES.index(size)]
    (view,) = read(draw("two_lines", size).to_svg())
    first, second = view.all("keep-clear")
    assert second.left - first.right == pytest.approx(given["strip"].si, abs=4 * view.grain)
    with pytest.raises(DrawingRefused, match="another length"):
        found_line.two_lines(ident="x", **(given | {"strip": L(given["strip"].si + 0.1 * given["apart"].si)}))


def test_each_color_is_told_by_its_word_and_what_lies_there() -> None:
    """The uniform color code of the American Public Works Association, as one-call centres print it."""
    svg = draw("marks", "middle").to_svg()
    for word in ("Red: electric", "Yellow: gas", "Orange: phone", "Blue: drinking water", "Green: sewer", "Purple: other water", "Pink: survey",
                 "White: where you"):  # fmt: skip
        assert word in svg
    assert 'fill="red"' not in svg and "color" not in {part.name for view in read(svg) for part in view.parts}
