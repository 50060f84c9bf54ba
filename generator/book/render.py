"""A lesson's templates carried out: each call is answered by the page it stands on.

Every mistake of a lesson is told in one run, with its line.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Protocol

from generator.book.errors import NONE_HERE
from generator.book.lesson import Lesson
from generator.book.template import NAMES, Piece, TemplateProblem, pieces
from generator.book.words import safe
from generator.jobsite.model import JobSite
from generator.source.problem import Problem, Refusal, Refusals
from generator.working.errors import Lacking, NoFigure, NoneHere

# a blank line, or the next entry of a list: what is left out is left out as a whole
_BREAKS = re.compile(r"(\n[ \t]*\n+|\n(?=[ \t]*(?:[0-9]+[.]|[-*])[ \t]))")
MOST_CALLS = 1_000  # in one lesson's body
MOST_TEXT = 4_000_000  # characters of one page; a full lesson has half a million


class Page(Protocol):
    """What a template needs of its page; each call of ``template.CALLS`` is a method of it besides."""

    lesson: Lesson
    site_model: JobSite

    @property
    def names(self) -> Mapping[str, Any]:
        """The machine, truck and material the page is about, escaped."""

    def name_of(self, row: str, part: str) -> str:
        """A word of one of those."""

    def lacks(self, what: Lacking | NoneHere) -> None:
        """Notes a blank column, or a machine there is none of, that something rested on."""

    def mark(self) -> Any:
        """What the page keeps so far, to go back to."""

    def forget(self, mark: Any) -> None:
        """Goes back to that: what was left out is entered nowhere."""


def render_line(page: Page, text: str) -> str:
    """One line of front matter. Raises Refusals."""
    return _render(page, text, getattr(text, "line", 0), {}, one_line=True)


def render_body(page: Page, extra: Mapping[str, Any]) -> str:
    """The lesson's body. Raises Refusals with all that is wrong in it."""
    return _render(page, page.lesson.body, page.lesson.body_line, extra)


def _render(page: Page, text: str, first: int, extra: Mapping[str, Any], *, one_line: bool = False) -> str:
    """Text with its calls answered. Of a body a paragraph, or an entry of a list, that rests on a blank column is left out.

    Raises Refusals, and for one line Lacking where it rests on such a column.
    """
    out: list[str] = []
    unit, at_start = 0, page.mark()  # where the paragraph begins: in ``out``, and in what the page keeps
    lacking = False
    problems: list[Problem] = []
    units, at = _BREAKS.split(text)[::2], 0
    lead = ""  # the break that goes with the paragraph
    long = calls = 0
    file = page.lesson.file
    for piece in pieces(text):
        line = (first if one_line else first + piece.line - 1) or None
        if isinstance(piece, TemplateProblem):
            problems.append(Problem.of(file, line, piece.what, piece.fix))
            continue
        if not piece.call:
            for i, part in enumerate(_BREAKS.split(piece.text) if not one_line else (piece.text,)):
                if i % 2 == 0:  # between two breaks
                    out += [] if lacking else [part]
                    continue
                out.append(part)
                # the break before an entry of a list goes with the entry: what is left stays one list
                unit, at_start, lacking = len(out) - (part.count("\n") < 2), page.mark(), False
                lead, at = part if part.count("\n") < 2 else "", at + 1
            made = ""
            long += len(piece.text)
        else:
            calls += 1
            if calls > MOST_CALLS:
                problems.append(Problem.of(file, line, f"more than {MOST_CALLS:,} calls in one lesson", "make two lessons of it"))
                break
            try:
                made = "" if lacking else _carried_out(page, piece, extra, line, problems)
            except (Lacking, NoneHere) as e:
                if one_line:
                    raise
                page.lacks(e)
                page.forget(at_start)
                del out[unit:]
                words = without(units[at - 1], e.topic) if isinstance(e, NoFigure) and at else None
                made, lacking = "" if words is None else lead + _render(page, words, (line or 1) - words.count("\n"), extra), True
        long += len(made)
        if long > MOST_TEXT:
            problems.append(Problem.of(file, line, "the page grows far too long here", "leave some of its tables and drawings out"))
            break
        out.append(made)
    if problems:
        raise Refusals(problems)
    return "".join(out)


def without(text: str, topic: str) -> str | None:
    """What a paragraph or line says to sites without figures on a topic; None where it is not for them alone."""
    call = f"{{{{ where('no {topic}') }}}}"
    return text.replace(call, "", 1) if call in text else None


def _carried_out(page: Page, piece: Piece, extra: Mapping[str, Any], line: int | None, problems: list[Problem]) -> str:
    file = page.lesson.file
    if piece.call in NAMES:
        if piece.call == "site":
            return safe(str(getattr(page.site_model.settings, piece.words[0])))
        row = page.names.get(piece.call)
        if row is None and piece.call == "truck" and not page.site_model.trucks:
            raise NoneHere("this site has no truck", "add one to the table trucks", code=f"{NONE_HERE}truck")
        if row is None:
            problems.append(
                Problem.of(
                    file,
                    line,
                    f"template: this site has no {piece.call} here",
                    f"add one to the table {piece.call}s, or leave {{{{ {piece.call}.{piece.words[0]} }}}} out",
                    f"{NONE_HERE}{piece.call}",
                )
            )
            return ""
        return page.name_of(piece.call, piece.words[0])
    call = extra.get(piece.call) or getattr(page, piece.call, None)
    if call is None:  # quiz and panel stand in the body only
        problems.append(Problem.of(file, line, f"template: {piece.call}() has no place here", "use it in the body of the lesson"))
        return ""
    try:
        return str(call(*piece.words))
    except (Lacking, NoneHere):
        raise
    except Refusals as e:
        problems.extend(e.problems)
    except Refusal as e:
        problems.append(e.at(file, line))
    return ""
