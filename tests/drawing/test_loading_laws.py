"""The drawings of the loading chapter, measured in the finished SVG with shapely, for every pair of machines.

Machines are those of the demo and of both starters. What is held against the pictures comes from the
tables, by plain arithmetic of this file.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from generator.drawing import Canvas, Measure
from generator.drawing.laws import broken
from generator.drawing.picture import Part, Seen, read
from generator.drawing.scenes import loading
from generator.units.quantity import Quantity

from .samples import L, volume

ROOT = Path(__file__).parents[2]
SITES = {
    "demo": (ROOT / "site_demo", "6 ft"),
    "us": (ROOT / "content/starter/us", "6 ft"),
    "metric": (ROOT / "content/starter/metric", "2 m"),
}
KINDS = {
    "bucket_capacity": "loose_volume", "mass": "mass", "payload": "mass", "body_volume": "loose_volume",
}  # fmt: skip
LENGTHS = {
    "stick_length", "track_length", "overall_width", "shoe_width", "max_reach", "bucket_length", "tail_radius",
    "bucket_width", "body_length", "body_height",
}  # fmt: skip
TURN = Measure(math.pi / 4, "45°", "45°")
SQUARE = Measure(math.pi / 2, "90°", "90°")


def rows(folder: Path, file: str) -> list[dict[str, Any]]:
    """The figures in SI that these drawings take, a row each."""
    found = []
    with (folder / file).open(encoding="utf-8-sig", newline="") as f:
        for row in csv.DictReader(f):
            figures: dict[str, Any] = {"id": row["id"], "kind": row.get("kind", "truck")}
            for heading, text in row.items():
                name, _, unit = heading.partition(" ")
                kind = "length" if name in LENGTHS else KINDS.get(name)
                if kind and text:
                    figures[name] = Quantity.read(f"{text} {unit.strip('[]')}", kind).si
            found.append(figures)
    return found


PAIRS = [
    pytest.param(machine, truck, Quantity.read(edge, "length").si, id=f"{site}-{machine['id']}-{truck['id']}")
    for site, (folder, edge) in SITES.items()
    for machine in rows(folder, "machines.csv") if machine["kind"] != "dozer"
    for truck in rows(folder, "trucks.csv")
]  # fmt: skip


def of_pair(id_: str) -> tuple[Any, Any, Any]:
    """A pair's machine, truck and edge distance."""
    machine, truck, edge = next(p.values for p in PAIRS if p.id == id_)
    return machine, truck, edge


every_pair = pytest.mark.parametrize(("machine", "truck", "edge"), PAIRS)


def given(machine: dict[str, Any], truck: dict[str, Any], edge: float) -> dict[str, Any]:
    optional: dict[str, Any] = {k: L(machine[k]) for k in ("bucket_length", "tail_radius") if k in machine}
    return {
        "crest_distance": L(edge), "fall_zone": L(machine["stick_length"]), "truck_width": L(truck["overall_width"]),
        "track_length": L(machine["track_length"]), "machine_width": L(machine["overall_width"]),
        "shoe_width": L(machine["shoe_width"]), "max_reach": L(machine["max_reach"]), "track_angle": TURN, **optional,
    }  # fmt: skip


def stand(machine: dict[str, Any], truck: dict[str, Any], edge: float) -> float:
    half = (machine["track_length"] + machine["overall_width"]) / (2 * math.sqrt(2))
    return float(edge + half + machine["stick_length"] + truck["overall_width"] / 2)


def figures(machine: dict[str, Any], truck: dict[str, Any], edge: float) -> dict[str, float]:
    return {
        "limits.edge_distance": edge,
        **{f"machine.{k}": v for k, v in machine.items() if isinstance(v, float)},
        **{f"truck.{k}": v for k, v in truck.items() if isinstance(v, float)},
    }


def scenes(machine: dict[str, Any], truck: dict[str, Any], edge: float, *, spots: bool = False) -> dict[str, Canvas]:
    arguments = given(machine, truck, edge)
    away = L(stand(machine, truck, edge))
    swings = [Measure(math.radians(a), f"{a}°", f"{a}°") for a in (80, 70, 60, 50, 40)]
    height: dict[str, Any] = {"truck_height": L(truck["body_height"])} if "body_height" in truck else {}
    return {
        "bench": loading.bench_loading(
            ident="a", stick_length=L(machine["stick_length"]), bench_height=L(machine["stick_length"]),
            truck_stand=away, spots=spots, **height, **arguments,
        ),
        "above": loading.standing_on_the_bench(
            ident="b", truck_angle=SQUARE, body_length=L(truck["body_length"]), spots=spots, **arguments
        ),
        "order": loading.loading_order(
            ident="c", swing_angles=swings, truck_length=L(truck["body_length"]), reach=away, truck_angle=SQUARE,
            spots=spots, **arguments,
        ),
    }  # fmt: skip


def whole(part: Part) -> Any:
    """A part as shapely sees it."""
    return unary_union([Polygon(s.points).buffer(0) if s.closed and len(s.points) > 2 else LineString(s.points) for s in part.shapes])


def only(view: Seen, name: str) -> Any:
    return unary_union([whole(part) for part in view.all(name)])


@every_pair
@pytest.mark.parametrize("spots", [False, True])
def test_no_law_is_broken(machine: dict[str, Any], truck: dict[str, Any], edge: float, spots: bool) -> None:
    for name, canvas in scenes(machine, truck, edge, spots=spots).items():
        assert broken(canvas.to_svg(), figures(machine, truck, edge)) == [], name


@every_pair
def test_tracks_keep_back_and_the_truck_stands_clear(machine: dict[str, Any], truck: dict[str, Any], edge: float) -> None:
    """Measured: just the edge distance at the nearest corner, and the truck's near side at the zone's far side."""
    for name, canvas in scenes(machine, truck, edge).items():
        (view,) = read(canvas.to_svg())
        grain = 3 * view.grain
        crest, tracks, zone, lorry = (only(view, part) for part in ("crest", "tracks", "fall-zone", "truck"))
        if name == "bench":
            gap = crest.bounds[0] - tracks.bounds[2]
            clear = lorry.bounds[0] - zone.bounds[2]
            out = zone.bounds[2] - zone.bounds[0]
            across = lorry.bounds[2] - lorry.bounds[0]
        else:
            gap, clear = tracks.distance(crest), lorry.distance(zone)
            out = min(zone.bounds[2] - zone.bounds[0], zone.bounds[3] - zone.bounds[1])
            across = min(lorry.bounds[2] - lorry.bounds[0], lorry.bounds[3] - lorry.bounds[1])
            assert zone.intersection(lorry).area < grain * max(truck["body_length"], 1)
        assert gap == pytest.approx(edge, abs=grain), name
        assert clear == pytest.approx(0, abs=grain), name
        assert out == pytest.approx(machine["stick_length"], abs=grain), name
        assert across == pytest.approx(truck["overall_width"], abs=grain), name


@every_pair
def test_each_track_has_its_size_and_the_tail_its_swing(machine: dict[str, Any], truck: dict[str, Any], edge: float) -> None:
    for name in ("above", "order"):
        (view,) = read(scenes(machine, truck, edge)[name].to_svg())
        tracks = view.all("tracks")
        assert len(tracks) == 2
        for track in tracks:
            assert track.lengthwise == pytest.approx((machine["track_length"], machine["shoe_width"]), abs=4 * view.grain)
        over = only(view, "tracks").minimum_rotated_rectangle
        assert over.area == pytest.approx(machine["track_length"] * machine["overall_width"], rel=0.02)
        ring = only(view, "swing-circle")
        if "tail_radius" in machine:
            assert (ring.bounds[2] - ring.bounds[0]) / 2 == pytest.approx(machine["tail_radius"], abs=3 * view.grain)
        # what stands behind the swing centre stays within the ring
        middle = ring.centroid
        cab_and_tail = whole(view.all("machine")[0]).intersection(ring)
        assert cab_and_tail.area > 0.15 * ring.area
        assert over.centroid.distance(middle) < 4 * view.grain


@every_pair
def test_it_says_so_where_the_bucket_does_not_reach(machine: dict[str, Any], truck: dict[str, Any], edge: float) -> None:
    far = machine["max_reach"] - machine.get("bucket_length", machine["stick_length"] / 2)
    svg = scenes(machine, truck, edge)["above"].to_svg()
    (view,) = read(svg)
    lorry, dig = only(view, "truck"), only(view, "bucket")
    said = "does not reach" in svg
    if stand(machine, truck, edge) < far:
        assert not said
        assert lorry.intersects(dig)
    if stand(machine, truck, edge) > far + truck["overall_width"] / 2:
        assert said


def test_the_lead_machines_of_demo_and_starters_reach() -> None:
    leads = {"demo": "E-2", "us": "E-1", "metric": "E-1"}
    for site, (folder, edge) in SITES.items():
        machine = next(m for m in rows(folder, "machines.csv") if m["id"] == leads[site])
        truck = next(t for t in rows(folder, "trucks.csv") if t["id"] == "T-1")
        for name, canvas in scenes(machine, truck, Quantity.read(edge, "length").si).items():
            assert "does not reach" not in canvas.to_svg(), (site, name)


@every_pair
def test_the_slice_just_fills_the_bucket(machine: dict[str, Any], truck: dict[str, Any], edge: float) -> None:
    """Section of the cut times the bucket's width, read from the picture, is the ground in the bank."""
    bank = machine["bucket_capacity"] * 1.05 / 1.25
    tip = machine.get("bucket_length", machine["stick_length"] / 2)
    section = bank / machine["bucket_width"]
    canvas = loading.digging_pass(
        ident="d", stick_length=L(machine["stick_length"]), entry_angle=Measure(math.radians(75), "75°", "75°"),
        bucket_angle=Measure(math.radians(30), "30°", "30°"), stroke_length=L(section / (tip / 4)), slice_depth=L(tip / 4),
        bank_volume=volume(bank), bucket_width=L(machine["bucket_width"]), bucket_length=L(tip),
    )  # fmt: skip
    svg = canvas.to_svg()
    assert broken(svg, {}) == []
    views = read(svg)
    assert len(views) == 2
    for view in views:
        cut = only(view, "cut")
        assert cut.area * machine["bucket_width"] == pytest.approx(bank, rel=0.01)
        assert cut.bounds[3] - cut.bounds[1] == pytest.approx(tip / 4, abs=3 * view.grain)
    told = 15 / 180 * math.pi * (machine["stick_length"] + tip)
    assert section / (tip / 4) > told, "the stick alone does not take the slice"


def test_a_slice_that_does_not_fill_the_bucket_is_refused() -> None:
    arguments = {
        "stick_length": L(3), "entry_angle": Measure(math.radians(75), "75°", "75°"),
        "bucket_angle": Measure(math.radians(30), "30°", "30°"), "stroke_length": L(0.9), "slice_depth": L(0.4),
        "bank_volume": volume(2.57), "bucket_width": L(1.68), "bucket_length": L(1.6),
    }  # fmt: skip
    svg = loading.digging_pass(ident="d", **arguments).to_svg()
    assert {b.law for b in broken(svg, {})} == {"volume"}


@pytest.mark.parametrize(
    ("figure", "law"), [("limits.edge_distance", "edge"), ("truck.overall_width", "size"), ("machine.track_length", "size")]
)
def test_a_figure_of_another_site_is_refused(figure: str, law: str) -> None:
    machine, truck, edge = of_pair("demo-E-2-T-1")
    held = figures(machine, truck, edge)
    for name in ("above", "order"):
        found = broken(scenes(machine, truck, edge)[name].to_svg(), {**held, figure: held[figure] * 1.2})
        assert {b.law for b in found} == {law}, name
    if figure != "machine.track_length":  # turned out of the view, tracks show no length from the side
        found = broken(scenes(machine, truck, edge)["bench"].to_svg(), {**held, figure: held[figure] * 1.2})
        assert {b.law for b in found} == {law}


def test_a_truck_nearer_than_the_fall_zone_is_refused() -> None:
    machine, truck, edge = of_pair("demo-E-2-T-1")
    arguments = given(machine, truck, edge)
    swings = [Measure(math.radians(a), f"{a}°", f"{a}°") for a in (80, 60, 40)]
    near = loading.loading_order(ident="c", swing_angles=swings, truck_length=L(truck["body_length"]), reach=L(22 * 0.3048), **arguments)
    assert "fall-zone" in {b.law for b in broken(near.to_svg(), figures(machine, truck, edge))}


def test_a_bench_half_as_high_again_stands_beside_the_right_one_at_one_scale() -> None:
    """The truck goes out by as much as the face grows, and what was in reach no longer is."""
    machine, truck, edge = of_pair("demo-E-2-T-1")
    arguments = given(machine, truck, edge) | {"stick_length": L(machine["stick_length"]), "truck_height": L(truck["body_height"])}
    high = 1.5 * machine["stick_length"]
    room: dict[str, Any] = {"room_zone": L(high)}
    right = loading.bench_loading(ident="a", bench_height=L(machine["stick_length"]), **arguments, **room).to_svg()
    wrong = loading.bench_loading(ident="b", bench_height=L(high), **{**arguments, "fall_zone": L(high)}, **room).to_svg()
    (low_view,), (high_view,) = read(right), read(wrong)
    assert low_view.scale == pytest.approx(high_view.scale, rel=1e-6)
    gaps = [only(v, "truck").bounds[0] - only(v, "crest").bounds[0] for v in (low_view, high_view)]
    assert gaps[1] - gaps[0] == pytest.approx(machine["stick_length"] / 2, abs=0.05)
    faces = [only(v, "crest").bounds[3] - only(v, "toe").bounds[1] for v in (low_view, high_view)]
    assert faces[1] == pytest.approx(1.5 * faces[0], rel=0.01)
    assert "does not reach" not in right and "does not reach" in wrong
