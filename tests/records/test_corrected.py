"""Which corrections stand, by the person they are about."""

from __future__ import annotations

import datetime

from generator.records.corrected import Corrected
from generator.records.told import Correction

DAY = datetime.date(2026, 3, 14)


def test_that_an_id_is_the_same_person_s_is_said_of_that_id_alone() -> None:
    married = Correction(None, "P-01", "same person", "R. Calloway", "married", DAY, 7)
    void = Correction(4, "P-02", "void", "R. Calloway", "seen", DAY, 8)
    word = Corrected((married, void), (), ())
    assert word.same("P-01") is married and word.same("P-02") is None and word.same("P-03") is None
    later = Correction(None, "P-01", "same person", "R. Calloway", "again", DAY, 9)
    assert Corrected((married, later, void), (), ()).same("P-01") is later


def test_the_last_word_on_an_id_counts() -> None:
    old, gone, new = (Correction(None, "P-01", "same person", "R. Calloway", "married", DAY, n) for n in (7, 9, 11))
    assert Corrected((old,), (gone,), ()).no_longer_same("P-01") is gone
    assert Corrected((new,), (gone,), ()).no_longer_same("P-01") is None and Corrected((), (), ()).no_longer_same("P-01") is None
    assert Corrected((), (gone,), ()).no_longer_same("P-02") is None
