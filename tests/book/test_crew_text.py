"""What is read to a crew says what the tailgate sheet says, its figures in words."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from generator.language.words import tr, using
from tests.speech.heard import heard
from tests.speech.test_ledger import WORDS, figure_of
from tests.speech.test_say import heard_as

PLACES = {"en": "", "es": "es/"}  # of the demo's languages, below its web folder
BOTH = pytest.mark.parametrize("language", PLACES)

# names of rows, citations, and channels a site calls on
_NAMED = re.compile(r"\b[A-Z]{1,3}-\d+\b|[Cc]hannel \d+|\b911\b|\b\d+ C[FC]R [\d.]+(?:\([a-z0-9]+\))*")


def said(text: str, language: str) -> str:
    with using(WORDS[language]):
        return tr(text)


def texts(demo: Path, language: str) -> list[tuple[str, str]]:
    web = demo / "out/web" / PLACES[language]
    found = sorted((web / "aloud").glob("*.html"))
    assert len(found) == len(list((web / "lessons").glob("*.html")))
    return [(p.stem, p.read_text("utf-8")) for p in found]


def read_part(html: str, hidden: str) -> str:
    """What is read, in one unit system."""
    body = html.partition('<div class="read">')[2].partition("</body>")[0]
    return unescape(re.sub(r"<[^>]*>", " ", re.sub(rf'<b class="{hidden}">.*?</b>', "", body)))


@BOTH
@pytest.mark.parametrize("hidden", ["us", "si"])
def test_no_figure_stands_in_it(demo: Path, hidden: str, language: str) -> None:
    for name, html in texts(demo, language):
        left = _NAMED.sub("", read_part(html, hidden))
        assert re.search(r"[\d%°×÷=]", left) is None, f"{name}: {left}"
        assert f'lang="{language}"' in html


@BOTH
def test_its_numbers_are_those_of_the_sheet(demo: Path, language: str) -> None:
    """Read back, the words are the figures and the units that the sheet prints in the same places."""
    many, head = 0, said("Say", language)
    for name, html in texts(demo, language):
        sheet = (demo / f"out/web/{PLACES[language]}sheets/{name}.html").read_text("utf-8")
        points = sheet.partition(f"<h2>{head}</h2>\n<ol>")[2].partition("</ol>")[0]
        read = html.partition(f"<h2>{head}</h2>")[2].partition("<h2>")[0]
        for system in ("us", "si"):
            printed = [
                figure_of(unescape(re.sub(r"<[^>]*>|\s*\([^)]*\)", "", x)), language)
                for x in re.findall(rf'<b class="(?:sw-words ?)?(?:{system})?">(.*?)</b>', points)
            ]
            words = re.findall(rf'<b(?: class="{system}")?>(.*?)</b>', read)
            figures = [unescape(w).partition(", ")[0] for w in words if w != said("the figure we work out together", language)]
            got = [w for w in figures if _is_number(w, language)]
            want = [p for p in printed if p is not None]
            assert len(got) == len(want), f"{name}: {words}"
            for shown, word in zip(want, got, strict=True):
                heard_as(shown, word, language)
            many += len(got)
    assert many > 80


def _is_number(words: str, language: str) -> bool:
    """Others are words, such as whom to call."""
    try:
        heard(words, language)
    except (ValueError, KeyError, IndexError):
        return False
    return True


@BOTH
def test_what_the_crew_works_out_is_left_to_them(demo: Path, language: str) -> None:
    left = [name for name, html in texts(demo, language) if said("the figure we work out together", language) in html]
    assert len(left) >= 5
    for name in left:
        assert 'class="blank"' in (demo / f"out/web/{PLACES[language]}sheets/{name}.html").read_text("utf-8")


@BOTH
def test_the_sheet_leads_to_it_and_the_answers_stay_with_the_mentor(demo: Path, language: str) -> None:
    for name, html in texts(demo, language):
        assert f'href="../aloud/{name}.html"' in (demo / f"out/web/{PLACES[language]}sheets/{name}.html").read_text("utf-8")
        assert f'href="../sheets/{name}.html"' in html
        key = (demo / f"out/mentor/{PLACES[language]}keys/{name}.html").read_text("utf-8")
        asked = key.partition('<div class="ask">')[2].partition("</div>")[0]
        answers = [a for a in re.findall(r"<br><b>(.*?)</b>", asked) if "<" not in a and len(a) > 25]
        assert [a for a in answers if a in html] == [], name


@BOTH
def test_it_fits_a_phone_and_one_sheet_of_paper(demo: Path, browser: Any, language: str) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    for name, _ in texts(demo, language):
        page.goto((demo / f"out/web/{PLACES[language]}aloud/{name}.html").as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, name
        pdf = page.pdf(format="Letter")
        assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1, name
    page.close()
