"""Bank, loose and compacted ground; densities; piles."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.steps import Applied, From, Note, Outcome, Value
from generator.language.words import said
from generator.units.quantity import Quantity
from generator.units.table import System

EXAMPLES = Source("productivity-examples", "first page: swell, shrinkage, load factor")
FLH = Source("fhwa-pddm", "section on earthwork design")
PILES = Source("nichols-day", "p. 2.45: volumes of a cone and a ridge")

SWELL = Input(
    "swell", "s", "fraction", "how much the ground swells when it is dug", low="0%", high="120%",
    example_us="25%", example_metric="25%",
)  # fmt: skip
BANK = Input(
    "bank_volume", "V_bank", "bank_volume", "the volume in the bank", low="0.01 yd3", high="100000000 yd3",
    example_us="100 yd3", example_metric="80 m3",
)  # fmt: skip
SHRINKAGE = Input(
    "shrinkage", "c", "fraction", "how much smaller the ground is as fill; below zero where it ends larger",
    low="-60%", high="60%", example_us="10%", example_metric="10%",
)  # fmt: skip
REPOSE = Input(
    "repose", "φ", "angle", "the angle of repose, at which loose ground comes to rest", low="5 deg",
    high="60 deg", example_us="37deg", example_metric="37deg",
)  # fmt: skip

LOOSE = Formula(
    id="soil.loose",
    title="Loose volume from bank volume",
    words="Bank volume times one plus the swell.",
    written="bank_volume * (1 + swell)",
    result=Output("V_loose", "loose_volume", "loose volume"),
    inputs=(BANK, SWELL),
    source=EXAMPLES,
    also=(FLH,),
    limits="Swell depends on the ground and its moisture. Use the site's own value where there is one.",
)

BANK_FROM_LOOSE = Formula(
    id="soil.bank",
    title="Bank volume from loose volume",
    words="Loose volume divided by one plus the swell.",
    written="loose_volume / (1 + swell)",
    result=Output("V_bank", "bank_volume", "bank volume"),
    inputs=(
        Input("loose_volume", "V_loose", "loose_volume", "the volume after digging", low="0.01 yd3",
              high="100000000 yd3", example_us="125 yd3", example_metric="100 m3"),
        SWELL,
    ),
    source=EXAMPLES,
    limits="Swell depends on the ground and its moisture.",
)  # fmt: skip

COMPACTED_BY_SHARE = Formula(
    id="soil.compacted_by_share",
    title="Compacted volume, shrinkage taken off",
    words="Bank volume times one minus the shrinkage.",
    written="bank_volume * (1 - shrinkage)",
    result=Output("V_comp", "compacted_volume", "compacted volume"),
    inputs=(BANK, SHRINKAGE),
    source=EXAMPLES,
    limits="For shrinkage given as a share of the bank volume.",
)

COMPACTED_BY_FACTOR = Formula(
    id="soil.compacted_by_factor",
    title="Compacted volume, the other definition",
    words="Bank volume divided by one plus the shrinkage.",
    written="bank_volume / (1 + shrinkage)",
    result=Output("V_comp", "compacted_volume", "compacted volume"),
    inputs=(BANK, SHRINKAGE),
    source=FLH,
    limits="For shrinkage given as a share of the compacted volume, as some agencies do.",
)
DEFINITION = Choice(
    "definition", "which definition of shrinkage the figure follows",
    ("share of bank", "share of compacted"), default="share of bank",
)  # fmt: skip
TWO_DEFINITIONS = Note("Shrinkage has two definitions in use, and they give different volumes. The one used is named with the result.")


def _compacted(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {n: q for n, q in inputs.items() if isinstance(q, Quantity)}
    share = COMPACTED_BY_SHARE.value(given)
    other = COMPACTED_BY_FACTOR.value(given)
    used, not_used = (COMPACTED_BY_SHARE, other) if inputs["definition"] == "share of bank" else (COMPACTED_BY_FACTOR, share)
    value = used.value(given)
    return Outcome(
        "compacted_volume",
        {
            "compacted_volume": Value(
                value, "compacted_volume", said("compacted volume, shrinkage as {definition}", definition=said(str(inputs["definition"])))
            ),
            "other_definition": Value(not_used, "compacted_volume", "by the other definition in use"),
        },
        (
            TWO_DEFINITIONS,
            Applied("compacted_volume", used, given),
        ),
    )


COMPACTED = Procedure(
    id="soil.compacted",
    title="Compacted volume from bank volume",
    words="Bank volume times one minus the shrinkage; ask which definition your figure has.",
    inputs=(
        BANK, SHRINKAGE,
        DEFINITION,
    ),
    source=EXAMPLES,
    also=(FLH,),
    limits="Shrinkage depends on the ground and the rolling. Rock can end larger than in the bank.",
    run=_compacted,
)  # fmt: skip

FILL = Input(
    "compacted_volume", "V_comp", "compacted_volume", "the fill asked for, as packed", low="0.01 yd3",
    high="100000000 yd3", example_us="900 yd3", example_metric="700 m3",
)  # fmt: skip

BANK_FOR_FILL_BY_SHARE = Formula(
    id="soil.bank_for_fill_by_share",
    title="Bank volume for a fill, shrinkage of the bank",
    words="The fill divided by one minus the shrinkage.",
    written="compacted_volume / (1 - shrinkage)",
    result=Output("V_bank", "bank_volume", "bank volume to dig for the fill"),
    inputs=(FILL, SHRINKAGE),
    source=EXAMPLES,
    limits="For shrinkage given as a share of the bank volume. What is lost on the way comes on top.",
)

BANK_FOR_FILL_BY_FACTOR = Formula(
    id="soil.bank_for_fill_by_factor",
    title="Bank volume for a fill, the other definition",
    words="The fill times one plus the shrinkage.",
    written="compacted_volume * (1 + shrinkage)",
    result=Output("V_bank", "bank_volume", "bank volume to dig for the fill"),
    inputs=(FILL, SHRINKAGE),
    source=FLH,
    limits="For shrinkage given as a share of the compacted volume, as some agencies do.",
)


def _bank_for_fill(inputs: Mapping[str, Quantity | str]) -> tuple[Formula, dict[str, Quantity], float]:
    """The formula of the definition chosen, what goes into it, and what the other one gives."""
    given = {n: q for n, q in inputs.items() if n in {"compacted_volume", "shrinkage"} and isinstance(q, Quantity)}
    if inputs["definition"] == "share of bank":
        return BANK_FOR_FILL_BY_SHARE, given, BANK_FOR_FILL_BY_FACTOR.value(given)
    return BANK_FOR_FILL_BY_FACTOR, given, BANK_FOR_FILL_BY_SHARE.value(given)


def _fill_from_bank(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    used, given, other = _bank_for_fill(inputs)
    return Outcome(
        "bank_volume",
        {
            "bank_volume": Value(
                used.value(given),
                "bank_volume",
                said("bank volume to dig, shrinkage as {definition}", definition=said(str(inputs["definition"]))),
            ),
            "other_definition": Value(other, "bank_volume", "bank volume by the other definition in use"),
        },
        (TWO_DEFINITIONS, Applied("bank_volume", used, given)),
    )


BANK_FOR_FILL = Procedure(
    id="soil.bank_for_fill",
    title="Bank volume to dig for a fill",
    words="The fill divided by one minus the shrinkage; ask which definition your figure has.",
    inputs=(FILL, SHRINKAGE, DEFINITION),
    source=EXAMPLES,
    also=(FLH,),
    limits="What is lost on the way, and ground too wet or too bad to place, comes on top. "
    "Rock that ends larger than in the bank has a shrinkage below zero.",
    run=_fill_from_bank,
)


def _loose_for_fill(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    used, given, other = _bank_for_fill(inputs)
    swell = inputs["swell"]
    assert isinstance(swell, Quantity)
    bank = used.value(given)
    return Outcome(
        "loose_volume",
        {
            "loose_volume": Value(
                LOOSE(bank_volume=bank, swell=swell.si), "loose_volume",
                said("loose volume to haul, shrinkage as {definition}", definition=said(str(inputs["definition"]))),
            ),
            "bank_volume": Value(bank, "bank_volume", "bank volume to dig"),
            "other_definition": Value(
                LOOSE(bank_volume=other, swell=swell.si), "loose_volume", "loose volume by the other definition in use"
            ),
        },
        (
            TWO_DEFINITIONS,
            Applied("bank_volume", used, given),
            Note("Swell goes by the bank volume, not by the fill."),
            Applied("loose_volume", LOOSE, {"bank_volume": From("bank_volume"), "swell": swell}),
        ),
    )  # fmt: skip


LOOSE_FOR_FILL = Procedure(
    id="soil.loose_for_fill",
    title="Loose volume to haul for a fill",
    words="Turn the fill back into bank ground, then let that swell.",
    inputs=(FILL, SHRINKAGE, SWELL, DEFINITION),
    source=EXAMPLES,
    also=(FLH,),
    limits="Swell and shrinkage are both of the ground as it lies in the bank. What is lost on the way comes on top.",
    run=_loose_for_fill,
)

LOADS = Formula(
    id="soil.loads",
    title="Truck loads to haul a volume",
    words="The loose volume divided by what one truck carries, up to the next whole load.",
    written="round_up(loose_volume / truck_load)",
    result=Output("n", "count", "whole truck loads", at_least=1.0,
                  rounding="rounded up: the last truck goes part full"),
    inputs=(
        Input("loose_volume", "V_loose", "loose_volume", "the loose volume to haul", low="0.01 yd3",
              high="100000000 yd3", example_us="1,250 yd3", example_metric="960 m3"),
        Input("truck_load", "V_truck", "loose_volume", "the loose ground one truck carries", low="0.3 yd3",
              high="400 yd3", example_us="14 yd3", example_metric="11 m3"),
    ),
    source=Source("import-fill-solution", "loads of one truck in the loose volume"),
    limits="Loose volume over loose volume. In heavy or wet ground a truck is at its payload before it is full: "
    "then it carries less, and there are more loads.",
)  # fmt: skip

LOADS_IN_SHIFT = Formula(
    id="soil.loads_in_shift",
    title="Loads one truck hauls in a shift",
    words="The minutes that are worked in the shift, divided by one truck round, down to whole loads.",
    written="round_down(shift_hours * efficiency / truck_cycle)",
    result=Output("n_shift", "count", "whole loads in the shift",
                  rounding="rounded down: a round that is not finished hauls nothing"),
    inputs=(
        Input("truck_cycle", "t_truck", "time", "the time of one truck round, waiting included", low="0.5 min",
              high="10 h", example_us="18 min", example_metric="18 min"),
        Input("shift_hours", "t_shift", "time", "the length of the shift", low="0.5 h", high="24 h",
              example_us="10 h", example_metric="10 h"),
        Input("efficiency", "E", "factor", "the share of each hour that is worked", low="0.1", high="1",
              default="1", example_us="50 min/h", example_metric="50 min/h"),
    ),
    source=Source("vault-haul-solution", "trips an hour from the truck round"),
    limits="One truck. Checks before the shift, breaks and refuelling must be in the share that is worked, or off the shift.",
)  # fmt: skip

SWELL_FROM_WEIGHTS = Formula(
    id="soil.swell_from_weights",
    title="Swell from two weights",
    words="The bank weight divided by the loose weight, less one.",
    written="bank_density / loose_density - 1",
    result=Output("s", "fraction", "swell"),
    inputs=(
        Input("bank_density", "D_bank", "density", "the weight in the bank for each unit of volume",
              low="500 lb/yd3", high="7000 lb/yd3", example_us="3000 lb/yd3", example_metric="1800 kg/m3"),
        Input("loose_density", "D_loose", "density", "the weight when loose for each unit of volume",
              low="300 lb/yd3", high="7000 lb/yd3", example_us="2400 lb/yd3", example_metric="1440 kg/m3"),
    ),
    source=EXAMPLES,
    requires=(("loose_density", "bank_density", "loose ground cannot weigh more than the same volume in the bank"),),
    limits="Both weights of the same ground, with the same water in it.",
)  # fmt: skip

SHRINKAGE_FROM_WEIGHTS = Formula(
    id="soil.shrinkage_from_weights",
    title="Shrinkage from two weights",
    words="One, less the bank weight divided by the weight as fill.",
    written="1 - bank_density / compacted_density",
    result=Output("c", "fraction", "shrinkage, as a share of the bank volume", at_least=None),
    inputs=(
        Input("bank_density", "D_bank", "density", "the weight in the bank for each unit of volume",
              low="500 lb/yd3", high="7000 lb/yd3", example_us="2700 lb/yd3", example_metric="1620 kg/m3"),
        Input("compacted_density", "D_comp", "density", "the weight as packed fill for each unit of volume",
              low="500 lb/yd3", high="7000 lb/yd3", example_us="3000 lb/yd3", example_metric="1800 kg/m3"),
    ),
    source=EXAMPLES,
    limits="Shrinkage as a share of the bank volume. The other definition in use divides by the bank weight and gives "
    "a larger figure. Below zero the ground takes more room as fill than in the bank, as blasted rock does.",
)  # fmt: skip

LOAD_FACTOR = Formula(
    id="soil.load_factor",
    title="Load factor",
    words="One divided by one plus the swell.",
    written="1 / (1 + swell)",
    result=Output("f_load", "factor", "bank volume in one of loose"),
    inputs=(SWELL,),
    source=EXAMPLES,
    limits="Some books call this the swell factor.",
)

LOOSE_DENSITY = Formula(
    id="soil.loose_density",
    title="Weight of loose ground",
    words="Bank weight divided by one plus the swell.",
    written="bank_density / (1 + swell)",
    result=Output("D_loose", "density", "loose weight for each unit of volume"),
    inputs=(
        Input("bank_density", "D_bank", "density", "the weight in the bank for each unit of volume",
              low="500 lb/yd3", high="7000 lb/yd3", example_us="3100 lb/yd3", example_metric="1840 kg/m3"),
        SWELL,
    ),
    source=EXAMPLES,
    limits="Wet ground weighs more. Weigh a load where it matters.",
)  # fmt: skip

MASS = Formula(
    id="soil.mass",
    title="Weight of a volume",
    words="Volume times what one unit of it weighs.",
    written="volume * density",
    result=Output("m", "mass", "weight", us="ton", metric="t"),
    inputs=(
        Input("volume", "V", "volume", "the volume", low="0.001 yd3", high="100000000 yd3",
              example_us="16 yd3", example_metric="12 m3"),
        Input("density", "D", "density", "what one unit of volume weighs, in the same state",
              low="300 lb/yd3", high="7000 lb/yd3", example_us="2480 lb/yd3", example_metric="1470 kg/m3"),
    ),
    source=EXAMPLES,
    limits="Volume and weight must be in the same state: both loose, or both bank.",
)  # fmt: skip

TRUCK_LOAD = Formula(
    id="soil.truck_load",
    title="Loose ground one truck carries",
    words="The smaller of two: what the body holds, and what the rated payload is in this ground.",
    written="least(body_volume, payload / loose_density)",
    result=Output("V_truck", "loose_volume", "loose ground one truck carries", limit="most"),
    inputs=(
        Input("body_volume", "V_body", "loose_volume", "what the body holds, heaped", low="0.3 yd3", high="400 yd3",
              example_us="16 yd3", example_metric="12 m3"),
        Input("payload", "M_pay", "mass", "the rated payload", low="0.2 ton", high="500 ton", example_us="18 ton",
              example_metric="16 t"),
        Input("loose_density", "D_loose", "density", "the weight when loose for each unit of volume",
              low="300 lb/yd3", high="7000 lb/yd3", example_us="2480 lb/yd3", example_metric="1470 kg/m3"),
    ),
    source=COMMON_PRACTICE,
    limits="Never load over the rated payload. Wet ground weighs more: weigh a load where it matters.",
)  # fmt: skip


def _load_count(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {n: q for n, q in inputs.items() if isinstance(q, Quantity)}
    bank, swell = given["bank_volume"], given["swell"]
    loose = LOOSE(bank_volume=bank.si, swell=swell.si)
    weighs = LOOSE_DENSITY(bank_density=given["bank_density"].si, swell=swell.si)
    load = TRUCK_LOAD(body_volume=given["body_volume"].si, payload=given["payload"].si, loose_density=weighs)
    loads = LOADS(loose_volume=loose, truck_load=load)
    too_few = LOADS(loose_volume=bank.si, truck_load=load)
    return Outcome(
        "loads",
        {
            "loads": Value(loads, "count", LOADS.result.meaning, rounding=LOADS.result.rounding),
            "truck_load": Value(load, "loose_volume", TRUCK_LOAD.result.meaning, limit="most"),
            "loose": Value(loose, "loose_volume", LOOSE.result.meaning),
            "loads_by_bank": Value(too_few, "count", "loads counted wrongly, from the bank volume", rounding=LOADS.result.rounding),
            "missing": Value(loads - too_few, "count", "loads missing where they were counted from the bank volume"),
            "left": Value(max(loose - too_few * load, 0.0), "loose_volume", "loose ground that those loads leave behind"),
        },
        (
            Applied("loose", LOOSE, {"bank_volume": bank, "swell": swell}),
            Applied("loose_density", LOOSE_DENSITY, {"bank_density": given["bank_density"], "swell": swell}),
            Applied("truck_load", TRUCK_LOAD, {"body_volume": given["body_volume"], "payload": given["payload"], "loose_density": From("loose_density")}),
            Applied("loads", LOADS, {"loose_volume": From("loose"), "truck_load": From("truck_load")}),
            Note("Counted from the bank volume there are too few loads: trucks carry loose ground."),
        ),
    )  # fmt: skip


LOAD_COUNT = Procedure(
    id="soil.load_count",
    title="Truck loads of a cut",
    words="Let the bank ground swell, find what one truck carries of it, and divide.",
    inputs=(BANK, SWELL, LOOSE_DENSITY.inputs[0], TRUCK_LOAD.inputs[0], TRUCK_LOAD.inputs[1]),
    source=EXAMPLES,
    also=(LOADS.source, COMMON_PRACTICE),
    limits="Every truck filled alike, and never over its rated payload. Wet ground weighs more, and then there are more loads.",
    run=_load_count,
)

CONE = Formula(
    id="soil.cone_volume",
    title="Volume of a cone pile",
    words="A third of the base area times the height; the base reaches out by height over the tan of the angle of repose.",
    written="pi / 3 * (height / tan(repose))**2 * height",
    result=Output("V", "loose_volume", "volume of the pile", work_us="ft3"),
    inputs=(
        Input("height", "H", "length", "the height of the pile", low="0.1 ft", high="300 ft",
              example_us="10 ft", example_metric="3 m"),
        REPOSE,
    ),
    source=PILES,
    limits="For a full cone on level ground, at rest.",
)  # fmt: skip

RIDGE = Formula(
    id="soil.ridge_volume",
    title="Volume of a ridge pile",
    words="Height squared over the tan of the angle of repose, times the length. That is half the base times height times length.",
    written="height**2 / tan(repose) * length",
    result=Output("V", "loose_volume", "volume of the ridge", work_us="ft3"),
    inputs=(
        Input("height", "H", "length", "the height of the ridge", low="0.1 ft", high="300 ft",
              example_us="9 ft", example_metric="2.8 m"),
        Input("length", "L", "length", "the length of the ridge", low="0.1 ft", high="100000 ft",
              example_us="30 ft", example_metric="9 m"),
        REPOSE,
    ),
    source=PILES,
    limits="Triangular section, the sloping ends left out.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    LOOSE, BANK_FROM_LOOSE, COMPACTED, LOAD_FACTOR, LOOSE_DENSITY, MASS, CONE, RIDGE,
    COMPACTED_BY_SHARE, COMPACTED_BY_FACTOR, BANK_FOR_FILL, LOOSE_FOR_FILL, LOADS, LOADS_IN_SHIFT, TRUCK_LOAD, LOAD_COUNT,
    SWELL_FROM_WEIGHTS, SHRINKAGE_FROM_WEIGHTS, BANK_FOR_FILL_BY_SHARE, BANK_FOR_FILL_BY_FACTOR,
)  # fmt: skip
