"""*Change a number*: the browser's formulas are Python's, and the panel shows honest working."""

from __future__ import annotations

import json
import math
import random
import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.book.content import content_folder, read_content
from generator.book.lesson import read_lesson
from generator.book.model import PanelLimit
from generator.book.page import LessonPage, site_lead
from generator.book.panel import panel
from generator.calc.catalogue import calculations
from generator.calc.formula import Formula
from generator.jobsite.reader import read
from generator.source.problem import Problem
from generator.units.errors import CalculationError
from generator.working.browser import script
from generator.working.errors import NumberProblem
from generator.working.ledger import Ledger
from tests.conftest import DEMO
from tests.pages.redo import disagreement, lines, roundings

DRAWS = 40


def test_every_formula_gives_the_same_in_the_browser(browser: Any) -> None:
    """Thousands of drawn inputs, each formula, Python beside Chromium."""
    rng = random.Random(7)
    formulas = [c for c in calculations().values() if isinstance(c, Formula)]
    asked: list[tuple[str, dict[str, float], float]] = []
    for f in formulas:
        made = 0
        for _ in range(DRAWS * 8):
            values = {}
            for i in f.inputs:
                low, high = i.bounds
                if low > 0 and high / low > 100:  # wide ranges evenly over their digits
                    values[i.name] = math.exp(rng.uniform(math.log(low), math.log(high)))
                else:
                    values[i.name] = rng.uniform(low, high)
            try:
                asked.append((f.id, values, f(**values)))
            except CalculationError:
                continue
            made += 1
            if made == DRAWS:
                break
        assert made, f.id
    page = browser.new_page()
    page.add_script_tag(content=script(formulas))
    got = page.evaluate("all => all.map(([id, v]) => window.seatworkFormulas[id](v))", [[a, b] for a, b, _ in asked])
    page.close()
    wrong = [
        (id_, values, mine, theirs)
        for (id_, values, mine), theirs in zip(asked, got, strict=True)
        if not math.isclose(mine, theirs, rel_tol=1e-9, abs_tol=1e-12)
    ]
    assert not wrong, wrong[:3]
    assert len(asked) > 3000


def test_moving_a_slider_changes_result_working_and_drawing(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    box = page.locator("seatwork-panel")
    slider = box.locator("input[type=range]")
    shown = []
    for key in ("Home", "End"):
        slider.focus()
        page.keyboard.press(key)
        working = box.locator(".sw-panel-result").inner_html()
        # as high as the stick is long: nothing is worked out, and the line says the figure once
        line = " ".join(box.locator(".sw-line").inner_text().split())
        assert not list(lines(working)) and line.count("ft") == 1
        assert line.split("=")[-1].strip() == box.locator(".sw-panel-answer b").inner_text()
        drawing = box.locator(".sw-panel-drawing:not([hidden])")
        assert drawing.count() == 1
        shown.append((box.locator(".sw-panel-answer b").inner_text(), working, drawing.inner_html()))
    assert shown[0][0] == "8 ft" and shown[1][0] == "14 ft"
    assert all(a != b for a, b in zip(*shown, strict=True))
    page.get_by_role("button", name="metres, kilograms").first.click()
    assert box.locator(".sw-panel-answer b").inner_text().endswith(" m")
    page.close()


def test_every_panel_is_honest_at_every_place(demo: Path, browser: Any) -> None:
    page = browser.new_page()
    count = 0
    for lesson in sorted((demo / "out/web/lessons").glob("*.html")):
        if "<seatwork-panel" not in lesson.read_text("utf-8"):
            continue
        page.goto(lesson.as_uri())
        found = page.evaluate(
            """() => { const p = document.querySelector('seatwork-panel'), out = [];
               const sliders = [...p.querySelectorAll('input[type=range]')];
               for (const units of ['us', 'metric']) {
                 document.documentElement.dataset.units = units;
                 document.dispatchEvent(new CustomEvent('sw-units', { detail: units }));
                 for (const s of sliders) { for (let i = 0; i <= 12; i += 1) {
                   s.value = String(Number(s.min) + (Number(s.max) - Number(s.min)) * i / 12);
                   p.show(); out.push(p.querySelector('.sw-panel-result').innerHTML); } } }
               return out; }"""
        )
        for working in found:
            for line in lines(working):
                count += 1
                assert disagreement(line) is None, f"{lesson.name}: {disagreement(line)}"
            assert not [x for x in roundings(working) if x], f"{lesson.name}: {working}"
    page.close()
    assert count > 20


def test_without_scripts_the_panel_is_a_printed_example(demo: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    assert "ft" in page.locator(".sw-panel-result").inner_text()
    assert page.locator(".sw-panel-drawing:not([hidden])").count() == 1
    context.close()


def test_a_panel_starts_at_the_lessons_own_figures(demo: Path, browser: Any) -> None:
    """Its sliders show figures that the page prints elsewhere, in both unit systems, and so it opens in either."""
    page = browser.new_page()
    rows = json.loads((demo / "out/ledger.json").read_text("utf-8"))["numbers"]
    moved = {i: len(x.panel.moves) for i, x in read_content(content_folder()).lessons.items() if x.panel is not None}
    seen: Counter[str] = Counter()
    for lesson in sorted((demo / "out/web/lessons").glob("*.html")):
        if "<seatwork-panel" not in lesson.read_text("utf-8"):
            continue
        page.goto(lesson.as_uri())
        for system, units in (("us", "us"), ("metric", "metric")):
            page.evaluate(
                "u => { document.documentElement.dataset.units = u; document.dispatchEvent(new CustomEvent('sw-units', { detail: u })); }",
                units,
            )
            own = [r for r in rows if r["page"] == f"lessons/{lesson.name}" and not r["place"].startswith("change a number")]
            printed = {r[system] for r in own} | {v for r in own for v in r["inputs"].get(system, {}).values()}
            for told in page.locator("seatwork-panel output").all_inner_texts():
                seen[lesson.stem] += 1
                if told.endswith(" mm"):  # a slider of small steps; the page tells it in centimetres
                    told = f"{Decimal(told[:-3]) / 10:f} cm"
                assert told in printed, f"{lesson.name} in {units}: the panel starts at {told}"
    page.close()
    assert len(moved) >= 5 and seen == {i: 2 * sliders for i, sliders in moved.items()}  # every slider of every panel, in both systems


def test_what_lies_past_the_sites_limit_is_marked_and_struck(demo: Path, browser: Any) -> None:
    limit = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["limits"]["bench_height"]
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    box = page.locator("seatwork-panel")
    slider, tick = box.locator("input[type=range]"), box.locator(".sw-tick")
    assert limit in tick.inner_text() and "This site's limit" in tick.inner_text()
    places = page.evaluate("() => document.querySelector('seatwork-panel').data.system.us.inputs.stick_length.places")
    assert float(limit.split()[0]) in places
    for at, place in enumerate(places):
        slider.evaluate("(s, v) => { s.value = String(v); s.dispatchEvent(new Event('input', { bubbles: true })); }", at)
        past = place > float(limit.split()[0])
        drawing = box.locator(".sw-panel-drawing:not([hidden])")
        assert box.locator(".sw-panel-answer s").count() == past, place
        assert box.locator("output s").count() == past
        assert (f"past this site's limit, {limit}" in box.locator(".sw-panel-answer").inner_text()) == past
        assert drawing.locator("path.cross").count() == 2 * past
        assert (f"Past this site's limit, {limit}" in drawing.inner_text()) == past
        assert (f"limit, {limit}" in (slider.get_attribute("aria-valuetext") or "")) == past
        if at and place == float(limit.split()[0]):  # the tick stands under the thumb, as near as a pixel
            mark, whole = tick.locator(".sw-tick-mark").bounding_box(), slider.bounding_box()
            thumb = whole["x"] + 8 + (whole["width"] - 16) * at / (len(places) - 1)
            assert abs(mark["x"] + mark["width"] / 2 - thumb) < 1.5
    page.close()


def test_the_line_of_the_limit_is_drawn_at_its_height(demo: Path) -> None:
    """Measured in the drawing of the panel: foot and top of the bench's dimension, and the dashed line."""
    page = (demo / "out/web/lessons/bench-height.html").read_text("utf-8")
    drawings = re.findall(r'<div class="sw-panel-drawing" data-system="us"[^>]*>(<svg.*?</svg>)', page, re.DOTALL)
    assert len(drawings) == 4
    limit, seen = 10 * 0.3048, 0
    for svg in drawings:
        line = re.search(r'<path class="limit" d="M6,([\d.]+)L', svg)
        scale = float(re.search(r'data-scale="([\d.]+)"', svg)[1])  # type: ignore[index]
        ends = [
            tuple(map(float, m))
            for m in re.findall(r'class="dimension" data-si="[\d.]+" data-ends="([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)"', svg)
        ]
        foot = max(max(y0, y1) for x0, y0, x1, y1 in ends if x0 == x1)
        if line is not None:
            seen += 1
            assert abs(foot - float(line[1]) - limit * scale) < 0.02 * limit * scale
    assert seen >= 2


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("limits.bench_hight", "panel: 'limits.bench_hight' is no limit of the site; did you mean limits.bench_height?"),
        ("bench_height", "panel: 'bench_height' is no limit of the site; did you mean limits.bench_height?"),
        ("limits.decided_by", "panel: 'limits.decided_by' is no limit of the site; did you mean limits."),
        ("[limits.bench_height]", "panel: limit names no limit of the site; write 'limit: limits.NAME'"),
        ("", "panel: limit names no limit of the site"),
    ],
)
def test_a_limit_of_a_panel_that_is_none_is_told_with_its_line(told: str, said: str) -> None:
    text = (content_folder() / "lessons/bench-height.md").read_text("utf-8")
    was = "\n  limit: limits.bench_height\n"
    assert text.count(was) == 1
    problems: list[Problem] = []
    read_lesson(text.replace(was, f"\n  limit: {told}\n"), "bench-height", "lessons/bench-height.md", problems)
    line = text[: text.index(was)].count("\n") + 2
    assert len(problems) == 1 and str(problems[0]).startswith(f"lessons/bench-height.md:{line if told else line - 1}"[:-1])
    assert said in str(problems[0])


@pytest.mark.parametrize(
    ("limit", "what"),
    [
        (PanelLimit("limits.side_slope"), "limits.side_slope is no limit of bench height"),
        (PanelLimit("limits.bench_height", on="machine.bucket_capacity"), "limit is of 'machine.bucket_capacity', which is not moved"),
    ],
)
def test_a_limit_of_another_kind_or_of_what_is_not_moved_is_refused(limit: PanelLimit, what: str) -> None:
    content = read_content(content_folder())
    lesson = content.lessons["bench-height"]
    assert lesson.panel is not None
    lesson = replace(lesson, panel=replace(lesson.panel, limit=limit))
    site = read(DEMO)
    with pytest.raises(NumberProblem) as e:
        panel(LessonPage(lesson, content, site, site_lead(site), Ledger()))
    assert what in str(e.value)
