"""The result file, the slip, printing."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.player.playing import Player
from tests.player.slips import UNITS, BadSlip, fnv1a, read_slip

Opener = Callable[..., Player]


def test_fnv1a_against_published_values(opened: Opener) -> None:
    # test vectors of the FNV hash, draft-eastlake-fnv (FNV-1a, 32 bit)
    published = {"": 0x811C9DC5, "a": 0xE40C292C, "foobar": 0xBF9CF968}
    p = opened()
    for text, value in published.items():
        assert fnv1a(text) == value
        assert p.page.evaluate("t => customElements.get('seatwork-quiz').fnv1a(t)", text) == value


def test_canonical_text_is_pythons(opened: Opener) -> None:
    p = opened()
    hard = {
        "b": [1, 0.83, True, None, 'é ½ \u007f \n " \\ \u2028 😀 </b>'],
        "a": {"z": -2.5, "A": ""},
        "ü": [],
    }
    text = p.page.evaluate("v => customElements.get('seatwork-quiz').canonical(v)", hard)
    assert text == json.dumps(hard, sort_keys=True, separators=(",", ":"), ensure_ascii=True)


def saved(p: Player) -> tuple[str, dict[str, Any]]:
    with p.page.expect_download() as caught:
        p.press("Save my result")
    return caught.value.suggested_filename, json.loads(Path(caught.value.path()).read_text("utf-8"))


@pytest.mark.parametrize("http", [False, True], ids=["file", "http"])
def test_result_file(opened: Opener, http: bool) -> None:
    p = opened(http=http)
    before = datetime.now(UTC).replace(microsecond=0)
    p.start("C17")
    p.play(wrong=("bench-02",))
    name, file = saved(p)
    assert re.fullmatch(r"seatwork_C17_bench-height_2026-1_\d{8}T\d{6}Z\.json", name)
    check = file.pop("check")
    assert check == f"{fnv1a(json.dumps(file, sort_keys=True, separators=(',', ':'))):08x}"
    assert list(file) == [
        "seatwork_result",
        "crew",
        "lesson",
        "edition",
        "site",
        "units",
        "pass_mark",
        "started",
        "finished",
        "tries",
        "answers",
        "score_shown",
    ]
    assert (file["seatwork_result"], file["crew"], file["lesson"], file["edition"]) == (
        1,
        "C17",
        "bench-height",
        "2026-1",
    )
    assert (file["site"], file["units"], file["pass_mark"], file["tries"], file["score_shown"]) == (
        "gravel-pit",
        "us",
        0.8,
        1,
        0.8,
    )
    for key in ("started", "finished"):
        assert before <= datetime.fromisoformat(file[key]) <= datetime.now(UTC)
    answers = {a["q"]: a for a in file["answers"]}
    assert all(set(a) == {"q", "variant", "units", "answer", "at"} for a in file["answers"])
    assert float(answers["bench-01"]["answer"]) in {10, 9.5, 12, 8}
    assert [answers[f"bench-0{i}"]["answer"] for i in (2, 3, 4, 5)] == [
        [2],
        [0, 1],
        [0, 1, 2, 3],
        [0],
    ]


def test_tries_are_counted_and_older_results_can_still_be_saved(opened: Opener) -> None:
    p = opened("two")
    p.start()
    p.play(wrong=("bench-01",))
    p.again()
    p.play()
    first = p.page.locator(".sq-older")
    first.locator("summary").click()
    assert "1 of 2, not passed" in first.inner_text()
    with p.page.expect_download() as caught:
        first.get_by_role("button", name="Save my result").click()
    assert json.loads(Path(caught.value.path()).read_text("utf-8"))["tries"] == 1
    assert p.kept()["finished"][-1]["file"]["tries"] == 2


def test_unit_places_are_frozen(opened: Opener) -> None:
    p = opened()
    assert p.page.evaluate("customElements.get('seatwork-quiz').UNITS")[: len(UNITS)] == UNITS


def test_slip_is_read_from_its_layout(opened: Opener) -> None:
    p = opened()
    p.start("C17")
    p.here.locator("input").fill("9 ft 10 1/2 in")
    p.press("Check my answer")
    p.page.evaluate("document.documentElement.dataset.units = 'metric'")
    p.press("Next")
    p.play(wrong=("bench-03", "bench-04"))
    code = p.page.locator(".sq-code").inner_text()
    file = p.kept("C17")["finished"][0]["file"]
    slip = read_slip(code)
    assert (slip.crew, slip.lesson, slip.edition) == ("C17", "bench-height", "2026-1")
    assert slip.finished == datetime.fromisoformat(file["finished"]).replace(second=0)
    assert [a["kind"] for a in slip.answers] == ["number", "one", "several", "order", "point"]
    assert [(a["units"], a["variant"]) for a in slip.answers] == [(a["units"], a["variant"]) for a in file["answers"]]
    assert [a["units"] for a in slip.answers] == ["us"] + ["metric"] * 4
    assert slip.answers[0]["answer"] == "9 ft 10 1/2 in"
    assert [a["answer"] for a in slip.answers[1:]] == [a["answer"] for a in file["answers"][1:]]
    assert re.fullmatch(r"([0-9A-HJKMNP-TV-Z]{4}-)+[0-9A-HJKMNP-TV-Z]{4}", code)


def test_slip_texts_and_figures_of_every_form(opened: Opener) -> None:
    p = opened()
    answer = {"shown": "", "unit": "yd3", "accept": {"yd3": [0, 1], "m3": [0, 1], "lcy": [0, 1]}}
    question = {
        "kind": "number",
        "variants": [{"us": {"answer": answer}, "metric": {"answer": answer}}],
    }
    wanted = {
        "-1,234.5": "-1234.5",
        "5½ cu yd": "5 1/2 yd3",
        "0,75 m³": "0.75 m3",
        ".5": "0.5",
        "3 loose yd3": "3 lcy",
    }
    result = {
        "crew": "Jörg 7", "lesson": "a" * 63, "edition": "2026-1.b", "finished": "2026-11-25T12:34:56Z",
        "answers": [{"answer": raw, "units": "us", "variant": 0} for raw in wanted],
    }  # fmt: skip
    code = p.page.evaluate(
        "([r, q]) => customElements.get('seatwork-quiz').slipCode(r, q)",
        [result, [question] * len(wanted)],
    )
    slip = read_slip(code)
    assert (slip.crew, slip.lesson, slip.edition) == ("Jörg 7", "a" * 63, "2026-1.b")
    assert slip.finished == datetime(2026, 11, 25, 12, 34, tzinfo=UTC)
    assert [a["answer"] for a in slip.answers] == list(wanted.values())


def test_slip_mistyped_in_any_one_place_is_noticed(opened: Opener) -> None:
    p = opened("two")
    p.start()
    p.play()
    code = p.page.locator(".sq-code").inner_text()
    read_slip(code.lower().replace("-", " "))  # however it is typed
    for i, letter in enumerate(code):
        if letter != "-":
            with pytest.raises(BadSlip):
                read_slip(code[:i] + ("7" if letter != "7" else "8") + code[i + 1 :])
    swapped = code[:5] + code[6] + code[5] + code[7:]
    if swapped != code:
        with pytest.raises(BadSlip):
            read_slip(swapped)


def on_paper(p: Player, paper: str = "Letter") -> tuple[str, int]:
    """The words a print shows, and how many pages it takes."""
    p.page.emulate_media(media="print")
    words = p.page.evaluate("document.body.innerText")
    pages = len(re.findall(rb"/Type\s*/Page\b", p.page.pdf(format=paper)))
    p.page.emulate_media(media="screen")
    return words, pages


def test_slip_prints_alone_on_one_page(opened: Opener) -> None:
    p = opened(init="window.print = () => { window.printed = (window.printed || 0) + 1; };")
    p.start()
    p.play()
    code = p.page.locator(".sq-code").inner_text()
    for times, paper in enumerate(("Letter", "A4"), 1):
        p.press("Print the slip")
        assert p.page.evaluate("window.printed") == times
        words, pages = on_paper(p, paper)
        assert pages == 1
        assert words.startswith("Quiz result slip") and "C01" in words and "5 of 5 right, passed" in words
        assert "-".join(re.findall(r"\b[0-9A-Z]{4}\b", words.partition("Code")[2].partition("The code")[0])) == code
        assert "Lesson text" not in words and "Question" not in words
        # a print ends by itself, and the page is whole again
        assert p.page.locator(".sq-slip").count() == 0 and "Lesson text." in on_paper(p)[0]


@pytest.mark.parametrize("when", ["before", "during", "after"])
def test_page_printed_is_a_paper_list_without_answers(opened: Opener, when: str) -> None:
    p = opened()
    if when != "before":
        p.start()
        p.answer(right=False)
    if when == "after":
        p.press("Next")
        p.play()
    text, pages = on_paper(p)
    assert 1 <= pages <= 3
    for i in range(1, 6):
        assert f"Question {i}" in text
    assert "Lesson text." in text and "Look for cracks along the crest" in text and "Within 5%" in text
    for words in (
        "Not right",
        "Right.",
        "Start",
        "Check my answer",
        "The worked answer",
        "Passed",
        "your answer",
        "Crew id",
        "Up",
        "Slip code",
    ):
        assert words not in text
