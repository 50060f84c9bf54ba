"""People near machines, measured in the finished pictures: what is hidden, where they stand, and how far off."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

import pytest
from shapely import LineString, Point, Polygon

from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import seeing, signals
from generator.drawing.text import FONT, LINE_HEIGHT, text_width
from generator.language.words import Catalogue, using
from tests.drawing.samples import FILMS, SAMPLES, SIZES, L


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


def placed(canvas: Canvas, svg: str) -> Seen:
    """The first view of a finished picture, with the scene's own origin."""
    seen, drawn = read(svg)[0], canvas.views[0]
    x0, y0 = drawn.origin[0] / seen.scale, -drawn.origin[1] / seen.scale
    parts = tuple(
        replace(part, shapes=tuple(replace(s, points=tuple((x - x0, y - y0) for x, y in s.points)) for s in part.shapes))
        for part in seen.parts
    )
    return replace(seen, parts=parts)


def views(made: Film) -> list[Seen]:
    return [placed(frame.canvas, svg) for frame, svg in zip(made.frames, frames_of(made.to_svg()), strict=True)]


def one(view: Seen, name: str) -> Part:
    (part,) = view.all(name)
    return part


def middle(part: Part) -> Point:
    return Point((part.left + part.right) / 2, (part.low + part.high) / 2)


@pytest.mark.parametrize("size", SIZES)
def test_whoever_walks_in_stands_where_the_sentence_says_and_as_tall_as_told(size: str) -> None:
    made, given = film("walk_in_film", size)
    heights = [given["person_height"].si] * len(given["distances"]) + [given["bent_height"].si]
    places = [d.si for d in given["distances"]] + [given["bent_from"].si]
    if given["bent_from"].si <= 1e-9:  # over an edge so low nobody who bends is wholly hidden: no such step
        heights, places = heights[:-1], places[:-1]
    assert len(made.frames) == len(places)
    for frame, view, tall, x in zip(made.frames, views(made), heights, places, strict=True):
        someone = one(view, "person")
        assert someone.high == pytest.approx(tall, rel=0.06, abs=6 * view.grain)
        if tall == given["person_height"].si and x > tall:
            assert (someone.left + someone.right) / 2 == pytest.approx(x, abs=4 * view.grain)
            assert L(x).us in frame.words.us or x == places[-1]


@pytest.mark.parametrize("size", SIZES)
def test_what_is_told_as_hidden_lies_under_the_line_of_sight(size: str) -> None:
    _, given = film("walk_in_film", size)
    eyes, edge, ground = (-given["sill_distance"].si, given["eye_height"].si), (0.0, given["sill_height"].si), (given["hidden"].si, 0.0)
    sight = LineString([eyes, ground])
    assert sight.distance(Point(edge)) < 1e-9
    for at, up in zip(given["distances"], given["hidden_up_to"], strict=True):
        above = sight.intersection(LineString([(at.si, -1.0), (at.si, 100.0)]))
        assert above.y == pytest.approx(up.si, abs=1e-9)
    bent = sight.intersection(LineString([(0, given["bent_height"].si), (1000, given["bent_height"].si)]))
    assert (bent.x if not bent.is_empty else 0.0) == pytest.approx(given["bent_from"].si, abs=1e-9)


@pytest.mark.parametrize("size", SIZES)
def test_the_seat_of_the_drawn_excavator_is_where_the_table_has_it(size: str) -> None:
    made, given = film("walk_in_film", size)
    for view in views(made):
        body = Polygon([])
        for part in view.all("machine"):
            for shape in part.shapes:
                if shape.closed:
                    body = body.union(Polygon(shape.points).buffer(0))
        assert body.contains(Point(-given["sill_distance"].si, given["eye_height"].si))
        # its right side ends at the edge, and nothing of it that is beyond the boom stands higher there
        assert body.bounds[2] == pytest.approx(0.0, abs=0.04 * given["sill_distance"].si)


@pytest.mark.parametrize("changed", [{"hidden": L(3.0)}, {"sill_height": L(2.8)}, {"distances": [L(4.0)] * 5}])
def test_figures_that_are_not_of_one_line_of_sight_are_refused(changed: dict[str, Any]) -> None:
    given = FILMS["walk_in_film"][1][1]
    with pytest.raises(DrawingRefused):
        seeing.walk_in_film(ident="x", **given | changed)


@pytest.mark.parametrize("size", SIZES)
def test_whoever_is_bent_down_ahead_is_under_the_line_of_sight(size: str) -> None:
    scene, samples = SAMPLES["ahead"]
    given = samples[SIZES.index(size)]
    canvas = scene(ident="x", **given)
    view = placed(canvas, canvas.to_svg())
    someone = one(view, "person")
    assert someone.left > 0
    if "eye_height" not in given:
        return
    eye, sill, out = (given[name].si for name in ("eye_height", "sill_height", "sill_distance"))
    sight = LineString([(-out, eye), (out * sill / (eye - sill), 0.0)])
    assert sight.distance(Point(0.0, sill)) < 1e-9
    if sill > 1.6 * given["bent_height"].si:
        for x, y in someone.points:
            assert y <= sight.intersection(LineString([(x, -1), (x, 99)])).y + 2 * view.grain


def test_without_figures_of_the_seat_no_figure_is_told() -> None:
    assert not re.search(
        r">[^<]*\d[^<]*<", re.sub(r'<text[^>]*class="[^"]*scale[^"]*".*?</text>', "", seeing.ahead(ident="x", bent_height=L(0.9)).to_svg())
    )


@pytest.mark.parametrize("size", SIZES)
def test_people_stay_out_of_the_ring_and_the_distance_off_it_while_the_machine_works(size: str) -> None:
    made, given = film("approach_film_on_foot", size)
    keep, reach = given["person_distance"].si, given["max_reach"].si
    svgs = frames_of(made.to_svg())
    assert all(broken(svg, {"limits.person_distance": keep}) == [] for svg in svgs)
    radii = [middle(one(view, "person")).distance(Point(0, 0)) for view in views(made)]
    at_work = [bool([p for p in view.all("swing-circle") if p.facts.get("people") == "out"]) for view in views(made)]
    assert at_work == [True, True, False, False, False, False]
    for radius in (radii[0], radii[1], radii[2], radii[5]):
        assert radius >= reach + keep
    assert reach > radii[3] > radii[4]
    # they come in from ahead on the cab's side, and never under the boom
    for view in views(made):
        at = middle(one(view, "person"))
        assert 0 < math.atan2(at.y, at.x) < math.radians(60)
        assert min(one(view, "person").apart(bucket) for bucket in view.all("bucket")) > 0


@pytest.mark.parametrize("size", SIZES)
def test_a_person_drawn_too_near_is_found_and_names_the_limit(size: str) -> None:
    made, given = film("approach_film_on_foot", size)
    found = broken(frames_of(made.to_svg())[0], {"limits.person_distance": 1.5 * given["person_distance"].si + 1.0})
    assert [(b.law, b.figure) for b in found] == [("people", "limits.person_distance")]


@pytest.mark.parametrize("size", SIZES)
def test_the_tail_comes_to_the_person_and_it_is_marked_wrong(size: str) -> None:
    made, given = film("tail_film", size)
    shown = views(made)
    assert all(view.way == "wrong" for view in shown)
    ring = one(shown[1], "swing-circle")
    tail = ring.extent[0] / 2
    if "tail_radius" in given:
        assert tail == pytest.approx(given["tail_radius"].si, abs=4 * shown[1].grain)
    stand = middle(one(shown[1], "person"))
    assert stand.distance(Point(0, 0)) < tail
    # at first the machine is clear of that place, and at last its counterweight is there
    assert not any(s.holds((stand.x, stand.y)) for p in shown[1].all("machine") for s in p.shapes)
    assert any(s.holds((stand.x, stand.y)) for p in shown[3].all("machine") for s in p.shapes)
    # between wall and tail there is no room for a person
    assert 0 < -tail - one(shown[1], "wall").high < 0.3


@pytest.mark.parametrize("size", SIZES)
def test_ring_and_fence_stand_where_the_dimensions_say(size: str) -> None:
    scene, samples = SAMPLES["circles"]
    given = samples[SIZES.index(size)]
    canvas = scene(ident="x", **given)
    view = placed(canvas, canvas.to_svg())
    assert broken(canvas.to_svg(), {"limits.person_distance": given["person_distance"].si}) == []
    fence = one(view, "keep-clear")
    tail = given["tail_radius"].si if "tail_radius" in given else 0.66 * given["track_length"].si
    for x, y in fence.points:
        assert math.hypot(x, y) == pytest.approx(tail + given["person_distance"].si, abs=4 * view.grain)
    with pytest.raises(DrawingRefused):
        scene(ident="x", **given | {"reach_clear": L(1.1 * given["reach_clear"].si)})


# ---- signals ------------------------------------------------------------------------------------------


def hands(view: Seen) -> tuple[float, float, float]:
    """How far the person reaches to the left and to the right, and how high, in shares of their height."""
    someone = one(view, "person")
    return someone.left / signals.TALL, someone.right / signals.TALL, someone.high / signals.TALL


def test_each_sign_is_given_as_its_sentence_says() -> None:
    made = signals.signs_film(ident="x")
    said = {sign.name: hands(view) for sign, view in zip(signals.SIGNS, views(made), strict=True)}
    assert [frame.words.us.partition(".")[0] for frame in made.frames] == [sign.name for sign in signals.SIGNS]
    for sign in signals.SIGNS:
        left, right, high = said[sign.name]
        level = "arm out" in sign.given or "arms out" in sign.given
        assert (right > 0.42) == level, sign.name
        assert (left < -0.42) == ("Both arms out" in sign.given), sign.name
        # both arms up is emergency stop elsewhere: no sign of this chart lifts a hand over the hat
        assert high <= 1.001, sign.name
        if not level and sign.name != "Load up":
            assert all(hand[1] <= 0.83 for _, hand, _ in sign.arms), sign.name
    assert len({(*(round(v, 3) for v in h), s.moves) for s, h in zip(signals.SIGNS, said.values(), strict=True)}) == len(signals.SIGNS)


def test_the_chart_shows_every_sign_with_its_name_and_bare_with_none() -> None:
    named, bare = signals.chart(ident="x").to_svg(), signals.chart(ident="x", bare=True).to_svg()
    for sign in signals.SIGNS:
        assert f">{sign.name}<" in named and f">{sign.name}<" not in bare
    assert len(read(named)[0].all("person")) == len(signals.SIGNS)


@pytest.mark.parametrize("letters", ["{}", "{} en otra lengua"])
def test_names_of_signs_stand_below_their_persons_and_over_none_in_a_language_of_more_letters(letters: str) -> None:
    names = {sign.name: letters.format(sign.name) for sign in signals.SIGNS}
    with using(Catalogue("xx", names)):
        svg = signals.chart(ident="x").to_svg()
    (seen,) = read(svg)
    people = [tuple(v * seen.scale for v in (p.left, -p.high, p.right, -p.low)) for p in seen.all("person")]
    written = [(float(x), float(y), text) for x, y, text in re.findall(r'<text [^>]*?x="([\d.]+)" y="([\d.]+)"[^>]*>([^<]+)</text>', svg)]
    for name, (left, top, right, foot) in zip(names.values(), people, strict=True):
        below = [t for x, y, t in written if left - 40 < x < right + 40 and foot < y < foot + 3.2 * FONT * LINE_HEIGHT]
        assert " ".join(below).startswith(name), (name, below)
        for x, y, text in written:
            half = text_width(text) / 2
            assert x + half < left or x - half > right or y < top or y - 0.8 * FONT > foot, (text, name)


@pytest.mark.parametrize("size", SIZES)
def test_who_guides_a_truck_stands_off_its_way_and_it_stands_while_nobody_is_seen(size: str) -> None:
    made, given = film("guide_film", size)
    shown = views(made)
    keep = given["person_distance"].si
    for view in shown:
        assert one(view, "person").apart_across(one(view, "truck")) >= 0
        assert one(view, "person").low - one(view, "truck").high >= keep - view.grain
    rears = [one(view, "truck").left for view in shown]
    assert rears[2] == pytest.approx(rears[3], abs=1e-6) and rears[0] > rears[2] > rears[5] > rears[6]
    # the rear of the body is the first of it, and stop comes so far before the line
    assert rears[5] == pytest.approx(given["rolls"].si, abs=0.05 * (given["body_length"].si if "body_length" in given else 5.5))
    assert given["rolls"].us in made.frames[5].words.us
    # what it goes till it stands ends at the line
    assert rears[6] == pytest.approx(0.0, abs=0.05 * (given["body_length"].si if "body_length" in given else 5.5))


@pytest.mark.parametrize("size", SIZES)
def test_who_steps_behind_the_truck_is_marked_wrong_and_under_it_at_last(size: str) -> None:
    made, given = film("lost_film", size)
    shown = views(made)
    assert all(view.way == "wrong" for view in shown)
    someone, truck = one(shown[1], "person"), one(shown[1], "truck")
    assert someone.right < truck.left + 0.1 and truck.low < someone.low < someone.high < truck.high
    assert truck.left - someone.right < given["rolls"].si
    assert one(shown[2], "truck").left < (someone.left + someone.right) / 2 + 0.4
