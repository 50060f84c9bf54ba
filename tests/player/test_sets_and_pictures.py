"""A try that asks some of the pool, what to read before the next one, pictures, and figures nobody means."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import pytest

from tests.player.pages import pool
from tests.player.playing import QUESTIONS, Player
from tests.player.slips import read_slip

Opener = Callable[..., Player]
SETS = pool()["sets"]
IDS = [q["id"] for q in pool()["questions"]]


def asked(p: Player) -> list[str]:
    return [i["q"] for i in p.kept()["run"]["items"]]


def test_a_try_asks_a_set_and_says_how_many(opened: Opener) -> None:
    p = opened("pool")
    assert "3 questions, drawn from 7. To pass you need 3 of 3 right (80 percent)." in p.page.locator(".sq-start").inner_text()
    p.start()
    taken = p.kept()["run"]["set"]
    assert asked(p) == [IDS[i] for i in SETS[taken]]
    for number in (1, 2, 3):  # numbered as they are asked, not as they stand in the pool
        assert p.here.locator("legend").inner_text().startswith(f"Question {number}")
        assert p.progress.startswith(f"{number} of 3")
        p.answer()
        if number < 3:
            p.press("Next")
    p.press("See my result")
    assert "Passed. 3 of 3 right" in p.result


def test_the_next_try_asks_another_set(opened: Opener) -> None:
    p = opened("pool")
    p.start()
    before = []
    for _ in range(5):
        before.append(p.kept()["run"]["set"])
        p.play()
        p.again()
    assert all(a != b for a, b in itertools.pairwise(before))


def test_file_and_slip_say_which_set(opened: Opener) -> None:
    p = opened("pool")
    p.start()
    taken = p.kept()["run"]["set"]
    p.play()
    kept = p.kept()["finished"][-1]
    assert kept["file"]["set"] == taken and [a["q"] for a in kept["file"]["answers"]] == [IDS[i] for i in SETS[taken]]
    slip = read_slip(kept["code"])
    assert slip.set == taken and [a["kind"] for a in slip.answers] == [QUESTIONS[IDS[i]]["kind"] for i in SETS[taken]]


def test_a_reload_goes_on_with_the_same_set_and_another_is_not_taken(opened: Opener) -> None:
    p = opened("pool")
    p.start()
    before = asked(p)
    p.answer()
    p.page.reload()
    assert asked(p) == before and "1 answered" in p.progress
    p.page.evaluate("""() => {
      const key = Object.keys(localStorage).find((k) => k.startsWith('seatwork-quiz|'));
      const state = JSON.parse(localStorage.getItem(key));
      state.run.items[1].q = 'more-1';
      localStorage.setItem(key, JSON.stringify(state));
    }""")
    p.page.reload()
    assert p.view == "start"  # a try that no set asks is no try


def test_after_a_failed_try_what_to_read_comes_first(opened: Opener) -> None:
    p = opened("two")
    p.start()
    p.play(wrong=("bench-01", "bench-02"))
    p.press("Start again with new figures")
    panel = p.page.locator(".sq-start")
    assert p.view == "again" and "Your last try did not pass." in panel.inner_text()
    links = panel.locator("a")
    assert links.count() == 1 and links.first.get_attribute("href") == "#do-it"  # both were missed for one heading
    assert p.page.evaluate("document.activeElement.innerText") == "Read this again first"
    assert p.kept()["tries"] == 1
    p.press("I have read it. Start")
    assert p.view == "question" and p.kept()["tries"] == 2
    p.play()
    p.press("Start again with new figures")
    assert p.view == "question"  # after a pass there is nothing to read


@pytest.mark.parametrize(
    ("typed", "asks"),
    [
        ("-10", True),
        ("0", True),
        ("0.009", True),
        ("0.0105", False),
        ("12.7", False),
        ("125", False),
        ("127", True),
        ("40 m", True),
        ("99999", True),
    ],
)
def test_a_figure_nobody_means_is_asked_about_once(opened: Opener, typed: str, asks: bool) -> None:
    """Answers of this question go from 8 to 12 ft: 12.6 ft is the greatest that counts, ten times that is 126 ft."""
    p = opened("number")
    p.start()
    p.page.evaluate("() => { const q = document.querySelector('seatwork-quiz'); q.run().items[0].variant = 0; q.showQuestion(); }")
    p.here.locator("input").fill(typed)
    p.press("Check my answer")
    if asks:
        assert "Are you sure? You wrote “" + typed + "”." in p.complaint and "answer" not in p.item()
        p.here.locator("input").fill(typed + "5")
        p.here.locator("input").fill(typed)
        p.press("Check my answer")
    assert p.item()["answer"] == typed and "sure" not in p.item()
    assert p.feedback.startswith("Not right.")


def pictures(p: Player) -> list[list[str]]:
    found = p.here.locator("li:visible").evaluate_all(
        "l => l.map(x => [x.querySelector('.sq-text').innerText, x.querySelector('svg text').textContent])")  # fmt: skip
    return [list(x) for x in found]


def test_pictures_to_choose_from(opened: Opener) -> None:
    p = opened("pictures", phone=True)
    p.start()
    shown = pictures(p)
    assert [name for name, _ in shown] == ["Picture A", "Picture B"] and {d for _, d in shown} == {"drawing 0", "drawing 1"}
    for row in p.here.locator("li:visible label").all():
        box = row.bounding_box()
        assert box is not None and box["height"] >= 100 and box["width"] >= 250  # the whole card is the target
        assert row.evaluate("e => e.scrollWidth <= e.clientWidth")
    wrong = next(i for i, (_, drawing) in enumerate(shown) if drawing == "drawing 1")
    assert p.page.get_by_role("radio", name="Tracks and edge 1.").count() == 1  # read out in neutral words
    p.here.locator("li:visible svg").nth(wrong).click()
    p.press("Check my answer")
    right = shown[1 - wrong][0]
    assert "The tracks lie along the edge." in p.feedback and f"The right answer: {right}" in p.feedback
    assert p.here.locator("li:visible").nth(1 - wrong).locator(".sq-tag").inner_text() == "right"


@pytest.mark.parametrize(("order", "right"), [([0, 1, 2, 3], True), ([0, 1, 3, 2], True), ([1, 0, 2, 3], False), ([0, 2, 1, 3], False)])
def test_pictures_to_put_in_order_some_of_them_free(opened: Opener, order: list[int], right: bool) -> None:
    p = opened("pictures")
    p.start()
    p.here.locator("label").first.click()
    p.press("Check my answer")
    p.press("Next")
    names = {drawing: name for name, drawing in pictures(p)}
    p.arrange(order)
    assert pictures(p) == [[names[f"drawing {i}"], f"drawing {i}"] for i in order]  # a letter goes with its picture
    label: Any = p.here.locator(".sq-up").first.get_attribute("aria-label")
    assert label == f"Up: {names[f'drawing {order[0]}']}"
    p.press("Check my answer")
    assert p.feedback.startswith("Right." if right else "Not right.")
    if not right:
        assert "Places 3 and 4 may also be the other way round." in p.feedback
    tags = [t.inner_text() for t in p.here.locator(".sq-tag").all()]
    fits = {0: [0], 1: [1], 2: [2, 3], 3: [2, 3]}
    wanted = [
        "right place" if place in fits[i] else f"belongs in place {' or '.join(str(x + 1) for x in fits[i])}"
        for place, i in enumerate(order)
    ]
    assert tags == wanted


def amid_a_lesson(p: Player) -> Player:
    p.page.evaluate("""() => {
      for (const where of ['beforebegin', 'afterend']) {
        document.querySelector('seatwork-quiz').insertAdjacentHTML(where, '<div class="far"></div>');
      }
      for (const far of document.querySelectorAll('.far')) far.style.height = '3000px';
    }""")
    return p


def test_a_question_begins_high_on_a_phones_screen(opened: Opener) -> None:
    """And not in the middle of it, under half a screen of the lesson."""
    p = amid_a_lesson(opened("pool", phone=True))
    p.start()
    tops = []
    for number in (1, 2, 3):
        tops.append(p.here.locator("legend").evaluate("e => e.getBoundingClientRect().top / innerHeight"))
        p.answer()
        p.page.evaluate("window.scrollBy(0, 900)")  # down where an answer is read
        if number < 3:
            p.press("Next")
    p.press("See my result")
    tops.append(p.page.locator(".sq-result .sq-head").evaluate("e => e.getBoundingClientRect().top / innerHeight"))
    assert all(0 <= top <= 0.34 for top in tops), tops


def test_a_button_that_moves_an_item_stays_under_the_thumb(opened: Opener) -> None:
    p = amid_a_lesson(opened(phone=True))
    p.start()
    while p.here.get_attribute("data-kind") != "order":
        p.press("Next")
    first = p.here.locator(".sq-order > li").first
    item = first.get_attribute("data-item")
    down = p.here.locator(f'[data-item="{item}"] .sq-down')
    down.scroll_into_view_if_needed()
    before = down.evaluate("e => e.getBoundingClientRect().top")
    for place in (1, 2):
        down.click()
        assert abs(down.evaluate("e => e.getBoundingClientRect().top") - before) < 1.5
        assert p.here.locator(".sq-order > li").nth(place).get_attribute("data-item") == item
