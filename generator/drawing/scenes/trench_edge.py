"""What happens to an upright wall with its spoil at the edge. The wrong way: nobody is in the picture."""

from __future__ import annotations

import math

from generator.drawing.boxes import Point
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused
from generator.drawing.film import Film, Frame
from generator.drawing.measure import Measure, Text, both, join, positive
from generator.drawing.scenes._slot import cut_to
from generator.drawing.view import View

_BACK = 0.5
"""The crack opens so many depths behind the edge; where it really opens nobody can say."""
_REST = math.tan(math.radians(33))
"""How steep fallen ground comes to rest."""


def upright_walls_film(
    *,
    ident: str,
    bottom_width: Measure,
    depth: Measure,
    top_width: Measure,
    spoil_width: Measure,
    spoil_height: Measure,
) -> Film:
    """Draw a trench with upright walls and its spoil at the edge, and how the wall lets go.

    All in metres. `top_width`, `spoil_width` and `spoil_height` are those of the same trench with
    sloped walls: the heap here is alike, of the ground that the upright walls leave to dig. How the
    wall breaks is a sketch. Nobody is in the picture.
    """
    positive(bottom_width=bottom_width, depth=depth, top_width=top_width, spoil_width=spoil_width, spoil_height=spoil_height)
    if top_width.si < bottom_width.si * 0.999:
        raise DrawingRefused("a trench's top is at least as wide as its floor")
    half, d = bottom_width.si / 2, depth.si
    share = math.sqrt(2 * bottom_width.si / (bottom_width.si + top_width.si))  # both heaps are of one shape
    heap: list[Point] = [(half, 0.0), (half + share * spoil_width.si / 2, share * spoil_height.si), (half + share * spoil_width.si, 0.0)]
    back = _BACK * d
    gone = [(half, 0.0), (half, -d), (half + back, 0.0)]
    fallen = _fallen(half, d, back, _area(gone) + _area(cut_to(heap, half, half + back)))
    world = (-half - 0.9 * d, -1.2 * d, max(heap[2][0], half + back) + 0.25 * d, max(heap[1][1], 0.12 * d))
    wrong = "The wall stands upright, and the spoil lies at its edge"
    steps: tuple[tuple[Text, tuple[Measure, ...]], ...] = (
        (join(wrong, ". The trench is ", depth, " deep and ", bottom_width, " wide."), (depth, bottom_width)),
        ("A crack opens behind the edge, under the spoil. From below, nobody sees it.", ()),
        ("The wall lets go in one piece. Wall and spoil lie on the floor before anyone can climb out.", ()),
    )
    frames = []
    for k, (says, told) in enumerate(steps):
        canvas = Canvas(ident, title="An upright wall, its spoil at the edge", desc="One step of it.", steady=True)
        view = canvas.view(world, pad=(70, 24, 40, 42), max_height=270, seen="across", way="wrong")
        _ground(view, half, d, gone if k == 2 else [])
        spoil = cut_to(heap, half + back, heap[2][0] + 1) if k == 2 else heap
        with view.part("spoil"):
            if len(spoil) > 2:
                view.body(spoil, fill="spoil")
            if k == 2:
                view.body(fallen, fill="spoil")
        if k == 1:
            view.line((half + back, 0.0), (half, -d), pen="dash")
            view.polyline(_crack(half + back, d), pen="bold")
            view.label((half + back, -0.16 * d), "Crack", prefer=("right", "below"), bold=True)
        if k < 2:
            view.dimension((-half, -d), (-half, 0.0), join("Depth ", depth), measure=depth, offset=16, prefer="left", width=80)
            view.dimension(
                (-half, -d), (half, -d), join("Floor ", bottom_width), measure=bottom_width, offset=-12, prefer="below", width=160
            )
            view.label(heap[1], "Spoil at the edge", prefer=("above", "right"))
        else:
            view.label((-half, -0.5 * d), "Down in a moment", prefer=("left",), width=100, bold=True)
        canvas.key_starts()
        canvas.note("Where and when a wall breaks nobody can say: the break is a sketch.", bold=True)
        frames.append(Frame(canvas, says, told))
    return Film(
        ident,
        title="An upright wall, its spoil at the edge: what happens",
        desc=both("The wrong way. ", wrong, ". The trench is ", depth, " deep and ", bottom_width,
                  " wide. A crack opens behind the edge. The wall lets go, and ground and spoil come down on the floor."),
        frames=frames,
    )  # fmt: skip


def _ground(view: View, half: float, d: float, gone: list[Point]) -> None:
    """Draw the ground around an upright trench, without the piece of its right wall that is gone."""
    left, low, right, _ = view.world
    line: list[Point] = [(left, 0.0), (-half, 0.0), (-half, -d), (half, -d)]
    line += [gone[2]] if gone else [(half, 0.0)]
    line.append((right, 0.0))
    with view.part("cut"):
        view.polygon([*line, (right, low), (left, low)], pen="none", fill="earth")
        view.polyline(line, pen="bold")


def _crack(x: float, d: float) -> list[Point]:
    """A crack from the ground down, ragged."""
    return [(x - 0.02 * d, 0.0), (x - 0.05 * d, -0.1 * d), (x - 0.02 * d, -0.17 * d), (x - 0.1 * d, -0.3 * d)]


def _area(points: list[Point]) -> float:
    """The area of a polygon, whichever way round."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], *points[:1]], strict=True))) / 2


def _fallen(half: float, d: float, back: float, area: float) -> list[Point]:
    """What lies in the trench afterwards: on the floor, between the far wall and the plane that slid, of this area.

    It does not come up past the ground: what does is left out.
    """

    def filled(up: float) -> list[Point]:
        # it rests against the plane at the height `up` above the floor, and falls off toward the far wall
        top = (half + back * up / d, up - d)
        across = top[0] + half
        at_wall = up - across * _REST
        if at_wall >= 0:
            return [(-half, -d), (half, -d), top, (-half, at_wall - d)]
        return [(top[0] - up / _REST, -d), (half, -d), top]

    low, high = 0.0, d
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _area(filled(middle)) < area else (low, middle)
    return filled(high)
