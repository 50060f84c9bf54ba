"""Every drawing, for three very different machines: readable, honest, and the same each time."""

from __future__ import annotations

import importlib
import inspect
import itertools
import pkgutil
import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import combinations

import pytest

from generator.drawing import Canvas, scenes
from generator.drawing.boxes import WIDTH, overlap
from generator.drawing.view import SPOT

from .honest import dimensions
from .samples import SAMPLES, SIZES, draw, odd

SVG = "{http://www.w3.org/2000/svg}"
WITH_SPOTS = sorted(name for name, (scene, _) in SAMPLES.items() if "spots" in inspect.signature(scene).parameters)
ALL = [(name, size, False) for name in SAMPLES for size in SIZES] + [(name, size, True) for name in WITH_SPOTS for size in SIZES]
every = pytest.mark.parametrize(("name", "size", "spots"), ALL)


@cache
def drawn(name: str, size: str, spots: bool) -> tuple[Canvas, str]:
    canvas = draw(name, size, spots=True) if spots else draw(name, size)
    return canvas, canvas.to_svg()


def root(name: str, size: str, spots: bool) -> ET.Element:
    return ET.fromstring(drawn(name, size, spots)[1])


def test_every_scene_is_sampled() -> None:
    offered = {
        function
        for found in pkgutil.iter_modules(scenes.__path__)
        for module in [importlib.import_module(f"{scenes.__name__}.{found.name}")]
        for name, function in vars(module).items()
        if inspect.isfunction(function)
        and function.__module__ == module.__name__
        and function.__module__.startswith(scenes.__name__)
        and inspect.signature(function).return_annotation == "Canvas"
        and not name.startswith("_")
    }
    assert offered == {scene for scene, _ in SAMPLES.values()}
    assert len(offered) >= 25


@every
def test_numbers_in_rings_do_not_run_into_each_other(name: str, size: str, spots: bool) -> None:
    for view in root(name, size, spots).iter(f"{SVG}g"):
        rings = [
            tuple(float(ring.attrib[k]) for k in ("x", "y", "width", "height"))
            for group in view.findall(f"{SVG}g")
            if "badge" in group.attrib.get("class", "").split()
            for ring in group.findall(f"{SVG}rect")
        ]
        for (ax, ay, aw, ah), (bx, by, bw, bh) in itertools.combinations(rings, 2):
            assert ax + aw <= bx or bx + bw <= ax or ay + ah <= by or by + bh <= ay


@every
def test_is_well_formed_and_named(name: str, size: str, spots: bool) -> None:
    svg = root(name, size, spots)
    assert svg.tag == f"{SVG}svg"
    assert svg.get("role") == ("group" if spots else "img")
    identifiers = [e.get("id") for e in svg.iter() if e.get("id")]
    assert len(identifiers) == len(set(identifiers))
    by_id = {e.get("id"): e for e in svg.iter() if e.get("id")}
    title, desc = (by_id[key] for key in (svg.get("aria-labelledby") or "").split())
    assert title.tag == f"{SVG}title" and desc.tag == f"{SVG}desc"
    assert len(title.text or "") > 8 and len(desc.text or "") > 30
    prefix = svg.get("id")
    assert prefix and all(key and key.startswith(prefix) for key in identifiers)
    used = set(re.findall(r"url\(#([^)]+)\)", drawn(name, size, spots)[1]))
    assert used <= set(identifiers)


@every
def test_is_the_same_every_time(name: str, size: str, spots: bool) -> None:
    again = draw(name, size, spots=True) if spots else draw(name, size)
    again.text_boxes()
    assert again.to_svg() == drawn(name, size, spots)[1]
    assert again.to_svg() == again.to_svg()


@every
def test_no_colour_of_its_own(name: str, size: str, spots: bool) -> None:
    for element in root(name, size, spots).iter():
        for key in ("fill", "stroke", "color", "style", "stop-color"):
            value = element.get(key)
            assert value is None or value in {"none", "currentColor", "inherit"} or (key == "fill" and value.startswith("url(#")), (
                element.tag,
                key,
                value,
            )


@every
@pytest.mark.parametrize("system", ["us", "si"])
def test_texts_keep_apart_and_inside(name: str, size: str, spots: bool, system: str) -> None:
    canvas, svg = drawn(name, size, spots)
    boxes = canvas.text_boxes(system)
    assert boxes
    width, height = (float(v) for v in (ET.fromstring(svg).get("viewBox") or "").split()[2:])
    for box in boxes:
        assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= width and box.y1 <= height, box
    for a, b in combinations(boxes, 2):
        assert not overlap(a.box, b.box), (a, b)


@every
def test_text_can_be_read_on_a_phone(name: str, size: str, spots: bool) -> None:
    svg = root(name, size, spots)
    width = float((svg.get("viewBox") or "").split()[2])
    texts = list(svg.iter(f"{SVG}text"))
    assert texts
    for text in texts:
        assert float(text.get("font-size") or 0) * 340 / width >= 11
        assert (text.text or "").strip()


@every
def test_both_systems_are_written(name: str, size: str, spots: bool) -> None:
    shown = {"us": 0, "si": 0}
    for text in root(name, size, spots).iter(f"{SVG}text"):
        for system in shown:
            shown[system] += system in (text.get("class") or "").split()
    assert (shown["us"] > 0) == (shown["si"] > 0)


def test_there_are_dimensions_and_bars_to_look_at() -> None:
    """The two tests below look at what is marked in a drawing; the marks are there."""
    both = {"data-ends": 15, "bar": 4}  # in how many scenes there are, of every size
    for mark, least in both.items():
        with_it = [
            name for name in SAMPLES
            if all(any(mark in e.attrib or mark in (e.get("class") or "").split() for e in root(name, size, False).iter()) for size in SIZES)
        ]  # fmt: skip
        assert len(with_it) >= least, (mark, with_it)


@every
def test_dimensions_are_honest(name: str, size: str, spots: bool) -> None:
    """The length in the drawing, by the scale it states, is the length it tells."""
    for view in root(name, size, spots).iter(f"{SVG}g"):
        if view.get("class") != "view":
            continue
        for metres, told, scale in dimensions(view):
            # Coordinates are written to a hundredth of a unit: allow for that on short lines.
            assert metres == pytest.approx(told, rel=0.005, abs=0.02 / scale)


@every
def test_bars_share_one_scale(name: str, size: str, spots: bool) -> None:
    for view in root(name, size, spots).iter(f"{SVG}g"):
        if view.get("class") != "view":
            continue
        bars = [
            (float(bar.attrib["data-px"]), float(bar.attrib["data-si"]), bar.attrib["d"])
            for bar in view.iter(f"{SVG}path")
            if "bar" in (bar.get("class") or "").split()
        ]
        if not bars:
            continue
        longest = max(bars, key=lambda bar: bar[1])
        for px, value, d in bars:
            assert px == pytest.approx(longest[0] * value / longest[1], rel=0.005, abs=0.02)
            points = [tuple(map(float, pair.split(","))) for pair in re.findall(r"[-\d.]+,[-\d.]+", d)]
            sides = {round(max(p[k] for p in points) - min(p[k] for p in points), 1) for k in (0, 1)}
            assert any(abs(side - px) <= 0.11 for side in sides)


@every
def test_scale_is_stated(name: str, size: str, spots: bool) -> None:
    svg = root(name, size, spots)
    texts = " ".join(t.text or "" for t in svg.iter(f"{SVG}text"))
    views = [g for g in svg.iter(f"{SVG}g") if g.get("class") == "view"]
    scale_bars = [p for p in svg.iter(f"{SVG}path") if p.get("class") == "scale-bar"]
    assert views
    assert scale_bars or "one scale" in texts or "not to scale" in texts
    assert len(scale_bars) % 2 == 0
    if scale_bars:
        scales = {float(v.get("data-scale") or "nan") for v in views}
        for bar in scale_bars:
            drawn_px = re.search(r"h([-\d.]+)m", bar.attrib["d"])
            assert drawn_px
            assert any(float(drawn_px[1]) == pytest.approx(float(bar.attrib["data-si"]) * s, abs=0.02) for s in scales)
    if any("data-scale-y" in v.attrib for v in views):
        assert "Height drawn" in texts.replace("\n", " ") or "Height" in texts


SLOPE_SCENES = ["machine_on_side_slope", "building_a_slope", "if_it_slides", "track_width"]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SLOPE_SCENES)
def test_slopes_say_that_they_are_not_allowed_slopes(name: str, size: str) -> None:
    svg = root(name, size, False)
    bold = " ".join(t.text or "" for t in svg.iter(f"{SVG}text") if t.get("font-weight"))
    assert "Not an allowed slope." in bold
    assert "Not an allowed slope." in (svg.find(f"{SVG}desc").text or "")  # type: ignore[union-attr]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", WITH_SPOTS)
def test_spots_can_be_hit_and_answered_on_paper(name: str, size: str) -> None:
    canvas, text = drawn(name, size, True)
    svg = ET.fromstring(text)
    groups = [g for g in svg.iter(f"{SVG}g") if g.get("class") == "spot"]
    found = canvas.spots()
    assert len(groups) == len(found) >= 3
    assert [spot.letter for spot in found] == [chr(ord("A") + k) for k in range(len(found))]
    width, height = (float(v) for v in (svg.get("viewBox") or "").split()[2:])
    for group, spot in zip(groups, found, strict=True):
        assert group.get("data-spot") == spot.ident
        letters = [t.text for t in group.iter(f"{SVG}text")]
        assert letters == [spot.letter]
        x0, y0, x1, y1 = spot.box
        assert min(x1 - x0, y1 - y0) * 340 / WIDTH >= 44
        assert min(x1 - x0, y1 - y0) >= SPOT - 1e-6
        assert x0 >= 0 and y0 >= 0 and x1 <= width and y1 <= height
    for a, b in combinations(found, 2):
        assert not overlap(a.box, b.box)


@pytest.mark.parametrize(
    ("name", "given_away"),
    [
        ("slot_long_section", "nearest the spoil."),
        ("loading_order", "far end"),
        ("if_it_slides", "turns downhill"),
        ("trench_walls", "back from the edge"),
    ],
)
def test_a_question_does_not_tell_its_answer(name: str, given_away: str) -> None:
    assert given_away in drawn(name, "middle", False)[1]
    asked = root(name, "middle", True)
    read_out = (asked.find(f"{SVG}desc").text or "") + " ".join(  # type: ignore[union-attr]
        t.text or "" for t in asked.iter(f"{SVG}text")
    )
    assert given_away not in read_out


def test_two_drawings_share_no_id() -> None:
    seen: set[str] = set()
    for name in SAMPLES:
        ids = {e.attrib["id"] for e in root(name, "tiny", False).iter() if "id" in e.attrib}
        assert not ids & seen
        seen |= ids


@pytest.mark.parametrize("seed", range(4))
def test_odd_machines_can_be_drawn_too(seed: int) -> None:
    names = set()
    for name, arguments in odd(seed):
        names.add(name)
        for extra in ({}, {"spots": True}) if name in WITH_SPOTS else ({},):
            canvas = SAMPLES[name][0](ident="x", **arguments, **extra)
            height = float(ET.fromstring(canvas.to_svg()).attrib["viewBox"].split()[3])
            assert height < 1200
            for system in ("us", "si"):
                boxes = canvas.text_boxes(system)
                for box in boxes:
                    assert box.x0 >= 0 and box.y0 >= 0, (name, arguments, box)
                    assert box.x1 <= WIDTH and box.y1 <= height, (name, arguments, box)
                for a, b in combinations(boxes, 2):
                    assert not overlap(a.box, b.box), (name, arguments, a, b)
    assert names == {name for name in SAMPLES if SAMPLES[name][1][0]}
