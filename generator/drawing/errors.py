"""What cannot be drawn, and why."""

from __future__ import annotations

from generator.source.problem import Refusal


class DrawingRefused(Refusal, ValueError):
    """A scene that is given figures no drawing can be made of."""

    code = "drawing"

    def __init__(self, what: str, fix: str = "check its 'with:'") -> None:
        super().__init__(what, fix)


class LeftOut(DrawingRefused):
    """A scene in steps that is no picture of this site's work: the handbook leaves it out and tells ``instead``."""

    code = "left-out"

    def __init__(self, what: str, instead: str) -> None:
        super().__init__(what)
        self.instead = instead


ONE_STEP = "With the figures of this site the work here is done in one step, so it is not shown step by step."


class TooFewSteps(LeftOut):
    """A scene in steps of work that is done in one step: there is nothing to show step by step."""

    code = "too-few-steps"

    def __init__(self, what: str) -> None:
        super().__init__(what, ONE_STEP)


class NotReached(LeftOut):
    """Work the machine cannot reach from where it has to stand."""

    code = "not-reached"
