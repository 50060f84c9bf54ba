"""The page of who is ready, for the mentor folder: what to do this week, then people by role, lessons, questions, flags.

It stands alone: its style and its one script are in it, and its policy lets nothing else run. Without the script all of
it can be read; the script only looks for people.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from html import escape
from pathlib import Path

from generator.book.content import content_folder
from generator.book.foot import page_foot
from generator.book.guard import guarded
from generator.jobsite.columns import CREW, ON_FOOT
from generator.language.names import language_name
from generator.language.scripts import HELPER
from generator.language.scripts import table as strings_script
from generator.language.words import current, mark, now, ntr, tr
from generator.records.flags import NAMES
from generator.records.readiness import STATES, MachineLine, PersonLine, QuestionLine, Readiness
from generator.records.told import REASONS
from generator.records.week import Due, Week, in_another_language, kinds_of_people, states_of, week
from generator.records.wording import thousands, worded
from generator.units.writing import counted, written

SHORT = {
    "ready": "●", "sign-off missing": "◐", "take again": "↻", "not passed": "✕", "not taken": "○", "no quiz": "–",
    "no lesson": "!", "lapsed": "▽", "train again": "⚑", "held": "‖",
}  # fmt: skip
MOST_SHOWN = 25  # questions on the page; the rest is folded away
MOST_ROWS = 10  # of a table of what to do this week
MOST_FLAGS = 100  # on the page; all of them stand in results.csv
MOST_NAMED = 3  # lessons in one line
SCRIPT = "".join(p.read_text("utf-8") for p in (content_folder() / "look" / HELPER, Path(__file__).parent / "scripts" / "readiness.js"))

_STYLE = """
* { box-sizing: border-box; } [hidden] { display: none !important; }
html { color-scheme: light dark; --line: #8a938f; --head: #e9eeec; --page: #fdfcf8; --ink: #15201e; --mark: #14564f; --stop: #9a2a12; }
@media (prefers-color-scheme: dark) { html { --line: #7f8d89; --head: #1c2927; --page: #101817; --ink: #eef3f1; --mark: #8fd3c8; --stop: #ffb199; } }
body { margin: 0 auto; padding: 16px; max-width: 84em; font: 16px/1.45 system-ui, "Segoe UI", Roboto, "Noto Sans", sans-serif; color: var(--ink); background: var(--page); }
h1 { font-size: 1.6em; margin: 0 0 .2em; } h2 { font-size: 1.3em; margin: 1.8em 0 .4em; } h3 { font-size: 1.1em; margin: 1.5em 0 .2em; }
h3 + p { margin: .1em 0 .5em; max-width: 60em; }
a { color: var(--mark); } code { font-size: .95em; white-space: nowrap; }
.note { border-left: 6px solid var(--mark); padding: .2em .8em; max-width: 60em; }
.sum { font-size: 1.15em; }
.todo { list-style: none; padding: 0; margin: .6em 0; max-width: 60em; }
.todo a, .todo span { display: grid; grid-template-columns: 4.2rem 1fr; gap: .1em .8em; align-items: baseline; min-height: 48px; padding: .4em .2em; border-top: 1px solid var(--line); color: inherit; text-decoration: none; }
.todo a:hover i, .todo a:focus-visible i { text-decoration: underline; } .todo b { font-size: 1.5em; line-height: 1.1; text-align: right; color: var(--stop); } .todo .then b { color: var(--mark); }
.todo i { font-style: normal; font-weight: 600; } .todo small { font-size: .95em; grid-column: 2; } .todo .none b { color: inherit; } .todo .none i { font-weight: 400; }
.scroll { position: relative; overflow-x: auto; margin-bottom: 1.2em; } .scroll:focus-visible { outline: 3px solid var(--mark); }
table { border-collapse: collapse; } caption { text-align: left; font-weight: 600; padding: .3em 0; }
th, td { border: 1px solid var(--line); padding: .3em .5em; text-align: left; vertical-align: top; }
thead th { vertical-align: bottom; background: var(--head); }
tbody th { min-width: 10em; background: var(--page); } td.mark { text-align: center; min-width: 2.6em; } td.due { border-bottom: 4px solid var(--stop); }
.wide { min-width: 56em; } .short { min-width: 40em; } .matrix td:last-child { min-width: 13em; }
.up { writing-mode: vertical-rl; transform: rotate(180deg); max-height: 14em; font-weight: 600; font-size: .9em; line-height: 1.25; }
td.number { text-align: right; } .small { font-size: .9em; } .role { font-weight: 400; }
td ul { margin: 0; padding-left: 1.1em; } .key { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .1em 1.5em; }
.one { white-space: nowrap; } .alone { min-width: 9em; }
.key b { display: inline-block; min-width: 1.4em; text-align: center; }
#look { position: sticky; top: 0; z-index: 2; display: flex; flex-wrap: wrap; gap: .5em 1em; align-items: end; padding: .6em 0; background: var(--page); border-bottom: 2px solid var(--line); }
#look label { display: grid; min-width: 0; font-weight: 600; font-size: .9em; } #look select, #look input, #look button { font: inherit; font-size: 16px; min-height: 44px; padding: .3em .6em; color: var(--ink); background: var(--page); border: 2px solid var(--line); border-radius: 4px; max-width: 100%; }
#look :focus-visible { outline: 3px solid var(--mark); outline-offset: 1px; } #people { scroll-margin-top: 0; }
#shown { font-weight: 600; margin: .6em 0; }
summary { min-height: 48px; padding: .7em 0; cursor: pointer; font-weight: 600; }
.visually-hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
@media (min-width: 40em) { tbody th { position: sticky; left: 0; } }
@media screen and (max-width: 39.99em) {
  .todo a, .todo span { grid-template-columns: 3rem 1fr; }
  #look { position: static; } #look label { flex: 1 1 100%; } #look select { width: 100%; }
  .stack, .stack tbody, .stack tr, .stack th, .stack td, .stack caption { display: block; min-width: 0; border: 0; }
  .stack thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .stack tr { padding: .5em 0; border-bottom: 2px solid var(--line); } .stack td { padding: .15em .5em; }
  .stack tr:has(+ tr) { border-bottom: 1px dashed var(--line); }
  .stack td::before { content: attr(data-head) ": "; } .stack td ul { padding-left: 1.4em; } .stack td.blank { display: none; }
  .stack code { white-space: normal; overflow-wrap: anywhere; }
}
@page { size: landscape; margin: 12mm 12mm 14mm; }
@media print {
  html { color-scheme: light; --line: #000; --head: #fff; --page: #fff; --ink: #000; --mark: #000; --stop: #000; }
  body { font-size: 9pt; max-width: none; padding: 0; } .scroll { overflow: visible; margin-bottom: .6em; } .wide, .short { min-width: 0; width: 100%; } .small { font-size: 8.5pt; }
  .todo { columns: 2; max-width: none; } #people td:last-child { width: 50%; } .todo li { break-inside: avoid; } .todo a, .todo span { min-height: 0; grid-template-columns: 3.2em 1fr; } a { color: inherit; text-decoration: none; }
  h2 { margin-top: 1em; } h3 { margin-top: .9em; } #people, #matrix, #rest { break-before: page; } #people h2, #matrix h2, #rest h2:first-child { margin-top: 0; }
  tr, .key, #people tbody { break-inside: avoid; } thead { display: table-header-group; break-inside: avoid; break-after: avoid; }
  .matrix tr:first-child, .bit tr:first-child, #people tbody:first-of-type, #rest tbody tr:first-child { break-before: avoid; }
  .bit tr:last-child { break-before: avoid; } .bit > p:last-child { break-before: avoid; } h2, h3, h2 + p, h3 + p, caption, #shown, .key { break-after: avoid; } details, #look, #shown:not(.part) { display: none; }
  body:has(#shown.part) :is(#week, #rest, .sum) { display: none; } body:has(#shown.part) #people { break-before: auto; }
  th, td { padding: .2em .4em; } .bit th br { display: none; } .bit .role::before { content: " · "; }
  tbody th { position: static; min-width: 9em; } .matrix th, .matrix td { padding: .2em .25em; } td.mark { min-width: 0; padding: .2em 0; } .matrix { table-layout: fixed; width: 100%; } .matrix thead th:first-child { width: 13em; } .matrix thead th:last-child { width: 11em; } .up { max-height: 15em; font-size: 8pt; line-height: 1.1; }
}
"""


@dataclass(frozen=True)
class _Cell:
    """A cell of a table: its text as markup, and what it is called where the row becomes a block."""

    text: str
    kind: str = ""
    rows: int = 1


def _table(caption: str, heads: Sequence[str], rows: Iterable[str], kind: str = "wide") -> str:
    head = "".join(f'<th scope="col">{h}</th>' for h in heads)
    return (
        f'<div class="scroll" tabindex="0" role="region" aria-label="{caption}"><table class="{kind}"><caption>{caption}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table></div>"
    )


def _row(first: str, cells: Iterable[str], numbers: frozenset[int] = frozenset()) -> str:
    tds = "".join(f"<td{' class=number' if i in numbers else ''}>{c}</td>" for i, c in enumerate(cells, 1))
    return f'<tr><th scope="row">{first}</th>{tds}</tr>'


def _stack(caption: str, heads: Sequence[str], bodies: Iterable[str], kind: str = "short") -> str:
    """A table that becomes blocks on a phone; roles keep it a table for a screen reader. ``bodies`` are whole tbody elements."""
    head = "".join(f'<th scope="col" role="columnheader">{h}</th>' for h in heads)
    return (
        f'<div class="scroll" tabindex="0" role="region" aria-label="{caption}"><table role="table" class="{kind} stack">'
        f'<caption class="visually-hidden">{caption}</caption>'
        f'<thead role="rowgroup"><tr role="row">{head}</tr></thead>{"".join(bodies)}</table></div>'
    )


def _stacked(heads: Sequence[str], first: str, cells: Sequence[_Cell], rows: int = 1, *, headed: bool = True) -> str:
    """A row of such a table. ``heads`` are those of ``cells`` alone."""
    th = f'<th scope="row" role="rowheader"{_span(rows)}>{first}</th>' if headed else ""
    tds = "".join(
        f'<td role="cell" data-head="{h}"{f" class={chr(34)}{c.kind}{chr(34)}" if c.kind else ""}{_span(c.rows)}>{c.text}</td>'
        for h, c in zip(heads, cells, strict=True)
    )
    return f'<tr role="row">{th}{tds}</tr>'


def _span(rows: int) -> str:
    return f' rowspan="{rows}"' if rows > 1 else ""


def _said(text: object) -> str:
    """Text for the page: no markup of it does anything, and it can always be written."""
    clean = str(text).encode("utf-8", "replace").decode("utf-8")
    return escape("".join(ch if ch.isprintable() or ch == "\u202f" else "�" for ch in clean))


def many(n: int, one: str, more: str = "") -> str:
    """``1 person``, ``2 people``, ``1,200 lessons``."""
    return f"{counted(n)} {one if n == 1 else more or one + 's'}"


def hours(h: float) -> str:
    """Hours to a tenth, without a nought at the end."""
    return written(Decimal(f"{h:.1f}".removesuffix(".0")))


def share(right: int, of: int) -> str:
    """A share in whole percent, '' of nothing."""
    return f"{100 * right / of:.0f}%" if of else ""


def page(r: Readiness) -> str:
    """The page for the mentor folder."""
    s, w = r.site.settings, week(r)
    from_row = " " + tr("Row {row} of the register, {chain}.", row=r.row[0], chain=_said(r.row[1][:12])) if r.row else ""
    site = {"site": _said(s.name), "edition": _said(r.edition)}
    script = f"<script>{strings_script(now(), content_folder())}{SCRIPT}</script>"
    return guarded(
        f"""<!doctype html>
<html lang="{current()}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,"><title>{tr("Who is ready: {site}", site=_said(s.name))}</title><style>{_STYLE}{page_foot(tr("Who is ready"), s.name, tr("edition {edition}", edition=r.edition))}</style></head>
<body><main>
<h1>{tr("Who is ready for seat time")}</h1>
<p class="small">{tr("{site}, edition {edition}, invented site.", **site) if s.invented else tr("{site}, edition {edition}.", **site)}
{tr("As of {day}.", day=r.day) if r.day else ""} {tr("Results up to {day}.", day=_said(r.latest)) if r.latest else tr("No results yet.")}{from_row}</p>
<p class="note">{tr("Keep this page to mentors and the coordinator. A passed quiz is not a permit: the mentor's sign-off, the site's rules and local rules decide who runs a machine.")}</p>
<p class="sum">{_sum(r)}</p>
{_week(r, w)}
{_people(r, w)}
{_matrix(r, w)}
<section id="rest">{_lessons(r)}
{_questions(r)}
{_flags(r)}</section>
</main>{script}</body></html>
""",
        script,
    )


def _sum(r: Readiness) -> str:
    """The state of things in a line."""
    people = [p for p in r.people if p.machines]
    ready = sum(all(m.ready for m in p.machines) for p in people)
    again = sum(p.count("take again") > 0 for p in people)
    out = tr("{share} people are ready for all their machines.", share=f"<b>{tr('{n} of {all}', n=ready, all=len(people))}</b>")
    if again:
        must = tr("{n} must take a lesson again", n=f"<b>{again}</b>")
        out += " " + tr("{they}, as its numbers have changed.", they=f'<a href="#people" data-look="state=take-again">{must}</a>')
    if r.tally.flags:
        out += " " + tr("{n} results or sign-offs are flagged: see the end of this page.", n=f"<b>{len(r.tally.flags)}</b>")
    return out


# --- this week ------------------------------------------------------------------------------


def _week(r: Readiness, w: Week) -> str:
    lapsed = [d for d in w.due if d.lapsed]
    due = [d for d in w.due if not d.lapsed]
    again = len({a.who.person.id for a in w.again})
    nearly = sum(s.last for s in w.sign)
    flags = sum(n for _, n, _ in w.flags)
    days = r.site.settings.records.due_days
    within = ntr("{count} day", "{count} days", days, **thousands(days))
    lines = [
        ("held", len(w.held), tr("results are held"), tr("is held"), tr("Disputed: say which counts. Until then they count for nobody."), "now"),
        ("again", again, tr("people are ordered to train again"), tr("person is ordered to train again"),
         tr("Keep them off the machine until they have passed again and a mentor has signed again."), "now"),
        ("lapsed", _people_in(lapsed), tr("people have lessons that lapsed"), tr("person has a lesson that lapsed"),
         ntr("{count} lesson: have them take it again and show a mentor.", "{count} lessons: have them take it again and show a mentor.", len(lapsed), **thousands(len(lapsed))),
         "now"),
        ("failed", len(w.failed), tr("lessons were failed after they were passed"), tr("lesson was failed after it was passed"),
         tr("Ask what happened before they go on."), "now"),
        ("due", _people_in(due), tr("people have lessons that end within {days}", days=within),
         tr("person has a lesson that ends within {days}", days=within),
         ntr("{count} lesson: plan them now.", "{count} lessons: plan them now.", len(due), **thousands(len(due))), "then"),
        ("sign", len({s.who.person.id for s in w.sign}), tr("people can be signed off"), tr("person can be signed off"),
         ntr("{count} lesson passed, no mentor has signed.", "{count} lessons passed, no mentor has signed.", w.sign_offs, **thousands(w.sign_offs))
         + f" {tr('For {n} it is all that is missing.', n=nearly) if nearly else ''}", "then"),
        *([("languages", len({x.who.person.id for x in w.languages}), tr("people passed in another language than the crew table says"),
            tr("person passed in another language than the crew table says"), tr("Have a look: it takes nothing away."), "then")] if w.languages else []),
        *([("heard", len({x.who.person.id for x in w.heard}), tr("people were signed off or talked to in another language"),
            tr("person was signed off or talked to in another language"), tr("Have a look: it takes nothing away."), "then")] if w.heard else []),
        ("flags", flags, tr("results or sign-offs are flagged"), tr("result or sign-off is flagged"), tr("Each says what to do about it."), "then"),
    ]  # fmt: skip
    none = {
        "held": tr("No result is held"), "again": tr("Nobody is ordered to train again"), "lapsed": tr("No lesson has lapsed"),
        "failed": tr("No lesson was failed after it was passed"), "due": tr("No lesson ends within {days}", days=within),
        "sign": tr("Nobody waits for a sign-off"), "flags": tr("Nothing is flagged"),
    }  # fmt: skip
    items = [
        f'<li class="{kind}"><a href="#{id_}"><b>{counted(n)}</b><i>{one if n == 1 else more}</i><small>{do}</small></a></li>'
        if n else f'<li class="none"><span><b>0</b><i>{none[id_]}</i></span></li>'
        for id_, n, more, one, do, kind in lines
    ]  # fmt: skip
    parts = (
        _held(r, w),
        _again(r, w),
        _ended(r, lapsed),
        _failed(r, w),
        _ending(r, due),
        _to_sign(r, w),
        _spoken(r, w),
        _heard(r, w),
        _kinds_of_flags(w),
    )
    return f'<section id="week"><h2>{tr("What to do this week")}</h2><ul class="todo">{"".join(items)}</ul>{"".join(parts)}</section>'


def _some(id_: str, title: str, said: str, heads: Sequence[str], rows: Sequence[tuple[str, Sequence[_Cell]]], see: str) -> str:
    """A short table of what to do, or nothing where there is nothing to do."""
    if not rows:
        return ""
    bodies = [f'<tbody role="rowgroup">{"".join(_stacked(heads[1:], first, cells) for first, cells in rows[:MOST_ROWS])}</tbody>']
    more = f"<p>{tr('and {n} more: see {where}', n=counted(len(rows) - MOST_ROWS), where=see)}</p>" if len(rows) > MOST_ROWS else ""
    return f'<section class="bit"><h3 id="{id_}">{title}</h3><p class="small">{said}</p>{_stack(title, heads, bodies)}{more}</section>'


def _looked(state: str, words: str, table: str) -> str:
    """A link that shows the people in a state, and the table that holds them all."""
    return f'<a href="#people" data-look="state={state}">{words}</a> {tr("or")} <a href="{table}">{table}</a>.'


def _who(p: PersonLine) -> str:
    return f'{_said(p.person.id)} {_said(p.person.name)}<br><span class="small role">{_said(p.role.title)}</span>'


def _named(r: Readiness, lessons: Sequence[str]) -> str:
    """The first lessons by title, and how many more there are."""
    more = len(lessons) - MOST_NAMED
    if more == 1:  # one more name takes no more room than saying so
        return " · ".join(_said(r.titles.get(i, i)) for i in lessons)
    return " · ".join(_said(r.titles.get(i, i)) for i in lessons[:MOST_NAMED]) + (" " + tr("and {n} more", n=more) if more > 0 else "")


def _held(r: Readiness, w: Week) -> str:
    names = {p.id: p.name for p in r.site.crew} | {p.person.id: p.person.name for p in r.people}
    rows = []
    for h in w.held:
        m = h.marked
        line = h.line("counts")
        write = (
            f"<code>{line}</code><br>{tr('or')} <code>{h.line('void')}</code>"
            if line
            else tr("no row of the register yet: run seatwork tally again")
        )
        why = "<br>".join(f"<b>{_said(f.name)}</b>: {_said(worded(f.what))}" for f in h.why) or tr("see Flagged")
        score = {"right": m.right, "of": m.of}
        result = tr("{right} of {of}, passed", **score) if m.passed else tr("{right} of {of}, not passed", **score)
        rows.append((
            f"{_said(m.result.crew)} {_said(names.get(m.result.crew, ''))}",
            (_Cell(_said(r.titles.get(m.lesson.id, m.lesson.id))), _Cell(f"{m.result.finished:%Y-%m-%d}<br>{result}"),
             _Cell(f"{why}<br><span class=small>{_said(m.result.where)}</span>"), _Cell(write)),
        ))  # fmt: skip
    return _some(
        "held", tr("Held: say which counts"),
        tr("Ask both people, and look at their phones if you can. Then write a line for each result into corrections.csv, under the headings "
           "{headings}, with your own id for WHO and the reason for WHY, and run seatwork tally again. Nothing is deleted.",
           headings="<code>entry,says,by,why</code>"),
        (tr("Crew"), tr("Lesson"), tr("Taken"), tr("Why it is held"), tr("Line for corrections.csv")), rows,
        _looked("held", tr("everyone with something held"), "results.csv"),
    )  # fmt: skip


def _again(r: Readiness, w: Week) -> str:
    rows = [
        (_who(a.who), (
            _Cell(tr("all lessons") if a.order and not a.order.lesson else _named(r, a.lessons)),
            _Cell(str(a.order.day) if a.order else "", "one"), _Cell(_said(tr(REASONS.get(a.order.why, a.order.why))) if a.order else ""),
        ))
        for a in w.again
    ]  # fmt: skip
    return _some("again", tr("Ordered to train again"), tr("From that day on they are not ready, until they have passed again and a mentor has signed again."),
                 (tr("Crew"), tr("Lessons"), tr("Since"), tr("Why")), rows, _looked("train-again", tr("everyone with an order"), "people.csv"))  # fmt: skip


def _people_in(due: Sequence[Due]) -> int:
    return len({d.who.person.id for d in due})


def _by_person(r: Readiness, due: Sequence[Due], *, ago: bool = False) -> list[tuple[str, Sequence[_Cell]]]:
    """Rows of due lessons, one for all that a person has to a day; ``ago`` says that the days told are those since then."""

    def days(left: int) -> str:
        return (
            ntr("{count} day ago", "{count} days ago", left, **thousands(left))
            if ago
            else ntr("{count} day", "{count} days", left, **thousands(left))
        )

    found: dict[tuple[str, datetime.date | None], list[Due]] = {}
    for d in due:
        found.setdefault((d.who.person.id, d.until), []).append(d)
    return [
        (_who(ds[0].who), (
            _Cell(_named(r, [d.lesson for d in ds])), _Cell(str(ds[0].until or ""), "one"),
            _Cell("" if (left := ds[0].left) is None else days(abs(left)), "one"),
        ))
        for ds in found.values()
    ]  # fmt: skip


def _ended(r: Readiness, lapsed: Sequence[Due]) -> str:
    return _some("lapsed", tr("Lapsed"), tr("Passed and signed, but too long ago. They count no more until they are passed and signed again."),
                 (tr("Crew"), tr("Lessons"), tr("Held until"), tr("Ago")), _by_person(r, lapsed, ago=True),
                 _looked("lapsed", tr("everyone with a lapsed lesson"), "due.csv"))  # fmt: skip


def _ending(r: Readiness, due: Sequence[Due]) -> str:
    within = ntr("{count} day", "{count} days", r.site.settings.records.due_days, **thousands(r.site.settings.records.due_days))
    return _some("due", tr("Due within {days}", days=within), tr("Still good, to the end of the day that is told. The next to end come first."),
                 (tr("Crew"), tr("Lessons"), tr("Holds until"), tr("Days left")), _by_person(r, due), _looked("due", tr("everyone who is due"), "due.csv"))  # fmt: skip


def _failed(r: Readiness, w: Week) -> str:
    rows = [
        (_who(f.who), (_Cell(_named(r, [f.lesson])), _Cell(str(f.day), "one"), _Cell(_said(tr(f.who.standings[f.lesson].words)))))
        for f in w.failed
    ]  # fmt: skip
    return _some("failed", tr("Failed after passing"), tr("Somebody who knew it once no longer did. Whether that calls for an order to train again is yours "
                 "to say: a line in retrain.csv gives one."), (tr("Crew"), tr("Lesson"), tr("Failed on"), tr("Stands now")), rows,
                 _looked("failed", tr("everyone who failed one"), "people.csv"))  # fmt: skip


def _to_sign(r: Readiness, w: Week) -> str:
    day, mentors = r.day, r.site.mentors
    kinds = []
    for kind, (people, lessons) in kinds_of_people(w).items():
        if mentors is None:
            who = ""
        else:
            may = [m.id for m in mentors if kind_of_mentor(kind) in m.kinds and (day is None or m.may_sign(kind_of_mentor(kind), day))]
            named = [*map(_said, may[:5]), *([tr("others")] if len(may) > 5 else [])]
            some = named[0] if named else ""
            for name in named[1:]:
                some = tr("{some} or {last}", some=some, last=name)
            who = ", " + tr("by {mentors}", mentors=some) if may else f", <b>{tr('and no mentor may sign for it')}</b>"
        kinds.append(f"<b>{_said(tr(kind_of_mentor(kind)))}</b>: {_people_counted(people)}, {_lessons_counted(lessons)}{who}")
    rows = [
        (_who(s.who), (
            _Cell(_said(tr(kind_of_mentor(s.kind)))), _Cell(" ".join(_said(_machine_id(m)) for m in s.machines)), _Cell(_named(r, s.lessons)),
            _Cell(f"<b>{tr('yes')}</b>" if s.last else tr("no")),
        ))
        for s in w.sign
    ]  # fmt: skip
    return _some("sign", tr("Ready to sign off"),
                 tr("Passed, and no mentor has signed. By kind of machine: {kinds}. Those for whom it is all that is missing come first.", kinds="; ".join(kinds)),
                 (tr("Crew"), tr("Mentor for"), tr("Machines"), tr("Lessons to sign"), tr("All that is missing")), rows,
                 _looked("sign-off", tr("everyone who waits for a sign-off"), "people.csv"))  # fmt: skip


def _people_counted(n: int) -> str:
    return ntr("{count} person", "{count} people", n, **thousands(n))


def _lessons_counted(n: int) -> str:
    return ntr("{count} lesson", "{count} lessons", n, **thousands(n))


def _machine_id(id_: str) -> str:
    """A machine's id; that there is none, in words."""
    return tr(ON_FOOT) if id_ == ON_FOOT else id_


def _spoken(r: Readiness, w: Week) -> str:
    rows = [
        (_who(x.who), (
            _Cell(_said(language_name(x.who.person.language))), _Cell(_said(language_name(x.language)) + ("" if x.told else f", {tr('not told')}")),
            _Cell(_named(r, x.lessons)),
        ))
        for x in w.languages
    ]  # fmt: skip
    return _some("languages", tr("Passed in another language"), tr("Training has to be in a language that the person understands. Ask whether this was so, or "
                 "mend the crew table. Nothing is taken away. Where a try does not tell its language, the site's main one stands for it."),
                 (tr("Crew"), tr("By the crew table"), tr("Passed in"), tr("Lessons")), rows, '<a href="results.csv">results.csv</a>.')  # fmt: skip


def _heard(r: Readiness, w: Week) -> str:
    rows = [
        (_who(x.who), (
            _Cell(_said(language_name(x.who.person.language or r.site.settings.languages[0]))), _Cell(_said(language_name(x.language))),
            _Cell(_named(r, x.signed)), _Cell("<br>".join(f"{t.day} {_said(r.titles.get(t.lesson, t.lesson or t.sheet))}" for t in x.talks)),
        ))
        for x in w.heard
    ]  # fmt: skip
    return _some("heard", tr("Signed off or talked to in another language"), tr("The tables of sign-offs and talks say so. Ask whether it was understood. Nothing is taken away."),
                 (tr("Crew"), tr("By the crew table"), tr("Spoken"), tr("Signed for"), tr("Tailgate talks")), rows, tr("the tables of sign-offs and talks"))  # fmt: skip


def kind_of_mentor(kind: str) -> str:
    """The kind as mentors.csv names it; who works beside machines is signed for ``on foot``."""
    return ON_FOOT if kind == "no machine" else kind


def _kinds_of_flags(w: Week) -> str:
    rows = [
        (f"<b>{_said(name)}</b>", (_Cell(_said(tr(NAMES.get(name, "")))), _Cell(counted(n), "number"), _Cell(counted(counts), "number")))
        for name, n, counts in w.flags
    ]  # fmt: skip
    flagged = f'<a href="#flagged">{tr("Flagged")}</a>'
    return _some("flags", tr("Flags by kind"), tr("Each one with what to do about it: see {flagged}.", flagged=flagged),
                 (tr("Flag"), tr("What it means"), tr("How many"), tr("Of these count")), rows,
                 f'{flagged} {tr("or")} <a href="results.csv">results.csv</a>.')  # fmt: skip


# --- people by role -------------------------------------------------------------------------

# what people can be looked for by, beside their role: see week.states_of
LOOK_FOR: Mapping[str, str] = {
    "ready": mark("ready for all their machines"), "not-ready": mark("something missing on a machine"), "alone": mark("ready to work alone"),
    "due": mark("due or lapsed"), "lapsed": mark("lapsed"), "held": mark("held"), "train-again": mark("ordered to train again"),
    "take-again": mark("numbers changed, take again"), "sign-off": mark("sign-off missing"), "failed": mark("failed after passing"),
}  # fmt: skip


def _states(r: Readiness, w: Week) -> dict[str, tuple[str, ...]]:
    due, held = {d.who.person.id for d in w.due}, {h.marked.result.crew for h in w.held}
    return {p.person.id: states_of(p, due, held) for p in r.people}


def _people(r: Readiness, w: Week) -> str:
    states = _states(r, w)
    parts = []
    for title, people in s_roles(r):
        able = [p for p in people if p.machines]
        ready = sum("ready" in states[p.person.id] for p in able)
        alone = sum("alone" in states[p.person.id] for p in able)
        said = tr("{people}: {n} ready for seat time on all their machines", people=_people_counted(len(people)), n=ready)
        if _has_rule(people):
            said += ", " + tr("{n} ready to work alone on all of them", n=alone)
        parts.append(f'<section data-role="{_said(people[0].role.id)}"><h3>{_said(title)}</h3><p class="small">{said}.</p>'
                     f"{_role_table(r, title, people, states)}</section>")  # fmt: skip
    return (
        f'<section id="people"><h2>{tr("Readiness by role")}</h2><p class="small"><b>{tr("Ready for seat time")}</b>: '
        f"{tr('nothing is missing before the person works the machine with a mentor near.')} {_alone_said(r)} "
        + tr(
            "A mentor's sign-off counts for every machine of the same kind (and class, where the site has classes): dozer, excavator, compact excavator "
            "or truck. Where it was given on another machine, the line says on which. The mentor decides whether that is enough for this one."
        )
        + f"</p>{_look(r, states)}{''.join(parts)}</section>"
    )


def _has_rule(people: Iterable[PersonLine]) -> bool:
    return any(m.alone is not None for p in people for m in p.machines)


def _alone_said(r: Readiness) -> str:
    """What working alone means here; once, that the site, or which roles, have no rule for it."""
    roles = s_roles(r)
    without = [title for title, people in roles if not _has_rule(people)]
    if len(without) == len(roles):
        return tr(
            "The site has no rule for working alone, so this page says nobody is ready for it; hours: and slope_hours: under a role in settings.yml make one."
        )
    meant = f"<b>{tr('Ready to work alone')}</b>: {tr('the hours under a mentor that the role asks for are there as well.')}"
    if not without:
        return meant
    lacking = tr(
        "There is no rule for it for {roles}; hours: and slope_hours: under a role in settings.yml make one.", roles=_said(_list(without))
    )
    return f"{meant} {lacking}"


def _list(words: Sequence[str]) -> str:
    return tr("{some} and {last}", some=", ".join(words[:-1]), last=words[-1]) if len(words) > 1 else "".join(words)


def _look(r: Readiness, states: Mapping[str, Sequence[str]]) -> str:
    """The form that looks for people; hidden where no script runs, for it does nothing there."""
    roles = "".join(f'<option value="{_said(people[0].role.id)}">{_said(title)} ({len(people)})</option>' for title, people in s_roles(r))
    found = {s: sum(s in of for of in states.values()) for s in LOOK_FOR}
    rule = _has_rule(r.people)
    options = "".join(f'<option value="{s}">{tr(words)} ({found[s]})</option>' for s, words in LOOK_FOR.items() if s != "alone" or rule)
    everyone = _people_counted(len(r.people))
    return (
        f'<form id="look" role="search" aria-label="{tr("People")}" hidden><label>{tr("Role")} <select name="role"><option value="">{tr("all roles")}</option>{roles}</select></label>'
        f'<label>{tr("State")} <select name="state"><option value="">{tr("all states")}</option>{options}</select></label>'
        f'<label>{tr("Crew id, name or machine")} <input name="find" type="search" autocomplete="off" spellcheck="false"></label>'
        f'<button type="reset">{tr("Show all")}</button></form><p id="shown" role="status" data-all="{everyone}">{everyone}.</p>'
    )


def _role_table(r: Readiness, title: str, people: Sequence[PersonLine], states: Mapping[str, Sequence[str]]) -> str:
    role = people[0].role
    timed = bool(role.hours or role.slope_hours) or any(p.hours for p in people)
    rule = _has_rule(people)
    heads = [tr("Lessons"), *([tr("Hours under a mentor")] if timed else []), tr("Machine"), tr("Seat time"), *([tr("Work alone")] if rule else []),
             tr("Missing before seat time")]  # fmt: skip
    bodies = (_person(r, p, heads, states[p.person.id], timed=timed, rule=rule) for p in people)
    return _stack(tr("{role}: what is missing, by person and machine", role=_said(title)), [tr("Crew"), *heads], bodies, "wide")


def _person(r: Readiness, p: PersonLine, heads: Sequence[str], states: Sequence[str], *, timed: bool, rule: bool) -> str:
    alike: dict[tuple[object, ...], list[MachineLine]] = {}
    for m in p.machines:
        alike.setdefault((m.state, m.gaps, m.alone), []).append(m)
    groups = list(alike.values())
    rows = max(1, len(groups))
    passed, signed, of = p.count("ready", "sign-off missing"), sum(bool(s.signed) for s in p.standings.values()), len(p.standings)
    elsewhere = in_another_language(r, p)
    own = [
        _Cell(
            "<br>".join(
                (
                    tr("{n} of {all} passed", n=passed, all=of),
                    tr("{n} signed", n=signed),
                    *([tr("{n} not in {language}", n=elsewhere, language=_said(language_name(p.person.language)))] if elsewhere else []),
                    tr("latest {day}", day=p.last) if p.last else tr("no result yet"),
                )
            ),
            "one",
            rows,
        )
    ]
    if timed:
        own.append(_Cell(_hours(p), "one", rows))
    out = []
    for i in range(rows):
        cells = [*(own if i == 0 else ()), *(_machine(r, p, groups[i], rule=rule) if groups else _no_machine(r, p, rule=rule))]
        who = f"{_said(p.person.id)} {_said(p.person.name)}"
        out.append(_stacked(heads[len(heads) - len(cells) :], who, cells, rows, headed=i == 0))
    find = " ".join([p.person.id, p.person.name, *(m.machine for m in p.machines)])
    about = f'data-who="{_said(p.person.id)}" data-role="{_said(p.role.id)}" data-state="{" ".join(states)}" data-find="{_said(find)}"'
    return f'<tbody role="rowgroup" {about}>{"".join(out)}</tbody>'


def _machine(r: Readiness, p: PersonLine, group: Sequence[MachineLine], *, rule: bool) -> list[_Cell]:
    m = group[0]
    alike: dict[str, list[str]] = {}
    for x in group:
        alike.setdefault(_said(tr(x.kind)) + (f", {_said(x.machine_class)}" if x.machine_class not in {"", x.kind} else ""), []).append(
            _said(_machine_id(x.machine))
        )
    names = "<br>".join(f"{' '.join(machines)}, {kind}" for kind, machines in alike.items())
    out = [_Cell(names), _Cell(f"<b>{_said(tr(m.state))}</b>" if m.ready else tr(m.state), "" if m.ready else "one")]
    if rule:
        out.append(_Cell(_alone(m), "alone"))
    return [*out, _Cell(_gaps(r, p, m))]


def _alone(m: MachineLine) -> str:
    if m.alone is None:
        return tr("no rule")
    if m.ready_alone:
        return f"<b>{tr('ready')}</b>"
    return tr("not ready") + (f": {_said('; '.join(map(worded, m.alone)))}" if m.alone else "")


def _no_machine(r: Readiness, p: PersonLine, *, rule: bool) -> list[_Cell]:
    return [_Cell(_said(no_machine(p, r.site.table(CREW.file)))), *[_Cell("", "blank")] * (3 if rule else 2)]


def _hours(p: PersonLine) -> str:
    """Hours under a mentor and on slopes, beside what the role asks for."""
    role = p.role
    out = f"{_of(p.mentored, role.hours)} h"
    if role.slope_hours or p.on_slopes:
        out += "<br>" + tr("slopes {hours} h", hours=_of(p.on_slopes, role.slope_hours))
    return out


def _of(done: float, needed: float | None) -> str:
    return tr("{n} of {all}", n=hours(done), all=hours(needed)) if needed else hours(done)


def _gaps(r: Readiness, p: PersonLine, m: MachineLine) -> str:
    """What is missing on one machine: a line a state, in it the lessons with what there is to say."""
    if m.ready:
        return tr("nothing")
    by_state: dict[str, list[str]] = {}
    for id_, state, words in m.gaps:
        changed = p.standings[id_].changed if state == "take again" else ()
        more = [worded(words).removeprefix(tr(state)).strip(" ,()"), *map(worded, changed[:3]), tr("and more") if len(changed) > 3 else ""]
        said = "; ".join(x for x in more if x)
        by_state.setdefault(state, []).append(_said(r.titles.get(id_) or worded(id_)) + (f" ({_said(said)})" if said else ""))
    order = ("train again", "held", "lapsed", "take again", "not passed", "not taken", "sign-off missing", "no quiz", "no lesson", "ready")
    whole = len(p.standings) if len(p.standings) > MOST_NAMED else None  # every lesson of the role, named one by one, tells less
    lines = [
        f"<li><b>{tr(state)}</b>: {tr('all {n} lessons of the role', n=whole) if len(by_state[state]) == whole and plain else ' · '.join(by_state[state])}</li>"
        for state in order if state in by_state for plain in (not any("(" in x for x in by_state[state]),)
    ]  # fmt: skip
    return f"<ul>{''.join(lines)}</ul>"


def s_roles(r: Readiness) -> list[tuple[str, list[PersonLine]]]:
    """People by their role's title, in the order of settings.yml."""
    out: dict[str, list[PersonLine]] = {}
    for p in r.people:
        out.setdefault(p.role.id, []).append(p)
    return [(people[0].role.title, people) for people in out.values()]


# --- lessons, questions, flags --------------------------------------------------------------


def _matrix(r: Readiness, w: Week) -> str:
    key = "".join(f"<li><b>{SHORT[k]}</b> {tr(k)}: {tr(v)}</li>" for k, v in STATES.items())
    crew_table = r.site.table(CREW.file)
    due = {(d.who.person.id, d.lesson): d.until for d in w.due if not d.lapsed}
    thick = '<p class="small">' + tr("A thick line under a mark: it ends soon.") + "</p>" if due else ""
    out = [f'<section id="matrix"><h2>{tr("Lessons by person")}</h2><ul class="key small">{key}</ul>{thick}']
    for title, people in s_roles(r):
        lessons = [i for i in r.lessons if i in people[0].role.lessons]
        heads = [tr("Crew"), *(f'<span class="up">{_said(r.titles.get(i, i))}</span>' for i in lessons), tr("Seat time")]
        rows = []
        for p in people:
            cells = "".join(_mark(p.standings[i].state, tr(p.standings[i].words), due.get((p.person.id, i))) for i in lessons)
            rows.append(
                f'<tr data-who="{_said(p.person.id)}"><th scope="row">{_said(p.person.id)} {_said(p.person.name)}</th>{cells}'
                f"<td>{_seat_time(p, crew_table)}</td></tr>"
            )
        out.append(f'<section data-role="{_said(people[0].role.id)}">{_table(_said(title), heads, rows, "matrix")}</section>')
    return "".join(out) + "</section>"


def no_machine(p: PersonLine, crew_table: str) -> str:
    """Why somebody has no machine to be ready for."""
    gone = " ".join(p.person.machines)
    if gone:
        return tr("no machine left: {machines} retired; give another in {table}", machines=gone, table=crew_table)
    return tr("no machine in {table}", table=crew_table)


def _seat_time(p: PersonLine, crew_table: str) -> str:
    """Each machine of a person with its state, for the last cell of the matrix."""
    if not p.machines:
        return _said(no_machine(p, crew_table))
    alike: dict[str, list[str]] = {}
    for m in p.machines:
        alike.setdefault(f"<b>{_said(tr(m.state))}</b>" if m.ready else tr("{n} missing", n=len(m.gaps)), []).append(
            _said(_machine_id(m.machine))
        )
    return "<br>".join(f"{' '.join(machines)}: {state}" for state, machines in alike.items())


def _mark(state: str, words: str, until: datetime.date | None) -> str:
    said = _said(words) + (", " + tr("until {day}", day=until) if until else "")
    return (
        f'<td class="mark{" due" if until else ""}" title="{said}"><span aria-hidden="true">{SHORT[state]}</span>'
        f'<span class="visually-hidden">{said}</span></td>'
    )


def _lessons(r: Readiness) -> str:
    rows = [
        _row(_said(t.title), (str(t.people), str(t.passed_first), share(t.right, t.answers), _said(t.hardest),
                              f"<b>{tr('teach it again')}</b>" if t.teach_again else ""), frozenset({1, 2, 3}))
        for t in r.taught
    ]  # fmt: skip
    heads = (tr("Lesson"), tr("People"), tr("Passed at first try"), tr("Right at first try"), tr("Hardest question"), tr("Teach again"))
    return (
        f'<h2>{tr("Lessons to teach again")}</h2><p class="small">{tr("A lesson is marked when fewer than half passed it at their first try.")}</p>'
        + _table(tr("First tries by lesson"), heads, rows)
    )


def _questions(r: Readiness) -> str:
    def row(q: QuestionLine) -> str:
        mistake = f"{_said(in_words(q.mistake))} ({q.mistake_count})" if q.mistake else ""
        must = ", " + tr("must be right") if q.must else ""
        edition = "" if q.edition == r.edition else f" ({tr('edition {edition}', edition=_said(q.edition))})"
        return _row(f"{_said(q.q)}{must}", (_said(q.title) + edition, _said(q.ask), str(q.answers), share(q.right, q.answers), mistake),
                    frozenset({3, 4}))  # fmt: skip

    heads = (tr("Question"), tr("Lesson"), tr("It asks"), tr("Answers"), tr("Right"), tr("Most picked mistake"))
    worst = sorted(r.questions, key=lambda q: (q.share, q.lesson, q.q))
    missed = [q for q in worst if q.right < q.answers]
    first, rest = missed[:MOST_SHOWN], [*missed[MOST_SHOWN:], *(q for q in worst if q.right == q.answers)]
    out = f'<h2>{tr("Questions, hardest first")}</h2><p class="small">{tr("Every question stands in questions.csv.")}</p>'
    out += _table(tr("The hardest questions"), heads, map(row, first)) if first else f"<p>{tr('No question has been missed yet.')}</p>"
    if rest:
        out += f"<details><summary>{tr('The other {n} questions', n=len(rest))}</summary>{_table(tr('The other questions'), heads, map(row, rest))}</details>"
    return out


def in_words(mistake: str) -> str:
    """A named mistake's id as words; a choice that was picked stays as it is."""
    return mistake.replace("-", " ") if re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", mistake) else mistake


def _flags(r: Readiness) -> str:
    if not r.tally.flags:
        return f'<h2 id="flagged">{tr("Flagged")}</h2><p>{tr("Nothing is flagged.")}</p>'
    rows = [
        _row(_said(f.where), (f"<b>{_said(f.name)}</b>", tr("yes") if f.counted else tr("no"), _said(f.crew), _said(f.lesson), _said(worded(f.what)), _said(worded(f.fix))))
        for f in r.tally.flags[:MOST_FLAGS]
    ]  # fmt: skip
    names = "; ".join(f"{n}: {tr(NAMES.get(n, n))}" for n in dict.fromkeys(f.name for f in r.tally.flags))
    left = len(r.tally.flags) - MOST_FLAGS
    more = (
        "<p>" + tr("and {n} more: see {where}", n=counted(left), where='<a href="results.csv">results.csv</a>.') + "</p>"
        if left > 0
        else ""
    )
    heads = (tr("Where"), tr("Flag"), tr("Counts"), tr("Crew"), tr("Lesson"), tr("What"), tr("What to do"))
    return (
        f'<h2 id="flagged">{tr("Flagged")}</h2><p class="small">{_said(names)}.</p>'
        + _table(tr("Results and sign-offs that are flagged"), heads, rows)
        + more
    )
