"""The ids of the lessons, as the chapters list them."""

from __future__ import annotations

LESSONS = frozenset(
    [
        "reading-grades",
        "bank-loose-compacted",
        "stop-work",
        "slot-front-to-back",
        "spoil-pile",
        "stripping",
        "steer-with-the-blade",
        "ripping-first",
        "bench-height",
        "standing-on-the-bench",
        "digging-pass",
        "truck-match",
        "loading-order",
        "payload-tally",
        "side-slope-limits",
        "building-a-slope",
        "if-it-slides",
        "holding-a-grade",
        "trench-to-grade",
        "trench-walls",
        "lines-above-and-below",
        "reverse-is-wear",
        "even-wear",
        "pins-and-side-loads",
        "undercarriage-left",
        "track-width",
        "backfill-with-the-blade",
    ]
)
