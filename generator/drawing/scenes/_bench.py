"""What scenes on a bench share: how the tracks stand to the face, and the build of the truck."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.errors import DrawingRefused
from generator.drawing.machines import Build
from generator.drawing.measure import Measure


def build_of(told: str | None) -> Build:
    """Which frame a truck is drawn with: rigid unless its table says articulated."""
    return "articulated" if told == "articulated" else "rigid"


OUT_OF_REACH = (
    "From here the bucket does not reach the middle of the truck. Keep every distance. Use a "
    "machine that reaches farther, or a narrower truck."
)


@dataclass(frozen=True)
class Stand:
    """How the tracks stand to the face: from the swing centre to the nearest corner, and from the side."""

    half: float
    side: tuple[float, float] | None
    length: float
    width: float
    shoe: float
    angle: float

    @classmethod
    def of(cls, length: Measure | None, width: Measure | None, shoe: Measure | None, angle: Measure | None, sketch: float) -> Stand:
        """From what is given; `sketch` is the length of the tracks where that is not."""
        long = length.si if length else sketch
        a = angle.si if angle else math.pi / 4 if length else math.pi / 2
        across = width.si if width else 0.8 * long
        pad = min(shoe.si if shoe else 0.24 * across, 0.45 * across)
        if not 0 <= a <= math.pi / 2 + 1e-9:
            raise DrawingRefused("the tracks stand between 0 and 90 degrees to the face")
        square = abs(a - math.pi / 2) < 1e-6
        side = None if square else (long * math.sin(a) + pad * math.cos(a), (across - pad) * math.cos(a))
        return cls((long * math.sin(a) + across * math.cos(a)) / 2, side, long, across, pad, a)

    def kept_behind(self, crest: float | None, bearing: float, out: float) -> float:
        """How far out the ground is dug, of `out` at most: on a bench it lies behind the crest, and not under the tracks.

        `crest` is how far the crest is square to the face, `bearing` that of the dug ground's far end; metres and radians.
        """
        if crest is None or math.cos(bearing) <= 0:
            return out
        return max(min(out, crest / math.cos(bearing)), 1.25 * math.hypot(self.length, self.width) / 2)
