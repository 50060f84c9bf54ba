"""One-page sheets for paper: the tailgate sheet of a lesson and its answer key."""

from __future__ import annotations

import re
from html import escape
from typing import Any

from generator.book.errors import BookError
from generator.book.page import CLASSES, LessonPage
from generator.book.render import environment
from generator.calc.expression import Figure
from generator.calc.units import SYSTEMS
from generator.working.byhand import Line, Working
from generator.working.errors import NumberProblem
from generator.working.explain import Explained, legend_html, line_html

_BUTTON = re.compile(r"<button[^>]*class=\"sw-(num|term)([^\"]*)\"[^>]*>(.*?)</button>")


def on_paper(html: str) -> str:
    """Numbers as plain bold text: nothing opens on paper."""
    return _BUTTON.sub(lambda m: f'<b class="{m[2].strip()}">{m[3]}</b>' if m[1] == "num" else m[3], html)


def tailgate(page: LessonPage, *, key: bool) -> str:
    """The tailgate sheet of a lesson, or its answer key. Raises BookError."""
    lesson, settings = page.lesson, page.site_model.settings
    sheet: dict[str, Any] = dict(lesson.front["sheet"])
    for needed in ("points", "sum", "ask"):
        if not sheet.get(needed):
            raise BookError(lesson.file, sheet.get("__line__"), f"sheet: lacks '{needed}'", f"add '{needed}:' to it")
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
    template = environment().from_string((page.content.folder / "sheets" / "tailgate.html").read_text("utf-8"))
    style = (page.content.folder / "look" / "sheet.css").read_text("utf-8") if key else ""
    from generator.drawing.canvas import stylesheet

    html = str(
        template.render(
            key=key, sign=range(1, 9), units=settings.units, title=escape(lesson.title), lesson=lesson.id, base="../",
            site=escape(settings.name), edition=escape(settings.edition), invented=settings.invented,
            summary=escape(lesson.summary), points=[on_paper(page.words(p)) for p in sheet["points"]],
            drawing=drawing, machine=escape(machine) if lesson.about != "any" else "", sum=sums,
            ask=[
                {"ask": on_paper(page.words(a["ask"])), "answer": on_paper(page.words(a["answer"]))}
                for a in sheet["ask"]
            ],
            watch=[on_paper(page.words(w)) for w in lesson.front["watch"]][:4],
            caution=escape(page.content.cautions["sheet"]),
        )
    )  # fmt: skip
    if key:  # the mentor folder stands alone: its pages carry their own style
        link = '<link rel="stylesheet" href="../assets/drawing.css">\n<link rel="stylesheet" href="../assets/sheet.css">'
        html = html.replace(link, f"<style>{stylesheet()}{style}</style>")
    return html


def working_on_paper(explained: Explained, *, blanks: bool) -> str:
    """The working with its results left to fill in, or in full for the key."""
    out = ['<div class="sw-working">']
    for block in explained.blocks:
        if not isinstance(block, Working):
            continue
        if block.formula.words:
            out.append(f"<p><b>{escape(block.formula.words)}</b></p>")
        out.append(legend_html(block.formula))
        for line in block.lines:
            out.append(_blanked(line, block) if blanks else line_html(line, block.formula))
    if explained.calculation.stability:
        out.append("<p><b>This is not an allowed slope.</b></p>")
    out.append("</div>")
    return "".join(out)


def _blanked(line: Line, block: Working) -> str:
    last = line.sides[-1]
    if not isinstance(last, Figure):
        return line_html(line, block.formula)
    if len(line.sides) == 1:
        shown = line_html(Line(line.words, line.left, (Figure(last.value, last.unit),), False), block.formula)
        return _swap_last(shown)
    shown = line_html(Line(line.words, line.left, line.sides, False), block.formula)
    return _swap_last(shown)


def _swap_last(html: str) -> str:
    """The last figure of a line becomes a blank to write on."""
    cut = html.rindex("<mn>")
    end = html.index("</mn>", cut)
    return html[:cut] + "<mtext>__________</mtext>" + html[end + len("</mn>") :]
