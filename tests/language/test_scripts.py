"""What the scripts say: found in them, whole in each catalogue, and said in the language of the page."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.book.sheets import with_words
from generator.language.catalogue import catalogue
from generator.language.scripts import (
    CONTENT,
    HELPER,
    NAME,
    NoString,
    all_strings,
    main,
    po_text,
    script_files,
    strings_in,
    table,
    update,
)
from generator.language.words import ENGLISH, Catalogue, using
from generator.publish.edition_folder import guard, plain_page, write_edition_folder

STRINGS = all_strings()
LANGUAGES = sorted(p.parent.parent.name for p in CONTENT.glob("*/words/player.po"))
BLANK = re.compile(r"\{(\w+)\}")


def test_there_is_a_language_and_there_are_sentences() -> None:
    assert "es" in LANGUAGES and len(STRINGS) > 300


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_sentence_stands_in_the_catalogue_with_its_blanks(language: str) -> None:
    found = catalogue(language, (CONTENT,))
    for one, many in STRINGS:
        said = found.plurals.get(one, ()) if many else (found.texts.get(one, ""),)
        assert said and all(said), f"{one!r} has no translation"
        blanks = sorted(set(BLANK.findall(one)) | set(BLANK.findall(many)))
        for text in said:
            assert sorted(set(BLANK.findall(text))) == blanks, (one, text)
            assert not re.search(r"[<>]", text), text  # some go into markup


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_file_is_as_the_program_makes_it(language: str, tmp_path: Path) -> None:
    shipped = (CONTENT / language / "words/player.po").read_text("utf-8")
    copy = tmp_path / "player.po"
    copy.write_text(shipped, "utf-8")
    assert update(copy, language, STRINGS) == 0
    assert copy.read_text("utf-8") == shipped


def test_the_command_updates_the_languages_it_is_told_or_all_there_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("generator.language.scripts.CONTENT", tmp_path)
    for name in ("pl", "es", "de"):
        (tmp_path / name).mkdir()
    for name in ("pl", "es"):
        (tmp_path / name / "words").mkdir()
    count = len(STRINGS)
    main(["pl"])
    assert capsys.readouterr().out == f"pl player.po: {count} sentences, {count} to translate\n"
    assert [p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*.po")] == ["pl/words/player.po"]
    main([])
    assert capsys.readouterr().out == "".join(f"{name} player.po: {count} sentences, {count} to translate\n" for name in ("es", "pl"))
    assert (tmp_path / "es/words/player.po").is_file() and not (tmp_path / "de/words").exists()


def test_a_language_that_has_no_folder_yet_is_given_one(tmp_path: Path) -> None:
    path = tmp_path / "pl" / "words" / "player.po"
    for _ in range(2):
        assert update(path, "pl", {("One", ""): ["a.js"]}) == 1
    assert 'msgid "One"\nmsgstr ""' in path.read_text("utf-8") and "Language: pl" in path.read_text("utf-8")


def test_what_a_translator_marked_as_doubtful_and_wrote_beside_it_stays(tmp_path: Path) -> None:
    """``#, fuzzy`` and ``# …`` of a PO file (GNU gettext manual, PO Files; from memory); a mark of how strings are filled in is none of theirs."""
    path = tmp_path / "player.po"
    keys = {("One", ""): ["a.js"], ("Two", ""): ["a.js"]}
    head = po_text("es", {}, {})
    path.write_text(f'{head}# ask Ida\n#: a.js\n#, fuzzy, python-format\nmsgid "One"\nmsgstr "Uno"\n\nmsgid "Two"\nmsgstr "Dos"\n', "utf-8")
    assert update(path, "es", keys) == 0
    now = path.read_text("utf-8")
    assert '# ask Ida\n#: a.js\n#, fuzzy\nmsgid "One"\nmsgstr "Uno"' in now and now.count("#,") == 1
    assert now.endswith('\n\n#: a.js\nmsgid "Two"\nmsgstr "Dos"\n\n')


def test_what_is_translated_stays_and_what_nobody_says_goes(tmp_path: Path) -> None:
    path = tmp_path / "player.po"
    assert update(path, "es", {("One", ""): ["a.js"], ("{n} lesson", "{n} lessons"): ["a.js", "b.js"]}) == 2
    text = path.read_text("utf-8").replace('msgid "One"\nmsgstr ""', 'msgid "One"\nmsgstr "Uno"')
    path.write_text(text.replace('msgstr[0] ""', 'msgstr[0] "{n} lección"').replace('msgstr[1] ""', 'msgstr[1] "{n} lecciones"'), "utf-8")
    assert update(path, "es", {("Two", ""): ["a.js"], ("{n} lesson", "{n} lessons"): ["b.js"]}) == 1
    now = path.read_text("utf-8")
    assert "Uno" not in now and "{n} lecciones" in now and "a.js" in now and po_text("es", {}, {}) == now[: now.index("#:")]


@pytest.mark.parametrize(
    "script, found",
    [
        ("say('It’s here.')", [("It’s here.", "")]),
        ('say("One, " +\n  "and two.")', [("One, and two.", "")]),
        ("say('one\\n\\ttwo \\\\ \\x')", [("one\n\ttwo \\ x", "")]),
        ("say('It\\u2019s here.')", [("It’s here.", "")]),
        ("x = window.seatworkSay.say('a \\'b\\' \\u00a0c')", [("a 'b' \u00a0c", "")]),
        ("el('p', {}, ...sayIn('Next: {lesson}', { lesson }))", [("Next: {lesson}", "")]),
        ('sayMany("{n} lesson", "{n} lessons", 3)', [("{n} lesson", "{n} lessons")]),
        ("// say('no')\n/* say('nor') */ says('this'); essay('that'); say('yes')", [("yes", "")]),
        ("function say(text) { return text; }", []),
        ("at = 'http://x'; say('still')", [("still", "")]),
    ],
)
def test_calls_are_found_and_nothing_else(script: str, found: list[tuple[str, str]]) -> None:
    assert strings_in(script) == found


@pytest.mark.parametrize("script", ["say('You have ' + n)", "say(text)", "say(`x`)", "sayMany('one', many, 2)", "say('')"])
def test_a_sentence_that_is_put_together_is_refused(script: str) -> None:
    with pytest.raises(NoString, match=r"a\.js:1: the sentence has to be written out"):
        strings_in(script, "a.js")


def test_a_sentence_that_is_put_together_is_told_with_its_line() -> None:
    for before in ("\n", "x;\n", "/* one\ntwo */\n\n"):
        with pytest.raises(NoString) as e:
            strings_in(f"{before}say(text)\n", "a.js")
        assert str(e.value).startswith(f"a.js:{before.count(chr(10)) + 1}: ")


# words that scripts write in other ways than to say them: of data, of the record store, of the search
_NOT_SAID = re.compile(
    r"Basic|Result code|no questions|no fieldset|no such choice|not a figure|the store is blocked|a set asks|Content-Type|Crew\b$"
)


def test_no_sentence_is_left_unsaid() -> None:
    """A literal with a capital and a blank in it is a sentence: it stands in a call that says it, or is thrown."""
    for path, where in script_files():
        script = path.read_text("utf-8")
        script = re.sub(r"/\*.*?\*/", "", script, flags=re.DOTALL)
        for literal in re.finditer(r"""(?<!say\()(?<!\+ )'([A-Z][a-z]+ [a-z][^'\n]*)'|(?<!say\()"([A-Z][a-z]+ [a-z][^"\n]*)\"""", script):
            text, before = literal[1] or literal[2], script[max(0, literal.start() - 90) : literal.start()]
            said = re.search(r"say(In|Html|Many)?\(\s*$|sayMany\([^()]*,\s*$", before) or any(text in key for key in STRINGS)
            assert said or "new Error(" in before or _NOT_SAID.search(text), f"{where}: {text}"


# --- in a page ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Any]:
    page = browser.new_page()
    yield page
    page.close()


def test_a_page_says_it_in_its_language_and_what_is_not_there_in_english(page: Any) -> None:
    found = Catalogue("es", {"Next: {lesson}": "{lesson} es lo que sigue", "{some} and {last}": "{some} y {last}", "a <b>": 'x < "y" {n}'},
                      {"{n} lesson": ("{n} lección", "{n} lecciones")})  # fmt: skip
    strings = json.dumps({"texts": dict(found.texts), "plurals": {k: list(v) for k, v in found.plurals.items()}})
    page.goto("about:blank")
    page.evaluate(f"window.seatworkStrings = {strings}")
    page.add_script_tag(content=(CONTENT / "look" / HELPER).read_text("utf-8"))
    assert page.evaluate(
        """() => { const s = window.seatworkSay, b = document.createElement('b'), p = document.createElement('p');
        b.append('L'); p.append(...s.sayIn('Next: {lesson}', { lesson: b }));
        return [p.innerHTML, s.sayMany('{n} lesson', '{n} lessons', 1), s.sayMany('{n} lesson', '{n} lessons', 2), s.listed(['1', '2', '5']),
          s.listed(['1', '2'], true), s.say('Wait {constructor} {x}', { x: '{y}' }), s.say('toString'), s.sayHtml('a <b>', { n: '<i>1</i>' })]; }"""
    ) == [
        "<b>L</b> es lo que sigue", "1 lección", "2 lecciones", "1, 2 y 5", "1 or 2", "Wait {constructor} {y}", "toString",
        "x &lt; &quot;y&quot; <i>1</i>",
    ]  # fmt: skip


def test_the_table_of_a_page_and_none_in_english() -> None:
    assert table(Catalogue(ENGLISH), CONTENT) == ""
    spanish = catalogue("es", (CONTENT,))
    script = table(spanish, CONTENT)
    data = json.loads(script.removeprefix("window.seatworkStrings = ").rstrip(";\n"))
    assert data["language"] == "es" and data["texts"]["Wait."] == "Espere." and len(data["texts"]) + len(data["plurals"]) == len(STRINGS)
    assert not spanish.missing
    assert "forms" not in data  # one, and many: as in English
    polish = json.loads(table(Catalogue("pl"), CONTENT).removeprefix("window.seatworkStrings = ").rstrip(";\n"))
    # common practice, no source but the rules of gettext: 1 lekcja; 2 to 4, 22 to 24 and so on lekcje, but 12 to 14 lekcji
    assert polish["forms"] == [0 if n == 1 else 1 if n % 10 in {2, 3, 4} and n % 100 // 10 != 1 else 2 for n in range(200)]
    lacking = Catalogue("es", {"Wait.": "Espere."})
    table(lacking, CONTENT)
    assert len(lacking.missing) == len({one for one, _ in STRINGS}) - 1


def test_a_sheet_gets_the_words_before_the_script_that_needs_them() -> None:
    html = '<script src="../assets/seatwork.js" defer></script>\n<script src="../assets/machines.js" defer></script>\n'
    words = '<script src="../assets/words.js" defer></script>\n'
    assert with_words(html) == html.replace('<script src="../assets/machines', words + '<script src="../assets/machines')
    with using(Catalogue("es")):
        assert f'<script src="../assets/{NAME}" defer></script>\n{words}<script src="../assets/machines' in with_words(html)
    assert with_words(with_words(html)) == with_words(html)
    assert with_words("<p>no script</p>") == "<p>no script</p>"


def test_what_tells_of_a_newer_edition_speaks_the_language_of_its_page(tmp_path: Path) -> None:
    web = tmp_path / "web"
    (web / "assets").mkdir(parents=True)
    (web / "assets/x.css").write_text("p {}", "utf-8")
    pages = {
        lang: f'<!doctype html><html lang="{lang}"><head><meta charset="utf-8"><link href="assets/x.css"></head></html>'
        for lang in ("en", "es")
    }
    for lang, text in pages.items():
        (web / f"{lang}.html").write_text(text, "utf-8")
    write_edition_folder(web, (CONTENT,))
    made = {lang: (web / f"{lang}.html").read_bytes() for lang in pages}
    assert b"A newer edition of this handbook" in made["en"] and b"Cargar otra vez" not in made["en"]
    assert "Se publicó una edición más nueva".encode() in made["es"] and b"A newer edition" not in made["es"]
    assert b"say(" not in made["en"] + made["es"]
    assert {lang: plain_page(text).decode() for lang, text in made.items()} == pages
    assert guard(Catalogue(ENGLISH)) in made["en"]
