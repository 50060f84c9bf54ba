"""The whole book as a tree of files: Markdown pages, plain assets, sheets, keys, ledger.

Nothing here knows a site builder: the tree is Markdown with plain HTML in it, and files.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from html import escape
from pathlib import Path
from typing import Any

from generator.book.content import Content
from generator.book.errors import BookError
from generator.book.lesson import Lesson
from generator.book.page import LessonPage, Workings, site_lead
from generator.book.render import render_body
from generator.book.sheet import tailgate
from generator.book.words import bullets, safe
from generator.drawing.canvas import stylesheet
from generator.jobsite.model import JobSite
from generator.quiz.draw import Drawer, NotEnoughVariants
from generator.quiz.markup import Page, Quiz, quiz_html
from generator.working.errors import NumberProblem
from generator.working.ledger import Ledger

VARIANTS = 40
Nav = list[dict[str, Any]]
Progress = Callable[[str], None]


def silent(_: str) -> None:
    """No progress wanted."""


@dataclass
class Tree:
    """What a build writes: ``docs`` for the web, ``mentor`` to keep, the ledger, the navigation."""

    docs: dict[str, str | bytes] = field(default_factory=dict)
    mentor: dict[str, str | bytes] = field(default_factory=dict)
    nav: Nav = field(default_factory=list)
    ledger: Ledger = field(default_factory=Ledger)
    problems: list[BookError] = field(default_factory=list)


def render_tree(content: Content, site: JobSite, progress: Progress = silent) -> Tree:
    """Render everything. Problems are collected in the tree, all at once."""
    tree = Tree()
    _assets(tree, content, site)
    builder = _Builder(content, site, tree)
    for chapter in content.chapters:
        pages: Nav = []
        for id_ in chapter.lessons:
            lesson = content.lessons[id_]
            progress(f"{chapter.title}: {lesson.title}")
            try:
                builder.lesson(lesson)
            except BookError as e:
                tree.problems.append(e)
            pages.append({lesson.title: f"lessons/{id_}.md"})
        if pages:
            tree.nav.append({chapter.title: pages})
    progress("front page, glossary, reference")
    builder.front_pages()
    return tree


class _Builder:
    """Renders pages into a tree."""

    def __init__(self, content: Content, site: JobSite, tree: Tree) -> None:
        self.content, self.site, self.tree = content, site, tree
        self.lead = site_lead(site)
        self.drawer = Drawer(site, content.tables, self.lead)

    # --- lessons ---

    def lesson(self, lesson: Lesson) -> None:
        page = LessonPage(lesson, self.content, self.site, self.lead, self.tree.ledger)
        quiz = self.quiz(lesson, page)
        body = render_body(page, {"quiz": lambda: quiz})
        text = "\n".join(
            [
                "---", f"title: {json.dumps(lesson.title)}", f"description: {json.dumps(lesson.summary)}", "---",
                f"# {safe(lesson.title)}", "", self.bar(lesson), "", safe(lesson.summary), "", body, "",
                page.workings.block(), "",
            ]
        )  # fmt: skip
        self.tree.docs[f"lessons/{lesson.id}.md"] = text
        self.tree.docs[f"sheets/{lesson.id}.html"] = tailgate(page, key=False)
        self.tree.mentor[f"keys/{lesson.id}.html"] = tailgate(page, key=True)

    def bar(self, lesson: Lesson | None) -> str:
        units = self.site.settings.units
        switch = (
            '<span role="group" aria-label="Units">'
            '<button type="button" data-set-units="us" aria-pressed="false">feet, pounds</button>'
            '<button type="button" data-set-units="metric" aria-pressed="false">metres, kilograms</button></span>'
        )
        extra = ""
        if lesson is not None:
            extra = (
                f"<p>{lesson.minutes} minutes to read</p>"
                f'<a data-sheet href="../sheets/{lesson.id}.html">Tailgate sheet to print</a>'
            )
        return f'<div class="sw-bar" data-default-units="{units}">{switch}{extra}</div>'

    def quiz(self, lesson: Lesson, page: LessonPage) -> str:
        questions = self.content.questions[lesson.id]
        settings = self.site.settings
        variants = {}
        for q in questions:
            try:
                variants[q.id] = self.drawer.variants(q, VARIANTS, "web")
            except (NumberProblem, NotEnoughVariants) as e:
                fix = e.fix if isinstance(e, NumberProblem) else "give it wider ranges"
                what = e.what if isinstance(e, NumberProblem) else str(e)
                raise BookError(f"questions/{lesson.id}.yml", q.line, f"{q.id}: {what}", fix) from None
        around = Page(
            site=settings.key, edition=settings.edition, pass_mark=settings.passing_mark.si,
            crew=tuple(c.id for c in self.site.crew),
            writes_working=page.working_html, draws=lambda spec: page.scene(spec, f"{lesson.id}-quiz"),
            read_again={slugged(h): (f"#{slugged(h)}", h) for h in ("Do it", "The numbers", "Watch for", "Why it matters")},
        )  # fmt: skip
        try:
            html = quiz_html(Quiz(lesson.id, lesson.title, questions, variants), around)
        except NumberProblem as e:
            raise BookError(f"questions/{lesson.id}.yml", None, e.what, e.fix) from None
        return f'\n\n<div class="sw-quiz">{html}</div>\n\n'

    # --- other pages ---

    def front_pages(self) -> None:
        settings = self.site.settings
        docs = self.tree.docs
        invented = "\n\n<p class=\"sw-note\">This site, its machines and its crew are invented.</p>\n\n" if settings.invented else ""
        lines = [f"# {safe(settings.name)}: operator handbook", "", self.bar(None), invented,
                 f"Edition {safe(settings.edition)}.", "", "## New operator", "",
                 "Find your role. Read each lesson, then take its quiz. "
                 "You are ready for seat time when your mentor has signed the sheet.", ""]  # fmt: skip
        for role in settings.roles.values():
            links = [
                f'<a href="lessons/{i}.html">{escape(self.content.lessons[i].title)}</a>'
                for i in role.lessons if i in self.content.lessons
            ]  # fmt: skip
            if links:
                lines += [f"### {safe(role.title)}", "", bullets(links, "ol"), ""]
        lines += ["## Mentor", "", "Print the tailgate sheet of the lesson you teach today. "
                  "The answer keys are not in this handbook: ask the coordinator.", ""]  # fmt: skip
        sheets = [
            f'<a data-sheet href="sheets/{i}.html">{escape(lesson.title)}</a>'
            for i, lesson in self.content.lessons.items()
        ]
        lines += [bullets(sheets), "", "## Coordinator", "",
                  "Every number in this handbook opens its working: tap it. "
                  "The file ledger.json beside this handbook lists them all with their sources. "
                  "Run the build again after you change a table.", ""]  # fmt: skip
        docs["index.md"] = "\n".join(lines)
        glossary = [f"# Words", ""]  # noqa: F541
        for word, meaning in sorted(self.content.glossary.items()):
            glossary += [f"**{safe(word)}**", f":   {safe(meaning)}", ""]
        docs["glossary.md"] = "\n".join(glossary)
        self.tree.nav.insert(0, {"Start here": "index.md"})
        self.tree.nav.append({"Words": "glossary.md"})
        self.tree.mentor["index.html"] = mentor_index(self.content, settings.name, settings.edition)


def slugged(heading: str) -> str:
    """The anchor of a heading."""
    return heading.lower().replace(" ", "-")


def mentor_index(content: Content, name: str, edition: str) -> str:
    """The first page of the mentor folder."""
    rows = "".join(
        f'<li><a href="keys/{i}.html">{escape(lesson.title)}</a></li>' for i, lesson in content.lessons.items()
    )
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Mentor folder</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<style>body{font:16px/1.5 system-ui,sans-serif;max-width:46rem;margin:1rem auto;padding:0 1rem}</style></head>'
        f"<body><h1>Mentor folder</h1><p>{escape(name)}, edition {escape(edition)}. "
        f"Keep this folder off the intranet: it holds answers.</p><h2>Answer keys of the tailgate sheets</h2><ul>{rows}</ul></body></html>"
    )


def _assets(tree: Tree, content: Content, site: JobSite) -> None:
    look = content.folder / "look"
    for path in files_below(look):
        tree.docs[f"assets/{path.relative_to(look).as_posix()}"] = path.read_bytes()
    tree.docs["assets/drawing.css"] = stylesheet()
    hidden = "si" if site.settings.units == "us" else "us"
    tree.docs["assets/units.css"] = (
        f"/* the other unit system is hidden until the reader switches */\nhtml:not([data-units]) .{hidden} {{ display: none !important; }}\n"
    )


def files_below(folder: Path) -> Iterator[Path]:
    """Files of a folder in a fixed order, hidden ones left out."""
    return (p for p in sorted(folder.rglob("*")) if p.is_file() and not p.name.startswith("."))


__all__ = ["Mapping", "Tree", "Workings", "render_tree", "silent"]
