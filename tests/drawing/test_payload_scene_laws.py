"""Loads against the rated payload: the bars are to scale, and what is too much is never drawn as loaded."""

from __future__ import annotations

import re

import pytest

from generator.drawing.film import frames_of
from generator.drawing.picture import read
from generator.drawing.scenes import payload
from tests.drawing.samples import FILMS, SAMPLES

BAR = re.compile(r'class="bar"[^>]*data-si="([\d.e+]+)"[^>]*data-px="([\d.]+)"')


@pytest.mark.parametrize("size", (0, 1, 2))
def test_the_bars_of_every_pass_are_to_one_scale_and_end_within_the_rating(size: int) -> None:
    given = FILMS["pass_film"][1][size]
    for frame in frames_of(payload.pass_film(ident="p", **given).to_svg()):
        bars = [(float(si), float(px)) for si, px in BAR.findall(frame)]
        assert bars[0][0] == pytest.approx(given["payload"].si)
        for si, px in bars:
            assert px / si == pytest.approx(bars[0][1] / bars[0][0], rel=1e-3)
            assert si <= given["payload"].si * (1 + 1e-9)


def test_the_last_step_says_stop_and_how_much_it_would_be() -> None:
    given = FILMS["pass_film"][1][1]
    film = payload.pass_film(ident="p", **given)
    assert film.frames[-1].words.us.startswith(f"Stop. A full pass {given['passes'][-1].us} would make it {given['weights'][-1].us}, ")
    assert given["weights"][-1].si > given["payload"].si >= given["weights"][-2].si


def test_the_truck_from_behind_is_as_wide_as_its_table_says_and_its_load_lies_where_it_is_told() -> None:
    given = SAMPLES["from_behind"][1][1]
    for aside in (False, True):
        (view,) = [v for v in read(payload.from_behind(ident="b", **given | {"aside": aside}).to_svg()) if v.all("truck")]
        (truck,) = view.all("truck")
        assert truck.extent[0] == pytest.approx(given["truck_width"].si, rel=0.02)
        middle = (truck.left + truck.right) / 2
        assert [load.right - middle > middle - load.left for load in view.all("load")] == ([True] if aside else [])
        assert all(stone.left > truck.right for stone in view.all("stone"))
