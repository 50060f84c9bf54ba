"""The whole book as a tree of files: Markdown pages, plain assets, sheets, keys, ledger.

Nothing here knows a site builder: the tree is Markdown with plain HTML in it, and files.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from html import escape
from pathlib import Path
from typing import Any

from generator.book.card import cab_card, framed, read_cards, sign_off
from generator.book.content import Content
from generator.book.errors import BookError
from generator.book.lesson import Lesson
from generator.book.page import LessonPage, site_lead
from generator.book.panel import panel
from generator.book.reference import reference_pages
from generator.book.render import render_body
from generator.book.sheet import tailgate
from generator.book.words import bullets, safe
from generator.calc.formula import Formula
from generator.drawing.canvas import stylesheet
from generator.jobsite.model import JobSite
from generator.quiz.draw import Drawer, NotEnoughVariants
from generator.quiz.edition import FIGURES, edition_text, figures_of
from generator.quiz.markup import Page, Quiz, quiz_html
from generator.working.browser import script
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
    marking: dict[str, dict[str, Any]] = field(default_factory=dict)  # by lesson, see quiz.edition
    problems: list[BookError] = field(default_factory=list)


def edition_file(tree: Tree, site: JobSite) -> str:
    """What is kept so that this edition's results can be marked again."""
    s = site.settings
    return edition_text(s.edition, s.key, s.passing_mark.si, tree.marking)


def render_tree(content: Content, site: JobSite, progress: Progress = silent) -> Tree:
    """Render everything. Problems are collected in the tree, all at once."""
    tree = Tree()
    content = taught(content, site)
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
    progress("cab cards and sign-off sheets")
    builder.paper()
    progress("front page, glossary, reference")
    builder.front_pages()
    tree.docs["assets/formulas.js"] = script(builder.formulas.values())
    return tree


def taught(content: Content, site: JobSite) -> Content:
    """The content with only those lessons that a role of the site needs and its machines allow."""
    wanted = {i for role in site.settings.roles.values() for i in role.lessons}
    kinds = {r.kind for r in (*site.machines, *site.trucks)} | {"any"}
    lessons = {i: x for i, x in content.lessons.items() if i in wanted and x.about in kinds}
    chapters = tuple(
        replace(c, lessons=tuple(i for i in c.lessons if i in lessons)) for c in content.chapters
    )
    return replace(content, lessons=lessons, chapters=chapters)


class _Builder:
    """Renders pages into a tree."""

    def __init__(self, content: Content, site: JobSite, tree: Tree) -> None:
        self.content, self.site, self.tree = content, site, tree
        self.lead = site_lead(site)
        self.drawer = Drawer(site, content.tables, self.lead)
        self.pages: dict[str, LessonPage] = {}
        self.formulas: dict[str, Formula] = {}  # that a panel needs in the browser

    # --- lessons ---

    def lesson(self, lesson: Lesson) -> None:
        page = LessonPage(lesson, self.content, self.site, self.lead, self.tree.ledger)
        self.pages[lesson.id] = page
        quiz = self.quiz(lesson, page)
        moving = ""
        if lesson.front.get("panel"):
            try:
                made = panel(page)
            except NumberProblem as e:
                raise BookError(lesson.file, lesson.front["panel"].get("__line__", 2), e.what, e.fix) from None
            moving = made.html
            self.formulas[made.formula.id] = made.formula
        body = render_body(page, {"quiz": lambda: quiz, "panel": lambda: moving})
        text = "\n".join(
            [
                "---", f"title: {json.dumps(lesson.title)}", f"description: {json.dumps(lesson.summary)}", "---",
                f"# {safe(lesson.title)}", "", self.bar(lesson), "", safe(lesson.summary), "", body, "",
                page.workings.block(), "",
            ]
        )  # fmt: skip
        self.tree.docs[f"sheets/{lesson.id}.html"] = tailgate(page, key=False)
        self.tree.mentor[f"keys/{lesson.id}.html"] = tailgate(page, key=True)
        figures = self.kept(lesson, page)
        self.tree.docs[f"lessons/{lesson.id}.md"] = text.replace(f'"{FIGURES}"', f'"{figures}"')

    def kept(self, lesson: Lesson, page: LessonPage) -> str:
        """Notes how the lesson's quiz is marked; the print of its questions and numbers."""
        made = self.tree.marking[lesson.id]
        numbers = [
            (e.place, e.what, e.values["us"], e.values["metric"]) for e in self.tree.ledger.entries if e.page == page.page
        ]
        made["figures"] = figures_of(made["questions"], numbers)
        return str(made["figures"])

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
                what = f"{q.id}: {e.what}" if isinstance(e, NumberProblem) else str(e)
                raise BookError(f"questions/{lesson.id}.yml", q.line, what, fix) from None
        around = Page(
            site=settings.key, edition=settings.edition, pass_mark=settings.passing_mark.si,
            crew=tuple(c.id for c in self.site.crew),
            writes_working=page.working_html, draws=lambda spec: page.scene(spec, f"{lesson.id}-quiz"),
            read_again={slugged(h): (f"#{slugged(h)}", h) for h in ("Do it", "The numbers", "Watch for", "Why it matters")},
        )  # fmt: skip
        try:
            made = quiz_html(Quiz(lesson.id, lesson.title, questions, variants), around)
        except NumberProblem as e:
            raise BookError(f"questions/{lesson.id}.yml", None, e.what, e.fix) from None
        self.tree.marking[lesson.id] = {
            "title": lesson.title, "about": lesson.about, "figures": "", "questions": made.marking,
        }  # fmt: skip
        return f'\n\n<div class="sw-quiz">{made.html}</div>\n\n'

    # --- other pages ---

    def paper(self) -> None:
        """Cab cards for the web, sign-off sheets for the mentor folder."""
        cards = read_cards(self.content)
        for row in (*self.site.machines, *self.site.trucks):
            if row.kind in cards:
                try:
                    html = cab_card(row, cards[row.kind], self.content, self.site, self.lead, self.tree.ledger)
                except BookError as e:
                    self.tree.problems.append(e)
                    continue
                self.tree.docs[f"sheets/cab-{row.id.lower()}.html"] = html
        for role in self.site.settings.roles.values():
            self.tree.mentor[f"signoff/{role.id}.html"] = sign_off(role, self.pages, self.content, self.site)

    def front_pages(self) -> None:
        """The first page and one for each kind of reader; the glossary; the mentor folder's index."""
        settings, docs = self.site.settings, self.tree.docs
        invented = (
            '<p class="sw-note">This site, its machines and its crew are invented.</p>' if settings.invented else ""
        )
        cards = "".join(
            f'<a class="sw-card" href="{href}"><b>{words}</b><span>{what}</span></a>'
            for href, words, what in (
                ("operator.html", "New operator", "What to read and pass before seat time"),
                ("mentor.html", "Mentor", "Sheets to print for tailgate talks, cab cards"),
                ("coordinator.html", "Coordinator", "Edition, machines, where every number comes from"),
            )
        )
        docs["index.md"] = "\n\n".join(
            [f"# {safe(settings.name)}: operator handbook", self.bar(None), invented,
             f"Edition {safe(settings.edition)}. Who are you?", f'<div class="sw-cards">{cards}</div>',
             f'<div class="sw-caution" role="note">{escape(self.content.cautions["manual"])}</div>', ""]
        )  # fmt: skip
        docs["operator.md"] = self.operator_page()
        docs["mentor.md"] = self.mentor_page()
        docs["coordinator.md"] = self.coordinator_page()
        glossary = ["# Words", ""]
        for word, meaning in sorted(self.content.glossary.items()):
            glossary += [f"**{safe(word)}**", f":   {safe(meaning)}", ""]
        docs["glossary.md"] = "\n".join(glossary)
        front = {"Start here": "index.md"}, {"New operator": "operator.md"}, {"Mentor": "mentor.md"}
        self.tree.nav[:0] = [*front, {"Coordinator": "coordinator.md"}]
        pages, nav = reference_pages(self.content)
        docs.update(pages)
        self.tree.nav.append({"Where the numbers come from": nav})
        self.tree.nav.append({"Words": "glossary.md"})
        self.tree.mentor["index.html"] = mentor_index(self.content, self.site)

    def operator_page(self) -> str:
        lines = ["# New operator", "", "Find your role. Read each lesson and take its quiz. When you have passed, show "
                 "your mentor on the machine. You are ready for seat time when every line of your sign-off sheet is signed.", ""]  # fmt: skip
        for role in self.site.settings.roles.values():
            known = [self.content.lessons[i] for i in role.lessons if i in self.content.lessons]
            links = [f'<a href="lessons/{x.id}.html">{escape(x.title)}</a>, {x.minutes} minutes' for x in known]
            if links:
                lines += [f"## {safe(role.title)}", "", bullets(links, "ol"), ""]
        return "\n".join(lines)

    def mentor_page(self) -> str:
        sheets = [
            f'<a data-sheet href="sheets/{i}.html">{escape(x.title)}</a>' for i, x in self.content.lessons.items()
        ]
        cards = [
            f'<a data-sheet href="sheets/cab-{m.id.lower()}.html">{escape(m.name)}</a>'
            for m in (*self.site.machines, *self.site.trucks)
            if f"sheets/cab-{m.id.lower()}.html" in self.tree.docs
        ]
        return "\n".join(
            ["# Mentor", "", self.bar(None), "", "Each sheet is one page. Open it and press its print button. It prints in the units shown.",
             "", "## Tailgate sheets", "", bullets(sheets), "", "## Cab cards", "", bullets(cards), "", "## Sign-off",
             "", "Sign-off sheets and answer keys are in the mentor folder, not in this handbook. The coordinator has it.", ""]
        )  # fmt: skip

    def coordinator_page(self) -> str:
        s = self.site.settings
        counts = [
            f"{len(self.site.machines)} machines, {len(self.site.trucks)} trucks, "
            f"{len(self.site.materials)} materials, {len(self.site.crew)} crew",
            f"{len(self.content.lessons)} lessons",
            f"{len(self.tree.ledger.entries)} numbers in the ledger",
        ]
        return "\n".join(
            ["# Coordinator", "", f"Edition {safe(s.edition)} of {safe(s.name)}.", "", bullets(counts), "",
             "Tap any number in a lesson to see how it was worked and where it comes from. The file ledger.json, "
             "beside this handbook, lists every number with its calculation, inputs and source.", "",
             "After you change a table, run the build again and give the handbook a new edition name.", "",
             "A web quiz can be read in the page's source. It is for learning and readiness. "
             "The mentor's sign-off on the machine is the gate.", ""]
        )  # fmt: skip


def slugged(heading: str) -> str:
    """The anchor of a heading."""
    return heading.lower().replace(" ", "-")


def mentor_index(content: Content, site: JobSite) -> str:
    """The first page of the mentor folder."""
    keys = bullets([f'<a href="keys/{i}.html">{escape(x.title)}</a>' for i, x in content.lessons.items()])
    roles = bullets([f'<a href="signoff/{r.id}.html">{escape(r.title)}</a>' for r in site.settings.roles.values()])
    body = (
        '<p class="caution">Keep this folder off the intranet: it holds answers.</p>'
        f"<h2>Sign-off sheets</h2>{roles}<h2>Answer keys of the tailgate sheets</h2>{keys}"
        "<h2>Results</h2><p>Type what mentors signed into signoffs.csv, beside settings.yml, with the columns crew, "
        "lesson, machine, date, mentor. Then <code>seatwork tally</code> marks the results handed in and writes "
        "records/readiness.html here: who is ready for which machine. <code>seatwork paper</code> writes quizzes on "
        "paper, with their keys, into paper/ here. A new build keeps both.</p>"
    )
    return framed(body, "Mentor folder", content, site, ("", ""), alone=True)


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
