"""What is left of a part that wears: the share worn, and the hours left."""

from __future__ import annotations

from generator.calc.formula import Formula, Input, Output, Source

INSPECTION = Source(None, "undercarriage inspection, common practice", "common practice")


def _size(name: str, symbol: str, meaning: str, us: str, metric: str) -> Input:
    return Input(
        name, symbol, "length", meaning, low="0.05 in", high="60 in", work_us="in",
        work_metric="mm", example_us=us, example_metric=metric,
    )  # fmt: skip


PERCENT_WORN = Formula(
    id="wear.percent_worn",
    title="How far a part is worn",
    words="What has worn off, divided by all that may wear off.",
    written="(new - measured) / (new - limit)",
    result=Output("w", "fraction", "share worn"),
    inputs=(
        _size("new", "d_new", "the size of the part when new", "3 in", "80 mm"),
        _size("limit", "d_limit", "the size at which it is worn out", "1 in", "30 mm"),
        _size("measured", "d_now", "the size measured now", "2 in", "60 mm"),
    ),
    source=INSPECTION,
    limits="New size and limit come from the machine's manual. It also holds for a size that "
    "grows, such as the length of a track link. Clean the part first.",
)

HOURS_LEFT = Formula(
    id="wear.hours_left",
    title="Hours left in a part",
    words="Hours run, divided by the share worn, less the hours run.",
    written="hours * (1 / percent_worn - 1)",
    result=Output("t_left", "time", "hours left", us="h", metric="h", work_us="h", work_metric="h"),
    inputs=(
        Input("percent_worn", "w", "fraction", "the share worn", low="1%", high="100%",
              example_us="40%", example_metric="40%"),
        Input("hours", "t", "time", "the hours run since the part was new", low="1 h",
              high="100000 h", work_us="h", work_metric="h", example_us="1200 h",
              example_metric="1200 h"),
    ),
    source=INSPECTION,
    limits="Straight-line wear: as fast from now on as until now. Other ground, more reverse or a "
    "tight track change it. Measure again and do not wait for the last hour.",
)  # fmt: skip

READING_OFF = Formula(
    id="wear.reading_off",
    title="What is read over dirt or at a wrong spot",
    words="The true size, and the part of the wear that stays hidden.",
    written="measured + hidden * (new - measured)",
    result=Output("d_read", "length", "the size that is read", us="in", metric="mm", work_us="in", work_metric="mm"),
    inputs=(
        _size("measured", "d_now", "the true size now", "2 in", "60 mm"),
        Input("hidden", "q", "fraction", "the part of the wear that dirt or a wrong spot hides", low="0%", high="90%", default="25%",
              example_us="25%", example_metric="25%"),
        _size("new", "d_new", "the size of the part when new", "3 in", "80 mm"),
    ),
    source=Source(None, "what is hidden of the wear is not measured", "derived"),
    limits="An example of how far a reading can be off. How much dirt hides differs each time. For a size that grows, such as that of a "
    "chain, it is what a chain that hangs slack hides.",
)  # fmt: skip
