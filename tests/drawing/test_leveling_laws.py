"""Laser, rod, string and blade, measured in the finished drawings."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from generator.drawing import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.picture import read
from generator.drawing.scenes import leveling

from .samples import FILMS, SAMPLES, L

SVG = "{http://www.w3.org/2000/svg}"


def film(name: str, size: int = 1, **more: object) -> Film:
    scene, arguments = FILMS[name]
    made = scene(ident="x", **{**arguments[size], **more})
    assert isinstance(made, Film)
    return made


def dimensions(svg: str) -> list[tuple[float, float, float]]:
    """Value told, length across and length up of each dimension, the last two in metres."""
    found = []
    for view in ET.fromstring(svg).iter(f"{SVG}g"):
        if view.get("class") != "view":
            continue
        scale = float(view.attrib["data-scale"])
        up = float(view.get("data-scale-y", scale))
        for mark in view.iter(f"{SVG}g"):
            if "data-ends" in mark.attrib:
                x0, y0, x1, y1 = map(float, mark.attrib["data-ends"].split())
                found.append((float(mark.attrib["data-si"]), abs(x1 - x0) / scale, abs(y1 - y0) / up))
    return found


@pytest.mark.parametrize("size", range(3))
def test_readings_are_drawn_upright_and_to_scale(size: int) -> None:
    for one in frames_of(film("rod_film", size).to_svg()):
        scale = float(ET.fromstring(one).attrib["data-scale"])
        for told, across, up in dimensions(one):
            assert up == pytest.approx(told, abs=0.05 / scale) and across < 0.05 / scale


def test_cut_or_fill_goes_by_the_heights() -> None:
    said = " ".join(f.words.us for f in film("rod_film").frames)
    assert ": cut." in said and "takes it down" in said
    filled = FILMS["rod_film"][1][2]
    assert filled["ground"].si < filled["design"].si
    said = " ".join(f.words.us for f in film("rod_film", 2).frames)
    assert ": fill." in said and "brings it up" in said


@pytest.mark.parametrize("size", range(3))
def test_nobody_is_near_while_the_dozer_works(size: int) -> None:
    for name in ("rod_film", "check_back_film"):
        for one in frames_of(film(name, size).to_svg()):
            (view,) = read(one)
            for blade in view.all("blade", "tracks"):
                for someone in view.all("person"):
                    assert someone.apart_across(blade) > 3.0, name
    # the step with the working dozer has nobody in it at all
    works = [v for v in (read(one)[0] for one in frames_of(film("rod_film", size).to_svg())) if v.all("blade")]
    assert len(works) == 1 and not works[0].all("person")


@pytest.mark.parametrize("size", range(3))
def test_the_first_and_the_last_reading_are_one(size: int) -> None:
    frames = film("rod_film", size).frames
    backsight = FILMS["rod_film"][1][size]["backsight"]
    assert backsight in frames[0].told and backsight in frames[-1].told


@pytest.mark.parametrize("size", range(3))
def test_films_keep_the_laws_of_the_site(size: int) -> None:
    arguments = FILMS["rod_film"][1][size]
    figures = {f"machine.{n}": arguments[n].si for n in ("track_length", "blade_height") if n in arguments}
    for name in ("rod_film", "check_back_film"):
        for one in frames_of(film(name, size).to_svg()):
            assert not broken(one, figures)


def test_a_line_below_the_ground_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="through the ground"):
        film("rod_film", instrument_height=L(6.0))


def test_a_good_check_goes_on_and_a_bad_one_stops() -> None:
    good, bad = film("check_back_film", 0), film("check_back_film", 1)
    assert len(good.frames) == 3 and "good" in good.frames[-1].words.us
    assert len(bad.frames) == 4 and "stands, blade down" in bad.frames[2].words.us
    with pytest.raises(DrawingRefused, match="not the difference"):
        film("check_back_film", moved=L(1.0))


@pytest.mark.parametrize("size", range(3))
def test_a_floor_off_level_is_off_by_its_lean_times_the_distance(size: int) -> None:
    arguments = FILMS["off_level_film"][1][size]
    made = film("off_level_film", size)
    errors = [e.si for e in arguments["errors"][1:]]
    assert len(made.frames) == 1 + len(errors)
    for one, wanted in zip(frames_of(made.to_svg())[1:], errors, strict=True):
        (view,) = read(one)
        assert view.way == "wrong" and view.scale_y > view.scale
        ((told, across, up),) = dimensions(one)
        assert told == pytest.approx(wanted) and across < 0.05 / view.scale
        assert up == pytest.approx(wanted, abs=0.05 / view.scale_y)
    said = [f.words.us for f in made.frames]
    past = [k for k, text in enumerate(said) if "This site allows" in text]
    allowed = arguments["tolerance"].si
    if errors[-2] > allowed:
        assert len(past) == 1 and errors[past[0] - 1] > allowed and all(e <= allowed for e in errors[: past[0] - 1])


def test_errors_that_are_no_straight_line_are_refused() -> None:
    arguments = FILMS["off_level_film"][1][1]
    with pytest.raises(DrawingRefused, match="lean times the distance"):
        film("off_level_film", errors=[*arguments["errors"][:-1], L(1.0)])


@pytest.mark.parametrize("size", range(3))
def test_under_a_string_what_is_left_is_the_difference(size: int) -> None:
    scene, samples = SAMPLES["under_a_string"]
    made = scene(ident="x", **samples[size])
    assert isinstance(made, Canvas)
    svg = made.to_svg()
    (above, _, _), (measured, _, _) = dimensions(svg)
    assert abs(above - measured) == pytest.approx(samples[size]["amount"].si, abs=1e-9)
    cut = samples[size]["string_above"].si > samples[size]["measured_down"].si
    assert ("left to cut" in svg) == cut and ("too deep" in svg) == (not cut)
    with pytest.raises(DrawingRefused, match="what is left"):
        scene(ident="x", **{**samples[size], "amount": L(9.0)})


def test_a_question_about_a_string_shows_no_figure() -> None:
    scene, samples = SAMPLES["under_a_string"]
    made = scene(ident="x", **samples[1], spots=True)
    assert isinstance(made, Canvas)
    assert samples[1]["string_above"].us not in made.to_svg() and not dimensions(made.to_svg())
    assert [s.ident for s in made.spots()] == ["string", "ground", "floor", "board"]


def test_both_ends_of_the_blade_lie_within_the_tolerance_or_it_is_the_wrong_way() -> None:
    scene, samples = SAMPLES["on_the_blade"]
    for size, arguments in enumerate(samples):
        made = scene(ident="x", **arguments)
        assert isinstance(made, Canvas)
        (view,) = read(made.to_svg())
        (blade,) = view.all("blade")
        feet = sorted({round(min(y for _, y in piece.points), 9) for piece in blade.shapes})
        lower = arguments["lower"].si if "lower" in arguments else 0.0
        # all of the drawn edge lies as much lower at its one end as is told
        ends = [p for piece in blade.shapes for p in piece.points]
        left = min(y for x, y in ends if x < blade.left + 2 * view.grain)
        right_end = min(y for x, y in ends if x > blade.right - 2 * view.grain)
        assert left - right_end == pytest.approx(lower, abs=3 * view.grain) and feet[0] == pytest.approx(right_end, abs=2 * view.grain)
        assert (lower > arguments["tolerance"].si) == (view.way == "wrong") == (size == 2)
    right = {"blade_width": L(3.6), "tolerance": L(0.03)}
    for wrong in ({"lower": L(0.05)}, {"lower": L(0.02), "wrong": True}):
        with pytest.raises(DrawingRefused, match="within its tolerance"):
            leveling.on_the_blade(ident="x", **right, **wrong)  # type: ignore[arg-type]


def test_the_width_across_the_break_is_the_blades() -> None:
    scene, samples = SAMPLES["on_the_blade"]
    svg = scene(ident="x", **samples[1]).to_svg()
    broken_line = next(m for m in ET.fromstring(svg).iter(f"{SVG}g") if "data-broken" in m.attrib)
    assert math.isclose(float(broken_line.attrib["data-si"]), samples[1]["blade_width"].si)


@pytest.mark.parametrize(("higher", "warned"), [(0.0, True), (2.5, False)])
def test_a_line_that_does_not_clear_heads_is_told(higher: float, warned: bool) -> None:
    given = FILMS["rod_film"][1][1]
    on = {name: L(given[name].si + higher) for name in ("instrument_height", "backsight", "rod_on_ground", "rod_wanted")}
    made = leveling.rod_film(ident="x", **{**given, **on})
    low = given["instrument_height"].si + higher - max(given["benchmark"].si, given["ground"].si, given["design"].si) < 2.0
    assert low == warned
    assert all(("does not clear" in svg) == warned for svg in frames_of(made.to_svg()))
