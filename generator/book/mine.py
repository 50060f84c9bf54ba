"""A lesson worked for each other machine of the site: what a reader's own machine changes on its page.

A page is written for the lead machine. For every other machine or truck it could be about, the
build works the same lesson again and writes what comes out otherwise into a small script, which
the page loads when that machine is picked (``content/look/my-machine.js``). Every number in it is
entered in the ledger under the script's name, and every drawing is held to the laws of scenes. A
drawing that is refused is left out with the reason; where a number is, the page keeps to its lead
machine and says why.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from html import escape
from typing import Any

from generator.book.page import LessonPage, references, rows_about
from generator.book.scene import LawsBroken
from generator.book.sheet import tailgate
from generator.book.words import row_head, safe
from generator.language.words import tr
from generator.source.problem import Refusal, Refusals
from generator.working.errors import DoesNotFit, FiguresRefused, NumberProblem
from generator.working.ledger import Ledger

FOLDER = "mine"
MOST = 24  # machines and trucks of one lesson; each is some 3 KB to fetch and a hundredth of a second to work
_SHEET = re.compile(r'<div data-piece="(sheet(?:-back)?)">(.*?)</div><!-- what another machine changes -->', re.DOTALL)
_NOT_MADE = re.compile(r"the drawing cannot be made \((.*)\)")
_TIGHT = re.compile(r'<body class="sheet tight"')


def rows_of(page: LessonPage, noted: Mapping[str, str]) -> list[Any]:
    """The machines and trucks, other than its own, that a lesson is worked for besides; ``noted`` are its pieces.

    Those that somebody of the crew runs come first, and of a very large fleet no others.
    """
    lesson, site, context = page.lesson, page.site_model, page.context
    about = lesson.about if lesson.about != "material" else ""
    own = {id(context.machine), id(context.truck)}
    head = "truck" if about == "truck" else "machine"
    rows = [r for r in rows_about(about, site, lesson.needs) if id(r) not in own] if about and _speaks_of(page, noted, head) else []
    if about != "truck" and _speaks_of(page, noted, "truck"):
        rows += [r for r in site.trucks if id(r) not in own]
    if len(rows) > MOST:
        run = {i for person in site.crew for i in person.machines}
        rows = sorted(rows, key=lambda r: r.id not in run)[:MOST]
    return rows


def _speaks_of(page: LessonPage, noted: Iterable[str], head: str) -> bool:
    """Whether a piece of the body is worked from a figure of the ``head`` row, or names it."""
    for name in noted:
        what, _, ref = name.partition(" ")
        if what.startswith(f"{head}."):
            return True
        refs = [ref]
        if what == "drawing" and (spec := page.drawing_spec(ref)) is not None:
            refs = references(spec)
        if page.rests_on_a_row(refs, frozenset({head})):
            return True
    return False


def attributes(page: LessonPage, noted: Mapping[str, str], rows: Iterable[Any]) -> str:
    """What the bar of a page says of it: the lesson, the machine and truck it is worked for, and which others there are."""
    own = {"machine": page.context.machine, "truck": page.context.truck}
    lead = [r.id for head, r in own.items() if r is not None and _speaks_of(page, noted, head)]
    others = [r.id for r in rows]
    if not others:
        return ""
    data = {"lesson": page.lesson.id, "about": page.lesson.about, "lead": lead, "rows": others}
    return f' data-mine="{escape(json.dumps(data, separators=(",", ":")))}"'


def file_of(lesson: str, row: Any, *, sheet: bool = False) -> str:
    """The name of the script of one lesson and machine, below the web folder."""
    return f"{FOLDER}/{row.id.lower()}/{lesson}{'-sheet' if sheet else ''}.js"


def for_others(page: LessonPage, noted: Mapping[str, str], rows: Iterable[Any], ledger: Ledger) -> dict[str, str]:
    """The scripts of a lesson whose body is written: for each row its pieces and its sheet, by file name."""
    made: dict[str, str] = {}
    for row in rows:
        name = file_of(page.lesson.id, row)
        other = page.for_row(row, name)
        other.ledger = Ledger()  # what a refused lesson entered is printed nowhere
        head = {"machine": row.id, "lesson": page.lesson.id}
        try:
            pieces = _pieces(other, noted)
        except (DoesNotFit, NumberProblem, Refusals) as e:
            made[name] = _script({**head, "why": why_not(row, e)})
            continue
        ledger.entries.extend(other.ledger.entries)
        made[name] = _script({**head, "pieces": pieces, "popups": other.workings.written()})
        made.update(_sheet(page, row, ledger))
    return made


def _pieces(other: LessonPage, noted: Mapping[str, str]) -> dict[str, str]:
    pieces = {}
    for name, as_led in noted.items():
        html = _piece(other, name)
        if html != as_led:
            pieces[name] = html.strip("\n")
    return pieces


def _piece(other: LessonPage, name: str) -> str:
    what, _, ref = name.partition(" ")
    if what == "n":
        return other.n(ref)
    if what == "working":
        return other.working(ref)
    if what != "drawing":
        row, _, part = what.partition(".")
        return other.name_of(row, part)
    entered = len(other.ledger.entries)
    try:
        return other.drawing(ref)
    except (Refusals, Refusal) as e:
        del other.ledger.entries[entered:]
        told = tr("No drawing here for this machine: {reason}.", reason=_said(e))
        return f'<p class="sw-note sw-left-out">{told}</p>'


def _sheet(page: LessonPage, row: Any, ledger: Ledger) -> dict[str, str]:
    name = file_of(page.lesson.id, row, sheet=True)
    other = page.for_row(row, name)
    other.ledger = Ledger()
    head = {"machine": row.id, "lesson": page.lesson.id, "sheet": True}
    try:
        html = tailgate(other, key=False)
    except (DoesNotFit, NumberProblem, Refusals) as e:
        return {name: _script({**head, "why": why_not(row, e)})}
    found = {m[1]: m[2] for m in _SHEET.finditer(html)}
    if not found:  # a site's own sheet without the mark: it stays as it is
        return {}
    ledger.entries.extend(other.ledger.entries)
    return {name: _script({**head, "pieces": found, "tight": bool(_TIGHT.search(html))})}


def picture_file(lesson: str) -> str:
    """The name of the script with a lesson's picture for the first page, below the web folder."""
    return f"pictures/{lesson}.js"


def picture(page: LessonPage, ledger: Ledger) -> dict[str, str]:
    """A lesson's picture, for the first page to show what comes next; nothing where it has none."""
    lesson = page.lesson
    spec = lesson.picture
    if spec is None:
        return {}
    name = picture_file(lesson.id)
    other = page.on_page(name)
    other.ledger = Ledger()
    try:
        _, steps = other.picture(spec)
        svg = other.scene(spec, f"{lesson.id}-next", len(steps.says) if steps else None)  # in steps, the work done
    except (Refusals, Refusal):
        return {}  # told where the lesson itself is drawn
    ledger.entries.extend(other.ledger.entries)
    text = json.dumps({"lesson": lesson.id, "html": svg}, ensure_ascii=False, separators=(",", ":"))
    return {name: f"window.seatworkPicture({text});\n"}


def why_not(row: Any, error: Exception) -> str:
    """Why a lesson cannot be shown for a machine, as HTML."""
    said = _said(error)
    return said if said.startswith(safe(row.name)) else tr("{machine}: {reason}", machine=safe(row_head(row)), reason=said)


def _said(error: Exception) -> str:
    if isinstance(error, LawsBroken | FiguresRefused):
        return safe(tr(error.why))
    if isinstance(error, Refusals):
        return safe("; ".join(tr(p.what) for p in error.problems))
    what = error.what if isinstance(error, Refusal) else str(error)
    return safe(tr(m[1] if (m := _NOT_MADE.fullmatch(what)) else what))


def _script(data: Mapping[str, Any]) -> str:
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return f"window.seatworkMine({text});\n"
