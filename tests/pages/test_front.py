"""The pages by reader, the unit switch on every kind of page, and what reaches a page without a lesson's number call."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import yaml

from generator.book.content import content_folder, read_content
from generator.reference.checks import GROUPS
from tests.conftest import LESSONS
from tests.outside.report import rests_on


def _numbers(demo: Path) -> list[dict[str, Any]]:
    return list(json.loads((demo / "out/ledger.json").read_text("utf-8"))["numbers"])


def test_each_role_with_its_machines_lessons_and_minutes(demo: Path) -> None:
    html = (demo / "out/web/operator.html").read_text("utf-8")
    roles = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["roles"]
    minutes = {i: x.minutes for i, x in read_content(content_folder()).lessons.items()}
    for id_, role in roles.items():
        part = html[html.index(f'id="role-{id_}"') :].partition("</ol>")[0]
        assert re.findall(r'data-lesson="([^"]+)"', part) == role["lessons"]
        total = sum(minutes[i] for i in role["lessons"])
        assert f"{len(role['lessons'])} lessons, {total} minutes to read in all" in part
        card = html[html.index(f'class="sw-card" href="#role-{id_}"') :].partition("</a>")[0]
        assert all((f"{kind}s" if kind != "on foot" else "Works on foot.") in card for kind in role["machines"])


def test_marks_of_who_works_here(demo: Path, browser: Any) -> None:
    settings = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))
    edition, lessons = settings["edition"], settings["roles"]["dozer-operator"]["lessons"]
    of, second = len(lessons), read_content(content_folder()).lessons[lessons[1]].title
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    address = (demo / "out/web/operator.html").as_uri()
    page.goto(address)
    assert page.locator(".sw-whose").text_content() == "" and page.locator(".sw-next").first.text_content() == ""
    page.locator("a.sw-card[data-role=dozer-operator]").click()  # nothing is passed yet: where to begin
    begin = page.locator(".sw-role[data-role=dozer-operator] .sw-next")
    assert begin.inner_text() == "Start with: Anyone may stop the work"
    assert [role.get_attribute("data-role") for role in page.locator(".sw-role:has(.sw-next:not(:empty))").all()] == ["dozer-operator"]

    def passed(lesson: str, crew: str, ok: bool) -> None:
        page.evaluate(
            "([key, ok]) => localStorage.setItem(key, JSON.stringify({v: 1, finished: [{passed: false}, {passed: ok}]}))",
            [f"seatwork-quiz|juniper-bench|{edition}|{lesson}|{crew}", ok],
        )

    passed("stop-work", "C-01", True)
    passed("reading-grades", "C-01", False)
    page.evaluate(
        "localStorage.setItem('seatwork-quiz|juniper-bench|an-old-one|reading-grades|C-01', '{\"finished\":[{\"passed\":true}]}')"
    )
    page.reload()
    role = page.locator(".sw-role").first
    assert role.locator(".sw-next").inner_text() == f"1 of {of} passed. Next: {second}"
    assert [i.get_attribute("data-lesson") for i in role.locator("li:has(.sw-passed:not(:empty))").all()] == ["stop-work"]
    assert "C-01" in page.locator(".sw-whose").inner_text()
    passed("reading-grades", "C-02", True)  # a second person: nobody's marks until one is at work in this tab
    page.reload()
    assert "Several people" in page.locator(".sw-whose").inner_text() and not page.locator(".sw-next").first.text_content()
    page.evaluate("sessionStorage.setItem('seatwork-quiz-crew|juniper-bench', 'C-02')")
    page.reload()
    assert role.locator(".sw-next").inner_text() == f"1 of {of} passed. Next: Anyone may stop the work"
    context.close()


def test_the_coordinators_counts_are_those_of_the_tables_and_in_the_ledger(demo: Path) -> None:
    html = unescape((demo / "out/web/coordinator.html").read_text("utf-8"))
    numbers = _numbers(demo)
    rows = {
        t: len((demo / f"{t}.csv").read_text("utf-8-sig").strip().splitlines()) - 1 for t in ("machines", "trucks", "materials", "crew")
    }
    counts = {n["what"]: n for n in numbers if n["page"] == "coordinator.html"}
    for what, count in {**rows, "lessons": len(LESSONS), "numbers in the ledger": len(numbers)}.items():
        assert counts[what]["us"] == f"{count:,}" and f"{count:,} {what}" in html
        assert counts[what]["sources"] == ["site tables"] and counts[what]["origin"]
    reference = unescape((demo / "out/web/reference/index.html").read_text("utf-8"))
    for name, count in rests_on().items():  # as `make checks` counts them
        assert counts[GROUPS[name]]["us"] == f"{count:,}"
        assert f"{count:,} {GROUPS[name]}" in html and f"{count:,} {GROUPS[name]}" in reference


def test_every_page_that_has_both_systems_has_the_switch(demo: Path) -> None:
    pages = [p for f in ("web", "mentor") for p in sorted((demo / "out" / f).rglob("*.html"))]
    seen = set()
    for path in pages:
        text = path.read_text("utf-8")
        if re.search(r'class="(?:[^"]* )?(?:us|si)(?: [^"]*)?"', text):
            assert text.count('data-set-units="us"') == 1 and text.count('data-set-units="metric"') == 1, path
            seen.add(path.parent.name)
    assert seen >= {"lessons", "sheets", "keys"}


def test_what_is_shown_is_printed(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 1000, "height": 800})
    out = demo / "out"
    for name in (
        "web/lessons/bench-height.html",
        "web/sheets/bench-height.html",
        "web/sheets/cab-e-1.html",
        "mentor/keys/bench-height.html",
    ):
        page.emulate_media(media="screen")
        page.goto((out / name).as_uri())
        page.locator("[data-set-units='metric']").first.click()
        page.emulate_media(media="print")
        shows = page.evaluate(
            """['us', 'si'].map(s => [...document.querySelectorAll('.' + s)].filter(e => e.getClientRects().length &&
               !e.closest('.sw-panel-box, [popover]')).length)"""
        )
        assert shows[0] == 0 and shows[1] > 0, (name, shows)
        assert not page.locator("[data-set-units]:visible").count(), name
    page.close()


def test_figures_of_drawings_are_in_the_ledger(demo: Path) -> None:
    """Every text of a scale bar, and every step a drawing takes from a table of steps."""
    numbers = _numbers(demo)
    drawn = {(n["page"], n["us"]) for n in numbers if n["place"].startswith(("drawing", "scale"))}
    drawn |= {(n["page"], n["metric"]) for n in numbers if n["place"].startswith(("drawing", "scale"))}
    bars = 0
    for path in sorted((demo / "out/web/lessons").glob("*.html")):
        svgs = "".join(re.findall(r"<svg xmlns.*?</svg>", path.read_text("utf-8"), re.DOTALL))
        for text in re.findall(r'<text[^>]*class="[^"]*scale[^"]*"[^>]*>(.*?)</text>', svgs, re.DOTALL):
            said = unescape(re.sub(r"<[^>]+>", "", text)).strip()
            if re.fullmatch(r"[\d.,]+ (?:ft|in|m|cm|mm)", said):
                bars += 1
                assert (f"lessons/{path.name}", said) in drawn, (path.name, said)
    assert bars > 40
    steps = [n for n in numbers if n["what"] == "starts from the spoil end"]
    assert len(steps) > 10
    assert all(n["calculation"] == "dozing.pass_plan" and n["inputs"]["us"] and n["sources"] and n["si"] for n in steps)


def test_the_panels_first_figures_are_in_the_ledger_as_the_browser_shows_them(demo: Path, browser: Any) -> None:
    numbers = [n for n in _numbers(demo) if n["place"].startswith("change a number")]
    results = [n for n in numbers if n["calculation"]]
    with_panel = {f"lessons/{i}.html" for i, lesson in read_content(content_folder()).lessons.items() if lesson.panel is not None}
    assert len(with_panel) >= 5 and {n["page"] for n in results} == with_panel
    assert all(n["origin"] for n in numbers if not n["calculation"])
    page = browser.new_page()
    for n in results[::2]:
        page.goto((demo / "out/web" / n["page"]).as_uri())
        for system in ("metric", "us"):
            page.locator(f".sw-bar [data-set-units='{system}']").click()
            assert page.locator(".sw-panel-answer b").inner_text() == n[system], (n["page"], system)
            moved = [m[system] for m in numbers if m["page"] == n["page"] and not m["calculation"]]
            assert sorted(page.locator("seatwork-panel output").all_inner_texts()) == sorted(moved)
    page.close()


def test_the_first_page_leads_to_every_lesson(demo: Path) -> None:
    html = (demo / "out/web/index.html").read_text("utf-8")
    article = html[html.index("<article") : html.index("</article>")]
    assert set(re.findall(r'href="lessons/([a-z-]+)\.html"', article)) == set(read_content(content_folder()).lessons)


def test_who_reads_dark_pages_prints_light_ones(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 1000, "height": 800}, color_scheme="dark")
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    look = """() => [getComputedStyle(document.body).colorScheme, getComputedStyle(document.documentElement).colorScheme,
                     getComputedStyle(document.querySelector('.sw-drawing .drawing .paper')).fill]"""
    assert page.evaluate(look)[0] == "dark"
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate(look) == ["light", "light", "rgb(255, 255, 255)"]
    page.close()


def test_the_page_for_a_lost_reader_leads_to_the_first_page(demo: Path, browser: Any) -> None:
    """Whatever page is missing, in whatever folder the handbook stands, under its own policy."""
    policy = (demo / "out/headers/policy.txt").read_text("utf-8").strip()
    body = (demo / "out/web/404.html").read_text("utf-8")
    context = browser.new_context()
    context.route(
        "http://handbook.test/**",
        lambda route: route.fulfill(status=404, body=body, content_type="text/html", headers={"Content-Security-Policy": policy}),
    )
    page = context.new_page()
    for asked, first in (
        ("lessons/gone.html", "index.html"), ("training/site/lessons/gone.html", "training/site/index.html"),
        ("training/sheets/cab-x.html", "training/index.html"), ("training/gone.html", "training/index.html"),
    ):  # fmt: skip
        page.goto(f"http://handbook.test/{asked}")
        assert page.get_by_role("link").evaluate("a => a.href") == f"http://handbook.test/{first}"
    context.close()


def test_a_check_of_a_calculation_is_read_on_a_phone_without_pushing_it_aside(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    seen = 0
    for path in sorted((demo / "out/web/reference").glob("*.html")):
        page.goto(path.as_uri())
        wide = page.evaluate("[...document.querySelectorAll('.sw-scroll:has(.sw-checks)')].map(e => e.scrollWidth - e.clientWidth)")
        assert not any(over > 0 for over in wide), (path.name, wide)
        seen += len(wide)
        # its source stands above its figures, as wide as they are
        assert page.evaluate(
            """[...document.querySelectorAll('.sw-checks tbody tr')].every(
                 r => r.cells[0].offsetWidth > r.offsetWidth * 0.8 && r.cells[0].offsetTop < r.cells[1].offsetTop)"""
        ), path.name
        listed = page.locator(".sw-on-page a")
        assert listed.count() == (page.locator("article h2").count() if listed.count() else 0)
    assert seen > 50
    cell = page.locator("td[data-head]")
    page.goto((demo / "out/web/reference/soil.html").as_uri())
    assert cell.first.evaluate("e => getComputedStyle(e, '::before').content") == '"Source says"'
    page.close()


def test_ranges_of_inputs_are_printed_as_figures_are(demo: Path) -> None:
    html = unescape((demo / "out/web/reference/soil.html").read_text("utf-8")).replace("\u00a0", " ")
    assert "0.01 yd³ to 100,000,000 yd³<br>" in html
    for path in sorted((demo / "out/web/reference").glob("*.html")):
        cells = re.findall(r"<td>([^<]* to [^<]*)", unescape(path.read_text("utf-8")))
        assert not [c for c in cells if re.search(r"\d{5}|[a-z]\d|\ddeg", c)], path.name


def test_no_name_stands_twice_on_a_page(demo: Path) -> None:
    """A drawing's hatching is found by its id: the second of one id would take the first's, which may be hidden."""
    pages = sorted((demo / "out/web").rglob("*.html"))
    assert len(pages) > 40
    for path in pages:
        ids = re.findall(r'<[^>]*\sid="([^"]+)"', path.read_text("utf-8"))
        assert not {i for i in ids if ids.count(i) > 1}, path.name


def test_previous_and_next_stay_among_the_lessons(demo: Path, browser: Any) -> None:
    chapters = read_content(content_folder()).chapters
    first, last = chapters[0].lessons[0], chapters[-1].lessons[-1]
    page = browser.new_page()
    for lesson, way in ((first, "prev"), (last, "next")):
        page.goto((demo / f"out/web/lessons/{lesson}.html").as_uri())
        assert not page.locator(f".md-footer__link--{way}").is_visible()
        assert page.locator(f".md-footer__link--{'next' if way == 'prev' else 'prev'}").is_visible()
    page.close()


def test_one_slot_has_one_sum(demo: Path) -> None:
    """More than one lesson tells how far a dozer backs up in the site's slot: from the same figures."""
    given: dict[str, set[str]] = {}
    pages = set()
    for n in _numbers(demo):
        if n["calculation"] == "dozing.pass_plan":
            # the width of the blade is only held against that of the slot
            figures = {k: v for k, v in n["inputs"]["us"].items() if k != "blade_width"}
            given.setdefault(n["place"].partition(": ")[2], set()).add(json.dumps(figures, sort_keys=True))
            pages.add(n["page"])
    assert len(pages) >= 2
    assert all(len(found) == 1 for found in given.values()), given
