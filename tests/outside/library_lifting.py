"""Second opinions on the lifting calculations."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.outside.kinds import LibraryCheck, pint_units

UREG: Any = pint_units()
EXACT = 1e-9


def checks() -> list[LibraryCheck]:
    """All second opinions on the lifting calculations."""
    found: list[LibraryCheck] = []
    for load, rigging, bucket in (("3600 lb", "150 lb", "2050 lb"), ("1.6 t", "110 lb", "925 kg"), ("800 kg", "0 lb", "1900 lb")):
        total = sum((UREG.Quantity(t.replace(" lb", " pound").replace(" t", " metric_ton")) for t in (load, rigging, bucket)), 0 * UREG.kg)
        found.append(
            LibraryCheck("lifting.total_load", {"load": load, "rigging": rigging, "bucket": bucket}, float(total.to("kg").magnitude), "kg",
                         EXACT, "pint", "the three weights, each in its own unit")
        )  # fmt: skip
        chart = UREG.Quantity(15000, "pound")
        left = chart - (total - UREG.Quantity(load.replace(" lb", " pound").replace(" t", " metric_ton")))
        found.append(
            LibraryCheck("lifting.heaviest_load", {"chart_load": "15000 lb", "rigging": rigging, "bucket": bucket},
                         float(left.to("kg").magnitude), "kg", EXACT, "pint", "what is left of the chart, each weight in its own unit")
        )  # fmt: skip
    for total_, chart_ in ((3600, 14500), (9875, 15670), (2300, 34210)):
        for id_ in ("lifting.chart_share", "lifting.share_of_chart"):
            found.append(
                LibraryCheck(id_, {"total_load": f"{total_} lb", "chart_load": f"{chart_} lb"}, float(Fraction(total_, chart_)), "1", EXACT,
                             "fractions", "exact fractions")
            )  # fmt: skip
    return found
