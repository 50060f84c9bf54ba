"""Figures of the job that a site may leave out: numbers and drawings go without them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.book.tree import render_tree
from generator.publish.build import load
from tests.book.places import small

PIPE = "  pipe_inside: 12 in\n  pipe_wall: 2 in\n  bedding: 4 in\n"


def page_of(folder: Path, pipe: bool) -> str:
    """The lesson on a trench to grade, of a site that lays a pipe or digs a bare ditch."""
    site = small(folder, "trench-to-grade")
    text = (site / "settings.yml").read_text("utf-8")
    assert PIPE in text
    (site / "settings.yml").write_text(text if pipe else text.replace(PIPE, ""), "utf-8")
    content, tables = load(site)
    tree = render_tree(content, tables)
    assert tree.problems == []
    made = tree.docs["lessons/trench-to-grade.md"]
    return made if isinstance(made, str) else made.decode("utf-8")


def test_a_pipe_and_its_bedding_make_the_trench_deeper(tmp_path: Path) -> None:
    page = page_of(tmp_path / "site", pipe=True)
    assert 'data-part="pipe"' in page and 'data-part="stone"' in page
    # 20 ft less 14.7 ft, and 2 in and 4 in
    assert re.search(r"At the low end you dig .{0,400}5\.8\s?ft", page, re.S)


def test_a_site_from_before_there_were_pipes_builds_as_it_did(tmp_path: Path) -> None:
    page = page_of(tmp_path / "site", pipe=False)
    assert 'data-part="pipe"' not in page and "Grade line</text>" not in page
    assert re.search(r"At the low end you dig .{0,400}5\.3\s?ft", page, re.S)  # the depth it always had


@pytest.mark.parametrize("one", ["pipe_wall", "bedding"])
def test_with_one_of_them_alone_the_depth_counts_it(tmp_path: Path, one: str) -> None:
    site = small(tmp_path / "site", "trench-to-grade")
    text = (site / "settings.yml").read_text("utf-8")
    kept = next(line for line in PIPE.splitlines() if one in line)
    (site / "settings.yml").write_text(text.replace(PIPE, kept + "\n"), "utf-8")
    content, tables = load(site)
    tree = render_tree(content, tables)
    assert tree.problems == []
    page = str(tree.docs["lessons/trench-to-grade.md"])
    wanted = {"pipe_wall": r"5\.47", "bedding": r"5\.63"}[one]  # 5.3 ft and 2 in, and 4 in, to the hundredth
    assert re.search(rf"At the low end you dig .{{0,400}}{wanted}", page, re.S)
    assert 'data-part="pipe"' not in page
