"""Words of another language laid over a text: they replace words, and nothing else."""

from __future__ import annotations

from typing import Any

import pytest

from generator.source.overlay import lay_over, words_in
from generator.source.yamltext import load_plain, load_yaml

BASE = """
title: A bench
minutes: 5
find: [bench, step]
numbers: {walls: {calculation: trench.top_width, depth: job.trench_depth}}
table: {caption: All machines, columns: {Bench: bench, Stick: machine.stick_length}}
watch: [Keep back., Stay out.]
ask:
  - {ask: How high?, answer: As the stick.}
"""
QUESTIONS = """
- {id: a-1, ask: How wide?, answer: top, mistakes: [{id: one-wall, gives: top / 2, says: One wall only.}]}
- id: a-2
  ask: Which?
  choices:
    - {text: This one., right: true}
    - {text: That one., says: No.}
"""


def laid(base: str, words: str) -> tuple[Any, list[tuple[int | None, str, str]]]:
    told: list[tuple[int | None, str, str]] = []
    made = lay_over(load_yaml(base, "a"), load_yaml(words, "b"), lambda *one: told.append(one))
    return _plain(made), told


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(k): _plain(v) for k, v in value.items() if k != "__line__"}
    return [_plain(v) for v in value] if isinstance(value, list) else str(value) if isinstance(value, str) else value


def test_words_take_the_place_of_words_and_the_rest_stays() -> None:
    made, told = laid(BASE, """
title: Un banco
find: [banco, bancada, grada]
table: {caption: Todas, columns: {Stick: Brazo, Bench: Banco}}
watch: [Guarde distancia., No entre.]
ask: [{answer: Como el brazo.}]
""")  # fmt: skip
    assert told == []
    assert made == {
        **load_plain(BASE, "a"), "title": "Un banco", "find": ["banco", "bancada", "grada"], "watch": ["Guarde distancia.", "No entre."],
        "table": {"caption": "Todas", "columns": {"Banco": "bench", "Brazo": "machine.stick_length"}},
        "ask": [{"ask": "How high?", "answer": "Como el brazo."}],
    }  # fmt: skip
    assert list(made["table"]["columns"]) == ["Banco", "Brazo"]  # in the order of the first


def test_questions_and_mistakes_are_found_by_their_ids() -> None:
    made, told = laid(QUESTIONS, """
a-2: {choices: [Este., {text: Ese., says: No es ese.}]}
a-1: {ask: ¿Qué ancho?, mistakes: {one-wall: Solo una pared.}}
""")  # fmt: skip
    assert told == []
    assert [q["id"] for q in made] == ["a-1", "a-2"]
    assert made[0]["mistakes"] == [{"id": "one-wall", "gives": "top / 2", "says": "Solo una pared."}]
    assert made[1]["choices"] == [{"text": "Este.", "right": True}, {"text": "Ese.", "says": "No es ese."}]


def test_an_answer_that_is_a_number_is_no_word() -> None:
    made, told = laid(QUESTIONS, "\na-1: {answer: bottom, mistakes: {one-wall: {gives: right}}}")
    assert [what for _, what, _ in told] == [
        "a-1.answer is no text in the other language",
        "a-1.mistakes.one-wall.gives is no text in the other language",
    ]
    assert made == load_plain(QUESTIONS, "a")


@pytest.mark.parametrize(
    ("words", "line", "what"),
    [
        ("\nwatch: [Una sola.]", 2, "watch has 1 entries and 2 in the other language"),
        ("\nwatsh: [a, b]", 2, "the file has no 'watsh' in the other language"),
        ("\nminutes: cinco", 2, "minutes is no text in the other language"),
        ("\ntitle: {a: b}", 2, "title is no text in the other language"),
        ("\nnumbers: {walls: {depth: {x: y}}}", 2, "numbers.walls.depth is no text in the other language"),
        ("\nnumbers: {walls: {depth: job.other}}", 2, "numbers.walls.depth is no text in the other language"),
        ("\ntable:\n  columns: {Bnch: Banco}", 3, "table.columns has no 'Bnch' in the other language"),
        ("\ntable:\n  columns: {Bench: B, Stick: B}", 3, "two of table.columns have the same words"),
    ],
)  # fmt: skip
def test_what_has_no_place_is_told_with_its_line_and_changes_nothing(words: str, line: int, what: str) -> None:
    made, told = laid(BASE, words)
    assert [(at, said) for at, said, _ in told] == [(line, what)]
    assert made == load_plain(BASE, "a")


@pytest.mark.parametrize(
    ("words", "line", "what"),
    [
        # words that know no line are told with that of what they should stand for, a list with that of its first entry, a figure with the first
        ({"minutes": "cinco"}, 1, "minutes is no text in the other language"),
        ({"ask": ["a", "b"]}, 9, "ask has 2 entries and 1 in the other language"),
        ({"watch": "Una sola."}, 7, "watch has 1 entries and 2 in the other language"),
        ({"watch": ["a", "b", "c"]}, 7, "watch has 3 entries and 2 in the other language"),
        ({"watsh": "a"}, 2, "the file has no 'watsh' in the other language"),
        ({"ask": [{"answer": {"a": "b"}}]}, 9, "ask.1.answer is no text in the other language"),
        ({"table": {"columns": {"Bnch": "a"}}}, 1, "table.columns has no 'Bnch' in the other language"),
        ({"table": {"columns": {"Bench": "a", "Stick": "a"}}}, 1, "two of table.columns have the same words"),
    ],
)
def test_words_that_know_no_line(words: dict[str, Any], line: int, what: str) -> None:
    told: list[tuple[int | None, str, str]] = []
    base = load_yaml(BASE, "a")
    made = lay_over(base, words, lambda *one: told.append(one))
    assert [(at, said) for at, said, _ in told] == [(line, what)] and _plain(made) == load_plain(BASE, "a")


def test_what_has_no_words_beside_it_stays() -> None:
    made, told = laid(BASE, "\ntitle:\nask:\nwatch: [~, No entre.]")
    assert told == [] and made == {**load_plain(BASE, "a"), "watch": ["Keep back.", "No entre."]}


def test_an_entry_without_an_id_is_nobodys(base: str = "\n- plain\n- [id]\n- {ask: Which?}\n- {id: a-1, ask: How?}\n") -> None:
    made, told = laid(base, "\na-1: {ask: ¿Cómo?}\na-2: {ask: ¿Qué?}\nid: {ask: ¿Qué?}")
    assert made == ["plain", ["id"], {"ask": "Which?"}, {"id": "a-1", "ask": "¿Cómo?"}]
    assert [(line, what) for line, what, _ in told] == [
        (3, "there is no 'a-2' in the other language"),
        (4, "there is no 'id' in the other language"),
    ]


def test_questions_that_know_no_line_are_told_with_the_first() -> None:
    told: list[tuple[int | None, str, str]] = []
    lay_over(load_yaml(QUESTIONS, "a"), {"a-9": "x"}, lambda *one: told.append(one))
    assert told == [(1, "there is no 'a-9' in the other language", told[0][2])]


# --- the words of a text alone ------------------------------------------------------------------


def alone(base: str) -> Any:
    return words_in(load_yaml(base, "a"))


def test_the_words_of_a_text_are_all_that_people_read() -> None:
    assert alone(BASE) == {
        "title": "A bench", "find": ["bench", "step"], "table": {"caption": "All machines", "columns": {"Bench": "Bench", "Stick": "Stick"}},
        "watch": ["Keep back.", "Stay out."], "ask": [{"ask": "How high?", "answer": "As the stick."}],
    }  # fmt: skip


def test_words_of_questions_are_found_by_their_ids_and_those_of_mistakes_need_no_name() -> None:
    assert alone(QUESTIONS) == {
        "a-1": {"ask": "How wide?", "mistakes": {"one-wall": "One wall only."}},
        "a-2": {"ask": "Which?", "choices": [{"text": "This one."}, {"text": "That one.", "says": "No."}]},
    }  # fmt: skip


def test_an_entry_with_more_words_than_it_says_names_each() -> None:
    assert alone("\nask:\n- {id: a, says: No., text: Or so.}\n- {id: b, text: Yes.}\n- {id: c, gives: x}\n") == {
        "ask": {"a": {"says": "No.", "text": "Or so."}, "b": {"text": "Yes."}}
    }


def test_what_holds_no_words_is_left_out() -> None:
    assert alone("\nminutes: 5\nscene: {text: a.b}\nnumbers: {title: job.x}\n") is None
    assert alone("\nnumbers: [{title: job.x}]\nwatch: []\ntable: {}\n") is None
    assert alone("\nask: [{answer: 5}, {draw: x}]\nchoices: [{id: a, gives: x}]\n") is None
    assert alone("\npairs: {right: A spot., title: Here.}\nask: {right: {says: So.}, way: wrong}\n") == {
        "pairs": {"title": "Here."}, "ask": {"right": {"says": "So."}},
    }  # fmt: skip


def test_a_place_in_a_list_is_kept_although_it_has_no_words() -> None:
    words = alone("\nask: [{draw: x}, {ask: How high?}, {answer: 5}]\n")
    assert words == {"ask": [None, {"ask": "How high?"}, None]}


def test_columns_that_have_a_name_are_words_wherever_they_stand_and_a_list_of_them_none() -> None:
    assert alone("\ncolumns: {Bench: bench}\n") == {"columns": {"Bench": "Bench"}}
    assert alone("\ncolumns: [bench]\n") is None


@pytest.mark.parametrize("base", [BASE, QUESTIONS, "\nask: [{draw: x}, {ask: How high?}]\n"])
def test_words_laid_over_the_text_they_are_from_give_it_again(base: str) -> None:
    told: list[tuple[int | None, str, str]] = []
    made = lay_over(load_yaml(base, "a"), alone(base), lambda *one: told.append(one))
    assert told == [] and _plain(made) == load_plain(base, "a")
