"""Three very different machines, and every drawing made for each of them (invented figures)."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from generator.calc.catalogue.loading_schedule import rounds
from generator.drawing import Canvas, Measure
from generator.drawing.film import Film
from generator.drawing.scenes import compact, dozing, fleet, ground, loading, payload, slopes, trench, wear

SIZES = ("tiny", "middle", "huge")


def length(metres: float) -> Measure:
    feet = metres / 0.3048
    us = f"{feet:.1f} ft" if feet < 100 else f"{feet:,.0f} ft"
    return Measure(metres, us, f"{metres:.2f} m" if metres < 100 else f"{metres:,.0f} m")


def degrees(value: float) -> Measure:
    text = f"{value:g}°"
    return Measure(math.radians(value), text, text)


def percent(fraction: float) -> Measure:
    text = f"{100 * fraction:.3g} %"
    return Measure(fraction, text, text)


def mass(kilograms: float) -> Measure:
    return Measure(kilograms, f"{kilograms / 907.18474:,.1f} tons", f"{kilograms / 1000:,.1f} t")


def volume(cubic_metres: float) -> Measure:
    return Measure(cubic_metres, f"{cubic_metres / 0.764554857984:,.1f} yd³", f"{cubic_metres:,.1f} m³")


def hours(value: float) -> Measure:
    return Measure(value * 3600, f"{value:,.0f} h", f"{value:,.0f} h")


L = length
A = degrees
Arguments = dict[str, Any]


def _slot(run: float, depth: float, blade: float, passes: int, heights: list[float]) -> Arguments:
    return {
        "slot_length": L(run),
        "slot_depth": L(depth),
        "blade_height": L(blade),
        "pass_starts": [L(run * (k + 1) / passes) for k in range(passes)],
        "spoil_heights": [L(h) for h in heights],
        "spoil_ratio": 3.0,
        "spoil_ratio_text": "3:1",
    }


def _count(value: int) -> Measure:
    return Measure(float(value), str(value), str(value))


def _seconds(value: float) -> Measure:
    return Measure(value, f"{value:.1f} s", f"{value:.1f} s")


def _passes(run: float, depth: float, blade: float, layers: list[list[float]], peak: float, far_end: bool) -> Arguments:
    """A slot cut layer by layer: where each pass of a layer starts, as a share of the run. Invented figures."""
    flat = [(start * run, depth * (i + 1) / len(layers)) for i, layer in enumerate(layers) for start in layer]
    heights = [peak * math.sqrt((k + 1) / len(flat)) for k in range(len(flat))]
    ramps = [3 * h for h in (0.0, *heights[:-1])]
    backs = [(run if far_end else start) + ramp for (start, _), ramp in zip(flat, ramps, strict=True)]
    return {
        "slot_length": L(run),
        "slot_depth": L(depth),
        "blade_height": L(blade),
        "pass_numbers": [_count(k + 1) for k in range(len(flat))],
        "pass_starts": [L(start) for start, _ in flat],
        "pass_depths": [L(deep) for _, deep in flat],
        "pushes": [L(start + ramp) for (start, _), ramp in zip(flat, ramps, strict=True)],
        "reverses": [L(back) for back in backs],
        "reversed_so_far": [L(sum(backs[: k + 1])) for k in range(len(backs))],
        "spoil_heights": [L(h) for h in heights],
        "spoil_ratio": 3.0,
    }


def _truck(first: float, last: float, count: int, **more: Any) -> Arguments:
    """A truck loaded in so many passes, from front to rear where the first swing is the longer one. Invented figures."""
    swings = _swings(first, last, count)
    bearings = [A(10 - 20 * k / count) for k in range(count)]
    return {
        "pass_numbers": [_count(k + 1) for k in range(count)],
        "fills": bearings if first >= last else bearings[::-1],
        "swing_angles": swings,
        "waited": [_seconds(4.5 * k) for k in range(count)],
        **more,
    }


def _grade(run: float, rise: float) -> Arguments:
    share = rise / run
    angle = math.atan(share)
    text = f"{math.degrees(angle):.3g}°"
    return {
        "run": L(run),
        "rise": L(rise),
        "percent": f"{100 * share:.3g} %",
        "ratio": f"{1 / share:.3g}:1",
        "angle": Measure(angle, text, text),
    }


def _fall(main: float, cross: float) -> Arguments:
    return {
        "main_fall": percent(main),
        "cross_slope": percent(cross),
        "steepest": percent(math.hypot(main, cross)),
    }


def _overhead(line: float, clear: float, high: float, share: float, whole: bool) -> dict[str, object]:
    some: dict[str, object] = {"line_height": length(line), "clearance": length(clear), "reach_height": length(high)}
    reach = share * high
    more = {"max_reach": length(reach), "standoff": length(reach + clear), "track_length": length(0.36 * reach)}
    return some | (more if whole else {})


def _moment(reach: float, force: float) -> Arguments:
    return {
        "reach": L(reach),
        "force": Measure(force, f"{force / 4.4482216:,.0f} lb", f"{force / 1000:.3g} kN"),
        "moment": Measure(
            force * reach,
            f"{force * reach / 1.3558179:,.0f} lb·ft",
            f"{force * reach / 1000:.3g} kN·m",
        ),
    }


def _swings(first: float, last: float, count: int) -> list[Measure]:
    step = (last - first) / max(count - 1, 1)
    return [A(round(first + step * k, 1)) for k in range(count)]


def _bench(edge: float, fall: float, track: float, width: float, shoe: float, truck: float, reach: float) -> Arguments:
    return {
        "crest_distance": L(edge),
        "fall_zone": L(fall),
        "track_length": L(track),
        "machine_width": L(width),
        "shoe_width": L(shoe),
        "truck_width": L(truck),
        "max_reach": L(reach),
    }


def _stroke(stick: float, bucket: float, width: float, bank: float, entry: float, floor: float) -> Arguments:
    return {
        "stick_length": L(stick),
        "entry_angle": A(entry),
        "bucket_angle": A(floor),
        "stroke_length": L(bank / width / (bucket / 4)),
        "slice_depth": L(bucket / 4),
        "bank_volume": volume(bank),
        "bucket_width": L(width),
        "bucket_length": L(bucket),
    }


Scene = Callable[..., Canvas]


def _fleet(trucks: int, turn: int, haul: int, home: int, loaders: int = 1, *, bars: bool = False) -> Arguments:
    """The rounds of trucks that tip in a minute, ten minutes long; with `bars` the steps of the clock too."""
    made = [r for r in rounds(trucks, loaders, (0, turn * loaders, haul, 60, home), 600) if r.came <= 600]
    count = [Measure(float(r.truck), str(r.truck), str(r.truck)) for r in made]
    columns = {
        "came": [r.came for r in made], "backs_up": [r.backs for r in made], "loading_starts": [r.loading for r in made],
        "full": [r.full for r in made], "at_dump": [r.there for r in made], "tipped": [r.tipped for r in made], "back": [r.back for r in made],
    }  # fmt: skip
    plain = [Measure(float(k), str(k), str(k)) for k in range(11)]
    return {
        "truck_numbers": count, **{name: [_minutes(t) for t in column] for name, column in columns.items()},
        "haul_distance": L(900.0), "haul_time": _minutes(haul), "return_time": _minutes(home), "loaders": loaders,
        **({"times": [_minutes(60 * k) for k in range(11)], "stood": [_minutes(6 * k) for k in range(11)],
            "waited": [_minutes(30 * k) for k in range(11)], "loads": plain, "waiting": [plain[2]] * 11, "at_loader": [plain[1]] * 11,
            "on_road": plain} if bars else {}),
    }  # fmt: skip


def _tally(bucket: float, rated: float) -> Arguments:
    """Passes of one weight up to the first that is past the rated payload."""
    count = int(rated // bucket) + 2
    return {
        "passes": [Measure(float(k), str(k), str(k)) for k in range(count)], "weights": [mass(k * bucket) for k in range(count)],
        "shares": [percent(k * bucket / rated) for k in range(count)], "payload": mass(rated),
    }  # fmt: skip


def _clock(trucks: int, turn: int) -> Arguments:
    """A fleet by the clock."""
    given = _fleet(trucks, turn, 170, 114)
    names = ("truck_numbers", "came", "backs_up", "full", "back")
    return {"shown_time": _minutes(600), "truck_count": Measure(float(trucks), str(trucks), str(trucks)), **{n: given[n] for n in names}}


def _minutes(seconds: float) -> Measure:
    text = f"{seconds / 60:.3g} min"
    return Measure(float(seconds), text, text)


SAMPLES: dict[str, tuple[Scene, Sequence[Arguments]]] = {
    "slot_long_section": (
        dozing.slot_long_section,
        (
            _slot(6.0, 0.4, 0.5, 3, [0.5]),
            _slot(30.48, 1.0, 1.3, 12, [0.8, 1.4, 2.0]),
            _slot(300.0, 2.0, 2.4, 204, [2.6, 5.1, 7.7]),
        ),
    ),
    "bench_loading": (
        loading.bench_loading,
        (
            {"stick_length": L(1.2), "bench_height": L(1.2)},
            {
                "stick_length": L(3.048),
                "bench_height": L(3.048),
                "truck_height": L(2.8),
                "truck_stand": L(1.83 + (4.4 + 3.5) / 2**1.5 + 3.048 + 1.55),
                **_bench(1.83, 3.048, 4.4, 3.5, 0.76, 3.1, 11.6),
                "track_angle": A(45),
                "bucket_length": L(1.7),
                "tail_radius": L(3.7),
                "truck_build": "articulated",
            },
            {
                "stick_length": L(5.5),
                "bench_height": L(4.5),
                "truck_height": L(7.2),
                **_bench(3.0, 4.5, 6.4, 6.1, 0.9, 9.0, 14.0),
                "track_angle": A(30),
            },
        ),
    ),
    "machine_on_side_slope": (
        slopes.machine_on_side_slope,
        (
            {
                "slope": A(8),
                "track_gauge": L(0.75),
                "cg_height": L(0.7),
                "blade_width": L(1.0),
                "blade_height": L(0.25),
                "bucket_width": L(0.4),
            },
            {
                "slope": A(25),
                "track_gauge": L(1.88),
                "cg_height": L(0.95),
                "shoe_width": L(0.56),
                "cg_offset": L(0.1),
                "blade_width": L(3.4),
                "blade_height": L(1.1),
            },
            {
                "slope": A(50),
                "track_gauge": L(3.2),
                "cg_height": L(2.1),
                "shoe_width": L(0.9),
            },
        ),
    ),
    "reverse_travel": (
        wear.reverse_travel,
        tuple(
            {
                "front_to_back_push": L(a),
                "front_to_back_reverse": L(b),
                "back_to_front_push": L(c),
                "back_to_front_reverse": L(d),
            }
            for a, b, c, d in (
                (40.0, 30.0, 45.0, 44.0),
                (812.0, 640.0, 900.0, 1100.0),
                (14200.0, 12000.0, 15500.0, 0.0),
            )
        ),
    ),
    "slope_triangle": (
        ground.slope_triangle,
        (_grade(30.48, 0.3048), _grade(12.0, 3.0), _grade(2.0, 2.6)),
    ),
    "volumes": (
        ground.volumes,
        tuple(
            {"bank": volume(a), "loose": volume(b), "compacted": volume(c)}
            for a, b, c in ((1.0, 1.1, 0.95), (76.5, 95.6, 68.8), (120000.0, 198000.0, 90000.0))
        ),
    ),
    "who_decides": (ground.who_decides, ({}, {}, {})),
    "slot_cross_section": (
        dozing.slot_cross_section,
        (
            {"slot_depth": L(0.3), "blade_width": L(1.2), "blade_height": L(0.35)},
            {
                "slot_depth": L(1.0),
                "blade_width": L(3.2),
                "blade_height": L(1.3),
                "slot_width": L(3.5),
            },
            {
                "slot_depth": L(2.3),
                "blade_width": L(6.5),
                "blade_height": L(2.3),
                "slot_width": L(7.4),
            },
        ),
    ),
    "spoil_ridge": (
        dozing.spoil_ridge,
        (
            {"height": L(0.4), "ramp_length": L(0.8), "ratio_text": "2:1"},
            *(
                {
                    "height": L(h),
                    "ramp_length": L(h * r),
                    "ratio_text": f"{r:g}:1",
                    "top_width": L(b + 4),
                    "repose": A(35),
                    "least_width": L(b + 3.6),
                    "blade_width": L(b),
                    "blade_height": L(0.35 * b),
                    "track_length": L(0.8 * b),
                    "track_gauge": L(0.55 * b),
                    "shoe_width": L(0.16 * b),
                }
                for h, r, b in ((2.0, 3.0, 3.6), (9.0, 5.0, 7.0))
            ),
        ),
    ),
    "stripping": (
        dozing.stripping,
        (
            {
                "topsoil_depth": L(0.1),
                "windrow_height": L(0.5),
                "strip_length": L(5.0),
                "strip_width": L(2.0),
                "strips": 8,
            },
            {
                "topsoil_depth": L(0.2032),
                "windrow_height": L(0.5),
                "strip_length": L(30.0),
                "strip_width": L(3.2),
                "strip_count": Measure(18.0, "18", "18"),
                "repose": A(35),
                "track_length": L(3.0),
                "track_gauge": L(2.0),
                "shoe_width": L(0.6),
            },
            {
                "topsoil_depth": L(0.3),
                "windrow_height": L(0.4),
                "strip_length": L(120.0),
                "strip_width": L(6.0),
                "strips": 2,
            },
        ),
    ),
    "steer_with_the_blade": (
        dozing.steer_with_the_blade,
        tuple(
            {"blade_width": L(a), "blade_height": L(b), "tilt": L(c)} for a, b, c in ((1.2, 0.35, 0.02), (3.2, 1.3, 0.3), (6.5, 2.3, 1.6))
        ),
    ),
    "ripping_section": (
        dozing.ripping_section,
        tuple({"shank_depth": L(a), "pass_spacing": L(b), "passes": n} for a, b, n in ((0.25, 1.2, 2), (0.6, 1.0, 4), (1.6, 1.2, 6))),
    ),
    "standing_on_the_bench": (
        loading.standing_on_the_bench,
        (
            {
                "track_length": L(1.5),
                "machine_width": L(1.0),
                "track_angle": A(30),
                "truck_angle": A(90),
            },
            {
                "track_angle": A(45),
                "truck_angle": A(90),
                **_bench(1.83, 3.048, 4.4, 3.5, 0.76, 3.1, 11.6),
                "body_length": L(5.5),
                "bucket_length": L(1.7),
                "bucket_width": L(1.5),
                "tail_radius": L(3.7),
                "truck_build": "articulated",
            },
            {
                "track_angle": A(60),
                "truck_angle": A(80),
                **_bench(3.0, 4.5, 7.6, 6.9, 1.0, 9.0, 16.0),
                "body_length": L(11.0),
            },
        ),
    ),
    "digging_pass": (
        loading.digging_pass,
        (
            {"stick_length": L(1.1), "entry_angle": A(75), "bucket_angle": A(25)},
            _stroke(3.048, 1.7, 1.68, 2.57, 80, 30),
            _stroke(6.0, 3.0, 3.2, 20.0, 90, 35),
        ),
    ),
    "truck_match": (
        loading.truck_match,
        tuple(
            {"bucket_load": mass(b), "passes": n, "truck_target": mass(t)}
            for b, n, t in ((400, 1, 380), (5900, 6, 35000), (900, 67, 60100))
        ),
    ),
    "loading_order": (
        loading.loading_order,
        (
            {"swing_angles": _swings(70, 40, 2), "truck_length": L(2.4), "reach": L(3.0)},
            {
                "swing_angles": _swings(84, 32, 6),
                "truck_length": L(5.5),
                "reach": L(9.4),
                "truck_angle": A(90),
                **_bench(1.83, 3.048, 4.4, 3.5, 0.76, 3.1, 11.6),
                "track_angle": A(45),
                "bucket_length": L(1.7),
                "bucket_width": L(1.5),
                "tail_radius": L(3.7),
                "truck_build": "articulated",
            },
            {"swing_angles": _swings(170, 60, 18), "truck_length": L(10.0), "reach": L(13.0)},
        ),
    ),
    "from_behind": (
        payload.from_behind,
        (
            {"weight": mass(900), "payload": mass(1000), "truck_width": L(1.4), "body_height": L(1.1)},
            {
                "weight": mass(28600),
                "payload": mass(27200),
                "truck_width": L(3.1),
                "body_height": L(2.8),
                "truck_build": "articulated",
                "aside": True,
            },
            {"weight": mass(240000), "payload": mass(218000), "aside": True},
        ),
    ),
    "by_the_clock": (
        fleet.by_the_clock,
        (
            _clock(1, 90),
            _clock(2, 125) | {f"more_{k.removeprefix('truck_')}": v for k, v in _clock(6, 125).items() if k != "shown_time"},
            _clock(40, 60),
        ),
    ),
    "payload_tally": (
        loading.payload_tally,
        (
            {"loads": [("Truck A", mass(3000))], "target": mass(2900)},
            {
                "loads": [(f"Truck {k}", mass(30000 + 900 * k)) for k in range(1, 6)],
                "target": mass(33000),
            },
            {
                "loads": [(f"The operator with number {k}", mass(1e6 / k)) for k in range(1, 13)],
                "target": mass(100000),
            },
        ),
    ),
    "building_a_slope": (
        slopes.building_a_slope,
        tuple(
            {"slope": A(a), "height": L(h), "windrow_height": L(w), "layers": n, **more}
            for a, h, w, n, more in (
                (14, 1.2, 0.3, 2, {}),
                (
                    26.565,
                    6.0,
                    0.8,
                    4,
                    {
                        "keep_back": L(2.6),
                        "track_gauge": L(1.98),
                        "shoe_width": L(0.6),
                        "cg_height": L(0.97),
                        "blade_width": L(3.4),
                        "blade_height": L(1.1),
                    },
                ),
                (63, 18.0, 1.4, 8, {"keep_back": L(4.2), "track_gauge": L(2.3), "shoe_width": L(0.9), "cg_height": L(1.3)}),
            )
        ),
    ),
    "stone_under_a_track": (
        slopes.stone_under_a_track,
        tuple(
            {
                "slope": percent(t),
                "bump_height": L(b),
                "with_bump": percent(t + b / g),
                "track_gauge": L(g),
                "cg_height": L(h),
                "shoe_width": L(s),
                **({"blade_width": L(1.6 * g), "blade_height": L(0.5 * g)} if g < 2 else {}),
                **({"bucket_width": L(0.5 * g)} if g < 1 else {}),
            }
            for t, b, g, h, s in ((0.05, 0.05, 0.75, 0.7, 0.18), (0.15, 0.1524, 1.98, 0.97, 0.6), (0.3, 0.8, 3.2, 2.1, 0.9))
        ),
    ),
    "if_it_slides": (slopes.if_it_slides, ({}, {}, {"kind": "compact excavator"})),
    "main_fall_and_cross_slope": (
        slopes.main_fall_and_cross_slope,
        (_fall(0.01, 0.0), _fall(0.02, 0.04), _fall(0.25, 0.03)),
    ),
    "trench_to_grade": (
        trench.trench_to_grade,
        (
            {
                "length": L(6.0),
                "start_depth": L(0.9),
                "end_depth": L(1.2),
                "grade": "5 %",
                "bottom_width": L(0.5),
                "pipe_inside": L(0.1),
                "pipe_wall": L(0.004),
                "bedding": L(0.1),
            },
            {
                "length": L(30.48),
                "start_depth": L(1.0668),
                "end_depth": L(1.3716),
                "grade": "1 %",
                "middle_depth": L(1.2192),
            },
            {
                "length": L(300.0),
                "start_depth": L(4.0),
                "end_depth": L(2.5),
                "grade": "-0.5 %",
                "middle_depth": L(3.25),
            },
        ),
    ),
    "trench_walls": (
        trench.trench_walls,
        (
            {
                "bottom_width": L(0.4),
                "depth": L(1.2),
                "top_width": L(0.4),
                "spoil_setback": L(0.61),
                "spoil_width": L(1.2),
                "spoil_height": L(0.45),
            },
            {
                "bottom_width": L(0.9),
                "depth": L(2.4),
                "top_width": L(5.7),
                "spoil_setback": L(0.61),
                "spoil_width": L(4.2),
                "spoil_height": L(1.5),
                "ladder_above": L(0.9),
            },
            {
                "bottom_width": L(2.5),
                "depth": L(6.0),
                "top_width": L(20.5),
                "spoil_setback": L(0.61),
                "spoil_width": L(11.0),
                "spoil_height": L(4.0),
            },
        ),
    ),
    "overhead_line": (
        trench.overhead_line,
        tuple(
            {"line_height": L(a), "clearance": L(b), "reach_height": L(c)}
            | ({"max_reach": L(d), "standoff": L(b + d), "track_length": L(e)} if d else {})
            | ({"blade_height": L(0.25), "stick_length": L(0.8)} if a < 5 else {})
            | ({"stick_length": L(2.9), "bucket_length": L(1.5), "tail_radius": L(2.8)} if a == 9 else {})
            for a, b, c, d, e in (
                (4.5, 3.05, 2.5, 2.8, 0.9),
                (9.0, 3.05, 9.4, 9.8, 3.7),
                (24.0, 10.7, 12.0, None, 0.0),
            )
        ),
    ),
    "buried_line": (
        trench.buried_line,
        (
            {"line_width": L(0.02), "tolerance": L(0.4572)},
            {"line_width": L(0.3), "tolerance": L(0.6096), "line_depth": L(1.1)},
            {"line_width": L(1.8), "tolerance": L(0.6096), "line_depth": L(3.0)},
        ),
    ),
    "even_wear": (
        wear.even_wear,
        tuple({"left": hours(a), "right": hours(b)} for a, b in ((12, 3), (2400, 1850), (0, 12500))),
    ),
    "side_moment": (
        wear.side_moment,
        (
            _moment(1.8, 900.0)
            | {
                "track_length": L(1.0),
                "machine_width": L(0.98),
                "shoe_width": L(0.2),
                "tail_radius": L(0.9),
                "bucket_length": L(0.45),
                "bucket_width": L(0.3),
                "blade_width": L(0.98),
            },
            _moment(8.2, 20000.0)
            | {
                "track_length": L(3.7),
                "machine_width": L(3.2),
                "shoe_width": L(0.8),
                "tail_radius": L(2.8),
                "bucket_length": L(1.5),
                "bucket_width": L(1.2),
            },
            _moment(16.0, 250000.0),
        ),
    ),
    "undercarriage_left": (
        wear.undercarriage_left,
        tuple(
            {"new": L(a), "limit": L(b), "measured": L(c), "worn": w}
            for a, b, c, w in (
                (0.02, 0.008, 0.012, "67 %"),
                (0.0635, 0.025, 0.051, "32 %"),
                (0.8, 0.86, 0.85, "83 %"),
            )
        ),
    ),
    "worn_grousers": (
        wear.worn_grousers,
        tuple(
            {"track_gauge": L(a), "height_difference": L(b), "slope_error": f"{100 * b / a:.2g} %"}
            for a, b in ((0.75, 0.005), (1.88, 0.0254), (3.2, 0.3))
        ),
    ),
    "track_width": (
        compact.track_width,
        (
            {
                "gauge_narrow": L(0.5),
                "gauge_wide": L(0.75),
                "cg_height": L(0.55),
                "shoe_width": L(0.18),
                "gate_width": L(0.8),
                "narrow_width": L(0.7),
                "blade_width": L(0.95),
                "blade_height": L(0.2),
                "bucket_width": L(0.3),
            },
            {
                "gauge_narrow": L(0.8),
                "gauge_wide": L(1.2),
                "cg_height": L(0.7),
                "shoe_width": L(0.23),
            },
            {
                "gauge_narrow": L(2.4),
                "gauge_wide": L(3.4),
                "cg_height": L(1.4),
                "shoe_width": L(0.6),
                "gate_width": L(3.6),
                "blade_width": L(4.0),
                "blade_height": L(0.9),
                "bucket_width": L(1.2),
            },
        ),
    ),
    "backfill_with_the_blade": (
        compact.backfill_with_the_blade,
        tuple(
            {
                "trench_width": L(a),
                "trench_depth": L(b),
                "blade_height": L(c),
                "spoil_height": L(d),
                "spoil_width": L(e),
                "spoil_setback": L(0.61),
                **more,
            }
            for a, b, c, d, e, more in (
                (0.3, 0.5, 0.22, 0.25, 0.7, {"edge_distance": L(1.8), "track_length": L(1.05), "stick_length": L(0.95)}),
                (0.6, 1.2, 0.35, 0.7, 1.8, {}),
                (1.5, 4.0, 0.5, 1.9, 5.0, {"edge_distance": L(4.0), "track_length": L(2.9), "stick_length": L(2.0)}),
            )
        ),
    ),
}


FILMS: dict[str, tuple[Callable[..., Film], tuple[Arguments, Arguments, Arguments]]] = {
    "slot_passes_film": (
        dozing.slot_passes_film,
        (
            _passes(6.0, 0.4, 0.5, [[0.5, 1.0]], 0.6, False),
            _passes(45.7, 0.9, 1.3, [[1.0, 0.75, 0.5, 0.25], [1.0, 0.7, 0.3]], 2.8, True) | {"track_length": L(3.2), "far_side_ratio": 1.8},
            _passes(300.0, 2.0, 2.4, [[(k + 1) / 204 for k in range(204)]], 7.7, False) | {"most_reversed": L(90_000)},
        ),
    ),
    "pass_film": (payload.pass_film, (_tally(900, 1000), _tally(4080, 27200), _tally(1500, 218000))),
    "rounds_film": (
        fleet.rounds_film,
        (
            _fleet(2, 90, 60, 40, bars=True), _fleet(4, 125, 170, 114, bars=True) | {"truck_build": "articulated"},
            _fleet(30, 60, 700, 500, 3, bars=True),
        ),
    ),
    "truck_round": (
        fleet.truck_round, (_fleet(1, 90, 60, 40), _fleet(4, 125, 170, 114) | {"truck_build": "articulated"}, _fleet(30, 60, 700, 500, 3)),
    ),
    "truck_film": (
        loading.truck_film,
        (
            _truck(70, 40, 2, truck_length=L(2.4), reach=L(3.0)),
            _truck(
                32, 84, 6, truck_length=L(5.5), reach=L(9.4), truck_angle=A(90), track_angle=A(45), bucket_length=L(1.7),
                tail_radius=L(3.7), most_waited=_seconds(29), **_bench(1.83, 3.048, 4.4, 3.5, 0.76, 3.1, 11.6),
            ),
            _truck(170, 60, 45, truck_length=L(10.0), reach=L(13.0)),
        ),
    ),
}  # fmt: skip
"""Scenes in steps; the same rules hold for each of their steps."""


def names() -> list[str]:
    return list(SAMPLES)


def draw(name: str, size: str, **extra: Any) -> Canvas:
    scene, arguments = SAMPLES[name]
    ident = f"{name}-{size}".replace("_", "-")
    return scene(ident=ident, **arguments[SIZES.index(size)], **extra)


def odd(seed: int) -> Iterator[tuple[str, Arguments]]:
    """Arguments for every drawing, drawn at random over all that a site may own."""
    r = random.Random(seed)

    def V(low: float, high: float) -> float:
        return math.exp(r.uniform(math.log(low), math.log(high)))

    def U(low: float, high: float) -> Measure:
        return L(V(low, high))

    passes = r.randint(1, 90)
    slotL = V(4, 250)
    yield (
        "slot_long_section",
        _slot(
            slotL,
            V(0.2, 2.5),
            V(0.3, 2.6),
            passes,
            sorted(V(0.2, 9) for _ in range(r.randint(1, 4))),
        ),
    )
    st = V(0.9, 8)
    tl = st * r.uniform(0.9, 1.6)
    wd = tl * r.uniform(0.6, 1.1)
    on_bench = {
        **_bench(
            V(0.4, 6), st * r.uniform(0.5, 1.6), tl, wd, wd * r.uniform(0.12, 0.4), V(1.8, 9.5),
            st * r.uniform(1.8, 4.5),
        ),
        **({"bucket_length": L(st * r.uniform(0.3, 0.8))} if r.random() < 0.6 else {}),
        **({"tail_radius": L(tl * r.uniform(0.6, 1.1))} if r.random() < 0.6 else {}),
    }  # fmt: skip
    yield (
        "bench_loading",
        {
            "stick_length": L(st),
            "bench_height": L(st * r.uniform(0.5, 1)),
            "truck_height": U(1.2, 8),
            "track_angle": A(r.randint(0, 90)),
            **on_bench,
        },
    )
    g = V(0.5, 4)
    yield (
        "machine_on_side_slope",
        {
            "slope": A(round(r.uniform(1, 70), 1)),
            "track_gauge": L(g),
            "cg_height": L(g * r.uniform(0.3, 1.1)),
            "cg_offset": L(g * r.uniform(-0.3, 0.3)),
            "shoe_width": L(g * r.uniform(0.12, 0.5)),
        },
    )
    yield (
        "reverse_travel",
        {
            "front_to_back_push": U(1, 1e5),
            "front_to_back_reverse": U(1, 1e5),
            "back_to_front_push": U(1, 1e5),
            "back_to_front_reverse": U(1, 1e5),
        },
    )
    run = V(1, 300)
    yield "slope_triangle", _grade(run, run * V(0.002, 1.5))
    b = V(0.5, 1e6)
    yield (
        "volumes",
        {
            "bank": volume(b),
            "loose": volume(b * r.uniform(1, 1.8)),
            "compacted": volume(b * r.uniform(0.6, 1.1)),
        },
    )
    bw = V(1, 7)
    yield (
        "slot_cross_section",
        {
            "slot_depth": U(0.2, 3),
            "blade_width": L(bw),
            "blade_height": U(0.3, 2.6),
            "slot_width": L(bw * r.uniform(1, 1.4)),
        },
    )
    h = V(0.3, 10)
    q = round(r.uniform(1, 6), 1)
    yield "spoil_ridge", {"height": L(h), "ramp_length": L(h * q), "ratio_text": f"{q}:1"}
    yield (
        "stripping",
        {
            "topsoil_depth": U(0.05, 0.5),
            "windrow_height": U(0.2, 1.5),
            "strip_length": U(3, 200),
            "strip_width": U(1, 7),
            "strips": r.randint(1, 8),
        },
    )
    yield (
        "steer_with_the_blade",
        {"blade_width": L(bw), "blade_height": U(0.3, 2.6), "tilt": L(bw * r.uniform(0.005, 0.5))},
    )
    yield (
        "ripping_section",
        {"shank_depth": U(0.15, 2), "pass_spacing": U(0.3, 3), "passes": r.randint(2, 6)},
    )
    yield (
        "standing_on_the_bench",
        {
            "track_angle": A(r.randint(0, 90)),
            "truck_angle": A(r.randint(60, 120)),
            "body_length": U(2, 12),
            **on_bench,
        },
    )
    sl = V(0.9, 8)
    yield (
        "digging_pass",
        _stroke(
            sl, sl * r.uniform(0.4, 0.7), sl * r.uniform(0.3, 0.7), sl**3 * r.uniform(0.02, 0.12),
            r.randint(60, 95), r.randint(5, 60),
        ),
    )  # fmt: skip
    bl = V(100, 80000)
    n = r.choice((r.randint(1, 60), r.randint(61, 900)))
    yield (
        "truck_match",
        {"bucket_load": mass(bl), "passes": n, "truck_target": mass(bl * n * r.uniform(0.7, 1.1))},
    )
    yield (
        "loading_order",
        {
            "swing_angles": _swings(r.randint(30, 180), r.randint(20, 120), r.randint(1, 25)),
            "truck_length": U(2, 11),
            "reach": U(4, 14),
            **(on_bench if r.random() < 0.5 else {}),
        },
    )
    yield (
        "from_behind",
        {
            "weight": mass(V(500, 3e5)),
            "payload": mass(V(1000, 3e5)),
            "truck_width": U(1.2, 9),
            "body_height": U(0.8, 7),
            "aside": r.random() < 0.5,
        },
    )
    yield "by_the_clock", _clock(r.randint(1, 60), r.randint(20, 600))
    yield (
        "payload_tally",
        {
            "loads": [
                (
                    r.choice(
                        [
                            "Truck",
                            "A very long name of a truck that goes on and on and on",
                            'T-7 <&> "x"',
                        ]
                    )
                    + f" {k}",
                    mass(V(100, 3e5)),
                )
                for k in range(r.randint(1, 12))
            ],
            "target": mass(V(1000, 3e5)),
        },
    )
    high = V(0.2, 2)
    yield (
        "building_a_slope",
        {
            "slope": A(round(r.uniform(4, 72), 1)),
            "height": U(0.5, 30),
            "windrow_height": L(high),
            "layers": r.randint(1, 8),
            **r.choice([
                {},
                {"keep_back": L(V(3 * high, 8)), "track_gauge": U(0.7, 3.4), "shoe_width": U(0.15, 0.6), "cg_height": U(0.4, 2)},
            ]),
        },
    )  # fmt: skip
    gauge, bump, ground_slope = V(0.7, 3.4), V(0.02, 0.3), V(0.01, 0.6)
    yield (
        "stone_under_a_track",
        {
            "slope": percent(ground_slope), "bump_height": L(bump), "with_bump": percent(ground_slope + bump / gauge),
            "track_gauge": L(gauge), "cg_height": U(0.4, 2), "shoe_width": U(0.15, 0.6),
        },
    )  # fmt: skip
    yield (
        "main_fall_and_cross_slope",
        _fall(r.choice([0.01, V(0.002, 0.6)]), r.choice([0, V(0.002, 0.6)])),
    )
    d0 = V(0.3, 6)
    d1 = d0 * r.uniform(0.6, 1.7)
    yield (
        "trench_to_grade",
        {
            "length": U(3, 800),
            "start_depth": L(d0),
            "end_depth": L(d1),
            "grade": "1.25 %",
            "middle_depth": L((d0 + d1) / 2),
            **(
                {"bottom_width": U(0.3, 3), "pipe_inside": U(0.05, 1.2), "pipe_wall": U(0.002, 0.15), "bedding": U(0.02, 0.3)}
                if r.random() < 0.6
                else {}
            ),
        },
    )
    d = V(0.4, 6.5)
    bw = V(0.2, 4)
    yield (
        "trench_walls",
        {
            "bottom_width": L(bw),
            "depth": L(d),
            "top_width": L(bw + 2 * d * r.choice([0, 0.75, 1, 1.5])),
            "spoil_setback": L(V(0.61, 3)),
            "spoil_width": U(0.5, 12),
            "spoil_height": U(0.3, 5),
            "ladder_above": L(0.9144),
            **({"edge_distance": U(0.4, 4)} if r.random() < 0.6 else {}),
        },
    )
    yield (
        "overhead_line",
        _overhead(V(3.5, 40), V(3.05, 14), V(1.5, 16), V(0.8, 1.3), r.random() < 0.7),
    )
    yield (
        "buried_line",
        dict(
            line_width=U(0.01, 3),
            tolerance=U(0.3, 1.2),
            **({"line_depth": U(0.3, 4)} if r.random() < 0.6 else {}),
        ),
    )
    yield "even_wear", {"left": hours(V(1, 20000)), "right": hours(V(1, 20000))}
    yield "side_moment", _moment(V(1.5, 18), V(500, 5e5))
    yield (
        "undercarriage_left",
        {"new": U(0.01, 1), "limit": U(0.01, 1.1), "measured": U(0.01, 1), "worn": "1 %"},
    )
    g = V(0.5, 4)
    yield (
        "worn_grousers",
        {"track_gauge": L(g), "height_difference": L(g * V(0.001, 0.2)), "slope_error": "1.1 %"},
    )
    narrow = V(0.4, 3)
    yield (
        "track_width",
        dict(
            gauge_narrow=L(narrow),
            gauge_wide=L(narrow * r.uniform(1.05, 1.8)),
            cg_height=L(narrow * r.uniform(0.4, 1.2)),
            shoe_width=L(narrow * r.uniform(0.15, 0.6)),
            **({"gate_width": L(narrow * r.uniform(1.2, 2.5))} if r.random() < 0.6 else {}),
        ),
    )
    yield (
        "backfill_with_the_blade",
        {
            "trench_width": U(0.2, 3),
            "trench_depth": U(0.3, 5),
            "blade_height": U(0.2, 0.6),
            "spoil_height": U(0.2, 3),
            "spoil_width": U(0.5, 6),
            "spoil_setback": L(0.61),
        },
    )
