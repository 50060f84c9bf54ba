"""Second opinions on the calculations of what is seen from the seat: drawn with shapely, or in pint's units."""

from __future__ import annotations

from typing import Any

from shapely import LineString, Point

from tests.outside.kinds import LibraryCheck, pint_units

UREG: Any = pint_units()
EXACT = 1e-9
SEATS = ((9.0, 6.5, 8.5), (8.8, 5.5, 8.0), (5.2, 3.3, 4.2), (14.0, 11.0, 3.0))


def _sight(eye: float, sill: float, out: float) -> LineString:
    """The line of sight over the edge, which stands at x = 0, drawn far past the ground."""
    fall = (eye - sill) / out
    return LineString([(-out, eye), (1000.0, sill - 1000.0 * fall)])


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of what is seen from the seat."""
    found = []
    for eye, sill, out in SEATS:
        seat = {"eye_height": f"{eye} ft", "sill_height": f"{sill} ft", "sill_distance": f"{out} ft"}
        line = _sight(eye, sill, out)
        ground = line.intersection(LineString([(0, 0), (1000, 0)])).x
        for id_ in ("seeing.hidden_ground", "seeing.walk_in"):
            found.append(LibraryCheck(id_, seat, ground, "ft", 1e-8, "shapely", "where the drawn line of sight meets the ground"))
        for share in (0.2, 0.5, 0.9):
            at = round(share * ground, 2)
            height = line.intersection(LineString([(at, -100), (at, 100)])).y
            found.append(
                LibraryCheck("seeing.hidden_up_to", seat | {"distance": f"{at} ft"}, height, "ft", 1e-8, "shapely",
                             "the drawn line of sight above that place")
            )  # fmt: skip
        for tall in (1.5, 3.0):
            at = line.intersection(LineString([(0, tall), (1000, tall)])).x
            found.append(
                LibraryCheck("seeing.hidden_person", seat | {"person_height": f"{tall} ft"}, at, "ft", 1e-8, "shapely",
                             "where the drawn line of sight comes down to the person's height")
            )  # fmt: skip
    for radius, keep in ((12.1, 15.0), (9.2, 3.0), (3.9, 10.0)):
        wide = float(Point(0, 0).buffer(radius, quad_segs=4096).buffer(keep, quad_segs=4096).bounds[2])
        for id_, name in (("seeing.swing_clear", "tail_radius"), ("seeing.reach_clear", "max_reach")):
            found.append(
                LibraryCheck(id_, {name: f"{radius} ft", "clearance": f"{keep} ft"}, wide, "ft", 1e-6, "shapely",
                             "edge of the circle widened by the distance to keep")
            )  # fmt: skip
    for walk, swing, turn in ((4.0, 60.0, 4.0), (1.2, 135.0, 9.0), (5.5, 90.0, 2.5)):
        took = UREG.Quantity(swing, "degree") / UREG.Quantity(turn, "revolution/minute")
        gone = float((UREG.Quantity(walk, "foot/second") * took).to("foot").magnitude)
        found.append(
            LibraryCheck("seeing.walks_in", {"walking_speed": f"{walk} ft/s", "swing": f"{swing} deg", "swing_speed": f"{turn} rpm"}, gone, "ft",
                         EXACT, "pint", "angle over turning speed times speed, as quantities")
        )  # fmt: skip
    for speed, time in ((3.0, 2.5), (7.5, 1.5), (20.0, 4.0)):
        gone = float((UREG.Quantity(speed, "mile/hour") * UREG.Quantity(time, "second")).to("foot").magnitude)
        found.append(
            LibraryCheck("seeing.rolls_on", {"speed": f"{speed} mph", "reaction_time": f"{time} s"}, gone, "ft", EXACT, "pint",
                         "speed times time, as quantities")
        )  # fmt: skip
    for keep, on in ((15.0, 11.0), (10.0, 4.4), (22.5, 36.7)):
        left = LineString([(0, 0), (on, 0)])
        found.append(
            LibraryCheck("seeing.stop_at", {"clearance": f"{keep} ft", "rolls_on": f"{on} ft"},
                         float(left.distance(Point(on + keep, 0)) + left.length), "ft", EXACT, "shapely",
                         "the way gone on and the gap that is left, measured on a line")
        )  # fmt: skip
    return found
