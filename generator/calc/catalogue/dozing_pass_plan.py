"""Emptying a slot pass by pass, front to back and back to front, on the same cut.

The ground along the slot is followed as a profile of cut depths; every pass takes soil out of
it and puts the same soil, swollen, on the spoil pile, whose ramp the next pass climbs. Distances
along the slot are measured from its spoil end.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import accumulate

from generator.calc.catalogue.dozing_spoil import FAR_SIDE, REPOSE, side_run, spoil_height
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Step, Value
from generator.language.words import said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, up
from generator.units.table import System

MOST_PASSES = 2000
JOB_FACTORS, SLOT_ROW = "dozer-job-factors", ("slot dozing", "track-type")
FAR_END, NEXT_START = "far end", "next start"

SLOT = (
    Input("slot_length", "L", "length", "the length of the slot", low="3 ft", high="2000 ft",
          example_us="200 ft", example_metric="60 m"),
    Input("slot_width", "W", "length", "the width of the slot, near the blade's width", low="3 ft",
          high="40 ft", example_us="12 ft", example_metric="4 m"),
    Input("slot_depth", "D", "length", "the depth of the slot", low="1 in", high="12 ft",
          example_us="3 ft", example_metric="1 m"),
)  # fmt: skip
SWELL = Input(
    "swell", "s", "fraction", "how much the soil swells when it is dug", low="0%", high="120%",
    example_us="25%", example_metric="25%",
)  # fmt: skip
BLADE_LOAD = Input(
    "blade_load", "V_blade", "loose_volume", "what the blade carries, loose", low="0.1 yd3",
    high="100 yd3", work_us="ft3", example_us="8 lcy", example_metric="6 lcm",
)  # fmt: skip
CARRY = Input(
    "carry", "k", "fraction", "the part of the load still ahead of the blade at the dump",
    low="20%", high="100%", example_us="90%", example_metric="90%",
)  # fmt: skip
BOX = Source(None, "geometry: the slot as a box", "derived")

SLOT_PASSES = Formula(
    id="dozing.slot_passes",
    title="Blade loads to empty a slot",
    words="The loose volume of the slot, divided by what reaches the dump in one push, to the next whole push.",
    written="round_up(slot_length * slot_width * slot_depth * (1 + swell) / (blade_load * carry))",
    result=Output("n", "count", "passes", rounding="rounded up: the last load may be part full"),
    inputs=(*SLOT, SWELL, BLADE_LOAD, CARRY),
    source=BOX,
    limits="The slot is counted as a box; the ramps in and out at its ends are left out. Soil "
    "spilled on the way is picked up by later passes.",
)

PUSHES = Formula(
    id="dozing.pushes",
    title="Pushes to move loose soil",
    words="The loose volume divided by what one push brings, to the next whole push.",
    written="round_up(loose_volume / blade_load)",
    result=Output("n", "count", "pushes", rounding="rounded up: the last load may be part full"),
    inputs=(
        Input("loose_volume", "V", "loose_volume", "the soil to move, loose", low="0.1 yd3",
              high="1000000 yd3", example_us="200 lcy", example_metric="150 lcm"),
        Input("blade_load", "V_blade", "loose_volume", "what one push brings to the dump, loose",
              low="0.01 yd3", high="100 yd3", example_us="8 lcy", example_metric="6 lcm"),
    ),
    source=Source(None, "loads of one size", "derived"),
    limits="Every load alike. What is spilled on the way is not brought.",
)  # fmt: skip

BANK_VOLUME = Formula(
    id="dozing.slot_volume",
    title="Bank volume of the slot",
    words="Length times width times depth.",
    written="slot_length * slot_width * slot_depth",
    result=Output("V_bank", "bank_volume", "bank volume of the slot", work_us="ft3"),
    inputs=SLOT,
    source=BOX,
    limits="The slot is counted as a box.",
)

SPOIL_VOLUME = Formula(
    id="dozing.slot_spoil",
    title="Spoil from the slot",
    words="The bank volume and what it swells.",
    written="bank_volume * (1 + swell)",
    result=Output("V_loose", "loose_volume", "spoil, loose"),
    inputs=(
        Input("bank_volume", "V_bank", "bank_volume", "the bank volume of the slot",
              low="0.01 yd3", high="1000000 yd3", example_us="270 bcy", example_metric="240 bcm"),
        SWELL,
    ),
    source=Source(None, "what swell means", "derived"),
    limits="All of the soil ends up in the pile.",
)  # fmt: skip

NET_LOAD = Formula(
    id="dozing.net_load",
    title="What one push takes out of the cut",
    words="The load that reaches the dump, as bank volume.",
    written="blade_load * carry / (1 + swell)",
    result=Output("V_net", "bank_volume", "bank volume a push"),
    inputs=(
        Input("blade_load", "V_blade", "loose_volume", BLADE_LOAD.meaning, low=BLADE_LOAD.low,
              high=BLADE_LOAD.high, example_us="8 lcy", example_metric="6 lcm"),
        CARRY,
        SWELL,
    ),
    source=Source(None, "what swell means", "derived"),
    limits="Soil lost on the way stays in the slot and is counted with a later push.",
)  # fmt: skip

SLICE_LENGTH = Formula(
    id="dozing.slice_length",
    title="How far each start moves back",
    words="The bank volume of a push, divided by the slot's width and depth.",
    written="net_load / (slot_width * slot_depth)",
    result=Output("x", "length", "length of slot a push"),
    inputs=(
        Input("net_load", "V_net", "bank_volume", "the bank volume a push takes", low="0.005 yd3",
              high="100 yd3", work_us="ft3", example_us="6.4 bcy", example_metric="5 bcm"),
        *SLOT[1:],
    ),
    source=BOX,
    limits="Full depth in one push, working from the spoil backward.",
)  # fmt: skip


@dataclass
class Profile:
    """Cut depth along the slot: pieces ``(from, to, depth)`` [m], in order, without gaps."""

    length: float
    pieces: list[tuple[float, float, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        if not self.pieces:
            self.pieces = [(0.0, self.length, 0.0)]

    def cut(self, start: float, end: float, depth: float) -> float:
        """Cuts ``start`` to ``end`` down to ``depth``; the area [m²] taken out."""
        area, after = 0.0, []
        for a, b, d in self.pieces:
            low, high = max(a, start), min(b, end)
            if high <= low or d >= depth:
                after.append((a, b, d))
                continue
            area += (high - low) * (depth - d)
            for piece in ((a, low, d), (low, high, depth), (high, b, d)):
                if piece[1] > piece[0]:
                    after.append(piece)
        # neighbours of one depth become one piece, so the list stays short
        joined: list[tuple[float, float, float]] = []
        for a, b, d in after:
            if joined and abs(joined[-1][2] - d) <= 1e-12:
                joined[-1] = (joined[-1][0], b, joined[-1][2])
            else:
                joined.append((a, b, d))
        self.pieces = joined
        return area

    def area(self, end: float | None = None) -> float:
        """Area [m²] cut so far between the spoil end and ``end`` (all of it by default)."""
        stop = self.length if end is None else end
        return sum((min(b, stop) - a) * d for a, b, d in self.pieces if a < stop)


@dataclass(frozen=True, slots=True)
class Pass:
    """One pass, in metres: where it starts to cut, how deep, and what it drives and climbs."""

    number: int
    start: float
    depth: float
    push: float  # loaded, to the top of the ramp
    light: float  # forward, before it starts to cut
    reverse: float
    grade: float  # mean grade pushed against
    ramp_height: float  # after this pass
    bank: float  # m³ taken out of the cut
    loose: float  # m³ put on the pile


@dataclass(frozen=True)
class Plan:
    """All passes of one way of working."""

    passes: tuple[Pass, ...]
    profile: Profile
    seconds: float

    @property
    def loaded(self) -> float:
        """Distance pushed loaded [m]."""
        return sum(p.push for p in self.passes)

    @property
    def reverse(self) -> float:
        """Distance driven in reverse [m]."""
        return sum(p.reverse for p in self.passes)

    @property
    def spoil(self) -> float:
        """Loose volume on the pile [m³]."""
        return sum(p.loose for p in self.passes)


@dataclass(frozen=True, slots=True)
class Setting:
    """The inputs of a plan in SI."""

    length: float
    width: float
    depth: float
    load: float
    swell: float
    ratio: float
    far_ratio: float
    pile_width: float  # of the top, on which the machine drives
    carry: float
    open_carry: float
    ground_grade: float
    load_distance: float
    push_speed: float
    return_speed: float
    fixed_time: float
    far_end: bool
    side: float = 0.0  # run of the pile's loose sides for each one of rise

    def height(self, loose: float) -> float:
        """Height [m] of the pile of ``loose`` m³."""
        return spoil_height(loose, self.pile_width, self.ratio, self.far_ratio, self.side)

    def net_area(self, carry: float) -> float:
        """Area [m²] of the long section that one full push takes."""
        return self.load * carry / (1 + self.swell) / self.width

    def grade(self, start: float, depth: float, height: float) -> float:
        """Mean grade from the bite to the top of the ramp, no steeper than the ramp itself."""
        climb = depth + height + self.ground_grade * start
        steepest = max(1 / self.ratio, self.ground_grade)
        return min(climb / (start + self.ratio * height), steepest)


def front_to_back(s: Setting) -> Plan:
    """Starts nearest the spoil; each pass takes the next slice at full depth. Two thousand
    passes at most (CalculationError)."""
    profile = Profile(s.length)
    bites: list[tuple[float, float, float]] = []
    done, slice_length = 0.0, s.net_area(s.carry) / s.depth
    _countable(s.length / slice_length)
    while s.length - done > 1e-9 * slice_length:
        start = min(done + slice_length, s.length)
        bites.append((start, s.depth, profile.cut(done, start, s.depth)))
        done = start
    return _driven(s, profile, bites, far_end=False)


def back_to_front(s: Setting) -> Plan:
    """Takes the slot down in layers, each begun at the far end.

    A layer is so thick that full loads, each filled over the load distance, just take it off;
    what is left at the end is a thinner one. How much of a load arrives grows from
    ``open_carry`` to ``carry`` as the cut ahead of the blade grows to the slot's depth. Two
    thousand passes at most (CalculationError).
    """
    loads_a_layer = up(s.length / min(s.load_distance, s.length))
    _countable(s.length * s.depth / s.net_area(s.carry))
    profile = Profile(s.length)
    bites: list[tuple[float, float, float]] = []
    reached = 0.0
    while s.depth - reached > 1e-9 * s.depth:
        walls = min(profile.area() / (s.length * s.depth), 1.0)
        net = s.net_area(s.open_carry + (s.carry - s.open_carry) * walls)
        thick = min(loads_a_layer * net / s.length, s.depth - reached)
        reached += thick
        bite = net / thick
        count = up(s.length / bite)
        _countable(len(bites) + count)
        for i in range(count):
            back, front = s.length - i * bite, max(s.length - (i + 1) * bite, 0.0)
            bites.append((back, reached, profile.cut(front, back, reached)))
    return _driven(s, profile, bites, far_end=s.far_end)


def _countable(passes: float) -> None:
    if passes > MOST_PASSES:
        raise CalculationError(
            said("this slot would take more than {number} passes", number=MOST_PASSES),
            "check the slot's size and the blade load, or plan a shorter slot",
            about=("slot_length", "slot_width", "slot_depth", "blade_load"),
        )


def _driven(s: Setting, profile: Profile, bites: list[tuple[float, float, float]], *, far_end: bool) -> Plan:
    """Drives the bites ``(start, depth, area)`` in order, and grows the pile."""
    passes: list[Pass] = []
    loose, seconds = 0.0, 0.0
    for i, (start, depth, area) in enumerate(bites):
        height = s.height(loose)
        ramp = s.ratio * height
        bank = area * s.width
        loose += bank * (1 + s.swell)
        stand = s.length if far_end else start
        # after the last pass it backs to where that pass began
        back_to = s.length if far_end else bites[min(i + 1, len(bites) - 1)][0]
        push, light, reverse = start + ramp, stand - start, back_to + ramp
        seconds += push / s.push_speed + (light + reverse) / s.return_speed + s.fixed_time
        passes.append(
            Pass(
                i + 1, start, depth, push, light, reverse, s.grade(start, depth, height),
                s.height(loose), bank, bank * (1 + s.swell),
            )
        )  # fmt: skip
    return Plan(tuple(passes), profile, seconds)


def setting(given: Mapping[str, Quantity | str], tables: Tables) -> Setting:
    """The plan's inputs in SI from quantities (complete, ranges checked).

    Without ``open_carry``, open ground brings as much less as the published factor for slot
    dozing says. Raises CalculationError where the plan would be unsafe or makes no sense.
    """

    def si(name: str) -> float:
        q = given[name]
        assert isinstance(q, Quantity)
        return q.si

    if si("slot_depth") > si("blade_height") * (1 + 1e-9):
        raise CalculationError(
            "the slot is deeper than the blade is high, and its walls may fall on the machine",
            "plan a slot no deeper than the blade's height, and a second slot below it later",
            about=("slot_depth", "blade_height"),
        )
    if "blade_width" in given and si("blade_width") > si("slot_width") * (1 + 1e-9):
        raise CalculationError(
            said("a blade {blade} wide does not fit a slot {slot} wide", blade=given["blade_width"], slot=given["slot_width"]),
            "plan the slot at least as wide as the blade, or take a narrower machine",
            about=("blade_width", "slot_width"),
        )
    if "open_carry" in given:
        open_carry = si("open_carry")
    else:
        open_carry = si("carry") / tables[JOB_FACTORS].cell(*SLOT_ROW).middle
    if open_carry > si("carry") * (1 + 1e-9):
        raise CalculationError(
            "open_carry is above carry", "walls keep more of a load: give carry the higher share", about=("open_carry", "carry")
        )
    side = side_run(si("repose"))
    return Setting(
        length=si("slot_length"), width=si("slot_width"), depth=si("slot_depth"),
        load=si("blade_load"), swell=si("swell"), ratio=si("spoil_ratio"),
        far_ratio=max(si("far_side_ratio"), side),  # never steeper than loose ground lies
        pile_width=si("spoil_width") if "spoil_width" in given else si("slot_width"),
        carry=si("carry"), open_carry=open_carry, ground_grade=si("ground_grade"),
        load_distance=si("load_distance"), push_speed=si("push_speed"),
        return_speed=si("return_speed"), fixed_time=si("fixed_time"),
        far_end=given["back_up_to"] == FAR_END, side=side,
    )  # fmt: skip


_COLUMNS = (
    Column("Pass", "count"),
    Column("Starts from the spoil end", "length"),
    Column("Depth", "length"),
    Column("Push, loaded", "length", total=True),
    Column("Reverse", "length", total=True),
    Column("Reversed so far", "length"),
    Column("Mean grade pushed against", "grade"),
    Column("Height of the spoil after it", "length"),
)


def _rows(title: str, plan: Plan) -> Rows:
    so_far = accumulate(p.reverse for p in plan.passes)
    return Rows(
        title,
        _COLUMNS,
        tuple(
            (p.number, p.start, p.depth, p.push, p.reverse, reversed_, p.grade, p.ramp_height)
            for p, reversed_ in zip(plan.passes, so_far, strict=True)
        ),
    )


def _pass_plan(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    s = setting(inputs, tables)
    front, back = front_to_back(s), back_to_front(s)
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}

    def some(*names: str) -> dict[str, Quantity | From]:
        return {name: given[name] for name in names}

    steps: list[Step] = [
        Applied("bank", BANK_VOLUME, some("slot_length", "slot_width", "slot_depth")),
        Applied("spoil", SPOIL_VOLUME, {"bank_volume": From("bank"), **some("swell")}),
        Applied("net", NET_LOAD, some("blade_load", "carry", "swell")),
        Applied("slice", SLICE_LENGTH, {"net_load": From("net"), **some("slot_width", "slot_depth")}),
        Applied("passes", SLOT_PASSES, some("slot_length", "slot_width", "slot_depth", "swell",
                                            "blade_load", "carry")),
        Note("Front to back: start nearest the spoil and work back. Every push runs in the "
             "finished slot."),
        _rows("Front to back", front),
        Note("Back to front: the same cut in layers from the far end. The walls are low at first, "
             "so part of the load is lost."),
        _rows("Back to front", back),
    ]  # fmt: skip
    both = (("", front, said("front to back")), ("_back_to_front", back, said("back to front")))
    last = front.passes[-1]
    values: dict[str, Value] = {}
    for tail, plan, words in both:
        values[f"passes{tail}"] = Value(
            float(len(plan.passes)), "count", said("passes, {words}", words=words),
            rounding="rounded up: the last load may be part full",
        )  # fmt: skip
        values[f"loaded_distance{tail}"] = Value(plan.loaded, "length", said("distance loaded, {words}", words=words))
        values[f"reverse_distance{tail}"] = Value(plan.reverse, "length", said("distance in reverse, {words}", words=words))
        values[f"hours{tail}"] = Value(plan.seconds, "time", said("driving time without a stop, {words}", words=words), us="h", metric="h")
        mean = sum(p.grade * p.push for p in plan.passes) / plan.loaded
        values[f"mean_grade{tail}"] = Value(mean, "grade", said("mean grade pushed against, {words}", words=words))
    bank = sum(p.bank for p in front.passes)
    values |= {
        "reverse_saving": Value(
            1 - front.reverse / back.reverse, "fraction", "reverse travel saved by front to back"
        ),
        "bank_volume": Value(bank, "bank_volume", "bank volume cut"),
        "spoil_volume": Value(front.spoil, "loose_volume", "spoil, loose"),
        "spoil_height": Value(last.ramp_height, "length", "height of the finished spoil"),
        "ramp_length": Value(s.ratio * last.ramp_height, "length", "length of the finished ramp, level"),
        "spoil_area": Value(
            (s.ratio + s.far_ratio) * last.ramp_height**2 / 2, "area", "area of the finished spoil from the side"
        ),
        "far_run": Value(s.far_ratio, "ratio", "run of the far side for each one of rise"),
        "slice_length": Value(
            s.net_area(s.carry) / s.depth, "length", "how far each start moves back"
        ),
        "depth_share": Value(
            s.depth / given["blade_height"].si, "fraction", "slot depth as a part of the blade height"
        ),
    }  # fmt: skip
    return Outcome("passes", values, tuple(steps))


def _default(i: Input, default: str) -> Input:
    return Input(
        i.name, i.symbol, i.kind, i.meaning, i.low, i.high, default, i.work_us, i.work_metric,
        i.example_us, i.example_metric,
    )  # fmt: skip


PASS_PLAN = Procedure(
    id="dozing.pass_plan",
    title="Plan of the passes in a slot",
    words="Start nearest the spoil and work back. Each pass takes the next slice at full depth, "
    "and the spoil ramp grows.",
    inputs=(
        *SLOT,
        Input("blade_height", "H", "length", "the height of the blade", low="0.5 ft", high="12 ft",
              example_us="4 ft", example_metric="1.3 m"),
        Input("blade_width", "B", "length", "the width of the blade; left out, whether it fits the slot is not looked at",
              low="2 ft", high="40 ft", default="", example_us="12 ft", example_metric="4 m"),
        BLADE_LOAD,
        SWELL,
        Input("spoil_ratio", "r", "ratio", "the spoil ramp's run for each one of rise", low="1:1",
              high="12:1", work_us="1", work_metric="1", example_us="3:1", example_metric="3:1"),
        FAR_SIDE,
        Input("spoil_width", "W_spoil", "length", "the width of the spoil's top, on which the "
              "machine drives; left out, as wide as the slot", low="3 ft", high="1000 ft", default="", example_us="24 ft",
              example_metric="8 m"),
        REPOSE,
        _default(CARRY, "100%"),
        Input("open_carry", "k_open", "fraction", "the part of a load that arrives where there are "
              "no walls; left out, the published factor for slot dozing gives it", low="10%",
              high="100%", default="", example_us="83%",
              example_metric="83%"),
        Input("ground_grade", "G", "grade", "the grade of the ground toward the spoil, above zero "
              "uphill", low="-40%", high="25%", default="0%", example_us="0%", example_metric="0%"),
        Input("load_distance", "d_load", "length", "how far it takes to fill the blade in a thin "
              "layer", low="3 ft", high="300 ft", default="40 ft", example_us="40 ft",
              example_metric="12 m"),
        Input("push_speed", "v_push", "speed", "the speed pushing", low="0.2 mph", high="10 mph",
              default="2.5 mph", example_us="2.5 mph", example_metric="4 km/h"),
        Input("return_speed", "v_return", "speed", "the speed in reverse, and forward without a "
              "load", low="0.2 mph", high="15 mph", default="5 mph", example_us="5 mph",
              example_metric="8 km/h"),
        Input("fixed_time", "t_fixed", "time", "the time to shift and set the blade, a pass",
              low="0 min", high="5 min", default="0.05 min", example_us="0.05 min",
              example_metric="0.05 min"),
        Choice("back_up_to", "how far one backs up when working back to front",
               (FAR_END, NEXT_START), FAR_END),
    ),
    source=COMMON_PRACTICE,
    also=(Source("dozing-article-2010", "load distance, and less reverse travel front to back"),
          Source("dozer-job-factors", "factor for slot dozing")),
    limits="A picture of the work, not a promise. The slot is counted as a box, and the short "
    "ramps at its ends are left out. Back to front, the same cut is taken in layers and the "
    "operator backs up to the far end each time, unless told otherwise; low walls lose more soil. So the saving "
    "is a high one: a trade article counted 38 % less reverse in a 240 ft slot. Spilled soil is "
    "picked up later. The pile stands on level ground, and its sides lie at the angle of repose. Distances are level, "
    "times are driving without a stop. Walls can fall: never deeper than the blade is high, and the "
    "competent person decides.",
    run=_pass_plan,
    tables=(JOB_FACTORS,),
)  # fmt: skip
