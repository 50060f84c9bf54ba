"""Pages of the mentor folder are opened from disk and carry a policy of their own: what is planted does not run."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.book import content as book_content
from generator.book.guard import guarded
from generator.publish import build as building
from generator.publish import one_language
from generator.publish.paper import write_papers
from generator.records import readiness_page, report
from generator.records.demo_class import count_of
from generator.records.readiness import readiness
from tests.publish.dying import copied
from tests.records.small import a_result, marking, put, small_site, tallied

RUNS = "document.documentElement.dataset.ran = 1"
PLANTED = f'</style><script>{RUNS}</script><img src="x" onerror="{RUNS}"><svg onload="{RUNS}"></svg><style>'
PAGES = ("index.html", "keys/bench-height.html", "signoff/loader.html", "records/readiness.html", "paper/index.html", "paper/quiz.html",
         "paper/quiz-key.html")  # fmt: skip


def built(folder: Path, *, planted: bool) -> Path:
    """The mentor folder of a small site; ``planted`` is as if the check of styles let everything in."""
    from generator.jobsite.reader import read

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(one_language, "build_site", copied)
        if planted:
            patch.setattr(book_content.Content, "added_look", lambda self, name: PLANTED)
            patch.setattr(readiness_page, "_STYLE", readiness_page._STYLE + PLANTED)
        site = small_site(folder)
        building.build(site, lambda _: None)
        write_papers(site, ["bench-height"], ["P-01"], 1, None)
        put(site, "bad.json", "{")
        put(site, "a.json", a_result(site, rights=(True,) * count_of(marking(site))))
        report.write(readiness(read(site), tallied(site)), site / "out/mentor/records")
    mentor = site / "out/mentor"
    for end in (".html", "-key.html"):
        paper = next(p for p in (mentor / "paper").glob(f"bench-height-*{end}") if end != ".html" or not p.stem.endswith("-key"))
        shutil.copy(paper, mentor / f"paper/quiz{end}")
    return mentor


@pytest.fixture(scope="module")
def planted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(tmp_path_factory.mktemp("planted") / "site", planted=True)


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(tmp_path_factory.mktemp("good") / "site", planted=False)


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 1000, "height": 800})
    context.set_default_timeout(15_000)
    context.add_init_script("window.print = () => { window.printed = (window.printed || 0) + 1 }")
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_a_planted_script_does_not_run(planted: Path, page: Any, name: str, tmp_path: Path) -> None:
    text = (planted / name).read_text("utf-8")
    assert PLANTED in text
    page.goto((planted / name).as_uri())
    assert page.evaluate("document.documentElement.dataset.ran") is None
    # without its policy it would have run: the test can tell
    bare = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    assert bare != text
    (tmp_path / "bare.html").write_text(bare, "utf-8")
    page.goto((tmp_path / "bare.html").as_uri())
    assert page.evaluate("document.documentElement.dataset.ran") == "1"


@pytest.mark.parametrize("name", PAGES)
def test_the_pages_do_what_they_did(good: Path, page: Any, name: str) -> None:
    said: list[str] = []
    page.on("console", lambda m: said.append(m.text))
    page.on("pageerror", lambda e: said.append(str(e)))
    page.goto((good / name).as_uri())
    assert page.locator("h1").is_visible()
    assert page.evaluate("getComputedStyle(document.body).fontFamily").startswith("system-ui")
    prints = page.locator("[data-print]")
    if prints.count():
        prints.click()
        assert page.evaluate("window.printed") == 1
    else:
        assert name in {"records/readiness.html", "keys/bench-height.html", "index.html"}
    metric = page.locator("[data-set-units=metric]")
    if metric.count():
        metric.click()
        assert page.evaluate("document.documentElement.dataset.units") == "metric"
        assert page.locator(".si").first.is_visible()
    for summary in page.locator("summary").all():
        summary.click()
        assert summary.evaluate("s => s.parentElement.open")
    assert said == []


def test_every_page_of_the_mentor_folder_has_a_policy_before_its_style(good: Path) -> None:
    pages = sorted(good.rglob("*.html"))
    assert len(pages) >= 8
    for path in pages:
        text = path.read_text("utf-8")
        assert text.count("Content-Security-Policy") == 1, path
        assert text.index("Content-Security-Policy") < text.index("<title") and text.index("charset") < 1000, path
        assert text.index("Content-Security-Policy") < min((text.find(t) for t in ("<style", "<script") if t in text), default=len(text))


@pytest.mark.parametrize("start", ['<!doctype html>\n<html lang="en" data-units="us">\n<head>', "<!doctype html>\n", "", "\n<html><head >"])
def test_the_policy_comes_first_whatever_a_page_begins_with(start: str, page: Any, tmp_path: Path) -> None:
    path = tmp_path / "a.html"
    path.write_text(guarded(f"{start}<script>{RUNS}</script><p>x</p>"), "utf-8")
    page.goto(path.as_uri())
    assert page.evaluate("document.documentElement.dataset.ran") is None
    assert page.evaluate("document.head.firstElementChild.httpEquiv") == "Content-Security-Policy"
    assert (page.evaluate("document.compatMode") == "CSS1Compat") == ("doctype" in start)


def test_only_the_shipped_script_runs(page: Any, tmp_path: Path) -> None:
    path = tmp_path / "a.html"
    text = "<!doctype html><head><title>x</title><script>\ndocument.title = 'own';\n</script><script>document.title = 'other'</script>"
    path.write_text(guarded(text, "x<script>\ndocument.title = 'own';\n</script>y"), "utf-8")
    page.goto(path.as_uri())
    assert page.title() == "own"


def test_a_picture_beside_a_page_is_shown(page: Any, tmp_path: Path) -> None:
    import base64

    dot = base64.b64decode("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==")
    (tmp_path / "dot.png").write_bytes(dot)
    (tmp_path / "a.html").write_text(guarded('<!doctype html><img src="dot.png" alt="">'), "utf-8")
    page.goto((tmp_path / "a.html").as_uri())
    assert page.evaluate("document.images[0].naturalWidth") == 1
