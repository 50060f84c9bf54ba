"""Stripping an area in strips: how many fit, and what their windrows leave to be picked up.

The strips lie side by side across the area, each as long as a push and as wide as the blade, with a
windrow on both sides of every strip. What lies in the windrows was stripped too: it is part of the
area's volume, and is pushed a second time at the end.
"""

from __future__ import annotations

from generator.calc.formula import Formula, Input, Output, Source

AREA_WIDTH = Formula(
    id="dozing.strip_area_width",
    title="Width of the area, across the pushes",
    words="The area divided by the length of a strip.",
    written="area / strip_length",
    result=Output("W_area", "length", "width of the area"),
    inputs=(
        Input("area", "A", "area", "the area to strip", low="10 ft2", high="50000000 ft2",
              work_us="ft2", work_metric="m2", example_us="20,000 ft2", example_metric="2000 m2"),
        Input("strip_length", "L", "length", "the length of a strip", low="3 ft", high="3000 ft",
              example_us="150 ft", example_metric="45 m"),
    ),
    source=Source(None, "geometry: an area with four square corners", "derived"),
    limits="An area with four square corners, the pile along one of its sides.",
)  # fmt: skip

WINDROW_BASE = Formula(
    id="dozing.windrow_base",
    title="Width of a windrow on the ground",
    words="Twice the height over the tan of the angle of repose.",
    written="2 * height / tan(repose)",
    result=Output("b", "length", "width of a windrow on the ground"),
    inputs=(
        Input("height", "H", "length", "the height of the windrow", low="0.1 ft", high="30 ft",
              example_us="1.5 ft", example_metric="0.5 m"),
        Input("repose", "φ", "angle", "the angle of repose, at which loose ground comes to rest",
              low="5 deg", high="60 deg", example_us="35deg", example_metric="35deg"),
    ),
    source=Source(None, "geometry: a ridge with two slopes", "derived"),
    limits="A windrow with both sides at rest.",
)  # fmt: skip

STRIPS = Formula(
    id="dozing.strips",
    title="Strips side by side in an area",
    words="The width of the area divided by a blade and a windrow, to the next whole strip.",
    written="round_up(area_width / (blade_width + windrow_base))",
    result=Output("n", "count", "strips", rounding="rounded up: the last strip may be a narrow one"),
    inputs=(
        Input("area_width", "W_area", "length", "the width of the area, across the pushes",
              low="0.01 ft", high="50000 ft", example_us="130 ft", example_metric="40 m"),
        Input("blade_width", "W", "length", "the width of the blade", low="2 ft", high="30 ft",
              example_us="12 ft", example_metric="4 m"),
        Input("windrow_base", "b", "length", "the width of a windrow on the ground; none where the "
              "strips touch", low="0 ft", high="200 ft", example_us="4 ft", example_metric="1.4 m"),
    ),
    source=Source(None, "strips laid side by side", "derived"),
    limits="Every strip as wide as the blade. The ground under the windrows is stripped as they are "
    "picked up.",
)  # fmt: skip

WINDROWS = Formula(
    id="dozing.windrows_volume",
    title="Ground in all windrows",
    words="One windrow more than there are strips, times what lies in one.",
    written="(strips + 1) * windrow_volume",
    result=Output("V", "loose_volume", "loose ground in all windrows"),
    inputs=(
        Input("strips", "n", "count", "the strips side by side", low="1", high="10000",
              example_us="8", example_metric="8"),
        Input("windrow_volume", "V_row", "loose_volume", "the loose ground in one windrow",
              low="0.001 yd3", high="100000 yd3", example_us="18 lcy", example_metric="13 lcm"),
    ),
    source=Source(None, "a windrow on both sides of every strip", "derived"),
    limits="All windrows as long and as high. It is a part of what the area holds, not on top of it.",
)  # fmt: skip
