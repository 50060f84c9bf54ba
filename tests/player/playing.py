"""What a person does on a quiz page, and what they see."""

from __future__ import annotations

import json
from typing import Any, cast

from playwright.sync_api import Locator, Page

from tests.player.pages import quiz

QUESTIONS = {q["id"]: q for q in quiz()["questions"]}


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
        return self.page.locator(".sw-progress").inner_text()

    @property
    def view(self) -> str:
        return self.page.locator("seatwork-quiz").get_attribute("data-view") or ""

    @property
    def result(self) -> str:
        return self.page.locator(".sw-result").inner_text()

    @property
    def note(self) -> str:
        return self.page.locator(".sw-note").inner_text() if self.page.locator(".sw-note").is_visible() else ""

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
        self.page.locator("seatwork-quiz").get_by_role("button", name=name, exact=True).locator("visible=true").click()

    def start(self, crew: str = "C01") -> None:
        if crew:
            self.page.get_by_label("Pick your crew id").select_option(crew)
            self.page.locator(".sw-ask .sw-main").click()
        else:
            self.press("Practise without an id")

    def arrange(self, wanted: list[int]) -> None:
        """Puts an order question's items in the given order with the Up buttons."""
        for place, item in enumerate(wanted):
            while True:
                shown = [int(x) for x in self.here.locator("li").evaluate_all("l => l.map(x => x.dataset.item)")]
                if shown.index(item) <= place:
                    break
                self.here.locator(f'li[data-item="{item}"] .sq-up').click()

    def give(self, right: bool = True) -> None:
        """Fills in the question on show, rightly or wrongly, without checking it."""
        q = QUESTIONS[self.q]
        if q["kind"] == "number":
            figure = self.here.locator(".sq-ask b").inner_text().split()[0]
            self.here.locator("input").fill(figure if right else "1")
        elif q["kind"] == "order":
            self.arrange([0, 1, 2, 3] if right else [3, 2, 1, 0])
        else:
            boxes = self.here.locator("input")
            values = q["spots"] if q["kind"] == "point" else [str(i) for i in range(boxes.count())]
            wanted = q["right"] if right else [len(values) - 1]
            for i in wanted:
                self.here.locator(f'input[value="{values[i]}"]').check()

    def answer(self, right: bool = True) -> None:
        self.give(right)
        self.press("Check my answer")

    def play(self, *, wrong: tuple[str, ...] = ()) -> None:
        """Answers every question from the one on show to the last, then asks for the result."""
        while True:
            self.answer(self.q not in wrong)
            if self.page.locator(".sw-next").inner_text() != "Next":
                break
            self.press("Next")
        self.press("See my result")
