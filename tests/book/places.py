"""Small job sites with lessons of their own. All invented."""

from __future__ import annotations

import re
from pathlib import Path

from tests.conftest import copy_demo

LESSON = """\
---
title: Keep the yard gate shut
chapter: ground
summary: Shut the gate behind you. Machines and the road do not mix.
about: excavator
minutes: 3
why:
  - A gate left open lets people walk in.
numbers:
  bench:
    calculation: loading.bench_height
    stick_length: machine.stick_length
table:
  columns:
    Bench height: bench
drawing:
  scene: loading.bench_loading
  with:
    stick_length: machine.stick_length
    bench_height: bench
  caption: "{{ machine.name }} behind the gate."
watch:
  - "Nobody stands at the {{ term('crest') }}."
show:
  - Shuts the gate.
sheet:
  points:
    - "Shut the gate. The bench is {{ n('bench') }}."
  sum: bench
  ask:
    - ask: "Who shuts the gate?"
      answer: "Whoever came through it."
---

## Why it matters

{{ why() }}

## Do it

1. Look both ways.
2. Shut the gate.

## The numbers

The bench is {{ n('bench') }} high.

{{ working('bench') }}

{{ table() }}

## Watch for

{{ watch() }}

{{ caution('edge') }}

## Check yourself

{{ quiz() }}

## Show your mentor

{{ show() }}
"""

# a field exercise, to be put into the front matter; the body has to call it
EXERCISE = """\
exercise:
  set_out: [Two flags at the gate.]
  do: [Come through the gate., Shut it.]
  measure: [Count how often it stays open.]
  expect: ["Never. The bench is {{ n('bench') }}."]
  if_off: [Go back and shut it.]
  standard: Ten times through and shut each time, three days running.
  record: [Through, Shut]
"""

QUESTIONS = """\
- id: gate-1
  kind: one
  ask: Who shuts the gate?
  choices:
    - {text: Whoever came through it., right: true}
    - {text: Nobody., says: Somebody must.}
    - {text: The last one at night., says: It is open all day then.}
- id: gate-2
  kind: number
  ask: The stick is {stick} long. How high is the bench?
  draw:
    stick: {us: [6 ft, 18 ft, 0.25 ft], metric: [1.8 m, 5.4 m, 0.05 m]}
  numbers:
    bench: {calculation: loading.bench_height, stick_length: stick}
  answer: bench
  mistakes:
    - {id: half-of-it, gives: right / 2}
"""


def small(folder: Path, *lessons: str) -> Path:
    """The demo's tables with one role that has only these lessons."""
    site = copy_demo(folder)
    path = site / "settings.yml"
    text = path.read_text("utf-8")
    role = "roles:\n  loader:\n    title: Loader\n    machines: [excavator]\n    lessons:\n"
    role += "".join(f"      - {i}\n" for i in lessons or ("stop-work",))
    text = re.sub(r"(?ms)^roles:\n.*?(?=^# This site's own limits)", lambda _: role + "\n", text)
    path.write_text(text, "utf-8")
    (site / "crew.csv").write_text("id,name,role,machines,start,note\nP-01,Ines Holloway,loader,E-2,2026-03-02,\n", "utf-8")
    return site


def put(site: Path, files: dict[str, str]) -> Path:
    """Write files of the site's own."""
    for name, text in files.items():
        path = site / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8", newline="")
    return site


def added(site: Path, id_: str, lesson: str = LESSON, questions: str = QUESTIONS) -> Path:
    """A lesson of the site's own with its questions."""
    return put(site, {f"lessons/{id_}.md": lesson, f"questions/{id_}.yml": questions})
