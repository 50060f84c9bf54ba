"""Scenes of levels: a laser and a rod from a benchmark to the blade, a laser off level, a string, a tolerance."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import dozer_height, dozer_side, person
from generator.drawing.machines.dozer import GAP
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.view import View

TALL = 1.75
"""Height of a person with a hat (metres)."""
CLEAR = 2.0
"""How high (metres) over the ground a laser's line runs clear of people's heads."""
_SKETCH = 1.2
"""Height (metres) of the blade of a dozer that no table tells of."""


# ---- laser and rod ---------------------------------------------------------------------------------


class _Job:
    """A benchmark, a laser and the spot to be cut or filled, from the side; heights to scale, from the plan's height up.

    All in metres. How far things stand apart is a sketch.
    """

    def __init__(
        self,
        benchmark: Measure,
        line: Measure,
        ground: Measure,
        design: Measure,
        blade_height: Measure | None,
        track_length: Measure | None,
    ) -> None:
        zero = design.si
        self.mark, self.line, self.ground = benchmark.si - zero, line.si - zero, ground.si - zero
        if self.line <= max(self.mark, self.ground, 0.0):
            raise DrawingRefused("the laser's line runs through the ground")
        self.blade = blade_height.si if blade_height else _SKETCH
        self.track = track_length.si if track_length else 2.4 * self.blade
        self.tripod = 3.2
        self.spot = 6.6
        self.far = self.spot + 2.2 + GAP * self.blade + 1.25 * self.track
        low = min(self.mark, self.ground, 0.0)
        tall = max(self.line - low + 0.5, dozer_height(self.blade, self.track) + max(self.ground, 0.0) - low, TALL + 0.3)
        self.world = (-1.6, low - 0.12 * tall, self.far, low + 1.04 * tall)

    def surface(self, *, done: float = 0.0, deep: float = 1.0) -> list[Point]:
        """The ground from left to right; `done`: that share of the work at the spot, from the right, is taken to `deep` of its depth."""
        flat = self.spot - 1.6
        points: list[Point] = [(self.world[0], self.mark - 0.1), (1.2, self.mark - 0.1), (flat, self.ground)]
        if not done:
            return [*points, (self.far, self.ground)]
        start = self.far - done * (self.far - flat - 0.1)
        floor = (1 - deep) * self.ground
        return [*points, (start, self.ground), (start + 0.25 * abs(self.ground - floor), floor), (self.far, floor)]

    def warn(self, canvas: Canvas) -> None:
        """Say so where the line does not run clear above the heads of those on the ground."""
        if self.line - max(self.mark - 0.1, self.ground, 0.0) < CLEAR:
            canvas.note("Here the line does not clear people's heads. Set the laser higher, or keep people out of its line.", bold=True)

    def at(self, x: float, points: Sequence[Point]) -> float:
        """The height of the ground at `x`."""
        for (x0, y0), (x1, y1) in pairwise(points):
            if x0 <= x <= x1 and x1 > x0:
                return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
        return points[-1][1]

    def draw(self, view: View, *, done: float = 0.0, deep: float = 1.0) -> list[Point]:
        """The ground, the benchmark and the laser with its line."""
        surface = self.surface(done=done, deep=deep)
        x0, low, x1, _ = view.world
        view.polygon([*surface, (x1, low), (x0, low)], pen="none", fill="earth")
        view.polyline(surface, pen="bold")
        # a post set in concrete, its top the mark
        view.body([(-0.16, self.mark - 0.45), (0.16, self.mark - 0.45), (0.12, self.mark), (-0.12, self.mark)], fill="dark")
        foot = self.at(self.tripod, surface)
        legs = min(0.45, 0.4 * (self.line - foot))
        top = (self.tripod, self.line - 0.12)
        view.strokes([[top, (self.tripod + s * legs, self.at(self.tripod + s * legs, surface))] for s in (-1.0, 0.15, 1.0)], pen="bold")
        view.body([(self.tripod - 0.13, self.line - 0.16), (self.tripod + 0.13, self.line - 0.16), (self.tripod + 0.13, self.line + 0.16),
                   (self.tripod - 0.13, self.line + 0.16)], fill="dark")  # fmt: skip
        view.line((x0, self.line), (x1, self.line), pen="dash")
        return surface

    def rod(self, view: View, x: float, foot: float, reading: float, *, holder: int = 1) -> None:
        """A rod on `foot` with its reading marked, and whoever holds it; `holder`: on which side they stand."""
        surface = self.surface()
        stands = self.at(x + holder * 0.45, surface) if abs(foot) > 1e-9 else foot
        person(view, (x + holder * 0.45, stands), TALL, arms="point", facing=-holder)
        top = foot + max(reading + 0.3, 1.6)
        view.body([(x - 0.035, foot), (x + 0.035, foot), (x + 0.035, top), (x - 0.035, top)], fill="paper")
        view.strokes(
            [[(x - 0.035, foot + 0.25 * k), (x + 0.035, foot + 0.25 * k)] for k in range(1, int((top - foot) / 0.25 + 1e-9) + 1)],
            pen="thin",
        )
        view.body([(x - 0.11, foot + reading - 0.07), (x + 0.11, foot + reading - 0.07), (x + 0.11, foot + reading + 0.07), (x - 0.11, foot + reading + 0.07)],
                  fill="dark", pen="thin")  # fmt: skip


def rod_film(
    *,
    ident: str,
    benchmark: Measure,
    backsight: Measure,
    instrument_height: Measure,
    rod_on_ground: Measure,
    ground: Measure,
    design: Measure,
    amount: Measure,
    rod_wanted: Measure,
    blade_height: Measure | None = None,
    track_length: Measure | None = None,
) -> Film:
    """Draw the way from the benchmark to finished ground, step by step: rod, laser, cut or fill, blade, check.

    All in metres: heights of the benchmark, the laser's line, the ground and the plan; readings of the rod
    on the benchmark, on the ground and on finished ground; what is to be cut or filled; the dozer's blade
    and tracks. Raises `DrawingRefused` where the line runs through the ground.
    """
    job = _Job(benchmark, instrument_height, ground, design, blade_height, track_length)
    cut = job.ground > 0
    level = abs(job.ground) < 0.0005
    which = "on grade" if level else "cut" if cut else "fill"
    x = job.spot
    frames: list[Frame] = []

    def step(says: Text, told: tuple[Measure, ...], *, done: float = 0.0, deep: float = 1.0) -> View:
        canvas = Canvas(ident, title="From the benchmark to the blade", desc="One step of it.", steady=True)
        view = canvas.view(job.world, pad=(10, 26, 10, 34), max_height=260, seen="side", way="right")
        job.draw(view, done=done, deep=deep)
        job.warn(canvas)
        frames.append(Frame(canvas, says, told))
        return view

    view = step(
        join("The rod on the benchmark reads ", backsight, ". The mark's height and this reading make the line: ", instrument_height, "."),
        (backsight, instrument_height),
    )
    job.rod(view, 0.0, job.mark, backsight.si, holder=-1)
    view.dimension((0.0, job.mark), (0.0, job.line), backsight, offset=-14, prefer="right", width=110)
    view.label((job.tripod, job.line + 0.16), join("Line ", instrument_height), prefer=("above", "right"), width=170)

    view = step(
        join("On the ground the rod reads ", rod_on_ground, ". Take it off the line: the ground is at ", ground, "."),
        (rod_on_ground, ground),
    )
    job.rod(view, x, job.ground, rod_on_ground.si)
    view.dimension((x, job.ground), (x, job.line), rod_on_ground, offset=16, prefer="left", width=110)

    text = join("The plan asks for ", design, ". Ground less plan is ", amount, *(() if level else (": ", which)), ".")
    view = step(text, (design, amount))
    view.line((x - 1.4, 0.0), (job.far, 0.0), pen="dash")
    view.label((job.far - 0.5, 0.0), join("Plan ", design), prefer=("below", "left"), width=170)
    if not level:
        view.dimension(
            (x, 0.0), (x, job.ground), join("Cut " if cut else "Fill ", amount), measure=amount, offset=14, prefer="left", width=120
        )

    view = step(join("So on finished ground the rod must read ", rod_wanted, ". Write it on the stake."), (rod_wanted,))
    view.line((x - 1.4, 0.0), (job.far, 0.0), pen="dash")
    view.dimension((x, 0.0), (x, job.line), rod_wanted, offset=14, prefer="left", width=110)

    share = 0.55
    says = "Nobody is near while the dozer " + (
        "shaves it" if level else "takes it down in thin passes" if cut else "brings it up in thin layers"
    )
    view = step(f"{says}.", (), done=share, deep=0.5)
    view.line((x - 1.4, 0.0), (job.far, 0.0), pen="dash")
    edge = job.far - share * (job.far - x + 1.5)
    dozer_side(view, edge + 0.06 * job.blade, 0.5 * job.ground, job.blade, track_length=job.track, facing=-1)

    view = step(join("The dozer has backed off and stands, blade down. The rod is read again: ", rod_wanted, "."), (rod_wanted,), done=1.0)
    job.rod(view, x, 0.0, rod_wanted.si)
    view.dimension((x, 0.0), (x, job.line), rod_wanted, offset=16, prefer="left", width=110)

    view = step(
        join("Last, back to the benchmark. It reads ", backsight, " still. Now you know that the laser has not moved."),
        (backsight,),
        done=1.0,
    )
    job.rod(view, 0.0, job.mark, backsight.si, holder=-1)
    view.dimension((0.0, job.mark), (0.0, job.line), backsight, offset=-14, prefer="right", width=110)
    for frame in frames:
        frame.canvas.key_starts()
        frame.canvas.note("Heights to scale. How far apart things stand is a sketch.")
    return Film(
        ident,
        title="From the benchmark to the blade, and back",
        desc=both("A rod on the benchmark reads ", backsight, ", so the laser's line is at ", instrument_height, ". The ground is at ", ground, " and the plan asks for ",
                  design, f": {which} ", amount, ". On finished ground the rod must read ", rod_wanted, ". At the end the benchmark is read again."),
        frames=frames,
    )  # fmt: skip


# ---- a laser off level -----------------------------------------------------------------------------


def _plot(canvas: Canvas, distances: Sequence[Measure], errors: Sequence[Measure], shown: int) -> None:
    """The floor beside the plan, out from the laser; heights stretched. The first `shown` places are dug."""
    far, worst = distances[-1].si, errors[-1].si
    stretch = max(2.0, min(2000.0, float(f"{0.16 * far / worst:.1g}"))) if worst > 0 else 2.0
    tall = max(worst, 0.08 * far / stretch)
    view = canvas.view(
        (-0.04 * far, -1.4 * tall, 1.04 * far, 1.9 * tall), pad=(8, 20, 8, 40), max_height=190, stretch=stretch, seen="across", way="wrong"
    )
    x0, low, x1, _ = view.world
    end = distances[shown - 1].si if shown else 0.0
    deep = -worst * end / far
    whole = end >= far
    floor: list[Point] = [(x0, 0), (0, 0), (end, deep), *([(x1, deep)] if whole else [(end, 0.45 * tall), (x1, 0.45 * tall)])]
    view.polygon([*floor, (x1, low), (x0, low)], pen="none", fill="earth")
    view.polyline(floor, pen="bold")
    view.line((x0, 0), (x1, 0), pen="dash")
    # the laser at the left, its line leaning, and a level line beside it
    view.polygon([(-0.015 * far, 0), (0.015 * far, 0), (0.0, 1.4 * tall)], pen="line", fill="dark")
    view.line((0, 1.4 * tall), (x1, 1.4 * tall), pen="thin")
    view.line((0, 1.4 * tall), (far, 1.4 * tall - worst), pen="dash")
    view.label((0.8 * far, 1.4 * tall), "Level", prefer=("above",), width=80)
    view.label((0.45 * far, 1.4 * tall - 0.45 * worst), "Its line", prefer=("below",), width=100)
    view.label((0.3 * far if whole else 0.9 * far, 0.0), "The plan", prefer=("above",) if whole else ("below",), width=100)
    if shown:
        x, error = distances[shown - 1], errors[shown - 1]
        view.dimension((x.si, -error.si), (x.si, 0), error, offset=10, prefer="left", width=100)
    else:
        view.label((0.5 * far, 0.45 * tall), "Not dug yet", prefer=("below",), width=130)


def off_level_film(*, ident: str, off_level: Measure, distances: Sequence[Measure], errors: Sequence[Measure], tolerance: Measure) -> Film:
    """Draw the floor dug by a laser that leans, out to its far end: the wrong way.

    `off_level`: how far the line leans, rise over run; for each place its distance from the laser and how far the
    floor is off there, and what the site allows: metres. Raises `DrawingRefused` for figures that are not one
    straight line from the laser out.
    """
    places = [(d, e) for d, e in zip(distances, errors, strict=True) if d.si > 0]
    if len(places) < 2 or any(abs(e.si - off_level.si * d.si) > 0.01 * off_level.si * d.si + 1e-6 for d, e in places):
        raise DrawingRefused("a laser that leans is off by its lean times the distance")
    ds, es = [d for d, _ in places], [e for _, e in places]
    frames = []
    steps: list[tuple[Text, tuple[Measure, ...]]] = [
        (join("A leg of the laser was bumped. It leans by ", off_level, ", and nobody checks back."), (off_level,))
    ]
    over = False
    for k, (d, e) in enumerate(places):
        past = e.si > tolerance.si * (1 + 1e-9)
        if k == len(places) - 1:
            says = join(d, " out it is ", e, " too low. Ground has to be brought back and packed." if past else " too low.")
        elif past and not over:
            says = join(d, " out the floor is ", e, " too low. This site allows ", tolerance, ".")
        else:
            says = join(d, " out the floor is ", e, " too low. By eye nobody sees it." if not past else " too low.")
        steps.append((says, (d, e, *((tolerance,) if past and not over and k < len(places) - 1 else ()))))
        over = over or past
    for k, (said, told) in enumerate(steps):
        canvas = Canvas(ident, title="A laser off level", desc="One step of it.", steady=True)
        _plot(canvas, ds, es, k)
        canvas.key_starts()
        canvas.note("The laser stands at the left end and leans. The floor follows its line.", bold=True)
        frames.append(Frame(canvas, said, told))
    return Film(
        ident,
        title="A laser off level: what it does to the floor",
        desc=both("The wrong way. A laser leans by ", off_level, " and nobody checks back. ", ds[-1], " out the floor is ", es[-1], " too low, and the site allows ",
                  tolerance, "."),
        frames=frames,
    )  # fmt: skip


def check_back_film(
    *,
    ident: str,
    benchmark: Measure,
    backsight: Measure,
    reading_now: Measure,
    moved: Measure,
    check_tolerance: Measure,
    instrument_height: Measure,
    ground: Measure,
    design: Measure,
    blade_height: Measure | None = None,
    track_length: Measure | None = None,
) -> Film:
    """Draw how a laser that was knocked is caught: the benchmark is read again before work goes on.

    All in metres, as of `rod_film`: the first reading, the one now, how far it moved, and how far a check may be off.
    Raises `DrawingRefused` where the moved reading is not the difference.
    """
    if abs(abs(reading_now.si - backsight.si) - moved.si) > 0.0011:
        raise DrawingRefused("what it moved is not the difference of the two readings")
    job = _Job(benchmark, instrument_height, ground, design, blade_height, track_length)
    off = reading_now.si - backsight.si
    good = moved.si <= check_tolerance.si * (1 + 1e-9)
    dozer = job.far - GAP * job.blade - 1.1 * job.track
    frames: list[Frame] = []

    def step(says: Text, told: tuple[Measure, ...], shift: float) -> View:
        canvas = Canvas(ident, title="Checking back on the benchmark", desc="One step of it.", steady=True)
        view = canvas.view(job.world, pad=(10, 26, 10, 34), max_height=260, seen="side", way="right")
        job.line += shift
        job.draw(view)
        job.line -= shift
        dozer_side(view, dozer, job.ground, job.blade, track_length=job.track, facing=-1)
        canvas.key_starts()
        canvas.note("Heights to scale. How far apart things stand is a sketch.")
        job.warn(canvas)
        frames.append(Frame(canvas, says, told))
        return view

    view = step(join("Set up, the rod on the benchmark reads ", backsight, ". It is written down, with the time."), (backsight,), 0.0)
    job.rod(view, 0.0, job.mark, backsight.si, holder=-1)
    view.dimension((0.0, job.mark), (0.0, job.line), backsight, offset=-14, prefer="right", width=110)
    view = step(join("After the break it reads ", reading_now, ". It has moved by ", moved, ", and ", check_tolerance, " is allowed."),
                (reading_now, moved, check_tolerance), off)  # fmt: skip
    job.rod(view, 0.0, job.mark, reading_now.si, holder=-1)
    view.dimension((0.0, job.mark), (0.0, job.line + off), reading_now, offset=-14, prefer="right", width=110)
    if good:
        view = step("That is good. A second mark off to the side is read too, as a laser can lean and still read right on one.", (), off)
        return Film(
            ident,
            title="Checking back on the benchmark",
            desc=both("The first reading is ", backsight, ", the next ", reading_now, ": good."),
            frames=frames,
        )
    view = step("The dozer stands, blade down. All that was dug since the last good check is checked by hand.", (), off)
    where = 1.3
    person(view, (where, job.at(where, job.surface())), TALL, arms="up")
    view.label((where, job.at(where, job.surface()) + TALL), "Stop", prefer=("above",), width=80, bold=True)
    view = step(
        join("The laser is set up anew on firm ground. It reads ", backsight, " again, and a second mark off to the side reads right too."),
        (backsight,),
        0.0,
    )
    job.rod(view, 0.0, job.mark, backsight.si, holder=-1)
    view.dimension((0.0, job.mark), (0.0, job.line), backsight, offset=-14, prefer="right", width=110)
    return Film(
        ident,
        title="Checking back on the benchmark: a laser that has moved is caught",
        desc=both("The rod on the benchmark first reads ", backsight, ". After the break it reads ", reading_now, ": moved by ", moved, ", more than ", check_tolerance,
                  ". The dozer stops, and the laser is set up anew."),
        frames=frames,
    )  # fmt: skip


# ---- a string --------------------------------------------------------------------------------------


def under_a_string(*, ident: str, string_above: Measure, measured_down: Measure, amount: Measure, spots: bool = False) -> Canvas:
    """Draw a string over batter boards, the finished floor under it, and what is measured down to the ground.

    All in metres; `amount` must be the difference of the other two. How far apart the boards stand is a
    sketch. `spots=True`: regions `string`, `ground`, `floor` and `board`, and no figures.
    """
    positive(string_above=string_above, measured_down=measured_down)
    a, m = string_above.si, measured_down.si
    left = a - m
    if abs(abs(left) - amount.si) > 0.006:
        raise DrawingRefused("what is left is not the string's height less what is measured")
    level = abs(left) < 0.0005
    half = max(1.55 * max(a, m), 1.6)
    outside = max(a - min(0.75, 0.4 * a), left if left > 0 else 0.0)
    board = a - outside
    low = min(0.0, left)
    canvas = Canvas(
        ident,
        title="A string over batter boards",
        desc=both("A string is pulled tight between two batter boards.", *(() if spots else (" It hangs ", string_above, " above the finished floor. Down to the "
                  "ground one measures ", measured_down, ", so ", amount, " on grade." if level else " is left to cut." if left > 0 else " is too deep."))),
    )  # fmt: skip
    view = canvas.view(
        (-1.75 * half, low - (0.45 if spots else 0.18) * max(a, m), 1.75 * half, a + 0.14 * a),
        pad=(10, 48, 10, 40),
        max_height=300,
        seen="across",
        way="right",
    )
    x0, bottom, x1, _ = view.world
    run = 0.25 * (outside - left)
    line: list[Point] = [(x0, outside), (-half, outside), (-half + run, left), (half - run, left), (half, outside), (x1, outside)]
    view.polygon([*line, (x1, bottom), (x0, bottom)], pen="none", fill="earth")
    view.polyline(line, pen="bold")
    post = 0.35 * half
    for side in (-1, 1):
        at = side * (half + post)
        view.body(
            [(at - 0.05, outside - 0.25), (at + 0.05, outside - 0.25), (at + 0.05, a + 0.06 * a), (at - 0.05, a + 0.06 * a)],
            fill="dark",
            pen="thin",
        )
        view.body(
            [(at - 0.18, a - min(0.14, 0.4 * board)), (at + 0.18, a - min(0.14, 0.4 * board)), (at + 0.18, a), (at - 0.18, a)], fill="paper"
        )
    view.line((-half - post, a), (half + post, a), pen="line")
    view.line((-half + run, 0.0), (half - run, 0.0), pen="dash")
    x = 0.3 * half
    view.line((x, left), (x, a), pen="thin")
    if spots:
        view.spot("string", "the string", [(-0.2 * half, a)])
        view.spot("ground", "the ground as it lies now, at its surface", [(x, left + 0.12 * max(a, m))])
        view.spot("floor", "the dashed line and below it", [(-0.4 * half, low - 0.2 * max(a, m))])
        view.spot("board", "the board on its post", [(half + post, a)])
        return canvas
    view.label((-half - post, a), "Batter board", prefer=("above", "right"), width=150)
    view.label((0.95 * half, a), "String", prefer=("above",), width=90)
    view.label((0.62 * half, 0.0), "Finished floor", prefer=("below", "right"), width=160)
    view.dimension(
        (-0.3 * half, 0.0), (-0.3 * half, a), join(string_above, " to the floor"), measure=string_above, offset=0, prefer="left", width=110
    )
    view.dimension((x, left), (x, a), join(measured_down, " to the ground"), measure=measured_down, offset=0, prefer="right", width=120)
    return canvas


# ---- what a tolerance is on the blade --------------------------------------------------------------


def on_the_blade(
    *, ident: str, blade_width: Measure, tolerance: Measure, lower: Measure | None = None, wrong: bool = False, plain: bool = False
) -> Canvas:
    """Draw both ends of a cutting edge at the plan's height, and how far they may be off it; the middle of the blade is left out.

    All in metres. `lower`: how much lower the right end is. `wrong` is one that does not stay within
    `tolerance`. `plain` leaves out the figures. Raises `DrawingRefused` where a blade is drawn the right
    way outside its tolerance, or the wrong way within it.
    """
    positive(blade_width=blade_width, tolerance=tolerance)
    w, t = blade_width.si, tolerance.si
    drop = lower.si if lower else 0.0
    if (drop > t * 1.001) != wrong:
        raise DrawingRefused("the blade is within its tolerance just where it is drawn the right way")
    e = max(t, drop)
    q = min(7 * e, 0.45 * w)
    gap = 0.13 * q
    canvas = Canvas(
        ident,
        title="Both ends of the blade",
        desc=both("The two ends of a cutting edge beside the plan's height, with a line above it and a line below it.",
                  *(() if plain else (" Each line is ", tolerance, " from the plan's height."))),
    )  # fmt: skip
    view = canvas.view(
        (-1.5 * q, -1.9 * e, 1.5 * q, 4.6 * e), pad=(84, 16, 84, 44), max_height=260, seen="end", way="wrong" if wrong else "right"
    )
    x0, low, x1, _ = view.world
    slope = drop / w
    edge: dict[int, list[Point]] = {
        -1: [(-q, 0.0), (-gap, -slope * (q - gap))],
        1: [(gap, -drop + slope * (q - gap)), (q, -drop)],
    }
    view.polygon([(x0, 1.2 * e), (-q, 1.2 * e), *edge[-1], (-gap, low), (x0, low)], pen="none", fill="earth")
    view.polygon([(gap, low), *edge[1], (q, 1.2 * e), (x1, 1.2 * e), (x1, low)], pen="none", fill="earth")
    with view.part("blade", sized="no"):  # its lowest piece, at both ends only
        for side in (-1, 1):
            (ax, ay), (bx, by) = edge[side]
            view.body([(ax, ay), (bx, by), (bx, by + 3.6 * e), (ax, ay + 3.6 * e)], fill="shade")
            view.polygon([(ax, ay), (bx, by), (bx, by + 0.5 * e), (ax, ay + 0.5 * e)], fill="dark", pen="thin")
    view.polyline([(x0, 1.2 * e), (-q, 1.2 * e), *edge[-1]], pen="bold")
    view.polyline([*edge[1], (q, 1.2 * e), (x1, 1.2 * e)], pen="bold")
    if w > 2 * q:
        view.break_across(-gap, gap, low, 3.9 * e, w - 2 * q + 2 * gap)
    view.line((x0, 0.0), (-gap, 0.0), pen="line")
    view.line((gap, 0.0), (x1, 0.0), pen="line")
    for up in (-t, t):
        view.line((x0, up), (-gap, up), pen="dash")
        view.line((gap, up), (x1, up), pen="dash")
    for side, name in ((-1, "Left end"), (1, "Right end")):
        view.label((side * 0.56 * q, 3.6 * e), name, prefer=("below",), width=130, leader=False)
    if plain:
        return canvas
    view.dimension((x0, 0.0), (x0, t), tolerance, offset=8, prefer="left", width=76)
    view.dimension((x1, -t), (x1, 0.0), tolerance, offset=-8, prefer="right", width=76)
    if w > 2 * q:
        view.dimension((-q, 3.6 * e), (q, 3.6 * e), blade_width, offset=14, prefer="above", width=150, broken=True)
    if lower and drop > 0.2 * t:
        view.dimension((0.62 * q, -drop), (0.62 * q, 0.0), lower, offset=0, prefer="right", width=90)
    canvas.key_starts()
    canvas.note("Full line: the plan. Dashed: as far as it may be off.")
    return canvas
