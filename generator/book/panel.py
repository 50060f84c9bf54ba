"""*Change a number*: a reader moves an input of one formula and sees result, working, drawing.

The page carries a printed example that stands without scripts, and the data the player of the
panel needs: unit factors, ranges, the working as a template, and the drawing at a few places.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from html import escape
from typing import Any

from generator.book.model import PanelSpec
from generator.book.page import CLASSES, LessonPage, place_words
from generator.book.words import both, capital
from generator.calc.expression import Figure, Node, Ref
from generator.calc.expression import replaced as put_in
from generator.calc.formula import Formula, Input
from generator.jobsite.columns import LIMITS_BY_NAME
from generator.language.words import tr
from generator.quiz.question import quantity
from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity, said_in, trimmed
from generator.units.table import KINDS, SYSTEMS, System, factor
from generator.units.writing import current as writing_now
from generator.working.byhand import FINER, LONGEST, result_figure, rounding_line
from generator.working.errors import NumberProblem
from generator.working.explain import line_html, stability_line
from generator.working.ledger import Entry
from generator.working.numbers import Numbers
from generator.working.printing import figure_mathml, mathml, symbol_mathml, unit_label

FIXED = frozenset({"fraction", "factor", "grade", "angle", "count"})  # kinds whose ranges suit any site
WIDER = ("1", "1.5", "0.75", "2", "0.5", "3", "0.25", "4", "6", "0.1", "10", "0.05", "20", "50")  # times a range, first fit
Range = tuple[Quantity, Quantity, Quantity]  # low, high, step
DRAWINGS = 11  # most places of the moved input a drawing is made for, in each system
_LEFT_OUT = re.compile(r",? (by this site's rule|on this site)$")
_HAIR = 1e-9  # of a limit: what binary fractions may leave


@dataclass(frozen=True)
class Panel:
    """A lesson's panel: its HTML and the formula the browser needs."""

    html: str
    formula: Formula


@dataclass(frozen=True)
class Held:
    """The site's limit that a number of the panel is held to: ``on`` a moved input, or the result ("")."""

    on: str
    limit: Mapping[System, Quantity]
    way: Limit
    what: str  # such as "highest bench"

    def past(self, si: float, system: System) -> bool:
        """Whether an SI value lies on the far side of it."""
        end = self.limit[system].si
        return si > end + abs(end) * _HAIR if self.way == "most" else si < end - abs(end) * _HAIR

    def words(self, system: System) -> str:
        """What stands beside a figure past it."""
        return tr("past this site's limit, {limit}", limit=self.limit[system])


@dataclass(frozen=True)
class Moved:
    """Where a slider can stand in each system: its figures in order, and the place it starts at."""

    places: Mapping[System, tuple[Quantity, ...]]
    start: Mapping[System, int]

    def first(self, system: System) -> Quantity:
        """The lesson's own figure, which the slider starts at."""
        return self.places[system][self.start[system]]


def panel(page: LessonPage) -> Panel:
    """The panel of a lesson with ``panel:`` in its front matter. Raises NumberProblem."""
    spec = page.lesson.panel
    assert spec is not None  # asked for only where the lesson has one
    name = spec.number
    number = page.numbers.specs.get(name)
    if number is None or not isinstance(number.calculation, Formula):
        raise NumberProblem(f"panel: '{name}' is no number worked by one formula", "name another under panel:")
    formula = number.calculation
    moves = spec.moves
    if not moves or len(moves) > 2:
        raise NumberProblem("panel: one or two inputs can be moved", "list them under move:")
    inputs = {i: refs[0] for i, refs in number.inputs.items()}
    found = {ref: _input_of(ref, inputs, name) for ref in moves}
    held = _held(page, spec, formula, found)
    moved: dict[str, Moved] = {}
    for ref, ends in moves.items():
        wanted = formula.input_by_name[found[ref]]
        own = {s: _own(page, name, wanted.name, inputs[wanted.name], s) for s in SYSTEMS}
        ranges = _around(wanted, {s: _ends(ends, s, wanted.kind) for s in SYSTEMS}, own)
        moved[wanted.name] = _places(wanted, ranges, own, held)
    data: dict[str, Any] = {"formula": formula.id, "system": {}}
    for s in SYSTEMS:
        data["system"][s] = _system(page, name, formula, moved, s, held)
    figures = ""
    data["drawings"] = {}
    data["moved"] = next(iter(moved))
    follows = len(moved) == 1 if spec.drawing is None else spec.drawing
    if follows and page.lesson.drawing:
        for s in SYSTEMS:
            drawings = _drawings(page, inputs, moved, s, held)
            data["drawings"][s] = [at for at, _ in drawings]
            shown = moved[data["moved"]].start[s] if s == page.site_model.settings.units else -1
            figures += "".join(
                f'<div class="sw-panel-drawing" data-system="{s}"{"" if i == shown else " hidden"}>{svg}</div>'
                for i, (_, svg) in enumerate(drawings)
            )
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    _enter(page, name, formula, moved)
    sliders = "".join(_slider(formula, i, at, held) for i, at in moved.items())
    caution = f'<p class="sw-caution" data-word="{tr("Caution.")}">{stability_line(formula.result.kind)}</p>' if formula.stability else ""
    example = "".join(f'<div class="{cls}">{data["system"][s]["example"]}</div>' for s, cls in CLASSES)
    html = (
        '\n\n<div class="sw-panel-box"><h3>' + tr("Change a number") + "</h3><seatwork-panel data-search-exclude>"
        f'<form>{sliders}</form><div class="sw-panel-result" aria-live="polite">{example}</div>{caution}{figures}'
        f'<script type="application/json">{text}</script></seatwork-panel></div>\n\n'
    )
    return Panel(html, formula)


def _ends(ends: Mapping[System, tuple[str, ...]], system: System, kind: str) -> Range:
    given = ends.get(system, ())
    if len(given) != 3:
        raise NumberProblem("panel: a range is not complete", "give low, high and step for us and for metric")
    try:
        low, high, step = (quantity(x) for x in given)
    except CalculationError as e:
        raise NumberProblem(f"panel: {e.what}", e.fix) from None
    return tuple(Quantity(q.figure, q.unit, kind) for q in (low, high, step))  # type: ignore[return-value]


def _around(wanted: Input, ends: dict[System, Range], own: Mapping[System, Any]) -> dict[System, Range]:
    """The range a lesson names, widened or narrowed so that the site's own figure lies in it.

    A lesson's range suits common machines. On a site with far larger or smaller ones it would show
    machines that nobody there has. Shares, grades and angles keep their range.
    """
    if wanted.kind in FIXED:
        return ends
    bottom, top = wanted.bounds
    for share in WIDER:
        made: dict[System, Range] = {s: _times(ends[s], Decimal(share)) for s in SYSTEMS}
        if all(
            isinstance(own[s], Quantity) and low.si <= own[s].si <= high.si and bottom <= low.si and high.si <= top
            for s, (low, high, _) in made.items()
        ):
            return made
    return ends


def _times(ends: Range, share: Decimal) -> Range:
    low, high, step = (Quantity(trimmed(q.figure * share), q.unit, q.kind) for q in ends)
    return low, high, step


def _scale(unit: str, kind: str) -> Any:
    """How to go from a figure in a unit to SI: a factor, or the name of a rule."""
    if kind == "grade" and unit == "deg":
        return "tan"
    if kind == "grade" and unit == ":1":
        return "inverse"
    return factor(unit, KINDS[kind].si)


def _input_of(ref: str, inputs: Mapping[str, str], name: str) -> str:
    """The input that ``ref`` means, by its name or by what it refers to. Raises NumberProblem."""
    for wanted, its_ref in inputs.items():
        if ref in (wanted, its_ref):
            return wanted
    raise NumberProblem(f"panel: {ref} is no input of '{name}'", f"move {', '.join(inputs.values())}")


def _held(page: LessonPage, spec: PanelSpec, formula: Formula, moves: Mapping[str, str]) -> Held | None:
    """The limit under ``limit:``: of the result, or ``{REF: limits.NAME}`` of an input that is moved.

    None where the lesson names none or the site sets none. Raises NumberProblem.
    """
    held_to = spec.limit
    if held_to is None:
        return None
    on, kind, what = "", formula.result.kind, formula.result.meaning
    if held_to.on is not None:
        if not held_to.alone or held_to.on not in moves:
            raise NumberProblem(f"panel: limit is of '{held_to.on[:60]}', which is not moved", f"name one of {', '.join(moves)}")
        on = moves[held_to.on]
        kind, what = formula.input_by_name[on].kind, formula.input_by_name[on].meaning
    elif isinstance(formula.tree, Ref) and formula.tree.name in moves.values():
        on = formula.tree.name  # the result is the input: its slider can show the limit as well
    name = held_to.name.removeprefix("limits.")
    limit = page.site_model.settings.limits.get(name)
    if not isinstance(limit, Quantity):
        return None
    if limit.kind != kind:
        raise NumberProblem(
            f"panel: limits.{name} is no limit of {what}", f"it is a {KINDS[limit.kind].name}, and that a {KINDS[kind].name}"
        )
    told = page.numbers.look_up(f"limits.{name}", page.context).value
    assert isinstance(told, Quantity)
    return Held(on, {s: told.in_system(s) for s in SYSTEMS}, LIMITS_BY_NAME[name].limit, limit_words(name))


def limit_words(name: str) -> str:
    """What a limit of the site is, in English, without saying again that it is the site's."""
    return _LEFT_OUT.sub("", LIMITS_BY_NAME[name].meaning)


def _own(page: LessonPage, name: str, wanted: str, ref: str, system: System) -> Quantity | None:
    """The lesson's own figure of an input, as the page prints it."""
    if ref in page.numbers.specs:
        printed = page.numbers.explained(ref, page.context, system).result.quantity
        if printed is not None:
            return printed
    value = page.numbers.explained(name, page.context, system).inputs[wanted]
    return value if isinstance(value, Quantity) else None


def _places(wanted: Input, ranges: Mapping[System, Range], own: Mapping[System, Quantity | None], held: Held | None) -> Moved:
    """The steps of a range, with the lesson's own figure and the site's limit among them.

    A step that is hardly another figure than one of those two makes room for it.
    """
    places: dict[System, tuple[Quantity, ...]] = {}
    start: dict[System, int] = {}
    for s, (low, high, step) in ranges.items():
        count = int((high.figure - low.figure) / step.figure)
        steps = [trimmed(low.figure + step.figure * i) for i in range(count + 1)]
        mine = own[s]
        if mine is not None and mine.unit != low.unit:
            mine = Quantity.of(mine.si, low.kind, s, significant=4, unit=low.unit)  # a grade in percent, moved as a ratio, too
        other: System = "metric" if s == "us" else "us"
        told: dict[Decimal, Quantity | None] = {mine.figure: own[other]} if mine is not None else {}
        bottom, top = wanted.bounds
        if held is not None and held.on == wanted.name and held.limit[s].unit == low.unit and bottom <= held.limit[s].si <= top:
            told[held.limit[s].figure] = held.limit[other]
        free = [x for x in steps if all(abs(x - k) > step.figure * Decimal("0.34") for k in told)]
        figures = sorted({*told, *free})
        # in the other system the two are told as they are there, not converted back
        places[s] = tuple(
            Quantity(x, low.unit, low.kind, told=(there.figure, there.unit) if (there := told.get(x)) is not None else None)
            for x in figures
        )
        start[s] = figures.index(mine.figure) if mine is not None else len(figures) // 2
    return Moved(places, start)


def _system(page: LessonPage, name: str, formula: Formula, moved: Mapping[str, Moved], system: System, held: Held | None) -> dict[str, Any]:
    explained = page.numbers.explained(name, page.context, system)
    given = {n: q for n, q in explained.inputs.items() if isinstance(q, Quantity)}
    given.update({n: at.first(system) for n, at in moved.items()})
    names: dict[str, Node] = {}
    order = [i.name for i in formula.inputs]
    for wanted in formula.inputs:
        names[wanted.name] = Figure(given[wanted.name].figure, wanted.work_unit(system))
    for c in formula.constants:
        names[c.name] = Figure(*c.written(system))
    unit = formula.result.unit(system)
    work = formula.result.work_unit(system)
    tpl = _template(formula, order, names, system)
    start = formula(**{n: given[n].si for n in order})
    shown = str(_first(formula, start, unit))
    beyond = held is not None and held.past(given[held.on].si if held.on else start, system)
    answer = f"<b>{escape(shown)}</b>"
    if beyond and held is not None:
        answer = f'<b><s>{escape(shown)}</s></b> <span class="sw-past">{escape(held.words(system))}</span>'
    return {
        "inputs": {
            n: {
                "work": _scale(formula.input_by_name[n].work_unit(system), given[n].kind),
                "scale": _scale(given[n].unit, given[n].kind), "value": float(given[n].figure),
                "label": unit_label(given[n].unit), **_larger(given[n].unit),
                **({"places": [float(q.figure) for q in moved[n].places[system]], "start": moved[n].start[system]} if n in moved else {}),
            }
            for n in order
        },
        "order": order, "limit": _limit_data(held, system),
        "result": {
            "scale": _scale(unit, formula.result.kind), "work": _scale(work, formula.result.kind),
            "label": unit_label(unit), **_larger(unit), "count": formula.result.kind == "count",
            "places": formula.result.places, "significant": formula.result.significant,
            "limit": formula.result.limit, "finer": FINER if formula.result.limit else 0, "longest": LONGEST,
            "meaning": tr(formula.result.meaning), "same": unit == work,
        },
        "template": tpl, "rounded": _rounded_template(formula, unit, system) if unit == work else "",
        "decimal": writing_now().decimal, "group": writing_now().sign(system),
        "example": f'<p class="sw-panel-answer">{escape(capital(tr(formula.result.meaning)))}: {answer}</p>',
    }  # fmt: skip


def _larger(unit: str) -> dict[str, str]:
    """The unit that a thousand of this one is said in, where there is such."""
    larger = said_in(unit, (Decimal(1000),))
    return {} if larger == unit else {"larger": unit_label(larger)}


def _first(formula: Formula, si: float, unit: str) -> Quantity:
    """The result the panel opens with, rounded as the browser rounds it."""
    return Quantity(result_figure(formula, si, unit), unit, formula.result.kind)


def _limit_data(held: Held | None, system: System) -> dict[str, Any] | None:
    """The limit as the panel's player holds a figure to it."""
    if held is None:
        return None
    limit = held.limit[system]
    return {"on": held.on, "way": held.way, "si": limit.si, "figure": float(limit.figure), "past": held.words(system)}


def _rounded_template(formula: Formula, unit: str, system: System) -> str:
    """The line that rounds the result, with blanks for the figure worked out and the printed one."""
    blanks = iter(("⟦0⟧", "⟦1⟧"))
    line = rounding_line(Decimal(2), Decimal(3), unit, formula.result.limit)
    return line_html(line, formula, lambda _: next(blanks), system)


def _enter(page: LessonPage, name: str, formula: Formula, moved: Mapping[str, Moved]) -> None:
    """Enters in the ledger what the panel opens with: where its sliders stand, and its result."""
    done = {s: page.numbers.explained(name, page.context, s) for s in SYSTEMS}
    given = {
        s: {n: q for n, q in done[s].inputs.items() if isinstance(q, Quantity)} | {n: at.first(s) for n, at in moved.items()}
        for s in SYSTEMS
    }
    start = {s: formula(**{i.name: given[s][i.name].si for i in formula.inputs}) for s in SYSTEMS}
    place = place_words("change a number", page.context)
    for i in moved:
        page.ledger.enter(
            Entry(page.page, place, formula.input_by_name[i].meaning, {s: str(given[s][i]) for s in SYSTEMS},
                  given["us"][i].si, None, {}, [], f"{page.lesson.file}, panel: the lesson's own figure")
        )  # fmt: skip
    page.ledger.enter(
        Entry(
            page.page, place, formula.result.meaning,
            {s: str(_first(formula, start[s], formula.result.unit(s))) for s in SYSTEMS}, start["us"], formula.id,
            {s: {n: str(q) for n, q in given[s].items()} for s in SYSTEMS}, page.source_keys(done["us"].sources),
        )
    )  # fmt: skip


def _template(formula: Formula, order: list[str], names: Mapping[str, Node], system: System) -> str:
    """The line of working with numbered blanks: inputs in order, then result, then printed result."""
    marks = {n: f"⟦{i}⟧" for i, n in enumerate(order)}

    def symbol(name: str) -> str:
        return symbol_mathml(formula.input_by_name[name].symbol if name in marks else name)

    constants = {n: f for n, f in names.items() if n not in marks}
    tree = put_in(formula.tree, constants)
    body = mathml(
        tree,
        lambda n: figure_mathml(names[n].value, names[n].unit, lambda _: marks[n]) if n in marks else symbol(n),  # type: ignore[union-attr]
        system=system,
    )
    left = symbol_mathml(formula.result.symbol)
    if isinstance(tree, Ref):  # nothing is worked out: H = L = 10 ft, and a reader has nothing to redo
        return f'<p class="sw-line"><math>{left}<mo>=</mo>{symbol(tree.name)}<mo>=</mo>{body}</math></p>'
    work = unit_label(formula.result.work_unit(system))
    gap = "" if work in {"", "°", "%", ":1"} else "\u2009"
    result = f"<mrow><mn>⟦{len(order)}⟧</mn><mtext>{gap}{escape(work)}</mtext></mrow>"
    return f'<p class="sw-line"><math data-redo="">{left}<mo>=</mo>{body}<mo>=</mo>{result}</math></p>'


def _slider(formula: Formula, name: str, at: Moved, held: Held | None) -> str:
    meaning = escape(capital(tr(formula.input_by_name[name].meaning)))
    first = {s: escape(str(at.first(s))) for s in SYSTEMS}
    tick = ""
    if held is not None and held.on == name:
        told = both(*(escape(str(held.limit[s])) for s in SYSTEMS))
        words = tr("This site's limit: {limit}, {what}", limit=told, what=escape(tr(held.what)))
        tick = f'<span class="sw-tick"><span class="sw-tick-mark" aria-hidden="true">▲</span> {words}</span>'
    return (
        f'<label class="sw-slider"><span>{meaning} <output>{both(first["us"], first["metric"])}</output></span>'
        f'<input type="range" name="{escape(name)}" min="0" max="{len(at.places["us"]) - 1}" step="1" value="{at.start["us"]}">'
        f"{tick}</label>"
    )


def _drawings(
    page: LessonPage, inputs: Mapping[str, str], moved: Mapping[str, Moved], system: System, held: Held | None
) -> list[tuple[float, str]]:
    """The lesson's drawing at every place of the moved input: (figure, SVG).

    A drawing prints figures, so one made for a neighbouring place would say something false.
    """
    if len(moved) > 1:
        raise NumberProblem("panel: a drawing can follow one moved input only", "move one, or add 'drawing: false'")
    first, at = next(iter(moved.items()))
    if len(at.places[system]) > DRAWINGS:
        raise NumberProblem(
            f"panel: {len(at.places[system])} places in {system} are more than the {DRAWINGS} a drawing is made for",
            "take a wider step, or add 'drawing: false'",
        )
    was, drawing = page.numbers, page.lesson.drawing
    assert drawing is not None
    made = []
    try:
        for i, here in enumerate(at.places[system]):
            page.numbers = Numbers(was.specs, was.site, was.tables, was.lead, {inputs[first]: here})
            svg = page.scene(drawing, f"{page.lesson.id}-{system}-{i}")
            made.append((float(here.figure), _marked(svg, here, system, held) if held is not None and held.on == first else svg))
    finally:
        page.numbers = was
    return made


_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_DIMENSION = re.compile(r'<g class="dimension" data-si="([\d.]+)" data-ends="([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)">')


def _marked(svg: str, here: Quantity, system: System, held: Held) -> str:
    """A drawing of the panel with the site's limit in it; crossed out, in shape and words, where it lies past that.

    The limit's level is measured along the upright dimension that tells the moved figure: the lowest one,
    which stands on the ground.
    """
    box = _BOX.search(svg)
    assert box is not None
    width, height = float(box[1]), float(box[2])
    limit = held.limit[system]
    upright = [
        (max(y0, y1), abs(y1 - y0))
        for si, x0, y0, x1, y1 in (map(float, m.groups()) for m in _DIMENSION.finditer(svg))
        if abs(x1 - x0) < 0.5 and abs(si - here.si) <= 1e-4 * here.si
    ]
    added = legend = ""
    if upright:
        foot, length = max(upright)
        level = foot - length * limit.si / here.si
        if 14 < level < height:
            words = tr("Dashed line: this site's limit, {limit}.", limit=limit)
            legend = f'<p class="sw-limit-line">{escape(words)}</p>'
            added += (
                f'<path class="limit" d="M6,{level:.2f}L{width - 6:.2f},{level:.2f}" fill="none" stroke="currentColor" '
                f'stroke-width="2" stroke-dasharray="10 5" />'
                f'<text class="txt" x="6" y="{level - 6:.2f}" font-size="15" font-weight="700" fill="currentColor">{tr("limit")}</text>'
            )
    if not held.past(here.si, system):
        return svg.replace("</svg>", f'<g class="limit-mark">{added}</g></svg>') + legend
    added += "".join(
        f'<path class="cross" d="{d}" fill="none" stroke="currentColor" stroke-width="7" stroke-opacity="0.55" />'
        for d in (f"M16,16L{width - 16:.2f},{height - 16:.2f}", f"M16,{height - 16:.2f}L{width - 16:.2f},16")
    )
    crossed = svg.replace("</svg>", f'<g class="limit-mark">{added}</g></svg>')
    return f'{crossed}{legend}<p class="sw-past">{escape(capital(held.words(system)))}</p>'
