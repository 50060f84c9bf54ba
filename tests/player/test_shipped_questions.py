"""Every question of every lesson as it stands in the built pages: variants, mistakes, figures."""

from __future__ import annotations

import itertools
import json
import re
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.records.answers import figure_for, within
from tests.player.playing import Player

Json = dict[str, Any]
SYSTEMS = ("us", "metric")
_DATA = re.compile(r'<seatwork-quiz.*?<script type="application/json">(.*?)</script>', re.S)


@pytest.fixture(scope="module")
def quizzes(demo: Path) -> dict[str, Json]:
    """The player's data by lesson."""
    out = {}
    for page in sorted((demo / "out/web/lessons").glob("*.html")):
        found = _DATA.search(page.read_text("utf-8"))
        assert found, f"{page.name} has no quiz"
        out[page.stem] = json.loads(found[1])
    return out


def questions(quizzes: dict[str, Json]) -> Iterator[tuple[str, Json]]:
    for lesson, data in quizzes.items():
        for q in data["questions"]:
            yield f"{lesson}/{q['id']}", q


def variants(quizzes: dict[str, Json], *kinds: str) -> Iterator[tuple[str, Json, str, Json]]:
    for where, q in questions(quizzes):
        if q["kind"] in kinds:
            for n, both in enumerate(q["variants"]):
                for system in SYSTEMS:
                    yield f"{where} variant {n} {system}", q, system, both[system]


def filled(tpl: str, figures: list[str]) -> str:
    return re.sub(r"⟦(\d+)⟧", lambda m: figures[int(m[1])], tpl)


def test_every_lesson_asks_enough(quizzes: dict[str, Json]) -> None:
    assert len(quizzes) >= 27
    for lesson, data in quizzes.items():
        assert len(data["questions"]) >= 6, lesson
        assert len({q["kind"] for q in data["questions"]}) >= 3, lesson
        assert any(q["must"] for q in data["questions"]), f"{lesson} has no question that must be right"
    assert {q["kind"] for _, q in questions(quizzes)} == {"number", "one", "several", "order", "point"}


def test_every_question_has_its_variants_and_no_two_alike(quizzes: dict[str, Json]) -> None:
    for where, q in questions(quizzes):
        assert len(q["variants"]) >= 24, where
        for system in SYSTEMS:
            figures = [tuple(v[system]["f"]) for v in q["variants"]]
            if q["kind"] == "number" or (q["kind"] == "one" and q["texts"][system][0].startswith('<b class="sq-figure">')):
                assert len(set(figures)) == len(figures), f"{where} {system}"


def test_no_blank_is_left_open_anywhere(quizzes: dict[str, Json]) -> None:
    for where, q, system, v in variants(quizzes, "number", "one", "several", "order", "point"):
        texts = [q["ask"][system], *q["texts"][system], *q["says"][system]]
        texts += [m["says"] for m in v.get("answer", {}).get("mistakes", ())]
        for text in texts:
            assert "⟦" not in filled(text, v["f"]), where
        if q["kind"] in {"one", "several"}:  # it may have more choices than it shows at a time
            shown, right = set(v["order"]), set(q["right"])
            least = 2 if "pictures" in q else 4
            assert len(shown) == len(v["order"]) >= least and shown <= set(range(len(q["texts"][system]))), where
            assert right < shown if q["kind"] == "one" else len(right & shown) > 1 and shown - right, where
            assert "pictures" not in q or shown == set(range(len(q["pictures"]))), where
        else:
            assert sorted(v["order"]) == list(range(len(v["order"]))), where


def test_what_a_mistake_says_is_whole(quizzes: dict[str, Json]) -> None:
    """A text cut off at a comma would end in the middle of a sentence."""
    count = 0
    for where, q in questions(quizzes):
        faces = q.get("asks", [q])
        says = [s for face in faces for s in face["says"]["us"]]
        says += [m["says"] for v in q["variants"] for m in v["us"].get("answer", {}).get("mistakes", ())]
        for said in filter(None, says):
            assert said[-1] in ".?!" and len(said) > 12, f"{where}: '{said}'"
            count += 1
    assert count > 2_000


def test_length_does_not_give_the_right_answer_away(quizzes: dict[str, Json]) -> None:
    """Whoever always picks the longest choice, or the shortest, does little better than by chance."""
    place = [0, 0, 0]  # shortest, neither, longest
    for _, q in questions(quizzes):
        if q["kind"] == "one" and "pictures" not in q and not q["texts"]["us"][0].startswith('<b class="sq-figure">'):
            lengths = [len(filled(t, q["variants"][0]["us"]["f"])) for t in q["texts"]["us"]]
            right = lengths.pop(q["right"][0])
            place[0 if right < min(lengths) else 2 if right > max(lengths) else 1] += 1
    assert sum(place) > 40
    assert place[0] / sum(place) < 0.35 and place[2] / sum(place) < 0.35, place


def test_how_many_are_right_is_not_told_by_how_many_are_shown(quizzes: dict[str, Json]) -> None:
    wrong: dict[int, Counter[int]] = {}
    for _, q, _, v in variants(quizzes, "several"):
        shown = v["order"]
        wrong.setdefault(len(shown), Counter())[len(set(shown) - set(q["right"]))] += 1
    for shown, counts in wrong.items():
        assert max(counts.values()) / sum(counts.values()) < 0.8, f"of {shown}: {counts}"


def test_size_does_not_give_the_right_figure_away(quizzes: dict[str, Json]) -> None:
    """The right one of four figures is now small, now large: over all questions, and on one person's tries."""
    ranks, alike, asked = [0, 0, 0, 0], 0, 0
    for _, q in questions(quizzes):
        if q["kind"] != "one" or not q["texts"]["us"][0].startswith('<b class="sq-figure">'):
            continue
        for system in SYSTEMS:
            own = set()
            for v in (both[system] for both in q["variants"]):
                figures = [filled(re.sub("<[^>]*>", "", q["texts"][system][i]), v["f"]) for i in sorted(v["order"])]
                values = [float(re.match(r"[\d,.\u202f]+", f)[0].rstrip(".").replace(",", "").replace("\u202f", "")) for f in figures]  # type: ignore[index]
                rank = sum(x < values[0] for x in values)  # the right one is the first of all
                ranks[rank] += 1
                own.add(rank)
                for x in values[1:]:
                    assert 0.015 < x / values[0] < 60, f"{q['id']}: {figures}"  # nobody would take that one
            alike += len(own) == 1
            asked += 1
    assert asked > 50 and alike <= 2, alike
    assert max(ranks) / sum(ranks) < 0.4, ranks


def test_a_right_answer_never_stands_among_the_wrong_ones(quizzes: dict[str, Json]) -> None:
    """Numbers: what counts as right and what a mistake gives never meet, in any unit."""
    count = 0
    for where, q, _, v in variants(quizzes, "number"):
        answer = v["answer"]
        assert answer["accept"] and not q["texts"]["us"], where
        for mistake in answer["mistakes"]:
            for unit, (low, high) in answer["accept"].items():
                a, b = mistake["accept"][unit]
                middle = (a + b) / 2
                assert not within([low, high], middle), f"{where}: {mistake['id']} counts as right in {unit}"
                count += 1
        middles = [sum(m["accept"][answer["unit"]]) / 2 for m in answer["mistakes"]]
        for one, other in itertools.combinations(middles, 2):
            assert abs(one - other) > 1e-9 * abs(one), f"{where}: two mistakes give {one}"
    assert count > 10_000


def test_no_two_choices_are_the_same(quizzes: dict[str, Json]) -> None:
    count = 0
    for where, q, system, v in variants(quizzes, "one", "several", "order"):
        texts = [
            filled(t, v["f"]) for t, picture in zip(q["texts"][system], q.get("pictures") or [False] * 99, strict=False) if not picture
        ]
        assert len(set(texts)) == len(texts) and len(q["texts"][system]) >= (2 if "pictures" in q else 3), f"{where}: {texts}"
        if q["kind"] == "one":
            assert len(q["right"]) == 1 and not q["says"][system][q["right"][0]], where
            assert all(says for i, says in enumerate(q["says"][system]) if i not in q["right"]), f"{where}: a wrong choice says nothing"
        count += 1
    assert count > 5_000


def test_pictures_to_choose_from_differ_and_do_not_tell(demo: Path, quizzes: dict[str, Json]) -> None:
    """No two pictures of a question are the same drawing, and nothing in them says which way they show."""
    count = 0
    for lesson, data in quizzes.items():
        html = (demo / f"out/web/lessons/{lesson}.html").read_text("utf-8")
        for q in data["questions"]:
            if "pictures" not in q:
                continue
            fieldset = re.search(rf'<fieldset class="sq" data-q="{q["id"]}".*?</fieldset>', html, re.S)
            assert fieldset is not None
            drawn = re.findall(r'<span class="sq-picture">(<svg.*?</svg>)</span>', fieldset[0], re.S)
            assert len(drawn) == sum(q["pictures"]) >= 2, q["id"]
            assert len({re.sub(rf"{q['id']}-[0-9]+-quiz", "", svg) for svg in drawn}) == len(drawn), q["id"]
            for svg in drawn:
                assert "data-way" not in svg and "<title" not in svg and "<desc" not in svg and 'aria-hidden="true"' in svg
            count += 1
    assert count


def test_the_printed_answer_can_be_typed_as_it_is_printed(quizzes: dict[str, Json]) -> None:
    """Whoever types the worked answer just as the page prints it, with or without its unit, is right."""
    commas = 0
    for where, _, _, v in variants(quizzes, "number"):
        answer = v["answer"]
        number = re.match(r"−?[0-9.,\u202f]*[0-9]", answer["shown"])
        assert number, where
        for text in (answer["shown"], number[0]):
            got = figure_for(text, answer)
            assert within(answer["accept"][got.unit], got.value), f"{where}: '{text}' is not taken"
        commas += bool(re.fullmatch(r"[0-9]{1,3},[0-9]{3}", number[0]))
    assert commas > 100  # the case is there


DRAW = """([questions, tries]) => {
  const draw = customElements.get('seatwork-quiz').prototype.draw;
  const same = [];
  for (const q of questions) {
    q.figured = true;
    const me = { state: { last: {} } };
    let before = null;
    for (let i = 0; i < tries; i++) {
      const now = q.variants[draw.call(me, q)];
      if (before && ['us', 'metric'].some((s) => JSON.stringify(now[s]) === JSON.stringify(before[s]))) same.push(q.id);
      before = now;
    }
  }
  return [...new Set(same)];
}"""


def test_two_tries_in_a_row_never_show_the_same_figures(opened: Callable[..., Player], quizzes: dict[str, Json]) -> None:
    """The player's own draw, over every question of the handbook that has figures or an order."""
    slim = []
    for where, q in questions(quizzes):
        figured = len({json.dumps([v[s]["f"] for s in SYSTEMS]) for v in q["variants"]}) > 1  # else the order is what differs
        looks = [{s: [v[s].get("k"), v[s]["f"] if figured else v[s]["order"]] for s in SYSTEMS} for v in q["variants"]]
        assert len({json.dumps(x) for x in looks}) > 1, f"{where} shows the same on every try"
        # alike is what counts, so a short name does for each look: the browser is sent far less
        known: dict[str, int] = {}
        short = [{s: {"f": [known.setdefault(json.dumps(x[s]), len(known))]} for s in SYSTEMS} for x in looks]
        slim.append({"id": where, "variants": short})
    p = opened("two")
    assert p.page.evaluate(f"({DRAW})(JSON.parse({json.dumps(json.dumps([slim, 6]))}))") == []


def test_a_limit_is_right_on_its_safe_side_only(quizzes: dict[str, Json]) -> None:
    """29 CFR 1926.1408, Table A: over 50 to 200 kV keep 15 ft, over 500 to 750 kV 35 ft. Less is never right,
    but for what is lost in rounding to three digits. In metres the distance is the next centimetre up:
    4.572 m, by definition of the foot (1959), is 4.58 m."""
    seen = set()
    for where, _, system, variant in variants(quizzes, "number"):
        if where.startswith("lines-above-and-below/lines-01"):
            voltage = float(variant["f"][0].split()[0])
            for over, to, feet in ((50, 200, 15.0), (500, 750, 35.0)):
                if over < voltage <= to:
                    low, high = variant["answer"]["accept"]["ft"]
                    least = feet if system == "us" else {15.0: 4.58, 35.0: 10.67}[feet] / 0.3048
                    assert 0.99899 * least <= low <= least <= high <= 1.034 * feet
                    seen.add((system, feet))
    assert seen == {(s, f) for s in SYSTEMS for f in (15.0, 35.0)}
    for where, _, _, variant in variants(quizzes, "number"):  # common practice: never higher than the stick
        if where.startswith("bench-height/bench-01"):
            stick = float(variant["f"][0].split()[0])
            unit = variant["answer"]["unit"]
            low, high = variant["answer"]["accept"][unit]
            assert low <= stick * 0.951 and stick <= high <= stick * 1.0011
