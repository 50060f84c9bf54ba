"""Which questions of its pool a try asks.

A build draws a number of sets from a lesson's pool. A try takes one of them, its result names it,
and whoever marks again has the same sets: so a result that leaves a question out, or answers an
easier one, does not fit.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction

from generator.quiz.question import Question

SETS = 40  # drawn for a page; a slip has eight bits for which one
MOST_ASKED = 8  # of a pool that holds more, where the site's settings do not say
KINDS = 3  # of questions in a set at least, where the pool has as many
ON_PICTURES = Fraction(1, 3)  # of the questions of a set, where the pool has as many


def asks_all(questions: Sequence[Question], most: int | None) -> bool:
    """Whether every try asks the whole pool. ``most`` is how many the site wants; None where it does not say."""
    return len(questions) <= (MOST_ASKED if most is None else most)


def sets_of(questions: Sequence[Question], most: int | None, salt: str, count: int = SETS) -> tuple[tuple[int, ...], ...]:
    """``count`` sets of places in the pool, each in the pool's order; none where a try asks everything.

    Questions that must be right are in every set, and may make it larger than ``most``.
    """
    if asks_all(questions, most):
        return ()
    return tuple(one_set(questions, most, f"{salt}|{n}") for n in range(count))


def one_set(questions: Sequence[Question], most: int | None, salt: str) -> tuple[int, ...]:
    """One set: what must be right, and by chance of the rest, three kinds at least, a third of all on pictures."""
    if asks_all(questions, most):
        return tuple(range(len(questions)))
    size = MOST_ASKED if most is None else most
    chosen = [i for i, q in enumerate(questions) if q.must_be_right]
    rest = [i for i, q in enumerate(questions) if not q.must_be_right]
    random.Random(f"{salt}|asked").shuffle(rest)
    kinds = {questions[i].kind for i in chosen}
    pictured = sum(questions[i].on_a_picture for i in chosen)
    while len(chosen) < size and rest:
        short = -(-ON_PICTURES.numerator * size // ON_PICTURES.denominator) - pictured
        # pictures come last of all, when only they can still fill their third
        needed = [i for i in rest if questions[i].on_a_picture] if short >= size - len(chosen) else []
        # of a kind that is not there yet until there are three, then by chance, so that each question has its turn
        taken = min(needed or rest, key=lambda i: len(kinds) < KINDS and questions[i].kind in kinds)
        rest.remove(taken)
        chosen.append(taken)
        kinds.add(questions[taken].kind)
        pictured += questions[taken].on_a_picture
    return tuple(sorted(chosen))
