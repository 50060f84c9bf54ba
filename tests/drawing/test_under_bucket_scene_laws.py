"""A truck that is loaded, measured in the finished picture: it stops where it is told, and who waits waits clear."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest

from generator.drawing.film import Film, frames_of
from generator.drawing.laws import broken
from generator.drawing.measure import Measure
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import under_bucket

from .samples import FILMS, SAMPLES, SIZES, odd_pit


def film(name: str, size: str) -> tuple[Film, dict[str, Any]]:
    scene, samples = FILMS[name]
    given = samples[SIZES.index(size)]
    return scene(ident="x", **given), given


def views(made: Film) -> list[Seen]:
    return [read(svg)[0] for svg in frames_of(made.to_svg())]


def limits(given: dict[str, Any]) -> dict[str, float]:
    names = {"crest_distance": "limits.edge_distance", "fall_zone": "limits.fall_zone", "truck_width": "truck.overall_width",
             "track_length": "machine.track_length"}  # fmt: skip
    return {column: given[name].si for name, column in names.items() if name in given}


def swing_centre(view: Seen) -> tuple[float, float]:
    (ring,) = view.all("swing-circle")
    return (ring.left + ring.right) / 2, (ring.low + ring.high) / 2


def truck_of(view: Seen) -> Part:
    (part,) = view.all("truck")
    return part


@pytest.mark.parametrize("size", SIZES)
def test_every_step_keeps_the_laws(size: str) -> None:
    made, given = film("spotting_film", size)
    for svg in frames_of(made.to_svg()):
        assert broken(svg, limits(given)) == []


@pytest.mark.parametrize("size", SIZES)
def test_the_truck_waits_comes_in_stops_and_drives_off_one_way(size: str) -> None:
    made, _ = film("spotting_film", size)
    seen = views(made)
    left = [truck_of(v).left for v in seen]
    assert left[0] > left[1] > left[2] and left[6] < left[5]
    assert left[3:6] == pytest.approx([left[2]] * 3, abs=3 * seen[0].grain)
    # all the while as far from the face
    lows = [truck_of(v).low for v in seen]
    assert max(lows) - min(lows) < 3 * seen[0].grain
    # where it waits no part of it is in the ground that is dug, or right above it
    (dug,) = seen[0].all("spoil")
    assert truck_of(seen[0]).left > dug.right


@pytest.mark.parametrize("size", SIZES)
def test_it_stops_as_far_from_the_swing_centre_as_told(size: str) -> None:
    made, given = film("spotting_film", size)
    view = views(made)[2]
    _, y = swing_centre(view)
    truck = truck_of(view)
    across = (truck.low + truck.high) / 2 - y
    assert across == pytest.approx(
        given["truck_distance"].si * math.sin(given["truck_angle"].si if "truck_angle" in given else math.pi / 2), rel=0.01
    )


@pytest.mark.parametrize("size", SIZES)
def test_a_driver_who_got_out_is_clear_of_truck_swing_and_fall_zone(size: str) -> None:
    made, given = film("spotting_film", size)
    seen = views(made)
    outside = given.get("cab_guard") != "guarded"
    assert [len(v.all("person")) for v in seen] == [0, 0, 0, *([int(outside)] * 3), 0]
    for view in (
        *(v for v in seen if v.all("person")),
        *read(SAMPLES["places"][0](ident="x", **SAMPLES["places"][1][SIZES.index(size)]).to_svg()),
    ):
        (person,) = view.all("person")
        x, y = swing_centre(view)
        far = math.hypot((person.left + person.right) / 2 - x, (person.low + person.high) / 2 - y)
        assert far > given["max_reach"].si * 1.05
        assert person.apart(truck_of(view)) > 1.0
        # beyond its front: the truck drives to the left
        assert person.right < truck_of(view).left + 1.0


@pytest.mark.parametrize("size", SIZES)
def test_a_driver_who_got_out_keeps_the_site_s_distance_to_all_that_is_reached_and_to_the_truck_s_way(size: str) -> None:
    _, given = film("spotting_film", size)
    keep = 0.4 * given["max_reach"].si
    told = {**given, "cab_guard": "open", "person_distance": Measure(keep, "15 ft", "5 m")}
    made = under_bucket.spotting_film(ident="x", **told)
    assert "15 ft beyond all it can reach" in made.frames[3].words.us
    assert "locked" in made.frames[3].words.us and "wave" in made.frames[3].words.us
    for view in views(made)[3:6]:
        (person,) = view.all("person")
        x, y = swing_centre(view)
        far = math.hypot((person.left + person.right) / 2 - x, (person.low + person.high) / 2 - y)
        assert far >= given["max_reach"].si + keep
        assert person.low - truck_of(view).high >= keep - 0.35 - 2 * view.grain  # off the way it drives off


@pytest.mark.parametrize("size", SIZES)
def test_the_bucket_is_never_over_the_cab_but_in_the_wrong_way(size: str) -> None:
    made, given = film("spotting_film", size)
    body = given["truck_length"].si
    for view in views(made)[2:6]:
        truck = truck_of(view)
        rear_part = truck.right - 1.1 * body  # cab and hood lie left of the body
        for bucket in view.all("bucket"):
            assert bucket.left > rear_part - 0.6 * bucket.extent[0] or bucket.apart(truck) > 0
    wrong, cab = film("over_cab_film", size)
    for view in views(wrong):
        assert view.way == "wrong"
    _, over, falls = views(wrong)
    (bucket,) = over.all("bucket")
    truck = truck_of(over)
    assert truck.left < (bucket.left + bucket.right) / 2 < truck.left + 0.75 * cab["truck_length"].si
    assert bucket.low > truck_of(over).low + cab["body_height"].si
    assert len(falls.all("stone")) == 1


@pytest.mark.parametrize(
    ("guard", "says"), [("guarded", "Stay in"), ("open", "get out and wait clear"), (None, "Guard over the cab: stay in")]
)
def test_the_guard_decides_whether_the_driver_stays_in(guard: str | None, says: str) -> None:
    given = {**SAMPLES["places"][1][1], **({"cab_guard": guard} if guard else {})}
    made = under_bucket.spotting_film(ident="x", **given)
    assert says in made.frames[3].words.us


@pytest.mark.parametrize("seed", range(12))
def test_any_truck_in_any_pit_is_drawn_lawfully(seed: int) -> None:
    given = odd_pit(random.Random(seed))
    assert broken(under_bucket.places(ident="x", **given).to_svg(), limits(given)) == []
    for svg in frames_of(under_bucket.spotting_film(ident="x", **given).to_svg()):
        assert broken(svg, limits(given)) == []
