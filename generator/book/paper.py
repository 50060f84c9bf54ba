"""Paper quizzes: a sheet for one person and lesson, its key, and what is kept to mark it."""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass
from html import escape
from typing import Any

from generator.book.card import framed
from generator.book.content import Content
from generator.book.page import LessonPage, drawer_for, site_lead
from generator.jobsite.model import JobSite, Person
from generator.language.words import tr
from generator.quiz.asked import one_set
from generator.quiz.draw import Drawer, NotEnoughVariants
from generator.quiz.markup import Built, Page
from generator.quiz.paper import key_html, question_html
from generator.quiz.printed import sheet_code
from generator.source.problem import Refusals
from generator.units.table import System
from generator.working.errors import NumberProblem
from generator.working.ledger import Ledger


@dataclass(frozen=True)
class Sheet:
    """One paper quiz. ``code`` is what is printed on it, ``kept`` what marks it."""

    code: str
    lesson: str
    crew: str
    count: int
    html: str
    key: str
    kept: str

    @property
    def name(self) -> str:
        """Its file's name without the ending."""
        return f"{self.lesson}-{self.crew}-{self.code.replace('-', '')}"


def paper_quiz(
    content: Content, site: JobSite, lesson_id: str, person: Person, attempt: int, units: System, figures: str, *,
    language: str = "", marked: Sheet | None = None,
) -> Sheet:  # fmt: skip
    """A quiz drawn for one person. ``figures`` is the lesson's print in the built edition.

    The same person, lesson, edition and attempt give the same sheet. ``language`` is noted of one that is printed in
    another than the site's main one: it is made twice, first in the main one, and the other, with words of that language, is
    ``marked`` as the first. Raises Refusal.
    """
    site = dataclasses.replace(site, settings=dataclasses.replace(site.settings, units=units))
    lesson, lead, settings = content.lessons[lesson_id], site_lead(site), site.settings
    file = content.questions_file(lesson_id)
    page = LessonPage(lesson, content, site, lead, Ledger())
    around = Page(
        site=settings.key, edition=settings.edition, pass_mark=settings.passing_mark.si, crew=(),
        writes_working=page.working_html, draws=lambda p, name: page.scene(p.drawing, f"{name}-paper", p.frame, p.way), read_again={},
    )  # fmt: skip
    drawer = drawer_for(lesson, Drawer(site, content.tables, lead))
    salt = f"paper|{settings.edition}|{person.id}|{attempt}"
    built = []
    pool = page.able(drawer.fitting(content.questions[lesson_id]))
    for q in (pool[i] for i in one_set(pool, settings.asked, salt)):
        try:
            built.append(Built(q, drawer.variants(q, 1, salt), around))
        except (NumberProblem, NotEnoughVariants) as e:
            raise Refusals([e.told_of(q.id, file, q.line)]) from None
    kept: dict[str, Any] = {
        "seatwork_paper": 1, "edition": settings.edition, "site": settings.key, "lesson": lesson_id, "crew": person.id,
        "attempt": attempt, "units": units, "figures": figures, "pass_mark": settings.passing_mark.si,
        "questions": [b.marking() for b in built],
    }  # fmt: skip
    if language:
        kept["language"] = language
    code = marked.code if marked is not None else sheet_code(kept)
    kept["sheet"] = code
    about = (
        f"<p>{tr('Sheet {number}', number=f'<b>{code}</b>')} · {tr('Crew id {id}', id=f'<b>{escape(person.id)}</b>')} · "
        f'{tr("Date")} <span class="blank"></span></p>'
    )
    ask = (
        f"<p>{tr('You may use a pocket calculator. You may add a unit to a figure.')}</p>"
        + "".join(question_html(b, i, units) for i, b in enumerate(built, 1))
        + f'<p class="caution">{escape(content.cautions["sheet"].text)}</p>'
    )
    key = f'<p class="caution">{tr("Key. Keep it in the mentor folder.")}</p>' + "".join(
        key_html(b, i, units) for i, b in enumerate(built, 1)
    )
    back = ("index.html", tr("Paper quizzes"))
    whose = f"{lesson.title} · {tr('sheet {number}', number=code)} · {tr('crew id {id}', id=person.id)}"
    quiz, answers = tr("Quiz: {lesson}", lesson=lesson.title), tr("Key: {lesson}", lesson=lesson.title)
    feet = tr("Quiz: {lesson}", lesson=whose), tr("Key: {lesson}", lesson=whose)
    return Sheet(
        code, lesson_id, person.id, len(built), framed(about + ask, quiz, content, site, back, alone=True, foot=feet[0]),
        framed(about + key, answers, content, site, back, alone=True, foot=feet[1]),
        marked.kept if marked is not None else json.dumps(kept, ensure_ascii=False, separators=(",", ":")) + "\n",
    )  # fmt: skip
