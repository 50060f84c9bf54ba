"""Every printed line of working on the built pages, redone from its printed figures."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.pages.redo import disagreement, lines, roundings

_DATA = re.compile(r'<seatwork-quiz .*?<script type="application/json">(.*?)</script></seatwork-quiz>', re.DOTALL)


def test_every_printed_line_can_be_redone(demo: Path) -> None:
    count, wrong = 0, []
    for page in sorted((demo / "out").rglob("*.html")):
        for line in lines(page.read_text("utf-8")):
            count += 1
            if problem := disagreement(line):
                wrong.append(f"{page.name}: {problem}")
    assert not wrong, wrong[:10]
    assert count > 100


def test_every_line_that_rounds_says_so_and_is_right(demo: Path) -> None:
    found = [x for page in sorted((demo / "out").rglob("*.html")) for x in roundings(page.read_text("utf-8"))]
    assert len(found) > 10
    assert not [x for x in found if x]


def test_no_result_is_printed_finer_than_its_use(demo: Path) -> None:
    """What a calculation gives is told in three digits, or in a whole number of four: 114,000 lb."""
    rows = json.loads((demo / "out/ledger.json").read_text("utf-8"))["numbers"]
    wrong, long = [], 0
    for row in rows:
        for told in (row["us"], row["metric"]):
            match = re.match(r"−?(\d{1,3}(?:[,\u202f]\d{3})+)(?!\S)", told)
            if row["calculation"] is None or match is None:
                continue
            digits = match[1].replace(",", "").replace("\u202f", "").rstrip("0")
            long += len(match[1]) > 5
            if len(match[1]) > 5 and len(digits) > 3:
                wrong.append(f"{row['page']} {row['place']} {row['what']}: {told}")
    assert not wrong, wrong[:10]
    assert long > 10


@pytest.mark.parametrize(
    ("worked", "printed", "way", "right"),
    [
        ("114,080", "114,000", "near", True), ("114,080", "115,000", "near", False), ("114,080", "114,080", "near", False),
        ("12.354", "12.4", "least", True), ("12.354", "12.3", "least", False), ("52,480", "52,400", "most", True),
        ("52,480", "52,500", "most", False), ("12.31", "12.4", "most", False), ("10.62", "10", "near", False),
    ],
)  # fmt: skip
def test_the_reader_of_lines_that_round(worked: str, printed: str, way: str, right: bool) -> None:
    words = {"near": "Rounded", "most": "Rounded down", "least": "Rounded up"}[way]
    line = (
        f'<span class="sw-words">{words}</span> <math data-rounded="{way}"><mi>m</mi><mo>=</mo><mn>{worked}</mn>'
        f"<mtext>, about </mtext><mn>{printed}</mn></math>"
    )
    assert [x is None for x in roundings(line)] == [right]
    assert [x is None for x in roundings(line.replace("Rounded", "About"))] == [False]


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
                    wrong += [f"{page.name} {question['id']}: {x}" for x in roundings(working) if x]
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
