"""Any calculation, formula or procedure, worked in one unit system, as text and as HTML."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape

from generator.calc.expression import Ref
from generator.calc.formula import Formula, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Column, Note, Rows, Value
from generator.language.words import mark, now, tr
from generator.source.memo import Same
from generator.units.errors import CalculationError
from generator.units.quantity import (
    SAID_PLACES,
    Limit,
    Quantity,
    said_in,
    to_places,
    trimmed,
)
from generator.units.table import KINDS, UNITS, System, from_si
from generator.units.writing import current as writing_now
from generator.units.writing import written
from generator.working.byhand import (
    FINER,
    Working,
    result_places,
    rounding_line,
    said_line,
    usable,
    worked_chain,
)
from generator.working.line import Line
from generator.working.printing import Mark, mathml, symbol_mathml, system_of, text

ABOUT = mark(", about ")  # between a figure worked out and the one it is printed as
NOT_ALLOWED = mark("not an allowed slope")
NOT_SAFE = mark("not a safe limit")  # for a length, a share or a safety factor, which is no slope
_SLOPES = frozenset({"angle", "grade", "ratio", "text"})


def stability_words(kind: str) -> str:
    """What must stand beside a stability result of this kind of quantity, in English: a text for ``tr``."""
    return NOT_ALLOWED if kind in _SLOPES else NOT_SAFE


def stability_caution(kind: str) -> str:
    """The same as a sentence or two, for under its working."""
    if kind in _SLOPES:
        return tr("This is not an allowed slope. Ground, speed and load lower it.")
    return tr("This is not a safe limit. The ground, the machine and a competent person decide.")


def stability_line(kind: str) -> str:
    """What a stability result of this kind is, as one sentence."""
    return tr("This is not an allowed slope.") if kind in _SLOPES else tr("This is not a safe limit.")


@dataclass(frozen=True, slots=True)
class Shown:
    """A result ready to print in one system.

    ``caution`` must stand wherever the figure does: :meth:`text` adds it, and there is no other
    way to the figure as text.
    """

    quantity: Quantity | None
    words: str  # for results that are text
    meaning: str
    si: float | None
    rounding: str | None = None
    caution: str = ""

    def text(self) -> str:
        """The figure with its unit and, for a stability result, its caution."""
        plain = str(self.quantity) if self.quantity is not None else tr(self.words)
        return f"{plain} ({tr(self.caution)})" if self.caution else plain

    def __str__(self) -> str:
        return self.text()


Block = Working | Rows | Note


@dataclass(frozen=True)
class Explained:
    """A calculation worked in one system: its results by name and the blocks that explain them."""

    calculation: Formula | Procedure
    system: System
    inputs: Mapping[str, Quantity | str]
    results: Mapping[str, Shown]
    main: str
    blocks: tuple[Block, ...]
    exact: float | None = None

    @property
    def result(self) -> Shown:
        """The main result."""
        return self.results[self.main]

    @property
    def sources(self) -> tuple[Source, ...]:
        """Sources of the calculation and of every formula its steps use."""
        found: dict[Source, None] = {self.calculation.source: None}
        found.update(dict.fromkeys(self.calculation.also))
        for block in self.blocks:
            if isinstance(block, Working):
                found[block.formula.source] = None
        return tuple(found)


def explain(
    calculation: Formula | Procedure,
    inputs: Mapping[str, Quantity | str],
    system: System,
    tables: Tables,
    *,
    unit: str | None = None,
    as_typed: bool = False,
) -> Explained:
    """Work ``calculation`` in ``system``.

    With ``as_typed`` inputs keep the units they came in. ``unit`` (a key of UNITS) prints the
    main result in another unit. Raises CalculationError.
    """
    if isinstance(calculation, Formula):
        given = {n: q for n, q in inputs.items() if isinstance(q, Quantity)}
        return explain_chain([Applied("", calculation, given, unit)], system, as_typed=as_typed)
    full = calculation.complete(inputs)
    if not as_typed:
        full = {n: q.in_system(system) if isinstance(q, Quantity) else q for n, q in full.items()}
    outcome = calculation.run(full, system, tables)
    applied = [s for s in outcome.steps if isinstance(s, Applied)]
    worked = worked_chain(applied, system, as_typed=as_typed) if applied else []
    results = {
        name: _shown(
            value,
            system,
            unit if name == outcome.main else None,
            stability_words(value.kind) if calculation.stability else "",
        )
        for name, value in outcome.values.items()
    }
    workings = iter([_rounded(w, outcome.values, results) for w in worked[:-1]] + worked[-1:])
    blocks: tuple[Block, ...] = tuple(next(workings) if isinstance(s, Applied) else s for s in outcome.steps)
    main = outcome.values[outcome.main]
    return Explained(
        calculation, system, full, results, outcome.main, blocks,
        main.si if isinstance(main.si, float | int) else None,
    )  # fmt: skip


def explain_chain(steps: Sequence[Applied], system: System, *, as_typed: bool = False) -> Explained:
    """A chain of formulas; the last one's result is the main result.

    The same figures stand on many pages (a material's weight on every machine's card), so the
    last few thousand chains are kept.
    """
    key = tuple(
        (
            s.name,
            Same(s.formula),
            s.unit,
            tuple((n, (str(q.figure), q.unit, q.kind, q.limit, q.told) if isinstance(q, Quantity) else q) for n, q in s.inputs.items()),
        )
        for s in steps
    )
    known = _CHAINS.get((key, system, as_typed))
    if known is not None:
        return known
    done = _explained_chain(steps, system, as_typed=as_typed)
    if len(_CHAINS) >= MOST_CHAINS:
        _CHAINS.clear()
    _CHAINS[key, system, as_typed] = done
    return done


MOST_CHAINS = 4096
_CHAINS: dict[tuple[object, System, bool], Explained] = {}


def _explained_chain(steps: Sequence[Applied], system: System, *, as_typed: bool) -> Explained:
    workings = worked_chain(steps, system, as_typed=as_typed)
    last = workings[-1]
    formula = last.formula
    caution = stability_words(formula.result.kind) if formula.stability else ""
    printed = last.result if steps[-1].unit is None else replace(last.result, as_is=True)
    result = Shown(printed, "", formula.result.meaning, last.exact, formula.result.rounding, caution)
    return Explained(formula, system, last.inputs, {"result": result}, "result", tuple(workings), last.exact)


def value_figure(si: float, kind: str, unit: str, places: int | None = None) -> Quantity:
    """An SI value as a figure worked out: three significant digits unless told otherwise, and whole numbers whole."""
    number = from_si(si, unit, kind)
    if places is not None:
        return Quantity(trimmed(to_places(number, places)), unit, kind)
    if kind == "count":
        return Quantity(trimmed(to_places(number, 1)), unit, kind)
    return Quantity(trimmed(to_places(number, result_places(number, 3))), unit, kind)


def printed_value(si: float, kind: str, unit: str, places: int | None = None, limit: Limit = "") -> Quantity:
    """The same as a result: no digit finer than its use, and a limit to the safe side."""
    if kind == "count":
        return value_figure(si, kind, unit, places)
    number = from_si(si, unit, kind)
    fine = (places if places is not None else result_places(number, 3)) + (FINER if limit else 0)
    return Quantity(usable(trimmed(to_places(number, fine)), 3, places, limit), unit, kind, limit)


def _rounded(working: Working, values: Mapping[str, Value], results: Mapping[str, Shown]) -> Working:
    """A step on the way with lines that say what its result is printed as, where that is rounded or told in a larger unit.

    The steps after it go on with the figure worked out.
    """
    for name, value in values.items():
        shown_as, figure = results[name].quantity, working.result
        if (
            shown_as is None or shown_as.unit != figure.unit
            or value.meaning != working.formula.result.meaning or not isinstance(value.si, float | int)
            or abs(value.si - working.exact) > 1e-9 * abs(working.exact)
        ):  # fmt: skip
            continue
        if usable(figure.figure, 3, value.places, value.limit) == shown_as.figure:
            told = None if shown_as.as_is else said_line(shown_as.figure, shown_as.unit)
            rounds = figure.figure != shown_as.figure
            more = (rounding_line(figure.figure, shown_as.figure, figure.unit, value.limit) if rounds else None, told)
            return replace(working, lines=(*working.lines, *(line for line in more if line is not None)))
    return working


def _shown(value: Value, system: System, unit: str | None, caution: str) -> Shown:
    if isinstance(value.si, str):
        return Shown(None, value.si, value.meaning, None, value.rounding, "")
    own = value.us if system == "us" else value.metric
    key = unit or own or KINDS[value.kind].default(system)
    if unit is not None:
        _check_unit(unit, value.kind)
    quantity = printed_value(float(value.si), value.kind, key, value.places, value.limit)
    if unit is not None:
        quantity = replace(quantity, as_is=True)
    return Shown(quantity, "", value.meaning, float(value.si), value.rounding, "" if value.given else caution)


def _check_unit(unit: str, kind: str) -> None:
    from generator.units.table import convertible

    if not convertible(unit, kind):
        raise CalculationError(f"{unit} is not a unit of {KINDS[kind].name}", f"ask for {KINDS[kind].us} or {KINDS[kind].metric}")


# --- plain text -----------------------------------------------------------------------------


def _symbol(formula: Formula, name: str) -> str:
    if name == "=":
        return formula.result.symbol
    if name in formula.input_by_name:
        return formula.input_by_name[name].symbol
    return next(c.symbol for c in formula.constants if c.name == name)


def line_text(line: Line, formula: Formula, system: System | None = None) -> str:
    """One line of a working in ``system`` as plain text."""

    def symbol(name: str) -> str:
        return _symbol(formula, name)

    sides = (tr(ABOUT) if line.rounds else " = ").join(text(side, symbol, system=system) for side in line.sides)
    left = f"{text(line.left, symbol)} = " if line.left is not None else ""
    words = f"{tr(line.words)}: " if line.words else ""
    return f"{words}{left}{sides}"


def column_unit(column: Column, system: System) -> str:
    """Key of the unit a column prints in."""
    own = column.us if system == "us" else column.metric
    return own or KINDS[column.kind].default(system)


def rows_units(rows: Rows, system: System) -> list[str]:
    """Key of the unit of each column, the one that people say its largest figure in."""
    out = []
    for i, column in enumerate(rows.columns):
        unit = "1" if column.kind == "text" else column_unit(column, system)
        cells = [row[i] for row in rows.rows if column.kind != "text" and not isinstance(row[i], str)]
        out.append(said_in(unit, (cell_figure(float(c), column, system).figure for c in cells)))
    return out


def cell_text(value: float | str, column: Column, system: System, unit: str | None = None) -> str:
    """A cell's figure without its unit (which the heading names), in ``unit`` where the column is told in a larger one."""
    if isinstance(value, str) or column.kind == "text":
        return tr(str(value))
    figure = cell_figure(float(value), column, system).figure
    if unit is not None and unit != column_unit(column, system):
        figure = trimmed(figure.scaleb(-SAID_PLACES))
    return written(figure, system)


def cell_figure(si: float, column: Column, system: System) -> Quantity:
    """A cell's SI value as the figure it prints."""
    unit = column_unit(column, system)
    if column.limit:
        return printed_value(si, column.kind, unit, column.places, column.limit)
    return value_figure(si, column.kind, unit, column.places)


def heading_text(column: Column, system: System, unit: str | None = None) -> str:
    """A heading with its unit in brackets, which is ``unit`` where the column is told in a larger one."""
    heading = tr(column.heading)
    if column.kind == "text":
        return heading
    label = UNITS[unit or column_unit(column, system)].printed
    return f"{heading} [{label}]" if label else heading


def as_text(explained: Explained) -> list[str]:
    """The working as plain lines."""
    out: list[str] = []
    several = sum(isinstance(b, Working) for b in explained.blocks) > 1
    for block in explained.blocks:
        if isinstance(block, Note):
            out.append(tr(block.text))
        elif isinstance(block, Rows):
            out.append(tr(block.title) + ":")
            units = rows_units(block, explained.system)
            headings = [heading_text(c, explained.system, u) for c, u in zip(block.columns, units, strict=True)]
            cells = [
                [cell_text(v, c, explained.system, u) for v, c, u in zip(row, block.columns, units, strict=True)] for row in block.rows
            ]
            widths = [max(len(x) for x in column) for column in zip(headings, *cells, strict=True)]
            for row in [headings, *cells]:
                out.append("  " + "  ".join(x.rjust(w) for x, w in zip(row, widths, strict=True)))
        else:
            if several:
                out.append(f"{tr(block.formula.title)}:")
            out.extend(("  " if several else "") + line_text(x, block.formula, block.system) for x in block.lines)
    return out


# --- HTML -----------------------------------------------------------------------------------


_HOLE = "\0"


def _printed(line: Line, formula: Formula, system: System | None) -> tuple[str, ...]:
    """The HTML of a line around its figures: a piece before each, and what follows the last."""

    def symbol(name: str) -> str:
        return symbol_mathml(_symbol(formula, name))

    parts = [mathml(side, symbol, lambda _: _HOLE, system) for side in line.sides]
    if line.left is not None:
        assert isinstance(line.left, Ref)
        parts.insert(0, symbol(line.left.name))
    redo = ' data-redo=""' if line.redo else ""
    words = f'<span class="sw-words">{escape(tr(line.words))}</span> ' if line.words else ""
    if line.rounds:
        redo = f' data-rounded="{line.rounds}"'
        parts = [*parts[:-2], f"{parts[-2]}<mtext>{tr(ABOUT)}</mtext>{parts[-1]}"]
    html = f'<p class="sw-line">{words}<math{redo}>{"<mo>=</mo>".join(parts)}</math></p>'
    pieces = tuple(html.split(_HOLE))
    assert len(pieces) == len(line.figures) + 1
    return pieces


def line_html(line: Line, formula: Formula, mark: Mark | None = None, system: System | None = None) -> str:
    """One line of a working in ``system`` as MathML, marked for redoing where a reader can redo it."""
    signs = writing_now()
    manner = (now().print, *line.manner, system or "", signs.decimal, signs.plain, signs.group)
    known = line.shape.printed.get(manner)
    if known is None or known[0] is not formula:
        known = line.shape.printed[manner] = (formula, _printed(line, formula, system))
    pieces = known[1]
    out = [pieces[0]]
    for figure, unit, piece in zip(line.figures, line.shape.units, pieces[1:], strict=True):
        digits = written(figure, system_of(unit, system))
        out.append(mark(digits) if mark is not None else digits)
        out.append(piece)
    return "".join(out)


def formula_html(formula: Formula) -> str:
    """The formula in symbols, as MathML."""
    return line_html(Line.of("", Ref("="), (formula.tree,), redo=False), formula)


MOST_ROWS = 12


def rows_html(rows: Rows, system: System, mark: Mark | None = None) -> str:
    """A table of steps. A long one is cut in the middle: a page must stay light on a phone."""
    wrap = mark or (lambda t: t)
    units = rows_units(rows, system)
    head = "".join(f'<th scope="col">{escape(heading_text(c, system, u))}</th>' for c, u in zip(rows.columns, units, strict=True))

    def lines(some: tuple[tuple[float | str, ...], ...]) -> str:
        return "".join(
            "<tr>"
            + "".join(f"<td>{wrap(escape(cell_text(v, c, system, u)))}</td>" for v, c, u in zip(row, rows.columns, units, strict=True))
            + "</tr>"
            for row in some
        )

    if len(rows.rows) <= MOST_ROWS:
        body = lines(rows.rows)
    else:
        cut = f'<tr><td colspan="{len(rows.columns)}" class="sw-cut">{tr("and so on, row by row")}</td></tr>'
        body = lines(rows.rows[: MOST_ROWS // 2]) + cut + lines(rows.rows[-MOST_ROWS // 2 + 2 :])
    title = escape(tr(rows.title))
    return (
        f'<div class="sw-scroll" tabindex="0" role="region" aria-label="{title}">'
        f'<table class="sw-rows"><caption>{title}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def as_html(
    explained: Explained,
    source_words: Callable[[Iterable[Source]], str],
    mark: Mark | None = None,
) -> str:
    """The whole working as a block of HTML, without blank lines.

    ``source_words`` writes the names of sources; ``mark`` is handed each figure's digits.
    """
    out = ['<div class="sw-working">']
    several = sum(isinstance(b, Working) for b in explained.blocks) > 1
    for block in explained.blocks:
        if isinstance(block, Note):
            out.append(f'<p class="sw-note">{escape(tr(block.text))}</p>')
        elif isinstance(block, Rows):
            out.append(rows_html(block, explained.system, mark))
        else:
            if several:
                out.append(f'<p class="sw-step">{escape(tr(block.formula.title))}</p>')
            out.append(_rule_html(block.formula))
            out.extend(line_html(x, block.formula, mark, block.system) for x in block.lines)
    result = explained.result
    if result.rounding:
        rounding = tr(result.rounding)
        out.append(f'<p class="sw-note">{escape(rounding[:1].upper() + rounding[1:])}.</p>')
    if explained.calculation.stability:
        out.append(f'<p class="sw-caution" data-word="{tr("Caution.")}">{stability_caution(result_kind(explained))}</p>')
    out.append(f'<p class="sw-source">{source_words(explained.sources)}</p></div>')
    return "".join(out)


def result_kind(explained: Explained) -> str:
    """The kind of quantity of the main result; ``text`` for words."""
    quantity = explained.result.quantity
    return quantity.kind if quantity is not None else "text"


_RULES: dict[tuple[Same, str], str] = {}


def _rule_html(formula: Formula) -> str:
    """The relation in words and its symbols: the same in every working of the formula."""
    key = Same(formula), now().print
    known = _RULES.get(key)
    if known is None:
        words = f'<p class="sw-rule">{escape(tr(formula.words))}</p>' if formula.words else ""
        known = _RULES[key] = words + legend_html(formula)
    return known


def legend_html(formula: Formula) -> str:
    """What the symbols mean, in one line."""
    parts = [f"<math>{symbol_mathml(formula.result.symbol)}</math> {escape(tr(formula.result.meaning))}"]
    parts += [f"<math>{symbol_mathml(i.symbol)}</math> {escape(tr(i.meaning))}" for i in formula.inputs]
    parts += [f"<math>{symbol_mathml(c.symbol)}</math> {escape(tr(c.meaning))}" for c in formula.constants]
    return f'<p class="sw-legend">{"; ".join(parts)}</p>'
