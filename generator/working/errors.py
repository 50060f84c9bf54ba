"""What is wrong with a number, and what to do."""

from __future__ import annotations

from collections.abc import Sequence


class NumberProblem(Exception):
    """A number that cannot be worked: says what and what to do; the caller knows where."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(f"{what}; {fix}")
        self.what, self.fix = what, fix


class DoesNotFit(NumberProblem):
    """A machine that lacks a value a number needs: left out of tables, and said so."""


WORKED_FROM = ", worked from "


class FiguresRefused(DoesNotFit):
    """A machine whose figures a calculation refuses, such as a blade lower than the slot is deep.

    ``causes`` are the places of the site's own figures it is worked from, as
    ``settings.yml:12:job.rise (6 ft)``; ``fix`` ends with them.
    """

    def __init__(self, name: str, why: str, fix: str, causes: Sequence[str] = ()) -> None:
        super().__init__(f"number '{name}': {why}", fix + (WORKED_FROM + ", ".join(causes) if causes else ""))
        self.why = why
