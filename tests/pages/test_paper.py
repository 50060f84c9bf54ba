"""Every sheet on paper: one page, two with a field exercise, nothing cut, text that can be selected; Letter and A4."""

from __future__ import annotations

import json
import re
import subprocess
import time
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from pathlib import Path
from typing import Any

import pytest
import yaml

# printed letters smaller than 8 points; those of a drawing as large as the drawing is shown on the paper
SMALL = """() => {
  const found = new Set(), walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const text = walk.currentNode.textContent.trim(), e = walk.currentNode.parentElement;
    if (!text || !e.checkVisibility() || e.closest('script, style')) continue;
    const m = e.closest('svg') ? e.getScreenCTM() : null;
    const points = parseFloat(getComputedStyle(e).fontSize) * 0.75 * (m ? Math.hypot(m.b, m.d) : 1);
    if (points < 7.95) found.add(`${points.toFixed(1)} ${text.slice(0, 20)}`);
  }
  return [...found].slice(0, 3);
}"""
# letters of a sign-off sheet's lines to tick, in points, and how many leaves there are
TICKED = """() => [Math.min(...[...document.querySelectorAll('.criterion, .criterion *')].map(e => parseFloat(getComputedStyle(e).fontSize) * 0.75)),
  document.querySelectorAll('.leaf').length]"""
# what no box shows: words of a table's head that run out of their cell or break within themselves, and lines that run into the code
HEADS = """() => {
  const found = new Set(), range = document.createRange();
  for (const th of document.querySelectorAll('thead th')) {
    const box = th.getBoundingClientRect(), walk = document.createTreeWalker(th, NodeFilter.SHOW_TEXT);
    while (th.checkVisibility() && walk.nextNode()) {
      for (const word of walk.currentNode.textContent.matchAll(/[^\\s\\u00ad-]+/g)) {
        range.setStart(walk.currentNode, word.index);
        range.setEnd(walk.currentNode, word.index + word[0].length);
        const at = range.getBoundingClientRect();
        if (range.getClientRects().length > 1 || at.left < box.left - 0.5 || at.right > box.right + 0.5) found.add(word[0]);
      }
    }
  }
  for (const code of document.querySelectorAll('.leaf .id')) {
    const there = code.getBoundingClientRect();
    for (const line of code.closest('.leaf').querySelectorAll('.write-in, .write-in *')) {
      const at = line.getBoundingClientRect();
      if (at.right > there.left + 0.5 && at.left < there.right && at.bottom > there.top && at.top < there.bottom) found.add(line.textContent);
    }
  }
  return [...found].slice(0, 3);
}"""
PAPERS = {"Letter": (7.6, 10.1), "A4": (7.37, 10.79)}  # inches within the margins of sheet.css


# of the Spanish sheets those that hold most: pictures with steps, tables, a field exercise, the card of most rows, the longest leaf
SPANISH = ("side-slope-limits", "trench-walls", "haul-road", "trench-to-grade", "cab-e-1", "cab-t-1", "slope-crew")


def sheets(out: Path) -> list[Path]:
    found = [p for place in ("web/sheets", "mentor/signoff", "mentor/keys") for p in sorted((out / place).glob("*.html"))]
    more = [p for place in ("web/es/sheets", "mentor/es/signoff") for p in sorted((out / place).glob("*.html")) if p.stem in SPANISH]
    return found + more


def _text(pdf: Path) -> tuple[int, str]:
    """How many pages there are, and their text."""
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    return text.count("\f"), text  # a form feed ends each page


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_every_sheet_is_one_page_and_a_back_if_any(demo: Path, browser: Any, tmp_path: Path, paper: str) -> None:
    wrong = []
    page = browser.new_page()
    found = sheets(demo / "out")
    keys = [s for s in found if "keys" in s.parts]
    wide, high = PAPERS[paper]
    page.set_viewport_size({"width": int(wide * 96), "height": int(high * 96)})
    for sheet in found:
        for units in ("us", "metric"):
            # US units on Letter, metric on A4; metric on Letter too, the shorter paper, every third; of the keys every fifth
            if (paper == "A4" and units == "us") or (paper == "Letter" and units == "metric" and found.index(sheet) % 3):
                continue
            if "keys" in sheet.parts and (units == "metric" or keys.index(sheet) % 5):
                continue
            page.goto(f"{sheet.as_uri()}?units={units}")
            page.emulate_media(media="print")
            cut = page.evaluate(
                """[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > innerWidth + 1
                   && !e.closest('svg, math')).length"""
            )
            small = page.evaluate(SMALL)
            if heads := page.evaluate(HEADS):
                wrong.append(f"{sheet.name} in {units} on {paper}: cut, broken or run into another: {heads}")
            pdf = tmp_path / f"{sheet.stem}.pdf"
            page.pdf(path=str(pdf), format=paper)
            pages, text = _text(pdf)
            # an answer key may run over; it is not handed round. A field exercise stands on the back
            sides = {2} if '<section class="back">' in sheet.read_text("utf-8") else {1}
            if "signoff" in sheet.parts:
                # a leaf is a front and a back, and its lines are not made smaller than can be read with dirty glasses on
                letters, leaves = page.evaluate(TICKED)
                sides = {2 * leaves}
                if letters < 10.99:
                    wrong.append(f"{sheet.name}: lines to tick of {letters} points")
            if pages not in sides and "keys" not in sheet.parts:
                wrong.append(f"{sheet.name} in {units} on {paper}: {pages} pages")
            if small:
                wrong.append(f"{sheet.name} in {units}: letters smaller than 8 points: {small}")
            if cut:
                wrong.append(f"{sheet.name}: {cut} parts stick out")
            title = page.title().split(":")[0].split()[0]
            if title not in text:
                wrong.append(f"{sheet.name}: its text cannot be selected")
    page.close()
    assert not wrong, wrong[:12]


@pytest.mark.parametrize("lesson", ["if-it-slides", "trench-to-grade"])
def test_the_first_page_of_a_lesson_holds_steps_of_its_pair_and_the_whole_takes_few_pages(
    demo: Path, browser: Any, tmp_path: Path, lesson: str
) -> None:
    page = browser.new_page()
    page.goto((demo / f"out/web/lessons/{lesson}.html").as_uri())
    said = page.evaluate("document.querySelector('figure.sw-steps .sw-strip li p').textContent")
    pdf = tmp_path / f"{lesson}.pdf"
    page.pdf(path=str(pdf), prefer_css_page_size=True, format="Letter")
    page.close()
    pages, text = _text(pdf)
    start = "".join(text.split("\f")[0].split())
    assert "Wrong." in start
    assert "".join(said.split())[:18] in start
    assert pages <= 14  # a picture of a question takes half the width, not a page of its own


def test_a_sheet_prints_from_its_button_and_shows_no_tools_on_paper(demo: Path, browser: Any) -> None:
    page = browser.new_page()
    page.add_init_script("window.print = () => { window.asked = (window.asked || 0) + 1; };")
    page.goto((demo / "out/web/sheets/bench-height.html").as_uri())
    page.get_by_role("button", name="Print this sheet").click()
    assert page.evaluate("window.asked") == 1
    page.emulate_media(media="print")
    assert not page.locator(".tools").is_visible()
    page.close()


@pytest.mark.parametrize("place", ["mentor/signoff/dozer-operator.html", "mentor/keys/bench-height.html", "web/sheets/cab-e-2.html"])
def test_cards_sign_off_sheets_and_keys_print_from_one_button_in_black_and_white(demo: Path, browser: Any, place: str) -> None:
    page = browser.new_page()
    page.add_init_script("window.print = () => { window.asked = (window.asked || 0) + 1; };")
    page.goto((demo / "out" / place).as_uri())
    button = page.locator("[data-print]")
    assert button.count() == 1
    button.click()
    assert page.evaluate("window.asked") == 1
    page.emulate_media(media="print")
    assert not page.locator(".tools").is_visible()
    coloured = page.evaluate(
        """() => [...document.querySelectorAll('body, body *')].filter(e => e.checkVisibility()).filter(e => {
             const s = getComputedStyle(e);
             return [s.color, s.backgroundColor, s.borderTopColor, s.borderLeftColor, s.fill, s.stroke].some(c => {
               const n = (c.match(/[\\d.]+/g) || []).map(Number);
               return c.startsWith('rgb') && n[3] !== 0 && !(n[0] === n[1] && n[1] === n[2]);
             });
           }).length"""
    )
    assert coloured == 0
    page.close()


def _shown(page: Any, selector: str) -> str:
    """The printed text of the parts chosen, in one unit system, with spaces as they are read."""
    texts = page.locator(selector).evaluate_all("all => all.filter(e => e.checkVisibility()).map(e => e.textContent)")
    return " ".join(" ".join(texts).split())


def _rounded(finer: str, like: str) -> str:
    """A printed figure rounded to the places of another one, halves up; as it is where either is no plain decimal."""
    try:
        ends = Decimal(like.replace(",", "").replace("−", "-"))
        value = Decimal(finer.replace(",", "").replace("−", "-")).quantize(ends, rounding=ROUND_HALF_UP)
    except InvalidOperation:
        return finer
    return f"{value:,}".replace("-", "−")


def test_what_a_crew_works_out_stands_on_the_key_alone(demo: Path, browser: Any) -> None:
    """The lesson's own ledger says what comes out; a sheet prints it nowhere, not in what is said, not in the drawing."""
    ledger = json.loads((demo / "out/ledger.json").read_text("utf-8"))["numbers"]
    page = browser.new_page()
    wrong, sums = [], 0
    for sheet in sorted((demo / "out/web/sheets").glob("*.html")):
        if sheet.name.startswith("cab-"):
            continue
        results = [e["us"] for e in ledger if e["page"] == f"lessons/{sheet.stem}.html" and e["place"].startswith("tailgate sheet")]
        assert len(results) == 1, sheet.name
        figure = re.match(r"−?[\d.,:]*\d", results[0])  # one below zero is printed with its sign
        assert figure, results
        page.goto(f"{(demo / 'out/mentor/keys' / sheet.name).as_uri()}")
        page.emulate_media(media="print")
        # what a later line takes up again has a digit more there
        worked = re.findall(r"−?\d[\d.,:]*\d|\d", _shown(page, ".sum math, .sum .sw-line"))
        alike = {w for w in worked if w == figure[0] or _rounded(w, figure[0]) == figure[0]}
        assert alike, f"{sheet.name}: the key lacks {figure[0]}"
        page.goto(f"{sheet.as_uri()}?units=us")
        given = _shown(page, ".sum .given b")
        given += "".join(f" {float(inches) / 12:g} ft" for inches in re.findall(r"(\d+) in\b", given))
        said = f"{_shown(page, 'ol > li')} {_shown(page, '.figure text')}"
        # where what comes out is what was put in, such as a bench as high as a stick, the sheet has the latter
        finer = {results[0].replace(figure[0], a, 1) for a in alike}
        if any(re.search(rf"(?<![\d.,]){re.escape(r)}", said) and r not in given for r in finer | {results[0]}):
            wrong.append(f"{sheet.name}: {results[0]}")
        assert page.locator(".sum .write").count() >= 2 and page.locator(".sum .answer .blank").count() >= 1, sheet.name
        sums += 1
    page.close()
    assert not wrong and sums > 20, wrong


def test_the_first_page_of_the_mentor_folder_links_readiness_and_paper_quizzes(demo: Path) -> None:
    mentor = demo / "out/mentor"
    links = re.findall(r'href="([^":]+\.html)"', (mentor / "index.html").read_text("utf-8"))
    assert {"records/readiness.html", "paper/index.html"} <= set(links)
    assert not [link for link in links if not (mentor / link).is_file()]


@pytest.mark.parametrize("place", ["mentor/signoff/dozer-operator.html", "mentor/keys/bench-height.html"])
def test_every_page_of_the_mentor_folder_says_its_edition_and_its_number(demo: Path, browser: Any, tmp_path: Path, place: str) -> None:
    page = browser.new_page()
    page.goto((demo / "out" / place).as_uri())
    page.pdf(path=str(tmp_path / "x.pdf"), prefer_css_page_size=True)
    page.close()
    pages, text = _text(tmp_path / "x.pdf")
    for i, printed in enumerate(text.split("\f")[:pages], 1):
        assert f"2026-1 · page {i} of {pages}" in printed


def test_what_stands_under_a_page_ends_no_style() -> None:
    from generator.book.foot import page_foot

    foot = page_foot('Site "x"; } </style><script>alert(1)</script> \\', "2026-1")
    assert "<" not in foot and "alert(1)" not in foot
    assert foot.count("{") == foot.count("}") == 3


def test_a_sign_off_sheet_has_lines_to_tick_for_each_lesson_of_its_role(demo: Path) -> None:
    roles = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["roles"]
    for id_, role in roles.items():
        sheet = (demo / f"out/mentor/signoff/{id_}.html").read_text("utf-8")
        rows = re.findall(r'<tbody data-lesson="([^"]*)">(.*?)</tbody>', sheet, re.DOTALL)
        assert sorted(i for i, _ in rows) == sorted(role["lessons"]), id_
        assert all(
            row.count('class="criterion"') >= 3 and row.count('class="box"') == 2 * row.count('class="criterion"') for _, row in rows
        )


def test_each_leaf_of_a_sign_off_sheet_is_whole_by_itself(demo: Path, browser: Any, tmp_path: Path) -> None:
    page = browser.new_page()
    page.goto((demo / "out/mentor/signoff/dozer-operator.html").as_uri())
    page.pdf(path=str(tmp_path / "x.pdf"), format="Letter")
    page.close()
    _, text = _text(tmp_path / "x.pdf")
    sides = text.split("\f")[:-1]
    codes = []
    for front, back in zip(sides[::2], sides[1::2], strict=True):
        (code,) = set(re.findall(r"[0-9A-Z]{4}-[0-9A-Z]{4}", front))
        codes.append(code)
        assert {code} == set(re.findall(r"[0-9A-Z]{4}-[0-9A-Z]{4}", back))
        said = " ".join(front.split())
        assert all(
            x in said for x in ("Sign-off: Dozer operator", "edition 2026-1", "Operator", "Crew id", "Machine id", "Mentor, in print")
        )
        assert back.count("Signature") == 2 and "does not replace the machine's manual" in " ".join(back.split())
        assert "Signature" not in front
        kept = json.loads((demo / f"editions/sheets/{code.replace('-', '')}.json").read_text("utf-8"))
        assert all(x["id"] in front + back for x in kept["lessons"]) and kept["leaf"] == len(codes)
    assert len(set(codes)) == len(codes) == kept["leaves"]


def test_sheets_can_be_printed_to_pdf_from_the_command_line(demo: Path, tmp_path: Path) -> None:
    from generator.publish.pdf import print_all

    said: list[str] = []
    sheet = demo / "out/web/sheets/bench-height.html"
    print_all([(sheet, tmp_path / "bench.pdf")], said.append, 1_767_225_600)
    pages, text = _text(tmp_path / "bench.pdf")
    assert pages == 1 and "bench" in text
    # the day of printing is not in it: printed again a second later it is the same file
    time.sleep(1.1)
    print_all([(sheet, tmp_path / "again.pdf")], said.append, 1_767_225_600)
    assert (tmp_path / "again.pdf").read_bytes() == (tmp_path / "bench.pdf").read_bytes()
    assert b"(D:20260101000000" in (tmp_path / "bench.pdf").read_bytes()
    assert said and "1 of 1" in said[0]


def test_without_a_browser_there_is_one_clear_line(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    from generator.cli.main import main
    from generator.publish import pdf
    from tests.conftest import DEMO

    monkeypatch.setenv("PATH", "")
    monkeypatch.delenv("SEATWORK_BROWSER", raising=False)
    monkeypatch.setattr(pdf, "PLACES", ())
    assert main(["build", str(DEMO), "--pdf", "--quiet"]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1 and "no Chromium-family browser" in err and "SEATWORK_BROWSER" in err
