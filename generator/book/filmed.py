"""The markup of scenes in steps and of pairs, the wrong way beside the right.

Without a script, and on paper, a scene in steps is a strip of six steps with their sentences. The
script (``look/steps.js``) shows one step at a time instead. Nothing that a step is made of may stand
in what is not displayed: a pattern in it would be lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from generator.book.drawn import Steps
from generator.book.model import Way
from generator.book.words import both
from generator.drawing.canvas import Canvas
from generator.drawing.film import Film, strip
from generator.language.words import mark, tr

# a cross in a square, a tick in a ring: told apart by shape and word, never by colour alone
_SIGNS: dict[str, tuple[str, str]] = {
    "wrong": (mark("Wrong"), '<rect x="3" y="3" width="26" height="26"/><path d="M9,9L23,23M23,9L9,23"/>'),
    "right": (mark("Right"), '<circle cx="16" cy="16" r="13"/><path d="M9,16.5L14,22L23,10"/>'),
}


def instead_html(sentence: str) -> str:
    """What stands in the place of a scene in steps, or of a pair, that is left out."""
    return f'<p class="sw-note">{escape(tr(sentence))}</p>'


def canvases_of(picture: Canvas | Film) -> Iterator[Canvas]:
    """The drawing, or each one of a scene in steps."""
    if isinstance(picture, Canvas):
        yield picture
    else:
        yield from (frame.canvas for frame in picture.frames)


def steps_html(svg: str, steps: Steps | None, ident: str, *, caption: str = "", way: Way = "", says: str = "") -> str:
    """The figure of a drawing, or of a scene in steps where ``steps`` are given.

    ``svg`` carries the name ``ident``. Of a pair, ``way`` is its side and ``says`` what it shows.
    """
    head = f'<p class="sw-way">{_sign(way)}<span>{says}</span></p>' if way else ""
    foot = f"<figcaption>{caption}</figcaption>" if caption else ""
    attributes = f' data-way="{way}"' if way else ""
    if steps is None:
        return f'<figure class="sw-drawing"{attributes}>{head}{svg}{foot}</figure>'
    shown = "".join(f'<li value="{k}">{_again(ident, k, steps.picture_box)}<p>{_said(steps, k)}</p></li>' for k in strip(len(steps.says)))
    key = f'<div class="sw-key">{_again(ident, 1, steps.key_box)}</div>' if steps.key_box else ""
    return (
        f'<figure class="sw-drawing sw-steps" data-steps="{len(steps.says)}"{attributes}>{head}'
        f'<div class="sw-stage">{svg}</div>{key}<ol class="sw-strip">{shown}</ol>{foot}</figure>'
    )


def _again(ident: str, k: int, box: str) -> str:
    """A step, or a piece of it, put in once more; it is told in words beside it."""
    return (
        f'<svg class="drawing" viewBox="{box}" aria-hidden="true" focusable="false" stroke-linejoin="round" stroke-linecap="round">'
        f'<use href="#{ident}-s{k}"></use></svg>'
    )


def pair_html(figures: Sequence[str], cost: str, first: Way = "wrong") -> str:
    """The wrong way beside the right one, and what the wrong one costs; a phone opens with the ``first``."""
    opens = ' data-first="right"' if first == "right" else ""
    return f'<div class="sw-ways"{opens}><div class="sw-pair">{"".join(figures)}</div><p class="sw-cost"><b>{tr("What it costs.")}</b> {cost}</p></div>'


def _sign(way: str) -> str:
    word, shape = _SIGNS[way]
    return f'<svg class="sw-sign" viewBox="0 0 32 32" aria-hidden="true" focusable="false">{shape}</svg><b>{tr(word)}.</b> '


def _said(steps: Steps, k: int) -> str:
    us, metric = steps.says[k - 1]
    return both(escape(us), escape(metric))
