"""Tables that are handed in: slip codes typed from paper, paper answers, sign-offs, seat time, talks, orders, corrections."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from generator.jobsite.cells import BadCell, clean
from generator.jobsite.grid import GridRow, from_csv
from generator.language.words import said
from generator.records.flags import Flag, Refused
from generator.records.letters import adds_up, slip_letters
from generator.source.log import Log

KINDS = {
    "slips": ({"code"},),
    "paper": ({"sheet", "crew", "lesson"},),
    "signoffs": ({"crew", "lesson", "machine", "date", "mentor"}, {"person", "lesson", "machine", "date", "mentor"}),
    "hours": ({"person", "machine", "date", "hours"}, {"crew", "machine", "date", "hours"}),
    "talks": ({"date", "sheet", "leader", "crew"},),
    "retrain": ({"person", "lesson", "from", "why"}, {"crew", "lesson", "from", "why"}),
    "corrections": ({"entry", "says", "by", "why"},),
}
"""The headings each kind of table needs; signoffs stand before paper where a table of them names its sheets."""

CALLED = {
    "slips": "slip codes", "paper": "paper answers", "signoffs": "sign-offs", "hours": "hours", "talks": "talks", "retrain": "orders",
    "corrections": "corrections",
}  # fmt: skip
"""What a kind of table is called in a message."""

_IN_ORDER = {
    "slips": "code", "paper": "sheet, crew, lesson", "signoffs": "crew, lesson, machine, date, mentor", "hours": "person, machine, date, hours",
    "talks": "date, sheet, leader, crew", "retrain": "person, lesson, from, why", "corrections": "entry, says, by, why",
}  # fmt: skip


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
                flags.append(Flag(where, "unreadable", said('the row has more cells than there are headings'),
                                  said('put quotes around a cell that holds the separator')))  # fmt: skip
                continue
            if row.faults:  # of a workbook: a formula, or a number shown as something else
                at, (what, fix) = min(row.faults.items())
                head = self.heads[at] if at < len(self.heads) else str(at + 1)
                flags.append(Flag(where, "unreadable", said("column '{head}': {what}", head=head[:30], what=what), fix))
                continue
            found: dict[str, str] = {}
            try:
                for head, cell in zip(self.heads, row.cells, strict=False):
                    found[head] = clean(cell)
            except BadCell as e:
                flags.append(Flag(where, "unreadable", said("column '{head}': {what}", head=head[:30], what=e.what), e.fix))
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
                raise Refused("unreadable", said("the heading '{twice}' stands twice", twice=twice[:30]), said("keep one of them"))
            if kind == "signoffs" and "crew" not in known:
                heads = tuple("crew" if h == "person" else h for h in heads)
            return HandedIn(kind, name, heads, grid.rows)
    first = slip_letters(grid.header.cells[0])
    if len(first) > 12 and sum_letters_fit(first):
        return HandedIn("slips", name, ("code",), (grid.header, *grid.rows))
    meant = meant_by(name, heads)
    if meant:
        order = _IN_ORDER[meant]
        lacking = [
            h
            for h in order.split(", ")
            if h not in known and not (h in {"crew", "person"} and meant != "talks" and known & {"crew", "person"})
        ]
        raise Refused("unreadable", said('as a table of {called} it has no heading {names}', called=CALLED[meant], names=', '.join(lacking)),
                      said('the headings, in its first row, are {order}', order=order))  # fmt: skip
    raise Refused(
        "unreadable", said('its headings are not those of a table that can be handed in'),
        "; ".join(f"{CALLED[k]}{' need' if i == 0 else ''}{' the heading' if k == 'slips' else ''} {_IN_ORDER[k]}" for i, k in enumerate(KINDS)),
    )  # fmt: skip


def meant_by(name: str, heads: Iterable[str]) -> str | None:
    """The kind of table that was meant, one of KINDS: by the name of its file or sheet, or as one heading alone is missing."""
    called = name.rpartition("[")[2].rstrip("]") if name.endswith("]") else name.rpartition("/")[2].rpartition(".")[0]
    kind = kind_called(called)
    if kind:
        return kind
    known = set(heads)
    near = (k for k, ways in KINDS.items() if any(len(needed) > 3 and len(needed - known) == 1 for needed in ways))
    return next(near, None)


def kind_called(title: str) -> str | None:
    """The kind that a file or a sheet of this name holds; None where the name says nothing."""
    plain = "".join(c for c in title.casefold() if c.isalnum())
    return plain if plain in KINDS else None


def sum_letters_fit(letters: str) -> bool:
    """Whether letters are a slip code's, to its last group."""
    return letters.isascii() and adds_up(letters)
