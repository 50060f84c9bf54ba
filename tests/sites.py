"""Small changes to a copy of the demo that several tests make."""

from __future__ import annotations

from pathlib import Path

OWN_LESSON = """---
title: Look first
chapter: ground
summary: Look before you move.
about: any
minutes: 3
why:
  - Nobody sees all round.
watch:
  - Stand where the operator sees you.
builds_on: {builds_on}
show:
  - Says where nobody stands.
sheet:
  points:
    - Look first.
  ask:
    - {{ask: "Who looks?", answer: You.}}
---

## What we do here

{{{{ why() }}}}

1. Look.
2. Look again.

{{{{ quiz() }}}}

## Who shows it

{{{{ show() }}}}
"""

OWN_QUESTIONS = """- id: look-01
  kind: one
  must_be_right: true
  ask: Who looks?
  choices:
    - {text: You., right: true}
    - {text: Nobody., says: Somebody has to.}
    - {text: The machine., says: It has no eyes.}
  because: Who moves looks.
"""


def own_lesson(folder: Path, builds_on: str = "[]", machines: str = "[excavator]", lessons: str = "[stop-work, look-first]") -> Path:
    """The site in ``folder`` with one role, and a lesson of its own, ``look-first``, that has no number."""
    (folder / "lessons").mkdir(exist_ok=True)
    (folder / "lessons/look-first.md").write_text(OWN_LESSON.format(builds_on=builds_on), "utf-8")
    (folder / "questions").mkdir(exist_ok=True)
    (folder / "questions/look-first.yml").write_text(OWN_QUESTIONS, "utf-8")
    settings = folder / "settings.yml"
    head, _, rest = settings.read_text("utf-8").partition("roles:\n")
    role = f"roles:\n  digger: {{title: Digger, machines: {machines}, lessons: {lessons}}}\n"
    settings.write_text(head + role + rest[rest.index("\n# This site's own limits") :], "utf-8")
    runs = "" if "foot" in machines else "E-1"
    (folder / "crew.csv").write_text(f"id,name,role,machines,start\nP-01,Person One,digger,{runs},2026-01-05\n", "utf-8")
    return folder
