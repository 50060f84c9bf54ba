"""What a person does on a quiz page, and what they see."""

from __future__ import annotations

import json
from typing import Any, cast

from playwright.sync_api import Locator, Page

from tests.player.pages import pool

QUESTIONS = {q["id"]: q for q in pool()["questions"]}  # of every page: the pool holds those of quiz() too


# Visible, as a person sees it: a hidden or disabled button cannot be pressed.
PRESS = """name => {
  const root = document.querySelector('dialog[open]') || document;
  const found = [...root.querySelectorAll('seatwork-quiz button')]
    .filter(b => b.checkVisibility() && !b.disabled && b.innerText.trim() === name);
  if (found.length !== 1) throw new Error(found.length + ' buttons on show are called ' + name);
  found[0].click();
}"""
PICK = """crew => {
  const select = document.querySelector('.sq-pick');
  if (!select.checkVisibility()) throw new Error('no start panel on show');
  select.value = crew;
  select.dispatchEvent(new Event('change', { bubbles: true }));
  document.querySelector('.sq-enter .sq-main').click();
}"""
TICK = """values => {
  const set = [...document.querySelectorAll('fieldset.sq')].find(f => f.checkVisibility());
  for (const value of values) set.querySelector(`input[value="${value}"]`).click();
}"""
ARRANGE = """wanted => {
  const list = [...document.querySelectorAll('.sq-order')].find(f => f.checkVisibility());
  wanted.forEach((item, place) => {
    const row = list.querySelector(`[data-item="${item}"]`);
    while ([...list.children].indexOf(row) > place) row.querySelector('.sq-up').click();
  });
}"""


class Player:
    """One open page."""

    def __init__(self, page: Page) -> None:
        self.page = page

    # --- what is there ---

    @property
    def here(self) -> Locator:
        return self.page.locator("fieldset.sq:visible")

    @property
    def q(self) -> str:
        return self.here.get_attribute("data-q") or ""

    @property
    def feedback(self) -> str:
        return self.here.locator(".sq-feedback").inner_text()

    @property
    def complaint(self) -> str:
        return self.here.locator(".sq-format").inner_text()

    @property
    def progress(self) -> str:
        return self.page.locator(".sq-progress").inner_text()

    @property
    def view(self) -> str:
        return self.page.locator("seatwork-quiz").get_attribute("data-view") or ""

    @property
    def result(self) -> str:
        assert self.view == "result"  # a hidden panel still holds its last words
        return self.page.locator(".sq-result").inner_text()

    @property
    def note(self) -> str:
        return self.page.locator(".sq-note").inner_text() if self.page.locator(".sq-note").is_visible() else ""

    def kept(self, crew: str = "C01") -> dict[str, Any]:
        """What the browser keeps for one person."""
        key = f"seatwork-quiz|gravel-pit|2026-1|bench-height|{crew}"
        return cast(dict[str, Any], json.loads(self.page.evaluate("k => localStorage.getItem(k)", key)))

    def item(self, crew: str = "C01") -> dict[str, Any]:
        state = self.kept(crew)
        run = state["retry"] or state["run"]
        return cast(dict[str, Any], next(i for i in run["items"] if i["q"] == self.q))

    # --- what a person does ---

    def press(self, name: str) -> None:
        """Presses the one button on show with this name (in the page itself, which is quick)."""
        self.page.evaluate(PRESS, name)

    def start(self, crew: str = "C01") -> None:
        """Picks an id and starts; without an id it practises."""
        if crew:
            self.page.evaluate(PICK, crew)
        else:
            self.press("Practise without an id")

    def again(self) -> None:
        """Starts another try; after a failed one there is something to read first."""
        self.press("Start again with new figures")
        if self.view == "again":
            self.press("I have read it. Start")

    def arrange(self, wanted: list[int]) -> None:
        """Puts an order question's items in the given order with the Up buttons."""
        self.page.evaluate(ARRANGE, wanted)

    def wanted(self, right: bool) -> list[int] | str:
        """What to give as the answer to the question on show."""
        q = QUESTIONS[self.q]
        if q["kind"] == "number":
            return self.here.locator(".sq-ask b").inner_text().split()[0] if right else "1"
        if q["kind"] == "order":
            return [0, 1, 2, 3] if right else [3, 2, 1, 0]
        last = len(q.get("spots") or q["texts"]["us"]) - 1
        return cast(list[int], q["right"]) if right else [last]

    def give(self, right: bool = True) -> None:
        """Fills in the question on show, rightly or wrongly, without checking it."""
        wanted = self.wanted(right)
        if isinstance(wanted, str):
            self.here.locator("input").fill(wanted)
        elif QUESTIONS[self.q]["kind"] == "order":
            self.arrange(wanted)
        else:
            spots = QUESTIONS[self.q].get("spots")
            self.page.evaluate(TICK, [str(spots[i]) if spots else str(i) for i in wanted])

    def answer(self, right: bool = True) -> None:
        self.give(right)
        self.press("Check my answer")

    def answer_by_hand(self) -> None:
        """Answers rightly with real clicks or taps, then goes on."""
        wanted = self.wanted(True)
        if isinstance(wanted, str):
            self.here.locator("input").click()
            self.page.keyboard.type(wanted)
        elif QUESTIONS[self.q]["kind"] == "order":
            for place, item in enumerate(wanted):
                while [int(x) for x in self.here.locator("li").evaluate_all("l => l.map(x => x.dataset.item)")].index(item) > place:
                    self.here.locator(f'li[data-item="{item}"] .sq-up').click()
        else:
            spots = QUESTIONS[self.q].get("spots")
            for i in wanted:
                self.here.locator(f'li:has(input[value="{spots[i] if spots else i}"]) label').click()
        self.page.locator(".sq-check").click()

    def play(self, *, wrong: tuple[str, ...] = ()) -> None:
        """Answers every question from the one on show to the last, then asks for the result."""
        while True:
            self.answer(self.q not in wrong)
            if self.page.locator(".sq-next").inner_text() != "Next":
                break
            self.press("Next")
        self.press("See my result")
