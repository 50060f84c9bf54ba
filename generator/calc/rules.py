"""Which rules a handbook tells of: those of the United States, the site's own, or none.

A *topic* is what some figures of law are about, such as ``trench-walls``. A set of rules has some topics. What rests on a
topic that the set has not is left out of the handbook, and words say so instead. Words may be for some sets only::

    {{ where('us-federal') }}A paragraph, entry or line for that set alone.
    words for everybody[[us-federal| and a few more for that set]].

What may stand in both places is one of :data:`CONDITIONS`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from generator.calc.tables import Table
from generator.language.words import said

Name = Literal["us-federal", "own", "none"]
NAMES: tuple[Name, ...] = ("us-federal", "own", "none")
TOPICS: Mapping[str, str] = MappingProxyType({
    "trench-walls": "how flat the walls of a trench lie",
    "trench-entry": "depths, ways out and ladders of trenches people go into",
    "lines": "the distance to keep from overhead power lines",
    "berms": "the berm along an edge where trucks run",
    "brakes": "when the brakes of loaded trucks bite, and how much they hold",
    "tie-downs": "what tie-downs of a machine on a trailer must hold",
    "roads": "weight and width that need no permit on the road",
    "heat": "first days and water in the heat",
})  # fmt: skip
"""Each topic, and what its figures are about."""

US_FEDERAL: Name = "us-federal"
OTHER = "other rules"
CONDITIONS: tuple[str, ...] = (US_FEDERAL, OTHER, *(f"{way}{topic}" for topic in TOPICS for way in ("", "own ", "no ")))
"""The set of the United States; any other; a topic that the set has, that the site has a table of its own for, or that the set has not."""
_MARKED = re.compile(r"\[\[([a-z][a-z -]*)\|((?:(?!\[\[|\]\]).)*)\]\]", re.DOTALL)  # the innermost of those in one another
_PAIRED = re.compile(r"\[\[(?:own )?([a-z-]+)\|((?:(?!\[\[|\]\]).)*)\]\]\[\[no \1\|((?:(?!\[\[|\]\]).)*)\]\]", re.DOTALL)
_LATER = "\ue000"  # a line break that is put at the end of its paragraph; in a private use area, so no text holds it


@dataclass(frozen=True, slots=True)
class OwnRule:
    """What a site says of its own figures on one topic: how they are called, where they stand, and who answers for them."""

    topic: str
    title: str
    place: str
    answers: str

    @property
    def cited(self) -> str:
        """The rule in one line of plain text."""
        return said("{title}, {place} ({who} answers for it)", title=self.title, place=self.place, who=self.answers)


@dataclass(frozen=True, slots=True)
class Rules:
    """A set of rules. ``own`` has what a site gives of its own, by topic; the sets of other names have none."""

    name: Name = US_FEDERAL
    own: Mapping[str, OwnRule] = field(default_factory=dict)
    tables: Mapping[str, Table] = field(default_factory=dict)  # made of what the site gives, by id
    lacking: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # by topic the rows for which the site's rule gives no figure

    def has(self, topic: str) -> bool:
        """Whether the set has figures on the topic."""
        return self.name == US_FEDERAL or topic in self.own

    def hold(self, condition: str) -> bool:
        """Whether words for ``condition``, one of CONDITIONS, are for this set. Raises KeyError for any other."""
        if condition in {US_FEDERAL, OTHER}:
            return (self.name == US_FEDERAL) == (condition == US_FEDERAL)
        topic = condition.removeprefix("own ").removeprefix("no ")
        if topic not in TOPICS:
            raise KeyError(condition)
        if condition.startswith("own "):
            return topic in self.own
        return self.has(topic) != condition.startswith("no ")


US = Rules()


def _told(condition: str, words: str, rules: Rules) -> bool:
    """Whether marked words are for these rules. Words with a figure that the site's own rule does not give are not."""
    return rules.hold(condition) and not any(f".{row}." in words for row in rules.lacking.get(condition.removeprefix("own "), ()))


def kept(text: str, rules: Rules) -> str:
    """The text with the words in ``[[condition|words]]`` that are for these rules, and without the others.

    Marked words may stand in others. The line breaks of words left out follow at the end of their paragraph, so that no
    paragraph is cut in two and the next begins on the line it has in the file. What names no condition is left as it is.
    """
    if "[[" not in text:
        return text

    def chosen(match: re.Match[str]) -> str:
        if match[1] not in CONDITIONS:
            return match[0]
        return match[2] if _told(match[1], match[2], rules) else _LATER * match[2].count("\n")

    def in_its_stead(match: re.Match[str]) -> str:
        """Of words for a topic and behind them words for sites without it, the second where a figure of the first is not given."""
        if _told(match[1], match[2], rules) or not rules.hold(match[1]):
            return match[0]
        return _LATER * match[2].count("\n") + match[3]

    if rules.lacking:
        text = _PAIRED.sub(in_its_stead, text)
    before = ""
    while before != text:
        before, text = text, _MARKED.sub(chosen, text)
    out: list[str] = []
    for part in re.split(r"(\n[ \t]*\n)", text):
        late = part.count(_LATER)
        out.append(part.replace(_LATER, ""))
        out[-1:] = [out[-1], "\n" * late] if late else [out[-1]]
    return "".join(out)


def marked(text: str) -> tuple[str, ...]:
    """The conditions of all marked words of a text, those that name none too: the innermost first, in order."""
    found: list[str] = []
    before = ""
    while before != text:
        before = text
        found += [m[1] for m in _MARKED.finditer(text)]
        text = _MARKED.sub(lambda m: m[2], text)
    return tuple(found)
