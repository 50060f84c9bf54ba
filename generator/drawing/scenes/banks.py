"""A slope built lift by lift from its top, and what happens to one that is begun at its toe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame, picked, thinned
from generator.drawing.machines import dozer_height, dozer_side
from generator.drawing.machines.dozer import GAP
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._slot import between
from generator.drawing.scenes._slot import cut_to as cut_between
from generator.drawing.scenes.slopes import CLEAR, NOT_ALLOWED, windrow_of
from generator.drawing.view import View


@dataclass(frozen=True)
class _Bank:
    """A slope of `height` that runs out `ratio` for one of rise, its crest at (0, 0), downhill to the left.

    The ground to cut away lies in front of it, as deep everywhere as one `bench` is wide.
    """

    height: float
    ratio: float
    bench: float
    blade: float
    long: float

    def face(self, down: float) -> Point:
        """The finished face so far down."""
        return (-self.ratio * down, -down)

    def edge(self, down: float) -> Point:
        """The low edge of the bench there, which is the ground as it was."""
        x, y = self.face(down)
        return (x - self.bench, y)


def slope_film(
    *,
    ident: str,
    height: Measure,
    ratio: float,
    lift_numbers: Sequence[Measure],
    downs: Sequence[Measure],
    outs: Sequence[Measure],
    track_length: Measure,
    blade_height: Measure,
    windrow_height: Measure | None = None,
    windrow_set: Measure | None = None,
    windrow_ratio: float = 1.5,
    keep_back: Measure | None = None,
) -> Film:
    """Draw a slope cut in lifts from its top down: the push of each lift, and the check after it.

    - `height`: metres from toe to crest; `ratio`: run for one of rise of the finished slope.
    - `lift_numbers`, `downs`, `outs`: one figure a lift, the top one first: its number, and how far
      down and out from the crest it ends (metres).
    - `track_length`, `blade_height`: metres, of the dozer.
    - `windrow_height`: metres, of the windrow on the low edge; its sides run out `windrow_ratio` for one. Where it
      goes by no truck, `windrow_set` is what the site has set.
    - `keep_back`: metres from the low edge to the nearest track; at least the windrow's width.

    Raises `DrawingRefused` for sequences of different lengths, and for lifts that do not end at the toe.
    """
    windrow_height = windrow_of(windrow_height, windrow_set)
    positive(height=height, track_length=track_length, blade_height=blade_height, windrow_height=windrow_height)
    bank, keep = _bank(height, ratio, lift_numbers, downs, outs, track_length, blade_height, windrow_height, windrow_ratio, keep_back)
    count = len(downs)
    shown, apart = picked(count, 14)
    frames = [
        _frame(
            ident,
            bank,
            0.0,
            None,
            "Walk it first. A stake at the crest, and nobody below on the fall.",
            (),
            keep,
            None,
            apart,
            keep_back,
        )
    ]
    before = 0.0
    for k in shown:
        down, out, number = downs[k], outs[k], lift_numbers[k]
        frames.append(
            _frame(ident, bank, before, down.si,
                   join("Lift ", number, " of ", lift_numbers[-1], ". Push straight out, down the fall. Back straight.",
                        " The windrow stays on the low edge." if k < count - 1 else " Do not dig under the toe."),
                   (number, lift_numbers[-1]), keep, (windrow_height, windrow_ratio), apart, keep_back)
        )  # fmt: skip
        frames.append(
            _frame(ident, bank, down.si, None,
                   join("Check lift ", number, ": ", down, " down and ", out, " out from the stake at the crest. Off the plan? Ask before the next lift."),
                   (number, down, out), keep, (windrow_height, windrow_ratio) if k < count - 1 else None, apart, keep_back, check=(down, out))
        )  # fmt: skip
        before = down.si
    return Film(
        ident,
        title="A slope built from the top down, lift by lift",
        desc=both("A slope ", height, " high, cut across, in ", lift_numbers[-1], " lifts from the top down. The dozer always stands on a level bench, "
                  "pushes straight out, and keeps back from the windrow on the low edge. ") + NOT_ALLOWED,
        frames=frames,
    )  # fmt: skip


def _bank(
    height: Measure, ratio: float, numbers: Sequence[Measure], downs: Sequence[Measure], outs: Sequence[Measure], track_length: Measure,
    blade_height: Measure, windrow_height: Measure, windrow_ratio: float, keep_back: Measure | None,
) -> tuple[_Bank, float]:  # fmt: skip
    if not 0.3 <= ratio <= 30 or not len(numbers) == len(downs) == len(outs) or not downs:
        raise DrawingRefused("a slope in lifts needs its run for one of rise, and the same figures of each lift")
    if abs(downs[-1].si - height.si) > 0.01 * height.si or abs(outs[-1].si - ratio * height.si) > 0.01 * ratio * height.si:
        raise DrawingRefused(f"the lifts end {downs[-1].us} down, and the slope is {height.us} high")
    base = 2 * windrow_ratio * windrow_height.si
    keep = keep_back.si if keep_back else base
    if keep < 0.99 * base:
        raise DrawingRefused(f"{keep_back.us if keep_back else ''} from the edge the tracks stand on the windrow")
    blade, long = blade_height.si, track_length.si
    return _Bank(height.si, ratio, keep + (1.2 + GAP) * blade + 1.25 * long, blade, long), keep


def _world(bank: _Bank) -> tuple[float, float, float, float]:
    """All of the slope, and room for a machine on the first bench."""
    toe, tall = bank.edge(bank.height)[0], dozer_height(bank.blade, bank.long)
    return (toe - 0.25 * bank.bench, -bank.height - 0.25 * tall, 0.35 * bank.bench, 1.1 * tall)


def _canvas(ident: str, bank: _Bank) -> tuple[Canvas, View]:
    canvas = Canvas(ident, title="One step of building a slope", desc="One step of it.", steady=True)
    return canvas, canvas.view(_world(bank), pad=(6, 24, 6, 8), max_height=240, seen="side", way="right")


def _ground(view: View, line: Sequence[Point], bank: _Bank) -> None:
    """The ground as it stands, and dashed the face that the plan wants."""
    x0, low, x1, _ = view.world
    whole = [(x0, -bank.height), *line, (x1, 0.0)]
    view.polygon([*whole, (x1, low), (x0, low)], pen="none", fill="earth")
    view.polyline(whole, pen="bold")
    view.line((0.0, 0.0), bank.face(bank.height), pen="dash")


def _dozer(view: View, bank: _Bank, blade_x: float, y: float, *, load: bool, up: float = 0.0) -> None:
    if load:
        h = bank.blade
        with view.part("load"):
            view.body(
                [(blade_x, y), (blade_x - 0.05 * h, y + 0.85 * h), (blade_x - 0.4 * h, y + 0.8 * h), (blade_x - 1.1 * h, y)], fill="spoil"
            )
    dozer_side(view, blade_x, y, bank.blade, facing=-1, track_length=bank.long, blade_up=up, detail="plain")


def _frame(
    ident: str, bank: _Bank, done: float, cut_to: float | None, says: Text, told: tuple[Measure, ...], keep: float,
    windrow: tuple[Measure, float] | None, apart: int, keep_back: Measure | None, *, check: tuple[Measure, Measure] | None = None,
) -> Frame:  # fmt: skip
    """The slope cut down to `done`, and hatched the lift that is cut from there to `cut_to`."""
    canvas, view = _canvas(ident, bank)
    at = done if cut_to is None else cut_to
    edge = bank.edge(at)
    line = [bank.edge(bank.height), edge, bank.face(at), (0.0, 0.0)]
    taken = [bank.edge(done), bank.face(done), bank.face(at), edge] if cut_to is not None else []
    if cut_to is None:
        # backed to the foot of the face, the blade just clear
        blade_x, up = bank.face(at)[0] - bank.long - (GAP + 0.15) * bank.blade, CLEAR * 0.65 * bank.long
    else:
        blade_x, up = edge[0] + keep + (1.2 - GAP) * bank.blade, 0.0
    # far off the whole slope, and nearer by the bench that is worked on
    tall = 1.25 * dozer_height(bank.blade, bank.long)
    x0, x1 = edge[0] - 0.3 * bank.bench, edge[0] + 1.3 * bank.bench
    low = edge[1] - 0.3 * bank.blade - min(0.3 * bank.bench / bank.ratio, bank.height + edge[1])
    near_low = -0.3 * bank.blade - 0.3 * bank.bench / bank.ratio
    _scene(view, bank, line, taken, windrow if at < bank.height else None, at, (blade_x, up, cut_to is not None))
    stake = 0.9 * bank.blade  # at the crest; that of the toe stands in the ground still to cut
    view.line((0.0, 0.0), (0.0, stake), pen="bold")
    view.body([(0.0, stake), (0.4 * stake, 0.8 * stake), (0.0, 0.6 * stake)], fill="dark", pen="thin")
    if check is not None:
        down, out = check
        x, y = bank.face(down.si)
        view.dimension((x, 0.0), (0.0, 0.0), join("Out ", out), measure=out, offset=8, prefer="above")
        view.line((x, 0.0), (x, y), pen="thin")
        right = 0.2 * bank.bench
        view.dimension((right, y), (right, 0.0), join("Down ", down), measure=down, offset=0, prefer="right", width=80)
        view.line((x, y), (right, y), pen="thin")
    near = canvas.view((-0.3 * bank.bench, near_low, 1.3 * bank.bench, tall), pad=(6, 4, 6, 34), max_height=260, seen="side", way="right")

    def moved(points: Sequence[Point]) -> list[Point]:
        return [(x - edge[0], y - edge[1]) for x, y in points]

    whole = [(2 * view.world[0], -bank.height), *line, (2 * bank.bench, 0.0)]
    clipped = moved(between(whole, x0, x1))
    if clipped:
        floor = min(low - edge[1], near_low)
        near.polygon([*clipped, (clipped[-1][0], floor), (clipped[0][0], floor)], pen="none", fill="earth")
        near.polyline(clipped, pen="bold")
    bite = cut_between(taken, x0, x1) if taken else []
    if len(bite) > 2:
        near.polygon(moved(bite), pen="thin", fill="cut")
    _edge_of(near, bank, (0.0, 0.0), windrow if at < bank.height else None, at)
    _dozer(near, bank, blade_x - edge[0], 0.0, load=cut_to is not None, up=up)
    if windrow and at < bank.height:
        near.dimension((0.0, near_low), (keep, near_low), join("Keep back ", keep_back) if keep_back else "Keep back", measure=keep_back, offset=-6,
                       prefer="below", width=230)  # fmt: skip
        near.line((keep, 0.0), (keep, near_low), pen="thin")
    _key(canvas, apart, staked=True)
    return Frame(canvas, says, told)


def _edge_of(view: View, bank: _Bank, edge: Point, windrow: tuple[Measure, float] | None, at: float) -> None:
    """The low edge of a bench and the windrow on it."""
    if at < bank.height:
        with view.part("crest"):
            view.line(edge, (edge[0], edge[1] - 0.02 * bank.height), pen="thin")
    if windrow:
        high, ratio = windrow[0].si, windrow[1]
        with view.part("windrow"):
            view.body([edge, (edge[0] + ratio * high, edge[1] + high), (edge[0] + 2 * ratio * high, edge[1])], fill="spoil")


def _scene(
    view: View, bank: _Bank, line: Sequence[Point], taken: Sequence[Point], windrow: tuple[Measure, float] | None, at: float,
    stands: tuple[float, float, bool],
) -> None:  # fmt: skip
    """The whole slope with its dozer."""
    _ground(view, line, bank)
    if taken:
        view.polygon(taken, pen="thin", fill="cut")
    edge = bank.edge(at)
    _edge_of(view, bank, edge, windrow, at)
    _dozer(view, bank, stands[0], edge[1], load=stands[2], up=stands[1])


def _key(canvas: Canvas, apart: int, *, staked: bool = False) -> None:
    canvas.key_starts()
    canvas.legend([("cut", "What this lift takes")])
    canvas.note(
        "Dashed: the face that the plan wants. Small flag: the stake at the crest." if staked else "Dashed: the face that the plan wants."
    )
    if apart > 1:
        canvas.note(thinned(apart, "lift"))
    canvas.note(NOT_ALLOWED, bold=True, boxed=True)


def undercut_film(
    *,
    ident: str,
    height: Measure,
    ratio: float,
    lift_depth: Measure,
    left_above: Measure,
    lift_numbers: Sequence[Measure],
    downs: Sequence[Measure],
    outs: Sequence[Measure],
    track_length: Measure,
    blade_height: Measure,
    windrow_height: Measure | None = None,
    windrow_set: Measure | None = None,
    windrow_ratio: float = 1.5,
    keep_back: Measure | None = None,
) -> Film:
    """Draw what happens where the same slope is begun at its toe: it hangs over the dozer and comes down on it.

    - `lift_depth`, `left_above`: metres, how deep the first cut is and how much ground it leaves standing
      over itself; together the `height`. The rest is as for `slope_film`.
    """
    windrow_height = windrow_of(windrow_height, windrow_set)
    positive(height=height, lift_depth=lift_depth, left_above=left_above)
    bank, _ = _bank(height, ratio, lift_numbers, downs, outs, track_length, blade_height, windrow_height, windrow_ratio, keep_back)
    if abs(lift_depth.si + left_above.si - height.si) > 0.01 * height.si:
        raise DrawingRefused(f"{lift_depth.us} and {left_above.us} are not {height.us}")
    toe, step = bank.edge(bank.height), lift_depth.si
    h, deep = bank.height, 0.9 * bank.blade + ratio * step
    notch = [toe, (toe[0] + deep, -h), (toe[0] + deep - 0.2 * step, -h + step), (toe[0] + ratio * step, -h + step)]
    whole = [toe, bank.edge(0.0)]
    bitten = [*notch, bank.edge(0.0)]
    # what has come down: the lip over the notch is gone, and lies on the floor before it
    back = toe[0] + deep + 0.9 * bank.blade
    fallen = [toe, (toe[0] + deep, -h), (back, -h + max((back - toe[0]) / ratio, step) + 0.1 * step), bank.edge(0.0)]
    heap = [(toe[0] - 1.6 * bank.blade, -h), (toe[0] - 0.2 * bank.blade, -h + 0.9 * bank.blade), (toe[0] + 0.7 * deep, -h + 1.1 * step),
            (toe[0] + deep + 0.1 * step, -h + 1.15 * step), (toe[0] + deep, -h)]  # fmt: skip
    frames = []
    reach = min(toe[0] + deep + 1.6 * bank.long, bank.edge(0.0)[0])
    world = (
        toe[0] - 2.1 * bank.long,
        -h - 0.35 * bank.blade,
        reach,
        -h + max((reach - toe[0]) / ratio, 1.1 * dozer_height(bank.blade, bank.long)),
    )
    cutting = toe[0] + deep - 0.1 * bank.blade
    shown: tuple[tuple[Text, tuple[Measure, ...], Sequence[Point], float], ...] = (
        (join("The slope is ", height, " high, and the dozer begins at its toe."), (height,), whole, toe[0] - 0.6 * bank.blade),
        (join("It digs in, one lift of ", lift_depth, ". The toe that held the rest is gone, and ", left_above, " of slope is still above."),
         (lift_depth, left_above), bitten, cutting),
        ("A crack behind the lip. From the seat nobody sees it.", (), bitten, cutting),
        ("The bank comes down in front of the dozer and onto it. There is no time to back out.", (), fallen, cutting),
    )  # fmt: skip
    for k, (says, told, line, blade_x) in enumerate(shown):
        canvas = Canvas(ident, title="One step of a slope begun at its toe", desc="One step of it.", steady=True)
        view = canvas.view(world, pad=(6, 20, 6, 8), max_height=300, seen="side", way="wrong")
        ground = between([(2 * world[0] - world[2], -h), *line, (bank.edge(0.0)[0] + 1.0, 0.0)], world[0], world[2])
        view.polygon([*ground, (ground[-1][0], world[1]), (ground[0][0], world[1])], pen="none", fill="earth")
        view.polyline(ground, pen="bold")
        dozer_side(view, blade_x, -h, bank.blade, facing=1, track_length=bank.long, detail="plain")
        if k == 3:
            view.body(heap, fill="spoil")
        if k == 2:
            lip = toe[0] + deep + 0.55 * bank.blade
            surface = -h + (lip - toe[0]) / ratio
            view.polyline(
                [(lip, surface), (lip - 0.12 * step, surface - 0.35 * step), (lip + 0.02 * step, surface - 0.6 * step)], pen="bold"
            )
            view.label((lip, surface), "Crack", prefer=("above", "right"), width=80)
        canvas.key_starts()
        canvas.note("Only the foot of the slope is shown.")
        canvas.note("What happens, and nothing to try. " + NOT_ALLOWED, bold=True, boxed=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="A slope begun at its toe, step by step",
        desc=both("The same slope, ", height, " high. The dozer digs into its toe, ", left_above, " of ground stands over it, cracks and comes down. ")
        + NOT_ALLOWED,
        frames=frames,
    )  # fmt: skip
