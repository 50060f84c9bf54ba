"""Any crawler machine from behind or in front, as it stands on a slope: dozer, excavator or compact excavator."""

from __future__ import annotations

from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.machines.compact import compact_arm_end, compact_body_end
from generator.drawing.machines.dozer import dozer_body_end
from generator.drawing.machines.excavator import excavator_body_end
from generator.drawing.machines.outline import Detail, Frame
from generator.drawing.machines.track import tracks_end
from generator.drawing.view import View

Crawler = Literal["dozer", "excavator", "compact"]


def crawler_of(blade_width: object, bucket_width: object) -> Crawler:
    """Return which crawler a row of the machines' table is, by which of the two widths it has."""
    if bucket_width is None:
        return "dozer" if blade_width is not None else "excavator"
    return "excavator" if blade_width is None else "compact"


def end_heights(gauge: float, cg_height: float, kind: Crawler = "excavator") -> tuple[float, float, float]:
    """Return the heights of tracks, deck and roof that a machine of that gauge is drawn with (metres)."""
    if kind == "compact":
        return 0.4 * gauge, max(0.85 * gauge, 1.6 * cg_height), max(1.75 * gauge, 3.4 * cg_height)
    deck = max(0.85 * gauge, cg_height * 1.25)
    return 0.42 * gauge, deck, deck + 0.55 * gauge


def end_view(
    gauge: float,
    shoe: float,
    cg_height: float,
    *,
    angle: float = 0.0,
    foot: Point = (0.0, 0.0),
    kind: Crawler = "excavator",
    blade: tuple[float, float] | None = None,
) -> tuple[list[list[Point]], list[Point], list[Point]]:
    """Return the outlines of a crawler machine from behind: two tracks, the body, the cab.

    `gauge` is from track centre to track centre, `shoe` the shoe width. `foot` is the point on the
    ground midway between the tracks; `angle` turns the whole about it. With a `blade` (width, height)
    the body reaches as far as that. They are what `draw_end` stays within.
    """
    track, deck, roof = end_heights(gauge, cg_height, kind)
    frame = Frame(foot, angle=angle)
    tracks = [frame.box(side * gauge / 2 - shoe / 2, 0.0, side * gauge / 2 + shoe / 2, track) for side in (-1, 1)]
    half = gauge / 2 + shoe / 2
    body = frame.box(-half, track / 2, half, deck)
    if blade is not None:
        body = [*body, *frame.box(-blade[0] / 2, 0.0, blade[0] / 2, blade[1])]
    return tracks, body, frame.box(-half, deck, half, roof)


def draw_end(
    view: View,
    gauge: float,
    shoe: float,
    cg_height: float,
    *,
    angle: float = 0.0,
    foot: Point = (0.0, 0.0),
    column: str = "track_gauge",
    sized: bool = True,
    body_gauge: float | None = None,
    kind: Crawler = "excavator",
    behind: bool = True,
    blade: tuple[float, float] | None = None,
    blade_up: float = 0.0,
    blade_sized: bool = True,
    bucket_width: float = 0.0,
    detail: Detail | None = None,
) -> None:
    """Draw a crawler machine from behind or in front, within what `end_view` outlines.

    `column` names the column of the machine's table that `gauge` comes from; with `sized=False`
    the tracks are a sketch. With `body_gauge` the body is one of that gauge, and a beam carries
    tracks that stand wider than it. `blade` is its width and height, of a dozer or a compact
    excavator; it stands `blade_up` off the ground (metres),
    and is not as wide as its table says where not `blade_sized`. With `bucket_width` a compact excavator
    from the front has its arm folded before it.
    """
    base = body_gauge or gauge
    frame = Frame(foot, angle=angle)
    heights = end_heights(base, cg_height, kind)
    marks = {"turned": "yes"} if angle else {}
    facts = {"gauge": column} if sized else {"sized": "no"}
    if kind == "dozer":
        dozer_body_end(view, frame, gauge, shoe, heights[2], behind=behind, blade=blade, up=blade_up, facts=facts, turned_facts=marks,
                       track=heights[0], detail=detail)  # fmt: skip
        return

    def plate() -> None:
        if blade is not None:
            with view.part("blade", **({"sized": "no"} if angle or not blade_sized else {})):
                view.body(frame.box(-blade[0] / 2, blade_up, blade[0] / 2, blade_up + blade[1]), fill="paper" if behind else "shade")
                view.polygon(frame.box(-blade[0] / 2, blade_up, blade[0] / 2, blade_up + 0.14 * blade[1]), fill="dark", pen="thin")

    if behind:
        plate()
    with view.part("machine", **marks):
        view.body(frame.box(-gauge / 2, 0.38 * heights[0], gauge / 2, 0.62 * heights[0]), fill="paper")
    with view.part("tracks", **facts):
        tracks_end(view, frame, gauge, shoe, heights[0], detail=detail)
    with view.part("machine", **marks):
        (compact_body_end if kind == "compact" else excavator_body_end)(view, frame, base, shoe, heights, behind=behind, detail=detail)
    if not behind:
        plate()
        if kind == "compact" and bucket_width:
            compact_arm_end(view, frame, base, heights[2], bucket_width)
