"""*Change a number*: the browser's formulas are Python's, and the panel shows honest working."""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any

from generator.calc.catalogue import calculations
from generator.calc.errors import CalculationError
from generator.calc.formula import Formula
from generator.working.browser import script
from tests.pages.redo import disagreement, lines

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
    panel = page.locator("seatwork-panel")
    slider = panel.locator("input[type=range]")
    shown = []
    for key in ("Home", "End"):
        slider.focus()
        page.keyboard.press(key)
        working = panel.locator(".sw-panel-result").inner_html()
        found = list(lines(working))
        assert found and all(disagreement(x) is None for x in found)
        drawing = panel.locator(".sw-panel-drawing:not([hidden])")
        assert drawing.count() == 1
        shown.append((panel.locator(".sw-panel-answer b").inner_text(), working, drawing.inner_html()))
    assert shown[0][0] == "7 ft" and shown[1][0] == "14 ft"
    assert all(a != b for a, b in zip(*shown, strict=True))
    page.get_by_role("button", name="metres, kilograms").first.click()
    assert panel.locator(".sw-panel-answer b").inner_text().endswith(" m")
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
    page.close()
    assert count > 20


def test_without_scripts_the_panel_is_a_printed_example(demo: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    assert "ft" in page.locator(".sw-panel-result").inner_text()
    assert page.locator(".sw-panel-drawing:not([hidden])").count() == 1
    context.close()
