"""Scenes in steps of an excavator on its bench: where the truck stands, and an edge that lets go."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import excavator_plan, truck_plan, truck_plan_reach
from generator.drawing.measure import Measure, Text, Words, both, join, positive
from generator.drawing.scenes._bench import Stand, build_of
from generator.drawing.svg import Fill
from generator.drawing.view import View

FALL_KEY: tuple[Fill, Text] = ("cross", "Fall zone: nobody and no truck stands here")


# ---- where the truck stands -----------------------------------------------------------------------


@dataclass(frozen=True)
class _Place:
    """A truck from above, the swing centre at the origin: the middle of its body, its way, and where passes dig and dump."""

    truck: Point
    way: float
    digs: tuple[float, float]  # bearings of the first dig and the last
    dumps: tuple[Point, Point]


def truck_places_film(
    *,
    ident: str,
    truck_distance: Measure,
    rear_stand: Measure,
    rear_reach: Measure,
    side_swings: Sequence[Measure],
    rear_first: Measure,
    rear_last: Measure,
    side_wait: Measure,
    rear_wait: Measure,
    dig_arc: Measure | None = None,
    truck_angle: Measure | None = None,
    truck_width: Measure | None = None,
    crest_distance: Measure | None = None,
    fall_zone: Measure | None = None,
    track_length: Measure | None = None,
    machine_width: Measure | None = None,
    shoe_width: Measure | None = None,
    track_angle: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    truck_build: str | None = None,
) -> Film:
    """Draw from above a truck filled over its side, and one filled over its rear: first and last pass of each.

    Lengths in metres, angles in radians, times in seconds.

    - `truck_distance`: from the swing centre to the middle of a truck that drives by, which stands at
      `truck_angle` to that line (a right angle if not given); `side_swings` are its swings, pass 1 first.
    - `rear_stand`: from the swing centre, square to the face, to the rear end of a truck that backed up;
      `rear_first` and `rear_last` are its swings, and `rear_reach` how far the first bucket goes out, which
      is to the middle of the foremost of as many parts of the body as there are passes.
    - `side_wait`, `rear_wait`: swing time from the first dump to the last.
    - `dig_arc`: the arc that is dug; all else as of `loading.loading_order`.
    """
    positive(truck_distance=truck_distance, rear_stand=rear_stand, rear_reach=rear_reach)
    count = len(side_swings)
    if count < 2:
        raise DrawingRefused("two places are compared by two passes at least")
    r = truck_distance.si
    body = (rear_reach.si - rear_stand.si) / (1 - 1 / (2 * count))
    if body <= 0:
        raise DrawingRefused("the first bucket goes no farther out than the rear of the truck")
    b = truck_angle.si if truck_angle else math.pi / 2
    wide = truck_width.si if truck_width else 0.5 * body
    build = build_of(truck_build)
    stand = Stand.of(track_length, machine_width, shoe_width, track_angle or Measure(math.pi / 4, "", ""), 0.45 * r)
    tail = tail_radius.si if tail_radius else 0.85 * stand.length
    dig = bucket_length.si if bucket_length else 0.35 * stand.length
    crest = stand.half + crest_distance.si if crest_distance else None
    fall = fall_zone.si if fall_zone else 0.0
    side_truck = (r * math.sin(b), r * math.cos(b))
    part = body / count
    side_dumps = ((side_truck[0], side_truck[1] + (body - part) / 2), (side_truck[0], side_truck[1] - (body - part) / 2))
    side = _Place(
        side_truck, math.pi / 2,
        (_bearing(side_dumps[0]) - side_swings[0].si, _bearing(side_dumps[1]) - side_swings[-1].si), side_dumps,
    )  # fmt: skip
    rear_truck = (rear_stand.si + body / 2, 0.0)
    rear_dumps = ((rear_stand.si + body - part / 2, 0.0), (rear_stand.si + part / 2, 0.0))
    rear = _Place(rear_truck, 0.0, (-rear_first.si, -rear_last.si), rear_dumps)
    far = max_reach.si - dig if max_reach else math.inf
    digs = [*side.digs, *rear.digs]
    spare = (dig_arc.si / count / 2 if dig_arc else 0.0) or 0.1
    outer = stand.kept_behind(crest, max(digs) + spare, 0.8 * r)
    out = 0.85 * outer
    ahead, behind = truck_plan_reach(body, wide, build)
    arc = [
        (radius * math.cos(a), radius * math.sin(a))
        for radius in (0.71 * outer, outer)
        for a in _span(min(digs) - spare, max(digs) + spare)
    ]
    xs = [*(p[0] for p in arc), side_truck[0] + wide / 2, rear_truck[0] + ahead, -tail, -stand.half]
    ys = [*(p[1] for p in arc), side_truck[1] + ahead, side_truck[1] - behind, -tail, tail, stand.half, wide / 2]
    room = 0.04 * r
    world = (min(xs) - room, min(ys) - room, max(xs) + room, max(ys) + room)
    short_side = math.dist((0, 0), side_dumps[0]) > 1.02 * far
    short = rear_reach.si > 1.02 * far
    frames = []

    def add(place: _Place, which: int, dumped: bool, swing: Measure | None, says: Words, *told: Measure) -> None:
        canvas = Canvas(ident, title="Where the truck may stand", desc="One step, from above.", steady=True)
        view = canvas.view(world, pad=(12, 26, 12, 8), max_height=360, seen="above")
        _floor(view, crest, fall)
        low, high = min(place.digs) - spare, max(place.digs) + spare
        with view.part("spoil"):
            ring = [*((outer * math.cos(a), outer * math.sin(a)) for a in _span(low, high)),
                    *((0.71 * outer * math.cos(a), 0.71 * outer * math.sin(a)) for a in reversed(_span(low, high)))]  # fmt: skip
            view.body(ring, fill="spoil")
        with view.part("swing-circle"):
            view.circle((0, 0), tail, pen="dash")
        truck_plan(view, place.truck, body=body, width=wide, way=place.way, build=build, sized=truck_width is not None)
        at, to = place.digs[which], place.dumps[which]
        look, pin = (_bearing(to), min(math.hypot(*to), far)) if dumped else (at, out)
        excavator_plan(
            view, (0.0, 0.0), length=stand.length, width=stand.width, shoe=stand.shoe, angle=stand.angle - math.pi / 2, look=look,
            pin=pin, tail=tail, bucket_length=dig, sized=track_length is not None,
        )  # fmt: skip
        if swing is not None:
            view.line((0.0, 0.0), (out * math.cos(at), out * math.sin(at)), pen="dash")
            view.line((0.0, 0.0), to, pen="dash")
            view.angle((0, 0), at, _bearing(to), swing, radius=max(0.42 * r, 1.1 * tail) * view.per_metre)
        nose = (place.truck[0] + ahead * math.cos(place.way), place.truck[1] + ahead * math.sin(place.way))
        view.label(nose, "Front of truck", prefer=("above", "left") if place is side else ("above", "below"), width=150, clear=True)
        if crest is not None:
            view.label((crest, world[3] - 0.06 * (world[3] - world[1])), "Crest", prefer=("left",))
        canvas.key_starts()
        rows: list[tuple[Fill, Text]] = [("spoil", "The ground that is dug")]
        if crest is not None and fall:
            rows.append(FALL_KEY)
        canvas.legend(rows)
        frames.append(Frame(canvas, says, (*told, *((swing,) if swing else ()))))

    not_reached = " That is farther than this machine dumps." if short else ""
    add(side, 0, False, None,
        join("Over the side. The truck drives by along the face. The middle of its body stops ", truck_distance, " from the swing centre."),
        truck_distance)  # fmt: skip
    add(side, 0, True, side_swings[0],
        join("Over the side, first bucket: a swing of ", side_swings[0], " to the front of the body.",
             " That is farther than this machine dumps." if short_side else ""))  # fmt: skip
    add(
        side,
        1,
        False,
        None,
        join("Over the side: the last bucket is dug at the near end, ", side_swings[-1], " from where it is dumped."),
        side_swings[-1],
    )
    add(side, 1, True, side_swings[-1],
        join("Last bucket: a swing of ", side_swings[-1], " to the rear. The truck has waited for ", side_wait, " of swinging and drives on."),
        side_wait)  # fmt: skip
    add(rear, 0, False, None,
        join("Over the rear. The truck backs up, with an alarm or a person who signals. Its rear stops ", rear_stand, " from the swing centre."),
        rear_stand)  # fmt: skip
    add(rear, 0, True, rear_first,
        join("Over the rear, first bucket: a swing of ", rear_first, ". The front of the body takes a reach of ", rear_reach, ".", not_reached),
        rear_reach)  # fmt: skip
    add(
        rear,
        1,
        False,
        None,
        join("Over the rear: the last bucket is dug at the near end, ", rear_last, " from where it is dumped."),
        rear_last,
    )
    add(rear, 1, True, rear_last,
        join("Last bucket: a swing of ", rear_last, " to the rear. The truck has waited for ", rear_wait, " of swinging, and for its way back in."),
        rear_wait)  # fmt: skip
    return Film(
        ident,
        title="Where the truck may stand: over the side, over the rear",
        desc=both(
            "From above. A truck along the face is filled over its side: the first swing is ", side_swings[0], ", the last ", side_swings[-1],
            ", and it waits for ", side_wait, " of swinging. A truck that backed up is filled over its rear: ", rear_first, ", ", rear_last,
            " and ", rear_wait, ". Its front takes a reach of ", rear_reach, ".",
        ),
        frames=frames,
    )  # fmt: skip


def _bearing(point: Point) -> float:
    return math.atan2(point[1], point[0])


def _span(low: float, high: float, pieces: int = 16) -> list[float]:
    return [low + (high - low) * k / pieces for k in range(pieces + 1)]


def _floor(view: View, crest: float | None, fall: float) -> None:
    """Draw crest and fall zone, the crest upright at x = `crest`."""
    if crest is None:
        return
    _, y0, _, y1 = view.world
    if fall:
        with view.part("fall-zone"):
            view.rect(crest, y0, crest + fall, y1, pen="none", fill="cross")
        view.line((crest + fall, y0), (crest + fall, y1), pen="dash")
    with view.part("crest"):
        view.line((crest, y0), (crest, y1), pen="bold")


# ---- an edge that lets go -------------------------------------------------------------------------


def edge_film(
    *,
    ident: str,
    track_length: Measure,
    machine_width: Measure,
    crest_distance: Measure,
    piece: Measure,
    drive: Measure,
    along: Measure,
    track_angle: Measure,
    fall_zone: Measure,
    parallel: bool = False,
    shoe_width: Measure | None = None,
    max_reach: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
) -> Film:
    """Draw from above what happens to an excavator when a piece of its bench lets go.

    Lengths in metres, angles in radians.

    - `crest_distance`: from the crest to the nearest corner of the tracks; `piece`: how deep the piece is
      that lets go, from the crest back.
    - `track_angle`: between tracks and face. `drive` is how far straight back the tracks are as far from
      the new edge as they were from the old, and `along` how far along the face that takes them.
    - `parallel=True`: the wrong way, the tracks along the edge; the machine goes over with it.
    - `fall_zone`: from the foot of the face out; what lets go lies there. The rest is of the machine.
    """
    positive(track_length=track_length, machine_width=machine_width, crest_distance=crest_distance, piece=piece, track_angle=track_angle)
    slanted = Stand.of(track_length, machine_width, shoe_width, track_angle, 1.0)
    flat = Stand.of(track_length, machine_width, shoe_width, Measure(0.0, "", ""), 1.0)
    gap, p, x, y, fall = crest_distance.si, piece.si, drive.si, along.si, fall_zone.si
    if abs(x * math.sin(slanted.angle) - p) > 0.01 * p + 0.01 or abs(x * math.cos(slanted.angle) - y) > 0.01 * x + 0.01:
        raise DrawingRefused("the drive does not take the tracks back by the depth of the piece, or not that far along")
    length = track_length.si
    tail = tail_radius.si if tail_radius else 0.85 * length
    dig = bucket_length.si if bucket_length else 0.35 * length
    reach = max_reach.si - dig if max_reach else 1.6 * length
    stand = flat if parallel else slanted
    start = (0.0, gap + stand.half)
    pin = min(0.8 * reach, gap + stand.half + 0.1 * fall)
    # one world for both, so that they can be compared
    x0 = -max(tail, slanted.half, length / 2) - 0.1 * length
    x1 = max(tail, length / 2) + max(y, 0.4 * length) + 0.12 * length
    y1 = gap + max(slanted.half, flat.half) + x * math.sin(slanted.angle) + max(tail, slanted.half) + 0.05 * length
    world = (x0, -fall - 0.05 * length, x1, y1)
    whole = join("the whole near track, ", track_length, " of it")
    frames: list[Frame] = []

    def add(
        says: Words, at: Point, turn: float, look: float, *, state: str, out: float = 0.0, told: Sequence[Measure] = (),
        arrow: tuple[Point, Point] | None = None, over: bool = False, shown: Measure | None = None,
    ) -> None:  # fmt: skip
        canvas = Canvas(ident, title="An edge that lets go", desc="One step, from above.", steady=True)
        view = canvas.view(world, pad=(12, 8, 12, 12), max_height=380, seen="above")
        edge = p if state == "gone" else 0.0
        with view.part("fall-zone"):
            view.rect(x0, -fall, x1, edge, pen="none", fill="cross")
        view.line((x0, -fall), (x1, -fall), pen="dash")
        if state == "gone":
            with view.part("spoil"):
                view.body([(x0 + (x1 - x0) * k / 12, -0.55 * fall + (0.1 * fall if k % 2 else 0.0)) for k in range(13)]
                          + [(x1, 0.4 * p), (x0, 0.4 * p)], fill="spoil")  # fmt: skip
        with view.part("crest"):
            view.line((x0, edge), (x1, edge), pen="bold")
        if state == "crack":
            view.polyline([(x0 + (x1 - x0) * k / 16, p + (0.02 if k % 2 else -0.02) * length) for k in range(17)], pen="bold")
        with view.part("swing-circle"):
            view.circle(at, tail, pen="dash")
        excavator_plan(
            view, at, length=length, width=stand.width, shoe=stand.shoe, angle=turn, look=look, pin=out or pin, tail=tail, bucket_length=dig,
        )  # fmt: skip
        if arrow is not None:
            view.arrow(*arrow)
        if shown is not None:
            corner = (at[0] + (math.sin(turn) * stand.width - math.cos(turn) * length) / 2, at[1] - stand.half)
            view.dimension((corner[0], edge), corner, shown, prefer="left")
        view.label((x1 - 0.1 * (x1 - x0), edge), "Crest" if state != "gone" else "New crest", prefer=("below", "above"), clear=True)
        if state == "crack":
            view.label((x0 + 0.12 * (x1 - x0), p), "Crack", prefer=("above", "below"), clear=True)
        if over:
            view.label(at, "It goes over", prefer=("above", "right"), bold=True, clear=True)
        canvas.key_starts()
        canvas.legend([FALL_KEY, ("spoil", "What has let go")])
        canvas.note(join("Nobody can say beforehand how much lets go. Here it is drawn ", piece, " deep."))
        frames.append(Frame(canvas, says, (*told, piece)))

    down = -math.pi / 2
    if parallel:
        add(join("The tracks lie along the edge, ", crest_distance, " from it. The machine digs."), start, 0.0, down, state="", told=(crest_distance,),
            shown=crest_distance)  # fmt: skip
        add(
            join("A crack opens ", piece, " behind the edge. On the piece stands ", whole, "."),
            start,
            0.0,
            down,
            state="crack",
            told=(track_length,),
        )
        add(join("Driving straight only leads along the edge. To get off, the machine would have to turn first."), start, 0.0, down, state="crack",
            arrow=((start[0] + 0.6 * length, start[1]), (start[0] + 0.95 * length, start[1])))  # fmt: skip
        lost = (0.0, start[1] - 0.75 * p)
        add(join("The piece lets go and the near track drops at once with all its length. The machine goes over with the edge."), lost, -0.16, down + 0.4,
            state="gone", over=True)  # fmt: skip
    else:
        a = slanted.angle

        def back(by: float) -> Point:
            return (start[0] + by * math.cos(a), start[1] + by * math.sin(a))

        add(join("The tracks stand at ", track_angle, " to the face, the nearest corner ", crest_distance, " from the edge. The machine digs."), start, a,
            down, state="", told=(track_angle, crest_distance), shown=crest_distance)  # fmt: skip
        add(join("A crack opens ", piece, " behind the edge, under the corner. Stop digging. Lift the bucket clear."), start, a, down,
            state="crack", out=0.8 * pin)  # fmt: skip
        ahead = math.atan2(math.sin(a), math.cos(a))
        add(join("Drive straight out at once, along the tracks, well clear. Nothing has to turn."), back(x / 2), a, down, state="crack", out=0.8 * pin,
            arrow=(back(x / 2 + 0.58 * length), back(x / 2 + 0.8 * length)) if ahead else None)  # fmt: skip
        add(join("The piece lets go. The machine drove ", drive, ", and its tracks are ", crest_distance, " from the new edge. Farther is better: more can go."),
            back(x), a, down, state="gone", out=0.8 * pin, told=(drive, crest_distance), shown=crest_distance)  # fmt: skip
        add(join("Nobody digs until the competent person has looked at the edge. The machine stands ", along, " farther along the face, at the same angle."),
            back(x), a, ahead, state="gone", out=0.8 * pin, told=(along,))  # fmt: skip
        add(join("When told so, it takes the next bite from there. One short move, and no turn."), back(x), a, down, state="gone")
    return Film(
        ident,
        title="Tracks along the edge, and the edge lets go" if parallel else "Tracks half across the face, and the edge lets go",
        desc=both(
            *(("From above. The tracks lie along the edge. A piece ", piece, " deep lets go, the near track drops, and the machine goes over with it.")
              if parallel
              else ("From above. The tracks stand at ", track_angle, " to the face. As a piece ", piece, " deep lets go, the machine drives straight out, ",
                    drive, ", and stands ", crest_distance, " from the new edge.")),
        ),
        frames=frames,
    )  # fmt: skip
