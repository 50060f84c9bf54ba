"""Stop-work in steps, measured in the finished picture: nobody and no track near the edge, but in the wrong way."""

from __future__ import annotations

from typing import Any

import pytest

from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import read
from generator.drawing.scenes import stopping

from .samples import FILMS, SIZES


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


@pytest.mark.parametrize("size", SIZES)
def test_whoever_stops_stays_clear_of_the_edge_and_of_the_crack(size: str) -> None:
    made, given = film("stop_film", size)
    figures = {"limits.edge_distance": given["edge_distance"].si, "machine.track_length": given["track_length"].si}
    svgs = frames_of(made.to_svg())
    assert all(broken(svg, figures) == [] for svg in svgs)
    front = [max(t.right for t in read(svg)[0].all("tracks")) for svg in svgs]
    # it stands nearest when the crack is seen, and backs off from there
    assert all(later < front[0] for later in front[1:])
    # nobody stands close behind the machine, whatever it does
    for svg in svgs:
        (view,) = read(svg)
        behind = min(part.left for part in view.parts if part.name in {"tracks", "machine", "blade", "bucket"})
        assert all(behind - person.right >= stopping.AWAY - 0.1 for person in view.all("person"))


@pytest.mark.parametrize("size", SIZES)
def test_whoever_finishes_the_pass_is_past_the_crack_and_it_is_marked_wrong(size: str) -> None:
    made, given = film("finish_film", size)
    views = [read(svg)[0] for svg in frames_of(made.to_svg())]
    assert all(view.way == "wrong" for view in views)
    (crest,) = views[1].all("crest")
    front = max(t.right for t in views[1].all("tracks"))
    assert crest.left - front == pytest.approx(given["edge_distance"].si, abs=8 * views[1].grain)
    assert not views[2].all("crest")


def test_without_figures_of_the_site_no_figure_is_told() -> None:
    for scene in (stopping.stop_film, stopping.finish_film):
        made = scene(ident="x")
        assert not made.told
        assert not any(ch.isdigit() for frame in made.frames for ch in frame.words.us)
