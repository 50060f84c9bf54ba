"""What cannot be drawn, and why."""

from __future__ import annotations

from generator.source.problem import Refusal


class DrawingRefused(Refusal, ValueError):
    """A scene that is given figures no drawing can be made of."""

    code = "drawing"

    def __init__(self, what: str, fix: str = "check its 'with:'") -> None:
        super().__init__(what, fix)


class TooFewSteps(DrawingRefused):
    """A scene in steps of work that is done in one step: there is nothing to show step by step."""

    code = "too-few-steps"
