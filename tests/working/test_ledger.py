"""The number ledger: every number on every page, each once, in a file two editions of which compare well."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from generator.working.ledger import Entry, Ledger

ENTRY = Entry(
    page="lessons/b.md", place="table, row 2", what="höhe", values={"us": "10 ft", "metric": "3.05 m"}, si=3.0480000000000005,
    calculation="loading.bench_height", inputs={"us": {"stick_length": "10 ft"}, "metric": {"stick_length": "3.05 m"}},
    sources=("book",), origin="the table machines, line 7",
)  # fmt: skip


def read(ledger: Ledger) -> dict[str, Any]:
    made: dict[str, Any] = json.loads(ledger.as_json("2026-1", "Bench é", "us"))
    return made


def test_the_file_says_what_it_is_and_what_every_number_comes_from() -> None:
    ledger = Ledger()
    ledger.enter(ENTRY)
    assert read(ledger) == {
        "ledger": 1, "site": "Bench é", "edition": "2026-1", "units": "us",
        "numbers": [{
            "page": "lessons/b.md", "place": "table, row 2", "what": "höhe", "us": "10 ft", "metric": "3.05 m", "si": 3.048,
            "calculation": "loading.bench_height",
            "inputs": {"us": {"stick_length": "10 ft"}, "metric": {"stick_length": "3.05 m"}},
            "sources": ["book"], "origin": "the table machines, line 7",
        }],
    }  # fmt: skip


def test_a_number_said_twice_in_a_place_is_kept_once_and_a_wordy_one_has_no_value() -> None:
    ledger = Ledger()
    words = replace(ENTRY, si=None, calculation=None, place="prose")
    for entry in (ENTRY, words, ENTRY, replace(ENTRY, page="lessons/a.md"), replace(ENTRY)):
        ledger.enter(entry)
    numbers = read(ledger)["numbers"]
    assert len(numbers) == 3
    assert {(n["page"], n["place"], n["si"]) for n in numbers} == {
        ("lessons/a.md", "table, row 2", 3.048), ("lessons/b.md", "prose", None), ("lessons/b.md", "table, row 2", 3.048),
    }  # fmt: skip
    assert next(n for n in numbers if n["place"] == "prose")["calculation"] is None


def test_two_editions_compare_well_one_entry_a_line_whatever_the_order() -> None:
    entries = [replace(ENTRY, what=f"number {n}") for n in range(5)]
    one, two = Ledger(), Ledger()
    for entry in entries:
        one.enter(entry)
    for entry in reversed(entries):
        two.enter(replace(entry, inputs=dict(reversed(list(entry.inputs.items())))))
    made = one.as_json("2026-1", "Bench é", "us")
    assert made == two.as_json("2026-1", "Bench é", "us")
    lines = made.split("\n")
    assert len(lines) == 5 + 3 and made.endswith("\n")
    assert [json.loads(x.removesuffix(","))["what"] for x in lines[1:-2]] == [f"number {n}" for n in range(5)]
    # letters of any language stay readable in it
    assert "Bench é" in lines[0] and "höhe" in Ledger([ENTRY]).rows()[0]
    assert [list(json.loads(x)) == sorted(json.loads(x)) for x in one.rows()] == [True] * 5


def test_the_value_keeps_twelve_digits() -> None:
    (row,) = Ledger([replace(ENTRY, si=1.2345678901234567)]).rows()
    assert json.loads(row)["si"] == 1.23456789012
    (row,) = Ledger([replace(ENTRY, si=0.1 + 0.2)]).rows()
    assert '"si": 0.3,' in row
