"""Pages turned by copies of the process are the pages the site builder turns itself."""

from __future__ import annotations

import logging
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.book import parallel
from generator.publish import prerender
from generator.publish.site import SiteError, build_site, settings, write_files

PAGES = {
    "index.md": "# Start\n\nSee [the gate](lessons/gate.md#shut-it), &lt;b&gt; and `code`.\n",
    "lessons/gate.md": "---\ntitle: Gate\ntags: [yard, road]\n---\n# Gate\n\n## Shut it\n\n<div>Walk <b>round</b>.</div>\n\n"
    '<p>Wide: <button class="sw-num us">10 ft</button><button class="sw-num si">3 m</button>, '
    '<span class="us">far</span><span class="si">off</span>.</p>\n\n'
    "## Watch\n\n[Start](../index.md)\n",
    "lessons/yard.md": "# Yard\n\n<section data-search-exclude>\n<p>Hidden.</p>\n</section>\n\n**Word**\n:   What it *means*.\n",
}


@pytest.fixture
def copies(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Copies even where the test runner has threads; the names of the pages they turned."""
    if not sys.platform.startswith("linux"):
        pytest.skip("this process is copied on Linux only")
    monkeypatch.setattr(parallel, "FEWEST_JOBS", 2)
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    turned: list[str] = []
    stand_in = prerender._stand_in

    def noted(page: Any, *rest: Any) -> None:
        turned.append(page.file.src_uri)
        stand_in(page, *rest)

    monkeypatch.setattr(prerender, "_stand_in", noted)
    return turned


def built(pages: dict[str, str], place: Path) -> dict[str, bytes]:
    write_files(dict(pages), place / "docs")
    nav: list[dict[str, Any]] = [{"Start": "index.md"}, {"Yard": [{"Gate": "lessons/gate.md"}, {"The yard": "lessons/yard.md"}]}]
    made = {**settings("Small yard", nav, "note"), "extra_css": [], "extra_javascript": [], "extra": {"generator": False, "polyfills": []}}
    made["plugins"] = ["search"]
    (place / "mkdocs.yml").write_text(yaml.safe_dump(made), "utf-8")
    build_site(place / "mkdocs.yml", place / "web", 1_767_225_600)
    web = place / "web"
    return {p.relative_to(web).as_posix(): p.read_bytes() for p in sorted(web.rglob("*")) if p.is_file()}


def test_the_site_is_the_same(tmp_path: Path, copies: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")
    monkeypatch.setenv(parallel.WORKERS, "1")
    alone = built(PAGES, tmp_path / "alone")
    assert copies == []
    monkeypatch.setenv(parallel.WORKERS, "2")
    together = built(PAGES, tmp_path / "together")
    assert sorted(copies) == sorted(PAGES)
    assert together == alone
    # a page shows one unit system; the search holds both and keeps them apart
    assert (
        b"10 ft or 3 m, far or off." in together["search/search_index.json"] and b"10 ft</button><button" in together["lessons/gate.html"]
    )
    assert b"What it" in together["search/search_index.json"] and b"Hidden" not in together["search/search_index.json"]


def test_a_page_to_be_warned_of_is_left_to_the_site_builder(
    tmp_path: Path, copies: list[str], monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(parallel.WORKERS, "2")
    log, shown = logging.getLogger("mkdocs"), logging.StreamHandler()  # as when a site is served
    monkeypatch.setattr(log, "handlers", [shown])  # none that an earlier test left, with its stream closed
    broken = {**PAGES, "lessons/yard.md": "# Yard\n\n[Nowhere](nowhere.md)\n", "index.md": "# Start\n\n[Gate](lessons/gate.md#no-such)\n"}
    with pytest.raises(SiteError) as caught:
        built(broken, tmp_path / "broken")
    assert capfd.readouterr().err.count("contains a link 'nowhere.md'") == 1, "the copy said it too"
    assert "nowhere.md" in str(caught.value) and "#no-such" in str(caught.value)
    assert "lessons/gate.md" in copies and "lessons/yard.md" not in copies
