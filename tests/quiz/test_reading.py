"""What a file of questions may say, and the line that names what it may not. Worked out by hand, no source."""

from __future__ import annotations

import pytest

from generator.quiz.question import MOST_QUESTIONS, Draw, Question, questions_in
from generator.source.problem import Problem
from generator.units.errors import CalculationError

NUMBER = """\
- id: bench-1
  kind: number
  ask: The stick is {stick} long. How high is the bench?
  draw:
    stick: {us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}
  numbers:
    bench: {calculation: loading.bench_height, stick_length: stick}
  answer: bench
  mistakes:
    - {id: half, gives: right / 2}
    - {id: twice, gives: stick * 2, says: 'Twice the {stick}.'}
"""
ONE = """\
- id: gate-1
  kind: one
  ask: Who shuts it?
  choices:
    - {text: Whoever came., right: true}
    - {text: Nobody., says: Somebody must.}
    - {text: The last., says: Who knows that?}
"""
POINT = """\
- id: edge-1
  kind: point
  ask: Where is the crest?
  drawing: {scene: loading.bench_loading}
  spots: [crest, toe]
  right: crest
  says: {toe: That is the foot.}
  because: The upper edge.
  read_again: do_it
"""


def read(text: str) -> tuple[tuple[Question, ...], list[str]]:
    problems: list[Problem] = []
    found = questions_in(text, "q.yml", {"half": "Half of it.", "third": "A third."}, problems)
    return found, [str(p) for p in problems]


def good(text: str) -> Question:
    found, told = read(text)
    assert told == []
    return found[0]


def changed(text: str, old: str, new: str) -> str:
    assert text.count(old) == 1, old
    return text.replace(old, new)


def test_a_question_is_what_it_says() -> None:
    q = good(NUMBER)
    assert (q.id, q.kind, q.line, q.must_be_right, q.answer, q.within, q.limit, q.computed, q.read_again) == (
        "bench-1", "number", 1, False, "bench", 0.05, "", False, "")  # fmt: skip
    assert [(m.id, m.says) for m in q.mistakes] == [("half", "Half of it."), ("twice", "Twice the {stick}.")]
    assert q.blanks == {"stick"} and [str(x) for x in q.draws[0].steps["metric"]] == ["2 m", "5 m", "1 m"]
    q = good(
        changed(NUMBER, "  answer: bench\n", "  answer: bench\n  must_be_right: true\n  within: 2%\n  limit: least\n  read_again: do_it\n")
    )
    assert (q.must_be_right, q.within, q.limit, q.read_again) == (True, 0.02, "least", "do_it")
    assert good(changed(NUMBER, "kind: number", "kind: one")).computed and not good(ONE).computed
    assert [(c.text, c.right, c.says) for c in good(ONE).choices] == [
        ("Whoever came.", True, ""), ("Nobody.", False, "Somebody must."), ("The last.", False, "Who knows that?")]  # fmt: skip


def test_one_thing_asked_about_a_drawing_stands_in_the_question_itself() -> None:
    q = good(POINT)
    assert [(p.ask, p.right, p.says, p.because) for p in q.asks] == [
        ("Where is the crest?", "crest", {"toe": "That is the foot."}, "The upper edge.")
    ]
    assert q.spots == ("crest", "toe") and q.drawing is not None and q.drawing.scene == "loading.bench_loading" and q.blanks == frozenset()


@pytest.mark.parametrize(("limit", "said"), [("least", "least"), ("most", "most"), ("''", "")])
def test_which_side_of_a_limit_is_safe(limit: str, said: str) -> None:
    assert good(changed(NUMBER, "  answer: bench\n", f"  answer: bench\n  limit: {limit}\n")).limit == said


def test_names_in_every_text_are_blanks() -> None:
    text = (
        changed(ONE, "Who shuts it?", "Who shuts {machine}?")
        .replace("Nobody.", "'Nobody of {truck}.'")
        .replace("Somebody must.", "'Of {material}.'")
    )
    assert good(text).blanks == {"machine", "truck", "material"}
    assert good(POINT.replace("The upper edge.", "Of {machine}.").replace("That is the foot.", "'Of {truck}.'")).blanks == {
        "machine",
        "truck",
    }
    assert good("- id: q\n  kind: order\n  ask: Order?\n  items: [A., 'B {truck}.', C.]\n  because: The {machine}.\n").blanks == {
        "truck",
        "machine",
    }


@pytest.mark.parametrize(
    ("text", "old", "new", "said"),
    [
        (NUMBER, "id: bench-1", "id: Bench 1", "q.yml:1: a question needs an id of small letters, digits and hyphens; add 'id: …'"),
        (NUMBER, "id: bench-1", f"id: {'x' * 61}", "q.yml:1: a question needs an id of small letters, digits and hyphens; add 'id: …'"),
        (NUMBER, "kind: number", "kind: numbr", "q.yml:2: bench-1: no kind 'numbr'; did you mean number?"),
        (NUMBER, "  answer: bench", "  anwser: bench", "q.yml:8: a question has no 'anwser'; did you mean answer?"),
        (NUMBER, "  ask: The stick is {stick} long. How high is the bench?\n", "", "q.yml:1: bench-1 asks nothing; add 'ask: …'"),
        (NUMBER, "answer: bench", "answer: bensh", "q.yml:8: bench-1: the answer 'bensh' is none of its numbers; did you mean bench?"),
        (NUMBER, "  answer: bench\n", "", "q.yml:1: bench-1 has no answer; add 'answer: NAME' of one of its numbers"),
        (NUMBER, "ask: The stick", "ask: [The stick", None),
        (NUMBER, "  answer: bench\n", "  answer: bench\n  because: [a, b]\n", "q.yml:9: because is no text; write it on one line, in quotes"),
        (NUMBER, "  answer: bench\n", "  answer: bench\n  limit: more\n", "q.yml:9: limit is 'more'; write least (a distance to keep) or most (a load)"),
        (NUMBER, "gives: right / 2", "gives: xyz / 2", "q.yml:1: bench-1: mistake half uses 'xyz'; use right, bench, machine, material, stick, truck"),
        (NUMBER, "gives: right / 2", "gives: right /", None),
        (NUMBER, "    - {id: half, gives: right / 2}", "    - {id: half}", "q.yml:10: a mistake needs an id and what it gives; write '{id: …, gives: …}'"),
        (NUMBER, "    - {id: half, gives: right / 2}", "    - half", "q.yml:10: a mistake needs an id and what it gives; write '{id: …, gives: …}'"),
        (NUMBER, "id: half", "id: hlf", "q.yml:10: no mistake is called 'hlf'; did you mean half?"),
        (NUMBER, "id: half", "id: xyzzy", "q.yml:10: no mistake is called 'xyzzy'; add it to mistakes.yml, or 'says:' here"),
        (NUMBER, "gives: right / 2", "give: 1, gives: right / 2", "q.yml:10: a mistake has no 'give'; did you mean gives?"),
        (NUMBER, "{stick} long", "{stik} long", "q.yml:3: bench-1: nothing fills the blank {stik}; did you mean stick?"),
        (NUMBER, "stick: {us:", "stick: {uss:", "q.yml:5: draw stick has no 'uss'; did you mean us?"),
        (NUMBER, "[6 ft, 18 ft, 1 ft]", "[6 ft, 18 ft]", "q.yml:5: draw stick is not complete; give low, high and step (or the list) for us and for metric"),
        (NUMBER, "{us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}", "{us: [6 ft, 18 ft, 1 ft]}",
         "q.yml:5: draw stick is not complete; give low, high and step (or the list) for us and for metric"),
        (NUMBER, "{us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}", "six", "q.yml:5: draw stick is no mapping; write '{row: …}', '{of: …}', '{us: …, metric: …}' …"),
        (NUMBER, "{us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}", "{row: loader}",
         "q.yml:5: draw stick: no rows of 'loader'; use dozer, excavator, compact excavator, truck, material"),
        (NUMBER, "{us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}", "{around: excavator.stick_length, step: {us: 1 ft}}",
         "q.yml:5: draw stick is not complete; give low, high and step (or the list) for us and for metric"),
        (NUMBER, "{us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}", "{pick: {us: 6 ft, metric: [2 m]}}",
         "q.yml:5: draw stick is not complete; give low, high and step (or the list) for us and for metric"),
        (NUMBER, "  numbers:\n    bench: {calculation: loading.bench_height, stick_length: stick}\n", "  numbers: 5\n", None),
        (NUMBER, "kind: number", "kind: one\n  spots: crest", "q.yml:3: spots is no list; start each entry with a hyphen"),
        (NUMBER, "    - {id: half, gives: right / 2}\n", "", None),
        (ONE, "    - {text: Nobody., says: Somebody must.}", "    - {text: Nobody.}",
         "q.yml:6: a wrong choice says nothing; add 'says: …', one line on just that mistake"),
        (ONE, "    - {text: Nobody., says: Somebody must.}", "    - Nobody", "q.yml:6: a choice needs a text; write '- text: …', or '- drawing: …'"),
        (ONE, "    - {text: Nobody., says: Somebody must.}", "    - {says: Somebody must.}", "q.yml:6: a choice needs a text; write '- text: …', or '- drawing: …'"),
        (ONE, "    - {text: Nobody., says: Somebody must.}\n", "", "q.yml:1: gate-1 needs three choices or more (two where all are pictures), one right; mark with 'right: true'"),
        (ONE, "Somebody must.", "'Of {x}.'", "q.yml:6: gate-1: nothing fills the blank {x}; use machine, material, truck"),
        (POINT, "  ask: Where is the crest?\n", "", "q.yml:1: edge-1 asks nothing; add 'ask: …'"),
        (POINT, "  right: crest\n", "", "q.yml:1: edge-1 needs a drawing, spots and the right one; add drawing:, spots:, right:"),
        (POINT, "  drawing: {scene: loading.bench_loading}\n", "", "q.yml:1: edge-1 needs a drawing, spots and the right one; add drawing:, spots:, right:"),
        (POINT, "says: {toe: That is the foot.}", "says: {tow: That is the foot.}", "q.yml:3: edge-1: spot toe says nothing; add a line to says:"),
        (POINT, "says: {toe: That is the foot.}", "says: That is the foot.", "q.yml:1: says is no mapping; write 'says:' with one entry a line"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line_and_what_to_do(text: str, old: str, new: str, said: str | None) -> None:
    found, told = read(changed(text, old, new))
    if said is None:
        assert all(t.startswith("q.yml:") and "; " in t and t.count("\n") == 0 for t in told)
        assert told or found[0].mistakes  # one mistake is enough where a figure is typed
    else:
        assert (found, told) == ((), [said])


def test_figures_to_choose_from_need_two_mistakes() -> None:
    text = changed(NUMBER, "kind: number", "kind: one")
    assert good(text).computed
    (told,) = read(changed(text, "    - {id: half, gives: right / 2}\n", ""))[1]
    assert told == "q.yml:1: bench-1 needs two named mistakes or more; add to mistakes:"
    assert len(good(text + "    - {id: third, gives: right / 3}\n").mistakes) == 3
    assert good(changed(NUMBER, "    - {id: half, gives: right / 2}\n", "")).mistakes[0].id == "twice"


def test_what_is_wrong_with_one_question_leaves_the_others() -> None:
    found, told = read(changed(ONE, "kind: one", "kind: oen") + POINT + "- 5\n" + POINT)
    assert [q.id for q in found] == ["edge-1"] and found[0].line == 8
    assert told == [
        "q.yml:2: gate-1: no kind 'oen'; did you mean one?", "q.yml:1: an entry is no question; start it with '- id: …'",
        "q.yml:18: question 'edge-1' stands twice; rename one",
    ]  # fmt: skip


def test_a_figure_is_drawn_in_one_of_five_ways() -> None:
    steps = "{us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}"

    def draw(written: str) -> Draw:
        (made,) = good(changed(NUMBER, steps, written)).draws
        assert made.name == "stick"
        return made

    assert draw("{of: machine.stick_length}") == Draw("stick", of="machine.stick_length")
    assert draw("{row: compact excavator}") == Draw("stick", row="compact excavator")
    around = draw("{around: excavator.stick_length, step: {us: 1 ft, metric: 0.5 m}}")
    assert around.around == "excavator.stick_length" and {s: str(q) for s, q in around.step.items()} == {"us": "1 ft", "metric": "0.5 m"}
    pick = draw("{pick: {us: [6 ft, 9 ft], metric: [2 m, 3 m, 4 m]}}")
    assert {s: [str(x) for x in q] for s, q in pick.pick.items()} == {"us": ["6 ft", "9 ft"], "metric": ["2 m", "3 m", "4 m"]}
    assert (around.steps, pick.steps, pick.around, draw(steps).pick) == ({}, {}, None, {})


@pytest.mark.parametrize(("items", "taken"), [("[A., B.]", False), ("[A., B., C.]", True), ("[A., B., C., D.]", True)])
def test_an_order_needs_three_items(items: str, taken: bool) -> None:
    found, told = read(f"- id: q-1\n  kind: order\n  ask: Order?\n  items: {items}\n")
    assert bool(found) is taken and told == ([] if taken else ["q.yml:1: q-1 needs three items or more, in the right order; add to items:"])


@pytest.mark.parametrize(("share", "within"), [("0%", 0), ("0.5%", 0.005), ("99%", 0.99)])
def test_a_tolerance_is_a_share(share: str, within: float) -> None:
    assert good(changed(NUMBER, "  answer: bench\n", f"  answer: bench\n  within: {share}\n")).within == pytest.approx(within)


def test_a_file_that_is_no_list_of_questions_gives_none() -> None:
    assert read("{}") == read("[]") == ((), ["q.yml:1: no list of questions; start each question with '- id: …'"])
    assert read("- [") == ((), read("- [")[1]) and len(read("- [")[1]) == 1
    many = "".join(changed(ONE, "gate-1", f"gate-{n}") for n in range(MOST_QUESTIONS + 1))
    assert read(many) == ((), [f"q.yml:1: {MOST_QUESTIONS + 1} questions are more than {MOST_QUESTIONS}; keep the best ones"])


def test_what_is_asked_in_turn_has_its_own_words() -> None:
    text = changed(POINT, "  ask: Where is the crest?\n", "").replace(
        "  right: crest\n  says: {toe: That is the foot.}\n  because: The upper edge.\n",
        (
            "  in_turn:\n    - {ask: Crest?, right: crest, says: {toe: No.}, because: Up there.}\n    - {ask: Toe?, right: toe, says: {crest: Not it.}}\n"
        ),
    )
    assert [(p.ask, p.right, p.says, p.because) for p in good(text).asks] == [
        ("Crest?", "crest", {"toe": "No."}, "Up there."), ("Toe?", "toe", {"crest": "Not it."}, "")]  # fmt: skip
    assert good(text).ask == "Crest?"
    for bad in ("says: [No.]", "says: {toe: No.}, because: [a]"):
        (told,) = read(changed(text, "says: {toe: No.}, because: Up there.", bad))[1]
        assert told == "q.yml:6: edge-1: an entry of in_turn: cannot be read; compare it with another one"


@pytest.mark.parametrize("share", ["much", "-5%", "5 ft", "100%"])
def test_a_tolerance_that_is_no_share(share: str) -> None:
    (told,) = read(changed(NUMBER, "  answer: bench\n", f"  answer: bench\n  within: {share}\n"))[1]
    assert told.startswith("q.yml:9: within: ")


def test_a_long_expression_is_refused() -> None:
    """What a mistake gives is a line, not a page."""
    assert good(changed(NUMBER, "gives: right / 2", "gives: right" + " + 1" * 40)).mistakes
    (told,) = read(changed(NUMBER, "gives: right / 2", "gives: right" + " + 1" * 60))[1]
    assert told == "q.yml:10: mistake half: is too long; write an expression over the question's names"


@pytest.mark.parametrize(
    ("text", "figure", "unit", "kind"),
    [("6", "6", "1", "count"), ("6 passes", "6", "", "count"), ("3 ft", "3", "ft", "length"), ("2:1", "2", "", "ratio"), ("12 deg", "12", "deg", "angle"), ("1,500 lb", "1500", "lb", "mass")],
)  # fmt: skip
def test_the_kind_of_a_quantity_follows_from_its_unit(text: str, figure: str, unit: str, kind: str) -> None:
    from generator.quiz.question import quantity

    try:
        found = quantity(text)
    except CalculationError as e:
        pytest.fail(f"{text}: {e}")
    assert (str(found.figure), found.kind) == (figure, kind) and (not unit or found.unit == unit)


def test_a_question_may_be_for_some_sites_only() -> None:
    assert good(ONE).where == "" and good(changed(ONE, "  kind: one\n", "  kind: one\n  where: other rules\n")).where == "other rules"
    _, told = read(changed(ONE, "  kind: one\n", "  kind: one\n  where: us-federol\n"))
    assert told == ["q.yml:3: gate-1: 'us-federol' names no sites; did you mean us-federal?"]


def test_words_that_fit_no_question_are_told_with_their_own_file() -> None:
    problems: list[Problem] = []
    english = "- id: a-01\n  kind: one\n  ask: Why?\n  choices: [{text: x, right: true}, y]\n  because: So.\n  read_again: the-numbers\n"
    questions_in(english, "q.yml", {}, problems, words=("a-01:\n  kind: two\n", "es/q.yml"))
    assert [(p.file, p.line) for p in problems if "in the other language" in p.what] == [("es/q.yml", 2)]
