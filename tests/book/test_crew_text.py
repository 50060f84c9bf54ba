"""What is read to a crew says what the tailgate sheet says, its figures in words."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from tests.speech.heard import heard
from tests.speech.test_ledger import figure_of

# names of rows, citations, and channels a site calls on
_NAMED = re.compile(r"\b[A-Z]{1,3}-\d+\b|[Cc]hannel \d+|\b911\b|\b\d+ C[FC]R [\d.]+(?:\([a-z0-9]+\))*")


def texts(demo: Path) -> list[tuple[str, str]]:
    found = sorted((demo / "out/web/aloud").glob("*.html"))
    assert len(found) == len(list((demo / "out/web/lessons").glob("*.html")))
    return [(p.stem, p.read_text("utf-8")) for p in found]


def read_part(html: str, hidden: str) -> str:
    """What is read, in one unit system."""
    body = html.partition('<div class="read">')[2].partition("</body>")[0]
    return unescape(re.sub(r"<[^>]*>", " ", re.sub(rf'<b class="{hidden}">.*?</b>', "", body)))


@pytest.mark.parametrize("hidden", ["us", "si"])
def test_no_figure_stands_in_it(demo: Path, hidden: str) -> None:
    for name, html in texts(demo):
        said = _NAMED.sub("", read_part(html, hidden))
        assert re.search(r"[\d%°×÷=]", said) is None, f"{name}: {said}"


def test_its_numbers_are_those_of_the_sheet(demo: Path) -> None:
    """Read back, the words are the figures that the sheet prints in the same places."""
    many = 0
    for name, html in texts(demo):
        sheet = (demo / f"out/web/sheets/{name}.html").read_text("utf-8")
        points = sheet.partition("<h2>Say</h2>\n<ol>")[2].partition("</ol>")[0]
        said = html.partition("<h2>Say</h2>")[2].partition("<h2>")[0]
        for system in ("us", "si"):
            printed = [figure_of(unescape(re.sub(r"<[^>]*>", "", x))) for x in re.findall(rf'<b class="(?:{system})?">(.*?)</b>', points)]
            words = re.findall(rf'<b(?: class="{system}")?>(.*?)</b>', said)
            figures = [w for w in words if w != "the figure we work out together"]
            want = [p for p in printed if p is not None]
            got = []
            for word in figures:
                try:
                    got.append(heard(unescape(word).partition(", ")[0], "en").figure)
                except (ValueError, KeyError, IndexError):
                    continue  # words, such as whom to call
            assert got == [f * (1000 if u == "kV" else 1) for f, u in want], f"{name}: {words}"
            many += len(got)
    assert many > 80


def test_what_the_crew_works_out_is_left_to_them(demo: Path) -> None:
    left = [name for name, html in texts(demo) if "the figure we work out together" in html]
    assert len(left) >= 5
    for name in left:
        assert 'class="blank"' in (demo / f"out/web/sheets/{name}.html").read_text("utf-8")


def test_the_sheet_leads_to_it_and_the_answers_stay_with_the_mentor(demo: Path) -> None:
    for name, html in texts(demo):
        assert f'href="../aloud/{name}.html"' in (demo / f"out/web/sheets/{name}.html").read_text("utf-8")
        assert f'href="../sheets/{name}.html"' in html
        key = (demo / f"out/mentor/keys/{name}.html").read_text("utf-8")
        asked = key.partition('<div class="ask">')[2].partition("</div>")[0]
        answers = [a for a in re.findall(r"<br><b>(.*?)</b>", asked) if "<" not in a and len(a) > 25]
        assert [a for a in answers if a in html] == [], name


def test_it_fits_a_phone_and_one_sheet_of_paper(demo: Path, browser: Any, tmp_path: Path) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    for name, _ in texts(demo):
        page.goto((demo / f"out/web/aloud/{name}.html").as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, name
        pdf = page.pdf(format="Letter")
        assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1, name
    page.close()
