"""A fleet by the clock: trucks stand along the road where the clock has them, and the sentence says what is drawn."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest

from generator.drawing.errors import DrawingRefused
from generator.drawing.film import frames_of
from generator.drawing.measure import Measure
from generator.drawing.scenes import fleet
from tests.drawing.samples import FILMS, _clock, _fleet

SVG = "{http://www.w3.org/2000/svg}"


def test_a_truck_goes_the_same_way_in_the_same_time() -> None:
    # truck 1 leaves at 125 s and is at the dump at 295 s: in between it goes by 60 parts of 170 a minute
    arguments = FILMS["rounds_film"][1][1]
    svg = fleet.rounds_film(ident="f", **arguments).to_svg()
    at = []
    for frame in frames_of(svg)[3:5]:  # at 180 and 240 s
        root = ET.fromstring(frame)
        marks = [t for t in root.iter(f"{SVG}text") if t.text == "1"]
        assert len(marks) == 1
        at.append(float(marks[0].attrib["x"]))
    road = [
        p for p in ET.fromstring(frames_of(svg)[0]).iter(f"{SVG}path") if re.fullmatch(r"M[\d.]+,([\d.]+)L[\d.]+,\1", p.attrib.get("d", ""))
    ]
    x0, x1 = (float(v) for v in re.findall(r"([\d.]+),", max(road, key=lambda p: len(p.attrib["d"])).attrib["d"])[:2])
    assert at[1] - at[0] == pytest.approx(60 / 170 * (x1 - x0), rel=0.03)


def test_the_loader_has_a_bar_for_every_loading_and_none_else() -> None:
    # two trucks, each 125 s at the loader: the dark bars of the loader's row are as long as the clock says
    given = _clock(2, 125)
    view = ET.fromstring(fleet.by_the_clock(ident="c", **given).to_svg())
    dark = [p.attrib["d"] for p in view.iter(f"{SVG}path") if p.attrib.get("fill") == "currentColor" and "fill-opacity" not in p.attrib]
    rows: dict[str, float] = {}
    for d in dark:
        xs = [float(x) for x in re.findall(r"(-?[\d.]+),-?[\d.]+", d)]
        y = re.findall(r",(-?[\d.]+)", d)[0]
        rows[y] = rows.get(y, 0.0) + max(xs) - min(xs)
    spans = [(max(a.si, 0), min(b.si, 600)) for a, b in zip(given["backs_up"], given["full"], strict=True)]
    busy = sum(b - a for a, b in spans)
    assert max(rows.values()) == pytest.approx((520 - 8 - 86) * busy / 600, rel=0.02)


def test_the_sentence_counts_what_is_told() -> None:
    arguments = FILMS["rounds_film"][1][1]
    film = fleet.rounds_film(ident="f", **arguments)
    for k, frame in enumerate(film.frames):
        assert f"Loads sent off: {arguments['loads'][k].us}." in frame.words.us
        assert arguments["times"][k] in frame.told


def test_a_fleet_without_the_first_truck_is_refused() -> None:
    given = _fleet(2, 125, 170, 114)
    without: dict[str, Any] = {n: v[1:] if isinstance(v, list) else v for n, v in given.items()}
    without["truck_numbers"] = [Measure(2.0, "2", "2")] * len(without["truck_numbers"])
    with pytest.raises(DrawingRefused, match="truck 1"):
        fleet.truck_round(ident="r", **without)
