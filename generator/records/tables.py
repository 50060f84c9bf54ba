"""Tables that are handed in: slip codes typed from paper, paper answers, sign-offs, seat time, talks, orders, corrections."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from generator.jobsite.cells import BadCell, clean
from generator.jobsite.grid import GridRow, from_csv
from generator.records.flags import Flag, Refused
from generator.records.letters import adds_up, slip_letters
from generator.source.log import Log

KINDS = {
    "slips": ({"code"},),
    "paper": ({"sheet", "crew", "lesson"},),
    "signoffs": ({"crew", "lesson", "machine", "date", "mentor"},),
    "hours": ({"person", "machine", "date", "hours"}, {"crew", "machine", "date", "hours"}),
    "talks": ({"date", "sheet", "leader", "crew"},),
    "retrain": ({"person", "lesson", "from", "why"}, {"crew", "lesson", "from", "why"}),
    "corrections": ({"entry", "says", "by", "why"},),
}
"""The headings each kind of table needs; signoffs stand before paper where a table of them names its sheets."""


@dataclass(frozen=True)
class HandedIn:
    """A table by the kind its headings show, one of KINDS."""

    kind: str
    name: str
    heads: tuple[str, ...]
    rows: tuple[GridRow, ...]

    def each(self, flags: list[Flag]) -> Iterator[tuple[str, Mapping[str, str]]]:
        """``file:line`` and cells by heading of every row that can be read; the others are flagged."""
        for row in self.rows:
            where = f"{self.name}:{row.line}"
            if len(row.cells) > len(self.heads) and any(c.strip() for c in row.cells[len(self.heads) :]):
                flags.append(Flag(where, "unreadable", "the row has more cells than there are headings",
                                  "put quotes around a cell that holds the separator"))  # fmt: skip
                continue
            if row.faults:  # of a workbook: a formula, or a number shown as something else
                at, (what, fix) = min(row.faults.items())
                head = self.heads[at] if at < len(self.heads) else str(at + 1)
                flags.append(Flag(where, "unreadable", f"column '{head[:30]}': {what}", fix))
                continue
            found: dict[str, str] = {}
            try:
                for head, cell in zip(self.heads, row.cells, strict=False):
                    found[head] = clean(cell)
            except BadCell as e:
                flags.append(Flag(where, "unreadable", f"column '{head[:30]}': {e.what}", e.fix))
                continue
            yield where, {head: found.get(head, "") for head in self.heads}


def read_table(text: str, name: str) -> HandedIn:
    """The table in a CSV text. Raises Refused where it is none of the kinds."""
    log = Log(name)
    grid = from_csv(text, log)
    if grid is None:
        problem = log.all()[0]
        raise Refused("unreadable", problem.what, problem.fix)
    heads = tuple(" ".join(c.lower().split()) for c in grid.header.cells)
    known = set(heads)
    for kind in sorted(KINDS, key=lambda k: -max(len(n) for n in KINDS[k])):
        if any(needed <= known for needed in KINDS[kind]):
            twice = next((h for h in heads if h and heads.count(h) > 1), None)
            if twice:
                raise Refused("unreadable", f"the heading '{twice[:30]}' stands twice", "keep one of them")
            return HandedIn(kind, name, heads, grid.rows)
    first = slip_letters(grid.header.cells[0])
    if len(first) > 12 and sum_letters_fit(first):
        return HandedIn("slips", name, ("code",), (grid.header, *grid.rows))
    raise Refused(
        "unreadable", "its headings are not those of a table that can be handed in",
        "slip codes need the heading code; paper answers sheet, crew, lesson; sign-offs crew, lesson, machine, date, mentor; "
        "hours person, machine, date, hours; talks date, sheet, leader, crew; orders person, lesson, from, why; "
        "corrections entry, says, by, why",
    )  # fmt: skip


def sum_letters_fit(letters: str) -> bool:
    """Whether letters are a slip code's, to its last group."""
    return letters.isascii() and adds_up(letters)
