"""What all languages of a handbook have alike: numbers and marks, and none of their words."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest

from generator.book.likeness import Likeness, alike_print, unlike
from generator.book.part import Tree
from generator.working.ledger import Entry, Ledger

HIGH = Entry("lessons/a.md", "height", "bench height", {"us": "8 ft", "metric": "2.4 m"}, 2.4384, "x.y", {}, ["a"])
MARKING = {
    "a": {
        "title": "How high", "figures": "0164fd65",
        "questions": {"a-01": {"ask": "How high?", "labels": ["high", "low"], "right": [0], "variants": [{"answer": 2.4384, "shown": "8 ft"}]}},
    }
}  # fmt: skip


def tree(*entries: Entry, marking: dict[str, Any] | None = None) -> Tree:
    return Tree(ledger=Ledger(list(entries)), marking=marking or deepcopy(MARKING))


def told(main: Tree, other: Tree) -> list[str]:
    """What is told of a language that is another, and that its print says so too."""
    found = [str(p) for p in unlike(Likeness.of(main), Likeness.of(other), "es")]
    same = alike_print(main.ledger.entries, main.marking) == alike_print(other.ledger.entries, other.marking)
    assert same == (not found)
    return found


def changed(*path: Any, to: Any) -> dict[str, Any]:
    """The marking with one thing in it another."""
    found: Any = deepcopy(MARKING)
    at = found
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = to
    return dict(found)


def test_words_may_be_others() -> None:
    spoken = replace(HIGH, what="alto del banco", values={"us": "8 pies", "metric": "2.4 m"})
    marking = changed("a", "title", to="Qué tan alto")
    marking["a"]["figures"] = "cd6da7ca"
    question = marking["a"]["questions"]["a-01"]
    question.update(ask="¿Qué tan alto?", labels=["alto", "bajo"])
    question["variants"][0]["shown"] = "8 pies"
    assert told(tree(HIGH), tree(spoken, marking=marking)) == []


@pytest.mark.parametrize(
    "other",
    [
        replace(HIGH, values={"us": "9 ft", "metric": "2.4 m"}),
        replace(HIGH, values={"us": "8 ft", "metric": "2.5 m"}),
        replace(HIGH, si=2.44),
        replace(HIGH, place="depth"),
    ],
)
def test_a_number_may_not(other: Entry) -> None:
    assert told(tree(HIGH), tree(other)) == [
        "es/lessons/a.md: the page has other numbers than in the main language, such as 8; give it the same calls, each as often"
    ]


def test_nor_be_left_out_or_said_twice() -> None:
    assert told(tree(HIGH, replace(HIGH, place="depth")), tree(HIGH)) and told(tree(HIGH), tree(HIGH, HIGH))
    assert told(tree(HIGH), tree()) and told(tree(), tree(HIGH))


@pytest.mark.parametrize(
    "marking",
    [
        changed("a", "questions", "a-01", "right", to=[1]),
        changed("a", "questions", "a-01", "labels", to=["alto"]),
        changed("a", "questions", "a-01", "variants", 0, "answer", to=2.44),
        changed("a", "questions", "a-01", "variants", 0, "shown", to="9 pies"),
        changed("a", "questions", "a-02", to={}),
        {},
    ],
)
def test_nor_how_a_quiz_is_marked(marking: dict[str, Any]) -> None:
    assert told(tree(HIGH), tree(HIGH, marking=marking or {"b": {}}))[0] == (
        "es/questions/a.yml: it asks or marks other than in the main language; leave blanks, choices and their order as they are there"
    )


def test_the_order_of_numbers_on_a_page_is_the_languages() -> None:
    low = replace(HIGH, place="depth")
    assert told(tree(HIGH, low), tree(low, HIGH)) == []
