"""A person on foot, with a hard hat, gloves and a vest that is seen."""

from __future__ import annotations

from typing import Literal

from generator.drawing.boxes import Point
from generator.drawing.machines.outline import Frame, limb
from generator.drawing.view import View


def person(
    view: View,
    foot: Point,
    tall: float = 1.75,
    *,
    arms: Literal["down", "up", "point"] = "down",
    facing: int = 1,
    seen: Literal["front", "behind"] = "front",
) -> None:
    """Draw a person who stands at `foot`, `tall` metres to the top of the hat; marks the part person.

    `arms`: hanging down, both up (stop), or one stretched out to the side that `facing` tells. From the
    front one sees the face under the brim; from `behind`, the nape under the hat and the vest's cross.
    """
    at = Frame(foot, tall, facing)
    with view.part("person"):
        view.bodies([at.all((side * 0.01, 0.48), (side * 0.1, 0.48), (side * 0.105, 0.03), (side * 0.13, 0.0), (side * 0.03, 0.0))
                     for side in (-1, 1)])  # fmt: skip
        sleeves, hands = [], []
        for side in (-1, 1):
            if arms == "up":
                elbow, hand = (side * 0.2, 0.88), (side * 0.18, 1.06)
            elif arms == "point" and side > 0:
                elbow, hand = (0.25, 0.77), (0.4, 0.79)
            else:
                elbow, hand = (side * 0.155, 0.62), (side * 0.15, 0.46)
            sleeves.append(
                limb(at.all((side * 0.05, 0.8), (side * 0.12, 0.78), elbow, hand), [share * tall for share in (0.022, 0.034, 0.031, 0.024)])
            )
            hands.append(at(*hand))
        view.bodies(sleeves, fill="paper")
        view.dots(hands, 0.055 * tall)
        view.body(at.all((-0.1, 0.46), (0.1, 0.46), (0.115, 0.775), (0.045, 0.83), (-0.045, 0.83), (-0.115, 0.775)),
                  fill="paper")  # fmt: skip
        front = seen == "front"
        # the bands of the vest: straight in front, crossed behind
        top = 0.065 if front else -0.065
        view.strokes([at.all((-0.11, 0.58), (0.11, 0.58)), *(at.all((s * 0.065, 0.58), (s * top, 0.81)) for s in (-1, 1))], pen="bold")
        view.circle(at(0.0, 0.9), 0.065 * tall, fill="paper", pen="line")
        brim = ((-0.1, 0.91), (0.1, 0.91), (0.085, 0.935)) if front else ((-0.068, 0.885), (0.068, 0.885), (0.08, 0.93))
        view.body(at.all(*brim, (0.07, 0.97), (0.04, 1.0), (-0.04, 1.0), (-0.07, 0.97), (-brim[2][0], brim[2][1])), fill="dark", pen="thin")
        if front:
            view.strokes([at.all((s * 0.023, 0.89), (s * 0.03, 0.89)) for s in (-1, 1)], pen="line")
