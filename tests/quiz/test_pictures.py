"""Pictures above a question, as its choices and as its items: read, shown without telling, ordered."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from random import Random
from typing import Any

import pytest

from generator.book.scene import canvas_of
from generator.drawing.canvas import Canvas
from generator.drawing.film import Film, Frame
from generator.quiz.draw import Drawn, _order, _orders
from generator.quiz.markup import Built, Page, Quiz, quiz_html
from generator.quiz.paper import free_letters, key_html, question_html, right_letters
from generator.quiz.picture import described, silent, tells, unmarked
from generator.quiz.question import Picture, Question, questions_in
from generator.records.mark import mark_answer
from generator.records.results import Given
from generator.source.problem import Problem
from generator.working.errors import NumberProblem

TWO = """\
- id: two-1
  kind: one
  ask: Which of the two is right?
  choices:
    - {drawing: {scene: loading.bench_loading}, describe: The tracks half across the edge., right: true}
    - {drawing: {scene: loading.bench_loading}, way: wrong, describe: The tracks along the edge., says: A whole track goes with the edge.}
"""
FRAMES = """\
- id: film-1
  kind: order
  ask: Put the frames in order.
  drawing: {scene: trench.digging, with: {depth: job.depth}}
  items:
    - {frame: 1, describe: A line on the ground.}
    - {frame: 3, with: {side: job.side}, describe: A pile beside the cut.}
    - {frame: 5, text: Done., describe: A ladder in the cut.}
    - {frame: 4, describe: A box in the cut.}
  free: [[3, 4]]
"""


def told(text: str) -> list[str]:
    problems: list[Problem] = []
    questions_in(text, "q.yml", {}, problems)
    return [str(p) for p in problems]


def made(text: str) -> Question:
    problems: list[Problem] = []
    found = questions_in(text, "q.yml", {}, problems)
    assert problems == []
    return found[0]


def test_choices_may_be_pictures() -> None:
    q = made(TWO)
    first, second = q.pictures
    assert first is not None and second is not None and q.picture is None and q.on_a_picture
    assert (first.way, second.way, first.describe, first.frame) == ("", "wrong", "The tracks half across the edge.", None)
    assert str(second.drawing.scene) == "loading.bench_loading" and len(q.all_pictures) == 2


def test_items_may_be_steps_of_the_questions_own_drawing() -> None:
    q = made(FRAMES)
    assert q.picture is None and q.drawing is None  # shown above, it would be the film itself
    assert [p.frame for p in q.item_pictures if p] == [1, 3, 5, 4]
    given = [dict(p.drawing.given or {}) for p in q.item_pictures if p]
    assert given[0] == {"depth": "job.depth"} and given[1] == {"depth": "job.depth", "side": "job.side"}
    assert q.items == ("", "", "Done.", "") and q.free == ((2, 3),)


def test_any_kind_may_have_a_picture_above() -> None:
    q = made(
        "- id: a-1\n  kind: order\n  ask: Which first?\n  drawing: {scene: x.y}\n  frame: 2\n  describe: A cut.\n  items: [A., B., C.]\n"
    )
    assert q.picture is not None and (q.picture.frame, q.picture.describe) == (2, "A cut.") and q.pictures == () and q.on_a_picture


@pytest.mark.parametrize(
    ("text", "old", "new", "said"),
    [
        (TWO, "describe: The tracks half across the edge., ", "", "q.yml:5: a choice is a picture alone and does not say what it shows; add 'describe: …' in neutral words"),
        (TWO, "half across the edge.", "the right way.", "q.yml:5: a choice: describe says 'right way', which may tell the answer; say what is to be seen, in neutral words"),
        (TWO, "The tracks half across the edge.", "'The {machine}.'", "q.yml:5: a choice: describe is no plain text; say in words what the picture shows"),
        (TWO, "way: wrong", "way: bad", "q.yml:6: a choice: way is 'bad'; write 'way: wrong', or leave it out"),
        (TWO, "way: wrong", "frame: 0", "q.yml:6: a choice: frame is '0'; write the number of a step, the first being 1"),
        (TWO, "way: wrong", "frame: true", "q.yml:6: a choice: frame is 'True'; write the number of a step, the first being 1"),
        (TWO, "{drawing: {scene: loading.bench_loading}, way: wrong, ", "{frame: 2, ", "q.yml:6: a choice has frame, describe and no drawing; add 'drawing: {scene: …}'"),
        (TWO, "    - {drawing: {scene: loading.bench_loading}, way: wrong, describe: The tracks along the edge., says: A whole track goes with the edge.}\n", "",
         "q.yml:1: two-1 needs three choices or more (two where all are pictures), one right; mark with 'right: true'"),
        (TWO, "{drawing: {scene: loading.bench_loading}, way: wrong, describe: The tracks along the edge., ", "{text: Along the edge., ",
         "q.yml:1: two-1 needs three choices or more (two where all are pictures), one right; mark with 'right: true'"),
        (TWO, "{drawing: {scene: loading.bench_loading}, describe: The tracks half across the edge., ", "{describe: So., ", "q.yml:5: a choice needs a text; write '- text: …', or '- drawing: …'"),
        (TWO, "{scene: loading.bench_loading}, way", "bench, way", "q.yml:6: a choice: drawing is no mapping; write 'drawing: {scene: …, with: {…}}'"),
        (FRAMES, "frame: 1, describe: A line on the ground.", "describe: A line on the ground.", "q.yml:6: item 1 has describe and no drawing; add 'drawing: {scene: …}'"),
        (FRAMES, "with: {side: job.side}", "with: side", "q.yml:7: item 2: with is no block of names; write 'with: {NAME: REFERENCE}'"),
        (FRAMES, "text: Done., ", "txet: Done., ", "q.yml:8: an item has no 'txet'; did you mean text?"),
        (FRAMES, "free: [[3, 4]]", "free: [[2, 4]]", "q.yml:10: free is no list of places that follow each other; write 'free: [[2, 3]]', the first item being 1"),
        (FRAMES, "free: [[3, 4]]", "free: [[4, 5]]", "q.yml:10: free is no list of places that follow each other; write 'free: [[2, 3]]', the first item being 1"),
        (FRAMES, "free: [[3, 4]]", "free: [[1, 2, 3, 4]]", "q.yml:10: free names a place twice, or all of them; leave some order to find"),
        (FRAMES, "free: [[3, 4]]", "free: [[1, 2], [2, 3]]", "q.yml:10: free names a place twice, or all of them; leave some order to find"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_picture_is_told(text: str, old: str, new: str, said: str) -> None:
    assert text.count(old) == 1
    found = told(text.replace(old, new))
    assert found == [said]


def test_too_many_pictures_are_refused() -> None:
    row = "    - {drawing: {scene: a.b}, describe: So., says: No.}\n"
    assert told(TWO + row * 2) == []
    assert "has 5 pictures to look at, too many for a phone" in told(TWO + row * 3)[0]


# --- what is shown ------------------------------------------------------------------------------


def a_drawing(way: Any = "", title: str = "Never like this", words: str = "") -> str:
    canvas = Canvas("one", title=title, desc="The wrong way to stand.")
    view = canvas.view((0, 0, 4, 3), way=way)
    view.line((0, 0), (4, 0))
    if words:
        view.label((1, 1), words)
    return canvas.to_svg()


def test_a_picture_does_not_say_which_way_it_shows() -> None:
    svg = a_drawing("wrong")
    assert 'data-way="wrong"' in svg  # what the laws read
    for shown in (unmarked(svg), described(svg, "The picture", "Tracks and an edge."), silent(svg)):
        assert "data-way" not in shown and "data-scale" in shown
    assert "Never like this" in unmarked(svg)
    neutral = described(svg, "The picture", "Tracks and an edge.")
    assert "Never" not in neutral and "wrong" not in neutral and "Tracks and an edge." in neutral
    root = ET.fromstring(silent(svg))
    assert root.get("aria-hidden") == "true" and "aria-labelledby" not in root.attrib and "role" not in root.attrib
    assert root.find("{http://www.w3.org/2000/svg}title") is None and "wrong" not in silent(svg)


@pytest.mark.parametrize(
    ("words", "found"),
    [("Wrong: over the stone", True), ("The wrong way. Never sweep.", True), ("Right: stone gone", True), ("Done the right way", True),
     ("Right track", False), ("Turn right", False), ("Edge", False)],
)  # fmt: skip
def test_a_picture_that_writes_its_answer_is_found(words: str, found: bool) -> None:
    assert bool(tells(a_drawing(words=words))) is found


def test_a_step_of_a_scene_is_its_drawing() -> None:
    steps = [Canvas("one", title=f"Step {i}", desc="A step.") for i in (1, 2, 3)]
    film = Film("one", "Three steps", "A scene.", [Frame(c, "Said.") for c in steps])
    assert canvas_of(film, "trench.digging", 1) is steps[0] and canvas_of(film, "trench.digging", 3) is steps[2]
    assert canvas_of(steps[0], "trench.box", None) is steps[0]
    for given, frame, said in (
        (film, 4, "trench.digging has 3 steps and no step 4"),
        (film, None, "trench.digging is a scene in steps"),
        (steps[0], 1, "trench.digging is one drawing and has no steps"),
    ):
        with pytest.raises(NumberProblem, match=said):
            canvas_of(given, "trench.digging", frame)


def page(svg: str = "", words: str = "") -> Page:
    def draws(picture: Picture, name: str) -> str:
        return svg or a_drawing(picture.way or "", words=words).replace("one", name)

    return Page("pit", "1", 0.8, (), lambda explained, mark: "", draws, {})


def built(text: str, order: tuple[int, ...], page: Page) -> Built:
    return Built(made(text), [{"us": Drawn({}, order), "metric": Drawn({}, order)}], page)


def test_pictures_to_choose_from_go_by_letters_and_neutral_words() -> None:
    html = built(TWO, (1, 0), page()).fieldset(1)
    assert "sq-pictures" in html and html.count('aria-hidden="true"') == 2
    a, b = html.split("<li>")[1:]
    assert "<b>Picture A</b>" in a and "The tracks along the edge." in a and 'value="1"' in a
    assert "<b>Picture B</b>" in b and "The tracks half across the edge." in b and 'value="0"' in b
    for word in ("data-way", "wrong", "Never like this", "<title", "<desc"):
        assert word not in html
    assert html.count("sq-described") == 2
    named = TWO.replace("describe: The tracks half across the edge.", "text: Half across.")
    assert built(named, (1, 0), page()).fieldset(1).count("sq-described") == 1, "what is named needs no words beside"
    with pytest.raises(NumberProblem, match="two-1: one of its pictures says 'Wrong: the edge'"):
        built(TWO, (1, 0), page(words="Wrong: the edge")).fieldset(1)


def test_the_player_is_told_what_is_a_picture_and_never_which_way() -> None:
    data = quiz_html(Quiz("l", "L", (made(TWO),), {"two-1": [{"us": Drawn({}, (1, 0)), "metric": Drawn({}, (1, 0))}]}), page())
    assert '"pictures":[true,true]' in data.html and "data-way" not in data.html
    assert data.marking[0]["labels"] == ["The tracks half across the edge.", "The tracks along the edge."]


ABOVE = "- id: a-1\n  kind: order\n  ask: Which first?\n  drawing: {scene: x.y}\n  items: [A., B., C.]\n"


def test_a_wrong_way_above_a_question_has_neutral_words_or_is_refused() -> None:
    wrong = a_drawing("wrong")
    with pytest.raises(NumberProblem, match="a-1: its drawing shows a wrong way, and would read that out"):
        built(ABOVE, (1, 0, 2), page(wrong)).above()
    html = built(ABOVE.replace("  items", "  describe: Tracks and an edge.\n  items"), (1, 0, 2), page(wrong)).above()
    assert "Tracks and an edge." in html and "wrong" not in html and html.startswith('<figure class="sq-drawing">')
    assert "Never like this" in built(ABOVE, (1, 0, 2), page(a_drawing())).above()


# --- more than one right order ------------------------------------------------------------------


def test_a_right_order_is_never_shown_first() -> None:
    q = made(FRAMES)
    shown = {_order(q, Random(i)) for i in range(500)}
    assert len(shown) == 22 == _orders(q)  # of 24 two are right
    assert (0, 1, 2, 3) not in shown and (0, 1, 3, 2) not in shown


@pytest.mark.parametrize(
    ("order", "right", "mistake"),
    [((0, 1, 2, 3), True, ""), ((0, 1, 3, 2), True, ""), ((1, 0, 2, 3), False, "A pile beside the cut in place 1"),
     ((0, 2, 1, 3), False, "Done in place 2")],
)  # fmt: skip
def test_places_that_are_free_are_marked_so(order: tuple[int, ...], right: bool, mistake: str) -> None:
    marking = built(FRAMES, (3, 2, 1, 0), page()).marking()
    assert marking["free"] == [[2, 3]]
    found = mark_answer(Given("film-1", "order", 0, "us", order), marking)
    assert (found.right, found.mistake) == (right, mistake)


def test_on_paper_each_picture_has_its_letter_and_the_key_says_what_is_free() -> None:
    b = built(FRAMES, (3, 2, 1, 0), page())
    html = question_html(b, 1, "us")
    assert html.count("<svg") == 4 and '<ul class="boxes choices pictures">' in html and "<b>A</b>" in html and "<b>D</b>" in html
    assert right_letters(b, "us") == "D C B A"
    assert free_letters(b, "us") == "B and A may stand in any order among themselves"
    assert "B and A may stand in any order among themselves" in key_html(b, 1, "us")
    assert "<svg" in question_html(built(ABOVE, (1, 0, 2), page(a_drawing())), 1, "us")
