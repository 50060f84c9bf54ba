"""What a build writes, and the piece of it that one job gives."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from generator.quiz.printed import Printed
from generator.source.problem import Problem
from generator.working.ledger import Ledger

Nav = list[dict[str, Any]]
# the reference chapter: its pages, its place in the navigation, and how many figures the checks of each kind rest on
Chapter = tuple[dict[str, str], list[dict[str, str]], dict[str, int]]


SPOKEN = "spoken"  # in a page's front matter: the language of its words, where it is not that of the pages around it


@dataclass
class Tree:
    """What a build writes: ``docs`` for the web, ``mentor`` to keep, the ledger, the navigation."""

    docs: dict[str, str | bytes] = field(default_factory=dict)
    mentor: dict[str, str | bytes] = field(default_factory=dict)
    nav: Nav = field(default_factory=list)
    ledger: Ledger = field(default_factory=Ledger)
    marking: dict[str, dict[str, Any]] = field(default_factory=dict)  # by lesson, see quiz.edition
    sheets: list[Printed] = field(default_factory=list)  # what is kept of sheets that come back
    problems: list[Problem] = field(default_factory=list)
    notices: list[Problem] = field(default_factory=list)  # what was left out, as this site's figures do not give it
    parts: int = 0  # how many jobs it was made of
    kept: int = 0  # how many of these an earlier build had done
    alike: dict[str, str] = field(default_factory=dict)  # by part: the print of what is alike in all languages

    def add(self, part: Tree) -> None:
        """Puts a part behind what is there. The navigation is made for the whole."""
        self.docs.update(part.docs)
        self.mentor.update(part.mentor)
        self.ledger.entries.extend(part.ledger.entries)
        self.marking.update(part.marking)
        self.sheets.extend(part.sheets)
        self.problems.extend(part.problems)
        self.notices.extend(part.notices)


@dataclass
class Part:
    """What one job gives: its piece of the tree, the formulas its panel needs, a lesson's explained terms."""

    tree: Tree
    formulas: tuple[str, ...] = ()
    terms: frozenset[str] | None = None  # None where the lesson has a mistake
    chapter: Chapter | None = None
    alike: str = ""  # the print of what is alike in all languages
