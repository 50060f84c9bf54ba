"""Sign-off sheets: for each role as many leaves as its lessons need, a line for each thing a mentor has to see.

A leaf is one sheet of paper, front and back, and is whole by itself: who was watched, on which machine and ground, the
lines to tick, two signatures, and a number by which it is found again (:mod:`generator.quiz.printed`). Letters are not
made smaller for more lessons; more lessons take more leaves.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from html import escape
from html.parser import HTMLParser
from typing import Any

from generator.book.card import framed
from generator.book.content import Content
from generator.book.lesson import Lesson, in_order
from generator.book.page import CLASSES, EXERCISE_HEAD, LessonPage
from generator.book.qr import qr_svg
from generator.book.sheet import on_paper
from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite, Mentor, Role, works
from generator.language.words import mark, tr
from generator.quiz.printed import Printed, sign_off_sheet

# a role may need a lesson about a machine it does not run: the driver of a truck, how it is loaded
_OTHERS = mark("What is done on a machine that this role does not run, the operator watches and explains.")
MOST_MENTORS = 24  # whose ids a leaf lists; more are looked up


@dataclass(frozen=True)
class Shown:
    """What the mentor has to see of a lesson, as ready HTML, a line each; ``others`` says whether it is watched and explained."""

    id: str
    title: str
    lines: tuple[str, ...]
    others: bool


def beside(lesson: Lesson, role: Role) -> bool:
    """Whether those with the role work beside the machine of the lesson, and show what the lesson lists for them."""
    return not _runs(lesson, role) and bool(lesson.show_beside)


def _runs(lesson: Lesson, role: Role) -> bool:
    return any(works(lesson.about, kind) for kind in role.machines) or (lesson.about == "any" and not role.on_foot)


def shown(role: Role, page: LessonPage) -> Shown:
    """What those with a role show of one lesson: beside the machine where they run none of its kind. The lines open nothing."""
    lesson, by_it = page.lesson, beside(page.lesson, role)
    lines = [on_paper(s) for s in page.lines(lesson.show_beside if by_it else lesson.show)]
    if lesson.exercise and not by_it:
        lines += [f"{tr(EXERCISE_HEAD)}: {on_paper(s)}" for s in page.lines([lesson.exercise.standard])]
    return Shown(lesson.id, lesson.title, tuple(lines), not (_runs(lesson, role) or by_it or lesson.about == "any"))


class _Words(HTMLParser):
    """The words of HTML, without what only the other unit system shows."""

    def __init__(self, left_out: str) -> None:
        super().__init__(convert_charrefs=True)
        self.left_out, self.inside, self.words = left_out, 0, ""

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        if self.inside or self.left_out in (dict(attrs).get("class") or "").split():
            self.inside += tag not in {"br", "wbr", "img"}

    def handle_endtag(self, tag: str) -> None:
        self.inside -= self.inside > 0

    def handle_data(self, data: str) -> None:
        if not self.inside:
            self.words += data


def in_words(html: str) -> dict[str, str]:
    """A line as plain words in each unit system: ``{"us": ..., "metric": ...}``."""
    out: dict[str, str] = {}
    for system, cls in CLASSES:
        reader = _Words(next(c for _, c in CLASSES if c != cls))
        reader.feed(html)
        reader.close()
        out[system] = " ".join(reader.words.split())
    return out


# points, at the narrower paper (A4) and the lower one (Letter); widths of letters are those of a wide system font
_LETTER, _LINE = 0.55 * 11, 1.2 * 11
_TEXT, _TITLE = 425.0, 322.0  # widths: of a line to tick, of a lesson's title beside its date
_ROW, _HEAD = 4.8, 7.0  # what a row, and a lesson's title, add to their lines
_FRONT, _BACK = 525.0, 505.0  # heights: what lines to tick may take of a front and of a back
_KEY = 12.0  # of a line of the mentors' ids
_KEY_LETTERS = 105


@dataclass
class _Side:
    """One side of a leaf: its lessons, and how much room is left."""

    room: float
    lessons: list[Shown] = field(default_factory=list)


def _lines_of(html: str, width: float) -> int:
    """How many lines a text takes, in the unit system that has more letters."""
    return max(1, *(math.ceil(len(words) * _LETTER / width) for words in in_words(html).values()))


def _row(line: str) -> float:
    return _lines_of(line, _TEXT) * _LINE + _ROW


def _title(lesson: Shown) -> float:
    # a title is bold, its id behind it is small
    return math.ceil((1.12 * len(lesson.title) + 0.8 * len(lesson.id) + 1) * _LETTER / _TITLE) * _LINE + _HEAD


def _sides(lessons: Iterable[Shown], back: float) -> list[_Side]:
    """The lessons on fronts and backs in turn. None is cut in two but one that no side holds."""
    sides = [_Side(_FRONT)]

    def turn() -> None:
        sides.append(_Side(back if len(sides) % 2 else _FRONT))

    for lesson in lessons:
        high = _title(lesson) + sum(map(_row, lesson.lines))
        if high > sides[-1].room and high <= (_FRONT if len(sides) % 2 == 0 else back):
            turn()
        if high <= sides[-1].room:
            sides[-1].lessons.append(lesson)
            sides[-1].room -= high
            continue
        rest = list(lesson.lines)
        if sides[-1].lessons:
            turn()
        while rest:
            room, now = sides[-1].room - _title(lesson), 0
            while now < len(rest) and (room := room - _row(rest[now])) >= 0:
                now += 1
            now = max(now, 1)
            sides[-1].lessons.append(replace(lesson, lines=tuple(rest[:now])))
            sides[-1].room = room
            rest = rest[now:]
            if rest:
                turn()
    if len(sides) % 2:
        turn()
    return sides


@dataclass(frozen=True)
class RoleSheets:
    """The sign-off sheets of a role: the page that prints them, and each leaf with the lessons on it."""

    html: str
    leaves: tuple[tuple[Printed, tuple[str, ...]], ...]

    def sheet_of(self, lesson: str) -> str:
        """The code of the first leaf that holds a lesson; nothing where none does."""
        return next((printed.code for printed, lessons in self.leaves if lesson in lessons), "")


def sign_off(role: Role, pages: Mapping[str, LessonPage], content: Content, site: JobSite, figures: Mapping[str, str]) -> RoleSheets:
    """The sign-off sheets of a role. ``figures`` is the print of each lesson."""
    lessons = [shown(role, pages[i]) for i in in_order(role.lessons, content.lessons) if i in pages]
    key = _mentors(role, site)
    sides = _sides(lessons, _BACK - _KEY * math.ceil(len(", ".join(key)) / _KEY_LETTERS))
    pairs = list(zip(sides[::2], sides[1::2], strict=True))
    s = site.settings
    leaves, bodies = [], []
    for i, (front, back) in enumerate(pairs, 1):
        held = _kept([*front.lessons, *back.lessons], figures)
        printed = sign_off_sheet(s.key, s.edition, role.id, role.title, i, len(pairs), held)
        leaves.append((printed, tuple(x["id"] for x in held)))
        bodies.append(_leaf(role, printed.code, i, len(pairs), front, back, key, content, site))
    body = f'<div class="signoff">{"".join(bodies)}</div>'
    html = framed(body, tr("Sign-off: {role}", role=role.title), content, site, ("../index.html", tr("Mentor folder")), alone=True)
    return RoleSheets(html, tuple(leaves))


def _kept(lessons: Iterable[Shown], figures: Mapping[str, str]) -> list[dict[str, Any]]:
    """The lessons of a leaf as they are kept; the two parts of one that goes on behind are one."""
    out: dict[str, dict[str, Any]] = {}
    for lesson in lessons:
        entry = out.setdefault(lesson.id, {"id": lesson.id, "title": lesson.title, "figures": figures.get(lesson.id, ""), "criteria": []})
        entry["criteria"] += map(in_words, lesson.lines)
    return list(out.values())


def _mentors(role: Role, site: JobSite) -> list[str]:
    """Ids and names of those who may sign for a machine of the role, to copy from; none where there are very many."""
    kinds = (ON_FOOT,) if role.on_foot else role.machines
    found = [m for m in site.mentors or () if any(k in m.kinds for k in kinds)]
    return [_mentor(m) for m in found] if len(found) <= MOST_MENTORS else []


def _mentor(m: Mentor) -> str:
    times = [f"{word} {day}" for word, day in ((tr("from"), m.since), (tr("until"), m.until)) if day is not None]
    return f"{m.id} {m.name}" + (f" ({' '.join(times)})" if times else "")


def _blanks(*labels: str, before: str = "") -> str:
    """A row of lines to write on, each behind its label; a label with a * gets a long one. ``before`` is ready HTML."""
    made = [
        f'<span class="pair{" long" * label.endswith("*")}">{escape(label.rstrip("*"))} <span class="blank"></span></span>'
        for label in labels
    ]
    return f'<p class="write-in">{" ".join([before, *made] if before else made)}</p>'


def _boxes() -> dict[str, str]:
    """The names of the two boxes, as a sentence speaks of them."""
    return {"seen": f"<b>{tr('seen')}</b>", "not_yet": f"<b>{tr('not yet')}</b>"}


def _leaf(
    role: Role, code: str, number: int, leaves: int, front: _Side, back: _Side, key: Sequence[str], content: Content, site: JobSite
) -> str:
    s = site.settings
    invented = tr("invented site")
    head = (
        f'<header class="head"><h2 class="again">{tr("Sign-off: {role}", role=escape(role.title))}</h2><p class="small">{escape(s.name)}<br>'
        f"{tr('edition {edition}', edition=escape(s.edition))}{f' · {invented}' if s.invented else ''}</p></header>"
        if number > 1 else ""  # the first leaf's stands in the page's frame
    )  # fmt: skip
    others = any(x.others for x in (*front.lessons, *back.lessons))
    done = (
        tr("Tick {seen} only after seeing it done. Tick {not_yet} for what has to be shown again.", **_boxes())
        if role.on_foot
        else tr(
            "Tick {seen} only after seeing it done on the machine, by the operator alone. Tick {not_yet} for what has to be shown again.",
            **_boxes(),
        )
    )
    strike = tr(
        "Strike out a line that does not fit this machine. A lesson counts when all its other lines are seen and its date and the mentor's "
        "initials stand beside it."
    )
    who = tr("Person watched") if role.on_foot else tr("Operator")
    told = tr("{person}: I was told what is ticked as not yet.", person=who)
    which = tr("leaf {number} of {all}", number=number, all=leaves) if leaves > 1 else tr("one leaf")
    id_, hours, date, signature = tr("Crew id"), tr("Hours watched"), tr("Date"), f"{tr('Signature')}*"
    machine = tr("Machine: {machine}", machine=f"<b>{tr(ON_FOOT)}</b>")
    sheet_back = tr("Sheet {number}, back", number=f"<b>{code}</b>")
    parts = [
        f'<section class="leaf">{head}<div class="id">{qr_svg(code, tr("Sheet {number}", number=code))}<p>{tr("Sheet")}<br><b>{code}</b><br>',
        f'<span class="small">{which}</span></p></div>',
        _blanks(f"{who}*", id_),
        _blanks(hours, before=machine) if role.on_foot else _blanks(tr("Machine id"), hours),
        _blanks(f"{tr('Ground')}*", f"{tr('Weather')}*"),
        _blanks(f"{tr('Mentor, in print')}*", tr("Mentor id")),
        f"<p>{done}{f' {tr(_OTHERS)}' if others else ''} {strike}</p>",
        _table(front),
        '<div class="side">',
        _blanks(id_, before=f"<span>{sheet_back}</span>"),
        _table(back),
        f'<div class="notes"><b>{tr("To be shown again, and what was said:")}</b></div>',
        f'<p class="caution">{escape(content.cautions["sheet"].text)}</p>',
        f'<p class="small"><b>{tr("Mentors for this role:")}</b> {escape(", ".join(key))}</p>' if key else "",
        f"<p>{tr('Mentor: I watched this. What is ticked as seen was done safely, and to its line.')}</p>",
        _blanks(signature, date),
        f"<p>{told}</p>",
        _blanks(signature, date),
        "</div></section>",
    ]
    return "".join(parts)


def _table(side: _Side) -> str:
    """A side's lessons, a line for each thing to see."""
    if not side.lessons:
        return ""
    heads = "".join(f'<th scope="col">{h}</th>' for h in (tr("What the mentor sees"), tr("Seen"), tr("Not yet")))
    return f'<table class="seen-or-not"><thead><tr>{heads}</tr></thead>{"".join(_bodies(side.lessons))}</table>'


def _bodies(lessons: Iterable[Shown]) -> Iterator[str]:
    box = '<td><span class="box"></span></td>'
    for lesson in lessons:
        rows = "".join(f'<tr><td class="criterion">{line}</td>{box}{box}</tr>' for line in lesson.lines)
        yield (
            f'<tbody data-lesson="{lesson.id}"><tr><th scope="rowgroup" colspan="3"><div><span>{escape(lesson.title)} '
            f'<span class="small">{lesson.id}</span></span> <span class="when">{tr("Date")} <span class="blank"></span> '
            f'{tr("Initials")} <span class="blank"></span></span></div></th></tr>{rows}</tbody>'
        )
