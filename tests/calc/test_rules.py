"""Sets of rules: what each has, and which words of a text are for it."""

from __future__ import annotations

import pytest

from generator.calc.rules import CONDITIONS, TOPICS, US, OwnRule, Rules, kept, marked
from generator.language.words import Catalogue, tr, using

NONE = Rules("none")
LINES = Rules("own", {"lines": OwnRule("lines", "Order on lines", "section 8", "Ida Moreno")})
EVERY = Rules("own", {t: OwnRule(t, "A rule", "part 1", "A. Person") for t in TOPICS})


def test_the_united_states_have_every_topic_and_others_what_the_site_gives() -> None:
    assert [[rules.has(topic) for topic in ("lines", "heat")] for rules in (US, LINES, NONE, EVERY)] == [
        [True, True], [True, False], [False, False], [True, True],
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("condition", "holds"),
    [  # for the United States, a site with a rule on lines, one with none, one with all
        ("us-federal", (True, False, False, False)), ("other rules", (False, True, True, True)),
        ("lines", (True, True, False, True)), ("own lines", (False, True, False, True)), ("no lines", (False, False, True, False)),
        ("heat", (True, False, False, True)), ("own heat", (False, False, False, True)), ("no heat", (False, True, True, False)),
    ],
)  # fmt: skip
def test_whether_words_are_for_a_set(condition: str, holds: tuple[bool, ...]) -> None:
    assert condition in CONDITIONS
    assert tuple(rules.hold(condition) for rules in (US, LINES, NONE, EVERY)) == holds


@pytest.mark.parametrize("condition", ["", "line", "own", "no us-federal", "own other rules", "No lines"])
def test_what_is_no_condition_holds_for_nobody(condition: str) -> None:
    with pytest.raises(KeyError):
        US.hold(condition)


def test_a_rule_is_cited_with_its_place_and_who_answers_also_in_another_language() -> None:
    cited = LINES.own["lines"].cited
    assert cited == "Order on lines, section 8 (Ida Moreno answers for it)"
    with using(Catalogue("es", {"{title}, {place} ({who} answers for it)": "{title}, {place} (responde {who})"})):
        assert tr(cited) == "Order on lines, section 8 (responde Ida Moreno)"


def test_words_that_are_left_out_cut_no_paragraph_and_move_no_line() -> None:
    text = "One [[us-federal|two\nthree]][[other rules|four\nfive]] six.\n\nSeven."
    assert kept(text, US) == "One two\nthree six.\n\n\nSeven."
    assert kept(text, NONE) == "One four\nfive six.\n\n\nSeven."
    assert kept("One.\n\nTwo[[heat|,\nthree\nfour]].\n \t\nFive.", LINES) == "One.\n\nTwo.\n\n\n \t\nFive."
    assert kept("a [[heat|b [[us-federal|c]][[own heat|d]]]] e", EVERY) == "a b d e"
    assert kept("a [[heat|b [[us-federal|c]][[own heat|d]]]] e", LINES) == "a  e"


def test_what_names_no_condition_is_left_as_it_is() -> None:
    for text in ("no words are marked", "loads: [[text.A, job.b], [text.C, d]]", "a [[boats|b]] c", "[[lines|a", "a [[Lines|b]]"):
        assert kept(text, US) == kept(text, NONE) == text


def test_the_conditions_of_a_text_are_told_from_the_inside_out_and_those_that_are_none_too() -> None:
    assert marked("no words are marked") == ()
    assert marked("a [[heat|b [[us-federal|c]][[own heat|d]]]] e [[boats|f]]") == ("us-federal", "own heat", "boats", "heat")
