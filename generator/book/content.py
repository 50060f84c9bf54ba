"""The shipped content: lessons, questions, glossary, cautions, published tables, sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from generator.book.errors import BookError
from generator.book.lesson import Lesson, read_lesson
from generator.calc.tables import Table
from generator.quiz.question import Question, QuestionProblem, read_mistakes, read_questions
from generator.reference.sources import Bibliography
from generator.reference.sources import load as load_sources
from generator.reference.tables import load as load_tables


@dataclass(frozen=True)
class Chapter:
    """A chapter of the handbook and its lessons in reading order."""

    id: str
    title: str
    lessons: tuple[str, ...]


@dataclass(frozen=True)
class Content:
    """All that is shipped, read and checked."""

    folder: Path
    chapters: tuple[Chapter, ...]
    lessons: Mapping[str, Lesson]
    questions: Mapping[str, tuple[Question, ...]]
    glossary: Mapping[str, str]
    cautions: Mapping[str, str]
    tables: Mapping[str, Table]
    sources: Bibliography


def content_folder() -> Path:
    """The shipped content: beside the package in a checkout, inside it when installed."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package.parent / "content", package / "_content"):
        if (folder / "chapters.yml").is_file():
            return folder
    raise BookError("content", None, "the shipped content is missing", "install Seatwork again")


def lesson_ids(folder: Path) -> tuple[str, ...]:
    """Ids of all lessons listed in ``chapters.yml``, in order."""
    raw = yaml.safe_load((folder / "chapters.yml").read_text("utf-8"))
    return tuple(str(lesson) for c in raw for lesson in c["lessons"])


def read_content(folder: Path) -> Content:
    """Read everything. Raises BookError."""
    chapters, lessons, questions = [], {}, {}
    raw = yaml.safe_load((folder / "chapters.yml").read_text("utf-8"))
    mistakes = read_mistakes(folder / "mistakes.yml")
    for c in raw:
        chapters.append(Chapter(str(c["id"]), str(c["title"]), tuple(map(str, c["lessons"]))))
        for id_ in chapters[-1].lessons:
            path = folder / "lessons" / f"{id_}.md"
            if not path.is_file():
                raise BookError("chapters.yml", None, f"lists '{id_}' but lessons/{id_}.md is missing", "write it")
            lessons[id_] = read_lesson(path)
            if lessons[id_].chapter != chapters[-1].id:
                raise BookError(lessons[id_].file, 2, f"chapter is '{lessons[id_].chapter}'", f"chapters.yml says '{c['id']}'")
            try:
                questions[id_] = read_questions(folder / "questions" / f"{id_}.yml", mistakes)
            except QuestionProblem as e:
                raise BookError(f"questions/{e.file}", e.line, e.what, e.fix) from None
            except FileNotFoundError:
                raise BookError(f"questions/{id_}.yml", None, "is missing", "write the lesson's questions") from None
    return Content(
        folder, tuple(chapters), lessons, questions, _words(folder / "glossary.yml"),
        _words(folder / "cautions.yml"), load_tables(folder), load_sources(folder),
    )  # fmt: skip


def _words(path: Path) -> dict[str, str]:
    raw = yaml.safe_load(path.read_text("utf-8")) or {}
    return {str(k): " ".join(str(v).split()) for k, v in raw.items()}
