"""The handbook's list of second opinions is what the tests really run."""

from __future__ import annotations

import yaml

from tests.conftest import ROOT
from tests.outside.collected import library_checks


def test_the_list_names_just_the_libraries_that_are_asked() -> None:
    asked: dict[str, set[str]] = {}
    for _, check in library_checks():
        asked.setdefault(check.calculation, set()).add(check.library)
    listed = yaml.safe_load((ROOT / "content/library-checks.yml").read_text("utf-8"))
    assert {k: {r["library"] for r in v} for k, v in listed.items()} == asked
