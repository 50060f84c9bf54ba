"""Lessons that got figures to work with later still build on a site that leaves these out."""

from __future__ import annotations

import re
from pathlib import Path

from generator.book.tree import render_tree
from generator.publish.build import load
from tests.book.places import small


def page_of(site: Path, lesson: str) -> str:
    content, tables = load(site)
    tree = render_tree(content, tables)
    assert tree.problems == []
    made = tree.docs[f"lessons/{lesson}.md"]
    return made if isinstance(made, str) else made.decode("utf-8")


def without(site: Path, *names: str) -> None:
    """Take figures of the job out of the settings."""
    settings = site / "settings.yml"
    text = settings.read_text("utf-8")
    for name in names:
        text, taken = re.subn(rf"^  {name}: .*\n", "", text, flags=re.MULTILINE)
        assert taken, name
    settings.write_text(text, "utf-8")


def test_a_month_on_a_side_slope_goes_by_an_example_where_no_part_was_measured(tmp_path: Path) -> None:
    site = small(tmp_path / "site", "even-wear")
    without(site, "wear_new", "wear_limit", "wear_measured", "wear_hours", "working_side_slope", "shift_hours")
    page = page_of(site, "even-wear")
    # half of 2.8 in less 1.2 in is worn off after 1,800 h, so as many are left by turns
    assert re.search(r"By turns it is .{0,500}1,800\s?h", page, re.S)
    assert "176 h" in re.sub(r"[\s\u00a0\u202f]+", " ", page), "22 shifts of eight hours"
