"""What a site's figures do not give is left out and told, and nothing else is."""

from __future__ import annotations

import re
from pathlib import Path

from generator.book.part import Tree
from generator.book.tree import render_tree
from generator.publish.build import load
from tests.book.places import small

OUT = "does not reach the floor of this trench"


def trench(folder: Path, edge: str) -> Tree:
    site = small(folder, "trench-to-grade")
    text = (site / "settings.yml").read_text("utf-8")
    text, found = re.subn(r"(?m)^  edge_distance: .*$", f"  edge_distance: {edge}", text)
    assert found == 1
    (site / "settings.yml").write_text(text, "utf-8")
    return render_tree(*load(site))


def test_a_machine_held_too_far_from_the_edge_is_not_shown_digging(tmp_path: Path) -> None:
    tree = trench(tmp_path / "far", "30 ft")
    assert tree.problems == []
    page = str(tree.docs["lessons/trench-to-grade.md"])
    assert page.count(OUT) == 1 and "sw-steps" not in page and "What it costs" not in page
    (notice,) = tree.notices
    assert notice.code == "question-left-out" and notice.file == "settings.yml" and "the quiz of trench-to-grade" in notice.what
    left = re.findall(r"grade-trench-\d+", notice.what)
    assert len(left) >= 2 and not any(f'name="{one}"' in page for one in left)
    asked = {q["id"] for q in tree.marking["trench-to-grade"]["questions"]}
    assert asked and not asked & set(left), "nothing marks what nobody is asked"


def test_within_reach_nothing_is_left_out(tmp_path: Path) -> None:
    tree = trench(tmp_path / "near", "6 ft")
    assert tree.problems == [] and tree.notices == []
    assert OUT not in str(tree.docs["lessons/trench-to-grade.md"])


def test_a_site_without_dozers_is_asked_nothing_of_them(tmp_path: Path) -> None:
    site = small(tmp_path / "site", "if-it-slides")
    rows = (site / "machines.csv").read_text("utf-8").splitlines(keepends=True)
    (site / "machines.csv").write_text("".join(r for r in rows if not r.startswith("D-")), "utf-8")
    text = (site / "settings.yml").read_text("utf-8")
    text = re.sub(r"(?m)^  dozer: .*\n", "", text).replace("machines: [dozer]", "machines: [excavator]")
    (site / "settings.yml").write_text(text, "utf-8")
    crew = (site / "crew.csv").read_text("utf-8")
    (site / "crew.csv").write_text(re.sub(r"\bD-\d+", "E-1", crew), "utf-8")
    tree = render_tree(*load(site))
    assert tree.problems == []
    page = str(tree.docs["lessons/if-it-slides.md"])
    quiz = page[page.index("<seatwork-quiz") : page.index("</seatwork-quiz>")]
    asks = re.findall(r"<legend.*?</fieldset>", quiz, re.DOTALL)
    assert asks and not any("The dozer" in a or "A dozer" in a for a in asks)
