"""Lifting a load with a digging machine: what hangs on it, beside what the maker's chart allows.

Nothing here works out what a machine can lift. The chart in the machine's manual says it, for the
radius, the height and the side; a site copies its own chart down.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Note, Outcome, Value
from generator.language.words import mark
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

CHART = Source("lift-article-2003", "use of the load chart: all that hangs on the machine counts")
NEAR = mark(
    "That is three quarters of the chart or more. Many sites take such a lift only with a written plan, and a competent person decides."
)
OF_CRANES = mark(
    "That is three quarters of the chart or more. Many sites take such a lift only with a written plan, and a competent person decides. "
    "So does a federal rule for cranes that set steel."
)
CRITICAL = Source("osha-1926-751", "a crane rule of steel erection: a lift past three quarters of the rated load is a critical one")
THREE_QUARTERS = 0.75
_LIMITS = (
    "The chart in the machine's manual decides, for this machine, stick, bucket and counterweight, at this radius, height and side. "
    "It holds on firm, level ground with the load hanging free and still. A slope, soft ground, a swinging load or wind takes "
    "away from it, and no figure here says how much. Lift only where the maker allows it, at the point the maker made for it."
)

_LOAD = Input(
    "load", "m_load", "mass", "the weight of what is lifted, from its tag or a scale", low="0 lb", high="200000 lb",
    example_us="3600 lb", example_metric="1600 kg",
)  # fmt: skip
_RIGGING = Input(
    "rigging", "m_rigging", "mass", "the weight of slings, chains, hooks and beams", low="0 lb", high="20000 lb",
    example_us="100 lb", example_metric="45 kg",
)  # fmt: skip
_BUCKET = Input(
    "bucket", "m_bucket", "mass", "the weight of the bucket and coupler left on, where the chart does not count it in already", low="0 lb",
    high="60000 lb", example_us="2000 lb", example_metric="900 kg",
)  # fmt: skip
_CHART = Input(
    "chart_load", "m_chart", "mass", "what the maker's chart allows at this radius, height and side", low="50 lb", high="300000 lb",
    example_us="14500 lb", example_metric="6500 kg",
)  # fmt: skip
_TOTAL = Input(
    "total_load", "m_all", "mass", "all that hangs on the machine", low="0 lb", high="300000 lb", example_us="5700 lb",
    example_metric="2600 kg",
)  # fmt: skip

TOTAL_LOAD = Formula(
    id="lifting.total_load",
    title="All that hangs on the machine",
    words="The load, the rigging, and the bucket that stays on.",
    written="load + rigging + bucket",
    result=Output("m_all", "mass", "all that hangs on the machine", limit="least"),
    inputs=(_LOAD, _RIGGING, _BUCKET),
    source=CHART,
    limits=_LIMITS,
)

LOAD_LEFT = Formula(
    id="lifting.heaviest_load",
    title="Heaviest thing that may be hooked on",
    words="What the chart allows, less the rigging, less the bucket that stays on.",
    written="chart_load - rigging - bucket",
    result=Output("m_most", "mass", "heaviest load, by the chart alone", limit="most"),
    inputs=(_CHART, _RIGGING, _BUCKET),
    positive=(("chart_load - rigging - bucket", "the rigging and the bucket alone are all that the chart allows"),),
    source=CHART,
    limits=_LIMITS,
)

SHARE = Formula(
    id="lifting.chart_share",
    title="Share of the chart that a lift takes",
    words="All that hangs on the machine, over what the chart allows.",
    written="total_load / chart_load",
    result=Output("s", "fraction", "share of what the chart allows", limit="least"),
    inputs=(_TOTAL, _CHART),
    source=CHART,
    limits=_LIMITS,
)


def _share(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    total, chart = inputs["total_load"], inputs["chart_load"]
    assert isinstance(total, Quantity) and isinstance(chart, Quantity)
    share = SHARE(total_load=total.si, chart_load=chart.si)
    if share >= 1 - 1e-9:
        raise CalculationError(
            "what hangs on the machine is all that the chart allows there, or more",
            "do not lift: come nearer, lift less, or take a larger machine or a crane",
            about=("total_load", "chart_load"),
        )
    near = share >= THREE_QUARTERS - 1e-9
    return Outcome(
        "share",
        {
            "share": Value(share, "fraction", SHARE.result.meaning, limit="least"),
            "plans": Value(1.0 if near else 0.0, "count", "written plans to have before such a lift"),
            "first": Value(mark("a plan") if near else mark("checks"), "text", "what comes before such a lift"),
        },
        (
            Applied("share", SHARE, {"total_load": total, "chart_load": chart}),
            Note(
                OF_CRANES
                if near
                else "That is below three quarters of the chart. The other checks stay: ground, radius, rigging, people, wires."
            ),
        ),
    )


SHARE_OF_CHART = Procedure(
    id="lifting.share_of_chart",
    title="The lift beside the maker's chart",
    words="All that hangs on the machine, over what the chart allows. A lift of the whole chart or more is refused.",
    inputs=(_TOTAL, _CHART),
    source=CHART,
    also=(CRITICAL, Source("osha-1926-1400", "item (2): excavators are outside the crane rule, even with slings")),
    limits=_LIMITS,
    run=_share,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (TOTAL_LOAD, LOAD_LEFT, SHARE, SHARE_OF_CHART)
