"""Every broken lesson gets its exact lines, all in one run, and the line is where the mistake is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.book.lesson import read_lesson
from generator.cli.main import main
from generator.source.problem import Problem, Refusals
from tests.book.broken import READ, WORKED, Broken, expected
from tests.book.places import LESSON, QUESTIONS, put, small

SAID = expected()
NAME = re.compile(r"(lessons|questions)/([a-z0-9-]+)\.(md|yml)(?::(\d+))?: ")

# told at another line than the one that was changed: where the block, entry or text stands that it is about
ELSEWHERE = {
    "front-unknown": "the missing one at the top, the odd one in its line", "front-no-sheet": "the block", "front-missing": "the top",
    "front-scene-block": "the block", "calculation-misspelt": "the number", "input-misspelt": "the number", "figure-typed": "the number",
    "circle": "the number", "scene-argument": "the argument and the scene that lacks it", "quiz-missing": "the body",
    "front-yaml": "where the bracket ends to make sense", "q-yaml": "where the bracket ends to make sense", "q-none": "the top",
    "q-mistake-name": "the question", "q-range": "its line", "w-count": "the figures of the sheet's drawing", "w-result": "the table",
    "w-mistake-zero": "the question", "w-mistake-power": "the question",
}  # fmt: skip


@pytest.mark.parametrize("group", [READ, WORKED], ids=["read", "worked"])
def test_every_broken_lesson_is_told_in_one_run(group: list[Broken], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small(tmp_path / "site", "stop-work", *(b.id for b in group))
    for b in group:
        b.put(site)
    assert main(["check", str(site)]) == 2
    err = capsys.readouterr().err
    assert "Traceback" not in err
    said: dict[str, list[str]] = {}
    for line in err.splitlines():
        match = NAME.match(line)
        assert match is not None and "; " in line and line.isprintable(), line
        said.setdefault(match[2], []).append(line)
    assert {i: tuple(lines) for i, lines in said.items()} == {b.id: SAID[b.id] for b in group}


@pytest.mark.parametrize("broken", [b for b in (*READ, *WORKED) if b.id not in ELSEWHERE], ids=lambda b: b.id)
def test_the_line_is_the_changed_one(broken: Broken) -> None:
    good = QUESTIONS if broken.questions else LESSON
    first = good[: good.index(broken.old)].count("\n") + 1
    # an edit of several lines starts above what it breaks
    lines = range(first, first + max(broken.old.count("\n"), broken.new.count("\n")) + 1)
    told = [int(m[4]) for line in SAID[broken.id] if (m := NAME.match(line)) is not None and m[4]]
    assert told and all(n in lines for n in told)


def test_catalogue_is_whole() -> None:
    assert [b.id for b in (*READ, *WORKED)] == list(SAID)
    assert len(SAID) >= 60
    assert set(ELSEWHERE) <= set(SAID)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("## Watch for", "## Watch out for", "52: 'Watch out for' is none of the six headings; did you mean Watch for?"),
        (
            "## Check yourself\n", "",
            "34: headings are Why it matters, Do it, The numbers, Watch for, Show your mentor; use these six, in this order: "
            "Why it matters, Do it, The numbers, Watch for, Check yourself, Show your mentor",
        ),
    ],
)  # fmt: skip
def test_a_lesson_that_is_handed_out_has_the_six_headings(old: str, new: str, told: str) -> None:
    """Those of the generator are all built alike; a site's own lesson has the headings it wants."""
    assert LESSON.count(old) == 1
    for file, wanted in (("content/lessons/gate.md", [f"content/lessons/gate.md:{told}"]), ("lessons/gate.md", [])):
        problems: list[Problem] = []
        lesson = read_lesson(LESSON.replace(old, new), "gate", file, problems)
        assert ([str(p) for p in problems], lesson is None) == (wanted, bool(wanted))


# files that are not lessons: text, and the lines it gets
FILES: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "cautions-empty": ("cautions.yml", "edge:\n", ("cautions.yml:1: 'edge' has no text; write 'edge: …'",)),
    "cautions-list": ("cautions.yml", "- edge\n", ("cautions.yml:1: is no table of names; write 'name: text', one a line",)),
    "glossary-deep": ("glossary.yml", "a: x\nbench: {a: b}\n", ("glossary.yml:2: 'bench' has no text; write 'bench: …'",)),
    "mistakes-twice": (
        "mistakes.yml", "a: x\na: y\n", ("mistakes.yml:2: 'a' stands twice; keep one of them",),
    ),
    "cards-key": (
        "cards.yml", "excavator:\n  title: A\n  numbers: {}\n  lines: {}\n  tabels: []\n",
        ("cards.yml:5: excavator: a card has no 'tabels'; did you mean tables?",),
    ),
    "cards-caution": (
        "cards.yml", "excavator:\n  title: A\n  numbers: {}\n  lines: {}\n  cautions:\n    - egde\n",
        ("cards.yml:6: no caution is called 'egde'; did you mean edge?",),
    ),
    "chapters-title": (
        "chapters.yml", "- id: yard\n",
        ("chapters.yml:1: a chapter needs an id and a title; write '- id: …' and below it '  title: …'",),
    ),
    "chapters-id": (
        "chapters.yml", "- id: ../yard\n  title: Yard\n",
        ("chapters.yml:1: '../yard' is no chapter id; use small letters, digits and single hyphens",),
    ),
    "figures-reason": (
        "allowed-figures.yml", "- text: channel 4\n",
        ("allowed-figures.yml:1: an entry needs a text, in quotes, and a reason; "
         "write '- text: \"channel 4\"' and below it '  reason: …'",),
    ),
    "questions-lost": (
        "questions/stop-wrok.yml", QUESTIONS, ("questions/stop-wrok.yml: there is no such lesson; did you mean stop-work?",),
    ),
    "lesson-alone": (
        "lessons/gate.md", LESSON, ("lessons/gate.md: the lesson has no questions, so nobody can pass it; add questions/gate.yml",),
    ),
    "lesson-ending": (
        "lessons/gate.txt", LESSON, ("lessons/gate.txt: files in lessons end in .md; rename it to ….md, or move it elsewhere",),
    ),
    "sheet-unknown": ("sheets/tailgates.html", "x", ("sheets/tailgates.html: no sheet is called that; did you mean tailgate.html?",)),
    "sheet-name": (
        "sheets/frame.html", "<h1>{{ titel }}</h1>\n{{ body }}\n",
        ("sheets/frame.html:1: template: nothing is called 'titel'; did you mean title?",
         "sheets/frame.html:1: does not print 'title'; put {{ title }} where it belongs"),
    ),
    "sheet-open": (
        "sheets/frame.html", "{{ title }}\n{% if invented %}\n{{ body }}\n",
        ("sheets/frame.html:3: template: an if or a for has no end; end it with {% endif %} or {% endfor %}",),
    ),
    "look-name": ("look/seatwrok.css", "x", ("look/seatwrok.css: no look or picture is called that; did you mean seatwork.css?",)),
}  # fmt: skip


def test_every_broken_file_is_told_in_one_run_or_alone(tmp_path: Path) -> None:
    from generator.book.content import content_folder, read_content

    # files of different names are broken together; those of one name take turns
    turns: list[dict[str, str]] = []
    for id_, (name, _, _) in FILES.items():
        turn = next((t for t in turns if name not in t), None)
        if turn is None:
            turns.append(turn := {})
        turn[name] = id_
    for i, turn in enumerate(turns):
        site = tmp_path / str(i)
        site.mkdir()
        put(site, {name: FILES[id_][1] for name, id_ in turn.items()})
        with pytest.raises(Refusals) as caught:
            read_content(content_folder(), site)
        assert sorted(str(p) for p in caught.value.problems) == sorted(line for id_ in turn.values() for line in FILES[id_][2])


def test_tables_and_lessons_are_told_together(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small(tmp_path / "site")
    put(site, {"cautions.yml": "edge:\n"})
    machines = site / "machines.csv"
    machines.write_text(machines.read_text("utf-8").replace("45000", "heavy"), "utf-8")
    assert main(["build", str(site), "--quiet"]) == 2
    err = capsys.readouterr().err
    assert "machines.csv:2:" in err and "cautions.yml:1:" in err and "nothing was written" in err
