"""The report of a tally: CSV files for a spreadsheet, a page for the mentor folder, a terminal table."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from generator.jobsite.columns import CREW
from generator.jobsite.spreadsheet import csv_text
from generator.records.mark import Marked
from generator.records.readiness import PersonLine, Readiness
from generator.records.readiness_page import hours, kind_of_mentor, many, no_machine, page, share
from generator.records.week import Week, kinds_of_people, week
from generator.records.wording import in_its_language
from generator.units.writing import counted


def files(r: Readiness) -> dict[str, str]:
    """Every file of the report by name. New columns of a table stand after its old ones."""
    w = week(r)
    due = _first_due(w)
    return {
        "readiness.csv": csv_text(
            ("role", "crew", "name", "machines", "ready for", "not ready for", *r.lessons,
             "works alone on", "hours with a mentor", "hours on slopes", "next due", "lessons due", "lessons held", "passed in another language"),
            (
                (
                    p.role.title, p.person.id, p.person.name, " ".join(p.person.machines),
                    " ".join(m.machine for m in p.machines if m.ready) or "none",
                    " | ".join(f"{m.machine}: {len(m.gaps)} missing" for m in p.machines if not m.ready),
                    *(p.standings[i].words if i in p.standings else "" for i in r.lessons),
                    " ".join(m.machine for m in p.machines if m.ready_alone) or ("none" if _has_rule(p) else "no rule"),
                    hours(p.mentored), hours(p.on_slopes), *due.get(p.person.id, ("", "")),
                    sum(h.marked.result.crew == p.person.id for h in w.held) or "", elsewise(w, p.person.id),
                )
                for p in r.people
            ),
        ),
        "people.csv": csv_text(
            ("crew", "name", "role", "machine", "kind", "seat time", "missing before seat time", "latest result",
             "alone", "missing before working alone", "hours with a mentor", "hours needed", "hours on slopes", "slope hours needed", "next due",
             "passed in another language"),
            (
                (
                    p.person.id, p.person.name, p.role.title, m.machine, m.kind, m.state,
                    " | ".join(m.missing), p.last,
                    "no rule" if m.alone is None else "ready" if m.ready_alone else "not ready", " | ".join(m.alone or ()),
                    hours(p.mentored), _hours(p.role.hours), hours(p.on_slopes), _hours(p.role.slope_hours), due.get(p.person.id, ("", ""))[0], elsewise(w, p.person.id),
                )
                for p in r.people for m in p.machines
            ),
        ),
        "questions.csv": csv_text(
            ("edition", "lesson", "question", "asks", "must be right", "answers", "right", "share right",
             "share right at first try", "most picked mistake", "times picked"),
            (
                (
                    q.edition, q.lesson, q.q, q.ask, "yes" if q.must else "", q.answers, q.right, share(q.right, q.answers),
                    share(q.first_right, q.first_answers), q.mistake, q.mistake_count or "",
                )
                for q in r.questions
            ),
        ),
        "lessons.csv": csv_text(
            ("lesson", "title", "people", "passed at first try", "share right at first try", "hardest question", "teach again"),
            (
                (t.lesson, t.title, t.people, t.passed_first, share(t.right, t.answers), t.hardest, "yes" if t.teach_again else "")
                for t in r.taught
            ),
        ),
        "results.csv": csv_text(
            ("where", "counts", "flag", "crew", "lesson", "edition", "finished (UTC)", "right", "of", "passed", "handed in as", "what", "what to do",
             "register row", "language"),
            [
                *(_result(m, "yes") for m in r.tally.marked),
                *(_result(h.marked, "held") for h in w.held),
                *(
                    (f.where, "yes" if f.counted else "no", f.name, f.crew, f.lesson, "", "", "", "", "", "", f.what, f.fix, "", "")
                    for f in r.tally.flags
                ),
            ],
        ),
        "due.csv": csv_text(
            ("person", "lesson", "until", "days left", "days ago", "state", "name", "role"),
            (
                (
                    d.who.person.id, d.lesson, d.until or "", "" if d.left is None else max(d.left, 0), -d.left if d.left is not None and d.left < 0 else "", "lapsed" if d.lapsed else "due",
                    d.who.person.name, d.who.role.title,
                )
                for d in w.due
            ),
        ),
        "readiness.html": _page(r),
    }  # fmt: skip


def _page(r: Readiness) -> str:
    """The page, in the site's main language; the tables are data and the same in every one."""
    with in_its_language(r.site):
        return page(r)


def _result(m: Marked, counts: str) -> tuple[object, ...]:
    """A result as a row of results.csv."""
    return (
        m.result.where, counts, "", m.result.crew, m.lesson.id, m.lesson.edition,
        f"{m.result.finished:%Y-%m-%d}" + ("" if m.result.origin == "paper" else f" {m.result.finished:%H:%M}"),
        m.right, m.of, "yes" if m.passed else "no", m.result.origin, "", "", "" if m.entry is None else m.entry, m.result.language,
    )  # fmt: skip


def _has_rule(p: PersonLine) -> bool:
    return any(m.alone is not None for m in p.machines)


def _hours(needed: float | None) -> str:
    return "" if needed is None else hours(needed)


def elsewise(w: Week, crew: str) -> str:
    """What a person passed in another language than the crew table says: how many lessons, and in which; '' where none."""
    return " | ".join(
        f"{len(x.lessons)} in {x.language}{'' if x.told else ', not told'}; crew table: {x.who.person.language}"
        for x in w.languages
        if x.who.person.id == crew
    )


def _first_due(w: Week) -> dict[str, tuple[object, int]]:
    """By crew id: the first day on which a lesson ends, lapsed ones among them, and how many are due."""
    out: dict[str, tuple[object, int]] = {}
    for d in sorted(w.due, key=lambda d: str(d.until or "")):
        first, n = out.get(d.who.person.id, (d.until or "", 0))
        out[d.who.person.id] = (first, n + 1)
    return out


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


# --- the terminal ---------------------------------------------------------------------------


def terminal(r: Readiness, width: int = 100) -> list[str]:
    """The report in lines for a terminal. What to do this week stands last, where the eye is, and takes 80 columns at most."""
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
        told = (p.person.id, p.role.title, f"{passed} of {of}", f"{signed} of {of}", str(again or ""))
        if not p.machines:  # none in the tables, or all retired: the person is here all the same
            rows.append((*told, "none", no_machine(p, r.site.table(CREW.file))))
        for i, m in enumerate(p.machines):
            who = told if i == 0 else ("",) * 5
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
            f"  {q.q} ({q.lesson}): {share(q.right, q.answers)} of {q.answers} right"
            + (f", most picked mistake: {q.mistake[:60]} ({q.mistake_count})" if q.mistake else "")
            for q in worst
        ]
    if t.flags:
        out += ["", "Flagged:"]
        out += [f"  {f}" + (" (counts)" if f.counted else "") for f in t.flags]
    out += ["", "This week:", *this_week(r)]
    return ["".join(ch if ch.isprintable() or ch == "\u202f" else "�" for ch in line) for line in out]


WIDTH = 80  # columns of a terminal that nobody has made wider


def this_week(r: Readiness) -> Iterator[str]:
    """What is due, held, and ready to sign off: a line each."""
    w = week(r)
    people = len({d.who.person.id for d in w.due})
    within = many(r.site.settings.records.due_days, "day")
    yield _fits(
        "due", [f"{many(len(w.due) - w.lapsed, 'lesson')} within {within}, {counted(w.lapsed)} lapsed", f", of {many(people, 'person', 'people')}", "; see due.csv"]
        if w.due else [f"nothing lapses within {within}"],
    )  # fmt: skip
    first = min((h.row for h in w.held if h.row is not None), default=None)
    held = [
        many(len(w.held), "result"),
        "; say which counts in corrections.csv",
        f" (row {first})" if len(w.held) == 1 else f" (rows from {first})",
    ]
    yield _fits("held", (held if first is not None else held[:2]) if w.held else ["nothing"])
    kinds = [f"{': ' if i == 0 else ', '}{kind_of_mentor(k)} {counted(n)}" for i, (k, (n, _)) in enumerate(kinds_of_people(w).items())]
    people = len({s.who.person.id for s in w.sign})
    said = f"{many(people, 'person', 'people')}, {many(w.sign_offs, 'lesson')}"
    yield _fits("to sign", [said, *kinds] if w.sign else ["nobody waits for a sign-off"])


def _fits(name: str, parts: list[str]) -> str:
    """A line of its parts, the later ones only as far as they fit; a list that is cut says so."""
    line = f"  {name + ':':9}{parts[0]}"
    for i, part in enumerate(parts[1:], 1):
        room = WIDTH if i == len(parts) - 1 else WIDTH - len(", …")
        if len(line) + len(part) > room:
            return line + ", …" * part.startswith(", ")
        line += part
    return line
