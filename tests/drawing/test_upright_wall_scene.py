"""An upright wall and how it lets go, measured in the finished steps; nobody is ever in the picture."""

from __future__ import annotations

import pytest
from shapely import Polygon

from generator.drawing.film import frames_of
from generator.drawing.picture import Part, read

from .samples import FILMS

SIZES = (0, 1, 2)


def steps(size: int) -> list[str]:
    scene, samples = FILMS["upright_walls_film"]
    return frames_of(scene(ident="x", **samples[size]).to_svg())


def areas(part: Part) -> list[float]:
    """The areas of its closed shapes, each once: a body is drawn twice, on paper and in its pattern."""
    found = [Polygon(s.points).area for s in part.shapes if s.closed]
    return found[::2]


@pytest.mark.parametrize("size", SIZES)
def test_it_is_the_wrong_way_and_nobody_is_in_it(size: int) -> None:
    for svg in steps(size):
        (view,) = read(svg)
        assert view.way == "wrong" and view.scale == view.scale_y and not view.all("person") and not view.all("ladder")
        assert "the break is a" in svg


@pytest.mark.parametrize("size", SIZES)
def test_the_spoil_is_as_much_as_upright_walls_leave_to_dig(size: int) -> None:
    _, samples = FILMS["upright_walls_film"]
    a = {name: m.si for name, m in samples[size].items()}
    (view,) = read(steps(size)[0])
    (spoil,) = view.all("spoil")
    sloped = a["depth"] * (a["bottom_width"] + a["top_width"]) / 2
    share = a["depth"] * a["bottom_width"] / sloped
    assert areas(spoil)[0] == pytest.approx(share * a["spoil_width"] * a["spoil_height"] / 2, rel=0.02)
    (cut,) = view.all("cut")
    edge = max(x for x, y in cut.shapes[-1].points[:-1])
    assert spoil.left == pytest.approx(edge, abs=2 * view.grain)  # its toe is the edge


@pytest.mark.parametrize("size", SIZES)
def test_what_falls_is_what_was_there(size: int) -> None:
    _, samples = FILMS["upright_walls_film"]
    a = {name: m.si for name, m in samples[size].items()}
    first, _, last = (read(svg)[0].all("spoil")[0] for svg in steps(size))
    after = areas(last)
    wall = 0.5 * a["depth"] * a["depth"] / 2  # the wedge behind the edge
    moved = areas(first)[0] - sum(after[:-1])
    assert after[-1] == pytest.approx(wall + moved, rel=0.03)
