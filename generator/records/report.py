"""The report of a tally: CSV files for a spreadsheet, a page for the mentor folder, a terminal table."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from html import escape
from pathlib import Path

from generator.book.foot import page_foot
from generator.book.guard import guarded
from generator.jobsite.columns import CREW
from generator.jobsite.spreadsheet import csv_text
from generator.records.flags import NAMES
from generator.records.readiness import STATES, MachineLine, PersonLine, QuestionLine, Readiness

SHORT = {
    "ready": "●", "sign-off missing": "◐", "take again": "↻", "not passed": "✕", "not taken": "○", "no quiz": "–",
    "no lesson": "!", "lapsed": "⌛", "train again": "⚑", "held": "‖",
}  # fmt: skip


MOST_SHOWN = 25  # questions on the page; the rest is folded away


def _share(right: int, of: int) -> str:
    return f"{100 * right / of:.0f}%" if of else ""


def files(r: Readiness) -> dict[str, str]:
    """Every file of the report by name."""
    return {
        "readiness.csv": csv_text(
            ("role", "crew", "name", "machines", "ready for", "not ready for", *r.lessons),
            (
                (
                    p.role.title, p.person.id, p.person.name, " ".join(p.person.machines),
                    " ".join(m.machine for m in p.machines if m.ready) or "none",
                    " | ".join(f"{m.machine}: {len(m.gaps)} missing" for m in p.machines if not m.ready),
                    *(p.standings[i].words if i in p.standings else "" for i in r.lessons),
                )
                for p in r.people
            ),
        ),
        "people.csv": csv_text(
            ("crew", "name", "role", "machine", "kind", "seat time", "missing before seat time", "latest result"),
            (
                (
                    p.person.id, p.person.name, p.role.title, m.machine, m.kind, m.state,
                    " | ".join(m.missing), p.last,
                )
                for p in r.people for m in p.machines
            ),
        ),
        "questions.csv": csv_text(
            ("edition", "lesson", "question", "asks", "must be right", "answers", "right", "share right",
             "share right at first try", "most picked mistake", "times picked"),
            (
                (
                    q.edition, q.lesson, q.q, q.ask, "yes" if q.must else "", q.answers, q.right, _share(q.right, q.answers),
                    _share(q.first_right, q.first_answers), q.mistake, q.mistake_count or "",
                )
                for q in r.questions
            ),
        ),
        "lessons.csv": csv_text(
            ("lesson", "title", "people", "passed at first try", "share right at first try", "hardest question", "teach again"),
            (
                (t.lesson, t.title, t.people, t.passed_first, _share(t.right, t.answers), t.hardest, "yes" if t.teach_again else "")
                for t in r.taught
            ),
        ),
        "results.csv": csv_text(
            ("where", "counts", "flag", "crew", "lesson", "edition", "finished (UTC)", "right", "of", "passed", "handed in as", "what", "what to do"),
            [
                *(
                    (
                        m.result.where, "yes", "", m.result.crew, m.lesson.id, m.lesson.edition,
                        f"{m.result.finished:%Y-%m-%d}" + ("" if m.result.origin == "paper" else f" {m.result.finished:%H:%M}"),
                        m.right, m.of, "yes" if m.passed else "no", m.result.origin, "", "",
                    )
                    for m in r.tally.marked
                ),
                *(
                    (f.where, "yes" if f.counted else "no", f.name, f.crew, f.lesson, "", "", "", "", "", "", f.what, f.fix)
                    for f in r.tally.flags
                ),
            ],
        ),
        "readiness.html": page(r),
    }  # fmt: skip


def write(r: Readiness, folder: Path) -> list[Path]:
    """Write the report into ``folder``, each file beside and then in its place. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    out = []
    for name, text in files(r).items():
        beside = folder / f".{name}.{os.getpid()}"
        try:
            beside.write_bytes(text.encode("utf-8", "replace"))
            beside.replace(folder / name)
        finally:
            beside.unlink(missing_ok=True)
        out.append(folder / name)
    return out


# --- the page -------------------------------------------------------------------------------

_STYLE = """
* { box-sizing: border-box; }
html { color-scheme: light dark; --line: #8a938f; --head: #e9eeec; --page: #fdfcf8; --ink: #15201e; --mark: #14564f; }
@media (prefers-color-scheme: dark) { html { --line: #7f8d89; --head: #1c2927; --page: #101817; --ink: #eef3f1; --mark: #8fd3c8; } }
body { margin: 0 auto; padding: 16px; max-width: 84em; font: 16px/1.45 system-ui, "Segoe UI", Roboto, "Noto Sans", sans-serif; color: var(--ink); background: var(--page); }
h1 { font-size: 1.6em; margin: 0 0 .2em; } h2 { font-size: 1.25em; margin: 1.8em 0 .4em; }
.note { border-left: 6px solid var(--mark); padding: .2em .8em; max-width: 60em; }
.sum { font-size: 1.15em; }
.scroll { position: relative; overflow-x: auto; margin-bottom: 1.2em; } .scroll:focus-visible { outline: 3px solid var(--mark); }
table { border-collapse: collapse; } caption { text-align: left; font-weight: 600; padding: .3em 0; }
th, td { border: 1px solid var(--line); padding: .3em .5em; text-align: left; vertical-align: top; }
thead th { vertical-align: bottom; background: var(--head); }
tbody th { min-width: 10em; background: var(--page); } td.mark { text-align: center; min-width: 2.6em; }
.wide { min-width: 56em; } .matrix td:last-child { min-width: 13em; }
.up { writing-mode: vertical-rl; transform: rotate(180deg); max-height: 14em; font-weight: 600; font-size: .9em; line-height: 1.25; }
td.number { text-align: right; } .small { font-size: .9em; } .role { font-weight: 400; }
td ul { margin: 0; padding-left: 1.1em; } .key { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .1em 1.5em; }
td[data-head="Latest result"] { white-space: nowrap; }
.key b { display: inline-block; min-width: 1.4em; text-align: center; }
summary { min-height: 48px; padding: .7em 0; cursor: pointer; font-weight: 600; }
.visually-hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
@media (min-width: 40em) { tbody th { position: sticky; left: 0; } }
@media screen and (max-width: 39.99em) {
  .stack, .stack tbody, .stack tr, .stack th, .stack td, .stack caption { display: block; min-width: 0; border: 0; }
  .stack thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .stack tr { padding: .5em 0; border-bottom: 2px solid var(--line); } .stack td { padding: .15em .5em; }
  .stack td::before { content: attr(data-head) ": "; } .stack td ul { padding-left: 1.4em; }
}
@page { size: landscape; margin: 12mm 12mm 14mm; }
@media print {
  html { color-scheme: light; --line: #000; --head: #fff; --page: #fff; --ink: #000; --mark: #000; }
  body { font-size: 9pt; max-width: none; padding: 0; } .scroll { overflow: visible; } .wide { min-width: 0; width: 100%; } .small { font-size: 8.5pt; } .up { font-size: 8.5pt; }
  tr, .key { break-inside: avoid; } thead { display: table-header-group; } h2, h2 + p, caption { break-after: avoid; } details { display: none; }
  tbody th { position: static; min-width: 11em; } .matrix td:last-child { min-width: 0; } .scroll:has(.matrix) { break-inside: avoid; }
}
"""


def _table(caption: str, heads: Sequence[str], rows: Iterable[str], kind: str = "wide") -> str:
    head = "".join(f'<th scope="col">{h}</th>' for h in heads)
    return (
        f'<div class="scroll" tabindex="0" role="region" aria-label="{caption}"><table class="{kind}"><caption>{caption}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table></div>"
    )


def _row(first: str, cells: Iterable[str], numbers: frozenset[int] = frozenset()) -> str:
    tds = "".join(f"<td{' class=number' if i in numbers else ''}>{c}</td>" for i, c in enumerate(cells, 1))
    return f'<tr><th scope="row">{first}</th>{tds}</tr>'


def _said(text: object) -> str:
    """Text for the page: no markup of it does anything, and it can always be written."""
    clean = str(text).encode("utf-8", "replace").decode("utf-8")
    return escape("".join(ch if ch.isprintable() else "�" for ch in clean))


def page(r: Readiness) -> str:
    """The page for the mentor folder."""
    s = r.site.settings
    return guarded(f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,"><title>Who is ready: {_said(s.name)}</title><style>{_STYLE}{page_foot("Who is ready", s.name, f"edition {r.edition}")}</style></head>
<body>
<h1>Who is ready for seat time</h1>
<p class="small">{_said(s.name)}, edition {_said(r.edition)}{", invented site" if s.invented else ""}.
{f"Results up to {_said(r.latest)}." if r.latest else "No results yet."}</p>
<p class="note">Keep this page to mentors and the coordinator. A passed quiz is not a permit: the mentor's
sign-off, the site's rules and local rules decide who runs a machine.</p>
<p class="sum">{_sum(r)}</p>
{_matrix(r)}
{_people(r)}
{_lessons(r)}
{_questions(r)}
{_flags(r)}
</body></html>
""")


def _sum(r: Readiness) -> str:
    """The state of things in a line."""
    people = [p for p in r.people if p.machines]
    ready = sum(all(m.ready for m in p.machines) for p in people)
    again = sum(p.count("take again") > 0 for p in people)
    out = f"<b>{ready} of {len(people)}</b> people are ready for all their machines."
    if again:
        out += f" <b>{again}</b> must take a lesson again, as its numbers have changed."
    if r.tally.flags:
        out += f" <b>{len(r.tally.flags)}</b> results or sign-offs are flagged: see the end of this page."
    return out


def _matrix(r: Readiness) -> str:
    key = "".join(f"<li><b>{SHORT[k]}</b> {k}: {v}</li>" for k, v in STATES.items())
    crew_table = r.site.table(CREW.file)
    out = [f'<h2>Lessons by person</h2><ul class="key small">{key}</ul>']
    for title, people in s_roles(r):
        lessons = [i for i in r.lessons if i in people[0].role.lessons]
        heads = ["Crew", *(f'<span class="up">{_said(r.titles.get(i, i))}</span>' for i in lessons), "Seat time"]
        rows = []
        for p in people:
            cells = "".join(_mark(p.standings[i].state, p.standings[i].words) for i in lessons)
            rows.append(
                f'<tr><th scope="row">{_said(p.person.id)} {_said(p.person.name)}</th>{cells}<td>{_seat_time(p, crew_table)}</td></tr>'
            )
        out.append(_table(_said(title), heads, rows, "matrix"))
    return "".join(out)


def _seat_time(p: PersonLine, crew_table: str) -> str:
    """Each machine of a person with its state, for the last cell of the matrix."""
    if not p.machines:
        return f"no machine in {_said(crew_table)}"
    lines = (
        f"<b>{_said(m.machine)}: {_said(m.state)}</b>" if m.ready else f"{_said(m.machine)}: {len(m.gaps)} missing" for m in p.machines
    )
    return "<br>".join(lines)


def s_roles(r: Readiness) -> list[tuple[str, list[PersonLine]]]:
    """People by their role's title, in the order of settings.yml."""
    out: dict[str, list[PersonLine]] = {}
    for p in r.people:
        out.setdefault(p.role.id, []).append(p)
    return [(people[0].role.title, people) for people in out.values()]


def _mark(state: str, words: str) -> str:
    return (
        f'<td class="mark" title="{_said(words)}"><span aria-hidden="true">{SHORT[state]}</span>'
        f'<span class="visually-hidden">{_said(words)}</span></td>'
    )


def _people(r: Readiness) -> str:
    heads = ("Crew", "Machine", "Seat time", "Missing before seat time", "Latest result")
    rows = []
    for p in r.people:
        alike: dict[tuple[object, ...], list[MachineLine]] = {}
        for m in p.machines:
            alike.setdefault((m.state, m.gaps), []).append(m)
        for machines in alike.values():
            m = machines[0]
            names = "<br>".join(f"{_said(x.machine)}, {_said(x.kind)}" for x in machines)
            cells = (names, f"<b>{_said(m.state)}</b>" if m.ready else m.state, _gaps(r, p, m), p.last or "none")
            # on a phone the row becomes a block; roles keep it a table for a screen reader
            tds = "".join(f'<td role="cell" data-head="{h}">{c}</td>' for h, c in zip(heads[1:], cells, strict=True))
            who = f'{_said(p.person.id)} {_said(p.person.name)}<br><span class="small role">{_said(p.role.title)}</span>'
            rows.append(f'<tr role="row"><th scope="row" role="rowheader">{who}</th>{tds}</tr>')
    table = _table("What is missing before seat time, by person and machine", heads, rows, "wide stack")
    for tag, role in (("table", "table"), ("thead", "rowgroup"), ("tbody", "rowgroup")):
        table = table.replace(f"<{tag}", f'<{tag} role="{role}"', 1)
    table = table.replace("<thead role=\"rowgroup\"><tr>", "<thead role=\"rowgroup\"><tr role=\"row\">").replace(
        '<th scope="col">', '<th scope="col" role="columnheader">')  # fmt: skip
    return (
        '<h2>Seat time by person and machine</h2><p class="small">A mentor\'s sign-off counts for every machine of the same kind: '
        "dozer, excavator, compact excavator or truck. Where it was given on another machine of the kind, the line says on which. "
        f"The mentor decides whether that is enough for this one.</p>{table}"
    )


def _gaps(r: Readiness, p: PersonLine, m: MachineLine) -> str:
    """What is missing on one machine: a line a state, in it the lessons with what there is to say."""
    if m.ready:
        return "nothing"
    by_state: dict[str, list[str]] = {}
    for id_, state, words in m.gaps:
        changed = p.standings[id_].changed if state == "take again" else ()
        more = [words.removeprefix(state).strip(" ,()"), *changed[:3], "and more" if len(changed) > 3 else ""]
        said = "; ".join(x for x in more if x)
        by_state.setdefault(state, []).append(_said(r.titles.get(id_, id_)) + (f" ({_said(said)})" if said else ""))
    order = ("train again", "held", "lapsed", "take again", "not passed", "not taken", "sign-off missing", "no quiz", "no lesson", "ready")
    lines = [f"<li><b>{state}</b>: {' · '.join(by_state[state])}</li>" for state in order if state in by_state]
    return f"<ul>{''.join(lines)}</ul>"


def _lessons(r: Readiness) -> str:
    rows = [
        _row(_said(t.title), (str(t.people), str(t.passed_first), _share(t.right, t.answers), _said(t.hardest),
                              "<b>teach it again</b>" if t.teach_again else ""), frozenset({1, 2, 3}))
        for t in r.taught
    ]  # fmt: skip
    heads = ("Lesson", "People", "Passed at first try", "Right at first try", "Hardest question", "")
    return (
        '<h2>Lessons to teach again</h2><p class="small">A lesson is marked when fewer than half passed it at their first try.</p>'
        + _table("First tries by lesson", heads, rows)
    )


def _questions(r: Readiness) -> str:
    def row(q: QuestionLine) -> str:
        mistake = f"{_said(in_words(q.mistake))} ({q.mistake_count})" if q.mistake else ""
        must = ", must be right" if q.must else ""
        edition = "" if q.edition == r.edition else f" (edition {_said(q.edition)})"
        return _row(f"{_said(q.q)}{must}", (_said(q.title) + edition, _said(q.ask), str(q.answers), _share(q.right, q.answers), mistake),
                    frozenset({3, 4}))  # fmt: skip

    heads = ("Question", "Lesson", "It asks", "Answers", "Right", "Most picked mistake")
    worst = sorted(r.questions, key=lambda q: (q.share, q.lesson, q.q))
    missed = [q for q in worst if q.right < q.answers]
    first, rest = missed[:MOST_SHOWN], [*missed[MOST_SHOWN:], *(q for q in worst if q.right == q.answers)]
    out = '<h2>Questions, hardest first</h2><p class="small">Every question stands in questions.csv.</p>'
    out += _table("The hardest questions", heads, map(row, first)) if first else "<p>No question has been missed yet.</p>"
    if rest:
        out += (
            f"<details><summary>The other {len(rest)} questions</summary>{_table('The other questions', heads, map(row, rest))}</details>"
        )
    return out


def in_words(mistake: str) -> str:
    """A named mistake's id as words; a choice that was picked stays as it is."""
    return mistake.replace("-", " ") if re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", mistake) else mistake


def _flags(r: Readiness) -> str:
    if not r.tally.flags:
        return "<h2>Flagged</h2><p>Nothing is flagged.</p>"
    rows = [
        _row(_said(f.where), (f"<b>{_said(f.name)}</b>", "yes" if f.counted else "no", _said(f.crew), _said(f.lesson), _said(f.what), _said(f.fix)))
        for f in r.tally.flags
    ]  # fmt: skip
    names = "; ".join(f"{n}: {NAMES[n]}" for n in dict.fromkeys(f.name for f in r.tally.flags))
    heads = ("Where", "Flag", "Counts", "Crew", "Lesson", "What", "What to do")
    return f'<h2>Flagged</h2><p class="small">{_said(names)}.</p>' + _table("Results and sign-offs that are flagged", heads, rows)


# --- the terminal ---------------------------------------------------------------------------


def terminal(r: Readiness, width: int = 100) -> list[str]:
    """The report in lines for a terminal."""
    t = r.tally
    counts = [f"{len(t.marked)} results count", f"{len(t.signoffs)} sign-offs", f"{len(t.flags)} flagged"]
    if t.left_aside:
        counts.append(f"{t.left_aside} other files left aside")
    out = [f"{r.site.settings.name}, edition {r.edition}: {', '.join(counts)}", ""]
    rows: list[tuple[str, ...]] = [("crew", "role", "passed", "signed", "again", "machine", "seat time")]
    for p in r.people:
        passed = p.count("ready", "sign-off missing")
        signed = sum(bool(s.signed) for s in p.standings.values())
        of, again = len(p.standings), p.count("take again")
        for i, m in enumerate(p.machines):
            who = (p.person.id, p.role.title, f"{passed} of {of}", f"{signed} of {of}", str(again or "")) if i == 0 else ("",) * 5
            first = m.missing[0] if m.missing else ""
            rows.append((*who, m.machine, m.state if m.ready else f"{len(m.missing)} missing, first {first}"))
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]) - 1)]
    for row in rows:
        line = "  ".join([*(c.ljust(w) for c, w in zip(row, widths, strict=False)), row[-1]])
        out.append(line if len(line) <= width else line[: width - 1] + "…")
    again_lines = [x for x in r.taught if x.teach_again]
    if again_lines:
        out += ["", "Teach again:"]
        out += [f"  {x.lesson}: {x.passed_first} of {x.people} passed at the first try, hardest question {x.hardest}" for x in again_lines]
    worst = [q for q in sorted(r.questions, key=lambda q: (q.share, q.lesson, q.q)) if q.right < q.answers][:5]
    if worst:
        out += ["", "Hardest questions:"]
        out += [
            f"  {q.q} ({q.lesson}): {_share(q.right, q.answers)} of {q.answers} right"
            + (f", most picked mistake: {q.mistake[:60]} ({q.mistake_count})" if q.mistake else "")
            for q in worst
        ]
    if t.flags:
        out += ["", "Flagged:"]
        out += [f"  {f}" + (" (counts)" if f.counted else "") for f in t.flags]
    return ["".join(ch if ch.isprintable() else "�" for ch in line) for line in out]
