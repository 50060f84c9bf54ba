"""An earlier edition of an invented site, so that the demo can show what a changed number does.

It is rendered from the same tables with one figure changed: the lead excavator still had a
longer stick. Only the lessons that the demo class took on it are rendered, and its ledger says
so.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from generator.book.content import content_folder, read_content
from generator.book.tree import edition_file, render_tree
from generator.jobsite.model import JobSite, Machine, NotInTables
from generator.source.problem import Refusals
from generator.units.quantity import Quantity

NAME = "2024-1"
CHANGED, SAME = (
    "bench-height",
    ("bank-loose-compacted", "reverse-is-wear", "at-the-tip", "trench-walls"),
)  # whose numbers changed since, and whose did not
LESSONS = frozenset({CHANGED, *SAME})
LONGER = {"ft": Decimal(2), "m": Decimal("0.6")}  # how much longer the stick was


@dataclass(frozen=True)
class Earlier:
    """The files of the earlier edition by name, and in words what was different."""

    files: Mapping[str, str]
    what: str


def with_longer_stick(site: JobSite) -> tuple[JobSite, str] | None:
    """The site as it was before, and what was different; None where it has no such figure."""
    try:
        lead = site.lead("excavator")
        stick = lead.get("stick_length")
    except NotInTables:
        return None
    if stick.unit not in LONGER or not isinstance(lead, Machine):
        return None
    before = Quantity(stick.figure + LONGER[stick.unit], stick.unit, stick.kind)
    machines = tuple(replace(m, values={**m.values, "stick_length": before}) if m.id == lead.id else m for m in site.machines)
    settings = replace(site.settings, edition=NAME)
    return replace(site, machines=machines, settings=settings), f"{lead.id} with a {before} stick, now {stick}"


def earlier_edition(site: JobSite, lessons: Collection[str]) -> Earlier | None:
    """The earlier edition of ``lessons``; None where the site gives none. Raises Refusals."""
    before = with_longer_stick(site)
    if before is None or site.settings.edition == NAME:
        return None
    old, what = before
    content = read_content(content_folder())
    chapters = tuple(replace(c, lessons=tuple(i for i in c.lessons if i in lessons)) for c in content.chapters)
    kept = {i: x for i, x in content.lessons.items() if i in lessons}
    tree = render_tree(replace(content, lessons=kept, chapters=chapters), old)
    if tree.problems:
        raise Refusals(tree.problems[:1])
    pages = [f"lessons/{i}.html" for i in kept]
    tree.ledger.entries = [e for e in tree.ledger.entries if e.page in pages]
    ledger = tree.ledger.as_json(NAME, old.settings.key, old.settings.units)
    head, rest = ledger.split(', "numbers": ', 1)
    return Earlier(
        {
            f"{NAME}.json": edition_file(tree, old),
            f"{NAME}.ledger.json": f'{head}, "only": {json.dumps(sorted(pages))}, "numbers": {rest}',
        },
        what,
    )
