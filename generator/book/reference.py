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
from generator.book.words import bullets, safe
from generator.calc.catalogue import TOPICS, Calculation, calculations
from generator.calc.formula import Constant, Formula, Input, Output, Source
from generator.calc.tables import Table
from generator.reference.checks import GROUPS, Check, CheckResult, tally
from generator.reference.checks import load as load_checks
from generator.reference.checks import run as run_check
from generator.source.yamltext import load_plain
from generator.units.quantity import Quantity, retold
from generator.units.table import KINDS, SYSTEMS, UNITS
from generator.units.writing import counted, current, written
from generator.working.explain import formula_html, stability_words
from generator.working.printing import symbol_mathml

TITLES = {
    "grade": "Grades", "soil": "Bank, loose, compacted", "dozing": "Dozing", "loading": "Loading trucks",
    "slopes": "Slopes and tipping", "trench": "Trenches", "lines": "Power lines and buried lines",
    "wear": "Wear", "compact": "Compact excavators", "daily": "Checks of the day", "seeing": "Seeing people",
    "hauling": "Haul roads and tips", "lifting": "Lifting with the bucket", "placing": "Placing and compacting",
    "moving": "Moving a machine", "instruments": "Instruments",
}  # fmt: skip
# what a reader types is looked for in the lessons first: the site builder's search weighs these pages less
_LAST_IN_SEARCH = "---\nsearch: {boost: 0.2}\n---\n\n"
# kinds of sources as headings, the strongest first
SOURCE_KINDS = {
    "regulation": "Laws and rules", "standard": "Standards", "manual": "Manuals", "agency form": "Forms of public agencies",
    "book": "Books", "article": "Articles", "lecture notes": "Lecture notes", "coursework": "Coursework",
    "question bank": "Question banks", "trade press": "Trade press", "library": "Program libraries",
}  # fmt: skip
STANDINGS = {
    "published": "published", "common practice": "common practice, no source", "derived": "derived",
    "library": "second opinion of a library",
}  # fmt: skip
CHECK_HEADS = ("Check", "Source says", "We get", "Differs", "Kind of check")


def anchor(id_: str) -> str:
    """The anchor of a calculation on its page."""
    return id_.replace(".", "-").replace("_", "-")


def standing_words(check: Check) -> str:
    """What kind of check it is, for a reader."""
    words = STANDINGS.get(check.standing, check.standing)
    return f"{words}, from memory" if check.seen == "from memory" else words


def reference_pages(content: Content) -> tuple[dict[str, str], list[dict[str, str]]]:
    """The pages by path and their navigation. Of the same checks, tables, sources and way of writing they are made once for several sites."""
    _second_opinions.cache_clear()  # a preview may have them changed
    made_of = (load_checks(content.folder), content.tables, content.sources, _second_opinions(content.folder), current())
    if not _MADE or _MADE[0][0] != made_of:
        _MADE[:] = [(made_of, *_pages(content))]
    _, pages, nav = _MADE[0]
    return dict(pages), [dict(entry) for entry in nav]


_MADE: list[tuple[tuple[object, ...], dict[str, str], list[dict[str, str]]]] = []  # the last ones, and what they were made of


def _pages(content: Content) -> tuple[dict[str, str], list[dict[str, str]]]:
    done: dict[str, list[CheckResult]] = {}
    for check in load_checks(content.folder):
        done.setdefault(check.calculation, []).append(run_check(check, content.tables))
    pages = {"reference/index.md": _front(content, done)}
    nav = [{"How to read this chapter": "reference/index.md"}]
    for topic in TOPICS:
        rows = [c for c in calculations().values() if c.id.startswith(f"{topic}.")]
        if rows:
            pages[f"reference/{topic}.md"] = _topic(topic, rows, content, done)
            nav.append({TITLES[topic]: f"reference/{topic}.md"})
    pages["reference/symbols.md"] = _symbols()
    pages["reference/tables.md"] = _tables(content)
    pages["reference/sources.md"] = _sources(content)
    nav += [{"Symbols and units": "reference/symbols.md"}, {"Published tables": "reference/tables.md"},
            {"Sources": "reference/sources.md"}]  # fmt: skip
    return {name: _LAST_IN_SEARCH + text for name, text in pages.items()}, nav


def reference_chapter(content: Content) -> Chapter:
    """The chapter's pages, its place in the navigation, and how many figures the checks rest on."""
    return *reference_pages(content), rests_on(content)


def rests_on(content: Content) -> dict[str, int]:
    """How many different figures the checks rest on, by the names of ``checks.GROUPS``."""
    opinions = ((row["library"], id_) for id_, rows in _second_opinions(content.folder).items() for row in rows)
    return tally(load_checks(content.folder), opinions)


def _front(content: Content, done: Mapping[str, list[CheckResult]]) -> str:
    rows: dict[str, list[str]] = {}
    for c in calculations().values():
        results = done.get(c.id, [])
        kinds = sorted({standing_words(r.check) for r in results})
        if c.id in _second_opinions(content.folder):
            kinds = [k for k in kinds if k != STANDINGS["library"]] + ["second opinion in the tests"]
        topic = c.id.partition(".")[0]
        rows.setdefault(topic, []).append(
            f'<tr><td class="sw-words-cell"><a href="{topic}.html#{anchor(c.id)}">{escape(c.title)}</a></td>'
            f'<td>{len(results)}</td><td class="sw-words-cell">{escape("; ".join(kinds) or "see its parts")}</td></tr>'
        )
    head = "<tr><th>Calculation</th><th>Checks</th><th>What they are</th></tr>"
    parts = []
    for topic in (t for t in TOPICS if t in rows):
        table = f"<thead>{head}</thead><tbody>{''.join(rows[topic])}</tbody>"
        parts += [f"## {TITLES[topic]}", _scroll(f"{TITLES[topic]}: calculations and their checks", table)]
    return "\n\n".join(
        [
            "# Where the numbers come from",
            "Every number of this handbook is worked by one of these calculations. Each is checked against "
            "something outside: a printed worked example, a published table, a rule of the trade or a second "
            "opinion by a general library.",
            "A check is *published* where the source's own printed digits are met, *derived* where the figure follows "
            "from a published rule, *common practice* where the trade does it so and no source is named, and *from "
            "memory* where the source was not at hand to be read. A *second opinion* is the same figure worked out by a "
            "general library of programs, another way.",
            "In all, a figure that checks two calculations counted once:",
            bullets([f"{counted(number)} {GROUPS[name]}" for name, number in rests_on(content).items()]),
            *parts,
            "",
        ]
    )


def _topic(topic: str, rows: list[Calculation], content: Content, done: Mapping[str, list[CheckResult]]) -> str:
    links = bullets([f'<a href="#{anchor(c.id)}">{escape(c.title)}</a>' for c in rows])
    out = [f"# {TITLES[topic]}: calculations", "", f'<div class="sw-on-page" data-search-exclude>{links}</div>', ""]
    for c in rows:
        out += [f"## {safe(c.title)} {{#{anchor(c.id)}}}", "", _one(c, content, done.get(c.id, [])), ""]
    return "\n".join(out)


def _one(c: Calculation, content: Content, results: Iterable[CheckResult]) -> str:
    parts = [f"<p><code>{escape(c.id)}</code></p>"]
    if c.words:
        parts.append(f"<p>{escape(c.words)}</p>")
    if isinstance(c, Formula):
        parts.append(formula_html(c))
        parts.append(f"<p>Gives <math>{symbol_mathml(c.result.symbol)}</math>: {escape(c.result.meaning)}"
                     + (f", {escape(c.result.rounding)}" if c.result.rounding else "") + ".</p>")  # fmt: skip
    else:
        parts.append("<p>A procedure of several steps; its working shows each.</p>")
    if c.stability:
        parts.append(
            '<p class="sw-caution">Its result is ' + stability_words(c.result.kind if isinstance(c, Formula) else "text") + ".</p>"
        )
    head = "<tr><th>Input</th><th>Means</th><th>From and to</th></tr>"
    body = "".join(_input(i) for i in c.inputs)
    parts.append(_scroll(f"Inputs of {c.id}", f"<thead>{head}</thead><tbody>{body}</tbody>"))
    if isinstance(c, Formula) and c.constants:
        parts.append(
            "<p>Constants: " + "; ".join(
                f"<math>{symbol_mathml(k.symbol)}</math> {escape(k.meaning)}, {escape(retold(k.us))} or {escape(retold(k.metric))}, "
                f"{_source(k.source, content)}" for k in c.constants
            ) + ".</p>"
        )  # fmt: skip
    parts.append(f"<p>Source: {'; '.join(dict.fromkeys(_source(s, content) for s in (c.source, *c.also)))}.</p>")
    parts.append(f"<p>Holds for: {escape(retold(c.limits))}</p>")
    rows = "".join(_check(r, content) for r in results)
    if rows:
        head = "<tr>" + "".join(f"<th>{words}</th>" for words in CHECK_HEADS) + "</tr>"
        parts.append(_scroll(f"Checks of {c.id}", f"<thead>{head}</thead><tbody>{rows}</tbody>", "sw-checks"))
    second = _second_opinions(content.folder).get(c.id, [])
    if second:
        words = "; ".join(f"{escape(r['library'])} ({escape(r['what'])})" for r in second)
        parts.append(f"<p>Second opinion of a library, in the tests: {words}.</p>")
    if not rows and not second:
        parts.append("<p>Checked through its parts and by the tests of the laws it must follow.</p>")
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
        lines.append(escape(f"{low} to {high}" + (f", {default[0]} if not given" if default else "")))
    return "<br>".join(dict.fromkeys(lines))


def _name(name: str) -> str:
    """The name of an input. It may go on in the next line after each of its words."""
    return f"<code>{escape(name).replace('_', '_<wbr>')}</code>"


def _input(i: object) -> str:
    if isinstance(i, Input):
        return (
            f'<tr><td class="sw-words-cell">{_name(i.name)} <math>{symbol_mathml(i.symbol)}</math></td>'
            f'<td class="sw-words-cell">{escape(i.meaning)}</td><td>{_range(i)}</td></tr>'
        )
    options = ", ".join(getattr(i, "options", ()))
    return (
        f'<tr><td class="sw-words-cell">{_name(getattr(i, "name", ""))}</td>'
        f'<td class="sw-words-cell">{escape(getattr(i, "meaning", ""))}</td><td>{escape(options)}</td></tr>'
    )


def _source(s: Source, content: Content) -> str:
    if s.key is None:
        return "common practice, no source" if s.standing == "common practice" else escape(retold(s.place or "geometry"))
    words = f'<a href="sources.html#{escape(s.key)}">{escape(content.sources.cite(s.key))}</a>'
    if s.place:
        words += f", {escape(retold(s.place))}"
    return words + (" (from memory)" if s.standing == "from memory" else "")


def _check(r: CheckResult, content: Content) -> str:
    check = r.check
    source = "Common practice, no source" if check.standing == "common practice" else "Worked by rule"
    if check.source:
        source = f'<a href="sources.html#{escape(check.source)}">{escape(content.sources.cite(check.source))}</a>'
    if check.place and not check.place.startswith("common practice"):
        source += f", {escape(retold(check.place))}"
    if check.erratum is not None:
        source += f". The source prints {escape(check.erratum.printed)}, which is wrong: {escape(check.erratum.why)}"
    if check.why:
        source += f". Met to {escape(retold(check.within_text))}: {escape(retold(check.why))}"
    # a phone shows the head's words beside each cell, see seatwork.css
    says, gets, differs = (
        f'<td data-head="{head}">{escape(text)}</td>' for head, text in zip(CHECK_HEADS[1:4], (r.says, r.gets, r.differs), strict=True)
    )
    return (
        f'<tr><td class="sw-words-cell">{source}</td>{says}{gets}{differs}'
        f'<td class="sw-words-cell" data-head="{CHECK_HEADS[4]}">{escape(standing_words(check))}</td></tr>'
    )


def _symbols() -> str:
    rows: dict[tuple[str, str], str] = {}
    for c in calculations().values():
        if isinstance(c, Formula):
            named: list[Output | Input | Constant] = [c.result, *c.inputs, *c.constants]
            for one in named:
                rows.setdefault((one.symbol, one.meaning.removeprefix("the ")), one.kind)
    body = "".join(
        f'<tr><td class="sw-words-cell"><math>{symbol_mathml(s)}</math></td><td class="sw-words-cell">{escape(m)}</td>'
        f"<td>{escape(_units(kind))}</td></tr>"
        for (s, m), kind in sorted(rows.items(), key=lambda r: (r[0][0].lower(), r[0][1]))
    )
    head = "<tr><th>Symbol</th><th>Means</th><th>Units</th></tr>"
    return "\n\n".join(
        ["# Symbols and units", retold("Tons are short tons of 2,000 lb where units are US customary; t is the metric tonne of "
         "1,000 kg. Bank, loose and compacted volumes are kept apart."),
         _scroll("Symbols and units", f"<thead>{head}</thead><tbody>{body}</tbody>"), ""]
    )  # fmt: skip


def _units(kind: str) -> str:
    k = KINDS[kind]
    us, metric = UNITS[k.us].label, UNITS[k.metric].label
    if not us and not metric:
        return "plain number"
    return us if us == metric else f"{us} or {metric}"


def _tables(content: Content) -> str:
    out = ["# Published tables", "", "Figures and units are as printed in the source. Your own value, in your tables, goes first.", ""]
    for table in content.tables.values():
        out += [f"## {safe(table.title)} {{#{escape(table.id)}}}", "", _table(table, content), ""]
    return "\n".join(out)


def _table(table: Table, content: Content) -> str:
    head = "".join(
        f"<th>{escape(c)}{f' [{escape(UNITS[u].label if u in UNITS else u)}]' if (u := table.units.get(c, '1')) not in {'1', ''} else ''}</th>"
        for c in table.columns
    )
    body = ""
    for name, cells in table.rows.items():
        tds = "".join(
            f"<td>{escape(_cell(cell.text, table.units.get(c, '1'))) if (cell := cells.get(c)) else ''}</td>" for c in table.columns
        )
        body += f'<tr><th scope="row">{escape(name)}</th>{tds}</tr>'
    seen = " (from memory)" if table.seen == "from memory" else ""
    note = f'<p class="sw-note">{escape(table.note)}</p>' if table.note else ""
    source = f'<a href="sources.html#{escape(table.source)}">{escape(content.sources.cite(table.source))}</a>'
    return (
        "<div>" + _scroll(table.title, f"<thead><tr><td></td>{head}</tr></thead><tbody>{body}</tbody>")
        + f'<p class="sw-source">Source: {source}, {escape(table.place)}{seen}.</p>{note}</div>'
    )  # fmt: skip


_FIGURE = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def _cell(text: str, unit: str) -> str:
    """A figure of a published table, or the ends of a range, as figures are written now."""
    system = UNITS[unit].system if unit in UNITS else None
    return _FIGURE.sub(lambda m: written(Decimal(m[0]), system), text.replace(",", "")) if text[:1].isdigit() else text


def _sources(content: Content) -> str:
    out = ["# Sources", "", "All sources of the calculations, tables and checks. A note says how much of it was read.", ""]
    for kind, title in SOURCE_KINDS.items():
        cited = sorted((content.sources.cite(k), k) for k in content.sources if content.sources[k].kind == kind)
        if cited:
            out += [f"## {title}", ""]
        for words, key in cited:
            note = f" {safe(note)}" if (note := content.sources[key].note) else ""
            out += [f'<p id="{escape(key)}">{escape(words)}.{note}</p>', ""]
    return "\n".join(out)


def _scroll(label: str, inner: str, more: str = "") -> str:
    return (
        f'<div class="sw-scroll sw-long" tabindex="0" role="region" aria-label="{escape(label)}">'
        f'<table class="sw-table{" " * bool(more)}{more}" data-search-exclude>{inner}</table></div>'
    )
