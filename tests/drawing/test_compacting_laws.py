"""Layers, rollers and edges, measured in the finished drawings."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from shapely import LineString, Polygon, unary_union

from generator.drawing import Canvas
from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import compacting

from .samples import FILMS, SAMPLES, L

EDGE, DRUM = 1.83, 2.13
FIGURES = {"limits.edge_distance": EDGE, "job.roller_width": DRUM, "machine.track_length": 3.05, "machine.blade_height": 1.2}


def film(name: str, size: int = 1, **more: object) -> Film:
    scene, arguments = FILMS[name]
    made = scene(ident="x", **{**arguments[size], **more})
    assert isinstance(made, Film)
    return made


def seen(made: Film) -> list[Seen]:
    return [read(one)[0] for one in frames_of(made.to_svg())]


def shape(*parts: Part) -> Polygon:
    return unary_union([Polygon(s.points) for part in parts for s in part.shapes if len(s.points) > 2])


@pytest.mark.parametrize("size", range(3))
def test_the_right_way_keeps_back_from_the_edge_in_every_step(size: int) -> None:
    edge = FILMS["edge_kept_film"][1][size]["edge_distance"].si
    for view in seen(film("edge_kept_film", size)):
        (crest,) = view.all("crest")
        for drum in view.all("drum", "machine"):
            assert drum.apart_across(crest) >= edge - 2 * view.grain
    svg = film("edge_kept_film", size).to_svg()
    for one in frames_of(svg):
        assert not broken(one, {"limits.edge_distance": edge, "job.roller_width": FILMS["edge_kept_film"][1][size]["roller_width"].si})


def test_nearer_than_the_limit_is_a_breach_of_the_drum() -> None:
    one = frames_of(film("edge_kept_film").to_svg())[0]
    assert not broken(one, FIGURES)
    assert {b.law for b in broken(one, FIGURES | {"limits.edge_distance": EDGE + 0.4})} == {"edge"}
    assert {b.law for b in broken(one, FIGURES | {"job.roller_width": 1.2 * DRUM})} == {"size"}


def test_the_lanes_lap_by_what_is_said() -> None:
    views = seen(film("edge_kept_film"))
    lap = FILMS["edge_kept_film"][1][1]["overlap"].si
    drums = [view.all("drum")[0] for view in views if view.all("drum")]
    assert len(drums) == 3
    for before, after in pairwise(drums):
        assert before.left < after.right < before.right
        assert after.right - before.left == pytest.approx(lap, abs=3 * views[0].grain)


@pytest.mark.parametrize("size", range(3))
def test_the_wrong_way_stands_at_the_very_edge_and_then_goes_over(size: int) -> None:
    first, leans, over = seen(film("over_the_edge_film", size))
    assert {v.way for v in (first, leans, over)} == {"wrong"}
    (crest,) = first.all("crest")
    drum = first.all("drum")[0]
    assert drum.apart_across(crest) <= 2 * first.grain
    assert drum.extent[1] < drum.extent[0]
    # it leans out, then lies on its side below the top
    assert max(x for s in leans.all("machine")[0].shapes for x, _ in s.points) > crest.left
    lying = over.all("drum")[0]
    assert lying.left > -0.3 * drum.extent[0] and lying.low < -0.2 * drum.extent[1]
    assert lying.extent[1] > lying.extent[0]
    # nobody is in any of the pictures
    assert not [p for v in (first, leans, over) for p in v.all("person")]


def test_plain_does_not_tell_that_it_is_wrong() -> None:
    plain = film("over_the_edge_film", plain=True).frames[0].canvas.to_svg()
    assert "nobody can say" not in plain and ">Edge<" not in plain
    assert "nobody can say" in film("over_the_edge_film").frames[0].canvas.to_svg()


@pytest.mark.parametrize("size", range(3))
def test_a_layer_is_drawn_as_thick_as_it_is_told(size: int) -> None:
    made = film("layer_film", size)
    arguments = FILMS["layer_film"][1][size]
    views = seen(made)
    grain = views[0].grain
    ground = views[0].all("truck")[0].low
    # the dozer's tracks stand on the loose layer while it spreads, and the drum goes down pass by pass
    spreads = [v for v in views if v.all("blade") and v.all("tracks")[0].low > ground + 2 * grain]
    assert len(spreads) == 3
    for view in spreads:
        assert view.all("blade")[0].low == pytest.approx(ground + arguments["loose_layer"].si, abs=3 * grain)
    rolls = [v.all("drum")[0].low - ground for v in views if v.all("drum")]
    assert rolls == sorted(rolls, reverse=True) and len(rolls) == 3
    assert rolls[0] < arguments["loose_layer"].si + 3 * grain
    assert rolls[-1] == pytest.approx(arguments["layer"].si, abs=4 * grain)


@pytest.mark.parametrize("size", range(3))
def test_the_heap_holds_a_share_of_the_load_that_stays_the_same(size: int) -> None:
    views = seen(film("layer_film", size))
    whole = [v for v in views if v.all("spoil")]
    left = [shape(*v.all("spoil")[:1]).area for v in whole[1:4]]
    assert left == sorted(left, reverse=True)
    assert left[1] / left[0] == pytest.approx(0.7, abs=0.04)


@pytest.mark.parametrize("size", range(3))
def test_nobody_on_foot_while_a_machine_works(size: int) -> None:
    views = seen(film("layer_film", size))
    ground = views[0].all("truck")[0].low
    for view in views:
        for one in view.all("person"):
            assert not view.all("drum") and not view.all("truck")
            for other in view.all("tracks"):
                assert one.apart_across(other) > 1.0
                assert other.low == pytest.approx(ground, abs=3 * view.grain)  # it stands, off the layer


def test_thicker_packed_than_loose_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="thicker packed"):
        film("layer_film", layer=L(0.3), loose_layer=L(0.2))


@pytest.mark.parametrize("size", range(3))
def test_one_thick_layer_sinks_by_what_is_told(size: int) -> None:
    arguments = FILMS["one_thick_layer_film"][1][size]
    first, second, third = seen(film("one_thick_layer_film", size))
    assert {v.way for v in (first, second, third)} == {"wrong"}
    assert first.all("drum")[0].low == second.all("drum")[0].low and not third.all("drum")
    told = [float(m.attrib["data-si"]) for one in frames_of(film("one_thick_layer_film", size).to_svg()) for m in ET.fromstring(one).iter()
            if "data-ends" in m.attrib]  # fmt: skip
    assert told == pytest.approx([arguments["fill_depth"].si] * 2 + [arguments["sinks"].si])
    with pytest.raises(DrawingRefused, match="all its depth"):
        film("one_thick_layer_film", size, sinks=arguments["fill_depth"])


@pytest.mark.parametrize("size", range(3))
@pytest.mark.parametrize("spots", [False, True])
def test_from_above_everything_keeps_back_from_both_edges(size: int, spots: bool) -> None:
    scene, samples = SAMPLES["lanes"]
    made = scene(ident="x", **samples[size], spots=spots)
    assert isinstance(made, Canvas)
    (view,) = read(made.to_svg())
    crests = [LineString(c.shapes[0].points) for c in view.all("crest")]
    assert len(crests) == 2
    edge = samples[size]["edge_distance"].si
    for part in view.all("drum", "machine", "tracks", "truck"):
        for crest in crests:
            assert shape(part).distance(crest) >= edge - 3 * view.grain, part.name
    # none of them touch
    drum, blade, truck, heap = (shape(*view.all(n)) for n in ("drum", "blade", "truck", "spoil"))
    assert not drum.intersects(blade) and not blade.intersects(truck) and not heap.intersects(truck) and not heap.intersects(blade)
    figures = {
        "limits.edge_distance": edge,
        "job.roller_width": samples[size]["roller_width"].si,
        "truck.overall_width": samples[size]["truck_width"].si,
    }
    assert not broken(made.to_svg(), figures)


def test_a_strip_too_narrow_to_keep_back_is_refused() -> None:
    scene, samples = SAMPLES["lanes"]
    with pytest.raises(LeftOut, match="too narrow"):
        scene(ident="x", **{**samples[1], "fill_width": L(2 * EDGE + 2.0)})


def test_an_overlap_as_wide_as_the_drum_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="overlap"):
        compacting.edge_kept_film(ident="x", roller_width=L(2), edge_distance=L(2), overlap=L(2))
