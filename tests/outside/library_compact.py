"""Second opinions on the compact excavator calculations, by drawing with shapely."""

from __future__ import annotations

from shapely import box

from tests.outside.kinds import LibraryCheck
from tests.outside.library_slopes import tipping_angle


def checks() -> list[LibraryCheck]:
    """All second opinions on the compact excavator calculations."""
    found = []
    for narrow, wide, height in ((0.74, 1.08, 0.66), (0.6, 0.98, 0.5), (0.99, 1.3, 0.7), (1.2, 1.2, 0.8), (0.5, 1.9, 0.45)):
        gain = tipping_angle(wide, height, 0.0) - tipping_angle(narrow, height, 0.0)
        found.append(
            LibraryCheck(
                "compact.tip_gain",
                {"gauge_narrow": f"{narrow} m", "gauge_wide": f"{wide} m", "cg_height": f"{height} m"},
                gain,
                "deg",
                1e-6,
                "shapely",
                "the drawn machine is turned until its weight stands above the low track, both ways",
            )
        )
    for gate, machine in ((1.2, 0.99), (1.05, 1.0), (2.4, 1.6)):
        post = box(gate / 2, 0, gate, 1)
        found.append(
            LibraryCheck(
                "compact.gate_clearance",
                {"gate_width": f"{gate} m", "machine_width": f"{machine} m"},
                float(box(-machine / 2, 0, machine / 2, 1).distance(post)),
                "m",
                1e-9,
                "shapely",
                "distance from the drawn machine to the gate post",
            )
        )
    return found  # fmt: skip
