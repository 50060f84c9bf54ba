"""The one reader of YAML: what it refuses and in which line."""

from __future__ import annotations

import pytest

from generator.source.yamltext import Unreadable, compose, line_of, load_plain, load_yaml


def test_words_know_their_line_and_plain_ones_are_plain() -> None:
    text = "---\na: one\nb:\n  - two\n"
    read = load_yaml(text, "x.yml")
    assert line_of(read["a"], 0) == 2 and line_of(read["b"], 0) == 4
    assert load_plain(text, "x.yml") == {"a": "one", "b": ["two"]}
    assert type(load_plain(text, "x.yml")["a"]) is str


def test_a_rule_at_the_top_is_no_second_document() -> None:
    assert load_plain("# a note\n---\na: 1\n", "x.yml") == {"a": 1}
    with pytest.raises(Unreadable, match=r"x\.yml:3: a second document starts here; take the line '---' out"):
        load_plain("---\na: 1\n---\nb: 2\n", "x.yml")


@pytest.mark.parametrize("reads", [load_yaml, load_plain, compose])
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: ééééé\nb: ééééé\nc: \x01\nd: 1\n", "x.yml:3: there is a hidden character"),
        ("a: &x 1\n", "x.yml:1: anchors"),
        ("a: !!python/name:os.system x\n", "x.yml:1: a tag"),
        ("a: " + "[" * 30 + "]" * 30, "x.yml:1: more than 20 lists"),
        ("a: 1\n\tb: 2\n", "x.yml:2: the line starts with a tab"),
        ("a: b: c\n", "x.yml:1: there is a second colon"),
    ],
)
def test_refused_with_its_line(reads: object, text: str, said: str) -> None:
    assert callable(reads)
    with pytest.raises(Unreadable) as told:
        reads(text, "x.yml")
    assert str(told.value).startswith(said) and told.value.problem.code == "yaml"
