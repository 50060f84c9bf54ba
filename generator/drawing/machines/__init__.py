"""Outlines of machines, of our own, to the lengths that the tables give; the rest is in proportion to them.

All points are in metres. `facing` is 1 for a machine that faces right, -1 for left. Each outline says
which of its lengths are true; none is that of a make. `detail="plain"` is for small drawings.
"""

from generator.drawing.machines.arm import FLOOR, Arm, Pose, arm_of, bucket, ear_of, stick_outline
from generator.drawing.machines.compact import TALL, compact_arm, compact_plan, compact_side
from generator.drawing.machines.crawler import Crawler, crawler_of, draw_end, end_heights, end_view
from generator.drawing.machines.dozer import dozer_end, dozer_height, dozer_plan, dozer_side
from generator.drawing.machines.excavator import excavator_plan, excavator_posed, excavator_side
from generator.drawing.machines.outline import Detail
from generator.drawing.machines.person import person
from generator.drawing.machines.track import crawler_plan, track_side
from generator.drawing.machines.truck import Build, truck_end, truck_plan, truck_plan_reach, truck_side

__all__ = [
    "FLOOR", "TALL", "Arm", "Build", "Crawler", "Detail", "Pose", "arm_of", "bucket", "compact_arm", "compact_plan", "compact_side",
    "crawler_of", "crawler_plan", "dozer_end", "dozer_height", "dozer_plan", "dozer_side", "draw_end", "ear_of", "end_heights", "end_view",
    "excavator_plan", "excavator_posed", "excavator_side", "person", "stick_outline", "track_side", "truck_end", "truck_plan",
    "truck_plan_reach", "truck_side",
]  # fmt: skip
