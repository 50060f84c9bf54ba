"""Bank, loose and packed ground cut across, measured in the finished drawings: areas as the volumes, sides at rest."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from shapely import Polygon

from generator.drawing import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read

from .samples import SAMPLES, A, L

MIDDLE = 1


def made(name: str, size: int = MIDDLE, **more: object) -> tuple[Canvas, dict[str, Any]]:
    scene, samples = SAMPLES[name]
    arguments = {**samples[size], **more}
    canvas = scene(ident="x", **arguments)
    assert isinstance(canvas, Canvas)
    return canvas, arguments


def views(name: str, size: int = MIDDLE, **more: object) -> tuple[Seen, Seen]:
    above, below = read(made(name, size, **more)[0].to_svg())
    assert above.scale == above.scale_y == pytest.approx(below.scale) and above.how == "across"
    return above, below


def area(part: Part) -> float:
    return max(float(Polygon(s.points).area) for s in part.shapes if s.closed and len(s.points) > 2)


def one(view: Seen, name: str) -> Part:
    (part,) = view.all(name)
    return part


@pytest.mark.parametrize("size", [0, 1, 2])
def test_areas_compare_as_the_volumes_do(size: int) -> None:
    above, below = views("loads_from_loose", size)
    given = made("loads_from_loose", size)[1]
    bank, loose, packed = (area(one(above, name)) for name in ("cut", "spoil", "berm"))
    assert loose / bank == pytest.approx(given["loose"].si / given["bank"].si, rel=0.02)
    assert packed / bank == pytest.approx(given["compacted"].si / given["bank"].si, rel=0.02)
    assert not broken(made("loads_from_loose", size)[0].to_svg(), {})
    if size != 2:  # a square is one load, and there are as many
        squares = below.all("load")
        assert len(squares) == given["loads"].si
        for square in squares:
            assert area(square) / bank == pytest.approx(given["truck_load"].si / given["bank"].si, rel=0.05)


def test_along_the_length_told_the_areas_are_the_volumes() -> None:
    above, _ = views("loads_from_loose")
    given = made("loads_from_loose")[1]
    assert area(one(above, "cut")) * given["length"].si == pytest.approx(given["bank"].si, rel=0.02)


@pytest.mark.parametrize("angle", [15, 33, 45])
def test_the_heap_lies_at_the_angle_of_repose(angle: int) -> None:
    above, _ = views("loads_from_loose", repose=A(angle))
    (x0, y0), (x1, y1) = one(above, "spoil").shapes[0].points[:2]
    assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(angle, abs=0.3)


def test_bank_lies_in_the_ground_and_the_others_on_it() -> None:
    above, _ = views("loads_from_loose")
    bank, loose, packed = (one(above, name) for name in ("cut", "spoil", "berm"))
    assert bank.high == pytest.approx(loose.low, abs=above.grain) == pytest.approx(packed.low, abs=above.grain)
    for left, right in pairwise((bank, loose, packed)):
        assert left.right < right.left


def test_counted_from_the_bank_a_heap_is_left_and_loads_are_missing() -> None:
    above, below = views("loads_from_bank")
    given = made("loads_from_bank")[1]
    assert above.way == "wrong"
    assert area(one(above, "spoil")) * given["length"].si == pytest.approx(given["left"].si, rel=0.02)
    assert len(below.all("load")) == given["loads_by_bank"].si + given["missing"].si
    svg = made("loads_from_bank")[0].to_svg()
    assert svg.count("stroke-dasharray") >= given["missing"].si


def test_what_tells_the_answer_is_left_out_for_a_question() -> None:
    plain = made("loads_from_bank", plain=True)[0].to_svg()
    assert "counted" not in plain and "issing" not in plain and "wrong way" not in plain
    spots = made("loads_from_loose", spots=True)[0]
    assert [s.ident for s in spots.spots()] == ["bank", "loose", "packed"] and "Loose" not in spots.to_svg()


def test_many_loads_are_told_as_several_a_square() -> None:
    assert "A square is several" in made("loads_from_loose", 2)[0].to_svg()
    assert len(read(made("loads_from_loose", 2)[0].to_svg())[1].all("load")) <= 121


def test_ground_that_would_stand_upright_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="does not lie at"):
        made("loads_from_loose", repose=A(80), length=L(20))
