"""The demo in Spanish as it is built: no English in what a reader sees or hears, but for what says that it is English."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.source.yamltext import load_plain
from tests.conftest import DEMO
from tests.pages.english import english_in, strings, texts

# what stays English wherever it stands, each with its reason
ALLOWED = frozenset({
    "to-fill-in",  # the name of a file
    "Engineering Analysis of Vehicular Accidents",  # the title of a book, in what is said of a table
    "on foot", "others close by",  # keys of what a mentor signs: sign-off.js has their words
})  # fmt: skip


def of_the_site() -> frozenset[str]:
    """What the site's own tables and settings say: it is in the language they were written in."""
    found = set(strings(load_plain((DEMO / "settings.yml").read_text("utf-8"), "settings.yml")))
    for path in DEMO.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            found |= {cell for row in csv.reader(file) for cell in row}
    said = {some for text in found for some in (text, text[:1].upper() + text[1:], text[:1].lower() + text[1:]) if " " in text}
    return frozenset(said)


def pages(demo: Path) -> Iterator[Path]:
    """Every page in Spanish: those on the web, and those of the mentor folder."""
    for place in ("web/es", "mentor/es"):
        yield from sorted((demo / "out" / place).rglob("*.html"))


def longest_first(allowed: frozenset[str]) -> list[str]:
    return sorted(allowed, key=len, reverse=True)


def test_no_english_is_left_on_a_page(demo: Path) -> None:
    allowed = longest_first(ALLOWED | of_the_site())
    found = list(pages(demo))
    assert len(found) > 150
    left: dict[str, str] = {}
    for path in found:
        for text in english_in(texts(path.read_text("utf-8")), allowed):
            left.setdefault(text[:120], path.relative_to(demo / "out").as_posix())
    assert left == {}


def test_every_quiz_names_figures_that_the_edition_keeps(demo: Path) -> None:
    """Or no result of it could be marked."""
    (kept,) = (json.loads(p.read_text("utf-8"))["lessons"] for p in (demo / "editions").glob("2026-1.json"))
    found = {p.stem: re.findall(r'"figures":"(\w+)"', p.read_text("utf-8")) for p in (demo / "out/web/es/lessons").glob("*.html")}
    assert len(found) > 40
    assert {k: set(v) for k, v in found.items()} == {k: {kept[k]["figures"]} for k in found}


def test_every_page_says_that_it_is_spanish(demo: Path) -> None:
    other = [p for p in pages(demo) if not re.search(r'<html\b[^>]*\blang="es"', p.read_text("utf-8"))]
    assert other == []


_JSON = re.compile(r"^[^=]*=\s*|;\s*$")


def test_no_english_is_left_in_what_the_player_says(demo: Path) -> None:
    """The strings that pages load are those of the catalogue, and every one has its translation."""
    (script,) = (demo / "out/web/es").rglob("assets/strings.js")
    said: Any = json.loads(re.search(r"\{.*\}", script.read_text("utf-8"), re.DOTALL)[0])  # type: ignore[index]
    assert len(list(strings(said))) > 200
    assert list(english_in([re.sub(r"\{\w+\}", "", text) for text in strings(said)])) == []


def test_english_is_found_where_it_is_and_not_where_the_page_says_so() -> None:
    page = (
        '<html lang="es"><title>Guía</title><p>Pare the máquina.</p><p lang="en">Stop the machine.</p>'
        '<button aria-label="Listen to the page">▶</button><script>var x = "the";</script>'
        '<script type="application/json">{"id": "half-of-it", "ask": "Point at <b>the</b> edge", "because": "Es el borde."}</script>'
        "<p>Sand and gravel 36 in</p></html>"
    )
    assert list(english_in(texts(page), ["Sand and gravel"])) == ["Pare the máquina.", "Listen to the page", "Point at"]


@pytest.mark.parametrize("text", ["so_far", "f068be21", "half-of-it", "36 in", "8 fl oz/h", "17.3 in (439 mm)", "#do-it"])
def test_ids_and_units_are_no_english(text: str) -> None:
    assert list(english_in([text])) == []


# pages with the longest words, the widest tables, and figures with a caution behind them
LONGEST = (
    "lessons/side-slope-limits.html", "lessons/undercarriage-left.html", "lessons/truck-match.html", "lessons/lines-above-and-below.html",
    "index.html", "glossary.html", "coordinator.html", "reference/trench.html", "aloud/if-it-slides.html", "sheets/cab-e-1.html",
)  # fmt: skip


def test_pages_of_long_words_are_no_wider_than_a_phone(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    wide = {}
    for name in LONGEST:
        page.goto((demo / "out/web/es" / name).as_uri())
        if (width := page.evaluate("document.documentElement.scrollWidth")) > 360:
            wide[name] = width
    page.close()
    assert wide == {}
