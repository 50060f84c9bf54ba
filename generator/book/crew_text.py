"""What whoever leads a tailgate talk reads to the crew: the sheet in plain sentences, its figures as words."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from generator.book.card import framed
from generator.book.page import LessonPage
from generator.book.sheet import on_paper, sheet_of, worked_for, worked_out
from generator.language.words import tr
from generator.working.aloud import voice_for

FOLDER = "aloud"


def crew_text(page: LessonPage) -> str:
    """The text of a lesson's tailgate sheet, on a page of its own; '' where nothing can be said in the language. Raises Refusal.

    What the crew works out is no figure here either. The answers stand on the answer key.
    """
    if voice_for(page.site_model) is None:
        return ""
    sheet = sheet_of(page)
    try:
        page.aloud = True
        page.left_blank = worked_out(page, sheet.sum) if sheet.sum else frozenset()
        body = _body(page)
    finally:
        page.aloud, page.left_blank = False, frozenset()
    lesson = page.lesson
    back = f"../sheets/{lesson.id}.html", tr("Back to the sheet")
    return framed(body, tr("{title}: read it to the crew", title=lesson.title), page.content, page.site_model, back)


def _body(page: LessonPage) -> str:
    lesson, sheet = page.lesson, sheet_of(page)
    whose = worked_for(page, sheet.sum) if sheet.sum else ""
    out = [f'<p class="small">{tr("For whoever leads the talk. Read slowly, in the words that are here. Wait after each question.")}']
    if whose:
        out.append(f" {tr('The figures are those of the {machine}.', machine=escape(whose))}")
    out.append('</p><div class="read">')

    def part(head: str, lines: Iterable[str]) -> None:
        said = [on_paper(line) for line in lines]
        if said:
            out.append(f"<h2>{head}</h2>" + "".join(f"<p>{line}</p>" for line in said))

    part(tr("Say"), [escape(lesson.summary), *page.lines(sheet.points)])
    if sheet.sum:
        out.append(f"<p>{tr('Now we work it out together. The sheet has the figures.')}</p>")
    part(tr("Ask"), page.lines(a.ask for a in sheet.asks))
    out.append(f'<p class="small">{tr("The answers stand on the answer key.")}</p>')
    part(tr("Watch for"), page.lines(lesson.watch[:4]))
    part(tr("Last"), [escape(page.content.cautions["sheet"].text), tr("Anyone may stop the work. Who has a question?")])
    return "".join(out) + "</div>"
