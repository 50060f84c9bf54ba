"""Finding a buried line: holes dug by hand along it, the time they take, and what a bucket may dig between two lines."""

from __future__ import annotations

from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source

FENCE = Source(None, "counting: one at the start, and one for each space", "derived")
ZONES = Source("one-call-laws", "tolerance zone, measured from the outside edge")

HOLES = Formula(
    id="lines.potholes",
    title="Holes dug by hand along a marked line",
    words="The length of the line divided by the farthest from hole to hole, and one more, as both ends have one. Up to the next whole hole.",
    written="round_up(length / spacing + 1)",
    result=Output("n", "count", "holes dug by hand, one at each end", rounding="rounded up: part of a space needs its own hole"),
    inputs=(
        Input("length", "L", "length", "how far the work runs along the marked line", low="1 ft", high="20000 ft", example_us="120 ft",
              example_metric="36 m"),
        Input("spacing", "s", "length", "the farthest from one hole to the next", low="1 ft", high="200 ft", example_us="25 ft",
              example_metric="8 m"),
    ),
    source=FENCE,
    also=(Source("pothole-guides", "a hole at both ends and one at each space between"),),
    limits="One line that runs straight from hole to hole. Each bend, branch and crossing needs its own hole as well. How far apart the "
    "holes may be says the line's owner, the local rule or this site. Two holes do not tell how deep the line lies between them.",
)  # fmt: skip

HOLE_TIME = Formula(
    id="lines.pothole_time",
    title="Time to dig the holes along a line",
    words="The holes times the time for one.",
    written="holes * hole_time",
    result=Output("T", "time", "time for all the holes", us="h", metric="h", limit="least"),
    inputs=(
        Input("holes", "n", "count", "the holes to dig", low="1", high="20000", example_us="6", example_metric="6"),
        Input("hole_time", "t", "time", "the time one hole takes, moving on included", low="1 min", high="8 h", example_us="25 min",
              example_metric="25 min"),
    ),
    source=COMMON_PRACTICE,
    limits="One crew that digs one hole after the other. Time it on your own ground: clay, stones and roots take longer. It is no time to dig by.",
)  # fmt: skip

MACHINE_STRIP = Formula(
    id="lines.machine_strip",
    title="What a bucket may dig between two lines",
    words="From line to line, less the width of one line and the hand-dug strip on both its sides.",
    written="apart - line_width - 2 * tolerance",
    result=Output("W_dig", "length", "what is left for the bucket between the two zones; below zero there is none", at_least=None, places=2,
                  limit="most"),
    inputs=(
        Input("apart", "D", "length", "how far the two lines lie apart, middle to middle, as found by hand", low="1 in", high="2000 ft",
              example_us="14 ft", example_metric="4.2 m"),
        Input("line_width", "w", "length", "the outside width of the lines, the wider one's", low="0.1 in", high="30 ft", example_us="8 in",
              example_metric="20 cm"),
        Input("tolerance", "t", "length", "the strip on each side that the local rule names", low="12 in", high="20 ft",
              example_us="24 in", example_metric="60 cm"),
    ),
    source=ZONES,
    limits="Measured between the bare lines, not between the marks. Both lines taken as wide as the wider. The zone is a least: the line's "
    "owner may ask for more. Below zero all of it is dug by hand or vacuum.",
)  # fmt: skip

FOUND_CALCULATIONS: tuple[Formula, ...] = (HOLES, HOLE_TIME, MACHINE_STRIP)
