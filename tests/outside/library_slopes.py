"""Second opinions on the slope calculations: shapely for geometry, scipy for what has to be
searched or solved. Nothing here uses the formula it checks."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from scipy.optimize import brentq, minimize_scalar
from shapely import LineString, MultiPoint, Point, Polygon, affinity, box

from tests.outside.kinds import LibraryCheck


def tipping_angle(gauge: float, height: float, offset: float) -> float:
    """Angle [deg] at which the centre of gravity stands above the end of the support.

    The machine is drawn as a support on the tracks' middles and a point, turned about its low
    track, and the plumb line under the point is cut with the level ground.
    """
    support = LineString([(-gauge / 2, 0), (gauge / 2, 0)])
    weight = Point(offset, height)
    low_track = (gauge / 2, 0.0)

    def beyond(angle: float) -> float:
        turned = affinity.rotate(weight, -angle, origin=low_track)
        base = affinity.rotate(support, -angle, origin=low_track)
        return float(turned.x - max(x for x, _ in base.coords))

    return float(brentq(beyond, 0, 89.999, xtol=1e-12))


def sliding_angle(grip: float) -> float:
    """Angle [deg] at which the pull down the slope has grown to what the grip holds."""

    def left(angle: float) -> float:
        plumb = complex(0, -1)
        along = complex(math.cos(angle), -math.sin(angle))
        square = along * complex(0, 1)
        pull = (plumb * along.conjugate()).real
        press = -(plumb * square.conjugate()).real
        return grip * press - pull

    return math.degrees(brentq(left, 0, math.pi / 2 - 1e-9, xtol=1e-14))


def low_track_share(gauge: float, height: float, percent: float) -> float:
    """Share of the weight on the low track, from where its plumb line cuts the support."""
    angle = math.degrees(math.atan2(percent, 100))
    support = affinity.rotate(LineString([(-gauge / 2, 0), (gauge / 2, 0)]), -angle, origin=(0, 0))
    weight = affinity.rotate(Point(0, height), -angle, origin=(0, 0))
    plumb = LineString([(weight.x, 1e3), (weight.x, -1e3)])
    foot = plumb.intersection(support)
    high = Point(support.coords[0])
    return float(100 * high.distance(foot) / gauge)


def slope_on_a_stone(gauge: float, bump: float, percent: float) -> float:
    """Percent between the middles of the tracks, with the high one lifted plumb off the ground.

    The tracks' middles stand ``gauge`` apart on the level, as the sum has it.
    """
    ground = affinity.skew(LineString([(0, 0), (gauge, 0)]), ys=math.degrees(math.atan2(percent, 100)), origin=(0, 0))
    low, high = ground.coords[0], affinity.translate(Point(ground.coords[-1]), yoff=bump)
    return float(100 * (high.y - low[1]) / (high.x - low[0]))


def layer_safety(cohesion: float, weight: float, depth: float, slope: float, friction: float, water: float = 0.0) -> float:
    """Factor of safety of a slice of a long slope, by the forces on its base.

    ``slope`` and ``friction`` in degrees, kPa, kN/m³ and m. With ``water`` (unit weight) the
    water surface is the ground: the pressure on the base is found from the height of the
    equal-pressure line, not from a formula of the slope.
    """
    tilt = math.radians(slope)
    ground = LineString([(-50, 50 * math.tan(tilt)), (50, -50 * math.tan(tilt))])
    base = affinity.translate(ground, yoff=-depth)
    left, right = -0.5, 0.5
    corners = [
        line.intersection(LineString([(x, 1e3), (x, -1e3)])) for line, xs in ((ground, (left, right)), (base, (right, left))) for x in xs
    ]
    slice_area = Polygon([(p.x, p.y) for p in corners]).area
    bottom = LineString([(corners[2].x, corners[2].y), (corners[3].x, corners[3].y)])
    (x1, y1), (x2, y2) = bottom.coords
    along = complex(x2 - x1, y2 - y1) / bottom.length
    if along.imag > 0:
        along = -along
    down = complex(0, -slice_area * weight)
    pull = (down * along.conjugate()).real
    press = abs((down * along.conjugate()).imag)
    # flow runs along the slope, so the head is even along a line square to it
    middle = bottom.interpolate(0.5, normalized=True)
    square = LineString([(middle.x, middle.y), (middle.x - along.imag * 1e3, middle.y + along.real * 1e3)])
    up = square if square.intersects(ground) else affinity.scale(square, -1, -1, origin=(middle.x, middle.y))
    surface = up.intersection(ground)
    lift = water * (surface.y - middle.y) * bottom.length
    held = cohesion * bottom.length + (press - lift) * math.tan(math.radians(friction))
    return float(held / pull)


def wedge_height(cohesion: float, weight: float, friction: float, face: float) -> float:
    """Least height [m] at which any flat plane through the foot of the face gives way.

    Each wedge is a polygon; the planes are searched for the one that fails first.
    """
    phi = math.radians(friction)

    def height(plane: float) -> float:
        t = math.radians(plane)
        b = math.radians(face)
        crest = 1 / math.tan(b) if face < 90 else 0.0
        wedge = Polygon([(0, 0), (crest, 1), (1 / math.tan(t), 1)])
        length = LineString([(0, 0), (1 / math.tan(t), 1)]).length
        # driving and holding forces of a wedge of height h grow with h² and with h
        pulled = weight * wedge.area * (math.sin(t) - math.cos(t) * math.tan(phi))
        return cohesion * length / pulled if pulled > 0 else math.inf

    found = minimize_scalar(height, bounds=(friction + 1e-6, face - 1e-6), method="bounded", options={"xatol": 1e-10})
    return float(found.fun)


def developed_angle(friction: float, safety: float) -> float:
    """Friction angle [deg] whose tangent, times ``safety``, is the tangent of ``friction``."""

    def missing(angle: float) -> float:
        return safety * math.tan(angle) - math.tan(math.radians(friction))

    return math.degrees(brentq(missing, 0, math.radians(friction), xtol=1e-14))


def berm_section(height: float, side: float, crest: float) -> Polygon:
    """The end of a berm, drawn."""
    half = crest / 2 + side * height
    return Polygon([(-half, 0), (half, 0), (crest / 2, height), (-crest / 2, height)])


TIPS = ((2.0, 0.98, 0.0), (1.98, 1.1, 0.08), (3.0, 0.7, 0.5), (0.8, 1.5, 0.1), (2.4, 1.0, 0.9))
GRIPS = (0.05, 0.3, 0.55, 0.9, 1.15)
FACES = (
    (20.0, 18.0, 25.0, 90.0), (42.0, 17.6, 19.0, 49.0), (10.0, 19.0, 30.0, 60.0),
    (14.28, 19.12, 8.62, 45.0), (5.0, 16.0, 35.0, 75.0), (24.0, 18.9, 0.0, 70.0),
    (10.0, 19.0, 44.6, 45.1),  # hardly steeper than the soil's own angle
)  # fmt: skip
LAYERS = (
    (34.0, 20.11, 7.0, 25.0, 23.0), (52.0, 20.8, 6.0, 22.0, 26.0), (0.0, 19.0, 2.0, 40.0, 30.0),
    (5.0, 18.5, 1.5, 33.7, 28.0), (12.0, 19.5, 4.0, 55.0, 35.0),
)  # fmt: skip


def _machine() -> list[LibraryCheck]:
    found = []
    for gauge, height, offset in TIPS:
        inputs = {"track_gauge": f"{gauge} m", "cg_height": f"{height} m", "cg_offset": f"{offset} m"}
        tip = tipping_angle(gauge, height, offset)
        found.append(
            LibraryCheck(
                "slopes.static_tip_angle",
                inputs,
                tip,
                "deg",
                1e-7,
                "shapely",
                "the drawn machine is turned until its weight stands above the low track",
            )
        )
        for grip in GRIPS[::2]:
            slide = sliding_angle(grip)
            both = {**inputs, "traction": str(grip)}
            found.append(
                LibraryCheck(
                    "slopes.first_to_go",
                    both,
                    sorted((tip, slide))[0],
                    "deg",
                    1e-7,
                    "shapely, scipy",
                    "the lower of the two angles found by turning and by balance of forces",
                )
            )
            found.append(
                LibraryCheck(
                    "slopes.first_to_go",
                    both,
                    abs(tip - slide),
                    "deg",
                    1e-6,
                    "shapely, scipy",
                    "how far those two angles are apart",
                    "margin",
                )
            )
    for grip in GRIPS:
        found.append(
            LibraryCheck(
                "slopes.grip_limit",
                {"traction": str(grip)},
                sliding_angle(grip),
                "deg",
                1e-7,
                "scipy",
                "root of the balance of forces on a slope",
            )
        )
    for gauge, height, percent in ((2.0, 1.0, 25.0), (1.6, 0.7, 60.0), (3.1, 1.4, 8.0)):
        found.append(
            LibraryCheck(
                "slopes.low_track_share",
                {"track_gauge": f"{gauge} m", "cg_height": f"{height} m", "side_slope": f"{percent}%"},
                low_track_share(gauge, height, percent),
                "%",
                1e-7,
                "shapely",
                "where the plumb line under the weight cuts the line between the tracks",
            )
        )
        shift = (low_track_share(gauge, height, percent) / 100 - 0.5) * gauge
        found.append(
            LibraryCheck(
                "slopes.weight_shift",
                {"cg_height": f"{height} m", "side_slope": f"{percent}%"},
                shift,
                "m",
                1e-7,
                "shapely",
                "how far that cut lies from the middle",
            )
        )
    for gauge, bump, percent in ((2.0, 0.15, 15.0), (0.9, 0.2, 4.0), (3.2, 0.08, 35.0)):
        stone = {"bump_height": f"{bump} m", "track_gauge": f"{gauge} m"}
        drawn = slope_on_a_stone(gauge, bump, percent)
        level = slope_on_a_stone(gauge, bump, 0.0)
        found.append(
            LibraryCheck(
                "slopes.bump_adds", stone, level, "%", 1e-9, "shapely", "slope between the tracks' middles, one lifted off the level"
            )
        )
        found.append(
            LibraryCheck(
                "slopes.ground_and_bump",
                {"side_slope": f"{percent}%", "added_slope": f"{level!r}%"},
                drawn,
                "%",
                1e-9,
                "shapely",
                "slope between the tracks' middles, one lifted",
            )
        )
        found.append(
            LibraryCheck(
                "slopes.slope_with_bump",
                {**stone, "side_slope": f"{percent}%"},
                drawn,
                "%",
                1e-9,
                "shapely",
                "slope between the tracks' middles, one lifted",
            )
        )
    for a, b in ((56.3, 23.3), (12.0, 41.0), (33.0, 32.0)):
        both = {"tip_angle": f"{a}deg", "grip_angle": f"{b}deg"}
        span = LineString([(a, 0), (b, 0)])
        found.append(
            LibraryCheck("slopes.first_limit", both, span.bounds[0], "deg", 1e-9, "shapely", "lower end of the line between the two")
        )
        found.append(
            LibraryCheck("slopes.first_to_go_margin", both, span.length, "deg", 1e-9, "shapely", "length of the line between the two")
        )
    return found  # fmt: skip


def _ground() -> list[LibraryCheck]:
    found = []
    for cohesion, weight, depth, slope, friction in LAYERS:
        inputs = {
            "cohesion": f"{cohesion} kPa", "unit_weight": f"{weight} kN/m3", "depth": f"{depth} m",
            "slope": f"{slope}deg", "friction_angle": f"{friction}deg",
        }  # fmt: skip
        found.append(
            LibraryCheck(
                "slopes.infinite_slope_safety",
                inputs,
                layer_safety(cohesion, weight, depth, slope, friction),
                "1",
                1e-6,
                "shapely",
                "forces on the base of a drawn slice",
            )
        )
        found.append(
            LibraryCheck(
                "slopes.seepage_slope_safety",
                {**inputs, "water_unit_weight": "9.81 kN/m3"},
                layer_safety(cohesion, weight, depth, slope, friction, 9.81),
                "1",
                1e-6,
                "shapely",
                "forces on the base of a drawn slice, water pressure from a line square to the flow",
            )
        )
    for cohesion, weight, friction, face in FACES:
        inputs = {
            "cohesion": f"{cohesion} kPa", "unit_weight": f"{weight} kN/m3",
            "friction_angle": f"{friction}deg",
        }  # fmt: skip
        found.append(
            LibraryCheck(
                "slopes.plane_failure_height",
                {**inputs, "slope_angle": f"{face}deg"},
                wedge_height(cohesion, weight, friction, face),
                "m",
                1e-6,
                "scipy, shapely",
                "search over all flat planes through the foot",
            )
        )
        found.append(
            LibraryCheck(
                "slopes.vertical_cut_height",
                inputs,
                wedge_height(cohesion, weight, friction, 90.0),
                "m",
                1e-6,
                "scipy, shapely",
                "search over all flat planes through the foot of a vertical face",
            )
        )
    for friction, safety in ((23.0, 2.8), (40.0, 1.5), (15.0, 4.0)):
        found.append(
            LibraryCheck(
                "slopes.developed_friction",
                {"friction_angle": f"{friction}deg", "safety_factor": str(safety)},
                developed_angle(friction, safety),
                "deg",
                1e-7,
                "scipy",
                "root of the rule",
            )
        )
    return found  # fmt: skip


def _berms() -> list[LibraryCheck]:
    found = []
    for height, side, crest, length in ((1.5, 1.5, 0.0, 100.0), (0.9, 1.2, 0.6, 40.0), (2.2, 2.0, 1.0, 15.0)):
        section = berm_section(height, side, crest)
        inputs = {"berm_height": f"{height} m", "side_ratio": f"{side}:1", "crest_width": f"{crest} m"}
        left, _, right, _ = section.bounds
        found.append(LibraryCheck("slopes.berm_base", inputs, right - left, "m", 1e-9, "shapely", "width of the drawn section"))
        found.append(
            LibraryCheck(
                "slopes.berm_volume",
                {**inputs, "length": f"{length} m"},
                section.area * length,
                "m3",
                1e-9,
                "shapely",
                "area of the drawn section, times the length",
            )
        )
    for side, keep in ((2.6, 1.8), (1.1, 3.0), (2.0, 2.05)):
        both = MultiPoint([(side, 0), (keep, 0), (0, 0)])
        found.append(
            LibraryCheck(
                "slopes.windrow_keep_back",
                {"berm_base": f"{side} m", "edge_distance": f"{keep} m"},
                both.bounds[2],
                "m",
                1e-9,
                "shapely",
                "far end of both strips laid from the edge",
            )
        )
    return found  # fmt: skip


def way_gone(weight: tuple[float, float], down: float, side: float) -> float:
    """Percent of the way from the middle of a drawn base to its edge, out through the weight."""
    base = box(-down / 2, -side / 2, down / 2, side / 2)
    far = LineString([(0, 0), (1e4 * weight[0], 1e4 * weight[1])])
    edge = far.intersection(base.exterior)
    return float(100 * math.hypot(*weight) / math.hypot(edge.x, edge.y))


def _swings() -> list[LibraryCheck]:
    found = []
    for mass, load, reach, height, percent, gauge, long in (
        (9e3, 1e3, 9.0, 1.2, 10.0, 2.4, 4.2),
        (50e3, 4.7e3, 11.6, 1.34, 15.0, 2.74, 4.42),
    ):
        bodies = np.array([0.0, reach])
        out = float(np.average(bodies, weights=[mass, load]))
        held = float(np.average(bodies / 2, weights=[mass, load]))
        slope = height * percent / 100
        inputs = {
            "mass": f"{mass} kg", "load": f"{load} kg", "reach": f"{reach} m", "cg_height": f"{height} m", "slope": f"{percent}%",
            "track_gauge": f"{gauge} m", "track_length": f"{long} m",
        }  # fmt: skip
        found += [
            LibraryCheck("slopes.load_offset", {name: inputs[name] for name in ("load", "reach", "mass")}, out, "m", 1e-9, "numpy",
                         "mean of two places, weighted"),
            LibraryCheck("slopes.swing_downhill", inputs, way_gone((slope + out, 0.0), gauge, long), "%", 1e-7, "shapely, numpy",
                         "the weight in the drawn base, on the way to its edge"),
            LibraryCheck("slopes.swing_downhill", inputs, way_gone((slope - out, 0.0), long, gauge), "%", 1e-7, "shapely, numpy",
                         "the weight in the drawn base, on the way to its edge", "uphill"),
            LibraryCheck("slopes.swing_downhill", inputs, way_gone((0.0, held), long, gauge), "%", 1e-7, "shapely, numpy",
                         "the weight in the drawn base, on the way to its edge", "pad"),
            LibraryCheck("slopes.swing_downhill", inputs, way_gone((slope, out), long, gauge), "%", 1e-7, "shapely, numpy",
                         "the weight in the drawn base, on the way to its edge", "side"),
        ]  # fmt: skip
    return found


PARTS: tuple[Callable[[], list[LibraryCheck]], ...] = (_machine, _ground, _berms, _swings)


def checks() -> list[LibraryCheck]:
    """All second opinions on the slope calculations."""
    return [check for part in PARTS for check in part()]
