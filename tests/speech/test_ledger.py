"""Every number of the demo's ledger, said in each language, is heard as the ledger has it."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from pathlib import Path

import pytest

from generator.speech.say import Voice
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, UNITS
from tests.speech.test_say import VOICES, held

LABELS = {label: key for key, u in UNITS.items() for label in (u.label, u.one) if label}
FIGURE = re.compile(r"(−?)([\d,\u2009\u202f]+(?:\.\d+)?) ?(.*?)(?: \((not a safe limit|not an allowed slope)\))?")


def figure_of(text: str) -> tuple[Decimal, str] | None:
    """A printed number's figure and the key of its unit; None of words."""
    m = FIGURE.fullmatch(text)
    if m is None or (m[3] and m[3] not in LABELS):
        return None
    return Decimal(re.sub("[,\u2009\u202f]", "", m[2])) * (-1 if m[1] else 1), LABELS.get(m[3], "1")


@pytest.mark.parametrize("voice", VOICES, ids=lambda v: f"{v.language}-{v.mark}")
def test_every_number_of_the_ledger_is_heard_as_it_is(demo: Path, voice: Voice) -> None:
    rows = json.loads((demo / "out" / "ledger.json").read_text("utf-8"))["numbers"]
    seen: set[tuple[Decimal, str]] = set()
    words = 0
    for row in rows:
        for system in SYSTEMS:
            found = figure_of(row[system])
            if found is None:
                words += 1
                continue
            seen.add(found)
    assert len(seen) > 1000 and words < 0.02 * 2 * len(rows)
    for figure, unit in sorted(seen):
        held(Quantity(figure, unit, "length"), voice)  # of which kind it is, nobody hears
