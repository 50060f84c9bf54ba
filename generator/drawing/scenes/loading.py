"""Drawings of the loading chapter."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.machines import crawler_plan, excavator_side, truck_end
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._bars import Bar, bars
from generator.drawing.svg import Fill
from generator.drawing.view import View


def bench_loading(
    *,
    ident: str,
    stick_length: Measure,
    bench_height: Measure,
    truck_width: Measure | None = None,
    truck_height: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw an excavator on its bench with the stick upright before the face, a truck below.

    - `stick_length`, `bench_height`: metres; the stick is drawn pin to pin and dimensioned beside
      the bench, so the reader sees whether they are equal.
    - `truck_width`, `truck_height`: overall width, and height to the top of the body's sides. Where
      given they are dimensioned; where not, the truck is a sketch in proportion to the bench.
    - `spots=True`: three regions, `on-bench`, `bench-foot` and `behind-truck`, for questions on
      where the machine stands.
    """
    positive(stick_length=stick_length, bench_height=bench_height)
    s, h = stick_length.si, bench_height.si
    wide = truck_width.si if truck_width else 1.2 * s
    tall = truck_height.si if truck_height else 1.0 * s
    if wide <= 0 or tall <= 0:
        raise ValueError("the truck needs a width and a height")
    back = -2.75 * s
    hang = 0.5 * s
    truck_x = 1.75 * s + wide / 2
    right = truck_x + wide / 2
    canvas = Canvas(
        ident,
        title="Bench as high as the stick is long",
        desc=both(
            "An excavator stands on a bench ",
            bench_height,
            " high. Its stick is ",
            stick_length,
            " from pin to pin and hangs upright before the face. A truck stands below, beside the "
            "excavator.",
        ),
    )
    view = canvas.view(
        (back, -0.35 * s, right, max(h + 1.2 * s, hang + 1.3 * s, tall)),
        pad=(10, 40, 104 if truck_height else 20, 60),
        max_height=380,
    )
    view.polygon(
        [(back, h), (0, h), (0, 0), (right, 0), (right, -0.35 * s), (back, -0.35 * s)],
        pen="none",
        fill="earth",
    )
    view.polyline([(back, h), (0, h), (0, 0), (right, 0)])
    truck_end(view, truck_x, 0, wide, tall)
    pin = excavator_side(
        view, -1.0 * s, h, stick=s, elbow=(0.5 * s, hang + s), stick_angle=-math.pi / 2
    )
    top = (pin[0], pin[1] + s)
    view.dimension(
        top, pin, join("Stick ", stick_length), measure=stick_length, offset=22, prefer="right",
        width=70,
    )  # fmt: skip
    view.dimension(
        (0, 0), (0, h), join("Bench ", bench_height), measure=bench_height, offset=22,
        prefer="left", width=150,
    )  # fmt: skip
    if spots:
        view.spot("on-bench", "on top of the bench", [(-1.0 * s, h + 0.5 * s)])
        view.spot("bench-foot", "at the foot of the bench", [(0.25 * s, 0)])
        view.spot("behind-truck", "on the floor, behind the truck", [(right, 0)])
    else:
        view.label((-1.55 * s, h + 0.5 * s), "Excavator on the bench", prefer=("above",))
    view.label((truck_x, tall), "Truck", prefer=("above",))
    if truck_width is not None:
        view.dimension(
            (truck_x - wide / 2, -0.35 * s), (truck_x + wide / 2, -0.35 * s), truck_width,
            offset=-8, prefer="below",
        )  # fmt: skip
    if truck_height is not None:
        view.dimension((right, 0), (right, tall), truck_height, offset=-10, prefer="right")
    return canvas


def standing_on_the_bench(
    *,
    ident: str,
    track_length: Measure,
    machine_width: Measure,
    track_angle: Measure,
    truck_angle: Measure,
    crest_distance: Measure | None = None,
    spots: bool = False,
) -> Canvas:
    """Draw from above how an excavator stands on its bench, and the truck that drives by.

    - `track_length`, `machine_width` (over the tracks): metres.
    - `track_angle`: radians between the tracks and the face (crest line), 0 to pi/2.
    - `truck_angle`: radians between the tracks and the way the truck stands.
    - `crest_distance`: metres from the crest to the nearest corner of the tracks; a sketch if not
      given.
    - `spots=True`: regions `machine`, `crest` and `truck`.
    """
    positive(track_length=track_length, machine_width=machine_width)
    if not 0 <= track_angle.si <= math.pi / 2 + 1e-9:
        raise ValueError("the tracks stand between 0 and 90 degrees to the face")
    length, width = track_length.si, machine_width.si
    a = track_angle.si
    # The crest runs left to right; the face drops toward the bottom of the drawing.
    half_y = (length * math.sin(a) + width * math.cos(a)) / 2
    half_x = (length * math.cos(a) + width * math.sin(a)) / 2
    gap = crest_distance.si if crest_distance else 0.25 * length
    centre = (0.0, gap + half_y)
    truck_dir = a - truck_angle.si
    truck_long, truck_wide = 1.7 * length, 0.85 * width
    tx, ty = half_x + 0.25 * length, -0.95 * length
    canvas = Canvas(
        ident,
        title="Standing on the bench, from above",
        desc=both(
            "From above. The tracks of the excavator stand at ", track_angle,
            " to the face, so it can leave if the edge goes. The truck stands on the floor below "
            "at ", truck_angle, " to the tracks.",
        ),
    )  # fmt: skip
    cos, sin = math.cos(truck_dir), math.sin(truck_dir)
    box: list[Point] = []
    for u, v in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)):
        du, dv = u * truck_long, v * truck_wide
        box.append((tx + du * cos - dv * sin, ty + du * sin + dv * cos))
    # The truck stays on the floor: it is moved down until it clears the face.
    over = max(p[1] for p in box) + 0.3 * length
    if over > 0:
        box = [(x, y - over) for x, y in box]
        ty -= over
    x0 = min(-half_x - 0.5 * length, *(p[0] for p in box))
    x1 = max(half_x + 0.3 * length, *(p[0] for p in box))
    y0 = min(p[1] for p in box)
    y1 = centre[1] + half_y + 0.15 * length
    view = canvas.view((x0, y0, x1, y1), pad=(14, 34, 30, 30), max_height=400)
    view.rect(x0, -0.1 * length, x1, 0, pen="none", fill="stripe")
    view.line((x0, 0), (x1, 0), pen="bold")
    view.line((x0, -0.1 * length), (x1, -0.1 * length), pen="thin")
    crawler_plan(view, centre, length=length, width=width, shoe=0.22 * width, angle=a)
    # The house is turned toward the truck.
    look = math.atan2(ty - centre[1], tx - centre[0])
    house = [(-0.62 * length, -0.3 * width), (0.3 * length, -0.3 * width),
             (0.3 * length, 0.3 * width), (-0.62 * length, 0.3 * width)]  # fmt: skip
    reach = math.hypot(tx - centre[0], ty - centre[1])
    view.body([turned(p, look, centre) for p in box_of(0.0, reach, 0.07 * width)])
    view.body([turned(p, look, centre) for p in house])
    view.body(box)
    inner = [
        (tx + (x - tx) * 0.82 + 0.06 * truck_long * -cos, ty + (y - ty) * 0.8 - 0.06 * truck_long
         * sin)
        for x, y in box
    ]  # fmt: skip
    view.polygon(inner, fill="paper", pen="thin")
    view.body(
        [turned(p, look, centre) for p in box_of(reach - 0.2 * length, reach + 0.05 * length,
                                                  0.2 * width)],
        fill="dark",
    )  # fmt: skip
    # The angle between tracks and crest, where the line of the tracks meets the crest.
    if a > 0.05:
        meet = (centre[0] - centre[1] / math.tan(a), 0.0)
        if meet[0] > x0 + 0.1 * length:
            view.line(meet, (centre[0] - math.cos(a) * length / 2,
                             centre[1] - math.sin(a) * length / 2), pen="dash")  # fmt: skip
            view.angle(meet, 0.0, a, track_angle, radius=44)
    if spots:
        view.spot("machine", "where the machine stands", [centre])
        view.spot("crest", "the crest", [(x1 - 0.2 * (x1 - x0), 0)])
        view.spot("truck", "the truck", [(tx, ty)])
    else:
        view.label((x1 - 0.12 * (x1 - x0), 0.0), "Crest", prefer=("above",))
        view.label((tx, ty), join("Truck at ", truck_angle, " to the tracks"), prefer=("left",),
                   width=130, clear=True)  # fmt: skip
        view.label(
            (centre[0] - math.sin(a) * 0.39 * width + math.cos(a) * 0.36 * length,
             centre[1] + math.cos(a) * 0.39 * width + math.sin(a) * 0.36 * length),
            join("Tracks at ", track_angle, " to the face"),
            prefer=("left", "above"), width=120, clear=True,
        )  # fmt: skip
    if crest_distance is not None:
        corner = (centre[0] + (math.sin(a) * width - math.cos(a) * length) / 2, gap)
        view.dimension((corner[0], 0), (corner[0], gap), crest_distance, prefer="left")
    canvas.legend([("stripe", "The face: it drops from the crest to the floor")])
    return canvas


def box_of(start: float, end: float, half: float) -> list[Point]:
    """Corners of an upright box along the x axis."""
    return [(start, -half), (end, -half), (end, half), (start, half)]


def turned(point: Point, angle: float, about: Point) -> Point:
    """Turn a point given from the origin by `angle`, then move the origin to `about`."""
    cos, sin = math.cos(angle), math.sin(angle)
    return (
        about[0] + point[0] * cos - point[1] * sin,
        about[1] + point[0] * sin + point[1] * cos,
    )


def digging_pass(
    *,
    ident: str,
    stick_length: Measure,
    entry_angle: Measure,
    bucket_angle: Measure,
) -> Canvas:
    """Draw one digging pass: stick and bucket at entry, and the stick upright when it is full.

    - `stick_length`: metres, pin to pin.
    - `entry_angle`: radians between the stick and the level at entry (about 75 to 90 degrees).
    - `bucket_angle`: radians between the bucket's floor and the level at entry.
    """
    positive(stick_length=stick_length, entry_angle=entry_angle, bucket_angle=bucket_angle)
    if entry_angle.si > math.radians(100) or bucket_angle.si >= math.pi / 2:
        raise ValueError("the stick enters at 100 degrees at most, the bucket under 90")
    s, a, b = stick_length.si, entry_angle.si, bucket_angle.si
    elbow = (0.0, s)
    # The machine stands to the left; at entry the stick reaches away from it.
    out = (s * math.cos(a), s - s * math.sin(a))
    size = 0.5 * s
    canvas = Canvas(
        ident,
        title="One digging pass: stick and bucket",
        desc=both(
            "At entry the stick stands at ", entry_angle,
            " to the level and the bucket's floor at ", bucket_angle,
            ". The bucket is full by the time the stick is upright. The stick is ", stick_length,
            " from pin to pin.",
        ),
    )  # fmt: skip
    canvas.note("At entry", bold=True)
    # Teeth, from the pin: at entry they point down, full they point to the machine.
    at_entry, when_full = (-0.35 * size, -0.95 * size), (-0.62 * size, -0.86 * size)
    ground = out[1] + at_entry[1] + 0.14 * size
    left, right = -0.95 * s, max(1.1 * s, out[0] + 0.9 * s)
    bottom = ground - 0.45 * s

    def tool(view: View, pin: Point, teeth: Point, floor: float, *, full: bool) -> None:
        t = 0.05 * s
        ux, uy = (pin[0] - elbow[0]) / s, (pin[1] - elbow[1]) / s
        view.body([(left, s * 1.02), (left, s * 0.85), (0.05 * s, s * 0.93), (0.0, s * 1.07)])
        tip = (pin[0] + teeth[0], pin[1] + teeth[1])
        heel = (tip[0] + math.cos(floor) * 0.82 * size, tip[1] + math.sin(floor) * 0.82 * size)
        lip = (pin[0] - 0.16 * size, pin[1] - 0.1 * size)
        back = (pin[0] + 0.3 * size, pin[1] - 0.12 * size)
        if full:
            view.body(
                [lip, (pin[0] - 0.56 * size, pin[1] - 0.42 * size), tip], fill="spoil", pen="line"
            )
        view.body([lip, tip, heel, (heel[0] + 0.06 * size, heel[1] + 0.18 * size), back])
        view.body(
            [(elbow[0] - uy * 1.7 * t, elbow[1] + ux * 1.7 * t), (pin[0] - uy * t, pin[1] + ux * t),
             (pin[0] + uy * t, pin[1] - ux * t), (elbow[0] + uy * 1.7 * t,
              elbow[1] - ux * 1.7 * t)]
        )  # fmt: skip
        for joint in (elbow, pin):
            view.circle(joint, 0.05 * s, fill="paper")

    view = canvas.view((left, bottom, right, s * 1.1), pad=(8, 8, 8, 24), max_height=290)
    view.rect(left, bottom, right, ground, pen="none", fill="earth")
    view.line((left, ground), (right, ground), pen="bold")
    tool(view, out, at_entry, b, full=False)
    view.dimension(
        elbow, out, join("Stick ", stick_length), measure=stick_length, offset=24, prefer="right",
        width=80,
    )  # fmt: skip
    teeth = (out[0] + at_entry[0], out[1] + at_entry[1])
    view.line(teeth, (teeth[0] + 0.75 * s, teeth[1]), pen="dash")
    view.angle(
        teeth, 0.0, b, join("Bucket ", bucket_angle), measure=bucket_angle, radius=74,
        prefer=("right",),
    )  # fmt: skip
    view.line(out, (out[0] - 0.62 * s, out[1]), pen="dash")
    view.angle(
        out, math.pi - a, math.pi, join("Stick ", entry_angle), measure=entry_angle, radius=46,
        prefer=("left",),
    )  # fmt: skip
    canvas.skip(6)
    canvas.note("Full: the stick is upright", bold=True)
    view = canvas.view((left, bottom, right, s * 1.1), pad=(8, 8, 8, 24), max_height=290)
    cut = [
        (left, ground), (when_full[0] - 0.1 * size, ground),
        (when_full[0] + 0.15 * size, ground - 0.16 * size), (teeth[0], ground - 0.14 * size),
        (teeth[0] + 0.08 * size, ground), (right, ground),
    ]  # fmt: skip
    view.polygon([*cut, (right, bottom), (left, bottom)], pen="none", fill="earth")
    view.polyline(cut, pen="bold")
    tool(view, (0.0, 0.0), when_full, 0.0, full=True)
    view.line((0, -0.1 * s), (0, s * 1.1), pen="dash")
    view.label((0.03 * s, 0.5 * s), "Upright", prefer=("right",))
    return canvas


def truck_match(
    *,
    ident: str,
    bucket_load: Measure,
    passes: float,
    truck_target: Measure,
) -> Canvas:
    """Draw how many buckets fill a truck: a bar of passes under the bar of what the truck takes.

    `bucket_load` and `truck_target` in kilograms, `passes` a whole number from 1. More than 60 would
    be hairlines, so they are drawn in blocks of ten, a hundred and so on, and the drawing says so.
    """
    positive(bucket_load=bucket_load, truck_target=truck_target)
    if passes < 1 or passes != int(passes):
        raise ValueError(f"draw whole passes, one or more, not {passes}")
    passes = int(passes)
    block = 1
    while passes > 60 * block:
        block *= 10
    total = bucket_load.si * passes
    longest = max(total, truck_target.si)
    canvas = Canvas(
        ident,
        title="Buckets that fill the truck",
        desc=both(
            f"Two bars to one scale. The truck takes {truck_target.both}. {passes} "
            "bucket loads of ", bucket_load, " each stand beside it.",
        ),
    )  # fmt: skip
    room = canvas.width - 8 - 8
    view = canvas.view((0, 0, room, 150), pad=(4, 2, 4, 2), max_height=151, scale="bars")
    view.fixed_text((0, 150), join("The truck takes ", truck_target))
    view.bar((0, 84), (room * truck_target.si / longest, 122), "shade", truck_target)
    plural = "pass" if passes == 1 else "passes"
    view.fixed_text((0, 72), join(f"{passes} {plural}, each ", bucket_load))
    step = room * bucket_load.si / longest
    crowded = step < 34
    for k in range(0, passes, block):
        many = min(block, passes - k)
        stretch = Measure(bucket_load.si * many, f"{many} loads", f"{many} loads")
        fill: Fill = "stripe" if k // block % 2 else "dots"
        view.bar((k * step, 6), ((k + many) * step, 44), fill, stretch)
        if block > 1:
            continue
        if not crowded or (k == passes - 1 and step * passes > 40) or (k == 0 and passes == 1):
            x = (k + 0.5) * step if not crowded else passes * step - 20
            view.badge((x, 25), str(k + 1))
    edge = room * truck_target.si / longest
    view.line((edge, 2), (edge, 126), pen="dash")
    canvas.note("All bars are drawn to one scale. The dashed line is what the truck takes.")
    if block > 1:
        canvas.note(f"Too many passes to draw one by one: each block is {block:,} passes.")
    return canvas


def loading_order(
    *,
    ident: str,
    swing_angles: Sequence[Measure],
    truck_length: Measure,
    reach: Measure,
    spots: bool = False,
) -> Canvas:
    """Draw the swings of one truck from above: where each pass digs, and where it is dumped.

    - `swing_angles`: radians from dig to dump, pass 1 first. Any number; only the first, the last
      and those between that have room carry a number.
    - `truck_length`: metres of body that are filled from front to rear.
    - `reach`: metres from the swing centre to the middle of the truck's body.

    The truck's front is at the top and the pile at the bottom, on the side of its rear. The swing
    of a pass is measured from its own dump point, so the drawn angle is the one given.
    `spots=True`: regions `far-pile`, `near-pile`, `body-front` and `body-rear`, no pass numbers.
    """
    positive(truck_length=truck_length, reach=reach)
    if not swing_angles:
        raise ValueError("a loading order needs at least one pass")
    for angle in swing_angles:
        if not 0 < angle.si < math.radians(200):
            raise ValueError(f"a swing of {angle.us} cannot be drawn")
    count = len(swing_angles)
    r, half = reach.si, truck_length.si / 2
    # The truck stands to the right, its front toward the top of the drawing.
    dig = 0.8 * r
    dumps: list[Point] = []
    bearings: list[float] = []  # of the dig points
    for k, angle in enumerate(swing_angles):
        # as many equal parts of the body as there are passes, each filled at its middle
        point = (r, half * (1 - (2 * k + 1) / count))
        dumps.append(point)
        # the pile lies on the side of the truck's rear, so that no bucket passes over the cab
        bearings.append(math.atan2(point[1], point[0]) - angle.si)
    digs = [(dig * math.cos(b), dig * math.sin(b)) for b in bearings]
    first, last = swing_angles[0], swing_angles[-1]
    canvas = Canvas(
        ident,
        title="The order of digging and filling",
        desc=both(
            *(
                ("From above: an excavator, a pile on one side, a truck on the other.",)
                if spots
                else (
                    f"From above, {count} passes. The first digs at the "
                    f"{'far' if first.si >= last.si else 'near'} end of the pile and fills the "
                    "front of the body, with a swing of ", first, ". The last digs at the "
                    f"{'near' if first.si >= last.si else 'far'} end and fills the rear, with a "
                    "swing of ", last, ".",
                )
            ),
        ),
    )  # fmt: skip
    wide = 0.36 * truck_length.si
    xs = [p[0] for p in digs] + [r + wide, -0.45 * r]
    ys = [p[1] for p in digs] + [half * 1.35, -half * 1.15, -0.35 * r, 0.35 * r]
    view = canvas.view(
        (min(xs) - 0.12 * r, min(ys) - 0.1 * r, max(xs), max(ys) + 0.14 * r),
        pad=(40, 40, 16, 40), max_height=360,
    )  # fmt: skip
    # The pile: a band around the dig points.
    low, high = min(bearings) - 0.14, max(bearings) + 0.14
    band = [(0.66 * r * math.cos(low + (high - low) * k / 24),
             0.66 * r * math.sin(low + (high - low) * k / 24)) for k in range(25)]  # fmt: skip
    band += [(0.93 * r * math.cos(high + (low - high) * k / 24),
              0.93 * r * math.sin(high + (low - high) * k / 24)) for k in range(25)]  # fmt: skip
    view.body(band, fill="spoil")
    view.body([(r - wide / 2, -half), (r + wide / 2, -half), (r + wide / 2, half),
               (r - wide / 2, half)])  # fmt: skip
    view.body([(r - wide / 2, half * 1.02), (r + wide / 2, half * 1.02),
               (r + wide / 2, half * 1.33), (r - wide / 2, half * 1.33)])  # fmt: skip
    crawler_plan(view, (0, 0), length=0.62 * r, width=0.45 * r, shoe=0.11 * r, angle=-math.pi / 4)
    view.circle((0, 0), 0.14 * r, fill="paper")
    # In a question the swings would tell the order.
    shown = () if spots else (0,) if count == 1 else (0, count - 1)
    for k in shown:
        share = 0.5 if k == 0 else 0.36
        a0 = math.atan2(dumps[k][1], dumps[k][0])
        radius = share * r * view.per_metre
        for p in (dumps[k], digs[k]):
            view.line((0, 0), p, pen="thin" if k == 0 else "dash")
        which = "First " if k == 0 else "Last "
        view.angle((0, 0), a0 - swing_angles[k].si, a0,
                   join(which if count > 1 else "", swing_angles[k]), measure=swing_angles[k],
                   radius=radius)  # fmt: skip
    if spots:
        view.spot("far-pile", "the far end of the pile", [digs[0]])
        view.spot("near-pile", "the near end of the pile", [digs[-1]])
        view.spot("body-front", "the front of the body", [dumps[0]])
        view.spot("body-rear", "the rear of the body", [dumps[-1]])
    view.label((r, half * 1.33), "Front of truck", prefer=("above", "left"), width=150)
    if not spots:
        for points in (digs, dumps):
            end = view.px(points[-1])
            last_px: Point | None = None
            for k, point in enumerate(points):
                here = view.px(point)
                near = last_px is not None and math.dist(here, last_px) < 32
                if k != count - 1 and (near or math.dist(here, end) < 32):
                    continue
                if k == count - 1 and near:
                    continue
                # a ring at the very end of the body would stand half on the cab
                far = max(half - view.metres(13), 0.0)
                at = (point[0], min(max(point[1], -far), far)) if points is dumps else point
                view.badge(at, str(k + 1))
                last_px = here
    if not spots:
        canvas.note("Numbers in the pile: where each pass digs. In the truck: where it is dumped.")
    canvas.legend([("spoil", "The pile")])
    return canvas


def payload_tally(*, ident: str, loads: Sequence[tuple[Text, Measure]], target: Measure) -> Canvas:
    """Draw the loads of a shift as bars against the rated payload of the truck.

    `loads` are a name (a truck, an operator, a material) and kilograms each, 1 to 12; `target` is
    the rated payload in kilograms.
    """
    if not 1 <= len(loads) <= 12:
        raise ValueError(f"draw 1 to 12 loads, not {len(loads)}")
    canvas = Canvas(
        ident,
        title="Loads against the rated payload",
        desc=both(
            "Bars to one scale against a rated payload of ", target, ". ",
            *(part for name, load in loads for part in (name, ": ", load, ". ")),
        ),
    )  # fmt: skip
    rows = [Bar(name, load, "cross" if load.si > target.si else "stripe") for name, load in loads]
    bars(canvas, rows, limit=(target, join("Upright mark: rated payload ", target)), thickness=24.0)
    meanings: list[tuple[Fill, Text]] = [("stripe", "At or under the rated payload")]
    if any(load.si > target.si for _, load in loads):
        meanings.append(("cross", "Over the rated payload"))
    canvas.legend(meanings)
    return canvas
