"""Undercarriage wear: how far worn, how long left, and what adds to it."""

from __future__ import annotations

from generator.calc.catalogue.wear_left import HOURS_LEFT, PERCENT_WORN, READING_OFF
from generator.calc.catalogue.wear_practice import CALCULATIONS as PRACTICE
from generator.calc.catalogue.wear_sides import CALCULATIONS as SIDES
from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source
from generator.calc.procedure import Procedure

REVERSE_DISTANCE = Formula(
    id="wear.reverse_distance",
    title="Distance in reverse in a shift",
    words="The passes in a shift, times how far one backs up in each.",
    written="shift_time * efficiency / cycle_time * return_distance",
    result=Output("d_reverse", "length", "distance in reverse", us="mi", metric="km",
                  work_us="ft", work_metric="m"),
    inputs=(
        Input("return_distance", "d_return", "length", "the mean distance backed up in a pass",
              low="5 ft", high="2000 ft", example_us="150 ft", example_metric="45 m"),
        Input("cycle_time", "t_cycle", "time", "the time of one push and return", low="0.05 min",
              high="60 min", example_us="1.5 min", example_metric="1.5 min"),
        Input("shift_time", "t_shift", "time", "the length of the shift", low="0.1 h", high="24 h",
              default="8 h", example_us="8 h", example_metric="8 h"),
        Input("efficiency", "f_efficiency", "factor", "the part of the hour worked", low="0.05",
              high="1", default="50 min/h", example_us="50 min/h", example_metric="50 min/h"),
    ),
    source=Source(None, "passes times distance", "derived"),
    also=(Source("dozing-article-2010", "reverse travel as the worst track wear"),),
    limits="The same pass all shift. Walking the machine to and from the job comes on top.",
)  # fmt: skip

REVERSE_TOTAL = Formula(
    id="wear.reverse_total",
    title="Distance in reverse over some passes",
    words="How far one backs up in a pass, times the passes.",
    written="return_distance * passes",
    result=Output("d_reverse", "length", "distance in reverse"),
    inputs=(
        REVERSE_DISTANCE.inputs[0],
        Input("passes", "n", "count", "the number of passes", low="1", high="100000",
              example_us="40", example_metric="40"),
    ),
    source=Source(None, "passes times distance", "derived"),
    limits="The same way back in every pass, or the mean of them.",
)  # fmt: skip

REVERSE_HOURS = Formula(
    id="wear.work_left_by_reverse",
    title="Hours of the same work left, with more reverse or with less",
    words="The hours left as it worked so far, times the reverse for a job so far, divided by the reverse for the same job from now on.",
    written="hours_left * reverse_so_far / reverse_from_now",
    result=Output("t_same", "time", "hours of the same work left", us="h", metric="h", work_us="h", work_metric="h"),
    inputs=(
        Input("hours_left", "t_left", "time", "the hours left as it worked so far", low="0 h", high="10000000 h", work_us="h", work_metric="h",
              example_us="1800 h", example_metric="1800 h"),
        Input("reverse_so_far", "d_so_far", "length", "the distance in reverse for a job, as it was worked so far", low="1 ft",
              high="10000000 ft", example_us="6000 ft", example_metric="1800 m"),
        Input("reverse_from_now", "d_from_now", "length", "the distance in reverse for the same job from now on", low="1 ft",
              high="10000000 ft", example_us="9000 ft", example_metric="2700 m"),
    ),
    source=Source("wear-lecture-nptel", "law of wear: what wears off goes with the force and the way"),
    also=(Source("track-wear-article-2010", "backing turns the bushings under load"),),
    limits="For a part that wears in reverse alone, as joints do on the sprocket, and at the same load and speed. Other parts wear going "
    "forward too, so they feel the change less. An hour stands for the ground that was moved in an hour so far, however long it takes now.",
)  # fmt: skip

SIDE_SHARE = Formula(
    id="wear.side_share",
    title="Share of the hours with the left side low",
    words="Hours with the left side low, divided by all hours on a side slope.",
    written="hours_left_low / (hours_left_low + hours_right_low)",
    result=Output("p_left", "fraction", "share of hours with the left side low"),
    inputs=(
        Input("hours_left_low", "t_left", "time", "the hours worked with the left track lower",
              low="0 h", high="100000 h", work_us="h", work_metric="h", example_us="30 h",
              example_metric="30 h"),
        Input("hours_right_low", "t_right", "time", "the hours worked with the right track lower",
              low="0 h", high="100000 h", work_us="h", work_metric="h", example_us="10 h",
              example_metric="10 h"),
    ),
    source=COMMON_PRACTICE,
    also=(Source("undercarriage-article", "steps three to five: the low side carries more"),),
    limits="Half means both sides take turns evenly. Hours on level ground do not count.",
)  # fmt: skip

GROUSER_SLOPE_ERROR = Formula(
    id="wear.grouser_slope_error",
    title="Cross slope error from uneven grousers",
    words="The difference in grouser height, divided by the distance between the tracks.",
    written="height_difference / track_gauge",
    result=Output("e", "grade", "cross slope error"),
    inputs=(
        Input("height_difference", "h", "length", "how much higher the grousers of one track are",
              low="0 in", high="6 in", work_us="in", work_metric="mm", example_us="1 in",
              example_metric="25 mm"),
        Input("track_gauge", "T", "length", "the distance between the middles of the tracks",
              low="2 ft", high="20 ft", work_us="in", work_metric="mm", example_us="80 in",
              example_metric="2 m"),
    ),
    source=Source(None, "geometry: rise over run between the tracks", "derived"),
    limits="Hard ground, where the grousers do not sink in. On soft ground the tracks may sink "
    "unevenly as well.",
)  # fmt: skip

SIDE_MOMENT = Formula(
    id="wear.side_moment",
    title="Turning force of a sideways push on the pins",
    words="The sideways force times the distance from the pin.",
    written="force * reach",
    result=Output("M", "moment", "turning force on the pins"),
    inputs=(
        Input("force", "F", "force", "the sideways force at the bucket", low="1 lbf",
              high="500000 lbf", example_us="5000 lbf", example_metric="20 kN"),
        Input("reach", "R", "length", "the distance from the pin to the bucket", low="0.5 ft",
              high="100 ft", example_us="20 ft", example_metric="6 m"),
    ),
    source=Source(None, "statics: force times arm", "derived"),
    limits="A steady push, square to the stick. A blow is far harder. Pins, stick and boom are "
    "made for front-to-back loads.",
)  # fmt: skip

CALCULATIONS: tuple[Formula | Procedure, ...] = (
    PERCENT_WORN, HOURS_LEFT, READING_OFF, REVERSE_DISTANCE, REVERSE_TOTAL, REVERSE_HOURS, SIDE_SHARE, *SIDES, GROUSER_SLOPE_ERROR, SIDE_MOMENT,
    *PRACTICE,
)  # fmt: skip
