"""The order to learn lessons in: a role's own, but each lesson after those it builds on."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.lesson import Lesson, in_order
from generator.book.tree import not_worked, render_tree
from generator.jobsite.reader import read
from generator.source.problem import Refusals
from tests.conftest import copy_demo
from tests.sites import own_lesson


def lessons(before: dict[str, list[str]]) -> dict[str, Lesson]:
    return {i: Lesson(i, i, "any", {}, f"{i}.md", builds_on=tuple(b)) for i, b in before.items()}  # type: ignore[arg-type]


def test_as_given_where_nothing_builds_on_another() -> None:
    assert in_order(["c", "a", "b"], lessons({"a": [], "b": [], "c": []})) == ("c", "a", "b")


def test_each_after_what_it_builds_on_and_only_what_was_asked_for() -> None:
    known = lessons({"a": ["b", "z"], "b": ["c"], "c": [], "z": [], "d": []})
    assert in_order(["d", "a", "c", "b"], known) == ("d", "c", "b", "a")


@given(st.permutations([f"l{i}" for i in range(7)]), st.sets(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=9))
def test_whatever_builds_on_whatever(ids: list[str], pairs: set[tuple[int, int]]) -> None:
    before: dict[str, list[str]] = {i: [] for i in ids}
    for low, high in pairs:
        if low < high:
            before[f"l{high}"].append(f"l{low}")
    made = in_order(ids, lessons(before))
    assert sorted(made) == sorted(ids)
    assert all(made.index(b) < made.index(i) for i, bs in before.items() for b in bs)


def test_a_circle_leaves_nothing_out() -> None:
    assert sorted(in_order(["a", "b"], lessons({"a": ["b"], "b": ["a"]}))) == ["a", "b"]


@pytest.mark.parametrize(
    ("builds_on", "told"),
    [
        ("[stopwork]", "lessons/look-first.md:11: builds_on: there is no lesson 'stopwork'; did you mean stop-work?"),
        ("[look-first]", "lessons/look-first.md:11: builds_on: look-first and look-first build on each other; take one of the two out"),
    ],
)
def test_what_a_lesson_cannot_build_on(tmp_path: Path, builds_on: str, told: str) -> None:
    folder = own_lesson(copy_demo(tmp_path / "site"), builds_on=builds_on)
    with pytest.raises(Refusals) as e:
        read_content(content_folder(), folder)
    assert [str(p) for p in e.value.problems] == [told]


def test_the_operators_page_and_the_next_lesson_go_by_it(tmp_path: Path) -> None:
    folder = own_lesson(copy_demo(tmp_path / "site"), builds_on="[reading-grades]", lessons="[look-first, stop-work, reading-grades]")
    content = read_content(content_folder(), folder)
    tree = render_tree(content, read(folder, lesson_ids(content_folder(), folder)))
    assert tree.problems == []
    roles = json.loads(str(tree.docs["assets/roles.js"]).partition(" = ")[2].rstrip(";\n"))["roles"]
    assert roles == [["digger", "Digger", ["reading-grades", "look-first", "stop-work"]]]
    page = str(tree.docs["operator.md"])
    assert page.index("reading-grades.html") < page.index("look-first.html") < page.index("stop-work.html")
    assert 'Read first: <a href="reading-grades.html">' in str(tree.docs["lessons/look-first.md"])
    sheet = str(tree.mentor["signoff/digger.html"])
    assert sheet.index(content.lessons["reading-grades"].title) < sheet.index("Look first")


def test_a_role_without_a_lesson_about_working_its_machine_is_named(tmp_path: Path) -> None:
    folder = own_lesson(copy_demo(tmp_path / "site"), machines="[excavator, truck]", lessons="[stop-work, digging-pass]")
    content = read_content(content_folder(), folder)
    (told,) = not_worked(content, read(folder, lesson_ids(content_folder(), folder)))
    assert told.code == "not-worked" and told.line is not None
    assert "Digger runs trucks and has no lesson about working one" in told.what


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("## Only\n\nNothing is asked.\n", "the lesson asks none of its questions"),
        ("No heading.\n\n{{ quiz() }}\n", "the text has no headings"),
        ("## Twice\n\n{{ quiz() }}\n\n## Twice\n", "the heading 'Twice' stands twice"),
    ],
)
def test_an_own_lesson_has_its_own_headings_and_asks(tmp_path: Path, text: str, told: str) -> None:
    folder = own_lesson(copy_demo(tmp_path / "site"))
    path = folder / "lessons/look-first.md"
    front, _, _ = path.read_text("utf-8").partition("\n## ")
    path.write_text(f"{front}\n{text}", "utf-8")
    with pytest.raises(Refusals) as e:
        read_content(content_folder(), folder)
    assert [p.what for p in e.value.problems] == [told]


def test_a_sheet_without_a_sum_has_no_sum(tmp_path: Path) -> None:
    folder = own_lesson(copy_demo(tmp_path / "site"))
    tree = render_tree(read_content(content_folder(), folder), read(folder, lesson_ids(content_folder(), folder)))
    assert tree.problems == []
    sheet = str(tree.docs["sheets/look-first.html"])
    assert "Look first." in sheet and "Work it out together" not in sheet and "You." not in sheet
    assert "You." in str(tree.mentor["keys/look-first.html"])
    assert "## What we do here" in str(tree.docs["lessons/look-first.md"])


def test_who_does_not_run_the_machine_shows_what_is_done_beside_it(tmp_path: Path) -> None:
    """On the sign-off sheet of those on foot stand their own lines, on the page both."""
    folder = own_lesson(copy_demo(tmp_path / "site"), machines="[on foot]")
    path = folder / "lessons/look-first.md"
    path.write_text(path.read_text("utf-8").replace("show:\n", "show_beside:\n  - Stands where the operator looks.\nshow:\n"), "utf-8")
    tree = render_tree(read_content(content_folder(), folder), read(folder, lesson_ids(content_folder(), folder)))
    assert tree.problems == []
    sheet, page = str(tree.mentor["signoff/digger.html"]), str(tree.docs["lessons/look-first.md"])
    assert "Stands where the operator looks." in sheet and "Says where nobody stands." not in sheet
    assert "Stands where the operator looks." in page and "Says where nobody stands." in page
    assert "Works on foot." in str(tree.docs["operator.md"])
    settings = folder / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("[on foot]", "[excavator]"), "utf-8")
    tree = render_tree(read_content(content_folder(), folder), read(folder, lesson_ids(content_folder(), folder)))
    sheet = str(tree.mentor["signoff/digger.html"])
    assert "Says where nobody stands." in sheet and "Stands where the operator looks." not in sheet
