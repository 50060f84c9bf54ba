"""Small changes to a copy of the demo that several tests make."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
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


OWN_RULES: Mapping[str, str] = {
    "trench-walls": "# title: Excavation order of an invented land\n# place: part 4, table 2\n# answers: Ida Moreno, works engineer\n"
    "soil;run for 1 of rise;depth up to [m]\nstiff clay;0,75;3,5\nfirm ground;1;3,5\nloose ground;1,75;3\n",
    "trench-entry": '# title: Excavation order of an invented land;\n"# place: part 4, 12 to 19";\n# answers: Ida Moreno, works engineer;\nwhat;figure\n'
    "protection needed from this depth;1,25 m\nengineer designs past this depth;4,5 m\nway out needed from this depth;1,1 m\n"
    "farthest from a way out;14 m\nair tested past this depth where it may be bad;1,3 m\nspoil back from the edge;0,7 m\n"
    "ladder above the edge at least;1,1 m\nshield above the vertical part;0,15 m\ndig below the shield at most;0,35 m\n",
    "lines": "# title: Order on work near lines\n# place: section 8\n# answers: Ida Moreno, works engineer\n"
    "voltage;up to [kV];at work [m];on the move [m]\nlow;1;3,2;\nmiddle;66;5,4;3,3\nhigh;230;7,7;5,6\n",
    "tie-downs": "# title: Order on loads on roads\n# place: section 22\n# answers: Ida Moreno, works engineer\n"
    "what;figure\nall together of the weight;80%\ncounted of each;60%\ntie-downs at least;4\n",
    "roads": "# title: Order on loads on roads\n# place: section 3\n# answers: Ida Moreno, works engineer\n"
    "what;figure\nall together;38,5 t\ntruck and load;2,6 m\n",
    "heat": "# title: Order on heat\n# place: section 5\n# answers: Ida Moreno, works engineer\nwhat;figure\n"
    + "".join(f"new on day {day};{share}%\n" for day, share in enumerate((25, 45, 65, 85, 100), 1))
    + "".join(f"back on day {day};{share}%\n" for day, share in enumerate((55, 70, 85, 100, 100), 1))
    + "a cup;0,25 L\nfrom one cup to the next;20 min\nnever more than;1,3 L/h\n",
}  # fmt: skip
"""Rules of an invented land, of no figure that United States law has, as a spreadsheet with decimal commas saves them."""


def own_rules(folder: Path) -> Path:
    """A new metric site of compact excavators alone, one of them of one gauge, with rules of its own in semicolons and decimal commas."""
    from generator.book.content import content_folder
    from generator.jobsite.starter import starter_files, write_starter

    write_starter(folder, starter_files(content_folder(), "metric", like=("compact",), rules="own"))
    for topic, text in OWN_RULES.items():
        (folder / f"rules/{topic}.csv").write_text(text, "utf-8")
    for table in folder.glob("*.csv"):
        rows = list(csv.reader(io.StringIO(table.read_text("utf-8-sig"))))
        at = {head.partition(" ")[0]: i for i, head in enumerate(rows[0])}
        if table.name == "machines.csv":
            fixed = rows[-1]
            fixed[at["gauge_wide"]] = fixed[at["track_gauge"]] = fixed[at["gauge_narrow"]]
            fixed[at["overall_width"]] = fixed[at["narrow_width"]]
        out = io.StringIO()
        csv.writer(out, delimiter=";", lineterminator="\n").writerows(
            [re.sub(r"^(-?\d+)\.(\d+)$", r"\1,\2", cell) for cell in row] for row in rows
        )
        table.write_text(out.getvalue(), "utf-8-sig")
    settings = folder / "settings.yml"
    text = re.sub(r"(?m)^(  trench_\w*soil_type): \w+", r"\1: loose ground", settings.read_text("utf-8"))
    settings.write_text(re.sub(r"(?m)^(  line_clearance): \S+ m", r"\1: 8 m", text), "utf-8")
    return folder
