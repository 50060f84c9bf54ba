"""Bank, loose and compacted ground; densities; piles."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure, Tables
from generator.calc.quantity import Quantity
from generator.calc.steps import Applied, Note, Outcome, Value
from generator.calc.units import System

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


def _compacted(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {n: q for n, q in inputs.items() if isinstance(q, Quantity)}
    share = COMPACTED_BY_SHARE.value(given)
    other = COMPACTED_BY_FACTOR.value(given)
    used, not_used = (COMPACTED_BY_SHARE, other) if inputs["definition"] == "share of bank" else (COMPACTED_BY_FACTOR, share)
    value = used.value(given)
    return Outcome(
        "compacted_volume",
        {
            "compacted_volume": Value(value, "compacted_volume", f"compacted volume, shrinkage as {inputs['definition']}"),
            "other_definition": Value(not_used, "compacted_volume", "by the other definition in use"),
        },
        (
            Note("Shrinkage has two definitions in use, and they give different volumes. The one used is named with the result."),
            Applied("compacted_volume", used, given),
        ),
    )


COMPACTED = Procedure(
    id="soil.compacted",
    title="Compacted volume from bank volume",
    words="Bank volume times one minus the shrinkage; ask which definition your figure has.",
    inputs=(
        BANK, SHRINKAGE,
        Choice("definition", "which definition of shrinkage the figure follows",
               ("share of bank", "share of compacted"), default="share of bank"),
    ),
    source=EXAMPLES,
    also=(FLH,),
    limits="Shrinkage depends on the ground and the rolling. Rock can end larger than in the bank.",
    run=_compacted,
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
    COMPACTED_BY_SHARE, COMPACTED_BY_FACTOR,
)  # fmt: skip
