"""The whole book as a tree of files: Markdown pages, plain assets, sheets, keys, ledger.

Nothing here knows a site builder: the tree is Markdown with plain HTML in it, and files.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from html import escape
from pathlib import Path

from generator.book import mine
from generator.book.cache import PartCache
from generator.book.card import cab_card
from generator.book.content import Content
from generator.book.crew_text import FOLDER as CREW_TEXTS
from generator.book.crew_text import crew_text
from generator.book.drawn import Drawings
from generator.book.front import bar, front_pages, mentor_folder, practice_page
from generator.book.headings import anchor_of, printed
from generator.book.kept import KeptParts
from generator.book.lesson import HEADINGS, NUMBERS, TRUCK_BESIDE, Lesson, headings_of
from generator.book.likeness import alike_print
from generator.book.markup import links_of
from generator.book.page import EXERCISE_HEAD, EXERCISE_ID, PLURAL, LessonPage, drawer_for, rows_about, site_lead
from generator.book.panel import panel
from generator.book.parallel import Job, spread, uncollected
from generator.book.part import SPOKEN, Part, Tree
from generator.book.reference import reference_chapter
from generator.book.render import render_body
from generator.book.seen import Sources
from generator.book.sheet import NUMBER, tailgate
from generator.book.signing import ASSETS as SIGNING_ASSETS
from generator.book.signing import PAGE as SIGNING
from generator.book.signing import signing_page
from generator.book.signoff import RoleSheets, sign_off
from generator.book.tofill import tables_to_fill_in
from generator.book.words import safe
from generator.calc.catalogue import find
from generator.calc.formula import Formula
from generator.drawing import stylesheet
from generator.jobsite.model import JobSite, Row, a, works
from generator.jobsite.problems import notice
from generator.language.names import language_name
from generator.language.scripts import NAME as STRINGS
from generator.language.scripts import table as strings_script
from generator.language.words import ENGLISH, Catalogue, current, now, tr, using
from generator.quiz.asked import sets_of
from generator.quiz.draw import Drawer, NotEnoughVariants
from generator.quiz.edition import FIGURES, edition_text, figures_of
from generator.quiz.markup import Page, Quiz, practice_script, quiz_html, said_script
from generator.quiz.printed import talk_sheet
from generator.source.near import suggest
from generator.source.problem import Problem, Refusal, Refusals
from generator.source.store import Store
from generator.source.yamltext import line_of
from generator.speech.typed import typed_words
from generator.units import browser
from generator.units.writing import using as written_as
from generator.working.aloud import voice_for
from generator.working.browser import script
from generator.working.errors import Lacking, NoneHere, NumberProblem
from generator.working.ledger import SCALE

VARIANTS = 24
PRACTISED = 5  # variants of a question in mixed practice, where it comes again after days
CARDS = 8  # cab cards that make one job
Progress = Callable[[str], None]


def silent(_: str) -> None:
    """No progress wanted."""


def edition_file(tree: Tree, site: JobSite) -> str:
    """What is kept so that this edition's results can be marked again."""
    s = site.settings
    return edition_text(s.edition, s.key, s.passing_mark.si, tree.marking)


def render_tree(
    content: Content, site: JobSite, progress: Progress = silent, kept: PartCache | None = None, *,
    store: Store | None = None, program: str = "",
) -> Tree:  # fmt: skip
    """Render everything. Problems are collected in the tree, all at once.

    With ``kept`` only the parts are rendered that are not in it; they are put into it. With a ``store`` the same holds of
    what earlier builds put into that; ``program`` is then the print of what renders (:func:`generator.book.kept.made_with`).
    """
    with written_as(site.settings.writing):
        return _whole(content, site, progress, kept, store, program)


def _whole(
    content: Content, site: JobSite, progress: Progress, kept: PartCache | None, store: Store | None, program: str
) -> Tree:  # fmt: skip
    tree = Tree()
    content = taught(content, site)
    _assets(tree, content, site)
    shared = Sources(content, site, program), store
    cards = [Job("cards", first=i, end=i + CARDS) for i in range(0, len((*site.machines, *site.trucks)), CARDS)]
    lessons = [Job("lesson", id_) for id_ in content.lessons]
    reference = Job("reference")
    pages: dict[str, LessonPage] = {}
    formulas: dict[str, Formula] = {}
    in_parts: set[int] = set()  # places of the parts' numbers in the ledger; the rest are those of the pages made here
    held = kept or PartCache()
    if kept is not None:
        kept.look(content, site)
    earlier: dict[Job, Part] = {}
    if store is not None:
        shelf = KeptParts(store, shared[0])
        earlier = {j: part for j in (*lessons, reference, *cards) if not held.has(j) and (part := shelf.get(j)) is not None}
    todo = [j for j in (*lessons, reference, *cards) if not held.has(j) and j not in earlier]
    tree.kept, tree.parts = len(earlier), len(todo) + len(earlier)
    with uncollected(), spread(render_part, shared, todo) as parts:

        def take(job: Job) -> Part:
            part: Part = held.of(job) or earlier.get(job) or parts.of(job) or render_part(shared, job)
            if kept is not None and not part.tree.problems:
                kept.keep(job, part, content)
            before = len(tree.ledger.entries)
            tree.add(part.tree)
            tree.alike[f"{job.what} {job.name} {job.first}"] = part.alike
            in_parts.update(range(before, len(tree.ledger.entries)))
            formulas.update({i: f for i in part.formulas if isinstance(f := find(i), Formula)})
            if part.terms is not None:  # the lesson is whole, and its page can be asked for more
                page = pages[job.name] = LessonPage(content.lessons[job.name], content, site, site_lead(site), tree.ledger)
                page.explained_terms.update(part.terms)
            return part

        for chapter in content.chapters:
            for id_ in chapter.lessons:
                progress(f"{chapter.title}: {content.lessons[id_].title}")
                take(Job("lesson", id_))
            if chapter.lessons:
                tree.nav.append({chapter.title: [{content.lessons[i].title: f"lessons/{i}.md"} for i in chapter.lessons]})
        progress("cab cards and sign-off sheets")
        for job in cards:
            take(job)
        signed: dict[str, RoleSheets] = {}
        figures = {i: str(made["figures"]) for i, made in tree.marking.items()}
        for role in site.settings.roles.values():
            made = signed[role.id] = sign_off(role, pages, content, site, figures)
            tree.mentor[f"signoff/{role.id}.html"] = made.html
            tree.sheets += (printed for printed, _ in made.leaves)
        tree.mentor.update({f"signoff/{name}": text for name, text in tables_to_fill_in(content, site, signed).items()})
        progress("front page, glossary, reference")
        tree.docs["practice.md"] = practice_page(content, site, tree.marking)
        if signing := signing_page(pages, content, site, tree.ledger):
            tree.docs[f"{SIGNING}.md"] = signing
        else:  # nobody could hand it in, so a phone need not keep it
            for name in SIGNING_ASSETS:
                tree.docs.pop(name, None)
        front_pages(content, site, tree.docs, tree.nav, tree.ledger, take(reference).chapter)
    tree.alike["pages of the whole"] = alike_print((e for i, e in enumerate(tree.ledger.entries) if i not in in_parts), {})
    tree.mentor.update(mentor_folder(content, site))
    tree.docs["assets/formulas.js"] = script(formulas.values())
    return tree


def render_part(shared: tuple[Sources, Store | None], job: Job) -> Part:
    """One job of the book, which needs nothing of the others; with a store it is put there."""
    sources, store = shared
    content, site, seen = sources.watched()
    drawings = Drawings.of(store, sources, job)
    with using(sources.language), written_as(site.settings.writing):  # a worker of its own knows nothing of them
        part = _rendered(content, site, job, drawings)
        part.alike = alike_print(part.tree.ledger.entries, part.tree.marking)
    if store is not None:
        KeptParts(store, sources).put(job, part, seen)
        drawings.done()
    return part


def _rendered(content: Content, site: JobSite, job: Job, drawings: Drawings) -> Part:
    builder = _Builder(content, site, Tree(), drawings)
    if job.what == "reference":
        return Part(builder.tree, chapter=reference_chapter(content))
    if job.what == "cards":
        builder.cards((*site.machines, *site.trucks)[job.first : job.end])
        return Part(builder.tree)
    lesson = content.lessons[job.name]
    with builder.noting(lesson.file):
        builder.lesson(lesson)
    page = builder.pages.get(job.name)
    return Part(builder.tree, tuple(builder.formulas), frozenset(page.explained_terms) if page is not None else None)


def taught(content: Content, site: JobSite) -> Content:
    """The content with only those lessons that a role of the site needs and its machines allow.

    A lesson that another kind stands in for is about that kind where the site has none of its own.
    """
    wanted = {i for role in site.settings.roles.values() for i in role.lessons}
    fitted = {i: _fitted(x, site) for i, x in content.lessons.items() if i in wanted}
    lessons = {i: x for i, x in fitted.items() if rows_about(x.about, site, x.needs)}
    chapters = tuple(replace(c, lessons=tuple(i for i in c.lessons if i in lessons)) for c in content.chapters)
    return replace(content, lessons=lessons, chapters=chapters)


def _fitted(lesson: Lesson, site: JobSite) -> Lesson:
    return lesson if not lesson.stand_in or rows_about(lesson.about, site) else replace(lesson, about=lesson.stand_in)


def not_taught(content: Content, site: JobSite) -> tuple[Problem, ...]:
    """A notice for each role and kind of machine the site has none of: its lessons are left out."""
    found = []
    for role in site.settings.roles.values():
        missing: dict[str, list[str]] = {}
        for name in role.lessons:
            lesson = _fitted(content.lessons[name], site) if name in content.lessons else None
            if lesson is not None and not rows_about(lesson.about, site, lesson.needs):
                if not rows_about(lesson.about, site):
                    kind = TRUCK_BESIDE if lesson.about == "truck" else a(lesson.about)
                else:
                    kind = lesson.needs if lesson.needs == TRUCK_BESIDE else f"{a(lesson.about)} with {lesson.needs}"
                missing.setdefault(kind, []).append(name)
        for about, names in missing.items():
            one = len(names) == 1
            found.append(notice(
                "settings.yml", role.line, f"roles.{role.id}.lessons",
                f"{', '.join(names)} {'is' if one else 'are'} worked for {about}, and this site has none, so {'it is' if one else 'they are'} left out",
                f"teach {'it' if one else 'them'} another way, or take {'it' if one else 'them'} out of the role", "not-taught",
            ))  # fmt: skip
    return tuple(found)


def not_worked(content: Content, site: JobSite) -> tuple[Problem, ...]:
    """A notice for each kind of machine that a role runs and has no lesson about working: nobody with it is ever ready."""
    found = []
    for role in site.settings.roles.values():
        lessons = [content.lessons[i] for i in role.lessons if i in content.lessons]
        for kind in role.machines:
            if any(works(x.about, kind) for x in lessons):
                continue
            there = [x.id for x in content.lessons.values() if works(x.about, kind)]
            found.append(notice(
                "settings.yml", role.line, f"roles.{role.id}.lessons",
                f"{role.title} runs {PLURAL[kind]} and has no lesson about working one, so nobody with this role is ever ready for it",
                f"add {', '.join(there[:4])}" if there else f"take {kind} out of the role, or write a lesson about it", "not-worked",
            ))  # fmt: skip
    return tuple(found)


# lessons whose work opens the ground or lifts over it, and the lesson on lines that goes with them
LINES = "lines-above-and-below"
NEAR_LINES = ("ripping-first", "stripping")


def lines_not_taught(content: Content, site: JobSite) -> tuple[Problem, ...]:
    """A notice for each role that rips, strips or lifts and is not taught about lines above and below."""
    found = []
    taught = [i for i, x in content.lessons.items() if rows_about(_fitted(x, site).about, site)]  # nobody is told to add what cannot be
    for role in site.settings.roles.values():
        work = [i for i in role.lessons if i in NEAR_LINES or i.startswith("lifting")]
        if work and LINES not in role.lessons and LINES in taught:
            found.append(notice(
                "settings.yml", role.line, f"roles.{role.id}.lessons",
                f"{role.title} has {' and '.join(work)} and not {LINES}: who opens the ground or lifts has to know of lines",
                f"add {LINES} to the role", "lines-not-taught",
            ))  # fmt: skip
    return tuple(found)


class _Builder:
    """Renders pages into a tree."""

    def __init__(self, content: Content, site: JobSite, tree: Tree, drawings: Drawings) -> None:
        self.content, self.site, self.tree, self.drawings = content, site, tree, drawings
        self.lead = site_lead(site)
        self.drawer = Drawer(site, content.tables, self.lead)
        self.pages: dict[str, LessonPage] = {}
        self.formulas: dict[str, Formula] = {}  # that a panel needs in the browser

    @contextmanager
    def noting(self, file: str) -> Iterator[None]:
        """Notes what is wrong in ``file`` and lets the rest be looked at in the same run."""
        try:
            yield
        except Refusals as e:
            self.tree.problems += e.problems
        except Refusal as e:
            self.tree.problems.append(e.at(file))

    # --- lessons ---

    def lesson(self, lesson: Lesson) -> None:
        """The pages of a lesson. One without words in the language of now is in its own as a whole, so that a voice can read it."""
        note = ""
        if lesson.spoken != current():
            said = escape(tr("This lesson is not yet in this language. It is in {language}.", language=language_name(lesson.spoken)))
            note = f'<p class="sw-note" lang="{current()}" data-search-exclude>{said}</p>'
        with using(Catalogue(ENGLISH) if note and lesson.spoken == ENGLISH else now()):
            self._lesson(lesson, note)

    def _lesson(self, lesson: Lesson, note: str) -> None:
        page = LessonPage(lesson, self.content, self.site, self.lead, self.tree.ledger, self.drawings)
        before = len(self.tree.problems)
        own = self.site.settings.lesson_lead.get(lesson.id)
        if own is not None and own not in {r.id for r in (page.context.machine, page.context.truck) if r is not None}:
            self.tree.problems.append(
                Problem.of("settings.yml", self.site.settings.lines.get(f"lead.lessons.{lesson.id}"),
                          f"the lesson {lesson.id} is about {lesson.about}, and {own} does not fit it", "name another machine, or take the line out")
            )  # fmt: skip
        self.links(lesson)
        quiz = moving = ""
        with self.noting(self.content.questions_file(lesson.id)):
            quiz = self.quiz(lesson, page)
        if lesson.panel:
            try:
                made = panel(page)
            except (Lacking, NoneHere) as e:
                page.lacks(e)
            except NumberProblem as e:
                raise Refusals([e.at(lesson.file, lesson.panel.line)]) from None
            else:
                moving = made.html
                self.formulas[made.formula.id] = made.formula
        body = ""
        noted: dict[str, str] = {}
        page.noted = noted
        with self.noting(lesson.file):
            body = render_body(page, {"quiz": lambda: quiz, "panel": lambda: moving})
        page.noted = None
        others = mine.rows_of(page, noted)
        sheets = tailgate(page, key=False), tailgate(page, key=True)
        to_the_crew = crew_text(page)
        body = printed(with_what_it_lacks(body, page.what_it_lacks()))
        text = "\n".join(
            [
                "---", f"title: {json.dumps(lesson.title)}", f"description: {json.dumps(escape(lesson.summary))}",
                *tags(lesson), *([f"{SPOKEN}: {lesson.spoken}"] if note else []), "---",
                f"# {safe(lesson.title)}", "", *([note, ""] if note else []), bar(self.site, lesson, mine.attributes(page, noted, others)), "", safe(lesson.summary), "", read_first(lesson, self.content), "", body, "",
                page.workings.block(), "",
            ]
        )  # fmt: skip
        if len(self.tree.problems) > before:
            return
        self.tree.notices.extend(lacks(lesson, page.lacking))
        self.tree.notices.extend(no_figures(lesson, page.no_figure))
        if page.shows_none_here and not lesson.file.startswith("content/"):  # the shipped ones are made for it
            self.tree.notices.append(notice(
                lesson.file, None, None, f"parts of {lesson.id} are left out, as they show a machine or truck that this site has none of",
                "write them for the machines of this site", "parts-not-taught",
            ))  # fmt: skip
        self.pages[lesson.id] = page
        figures = self.kept(lesson, page)
        s = self.site.settings
        sheet = talk_sheet(s.key, s.edition, lesson.id, lesson.title, figures)
        self.tree.sheets.append(sheet)
        self.tree.docs[f"sheets/{lesson.id}.html"] = sheets[0].replace(NUMBER, sheet.code)
        if to_the_crew:
            self.tree.docs[f"{CREW_TEXTS}/{lesson.id}.html"] = to_the_crew
        self.tree.mentor[f"keys/{lesson.id}.html"] = sheets[1]
        self.tree.docs.update(mine.for_others(page, noted, others, self.tree.ledger))
        self.tree.docs.update(mine.picture(page, self.tree.ledger))
        self.tree.docs[f"lessons/{lesson.id}.md"] = text.replace(f'"{FIGURES}"', f'"{figures}"')

    def links(self, lesson: Lesson) -> None:
        """Links of a site's own lesson lead to pages that are there."""
        if lesson.file.startswith("content/"):
            return
        pages = {f"{i}.md" for i in self.content.lessons} | {f"../sheets/{i}.html" for i in self.content.lessons}
        pages |= {f"../{n}.md" for n in ("index", "operator", "practice", "mentor", "coordinator", "glossary")}
        pages |= {f"../assets/{n}" for n in self.content.own.all_pictures}
        for text, first in ((lesson.body, lesson.body_line), *((t, line_of(t, 2)) for t in lesson.why)):
            for at, page in links_of(text):
                if page not in pages:
                    self.tree.problems.append(
                        Problem.of(lesson.file, first + at - 1, f"a link leads to '{page[:60]}', which is not in this handbook",
                                  suggest(page, pages, "use a lesson's file name such as stop-work.md"))
                    )  # fmt: skip

    def kept(self, lesson: Lesson, page: LessonPage) -> str:
        """Notes how the lesson's quiz is marked; the print of its questions and numbers."""
        made = self.tree.marking[lesson.id]
        numbers = [
            (e.place, e.what, e.values["us"], e.values["metric"])
            for e in self.tree.ledger.entries
            if e.page == page.page and not e.place.startswith(SCALE)
        ]
        made["figures"] = figures_of(made["questions"], numbers, made.get("sets", ()))
        return str(made["figures"])

    def quiz(self, lesson: Lesson, page: LessonPage) -> str:
        drawer = drawer_for(lesson, self.drawer)
        fitting = drawer.fitting(self.content.questions[lesson.id])
        blank = {q.id: lacking for q in fitting if (lacking := drawer.lacking(q)) is not None}
        for lacking in blank.values():
            page.lacks(lacking)
        asked = tuple(q for q in fitting if q.id not in blank)
        if fitting and not asked:
            asked = fitting  # told where they are drawn
        questions = page.able(asked)
        if len(questions) < len(asked):
            out = [q for q in asked if q not in questions and not page.shows_another(q)]
            own = not (file := self.content.questions_file(lesson.id)).startswith("content/")
            if out:
                one = len(out) == 1
                self.tree.notices.append(notice(
                    file if own else "settings.yml", out[0].line if own else None, None,
                    f"the quiz of {lesson.id} leaves out {', '.join(q.id for q in out)}, as {'its picture shows' if one else 'their pictures show'} "
                    "a step that there is none of with this site's figures",
                    "nothing to do, where the figures are right", "question-left-out",
                ))  # fmt: skip
        settings = self.site.settings
        sets = sets_of(questions, settings.asked, f"web|{lesson.id}")
        variants, problems = {}, []
        file = self.content.questions_file(lesson.id)
        for q in questions:
            try:
                variants[q.id] = drawer.variants(q, VARIANTS, "web")
            except (NumberProblem, NotEnoughVariants) as e:
                problems.append(e.told_of(q.id, file, q.line))
        if problems:
            raise Refusals(problems)
        exercise = [(EXERCISE_ID, tr(EXERCISE_HEAD))] if lesson.exercise else []
        around = Page(
            site=settings.key, edition=settings.edition, pass_mark=settings.passing_mark.si,
            crew=tuple(c.id for c in self.site.crew if c.left is None),
            writes_working=page.working_html, draws=lambda p, name: page.scene(p.drawing, name, p.frame, p.way), ident=lambda name: f"{name}-quiz",
            read_again={k: (f"#{k}", h) for k, h in (*((anchor_of(h), tr(h) if h in HEADINGS else h) for h in headings_of(lesson.body)), *exercise)},
            voice=voice_for(self.site),
        )  # fmt: skip
        try:
            quiz = Quiz(lesson.id, lesson.title, questions, variants, sets)
            made = quiz_html(quiz, around)
            apart = replace(
                around, ident=lambda name: f"{lesson.id}-{name}-practice",
                read_again={k: (f"lessons/{lesson.id}.html{href}", h) for k, (href, h) in around.read_again.items()},
            )  # fmt: skip
            self.tree.docs[f"practice/{lesson.id}.js"] = practice_script(quiz, apart, PRACTISED, made.built)
            if heard := said_script(quiz, around.voice):
                self.tree.docs[f"practice/{lesson.id}-say.js"] = heard
        except NumberProblem as e:
            raise Refusals([e.at(file)]) from None
        self.tree.marking[lesson.id] = {
            "title": lesson.title, "about": lesson.about, "figures": "", "questions": made.marking,
        }  # fmt: skip
        if sets:
            self.tree.marking[lesson.id]["sets"] = [list(places) for places in sets]
        return f'\n\n<div class="sw-quiz">{made.html}</div>\n\n'

    # --- other pages ---

    def cards(self, rows: Sequence[Row]) -> None:
        """Cab cards of some machines and trucks, for the web."""
        cards = self.content.cards
        file = self.content.cards_file
        for row in rows:
            if row.kind in cards:
                with self.noting(file):
                    html = cab_card(row, cards[row.kind], self.content, self.site, self.lead, self.tree.ledger)
                    self.tree.docs[f"sheets/cab-{row.id.lower()}.html"] = html


def with_what_it_lacks(body: str, note: str) -> str:
    """A lesson's body with the note of what it lacks, where its numbers begin; at its end where it has no such heading."""
    if not note:
        return body
    head, found, rest = body.partition(f"## {NUMBERS}\n")
    return f"{head}{found}\n{note}\n{rest}" if found else f"{body}\n\n{note}\n"


def lacks(lesson: Lesson, found: Sequence[Lacking]) -> Iterator[Problem]:
    """A notice for each blank column for which something of the lesson was left out."""
    for what in found:
        yield notice(
            what.table, what.row_line, what.column, f"{what.row} has no {what.column}, so parts of {lesson.id} are left out",
            "fill it in, or teach that part another way", "column-blank",
        )  # fmt: skip


def no_figures(lesson: Lesson, found: Mapping[str, Iterable[str]]) -> Iterator[Problem]:
    """A notice for each of the site's own rules that gives no figure for something the lesson tells of."""
    for topic, rows in found.items():
        yield notice(
            f"rules/{topic}.csv", None, None,
            f"it gives no figure for {' and '.join(repr(row) for row in rows)}, so what rests on it is left out of {lesson.id}",
            "write the figure, if the rule gives one, or teach that part another way", "rule-blank",
        )  # fmt: skip


def read_first(lesson: Lesson, content: Content) -> str:
    """The lessons of this handbook that a lesson builds on, as a line of links; nothing where there are none."""
    found = [f'<a href="{i}.html">{escape(content.lessons[i].title)}</a>' for i in lesson.builds_on if i in content.lessons]
    return f'<p class="sw-note">{tr("Read first: {lessons}.", lessons=", ".join(found))}</p>' if found else ""


def tags(lesson: Lesson) -> list[str]:
    """The words an operator may look for the lesson by, where the site builder's search finds them."""
    words = [escape(w) for w in lesson.find]
    return [f"tags: {json.dumps(words, ensure_ascii=False)}"] if words else []


# scripts of the look that send results to the site's server, in the order in which a page runs them
HAND_IN = ("outbox.js", "hand-in.js")


def _assets(tree: Tree, content: Content, site: JobSite) -> None:
    look = content.folder / "look"
    for path in files_below(look):
        name = path.relative_to(look).as_posix()
        if name in HAND_IN and site.settings.hand_in is None:
            continue  # the site has no server that takes results in
        tree.docs[f"assets/{name}"] = path.read_bytes() + content.added_look(name).encode("utf-8")
    for name, data in content.own.all_pictures.items():
        tree.docs[f"assets/{name}"] = data
    tree.docs["assets/drawing.css"] = stylesheet()
    if current() != ENGLISH:
        tree.docs[f"assets/{STRINGS}"] = strings_script(now(), content.folder)
    tree.docs[f"assets/{browser.NAME}"] = browser.script(typed_words())
    tree.docs["assets/recorded.js"] = "window.seatworkRecorded = null;\n"  # until lessons are recorded
    shown, hidden = ("us", "si") if site.settings.units == "us" else ("si", "us")
    tree.docs["assets/units.css"] = (
        f"/* the other unit system is hidden until the reader switches */\nhtml:not([data-units]) .{hidden} {{ display: none !important; }}\n"
        f"html:not([data-units]) {{ --drawing-{shown}: inline; --drawing-{hidden}: none; }}\n"
    )


def files_below(folder: Path) -> Iterator[Path]:
    """Files of a folder in a fixed order, hidden ones left out."""
    return (p for p in sorted(folder.rglob("*")) if p.is_file() and not p.name.startswith("."))
