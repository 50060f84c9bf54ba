"""A lift, measured in the finished picture: the load hangs at its radius, straight down, and nobody is under it."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from shapely import MultiPoint, Polygon

from generator.drawing.errors import LeftOut
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.measure import Measure
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import lifting

from .samples import FILMS, SAMPLES, SIZES, L, odd_lift


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


def views(made: Film) -> list[Seen]:
    return [read(svg)[0] for svg in frames_of(made.to_svg())]


def swing_centre(view: Seen) -> float:
    """The middle of the tracks, seen from the side."""
    left, right = min(t.left for t in view.all("tracks")), max(t.right for t in view.all("tracks"))
    return (left + right) / 2


def load_of(view: Seen) -> Part:
    (part,) = view.all("load")
    return part


def place(part: Part) -> float:
    """How far right the middle of the load itself is: the ring, not the sling."""
    ring = max(part.shapes, key=lambda s: s.area)
    return sum(x for x, _ in ring.points) / len(ring.points)


@pytest.mark.parametrize("size", SIZES)
def test_the_laws_hold_in_a_lift(size: str) -> None:
    made, given = film("lift_film", size)
    figures = {"machine.track_length": given["track_length"].si, "limits.line_clearance": 6.0}
    assert all(broken(svg, figures) == [] for svg in frames_of(made.to_svg()))


@pytest.mark.parametrize("size", SIZES)
def test_the_load_ends_up_at_the_radius_and_is_picked_up_nearer(size: str) -> None:
    made, given = film("lift_film", size)
    out = [place(load_of(v)) - swing_centre(v) for v in views(made)]
    assert out[3] == pytest.approx(given["radius"].si, rel=0.01) and out[4] == pytest.approx(out[3], rel=0.01)
    assert given["track_length"].si / 2 < out[0] < 0.8 * given["radius"].si  # as near as the arm folds, clear of the tracks
    assert max(out) <= given["radius"].si * 1.01


@pytest.mark.parametrize("size", SIZES)
def test_it_is_carried_low_and_set_down(size: str) -> None:
    made, _ = film("lift_film", size)
    seen = views(made)
    up = [load_of(v).low - min(t.low for t in v.all("tracks")) for v in seen]
    assert up[0] == pytest.approx(0.0, abs=3 * seen[0].grain) and up[4] == pytest.approx(0.0, abs=3 * seen[0].grain)
    assert 0 < up[1] < up[2] + seen[0].grain
    assert all(h < 1.0 for h in up)


@pytest.mark.parametrize("size", SIZES)
def test_nobody_is_within_reach_while_a_machine_lifts(size: str) -> None:
    made, _ = film("lift_film", size)
    assert not any(view.all("person") for view in views(made))
    assert "levers locked, then the wave" in made.frames[-1].words.us
    scene, samples = SAMPLES["from_above"]
    above = samples[SIZES.index(size)]
    (view,) = read(scene(ident="x", **above).to_svg())
    middle = sum((t.left + t.right) / 2 for t in view.all("tracks")) / len(view.all("tracks"))
    level = sum((t.low + t.high) / 2 for t in view.all("tracks")) / len(view.all("tracks"))
    people = view.all("person")
    assert len(people) == 2
    for who in people:
        nearest = min(math.dist((x, y), (middle, level)) for s in who.shapes for x, y in s.points)
        assert nearest >= above["max_reach"].si + above["person_distance"].si - 3 * view.grain
        # off to the side, never in line with the boom
        assert abs((who.low + who.high) / 2 - level) > 0.4 * above["max_reach"].si


def test_without_a_chart_no_figure_of_one_is_told() -> None:
    made, given = film("lift_film", "middle")
    says = made.frames[3].words.us
    assert "must stay under the chart's figure" in says and given["radius"].us in says
    assert made.told == {given["radius"], given["load"]}


@pytest.mark.parametrize("size", SIZES)
def test_the_wrong_way_goes_over_about_the_front_of_its_tracks(size: str) -> None:
    made, given = film("too_far_film", size)
    seen = views(made)
    assert all(view.way == "wrong" for view in seen)
    lows = []
    for view in seen:
        points = [p for t in view.all("tracks") for s in t.shapes for p in s.points]
        hull = MultiPoint(points).convex_hull
        assert isinstance(hull, Polygon)
        lows.append(min(y for _, y in points))
        # it stands on the ground still, however far it has gone over
        assert min(y for _, y in points) == pytest.approx(lows[0], abs=0.035 * given["track_length"].si)
    assert [len(view.all("person")) for view in seen] == [1, 1, 0]


@pytest.mark.parametrize("size", SIZES)
def test_from_above_people_stand_outside_the_path_and_the_radius_is_true(size: str) -> None:
    scene, samples = SAMPLES["from_above"]
    given = samples[SIZES.index(size)]
    (view,) = read(scene(ident="x", **given).to_svg())
    (zone,), (load,) = view.all("keep-clear"), view.all("load")
    for person in view.all("person"):
        assert person.apart(zone) > 0.5
    centre_x = sum((t.left + t.right) / 2 for t in view.all("tracks")) / len(view.all("tracks"))
    assert (load.left + load.right) / 2 - centre_x == pytest.approx(given["radius"].si, rel=0.01)
    (long, _) = view.all("tracks")[0].extent
    turned = long < view.all("tracks")[0].extent[1]
    assert turned == (given.get("over") != "front")  # over the side the tracks lie across the boom


@pytest.mark.parametrize("seed", range(12))
def test_any_lift_from_above_is_lawful(seed: int) -> None:
    given = odd_lift(random.Random(seed))
    svg = lifting.from_above(ident="x", **given).to_svg()
    assert broken(svg, {"machine.track_length": given["track_length"].si}) == []


def test_a_lift_that_cannot_be_is_left_out_with_its_reason() -> None:
    given = FILMS["lift_film"][1][1]
    too_far = {**given, "radius": L(11.5)}
    with pytest.raises(LeftOut) as reach:
        lifting.lift_film(ident="x", **too_far)
    assert "farther out than this machine reaches" in reach.value.instead
    with pytest.raises(LeftOut) as tracks:
        lifting.lift_film(ident="x", **{**given, "radius": L(3.0)})
    assert "over the tracks" in tracks.value.instead
    above = SAMPLES["from_above"][1][1]
    with pytest.raises(LeftOut):
        lifting.from_above(ident="x", **{**above, "radius": Measure(12.0, "39 ft", "12 m")})


def test_the_sling_hangs_straight_from_the_pin() -> None:
    made, _ = film("lift_film", "middle")
    for view in views(made)[:4]:
        sling = [s for s in load_of(view).shapes if not s.closed and len(s.points) == 3]
        assert len(sling) == 1
        xs = [x for x, _ in sling[0].points]
        assert math.isclose(max(xs), min(xs), abs_tol=2 * view.grain)


@pytest.mark.parametrize(
    ("hung", "shown"), [(7400.0, ""), (7500.0, "plan on paper"), (9900.0, "plan on paper"), (10000.0, None), (12000.0, None)]
)
def test_a_lift_past_the_chart_is_never_shown_and_one_near_it_asks_for_a_plan(hung: float, shown: str | None) -> None:
    given = {
        **FILMS["lift_film"][1][1],
        "total_load": Measure(hung, f"{hung:,.0f} kg", f"{hung:,.0f} kg"),
        "chart_load": Measure(10000.0, "c", "c"),
    }
    above = {**SAMPLES["from_above"][1][1], "total_load": given["total_load"], "chart_load": given["chart_load"]}
    if shown is None:
        for scene, arguments in ((lifting.lift_film, given), (lifting.from_above, above)):
            with pytest.raises(LeftOut, match="more than the chart allows"):
                scene(ident="x", **arguments)
        return
    says = lifting.lift_film(ident="x", **given).frames[3].words.us
    assert ("plan on paper" in says) == bool(shown)
    assert lifting.from_above(ident="x", **above).to_svg()


def test_a_chart_without_the_bucket_s_weight_claims_nothing() -> None:
    given = {**FILMS["lift_film"][1][1], "chart_load": Measure(6500.0, "14,300 lb", "6,500 kg")}
    says = lifting.lift_film(ident="x", **given).frames[3].words.us
    assert "must stay under the chart: 14,300 lb" in says and "stays" not in says
