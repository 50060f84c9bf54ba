"""One-page sheets for paper: the tailgate sheet of a lesson and its answer key."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from typing import Any

from generator.book.foot import page_foot
from generator.book.guard import guarded
from generator.book.model import Sheet
from generator.book.page import CLASSES, LessonPage, limits_set_by, parts_of
from generator.book.sheets import with_words
from generator.book.template import paper_template
from generator.book.words import bullets, row_head
from generator.language.words import current, tr
from generator.source.problem import Refusals
from generator.units.table import SYSTEMS, System
from generator.working.aloud import voice_for
from generator.working.byhand import Working
from generator.working.errors import NumberProblem
from generator.working.explain import (
    Explained,
    formula_html,
    legend_html,
    line_html,
    result_kind,
    stability_line,
)
from generator.working.printing import symbol_mathml, unit_label

_BUTTON = re.compile(r"<button[^>]*class=\"sw-(num|term)([^\"]*)\"[^>]*>(.*?)</button>")


def on_paper(html: str) -> str:
    """Numbers as plain bold text: nothing opens on paper."""
    return _BUTTON.sub(lambda m: f'<b class="{m[2].replace("sw-whole", "").strip()}">{m[3]}</b>' if m[1] == "num" else m[3], html)


def tailgate(page: LessonPage, *, key: bool) -> str:
    """The tailgate sheet of a lesson, or its answer key. Raises Refusal.

    What the crew works out stands on the key alone: on the sheet it is a line to write on, in the
    sum, in what is said and in the drawing.
    """
    try:
        if not key:
            name = sheet_of(page).sum
            page.left_blank = worked_out(page, name) if name else frozenset()
        return _tailgate(page, key=key)
    finally:
        page.left_blank = frozenset()


def sheet_of(page: LessonPage) -> Sheet:
    """What the lesson says of its tailgate sheet."""
    assert page.lesson.sheet is not None  # every lesson has one; only a cab card's page has none
    return page.lesson.sheet


def worked_out(page: LessonPage, name: str) -> frozenset[str]:
    """What the working of ``name`` gives, each as ``number.result``.

    That is the number itself, those it works on the way, and any that comes to the same by another way.
    """
    try:
        total = page.numbers.explained(name, page.context, SYSTEMS[0])
    except NumberProblem:
        return frozenset()  # told with its line where the sheet is made
    formulas = [b.formula for b in total.blocks if isinstance(b, Working)]
    chain, out = _chain(page, name), set()
    for n, spec in page.lesson.numbers.items():
        try:
            other = page.numbers.explained(n, page.context, SYSTEMS[0])
        except NumberProblem:  # not all numbers of a lesson fit its lead machine
            continue
        if (n in chain and spec.calculation in formulas) or other.result.text() == total.result.text():
            out.add(f"{n}.{other.main}")
    return frozenset(out)


def _chain(page: LessonPage, name: str) -> dict[str, None]:
    """All references ``name`` is worked from, itself first."""
    out: dict[str, None] = {}
    to_do = [name]
    while to_do:
        ref = to_do.pop()
        if ref in out:
            continue
        out[ref] = None
        spec = page.lesson.numbers.get(ref.partition(".")[0])
        if spec is not None:
            to_do += [r for refs in spec.inputs.values() for r in refs]
    return out


def worked_for(page: LessonPage, name: str) -> str:
    """Names of the machine, truck and material whose figures the sum takes."""
    used = {ref.partition(".")[0] for ref in _chain(page, name)}
    rows = [getattr(page.context, kind) for kind in ("machine", "truck", "material") if kind in used]
    named = [row for row in rows if row is not None]
    return ", ".join(row.name if i else row_head(row) for i, row in enumerate(named))


NUMBER = "sheet-number-goes-here"  # in the sheet until the whole lesson is known
_PAGE = 690.0  # points of height on the shorter paper, Letter, less a little for other fonts
_TIGHT = 0.87  # what lines take in the tight setting of sheet.css, of what they take in the usual one


@dataclass(frozen=True)
class _Layout:
    """What stands below the drawing, the rest stands below the sum; and whether the text is set tight."""

    ask_left: bool
    watch_left: bool
    tight: bool


def _layout(drawing: str, total: Explained | None, points: list[str], ask: list[str], watch: list[str]) -> _Layout:
    """Set a sheet so that the higher of its two columns is as low as can be and one page holds it all.

    Heights in points are near enough: a line of a column holds some 46 letters, one of the page 100.
    The drawing keeps its size, as its letters must be read.
    """

    def lines(texts: Iterable[str], letters: int = 46) -> float:
        return sum(14 * math.ceil(len(re.sub(r"<[^>]+>", "", t)) / letters) for t in texts)

    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawing)
    figure = min(260 * float(box[2]) / float(box[1]), 375) if box else 0.0
    blocks = [b for b in total.blocks if isinstance(b, Working)] if total is not None else []
    given = ("; ".join(f"m {i.meaning}: 1,000 lb" for i in b.formula.inputs if i.name not in b.carried) for b in blocks)
    work = 30 + lines((b.formula.words for b in blocks), 40) + lines(given) + 82 * len(blocks)
    heights = {name: 24 + lines(texts) + 3 * len(texts) for name, texts in (("ask", ask), ("watch", watch))}
    rest = 100 + lines(points, 100) + 3 * len(points) + 120  # title, summary, caution; the room to sign

    def higher(choice: tuple[bool, bool], scale: float) -> float:
        below = sum(h for h, here in zip(heights.values(), choice, strict=True) if here)
        return max(figure + scale * below, scale * (work + sum(heights.values()) - below))

    def best(scale: float) -> tuple[bool, bool]:
        return min(((True, False), (False, False), (True, True)), key=lambda choice: higher(choice, scale))

    tight = higher(best(1.0), 1.0) + rest > _PAGE
    return _Layout(*best(_TIGHT if tight else 1.0), tight)


def _total(page: LessonPage, name: str) -> dict[System, Explained] | None:
    """The sum of a sheet in both unit systems, entered in the ledger; None where the lesson has none."""
    if not name:
        return None
    made = {s: page.numbers.explained(name, page.context, s) for s in SYSTEMS}
    page.texts(name, page.context, "tailgate sheet")
    return made


def _tailgate(page: LessonPage, *, key: bool) -> str:
    lesson, settings = page.lesson, page.site_model.settings
    sheet = sheet_of(page)
    try:
        total = page.unless_lacking(lambda: _total(page, sheet.sum))
        drawing = page.unless_lacking(lambda: page.scene(lesson.drawing, f"{lesson.id}-sheet") if lesson.drawing else "") or ""
    except NumberProblem as e:
        raise Refusals([e.at(sheet.file, sheet.line)]) from None
    sums = ""
    if total is not None:
        sums = "".join(f'<div class="{cls}">{working_on_paper(total[system], blanks=not key)}</div>' for system, cls in CLASSES)
    asked = (page.lines((a.ask, a.answer)) for a in sheet.asks)
    ask = [{"ask": on_paper(both[0]), "answer": on_paper(both[1])} for both in asked if len(both) == 2]
    watch = [on_paper(w) for w in page.lines(lesson.watch)][:4]
    points = [on_paper(p) for p in page.lines(sheet.points)]
    layout = _layout(
        drawing, total[settings.units] if total is not None else None, points, [a["ask"] + (a["answer"] if key else "") for a in ask], watch
    )
    template = paper_template(page.content.sheet("tailgate.html"))
    style = page.content.look("sheet.css") if key else ""
    from generator.drawing import stylesheet

    html = str(
        template.render(
            key=key, sign=range(1, 13), number="" if key else NUMBER, aloud=not key and voice_for(page.site_model) is not None, units=settings.units, switch=settings.both_units, title=escape(lesson.title), lesson=lesson.id, base="../",
            site=escape(settings.name), edition=escape(settings.edition), invented=settings.invented, language=current(),
            summary=escape(lesson.summary), points=points,
            drawing=drawing, machine=escape(worked_for(page, sheet.sum)) if sums else "", sum=sums,
            ask=ask, watch=watch, ask_left=layout.ask_left, watch_left=layout.watch_left, tight=layout.tight,
            caution=escape(page.content.cautions["sheet"].text),
            limits_by=_limits_by(page), **_back(page),
        )
    )  # fmt: skip
    html = with_words(html)
    if key:  # the mentor folder stands alone: its pages carry their own style
        link = '<link rel="stylesheet" href="../assets/drawing.css">\n<link rel="stylesheet" href="../assets/sheet.css">'
        foot = page_foot(tr("Answer key: {lesson}", lesson=lesson.title), settings.name, settings.edition)
        html = guarded(html.replace(link, f"<style>{stylesheet()}{style}{foot}</style>"), page.content.shipped_sheet("tailgate.html"))
    return html


def _back(page: LessonPage) -> dict[str, Any]:
    """What the back of a sheet is filled in with: the parts of the field exercise, and the columns to write in."""
    exercise = page.lesson.exercise
    if exercise is None:
        return {"exercise": [], "standard": "", "record": []}

    def told(lines: Iterable[str]) -> list[str]:
        return [on_paper(line) for line in page.lines(lines)]

    spec = page.drawing_spec(exercise.drawing) if exercise.drawing else None
    svg = page.unless_lacking(lambda: page.scene(spec, f"{page.lesson.id}-back")) if spec is not None else None
    parts = ((head, told(lines), kind) for head, lines, kind in parts_of(exercise))
    made = [{"head": tr(head), "list": bullets(lines, kind)} for head, lines, kind in parts if lines]
    if svg and made:
        made[0]["list"] += f'<div class="figure">{svg}</div>'
    return {
        "exercise": made,
        "standard": "".join(told([exercise.standard])), "record": told(exercise.record),
    }  # fmt: skip


def _limits_by(page: LessonPage) -> str:
    """Who set the limits that this sheet shows, and when; nothing where it shows none."""
    lesson, sheet = page.lesson, sheet_of(page)
    printed: list[str] = [*sheet.points, *(t for a in sheet.asks for t in (a.ask, a.answer)), *lesson.watch]
    printed += lesson.exercise.texts if lesson.exercise else ()
    if lesson.drawing:
        printed += [lesson.drawing.caption or "", *lesson.drawing.references]
    refs = {r for spec in lesson.numbers.values() for rs in spec.inputs.values() for r in rs}
    if not any("limits." in p for p in printed) and not any(r.startswith("limits.") for r in refs):
        return ""
    set_by = limits_set_by(page.site_model)
    return tr("This site's limits: {set_by}", set_by=f"{set_by[0].lower()}{set_by[1:]}")


def working_on_paper(explained: Explained, *, blanks: bool) -> str:
    """The working in full for the key; on the sheet the figures to put in, and room to work."""
    out = ['<div class="sw-working">']
    for block in explained.blocks:
        if not isinstance(block, Working):
            continue
        if block.formula.words:
            out.append(f"<p><b>{escape(tr(block.formula.words))}</b></p>")
        if blanks:
            out.append(_to_fill_in(block))
        else:
            out.append(legend_html(block.formula))
            out.extend(line_html(line, block.formula, system=block.system) for line in block.lines)
    if explained.calculation.stability:
        out.append(f"<p><b>{stability_line(result_kind(explained))}</b></p>")
    out.append("</div>")
    return "".join(out)


def _to_fill_in(block: Working) -> str:
    """The formula, what is given, lines to write on and a blank for the result."""
    formula = block.formula
    given = "; ".join(
        f"<math>{symbol_mathml(i.symbol)}</math> {escape(tr(i.meaning))}: <b>{escape(str(block.inputs[i.name]))}</b>"
        for i in formula.inputs
        if i.name not in block.carried
    )
    label = escape(unit_label(block.result.unit))
    return (
        f"{formula_html(formula)}" + (f'<p class="given">{given}.</p>' if given else "") + '<p class="write"></p><p class="write"></p>'
        f'<p class="answer"><math>{symbol_mathml(formula.result.symbol)}<mo>=</mo></math> '
        f'<span class="blank"></span> {label} <span class="small">{escape(tr(formula.result.meaning))}</span></p>'
    )
