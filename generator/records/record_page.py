"""Records as pages: one for a person, one for a lesson, and an index. They are printed, filed and shown to inspectors."""

from __future__ import annotations

import datetime
import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from html.parser import HTMLParser

from generator.book.foot import page_foot
from generator.book.guard import guarded
from generator.jobsite.columns import ON_FOOT
from generator.language.names import language_name
from generator.language.words import current, mark, ntr, tr
from generator.records.changed import TableChange
from generator.records.record import Head, LessonPart, LessonRecord, Number, PersonRecord, Trained, Try, named
from generator.records.wording import worded
from generator.units.writing import counted, pointed

MOST_LEFT_OUT = 12  # things that are flagged, each with a line
CAUTION = mark(
    "This record is no permit and no licence. It tells what was taught, tested and seen. Who runs a machine today is decided "
    "by the site's competent person, the machine's manual and the rules of the place."
)


@dataclass(frozen=True, slots=True)
class SealOn:
    """A seal on a page: its text, its picture as SVG, and what the key is told by."""

    text: str
    picture: str
    key: str


@dataclass(frozen=True, slots=True)
class Listed:
    """A line of the index: where the page is, and its PDF where there is one."""

    record: PersonRecord
    page: str
    pdf: str = ""


_STYLE = """
* { box-sizing: border-box; }
html { color-scheme: light dark; --line: #8a938f; --head: #e9eeec; --page: #fdfcf8; --ink: #15201e; --mark: #14564f; }
@media (prefers-color-scheme: dark) { html { --line: #7f8d89; --head: #1c2927; --page: #101817; --ink: #eef3f1; --mark: #8fd3c8; } }
body { margin: 0 auto; padding: 16px; max-width: 60em; font: 16px/1.4 system-ui, "Segoe UI", Roboto, "Noto Sans", sans-serif; color: var(--ink); background: var(--page); overflow-wrap: break-word; }
h1 { font-size: 1.5em; margin: 0 0 .2em; line-height: 1.2; } h2 { font-size: 1.1em; margin: 1.4em 0 .3em; }
p { margin: .4em 0; } a { color: var(--mark); }
.note { border-left: 6px solid var(--mark); padding: .1em .8em; }
dl { display: flex; flex-wrap: wrap; gap: .1em 1.5em; margin: .6em 0; }
dl div { flex: auto; border-bottom: 1px solid var(--line); padding: .1em 0; } dt { display: inline; font-weight: 600; margin-right: .4em; } dd { display: inline; margin: 0; }
.whole { flex-basis: 100% !important; }
table { border-collapse: collapse; width: 100%; margin: .2em 0 .8em; }
.set { table-layout: fixed; }
@media screen and (min-width: 40em) { .set { font-size: .875em; } .set th, .set td { padding-left: .4em; padding-right: .4em; } }
caption { text-align: left; font-weight: 600; padding: .2em 0; }
th, td { border: 1px solid var(--line); padding: .25em .4em; text-align: left; vertical-align: top; font-weight: 400; }
thead th { background: var(--head); font-weight: 600; vertical-align: bottom; } b { font-weight: 600; }
.first > * { border-bottom: 0; padding-bottom: 0; } .more > * { border-top: 0; padding-top: 0; font-size: .86em; }
.small { font-size: .86em; } .now { white-space: nowrap; } ul { margin: .2em 0; padding-left: 1.2em; }
.sign { display: grid; grid-template-columns: repeat(auto-fit, minmax(15em, 1fr)); gap: .4em 1.5em; }
.sign p { margin: 0; } .rule { display: block; border-bottom: 1.5px solid var(--ink); height: 2.3em; }
.blank { display: inline-block; min-width: 8em; max-width: 100%; border-bottom: 1.5px solid var(--ink); height: 1.1em; vertical-align: bottom; }
.tick { display: inline-block; margin-right: 1em; } .tick::before { content: ""; display: inline-block; width: .8em; height: .8em; border: 1.5px solid var(--ink); margin-right: .4em; vertical-align: -.08em; }
.seal { display: flex; gap: 1em; align-items: flex-start; border-top: 2px solid var(--line); margin-top: 1em; padding-top: .6em; }
.seal .code { flex: none; width: 12em; max-width: 45vw; background: #fff; line-height: 0; } .seal svg { width: 100%; height: auto; }
code { font: .8em/1.35 ui-monospace, "DejaVu Sans Mono", Consolas, monospace; overflow-wrap: anywhere; }
summary { min-height: 48px; padding: .7em 0; cursor: pointer; font-weight: 600; }
@media screen and (max-width: 39.99em) {
  .stack, .stack tbody, .stack tr, .stack th, .stack td, .stack caption { display: block; border: 0; }
  .stack thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .stack colgroup { display: none; } .stack tbody { padding: .4em 0; border-bottom: 2px solid var(--line); } .stack th, .stack td { padding: .1em 0; }
  .stack td:empty { display: none; } .stack .more td::before { content: none; } .stack td::before { content: attr(data-head) ": "; font-weight: 600; }
  .seal { flex-direction: column; } .seal .code { max-width: 16em; width: 100%; }
}
@media print {
  html { color-scheme: light; --line: #000; --head: #fff; --page: #fff; --ink: #000; --mark: #000; }
  body { font-size: 8.5pt; line-height: 1.2; max-width: none; padding: 0 .5pt; } h1 { font-size: 14pt; } h2 { font-size: 10pt; margin: 4pt 0 1pt; }
  th, td { border-width: .5pt; padding: .6pt 3pt; } table { margin: 1pt 0 2pt; } dl { gap: 0 10pt; margin: 3pt 0; } dl div { border-bottom-width: .5pt; padding: 1pt 0 0; }
  p { margin: 2pt 0; } .note { border-left-width: 3pt; } .small, table, .more > * { font-size: 8pt; line-height: 1.15; } ul { margin: 0; }
  .stack tbody, .sign, .seal, .keep { break-inside: avoid; } thead { display: table-header-group; } h2, caption { break-after: avoid; }
  .sign { grid-template-columns: repeat(3, 1fr); gap: 3pt 12pt; } .rule { height: 16pt; border-bottom-width: .8pt; } .blank { border-bottom-width: .8pt; }
  .seal { margin-top: 4pt; padding-top: 3pt; border-top-width: .8pt; gap: 8pt; } .seal .code { width: 30mm; max-width: none; } .screen, details { display: none; } a { color: inherit; text-decoration: none; }
}
"""


def _said(text: object) -> str:
    """Text for the page: no markup of it does anything, and it can always be written."""
    clean = str(text).encode("utf-8", "replace").decode("utf-8")
    return escape("".join(ch if ch.isprintable() or ch == "\u202f" else "�" for ch in clean))


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]], more: Iterable[str] = (), widths: str = "") -> str:
    """A table whose rows become blocks on a phone; roles keep it a table for a screen reader. Cells are HTML.

    ``more`` is, for each row, what stands below it over the whole width in small letters; ``widths`` are those of the
    columns in percent.
    """
    below = list(more)
    body = []
    for i, (first, *cells) in enumerate(rows):
        line = "".join(f'<td role="cell" data-head="{_said(h)}">{c}</td>' for h, c in zip(heads[1:], cells, strict=True))
        kind = ' class="first"' if below else ""
        under = f'<tr role="row" class="more"><td role="cell" colspan="{len(heads)}">{below[i]}</td></tr>' if below else ""
        # a body of its own keeps a row and what stands below it on one page
        body.append(f'<tbody role="rowgroup"><tr role="row"{kind}><th scope="row" role="rowheader">{first}</th>{line}</tr>{under}</tbody>')
    head = "".join(f'<th scope="col" role="columnheader">{_said(h)}</th>' for h in heads)
    columns = "".join(f'<col style="width: {w}%">' for w in widths.split())
    kind, columns = ("stack set", f"<colgroup>{columns}</colgroup>") if widths else ("stack", "")
    return f'<table class="{kind}" role="table">{columns}<thead role="rowgroup"><tr role="row">{head}</tr></thead>{"".join(body)}</table>'


def _day(day: datetime.date | None) -> str:
    """A day that is never broken at its dashes."""
    return "" if day is None else f'<span class="now">{day}</span>'


def _tight(text: str) -> str:
    """A short text that is not broken at its dashes."""
    return f'<span class="now">{_said(text)}</span>'


def _hours(hours: float) -> str:
    return pointed(f"{hours:.1f}".removesuffix(".0")) + " h"


def _minutes(minutes: float | None) -> str:
    return "" if minutes is None else f"{max(1, round(minutes))} min"


def _machine(id_: str) -> str:
    """A machine's id; that there is none, in words."""
    return tr(ON_FOOT) if id_ == ON_FOOT else id_


# what is ticked on the page for mentors; the files have these words in every language
_CONDITIONS = frozenset({mark("dry"), mark("wet"), mark("slope"), mark("dust"), mark("dark"), mark("others close by")})


def _conditions(text: str) -> str:
    """Conditions as they were written, those that can be ticked in the language of the page."""
    return "; ".join(", ".join(tr(w) if w in _CONDITIONS else w for w in part.split(", ")) for part in text.split("; "))


def _spoken(code: str) -> str:
    return tr("in {language}", language=_said(language_name(code))) if code else ""


def _in_language(t: Try) -> str:
    return tr("in {language}", language=language_name(t.language)) if t.tell else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _some(found: Iterable[str]) -> str:
    return ", ".join(found)


def _fact(words: str, text: str, wide: bool = False) -> str:
    """A line of the head; what nobody has written down is left to be written by hand."""
    shown = _said(text) if text else '<span class="blank"></span>'
    return f"<div{' class=whole' if wide else ''}><dt>{words}</dt><dd>{shown}</dd></div>"


def _page(head: Head, title: str, body: str, after: str = "") -> str:
    paper = "A4" if head.paper == "a4" else "letter"
    # the head is repeated in the upper margin of every page
    margins = f"@page {{ size: {paper} portrait; margin: 12mm 12mm 9mm; }}\n" + page_foot(
        title, tr("as of {day}", day=head.day) if head.day else "", head.site
    ).replace("@bottom-right", "@top-right").replace("vertical-align: top; padding-top: 4pt", "vertical-align: bottom; padding-bottom: 4pt")
    return guarded(f"""<!doctype html>
<html lang="{current()}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,"><title>{_said(title)}</title><style>{_STYLE}{margins}</style></head>
<body>
<main>
{body}
</main>
{after}</body></html>
""")


# --- of a person ----------------------------------------------------------------------------


def person_body(r: PersonRecord) -> str:
    """Everything that the record says, without its seal."""
    head = r.head
    facts = [
        _fact(tr("Name"), r.name or tr("taken out: the id stands for the person")), _fact(tr("Crew id"), r.id),
        _fact(tr("Former id"), _some(r.former)) if r.former else "",
        _fact(tr("Role"), r.role or tr("none on this day")), _fact(tr("In the role since"), str(r.role_from or r.start or "")),
        _fact(tr("Started"), str(r.start or "")), _fact(tr("Left"), str(r.left)) if r.left else "",
        _fact(tr("Contractor"), head.contractor), _fact(tr("Site or mine"), head.site), _fact(tr("Its number, if any"), head.number),
        _fact(tr("Place of training"), head.place), _fact(tr("Edition of the handbook"), head.edition),
        _fact(tr("Language by the crew table"), language_name(r.language)) if r.language else "",
        _languages(r),
        _fact(tr("Type of training"), _some(r.kinds) or tr("none yet"), wide=True),
        _fact(tr("Trained or evaluated by"), _some(r.trained_by), wide=True),
        _fact(tr("Duration"), _duration(r), wide=True),
    ]  # fmt: skip
    out = [
        f"<h1>{tr('Training record: {who}', who=_said(r.who))}</h1>",
        f'<p class="small">{_site(head)} {_as_of(head)} {_register(head)}</p>',
        _taken_in(r),
        f'<p class="note">{tr(CAUTION)}</p>',
        f"<dl>{''.join(facts)}</dl>",
        _ready(r), _lessons(r), _signed(r), _seat(r), _talks(r), _orders(r), _changes(r.changes), _lines_to_sign(r),
    ]  # fmt: skip
    return "\n".join(x for x in out if x)


def person_page(r: PersonRecord, seal: SealOn | None = None, body: str | None = None) -> str:
    """The printable page of a person. ``body`` is what :func:`person_body` gave, where it is at hand."""
    body = person_body(r) if body is None else body
    return _page(r.head, tr("Training record: {who}", who=r.who), body, _seal(r, seal, body))


def _languages(r: PersonRecord) -> str:
    """In which languages the lessons were passed; nothing where the handbook has one and all was passed in it."""
    passed = [p.held for p in r.lessons if p.held and p.held.passed]
    if not passed or (len(r.head.languages) == 1 and not r.language and not any(t.tell for t in passed)):
        return ""
    told = Counter(t.language for t in passed)
    parts = [f"{language_name(code)} {n}" for code, n in sorted(told.items(), key=lambda x: (-x[1], x[0])) if code]
    if told[""]:
        parts.append(tr("not told {n}, so the site's main language, {language}", n=told[""], language=language_name(r.head.languages[0])))
    elsewhere = sum((t.language or r.head.languages[0]) != r.language for t in passed) if r.language else 0
    said = _fact(tr("Lessons passed in"), _some(parts), wide=True)
    if elsewhere:
        said += _fact(
            tr("Not in the language of the crew table"), tr("{n} of {all} lessons passed", n=elsewhere, all=len(passed)), wide=True
        )
    return said


def _site(head: Head) -> str:
    return tr("{site}, invented site.", site=_said(head.site)) if head.invented else f"{_said(head.site)}."


def _as_of(head: Head) -> str:
    return tr("As of {day}.", day=_said(head.day or tr("no day")))


def _register(head: Head) -> str:
    if head.row is None:
        return tr("Made from the files handed in; no register was kept.")
    row, chain = counted(head.row[0]), f"<code>{_said(head.row[1][:16])}</code>"
    if head.begun:
        return tr("Register begun on {day}: row {row}, chain {chain}.", day=_day(head.begun), row=row, chain=chain)
    return tr("Register: row {row}, chain {chain}.", row=row, chain=chain)


def _taken_in(r: PersonRecord) -> str:
    """When the register was told of what stands here, where that was later than the days here would let one think."""
    first = f"<b>{tr('Whose rows these are has to be said first.')}</b> {_said(r.doubt)}."
    told_not = tr(
        "The register holds what was taken in under this id, and none of it is told on this page: that it says not taken proves nothing."
    )
    doubt = f"<p>{first} {told_not}</p>"
    told = []
    if r.later:
        days = {"day": _day(r.head.day), "last": _day(r.later[1])}
        if r.later[0] == r.rows:
            told.append(tr("None of it was in the register yet on {day}; the last came in on {last}.", **days))
        else:
            told.append(tr("{n} of its {all} rows were not in the register yet on {day}; the last came in on {last}.",
                           n=counted(r.later[0]), all=counted(r.rows), **days))  # fmt: skip
    if r.once:
        told.append(tr("All of it was taken in on {day}, whatever day it bears.", day=_day(r.once)))
    return (doubt if r.doubt else "") + (f"<p><b>{tr('Told later.')}</b> {' '.join(told)}</p>" if told else "")


def _late(late: datetime.date | None) -> str:
    return tr("taken in on {day}", day=_day(late)) if late else ""


def _duration(r: PersonRecord) -> str:
    quiz, mentored = r.quiz_minutes, sum(s.mentored for s in r.seat)
    parts = [
        tr("{time} at the quizzes shown", time=_hours(quiz / 60) if quiz >= 60 else _minutes(quiz)) if quiz else "",
        tr("{time} watched by mentors", time=_hours(r.watched)) if r.watched else "",
        tr("{time} of seat time under a mentor", time=_hours(mentored)) if mentored else "",
    ]
    return _some(p for p in parts if p)


def _ready(r: PersonRecord) -> str:
    """What the person may do on that day, and what is missing."""
    if not r.known:
        gone = (
            tr("Nothing: on this day the person was not of this crew, and had left on {day}. What was recorded stands below.", day=_day(r.left))
            if r.left else tr("Nothing: on this day the person was not of this crew. What was recorded stands below.")
        )  # fmt: skip
        return f'<h2>{tr("Ready for")}</h2><p class="keep">{gone}</p>'
    rows = []
    for p in r.machines:
        first = f"<b>{_said(_some(map(_machine, p.machines)))}</b>" + (f"<br>{_said(_some((tr(p.kind), *p.classes)))}" if p.kind else "")
        seat = f"<b>{_said(p.state)}</b>" if p.ready else _said(p.state) + _gaps(p.gaps)
        if p.alone is None:
            alone = tr("the site has no rule for it")
        elif p.ready_alone:
            alone = f"<b>{tr('ready')}</b>"
        else:
            lacks = (*([tr("what seat time lacks")] if p.gaps else []), *p.alone)
            alone = f"{tr('not ready')}<ul>{''.join(f'<li>{_said(x)}</li>' for x in lacks)}</ul>"
        rows.append((first, seat, alone))
    out = f"<h2>{tr('Ready for')}</h2>"
    out += (
        _table(
            (tr("Machine"), tr("Seat time with a mentor, and what is missing"), tr("Working alone, and what is missing")),
            rows,
            (),
            "16 58 26",
        )
        if rows
        else f"<p>{tr('No machine is given to this person.')}</p>"
    )
    told = []
    if r.held:
        told.append(tr("Held, as somebody has to say which counts: {which}.", which=_some(f"{t}, {d}" for t, d in r.held)))
    if r.flagged:
        told.append(ntr("{n} more handed in under this id is flagged and left out here.", "{n} more handed in under this id are flagged and left out here.",
                        r.flagged))  # fmt: skip
    lines = "".join(f"<li>{_said(x)}</li>" for x in r.left_out[:MOST_LEFT_OUT])
    if len(r.left_out) > MOST_LEFT_OUT:
        lines += f"<li>{tr('and {n} more', n=len(r.left_out) - MOST_LEFT_OUT)}</li>"
    return out + "".join(f"<p>{_said(x)}</p>" for x in told) + (f"<ul class=small>{lines}</ul>" if lines else "")


def _gaps(gaps: Iterable[tuple[str, Sequence[str]]]) -> str:
    lines = (f"<li><b>{_said(tr(state))}</b>: {_said(' · '.join(found))}</li>" for state, found in gaps)
    return f"<ul class=small>{''.join(lines)}</ul>"


def _lessons(r: PersonRecord) -> str:
    if not r.lessons:
        return f"<h2>{tr('Lessons')}</h2><p>{tr('None.')}</p>"
    shown = _shown(r)
    heads = (tr("Lesson"), tr("Passed"), tr("Right"), tr("Signed off by, on, day"), tr("State"), tr("Holds until"))
    rows = ((f"<b>{_said(p.title)}</b>", _passed(p), _right(p.held), _signers(p), _state(p), _until(p)) for p in shown)
    missing: dict[str, list[str]] = {}
    for p in r.needed:
        if p not in shown:
            missing.setdefault(p.state or "", []).append(tr("{state}, signed off", state=p.title) if p.signed else p.title)
    needed = len(r.needed)
    out = (
        f"<h2>{tr('Lessons: {n} of {all} of the role passed on numbers that hold', n=r.passed, all=needed)}</h2>"
        if needed
        else f"<h2>{tr('Lessons')}</h2>"
    )
    out += _table(heads, rows, [_said_below(p) for p in shown], "31 11 7 28 12 11") if shown else f"<p>{tr('None taken yet.')}</p>"
    out += "".join(f"<p><b>{_said(_capital(tr(state)))}</b>: {_said(' · '.join(found))}</p>" for state, found in missing.items())
    if shown:
        out += (
            f'<p class="small"><b>{tr("Marked again here")}</b>: '
            + tr(
                "each answer was marked by the figures of its own edition, whatever the phone showed. Minutes run from the first question to the "
                "last. Days of quizzes are in UTC."
            )
            + f" <b>{tr('Row')}</b>: "
            + tr("of the register. Numbers are limits and sums of that edition.")
            + "</p>"
        )
    return out


def _shown(r: PersonRecord) -> list[LessonPart]:
    """The lessons that have a line; of the others there is nothing to tell but that they are missing."""
    return [p for p in r.lessons if p.held or not p.needed or p.state == "held"]


def _said_below(p: LessonPart) -> str:
    """What stands below a lesson: how it was marked, where it stands, and the numbers that it taught."""
    return " · ".join(x for x in (_how(p), _taught(p)) if x)


def _how(p: LessonPart) -> str:
    if p.held is None:
        return ""
    tries = ntr("{n} try", "{n} tries", p.tries)
    parts = [
        tr("Edition {edition}", edition=_said(p.held.edition)),
        _in_language(p.held),
        _said(p.held.marked),
        tries,
        _minutes(p.held.minutes),
        _rows((p.held.entry,)) if p.held.entry is not None else "",
        _late(p.held.late),
    ]
    if p.before:
        before = (
            _some(x for x in (tr("edition {edition}", edition=_said(t.edition)), _right(t), _in_language(t), _late(t.late)) if x)
            for t in p.before
        )
        parts.append(tr("passed too on {days}", days=_some(f"{_day(t.day)} ({more})" for t, more in zip(p.before, before, strict=True))))
    return _some(x for x in parts if x)


def _taught(p: LessonPart) -> str:
    if p.held is None:
        return ""
    if p.numbers is None:
        return tr("the ledger of its edition is not kept here")
    out = _numbers(p.numbers)
    if p.changed:
        out += f"{' · ' if out else ''}<b>{tr('changed since')}</b>: {_said('; '.join(p.changed[:3]))}"
    return out


def _numbers(numbers: Iterable[Number]) -> str:
    return " · ".join(f"{_said(n.words)} <b>{_said(n.text)}</b>" for n in numbers)


def _passed(p: LessonPart) -> str:
    if p.held is None:
        return ""
    return _day(p.held.day) if p.held.passed else tr("no; tried {day}", day=_day(p.held.day))


def _right(t: Try | None) -> str:
    return tr("{right} of {of}", right=t.right, of=t.of) if t else ""


def _until(p: LessonPart) -> str:
    return _day(p.until) + (f" <b>{tr('due')}</b>" if p.due else "")


def _signers(p: LessonPart) -> str:
    counting = [s for s in p.signed if s.counts]
    if not counting and p.signed:
        return tr("signed, and does not count now")
    return "<br>".join(
        f"{_said(s.short)}, {_tight(_machine(s.machine))}, {_day(s.day)}{f', {spoken}' if (spoken := _spoken(s.language)) else ''}"
        for s in counting
    )


def _state(p: LessonPart) -> str:
    if p.state is None:
        return tr("no lesson of the role")
    out = _said(tr(p.state)) if p.state != "ready" else f"<b>{tr('ready')}</b>"
    if p.state == "train again" and p.until and p.ordered and p.until < p.ordered.day:
        out += "<br>" + tr("had lapsed on {day}, before that", day=_day(p.until))
    if p.failed_since:
        out += "<br>" + tr("failed {day}, after it was passed", day=_day(p.failed_since))
    return out


def _signed(r: PersonRecord) -> str:
    if not r.signed:
        return f"<h2>{tr('Signed off by mentors')}</h2><p>{tr('Nothing yet.')}</p>"
    titles = {p.lesson: p.title for p in r.lessons}
    above = {p.lesson for p in _shown(r)}
    rows = []
    for s in r.signed:
        told = [i for i in s.lessons if i in above and i in s.counts]  # the table of lessons names each with this signature
        named_ = [
            titles.get(i, i) if i in s.counts else tr("{lesson} (does not count now)", lesson=titles.get(i, i))
            for i in s.lessons
            if i not in told
        ]
        lessons = _some(([ntr("{n} lesson above", "{n} lessons above", len(told))] if told else []) + named_)
        machine = _said(_some(dict.fromkeys(x for x in (_machine(s.machine), s.kind and tr(s.kind), s.machine_class) if x)))
        tie = _some(
            x for x in (_said(s.sheet and tr("sheet {sheet}", sheet=s.sheet)), _rows(s.entries), _late(s.late), _spoken(s.language)) if x
        )
        rows.append((_day(s.day), _said(s.mentor), machine, _said(_conditions(s.conditions)),
                     _hours(s.hours) if s.hours else "", _said(lessons), tie))  # fmt: skip
    heads = (tr("Day"), tr("Mentor"), tr("Machine"), tr("Conditions"), tr("Watched"), tr("Signed for"), tr("Sheet, rows"))
    return f"<h2>{tr('Signed off by mentors')}</h2>" + _table(heads, rows, (), "12 16 18 13 11 14 16")


def _rows(entries: Sequence[int]) -> str:
    """``row 7``, ``rows 7 to 9, 12``."""
    spans: list[list[int]] = []
    for e in sorted(set(entries)):
        if spans and e == spans[-1][1] + 1:
            spans[-1][1] = e
        else:
            spans.append([e, e])
    said = ", ".join(counted(a) if a == b else tr("{first} to {last}", first=counted(a), last=counted(b)) for a, b in spans)
    return ntr("row {which}", "rows {which}", len(set(entries)), which=said) if said else ""


def _seat(r: PersonRecord) -> str:
    needs = [
        tr("{time} under a mentor (the role needs {needed})", time=_hours(sum(s.mentored for s in r.seat)), needed=_hours(r.hours_needed))
        if r.hours_needed
        else "",
        tr("{time} of these on slopes (it needs {needed})", time=_hours(sum(s.slopes for s in r.seat)), needed=_hours(r.slopes_needed))
        if r.slopes_needed
        else "",
    ]
    said = _some(n for n in needs if n)
    title = f"<h2>{tr('Seat time')}{f': {said}' if said else ''}</h2>"
    if not r.seat:
        return title + f"<p>{tr('None is written down.')}</p>"
    rows = [
        (f"<b>{_said(s.machine)}</b>, {_said(tr(s.kind))}", _hours(s.hours), _hours(s.mentored), _hours(s.slopes),
         (tr("{first} to {last}", first=_day(s.first), last=_day(s.last)) if s.last != s.first else _day(s.first))
         + ("; " + tr("some of it taken in on {days}", days=_some(map(_day, s.late))) if s.late else ""), _said(_some(s.mentors)), _said(_some(s.tasks)))
        for s in r.seat
    ]  # fmt: skip
    return title + _table(
        (tr("Machine"), tr("In all"), tr("Mentored"), tr("On slopes"), tr("Days"), tr("Mentors"), tr("Tasks")),
        rows,
        (),
        "14 7 10 9 22 20 18",
    )


def _talks(r: PersonRecord) -> str:
    if not r.talks:
        return f"<h2>{tr('Tailgate talks')}</h2><p>{tr('None is written down.')}</p>"
    rows = []
    for t in r.talks:
        by_leader: dict[str, list[str]] = {}
        for at, (day, sheet, leader) in enumerate(t.held):
            more = _some(x for x in (_said(sheet), _spoken(t.language.get(at, "")), _late(t.late.get(at))) if x)
            by_leader.setdefault(leader, []).append(_day(day) + (f" ({more})" if more else ""))
        told = "; ".join(
            _some(days) + (", " + tr("led by {leader}", leader=_said(leader)) if leader else "") for leader, days in by_leader.items()
        )
        rows.append((f"<b>{_said(t.title)}</b>", told))
    return f"<h2>{tr('Tailgate talks: {n}', n=sum(len(t.held) for t in r.talks))}</h2>" + _table(
        (tr("About"), tr("Days (number of the sheet)")), rows
    )


def _orders(r: PersonRecord) -> str:
    out = ""
    if r.orders:
        rows = [
            (_day(o.day), _said(o.what), _said(o.why), tr("<b>stands</b>") if o.open else tr("met since"),
             _some(x for x in (_rows((o.entry,)) if o.entry is not None else "", _late(o.late)) if x))
            for o in r.orders
        ]  # fmt: skip
        out += f"<h2>{tr('Orders to train again')}</h2>" + _table((tr("From"), tr("Lesson"), tr("Why"), tr("State"), tr("Row")), rows)
    if r.said:
        said = [
            (_day(c.day), _said(c.about), _said(c.says) + ("; " + tr("this was taken out again") if c.undone else ""), _said(c.by), _said(c.why),
             _some(x for x in (_rows((c.entry,)) if c.entry is not None else "", _late(c.late)) if x))
            for c in r.said
        ]  # fmt: skip
        out += f"<h2>{tr('Corrections')}</h2>" + _table((tr("Day"), tr("Of"), tr("It says"), tr("By"), tr("Why"), tr("Row")), said)
    return out


def _changes(changes: Sequence[TableChange]) -> str:
    """What was changed in the tables that this rests on, and when the register was told of it."""
    if not changes:
        return ""
    rows = [(_day(c.day), _said(worded(c.about)), _said(worded(c.words)), _rows((c.entry,))) for c in changes]
    return f"<h2>{tr('Changed in the tables since the register was begun')}</h2>" + _table(
        (tr("Told on"), tr("Table"), tr("What"), tr("Row")), rows, (), "13 19 54 14"
    )


def _lines_to_sign(r: PersonRecord) -> str:
    def line(words: str) -> str:
        return f'<p><span class="rule"></span><span class="small">{words}</span></p>'

    who = _said(r.who)
    ticks = "".join(
        f'<span class="tick">{w}</span>'
        for w in (
            tr("new person"),
            tr("newly hired, experienced"),
            tr("new task"),
            tr("yearly refresher"),
            tr("training again"),
            tr("other"),
        )
    )
    return (
        f'<section class="keep"><h2>{tr("Signed")}</h2>'
        f"<p class=small>{tr('This training was for a:')} {ticks}</p>"
        f"<p class=small>{tr('Class time and other hours not told above, who taught then, and where:')} "
        '<span class="blank" style="min-width: 22em"></span></p>'
        '<div class="sign">'
        + line(tr("{who}: I was trained in this. Signature, day", who=who))
        + line(tr("Mentor or competent person: I taught or saw it. Name, signature, day"))
        + line(tr("Answerable for training: I certify that this was completed. Name, signature, day"))
        + '</div><p class="small">'
        + tr(
            "Where a rule wants words of its own on a record (30 CFR 46.9 does, on false certification), they stand above the last signature."
        )
        + "</p></section>"
    )


def _seal(r: PersonRecord, seal: SealOn | None, body: str) -> str:
    digest = text_digest(body)
    told = tr("Digest of the text above: {digest}.", digest=f"<code>{in_groups(digest)}</code>")
    if seal is None:
        return f'<aside class="small" aria-label="{tr("Digest")}">{told} {tr("It bears no seal, as the site has no key.")}</aside>\n'
    return (
        f'<aside aria-label="{tr("Seal")}"><div class="seal"><div class="code">' + seal.picture + '</div><div class="small">'
        f"<p><b>{tr('The seal.')}</b> {tr('Made with key {key}.', key=f'<code>{_said(seal.key)}</code>')} {told} "
        + tr(
            "To check it, read the code with a phone and give its text to {command} with the site's {file}.",
            command="<code>seatwork record --check</code>",
            file="<code>key.pub</code>",
        )
        + f"</p><p><b>{tr('It proves')}</b> "
        + tr(
            "that whoever held this site's key wrote these facts on that day, and that nothing of them was changed "
            "since: name, id, role, machines, how many lessons are ready, and the digest of this text."
        )
        + f"</p><p><b>{tr('It does not prove')}</b> "
        + tr("that the facts are true, that the bearer is the person, that the person did the quizzes, or that nothing has happened since.")
        + "</p></div></div>"
        f'<details><summary>{tr("The seal as text")}</summary><p><code id="seal">{_said(seal.text)}</code></p></details></aside>\n'
    )


def in_groups(digest: str) -> str:
    """A digest as it is printed, so that two can be compared by eye."""
    return " ".join(digest[i : i + 4] for i in range(0, len(digest), 4))


# --- what a page says -----------------------------------------------------------------------


class _Text(HTMLParser):
    """The words within ``main``, and the text of the seal, however the page is laid out."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.inside = self.sealed = False
        self.words: list[str] = []
        self.seal: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.inside |= tag == "main"
        self.sealed |= tag == "code" and ("id", "seal") in attrs

    def handle_endtag(self, tag: str) -> None:
        self.inside &= tag != "main"
        self.sealed &= tag != "code"

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.words += data.split()
        if self.sealed:
            self.seal.append(data)


def text_digest(body: str) -> str:
    """The first 32 hex digits of the SHA-256 of a page's words, one space between them; markup counts for nothing."""
    return _digest(_read(f"<main>{body}</main>").words)


def of_page(html: str) -> tuple[str, str]:
    """The seal's text ('' without one) and the digest of the words of a record's page."""
    read = _read(html)
    return "".join(read.seal).strip(), _digest(read.words)


def _read(html: str) -> _Text:
    out = _Text()
    out.feed(html)
    out.close()
    return out


def _digest(words: Sequence[str]) -> str:
    return hashlib.sha256(" ".join(words).encode("utf-8")).hexdigest()[:32]


# --- of a lesson ----------------------------------------------------------------------------


def lesson_page(r: LessonRecord) -> str:
    """The printable page of a lesson: who was trained on it, when, on which numbers, by whom."""
    head = r.head
    out = [
        f"<h1>{tr('Who was trained on: {lesson}', lesson=_said(r.title))}</h1>",
        f'<p class="small">{_site(head)} {tr("Lesson {id}.", id=f"<code>{_said(r.lesson)}</code>")} '
        f"{_as_of(head)} {_register(head)}</p>",
        f'<p class="note">{tr("A passed quiz is no permit. What the lesson taught holds for its edition; the site may have set other numbers since.")}</p>',
        _numbers_taught(r),
        f"<h2>{tr('Trained: {n}', n=len(r.trained))}</h2>" + (_table(tuple(map(tr, _HEADS)), map(_trained, r.trained), map(_trained_below, r.trained), "20 16 10 5 6 22 11 10") if r.trained else f"<p>{tr('Nobody.')}</p>"),
        f"<h2>{tr('Needed by the role, not passed: {n}', n=len(r.lacking))}</h2>"
        + (_table((tr("Person"), tr("Role"), tr("State"), tr("Last try")), map(_lacking, r.lacking)) if r.lacking else f"<p>{tr('Nobody.')}</p>"),
        _lesson_talks(r), _changes(r.rules),
    ]  # fmt: skip
    return _page(head, tr("Who was trained on: {lesson}", lesson=r.title), "\n".join(x for x in out if x))


_HEADS = (
    mark("Person"), mark("Role"), mark("Passed"), mark("Key"), mark("Right"), mark("Signed off by, on, day"), mark("State"), mark("Holds until"),
)  # fmt: skip


def _numbers_taught(r: LessonRecord) -> str:
    if not r.taught:
        return ""
    rows = []
    for i, t in enumerate(r.taught):
        numbers = tr("its ledger is not kept here") if t.numbers is None else _numbers(t.numbers) or tr("it teaches no numbers")
        rows.append((f"<b>{_letter(i)}</b>", f"{_said(t.edition)}<br><span class=small>{tr('figures {print}', print=_said(t.figures[:8]))}</span>", numbers,
                     _said(t.worked_for), str(t.people), _said(t.holds)))  # fmt: skip
    heads = (tr("Key"), tr("Edition"), tr("Main numbers, as printed then"), tr("Worked for"), tr("Passed on them"), tr("Today"))
    return f"<h2>{tr('Numbers')}</h2>" + _table(heads, rows)


def _letter(i: int) -> str:
    """A, B … Z, AA, AB …"""
    out = ""
    i += 1
    while i:
        i, rest = divmod(i - 1, 26)
        out = chr(65 + rest) + out
    return out


def _trained(t: Trained) -> tuple[str, ...]:
    p = t.part
    held = p.held
    if held is None or t.at is None:
        raise ValueError("only who passed is trained")
    state = tr("left {day}", day=_day(t.left)) if t.left else _state(p) if p.needed else tr("not of the role now")
    return (
        f"<b>{_said(named(t.name, t.id))}</b>", _said(t.role), _passed(p), _letter(t.at), _right(held), _signers(p),
        state, _until(p),
    )  # fmt: skip


def _trained_below(t: Trained) -> str:
    seen = []
    for s in t.part.signed:
        facts = (
            s.kind and tr(s.kind),
            s.machine_class,
            _conditions(s.conditions),
            s.hours and tr("watched {time}", time=_hours(s.hours)),
            s.sheet and tr("sheet {sheet}", sheet=s.sheet),
            _rows(s.entries),
            s.late and tr("taken in on {day}", day=s.late),
        )
        told = _some(dict.fromkeys(x for x in facts if x))
        seen.append(
            (_machine(s.machine) if s.machine == ON_FOOT else tr("on {machine}", machine=_said(s.machine)))
            + f", {_day(s.day)}: {_said(told)}{'' if s.counts else ', ' + tr('does not count now')}"
        )
    once = f"<b>{tr('all of it taken in on {day}', day=_day(t.once))}</b>" if t.once else ""
    return " · ".join(x for x in (_how(t.part), *seen, once) if x)


def _lacking(t: Trained) -> tuple[str, ...]:
    held = t.part.held
    last = f"{_day(held.day)}, {_right(held)}, {tr('edition {edition}', edition=_said(held.edition))}" if held else ""
    return f"<b>{_said(named(t.name, t.id))}</b>", _said(t.role), _said(tr(t.part.state) if t.part.state else ""), last


def _lesson_talks(r: LessonRecord) -> str:
    if not r.talks:
        return ""
    rows = [(_day(day), _said(sheet), _said(leader), _said(" ".join(crew))) for day, sheet, leader, crew in r.talks]
    return f"<h2>{tr('Tailgate talks about it')}</h2>" + _table((tr("Day"), tr("Sheet"), tr("Led by"), tr("Attended")), rows)


# --- the index ------------------------------------------------------------------------------


def index_page(listed: Sequence[Listed]) -> str:
    """All records of persons, each with a link. ``listed`` must hold one at least."""
    head = listed[0].record.head
    rows = []
    for x in listed:
        r = x.record
        links = f'<a href="{_said(x.page)}">{_said(r.who)}</a>' + (f' <a class="screen" href="{_said(x.pdf)}">PDF</a>' if x.pdf else "")
        state = (
            tr("left {day}", day=r.left) if r.left and head.day and r.left <= head.day else tr("yes") if r.known else tr("not on the day")
        )
        rows.append((
            links, _said(r.role), tr("{n} of {all}", n=r.passed, all=len(r.needed)) if r.needed else "", _said(" ".join(map(_machine, r.ready))) or tr("none"),
            _said(" ".join(map(_machine, r.ready_alone))) or tr("none"), _day(r.until), _day(_last(r)), state,
        ))  # fmt: skip
    body = (
        f"<h1>{tr('Training records')}</h1><p class=small>{_site(head)} {_as_of(head)} "
        f"{_register(head)}</p><p class=note>{tr('Keep these pages to mentors and the coordinator.')} {tr(CAUTION)}</p>"
        + _table(
            (tr("Person"), tr("Role"), tr("Lessons passed"), tr("Seat time"), tr("Alone"), tr("First end"), tr("Latest entry"), tr("Here")),
            rows,
        )
    )
    return _page(head, tr("Training records"), body)


def _last(r: PersonRecord) -> datetime.date | None:
    days = [t.day for p in r.lessons for t in ((p.held, *p.before) if p.held else p.before)]
    days += [s.day for s in r.signed] + [s.last for s in r.seat] + [t[0] for x in r.talks for t in x.held]
    return max(days, default=None)


def file_name(id_: str) -> str:
    """A name for the page of an id, without its ending: the id itself where every disk can have a file of that name."""
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]{0,59}", id_) and id_.lower() not in {"index", "con", "prn", "aux", "nul"}:
        return id_
    plain = re.sub(r"[^A-Za-z0-9_-]+", "-", id_).strip("-")[:40]
    return f"{plain or 'x'}.{hashlib.sha256(id_.encode()).hexdigest()[:8]}"
