"""A lesson shown for the reader's own machine: its scripts read back, redone, and played in a browser."""

from __future__ import annotations

import gzip
import html
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from generator.book import mine
from generator.book.content import Content
from generator.book.tree import render_tree
from generator.jobsite.model import JobSite
from generator.publish.build import load
from generator.publish.edition_folder import folder_of
from generator.publish.offline import WORKER
from tests.conftest import LESSONS, copy_demo
from tests.pages import redo

LESSON = "bench-height"
MACHINES = "seatwork-my-machines|juniper-bench"


def scripts(demo: Path) -> dict[str, dict[str, Any]]:
    """What each script of the demo hands to the page, by its name below the web folder."""
    web, found = folder_of(demo / "out/web"), {}
    for path in sorted((web / mine.FOLDER).rglob("*.js")):
        text = path.read_text("utf-8")
        assert text.startswith("window.seatworkMine(") and text.endswith(");\n")
        found[path.relative_to(web).as_posix()] = json.loads(text[len("window.seatworkMine(") : -3])
    return found


def words(markup: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", markup)).split())


def test_each_machine_of_a_lessons_kind_has_a_script(demo: Path) -> None:
    names = set(scripts(demo))
    assert {f"mine/{m}/bench-height.js" for m in ("e-1", "e-3", "t-2", "t-3", "t-4")} <= names
    assert {f"mine/{m}/bench-height-sheet.js" for m in ("e-1", "e-3")} <= names
    assert not {n for n in names if n.endswith("/bench-height.js")} & {f"mine/{m}/bench-height.js" for m in ("e-2", "d-1", "c-1")}
    # a lesson about trucks is worked for each other truck
    for lesson in ("haul-road", "at-the-tip"):
        assert {n for n in names if n.endswith(f"/{lesson}.js")} == {f"mine/{t}/{lesson}.js" for t in ("t-2", "t-3", "t-4")}


def test_every_line_of_working_can_be_redone(demo: Path) -> None:
    lines = [(n, line) for n, d in scripts(demo).items()
             for part in (*d.get("pieces", {}).values(), *d.get("popups", ())) for line in redo.lines(part)]  # fmt: skip
    assert len(lines) > 1000
    assert [(n, wrong) for n, line in lines if (wrong := redo.disagreement(line)) is not None] == []


def test_every_number_of_a_script_is_in_the_ledger_and_the_other_way_round(demo: Path) -> None:
    """A number's own button; a ledger's figure stands somewhere in its script, or is as the page has it."""
    ledger = json.loads((demo / "out/ledger.json").read_text("utf-8"))["numbers"]
    entered: dict[str, set[str]] = {}
    for e in ledger:
        entered.setdefault(e["page"], set()).update((e["us"], e["metric"]))
    found = scripts(demo)
    assert {p for p in entered if p.startswith("mine/")} <= set(found)
    # the blades of two dozers are wider than the demo's slot, and one excavator may not lift what the demo's job lifts
    whys = {f"mine/{m}/slot-front-to-back.js": "a blade 1[34] ft wide does not fit a slot 12 ft wide" for m in ("d-3", "d-4")}
    whys["mine/e-3/lifting-with-the-bucket.js"] = "what hangs on the machine is all that the chart allows there, or more"
    heavy = "the trailer's axles would carry more than they may on this way"
    whys |= {f"mine/{m}/moving-the-machine.js": heavy for m in ("d-3", "e-2")}
    assert {n for n, data in found.items() if "why" in data} == set(whys)
    for name, data in found.items():
        if "why" in data:
            assert "pieces" not in data and re.search(whys[name], data["why"]), name
            continue
        printed = re.findall(r'class="sw-num[^"]*"[^>]*>(.*?)</button>', "".join(data["pieces"].values()))
        for number in printed:
            assert words(number) in {html.unescape(v) for v in entered[name]} | {words(v) for v in entered[name]}, (name, number)


def test_a_script_holds_only_what_is_otherwise_than_on_the_page(demo: Path) -> None:
    for name, data in scripts(demo).items():
        if data.get("sheet") or "why" in data:
            continue
        page = (demo / f"out/web/lessons/{data['lesson']}.html").read_text("utf-8")
        places = re.findall(r'data-piece="([^"]+)"', page)
        assert set(data["pieces"]) <= {html.unescape(p) for p in places}, name
        opened = set(re.findall(r'popovertarget="(m\d+)"', "".join(data["pieces"].values())))
        assert opened == set(re.findall(r'<div id="(m\d+)"', "".join(data["popups"]))), name
        there = set(re.findall(r'id="(w\d+)"', page))
        assert set(re.findall(r'popovertarget="(w\d+)"', "".join(data["pieces"].values()))) <= there, name


# bytes, squeezed as a server sends them: a lesson with its pictures, its sheet, both for other machines, and the words a voice reads
A_LESSON = 118_000


def test_what_a_phone_keeps_stays_light(demo: Path) -> None:
    """The files that the offline worker fetches: so many bytes for each lesson, so that a longer handbook may weigh more."""
    web = demo / "out/web"
    listed = re.search(r"^var FILES = (\{.*?\});$", (web / WORKER).read_text("utf-8"), re.DOTALL | re.MULTILINE)
    assert listed is not None
    sizes = {n: len(gzip.compress((web / n).read_bytes(), 6)) for n in json.loads(listed[1])}
    assert {f"lessons/{lesson}.html" for lesson in LESSONS} <= set(sizes) and any(n.endswith("/search/search_index.json") for n in sizes)
    assert sum(sizes.values()) < A_LESSON * len(LESSONS)
    assert max(s for n, s in sizes.items() if f"/{mine.FOLDER}/" in n) < 20_000


def test_picking_a_machine_changes_the_lesson_and_its_sheet(demo: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda e: faults.append(str(e)))
    page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
    assert not page.locator(".sw-shows").is_visible()
    bench = page.locator('[data-piece="n bench"]').first  # as high as the stick is long
    assert bench.inner_text() == "10 ft"
    page.locator(".sw-mine > summary").click()
    page.locator('[data-machine="E-1"]').click()
    said = page.locator(".sw-shows [role=status]")
    said.get_by_text("Worked for your machine, E-1 Middle excavator").wait_for()
    assert bench.inner_text() == "9.5 ft"  # machines.csv
    bench.locator("button:visible").click()
    opened = page.locator("[popover]:popover-open").inner_text()
    assert "as the stick is long" in opened and "9.5" in opened and "10" not in opened
    page.keyboard.press("Escape")
    page.locator(".sw-shows button").click()
    assert bench.inner_text() == "10 ft" and "Shown as printed" in said.inner_text()
    page.locator(".sw-shows button").click()
    assert bench.inner_text() == "9.5 ft"
    page.locator("a[data-sheet]").first.click()
    page.get_by_text("Worked for E-1 Middle excavator.").wait_for()
    assert "For the E-1 Middle excavator" in page.locator("body").inner_text()
    page.goto((demo / "out/web/lessons/side-slope-limits.html").as_uri())
    picture = page.locator('[data-piece="drawing drawing"]')
    picture.get_by_text("Gauge 7.8 ft", exact=True).wait_for()  # machines.csv; 6.5 ft of the dozer that the page is printed for
    assert "E-1 Middle excavator" in picture.locator("figcaption").inner_text() and "6.5 ft" not in picture.inner_text()
    page.goto((demo / "out/web/lessons/slot-front-to-back.html").as_uri())
    assert said.inner_text() == "This lesson is about dozers. It is worked for D-1 Middle dozer."
    page.evaluate(f"localStorage.setItem('{MACHINES}', '[\"D-3\"]')")
    page.reload()
    # its blade is wider than the site's slot: the lesson stays as printed and says why
    said.get_by_text("This lesson is still worked for D-1 Middle dozer, not for your machine").wait_for()
    assert "D-3 Large dozer: a blade 14 ft wide does not fit a slot 12 ft wide." in said.inner_text()
    assert page.locator('[data-piece="machine.name"]').first.inner_text() == "D-1 Middle dozer"
    page.evaluate(f"localStorage.setItem('{MACHINES}', '[\"D-2\"]')")
    page.reload()
    said.get_by_text("Worked for your machine, D-2 Small dozer").wait_for()
    assert page.locator(".sw-worked-for").count() == 1 and "under them stay as they are" in said.inner_text()
    assert page.locator('[data-piece="machine.name"]').first.inner_text() == "D-2 Small dozer"
    assert faults == []
    context.close()


def _site(folder: Path, *changes: tuple[str, str, str]) -> tuple[Content, JobSite]:
    copy_demo(folder)
    for file, old, new in changes:
        text = (folder / file).read_text("utf-8")
        assert text.count(old) == 1, old
        (folder / file).write_text(text.replace(old, new), "utf-8")
    content, site = load(folder)
    return replace(content, lessons={LESSON: content.lessons[LESSON]}), site  # one lesson is enough, and quick


def test_a_machine_without_the_figures_keeps_the_lead_machine_and_says_why(tmp_path: Path) -> None:
    content, site = _site(tmp_path / "s")
    machines = tuple(
        replace(m, values={k: v for k, v in m.values.items() if k != "stick_length"}) if m.id == "E-3" else m for m in site.machines
    )
    site = replace(site, machines=machines)
    docs = render_tree(content, site).docs
    text = docs["mine/e-3/bench-height.js"]
    assert isinstance(text, str) and '"pieces"' not in text
    assert '"why":"E-3 Trench excavator has no stick_length"' in html.unescape(text)
    assert "mine/e-3/bench-height-sheet.js" not in docs


def test_a_lesson_and_a_role_may_be_led_by_another_machine(tmp_path: Path) -> None:
    content, site = _site(
        tmp_path / "s",
        ("settings.yml", "  material: common-earth\n", "  material: common-earth\n  lessons: {bench-height: E-1}\n"),
        ("settings.yml", "    title: Dozer operator\n", "    title: Dozer operator\n    lead: D-2\n"),
    )
    docs = render_tree(content, site).docs
    assert "For the E-1 Middle excavator" in html.unescape(str(docs["sheets/bench-height.html"]))
    assert "mine/e-2/bench-height.js" in docs and "mine/e-1/bench-height.js" not in docs
    assert '"leads":{"dozer-operator":["D-2"]}' in str(docs["assets/machines.js"])


@pytest.mark.parametrize(("old", "new", "said"), [
    ("  material: common-earth\n", "  material: common-earth\n  lessons: {bench-height: E-9}\n", "no machine or truck is 'E-9'"),
    ("  material: common-earth\n", "  material: common-earth\n  lessons: {bench-hight: E-1}\n", "there is no lesson 'bench-hight'"),
    ("    title: Dozer operator\n", "    title: Dozer operator\n    lead: D-9\n", "no machine or truck is 'D-9'"),
])  # fmt: skip
def test_a_lead_that_is_not_there_is_told(tmp_path: Path, old: str, new: str, said: str) -> None:
    with pytest.raises(Exception, match=re.escape(said)):
        _site(tmp_path / "s", ("settings.yml", old, new))


def test_a_lead_of_another_kind_is_told_with_its_line(tmp_path: Path) -> None:
    content, site = _site(
        tmp_path / "s", ("settings.yml", "  material: common-earth\n", "  material: common-earth\n  lessons: {bench-height: D-1}\n")
    )
    told = [str(p) for p in render_tree(content, site).problems]
    assert any(re.match(r"settings\.yml:\d+: .*bench-height is about excavator, and D-1 does not fit it", t) for t in told), told


def test_of_a_very_large_fleet_those_the_crew_runs_come_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mine, "MOST", 2)
    content, site = _site(tmp_path / "s")
    run = {i for person in site.crew for i in person.machines}
    names = {n.split("/")[1].upper() for n in render_tree(content, site).docs if n.startswith("mine/") and n.endswith("/bench-height.js")}
    assert len(names) == 2 and names <= run
