"""Scenes of a compact excavator at work, measured in the finished picture: distances kept, layers as told."""

from __future__ import annotations

from typing import Any

import pytest

from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import read

from .samples import FILMS, SIZES


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


@pytest.mark.parametrize("size", SIZES)
def test_while_a_trench_is_filled_tracks_and_spoil_keep_back(size: str) -> None:
    made, given = film("backfill_film", size)
    figures = {"limits.spoil_setback": given["spoil_setback"].si, "machine.blade_height": given["blade_height"].si}
    if "edge_distance" in given:
        figures["limits.edge_distance"] = given["edge_distance"].si
    if "track_length" in given:
        figures["machine.track_length"] = given["track_length"].si
    for svg in frames_of(made.to_svg()):
        assert broken(svg, figures) == []


@pytest.mark.parametrize("size", SIZES)
def test_the_pile_shrinks_by_what_went_into_the_trench(size: str) -> None:
    made, given = film("backfill_film", size)
    first = read(frames_of(made.to_svg())[0])[0].all("spoil")
    whole = given["spoil_height"].si * given["spoil_width"].si / 2
    left = whole - given["trench_width"].si * given["loose"][0].si
    drawn = max((shape.area for part in first for shape in part.shapes), default=0.0)
    assert drawn == pytest.approx(max(left, 0.0), rel=0.03, abs=0.02 * whole)


@pytest.mark.parametrize("size", SIZES)
def test_each_layer_is_told_with_its_figures(size: str) -> None:
    made, given = film("backfill_film", size)
    for frame in made.frames:
        k = int(frame.told[0].si) - 1
        packed = "packed" in frame.words.us
        wanted = given["filled" if packed else "loose"][k]
        assert wanted.us in frame.words.us and wanted.metric in frame.words.metric


@pytest.mark.parametrize("size", SIZES)
def test_all_at_once_is_marked_wrong_in_every_step(size: str) -> None:
    made, _ = film("backfill_at_once_film", size)
    assert all(view.way == "wrong" for svg in frames_of(made.to_svg()) for view in read(svg))


@pytest.mark.parametrize("size", SIZES)
def test_a_machine_stands_in_the_gate_with_the_room_told_or_not_at_all(size: str) -> None:
    made, given = film("gate_film", size)
    passed = 0
    for svg in frames_of(made.to_svg()):
        (view,) = [v for v in read(svg) if v.all("gate")]
        (gate,) = view.all("gate")
        tracks = view.all("tracks")
        inside = [t for t in tracks if t.left < gate.right and t.right > gate.left]
        if inside:
            passed += 1
            opening = given["gate_width"].si
            over = max(t.high for t in tracks) - min(t.low for t in tracks)
            assert (opening - over) / 2 == pytest.approx(given["room"].si, abs=4 * view.grain)
    assert passed == (1 if given["room"].si >= 0 else 0)


@pytest.mark.parametrize("size", SIZES)
def test_wide_and_narrow_tracks_stand_as_far_apart_as_told(size: str) -> None:
    for name, column in (("wide_work_film", "gauge_wide"), ("narrow_work_film", "gauge_narrow")):
        made, given = film(name, size)
        (view,) = read(frames_of(made.to_svg())[0])
        tracks = view.all("tracks")
        over = max(t.right for t in tracks) - min(t.left for t in tracks)
        assert over == pytest.approx(given[column].si + given["shoe_width"].si, abs=4 * view.grain)
        assert view.way == ("wrong" if name == "narrow_work_film" else "")
        figures = {"machine.gauge_wide": given["gauge_wide"].si, "machine.shoe_width": given["shoe_width"].si}
        assert all(broken(svg, figures) == [] for svg in frames_of(made.to_svg()))
