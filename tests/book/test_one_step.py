"""A slot or a truck of a single pass has nothing to show step by step: the lesson says so and goes on."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from generator.book.filmed import instead_html
from generator.book.tree import render_tree
from generator.drawing.errors import ONE_STEP
from generator.publish.build import load
from tests.book.places import small

NO_STEPS = instead_html(ONE_STEP)


def page_of(folder: Path, lesson: str, **changed: str) -> str:
    site = small(folder, lesson)
    text = (site / "settings.yml").read_text("utf-8")
    for name, figure in changed.items():
        text, found = re.subn(rf"(?m)^  {name}: .*$", f"  {name}: {figure}", text)
        assert found == 1
    (site / "settings.yml").write_text(text, "utf-8")
    content, tables = load(site)
    tree = render_tree(content, tables)
    assert tree.problems == []
    return str(tree.docs[f"lessons/{lesson}.md"])


def test_a_slot_of_several_passes_is_shown_step_by_step(tmp_path: Path) -> None:
    page = page_of(tmp_path / "site", "slot-front-to-back")
    assert NO_STEPS not in page and page.count("sw-steps") == 2 and "What it costs" in page


def test_a_slot_of_one_pass_says_that_it_is_one_step(tmp_path: Path) -> None:
    # 100 ft3 as it lies and 125 ft3 loose, and the blade holds 5.5 yd3, which is 148.5 ft3
    page = page_of(tmp_path / "site", "slot-front-to-back", slot_length="20 ft", slot_depth="5 in", carry="100%")
    assert page.count(NO_STEPS) == 1
    assert "sw-steps" not in page and "What it costs" not in page, "the pair is left out whole"
    assert "## Check yourself" in page, "and the lesson goes on"


def test_other_faults_of_a_scene_in_steps_still_stop_the_build(tmp_path: Path) -> None:
    site = small(tmp_path / "site", "slot-front-to-back")
    content, tables = load(site)
    lesson = content.lessons["slot-front-to-back"]  # the same for every site of this process: a copy is changed
    pair = lesson.ways["order"]
    given = {**(pair.right.picture.given or {}), "spoil_heights": "plan.column.front_to_back.height_of_the_spoil_after_it/2"}
    right = replace(pair.right, picture=replace(pair.right.picture, given=given))
    changed = replace(lesson, ways={**lesson.ways, "order": replace(pair, right=right)})
    content = replace(content, lessons={**content.lessons, lesson.id: changed})
    problems = render_tree(content, tables).problems
    assert any("the same figures of each pass" in p.what for p in problems), problems


@pytest.mark.parametrize("said", ["one step", "not shown step by step"])
def test_the_sentence_is_plain(said: str) -> None:
    assert said in NO_STEPS
