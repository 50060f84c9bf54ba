"""The table that says who a learner of the learning system is in the crew table: ``learners.csv`` or its sheet.

A learner's id is whatever the learning system uses, often an address, so it is no id as other tables
have them; it goes into no page and, hashed, into packages alone.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from generator.jobsite.cells import BadCell, clean
from generator.jobsite.columns import LEARNERS
from generator.jobsite.grid import Grid, GridRow, heading
from generator.source.log import Log
from generator.source.near import suggest_id
from generator.source.problem import Severity

MOST = 200  # characters of a learner's id


@dataclass
class Learners:
    """The learners' crew ids by their ids in the learning system, and what was wrong with the table."""

    log: Log
    people: dict[str, str] = field(default_factory=dict)


def read_learners(grid: Grid | None, log: Log, crew: Collection[str] | None) -> Learners:
    """Read the table, telling each fault by its line. ``crew``: the crew's ids, None where they could not be read."""
    found = Learners(log)
    if grid is None:
        return found
    places: dict[str, int] = {}
    for index, text in enumerate(grid.header.cells):
        name = heading(" ".join(text.split()))[0]
        if name not in LEARNERS.by_name:
            if name:
                log.add(grid.header.line, text[:40], f"unknown column '{text[:40]}'", f"the columns are {', '.join(LEARNERS.by_name)}",
                        Severity.HEADINGS)  # fmt: skip
        elif name in places:
            log.add(grid.header.line, name, f"the column {name} stands twice", "keep one of them", Severity.HEADINGS)
        else:
            places[name] = index
    missing = [name for name in LEARNERS.by_name if name not in places]
    if missing:
        log.add(grid.header.line, None, f"there is no column {' and no '.join(missing)}", "add it: a learner's id, and the crew id beside it",
                Severity.HEADINGS)  # fmt: skip
        return found
    first: dict[str, int] = {}
    for row in grid.rows:
        if log.full:
            break
        _row(row, places, found, first, crew)
    return found


def _row(row: GridRow, places: dict[str, int], found: Learners, first: dict[str, int], crew: Collection[str] | None) -> None:
    log, texts = found.log, {}
    for name, index in places.items():
        try:
            texts[name] = clean(row.cells[index] if index < len(row.cells) else "").strip()
        except BadCell as e:
            log.add(row.line, name, e.what, e.fix)
            return
        if not texts[name]:
            log.add(row.line, name, "the cell is empty", f"write {LEARNERS.by_name[name].meaning}, or delete the row")
            return
    learner, person = texts["learner"], texts["person"]
    if len(learner) > MOST:
        log.add(row.line, "learner", f"an id of {len(learner)} characters", f"write the id alone, at most {MOST} characters")
        return
    if crew is not None and person not in crew:
        log.add(row.line, "person", f"nobody in the crew table has the id '{person[:40]}'", suggest_id(person, sorted(crew), "write an id of the crew table"),
                Severity.REFERENCE)  # fmt: skip
        return
    key = learner.casefold()
    if key in first:
        log.add(row.line, "learner", f"the learner '{learner[:40]}' stands twice (first in line {first[key]})", "keep one of the rows")
        return
    first[key] = row.line
    found.people[learner] = person
