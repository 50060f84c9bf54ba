"""The one error a user of the calculations can cause."""

from __future__ import annotations


class CalculationError(ValueError):
    """An input that is missing, unknown, in a wrong unit or out of its range.

    ``what`` says what is wrong and ``fix`` what to do about it; both are one line.
    """

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(f"{what}; {fix}")
        self.what = what
        self.fix = fix
