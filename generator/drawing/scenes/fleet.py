"""Drawings of a truck fleet: the whole haul step by step, and the trucks by the clock."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.machines import excavator_plan, truck_plan
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._bench import build_of
from generator.drawing.svg import Fill
from generator.drawing.view import View

MOST_ROWS = 8
"""So many trucks have a row of their own in the drawing by the clock."""


@dataclass(frozen=True)
class _Round:
    """A round of a truck on the clock, in seconds; its number as it is told."""

    truck: Measure
    came: float
    backs: float
    loading: float
    full: float
    there: float
    tipped: float
    back: float


def _rounds(trucks: Sequence[Measure], *columns: Sequence[Measure]) -> list[_Round]:
    if not trucks or any(len(column) != len(trucks) for column in columns):
        raise DrawingRefused("a fleet needs the same figures of every round")
    return [_Round(truck, *(c.si for c in row)) for truck, *row in zip(trucks, *columns, strict=True)]


def rounds_film(
    *,
    ident: str,
    truck_numbers: Sequence[Measure],
    came: Sequence[Measure],
    backs_up: Sequence[Measure],
    loading_starts: Sequence[Measure],
    full: Sequence[Measure],
    at_dump: Sequence[Measure],
    tipped: Sequence[Measure],
    back: Sequence[Measure],
    times: Sequence[Measure],
    loads: Sequence[Measure],
    waiting: Sequence[Measure],
    at_loader: Sequence[Measure],
    on_road: Sequence[Measure],
    stood: Sequence[Measure],
    waited: Sequence[Measure],
    haul_distance: Measure,
    haul_time: Measure,
    return_time: Measure,
    loaders: float = 1,
    truck_build: str | None = None,
) -> Film:
    """Draw a loader, its trucks and the haul road, one step for each reading of the clock.

    - the first eight sequences have one figure a round: the truck's number, and when it comes to the
      loader, backs up, is first dug for, is full, is at the dump, has tipped and is back (seconds).
    - the next seven have one figure a step: the time (seconds), the loads sent off by then, the trucks
      that wait, stand at the loader, and are on the road or at the dump, and how long the loader has stood and
      all trucks together have waited by then (seconds).
    - `haul_distance` metres; `haul_time` and `return_time` seconds on it. A truck stands along the road
      where it is at that moment; machines are sketches, larger than the road's scale.
    """
    positive(haul_distance=haul_distance, haul_time=haul_time, return_time=return_time)
    made = _rounds(truck_numbers, came, backs_up, loading_starts, full, at_dump, tipped, back)
    per_step = (loads, waiting, at_loader, on_road, stood, waited)
    if len(times) < 2 or any(len(column) != len(times) for column in per_step):
        raise DrawingRefused("a fleet by the clock needs two steps at least, and the same figures of each")
    count, places = round(max(r.truck.si for r in made)), round(loaders)
    build = build_of(truck_build)
    most_waiting = max(round(w.si) for w in waiting)
    most = max(stood[-1], waited[-1], times[-1], key=lambda m: m.si)
    frames = []
    for k, time in enumerate(times):
        now = time.si + 1e-6  # what happens at this very moment has happened
        canvas = Canvas(ident, title="The trucks and the loader by the clock", desc="One step, from above.", steady=True)
        plan = _Plan.of(canvas, count, places, most_waiting)
        plan.ground(haul_distance)
        loaded = plan.trucks(made, now, haul_time.si, return_time.si, build)
        canvas.skip(2)
        for name, so_far, fill in (("Loader has stood: ", stood[k], "dots"), ("Trucks have waited, all together: ", waited[k], "stripe")):
            canvas.note(join(name, so_far), bold=True)
            bar = canvas.view((0, 0, 100, 3), pad=(1, 2, 1, 0), scale="bars")
            if so_far.si > 0:
                bar.bar((0, 0), (100 * so_far.si / most.si, 3), _FILLS[fill], so_far)
            bar.rect(0, 0, 100, 3, pen="thin")
        canvas.note(join("A whole bar is ", most, "."))
        canvas.key_starts()
        canvas.legend([("spoil", "A loaded truck. The others are empty")])
        canvas.note(
            "Along the road each truck stands where it is at that time. The machines are sketches, not to scale, and so is how a truck stands to be loaded."
        )
        backing = [r for r in loaded if now < r.loading]
        digging = [r for r in loaded if now >= r.loading]
        doing: list[Text] = [
            *_some(digging, " is being loaded. ", " are being loaded. "),
            *_some(backing, " pulls in. ", " pull in. "),
        ]
        free = places - len(loaded)
        if free:
            doing.append("The loader stands, with no truck. " if places == 1 else "A loader stands, with no truck. ")
        says = join(
            "After ", time, ": ", *doing, "Waiting: ", waiting[k], ". On the road or at the dump: ", on_road[k],
            ". Loads sent off: ", loads[k], ".",
        )  # fmt: skip
        named = digging[:_NAMED] + backing[:_NAMED]
        frames.append(
            Frame(canvas, says, (time, *(c[k] for c in (loads, waiting, on_road, stood, waited)), most, *(r.truck for r in named)))
        )
    return Film(
        ident,
        title="The trucks and the loader by the clock",
        desc=both(
            f"From above: {count} trucks go round between a loader and a dump, ", haul_distance, " apart. In ", times[-1],
            " they take ", loads[-1], " loads. The loader stands for ", stood[-1], ", and all trucks together wait for ", waited[-1], ".",
        ),
        frames=frames,
    )  # fmt: skip


def truck_round(
    *,
    ident: str,
    truck_numbers: Sequence[Measure],
    came: Sequence[Measure],
    backs_up: Sequence[Measure],
    loading_starts: Sequence[Measure],
    full: Sequence[Measure],
    at_dump: Sequence[Measure],
    tipped: Sequence[Measure],
    back: Sequence[Measure],
    haul_distance: Measure,
    haul_time: Measure,
    return_time: Measure,
    loaders: float = 1,
    truck_build: str | None = None,
) -> Film:
    """Draw the round of truck 1 in four steps: it is loaded, hauls, tips and comes back, with all others where they are then.

    All as of `rounds_film`.
    """
    positive(haul_distance=haul_distance, haul_time=haul_time, return_time=return_time)
    made = _rounds(truck_numbers, came, backs_up, loading_starts, full, at_dump, tipped, back)
    own = [r for r in made if r.truck.si == 1 and r.backs == 0 and r.full > 0]
    if not own:
        raise DrawingRefused("truck 1 is not loaded in what the clock shows")
    one = own[0]
    count, places = round(max(r.truck.si for r in made)), round(loaders)
    stages = (
        (" is being loaded.", one.loading, one.full),
        (" is on its way to the dump.", one.full, one.there),
        (" tips its load.", one.there, one.tipped),
        (" comes back empty.", one.tipped, one.back),
    )
    frames = []
    for says, start, stop in stages:
        canvas = Canvas(ident, title="The round of a truck", desc="One step, from above.", steady=True)
        plan = _Plan.of(canvas, count, places, max(sum(r.came <= (a + b) / 2 < r.backs for r in made) for _, a, b in stages))
        plan.ground(haul_distance)
        plan.trucks(made, (start + stop) / 2, haul_time.si, return_time.si, build_of(truck_build))
        frames.append(Frame(canvas, join("Truck ", one.truck, says), (one.truck, haul_distance)))
    return Film(
        ident,
        title="The round of a truck",
        desc=both("From above: a truck is loaded, hauls, tips and comes back. Loader and dump are ", haul_distance, " apart."),
        frames=frames,
    )


_NAMED = 3  # so many trucks at the loaders are named
_FILLS: dict[str, Fill] = {"dots": "dots", "stripe": "stripe"}


def _some(trucks: Sequence[_Round], one: str, several: str) -> list[Text]:
    """The sentence on some trucks: their numbers, or of many the first of them."""
    named: list[Text] = []
    for k, r in enumerate(trucks[:_NAMED]):
        named += [", " if k else ("Truck " if len(trucks) == 1 else "Trucks "), r.truck]
    if len(trucks) > _NAMED:
        named.append(" and more")
    return [*named, one if len(trucks) == 1 else several] if trucks else []


@dataclass
class _Plan:
    """Where all stands in a step: the loader at the left, the dump at the right, in units of the viewBox."""

    view: View
    wide: float
    truck_long: float
    lanes: tuple[float, float]
    row: int
    places: int
    waits: bool
    numbered: list[Point] = field(default_factory=list)

    @classmethod
    def of(cls, canvas: Canvas, count: int, places: int, waiting: int) -> _Plan:
        """Lay it out for so many trucks, loaders and trucks that wait at most."""
        wide = canvas.width - 16
        long = 46.0 if count <= 6 else 34.0 if count <= 12 else 24.0 if count <= 24 else 16.0
        row = max(int((wide - 10) // (1.9 * long)), 1)
        rows = math.ceil(waiting / row)
        low = (62 if rows else 24) + 1.3 * long * rows
        tall = low + 3.2 * long + 46 + 1.2 * long * max(places - 1, 0)
        view = canvas.view((0, 0, wide, tall), pad=(4, 2, 4, 2), max_height=tall + 1, scale="bars")
        return cls(view, wide, long, (low + 2.3 * long, low + 0.7 * long), row, places, rows > 0)

    @property
    def ends(self) -> tuple[float, float]:
        """Where the road begins and ends across."""
        return 3.8 * self.truck_long, self.wide - 1.2 * self.truck_long

    def ground(self, distance: Measure) -> None:
        """Draw the road, the dump and the place where trucks wait, with their names."""
        (x0, x1), (top, low), long = self.ends, self.lanes, self.truck_long
        for y in self.lanes:
            for side in (-0.42, 0.42):
                self.view.line((x0, y + side * long), (x1, y + side * long), pen="thin")
        self.view.line((x1, low - 0.42 * long), (x1, top + 0.42 * long), pen="bold")
        self.view.fixed_text((x1 - 62, top + 0.42 * long + 52), "Dump", bold=True)
        self.view.fixed_text((x0 - 0.4 * long, top + 0.42 * long + 52), join("Road ", distance, ", loaded"))
        self.view.fixed_text((x0 - 0.4 * long, low - 0.46 * long), "Back empty")
        if self.places == 1:
            self.view.fixed_text((0, top + 0.42 * long + 52), "Loader", bold=True)
        if self.waits:
            self.view.fixed_text((0, low - 0.46 * long), "Waiting", bold=True)

    def trucks(self, made: Sequence[_Round], now: float, haul: float, home: float, build: str) -> list[_Round]:
        """Draw the loaders, and every truck where it is at a moment; return those that stand at a loader."""
        here = sorted((r for r in made if r.came <= now < r.back), key=lambda r: r.truck.si)
        queue = sorted((r for r in here if now < r.backs), key=lambda r: (r.came, r.truck.si))
        loaded = sorted((r for r in here if r.backs <= now < r.full), key=lambda r: (r.backs, r.truck.si))
        for place in range(self.places):
            self.loader(place)
        for i, r in enumerate(loaded):
            self.truck(r, self.place(i), 0.0, build=build, load=False)
        for i, r in enumerate(queue):
            self.truck(r, self.queue(i), 0.0, build=build, load=False)
        for r in here:
            if r.full <= now < r.there:
                self.truck(r, self.out(1 - (r.there - now) / haul), 0.0, build=build, load=True)
            elif r.there <= now < r.tipped:
                self.truck(r, self.dump, math.pi / 2, build=build, load=True)
            elif r.tipped <= now < r.back:
                self.truck(r, self.home(1 - (r.back - now) / home), math.pi, build=build, load=False)
        return loaded

    def place(self, i: int) -> Point:
        """Where the truck stands that is loaded by loader `i`."""
        return 2.3 * self.truck_long, self.lanes[0] + 1.2 * self.truck_long * i

    def loader(self, i: int) -> None:
        """Draw an excavator beside its place."""
        long = self.truck_long
        x, y = self.place(i)
        excavator_plan(
            self.view, (x - 1.8 * long, y), length=0.8 * long, width=0.66 * long, shoe=0.15 * long, angle=0.0, look=0.0,
            pin=1.2 * long, tail=0.5 * long, bucket_length=0.3 * long, sized=False,
        )  # fmt: skip

    def queue(self, i: int) -> Point:
        """Where the truck stands that is `i`-th to wait, the next one to be loaded first."""
        line, at = divmod(i, self.row)
        return 0.8 * self.truck_long + at * 1.9 * self.truck_long, self.lanes[
            1
        ] - 0.75 * self.truck_long - 52 - line * 1.3 * self.truck_long

    def out(self, share: float) -> Point:
        """Where a loaded truck is after so much of the road."""
        x0, x1 = self.ends
        return x0 + share * (x1 - x0), self.lanes[0]

    def home(self, share: float) -> Point:
        """Where an empty truck is after so much of the way back."""
        x0, x1 = self.ends
        return x1 - share * (x1 - x0), self.lanes[1]

    @property
    def dump(self) -> Point:
        """Where a truck tips."""
        return self.ends[1] + 0.6 * self.truck_long, (self.lanes[0] + self.lanes[1]) / 2

    def truck(self, r: _Round, at: Point, way: float, *, build: str, load: bool) -> None:
        """Draw a truck with its number."""
        long = self.truck_long
        truck_plan(
            self.view, at, body=0.62 * long, width=0.46 * long, way=way, full=load, sized=False, build=build_of(build), detail="plain"
        )
        if long >= 30:  # the number stands beside the truck, so that its load is seen
            x, y = at
            up = y - 0.5 * long - 6 if way == math.pi / 2 else y + 0.44 * long + 6
            if all(math.dist((x, up), other) > 30 for other in self.numbered):  # trucks side by side: the first is named
                self.view.badge((x, up), r.truck.us)
                self.numbered.append((x, up))


def by_the_clock(
    *,
    ident: str,
    shown_time: Measure,
    truck_count: Measure,
    truck_numbers: Sequence[Measure],
    came: Sequence[Measure],
    backs_up: Sequence[Measure],
    full: Sequence[Measure],
    back: Sequence[Measure],
    more_count: Measure | None = None,
    more_numbers: Sequence[Measure] | None = None,
    more_came: Sequence[Measure] | None = None,
    more_backs_up: Sequence[Measure] | None = None,
    more_full: Sequence[Measure] | None = None,
    more_back: Sequence[Measure] | None = None,
) -> Canvas:
    """Draw what the loader and each truck of a fleet do, as bars along the clock; of two fleets, one below the other.

    The sequences have one figure a round: the truck's number, and when it comes to the loader, backs up,
    is full and is back, in seconds; `shown_time` is how long the clock runs. `more_…` are the same
    of a second fleet.
    """
    positive(shown_time=shown_time)
    fleets = [(truck_count, _spans(truck_numbers, came, backs_up, full, back))]
    if more_count and more_numbers and more_came and more_backs_up and more_full and more_back:
        fleets.append((more_count, _spans(more_numbers, more_came, more_backs_up, more_full, more_back)))
    canvas = Canvas(
        ident,
        title="The loader and the trucks by the clock",
        desc=both(
            "Bars along a clock of ", shown_time, ". ",
            *[part for many, spans in fleets for part in _told(many, spans)],
        ),
    )  # fmt: skip
    scale = canvas.width - 8 - 86
    for many, spans in fleets:
        rows = min(round(many.si), MOST_ROWS)
        pitch = 26.0
        tall = 30 + pitch * (rows + 1)
        canvas.note(join(many, " trucks"), bold=True)
        view = canvas.view((0, 0, canvas.width - 8, tall - 30), pad=(0, 2, 0, 2), max_height=tall, scale="bars")
        top = tall - 30

        def draw(y: float, start: float, stop: float, fill: Fill, view: View = view) -> None:
            a, b = (min(max(t, 0.0), shown_time.si) for t in (start, stop))
            if b - a > 1e-3 * shown_time.si:
                view.rect(86 + scale * a / shown_time.si, y, 86 + scale * b / shown_time.si, y + 18, pen="thin", fill=fill)

        y = top - 22
        view.fixed_text((0, y + 19), "Loader", bold=True)
        view.rect(86, y, 86 + scale, y + 18, pen="line", fill="none")
        for _, _, backs, full_, _ in spans:
            draw(y, backs, full_, "dark")
        for k in range(1, rows + 1):
            y = top - 22 - pitch * k
            view.fixed_text((0, y + 19), f"Truck {k}")
            view.rect(86, y, 86 + scale, y + 18, pen="thin", fill="none")
            for truck, came_, backs, full_, back_ in spans:
                if round(truck) == k:
                    draw(y, came_, backs, "cross")
                    draw(y, backs, full_, "dark")
                    draw(y, full_, back_, "shade")
        if round(many.si) > rows:
            canvas.note("The first trucks have a row each. The others go on in the same way.")
    canvas.note(join("From left to right: ", shown_time, ". All bars are drawn to one scale of time."))
    canvas.legend([("dark", "At the loader"), ("shade", "On the road or at the dump"), ("cross", "Waits for the loader"),
                   ("none", "In the loader's row: it stands, with no truck")])  # fmt: skip
    return canvas


_Span = tuple[float, float, float, float, float]


def _spans(*columns: Sequence[Measure]) -> list[_Span]:
    if any(len(column) != len(columns[0]) for column in columns):
        raise DrawingRefused("a fleet needs the same figures of every round")
    return [(a.si, b.si, c.si, d.si, e.si) for a, b, c, d, e in zip(*columns, strict=True)]


def _told(many: Measure, spans: Sequence[_Span]) -> tuple[Text, ...]:
    """What is seen of a fleet, as a sentence."""
    waits = any(backs - came > 1 for _, came, backs, _, _ in spans)
    return ("With ", many, " trucks some wait for the loader. " if waits else " trucks none waits for the loader. ")
