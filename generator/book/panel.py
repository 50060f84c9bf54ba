"""*Change a number*: a reader moves an input of one formula and sees result, working, drawing.

The page carries a printed example that stands without scripts, and the data the player of the
panel needs: unit factors, ranges, the working as a template, and the drawing at a few places.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from html import escape
from typing import Any

from generator.book.page import CLASSES, LessonPage, place_words
from generator.book.words import both, capital
from generator.calc.expression import Figure, Node
from generator.calc.expression import replaced as put_in
from generator.calc.formula import Formula, Input
from generator.calc.quantity import Quantity, to_places, trimmed
from generator.calc.units import KINDS, SYSTEMS, System, factor, from_si
from generator.quiz.question import quantity
from generator.working.byhand import result_places
from generator.working.errors import NumberProblem
from generator.working.explain import stability_words
from generator.working.ledger import Entry
from generator.working.numbers import Numbers
from generator.working.printing import figure_mathml, mathml, symbol_mathml, unit_label

FIXED = frozenset({"fraction", "factor", "grade", "angle", "count"})  # kinds whose ranges suit any site
WIDER = ("1", "1.5", "0.75", "2", "0.5", "3", "0.25", "4", "6", "0.1", "10", "0.05", "20", "50")  # times a range, first fit
Range = tuple[Quantity, Quantity, Quantity]  # low, high, step
DRAWINGS = 9  # most places of the moved input a drawing is made for, in each system


@dataclass(frozen=True)
class Panel:
    """A lesson's panel: its HTML and the formula the browser needs."""

    html: str
    formula: Formula


def panel(page: LessonPage) -> Panel:
    """The panel of a lesson with ``panel:`` in its front matter. Raises NumberProblem."""
    spec = page.lesson.front["panel"]
    name = str(spec["number"])
    number = page.numbers.specs.get(name)
    if number is None or not isinstance(number.calculation, Formula):
        raise NumberProblem(f"panel: '{name}' is no number worked by one formula", "name another under panel:")
    formula = number.calculation
    moves = {k: v for k, v in (spec.get("move") or {}).items() if k != "__line__"}
    if not moves or len(moves) > 2:
        raise NumberProblem("panel: one or two inputs can be moved", "list them under move:")
    inputs = {i: refs[0] for i, refs in number.inputs.items()}
    moved: dict[str, Mapping[System, Range]] = {}
    for ref, ends in moves.items():
        found = [i for i, r in inputs.items() if r == ref or i == ref]
        if not found:
            raise NumberProblem(f"panel: {ref} is no input of '{name}'", f"move {', '.join(inputs.values())}")
        wanted = formula.input_by_name[found[0]]
        own = {s: page.numbers.explained(name, page.context, s).inputs[wanted.name] for s in SYSTEMS}
        moved[wanted.name] = _around(wanted, {s: _ends(ends, s, wanted.kind) for s in SYSTEMS}, own)
    data: dict[str, Any] = {"formula": formula.id, "system": {}}
    for s in SYSTEMS:
        data["system"][s] = _system(page, name, formula, moved, s)
    figures = ""
    data["drawings"] = {}
    data["moved"] = next(iter(moved))
    if spec.get("drawing", len(moved) == 1) and page.lesson.front.get("drawing"):
        for s in SYSTEMS:
            drawings = _drawings(page, inputs, moved, s)
            data["drawings"][s] = [at for at, _ in drawings]
            shown = len(drawings) // 2 if s == page.site_model.settings.units else -1
            figures += "".join(
                f'<div class="sw-panel-drawing" data-system="{s}"{"" if i == shown else " hidden"}>{svg}</div>'
                for i, (_, svg) in enumerate(drawings)
            )
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    _enter(page, name, formula, moved)
    sliders = "".join(_slider(formula, i, ends) for i, ends in moved.items())
    caution = f'<p class="sw-caution">This is {stability_words(formula.result.kind)}.</p>' if formula.stability else ""
    example = "".join(f'<div class="{cls}">{data["system"][s]["example"]}</div>' for s, cls in CLASSES)
    html = (
        '\n\n<div class="sw-panel-box"><h3>Change a number</h3><seatwork-panel data-search-exclude>'
        f'<form>{sliders}</form><div class="sw-panel-result" aria-live="polite">{example}</div>{caution}{figures}'
        f'<script type="application/json">{text}</script></seatwork-panel></div>\n\n'
    )
    return Panel(html, formula)


def _ends(raw: Any, system: System, kind: str) -> Range:
    try:
        low, high, step = (quantity(x) for x in raw[system])
    except (KeyError, TypeError, ValueError):
        raise NumberProblem("panel: a range is not complete", "give low, high and step for us and for metric") from None
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


def _system(page: LessonPage, name: str, formula: Formula, moved: Mapping[str, Any], system: System) -> dict[str, Any]:
    explained = page.numbers.explained(name, page.context, system)
    given = {n: q for n, q in explained.inputs.items() if isinstance(q, Quantity)}
    given.update(_middles(moved, system))
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
    shown = _first(formula, start, unit)
    return {
        "inputs": {
            n: {
                "work": _scale(formula.input_by_name[n].work_unit(system), given[n].kind),
                "scale": _scale(given[n].unit, given[n].kind), "value": float(given[n].figure),
                "label": unit_label(given[n].unit),
                **({"low": float(moved[n][system][0].figure), "high": float(moved[n][system][1].figure),
                    "step": float(moved[n][system][2].figure)} if n in moved else {}),
            }
            for n in order
        },
        "order": order,
        "result": {
            "scale": _scale(unit, formula.result.kind), "work": _scale(work, formula.result.kind),
            "label": unit_label(unit), "count": formula.result.kind == "count",
            "places": formula.result.places, "significant": formula.result.significant,
            "meaning": formula.result.meaning, "same": unit == work,
        },
        "template": tpl,
        "example": f'<p class="sw-panel-answer">{escape(capital(formula.result.meaning))}: <b>{escape(str(shown))}</b></p>',
    }  # fmt: skip


def _first(formula: Formula, si: float, unit: str) -> Quantity:
    """The result the panel opens with, rounded as the browser rounds it."""
    result = formula.result
    number = from_si(si, unit, result.kind)
    places = 0 if result.kind == "count" else result.places if result.places is not None else result_places(number, result.significant)
    return Quantity(trimmed(to_places(number, places)), unit, result.kind)


def _enter(page: LessonPage, name: str, formula: Formula, moved: Mapping[str, Any]) -> None:
    """Enters in the ledger what the panel opens with: where its sliders stand, and its result."""
    done = {s: page.numbers.explained(name, page.context, s) for s in SYSTEMS}
    given = {s: {n: q for n, q in done[s].inputs.items() if isinstance(q, Quantity)} | _middles(moved, s) for s in SYSTEMS}
    start = {s: formula(**{i.name: given[s][i.name].si for i in formula.inputs}) for s in SYSTEMS}
    place = place_words("change a number", page.context)
    for i in moved:
        page.ledger.enter(
            Entry(page.page, place, formula.input_by_name[i].meaning, {s: str(given[s][i]) for s in SYSTEMS},
                  given["us"][i].si, None, {}, [], f"{page.lesson.file}, panel: the middle of its range")
        )  # fmt: skip
    page.ledger.enter(
        Entry(
            page.page, place, formula.result.meaning,
            {s: str(_first(formula, start[s], formula.result.unit(s))) for s in SYSTEMS}, start["us"], formula.id,
            {s: {n: str(q) for n, q in given[s].items()} for s in SYSTEMS}, page.source_keys(done["us"].sources),
        )
    )  # fmt: skip


def _middles(moved: Mapping[str, Any], system: System) -> dict[str, Quantity]:
    """Where the sliders stand first: the middle step of each range."""
    made = {}
    for i, ends in moved.items():
        low, high, step = ends[system]
        count = int((high.figure - low.figure) / step.figure)
        made[i] = Quantity(trimmed(low.figure + step.figure * (count // 2)), low.unit, low.kind)
    return made


def _template(formula: Formula, order: list[str], names: Mapping[str, Node], system: System) -> str:
    """The line of working with numbered blanks: inputs in order, then result, then printed result."""
    marks = {n: f"⟦{i}⟧" for i, n in enumerate(order)}

    def symbol(name: str) -> str:
        return symbol_mathml(formula.input_by_name[name].symbol if name in marks else name)

    constants = {n: f for n, f in names.items() if n not in marks}
    tree = put_in(formula.tree, constants)
    body = mathml(
        tree, lambda n: figure_mathml(names[n].value, names[n].unit, lambda _: marks[n]) if n in marks else symbol(n)  # type: ignore[union-attr]
    )
    left = symbol_mathml(formula.result.symbol)
    work = unit_label(formula.result.work_unit(system))
    gap = "" if work in {"", "°", "%", ":1"} else "\u2009"
    result = f"<mrow><mn>⟦{len(order)}⟧</mn><mtext>{gap}{escape(work)}</mtext></mrow>"
    return f'<p class="sw-line"><math data-redo="">{left}<mo>=</mo>{body}<mo>=</mo>{result}</math></p>'


def _slider(formula: Formula, name: str, ends: Mapping[System, Range]) -> str:
    low, high, step = ends["us"]
    first = {s: _middles({name: ends}, s)[name] for s in SYSTEMS}
    return (
        f'<label class="sw-slider"><span>{escape(capital(formula.input_by_name[name].meaning))} '
        f'<output>{both(escape(str(first["us"])), escape(str(first["metric"])))}</output></span>'
        f'<input type="range" name="{escape(name)}" min="{low.figure}" max="{high.figure}" step="{step.figure}" value="{first["us"].figure}"></label>'
    )


def _drawings(
    page: LessonPage, inputs: Mapping[str, str], moved: Mapping[str, Any], system: System
) -> list[tuple[float, str]]:
    """The lesson's drawing at every place of the moved input: (figure, SVG).

    A drawing prints figures, so one made for a neighbouring place would say something false.
    """
    if len(moved) > 1:
        raise NumberProblem("panel: a drawing can follow one moved input only", "move one, or add 'drawing: false'")
    first = next(iter(moved))
    low, high, step = moved[first][system]
    count = int((high.figure - low.figure) / step.figure) + 1
    if count > DRAWINGS:
        raise NumberProblem(
            f"panel: {count} places in {system} are more than the {DRAWINGS} a drawing is made for",
            "take a wider step, or add 'drawing: false'",
        )
    was = page.numbers
    made = []
    try:
        for i in range(count):
            at = trimmed(low.figure + step.figure * i)
            here = Quantity(at, low.unit, low.kind)
            page.numbers = Numbers(was.specs, was.site, was.tables, was.lead, {inputs[first]: here})
            made.append((float(at), page.scene(page.lesson.front["drawing"], f"{page.lesson.id}-{system}-{i}")))
    finally:
        page.numbers = was
    return made
