"""Tracks that wear, read back from the finished SVG: the slope, the machine, and the bars that the sentences tell."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any

import pytest

from generator.drawing.film import frames_of
from generator.drawing.picture import Part, read
from generator.drawing.scenes import undercarriage

from .samples import _month, _ways_back, length, percent

GAUGE, SHOE, SLOPE = 1.98, 0.61, 0.1
MACHINE: dict[str, Any] = {
    "side_slope": percent(SLOPE), "track_gauge": length(GAUGE), "shoe_width": length(SHOE), "cg_height": length(0.98),
    "blade_width": length(3.66), "blade_height": length(1.22),
}  # fmt: skip
SHIFTS, LOW, HIGH = 22, 0.00305, 0.0025


def part(svg: str, name: str) -> Part:
    (found,) = [p for view in read(svg) for p in view.all(name)]
    return found


def leans(svg: str) -> float:
    """The slope that the tracks stand on, above zero where the left one is low: from the lowest points of both sides."""
    points = [p for shape in part(svg, "tracks").shapes for p in shape.points]
    middle = sum(x for x, _ in points) / len(points)
    a, b = (min((p for p in points if (p[0] > middle) is side), key=lambda p: p[1]) for side in (False, True))
    return (b[1] - a[1]) / (b[0] - a[0])


@pytest.mark.parametrize("by_turns", [False, True])
def test_the_track_that_the_sentence_calls_low_is_low_on_a_slope_of_that_grade(by_turns: bool) -> None:
    film = undercarriage.month_film(ident="m", **_month(SHIFTS, LOW, HIGH, by_turns, **MACHINE))
    low = set()
    for k, (frame, svg) in enumerate(zip(film.frames, frames_of(film.to_svg()), strict=True)):
        tracks = part(svg, "tracks")
        assert tracks.lengthwise[0] == pytest.approx(GAUGE + SHOE, rel=0.03)
        found = leans(svg)
        told = re.search(r"The (left|right) track was low", frame.words.us)
        if k:
            assert told and (told[1] == "left") == (found > 0)
            low.add(told[1])
    assert low == ({"left", "right"} if by_turns else {"left"})


def test_the_slope_is_drawn_at_its_grade() -> None:
    for share in (0.05, 0.15, 0.4):
        for right_low in (False, True):
            svg = undercarriage.on_a_side_slope(ident="s", **{**MACHINE, "side_slope": percent(share)}, right_low=right_low).to_svg()
            assert leans(svg) == pytest.approx(-share if right_low else share, rel=0.06)


def test_the_bars_are_as_long_as_the_shares() -> None:
    film = undercarriage.month_film(ident="m", **_month(SHIFTS, LOW, HIGH, False, **MACHINE))
    full = 0.0
    for k, frame in enumerate(film.frames):
        bars = [float(px) for px in re.findall(r'class="bar"[^>]*data-px="([\d.]+)"', frame.canvas.to_svg())]
        left, right = 0.5 + k * LOW, 0.5 + k * HIGH
        full = full or bars[0] / 0.5
        assert bars[:2] == pytest.approx([left * full, right * full], rel=0.002)
        if k:
            assert bars[2:] == pytest.approx([k / SHIFTS * full, k / SHIFTS * full * HIGH / LOW], rel=0.005)
        else:
            assert len(bars) == 2, "nothing is worn off yet"


def test_a_month_without_its_beginning_is_refused() -> None:
    given = _month(SHIFTS, LOW, HIGH, False, **MACHINE)
    for name in ("hours", "left", "right"):
        with pytest.raises(ValueError, match="same figures"):
            undercarriage.month_film(ident="m", **{**given, name: given[name][:-1]})


@pytest.mark.parametrize("far_end", [False, True])
def test_each_way_back_is_as_long_as_it_is_told_and_ends_where_it_must(far_end: bool) -> None:
    run, count = 45.7, 54
    given = _ways_back(
        run, count, far_end, track_length=length(3.05), track_gauge=length(1.98), shoe_width=length(SHOE), blade_width=length(3.66)
    )
    canvas = undercarriage.ways_back(ident="w", **given)
    (view,) = [v for v in canvas.views if v.world[2] > 1 and v.world[2] != 100]
    slot = part(canvas.to_svg(), "slot")
    assert (slot.left, slot.right) == pytest.approx((view.px((0, 0))[0] / view.per_metre, view.px((run, 0))[0] / view.per_metre), abs=0.05)
    arrows = re.findall(r'class="arrow"><path d="M([\d.]+),([\d.]+)L[\d.,]+" [^>]*/><path d="M([\d.]+),([\d.]+)', canvas.to_svg())
    shown = [round(k * (count - 1) / 5) for k in range(6)]
    assert len(arrows) == 6
    for k, (x0, y0, x1, y1) in zip(shown, arrows, strict=True):
        assert y0 == y1
        back = given["reverses"][k].si
        end = 0.0 if far_end else run - given["starts"][min(k + 1, count - 1)].si
        assert (float(x0) - float(x1)) / view.per_metre == pytest.approx(back, abs=0.05)
        assert (float(x1) - view.origin[0]) / view.per_metre == pytest.approx(end, abs=0.05)


def test_the_blade_is_up_and_somebody_stands_behind_only_where_it_is_said() -> None:
    for up in (False, True):
        for behind in (None, length(1.8)):
            svg = undercarriage.backing_up(
                ident="b", blade_height=length(1.22), track_length=length(3.05), blade_up=up, behind=behind
            ).to_svg()
            tracks, blade = part(svg, "tracks"), part(svg, "blade")
            assert tracks.lengthwise[0] == pytest.approx(3.05, rel=0.02)
            assert (blade.low - tracks.low > 0.2) is up
            people = [p for view in read(svg) for p in view.all("person")]
            assert len(people) == (behind is not None)
            for somebody in people:
                assert (tracks.left - (somebody.left + somebody.right) / 2) == pytest.approx(1.8, abs=0.1)


def test_a_grouser_is_as_high_as_it_is_told_and_dirt_lifts_the_bar_to_what_is_read() -> None:
    new, limit, now, read_off = 0.0711, 0.0305, 0.0508, 0.0559
    for reading in (None, length(read_off)):
        canvas = undercarriage.measured_part(ident="p", new=length(new), limit=length(limit), measured=length(now), reading=reading)
        svg = canvas.to_svg()
        tracks = part(svg, "tracks")
        (told,) = re.findall(r'class="dimension" data-si="([\d.]+)"', svg)
        assert float(told) == pytest.approx(read_off if reading else now)
        assert tracks.high - tracks.low == pytest.approx(now + 0.4 * new, abs=0.001), "the shoe, and the grouser as it is"


def test_a_chain_is_drawn_as_long_as_it_is_and_hangs_slack_where_it_reads_short() -> None:
    new, limit, now, read_off = 0.812, 0.838, 0.83, 0.8255
    sizes = []
    for reading in (None, length(read_off)):
        svg = undercarriage.measured_part(ident="p", new=length(new), limit=length(limit), measured=length(now), reading=reading).to_svg()
        pins = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg)
        (scale,) = {v.scale for v in read(svg)}
        points = [(float(x) / scale, float(y) / scale) for x, y in pins[:5]]  # what follows are the dots of leaders
        assert points[-1][0] - points[0][0] == pytest.approx(read_off if reading else now, abs=0.002)
        assert sum(math.dist(a, b) for a, b in itertools.pairwise(points)) == pytest.approx(now, rel=0.003)
        sizes.append(max(y for _, y in points) - points[0][1])
    assert sizes[0] == pytest.approx(0, abs=1e-3) and sizes[1] > 0.02


def test_a_part_that_cannot_wear_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing to wear"):
        undercarriage.measured_part(ident="p", new=length(1), limit=length(1), measured=length(1))


@pytest.mark.parametrize(("new", "limit", "now"), [(0.0711, 0.0305, 0.0508), (0.06, 0.055, 0.057), (0.8, 0.1, 0.3), (0.02, 0.019, 0.0195)])
def test_new_and_limit_are_written_at_their_own_lines(new: float, limit: float, now: float) -> None:
    canvas = undercarriage.measured_part(
        ident="p", new=length(new), limit=length(limit), measured=length(now), reading=length(now + (new - now) / 4)
    )
    (view,) = canvas.views
    for system in ("us", "si"):
        at = {box.text.split()[0]: box.box for box in canvas.text_boxes(system) if box.text.split()[0] in ("New", "Limit")}
        assert at["New"][3] <= at["Limit"][1] + 1, "the new height stands above the limit"
        level = view.px((0.0, limit))[1]
        assert at["Limit"][1] <= level <= at["Limit"][3], "and the limit at its own line"


def test_every_bar_of_the_month_lies_within_the_picture() -> None:
    film = undercarriage.month_film(ident="m", **_month(SHIFTS, LOW, HIGH, False, **MACHINE))
    floor = float(film.picture_box.split()[3])
    rows = re.findall(r'class="bar" d="M[\d.]+,([\d.]+)L[\d.]+,[\d.]+L[\d.]+,([\d.]+)', film.frames[-1].canvas.to_svg())
    edges = sorted(tuple(sorted(map(float, row))) for row in rows)
    assert len(edges) == 4 and edges[-1][1] + 2 <= floor
    assert all(a[1] + 2 < b[0] for a, b in itertools.pairwise(edges)), "no bar touches the next"
