"""A view in which everything is turned about a point: a machine that stands on a slope, seen from its side."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from generator.drawing.boxes import Point
from generator.drawing.view import View


@dataclass
class Tilted(View):
    """The same view with everything turned about a point: `turn` in radians, `about` in metres."""

    turn: float = 0.0
    about: Point = (0.0, 0.0)

    @classmethod
    def of(cls, view: View, turn: float, about: Point) -> Tilted:
        """Return `view` turned by `turn` about `about`."""
        return cls(**{field.name: getattr(view, field.name) for field in fields(View)}, turn=turn, about=about)

    def px(self, point: Point) -> Point:
        """Return where a point of the turned world stands in the viewBox."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        x, y = point[0] - self.about[0], point[1] - self.about[1]
        return super().px((self.about[0] + x * cos - y * sin, self.about[1] + x * sin + y * cos))
