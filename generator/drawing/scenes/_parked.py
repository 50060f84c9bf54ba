"""A machine of any kind that stands still, from the side and from above, by whichever lengths its table gives.

Also a view that is tilted about a point: what is drawn in it stands on a slope, or lies down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.drawing.boxes import Point
from generator.drawing.machines import (
    arm_of,
    compact_arm,
    compact_plan,
    compact_side,
    dozer_height,
    dozer_plan,
    dozer_side,
    excavator_plan,
    excavator_posed,
)
from generator.drawing.machines.dozer import GAP
from generator.drawing.measure import Measure
from generator.drawing.view import View

SKETCH = 1.2
"""Height (metres) of the blade of a dozer that no table tells of."""
TEETH = math.radians(-118)


@dataclass(frozen=True)
class Parked:
    """A machine by its lengths (metres): a dozer without a stick, a compact excavator with a blade and a stick."""

    track: float
    blade: float | None
    stick: float | None
    bucket: float
    tail: float
    width: float
    shoe: float
    gauge: float
    blade_width: float
    bucket_width: float
    sized: bool

    @classmethod
    def of(
        cls, *, track_length: Measure | None = None, blade_height: Measure | None = None, stick_length: Measure | None = None,
        bucket_length: Measure | None = None, tail_radius: Measure | None = None, machine_width: Measure | None = None,
        shoe_width: Measure | None = None, track_gauge: Measure | None = None, blade_width: Measure | None = None,
        bucket_width: Measure | None = None,
    ) -> Parked:  # fmt: skip
        """Return the machine; what is not given is in proportion to what is."""
        blade = blade_height.si if blade_height else None if stick_length else SKETCH
        track = track_length.si if track_length else 2.4 * (blade or SKETCH)
        shoe = shoe_width.si if shoe_width else 0.18 * track
        gauge = track_gauge.si if track_gauge else machine_width.si - shoe if machine_width else 0.66 * track
        dig = bucket_length.si if bucket_length else 0.0
        return cls(
            track, blade, stick_length.si if stick_length else None, dig, tail_radius.si if tail_radius else 0.66 * track,
            gauge + shoe, shoe, gauge, blade_width.si if blade_width else 1.1 * (gauge + shoe), bucket_width.si if bucket_width else 0.0,
            track_length is not None and track_gauge is not None and shoe_width is not None,
        )  # fmt: skip

    @property
    def dozer(self) -> bool:
        """Whether it is a dozer."""
        return self.stick is None

    @property
    def tool(self) -> str:
        """What it lets down when it is parked."""
        return "blade" if self.dozer else "bucket" if self.blade is None else "bucket and blade"

    @property
    def ahead(self) -> float:
        """How far the machine, blade or bucket down, stands out before the middle of its tracks."""
        if self.stick is None:
            return self.track / 2 + GAP * (self.blade or SKETCH)
        # the back of the bucket stands out before its teeth
        out = self._digs + 0.8 * (self.bucket or 0.42 * self.stick)
        return out if self.blade is None else max(out, 0.85 * self.track)

    @property
    def behind(self) -> float:
        """How far it stands out behind the middle of its tracks."""
        return 0.58 * self.track if self.dozer else max(self.tail, self.track / 2)

    @property
    def tall(self) -> float:
        """How high it stands with blade or bucket down."""
        if self.stick is None:
            return dozer_height(self.blade or SKETCH, self.track)
        return 1.15 * self.stick + 0.62 * self.track

    @property
    def _digs(self) -> float:
        """How far out the bucket's teeth stand on the ground."""
        assert self.stick is not None  # who asks is no dozer
        arm = (
            compact_arm(self.stick, self.track, bucket=self.bucket)
            if self.blade
            else arm_of(self.stick, self.track / 1.5, bucket=self.bucket)
        )
        return arm.foot[0] + 0.6 * (arm.boom + arm.stick)

    def side(self, view: View, x: float, y: float = 0.0, *, up: float = 0.0, swung: bool = False) -> None:
        """Draw it from the side, the middle of its tracks at `x`, facing right; blade or bucket `up` off the ground (metres)."""
        if self.stick is None:
            blade = self.blade or SKETCH
            dozer_side(view, x + self.track / 2 + GAP * blade, y, blade, track_length=self.track, blade_up=up)
            return
        if self.blade is not None:
            arm = compact_arm(self.stick, self.track, bucket=self.bucket)
            pose = arm.posed((self._digs, up), teeth=TEETH)
            compact_side(
                view,
                x,
                y,
                track_length=self.track,
                arm=arm,
                pose=pose,
                blade_height=self.blade,
                tail=self.tail,
                blade_up=min(up, 0.5 * self.blade),
            )
            return
        arm = arm_of(self.stick, self.track / 1.5, bucket=self.bucket)
        excavator_posed(view, x, y, arm, arm.posed((self._digs, up), teeth=TEETH), size=self.track / 1.5, tail=self.tail)

    def above(self, view: View) -> None:
        """Draw it from above, the middle of its tracks at the origin, facing right."""
        if self.stick is None:
            dozer_plan(view, (0.0, 0.0), track_length=self.track, track_gauge=self.gauge, shoe_width=self.shoe, blade_width=self.blade_width,
                       blade_height=self.blade or SKETCH, sized=self.sized)  # fmt: skip
            return
        dig = self.bucket or 0.4 * self.stick
        pin = self._digs - 0.5 * dig
        if self.blade is not None:
            compact_plan(view, (0.0, 0.0), length=self.track, width=self.width, shoe=self.shoe, angle=0.0, look=0.0, pin=pin, tail=self.tail,
                         bucket_length=dig, blade_width=self.blade_width, bucket_width=self.bucket_width, sized=self.sized)  # fmt: skip
            return
        excavator_plan(view, (0.0, 0.0), length=self.track, width=self.width, shoe=self.shoe, angle=0.0, look=0.0, pin=pin, tail=self.tail,
                       bucket_length=dig, bucket_width=self.bucket_width, sized=self.sized)  # fmt: skip


class Tilted(View):
    """A view whose world is turned by `lean` (radians) about `about` as it is drawn."""

    lean: float = 0.0
    about: Point = (0.0, 0.0)

    @classmethod
    def over(cls, view: View, lean: float, about: Point) -> Tilted:
        """Return the view of the same band, turned."""
        turned = cls(**{name: getattr(view, name) for name in view.__dataclass_fields__})
        turned.lean, turned.about = lean, about
        return turned

    def px(self, point: Point) -> Point:
        """Return where a point stands, once it is turned."""
        dx, dy = point[0] - self.about[0], point[1] - self.about[1]
        cos, sin = math.cos(self.lean), math.sin(self.lean)
        return super().px((self.about[0] + dx * cos - dy * sin, self.about[1] + dx * sin + dy * cos))
