"""Second opinions on the calculations of instruments: exact fractions, pint, and a circle that is drawn."""

from __future__ import annotations

from fractions import Fraction

from shapely import LineString, Point

from tests.outside.kinds import LibraryCheck, pint_units

UNITS = pint_units()


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of instruments."""
    found: list[LibraryCheck] = []
    for shown, weighed, payload in ((26, 27, 30), (41, 38, 35), (19, 19, 22)):
        error = Fraction(shown, weighed) - 1
        full = Fraction(payload * weighed, shown)
        one: dict[str, str] = {"shown": f"{shown} ton", "weighed": f"{weighed} ton"}
        loads = {**one, "payload": f"{payload} ton"}
        found += [
            LibraryCheck("instruments.scale_error", one, float(100 * error), "%", 1e-9, "fractions", "exact fractions"),
            LibraryCheck("instruments.payload_check", loads, float(full), "ton", 1e-9, "fractions", "the payload in the proportion of the two weights"),
        ]  # fmt: skip
    for reach, speed, time in ((12.0, 27.0, 1.0), (4.2, 40.0, 2.5)):
        turned = (UNITS.Quantity(speed, "degree / second") * UNITS.Quantity(time, "second")).to("degree").magnitude
        # the way of the teeth is the rim of a circle that is drawn, up to where it has turned
        rim = Point(0, 0).buffer(reach, quad_segs=20000).exterior
        swept = LineString(rim.coords).length * turned / 360
        swing = {"swing_speed": f"{speed} deg/s", "time": f"{time} s"}
        found += [
            LibraryCheck("instruments.swing_turn", swing, turned, "deg", 1e-9, "pint", "turning speed times time, as quantities"),
            LibraryCheck("instruments.swing_run", {"reach": f"{reach} m", **swing}, swept, "m", 1e-7, "shapely",
                         "length along the rim of a drawn circle"),
        ]  # fmt: skip
    for percent, moved in ((0.5, 14.5), (3.0, 40.0)):
        ground = LineString([(0, 0), (1000, 10 * percent)])
        post = LineString([(moved, -1), (moved, 1e3)])
        found.append(
            LibraryCheck("instruments.zero_off", {"grade": f"{percent}%", "moved": f"{moved} ft"}, 12 * ground.intersection(post).y, "in", 1e-9,
                         "shapely", "height of the drawn ground where the machine stands now")
        )  # fmt: skip
    return found
