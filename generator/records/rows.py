"""What is handed in as rows of the register, and rows read back as what they were.

A result is marked when it is taken in; the row keeps the whole of what was handed in and how it was marked, so that
it stands though its file and its edition be gone, and can be marked again as long as they are there.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from generator.quiz.edition import FOLDER
from generator.records.answers import Figure, figure_for, from_slip
from generator.records.editions import LessonMarking
from generator.records.mark import Marked, MarkedAnswer
from generator.records.results import Result
from generator.records.short import ShortCode, short_of
from generator.records.signoffs import SignOff
from generator.records.told import Correction, Hours, Retrain, Says, Talk
from generator.register.entry import Entry, New

TIME = "%Y-%m-%dT%H:%M:%SZ"
RARE = 10.0  # bits: one in a thousand


def print_of(*parts: object) -> str:
    """A short print of some values: the first 24 hex digits of the SHA-256 of their JSON."""
    return hashlib.sha256(json.dumps(parts, sort_keys=True, ensure_ascii=True, separators=(",", ":")).encode()).hexdigest()[:24]


# --- results ----------------------------------------------------------------------------------


def of_result(
    marked: Marked, handed_in: Any, now: datetime.datetime, latest: datetime.datetime, short: ShortCode | None = None
) -> New:  # fmt: skip
    """The row of a result. ``handed_in`` is the file, the code or the row of the paper as it came; ``latest`` the last moment it can be of."""
    r, lesson = marked.result, marked.lesson
    body: dict[str, Any] = {
        "origin": r.origin, "handed_in": handed_in, "title": lesson.title, "about": lesson.about, "figures": lesson.figures,
        "pass_mark": lesson.pass_mark, "right": marked.right, "of": marked.of, "passed": marked.passed, "missed": list(marked.missed_must),
        "answers": [[a.q, a.right, a.mistake] for a in marked.answers], "claimed": r.claimed, "sheet": r.sheet, "set": r.set,
        "started": f"{r.started:{TIME}}" if r.started else "", "drawn": drawn_of(marked), "gave": gave_of(marked), "bits": chance_of(marked),
        "words": words_of(marked),
    }  # fmt: skip
    if r.language:
        body["language"] = r.language
    if marked.told:
        body["told"] = True
    body["slip"] = slip_of(short or short_of(marked))
    if r.finished > latest:
        body["early_by"] = int((r.finished - now).total_seconds() // 60)
    return New(
        "result", f"{r.finished:%Y-%m-%d}", body, f"{r.origin}|{print_of(handed_in)}", at=f"{r.finished:{TIME}}", crew=r.crew,
        lesson=lesson.id, edition=lesson.edition, where=r.where,
    )  # fmt: skip


def slip_of(short: ShortCode | None) -> str:
    """What a try and its short code have in common, whatever the score: nothing where it can have none."""
    return print_of(short.crew, short.figures, short.lesson, f"{short.finished:{TIME}}", short.answers) if short is not None else ""


def drawn_of(marked: Marked) -> str:
    """A print of what was asked: the lesson's figures, the set and the variant of each question."""
    r = marked.result
    return print_of(marked.lesson.edition, marked.lesson.id, marked.lesson.figures, r.set, [[a.variant, a.units] for a in r.answers])


def gave_of(marked: Marked) -> str:
    """A print of the answers in one form, however they were handed in."""
    out: list[object] = []
    for given, q in zip(marked.result.answers, marked.asked, strict=True):
        if isinstance(given.answer, str) and given.answer:
            variant = q["variants"][given.variant][given.units]
            figure: Figure = figure_for(given.answer, variant if given.q is not None else from_slip(variant))
            out.append([float(f"{figure.value:.9g}"), figure.unit])
        elif q["kind"] == "several" and not isinstance(given.answer, str):
            out.append(sorted(given.answer))
        else:
            out.append(given.answer if isinstance(given.answer, str) else list(given.answer))
    return print_of(out)


def chance_of(marked: Marked) -> float:
    """How unlikely it is that two tries draw the same by accident, in bits."""
    sets = len(marked.lesson.sets)
    return round(sum(math.log2(len(q["variants"])) for q in marked.asked) + (math.log2(sets) if sets else 0.0), 1)


def words_of(marked: Marked) -> int:
    """How many words the questions of this try and their choices have."""
    return sum(len(str(q["ask"]).split()) + sum(len(str(label).split()) for label in q.get("labels", ())) for q in marked.asked)


def result_of(entry: Entry, folder: Path, crew: str) -> Marked:
    """A result as its row keeps it, for the person with the id ``crew``. Its questions are not read again."""
    b = entry.body
    lesson = LessonMarking(
        entry.lesson, entry.edition, b["title"], b["about"], b["figures"], b["pass_mark"], (), folder / FOLDER / f"{entry.edition}.ledger.json",
    )  # fmt: skip
    result = Result(
        b["origin"], entry.where or f"row {entry.n}", crew, entry.lesson, entry.edition, b["figures"], None,
        _instant(b["started"]) if b["started"] else None, _instant(entry.at), (), b["claimed"], b["sheet"], b["set"], str(b.get("language", "")),
    )  # fmt: skip
    answers = tuple(MarkedAnswer(q, right, mistake) for q, right, mistake in b["answers"])
    return Marked(result, lesson, (), answers, b["right"], b["passed"], tuple(b["missed"]), entry.n, bool(b.get("told")), b["of"])


def _instant(text: str) -> datetime.datetime:
    return datetime.datetime.strptime(text, TIME).replace(tzinfo=datetime.UTC)


# --- what mentors and the coordinator write ----------------------------------------------------


def of_signoff(s: SignOff, where: str, more: Mapping[str, Any] | None = None) -> New:
    """The row of a sign-off. ``more`` is kept beside it, such as the criteria seen."""
    body: dict[str, Any] = {
        "mentor": s.mentor, "kind": s.kind, "class": s.machine_class, "conditions": s.conditions, "hours": s.hours, "sheet": s.sheet,
        **(more or {}), **({"language": s.language} if s.language else {}),
    }  # fmt: skip
    return New("sign-off", s.day.isoformat(), body, "|".join((s.crew, s.lesson, s.machine, s.day.isoformat(), s.mentor)), crew=s.crew,
               lesson=s.lesson, machine=s.machine, where=where)  # fmt: skip


def signoff_of(entry: Entry, crew: str) -> SignOff:
    """A sign-off as its row keeps it."""
    b = entry.body
    return SignOff(
        crew, entry.lesson, entry.machine, _day(entry), b["mentor"], b["kind"], b["class"], b["conditions"], b["hours"], b["sheet"], entry.n,
        str(b.get("language", "")),
    )  # fmt: skip


def of_talk(t: Talk, where: str) -> New:
    """The row of one person at a talk."""
    body = {"sheet": t.sheet, "leader": t.leader} | ({"language": t.language} if t.language else {})
    return New("talk", t.day.isoformat(), body, "|".join((t.crew, t.sheet or t.lesson, t.day.isoformat())),
               crew=t.crew, lesson=t.lesson, where=where)  # fmt: skip


def talk_of(entry: Entry, crew: str) -> Talk:
    """A talk as its row keeps it."""
    return Talk(crew, entry.lesson, entry.body["sheet"], entry.body["leader"], _day(entry), entry.n, str(entry.body.get("language", "")))


def of_hours(h: Hours, where: str) -> New:
    """The row of some seat time."""
    body = {"hours": h.hours, "kind": h.kind, "mentor": h.mentor, "task": h.task, "slope": h.slope}
    same = "|".join((h.crew, h.machine, h.day.isoformat(), f"{h.hours:g}", h.mentor, h.task, str(h.slope)))
    return New("hours", h.day.isoformat(), body, same, crew=h.crew, machine=h.machine, where=where)


def hours_of(entry: Entry, crew: str) -> Hours:
    """Seat time as its row keeps it."""
    b = entry.body
    return Hours(crew, entry.machine, b["kind"], _day(entry), b["hours"], b["mentor"], b["task"], b["slope"], entry.n)


def of_order(o: Retrain, where: str) -> New:
    """The row of an order to train again."""
    return New("retrain", o.day.isoformat(), {"why": o.why}, "|".join((o.crew, o.lesson or "all", o.day.isoformat(), o.why)), crew=o.crew,
               lesson=o.lesson, where=where)  # fmt: skip


def order_of(entry: Entry, crew: str) -> Retrain:
    """An order as its row keeps it."""
    return Retrain(crew, entry.lesson, _day(entry), entry.body["why"], entry.n)


def of_correction(c: Correction, where: str) -> New:
    """The row of a correction."""
    body = {"says": c.says, "by": c.by, "why": c.why}
    same = "|".join((str(c.about or c.crew), c.says, c.by, c.why, c.day.isoformat()))
    return New("correction", c.day.isoformat(), body, same, crew=c.crew, about=c.about, where=where)


def correction_of(entry: Entry) -> Correction:
    """A correction as its row keeps it."""
    says: Says = entry.body["says"]
    return Correction(entry.about, entry.crew, says, entry.body["by"], entry.body["why"], _day(entry), entry.n)


def _day(entry: Entry) -> datetime.date:
    return datetime.date.fromisoformat(entry.day)
