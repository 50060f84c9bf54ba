"""Scenes in steps: each step is whole, light and lawful, and packing changes nothing that is seen."""

from __future__ import annotations

import gzip
import inspect
import math
import re
import xml.etree.ElementTree as ET
from functools import cache
from importlib import import_module
from itertools import combinations, pairwise
from pkgutil import iter_modules

import pytest

from generator.drawing import Canvas, scenes
from generator.drawing.boxes import overlap
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import MOST_FRAMES, Film, Frame, frames_of, is_film, picked, strip, thinned
from generator.drawing.measure import Measure, Words
from generator.drawing.picture import read

from .honest import dimensions
from .samples import FILMS, SIZES
from .unpacked import SVG, same, steps

EVERY = [(name, size) for name in FILMS for size in SIZES]
every = pytest.mark.parametrize(("name", "size"), EVERY)
HEAVIEST = 20_000  # bytes of a figure, gzipped


@cache
def drawn(name: str, size: str) -> tuple[Film, str]:
    scene, arguments = FILMS[name]
    film = scene(ident=f"{name}-{size}".replace("_", "-"), **arguments[SIZES.index(size)])
    return film, film.to_svg()


def test_every_film_is_sampled() -> None:
    offered = {
        f for one in iter_modules(scenes.__path__) for module in (import_module(f"{scenes.__name__}.{one.name}"),) for f in vars(module).values()
        if inspect.isfunction(f) and f.__module__ == module.__name__ and f.__module__.startswith(scenes.__name__)
        and inspect.signature(f).return_annotation == "Film" and not f.__name__.startswith("_")
    }  # fmt: skip
    assert offered == {scene for scene, _ in FILMS.values()}


@every
def test_a_step_taken_out_of_the_pack_is_the_step_as_drawn(name: str, size: str) -> None:
    film, svg = drawn(name, size)
    assert is_film(svg)
    ours, strangers = frames_of(svg), steps(svg)
    assert len(ours) == len(strangers) == len(film.frames)
    for frame, one, other in zip(film.frames, ours, strangers, strict=True):
        whole = ET.fromstring(frame.canvas.to_svg())
        assert same(other, whole) == ""
        assert same(ET.fromstring(one), whole) == ""
        assert "<use" not in one


@every
def test_parts_are_read_where_they_were_drawn(name: str, size: str) -> None:
    film, svg = drawn(name, size)
    for frame, one in zip(film.frames, frames_of(svg), strict=True):
        for found, wanted in zip(read(one), read(frame.canvas.to_svg()), strict=True):
            assert [(p.name, p.facts) for p in found.parts] == [(p.name, p.facts) for p in wanted.parts]
            for part, other in zip(found.parts, wanted.parts, strict=True):
                for a, b in zip(part.points, other.points, strict=True):
                    assert math.dist(a, b) <= 0.05 / found.scale


@every
def test_is_light(name: str, size: str) -> None:
    film, svg = drawn(name, size)
    assert len(gzip.compress(svg.encode())) < HEAVIEST
    apart = sum(len(gzip.compress(frame.canvas.to_svg().encode())) for frame in film.frames)
    assert len(gzip.compress(svg.encode())) < apart or len(film.frames) < 4


@every
def test_every_id_is_there_once_and_every_reference_leads_somewhere(name: str, size: str) -> None:
    film, svg = drawn(name, size)
    root = ET.fromstring(svg)
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert len(ids) == len(set(ids)) and all(i.startswith(film.ident) for i in ids)
    assert set(re.findall(r'(?:url\(|href=")#([\w-]+)', svg)) <= set(ids)
    assert root.get("role") == "img" and [e.tag for e in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert [e.get("data-step") for e in root.iter() if "data-step" in e.attrib] == [str(k + 1) for k in range(len(film.frames))]
    # what a style sheet has to reach inside a use goes by a name of its own
    assert not {"us", "si", "paper", "txt"} & {c for e in root.iter() for c in (e.get("class") or "").split()}


@every
def test_every_step_says_its_own_sentence(name: str, size: str) -> None:
    film, svg = drawn(name, size)
    said = [e.attrib["data-says"] for e in ET.fromstring(svg).iter() if "data-says" in e.attrib]
    assert said == [frame.words.us for frame in film.frames]
    assert len(set(said)) == len(said)
    for frame in film.frames:
        for measure in frame.told:
            assert isinstance(measure, Measure)
        assert any(m.us in frame.words.us for m in frame.told) or not re.search(r"\d", frame.words.us)


@every
@pytest.mark.parametrize("system", ["us", "si"])
def test_texts_of_every_step_keep_apart_and_inside(name: str, size: str, system: str) -> None:
    for frame in drawn(name, size)[0].frames:
        boxes = frame.canvas.text_boxes(system)
        for box in boxes:
            assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= frame.canvas.width and box.y1 <= frame.canvas.height, box
        for a, b in combinations(boxes, 2):
            assert not overlap(a.box, b.box), (a, b)


@every
def test_dimensions_of_every_step_are_honest(name: str, size: str) -> None:
    for one in steps(drawn(name, size)[1]):
        for view in one.iter(f"{SVG}g"):
            for metres, told, scale in dimensions(view) if view.get("class") == "view" else ():
                assert metres == pytest.approx(told, rel=0.005, abs=0.03 / scale)


@every
def test_is_the_same_every_time(name: str, size: str) -> None:
    scene, arguments = FILMS[name]
    film, svg = drawn(name, size)
    assert scene(ident=film.ident, **arguments[SIZES.index(size)]).to_svg() == svg == film.to_svg()


@pytest.mark.parametrize("name", FILMS)
def test_a_step_drawn_alone_is_the_same_before_and_after_the_whole_is_written(name: str) -> None:
    """So a kept film beside a step that is drawn anew, or the other way round, is what drawing both gives."""
    scene, arguments = FILMS[name]
    given = arguments[SIZES.index("middle")]
    before, after = (scene(ident="x", **given) for _ in range(2))
    whole = after.to_svg()
    steps_before, steps_after = ([(f.canvas.to_svg(), f.canvas.scales) for f in film.frames] for film in (before, after))
    assert steps_before == steps_after
    assert (before.to_svg(), before.scales) == (whole, after.scales) == (after.to_svg(), after.scales)


# ---- the wrong ways to make one ----------------------------------------------------------------------


def _canvas(ident: str = "x", wide: float = 10.0) -> Canvas:
    canvas = Canvas(ident, title="A thing", desc="It stands on the ground.", steady=True)
    canvas.view((0, 0, wide, 2)).rect(0, 0, 1, 1)
    return canvas


def test_what_is_no_film_is_refused() -> None:
    good = Frame(_canvas(), "It stands.")
    Film("x", "A thing", "It stands on the ground.", [good, good])
    for frames in (
        [good], [good] * (MOST_FRAMES + 1), [good, Frame(_canvas(), " ")], [good, Frame(_canvas(), Words("It stands.", ""))],
        [good, Frame(_canvas("y"), "It stands.")], [good, Frame(_canvas(wide=11), "It stands.")],
    ):  # fmt: skip
        with pytest.raises(DrawingRefused):
            Film("x", "A thing", "It stands on the ground.", frames)


def test_a_film_with_regions_to_point_at_is_refused() -> None:
    canvas = _canvas()
    canvas.views[0].spot("here", "here", [(5, 1)])
    with pytest.raises(DrawingRefused):
        Film("x", "A thing", "It stands on the ground.", [Frame(canvas, "It stands."), Frame(canvas, "It stands.")])


@pytest.mark.parametrize("turned", [0.0, 0.3, 2.0])
def test_a_thing_that_moves_is_written_once(turned: float) -> None:
    frames = []
    for k in range(5):
        canvas = Canvas("x", title="A thing", desc="It moves.", steady=True)
        view = canvas.view((0, 0, 40, 20))
        a = turned * k

        def placed(*points: tuple[float, float], k: int = k, a: float = a) -> list[tuple[float, float]]:
            return [(10 + 3.01 * k + x * math.cos(a) - y * math.sin(a), 9 + x * math.sin(a) + y * math.cos(a)) for x, y in points]

        with view.part("truck"):
            view.body(placed((0, 0), (4, 0), (4, 2), (3, 2.5), (0, 2)), fill="shade")
            # what shares a path moves with the rest
            view.bodies([placed((0, 0), (1, 0), (0, 1)), placed((2, 0), (3, 0), (2, 1))])
            view.strokes([placed((0.5, 1.5), (1, 1.5)), placed((2, 1.5), (2.4, 1.7), (3, 1.5))])
            view.circle(placed((0, 0))[0], 0.5, fill="paper")
        frames.append(Frame(canvas, f"Step {k}."))
    svg = Film("x", "A thing", "It moves.", frames).to_svg()
    assert svg.count("<circle") == 1 and svg.count("<path") < 10
    for frame, one in zip(frames, steps(svg), strict=True):
        assert same(one, ET.fromstring(frame.canvas.to_svg())) == ""


def test_a_thing_of_another_shape_is_written_again() -> None:
    frames = []
    for k in range(3):
        canvas = Canvas("x", title="A thing", desc="It grows.", steady=True)
        view = canvas.view((0, 0, 40, 20))
        with view.part("spoil"):
            view.body([(0, 0), (10, 4 + k), (20, 0)], fill="spoil")
            view.circle((10, 2), 0.5, fill="paper")
        frames.append(Frame(canvas, f"Step {k}."))
    svg = Film("x", "A thing", "It grows.", frames).to_svg()
    assert svg.count('<g data-part="spoil"') == 3
    for frame, one in zip(frames, steps(svg), strict=True):
        assert same(one, ET.fromstring(frame.canvas.to_svg())) == ""


# ---- which steps are shown ---------------------------------------------------------------------------


@pytest.mark.parametrize(("count", "shown", "apart"), [(2, 2, 1), (60, 60, 1), (61, 31, 2), (119, 60, 2), (120, 41, 3), (300, 51, 6)])
def test_of_many_steps_some_are_shown(count: int, shown: int, apart: int) -> None:
    chosen, by = picked(count)
    assert (len(chosen), by) == (shown, apart)
    assert chosen[0] == 0 and chosen[-1] == count - 1 and len(chosen) <= MOST_FRAMES
    assert {b - a for a, b in pairwise(chosen)} <= {apart, (count - 1) % apart}


def test_what_is_left_out_is_said() -> None:
    assert thinned(1, "push") == ""
    assert thinned(3, "push") == "One push of every 3 is shown, and the last."
    assert thinned(12, "pass") == "One pass of every 12 is shown, and the last."


@pytest.mark.parametrize(
    ("count", "on_paper"), [(2, [1, 2]), (6, [1, 2, 3, 4, 5, 6]), (11, [1, 3, 5, 7, 9, 11]), (54, [1, 12, 22, 33, 43, 54])]
)
def test_six_steps_stand_on_paper(count: int, on_paper: list[int]) -> None:
    assert strip(count) == on_paper
