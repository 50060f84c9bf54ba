"""A person on foot, with a hard hat and a vest that is seen."""

from __future__ import annotations

from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.machines.outline import Frame, limb
from generator.drawing.view import View


def person(view: View, foot: Point, tall: float = 1.75, *, arms: Literal["down", "up", "point"] = "down", facing: int = 1) -> None:
    """Draw a person from the front who stands at `foot`, `tall` metres to the top of the hat; marks the part person.

    `arms`: hanging down, both up (stop), or one stretched out to the side that `facing` tells.
    """
    at = Frame(foot, tall, facing)
    with view.part("person"):
        for side in (-1, 1):
            view.body(at.all((side * 0.01, 0.48), (side * 0.1, 0.48), (side * 0.105, 0.03), (side * 0.13, 0.0), (side * 0.03, 0.0), (side * 0.03, 0.03)),
                      fill="dark", pen="thin")  # fmt: skip
            shoulder = (side * 0.11, 0.78)
            if arms == "up":
                elbow, hand = (side * 0.2, 0.86), (side * 0.18, 1.06)
            elif arms == "point" and side > 0:
                elbow, hand = (0.24, 0.75), (0.4, 0.78)
            else:
                elbow, hand = (side * 0.16, 0.62), (side * 0.15, 0.45)
            view.body(limb(at.all(shoulder, elbow, hand), [0.035 * tall, 0.032 * tall, 0.026 * tall]), fill="paper", pen="thin")
        view.body(
            at.all((-0.1, 0.46), (0.1, 0.46), (0.115, 0.66), (0.13, 0.8), (0.05, 0.83), (-0.05, 0.83), (-0.13, 0.8), (-0.115, 0.66)),
            fill="paper",
        )
        # the bands of the vest
        view.strokes(
            [at.all((-0.11, 0.58), (0.11, 0.58)), at.all((-0.07, 0.58), (-0.07, 0.81)), at.all((0.07, 0.58), (0.07, 0.81))], pen="bold"
        )
        view.circle(at(0.0, 0.9), 0.065 * tall, fill="paper", pen="line")
        view.body(at.all((-0.09, 0.92), (0.09, 0.92), (0.075, 0.97), (0.04, 1.0), (-0.04, 1.0), (-0.075, 0.97)), fill="dark", pen="thin")
