"""What is wrong with a number, and what to do."""

from __future__ import annotations


class NumberProblem(Exception):
    """A number that cannot be worked: says what and what to do; the caller knows where."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(f"{what}; {fix}")
        self.what, self.fix = what, fix


class DoesNotFit(NumberProblem):
    """A machine that lacks a value a number needs: left out of tables, and said so."""


class FiguresRefused(DoesNotFit):
    """A machine whose figures a calculation refuses, such as a blade lower than the slot is deep."""

    def __init__(self, name: str, why: str, fix: str) -> None:
        super().__init__(f"number '{name}': {why}", fix)
        self.why = why
