"""Three very different machines, and every drawing made for each of them (invented figures)."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from generator.calc.catalogue.loading_schedule import rounds
from generator.drawing import Canvas, Measure
from generator.drawing.film import Film
from generator.drawing.scenes import (
    banks,
    bench,
    compact,
    compact_work,
    compacting,
    dozing,
    fleet,
    found_line,
    grading,
    ground,
    hauling,
    heaps,
    hillside,
    hot_days,
    leaning,
    leveling,
    lifting,
    lines,
    loading,
    moving,
    parking,
    payload,
    practice,
    ripping,
    screens,
    seeing,
    side_load,
    signals,
    sliding,
    slopes,
    spoil,
    steering,
    stopping,
    stripping,
    stroke,
    tipping,
    trench,
    trench_box,
    trench_edge,
    trench_film,
    under_bucket,
    undercarriage,
    walk,
    wear,
)

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


def _digger(size: float, *, compact: bool = False, **more: Any) -> Arguments:
    """An excavator whose tracks are `size` metres long, in proportions of the trade. Invented figures."""
    blade = {"blade_width": L(1.05 * size), "blade_height": L(0.21 * size)} if compact else {}
    return {
        "track_length": L(size), "track_gauge": L(0.62 * size), "shoe_width": L(0.18 * size), "stick_length": L((0.93 if compact else 0.7) * size),
        "max_reach": L((3.1 if compact else 2.6) * size), **blade, **more,
    }  # fmt: skip


SWINGS = (0, 45, 90, 135, 180)


def _swung(size: float, offset: float, slope: float, *, wrong: bool = False, **more: Any) -> Arguments:
    """A load that pulls the weight of such an excavator out by `offset` metres. Invented figures."""
    cg, gauge = 0.3 * size, 0.62 * size
    down, side, grade = (gauge, size, slope) if wrong else (size, gauge, 0.0)
    turns = [math.radians(a) for a in SWINGS]
    shares = [max(abs(cg * grade - offset * math.cos(a)) / (down / 2), offset * math.sin(a) / (side / 2)) for a in turns]
    pad: Arguments = {} if wrong else {"pad_length": L(1.5 * size), "pad_width": L(1.3 * size)}
    return _digger(
        size, swings=[degrees(a) for a in SWINGS], shares=[percent(s) for s in shares], offset=L(offset), slope=percent(slope),
        cg_height=L(cg), wrong=wrong, **pad, **more,
    )  # fmt: skip


def _pad(size: float, slope: float, **more: Any) -> Arguments:
    """A pad for such an excavator on a slope. Invented figures."""
    return _digger(size, slope=percent(slope), pad_length=L(1.4 * size), cut=L(1.4 * size * slope), **more)


def _on_slope(size: float, slope: float, **more: Any) -> Arguments:
    """Such an excavator on a slope, and its pad. Invented figures."""
    return _digger(size, slope=percent(slope), pad_length=L(1.4 * size), cg_height=L(0.3 * size), **more)


def _screened(size: float, *, compact: bool = False, **more: Any) -> Arguments:
    """Such an excavator without its gauge and shoes, for scenes that do not look at them. Invented figures."""
    return {k: v for k, v in _digger(size, compact=compact).items() if k not in ("track_gauge", "shoe_width")} | more


def _run_on(size: float, turn: float, *, compact: bool = False, **more: Any) -> Arguments:
    """A swing that turns so many degrees in each of three seconds. Invented figures."""
    machine = _screened(size, compact=compact, machine_width=L(0.8 * size), shoe_width=L(0.18 * size))
    reach = machine["max_reach"].si
    turns = [turn * (k + 1) for k in range(3)]
    return machine | {
        "times": [Measure(k + 1.0, f"{k + 1} s", f"{k + 1} s") for k in range(3)], "turns": [degrees(t) for t in turns],
        "runs": [L(reach * math.radians(t)) for t in turns], **more,
    }  # fmt: skip


def _zeroed(size: float, grade: float, **more: Any) -> Arguments:
    """Such an excavator that moves back by its tracks' length. Invented figures."""
    return _screened(size, moved=L(size), grade=percent(grade), off_by=L(size * grade), **more)


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


def _seat(eye: float, sill: float, out: float, **more: Any) -> Arguments:
    """An operator's eyes over an edge, metres. Invented figures."""
    return {"eye_height": L(eye), "sill_height": L(sill), "sill_distance": L(out), "hidden": L(out * sill / (eye - sill)),
            "bent_height": L(0.9), **more}  # fmt: skip


def _truck_seat(eye: float, sill: float, out: float, **more: Any) -> Arguments:
    return {name: value for name, value in _seat(eye, sill, out, **more).items() if name != "hidden"}


def _walk_in(eye: float, sill: float, out: float, **more: Any) -> Arguments:
    """Somebody walks in over the ground that the edge hides."""
    hidden = out * sill / (eye - sill)
    return _seat(
        eye, sill, out, distances=[L(hidden * k / 4) for k in (4, 3, 2, 1, 0)], hidden_up_to=[L(sill * k / 4) for k in (0, 1, 2, 3, 4)],
        person_height=L(1.5), bent_from=L(out * max(sill - 0.9, 0.0) / (eye - sill)), **more,
    )  # fmt: skip


def _ring(reach: float, keep: float, track: float, **more: Any) -> Arguments:
    """An excavator from above and how far people stay off it; its width goes by its tracks."""
    return {"max_reach": L(reach), "person_distance": L(keep), "track_length": L(track), "machine_width": L(0.8 * track),
            "shoe_width": L(0.18 * track), **more}  # fmt: skip


def _around(reach: float, keep: float, track: float, **more: Any) -> Arguments:
    given = _ring(reach, keep, track, reach_clear=L(reach + keep), **more)
    return given | ({"swing_clear": L(given["tail_radius"].si + keep)} if "tail_radius" in given else {})


def _three(make: Callable[..., Arguments], of: Sequence[Any]) -> tuple[Arguments, Arguments, Arguments]:
    """A sample of each size by one function: the last of each row is given by name."""
    return make(*of[0][:-1], **of[0][-1]), make(*of[1][:-1], **of[1][-1]), make(*of[2][:-1], **of[2][-1])


_RINGS: tuple[tuple[float, float, float, Arguments], ...] = (
    (2.4, 1.0, 1.0, {"tail_radius": L(0.9), "blade_width": L(0.9), "bucket_length": L(0.4)}),
    (11.6, 4.57, 4.4, {"tail_radius": L(3.7), "bucket_length": L(1.7)}),
    (22.0, 30.0, 7.4, {}),
)


def _coming(reach: float, keep: float, track: float, **more: Any) -> Arguments:
    return _ring(reach, keep, track, reach_clear=L(reach + keep), **more)


_BACKING: tuple[Arguments, Arguments, Arguments] = (
    {"rolls": L(1.1), "person_distance": L(1.0), "body_length": L(2.2), "truck_width": L(1.9)},
    {"rolls": L(3.35), "person_distance": L(4.57), "body_length": L(5.5), "truck_width": L(3.1), "truck_build": "articulated"},
    {"rolls": L(22.0), "person_distance": L(12.0)},
)


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


def _pile(count: int, peak: float, ratio: float, blade: float, **more: Any) -> Arguments:
    """A spoil pile in so many pushes. Invented figures."""
    heights = [peak * ((k + 1) / count) ** 0.45 for k in range(count)]
    ramps = [ratio * h for h in heights]
    return {
        "push_numbers": [_count(k + 1) for k in range(count)],
        "heights": [L(h) for h in heights],
        "ramps": [L(ramp) for ramp in ramps],
        "driven": [L(2 * sum(ramps[:k])) for k in range(count)],
        "ratio": ratio,
        "blade_height": L(blade),
        **more,
    }


def _pounds(newtons: float) -> Measure:
    return Measure(newtons, f"{newtons / 4.4482216:,.0f} lb", f"{newtons / 1000:.1f} kN")


def _drift(distance: float, off: float, push: float, tilt: float | None, **more: Any) -> Arguments:
    """A drift and the way back in ten stations, by a tilt or with one track braked. Invented figures."""
    turns = (4, 8)
    tilts = [] if tilt is None else [L(tilt if 4 <= k < 8 else 0.0) for k in range(10)]
    return {
        "ways": [L(distance * k / 4) for k in range(10)],
        "offs": [L(off * max(min(k, 8 - k), 0) / 4) for k in range(10)],
        "pushes": [_pounds(push / 2 if tilt is None and k in turns else push) for k in range(10)],
        "most_push": _pounds(push),
        **({"tilts": tilts} if tilts else {}),
        **more,
    }


def _strips(count: int, length: float, width: float, depth: float, windrow: float, blade: float, **more: Any) -> Arguments:
    """An area stripped in so many strips. Invented figures."""
    pitch = width + 2 * windrow / math.tan(math.radians(35))
    return {
        "strip_numbers": [_count(k + 1) for k in range(count)],
        "across": [L(pitch * (k + 1)) for k in range(count)],
        "on_pile": [volume(3.0 * (k + 1)) for k in range(count)],
        "in_windrows": [volume(1.5 * (k + 2)) for k in range(count)],
        "pushed_twice": _count(count),
        "all_of_it": volume(6.0 * (count + 1)),
        "strip_length": L(length),
        "strip_width": L(width),
        "topsoil_depth": L(depth),
        "windrow_height": L(windrow),
        "repose": A(35),
        "blade_height": L(blade),
        **more,
    }


def _month(shifts: int, low: float, high: float, by_turns: bool, **more: Any) -> Arguments:
    """A month on a side slope: what each shift adds to the low track and to the high one. Invented figures."""
    left, right = [0.5], [0.5]
    for k in range(1, shifts + 1):
        adds = (high, low) if by_turns and k % 2 == 0 else (low, high)
        left.append(left[-1] + adds[0])
        right.append(right[-1] + adds[1])
    return {
        "shifts": [_count(k) for k in range(shifts + 1)],
        "hours": [hours(10 * k) for k in range(shifts + 1)],
        "left": [percent(share) for share in left],
        "right": [percent(share) for share in right],
        "by_turns": by_turns,
        "most_used": percent(0.5 + shifts * low),
        **more,
    }


def _ripped(passes: int, pushes: int, depth: float, spacing: float, width: float, blade: float, **more: Any) -> Arguments:
    """A strip ripped in so many passes and pushed in so many pushes. Invented figures."""
    done = [(k, 0) for k in range(1, passes + 1)] + [(passes, k) for k in range(1, pushes + 1)]
    return {
        "passes_ripped": [_count(p) for p, _ in done],
        "pushes": [_count(n) for _, n in done],
        "times": [_seconds(200.0 * p + 80.0 * n) for p, n in done],
        "rip_depth": L(depth),
        "rip_spacing": L(spacing),
        "strip_width": L(width),
        "blade_height": L(blade),
        **more,
    }


def _ways_back(run: float, count: int, far_end: bool, **more: Any) -> Arguments:
    """A slot with a ramp that grows, and the way back of each push. Invented figures."""
    starts = [run * (k + 1) / count for k in range(count)]
    backs = [(run if far_end else starts[min(k + 1, count - 1)]) + 0.15 * run * math.sqrt(k / count) for k in range(count)]
    total = sum(backs)
    return {
        "slot_length": L(run),
        "slot_width": L(more["blade_width"].si),
        "numbers": [_count(k + 1) for k in range(count)],
        "starts": [L(start) for start in starts],
        "reverses": [L(back) for back in backs],
        "reverse_total": L(total),
        "most_reverse": L(1.3 * total),
        "hours_left": hours(1250),
        "most_hours": hours(1800),
        "far_end": far_end,
        **more,
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


_LIGHT: dict[str, Any] = {"body_length": L(2.2), "body_height": L(1.1), "axle_height": L(0.35), "build": "rigid"}
_MIDDLE: dict[str, Any] = {"body_length": L(5.49), "body_height": L(2.8), "axle_height": L(0.88), "build": "articulated"}
_HEAVY: dict[str, Any] = {"body_length": L(12.0), "body_height": L(7.2), "axle_height": L(1.9), "build": "rigid"}


def _moments(v: float, t: float, share: float) -> list[tuple[float, float, float]]:
    """A stop moment by moment: seconds, metres a second, metres."""
    pull = share * 9.80665
    slower = [(t + (v - s * v) / pull, s * v, v * t + (v * v - (s * v) ** 2) / (2 * pull)) for s in (0.75, 0.5, 0.25, 0.0)]
    return [(0.0, v, 0.0), (t / 2, v, v * t / 2), (t, v, v * t), *slower]


def _speed(v: float) -> Measure:
    return Measure(v, f"{v / 0.44704:.3g} mph", f"{3.6 * v:.3g} km/h")


def _in_seconds(s: float) -> Measure:
    return Measure(s, f"{s:.3g} s", f"{s:.3g} s")


def _a_stop(v: float, t: float, share: float, **truck: Any) -> Arguments:
    found = _moments(v, t, share)
    return {"times": [_in_seconds(a) for a, _, _ in found], "speeds": [_speed(b) for _, b, _ in found], "gone": [L(c) for _, _, c in found],
            "rolled": L(v * t), "braked": L(found[-1][2] - v * t), "stopped": L(found[-1][2]), **truck}  # fmt: skip


def _behind(v: float, t: float, share: float, gap: float, **truck: Any) -> Arguments:
    found = _moments(v, t, share)
    return {
        "times": [_in_seconds(a) for a, _, _ in found],
        "gone": [L(c) for _, _, c in found],
        "gap": L(gap),
        "stopped": L(found[-1][2]),
        **truck,
    }


def _roads(v: float, t: float, dry: float, wet: float, grade: float, **truck: Any) -> Arguments:
    level, down, level_wet, down_wet = (L(_moments(v, t, share)[-1][2]) for share in (dry, dry - grade, wet, wet - grade))
    return {"level": level, "downhill": down, "level_wet": level_wet, "downhill_wet": down_wet, "rolled": L(v * t),
            "grade": percent(grade), "speed": _speed(v), **truck}  # fmt: skip


def _tip(berm: float, ratio: float, stand: float, up: float | None = None, **truck: Any) -> Arguments:
    base = 2 * ratio * berm
    return {"berm_height": L(berm), "berm_base": L(base), "stand": L(max(stand, base)), **truck,
            **({"body_up_height": L(up)} if up else {})}  # fmt: skip


_LITTLE = {"track_length": L(1.0), "machine_width": L(0.98), "shoe_width": L(0.2), "tail_radius": L(0.9), "bucket_length": L(0.45),
           "bucket_width": L(0.3), "blade_width": L(0.98), "trench_width": L(0.5), "edge_distance": L(0.3)}  # fmt: skip
_LARGER = {"track_length": L(3.7), "machine_width": L(3.2), "shoe_width": L(0.8), "tail_radius": L(2.8), "bucket_length": L(1.5),
           "bucket_width": L(1.2), "trench_width": L(0.9), "edge_distance": L(1.83)}  # fmt: skip


def _loads_of(value: float, load: float) -> Measure:
    n = math.ceil(value / load)
    return Measure(n, f"{n:,}", f"{n:,}")


def _heap_of(bank: float, loose: float, packed: float, load: float) -> Arguments:
    return {"bank": volume(bank), "loose": volume(loose), "compacted": volume(packed), "repose": A(33), "truck_load": volume(load),
            "loads": _loads_of(loose, load)}  # fmt: skip


def _left_of(bank: float, left: float, load: float) -> Arguments:
    return {"bank": volume(bank), "left": volume(left), "repose": A(33), "truck_load": volume(load), "loads_by_bank": _loads_of(bank, load),
            "missing": _loads_of(left, load)}  # fmt: skip


def _swings(first: float, last: float, count: int) -> list[Measure]:
    step = (last - first) / max(count - 1, 1)
    return [A(round(first + step * k, 1)) for k in range(count)]


def _stations(length: float, low: float, grade: float, ground: float, *, copied: bool, **more: Any) -> Arguments:
    """A trench in six equal spaces. Invented figures."""
    at = [length * k / 6 for k in range(7)]
    off = [abs(grade - ground) * x for x in at]
    return {
        "numbers": [Measure(k, str(k), str(k)) for k in range(7)], "distances": [L(x) for x in at],
        "rises": [L(grade * x) for x in at], "depths": [L(low - (grade - ground) * x) for x in at],
        **({"offs": [L(o) for o in off]} if copied else {}), "length": L(length), "ground_rise": L(ground * length), **more,
    }  # fmt: skip


def _upright(bottom: float, depth: float, top: float, wide: float, high: float) -> Arguments:
    return {"bottom_width": L(bottom), "depth": L(depth), "top_width": L(top), "spoil_width": L(wide), "spoil_height": L(high)}


_TRENCHER = {"max_reach": L(11.58), "track_length": L(4.42), "stick_length": L(3.05), "bucket_length": L(1.71), "tail_radius": L(3.69)}
_SMALL = {"max_reach": L(3.96), "track_length": L(1.28), "stick_length": L(1.19), "bucket_length": L(0.58), "tail_radius": L(1.19),
          "blade_height": L(0.27)}  # fmt: skip


_LARGE = {"max_reach": L(17.0), "track_length": L(5.6), "stick_length": L(5.0), "bucket_length": L(1.9), "tail_radius": L(4.2)}


def _box(depth: float, each: float, boxes: int, long: float, gap: float) -> Arguments:
    """A box in a trench. Invented figures."""
    return {"depth": L(depth), "stack": L(boxes * each), "box_height": L(each), "box_length": L(long), "gap": L(gap)}


def _box_out(box: Arguments) -> Measure:
    return L(box["stack"].si + box["gap"].si - box["depth"].si)


def _set_box(box: Arguments, machine: Arguments, edge: float) -> Arguments:
    return box | machine | {"above": _box_out(box), "ladder_above": L(0.9144), "edge_distance": L(edge)}


def _across_box(width: float, box: Arguments, **more: Any) -> Arguments:
    return {"bottom_width": L(width), "above": _box_out(box), **{k: v for k, v in box.items() if k != "box_length"}, **more}


def _crossed(width: float, tolerance: float, depth: float, machine: Arguments, edge: float) -> Arguments:
    return {"line_width": L(width), "tolerance": L(tolerance), "depth": L(depth), "edge_distance": L(edge), **machine}


def _zoned(crossed: Arguments) -> Arguments:
    return crossed | {"zone": L(crossed["line_width"].si + 2 * crossed["tolerance"].si)}


def _along(run: float, spacing: float, tolerance: float, width: float) -> Arguments:
    count = math.ceil(run / spacing) + 1
    return {
        "run": L(run),
        "spacing": L(spacing),
        "holes": Measure(count, str(count), str(count)),
        "tolerance": L(tolerance),
        "line_width": L(width),
    }


def _two_lines(apart: float, width: float, tolerance: float) -> Arguments:
    return {"apart": L(apart), "line_width": L(width), "tolerance": L(tolerance), "strip": L(apart - width - 2 * tolerance)}


_CROSSED = (
    _crossed(0.02, 0.4572, 1.1, _SMALL, 0.3), _crossed(0.2, 0.6096, 1.83, _TRENCHER, 1.83), _crossed(1.2, 1.0, 3.5, _LARGE, 0.6),
)  # fmt: skip
_BOXES = (_box(1.2, 0.9, 1, 1.2, 0.35), _box(1.83, 1.83, 1, 2.44, 0.45), _box(5.8, 3.0, 2, 6.0, 0.2))


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


def _dial(angle: float) -> Arguments:
    return {"slope": percent(math.tan(math.radians(angle))), "angle": A(angle), "limit": percent(angle / 100)}


def _on_stone(slope: float, bump: float, gauge: float) -> Arguments:
    """A machine of that gauge with a track on a stone. Invented figures."""
    return {
        "slope": percent(slope), "bump_height": L(bump), "with_bump": percent(slope + bump / gauge), "track_gauge": L(gauge),
        "cg_height": L(0.5 * gauge), "shoe_width": L(0.3 * gauge),
    }  # fmt: skip


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


def _places(stick: float, track: float, wide: float, truck: float, body: float, passes: int, **more: Any) -> Arguments:
    """A truck filled over its side and over its rear, near a bench as high as the stick is long. Invented figures."""
    edge, shoe = 0.6 * stick, 0.2 * wide
    half = (track + wide) / 2**1.5
    out = edge + half + stick + truck / 2
    rear = out - truck / 2 + 0.03 * body
    return {
        "truck_distance": L(out), "rear_stand": L(rear), "rear_reach": L(rear + body * (1 - 1 / (2 * passes))),
        "side_swings": _swings(95, 36, passes), "rear_first": A(77), "rear_last": A(44), "side_wait": _seconds(26.2),
        "rear_wait": _seconds(23.8), "dig_arc": A(40), "truck_angle": A(90),
        **_bench(edge, stick, track, wide, shoe, truck, 3.5 * stick), "track_angle": A(45), **more,
    }  # fmt: skip


def _edge(edge: float, track: float, wide: float, shoe: float, angle: float, **more: Any) -> Arguments:
    """A piece of a bench that lets go under an excavator. Invented figures."""
    piece = edge + shoe
    drive = piece / math.sin(math.radians(angle))
    return {
        "track_length": L(track), "machine_width": L(wide), "crest_distance": L(edge), "piece": L(piece), "drive": L(drive),
        "along": L(drive * math.cos(math.radians(angle))), "track_angle": A(angle), "fall_zone": L(1.5 * edge), "shoe_width": L(shoe), **more,
    }  # fmt: skip


def _flags(keep: float, track: float, wide: float, angle: float, **more: Any) -> Arguments:
    """Open ground flagged for practice. Invented figures."""
    slant = math.radians(angle)
    return {
        "keep": L(keep), "flag_along": L(track * math.cos(slant)), "flag_square": L(track * math.sin(slant)), "track_length": L(track),
        "machine_width": L(wide), "track_angle": A(angle), **more,
    }  # fmt: skip


def _pull(stick: float, bucket: float, long: float, width: float, **more: Any) -> Arguments:
    """One stroke of a bucket in six parts; a quarter of the bucket deep, in ground that swells by a quarter. Invented figures."""
    bank = long * bucket / 4 * width
    return {
        "stick_length": L(stick), "bucket_angle": A(30), "stroke_length": L(long), "slice_depth": L(bucket / 4), "bucket_length": L(bucket),
        "drawn_in": [L(long * k / 6) for k in range(1, 7)], "in_bucket": [volume(1.25 * bank * k / 6) for k in range(1, 7)],
        "bank_volume": volume(bank), "bucket_width": L(width), **more,
    }  # fmt: skip


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


def _spread(body: float, blade: float, drum: float, layer: float, wide: float, **more: Any) -> Arguments:
    """A layer tipped by a truck of that body, spread by that blade and packed by that drum. Invented figures."""
    load = 0.55 * body**3 * 0.35
    return {"spacing": L(load / (1.39 * layer * wide)), "loose_layer": L(1.39 * layer), "layer": L(layer), "passes": _count(6), "truck_load": volume(load),
            "repose": A(35), "roller_width": L(drum), "body_length": L(body), "blade_height": L(blade), **more}  # fmt: skip


def _thick(depth: float, layer: float, drum: float) -> Arguments:
    return {"fill_depth": L(depth), "layer": L(layer), "roller_width": L(drum), "sinks": L(0.28 * depth)}


def _level(benchmark: float, back: float, on_ground: float, design: float, **more: Any) -> Arguments:
    """From a benchmark to a spot: the line, the ground and the plan, all from the same readings. Invented figures."""
    line = benchmark + back
    ground = line - on_ground
    return {"benchmark": L(benchmark), "backsight": L(back), "instrument_height": L(line), "rod_on_ground": L(on_ground), "ground": L(ground),
            "design": L(design), "amount": L(abs(ground - design)), "rod_wanted": L(line - design), **more}  # fmt: skip


def _back(base: Arguments, now: float, allowed: float) -> Arguments:
    kept = ("benchmark", "backsight", "instrument_height", "ground", "design", "blade_height", "track_length")
    return {k: v for k, v in base.items() if k in kept} | {
        "reading_now": L(now), "moved": L(abs(now - base["backsight"].si)), "check_tolerance": L(allowed),
    }  # fmt: skip


def _leans(off: float, far: float, allowed: float) -> Arguments:
    places = [far * k / 4 for k in range(5)]
    return {"off_level": percent(off), "distances": [L(x) for x in places], "errors": [L(off * x) for x in places], "tolerance": L(allowed)}


def _string(above: float, measured: float) -> Arguments:
    return {"string_above": L(above), "measured_down": L(measured), "amount": L(abs(above - measured))}


def _rolled(drum: float, edge: float, lap: float = 0.0) -> Arguments:
    return {"roller_width": L(drum), "edge_distance": L(edge), **({"overlap": L(lap)} if lap else {})}


def _strip(wide: float, edge: float, drum: float, body: float, truck: float, blade: float, long: float) -> Arguments:
    return {"fill_width": L(wide), "edge_distance": L(edge), "roller_width": L(drum), "overlap": L(0.08 * drum), "body_length": L(body), "truck_width": L(truck),
            "blade_width": L(blade), "track_length": L(long), "track_gauge": L(0.62 * long), "shoe_width": L(0.16 * long)}  # fmt: skip


_STILL: tuple[Arguments, Arguments, Arguments] = (
    {"track_length": L(1.05), "blade_height": L(0.22), "stick_length": L(0.95), "bucket_length": L(0.45), "tail_radius": L(0.95)},
    {"track_length": L(3.05), "blade_height": L(1.2)},
    {"track_length": L(6.0), "stick_length": L(4.0), "bucket_length": L(2.2), "tail_radius": L(4.6)},
)


def _weighs(lb: float) -> Measure:
    return Measure(lb * 0.45359237, f"{lb:,.0f} lb", f"{lb * 0.45359237:,.0f} kg")


def _trailer(deck: float, ramp: float, base: float, place: float, **machine: float) -> Arguments:
    """A machine on a trailer, as far as all scenes of it go; metres."""
    return {"deck_height": L(deck), "ramp_length": L(ramp), "trailer_base": L(base), "machine_place": L(place),
            **{name: L(metres) for name, metres in machine.items()}}  # fmt: skip


_TRAILERS: tuple[Arguments, Arguments, Arguments] = (
    _trailer(0.5, 1.6, 4.0, 3.2, track_length=1.05, blade_height=0.22, stick_length=0.95, travel_height=2.2),
    _trailer(0.91, 3.05, 12.2, 8.2, track_length=3.05, blade_height=1.2, travel_height=3.1),
    _trailer(1.5, 6.0, 20.0, 13.0, track_length=6.0, stick_length=4.0, bucket_length=2.2, tail_radius=4.6, travel_height=4.6),
)  # fmt: skip


def _loading_onto(on: Arguments) -> Arguments:
    deck, ramp = on["deck_height"].si, on["ramp_length"].si
    return {**on, "ramp_grade": percent(deck / math.sqrt(ramp**2 - deck**2)), "axle_load": _weighs(41500), "tie_downs": _count(4),
            **({"loaded_height": L(deck + on["travel_height"].si)} if "travel_height" in on else {})}  # fmt: skip


def _loose_on(on: Arguments) -> Arguments:
    return {**on, "counted": _weighs(11300), "wanted": _weighs(22500)}


def _tied_on(on: Arguments, count: int, width: float, shoe: float) -> Arguments:
    return {**on, "tie_downs": _count(count), "machine_width": L(width), "shoe_width": L(shoe), "track_gauge": L(width - shoe)}


def _lifted(radius: float, track: float, stick: float, reach: float, **machine: float) -> Arguments:
    """A lift from the side, as far as its films share it; metres."""
    return {"radius": L(radius), "track_length": L(track), "stick_length": L(stick), "max_reach": L(reach),
            **{name: L(metres) for name, metres in machine.items()}}  # fmt: skip


_LIFTS: tuple[Arguments, Arguments, Arguments] = (
    _lifted(2.4, 1.05, 1.0, 3.2, blade_height=0.22, bucket_length=0.5),
    _lifted(6.1, 4.42, 3.05, 11.6, bucket_length=1.7, tail_radius=3.7),
    _lifted(13.0, 6.5, 5.5, 18.0, bucket_length=2.6, tail_radius=5.5),
)


def _lift_told(on: Arguments) -> Arguments:
    return {**on, "load": _weighs(3600), "total_load": _weighs(8920), "chart_load": _weighs(14900), "chart_radius": on["radius"]}


def _lift_above(on: Arguments, width: float, shoe: float) -> Arguments:
    kept = {name: value for name, value in on.items() if name not in {"stick_length", "blade_height"}}
    return {**kept, "machine_width": L(width), "shoe_width": L(shoe), "person_distance": L(4.6)}


def _loaded_truck(distance: float, body: float, wide: float, track: float, reach: float, **more: Any) -> Arguments:
    """A truck that an excavator loads, as far as its scenes from above go; metres."""
    return {"truck_distance": L(distance), "truck_length": L(body), "truck_width": L(wide), "track_length": L(track), "max_reach": L(reach),
            "machine_width": L(0.8 * track), "shoe_width": L(0.17 * track), "bucket_length": L(0.38 * track), **more}  # fmt: skip


_TRUCKS: tuple[Arguments, Arguments, Arguments] = (
    _loaded_truck(3.0, 2.0, 1.4, 1.1, 3.4),
    _loaded_truck(10.1, 5.5, 3.1, 4.4, 11.6, crest_distance=L(1.83), fall_zone=L(3.05), truck_angle=A(90), tail_radius=L(3.7),
                  truck_build="articulated"),
    _loaded_truck(16.0, 9.0, 5.2, 5.8, 16.0, crest_distance=L(3.0), fall_zone=L(5.0), truck_angle=A(80), truck_build="rigid"),
)  # fmt: skip


def _under_a_bucket(on: Arguments) -> Arguments:
    """The same truck and excavator from the side."""
    return {"bucket_load": _weighs(10416), "truck_length": on["truck_length"], "track_length": on["track_length"],
            "stick_length": L(0.27 * on["max_reach"].si), "max_reach": on["max_reach"], "body_height": L(0.5 * on["truck_length"].si),
            **({"truck_build": on["truck_build"]} if "truck_build" in on else {})}  # fmt: skip


_CABS: tuple[Arguments, Arguments, Arguments] = (_under_a_bucket(_TRUCKS[0]), _under_a_bucket(_TRUCKS[1]), _under_a_bucket(_TRUCKS[2]))


SAMPLES: dict[str, tuple[Scene, Sequence[Arguments]]] = {
    "where_to_look": (walk.where_to_look, _STILL),
    "where": (
        parking.where,
        (
            _STILL[0] | {"fall_zone": L(1.0), "edge_distance": L(0.5)},
            _STILL[1] | {"fall_zone": L(3.05), "edge_distance": L(1.83)},
            _STILL[2] | {"fall_zone": L(10.0), "edge_distance": L(5.0)},
        ),
    ),
    "places": (under_bucket.places, _TRUCKS),
    "from_above": (
        lifting.from_above,
        (
            {**_lift_above(_LIFTS[0], 0.95, 0.18), "blade_width": L(1.0), "over": "front"},
            _lift_above(_LIFTS[1], 3.5, 0.76),
            _lift_above(_LIFTS[2], 4.6, 0.9),
        ),
    ),
    "tied": (
        moving.tied,
        (
            {**_tied_on(_TRAILERS[0], 4, 0.9, 0.18), "blade_width": L(1.0)},
            {**_tied_on(_TRAILERS[1], 4, 2.6, 0.6), "blade_width": L(3.6)},
            _tied_on(_TRAILERS[2], 17, 4.2, 0.9),
            {**_tied_on(_TRAILERS[0], 4, 0.9, 0.18), "blade_width": L(1.0), "spots": True},
        ),
    ),
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
    "loads_from_loose": (
        heaps.loads_from_loose,
        (
            _heap_of(1.0, 1.1, 0.95, 2.0),
            _heap_of(458.7, 573.4, 412.9, 18.5) | {"length": L(24.4)},
            _heap_of(120000.0, 198000.0, 90000.0, 12.0),
        ),
    ),
    "under_a_string": (leveling.under_a_string, (_string(0.4, 0.3), _string(1.52, 1.34), _string(4.4, 6.0))),
    "on_the_blade": (
        leveling.on_the_blade,
        (
            {"blade_width": L(1.4), "tolerance": L(0.01)},
            {"blade_width": L(3.66), "tolerance": L(0.03), "lower": L(0.02)},
            {"blade_width": L(7.5), "tolerance": L(0.1), "lower": L(0.3), "wrong": True},
        ),
    ),
    "lanes": (
        compacting.lanes,
        (
            _strip(5.0, 0.6, 0.8, 1.8, 1.3, 1.4, 1.4),
            _strip(9.75, 1.83, 2.13, 5.5, 3.1, 3.66, 3.05),
            _strip(40.0, 4.0, 3.2, 13.0, 9.0, 7.5, 6.0) | {"truck_build": "articulated"},
        ),
    ),
    "loads_from_bank": (
        heaps.loads_from_bank,
        (_left_of(1.0, 0.0, 2.0), _left_of(458.7, 110.9, 18.5) | {"length": L(24.4)}, _left_of(120000.0, 77990.0, 12.0)),
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
    "strip_across": (
        stripping.strip_across,
        tuple(
            {
                "strip_width": L(w),
                "topsoil_depth": L(d),
                "windrow_height": L(h),
                "repose": A(35),
                "blade_height": L(b),
                **more,
            }
            for w, d, h, b, more in (
                (1.5, 0.05, 0.1, 0.5, {}),
                (3.7, 0.2, 0.46, 1.2, {"track_length": L(3.0), "track_gauge": L(2.0), "shoe_width": L(0.6)}),
                (7.0, 0.9, 1.8, 2.4, {"track_length": L(5.5), "cut_depth": L(1.4), "one_side": True}),
            )
        ),
    ),
    "at_work": (
        ripping.at_work,
        (
            {"rip_depth": L(0.15), "blade_height": L(0.5)},
            {"rip_depth": L(0.6), "blade_height": L(1.2), "track_length": L(3.0), "someone": True, "line": True},
            {"rip_depth": L(2.1), "blade_height": L(2.4), "track_length": L(5.5), "backwards": True, "shank_up": True},
        ),
    ),
    "pile_side": (
        spoil.pile_side,
        (
            {"height": L(0.4), "ramp_length": L(0.9), "blade_height": L(0.5)},
            {
                "height": L(2.8),
                "ramp_length": L(8.5),
                "blade_height": L(1.2),
                "track_length": L(3.0),
                "far_side_ratio": 1.43,
                "blade_width": L(3.7),
                "least_width": L(7.3),
                "someone": True,
            },
            {"height": L(14.0), "ramp_length": L(80.0), "blade_height": L(2.4), "track_length": L(5.5), "far_side_ratio": 3.7},
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
            {"height": L(2.5), "ramp_length": L(7.5), "ratio_text": "3:1", "top_width": L(7.6), "repose": A(35), "side": False},
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
    "ways_back": (
        undercarriage.ways_back,
        tuple(
            _ways_back(run, count, far, track_length=L(t), track_gauge=L(0.65 * t), shoe_width=L(0.2 * t), blade_width=L(b))
            for run, count, far, t, b in ((6.0, 2, False, 1.1, 1.2), (45.7, 54, True, 3.05, 3.66), (300.0, 400, False, 4.8, 6.5))
        ),
    ),
    "backing_up": (
        undercarriage.backing_up,
        tuple(
            {"blade_height": L(b), "track_length": L(t), **more}
            for b, t, more in ((0.35, 1.1, {}), (1.22, 3.05, {"blade_up": True, "behind": L(1.8)}), (2.3, 4.8, {"behind": L(12.0)}))
        ),
    ),
    "measured_part": (
        undercarriage.measured_part,
        (
            {"new": L(0.02), "limit": L(0.008), "measured": L(0.02)},
            {
                "new": L(0.0711),
                "limit": L(0.0305),
                "measured": L(0.0508),
                "reading": L(0.0559),
                "hours_left": hours(3000),
                "track_length": L(3.05),
            },
            {
                "new": L(0.812),
                "limit": L(0.838),
                "measured": L(0.83),
                "reading": L(0.8255),
                "hours_left": hours(300),
                "track_length": L(4.8),
            },
        ),
    ),
    "flag_lines": (
        practice.flag_lines,
        (
            _flags(0.9, 1.2, 0.9, 90),
            _flags(1.83, 4.4, 3.5, 45, shoe_width=L(0.76), bucket_length=L(1.7), tail_radius=L(3.7)),
            _flags(6.0, 6.5, 5.5, 30),
        ),
    ),
    "track_marks": (practice.track_marks, ({}, {}, {})),
    "grouser_and_shoe": (undercarriage.grouser_and_shoe, ({}, {}, {})),
    "on_a_side_slope": (
        undercarriage.on_a_side_slope,
        tuple(
            {"side_slope": percent(s), "track_gauge": L(g), "shoe_width": L(w), "cg_height": L(h), **more}
            for s, g, w, h, more in (
                (0.05, 1.0, 0.25, 0.5, {}),
                (0.15, 1.98, 0.61, 0.98, {"blade_width": L(3.66), "blade_height": L(1.22)}),
                (0.4, 3.2, 0.9, 2.1, {"right_low": True}),
            )
        ),
    ),
    "behind_the_blade": (
        steering.behind_the_blade,
        tuple(
            {"off_line": L(d), "blade_width": L(a), "blade_height": L(b), **more}
            for a, b, d, more in (
                (1.2, 0.35, 0.1, {}),
                (3.66, 1.22, 0.61, {"tilt": L(0.1), "track_length": L(3.05), "track_gauge": L(1.98), "shoe_width": L(0.61)}),
                (6.5, 2.3, 12.0, {"tilt": L(0.8), "left_low": True}),
            )
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
    "road_section": (
        hauling.road_section,
        (
            {"road_width": L(4.0), "truck_width": L(2.0), "lanes": Measure(1, "1", "1"), "berm_height": L(0.35), "berm_ratio": 1.5},
            {
                "road_width": L(10.88),
                "truck_width": L(3.11),
                "lanes": Measure(2, "2", "2"),
                "berm_height": L(0.88),
                "berm_ratio": 1.5,
                "body_height": L(2.8),
                "edge_distance": L(1.83),
                "build": "articulated",
            },
            {
                "road_width": L(58.5),
                "truck_width": L(9.0),
                "lanes": Measure(4, "4", "4"),
                "berm_height": L(1.9),
                "berm_ratio": 3.0,
                "body_height": L(7.2),
                "edge_distance": L(15.0),
                "build": "rigid",
                "plain": True,
            },
        ),
    ),
    "ahead": (
        seeing.ahead,
        (
            {"bent_height": L(0.9), "body_length": L(2.4)},
            _truck_seat(2.62, 1.68, 2.4, body_length=L(5.5), body_height=L(2.8), axle_height=L(0.88), build="articulated"),
            _truck_seat(6.0, 4.4, 3.6, body_length=L(12.0), body_height=L(6.6)),
        ),
    ),
    "circles": (seeing.circles, _three(_around, _RINGS)),
    "chart": (signals.chart, ({}, {}, {"bare": True})),
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
    "on_a_stone": (
        leaning.on_a_stone,
        (
            _on_stone(0.05, 0.05, 0.75),
            _on_stone(0.15, 0.1524, 1.98),
            _on_stone(0.4, 0.8, 3.2) | {"blade_width": L(5.0), "blade_height": L(1.5)},
        ),
    ),
    "on_even_ground": (
        leaning.on_even_ground,
        tuple({k: v for k, v in _on_stone(t, 0.05, g).items() if "bump" not in k} for t, g in ((0.05, 0.75), (0.15, 1.98), (0.4, 3.2))),
    ),
    "parked": (
        screens.parked,
        (
            _screened(1.2, compact=True, boom_up=True),
            _screened(4.4, bucket_length=L(1.7), tail_radius=L(3.7)),
            _screened(6.5, boom_up=True, plain=True),
        ),
    ),
    "standing": (
        hillside.standing,
        (
            _on_slope(1.2, 0.03, compact=True, across=True),
            _on_slope(4.4, 0.1, on_fill=True, bucket_length=L(1.7), tail_radius=L(3.7)),
            _on_slope(6.5, 0.6, plain=True),
        ),
    ),
    "limit_on_a_dial": (
        grading.limit_on_a_dial,
        (
            _dial(3.0),
            _dial(15.0)
            | {
                "wrong": True,
                "track_gauge": L(2.0),
                "cg_height": L(1.0),
                "shoe_width": L(0.6),
                "blade_width": L(3.6),
                "blade_height": L(1.2),
            },
            _dial(40.0) | {"track_gauge": L(3.2), "cg_height": L(1.8), "shoe_width": L(0.8)},
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
    "places_of_a_box": (trench_box.places, _BOXES),
    "across": (
        trench_box.across,
        (
            _across_box(0.5, _BOXES[0]),
            _across_box(0.91, _BOXES[1], pressure=Measure(26430, "552 lbf/ft²", "26.4 kPa")),
            _across_box(3.0, _BOXES[2], pressure=Measure(75700, "1,580 lbf/ft²", "75.7 kPa")),
        ),
    ),
    "marks": (found_line.marks, ({}, {}, {})),
    "holes_along": (
        found_line.holes_along,
        (_along(2.0, 5.0, 0.4572, 0.02), _along(36.6, 7.6, 0.6096, 0.2), _along(900.0, 15.0, 1.0, 1.8)),
    ),
    "two_lines": (
        found_line.two_lines,
        (_two_lines(0.9, 0.02, 0.4572), _two_lines(4.27, 0.2, 0.6096), _two_lines(40.0, 1.8, 1.0)),
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
    "in_line": (
        side_load.in_line,
        ({"reach": L(1.8)} | _LITTLE, {"reach": L(8.2), "plain": True} | _LARGER, {"reach": L(16.0)}),
    ),
    "against_the_wall": (
        side_load.against_the_wall,
        (_moment(1.8, 900.0) | _LITTLE, _moment(8.2, 20000.0) | _LARGER, _moment(16.0, 250000.0)),
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


def _crawler(size: float, kind: str, **more: Any) -> Arguments:
    """A machine whose tracks are `size` metres long, in proportions of the trade. Invented figures."""
    arm = {"stick_length": L(0.7 * size), "max_reach": L(2.6 * size), "bucket_length": L(0.4 * size), "tail_radius": L(0.8 * size)}
    blade = {"blade_width": L(1.2 * size), "blade_height": L(0.4 * size if kind == "dozer" else 0.2 * size)}
    return {
        "kind": kind, "track_length": L(size), "track_gauge": L(0.65 * size), "shoe_width": L(0.2 * size), "cg_height": L(0.32 * size),
        **(blade if kind != "excavator" else {}), **(arm if kind != "dozer" else {}), **more,
    }  # fmt: skip


def _held(cross: float, count: int, wide: float, error: float = 0.0) -> Arguments:
    """A surface finished in so many passes by a dozer with a blade so wide. Invented figures."""
    widths = [wide * (k + 1) for k in range(count)]
    off = {"offs": [L(error * w) for w in widths], "slope_error": percent(error)} if error else {}
    return {
        "main_fall": percent(0.03), "cross_slope": percent(cross), "pass_numbers": [_count(k + 1) for k in range(count)],
        "widths": [L(w) for w in widths], "drops": [L(cross * w) for w in widths], "blade_width": L(wide), "blade_height": L(wide / 3),
        "track_gauge": L(0.54 * wide), "shoe_width": L(0.17 * wide), "cg_height": L(0.27 * wide), **off,
    }  # fmt: skip


def _lifts(height: float, ratio: float, count: int, size: float) -> Arguments:
    """A slope cut in so many lifts by a dozer whose tracks are `size` metres long. Invented figures."""
    downs = [height * (k + 1) / count for k in range(count)]
    return {
        "height": L(height), "ratio": ratio, "lift_numbers": [_count(k + 1) for k in range(count)], "downs": [L(down) for down in downs],
        "outs": [L(down * ratio) for down in downs], "track_length": L(size), "blade_height": L(0.4 * size), "windrow_height": L(0.3 * size),
    }  # fmt: skip


def _trench(size: int) -> Arguments:
    wide, deep, blade, high, across, more = (
        (0.3, 0.5, 0.22, 0.25, 0.7, {"edge_distance": L(1.8), "track_length": L(1.05), "stick_length": L(0.95)}),
        (0.6, 1.2, 0.35, 0.7, 1.8, {}),
        (1.5, 4.0, 0.5, 1.9, 5.0, {"edge_distance": L(4.0), "track_length": L(2.9), "stick_length": L(2.0)}),
    )[size - 1]
    return {
        "trench_width": L(wide), "trench_depth": L(deep), "blade_height": L(blade), "spoil_height": L(high), "spoil_width": L(across),
        "spoil_setback": L(0.61), **more,
    }  # fmt: skip


def _filled(size: int, layer: float) -> Arguments:
    given = _trench(size)
    depth, packed = given["trench_depth"].si, 0.72 * layer
    count = math.ceil(depth / packed)
    tops = [min(k * packed, depth) for k in range(count + 1)]
    return given | {
        "layers": [Measure(k, str(k), str(k)) for k in range(1, count + 1)],
        "loose": [L((b - a) / 0.72) for a, b in itertools.pairwise(tops)],
        "filled": [L(top) for top in tops[1:]],
        "pushes": [Measure(20 * k, str(20 * k), str(20 * k)) for k in range(1, count + 1)],
    }


def _gate(gate: float, narrow: float, wide: float, track: float) -> Arguments:
    return {
        "gate_width": L(gate), "narrow_width": L(narrow), "wide_width": L(wide), "room": L((gate - narrow) / 2), "track_length": L(track),
        "shoe_width": L(0.2 * narrow),
    }  # fmt: skip


def _wide(gauge: float, track: float) -> Arguments:
    return {"gauge_wide": L(gauge), "shoe_width": L(0.2 * gauge), "track_length": L(track), "stick_length": L(0.93 * track)}


_EDGES: tuple[Arguments, Arguments, Arguments] = (
    {"edge_distance": L(0.6), "track_length": L(1.05), "blade_height": L(0.22), "stick_length": L(0.95)},
    {"edge_distance": L(1.83), "track_length": L(3.05), "blade_height": L(1.2)},
    {"edge_distance": L(5.0), "track_length": L(6.0), "stick_length": L(4.0), "bucket_length": L(2.2), "tail_radius": L(4.6)},
)

_STILL_ABOVE: tuple[Arguments, Arguments, Arguments] = (
    _STILL[0] | {"track_gauge": L(0.8), "shoe_width": L(0.18), "blade_width": L(1.0), "bucket_width": L(0.3)},
    _STILL[1] | {"track_gauge": L(2.0), "shoe_width": L(0.61), "blade_width": L(3.6)},
    _STILL[2] | {"track_gauge": L(3.6), "shoe_width": L(0.9), "bucket_width": L(2.4)},
)
_HIGH = (0.35, 1.1, 1.9)


def _metres_a_second(value: float) -> Measure:
    return Measure(value, f"{value / 0.44704:.1f} mph", f"{3.6 * value:.1f} km/h")


def _jump(high: float) -> Arguments:
    return {"step_height": L(high), "landing": _metres_a_second(math.sqrt(2 * 9.80665 * high))}


def _inches(value: float) -> Measure:
    return Measure(0.0254 * value, f"{value:g} in", f"{25.4 * value:.0f} mm")


def _sags(least: float, most: float, sag: float, track: float, hung: bool) -> Arguments:
    return {"least": _inches(least), "most": _inches(most), "sag": _inches(sag), "track_length": L(track)} | (
        {"stick_length": L(2.0)} if hung else {}
    )


def _roll(grade: float, distance: float) -> Arguments:
    return {"grade": percent(grade), "distance": L(distance), "speed": _metres_a_second(math.sqrt(2 * 9.80665 * distance * (grade - 0.02)))}


def _week(shift: float, *shares: float) -> Arguments:
    return {"hours": [Measure(3600 * shift * s, f"{shift * s:g} h", f"{shift * s:g} h") for s in shares], "shift": hours(shift)}


def _day(shift: float, travel: float, own: float) -> Arguments:
    sleep = 24 - shift - 2 * travel - own
    return {name: Measure(3600 * h, f"{h:g} h", f"{h:g} h") for name, h in
            (("shift_time", shift), ("travel_time", travel), ("own_time", own), ("sleep", sleep))}  # fmt: skip


# reach, distance to keep, height reached, tracks, stick, height of the wire; the first is a compact one
_WIRES = ((2.8, 3.05, 2.5, 0.9, 0.8, 4.5), (9.8, 6.1, 9.4, 3.7, 2.9, 13.7), (16.0, 10.7, 14.0, 6.0, 6.0, 9.0))
_HIGH_WIRE = (4.0, 8.0, 3.5, 1.2, 1.2, 12.0)  # the boom alone does not come so near that power jumps


def _beside_wire(reach: float, keep: float, high: float, track: float, stick: float, wire: float) -> Arguments:
    turns = (150, 120, 90, 60, 30, 0)
    away = reach + keep
    return {
        "swings": [A(turn) for turn in turns],
        "distances": [L(away - reach * math.cos(math.radians(turn))) for turn in turns],
        "standoff": L(away), "clearance": L(keep), "max_reach": L(reach), "track_length": L(track),
        "machine_width": L(0.85 * track), "shoe_width": L(0.2 * track), **({"blade_width": L(track)} if track < 2 else {}),
    }  # fmt: skip


def _side_of_wire(reach: float, keep: float, high: float, track: float, stick: float, wire: float) -> Arguments:
    return {
        "line_height": L(wire), "clearance": L(keep), "max_reach": L(reach), "track_length": L(track), "stick_length": L(stick),
        **({"blade_height": L(0.25)} if track < 2 else {"bucket_length": L(0.5 * stick), "tail_radius": L(0.75 * track)}),
    }  # fmt: skip


def _under_wire(reach: float, keep: float, high: float, track: float, stick: float, wire: float) -> Arguments:
    tops = [high * share for share in (0.7, 0.8, 0.9, 1.0)]
    return _side_of_wire(reach, keep, high, track, stick, wire) | {
        "tops": [L(top) for top in tops], "gaps": [L(max(wire - top, 0.0)) for top in tops],
    }  # fmt: skip


def _limits_at_wire(a: tuple[float, float, float, float, float, float], width: float, tolerance: float) -> Arguments:
    return _side_of_wire(*a) | {
        "standoff": L(a[0] + a[1]), "reach_height": L(a[2]), "line_width": L(width), "tolerance": L(tolerance),
    }  # fmt: skip


FILMS: dict[str, tuple[Callable[..., Film], tuple[Arguments, ...]]] = {
    "slot_passes_film": (
        dozing.slot_passes_film,
        (
            _passes(6.0, 0.4, 0.5, [[0.5, 1.0]], 0.6, False),
            _passes(45.7, 0.9, 1.3, [[1.0, 0.75, 0.5, 0.25], [1.0, 0.7, 0.3]], 2.8, True) | {"track_length": L(3.2), "far_side_ratio": 1.8},
            _passes(300.0, 2.0, 2.4, [[(k + 1) / 204 for k in range(204)]], 7.7, False) | {"most_reversed": L(90_000)},
        ),
    ),
    "pile_film": (
        spoil.pile_film,
        (
            _pile(2, 0.4, 2.0, 0.5),
            _pile(
                54, 2.8, 3.0, 1.2, track_length=L(3.0), far_side_ratio=1.5, blade_width=L(3.7), least_width=L(7.3), ratio_text="3:1",
                most_driven=L(988), longest_ramp=L(13.5), highest=L(2.8),
            ),
            _pile(700, 14.0, 6.0, 2.4, track_length=L(5.5), far_side_ratio=3.7, blade_width=L(7.0), least_width=L(40.0)),
        ),
    ),
    "strip_film": (
        stripping.strip_film,
        (
            _strips(1, 6.0, 1.5, 0.05, 0.1, 0.5),
            _strips(18, 45.0, 3.7, 0.2, 0.46, 1.2, track_length=L(3.0), track_gauge=L(2.0), shoe_width=L(0.6)),
            _strips(900, 150.0, 7.0, 0.9, 1.8, 2.4, track_length=L(5.5), track_gauge=L(3.0), shoe_width=L(0.9), one_side=True),
        ),
    ),
    "month_film": (
        undercarriage.month_film,
        (
            _month(1, 0.002, 0.0015, False, side_slope=percent(0.05), track_gauge=L(1.0), shoe_width=L(0.25), cg_height=L(0.5)),
            _month(22, 0.00305, 0.0025, True, side_slope=percent(0.1), track_gauge=L(1.98), shoe_width=L(0.61), cg_height=L(0.98),
                   blade_width=L(3.66), blade_height=L(1.22)),
            _month(31, 0.02, 0.004, False, side_slope=percent(0.4), track_gauge=L(3.2), shoe_width=L(0.9), cg_height=L(2.1)),
        ),
    ),
    "drift_film": (
        steering.drift_film,
        (
            _drift(3.0, 0.2, 9e4, 0.02, blade_width=L(1.2), blade_height=L(0.35)),
            _drift(15.24, 0.61, 1.8e5, None, blade_width=L(3.66), blade_height=L(1.22), track_length=L(3.05), track_gauge=L(1.98),
                   shoe_width=L(0.61)),
            _drift(200.0, 14.0, 1e6, 0.8, blade_width=L(6.5), blade_height=L(2.3)),
        ),
    ),
    "truck_places_film": (
        bench.truck_places_film,
        (
            _places(1.2, 1.6, 1.2, 1.5, 2.0, 2),
            _places(3.048, 4.4, 3.5, 3.1, 5.5, 6, bucket_length=L(1.7), tail_radius=L(3.7), truck_build="articulated"),
            _places(6.0, 6.5, 5.5, 8.0, 11.0, 12),
        ),
    ),
    "edge_film": (
        bench.edge_film,
        (
            _edge(1.0, 1.5, 1.0, 0.3, 60, parallel=True),
            _edge(1.83, 4.4, 3.5, 0.76, 45, max_reach=L(11.6), bucket_length=L(1.7), tail_radius=L(3.7)),
            _edge(6.0, 6.5, 5.5, 0.9, 30),
        ),
    ),
    "slope_film": (
        banks.slope_film,
        (
            _lifts(1.0, 1.0, 3, 1.0),
            _lifts(6.0, 4.0, 5, 3.0) | {"windrow_ratio": 2.0, "keep_back": L(4.5)},
            _lifts(150.0, 1.5, 60, 5.5) | {"windrow_height": L(2.2)},
        ),
    ),
    "undercut_film": (
        banks.undercut_film,
        (
            _lifts(1.0, 1.0, 3, 1.0) | {"lift_depth": L(1 / 3), "left_above": L(2 / 3)},
            _lifts(6.0, 4.0, 5, 3.0) | {"lift_depth": L(1.2), "left_above": L(4.8)},
            _lifts(150.0, 1.5, 60, 5.5) | {"lift_depth": L(2.5), "left_above": L(147.5)},
        ),
    ),
    "held_film": (grading.held_film, (_held(0.0, 2, 1.2), _held(0.04, 6, 3.7, 0.0064), _held(0.3, 40, 6.0, 0.08))),
    "run_on_film": (
        screens.run_on_film,
        (
            _run_on(1.2, 100.0, compact=True, wrong=True),
            _run_on(4.4, 24.0, wrong=True, bucket_length=L(1.7), tail_radius=L(3.7)),
            _run_on(6.5, 18.0),
        ),
    ),
    "zero_film": (
        screens.zero_film,
        (_zeroed(1.2, 0.002, compact=True), _zeroed(4.4, 0.005, bucket_length=L(1.7), edge_distance=L(1.8)), _zeroed(6.5, 0.2)),
    ),
    "load_film": (
        hillside.load_film,
        (
            _swung(1.2, 0.1, 0.02, compact=True),
            _swung(4.4, 1.0, 0.1, wrong=True, bucket_length=L(1.7), tail_radius=L(3.7)),
            _swung(6.5, 3.6, 0.5, wrong=True),
        ),
    ),
    "pad_film": (
        hillside.pad_film,
        (_pad(1.2, 0.04, compact=True), _pad(4.4, 0.1, bucket_length=L(1.7), tail_radius=L(3.7)), _pad(6.5, 0.45)),
    ),
    "slide_film": (
        sliding.slide_film,
        (
            _crawler(1.2, "compact excavator", slope=percent(0.02)),
            _crawler(3.0, "dozer", slope=percent(0.12)),
            _crawler(5.5, "dozer", slope=percent(0.55), wrong=True),
            _crawler(4.0, "excavator", slope=percent(0.1)),
            _crawler(4.0, "excavator", slope=percent(0.1), wrong=True),
            _crawler(1.6, "compact excavator", slope=percent(0.1), wrong=True),
        ),
    ),
    "runaway_film": (
        sliding.runaway_film,
        (
            {"slope": percent(0.08)},
            _crawler(3.0, "dozer", slope=percent(0.3), wrong=True),
            _crawler(5.5, "excavator", slope=percent(0.6)),
            _crawler(4.0, "excavator", slope=percent(0.1), wrong=True),
            _crawler(1.6, "compact excavator", slope=percent(0.1)),
            _crawler(1.6, "compact excavator", slope=percent(0.1), wrong=True),
        ),
    ),
    "stations_film": (
        trench_film.stations_film,
        (
            _stations(6.0, 0.9, 0.05, 0.0, copied=False, first_run=L(0.5), edge_distance=L(0.3), **_SMALL),
            _stations(54.9, 1.77, 0.01, 0.005, copied=True, first_run=L(1.07), edge_distance=L(1.83), **_TRENCHER),
            _stations(3000.0, 5.5, 0.001, -0.0004, copied=True),
        ),
    ),
    "rolling_stop_film": (
        hauling.rolling_stop_film,
        (_a_stop(2.2, 1.5, 0.6, **_LIGHT), _a_stop(8.94, 4.0, 0.3, **_MIDDLE), _a_stop(20.0, 6.0, 0.1, body_length=L(12.0))),
    ),
    "roads_film": (
        hauling.roads_film,
        (_roads(2.2, 1.5, 0.6, 0.3, 0.02, **_LIGHT), _roads(8.94, 4.0, 0.3, 0.2, 0.08, **_MIDDLE), _roads(13.0, 6.0, 0.3, 0.25, 0.2, **_HEAVY)),
    ),
    "follow_film": (
        hauling.follow_film,
        (
            _behind(2.2, 1.5, 0.6, 12.0, **_LIGHT),
            _behind(8.94, 4.0, 0.3, 10.4, room=L(61.0), **_MIDDLE),
            _behind(13.0, 6.0, 0.2, 100.0, **_HEAVY),
        ),
    ),
    "tip_film": (
        tipping.tip_film,
        (_tip(0.35, 1.0, 0.5, **_LIGHT), _tip(0.88, 1.5, 3.05, 6.4, edge_distance=L(1.83), **_MIDDLE), _tip(1.9, 4.0, 20.0, 16.0, **_HEAVY)),
    ),
    "short_film": (
        tipping.short_film,
        (
            {**_tip(0.35, 1.0, 0.5, **_LIGHT), "short": L(4.0)},
            {**_tip(0.88, 1.5, 3.05, 6.4, edge_distance=L(1.83), **_MIDDLE), "short": L(10.4)},
            {**_tip(1.9, 4.0, 20.0, 16.0, **_HEAVY), "short": L(24.0)},
        ),
    ),
    "giving_way_film": (
        tipping.giving_way_film,
        (
            {**_tip(0.35, 1.0, 0.5, **_LIGHT), "short": L(4.0)},
            {**_tip(0.88, 1.5, 3.05, **_MIDDLE), "short": L(10.4)},
            {**_tip(1.9, 4.0, 20.0, **_HEAVY), "short": L(24.0)},
        ),
    ),
    "wire_film": (
        tipping.wire_film,
        (
            {"body_up_height": L(2.9), **_LIGHT},
            {"body_up_height": L(6.4), "clearance": L(6.1), **_MIDDLE},
            {"body_up_height": L(16.0), "clearance": L(20.0), "down": True, **_HEAVY},
        ),
    ),
    "wire_down_film": (
        tipping.wire_down_film,
        (
            {"body_up_height": L(2.9), **_LIGHT},
            {"body_up_height": L(6.4), "clearance": L(6.1), **_MIDDLE},
            {"body_up_height": L(16.0), "clearance": L(20.0), **_HEAVY},
        ),
    ),
    "approach_film": (
        tipping.approach_film,
        (
            {"berm_base": L(0.7), "stand": L(1.0), "truck_width": L(1.8), "body_length": L(2.2)},
            {"berm_base": L(2.65), "stand": L(3.05), "truck_width": L(3.11), "body_length": L(5.49), "clear": L(6.4), "edge_distance": L(1.83),
             "build": "articulated"},
            {"berm_base": L(15.0), "stand": L(20.0), "truck_width": L(9.0), "body_length": L(12.0), "clear": L(16.0), "edge_distance": L(30.0)},
        ),
    ),
    "set_film": (
        trench_box.set_film,
        (_set_box(_BOXES[0], _SMALL, 0.3), _set_box(_BOXES[1], _TRENCHER, 1.83), _set_box(_BOXES[2], _LARGE, 0.6)),
    ),
    "outside_film": (trench_box.outside_film, _BOXES),
    "crossing_film": (found_line.crossing_film, (_zoned(_CROSSED[0]), _zoned(_CROSSED[1]), _zoned(_CROSSED[2]))),
    "straight_film": (found_line.straight_film, _CROSSED),
    "upright_walls_film": (
        trench_edge.upright_walls_film,
        (_upright(0.3, 0.5, 0.3, 0.7, 0.25), _upright(0.91, 1.83, 6.4, 6.9, 2.4), _upright(12.0, 6.0, 30.0, 30.0, 9.0)),
    ),
    "strip_film_ripped": (
        ripping.strip_film,
        (
            _ripped(0, 2, 0.2, 0.3, 1.0, 0.5, share=0.7),
            _ripped(4, 61, 0.6, 0.9, 3.7, 1.2, track_length=L(3.0), most_time=_seconds(7000)),
            _ripped(23, 900, 2.1, 0.31, 7.0, 2.4, track_length=L(5.5)),
        ),
    ),
    "stroke_film": (
        stroke.stroke_film,
        (
            _pull(1.1, 0.5, 0.9, 0.4),
            _pull(3.048, 1.7, 3.6, 1.68, track_length=L(4.4), max_reach=L(11.6), tail_radius=L(3.7), half_volume=volume(1.6)),
            _pull(6.0, 3.0, 7.0, 3.2, track_length=L(6.5), max_reach=L(20)),
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
    "rod_film": (
        leveling.rod_film,
        (
            _level(-2.0, 0.6, 0.9, -2.1),
            _level(6.51, 1.48, 1.71, 5.85, blade_height=L(1.2), track_length=L(3.05)),
            _level(812.0, 4.0, 6.5, 811.0, blade_height=L(2.4), track_length=L(6.0)),
        ),
    ),
    "check_back_film": (
        leveling.check_back_film,
        (
            _back(_level(-2.0, 0.6, 0.9, -2.1), 0.602, 0.005),
            _back(_level(6.51, 1.48, 1.71, 5.85, blade_height=L(1.2), track_length=L(3.05)), 1.52, 0.006),
            _back(_level(812.0, 4.0, 6.5, 811.0, blade_height=L(2.4), track_length=L(6.0)), 3.6, 0.02),
        ),
    ),
    "off_level_film": (leveling.off_level_film, (_leans(0.001, 12, 0.02), _leans(0.003, 45.7, 0.03), _leans(0.015, 400, 0.05))),
    "layer_film": (
        compacting.layer_film,
        (
            _spread(1.8, 0.4, 0.8, 0.1, 2.5),
            _spread(5.5, 1.2, 2.13, 0.15, 9.75, body_width=L(2.9), body_height=L(2.8), track_length=L(3.05), truck_build="articulated"),
            _spread(13.0, 2.4, 3.2, 0.5, 12.0, track_length=L(6.0)),
        ),
    ),
    "over_the_edge_film": (compacting.over_the_edge_film, (_rolled(0.8, 0.5), _rolled(2.13, 1.83), _rolled(3.2, 6.0))),
    "edge_kept_film": (compacting.edge_kept_film, (_rolled(0.8, 0.5, 0.05), _rolled(2.13, 1.83, 0.15), _rolled(3.2, 6.0, 0.3))),
    "one_thick_layer_film": (
        compacting.one_thick_layer_film,
        (_thick(0.2, 0.1, 0.8), _thick(0.61, 0.152, 2.13), _thick(6.0, 0.3, 3.2)),
    ),
    "backfill_film": (compact_work.backfill_film, (_filled(1, 0.15), _filled(2, 0.2), _filled(3, 0.02))),
    "backfill_at_once_film": (
        compact_work.backfill_at_once_film,
        (_trench(1) | {"sinks": L(0.1)}, _trench(2) | {"sinks": L(0.3)}, _trench(3) | {"sinks": L(1.5)}),
    ),
    "gate_film": (
        compact_work.gate_film,
        (
            _gate(0.8, 0.7, 0.95, 1.05),
            _gate(1.07, 0.99, 1.37, 1.28) | {"blade_width": L(1.37), "bucket_length": L(0.58), "bucket_width": L(0.45), "tail_radius": L(1.19)},
            _gate(2.9, 3.0, 4.0, 2.9),
        ),
    ),
    "wide_work_film": (compact_work.wide_work_film, (_wide(0.75, 0.9), _wide(1.13, 1.28) | {"max_reach": L(3.96)}, _wide(3.4, 3.9))),
    "narrow_work_film": (
        compact_work.narrow_work_film,
        (
            _wide(0.75, 0.9) | {"gauge_narrow": L(0.5)},
            _wide(1.13, 1.28) | {"gauge_narrow": L(0.76), "max_reach": L(3.96), "bucket_length": L(0.58), "tail_radius": L(1.19)},
            _wide(3.4, 3.9) | {"gauge_narrow": L(2.4)},
        ),
    ),
    "round_film": (walk.round_film, _STILL_ABOVE),
    "climb_film": (walk.climb_film, tuple(still | {"step_height": L(high)} for still, high in zip(_STILL, _HIGH, strict=True))),
    "jump_film": (walk.jump_film, tuple(still | _jump(high) for still, high in zip(_STILL, _HIGH, strict=True))),
    "sag_film": (walk.sag_film, (_sags(2.5, 3.25, 2, 1.05, True), _sags(1.5, 2.25, 2.75, 3.05, False), _sags(14, 15.5, 15, 6.0, True))),
    "leave_film": (parking.leave_film, _STILL),
    "roll_film": (parking.roll_film, (_roll(0.25, 4.0), _roll(0.08, 18.3), _roll(0.03, 150.0))),
    "chocked_film": (parking.chocked_film, ({"grade": percent(0.25)}, {"grade": percent(0.08)}, {"grade": percent(0.03)})),
    "week_film": (hot_days.week_film, (_week(4, 0.5, 1), _week(10, 0.2, 0.4, 0.6, 0.8, 1), _week(14, 0.5, 0.6, 0.8, 1) | {"wrong": True})),
    "day_film": (hot_days.day_film, (_day(4, 0, 1), _day(10, 0.75, 3), _day(14, 2.5, 4))),
    "help_film": (hot_days.help_film, ({}, {}, {})),
    "alone_film": (hot_days.alone_film, ({}, {}, {})),
    "walk_in_film": (
        seeing.walk_in_film,
        (_walk_in(1.4, 0.9, 0.55, blade_width=L(1.0)), _walk_in(2.74, 1.98, 2.59), _walk_in(5.2, 4.2, 4.0), _walk_in(2.6, 1.8, 2.4)),
    ),
    "approach_film_on_foot": (seeing.approach_film, _three(_coming, _RINGS)),
    "tail_film": (seeing.tail_film, _three(_ring, _RINGS)),
    "signs_film": (signals.signs_film, ({}, {}, {})),
    "guide_film": (signals.guide_film, _BACKING),
    "lost_film": (signals.lost_film, _BACKING),
    "stop_film": (stopping.stop_film, _EDGES),
    "finish_film": (stopping.finish_film, _EDGES),
    "spotting_film": (
        under_bucket.spotting_film,
        (_TRUCKS[0], {**_TRUCKS[1], "cab_guard": "open", "passes": _count(5)}, {**_TRUCKS[2], "cab_guard": "guarded"}),
    ),
    "over_cab_film": (under_bucket.over_cab_film, _CABS),
    "lift_film": (lifting.lift_film, (_lift_told(_LIFTS[0]), {**_LIFTS[1], "load": _weighs(3600)}, _lift_told(_LIFTS[2]))),
    "too_far_film": (lifting.too_far_film, _LIFTS),
    "loading_film": (moving.loading_film, (_loading_onto(_TRAILERS[0]), _loading_onto(_TRAILERS[1]), _loading_onto(_TRAILERS[2]))),
    "loose_film": (moving.loose_film, (_loose_on(_TRAILERS[0]), _loose_on(_TRAILERS[1]), _loose_on(_TRAILERS[2]))),
    "swing_film": (lines.swing_film, (_beside_wire(*_WIRES[0]), _beside_wire(*_WIRES[1]), _beside_wire(*_WIRES[2]))),
    "boom_up_film": (lines.boom_up_film, (_under_wire(*_WIRES[0]), _under_wire(*_WIRES[1]), _under_wire(*_WIRES[2]), _under_wire(*_HIGH_WIRE))),
    "limits_film": (
        lines.limits_film,
        (
            _limits_at_wire(_WIRES[0], 0.02, 0.4572),
            _limits_at_wire(_WIRES[1], 0.3, 0.6096),
            _limits_at_wire(_WIRES[2], 1.8, 1.0),
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


def odd_trailer(r: random.Random) -> Arguments:
    """A machine tied down on a trailer, both drawn at random: a dozer, an excavator or a compact one."""
    deck, base, long = r.uniform(0.2, 1.8), r.uniform(2, 30), r.uniform(0.9, 7)
    kind = r.random()
    on = _trailer(deck, deck * r.uniform(1.3, 8), base, base * r.uniform(0.4, 1.0), track_length=long)
    if kind < 0.6:
        on |= {"stick_length": L(long * r.uniform(0.6, 1.1))}
    if kind > 0.3:
        on |= {"blade_height": L(long * r.uniform(0.15, 0.5))}
    if r.random() < 0.6:
        on |= {"travel_height": L(long * r.uniform(0.8, 1.6)), "bucket_length": L(long * r.uniform(0.3, 0.5))}
    wide = long * r.uniform(0.6, 1.2)
    return {**_tied_on(on, r.randint(4, 40), wide, wide * r.uniform(0.1, 0.4)), "blade_width": L(wide * r.uniform(1, 1.4))}


def odd_pit(r: random.Random) -> Arguments:
    """A truck and the excavator that loads it, drawn at random; the truck stands out of the fall zone, as a site's figures have it."""
    reach = r.uniform(3, 18)
    track, body = reach * r.uniform(0.3, 0.45), r.uniform(2, 12)
    wide = body * r.uniform(0.45, 0.65)
    edge, fall = r.uniform(0.3, 4), r.uniform(0.3, 6)
    half = 1.3 * track / 2 + 0.1
    on = _loaded_truck((half + edge + fall + wide / 2) * r.uniform(1.02, 1.5), body, wide, track, reach,
                       truck_build=r.choice(["rigid", "articulated"]))  # fmt: skip
    return {**on, "crest_distance": L(edge), "fall_zone": L(fall)} if r.random() < 0.7 else on


def odd_lift(r: random.Random) -> Arguments:
    """A lift from above, drawn at random."""
    reach = r.uniform(3, 18)
    long = reach * r.uniform(0.3, 0.45)
    wide = long * r.uniform(0.7, 1.0)
    return {
        **_lift_above(_lifted(reach * r.uniform(0.45, 1.0), long, reach * 0.3, reach), wide, wide * r.uniform(0.15, 0.3)),
        **({"over": r.choice(["front", "side"])} if r.random() < 0.7 else {}),
        **({"blade_width": L(wide)} if r.random() < 0.4 else {}),
    }


def on_the_trailer(given: Arguments) -> tuple[Arguments, Arguments]:
    """The same for `loading_film` and for `loose_film`."""
    own = {"tie_downs", "machine_width", "shoe_width", "track_gauge", "blade_width"}
    rest = {name: value for name, value in given.items() if name not in own}
    return _loading_onto(rest), _loose_on(rest)


def odd(seed: int) -> Iterator[tuple[str, Arguments]]:
    """Arguments for every drawing, drawn at random over all that a site may own."""
    r = random.Random(seed)

    def V(low: float, high: float) -> float:
        return math.exp(r.uniform(math.log(low), math.log(high)))

    def U(low: float, high: float) -> Measure:
        return L(V(low, high))

    yield "places", odd_pit(random.Random(3000 + seed))
    yield "from_above", odd_lift(random.Random(2000 + seed))
    yield "tied", odd_trailer(random.Random(1000 + seed))
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
    blade_high = V(0.4, 2.6)
    yield (
        "strip_across",
        {
            "strip_width": L(blade_high * r.uniform(2, 4)),
            "topsoil_depth": U(0.05, 0.9),
            "windrow_height": U(0.15, 1.8),
            "repose": A(r.uniform(15, 45)),
            "blade_height": L(blade_high),
            "one_side": r.random() < 0.5,
        },
    )
    yield "at_work", {"rip_depth": U(0.15, 2.1), "blade_height": L(blade_high), "someone": r.random() < 0.5}
    yield "pile_side", {"height": L(h), "ramp_length": L(h * q), "blade_height": U(0.3, 2.6)}
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
        "ways_back",
        _ways_back(
            V(4, 250),
            r.randint(2, 300),
            r.random() < 0.5,
            track_length=L(bw * 0.8),
            track_gauge=L(bw * 0.55),
            shoe_width=L(bw * 0.16),
            blade_width=L(bw),
        ),
    )
    yield "backing_up", {"blade_height": U(0.2, 2.6), "track_length": U(1, 5.5), "behind": U(0.5, 20), "blade_up": r.random() < 0.5}
    own = random.Random(1000 + seed)  # what stands below goes on as before
    slant, track = math.radians(own.uniform(10, 90)), own.uniform(0.8, 7)
    yield (
        "flag_lines",
        {
            "keep": L(own.uniform(0.3, 12)), "flag_along": L(track * math.cos(slant)), "flag_square": L(track * math.sin(slant)), "track_length": L(track),
            "machine_width": L(track * 0.8), "track_angle": A(math.degrees(slant)),
        },
    )  # fmt: skip
    part = V(0.01, 1.0)
    left = part * r.uniform(0.2, 0.95) if r.random() < 0.7 else part * r.uniform(1.01, 1.2)
    now = part + (left - part) * r.uniform(0.02, 1.0)
    yield (
        "measured_part",
        {"new": L(part), "limit": L(left), "measured": L(now), "reading": L(now + 0.25 * (part - now)), "track_length": U(0.8, 6)},
    )
    yield (
        "on_a_side_slope",
        {"side_slope": percent(r.uniform(0.01, 0.6)), "track_gauge": U(0.6, 3.6), "shoe_width": U(0.15, 0.55), "cg_height": U(0.3, 2.4)},
    )
    yield (
        "behind_the_blade",
        {"off_line": U(0.03, 15), "blade_width": L(bw), "blade_height": U(0.3, 2.6), "tilt": L(bw * r.uniform(0.005, 0.5))},
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
    eye, keep = V(1.2, 8), V(0.9, 40)
    sill = eye * r.uniform(0.35, 0.95)
    shapes: list[Arguments] = [{}, {"body_length": U(2, 12)}, {"build": "articulated"}]
    yield "ahead", _truck_seat(eye, sill, V(0.4, 8), **r.choice(shapes))
    yield "circles", _around(V(2, 25), keep, V(0.9, 7), **({"tail_radius": U(0.7, 6)} if r.random() < 0.6 else {}))
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
    dug_in, hill = V(1.1, 6.5), V(0.02, 0.6)
    yield "parked", _screened(dug_in, boom_up=r.random() < 0.5)
    yield "standing", _on_slope(dug_in, hill, **r.choice([{}, {"on_fill": True}, {"straight": True}, {"across": True}]))
    yield "limit_on_a_dial", _dial(V(0.5, 45))
    still = r.choice(_STILL)
    yield "where_to_look", still
    yield "where", still | {"fall_zone": U(1, 12), "edge_distance": U(0.4, 6)} | ({"under_face": True} if r.random() < 0.3 else {})
    yield "on_a_stone", _on_stone(ground_slope, bump, gauge)
    yield "on_even_ground", {k: v for k, v in _on_stone(ground_slope, bump, gauge).items() if "bump" not in k}
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
    box = _box(h := V(1, 6), h * r.uniform(0.6, 1.1), 1, V(1, 9), h * r.uniform(0.41, 0.6))
    yield "places_of_a_box", box
    yield "across", _across_box(V(0.3, 6), box)
    yield "holes_along", _along(V(1, 3000), V(0.5, 50), U(0.3, 1.2).si, U(0.01, 3).si)
    yield "two_lines", _two_lines(V(0.3, 60), U(0.01, 3).si, U(0.3, 1.2).si)
    yield "even_wear", {"left": hours(V(1, 20000)), "right": hours(V(1, 20000))}
    yield "loads_from_loose", _heap_of(h := V(1, 5e5), h * r.uniform(1, 1.8), h * r.uniform(0.6, 1.5), V(0.3, 300))
    yield "loads_from_bank", _left_of(V(1, 5e5), V(0.1, 4e5), V(0.3, 300))
    yield "side_moment", _moment(V(1.5, 18), V(500, 5e5))
    yield "in_line", {"reach": U(1.5, 18)}
    yield "against_the_wall", _moment(V(1.5, 18), V(500, 5e5)) | {"trench_width": U(0.3, 3), "edge_distance": U(0.3, 4)}
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
    wide = V(1.2, 8)
    yield (
        "strip_across",
        {
            "strip_width": L(wide),
            "topsoil_depth": L(wide * r.uniform(0.015, 0.1)),
            "windrow_height": L(wide * r.uniform(0.06, 0.25)),
            "repose": A(r.uniform(20, 50)),
            "blade_height": L(wide * r.uniform(0.2, 0.4)),
            **({"cut_depth": L(wide * r.uniform(0.015, 0.15))} if r.random() < 0.5 else {}),
            **({"track_length": L(wide * r.uniform(0.7, 1.4))} if r.random() < 0.6 else {}),
        },
    )
    blade = V(0.4, 2.6)
    yield (
        "at_work",
        {
            "rip_depth": L(blade * r.uniform(0.1, 0.9)),
            "blade_height": L(blade),
            **({"track_length": L(blade * r.uniform(1.8, 3.2))} if r.random() < 0.6 else {}),
            "someone": r.random() < 0.5,
            "line": r.random() < 0.5,
        },
    )
    wide, berm, lanes = V(1.9, 10), V(0.3, 2.0), r.randint(1, 4)
    yield (
        "road_section",
        {
            "road_width": L((1.5 * lanes + 0.5) * wide), "truck_width": L(wide), "lanes": Measure(lanes, str(lanes), str(lanes)),
            "berm_height": L(berm), "berm_ratio": r.uniform(1.0, 4.0), "plain": r.random() < 0.5,
            **({"body_height": L(wide * r.uniform(0.7, 1.1))} if r.random() < 0.6 else {}),
            **({"edge_distance": U(0.4, 15)} if r.random() < 0.6 else {}),
            **({"build": r.choice(("rigid", "articulated"))} if r.random() < 0.6 else {}),
        },
    )  # fmt: skip
    drum = V(0.6, 3.6)
    edge = V(0.3, 8)
    long = V(0.8, 7)
    truck = V(1.8, 10)
    yield (
        "lanes",
        _strip(2 * edge + max(1.2 * drum, 0.8 * long, truck) * r.uniform(1.05, 4), edge, drum, V(1.8, 13), truck, V(0.8, 8), long),
    )
    above = V(0.2, 4.5)
    yield "under_a_string", _string(above, above * r.uniform(0.3, 1.6))
    wide = V(0.8, 8)
    allowed = V(0.004, 0.3)
    yield "on_the_blade", {"blade_width": L(wide), "tolerance": L(allowed), "lower": L(allowed * r.uniform(0.1, 0.99))}
