"""A metric site in Spanish alone, in Argentina, with rules of its own: no English and no United States law in its readers' pages."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import content_folder
from generator.book.front import bar
from generator.book.tree import render_tree
from generator.jobsite.names import names_text, printed_in, site_names
from generator.language.words import missing, using
from generator.publish.build import load
from generator.publish.languages import speech
from tests.book.test_other_rules import UNITED_STATES
from tests.english_words import ENGLISH_WORDS
from tests.sites import own_rules

_WORD = re.compile(r"(?<![\w./#-])[A-Za-zÀ-ÿ]+(?![\w/-]|[.]\w)")  # of no id, path or file
_READ = ("alt", "aria-label", "title", "placeholder", "data-say", "data-say-us", "data-say-si")
NO_WORDS = ("assets/", "practice/")  # scripts, whose data are looked at in the built pages
WAITING: set[str] = set()  # beginnings of strings that have no Spanish yet: check and the catalogue's own tests count those
# a source is cited in the language it is in; an address and a name are no sentences
CITED = re.compile(r"Engineering Analysis of Vehicular Accidents|<(cite|code)\b.*?</\1>|\blang=\"en\"[^>]*>.*?</", re.DOTALL)


class _Texts(HTMLParser):
    """What is read of a page: its texts, and the attributes that voices and hints say."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.data = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.data = tag in {"script", "style"}
        self.found += [value for key, value in attrs if key in _READ and value]

    def handle_endtag(self, tag: str) -> None:
        self.data = False

    def handle_data(self, data: str) -> None:
        if not self.data:
            self.found.append(data)


def said(text: str) -> Iterator[str]:
    """The texts of a page; of data in it, all that is a sentence."""
    reading = _Texts()
    body = re.sub(r"\A---\n.*?\n---\n", "", text, flags=re.DOTALL)
    reading.feed(CITED.sub(" ", body))
    yield from (" ".join(re.split(r"[ \n\t]+", html.unescape(t))).strip() for t in reading.found if t.strip())
    for data in re.findall(r'<script type="application/json"[^>]*>(.*?)</script>', text, re.DOTALL):
        yield from (t for t in sentences(json.loads(data)) if " " in t)


def sentences(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield re.sub(r"<[^>]*>", " ", re.sub(r"Fuentes?\b.*?</(?:p|div|li)>|Fuentes?:.*", " ", data, flags=re.DOTALL))
    for value in data.values() if isinstance(data, dict) else data if isinstance(data, list) else ():
        yield from sentences(value)


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, str]:
    """The readers' pages and sheets of that site. Its names are numbers in words of no language, so that none need be excepted."""
    folder = own_rules(tmp_path_factory.mktemp("spanish") / "site")
    settings = folder / "settings.yml"
    settings.write_text(re.sub(r"(?m)^units: ", "language: es\ncountry: AR\nunits: ", settings.read_text("utf-8")), "utf-8")
    (folder / "es").mkdir()
    (folder / "es/names.csv").write_text("\ufeff" + names_text({n: f"Ñu {i}" for i, n in enumerate(site_names(load(folder)[1]))}), "utf-8")
    content, site = load(folder)
    with using(speech("es", content_folder(), folder)):
        tree = render_tree(content, printed_in(site, "es"))
        waiting = missing()
    assert tree.problems == []
    WAITING.update(" ".join(re.sub(r"\{\w*\}", " ", text).split()[:4]) for text in waiting)
    return {
        f"{place}/{name}": text
        for place, found in (("docs", tree.docs), ("mentor", tree.mentor))
        for name, text in found.items()
        if isinstance(text, str) and name.endswith((".md", ".html")) and not name.startswith(NO_WORDS)
    }


def test_no_english_word_stands_in_them(pages: Mapping[str, str]) -> None:
    assert len(pages) > 40
    found: dict[str, str] = {}
    for name, text in pages.items():
        for sentence in said(text):
            words = {w.lower() for w in _WORD.findall(sentence)} & ENGLISH_WORDS - {"in"}  # inches
            # the title of a source, and the place in it, are cited in the language the source is in
            if words and not sentence.startswith("Fuente") and not any(start in sentence for start in WAITING if start):
                found.setdefault(f"{sentence[:160]} {sorted(words)}", name)
    assert not found, "\n".join(f"{name}: {sentence}" for sentence, name in found.items())


def test_no_united_states_law_stands_in_them(pages: Mapping[str, str]) -> None:
    found = {f"{name}: {m[0]}" for name, text in pages.items() for s in said(text) for m in [UNITED_STATES.search(s)] if m}
    assert not found


def test_nothing_offers_feet_and_pounds_in_a_metric_country_unless_the_site_asks_for_both(pages: Mapping[str, str]) -> None:
    assert sum("data-units-fixed" in text for text in pages.values()) > 40
    # what is read to whoever does not see a drawing has no switch
    told = [m for text in pages.values() for m in re.findall(r"<(?:desc|title)\b[^>]*>([^<]*)<", text)]
    assert sum(bool(re.search(r"\d m\b", t)) for t in told) > 20 and not [t for t in told if re.search(r"\d (?:ft|in|lb|yd³)\b", t)]
    assert not [name for name, text in pages.items() if "<button" in text and re.search("<button[^>]*data-set-units", text)]
    assert not [
        name for name, text in pages.items() if "data-default-units" in text and 'data-default-units="metric" data-units-fixed' not in text
    ]


@pytest.mark.parametrize(
    ("lines", "both"),
    [
        ("units: metric\ncountry: AR", False), ("units: metric\ncountry: AR\nswitch_units: yes", True), ("units: us\ncountry: AR", True),
        ("units: metric", True), ("units: metric\nswitch_units: no", False), ("units: metric\ncountry: CA", True),
    ],
)  # fmt: skip
def test_the_switch_of_units_goes_by_the_country_where_the_site_says_nothing(tmp_path: Path, lines: str, both: bool) -> None:
    folder = own_rules(tmp_path / "site")
    settings = folder / "settings.yml"
    settings.write_text(re.sub(r"(?m)^units: .*", lines, settings.read_text("utf-8")), "utf-8")
    _, site = load(folder)
    assert site.settings.both_units is both
    assert (site.settings.writing.only is None) is both
    assert ("data-set-units" in bar(site, None)) is both and ("data-units-fixed" in bar(site, None)) is not both


def test_numbers_are_written_as_in_that_country(pages: Mapping[str, str]) -> None:
    """A comma before the decimals; a thin space between metric thousands, a point between those in feet and pounds."""
    text = " ".join(s for name, page in pages.items() if "/lessons/" in name or "/cards/" in name for s in said(page))
    assert re.search(r"\d,\d+ m\b", text) and not re.search(r"\d\.\d+\s(?:m|kg|km/h|t|L|m³|kN)\b", text)
    assert re.search(r"\b\d{1,3}\u202f\d{3}\s(?:kg|N|mm|kPa|L|h|m)", text) and re.search(r"\b\d{1,3}\.\d{3}\s(?:lb|lbf)", text)
    assert re.search(r"\d\.\d{3},\d", text)
    assert not re.search(r"\b\d{1,3},\d{3}\s(?:lb|lbf|kg)\b", text)
