"""Second opinions on the grade calculations: drawn, measured and searched for, not put in a formula."""

from __future__ import annotations

import math

import numpy as np
from scipy.optimize import minimize_scalar
from shapely import LineString, Polygon
from shapely.affinity import rotate

from tests.outside.kinds import LibraryCheck


def checks() -> list[LibraryCheck]:
    """All second opinions on the grade calculations."""
    return [*_lines(), *_plane(), *_headings(), *_lasers(), *_pads()]


def _lines() -> list[LibraryCheck]:
    found = []
    for rise, run in ((3.0, 40.0), (18.0, 12.0), (7.5, 9.0), (52.0, 61.0)):
        # the height at which a line through both ends crosses a post 100 ft along
        slope = LineString([(0, 0), (run * 200, rise * 200)])
        post = LineString([(100, -1), (100, 1e5)])
        found.append(
            LibraryCheck(
                "grade.percent",
                {"rise": f"{rise} ft", "run": f"{run} ft"},
                slope.intersection(post).y,
                "%",
                1e-9,
                "shapely",
                "height of the line over a hundred of level run",
            )
        )
    for percent in (4.0, 22.5, 60.0, 130.0, 410.0):
        slope, level = np.array([100.0, percent]), np.array([1.0, 0.0])
        angle = math.degrees(float(np.arccos(slope @ level / np.linalg.norm(slope))))
        found.append(
            LibraryCheck(
                "grade.angle",
                {"grade": f"{percent}%"},
                angle,
                "deg",
                1e-7,
                "numpy",
                "angle between the slope and the level, from their inner product",
            )
        )
        step = LineString([(0, 1), (1e5, 1)]).intersection(LineString([(0, 0), (1e5, 1e3 * percent)]))
        found.append(
            LibraryCheck(
                "grade.ratio",
                {"grade": f"{percent}%"},
                step.x,
                ":1",
                1e-9,
                "shapely",
                "how far along the line has risen by one",
            )
        )
    for percent, distance in ((2.0, 85.0), (37.0, 240.0), (120.0, 33.0)):
        line = LineString([(0, 0), (distance, distance * percent / 100)])
        found.append(
            LibraryCheck(
                "grade.drop",
                {"grade": f"{percent}%", "distance": f"{distance} m"},
                line.bounds[3] - line.bounds[1],
                "m",
                1e-9,
                "shapely",
                "height of the box around the line",
            )
        )
    for rise, degrees in ((6.0, 12.0), (4.5, 33.0), (11.0, 62.0)):
        # a long line turned up until it is as steep as asked, cut off at the height asked
        line = rotate(LineString([(0, 0), (1000, 0)]), degrees, origin=(0, 0))
        level = LineString([(0, rise), (1000, rise)])
        found.append(
            LibraryCheck(
                "grade.slope_length",
                {"rise": f"{rise} m", "grade": f"{degrees} deg"},
                line.project(line.intersection(level)),
                "m",
                1e-9,
                "shapely",
                "length of a turned line up to the height",
            )
        )
    return found  # fmt: skip


def _height(fall: float, cross: float, x: float, y: float) -> float:
    """Height of a plane that falls by ``fall`` along x and by ``cross`` along y."""
    return float(np.array([fall, cross]) @ np.array([x, y]))


def _plane() -> list[LibraryCheck]:
    found = []
    for fall, cross in ((2.0, 1.5), (20.0, 9.0), (8.0, 31.0), (55.0, 48.0)):
        search = minimize_scalar(
            lambda a, fall=fall, cross=cross: -_height(fall, cross, math.cos(a), math.sin(a)),
            bounds=(0, math.pi / 2),
            method="bounded",
            options={"xatol": 1e-10},
        )
        found.append(
            LibraryCheck(
                "grade.steepest",
                {"main_fall": f"{fall}%", "cross_slope": f"{cross}%"},
                -float(search.fun),
                "%",
                1e-8,
                "scipy",
                "steepest of all directions on the plane, searched for",
            )
        )
    return found  # fmt: skip


def _headings() -> list[LibraryCheck]:
    found = []
    for steepest, heading in ((25.0, 20.0), (40.0, 65.0), (12.0, 37.0), (90.0, 52.0)):
        # a plane through three points, and the heights one step ahead and one to the side
        corners = np.array([[0.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0, 0.0, steepest]])
        normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
        turn = math.radians(heading)
        ahead = np.array([math.cos(turn), math.sin(turn)])
        side = np.array([ahead[1], -ahead[0]])
        along, across = (abs(float(normal[:2] @ d) / float(normal[2])) for d in (ahead, side))
        inputs = {"steepest": f"{steepest}%", "heading": f"{heading} deg"}
        for calculation, result, value in (
            ("grade.heading", None, along), ("grade.heading", "cross_slope", across),
            ("grade.along_heading", None, along), ("grade.across_heading", None, across),
        ):  # fmt: skip
            found.append(
                LibraryCheck(
                    calculation,
                    inputs,
                    value,
                    "%",
                    1e-9,
                    "numpy",
                    "height gained by a step on the plane through three points",
                    result,
                )
            )
    return found  # fmt: skip


def _lasers() -> list[LibraryCheck]:
    found = []
    for percent, feet in ((0.3, 150.0), (0.8, 420.0), (1.5, 60.0)):
        level, leaning = LineString([(0, 0), (1000, 0)]), LineString([(0, 0), (1000, 10 * percent)])
        post = LineString([(feet, -100), (feet, 100)])
        gap = leaning.intersection(post).distance(level.intersection(post))
        inputs = {"off_level": f"{percent}%", "distance": f"{feet} ft"}
        found.append(LibraryCheck("grade.laser_error", inputs, gap, "ft", 1e-9, "shapely", "gap between a level line and one that leans"))
    return found


def _pads() -> list[LibraryCheck]:
    found = []
    for long, wide, percent in ((5.5, 4.2, 10.0), (3.1, 2.6, 35.0)):
        # the ground above the pad's level, drawn down the fall
        rise = long * percent / 100
        wedge = Polygon([(0, 0), (long, 0), (long, rise)])
        lengths = {"pad_length": f"{long} m", "slope": f"{percent}%"}
        _, low, _, high = wedge.bounds
        found.append(LibraryCheck("grade.pad_cut", lengths, high - low, "m", 1e-9, "shapely", "height of the drawn wedge"))
        volume = {"cut": f"{rise!r} m", "pad_length": f"{long} m", "pad_width": f"{wide} m"}
        found.append(
            LibraryCheck("grade.pad_volume", volume, wedge.area * wide, "m3", 1e-9, "shapely", "area of the drawn wedge, times its width")
        )
    return found
