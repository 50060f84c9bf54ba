"""A reader picks their machine once; tables then show it. With scripts, without, by keyboard, on paper."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import ROOT
from tests.pages.test_access import AXE, TAGS

LOOK = ROOT / "content" / "look"
KINDS = ("dozer", "excavator")


def long_page(folder: Path, count: int = 200) -> str:
    """A page with a table of many machines, as a lesson writes it; its address. All invented."""
    rows: list[list[Any]] = [[f"M-{i:03}", f"M-{i:03} {KINDS[i % 2].capitalize()} of area {i // 10}", True] for i in range(count)]
    rows[7][1] = "M-007 Pelle à chenilles"
    (folder / "assets").mkdir(parents=True)
    for name in ("words.js", "seatwork.js", "my-machine.js", "seatwork.css"):
        shutil.copy(LOOK / name, folder / "assets" / name)
    data = json.dumps({"site": "x", "machines": rows})
    (folder / "assets" / "machines.js").write_text(f"window.seatworkMachines = {data};\n", "utf-8")
    body = "".join(f'<tr data-row="{i}"><th scope="row">{n}</th><td>{i[2:]} ft</td></tr>' for i, n, _ in rows)
    (folder / "lessons").mkdir()
    page = folder / "lessons" / "long.html"
    page.write_text(
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Long</title>'
        '<link rel="stylesheet" href="../assets/seatwork.css">'
        + "".join(f'<script src="../assets/{n}.js"></script>' for n in ("words", "seatwork", "machines", "my-machine"))
        + '</head><body class="md-typeset"><main><h1>Long</h1><div class="sw-bar" data-default-units="us"></div>'
        '<div class="sw-scroll" data-over="any" tabindex="0" role="region" aria-label="All"><table class="sw-table"><caption>All</caption>'
        f'<thead><tr><th scope="col">Machine</th><th scope="col">Stick</th></tr></thead><tbody>{body}</tbody></table></div></main></body></html>',
        "utf-8",
    )
    return page.as_uri()


@pytest.fixture
def phone(browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True)
    yield context.new_page()
    context.close()


def names(page: Any) -> list[str]:
    return list(page.locator("tbody tr:visible th").all_inner_texts())


def test_a_long_table_is_found_by_typing_and_shows_all_when_asked(tmp_path: Path, phone: Any) -> None:
    phone.goto(long_page(tmp_path / "web"))
    said, box = phone.locator(".sw-narrow [role=status]"), phone.get_by_label("Find a machine")
    assert len(names(phone)) == 12 and said.inner_text() == "12 of 200 shown"
    phone.get_by_role("button", name="Show all 200").click()
    assert len(names(phone)) == 200 and said.inner_text() == "200 of 200 shown"
    phone.get_by_role("button", name="Show the first 12").click()
    assert len(names(phone)) == 12
    box.fill("EXC m-19")
    assert len(names(phone)) == 5 and said.inner_text() == "5 of 200 shown"
    box.fill("pelle a")  # accents make no difference
    assert names(phone) == ["M-007 Pelle à chenilles"]
    box.fill("crane")
    assert names(phone) == [] and said.inner_text() == "None of the 200 has that in its name"
    box.fill("")
    assert len(names(phone)) == 12


def test_the_picked_machine_is_shown_alone_then_first_and_is_remembered(tmp_path: Path, phone: Any) -> None:
    address = long_page(tmp_path / "web")
    asked: list[str] = []
    phone.on("request", lambda r: asked.append(r.url))
    phone.goto(address)
    phone.get_by_text("My machine: pick it").click()
    phone.get_by_label("Type part of its name").fill("m-150")
    assert phone.locator(".sw-mine [role=status]").inner_text() == "1 machine to pick from"
    phone.keyboard.press("Enter")
    assert phone.locator("[data-machine='M-150']").get_attribute("aria-pressed") == "true"
    phone.keyboard.press("Escape")
    assert phone.locator(".sw-mine summary").inner_text() == "My machine: M-150 Dozer of area 15"
    assert phone.evaluate("document.activeElement.tagName") == "SUMMARY"
    assert names(phone) == ["M-150 Dozer of area 15"]
    assert phone.locator(".sw-cab a").get_attribute("href").endswith("/sheets/cab-m-150.html")
    phone.get_by_role("button", name="Show all 200").click()
    assert names(phone)[:3] == ["M-150 Dozer of area 15", "M-000 Dozer of area 0", "M-001 Excavator of area 0"]
    assert len(names(phone)) == 200
    phone.reload()
    assert names(phone) == ["M-150 Dozer of area 15"]
    phone.locator(".sw-mine summary").click()
    phone.locator("[data-machine='M-003']").click()  # runs two machines
    assert names(phone) == ["M-003 Excavator of area 0", "M-150 Dozer of area 15"]
    for id_ in ("M-003", "M-150"):
        phone.locator(f"[data-machine='{id_}']").click()
    assert names(phone)[0] == "M-000 Dozer of area 0" and len(names(phone)) == 12  # the order is as it was
    assert all(u.startswith("file:") for u in asked)


def test_what_is_shown_is_printed_and_says_how_much_of_it(tmp_path: Path, phone: Any) -> None:
    phone.goto(long_page(tmp_path / "web"))
    phone.locator(".sw-mine summary").click()
    phone.locator("[data-machine='M-007']").click()
    phone.emulate_media(media="print")
    assert names(phone) == ["M-007 Pelle à chenilles"]
    assert phone.locator(".sw-found:visible").all_inner_texts() == ["1 of 200 shown: my machine"]
    assert not phone.locator("button:visible, input:visible, .sw-mine:visible").count()


def test_by_keyboard_and_by_thumb(tmp_path: Path, phone: Any) -> None:
    phone.goto(long_page(tmp_path / "web"))
    phone.keyboard.press("Tab")
    phone.keyboard.press("Enter")
    phone.keyboard.press("Tab")
    phone.keyboard.type("m-009")
    phone.keyboard.press("Tab")
    phone.keyboard.press("Space")
    assert names(phone) == ["M-009 Excavator of area 0"]
    phone.get_by_label("Type part of its name").fill("")
    small = phone.evaluate(
        """[...document.querySelectorAll('summary, button, input, .sw-cab a')].filter(e => e.checkVisibility() &&
           Math.min(e.getBoundingClientRect().height, e.getBoundingClientRect().width) < 44).map(e => e.outerHTML)"""
    )
    assert small == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.parametrize("store", ["none", "spoilt"])
def test_without_a_store_and_with_a_spoilt_one(tmp_path: Path, phone: Any, store: str) -> None:
    script = {
        "none": "Object.defineProperty(window, 'localStorage', {get() { throw new Error('blocked'); }})",
        "spoilt": 'localStorage.setItem(\'seatwork-my-machines|x\', \'["gone", 7, "__proto__", "M-001", "M-001"]\')',
    }[store]
    phone.add_init_script(script)
    errors: list[str] = []
    phone.on("pageerror", lambda e: errors.append(str(e)))
    phone.goto(long_page(tmp_path / "web"))
    if store == "spoilt":
        assert names(phone) == ["M-001 Excavator of area 0"]
    else:
        phone.locator(".sw-mine summary").click()
        phone.locator("[data-machine='M-002']").click()
        assert names(phone) == ["M-002 Dozer of area 0"]
    assert not errors


def test_without_scripts_every_row_shows(tmp_path: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(long_page(tmp_path / "web"))
    assert len(names(page)) == 200 and not page.locator(".sw-mine, .sw-narrow").count()
    context.close()


def test_the_demo_offers_its_machines_and_their_cards(demo: Path, phone: Any) -> None:
    web = demo / "out/web"
    phone.goto((web / "lessons/bench-height.html").as_uri())
    prose = phone.locator("#the-numbers ~ p").first.inner_text()
    phone.locator(".sw-mine summary").click()
    assert phone.locator(".sw-mine [role=status]").inner_text() == "13 machines to pick from"
    phone.get_by_role("button", name="E-3 Trench excavator").click()
    assert [n.split()[0] for n in names(phone)] == ["E-3"]
    phone.locator(".sw-shows").get_by_text("Worked for your machine, E-3 Trench excavator").wait_for()
    now = phone.locator("#the-numbers ~ p").first.inner_text()
    # machines.csv has the sticks; the site's own limit, 10 ft too, stays
    assert prose.count("10 ft") == 2 and prose.index("it gives a bench 10 ft high") < prose.index("no bench is higher than 10 ft")
    assert now == prose.replace("E-2 Large excavator", "E-3 Trench excavator").replace("a bench 10 ft", "a bench 8 ft")
    phone.get_by_role("link", name="Its cab card").click()
    assert "E-3" in phone.locator("h1").inner_text()
    phone.goto((web / "lessons/slot-front-to-back.html").as_uri())
    assert not phone.locator(".sw-narrow:visible").count()  # no excavator in a dozer's table: all rows show


def test_what_scripts_add_has_no_violation(demo: Path, tmp_path: Path, browser: Any) -> None:
    """The open list, a narrowed table, a word's hint and an operator's marks, light and dark."""
    long_table = long_page(tmp_path / "web")
    wrong: list[str] = []
    for scheme in ("light", "dark"):
        context = browser.new_context(viewport={"width": 360, "height": 740}, color_scheme=scheme)
        page = context.new_page()
        page.add_init_script(AXE)

        def judge(state: str, page: Any = page, scheme: str = scheme) -> None:
            options = {"resultTypes": ["violations"], "runOnly": {"type": "tag", "values": TAGS}}
            found = page.evaluate("options => axe.run(document, options)", options)["violations"]
            wrong.extend(f"{scheme}, {state}: {v['id']} {[n['html'][:120] for n in v['nodes'][:3]]}" for v in found)

        page.goto((demo / "out/web/lessons/bench-height.html").as_uri())
        page.add_style_tag(content="* { transition: none !important } .sw-pop, .sw-quiz { display: none !important }")
        page.locator(".sw-mine summary").click()
        page.locator("[data-machine='E-3']").click()
        page.locator(".sw-term").first.focus()
        page.keyboard.press("Tab")
        page.keyboard.press("Shift+Tab")
        assert page.get_by_role("tooltip").is_visible()
        judge("lesson")
        page.evaluate(
            """localStorage.setItem('seatwork-quiz|juniper-bench|' + encodeURIComponent(
               document.querySelector('seatwork-quiz').dataset.edition) + '|stop-work|C-01', '{"finished":[{"passed":true}]}')"""
        )
        page.goto((demo / "out/web/operator.html").as_uri())
        assert page.locator(".sw-passed:not(:empty)").count()
        judge("operator")
        if scheme == "light":  # the page stands alone: it has no dark scheme
            page.goto(long_table)
            page.get_by_label("Find a machine").fill("m-19")
            judge("long table")
        context.close()
    assert not wrong, wrong
