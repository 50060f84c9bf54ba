"""Playing a quiz: all kinds of question, keyboard and phone, feedback, results, retries."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.player.playing import Player

Opener = Callable[..., Player]
ALL = ("bench-01", "bench-02", "bench-03", "bench-04", "bench-05")


@pytest.mark.parametrize("http", [False, True], ids=["file", "http with a strict policy"])
@pytest.mark.parametrize("phone", [False, True], ids=["desktop", "phone"])
def test_a_whole_quiz_all_right(opened: Opener, http: bool, phone: bool) -> None:
    p = opened("all", http=http, phone=phone)
    assert p.view == "start" and not p.page.locator("fieldset.sq").first.is_visible()
    p.page.get_by_label("Pick your crew id").select_option("C01")
    p.page.get_by_role("button", name="Start", exact=True).click()
    for i, q in enumerate(ALL, 1):
        assert p.q == q and p.progress.startswith(f"{i} of 5, {i - 1} answered")
        p.answer_by_hand()
        assert p.feedback.startswith("Right.")
        p.page.get_by_role("button", name="Next" if i < 5 else "See my result", exact=True).click()
    assert "Passed. 5 of 5 right (100 percent). You need 4 of 5." in p.result
    assert "Practise the missed ones" not in p.result


@pytest.mark.parametrize("name", ["all", "all-foot"])
def test_script_in_head_or_at_the_foot(opened: Opener, name: str) -> None:
    assert opened(name).view == "start"


def test_every_kind_wrong_says_so_and_shows_the_working(opened: Opener) -> None:
    p = opened()
    p.start()
    says = {
        "bench-01": ["You wrote “1”.", "This question must be right, so this try does not pass.", "The worked answer: ", "The working"],
        "bench-02": ["That is the ratio upside down.", "The right answer:", "Round up to"],
        "bench-03": ["You left out “Look for cracks along the crest”.", "You left out “Stand the tracks at an angle”.",
                     "You picked “Park under the bucket”. Nobody stands or parks under a bucket.", "The edge may go"],
        "bench-04": ["The right order:", "Zero comes from the floor."],
        "bench-05": ["That is the pile.", "The right answer: A", "The crest is the upper edge."],
    }  # fmt: skip
    for q in ALL:
        p.answer(right=False)
        assert p.q == q and p.feedback.startswith("Not right.")
        for words in says[q]:
            assert words in p.feedback
        assert p.here.locator(".sq-mark svg rect").count() == 1  # the cross stands in a square, not only in red
        assert p.page.evaluate("document.activeElement.className") == "sq-feedback"
        assert p.here.locator(".sq-feedback").get_attribute("role") == "status"
        p.page.locator(".sq-next").click()
    assert "Not passed. 0 of 5 right" in p.result


def test_named_mistake(opened: Opener) -> None:
    p = opened("number")
    p.start()
    stick = float(p.here.locator(".sq-ask b").inner_text().split()[0])
    p.here.locator("input").fill(f"{stick * 24:g} in")
    p.press("Check my answer")
    assert f"You took the boom, not the stick of {stick:g} ft." in p.feedback
    assert p.here.locator("math").text_content() == f"h={stick:g} ft"


def test_right_in_the_other_system(opened: Opener) -> None:
    p = opened("number")
    p.start()
    stick = float(p.here.locator(".sq-ask b").inner_text().split()[0])
    p.here.locator("input").fill(f"{stick * 30.48:.0f} cm")
    p.press("Check my answer")
    assert p.feedback.startswith("Right.")


@pytest.mark.parametrize("share, right", [(0.949, False), (0.951, True), (1.049, True), (1.051, False)])
def test_tolerance_is_what_the_page_gives(opened: Opener, share: float, right: bool) -> None:
    p = opened("number")
    p.start()
    stick = float(p.here.locator(".sq-ask b").inner_text().split()[0])
    p.here.locator("input").fill(f"{stick * share:.5f}")
    p.press("Check my answer")
    assert p.feedback.startswith("Right.") is right


def test_several_is_all_or_nothing(opened: Opener) -> None:
    p = opened()
    p.start()
    for _ in range(2):
        p.press("Next")
    p.here.locator('input[value="0"]').check()
    p.press("Check my answer")
    assert p.feedback.startswith("Not right.") and "You left out “Stand the tracks at an angle”." in p.feedback


def test_nothing_given_is_asked_for_not_marked(opened: Opener) -> None:
    p = opened()
    p.start()
    p.press("Check my answer")
    assert "Type your answer first." in p.complaint and p.feedback == ""
    p.press("Next")
    p.press("Check my answer")
    assert "Pick an answer first." in p.complaint
    p.here.locator("input").first.check()
    assert p.complaint == ""


def test_an_answer_is_final_and_that_is_said_before(opened: Opener) -> None:
    p = opened()
    p.start()
    for q in ALL:
        assert p.page.get_by_text("Once checked, an answer cannot be changed in this try.").is_visible()
        p.answer(right=False)
        assert not p.page.get_by_role("button", name="Check my answer").is_visible()
        assert p.here.locator("input:not([disabled]):not([readonly])").count() == 0
        assert not p.here.locator(".sq-up").first.is_visible()
        before = p.item()
        if q == "bench-05":
            p.here.locator('[data-spot="crest"]').click()
        # nor may pressing Enter, or meddling with the boxes, hand in another one
        p.page.evaluate("""() => {
            for (const box of document.querySelectorAll('fieldset.sq:not([hidden]) input')) {
                box.disabled = false;
                box.value = box.type === 'text' ? '10' : box.value;
                box.checked = !box.checked;
            }
            document.querySelector('seatwork-quiz > form').requestSubmit();
        }""")
        assert p.item() == before
        p.page.locator(".sq-next").click()


def test_back_and_next_keep_answers_and_drafts(opened: Opener) -> None:
    p = opened()
    p.start()
    p.here.locator("input").fill("7.25")
    p.press("Next")
    p.answer(right=False)
    p.press("Go back")
    assert p.here.locator("input").input_value() == "7.25"
    p.press("Next")
    assert p.feedback.startswith("Not right.")
    assert p.page.evaluate("document.activeElement.tagName") == "LEGEND"


def test_open_questions_hold_the_result_back(opened: Opener) -> None:
    p = opened()
    p.start()
    p.answer()
    p.press("Next")
    p.press("Next")
    p.answer()
    for _ in range(2):
        p.press("Next")
    p.press("Finish")
    assert p.q == "bench-02"
    assert "Questions 2, 4 and 5 are still open." in p.page.locator(".sq-tell").inner_text()


def test_must_be_right_fails_alone(opened: Opener) -> None:
    p = opened("two")  # one of two right is enough there, but the first must be right
    p.start()
    p.play(wrong=("bench-01",))
    assert "Not passed. 1 of 2 right (50 percent). You need 1 of 2." in p.result
    assert "Question 1 must be right and was missed. That alone fails the quiz." in p.result
    again = p.page.locator(".sq-again a")
    assert again.get_attribute("href") == "#do-it" and again.inner_text() == "Do it"
    p.again()
    p.play(wrong=("bench-02",))
    assert "Passed. 1 of 2 right" in p.result


def test_practice_on_the_missed_ones_leaves_the_result(opened: Opener) -> None:
    p = opened()
    p.start()
    p.play(wrong=("bench-01", "bench-04"))
    before = {i["q"]: i["variant"] for i in p.kept()["run"]["items"]}
    code = p.page.locator(".sq-code").inner_text()
    p.press("Practise the missed ones")
    assert p.q == "bench-01" and "1 of 2" in p.progress and "does not change your result" in p.progress
    assert p.item()["variant"] != before["bench-01"]
    p.play()
    assert "Practice: 2 of 2 right now." in p.result and "stays that of the full try: 3 of 5, not passed." in p.result
    p.press("Back to my result")
    assert "Not passed. 3 of 5 right" in p.result and p.page.locator(".sq-code").inner_text() == code
    assert len(p.kept()["finished"]) == 1


def test_new_figures_on_every_try(opened: Opener) -> None:
    p = opened("two")
    p.start()
    seen = []
    for _ in range(8):
        here = {}
        while True:
            figures = (
                p.here.locator(".sq-ask").inner_text(),
                p.here.locator(".sq-choices .sq-text").all_inner_texts(),
            )
            here[p.q] = str(figures)
            p.answer(right=False)
            if p.page.locator(".sq-next").inner_text() != "Next":
                break
            p.press("Next")
        seen.append(here)
        p.press("See my result")
        p.again()
    for one, next_one in itertools.pairwise(seen):
        assert one["bench-01"] != next_one["bench-01"] and one["bench-02"] != next_one["bench-02"]


def test_a_question_shows_some_of_its_wrong_figures(opened: Opener) -> None:
    p = opened("some")
    p.start()
    shown = {0: {"6", "5", "1"}, 1: {"8", "5", "4"}, 2: {"8", "9", "16"}}
    seen = set()
    for _ in range(6):
        variant = p.item()["variant"]
        rows = p.here.locator("li:visible")
        assert {x.split()[0] for x in rows.all_inner_texts()} == shown[variant]
        assert p.here.locator("li").count() == 5  # the others are there, but not to be seen or picked
        assert p.here.locator("li:not(:visible) input:checked").count() == 0
        seen.add(variant)
        rows.nth(0).locator("label").click()
        p.press("Check my answer")
        p.press("Next")
        p.here.locator("label").nth(0).click()
        p.press("Check my answer")
        p.press("See my result")
        p.again()
    assert len(seen) > 1


def test_a_drawing_is_asked_about_in_turn(opened: Opener) -> None:
    p = opened("some")
    p.start()
    asked = []
    for _ in range(4):
        p.here.locator("li:visible label").nth(0).click()
        p.press("Check my answer")
        p.press("Next")
        ask = p.here.locator(".sq-ask").inner_text()
        asked.append(ask)
        pile = "pile" in ask
        p.here.locator('[data-spot="crest"]').click()
        p.press("Check my answer")
        assert p.feedback.startswith("Not right." if pile else "Right.")
        assert ("That is the upper edge." in p.feedback and "The right answer: C" in p.feedback) is pile
        assert ("The pile lies on the floor." if pile else "The crest is the upper edge.") in p.feedback
        marked = p.here.locator("[data-spot].is-right").get_attribute("data-spot")
        assert marked == ("pile" if pile else "crest")
        p.page.reload()  # an answer is read again by what was asked
        p.press("Look at my answers")
        p.press("Next")
        assert p.feedback.startswith("Not right." if pile else "Right.")
        p.press("See my result")
        p.again()
    assert all(one != next_one for one, next_one in itertools.pairwise(asked)) and len(set(asked)) == 2


def test_units_switch_during_a_try(opened: Opener) -> None:
    p = opened()
    p.start()
    p.answer()
    asked = p.here.locator(".sq-ask").inner_text()
    assert " ft long" in asked
    p.page.evaluate("document.documentElement.dataset.units = 'metric'")
    assert p.here.locator(".sq-ask").inner_text() == asked  # answered: keeps its own
    assert p.here.locator(".sq-unit").inner_text() == "ft"
    p.press("Next")
    p.answer()
    answers = {i["q"]: i.get("units") for i in p.kept()["run"]["items"]}
    assert answers["bench-01"] == "us" and answers["bench-02"] == "metric"


def test_units_switch_changes_an_open_question(opened: Opener) -> None:
    p = opened("number")
    p.start()
    p.here.locator("input").fill("9.5")
    p.page.evaluate("document.documentElement.dataset.units = 'metric'")
    p.page.wait_for_function("document.querySelector('.sq-ask').innerText.includes(' m long')")
    assert p.here.locator(".sq-unit").inner_text() == "m"
    assert p.here.locator("input").input_value() == ""  # typed for other figures
    p.answer()
    assert p.feedback.startswith("Right.")


def test_pointing_at_the_drawing(opened: Opener) -> None:
    p = opened(phone=True)
    p.start()
    for _ in range(4):
        p.press("Next")
    p.here.locator('[data-spot="toe"]').tap()
    assert p.here.locator('input[value="toe"]').is_checked()
    p.here.locator('[data-spot="crest"]').tap()
    p.press("Check my answer")
    assert p.feedback.startswith("Right.") and p.item()["answer"] == [0]


def test_a_tap_beside_a_spot_still_means_it(opened: Opener) -> None:
    p = opened(phone=True)
    p.start()
    for _ in range(4):
        p.press("Next")
    box = p.here.locator('[data-spot="toe"]').bounding_box()
    assert box
    middle = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    p.page.touchscreen.tap(middle[0] - 27, middle[1])
    assert p.here.locator('input[value="toe"]').is_checked()
    p.page.touchscreen.tap(middle[0] + 60, middle[1])  # between two spots, near to none
    assert p.here.locator("input:checked").count() == 1 and p.here.locator('input[value="toe"]').is_checked()


def test_dragging_into_order(opened: Opener) -> None:
    p = opened()
    p.start()
    for _ in range(3):
        p.press("Next")

    def shown() -> list[str]:
        return p.here.locator("li").evaluate_all("l => l.map(x => x.dataset.item)")  # type: ignore[no-any-return]

    before = shown()
    grips = p.here.locator(".sq-grip")
    first, last = grips.nth(0).bounding_box(), grips.nth(3).bounding_box()
    assert first and last
    mouse = p.page.mouse
    mouse.move(first["x"] + 10, first["y"] + 10)
    mouse.down()
    for step in range(1, 6):
        mouse.move(first["x"] + 10, first["y"] + 10 + (last["y"] + 40 - first["y"]) * step / 5)
    mouse.up()
    assert shown() == before[1:] + before[:1]
    assert [str(x) for x in p.item()["draft"]] == shown()


def tab_to(page: Page, words: str) -> None:
    """Presses Tab until the focused thing's words match."""
    for _ in range(40):
        page.keyboard.press("Tab")
        found = page.evaluate(
            "(() => { const a = document.activeElement; return a.getAttribute('aria-label') || a.innerText || a.type })()"
        )
        if re.fullmatch(words, found.strip()):
            return
    raise AssertionError(f"Tab never comes to {words}")


def test_keyboard_alone(opened: Opener) -> None:
    p = opened(phone=False)
    keys = p.page.keyboard
    tab_to(p.page, "Pick.*C17|Pick…[^$]*")
    keys.press("ArrowDown")
    tab_to(p.page, "Start")
    keys.press("Enter")
    assert p.q == "bench-01"
    tab_to(p.page, "text")
    keys.type(p.here.locator(".sq-ask b").inner_text())
    keys.press("Enter")
    assert p.feedback.startswith("Right.")
    tab_to(p.page, "Next")
    keys.press("Enter")
    tab_to(p.page, "radio")
    keys.press("Space")
    tab_to(p.page, "Check my answer")
    keys.press("Space")
    assert p.feedback
    tab_to(p.page, "Next")
    keys.press("Enter")
    tab_to(p.page, "checkbox")
    keys.press("Space")
    tab_to(p.page, "Check my answer")
    keys.press("Enter")
    tab_to(p.page, "Next")
    keys.press("Enter")
    assert p.q == "bench-04"
    first = p.here.locator("li .sq-text").first.inner_text()
    tab_to(p.page, f"Down: {first}")
    keys.press("Enter")
    assert p.here.locator("li .sq-text").nth(1).inner_text() == first
    assert p.page.evaluate("document.activeElement.getAttribute('aria-label')") == f"Down: {first}"
    assert f"{first}: now place 2 of 4." in p.page.locator(".sq-tell").inner_text()
    tab_to(p.page, "Check my answer")
    keys.press("Enter")
    tab_to(p.page, "Next")
    keys.press("Enter")
    tab_to(p.page, "radio")
    keys.press("ArrowDown")
    tab_to(p.page, "Check my answer")
    keys.press("Enter")
    tab_to(p.page, "See my result")
    keys.press("Enter")
    assert p.view == "result"
    assert "sq-head" in p.page.evaluate("document.activeElement.className")


def test_nothing_is_smaller_than_a_thumb_or_wider_than_the_phone(opened: Opener) -> None:
    p = opened(phone=True)

    def look() -> None:
        assert p.page.evaluate("document.documentElement.scrollWidth") <= 360
        # a box inside a label is pressed by pressing the label
        targets = p.page.locator(
            "seatwork-quiz :is(button, select, input[type=text], .sq-choices label, summary, .sq-grip, .sq-again a):visible"
        )
        for box in targets.evaluate_all(
            "l => l.map(x => [x.className || x.tagName, x.getBoundingClientRect().width, x.getBoundingClientRect().height])"
        ):
            assert box[1] >= 48 and box[2] >= 48, box

    look()
    p.start()
    for _ in ALL:
        look()
        p.answer(right=False)
        look()
        p.page.locator(".sq-next").click()
    assert p.view == "result"
    look()


def test_events(opened: Opener) -> None:
    p = opened("two")
    p.page.evaluate(
        "window.heard = []; for (const n of ['sw-answer', 'sw-result']) document.addEventListener(n, e => heard.push([n, e.detail]))"
    )
    p.start()
    p.play(wrong=("bench-02",))
    heard = p.page.evaluate("heard")
    assert [h[0] for h in heard] == ["sw-answer", "sw-answer", "sw-result"]
    assert heard[0][1] | {"variant": 0, "answer": ""} == {
        "lesson": "bench-height", "crew": "C01", "q": "bench-01", "variant": 0, "units": "us", "answer": "",
        "right": True, "practice": False,
    }  # fmt: skip
    assert heard[2][1]["missed"] == ["bench-02"] and heard[2][1]["mustMissed"] == [] and heard[2][1]["passed"] is True
    assert heard[2][1]["file"]["crew"] == "C01"


def test_without_scripts_the_first_variant_can_be_read(opened: Opener) -> None:
    p = opened(java_script_enabled=False)
    text = p.page.locator("seatwork-quiz").inner_text()
    assert "The stick is 10 ft long." in text and "3 m" not in text
    assert p.page.locator("fieldset.sq:visible").count() == len(ALL)


def test_a_script_that_did_not_load_leaves_the_questions_readable(opened: Opener) -> None:
    p = opened("one-script")
    assert p.page.locator("fieldset.sq:visible").count() == len(ALL)


def test_broken_data_leaves_the_questions_readable(opened: Opener) -> None:
    p = opened("broken")
    assert "This quiz could not be started." in p.page.locator(".sq-note").inner_text()
    assert p.page.locator("fieldset.sq:visible").count() == len(ALL)
