"""One-page sheets for paper: the tailgate sheet of a lesson and its answer key."""

from __future__ import annotations

import re
from html import escape
from typing import Any

from generator.book.errors import BookError
from generator.book.lesson import as_list
from generator.book.page import CLASSES, LessonPage
from generator.book.template import paper_template
from generator.calc.units import SYSTEMS
from generator.working.byhand import Working
from generator.working.errors import NumberProblem
from generator.working.explain import (
    Explained,
    formula_html,
    legend_html,
    line_html,
    result_kind,
    stability_words,
)
from generator.working.printing import symbol_mathml, unit_label

_BUTTON = re.compile(r"<button[^>]*class=\"sw-(num|term)([^\"]*)\"[^>]*>(.*?)</button>")


def on_paper(html: str) -> str:
    """Numbers as plain bold text: nothing opens on paper."""
    return _BUTTON.sub(lambda m: f'<b class="{m[2].strip()}">{m[3]}</b>' if m[1] == "num" else m[3], html)


def tailgate(page: LessonPage, *, key: bool) -> str:
    """The tailgate sheet of a lesson, or its answer key. Raises BookError."""
    lesson, settings = page.lesson, page.site_model.settings
    sheet: dict[str, Any] = dict(lesson.front["sheet"])
    try:
        total = {s: page.numbers.explained(str(sheet["sum"]), page.context, s) for s in SYSTEMS}
        drawing = ""
        if lesson.front.get("drawing"):
            drawing = page.scene(lesson.front["drawing"], f"{lesson.id}-sheet")
        page.texts(str(sheet["sum"]), page.context, "tailgate sheet")
    except NumberProblem as e:
        raise BookError(lesson.file, sheet.get("__line__"), e.what, e.fix) from None
    sums = "".join(
        f'<div class="{cls}">{working_on_paper(total[system], blanks=not key)}</div>'
        for system, cls in CLASSES
    )
    machine = getattr(page.context.machine, "name", "")
    template = paper_template(page.content.sheet("tailgate.html"))
    style = page.content.look("sheet.css") if key else ""
    from generator.drawing.canvas import stylesheet

    html = str(
        template.render(
            key=key, sign=range(1, 13), units=settings.units, title=escape(lesson.title), lesson=lesson.id, base="../",
            site=escape(settings.name), edition=escape(settings.edition), invented=settings.invented,
            summary=escape(lesson.summary), points=[on_paper(page.words(p)) for p in as_list(sheet["points"])],
            drawing=drawing, machine=escape(machine) if lesson.about != "any" else "", sum=sums,
            ask=[
                {"ask": on_paper(page.words(a["ask"])), "answer": on_paper(page.words(a["answer"]))}
                for a in sheet["ask"]
            ],
            watch=[on_paper(page.words(w)) for w in as_list(lesson.front["watch"])][:4],
            caution=escape(page.content.cautions["sheet"]),
        )
    )  # fmt: skip
    if key:  # the mentor folder stands alone: its pages carry their own style
        link = '<link rel="stylesheet" href="../assets/drawing.css">\n<link rel="stylesheet" href="../assets/sheet.css">'
        html = html.replace(link, f"<style>{stylesheet()}{style}</style>")
    return html


def working_on_paper(explained: Explained, *, blanks: bool) -> str:
    """The working in full for the key; on the sheet the figures to put in, and room to work."""
    out = ['<div class="sw-working">']
    for block in explained.blocks:
        if not isinstance(block, Working):
            continue
        if block.formula.words:
            out.append(f"<p><b>{escape(block.formula.words)}</b></p>")
        if blanks:
            out.append(_to_fill_in(block))
        else:
            out.append(legend_html(block.formula))
            out.extend(line_html(line, block.formula) for line in block.lines)
    if explained.calculation.stability:
        out.append(f"<p><b>This is {stability_words(result_kind(explained))}.</b></p>")
    out.append("</div>")
    return "".join(out)


def _to_fill_in(block: Working) -> str:
    """The formula, what is given, lines to write on and a blank for the result."""
    formula = block.formula
    given = "; ".join(
        f"<math>{symbol_mathml(i.symbol)}</math> {escape(i.meaning)}: <b>{escape(str(block.inputs[i.name]))}</b>"
        for i in formula.inputs
        if i.name not in block.carried
    )
    label = escape(unit_label(block.result.unit))
    return (
        f"{formula_html(formula)}"
        + (f'<p class="given">{given}.</p>' if given else "")
        + '<p class="write"></p><p class="write"></p>'
        f'<p class="answer"><math>{symbol_mathml(formula.result.symbol)}<mo>=</mo></math> '
        f'<span class="blank"></span> {label} <span class="small">{escape(formula.result.meaning)}</span></p>'
    )
