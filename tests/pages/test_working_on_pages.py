"""Every printed line of working on the built pages, redone from its printed figures."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.pages.redo import disagreement, lines

_DATA = re.compile(
    r'<seatwork-quiz .*?<script type="application/json">(.*?)</script></seatwork-quiz>', re.DOTALL
)


def test_every_printed_line_can_be_redone(demo: Path) -> None:
    count, wrong = 0, []
    for page in sorted((demo / "out").rglob("*.html")):
        for line in lines(page.read_text("utf-8")):
            count += 1
            if problem := disagreement(line):
                wrong.append(f"{page.name}: {problem}")
    assert not wrong, wrong[:10]
    assert count > 100


def test_every_variant_of_every_quiz_can_be_redone(demo: Path) -> None:
    """The player's working, filled as the browser fills it."""
    count, wrong = 0, []
    for page in sorted((demo / "out/web/lessons").glob("*.html")):
        found = _DATA.search(page.read_text("utf-8"))
        assert found, f"{page.name} has no quiz"
        for question in json.loads(found[1])["questions"]:
            for both in question["variants"]:
                for system in ("us", "metric"):
                    variant = both[system]
                    working = question["workings"][system][variant["w"]] if question["workings"][system] else ""
                    for i, figure in enumerate(variant["wf"]):
                        working = working.replace(f"⟦{i}⟧", figure)
                    assert "⟦" not in working
                    for line in lines(working):
                        count += 1
                        if problem := disagreement(line):
                            wrong.append(f"{page.name} {question['id']}: {problem}")
    assert not wrong, wrong[:10]
    assert count > 1000


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("<mn>4</mn><mo>×</mo><mn>2.5</mn><mo>=</mo><mn>10</mn>", True),
        ("<mn>4</mn><mo>×</mo><mn>2.5</mn><mo>=</mo><mn>11</mn>", False),
        ("<mfrac><mn>1,000</mn><mn>3</mn></mfrac><mo>=</mo><mn>333.3</mn>", True),
        ("<mfrac><mn>1,000</mn><mn>3</mn></mfrac><mo>=</mo><mn>333.4</mn>", False),
        ("<mi>tan</mi><mrow><mo>(</mo><mn>45</mn><mtext>°</mtext><mo>)</mo></mrow><mo>=</mo><mn>1</mn>", True),
        ("<mn>2</mn><mo>+</mo><mn>3</mn><mo>×</mo><mn>4</mn><mo>=</mo><mn>14</mn>", True),
        ("<mn>2</mn><mo>+</mo><mn>3</mn><mo>×</mo><mn>4</mn><mo>=</mo><mn>20</mn>", False),
    ],
)
def test_the_reader_itself_tells_right_from_wrong(line: str, right: bool) -> None:
    assert (disagreement(f'<math data-redo="">{line}</math>') is None) is right
