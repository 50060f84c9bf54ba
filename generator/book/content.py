"""Lessons, questions, glossary, cautions, published tables, sources: what is shipped, and what a site has of its own."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Protocol, TypeVar

from generator.book.lesson import (
    HEADINGS,
    ID,
    TRUCK_BESIDE,
    InWords,
    Lesson,
    read_by_people,
    read_lesson,
    references,
)
from generator.book.markup import wrong_markdown, wrong_words
from generator.book.model import Card, Wording, card, wording
from generator.book.overrides import (
    MERGED,
    SKELETON,
    Overrides,
    fingerprint,
    fingerprint_of_entry,
    gather_all,
    own_lesson_ids,
    taken,
)
from generator.book.refs import wrong_reference
from generator.book.scene import wrong_drawing
from generator.book.sheets import wrong_sheet
from generator.book.template import Piece, pieces
from generator.calc.rules import US, US_FEDERAL, Rules, kept
from generator.calc.tables import Table
from generator.calc.under_rules import under
from generator.jobsite.columns import COMPACT, EXCAVATOR, LIMITS, TRUCK
from generator.jobsite.problems import notice
from generator.jobsite.shared import shared_of
from generator.language.words import ENGLISH, mark, said, tr
from generator.quiz.question import Question, questions_in
from generator.reference.rules import sources_under, tables_under
from generator.reference.sources import Bibliography
from generator.reference.sources import load as load_sources
from generator.reference.tables import load as load_tables
from generator.source.files import read_text
from generator.source.log import Log
from generator.source.near import suggest
from generator.source.problem import Problem, Refusal, Refusals
from generator.source.yamltext import entries, line_of, load_plain, load_yaml


@dataclass(frozen=True)
class Chapter:
    """A chapter of the handbook and its lessons in reading order."""

    id: str
    title: str
    lessons: tuple[str, ...]


CARD = ("title", "limits", "numbers", "lines", "tables", "cautions")  # what a cab card may hold
_LIMITS = tuple(f"limits.{c.name}" for c in LIMITS if c.is_quantity)


Written = tuple[str, str, InWords | None]  # questions: their text, its name, and their words in another language


class Questions(Mapping[str, tuple[Question, ...]]):
    """The questions of all lessons, each lesson's read when they are first asked for."""

    def __init__(self, written: Mapping[str, Written], mistakes: tuple[tuple[str, str], ...], rules: Rules) -> None:
        self._written, self._mistakes, self._rules = written, mistakes, rules
        self._read: dict[str, tuple[Question, ...]] = {}

    def __getitem__(self, lesson: str) -> tuple[Question, ...]:
        if lesson not in self._read and (problems := self._reads(lesson, looked_at=True)):
            raise Refusals(problems)  # which nobody looked at before
        return self._read[lesson]

    def __iter__(self) -> Iterator[str]:
        return iter(self._written)

    def __len__(self) -> int:
        return len(self._written)

    def __contains__(self, lesson: object) -> bool:
        return lesson in self._written

    def look_at(self, lesson: str) -> list[Problem]:
        """What is wrong with a lesson's questions, the names in them held to what there is."""
        return self._reads(lesson, looked_at=False)

    def made_from(self, lesson: str) -> tuple[Written, tuple[tuple[str, str], ...]]:
        """All that a lesson's questions are read from, but for the rules and the language."""
        return self._written[lesson], self._mistakes

    def _reads(self, lesson: str, *, looked_at: bool) -> list[Problem]:
        text, file, words = self._written[lesson]
        read = _shipped_questions if file.startswith("content/") else _questions
        questions, problems = read(text, file, self._mistakes, looked_at, words)
        self._read[lesson] = tuple(_under(q, self._rules) for q in questions)
        return problems


@dataclass(frozen=True)
class Content:
    """All that is shipped and all of the site's own, read and checked."""

    folder: Path
    chapters: tuple[Chapter, ...]
    lessons: Mapping[str, Lesson]
    questions: Mapping[str, tuple[Question, ...]]
    glossary: Mapping[str, Wording]
    cautions: Mapping[str, Wording]
    cards: Mapping[str, Card]
    tables: Mapping[str, Table]
    sources: Bibliography
    own: Overrides = field(default_factory=Overrides)
    may_stand: tuple[str, ...] = ()  # figures the site's own lessons may hold
    rules: Rules = US
    language: str = ENGLISH  # that it is printed in
    labels: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))  # of cab cards, by their English

    def sheet(self, name: str) -> str:
        """The template of a page of paper: the site's own, else the shipped one."""
        found = self.own.found(f"sheets/{name}")
        return (found[0] if found is not None else "") or self.shipped_sheet(name)

    def shipped_sheet(self, name: str) -> str:
        """The shipped template of a page of paper."""
        return (self.folder / "sheets" / name).read_text("utf-8")

    def look(self, name: str) -> str:
        """A style of the shipped look with the site's own after it."""
        return (self.folder / "look" / name).read_text("utf-8") + self.added_look(name)

    def added_look(self, name: str) -> str:
        """What the site adds to a style of the look."""
        added = "\n".join(text for text, _ in self.own.each(f"look/{name}"))
        return f"\n/* this site's own */\n{added}" if added else ""

    @property
    def cards_file(self) -> str:
        """The file of the cards, as messages name it."""
        return _named("cards.yml", self.own)

    def questions_file(self, lesson: str) -> str:
        """The questions' file of a lesson, as messages name it."""
        return _named(f"questions/{lesson}.yml", self.own)


def content_folder() -> Path:
    """The shipped content: beside the package in a checkout, inside it when installed."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package.parent / "content", package / "_content"):
        if (folder / "chapters.yml").is_file():
            return folder
    raise Refusal.of("content", None, "the shipped content is missing", "install Seatwork again")


def lesson_ids(folder: Path, site: Path | None = None) -> tuple[str, ...]:
    """Ids of all lessons, shipped ones in reading order and then the site's own, readable or not."""
    shipped = tuple(lesson for c in _chapters_of(folder) for lesson in c.lessons)
    shared = shared_of(site) if site is not None else None
    folders = [folder for folder in (shared.folder if shared is not None else None, site) if folder is not None]
    return tuple(dict.fromkeys((*shipped, *(id_ for folder in folders for id_ in own_lesson_ids(folder)))))


def lesson_kinds(folder: Path, site: Path | None = None) -> dict[str, tuple[tuple[str, ...], ...]]:
    """The same ids, each with what a site must have to be taught it: one of these, and of each all its kinds. Nothing for any site."""
    found: dict[str, tuple[tuple[str, ...], ...]] = {}
    own = own_lesson_ids(site) if site is not None else ()  # what those are about is known once they are read
    for id_ in lesson_ids(folder, site):
        try:
            front = "" if id_ in own else (folder / "lessons" / f"{id_}.md").read_text("utf-8").partition("\n---")[0]
        except (OSError, UnicodeDecodeError):  # told where the lesson is read
            front = ""
        said = {key: value.strip() for key, value in re.findall(r"(?m)^(about|needs|stand_in): (.*)$", front)}
        about, beside = said.get("about", "any"), (TRUCK,) if said.get("needs") == TRUCK_BESIDE else ()
        kinds = [about, *([COMPACT] if about == EXCAVATOR else []), *([said["stand_in"]] if "stand_in" in said else [])]
        found[id_] = () if about == "any" else tuple((kind, *beside) for kind in kinds)
    return found


def _chapters_of(folder: Path) -> tuple[Chapter, ...]:
    """The shipped chapters, with lessons that may be missing or stand in another one."""
    raw = load_plain((folder / "chapters.yml").read_text("utf-8"), "content/chapters.yml")
    return tuple(Chapter(str(c["id"]), str(c["title"]), tuple(map(str, c["lessons"]))) for c in raw)


IN_WORDS = ("glossary.yml", "cautions.yml", "mistakes.yml", "chapters.yml", "cards.yml")
"""Files whose entries are words, besides lessons and questions."""


def is_skeleton(text: str) -> bool:
    """Whether a text still has the line of a skeleton: its words are not there yet."""
    return any(row.startswith(SKELETON) for row in text.split("\n"))


def chapter_titles(folder: Path) -> dict[str, str]:
    """Titles of the shipped chapters by their ids."""
    return {c.id: c.title for c in _chapters_of(folder)}


def card_words(folder: Path, rules: Rules = US) -> tuple[str, ...]:
    """All that the shipped cab cards say in English."""
    found: list[str] = []
    for raw in entries(_shipped_yaml(folder / "cards.yml", rules)).values():
        found.append(str(raw["title"]))
        found += [*entries(raw.get("limits")), *entries(raw["lines"])]
        for table in raw.get("tables") or ():
            found += [str(table["title"]), *entries(table["columns"])]
    return tuple(dict.fromkeys(found))


def unsaid(folder: Path, site: Path, rules: Rules, language: str, main: str, taught: Collection[str]) -> dict[str, list[str]]:
    """What of the lessons ``taught`` and of other texts has no words in a language, by what it is: see :meth:`_Reading.unsaid`."""
    return _Reading(folder, site, None, rules, language, main).unsaid(taught)


def _named(name: str, own: Overrides) -> str:
    found = own.found(name)
    return found[1] if found is not None else f"content/{name}"


class KnownSound(Protocol):
    """What is known of texts that were looked at before (:class:`generator.book.sound.Sound`). ``texts`` are lessons and questions."""

    def known(self, own: Overrides, texts: Mapping[str, tuple[str, str] | None]) -> bool:
        """Whether nothing was wrong with them."""

    def note(self, own: Overrides, texts: Mapping[str, tuple[str, str] | None]) -> None:
        """Nothing was wrong with them."""


def read_content(
    folder: Path, site: Path | None = None, sound: KnownSound | None = None, rules: Rules = US, *,
    language: str = ENGLISH, main: str = ENGLISH,
) -> Content:  # fmt: skip
    """Read what is shipped in ``folder`` with the own files of ``site`` and those it shares, in a language and the words for ``rules``.

    The site's own files are in its ``main`` language; words of theirs in another lie in the folder of its code, as those
    of the shipped content do. What ``sound`` knows from an earlier build is not looked at again. Raises Refusals with
    everything that is wrong in any of the files.
    """
    return _Reading(folder, site, sound, rules, language, main).content()


class _Reading:
    """One reading: collects the mistakes of all files."""

    def __init__(
        self, folder: Path, site: Path | None, sound: KnownSound | None = None, rules: Rules = US, language: str = ENGLISH,
        main: str = ENGLISH,
    ) -> None:  # fmt: skip
        self.folder, self.site, self.sound, self.rules, self.language, self.main = folder, site, sound, rules, language, main
        self.problems: list[Problem] = []
        there = site is not None and site.is_dir()
        self.own = gather_all(site, folder, self.problems, shared_of(site)) if site is not None and there else Overrides()
        # of lessons and questions each is read once: what is looked at is what is rendered
        self.texts = {name: self.text(name) for i in self.ids() for name in (f"lessons/{i}.md", f"questions/{i}.yml")}
        self.words_there = {name: self.other_words(name) for name in self.texts}
        self.words_of = {name: words if self.both_there(name) else None for name, words in self.words_there.items()}
        self.looked_at: dict[str, tuple[str, str] | None] = {
            **self.texts, **{f"{w.language}/{name}": (w.text, w.file) for name, w in self.words_of.items() if w is not None}
        }  # fmt: skip
        self.known = sound is not None and sound.known(self.own, self.looked_at)

    def wrong(self, file: str, line: int | None, what: str, fix: str) -> None:
        self.problems.append(Problem.of(file, line, what, fix))

    def text(self, name: str) -> tuple[str, str] | None:
        """The site's own text, else the shipped one, and its name for messages; None where there is none."""
        found = self.own.found(name)
        if found is not None:
            return kept(found[0], self.rules), found[1]
        path = self.folder / name
        return (kept(path.read_text("utf-8-sig"), self.rules), f"content/{name}") if path.is_file() else None

    def other_words(self, name: str) -> InWords | None:
        """The words of a lesson or its questions in the language that is read, where its text is in another; None where there are none."""
        if self.texts[name] is None or self.language == self.spoken(name):
            return None
        mine = self.site_words(name)
        if mine is not None:
            return InWords(*mine, self.language)
        shipped = self.shipped_words(name) if self.own.found(name) is None else None
        return InWords(*shipped, self.language) if shipped is not None else None

    def needs_words(self, name: str) -> bool:
        """Whether there is a text of this name, and it is in another language than the one that is read."""
        return self.texts.get(name) is not None and self.language != self.spoken(name)

    def both_there(self, name: str) -> bool:
        """Whether a lesson and its questions both have their words: a page is in one language, so that a voice can read it."""
        id_ = name.partition("/")[2].partition(".")[0]
        pair = (f"lessons/{id_}.md", f"questions/{id_}.yml")
        return not any(self.needs_words(one) and self.words_there.get(one) is None for one in pair)

    def unsaid(self, taught: Collection[str]) -> dict[str, list[str]]:
        """What has no words in the language that is read: ids of lessons, of those whose questions have none, and entries of texts."""
        found: dict[str, list[str]] = {
            what: [
                i for i in self.ids() if i in taught and self.needs_words(form.format(i)) and self.words_there.get(form.format(i)) is None
            ]
            for what, form in (("lessons", "lessons/{}.md"), ("questions", "questions/{}.yml"))
        }
        found["texts"] = [f"{name}:{key}" for name in IN_WORDS for key in self.entries_without_words(name)]
        return found

    def entries_without_words(self, name: str) -> Iterator[str]:
        """The entries of a table of words, or what cab cards say, that have none in the language that is read."""
        if name == "cards.yml":
            said = self.labels() if self.language != ENGLISH else None
            yield from (text for text in card_words(self.folder, self.rules) if said is not None and text not in said)
            return
        shipped = chapter_titles(self.folder) if name == "chapters.yml" else entries(_shipped_yaml(self.folder / name, self.rules))
        there: set[str] = set()
        for words in (self.shipped_words(name), self.site_words(name)):
            raw = self.yaml(words[1], words[0]) if words is not None else None
            there |= set(entries(raw)) if isinstance(raw, dict) else set()
        own = self.own_chapters() if name == "chapters.yml" else self.own_mapping(name)
        for key in (*shipped, *(k for k in own if k not in shipped)):
            if (self.main if key in own else ENGLISH) != self.language and key not in there:
                yield str(key)

    def site_words(self, name: str) -> tuple[str, str] | None:
        """The site's own words in the language that is read, and how messages name their file; None where there are none, or a skeleton."""
        file = f"{self.language}/{name}"
        if self.site is None or not (self.site / file).is_file():
            return None
        log = Log(file)
        text = read_text(self.site, file, "the words", log)
        self.problems += log.problems
        return None if text is None or is_skeleton(text) else (kept(text, self.rules), file)

    def shipped_words(self, name: str) -> tuple[str, str] | None:
        """The same of what is shipped."""
        path = self.folder / self.language / name
        return (kept(path.read_text("utf-8-sig"), self.rules), f"content/{self.language}/{name}") if path.is_file() else None

    def spoken(self, name: str) -> str:
        """The language a text is written in: English what is shipped, the site's main one what is its own."""
        return self.main if self.own.found(name) is not None else ENGLISH

    def mapping(self, name: str) -> dict[str, tuple[Any, str]]:
        """A table of words or blocks, each with its file: shipped entries, then the site's own by the same key."""
        made = {k: (v, f"content/{name}") for k, v in entries(_shipped_yaml(self.folder / name, self.rules)).items()}
        if self.language != ENGLISH and name not in self.NOT_BY_KEY:
            made.update(self.in_language(name, self.shipped_words(name), made))
        made.update(self.own_mapping(name))
        if (self.language, self.main) != (ENGLISH, ENGLISH) and name not in self.NOT_BY_KEY:
            made.update(self.in_language(name, self.site_words(name), made))
        return made

    NOT_BY_KEY = ("cards.yml",)  # its words are found by their English

    def in_language(self, name: str, words: tuple[str, str] | None, known: Mapping[str, object]) -> dict[str, tuple[Any, str]]:
        """A table's words in another language, by the names of the entries; nothing where there are none."""
        if words is None:
            return {}
        file = words[1]
        raw = self.yaml(file, words[0])
        if not isinstance(raw, dict):
            self.wrong(file, 1, "is no table of names", "write 'name: text', one a line")
            return {}
        for key, value in entries(raw).items():
            if key not in known:
                self.wrong(file, line_of(value, 1), f"there is no '{key[:60]}' in {name}", suggest(key, known, "take it out"))
        return {k: (v, file) for k, v in entries(raw).items() if k in known}

    def own_mapping(self, name: str) -> dict[str, tuple[Any, str]]:
        """The entries of a table that are the site's own, each with its file."""
        made: dict[str, tuple[Any, str]] = {}
        for text, file in self.own.each(name):
            raw = self.yaml(file, kept(text, self.rules))
            if raw is not None and not isinstance(raw, dict):
                self.wrong(file, 1, "is no table of names", "write 'name: text', one a line")
            elif raw is not None:
                made.update({k: (v, file) for k, v in entries(raw).items()})
        return made

    def yaml(self, name: str, text: str) -> Any:
        try:
            return load_yaml(text, name)
        except Refusal as e:
            self.problems.append(e.problem)
            return None

    def words(self, name: str) -> dict[str, Wording]:
        """A table whose entries are plain text."""
        out = {}
        for key, (value, file) in self.mapping(name).items():
            if isinstance(value, dict) and isinstance(value.get("text"), str) and isinstance(value.get("word"), str):
                also = tuple(map(str, value["also"])) if isinstance(value.get("also"), list) else ()
                out[key] = replace(wording(key, value["text"], file, 1), word=value["word"], also=also)
                continue
            if isinstance(value, dict | list) or value is None or not str(value).strip():
                self.wrong(file, line_of(value, 1), f"'{key[:60]}' has no text", f"write '{key[:60]}: …'")
                value = "…"
            out[key] = wording(key, value, file, 1)
        return out

    def content(self) -> Content:
        mistakes, glossary, cautions = (self.words(n) for n in ("mistakes.yml", "glossary.yml", "cautions.yml"))
        cards = self.cards()
        published, sources = load_tables(self.folder), load_sources(self.folder)
        tables, sources = tables_under(published, self.rules), sources_under(sources, self.rules)
        lessons = self.lessons()
        chapters = self.chapters(lessons)
        labels = self.labels()
        questions = self.questions(mistakes)
        for name, (text, file) in self.own.counting.items():
            if name.startswith("questions/") and name[10:-4] not in questions:
                self.wrong(file, None, "there is no such lesson",
                           suggest(name[10:-4], questions, f"add lessons/{name[10:-4]}.md, or delete it"))  # fmt: skip
            elif name.startswith("sheets/"):
                self.problems += [
                    Problem.of(file, *found) for found in wrong_sheet(name[7:], text, (self.folder / name).read_text("utf-8"))
                ]
        if not self.known:
            for lesson in lessons.values():
                self.check(lesson, glossary, cautions, published)
            self.check_order(lessons)
        may_stand = self.allowed()
        if self.problems:
            raise Refusals(self.problems)
        if self.sound is not None and not self.known:
            self.sound.note(self.own, self.looked_at)
        return Content(
            self.folder, chapters, {i: _under(lessons[i], self.rules) for c in chapters for i in c.lessons},
            questions, glossary, cautions,
            {kind: _under(card, self.rules) for kind, card in cards.items()}, tables, sources, self.own, may_stand, self.rules,
            self.language, MappingProxyType(labels),
        )  # fmt: skip

    def ids(self) -> tuple[str, ...]:
        shipped = [i for c in _chapters_of(self.folder) for i in c.lessons]
        return tuple(dict.fromkeys((*shipped, *sorted(self.own.lessons()))))

    def lessons(self) -> dict[str, Lesson]:
        found = {}
        for id_ in self.ids():
            text = self.texts[f"lessons/{id_}.md"]
            if text is None:
                self.wrong("content/chapters.yml", None, f"lists '{id_}' but lessons/{id_}.md is missing", "write it")
                continue
            name = f"lessons/{id_}.md"
            lesson, problems = (_shipped_lesson if text[1].startswith("content/") else _lesson)(
                text[0], id_, text[1], self.words_of[name], tuple(tr(h) for h in HEADINGS), self.spoken(name)
            )
            self.problems += problems
            if lesson is not None:
                found[id_] = lesson
        return found

    def chapters(self, lessons: Mapping[str, Lesson]) -> tuple[Chapter, ...]:
        """Shipped chapters and the site's own; a lesson stands in the chapter its front matter names."""
        titles = {c.id: c.title for c in _chapters_of(self.folder)}
        if self.language != ENGLISH:
            titles.update({k: str(v) for k, (v, _) in self.in_language("chapters.yml", self.shipped_words("chapters.yml"), titles).items()})
        titles.update(self.own_chapters())
        if (self.language, self.main) != (ENGLISH, ENGLISH):
            titles.update({k: str(v) for k, (v, _) in self.in_language("chapters.yml", self.site_words("chapters.yml"), titles).items()})
        places: dict[str, list[str]] = {c: [] for c in titles}
        for c in _chapters_of(self.folder):
            places[c.id] = [i for i in c.lessons if i in lessons and lessons[i].chapter == c.id]
        for id_, lesson in lessons.items():
            if lesson.chapter not in titles:
                self.wrong(lesson.file, lesson.lines["chapter"], f"there is no chapter '{lesson.chapter[:60]}'",
                           suggest(lesson.chapter, titles, f"use {', '.join(titles)}, or add it to chapters.yml"))  # fmt: skip
            elif id_ not in places[lesson.chapter]:
                places[lesson.chapter].append(id_)
        return tuple(Chapter(c, titles[c], tuple(places[c])) for c in titles)

    def own_chapters(self) -> dict[str, str]:
        found: dict[str, str] = {}
        for text, file in self.own.each("chapters.yml"):
            found.update(self.chapters_in(text, file))
        return found

    def chapters_in(self, text: str, name: str) -> dict[str, str]:
        found: dict[str, str] = {}
        raw = self.yaml(name, text)
        if raw is not None and not isinstance(raw, list):
            self.wrong(name, 1, "is no list of chapters", "write '- id: …' and below it '  title: …'")
            return {}
        for c in raw or ():
            if not isinstance(c, dict) or not isinstance(c.get("id"), str) or not isinstance(c.get("title"), str):
                self.wrong(name, line_of(c, 1), "a chapter needs an id and a title", "write '- id: …' and below it '  title: …'")
            elif not ID.fullmatch(c["id"]) or len(c["id"]) > 60:
                self.wrong(name, line_of(c, 1), f"'{c['id'][:60]}' is no chapter id", "use small letters, digits and single hyphens")
            elif "<" in c["title"] or ">" in c["title"]:
                self.wrong(name, line_of(c["title"], 1), "a title holds < or >", "write it in words")
            else:
                for key in c:
                    if key not in {"id", "title", "__line__"}:
                        self.wrong(name, line_of(key, line_of(c, 1)), f"a chapter has no '{str(key)[:60]}'",
                                   "a lesson names its chapter in its front matter")  # fmt: skip
                found[str(c["id"])] = str(c["title"])
        return found

    def questions(self, mistakes: Mapping[str, Wording]) -> Questions:
        """The questions of each lesson; those that were looked at before are read when somebody asks for them."""
        written: dict[str, Written] = {}
        for id_ in self.ids():
            text = self.texts[f"questions/{id_}.yml"]
            if text is None:
                self.wrong(f"lessons/{id_}.md", None, "the lesson has no questions, so nobody can pass it", f"add questions/{id_}.yml")
            else:
                written[id_] = *text, self.words_of[f"questions/{id_}.yml"]
        made = Questions(written, tuple((k, m.text) for k, m in mistakes.items()), self.rules)
        for id_ in () if self.known else written:
            self.problems += made.look_at(id_)
        return made

    def cards(self) -> dict[str, Card]:
        """``cards.yml``: the shape of each card is checked here, its references when it is worked."""
        made = {}
        for kind, (raw, file) in self.mapping("cards.yml").items():
            name = file.removeprefix("content/")
            before = len(self.problems)
            self.check_card(name, kind, raw)
            if len(self.problems) == before:
                made[kind] = card(raw, name)
        return made

    def labels(self) -> dict[str, str]:
        """What cab cards say, by its English, in the language that is read."""
        found: dict[str, str] = {}
        for words in (self.shipped_words("cards.yml"), self.site_words("cards.yml")):
            raw = self.yaml(words[1], words[0]) if words is not None else None
            found.update({k: str(v) for k, v in entries(raw).items()} if isinstance(raw, dict) else {})
        return found

    def check_card(self, name: str, kind: str, card: Any) -> None:
        """The shape of a card."""
        line = line_of(card, 1)
        if not isinstance(card, dict):
            self.wrong(name, line, f"'{kind[:60]}' is no card", "write title, numbers, lines, tables, cautions below it")
            return
        for key in card:
            if key not in {*CARD, "__line__"}:
                self.wrong(name, line_of(key, line), f"{kind}: a card has no '{str(key)[:60]}'",
                           suggest(str(key), CARD, "leave it out"))  # fmt: skip
        for heading, ref in (card["limits"] if isinstance(card.get("limits"), dict) else {}).items():
            if heading != "__line__" and ref not in _LIMITS:
                self.wrong(name, line_of(ref, line), f"{kind}: '{str(ref)[:60]}' under limits is no limit of the site",
                           suggest(str(ref), _LIMITS, f"use {', '.join(_LIMITS)}"))  # fmt: skip
        if not isinstance(card.get("limits") or {}, dict):
            self.wrong(
                name, line_of(card["limits"], line), f"{kind}: limits is no table of names", "write 'heading: limits.NAME', one a line"
            )
        if not isinstance(card.get("title"), str) or not all(isinstance(card.get(k), dict) for k in ("numbers", "lines")):
            self.wrong(name, line, f"{kind}: a card needs title, numbers and lines", "take the shipped card and change it")
        ready = card.get("tables") or [], card.get("cautions") or []
        if not all(isinstance(x, list) for x in ready) or not all(
            isinstance(t, dict)
            and isinstance(t.get("title"), str)
            and isinstance(t.get("over"), str)
            and isinstance(t.get("columns"), dict)
            for t in ready[0]
        ):
            self.wrong(name, line, f"{kind}: tables and cautions are lists, and a table needs title, over and columns",
                       "take the shipped card and change it")  # fmt: skip
            return
        known = self.mapping("cautions.yml")
        for c in ready[1]:
            if str(c) not in known:
                self.wrong(
                    name, line_of(c, line), f"no caution is called '{str(c)[:60]}'", suggest(str(c), known, "add it to cautions.yml")
                )

    def allowed(self) -> tuple[str, ...]:
        """The site's ``allowed-figures.yml``: words with a figure in them, each with its reason."""
        return tuple(figure for text, file in self.own.each("allowed-figures.yml") for figure in self.allowed_in(text, file))

    def allowed_in(self, text: str, name: str) -> tuple[str, ...]:
        out = []
        raw = self.yaml(name, text)
        if not isinstance(raw, list | None):
            self.wrong(name, 1, "is no list", "write '- text: …' and below it '  reason: …'")
            return ()
        for entry in raw or ():
            if not isinstance(entry, dict) or not isinstance(entry.get("text"), str) or not entry.get("reason"):
                self.wrong(name, line_of(entry, 1), "an entry needs a text, in quotes, and a reason",
                           "write '- text: \"channel 4\"' and below it '  reason: …'")  # fmt: skip
            else:
                out.append(str(entry["text"]))
        return tuple(out)

    # --- what a lesson builds on ---

    def check_order(self, lessons: Mapping[str, Lesson]) -> None:
        """Each lesson builds on lessons there are, and none on itself by any way."""
        for lesson in lessons.values():
            for before in lesson.builds_on:
                line = line_of(before, 2)
                if before not in lessons:
                    if before not in self.ids():  # one that could not be read was told there
                        self.wrong(lesson.file, line, f"builds_on: there is no lesson '{before[:60]}'",
                                   suggest(before, lessons, "use the ids of the lessons in the handbook"))  # fmt: skip
                elif lesson.id in _before(before, lessons):
                    self.wrong(lesson.file, line, f"builds_on: {lesson.id} and {before} build on each other",
                               "take one of the two out")  # fmt: skip

    # --- what a lesson refers to ---

    def check(self, lesson: Lesson, glossary: Mapping[str, Wording], cautions: Mapping[str, Wording], tables: Mapping[str, Table]) -> None:
        for ref, line in references(lesson):
            found = wrong_reference(ref, lesson.numbers, tables)
            if found:
                self.wrong(lesson.file, line, *found)
        for name in _circles(lesson):
            self.wrong(lesson.file, lesson.number_lines[name], f"number '{name}' needs itself", "break the circle")
        for spec in lesson.all_drawings:
            for at, what, fix in wrong_drawing(spec):
                self.wrong(lesson.file, at, what, fix)
        sheet = lesson.sheet
        if sheet is not None and sheet.sum and sheet.sum not in lesson.numbers:
            self.wrong(lesson.file, line_of(sheet.sum, sheet.line), f"sheet: no number is called '{sheet.sum[:60]}'",
                       suggest(sheet.sum, lesson.numbers, f"this lesson has {', '.join(lesson.numbers) or 'none'}"))  # fmt: skip
        exercise = lesson.exercise
        if exercise is not None and exercise.drawing and exercise.drawing not in lesson.drawings:
            self.wrong(lesson.file, line_of(exercise.drawing, exercise.line), f"exercise: the lesson has no drawing '{exercise.drawing[:60]}'",
                       suggest(exercise.drawing, lesson.drawings, "add it under 'drawings:' in the front matter"))  # fmt: skip
        mine = lesson.file in self.own.of_files
        for text in (*read_by_people(lesson), lesson.body):
            body = text is lesson.body
            first = lesson.body_line if body else line_of(text, 2)
            if mine:  # what is shipped is looked at in its own tests
                wrong = list(wrong_words(text))
                if not wrong and (body or text in lesson.why):
                    wrong = list(wrong_markdown(text))
                for at, what, fix in wrong:
                    self.wrong(lesson.file, first + at - 1 if body else first, what, fix)
            for piece in pieces(text):
                if isinstance(piece, Piece) and piece.call:
                    problem = _wrong_call(piece, lesson, glossary, cautions, tables)
                    if problem:
                        self.wrong(lesson.file, first + piece.line - 1 if body else first, *problem)


_Numbered = TypeVar("_Numbered", Lesson, Question, Card)


def _under(it: _Numbered, rules: Rules) -> _Numbered:
    """The same with its numbers worked as these rules have them."""
    if rules.name == US_FEDERAL:
        return it
    return replace(it, numbers={name: replace(spec, calculation=under(spec.calculation, rules)) for name, spec in it.numbers.items()})


def _before(id_: str, lessons: Mapping[str, Lesson]) -> set[str]:
    """The lesson and all it builds on, by way of others or not."""
    found: set[str] = set()
    to_do = [id_]
    while to_do:
        at = to_do.pop()
        if at not in found and at in lessons:
            found.add(at)
            to_do += lessons[at].builds_on
    return found


def _circles(lesson: Lesson) -> Iterator[str]:
    """Numbers of a lesson that rest on themselves, by way of others or not."""
    needs = {
        name: {ref.partition(".")[0] for refs in spec.inputs.values() for ref in refs} & set(lesson.numbers)
        for name, spec in lesson.numbers.items()
    }
    for name in needs:
        reached, todo = set(), list(needs[name])
        while todo:
            at = todo.pop()
            if at not in reached:
                reached.add(at)
                todo += needs[at]
        if name in reached:
            yield name


def _wrong_call(
    piece: Piece, lesson: Lesson, glossary: Mapping[str, Wording], cautions: Mapping[str, Wording], tables: Mapping[str, Table]
) -> tuple[str, str] | None:
    word = piece.words[0] if piece.words else ""
    if piece.call == "n":
        return wrong_reference(word, lesson.numbers, tables)
    if piece.call == "working" and word not in lesson.numbers:
        return f"no number is called '{word[:60]}'", suggest(word, lesson.numbers, f"this lesson has {', '.join(lesson.numbers) or 'none'}")
    if piece.call == "term" and word not in glossary:
        return f"the glossary has no '{word[:60]}'", suggest(word, glossary, "add it to glossary.yml")
    if piece.call == "caution" and word not in cautions:
        return f"no caution is called '{word[:60]}'", suggest(word, cautions, "add it to cautions.yml")
    if piece.call == "drawing":
        names = [*(["drawing"] if lesson.drawing else []), *lesson.drawings]
        if (word or "drawing") not in names:
            return f"the lesson has no drawing '{(word or 'drawing')[:60]}'", suggest(word, names, "add it to the front matter")
    for call, named, what in (("steps", lesson.steps, "scene in steps"), ("ways", lesson.ways, "pair of ways")):
        if piece.call == call and word not in named:
            return f"the lesson has no {what} '{word[:60]}'", suggest(word, named, f"add it under '{call}:' in the front matter")
    for block, there in (("table", lesson.table), ("panel", lesson.panel), ("exercise", lesson.exercise)):
        if piece.call == block and there is None:
            return f"the lesson has no {block}", f"add '{block}:' to the front matter"
    return None


def _lesson(
    text: str, id_: str, file: str, words: InWords | None, headings: tuple[str, ...], spoken: str
) -> tuple[Lesson | None, list[Problem]]:
    """A lesson of this text, and what is wrong with it."""
    problems: list[Problem] = []
    return read_lesson(text, id_, file, problems, words=words, headings=headings, spoken=spoken), problems


def _questions(
    text: str, file: str, mistakes: tuple[tuple[str, str], ...], looked_at: bool, words: InWords | None
) -> tuple[tuple[Question, ...], list[Problem]]:
    """The questions of this text, and what is wrong with them; the scenes of their pictures count if not ``looked_at`` before."""
    problems: list[Problem] = []
    questions = questions_in(text, file, dict(mistakes), problems, (words.text, words.file) if words is not None else None)
    for q in () if looked_at else questions:
        found = [Problem.of(file, at, f"{q.id}: {what}", fix) for p in q.all_pictures for at, what, fix in wrong_drawing(p.drawing)]
        problems += dict.fromkeys(found)  # several pictures may be made of one drawing
    return questions, problems


# what is shipped is the same for every site that is built and for every save that is served
_shipped_lesson = lru_cache(maxsize=256)(_lesson)
_shipped_questions = lru_cache(maxsize=256)(_questions)


@lru_cache(maxsize=32)
def _parsed(text: str, name: str) -> Any:
    return load_yaml(text, name)


def _shipped_yaml(path: Path, rules: Rules = US) -> dict[str, Any]:
    raw = _parsed(kept(path.read_text("utf-8"), rules), f"content/{path.name}")
    return raw if isinstance(raw, dict) else {}


# --- what a site has of its own, told ---------------------------------------------------------


_IN_ITS_PLACE = mark("{file}: the site's own stands in its place")


def own_lines(content: Content, taught: Mapping[str, object] | None = None) -> Iterator[str]:
    """One line for each own file or entry: what it replaces or adds, and whether the shipped text has changed since.

    ``taught`` are the lessons the site's roles need.
    """
    for own in content.own.layers:
        yield from _lines_of(own, content, taught)


def _lines_of(own: Overrides, content: Content, taught: Mapping[str, object] | None) -> Iterator[str]:
    """The lines of the site's own files, or of those it shares."""
    folder, below, above = content.folder, own.below, content.own if own is not content.own else None
    for name, text in own.texts.items():
        file = own.shown(name)
        if name in MERGED:
            yield from _merged(own, name, folder, above)
        elif name == "chapters.yml":
            yield said("{file}: titles and chapters of its own", file=file)
        elif name == "allowed-figures.yml":
            yield said("{file}: figures its lessons may hold: {number}", file=file, number=len(content.may_stand))
        elif name.startswith("look/"):
            shipped = below is None or name not in below.texts
            yield said("{file}: adds to the shipped look", file=file) if shipped else said("{file}: adds to the shared look", file=file)
        elif above is not None and name in above.texts:
            yield said(_IN_ITS_PLACE, file=file)
        else:
            path = folder / name
            note = ""
            id_ = name[8:-3] if name.startswith("lessons/") else ""
            if id_ and taught is not None and id_ not in taught:
                note = mark("; no role needs it, or no machine fits it, so it is not in the handbook")
            if below is not None and name in below.texts:
                since = _since(taken(text, "shared").get(name), fingerprint(below.texts[name]), "shared")
                yield said("{file}: replaces {shared}; {since}{note}", file=file, shared=below.shown(name), since=since, note=said(note))
            elif path.is_file():
                since = _since(taken(text).get(name), fingerprint(path.read_text("utf-8")))
                yield said("{file}: replaces the shipped one; {since}{note}", file=file, since=since, note=said(note))
            else:
                if id_ in content.lessons:
                    yield said("{file}: added in chapter {chapter}{note}", file=file, chapter=content.lessons[id_].chapter, note=said(note))
                else:
                    yield said("{file}: added{note}", file=file, note=said(note))
    for picture in own.pictures:
        if above is not None and picture in above.pictures:
            yield said(_IN_ITS_PLACE, file=own.shown(f"look/{picture}"))
        else:
            yield said("{file}: a picture, ../assets/{name} in a lesson", file=own.shown(f"look/{picture}"), name=picture)


def skeletons(content: Content) -> Iterator[Problem]:
    """A notice for each lesson of the site's own that still has the words of the skeleton."""
    for name, (text, file) in content.own.counting.items():
        line = next((i for i, row in enumerate(text.split("\n"), 1) if row.startswith(SKELETON)), None)
        if name.startswith("lessons/") and line is not None:
            yield notice(
                file, line, None, "the words are still those of the skeleton",
                "write your own, then take this line out", "skeleton",
            )  # fmt: skip


def _merged(own: Overrides, name: str, folder: Path, above: Overrides | None) -> Iterator[str]:
    text, file, shipped = own.texts[name], own.shown(name), _shipped_yaml(folder / name)
    shared = _entries_of(own.below, name) if own.below is not None else {}
    mine = _entries_of(above, name) if above is not None else {}
    for key in _entries_of(own, name):
        if key in mine:
            yield said("{file}: {entry} has one of the site's own in its place", file=file, entry=key)
        elif key in shared and own.below is not None:
            noted = taken(text, "shared").get(str(key))
            since = _since(noted, fingerprint_of_entry(shared[key]), "shared")
            yield said(
                "{file}: {entry} replaces that of {shared}; {since}", file=file, entry=key, shared=own.below.shown(name), since=since
            )
        elif key in shipped:
            since = _since(taken(text).get(str(key)), fingerprint_of_entry(shipped[key]))
            yield said("{file}: {entry} replaces the shipped one; {since}", file=file, entry=key, since=since)
        else:
            yield said("{file}: {entry} added", file=file, entry=key)


def _entries_of(own: Overrides, name: str) -> dict[str, Any]:
    """The entries of one layer's table of words; none where there is no such file."""
    return entries(load_yaml(own.texts[name], own.shown(name))) if name in own.texts else {}


def _since(noted: str | None, now: str, which: str = "shipped") -> str:
    if noted is None:
        return said("not known which version it was taken from")
    if which == "shared":
        return said("the shared one is as it was then") if noted == now else said("the shared one has changed since: look at both")
    return said("the shipped one is as it was then") if noted == now else said("the shipped one has changed since: look at both")
