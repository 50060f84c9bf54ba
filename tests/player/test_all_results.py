"""The operator's own page: all results of one person in one file, and the codes to copy by hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from generator.records.results import objects, read_file
from tests.player.playing import Player
from tests.player.slips import read_short

Opener = Callable[..., Player]


def tries_of(p: Player, crew: str, *wrongs: tuple[str, ...]) -> None:
    """Full tries of one person, one after another; then nobody is at work in the tab."""
    p.start(crew)
    for n, wrong in enumerate(wrongs):
        if n:
            p.again()
        p.play(wrong=wrong)


def operator(p: Player) -> None:
    p.page.goto(p.page.url.rsplit("/", 1)[0] + "/operator.html")


def box(p: Player) -> str:
    return str(
        p.page.locator(".sw-kept").evaluate("b => { b.querySelectorAll('details').forEach(d => { d.open = true; }); return b.innerText; }")
    )


@pytest.mark.parametrize("http", [False, True], ids=["file", "http"])
def test_all_results_of_one_person_are_one_file_our_reader_reads(opened: Opener, http: bool) -> None:
    p = opened(http=http)
    tries_of(p, "C02", ())
    p.press("Change person")
    tries_of(p, "C17", ("bench-01", "bench-02"), ())
    # what was taken on an earlier edition is handed in too
    p.page.evaluate("""() => {
      const key = Object.keys(localStorage).find((k) => k.endsWith('|C17')), state = JSON.parse(localStorage.getItem(key));
      state.finished = state.finished.slice(0, 1);
      localStorage.setItem(key.replace('2026-1', '2025-2'), JSON.stringify(state));
      localStorage.setItem('seatwork-quiz|gravel-pit|2026-1|stop-work|C17', '{broken');
      localStorage.setItem(key.replace('gravel-pit', 'other-pit'), JSON.stringify(state));
    }""")
    kept = p.kept("C17")["finished"]
    operator(p)
    assert "with every result of C17 on this device: 3." in box(p)
    with p.page.expect_download() as caught:
        p.page.get_by_role("button", name="Save all my results").click()
    last = "".join(c for c in kept[-1]["finished"] if c.isalnum())
    assert caught.value.suggested_filename == f"C17_all_{last}.json"  # of two phones neither takes the place of the other
    found = [read_file(value, f"C17_all.json:{line}") for line, value in objects(Path(caught.value.path()).read_text("utf-8"))]
    assert sorted((r.crew, r.lesson, r.claimed or 0) for r in found) == [("C17", "bench-height", 0.6)] * 2 + [("C17", "bench-height", 1.0)]
    times = [f"{r.finished:%Y-%m-%dT%H:%M:%SZ}" for r in found]
    assert times == sorted([kept[0]["finished"]] * 2 + [kept[1]["finished"]])  # the oldest first


def test_each_lesson_passed_has_its_code_there(opened: Opener) -> None:
    p = opened()
    tries_of(p, "C17", (), ("bench-01", "bench-02", "bench-03"))
    kept = p.kept("C17")["finished"]
    operator(p)
    words = box(p)
    assert p.page.locator(".sw-codes code").all_inner_texts() == [kept[0]["short"]]  # of the try that passed
    assert read_short(kept[0]["short"])["right"] == 5 and read_short(kept[1]["short"])["right"] == 2
    assert "How high to dig, 5 of 5" in words and "It is no proof." in words
    p.page.evaluate("""() => {
      const key = Object.keys(localStorage).find((k) => k.endsWith('|C17')), state = JSON.parse(localStorage.getItem(key));
      delete state.finished[0].short;
      localStorage.setItem(key, JSON.stringify(state));
    }""")
    p.page.reload()
    assert "Open its quiz to see the code." in box(p)


def test_nothing_passed_has_no_codes_and_somebody_elses_are_not_shown(opened: Opener) -> None:
    p = opened()
    tries_of(p, "C17", ("bench-01", "bench-02", "bench-03"))
    operator(p)
    assert "every result of C17" in box(p) and p.page.locator(".sw-codes").count() == 0
    p.page.goto(p.page.url.replace("operator", "all"))
    p.press("Change person")
    tries_of(p, "C02", ())
    p.press("Change person")
    operator(p)  # two people's marks, and nobody at work
    assert p.page.locator(".sw-kept").count() == 0 and "Several people use this device." in p.page.locator(".sw-whose").inner_text()
