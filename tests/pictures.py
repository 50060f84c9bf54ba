"""Makes the README's pictures anew from a built job site.

``python -m tests.pictures site_demo`` writes ``site_demo/pictures/*.png``; build and package the site first. Names after
the folder, such as ``sheets drawings``, make those alone.
"""

from __future__ import annotations

import base64
import datetime
import re
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from generator.publish.build import build
from generator.publish.edition_folder import folder_of
from generator.publish.pdf import find_browser

PHONE = {"width": 360, "height": 740}


def make(folder: Path, names: Sequence[str] = ()) -> list[Path]:
    """The pictures of ``names``, all where there are none, from ``folder/out`` into ``folder/pictures``."""
    from playwright.sync_api import sync_playwright

    web, target = folder.resolve() / "out" / "web", folder / "pictures"
    if not (web / "index.html").is_file():
        raise FileNotFoundError(f"{web} holds no handbook; build it first")
    target.mkdir(exist_ok=True)
    with sync_playwright() as p:
        browser = p.chromium.launch(
            executable_path=find_browser(), args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        )
        makers: dict[str, Callable[[], bytes]] = {
            "lesson-desktop": lambda: _lesson(browser, web),
            "number-phone": lambda: _number(browser, web),
            "quiz-phone": lambda: _quiz(browser, web),
            "hand-in-phone": lambda: _hand_in(browser, folder.resolve()),
            "sheet-paper": lambda: _paper(browser, web / "sheets/trench-walls.html"),
            "sheets": lambda: _sheets(browser, web),
            "drawings": lambda: _drawings(browser, web),
            "pair-desktop": lambda: _pair(browser, web),
            "strip-paper": lambda: _strip(browser, web),
            "two-languages": lambda: _two_languages(browser, web),
            "package-played": lambda: _package(browser, folder.resolve()),
        }
        pictures = {name: makers[name]() for name in names or makers}
        browser.close()
    for name, data in pictures.items():
        (target / f"{name}.png").write_bytes(data)
    return [target / f"{name}.png" for name in pictures]


def _lesson(browser: Any, web: Path) -> bytes:
    page = browser.new_page(viewport={"width": 1280, "height": 1080})
    page.goto((web / "lessons/bench-height.html").as_uri())
    # the end of the worked example above the drawing
    page.locator("figure.sw-drawing").first.evaluate("f => window.scrollBy(0, f.getBoundingClientRect().top - 420)")
    page.wait_for_timeout(500)
    return _taken(page)


def _pair(browser: Any, web: Path) -> bytes:
    """The wrong way beside the right one, both a few steps on."""
    page = browser.new_page(viewport={"width": 1280, "height": 1400})
    page.goto((web / "lessons/if-it-slides.html").as_uri())
    for figure in page.locator(".sw-ways figure").all():
        for _ in range(3):
            figure.get_by_role("button", name="Next").click()
    page.add_style_tag(content=".md-header { position: static !important; }")
    page.wait_for_timeout(300)
    data: bytes = page.locator(".sw-ways").first.screenshot()
    page.close()
    return data


def _two_languages(browser: Any, web: Path) -> bytes:
    """One lesson on two phones: in English, and in Spanish."""
    shown = []
    for place in ("", "es/"):
        page = browser.new_page(viewport={"width": 360, "height": 1180})
        page.goto((web / f"{place}lessons/bench-height.html").as_uri())
        page.add_style_tag(content=".md-header { position: static !important; }")
        page.wait_for_timeout(500)
        shown.append(base64.b64encode(_taken(page)).decode("ascii"))
    both = browser.new_page(viewport={"width": 760, "height": 1200})
    both.set_content(
        '<body style="margin:0;display:flex;gap:20px;padding:10px;background:#888">'
        + "".join(f'<img width="360" src="data:image/png;base64,{data}">' for data in shown)
    )
    return _taken(both)


def _package(browser: Any, folder: Path) -> bytes:
    """A unit in a learning system made of a runtime of others, and what that has of it. Needs tests/need_npm.sh."""
    from tests.exchange.learning.playing import HERE, RUNTIMES, play, serving, start, unzipped

    (package,) = (folder / "out/packages").glob("*_scorm-1.2_labourer.zip")
    with tempfile.TemporaryDirectory() as place:
        system = Path(place)
        unzipped(package, system / "scorm-1.2")
        (system / "scorm12.js").write_bytes((RUNTIMES / "scorm-again/dist/scorm12.js").read_bytes())
        (system / "system.html").write_bytes((HERE / "system.html").read_bytes())
        with serving(system) as address:
            page = browser.new_page(viewport={"width": 1180, "height": 800})
            page.goto(f"{address}/system.html")
            page.add_script_tag(url=f"{address}/scorm12.js")
            learner = {"core": {"student_id": "lms-2041", "student_name": "Doe, Sam", "credit": "credit", "lesson_mode": "normal"}}
            page.evaluate("s => begun('scorm-again', 'scorm-1.2', 'stop-work', s)", learner)
            page.frame_locator("iframe").locator("seatwork-quiz.sq-on").wait_for()
            unit = next(f for f in page.frames if "/lessons/" in f.url)
            unit.locator(".sq-type").fill("P-02")
            start(unit)
            play(unit, wrong="must")
            unit.locator(".su-told", has_text="not passed").wait_for()
            page.evaluate("() => reported('scorm-1.2')")
            unit.evaluate("() => window.scrollBy(0, document.querySelector('.sq-result').getBoundingClientRect().top - 70)")
            page.wait_for_timeout(300)
            return _taken(page)


def _hand_in(browser: Any, folder: Path) -> bytes:
    """The end of a quiz that was handed in to a real server; the site is built again with the path where it takes results in."""
    from tests.exchange.learning.playing import play, start
    from tests.servers.running import HAND_IN, server

    with tempfile.TemporaryDirectory() as place:
        site = Path(place) / "site"
        shutil.copytree(folder, site, ignore=shutil.ignore_patterns("out", "editions", "register", "results", "pictures"))
        settings = site / "settings.yml"
        settings.write_text(re.sub(r"(?m)^(# )?hand_in:.*\n", "", settings.read_text("utf-8")) + f"\nhand_in: {HAND_IN}\n", "utf-8")
        build(site, lambda _: None)
        with server("nginx", site / "out/web", site / "out/headers") as to:
            page = browser.new_context(viewport=PHONE, is_mobile=True, has_touch=True).new_page()
            page.clock.set_fixed_time(datetime.datetime(2026, 5, 1, 13, 56).astimezone())
            page.goto(f"{to.address}/training/lessons/standing-on-the-bench.html")
            page.locator(".sq-pick").select_option("P-02")
            start(page)
            page.clock.set_fixed_time(datetime.datetime(2026, 5, 1, 14, 5).astimezone())
            play(page)
            page.get_by_role("button", name="Hand in", exact=True).click()
            page.locator(".sq-hand .hi-said", has_text="The server has it for your coordinator.").wait_for()
            page.evaluate("window.scrollTo(0, document.querySelector('.sq-result').getBoundingClientRect().top + scrollY - 60)")
            page.wait_for_timeout(400)
            return _taken(page)


def _strip(browser: Any, web: Path) -> bytes:
    """A scene in steps as it stands on paper."""
    page = browser.new_page(viewport={"width": 760, "height": 1056})
    page.goto((web / "lessons/loading-order.html").as_uri())
    page.emulate_media(media="print")
    page.wait_for_timeout(300)
    data: bytes = page.locator('.sw-ways figure[data-way="right"]').first.screenshot()
    page.close()
    return data


def _number(browser: Any, web: Path) -> bytes:
    page = browser.new_context(viewport=PHONE, color_scheme="dark").new_page()
    page.goto((web / "lessons/slot-front-to-back.html").as_uri())
    page.locator(".sw-table button.sw-num.us:visible").last.click()
    page.wait_for_timeout(300)
    return _taken(page)


def _quiz(browser: Any, web: Path) -> bytes:
    page = browser.new_context(viewport=PHONE).new_page()
    page.goto((web / "lessons/standing-on-the-bench.html").as_uri())
    page.get_by_role("button", name="Practise without an id").click()
    page.evaluate("window.scrollTo(0, 0)")
    page.wait_for_timeout(300)
    page.evaluate("window.scrollTo(0, document.querySelector('seatwork-quiz').getBoundingClientRect().top + scrollY - 60)")
    page.wait_for_timeout(300)
    return _taken(page)


def _paper(browser: Any, sheet: Path) -> bytes:
    """A sheet as it lies on Letter, with the margins that paper gives it."""
    page = browser.new_page(viewport={"width": 816 - 86, "height": 1056 - 86})
    page.emulate_media(media="print")
    page.goto(sheet.as_uri())
    page.add_style_tag(content="html { padding: 43px; background: #fff; }")
    page.set_viewport_size({"width": 816, "height": 1056})
    page.add_style_tag(content=".sheet { min-height: 960px !important; }")
    return _taken(page)


def _sheets(browser: Any, web: Path) -> bytes:
    thumbs = (base64.b64encode(_paper(browser, f)).decode() for f in sorted((web / "sheets").glob("*.html")))
    page = browser.new_page(viewport={"width": 1400, "height": 400})
    images = "".join(f'<img style="width:100%" src="data:image/png;base64,{t}">' for t in thumbs)
    page.set_content('<body style="margin:8px;background:#ddd;display:grid;grid-template-columns:repeat(10,1fr);gap:6px">' + images)
    page.wait_for_timeout(500)
    return _taken(page, whole=True)


def _drawings(browser: Any, web: Path) -> bytes:
    page = browser.new_page(viewport={"width": 1400, "height": 400})
    style = (folder_of(web) / "assets/drawing.css").read_text("utf-8")
    cells = "".join(f"<div>{svg}</div>" for svg in _first_drawings(sorted((web / "lessons").glob("*.html"))))
    page.set_content(
        f"<!doctype html><html data-units='us'><style>{style} .si {{ display: none }} body {{ margin: 8px; background: #fff;"
        " font-family: sans-serif; display: grid; grid-template-columns: repeat(6, 1fr); grid-auto-rows: 232px; gap: 10px }"
        " div { border: 1px solid #bbb; padding: 4px; overflow: hidden }"
        f" svg {{ width: 100% !important; height: 220px !important }}</style><body>{cells}"
    )
    page.wait_for_timeout(300)
    return _taken(page, whole=True)


def _first_drawings(lessons: Iterable[Path]) -> Iterable[str]:
    """The first drawing of each lesson; of a pair the right way, of a scene in steps its last one."""
    svg = r'.*?(<svg xmlns[^>]* class="drawing".*?</svg>)'
    for lesson in lessons:
        html = lesson.read_text("utf-8")
        for figure in (r'<figure class="sw-drawing[^>]* data-way="right">', '<figure class="sw-drawing[^>]*>'):
            if found := re.search(figure + svg, html, re.DOTALL):
                yield found[1]
                break


def _taken(page: Any, *, whole: bool = False) -> bytes:
    data: bytes = page.screenshot(full_page=whole)
    page.close()
    return data


if __name__ == "__main__":
    for path in make(Path(sys.argv[1] if len(sys.argv) > 1 else "site_demo"), sys.argv[2:]):
        print(path)
