"""In a very long table only some rows open their working: a phone could not lay out all of them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from generator.book import page
from generator.book.page import LessonPage, site_lead
from generator.jobsite.model import Person
from generator.publish.build import load
from generator.working.ledger import Ledger
from tests.book.places import small


def test_only_some_rows_of_a_long_table_open_their_working(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    content, site = load(small(tmp_path / "site", "bench-height"))
    lesson = content.lessons["bench-height"]
    site = replace(site, crew=(Person("P-01", "", "", ("E-3",), None, 1),))

    def made() -> tuple[dict[str, str], str, Ledger]:
        ledger = Ledger()
        table = LessonPage(lesson, content, site, site_lead(site), ledger).table()
        return dict(re.findall(r'<tr data-row="([^"]*)">(.*?)</tr>', table)), table, ledger

    rows, table, ledger = made()
    assert len(rows) > 2 and all('<button type="button" class="sw-num' in r for r in rows.values())
    assert "This table is long" not in table

    monkeypatch.setattr(page, "OPENING", 2)
    fewer, table, same = made()
    first = next(i for i in rows if i != "E-3")
    assert {i for i, r in fewer.items() if "<button" in r} == {first, "E-3"}  # the one that somebody runs, then the first
    assert "This table is long" in table
    assert same.rows() == ledger.rows(), "a number that opens nothing is in the ledger as before"
    bare = re.compile(r"<[^>]*>")
    assert {i: bare.sub("", r) for i, r in fewer.items()} == {i: bare.sub("", r) for i, r in rows.items()}
