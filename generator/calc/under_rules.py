"""The calculations as other rules than those of the United States have them.

A figure of law stands in a calculation in three ways: in a published table it reads, in a constant, or in its words. Under
other rules the first two are the site's own, where it gives them, or the calculation is withheld; and of none the words
or the source name United States law.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from generator.calc.catalogue import Calculation
from generator.calc.catalogue.daily_heat import HEAT_DAY
from generator.calc.catalogue.hauling import LOADED_MASS, TIME_TO_BITE
from generator.calc.catalogue.lifting import NEAR, OF_CRANES, SHARE_OF_CHART
from generator.calc.catalogue.lines import COMMON_CLEARANCE
from generator.calc.catalogue.trench import SPOIL_FAR_TOE, area_of, spoil_pile_of, top_width_of, volume_of
from generator.calc.catalogue.trench_box import BOX_LIMITS, BOXES, box_set
from generator.calc.formula import COMMON_PRACTICE, Constant, Formula, Input, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.rules import US_FEDERAL, Rules
from generator.calc.steps import Applied, Column, Note, Outcome, Rows, Value
from generator.calc.tables import Table
from generator.language.words import Said, mark, said
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, shown
from generator.units.table import UNITS, System, from_si

# keys of sources that are law of the United States, or what an agency of theirs that looks after safety or roads says
_LAW = ("osha-", "msha-", "niosh-", "cal-", "cfr-", "wac-", "oregon-", "ca-14-", "nhtsa-", "fhwa-size-")
_LAW_TOO = frozenset({"one-call-laws", "drivers-handbook-cargo", "line-strike-guides", "pothole-guides", "timber-sale-road-spec"})
# tables whose figures rest on one, though their source is none
_TABLES_TOO = frozenset({"timber-pressures"})

# rows of the tables of single figures, as the site's own file names them
BERM, ALL, EACH, FEWEST = "of the height of the axle", "all together of the weight", "counted of each", "tie-downs at least"
CUP, EVERY = "a cup", "from one cup to the next"
REACH, BELOW, ABOVE = "farthest from a way out", "dig below the shield at most", "shield above the vertical part"
FIRST_DAYS = tuple(f"{who} on day {day}" for who in ("new", "back") for day in range(1, 6))


@dataclass(frozen=True, slots=True)
class Needs:
    """The topic of a site's own that can stand for the law a calculation rests on, none where no site's can; and of a table of
    single figures the rows it takes. Without one of these it is withheld, whatever else the table gives."""

    topic: str = ""
    rows: tuple[str, ...] = ()


_WALLS, _LINES, _BRAKES, _NONE = Needs("trench-walls"), Needs("lines"), Needs("brakes"), Needs()
RESTS_ON: Mapping[str, Needs] = {
    "trench.top_width": _WALLS, "trench.area": _WALLS, "trench.volume": _WALLS,
    "trench.layered_top_width": _NONE, "trench.layered_area": _NONE, "trench.distress_ratio": _NONE,
    "trench.boxes": Needs("trench-entry", (BELOW,)), "trench.box_set": Needs("trench-entry", (BELOW, ABOVE)), "trench.box_pressure": _NONE,
    "trench.ladders": Needs("trench-entry", (REACH,)),
    "lines.clearance": _LINES, "lines.travel_clearance": _LINES, "lines.excavator_clearance": _NONE, "lines.common_clearance": _NONE,
    "slopes.berm_height": Needs("berms", (BERM,)),
    "hauling.reaction_time": _BRAKES, "hauling.hold": _BRAKES,
    "moving.tie_down_total": Needs("tie-downs", (ALL,)), "moving.tie_downs": Needs("tie-downs", (ALL, EACH, FEWEST)),
    "daily.heat_day": Needs("heat", FIRST_DAYS), "daily.water": Needs("heat", (CUP, EVERY)), "daily.drink_rate": Needs("heat", (CUP, EVERY)),
}  # fmt: skip
TABLES: Mapping[str, str] = {
    "excavation-slopes": "trench-walls", "excavation-rules": "trench-entry", "trench-ladders": "trench-entry",
    "haul-brake-test": "brakes", "heat-first-days": "heat", "heat-water": "heat", "road-weights": "roads", "road-width": "roads",
}  # fmt: skip
"""Published tables that a site's own figures on a topic can stand for."""

LOCAL = mark("The rules where you work may ask for more.")
_WORDS: Mapping[str, Mapping[str, str]] = {
    "hauling.road_width": {"limits": mark("Guidance for mine roads, on the straight. Curves, and the long swing of a truck in them, take more. "
                                     "The site's plan goes before it.")},
    "hauling.dump_short": {"limits": mark("Where a crack or a sag is seen, count from it, not from the edge, and let a competent person say how far. "
                                     "It says nothing of how the slope holds.")},
}  # fmt: skip
# where the geometry, or the trade, is all there is to name without them
_PRACTICE = frozenset({"hauling.dump_short", "hauling.road_width", "grade.ratio", "lines.potholes"})


def is_law(key: str | None) -> bool:
    """Whether a key of ``sources.yml`` is law of the United States, or an agency's word on it."""
    return key is not None and (key.startswith(_LAW) or key in _LAW_TOO)


def law_table(table: Table) -> bool:
    """Whether a published table prints figures of United States law."""
    return table.id in _TABLES_TOO or is_law(table.source)


def withheld(id_: str, rules: Rules) -> bool:
    """Whether a calculation rests on figures of law that a set of rules has not."""
    return rules.name != US_FEDERAL and id_ in RESTS_ON and (RESTS_ON[id_].topic not in rules.own or bool(lacks(id_, rules)))


def lacks(id_: str, rules: Rules) -> tuple[str, ...]:
    """The rows of the site's own table for whose sake a calculation is withheld, though the site has the table."""
    needs = RESTS_ON.get(id_, _NONE)
    return tuple(row for row in needs.rows if row in rules.lacking.get(needs.topic, ()))


def lacks_cell(table: Table, row: str, column: str, rules: Rules) -> tuple[str, tuple[str, ...]] | None:
    """The topic and the rows of the site's own file, where its table has no figure there as its rule gives none."""
    topic = (table.source or "").removeprefix("own-")
    if topic not in rules.lacking or table.rows.get(row, {}).get(column) is not None:
        return None
    of = {"drink": {"cup": CUP}.get(column, EVERY)}.get(row, f"{column} on {row}" if table.id == "heat-first-days" else row)
    return (topic, (of,)) if of in rules.lacking[topic] else None


def under(calculation: Calculation, rules: Rules) -> Calculation:
    """The calculation as a set of rules has it. One that is withheld comes as it is."""
    if rules.name == US_FEDERAL or withheld(calculation.id, rules):
        return calculation
    needs = RESTS_ON.get(calculation.id)
    if needs is not None:
        return _own(calculation, rules, needs.topic, rules.tables)
    return _without_law(calculation)


def _without_law(calculation: Calculation) -> Calculation:
    """The same calculation, with neither source nor words of United States law."""
    also = tuple(s for s in calculation.also if not is_law(s.key))
    source = calculation.source
    if is_law(source.key):
        source = COMMON_PRACTICE if calculation.id in _PRACTICE else Source(None, mark("worked out from what its words say"), "derived")
    limits = calculation.limits
    for text, instead in _INSTEAD.items():
        limits = limits.replace(text, instead)
    limits = _WORDS.get(calculation.id, {}).get("limits", limits)
    if calculation.id in _SET_BACK:  # no figure of law as a default, nor as the least
        inputs = tuple(_back(i) if isinstance(i, Input) else i for i in calculation.inputs)
        calculation = replace(calculation, inputs=inputs)  # type: ignore[arg-type]
    if isinstance(calculation, Procedure) and calculation.id in _RUN:
        return replace(calculation, source=source, also=also, limits=limits, run=_RUN[calculation.id])
    if (source, also, limits) == (calculation.source, calculation.also, calculation.limits):
        return calculation
    return replace(calculation, source=source, also=also, limits=limits)


def _source(rules: Rules, topic: str) -> Source:
    return Source(f"own-{topic}", rules.own[topic].place)


def _number(tables: Tables, topic: str, row: str) -> str:
    """A figure of a table of single figures, as a constant is written."""
    table = tables[f"own-{topic}"]
    cell = table.cell(row, "figure")
    return f"{cell.text} {unit}" if (unit := table.row_units[row]) != "1" else cell.text


def _own(c: Calculation, rules: Rules, topic: str, tables: Tables) -> Calculation:
    source = _source(rules, topic)
    answers = said("{who} answers for it. The rules where you work may ask for more.", who=rules.own[topic].answers)
    if isinstance(c, Procedure):
        run, words, limits = _PROCEDURES[c.id]
        inputs = c.inputs
        if topic == "trench-walls":
            soils = tuple(tables["excavation-slopes"].rows)
            inputs = tuple(
                Choice("soil_type", mark("the soil type as a competent person classed it"), soils, default=soils[-1]) if i.name == "soil_type" else i
                for i in c.inputs if i.name != "open_time"
            )  # fmt: skip
        also = tuple(s for s in c.also if not is_law(s.key))
        return replace(c, inputs=inputs, source=source, also=also, run=run, words=words or c.words, limits=_both(limits, answers),
                       tables=_READS.get(c.id, c.tables))  # fmt: skip
    return _own_formula(c, source, answers, tables)


def _own_formula(c: Formula, source: Source, answers: str, tables: Tables) -> Formula:
    also = tuple(s for s in c.also if not is_law(s.key))

    def constant(name: str, topic: str, row: str) -> tuple[Constant, ...]:
        us, metric = _in_both(tables[f"own-{topic}"], row)
        return tuple(replace(k, us=us, metric=metric, source=source) if k.name == name else k for k in c.constants)

    if c.id == "trench.boxes":
        return replace(c, constants=constant("open_below", "trench-entry", BELOW), source=source, also=also,
                       limits=_both(said("Boxes of one height, joined as their maker's data says, which goes first."), answers))  # fmt: skip
    if c.id == "trench.ladders":
        return replace(c, constants=constant("ladder_reach", "trench-entry", REACH), source=source, also=also,
                       limits=_both(said("Where people are in the trench. One straight run, the ladders evenly spread with half a space at each "
                                          "end. Each ladder stands inside the protected part."), answers))  # fmt: skip
    if c.id == "slopes.berm_height":
        share = Constant("share", "p", "factor", mark("the share of that height the rule asks for"), us=_share(tables, "berms", BERM),
                         metric=_share(tables, "berms", BERM), source=source)  # fmt: skip
        return replace(c, words=mark("The height of the middle of the axle of the largest machine on the road, times the share the rule asks for."),
                       written="axle_height * share", constants=(share,), source=source, also=also,
                       limits=_both(said("A berm shows where the edge is and slows a wheel. It will not stop a runaway, and it holds only on "
                                          "ground that holds."), answers))  # fmt: skip
    if c.id == "hauling.hold":
        table = tables["haul-brake-test"]
        least = min(table.cell(row, "hold").low for row in table.rows)
        inputs = tuple(replace(i, default=f"{least:g}") if i.name == "brakes" else i for i in c.inputs)
        return replace(c, inputs=inputs, source=source, also=also,
                       limits=_both(said("Unless the site has tested its trucks, the brakes are taken as the least that the rule's table names. A "
                                          "grip that no site gives is taken as low as that of a wet dirt road (common practice, no source). The "
                                          "grip of a road changes with each shower and each pass of the water truck."), answers))  # fmt: skip
    if c.id == "moving.tie_down_total":
        share = Constant("share", "p", "factor", mark("the share of the weight that all together are good for"), us=_share(tables, "tie-downs", ALL),
                         metric=_share(tables, "tie-downs", ALL), source=source)  # fmt: skip
        return replace(c, words=mark("The weight of the machine, times the share the rule asks for."), written="mass * share", constants=(share,),
                       source=source, also=also, limits=_both(said(TIED), answers))  # fmt: skip
    if c.id == "moving.tie_downs":
        constants = (
            Constant("share", "p", "factor", mark("the share of the weight that all together are good for"), us=_share(tables, "tie-downs", ALL),
                     metric=_share(tables, "tie-downs", ALL), source=source),
            Constant("counted", "c", "factor", mark("what counts of a tie-down that runs from the trailer to the machine"),
                     us=_share(tables, "tie-downs", EACH), metric=_share(tables, "tie-downs", EACH), source=source),
            Constant("corners", "n_least", "count", mark("the fewest"), us=_number(tables, "tie-downs", FEWEST),
                     metric=_number(tables, "tie-downs", FEWEST), source=source),
        )  # fmt: skip
        return replace(c, words=mark("What all together must be good for, over what counts of one. Up to a whole one, and no fewer than the fewest."),
                       written="round_up(greatest(mass * share / (counted * working_load), corners))", constants=constants, source=source,
                       also=also, limits=_both(_both(said("Each runs from the trailer to the machine."), said(TIED)), answers))  # fmt: skip
    if c.id in {"daily.water", "daily.drink_rate"}:
        cup, every = _number(tables, "heat", CUP), _number(tables, "heat", EVERY)
        defaults = {"cup": cup, "every": every}
        inputs = tuple(replace(i, default=defaults.get(i.name, i.default)) for i in c.inputs)
        return replace(
            c, inputs=inputs, source=source, also=also, limits=_both(said("Water for washing and cooling a person comes on top."), answers)
        )
    raise AssertionError(c.id)  # pragma: no cover - RESTS_ON names each


def _both(first: str, second: str) -> str:
    """Two texts, one behind the other, each to be said in another language by itself."""
    return said("{a} {b}", a=first if isinstance(first, Said) else said(first), b=second)


def _in_both(table: Table, row: str) -> tuple[str, str]:
    """A length of a table of single figures as a constant has it in each unit system: one of them as the site writes it."""
    value = table.quantity(row, "figure", "length")
    own = UNITS[value.unit].system
    texts = {}
    for system, unit in (("us", "ft"), ("metric", "m")):
        texts[system] = f"{value.figure} {value.unit}" if own == system else f"{from_si(value.si, unit, 'length'):.6g} {unit}"
    return texts["us"], texts["metric"]


TIED = mark(
    "The working load limit is that of the weakest piece: chain, hook, binder or anchor point. Tie at the points the maker marks. Boom, "
    "bucket, blade and all else that can move is lowered and tied by itself."
)


def _share(tables: Tables, topic: str, row: str) -> str:
    table = tables[f"own-{topic}"]
    figure = table.cell(row, "figure").low
    return f"{figure / 100 if table.row_units[row] == '%' else figure:g}"


# --- walls ------------------------------------------------------------------------------------


def _ratio(inputs: Mapping[str, Quantity | str], tables: Tables) -> tuple[Quantity, str]:
    """The ratio that governs and the sentence that says why. Raises CalculationError."""
    soil = str(inputs["soil_type"])
    depth, flatter = inputs["depth"], inputs.get("side_ratio")
    assert isinstance(depth, Quantity)
    table = tables["excavation-slopes"]
    most = table.quantity(soil, "depth up to", "length")
    if depth.si > most.si * (1 + 1e-9):
        raise CalculationError(
            f"the slope table ends at a depth of {most}", "have a registered engineer design the walls", about=("depth",)
        )
    least = table.quantity(soil, "run for 1 of rise", "ratio")
    if not isinstance(flatter, Quantity):
        return least, said("Steepest wall the rule allows for {soil}, for an edge that carries nothing.", soil=soil)
    if flatter.si < least.si * (1 - 1e-9):
        raise CalculationError(f"walls of {shown(flatter.figure, flatter.unit)} are steeper than the {least} of {soil}",
                               "cut them flatter, or have the soil classed by a competent person", about=("side_ratio", "soil_type"))  # fmt: skip
    return flatter, said("The walls are no steeper than the rule allows for {soil}.", soil=soil)


def own_top_width(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """Width at the top of walls by the site's own table."""
    return top_width_of(inputs, *_ratio(inputs, tables))


def own_area(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """Area across a trench with walls by the site's own table."""
    return area_of(inputs, *_ratio(inputs, tables))


def own_volume(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """Volume of a trench with walls by the site's own table."""
    return volume_of(inputs, *_ratio(inputs, tables))


def own_spoil_pile(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """A spoil pile that no figure of law keeps back from the edge: the site's limit does."""
    return spoil_pile_of(inputs, replace(SPOIL_FAR_TOE, inputs=tuple(map(_back, SPOIL_FAR_TOE.inputs))))


def _back(i: Input) -> Input:
    """The set-back without a figure of law as its default, nor as the least."""
    return replace(i, default=None, low="0.1 ft") if i.name == "set_back" else i


# --- lines ------------------------------------------------------------------------------------


def _clearance(inputs: Mapping[str, Quantity | str], system: System, tables: Tables, column: str, meaning: str) -> Outcome:
    voltage = inputs["voltage"]
    assert isinstance(voltage, Quantity)
    table = tables["own-lines"]
    row = next((r for r in table.rows if voltage.si <= table.quantity(r, "up to", "voltage").si * (1 + 1e-9)), None)
    if row is None:
        raise CalculationError(f"the table ends at {list(table.rows)[-1]}", "ask the line's owner for the distance", about=("voltage",))
    kept = table.quantity(row, column, "length")
    return Outcome(
        "clearance",
        {"clearance": Value(kept.si, "length", meaning, places=2, limit="least"), "band": Value(row, "text", "row of the table")},
        (
            Rows("The table of the rule",
                 (Column("Voltage", "text"), Column("Up to", "voltage"), Column("Distance", "length", places=2, limit="least"), Column("", "text")),
                 tuple((r, table.quantity(r, "up to", "voltage").si, table.quantity(r, column, "length").si, "this line" if r == row else "")
                       for r in table.rows)),
            Note("The row whose voltage is the first that is not less than the line's."),
        ),
    )  # fmt: skip


def own_clearance(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """Distance to a line at work by the site's own table."""
    return _clearance(inputs, system, tables, "at work", COMMON_CLEARANCE.result.meaning)


def own_travel_clearance(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """Distance to a line on the move by the site's own table."""
    return _clearance(inputs, system, tables, "on the move", "least distance on the move, boom down and no load")


# --- boxes, brakes, heat ------------------------------------------------------------------------


def own_box_set(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """A box set in a trench, by what the site's own rule lets stay open below it."""
    table = tables["own-trench-entry"]
    us, metric = _in_both(table, BELOW)
    source = Source("own-trench-entry", table.place)
    own = replace(BOXES, constants=tuple(replace(k, us=us, metric=metric, source=source) for k in BOXES.constants), source=source, also=(),
                  limits=LOCAL)  # fmt: skip
    return box_set(inputs, system, own, table.quantity(ABOVE, "figure", "length"))


def own_reaction(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """How long until the brakes bite, by the site's own table."""
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    table = tables["haul-brake-test"]
    truck = {name: given[name] for name in ("empty_mass", "payload")}
    mass = LOADED_MASS(**{name: q.si for name, q in truck.items()})
    rows = [r for r in table.rows if table.quantity(r, "from", "mass").si <= mass * (1 + 1e-9)] or list(table.rows)[:1]
    row = rows[-1]
    brakes = table.quantity(row, "brakes bite after", "time")
    formula = replace(TIME_TO_BITE, also=tuple(s for s in TIME_TO_BITE.also if not is_law(s.key)))
    return Outcome(
        "time",
        {
            "time": Value(formula(driver_time=given["driver_time"].si, brake_time=brakes.si), "time", formula.result.meaning, us="s", metric="s",
                          limit="least"),
            "brake_time": Value(brakes.si, "time", "time the brakes need to bite, by weight", us="s", metric="s"),
            "mass": Value(mass, "mass", LOADED_MASS.result.meaning),
        },
        (
            Applied("mass", LOADED_MASS, dict(truck)),
            Rows("How long brakes take to bite",
                 (Column("Loaded truck, from", "mass"), Column("Time", "time", us="s", metric="s"), Column("", "text")),
                 tuple((table.quantity(r, "from", "mass").si, table.quantity(r, "brakes bite after", "time").si,
                        "this truck" if r == row else "") for r in table.rows)),
            Applied("time", formula, {"driver_time": given["driver_time"], "brake_time": brakes}),
        ),
    )  # fmt: skip


def other_share(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    """A lift beside the chart, without the word on a rule for cranes."""
    done = SHARE_OF_CHART.run(inputs, system, tables)
    steps = tuple(Note(NEAR) if isinstance(s, Note) and s.text == OF_CRANES else s for s in done.steps)
    return replace(done, steps=steps)


_PROCEDURES = {
    "trench.top_width": (own_top_width, "", mark("Not past the depth of the table's row. For an edge with no machine, spoil or traffic near it, and no "
                         "cracks, water or shaking.")),
    "trench.area": (own_area, "", mark("Not past the depth of the table's row. For an edge that carries nothing.")),
    "trench.volume": (own_volume, "", mark("Not past the depth of the table's row. For an edge that carries nothing. The sloped ends come on top.")),
    "lines.clearance": (own_clearance, mark("Find the line's voltage in the table of the rule."),
                        mark("The line is live until its owner has shown that it is dead and grounded. Ask the owner for the voltage.")),
    "lines.travel_clearance": (own_travel_clearance, mark("Find the line's voltage in the table of the rule, for a machine that drives under it."),
                               mark("For a machine that travels with no load and all that it has let down. A bump lifts it: someone watches.")),
    "trench.box_set": (own_box_set, "", mark("The box's own data goes first: soil, depth, width and how boxes are joined. The trench may go deeper than the "
                       "box only where the box is rated for the whole depth and no soil comes in.")),
    "hauling.reaction_time": (own_reaction, "", mark("A truck with air in its lines, or cold oil, is slower. The truck's manual goes before it.")),
    "daily.heat_day": (HEAT_DAY.run, "", mark("A week off and the body has forgotten it: begin again. A sudden hot spell counts as a first day for all.")),
}  # fmt: skip
_SET_BACK = frozenset({"trench.spoil_pile", "trench.spoil_far_toe"})
_RUN = {"lifting.share_of_chart": other_share, "trench.spoil_pile": own_spoil_pile}
_READS: Mapping[str, tuple[str, ...]] = {
    "lines.clearance": ("own-lines",), "lines.travel_clearance": ("own-lines",), "trench.box_set": ("own-trench-entry",),
}  # fmt: skip
# words of limits that stand in several calculations, and what stands for them
_INSTEAD: Mapping[str, str] = {
    " United States federal rules (29 CFR 1926.652) ask for protected walls at far": " Rules ask for protected walls at far",
    "The institute names a most. ": "",
    BOX_LIMITS: "The box's own tabulated data goes first: soil, depth, width and how boxes are joined.",
    "Behind the timber tables of the rule: a soil": "A soil",
    "machine nearer or heavier than those tables allow.": "machine near the edge.",
}  # fmt: skip
