"""What a user of the calculations can get wrong."""

from __future__ import annotations

from generator.source.problem import Refusal


class CalculationError(Refusal, ValueError):
    """An input that is missing, unknown, in a wrong unit or out of its range.

    ``what`` says what is wrong and ``fix`` what to do about it; both are one line.
    """

    code = "calculation"


class NotItsUnit(CalculationError):
    """No unit, an unknown one or one of another kind; ``fix`` shows a quantity of the kind wanted."""

    code = "unit"
