"""The reference chapter: every calculation with its formula, limits, sources and outside checks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import cache
from html import escape
from pathlib import Path

from generator.book.content import Content
from generator.book.part import Chapter
from generator.book.words import OWN, bullets, cited, in_english, safe
from generator.calc.catalogue import TOPICS, Calculation, calculations
from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.tables import Table
from generator.calc.under_rules import under
from generator.language.words import mark, now, tr
from generator.reference.checks import GROUPS, Check, CheckResult, tally
from generator.reference.checks import load as load_checks
from generator.reference.checks import run as run_check
from generator.reference.rules import checks_under, told_of
from generator.source.yamltext import load_plain
from generator.units.quantity import Quantity, retold
from generator.units.table import KINDS, SYSTEMS, UNITS
from generator.units.writing import counted, pointed, written
from generator.units.writing import current as writing_now
from generator.working.explain import formula_html, stability_words
from generator.working.printing import symbol_mathml

TITLES = {
    "grade": mark("Grades"), "soil": mark("Bank, loose, compacted"), "dozing": mark("Dozing"), "loading": mark("Loading trucks"),
    "slopes": mark("Slopes and tipping"), "trench": mark("Trenches"), "lines": mark("Power lines and buried lines"),
    "wear": mark("Wear"), "compact": mark("Compact excavators"), "daily": mark("Checks of the day"), "seeing": mark("Seeing people"),
    "hauling": mark("Haul roads and tips"), "lifting": mark("Lifting with the bucket"), "placing": mark("Placing and compacting"),
    "moving": mark("Moving a machine"), "instruments": mark("Instruments"),
}  # fmt: skip
# what a reader types is looked for in the lessons first: the site builder's search weighs these pages less
_LAST_IN_SEARCH = "---\nsearch: {boost: 0.2}\n---\n\n"
# kinds of sources as headings, the strongest first
SOURCE_KINDS = {
    "regulation": mark("Laws and rules"), "standard": mark("Standards"), "manual": mark("Manuals"), "agency form": mark("Forms of public agencies"),
    "book": mark("Books"), "article": mark("Articles"), "lecture notes": mark("Lecture notes"), "coursework": mark("Coursework"),
    "question bank": mark("Question banks"), "trade press": mark("Trade press"), "library": mark("Program libraries"),
}  # fmt: skip
STANDINGS = {
    "published": mark("published"), "common practice": mark("common practice, no source"), "derived": mark("derived"),
    "library": mark("second opinion of a library"),
}  # fmt: skip
CHECK_HEADS = (mark("Check"), mark("Source says"), mark("We get"), mark("Differs"), mark("Kind of check"))


def anchor(id_: str) -> str:
    """The anchor of a calculation on its page."""
    return id_.replace(".", "-").replace("_", "-")


def standing_words(check: Check) -> str:
    """What kind of check it is, for a reader."""
    words = tr(STANDINGS.get(check.standing, check.standing))
    return tr("{kind}, from memory", kind=words) if check.seen == "from memory" else words


def reference_pages(content: Content) -> tuple[dict[str, str], list[dict[str, str]]]:
    """The pages by path and their navigation. Of the same checks, tables, sources and way of writing they are made once for several sites."""
    _second_opinions.cache_clear()  # a preview may have them changed
    made_of = (
        now().print, load_checks(content.folder), content.tables, content.sources, _second_opinions(content.folder), content.rules,
        writing_now(),
    )  # fmt: skip
    if not _MADE or _MADE[0][0] != made_of:
        _MADE[:] = [(made_of, *_pages(content))]
    _, pages, nav = _MADE[0]
    return dict(pages), [dict(entry) for entry in nav]


_MADE: list[tuple[tuple[object, ...], dict[str, str], list[dict[str, str]]]] = []  # the last ones, and what they were made of


def _pages(content: Content) -> tuple[dict[str, str], list[dict[str, str]]]:
    done: dict[str, list[CheckResult]] = {}
    for check in checks_under(load_checks(content.folder), content.rules):
        done.setdefault(check.calculation, []).append(run_check(check, content.tables))
    pages = {"reference/index.md": _front(content, done)}
    nav = [{tr("How to read this chapter"): "reference/index.md"}]
    for topic in TOPICS:
        rows = [c for c in _told(content) if c.id.startswith(f"{topic}.")]
        if rows:
            pages[f"reference/{topic}.md"] = _topic(topic, rows, content, done)
            nav.append({tr(TITLES[topic]): f"reference/{topic}.md"})
    pages["reference/symbols.md"] = _symbols(content)
    pages["reference/tables.md"] = _tables(content)
    pages["reference/sources.md"] = _sources(content)
    nav += [{tr("Symbols and units"): "reference/symbols.md"}, {tr("Published tables"): "reference/tables.md"},
            {tr("Sources"): "reference/sources.md"}]  # fmt: skip
    return {name: _LAST_IN_SEARCH + text for name, text in pages.items()}, nav


def reference_chapter(content: Content) -> Chapter:
    """The chapter's pages, its place in the navigation, and how many figures the checks rest on."""
    return *reference_pages(content), rests_on(content)


def rests_on(content: Content) -> dict[str, int]:
    """How many different figures the checks rest on, by the names of ``checks.GROUPS``."""
    opinions = ((row["library"], id_) for id_, rows in _second_opinions(content.folder).items() for row in rows)
    return tally(checks_under(load_checks(content.folder), content.rules), opinions)


def _told(content: Content) -> list[Calculation]:
    """The calculations as the site's rules have them, without those they have no figures for."""
    return [under(c, content.rules) for c in calculations().values() if told_of(c.id, content.rules)]


def _front(content: Content, done: Mapping[str, list[CheckResult]]) -> str:
    rows: dict[str, list[str]] = {}
    for c in _told(content):
        results = done.get(c.id, [])
        kinds = sorted({standing_words(r.check) for r in results})
        if c.id in _second_opinions(content.folder):
            kinds = [k for k in kinds if k != tr(STANDINGS["library"])] + [tr("second opinion in the tests")]
        topic = c.id.partition(".")[0]
        rows.setdefault(topic, []).append(
            f'<tr><td class="sw-words-cell"><a href="{topic}.html#{anchor(c.id)}">{escape(tr(c.title))}</a></td>'
            f'<td>{len(results)}</td><td class="sw-words-cell">{escape("; ".join(kinds) or tr("see its parts"))}</td></tr>'
        )
    head = f"<tr><th>{tr('Calculation')}</th><th>{tr('Checks')}</th><th>{tr('What they are')}</th></tr>"
    parts = []
    for topic in (t for t in TOPICS if t in rows):
        table = f"<thead>{head}</thead><tbody>{''.join(rows[topic])}</tbody>"
        title = tr(TITLES[topic])
        parts += [f"## {title}", _scroll(tr("{topic}: calculations and their checks", topic=title), table)]
    return "\n\n".join(
        [
            f"# {tr('Where the numbers come from')}",
            tr(
                "Every number of this handbook is worked by one of these calculations. Each is checked against "
                "something outside: a printed worked example, a published table, a rule of the trade or a second "
                "opinion by a general library."
            ),
            tr(
                "A check is *published* where the source's own printed digits are met, *derived* where the figure follows "
                "from a published rule, *common practice* where the trade does it so and no source is named, and *from "
                "memory* where the source was not at hand to be read. A *second opinion* is the same figure worked out by a "
                "general library of programs, another way."
            ),
            tr("In all, a figure that checks two calculations counted once:"),
            bullets(
                [tr("{number} {things}", number=counted(number), things=tr(GROUPS[name])) for name, number in rests_on(content).items()]
            ),
            *parts,
            "",
        ]
    )


def _topic(topic: str, rows: list[Calculation], content: Content, done: Mapping[str, list[CheckResult]]) -> str:
    links = bullets([f'<a href="#{anchor(c.id)}">{escape(tr(c.title))}</a>' for c in rows])
    out = [
        f"# {tr('{topic}: calculations', topic=tr(TITLES[topic]))}",
        "",
        f'<div class="sw-on-page" data-search-exclude>{links}</div>',
        "",
    ]
    for c in rows:
        out += [f"## {safe(tr(c.title))} {{#{anchor(c.id)}}}", "", _one(c, content, done.get(c.id, [])), ""]
    return "\n".join(out)


def _one(c: Calculation, content: Content, results: Iterable[CheckResult]) -> str:
    parts = [f"<p><code>{escape(c.id)}</code></p>"]
    if c.words:
        parts.append(f"<p>{escape(tr(c.words))}</p>")
    if isinstance(c, Formula):
        parts.append(formula_html(c))
        meaning = escape(tr(c.result.meaning)) + (f", {escape(tr(c.result.rounding))}" if c.result.rounding else "")
        parts.append(f"<p>{tr('Gives {symbol}: {meaning}.', symbol=f'<math>{symbol_mathml(c.result.symbol)}</math>', meaning=meaning)}</p>")
    else:
        parts.append(f"<p>{tr('A procedure of several steps; its working shows each.')}</p>")
    if c.stability:
        words = tr(stability_words(c.result.kind if isinstance(c, Formula) else "text"))
        parts.append(f'<p class="sw-caution" data-word="{tr("Caution.")}">{tr("Its result is {what}.", what=words)}</p>')
    head = f"<tr><th>{tr('Input')}</th><th>{tr('Means')}</th><th>{tr('From and to')}</th></tr>"
    body = "".join(_input(i) for i in c.inputs)
    parts.append(_scroll(tr("Inputs of {calculation}", calculation=c.id), f"<thead>{head}</thead><tbody>{body}</tbody>"))
    if isinstance(c, Formula) and c.constants:
        told = (
            tr("{symbol} {meaning}, {us} or {metric}, {source}", symbol=f"<math>{symbol_mathml(k.symbol)}</math>", meaning=escape(tr(k.meaning)),
               us=escape(retold(k.us)), metric=escape(retold(k.metric)), source=_source(k.source, content))
            for k in c.constants
        )  # fmt: skip
        parts.append(f"<p>{tr('Constants: {list}.', list='; '.join(told))}</p>")
    sources = "; ".join(dict.fromkeys(_source(s, content) for s in (c.source, *c.also)))
    parts.append(f"<p>{tr('Source: {sources}.', sources=sources)}</p>")
    parts.append(f"<p>{tr('Holds for: {limits}', limits=escape(retold(tr(c.limits))))}</p>")
    rows = "".join(_check(r, content) for r in results)
    if rows:
        head = "<tr>" + "".join(f"<th>{tr(words)}</th>" for words in CHECK_HEADS) + "</tr>"
        parts.append(_scroll(tr("Checks of {calculation}", calculation=c.id), f"<thead>{head}</thead><tbody>{rows}</tbody>", "sw-checks"))
    second = _second_opinions(content.folder).get(c.id, [])
    if second:
        words = "; ".join(f"{escape(r['library'])} ({escape(tr(r['what']))})" for r in second)
        parts.append(f"<p>{tr('Second opinion of a library, in the tests: {libraries}.', libraries=words)}</p>")
    if not rows and not second:
        parts.append(f"<p>{tr('Checked through its parts and by the tests of the laws it must follow.')}</p>")
    return "<div>" + "".join(parts) + "</div>"


@cache
def _second_opinions(folder: Path) -> dict[str, list[dict[str, str]]]:
    return dict(load_plain((folder / "library-checks.yml").read_text("utf-8"), "content/library-checks.yml"))


def _range(i: Input) -> str:
    """Ends and default of an input as they are printed elsewhere, in both unit systems."""
    lines = []
    for system in SYSTEMS:
        low, high, *default = (
            str(Quantity.read(text, i.kind).in_system(system)).replace(" ", "\u00a0") for text in (i.low, i.high, i.default) if text
        )
        span = (
            tr("{low} to {high}, {default} if not given", low=low, high=high, default=default[0])
            if default
            else tr("{low} to {high}", low=low, high=high)
        )
        lines.append(escape(span))
    return "<br>".join(dict.fromkeys(lines))


def _name(name: str) -> str:
    """The name of an input. It may go on in the next line after each of its words."""
    return f"<code>{escape(name).replace('_', '_<wbr>')}</code>"


def _input(i: object) -> str:
    if isinstance(i, Input):
        return (
            f'<tr><td class="sw-words-cell">{_name(i.name)} <math>{symbol_mathml(i.symbol)}</math></td>'
            f'<td class="sw-words-cell">{escape(tr(i.meaning))}</td><td>{_range(i)}</td></tr>'
        )
    options = ", ".join(map(tr, getattr(i, "options", ())))
    return (
        f'<tr><td class="sw-words-cell">{_name(getattr(i, "name", ""))}</td>'
        f'<td class="sw-words-cell">{escape(tr(getattr(i, "meaning", "")))}</td><td>{escape(options)}</td></tr>'
    )


def _source(s: Source, content: Content) -> str:
    if s.key is None:
        return tr("common practice, no source") if s.standing == "common practice" else escape(retold(tr(s.place or "geometry")))
    source = content.sources[s.key]
    words = f'<a href="sources.html#{escape(s.key)}">{cited(source)}</a>'
    if s.place:
        words += ", " + (str if s.key.startswith(OWN) else in_english)(escape(retold(s.place)))
    return tr("{source} (from memory)", source=words) if s.standing == "from memory" else words


def _check(r: CheckResult, content: Content) -> str:
    check = r.check
    source = tr("Common practice, no source") if check.standing == "common practice" else tr("Worked by rule")
    if check.source:
        source = f'<a href="sources.html#{escape(check.source)}">{cited(content.sources[check.source])}</a>'
    if check.place and not check.place.startswith("common practice"):
        source += ", " + in_english(escape(retold(check.place)))
    if check.erratum is not None:
        wrong = tr(
            "The source prints {figure}, which is wrong: {why}", figure=escape(check.erratum.printed), why=escape(tr(check.erratum.why))
        )
        source += f". {wrong}"
    if check.why:
        source += f". {tr('Met to {within}: {why}', within=escape(retold(tr(check.within_text))), why=escape(retold(tr(check.why))))}"
    # a phone shows the head's words beside each cell, see seatwork.css
    says, gets, differs = (
        f'<td data-head="{tr(head)}">{escape(_figure_or_words(text))}</td>'
        for head, text in zip(CHECK_HEADS[1:4], (r.says, r.gets, r.differs), strict=True)
    )
    return (
        f'<tr><td class="sw-words-cell">{source}</td>{says}{gets}{differs}'
        f'<td class="sw-words-cell" data-head="{tr(CHECK_HEADS[4])}">{escape(standing_words(check))}</td></tr>'
    )


def _figure_or_words(text: str) -> str:
    """A figure as it stands, or words in the language of the page, a figure in them in the writing of the site."""
    return text if text[:1].isdigit() or text[:1] in "−-<>" else _FIGURE.sub(lambda m: pointed(m[0]), tr(text))


def _symbols(content: Content) -> str:
    rows: dict[tuple[str, str], str] = {}
    for c in _told(content):
        if isinstance(c, Formula):
            named: list[Output | Input | Constant] = [c.result, *c.inputs, *c.constants]
            for one in named:
                rows.setdefault((one.symbol, tr(one.meaning).removeprefix("the ")), one.kind)
    body = "".join(
        f'<tr><td class="sw-words-cell"><math>{symbol_mathml(s)}</math></td><td class="sw-words-cell">{escape(m)}</td>'
        f"<td>{escape(_units(kind))}</td></tr>"
        for (s, m), kind in sorted(rows.items(), key=lambda r: (r[0][0].lower(), r[0][1]))
    )
    head = f"<tr><th>{tr('Symbol')}</th><th>{tr('Means')}</th><th>{tr('Units')}</th></tr>"
    return "\n\n".join(
        [f"# {tr('Symbols and units')}", retold(tr("Tons are short tons of 2,000 lb where units are US customary; t is the metric tonne of "
         "1,000 kg. Bank, loose and compacted volumes are kept apart.")),
         _scroll(tr("Symbols and units"), f"<thead>{head}</thead><tbody>{body}</tbody>"), ""]
    )  # fmt: skip


def _units(kind: str) -> str:
    k = KINDS[kind]
    us, metric = UNITS[k.us].printed, UNITS[k.metric].printed
    if not us and not metric:
        return tr("plain number")
    return us if us == metric else tr("{us} or {metric}", us=us, metric=metric)


def _tables(content: Content) -> str:
    told = tr("Figures and units are as printed in the source. Your own value, in your tables, goes first.")
    out = [f"# {tr('Published tables')}", "", told, ""]
    for table in (t for t in content.tables.values() if t.columns):
        out += [f"## {safe(tr(table.title))} {{#{escape(table.id)}}}", "", _table(table, content), ""]
    return "\n".join(out)


def _table(table: Table, content: Content) -> str:
    head = "".join(
        f"<th>{escape(tr(c))}{f' [{escape(UNITS[u].printed if u in UNITS else u)}]' if (u := table.units.get(c, '1')) not in {'1', ''} else ''}</th>"
        for c in table.columns
    )
    body = ""
    for name, cells in table.rows.items():
        own = table.row_units.get(name, "1")
        of_row = tr(UNITS[own].label) if own in UNITS and own != "1" else ""
        tds = "".join(
            f"<td>{escape(f'{_cell(cell.text, table.units.get(c, own))} {of_row}'.strip()) if (cell := cells.get(c)) else ''}</td>"
            for c in table.columns
        )
        body += f'<tr><th scope="row">{escape(tr(name))}</th>{tds}</tr>'
    note = f'<p class="sw-note">{escape(tr(table.note))}</p>' if table.note else ""
    source = f'<a href="sources.html#{escape(table.source)}">{cited(content.sources[table.source])}</a>'
    source += ", " + (str if table.source.startswith(OWN) else in_english)(escape(table.place))
    if table.seen == "from memory":
        source = tr("{source} (from memory)", source=source)
    return (
        "<div>" + _scroll(tr(table.title), f"<thead><tr><td></td>{head}</tr></thead><tbody>{body}</tbody>")
        + f'<p class="sw-source">{tr("Source: {sources}.", sources=source)}</p>{note}</div>'
    )  # fmt: skip


_FIGURE = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def _cell(text: str, unit: str) -> str:
    """A figure of a published table, or the ends of a range, as figures are written now."""
    system = UNITS[unit].system if unit in UNITS else None
    return _FIGURE.sub(lambda m: written(Decimal(m[0]), system), text.replace(",", "")) if text[:1].isdigit() else text


def _sources(content: Content) -> str:
    out = [f"# {tr('Sources')}", "", tr("All sources of the calculations, tables and checks. A note says how much of it was read."), ""]
    for kind, title in SOURCE_KINDS.items():
        of_kind = sorted((content.sources.cite(k), k) for k in content.sources if content.sources[k].kind == kind)
        if of_kind:
            out += [f"## {tr(title)}", ""]
        for _, key in of_kind:
            note = f" {safe(tr(note))}" if (note := content.sources[key].note) else ""
            out += [f'<p id="{escape(key)}">{cited(content.sources[key])}.{note}</p>', ""]
    return "\n".join(out)


def _scroll(label: str, inner: str, more: str = "") -> str:
    return (
        f'<div class="sw-scroll sw-long" tabindex="0" role="region" aria-label="{escape(label)}">'
        f'<table class="sw-table{" " * bool(more)}{more}" data-search-exclude>{inner}</table></div>'
    )
