"""Second opinions on the dozing calculations by general-purpose libraries.

Each expected value comes from a library's geometry, unit handling, exact arithmetic or root
finding, or from a simulation on a grid of columns; none is the formula itself.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import trimesh
from scipy.integrate import cumulative_trapezoid, quad
from scipy.optimize import brentq
from shapely.geometry import LineString, Polygon

from tests.outside.kinds import LibraryCheck, pint_units

UREG: Any = pint_units()
EXACT = 1e-9


def _quantity(text: str) -> Any:
    """A quantity as typed, as a pint quantity."""
    number, _, unit = text.partition(" ")
    return UREG.Quantity(float(number), unit.replace("yd3", "yard**3"))


def _ramp_load(width: float, height: float, wing: float, degrees: float) -> float:
    """What a U-blade holds: the straight blade's load, and the plan area the wings shut in."""
    reach = wing * math.tan(math.radians(degrees))
    plan = Polygon([(0, 0), (width, 0), (width - wing, reach), (wing, reach)])
    return 0.8 * width * height**2 + float(plan.area) * height


def _blades() -> list[LibraryCheck]:
    checks = []
    for width, height, wing, degrees in ((4.0, 1.5, 1.0, 20.0), (3.2, 1.1, 0.5, 45.0),
                                         (5.0, 2.2, 1.8, 30.0)):  # fmt: skip
        checks.append(
            LibraryCheck(
                "dozing.u_blade_capacity",
                {"blade_width": f"{width} m", "blade_height": f"{height} m",
                 "wing_length": f"{wing} m", "wing_angle": f"{degrees} deg"},
                _ramp_load(width, height, wing, degrees), "m3", EXACT, "shapely",
                "the wings' term as blade height times the area of the trapezium they shut in",
            )
        )  # fmt: skip
    for width, height in ((3.0, 1.2), (4.4, 1.9), (3.1, 0.6)):
        per_foot = UREG.Quantity(0.8 * width * height**2, "foot**3").to("yard**3").magnitude
        checks.append(
            LibraryCheck(
                "dozing.blade_capacity",
                {"blade_width": f"{width} ft", "blade_height": f"{height} ft"},
                float(per_foot), "yd3", EXACT, "pint", "feet to cubic yards",
            )
        )  # fmt: skip
    for sizes in ((1.0, 3.0, 2.5), (1.4, 4.0, 5.0), (0.6, 2.2, 2.0)):
        box = trimesh.creation.box(extents=sizes).volume
        checks.append(
            LibraryCheck(
                "dozing.pile_load",
                {"pile_height": f"{sizes[0]} m", "pile_width": f"{sizes[1]} m",
                 "pile_length": f"{sizes[2]} m"},
                float(Fraction(3, 8)) * float(box), "m3", EXACT, "trimesh",
                "three eighths of the volume of the enclosing box",
            )
        )  # fmt: skip
    return checks


def _times() -> list[LibraryCheck]:
    checks = []
    for distance, push, back, fixed in (("120 ft", "2.2 mph", "4.5 mph", "0.1 min"),
                                        ("45 m", "3.5 km/h", "7 km/h", "5 s"),
                                        ("300 ft", "180 ft/min", "6 mph", "0 min")):  # fmt: skip

        def speed(text: str) -> Any:
            return _quantity(text.replace("mph", "mile/hour").replace("km/h", "km/hour")
                             .replace("ft/min", "foot/minute"))  # fmt: skip

        legs = _quantity(distance) / speed(push) + _quantity(distance) / speed(back)
        total = (legs + _quantity(fixed)).to("minute").magnitude
        checks.append(
            LibraryCheck(
                "dozing.cycle_time",
                {"push_distance": distance, "push_speed": push, "return_speed": back,
                 "fixed_time": fixed},
                float(total), "min", EXACT, "pint", "distances over speeds, as quantities",
            )
        )  # fmt: skip
    for length, rip_speed, turn in (("100 ft", "88 ft/min", "0.25 min"), ("80 m", "2 km/h", "20 s")):
        over = rip_speed.replace("ft/min", "foot/minute").replace("km/h", "km/hour")
        time = (_quantity(length) / _quantity(over) + _quantity(turn)).to("minute").magnitude
        checks.append(
            LibraryCheck(
                "dozing.rip_pass_time",
                {"pass_length": length, "speed": rip_speed, "turn_time": turn},
                float(time), "min", EXACT, "pint", "length over speed, as quantities",
            )
        )  # fmt: skip
    for minutes, share in ((1.386, 1.0), (2.5, 0.83), (0.9, 0.5)):
        checks.append(
            LibraryCheck(
                "dozing.rip_passes",
                {"pass_time": f"{minutes} min", "efficiency": str(share)},
                float((share / UREG.Quantity(minutes, "minute")).to("1/hour").magnitude), "1/h",
                EXACT, "pint", "one over a time, as a rate an hour",
            )
        )  # fmt: skip
    for sizes, unit, out in (((100.0, 6.58, 1.0), "ft", "yd3"), ((60.0, 2.1, 0.4), "m", "m3")):
        box = float(trimesh.creation.box(extents=sizes).volume)
        volume = UREG.Quantity(box, f"{'foot' if unit == 'ft' else 'm'}**3")
        expected = volume.to("yard**3" if out == "yd3" else "m**3").magnitude
        inputs = {n: f"{v} {unit}" for n, v in zip(("pass_length", "rip_width", "depth"), sizes, strict=True)}
        checks.append(
            LibraryCheck("dozing.rip_pass_volume", inputs, float(expected), out, EXACT,
                         "trimesh", "volume of a box")
        )  # fmt: skip
    return checks


def _pulls() -> list[LibraryCheck]:
    checks = []
    down = np.array([0.0, -9.80665])
    for kilograms, grade in ((18000.0, 0.5), (42000.0, 0.12), (7000.0, 1.0), (25000.0, -0.3)):
        along = np.array([1.0, grade]) / np.linalg.norm([1.0, grade])
        square = np.array([-grade, 1.0]) / np.linalg.norm([1.0, grade])
        weight = kilograms * down
        pull = -float(weight @ along)
        for calculation in ("dozing.grade_pull", "dozing.grade_pull_true"):
            checks.append(
                LibraryCheck(
                    calculation, {"mass": f"{kilograms} kg", "grade": f"{grade * 100:g}%"}, pull,
                    "N", EXACT, "numpy", "weight as a vector, the part along the slope",
                )
            )  # fmt: skip
        rule = kilograms * 10 / 1000 * grade * 100 * 9.80665
        checks.append(
            LibraryCheck(
                "dozing.grade_pull", {"mass": f"{kilograms} kg", "grade": f"{grade * 100:g}%"},
                rule / pull - 1, "1", 1e-8, "numpy", "the rule over the vector's part, less one", "off",
            )
        )  # fmt: skip
        grip, rolling = 0.7, 0.05
        left = -float(weight @ square) * grip - pull - rolling * kilograms * 9.80665
        checks.append(
            LibraryCheck(
                "dozing.usable_pull",
                {"mass": f"{kilograms} kg", "grade": f"{grade * 100:g}%", "traction": str(grip),
                 "rolling_resistance": "50 kg/t"},
                left, "N", EXACT, "numpy", "weight as a vector, square to the slope and along it",
            )
        )  # fmt: skip
    for tons, percent, pounds in ((30, 4, 65), (85, -3, 100), (12, 0, 200), (40, -10, 50)):
        road = {"grade": f"{percent}%", "rolling_resistance": f"{pounds} lb/ton"}
        of_weight = Fraction(pounds, 2000) + Fraction(percent, 100)
        pull = UREG.Quantity(tons, "short_ton").to("pound").magnitude * float(of_weight)
        checks += [
            LibraryCheck("dozing.total_resistance", {"mass": f"{tons} ton", **road}, pull, "lbf", 1e-8, "pint, fractions",
                         "the weight in pounds times ground and grade as parts of it"),
            LibraryCheck("dozing.resistance_rate", road, float(2000 * of_weight), "lb/ton", EXACT, "fractions",
                         "ground and grade as parts of the weight"),
            LibraryCheck("dozing.resistance_grade", road, float(100 * of_weight), "%", EXACT, "fractions",
                         "ground and grade as parts of the weight"),
            LibraryCheck("dozing.resistance_force", {"mass": f"{tons} ton", "resistance": f"{float(2000 * of_weight)} lb/ton"},
                         pull, "lbf", 1e-8, "pint", "the weight in pounds times the part held back"),
        ]  # fmt: skip
    for power, share, speed in (("150 horsepower", 0.8, "2.5 mile/hour"), ("240 kilowatt", 0.75, "6 kilometer/hour"),
                                ("95 horsepower", 0.6, "1.2 mile/hour")):  # fmt: skip
        pull = (UREG(power) * share / UREG(speed)).to("newton").magnitude
        typed = {"power": power.replace("horsepower", "hp").replace("kilowatt", "kW"),
                 "speed": speed.replace("mile/hour", "mph").replace("kilometer/hour", "km/h")}  # fmt: skip
        checks.append(LibraryCheck(
            "dozing.drawbar_pull", {**typed, "efficiency": str(share)}, pull, "N", EXACT, "pint", "power over speed, as quantities",
        ))  # fmt: skip
    for track, ground in ((120, 100), (100, 75), (55, 54)):
        checks.append(
            LibraryCheck(
                "dozing.track_slip",
                {"track_distance": f"{track} ft", "ground_distance": f"{ground} ft"},
                float(Fraction(track - ground, track)), "1", EXACT, "fractions",
                "the part of the travel that is lost, exactly",
            )
        )  # fmt: skip
    return checks


def _pile(height: float, ratio: float, far: float) -> Polygon:
    """The pile from the side, crest over the origin."""
    return Polygon([(-ratio * height, 0), (0, height), (far * height, 0)])


def _solid(height: float, width: float, ratio: float, far: float, side: float) -> float:
    """Volume of the pile as the hull of its eight corners: foot, crest, far toe and side toes."""
    half, out = width / 2, width / 2 + side * height
    corners = [(-ratio * height, half, 0.0), (0.0, half, height), (far * height, half, 0.0), (0.0, out, 0.0)]
    hull = trimesh.convex.convex_hull(np.array(corners + [(x, -y, z) for x, y, z in corners]))
    return float(hull.volume)


def _by_cuts(height: float, width: float, ratio: float, far: float, degrees: float) -> float:
    """The same volume by cuts across: trapezia drawn with sides at the angle of repose, added up."""

    def cut(h: float) -> float:
        out = h / math.tan(math.radians(degrees))
        return float(Polygon([(-width / 2 - out, 0), (-width / 2, h), (width / 2, h), (width / 2 + out, 0)]).area) if h else 0.0

    return sum(run * float(quad(cut, 0, height)[0]) for run in (ratio, far))


def _heights() -> list[LibraryCheck]:
    """Height, length and widths of piles whose sides roll out, by root finding over hulls."""
    checks = []
    for volume, width, ratio, far, degrees in ((250 * 0.764554857984, 14 * 0.3048, 3.0, 1.5, 35.0), (900.0, 9.0, 4.0, 2.5, 28.0),
                                               (12.0, 3.0, 2.5, 1.7, 40.0), (60.0, 6.0, 4.0, 1.5, 20.0)):  # fmt: skip
        side = 1 / math.tan(math.radians(degrees))
        end = max(far, side)
        height = float(brentq(lambda h, w=width, r=ratio, f=end, s=side, v=volume: _solid(h, w, r, f, s) - v,
                              1e-2, 60, xtol=1e-12, rtol=1e-13))  # fmt: skip
        assert math.isclose(_by_cuts(height, width, ratio, end, degrees), volume, rel_tol=1e-9)
        inputs = {"volume": f"{volume!r} m3", "width": f"{width!r} m", "ratio": f"{ratio}:1",
                  "far_side_ratio": f"{far}:1", "repose": f"{degrees} deg"}  # fmt: skip
        what = "the height at which the hull of the pile's corners holds the volume"
        mean = volume / float(_pile(height, ratio, end).area)
        for result, value, unit in ((None, height, "m"), ("ramp_length", ratio * height, "m"), ("base", (ratio + end) * height, "m"),
                                    ("area", float(_pile(height, ratio, end).area), "m2"), ("mean_width", mean, "m"),
                                    ("base_width", width + 2 * side * height, "m")):  # fmt: skip
            # a height tried with five digits and put in comes out again to nearly six
            checks.append(LibraryCheck("dozing.spoil_ramp", inputs, value, unit, 3e-5, "trimesh, scipy", what, result))
        checks += [
            LibraryCheck("dozing.side_run", {"repose": f"{degrees} deg"}, side, "1", EXACT, "plain trigonometry",
                         "the cotangent of the angle"),
            LibraryCheck("dozing.far_run", {"far_side_ratio": f"{far}:1", "side_run": f"{side!r}:1"}, end, "1", EXACT,
                         "plain comparing", "the flatter of the two"),
            LibraryCheck("dozing.pile_mean_width", {"width": f"{width!r} m", "side_run": f"{side!r}:1", "height": f"{height!r} m"},
                         mean, "m", EXACT, "trimesh, scipy", "volume of the hull over its area from the side"),
        ]  # fmt: skip
    return checks


def _spoil() -> list[LibraryCheck]:
    """Piles between walls: the same outline all across."""
    checks = []
    for volume, width, ratio, far in ((80.0, 8.0, 3.0, 1.5), (400.0, 6.0, 4.0, 1.2),
                                      (12.0, 3.5, 2.0, 2.0)):  # fmt: skip

        def spare(height: float, v: float = volume, w: float = width, r: float = ratio,
                  f: float = far) -> float:  # fmt: skip
            return float(_pile(height, r, f).area * w - v)

        height = float(brentq(spare, 1e-3, 200, xtol=1e-13, rtol=1e-14))
        outline = _pile(height, ratio, far)
        foot, _, end, _ = outline.bounds
        inputs = {"volume": f"{volume} m3", "width": f"{width} m", "ratio": f"{ratio}:1",
                  "far_side_ratio": f"{far}:1", "repose": "90 deg"}  # fmt: skip
        what = "the height at which the outline's area times the width is the volume"
        for result, value in ((None, height), ("ramp_length", -foot), ("base", end - foot)):
            checks.append(
                LibraryCheck("dozing.spoil_ramp", inputs, float(value), "m", EXACT,
                             "shapely, scipy", what, result)
            )  # fmt: skip
        sides = {"ratio": f"{ratio}:1", "far_side_ratio": f"{far}:1"}
        checks += [
            LibraryCheck("dozing.pile_area", {"volume": f"{volume} m3", "width": f"{width} m"},
                         float(outline.area), "m2", EXACT, "shapely, scipy", what),
            LibraryCheck("dozing.pile_base", {"pile_area": f"{outline.area!r} m2", **sides},
                         float(end - foot), "m", EXACT, "shapely, scipy", what),
            LibraryCheck("dozing.ramp_length", {"pile_base": f"{float(end - foot)!r} m", **sides},
                         float(-foot), "m", EXACT, "shapely, scipy", what),
            LibraryCheck("dozing.ramp_height", {"ramp_length": f"{float(-foot)!r} m",
                                                "ratio": f"{ratio}:1"},
                         height, "m", EXACT, "shapely, scipy", what),
        ]  # fmt: skip
    return checks


def _widths() -> list[LibraryCheck]:
    """Widths side by side, and the grip on loose ground."""
    checks = []
    for machine, edge, planned in ((12, 6, 14), (14, 6, 30), (9, 4, 17)):
        low, _, high, _ = LineString([(-machine / 2, 0), (machine / 2, 0)]).buffer(edge).bounds
        least = float(high - low)
        checks += [
            LibraryCheck("dozing.ramp_width", {"machine_width": f"{machine} ft", "edge_distance": f"{edge} ft"}, least, "ft",
                         EXACT, "shapely", "the machine's width with the distance laid around it"),
            LibraryCheck("dozing.pile_top", {"planned_width": f"{planned} ft", "least_width": f"{least} ft"},
                         float(np.maximum(planned, least)), "ft", EXACT, "numpy", "the wider of the two"),
        ]  # fmt: skip
    for loose, firm in (("0.5", "0.9"), ("0.6", "0.5"), ("0.3", "0.3")):
        checks.append(LibraryCheck("dozing.loose_grip", {"traction_loose": loose, "traction": firm},
                                   float(min(Fraction(loose), Fraction(firm))), "1", EXACT, "fractions", "the smaller of the two"))  # fmt: skip
    return checks


def _strips() -> list[LibraryCheck]:
    """An area laid out in strips, as shapes on the ground."""
    checks = []
    for wide, long, blade, height, degrees in ((88.0, 46.0, 3.6, 0.5, 35.0), (60.0, 30.0, 2.6, 0.3, 32.0), (140.0, 75.0, 4.3, 0.6, 38.0)):
        area = float(Polygon([(0, 0), (wide, 0), (wide, long), (0, long)]).area)
        ridge = Polygon([(-height / math.tan(math.radians(degrees)), 0), (0, height), (height / math.tan(math.radians(degrees)), 0)])
        base = float(ridge.bounds[2] - ridge.bounds[0])
        laid, count = 0.0, 0
        while laid < wide - 1e-9:  # strip by strip across the area
            laid, count = laid + blade + base, count + 1
        outline = list(ridge.exterior.coords)[:-1]
        one = float(trimesh.convex.convex_hull(np.array([(x, end, z) for x, z in outline for end in (0.0, long)])).volume)
        checks += [
            LibraryCheck("dozing.strip_area_width", {"area": f"{area} m2", "strip_length": f"{long} m"}, wide, "m", EXACT,
                         "shapely", "the side of the rectangle that has this area"),
            LibraryCheck("dozing.windrow_base", {"height": f"{height} m", "repose": f"{degrees} deg"}, base, "m", EXACT,
                         "shapely", "the bounds of a ridge drawn with both sides at rest"),
            LibraryCheck("dozing.strips", {"area_width": f"{wide} m", "blade_width": f"{blade} m", "windrow_base": f"{base!r} m"},
                         float(count), "1", EXACT, "plain counting", "laying strip by strip across the area"),
            LibraryCheck("dozing.windrows_volume", {"strips": str(count), "windrow_volume": f"{one!r} m3"},
                         one * len(range(-1, count)), "m3", EXACT, "trimesh", "ridges of one size, one on each side of every strip"),
        ]  # fmt: skip
    return checks


def _slots() -> list[LibraryCheck]:
    checks = []
    for length, width, depth, swell, load, carry in (
        (60.0, 4.0, 1.0, 25, 6.0, 90), (30.0, 3.0, 0.4, 40, 3.5, 100), (110.0, 4.5, 1.6, 12, 9.0, 70),
    ):  # fmt: skip
        bank = float(trimesh.creation.box(extents=(length, width, depth)).volume)
        net = Fraction(str(load)) * carry / (100 + swell)
        full, left = divmod(Fraction(str(length)) * Fraction(str(width)) * Fraction(str(depth)), net)
        slot = {"slot_length": f"{length} m", "slot_width": f"{width} m",
                "slot_depth": f"{depth} m"}  # fmt: skip
        checks += [
            LibraryCheck("dozing.slot_volume", slot, bank, "m3", EXACT, "trimesh", "volume of a box"),
            LibraryCheck("dozing.slot_passes",
                         {**slot, "swell": f"{swell}%", "blade_load": f"{load} m3",
                          "carry": f"{carry}%"},
                         float(full + (left > 0)), "1", EXACT, "fractions",
                         "whole loads and a rest, in exact fractions"),
            LibraryCheck("dozing.net_load",
                         {"blade_load": f"{load} m3", "carry": f"{carry}%", "swell": f"{swell}%"},
                         float(net), "m3", EXACT, "fractions", "exact fractions"),
            LibraryCheck("dozing.slice_length",
                         {"net_load": f"{float(net)!r} m3", "slot_width": f"{width} m",
                          "slot_depth": f"{depth} m"},
                         _slice(float(net), width, depth), "m", EXACT, "shapely, scipy",
                         "how far a line across the slot moves until it shuts in the load"),
        ]  # fmt: skip
    return checks


def _slice(net: float, width: float, depth: float) -> float:
    def short(x: float) -> float:
        return float(LineString([(0, 0), (x, 0)]).length * width * depth - net)

    return float(brentq(short, 1e-6, 1e4, xtol=1e-13, rtol=1e-14))


# --- the pass plan, on a grid of columns -----------------------------------------------------

PLANS = (
    # length, width, depth, blade height, load, swell, ratio, carry, open carry (metres, m3)
    (60.0, 4.0, 1.0, 1.3, 6.0, 0.25, 3.0, 0.90, 0.83),
    (73.152, 3.6, 0.9, 1.2, 5.0, 0.30, 3.0, 1.00, 0.75),
    (30.0, 3.0, 0.5, 1.0, 3.1, 0.15, 4.0, 0.95, 0.60),
)
FAR, LOAD_DISTANCE, PUSH, BACK, FIXED = 1.5, 12.0, 4 / 3.6, 8 / 3.6, 3.0
REPOSE = 36.0  # degrees; the far side above is flatter
HEIGHTS = np.linspace(0, 40, 400001)


def _volumes(width: float, ratio: float) -> Any:
    """Volume of the pile for each of HEIGHTS: cuts across, added up height by height."""
    cut = HEIGHTS * (width + HEIGHTS / math.tan(math.radians(REPOSE)))
    return cumulative_trapezoid(cut, HEIGHTS, initial=0) * (ratio + FAR)


def _climbed(climb: Any, push: Any, ratio: float, ground: float) -> Any:
    """What is climbed on a push, no more than the ramp's own steepness over the whole of it."""
    return np.minimum(climb, np.multiply(push, max(1 / ratio, ground)))


def _front(plan: tuple[float, ...], ground: float) -> dict[str, float]:
    """Front to back by arrays: equal loads, starts where the sum of loads is the cut so far."""
    length, width, depth, _, load, swell, ratio, carry, _ = plan
    grid = np.linspace(0, length, 20001)
    cut = grid * width * depth  # bank volume between the spoil end and each point
    net = load * carry / (1 + swell)
    count = int(np.ceil(cut[-1] / net - 1e-9))
    ends = np.minimum(np.arange(1, count + 1) * net, cut[-1])
    starts = np.interp(ends, cut, grid)
    before = np.concatenate([[0.0], ends[:-1]]) * (1 + swell)
    # the height of a volume is read off a table of volumes
    ramps = ratio * np.interp(before, _volumes(width, ratio), HEIGHTS)
    push = starts + ramps
    climbed = _climbed(depth + ramps / ratio + ground * starts, push, ratio, ground)
    reverse = np.concatenate([starts[1:], starts[-1:]]) + ramps
    seconds = float(np.sum(push / PUSH + reverse / BACK + FIXED))
    return {"passes": float(count), "loaded_distance": float(push.sum()),
            "reverse_distance": float(reverse.sum()), "hours": seconds,
            "mean_grade": float(climbed.sum() / push.sum())}  # fmt: skip


def _columns(plan: tuple[float, ...], ground: float) -> dict[str, float]:
    """Back to front: the slot as columns, dug one after another from the far end, layer by layer."""
    length, width, depth, _, load, swell, ratio, carry, open_carry = plan
    n = 20000
    dx = length / n
    depths = np.zeros(n)
    loose, passes, loaded, reverse, seconds, climbed = 0.0, 0, 0.0, 0.0, 0.0, 0.0
    held = _volumes(width, ratio)
    while depths.min() < depth - 1e-9:
        walls = float(depths.mean()) / depth
        net = load * (open_carry + (carry - open_carry) * walls) / (1 + swell)
        # full loads over the load distance take off this much; the last layer is what is left
        thick = min(math.ceil(length / LOAD_DISTANCE) * net / (length * width),
                    depth - float(depths.max()))  # fmt: skip
        dug = np.cumsum(np.full(n, thick * dx * width))  # from the far end forward
        for k in range(math.ceil(float(dug[-1]) / net - 1e-9)):
            begin = int(np.searchsorted(dug, k * net + 1e-9))
            end = int(np.searchsorted(dug, (k + 1) * net + 1e-9))
            depths[n - end : n - begin] += thick
            ramp = ratio * float(np.interp(loose, held, HEIGHTS))
            start = length - begin * dx
            loose += (end - begin) * thick * dx * width * (1 + swell)
            passes += 1
            climb = float(depths[n - end]) + ramp / ratio + ground * start
            climbed += float(_climbed(climb, start + ramp, ratio, ground))
            loaded += start + ramp
            reverse += length + ramp
            seconds += (start + ramp) / PUSH + (2 * length - start + ramp) / BACK + FIXED
    assert np.allclose(depths, depth)
    return {"passes": float(passes), "loaded_distance": loaded, "reverse_distance": reverse,
            "hours": seconds, "mean_grade": climbed / loaded}  # fmt: skip


def _plans() -> list[LibraryCheck]:
    checks = []
    for plan, ground in zip(PLANS, (0.0, -0.12, 0.08), strict=True):
        length, width, depth, blade, load, swell, ratio, carry, open_carry = plan
        inputs = {
            "slot_length": f"{length} m", "slot_width": f"{width} m", "slot_depth": f"{depth} m",
            "blade_height": f"{blade} m", "blade_load": f"{load} m3", "swell": f"{swell * 100:g}%",
            "spoil_ratio": f"{ratio}:1", "carry": f"{carry * 100:g}%",
            "open_carry": f"{open_carry * 100:g}%", "load_distance": f"{LOAD_DISTANCE} m",
            "repose": f"{REPOSE:g} deg", "push_speed": "4 km/h", "return_speed": "8 km/h", "fixed_time": "3 s", "ground_grade": f"{ground * 100:g}%",
        }  # fmt: skip
        front, back = _front(plan, ground), _columns(plan, ground)
        for tail, theirs, within in (("", front, 1e-6), ("_back_to_front", back, 1e-3)):
            for result, value in theirs.items():
                unit = {"passes": "1", "hours": "s", "mean_grade": "1"}.get(result, "m")
                checks.append(
                    LibraryCheck(
                        "dozing.pass_plan", inputs, value, unit, within, "numpy",
                        "the slot as a grid of columns, dug one after another", f"{result}{tail}",
                    )
                )  # fmt: skip
        # left out, it is the published factor of 1.2 for slot dozing that open ground brings less
        usual = _columns((*plan[:8], carry / 1.2), ground)["loaded_distance"]
        checks.append(
            LibraryCheck("dozing.pass_plan", {n: t for n, t in inputs.items() if n != "open_carry"}, usual, "m", 1e-3,
                         "numpy", "the slot as a grid of columns, dug one after another", "loaded_distance_back_to_front")
        )  # fmt: skip
        box = float(trimesh.creation.box(extents=(length, width, depth)).volume)
        for result, value in (("bank_volume", box), ("spoil_volume", box * (1 + swell))):
            checks.append(
                LibraryCheck("dozing.pass_plan", inputs, value, "m3", EXACT, "trimesh",
                             "volume of a box, and swollen", result)
            )  # fmt: skip

        def spare(height: float, p: tuple[float, ...] = plan, v: float = box) -> float:
            return _solid(height, p[1], p[6], FAR, 1 / math.tan(math.radians(REPOSE))) - v * (1 + p[5])

        peak = float(brentq(spare, 0.01, 100, xtol=1e-13, rtol=1e-14))
        checks.append(
            LibraryCheck("dozing.pass_plan", inputs, peak, "m", EXACT, "trimesh, scipy",
                         "the height at which the finished pile holds all the spoil", "spoil_height")
        )  # fmt: skip
        checks.append(
            LibraryCheck("dozing.pass_plan", inputs, float(_pile(peak, ratio, FAR).area), "m2", EXACT,
                         "shapely, scipy", "the finished pile's outline from the side", "spoil_area")
        )  # fmt: skip
        checks += [
            LibraryCheck("dozing.pass_plan", inputs, peak * ratio, "m", EXACT, "shapely, scipy",
                         "the height at which the finished pile holds all the spoil", "ramp_length"),
            LibraryCheck("dozing.pass_plan", inputs, _slice(load * carry / (1 + swell), width, depth), "m", EXACT,
                         "shapely, scipy", "how far a line across the slot moves until it shuts in the load", "slice_length"),
            LibraryCheck("dozing.pass_plan", inputs, float(Fraction(str(depth)) / Fraction(str(blade))), "1", EXACT,
                         "fractions", "one height as a part of the other, exactly", "depth_share"),
            LibraryCheck("dozing.pass_plan", inputs, 1 - front["reverse_distance"] / back["reverse_distance"], "1", 2e-3,
                         "numpy", "the slot as a grid of columns, dug one after another", "reverse_saving"),
        ]  # fmt: skip
    return checks


def _production() -> list[LibraryCheck]:
    checks = []
    for load, minutes, shares in ((8.0, 1.41, {"operator": "0.75", "efficiency": "0.83"}),
                                  (5.5, 0.9, {"material": "1.2", "grade": "0.3", "weight": "0.79"})):  # fmt: skip
        # one load every cycle is a constant flow: add it up over an hour
        flow = load / minutes
        hour, _ = quad(lambda t, q=flow: q, 0, 60)
        total = float(hour) * math.prod(float(x) for x in shares.values())
        checks.append(
            LibraryCheck(
                "dozing.production",
                {"blade_load": f"{load} m3", "cycle_time": f"{minutes} min", **shares}, total,
                "m3/h", EXACT, "scipy", "the flow added up over an hour",
            )
        )  # fmt: skip
    return checks


def _jobs() -> list[LibraryCheck]:
    checks = []
    for volume, rate, dozers in ((3000, 190, 1), (12000, 240, 3), (900, 75, 2)):
        # hour by hour until the heap is gone, the rest in part of an hour
        whole, rest = divmod(Fraction(volume), rate * dozers)
        checks.append(
            LibraryCheck(
                "dozing.job_time",
                {"volume": f"{volume} m3", "production": f"{rate} m3/h", "dozers": str(dozers)},
                float(whole + rest / (rate * dozers)), "h", EXACT, "fractions",
                "whole hours and the rest, in exact fractions",
            )
        )  # fmt: skip
        hours = Fraction(13, 2)
        full, left = divmod(Fraction(volume), rate * hours)
        checks.append(
            LibraryCheck(
                "dozing.dozers_needed",
                {"volume": f"{volume} m3", "production": f"{rate} m3/h", "time": "6.5 h"},
                float(full + (left > 0)), "1", EXACT, "fractions",
                "whole dozers and a rest, in exact fractions",
            )
        )  # fmt: skip
    for amount, load in ((200, 8), (150, 6), (97, 9), (200, 6)):
        heap, pushes = amount, 0
        while heap > 0:
            heap, pushes = heap - load, pushes + 1
        checks.append(
            LibraryCheck(
                "dozing.pushes", {"loose_volume": f"{amount} m3", "blade_load": f"{load} m3"},
                float(pushes), "1", EXACT, "plain counting", "taking load by load off the heap",
            )
        )  # fmt: skip
    for area, centimetres, swell, load in ((2000, 15, 25, 3), (8500, 25, 40, 5), (350, 10, 12, 2), (1000, 10, 30, 3)):
        bank = UREG.Quantity(area, "m**2") * UREG.Quantity(centimetres, "cm")
        swollen = Fraction(round(bank.to("liter").magnitude), 1000) * (100 + swell) / 100
        loads, over = divmod(swollen, load)
        checks.append(
            LibraryCheck(
                "dozing.strip_loads",
                {"area": f"{area} m2", "depth": f"{centimetres} cm", "swell": f"{swell}%",
                 "blade_load": f"{load} m3"},
                float(loads + (over > 0)), "1", EXACT, "pint, fractions",
                "whole loads and a rest, in exact fractions",
            )
        )  # fmt: skip
    return checks


def checks() -> list[LibraryCheck]:
    """All second opinions on dozing."""
    return [
        *_blades(),
        *_times(),
        *_pulls(),
        *_spoil(),
        *_heights(),
        *_widths(),
        *_strips(),
        *_slots(),
        *_plans(),
        *_production(),
        *_jobs(),
    ]
