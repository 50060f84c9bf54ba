"""A drift and the way back, read back from the finished SVG: what is drawn is what the sentences say."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from generator.drawing import Measure
from generator.drawing.film import Film, frames_of
from generator.drawing.picture import Part, read
from generator.drawing.scenes import steering

from .samples import _drift, length

BLADE, HIGH, TRACK, GAUGE, SHOE = 3.66, 1.22, 3.05, 1.98, 0.61
OFF, DISTANCE, TILT = 0.61, 15.24, 0.1016
MACHINE: dict[str, Any] = {
    "blade_width": length(BLADE), "blade_height": length(HIGH), "track_length": length(TRACK), "track_gauge": length(GAUGE),
    "shoe_width": length(SHOE),
}  # fmt: skip


def film(tilt: float | None) -> Film:
    return steering.drift_film(ident="drift", **_drift(DISTANCE, OFF, 180_000, tilt, **MACHINE))


def part(frame: str, how: str, name: str) -> Part:
    (found,) = [p for view in read(frame) if view.how == how for p in view.all(name)]
    return found


@pytest.fixture(scope="module", params=[TILT, None], ids=["tilted", "braked"])
def frames(request: pytest.FixtureRequest) -> tuple[Film, list[str]]:
    made = film(request.param)
    return made, list(frames_of(made.to_svg()))


def test_the_machine_is_as_large_as_its_table_says_at_every_station(frames: tuple[Film, list[str]]) -> None:
    for frame in frames[1]:
        above, behind = part(frame, "above", "tracks"), part(frame, "end", "tracks")
        assert above.lengthwise == pytest.approx((TRACK, GAUGE + SHOE), rel=0.02)
        assert behind.extent[0] == pytest.approx(GAUGE + SHOE, rel=0.02)
        assert part(frame, "above", "blade").lengthwise[0] == pytest.approx(BLADE, rel=0.02)


def test_it_stands_as_far_off_its_line_as_the_sentence_says(frames: tuple[Film, list[str]]) -> None:
    made, svgs = frames
    places = []
    for step, svg in zip(made.frames, svgs, strict=True):
        tracks = part(svg, "end", "tracks")
        places.append(-(tracks.left + tracks.right) / 2)
        told = re.search(r"([\d.]+) m off", step.words.metric)
        assert (float(told[1]) if told else 0.0) == pytest.approx(places[-1] - places[0], abs=0.02)
    assert max(places) - places[0] == pytest.approx(OFF, abs=0.01)
    assert places[-1] == pytest.approx(places[0], abs=0.01), "it ends on its line"


def test_the_right_corner_is_lower_by_the_tilt_from_the_turn_to_the_line() -> None:
    for k, svg in enumerate(frames_of(film(TILT).to_svg())):
        corners = [p for shape in part(svg, "end", "blade").shapes for p in shape.points]
        left, right = (min(y for x, y in corners if abs(x - end) < 0.1) for end in (min(c[0] for c in corners), max(c[0] for c in corners)))
        assert left - right == pytest.approx(TILT if 4 <= k < 8 else 0.0, abs=0.02), k


def test_it_heads_off_and_back_at_the_angle_of_the_drift() -> None:
    ahead = math.atan2(OFF, DISTANCE)
    for k, svg in enumerate(frames_of(film(TILT).to_svg())):
        (x0, y0), (x1, y1) = (centre(part(svg, "above", name)) for name in ("tracks", "blade"))
        assert math.atan2(y1 - y0, x1 - x0) == pytest.approx(ahead if k < 4 else -ahead if k < 8 else 0.0, abs=0.01), k


def centre(found: Part) -> tuple[float, float]:
    return (found.left + found.right) / 2, (found.low + found.high) / 2


def test_the_bar_is_half_as_long_where_one_track_is_braked() -> None:
    for k, frame in enumerate(film(None).frames):
        (bar,) = re.findall(r'class="bar"[^>]*data-px="([\d.]+)"', frame.canvas.to_svg())
        (whole,) = re.findall(r'class="bar"[^>]*data-px="([\d.]+)"', film(TILT).frames[k].canvas.to_svg())
        assert float(bar) == pytest.approx(float(whole) / (2 if k in (4, 8) else 1), rel=0.001)


def test_the_low_corner_of_one_picture_is_the_one_asked_for() -> None:
    for left_low in (False, True):
        canvas = steering.behind_the_blade(ident="one", off_line=length(OFF), tilt=length(TILT), left_low=left_low, **MACHINE)
        corners = [p for shape in part(canvas.to_svg(), "end", "blade").shapes for p in shape.points]
        lowest = min(corners, key=lambda c: c[1])
        middle = sum(x for x, _ in corners) / len(corners)
        assert (lowest[0] < middle) is left_low


@pytest.mark.parametrize("broken", ["ways", "offs", "pushes", "tilts"])
def test_sequences_of_different_lengths_are_refused(broken: str) -> None:
    given = _drift(DISTANCE, OFF, 180_000, TILT, **MACHINE)
    given[broken] = given[broken][:-1]
    with pytest.raises(ValueError, match="same figures"):
        steering.drift_film(ident="drift", **given)


def test_stations_that_do_not_follow_each_other_are_refused() -> None:
    given = _drift(DISTANCE, OFF, 180_000, TILT, **MACHINE)
    given["ways"] = [Measure(5.0, "5", "5"), *given["ways"][1:]]
    with pytest.raises(ValueError, match="follow"):
        steering.drift_film(ident="drift", **given)
