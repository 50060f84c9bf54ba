"""A lesson's quiz as the page carries it: a readable form, and the data the player fills it from.

Python does all the reckoning; the browser only fills blanks (``⟦0⟧``) and compares.
"""

from __future__ import annotations

import base64
import json
import re
import zlib
from collections.abc import Callable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from decimal import Decimal
from html import escape
from typing import Any

from generator.language.words import tr
from generator.quiz.draw import Drawn, accept_by_unit, accepted
from generator.quiz.edition import FIGURES, question_marking
from generator.quiz.picture import described, shows_a_wrong_way, silent, tells, unmarked
from generator.quiz.question import BLANK, Picture, Question
from generator.speech.say import Voice, unit_words
from generator.speech.say import said as heard
from generator.units.quantity import SAID_PLACES, Quantity, alike, said, said_alike
from generator.units.table import SYSTEMS, System
from generator.units.writing import current, pointed
from generator.working.aloud import words_of
from generator.working.errors import NumberProblem
from generator.working.explain import Explained
from generator.working.printing import unit_label

KEY = {"us": "us", "metric": "si"}  # class names in the page
WritesWorking = Callable[[Explained, Callable[[str], str]], str]
Draws = Callable[[Picture, str], str]  # a picture, and a name for it that no other on the page has


@dataclass(frozen=True)
class Quiz:
    """A lesson's questions with their variants, ready to print or to play."""

    lesson: str
    title: str
    questions: tuple[Question, ...]
    variants: Mapping[str, Sequence[Mapping[System, Drawn]]]
    sets: Sequence[Sequence[int]] = ()  # which of them a try asks, by place; without any it asks all


@dataclass(frozen=True)
class Page:
    """What the page around the quiz gives: names, edition, and writers for working and drawings."""

    site: str
    edition: str
    pass_mark: float
    crew: tuple[str, ...]
    writes_working: WritesWorking
    draws: Draws
    read_again: Mapping[str, tuple[str, str]]  # heading key -> (href, words)
    voice: Voice | None = None  # who reads it aloud; None where nobody can
    ident: Callable[[str], str] = str  # what a picture of that name is called on this page


_NAME = "name-of-the-picture"  # in a picture until it is known where it stands
_ABOVE = -1  # the place of the picture above the answers, beside those of the choices


def template(text: str, names: Sequence[str]) -> str:
    """``text`` escaped, its ``{blanks}`` as numbered ones."""
    out, last = "", 0
    for match in BLANK.finditer(text):
        out += escape(text[last : match.start()])
        out += f'<b class="sq-figure">⟦{list(names).index(match[1])}⟧</b>'
        last = match.end()
    return out + escape(text[last:])


def filled(tpl: str, figures: Sequence[str]) -> str:
    """A template with its figures put in."""
    for i, figure in enumerate(figures):
        tpl = tpl.replace(f"⟦{i}⟧", figure)
    return tpl


def _choices(drawn: Drawn) -> list[Quantity]:
    """The right figure and the wrong ones, of a question whose choices are computed."""
    found = [q for q in (drawn.right, *drawn.wrong) if q is not None]
    assert len(found) == 1 + len(drawn.wrong)
    return found


def said_figures(q: Question, drawn: Drawn, voice: Voice) -> list[str]:
    """What a voice reads for each figure of a variant, see :meth:`Built.figures`; '' for words, which are read as they stand."""
    out = [drawn.said.get(name, "") for name in drawn.figures]
    if q.computed:
        out += [heard(figure, unit, voice) for figure, unit in said_alike(_choices(drawn))]
    elif q.answer:
        out.append(words_of(drawn.right, voice))
    return out


class Built:
    """One question with the template lists its variants point into."""

    def __init__(self, question: Question, variants: Sequence[Mapping[System, Drawn]], page: Page) -> None:
        self.q, self.page = question, page
        self._drawn = variants
        self._templates: dict[str, str] = {}
        self._pictures: dict[int, str] = {}  # by place, each under _NAME
        first = variants[0]["us"]
        self.names = list(first.figures)
        if question.computed:
            self.names += [f"choice_{i}" for i in range(1 + len(question.mistakes))]
        elif question.answer:
            self.names.append("right_answer")
        self.mistaken = [self.template(m.says) for m in question.mistakes]
        self.workings: dict[System, dict[str, int]] = {"us": {}, "metric": {}}
        self.asked_in = {s: self._asked_in([both[s].right for both in variants]) for s in SYSTEMS}
        self.variants = [{s: self.variant(both[s], s) for s in SYSTEMS} for both in variants]

    def first(self, few: int, page: Page) -> Built:
        """The question with its first ``few`` variants alone, on another page that writes workings alike."""
        kept = self._drawn[:few]
        if {s: self._asked_in([both[s].right for both in kept]) for s in SYSTEMS} != self.asked_in:
            return Built(self.q, kept, page)  # so few are asked for in another unit than all of them
        made = copy(self)  # its pictures and templates are shared
        made.page, made._drawn, made.variants = page, kept, self.variants[:few]
        # workings go by the first variant that has them, so those of the first few stand first
        last = {s: max(both[s]["w"] for both in made.variants) for s in SYSTEMS}
        made.workings = {s: {tpl: i for tpl, i in self.workings[s].items() if i <= last[s]} for s in SYSTEMS}
        return made

    def template(self, text: str) -> str:
        """:func:`template` with the names of this question; each text is asked for more than once."""
        found = self._templates.get(text)
        if found is None:
            found = self._templates[text] = template(text, self.names)
        return found

    @staticmethod
    def _asked_in(rights: Sequence[Quantity | None]) -> str:
        """The unit all right figures are asked for in: the one people say, where that is the same for all; '' for their own."""
        units = {said(r.figure, r.unit)[1] for r in rights if r is not None}
        return units.pop() if len(units) == 1 else ""

    def texts(self) -> list[str]:
        q = self.q
        if q.computed:
            return [f"{{choice_{i}}}" for i in range(1 + len(q.mistakes))]
        return [c.text for c in q.choices] or list(q.items)

    def labels(self) -> list[str]:
        """A name for each choice or item in a report: its text, or what its picture shows."""
        pictures = self.q.pictures
        found = [p.describe if p else "" for p in pictures] or [""] * len(self.texts())
        return [text or said for text, said in zip(self.texts(), found, strict=True)]

    def says(self, ask: int = 0) -> list[str]:
        q = self.q
        if q.computed:
            return ["", *(m.says for m in q.mistakes)]
        if q.choices:
            return ["" if c.right else c.says for c in q.choices]
        if q.asks:
            return ["" if s == q.asks[ask].right else q.asks[ask].says[s] for s in q.spots]
        return []

    def right(self, ask: int = 0) -> list[int]:
        q = self.q
        if q.computed:
            return [0]
        if q.kind == "point":
            return [q.spots.index(q.asks[ask].right)]
        return [i for i, c in enumerate(q.choices) if c.right]

    def figures(self, drawn: Drawn) -> list[str]:
        out = list(drawn.figures.values())
        if self.q.computed:
            out += map(escape, alike(_choices(drawn)))
        elif self.q.answer:
            out.append(escape(str(drawn.right)))
        return out

    def variant(self, drawn: Drawn, system: System) -> dict[str, Any]:
        made: dict[str, Any] = {"f": self.figures(drawn), "order": list(drawn.order)}
        if drawn.explained is not None:
            found: list[str] = []

            def mark(digits: str) -> str:
                found.append(digits)
                return f"⟦{len(found) - 1}⟧"

            tpl = self.page.writes_working(drawn.explained, mark)
        else:
            found = made["f"]
            because = self.q.asks[drawn.ask].because if self.q.asks else self.q.because
            tpl = f"<p>{self.template(because)}</p>" if because else ""
        table = self.workings[system]
        made["w"] = table.setdefault(tpl, len(table))
        made["wf"] = found
        if len(self.q.asks) > 1:
            made["k"] = drawn.ask
        if self.q.kind == "number":
            made["answer"] = self.answer(drawn, self.asked_in[system])
            made["answer"] |= reads_as(system, [*made["f"], made["answer"]["shown"]])
        return made

    def answer(self, drawn: Drawn, unit: str = "") -> dict[str, Any]:
        """How the typed answer of one variant is marked, asked for in ``unit``, or in its own."""
        right = drawn.right
        assert right is not None and drawn.right_si is not None
        asked = unit or right.unit
        less = 1.0 if asked == right.unit else 10.0**SAID_PLACES
        low, high = (end / less for end in accepted(right, drawn.right_si, self.q.within, self.q.limit))
        mistakes = []
        for m, says, wrong in zip(self.q.mistakes, self.mistaken, drawn.wrong, strict=True):
            if wrong is not None and wrong.figure > 0:
                near = 0.0 if right.kind == "count" else float(wrong.figure) * min(self.q.within, 0.02)
                value = float(wrong.figure)
                ends = accept_by_unit((value - near) / less, (value + near) / less, asked, wrong.kind)
                mistakes.append({"id": m.id, "accept": ends, "says": says})
        return {
            "shown": str(right), "unit": asked,
            "accept": accept_by_unit(low, high, asked, right.kind), "mistakes": mistakes,
        }  # fmt: skip

    def json(self) -> dict[str, Any]:
        q = self.q
        both: dict[str, Any] = {
            "id": q.id, "kind": q.kind, "must": q.must_be_right, "right": self.right(),
            "ask": {s: self.template(q.ask) for s in SYSTEMS},
            "texts": {s: [self.template(t) for t in self.texts()] for s in SYSTEMS},
            "says": {s: [self.template(t) for t in self.says()] for s in SYSTEMS},
            "workings": {s: list(self.workings[s]) for s in SYSTEMS},
            "variants": self.variants,
        }  # fmt: skip
        if q.spots:
            both["spots"] = list(q.spots)
        if q.pictures:
            both["pictures"] = [p is not None for p in q.pictures]
        if q.free:
            both["free"] = [list(group) for group in q.free]
        if len(q.asks) > 1:
            both["asks"] = [
                {"right": self.right(k), "ask": {s: self.template(p.ask) for s in SYSTEMS},
                 "says": {s: [self.template(t) for t in self.says(k)] for s in SYSTEMS}}
                for k, p in enumerate(q.asks)
            ]  # fmt: skip
        return both

    def ask(self, number: int = 0) -> str:
        """The template of what one variant asks."""
        asks = self.q.asks
        return self.template(asks[self.variants[number]["us"].get("k", 0)].ask if asks else self.q.ask)

    def marking(self) -> dict[str, Any]:
        """How the question is marked, with a name for each choice."""
        q = self.q
        labels = ["right", *(m.id for m in q.mistakes)] if q.computed else list(q.spots) or self.texts()
        data = self.json()
        if not q.computed and not q.spots:
            labels = [self.template(t) for t in self.labels()]
        return question_marking(data, labels)

    # --- the readable form ---

    def both(self, tpl: str) -> str:
        us, metric = (filled(tpl, self.variants[0][s]["f"]) for s in SYSTEMS)
        if us == metric:
            return us
        return f'<span class="us">{us}</span><span class="si">{metric}</span>'

    def fieldset(self, number: int, lesson: str = "") -> str:
        """The question to be read; in mixed practice it is named with its ``lesson``."""
        q = self.q
        name = f"{lesson}/{q.id}" if lesson else q.id
        must = f' <span class="sq-must">{tr("Must be right")}</span>' if q.must_be_right else ""
        flag = " data-must" if q.must_be_right else ""
        return (
            f'<fieldset class="sq" data-q="{escape(name)}" data-kind="{q.kind}"{flag}>'
            f"<legend>{tr('Question {number}', number=number)}{must}</legend>"
            f'<div class="sq-ask">{self.both(self.ask())}</div>{self.above()}'
            f"{self.answers()}</fieldset>"
        )

    def above(self) -> str:
        """The picture above the answers."""
        svg = self.picture_above()
        return f'<figure class="sq-drawing">{svg}</figure>' if svg else ""

    def picture_above(self) -> str:
        """Its drawing alone, with nothing on it that says which way it shows. Raises NumberProblem."""
        found = self.q.picture
        return self._named(_ABOVE, self.q.id, lambda: self._drawn_above(found)) if found is not None else ""

    def _named(self, place: int, name: str, made: Callable[[], str]) -> str:
        """The picture of a place, made once, as it is called on this page."""
        svg = self._pictures.get(place)
        if svg is None:
            svg = self._pictures[place] = made()
        return svg.replace(_NAME, self.page.ident(name))

    def _drawn_above(self, picture: Picture) -> str:
        q = self.q
        svg = self.page.draws(picture, _NAME)
        if picture.describe:
            return described(svg, tr("The picture of this question"), picture.describe)
        if shows_a_wrong_way(svg):
            raise NumberProblem(f"{q.id}: its drawing shows a wrong way, and would read that out",
                                "add 'describe: …', what is to be seen in neutral words")  # fmt: skip
        return unmarked(svg)

    def picture(self, index: int) -> str:
        """The picture of a choice or item, '' where it has none. Raises NumberProblem where it says its answer."""
        found = self.q.pictures[index] if self.q.pictures else None
        return self._named(index, f"{self.q.id}-{index}", lambda: self._drawn_silent(found)) if found is not None else ""

    def _drawn_silent(self, picture: Picture) -> str:
        svg = silent(self.page.draws(picture, _NAME))
        told = tells(svg)
        if told:
            raise NumberProblem(f"{self.q.id}: one of its pictures says '{told[:60]}'",
                                "take a scene that leaves the answer to the reader")  # fmt: skip
        return svg

    def shown(self, index: int, place: int) -> str:
        """A choice or item as it stands in the page; a picture goes by the letter of its place."""
        text = self.both(self.template(self.texts()[index]))
        svg = self.picture(index)
        if not svg:
            return f'<span class="sq-text">{text}</span>'
        found = self.q.pictures[index]
        told = f'<span class="sq-described">{escape(found.describe)}</span>' if found and found.describe else ""
        named = f"<b>{tr('Picture {letter}', letter=chr(65 + place))}</b>{' ' + text if text else ''}"
        return f'<span class="sq-picture">{svg}</span><span class="sq-text">{named}</span>{told}'

    def _unit(self, unit: str) -> str:
        """The unit an answer is asked in, with what a voice reads for it."""
        label = escape(unit_label(unit))
        if not label or self.page.voice is None:
            return label
        return f'<span data-say="{escape(unit_words(unit, self.page.voice))}">{label}</span>'

    def answers(self) -> str:
        q = self.q
        if q.kind == "number":
            shown = self.variants[0]["us"]["answer"]["unit"], self.variants[0]["metric"]["answer"]["unit"]
            us, metric = (self._unit(u) for u in shown)
            unit = us if us == metric else f'<span class="us">{us}</span><span class="si">{metric}</span>'
            return (
                f'<p class="sq-answer"><label>{tr("Your answer")} <input name="{q.id}" type="text" '
                f'inputmode="decimal" autocomplete="off"></label> <span class="sq-unit">{unit}</span></p>'
                f'<p class="sq-tolerance">{tolerance_words(q, self.variants[0]["us"]["answer"], self.page.voice)}</p>'
            )
        order = self.variants[0]["us"]["order"]
        if q.kind == "order":
            rows = "".join(f'<li data-item="{i}">{self.shown(i, place)}</li>' for place, i in enumerate(order))
            return f'<ol class="sq-order">{rows}</ol>'
        if q.kind == "point":
            letters = "".join(
                f'<li><label><input type="radio" name="{q.id}" value="{escape(spot)}"> '
                f'<span class="sq-text">{chr(65 + i)}</span></label></li>'
                for i, spot in enumerate(q.spots)
            )
            return f'<ul class="sq-choices sq-letters">{letters}</ul>'
        kind = "radio" if q.kind == "one" else "checkbox"
        texts = self.texts()
        # the player shows other ones of them with other figures, so all are there
        spare = [i for i in range(len(texts)) if i not in order]
        rows = "".join(
            f'<li{" hidden" if i in spare else ""}><label><input type="{kind}" name="{q.id}" value="{i}"> '
            f"{self.shown(i, place)}</label></li>"
            for place, i in enumerate([*order, *spare])
        )
        return f'<ul class="sq-choices{" sq-pictures" if q.pictures else ""}">{rows}</ul>'


def reads_as(system: System, texts: Sequence[str]) -> dict[str, Any]:
    """How the figures typed for a variant are read, of which ``texts`` are printed: what its answer says of it.

    ``decimal`` is a decimal comma, where the site's country has one. The other mark before three digits is for thousands
    where the page prints it so: with US units everywhere, and with metric ones where this very question prints such a
    figure. Then ``comma`` is true, or ``point`` of a site with a decimal comma. Elsewhere it is asked about.
    """
    writing = current()
    mark = writing.group if writing.group in {",", "."} else ""
    printed = re.compile(rf"[0-9]{re.escape(mark)}[0-9]{{3}}(?![0-9])") if mark else None
    made: dict[str, Any] = {}
    if writing.decimal == ",":
        made["decimal"] = ","
    if printed is not None and mark != writing.decimal and (system == "us" or any(printed.search(text) for text in texts)):
        made["comma" if mark == "," else "point"] = True
    return made


def tolerance_words(q: Question, answer: Mapping[str, Any], voice: Voice | None = None) -> str:
    """What counts as right, in words; with a voice its share is marked with what that reads for it."""
    ends = answer["accept"][answer["unit"]]
    if ends[0] == ends[1]:
        return tr("A whole number. It must be exact.")
    share = pointed(f"{q.within * 100:g}%")
    if voice is not None:
        share = f'<span data-say="{escape(heard(Decimal(f"{q.within * 100:g}"), "%", voice))}">{share}</span>'
    if q.limit == "least":
        return tr("Up to {share} more counts as right. Less does not.", share=share)
    if q.limit == "most":
        return tr("Up to {share} less counts as right. More does not.", share=share)
    return tr("Within {share} counts as right.", share=share)


@dataclass(frozen=True)
class Played:
    """The quiz element for the page, how each question is marked, and the questions as they stand there."""

    html: str
    marking: list[dict[str, Any]]
    built: Sequence[Built] = ()


def quiz_html(quiz: Quiz, page: Page) -> Played:
    """The quiz element: the form with the first variant filled in, and the player's data.

    In the data, ``figures`` is edition.FIGURES until the lesson's print is known.
    """
    built = [Built(q, quiz.variants[q.id], page) for q in quiz.questions]
    data = {
        "lesson": quiz.lesson, "title": quiz.title, "edition": page.edition, "site": page.site,
        "figures": FIGURES, "pass_mark": page.pass_mark, "crew": list(page.crew),
        "read_again": {
            q.id: {"href": page.read_again[q.read_again][0], "text": page.read_again[q.read_again][1]}
            for q in quiz.questions if q.read_again in page.read_again
        },
        "questions": [b.json() for b in built],
    }  # fmt: skip
    if quiz.sets:
        data["sets"] = [list(places) for places in quiz.sets]
    # `</` inside the data would end the script element
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/").replace("<!--", "\\u003c!--")
    form = "".join(b.fieldset(i) for i, b in enumerate(built, 1))
    html = (
        f'<seatwork-quiz data-search-exclude data-lesson="{escape(quiz.lesson)}" data-edition="{escape(page.edition)}" '
        f'data-site="{escape(page.site)}"><form>{form}</form>'
        f'<script type="application/json">{text}</script></seatwork-quiz>'
    )
    return Played(html, [b.marking() for b in built], built)


def said_script(quiz: Quiz, voice: Voice | None) -> str:
    """What is read aloud for the figures of the lesson's variants: a script that is loaded when somebody listens.

    It hands over the words, each once, and for each question and variant, in US units and in metric ones, the places of
    its figures' words among them (0 for a figure that is read as it stands). No figure is turned into words in a browser.
    '' where nothing can be said in the language.
    """
    if voice is None:
        return ""
    places: dict[str, int] = {"": 0}
    made: dict[str, list[list[list[int]]]] = {}
    for q in quiz.questions:
        made[q.id] = [
            [[places.setdefault(words, len(places)) for words in said_figures(q, both[s], voice)] for s in SYSTEMS]
            for both in quiz.variants[q.id]
        ]
    data = json.dumps([list(places), made], ensure_ascii=False, separators=(",", ":"))
    return f"seatworkSaid({json.dumps(quiz.lesson)},{data});\n"


def practice_script(quiz: Quiz, page: Page, few: int, built: Sequence[Built] = ()) -> str:
    """The lesson's questions for mixed practice: a script that hands over ``few`` variants of each.

    ``built`` are the same questions as the lesson's own page has them, where they are made for that already.

    Questions go by LESSON/QUESTION there, as those of several lessons stand in one page. They are packed, as
    the handbook has to be small enough to be kept on a phone: JSON, deflated (RFC 1950), in base64 (RFC 4648).
    """
    questions, form, again = [], {}, {}
    ready = {b.q.id: b for b in built}
    for q in quiz.questions:
        there = ready.get(q.id)
        asked = there.first(few, page) if there is not None else Built(q, quiz.variants[q.id][:few], page)
        name = f"{quiz.lesson}/{q.id}"
        questions.append(asked.json() | {"id": name, "must": False})
        form[name] = asked.fieldset(1, quiz.lesson)
        if q.read_again in page.read_again:
            href, words = page.read_again[q.read_again]
            again[name] = {"href": href, "text": f"{quiz.title}: {words}"}
    data = json.dumps({"questions": questions, "read_again": again, "form": form}, ensure_ascii=False, separators=(",", ":"))
    packed = base64.b64encode(zlib.compress(data.encode("utf-8"), 9)).decode("ascii")
    return f'seatworkPractice({json.dumps(quiz.lesson)},"{packed}");\n'
