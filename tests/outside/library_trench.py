"""Second opinions on the trench calculations: shapely sections, trimesh solids, scipy roots."""

from __future__ import annotations

import math

import numpy as np
import trimesh
from scipy.optimize import brentq
from shapely import LineString, Point, Polygon, box, unary_union
from shapely.affinity import translate

from tests.outside.kinds import LibraryCheck, pint_units

RULE = {"rock": 0.0, "A": 0.75, "B": 1.0, "C": 1.5}  # Table B-1, run for one of rise


def section(bottom: float, depth: float, ratio: float) -> Polygon:
    """A trench drawn from its floor up."""
    half = bottom / 2
    run = depth * ratio
    return Polygon([(-half, 0), (half, 0), (half + run, depth), (-half - run, depth)])


def width(shape: Polygon) -> float:
    """Greatest width of a section."""
    left, _, right, _ = shape.bounds
    return float(right - left)


def solid_volume(shape: Polygon, length: float) -> float:
    """Volume of the section carried along, as a closed mesh."""
    corners = np.array([(x, y, z) for z in (0.0, length) for x, y in shape.exterior.coords[:-1]])
    return float(trimesh.convex.convex_hull(corners).volume)


def ridge(area: float, repose: float) -> Polygon:
    """The ridge of that section area, its sides at the angle of repose [deg]."""

    def drawn(height: float) -> Polygon:
        peak = Point(0, height)
        slide = math.radians(repose)
        side = LineString([peak, (2e4 * math.cos(slide), height - 2e4 * math.sin(slide))])
        toe = side.intersection(LineString([(0, 0), (1e5, 0)])).x
        return Polygon([(-toe, 0), (toe, 0), (0, height)])

    return drawn(float(brentq(lambda h: drawn(h).area - area, 1e-6, 500, xtol=1e-13)))


def ladders(length: float, reach: float = 25.0) -> int:
    """Fewest even ladders whose reach, drawn as strips, covers the whole run."""
    run = LineString([(0, 0), (length, 0)])
    count = 1
    while True:
        gap = length / count
        places = [Point(gap * (i + 0.5), 0) for i in range(count)]
        covered = unary_union([LineString([(p.x - reach - 1e-9, 0), (p.x + reach + 1e-9, 0)]) for p in places])
        if run.difference(covered).length < 1e-6:
            return count
        count += 1  # fmt: skip


def layered_section(bottom: float, layers: list[tuple[str, float]]) -> Polygon:
    """A trench through layers, top first, drawn as one polygon from the floor up."""
    floor, flattest, up = bottom, 0.0, 0.0
    parts = []
    for soil, depth in reversed(layers):
        flattest = sorted((flattest, RULE[soil]))[-1]
        parts.append(translate(section(floor, depth, flattest), 0, up))
        floor, up = width(parts[-1]), up + depth
    return unary_union(parts)


def layered(bottom: float, layers: list[tuple[str, float]]) -> float:
    """Top width of a trench through layers, top first, drawn from the floor up.

    Each wall goes up at the flattest run met so far, so none stands steeper than one below it.
    """
    floor, flattest = bottom, 0.0
    for soil, depth in reversed(layers):
        flattest = sorted((flattest, RULE[soil]))[-1]
        floor = width(section(floor, depth, flattest))
    return floor


def checks() -> list[LibraryCheck]:
    """All second opinions on the trench calculations."""
    found = []
    for bottom, depth, soil, length in (
        (4.0, 10.0, "A", 90.0), (2.5, 6.5, "B", 240.0), (3.0, 18.0, "C", 55.0), (6.0, 20.0, "rock", 30.0),
        (1.5, 4.0, "C", 500.0),
    ):  # fmt: skip
        shape = section(bottom, depth, RULE[soil])
        base = {"bottom_width": f"{bottom} ft", "depth": f"{depth} ft"}
        typed = {**base, "soil_type": soil}
        plain = {**base, "side_ratio": f"{RULE[soil]}:1"}
        drawn = "the section drawn at the ratio of the rule"
        for id, inputs in (("trench.top_width", typed), ("trench.sloped_top_width", plain)):
            found.append(LibraryCheck(id, inputs, width(shape), "ft", 1e-9, "shapely", drawn))
        for id, inputs in (("trench.area", typed), ("trench.sloped_area", plain)):
            found.append(LibraryCheck(id, inputs, shape.area, "ft2", 1e-9, "shapely", drawn))
        volume = solid_volume(shape, length)
        found.append(
            LibraryCheck(
                "trench.volume",
                {**typed, "length": f"{length} ft"},
                volume,
                "ft3",
                1e-7,
                "trimesh",
                "the section carried along as a solid",
            )
        )
        found.append(
            LibraryCheck(
                "trench.section_volume",
                {"area": f"{shape.area} ft2", "length": f"{length} ft"},
                volume,
                "ft3",
                1e-7,
                "trimesh",
                "the section carried along as a solid",
            )
        )
    for own in (1.75, 2.5):
        shape = section(3.0, 8.0, own)
        found.append(
            LibraryCheck(
                "trench.top_width",
                {"bottom_width": "3 ft", "depth": "8 ft", "side_ratio": f"{own}:1"},
                width(shape),
                "ft",
                1e-9,
                "shapely",
                "walls flatter than the rule, drawn",
            )
        )
    for layers in (
        [("B", 4.0), ("A", 6.0)], [("A", 4.0), ("C", 6.0)], [("C", 3.0), ("A", 7.0)],
        [("B", 2.0), ("C", 3.0), ("A", 5.0)], [("A", 3.0), ("rock", 5.0), ("B", 2.0), ("rock", 4.0)],
    ):  # fmt: skip
        names = [*("upper", "second", "third")[: len(layers) - 1], "lowest"]
        inputs = {"bottom_width": "4 ft"}
        for name, (soil, thick) in zip(names, layers, strict=True):
            inputs |= {f"{name}_soil_type": soil, f"{name}_depth": f"{thick} ft"}
        found.append(
            LibraryCheck(
                "trench.layered_top_width",
                inputs,
                layered(4.0, layers),
                "ft",
                1e-9,
                "shapely",
                "layers drawn from the floor up, never steeper above a flatter one",
            )
        )
        found.append(
            LibraryCheck(
                "trench.layered_area",
                inputs,
                float(layered_section(4.0, layers).area),
                "ft2",
                1e-9,
                "shapely",
                "the layers drawn as one section",
            )
        )
    for volume, length, repose, back in (
        (17500.0, 100.0, 37.0, 2.0), (3200.0, 60.0, 30.0, 4.0), (900.0, 25.0, 45.0, 2.0), (5e4, 180.0, 33.0, 10.0),
    ):  # fmt: skip
        pile = ridge(volume / length, repose)
        inputs = {"volume": f"{volume} ft3", "length": f"{length} ft", "repose": f"{repose}deg"}
        all_of = {**inputs, "set_back": f"{back} ft"}
        high = {"pile_height": f"{pile.bounds[3]:.12f} ft", "repose": f"{repose}deg"}
        what = "ridge drawn at the angle of repose, grown to the volume"
        found += [
            LibraryCheck("trench.spoil_pile", all_of, width(pile), "ft", 1e-7, "shapely, scipy", what),
            LibraryCheck("trench.spoil_pile", all_of, pile.bounds[3], "ft", 1e-7, "shapely, scipy", what, "height"),
            LibraryCheck("trench.spoil_pile", all_of, back + width(pile), "ft", 1e-7, "shapely, scipy", what, "far_toe"),
            LibraryCheck("trench.spoil_height", inputs, pile.bounds[3], "ft", 1e-7, "shapely, scipy", what),
            LibraryCheck("trench.spoil_width", high, width(pile), "ft", 1e-7, "shapely, scipy", what),
            LibraryCheck("trench.spoil_far_toe", {**high, "set_back": f"{back} ft"}, back + width(pile), "ft",
                         1e-7, "shapely, scipy", what),
        ]  # fmt: skip
    for run in (12.0, 49.0, 50.5, 99.0, 180.0, 330.0, 1000.0):
        found.append(
            LibraryCheck(
                "trench.ladders",
                {"length": f"{run} ft"},
                float(ladders(run)),
                "1",
                1e-9,
                "shapely",
                "fewest even ladders whose reach covers the run",
            )
        )
    for start, percent, along in ((512.4, 1.0, 180.0), (88.0, -2.5, 340.0), (100.0, 12.0, 55.0)):
        floor = LineString([(0, start), (1000, start - 10 * percent)])
        cut = LineString([(along, -1e4), (along, 1e4)])
        bottom = float(floor.intersection(cut).y)
        found.append(
            LibraryCheck(
                "trench.invert",
                {"start_elevation": f"{start} ft", "grade": f"{percent}%", "distance": f"{along} ft"},
                bottom,
                "ft",
                1e-9,
                "shapely",
                "drawn floor cut at the distance",
            )
        )
        ground = math.ceil(bottom) + 5.2
        found.append(
            LibraryCheck(
                "trench.cut_depth",
                {"surface_elevation": f"{ground} ft", "invert_elevation": f"{bottom:.9f} ft"},
                float(Point(along, ground).distance(Point(along, bottom))),
                "ft",
                1e-7,
                "shapely",
                "distance from the ground to the drawn floor",
            )
        )
    for under, layer in ((51.0, 68.0), (24.5, 103.25)):
        both = unary_union(
            [Polygon([(0, 0), (1, 0), (1, under), (0, under)]), Polygon([(0, under), (1, under), (1, under + layer), (0, under + layer)])]
        )
        found.append(
            LibraryCheck(
                "trench.areas_together",
                {"area_below": f"{under} ft2", "layer_area": f"{layer} ft2"},
                float(both.area),
                "ft2",
                1e-9,
                "shapely",
                "two sections that lie one on the other, as one",
            )
        )
    for soil, run in RULE.items():
        # a wall drawn at the rule's run, its top moved half its height farther back
        top = Point(4 * run, 4).x + 4 / 2
        found.append(
            LibraryCheck(
                "trench.distress_ratio",
                {"side_ratio": f"{run}:1"},
                float(LineString([(0, 0), (top, 0)]).length) / 4,
                ":1",
                1e-9,
                "shapely",
                f"a wall in {soil}, its top moved back by half its height",
            )
        )
    for surface, invert, wall, bed in ((20.0, 14.7, 2.0, 4.0), (512.0, 505.25, 0.5, 6.0), (88.0, 85.0, 0.0, 0.0)):
        ring = Point(0, invert + 0.5).buffer(0.5 + wall / 12, quad_segs=4096)  # a pipe of 12 in inside
        floor = ring.bounds[1] - bed / 12
        found.append(
            LibraryCheck(
                "trench.dig_depth",
                {
                    "surface_elevation": f"{surface} ft",
                    "invert_elevation": f"{invert} ft",
                    "pipe_wall": f"{wall} in",
                    "bedding": f"{bed} in",
                },
                surface - float(floor),
                "ft",
                1e-7,
                "shapely",
                "a pipe drawn on its bedding, down to the underside of that",
            )
        )
    return found + stations() + boxes()  # fmt: skip


def stations() -> list[LibraryCheck]:
    """A floor that is held, and one that copies the ground."""
    found = []
    for depth, percent, ground, length in ((5.8, 1.0, 0.5, 180.0), (9.3, 2.5, -1.25, 64.0), (4.1, 0.4, 3.0, 195.0)):
        floor = LineString([(0, -depth), (length, percent / 100 * length - depth)])
        top = LineString([(0, 0), (length, ground / 100 * length)])
        copied = translate(top, yoff=-depth)  # the ground, let down by the depth of the low end
        lines = {"grade": f"{percent}%", "surface_grade": f"{ground}%"}

        def height(line: LineString, along: float) -> float:
            return float(line.intersection(LineString([(along, -1e3), (along, 1e3)])).y)

        what = "floor and ground drawn as two lines, and the ground let down to the low end's depth"
        for along in (length / 3, length):
            deep, off = height(top, along) - height(floor, along), height(floor, along) - height(copied, along)
            at = {**lines, "distance": f"{along!r} ft"}
            found.append(LibraryCheck("trench.station_depth", {"depth_low": f"{depth} ft", **at}, deep, "ft", 1e-9, "shapely", what))
            found.append(LibraryCheck("trench.floor_off", at, off, "ft", 1e-9, "shapely", what))
        whole = {"depth_low": f"{depth} ft", **lines, "length": f"{length} ft"}
        rise = height(top, length)
        for value, name in ((deep, "depth_high"), (abs(off), "off"), (rise, "ground_rise")):
            found.append(LibraryCheck("trench.station_plan", whole, value, "ft", 1e-9, "shapely", what, name))
    return found


def boxes() -> list[LibraryCheck]:
    """Boxes drawn one on the other before an upright wall, and the pressure as quantities."""
    found = []
    wall_and_box = "wall and boxes drawn as upright strips, and what is left between them"
    for wall, out, height in ((10.0, 1.0, 5.0), (8.5, 0.5, 8.0), (17.3, 1.5, 6.0), (6.0, 1.5, 6.0)):
        top = wall + out
        # boxes from the top down, as many as leave 2 ft at most below them
        count = next(n for n in range(1, 20) if top - n * height <= 2)
        stack = unary_union([box(0, top - (k + 1) * height, 1, top - k * height) for k in range(count)])
        low, high = stack.bounds[1], stack.bounds[3]
        given = {"wall_height": f"{wall} ft", "box_above": f"{out} ft"}
        tall = {"stack": f"{high - low!r} ft"}
        found += [
            LibraryCheck("trench.boxes", {**given, "box_height": f"{height} ft"}, float(count), "1", 1e-9, "shapely", wall_and_box),
            LibraryCheck("trench.box_gap", {**given, **tall}, low, "ft", 1e-9, "shapely", wall_and_box),
        ]
        if low > 0:
            found += [
                LibraryCheck("trench.box_above", {"wall_height": f"{wall} ft", **tall, "box_gap": f"{low!r} ft"}, high - wall, "ft", 1e-9,
                             "shapely", wall_and_box),
                LibraryCheck("trench.box_set", {"depth": f"{wall} ft", "box_height": f"{height} ft", "box_above": f"{out} ft"}, low, "ft", 1e-9,
                             "shapely", wall_and_box),
            ]  # fmt: skip
    unit = pint_units()
    for each, depth, extra in ((80, 6.5, 72), (25, 19.0, 72), (45, 11.25, 72)):
        pressure = each * unit("lbf/ft**3") * depth * unit.ft + extra * unit("lbf/ft**2")
        found.append(
            LibraryCheck("trench.soil_pressure", {"each_depth": f"{each} lbf/ft3", "depth": f"{depth} ft", "surcharge": f"{extra} lbf/ft2"},
                         pressure.to("kPa").magnitude, "kPa", 1e-6, "pint", "pressure a foot times feet, as quantities"),
        )  # fmt: skip
    return found
