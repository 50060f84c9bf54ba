"""How a typed answer is read."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.player.playing import Player
from tests.player.slips import read_slip

Opener = Callable[..., Player]
TABLE: dict[str, Any] = json.loads((Path(__file__).parent / "number_formats.json").read_text("utf-8"))
CALL = "([name, list]) => { const Q = customElements.get('seatwork-quiz'); return list.map(args => Q[name](...args)); }"


def read(p: Player, texts: list[str]) -> list[dict[str, Any]]:
    return p.page.evaluate(CALL, ["readNumber", [[t] for t in texts]])  # type: ignore[no-any-return]


def test_table_of_formats(opened: Opener) -> None:
    p = opened()
    for (text, value, unit), got in zip(TABLE["reads"], read(p, [r[0] for r in TABLE["reads"]]), strict=True):
        assert "parts" in got, (text, got)
        sign = -1 if got["sign"] == "-" else 1
        assert (len(got["parts"]), got["parts"][0]["unit"]) == (1, unit), (text, got)
        assert sign * got["parts"][0]["value"] == pytest.approx(value, rel=1e-12), (text, got)
    for (text, pairs), got in zip(TABLE["compound"], read(p, [r[0] for r in TABLE["compound"]]), strict=True):
        assert [[x["value"], x["unit"]] for x in got.get("parts", [])] == pairs, (text, got)
    for (text, ways), got in zip(TABLE["two_ways"], read(p, [r[0] for r in TABLE["two_ways"]]), strict=True):
        assert got.get("either") == ways, (text, got)
        assert all("parts" in x for x in read(p, ways))  # what is offered is clear
    for (text, words), got in zip(TABLE["unreadable"], read(p, [r[0] for r in TABLE["unreadable"]]), strict=True):
        assert words in got.get("problem", ""), (text, got)


def test_figures_for_an_answer(opened: Opener) -> None:
    p = opened()
    feet = {"unit": "ft", "accept": {"ft": [5, 6], "in": [60, 72], "m": [1.5, 1.8]}}
    weight = {"unit": "ton", "accept": {"ton": [9, 10], "t": [8, 9]}}
    loose = {"unit": "lcy", "accept": {"lcy": [4, 5], "yd3": [4, 5], "m3": [3, 4]}}
    cases: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
        ("5.5", feet, {"figure": 5.5, "unit": "ft"}),
        ("5 ft 6 in", feet, {"figure": 5.5, "unit": "ft"}),
        ("5 ft 6 in", {"unit": "in", "accept": {"in": [60, 72]}}, {"figure": 66, "unit": "in"}),
        ('66"', feet, {"figure": 66, "unit": "in"}),
        ("20 t", weight, {"figure": 20, "unit": "t"}),
        ("9 T", weight, {"either": ["9 ton", "9 t"]}),
        ("9 T", {"unit": "t", "accept": {"t": [8, 9]}}, {"figure": 9, "unit": "t"}),
        ("4 loose yd3", loose, {"figure": 4, "unit": "lcy"}),
        ("4 yd3", loose, {"figure": 4, "unit": "yd3"}),
        ("6 passes", {"unit": "1", "accept": {"1": [6, 6]}}, {"figure": 6, "unit": "1"}),
        ("-5.5", feet, {"figure": -5.5, "unit": "ft"}),
    ]
    got = p.page.evaluate(CALL, ["figureFor", [[text, answer] for text, answer, _ in cases]])
    for (text, _, wanted), found in zip(cases, got, strict=True):
        assert {k: found.get(k) for k in wanted} == wanted, (text, found)
    complaints = {
        ("5 kg", "length"): feet, ("4 bank yd3", "loose volume, such as loose yd³, yd³ or m³"): loose,
        ("5 smoots", "a length, such as ft, in or m"): feet, ("6 ft", "plain number"): {"unit": "1", "accept": {"1": [6, 6]}},
    }  # fmt: skip
    got = p.page.evaluate(CALL, ["figureFor", [[text, a] for (text, _), a in complaints.items()]])
    for (text, words), found in zip(complaints, got, strict=True):
        assert words in found.get("problem", ""), (text, found)


def test_a_comma_is_read_as_the_page_prints_it(opened: Opener) -> None:
    p = opened()
    accept = {key: [0, 1] for key in ("lb", "kg", "ft", "m")}
    rows = TABLE["as_printed"]
    calls = [[text, {"unit": unit, "accept": accept, "comma": comma}] for text, unit, comma, *_ in rows]
    for row, found in zip(rows, p.page.evaluate(CALL, ["figureFor", calls]), strict=True):
        if row[3] is None:
            assert "figure" not in found and ("either" in found or "problem" in found), row
        else:
            assert (found.get("figure"), found.get("unit")) == (row[3], row[4]), (row, found)


def test_the_hint_says_how_a_comma_is_read(opened: Opener) -> None:
    p = opened("number")
    p.start()
    assert "1,234" not in p.here.locator(".sq-hint").inner_text()


def test_a_page_that_prints_commas_takes_them(opened: Opener) -> None:
    p = opened("comma")
    p.start()
    assert "and 1,234 for 1234" in p.here.locator(".sq-hint").inner_text()
    p.here.locator("input").fill("1,234")
    p.press("Check my answer")
    p.press("Check my answer")  # yes, that is meant: it is far from any answer
    assert p.feedback.startswith("Not right.") and p.complaint == ""
    p.press("See my result")
    code = p.kept()["finished"][0]["code"]
    assert read_slip(code).answers[0]["answer"] == "1234"


def test_wrong_format_and_wrong_unit_are_not_marked_wrong(opened: Opener) -> None:
    p = opened("number")
    p.start()
    box = p.here.locator("input")
    for text, words in (
        ("ten", "There is no number in “ten”"),
        ("9.5 kg", "This answer needs a length, such as ft, in, m or cm."),
        ("9-10", "one number only"),
    ):
        box.fill(text)
        box.press("Enter")
        assert words in p.complaint and p.feedback == ""
        assert box.get_attribute("aria-invalid") == "true" and p.page.evaluate("document.activeElement.type") == "text"
    assert p.item().get("answer") is None
    p.give()
    assert p.complaint == "" and box.get_attribute("aria-invalid") == "false"


def test_a_part_of_what_is_counted_is_told_not_marked(opened: Opener) -> None:
    p = opened("count")
    p.start()
    part = p.here.locator(".sq-ask b, .sq-ask").first.inner_text().removeprefix("How many passes? Not ").rstrip(".")
    p.here.locator("input").fill(part)
    p.press("Check my answer")
    assert f"This answer is a whole number. Write “{part}” as one." in p.complaint and p.feedback == ""
    p.here.locator("input").fill(str(int(float(part))))
    p.press("Check my answer")
    assert p.feedback.startswith("Not right.") and "You rounded down." in p.feedback


def test_two_ways_to_read_are_asked_about(opened: Opener) -> None:
    p = opened("number")
    p.start()
    p.here.locator("input").fill("1,234 ft")
    p.press("Check my answer")
    assert "two ways" in p.complaint and p.feedback == ""
    p.here.get_by_role("button", name="1234 ft", exact=True).click()
    assert p.here.locator("input").input_value() == "1234 ft"
    p.press("Check my answer")
    p.press("Check my answer")  # yes, that is meant: it is far from any answer
    assert p.feedback.startswith("Not right.") and p.item()["answer"] == "1234 ft"
