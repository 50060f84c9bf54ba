"""The Markdown tree builds, unchanged, with another site builder that reads mkdocs.yml."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

from generator.publish.build import render
from generator.publish.one_language import footer
from generator.publish.site import write_tree
from tests.publish.reading import answer_one
from tests.publish.webserver import flaky
from tests.records.small import small_site


def test_another_site_builder_takes_the_tree_as_it_is(tmp_path: Path, browser: Any) -> None:
    tree, site = render(small_site(tmp_path / "site"), lambda _: None)
    config = write_tree(tree, tmp_path / "tree", site.settings.name, footer(site))
    before = {p: p.read_bytes() for p in (tmp_path / "tree").rglob("*") if p.is_file()}
    done = subprocess.run(
        [sys.executable, "-m", "zensical", "build", "--strict", "-f", str(config)],
        cwd=tmp_path / "tree", capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert {p: p.read_bytes() for p in before} == before
    web = tmp_path / "tree" / "site"
    assert [n for n in tree.docs if n.endswith(".md") and not (web / n).with_suffix(".html").is_file()] == []
    said: list[str] = []
    asked: list[str] = []
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    context.set_default_timeout(15_000)
    page = context.new_page()
    page.on("console", lambda m: said.append(m.text) if m.type in {"error", "warning"} else None)
    page.on("pageerror", lambda e: said.append(str(e)))
    page.on("request", lambda r: asked.append(r.url))
    with flaky(web) as running:
        for base in (running.address, web.as_uri() + "/"):
            page.goto(f"{base}index.html")
            assert page.locator(".sw-card").first.is_visible()
            page.goto(f"{base}lessons/bench-height.html")
            number = page.locator("button.sw-num:visible").first
            number.click()
            assert page.locator(f"#{number.get_attribute('popovertarget')}").is_visible()
            page.keyboard.press("Escape")
            box = page.locator("svg.drawing:visible").first.bounding_box()
            assert box["width"] > 200 and box["height"] > 100
            result = page.locator("seatwork-panel .sw-panel-result")
            first = result.inner_text()
            page.locator("seatwork-panel input[type=range]:visible").first.focus()
            page.keyboard.press("End")
            assert result.inner_text() != first
            page.locator(".sq-pick").select_option(index=1)
            page.locator(".sq-enter .sq-main").click()
            assert answer_one(page)
            page.goto(f"{base}sheets/bench-height.html")
            page.get_by_role("button", name="metres, kilograms").click()
            assert page.locator(".si").first.is_visible()
        assert [u for u in asked if not u.startswith((running.address, web.as_uri(), "data:", "blob:"))] == []
    context.close()
    assert said == []
