"""What a lesson's questions are like: how many look at a picture, how many are sums, what gives an answer away."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from generator.calc.catalogue import find
from generator.calc.formula import Formula
from generator.quiz.question import Question
from generator.working.numbers import Spec

LEAST, MOST = 9, 12  # questions of a lesson
ON_PICTURES, SUMS = Fraction(1, 3), Fraction(1, 3)  # at least, at most
_STOP = re.compile(r"(you )?stop\b", re.IGNORECASE)


@dataclass(frozen=True)
class Counts:
    """How many questions of a pool there are, look at a picture, and are sums."""

    questions: int
    on_pictures: int
    sums: int

    @classmethod
    def of(cls, questions: Iterable[Question]) -> Counts:
        """The counts of a pool."""
        all_of = list(questions)
        return cls(len(all_of), sum(q.on_a_picture for q in all_of), sum(bool(q.answer) for q in all_of))

    def wrong(self) -> list[str]:
        """What is out of bounds, in words."""
        out = []
        if not LEAST <= self.questions <= MOST:
            out.append(f"{self.questions} questions, not {LEAST} to {MOST}")
        if Fraction(self.on_pictures, max(self.questions, 1)) < ON_PICTURES:
            out.append(f"{self.on_pictures} of {self.questions} on pictures, less than a third")
        if Fraction(self.sums, max(self.questions, 1)) > SUMS:
            out.append(f"{self.sums} of {self.questions} are sums, more than a third")
        return out


def worked_from(q: Question) -> Iterator[Spec]:
    """The numbers that its right answer is worked from, itself first."""
    wanted, seen = [q.answer], set[str]()
    while wanted:
        name = wanted.pop().partition(".")[0]
        if name in seen or name not in q.numbers:
            continue
        seen.add(name)
        yield q.numbers[name]
        wanted += [ref for refs in q.numbers[name].inputs.values() for ref in refs]


def needs_arctan(q: Question) -> list[str]:
    """Calculations of its right answer that turn a ratio back into an angle: no key of a pocket calculator in a cab."""
    out = []
    for spec in worked_from(q):
        calculation = spec.calculation if not isinstance(spec.calculation, str) else find(spec.calculation)
        if (isinstance(calculation, Formula) and re.search(r"\ba(tan|sin|cos)\(", calculation.written)) or (
            not isinstance(calculation, Formula) and {"atan", "asin", "acos"} & set(calculation.run.__code__.co_names)
        ):
            out.append(calculation.id)
    return out


@dataclass(frozen=True)
class Stops:
    """How often a choice that begins with Stop is right, and how often it would be by chance."""

    right: int
    chance: Fraction
    questions: tuple[str, ...]


def stops(questions: Iterable[Question]) -> Stops:
    """Over all questions with such a choice. By chance each choice is as likely to be right as the others of its question."""
    right, chance, found = 0, Fraction(0), []
    for q in questions:
        saying = [c for c in q.choices if _STOP.match(c.text)]
        if saying:
            right += sum(c.right for c in saying)
            chance += Fraction(len(saying) * sum(c.right for c in q.choices), len(q.choices))
            if any(c.right for c in saying):
                found.append(q.id)
    return Stops(right, chance, tuple(found))
