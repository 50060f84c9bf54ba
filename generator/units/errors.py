"""The one error a user of the calculations can cause."""

from __future__ import annotations

from generator.source.problem import Refusal


class CalculationError(Refusal, ValueError):
    """An input that is missing, unknown, in a wrong unit or out of its range.

    ``what`` says what is wrong and ``fix`` what to do about it; both are one line.
    """

    code = "calculation"
