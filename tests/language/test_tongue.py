"""The skeleton of a third language in a site's folder, and what is told and printed where it has no words yet."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from babel.messages.pofile import read_po

from generator.book.content import content_folder, read_content
from generator.book.lesson import front_and_body
from generator.book.tongue import add_language, add_words, missing, program_strings
from generator.book.tree import taught
from generator.cli.main import main
from generator.language.catalogue import NoCatalogue, catalogue
from generator.language.words import Catalogue, ntr, using
from generator.publish.build import Problems, build, load
from generator.source.overlay import lay_over, words_in
from generator.source.problem import Problem, Refusal
from generator.source.yamltext import entries, load_yaml
from tests.conftest import copy_demo
from tests.sites import own_lesson

CONTENT = content_folder()


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A site of two lessons, one of them its own, that is to speak Polish as well."""
    folder = own_lesson(copy_demo(tmp_path / "site", languages=True))
    settings = folder / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("languages: [en, es]", "languages: [en, pl]"), "utf-8")
    (folder / "pl").mkdir()
    return folder


def told(folder: Path, language: str = "pl") -> Any:
    content, site = load(folder)
    return missing(site, CONTENT, language, taught(content, site).lessons)


def filled(path: Path, words: dict[str, str]) -> None:
    text = path.read_text("utf-8")
    for english, other in words.items():
        text, count = re.subn(rf'(?m)^(msgid "{re.escape(english)}"\n)msgstr ""', lambda m, o=other: f'{m[1]}msgstr "{o}"', text)  # type: ignore[misc]
        assert count == 1, english
    path.write_text(text, "utf-8")


def test_the_skeleton_has_every_string_and_name_once(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["own", str(small), "--language", "pl"]) == 0
    said = capsys.readouterr().out
    assert "languages: [en, pl]" in said and "seatwork check" in said
    with (small / "pl/words/words.po").open("rb") as file:
        there = [m for m in read_po(file) if m.id]
    keys = {(m.id[0], m.id[1]) if isinstance(m.id, tuple | list) else (m.id, "") for m in there}
    assert keys == set(program_strings(CONTENT).found) and len(there) == len(keys) > 3000
    assert {("Do it", ""), ("Wait.", ""), ("Why it matters", "")} <= keys  # of pages, of scripts, the six headings
    assert all(not any(m.string) if isinstance(m.string, tuple | list) else not m.string for m in there)
    assert any(len(m.string) == 3 for m in there if isinstance(m.string, tuple | list))  # Polish has three forms
    names = (small / "pl/names.csv").read_text("utf-8-sig").splitlines()
    assert names[0] == "name,in_language" and "D-1 Middle dozer," in names and "Digger," in names


def test_what_is_there_stays_and_what_is_missing_is_added(small: Path) -> None:
    site = load(small)[1]
    add_language(site, CONTENT, "pl")
    words, names = small / "pl/words/words.po", small / "pl/names.csv"
    filled(words, {"Do it": "Zrób to"})
    text = words.read_text("utf-8").replace('msgid "The numbers"', 'msgid "Not any more"')
    words.write_text(text, "utf-8")
    (small / "pl/words/mine.po").write_text('msgid ""\nmsgstr ""\n"Language: pl\\n"\n\nmsgid "Watch for"\nmsgstr "Uważaj"\n', "utf-8")
    names.write_bytes(b"In language;Name;x\r\nGlina;clay;".replace(b";x", b"").rstrip(b";"))
    before = names.read_bytes()
    assert [line.partition(":")[0] for line in add_language(site, CONTENT, "pl")] == ["pl/words/words.po", "pl/names.csv"]
    assert words.read_text("utf-8").startswith(text) and words.read_text("utf-8").count('msgid "The numbers"') == 1
    assert names.read_bytes().startswith(before + b"\r\n;") and b"\r\n;Digger\r\n" in names.read_bytes()
    assert names.read_text("utf-8").count("clay") == 2  # clay, and wet clay
    assert add_language(site, CONTENT, "pl") == []
    assert catalogue("pl", (CONTENT, small)).texts == {"Do it": "Zrób to", "Watch for": "Uważaj"}


def test_words_of_a_lesson_have_the_shape_that_translators_write() -> None:
    """What is written out has the places of the Spanish files, which people wrote, and laid over its text gives it again."""

    def shape(value: Any, name: str = "") -> Any:
        if name == "find":
            return "words"
        if isinstance(value, dict):
            return {str(k): shape(v, str(k)) for k, v in entries(value).items()}
        return [shape(v) for v in value] if isinstance(value, list) else value is not None

    wrong: list[object] = []
    for path in sorted((CONTENT / "lessons").glob("*.md")):
        base = front_and_body(path.read_text("utf-8"))[0]
        words = words_in(base)
        spanish = front_and_body((CONTENT / "es/lessons" / path.name).read_text("utf-8"))[0]
        assert shape(words) == shape(spanish), path.name
        assert lay_over(base, load_yaml(yaml.safe_dump(words, sort_keys=False), "x"), lambda *a: wrong.append(a)) == base, path.name
    for path in sorted((CONTENT / "questions").glob("*.yml")):
        base = load_yaml(path.read_text("utf-8"), path.name)
        words = words_in(base)
        assert shape(words) == shape(load_yaml((CONTENT / "es/questions" / path.name).read_text("utf-8"), "x")), path.name
        assert lay_over(base, load_yaml(yaml.safe_dump(words, sort_keys=False), "x"), lambda *a: wrong.append(a)) == base, path.name
    assert wrong == []


def test_words_of_a_lesson_count_once_the_skeletons_line_is_out(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["own", str(small), "--language", "pl", "stop-work", "cautions.yml"]) == 0
    capsys.readouterr()
    lesson, questions = small / "pl/lessons/stop-work.md", small / "pl/questions/stop-work.yml"
    assert told(small).lessons == ("stop-work", "look-first") == told(small).questions
    assert "cautions.yml:edge" in told(small).texts
    for path in (lesson, small / "pl/cautions.yml"):
        path.write_text(re.sub(r"(?m)^# skeleton:.*\n", "", path.read_text("utf-8")), "utf-8")
    lesson.write_text(lesson.read_text("utf-8").replace("title: Anyone may stop the work", "title: Każdy może zatrzymać pracę"), "utf-8")
    assert told(small).lessons == ("look-first",) and "cautions.yml:edge" not in told(small).texts
    site = load(small)[1]

    def title() -> tuple[str, str]:
        found = read_content(CONTENT, small, rules=site.rules, language="pl").lessons["stop-work"]
        return found.title, found.spoken

    assert title() == ("Anyone may stop the work", "en")  # its questions have none: a page is in one language
    questions.write_text(re.sub(r"(?m)^# skeleton:.*\n", "", questions.read_text("utf-8")), "utf-8")
    assert title() == ("Każdy może zatrzymać pracę", "pl")
    content = load(small)[0]
    with pytest.raises(Refusal, match="it is there already"):
        add_words(site, content, "pl", "stop-work")
    with pytest.raises(Refusal, match="no such lesson"):
        add_words(site, content, "pl", "stop-wrok")


def test_check_counts_what_has_no_words_and_finds_no_fault(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = load(small)[1]
    add_language(site, CONTENT, "pl")
    filled(small / "pl/words/words.po", {"Do it": "Zrób to", "Sheet {number}": "Arkusz {numer}", "Wait.": "<b>Czekaj.</b>"})
    (small / "pl/names.csv").write_text("name,in_language\nclay,glina\nno such name,nic\n", "utf-8")
    assert main(["check", str(small), "--strict"]) in {0, 2}  # 2: the demo has notices of its own
    before = capsys.readouterr()
    assert main(["check", str(small)]) == 0
    out = capsys.readouterr().out
    assert "in Polish (pl) there are no words yet for" in out and "strings of the program: " in out
    assert "2 lessons: stop-work, look-first" in out and "2 lessons' questions: " in out and "names of the tables: " in out
    assert "2 have other {blanks} or <marks> than the English" in out and "'Sheet {number}', 'Wait.'" in out.replace(
        "'Wait.', 'Sheet {number}'", "'Sheet {number}', 'Wait.'"
    )
    assert "pl/names.csv:3: nothing of this site is called 'no such name'" in out
    assert "error" not in before.err.lower()


def test_a_page_without_words_says_in_which_language_it_is(small: Path) -> None:
    add_language(load(small)[1], CONTENT, "pl")
    note = "This lesson is not yet in this language. It is in {language}."
    filled(
        small / "pl/words/words.po",
        {"Do it": "Zrób to", "Tailgate sheet to print": "Arkusz do druku", note: "Ta lekcja jest jeszcze w języku: {language}."},
    )
    build(small, lambda _: None)
    page = (small / "out/web/pl/lessons/stop-work.html").read_text("utf-8")
    assert re.search(r'<html[^>]* lang="pl"', page)
    inside = page.partition('<div class="sw-spoken" lang="en">')[2]
    assert '<p class="sw-note" lang="pl" data-search-exclude>Ta lekcja jest jeszcze w języku: angielski.</p>' in inside
    assert "Anyone may stop the work" in inside and "Do it</h2>" in inside  # all of it is in English, so that a voice can read it
    assert "sw-spoken" not in (small / "out/web/lessons/stop-work.html").read_text("utf-8")
    assert "sw-spoken" not in (small / "out/web/pl/index.html").read_text("utf-8")


def test_a_damaged_file_of_strings_is_told_with_its_line(small: Path) -> None:
    (small / "pl/words").mkdir()
    (small / "pl/words/words.po").write_text('msgid "Do it"\nmsgstr "Zrób\n', "utf-8")
    with pytest.raises(NoCatalogue, match=r"pl/words/words.po:2"):
        catalogue("pl", (small,))
    with pytest.raises(Problems) as found:
        build(small, lambda _: None)
    assert isinstance(found.value.problems[0], Problem) and str(found.value.problems[0]).startswith("pl/words/words.po:2: ")


def test_a_language_has_as_many_forms_as_it_needs() -> None:
    # common practice, no source but the rules of gettext: 1 lekcja, 2 lekcje, 5 lekcji, 12 lekcji, 22 lekcje
    polish = Catalogue("pl", plurals={"{n} lesson": ("{n} lekcja", "{n} lekcje", "{n} lekcji")})
    with using(polish):
        assert [ntr("{n} lesson", "{n} lessons", n) for n in (1, 2, 5, 12, 22, 1.5)] == [
            "1 lekcja", "2 lekcje", "5 lekcji", "12 lekcji", "22 lekcje", "1.5 lekcji",
        ]  # fmt: skip
