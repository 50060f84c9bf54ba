"""What a screen in the cab leaves open: people in the swing, a zero that stayed behind, a boom that comes down by itself."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film, Frame
from generator.drawing.machines import Arm, Pose, arm_of, compact_arm, compact_plan, compact_side, excavator_plan, excavator_posed
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._tilted import Tilted
from generator.drawing.view import View

_WALK = 1.4
"""How many metres a person walks in a second; common practice, no source. Only drawn by."""
_MOST = math.radians(150)
"""A swing is drawn up to here at the most, so that the end of it is to be told from its start."""


@dataclass(frozen=True)
class _Digger:
    """An excavator of the site, a compact one if it has a `blade`; metres."""

    arm: Arm
    long: float
    tail: float
    blade: tuple[float, float] | None

    @classmethod
    def of(
        cls, track_length: Measure, stick_length: Measure, max_reach: Measure, bucket_length: Measure | None, tail_radius: Measure | None,
        blade_width: Measure | None, blade_height: Measure | None,
    ) -> _Digger:  # fmt: skip
        positive(track_length=track_length, stick_length=stick_length, max_reach=max_reach)
        long, stick, reach = track_length.si, stick_length.si, max_reach.si
        dig = bucket_length.si if bucket_length else 0.0
        blade = (blade_width.si, blade_height.si) if blade_width and blade_height else None
        arm = compact_arm(stick, long, bucket=dig, reach=reach) if blade else arm_of(stick, long / 1.5, bucket=dig, reach=reach)
        return cls(arm, long, tail_radius.si if tail_radius else 0.66 * long, blade)

    @property
    def tall(self) -> float:
        """How high it stands."""
        return 1.3 * self.long

    def side(self, view: View, foot: Point, tilt: float, pose: Pose, *, facing: int = 1) -> None:
        """From its side, the middle of its tracks at `foot`; the ground under it rises to the right by `tilt` (radians)."""
        seen = Tilted.of(view, tilt, foot)
        if self.blade:
            compact_side(seen, *foot, track_length=self.long, arm=self.arm, pose=pose, blade_height=self.blade[1], facing=facing, tail=self.tail,
                         detail="plain")  # fmt: skip
        else:
            excavator_posed(seen, *foot, self.arm, pose, size=self.long / 1.5, facing=facing, tail=self.tail, detail="plain")


# ---- a swing limit and a person -------------------------------------------------------------------


def run_on_film(
    *,
    ident: str,
    times: Sequence[Measure],
    turns: Sequence[Measure],
    runs: Sequence[Measure],
    max_reach: Measure,
    track_length: Measure,
    machine_width: Measure,
    shoe_width: Measure,
    stick_length: Measure,
    wrong: bool = False,
    plain: bool = False,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    person_distance: Measure | None = None,
) -> Film:
    """Draw a swing from above: a limit set for a wall, and a person who walks into the swing.

    - `times`, `turns`, `runs`: seconds, radians and metres, of the same steps: how long it has swung, how far it has
      turned, how far the teeth have gone.
    - the lengths of the machine: metres.
    - `wrong`: nobody keeps people out, and the limit does not stop the swing. Else the whole swing is roped off,
      and the machine stands still with its bucket on the ground while the person is there.
    - `person_distance`: metres people keep beyond all that the machine can reach; the rope is drawn there.
    - `plain` leaves out what the limit does not see, for a question that asks it.

    Raises `DrawingRefused` where a run is not the turn at that reach.
    """
    m = _Digger.of(track_length, stick_length, max_reach, bucket_length, tail_radius, blade_width, blade_height)
    reach = max_reach.si
    if not times or not len(times) == len(turns) == len(runs):
        raise DrawingRefused("a swing in steps needs a time, a turn and a run for each")
    for turn, run in zip(turns, runs, strict=True):
        if abs(run.si - reach * turn.si) > 0.01 * run.si:
            raise DrawingRefused(f"a turn of {turn.us} at {max_reach.us} does not go {run.us}")
    kept = [k for k in range(min(2, len(turns))) if turns[k].si <= _MOST] or [0]
    meets = kept[-1]
    hit = min(turns[meets].si, _MOST)
    rope = reach + person_distance.si if person_distance else 1.1 * reach
    limit = hit + 0.6 if hit < 1.9 else min(hit + 0.3, math.pi)

    def walker(at: float) -> Point:
        """Where the person is `at` seconds before the bucket comes there."""
        r = 0.86 * reach + _WALK * at
        return (r * math.cos(hit), r * math.sin(hit))

    steps: list[tuple[Text, float, Point, tuple[Measure, ...]]] = []
    if wrong:
        last = times[meets].si
        steps.append(
            (
                "The swing limit is set to stop before the wall. A person walks toward the swing. Nobody keeps them out.",
                0.0,
                walker(last),
                (),
            )
        )
        for k in kept:
            steps.append((join(times[k], " later the machine has turned ", turns[k], ", and the teeth have gone ", runs[k],
                               ". The limit does nothing: it is set for the wall." if k != meets else ". The bucket is where the person is."),
                          turns[k].si if k != meets else hit, walker(last - times[k].si), (times[k], turns[k], runs[k])))  # fmt: skip
        steps.append(
            (
                "The limit never saw anyone. It knows an angle, and nothing else. On the other side the tail goes out the same way.",
                hit,
                walker(0.0),
                (),
            )
        )
    else:
        away = (1.35 * rope * math.cos(hit), 1.35 * rope * math.sin(hit))
        near = (1.12 * rope * math.cos(hit), 1.12 * rope * math.sin(hit))
        steps = [
            (join("The whole swing is roped off, the tail too", *((", ", person_distance, " beyond all it can reach") if person_distance else ()),
                  ". Then the limit is set for the wall, and tried slowly, bucket empty."), 0.0, away,
             (person_distance,) if person_distance else ()),
            ("A person comes to the rope. The machine stops, bucket on the ground, hands off the controls.", 0.0, near, ()),
            ("They look each other in the eye and talk. Nobody steps over the rope while the machine can swing.", 0.0, near, ()),
            ("The person has gone. The operator looks all around, then swings, and watches where the bucket goes.", turns[kept[0]].si if kept[0] != meets or len(kept) == 1 else hit, away, ()),
        ]  # fmt: skip
    people = [person for _, _, person, _ in steps]
    low = -max(m.tail, machine_width.si / 2, 0.35 * reach)
    left = min(-m.tail, -m.long / 2, 1.08 * reach * math.cos(limit + 0.13), *(x for x, _ in people)) - 0.08 * reach
    right = max((1.0 if wrong else 1.02) * rope, *(x + 0.3 * reach for x, _ in people))
    top = max(rope, *(y + 0.06 * reach for _, y in people))
    frames = []
    for says, look, person, told in steps:
        canvas = Canvas(ident, title="A swing limit, and a person", desc="One step of it, from above.", steady=True)
        view = canvas.view((left, low, right, top), pad=(6, 22, 6, 6), max_height=330, seen="above", way="wrong" if wrong else "right")
        _swing_ground(view, reach, rope, limit, roped=not wrong)
        if m.blade:
            compact_plan(view, (0.0, 0.0), length=m.long, width=machine_width.si, shoe=shoe_width.si, angle=0.0, look=look,
                         pin=reach - 0.35 * m.arm.bucket, tail=m.tail, bucket_length=m.arm.bucket, blade_width=m.blade[0], detail="plain")  # fmt: skip
        else:
            excavator_plan(view, (0.0, 0.0), length=m.long, width=machine_width.si, shoe=shoe_width.si, angle=0.0, look=look,
                           pin=reach - 0.35 * m.arm.bucket, tail=m.tail, bucket_length=m.arm.bucket, detail="plain")  # fmt: skip
        with view.part("person"):
            view.circle(person, max(0.28, 0.018 * reach), fill="dark")
        view.label(person, "Person", prefer=("right", "above", "left"), width=90, bold=True)
        canvas.key_starts()
        canvas.note("Dashed circle: all the bucket can reach. Dashed line: the swing limit." + ("" if wrong else " Thin circle: the rope."))
        if not plain:
            canvas.note("A limit sees no person. Nobody stands in the swing.", bold=True, boxed=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="A swing limit does not see a person" if wrong else "The swing roped off, then a limit",
        desc=both("From above: an excavator that reaches ", max_reach, ". Its swing limit is set for a wall. ",
                  "A person walks into the swing, and the limit does nothing." if wrong else "The whole swing is roped off, and it stands still while a person is near."),
        frames=frames,
    )  # fmt: skip


def _swing_ground(view: View, reach: float, rope: float, limit: float, *, roped: bool) -> None:
    """The circle of the bucket, the limit, the wall it is set for, and the rope around it all."""
    with view.part("swing-circle"):
        view.arc((0.0, 0.0), reach, -0.33, limit, pen="dash")
    if roped:
        view.arc((0.0, 0.0), rope, -0.3, math.pi + 0.3 if limit > 2.6 else limit + 0.25, pen="thin")
    end = (1.02 * reach * math.cos(limit), 1.02 * reach * math.sin(limit))
    view.line((0.0, 0.0), end, pen="dash")
    view.label((0.72 * end[0], 0.72 * end[1]), "Swing limit", prefer=("left", "above"), width=110)
    start = limit + 0.13
    a, b = (1.06 * reach * math.cos(start), 1.06 * reach * math.sin(start)), (0.3 * reach * math.cos(start), 0.3 * reach * math.sin(start))
    with view.part("wall"):
        view.line(a, b, pen="bold")
    view.label(((a[0] + 2 * b[0]) / 3, (a[1] + 2 * b[1]) / 3), "Wall", prefer=("left", "below"), width=60)


# ---- a zero that stayed behind --------------------------------------------------------------------


def zero_film(
    *,
    ident: str,
    moved: Measure,
    grade: Measure,
    off_by: Measure,
    track_length: Measure,
    stick_length: Measure,
    max_reach: Measure,
    edge_distance: Measure | None = None,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
) -> Film:
    """Draw an excavator that digs by the depth on its screen, moves back downhill and keeps its zero, from the side.

    `moved` and `off_by` in metres, `grade` a fraction: `off_by` is the grade over `moved`. The lengths of the machine and
    `edge_distance`, how far its tracks keep from the end of the cut, in metres. How deep it digs is a sketch. Below,
    the floor close up. Raises `LeftOut` where the arm does not come back to the old floor after the move.
    """
    positive(moved=moved, grade=grade, off_by=off_by)
    if abs(off_by.si - grade.si * moved.si) > 0.01 * off_by.si:
        raise DrawingRefused(f"{grade.us} over {moved.us} is not {off_by.us}")
    m = _Digger.of(track_length, stick_length, max_reach, bucket_length, tail_radius, blade_width, blade_height)
    reach, g = max_reach.si, grade.si
    keep = edge_distance.si if edge_distance else 0.3 * m.long
    deep = 0.1 * reach
    tilt = -math.atan(g)
    first_end = -(m.long / 2 + keep)
    second_end = first_end + moved.si
    old_floor = (first_end - 0.04 * reach, -deep)
    if moved.si - old_floor[0] > 0.93 * reach:
        raise LeftOut(
            "the arm does not come back to the old floor after the move",
            "This machine cannot come back to the old floor after a move of its own length. It moves less far, and sets its zero again each time.",
        )

    def ground(x: float) -> Point:
        return (x, -g * x)

    def pose(x: float, spot: Point, teeth: float = math.radians(-118)) -> Pose:
        """Teeth on a spot, the machine at `x` and facing left."""
        dx, dy = -(spot[0] - x), spot[1] + g * x
        cos, sin = math.cos(-tilt), math.sin(-tilt)
        return m.arm.posed((dx * cos - dy * sin, dx * sin + dy * cos), teeth=teeth)

    left = -0.86 * reach
    right = moved.si + max(m.tail, m.long / 2) + 0.1 * m.long
    high = max(m.tall, 0.5 * reach)
    floor, low = -deep, -deep - off_by.si
    mark = ground(-0.6 * reach)
    steps: list[tuple[str, Text, float, Point, tuple[Measure, ...]]] = [
        ("mark", "A mark whose height is known. The teeth are set on it, and the screen is set to zero there.", 0.0, mark, ()),
        ("first", "It digs until the screen shows the depth of the plan. So far the floor is right.", 0.0, (first_end - 0.1 * reach, floor), ()),
        ("moved", join("It moves back ", moved, " down ground that falls ", grade, ". The screen does not know that."), moved.si,
         (0.5 * (first_end + second_end), ground(0.5 * (first_end + second_end))[1] + 0.05 * reach), (moved, grade)),
        ("wrong", join("Wrong: it digs to the same reading. The machine stands lower, so the floor is now ", off_by, " too deep."), moved.si,
         (0.5 * (first_end + second_end), low), (off_by,)),
        ("again", "Right: after every move the teeth go back on the checked floor, and the zero is set again there.", moved.si, old_floor, ()),
        ("right", "Now it digs to the plan, and the floor runs on in one line. A rod or a level checks it.", moved.si,
         (0.5 * (first_end + second_end), floor), ()),
    ]  # fmt: skip
    frames = []
    for name, says, x, spot, told in steps:
        canvas = Canvas(ident, title="A zero, and a move", desc="One step of it.", steady=True)
        bad = name == "wrong"
        view = canvas.view(
            (left, min(low, ground(right)[1]) - 0.06 * reach, right, high),
            pad=(6, 6, 6, 6),
            max_height=230,
            way="wrong" if bad else "right",
        )
        line = [ground(left)]
        if name != "mark":
            line = [(left, floor), (first_end, floor)]
            if bad:
                line += [(first_end, low), (second_end, low), ground(second_end)]
            elif name == "right":
                line = [(left, floor), (second_end, floor), ground(second_end)]
            else:
                line += [ground(first_end)]
        line.append(ground(right))
        bottom = view.world[1]
        view.polygon([*line, (right, bottom), (left, bottom)], pen="none", fill="earth")
        with view.part("cut"):
            view.polyline(line, pen="bold")
        if name == "mark":
            view.label(mark, "Mark", prefer=("below", "left"), width=70, bold=True)
        m.side(view, ground(x), tilt, pose(x, spot, math.radians(-95) if name in ("mark", "again") else math.radians(-118)), facing=-1)
        if name == "moved":
            view.arrow((0.1 * m.long, 0.62 * high), (0.1 * m.long + 0.8 * min(moved.si, m.long), 0.62 * high))
        _floor(canvas, name, off_by)
        canvas.key_starts()
        canvas.note("Above, the machine. Below, the floor close up. Dashed: the floor of the plan. How deep it digs is a sketch.")
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="The machine moved, and its zero did not",
        desc=both("From the side: an excavator digs by the depth on its screen, then moves back ", moved, " on ground that falls ", grade,
                  ". By the same reading the floor is ", off_by, " too deep. With the zero set again on the checked floor it runs on in one line."),
        frames=frames,
    )  # fmt: skip


def _floor(canvas: Canvas, name: str, off_by: Measure) -> None:
    """The floor close up, where the first dig ends and the next begins; the middle is at 0."""
    o = off_by.si
    half, up, down = 7.0 * o, 2.4 * o, 2.2 * o
    view = canvas.view((-half, -down, half, up), pad=(6, 6, 90, 6), max_height=120, way="wrong" if name == "wrong" else "right")
    line: list[Point] = [(-half, up), (half, up)]
    if name in ("first", "moved", "again"):
        line = [(-half, 0.0), (0.0, 0.0), (0.0, up), (half, up)]
    elif name == "wrong":
        line = [(-half, 0.0), (0.0, 0.0), (0.0, -o), (half, -o)]
    elif name == "right":
        line = [(-half, 0.0), (half, 0.0)]
    view.polygon([*line, (half, -down), (-half, -down)], pen="none", fill="earth")
    view.polyline(line, pen="bold")
    view.line((-half, 0.0), (half, 0.0), pen="dash")
    if name == "wrong":
        view.dimension((half, -o), (half, 0.0), off_by, offset=-8, prefer="right", width=84)


# ---- left with its boom up ------------------------------------------------------------------------


def parked(
    *,
    ident: str,
    track_length: Measure,
    stick_length: Measure,
    max_reach: Measure,
    boom_up: bool = False,
    bucket_length: Measure | None = None,
    tail_radius: Measure | None = None,
    blade_width: Measure | None = None,
    blade_height: Measure | None = None,
    plain: bool = False,
) -> Canvas:
    """Draw an excavator that is left standing, its bucket on the ground, or with `boom_up` held up by a height limit.

    All lengths in metres. `plain` leaves out what tells that it is wrong.
    """
    m = _Digger.of(track_length, stick_length, max_reach, bucket_length, tail_radius, blade_width, blade_height)
    reach = max_reach.si
    canvas = Canvas(
        ident,
        title="An excavator left standing"
        if plain
        else "An excavator left with its boom up"
        if boom_up
        else "An excavator left with its bucket on the ground",
        desc="An excavator from the side, nobody in it, its bucket " + ("high in the air." if boom_up else "on the ground."),
    )
    high = max(m.tall, 0.62 * reach)
    view = canvas.view((-max(m.tail, m.long / 2) - 0.06 * reach, -0.08 * reach, 0.9 * reach, high), pad=(6, 6, 6, 6), max_height=230,
                       way="wrong" if boom_up else "right")  # fmt: skip
    view.rect(view.world[0], view.world[1], view.world[2], 0.0, pen="none", fill="earth")
    view.line((view.world[0], 0.0), (view.world[2], 0.0), pen="bold")
    tip = (0.68 * reach, 0.32 * reach) if boom_up else (0.66 * reach, 0.0)
    m.side(view, (0.0, 0.0), 0.0, m.arm.posed(tip, teeth=-2.2))
    if boom_up and not plain:
        view.arrow((0.74 * reach, 0.28 * reach), (0.74 * reach, 0.06 * reach))
        view.label((0.74 * reach, 0.06 * reach), "It comes down by itself", prefer=("above", "left"), width=150)
        canvas.note("Oil leaks past, and the boom sinks. A height limit stops a lever, not a boom that sinks.", bold=True)
    return canvas
