"""What translators are given: every string that a reader sees, and nothing in their files that does not fit."""

from __future__ import annotations

import html
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

from generator.book import strings
from generator.book.headings import printed
from generator.book.lesson import HEADINGS
from generator.book.strings import CONTENT, NoString, Strings, all_strings, from_python, update
from generator.calc.catalogue import calculations
from generator.calc.formula import Formula
from generator.language import scripts
from generator.language.catalogue import catalogue
from generator.language.words import Catalogue, said, tr, using
from generator.publish.build import render
from generator.publish.one_language import footer
from generator.publish.site import settings as site_settings
from tests.conftest import ROOT

LANGUAGES = tuple(strings.languages())
_NAME = re.compile(r"\{(\w*)\}")
_TAG = re.compile(r"</?[a-z]+[^>]*>")


def messages(language: str) -> Iterator[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    """File, English and translation of each string that is translated."""
    for path in sorted((CONTENT / language / "words").glob("*.po")):
        with path.open("rb") as file:
            for message in read_po(file):
                ids = tuple(map(str, message.id if isinstance(message.id, tuple) else (message.id,)))
                said_so = tuple(str(s or "") for s in (message.string if isinstance(message.string, tuple) else (message.string,)))
                if message.id and any(said_so):
                    yield path.name, tuple(map(str, ids)), tuple(map(str, said_so))


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_files_hold_the_strings_of_the_program(language: str, tmp_path: Path) -> None:
    """``python -m generator.book.strings`` has nothing to do."""
    words = CONTENT / language / "words"
    shutil.copytree(words, tmp_path / "words")
    update(language, tmp_path / "words")
    there = {p.name: p.read_text("utf-8") for p in words.glob("*.po")}
    assert {p.name: p.read_text("utf-8") for p in (tmp_path / "words").glob("*.po")} == there


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_translation_has_the_blanks_and_the_marks_of_the_english(language: str) -> None:
    odd = []
    for file, ids, texts in messages(language):
        for one, text in zip((*ids, *ids[-1:] * len(texts)), texts, strict=False):
            if sorted(_NAME.findall(one)) != sorted(_NAME.findall(text)) or sorted(_TAG.findall(one)) != sorted(_TAG.findall(text)):
                odd.append(f"{file}: {one!r} -> {text!r}")
            if one[:1] == "_" and text[:1] != "_":
                odd.append(f"{file}: {one!r} is what stands below a letter; write _ before its translation")
    assert odd == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_two_symbols_of_a_formula_become_one(language: str) -> None:
    words = catalogue(language, [CONTENT])
    clash = []
    for c in calculations().values():
        if isinstance(c, Formula):
            symbols = [c.result.symbol, *(i.symbol for i in c.inputs), *(k.symbol for k in c.constants)]
            bases = [s.partition("_")[0] + words.texts.get("_" + s.partition("_")[2], "_" + s.partition("_")[2]) for s in symbols]
            if len(set(bases)) < len(set(symbols)):
                clash.append(f"{c.id}: {bases}")
    assert clash == []


def test_what_others_put_into_an_open_file_stays_and_keeps_its_translation(tmp_path: Path) -> None:
    words = tmp_path / "words"
    update("es", words)
    path = words / "drawings.po"
    own = '#: generator/drawing/scenes/one.py\nmsgid "The floor is {0} wide."\nmsgstr "El piso mide {0} de ancho."\n'
    path.write_text(path.read_text("utf-8") + "\n" + own, "utf-8")
    (words / "tables.po").write_text((words / "tables.po").read_text("utf-8") + '\nmsgid "Said no more"\nmsgstr "Ya no"\n', "utf-8")
    update("es", words)
    assert own.partition("\n")[2] in path.read_text("utf-8")
    assert "Said no more" not in (words / "tables.po").read_text("utf-8")


def test_a_string_inside_of_an_f_string_is_found(tmp_path: Path) -> None:
    path = tmp_path / "one.py"
    path.write_text(
        'x = f\'<b>{tr("Close " "it")}</b> {ntr("{n} hour", "{n} hours", 2)}\'\ny = mark(\'seen\') if z else said(\'not {what}\')\n'
    )
    found = Strings()
    from_python(path, "one.py", found)
    assert list(found.found) == [("Close it", ""), ("{n} hour", "{n} hours"), ("seen", ""), ("not {what}", "")]


@pytest.mark.parametrize("text", ['tr(f"{n} hours")', 'tr("hours: " + n)'])
def test_a_text_that_is_put_together_is_refused(text: str, tmp_path: Path) -> None:
    path = tmp_path / "one.py"
    path.write_text(text)
    with pytest.raises(NoString, match=r"one.py:1: tr\(\)"):
        from_python(path, "one.py", Strings())


def test_no_style_sheet_holds_words() -> None:
    """A style sheet is the same in every language: words it shows come from the page, by an attribute or a variable."""
    sheets = [p for folder in (CONTENT, ROOT / "generator") for p in folder.rglob("*.css")]
    assert len(sheets) > 5
    shown = re.compile(r"""content\s*:((?:"[^"]*"|'[^']*'|[^;}"'])*)""")
    quoted = {text for p in sheets for value in shown.findall(p.read_text("utf-8")) for text in re.findall("\"[^\"]*\"|'[^']*'", value)}
    assert len(quoted) > 3 and [text for text in quoted if re.search("[A-Za-z]{2}", text)] == []


def test_what_was_said_in_english_is_printed_in_the_language_of_the_page() -> None:
    both = said("passes, {words}", words=said("back to front"))
    assert both == "passes, back to front" and tr(both) == both
    with using(Catalogue("es", {"passes, {words}": "pasadas, {words}", "back to front": "de atrás adelante"})):
        assert tr(both) == "pasadas, de atrás adelante"
        assert both == "passes, back to front"  # what is kept and compared stays as it is


def test_the_anchors_of_the_six_headings_are_the_same_in_every_language() -> None:
    body = "\n## Do it\n\ntext\n\n## The numbers  \n\n## Another\n### Do it\n"
    assert printed(body) == body
    with using(Catalogue("es", {"Do it": "Hágalo", "The numbers": "Los números"})):
        assert printed(body) == "\n## Hágalo {#do-it}\n\ntext\n\n## Los números {#the-numbers}\n\n## Another\n### Do it\n"


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_six_headings_are_translated(language: str) -> None:
    words = catalogue(language, [CONTENT])
    assert [h for h in HEADINGS if h not in words.texts] == []


# --- a site in a made-up language, in which every string of the program stands between « and » ----

LESSONS = "[stop-work, bench-height, bank-loose-compacted, haul-road]"
_LEFT_OUT = re.compile(r"<(math|svg|script|style|code)\b.*?</\1>|^---.*?^---", re.DOTALL | re.MULTILINE)
_ANCHOR = re.compile(r"\{#[a-z0-9-]+\}")
IN_MENTOR = ("mentor/index", "mentor/records", "mentor/paper")
_INLINE = re.compile(r"</?(?:a|b|i|em|strong|span|button|wbr|bdi)\b[^>]*>")


def made_up() -> Catalogue:
    """Every string there is, between two signs that no page has otherwise."""
    texts, plurals = {}, {}
    every = [key for area in all_strings().values() for key in area.found]
    for one, many in (*every, *scripts.all_strings()):  # the scripts' own stand in no area
        if many:
            plurals[one] = (f"«{one}»", f"«{many}»")
        else:
            texts[one] = f"_«{one[1:]}»" if one.startswith("_") else f"«{one}»"
    return Catalogue("es", texts, plurals)


def outside(page: str) -> Iterator[str]:
    """The words of a page that stand in no string of the program."""
    labels = re.findall(r'(?:aria-label|title|alt|data-head|data-word)="([^"]*)"', page)
    texts = re.split(r"<[^>]+>|\n", _INLINE.sub("", _ANCHOR.sub("", _LEFT_OUT.sub("", page))))
    for text in (*labels, *texts):
        text = html.unescape(re.sub(r"\s+", " ", text))
        while (inner := re.sub(r"«[^«»]*»", "|", text)) != text:
            text = inner
        yield from (part.strip() for part in re.split(r"[^A-Za-z' -]+", text) if re.search(r"[A-Za-z]{3}", part))


def plain(*folders: Path) -> str:
    """The texts that a site's pages are made of, which are not the program's."""
    found = [
        p.read_text("utf-8") for folder in folders for p in sorted(folder.rglob("*")) if p.suffix in {".md", ".yml", ".csv"} and p.is_file()
    ]
    texts = re.sub(r"\{\{ ?material.name ?\}\}", "common earth", " ".join(found))
    return re.sub(r"[\s>|_-]+", " ", texts).casefold()


@pytest.fixture(scope="module")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, str], frozenset[str], str]:
    """The pages of a small site in the made-up language, what was asked for in vain, and the line at the foot of each page."""
    folder = tmp_path_factory.mktemp("small") / "site"
    shutil.copytree(Path("site_demo"), folder, ignore=shutil.ignore_patterns("out", "editions", "register", ".seatwork*", "results"))
    settings = folder / "settings.yml"
    head, _, rest = settings.read_text("utf-8").partition("roles:\n")
    role = f"roles:\n  digger: {{title: Digger, machines: [excavator], lessons: {LESSONS}}}\n"
    settings.write_text(head + role + rest[rest.index("\n# This site's own limits") :], "utf-8")
    (folder / "crew.csv").write_text("id,name,role,machines,start\nP-01,Person One,digger,E-1,2026-01-05\n", "utf-8")
    words = made_up()
    with pytest.MonkeyPatch.context() as patch, using(words):
        patch.setenv("SEATWORK_WORKERS", "1")
        patch.setattr("generator.publish.build.speech", lambda *_: words, raising=False)  # whatever language the site is in
        patch.setattr("generator.drawing.measure.found", str, raising=False)  # drawings look their sentences up themselves
        tree, site = render(folder, lambda _: None)
        foot = footer(site)
    pages = {n: t for n, t in tree.docs.items() if isinstance(t, str)} | {
        f"mentor/{n}": t for n, t in tree.mentor.items() if isinstance(t, str)
    }
    return pages, frozenset(words.missing), foot


def test_every_string_that_a_page_asks_for_is_in_the_files(spoken: tuple[dict[str, str], frozenset[str], str]) -> None:
    assert sorted(spoken[1]) == []


def test_no_english_stands_beside_the_strings(spoken: tuple[dict[str, str], frozenset[str], str]) -> None:
    pages, _, foot = spoken
    known = plain(Path("content/lessons"), Path("content/questions"), Path("site_demo")) + plain(Path("content")) + " digger person one"
    assert foot.startswith("«Edition ")
    bare = ("index.md", "operator.md", "mentor.md", "coordinator.md", "practice.md", "glossary.md", "reference/", "sheets/cab-", *IN_MENTOR)
    left = {
        f"{name}: {part}"
        for name, page in pages.items()
        if name.startswith(bare) and name.endswith((".md", ".html"))
        for part in outside(page)
        if not any(re.sub(r"[\s_-]+", " ", some).casefold() in known for some in (part, part.partition(" ")[2] or part))
    }
    assert sorted(left) == []


def test_the_theme_speaks_the_language_and_looks_for_words_as_they_are_typed() -> None:
    english = site_settings("Site", [], "")
    assert english["theme"]["language"] == "en" and english["theme"]["palette"][0]["toggle"]["name"] == "Dark pages"
    with using(made_up()):
        made = site_settings("Site", [], "")
    assert made["theme"]["language"] == "es"
    assert {p["toggle"]["name"] for p in made["theme"]["palette"]} == {"«Dark pages»", "«Light pages»"}
    assert {"search": {"lang": "en"}} in made["plugins"]  # the theme's stemmers made the search worse


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_english_is_translated_in_two_ways(language: str) -> None:
    """All files are one catalogue, so of two translations of one English the later file's would stand in both places."""
    told: dict[tuple[str, ...], dict[str, set[str]]] = {}
    for file, ids, texts in messages(language):
        told.setdefault(ids[:1], {}).setdefault(" / ".join(texts), set()).add(file)
    assert {one: found for one, found in told.items() if len(found) > 1} == {}
