"""Published tables, sources and checks as a set of rules has them.

Under other rules than those of the United States, their law and what their agencies say of it are named nowhere: neither
as a table, nor as a source, nor as a check. Sources of engineering stay; of a body of the United States they are named by
their title alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from generator.calc.rules import US_FEDERAL, Rules
from generator.calc.tables import Table
from generator.calc.under_rules import is_law, law_table, withheld
from generator.language.words import said
from generator.reference.checks import Check
from generator.reference.sources import Bibliography, Entry

_NAMES = re.compile(
    r"\b(?:US|U\.S\.|United States|federal|CFR|CCR|WAC|OAR|OSHA|MSHA|NIOSH|FHWA|FMCSA|NHTSA|Caltrans|Texas|California|Colorado|Oregon|Washington|DOT)\b",
    re.I,
)


def tables_under(tables: Mapping[str, Table], rules: Rules) -> dict[str, Table]:
    """The published tables without those of United States law, and those made of the site's own rules."""
    if rules.name == US_FEDERAL:
        return dict(tables)
    return {**{id_: t for id_, t in tables.items() if not law_table(t)}, **rules.tables}


def sources_under(sources: Bibliography, rules: Rules) -> Bibliography:
    """The sources without United States law, and the site's own rules with who answers for each."""
    if rules.name == US_FEDERAL:
        return sources
    found = {f"own-{topic}": Entry(f"own-{topic}", own.title, "not stated", "not stated", "regulation",
                                   said("The rule this site works by, as {who} gave it: {place}.", who=own.answers, place=own.place))
             for topic, own in rules.own.items()}  # fmt: skip
    for key in sources:
        if not is_law(key):
            found[key] = _by_title(sources[key])
    return Bibliography(found)


def _by_title(entry: Entry) -> Entry:
    author = "not stated" if _NAMES.search(entry.author) else entry.author
    return replace(entry, author=author, note="" if _NAMES.search(entry.note) else entry.note)


def checks_under(checks: Iterable[Check], rules: Rules) -> tuple[Check, ...]:
    """The checks that hold under the rules: none of what a site gives itself, or that United States law is the source of."""
    from generator.calc.under_rules import RESTS_ON

    if rules.name == US_FEDERAL:
        return tuple(checks)
    return tuple(c for c in checks if c.calculation not in RESTS_ON and not is_law(c.source))


def told_of(id_: str, rules: Rules) -> bool:
    """Whether the reference chapter tells of a calculation."""
    return not withheld(id_, rules)
