"""A quiz on paper: one variant in one unit system, letters to write down; and its key."""

from __future__ import annotations

import re

from generator.language.words import mark, tr
from generator.quiz.markup import Built, filled, template, tolerance_words
from generator.units.table import System
from generator.units.writing import pointed
from generator.working.printing import unit_label

_HOW = {
    "one": mark("Write one letter."), "point": mark("Write one letter."), "several": mark("Write the letters of all that are right."),
    "order": mark("Write all the letters, first step first."),
}  # fmt: skip
_SHORT = 26  # letters of a choice that leaves room for another beside it


def letter(place: int) -> str:
    """The letter of a place, A for the first."""
    return chr(ord("A") + place)


def question_html(built: Built, number: int, system: System) -> str:
    """One question to answer by hand."""
    q, drawn = built.q, built.variants[0][system]
    must = f' <span class="small">{tr("must be right")}</span>' if q.must_be_right else ""
    out = [f'<section class="seen"><h2>{number}{must}</h2><p>{filled(built.ask(), drawn["f"])}</p>']
    above = built.picture_above()
    if above:
        out.append(f'<div class="figure">{above}</div>')
    if q.kind == "number":
        unit = unit_label(drawn["answer"]["unit"])
        out.append('<div class="room"></div>')
        out.append(f'<p class="answer">{tr("Answer")} <span class="blank"></span> {unit} '
                   f'<span class="small">{tolerance_words(q, drawn["answer"])}</span></p>')  # fmt: skip
    else:
        if q.kind != "point":
            texts = [filled(template(t, built.names), drawn["f"]) for t in built.texts()]
            short = all(len(re.sub(r"<[^>]+>|&[^;]+;", "", t)) <= _SHORT for t in texts)
            look = " pictures" if q.pictures else " short" if short else ""
            rows = "".join(f"<li><b>{letter(place)}</b> {texts[i]}{built.picture(i)}</li>" for place, i in enumerate(drawn["order"]))
            out.append(f'<ul class="boxes choices{look}">{rows}</ul>')
        out.append(f'<p class="answer">{tr("Answer")} <span class="blank"></span> <span class="small">{tr(_HOW[q.kind])}</span></p>')
    return "".join(out) + "</section>"


def right_letters(built: Built, system: System) -> str:
    """The letters to write for a right answer that is no figure."""
    order = built.variants[0][system]["order"]
    right = range(len(order)) if built.q.kind == "order" else built.right(built.variants[0][system].get("k", 0))
    places = [order.index(i) for i in right if i in order]
    return " ".join(letter(p) for p in (places if built.q.kind == "order" else sorted(places)))


def free_letters(built: Built, system: System) -> str:
    """Which letters of a right order may change among themselves, in words; '' where none may."""
    order = built.variants[0][system]["order"]
    groups = [[letter(order.index(i)) for i in group] for group in built.q.free]
    return "; ".join(tr("{letters} may stand in any order among themselves", letters=_and(letters)) for letters in groups)


def _and(letters: list[str]) -> str:
    said = letters[0]
    for one in letters[1:]:
        said = tr("{first} and {last}", first=said, last=one)
    return said


def key_html(built: Built, number: int, system: System) -> str:
    """The right answer of one question, with its working or reason."""
    q, drawn = built.q, built.variants[0][system]
    must = f' <span class="small">{tr("must be right")}</span>' if q.must_be_right else ""
    if q.kind == "number":
        answer = drawn["answer"]
        low, high = answer["accept"][answer["unit"]]
        ends = {"low": pointed(f"{low:g}"), "high": pointed(f"{high:g}"), "unit": unit_label(answer["unit"])}
        span = tr("exactly") if low == high else tr("from {low} to {high} {unit} counts as right", **ends)
        right = f'{answer["shown"]} <span class="small">({span})</span>'
    else:
        right = right_letters(built, system)
        free = free_letters(built, system)
        right += f' <span class="small">({free})</span>' if free else ""
    working = filled(list(built.workings[system])[drawn["w"]], drawn["wf"])
    ask = filled(built.ask(), drawn["f"])
    return f'<section class="seen"><h2>{number}{must}</h2><p>{ask}</p><p class="answer">{right}</p>{working}</section>'
