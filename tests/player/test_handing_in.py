"""The result file, the slip, printing."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import zxingcpp

from tests.player.playing import Player
from tests.player.slips import UNITS, BadSlip, fnv1a, folded, read_short, read_slip

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
        "language",
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
    kept = p.kept("C17")["finished"][0]
    code, file = kept["code"], kept["file"]
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


@pytest.mark.parametrize("which", ["code", "short"])
def test_slip_mistyped_in_any_one_place_is_noticed(opened: Opener, which: str) -> None:
    p = opened("two")
    p.start()
    p.play()
    code = p.kept()["finished"][0][which]
    reader = read_slip if which == "code" else read_short
    reader(code.lower().replace("-", " "))  # however it is typed
    for i, letter in enumerate(code):
        if letter != "-":
            with pytest.raises(BadSlip):
                reader(code[:i] + ("7" if letter != "7" else "8") + code[i + 1 :])
    swapped = code[:5] + code[6] + code[5] + code[7:]
    if swapped != code:
        with pytest.raises(BadSlip):
            reader(swapped)


# --- the short code and the slip on the screen --------------------------------------------------


def test_short_code_is_read_from_its_layout(opened: Opener) -> None:
    p = opened()
    p.start("C17")
    p.here.locator("input").fill("9 ft 10 1/2 in")
    p.press("Check my answer")
    p.press("Next")
    p.play(wrong=("bench-03", "bench-04"))
    kept = p.kept("C17")["finished"][0]
    shown = p.page.locator(".sq-code").inner_text()
    assert shown == kept["short"] and re.fullmatch(r"([0-9A-HJKMNP-TV-Z]{4}-){5}[0-9A-HJKMNP-TV-Z]{4}", shown)
    assert kept["right"] in {2, 3} and kept["must"]  # the height fits some of the figures asked
    a = kept["file"]["answers"]
    text = "|" + ";".join(
        f"{x['units'][0]}{x['variant']}:" + ("9 ft 10 1/2 in" if isinstance(x["answer"], str) else ",".join(map(str, x["answer"])))
        for x in a
    )
    which = '["bench-height","2026-1"]'  # the page has no figures
    assert read_short(shown) == {
        "crew": folded('"C17"', 21), "figures": folded(which, 20), "lesson": folded(which, 9),
        "finished": datetime.fromisoformat(kept["finished"]).replace(second=0), "right": kept["right"], "of": 5, "missed": int(bool(kept["must"])), "answers": folded(text, 11),
    }  # fmt: skip


def test_results_of_before_get_their_short_code_too(opened: Opener) -> None:
    p = opened("two")
    p.start()
    p.play()
    short = p.kept()["finished"][0]["short"]
    p.page.evaluate("""() => {
      const key = Object.keys(localStorage).find((k) => k.startsWith('seatwork-quiz|'));
      const state = JSON.parse(localStorage.getItem(key));
      delete state.finished[0].short;
      localStorage.setItem(key, JSON.stringify(state));
    }""")
    p.page.reload()
    assert p.page.locator(".sq-code").inner_text() == short


def squares(p: Player) -> list[list[bool]]:
    """The QR code on show as rows of dark modules, quiet zone and all, read from its drawing."""
    svg = p.page.locator("dialog .sq-slip-square svg")
    size = int((svg.get_attribute("viewBox") or "").split()[2])
    rows = [[False] * size for _ in range(size)]
    for x, y, run, back in re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", svg.locator("path").get_attribute("d") or ""):
        assert run == back
        for i in range(int(run)):
            rows[int(y)][int(x) + i] = True
    return rows


@pytest.mark.parametrize(("name", "http"), [("all", False), ("dark", False), ("pool", True)])
def test_the_slip_shows_both_codes(opened: Opener, name: str, http: bool) -> None:
    p = opened(name, http=http, phone=True)
    p.start()
    p.play()
    assert p.page.evaluate("typeof window.qrcode") == "undefined"  # fetched when there is a slip to show
    kept = p.kept()["finished"][0]
    p.press("Show the slip")
    dialog = p.page.locator("dialog.sq-slip-shown")
    dialog.wait_for()
    assert "-".join(dialog.locator(".sq-slip-short span").all_inner_texts()) == kept["short"]
    assert "It is no proof." in dialog.inner_text() and "Crew id" in dialog.inner_text()
    rows = squares(p)
    image = np.kron(np.where(np.array(rows), 0, 255), np.ones((6, 6))).astype(np.uint8)
    found = zxingcpp.read_barcodes(image)
    assert [(f.text, f.format) for f in found] == [(kept["code"].replace("-", ""), zxingcpp.BarcodeFormat.QRCode)]
    assert found[0].ec_level == "M"
    edge = np.array(rows)
    assert not any(part.any() for part in (edge[:4], edge[-4:], edge[:, :4], edge[:, -4:]))
    square = dialog.locator(".sq-slip-square svg")
    assert [square.locator(s).get_attribute("fill") for s in ("rect", "path")] == ["#fff", "#000"]
    assert dialog.evaluate("d => [getComputedStyle(d).color, getComputedStyle(d).backgroundColor]") == [
        "rgb(0, 0, 0)",
        "rgb(255, 255, 255)",
    ]
    assert p.page.evaluate("document.querySelector('dialog').scrollWidth <= document.querySelector('dialog').clientWidth")
    assert dialog.locator("details .sq-slip-code span").evaluate_all("l => l.map(x => x.textContent).join('-')") == kept["code"]
    p.press("Close")
    dialog.wait_for(state="detached")  # it is taken out once the browser has told that it was closed


def test_without_the_library_the_letters_stand_there(opened: Opener) -> None:
    p = opened("two", init="window.addEventListener('error', (e) => e.preventDefault(), true);", http=True)
    p.page.route("**/vendor/qrcode.js", lambda route: route.fulfill(status=200, content_type="text/javascript", body=""))
    p.start()
    p.play()
    p.press("Show the slip")
    dialog = p.page.locator("dialog.sq-slip-shown")
    dialog.wait_for()
    assert "The square could not be drawn here" in dialog.inner_text()
    assert "-".join(dialog.locator(".sq-slip-code span").all_inner_texts()) == p.kept()["finished"][0]["code"]


def on_paper(p: Player, paper: str = "Letter") -> tuple[str, int]:
    """The words a print shows, and how many pages it takes."""
    p.page.emulate_media(media="print")
    words = p.page.evaluate("document.body.innerText")
    pages = len(re.findall(rb"/Type\s*/Page\b", p.page.pdf(format=paper)))
    p.page.emulate_media(media="screen")
    return words, pages


@pytest.mark.parametrize("by", ["Print the slip", "the browser"])
def test_slip_prints_alone_on_one_page(opened: Opener, by: str) -> None:
    p = opened(init="window.print = () => { window.printed = (window.printed || 0) + 1; };")
    p.start()
    p.play()
    kept = p.kept()["finished"][0]
    for times, paper in enumerate(("Letter", "A4"), 1):
        p.press("Show the slip")
        p.page.locator("dialog.sq-slip-shown").wait_for()
        if by == "Print the slip":
            p.press(by)
            assert p.page.evaluate("window.printed") == times
        else:
            p.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
        words, pages = on_paper(p, paper)
        assert pages == 1
        assert words.startswith("Quiz result slip") and "C01" in words and "5 of 5 right, passed" in words
        short, _, long = words.partition("Long code,")
        assert "-".join(re.findall(r"\b[0-9A-Z]{4}\b", short.partition("to copy by hand:")[2])) == kept["short"]
        assert "-".join(re.findall(r"\b[0-9A-Z]{4}\b", long.partition("typing slips.")[2])) == kept["code"]
        assert "Lesson text" not in words and "Question" not in words and "Close" not in words
        # a print ends by itself, and the page is whole again
        p.press("Close")
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
        "Short code",
        "Show the slip",
    ):
        assert words not in text
