"""A quiz as the page carries it and as it is printed, from variants made here. Worked out by hand, no source."""

from __future__ import annotations

import base64
import dataclasses
import json
import re
import zlib
from decimal import Decimal
from html import unescape
from typing import Any

import pytest

from generator.quiz import paper
from generator.quiz.draw import Drawn
from generator.quiz.edition import FIGURES, edition_text, plain, question_marking
from generator.quiz.markup import Built, Page, Quiz, filled, practice_script, quiz_html, reads_as, template, tolerance_words
from generator.quiz.question import Question
from generator.units.quantity import Quantity
from generator.units.writing import THIN, Writing, using
from tests.quiz.test_question import POINT as TURNS
from tests.quiz.test_reading import NUMBER, ONE, POINT, changed, good

SEVERAL = """\
- id: safe-1
  kind: several
  ask: What keeps you safe?
  must_be_right: true
  choices:
    - {text: Look first., right: true}
    - {text: Run., says: Never run.}
    - {text: Hold on., right: true}
    - {text: Jump., says: Never jump.}
  because: Slow is safe.
"""
ORDER = "- id: start-1\n  kind: order\n  ask: In what order?\n  items: [Walk round., Climb up., Belt on., Start.]\n"
PAGE = Page(
    site="site", edition="2026-1", pass_mark=0.8, crew=("P-01", "P-02"), writes_working=lambda explained, mark: "", draws=lambda spec, name: f"<svg>{spec.drawing.scene} {name}</svg>",
    read_again={"do_it": ("#do-it", "Do it")},
)  # fmt: skip


def length(figure: str, unit: str) -> Quantity:
    return Quantity(Decimal(figure), unit, "length")


def both(us: Drawn, metric: Drawn | None = None) -> dict[Any, Drawn]:
    return {"us": us, "metric": metric or us}


def number(text: str = NUMBER) -> Built:
    """10 ft and 3 m of stick; the bench is as high, one mistake gives half of it, the other twice."""
    us = Drawn({"stick": "10 ft"}, (), None, length("10", "ft"), 3.048, (length("5", "ft"), length("20", "ft")))
    metric = Drawn({"stick": "3 m"}, (), None, length("3", "m"), 3.0, (length("1.5", "m"), length("6", "m")))
    return Built(good(text), [both(us, metric)], PAGE)


def picked() -> Built:
    text = changed(NUMBER, "kind: number", "kind: one")
    us = Drawn({"stick": "10 ft"}, (2, 0, 1), None, length("10", "ft"), 3.048, (length("5", "ft"), length("20", "ft")))
    metric = Drawn({"stick": "3 m"}, (0, 1, 2), None, length("3", "m"), 3.0, (length("1.5", "m"), length("6", "m")))
    return Built(good(text), [both(us, metric)], PAGE)


def plainly(text: str, *orders: tuple[int, ...], asks: tuple[int, ...] = ()) -> Built:
    ask = asks or (0,) * len(orders)
    return Built(good(text), [both(Drawn({}, o, ask=a)) for o, a in zip(orders, ask, strict=True)], PAGE)


# --- templates ----------------------------------------------------------------------------------


def test_a_template_has_numbered_blanks_and_is_filled() -> None:
    tpl = template("A <b> of {two} & {one}, {two}.", ["one", "two"])
    assert tpl == ('A &lt;b&gt; of <b class="sq-figure">⟦1⟧</b> &amp; <b class="sq-figure">⟦0⟧</b>, <b class="sq-figure">⟦1⟧</b>.')
    assert filled("⟦1⟧ and ⟦0⟧ and ⟦1⟧", ["x", "y"]) == "y and x and y" and filled("no blank", ["x"]) == "no blank"
    assert plain(tpl) == "A <b> of … & …, …." and plain("<p>a\n  b</p>") == "a b"


@pytest.mark.parametrize(
    ("system", "texts", "comma"),
    [
        ("us", [], True),
        ("metric", ["1,500 kg"], True),
        ("metric", ["500 kg", "1,250"], True),
        ("metric", ["1,5 m"], False),
        ("metric", ["1,2345"], False),
        ("metric", ["500 kg"], False),
        ("metric", ["1\u202f500 kg"], False),
    ],
)
def test_a_comma_for_thousands_is_read_where_the_page_prints_one(system: Any, texts: list[str], comma: bool) -> None:
    assert reads_as(system, texts) == ({"comma": True} if comma else {})


def test_a_point_for_thousands_is_read_where_a_site_with_a_decimal_comma_prints_one() -> None:
    spain, france = Writing(",", ".", "."), Writing(",", THIN, THIN)
    with using(spain):
        assert reads_as("us", []) == {"decimal": ",", "point": True} == reads_as("metric", ["1.200 h"])
        assert reads_as("metric", ["1\u202f500 kg", "1,234 m"]) == {"decimal": ","}
    with using(france):
        assert reads_as("us", ["1\u202f500 lb"]) == {"decimal": ","}


# --- a figure that is typed ---------------------------------------------------------------------


def test_what_counts_as_right_and_what_shows_a_mistake() -> None:
    made = number().variants[0]
    us, metric = made["us"]["answer"], made["metric"]["answer"]
    assert (us["shown"], us["unit"], metric["shown"], metric["unit"]) == ("10 ft", "ft", "3 m", "m")
    assert us["accept"]["ft"] == [9.5, 10.5] and us["accept"]["in"] == [114, 126] and metric["accept"]["m"] == [2.5, 3.5]
    # 5 % of 3 m is less than half of the last digit printed, and who rounds as the page does is right
    # a mistake is named within two hundredths of its figure, or as near as the answer itself is held
    assert [(m["id"], m["accept"]["ft"]) for m in us["mistakes"]] == [("half", [4.9, 5.1]), ("twice", [19.6, 20.4])]
    assert us["mistakes"][1]["says"] == 'Twice the <b class="sq-figure">⟦0⟧</b>.'
    assert us["comma"] is True and "comma" not in metric
    narrow = number(changed(NUMBER, "  answer: bench\n", "  answer: bench\n  within: 1%\n")).variants[0]["us"]["answer"]
    assert narrow["accept"]["ft"] == [9.9, 10.1] or narrow["accept"]["ft"] == [9.5, 10.5]
    assert narrow["mistakes"][0]["accept"]["ft"] == [4.95, 5.05]


def test_a_mistake_that_gives_nothing_is_not_looked_for() -> None:
    q = good(NUMBER)
    drawn = Drawn({"stick": "10 ft"}, (), None, length("10", "ft"), 3.048, (None, length("0", "ft")))
    assert Built(q, [both(drawn)], PAGE).variants[0]["us"]["answer"]["mistakes"] == []
    small = dataclasses.replace(drawn, wrong=(length("0.5", "ft"), length("-1", "ft")))
    assert [m["id"] for m in Built(q, [both(small)], PAGE).variants[0]["us"]["answer"]["mistakes"]] == ["half"]


def test_a_count_must_be_met_and_so_must_its_mistakes() -> None:
    def count(n: str) -> Quantity:
        return Quantity(Decimal(n), "1", "count")

    drawn = Drawn({"stick": "10 ft"}, (), None, count("6"), 6.0, (count("3"), count("12")))
    answer = Built(good(NUMBER), [both(drawn)], PAGE).variants[0]["us"]["answer"]
    assert answer["accept"]["1"] == [6, 6] and [m["accept"]["1"] for m in answer["mistakes"]] == [[3, 3], [12, 12]]


@pytest.mark.parametrize(
    ("limit", "ends", "said"),
    [
        ("''", [9.5, 10.5], "Within 5% counts as right."), ("least", [9.99, 10.5], "Up to 5% more counts as right. Less does not."),
        ("most", [9.5, 10.01], "Up to 5% less counts as right. More does not."),
    ],
)  # fmt: skip
def test_the_unsafe_side_of_a_limit_has_no_room_but_for_rounding(limit: str, ends: list[float], said: str) -> None:
    built = number(changed(NUMBER, "  answer: bench\n", f"  answer: bench\n  limit: {limit}\n"))
    assert built.variants[0]["us"]["answer"]["accept"]["ft"] == pytest.approx(ends)
    assert tolerance_words(built.q, built.variants[0]["us"]["answer"]) == said
    assert tolerance_words(built.q, {"unit": "1", "accept": {"1": [6, 6]}}) == "A whole number. It must be exact."


def test_a_figure_to_type_on_the_page() -> None:
    html = number().fieldset(3)
    assert '<fieldset class="sq" data-q="bench-1" data-kind="number"><legend>Question 3</legend>' in html
    assert "The stick is <span" not in html and '<span class="us">The stick is <b class="sq-figure">10 ft</b>' in html
    assert '<span class="si">The stick is <b class="sq-figure">3 m</b>' in html
    assert (
        '<span class="sq-unit"><span class="us">ft</span><span class="si">m</span></span>' in html and "Within 5% counts as right." in html
    )
    assert 'name="bench-1" type="text"' in html and "sq-must" not in html


def test_a_unit_that_is_the_same_in_both_systems_stands_once() -> None:
    share = Quantity(Decimal("40"), "%", "fraction")
    built = Built(good(NUMBER), [both(Drawn({"stick": "10 ft"}, (), None, share, 0.4, (None, None)))], PAGE)
    assert '<span class="sq-unit">%</span>' in built.fieldset(
        1
    ) and '<div class="sq-ask">The stick is <b class="sq-figure">10 ft</b> long.' in built.fieldset(1)


# --- choices ------------------------------------------------------------------------------------


def test_figures_to_choose_from_are_the_right_one_and_what_the_mistakes_give() -> None:
    built = picked()
    data = built.json()
    assert data["right"] == [0] and built.variants[0]["us"]["f"] == ["10 ft", "10 ft", "5 ft", "20 ft"]
    assert built.variants[0]["metric"]["f"] == ["3 m", "3 m", "1.5 m", "6 m"] and built.variants[0]["us"]["order"] == [2, 0, 1]
    assert [filled(t, built.variants[0]["us"]["f"]) for t in data["texts"]["us"]] == [
        f'<b class="sq-figure">{x}</b>' for x in ("10 ft", "5 ft", "20 ft")
    ]
    assert data["says"]["us"] == ["", "Half of it.", 'Twice the <b class="sq-figure">⟦0⟧</b>.']
    assert built.marking()["labels"] == ["right", "half", "twice"] and built.marking()["right"] == [0] and built.marking()["count"] == 3
    rows = re.findall(r'value="(\d)"> <span class="sq-text"><span class="us"><b class="sq-figure">(.*?)</b>', built.fieldset(1))
    assert rows == [("2", "20 ft"), ("0", "10 ft"), ("1", "5 ft")] and 'type="radio"' in built.fieldset(1)


def test_choices_that_are_written_out() -> None:
    built = plainly(SEVERAL, (3, 0, 2), (1, 0, 2))
    data = built.json()
    assert (data["right"], data["must"], data["kind"], data["says"]["metric"]) == (
        [0, 2],
        True,
        "several",
        ["", "Never run.", "", "Never jump."],
    )
    assert data["texts"]["us"] == ["Look first.", "Run.", "Hold on.", "Jump."] and "spots" not in data and "asks" not in data
    assert data["workings"] == {"us": ["<p>Slow is safe.</p>"], "metric": ["<p>Slow is safe.</p>"]}
    assert [v["us"]["w"] for v in built.variants] == [0, 0] and built.marking()["labels"] == ["Look first.", "Run.", "Hold on.", "Jump."]
    html = built.fieldset(1)
    assert " data-must>" in html and '<span class="sq-must">Must be right</span>' in html
    # what this variant leaves out is there too, hidden, as another variant shows it
    assert re.findall(r'<li( hidden)?><label><input type="(\w+)" name="safe-1" value="(\d)">', html) == [
        ("", "checkbox", "3"), ("", "checkbox", "0"), ("", "checkbox", "2"), (" hidden", "checkbox", "1")]  # fmt: skip
    assert 'type="radio"' in plainly(ONE, (0, 1, 2)).fieldset(1) and "hidden" not in plainly(ONE, (0, 1, 2)).fieldset(1)


def test_steps_to_put_in_order() -> None:
    built = plainly(ORDER, (2, 0, 3, 1))
    html = built.fieldset(1)
    assert [(a, unescape(b)) for a, b in re.findall(r'<li data-item="(\d)"><span class="sq-text">(.*?)</span>', html)] == [
        ("2", "Belt on."), ("0", "Walk round."), ("3", "Start."), ("1", "Climb up.")]  # fmt: skip
    data = built.json()
    assert (data["right"], data["says"]["us"], data["workings"]["us"], data["texts"]["us"][0]) == ([], [], [""], "Walk round.")
    marking = built.marking()
    assert (marking["right"], marking["count"], marking["labels"][3], marking["variants"][0]["us"]) == (
        [0, 1, 2, 3],
        4,
        "Start.",
        {"order": [2, 0, 3, 1]},
    )


def test_a_spot_to_point_at() -> None:
    built = plainly(POINT, (0, 1))
    data = built.json()
    assert (data["right"], data["spots"], data["says"]["us"], data["workings"]["us"]) == (
        [0],
        ["crest", "toe"],
        ["", "That is the foot."],
        ["<p>The upper edge.</p>"],
    )
    assert "asks" not in data and "k" not in built.variants[0]["us"] and built.marking()["labels"] == ["crest", "toe"]
    html = built.fieldset(1)
    assert "<svg>loading.bench_loading edge-1</svg>" in html
    assert re.findall(r'value="(\w+)"> <span class="sq-text">(\w)</span>', html) == [("crest", "A"), ("toe", "B")]


def test_a_drawing_asked_about_in_turn() -> None:
    built = plainly(TURNS, (0, 1), (0, 1), asks=(1, 0))
    data = built.json()
    assert [v["us"]["k"] for v in built.variants] == [1, 0] and [a["right"] for a in data["asks"]] == [[0], [1]]
    assert [a["says"]["us"] for a in data["asks"]] == [["", "That is the foot."], ["That is the upper edge.", ""]]
    assert data["workings"]["us"] == ["", "<p>The crest is the upper edge.</p>"] and [v["us"]["w"] for v in built.variants] == [0, 1]
    assert (built.ask(), built.ask(1)) == ("Where is the toe?", "Where is the crest?")
    kept = built.marking()["variants"]
    assert [(v["us"]["right"], v["us"]["ask"]) for v in kept] == [([1], "Where is the toe?"), ([0], "Where is the crest?")]
    assert paper.right_letters(built, "us") == "B"


# --- the whole quiz -----------------------------------------------------------------------------


def test_the_quiz_of_a_lesson() -> None:
    q = good(POINT)
    nasty = dataclasses.replace(q, id="edge-2", because="</script><!-- & {machine}", read_again="nowhere")
    drawn = [both(Drawn({}, (0, 1)))]
    nasty = dataclasses.replace(nasty, asks=(dataclasses.replace(q.asks[0], because="</script><!-- x"),))
    made = quiz_html(Quiz("bench", 'A "bench"', (q, nasty), {"edge-1": drawn, "edge-2": drawn}), PAGE)
    assert made.html.count("</script>") == 1 and "<!--" not in made.html
    data = json.loads(re.findall(r'<script type="application/json">(.*?)</script>', made.html, re.S)[0])
    assert (data["lesson"], data["title"], data["edition"], data["site"], data["pass_mark"], data["crew"], data["figures"]) == (
        "bench", 'A "bench"', "2026-1", "site", 0.8, ["P-01", "P-02"], FIGURES)  # fmt: skip
    assert data["read_again"] == {"edge-1": {"href": "#do-it", "text": "Do it"}}
    assert [x["id"] for x in data["questions"]] == ["edge-1", "edge-2"] == [m["id"] for m in made.marking]
    assert re.findall(r"<legend>(.*?)</legend>", made.html) == ["Question 1", "Question 2"]
    assert 'data-lesson="bench" data-edition="2026-1" data-site="site"' in made.html


def test_what_is_handed_over_for_mixed_practice_is_small_and_whole() -> None:
    q = good(POINT)
    drawn = [both(Drawn({}, order)) for order in ((0, 1), (1, 0), (0, 1))]
    quiz = Quiz("bench", "Bench", (q,), {"edge-1": drawn})
    script = practice_script(quiz, PAGE, 2)
    assert practice_script(quiz, PAGE, 2, quiz_html(quiz, PAGE).built) == script  # taken from the lesson's own page it is the same
    packed = re.fullmatch(r'seatworkPractice\("bench","([A-Za-z0-9+/=]+)"\);\n', script)
    assert packed is not None
    data = json.loads(zlib.decompress(base64.b64decode(packed[1])))
    (asked,) = data["questions"]
    assert (asked["id"], asked["must"]) == ("bench/edge-1", False)
    assert [v["us"]["order"] for v in asked["variants"]] == [[0, 1], [1, 0]]
    assert list(data["form"]) == ["bench/edge-1"] and 'data-q="bench/edge-1"' in data["form"]["bench/edge-1"]
    assert data["read_again"] == {"bench/edge-1": {"href": "#do-it", "text": "Bench: Do it"}}


def test_how_a_figure_is_marked_is_all_that_is_kept_of_it() -> None:
    kept = number().marking()
    us, metric = kept["variants"][0]["us"], kept["variants"][0]["metric"]
    assert set(us) == {"shown", "unit", "accept", "mistakes", "comma"} and set(metric) == {"shown", "unit", "accept", "mistakes"}
    assert (
        us["accept"]["ft"] == [9.5, 10.5]
        and [m[0] for m in us["mistakes"]] == ["half", "twice"]
        and us["mistakes"][0][1]["ft"] == [4.9, 5.1]
    )
    assert (kept["ask"], kept["must"], kept["count"], kept["right"]) == ("The stick is … long. How high is the bench?", False, 0, [])
    assert number(changed(NUMBER, "  answer: bench\n", "  answer: bench\n  must_be_right: true\n")).marking()["must"] is True
    assert question_marking(plainly(ORDER, (1, 0, 2, 3)).json(), ["a <b>x</b>", "b"])["labels"] == ["a x", "b"]


def test_an_edition_file_stands_a_question_a_line() -> None:
    lessons: dict[str, Any] = {
        "a": {"title": "Ä", "figures": "f", "questions": [{"id": "q-1"}, {"id": "q-2"}]},
        "b": {"title": "B", "figures": "g", "questions": []},
    }
    text = edition_text("2026-1", "site", 0.8, lessons)
    assert json.loads(text) == {"seatwork_edition": 1, "edition": "2026-1", "site": "site", "pass_mark": 0.8, "lessons": lessons}
    assert text.startswith('{"seatwork_edition": 1, "edition": "2026-1"') and "Ä" in text and '{"id":"q-1"},\n{"id":"q-2"}' in text


# --- on paper -----------------------------------------------------------------------------------


def words(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def test_a_figure_to_write_down() -> None:
    built = number()
    assert (
        words(paper.question_html(built, 2, "us"))
        == "2 The stick is 10 ft long. How high is the bench? Answer ft Within 5% counts as right."
    )
    assert words(paper.question_html(built, 2, "metric")).endswith(
        "The stick is 3 m long. How high is the bench? Answer m Within 5% counts as right."
    )
    assert '<div class="room"></div>' in paper.question_html(built, 2, "us")
    assert (
        words(paper.key_html(built, 2, "us"))
        == "2 The stick is 10 ft long. How high is the bench? 10 ft (from 9.5 to 10.5 ft counts as right)"
    )
    exact = Built(good(NUMBER), [both(Drawn({"stick": "10 ft"}, (), None, Quantity(Decimal(6), "1", "count"), 6.0, (None, None)))], PAGE)
    assert "(exactly)" in words(paper.key_html(exact, 1, "us"))


@pytest.mark.parametrize(
    ("text", "order", "how", "letters"),
    [
        (ONE, (1, 2, 0), "Write one letter.", "C"), (SEVERAL, (3, 2, 0), "Write the letters of all that are right.", "B C"),
        (SEVERAL, (2, 1, 0), "Write the letters of all that are right.", "A C"), (ORDER, (2, 0, 3, 1), "Write all the letters, first step first.", "B D A C"),
        (POINT, (0, 1), "Write one letter.", "A"),
    ],
)  # fmt: skip
def test_letters_to_write_down(text: str, order: tuple[int, ...], how: str, letters: str) -> None:
    built = plainly(text, order)
    html = paper.question_html(built, 1, "us")
    assert words(html).endswith(f"Answer {how}") and paper.right_letters(built, "us") == letters
    if built.q.kind != "point":
        texts = [c.text for c in built.q.choices] or list(built.q.items)
        assert [words(x) for x in re.findall("<li>(.*?)</li>", html)] == [f"{'ABCD'[n]} {texts[i]}" for n, i in enumerate(order)]
    else:
        assert "<svg>loading.bench_loading edge-1</svg>" in html
    key = words(paper.key_html(built, 1, "us"))
    assert f" {letters}" in key and ("must be right" in key) == built.q.must_be_right == ("must be right" in words(html))
    assert key.endswith({"several": "Slow is safe.", "point": "The upper edge."}.get(built.q.kind, letters))


@pytest.mark.parametrize(("text", "short"), [("x" * 26, True), ("x" * 27, False), ("x" * 25 + "&", True), ("<b>" + "x" * 30, False)])
def test_short_choices_stand_beside_each_other(text: str, short: bool) -> None:
    q = good(ONE)
    long = dataclasses.replace(q, choices=(*q.choices[:2], dataclasses.replace(q.choices[2], text=text)))
    html = paper.question_html(Built(long, [both(Drawn({}, (0, 1, 2)))], PAGE), 1, "us")
    assert ('class="boxes choices short"' in html) is short


def test_letters_go_by_their_place() -> None:
    assert [paper.letter(i) for i in (0, 1, 25)] == ["A", "B", "Z"]


def test_figures_to_choose_from_on_paper() -> None:
    built = picked()
    assert [words(x) for x in re.findall("<li>(.*?)</li>", paper.question_html(built, 1, "us"))] == ["A 20 ft", "B 10 ft", "C 5 ft"]
    assert paper.right_letters(built, "us") == "B" and paper.right_letters(built, "metric") == "A"


def test_a_question_without_figures_is_the_same_in_both_systems() -> None:
    q: Question = good(ONE)
    assert '<span class="si">' not in plainly(ONE, (0, 1, 2)).fieldset(1) and q.blanks == frozenset()
