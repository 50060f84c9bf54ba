"""Second opinions on the line calculations, by drawing with shapely."""

from __future__ import annotations

from shapely import LineString, Point, box

from tests.outside.kinds import LibraryCheck


def checks() -> list[LibraryCheck]:
    """All second opinions on the line calculations."""
    found = []
    for line, reach, keep in ((60.0, 31.0, 15.0), (33.5, 18.0, 10.0), (80.0, 22.5, 25.0), (52.0, 44.0, 5.0)):
        wire = LineString([(-500, line), (500, line)]).buffer(keep, cap_style="flat")
        boom = Point(0, reach)
        found.append(
            LibraryCheck(
                "lines.reach_gap",
                {"line_height": f"{line} ft", "boom_reach_height": f"{reach} ft", "clearance": f"{keep} ft"},
                float(boom.distance(wire)),
                "ft",
                1e-9,
                "shapely",
                "distance from the top of the boom to the strip around the wire",
            )
        )
    for reach, keep in ((30.0, 15.0), (22.5, 10.0), (41.0, 35.0)):
        swing = Point(0, 0).buffer(reach, quad_segs=4096)
        found.append(
            LibraryCheck(
                "lines.standoff_distance",
                {"max_reach": f"{reach} ft", "clearance": f"{keep} ft"},
                float(swing.buffer(keep, quad_segs=4096).bounds[2]),
                "ft",
                1e-6,
                "shapely",
                "edge of the swing circle widened by the distance to keep",
            )
        )
    for width, strip in ((8.0, 24.0), (3.5, 18.0), (42.0, 30.0)):
        left, _, right, _ = box(0, 0, width, 100).buffer(strip, join_style="mitre").bounds
        found.append(
            LibraryCheck(
                "lines.tolerance_zone",
                {"line_width": f"{width} in", "tolerance": f"{strip} in"},
                right - left,
                "in",
                1e-9,
                "shapely",
                "width of the line widened on both sides",
            )
        )
    for a, b in ((15.0, 12.1667), (10.0, 11.5)):
        _, _, top, _ = LineString([(a, 0), (b, 0)]).bounds
        found.append(
            LibraryCheck(
                "lines.common_clearance",
                {"crane_clearance": f"{a} ft", "excavator_clearance": f"{b} ft"},
                float(top),
                "ft",
                1e-9,
                "shapely",
                "upper end of the line between the two",
            )
        )
    for run, spacing in ((120.0, 25.0), (100.0, 25.0), (63.5, 12.0), (7.0, 40.0)):
        line = LineString([(0, 0), (run, 0)])
        spaces = next(n for n in range(1, 999) if line.length / n <= spacing)
        holes = [line.interpolate(k / spaces, normalized=True) for k in range(spaces + 1)]
        found.append(
            LibraryCheck("lines.potholes", {"length": f"{run} ft", "spacing": f"{spacing} ft"}, float(len(set(holes))), "1", 1e-9, "shapely",
                         "fewest even points on the line, both ends among them"),
        )  # fmt: skip
    for apart, width, strip in ((14.0, 8.0, 24.0), (30.0, 42.0, 18.0), (6.5, 3.5, 30.0)):
        zones = [box(x * 12 - width / 2, 0, x * 12 + width / 2, 100).buffer(strip, join_style="mitre") for x in (0.0, apart)]
        found.append(
            LibraryCheck("lines.machine_strip", {"apart": f"{apart} ft", "line_width": f"{width} in", "tolerance": f"{strip} in"},
                         zones[0].distance(zones[1]), "in", 1e-9, "shapely", "distance between two widened lines"),
        )  # fmt: skip
    return found  # fmt: skip
