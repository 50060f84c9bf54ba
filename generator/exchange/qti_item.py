"""One variant of one question as a QTI 3.0 item.

Marking is response processing written out, with operators every player has: a figure is right between two ends
(``gte`` and ``lte``), never by ``equal`` with a tolerance, which a widely used player takes for exact. A question with
several right choices is right or wrong as a whole, as in the handbook's own quiz.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import unescape
from typing import Literal

from generator.drawing.svg import clean
from generator.quiz.draw import Drawn
from generator.quiz.markup import Built, tolerance_words
from generator.quiz.question import BLANK, Question
from generator.units.table import System
from generator.working.explain import as_text, result_kind, stability_caution
from generator.working.printing import unit_label

NAMESPACE = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
SCHEMA = "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqti_asiv3p0_v1p0.xsd"
XSI = "http://www.w3.org/2001/XMLSchema-instance"
LANGUAGE = "en"
PLAIN_FIGURE = r"-?[0-9]+(\.[0-9]+)?"  # what is typed: digits, with a point for decimals
MARKING_SLACK = 1e-8  # of the larger end: what this program's own marking gives the last bit of floating point

RIGHT, WRONG = "right", "wrong"  # values of the outcome FEEDBACK; of a named mistake wrong-1, of a choice wrong-B

Kind = Literal["number", "one", "several", "order"]
INTERACTIONS: Mapping[Kind, str] = {
    "number": "textEntryInteraction", "one": "choiceInteraction", "several": "choiceInteraction", "order": "orderInteraction",
}  # fmt: skip
"""The kinds that are carried, by the names QTI's metadata has for their interactions. A tap on a picture is not."""


@dataclass(frozen=True)
class Pictured:
    """A picture in the package: its address from the item, what it shows in words, and how large it is shown, in pixels."""

    href: str
    alt: str
    size: tuple[int, int]


@dataclass(frozen=True)
class ItemOf:
    """What an item is made of. ``pictures`` are those of choices and items by index, ``above`` the one over the answers."""

    id: str
    title: str
    built: Built
    drawn: Drawn
    system: System
    above: Pictured | None
    pictures: Mapping[int, Pictured]
    sources: str
    tool_version: str

    @property
    def q(self) -> Question:
        return self.built.q

    @property
    def letters(self) -> Mapping[int, str]:
        """A letter for each choice or item by index, in the order they are shown: the letter tells nothing of what is right."""
        return {index: chr(65 + place) for place, index in enumerate(self.drawn.order)}

    @property
    def ends(self) -> tuple[float, float]:
        """The least and the most that counts as right, in the unit the item names."""
        answer = self.built.answer(self.drawn)
        return widened(answer["accept"][answer["unit"]])


def widened(ends: Sequence[float]) -> tuple[float, float]:
    """Two ends with the room that this program's own marking leaves."""
    slack = MARKING_SLACK * max(abs(ends[0]), abs(ends[1]))
    return ends[0] - slack, ends[1] + slack


def item_xml(made: ItemOf) -> bytes:
    """The item as a document in UTF-8. The same item gives the same bytes."""
    return document(_Item(made).root())


def document(root: ET.Element) -> bytes:
    """An element as a document, a line an element where no text is broken by it."""
    ET.indent(root)
    return written(root)


def written(root: ET.Element) -> bytes:
    """An element as a document, as it is."""
    text: bytes = ET.tostring(root, encoding="utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + text + b"\n"


def _sub(parent: ET.Element, tag: str, text: str = "", **attributes: str) -> ET.Element:
    """A child; underscores of attribute names stand for hyphens."""
    found = ET.SubElement(parent, tag, {k.replace("_", "-"): v for k, v in attributes.items()})
    found.text = clean(text) or None
    return found


def _paragraphs(parent: ET.Element, lines: Iterable[str]) -> None:
    for line in lines:
        if line.strip():
            _sub(parent, "p", line)


def _img(parent: ET.Element, picture: Pictured) -> None:
    width, height = picture.size
    _sub(_sub(parent, "p"), "img", src=picture.href, alt=picture.alt, width=str(width), height=str(height))


def _value(parent: ET.Element, base: str, value: str) -> None:
    _sub(parent, "qti-base-value", value, base_type=base)


def _set(parent: ET.Element, outcome: str, base: str, value: str) -> None:
    _value(_sub(parent, "qti-set-outcome-value", identifier=outcome), base, value)


def _response(parent: ET.Element) -> None:
    _sub(parent, "qti-variable", identifier="RESPONSE")


def _between(parent: ET.Element, low: float, high: float) -> None:
    both = _sub(parent, "qti-and")
    for tag, end in (("qti-gte", low), ("qti-lte", high)):
        compared = _sub(both, tag)
        _response(compared)
        _value(compared, "float", f"{end:.17g}")


class _Item:
    def __init__(self, made: ItemOf) -> None:
        self.made, self.q, self.built = made, made.q, made.built
        self.figures = dict(zip(self.built.names, map(unescape, self.built.figures(made.drawn)), strict=True))
        self.says: dict[str, str] = {}  # what is said of a wrong answer, by the feedback's identifier

    def words(self, text: str) -> str:
        """A text with its blanks filled."""
        return BLANK.sub(lambda m: self.figures[m[1]], text)

    def root(self) -> ET.Element:
        root = ET.Element("qti-assessment-item", {
            "xmlns": NAMESPACE, "xmlns:xsi": XSI, "xsi:schemaLocation": f"{NAMESPACE} {SCHEMA}", "identifier": self.made.id,
            "title": clean(self.made.title), "adaptive": "false", "time-dependent": "false", "xml:lang": LANGUAGE,
            "tool-name": "Seatwork", "tool-version": self.made.tool_version,
        })  # fmt: skip
        body = ET.Element("qti-item-body")
        _paragraphs(body, [self.words(self.built.q.asks[0].ask if self.q.asks else self.q.ask)] if self.q.kind == "number" else [])
        if self.made.above is not None:
            _img(body, self.made.above)
        processing = ET.Element("qti-response-processing")
        {"number": self.number, "one": self.choose, "several": self.choose, "order": self.order}[self.q.kind](root, body, processing)
        for name, base, default in (("SCORE", "float", "0"), ("MAXSCORE", "float", "1"), ("FEEDBACK", "identifier", "")):
            declared = _sub(root, "qti-outcome-declaration", identifier=name, cardinality="single", base_type=base)
            if default:
                _sub(_sub(declared, "qti-default-value"), "qti-value", default)
        root.extend((body, processing))
        self.feedback(root)
        return root

    def declared(self, root: ET.Element, cardinality: str, base: str, right: Iterable[str]) -> None:
        found = _sub(root, "qti-response-declaration", identifier="RESPONSE", cardinality=cardinality, base_type=base)
        correct = _sub(found, "qti-correct-response")
        for value in right:
            _sub(correct, "qti-value", value)

    def marked(self, processing: ET.Element) -> tuple[ET.Element, ET.Element]:
        """The condition of a right answer, to be filled, and the rule it stands in."""
        rule = _sub(processing, "qti-response-condition")
        return _sub(rule, "qti-response-if"), rule

    def outcome(self, branch: ET.Element, feedback: str) -> None:
        _set(branch, "SCORE", "float", "1" if feedback == RIGHT else "0")
        _set(branch, "FEEDBACK", "identifier", feedback)

    # --- a figure ---

    def number(self, root: ET.Element, body: ET.Element, processing: ET.Element) -> None:
        answer = self.built.answer(self.made.drawn)
        right = self.made.drawn.right
        assert right is not None
        self.declared(root, "single", "float", [str(right.figure)])
        label = unit_label(str(answer["unit"]))
        line = _sub(body, "p", f"Your answer in {label}: " if label else "Your answer: ")
        entry = _sub(line, "qti-text-entry-interaction", response_identifier="RESPONSE", expected_length="12", pattern_mask=PLAIN_FIGURE)
        entry.tail = clean(f" {label}") if label else None
        told = "Type digits, with a point for decimals and no comma."
        if label:
            told += f" Type no unit: what you type is taken for {label}, so work an answer in another unit over to {label} first."
        _paragraphs(body, [told, tolerance_words(self.q, answer), self.must()])
        condition, rule = self.marked(processing)
        _between(condition, *self.made.ends)
        self.outcome(condition, RIGHT)
        for n, mistake in enumerate(answer["mistakes"]):
            named = next(m for m in self.q.mistakes if m.id == mistake["id"])
            ends = mistake["accept"].get(answer["unit"])
            if not ends or not named.says:
                continue
            other = _sub(rule, "qti-response-else-if")
            _between(other, *widened(ends))
            self.outcome(other, f"{WRONG}-{n + 1}")
            self.says[f"{WRONG}-{n + 1}"] = self.words(named.says)
        self.outcome(_sub(rule, "qti-response-else"), WRONG)

    # --- a choice ---

    def interaction(self, body: ET.Element, tag: str, **attributes: str) -> ET.Element:
        found = _sub(body, tag, response_identifier="RESPONSE", **attributes)
        ask = self.words(self.q.ask)
        _sub(found, "qti-prompt", f"{ask} {self.must()}".rstrip())
        texts = self.built.texts()
        for index, letter in self.made.letters.items():
            choice = _sub(found, "qti-simple-choice", identifier=letter)
            picture = self.made.pictures.get(index)
            text = self.words(texts[index])
            if picture is None:
                choice.text = clean(text)
                continue
            _img(choice, picture)
            _paragraphs(choice, [text])
        return found

    def choose(self, root: ET.Element, body: ET.Element, processing: ET.Element) -> None:
        several, letters = self.q.kind == "several", self.made.letters
        right = [letters[i] for i in self.made.drawn.order if i in self.built.right()]
        self.declared(root, "multiple" if several else "single", "identifier", right)
        # shuffled, so that the place of the right one tells nothing
        self.interaction(body, "qti-choice-interaction", max_choices="0" if several else "1", shuffle="true")
        condition, rule = self.marked(processing)
        match = _sub(condition, "qti-match")
        _response(match)
        _sub(match, "qti-correct", identifier="RESPONSE")
        self.outcome(condition, RIGHT)
        says = self.built.says()
        for i in () if several else self.made.drawn.order:
            if says[i]:
                other = _sub(rule, "qti-response-else-if")
                match = _sub(other, "qti-match")
                _response(match)
                _value(match, "identifier", letters[i])
                self.outcome(other, f"{WRONG}-{letters[i]}")
                self.says[f"{WRONG}-{letters[i]}"] = self.words(says[i])
        self.outcome(_sub(rule, "qti-response-else"), WRONG)

    # --- an order ---

    def order(self, root: ET.Element, body: ET.Element, processing: ET.Element) -> None:
        letters, count = self.made.letters, len(self.q.items)
        self.declared(root, "ordered", "identifier", [letters[i] for i in range(count)])
        self.interaction(body, "qti-order-interaction", shuffle="false", orientation="vertical")  # as drawn, which is never the right order
        condition, rule = self.marked(processing)
        if not self.q.free:
            match = _sub(condition, "qti-match")
            _response(match)
            _sub(match, "qti-correct", identifier="RESPONSE")
        else:  # some may change among themselves: each place says what may stand in it
            all_ = _sub(condition, "qti-and")
            for place in range(count):
                fitting = [letters[i] for i in range(count) if self.q.fits(i, place)]
                parent = _sub(all_, "qti-or") if len(fitting) > 1 else all_
                for letter in fitting:
                    match = _sub(parent, "qti-match")
                    _response(_sub(match, "qti-index", n=str(place + 1)))
                    _value(match, "identifier", letter)
        self.outcome(condition, RIGHT)
        self.outcome(_sub(rule, "qti-response-else"), WRONG)

    # --- what is said of an answer ---

    def must(self) -> str:
        return "(Must be right.)" if self.q.must_be_right else ""

    def feedback(self, root: ET.Element) -> None:
        """One text for each outcome: a player may lay several over one another."""
        for identifier in (RIGHT, WRONG, *self.says):
            made = _sub(root, "qti-modal-feedback", outcome_identifier="FEEDBACK", identifier=identifier, show_hide="show",
                        title="Right" if identifier == RIGHT else "Not right")  # fmt: skip
            _paragraphs(_sub(made, "qti-content-body"), self.told(identifier))

    def told(self, identifier: str) -> list[str]:
        """What is said once it is answered: right or not and why, the right answer, its working, its sources."""
        drawn, texts = self.made.drawn, self.built.texts()
        out = ["That is right." if identifier == RIGHT else "That is not right.", self.says.get(identifier, "")]
        if drawn.right is not None:
            out.append(f"The answer is {drawn.right}.")
        elif self.q.kind == "order":
            out += ["The right order:", *(f"{n}. {self.named(i, texts)}" for n, i in enumerate(range(len(self.q.items)), 1))]
        else:
            right = [self.named(i, texts) for i in drawn.order if i in self.built.right()]
            out += [f"The right answer: {right[0]}"] if len(right) == 1 else ["The right answers:", *(f"– {text}" for text in right)]
        if self.q.kind == "several" and identifier != RIGHT:
            says = self.built.says()
            out += ["Not these:", *(f"– {self.named(i, texts)} {self.words(says[i])}" for i in drawn.order if says[i])]
        if self.q.because:
            out.append(self.words(self.q.because))
        if drawn.explained is not None:
            out += [line.strip() for line in as_text(drawn.explained)]
            if drawn.explained.calculation.stability:
                out.append(stability_caution(result_kind(drawn.explained)))
        return [*out, self.made.sources]

    def named(self, index: int, texts: Sequence[str]) -> str:
        """A choice or item in words: its text, else what its picture shows."""
        picture = self.made.pictures.get(index)
        return self.words(texts[index]) or (picture.alt if picture else "")
