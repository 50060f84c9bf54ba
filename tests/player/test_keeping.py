"""What is kept: reloads, people, blocked and full stores, pages built anew."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.player.playing import Player

Opener = Callable[..., Player]
BLOCKED = """
for (const name of ['localStorage', 'sessionStorage'])
  Object.defineProperty(window, name, { get() { throw new DOMException('blocked', 'SecurityError'); } });
"""
FULL = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };"
FILLS = """
window.fill = () => { Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); } };
"""


@pytest.mark.parametrize("http", [False, True], ids=["file", "http"])
def test_a_reload_goes_on_where_one_was(opened: Opener, http: bool) -> None:
    p = opened(http=http)
    p.start()
    p.answer()
    p.press("Next")
    p.here.locator("input").nth(1).check()
    asked = p.here.inner_text()
    p.page.reload()
    assert p.view == "question" and p.q == "bench-02" and p.here.inner_text() == asked
    assert p.here.locator("input").nth(1).is_checked()
    p.press("Go back")
    assert p.feedback.startswith("Right.")
    p.press("Next")
    p.play()
    p.page.reload()
    assert p.view == "result" and "Passed." in p.result


def test_order_drafts_and_answers_survive(opened: Opener) -> None:
    p = opened()
    p.start()
    for _ in range(3):
        p.press("Next")
    p.arrange([3, 1, 2, 0])
    p.page.reload()
    assert p.here.locator("li").evaluate_all("l => l.map(x => +x.dataset.item)") == [3, 1, 2, 0]
    p.press("Check my answer")
    p.page.reload()
    assert "The right order:" in p.feedback


def test_closing_asks_again_who_it_is_and_goes_on(opened: Opener) -> None:
    p = opened()
    p.start("C02")
    p.answer()
    again = opened(beside=p)  # a new window is a new visit, as after closing the old one
    assert again.view == "start"  # the next person must not land in this try
    again.page.get_by_label("Pick your crew id").select_option("C02")
    assert "C02 has a try under way: 1 of 5 answered." in again.page.locator(".sq-told").inner_text()
    again.press("Go on")
    assert again.q == "bench-01" and again.feedback.startswith("Right.")


def test_lost_signal(opened: Opener) -> None:
    p = opened(http=True)
    p.start()
    p.page.context.set_offline(True)
    p.play()
    assert "Passed." in p.result and p.kept()["finished"][0]["right"] == 5


def test_two_people_do_not_mix(opened: Opener) -> None:
    p = opened()
    p.start("C01")
    p.answer()
    p.press("Change person")
    p.start("C02")
    assert "0 answered" in p.progress and p.here.locator("input").input_value() == ""
    p.answer(right=False)
    assert p.feedback.startswith("Not right.")
    p.press("Change person")
    p.start("C01")
    assert p.feedback.startswith("Right.")
    first, second = p.kept("C01"), p.kept("C02")
    assert first["run"]["items"][0]["answer"] != second["run"]["items"][0]["answer"]
    assert p.page.locator(".sq-who").inner_text() == "Crew id C01"


def test_practice_without_an_id(opened: Opener) -> None:
    p = opened("two")
    p.start("")
    assert p.page.locator(".sq-who").inner_text() == "Practising without an id"
    p.play()
    assert "no result to hand in" in p.result
    assert p.page.get_by_role("button", name="Save my result").count() == 0
    p.press("Change person")
    p.start("")
    assert "0 answered" in p.progress  # the next one does not get the last one's practice


def test_typed_and_unknown_ids(opened: Opener) -> None:
    p = opened("two")
    box = p.page.get_by_label("or type it")
    p.press("Start")
    assert "Pick or type your crew id first" in p.page.locator(".sq-told").inner_text()
    box.fill("<b>X9</b>")
    box.press("Enter")
    assert "is not on this site’s crew list" in p.page.locator(".sq-told").inner_text() and p.view == "start"
    box.press("Enter")
    assert p.page.locator(".sq-who").inner_text() == "Crew id <b>X9</b>"
    p.press("Change person")
    box.fill(" c17 ")
    box.press("Enter")
    assert p.page.locator(".sq-who").inner_text() == "Crew id C17"


def test_site_without_a_crew_list(opened: Opener) -> None:
    p = opened("no-crew")
    p.page.get_by_label("Type your crew id").fill("A7")
    p.press("Start")
    assert p.view == "question"


@pytest.mark.parametrize("init", [BLOCKED, FULL], ids=["blocked", "full"])
def test_store_that_keeps_nothing(opened: Opener, init: str) -> None:
    p = opened(init=init)
    assert "Your progress is not kept" in p.note
    p.start()
    p.play(wrong=("bench-02",))
    assert "Passed. 4 of 5 right" in p.result and "Your progress is not kept" in p.note
    p.press("Change person")
    p.start("C02")
    assert "0 answered" in p.progress
    p.press("Change person")
    p.start("C01")  # kept for as long as the page is open
    assert "Passed. 4 of 5 right" in p.result


def test_store_that_fills_up(opened: Opener) -> None:
    p = opened(init=FILLS)
    p.start()
    p.answer()
    assert p.note == ""
    p.page.evaluate("fill()")
    p.press("Next")
    assert "Your progress is not kept" in p.note
    p.play()
    assert "Passed." in p.result


@pytest.mark.parametrize("junk", ["{", "null", "7", '{"v":1}', '{"v":1,"finished":7,"run":{"items":7}}', '{"v":9}'])
def test_junk_in_the_store_starts_empty(opened: Opener, junk: str) -> None:
    p = opened("two")
    p.page.evaluate("j => localStorage.setItem('seatwork-quiz|gravel-pit|2026-1|bench-height|C01', j)", junk)
    p.start()
    p.play()
    assert "Passed. 2 of 2" in p.result


def test_damaged_try_starts_anew(opened: Opener) -> None:
    p = opened()
    p.start()
    p.answer()
    p.page.evaluate("""() => {
        const key = 'seatwork-quiz|gravel-pit|2026-1|bench-height|C01';
        const state = JSON.parse(localStorage.getItem(key));
        state.run.items[0].answer = 'not a figure';
        localStorage.setItem(key, JSON.stringify(state));
    }""")
    p.page.reload()
    assert p.view == "start"
    p.start()
    assert "0 answered" in p.progress


def test_page_built_anew_does_not_take_old_variants(opened: Opener, http_url: str) -> None:
    p = opened(http=True)
    p.start()
    p.play()
    p.again()
    p.answer()
    p.page.goto(f"{http_url}/rebuilt.html")
    assert p.view == "start" and "The questions have changed since you were here" in p.note
    p.start()
    assert "0 answered" in p.progress
    state = p.kept()
    assert state["tries"] == 3 and len(state["finished"]) == 1  # the finished result is not lost


def test_second_window_of_the_same_person(opened: Opener) -> None:
    p = opened()
    p.start()
    other = opened(beside=p)
    other.start()
    other.answer()
    p.page.wait_for_function("document.querySelector('.sq-progress').innerText.includes('1 answered')")
    assert p.feedback.startswith("Right.")
