"""The table of units as a script, so that the page reads figures by the same table.

The build writes it beside the page's other scripts; nothing keeps a copy.
"""

from __future__ import annotations

import json
from collections.abc import Mapping

from generator.language.words import tr
from generator.units.reading import FRACTIONS, MOST_POWER
from generator.units.table import AS_FORCE, SMALLER, UNITS

NAME = "unit-table.js"
_HEAD = "/* The table of units, written by the build from generator/units/table.py. Defines seatworkUnits. */\n"


def script(words: Mapping[str, str] | None = None) -> str:
    """A classic script that defines ``window.seatworkUnits``, the same text on every run.

    ``units`` are rows of key, what it measures, label and other spellings, in the order slip codes
    count them; ``smaller``, ``asForce`` and ``fractions`` are the tables of the same names. What is measured and labels are in the language of now; ``words`` are those
    that people type for units in it, and what stands for each in an answer.
    """

    def text(value: object) -> str:
        return json.dumps(value, ensure_ascii=False, separators=(",", ":"))

    rows = ",\n".join(text([u.key, tr(u.what), u.printed, u.spelled]) for u in UNITS.values())
    return (
        f"{_HEAD}window.seatworkUnits = Object.freeze({{\nunits: [\n{rows},\n],\n"
        f"smaller: {text(SMALLER)},\nasForce: {text(AS_FORCE)},\nfractions: {text(FRACTIONS)},\nmostPower: {MOST_POWER},\nwords: {text(dict(words or {}))},\n}});\n"
    )
