"""Every number of the demo's ledger, said in each language, is heard as the ledger has it."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

import pytest

from generator.language.catalogue import catalogue
from generator.language.scripts import CONTENT
from generator.language.words import tr, using
from generator.speech.say import Voice
from generator.units.quantity import Quantity
from generator.units.table import SYSTEMS, UNITS
from tests.speech.test_say import VOICES, held

SAID_BESIDE = ("not a safe limit", "not an allowed slope")
WORDS = {language: catalogue(language, (CONTENT,)) for language in ("en", "es")}


@lru_cache
def labels(language: str) -> dict[str, str]:
    """What is printed behind a figure in a language, and the key of the unit."""
    with using(WORDS[language]):
        return {tr(label): key for key, u in UNITS.items() for label in (u.label, u.one) if label}


def figure_of(text: str, language: str = "en", mark: str = ".") -> tuple[Decimal, str] | None:
    """A printed number's figure and the key of its unit; None of words. ``mark`` stands before its decimals."""
    with using(WORDS[language]):
        beside = "|".join(tr(words) for words in SAID_BESIDE)
    other = "," if mark == "." else "."
    m = re.fullmatch(rf"(−?)([0-9{re.escape(other)}\u2009\u202f]+(?:{re.escape(mark)}[0-9]+)?) ?(.*?)(?: \(({beside})\))?", text)
    if m is None or (m[3] and m[3] not in labels(language)):
        return None
    figure = Decimal(re.sub(rf"[{re.escape(other)}\u2009\u202f]", "", m[2]).replace(mark, "."))
    return figure * (-1 if m[1] else 1), labels(language).get(m[3], "1")


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
