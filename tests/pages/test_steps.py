"""Scenes in steps in a browser, from disk: by touch, by keys, on the wall, with less motion, without a script, on paper."""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.book.drawn import Steps
from generator.book.filmed import pair_html, steps_html
from generator.book.words import both
from generator.drawing import Measure, stylesheet
from tests.conftest import ROOT
from tests.drawing.samples import FILMS

PHONE = {"width": 360, "height": 740}


def _film(way: str) -> tuple[str, Steps, str]:
    scene, arguments = FILMS["slot_passes_film"]
    ident = f"slot-{way}"
    film = scene(ident=ident, **arguments[1])
    return film.to_svg(), Steps.of(film), ident


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pair and a single scene in a page with the shipped styles and script."""
    look = ROOT / "content" / "look"
    pair = pair_html(
        [steps_html(*_film("wrong"), way="wrong", says="Back to front."), steps_html(*_film("right"), way="right", says="Front to back.")],
        f"Costs {both('9 ft', '3 m')}.",
    )
    alone = steps_html(*_film("alone"), caption="By itself.")
    html = (
        '<!doctype html><html lang="en" data-units="us"><head><meta charset="utf-8"><title>Steps</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<style>{(look / 'seatwork.css').read_text('utf-8')}{stylesheet()}{(look / 'steps.css').read_text('utf-8')}</style></head>"
        f'<body class="md-typeset" style="margin:16px">{alone}{pair}<script src="words.js"></script><script src="steps.js"></script></body></html>'
    )
    folder = tmp_path_factory.mktemp("steps")
    for name in ("words.js", "steps.js"):
        (folder / name).write_bytes((look / name).read_bytes())
    (folder / "page.html").write_text(html, "utf-8")
    return folder / "page.html"


@pytest.fixture
def opened(browser: Any, page_file: Path) -> Iterator[Any]:
    contexts = []

    def at(**how: Any) -> Any:
        context = browser.new_context(**how)
        contexts.append(context)
        page = context.new_page()
        page.goto(page_file.as_uri())
        return page

    yield at
    for context in contexts:
        context.close()


def step_of(figure: Any) -> int:
    return int(re.sub(r".*-s", "", figure.locator("use.now").get_attribute("href")))


def test_by_touch_each_control_is_as_large_as_a_thumb_and_does_what_it_says(opened: Any) -> None:
    page = opened(viewport=PHONE, has_touch=True)
    figure = page.locator("figure.sw-steps").first
    assert step_of(figure) == 1
    for control in (*figure.locator("button").all(), figure.locator("input")):
        box = control.bounding_box()
        assert box["height"] >= 44 and box["width"] >= 44
    figure.get_by_role("button", name="Next").tap()
    figure.get_by_role("button", name="Next").tap()
    assert step_of(figure) == 3
    figure.get_by_role("button", name="Back").tap()
    assert step_of(figure) == 2
    said = figure.locator(".sw-said")
    assert said.get_attribute("aria-live") == "polite"
    assert said.inner_text().startswith("Push 2 of 7: ")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_the_buttons_stay_where_they_are_from_step_to_step(opened: Any) -> None:
    """However many lines the words of a step take."""
    page = opened(viewport=PHONE, has_touch=True)
    figure = page.locator("figure.sw-steps").first
    longer = "says => document.querySelector('figure.sw-steps .sw-stage [data-step=\"4\"]').dataset.says = says"
    page.add_init_script("document.addEventListener('readystatechange', () => document.readyState === 'interactive' && "
                         f"({longer})('Push 4. ' + 'Many words. '.repeat(30)));")  # fmt: skip
    page.reload()
    tops = set()
    for _ in range(6):
        figure.get_by_role("button", name="Next").tap()
        tops.add(figure.locator(".sw-step-next").evaluate("b => Math.round(b.getBoundingClientRect().top + scrollY)"))
    said = figure.locator(".sw-said")
    assert said.evaluate("p => p.clientHeight") > 120
    assert re.search(r"\d\u00a0(ft|m)\b", said.evaluate("p => p.innerText"))  # a figure stays with its unit
    assert len(tops) == 1


def test_on_a_phone_the_wall_is_mostly_picture(opened: Any) -> None:
    page = opened(viewport=PHONE, has_touch=True)
    page.locator(".sw-ways > .sw-to-wall").tap()
    assert page.locator(".sw-wall-stage").bounding_box()["height"] > PHONE["height"] / 3
    assert not page.locator(".sw-wall-keys").is_visible()


def test_by_keys_and_never_past_an_end(opened: Any) -> None:
    page = opened(viewport={"width": 1200, "height": 900})
    figure = page.locator("figure.sw-steps").first
    figure.locator(".sw-stage").focus()
    for key, wanted in (("ArrowLeft", 1), ("ArrowRight", 2), ("End", 7), ("ArrowRight", 7), ("ArrowLeft", 6), ("Home", 1)):
        page.keyboard.press(key)
        assert step_of(figure) == wanted, key
    figure.locator("input").focus()
    page.keyboard.press("End")
    assert step_of(figure) == 7


def test_plays_to_the_end_one_at_a_time_and_can_be_stopped(opened: Any) -> None:
    page = opened(viewport={"width": 1200, "height": 900})
    page.clock.install()
    first, second = page.locator("figure.sw-steps").first, page.locator("figure[data-way=wrong]")
    first.get_by_role("button", name="Play").click()
    assert first.locator(".sw-said").get_attribute("aria-live") == "off"
    page.clock.run_for(3500)
    there = step_of(first)
    assert 2 <= there <= 4
    second.get_by_role("button", name="Play").evaluate("b => b.click()")
    page.clock.run_for(5000)
    assert step_of(first) == there and step_of(second) > 1
    second.get_by_role("button", name="Pause").evaluate("b => b.click()")
    there = step_of(second)
    page.clock.run_for(5000)
    assert step_of(second) == there
    first.get_by_role("button", name="Play").evaluate("b => b.click()")
    page.clock.run_for(30_000)
    assert step_of(first) == 7 and first.locator(".sw-said").get_attribute("aria-live") == "polite"


def test_with_less_motion_there_is_no_play_and_the_steps_stay(opened: Any) -> None:
    page = opened(viewport=PHONE, reduced_motion="reduce")
    figure = page.locator("figure.sw-steps").first
    assert not figure.locator(".sw-step-play").is_visible()
    figure.get_by_role("button", name="Next").click()
    assert step_of(figure) == 2


def _strip_is_shown(page: Any) -> None:
    figure = page.locator("figure.sw-steps").first
    items = figure.locator(".sw-strip li")
    assert items.count() == 6
    assert [item.get_attribute("value") for item in items.all()] == ["1", "2", "3", "5", "6", "7"]
    for item in items.all():
        assert item.is_visible() and item.locator("svg").bounding_box()["height"] > 60
        assert item.locator("p").inner_text().startswith("Push ")
    assert figure.locator(".sw-stage").bounding_box()["height"] <= 1


def test_without_a_script_six_steps_stand_there_and_both_ways(opened: Any) -> None:
    page = opened(viewport=PHONE, java_script_enabled=False)
    _strip_is_shown(page)
    for way in ("wrong", "right"):
        assert page.locator(f"figure[data-way={way}]").bounding_box()["height"] > 300
    assert not page.locator("button").count()


def test_on_paper_the_same_six_stand_there(opened: Any) -> None:
    page = opened(viewport={"width": 1200, "height": 900})
    page.emulate_media(media="print")
    _strip_is_shown(page)
    assert not page.locator(".sw-steps-bar").first.is_visible() and not page.locator(".sw-pick").is_visible()
    for way in ("wrong", "right"):
        assert page.locator(f"figure[data-way={way}] .sw-strip").is_visible()


@pytest.mark.parametrize("units", ["us", "metric"])
def test_only_one_unit_system_is_drawn(opened: Any, units: str) -> None:
    """What ``use`` puts in does not see the page around it: the styles must reach in all the same."""
    page = opened(viewport={"width": 1200, "height": 900})
    page.evaluate(f"document.documentElement.dataset.units = '{units}'")
    other = "si" if units == "us" else "us"
    shown = page.evaluate("""(other) => {
      const root = document.querySelector("figure.sw-steps use.now");
      const style = (cls) => getComputedStyle(document.querySelector(`figure.sw-steps .${cls}-step`)).display;
      return [style("us"), style("si"), other, !!root];
    }""", other)  # fmt: skip
    assert shown[0 if other == "us" else 1] == "none" and shown[1 if other == "us" else 0] != "none"


def test_on_a_phone_a_pair_shows_one_way_at_a_time(opened: Any) -> None:
    page = opened(viewport=PHONE, has_touch=True)
    wrong, right = page.locator("figure[data-way=wrong]"), page.locator("figure[data-way=right]")
    assert wrong.bounding_box()["height"] > 300 and right.bounding_box()["height"] <= 1
    pick = page.get_by_role("button", name="The right way")
    assert pick.bounding_box()["height"] >= 44 and pick.get_attribute("aria-pressed") == "false"
    pick.tap()
    assert wrong.bounding_box()["height"] <= 1 and right.bounding_box()["height"] > 300
    assert pick.get_attribute("aria-pressed") == "true" and wrong.evaluate("f => f.inert")


def test_side_by_side_on_a_tablet_each_told_by_word_and_shape(opened: Any) -> None:
    page = opened(viewport={"width": 768, "height": 1000})
    wrong, right = page.locator("figure[data-way=wrong]"), page.locator("figure[data-way=right]")
    assert abs(wrong.bounding_box()["y"] - right.bounding_box()["y"]) < 2
    assert wrong.bounding_box()["x"] + wrong.bounding_box()["width"] <= right.bounding_box()["x"]
    assert wrong.locator(".sw-way").inner_text().startswith("Wrong.") and wrong.locator(".sw-sign rect").count() == 1
    assert right.locator(".sw-way").inner_text().startswith("Right.") and right.locator(".sw-sign circle").count() == 1


def test_on_the_wall_keys_and_a_clicker_go_through_both_ways(opened: Any) -> None:
    page = opened(viewport={"width": 1280, "height": 720})
    page.locator(".sw-ways > .sw-to-wall").click()
    wall = page.locator("dialog.sw-wall")
    assert wall.is_visible() and wall.get_attribute("data-way") == "wrong"
    keys = wall.locator(".sw-wall-keys")
    assert keys.is_visible() and all(word in keys.inner_text() for word in ("Page Down", "w:", "r:", "Escape"))
    said = wall.locator(".sw-wall-said")
    assert float(said.evaluate("p => getComputedStyle(p).fontSize").removesuffix("px")) >= 28
    page.keyboard.press("PageDown")
    assert said.inner_text().startswith("Push 2 of 7: ") and not keys.is_visible()
    page.keyboard.press("r")
    assert wall.get_attribute("data-way") == "right" and said.inner_text().startswith("Push 1 of 7: ")
    page.keyboard.press("w")
    assert wall.get_attribute("data-way") == "wrong" and said.inner_text().startswith("Push 2 of 7: ")
    page.keyboard.press("End")
    page.keyboard.press("PageDown")  # past the last step of the wrong way comes the first of the right one
    assert wall.get_attribute("data-way") == "right" and said.inner_text().startswith("Push 1 of 7: ")
    page.keyboard.press("PageUp")
    assert wall.get_attribute("data-way") == "wrong" and said.inner_text().startswith("Push 7 of 7: ")
    page.keyboard.press("Escape")
    page.wait_for_function("!document.querySelector('dialog.sw-wall')")
    assert page.evaluate("document.activeElement.classList.contains('sw-to-wall')")


def test_a_figure_is_light() -> None:
    svg, steps, ident = _film("alone")
    assert steps.told and all(isinstance(m, Measure) for m in steps.told)
    assert len(gzip.compress(steps_html(svg, steps, ident).encode("utf-8"))) < 20_000
