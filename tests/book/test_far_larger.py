"""Sites with machines far larger or smaller than the demo's: panels and drawings follow them."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead
from generator.book.panel import panel
from generator.jobsite.reader import read
from generator.working.ledger import Ledger
from tests.conftest import copy_demo
from tests.jobsite.broken import _set


def page_of(folder: Path, lesson: str) -> LessonPage:
    content = read_content(content_folder())
    site = read(folder, lessons=lesson_ids(content_folder()))
    return LessonPage(content.lessons[lesson], content, site, site_lead(site), Ledger())


def changed(tmp_path: Path, bucket: str, payload: str, body: str) -> Path:
    """The demo with another bucket [yd3] and another truck [ton, yd3] in the lead."""
    folder = copy_demo(tmp_path / "site")
    for table, id_, column, figure in (
        ("machines", "E-2", "bucket_capacity", bucket), ("trucks", "T-1", "payload", payload), ("trucks", "T-1", "body_volume", body),
    ):  # fmt: skip
        path = folder / f"{table}.csv"
        rows = path.read_text("utf-8").splitlines()
        (line,) = (i for i, row in enumerate(rows, 1) if row.startswith(f"{id_},"))
        _set("", line, column, figure)(path)
    return folder


@pytest.mark.parametrize(
    ("bucket", "payload", "body"), [("4", "30", "25"), ("30", "240", "200"), ("0.25", "4", "3.5"), ("1.5", "240", "200")]
)
def test_the_bucket_of_this_site_lies_in_the_range_of_the_slider(tmp_path: Path, bucket: str, payload: str, body: str) -> None:
    page = page_of(changed(tmp_path, bucket, payload, body), "truck-match")
    html = panel(page).html  # with a drawing at every place of the slider
    found = re.search(r'<script type="application/json">(.*?)</script>', html, re.DOTALL)
    assert found
    data = json.loads(found[1])
    for system, unit in (("us", "lb"), ("metric", "kg")):
        load = page.numbers.explained("load", page.context, system).result.quantity  # type: ignore[arg-type]
        moved = data["system"][system]["inputs"]["bucket_load"]
        assert load is not None
        assert moved["label"] == load.unit == unit
        assert moved["places"][0] < float(load.figure) < moved["places"][-1]
        assert moved["places"] == sorted(moved["places"])
        assert moved["places"][moved["start"]] == float(load.figure)  # and the slider starts at it
    assert html.count('class="sw-panel-drawing"') == len(data["drawings"]["us"]) + len(data["drawings"]["metric"])


def test_common_machines_keep_the_range_that_the_lesson_names(tmp_path: Path) -> None:
    html = panel(page_of(copy_demo(tmp_path / "site"), "truck-match")).html
    found = re.search(r'<script type="application/json">(.*?)</script>', html, re.DOTALL)
    assert found
    moved = json.loads(found[1])["system"]["us"]["inputs"]["bucket_load"]
    steps = [2000 + 1500 * i for i in range(9)]
    own = moved["places"][moved["start"]]
    # a step that is hardly another load than the site's own makes room for it
    assert moved["places"] == sorted([own, *(s for s in steps if abs(s - own) > 0.34 * 1500)])
    assert f'min="0" max="{len(moved["places"]) - 1}" step="1" value="{moved["start"]}"' in html


def test_many_passes_are_drawn_in_blocks_and_the_drawing_says_so(tmp_path: Path) -> None:
    page = page_of(changed(tmp_path, "1.5", "240", "200"), "truck-match")
    shown = page.numbers.explained("passes", page.context, "us").result.quantity
    assert shown is not None
    passes = shown.figure
    assert passes > 60
    assert page.lesson.drawing is not None
    drawing = page.scene(page.lesson.drawing, "many")
    assert f"{passes} passes" in drawing
    assert "each block is 10 passes" in re.sub(r"<[^>]+>\s*", " ", drawing).replace("  ", " ")
    assert drawing.count('class="bar"') == 1 + -(-int(passes) // 10)
