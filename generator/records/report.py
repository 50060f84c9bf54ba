"""The report of a tally: CSV files for a spreadsheet, a page for the mentor folder, a terminal table."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from html import escape
from pathlib import Path

from generator.jobsite.spreadsheet import csv_text
from generator.records.flags import NAMES
from generator.records.readiness import STATES, PersonLine, QuestionLine, Readiness

SHORT = {
    "ready": "●", "sign-off missing": "◐", "take again": "↻", "not passed": "✕", "not taken": "·", "no quiz": "–",
}  # fmt: skip


def _share(right: int, of: int) -> str:
    return f"{100 * right / of:.0f}%" if of else ""


def files(r: Readiness) -> dict[str, str]:
    """Every file of the report by name."""
    return {
        "readiness.csv": csv_text(
            ("role", "crew", "name", "machines", "ready for", *r.lessons),
            (
                (
                    p.role.title, p.person.id, p.person.name, " ".join(p.person.machines),
                    " ".join(m.machine for m in p.machines if m.ready) or "none",
                    *(p.standings[i].words if i in p.standings else "" for i in r.lessons),
                )
                for p in r.people
            ),
        ),
        "people.csv": csv_text(
            ("crew", "name", "role", "machine", "kind", "seat time", "missing before seat time", "latest result"),
            (
                (
                    p.person.id, p.person.name, p.role.title, m.machine, m.kind, "ready" if m.ready else "not ready",
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
html { color-scheme: light dark; }
body { margin: 0 auto; padding: 16px; max-width: 90em; font: 16px/1.45 system-ui, "Segoe UI", Roboto, "Noto Sans", sans-serif; }
h1 { font-size: 1.6em; margin: 0 0 .2em; } h2 { font-size: 1.2em; margin: 1.6em 0 .4em; }
.note { border-left: 6px solid currentColor; padding: .2em .8em; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; } caption { text-align: left; font-weight: 600; padding: .3em 0; }
th, td { border: 1px solid currentColor; padding: .25em .5em; text-align: left; vertical-align: top; }
thead th { vertical-align: bottom; } td.mark { text-align: center; white-space: nowrap; }
.up { writing-mode: vertical-rl; transform: rotate(180deg); max-height: 13em; font-weight: 600; }
td.number { text-align: right; } .small { font-size: .9em; }
.visually-hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
@media print { body { font-size: 9pt; max-width: none; padding: 0; } .scroll { overflow: visible; } tr { break-inside: avoid; } }
"""


def _table(caption: str, heads: Sequence[str], rows: Iterable[str]) -> str:
    head = "".join(f'<th scope="col">{h}</th>' for h in heads)
    return (
        f'<div class="scroll" tabindex="0" role="region" aria-label="{caption}"><table><caption>{caption}</caption>'
        f"<thead><tr>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table></div>"
    )


def _row(first: str, cells: Iterable[str], numbers: frozenset[int] = frozenset()) -> str:
    tds = "".join(f'<td{" class=number" if i in numbers else ""}>{c}</td>' for i, c in enumerate(cells, 1))
    return f'<tr><th scope="row">{first}</th>{tds}</tr>'


def _said(text: object) -> str:
    """Text for the page: no markup of it does anything, and it can always be written."""
    clean = str(text).encode("utf-8", "replace").decode("utf-8")
    return escape("".join(ch if ch.isprintable() else "�" for ch in clean))


def page(r: Readiness) -> str:
    """The page for the mentor folder."""
    s = r.site.settings
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,"><title>Who is ready: {_said(s.name)}</title><style>{_STYLE}</style></head>
<body>
<h1>Who is ready for seat time</h1>
<p class="small">{_said(s.name)}, edition {_said(r.edition)}{", invented site" if s.invented else ""}.
{f"Results up to {_said(r.latest)}." if r.latest else "No results yet."}</p>
<p class="note">Keep this page to mentors and the coordinator. A passed quiz is not a permit: the mentor's
sign-off, the site's rules and the law decide who runs a machine.</p>
{_matrix(r)}
{_people(r)}
{_lessons(r)}
{_questions(r)}
{_flags(r)}
</body></html>
"""


def _matrix(r: Readiness) -> str:
    marks = "; ".join(f"{SHORT[k]} {k}: {v}" for k, v in STATES.items())
    out = [f'<h2>Lessons</h2><p class="small">{escape(marks)}. An empty cell: the role does not need it.</p>']
    for role in s_roles(r):
        lessons = [i for i in r.lessons if i in role[1][0].role.lessons]
        heads = ["Crew", *(f'<span class="up">{_said(r.titles.get(i, i))}</span>' for i in lessons), "Ready for"]
        rows = []
        for p in role[1]:
            cells = "".join(_mark(p.standings[i].state, p.standings[i].words) for i in lessons)
            ready = ", ".join(m.machine for m in p.machines if m.ready) or "nothing yet"
            rows.append(f'<tr><th scope="row">{_said(p.person.id)} {_said(p.person.name)}</th>{cells}<td>{_said(ready)}</td></tr>')
        out.append(_table(_said(role[0]), heads, rows))
    return "".join(out)


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
    rows = []
    for p in r.people:
        for m in p.machines:
            missing = "".join(f"<li>{_said(x)}</li>" for x in m.missing)
            changed = {i: s.changed for i, s in p.standings.items() if s.state == "take again"}
            again = "".join(
                f"<li>{_said(i)}: {_said('; '.join(c[:4]))}{' and more' if len(c) > 4 else ''}</li>" for i, c in changed.items()
            )
            what = f"<details><summary>{len(m.missing)} missing</summary><ul>{missing}</ul></details>" if missing else "nothing"
            if again:
                what += f"<details><summary>Numbers that no longer hold</summary><ul>{again}</ul></details>"
            rows.append(
                _row(f"{_said(p.person.id)} {_said(p.person.name)}",
                     (_said(p.role.title), f"{_said(m.machine)}, {_said(m.kind)}", "<b>ready</b>" if m.ready else "not ready", what, p.last))
            )  # fmt: skip
    heads = ("Crew", "Role", "Machine", "Seat time", "Missing before seat time", "Latest result")
    return "<h2>People</h2>" + _table("What is missing before seat time, by person and machine", heads, rows)


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
        mistake = f"{_said(q.mistake)} ({q.mistake_count})" if q.mistake else ""
        return _row(_said(q.q), (_said(q.title), _said(q.ask), str(q.answers), _share(q.right, q.answers), mistake), frozenset({3, 4}))

    heads = ("Question", "Lesson", "It asks", "Answers", "Right", "Most picked mistake")
    worst = sorted(r.questions, key=lambda q: (q.share, q.lesson, q.q))
    return "<h2>Questions, hardest first</h2>" + _table("How each question was answered", heads, map(row, worst))


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
            more = f" and {len(m.missing) - 1} more" if len(m.missing) > 1 else ""
            rows.append((*who, m.machine, "ready" if m.ready else f"missing {first}{more}"))
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


