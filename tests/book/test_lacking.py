"""What rests on a column that may be left blank is left out where it is, and the page says once what it lacks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead
from generator.book.part import Tree
from generator.book.render import render_body
from generator.book.tree import render_tree
from generator.jobsite.reader import read
from generator.working.ledger import Ledger
from tests.conftest import copy_demo

LESSON = """---
title: What hides behind
chapter: loading
summary: The tail of a machine swings where nobody looks.
about: excavator
minutes: 4
why:
  - Nobody sees all round.
  - The tail comes round as far out as {{ n('machine.tail_radius') }}.
numbers:
  bench: {calculation: loading.bench_height, stick_length: machine.stick_length}
  tail: {calculation: loading.bench_height, stick_length: machine.tail_radius}
table:
  columns: {Tail: machine.tail_radius}
watch:
  - Stand where the operator sees you.
  - "Keep {{ n('tail') }} away."
show:
  - Says where nobody stands.
  - "Says {{ n('tail') }}."
sheet:
  points:
    - Look first.
    - "The tail reaches {{ n('tail') }}."
  sum: tail
  ask:
    - {ask: "Who looks?", answer: You.}
    - {ask: "How far?", answer: "{{ n('tail') }}."}
---

## Why it matters

{{ why() }}

## Do it

1. Look.
2. Keep {{ n('tail') }} away.
3. Look again.

## The numbers

The bench is {{ n('bench') }} high.

The tail reaches {{ n('tail') }}, on {{ machine.name }} too.

{{ working('tail') }}

{{ table() }}

## Watch for

{{ watch() }}

## Check yourself

{{ quiz() }}

## Show your mentor

{{ show() }}
"""

QUESTIONS = """- id: hides-01
  kind: one
  must_be_right: true
  ask: Who looks?
  choices:
    - {text: You., right: true}
    - {text: Nobody., says: Somebody has to.}
    - {text: The machine., says: It has no eyes.}
  because: Who moves looks.
  read_again: do-it
- id: hides-02
  kind: number
  draw:
    machine: {row: excavator}
  numbers:
    answer: {calculation: loading.bench_height, stick_length: machine.tail_radius}
  answer: answer
  within: 5%
  ask: "How far does the tail of the {{ machine }} reach?"
  mistakes: []
  read_again: the-numbers
"""


def made(folder: Path) -> Tree:
    own = folder / "lessons"
    own.mkdir(exist_ok=True)
    (own / "what-hides-behind.md").write_text(LESSON, "utf-8")
    (folder / "questions").mkdir(exist_ok=True)
    (folder / "questions/what-hides-behind.yml").write_text(QUESTIONS, "utf-8")
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    head, _, rest = text.partition("roles:\n")
    roles = "roles:\n  digger: {title: Digger, machines: [excavator], lessons: [stop-work, what-hides-behind]}\n"
    settings.write_text(head + roles + rest[rest.index("\n# This site's own limits") :], "utf-8")
    crew = "id,name,role,machines,start\nP-01,Person One,digger,E-1,2026-01-05\n"
    (folder / "crew.csv").write_text(crew, "utf-8")
    (folder / "machines.csv").write_text((folder / "machines.csv").read_text("utf-8"), "utf-8")
    content = read_content(content_folder(), folder)
    return render_tree(content, read(folder, lessons=(*lesson_ids(content_folder()), "what-hides-behind")))


def blank_tails(folder: Path) -> None:
    path = folder / "machines.csv"
    rows = [line.split(",") for line in path.read_text("utf-8").splitlines()]
    at = next(i for i, name in enumerate(rows[0]) if name.startswith("tail_radius"))
    for row in rows[1:]:
        row[at] = ""
    path.write_text("\n".join(",".join(row) for row in rows) + "\n", "utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copy_demo(tmp_path / "site")


def test_with_the_column_all_stands(folder: Path) -> None:
    tree = made(folder)
    assert tree.problems == []
    text = str(tree.docs["lessons/what-hides-behind.md"])
    assert "sw-lacks" not in text and "as far out as" in text and "3. Look again." in text and "hides-02" in text


def test_without_it_what_rests_on_it_is_left_out_and_said_once(folder: Path) -> None:
    blank_tails(folder)
    tree = made(folder)
    assert tree.problems == []
    text = str(tree.docs["lessons/what-hides-behind.md"])
    assert text.count("sw-lacks") == 1 and "tail radius" in text
    assert text.index("## The numbers") < text.index("sw-lacks") < text.index("The bench is")
    assert "Nobody sees all round." in text and "as far out as" not in text
    assert "1. Look.\n3. Look again." in text, "the entry goes, and what is left is one list"
    assert "Stand where the operator" in text and "The tail reaches" not in text and "sw-how" not in text
    assert "hides-01" in text and "hides-02" not in text
    sheet = str(tree.docs["sheets/what-hides-behind.html"])
    assert "Look first." in sheet and "The tail reaches" not in sheet and "Work it out together" not in sheet
    key = str(tree.mentor["keys/what-hides-behind.html"])
    assert "You." in key and "How far?" not in key
    [told] = [n for n in tree.notices if n.code == "column-blank"]
    assert (told.file, told.column) == ("machines.csv", "tail_radius") and "what-hides-behind" in told.what
    assert not [e for e in tree.ledger.entries if "hides" in e.page and e.calculation == "loading.bench_height" and "tail" in e.what]


def test_the_first_machine_that_has_the_column_is_the_lead(folder: Path) -> None:
    path = folder / "machines.csv"
    rows = [line.split(",") for line in path.read_text("utf-8").splitlines()]
    at = next(i for i, name in enumerate(rows[0]) if name.startswith("tail_radius"))
    for row in rows[1:]:
        if row[0] != "E-3":
            row[at] = ""
    path.write_text("\n".join(",".join(row) for row in rows) + "\n", "utf-8")
    tree = made(folder)
    text = str(tree.docs["lessons/what-hides-behind.md"])
    assert tree.problems == [] and "sw-lacks" not in text and "E&#45;3" in text


def test_a_limit_this_site_has_not_set_is_left_out_too(folder: Path) -> None:
    """Whom to call stands in a paragraph of its own: what to do for heat stroke stays without it."""
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    line = next(row for row in text.splitlines() if row.startswith("  emergency:"))
    settings.write_text(text.replace(line + "\n", ""), "utf-8")
    content = read_content(content_folder(), folder)
    small = replace(content, lessons={"heat-and-hours": content.lessons["heat-and-hours"]})
    page = LessonPage(small.lessons["heat-and-hours"], small, site := read(folder, lesson_ids(content_folder())), site_lead(site), Ledger())
    body = render_body(page, {"quiz": lambda: "", "panel": lambda: ""})
    assert "Call on this site" not in body and "Struck by the heat?" in body
    assert [(w.table, w.column) for w in page.lacking] == [("settings.yml", "limits: emergency")]
    assert "emergency. Ask your mentor." in page.what_it_lacks()
