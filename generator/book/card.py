"""Cab cards, one page for each machine with its own numbers; and the frame around pages of paper."""

from __future__ import annotations

import math
from collections.abc import Mapping
from html import escape
from typing import Any

from generator.book.content import Content
from generator.book.foot import page_foot
from generator.book.guard import guarded
from generator.book.lesson import Lesson
from generator.book.model import Card, CardTable
from generator.book.page import IN_AN_EMERGENCY, WHOM_TO_CALL, LessonPage, limits_set_by, rows_about, with_row
from generator.book.sheet import on_paper
from generator.book.template import paper_template
from generator.book.words import capital, row_head
from generator.drawing import stylesheet
from generator.jobsite.columns import LIMITS
from generator.jobsite.model import JobSite
from generator.language.words import current, mark, tr
from generator.source.problem import Refusals
from generator.units.table import SYSTEMS
from generator.working.errors import NO_RULE, DoesNotFit, NoneHere, NumberProblem
from generator.working.ledger import Entry, Ledger
from generator.working.numbers import Context

GRADES = (5, 10, 15, 20, 25, 30, 40, 50)


def framed(
    page_body: str, title: str, content: Content, site: JobSite, back: tuple[str, str], *, alone: bool = False, foot: str = ""
) -> str:
    """A page of paper around ``page_body``.

    ``alone`` carries its own style, for the mentor folder; there ``foot`` stands under every page, which may
    be more than one.
    """
    s = site.settings
    style = ""
    if alone:
        style = stylesheet() + content.look("sheet.css") + page_foot(foot or title, s.name, s.edition)
    template = paper_template(content.sheet("frame.html"))
    page = str(
        template.render(
            units=s.units, switch=s.both_units, title=escape(title), site=escape(s.name), edition=escape(s.edition),
            invented=s.invented, body=page_body, language=current(), style=style, back=back[0], back_words=back[1],
        )
    )  # fmt: skip
    return guarded(page, content.shipped_sheet("frame.html")) if alone else page


def cab_card(machine: Any, card: Card, content: Content, site: JobSite, lead: Context, ledger: Ledger) -> str:
    """The cab card of one machine or truck. Raises Refusal."""
    kind = machine.kind
    if card.wrong is not None:
        raise Refusals([card.wrong])
    title = content.labels.get(card.title, card.title)
    lesson = Lesson(f"cab-{machine.id}", title, kind, card.numbers, card.file)
    page = LessonPage(lesson, content, site, lead, ledger)
    page.page = f"sheets/cab-{machine.id.lower()}.html"
    page.context = with_row(page.context, kind, machine)
    page.numbers.lead = page.context
    page.paper = page.round_weights = True
    try:
        # a site's own card from before there were limits on it gets them all
        every = {capital(tr(c.meaning)): f"limits.{c.name}" for c in LIMITS if c.is_quantity}
        own = {x.meaning[:1].upper() + x.meaning[1:]: f"limits.own.{x.name}" for x in site.settings.own_limits.values()}
        limits = _lines(page, {**(card.limits or every), **own})
        lines = _lines(page, card.lines)
        tables = [rows for t in card.tables if len(rows := _table(page, t)) > 1]
    except NumberProblem as e:
        raise Refusals([e.told_of(machine.name, card.file, card.line)]) from None
    cautions = [content.cautions[c].text for c in (*card.cautions, "manual")]
    size, body = _fitted(limits, lines, tables, cautions)
    said = f'<p class="small">{tr("Weights worked out are rounded up; a load for a truck is rounded down.")}</p>' if tables else ""
    body = _limits(page, limits) + body + said + _grades(page)
    body += "".join(f'<p class="caution">{escape(caution)}</p>' for caution in cautions)
    body = f'<div class="cab{size}">{body}</div>'
    # the id is what a sign-off sheet and the crew table call it by
    name = machine.name if machine.id in machine.name else f"{machine.id} {machine.name}"
    return framed(body, f"{title}: {name}", content, site, ("../mentor.html", tr("All sheets")))


OWN_LIMITS = mark("This site's limits")
_ROOMY, _CLOSE = 23, 29  # rows and lines of cautions that one page holds in large type and in the next smaller


def _limits(page: LessonPage, rows: list[str]) -> str:
    """What comes before any working figure: the site's limits, who set them, and whom to call."""
    half = math.ceil(len(rows) / 2)
    halves = "".join(f"<table>{''.join(part)}</table>" for part in (rows[:half], rows[half:]) if part)
    own = page.site_model.settings.limits

    def told(name: str, words: str) -> str:
        said = on_paper(page.shown(f"limits.{name}", place="cab card")) if name in own else '<span class="blank long"></span>'
        return f"<b>{tr(words)}</b> {said}"

    above = tr("{set_by} Local rules and the machine's manual stand above them.", set_by=limits_set_by(page.site_model))
    return (
        f'<h2>{tr(OWN_LIMITS)}</h2><div class="two limits">{halves}</div>'
        f'<p class="small">{above}</p>'
        f'<p class="call">{told("call", WHOM_TO_CALL)}</p><p class="call">{told("emergency", IN_AN_EMERGENCY)}</p>'
    )


def _fitted(limits: list[str], lines: list[str], tables: list[list[str]], cautions: list[str]) -> tuple[str, str]:
    """Lines and tables as large as one page allows: the class of their size in sheet.css, and their HTML.

    A site of very many materials or trucks gets small type and tables side by side.
    """
    rows = math.ceil(len(limits) / 2) + len(lines) + sum(len(t) - 1 for t in tables)
    rows += sum(math.ceil(len(caution) / 105) for caution in cautions)
    size = "" if rows <= _ROOMY else " close" if rows <= _CLOSE else " dense"
    written = [f"{title}{''.join(body)}</tbody></table>" for title, *body in tables]
    half = math.ceil(len(lines) / 2)
    if size != " dense":
        return size, f"<h2>{tr('This machine')}</h2><table>{''.join(lines)}</table>{''.join(written)}"
    halves = "".join(f"<table>{''.join(part)}</table>" for part in (lines[:half], lines[half:]))
    beside = "".join(f"<div>{t}</div>" for t in written)
    return size, f'<h2>{tr("This machine")}</h2><div class="two">{halves}</div>' + (
        f'<div class="two">{beside}</div>' if len(written) > 1 else beside
    )


def _label(page: LessonPage, english: str) -> str:
    """A heading of a card in the language of the page; what a site's own card says, and has no other words for, stays as it is."""
    return page.content.labels.get(english, english)


def _lines(page: LessonPage, wanted: Mapping[str, str]) -> list[str]:
    """A row for each single figure of the card."""
    rows = []
    for heading, ref in wanted.items():
        limit = ref.removeprefix("limits.")
        if limit != ref and limit not in page.site_model.settings.limits and not limit.startswith("own."):
            continue  # a site sets only the limits that its lessons need
        try:
            shown = on_paper(page.shown(ref, place="cab card"))
        except DoesNotFit:
            continue
        except NoneHere as e:
            if e.problem.code != NO_RULE:
                raise
            continue  # a figure of law that the rules of this site do not give
        rows.append(f'<tr><th scope="row">{escape(_label(page, heading))}</th><td class="figure-cell">{shown}</td></tr>')
    return rows


def _table(page: LessonPage, table: CardTable) -> list[str]:
    """A table's head, then its rows; the head alone where no row fits."""
    over = table.over
    rows = []
    for row in rows_about(over, page.site_model):
        context = with_row(page.context, over, row)
        try:
            cells = "".join(
                f'<td class="figure-cell">{on_paper(page.shown(ref, context, "cab card"))}</td>' for ref in table.columns.values()
            )
        except DoesNotFit:
            continue
        rows.append(f'<tr><th scope="row">{escape(row_head(row))}</th>{cells}</tr>')
    head = "".join(f'<th scope="col">{escape(_label(page, c))}</th>' for c in table.columns)
    title = page.words(escape(_label(page, table.title))) if rows else ""
    return [f'<h2>{title}</h2><table><thead><tr><th scope="col">{escape(capital(tr(over)))}</th>{head}</tr></thead><tbody>', *rows]


def _grades(page: LessonPage) -> str:
    """Percent beside degrees, from the grade calculation."""
    from generator.calc.catalogue import find
    from generator.units.quantity import Quantity
    from generator.working.explain import explain, value_figure

    calculation = find("grade.angle")
    percent, degrees = [], []
    for figure in GRADES:
        done = explain(calculation, {"grade": Quantity.read(f"{figure}%", "grade")}, SYSTEMS[0], page.content.tables)
        assert done.result.si is not None
        told = str(value_figure(done.result.si, "angle", "deg", 1))  # nobody reads a dial to a hundredth
        page.ledger.enter(
            Entry(
                page.page, f"cab card: {done.inputs['grade']}", done.result.meaning,
                dict.fromkeys(SYSTEMS, told), done.result.si, calculation.id,
                {s: {n: str(v) for n, v in done.inputs.items()} for s in SYSTEMS}, page.source_keys(done.sources),
            )
        )  # fmt: skip
        percent.append(f"<td>{done.inputs['grade']}</td>")
        degrees.append(f"<td>{escape(told)}</td>")
    return (
        f'<h2>{tr("Percent and degrees")}</h2><table><tr><th scope="row">{tr("Percent")}</th>' + "".join(percent)
        + f'</tr><tr><th scope="row">{tr("Degrees")}</th>' + "".join(degrees) + "</tr></table>"
        f'<p class="small">{tr("For reading a grade. None of these is an allowed slope.")}</p>'
    )  # fmt: skip
