"""The stroke of a bucket, each step measured in the finished SVG with shapely.

What is held against the pictures is worked out here, by plain arithmetic of this file.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from generator.drawing.errors import DrawingRefused
from generator.drawing.film import frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Seen, read
from generator.drawing.scenes.stroke import OUT_OF_REACH, stroke_film

from .samples import A, L, _pull, volume

LONG, DEEP, WIDE = 3.6, 1.7 / 4, 1.68


def given(**changes: Any) -> dict[str, Any]:
    out: dict[str, Any] = _pull(3.048, 1.7, LONG, WIDE, track_length=L(4.4), max_reach=L(11.6), tail_radius=L(3.7))
    return out | changes


def whole(view: Seen, name: str) -> BaseGeometry:
    shapes = [s for p in view.all(name) for s in p.shapes]
    return unary_union([Polygon(s.points) if s.closed and len(s.points) > 2 else LineString(s.points) for s in shapes])


def steps(**changes: Any) -> list[tuple[Seen, str]]:
    out = []
    for frame in frames_of(stroke_film(ident="s", **given(**changes)).to_svg()):
        assert broken(frame, {"machine.track_length": 4.4}) == []
        out.append((read(frame)[0], ET.fromstring(frame).attrib["data-says"]))
    return out


def ground(view: Seen) -> float:
    return float(whole(view, "tracks").bounds[1])


def test_each_part_cuts_as_much_as_its_sentence_tells() -> None:
    """Section of the cut, read from the picture, times the bucket's width, is that share of the bank ground."""
    seen = steps()
    assert len(seen) == 8
    for k, (view, says) in enumerate(seen[:7]):
        if k == 0:
            assert not view.all("cut")
            continue
        assert whole(view, "cut").area * WIDE == pytest.approx(LONG * DEEP * WIDE * k / 6, rel=0.02)
        if k < 6:
            assert f"{LONG * k / 6 / 0.3048:.1f} ft" in says
            # loose: a quarter more, in cubic yards of 0.9144 m
            assert f"{1.25 * LONG * DEEP * WIDE * k / 6 / 0.9144**3:.1f} yd" in says


def test_the_teeth_are_at_the_front_of_the_cut_and_the_bucket_leaves_it_in_the_end() -> None:
    seen = steps()
    for view, _ in seen[1:6]:
        cut, bucket = whole(view, "cut"), whole(view, "bucket")
        assert bucket.bounds[1] == pytest.approx(cut.bounds[1], abs=0.06), "the teeth cut at the bottom of the slice"
        assert bucket.distance(LineString([(cut.bounds[0], cut.bounds[3]), (cut.bounds[0] + 0.8 * DEEP, cut.bounds[1])])) < 0.1
    for k in (6, 7):
        assert whole(seen[k][0], "bucket").bounds[1] > ground(seen[k][0]) - DEEP
    assert whole(seen[7][0], "bucket").bounds[1] > ground(seen[7][0]) + 0.3


def test_the_stick_comes_upright_at_the_end_and_leans_out_half_way() -> None:
    """The bucket's pin, at the end of its floor line, moves in with each part; half way it stands far out."""
    right = steps()
    wrong = steps(half_volume=volume(1.25 * LONG * DEEP * WIDE / 2))
    assert len(wrong) == 6
    middles = [whole(view, "bucket").centroid.x for view, _ in right[:7]]
    assert middles == sorted(middles, reverse=True)
    # curled half way, the bucket stays out by about half of the stroke
    assert whole(wrong[4][0], "bucket").centroid.x - whole(right[6][0], "bucket").centroid.x > 0.3 * LONG
    assert whole(wrong[4][0], "cut").area == pytest.approx(LONG * DEEP / 2, rel=0.02)
    assert "only" in wrong[4][1] and "second swing" in wrong[5][1]


@pytest.mark.parametrize("angle", [20, 30, 45])
def test_the_floor_of_the_bucket_goes_in_at_its_angle(angle: float) -> None:
    """From the teeth to the lowest point of its back, as one sees it, the floor rises by about that angle."""
    (view, _), *_ = steps(bucket_angle=A(angle))
    outline = max((s for p in view.all("bucket") for s in p.shapes if s.closed), key=lambda s: s.area)
    tip = min((p for q in view.all("bucket") for s in q.shapes for p in s.points), key=lambda p: p[1])
    # the floor line: the side of the hull that starts at the teeth, on the bucket's back
    hull = Polygon([*outline.points, tip]).convex_hull
    rising = [math.degrees(math.atan2(y - tip[1], x - tip[0])) for x, y in hull.exterior.coords if math.dist((x, y), tip) > 0.25 * 1.7]
    assert min(rising) == pytest.approx(angle, abs=8)


def test_a_slice_that_starts_out_of_reach_says_so() -> None:
    far = stroke_film(ident="s", **_pull(3.048, 1.7, 9.0, WIDE, track_length=L(4.4), max_reach=L(11.6))).to_svg()
    assert OUT_OF_REACH[:30] in " ".join(ET.fromstring(far).itertext()).replace("  ", " ")
    assert OUT_OF_REACH[:30] not in " ".join(ET.fromstring(stroke_film(ident="s", **given()).to_svg()).itertext())


def test_what_cannot_be_a_stroke_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="even number of parts"):
        stroke_film(ident="s", **given(drawn_in=[L(1), L(2), L(3)]))
    with pytest.raises(DrawingRefused, match="less than 90 degrees"):
        stroke_film(ident="s", **given(bucket_angle=A(90)))
