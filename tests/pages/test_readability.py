"""Reading grades: the formula by hand, what counts as prose, and a lesson of long words is named."""

from __future__ import annotations

import re
import socket
from pathlib import Path
from typing import Any

import pytest

from generator.book import readability
from tests.conftest import LESSONS

# Flesch-Kincaid grade as printed (Kincaid, Fishburne, Rogers and Chissom 1975, Navy Research Branch
# Report 8-75): 0.39 x words a sentence + 11.8 x syllables a word - 15.59; words and syllables
# below were counted by hand, as a dictionary divides them
BY_HAND = [
    ("The operator inspects the machine. He reports each defect.", 9, 2, 16),
    ("Continuous excavation below the foundation needs the engineer's written approval.", 10, 1, 24),
    ("Follow the manual of the manufacturer. Do not enter the excavation.", 11, 2, 22),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words", "sentences", "syllables"), BY_HAND)
def test_the_grade_is_the_printed_formula(text: str, words: int, sentences: int, syllables: int) -> None:
    assert readability.grade(text) == pytest.approx(0.39 * words / sentences + 11.8 * syllables / words - 15.59, abs=0.05)


def test_only_prose_counts() -> None:
    page = (
        "---\ntitle: incomprehensibilities\n---\n# Incomprehensibilities\n\n"
        'Dig to <button class="sw-num us" popovertarget="w1">3.5 ft</button>'
        '<button class="sw-num si" popovertarget="w2">1.07 m</button> and stop\n\n'
        "1. Look at the **face**.\n2. Back off\n\n"
        '<div class="sw-working"><p>incomprehensibilities</p></div>\n\n<svg><text>incomprehensibilities</text></svg>\n\n'
        "<table><tr><td>incomprehensibilities</td></tr></table>\n\n"
        '<seatwork-quiz><form><div class="sq-ask">Is it <b class="sq-figure">2.5 m</b> deep?</div><ul><li>4 m</li></ul></form>'
        '</seatwork-quiz>\n\n<div class="sw-pop"><p>incomprehensibilities</p></div>'
    )
    assert readability.prose(page) == (
        "Dig to ten feet and stop.\nLook at the face." , "Is it ten feet deep?",
    )  # fmt: skip


def test_a_planted_lesson_of_long_words_is_named_with_its_grade() -> None:
    easy = "Back off and call. The edge can go at once. Keep the bucket low."
    hard = (
        "Subsequently, geotechnical instability considerations necessitate continuous environmental evaluation "
        "of the excavation's perimeter. Look at the edge."
    )
    found = readability.grades({"lessons/easy.md": easy, "lessons/planted.md": hard, "glossary.md": hard})
    assert [g.lesson for g in found] == ["easy", "planted"]
    lines, above = readability.said(found, each=True)
    assert len(above) == 1
    grade = re.match(r"lessons/planted\.md: reads at school grade ([\d.]+), above 8; ", above[0])
    assert grade is not None and float(grade[1]) > 12
    assert "'Subsequently, geotechnical" in above[0]
    assert "(planted)" in lines[0] and len(lines) == 3


def test_hard_questions_are_named_too() -> None:
    ask = "Considering geotechnical instability, which precautionary administrative procedures are obligatory?"
    page = f'Back off and call.\n\n<seatwork-quiz><div class="sq-ask">{ask}</div></seatwork-quiz>'
    _, above = readability.said(readability.grades({"lessons/planted.md": page}), each=False)
    assert [x.split(":")[0] for x in above] == ["questions/planted.yml"]


def test_no_lesson_of_the_handbook_is_above_grade_8(demo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: Any, **__: Any) -> None:
        raise AssertionError("reading grades must not ask the network")

    monkeypatch.setattr(socket.socket, "connect", refused)
    docs: dict[str, str | bytes] = {}
    for path in sorted((demo / "out/web/lessons").glob("*.html")):
        article = re.search(r"<article\b.*?>(.*)</article>", path.read_text("utf-8"), re.DOTALL)
        assert article is not None, path.name
        docs[f"lessons/{path.stem}.md"] = article[1]
    found = readability.grades(docs)
    assert [n.removeprefix("lessons/").removesuffix(".md") for n in sorted(docs)] == LESSONS and len(found) == len(docs)
    assert all(g.text > 0.5 for g in found), "hardly any prose was read"
    assert not readability.said(found, each=False)[1]


def test_a_missing_counter_does_not_stop_the_check(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    import sys

    from generator.cli import commands

    monkeypatch.setitem(sys.modules, "syllapy", None)
    assert commands._reading({"lessons/a.md": "Back off and call."}, each=False) == 0
    assert "reading grade: not measured, syllapy is not installed" in capsys.readouterr().err
