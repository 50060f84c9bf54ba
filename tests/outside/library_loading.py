"""Second opinions on the loading calculations by general-purpose libraries."""

from __future__ import annotations

import functools
import math
from fractions import Fraction
from typing import Any

import ciw
import numpy as np
import trimesh
from scipy.interpolate import RegularGridInterpolator
from shapely.affinity import rotate
from shapely.geometry import LineString, Point, box

from tests.outside.kinds import LibraryCheck, pint_units

UREG: Any = pint_units()
EXACT = 1e-9


def _heap_hull(length: float, width: float, ratio: float) -> float:
    """Volume of a hip roof on a rectangle, from the hull of its corners."""
    long, short = max(length, width), min(length, width)
    rise = short / 2 / ratio
    points = [
        (0, 0, 0), (long, 0, 0), (long, short, 0), (0, short, 0),
        (short / 2, short / 2, rise), (long - short / 2, short / 2, rise),
    ]  # fmt: skip
    return float(trimesh.convex.convex_hull(np.array(points, dtype=float)).volume)


def _heaps() -> list[LibraryCheck]:
    what = "volume of the convex hull of the heap's corners"
    checks = []
    for width, opening, struck in ((1.2, 0.9, 0.8), (0.6, 1.1, 0.3), (2.4, 2.1, 4.5), (1.0, 1.7, 1.0)):
        heap = _heap_hull(opening, width, 1.0)
        sides = {"inside_width": f"{width} m", "opening": f"{opening} m"}
        checks.append(LibraryCheck("loading.bucket_heap", sides, heap, "m3", EXACT, "trimesh", what))
        checks.append(
            LibraryCheck(
                "loading.bucket_heaped", {"struck_volume": f"{struck} m3", **sides}, struck + heap,
                "m3", EXACT, "trimesh", what,
            )
        )  # fmt: skip
    for length, width, ratio in ((5.5, 2.9, 2.0), (9.0, 6.5, 2.0), (4.0, 1.5, 3.0)):
        checks.append(
            LibraryCheck(
                "loading.heap_volume",
                {"heap_length": f"{length} m", "heap_width": f"{width} m", "side_ratio": f"{ratio}:1"},
                _heap_hull(length, width, ratio), "m3", EXACT, "trimesh", what,
            )
        )  # fmt: skip
    return checks


def _weights() -> list[LibraryCheck]:
    q = UREG.Quantity
    checks = []
    for bucket, fill, dense in (("1.5 yard**3", 1.05, "2480 lb/yard**3"), ("0.35 m**3", 0.7, "1.9 t/m**3"),
                                ("5 yard**3", 0.55, "1815 kg/m**3")):  # fmt: skip
        mass = (q(bucket) * fill * q(dense)).to("lb").magnitude
        volume, density = _typed(bucket), _typed(dense)
        checks.append(
            LibraryCheck(
                "loading.bucket_load",
                {"bucket_capacity": volume, "fill": f"{fill}", "loose_density": density}, mass, "lb",
                EXACT, "pint", "product of quantities",
            )
        )  # fmt: skip
        checks.append(
            LibraryCheck(
                "loading.density_check",
                {"mass_per_bucket": f"{mass!r} lb", "bucket_capacity": volume, "fill": f"{fill}"},
                q(dense).to("kg/m**3").magnitude, "kg/m3", EXACT, "pint", "the density put in",
            )
        )  # fmt: skip
    for mass, length, shoe in (("50000 lb", "12 ft", "24 inch"), ("3.5 t", "150 cm", "300 mm"),
                               ("90 t", "5.1 m", "610 mm")):  # fmt: skip
        area = 2 * q(length) * q(shoe)
        pressure = (q(mass) * q(1, "standard_gravity") / area).to("psi").magnitude
        checks.append(
            LibraryCheck(
                "loading.ground_pressure",
                {"mass": mass, "track_length": length, "shoe_width": shoe.replace("inch", "in")},
                pressure, "psi", EXACT, "pint", "weight over the area of both tracks",
            )
        )  # fmt: skip
    return checks


def _typed(text: str) -> str:
    return text.replace("yard**3", "yd3").replace("m**3", "m3")


def _times() -> list[LibraryCheck]:
    q = UREG.Quantity
    checks = []
    for dig, angle, speed, dumped in ((6.0, 60, "11 rpm", 3), (9.5, 120, "4 rpm", 2), (12.0, 35, "7 rpm", 5)):
        turn = q(angle, "degree") / q(speed.replace("rpm", "turn/minute"))
        seconds = dig + dumped + 2 * turn.to("second").magnitude
        checks.append(
            LibraryCheck(
                "loading.cycle_time",
                {"dig_time": f"{dig} s", "swing_angle": f"{angle} deg", "swing_speed": speed,
                 "dump_time": f"{dumped} s"},
                seconds, "s", EXACT, "pint", "turns over turns a minute, both ways",
            )
        )  # fmt: skip
    for load, far, out, dump, back, spot in ((3.0, "3000 ft", "12 mph", 1.5, "18 mph", 0.5),
                                             (4.2, "2.4 km", "20 km/h", 2.0, "35 km/h", 0.8)):  # fmt: skip
        travel = sum((q(far) / q(v)).to("minute").magnitude for v in (out, back))
        checks.append(
            LibraryCheck(
                "loading.truck_cycle",
                {"load_time": f"{load} min", "haul_distance": far, "haul_speed": out,
                 "truck_dump_time": f"{dump} min", "empty_speed": back, "spot_time": f"{spot} min"},
                load + dump + spot + travel, "min", EXACT, "pint", "distances over speeds",
            )
        )  # fmt: skip
    for bucket, fill, cycle, minutes, factor, swell in ((1.5, 1.05, 22, 50, 1.1, 25.0), (0.4, 0.8, 17, 40, 0.9, 60.0)):
        rate = (q(bucket, "yard**3") * fill * factor / q(cycle, "second")).to("yard**3/hour").magnitude
        loose = rate * minutes / 60
        given = {
            "bucket_capacity": f"{bucket} yd3", "fill": f"{fill}", "cycle_time": f"{cycle} s",
            "efficiency": f"{minutes} min/h", "swing_depth_factor": f"{factor}",
        }  # fmt: skip
        checks.append(
            LibraryCheck("loading.production", given, loose, "yd3/h", EXACT, "pint",
                         "buckets an hour of work")
        )  # fmt: skip
        checks.append(
            LibraryCheck("loading.bank_production", {**given, "swell": f"{swell}%"},
                         loose / (1 + swell / 100), "yd3/h", EXACT, "pint",
                         "buckets an hour of work, bank ground swells to it")
        )  # fmt: skip
    return checks


# printed in the source of the table, typed here a second time on purpose
_SWINGS = (45.0, 60.0, 75.0, 90.0, 120.0, 180.0)
_DEPTHS = (30.0, 50.0, 70.0, 90.0)
_FACTORS = (
    (1.33, 1.26, 1.21, 1.15, 1.08, 0.95), (1.28, 1.21, 1.16, 1.10, 1.03, 0.91),
    (1.16, 1.10, 1.05, 1.00, 0.94, 0.83), (1.04, 1.00, 0.95, 0.90, 0.85, 0.75),
)  # fmt: skip


def _swing_depth() -> list[LibraryCheck]:
    surface = RegularGridInterpolator((_DEPTHS, _SWINGS), np.array(_FACTORS))
    checks = []
    for depth, swing in ((3.0, 45.0), (3.7, 52.0), (5.0, 100.0), (6.6, 90.0), (8.9, 171.0), (9.0, 180.0)):
        checks.append(
            LibraryCheck(
                "loading.swing_depth_factor",
                {"digging_depth": f"{depth} m", "max_digging_depth": "10 m", "swing_angle": f"{swing} deg"},
                float(surface((depth * 10, swing))), "1", EXACT, "scipy",
                "linear interpolation on the grid of the table",
            )
        )  # fmt: skip
    return checks


def _turn(start: np.ndarray, end: np.ndarray) -> float:
    """Angle between two lines from the swing centre [deg]."""
    cross = start[0] * end[1] - start[1] * end[0]
    return math.degrees(math.atan2(cross, float(np.dot(start, end))))


def _swing_points(
    passes: int, arc: float, near: float, length: float, distance: float, angle: float
) -> tuple[list[np.ndarray], list[np.ndarray]]:
    """Points dug (far to near) and points filled (front to rear) on a plan, swing centre (0, 0).

    The truck is drawn ahead, along x; a swing from the face to it turns to the left.
    """
    slant = math.radians(angle)
    body = LineString([
        (distance + s * length / 2 * math.cos(slant), s * length / 2 * math.sin(slant)) for s in (1, -1)
    ])  # fmt: skip
    fills = []
    for k in range(passes):
        point = body.interpolate((k + 0.5) / passes, normalized=True)
        fills.append(np.array([point.x, point.y]))
    rear = Point(body.coords[-1])
    digs = []
    for k in range(passes):
        turn = near + arc * (1 - (k + 0.5) / passes)
        away = math.atan2(rear.y, rear.x) - math.radians(turn)
        digs.append(np.array([7.0 * math.cos(away), 7.0 * math.sin(away)]))
    return digs, fills


def _waited_for(digs: list[np.ndarray], fills: list[np.ndarray]) -> float:
    """The bucket's way from the first dump to the last [deg]."""
    total, at = 0.0, fills[0]
    for dig, fill in zip(digs[1:], fills[1:], strict=True):
        total += abs(_turn(at, dig)) + abs(_turn(dig, fill))
        at = fill
    return total


def _round_trip(digs: list[Any], fills: list[Any]) -> float:
    """All the swings of one truck, to the first dig of the next one."""
    way = [p for pair in zip(digs, fills, strict=True) for p in pair]
    return float(sum(abs(_turn(a, b)) for a, b in zip(way, (*way[1:], way[0]), strict=True)))


def _matches() -> list[LibraryCheck]:
    checks = []
    # loose kg/m3, then tonnes and m3; the body governs in the first, the payload in the others
    for bucket, fill, density, payload, body, heap, seconds in (
        ("2.4", "0.9", 1400, "40", "20", "1", 24), ("1.6", "1.1", 1750, "23", "15", "1", 20), ("3.1", "0.8", 1600, "36", "24", "0.95", 28),
    ):  # fmt: skip
        load = Fraction(bucket) * Fraction(fill) * density / 1000
        target = min(Fraction(payload), Fraction(body) * Fraction(heap) * density / 1000)
        whole, rest = divmod(target, load)
        passes = whole + (rest > 0)
        inputs = {
            "bucket_capacity": f"{bucket} m3", "fill": fill, "loose_density": f"{density} kg/m3", "payload": f"{payload} t",
            "body_volume": f"{body} m3", "heap": heap, "cycle_time": f"{seconds} s",
        }  # fmt: skip
        for result, value, unit in (
            ("passes", passes, "1"), ("load_time", passes * seconds, "s"), ("last_pass", rest / load or Fraction(1), "1"),
            ("target", target, "t"), ("bucket_load", load, "t"), ("all_full", passes * load / Fraction(payload), "1"),
            ("one_less", (passes - 1) * load / target, "1"),
        ):  # fmt: skip
            checks.append(LibraryCheck("loading.truck_match", inputs, float(value), unit, EXACT, "fractions",
                                       "whole buckets and a rest, in exact fractions", result))  # fmt: skip
    return checks


def _swing_plans() -> list[LibraryCheck]:
    checks = []
    cases = ((6, 40, 30, 5.5, 7.0, 90, 20), (4, 60, 20, 6.0, 8.0, 70, 25), (9, 25, 45, 4.5, 6.0, 110, 15),
             (3, 90, 10, 8.0, 12.0, 90, 30), (2, 30, 60, 5.0, 7.0, 60, 24))  # fmt: skip
    for n, arc, near, length, distance, angle, speed in cases:
        digs, fills = _swing_points(n, arc, near, length, distance, angle)
        inputs = {
            "passes": f"{n}", "dig_arc": f"{arc} deg", "swing_near": f"{near} deg",
            "body_length": f"{length} m", "truck_distance": f"{distance} m",
            "truck_angle": f"{angle} deg", "swing_speed": f"{speed} deg/s",
        }  # fmt: skip
        here = _waited_for(digs, fills)
        there = _waited_for(digs[::-1], fills[::-1])
        results = {
            "swing_time": (here / speed, "s"), "swing_time_opposite": (there / speed, "s"),
            "swing": (here, "deg"), "first_swing": (abs(_turn(digs[0], fills[0])), "deg"),
            "last_swing": (abs(_turn(digs[-1], fills[-1])), "deg"), "swing_opposite": (there, "deg"),
            "whole_swing": (_round_trip(digs, fills), "deg"), "mean_swing": (_round_trip(digs, fills) / (2 * n), "deg"),
        }  # fmt: skip
        for result, (expected, unit) in results.items():
            # bearings are worked to a tenth of a degree
            checks.append(
                LibraryCheck("loading.swing_plan", inputs, expected, unit, 0.003, "shapely",
                             "the bucket's way from point to point on a plan", result)
            )  # fmt: skip
    for x, d, b in ((3.0, 8.0, 75.0), (-2.5, 7.0, 110.0), (4.0, 9.0, 40.0)):
        point = np.array([d + x * math.cos(math.radians(b)), x * math.sin(math.radians(b))])
        checks.append(
            LibraryCheck(
                "loading.fill_bearing",
                {"offset": f"{x} m", "truck_distance": f"{d} m", "truck_angle": f"{b} deg"},
                _turn(np.array([1.0, 0.0]), point), "deg", EXACT, "numpy", "angle between two lines",
            )
        )  # fmt: skip
    return checks


def _balanced(trucks: int, load: float, away: float) -> np.ndarray:
    """Shares of time with 0, 1, … trucks at the loader, from the balance of what comes and goes."""
    rates = np.zeros((trucks + 1, trucks + 1))
    for n in range(trucks + 1):
        if n < trucks:
            rates[n, n + 1] = (trucks - n) / away
        if n > 0:
            rates[n, n - 1] = 1 / load
    rates -= np.diag(rates.sum(axis=1))
    system = np.vstack([rates.T, np.ones(trucks + 1)])
    wanted = np.zeros(trucks + 2)
    wanted[-1] = 1
    solved: np.ndarray = np.linalg.lstsq(system, wanted, rcond=None)[0]
    return solved


def _fleets() -> list[LibraryCheck]:
    checks = []
    for trucks, load, away in ((2, 3.0, 15.0), (4, 4.0, 16.0), (7, 2.5, 22.0), (12, 3.0, 20.0), (25, 1.5, 40.0)):
        shares = _balanced(trucks, load, away)
        there = float(shares @ np.arange(trucks + 1))
        rate = float(1 - shares[0]) / load
        inputs = {"trucks": f"{trucks}", "load_time": f"{load} min", "away_time": f"{away} min"}
        results = {
            "loads_per_hour": (rate * 60, "1/h"), "loader_idle": (float(shares[0]), "1"),
            "time_at_loader": (there / rate, "min"), "wait_time": (there / rate - load, "min"),
            "loader_busy": (float(1 - shares[0]), "1"),
            "lost_share": (1 - rate / min(trucks / (load + away), 1 / load), "1"),
        }  # fmt: skip
        for result, (expected, unit) in results.items():
            # a nearly busy loader's idle share is a small difference of two large figures
            within = {"loader_idle": 1e-3, "lost_share": 1e-3, "wait_time": 1e-4}.get(result, 2e-5)
            checks.append(
                LibraryCheck("loading.fleet_output", inputs, expected, unit, within, "numpy",
                             "balance equations of the queue, solved", result)
            )  # fmt: skip
    return checks


@functools.cache
def simulated(trucks: int, load: float, away: float, fixed_haul: bool, seed: int = 1) -> float:
    """Loads an hour of a seeded simulation: exponential loading, exponential or fixed haul."""
    haul = ciw.dists.Deterministic(away) if fixed_haul else ciw.dists.Exponential(1 / away)
    network = ciw.create_network(
        # the trucks come in one by one at the start, and then go round for ever
        arrival_distributions=[ciw.dists.Sequential([0.01] * trucks + [float("inf")]), None],
        service_distributions=[haul, ciw.dists.Exponential(1 / load)],
        number_of_servers=[float("inf"), 1],
        routing=[[0.0, 1.0], [1.0, 0.0]],
    )
    ciw.seed(seed)
    warm_up, end = 500.0, 30_500.0
    run = ciw.Simulation(network)
    run.simulate_until_max_time(end)
    loaded = [r for r in run.get_all_records() if r.node == 2 and r.service_end_date > warm_up]
    return len(loaded) * 60 / (end - warm_up)


def _simulations() -> list[LibraryCheck]:
    checks = []
    for trucks, load, away, fixed in ((5, 4.0, 16.0, False), (4, 4.0, 16.0, True)):
        haul = "fixed" if fixed else "random"
        checks.append(
            LibraryCheck(
                "loading.fleet_output",
                {"trucks": f"{trucks}", "load_time": f"{load} min", "away_time": f"{away} min"},
                simulated(trucks, load, away, fixed), "1/h", 0.03, "ciw",
                f"a simulated shift of many days with {haul} haul times",
            )
        )  # fmt: skip
    return checks


@functools.cache
def by_the_clock(trucks: int, loaders: int, turn: float, away: float) -> tuple[float, float]:
    """Loads an hour and truck minutes of waiting an hour of a simulated shift in which every round is alike."""
    network = ciw.create_network(
        arrival_distributions=[None, ciw.dists.Sequential([1e-9] * trucks + [float("inf")])],
        service_distributions=[ciw.dists.Deterministic(away), ciw.dists.Deterministic(turn * loaders)],
        number_of_servers=[float("inf"), loaders],
        routing=[[0.0, 1.0], [1.0, 0.0]],
    )
    ciw.seed(1)
    # whole rounds, after the bunch of the start has spread out
    cycle = max(away + turn * loaders, trucks * turn)
    first, last = 50.5 * cycle, 250.5 * cycle
    run = ciw.Simulation(network)
    run.simulate_until_max_time(last + 3 * cycle)
    loaded = [r for r in run.get_all_records() if r.node == 2 and first < r.service_end_date <= last]
    return len(loaded) * 60 / (last - first), sum(r.waiting_time for r in loaded) * 60 / (last - first)


def _schedules() -> list[LibraryCheck]:
    checks = []
    for trucks, loaders, spot, load, tip in ((4, 1, 0.5, 1.6, 1.5), (2, 1, 0.5, 2.25, 2.0), (7, 1, 0.25, 1.75, 1.0), (9, 3, 0.5, 4.0, 1.2),
                                             (5, 2, 0.5, 4.5, 0.8)):  # fmt: skip
        rate, waited = by_the_clock(trucks, loaders, (spot + load) / loaders, 3.0 + tip + 2.0)
        inputs = {"trucks": f"{trucks}", "loaders": f"{loaders}", "load_time": f"{load} min", "spot_time": f"{spot} min",
                  "haul_distance": "1320 ft", "haul_speed": "5 mph", "empty_speed": "7.5 mph", "truck_dump_time": f"{tip} min"}  # fmt: skip
        for result, expected, unit in (("loads_per_hour", rate, "1/h"), ("trucks_wait", waited, "min")):
            checks.append(LibraryCheck("loading.fleet_schedule", inputs, expected, unit, 1e-3, "ciw",
                                       "a simulated shift with every round alike", result))  # fmt: skip
    return checks


def _stands() -> list[LibraryCheck]:
    """The tracks as a turned rectangle, laid out from the crest; the truck beyond the fall zone."""
    checks = []
    for edge, track, width, turn, fall, truck in (
        (2.0, 4.4, 3.5, 45, 3.0, 3.1), (1.2, 1.3, 1.4, 20, 1.2, 2.6), (3.0, 5.8, 4.2, 70, 4.5, 6.9),
    ):  # fmt: skip
        tracks = rotate(box(-track / 2, -width / 2, track / 2, width / 2), turn)
        centre = edge - tracks.bounds[1]  # above the crest, which lies at 0
        lorry = box(-5, -fall - truck, 5, -fall)
        checks.append(
            LibraryCheck(
                "loading.truck_stand",
                {"edge_distance": f"{edge} m", "track_length": f"{track} m", "face_angle": f"{turn} deg",
                 "overall_width": f"{width} m", "fall_zone": f"{fall} m", "truck_width": f"{truck} m"},
                float(Point(0, centre).distance(lorry.centroid)), "m", EXACT, "shapely",
                "distance from the middle of the turned tracks to the middle of the truck",
            )
        )  # fmt: skip
    return checks


def checks() -> list[LibraryCheck]:
    """Every second opinion on a calculation of the topic loading."""
    return [
        *_heaps(), *_weights(), *_times(), *_swing_depth(), *_swing_plans(), *_fleets(),
        *_simulations(), *_schedules(), *_stands(), *_matches(),
    ]  # fmt: skip
