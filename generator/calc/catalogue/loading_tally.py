"""The weight on a truck pass by pass, up to the first full bucket that would be too much."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Outcome, Rows, Value
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

MOST_PASSES = 200

_BUCKET = Input(
    "mass_per_bucket", "M_bucket", "mass", "the measured weight of one bucket load", low="5 lb", high="400000 lb",
    example_us="5,000 lb", example_metric="2,000 kg",
)  # fmt: skip
_PAYLOAD = Input(
    "payload", "M_payload", "mass", "the rated payload of the truck", low="1000 lb", high="1000000 lb",
    example_us="60,000 lb", example_metric="28,000 kg",
)  # fmt: skip

FULL_PASSES = Formula(
    id="loading.full_passes",
    title="Full buckets within the rated payload",
    words="The rated payload over the weight of a bucket, down to whole buckets.",
    written="round_down(payload / mass_per_bucket)",
    result=Output("n", "count", "full buckets within the rated payload", rounding="rounded down: one more would be over"),
    inputs=(_PAYLOAD, _BUCKET),
    source=Source(None, "whole buckets in the payload", "derived"),
    limits="Every bucket weighs the same. What is missing after them is a part bucket.",
)


def _pass_tally(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    bucket, payload = given["mass_per_bucket"].si, given["payload"].si
    full = FULL_PASSES(payload=payload, mass_per_bucket=bucket)
    if full > MOST_PASSES:
        raise CalculationError("a truck takes that many buckets", "check the weight of a bucket", about=("mass_per_bucket",))
    if full < 1:
        raise CalculationError(
            "one full bucket is more than the truck may carry", "check the weight of a bucket, or load this truck with a smaller bucket",
            about=("mass_per_bucket", "payload"),
        )  # fmt: skip
    rows = Rows(
        "The tally",
        (
            Column("Passes", "count"),
            Column("On the truck", "mass", us="ton", metric="t"),
            Column("Of the rated payload", "fraction", places=0),
        ),
        tuple((float(k), k * bucket, k * bucket / payload) for k in range(int(full) + 2)),
    )
    within, over = rows.rows[-2], rows.rows[-1]
    values = {
        "full": Value(within[0], "count", FULL_PASSES.result.meaning, rounding=FULL_PASSES.result.rounding),
        "weight": Value(within[1], "mass", "weight of these buckets", us="ton", metric="t"),
        "share": Value(within[2], "fraction", "their share of the rated payload"),
        "room": Value(payload - float(within[1]), "mass", "weight still missing to the rated payload", us="ton", metric="t"),
        "payload": Value(payload, "mass", "rated payload", given=True, us="ton", metric="t"),
        "next_pass": Value(over[0], "count", "the pass that would be too many", given=True),
        "over_weight": Value(over[1], "mass", "weight with one full bucket more", us="ton", metric="t"),
        "over_share": Value(over[2], "fraction", "its share of the rated payload"),
        "too_much": Value(
            float(over[1]) - payload, "mass", "weight over the rated payload with one full bucket more", us="ton", metric="t"
        ),
    }
    return Outcome(
        "full", values, (Applied("full", FULL_PASSES, {"payload": given["payload"], "mass_per_bucket": given["mass_per_bucket"]}), rows)
    )


PASS_TALLY = Procedure(
    id="loading.pass_tally",
    title="The weight on the truck, pass by pass",
    words="Add the weight of a bucket for every pass, and stop before the rated payload is passed.",
    inputs=(_PAYLOAD, _BUCKET),
    source=Source(None, "a plain sum", "derived"),
    limits="Every bucket weighs the same. Never load over the rated payload.",
    run=_pass_tally,
)
