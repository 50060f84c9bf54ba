"""The skeleton of a language in a site's folder, and what of a language has no words yet.

``FOLDER/LANGUAGE`` has the strings of the program in ``words/*.po``, the site's own names in ``names.csv``, words of lessons
and questions, and entries of the tables of words. Nothing that stands there is written over; what is missing is added.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from generator.book.content import IN_WORDS, Content, card_words, chapter_titles, unsaid
from generator.book.lesson import HEADINGS, front_and_body
from generator.book.overrides import SKELETON, entries_of
from generator.book.strings import Strings, all_strings, po_text
from generator.jobsite.grid import from_csv, heading
from generator.jobsite.model import JobSite
from generator.jobsite.names import COLUMNS, file_of, lines_of_names, names_text, read_names, site_names, strange
from generator.language import scripts
from generator.language.catalogue import catalogue, fits, messages_in
from generator.language.names import language_name
from generator.language.words import ENGLISH, Catalogue, tr, using
from generator.source.files import read_text
from generator.source.log import Log
from generator.source.near import suggest
from generator.source.overlay import words_in
from generator.source.problem import Problem, Refusal
from generator.source.yamltext import load_yaml

WORDS = "words/words.po"
_TO_DO = f"{SKELETON} put your words in the place of these, then take this line out; until then none of this file is read\n"
_MOST_TOLD = 3  # of what is missing, by name


def program_strings(content: Path) -> Strings:
    """All strings of the program and its scripts, each once."""
    made = Strings()
    for strings in all_strings(content).values():
        for key, files in strings.found.items():
            made.found.setdefault(key, {}).update(files)
    for (one, many), where in scripts.all_strings(scripts.script_files(content)).items():
        made.found.setdefault((one, many), {}).update(dict.fromkeys(where))
    return made


# --- written ----------------------------------------------------------------------------------


def add_language(site: JobSite, shipped: Path, language: str) -> list[str]:
    """Write the strings and names that ``FOLDER/LANGUAGE`` has not; a line for each file that was written or added to.

    Raises Refusal, Refusals or OSError.
    """
    if language == ENGLISH:
        raise Refusal.of(language, None, "what is shipped is in English already", "name another language")
    told = []
    known = set(_messages((shipped, site.folder), language))
    new = Strings({key: files for key, files in program_strings(shipped).found.items() if key not in known})
    if new.found:
        file = f"{language}/{WORDS}"
        _add(site.folder, file, po_text(language, new, {}), lambda text: text.partition("\n\n")[2])
        told.append(f"{file}: {len(new.found)} strings to translate, each in the line msgstr below it")
    there = lines_of_names(site.folder, language)
    names = {name: "" for name in site_names(site) if name not in there}
    if names:
        file = file_of(language)
        if (site.folder / file).is_file():
            _add(site.folder, file, _rows_like(site.folder, file, names), lambda text: text)
        else:
            _add(site.folder, file, "\ufeff" + names_text(names), lambda text: text)
        told.append(f"{file}: {len(names)} names of your tables, to be written in the second column")
    return told


def add_words(site: JobSite, content: Content, language: str, name: str) -> list[str]:
    """Write the words of one lesson and its questions, or of a table of words, as they are now, to be translated.

    Files that are there stay. Raises Refusal or OSError.
    """
    if name in IN_WORDS:
        files = {name: _of_table(content, name)}
    elif name in content.lessons:
        files = {}
        for file, of in ((f"lessons/{name}.md", _of_lesson), (f"questions/{name}.yml", _of_questions)):
            found = content.own.found(file)
            files[file] = of(
                found[0] if found is not None else (content.folder / file).read_text("utf-8-sig"), language, content.folder, site.folder
            )
    else:
        raise Refusal.of(name[:60], None, "there is no such lesson",
                        suggest(name, [*content.lessons, *IN_WORDS], f"name a lesson, or one of {', '.join(IN_WORDS)}"))  # fmt: skip
    made = []
    for file, text in files.items():
        target = site.folder / language / file
        if target.exists():
            continue
        _add(site.folder, f"{language}/{file}", text, lambda text: text)
        made.append(f"{language}/{file}: its words to translate")
    if not made:
        raise Refusal.of(f"{language}/{next(iter(files))}", None, "it is there already", "edit that one, or move it away first")
    return made


def _add(folder: Path, name: str, text: str, behind: Any) -> None:
    """Write a file, or put ``behind(text)`` behind what stands in it, which stays to the byte. Raises Refusal or OSError."""
    target = folder / name
    if target.is_symlink() or not target.parent.resolve().is_relative_to(folder.resolve()):
        raise Refusal.of(name, None, "it is a link that leads out of the job site folder", "put a folder or file there")
    target.parent.mkdir(parents=True, exist_ok=True)
    if not target.exists():
        with target.open("x", encoding="utf-8", newline="\n") as f:
            f.write(text)
        return
    try:
        there = target.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refusal.of(name, None, "the file is not UTF-8 text, so nothing can be added to it", "save it as UTF-8") from None
    end = "\r\n" if "\r\n" in there else "\n"
    with target.open("a", encoding="utf-8", newline="") as f:
        f.write(("" if not there or there.endswith("\n") else end) + behind(text).replace("\n", end))


def _rows_like(folder: Path, file: str, names: Mapping[str, str]) -> str:
    """Rows for a table of names that is there, in its order of columns and with its separator."""
    text = read_text(folder, file, "the site's names in this language", Log(file)) or ""
    grid = from_csv(text, Log(file), COLUMNS)
    if grid is None:  # it was read before
        return ""
    line = text.replace("\r\n", "\n").split("\n")[grid.header.line - 1]
    separator = next((s for s in ";\t" if line.count(s) >= len(grid.header.cells) - 1 > 0), ",")
    at = [heading(" ".join(h.split()))[0] for h in grid.header.cells]
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    for name in names:
        writer.writerow([name if head == COLUMNS[0] else "" for head in at])
    return out.getvalue()


def _messages(folders: Collection[Path], language: str) -> Iterator[tuple[str, str]]:
    """What stands in the ``.po`` files of a language, translated or not: the English, and that of many."""
    for path in (p for folder in folders for p in sorted((folder / language / "words").glob("*.po"))):
        for english, _, _ in messages_in(path):
            yield english[0], english[1] if len(english) > 1 else ""


def _yaml(words: Any) -> str:
    return yaml.safe_dump(words, allow_unicode=True, sort_keys=False, width=100_000)


def _of_lesson(text: str, language: str, shipped: Path, site: Path) -> str:
    front, body = front_and_body(text)
    with using(catalogue(language, (shipped, site))):
        headings = {h: tr(h) for h in HEADINGS}
    lines = [
        f"## {headings[line[3:].strip()]}" if line[3:].strip() in headings and line.startswith("## ") else line for line in body.split("\n")
    ]
    return f"---\n{_TO_DO}{_yaml(words_in(front))}---\n" + "\n".join(lines)


def _of_questions(text: str, language: str, shipped: Path, site: Path) -> str:
    return _TO_DO + _yaml(words_in(load_yaml(text, "questions")))


def _of_table(content: Content, name: str) -> str:
    if name == "cards.yml":
        return _TO_DO + _yaml({text: text for text in card_words(content.folder)})
    if name == "chapters.yml":
        return _TO_DO + _yaml(chapter_titles(content.folder))
    return _TO_DO + "\n".join(entries_of(content.folder / name).values())


# --- what is missing --------------------------------------------------------------------------


@dataclass(frozen=True)
class Missing:
    """What a language has no words for: strings of the program, lessons, questions and other texts, and the site's names."""

    language: str
    strings: tuple[str, ...]
    all_strings: int
    lessons: tuple[str, ...]
    questions: tuple[str, ...]
    texts: tuple[str, ...]
    names: tuple[str, ...]
    unfit: tuple[str, ...]
    strange: tuple[Problem, ...]

    @property
    def lines(self) -> list[str]:
        """What is told of it: a line for each kind, with the first few by name."""
        told = []
        for found, one, many, all_of in (
            (self.strings, "string of the program", "strings of the program", self.all_strings), (self.lessons, "lesson", "lessons", 0),
            (self.questions, "lesson's questions", "lessons' questions", 0), (self.texts, "entry of texts", "entries of texts", 0),
            (self.names, "name of the tables", "names of the tables", 0),
        ):  # fmt: skip
            if found:
                count = f"{len(found):,} of {all_of:,} {many}" if all_of else f"{len(found):,} {one if len(found) == 1 else many}"
                first = ", ".join(f"'{_short(text)}'" if " " in text else text for text in found[:_MOST_TOLD])
                told.append(f"{count}: {first}{', …' if len(found) > _MOST_TOLD else ''}")
        lines = (
            [f"in {language_name(self.language)} ({self.language}) there are no words yet for", *(f"  {line}" for line in told)]
            if told
            else []
        )
        if self.unfit:
            first = ", ".join(f"'{_short(text)}'" for text in self.unfit[:_MOST_TOLD])
            lines.append(
                f"  of these strings {len(self.unfit):,} have other {{blanks}} or <marks> than the English, so they stay English: {first}"
            )
        return lines + [str(problem) for problem in self.strange]


def _short(text: str) -> str:
    return text if len(text) <= 50 else f"{text[:49].rstrip()}…"


def missing(site: JobSite, shipped: Path, language: str, taught: Collection[str]) -> Missing:
    """What the language has no words for, of what the handbook of a site prints."""
    main = site.settings.languages[0]
    said: Catalogue = catalogue(language, (shipped, site.folder))
    strings = program_strings(shipped).found if language != ENGLISH else {}
    without = tuple(one for one, many in strings if one not in (said.plurals if many else said.texts))
    found = unsaid(shipped, site.folder, site.rules, language, main, taught)
    names = read_names(site.folder, language)
    # the tables are in the main language, as long as they are not told otherwise
    nameless = tuple(n for n in site_names(site) if n not in names) if language != main else ()
    unfit = tuple(
        english[0] for path in sorted((site.folder / language / "words").glob("*.po"))
        for english, texts, _ in messages_in(path) if all(texts) and not fits(english, texts) and english[0] in without
    )  # fmt: skip
    odd = tuple(Problem.of(*told) for told in strange(site, lines_of_names(site.folder, language), language))
    return Missing(
        language, without, len(strings), tuple(found["lessons"]), tuple(found["questions"]), tuple(found["texts"]), nameless, unfit, odd
    )
