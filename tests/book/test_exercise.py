"""The field exercise of a lesson: on its page, on the back of its sheet, on the key and on the sign-off sheet."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from generator.book.model import EXERCISE as LISTS
from generator.book.part import Tree
from generator.book.template import pieces
from generator.book.tree import render_tree
from generator.publish.build import load
from generator.source.problem import Refusals
from tests.book.places import EXERCISE, LESSON, QUESTIONS, added, small
from tests.book.test_lacking import blank_tails

ID = "yard-gate"
HEADS = ["Set out", "Do", "Measure", "What to expect here", "If it is off"]
# lessons that teach a skill of the hands: each has an exercise that measures it
PRACTISED = ("even-wear", "payload-tally", "reverse-is-wear", "standing-on-the-bench", "truck-match", "undercarriage-left")


def made(folder: Path, exercise: str = EXERCISE, *, called: str = "{{ exercise() }}\n\n{{ show() }}") -> Tree:
    site = small(folder, "stop-work", ID)
    added(site, ID, LESSON.replace("sheet:\n", exercise + "sheet:\n", 1).replace("{{ show() }}", called, 1))
    return render_tree(*load(site))


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Tree:
    found = made(tmp_path_factory.mktemp("exercise") / "site")
    assert [str(p) for p in found.problems] == []
    return found


def text(page: str | bytes) -> str:
    assert isinstance(page, str)
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_the_page_has_its_parts_in_order_and_above_what_the_mentor_sees(tree: Tree) -> None:
    page = str(tree.docs[f"lessons/{ID}.md"])
    part = page[page.index("## Show your mentor") :]
    section = re.search(r'<section class="sw-exercise".*?</section>', part, re.DOTALL)
    assert section is not None
    assert re.findall(r"<h4>(.*?)</h4>", section[0]) == HEADS
    assert "Good enough: Ten times through" in text(section[0])
    assert part.index("sw-exercise") < part.index("Shuts the gate.")
    # its figures open their working, and are entered as any other
    assert re.search(r'<button[^>]*class="sw-num', section[0])
    assert f'href="../sheets/{ID}.html"' in section[0]
    assert page.count('id="field-exercise"') == 1 and 'href="#field-exercise"' in part


def test_a_wrong_answer_may_send_the_reader_there(tmp_path: Path) -> None:
    site = small(tmp_path / "site", "stop-work", ID)
    with_exercise = LESSON.replace("sheet:\n", EXERCISE + "sheet:\n", 1).replace("{{ show() }}", "{{ exercise() }}\n\n{{ show() }}", 1)
    added(site, ID, with_exercise, QUESTIONS.replace("- id: gate-2", "  read_again: field-exercise\n- id: gate-2", 1))
    page = str(render_tree(*load(site)).docs[f"lessons/{ID}.md"])
    assert '"href": "#field-exercise"' in page.replace('":"', '": "')


def test_the_back_of_the_sheet_has_it_with_a_table_to_write_in(tree: Tree) -> None:
    sheet = str(tree.docs[f"sheets/{ID}.html"])
    front, _, back = sheet.partition('<section class="back">')
    assert back and "Set out" not in front
    assert re.findall(r"<h2>(.*?)</h2>", back) == HEADS
    assert re.findall(r'<th scope="col">(.*?)</th>', back) == ["No.", "Through", "Shut"]
    rows = re.findall(r'<tr><th scope="row">\d+</th>(.*?)</tr>', back)
    assert len(rows) >= 10 and set(rows) == {"<td></td><td></td>"}
    assert "To the standard: mentor" in text(back)


def test_what_the_crew_works_out_stands_on_the_key_alone(tree: Tree) -> None:
    sheet, key = str(tree.docs[f"sheets/{ID}.html"]), str(tree.mentor[f"keys/{ID}.html"])
    found = [s.partition('<section class="back">')[2] for s in (sheet, key)]
    assert '<span class="blank"></span>' in found[0].split("Never. The bench is")[1][:60]
    assert "10 ft" in text(found[1]).split("Never. The bench is")[1][:20]
    assert 'class="record"' not in found[1]


def test_a_machine_that_is_picked_changes_both_sides(tree: Tree) -> None:
    script = str(tree.docs[f"mine/e-1/{ID}-sheet.js"])
    data = json.loads(script[script.index("(") + 1 : script.rindex(")")])
    assert set(data["pieces"]) == {"sheet", "sheet-back"}
    assert "Set out" not in data["pieces"]["sheet"] and 'class="record"' not in data["pieces"]["sheet-back"]


def test_the_mentor_has_its_standard_to_tick(tree: Tree) -> None:
    assert '<td class="criterion">Field exercise: Ten times through and shut each time, three days running.</td>' in str(
        tree.mentor["signoff/loader.html"]
    )


def test_a_lesson_without_one_has_a_sheet_of_one_page(tree: Tree) -> None:
    assert 'class="back"' not in str(tree.docs["sheets/stop-work.html"])
    assert 'class="front"' not in str(tree.docs["sheets/stop-work.html"])


@pytest.mark.parametrize(
    "called", ["{{ show() }}\n\n{{ exercise() }}", "{{ exercise() }}\n\n{{ exercise() }}\n\n{{ show() }}"], ids=["below", "twice"]
)
def test_it_stands_once_and_first(tmp_path: Path, called: str) -> None:
    with pytest.raises(Refusals) as caught:
        made(tmp_path / "site", called=called)
    assert [str(p) for p in caught.value.problems] == [
        f"lessons/{ID}.md:27: exercise: it does not stand first under 'Show your mentor'; write {{{{ exercise() }}}} there once, above {{{{ show() }}}}"
    ]


def test_a_wrong_reference_in_it_has_its_line(tmp_path: Path) -> None:
    with pytest.raises(Refusals) as caught:
        made(tmp_path / "site", EXERCISE.replace("n('bench')", "n('bnech')"))
    assert [str(p) for p in caught.value.problems] == [f"lessons/{ID}.md:30: no number is called 'bnech'; did you mean bench?"]


DRAWN = "drawings:\n  gate: {scene: loading.bench_loading, with: {stick_length: machine.stick_length, bench_height: bench}}\n"


def test_a_drawing_of_what_is_set_out_stands_below_it(tmp_path: Path) -> None:
    tree = made(tmp_path / "site", DRAWN + EXERCISE.replace("exercise:\n", "exercise:\n  drawing: gate\n"))
    assert [str(p) for p in tree.problems] == []
    page, back = str(tree.docs[f"lessons/{ID}.md"]), str(tree.docs[f"sheets/{ID}.html"]).partition('<section class="back">')[2]
    section = page.partition('<section class="sw-exercise"')[2].partition("</section>")[0]
    assert "\n\n" not in section  # a blank line would end the HTML
    for part, heading in ((section, "<h4>Do</h4>"), (back, "<h2>Do</h2>")):
        before, _, after = part.partition(heading)
        assert "<svg" in before and "<svg" not in after
    # another machine has its own
    assert "<svg" in str(tree.docs[f"mine/e-1/{ID}-sheet.js"]).partition("sheet-back")[2]
    assert "drawing gate" in str(tree.docs[f"mine/e-1/{ID}.js"])


def test_a_drawing_that_is_not_there_has_its_line(tmp_path: Path) -> None:
    with pytest.raises(Refusals) as caught:
        made(tmp_path / "site", DRAWN + EXERCISE.replace("exercise:\n", "exercise:\n  drawing: gaet\n"))
    assert [str(p) for p in caught.value.problems] == [
        f"lessons/{ID}.md:29: exercise: the lesson has no drawing 'gaet'; did you mean gate?"
    ]


def test_what_rests_on_a_blank_column_is_left_out_of_it(tmp_path: Path) -> None:
    site = small(tmp_path / "site", "stop-work", ID)
    blank_tails(site)
    tail = EXERCISE.replace("do: [Come", "do: [\"Keep {{ n('machine.tail_radius') }} off.\", Come").replace(
        "[Go back and shut it.]", "[\"Go {{ n('machine.tail_radius') }} back.\"]"
    )
    added(site, ID, LESSON.replace("sheet:\n", tail + "sheet:\n", 1).replace("{{ show() }}", "{{ exercise() }}\n\n{{ show() }}", 1))
    tree = render_tree(*load(site))
    page, sheet = str(tree.docs[f"lessons/{ID}.md"]), str(tree.docs[f"sheets/{ID}.html"])
    assert [str(p) for p in tree.problems] == []
    # a part of which nothing is left goes with its heading
    assert re.findall(r"<h4>(.*?)</h4>", page) == re.findall(r"<h2>(.*?)</h2>", sheet.partition('class="back"')[2]) == HEADS[:-1]
    assert "Come through the gate." in page and "off." not in text(page.partition("Field exercise")[2].partition("Measure")[0])
    assert page.count("sw-lacks") == 1


@pytest.mark.parametrize("lesson", PRACTISED)
def test_a_lesson_of_a_skill_has_an_exercise_with_figures_of_the_site(lesson: str) -> None:
    from generator.book.content import content_folder, read_content

    content = read_content(content_folder())
    exercise = content.lessons[lesson].exercise
    assert exercise is not None
    calls = [p for t in exercise.expect for p in pieces(t) if getattr(p, "call", "") == "n"]
    assert len(calls) >= 2, "what to expect comes from calculations"
    assert all(getattr(exercise, key) for key in LISTS) and 3 <= len(exercise.record) <= 6
    assert re.search(r"\b(running|agree)\b", exercise.standard), "a standard says how often, so that a mentor can watch it"
