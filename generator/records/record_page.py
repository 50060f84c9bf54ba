"""Records as pages: one for a person, one for a lesson, and an index. They are printed, filed and shown to inspectors."""

from __future__ import annotations

import datetime
import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from html.parser import HTMLParser

from generator.book.foot import page_foot
from generator.book.guard import guarded
from generator.records.readiness import STATES
from generator.records.record import Head, LessonPart, LessonRecord, Number, PersonRecord, Trained, Try, named

NOT_ON_FOOT = "on foot"
CAUTION = (
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
dl { display: grid; grid-template-columns: repeat(auto-fill, minmax(17em, 1fr)); gap: .15em 1.5em; margin: .6em 0; }
dl div { display: flex; gap: .5em; border-bottom: 1px solid var(--line); padding: .1em 0; } dt { font-weight: 600; white-space: nowrap; } dd { margin: 0; flex: 1; }
.whole { grid-column: 1 / -1; }
table { border-collapse: collapse; width: 100%; margin: .2em 0 .8em; }
caption { text-align: left; font-weight: 600; padding: .2em 0; }
th, td { border: 1px solid var(--line); padding: .25em .4em; text-align: left; vertical-align: top; font-weight: 400; }
thead th { background: var(--head); font-weight: 600; vertical-align: bottom; } tbody th b, td b { font-weight: 600; }
.small { font-size: .86em; } .now { white-space: nowrap; } ul { margin: .2em 0; padding-left: 1.2em; }
.sign { display: grid; grid-template-columns: repeat(auto-fit, minmax(15em, 1fr)); gap: .4em 1.5em; }
.sign p { margin: 0; } .rule { display: block; border-bottom: 1.5px solid var(--ink); height: 2.3em; }
.blank { display: inline-block; min-width: 8em; border-bottom: 1.5px solid var(--ink); height: 1.1em; vertical-align: bottom; }
.tick { display: inline-block; margin-right: 1.2em; } .tick::before { content: ""; display: inline-block; width: .8em; height: .8em; border: 1.5px solid var(--ink); margin-right: .4em; vertical-align: -.08em; }
.seal { display: flex; gap: 1em; align-items: flex-start; border-top: 2px solid var(--line); margin-top: 1em; padding-top: .6em; }
.seal .code { flex: none; width: 12em; max-width: 45vw; background: #fff; line-height: 0; } .seal svg { width: 100%; height: auto; }
code { font: .8em/1.35 ui-monospace, "DejaVu Sans Mono", Consolas, monospace; overflow-wrap: anywhere; }
summary { min-height: 48px; padding: .7em 0; cursor: pointer; font-weight: 600; }
@media screen and (max-width: 39.99em) {
  .stack, .stack tbody, .stack tr, .stack th, .stack td, .stack caption { display: block; border: 0; }
  .stack thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .stack tr { padding: .4em 0; border-bottom: 2px solid var(--line); } .stack th, .stack td { padding: .1em 0; }
  .stack td:empty { display: none; } .stack td::before { content: attr(data-head) ": "; font-weight: 600; }
  .seal { flex-direction: column; } .seal .code { max-width: 16em; width: 100%; }
}
@media print {
  html { color-scheme: light; --line: #000; --head: #fff; --page: #fff; --ink: #000; --mark: #000; }
  body { font-size: 8.5pt; line-height: 1.25; max-width: none; padding: 0; } h1 { font-size: 14pt; } h2 { font-size: 10pt; margin: 7pt 0 2pt; }
  th, td { border-width: .5pt; padding: 1pt 3pt; } table { margin: 1pt 0 4pt; } dl { grid-template-columns: repeat(3, 1fr); gap: 0 10pt; margin: 4pt 0; } dl div { border-bottom-width: .5pt; }
  p { margin: 2pt 0; } .note { border-left-width: 3pt; } .small { font-size: 8pt; }
  tr, .sign, .seal, .keep { break-inside: avoid; } thead { display: table-header-group; } h2, caption { break-after: avoid; }
  .sign { grid-template-columns: repeat(3, 1fr); gap: 3pt 12pt; } .rule { height: 20pt; border-bottom-width: .8pt; } .blank { border-bottom-width: .8pt; }
  .seal { margin-top: 6pt; padding-top: 4pt; border-top-width: .8pt; } .seal .code { width: 34mm; max-width: none; } .screen, details { display: none; } a { color: inherit; text-decoration: none; }
}
"""


def _said(text: object) -> str:
    """Text for the page: no markup of it does anything, and it can always be written."""
    clean = str(text).encode("utf-8", "replace").decode("utf-8")
    return escape("".join(ch if ch.isprintable() else "�" for ch in clean))


def _table(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table whose rows become blocks on a phone; roles keep it a table for a screen reader. Cells are HTML."""
    body = "".join(
        f'<tr role="row"><th scope="row" role="rowheader">{first}</th>'
        + "".join(f'<td role="cell" data-head="{_said(h)}">{c}</td>' for h, c in zip(heads[1:], cells, strict=True))
        + "</tr>"
        for first, *cells in rows
    )
    head = "".join(f'<th scope="col" role="columnheader">{_said(h)}</th>' for h in heads)
    top = f"<caption>{_said(caption)}</caption>" if caption else ""
    return (
        f'<table class="stack" role="table">{top}<thead role="rowgroup"><tr role="row">{head}</tr></thead>'
        f'<tbody role="rowgroup">{body}</tbody></table>'
    )


def _hours(hours: float) -> str:
    return f"{hours:.1f}".removesuffix(".0") + " h"


def _minutes(minutes: float | None) -> str:
    return "" if minutes is None else f"{max(1, round(minutes))} min"


def _some(found: Iterable[str]) -> str:
    return ", ".join(found)


def _fact(words: str, text: str, wide: bool = False) -> str:
    """A line of the head; what nobody has written down is left to be written by hand."""
    shown = _said(text) if text else '<span class="blank"></span>'
    return f"<div{' class=whole' if wide else ''}><dt>{words}</dt><dd>{shown}</dd></div>"


def _page(head: Head, title: str, body: str, after: str = "") -> str:
    paper = "A4" if head.paper == "a4" else "letter"
    # the head is repeated in the upper margin of every page
    margins = f"@page {{ size: {paper} portrait; margin: 14mm 12mm 11mm; }}\n" + page_foot(
        title, f"as of {head.day}" if head.day else "", head.site
    ).replace("@bottom-right", "@top-right").replace("vertical-align: top; padding-top: 4pt", "vertical-align: bottom; padding-bottom: 4pt")
    return guarded(f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
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
        _fact("Name", r.name or "taken out: the id stands for the person"), _fact("Crew id", r.id),
        _fact("Former id", _some(r.former)) if r.former else "",
        _fact("Role", r.role or "none on this day"), _fact("In the role since", str(r.role_from or r.start or "")),
        _fact("Started", str(r.start or "")), _fact("Left", str(r.left)) if r.left else "",
        _fact("Contractor", head.contractor), _fact("Site or mine", head.site), _fact("Its number, if any", head.number),
        _fact("Place of training", head.place), _fact("Edition of the handbook", head.edition),
        _fact("Type of training", _some(r.kinds) or "none yet", wide=True),
        _fact("Trained or evaluated by", _some(r.trained_by), wide=True),
        _fact("Duration", _duration(r), wide=True),
    ]  # fmt: skip
    out = [
        f"<h1>Training record: {_said(r.who)}</h1>",
        f'<p class="small">{_said(head.site)}{", invented site" if head.invented else ""}. As of {_said(head.day or "no day")}. {_register(head)}</p>',
        f'<p class="note">{CAUTION}</p>',
        f"<dl>{''.join(facts)}</dl>",
        _ready(r), _lessons(r), _signed(r), _seat(r), _talks(r), _orders(r), _lines_to_sign(r),
    ]  # fmt: skip
    return "\n".join(x for x in out if x)


def person_page(r: PersonRecord, seal: SealOn | None = None, body: str | None = None) -> str:
    """The printable page of a person. ``body`` is what :func:`person_body` gave, where it is at hand."""
    body = person_body(r) if body is None else body
    return _page(r.head, f"Training record: {r.who}", body, _seal(r, seal, body))


def _register(head: Head) -> str:
    if head.row is None:
        return "Made from the files handed in; no register was kept."
    return f"Register: row {head.row[0]:,}, chain <code>{_said(head.row[1][:16])}</code>."


def _duration(r: PersonRecord) -> str:
    quiz, mentored = r.quiz_minutes, sum(s.mentored for s in r.seat)
    parts = [
        f"{_hours(quiz / 60) if quiz >= 60 else _minutes(quiz)} at the quizzes shown" if quiz else "",
        f"{_hours(r.watched)} watched by mentors" if r.watched else "",
        f"{_hours(mentored)} of seat time under a mentor" if mentored else "",
    ]
    return _some(p for p in parts if p)


def _ready(r: PersonRecord) -> str:
    """What the person may do on that day, and what is missing."""
    if not r.known:
        return '<h2>Ready for</h2><p class="keep">Nothing: on this day the person was not of this crew. What was recorded stands below.</p>'
    rows = []
    for p in r.machines:
        first = f"<b>{_said(_some(p.machines))}</b>" + (f"<br>{_said(_some((p.kind, *p.classes)))}" if p.kind else "")
        seat = f"<b>{_said(p.state)}</b>" if p.ready else _said(p.state) + _gaps(p.gaps)
        if p.alone is None:
            alone = "the site has no rule for it"
        elif p.ready_alone:
            alone = "<b>ready</b>"
        else:
            lacks = (*(["what seat time lacks"] if p.gaps else []), *p.alone)
            alone = f"not ready<ul>{''.join(f'<li>{_said(x)}</li>' for x in lacks)}</ul>"
        rows.append((first, seat, alone))
    out = "<h2>Ready for</h2>"
    out += (
        _table("", ("Machine", "Seat time with a mentor, and what is missing", "Working alone, and what is missing"), rows)
        if rows
        else "<p>No machine is given to this person.</p>"
    )
    told = []
    if r.held:
        told.append("Held, as somebody has to say which counts: " + _some(f"{t}, {d}" for t, d in r.held) + ".")
    if r.flagged:
        told.append(f"{r.flagged} more handed in under this id {'are' if r.flagged > 1 else 'is'} flagged and left out here.")
    return out + "".join(f"<p>{_said(x)}</p>" for x in told)


def _gaps(gaps: Iterable[tuple[str, Sequence[str]]]) -> str:
    lines = (f"<li><b>{_said(state)}</b>: {_said(' · '.join(found))}</li>" for state, found in gaps)
    return f"<ul class=small>{''.join(lines)}</ul>"


def _lessons(r: PersonRecord) -> str:
    heads = ("Lesson, and what it taught", "Passed", "Right", "Time", "Marked", "Signed off", "State", "Holds until")
    if not r.lessons:
        return "<h2>Lessons</h2><p>None.</p>"
    rows = [
        (
            f"<b>{_said(p.title)}</b>{'' if p.needed else ' (not of the role now)'}{_taught(p)}", _when(p), _score(p),
            _minutes(p.held.minutes) if p.held else "", _said(p.held.marked) if p.held else "", _signers(p),
            _state(p), _said(p.until or "") + ("<br><b>due</b>" if p.due else ""),
        )
        for p in r.lessons if p.held or not p.needed or p.state == "held"
    ]  # fmt: skip
    missing: dict[str, list[str]] = {}
    for p in r.needed:
        if not p.held and p.state != "held":
            missing.setdefault(p.state or "", []).append(p.title + (", signed off" if p.signed else ""))
    needed = len(r.needed)
    out = f"<h2>Lessons: {r.passed} of {needed} of the role passed on numbers that hold</h2>" if needed else "<h2>Lessons</h2>"
    out += _table("", heads, rows) if rows else "<p>None taken yet.</p>"
    out += "".join(f"<p><b>{_said(state.capitalize())}</b>: {_said(' · '.join(found))}</p>" for state, found in missing.items())
    if rows:
        out += (
            '<p class="small">Days of quizzes are told in UTC. <b>Right</b>: answers right of those asked. <b>Marked again here</b>: each '
            "answer was marked by the figures of its own edition, whatever the phone showed. <b>Time</b>: from the first to the last "
            "question. Numbers are the site's limits and sums as that edition printed them.</p>"
        )
    return out


def _taught(p: LessonPart) -> str:
    if p.held is None:
        return ""
    if p.numbers is None:
        return '<br><span class="small">the ledger of its edition is not kept here</span>'
    out = f'<br><span class="small">{_numbers(p.numbers)}</span>' if p.numbers else ""
    if p.changed:
        out += f'<br><span class="small">Changed since: {_said("; ".join(p.changed[:3]))}</span>'
    return out


def _numbers(numbers: Iterable[Number]) -> str:
    return " · ".join(f"{_said(n.words)} <b>{_said(n.text)}</b>" for n in numbers)


def _when(p: LessonPart) -> str:
    if p.held is None:
        return ""
    shown = f'<span class="now">{p.held.day}</span>' if p.held.passed else f"tried {p.held.day}"
    out = f"{shown}<br><span class=small>edition {_said(p.held.edition)}</span>"
    if p.before:
        out += f"<br><span class=small>also {_said(_some(f'{t.day} ({t.edition})' for t in p.before))}</span>"
    return out


def _score(p: LessonPart) -> str:
    if p.held is None:
        return ""
    row = f"<br><span class=small>row {p.held.entry:,}</span>" if p.held.entry is not None else ""
    return f"{_right(p.held)}<br><span class=small>{p.tries} {'try' if p.tries == 1 else 'tries'}</span>{row}"


def _right(t: Try) -> str:
    return f"{t.right} of {t.of}"


def _signers(p: LessonPart) -> str:
    counting = [s for s in p.signed if s.counts]
    out = [f'{_said(s.mentor)}, {_said(s.machine)}<br><span class="now">{s.day}</span>' for s in counting]
    if not counting and p.signed:
        out.append("signed, and does not count now")
    return "<br>".join(out)


def _state(p: LessonPart) -> str:
    if p.state is None:
        return "no lesson of the role"
    out = _said(p.state) if p.state != "ready" else "<b>ready</b>"
    if p.failed_since:
        out += f"<br>failed {p.failed_since}, after it was passed"
    return out


def _signed(r: PersonRecord) -> str:
    if not r.signed:
        return "<h2>Signed off by mentors</h2><p>Nothing yet.</p>"
    titles = {p.lesson: p.title for p in r.lessons}
    rows = []
    for s in r.signed:
        lessons = _some(titles.get(i, i) + ("" if i in s.counts else " (does not count now)") for i in s.lessons)
        machine = _said(s.machine) + (f"<br>{_said(_some(x for x in (s.kind, s.machine_class) if x))}" if s.kind != s.machine else "")
        tie = _some(x for x in (s.sheet and f"sheet {s.sheet}", _rows(s.entries)) if x)
        rows.append((f'<span class="now">{s.day}</span>', _said(s.mentor), machine, _said(s.conditions),
                     _hours(s.hours) if s.hours else "", _said(lessons), _said(tie)))  # fmt: skip
    heads = ("Day", "Mentor", "Machine", "Conditions", "Watched", "Lessons signed for", "Sheet, rows")
    return "<h2>Signed off by mentors</h2>" + _table("", heads, rows)


def _rows(entries: Sequence[int]) -> str:
    """``row 7``, ``rows 7 to 9, 12``."""
    spans: list[list[int]] = []
    for e in sorted(set(entries)):
        if spans and e == spans[-1][1] + 1:
            spans[-1][1] = e
        else:
            spans.append([e, e])
    said = ", ".join(f"{a:,}" if a == b else f"{a:,} to {b:,}" for a, b in spans)
    return f"row{'s' if len(set(entries)) > 1 else ''} {said}" if said else ""


def _seat(r: PersonRecord) -> str:
    needs = [
        f"{_hours(sum(s.mentored for s in r.seat))} of {_hours(r.hours_needed)} under a mentor" if r.hours_needed else "",
        f"{_hours(sum(s.slopes for s in r.seat))} of {_hours(r.slopes_needed)} on slopes" if r.slopes_needed else "",
    ]
    said = _some(n for n in needs if n)
    title = f"<h2>Seat time{f': {said} that the role needs' if said else ''}</h2>"
    if not r.seat:
        return title + "<p>None is written down.</p>"
    rows = [
        (f"<b>{_said(s.machine)}</b>, {_said(s.kind)}", _hours(s.hours), _hours(s.mentored), _hours(s.slopes),
         f"{s.first}" if s.first == s.last else f"{s.first} to {s.last}", _said(_some(s.mentors)), _said(_some(s.tasks)))
        for s in r.seat
    ]  # fmt: skip
    return title + _table("", ("Machine", "In all", "Under a mentor", "Of these on slopes", "Days", "Mentors", "Tasks"), rows)


def _talks(r: PersonRecord) -> str:
    if not r.talks:
        return "<h2>Tailgate talks</h2><p>None is written down.</p>"
    rows = [
        (f"<b>{_said(t.title)}</b>", _said("; ".join(_some(x for x in (str(day), sheet and f"sheet {sheet}", leader) if x) for day, sheet, leader in t.held)))
        for t in r.talks
    ]  # fmt: skip
    return f"<h2>Tailgate talks: {sum(len(t.held) for t in r.talks)}</h2>" + _table("", ("About", "Day, sheet, led by"), rows)


def _orders(r: PersonRecord) -> str:
    out = ""
    if r.orders:
        rows = [
            (str(o.day), _said(o.what), _said(o.why), "<b>stands</b>" if o.open else "met since", _rows((o.entry,)) if o.entry is not None else "")
            for o in r.orders
        ]  # fmt: skip
        out += "<h2>Orders to train again</h2>" + _table("", ("From", "Lesson", "Why", "State", "Row"), rows)
    if r.said:
        rows = [(str(c.day), _said(c.about), _said(c.says), _said(c.by), _said(c.why)) for c in r.said]
        out += "<h2>Corrections</h2>" + _table("", ("Day", "Of", "It says", "By", "Why"), rows)
    return out


def _lines_to_sign(r: PersonRecord) -> str:
    def line(words: str) -> str:
        return f'<p><span class="rule"></span><span class="small">{words}</span></p>'

    who = _said(r.who)
    ticks = "".join(
        f'<span class="tick">{w}</span>'
        for w in ("new person", "newly hired, experienced", "new task", "yearly refresher", "training again", "other: ")
    )
    return (
        '<section class="keep"><h2>Signed</h2>'
        f'<p>This training was for a: {ticks}<span class="blank"></span></p>'
        "<p>Class time and other hours not told above, who taught then, and where: "
        '<span class="blank" style="min-width: 22em"></span></p>'
        '<div class="sign">'
        + line(f"{who}: I was trained in what stands here. Signature, day")
        + line("Mentor or competent person: I taught or saw it. Name in print, signature, day")
        + line("Answerable for training: I certify that what stands here was completed. Name in print, signature, day")
        + '</div><p class="small">Where a rule wants words of its own on the record (in the United States 30 CFR 46.9 does, about false '
        "certification), they belong above the last signature.</p></section>"
    )


def _seal(r: PersonRecord, seal: SealOn | None, body: str) -> str:
    digest = text_digest(body)
    told = f"Digest of the text above: <code>{_groups(digest)}</code>."
    if seal is None:
        return f'<p class="small">{told} It bears no seal, as the site has no key.</p>\n'
    return (
        '<section class="seal"><div class="code">' + seal.picture + '</div><div class="small">'
        f"<p><b>The seal.</b> Made with key <code>{_said(seal.key)}</code>. {told} To check it, read the code with a phone and give "
        "its text to <code>seatwork record --check</code> with the site's <code>key.pub</code>.</p>"
        "<p><b>It proves</b> that whoever held this site's key wrote these facts on that day, and that nothing of them was changed "
        "since: name, id, role, machines, how many lessons are ready, and the digest of this text.</p>"
        "<p><b>It does not prove</b> that the facts are true, that the bearer is the person, that the person did the quizzes, or "
        "that nothing has happened since.</p></div></section>"
        f'<details><summary>The seal as text</summary><p><code id="seal">{_said(seal.text)}</code></p></details>\n'
    )


def _groups(digest: str) -> str:
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
        f"<h1>Who was trained on: {_said(r.title)}</h1>",
        f'<p class="small">{_said(head.site)}{", invented site" if head.invented else ""}. Lesson <code>{_said(r.lesson)}</code>. '
        f"As of {_said(head.day or 'no day')}. {_register(head)}</p>",
        '<p class="note">A passed quiz is no permit. What the lesson taught holds for its edition; the site may have set other numbers since.</p>',
        _numbers_taught(r),
        f"<h2>Trained: {len(r.trained)}</h2>" + (_table("", _HEADS, map(_trained, r.trained)) if r.trained else "<p>Nobody.</p>"),
        f"<h2>Needed by the role, not passed: {len(r.lacking)}</h2>"
        + (_table("", ("Person", "Role", "State", "Last try"), map(_lacking, r.lacking)) if r.lacking else "<p>Nobody.</p>"),
        _lesson_talks(r),
    ]  # fmt: skip
    return _page(head, f"Who was trained on: {r.title}", "\n".join(x for x in out if x))


_HEADS = ("Person", "Role", "Passed", "Numbers", "Right", "Time", "Marked", "Signed off by, on, day", "State", "Holds until")


def _numbers_taught(r: LessonRecord) -> str:
    if not r.taught:
        return ""
    rows = []
    for i, t in enumerate(r.taught):
        numbers = "its ledger is not kept here" if t.numbers is None else _numbers(t.numbers) or "it teaches no numbers"
        rows.append((f"<b>{_letter(i)}</b>", f"{_said(t.edition)}<br><span class=small>figures {_said(t.figures[:8])}</span>", numbers,
                     _said(t.worked_for), str(t.people), "those of today" if t.holds else "earlier"))  # fmt: skip
    heads = ("", "Edition", "Main numbers, as printed then", "Worked for", "Passed on them", "They are")
    return "<h2>Numbers</h2>" + _table("", heads, rows)


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
    state = _state(p) if p.needed else "not of the role now"
    return (
        f"<b>{_said(named(t.name, t.id))}</b>", _said(t.role), _when(p), _letter(t.at), _score(p), _minutes(held.minutes), _said(held.marked),
        _signers_full(p), state, _said(p.until or "") + ("<br><b>due</b>" if p.due else ""),
    )  # fmt: skip


def _signers_full(p: LessonPart) -> str:
    out = []
    for s in p.signed:
        kind = _some(x for x in (s.machine, s.kind if s.kind != s.machine else "", s.machine_class) if x)
        more = _some(
            x for x in (s.conditions, s.hours and f"watched {_hours(s.hours)}", s.sheet and f"sheet {s.sheet}", _rows(s.entries)) if x
        )
        out.append(
            f"{_said(s.mentor)}, {_said(kind)}, {s.day}{f' ({_said(more)})' if more else ''}{'' if s.counts else ', does not count now'}"
        )
    return "<br>".join(out)


def _lacking(t: Trained) -> tuple[str, ...]:
    held = t.part.held
    last = f"{held.day}, {_right(held)}, edition {_said(held.edition)}" if held else ""
    words = STATES[t.part.state] if t.part.state else ""
    return (
        f"<b>{_said(named(t.name, t.id))}</b>",
        _said(t.role),
        _said(t.part.state or "") + (f"<br><span class=small>{_said(words)}</span>" if words else ""),
        last,
    )


def _lesson_talks(r: LessonRecord) -> str:
    if not r.talks:
        return ""
    rows = [(str(day), _said(sheet), _said(leader), _said(" ".join(crew))) for day, sheet, leader, crew in r.talks]
    return "<h2>Tailgate talks about it</h2>" + _table("", ("Day", "Sheet", "Led by", "Attended"), rows)


# --- the index ------------------------------------------------------------------------------


def index_page(listed: Sequence[Listed]) -> str:
    """All records of persons, each with a link. ``listed`` must hold one at least."""
    head = listed[0].record.head
    rows = []
    for x in listed:
        r = x.record
        links = f'<a href="{_said(x.page)}">{_said(r.who)}</a>' + (f' <a class="screen" href="{_said(x.pdf)}">PDF</a>' if x.pdf else "")
        state = f"left {r.left}" if r.left and head.day and r.left <= head.day else "" if r.known else "not of this crew on the day"
        rows.append((
            links, _said(r.role), f"{r.passed} of {len(r.needed)}" if r.needed else "", _said(" ".join(r.ready)) or "none",
            _said(" ".join(r.ready_alone)) or "none", _said(r.until or ""), _said(_last(r) or ""), state,
        ))  # fmt: skip
    body = (
        f"<h1>Training records</h1><p class=small>{_said(head.site)}{', invented site' if head.invented else ''}. As of {_said(head.day or 'no day')}. "
        f"{_register(head)}</p><p class=note>Keep these pages to mentors and the coordinator. {CAUTION}</p>"
        + _table("", ("Person", "Role", "Lessons passed", "Seat time", "Alone", "First end", "Latest entry", ""), rows)
    )
    return _page(head, "Training records", body)


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
